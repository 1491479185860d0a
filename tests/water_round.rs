//! The water round: a design worked by hand, what the mass budget has of it, and
//! that every format says the same. Published figures are in tests/published.
#![allow(
    clippy::unwrap_used,
    clippy::expect_used,
    clippy::panic,
    reason = "a test that cannot go on fails"
)]

mod common;
mod designs_read;

use common::run;
use designs_read::{open, path, read, text};
use loopwright::answer::Category;
use loopwright::audit::Plan;
use loopwright::study::water_round::{Budget, Figure, Round, water_round};

const BY_HAND: &str = "tests/water_round/hand_worked.ron";
const GROWING: &str = "designs/growing-base.ron";

fn round_of(plan: &Plan) -> Round {
    water_round(plan).expect("a water round")
}

fn figure<'a>(round: &'a Round, sort: &str, name: &str) -> &'a Figure {
    let mut stations = round.stations.iter();
    let station = stations.find(|station| station.sort == sort).expect(sort);
    let mut figures = station.sheets.iter().flat_map(|sheet| &sheet.figures);
    figures.find(|figure| figure.name == name).expect(name)
}

fn numbers(figure: &Figure) -> Vec<f64> {
    let values = figure.values.iter();
    values
        .map(|value| value.number().expect("a number"))
        .collect()
}

#[test]
fn a_round_worked_by_hand() {
    let round = round_of(&open(&path(BY_HAND), None).plan());
    for (sort, name, wanted) in [
        ("condenser", "condensate m", vec![4.0, 10.0]),
        ("condenser", "coil temperature t", vec![10.0, 10.0]),
        ("condenser", "air through all units q", vec![63.53, 158.8]),
        ("condenser", "latent heat", vec![114.68, 286.71]),
        (
            "condenser",
            "heat of vaporisation L",
            vec![2477.187, 2477.187],
        ),
        ("condenser", "sensible heat", vec![314.7, 786.9]),
        ("condenser", "duty of the coil", vec![429.4, 1073.6]),
        ("line", "flow while pumped Q", vec![0.333_933, 0.834_833]),
        ("line", "Reynolds number Re", vec![58.85, 147.13]),
        ("line", "friction factor f", vec![1.0875, 0.43499]),
        ("line", "pressure drop Δp", vec![473.20, 1183.0]),
        ("line", "pressure of the pump p", vec![10_473.2, 11_183.0]),
        ("line", "pump power, running", vec![1.9429e-3, 5.1866e-3]),
        (
            "line",
            "pump power, on average",
            vec![0.97147e-3, 2.5933e-3],
        ),
        ("tank transfer", "driving pressure Δp", vec![101_325.0]),
        ("tank transfer", "flow Q", vec![0.029_795]),
        ("tank transfer", "time to empty a tank", vec![335.63]),
        (
            "tank transfer",
            "gas in a tank pushed empty",
            vec![0.023_291_6],
        ),
        (
            "tank transfer",
            "of it above cabin pressure",
            vec![0.011_645_8],
        ),
        ("tank transfer", "work against the pressure", vec![1.01325]),
        ("tank transfer", "crew time of a tank", vec![5.8438]),
        ("tank transfer", "water brought", vec![14.0, 10.0]),
        ("tank transfer", "tanks", vec![2.0, 1.0]),
        ("tank transfer", "gas", vec![0.032_608, 0.023_291_6]),
        ("tank transfer", "time of flow", vec![7.8314, 5.5938]),
        ("tank transfer", "crew time", vec![8.3314, 5.8438]),
        ("dispenser", "containers a week n", vec![5.6, 14.0]),
        ("dispenser", "whole containers a week", vec![6.0, 14.0]),
        ("dispenser", "days that one lasts", vec![1.25, 0.5]),
        ("dispenser", "crew time a week", vec![0.56, 1.4]),
        ("drink", "serving V", vec![250.0]),
        ("drink", "heat", vec![41.720]),
        ("drink", "electric energy E", vec![0.014_486]),
        ("drink", "time to heat", vec![0.869_17]),
        ("drink", "time to draw", vec![0.5]),
        ("drink", "servings", vec![2.0, 5.0]),
        ("drink", "power, on average", vec![1.2072, 3.0180]),
        ("drink", "time one heater is busy", vec![1.7383, 4.3459]),
    ] {
        let found = numbers(figure(&round, sort, name));
        assert_eq!(found.len(), wanted.len(), "{sort}: {name}");
        for (found, wanted) in found.iter().zip(&wanted) {
            let off = (found / wanted - 1.0).abs();
            assert!(off < 1e-3, "{sort}: {name}: {found}, by hand {wanted}");
        }
    }
}

