//! The search over hardware counts: a tree whose every branch is a change of
//! bounds, closed only with counts fixed, the other whole numbers whole and
//! the spares exact.

use std::cmp::Ordering;
use std::collections::{BTreeMap, BinaryHeap};

use super::kernel::{Doubt, Kernel};
use super::mixed::Mixed;
use super::portfolio::{Portfolio, rewrite};
use super::reduce::{Reduced, reduce};
use super::relaxation::{Relaxed, relax};
use super::{Backend, Clock, Fault, Options, Outcome, Solution};
use crate::program::{Family, Form, Program};

/// Numbers of spares up to which every one is a column of its own where payload
/// rows weigh them: the bound is stronger, the linear programs are larger.
const MOST_CHOICES: usize = 3_000;

/// A whole number is one within this.
const WHOLE: f64 = 1e-7;

/// The objective and the counts held, for a search other than the first.
#[derive(Clone, Debug)]
pub(super) struct Question {
    /// Bounds on columns of the whole program, narrower than its own.
    pub bounds: Vec<(usize, f64, f64)>,
    /// Answers at or above this mass are of no interest, kg.
    pub cutoff_kg: f64,
}

/// Finds the lightest answer of a program.
pub(super) fn lightest(
    program: &Program,
    options: &Options,
    clock: &Clock,
    question: Option<&Question>,
) -> Result<Outcome, Fault> {
    let narrowed = question.map(|question| narrow(program, &question.bounds));
    let program = narrowed.as_ref().unwrap_or(program);
    let cutoff = question.map_or(f64::INFINITY, |question| question.cutoff_kg);
    let weighs_spares = program.system_confidence.is_some()
        && program.form == Form::PerFlight
        && program.rows.iter().any(|row| row.family == Family::Payload);
    let mut price = 0.0;
    if program.system_confidence.is_some() {
        // The price of confidence at the rounded-up counts of the root.
        for _ in 0..3 {
            let portfolio = rewrite(program, Some(price));
            let Some(combinations) = root_combinations(&portfolio, options.backend)? else {
                return Ok(Outcome::Infeasible);
            };
            let better = portfolio.tables.price(&combinations);
            if (better - price).abs() <= 1e-9 * better.abs() {
                break;
            }
            price = better;
        }
    }
    let choices: usize = program.parts.iter().map(|part| part.options.len()).sum();
    let explicit = weighs_spares && choices <= MOST_CHOICES;
    let portfolio = rewrite(program, (!explicit).then_some(price));
    Search::run(portfolio, Some(program), options, clock, cutoff)
}

/// Minimises a mixed program as it stands.
pub(super) fn run(
    portfolio: Portfolio,
    options: &Options,
    clock: &Clock,
) -> Result<Outcome, Fault> {
    Search::run(portfolio, None, options, clock, f64::INFINITY)
}

fn narrow(program: &Program, bounds: &[(usize, f64, f64)]) -> Program {
    let mut program = program.clone();
    for &(column, lower, upper) in bounds {
        let data = &mut program.columns[column];
        data.lower = data.lower.max(lower);
        data.upper = data.upper.min(upper);
    }
    // Combinations of units outside the bounds leave the spare tables.
    let columns = &program.columns;
    let handles = &program.handles;
    for part in &mut program.parts {
        let nodes = part.nodes.clone();
        part.options.retain(|option| {
            option.counts.iter().zip(&nodes).all(|(&units, node)| {
                handles.count[node.index()].is_none_or(|column| {
                    let data = &columns[column.0];
                    f64::from(units) >= data.lower && f64::from(units) <= data.upper
                })
            })
        });
    }
    program
}

