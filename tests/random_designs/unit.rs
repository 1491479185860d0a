//! Random hardware.

use super::draft::{Draft, Loads};

/// What a node asks of its hardware.
pub struct Asked {
    /// Feed at the largest crew, kg/d.
    pub feed_kg_per_day: f64,
    /// Whether the design needs it to run.
    pub must: bool,
    /// Whether the unit states its capacity, or the kind finds it.
    pub states_capacity: bool,
}

/// Throws the fields `unit`, `count` and `from` of a node.
pub fn thrown(draft: &mut Draft, node: &str, asked: &Asked) -> String {
    let (count, least, most) = count(draft, asked.must);
    let mut unit = mass(draft);
    if asked.states_capacity {
        // One that must run has room at its least number of units, even with an
        // availability of 0.8; another may be too small for everything.
        let per_unit = asked.feed_kg_per_day / f64::from(least.max(1));
        let capacity = match asked.must {
            true => draft.number(1.3 * per_unit, 2.0 * per_unit),
            false => draft.number(0.35 * per_unit, 1.4 * per_unit),
        };
        unit += &format!(", capacity: \"{capacity} kg/d\"");
        if draft.uses("turndown", 12) {
            unit += &format!(", turndown: {:.2}", draft.dice.between(0.1, 0.7));
        }
    }
    if draft.uses("availability", 20) {
        unit += &format!(", availability: {:.2}", draft.dice.between(0.8, 0.99));
    }
    let mut one = Loads::default();
    if draft.uses("power", 60) {
        one.power_w = draft.number(20.0, 500.0);
        one.heat_w = one.power_w;
        unit += &format!(", power: \"{} W\"", one.power_w);
    }
    if draft.uses("heat", 20) {
        let heat_w = draft.number(10.0, 150.0);
        one.heat_w += heat_w;
        unit += &format!(", heat: \"{heat_w} W\"");
    }
    if draft.uses("volume", 40) {
        one.volume_m3 = draft.number(0.1, 2.0);
        unit += &format!(", volume: \"{} m³\"", one.volume_m3);
    }
    if draft.uses("crew time", 25) {
        one.crew_time_h_per_day = draft.number(0.02, 0.2);
        unit += &format!(", crew_time: \"{} h/d\"", one.crew_time_h_per_day);
    }
    if draft.uses("energy per kilogram", 25) {
        let energy = draft.number(0.05, 2.0);
        let peak_w = energy * asked.feed_kg_per_day * 1000.0 / 24.0;
        let peak = Loads {
            power_w: peak_w,
            heat_w: peak_w,
            ..Loads::default()
        };
        draft.most.add(1.0, peak);
        draft.least.add(f64::from(u8::from(asked.must)), peak);
        unit += &format!(", energy: \"{energy} kWh/kg\"");
    }
    if draft.uses("life", 20) {
        let days = draft.mission.days() as f64;
        unit += &format!(", life: \"{} d\"", draft.number(0.3 * days, 1.2 * days));
    }
    if draft.uses("upkeep", 15) {
        unit += &format!(", upkeep: \"{} kg/yr\"", draft.number(1.0, 30.0));
    }
    if draft.uses("expendables", 15) {
        unit += &format!(", expendables: \"{} g/kg\"", draft.number(0.5, 40.0));
    }
    if draft.uses("cartridge", 22) {
        let mass = draft.number(1.0, 15.0);
        let treats = draft.number(40.0, 120.0) * mass;
        unit += &format!(", cartridge: Cartridge(mass: \"{mass} kg\", treats: \"{treats:.0} kg\")");
    }
    unit += &spares(draft);
    draft.least.add(f64::from(least), one);
    draft.most.add(f64::from(most), one);
    if least < most {
        draft.optional.push(node.to_owned());
    }
    let mut written = format!("unit: Unit({unit}), count: {count}");
    if !asked.must
        && draft.chance(15)
        && let Some(phase) = draft.mission.later_phase(&mut draft.dice)
    {
        draft.features.insert("late start");
        written += &format!(", from: \"{phase}\"");
    }
    written
}

fn mass(draft: &mut Draft) -> String {
    let mass = draft.number(8.0, 90.0);
    match draft.uses("figure with a source and a spread", 8) {
        false => format!("mass: \"{mass} kg\""),
        true => format!(
            "mass: Figure(value: \"{mass} kg\", source: \"invented\", spread: Uniform(\"{} kg\", \"{} kg\"))",
            mass - 1.0,
            mass + 2.0
        ),
    }
}

/// The count as written, its least and its most.
fn count(draft: &mut Draft, must: bool) -> (String, u32, u32) {
    let most = 2 + u32::from(draft.chance(40));
    let of_hundred = draft.dice.below(100);
    let (feature, least, most) = match (of_hundred, must) {
        (0..15, _) => ("Exactly", 1, 1),
        (15..25, _) => ("Installed", 1, 1),
        (25..45, _) | (_, true) => ("Between", 1, most),
        _ => ("UpTo", 0, most),
    };
    draft.features.insert(feature);
    let written = match feature {
        "UpTo" => format!("UpTo({most})"),
        "Between" => format!("Between({least}, {most})"),
        exact => format!("{exact}({least})"),
    };
    (written, least, most)
}

fn spares(draft: &mut Draft) -> String {
    if !draft.chance(45) {
        return String::new();
    }
    let mtbf = draft.number(9000.0, 40000.0);
    let mut written = match draft.chance(40) {
        true => shared(draft),
        false => {
            let mut own = format!("mass: \"{} kg\"", draft.number(2.0, 25.0));
            if draft.uses("error factor", 20) {
                own += &format!(", error_factor: {:.2}", draft.dice.between(1.2, 4.0));
            }
            own
        }
    };
    if draft.uses("duty", 30) {
        written += &format!(", duty: {:.2}", draft.dice.between(0.3, 1.0));
    }
    format!(", spares: Spares({written}, mtbf: \"{mtbf} h\")")
}

/// One part of the design that several units share.
fn shared(draft: &mut Draft) -> String {
    if let Some(part) = draft.shared_part.clone() {
        draft.features.insert("pooled part");
        return part;
    }
    let mut part = format!("part: \"pump\", mass: \"{} kg\"", draft.number(2.0, 15.0));
    if draft.uses("error factor of a pooled part", 30) {
        part += &format!(", error_factor: {:.2}", draft.dice.between(1.2, 3.0));
    }
    draft.shared_part = Some(part.clone());
    part
}
