//! The page of a frontier.

use serde_json::{Map, Value, json};

use crate::audit::Plan;
use crate::network::{Network, NodeId};
use crate::study::frontier::{Extreme, Frontier, Measure, Point, Portfolio};

use super::findings::{Origin, minimised, status_words};
use super::number::{counted, fixed};
use super::page::{Block, Cell, Page, Table, Tone};
use super::plot::{Axis, scatter};
use super::plots::{Scatter, ScatterPoint};
use super::solved::CAUTION;

/// The page of what less (or more) of a measure costs in mass.
pub fn frontier(best: &Plan, found: &Frontier, origin: &Origin) -> Page {
    let network = best.network();
    let mut page = Page::new(network.title.as_str());
    let proved = found.failed.is_empty() && found.points.iter().all(|point| point.proved);
    page.blocks.push(Block::Outcome {
        tone: if proved { Tone::Good } else { Tone::Doubtful },
        words: outcome(found, proved),
    });
    page.blocks.push(Block::Title(network.title.clone()));
    let mass = minimised(best);
    page.paragraph(about(found, mass));
    page.plot(
        format!(
            "Least {mass} against {}; letters are portfolios.",
            found.measure.words().0
        ),
        description(found, mass),
        picture(found, mass).draw(),
        plot(found, mass),
    );
    page.heading("From the lightest on");
    if let Some(flown) = flown(found) {
        page.paragraph(flown);
    }
    page.table(stretches(network, found, mass));
    let allowed = allowed(found, mass);
    if !allowed.rows.is_empty() {
        page.heading("What the units of each allow");
        page.paragraph("At their lightest, and at the best of the other, each at what it takes:");
        page.table(allowed);
    }
    if !found.failed.is_empty() {
        page.heading("Without a point");
        let failed = found.failed.iter().map(|failed| {
            let limit = shown(found.measure, failed.limit).words("");
            format!("{} {limit}: {}", named(found.measure), failed.reason)
        });
        page.points(failed.collect());
    }
    page.records = Some(records(network, found, mass));
    page.blocks.push(Block::Caution(CAUTION.to_owned()));
    page.data = data(best, found, origin);
    page
}

/// The measure with its unit: "power, W".
fn named(measure: Measure) -> String {
    match measure.words() {
        (name, "") => name.to_owned(),
        (name, unit) => format!("{name}, {unit}"),
    }
}

fn decimals(measure: Measure) -> usize {
    match measure {
        Measure::Power => 0,
        Measure::MassPerFlight => 1,
        Measure::CrewTime | Measure::Volume => 3,
        Measure::Confidence => 5,
    }
}

fn shown(measure: Measure, value: f64) -> Cell {
    Cell::Number {
        value,
        decimals: decimals(measure),
    }
}

fn outcome(found: &Frontier, proved: bool) -> String {
    let many = format!(
        "{} of {}",
        counted(found.points.len(), "point"),
        counted(found.portfolios.len(), "portfolio")
    );
    match proved {
        true => format!(
            "{many}, each proved: none is beaten in both mass and {}.",
            found.measure.words().0
        ),
        false => format!("{many}, not all proved or some missing: see below."),
    }
}

fn about(found: &Frontier, mass: &str) -> String {
    let (name, unit) = found.measure.words();
    let window = match (found.measure, found.step) {
        (_, None) => "Every value that the units allow was looked at.".to_owned(),
        (Measure::Confidence, Some(step)) => format!(
            "It is that of all parts together, the lightest spares for it chosen. Others may lie \
             between a point and the next within {} of its shortfall from 1.",
            super::share(1.0 - (-step).exp())
        ),
        (measure, Some(step)) => format!(
            "Others may lie between a point and the next within {} {unit} of its {name}.",
            fixed(step, decimals(measure).max(1))
        ),
    };
    format!(
        "Each point is the lightest plan ({mass}) within a limit on {name}, at the best {name} that \
         its mass allows. {window} Letters are portfolios of hardware counts."
    )
}

/// The letter of a portfolio.
fn letter(portfolio: usize) -> char {
    let letters = "abcdefghijklmnopqrstuvwxyzABCDEFGHIJKLMNOPQRSTUVWXYZ";
    letters.chars().nth(portfolio).unwrap_or('*')
}

fn description(found: &Frontier, mass: &str) -> String {
    let end = |point: Option<&Point>| {
        point.map_or(String::new(), |point| {
            let value = fixed(point.value, decimals(found.measure));
            format!(
                "{} kg at {value} {}",
                fixed(kg(point), 0),
                found.measure.words().1
            )
        })
    };
    format!(
        "{} of {mass} against {}, from {} to {}.",
        counted(found.points.len(), "point"),
        found.measure.words().0,
        end(found.points.first()).trim_end(),
        end(found.points.last()).trim_end(),
    )
}

