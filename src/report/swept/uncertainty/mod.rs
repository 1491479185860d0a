//! The page of an uncertainty study.

mod data;

use super::super::findings::{Origin, minimised_by};
use super::super::number::{counted, fixed, share};
use super::super::page::{Block, Cell, Fact, Page, Table, Tone};
use super::super::plots::{Curve, Distribution};
use super::super::solved::CAUTION;
use super::{letter, picture};
use crate::network::Network;
use crate::quantity::shown;
use crate::study::cell::Cell as Planned;
use crate::study::uncertainty::{Draw, PERCENTS, Percentiles, Uncertainty};
use data::{data, records};

/// The page of an uncertainty study of a design.
pub fn uncertainty(network: &Network, found: &Uncertainty, origin: &Origin) -> Page {
    let (title, minimised) = (network.title.as_str(), minimised_by(network));
    let mut page = Page::new(title);
    let tone = match (found.is_complete(), found.lightest()) {
        (_, None) => Tone::Bad,
        (true, Some(_)) => Tone::Good,
        (false, Some(_)) => Tone::Doubtful,
    };
    page.blocks.push(Block::Outcome {
        tone,
        words: outcome(minimised, found),
    });
    page.blocks.push(Block::Title(title.to_owned()));
    page.paragraph(format!(
        "{} of {}, seed {}, evenly spread by a scrambled low-discrepancy sequence. Every draw is \
         planned anew: the lightest, and the lightest with today's units held.",
        counted(found.draws.len(), "draw"),
        counted(found.numbers.len(), "number"),
        found.seed
    ));
    page.table(numbers(found).without_blank_columns());
    page.points(cut_off(found));
    page.heading("Mass");
    page.table(percentiles(minimised, found));
    page.plot(
        format!("How probable it is that the {minimised} is no more than so much."),
        "Two rising curves from 0 to 100 % of the draws: the lightest plan of every draw, and \
         today's portfolio held; the table above has their percentiles.",
        curves(minimised, found).draw(),
        histogram(found),
    );
    page.heading("Which portfolio is lightest");
    page.table(portfolios(found).without_blank_columns());
    page.heading("Today's choice");
    todays(&mut page, found);
    page.heading("What to measure first");
    worth(&mut page, found);
    page.records = Some(records(found));
    page.blocks.push(Block::Caution(CAUTION.to_owned()));
    page.data = data(title, minimised, found, origin);
    page
}

fn outcome(minimised: &str, found: &Uncertainty) -> String {
    let all = found.draws.len();
    let mut words = match found.lightest() {
        Some(of) => format!(
            "{} of {} kg, from {} (5 %) to {} (95 %)",
            match minimised {
                "launch mass" => "Median launch mass",
                _ => "Median equivalent system mass",
            },
            fixed(of.at[2], 0),
            fixed(of.at[0], 0),
            fixed(of.at[4], 0)
        ),
        None => "No draw has a plan".to_owned(),
    };
    if let Some(times) = todays_times(found) {
        words += &format!(
            "; today's portfolio is lightest in {} of draws",
            share(times as f64 / all as f64)
        );
    }
    let open = found
        .draws
        .iter()
        .filter(|draw| !draw.lightest.is_certain() || !draw.held.is_certain())
        .count();
    if open > 0 {
        words += &format!(
            "; partial: {} not proved, failed or not reached",
            counted(open, "draw")
        );
    }
    if found.stopped {
        words += "; partial: stopped before the portfolios were compared";
    }
    words + "."
}

fn todays_times(found: &Uncertainty) -> Option<usize> {
    let todays = found.todays()?;
    let place = found.portfolios.iter().position(|one| one == todays);
    Some(place.map_or(0, |place| found.times[place]))
}

fn numbers(found: &Uncertainty) -> Table {
    let mut table = Table::new(&[
        ("number", ""),
        ("value", ""),
        ("spread", ""),
        ("stated by", ""),
        ("against", ""),
    ]);
    for one in &found.numbers {
        let dimension = one.number.dimension;
        table.rows.push(vec![
            Cell::text(&one.number.address),
            Cell::text(shown(one.number.value, dimension)),
            Cell::text(one.spread.words(dimension)),
            Cell::text(match one.of_the_design {
                true => "the design",
                false => "--spread",
            }),
            match &one.number.taker {
                Some(taker) => Cell::text(last_step(&one.number.address, &taker.address)),
                None => Cell::Blank,
            },
        ]);
    }
    table
}

/// What an address has beyond the part that it shares with another.
fn last_step(address: &str, beside: &str) -> String {
    let common = address
        .char_indices()
        .zip(beside.chars())
        .take_while(|((_, a), b)| a == b)
        .filter(|((_, a), _)| *a == '.')
        .last()
        .map_or(0, |((at, _), _)| at + 1);
    beside.get(common..).unwrap_or(beside).to_owned()
}

