//! Studies: questions that need many answers, each of them a plan of the design
//! changed a little.

pub mod derivation;
pub mod failures;
mod parallel;
pub mod prices;