/// Combination of every part at the root, counts rounded up.
fn root_combinations(portfolio: &Portfolio, backend: Backend) -> Result<Option<Vec<usize>>, Fault> {
    let Ok(reduced) = reduce(&portfolio.mixed) else {
        return Ok(None);
    };
    let lower: Vec<f64> = reduced.program.columns.iter().map(|c| c.lower).collect();
    let upper: Vec<f64> = reduced.program.columns.iter().map(|c| c.upper).collect();
    let mut kernel = Kernel::new(&reduced.program);
    let relaxed = solve_linear(&mut kernel, &reduced.program, &lower, &upper, backend)?;
    let Relaxed::Optimal { values, .. } = relaxed else {
        return Ok(None);
    };
    let values = reduced.expand(&values);
    let mut combinations = vec![0; portfolio.tables.parts.len()];
    for group in &portfolio.groups {
        let Some(part) = group.part else { continue };
        let units: Vec<u32> = (0..group.counts.len())
            .map(|node| {
                let mean: f64 = group
                    .options
                    .iter()
                    .map(|option| f64::from(option.units[node]) * values[option.weight])
                    .sum();
                (mean - 1e-6).ceil().max(0.0) as u32
            })
            .collect();
        combinations[part] = portfolio.tables.combination(part, &units).unwrap_or(0);
    }
    Ok(Some(combinations))
}

/// Solves a linear program by the kernel; where it cannot make sure of its
/// result, or is not wanted, by the library's slower simplex.
fn solve_linear(
    kernel: &mut Kernel,
    program: &Mixed,
    lower: &[f64],
    upper: &[f64],
    backend: Backend,
) -> Result<Relaxed, Fault> {
    match backend {
        Backend::Library => relax(program, lower, upper),
        Backend::Kernel => match kernel.solve(program, lower, upper) {
            Ok(relaxed) => Ok(relaxed),
            Err(Doubt::Unbounded) => Err(Fault::Unbounded),
            Err(Doubt::Lost) => relax(program, lower, upper),
        },
    }
}

/// Bounds on the units of one node: group, node of the group.
type Boxes = Vec<Vec<(u32, u32)>>;

/// Whole columns looked at closely before one is split.
const CANDIDATES: usize = 8;
/// Trials after which experience is trusted.
const TRIALS: u32 = 4;

/// What rounding a whole column has cost, summed over trials, kg per unit.
#[derive(Clone, Copy, Debug, Default)]
struct Experience {
    trials: u32,
    down: f64,
    up: f64,
}

/// A part of the answers still open.
#[derive(Clone, Debug)]
struct Open {
    bound: f64,
    depth: usize,
    number: usize,
    boxes: Boxes,
    /// Bounds on other whole columns of the reduced program.
    whole: BTreeMap<usize, (f64, f64)>,
    /// What the exact spares weigh beyond the least, by payload row, kg; empty
    /// until the units are fixed.
    excess: Vec<f64>,
    /// The 0/1 columns of the exact spares, where they are columns; empty until
    /// the units are fixed.
    spares: Vec<usize>,
}

impl PartialEq for Open {
    fn eq(&self, other: &Self) -> bool {
        self.cmp(other) == Ordering::Equal
    }
}

impl Eq for Open {}

impl PartialOrd for Open {
    fn partial_cmp(&self, other: &Self) -> Option<Ordering> {
        Some(self.cmp(other))
    }
}

impl Ord for Open {
    /// The heap gives the lowest bound first, then the deepest, then the oldest.
    fn cmp(&self, other: &Self) -> Ordering {
        other
            .bound
            .total_cmp(&self.bound)
            .then(self.depth.cmp(&other.depth))
            .then(other.number.cmp(&self.number))
    }
}

/// The best answer so far, in the whole program's columns.
#[derive(Clone, Debug)]
struct Incumbent {
    cost: f64,
    values: Vec<f64>,
}

/// The spares of fixed units.
#[derive(Clone, Debug, Default)]
struct ExactSpares {
    /// What they weigh beyond what the linear program was charged, kg.
    more: f64,
    /// Their 0/1 columns.
    columns: Vec<usize>,
    /// What they weigh beyond the least on every flight with a payload row, kg.
    excess: Vec<f64>,
    /// Whether spares on several flights compete for payload.
    compete: bool,
    /// Whether every number of spares is a column of its own.
    explicit: bool,
}

impl ExactSpares {
    /// Holds a part of the answers to these spares.
    fn hold(&self, open: &mut Open) {
        if self.compete {
            return;
        }
        if self.explicit {
            open.spares.clone_from(&self.columns);
        } else {
            open.excess.clone_from(&self.excess);
        }
    }
}

