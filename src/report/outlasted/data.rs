//! Random failures as data.

use serde_json::{Value, json};

use super::{INTERVAL, METHOD, OFF, SHORT};
use crate::audit::Plan;
use crate::network::SparesPolicy;
use crate::report::findings::{Origin, status_words};
use crate::study::failures::{Failures, Lasting};

/// Everything that was counted.
pub(super) fn data(plan: &Plan, failures: &Failures, origin: &Origin) -> Value {
    let network = plan.network();
    let parts = failures.parts.iter().map(|part| {
        let nodes = part.nodes.iter().map(|&node| network.name(node));
        let mut data = json!({
            "part": part.part,
            "nodes": nodes.collect::<Vec<&str>>(),
            "units": part.units,
            "spares": part.spares,
            "expected_failures": part.expected_failures,
            "lasting": lasting(&part.lasting),
            "spares_used": part.spares_used,
            "spares_used_model": part.spares_used_model,
            "first_shortfalls": part.first_shortfalls,
        });
        if let Some(days) = part.unit_days_down {
            data["unit_days_down"] = json!(days);
        }
        data
    });
    let until = failures
        .until
        .iter()
        .map(|until| json!({"day": until.day, "lasting": lasting(&until.lasting)}));
    let mut data = json!({
        "status": status_words(plan.answer().proof.status),
        "title": network.title,
        "launch_mass_kg": plan.answer().launch_mass_kg,
        "missions_asked": failures.asked,
        "missions": failures.missions,
        "seed": failures.seed,
        "definitions": {
            "method": METHOD, "interval_95": INTERVAL, "standard_errors_off": OFF, "first_shortfalls": SHORT,
        },
    });
    match network.spares {
        None => {}
        Some(SparesPolicy::EachNode { confidence }) => {
            data["asked"] = json!({"each_part": confidence});
        }
        Some(SparesPolicy::WholeSystem { confidence }) => {
            data["asked"] = json!({"whole_system": confidence});
        }
    }
    if !failures.parts.is_empty() {
        data["system"] = lasting(&failures.system);
        data["parts"] = parts.collect();
        data["until"] = until.collect();
    }
    origin.sign(&mut data);
    data
}

fn lasting(lasting: &Lasting) -> Value {
    let mut data = json!({
        "lasted": lasting.lasted,
        "share": lasting.share(),
        "interval_95": lasting.interval(),
        "model": lasting.model,
    });
    if let Some(off) = lasting.standard_errors_off() {
        data["standard_errors_off"] = json!(off);
    }
    data
}
