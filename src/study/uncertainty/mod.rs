//! How sure a mass is: numbers with spreads drawn together, every draw planned with
//! its portfolio free and with today's held.

pub mod draws;
mod figures;
mod numbers;
mod worth;

pub use figures::{PERCENTS, Percentiles, explained};
pub use numbers::{Uncertain, uncertain};
pub use worth::{Choice, Masses, Value, Worth, worth};

use serde::{Deserialize, Serialize};

use super::cell::{Cell, Ground, Portfolio};
use super::many::{Effort, Keepable, Shard, Trouble, answers};
use super::moved::changes;
use crate::design::Design;
use crate::solve::{Options, Trail};

/// Portfolios at most that are compared in every draw.
const COMPARED: usize = 4;

/// One draw, planned twice.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
pub struct Draw {
    /// The lightest.
    pub lightest: Cell,
    /// With today's portfolio held; the same as the lightest where today has none.
    pub held: Cell,
}

impl Keepable for Draw {
    fn is_certain(&self) -> bool {
        self.lightest.is_certain() && self.held.is_certain()
    }
}

impl Keepable for Vec<Cell> {
    fn is_certain(&self) -> bool {
        self.iter().all(Cell::is_certain)
    }
}

/// A design with its uncertain numbers drawn many times.
#[derive(Clone, Debug, PartialEq)]
pub struct Uncertainty {
    /// The numbers that are drawn.
    pub numbers: Vec<Uncertain>,
    /// What the draws start from.
    pub seed: u32,
    /// The design with its numbers as they stand.
    pub today: Cell,
    /// Every draw, in order.
    pub draws: Vec<Draw>,
    /// Portfolios that are lightest in some draw, the most frequent first.
    pub portfolios: Vec<Portfolio>,
    /// In how many draws each is lightest.
    pub times: Vec<usize>,
    /// Portfolios compared in every draw: the most frequent ones and today's.
    pub compared: Vec<Compared>,
    /// Whether it was stopped with every draw planned and the portfolios not compared.
    pub stopped: bool,
    /// What knowing numbers is worth; none if there were too few draws, or the study
    /// was stopped.
    pub worth: Option<Worth>,
}

/// A portfolio held in every draw that has a plan.
#[derive(Clone, Debug, PartialEq)]
pub struct Compared {
    /// Its units.
    pub portfolio: Portfolio,
    /// Mean mass where it has a plan, kg; none if it nowhere has.
    pub mean_kg: Option<f64>,
    /// In how many of the draws with a plan it has none.
    pub without: usize,
}

/// What today's choice costs against knowing better.
#[derive(Clone, Debug, PartialEq)]
pub struct Regret {
    /// Draws in which both have a plan.
    pub draws: usize,
    /// Draws with a plan in which today's portfolio has none.
    pub without: usize,
    /// Mean of the mass above the lightest, kg.
    pub mean_kg: f64,
    /// Its 95th percentile, kg.
    pub most_kg: f64,
}

impl Uncertainty {
    /// The value of every number in a draw.
    pub fn values(&self, draw: usize) -> Vec<f64> {
        values(&self.numbers, draw, self.seed)
    }

    /// Which of the portfolios is lightest in a draw.
    pub fn portfolio(&self, draw: usize) -> Option<usize> {
        let (_, portfolio) = self.draws[draw].lightest.planned()?;
        self.portfolios.iter().position(|known| known == portfolio)
    }

    /// Today's portfolio.
    pub fn todays(&self) -> Option<&Portfolio> {
        self.today.planned().map(|(_, portfolio)| portfolio)
    }

    /// Lightest masses.
    pub fn lightest(&self) -> Option<Percentiles> {
        let cells = self.draws.iter().map(|draw| &draw.lightest);
        Percentiles::of(masses(cells))
    }

    /// Masses with today's portfolio held.
    pub fn held(&self) -> Option<Percentiles> {
        self.todays()?;
        Percentiles::of(masses(self.draws.iter().map(|draw| &draw.held)))
    }

