//! A state of the page answered: the plan as pieces of HTML, or why there is none.

use std::panic::resume_unwind;
use std::sync::Arc;
use std::time::Instant;

use axum::body::Bytes;
use axum::http::StatusCode;
use serde_json::{Map, Value, json};

use super::asked::Asked;
use super::ground::{Found, Ground, State, Wrong, text_of};
use super::refused::Refused;
use crate::answer::Status;
use crate::audit::Plan;
use crate::commands::answered::causes;
use crate::diagnostic::Diagnostic;
use crate::quantity::{Dimension, shown};
use crate::report::{self, Block, Findings, Page, Tone, status_words};
use crate::solve::Options;
use crate::study::against::against;
use crate::{Hints, Planned, Refusal, plan_network};

/// The part of a plan's page that holds the ledger.
const LEDGER: &str = "Launch mass";
/// The part that lists units and cargo.
const HARDWARE: &str = "What to fly";
/// The pictures.
const LOOP: &str = "The loop";
const FLOWS: &str = "What flows";

/// An answer as it is sent.
pub(super) struct Answered {
    /// JSON.
    pub body: Bytes,
    /// Whether asking again would give the same.
    pub certain: bool,
    /// What took how long, ms.
    pub took: Vec<(&'static str, f64)>,
}

/// Answers a state: the outcome, the ledger, the loop, and what flies.
pub(super) fn answer(ground: &Ground, asked: &Asked, options: &Options) -> Answered {
    let mut clock = Clock::start();
    let (data, certain) = match ground.state(asked) {
        Err(wrong) => (refused(&wrong), true),
        Ok(state) => {
            clock.lap("read");
            let planned = plan_network(&state.checked.network, &hints(options));
            clock.lap("solve");
            match planned {
                Ok(Planned::Plan(plan)) => {
                    let certain = plan.answer().proof.status == Status::Optimal;
                    let found = Arc::new(Found { state, plan });
                    ground.remember(asked, &found);
                    match solved(ground, &found, options) {
                        Ok(data) => (data, certain),
                        Err(error) => (failed(&format!("internal fault: {error}")), false),
                    }
                }
                unplanned => without_plan(ground, &state, unplanned),
            }
        }
    };
    let body = Bytes::from(data.to_string());
    clock.lap("write");
    Answered {
        body,
        certain,
        took: clock.laps,
    }
}

/// What follows an answer: the flows, and everything else about its plan.
pub(super) fn rest(ground: &Ground, asked: &Asked, options: &Options) -> Result<Answered, Refused> {
    let mut clock = Clock::start();
    let none = |words| Refused::new(StatusCode::UNPROCESSABLE_ENTITY, "refused", words);
    let found = match ground.remembered(asked) {
        Some(found) => found,
        None => {
            let state = ground.state(asked);
            let state = state.map_err(|_| none("the design does not allow this state"))?;
            match plan_network(&state.checked.network, &hints(options)) {
                Ok(Planned::Plan(plan)) => Arc::new(Found { state, plan }),
                _ => return Err(none("this state has no plan")),
            }
        }
    };
    clock.lap("solve");
    let page = page_of(&found).map_err(Refused::internal)?;
    let mut folded = Vec::new();
    for (name, mut blocks) in parts(page).1 {
        match name.as_str() {
            LEDGER => {
                let lines = blocks.split_off(after_sum(&blocks));
                folded.push(("Launch mass by flight and line".to_owned(), lines));
            }
            HARDWARE => {}
            _ => folded.push((name, blocks)),
        }
    }
    let figure = report::flow_figure(&found.plan, longest_phase(&found.plan));
    let flows = (FLOWS.to_owned(), vec![Block::Figure(figure)]);
    let data = json!({
        "parts": [part(flows)],
        "folded": folded.into_iter().map(part).collect::<Vec<Value>>(),
    });
    let body = Bytes::from(data.to_string());
    clock.lap("write");
    Ok(Answered {
        body,
        certain: found.plan.answer().proof.status == Status::Optimal,
        took: clock.laps,
    })
}

fn hints(options: &Options) -> Hints {
    Hints {
        reference: false,
        ..options.clone().into()
    }
}

/// Why there is no plan, as data; and whether asking again would give the same.
fn without_plan(
    ground: &Ground,
    state: &State,
    planned: Result<Planned, Refusal>,
) -> (Value, bool) {
    let title = &state.design.written.title;
    let (page, status, certain) = match &planned {
        Ok(Planned::Plan(_)) => return (failed("internal fault: a plan without a page"), false),
        Ok(Planned::NoBalance(why)) => {
            let causes = causes(why, &state.sources);
            // Causes that were not found in time may be found another time.
            let certain = causes.iter().all(|cause| !cause.statements.is_empty());
            let page = report::no_balance(title, &causes, &state.origin);
            (page, "infeasible", certain)
        }
        Ok(Planned::Unknown { bound_kg }) => {
            let page = report::nothing_found(title, *bound_kg, &state.origin);
            (page, "unknown", false)
        }
        Err(Refusal::Design(complaints)) => {
            return (wrong(complaints, &Map::new()), true);
        }
        Err(Refusal::Failure(failure)) => {
            return (failed(&format!("internal fault: {failure}")), false);
        }
    };
    let data = json!({
        "status": status,
        "settings": state.origin.edits,
        "values": values(ground, state),
        "outcome": report::render_html_fragment(&page.blocks, "outcome"),
    });
    (data, certain)
}

/// The page of a plan.
fn page_of(found: &Found) -> Result<Page, serde_json::Error> {
    report::solved(&Findings {
        plan: &found.plan,
        origin: &found.state.origin,
        timings: None,
    })
}

/// A plan: the outcome, and the parts of its page that move with a slider.
fn solved(ground: &Ground, found: &Found, options: &Options) -> Result<Value, serde_json::Error> {
    let (state, plan) = (&found.state, &found.plan);
    let (looped, page) = std::thread::scope(|scope| {
        let phase = Some(longest_phase(plan));
        let kept = &ground.layouts;
        let looped =
            scope.spawn(move || report::loop_figure(plan.network(), Some(plan), phase, kept));
        let page = page_of(found);
        (
            looped.join().unwrap_or_else(|cause| resume_unwind(cause)),
            page,
        )
    });
    let (mut outcome, parts) = parts(page?);
    let summary = plan.network().summary.as_deref();
    // The page says above what the design is, and beside its sliders what is set.
    outcome.retain(|block| match block {
        Block::Paragraph(words) => Some(words.as_str()) != summary,
        Block::Points(_) => false,
        _ => true,
    });
    let mut open = Vec::new();
    let mut change = None;
    if let Some(before) = ground.plan(options) {
        let found = against(before, plan);
        open.push(("What changed".to_owned(), report::against(&found)));
        change = Some(report::change_words(&found));
    }
    let figure = vec![Block::Figure(looped)];
    let mut hardware = None;
    for (name, mut blocks) in parts {
        match name.as_str() {
            LEDGER => {
                blocks.truncate(after_sum(&blocks));
                open.push((name, blocks));
            }
            HARDWARE => hardware = Some((name, blocks)),
            _ => {}
        }
    }
    open.push((LOOP.to_owned(), figure));
    let mut open: Vec<Value> = open.into_iter().map(part).collect();
    open.push(json!({"id": id(FLOWS), "name": FLOWS, "html": null}));
    open.extend(hardware.map(part));
    let warnings = &state.checked.warnings;
    if !warnings.is_empty() {
        let lines = warnings.iter().map(line).collect();
        open.push(part(("Warnings".to_owned(), vec![Block::Points(lines)])));
    }
    let answer = plan.answer();
    let kind = match answer.equivalents {
        Some(_) => "equivalent system mass",
        None => "launch mass",
    };
    Ok(json!({
        "status": status_words(answer.proof.status),
        "launch_mass_kg": answer.launch_mass_kg,
        "total": shown(answer.minimised_kg(), Dimension::Mass),
        "total_of": kind,
        "change": change,
        "settings": state.origin.edits,
        "values": values(ground, state),
        "outcome": report::render_html_fragment(&outcome, "outcome"),
        "parts": open,
    }))
}

/// The phase that is drawn.
fn longest_phase(plan: &Plan) -> usize {
    let phases = plan.network().calendar.phases.iter().enumerate();
    let longest = phases.max_by(|(_, a), (_, b)| a.days.total_cmp(&b.days));
    longest.map_or(0, |(phase, _)| phase)
}

/// Where the ledger's first table ends: the sum by category. Flights and lines, which
/// follow, fill pages.
fn after_sum(blocks: &[Block]) -> usize {
    let mut blocks_of = blocks.iter();
    let table = blocks_of.position(|block| matches!(block, Block::Table(_)));
    table.map_or(blocks.len(), |table| table + 1)
}

/// What a part is called, and what is in it.
pub(super) type Part = (String, Vec<Block>);

/// The blocks before the first heading, without the title, and one part for each heading.
pub(super) fn parts(page: Page) -> (Vec<Block>, Vec<Part>) {
    let mut first = Vec::new();
    let mut parts: Vec<Part> = Vec::new();
    for block in page.blocks {
        match block {
            Block::Title(_) | Block::Caution(_) => {}
            Block::Heading(name) => parts.push((name, Vec::new())),
            block => match parts.last_mut() {
                Some((_, blocks)) => blocks.push(block),
                None => first.push(block),
            },
        }
    }
    (first, parts)
}

/// A part as the page takes it.
fn part((name, blocks): Part) -> Value {
    let id = id(&name);
    let html = report::render_html_fragment(&blocks, &id);
    json!({"id": id, "name": name, "html": html})
}

fn id(name: &str) -> String {
    let letters = name.to_lowercase();
    letters.replace(|letter: char| !letter.is_alphanumeric(), "-")
}

/// Numbers that the state has otherwise than the design as written, as they are written.
fn values(ground: &Ground, state: &State) -> Map<String, Value> {
    let mut as_written = ground.design.numbers.iter().peekable();
    let mut changed = Map::new();
    for number in &state.design.numbers {
        // Both lists are in the order of the file, so that the same number is mostly next.
        let same = as_written
            .peek()
            .is_some_and(|known| known.address == number.address);
        let known = match same {
            true => as_written.next(),
            false => {
                let mut all = ground.design.numbers.iter();
                all.find(|known| known.address == number.address)
            }
        };
        if known.is_none_or(|known| known.value != number.value) {
            let text = text_of(number, &state.sources);
            changed.insert(number.address.clone(), json!(text));
        }
    }
    changed
}

/// A state that the design does not allow: each complaint by the numbers it is about.
fn refused(found: &Wrong) -> Value {
    let mut fields = Map::new();
    for complaint in found.complaints.iter().filter(|one| one.is_error()) {
        for address in found.moved(complaint) {
            if !fields.contains_key(address) {
                fields.insert(address.to_owned(), json!(line(complaint)));
            }
        }
    }
    wrong(&found.complaints, &fields)
}

fn wrong(complaints: &[Diagnostic], fields: &Map<String, Value>) -> Value {
    let errors = complaints.iter().filter(|one| one.is_error());
    let lines: Vec<String> = errors.map(line).collect();
    let blocks = [
        Block::Outcome {
            tone: Tone::Bad,
            words: "Not solved: the design does not allow this setting.".to_owned(),
        },
        Block::Points(lines),
    ];
    json!({
        "status": "refused",
        "fields": fields,
        "outcome": report::render_html_fragment(&blocks, "outcome"),
    })
}

fn failed(words: &str) -> Value {
    let blocks = [Block::Outcome {
        tone: Tone::Bad,
        words: format!("{words}. This is a mistake of the tool; please report it."),
    }];
    json!({
        "status": "internal fault",
        "outcome": report::render_html_fragment(&blocks, "outcome"),
    })
}

/// A complaint in one line: what is wrong, and the next act.
fn line(complaint: &Diagnostic) -> String {
    match &complaint.help {
        Some(help) => format!("{} – {help} [{}]", complaint.headline, complaint.code),
        None => format!("{} [{}]", complaint.headline, complaint.code),
    }
}

/// How long each step takes.
struct Clock {
    last: Instant,
    laps: Vec<(&'static str, f64)>,
}

impl Clock {
    fn start() -> Self {
        Clock {
            last: Instant::now(),
            laps: Vec::new(),
        }
    }

    fn lap(&mut self, step: &'static str) {
        let now = Instant::now();
        let took = now.duration_since(self.last).as_secs_f64() * 1e3;
        self.laps.push((step, took));
        self.last = now;
    }
}
