//! Why so many units, and why so many spares.

use crate::audit::Plan;
use crate::network::NodeId;
use crate::report::number::{counted, fixed};
use crate::report::page::{Cell, Fact, Page, Table};
use crate::study::derivation::{Count, Other, Outcome};

/// Spares of the parts that the node draws on.
pub(super) fn spares(page: &mut Page, plan: &Plan, node: NodeId) {
    let network = plan.network();
    let decisions = &plan.answer().decisions;
    let mut facts = Vec::new();
    for part in &decisions.spares {
        if !part.nodes.contains(&node) {
            continue;
        }
        let units: Vec<u32> = part
            .nodes
            .iter()
            .map(|node| decisions.counts[node.index()])
            .collect();
        let fact = |name: &str, value: Cell, words: &str| Fact {
            name: format!("{name} of {}", part.part),
            value,
            unit: "",
            definition: Some(words.to_owned()),
        };
        let mean = network.mean_failures(&part.nodes, &units);
        facts.extend([
            fact(
                "failures",
                Cell::Plain(mean),
                "expected: Σ units × duty × days in service / mean time between failures",
            ),
            fact("spares", Cell::Whole(u64::from(part.spares)), "carried"),
            fact(
                "confidence",
                Cell::Plain(part.confidence),
                "probability that so many failures or fewer happen",
            ),
        ]);
    }
    if !facts.is_empty() {
        page.heading("Spares");
        page.facts(facts);
    }
}

/// The plan's count beside one less and one more.
pub(super) fn count(page: &mut Page, plan: &Plan, node: NodeId, counts: &[Count]) {
    if counts.is_empty() {
        return;
    }
    let chosen = plan.answer().decisions.counts[node.index()];
    page.heading(format!("Why {}", counted(chosen as usize, "unit")));
    let weighed = plan.answer().equivalents.is_some();
    let mut table = Table::new(&[
        ("units", ""),
        ("launch mass", "kg"),
        ("equivalent system mass", "kg"),
        ("more than this plan", "kg"),
        ("", ""),
    ]);
    for count in counts {
        let (mass, minimised, words) = match &count.outcome {
            Outcome::Chosen => {
                let answer = plan.answer();
                let minimised = answer.minimised_kg();
                (
                    Some(answer.launch_mass_kg),
                    Some(minimised),
                    "this plan".to_owned(),
                )
            }
            Outcome::Plan(other) => {
                let words = match other.proved {
                    true => "proved the lightest with so many",
                    false => "not proved the lightest with so many",
                };
                let minimised = other.minimised_kg;
                (
                    Some(other.launch_mass_kg),
                    Some(minimised),
                    words.to_owned(),
                )
            }
            Outcome::NotAllowed(why) => (None, None, format!("not allowed: {why}")),
            Outcome::NoBalance(_) => (None, None, "no balance".to_owned()),
            Outcome::Unknown => (None, None, "not known: stopped early".to_owned()),
        };
        let kg = |value: Option<f64>| value.map_or(Cell::Blank, Cell::kg);
        let more = minimised.map(|kg| kg - plan.answer().minimised_kg());
        table.rows.push(vec![
            Cell::Whole(u64::from(count.units)),
            kg(mass),
            kg(minimised.filter(|_| weighed)),
            kg(more),
            Cell::text(words),
        ]);
    }
    page.table(table.without_blank_columns());
    page.paragraph("Each is the lightest plan with so many units held and all else chosen anew.");
    for count in counts {
        let points = match &count.outcome {
            Outcome::Plan(other) => differences(plan, other),
            Outcome::NoBalance(causes) => causes.clone(),
            _ => Vec::new(),
        };
        if !points.is_empty() {
            page.paragraph(format!("With {}:", counted(count.units as usize, "unit")));
            page.points(points);
        }
    }
}

fn differences(plan: &Plan, other: &Other) -> Vec<String> {
    let network = plan.network();
    let mut points = Vec::new();
    let by_category: Vec<String> = other
        .by_category
        .iter()
        .map(|(category, kg)| {
            let sign = if *kg > 0.0 { "+" } else { "" };
            format!("{} {sign}{} kg", category.words(), fixed(*kg, 2))
        })
        .collect();
    if !by_category.is_empty() {
        points.push(format!("launch mass: {}", by_category.join(", ")));
    }
    let units: Vec<String> = other
        .units
        .iter()
        .map(|(node, before, after)| format!("{} {before} → {after}", network.name(*node)))
        .collect();
    if !units.is_empty() {
        points.push(format!("other units: {}", units.join(", ")));
    }
    points.push(match other.binding.is_empty() {
        true => "no inequality about it binds".to_owned(),
        false => format!("binding: {}", other.binding.join("; ")),
    });
    points
}
