//! A workbook as a test reads and changes it.

use std::collections::BTreeMap;
use std::fs::{self, File};
use std::io::{Read, Write};
use std::path::{Path, PathBuf};

use calamine::{Data, DataType, Range, Reader, Xlsx, open_workbook};
use libtest_mimic::Failed;
use zip::write::SimpleFileOptions;
use zip::{ZipArchive, ZipWriter};

/// A workbook that was read.
pub struct Book {
    file: PathBuf,
    sheets: BTreeMap<String, Range<Data>>,
    names: BTreeMap<String, String>,
}

/// A row of the sheet of inputs.
#[derive(Clone, Debug)]
pub struct Input {
    /// Address in the design.
    pub address: String,
    /// Its value.
    pub value: f64,
    unit: String,
    from: f64,
    to: f64,
    /// Row of the sheet, from one.
    row: u32,
}

impl Input {
    /// Whether it may move a little and not without end.
    pub fn has_room(&self) -> bool {
        self.end() != self.value
    }

    /// Whether it may move without end.
    pub fn is_endless(&self) -> bool {
        self.to > 1e90 || self.from < -1e90
    }

    /// An end of its range, or a value within.
    pub fn end(&self) -> f64 {
        match (self.is_endless(), self.to > self.value) {
            (true, _) => self.value * 1.25,
            (false, true) => self.to,
            (false, false) => self.from,
        }
    }

    /// As an argument of `--set`.
    pub fn setting(&self, value: f64) -> String {
        format!("{}={value} {}", self.address, self.unit)
            .trim_end()
            .to_owned()
    }
}

impl Book {
    /// Reads a workbook.
    pub fn read(file: &Path) -> Result<Self, Failed> {
        let mut book: Xlsx<_> = open_workbook(file)?;
        let names = book.defined_names().iter().cloned().collect();
        let mut sheets = BTreeMap::new();
        for name in book.sheet_names() {
            sheets.insert(name.clone(), book.worksheet_range(&name)?);
        }
        Ok(Book {
            file: file.to_owned(),
            sheets,
            names,
        })
    }

    /// The cell of a name, such as `Ledger!$E$11`.
    fn named(&self, name: &str) -> Result<&Data, Failed> {
        let place = self
            .names
            .get(name)
            .ok_or(format!("no cell is called {name}"))?;
        let parts: Vec<&str> = place
            .trim_start_matches('$')
            .split(['!', '$'])
            .filter(|part| !part.is_empty())
            .collect();
        let [sheet, column, row] = parts.as_slice() else {
            return Err(format!("{name} is at {place}").into());
        };
        let letters = column
            .bytes()
            .fold(0, |sum, letter| sum * 26 + u32::from(letter - b'A') + 1);
        let row: u32 = row.parse()?;
        let range = self.sheets.get(*sheet).ok_or("no such sheet")?;
        Ok(range
            .get_value((row - 1, letters - 1))
            .ok_or(format!("{name} is empty"))?)
    }

    /// The number of a named cell.
    pub fn number(&self, name: &str) -> Result<f64, Failed> {
        let data = self.named(name)?;
        Ok(data.as_f64().ok_or(format!("{name} is {data:?}"))?)
    }

    /// The words of a named cell.
    pub fn words(&self, name: &str) -> Result<String, Failed> {
        let data = self.named(name)?;
        Ok(data.as_string().ok_or(format!("{name} is {data:?}"))?)
    }

    /// The inputs with a range.
    pub fn inputs(&self) -> Result<Vec<Input>, Failed> {
        let inputs = self.rows()?.into_iter().filter_map(|(row, cells)| {
            let number = |column: usize| cells.get(column).and_then(Data::as_f64);
            Some(Input {
                address: cells.first()?.as_string()?,
                value: number(3)?,
                unit: cells.get(2).and_then(Data::as_string).unwrap_or_default(),
                from: number(4)?,
                to: number(5)?,
                row,
            })
        });
        Ok(inputs.collect())
    }

