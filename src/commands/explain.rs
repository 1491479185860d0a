//! `loopwright explain`: what a code of a message means, and what to do.

use clap::Args;
use serde_json::json;

use crate::diagnostic::{Code, Diagnostic, Example, codes, nearest};
use crate::report::{Block, Cell, Page, Table};

use super::arguments::{Format, Output};
use super::exit::Exit;
use super::failure::Failure;
use super::session::Session;

const EXAMPLES: &str = "\
Examples:
  loopwright explain
  loopwright explain LW0103
  loopwright explain lw0303 --format markdown";

/// Explain a message by its code, with a wrong and a right example
#[derive(Debug, Args)]
#[command(after_help = EXAMPLES)]
pub struct Explain {
    /// A code such as LW0103; left out, all codes are listed
    #[arg(value_name = "WHAT")]
    what: Option<String>,
    /// What to write
    #[arg(long, value_name = "FORMAT", default_value = "text")]
    pub(super) format: Format,
    #[command(flatten)]
    pub(super) output: Output,
}

impl Explain {
    /// Shows a page about what is asked for.
    pub(super) fn run(&self, session: &mut Session) -> Result<Exit, Failure> {
        session.expect_writable()?;
        let page = match &self.what {
            None => all_codes(),
            Some(what) => match codes::meaning(what) {
                Some((code, meaning)) => page_of(code, meaning)?,
                None => return Err(unknown(what)),
            },
        };
        session.show(&page)?;
        Ok(Exit::Done)
    }
}

/// Every code with its meaning.
fn all_codes() -> Page {
    let mut page = Page::new("Codes of messages");
    page.blocks.push(Block::Title("Codes of messages".into()));
    let mut table = Table::new(&[("code", ""), ("meaning", "")]);
    for (code, meaning) in codes::ALL {
        table
            .rows
            .push(vec![Cell::text(code.0), Cell::text(*meaning)]);
    }
    page.table(table);
    page.paragraph("loopwright explain CODE shows why, with a wrong and a right example.");
    let codes = codes::ALL
        .iter()
        .map(|(code, meaning)| json!({"code": code.0, "meaning": meaning}));
    page.data = json!({"codes": codes.collect::<Vec<_>>()});
    page
}

/// What a code means, why, what is wrong and right, and what to do.
fn page_of(code: Code, meaning: &str) -> Result<Page, Failure> {
    let about = codes::page(code).map_err(Failure::internal)?;
    let mut page = Page::new(code.0);
    page.blocks.push(Block::Title(format!("{code}: {meaning}")));
    page.paragraph(&about.why);
    for (heading, examples) in [("Wrong", &about.wrong), ("Right", &about.right)] {
        if !examples.is_empty() {
            page.heading(heading);
            page.verbatim(shown(examples));
        }
    }
    page.heading("What to do");
    page.paragraph(&about.next);
    page.data = json!({"code": code.0, "meaning": meaning, "why": about.why});
    for (key, examples) in [("wrong", &about.wrong), ("right", &about.right)] {
        if !examples.is_empty() {
            page.data[key] = json!(shown(examples));
        }
    }
    page.data["next"] = json!(about.next);
    Ok(page)
}

/// Examples as they stand in a file, each under the field it belongs to.
fn shown(examples: &[Example]) -> String {
    let mut lines = Vec::new();
    let mut open = None;
    for example in examples {
        let field = match example {
            Example::In(field, _) if field != "Design" => Some(field),
            _ => None,
        };
        if open != field {
            lines.extend(open.map(|_| "},".to_owned()));
            lines.extend(field.map(|field| format!("{field}: {{")));
            open = field;
        }
        let (Example::In(_, text) | Example::Run(text)) = example;
        let margin = if field.is_some() { "    " } else { "" };
        lines.extend(text.lines().map(|line| format!("{margin}{line}")));
    }
    lines.extend(open.map(|_| "},".to_owned()));
    lines.join("\n")
}

fn unknown(what: &str) -> Failure {
    let known = codes::ALL.iter().map(|(code, _)| code.0);
    let help = match nearest(what, known) {
        Some(near) => format!("did you mean {near}? loopwright explain lists all codes"),
        None => "a code looks like LW0103; loopwright explain lists all of them".to_owned(),
    };
    let words = format!("no message has the code {what}");
    Failure::bad_input(vec![
        Diagnostic::error(codes::UNKNOWN_NAME, words).help(help),
    ])
}
