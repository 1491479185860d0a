//! Mass in is mass out: of the loop in every phase, and of every cargo.

use loopwright::audit::Plan;
use loopwright::kinds::{Level, Role};
use loopwright::network::{Network, NodeId};

/// Two masses that differ by this share of the larger are equal.
const EQUAL: f64 = 1e-6;

/// What enters the loop leaves it in every phase, and what is delivered of every
/// cargo is drawn.
pub fn mass_in_is_mass_out(network: &Network, plan: &Plan) -> Result<(), String> {
    for phase in 0..network.calendar.phases.len() {
        let (entered, left) = across(network, plan, phase);
        if (entered - left).abs() > EQUAL * entered.max(1.0) {
            return Err(format!(
                "{entered} kg/d in, {left} kg/d out in phase {phase}"
            ));
        }
    }
    let answer = plan.answer();
    for (cargo, draws) in answer.decisions.cargo.iter().zip(&answer.draws) {
        let phases = network.calendar.phases.iter().zip(&draws.kg_per_day);
        let drawn: f64 = phases.map(|(phase, rate)| phase.days * rate).sum();
        let delivered: f64 = cargo.kg.iter().sum();
        if (delivered - drawn).abs() > EQUAL * drawn.max(1.0) {
            let name = network.name(cargo.node);
            return Err(format!("{delivered} kg of {name} delivered, {drawn} drawn"));
        }
    }
    Ok(())
}

/// Mass that crosses the boundary of the loop in a phase, kg/d: what streams bring
/// from cargo, and what they take to disposals or leaks away. Crew rates of a
/// design's own may miss closure; they count as crossing it.
fn across(network: &Network, plan: &Plan, phase: usize) -> (f64, f64) {
    let flows = &plan.answer().decisions.flows;
    let is = |node: NodeId, role: fn(&Role) -> bool| {
        network
            .duties(node)
            .activities
            .iter()
            .any(|activity| role(&activity.role))
    };
    let (mut entered, mut left) = (0.0, 0.0);
    for stream in network.streams() {
        let (from, to) = network.ends(stream);
        let flow = flows[stream.index()][phase];
        if is(from, |role| *role == Role::Bring) {
            entered += flow;
        }
        if is(to, |role| matches!(role, Role::Leave(_))) {
            left += flow;
        }
    }
    for node in network.nodes() {
        for activity in &network.duties(node).activities {
            let Level::Fixed(levels) = &activity.level else {
                continue;
            };
            let taken: f64 = activity.takes.iter().map(|portion| portion.amount).sum();
            let given: f64 = activity.gives.iter().map(|portion| portion.amount).sum();
            if activity.role == Role::Lose || !activity.conserves {
                left += levels[phase] * (taken - given);
            }
        }
    }
    (entered, left)
}
