//! What one plan has otherwise than another of the same design.

use crate::answer::Category;
use crate::audit::Plan;
use crate::network::NodeId;

/// Units that differ: node, before, after.
pub(super) fn units(before: &Plan, after: &Plan) -> Vec<(NodeId, u32, u32)> {
    let network = before.network();
    let units = |plan: &Plan, node: NodeId| plan.answer().decisions.counts[node.index()];
    network
        .nodes()
        .filter(|&node| network.duties(node).hardware.is_some())
        .map(|node| (node, units(before, node), units(after, node)))
        .filter(|(_, before, after)| before != after)
        .collect()
}

/// Launch mass by category where it differs, after less before, kg.
pub(super) fn by_category(before: &Plan, after: &Plan) -> Vec<(Category, f64)> {
    let of = |plan: &Plan, category: Category| -> f64 {
        let flights = &plan.network().calendar.flights;
        let lines = plan.answer().ledger.iter();
        lines
            .filter(|line| line.category == category)
            .map(|line| line.kg * flights[line.flight].gear_ratio)
            .sum()
    };
    Category::ALL
        .into_iter()
        .map(|category| (category, of(after, category) - of(before, category)))
        .filter(|(_, kg)| kg.abs() > 1e-6)
        .collect()
}
