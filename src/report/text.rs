//! A page as a terminal shows it.

use anstyle::{AnsiColor, Color, Style};
use comfy_table::{CellAlignment, ContentArrangement, LineStyle, TableStyle};

use super::page::{Block, Cell, Fact, Page, Table, Tone};

/// Lines are no longer than this.
const WIDTH: u16 = 100;
/// What a blank cell of a table shows.
const BLANK: &str = "–";

const HEADING: Style = Style::new().bold();
const COLUMNS: Style = Style::new().dimmed();
const GOOD: Style = coloured(AnsiColor::Green).bold();
const DOUBTFUL: Style = coloured(AnsiColor::Yellow).bold();
const BAD: Style = coloured(AnsiColor::Red).bold();
const CAUTION: Style = coloured(AnsiColor::Yellow);

const fn coloured(colour: AnsiColor) -> Style {
    Style::new().fg_color(Some(Color::Ansi(colour)))
}

/// The page as text with colours; whoever prints it takes them out where they
/// are not wanted.
pub fn render_text(page: &Page) -> String {
    let mut text = String::new();
    let shown = page.blocks.iter().filter(|block| !is_silent(block));
    for (index, block) in shown.enumerate() {
        if index > 0 {
            text.push('\n');
        }
        push_block(&mut text, block);
    }
    text
}

/// Whether a block has nothing for a terminal.
fn is_silent(block: &Block) -> bool {
    matches!(block, Block::Figure(figure) if figure.terminal.is_none())
}

fn push_block(text: &mut String, block: &Block) {
    match block {
        Block::Title(words) => push_styled(text, HEADING, words),
        Block::Part(words) => {
            let rule = "═".repeat(words.chars().count());
            push_styled(text, HEADING, &format!("{words}\n{rule}"));
        }
        Block::Heading(words) => push_styled(text, HEADING, &words.to_uppercase()),
        Block::Paragraph(words) => text.push_str(&wrapped(words, "", "")),
        Block::Outcome { tone, words } => {
            let style = match tone {
                Tone::Good => GOOD,
                Tone::Doubtful => DOUBTFUL,
                Tone::Bad => BAD,
            };
            push_styled(text, style, &wrapped(words, "", ""));
        }
        Block::Facts(facts) => push_facts(text, facts),
        Block::Table(table) => push_table(text, table),
        Block::Points(points) => {
            for point in points {
                text.push_str(&wrapped(point, "- ", "  "));
            }
        }
        Block::Verbatim(lines) => push_verbatim(text, lines),
        Block::Figure(figure) => {
            if let Some(lines) = &figure.terminal {
                push_verbatim(text, lines);
            }
        }
        Block::Caution(words) => push_styled(text, CAUTION, &wrapped(words, "", "")),
    }
}

fn push_verbatim(text: &mut String, lines: &str) {
    for line in lines.lines() {
        text.push_str(format!("    {line}").trim_end());
        text.push('\n');
    }
}

/// Every line in a style of its own, so that a page cut anywhere stays right.
fn push_styled(text: &mut String, style: Style, words: &str) {
    for line in words.lines() {
        text.push_str(&format!("{style}{line}{style:#}\n"));
    }
}

fn wrapped(words: &str, first: &str, further: &str) -> String {
    let options = textwrap::Options::new(usize::from(WIDTH))
        .initial_indent(first)
        .subsequent_indent(further);
    textwrap::fill(words, options) + "\n"
}

fn push_facts(text: &mut String, facts: &[Fact]) {
    let mut grid = grid();
    for fact in facts {
        let value = match (fact.value.words(BLANK), fact.unit) {
            (number, "") => number,
            (number, unit) => format!("{number} {unit}"),
        };
        grid.add_row(vec![
            cell(&fact.name, CellAlignment::Left),
            cell(&value, alignment(&fact.value)),
            cell(
                fact.definition.as_deref().unwrap_or(""),
                CellAlignment::Left,
            ),
        ]);
    }
    for line in lines(&grid) {
        text.push_str(&line);
        text.push('\n');
    }
}