    /// Why draws have no plan, or none that is proved, and how many.
    pub fn remarks(&self, of: impl Fn(&Draw) -> &Cell) -> Vec<(String, usize)> {
        let mut found: Vec<(String, usize)> = Vec::new();
        for draw in &self.draws {
            let cell = of(draw);
            let words = match cell {
                Cell::Planned { proved: true, .. } => continue,
                // By how much may differ from draw to draw.
                Cell::Planned { .. } => "not proved".to_owned(),
                other => other.remark(),
            };
            match found.iter_mut().find(|(known, _)| *known == words) {
                Some((_, times)) => *times += 1,
                None => found.push((words, 1)),
            }
        }
        found
    }

    /// What today's choice costs.
    pub fn regret(&self) -> Option<Regret> {
        self.todays()?;
        let mut above = Vec::new();
        let mut without = 0;
        for draw in &self.draws {
            match (draw.lightest.planned(), &draw.held) {
                (Some((kg, _)), Cell::Planned { kg: held, .. }) => above.push(held - kg),
                (Some(_), Cell::NoBalance | Cell::NotAllowed(_)) => without += 1,
                _ => {}
            }
        }
        let of = Percentiles::of(above)?;
        Some(Regret {
            draws: of.count,
            without,
            mean_kg: of.mean,
            most_kg: of.at[4],
        })
    }

    /// Whether every draw is proved, with a plan or without, and nothing was left out.
    pub fn is_complete(&self) -> bool {
        !self.stopped && self.today.is_certain() && self.draws.iter().all(Keepable::is_certain)
    }
}

/// Draws the uncertain numbers of a design and plans every draw.
///
/// # Errors
///
/// A file of kept cells that is of no use.
pub fn uncertainty(
    design: &Design,
    numbers: Vec<Uncertain>,
    draws: usize,
    seed: u32,
    effort: &mut Effort<'_>,
) -> Result<Uncertainty, Trouble> {
    let today = Ground::new(design, effort.options).cell(&[], None);
    let held = today.planned().map(|(_, portfolio)| portfolio);
    let questions: Vec<usize> = (0..draws).collect();
    let plan = |&draw: &usize, trail: &mut Trail, options: &Options| {
        let values = values(&numbers, draw, seed);
        let moved = changes(numbers.iter().map(|one| &one.number).zip(values));
        let ground = Ground::new(design, options);
        let mut cells = ground.cells(&moved, &[None, held], trail).into_iter();
        let mut next = || cells.next().unwrap_or(Cell::NotReached);
        Draw {
            lightest: next(),
            held: next(),
        }
    };
    // Without knowing what is held, no draw would be of use to a later run.
    let found = match today.is_certain() {
        true => answers(&questions, effort, plan)?,
        false => Vec::new(),
    };
    let not_reached = || Draw {
        lightest: Cell::NotReached,
        held: Cell::NotReached,
    };
    let mut draws_found = found.into_iter();
    let draws: Vec<Draw> = (0..draws)
        .map(|_| draws_found.next().flatten().unwrap_or_else(not_reached))
        .collect();
    let (portfolios, times) = by_times(&draws);
    let mut found = Uncertainty {
        numbers,
        seed,
        today,
        draws,
        portfolios,
        times,
        compared: Vec::new(),
        stopped: false,
        worth: None,
    };
    if effort.shard == Shard::WHOLE && found.is_complete() {
        compare(design, &mut found, effort)?;
    }
    Ok(found)
}

fn values(numbers: &[Uncertain], draw: usize, seed: u32) -> Vec<f64> {
    numbers
        .iter()
        .enumerate()
        .map(|(dimension, number)| {
            let probability = draws::uniform(draw, dimension, seed);
            number.distribution().quantile(probability)
        })
        .collect()
}

