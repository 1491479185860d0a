//! loopwright: which recovery hardware, how many units, which spares and what
//! cargo on which flight keep a crew alive at the lowest launch mass?
//!
//! Data walks one way through the rooms of this crate:
//!
//! ```text
//! text ─read─▶ Design ─check─▶ Network ─formulate─▶ Program ─solve─▶ Solution
//!      ─interpret─▶ Answer ─audit─▶ Plan ─▶ pages
//! ```
//!
//! Each arrow is one function: [`design::read`], [`network::check`],
//! [`program::formulate`], [`solve::solve`], [`answer::interpret`] with
//! [`answer::Answer::of`], [`audit::audit`]. [`plan()`] takes the whole walk from
//! a design to an audited [`audit::Plan`] and compares it with its reference.

pub mod answer;
pub mod audit;
pub mod catalogue;
pub mod commands;
pub mod design;
pub mod diagnostic;
pub mod kinds;
pub mod network;
pub mod physics;
pub mod program;
pub mod quantity;
pub mod report;
pub mod solve;
pub mod study;
pub mod timeline;
mod walk;
pub mod written;

pub use walk::{Failure, Hints, Planned, Refusal, plan, plan_checked, plan_in_turn, plan_network};
