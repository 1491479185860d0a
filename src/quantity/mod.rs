//! Quantities with their units: converted once on reading, once on printing,
//! and multiplied only where the product means something.
//!
//! ```
//! use loopwright::quantity::{Days, Dimension, Kilograms, KilogramsPerDay, parse, shown};
//! let rate = KilogramsPerDay(parse("0.4 kg/h", Dimension::MassRate)?);
//! let mass: Kilograms = rate * Days(30.0);
//! assert_eq!(mass.to_string(), "288 kg");
//! assert_eq!(shown(7015.707, Dimension::Mass), "7,015.707 kg");
//! # Ok::<(), loopwright::quantity::QuantityError>(())
//! ```

mod amount;
mod dimension;
mod error;
mod newtypes;
mod products;
mod reading;
mod showing;
mod units;

pub use amount::{Amount, WithLitres};
pub use dimension::Dimension;
pub use error::QuantityError;
pub use newtypes::*;
pub(crate) use reading::{maybe_litres, parse_difference};
pub use reading::{number, parse, parse_water_mass, parse_water_rate};
pub use showing::{shown, shown_number, written};

#[cfg(test)]
mod tests;
