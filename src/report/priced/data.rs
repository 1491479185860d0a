//! Prices as data.

use serde_json::{Map, Value, json};

use crate::audit::Plan;
use crate::network::Network;
use crate::report::findings::{Origin, minimised, status_words};
use crate::study::prices::{Change, Effect, Price, Prices, What};

use super::tables::words;
use super::{FREE, Group, HELD};

/// Every price, with what it is a price of.
pub(super) fn data(plan: &Plan, prices: &Prices, origin: &Origin) -> Value {
    let network = plan.network();
    let rows = prices.prices.iter().map(|price| one(network, price));
    let mut data = json!({
        "status": status_words(plan.answer().proof.status),
        "title": network.title,
        "minimised": minimised(plan),
        "minimised_kg": plan.answer().minimised_kg(),
        "launch_mass_kg": plan.answer().launch_mass_kg,
    });
    if let Some(kg) = prices.in_fractions_kg {
        data["in_fractions_kg"] = json!(kg);
    }
    data["units"] = plan.units_by_name().into_iter().collect();
    data["definitions"] = json!({"at_this_hardware": HELD, "hardware_free": FREE});
    data["prices"] = rows.collect();
    origin.sign(&mut data);
    data
}

fn one(network: &Network, price: &Price) -> Value {
    let group = Group::of(&price.what);
    let mut data = json!({
        "group": group.key(),
        "what": price.what.words(network),
        "definition": group.definition(),
    });
    let (node, substance) = match &price.what {
        What::Demand {
            node, substance, ..
        }
        | What::Use {
            node, substance, ..
        } => (Some(*node), Some(*substance)),
        What::Stowed { node } | What::Removed { node } | What::Count { node } => {
            (Some(*node), None)
        }
        _ => (None, None),
    };
    if let Some(node) = node {
        data["node"] = json!(network.name(node));
    }
    if let Some(substance) = substance {
        data["substance"] = json!(network.substances.name(substance));
    }
    let phases = price.what.phases();
    if !phases.is_empty() {
        let names = phases
            .iter()
            .map(|&phase| json!(network.calendar.phases[phase].name));
        data["phases"] = names.collect();
    }
    data["unit"] = json!(price.what.unit());
    data["now"] = json!(price.now);
    if let Some([more, less]) = &price.at_this_hardware {
        data["at_this_hardware"] =
            json!({"more": change(network, more), "less": change(network, less)});
    }
    if let Some([more, less]) = &price.hardware_free {
        data["hardware_free"] =
            json!({"more": change(network, more), "less": change(network, less)});
    }
    data
}

fn change(network: &Network, change: &Change) -> Value {
    let mut data = json!({"step": change.step});
    match &change.effect {
        Effect::Mass { kg, proved, units } => {
            data["change_kg"] = json!(kg);
            data["kg_per_unit"] = json!(change.per_unit());
            data["proved"] = json!(proved);
            if !units.is_empty() {
                let units = units.iter().map(|(node, before, after)| {
                    let counts = json!({"before": before, "after": after});
                    (network.name(*node).to_owned(), counts)
                });
                data["units"] = Value::Object(units.collect::<Map<_, _>>());
            }
        }
        other => data["outcome"] = json!(words(other)),
    }
    data
}
