//! Every number of a design moved down and up by itself: how the mass answers, with
//! today's portfolio held and with it free, and where the portfolio switches.

use serde::{Deserialize, Serialize};

use super::cell::{Cell, Ground, Portfolio};
use super::many::{Effort, Keepable, Shard, Trouble, answers};
use super::moved::{Movable, changes};
use super::uncertainty::draws::Distribution;
use crate::design::Design;
use crate::quantity::Dimension;

/// How far a switch is searched for, as a share of the number.
pub const SEARCHED: f64 = 0.5;
/// Steps outwards before a switch is closed in on.
const STEPS: u32 = 5;
/// Halvings of the step in which a switch lies.
const HALVINGS: u32 = 7;
/// Numbers of a design that no plan depends on, by the beginning of their addresses.
pub(super) const IDLE: [&str; 5] = [
    "format",
    "faults.",
    "studies.",
    "water_round.",
    "mission.launch_price",
];

/// Whether a plan may depend on the number at an address.
pub fn moves_plans(address: &str) -> bool {
    !IDLE.iter().any(|idle| address.starts_with(idle))
}

/// A design with every number moved by itself.
#[derive(Clone, Debug, PartialEq)]
pub struct Sensitivity {
    /// By which share of itself a number without a spread moves.
    pub by: f64,
    /// The design as it stands.
    pub today: Cell,
    /// Numbers that were moved, the largest change first.
    pub moved: Vec<Moved>,
    /// Numbers that cannot be moved, with the reason.
    pub unmoved: Vec<(String, String)>,
    /// The nearest switches found, of the first numbers, downwards and upwards.
    pub thresholds: Vec<Threshold>,
}

/// A number moved down and up.
#[derive(Clone, Debug, PartialEq)]
pub struct Moved {
    /// The number.
    pub number: Movable,
    /// Whether its spread says how far, from the 5th to the 95th percentile.
    pub by_spread: bool,
    /// Down and up.
    pub ends: [End; 2],
}

/// A number at one end.
#[derive(Clone, Debug, PartialEq)]
pub struct End {
    /// Its value.
    pub value: f64,
    /// The lightest there.
    pub free: Cell,
    /// With today's portfolio held.
    pub held: Cell,
    /// How much heavier the lightest is than today, kg.
    pub free_change_kg: Option<f64>,
    /// How much heavier today's portfolio is than today, kg.
    pub held_change_kg: Option<f64>,
}

/// The nearest switch found in one direction.
#[derive(Clone, Debug, PartialEq)]
pub struct Threshold {
    /// Which of the moved numbers.
    pub number: usize,
    /// Whether the number grows.
    pub upwards: bool,
    /// What was found.
    pub found: Found,
}

/// What a search outwards finds.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
pub struct Found {
    /// The furthest value with today's portfolio next to the switch.
    pub same_at: f64,
    /// The value beyond it without, and what came of that; none if today's portfolio
    /// stays the lightest up to the end of the search.
    pub other: Option<(f64, Cell)>,
    /// Whether every plan on the way was proved.
    pub certain: bool,
}

impl Keepable for Found {
    fn is_certain(&self) -> bool {
        self.certain
    }
}

impl Moved {
    /// The larger change of the mass, kg.
    pub fn largest_change_kg(&self) -> f64 {
        let changes = self.ends.iter();
        let changes = changes.flat_map(|end| [end.free_change_kg, end.held_change_kg]);
        changes.flatten().map(f64::abs).fold(0.0, f64::max)
    }
}

impl Sensitivity {
    /// Whether everything is proved, with a plan or without.
    pub fn is_complete(&self) -> bool {
        self.cells().iter().all(|cell| cell.is_certain())
            && self.thresholds.iter().all(|one| one.found.certain)
    }

    /// Of every end the cell that is less certain, in order.
    pub fn ends(&self) -> Vec<Cell> {
        let ends = self.moved.iter().flat_map(|one| &one.ends);
        let cells = ends.map(|end| match end.free.is_certain() {
            true => &end.held,
            false => &end.free,
        });
        cells.cloned().collect()
    }

    /// Every cell.
    pub fn cells(&self) -> Vec<&Cell> {
        let ends = self.moved.iter().flat_map(|one| &one.ends);
        let cells = ends.flat_map(|end| [&end.free, &end.held]);
        cells.chain([&self.today]).collect()
    }
}

