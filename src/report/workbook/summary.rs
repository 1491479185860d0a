//! The first sheet: outcome, totals, what is what, caution.

use rust_xlsxwriter::{
    Chart, ChartFont, ChartType, FormatAlign, Formula as Written, Worksheet, XlsxError,
};

use super::{Desk, colours, looks};
use crate::report::findings::{minimised, status_words};
use crate::report::solved::CAUTION;
use crate::study::live::{Content, Entry, Sheet, Show, Table};

/// Columns of the summary: names, numbers, remarks.
const WIDTHS: [f64; 3] = [36.0, 20.0, 76.0];

/// Writes the summary.
pub(super) fn write(desk: &Desk, worksheet: &mut Worksheet) -> Result<(), XlsxError> {
    let plan = desk.findings.plan;
    let network = plan.network();
    let answer = plan.answer();
    for (column, width) in WIDTHS.into_iter().enumerate() {
        worksheet.set_column_width(column as u16, width)?;
    }
    worksheet.write_with_format(0, 0, &network.title, &looks::title())?;
    worksheet.set_row_height(0, 24)?;
    let mut page = Page {
        desk,
        worksheet,
        row: 1,
    };
    if let Some(summary) = &network.summary {
        page.remark(summary)?;
    }
    page.caution()?;
    page.heading("Whether the totals hold")?;
    page.verdict()?;
    page.heading("Totals")?;
    page.totals(minimised(plan))?;
    page.breakdown("By category", "Initial mass by category, kg")?;
    page.heading("As solved")?;
    let proof = &answer.proof;
    page.words(
        "status",
        status_words(proof.status),
        "optimal: proved the lightest, to the gap",
    )?;
    page.number("gap", proof.gap, "0.0E+00", "(mass - bound) / mass")?;
    let residual = plan.report().worst_residual;
    page.number(
        "worst residual of the audit",
        residual,
        "0.0E+00",
        "every balance, limit and ledger line, checked apart from the solver",
    )?;
    if let Some(variant) = &desk.findings.origin.variant {
        page.words("variant", variant, "")?;
    }
    for edit in &desk.findings.origin.edits {
        page.words("changed on the command line", "", edit)?;
    }
    page.words(
        "version",
        concat!("loopwright ", env!("CARGO_PKG_VERSION")),
        "",
    )?;
    page.words("input, SHA-256", "", &desk.findings.origin.input_sha256)?;
    page.heading("How to read it")?;
    page.legend()?;
    if !desk.findings.origin.sources.is_empty() {
        page.heading("Sources of figures")?;
        for source in &desk.findings.origin.sources {
            page.words(&source.figure, "", &source.words)?;
        }
    }
    Ok(())
}

struct Page<'a, 'd, 'w> {
    desk: &'a Desk<'d>,
    worksheet: &'w mut Worksheet,
    row: u32,
}