/// The points in a frame; confidence so that every further nine takes the same room.
fn picture(found: &Frontier, mass: &str) -> Scatter {
    let across = |value: f64| match found.measure {
        Measure::Confidence => -found.measure.level(value),
        _ => value,
    };
    let values = || found.points.iter().map(|point| across(point.value));
    let masses = || found.points.iter().map(kg);
    let ends = |least: Option<f64>, most: Option<f64>| (least.unwrap_or(0.0), most.unwrap_or(1.0));
    let (left, right) = ends(values().reduce(f64::min), values().reduce(f64::max));
    let (low, high) = ends(masses().reduce(f64::min), masses().reduce(f64::max));
    let mut x = super::plots::Axis::around(named(found.measure), left, right, 7);
    if found.measure == Measure::Confidence {
        x = super::plots::Axis::within("confidence, by its shortfall from 1", left, right, 7);
        let nines = [
            0.5, 0.8, 0.9, 0.95, 0.98, 0.99, 0.995, 0.998, 0.999, 0.9995, 0.9999,
        ];
        let nines = nines.map(|value| (across(value), crate::quantity::shown_number(value)));
        let inside = nines
            .into_iter()
            .filter(|(at, _)| (left..=right).contains(at));
        x.ticks = inside.collect();
    }
    Scatter {
        x,
        y: super::plots::Axis::around(format!("{mass}, kg"), low, high, 6),
        points: found
            .points
            .iter()
            .map(|point| ScatterPoint {
                x: across(point.value),
                y: kg(point),
                portfolio: point.portfolio,
                letter: letter(point.portfolio).to_string(),
                title: format!(
                    "{}: {} kg at {} {}",
                    letter(point.portfolio),
                    fixed(kg(point), 2),
                    fixed(point.value, decimals(found.measure)),
                    found.measure.words().1
                ),
            })
            .collect(),
    }
}

fn plot(found: &Frontier, mass: &str) -> Option<String> {
    let points: Vec<(f64, f64, char)> = found
        .points
        .iter()
        .map(|point| {
            let level = match found.measure {
                // So that every further nine takes the same room.
                Measure::Confidence => -found.measure.level(point.value),
                _ => point.value,
            };
            (level, kg(point), letter(point.portfolio))
        })
        .collect();
    let ends = |of: fn(f64, f64) -> f64| {
        let values = found.points.iter().map(|point| point.value);
        let end = values.reduce(of).unwrap_or_default();
        fixed(end, decimals(found.measure))
    };
    let x = Axis {
        name: &match found.measure {
            Measure::Confidence => "confidence, by its shortfall from 1".to_owned(),
            measure => named(measure),
        },
        ends: [ends(f64::min), ends(f64::max)],
    };
    let ends = |point: Option<&Point>| fixed(point.map_or(0.0, kg), 0);
    let y = Axis {
        name: &format!("{mass}, kg"),
        ends: [ends(found.points.first()), ends(found.points.last())],
    };
    scatter(&points, &x, &y)
}

fn kg(point: &Point) -> f64 {
    point.plan.answer().minimised_kg()
}

fn flown(found: &Frontier) -> Option<String> {
    let first = found.points.first()?;
    let flown = first.plan.units_by_name().into_iter();
    let flown = flown.filter(|(_, units)| *units > 0);
    let flown: Vec<String> = flown
        .map(|(name, units)| format!("{name} {units}"))
        .collect();
    (!flown.is_empty()).then(|| format!("The first has these units: {}.", flown.join(", ")))
}

/// Points one after the other with the same portfolio as one row.
fn stretches(network: &Network, found: &Frontier, mass: &str) -> Table {
    let (name, unit) = found.measure.words();
    let mut table = Table::new(&[
        ("", ""),
        ("points", ""),
        (mass, "kg"),
        (name, unit),
        ("to", "kg"),
        ("at", unit),
        ("units that differ from the first", ""),
    ]);
    for stretch in found
        .points
        .chunk_by(|one, next| one.portfolio == next.portfolio)
    {
        let [first, .., last] = stretch else {
            if let [only] = stretch {
                let mut row = row(network, found, only, 1);
                row.insert(4, Cell::Blank);
                row.insert(5, Cell::Blank);
                table.rows.push(row);
            }
            continue;
        };
        let mut row = row(network, found, first, stretch.len());
        row.insert(4, Cell::kg(kg(last)));
        row.insert(5, shown(found.measure, last.value));
        table.rows.push(row);
    }
    table.without_blank_columns()
}