/// What is counted is what the plan has, to the letter of its own figures.
#[test]
fn the_mass_budget_has_what_is_said_to_be_counted() {
    let plan = open(&path(BY_HAND), None).plan();
    let round = round_of(&plan);
    let counted = |sort: &str, name: &str| match &figure(&round, sort, name).budget {
        Budget::Counted(how) => how.clone(),
        other => panic!("{sort}: {name}: {other:?}"),
    };
    // 28.6711 W per kg/d at the node's own 10 °C.
    let heat = counted("condenser", "latent heat");
    assert!(heat.contains("286.7"), "{heat}");
    let ledger = plan.answer().ledger.iter();
    let gas: f64 = ledger
        .filter(|line| line.category == Category::TransferGas)
        .map(|line| line.kg)
        .sum();
    let here: f64 = numbers(figure(&round, "tank transfer", "gas")).iter().sum();
    assert!((gas - here).abs() < 1e-9, "{gas} {here}");
    assert!(counted("tank transfer", "gas").starts_with("0.0559 kg of nitrogen"));
    // 0.024 kWh/kg on 10 kg/d is 10 W.
    let power = counted("drink", "power, on average");
    assert!(power.starts_with("10 W at most"), "{power}");
    for (sort, name, what) in [
        ("line", "pump power, on average", "0.0000062239 kWh/kg"),
        ("tank transfer", "crew time", "0.5843"),
        ("dispenser", "crew time a week", "0.2 h/d"),
    ] {
        match &figure(&round, sort, name).budget {
            Budget::NotCounted(how) => assert!(how.contains(what), "{sort}: {how}"),
            other => panic!("{sort}: {name}: {other:?}"),
        }
    }
}

/// What the page says to write, written, is counted.
#[test]
fn what_to_write_is_counted_once_it_is_written() {
    let text = text(&path(BY_HAND)).replace(
        "Transfer(pressure: \"2 atm\")",
        "Transfer(pressure: \"2 atm\", crew_time: \"0.58438 h/kg\")",
    );
    let plan = read("by hand", &text, None, &[]).plan();
    let round = round_of(&plan);
    let budget = &figure(&round, "tank transfer", "crew time").budget;
    assert!(matches!(budget, Budget::Counted(_)), "{budget:?}");
    // 14 kg over the 10 days of the first phase, 10 kg over the 20 of the second.
    let hours = &plan.answer().crew_time_h_per_day;
    assert!((hours[0] - 0.58438 * 14.0 / 10.0).abs() < 1e-9);
    assert!((hours[1] - 0.58438 * 10.0 / 20.0).abs() < 1e-9);
}

#[test]
fn a_coil_in_too_little_air_says_so() {
    let text = text(&path(BY_HAND));
    let flow = r#"water_round.coils.condenser=Coil(air_flow: "20 m³/h")"#;
    let plan = read("by hand", &text, None, &[flow]).plan();
    let round = round_of(&plan);
    let temperature = figure(&round, "condenser", "coil temperature t");
    // 40 m³/h hold 4 kg/d above the freezing point, not 10.
    assert!(
        temperature.values[0]
            .number()
            .is_some_and(|t| t > 0.0 && t < 10.0)
    );
    assert_eq!(temperature.values[1].number(), None);
}

