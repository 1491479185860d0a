//! Answers that leave something out.

use super::*;

/// An answer that leaves something out is rejected before anything is summed.
#[test]
fn incomplete_answers() {
    type Cut = fn(&mut Answer);
    let cuts: [(&str, Cut); 17] = [
        ("a count for every node", |a| {
            a.decisions.counts.pop();
        }),
        ("units running for every node with a turndown", |a| {
            a.decisions
                .running
                .iter_mut()
                .for_each(|running| *running = None);
        }),
        ("a level for every activity and phase", |a| {
            a.decisions.levels[0].pop();
        }),
        ("a flow for every stream and phase", |a| {
            a.decisions.flows[3].pop();
        }),
        ("a delivery of every cargo on every flight", |a| {
            a.decisions.cargo.remove(0);
        }),
        ("a delivery of every cargo on every flight", |a| {
            a.decisions.cargo[0].containers = None
        }),
        ("cartridges on every flight", |a| {
            a.decisions.cartridges[0].by_flight.push(0)
        }),
        ("expendables and upkeep on every flight", |a| {
            a.decisions.consumables.clear()
        }),
        ("a reserve and a tank for every store", |a| {
            a.decisions.stores[0].tanks = None
        }),
        ("spares for nodes of the design", |a| {
            a.decisions.spares[0].nodes[0] = crate::network::NodeId::new(99);
        }),
        ("ledger lines on flights of the calendar", |a| {
            a.ledger[0].flight = 2
        }),
        ("a feed for every node and phase", |a| {
            a.throughput.pop();
        }),
        ("a draw for every cargo and phase", |a| {
            a.draws.pop();
        }),
        ("a stock for every cargo and interval", |a| {
            a.stock[1].levels.pop();
        }),
        ("power, heat and crew time in every phase", |a| {
            a.heat_w.pop();
        }),
        ("waste of every disposal", |a| a.waste.swap(0, 1)),
        ("a count for every node", |a| a.decisions.counts.push(1)),
    ];
    for (name, cut) in cuts {
        rejected(misstated(cut), &[Family::Completeness], name);
    }
    let result = changed(|network, _| network.calendar.flights[0].day = 1.0);
    rejected(result, &[Family::Completeness], "a departure on day 0");
}
