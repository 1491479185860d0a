//! Studies: questions that need many answers, each of them a plan of the design
//! changed a little.

pub mod against;
pub mod alternatives;
pub mod axis;
pub mod break_even;
pub mod cadence;
pub mod cell;
pub mod compare;
pub mod derivation;
mod differences;
pub mod failures;
pub mod frontier;
pub mod kept;
pub mod live;
pub mod many;
pub mod moved;
mod parallel;
pub mod prices;
pub mod sensitivity;
pub mod sweep;
mod time_left;
pub mod uncertainty;
pub mod water_round;
