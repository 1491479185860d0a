//! One run: what was read, and where its words go.

use std::cell::RefCell;
use std::fs;
use std::io::{self, Read};
use std::path::{Path, PathBuf};

use serde_json::json;

use crate::design::{self, Design, Edits};
use crate::diagnostic::{Diagnostic, SourceId, Sources, codes, render_json, render_text};
use crate::report::{self, Page};

use super::arguments::{Format, Input};
use super::exit::Exit;
use super::failure::Failure;
use super::output::{self, Colour};
use super::watch::Said;

/// One run of a command.
pub(super) struct Session {
    /// The texts that were read.
    pub sources: Sources,
    format: Format,
    output: Option<PathBuf>,
    colour: Colour,
    /// The files that were read, with their texts; none for one that could not be.
    files: Vec<(PathBuf, Option<String>)>,
    /// What is said, kept back until the run is over.
    kept_back: Option<RefCell<Said>>,
}

impl Session {
    /// Nothing read yet.
    pub fn new(format: Format, output: Option<PathBuf>, colour: Colour) -> Self {
        Session {
            sources: Sources::new(),
            format,
            output,
            colour,
            files: Vec::new(),
            kept_back: None,
        }
    }

    /// The same session, keeping back what it says.
    pub fn keeping_back(mut self) -> Self {
        self.kept_back = Some(RefCell::default());
        self
    }

    /// What was kept back, with the files that were read.
    pub fn said(self) -> Said {
        let said = self.kept_back.map(RefCell::into_inner).unwrap_or_default();
        Said {
            files: self.files,
            ..said
        }
    }

    /// The files that were read: the design, then its catalogues.
    pub fn files_read(&self) -> Vec<(String, String)> {
        let files = self.files.iter();
        files
            .filter_map(|(path, text)| Some((path.display().to_string(), text.clone()?)))
            .collect()
    }

    /// Takes in the texts of a design: its file, or standard input for `-`, and the
    /// catalogue files that it names.
    pub fn texts(&mut self, file: &Path) -> Result<(SourceId, Vec<SourceId>), Failure> {
        let text = read_text(file);
        let read = text.as_ref().ok().cloned();
        self.files.push((file.to_owned(), read));
        let text = text.map_err(|error| Failure::unreadable(file, &error))?;
        let name = match is_standard_input(file) {
            true => "standard input".to_owned(),
            false => file.display().to_string(),
        };
        let source = self.sources.add(name, text);
        Ok((source, self.catalogues(file, source)?))
    }

    /// Reads the design file with its changes.
    pub fn read(&mut self, input: &Input) -> Result<Design, Failure> {
        let (source, catalogues) = self.texts(&input.file)?;
        let settings = input.changes.settings.iter();
        let edits = Edits {
            catalogues,
            variant: input.changes.variant.clone(),
            settings: settings
                .map(|setting| self.sources.add("--set", setting.as_str()))
                .collect(),
        };
        design::read(&self.sources, source, &edits).map_err(Failure::bad_input)
    }

    /// Reads the catalogue files that a design names, beside the design's own
    /// file, or in the working directory for standard input.
    fn catalogues(&mut self, file: &Path, source: SourceId) -> Result<Vec<SourceId>, Failure> {
        let folder = match is_standard_input(file) {
            true => PathBuf::new(),
            false => file.parent().map(Path::to_path_buf).unwrap_or_default(),
        };
        let mut read = Vec::new();
        let mut unreadable = Vec::new();
        for name in design::uses(&self.sources, source) {
            let path = folder.join(&name.text);
            let text = fs::read_to_string(&path);
            self.files.push((path.clone(), text.as_ref().ok().cloned()));
            match text {
                Ok(text) => read.push(self.sources.add(path.display().to_string(), text)),
                Err(error) => unreadable.push(
                    Diagnostic::error(
                        codes::UNREADABLE_FILE,
                        format!("uses: cannot read {}: {error}", path.display()),
                    )
                    .at(name.place, "")
                    .help("name a catalogue file beside the design's own file"),
                ),
            }
        }
        if unreadable.is_empty() {
            Ok(read)
        } else {
            Err(Failure::bad_input(unreadable))
        }
    }

    /// Refuses an output file whose directory is not there before any long work.
    pub fn expect_writable(&self) -> Result<(), Failure> {
        let Some(path) = &self.output else {
            return Ok(());
        };
        output::expect_directory(path).map_err(|error| Failure::unwritable(path, &error))
    }

