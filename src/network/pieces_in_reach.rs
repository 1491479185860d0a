//! Whole pieces that can be counted: a slip in an amount or a content would ask for
//! more containers, tanks or cartridges than there are numbers for.

use crate::diagnostic::{Diagnostic, codes};
use crate::kinds::{Level, Packing, Reserve, Stock, Tank};
use crate::quantity::shown_number;

use super::{Network, NodeId};

/// More pieces of one kind than any mission flies.
const MOST_PIECES: f64 = 1e9;

/// Complains of pieces that would come in numbers beyond counting, were all that is
/// used over the mission to go through them.
pub(super) fn complain(network: &Network, diagnostics: &mut Vec<Diagnostic>) {
    let used_kg: f64 = network.nodes().map(|node| used_kg(network, node)).sum();
    for node in network.nodes() {
        let duties = network.duties(node);
        let hardware = duties.hardware.as_ref();
        let cartridge = hardware.and_then(|unit| unit.cartridge);
        let pieces = duties
            .stock
            .iter()
            .filter_map(|stock| piece(stock, used_kg))
            .chain(cartridge.map(|one| ("cartridges", one.treats_kg, used_kg)));
        for (what, each_kg, all_kg) in pieces {
            if all_kg / each_kg > MOST_PIECES {
                let message = format!(
                    "nodes.{}: {} kg in {what} of {} kg each is beyond counting",
                    network.name(node),
                    shown_number(all_kg),
                    shown_number(each_kg)
                );
                diagnostics.push(
                    Diagnostic::error(codes::OUT_OF_RANGE, message)
                        .at(network.graph[node].place, "")
                        .help(
                            "look for a slip in its content, or in what people and equipment use",
                        ),
                );
            }
        }
    }
}

/// What a node uses over the mission whatever is planned, kg.
fn used_kg(network: &Network, node: NodeId) -> f64 {
    let activities = network.duties(node).activities.iter();
    activities
        .filter_map(|activity| match &activity.level {
            Level::Fixed(levels) => Some((activity, levels)),
            Level::Free => None,
        })
        .map(|(activity, levels)| {
            let taken: f64 = activity.takes.iter().map(|portion| portion.amount).sum();
            let phases = network.calendar.phases.iter().zip(levels);
            phases
                .map(|(phase, level)| phase.days * level * taken)
                .sum::<f64>()
        })
        .sum()
}

/// Pieces of a stock: what, content of one, and how much they may have to hold.
fn piece(stock: &Stock, used_kg: f64) -> Option<(&'static str, f64, f64)> {
    match stock {
        Stock::Delivered {
            packing: Packing::Container { holds_kg, .. },
            ..
        } => Some(("containers", *holds_kg, used_kg)),
        Stock::Kept {
            tank: Some(Tank::Whole { holds_kg, .. }),
            reserve,
            ..
        } => {
            let kept_kg = match reserve {
                Some(Reserve::Kilograms(kg)) => used_kg.max(*kg),
                _ => used_kg,
            };
            Some(("tanks", *holds_kg, kept_kg))
        }
        _ => None,
    }
}
