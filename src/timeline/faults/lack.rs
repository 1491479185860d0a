//! What exactly is missing.

use std::collections::BTreeMap;

use super::rows::Columns;
use crate::catalogue::SubstanceId;
use crate::network::NodeId;
use crate::timeline::levels::{Kept, NOISE};

/// Something that would have had to be given or taken away.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Lack {
    /// Where.
    pub node: NodeId,
    /// What.
    pub what: Lacking,
    /// How much, kg; of a first shortfall, kg/d.
    pub kg: f64,
}

/// What is lacking.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum Lacking {
    /// A substance that a need goes without.
    Missing(SubstanceId),
    /// A substance that has no way out.
    HeldUp(SubstanceId),
    /// Cartridges or expendables, without which a unit stops.
    Supplies(Kept),
}

/// The first day on which something falls short.
#[derive(Clone, Debug, PartialEq)]
pub struct Shortfall {
    /// The day.
    pub day: f64,
    /// Days from the day on which the fault began to matter.
    pub after_days: f64,
    /// What falls short, the most first: the least that would have had to be given
    /// or taken away.
    pub lacks: Vec<Lack>,
}

/// Cartridges or expendables that are given: the stock, the column, and what a piece
/// or a kilogram of it weighs.
#[derive(Clone, Copy, Debug)]
pub(super) struct Supply {
    pub node: NodeId,
    pub what: Kept,
    pub column: usize,
    pub kg: f64,
}

/// What had to be given or taken away, the most first; of equals as in the file.
pub(super) fn lacks(columns: &[Columns], supplies: &[Supply], values: &[f64]) -> Vec<Lack> {
    let mut sums: BTreeMap<(NodeId, Lacking), f64> = BTreeMap::new();
    let mut add = |node, what, kg| *sums.entry((node, what)).or_default() += kg;
    for columns in columns {
        for &(node, substance, column) in &columns.gift {
            add(node, Lacking::Missing(substance), values[column]);
        }
        for &(node, substance, column) in &columns.held {
            add(node, Lacking::HeldUp(substance), values[column]);
        }
    }
    for supply in supplies {
        let kg = supply.kg * values[supply.column];
        add(supply.node, Lacking::Supplies(supply.what), kg);
    }
    let mut lacks: Vec<Lack> = sums
        .into_iter()
        .filter(|(_, kg)| *kg > NOISE)
        .map(|((node, what), kg)| Lack { node, what, kg })
        .collect();
    lacks.sort_by(|one, other| other.kg.total_cmp(&one.kg));
    lacks
}
