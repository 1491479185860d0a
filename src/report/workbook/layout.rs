//! Where every cell stands.

use std::collections::BTreeMap;

use crate::study::live::{Book, CellId, Entry, Sheet};

/// A row, a column and the sheet; all count from nothing.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) struct Spot {
    pub sheet: usize,
    pub row: u32,
    pub column: u16,
}

impl Spot {
    /// Whether another spot comes next in a run that began at `first`: down one
    /// column or along one row.
    pub fn is_followed_by(self, next: Spot, first: Spot) -> bool {
        let down = next.column == self.column && next.row == self.row + 1;
        let along = next.row == self.row && next.column == self.column + 1;
        self.sheet == next.sheet
            && ((down && first.column == self.column) || (along && first.row == self.row))
    }
}

/// Where tables and cells stand.
pub(super) struct Layout {
    /// The sheets in use, in order.
    pub sheets: Vec<Sheet>,
    /// First row of every table of the book: its title.
    pub tables: Vec<u32>,
    spots: BTreeMap<CellId, Spot>,
}

/// Rows at the top of every sheet: its name, whether totals hold, an empty one.
pub(super) const TOP: u32 = 3;
/// Rows of a table before its own: title, note, headings.
pub(super) const HEAD: u32 = 3;

impl Layout {
    /// Places the tables of a book one below the other.
    pub fn of(book: &Book) -> Self {
        let mut sheets = vec![Sheet::Summary];
        for sheet in Sheet::ALL {
            let used = book.tables.iter().any(|table| table.sheet == sheet);
            if used && !sheets.contains(&sheet) {
                sheets.push(sheet);
            }
        }
        let mut next: Vec<u32> = sheets.iter().map(|_| TOP).collect();
        let mut layout = Layout {
            sheets,
            tables: Vec::new(),
            spots: BTreeMap::new(),
        };
        for table in &book.tables {
            let sheet = layout.index(table.sheet);
            let first = next[sheet];
            layout.tables.push(first);
            for (row, entries) in table.rows.iter().enumerate() {
                for (column, entry) in entries.iter().enumerate() {
                    if let Entry::Cell(cell) = entry {
                        let spot = Spot {
                            sheet,
                            row: first + HEAD + row as u32,
                            column: column as u16,
                        };
                        layout.spots.entry(*cell).or_insert(spot);
                    }
                }
            }
            next[sheet] = first + HEAD + table.rows.len() as u32 + 2;
        }
        layout
    }

    /// Index of a sheet in use.
    pub fn index(&self, sheet: Sheet) -> usize {
        let mut sheets = self.sheets.iter();
        sheets.position(|known| *known == sheet).unwrap_or(0)
    }

    /// Where a cell stands, if a table shows it.
    pub fn spot(&self, cell: CellId) -> Option<Spot> {
        self.spots.get(&cell).copied()
    }

    /// A spot as a formula on a sheet names it.
    pub fn reference(&self, spot: Spot, on: usize) -> String {
        format!("{}{}", self.prefix(spot, on), place(spot))
    }

    /// A range as a formula on a sheet names it.
    pub fn range(&self, first: Spot, last: Spot, on: usize) -> String {
        format!("{}{}:{}", self.prefix(first, on), place(first), place(last))
    }

    /// A spot as a defined name refers to it.
    pub fn absolute(&self, spot: Spot) -> String {
        let (column, row) = (letters(spot.column), spot.row + 1);
        format!("={}!${column}${row}", self.sheets[spot.sheet].name())
    }

    fn prefix(&self, spot: Spot, on: usize) -> String {
        match spot.sheet == on {
            true => String::new(),
            false => format!("{}!", self.sheets[spot.sheet].name()),
        }
    }
}

fn place(spot: Spot) -> String {
    format!("{}{}", letters(spot.column), spot.row + 1)
}

/// Letters of a column: A to Z, AA and so on.
fn letters(column: u16) -> String {
    let mut letters = Vec::new();
    let mut left = u32::from(column) + 1;
    while left > 0 {
        let digit = (left - 1) % 26;
        letters.push(char::from(b'A' + digit as u8));
        left = (left - 1) / 26;
    }
    letters.iter().rev().collect()
}

#[cfg(test)]
mod tests {
    #[test]
    fn columns_have_letters() {
        let letters = super::letters;
        assert_eq!((letters(0), letters(25)), ("A".into(), "Z".into()));
        assert_eq!((letters(26), letters(701)), ("AA".into(), "ZZ".into()));
        assert_eq!(letters(702), "AAA");
    }
}
