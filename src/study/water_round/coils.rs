//! A condenser's coil: how cold, in how much air, with how much heat.

use super::flows::{by_phase, feed, largest, sum, units};
use super::{Budget, Figure, Sheet, Station, Value, given, planned};
use crate::audit::Plan;
use crate::network::{Coil, CoilKnown};
use crate::physics::OutOfRange;
use crate::physics::moist_air::{
    MoistAir, coil_temperature_c, condensed_kg_per_day, latent_heat_j_per_kg, latent_w, sensible_w,
};
use crate::quantity::{Dimension, shown};

/// What one phase asks of the coil.
struct Duty {
    coil_c: f64,
    air_m3_per_h: f64,
    latent_kj_per_kg: f64,
    latent_w: f64,
    sensible_w: f64,
}

/// The duty of a condenser in every phase.
pub(super) fn station(plan: &Plan, air: MoistAir, coil: &Coil) -> Station {
    let condensed = by_phase(plan, |phase| feed(plan, coil.node, phase));
    let units = units(plan, coil.node);
    let duties: Vec<Result<Duty, String>> = condensed
        .iter()
        .map(|&condensed| duty(air, coil.known, condensed, units))
        .collect();
    let figure = |name, unit, equation, value: fn(&Duty) -> f64| Figure {
        name,
        unit,
        equation,
        values: duties
            .iter()
            .map(|duty| match duty {
                Ok(duty) => Value::Number(value(duty)),
                Err(why) => Value::No(why.clone()),
            })
            .collect(),
        budget: Budget::Information,
    };
    let figures = vec![
        Figure::each("condensate m", "kg/d", "from the plan", condensed),
        figure("coil temperature t", "°C", COIL, |duty| duty.coil_c),
        figure("air through all units q", "m³/h", AIR, |duty| {
            duty.air_m3_per_h
        }),
        figure(
            "heat of vaporisation L",
            "kJ/kg",
            "L = T (1/ρ″ − 1/ρ′) dp_sat/dT at t",
            |duty| duty.latent_kj_per_kg,
        ),
        figure("latent heat", "W", "L m / 86 400", |duty| duty.latent_w)
            .in_budget(counted(plan, coil)),
        figure("sensible heat", "W", SENSIBLE, |duty| duty.sensible_w),
        figure(
            "duty of the coil",
            "W",
            "latent heat + sensible heat",
            |duty| duty.latent_w + duty.sensible_w,
        ),
    ];
    let known = match coil.known {
        CoilKnown::AirFlow(flow) => given("air that one unit draws", flow, "m³/h"),
        CoilKnown::Temperature(celsius) => given("coil temperature", celsius, "°C"),
    };
    // Checked to be above freezing.
    let dew_point = air.dew_point_c().unwrap_or(f64::NAN);
    Station {
        sort: "condenser",
        name: plan.network().name(coil.node).to_owned(),
        inputs: vec![planned("units", units, ""), known],
        sheets: vec![Sheet::by_phase(plan, figures)],
        remarks: vec![
            format!(
                "T, W and v are those of the cabin's air. A coil condenses only below its dew point, \
                 {}.",
                shown(dew_point, Dimension::Temperature)
            ),
            "All air is taken to leave saturated at the coil's temperature; a coil that lets some \
             air by must be colder. Sensible heat is part of the heat that people and machines \
             give to the cabin, and not counted again."
                .to_owned(),
        ],
        cautions: Vec::new(),
    }
}

const COIL: &str = "W_s(t) = W − m / ṁ, with dry air ṁ = 24 q / v";
const AIR: &str = "q = m v / (24 (W − W_s(t)))";
const SENSIBLE: &str = "ṁ / 86 400 · (1006 + 1860 W_s(t)) (T − t)";

/// The missing one of air and coil, and the heats; or why there is none.
fn duty(air: MoistAir, known: CoilKnown, condensed: f64, units: f64) -> Result<Duty, String> {
    if condensed <= 0.0 || units <= 0.0 {
        return Err("nothing condenses".to_owned());
    }
    let (coil_c, flow) = match known {
        CoilKnown::AirFlow(flow) => {
            let flow = flow * units;
            let coil_c = coil_temperature_c(flow, air, condensed);
            (
                coil_c.map_err(|_| "too little air: ice forms".to_owned())?,
                flow,
            )
        }
        CoilKnown::Temperature(coil_c) => {
            let of_one = condensed_kg_per_day(1.0, air, coil_c).map_err(words)?;
            (coil_c, condensed / of_one)
        }
    };
    Ok(Duty {
        coil_c,
        air_m3_per_h: flow,
        latent_kj_per_kg: latent_heat_j_per_kg(coil_c).map_err(words)? / 1000.0,
        latent_w: latent_w(condensed, coil_c).map_err(words)?,
        sensible_w: sensible_w(flow, air, coil_c).map_err(words)?,
    })
}

fn words(error: OutOfRange) -> String {
    error.to_string()
}

/// The plan counts latent heat at the temperature that the node states.
fn counted(plan: &Plan, coil: &Coil) -> Budget {
    let heats = by_phase(plan, |phase| {
        sum(plan, coil.node, phase, |activity| activity.heat_w)
    });
    let most = shown(largest(&heats), Dimension::Power);
    Budget::Counted(format!(
        "in the heat of the plan, {most} at most, at the coil temperature of the node"
    ))
}