fn push_table(text: &mut String, table: &Table) {
    if !table.caption.is_empty() {
        text.push_str(&wrapped(&table.caption, "", ""));
        text.push('\n');
    }
    let mut grid = grid();
    grid.load_style(TableStyle::new().header_separator(LineStyle::none().fill('─')));
    let sides: Vec<CellAlignment> = (0..table.columns.len())
        .map(|column| {
            let mut cells = table.rows.iter().filter_map(|row| row.get(column));
            match cells.any(Cell::is_number) {
                true => CellAlignment::Right,
                false => CellAlignment::Left,
            }
        })
        .collect();
    let headings = table.columns.iter().zip(&sides);
    grid.set_header(
        headings
            .map(|(column, side)| cell(&column.words(), *side))
            .collect::<Vec<_>>(),
    );
    for row in &table.rows {
        let cells = row.iter().zip(&sides);
        grid.add_row(
            cells
                .map(|(value, side)| cell(&value.words(BLANK), *side))
                .collect::<Vec<_>>(),
        );
    }
    if let Some(total) = &table.total {
        let cells = total.iter().zip(&sides);
        grid.add_row(
            cells
                .map(|(value, side)| cell(&value.words(""), *side))
                .collect::<Vec<_>>(),
        );
    }
    push_grid(text, &lines(&grid), table.total.is_some());
}

/// The lines of a grid: headings, a rule, rows, and another rule before a total.
fn push_grid(text: &mut String, lines: &[String], has_total: bool) {
    let is_rule = |line: &String| line.starts_with('─');
    let rule_at = lines.iter().position(is_rule).unwrap_or(0);
    for (index, line) in lines.iter().enumerate() {
        if has_total && index + 1 == lines.len() {
            text.push_str(&format!("{COLUMNS}{}{COLUMNS:#}\n", lines[rule_at]));
        }
        if index <= rule_at {
            text.push_str(&format!("{COLUMNS}{line}{COLUMNS:#}\n"));
        } else {
            text.push_str(line);
            text.push('\n');
        }
    }
}

fn grid() -> comfy_table::Table {
    let mut grid = comfy_table::Table::new();
    grid.load_style(TableStyle::new())
        .set_content_arrangement(ContentArrangement::Dynamic)
        .set_width(WIDTH);
    grid
}

fn cell(words: &str, side: CellAlignment) -> comfy_table::Cell {
    comfy_table::Cell::new(words).set_alignment(side)
}

fn alignment(value: &Cell) -> CellAlignment {
    match value.is_number() {
        true => CellAlignment::Right,
        false => CellAlignment::Left,
    }
}

fn lines(grid: &comfy_table::Table) -> Vec<String> {
    let mut grid = grid.clone();
    for (index, column) in grid.column_iter_mut().enumerate() {
        column.set_padding(if index == 0 { (0, 0) } else { (2, 0) });
    }
    grid.lines()
        .map(|line| line.trim_end().to_owned())
        .collect()
}

#[cfg(test)]
mod tests {
    use super::*;

    fn plain(page: &Page) -> String {
        anstream::adapter::strip_str(&render_text(page)).to_string()
    }

    #[test]
    fn a_page_reads_from_top_to_bottom() {
        let mut page = Page::new("Kitchen loop");
        page.blocks.push(Block::Outcome {
            tone: Tone::Good,
            words: "Optimal: 1,234.50 kg.".into(),
        });
        page.blocks.push(Block::Title("Kitchen loop".into()));
        page.heading("Ledger");
        let mut table = Table::new(&[("category", ""), ("mass", "kg"), ("share", "")]);
        table.rows.push(vec![
            Cell::text("hardware"),
            Cell::kg(1200.0),
            Cell::Share(0.972),
        ]);
        table
            .rows
            .push(vec![Cell::text("cargo"), Cell::kg(34.5), Cell::Blank]);
        table.total = Some(vec![Cell::text("total"), Cell::kg(1234.5), Cell::Blank]);
        page.table(table);
        page.facts(vec![Fact {
            name: "loop closure".into(),
            value: Cell::Share(0.5),
            unit: "",
            definition: Some("1 − cargo drawn / used".into()),
        }]);
        page.points(vec!["a remark".into()]);
        page.blocks.push(Block::Caution("Not for flight.".into()));
        assert_eq!(
            plain(&page),
            "Optimal: 1,234.50 kg.\n\
             \n\
             Kitchen loop\n\
             \n\
             LEDGER\n\
             \n\
             category  mass, kg   share\n\
             ──────────────────────────\n\
             hardware  1,200.00  97.2 %\n\
             cargo        34.50       –\n\
             ──────────────────────────\n\
             total     1,234.50\n\
             \n\
             loop closure  50.0 %  1 − cargo drawn / used\n\
             \n\
             - a remark\n\
             \n\
             Not for flight.\n"
        );
    }

    #[test]
    fn long_words_wrap_within_the_width() {
        let mut page = Page::new("Long");
        page.paragraph("word ".repeat(60));
        let mut table = Table::new(&[("item", ""), ("how", "")]);
        table.rows.push(vec![
            Cell::text("still"),
            Cell::text("so and so ".repeat(30)),
        ]);
        page.table(table);
        for line in plain(&page).lines() {
            assert!(line.chars().count() <= usize::from(WIDTH), "{line}");
        }
    }
}
