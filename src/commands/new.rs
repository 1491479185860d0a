//! `loopwright new`: a first design, which solves as it stands.

use std::path::{Path, PathBuf};

use clap::Args;

use crate::design::reference::{Entry, reference};
use crate::quantity::{Dimension, parse};

use super::exit::Exit;
use super::failure::Failure;
use super::output;
use super::session::Session;

const EXAMPLES: &str = "\
Examples:
  loopwright new my-base
  loopwright new my-base --crew 6 --length \"2 yr\"
  loopwright new my-base --output designs/my-base.ron";

const SCAFFOLD: &str = include_str!("new/scaffold.ron");
/// A line of the scaffold that stands for what an entry of the reference is.
const MARK: &str = "//: ";
/// Comments are no wider than this.
const WIDTH: usize = 100;
/// More people than this are hardly meant.
const MOST_PEOPLE: u32 = 100;

/// Write a first design with comments, which solves as it stands
#[derive(Debug, Args)]
#[command(after_help = EXAMPLES)]
pub struct New {
    /// The name of the design; NAME.ron is written, and never overwritten
    #[arg(value_name = "NAME")]
    name: PathBuf,
    /// People
    #[arg(long, value_name = "PEOPLE", default_value_t = 4,
          value_parser = clap::value_parser!(u32).range(1..=i64::from(MOST_PEOPLE)))]
    crew: u32,
    /// How long the mission lasts, such as "180 d" or "2 yr"
    #[arg(long, value_name = "TIME", default_value = "180 d", value_parser = length)]
    length: String,
    /// Write to this file instead
    #[arg(long, value_name = "FILE")]
    output: Option<PathBuf>,
}

impl New {
    /// Writes the scaffold.
    pub(super) fn run(&self, session: &mut Session) -> Result<Exit, Failure> {
        let path = match &self.output {
            Some(path) => path.clone(),
            None if self.name.extension().is_some_and(|ending| ending == "ron") => {
                self.name.clone()
            }
            None => {
                let mut name = self.name.clone().into_os_string();
                name.push(".ron");
                PathBuf::from(name)
            }
        };
        let text = self.scaffold(&path);
        output::write_new_file(&path, &text).map_err(|error| Failure::unwritable(&path, &error))?;
        let file = path.display();
        session.write(&format!(
            "{file} is written. Now: loopwright solve {file}\n"
        ))?;
        Ok(Exit::Done)
    }

    fn scaffold(&self, path: &Path) -> String {
        let entries = reference();
        let mut text = String::with_capacity(2 * SCAFFOLD.len());
        for line in SCAFFOLD.lines() {
            match line.trim_start().strip_prefix(MARK) {
                Some(name) => {
                    let margin = line.len() - line.trim_start().len();
                    if let Some(entry) = entries.iter().find(|entry| entry.name == name) {
                        text.push_str(&comment(entry, margin));
                    }
                }
                None => text.push_str(line),
            }
            text.push('\n');
        }
        let people = match self.crew {
            1 => "One person".to_owned(),
            people => format!("{people} people"),
        };
        let others = entries
            .iter()
            .filter(|entry| entry.is_kind && !SCAFFOLD.contains(&format!("{}(", entry.name)))
            .map(|entry| entry.name);
        let title = title(&self.name);
        text.replace("@TITLE@", &title.escape_debug().to_string())
            .replace("@TITLE_TEXT@", &format!("{title:?}"))
            .replace(
                "@FILE@",
                &path.display().to_string().escape_debug().to_string(),
            )
            .replace("@CREW@", &people)
            .replace("@PEOPLE@", &self.crew.to_string())
            .replace("@LENGTH@", &self.length)
            .replace("@SOME@", &(self.crew.div_ceil(2) + 1).to_string())
            .replace("@POWER@", &format!("{} kW", 2 + 2 * self.crew))
            .replace("@OTHER_KINDS@", &others.collect::<Vec<_>>().join(", "))
    }
}

/// What an entry of the reference is, as a comment.
fn comment(entry: &Entry, margin: usize) -> String {
    let start = format!("{}// ", " ".repeat(margin));
    let options = textwrap::Options::new(WIDTH)
        .initial_indent(&start)
        .subsequent_indent(&start);
    textwrap::fill(&format!("{}: {}", entry.name, entry.doc), options)
}

/// `my-base.ron` becomes `My base`.
fn title(name: &Path) -> String {
    let stem = name.file_stem().unwrap_or_default().to_string_lossy();
    let words = stem.replace(['-', '_'], " ");
    let mut letters = words.trim().chars();
    match letters.next() {
        Some(first) => first.to_uppercase().chain(letters).collect(),
        None => "New design".to_owned(),
    }
}

fn length(text: &str) -> Result<String, String> {
    let text = text.trim();
    let text = match text.parse::<f64>() {
        Ok(_) => format!("{text} d"),
        Err(_) => text.to_owned(),
    };
    match parse(&text, Dimension::Time) {
        Ok(days) if days > 0.0 => Ok(text),
        Ok(_) => Err("a mission lasts some time".to_owned()),
        Err(error) => Err(error.to_string()),
    }
}
