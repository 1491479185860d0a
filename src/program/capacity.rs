//! Capacity: what the units of a node can take.

use super::builder::Sum;
use super::builder::{Amount, Builder};
use super::{Family, Sense};

/// For every node with a stated capacity and every phase it works in:
/// `Σ load·x ≤ capacity × availability × u`; with a turndown, for `v ≤ u`
/// units running, `turndown × capacity × v ≤ Σ load·x ≤ capacity × availability × v`.
pub(super) fn rows(builder: &mut Builder) {
    let network = builder.network;
    for node in network.nodes() {
        let duties = network.duties(node);
        let (Some(hardware), Some(count)) = (&duties.hardware, builder.handles.count[node.index()])
        else {
            continue;
        };
        let Some(capacity) = hardware.capacity_kg_per_day else {
            continue;
        };
        let place = Some(network.graph[node].place);
        for phase in 0..network.calendar.phases.len() {
            if !network.works(node, phase) {
                continue;
            }
            let at = format!("{}, {}", network.name(node), builder.phase_name(phase));
            let running = builder.handles.running[node.index()]
                .get(phase)
                .copied()
                .flatten();
            let feed = builder.feed(node, phase);
            let mut sum = feed.clone();
            sum.add(running.unwrap_or(count), -capacity * hardware.availability);
            let label = format!("capacity of {at}");
            builder
                .row(Family::Capacity, label, place, sum, Sense::AtMost)
                .of(node)
                .during(phase);
            let (Some(running), Some(turndown)) = (running, hardware.turndown) else {
                continue;
            };
            let mut least = feed;
            least.add(running, -capacity * turndown);
            let label = format!("turndown of {at}");
            builder
                .row(Family::Capacity, label, place, least, Sense::AtLeast)
                .of(node)
                .during(phase);
            let mut there = Sum::default();
            there.add_amount(Amount::Column(running), 1.0);
            there.add(count, -1.0);
            let label = format!("running units of {at}");
            builder.row(Family::Capacity, label, place, there, Sense::AtMost);
        }
    }
}