impl Page<'_, '_, '_> {
    fn heading(&mut self, words: &str) -> Result<(), XlsxError> {
        self.row += 1;
        self.worksheet
            .write_with_format(self.row, 0, words, &looks::heading())?;
        self.worksheet.set_row_height(self.row, 20)?;
        self.row += 1;
        Ok(())
    }

    fn remark(&mut self, words: &str) -> Result<(), XlsxError> {
        self.worksheet
            .write_with_format(self.row, 0, words, &looks::remark())?;
        self.row += 1;
        Ok(())
    }

    fn caution(&mut self) -> Result<(), XlsxError> {
        self.row += 1;
        let format = looks::wrapped().set_background_color(looks::DOUBTFUL);
        let words = format!("Caution: {CAUTION}");
        let letters: f64 = WIDTHS.iter().sum();
        let lines = (words.chars().count() as f64 * 1.05 / letters).ceil();
        self.worksheet
            .merge_range(self.row, 0, self.row, 2, &words, &format)?;
        self.worksheet
            .set_row_height(self.row, 15.0 * lines + 4.0)?;
        self.row += 1;
        Ok(())
    }

    fn verdict(&mut self) -> Result<(), XlsxError> {
        let live = self.desk.live;
        let at = (self.row, 0);
        let format = looks::bold().set_font_size(12);
        self.desk
            .reference(self.worksheet, at, live.verdict, 0, &format)?;
        colours(self.worksheet, at)?;
        self.worksheet.set_row_height(self.row, 20)?;
        self.row += 1;
        self.remark("Hardware stays as solved. Everything that is brought, and the total, follow the coloured cells on Inputs.")
    }

    fn totals(&mut self, minimised: &str) -> Result<(), XlsxError> {
        let live = self.desk.live;
        let kilograms = looks::bold().set_num_format(looks::digits(Show::Kilograms));
        let mut rows = vec![("launch mass, kg", live.launch_mass)];
        let words = format!("{minimised}, kg");
        if live.minimised != live.launch_mass {
            rows.push((&words, live.minimised));
        }
        for (words, cell) in rows {
            self.worksheet
                .write_with_format(self.row, 0, words, &looks::plain())?;
            self.desk
                .reference(self.worksheet, (self.row, 1), cell, 0, &kilograms)?;
            self.row += 1;
            let solved = live.book.number(cell);
            let format = looks::plain().set_num_format(looks::digits(Show::Kilograms));
            self.worksheet
                .write_with_format(self.row, 0, "  as solved, kg", &looks::plain())?;
            self.worksheet
                .write_number_with_format(self.row, 1, solved, &format)?;
            self.row += 1;
            self.worksheet
                .write_with_format(self.row, 0, "  moved by, kg", &looks::plain())?;
            // What is left by rounding is no move, and has no sign.
            let (now, then) = (self.row - 1, self.row);
            let text = format!("=IF(ABS(B{now}-B{then})<0.000001,0,B{now}-B{then})");
            let formula = Written::new(text).set_result("0");
            self.worksheet
                .write_formula_with_format(self.row, 1, formula, &format)?;
            self.row += 1;
        }
        Ok(())
    }

    fn words(&mut self, name: &str, value: &str, remark: &str) -> Result<(), XlsxError> {
        self.worksheet
            .write_with_format(self.row, 0, name, &looks::plain())?;
        let right = looks::plain().set_align(FormatAlign::Right);
        self.worksheet
            .write_with_format(self.row, 1, value, &right)?;
        self.worksheet
            .write_with_format(self.row, 2, remark, &looks::remark().set_indent(1))?;
        self.row += 1;
        Ok(())
    }

    fn number(
        &mut self,
        name: &str,
        value: f64,
        digits: &str,
        remark: &str,
    ) -> Result<(), XlsxError> {
        let format = looks::plain().set_num_format(digits);
        self.worksheet
            .write_with_format(self.row, 0, name, &looks::plain())?;
        self.worksheet
            .write_number_with_format(self.row, 1, value, &format)?;
        self.worksheet
            .write_with_format(self.row, 2, remark, &looks::remark().set_indent(1))?;
        self.row += 1;
        Ok(())
    }

    fn legend(&mut self) -> Result<(), XlsxError> {
        for (content, name, words) in [
            (
                Content::Input,
                "input",
                "a number of the design: change it and the totals follow",
            ),
            (
                Content::Fixed,
                "input, solve again",
                "a number of the design: changing it always wants a new solve",
            ),
            (
                Content::Held,
                "held",
                "chosen by the plan and held, such as units",
            ),
            (
                Content::Given,
                "given",
                "published, of chemistry, or as solved",
            ),
        ] {
            let format = looks::cell(Show::Short, Some(&content));
            self.worksheet
                .write_with_format(self.row, 1, name, &format)?;
            self.worksheet
                .write_with_format(self.row, 2, words, &looks::plain().set_indent(1))?;
            self.row += 1;
        }
        self.worksheet.write_with_format(
            self.row,
            1,
            "formula",
            &looks::cell(Show::Short, Some(&Content::Formula(0.0.into()))),
        )?;
        self.worksheet.write_with_format(
            self.row,
            2,
            "all else; inputs are named cells, the name is beside each on Inputs",
            &looks::plain().set_indent(1),
        )?;
        self.row += 1;
        Ok(())
    }

    /// The rows of a table of the ledger, and a picture of them.
    fn breakdown(&mut self, title: &str, words: &str) -> Result<(), XlsxError> {
        let desk = self.desk;
        let mut tables = desk.live.book.tables.iter();
        let found = tables.position(|table| table.sheet == Sheet::Ledger && table.title == title);
        let Some(index) = found else { return Ok(()) };
        let table: &Table = &desk.live.book.tables[index];
        self.heading(words)?;
        let first = self.row;
        for row in &table.rows {
            let [Entry::Words(name), Entry::Cell(cell)] = row.as_slice() else {
                continue;
            };
            let format = looks::plain().set_num_format(looks::digits(Show::Kilograms));
            self.worksheet
                .write_with_format(self.row, 0, name, &looks::plain())?;
            desk.reference(self.worksheet, (self.row, 1), *cell, 0, &format)?;
            self.row += 1;
        }
        if self.row == first {
            return Ok(());
        }
        let last = self.row - 1;
        let mut chart = Chart::new(ChartType::Bar);
        chart
            .add_series()
            .set_categories((Sheet::Summary.name(), first, 0, last, 0))
            .set_values((Sheet::Summary.name(), first, 1, last, 1))
            .set_format(
                rust_xlsxwriter::ChartFormat::new().set_solid_fill(
                    rust_xlsxwriter::ChartSolidFill::new()
                        .set_color(rust_xlsxwriter::Color::RGB(0x2F_6690)),
                ),
            );
        chart
            .title()
            .set_name(words)
            .set_font(ChartFont::new().set_size(11));
        chart.legend().set_hidden();
        chart.x_axis().set_name("kg");
        chart.y_axis().set_reverse();
        chart
            .set_width(640)
            .set_height(60 + 34 * (last - first + 1));
        self.worksheet.insert_chart(first, 2, &chart)?;
        // Room for the picture: its rows are 20 px.
        let rows = (60 + 34 * (last - first + 1)).div_ceil(20) + 1;
        self.row = self.row.max(first + rows);
        Ok(())
    }
}
