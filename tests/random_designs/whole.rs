//! What is asked of the whole design.

use super::draft::Draft;
use super::spoil::Spoil;

/// Limits, spares, equivalents, variants, faults, the date of departure.
pub fn thrown(draft: &mut Draft) {
    limits(draft);
    match draft.dice.below(10) {
        0..3 => {}
        3..6 => {
            draft.features.insert("spares of each node");
            let confidence = draft.dice.between(0.9, 0.999);
            draft.field(format!("spares: EachNode(confidence: {confidence:.4})"));
        }
        _ => {
            draft.features.insert("spares of the whole system");
            let confidence = draft.dice.between(0.9, 0.995);
            draft.field(format!("spares: WholeSystem(confidence: {confidence:.4})"));
        }
    }
    if draft.uses("equivalents", 30) {
        equivalents(draft);
    }
    if draft.spoil.is_none() && draft.uses("variant", 25) {
        variant(draft);
    }
    if draft.uses("faults", 20) {
        let day = draft.dice.below(30);
        let leak = draft.dice.between(0.01, 0.5);
        draft.field(format!(
            "faults: {{\"bad days\": [Down(node: \"food cargo\", from: \"{day} d\"), \
             MoreCrew(people: 1, to: \"20 d\")], \
             \"a lost flight\": [Lost(flight: 1), Late(flight: 2, by: \"{leak:.3} wk\")]}}"
        ));
    }
    if draft.uses("date of departure", 20) {
        let day = 1 + draft.dice.below(28);
        draft.mission.departure = Some(format!("2031-02-{day:02}"));
    }
}

/// Between what must run and what may run, so that a limit may turn the choice.
fn limits(draft: &mut Draft) {
    let (least, most) = (draft.least, draft.most);
    let mut written = Vec::new();
    let of = [
        (
            "power",
            "W",
            least.power_w,
            most.power_w,
            "power limit",
            Spoil::Power,
        ),
        (
            "heat",
            "W",
            least.heat_w,
            most.heat_w,
            "heat limit",
            Spoil::Heat,
        ),
        (
            "volume",
            "m³",
            least.volume_m3,
            most.volume_m3,
            "volume limit",
            Spoil::Volume,
        ),
        (
            "crew_time",
            "h/d",
            least.crew_time_h_per_day,
            most.crew_time_h_per_day,
            "crew time limit",
            Spoil::CrewTime,
        ),
    ];
    for (field, unit, least, most, feature, spoil) in of {
        if draft.is_spoilt_by(spoil) {
            written.push(format!("{field}: \"0.01 {unit}\""));
        } else if most > 0.0 && draft.uses(feature, 25) {
            let share = draft.dice.between(0.1, 1.1);
            let limit = 1.05 * least + share * (most - least);
            written.push(format!("{field}: \"{limit:.3} {unit}\""));
        }
    }
    if draft.uses("stowage limit", 20) {
        let crew_days = draft.mission.largest_crew() * draft.mission.days() as f64;
        let limit = draft.number(0.3, 3.0) * crew_days;
        written.push(format!("stowage: \"{limit:.1} kg\""));
    }
    if !written.is_empty() {
        draft.field(format!("limits: Limits({})", written.join(", ")));
    }
}

fn equivalents(draft: &mut Draft) {
    let mut written = Vec::new();
    if draft.uses("published equivalents", 25) {
        written.push("setting: \"planetary surface, 2015\"".to_owned());
    } else {
        for (field, unit, most) in [
            ("power", "kg/kW", 250.0),
            ("cooling", "kg/kW", 150.0),
            ("volume", "kg/m³", 200.0),
            ("crew_time", "kg/h", 1.5),
        ] {
            if draft.chance(70) {
                written.push(format!(
                    "{field}: \"{} {unit}\"",
                    draft.number(0.1 * most, most)
                ));
            }
        }
    }
    if let Some(phase) = draft.mission.later_phase(&mut draft.dice) {
        draft.features.insert("equivalents by phase");
        let (power, cooling, time) = (
            draft.number(20.0, 500.0),
            draft.number(20.0, 300.0),
            draft.number(0.1, 2.0),
        );
        written.push(format!(
            "phases: {{\"{phase}\": PhaseEquivalents(power: \"{power} kg/kW\", \
             cooling: \"{cooling} kg/kW\", crew_time: \"{time} kg/h\")}}"
        ));
    }
    draft.field(format!("equivalents: Equivalents({})", written.join(", ")));
}

/// A variant, in which the design is then solved.
fn variant(draft: &mut Draft) {
    let mut parts = Vec::new();
    let crew = draft.mission.phases[0].crew + 1;
    parts.push(format!("set: {{\"mission.phases.0.crew\": \"{crew}\"}}"));
    let without = ["reactor", "pyrolyser", "dryer", "filter", "freezer"];
    let mut optional = draft.optional.iter();
    if let Some(node) = optional.find(|node| without.contains(&node.as_str())) {
        draft.features.insert("variant without a node");
        parts.push(format!("without: [\"{node}\"]"));
    }
    draft.field(format!(
        "variants: {{\"other\": Variant({})}}",
        parts.join(", ")
    ));
}
