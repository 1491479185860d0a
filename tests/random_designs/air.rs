//! What makes oxygen and takes carbon dioxide away.

use super::draft::{Draft, Loads};
use super::spoil::Spoil;
use super::unit::{Asked, thrown as unit};

/// Power of a cell at 1.8 V, W for each kg/d of water.
const CELL_W: f64 = 230.0;

/// Cells, carbon dioxide removal, reactors, greenhouse.
pub fn thrown(draft: &mut Draft) {
    let alone = draft.is_spoilt_by(Spoil::Oxygen) || draft.is_spoilt_by(Spoil::LateOxygen);
    let closed = draft.is_spoilt_by(Spoil::Surplus);
    let cells = alone || !closed && draft.uses("electrolyser", 50);
    if cells {
        electrolyser(draft);
    }
    if draft.is_spoilt_by(Spoil::Exclusive) || draft.chance(65) {
        remover(draft);
        if cells && draft.uses("reactor", 60) {
            reactor(draft);
        }
        if !alone && !closed && draft.uses("recipe", 22) {
            greenhouse(draft);
        }
        draft.takes("concentrated carbon dioxide", "overboard");
    } else {
        draft.takes("carbon dioxide", "overboard");
    }
}

fn electrolyser(draft: &mut Draft) {
    let feed = 1.1 * draft.mission.largest_crew();
    let power = Loads {
        power_w: CELL_W * feed,
        heat_w: 0.2 * CELL_W * feed,
        ..Loads::default()
    };
    draft.most.add(1.0, power);
    let hardware = match draft.spoil {
        Some(Spoil::Oxygen) => {
            "unit: Unit(mass: \"50 kg\", capacity: \"0.1 kg/d\"), count: UpTo(3)".to_owned()
        }
        Some(Spoil::LateOxygen) => "unit: Unit(mass: \"50 kg\"), from: \"work\"".to_owned(),
        _ => unit(
            draft,
            "cells",
            &Asked {
                feed_kg_per_day: feed,
                must: false,
                states_capacity: true,
            },
        ),
    };
    let voltage = draft.number(1.5, 2.1);
    draft.node(
        "cells",
        &format!(
            "Electrolyser(takes: \"potable water\", cell_voltage: \"{voltage} V\", {hardware})"
        ),
    );
    draft.takes("potable water", "cells");
    draft.gives("oxygen", "cells");
    draft.gives("hydrogen", "cells");
    draft.takes("hydrogen", "overboard");
}

fn remover(draft: &mut Draft) {
    let feed = 1.1 * draft.mission.largest_crew();
    let fixed = draft.is_spoilt_by(Spoil::Exclusive);
    let must = fixed || draft.chance(50);
    let hardware = match fixed {
        true => "unit: Unit(mass: \"30 kg\", capacity: \"9 kg/d\"), count: UpTo(1)".to_owned(),
        false => unit(
            draft,
            "remover",
            &Asked {
                feed_kg_per_day: feed,
                must,
                states_capacity: true,
            },
        ),
    };
    if fixed {
        draft.field("exclusive: [[\"condenser\", \"remover\"]]".to_owned());
    }
    draft.node(
        "remover",
        &format!(
            "Processor(turns: {{\"carbon dioxide\": {{\"concentrated carbon dioxide\": 1.0}}}}, {hardware})"
        ),
    );
    draft.takes("carbon dioxide", "remover");
    draft.gives("concentrated carbon dioxide", "remover");
    if !must {
        draft.takes("carbon dioxide", "overboard");
    }
}

/// Methane or carbon from carbon dioxide, and acetylene from methane.
fn reactor(draft: &mut Draft) {
    let feed = 1.3 * draft.mission.largest_crew();
    let methane = draft.chance(60);
    let reaction = match methane {
        true => "CO2 + 4 H2 -> CH4 + 2 H2O",
        false => "CO2 + 2 H2 -> C + 2 H2O",
    };
    let asked = Asked {
        feed_kg_per_day: feed,
        must: false,
        states_capacity: true,
    };
    let hardware = unit(draft, "reactor", &asked);
    let conversion = match draft.uses("conversion below one", 60) {
        true => format!("conversion: {}, ", draft.number(0.5, 0.98)),
        false => String::new(),
    };
    draft.node(
        "reactor",
        &format!(
            "Reactor(reaction: \"{reaction}\", {conversion}names: {{\"CO2\": \"concentrated carbon dioxide\", \
             \"H2O\": \"condensate\"}}, {hardware})"
        ),
    );
    for (takes, left_over) in [("concentrated carbon dioxide", true), ("hydrogen", true)] {
        draft.takes(takes, "reactor");
        if left_over && !conversion.is_empty() {
            draft.gives(takes, "reactor");
        }
    }
    draft.gives("condensate", "reactor");
    if !methane {
        draft.gives("carbon", "reactor");
        return;
    }
    draft.gives("methane", "reactor");
    draft.takes("methane", "overboard");
    if draft.uses("substance of a formula", 40) {
        draft.substance("acetylene", "Pure(\"C2H2\")");
        let asked = Asked {
            feed_kg_per_day: 0.3 * feed,
            must: false,
            states_capacity: true,
        };
        let hardware = unit(draft, "pyrolyser", &asked);
        draft.node(
            "pyrolyser",
            &format!("Reactor(reaction: \"2 CH4 -> C2H2 + 3 H2\", {hardware})"),
        );
        draft.takes("methane", "pyrolyser");
        draft.gives("hydrogen", "pyrolyser");
        draft.gives("acetylene", "pyrolyser");
        draft.takes("acetylene", "overboard");
    }
}

fn greenhouse(draft: &mut Draft) {
    for opaque in ["salts", "harvest", "trimmings"] {
        draft.substance(opaque, "Opaque");
    }
    let feed = 6.0 * draft.mission.largest_crew();
    let asked = Asked {
        feed_kg_per_day: feed,
        must: false,
        states_capacity: true,
    };
    let hardware = unit(draft, "greenhouse", &asked);
    draft.node(
        "greenhouse",
        &format!(
            "Recipe(takes: {{\"concentrated carbon dioxide\": \"3 kg\", \"condensate\": \"16 kg\", \"salts\": \"0.06 kg\"}}, \
             gives: {{\"harvest\": \"2.66 kg\", \"oxygen\": \"2.4 kg\", \"humidity\": \"14 kg\"}}, {hardware})"
        ),
    );
    draft.node(
        "kitchen",
        "Processor(turns: {\"harvest\": {\"food\": 0.6, \"trimmings\": 0.4}})",
    );
    draft.node("salts cargo", "Cargo(gives: \"salts\", packaging: 0.1)");
    for takes in ["concentrated carbon dioxide", "condensate", "salts"] {
        draft.takes(takes, "greenhouse");
    }
    draft.gives("harvest", "greenhouse");
    draft.gives("oxygen", "greenhouse");
    draft.gives_in(0, "humidity", "greenhouse");
    draft.takes("harvest", "kitchen");
    draft.gives("food", "kitchen");
    draft.gives("trimmings", "kitchen");
    draft.gives("salts", "salts cargo");
}