struct Search<'a> {
    portfolio: &'a Portfolio,
    /// The whole program, where spares may have to be chosen with the flights.
    program: Option<&'a Program>,
    reduced: &'a Reduced,
    options: &'a Options,
    clock: &'a Clock,
    incumbent: Option<Incumbent>,
    cutoff: f64,
    relaxations: usize,
    numbered: usize,
    /// Lowest bound that was given up because nothing there can be lighter.
    lowest_closed: f64,
    tried: BTreeMap<Vec<Vec<u32>>, ()>,
    kernel: Kernel,
    /// What rounding a whole column down or up has cost so far, kg per unit.
    experience: BTreeMap<usize, Experience>,
}

impl Search<'_> {
    fn run(
        portfolio: Portfolio,
        program: Option<&Program>,
        options: &Options,
        clock: &Clock,
        cutoff: f64,
    ) -> Result<Outcome, Fault> {
        let Ok(reduced) = reduce(&portfolio.mixed) else {
            return Ok(Outcome::Infeasible);
        };
        let mut search = Search {
            portfolio: &portfolio,
            program,
            reduced: &reduced,
            options,
            clock,
            incumbent: None,
            cutoff,
            relaxations: 0,
            numbered: 0,
            lowest_closed: f64::INFINITY,
            tried: BTreeMap::new(),
            kernel: Kernel::new(&reduced.program),
            experience: BTreeMap::new(),
        };
        search.explore()
    }

    fn explore(&mut self) -> Result<Outcome, Fault> {
        let boxes: Boxes = self
            .portfolio
            .groups
            .iter()
            .map(|group| {
                (0..group.counts.len())
                    .map(|node| {
                        let units = group.options.iter().map(|option| option.units[node]);
                        (units.clone().min().unwrap_or(0), units.max().unwrap_or(0))
                    })
                    .collect()
            })
            .collect();
        let mut heap = BinaryHeap::new();
        heap.push(Open {
            bound: f64::NEG_INFINITY,
            depth: 0,
            number: 0,
            boxes,
            whole: BTreeMap::new(),
            excess: Vec::new(),
            spares: Vec::new(),
        });
        let mut stopped_at = None;
        let mut next: Option<Open> = None;
        while let Some(open) = next.take().or_else(|| heap.pop()) {
            if open.bound >= self.prune_at() {
                self.lowest_closed = self.lowest_closed.min(open.bound);
                continue;
            }
            if self.clock.is_over() {
                let waiting = heap.peek().map_or(f64::INFINITY, |other| other.bound);
                stopped_at = Some(open.bound.min(waiting));
                break;
            }
            next = self.visit(open, &mut heap)?;
        }
        Ok(self.outcome(stopped_at))
    }

    fn outcome(&mut self, stopped_at: Option<f64>) -> Outcome {
        let bound = stopped_at.unwrap_or(f64::INFINITY).min(self.lowest_closed);
        match self.incumbent.take() {
            Some(incumbent) => {
                let bound_kg = bound.min(incumbent.cost);
                let gap = (incumbent.cost - bound_kg) / incumbent.cost.abs().max(1e-9);
                Outcome::Solved(Solution {
                    values: incumbent.values,
                    objective_kg: incumbent.cost,
                    bound_kg: if bound_kg.is_finite() { bound_kg } else { 0.0 },
                    proved: stopped_at.is_none() || gap <= self.options.gap,
                    relaxations: self.relaxations,
                })
            }
            None => match stopped_at {
                Some(bound) => Outcome::Unknown {
                    bound_kg: bound.max(0.0),
                },
                None => Outcome::Infeasible,
            },
        }
    }

    /// Answers at or above this are not lighter than the best.
    fn prune_at(&self) -> f64 {
        match &self.incumbent {
            Some(incumbent) => {
                (incumbent.cost - self.options.gap * incumbent.cost.abs()).min(self.cutoff)
            }
            None => self.cutoff,
        }
    }

    fn relax(&mut self, open: &Open) -> Result<Option<(f64, Vec<f64>)>, Fault> {
        let columns = &self.reduced.program.columns;
        let mut lower: Vec<f64> = columns.iter().map(|column| column.lower).collect();
        let mut upper: Vec<f64> = columns.iter().map(|column| column.upper).collect();
        for (group, boxes) in self.portfolio.groups.iter().zip(&open.boxes) {
            let mut allowed = 0;
            let mut last = None;
            for option in &group.options {
                let Some(weight) = self.reduced.left[option.weight] else {
                    continue;
                };
                if fits(&option.units, boxes) {
                    allowed += 1;
                    last = Some(weight);
                } else {
                    upper[weight] = 0.0;
                }
            }
            match (allowed, last) {
                (0, _) => return Ok(None),
                (1, Some(weight)) => lower[weight] = 1.0,
                _ => {}
            }
        }
        for (&column, &(least, most)) in &open.whole {
            lower[column] = lower[column].max(least);
            upper[column] = upper[column].min(most);
        }
        for (index, weighed) in self.portfolio.weighed.iter().enumerate() {
            if let Some(column) = weighed.column.and_then(|column| self.reduced.left[column]) {
                let excess = open.excess.get(index).copied().unwrap_or(0.0);
                lower[column] = excess;
                upper[column] = excess;
            }
        }
        if !open.spares.is_empty() {
            for column in self.portfolio.spares_columns() {
                if let Some(left) = self.reduced.left[column] {
                    let value = f64::from(u8::from(open.spares.contains(&column)));
                    lower[left] = value;
                    upper[left] = value;
                }
            }
        }
        self.relaxations += 1;
        let program = &self.reduced.program;
        let backend = self.options.backend;
        let relaxed = solve_linear(&mut self.kernel, program, &lower, &upper, backend)?;
        match relaxed {
            Relaxed::Optimal { objective, values } => Ok(Some((objective, values))),
            Relaxed::Infeasible => Ok(None),
        }
    }

    /// Bounds a part of the answers and splits it; gives the half to go on with,
    /// the other waits in the heap.
    fn visit(
        &mut self,
        mut open: Open,
        heap: &mut BinaryHeap<Open>,
    ) -> Result<Option<Open>, Fault> {
        let fixed = is_fixed(&open.boxes);
        let mut spares = ExactSpares::default();
        if fixed {
            let Some(exact) = self.exact_spares(&open.boxes) else {
                return Ok(None);
            };
            exact.hold(&mut open);
            spares = exact;
        }
        let Some((objective, values)) = self.relax(&open)? else {
            return Ok(None);
        };
        let bound = (objective + spares.more).max(open.bound);
        if bound >= self.prune_at() {
            self.lowest_closed = self.lowest_closed.min(bound);
            return Ok(None);
        }
        open.bound = bound;
        if spares.compete {
            self.choose_spares_with_flights(&open)?;
            return Ok(None);
        }
        let means = self.means(&values);
        if !fixed {
            self.try_rounding(&open, &means)?;
        } else {
            if self.fractional(&values).is_some() {
                self.try_whole(&open, &values)?;
                let column = self.choose_whole(&open, objective, &values)?;
                return Ok(Some(self.split_whole(open, column, values[column], heap)));
            }
            self.accept(bound, &values, &spares.columns);
            return Ok(None);
        }
        if bound >= self.prune_at() {
            self.lowest_closed = self.lowest_closed.min(bound);
            return Ok(None);
        }
        let (group, node, at) = self.branch(&open.boxes, &values, &means);
        let (least, most) = open.boxes[group][node];
        let mut low = open.clone();
        low.boxes[group][node] = (least, at);
        let mut high = open;
        high.boxes[group][node] = (at + 1, most);
        let upward = means[group][node] > f64::from(at) + 0.5;
        Ok(Some(self.follow(low, high, upward, heap)))
    }

    /// Numbers two halves, puts one into the heap and gives the other.
    fn follow(
        &mut self,
        mut low: Open,
        mut high: Open,
        upward: bool,
        heap: &mut BinaryHeap<Open>,
    ) -> Open {
        for half in [&mut low, &mut high] {
            self.numbered += 1;
            half.number = self.numbered;
            half.depth += 1;
        }
        let (next, other) = if upward { (high, low) } else { (low, high) };
        heap.push(other);
        next
    }

    fn split_whole(
        &mut self,
        open: Open,
        column: usize,
        value: f64,
        heap: &mut BinaryHeap<Open>,
    ) -> Open {
        let at = value.floor();
        let data = self.reduced.program.columns[column];
        let (least, most) = open
            .whole
            .get(&column)
            .copied()
            .unwrap_or((data.lower, data.upper));
        let mut low = open.clone();
        low.whole.insert(column, (least, at));
        let mut high = open;
        high.whole.insert(column, (at + 1.0, most));
        // More of anything whole (containers, cartridges, tanks) fits sooner.
        self.follow(low, high, true, heap)
    }

    /// Mean units of every node under the weights.
    fn means(&self, values: &[f64]) -> Vec<Vec<f64>> {
        self.portfolio
            .groups
            .iter()
            .map(|group| {
                (0..group.counts.len())
                    .map(|node| {
                        group
                            .options
                            .iter()
                            .map(|option| {
                                f64::from(option.units[node]) * self.weight(values, option.weight)
                            })
                            .sum()
                    })
                    .collect()
            })
            .collect()
    }

    fn weight(&self, values: &[f64], weight: usize) -> f64 {
        self.reduced.left[weight].map_or(0.0, |column| values[column])
    }

    /// Where to split: an undecided on/off choice first, then the count whose
    /// weights are spread most.
    fn branch(&self, boxes: &Boxes, values: &[f64], means: &[Vec<f64>]) -> (usize, usize, u32) {
        let mut best: Option<(bool, f64, (usize, usize, u32))> = None;
        for (index, group) in self.portfolio.groups.iter().enumerate() {
            for node in 0..group.counts.len() {
                let (least, most) = boxes[index][node];
                if least == most {
                    continue;
                }
                let mean = means[index][node];
                let none: f64 = group
                    .options
                    .iter()
                    .filter(|option| option.units[node] == 0)
                    .map(|option| self.weight(values, option.weight))
                    .sum();
                let spread: f64 = group
                    .options
                    .iter()
                    .map(|option| {
                        (f64::from(option.units[node]) - mean).abs()
                            * self.weight(values, option.weight)
                    })
                    .sum();
                let undecided = least == 0 && none > WHOLE && none < 1.0 - WHOLE;
                let mass: f64 = group
                    .options
                    .iter()
                    .map(|option| self.portfolio.mixed.columns[option.weight].cost)
                    .fold(0.0, f64::max);
                let at = if undecided {
                    0
                } else {
                    ((mean + WHOLE).floor().max(f64::from(least)) as u32).min(most - 1)
                };
                let score = if undecided {
                    none.min(1.0 - none) * mass.max(1e-6)
                } else {
                    spread * mass.max(1e-6)
                };
                let better = best.as_ref().is_none_or(|&(known, most, _)| {
                    undecided && !known || undecided == known && score > most
                });
                if better {
                    best = Some((undecided, score, (index, node, at)));
                }
            }
        }
        best.map_or((0, 0, 0), |(_, _, place)| place)
    }

    /// A whole column of the reduced program that is not whole: totals over all
    /// flights first, then the one nearest to a half.
    fn fractional(&self, values: &[f64]) -> Option<usize> {
        let mut best: Option<((bool, f64), usize)> = None;
        for (column, data) in self.reduced.program.columns.iter().enumerate() {
            if !data.whole {
                continue;
            }
            let away = (values[column] - values[column].round()).abs();
            if away <= WHOLE {
                continue;
            }
            let key = (self.portfolio.is_early(self.reduced.origin[column]), away);
            let better = best
                .is_none_or(|(known, _)| key.0 && !known.0 || key.0 == known.0 && key.1 > known.1);
            if better {
                best = Some((key, column));
            }
        }
        best.map(|(_, column)| column)
    }

    /// The whole column to split: totals over all flights first; among the most
    /// promising, the one whose rounding costs most both ways, by trial until
    /// enough is known of it.
    fn choose_whole(
        &mut self,
        open: &Open,
        objective: f64,
        values: &[f64],
    ) -> Result<usize, Fault> {
        let mut candidates: Vec<(bool, f64, usize)> = Vec::new();
        for (column, data) in self.reduced.program.columns.iter().enumerate() {
            let away = (values[column] - values[column].round()).abs();
            if data.whole && away > WHOLE {
                let early = self.portfolio.is_early(self.reduced.origin[column]);
                candidates.push((early, away, column));
            }
        }
        candidates.sort_by(|a, b| b.0.cmp(&a.0).then(b.1.total_cmp(&a.1)).then(a.2.cmp(&b.2)));
        if let Some(&(true, _, column)) = candidates.first() {
            return Ok(column);
        }
        candidates.truncate(CANDIDATES);
        let mut best = (
            f64::NEG_INFINITY,
            candidates.first().map_or(0, |first| first.2),
        );
        for (_, _, column) in candidates {
            let value = values[column];
            let down = value - value.floor();
            let known = self.experience.get(&column).copied().unwrap_or_default();
            let known = if known.trials < TRIALS {
                self.try_split(open, objective, column, value, known)?
            } else {
                known
            };
            let trials = f64::from(known.trials.max(1));
            let lower = known.down / trials * down;
            let higher = known.up / trials * (1.0 - down);
            let score = lower.max(1e-6) * higher.max(1e-6);
            if score > best.0 {
                best = (score, column);
            }
        }
        Ok(best.1)
    }

    /// Rounds a column both ways and remembers what that costs.
    fn try_split(
        &mut self,
        open: &Open,
        objective: f64,
        column: usize,
        value: f64,
        known: Experience,
    ) -> Result<Experience, Fault> {
        let data = self.reduced.program.columns[column];
        let (least, most) = open
            .whole
            .get(&column)
            .copied()
            .unwrap_or((data.lower, data.upper));
        let at = value.floor();
        let mut costs = [0.0; 2];
        for (cost, bounds) in costs.iter_mut().zip([(least, at), (at + 1.0, most)]) {
            let mut half = open.clone();
            half.whole.insert(column, bounds);
            *cost = match self.relax(&half)? {
                Some((bound, _)) => (bound - objective).max(0.0),
                // Nothing is left on this side: as good as any cost.
                None => self.prune_at().min(2.0 * objective.abs() + 1.0) - objective,
            };
        }
        let down = value - at;
        let known = Experience {
            trials: known.trials + 1,
            down: known.down + costs[0].max(0.0) / down,
            up: known.up + costs[1].max(0.0) / (1.0 - down),
        };
        self.experience.insert(column, known);
        Ok(known)
    }

    /// Exact mass of the spares over what the linear program was charged, for
    /// counts that are fixed; none if no number of spares suffices.
    fn exact_spares(&self, boxes: &Boxes) -> Option<ExactSpares> {
        let explicit = !self.portfolio.spares_apart;
        if explicit && self.portfolio.weighed.is_empty() {
            return Some(ExactSpares::default());
        }
        let mut combinations = vec![0; self.portfolio.tables.parts.len()];
        let mut priced = self.portfolio.spares_constant;
        for (group, boxes) in self.portfolio.groups.iter().zip(boxes) {
            let Some(part) = group.part else { continue };
            let option = group
                .options
                .iter()
                .position(|option| fits(&option.units, boxes))?;
            combinations[part] = option;
            priced += group.options[option].priced;
        }
        let tables = &self.portfolio.tables;
        let lightest = tables.lightest(&combinations)?;
        let mut excess = Vec::with_capacity(self.portfolio.weighed.len());
        let mut flights_with_choice = 0;
        for weighed in &self.portfolio.weighed {
            let mass = |column: usize| weighed.mass.get(&column).copied().unwrap_or(0.0);
            let chosen: f64 = lightest.columns.iter().map(|&column| mass(column)).sum();
            let mut least = 0.0;
            let mut choice = false;
            for (part, &combination) in combinations.iter().enumerate() {
                let fewest = weighed.least[part][combination];
                least += fewest;
                choice |= tables.parts[part][combination]
                    .iter()
                    .any(|choice| mass(choice.column) > fewest);
            }
            excess.push(chosen - least);
            flights_with_choice += usize::from(choice);
        }
        let compete = flights_with_choice > 1;
        if explicit && compete {
            // They are columns; the search decides them with the flights.
            return Some(ExactSpares::default());
        }
        Some(ExactSpares {
            more: if explicit {
                0.0
            } else {
                lightest.cost - priced
            },
            columns: lightest.columns,
            excess,
            compete,
            explicit,
        })
    }

    /// With units fixed and spares on several flights with payload limits, the
    /// lightest spares need not be those that fit best: every number of spares
    /// becomes a column, and this part of the answers is searched by itself.
    fn choose_spares_with_flights(&mut self, open: &Open) -> Result<(), Fault> {
        let Some(program) = self.program else {
            return Ok(());
        };
        let mut bounds = Vec::new();
        for (group, boxes) in self.portfolio.groups.iter().zip(&open.boxes) {
            for (&count, &(least, most)) in group.counts.iter().zip(boxes) {
                bounds.push((count, f64::from(least), f64::from(most)));
            }
        }
        let narrowed = narrow(program, &bounds);
        let cutoff = self.prune_at();
        let portfolio = rewrite(&narrowed, None);
        match Search::run(portfolio, None, self.options, self.clock, cutoff)? {
            Outcome::Solved(solution) => {
                self.relaxations += solution.relaxations;
                if !solution.proved {
                    self.lowest_closed = self.lowest_closed.min(open.bound);
                }
                if solution.objective_kg < cutoff {
                    self.incumbent = Some(Incumbent {
                        cost: solution.objective_kg,
                        values: solution.values,
                    });
                }
            }
            Outcome::Infeasible => {
                self.lowest_closed = self.lowest_closed.min(cutoff);
            }
            Outcome::Unknown { .. } => {
                self.lowest_closed = self.lowest_closed.min(open.bound);
            }
        }
        Ok(())
    }

    fn accept(&mut self, cost: f64, values: &[f64], spares: &[usize]) {
        if cost < self.prune_at() {
            let all = self.reduced.expand(values);
            let mut values = self.portfolio.unwrite(&all);
            for &column in spares {
                values[column] = 1.0;
            }
            self.incumbent = Some(Incumbent { cost, values });
        }
    }

    /// Rounds the counts up, holds them, and completes an answer.
    fn try_rounding(&mut self, open: &Open, means: &[Vec<f64>]) -> Result<(), Fault> {
        let units: Vec<Vec<u32>> = means
            .iter()
            .zip(&open.boxes)
            .map(|(means, boxes)| {
                means
                    .iter()
                    .zip(boxes)
                    .map(|(&mean, &(least, most))| {
                        ((mean - 1e-6).ceil().max(0.0) as u32).clamp(least, most)
                    })
                    .collect()
            })
            .collect();
        if self.tried.insert(units.clone(), ()).is_some() {
            return Ok(());
        }
        let mut held = Open {
            boxes: units
                .iter()
                .map(|units| units.iter().map(|&count| (count, count)).collect())
                .collect(),
            ..open.clone()
        };
        let Some(spares) = self
            .exact_spares(&held.boxes)
            .filter(|spares| !spares.compete)
        else {
            return Ok(());
        };
        spares.hold(&mut held);
        let Some((objective, values)) = self.relax(&held)? else {
            return Ok(());
        };
        if self.fractional(&values).is_none() {
            self.accept(objective + spares.more, &values, &spares.columns);
            return Ok(());
        }
        self.try_whole(&held, &values)
    }

    /// Rounds the other whole numbers up, holds them, and completes an answer.
    fn try_whole(&mut self, open: &Open, values: &[f64]) -> Result<(), Fault> {
        let mut held = open.clone();
        for (column, data) in self.reduced.program.columns.iter().enumerate() {
            if data.whole {
                let value = (values[column] - WHOLE).ceil();
                held.whole.insert(column, (value, value));
            }
        }
        let Some((objective, values)) = self.relax(&held)? else {
            return Ok(());
        };
        if let Some(spares) = self.exact_spares(&held.boxes) {
            self.accept(objective + spares.more, &values, &spares.columns);
        }
        Ok(())
    }
}

fn fits(units: &[u32], boxes: &[(u32, u32)]) -> bool {
    units
        .iter()
        .zip(boxes)
        .all(|(&units, &(least, most))| units >= least && units <= most)
}

fn is_fixed(boxes: &Boxes) -> bool {
    boxes
        .iter()
        .all(|group| group.iter().all(|&(least, most)| least == most))
}
