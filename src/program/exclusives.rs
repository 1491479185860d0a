//! Exclusive groups: at most one node of a group has units.

use super::builder::{Builder, Sum};
use super::{Family, Sense};

/// For every group, with `on[n]` 0/1: `u[n] ≤ upper[n] · on[n]` and `Σ on[n] ≤ 1`.
pub(super) fn rows(builder: &mut Builder) {
    let network = builder.network;
    for group in &network.exclusive {
        let place = Some(group.place);
        let mut chosen = Sum::default();
        let mut names = Vec::new();
        let mut columns = Vec::new();
        for &node in &group.nodes {
            let Some(count) = builder.handles.count[node.index()] else {
                continue;
            };
            let name = network.name(node);
            let on = builder.column(format!("{name} is chosen"), place, true);
            builder.bound(on, 0.0, 1.0);
            let mut link = Sum::default();
            link.add(count, 1.0);
            link.add(on, -f64::from(network.duties(node).count.upper));
            let label = format!("units of {name} only where it is chosen");
            builder.row(Family::Exclusives, label, place, link, Sense::AtMost);
            chosen.add(on, 1.0);
            names.push(name);
            columns.push((count, on));
        }
        builder.exclusive.push(columns);
        chosen.add_constant(-1.0);
        let label = format!("at most one of {}", names.join(", "));
        builder.row(Family::Exclusives, label, place, chosen, Sense::AtMost);
    }
}
