//! Which inputs every fact of the network depends on, and how: found by moving them.
//!
//! A fact is taken for a sum of products of inputs, each input at most once in a
//! product. Moving the inputs of a fact in every combination gives the factors; a
//! further point, where all of them move elsewhere, must agree. What does not is no
//! formula: its inputs stay as they are in the design.

use std::collections::{BTreeMap, BTreeSet};

use super::facts::{Fact, Facts};
use super::formula::{Formula, product, quotient, sum};
use super::inputs::{Input, Number, Part, changes};
use crate::design::Design;
use crate::network;
use crate::quantity::Dimension;
use crate::study::parallel::answers;

/// How far an input is moved, as a share of itself.
const STEP: f64 = 1.0 / 64.0;
/// Most inputs that a fact is followed back to.
const MOST_MOVERS: usize = 4;
/// A term this small beside its fact is rounding.
const ROUNDING: f64 = 1e-10;
/// A formula and its fact agree to this share.
const AGREES: f64 = 1e-9;

/// What moving the inputs showed.
pub(super) struct Traced {
    /// What each input does.
    pub parts: Vec<Part>,
    laws: BTreeMap<Fact, Law>,
}

/// How a fact depends on inputs.
enum Law {
    /// It is the share that takes the rest.
    Rest(usize, Vec<usize>),
    /// `Σ factor · Π inputs`.
    Terms(Vec<(Vec<usize>, f64)>),
}

/// Moves the inputs of a design.
pub(super) fn trace(design: &Design, base: &Facts, numbers: &[Number]) -> Traced {
    let laboratory = Laboratory {
        design,
        base,
        numbers,
    };
    let indices: Vec<usize> = (0..numbers.len()).collect();
    let steps = answers(&indices, |&index| laboratory.step(index));
    let mut parts: Vec<Part> = numbers
        .iter()
        .enumerate()
        .map(|(index, number)| match (&steps[index], number.rest) {
            (_, Some(rest)) if rest == index => Part::Rest,
            (Some((_, facts)), _) if facts.numbers == base.numbers => Part::Idle,
            (Some(_), _) => Part::Live,
            (None, _) => Part::Fixed,
        })
        .collect();
    loop {
        let (laws, strange) = laboratory.laws(&steps, &parts);
        if strange.is_empty() {
            return Traced { parts, laws };
        }
        for index in strange {
            parts[index] = Part::Fixed;
        }
    }
}

impl Traced {
    /// The facts that an input moves.
    pub fn facts_of(&self, index: usize) -> impl Iterator<Item = &Fact> {
        let laws = self.laws.iter();
        laws.filter(move |(_, law)| match law {
            Law::Rest(_, movers) => movers.contains(&index),
            Law::Terms(terms) => terms.iter().any(|(movers, _)| movers.contains(&index)),
        })
        .map(|(fact, _)| fact)
    }

    /// A fact as a formula of inputs; the number itself where none moves it.
    pub fn formula(&self, fact: Fact, number: f64, inputs: &[Input]) -> Formula {
        let cell = |index: usize| Formula::Cell(inputs[index].cell);
        match self.laws.get(&fact) {
            None => Formula::Number(number),
            Some(Law::Rest(rest, _)) => cell(*rest),
            Some(Law::Terms(terms)) => sum(terms.iter().map(|(movers, factor)| {
                let inputs = product(movers.iter().map(|&mover| cell(mover)));
                let whole = (1.0 / factor).round();
                match (1.0 / factor - whole).abs() < AGREES && whole > 1.0 {
                    true => quotient(inputs, whole.into()),
                    false => product([tidy(*factor).into(), inputs]),
                }
            })),
        }
    }
}

/// Without the last digits, which are rounding.
fn tidy(number: f64) -> f64 {
    format!("{number:.12e}").parse().unwrap_or(number)
}

/// The value to which an input moved, and the facts there.
type Step = Option<(f64, Facts)>;