/// Which numbers are moved, and how far.
#[derive(Clone, Debug, PartialEq)]
pub struct Wanted {
    /// By which share of itself a number without a spread moves.
    pub by: f64,
    /// Only addresses that begin so.
    pub only: Option<String>,
    /// Of how many numbers switches are searched for.
    pub thresholds: usize,
}

/// Moves every number of a design.
///
/// # Errors
///
/// A file of kept cells that is of no use.
pub fn sensitivity(
    design: &Design,
    wanted: &Wanted,
    effort: &mut Effort<'_>,
) -> Result<Sensitivity, Trouble> {
    let today = Ground::new(design, effort.options).cell(&[], None);
    let (numbers, unmoved) = numbers(design, wanted);
    let mut found = Sensitivity {
        by: wanted.by,
        today,
        moved: Vec::new(),
        unmoved,
        thresholds: Vec::new(),
    };
    let today = match found.today.planned() {
        Some((kg, portfolio)) if found.today.is_certain() => Some((kg, portfolio.clone())),
        _ => None,
    };
    let Some((kg, portfolio)) = today else {
        return Ok(found);
    };
    let questions: Vec<(usize, f64)> = numbers
        .iter()
        .enumerate()
        .flat_map(|(index, (_, _, ends))| ends.map(|value| (index, value)))
        .collect();
    let cells = answers(&questions, effort, |&(index, value), trail, options| {
        let moved = changes([(&numbers[index].0, value)]);
        Ground::new(design, options).cells(&moved, &[None, Some(&portfolio)], trail)
    })?;
    let mut cells = cells.into_iter().flat_map(|pair| {
        let mut pair = pair.unwrap_or_default().into_iter();
        [(); 2].map(|()| pair.next().unwrap_or(Cell::NotReached))
    });
    let mut next = || cells.next().unwrap_or(Cell::NotReached);
    let above = |cell: &Cell| cell.planned().map(|(other, _)| other - kg);
    for (number, by_spread, values) in numbers {
        let ends = values.map(|value| {
            let (free, held) = (next(), next());
            End {
                value,
                free_change_kg: above(&free),
                held_change_kg: above(&held),
                free,
                held,
            }
        });
        found.moved.push(Moved {
            number,
            by_spread,
            ends,
        });
    }
    // A share keeps the order of the questions, and has no ranking yet.
    if effort.shard == Shard::WHOLE {
        found
            .moved
            .sort_by(|a, b| b.largest_change_kg().total_cmp(&a.largest_change_kg()));
        found.thresholds = thresholds(design, &found.moved, &portfolio, wanted, effort)?;
    }
    Ok(found)
}

type Numbers = Vec<(Movable, bool, [f64; 2])>;

/// Numbers with whether a spread says how far they move, and their ends.
fn numbers(design: &Design, wanted: &Wanted) -> (Numbers, Vec<(String, String)>) {
    let mut numbers: Numbers = Vec::new();
    let mut unmoved: Vec<(String, String)> = Vec::new();
    for number in &design.numbers {
        let address = number.address.as_str();
        let is_wanted = wanted
            .only
            .as_ref()
            .is_none_or(|only| address.starts_with(only.as_str()));
        let met = numbers.iter().any(|(known, ..)| known.address == address)
            || unmoved.iter().any(|(known, _)| known == address);
        if !is_wanted || met || !moves_plans(address) {
            continue;
        }
        let Ok(movable) = Movable::of(design, address, &[]) else {
            continue;
        };
        let mut figures = design.figures.iter().rev();
        let spread = figures
            .find(|figure| figure.address == address)
            .and_then(|figure| figure.spread);
        let value = movable.value;
        let ends = match (spread, movable.dimension) {
            (Some(spread), _) => {
                let distribution = Distribution::of(&movable, spread);
                [0.05, 0.95].map(|share| distribution.quantile(share))
            }
            (None, Dimension::Whole) => [value - 1.0, value + 1.0],
            (None, _) if value == 0.0 => {
                let why = "it is zero: give it a spread".to_owned();
                unmoved.push((address.to_owned(), why));
                continue;
            }
            (None, _) => {
                let away = wanted.by * value.abs();
                [value - away, value + away]
            }
        };
        numbers.push((movable, spread.is_some(), ends));
    }
    (numbers, unmoved)
}

