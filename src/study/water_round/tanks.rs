//! Tanks of water that gas pushes through a line: gas, minutes, crew hours.

use super::flows::stated;
use super::lines::FRICTION;
use super::{Budget, Figure, Sheet, Station, given, named};
use crate::answer::Category;
use crate::audit::Plan;
use crate::catalogue::names::{HYDROGEN, OXYGEN};
use crate::network::PressedTank;
use crate::physics::liquid_water::{density_kg_per_m3, viscosity_pa_s};
use crate::physics::moist_air::MoistAir;
use crate::physics::transfer::{Liquid, pressurising_gas_kg};
use crate::quantity::{Dimension, shown, shown_number, written};

/// A litre counts as a kilogram, as everywhere in a design.
const WATER_KG_PER_M3: f64 = 1000.0;
/// Less than this of a tank is rounding.
const ROUNDING: f64 = 1e-6;

/// One tank, then every flight that brings some.
pub(super) fn station(plan: &Plan, air: MoistAir, tank: &PressedTank) -> Station {
    let network = plan.network();
    // Checked to be in range.
    let liquid = Liquid {
        density_kg_per_m3: density_kg_per_m3(tank.temperature_c).unwrap_or(f64::NAN),
        viscosity_pa_s: viscosity_pa_s(tank.temperature_c).unwrap_or(f64::NAN),
    };
    let driving_pa = tank.pressure_pa - air.total_pressure_pa();
    let flow = tank.pipe.flow_m3_per_s(driving_pa, liquid);
    let minutes = tank.holds_m3 / flow / 60.0;
    let hours = tank.set_up_h + tank.attended * minutes / 60.0;
    let gas_kg = pressurising_gas_kg(tank.holds_m3, tank.pressure_pa, tank.gas_g_per_mol);
    let above_kg = pressurising_gas_kg(tank.holds_m3, driving_pa, tank.gas_g_per_mol);
    let work_kj = driving_pa * tank.holds_m3 / 1000.0;
    let of_one = vec![
        Figure::one(
            "driving pressure Δp",
            "Pa",
            "Δp = p − cabin pressure",
            driving_pa,
        ),
        Figure::one(
            "flow Q",
            "L/min",
            "Δp = (f L / D + Σζ) ρ v² / 2 with v = 4 Q / (π D²), solved for Q",
            flow * 60_000.0,
        ),
        Figure::one(
            "Reynolds number Re",
            "",
            "Re = ρ v D / η",
            tank.pipe.reynolds(flow, liquid),
        ),
        Figure::one(
            "friction factor f",
            "",
            FRICTION,
            tank.pipe.friction_factor(flow, liquid),
        ),
        Figure::one("time to empty a tank", "min", "V / Q", minutes),
        Figure::one(
            "gas in a tank pushed empty",
            "kg",
            "p V M / (R T), ideal gas at 20 °C, R 8.314463 J/(mol·K)",
            gas_kg,
        ),
        Figure::one(
            "of it above cabin pressure",
            "kg",
            "Δp V M / (R T)",
            above_kg,
        ),
        Figure::one("work against the pressure", "kJ", "Δp V", work_kj),
        Figure::one(
            "crew time of a tank",
            "h",
            "set-up + attended share × time to empty",
            hours,
        ),
    ];
    let tank_kg = tank.holds_m3 * WATER_KG_PER_M3;
    let flights: Vec<(usize, f64)> = delivered(plan, tank);
    let of_flights =
        |value: &dyn Fn(f64) -> f64| flights.iter().map(|&(_, kg)| value(kg)).collect();
    let tanks = |kg: f64| (kg / tank_kg - ROUNDING).ceil().max(0.0);
    let by_flight = vec![
        Figure::each("water brought", "kg", "from the plan", of_flights(&|kg| kg)),
        Figure::each(
            "tanks",
            "",
            "water / content of one, a litre a kilogram",
            of_flights(&tanks),
        ),
        Figure::each(
            "gas",
            "kg",
            "p V M / (R T) of all that is brought",
            of_flights(&|kg| kg / tank_kg * gas_kg),
        )
        .in_budget(gas_budget(plan, tank, gas_kg / tank_kg)),
        Figure::each(
            "time of flow",
            "h",
            "V / Q of all that is brought",
            of_flights(&|kg| kg / tank_kg * minutes / 60.0),
        ),
        Figure::each(
            "crew time",
            "h",
            "tanks × set-up + attended share × time of flow",
            of_flights(&|kg| {
                tanks(kg) * tank.set_up_h + tank.attended * kg / tank_kg * minutes / 60.0
            }),
        )
        .in_budget(crew_budget(plan, tank, hours / tank_kg)),
    ];
    let mut sheets = vec![Sheet::throughout(of_one)];
    let mut remarks = vec![
        "The pressure is held while the tank empties, by a compressor or a regulator. Vented, the \
         gas ends in the cabin; a compressor that takes cabin air needs none of its own."
            .to_owned(),
    ];
    if flights.is_empty() {
        remarks.push("The plan brings none of it.".to_owned());
    } else {
        let cases = flights.iter();
        sheets.push(Sheet {
            cases: cases
                .map(|&(flight, _)| {
                    let day = network.calendar.flights[flight].day;
                    format!("day {}", shown_number(day))
                })
                .collect(),
            figures: by_flight,
        });
    }
    Station {
        sort: "tank transfer",
        name: network.name(tank.node).to_owned(),
        inputs: vec![
            given("content of a tank V", 1000.0 * tank.holds_m3, "L"),
            given("absolute pressure p", tank.pressure_pa, "Pa"),
            named("gas", network.substances.name(tank.gas)),
            given("molar mass M", tank.gas_g_per_mol, "g/mol"),
            given("length L", tank.pipe.length_m, "m"),
            given("bore D", 1000.0 * tank.pipe.bore_m, "mm"),
            given("roughness ε", 1000.0 * tank.pipe.roughness_m, "mm"),
            given("fittings Σζ", tank.pipe.fittings, ""),
            given("water temperature", tank.temperature_c, "°C"),
            given("set-up of a tank", tank.set_up_h, "h"),
            given("attended share", tank.attended, ""),
        ],
        sheets,
        remarks,
        cautions: cautions(plan, tank, work_kj),
    }
}

