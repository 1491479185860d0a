//! Balance: what comes in and is made equals what goes out and is used.

use petgraph::Direction;

use super::builder::{Builder, Sum};
use super::{Family, Sense};

/// For every node, substance and phase, where the node hands the substance
/// through: `Σ f in + Σ gives·x = Σ f out + Σ takes·x`; otherwise, separately,
/// `Σ f in = Σ takes·x` and `Σ f out = Σ gives·x`.
pub(super) fn rows(builder: &mut Builder) {
    let network = builder.network;
    for node in network.nodes() {
        let duties = network.duties(node);
        let place = Some(network.graph[node].place);
        for substance in network.substances_at(node) {
            let inflows = network.inflows(node, substance);
            let outflows = network.outflows(node, substance);
            let passes = duties.passes.contains(&substance);
            let words = network.substances.name(substance);
            for phase in 0..network.calendar.phases.len() {
                let mut used = Sum::default();
                let mut made = Sum::default();
                for (index, activity) in duties.activities.iter().enumerate() {
                    let level = builder.level(node, index, phase);
                    for portion in &activity.takes {
                        if portion.substance == substance {
                            used.add_amount(level, portion.amount);
                        }
                    }
                    for portion in &activity.gives {
                        if portion.substance == substance {
                            made.add_amount(level, portion.amount);
                        }
                    }
                }
                let mut into = builder.flows(&inflows, phase);
                let mut out = builder.flows(&outflows, phase);
                let at = format!("{}, {}", network.name(node), builder.phase_name(phase));
                if passes {
                    into.add_sum(&made, 1.0);
                    into.add_sum(&out, -1.0);
                    into.add_sum(&used, -1.0);
                    if !into.is_zero() {
                        let label = format!("{words} through {at}");
                        builder
                            .row(Family::Balance, label, place, into, Sense::Equal)
                            .of(node)
                            .carrying(substance)
                            .during(phase);
                    }
                    continue;
                }
                into.add_sum(&used, -1.0);
                if !into.is_zero() {
                    let label = format!("{words} into {at}");
                    builder
                        .row(Family::Balance, label, place, into, Sense::Equal)
                        .of(node)
                        .carrying(substance)
                        .on_side(Direction::Incoming)
                        .during(phase);
                }
                out.add_sum(&made, -1.0);
                if !out.is_zero() {
                    let label = format!("{words} out of {at}");
                    builder
                        .row(Family::Balance, label, place, out, Sense::Equal)
                        .of(node)
                        .carrying(substance)
                        .on_side(Direction::Outgoing)
                        .during(phase);
                }
            }
        }
    }
}
