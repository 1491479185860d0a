//! The answer over the calendar: what every flight carries and takes away, how
//! full everything is on every day, and what happens.

mod faults;
mod levels;
mod manifest;

pub use faults::{
    Autonomy, Course, HeldUp, Lack, Lacking, Leg, MassBalance, OutOfAction, Outcome, Row,
    Shortfall, Unmet, autonomy, outcome, react, replay,
};
pub use levels::{
    Event, Extreme, Happening, Kept, LISTED, Lateness, Point, RunsOut, Timeline, Track,
    days_of_cover,
};
pub use manifest::{Item, Leaving, Load, Loading, Manifest};
