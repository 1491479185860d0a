//! Studies: questions that need many answers, each of them a plan of the design
//! changed a little.

pub mod alternatives;
pub mod derivation;
mod differences;
pub mod failures;
pub mod frontier;
mod parallel;
pub mod prices;
mod time_left;
pub mod water_round;