/// Searches for the nearest switches of the numbers that change the mass most.
fn thresholds(
    design: &Design,
    moved: &[Moved],
    todays: &Portfolio,
    wanted: &Wanted,
    effort: &mut Effort<'_>,
) -> Result<Vec<Threshold>, Trouble> {
    let questions: Vec<(usize, bool)> = (0..moved.len().min(wanted.thresholds))
        .flat_map(|number| [(number, false), (number, true)])
        .collect();
    let mut beside = Effort {
        progress: effort.progress,
        kept: None,
        ..*effort
    };
    let found = answers(
        &questions,
        &mut beside,
        |&(number, upwards), trail, options| {
            let number = &moved[number].number;
            let ground = Ground::new(design, options);
            let plan = |value: f64| ground.cell_in_turn(&changes([(number, value)]), trail);
            search(number, upwards, todays, plan)
        },
    )?;
    let not_reached = |number: usize| Found {
        same_at: moved[number].number.value,
        other: None,
        certain: false,
    };
    Ok(questions
        .into_iter()
        .zip(found)
        .map(|((number, upwards), found)| Threshold {
            number,
            upwards,
            found: found.unwrap_or_else(|| not_reached(number)),
        })
        .collect())
}

/// Goes outwards in steps until today's portfolio is no longer the lightest, then
/// halves the last step; whole numbers go one by one.
fn search(
    number: &Movable,
    upwards: bool,
    todays: &Portfolio,
    mut plan: impl FnMut(f64) -> Cell,
) -> Found {
    let value = number.value;
    let whole = number.dimension == Dimension::Whole;
    let sign = if upwards { 1.0 } else { -1.0 };
    let far = match whole {
        true => (SEARCHED * value).floor().max(1.0),
        false => SEARCHED * value.abs(),
    };
    let (low, high) = number.range();
    let end = (value + sign * far).clamp(low, high);
    let steps = match whole {
        true => far.min(f64::from(u16::MAX)) as u32,
        false => STEPS,
    };
    let mut found = Found {
        same_at: value,
        other: None,
        certain: true,
    };
    if end == value {
        return found;
    }
    let mut look = |found: &mut Found, at: f64| -> bool {
        let cell = plan(at);
        found.certain &= cell.is_certain();
        let same = cell.planned().is_some_and(|(_, own)| own == todays);
        match same {
            true => found.same_at = at,
            false => found.other = Some((at, cell)),
        }
        found.certain
    };
    for step in 1..=steps {
        let at = value + (end - value) * f64::from(step) / f64::from(steps);
        if !look(&mut found, at) {
            return found;
        }
        if found.other.is_some() {
            break;
        }
    }
    for _ in 0..HALVINGS {
        let Some((other, _)) = found.other else {
            break;
        };
        let middle = 0.5 * (found.same_at + other);
        if whole || !look(&mut found, middle) {
            break;
        }
    }
    found
}

#[cfg(test)]
mod tests {
    use super::*;

    fn number(value: f64, dimension: Dimension) -> Movable {
        Movable {
            address: "a".to_owned(),
            dimension,
            value,
            taker: None,
        }
    }

    fn planned(units: u32) -> Cell {
        Cell::Planned {
            kg: 1.0,
            bound_kg: 1.0,
            proved: true,
            portfolio: Portfolio(vec![("still".to_owned(), units)]),
        }
    }

    #[test]
    fn a_switch_is_closed_in_on() {
        let todays = Portfolio(vec![("still".to_owned(), 1)]);
        let plan = |value: f64| planned(if value < 123.4 { 1 } else { 2 });
        let mass = number(100.0, Dimension::Mass);
        let up = search(&mass, true, &todays, plan);
        let (other, cell) = up.other.unwrap();
        assert!(up.same_at < 123.4 && 123.4 <= other && other - up.same_at < 0.1);
        assert_eq!(cell, planned(2));
        let down = search(&mass, false, &todays, plan);
        assert_eq!((down.same_at, down.other), (50.0, None));
        let crew = number(4.0, Dimension::Whole);
        let five = |value: f64| planned(if value < 5.5 { 1 } else { 2 });
        let up = search(&crew, true, &todays, five);
        assert_eq!((up.same_at, up.other), (5.0, Some((6.0, planned(2)))));
    }

    #[test]
    fn what_is_not_proved_ends_the_search() {
        let todays = Portfolio(vec![("still".to_owned(), 1)]);
        let up = search(&number(100.0, Dimension::Mass), true, &todays, |_| {
            Cell::NotReached
        });
        assert!(!up.certain);
        // A fraction is searched up to one.
        let share = number(0.9, Dimension::Fraction);
        let up = search(&share, true, &todays, |_| planned(1));
        assert_eq!((up.same_at, up.other), (1.0, None));
    }
}
