//! The whole report of a design: what is flown, how it is flown, how sure that is and
//! what stands behind it, on one page.

use serde_json::{Map, Value, json};

use super::autonomous;
use super::diagram::{KeptLayouts, flow_figure, loop_figure};
use super::findings::Findings;
use super::manifest;
use super::page::{Block, Cell, Page, Table};
use super::record;
use super::round;
use super::solved::{self, CAUTION};
use super::timed;
use crate::audit::Plan;
use crate::quantity::Dimension;
use crate::study::water_round::Round;
use crate::timeline::{Autonomy, Outcome, Timeline};

/// What a report is made from; parts that are not there are left out.
#[derive(Clone, Debug)]
pub struct Whole<'a> {
    /// The plan.
    pub findings: Findings<'a>,
    /// Whether what each flight carries is listed.
    pub manifest: bool,
    /// Levels and events.
    pub timeline: Option<&'a Timeline>,
    /// What the bad days that the design names do.
    pub bad_days: &'a [Outcome],
    /// What the crew can do without.
    pub autonomy: Option<&'a Autonomy>,
    /// The water round.
    pub round: Option<&'a Round>,
    /// The pages of the studies that the design names.
    pub studies: Vec<Study>,
    /// What was read, if it is to be shown.
    pub inputs: Option<Inputs>,
}

/// A study of the design.
#[derive(Clone, Debug)]
pub struct Study {
    /// Its name.
    pub name: String,
    /// Its page.
    pub page: Page,
}

/// What was read.
#[derive(Clone, Debug, Default)]
pub struct Inputs {
    /// Every number as it was solved.
    pub numbers: Vec<Number>,
    /// The texts, each with its name.
    pub texts: Vec<(String, String)>,
}

/// A number of the design.
#[derive(Clone, Debug)]
pub struct Number {
    /// Its address.
    pub address: String,
    /// What it measures.
    pub dimension: Dimension,
    /// Its value in the canonical unit.
    pub value: f64,
}

/// The page of the whole report.
///
/// # Errors
///
/// If the plan cannot be written as data, which would be a fault of this tool.
pub fn whole(whole: &Whole) -> Result<Page, serde_json::Error> {
    let findings = &whole.findings;
    let plan = findings.plan;
    let mut page = Page::new(plan.network().title.as_str());
    let mut data = json!({"title": plan.network().title});
    solved::outcome::outcome(&mut page, findings);
    page.blocks.push(Block::Caution(CAUTION.to_owned()));
    pictures(&mut page, plan);
    page.part("The plan");
    solved::answer(&mut page, plan);
    data["plan"] = serde_json::to_value(record::record(findings))?;
    if whole.manifest {
        page.part("Flight by flight");
        let manifest = manifest::flights(&mut page, plan);
        data["manifest"] = serde_json::to_value(manifest::record(findings, &manifest))?;
    }
    if let Some(timeline) = whole.timeline {
        page.part("Day by day");
        timed::days(&mut page, plan, timeline);
        data["timeline"] = timed::data(findings, timeline, None);
        if !whole.bad_days.is_empty() {
            page.part("Bad days");
        }
        let mut faults = Map::new();
        for outcome in whole.bad_days {
            page.heading(outcome.name.as_str());
            timed::faults::outcome(&mut page, plan, timeline, outcome);
            let mut all = timed::data(findings, timeline, Some(outcome));
            faults.insert(outcome.name.clone(), all["fault"].take());
        }
        if !faults.is_empty() {
            data["bad_days"] = Value::Object(faults);
        }
    }
    if let Some(autonomy) = whole.autonomy {
        page.part("Days of autonomy");
        autonomous::entries(&mut page, plan.network(), autonomy);
        data["autonomy"] = autonomous::data(findings, autonomy);
    }
    if let Some(round) = whole.round {
        page.part("The water round");
        round::stations(&mut page, round);
        data["water_round"] = round::data(plan, round, findings.origin);
    }
    studies(&mut page, &whole.studies, &mut data);
    page.part("What stands behind it");
    solved::behind(&mut page, findings);
    if let Some(read) = &whole.inputs {
        page.part("Inputs as solved");
        inputs(&mut page, read, findings, &mut data);
    }
    findings.origin.sign(&mut data);
    page.data = data;
    Ok(page)
}

/// The loop and its flows, in the longest phase.
fn pictures(page: &mut Page, plan: &Plan) {
    let network = plan.network();
    let phases = network.calendar.phases.iter().enumerate();
    let longest = phases.reduce(|longest, next| match next.1.days > longest.1.days {
        true => next,
        false => longest,
    });
    let Some((phase, _)) = longest else {
        return;
    };
    page.part("The loop");
    let kept = KeptLayouts::default();
    page.figure(loop_figure(network, Some(plan), Some(phase), &kept));
    page.figure(flow_figure(plan, phase));
}

/// The studies, each a part of its own; what the report says already is left out.
fn studies(page: &mut Page, studies: &[Study], data: &mut Value) {
    let mut all = Map::new();
    for study in studies {
        page.part(format!("Study: {}", study.name));
        let said = |block: &&Block| match block {
            Block::Title(_) => false,
            Block::Caution(words) => words != CAUTION,
            _ => true,
        };
        page.blocks
            .extend(study.page.blocks.iter().filter(said).cloned());
        all.insert(study.name.clone(), study.page.data.clone());
    }
    if !all.is_empty() {
        data["studies"] = Value::Object(all);
    }
}

/// The texts as read, and every number after all changes.
fn inputs(page: &mut Page, read: &Inputs, findings: &Findings, data: &mut Value) {
    let origin = findings.origin;
    let mut changes = Vec::new();
    if let Some(variant) = &origin.variant {
        changes.push(format!("variant \"{variant}\""));
    }
    changes.extend(origin.edits.iter().map(|edit| format!("set {edit}")));
    page.paragraph(match changes.is_empty() {
        true => "Solved as written, nothing changed.",
        false => "Solved with these changes, in this order:",
    });
    page.points(changes);
    page.paragraph(format!(
        "Everything that was read has the SHA-256 sum {}.",
        origin.input_sha256
    ));
    page.heading("Every number");
    let mut table = Table::new(&[("number", ""), ("value", ""), ("unit", ""), ("source", "")]);
    for number in &read.numbers {
        let mut sources = origin.sources.iter();
        let source = sources.find(|source| source.figure == number.address);
        table.rows.push(vec![
            Cell::text(&number.address),
            Cell::Plain(number.value),
            Cell::text(number.dimension.unit()),
            source.map_or(Cell::Blank, |source| Cell::text(&source.words)),
        ]);
    }
    page.table(table);
    for (name, text) in &read.texts {
        page.heading(format!("The text of {name}"));
        page.verbatim(text.as_str());
    }
    let numbers = read.numbers.iter().map(|number| {
        let value = json!({"value": number.value, "unit": number.dimension.unit()});
        (number.address.clone(), value)
    });
    data["numbers"] = Value::Object(numbers.collect());
}