/// Flights that bring some of it, with how much, kg.
fn delivered(plan: &Plan, tank: &PressedTank) -> Vec<(usize, f64)> {
    let mut plans = plan.answer().decisions.cargo.iter();
    let Some(cargo) = plans.find(|cargo| cargo.node == tank.node) else {
        return Vec::new();
    };
    let flights = cargo.kg.iter().copied().enumerate();
    flights.filter(|(_, kg)| *kg > ROUNDING).collect()
}

fn gas_budget(plan: &Plan, tank: &PressedTank, per_kg: f64) -> Budget {
    let network = plan.network();
    let name = network.name(tank.node);
    let counted = network.transfer(tank.node);
    match counted.filter(|transfer| transfer.gas_kg_per_kg > 0.0) {
        Some(transfer) => {
            let lines = plan.answer().ledger.iter();
            let of_it =
                lines.filter(|line| line.category == Category::TransferGas && line.item == name);
            let kg = of_it.map(|line| line.kg).sum();
            Budget::Counted(format!(
                "{} of {} in the ledger ({} per kilogram there, {} here)",
                shown(kg, Dimension::Mass),
                network.substances.name(transfer.gas),
                shown(transfer.gas_kg_per_kg, Dimension::MassRatio),
                shown(per_kg, Dimension::MassRatio)
            ))
        }
        None => Budget::NotCounted(format!(
            "pressure: \"{}\", gas: \"{}\" in the transfer of \"{name}\" would",
            written(tank.pressure_pa, Dimension::Pressure),
            network.substances.name(tank.gas)
        )),
    }
}

fn crew_budget(plan: &Plan, tank: &PressedTank, hours_per_kg: f64) -> Budget {
    let network = plan.network();
    let name = network.name(tank.node);
    let counted = network.transfer(tank.node);
    match counted.filter(|transfer| transfer.crew_h_per_kg > 0.0) {
        Some(transfer) => Budget::Counted(format!(
            "in the crew time of the plan ({} there, {} here)",
            shown(transfer.crew_h_per_kg, Dimension::TimePerMass),
            shown(hours_per_kg, Dimension::TimePerMass)
        )),
        None => Budget::NotCounted(format!(
            "crew_time: \"{}\" in the transfer of \"{name}\" would",
            stated(hours_per_kg, Dimension::TimePerMass)
        )),
    }
}

fn cautions(plan: &Plan, tank: &PressedTank, work_kj: f64) -> Vec<String> {
    let substances = &plan.network().substances;
    let mut cautions = vec![format!(
        "Pressure: a tank at {} that is pushed empty has taken up {} kJ. Tanks, lines and joints \
         must be rated and relieved for it, and vented before they are opened.",
        shown(tank.pressure_pa, Dimension::Pressure),
        shown_number(work_kj)
    )];
    let holds = |name: &str| {
        substances
            .find(name)
            .is_some_and(|id| is_part(plan, tank, id))
    };
    if holds(OXYGEN) {
        cautions.push(
            "Oxygen: more of it than in air feeds fire, in the tank and in the cabin that it is \
             vented into; grease and dust ignite in it."
                .to_owned(),
        );
    }
    if holds(HYDROGEN) {
        cautions
            .push("Hydrogen: vented into a cabin it burns from about 4 % by volume.".to_owned());
    } else if !holds(OXYGEN) {
        cautions.push(
            "A gas without oxygen that is vented into a cabin takes oxygen's place there."
                .to_owned(),
        );
    }
    cautions
}

/// Whether the gas is or holds a pure substance.
fn is_part(plan: &Plan, tank: &PressedTank, pure: crate::catalogue::SubstanceId) -> bool {
    use crate::catalogue::Makeup;
    match plan.network().substances.makeup(tank.gas) {
        Makeup::Mixture(parts) => parts.iter().any(|(part, _)| *part == pure),
        _ => tank.gas == pure,
    }
}
