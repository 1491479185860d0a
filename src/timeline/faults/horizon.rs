//! Several stretches in one program, joined by what is left from one to the next.

use super::conditions::Stretch;
use super::lack::Supply;
use super::model::Model;
use super::rows::{self, Columns, Length, Needs, Rule};
use crate::kinds::Role;
use crate::program::Sense;
use crate::solve::{Backend, Fault, LinearOutcome, LinearProgram};
use crate::timeline::levels::Kept;

/// What a program may do beyond what the plan has aboard.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum More {
    /// Nothing.
    Nothing,
    /// The last stretch is as long as it can be, and nothing else counts.
    Days,
    /// Cartridges and expendables may be given, at what they weigh.
    Supplies,
}

/// A supply that weighs nothing is not given without need.
const LIGHTEST: f64 = 1e-3;

/// A program over several stretches.
pub(super) struct Horizon {
    program: LinearProgram,
    /// The columns of every stretch.
    pub columns: Vec<Columns>,
    /// Cartridges and expendables that are given, where they may be.
    pub supplies: Vec<Supply>,
    /// The length of the last stretch, where it is chosen.
    pub last_days: Option<usize>,
}

impl Horizon {
    /// The program of stretches that begin with `stocks` before anything arrives.
    pub fn of(
        model: &Model,
        stretches: &[Stretch],
        stocks: &[f64],
        needs: impl Fn(usize) -> Needs,
        more: More,
    ) -> Self {
        let mut program = LinearProgram::default();
        let mut all = Vec::with_capacity(stretches.len());
        let mut left: Vec<Left> = stocks.iter().map(|&kg| Left::Known(kg)).collect();
        let mut supplies = Vec::new();
        let mut last_days = None;
        for (index, stretch) in stretches.iter().enumerate() {
            let length = match more == More::Days && index + 1 == stretches.len() {
                true => {
                    let days = program.column(0.0, stretch.days(), 0.0);
                    last_days = Some(days);
                    Length::Column(days)
                }
                false => Length::Days(stretch.days()),
            };
            let rule = Rule::Free;
            let columns = rows::stretch(&mut program, model, stretch, length, rule, needs(index));
            for (stock, left) in left.iter_mut().enumerate() {
                let brought: f64 = stretch
                    .arrivals
                    .iter()
                    .map(|&flight| model.stocks[stock].brought[flight])
                    .sum();
                let of = &model.stocks[stock];
                let mut used = uses(model, stretch, &columns, stock);
                let is_supply = matches!(of.what, Kept::Cartridges | Kept::Expendables);
                if more == More::Supplies && is_supply && !used.is_empty() {
                    let column = program.column(0.0, f64::INFINITY, of.kg_each.max(LIGHTEST));
                    used.push((column, -1.0));
                    supplies.push(Supply {
                        node: of.node,
                        what: of.what,
                        column,
                        kg: of.kg_each,
                    });
                }
                *left = left.after(&mut program, brought, used, model.stocks[stock].room);
            }
            all.push(columns);
        }
        if let Some(days) = last_days {
            program.maximise(days);
        }
        Horizon {
            program,
            columns: all,
            supplies,
            last_days,
        }
    }

    /// The values of all columns, if everything can hold.
    pub fn solve(&self, backend: Backend) -> Result<Option<Vec<f64>>, Fault> {
        Ok(match self.program.solve(backend)? {
            LinearOutcome::Optimal { values, .. } => Some(values),
            LinearOutcome::Infeasible => None,
        })
    }
}

/// What is left of a stock.
#[derive(Clone, Copy, Debug)]
enum Left {
    Known(f64),
    Column(usize),
}

impl Left {
    /// `left' = left + brought − used`, not below nothing and within the room.
    fn after(
        self,
        program: &mut LinearProgram,
        brought: f64,
        used: Vec<(usize, f64)>,
        room: f64,
    ) -> Left {
        if used.is_empty() {
            if let Left::Known(kg) = self {
                return Left::Known(kg + brought);
            }
            if brought == 0.0 {
                return self;
            }
        }
        let next = program.column(0.0, room, 0.0);
        let mut terms = used;
        terms.push((next, 1.0));
        let mut right = brought;
        match self {
            Left::Known(kg) => right += kg,
            Left::Column(before) => terms.push((before, -1.0)),
        }
        program.row(terms, Sense::Equal, right);
        Left::Column(next)
    }
}

/// What uses up a stock in a stretch, as terms; nothing for what only fills up.
pub(super) fn uses(
    model: &Model,
    stretch: &Stretch,
    columns: &Columns,
    stock: usize,
) -> Vec<(usize, f64)> {
    let of = &model.stocks[stock];
    let acts = &stretch.nodes[of.node.index()].acts;
    let levels = &columns.level[of.node.index()];
    let acts = acts.iter().zip(levels);
    let terms = acts.filter_map(|(act, level)| {
        let level = (*level)?;
        match (of.what, &act.activity.role) {
            (Kept::Cargo, Role::Bring) => Some((level, 1.0)),
            (Kept::Cartridges | Kept::Expendables, _) => {
                Some((level, of.per_feed * act.activity.load))
            }
            _ => None,
        }
    });
    let mut terms: Vec<(usize, f64)> = terms.filter(|(_, factor)| *factor != 0.0).collect();
    terms.extend(columns.draw.get(&stock).map(|draw| (*draw, 1.0)));
    terms.extend(columns.fill.get(&stock).map(|fill| (*fill, -1.0)));
    terms
}
