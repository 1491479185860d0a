//! Physics as pure functions: each states its equation, units, valid range,
//! source and a numeric example.

pub mod atoms;
pub mod electrolysis;
pub mod failures;
pub mod gamma_rate;
pub mod liquid_water;
pub mod moist_air;
pub mod range;
pub mod reaction;
pub mod transfer;

pub use atoms::{Element, Formula, FormulaError};
pub use range::OutOfRange;
pub use reaction::{Reaction, ReactionError, Species};

/// Molar gas constant, J/(mol·K), exact in the International System of Units
/// (SI Brochure, 9th edition, 2019).
pub const GAS_CONSTANT_J_PER_MOL_K: f64 = 8.314_462_618_153_24;

/// 0 °C in kelvin, exact.
pub const ZERO_CELSIUS_K: f64 = 273.15;

/// Standard atmosphere, Pa, exact.
pub const ATMOSPHERE_PA: f64 = 101_325.0;
