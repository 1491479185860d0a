//! Hardware and the units that replace it.

use super::builder::Builder;

/// Charges `unit mass × u` to the last flight not after the node's start
/// (nothing where the units are installed already), and the unit mass of every
/// replacement to the last flight not after it is due.
pub(super) fn charges(builder: &mut Builder) {
    let network = builder.network;
    for node in network.nodes() {
        let duties = network.duties(node);
        let (Some(hardware), Some(count)) = (&duties.hardware, builder.handles.count[node.index()])
        else {
            continue;
        };
        if !duties.count.installed {
            let flight = builder.booked(network.hardware_flight(node));
            builder.charge(count, hardware.mass_kg, flight);
        }
        for (flight, carried) in network.replacements_by_flight(node).into_iter().enumerate() {
            let flight = builder.booked(flight);
            builder.charge(count, carried * hardware.mass_kg, flight);
        }
    }
}
