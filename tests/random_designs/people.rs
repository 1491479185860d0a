//! People, what they breathe in and out, and what else they ask for.

use super::draft::Draft;
use super::spoil::Spoil;

/// Crew, cabins and consumers.
pub fn thrown(draft: &mut Draft) {
    if draft.uses("two crew nodes with shares", 25) {
        draft.cabins.push("laboratory");
    }
    let modules = draft.cabins.len();
    for module in 0..modules {
        cabin(draft, module);
    }
    let first_share = draft.number(0.3, 0.7);
    let rates = rates(draft);
    for module in 0..modules {
        let (name, share) = match (modules, module) {
            (1, _) => ("crew", String::new()),
            (_, 0) => ("crew", format!(", share: {first_share}")),
            _ => ("guests", format!(", share: {:.3}", 1.0 - first_share)),
        };
        let heat = match draft.uses("heat of people", 30) {
            true => ", heat: \"120 W\"",
            false => "",
        };
        if !heat.is_empty() {
            draft.least.heat_w += 120.0 * draft.mission.largest_crew();
            draft.most.heat_w += 120.0 * draft.mission.largest_crew();
        }
        draft.node(name, &format!("Crew({}{share}{heat})", rates.written));
        draft.takes_in(module, "oxygen", name);
        draft.takes("food", name);
        draft.takes("potable water", name);
        draft.gives_in(module, "carbon dioxide", name);
        draft.gives_in(module, "humidity", name);
        for &solid in rates.leaves {
            draft.gives(solid, name);
        }
    }
    consumers(draft);
}

struct Rates {
    written: String,
    leaves: &'static [&'static str],
}

/// A published profile, or rates of the design's own that close.
fn rates(draft: &mut Draft) -> Rates {
    if !draft.is_spoilt_by(Spoil::Surplus) && draft.uses("crew rates of the design's own", 25) {
        let oxygen = draft.number(0.7, 1.0);
        let food = draft.number(0.6, 1.8);
        let water = draft.number(2.0, 4.0);
        let total = oxygen + food + water;
        let carbon_dioxide = 1.1 * oxygen;
        let urine = 0.35 * water;
        let faeces = 0.15;
        let humidity = total - carbon_dioxide - urine - faeces;
        return Rates {
            written: format!(
                "takes: {{\"oxygen\": \"{oxygen} kg\", \"food\": \"{food} kg\", \"potable water\": \"{water} kg\"}}, \
                 gives: {{\"carbon dioxide\": \"{carbon_dioxide} kg\", \"urine\": \"{urine} kg\", \
                 \"faeces\": \"{faeces} kg\", \"humidity\": \"{humidity} kg\"}}"
            ),
            leaves: &["urine", "faeces"],
        };
    }
    draft.features.insert("published crew profile");
    let profile = match draft.is_spoilt_by(Spoil::Surplus) {
        true => "2022",
        false => ["2022", "2004", "1994"][draft.dice.below(3)],
    };
    Rates {
        written: format!("profile: \"{profile}\""),
        leaves: &["urine", "faeces", "skin solids"],
    }
}

fn cabin(draft: &mut Draft, module: usize) {
    let name = draft.cabins[module];
    let mut leaks = Vec::new();
    if draft.uses("cabin leak", 50) {
        leaks.push(format!("\"oxygen\": \"{} kg/d\"", draft.number(0.01, 0.1)));
    }
    if module == 0 && draft.uses("leak of what only passes", 15) {
        leaks.push(format!(
            "\"nitrogen\": \"{} kg/d\"",
            draft.number(0.01, 0.1)
        ));
        draft.takes("nitrogen", name);
        draft.node(
            "nitrogen cargo",
            "Cargo(gives: \"nitrogen\", packaging: 0.6)",
        );
        draft.gives("nitrogen", "nitrogen cargo");
    }
    let written = match leaks.is_empty() {
        true => "Cabin()".to_owned(),
        false => format!("Cabin(leak: {{{}}})", leaks.join(", ")),
    };
    draft.node(name, &written);
}

fn consumers(draft: &mut Draft) {
    let dry = draft.is_spoilt_by(Spoil::Surplus);
    if draft.uses("consumer per person", 55) {
        let kg = draft.number(0.5, 3.0);
        let back = draft.number(0.8, 0.99);
        let parts: &[(usize, &str, &str)] = match draft.cabins.len() {
            2 => &[
                (0, "washing", ", share: 0.5"),
                (1, "far washing", ", share: 0.5"),
            ],
            _ => &[(0, "washing", "")],
        };
        for &(module, name, share) in parts {
            if !share.is_empty() {
                draft.features.insert("consumers with shares");
            }
            let gives = format!(
                "{{\"grey water\": {back}, \"humidity\": {:.3}}}",
                1.0 - back
            );
            draft.node(
                name,
                &format!(
                    "Consumer(takes: {{\"potable water\": \"{kg} kg\"}}, per: Person, gives: {gives}{share})"
                ),
            );
            draft.takes("potable water", name);
            draft.gives("grey water", name);
            draft.gives_in(module, "humidity", name);
        }
    }
    if !dry && draft.uses("consumer per day", 30) {
        let kg = draft.number(0.1, 1.5);
        draft.node(
            "plants",
            &format!("Consumer(takes: {{\"potable water\": \"{kg} L\"}}, per: Day, gives: {{\"humidity\": 1.0}})"),
        );
        draft.takes("potable water", "plants");
        draft.gives_in(0, "humidity", "plants");
    }
    if !dry && draft.mission.has_outings() {
        draft.features.insert("consumer per occasion");
        let unit = draft.number(0.5, 3.0);
        draft.substance("lost vapour", "Mixture({\"water\": 1.0})");
        draft.substance("lost air", "Mixture({\"oxygen\": 1.0})");
        draft.node(
            "suits",
            &format!(
                "Consumer(takes: {{\"potable water\": \"{} kg\", \"oxygen\": \"{} kg\"}}, \
                 per: Occasion(\"outing\"), gives: {{\"lost vapour\": 0.8, \"lost air\": 0.2}})",
                0.8 * unit,
                0.2 * unit
            ),
        );
        draft.takes("potable water", "suits");
        draft.takes_in(0, "oxygen", "suits");
        draft.gives("lost vapour", "suits");
        draft.gives("lost air", "suits");
        draft.takes("lost vapour", "overboard");
        draft.takes("lost air", "overboard");
    }
}
