//! What is kept, what is brought, and what leaves.

use super::draft::Draft;
use super::spoil::Spoil;

/// Stores, cargo and disposals.
pub fn thrown(draft: &mut Draft) {
    let tank = draft.uses("store", 55);
    if tank {
        store(draft, "water tank", "potable water");
    }
    if draft.chance(40) {
        store(draft, "oxygen bottles", "oxygen");
    }
    if draft.chance(30) {
        store(draft, "pantry", "food");
    }
    if draft.uses("junction", 30) {
        draft.node("duct", "Junction()");
        draft.hub("oxygen", "duct");
    }
    cargo(draft, "water cargo", "potable water", None);
    if tank && draft.uses("cargo into a store", 60) {
        cargo(draft, "tanker water", "potable water", Some("water tank"));
    }
    cargo(draft, "food cargo", "food", None);
    if !draft.is_spoilt_by(Spoil::Oxygen) && !draft.is_spoilt_by(Spoil::LateOxygen) {
        cargo(draft, "oxygen cargo", "oxygen", None);
    }
    disposals(draft);
}

fn store(draft: &mut Draft, name: &'static str, holds: &'static str) {
    let mut written = format!("holds: \"{holds}\"");
    match draft.dice.below(5) {
        0 | 1 => {
            draft.features.insert("reserve in days");
            written += &format!(", reserve: \"{} d\"", 3 + draft.dice.below(30));
        }
        2 | 3 => {
            draft.features.insert("reserve in kilograms");
            written += &format!(", reserve: \"{} kg\"", 10 + draft.dice.below(150));
        }
        _ => {}
    }
    match draft.dice.below(3) {
        0 => {
            draft.features.insert("tank by tare");
            written += &format!(", tank: Tank(tare: {:.2})", draft.dice.between(0.05, 0.6));
        }
        1 => {
            draft.features.insert("whole tanks");
            written += &format!(
                ", tank: Tank(mass: \"{} kg\", holds: \"{} kg\")",
                draft.number(3.0, 30.0),
                draft.number(40.0, 300.0)
            );
        }
        _ => {}
    }
    draft.node(name, &format!("Store({written})"));
    draft.hub(holds, name);
}

fn cargo(draft: &mut Draft, name: &str, gives: &'static str, into: Option<&str>) {
    let mut written = format!("gives: \"{gives}\"");
    match draft.dice.below(5) {
        0 => {}
        1 | 2 => {
            draft.features.insert("containers");
            let holds = draft.number(10.0, 90.0);
            let tare = draft.number(0.08, 0.3) * holds;
            written +=
                &format!(", container: Container(holds: \"{holds} kg\", tare: \"{tare:.2} kg\")");
        }
        _ => {
            draft.features.insert("packaging");
            written += &format!(", packaging: {:.2}", draft.dice.between(0.02, 0.5));
        }
    }
    if let Some(into) = into {
        written += &format!(", into: \"{into}\"");
        written += &transfer(draft);
    }
    draft.node(name, &format!("Cargo({written})"));
    draft.gives(gives, name);
}

/// What a transfer takes: gas, crew time, both or neither.
fn transfer(draft: &mut Draft) -> String {
    let mut fields = Vec::new();
    if draft.uses("transfer gas", 60) {
        fields.push(format!("pressure: \"{} bar\"", draft.number(1.0, 20.0)));
    }
    if draft.uses("transfer crew time", 60) {
        fields.push(format!("crew_time: \"{} h/kg\"", draft.number(0.002, 0.05)));
    }
    match fields.is_empty() {
        true => String::new(),
        false => format!(", transfer: Transfer({})", fields.join(", ")),
    }
}

fn disposals(draft: &mut Draft) {
    draft.node("overboard", "Disposal(way: Overboard)");
    if !draft.is_spoilt_by(Spoil::Surplus) && draft.chance(60) {
        draft.takes("potable water", "overboard");
    }
    let solids = [
        "urine",
        "faeces",
        "skin solids",
        "brine",
        "dry residue",
        "reject",
        "trimmings",
        "carbon",
    ];
    let (mut stowed, mut removed) = (false, false);
    let only = match draft.spoil {
        Some(Spoil::Stowage) => Some(1),
        Some(Spoil::Removal) => Some(2),
        _ => None,
    };
    for solid in solids {
        if !draft.is_given(solid) || draft.is_spoilt_by(Spoil::Surplus) && solid == "urine" {
            continue;
        }
        let way = only.unwrap_or_else(|| draft.dice.below(4));
        if way != 0 && (way != 3 || draft.chance(50)) && way != 2 {
            draft.takes(solid, "stowage");
            stowed = true;
        }
        if way >= 2 {
            draft.takes(solid, "lander");
            removed = true;
        }
        if way == 0 || only.is_none() && draft.chance(40) {
            draft.takes(solid, "overboard");
        }
    }
    let crew_days = draft.mission.largest_crew() * draft.mission.days() as f64;
    if stowed {
        draft.features.insert("stowed waste");
        let limit = if draft.is_spoilt_by(Spoil::Stowage) {
            "Stowed(limit: \"1 kg\")".to_owned()
        } else if draft.uses("stowage limit of a node", 40) {
            format!(
                "Stowed(limit: \"{} kg\")",
                draft.number(0.2, 2.5) * crew_days
            )
        } else {
            "Stowed()".to_owned()
        };
        draft.node("stowage", &format!("Disposal(way: {limit})"));
    }
    if removed {
        draft.features.insert("removal by flights");
        let per_flight = match draft.spoil {
            Some(Spoil::Removal) => 0.5,
            _ => draft.number(0.3, 2.5) * crew_days,
        };
        draft.node(
            "lander",
            &format!("Disposal(way: Removed(per_flight: \"{per_flight} kg\"))"),
        );
    }
}
