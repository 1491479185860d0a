//! Answers kept in a file while a study runs: a line says which study it is, and
//! every other line is one answer. A study that was stopped goes on from there,
//! and shares of a study are put together from their files.

use std::fs::{self, File, OpenOptions};
use std::io::{ErrorKind, Seek, SeekFrom, Write};
use std::path::{Path, PathBuf};

use serde::{Deserialize, Serialize};
use serde_json::Value;
use sha2::{Digest, Sha256};

use super::many::{Keepable, Trouble};

/// What a study is: tool, design and question. Answers are of use only to the
/// same one.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
pub struct Identity {
    /// Version of the tool.
    pub tool_version: String,
    /// SHA-256 of the design as read.
    pub input_sha256: String,
    /// SHA-256 of the question.
    pub study_sha256: String,
    /// Questions in all.
    pub cells: usize,
}

impl Identity {
    /// Of a question about a design, the question in any words that name it fully.
    pub fn new(input_sha256: &str, question: &str) -> Self {
        let digest = Sha256::digest(question.as_bytes());
        Identity {
            tool_version: env!("CARGO_PKG_VERSION").to_owned(),
            input_sha256: input_sha256.to_owned(),
            study_sha256: digest.iter().map(|byte| format!("{byte:02x}")).collect(),
            cells: 0,
        }
    }
}

#[derive(Serialize, Deserialize)]
struct Line {
    cell: usize,
    answer: Value,
}

/// Files of kept answers.
#[derive(Debug)]
pub struct Kept {
    identity: Identity,
    files: Vec<PathBuf>,
    /// Where new answers go; none where all must be known.
    appending: Option<PathBuf>,
    open: Option<File>,
}

impl Kept {
    /// Goes on from a file, which need not be there yet.
    pub fn resume(identity: Identity, file: &Path) -> Self {
        Kept {
            identity,
            files: vec![file.to_owned()],
            appending: Some(file.to_owned()),
            open: None,
        }
    }

    /// Takes every answer from these files.
    pub fn merge(identity: Identity, files: &[PathBuf]) -> Self {
        Kept {
            identity,
            files: files.to_vec(),
            appending: None,
            open: None,
        }
    }

    /// Reads what is known of so many questions, and opens the file to go on.
    ///
    /// # Errors
    ///
    /// Files that cannot be read, belong to another study or lack answers that
    /// are wanted.
    pub fn known<A: Keepable>(&mut self, cells: usize) -> Result<Vec<Option<A>>, Trouble> {
        self.identity.cells = cells;
        let mut known: Vec<Option<A>> = (0..cells).map(|_| None).collect();
        let mut whole_length = 0;
        for file in self.files.clone() {
            let text = match fs::read_to_string(&file) {
                Ok(text) => text,
                Err(error) if error.kind() == ErrorKind::NotFound && self.appending.is_some() => {
                    String::new()
                }
                Err(error) => {
                    return Err(Trouble::Unreadable(format!("{}: {error}", file.display())));
                }
            };
            // A line that was cut off is not there.
            let whole = text.rfind('\n').map_or("", |end| &text[..=end]);
            whole_length = whole.len();
            self.read(&file, whole, &mut known)?;
        }
        match &self.appending {
            Some(file) => self.open = Some(self.begin(file, whole_length)?),
            None => {
                let missing = known.iter().filter(|answer| answer.is_none()).count();
                if missing > 0 {
                    return Err(Trouble::Foreign(format!(
                        "{missing} of {cells} cells are in none of the files"
                    )));
                }
            }
        }
        Ok(known)
    }

    fn read<A: Keepable>(
        &self,
        file: &Path,
        text: &str,
        known: &mut [Option<A>],
    ) -> Result<(), Trouble> {
        let foreign = |words: &str| Trouble::Foreign(format!("{}: {words}", file.display()));
        let mut lines = text.lines();
        let Some(first) = lines.next() else {
            return Ok(());
        };
        let identity: Identity = serde_json::from_str(first)
            .map_err(|_| foreign("its first line does not name a study"))?;
        if identity != self.identity {
            let differs = match () {
                () if identity.tool_version != self.identity.tool_version => "version of this tool",
                () if identity.input_sha256 != self.identity.input_sha256 => "design",
                () => "study",
            };
            return Err(foreign(&format!("its cells are of another {differs}")));
        }
        for (number, line) in lines.enumerate() {
            let damaged = || foreign(&format!("line {} is damaged", number + 2));
            let line: Line = serde_json::from_str(line).map_err(|_| damaged())?;
            let slot = known.get_mut(line.cell).ok_or_else(damaged)?;
            *slot = Some(serde_json::from_value(line.answer).map_err(|_| damaged())?);
        }
        Ok(())
    }

    fn begin(&self, path: &Path, length: usize) -> Result<File, Trouble> {
        let trouble =
            |error: std::io::Error| Trouble::Unwritable(format!("{}: {error}", path.display()));
        let mut file = OpenOptions::new()
            .create(true)
            .truncate(false)
            .write(true)
            .open(path)
            .map_err(trouble)?;
        file.set_len(length as u64).map_err(trouble)?;
        file.seek(SeekFrom::End(0)).map_err(trouble)?;
        if length == 0 {
            let line = json_line(&self.identity)?;
            file.write_all(line.as_bytes()).map_err(trouble)?;
        }
        Ok(file)
    }

    /// Keeps one more answer.
    ///
    /// # Errors
    ///
    /// A file that cannot be written.
    pub fn keep<A: Keepable>(&mut self, cell: usize, answer: &A) -> Result<(), Trouble> {
        let Some(file) = &mut self.open else {
            return Ok(());
        };
        let answer = serde_json::to_value(answer).map_err(unwritten)?;
        let line = json_line(&Line { cell, answer })?;
        file.write_all(line.as_bytes())
            .map_err(|error| Trouble::Unwritable(error.to_string()))
    }
}

fn json_line(value: &impl Serialize) -> Result<String, Trouble> {
    serde_json::to_string(value)
        .map(|line| line + "\n")
        .map_err(unwritten)
}

fn unwritten(error: serde_json::Error) -> Trouble {
    Trouble::Unwritable(error.to_string())
}
