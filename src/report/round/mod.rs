//! The page of a water round.

mod data;
mod tables;

pub(super) use data::data;

use crate::answer::Status;
use crate::audit::Plan;
use crate::study::water_round::{Budget, Given, Input, Round, Source, Station};

use super::findings::Origin;
use super::page::{Block, Page, Tone};
use super::solved::{CAUTION, closing};

/// The page of a plan's water round.
pub fn round(plan: &Plan, round: &Round, origin: &Origin) -> Page {
    let title = &plan.network().title;
    let mut page = Page::new(title.as_str());
    let proved = plan.answer().proof.status == Status::Optimal;
    page.blocks.push(Block::Outcome {
        tone: if proved { Tone::Good } else { Tone::Doubtful },
        words: match proved {
            true => "The water round of the lightest plan, proved.".to_owned(),
            false => "The water round of a plan not proved the lightest.".to_owned(),
        },
    });
    page.blocks.push(Block::Title(title.clone()));
    stations(&mut page, round);
    closing::sources(&mut page, origin);
    page.blocks.push(Block::Caution(CAUTION.to_owned()));
    page.records = Some(tables::records(round));
    page.data = data(plan, round, origin);
    page
}

/// Every station, and the physics behind them.
pub(super) fn stations(page: &mut Page, round: &Round) {
    page.paragraph(BUDGET);
    for station in &round.stations {
        self::station(page, station);
    }
    if !round.left_out.is_empty() {
        page.heading("Left out");
        page.paragraph("This variant takes their nodes out:");
        page.points(round.left_out.clone());
    }
    page.heading("Physics");
    page.points(PHYSICS.map(str::to_owned).to_vec());
}

const BUDGET: &str = "Steady flows of the plan, put through published physics. Counted: the mass budget \
    of the plan has it already. Not counted: it could have it, and what to write for that. \
    Information: no mass budget asks for it. Nothing here changes the plan.";

/// Where the equations come from.
const PHYSICS: [&str; 5] = [
    "saturation and latent heat of water: IAPWS SR1-86(1992), from memory, checked against IAPWS-95",
    "moist air as ideal gases: ASHRAE Handbook – Fundamentals, 2017, chapter 1, second-hand; it holds \
     0.4 to 0.5 % less vapour at saturation than real air",
    "density, viscosity and heat capacity of liquid water: IAPWS SR6-08(2011)",
    "pressure drop: Darcy–Weisbach, with 64 / Re and Colebrook (1939)",
    "electrolysis: Faraday constant by the definition of the SI; enthalpy of formation of liquid water \
     −285.825 kJ/mol (Active Thermochemical Tables), so 1.481 V",
];

fn station(page: &mut Page, station: &Station) {
    page.heading(heading(station));
    if !station.inputs.is_empty() {
        let inputs: Vec<String> = station.inputs.iter().map(input).collect();
        page.paragraph(format!("Given: {}.", inputs.join("; ")));
    }
    for sheet in &station.sheets {
        if tables::is_one_case(sheet) {
            page.table(tables::one_case(sheet));
        } else {
            page.table(tables::values(sheet));
            page.table(tables::equations(sheet));
        }
    }
    let figures = station.sheets.iter().flat_map(|sheet| &sheet.figures);
    let budgets = figures.filter_map(|figure| match &figure.budget {
        Budget::Counted(how) => Some(format!("{}: counted {how}.", figure.name)),
        Budget::NotCounted(how) => Some(format!("{}: not counted; {how}.", figure.name)),
        Budget::Information => None,
    });
    page.points(budgets.chain(station.remarks.iter().cloned()).collect());
    for caution in &station.cautions {
        page.blocks.push(Block::Caution(caution.clone()));
    }
}

/// "Line: to the polisher".
fn heading(station: &Station) -> String {
    match station.name.as_str() {
        "" => station.sort.to_owned(),
        name => format!("{}: {name}", station.sort),
    }
}

fn input(input: &Input) -> String {
    let value = match &input.value {
        Given::Words(words) => words.clone(),
        Given::Number(number, "") => tables::significant(*number),
        Given::Number(number, unit) => format!("{} {unit}", tables::significant(*number)),
    };
    let from = match input.from {
        Source::Design => "",
        Source::Plan => " (the plan)",
    };
    format!("{} {value}{from}", input.name)
}

/// "counted", "not counted", "information".
fn verdict(budget: &Budget) -> &'static str {
    match budget {
        Budget::Counted(_) => "counted",
        Budget::NotCounted(_) => "not counted",
        Budget::Information => "information",
    }
}