#[test]
fn a_variant_without_a_node_leaves_its_parts_out() {
    let text = text(&path(BY_HAND)).replace(
        "[[\"condenser\", \"filter\"]]",
        "[[\"condenser\", [\"filter\", \"overboard\"]]]",
    );
    let plan = read("by hand", &text, Some("no filter"), &[]).plan();
    let round = round_of(&plan);
    let wanted = ["water_round.lines.to the filter", "water_round.drinks.tea"];
    assert_eq!(round.left_out, wanted);
    assert!(round.stations.iter().all(|station| station.sort != "line"));
}

#[test]
fn every_station_of_pressure_oxygen_or_hydrogen_carries_a_caution() {
    let plan = open(&path(GROWING), None).plan();
    let round = round_of(&plan);
    for station in &round.stations {
        let cautions = station.cautions.join(" ");
        let wanted: &[&str] = match station.sort {
            "tank transfer" => &["Pressure"],
            "electrolyser" => &["Oxygen", "Hydrogen"],
            "line"
                if station
                    .inputs
                    .iter()
                    .any(|input| input.name == "pump efficiency") =>
            {
                &["Pressure"]
            }
            _ => &[],
        };
        for word in wanted {
            assert!(cautions.contains(word), "{}: {cautions}", station.sort);
        }
    }
    let text = text(&path(BY_HAND));
    let gas = |name: &str| {
        let gas = format!("water_round.tanks.tanker.gas={name}");
        let plan = read("by hand", &text, None, &[&gas]).plan();
        let round = round_of(&plan);
        let mut stations = round.stations.iter();
        let tank = stations.find(|station| station.sort == "tank transfer");
        tank.unwrap().cautions.join(" ")
    };
    assert!(gas("oxygen").contains("feeds fire"));
    assert!(gas("hydrogen").contains("burns"));
    assert!(gas("nitrogen").contains("takes oxygen's place"));
}

#[test]
fn every_format_shows_every_figure_with_its_equation() {
    let plan = open(&path(GROWING), None).plan();
    let round = round_of(&plan);
    let outputs = ["text", "json", "csv", "markdown"].map(|format| {
        let run = run(&["water-round", GROWING, "--format", format]);
        assert_eq!(run.code, 0, "{}", run.err);
        run
    });
    // Markdown escapes some signs.
    let all = outputs[1..].iter().map(|run| run.out.replace('\\', ""));
    let all: Vec<String> = all.collect();
    for station in &round.stations {
        for figure in station.sheets.iter().flat_map(|sheet| &sheet.figures) {
            assert!(!figure.equation.is_empty(), "{}", figure.name);
            for words in [figure.name, figure.equation] {
                assert!(all.iter().all(|out| out.contains(words)), "{words}");
            }
        }
    }
    let data = outputs[1].json();
    assert_eq!(
        data["stations"].as_array().unwrap().len(),
        round.stations.len()
    );
    // A row of the table for spreadsheets for every value.
    let values = round.stations.iter().flat_map(|station| &station.sheets);
    let values = values.flat_map(|sheet| &sheet.figures);
    let values: usize = values.map(|figure| figure.values.len()).sum();
    assert_eq!(outputs[2].out.lines().count(), values + 1);
}

#[test]
fn a_design_without_a_water_round_is_told_how_to_state_one() {
    let out = run(&["water-round", "designs/classroom.ron"]);
    assert_eq!(out.code, 2);
    assert!(
        out.err.contains("LW0520") && out.err.contains("kinds WaterRound"),
        "{}",
        out.err
    );
}

/// The round changes no plan.
#[test]
fn the_plan_is_the_same_with_and_without_it() {
    let with = text(&path(BY_HAND));
    let start = with.find("    water_round:").unwrap();
    let end = with.find("    variants:").unwrap();
    let without = format!("{}{}", &with[..start], &with[end..]);
    let mass = |text: &str| {
        read("by hand", text, None, &[])
            .plan()
            .answer()
            .launch_mass_kg
    };
    assert_eq!(mass(&with), mass(&without));
}
