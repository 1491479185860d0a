//! Text as a tree of values that know their places, and the typed readers of
//! that tree.
//!
//! [`parse`] gives a [`Value`]; a type that implements [`Read`] is made from
//! it, mostly by the macros `record!` and `choice!`. All complaints gather in
//! a [`Reading`], along with the address of every number.

mod address;
mod brackets;
mod choice;
mod containers;
mod either;
mod form;
mod guess;
mod number;
mod parse;
mod read;
mod reading;
mod record;
mod setting;
mod spot;
mod spread;
mod syntax;
mod value;

pub use address::AddressError;
pub use choice::Picked;
pub use containers::{Entries, Placed};
pub use either::{Either, Measure};
pub use form::{FieldForm, Form, IfAbsent, Payload, Sort, VariantForm};
pub use number::figure_form;
pub use parse::{parse, parse_part};
pub use read::Read;
pub use reading::{FigureNote, NumberAt, Reading};
pub use record::Fields;
pub use setting::Setting;
pub use spread::Spread;
pub use value::{Named, Shape, Value};

pub(crate) use choice::{choice, written_items};
pub(crate) use record::record;

#[cfg(test)]
mod tests;
