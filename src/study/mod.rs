//! Studies: questions that need many answers, each of them a plan of the design
//! changed a little.

pub mod derivation;
mod parallel;
pub mod prices;
