//! A book of cells: inputs, what is held, and formulas over those before them.

use super::formula::{CellId, Formula, Value};

/// What is in a cell.
#[derive(Clone, Debug, PartialEq)]
pub enum Content {
    /// A number of the design that may be changed.
    Input,
    /// A number of the design that always wants a new solve where it is changed.
    Fixed,
    /// Chosen by the plan and held.
    Held,
    /// Published, of chemistry, or worked out from numbers that are not inputs.
    Given,
    /// Worked out.
    Formula(Formula),
    /// Solved with others of a loop.
    Solution {
        /// Which loop.
        ring: usize,
        /// Which of its unknowns.
        position: usize,
    },
}

/// A cell.
#[derive(Clone, Debug, PartialEq)]
pub struct BookCell {
    /// What is in it.
    pub content: Content,
    /// What it shows for the design as it stands.
    pub value: Value,
    /// Its name, where it has one.
    pub name: Option<String>,
}

/// Unknowns that depend on each other: `matrix · unknowns = right`.
#[derive(Clone, Debug, PartialEq)]
pub struct Ring {
    /// Factors, row by row.
    pub matrix: Vec<Vec<CellId>>,
    /// Right sides.
    pub right: Vec<CellId>,
    /// What is solved for.
    pub unknowns: Vec<CellId>,
}

/// What a row of a table shows in a column.
#[derive(Clone, Debug, PartialEq)]
pub enum Entry {
    /// Nothing.
    Blank,
    /// Words.
    Words(String),
    /// A cell.
    Cell(CellId),
}

impl From<CellId> for Entry {
    fn from(cell: CellId) -> Self {
        Entry::Cell(cell)
    }
}

impl From<&str> for Entry {
    fn from(words: &str) -> Self {
        match words {
            "" => Entry::Blank,
            words => Entry::Words(words.to_owned()),
        }
    }
}

impl From<String> for Entry {
    fn from(words: String) -> Self {
        words.as_str().into()
    }
}

/// How the numbers of a column are shown.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Show {
    /// Words of a few letters.
    Short,
    /// Words.
    Words,
    /// Long words.
    Long,
    /// Kilograms, two decimals.
    Kilograms,
    /// Kilograms a day, four decimals.
    Rate,
    /// Whole numbers.
    Whole,
    /// As many digits as it takes.
    Plain,
    /// A probability.
    Probability,
    /// The end of a range, possibly without end.
    Bound,
    /// Whether a check holds: 0 for yes, 1 for no.
    Holds,
    /// State of an input: 0 as solved, 1 moved, 2 beyond its range.
    State,
}

/// A table of a sheet.
#[derive(Clone, Debug, PartialEq)]
pub struct Table {
    /// The sheet it stands on.
    pub sheet: Sheet,
    /// What it shows.
    pub title: String,
    /// How to read it.
    pub note: String,
    /// Headings with units, and how each column is shown.
    pub columns: Vec<(String, Show)>,
    /// Rows.
    pub rows: Vec<Vec<Entry>>,
}

/// The sheets that hold cells, in order.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum Sheet {
    /// Outcome, totals, whether they hold.
    Summary,
    /// The design's numbers.
    Inputs,
    /// Phases, flights, intervals.
    Calendar,
    /// What every node takes, gives and asks for.
    Rates,
    /// Levels and flows.
    Operation,
    /// Equations that must be solved together.
    Loops,
    /// What is brought.
    Deliveries,
    /// Units, stores.
    Hardware,
    /// Failures, and how many spares suffice.
    Spares,
    /// Every kilogram by flight.
    Ledger,
    /// Where the totals hold.
    Checks,
}

impl Sheet {
    /// Every sheet, in order.
    pub const ALL: [Sheet; 11] = [
        Sheet::Summary,
        Sheet::Inputs,
        Sheet::Calendar,
        Sheet::Rates,
        Sheet::Operation,
        Sheet::Loops,
        Sheet::Deliveries,
        Sheet::Hardware,
        Sheet::Spares,
        Sheet::Ledger,
        Sheet::Checks,
    ];

    /// Its name.
    pub fn name(self) -> &'static str {
        match self {
            Sheet::Summary => "Summary",
            Sheet::Inputs => "Inputs",
            Sheet::Calendar => "Calendar",
            Sheet::Rates => "Rates",
            Sheet::Operation => "Operation",
            Sheet::Loops => "Loops",
            Sheet::Deliveries => "Deliveries",
            Sheet::Hardware => "Hardware",
            Sheet::Spares => "Spares",
            Sheet::Ledger => "Ledger",
            Sheet::Checks => "Checks",
        }
    }
}

impl Table {
    /// An empty table.
    pub fn new(sheet: Sheet, title: &str, columns: &[(&str, Show)]) -> Self {
        Table {
            sheet,
            title: title.to_owned(),
            note: String::new(),
            columns: columns
                .iter()
                .map(|&(heading, show)| (heading.to_owned(), show))
                .collect(),
            rows: Vec::new(),
        }
    }