fn row(network: &Network, found: &Frontier, point: &Point, points: usize) -> Vec<Cell> {
    vec![
        Cell::text(letter(point.portfolio)),
        Cell::Whole(points as u64),
        Cell::kg(kg(point)),
        shown(found.measure, point.value),
        match found.portfolios.get(point.portfolio) {
            Some(portfolio) if !portfolio.units.is_empty() => {
                Cell::text(units(network, &portfolio.units))
            }
            _ => Cell::Blank,
        },
    ]
}

fn units(network: &Network, units: &[(NodeId, u32, u32)]) -> String {
    let words = units
        .iter()
        .map(|(node, before, after)| format!("{} {before} → {after}", network.name(*node)));
    words.collect::<Vec<_>>().join(", ")
}

fn allowed(found: &Frontier, mass: &str) -> Table {
    let (name, unit) = found.measure.words();
    let least = format!("least {name}");
    let mut table = Table::new(&[
        ("", ""),
        (&format!("least {mass}"), "kg"),
        ("at", unit),
        (&least, unit),
        ("at", "kg"),
    ]);
    for (index, portfolio) in found.portfolios.iter().enumerate() {
        let (lightest, least) = (portfolio.lightest, portfolio.least);
        if lightest.is_none() && least.is_none() {
            continue;
        }
        let value = |one: Extreme| shown(found.measure, one.value);
        table.rows.push(vec![
            Cell::text(letter(index)),
            lightest.map_or(Cell::Blank, |one| Cell::kg(one.kg)),
            lightest.map_or(Cell::Blank, value),
            least.map_or(Cell::Blank, value),
            least.map_or(Cell::Blank, |one| Cell::kg(one.kg)),
        ]);
    }
    table
}

/// Every point and every failure, one row each.
fn records(network: &Network, found: &Frontier, mass: &str) -> Table {
    let (name, unit) = found.measure.words();
    let mut table = Table::new(&[
        ("portfolio", ""),
        (mass, "kg"),
        (name, unit),
        ("how it ended", ""),
        ("units that differ from the first", ""),
    ]);
    for point in &found.points {
        let ended = if point.proved { "proved" } else { "not proved" };
        let mut row = row(network, found, point, 1);
        row.remove(1);
        row.insert(3, Cell::text(ended));
        table.rows.push(row);
    }
    for failed in &found.failed {
        table.rows.push(vec![
            Cell::Blank,
            Cell::Blank,
            shown(found.measure, failed.limit),
            Cell::text(&failed.reason),
            Cell::Blank,
        ]);
    }
    table
}

fn data(best: &Plan, found: &Frontier, origin: &Origin) -> Value {
    let network = best.network();
    let (name, unit) = found.measure.words();
    let points = found.points.iter().map(|point| {
        json!({
            "portfolio": letter(point.portfolio).to_string(),
            "minimised_kg": kg(point),
            "launch_mass_kg": point.plan.answer().launch_mass_kg,
            "value": point.value,
            "status": status_words(point.plan.answer().proof.status),
            "proved": point.proved,
        })
    });
    let portfolios = found
        .portfolios
        .iter()
        .enumerate()
        .map(|(index, portfolio)| {
            let of = found.points.iter().find(|point| point.portfolio == index);
            portfolio_data(network, index, portfolio, of)
        });
    let failed = found
        .failed
        .iter()
        .map(|failed| json!({"limit": failed.limit, "reason": failed.reason}));
    let mut data = json!({
        "title": network.title,
        "minimised": minimised(best),
        "against": name,
        "unit": unit,
        "points": points.collect::<Vec<_>>(),
        "portfolios": portfolios.collect::<Vec<_>>(),
        "failed": failed.collect::<Vec<_>>(),
    });
    if let Some(step) = found.step {
        data["step"] = json!(step);
    }
    origin.sign(&mut data);
    data
}

fn portfolio_data(
    network: &Network,
    index: usize,
    portfolio: &Portfolio,
    point: Option<&Point>,
) -> Value {
    let differing = portfolio.units.iter().map(|(node, before, after)| {
        let counts = json!({"first": before, "here": after});
        (network.name(*node).to_owned(), counts)
    });
    let mut data = json!({
        "portfolio": letter(index).to_string(),
        "units_that_differ": Value::Object(differing.collect::<Map<_, _>>()),
    });
    if let Some(point) = point {
        data["units"] = point.plan.units_by_name().into_iter().collect();
    }
    for (key, extreme) in [("lightest", portfolio.lightest), ("least", portfolio.least)] {
        if let Some(Extreme { kg, value }) = extreme {
            data[key] = json!({"minimised_kg": kg, "value": value});
        }
    }
    data
}
