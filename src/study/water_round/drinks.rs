//! Drinks drawn in runs of a dispenser and heated.

use super::flows::{by_phase, largest, stated, sum};
use super::{Budget, Figure, Sheet, Station, given, named};
use crate::audit::Plan;
use crate::kinds::Role;
use crate::network::Drink;
use crate::physics::liquid_water::{density_kg_per_m3, heating_j};
use crate::quantity::{Dimension, shown, shown_number};

const JOULES_PER_KWH: f64 = 3.6e6;
const MINUTES_PER_DAY: f64 = 1440.0;

/// One serving, then every phase.
pub(super) fn station(plan: &Plan, drink: &Drink) -> Station {
    let runs = f64::from(drink.runs);
    let serving_m3 = runs * drink.run_m3;
    // Checked to be in range.
    let density = density_kg_per_m3(drink.from_c).unwrap_or(f64::NAN);
    let heat_j = heating_j(serving_m3, drink.from_c, drink.to_c).unwrap_or(f64::NAN);
    let electric_j = heat_j / drink.efficiency;
    let minutes = electric_j / drink.heater_w / 60.0;
    let serving_kg = serving_m3 * density;
    let of_one = vec![
        Figure::one(
            "serving V",
            "mL",
            "runs × what one run gives",
            serving_m3 * 1e6,
        ),
        Figure::one("heat", "kJ", "ρ V c (to − from)", heat_j / 1000.0),
        Figure::one(
            "electric energy E",
            "kWh",
            "heat / efficiency",
            electric_j / JOULES_PER_KWH,
        ),
        Figure::one("time to heat", "min", "E / power of the heater", minutes),
        Figure::one(
            "time to draw",
            "min",
            "runs × time of one",
            runs * drink.run_days * MINUTES_PER_DAY,
        ),
    ];
    let people = |phase: usize| plan.network().calendar.phases[phase].crew;
    let servings = by_phase(plan, |phase| drink.servings_per_day * people(phase));
    let each = |value: &dyn Fn(f64) -> f64| servings.iter().map(|&number| value(number)).collect();
    let by_the_day = vec![
        Figure::each(
            "servings",
            "/d",
            "servings per person × people",
            servings.clone(),
        ),
        Figure::each(
            "water",
            "kg/d",
            "servings × ρ V",
            each(&|number| number * serving_kg),
        ),
        Figure::each(
            "energy",
            "kWh/d",
            "servings × E",
            each(&|number| number * electric_j / JOULES_PER_KWH),
        ),
        Figure::each(
            "power, on average",
            "W",
            "servings × E / 86 400 s",
            each(&|number| number * electric_j / 86_400.0),
        )
        .in_budget(budget(
            plan,
            drink,
            electric_j / JOULES_PER_KWH / serving_kg,
        )),
        Figure::each(
            "time one heater is busy",
            "min/d",
            "servings × time to heat",
            each(&|number| number * minutes),
        ),
    ];
    let mut inputs = vec![
        given("one run", drink.run_m3 * 1e6, "mL"),
        given("runs of a serving", runs, ""),
        given("time of one run", drink.run_days * MINUTES_PER_DAY, "min"),
        given("servings per person", drink.servings_per_day, "/d"),
        given("from", drink.from_c, "°C"),
        given("to", drink.to_c, "°C"),
        given("power of the heater", drink.heater_w, "W"),
        given("efficiency", drink.efficiency, ""),
    ];
    if let Some(at) = drink.at {
        inputs.push(named("heated at", plan.network().name(at)));
    }
    Station {
        sort: "drink",
        name: drink.name.clone(),
        inputs,
        sheets: vec![Sheet::throughout(of_one), Sheet::by_phase(plan, by_the_day)],
        remarks: remarks(plan, &servings, serving_kg, minutes),
        cautions: Vec::new(),
    }
}

/// More than a heater can do, or than people take.
fn remarks(plan: &Plan, servings: &[f64], serving_kg: f64, minutes: f64) -> Vec<String> {
    let mut remarks = Vec::new();
    let busiest = largest(servings) * minutes;
    if busiest > MINUTES_PER_DAY {
        remarks.push(format!(
            "One heater is not enough: {} minutes a day.",
            shown_number(busiest)
        ));
    }
    let taken = by_phase(plan, |phase| taken(plan, phase));
    for (phase, (&servings, &taken)) in servings.iter().zip(&taken).enumerate() {
        let kg = servings * serving_kg;
        if kg > taken * (1.0 + 1e-9) {
            remarks.push(format!(
                "{}: the servings are {}, but people and their equipment take {} of water.",
                plan.network().calendar.phases[phase].name,
                shown(kg, Dimension::MassRate),
                shown(taken, Dimension::MassRate)
            ));
        }
    }
    if remarks.is_empty() {
        remarks
            .push("Their water is part of what the crew takes, and not counted again.".to_owned());
    }
    remarks
}

/// Grades of water that people and their equipment take, kg/d.
fn taken(plan: &Plan, phase: usize) -> f64 {
    let network = plan.network();
    let is_water = |substance| network.substances.is_water_alone(substance);
    let of_node = |node| {
        sum(plan, node, phase, |activity| {
            let takes = activity.takes.iter();
            let water = takes.filter(|portion| is_water(portion.substance));
            match activity.role {
                Role::Use => water.map(|portion| portion.amount).sum(),
                _ => 0.0,
            }
        })
    };
    network.nodes().map(of_node).sum()
}

fn budget(plan: &Plan, drink: &Drink, kwh_per_kg: f64) -> Budget {
    let energy = stated(kwh_per_kg, Dimension::SpecificEnergy);
    let Some(at) = drink.at else {
        return Budget::NotCounted(format!(
            "energy: \"{energy}\" in the unit of a node through which this water goes would"
        ));
    };
    let name = plan.network().name(at);
    let counted = by_phase(plan, |phase| {
        sum(plan, at, phase, |activity| activity.power_w)
    });
    match largest(&counted) > 0.0 {
        true => Budget::Counted(format!(
            "{} at most by the energy that the unit of \"{name}\" states",
            shown(largest(&counted), Dimension::Power)
        )),
        false => Budget::NotCounted(format!(
            "energy: \"{energy}\" in the unit of \"{name}\" would, for all that goes through it"
        )),
    }
}