    /// The same table with a note under its title.
    #[must_use]
    pub fn noted(mut self, note: &str) -> Self {
        self.note = note.to_owned();
        self
    }

    /// Adds a column.
    pub fn column(&mut self, heading: impl Into<String>, show: Show) {
        self.columns.push((heading.into(), show));
    }
}

/// Cells in the order in which they are worked out, and the tables that show them.
#[derive(Clone, Debug, Default)]
pub struct Book {
    /// Cells; each depends only on those before it.
    pub cells: Vec<BookCell>,
    /// Loops.
    pub rings: Vec<Ring>,
    /// Tables, in order within each sheet.
    pub tables: Vec<Table>,
    /// Cells whose formula does not give the plan's own number, in words.
    pub astray: Vec<String>,
    values: Vec<Value>,
}

/// A formula and the plan agree to this, kg or kg/d, and this share.
const AGREES: f64 = 1e-6;

fn agrees(found: f64, planned: f64) -> bool {
    (found - planned).abs() <= AGREES * planned.abs().max(1.0)
}

impl Book {
    /// What the cells show for the design as it stands.
    pub fn values(&self) -> &[Value] {
        &self.values
    }

    /// Number of a cell for the design as it stands.
    pub fn number(&self, cell: CellId) -> f64 {
        self.values[cell.0].number()
    }

    /// Adds a cell.
    pub fn add(&mut self, content: Content, value: Value, name: Option<String>) -> CellId {
        self.values.push(value.clone());
        self.cells.push(BookCell {
            content,
            value,
            name,
        });
        CellId(self.cells.len() - 1)
    }

    /// A number that the plan chose and that stays.
    pub fn held(&mut self, number: f64) -> CellId {
        self.add(Content::Held, Value::Number(number), None)
    }

    /// A formula.
    pub fn formula(&mut self, formula: Formula) -> CellId {
        let value = formula.value(&self.values);
        self.add(Content::Formula(formula), value, None)
    }

    /// A formula for a number that the plan has: the plan's is shown, and noted
    /// if the formula does not give it.
    pub fn planned(&mut self, words: &str, formula: Formula, planned: f64) -> CellId {
        let found = formula.number(&self.values);
        if !agrees(found, planned) {
            self.astray
                .push(format!("{words}: {found} by formula, {planned} planned"));
        }
        self.add(Content::Formula(formula), Value::Number(planned), None)
    }

    /// Adds a loop whose unknowns have their cells; noted if its solution is not the
    /// plan's.
    pub fn ring(&mut self, ring: Ring) {
        for (cell, found) in ring.unknowns.iter().zip(ring.solution(&self.values)) {
            let planned = self.number(*cell);
            if !agrees(found, planned) {
                self.astray.push(format!(
                    "loop {}: {found} solved, {planned} planned",
                    self.rings.len() + 1
                ));
            }
        }
        self.rings.push(ring);
    }

    /// Adds a table, unless it is empty.
    pub fn table(&mut self, table: Table) {
        if !table.rows.is_empty() {
            self.tables.push(table);
        }
    }

    /// What the cells show with other numbers in some of them.
    pub fn with(&self, changes: &[(CellId, f64)]) -> Vec<Value> {
        let mut values: Vec<Value> = Vec::with_capacity(self.cells.len());
        let mut solved: Vec<Option<Vec<f64>>> = vec![None; self.rings.len()];
        for (index, cell) in self.cells.iter().enumerate() {
            let changed = changes.iter().find(|(cell, _)| cell.0 == index);
            let value = match (&cell.content, changed) {
                (_, Some((_, number))) => Value::Number(*number),
                (Content::Formula(formula), None) => formula.value(&values),
                (Content::Solution { ring, position }, None) => {
                    let found =
                        solved[*ring].get_or_insert_with(|| self.rings[*ring].solution(&values));
                    Value::Number(found[*position])
                }
                (_, None) => cell.value.clone(),
            };
            values.push(value);
        }
        values
    }
}

impl Ring {
    /// The unknowns, given what the cells before them show: elimination with the
    /// largest pivot. What cannot be solved is not a number.
    fn solution(&self, cells: &[Value]) -> Vec<f64> {
        let size = self.right.len();
        let number = |cell: &CellId| cells[cell.0].number();
        let mut rows: Vec<Vec<f64>> = self
            .matrix
            .iter()
            .zip(&self.right)
            .map(|(row, right)| row.iter().chain([right]).map(number).collect())
            .collect();
        for step in 0..size {
            let best = (step..size).max_by(|&a, &b| {
                let (a, b): (f64, f64) = (rows[a][step].abs(), rows[b][step].abs());
                a.total_cmp(&b)
            });
            rows.swap(step, best.unwrap_or(step));
            let pivot = rows[step].clone();
            for (index, row) in rows.iter_mut().enumerate() {
                if index != step {
                    let factor = row[step] / pivot[step];
                    for (own, other) in row.iter_mut().zip(&pivot).skip(step) {
                        *own -= factor * other;
                    }
                }
            }
        }
        let solved = rows.iter().enumerate();
        solved.map(|(index, row)| row[size] / row[index]).collect()
    }
}