fn masses<'a>(cells: impl Iterator<Item = &'a Cell>) -> Vec<f64> {
    cells
        .filter_map(|cell| cell.planned().map(|(kg, _)| kg))
        .collect()
}

/// Portfolios that are lightest somewhere, the most frequent first, then as met.
fn by_times(draws: &[Draw]) -> (Vec<Portfolio>, Vec<usize>) {
    let mut found: Vec<(&Portfolio, usize)> = Vec::new();
    for (_, portfolio) in draws.iter().filter_map(|draw| draw.lightest.planned()) {
        match found.iter_mut().find(|(known, _)| *known == portfolio) {
            Some((_, times)) => *times += 1,
            None => found.push((portfolio, 1)),
        }
    }
    found.sort_by_key(|(_, times)| std::cmp::Reverse(*times));
    found
        .into_iter()
        .map(|(portfolio, times)| (portfolio.clone(), times))
        .unzip()
}

/// Holds the most frequent portfolios and today's in every draw with a plan, and says
/// what knowing each number is worth.
fn compare(
    design: &Design,
    found: &mut Uncertainty,
    effort: &mut Effort<'_>,
) -> Result<(), Trouble> {
    let mut compared: Vec<Portfolio> = found.portfolios.iter().take(COMPARED).cloned().collect();
    if let Some(todays) = found.todays()
        && !compared.contains(todays)
    {
        compared.push(todays.clone());
    }
    let planned: Vec<usize> = (0..found.draws.len())
        .filter(|&draw| found.draws[draw].lightest.planned().is_some())
        .collect();
    let mut beside = Effort {
        progress: effort.progress,
        kept: None,
        ..*effort
    };
    let todays = found.todays();
    let known = |draw: usize, portfolio: &Portfolio| -> Option<Cell> {
        let Draw { lightest, held } = &found.draws[draw];
        if lightest.planned().is_some_and(|(_, own)| own == portfolio) {
            return Some(lightest.clone());
        }
        (todays == Some(portfolio)).then(|| held.clone())
    };
    let held = answers(&planned, &mut beside, |&draw, trail, options| {
        let values = found.values(draw);
        let moved = changes(found.numbers.iter().map(|one| &one.number).zip(values));
        let wanted = compared.iter().filter(|one| known(draw, one).is_none());
        let wanted: Vec<Option<&Portfolio>> = wanted.map(Some).collect();
        let solved = Ground::new(design, options).cells(&moved, &wanted, trail);
        let mut solved = solved.into_iter();
        compared
            .iter()
            .map(|one| known(draw, one).or_else(|| solved.next()))
            .map(|cell| cell.unwrap_or(Cell::NotReached))
            .collect::<Vec<Cell>>()
    })?;
    let held: Option<Vec<Vec<Cell>>> = held.into_iter().collect();
    let Some(held) = held.filter(|held| held.iter().all(Keepable::is_certain)) else {
        found.stopped = true;
        return Ok(());
    };
    let by_portfolio: Vec<Masses> = (0..compared.len())
        .map(|one| {
            let cells = held.iter().map(|cells| &cells[one]);
            cells.map(|cell| cell.planned().map(|(kg, _)| kg)).collect()
        })
        .collect();
    let lightest = masses(planned.iter().map(|&draw| &found.draws[draw].lightest));
    let mut by_number: Vec<Vec<f64>> = vec![Vec::with_capacity(planned.len()); found.numbers.len()];
    for &draw in &planned {
        for (values, value) in by_number.iter_mut().zip(found.values(draw)) {
            values.push(value);
        }
    }
    found.worth = worth(&by_number, &lightest, &by_portfolio);
    found.compared = compared
        .into_iter()
        .zip(by_portfolio)
        .map(|(portfolio, masses)| {
            let known: Vec<f64> = masses.iter().copied().flatten().collect();
            Compared {
                portfolio,
                mean_kg: Percentiles::of(known.clone()).map(|of| of.mean),
                without: masses.len() - known.len(),
            }
        })
        .collect();
    Ok(())
}
