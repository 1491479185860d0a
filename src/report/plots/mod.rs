//! Plots of findings: each takes numbers with their names and makes a [`Drawing`], and
//! lays out nothing but that.
//!
//! [`Drawing`]: super::drawing::Drawing

mod axis;
mod bars;
mod distribution;
mod frame;
mod legend;
mod levels;
mod lines;
mod map;
mod scatter;
mod tornado;

pub(super) use axis::Axis;
pub(super) use bars::{Bar, Bars, Part, Stack, Stacks};
pub(super) use distribution::{Curve, Distribution};
pub(super) use levels::{Level, Levels, Strip};
pub(super) use lines::{Line, Lines, Upright};
pub(super) use map::{Field, Map, Place};
pub(super) use scatter::{Point as ScatterPoint, Scatter};
pub(super) use tornado::{Moved, Tornado};

/// Width of every plot, px.
const WIDTH: f64 = 760.0;
/// Size of the letters of labels, px.
const LETTERS: f64 = 12.0;
/// Size of the letters of what stands beside something, px.
const SMALL: f64 = 11.0;