    /// Writes a page in the format asked for, where it was asked for.
    pub fn show(&self, page: &Page) -> Result<(), Failure> {
        if let Some(said) = &self.kept_back {
            said.borrow_mut().ended = page.outcome().to_owned();
        }
        self.write(&match self.format {
            Format::Text => report::render_text(page),
            Format::Json => report::render_json(page),
            Format::Markdown => report::render_markdown(page),
            Format::Html => report::render_html(page),
            Format::Csv => report::render_csv(page).map_err(Failure::internal)?,
        })
    }

    /// Writes a page, with the warnings about its design in the data.
    pub fn show_with(&self, mut page: Page, warnings: &[Diagnostic]) -> Result<(), Failure> {
        if !warnings.is_empty() {
            page.data["warnings"] = render_json(warnings, &self.sources);
        }
        self.show(&page)
    }

    /// Writes text where it was asked for.
    pub fn write(&self, text: &str) -> Result<(), Failure> {
        match &self.output {
            Some(path) => {
                output::write_file(path, text).map_err(|error| Failure::unwritable(path, &error))
            }
            None => self.print(text),
        }
    }

    /// Refuses to go on without a file to write to.
    pub fn expect_file(&self, help: &str) -> Result<(), Failure> {
        match &self.output {
            Some(_) => Ok(()),
            None => Err(Failure::bad_input(vec![
                Diagnostic::error(codes::UNWRITABLE_FILE, "no file to write to is named")
                    .help(help),
            ])),
        }
    }

    /// Writes bytes to the file that was asked for, and says so.
    pub fn write_bytes(&self, bytes: &[u8], words: &str) -> Result<(), Failure> {
        let Some(path) = &self.output else {
            return Err(Failure::internal("no file to write to is named"));
        };
        output::write_bytes(path, bytes).map_err(|error| Failure::unwritable(path, &error))?;
        self.print(words)
    }

    fn print(&self, text: &str) -> Result<(), Failure> {
        match &self.kept_back {
            Some(said) => {
                said.borrow_mut().output.push_str(text);
                Ok(())
            }
            None => output::print(text, self.colour)
                .map_err(|error| Failure::unwritable(Path::new("standard output"), &error)),
        }
    }

    fn complain(&self, text: &str) {
        match &self.kept_back {
            Some(said) => said.borrow_mut().complaints.push_str(text),
            None => output::complain(text, self.colour),
        }
    }

    /// Prints warnings to standard error; with JSON they are in the data.
    pub fn warn(&self, warnings: &[Diagnostic]) {
        if self.format != Format::Json && !warnings.is_empty() {
            self.complain(&render_text(warnings, &self.sources, true));
        }
    }

    /// Says why there is no result: as text to standard error, as JSON to
    /// standard output. An output file is not touched.
    pub fn fail(&self, failure: &Failure) -> Exit {
        if let (Some(said), Some(first)) = (&self.kept_back, failure.diagnostics.first()) {
            said.borrow_mut().ended = format!("No answer: {}", first.headline);
        }
        match self.format {
            Format::Text | Format::Markdown | Format::Csv | Format::Html => {
                let text = render_text(&failure.diagnostics, &self.sources, true);
                self.complain(&(text + &more(&failure.diagnostics)));
            }
            Format::Json => {
                let data = json!({
                    "status": match failure.exit {
                        Exit::InternalFault => "internal fault",
                        _ => "bad input",
                    },
                    "diagnostics": render_json(&failure.diagnostics, &self.sources),
                    "tool_version": env!("CARGO_PKG_VERSION"),
                });
                // If this cannot be printed either, the exit code still tells.
                let _ = self.print(&format!("{data:#}\n"));
            }
        }
        failure.exit
    }
}

/// Where more is said about a code.
fn more(diagnostics: &[Diagnostic]) -> String {
    match diagnostics.first() {
        Some(first) => format!(
            "\nMore about a code, with an example: loopwright explain {}\n",
            first.code
        ),
        None => String::new(),
    }
}

fn is_standard_input(path: &Path) -> bool {
    path == Path::new("-")
}

fn read_text(path: &Path) -> io::Result<String> {
    if !is_standard_input(path) {
        return fs::read_to_string(path);
    }
    let mut text = String::new();
    io::stdin().lock().read_to_string(&mut text)?;
    Ok(text)
}
