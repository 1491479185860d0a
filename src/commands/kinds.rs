//! `loopwright kinds`: what a design file may hold.

use clap::Args;
use serde_json::{Value, json};

use crate::design::reference::{Entry, Parts, choice_example, one_line, reference};
use crate::diagnostic::{Diagnostic, codes, nearest};
use crate::report::{Block, Cell, Page, Table};
use crate::written::{FieldForm, Form, IfAbsent, Payload, Sort, VariantForm};

use super::arguments::{Format, Output};
use super::exit::Exit;
use super::failure::Failure;
use super::session::Session;

const EXAMPLES: &str = "\
Examples:
  loopwright kinds
  loopwright kinds Processor
  loopwright kinds unit --format markdown";

/// Show the reference of the design file: kinds of node, records, choices
#[derive(Debug, Args)]
#[command(after_help = EXAMPLES)]
pub struct Kinds {
    /// A kind of node or another record; left out, all are listed
    #[arg(value_name = "NAME")]
    name: Option<String>,
    /// What to write
    #[arg(long, value_name = "FORMAT", default_value = "text")]
    pub(super) format: Format,
    #[command(flatten)]
    pub(super) output: Output,
}

impl Kinds {
    /// Shows the list, or one entry.
    pub(super) fn run(&self, session: &mut Session) -> Result<Exit, Failure> {
        session.expect_writable()?;
        let entries = reference();
        let page = match &self.name {
            None => overview(&entries),
            Some(name) => {
                let known = |entry: &&Entry| entry.name.eq_ignore_ascii_case(name.trim());
                match entries.iter().find(known) {
                    Some(entry) => one(entry),
                    None => return Err(unknown(name, &entries)),
                }
            }
        };
        session.show(&page)?;
        Ok(Exit::Done)
    }
}

fn overview(entries: &[Entry]) -> Page {
    let mut page = Page::new("What a design file may hold");
    page.blocks.push(Block::Title(page.title.clone()));
    for (heading, wanted) in [
        ("Kinds of node", "kind"),
        ("Other records", "record"),
        ("Choices", "choice"),
    ] {
        let mut table = Table::new(&[("name", ""), ("what it is", "")]);
        for entry in entries.iter().filter(|entry| sort(entry) == wanted) {
            let what = match entry.parts {
                Parts::Fields(_) => entry.doc.clone(),
                Parts::Choices(choices) => {
                    let choices: Vec<String> = choices.iter().map(choice_example).collect();
                    format!("{} {}.", entry.doc, choices.join(", "))
                }
            };
            table
                .rows
                .push(vec![Cell::text(entry.name), Cell::text(what)]);
        }
        page.heading(heading);
        page.table(table);
    }
    page.paragraph(
        "loopwright kinds NAME shows the fields of one, with units, defaults and an example.",
    );
    let all = entries
        .iter()
        .map(|entry| json!({"name": entry.name, "sort": sort(entry), "meaning": entry.doc}));
    page.data = json!({"entries": all.collect::<Vec<Value>>()});
    page
}

fn sort(entry: &Entry) -> &'static str {
    match entry.parts {
        Parts::Choices(_) => "choice",
        Parts::Fields(_) if entry.is_kind => "kind",
        Parts::Fields(_) => "record",
    }
}

