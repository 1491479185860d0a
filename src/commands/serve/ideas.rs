//! The classroom: one slider for each idea, with a sentence about what it shows.

use serde::Serialize;

use super::controls::{Control, phases_by_length};
use super::ground::Ground;

/// An idea with its slider.
#[derive(Clone, Debug, Serialize)]
pub(super) struct Idea {
    /// The number that its slider moves.
    pub address: String,
    /// The idea in two or three words.
    pub title: &'static str,
    /// What moving the slider shows.
    pub sentence: String,
}

/// Ideas for which the design has a number; `flown` are the nodes that have units in its
/// plan, one of which is preferred for an example.
pub(super) fn ideas(ground: &Ground, controls: &[Control], flown: &[String]) -> Vec<Idea> {
    let design = &ground.design;
    let has = |address: &str| controls.iter().any(|control| control.address == address);
    let mut ideas = Vec::new();
    let mut add = |title, address: String, sentence: String| {
        if has(&address) {
            ideas.push(Idea {
                address,
                title,
                sentence,
            });
        }
    };
    if let Some(phase) = phases_by_length(design).first() {
        add(
            "Longer mission",
            format!("mission.phases.{phase}.length"),
            "What is brought from home weighs something every day. A machine weighs its own \
             mass once. Is there a day from which the machine is the lighter way?"
                .to_owned(),
        );
        add(
            "More people",
            format!("mission.phases.{phase}.crew"),
            "Twice the people drink twice the water, but do they need twice the machines? \
             Look for the step where one machine no longer does."
                .to_owned(),
        );
    }
    if let Some(node) = machine(controls, flown) {
        add(
            "Heavier machine",
            format!("nodes.{node}.unit.mass"),
            format!(
                "How heavy may the {node} become before the mission is lighter without it? \
                 Past that point its mass no longer matters: it stays at home."
            ),
        );
        if let Some(share) = first_share(controls, &node) {
            add(
                "Better yield",
                share.address.clone(),
                format!(
                    "What the {node} does not recover must be brought from home. How much cargo \
                     does one more part in a hundred save?"
                ),
            );
        }
    }
    add(
        "Fewer ships",
        "mission.resupply.every".to_owned(),
        "When ships come seldom, more must wait aboard: reserves, spares and tanks. Does the \
         total mass care?"
            .to_owned(),
    );
    let confidence = controls.iter().find(|control| {
        control.address.starts_with("spares.") && control.address.ends_with("confidence")
    });
    if let Some(confidence) = confidence {
        add(
            "Surer spares",
            confidence.address.clone(),
            "To be surer that nothing runs out of spare parts, more of them must fly. Watch \
             what the last half per cent weighs."
                .to_owned(),
        );
    }
    ideas
}

/// The first machine of the file whose mass and yield both move, of those that fly if
/// there is one.
fn machine(controls: &[Control], flown: &[String]) -> Option<String> {
    let machines = || {
        controls.iter().filter_map(|control| {
            let node = control
                .address
                .strip_prefix("nodes.")?
                .strip_suffix(".unit.mass")?;
            first_share(controls, node)?;
            Some(node.to_owned())
        })
    };
    machines()
        .find(|node| flown.contains(node))
        .or_else(|| machines().next())
}

/// The first product of a machine that is one of several shares of its feed.
fn first_share<'a>(controls: &'a [Control], node: &str) -> Option<&'a Control> {
    let start = format!("nodes.{node}.turns.");
    let mut shares = controls.iter();
    shares.find(|control| control.shared && control.address.starts_with(&start))
}
