//! An uncertainty study for spreadsheets and programs.

use serde_json::{Map, Value, json};

use super::super::super::findings::Origin;
use super::super::super::page::{Cell, Table};
use super::super::{cell_data, letter, portfolio_data};
use super::{name, todays_place, without_plan};
use crate::study::cell::Cell as Planned;
use crate::study::uncertainty::{PERCENTS, Percentiles, Uncertainty};

pub(super) fn records(found: &Uncertainty) -> Table {
    let mut table = Table::new(&[
        ("draw", ""),
        ("mass", "kg"),
        ("portfolio", ""),
        ("units", ""),
        ("remark", ""),
        ("today's portfolio held", "kg"),
        ("remark, held", ""),
        ("values in the order of the numbers", ""),
    ]);
    let mass = |cell: &Planned| {
        cell.planned()
            .map_or(Cell::Blank, |(kg, _)| Cell::Plain(kg))
    };
    for (index, draw) in found.draws.iter().enumerate() {
        let held = match found.todays() {
            Some(_) => mass(&draw.held),
            None => Cell::Blank,
        };
        let values: Vec<String> = found.values(index).iter().map(f64::to_string).collect();
        table.rows.push(vec![
            Cell::Whole(index as u64 + 1),
            mass(&draw.lightest),
            found
                .portfolio(index)
                .map_or(Cell::Blank, |one| Cell::text(letter(one))),
            draw.lightest
                .planned()
                .map_or(Cell::Blank, |(_, portfolio)| Cell::text(portfolio.words())),
            Cell::text(draw.lightest.remark()),
            held,
            Cell::text(draw.held.remark()),
            Cell::text(values.join("; ")),
        ]);
    }
    table
}

fn percentile_data(of: Option<Percentiles>) -> Value {
    let Some(of) = of else { return Value::Null };
    let mut data = Map::new();
    data.insert("draws".to_owned(), json!(of.count));
    data.insert("mean_kg".to_owned(), json!(of.mean));
    for (percent, kg) in PERCENTS.iter().zip(of.at) {
        data.insert(format!("percentile_{percent}_kg"), json!(kg));
    }
    Value::Object(data)
}

pub(super) fn data(title: &str, minimised: &str, found: &Uncertainty, origin: &Origin) -> Value {
    let all = found.draws.len() as f64;
    let numbers = found.numbers.iter().enumerate().map(|(index, one)| {
        let dimension = one.number.dimension;
        let mut data = json!({
            "address": one.number.address,
            "unit": dimension.unit(),
            "value": one.number.value,
            "spread": one.spread.words(dimension),
            "stated_by_design": one.of_the_design,
            "cut_off_share": one.distribution().cut_off(),
        });
        if let Some(taker) = &one.number.taker {
            data["against"] = json!(taker.address);
        }
        if let Some(worth) = &found.worth {
            data["share_of_variance"] = json!(worth.explained[index]);
            if let Some(choice) = &worth.choice {
                data["worth_kg"] = json!(choice.numbers[index].same_draws_kg);
                data["worth_by_halves_kg"] = json!(choice.numbers[index].other_draws_kg);
            }
        }
        data
    });
    let lightest = found.times.iter().enumerate().map(|(index, &times)| {
        json!({
            "portfolio": letter(index),
            "draws": times,
            "probability": times as f64 / all,
            "todays": found.todays() == found.portfolios.get(index),
        })
    });
    let reasons = |remarks: Vec<(String, usize)>| -> Vec<Value> {
        let reasons = remarks.into_iter();
        reasons
            .map(|(words, times)| {
                json!({"remark": words, "draws": times, "probability": times as f64 / all})
            })
            .collect()
    };
    let draws = found.draws.iter().enumerate().map(|(index, draw)| {
        let mut data = cell_data(&draw.lightest, found.portfolio(index));
        data.insert("values".to_owned(), json!(found.values(index)));
        if found.todays().is_some() {
            let held = Value::Object(cell_data(&draw.held, None));
            data.insert("todays_portfolio_held".to_owned(), held);
        }
        Value::Object(data)
    });
    let mut data = json!({
        "title": title,
        "minimised": minimised,
        "complete": found.is_complete(),
        "seed": found.seed,
        "numbers": numbers.collect::<Vec<_>>(),
        "today": cell_data(&found.today, todays_place(found)),
        "lightest": percentile_data(found.lightest()),
        "todays_portfolio_held": percentile_data(found.held()),
        "portfolios": portfolio_data(&found.portfolios),
        "probability_of_being_lightest": lightest.collect::<Vec<_>>(),
        "without_plan": reasons(without_plan(found)),
        "todays_portfolio_without_plan": reasons(found.remarks(|draw| &draw.held)),
        "draws": draws.collect::<Vec<_>>(),
    });
    if let Some(regret) = found.regret() {
        data["regret"] = json!({
            "draws": regret.draws,
            "mean_kg": regret.mean_kg,
            "percentile_95_kg": regret.most_kg,
            "without_plan_share": regret.without as f64 / all,
        });
    }
    if let Some(worth) = &found.worth {
        let compared = found.compared.iter().map(|one| {
            json!({
                "portfolio": name(found, &one.portfolio),
                "mean_kg": one.mean_kg,
                "draws_without_plan": one.without,
            })
        });
        data["compared"] = compared.collect();
        data["bins"] = json!(worth.bins);
        if let Some(choice) = &worth.choice {
            data["best_without_knowing_more"] = json!({
                "portfolio": name(found, &found.compared[choice.best].portfolio),
                "mean_kg": choice.mean_kg,
            });
            data["worth_of_knowing_everything_kg"] = json!(choice.everything_kg);
        }
    }
    origin.sign(&mut data);
    data
}
