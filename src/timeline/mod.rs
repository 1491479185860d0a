//! The answer over the calendar: what every flight carries and takes away.

mod manifest;

pub use manifest::{Item, Leaving, Load, Loading, Manifest};