fn one(entry: &Entry) -> Page {
    let mut page = Page::new(entry.name);
    page.blocks.push(Block::Title(entry.name.to_owned()));
    page.paragraph(&entry.doc);
    page.data = json!({"name": entry.name, "sort": sort(entry), "meaning": entry.doc});
    match entry.parts {
        Parts::Fields(fields) => {
            page.table(field_table(fields));
            page.data["fields"] = fields.iter().map(field_data).collect();
        }
        Parts::Choices(choices) => {
            let mut table = Table::new(&[("choice", ""), ("meaning", "")]);
            for choice in choices {
                let meaning = one_line(choice.doc);
                table.rows.push(vec![
                    Cell::text(choice_example(choice)),
                    Cell::text(meaning),
                ]);
            }
            page.table(table);
            for choice in choices {
                if let Payload::Fields(fields) = choice.payload {
                    page.table(field_table(fields).captioned(format!("{}:", choice.name)));
                }
            }
            page.data["choices"] = choices.iter().map(choice_data).collect();
        }
    }
    let examples = entry.examples();
    if !examples.is_empty() {
        page.heading("Example");
        page.verbatim(examples.join("\n"));
        page.data["examples"] = json!(examples);
    }
    let further = entry.leads_to();
    if !further.is_empty() {
        page.paragraph(format!("See also: loopwright kinds {}", further.join(", ")));
        page.data["see_also"] = json!(further);
    }
    page
}

fn field_table(fields: &[FieldForm]) -> Table {
    let mut table = Table::new(&[
        ("field", ""),
        ("what stands there", ""),
        ("if left out", ""),
        ("meaning", ""),
    ]);
    for field in fields {
        let absent = match (field.default)() {
            IfAbsent::Required => Cell::text("must be stated"),
            IfAbsent::Nothing => Cell::Blank,
            IfAbsent::Is(value) if value.is_empty() => Cell::text("see meaning"),
            IfAbsent::Is(value) => Cell::text(value),
        };
        table.rows.push(vec![
            Cell::text(field.name),
            Cell::text(words(&(field.form)())),
            absent,
            Cell::text(one_line(field.doc)),
        ]);
    }
    table
}

fn field_data(field: &FieldForm) -> Value {
    let form = (field.form)();
    let mut data = json!({
        "field": field.name,
        "wants": words(&form),
        "example": form.example,
        "meaning": one_line(field.doc),
        "required": false,
    });
    match (field.default)() {
        IfAbsent::Required => data["required"] = json!(true),
        IfAbsent::Is(value) if !value.is_empty() => data["default"] = json!(value),
        IfAbsent::Is(_) | IfAbsent::Nothing => {}
    }
    data
}

fn choice_data(choice: &VariantForm) -> Value {
    let mut data = json!({
        "choice": choice.name,
        "example": choice_example(choice),
        "meaning": one_line(choice.doc),
    });
    if let Payload::Fields(fields) = choice.payload {
        data["fields"] = fields.iter().map(field_data).collect();
    }
    data
}

/// What stands in a field, in words with an example.
fn words(form: &Form) -> String {
    match &form.sort {
        Sort::Optional(inner) => words(inner),
        Sort::List(inner) => format!("[...], each {}", words(inner)),
        Sort::Map(key, value) => format!("{{...}}, for {} {}", key.words, words(value)),
        Sort::Choice { variants, .. } => {
            let all: Vec<String> = variants.iter().map(choice_example).collect();
            all.join(" or ")
        }
        _ => form.to_string(),
    }
}

fn unknown(name: &str, entries: &[Entry]) -> Failure {
    let holders: Vec<&str> = entries
        .iter()
        .filter(|entry| match entry.parts {
            Parts::Fields(fields) => fields.iter().any(|field| field.name == name),
            Parts::Choices(choices) => choices.iter().any(|choice| choice.name == name),
        })
        .map(|entry| entry.name)
        .collect();
    let help = match nearest(name, entries.iter().map(|entry| entry.name)) {
        _ if !holders.is_empty() => format!(
            "it is part of {}: try loopwright kinds {}",
            holders.join(", "),
            holders.first().unwrap_or(&"")
        ),
        Some(near) => format!("did you mean {near}? loopwright kinds lists all of them"),
        None => "loopwright kinds lists all of them".to_owned(),
    };
    let words = format!("a design file holds nothing called {name}");
    Failure::bad_input(vec![
        Diagnostic::error(codes::UNKNOWN_NAME, words).help(help),
    ])
}
