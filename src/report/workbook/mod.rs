//! A plan as a workbook whose formulas follow its inputs.
//!
//! Every number shown is the plan's; formulas carry it as their last result. The
//! same plan gives the same bytes.

mod layout;
mod looks;
mod summary;
mod text;

use rust_xlsxwriter::{
    ConditionalFormatCell, ConditionalFormatCellRule, ConditionalFormatText,
    ConditionalFormatTextRule, DocProperties, ExcelDateTime, Format, Formula as Written, Workbook,
    Worksheet, XlsxError,
};

use super::findings::Findings;
use crate::study::live::{CellId, Content, Entry, LivePlan, Sheet, Show, Table, Value};
use layout::{HEAD, Layout};
use text::Scribe;

/// Writes a plan as a workbook.
///
/// # Errors
///
/// Where the workbook cannot be put together, such as more rows than a sheet has.
pub fn render_workbook(findings: &Findings, live: &LivePlan) -> Result<Vec<u8>, XlsxError> {
    let layout = Layout::of(&live.book);
    let scribe = Scribe {
        book: &live.book,
        layout: &layout,
    };
    let mut workbook = Workbook::new();
    workbook.set_properties(
        &DocProperties::new()
            .set_title(&findings.plan.network().title)
            .set_comment("Formulas follow the inputs at the plan's own hardware.")
            // A fixed date: the same plan gives the same bytes.
            .set_creation_datetime(&ExcelDateTime::from_ymd(2000, 1, 1)?),
    );
    let desk = Desk {
        findings,
        live,
        layout: &layout,
        scribe,
    };
    for (index, sheet) in layout.sheets.iter().enumerate() {
        let worksheet = workbook.add_worksheet();
        worksheet.set_name(sheet.name())?;
        match sheet {
            Sheet::Summary => summary::write(&desk, worksheet)?,
            _ => desk.top(worksheet, *sheet, index)?,
        }
        for (table, &first) in live.book.tables.iter().zip(&layout.tables) {
            if table.sheet == *sheet {
                desk.table(worksheet, table, index, first)?;
            }
        }
        set_up(worksheet, live, *sheet)?;
    }
    for (index, cell) in live.book.cells.iter().enumerate() {
        if let (Some(name), Some(spot)) = (&cell.name, layout.spot(CellId(index))) {
            workbook.define_name(name, &layout.absolute(spot))?;
        }
    }
    for (name, cell) in [
        ("verdict", live.verdict),
        ("checks_that_fail", live.failed),
        ("launch_mass_kg", live.launch_mass),
        ("minimised_kg", live.minimised),
    ] {
        if let Some(spot) = layout.spot(cell) {
            workbook.define_name(name, &layout.absolute(spot))?;
        }
    }
    workbook.save_to_buffer()
}

/// What sheets are written from.
struct Desk<'a> {
    findings: &'a Findings<'a>,
    live: &'a LivePlan,
    layout: &'a Layout,
    scribe: Scribe<'a>,
}

