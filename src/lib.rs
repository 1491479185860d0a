//! loopwright: which recovery hardware, how many units, which spares and what
//! cargo on which flight keep a crew alive at the lowest launch mass?
//!
//! Data walks one way through the rooms of this crate:
//!
//! ```text
//! text ─read─▶ Design ─check─▶ Network ─formulate─▶ Program ─solve─▶ Solution
//!      ─interpret─▶ Answer ─audit─▶ Plan ─▶ pages
//! ```

pub mod answer;
pub mod audit;
pub mod catalogue;
pub mod design;
pub mod diagnostic;
pub mod kinds;
pub mod network;
pub mod physics;
pub mod program;
pub mod quantity;
pub mod report;
pub mod solve;
pub mod written;
