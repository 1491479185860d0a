//! Pictures of a design: the loop and its flows. Only words and places are made here; every
//! number is the network's or the plan's.

mod course;
mod dot;
mod flows;
mod key;
mod layers;
mod loops;
mod order;
mod scene;
mod sheet;
mod wiring;
mod wrap;

pub use dot::render_dot;
pub use wiring::KeptLayouts;

use super::number::counted;
use super::page::Figure;
use crate::audit::Plan;
use crate::network::Network;
use scene::{Part, Run, Scene};

/// The loop diagram of a network: nodes in layers from left to right, in rows where that would
/// be too wide, what runs back in lanes around them. With a plan of that network, units and
/// flows stand beside them and what is not used is faint. Flows are those of one phase (by
/// index), or of every phase. Layouts found for pictures before save time.
pub fn loop_figure(
    network: &Network,
    plan: Option<&Plan>,
    phase: Option<usize>,
    kept: &KeptLayouts,
) -> Figure {
    let scene = Scene::of(network, plan, phase);
    let nodes = counted(scene.spots.len(), "node");
    let streams = counted(scene.runs.len(), "stream");
    let when = when(&scene);
    let caption = match plan {
        Some(_) => format!(
            "Loop of {}{when}: units of every node, flows in kg/d; faint is possible and not used.",
            network.title
        ),
        None => format!(
            "Loop of {}, before any plan: what may be connected.",
            network.title
        ),
    };
    let mut description = format!("{nodes} and {streams}.");
    if plan.is_some() {
        let of = |used: bool| -> Vec<String> {
            let spots = scene.spots.iter();
            spots
                .filter(|spot| spot.part == Part::Hardware && spot.is_used == used)
                .map(|spot| match used {
                    true => format!("{} ({})", spot.name, spot.note),
                    false => spot.name.clone(),
                })
                .collect()
        };
        push_list(&mut description, "Hardware that flies", &of(true));
        push_list(&mut description, "Possible and not used", &of(false));
    }
    Figure {
        caption,
        description,
        drawing: loops::draw(&scene, kept),
        terminal: None,
    }
}

/// The flow diagram of a plan in one phase (by index): bands as wide as what flows, what
/// runs back in lanes around the others. Nodes through which nothing flows are left out.
pub fn flow_figure(plan: &Plan, phase: usize) -> Figure {
    let network = plan.network();
    let scene = Scene::of(network, Some(plan), Some(phase));
    let mut runs: Vec<&Run> = scene.runs.iter().filter(|run| run.is_used()).collect();
    runs.sort_by(|one, other| other.most().total_cmp(&one.most()));
    let largest: Vec<String> = runs
        .iter()
        .take(5)
        .map(|run| {
            let ends = [run.from, run.to].map(|spot| scene.spots[spot].name.as_str());
            let amount = scene::rate(run.most());
            format!(
                "{} from {} to {}, {amount} kg/d",
                run.substance, ends[0], ends[1]
            )
        })
        .collect();
    let mut description = format!("{}.", counted(runs.len(), "flow"));
    push_list(&mut description, "The largest", &largest);
    Figure {
        caption: format!(
            "Flows of {}{}: bands as wide as what flows, in kg/d.",
            network.title,
            when(&scene)
        ),
        description,
        drawing: flows::draw(&scene, &KeptLayouts::default()),
        terminal: None,
    }
}

/// ", phase operations" where the design has several and one is shown.
fn when(scene: &Scene) -> String {
    match scene.phases.as_slice() {
        [one] if scene.of_several => format!(", phase {one}"),
        _ => String::new(),
    }
}

fn push_list(text: &mut String, heading: &str, items: &[String]) {
    if !items.is_empty() {
        text.push_str(&format!(" {heading}: {}.", items.join("; ")));
    }
}