impl Desk<'_> {
    /// Name of the sheet, and whether the totals hold.
    fn top(&self, worksheet: &mut Worksheet, sheet: Sheet, index: usize) -> Result<(), XlsxError> {
        let title = format!("{} · {}", sheet.name(), self.findings.plan.network().title);
        worksheet.write_with_format(0, 0, title, &looks::title())?;
        worksheet.set_row_height(0, 24)?;
        self.reference(worksheet, (1, 0), self.live.verdict, index, &looks::bold())?;
        colours(worksheet, (1, 0))?;
        Ok(())
    }

    /// A formula that shows another cell.
    fn reference(
        &self,
        worksheet: &mut Worksheet,
        (row, column): (u32, u16),
        cell: CellId,
        on: usize,
        format: &Format,
    ) -> Result<(), XlsxError> {
        let formula = Written::new(format!("={}", self.scribe.cell(cell, on)));
        let formula = formula.set_result(shown(&self.live.book.cells[cell.0].value));
        worksheet.write_formula_with_format(row, column, formula, format)?;
        Ok(())
    }

    fn table(
        &self,
        worksheet: &mut Worksheet,
        table: &Table,
        index: usize,
        first: u32,
    ) -> Result<(), XlsxError> {
        worksheet.write_with_format(first, 0, &table.title, &looks::heading())?;
        worksheet.set_row_height(first, 20)?;
        if !table.note.is_empty() {
            worksheet.write_with_format(first + 1, 0, &table.note, &looks::remark())?;
        }
        let mut lines = 1;
        for (column, (heading, show)) in table.columns.iter().enumerate() {
            let format = looks::column_heading(*show);
            worksheet.write_with_format(first + 2, column as u16, heading, &format)?;
            let letters = looks::width(*show) as usize - 1;
            lines = lines.max(heading.chars().count().div_ceil(letters));
        }
        worksheet.set_row_height(first + 2, 15.0 * lines as f64)?;
        for (row, entries) in table.rows.iter().enumerate() {
            let row = first + HEAD + row as u32;
            for (column, entry) in entries.iter().enumerate() {
                let show = table
                    .columns
                    .get(column)
                    .map_or(Show::Plain, |(_, show)| *show);
                let at = (row, column as u16);
                match entry {
                    Entry::Blank => {
                        worksheet.write_blank(at.0, at.1, &looks::cell(show, None))?;
                    }
                    Entry::Words(words) => {
                        words_or_number(worksheet, at, words, show)?;
                    }
                    Entry::Cell(cell) => self.cell(worksheet, at, *cell, show, index)?,
                }
            }
        }
        let last = first + HEAD + table.rows.len() as u32 - 1;
        for (column, (_, show)) in table.columns.iter().enumerate() {
            let bad = match show {
                Show::Holds => 1.0,
                Show::State => 2.0,
                _ => continue,
            };
            let rule = ConditionalFormatCell::new()
                .set_rule(ConditionalFormatCellRule::EqualTo(bad))
                .set_format(Format::new().set_background_color(looks::WRONG).set_bold());
            let column = column as u16;
            worksheet.add_conditional_format(first + HEAD, column, last, column, &rule)?;
        }
        Ok(())
    }

    fn cell(
        &self,
        worksheet: &mut Worksheet,
        (row, column): (u32, u16),
        cell: CellId,
        show: Show,
        index: usize,
    ) -> Result<(), XlsxError> {
        let data = &self.live.book.cells[cell.0];
        let format = looks::cell(show, Some(&data.content));
        let format = match looks::readable(show, data.value.number()) {
            Some(digits) => format.set_num_format(digits),
            None => format,
        };
        let home = self
            .layout
            .spot(cell)
            .is_some_and(|spot| (spot.sheet, spot.row, spot.column) == (index, row, column));
        match &data.content {
            _ if !home => self.reference(worksheet, (row, column), cell, index, &format)?,
            Content::Formula(formula) => {
                let text = format!("={}", self.scribe.formula(formula, index));
                let formula = Written::new(text).set_result(shown(&data.value));
                worksheet.write_formula_with_format(row, column, formula, &format)?;
            }
            Content::Solution { ring, position } => {
                let ring = &self.live.book.rings[*ring];
                if *position == 0 {
                    let corners = [
                        ring.matrix.first().and_then(|row| row.first()),
                        ring.matrix.last().and_then(|row| row.last()),
                        ring.right.first(),
                        ring.right.last(),
                    ];
                    let spots: Vec<_> = corners
                        .into_iter()
                        .flatten()
                        .filter_map(|&cell| self.layout.spot(cell))
                        .collect();
                    if let [first, last, top, bottom] = spots.as_slice() {
                        let matrix = self.layout.range(*first, *last, index);
                        let right = self.layout.range(*top, *bottom, index);
                        let text = format!("{{=MMULT(MINVERSE({matrix}),{right})}}");
                        let formula = Written::new(text).set_result(shown(&data.value));
                        let end = row + ring.right.len() as u32 - 1;
                        worksheet.write_array_formula_with_format(
                            row, column, end, column, formula, &format,
                        )?;
                    }
                } else {
                    // The results of the other unknowns of the same formula.
                    worksheet.write_number_with_format(
                        row,
                        column,
                        data.value.number(),
                        &format,
                    )?;
                }
            }
            Content::Input | Content::Fixed | Content::Held | Content::Given => {
                worksheet.write_number_with_format(row, column, data.value.number(), &format)?;
            }
        }
        Ok(())
    }
}

/// Words, or a whole number such as that of a flight.
fn words_or_number(
    worksheet: &mut Worksheet,
    (row, column): (u32, u16),
    words: &str,
    show: Show,
) -> Result<(), XlsxError> {
    match (show, words.parse::<u32>()) {
        (Show::Whole, Ok(number)) => {
            let format = looks::cell(show, Some(&Content::Formula(0.0.into())));
            worksheet.write_number_with_format(row, column, f64::from(number), &format)?;
        }
        _ => {
            worksheet.write_with_format(row, column, words, &looks::cell(show, None))?;
        }
    }
    Ok(())
}

/// A value as the last result of a formula.
fn shown(value: &Value) -> String {
    match value {
        Value::Number(number) => format!("{number}"),
        Value::Words(words) => words.clone(),
    }
}

/// Colours of the cell that says whether totals hold.
fn colours(worksheet: &mut Worksheet, (row, column): (u32, u16)) -> Result<(), XlsxError> {
    for (words, colour) in [
        ("SOLVE", looks::WRONG),
        ("CONFIRM", looks::DOUBTFUL),
        ("HOLDS", looks::WELL),
        ("AS SOLVED", looks::WELL),
    ] {
        let rule = ConditionalFormatText::new()
            .set_rule(ConditionalFormatTextRule::BeginsWith(words.to_owned()))
            .set_format(Format::new().set_background_color(colour));
        worksheet.add_conditional_format(row, column, row, column, &rule)?;
    }
    Ok(())
}

/// Widths, panes and paper.
fn set_up(worksheet: &mut Worksheet, live: &LivePlan, sheet: Sheet) -> Result<(), XlsxError> {
    worksheet.set_landscape().set_paper_size(9);
    worksheet.set_print_fit_to_pages(1, u16::from(sheet == Sheet::Summary));
    worksheet.set_header("&L&A&R&F");
    worksheet.set_footer("&LCaution and sources: see Summary&RPage &P of &N");
    if sheet == Sheet::Summary {
        return Ok(());
    }
    let tables = || live.book.tables.iter().filter(|table| table.sheet == sheet);
    let columns = tables().map(|table| table.columns.len()).max().unwrap_or(0);
    for column in 0..columns {
        let shows = tables().filter_map(|table| table.columns.get(column));
        let width = shows
            .map(|(_, show)| looks::width(*show))
            .fold(0.0, f64::max);
        worksheet.set_column_width(column as u16, width)?;
    }
    // Headings stay in sight where a sheet has one table.
    let rows = match tables().count() {
        1 => layout::TOP + HEAD,
        _ => 2,
    };
    worksheet.set_freeze_panes(rows, 1)?;
    worksheet.set_repeat_rows(0, rows - 1)?;
    Ok(())
}
