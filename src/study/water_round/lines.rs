//! A line between two nodes: pressure drop and pump.

use super::flows::{by_phase, flow, largest, stated};
use super::{Budget, Figure, Sheet, Station, given, named};
use crate::audit::Plan;
use crate::network::WaterLine;
use crate::physics::liquid_water::{density_kg_per_m3, viscosity_pa_s};
use crate::physics::transfer::{Liquid, pump_power_w};
use crate::quantity::{Dimension, shown};

const SECONDS_PER_DAY: f64 = 86_400.0;

/// Flow, pressure drop and pump power in every phase.
pub(super) fn station(plan: &Plan, line: &WaterLine) -> Station {
    let network = plan.network();
    // Checked to be in range.
    let liquid = Liquid {
        density_kg_per_m3: density_kg_per_m3(line.temperature_c).unwrap_or(f64::NAN),
        viscosity_pa_s: viscosity_pa_s(line.temperature_c).unwrap_or(f64::NAN),
    };
    let kg_per_day = by_phase(plan, |phase| flow(plan, &line.streams, phase));
    let m3_per_s: Vec<f64> = kg_per_day
        .iter()
        .map(|kg| kg / liquid.density_kg_per_m3 / SECONDS_PER_DAY / line.pumped)
        .collect();
    let of_flow = |value: &dyn Fn(f64) -> f64| m3_per_s.iter().map(|&flow| value(flow)).collect();
    let friction = |flow: f64| match flow > 0.0 {
        true => line.pipe.friction_factor(flow, liquid),
        false => 0.0,
    };
    let drop = |flow: f64| line.pipe.pressure_drop_pa(flow, liquid);
    let mut figures = vec![
        Figure::each("water m", "kg/d", "from the plan", kg_per_day),
        Figure::each(
            "flow while pumped Q",
            "L/h",
            "Q = m / (24 ρ share of time)",
            of_flow(&|flow| flow * 3.6e6),
        ),
        Figure::each(
            "speed v",
            "m/s",
            "v = 4 Q / (π D²)",
            of_flow(&|flow| line.pipe.speed_m_per_s(flow)),
        ),
        Figure::each(
            "Reynolds number Re",
            "",
            "Re = ρ v D / η",
            of_flow(&|flow| line.pipe.reynolds(flow, liquid)),
        ),
        Figure::each("friction factor f", "", FRICTION, of_flow(&friction)),
        Figure::each(
            "pressure drop Δp",
            "Pa",
            "Δp = (f L / D + Σζ) ρ v² / 2",
            of_flow(&drop),
        ),
    ];
    let mut inputs = vec![
        named("from", network.name(line.from)),
        named("to", network.name(line.to)),
        given("length L", line.pipe.length_m, "m"),
        given("bore D", 1000.0 * line.pipe.bore_m, "mm"),
        given("roughness ε", 1000.0 * line.pipe.roughness_m, "mm"),
        given("fittings Σζ", line.pipe.fittings, ""),
        given("water temperature", line.temperature_c, "°C"),
        given("share of time pumped", line.pumped, ""),
    ];
    let mut cautions = Vec::new();
    if let Some(efficiency) = line.efficiency {
        inputs.push(given("pressure worked against", line.against_pa, "Pa"));
        inputs.push(given("pump efficiency", efficiency, ""));
        let pressure = |flow: f64| match flow > 0.0 {
            true => drop(flow) + line.against_pa,
            false => 0.0,
        };
        let running = |flow: f64| pump_power_w(pressure(flow), flow, efficiency);
        let average: Vec<f64> = of_flow(&|flow| line.pumped * running(flow));
        let most = largest(&m3_per_s);
        let kwh_per_kg = pressure(most) / efficiency / liquid.density_kg_per_m3 / 3.6e6;
        figures.extend([
            Figure::each(
                "pressure of the pump p",
                "Pa",
                "p = Δp + pressure worked against",
                of_flow(&pressure),
            ),
            Figure::each(
                "pump power, running",
                "W",
                "p Q / efficiency",
                of_flow(&running),
            ),
            Figure::each(
                "pump power, on average",
                "W",
                "running power × share of time",
                average,
            )
            .in_budget(budget(plan, line, kwh_per_kg)),
        ]);
        cautions.push(format!(
            "Pressure: {} at the pump. Line, joints and what is at its end must be rated for it and \
             for a closed valve.",
            stated(pressure(most), Dimension::Pressure)
        ));
    }
    Station {
        sort: "line",
        name: line.name.clone(),
        inputs,
        sheets: vec![Sheet::by_phase(plan, figures)],
        remarks: vec![format!(
            "Water at that temperature: density {}, viscosity {:.4} mPa·s.",
            shown(liquid.density_kg_per_m3, Dimension::MassPerVolume),
            liquid.viscosity_pa_s * 1000.0
        )],
        cautions,
    }
}

pub(super) const FRICTION: &str =
    "64 / Re below Re 2040, else 1/√f = −2 log₁₀(ε / (3.7 D) + 2.51 / (Re √f)) (Colebrook)";

/// A pump is part of the unit from which the water comes.
fn budget(plan: &Plan, line: &WaterLine, kwh_per_kg: f64) -> Budget {
    let network = plan.network();
    let name = network.name(line.from);
    let energy = stated(kwh_per_kg, Dimension::SpecificEnergy);
    Budget::NotCounted(match network.duties(line.from).hardware.is_some() {
        true => format!(
            "unless the power that the unit of \"{name}\" states includes the pump; by itself, \
             energy: \"{energy}\" in that unit counts it per kilogram"
        ),
        false => format!("no unit pumps it; energy: \"{energy}\" in the unit of a node would"),
    })
}