    /// Settings of the shares that take the rest beside an address.
    pub fn rests(&self, address: &str) -> Result<Vec<String>, Failed> {
        let group = |address: &str| address.rsplit_once('.').map(|(group, _)| group.to_owned());
        let mut found = Vec::new();
        for (_, cells) in self.rows()? {
            let own = cells.first().and_then(Data::as_string).unwrap_or_default();
            let takes_rest = cells.get(6).and_then(Data::as_string);
            if takes_rest.is_some_and(|words| words.starts_with("takes the rest"))
                && group(&own) == group(address)
            {
                let value = cells
                    .get(1)
                    .and_then(Data::as_f64)
                    .ok_or("a share is no number")?;
                found.push(format!("{own}={value}"));
            }
        }
        Ok(found)
    }

    fn rows(&self) -> Result<Vec<(u32, Vec<Data>)>, Failed> {
        let range = self.sheets.get("Inputs").ok_or("no sheet of inputs")?;
        let first = range.start().map_or(0, |(row, _)| row);
        let rows = range.rows().enumerate();
        Ok(rows
            .map(|(row, cells)| (first + row as u32 + 1, cells.to_vec()))
            .collect())
    }

    /// Compares every cell with that of another reading; the number of numbers.
    pub fn compare(&self, other: &Book, agrees: f64, complaints: &mut Vec<String>) -> usize {
        let mut numbers = 0;
        for (name, sheet) in &self.sheets {
            let first = sheet.start().unwrap_or_default();
            for (row, column, own) in sheet.cells() {
                let at = (first.0 + row as u32, first.1 + column as u32);
                let theirs = other.sheets.get(name).and_then(|sheet| sheet.get_value(at));
                let same = match (own.as_f64(), theirs.and_then(Data::as_f64)) {
                    (Some(own), Some(theirs)) => {
                        numbers += 1;
                        (own - theirs).abs() <= agrees * own.abs().max(1.0)
                    }
                    (Some(_), None) => false,
                    (None, _) => match own {
                        Data::Empty => true,
                        own => theirs.is_some_and(|theirs| theirs.to_string() == own.to_string()),
                    },
                };
                if !same && complaints.len() < 20 {
                    complaints.push(format!(
                        "{} {name} {at:?}: {own:?} written, {theirs:?} recalculated",
                        self.file.display()
                    ));
                }
            }
        }
        numbers
    }

    /// A copy with other numbers in some inputs; every last result stays as it was.
    pub fn with(&self, changes: &[(&Input, f64)], copy: &Path) -> Result<(), Failed> {
        let mut original = ZipArchive::new(File::open(&self.file)?)?;
        let mut written = ZipWriter::new(File::create(copy)?);
        for index in 0..original.len() {
            let mut part = original.by_index(index)?;
            let name = part.name()?.to_string();
            let mut bytes = Vec::new();
            part.read_to_end(&mut bytes)?;
            if name == "xl/worksheets/sheet2.xml" {
                let mut text = String::from_utf8(bytes)?;
                for (input, value) in changes {
                    text = replaced(&text, input.row, *value)?;
                }
                bytes = text.into_bytes();
            }
            written.start_file(name, SimpleFileOptions::default())?;
            written.write_all(&bytes)?;
        }
        written.finish()?;
        fs::metadata(copy)?;
        Ok(())
    }
}

/// The text of the sheet of inputs with another number in column B of a row.
fn replaced(text: &str, row: u32, value: f64) -> Result<String, Failed> {
    let head = format!("<c r=\"B{row}\"");
    let cell = text.find(&head).ok_or(format!("no cell B{row}"))?;
    let from = cell + text[cell..].find("<v>").ok_or("no value")? + 3;
    let to = from + text[from..].find("</v>").ok_or("no end of a value")?;
    Ok(format!("{}{value}{}", &text[..from], &text[to..]))
}
