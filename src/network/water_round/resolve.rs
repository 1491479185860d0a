//! From the water round as written to what is worked out.

use super::names::{Lookup, ONLY_WATER};
use super::{Cells, Coil, CoilKnown, Dispenser, Drink, PressedTank, WaterLine, WaterRound};
use crate::catalogue::names::NITROGEN;
use crate::design::{self, Design};
use crate::diagnostic::{Diagnostic, Place, codes};
use crate::kinds::Stock;
use crate::network::{Network, NodeId};
use crate::physics::moist_air::{AIR_RANGE_C, MoistAir, PRESSURE_RANGE_PA};
use crate::physics::transfer::Line;
use crate::physics::{ATMOSPHERE_PA, liquid_water};
use crate::quantity::Dimension;
use crate::written::{Entries, Named, Placed};

/// Lengths and bores of lines that people lay, m.
const LENGTHS_M: (f64, f64) = (0.01, 10_000.0);
const BORES_M: (f64, f64) = (1e-4, 1.0);
/// Rougher than this share of its bore no line is.
const ROUGHEST: f64 = 0.05;
/// Sums of loss coefficients.
const FITTINGS: (f64, f64) = (0.0, 10_000.0);
/// Shares of time and efficiencies that something can be divided by.
const SHARES: (f64, f64) = (1e-3, 1.0);
/// Air drawn by one unit, m³/h.
const AIR_FLOWS_M3_PER_H: (f64, f64) = (0.1, 1e6);
/// Contents of tanks, m³, and of containers, kg.
const TANKS_M3: (f64, f64) = (1e-3, 1000.0);
const CONTAINERS_KG: (f64, f64) = (1e-3, 1e5);
/// What a dispenser gives in one run, m³, and how often in one serving.
const RUNS_M3: (f64, f64) = (1e-6, 0.1);
const RUNS: (f64, f64) = (1.0, 10_000.0);
/// Power of a heater, W.
const HEATERS_W: (f64, f64) = (1.0, 1e5);
/// From the reversible voltage at 25 °C to twice of what cells are run at, V.
const VOLTAGES_V: (f64, f64) = (1.229, 5.0);
/// Beyond this a gas is no longer ideal to some per cent, Pa.
const HIGHEST_PA: f64 = 5e6;

/// Resolves what a design writes about its water round; none where it says nothing or
/// after a complaint.
pub(in crate::network) fn resolve(
    design: &Design,
    network: &Network,
    diagnostics: &mut Vec<Diagnostic>,
) -> Option<WaterRound> {
    let written = design.written.water_round.as_ref()?;
    let mut lookup = Lookup {
        design,
        network,
        diagnostics,
        part: "water_round.air".to_owned(),
        left_out: Vec::new(),
    };
    let air = air(&mut lookup, &written.air);
    let round = WaterRound {
        // Where it was complained about, nothing of the round is kept.
        air: air.or_else(|| MoistAir::new(20.0, 0.5, ATMOSPHERE_PA).ok())?,
        coils: parts(
            &mut lookup,
            "coils",
            &written.coils,
            |lookup, name, coil| self::coil(lookup, air, name, coil),
        ),
        lines: parts(&mut lookup, "lines", &written.lines, line),
        tanks: parts(
            &mut lookup,
            "tanks",
            &written.tanks,
            |lookup, name, tank| self::tank(lookup, air, name, tank),
        ),
        dispensers: parts(&mut lookup, "dispensers", &written.dispensers, dispenser),
        drinks: parts(&mut lookup, "drinks", &written.drinks, drink),
        cells: parts(&mut lookup, "cells", &written.cells, cells),
        left_out: lookup.left_out,
    };
    air.map(|_| round)
}