struct Laboratory<'a> {
    design: &'a Design,
    base: &'a Facts,
    numbers: &'a [Number],
}

impl Laboratory<'_> {
    /// The facts with some inputs at other values, and the rest of their shares
    /// given way; none where the design does not allow it or takes another shape.
    fn facts(&self, moved: &[(usize, f64)]) -> Option<Facts> {
        let changes = changes(self.numbers, &moved.iter().copied().collect());
        let design = self.design.with_numbers(&changes).ok()?;
        let facts = Facts::of(&network::check(&design).ok()?.network);
        facts.same_shape(self.base).then_some(facts)
    }

    fn step(&self, index: usize) -> Step {
        let value = self.numbers[index].value;
        let tries = match self.numbers[index].dimension {
            Dimension::Whole => [value + 1.0, value - 1.0],
            _ if value == 0.0 => [STEP, -STEP],
            _ => [value * (1.0 + STEP), value * (1.0 - STEP)],
        };
        tries
            .into_iter()
            .find_map(|value| Some((value, self.facts(&[(index, value)])?)))
    }

    /// The laws of all facts that inputs move, and the inputs of those that follow
    /// none.
    fn laws(&self, steps: &[Step], parts: &[Part]) -> (BTreeMap<Fact, Law>, BTreeSet<usize>) {
        let mut movers: BTreeMap<Fact, Vec<usize>> = BTreeMap::new();
        for (index, step) in steps.iter().enumerate() {
            let (Some((_, facts)), Part::Live) = (step, parts[index]) else {
                continue;
            };
            for (fact, number) in &facts.numbers {
                if self.base.numbers.get(fact) != Some(number) {
                    movers.entry(*fact).or_default().push(index);
                }
            }
        }
        let mut strange = BTreeSet::new();
        movers.retain(|_, movers| {
            let few = movers.len() <= MOST_MOVERS;
            if !few {
                strange.extend(movers.iter().copied());
            }
            few
        });
        // Facts with several movers are looked at in every combination, and once
        // more elsewhere.
        let mut points: BTreeSet<Point> = BTreeSet::new();
        for movers in movers.values() {
            points.extend(subsets(movers).map(Point::Corner));
            points.insert(Point::Elsewhere(movers.clone()));
        }
        let points: Vec<Point> = points.into_iter().collect();
        let found = answers(&points, |point| self.at(point, steps));
        let found: BTreeMap<&Point, &Option<Facts>> = points.iter().zip(&found).collect();
        let mut laws = BTreeMap::new();
        for (fact, movers) in movers {
            let at = |point: &Point| -> Option<f64> {
                let facts = found.get(point)?.as_ref()?;
                facts.numbers.get(&fact).copied()
            };
            match self.law(&movers, steps, at) {
                Some(law) => {
                    laws.insert(fact, law);
                }
                None => strange.extend(movers),
            }
        }
        (laws, strange)
    }

    /// Facts at a point.
    fn at(&self, point: &Point, steps: &[Step]) -> Option<Facts> {
        match point {
            Point::Corner(movers) if movers.is_empty() => Some(self.base.clone()),
            _ => self.facts(&self.values(point, steps)?),
        }
    }

    fn values(&self, point: &Point, steps: &[Step]) -> Option<Vec<(usize, f64)>> {
        let (movers, share) = match point {
            Point::Corner(movers) => (movers, 1.0),
            Point::Elsewhere(movers) => (movers, 0.5),
        };
        let value = |&index: &usize| {
            let number = &self.numbers[index];
            let share = match number.dimension {
                Dimension::Whole => 2.0,
                _ => share,
            };
            let there = steps[index].as_ref()?.0;
            let share = match point {
                Point::Corner(_) => 1.0,
                Point::Elsewhere(_) => share,
            };
            Some((index, number.value + share * (there - number.value)))
        };
        movers.iter().map(value).collect()
    }

    fn law(
        &self,
        movers: &[usize],
        steps: &[Step],
        at: impl Fn(&Point) -> Option<f64>,
    ) -> Option<Law> {
        if let Some(rest) = self.is_rest(movers, steps, &at) {
            return Some(Law::Rest(rest, movers.to_vec()));
        }
        let size = at(&Point::Corner(Vec::new()))?.abs();
        let step = |index: usize| Some(steps[index].as_ref()?.0 - self.numbers[index].value);
        let mut terms: Vec<(Vec<usize>, f64)> = Vec::new();
        let mut sets: Vec<Vec<usize>> = subsets(movers).collect();
        sets.sort_by_key(|set| std::cmp::Reverse(set.len()));
        let mut scale = size;
        for set in &sets {
            scale = scale.max(at(&Point::Corner(set.clone()))?.abs());
        }
        for set in sets {
            let mut change = 0.0;
            for part in subsets(&set) {
                let sign = if (set.len() - part.len()) % 2 == 0 {
                    1.0
                } else {
                    -1.0
                };
                change += sign * at(&Point::Corner(part))?;
            }
            let mut factor = change;
            let mut reach = 1.0;
            for &index in &set {
                factor /= step(index)?;
                reach *= self.numbers[index].value.abs().max(step(index)?.abs());
            }
            for (larger, known) in &terms {
                if set.iter().all(|index| larger.contains(index)) {
                    let rest = larger.iter().filter(|index| !set.contains(index));
                    let rest: f64 = rest.map(|&index| self.numbers[index].value).product();
                    factor -= known * rest;
                }
            }
            if (factor * reach).abs() > ROUNDING * scale {
                terms.push((set, tidy(factor)));
            }
        }
        terms.reverse();
        let law = |values: &[(usize, f64)]| -> f64 {
            let value = |index: usize| {
                let found = values.iter().find(|(known, _)| *known == index);
                found.map_or(self.numbers[index].value, |(_, value)| *value)
            };
            let terms = terms.iter();
            terms
                .map(|(set, factor)| factor * set.iter().map(|&one| value(one)).product::<f64>())
                .sum()
        };
        let points = subsets(movers)
            .map(Point::Corner)
            .chain([Point::Elsewhere(movers.to_vec())]);
        for point in points {
            let found = at(&point)?;
            let values = match &point {
                Point::Corner(set) if set.is_empty() => Vec::new(),
                _ => self.values(&point, steps)?,
            };
            if (law(&values) - found).abs() > AGREES * scale {
                return None;
            }
        }
        Some(Law::Terms(terms))
    }

    /// The share that takes the rest, if the fact is that.
    fn is_rest(
        &self,
        movers: &[usize],
        steps: &[Step],
        at: &impl Fn(&Point) -> Option<f64>,
    ) -> Option<usize> {
        let rest = self.numbers[*movers.first()?].rest?;
        let own = self.numbers[rest].value;
        let same = |one: f64, other: f64| (one - other).abs() <= 1e-12;
        let all = movers.iter().all(|&index| {
            let Some((value, _)) = &steps[index] else {
                return false;
            };
            let there = at(&Point::Corner(vec![index]));
            let moved = own - (value - self.numbers[index].value);
            self.numbers[index].rest == Some(rest) && there.is_some_and(|there| same(there, moved))
        });
        let here = at(&Point::Corner(Vec::new()))?;
        (all && same(here, own)).then_some(rest)
    }
}

/// Where facts are looked at.
#[derive(Clone, Debug, PartialEq, Eq, PartialOrd, Ord)]
enum Point {
    /// These inputs moved by their steps.
    Corner(Vec<usize>),
    /// These inputs moved otherwise.
    Elsewhere(Vec<usize>),
}

/// Every subset, in order.
fn subsets(set: &[usize]) -> impl Iterator<Item = Vec<usize>> {
    (0..1_usize << set.len()).map(move |mask| {
        let kept = set.iter().enumerate();
        let kept = kept.filter(|(place, _)| mask >> place & 1 == 1);
        kept.map(|(_, &index)| index).collect()
    })
}
