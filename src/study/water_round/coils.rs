//! A condenser's coil: how cold, in how much air, with how much heat.

use super::flows::{by_phase, feed, sum, units};
use super::{Budget, Figure, Sheet, Station, Value, given, planned};
use crate::audit::Plan;
use crate::network::{Coil, CoilKnown};
use crate::physics::moist_air::{
    MoistAir, coil_temperature_c, condensed_kg_per_day, latent_w, sensible_w,
};
use crate::quantity::{Dimension, shown};

/// What one phase asks of the coil.
struct Duty {
    coil_c: Value,
    air_m3_per_h: Value,
    latent_w: Value,
    sensible_w: Value,
}

/// The duty of a condenser in every phase.
pub(super) fn station(plan: &Plan, air: MoistAir, coil: &Coil) -> Station {
    let condensed = by_phase(plan, |phase| feed(plan, coil.node, phase));
    let units = units(plan, coil.node);
    let duties: Vec<Duty> = condensed
        .iter()
        .map(|&condensed| duty(air, coil.known, condensed, units))
        .collect();
    let figure = |name, unit, equation, value: fn(&Duty) -> &Value| Figure {
        name,
        unit,
        equation,
        values: duties.iter().map(|duty| value(duty).clone()).collect(),
        budget: Budget::Information,
    };
    let figures = vec![
        Figure::each("condensate m", "kg/d", "from the plan", condensed),
        figure("coil temperature t", "°C", COIL, |duty| &duty.coil_c),
        figure("air through all units q", "m³/h", AIR, |duty| {
            &duty.air_m3_per_h
        }),
        figure(
            "latent heat",
            "W",
            "L(t) m / 86 400, L the latent heat of water",
            |duty| &duty.latent_w,
        )
        .in_budget(counted(plan, coil)),
        figure("sensible heat", "W", SENSIBLE, |duty| &duty.sensible_w),
    ];
    let known = match coil.known {
        CoilKnown::AirFlow(flow) => given("air that one unit draws", flow, "m³/h"),
        CoilKnown::Temperature(celsius) => given("coil temperature", celsius, "°C"),
    };
    let dew_point = air.dew_point_c().unwrap_or_default();
    Station {
        sort: "condenser",
        name: plan.network().name(coil.node).to_owned(),
        inputs: vec![planned("units", units, ""), known],
        sheets: vec![Sheet::by_phase(plan, figures)],
        remarks: vec![
            format!(
                "A coil condenses only below the dew point of the cabin, {}.",
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

/// The missing one of air and coil, and both heats.
fn duty(air: MoistAir, known: CoilKnown, condensed: f64, units: f64) -> Duty {
    if condensed <= 0.0 || units <= 0.0 {
        let idle = || Value::No("nothing condenses".to_owned());
        return Duty {
            coil_c: idle(),
            air_m3_per_h: idle(),
            latent_w: Value::Number(0.0),
            sensible_w: idle(),
        };
    }
    let found = match known {
        CoilKnown::AirFlow(flow) => {
            let flow = flow * units;
            coil_temperature_c(flow, air, condensed).map(|coil_c| (coil_c, flow))
        }
        CoilKnown::Temperature(coil_c) => {
            let of_one = condensed_kg_per_day(1.0, air, coil_c);
            of_one.map(|of_one| (coil_c, condensed / of_one))
        }
    };
    let Ok((coil_c, flow)) = found else {
        let no = || Value::No("too little air: ice forms".to_owned());
        return Duty {
            coil_c: no(),
            air_m3_per_h: no(),
            latent_w: no(),
            sensible_w: no(),
        };
    };
    let watts = |found: Result<f64, _>| found.map_or_else(refused, Value::Number);
    Duty {
        coil_c: coil_c.into(),
        air_m3_per_h: flow.into(),
        latent_w: watts(latent_w(condensed, coil_c)),
        sensible_w: watts(sensible_w(flow, air, coil_c)),
    }
}

fn refused(error: crate::physics::OutOfRange) -> Value {
    Value::No(error.to_string())
}

/// The plan counts latent heat at the temperature that the node states.
fn counted(plan: &Plan, coil: &Coil) -> Budget {
    let heats = by_phase(plan, |phase| {
        sum(plan, coil.node, phase, |activity| activity.heat_w)
    });
    let most = shown(super::flows::largest(&heats), Dimension::Power);
    Budget::Counted(format!(
        "in the heat of the plan, {most} at most, at the coil temperature of the node"
    ))
}
