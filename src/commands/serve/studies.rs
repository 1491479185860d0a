//! Studies of a state of the page, which follow the answer as they finish.

use axum::body::Bytes;
use serde_json::{Value, json};

use super::answer::{Answered, parts};
use super::asked::{AskedStudy, Question};
use super::controls;
use super::ground::{Ground, State};
use super::refused::Refused;
use crate::report::{self, Block, Page};
use crate::solve::Options;
use crate::study::axis::Axis;
use crate::study::break_even::break_even;
use crate::study::many::Effort;
use crate::study::sensitivity::{Wanted, sensitivity};
use axum::http::StatusCode;

/// By which share a number without a spread moves.
const BY: f64 = 0.1;
/// Numbers that are offered as sliders.
const TELLING: usize = 6;
/// Values of one study at most.
const MOST_VALUES: u16 = 200;

/// Answers a study.
pub(super) fn study(
    ground: &Ground,
    asked: &AskedStudy,
    options: &Options,
) -> Result<Answered, Refused> {
    let state = ground.state(&asked.state).map_err(|_| {
        refuse(
            "refused",
            "the design does not allow this state, so there is nothing to study",
        )
    })?;
    let mut effort = Effort::plain(options);
    let (page, certain, mut data) = match &asked.study {
        Question::BreakEven { over, values } => {
            let axis = axis(ground, &state, over, (*values).min(MOST_VALUES))?;
            let command = format!("break-even --over \"{}\"", axis.1);
            let found = break_even(&state.design, axis.0, &mut effort)
                .map_err(|complaints| {
                    let first = complaints.first().map(|one| one.headline.clone());
                    refuse("refused", &first.unwrap_or_default())
                })?
                .map_err(|trouble| Refused::internal(format!("{trouble:?}")))?;
            let page = report::break_even(&state.checked.network, &found, &state.origin);
            (page, found.is_complete(), json!({"command": command}))
        }
        Question::Sensitivity {} => {
            let wanted = Wanted {
                by: BY,
                only: None,
                thresholds: 0,
            };
            let found = sensitivity(&state.design, &wanted, &mut effort)
                .map_err(|trouble| Refused::internal(format!("{trouble:?}")))?;
            let telling = found.moved.iter().take(TELLING);
            let telling: Vec<&str> = telling.map(|moved| moved.number.address.as_str()).collect();
            let page = report::sensitivity(&state.checked.network, &found, &state.origin);
            let data = json!({"command": "sensitivity", "telling": telling});
            (page, found.is_complete(), data)
        }
    };
    data["complete"] = json!(certain);
    data["html"] = html(page, asked);
    Ok(Answered {
        body: Bytes::from(data.to_string()),
        certain,
        took: Vec::new(),
    })
}

/// The whole page of the study but for its title.
fn html(page: Page, asked: &AskedStudy) -> Value {
    let prefix = match asked.study {
        Question::BreakEven { .. } => "break-even",
        Question::Sensitivity {} => "sensitivity",
    };
    let (mut blocks, parts) = parts(page);
    for (name, more) in parts {
        blocks.push(Block::Part(name));
        blocks.extend(more);
    }
    json!(report::render_html_fragment(&blocks, prefix))
}

/// The range of a slider, in so many values at most, and as the command line has it.
fn axis(
    ground: &Ground,
    state: &State,
    over: &str,
    values: u16,
) -> Result<(Axis, String), Refused> {
    let controls = controls::all(ground);
    let control = controls.iter().find(|control| control.address == over);
    let Some(control) = control.filter(|control| !control.shared) else {
        let words = format!("{over} is no number that can go through a range by itself");
        return Err(refuse("unknown-address", &words));
    };
    let text = control.range(values);
    let mut sources = state.sources.clone();
    let source = sources.add("--over", text.as_str());
    let axis = Axis::read(source, &text, &state.design)
        .map_err(|complaint| refuse("refused", &complaint.headline))?;
    Ok((axis, text))
}

fn refuse(code: &'static str, words: &str) -> Refused {
    Refused::new(StatusCode::UNPROCESSABLE_ENTITY, code, words)
}
