//! The page: what every renderer reads.

use serde_json::Value;

use super::drawing::Drawing;

/// A page of findings: blocks for a reader, and the same findings as data.
#[derive(Clone, Debug, PartialEq)]
pub struct Page {
    /// What the page is about.
    pub title: String,
    /// What a reader sees, from top to bottom.
    pub blocks: Vec<Block>,
    /// One table for spreadsheets in place of those among the blocks, where
    /// the page has such a table; its headings do not depend on the design.
    pub records: Option<Table>,
    /// What a program reads.
    pub data: Value,
}

/// A piece of a page.
#[derive(Clone, Debug, PartialEq)]
pub enum Block {
    /// The name of what the page is about.
    Title(String),
    /// The name of a part of a page that has several, each with headings of its own.
    Part(String),
    /// A heading.
    Heading(String),
    /// Running text.
    Paragraph(String),
    /// How it ended, in one sentence.
    Outcome {
        /// Good, doubtful or bad.
        tone: Tone,
        /// The sentence.
        words: String,
    },
    /// Named values, some with a definition.
    Facts(Vec<Fact>),
    /// Rows and columns.
    Table(Table),
    /// Short remarks, each a line of its own.
    Points(Vec<String>),
    /// Lines shown as they are: a piece of a file, a command.
    Verbatim(String),
    /// A picture.
    Figure(Figure),
    /// What a reader must not do with the figures above.
    Caution(String),
}

/// A picture and what it shows in words. The page has its numbers elsewhere: in tables, in
/// its data.
#[derive(Clone, Debug, PartialEq)]
pub struct Figure {
    /// What it shows, in a line below it.
    pub caption: String,
    /// What a reader who does not see it must know of it.
    pub description: String,
    /// The picture.
    pub drawing: Drawing,
    /// The same for a terminal, where letters can show it.
    pub terminal: Option<String>,
}

/// How an outcome is to be taken.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Tone {
    /// As asked for.
    Good,
    /// Usable, but less than was asked for.
    Doubtful,
    /// No answer.
    Bad,
}

/// A named value.
#[derive(Clone, Debug, PartialEq)]
pub struct Fact {
    /// Its name.
    pub name: String,
    /// Its value.
    pub value: Cell,
    /// The unit of the value; empty if it has none.
    pub unit: &'static str,
    /// What it means.
    pub definition: Option<String>,
}

/// Rows and columns under a caption.
#[derive(Clone, Debug, PartialEq)]
pub struct Table {
    /// What it shows; empty if the heading above says so.
    pub caption: String,
    /// Columns, left to right.
    pub columns: Vec<Column>,
    /// Rows, each with one cell per column.
    pub rows: Vec<Vec<Cell>>,
    /// A row of sums.
    pub total: Option<Vec<Cell>>,
}

/// A column of a table.
#[derive(Clone, Debug, PartialEq)]
pub struct Column {
    /// Its heading.
    pub heading: String,
    /// The unit of its numbers; empty if it has none.
    pub unit: &'static str,
}

/// A value of a table or a fact.
#[derive(Clone, Debug, PartialEq)]
pub enum Cell {
    /// Nothing to say here.
    Blank,
    /// Words.
    Text(String),
    /// A whole number.
    Whole(u64),
    /// A number and the decimals with which it is printed.
    Number {
        /// The number.
        value: f64,
        /// Digits after the point.
        decimals: usize,
    },
    /// A number printed with as many digits as it needs.
    Plain(f64),
    /// A fraction of 1, printed in per cent with one decimal.
    Share(f64),
}

impl Page {
    /// A page with a title and nothing else yet.
    pub fn new(title: impl Into<String>) -> Self {
        Page {
            title: title.into(),
            blocks: Vec::new(),
            records: None,
            data: Value::Null,
        }
    }

    /// Adds a heading.
    pub fn heading(&mut self, words: impl Into<String>) {
        self.blocks.push(Block::Heading(words.into()));
    }

    /// How it ended, in words; the title if the page does not say.
    pub fn outcome(&self) -> &str {
        let mut blocks = self.blocks.iter();
        let outcome = blocks.find_map(|block| match block {
            Block::Outcome { words, .. } => Some(words.as_str()),
            _ => None,
        });
        outcome.unwrap_or(&self.title)
    }

    /// Begins a part, for a page that has several.
    pub fn part(&mut self, words: impl Into<String>) {
        self.blocks.push(Block::Part(words.into()));
    }

    /// Adds running text.
    pub fn paragraph(&mut self, words: impl Into<String>) {
        self.blocks.push(Block::Paragraph(words.into()));
    }

    /// Adds remarks; nothing if there are none.
    pub fn points(&mut self, points: Vec<String>) {
        if !points.is_empty() {
            self.blocks.push(Block::Points(points));
        }
    }

