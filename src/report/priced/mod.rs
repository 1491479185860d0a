//! The page of prices.

mod data;
mod tables;

use crate::answer::Status;
use crate::audit::Plan;
use crate::study::prices::{Price, Prices, What};

use super::findings::{Origin, minimised};
use super::number::fixed;
use super::page::{Block, Page, Tone};
use super::solved::CAUTION;

/// The page of prices at a plan.
pub fn priced(plan: &Plan, prices: &Prices, origin: &Origin) -> Page {
    let title = &plan.network().title;
    let mut page = Page::new(title.as_str());
    let proved = plan.answer().proof.status == Status::Optimal;
    let kg = fixed(plan.answer().minimised_kg(), 2);
    let mass = minimised(plan);
    page.blocks.push(Block::Outcome {
        tone: if proved { Tone::Good } else { Tone::Doubtful },
        words: match proved {
            true => format!("Prices at the lightest plan: {mass} {kg} kg, proved."),
            false => format!("Prices at a plan not proved the lightest: {mass} {kg} kg."),
        },
    });
    page.blocks.push(Block::Title(title.clone()));
    page.paragraph(format!(
        "What more or less of each thing would change in {mass}; below zero is a saving. Every \
         figure is the difference of two solves."
    ));
    page.points(vec![HELD.to_owned(), FREE.to_owned()]);
    for group in Group::ALL {
        let of_group: Vec<&Price> = prices
            .prices
            .iter()
            .filter(|price| Group::of(&price.what) == group)
            .filter(|price| price.at_this_hardware.is_some() || price.hardware_free.is_some())
            .collect();
        if of_group.is_empty() {
            continue;
        }
        page.heading(group.heading());
        page.paragraph(group.definition());
        tables::held(&mut page, plan.network(), &of_group);
        tables::free(&mut page, plan.network(), &of_group);
    }
    page.blocks.push(Block::Caution(CAUTION.to_owned()));
    page.data = data::data(plan, prices, origin);
    page
}

const HELD: &str = "At this hardware: units and spares are held at the plan's, cartridges, \
    containers and tanks go in fractions, and a small step is taken each way: a slope. One more \
    and one less differ where the plan stands at a corner, such as a unit at its capacity. For \
    people and days only the units are held, and the step is a whole one.";

const FREE: &str = "With hardware free: everything is chosen anew, in whole pieces, for the whole \
    step that is shown.";

/// Prices that are read together.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
enum Group {
    Demands,
    Uses,
    Limits,
    Units,
    Mission,
}

impl Group {
    const ALL: [Group; 5] = [
        Group::Demands,
        Group::Uses,
        Group::Limits,
        Group::Units,
        Group::Mission,
    ];

    fn of(what: &What) -> Self {
        match what {
            What::Demand { .. } => Group::Demands,
            What::Use { .. } => Group::Uses,
            What::Limit(_) | What::Payload { .. } | What::Stowed { .. } | What::Removed { .. } => {
                Group::Limits
            }
            What::Count { .. } => Group::Units,
            What::Person { .. } | What::Day { .. } => Group::Mission,
        }
    }

    fn heading(self) -> &'static str {
        match self {
            Group::Demands => "Demands, used up",
            Group::Uses => "Demands, with what comes back",
            Group::Limits => "Limits",
            Group::Units => "Units allowed",
            Group::Mission => "People and days",
        }
    }

    fn definition(self) -> &'static str {
        match self {
            Group::Demands => {
                "More is taken and used up where it is taken: nothing of it comes back. The price \
                 of having it there. Per kilogram is over the days of its phases."
            }
            Group::Uses => {
                "More is taken, and what is given back grows with it, in its own proportions, as \
                 if the demand were written larger in the design."
            }
            Group::Limits => "The limit is higher or lower; of a flight, every time it flies.",
            Group::Units => {
                "The design allows one unit more or less. With the hardware held nothing would \
                 change."
            }
            Group::Mission => {
                "One more or one fewer person aboard, with everything that goes by the person; a \
                 phase one day longer or shorter, with the flights that its calendar then has."
            }
        }
    }

    /// As data name it.
    fn key(self) -> &'static str {
        match self {
            Group::Demands => "demand used up",
            Group::Uses => "demand with what comes back",
            Group::Limits => "limit",
            Group::Units => "units allowed",
            Group::Mission => "people and days",
        }
    }
}
