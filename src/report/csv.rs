//! A page's tables as comma-separated values, for spreadsheets.

use csv::{QuoteStyle, WriterBuilder};

use super::page::{Block, Cell, Page, Table};

/// Every table of the page, one after another: a line with its heading, a line
/// with its columns, its rows, and an empty line. Numbers are given in full,
/// without thousands separators; totals are left to the reader. A page that
/// keeps one table for this gives that alone, columns first.
///
/// # Errors
///
/// If a table cannot be written, which would be a fault of this tool.
pub fn render_csv(page: &Page) -> Result<String, csv::Error> {
    if let Some(table) = &page.records {
        return records(None, table);
    }
    let mut text = String::new();
    let mut heading = page.title.as_str();
    for block in &page.blocks {
        match block {
            Block::Heading(words) | Block::Part(words) => heading = words,
            Block::Table(table) => {
                if !text.is_empty() {
                    text.push('\n');
                }
                text.push_str(&records(Some(heading), table)?);
            }
            _ => {}
        }
    }
    Ok(text)
}

fn records(heading: Option<&str>, table: &Table) -> Result<String, csv::Error> {
    let mut writer = WriterBuilder::new()
        .flexible(true)
        .quote_style(QuoteStyle::Necessary)
        .from_writer(Vec::new());
    if let Some(heading) = heading {
        writer.write_record([heading])?;
    }
    writer.write_record(table.columns.iter().map(|column| column.words()))?;
    for row in &table.rows {
        writer.write_record(row.iter().map(exact))?;
    }
    let bytes = writer.into_inner().map_err(|error| error.into_error())?;
    Ok(String::from_utf8_lossy(&bytes).into_owned())
}

fn exact(cell: &Cell) -> String {
    match cell {
        Cell::Blank => String::new(),
        Cell::Text(words) => words.clone(),
        Cell::Whole(number) => number.to_string(),
        Cell::Plain(value) | Cell::Number { value, .. } | Cell::Share(value) => value.to_string(),
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn numbers_are_exact_and_commas_are_quoted() {
        let mut page = Page::new("Loop");
        page.heading("Ledger");
        let mut table = Table::new(&[("item", ""), ("mass", "kg"), ("share", "")]);
        table.rows.push(vec![
            Cell::text("still, small"),
            Cell::kg(1234.0625),
            Cell::Share(0.125),
        ]);
        table.total = Some(vec![Cell::Blank, Cell::kg(1234.0625), Cell::Blank]);
        page.table(table.clone());
        page.table(table);
        let one = "Ledger\nitem,\"mass, kg\",share\n\"still, small\",1234.0625,0.125\n";
        assert_eq!(render_csv(&page).ok(), Some(format!("{one}\n{one}")));
    }
}