    /// Adds lines shown as they are.
    pub fn verbatim(&mut self, lines: impl Into<String>) {
        self.blocks.push(Block::Verbatim(lines.into()));
    }

    /// Adds a picture.
    pub fn figure(&mut self, figure: Figure) {
        self.blocks.push(Block::Figure(figure));
    }

    /// Adds a picture with what a terminal shows of it; that alone where there is nothing to
    /// draw, and nothing where there is neither.
    pub fn plot(
        &mut self,
        caption: impl Into<String>,
        description: impl Into<String>,
        drawing: Option<Drawing>,
        terminal: Option<String>,
    ) {
        match (drawing, terminal) {
            (Some(drawing), terminal) => self.figure(Figure {
                caption: caption.into(),
                description: description.into(),
                drawing,
                terminal,
            }),
            (None, Some(lines)) => self.verbatim(lines),
            (None, None) => {}
        }
    }

    /// Adds a table; nothing if it has no rows.
    pub fn table(&mut self, table: Table) {
        if !table.rows.is_empty() {
            self.blocks.push(Block::Table(table));
        }
    }

    /// Adds named values; nothing if there are none.
    pub fn facts(&mut self, facts: Vec<Fact>) {
        if !facts.is_empty() {
            self.blocks.push(Block::Facts(facts));
        }
    }
}

impl Table {
    /// An empty table with columns of heading and unit.
    pub fn new(columns: &[(&str, &'static str)]) -> Self {
        Table {
            caption: String::new(),
            columns: columns
                .iter()
                .map(|&(heading, unit)| Column {
                    heading: heading.to_owned(),
                    unit,
                })
                .collect(),
            rows: Vec::new(),
            total: None,
        }
    }

    /// The same table under a caption.
    #[must_use]
    pub fn captioned(mut self, caption: impl Into<String>) -> Self {
        self.caption = caption.into();
        self
    }

    /// The same table without the columns in which every row is blank.
    #[must_use]
    pub fn without_blank_columns(mut self) -> Self {
        let used: Vec<bool> = (0..self.columns.len())
            .map(|column| {
                self.rows
                    .iter()
                    .any(|row| row.get(column).is_some_and(|cell| *cell != Cell::Blank))
            })
            .collect();
        keep(&mut self.columns, &used);
        for row in self.rows.iter_mut().chain(&mut self.total) {
            keep(row, &used);
        }
        self
    }
}

fn keep<T>(items: &mut Vec<T>, used: &[bool]) {
    let mut used = used.iter();
    items.retain(|_| used.next().copied().unwrap_or(false));
}

impl Column {
    /// Heading and unit: "mass, kg".
    pub fn words(&self) -> String {
        match self.unit {
            "" => self.heading.clone(),
            unit if self.heading.is_empty() => unit.to_owned(),
            unit => format!("{}, {unit}", self.heading),
        }
    }
}

impl Cell {
    /// Words.
    pub fn text(words: impl Into<String>) -> Self {
        Cell::Text(words.into())
    }

    /// A mass in kilograms, with two decimals.
    pub fn kg(value: f64) -> Self {
        Cell::Number { value, decimals: 2 }
    }

    /// A mass in kilograms, or nothing if there is none.
    pub fn kg_or_blank(value: f64) -> Self {
        if value == 0.0 {
            Cell::Blank
        } else {
            Cell::kg(value)
        }
    }

    /// A flow in kg/d, with three decimals.
    pub fn rate(value: f64) -> Self {
        Cell::Number { value, decimals: 3 }
    }

    /// Whether it reads as a number, and so stands on the right of its column.
    pub fn is_number(&self) -> bool {
        !matches!(self, Cell::Blank | Cell::Text(_))
    }

    /// As a reader sees it; `blank` for nothing.
    pub fn words(&self, blank: &str) -> String {
        match self {
            Cell::Blank => blank.to_owned(),
            Cell::Text(words) => words.clone(),
            Cell::Whole(number) => super::number::fixed(*number as f64, 0),
            Cell::Number { value, decimals } => super::number::fixed(*value, *decimals),
            Cell::Plain(value) => crate::quantity::shown_number(*value),
            Cell::Share(share) => super::number::share(*share),
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn blank_columns_go_with_their_cells() {
        let mut table = Table::new(&[("item", ""), ("volume", "m³"), ("mass", "kg")]);
        table
            .rows
            .push(vec![Cell::text("still"), Cell::Blank, Cell::kg(62.0)]);
        table.total = Some(vec![Cell::text("total"), Cell::Blank, Cell::kg(62.0)]);
        let table = table.without_blank_columns();
        let words: Vec<String> = table.columns.iter().map(Column::words).collect();
        assert_eq!(words, ["item", "mass, kg"]);
        assert_eq!(table.rows, [[Cell::text("still"), Cell::kg(62.0)]]);
        assert_eq!(table.total.map(|row| row.len()), Some(2));
    }
}