fn parts<W, R>(
    lookup: &mut Lookup<'_>,
    field: &str,
    written: &Entries<Named, W>,
    resolve: impl Fn(&mut Lookup<'_>, &Named, &W) -> Option<R>,
) -> Vec<R> {
    let mut resolved = Vec::new();
    for (name, part) in written {
        lookup.part = format!("water_round.{field}.{name}");
        resolved.extend(resolve(lookup, name, part));
    }
    resolved
}

fn air(lookup: &mut Lookup<'_>, written: &design::CabinAir) -> Option<MoistAir> {
    let temperature = lookup.within("a temperature", written.temperature, AIR_RANGE_C);
    let pressure = lookup.within("a pressure", written.pressure, PRESSURE_RANGE_PA);
    let (celsius, pascals) = temperature.zip(pressure)?;
    match (written.dew_point, written.humidity) {
        (Some(dew_point), None) => {
            let range = (AIR_RANGE_C.0, celsius);
            let dew_point = lookup.within("a dew point", dew_point, range)?;
            MoistAir::of_dew_point(celsius, dew_point, pascals).ok()
        }
        (None, Some(humidity)) => {
            let air = MoistAir::new(celsius, humidity.value.0, pascals).ok()?;
            if air.dew_point_c().is_err() {
                let help = "water freezes out of it; state a humidity with a dew point above 0 °C";
                let message = "a humidity with a dew point below 0 °C";
                lookup.error(codes::OUT_OF_RANGE, humidity.place, message, help);
                return None;
            }
            Some(air)
        }
        (both, _) => {
            let message = match both {
                Some(_) => "a dew point beside a relative humidity",
                None => "neither a dew point nor a relative humidity",
            };
            let place = both.map_or(written.temperature.place, |dew_point| dew_point.place);
            lookup.error(codes::WATER_ROUND, place, message, "state one of them");
            None
        }
    }
}

fn coil(
    lookup: &mut Lookup<'_>,
    air: Option<MoistAir>,
    name: &Named,
    written: &design::Coil,
) -> Option<Coil> {
    let node = lookup.node_of_kind(name, "Condenser")?;
    let known = match (written.air_flow, written.temperature) {
        (Some(flow), None) => {
            CoilKnown::AirFlow(lookup.within("an air flow", flow, AIR_FLOWS_M3_PER_H)?)
        }
        (None, Some(temperature)) => {
            // At the dew point itself nothing condenses however much air is drawn.
            let warmest = air?.dew_point_c().unwrap_or(AIR_RANGE_C.0) - 0.01;
            let range = (AIR_RANGE_C.0, warmest);
            CoilKnown::Temperature(lookup.within("a coil temperature", temperature, range)?)
        }
        _ => {
            let help = "state one of them: air_flow or temperature; the other follows";
            let message = match written.air_flow {
                Some(_) => "an air flow beside a temperature",
                None => "neither an air flow nor a temperature",
            };
            lookup.error(codes::WATER_ROUND, name.place, message, help);
            return None;
        }
    };
    Some(Coil { node, known })
}

fn pipe(lookup: &mut Lookup<'_>, written: &design::Pipe) -> Option<Line> {
    let length = lookup.within("a length", written.length, LENGTHS_M);
    let bore = lookup.within("a bore", written.bore, BORES_M);
    let fittings = written.fittings;
    let fittings = lookup.number_within(
        "fittings",
        fittings.value,
        fittings.place,
        FITTINGS,
        Dimension::Number,
    );
    let bore_m = bore?;
    let rough = (0.0, ROUGHEST * bore_m);
    Some(Line {
        roughness_m: lookup.within("a roughness", written.roughness, rough)?,
        length_m: length?,
        bore_m,
        fittings: fittings?,
    })
}

fn line(lookup: &mut Lookup<'_>, name: &Named, written: &design::WaterLine) -> Option<WaterLine> {
    let pipe = pipe(lookup, &written.pipe);
    let temperature = lookup.within("a temperature", written.temperature, liquid_water::RANGE_C);
    let pumped = lookup.within("a share", written.pumped, SHARES);
    let efficiency = match written.efficiency {
        Some(efficiency) => Some(lookup.within("an efficiency", efficiency, SHARES)?),
        None => None,
    };
    let carries = match &written.carries {
        Some(substance) => Some(lookup.water(substance)?),
        None => None,
    };
    let (from, to) = (lookup.node(&written.from), lookup.node(&written.to));
    let (from, to) = from.zip(to)?;
    let streams = lookup.streams(from, to, carries);
    if streams.is_empty() {
        let what = match &written.carries {
            Some(substance) => substance.text.clone(),
            None => "water".to_owned(),
        };
        let message = format!(
            "no stream of {what} from \"{}\" to \"{}\"",
            written.from, written.to
        );
        let help = "name the two ends of a stream of water";
        lookup.error(codes::WATER_ROUND, written.from.place, &message, help);
        return None;
    }
    Some(WaterLine {
        name: name.text.clone(),
        from,
        to,
        streams,
        pipe: pipe?,
        temperature_c: temperature?,
        pumped: pumped?,
        against_pa: written.against.0,
        efficiency,
    })
}

fn tank(
    lookup: &mut Lookup<'_>,
    air: Option<MoistAir>,
    name: &Named,
    written: &design::PressedTank,
) -> Option<PressedTank> {
    let pipe = pipe(lookup, &written.pipe);
    let holds = lookup.within("a tank", written.holds, TANKS_M3);
    let temperature = lookup.within("a temperature", written.temperature, liquid_water::RANGE_C);
    // Nothing flows below the pressure of the cabin.
    let cabin_pa = air.map_or(ATMOSPHERE_PA, |air| air.total_pressure_pa());
    let range = (cabin_pa + 1.0, HIGHEST_PA);
    let pressure = lookup.within("an absolute pressure", written.pressure, range);
    let node = lookup.node_of_kind(name, "Cargo")?;
    let gas = gas(lookup, name.place, written.gas.as_ref());
    let substance = delivered(lookup, name, node)?;
    if !lookup.network.substances.is_water_alone(substance) {
        let substance = lookup.network.substances.name(substance);
        let message = format!("\"{substance}\" is not a grade of water");
        lookup.error(codes::WATER_ROUND, name.place, &message, ONLY_WATER);
        return None;
    }
    let (gas, gas_g_per_mol) = gas?;
    Some(PressedTank {
        node,
        holds_m3: holds?,
        pressure_pa: pressure?,
        gas,
        gas_g_per_mol,
        pipe: pipe?,
        temperature_c: temperature?,
        set_up_h: written.set_up.0,
        attended: written.attended.0,
    })
}

/// What a cargo delivers into a store.
fn delivered(
    lookup: &mut Lookup<'_>,
    name: &Named,
    node: NodeId,
) -> Option<crate::catalogue::SubstanceId> {
    match &lookup.network.duties(node).stock {
        Some(Stock::Delivered {
            substance,
            into: Some(_),
            ..
        }) => Some(*substance),
        _ => {
            let message = format!("\"{name}\" is not transferred into a store");
            let help = "state the store in its node: into: \"...\"";
            lookup.error(codes::WATER_ROUND, name.place, &message, help);
            None
        }
    }
}

/// A gas with its molar mass, g/mol.
fn gas(
    lookup: &mut Lookup<'_>,
    place: Place,
    written: Option<&Named>,
) -> Option<(crate::catalogue::SubstanceId, f64)> {
    let name = written.map_or(NITROGEN, Named::as_str);
    let place = written.map_or(place, |gas| gas.place);
    let substances = &lookup.network.substances;
    let found = substances.find(name);
    let molar_mass = found.and_then(|gas| substances.molar_mass_g_per_mol(gas));
    if found.zip(molar_mass).is_none() {
        let (code, message) = match found {
            Some(_) => (
                codes::WATER_ROUND,
                format!("\"{name}\" has no stated formula"),
            ),
            None => (
                codes::UNKNOWN_SUBSTANCE,
                format!("no substance is called \"{name}\""),
            ),
        };
        let help = "name a gas declared as Pure(\"...\") or as a Mixture of such gases";
        lookup.error(code, place, &message, help);
    }
    found.zip(molar_mass)
}

fn dispenser(
    lookup: &mut Lookup<'_>,
    name: &Named,
    written: &design::Dispenser,
) -> Option<Dispenser> {
    let substance = lookup.water(&written.of)?;
    let container = written.container;
    let kg = container.value.known(true)?;
    let kg = Placed {
        value: kg,
        place: container.place,
    };
    let container_kg = lookup.within("a container", kg, CONTAINERS_KG);
    let (mut feeds, mut streams) = (Vec::new(), Vec::new());
    for name in &written.feeds {
        let Some(node) = lookup.node(name) else {
            continue;
        };
        let inflows = lookup.network.inflows(node, substance);
        if inflows.is_empty() {
            let message = format!("no stream of {} to \"{name}\"", written.of);
            let help = "name nodes that take it";
            lookup.error(codes::WATER_ROUND, name.place, &message, help);
            continue;
        }
        if !feeds.contains(&node) {
            feeds.push(node);
            streams.extend(inflows);
        }
    }
    if feeds.is_empty() {
        if written.feeds.is_empty() {
            let help = "name the nodes that drink from it: feeds: [\"crew\"]";
            lookup.error(codes::WATER_ROUND, name.place, "it feeds nothing", help);
        }
        return None;
    }
    Some(Dispenser {
        name: name.text.clone(),
        feeds,
        streams,
        container_kg: container_kg?,
        change_h: written.change.0,
    })
}

fn drink(lookup: &mut Lookup<'_>, name: &Named, written: &design::Drink) -> Option<Drink> {
    let run = lookup.within("a run", written.run, RUNS_M3);
    let runs = f64::from(written.runs);
    let runs = lookup.number_within("runs", runs, name.place, RUNS, Dimension::Whole);
    let from = lookup.within("a temperature", written.from, liquid_water::RANGE_C)?;
    let warmer = (from, liquid_water::RANGE_C.1);
    let to = lookup.within("a temperature", written.to, warmer);
    let heater = lookup.within("a heater", written.heater, HEATERS_W);
    let efficiency = lookup.within("an efficiency", written.efficiency, SHARES);
    let at = match &written.at {
        Some(at) => Some(heated_at(lookup, at)?),
        None => None,
    };
    runs?;
    Some(Drink {
        name: name.text.clone(),
        run_m3: run?,
        runs: written.runs,
        run_days: written.run_takes.0,
        servings_per_day: written.servings.0,
        from_c: from,
        to_c: to?,
        heater_w: heater?,
        efficiency: efficiency?,
        at,
    })
}

fn heated_at(lookup: &mut Lookup<'_>, name: &Named) -> Option<NodeId> {
    let node = lookup.node(name)?;
    if lookup.network.duties(node).hardware.is_none() {
        let message = format!("\"{name}\" has no unit that could heat");
        let help = "name a node with a unit, or leave at out";
        lookup.error(codes::WATER_ROUND, name.place, &message, help);
        return None;
    }
    Some(node)
}

fn cells(lookup: &mut Lookup<'_>, name: &Named, written: &design::Cells) -> Option<Cells> {
    let node = lookup.node_of_kind(name, "Electrolyser")?;
    let mut voltages = Vec::new();
    for &voltage in &written.voltages {
        voltages.push(lookup.within("a cell voltage", voltage, VOLTAGES_V)?);
    }
    Some(Cells { node, voltages })
}
