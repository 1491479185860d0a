//! A derivation as data.

use serde_json::{Map, Value, json};

use crate::audit::Plan;
use crate::report::findings::{Origin, status_words};
use crate::study::derivation::{Count, Derivation, Equation, Item, Outcome, Side};

use super::card;
use super::equations::sense;

/// Everything on the page.
pub(super) fn data(plan: &Plan, derivation: &Derivation, origin: &Origin) -> Value {
    let network = plan.network();
    let answer = plan.answer();
    let item = match derivation.item {
        Item::Node(node) => network.name(node).to_owned(),
        Item::Limit(limited) => limited.words().0.to_owned(),
        Item::Flight(flight) => format!("flight {flight}"),
    };
    let mut data = json!({
        "status": status_words(answer.proof.status),
        "title": network.title,
        "launch_mass_kg": answer.launch_mass_kg,
        "minimised_kg": answer.minimised_kg(),
        "item": item,
    });
    if let Item::Node(node) = derivation.item {
        data["kind"] = json!(network.graph[node].kind);
        data["duties"] = json!(card(plan, node));
        let flows = network.streams().filter_map(|stream| {
            let (from, to) = network.ends(stream);
            let phases = network.calendar.phases.iter();
            let by_phase = phases.zip(&answer.decisions.flows[stream.index()]);
            (from == node || to == node).then(|| {
                json!({
                    "substance": network.substances.name(network.graph[stream].substance),
                    "from": network.name(from),
                    "to": network.name(to),
                    "kg_per_d": by_phase
                        .map(|(phase, flow)| (phase.name.clone(), json!(flow)))
                        .collect::<Map<_, _>>(),
                })
            })
        });
        data["flows"] = flows.collect();
    }
    data["equations"] = derivation.equations.iter().map(equation).collect();
    let lines = derivation.ledger.iter().map(|line| {
        let flight = &network.calendar.flights[line.flight];
        json!({
            "flight": line.flight,
            "day": flight.day,
            "item": line.item,
            "category": line.category.words(),
            "kg": line.kg,
            "gear_ratio": flight.gear_ratio,
            "how": line.how,
        })
    });
    data["ledger"] = lines.collect();
    let counts = derivation.counts.iter().map(|one| count(plan, one));
    data["counts"] = counts.collect();
    origin.sign(&mut data);
    data
}

fn equation(equation: &Equation) -> Value {
    json!({
        "label": equation.label,
        "family": equation.family.words().0,
        "left": side(&equation.left),
        "sense": sense(equation.sense),
        "right": side(&equation.right),
        "slack": equation.slack(),
        "binds": equation.binds(),
    })
}

fn side(side: &Side) -> Value {
    let terms = side.terms.iter();
    let terms: Vec<Value> = terms
        .map(|term| json!({"factor": term.factor, "of": term.words, "value": term.value}))
        .collect();
    json!({"terms": terms, "constant": side.constant, "value": side.value()})
}

fn count(plan: &Plan, count: &Count) -> Value {
    let mut data = json!({"units": count.units});
    match &count.outcome {
        Outcome::Chosen => {
            data["outcome"] = json!("this plan");
            data["launch_mass_kg"] = json!(plan.answer().launch_mass_kg);
            data["minimised_kg"] = json!(plan.answer().minimised_kg());
        }
        Outcome::Plan(other) => {
            data["outcome"] = json!(if other.proved { "optimal" } else { "feasible" });
            data["launch_mass_kg"] = json!(other.launch_mass_kg);
            data["minimised_kg"] = json!(other.minimised_kg);
            let categories = other.by_category.iter();
            data["changes_kg"] = categories
                .map(|(category, kg)| (category.words().to_owned(), json!(kg)))
                .collect();
            let units = other.units.iter().map(|(node, before, after)| {
                let counts = json!({"before": before, "after": after});
                (plan.network().name(*node).to_owned(), counts)
            });
            data["other_units"] = units.collect();
            data["binding"] = json!(other.binding);
        }
        Outcome::NotAllowed(why) => {
            data["outcome"] = json!("not allowed");
            data["why"] = json!(why);
        }
        Outcome::NoBalance(causes) => {
            data["outcome"] = json!("no balance");
            data["why"] = json!(causes);
        }
        Outcome::Unknown => data["outcome"] = json!("unknown"),
    }
    data
}
