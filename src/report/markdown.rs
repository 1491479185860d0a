//! A page as Markdown, for documents and merge requests.

use super::page::{Block, Cell, Fact, Page, Table};

/// What a blank cell of a table shows.
const BLANK: &str = "–";

/// The page as Markdown with pipe tables.
pub fn render_markdown(page: &Page) -> String {
    let blocks: Vec<String> = page.blocks.iter().filter_map(block).collect();
    blocks.join("\n")
}

fn block(block: &Block) -> Option<String> {
    Some(match block {
        Block::Title(words) | Block::Part(words) => format!("# {}\n", escaped(words)),
        Block::Heading(words) => format!("## {}\n", escaped(words)),
        Block::Paragraph(words) => format!("{}\n", escaped(words)),
        Block::Outcome { words, .. } => format!("**{}**\n", escaped(words)),
        Block::Facts(facts) => facts_table(facts),
        Block::Table(table) => match table.caption.as_str() {
            "" => pipes(table),
            caption => format!("{}\n\n{}", escaped(caption), pipes(table)),
        },
        Block::Points(points) => points
            .iter()
            .map(|point| format!("- {}\n", escaped(point)))
            .collect(),
        Block::Verbatim(lines) => fenced(lines),
        Block::Figure(figure) => fenced(figure.terminal.as_deref()?),
        Block::Caution(words) => format!("> {}\n", escaped(words)),
    })
}

fn fenced(lines: &str) -> String {
    format!("```\n{}\n```\n", lines.trim_end_matches('\n'))
}

fn facts_table(facts: &[Fact]) -> String {
    let mut table = Table::new(&[("figure", ""), ("value", ""), ("definition", "")]);
    for fact in facts {
        let value = match fact.unit {
            "" => fact.value.clone(),
            unit => Cell::text(format!("{} {unit}", fact.value.words(BLANK))),
        };
        let definition = fact.definition.as_deref();
        table.rows.push(vec![
            Cell::text(&fact.name),
            value,
            definition.map_or(Cell::Blank, Cell::text),
        ]);
    }
    pipes(&table.without_blank_columns())
}

fn pipes(table: &Table) -> String {
    let headings = table.columns.iter().map(|column| escaped(&column.words()));
    let mut text = line(headings);
    text.push_str(&line((0..table.columns.len()).map(|column| {
        let mut cells = table.rows.iter().filter_map(|row| row.get(column));
        match cells.any(Cell::is_number) {
            true => "---:".to_owned(),
            false => "---".to_owned(),
        }
    })));
    for row in &table.rows {
        text.push_str(&line(row.iter().map(|cell| escaped(&cell.words(BLANK)))));
    }
    if let Some(total) = &table.total {
        text.push_str(&line(total.iter().map(|cell| match cell {
            Cell::Blank => String::new(),
            cell => format!("**{}**", escaped(&cell.words(BLANK))),
        })));
    }
    text
}

fn line(cells: impl Iterator<Item = String>) -> String {
    let cells: Vec<String> = cells.collect();
    format!("| {} |\n", cells.join(" | "))
}

/// Words that Markdown takes as they are.
fn escaped(words: &str) -> String {
    let mut text = String::with_capacity(words.len());
    for letter in words.chars() {
        match letter {
            '\\' | '`' | '*' | '_' | '|' | '<' | '[' | ']' | '#' => {
                text.push('\\');
                text.push(letter);
            }
            '\n' => text.push(' '),
            letter => text.push(letter),
        }
    }
    text
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::report::page::Tone;

    #[test]
    fn tables_headings_and_special_letters() {
        let mut page = Page::new("Loop");
        page.blocks.push(Block::Outcome {
            tone: Tone::Good,
            words: "Optimal: 62.00 kg.".into(),
        });
        page.blocks.push(Block::Title("A|B_loop".into()));
        let mut table = Table::new(&[("item", ""), ("mass", "kg")]);
        table.rows.push(vec![Cell::text("a*b"), Cell::kg(62.0)]);
        table.total = Some(vec![Cell::Blank, Cell::kg(62.0)]);
        page.table(table);
        assert_eq!(
            render_markdown(&page),
            "**Optimal: 62.00 kg.**\n\
             \n\
             # A\\|B\\_loop\n\
             \n\
             | item | mass, kg |\n\
             | --- | ---: |\n\
             | a\\*b | 62.00 |\n\
             |  | **62.00** |\n"
        );
    }
}
