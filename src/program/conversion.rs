//! Conversion limits: what an activity may use of what flows in.

use super::builder::{Builder, Sum};
use super::{Family, Sense};

/// For every activity with a feed limit and every phase:
/// `takes[s]·x ≤ share · Σ f in [s]`.
pub(super) fn rows(builder: &mut Builder) {
    let network = builder.network;
    for node in network.nodes() {
        let place = Some(network.graph[node].place);
        for (index, activity) in network.duties(node).activities.iter().enumerate() {
            for limit in &activity.feed_limits {
                let inflows = network.inflows(node, limit.substance);
                let takes: f64 = activity
                    .takes
                    .iter()
                    .filter(|portion| portion.substance == limit.substance)
                    .map(|portion| portion.amount)
                    .sum();
                for phase in 0..network.calendar.phases.len() {
                    if !network.works(node, phase) {
                        continue;
                    }
                    let mut sum = Sum::default();
                    sum.add_amount(builder.level(node, index, phase), takes);
                    sum.add_sum(&builder.flows(&inflows, phase), -limit.share);
                    let label = format!(
                        "share of {} converted by {}, {}",
                        network.substances.name(limit.substance),
                        network.name(node),
                        builder.phase_name(phase)
                    );
                    builder
                        .row(Family::Conversion, label, place, sum, Sense::AtMost)
                        .of(node)
                        .carrying(limit.substance)
                        .during(phase);
                }
            }
        }
    }
}
