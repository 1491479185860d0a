//! A program with its units and spares held and every other whole number free
//! to be a fraction: a linear program, whose small changes have a slope.

use super::mixed::Mixed;
use super::portfolio::Portfolio;
use super::{Clock, Fault, Options, Outcome, search};
use crate::program::Program;

/// Units and spares that are held.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct HeldHardware {
    /// Units of every node, by node index.
    pub units: Vec<u32>,
    /// Spares of every part, in the order of the program.
    pub spares: Vec<u32>,
}

/// The least mass of a program at held units and spares, with cartridges,
/// containers, tanks and running units in fractions. The values are of the
/// program's own columns.
///
/// # Errors
///
/// A [`Fault`] of the back-end, or where the program does not know what is held.
pub fn at_held_hardware(
    program: &Program,
    held: &HeldHardware,
    options: &Options,
) -> Result<Outcome, Fault> {
    let mut linear = program.clone();
    for column in &mut linear.columns {
        column.whole = false;
    }
    for (count, &units) in program.handles.count.iter().zip(&held.units) {
        if let Some(count) = count {
            hold(&mut linear, count.0, f64::from(units));
        }
    }
    for (index, part) in program.parts.iter().enumerate() {
        let units: Vec<u32> = part
            .nodes
            .iter()
            .filter_map(|node| held.units.get(node.index()).copied())
            .collect();
        let spares = held.spares.get(index).copied();
        let mut known = false;
        for option in &part.options {
            let chosen = option.counts == units && Some(option.spares) == spares;
            known |= chosen;
            let value = if chosen { 1.0 } else { 0.0 };
            hold(&mut linear, option.column.0, value);
        }
        if !known {
            let words = format!("spares of {} that its program does not know", part.name);
            return Err(Fault::Inconsistent(words));
        }
    }
    let mut mixed = Mixed::of(&linear, |column| linear.columns[column].cost);
    mixed.constant = linear.constant_kg;
    let clock = Clock::start(options);
    search::run(Portfolio::plain(&linear, mixed), options, &clock)
}

fn hold(program: &mut Program, column: usize, value: f64) {
    let column = &mut program.columns[column];
    column.lower = value;
    column.upper = value;
}