/// Spreads that reach where their numbers cannot be.
fn cut_off(found: &Uncertainty) -> Vec<String> {
    let cut = found.numbers.iter().filter_map(|one| {
        let cut = one.distribution().cut_off();
        let (low, high) = one.number.range();
        (cut > 1e-9).then(|| {
            format!(
                "{}: {} % of its spread lies outside {} to {}; it is cut off there and the rest \
                 scaled up.",
                one.number.address,
                fixed(100.0 * cut, 4),
                shown(low, one.number.dimension),
                shown(high, one.number.dimension)
            )
        })
    });
    cut.collect()
}

fn percentiles(minimised: &str, found: &Uncertainty) -> Table {
    let names = PERCENTS.map(|percent| format!("{percent} %"));
    let mut columns: Vec<(&str, &'static str)> =
        vec![(minimised, ""), ("draws", ""), ("mean", "kg")];
    columns.extend(names.iter().map(|name| (name.as_str(), "kg")));
    let mut table = Table::new(&columns);
    let mut row = |name: &str, of: Option<Percentiles>| {
        let Some(of) = of else { return };
        let mut cells = vec![
            Cell::text(name),
            Cell::Whole(of.count as u64),
            Cell::kg(of.mean),
        ];
        cells.extend(of.at.map(Cell::kg));
        table.rows.push(cells);
    };
    row("the lightest", found.lightest());
    row("today's portfolio", found.held());
    table
}

fn curves(minimised: &str, found: &Uncertainty) -> Distribution {
    let masses = |of: fn(&Draw) -> &Planned| -> Vec<f64> {
        let cells = found.draws.iter().map(of);
        cells
            .filter_map(|cell| cell.planned().map(|(kg, _)| kg))
            .collect()
    };
    let mut curves = vec![Curve {
        name: "the lightest of every draw".to_owned(),
        values: masses(|draw| &draw.lightest),
    }];
    if found.todays().is_some() {
        curves.push(Curve {
            name: "today's portfolio held".to_owned(),
            values: masses(|draw| &draw.held),
        });
    }
    let today = found.today.planned();
    Distribution {
        axis: format!("{minimised}, kg"),
        curves,
        beside: today.map(|(kg, _)| (kg, format!("as it stands, {} kg", fixed(kg, 0)))),
    }
}

fn histogram(found: &Uncertainty) -> Option<String> {
    let cells = found.draws.iter();
    let masses: Vec<f64> = cells
        .filter_map(|draw| draw.lightest.planned().map(|(kg, _)| kg))
        .collect();
    picture::histogram(&masses)
}

fn portfolios(found: &Uncertainty) -> Table {
    let mut table = Table::new(&[
        ("portfolio", ""),
        ("draws", ""),
        ("probability", ""),
        ("mean if held", "kg"),
        ("without a plan", ""),
        ("units", ""),
    ]);
    let all = found.draws.len() as f64;
    let todays = found.todays();
    let mut row = |name: String, times: usize, index: Option<usize>| {
        let portfolio = index.and_then(|index| found.portfolios.get(index));
        let compared = found
            .compared
            .iter()
            .find(|one| Some(&one.portfolio) == portfolio);
        table.rows.push(vec![
            Cell::text(name),
            Cell::Whole(times as u64),
            Cell::Share(times as f64 / all),
            compared
                .and_then(|one| one.mean_kg)
                .map_or(Cell::Blank, Cell::kg),
            compared.map_or(Cell::Blank, |one| Cell::Whole(one.without as u64)),
            portfolio.map_or(Cell::Blank, |one| Cell::text(one.words())),
        ]);
    };
    for (index, &times) in found.times.iter().enumerate() {
        let today = match todays == found.portfolios.get(index) {
            true => ", today's",
            false => "",
        };
        row(format!("{}{today}", letter(index)), times, Some(index));
    }
    for (words, times) in without_plan(found) {
        row(words, times, None);
    }
    table
}

/// Draws without a plan by reason.
fn without_plan(found: &Uncertainty) -> Vec<(String, usize)> {
    let remarks = found.remarks(|draw| &draw.lightest);
    remarks
        .into_iter()
        .filter(|(words, _)| words != "not proved")
        .collect()
}

fn todays(page: &mut Page, found: &Uncertainty) {
    let Some(todays) = found.todays() else {
        page.paragraph(format!(
            "With its numbers as they stand, the design has no plan: {}.",
            found.today.remark()
        ));
        return;
    };
    page.paragraph(format!("Today's portfolio is {}.", todays.words()));
    if let Some(regret) = found.regret() {
        page.facts(vec![
            Fact {
                name: "mean regret".to_owned(),
                value: Cell::kg(regret.mean_kg),
                unit: "kg",
                definition: Some(format!(
                    "mass of today's portfolio above the lightest, over {} with both",
                    counted(regret.draws, "draw")
                )),
            },
            Fact {
                name: "95 % regret".to_owned(),
                value: Cell::kg(regret.most_kg),
                unit: "kg",
                definition: None,
            },
            Fact {
                name: "without a plan".to_owned(),
                value: Cell::Share(regret.without as f64 / found.draws.len() as f64),
                unit: "",
                definition: Some(
                    "draws in which another portfolio has a plan and today's has none".to_owned(),
                ),
            },
        ]);
    }
    let remarks = found.remarks(|draw| &draw.held).into_iter();
    page.points(
        remarks
            .map(|(words, times)| {
                format!(
                    "With today's portfolio held, {}: {words}.",
                    counted(times, "draw")
                )
            })
            .collect(),
    );
}

fn worth(page: &mut Page, found: &Uncertainty) {
    let Some(worth) = &found.worth else {
        page.paragraph(match found.is_complete() {
            true => "Too few draws with a plan to say: 32 at least.",
            false => "Said once every draw is proved and the portfolios are compared.",
        });
        return;
    };
    let mut table = Table::new(&[
        ("number", ""),
        ("share of variance", ""),
        ("worth", "kg"),
        ("worth by halves", "kg"),
    ]);
    for index in ranked(found) {
        let choice = worth.choice.as_ref().map(|choice| choice.numbers[index]);
        table.rows.push(vec![
            Cell::text(&found.numbers[index].number.address),
            worth.explained[index].map_or(Cell::Blank, Cell::Share),
            choice.map_or(Cell::Blank, |one| Cell::kg(one.same_draws_kg)),
            choice.map_or(Cell::Blank, |one| Cell::kg(one.other_draws_kg)),
        ]);
    }
    page.table(table.without_blank_columns());
    let bins = format!(
        "{} bins of draws by the value of a number",
        fixed(worth.bins as f64, 0)
    );
    page.paragraph(format!(
        "Share of variance: of the lightest mass, between {bins}, less what chance alone puts there."
    ));
    match &worth.choice {
        Some(choice) => {
            let best = &found.compared[choice.best];
            page.paragraph(format!(
                "Worth: the mean mass that knowing the number before the portfolio is chosen \
                 would save; min over p of E[m_p] − E[min over p of E[m_p | number]], over {} \
                 held in every draw, the conditional mean over {bins}. Chosen and weighed on the \
                 same draws it is a little too high; by halves, chosen on one half of each bin and \
                 weighed on the other, a little too low. Knowing all numbers would save {} kg.",
                counted(found.compared.len(), "portfolio"),
                fixed(choice.everything_kg, 2)
            ));
            page.paragraph(format!(
                "Without knowing more, the best of them on average is {} ({} kg): {}.",
                name(found, &best.portfolio),
                fixed(choice.mean_kg, 2),
                best.portfolio.words()
            ));
        }
        None => page.paragraph(format!(
            "None of the {} compared has a plan in every draw, so what knowledge is worth in mass \
             cannot be said.",
            counted(found.compared.len(), "portfolio")
        )),
    }
}

/// Numbers by what they are worth, then by what they explain, then in order.
fn ranked(found: &Uncertainty) -> Vec<usize> {
    let mut order: Vec<usize> = (0..found.numbers.len()).collect();
    if let Some(worth) = &found.worth {
        let key = |index: usize| {
            let choice = worth.choice.as_ref();
            let kg = choice.map_or(0.0, |choice| choice.numbers[index].other_draws_kg);
            (kg.max(0.0), worth.explained[index].unwrap_or(0.0))
        };
        order.sort_by(|&a, &b| {
            let (a, b) = (key(a), key(b));
            b.0.total_cmp(&a.0).then(b.1.total_cmp(&a.1))
        });
    }
    order
}

fn name(found: &Uncertainty, portfolio: &crate::study::cell::Portfolio) -> String {
    let place = found.portfolios.iter().position(|one| one == portfolio);
    place.map_or("today's".to_owned(), letter)
}

fn todays_place(found: &Uncertainty) -> Option<usize> {
    let todays = found.todays()?;
    found.portfolios.iter().position(|one| one == todays)
}

#[cfg(test)]
mod tests {
    #[test]
    fn what_an_address_has_beyond_another() {
        let step = super::last_step("nodes.a.turns.b.product", "nodes.a.turns.b.brine");
        assert_eq!(step, "brine");
        assert_eq!(super::last_step("a", "b"), "b");
    }
}
