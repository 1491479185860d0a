//! How far each input may move: where the formulas were compared with a new solve at
//! the same units.
//!
//! A plan that stays feasible while only masses move is the lightest between two
//! values where it is the lightest at both: the least mass of all plans is concave
//! in a number that weighs, and the formulas are straight. For other numbers the
//! range says where the comparison was made.

use std::collections::BTreeMap;

use super::Draft;
use super::checks::Checks;
use super::facts::{Fact, UnitFact};
use super::inputs::{Number, Part, changes};
use super::ledger::Totals;
use crate::audit::Plan;
use crate::design::Design;
use crate::network::{self, SparesPolicy};
use crate::quantity::Dimension;
use crate::solve::{Options, Ties};
use crate::study::parallel::answers;
use crate::{Hints, Planned, plan_network};

/// How far inputs are followed.
#[derive(Clone, Debug)]
pub struct Reach {
    /// As a share of each input.
    pub share: f64,
    /// How to solve.
    pub options: Options,
}

/// Where an input was found to hold.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Range {
    /// Least value.
    pub from: f64,
    /// Largest value; very far above where there is no end.
    pub to: f64,
}

/// No end: no number of a design is that large.
pub const NO_END: f64 = 1e99;

/// The two masses agree to this share.
const AGREES: f64 = 1e-6;
/// Shares of the reach that are tried, the widest first.
const TRIES: [f64; 2] = [1.0, 0.2];

/// Compares formulas and solves, below and above every input.
pub(super) fn ranges(
    design: &Design,
    plan: &Plan,
    draft: &Draft,
    checks: &Checks,
    totals: &Totals,
    reach: &Reach,
) -> Vec<Range> {
    let asked = Comparer {
        design,
        draft,
        checks,
        totals,
        hints: Hints {
            reference: false,
            causes: false,
            ..Hints::from(Options {
                ties: Ties::Counts,
                ..reach.options.clone()
            })
        }
        .with_units_of(plan),
    };
    let sides: Vec<(usize, f64)> = (0..draft.numbers.len())
        .flat_map(|index| [(index, -1.0), (index, 1.0)])
        .collect();
    let found = answers(&sides, |&(index, way)| asked.side(index, way * reach.share));
    let mut ranges = Vec::new();
    for pair in found.chunks(2) {
        ranges.push(Range {
            from: pair[0],
            to: pair[1],
        });
    }
    ranges
}

/// Without the last digits, which are rounding.
fn tidy(number: f64) -> f64 {
    format!("{number:.9e}").parse().unwrap_or(number)
}

struct Comparer<'a> {
    design: &'a Design,
    draft: &'a Draft<'a>,
    checks: &'a Checks,
    totals: &'a Totals,
    hints: Hints,
}

impl Comparer<'_> {
    /// How far an input holds on one side.
    fn side(&self, index: usize, share: f64) -> f64 {
        let number = &self.draft.numbers[index];
        match self.draft.inputs[index].part {
            Part::Fixed | Part::Rest => return number.value,
            Part::Live | Part::Idle if share == 0.0 => return number.value,
            // Nothing of a unit is below nothing.
            Part::Live if self.weighs_only(index) => {
                return if share < 0.0 { 0.0 } else { NO_END };
            }
            Part::Live | Part::Idle => {}
        }
        let tried = TRIES.iter().map(|part| match number.dimension {
            Dimension::Whole => number.value + share.signum(),
            Dimension::Fraction => (number.value * (1.0 + part * share)).min(1.0),
            _ => number.value * (1.0 + part * share),
        });
        let mut last = number.value;
        for value in tried.map(tidy) {
            if value == last {
                continue;
            }
            if self.agrees(index, number, value) {
                return value;
            }
            last = value;
        }
        number.value
    }

    /// Whether an input moves only the mass of units or spares that are held, and no
    /// payload weighs them, or only units that are not there.
    fn weighs_only(&self, index: usize) -> bool {
        let draft = self.draft;
        let payloads = draft.network.calendar.flights.iter();
        let limited = payloads
            .into_iter()
            .any(|flight| flight.payload_kg.is_some());
        let each_node = !matches!(draft.network.spares, Some(SparesPolicy::WholeSystem { .. }));
        let mut facts = draft.traced.facts_of(index).peekable();
        facts.peek().is_some()
            && facts.all(|fact| match fact {
                Fact::Unit(node, _) if draft.answer.decisions.counts[*node] == 0 => true,
                Fact::Unit(_, UnitFact::Mass) => !limited,
                Fact::Unit(_, UnitFact::SpareMass) => !limited && each_node,
                _ => false,
            })
    }

    /// Whether the formulas give the mass of a new solve at the same units.
    fn agrees(&self, index: usize, number: &Number, value: f64) -> bool {
        let cells = self
            .draft
            .book
            .with(&[(self.draft.inputs[index].cell, value)]);
        if self
            .checks
            .fails
            .iter()
            .any(|cell| cells[cell.0].number() != 0.0)
        {
            return false;
        }
        let formulas = cells[self.totals.minimised.0].number();
        let moved: BTreeMap<usize, f64> = BTreeMap::from([(index, value)]);
        let moved = changes(&self.draft.numbers, &moved);
        debug_assert!(number.value != value);
        let Some(solved) = self.solve(&moved) else {
            return false;
        };
        (solved - formulas).abs() <= AGREES * solved.abs().max(1.0)
    }

    fn solve(&self, moved: &[(&str, f64, Dimension)]) -> Option<f64> {
        let design = self.design.with_numbers(moved).ok()?;
        let network = network::check(&design).ok()?.network;
        match plan_network(&network, &self.hints) {
            Ok(Planned::Plan(plan)) => Some(plan.answer().minimised_kg()),
            _ => None,
        }
    }
}
