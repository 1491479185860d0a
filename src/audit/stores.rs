//! Stores: their reserves and the tanks that hold what is kept in them.

use petgraph::visit::EdgeRef;

use crate::catalogue::SubstanceId;
use crate::kinds::{Reserve, Role, Stock, Tank};
use crate::network::NodeId;

use super::checks::{Checks, Family};
use super::facts::Facts;

/// A reserve is at least its stated mass, or its days × all that flows to
/// anything but stores, disposals and junctions that lead to nothing else, in
/// every phase.
pub(super) fn reserves(facts: &Facts, checks: &mut Checks) {
    for plan in &facts.decisions.stores {
        let Some(Stock::Kept {
            substance,
            reserve: Some(reserve),
            ..
        }) = &facts.network.graph[plan.node].duties.stock
        else {
            continue;
        };
        let name = facts.name(plan.node);
        match reserve {
            Reserve::Kilograms(kg) => {
                checks.at_least(Family::Reserves, plan.reserve_kg, *kg, || {
                    format!("reserve of {name}")
                });
            }
            Reserve::Days(days) => {
                let uses = uses(facts, *substance);
                for phase in 0..facts.phases {
                    let mut feeds = 0.0;
                    for edge in facts.network.graph.edges(plan.node) {
                        if edge.weight().substance == *substance && uses[edge.target().index()] {
                            feeds += facts.decisions.flows[edge.id().index()][phase];
                        }
                    }
                    checks.at_least(Family::Reserves, plan.reserve_kg, days * feeds, || {
                        format!(
                            "reserve of {name} lasts {days} d, {}",
                            facts.phase_name(phase)
                        )
                    });
                }
            }
        }
    }
}

/// Whether each node uses a substance: it is neither store nor disposal, and
/// if it is a junction then it leads to a node that uses it.
fn uses(facts: &Facts, substance: SubstanceId) -> Vec<bool> {
    let mut junctions = Vec::new();
    let mut uses = Vec::new();
    for (node, duties) in facts.nodes() {
        let kept = matches!(duties.stock, Some(Stock::Kept { .. }));
        let mut activities = duties.activities.iter();
        let disposal = activities.any(|activity| matches!(activity.role, Role::Leave(_)));
        let junction = duties.activities.is_empty() && duties.stock.is_none();
        uses.push(!kept && !disposal && !junction);
        if junction {
            junctions.push(node);
        }
    }
    loop {
        let leads_on = |node: &&NodeId| {
            let mut edges = facts.network.graph.edges(**node);
            !uses[node.index()]
                && edges
                    .any(|edge| edge.weight().substance == substance && uses[edge.target().index()])
        };
        match junctions.iter().find(leads_on) {
            Some(junction) => uses[junction.index()] = true,
            None => return uses,
        }
    }
}

/// A store holds its reserve and the cargo transferred into it at its fullest,
/// which is right after an arrival; its whole tanks hold that.
pub(super) fn tanks(facts: &Facts, checks: &mut Checks) {
    for plan in &facts.decisions.stores {
        let name = facts.name(plan.node);
        let mut aboard = vec![plan.reserve_kg; facts.flights()];
        for cargo in &facts.decisions.cargo {
            let Some(Stock::Delivered {
                into: Some(into), ..
            }) = &facts.network.graph[cargo.node].duties.stock
            else {
                continue;
            };
            if into.text != name {
                continue;
            }
            let draw = facts.draw(cargo.node);
            let mut delivered = 0.0;
            for (flight, (aboard, kg)) in aboard.iter_mut().zip(&cargo.kg).enumerate() {
                delivered += kg;
                *aboard += delivered - facts.between(&draw, 0.0, facts.flight_day(flight));
            }
        }
        for (flight, aboard) in aboard.into_iter().enumerate() {
            checks.at_least(Family::Tanks, plan.holds_kg, aboard, || {
                format!(
                    "{name} holds what is aboard on day {}",
                    facts.flight_day(flight)
                )
            });
        }
        let (Some(Stock::Kept { tank, .. }), Some(tanks)) =
            (&facts.network.graph[plan.node].duties.stock, plan.tanks)
        else {
            continue;
        };
        if let Some(Tank::Whole { holds_kg, .. }) = tank {
            let room = holds_kg * f64::from(tanks);
            checks.at_most(Family::Tanks, plan.holds_kg, room, || {
                format!("whole tanks of {name}")
            });
        }
    }
}
