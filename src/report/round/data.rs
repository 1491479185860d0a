//! A water round as data.

use serde_json::{Value, json};

use super::{BUDGET, PHYSICS, verdict};
use crate::audit::Plan;
use crate::report::findings::{Origin, status_words};
use crate::study::water_round::{
    self, Budget, Figure, Given, Input, Round, Sheet, Source, Station,
};

/// Every station with what is given and what follows.
pub(in crate::report) fn data(plan: &Plan, round: &Round, origin: &Origin) -> Value {
    let mut data = json!({
        "status": status_words(plan.answer().proof.status),
        "title": plan.network().title,
        "launch_mass_kg": plan.answer().launch_mass_kg,
        "definitions": {"mass_budget": BUDGET},
        "stations": round.stations.iter().map(station).collect::<Vec<Value>>(),
    });
    data["physics"] = json!(PHYSICS);
    if !round.left_out.is_empty() {
        data["left_out"] = json!(round.left_out);
    }
    origin.sign(&mut data);
    data
}

fn station(station: &Station) -> Value {
    let mut data = json!({"sort": station.sort});
    if !station.name.is_empty() {
        data["name"] = json!(station.name);
    }
    data["given"] = station.inputs.iter().map(given).collect();
    data["sheets"] = station.sheets.iter().map(sheet).collect();
    if !station.remarks.is_empty() {
        data["remarks"] = json!(station.remarks);
    }
    if !station.cautions.is_empty() {
        data["cautions"] = json!(station.cautions);
    }
    data
}

fn given(input: &Input) -> Value {
    let mut data = json!({"name": input.name});
    match &input.value {
        Given::Words(words) => data["value"] = json!(words),
        Given::Number(number, unit) => {
            data["value"] = json!(number);
            unit_of(&mut data, unit);
        }
    }
    data["from"] = json!(match input.from {
        Source::Design => "design",
        Source::Plan => "plan",
    });
    data
}

fn sheet(sheet: &Sheet) -> Value {
    let mut data = json!({});
    if sheet.cases.iter().any(|case| !case.is_empty()) {
        data["cases"] = json!(sheet.cases);
    }
    data["figures"] = sheet.figures.iter().map(figure).collect();
    data
}

fn figure(figure: &Figure) -> Value {
    let mut data = json!({"name": figure.name});
    unit_of(&mut data, figure.unit);
    data["equation"] = json!(figure.equation);
    data["values"] = figure.values.iter().map(value).collect();
    data["mass_budget"] = json!(verdict(&figure.budget));
    if let Budget::Counted(how) | Budget::NotCounted(how) = &figure.budget {
        data["how"] = json!(how);
    }
    data
}

/// A number, or the reason why there is none.
fn value(value: &water_round::Value) -> Value {
    match value {
        water_round::Value::Number(number) => json!(number),
        water_round::Value::No(why) => json!(why),
    }
}

fn unit_of(data: &mut Value, unit: &str) {
    if !unit.is_empty() {
        data["unit"] = json!(unit);
    }
}
