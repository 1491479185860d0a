//! `loopwright explain`: what a code of a message means and what to do, or how a
//! plan of a design comes to what it says of an item.

use std::path::Path;

use clap::Args;
use serde_json::json;

use crate::diagnostic::{Code, Diagnostic, Example, codes, nearest};
use crate::network::{self, Network};
use crate::report::{self, Block, Cell, Page, Table};
use crate::study::derivation::{Item, derive};
use crate::{Hints, plan_network};

use super::answered::{exit_of, origin, plan_of};
use super::arguments::{Changes, Effort, Format, Input, Output};
use super::exit::Exit;
use super::failure::Failure;
use super::progress::with_progress;
use super::session::Session;

const EXAMPLES: &str = "\
Examples:
  loopwright explain
  loopwright explain LW0103
  loopwright explain lw0303 --format markdown
  loopwright explain designs/classroom.ron
  loopwright explain designs/classroom.ron --item filter

An item is a node, a limit (power, heat, crew time, volume, stowage) or a flight
(\"flight 0\").";

/// Explain a message by its code, or an item of a design's plan: its equations,
/// ledger lines, and why so many units
#[derive(Debug, Args)]
#[command(after_help = EXAMPLES)]
pub struct Explain {
    /// A code such as LW0103, or a design file; left out, all codes are listed
    #[arg(value_name = "WHAT")]
    what: Option<String>,
    /// What of the design's plan to explain; left out, its items are listed
    #[arg(long, value_name = "NAME", requires = "what")]
    item: Option<String>,
    #[command(flatten)]
    changes: Changes,
    #[command(flatten)]
    effort: Effort,
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
        let is_design = self.what.as_ref().is_some_and(|what| self.is_file(what));
        if !is_design && (self.changes.variant.is_some() || !self.changes.settings.is_empty()) {
            let words = "--set and --variant change a design, and none is named";
            return Err(Failure::bad_input(vec![
                Diagnostic::error(codes::UNKNOWN_NAME, words)
                    .help("loopwright explain FILE --item NAME explains an item of a design"),
            ]));
        }
        let mut warnings = Vec::new();
        let (page, exit) = match &self.what {
            None => (all_codes(), Exit::Done),
            Some(what) => match codes::meaning(what) {
                Some((code, meaning)) if self.item.is_none() => {
                    (page_of(code, meaning)?, Exit::Done)
                }
                _ if self.is_file(what) => {
                    self.of_design(Path::new(what), session, &mut warnings)?
                }
                _ => return Err(unknown(what)),
            },
        };
        session.show_with(page, &warnings)?;
        Ok(exit)
    }

    /// Whether a design is meant, not a code.
    fn is_file(&self, what: &str) -> bool {
        self.item.is_some() || what == "-" || Path::new(what).exists()
    }

    /// The items of a design, or what its plan says of one of them.
    fn of_design(
        &self,
        file: &Path,
        session: &mut Session,
        warnings: &mut Vec<Diagnostic>,
    ) -> Result<(Page, Exit), Failure> {
        let input = Input {
            file: file.to_owned(),
            changes: self.changes.clone(),
        };
        let design = session.read(&input)?;
        let checked = network::check(&design).map_err(Failure::bad_input)?;
        session.warn(&checked.warnings);
        *warnings = checked.warnings;
        let Some(name) = &self.item else {
            return Ok((items(&checked.network), Exit::Done));
        };
        let item = Item::find(&checked.network, name)
            .map_err(|complaint| Failure::bad_input(vec![complaint]))?;
        let options = self.effort.options();
        let hints = Hints {
            reference: false,
            ..options.clone().into()
        };
        let planned = with_progress("solving", || plan_network(&checked.network, &hints))
            .map_err(Failure::of)?;
        let origin = origin(&design, &checked.network, &input);
        let plan = match plan_of(planned, &design, &origin, session) {
            Ok(plan) => plan,
            Err(unplanned) => return Ok(*unplanned),
        };
        let derivation = with_progress("deriving", || derive(&design, &plan, item, &options))
            .map_err(Failure::of)?;
        let page = report::derived(&plan, &derivation, &origin);
        Ok((page, exit_of(&plan)))
    }
}

/// The items of a design that a derivation can be about.
fn items(network: &Network) -> Page {
    let mut page = Page::new(network.title.as_str());
    page.blocks.push(Block::Title(network.title.clone()));
    let mut table = Table::new(&[("item", ""), ("what it is", "")]);
    let mut data = Vec::new();
    for (name, item) in Item::all(network) {
        let what = match item {
            Item::Node(node) => network.graph[node].kind,
            Item::Limit(_) => "limit",
            Item::Flight(_) => "flight",
        };
        data.push(json!({"item": name, "what": what}));
        table.rows.push(vec![Cell::text(name), Cell::text(what)]);
    }
    page.table(table);
    page.paragraph(
        "loopwright explain FILE --item NAME derives what its plan says of one of them.",
    );
    page.data = json!({"title": network.title, "items": data});
    page
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
    let words = format!("no message has the code {what}, and no file is called so");
    Failure::bad_input(vec![
        Diagnostic::error(codes::UNKNOWN_NAME, words).help(help),
    ])
}
