//! How cells look: what is typed in, what is held, what is worked out.

use rust_xlsxwriter::{Color, Format, FormatAlign, FormatBorder};

use crate::study::live::{Content, Show};

/// Text.
pub(super) const INK: Color = Color::RGB(0x1F_2933);
/// Remarks.
const FAINT: Color = Color::RGB(0x52_5F6B);
/// Lines.
const LINE: Color = Color::RGB(0xB8_C1CA);
/// Headings.
const HEADING: Color = Color::RGB(0xE3_E8ED);
/// Cells to type in.
const TYPED: Color = Color::RGB(0xFF_F4CC);
/// Cells that want a new solve.
const FIXED: Color = Color::RGB(0xDD_DDDD);
/// Cells that the plan chose.
const HELD: Color = Color::RGB(0xDD_EBF7);
/// What is well.
pub(super) const WELL: Color = Color::RGB(0xD5_EFD9);
/// What is doubtful.
pub(super) const DOUBTFUL: Color = Color::RGB(0xFF_E2B3);
/// What is wrong.
pub(super) const WRONG: Color = Color::RGB(0xF8_C9C4);

/// The typeface of everything.
const FACE: &str = "Arial";

pub(super) fn plain() -> Format {
    Format::new()
        .set_font_name(FACE)
        .set_font_size(10)
        .set_font_color(INK)
        .set_align(FormatAlign::VerticalCenter)
}

pub(super) fn title() -> Format {
    plain().set_bold().set_font_size(16)
}

pub(super) fn heading() -> Format {
    plain().set_bold().set_font_size(12)
}

pub(super) fn remark() -> Format {
    plain().set_font_color(FAINT).set_italic()
}

pub(super) fn wrapped() -> Format {
    plain().set_text_wrap().set_align(FormatAlign::Top)
}

pub(super) fn bold() -> Format {
    plain().set_bold()
}

/// A heading of a column, over words or over numbers.
pub(super) fn column_heading(show: Show) -> Format {
    let format = plain()
        .set_bold()
        .set_text_wrap()
        .set_background_color(HEADING)
        .set_border_bottom(FormatBorder::Thin)
        .set_border_bottom_color(INK);
    match is_number(show) {
        true => format.set_align(FormatAlign::Right),
        false => format.set_indent(1),
    }
}

/// A cell of a table.
pub(super) fn cell(show: Show, content: Option<&Content>) -> Format {
    let format = plain()
        .set_border_bottom(FormatBorder::Hair)
        .set_border_bottom_color(LINE);
    let format = match content {
        None => format.set_indent(1),
        Some(_) => format
            .set_num_format(digits(show))
            .set_align(FormatAlign::Right),
    };
    match content {
        Some(Content::Input) => format
            .set_background_color(TYPED)
            .set_border(FormatBorder::Thin)
            .set_border_color(LINE),
        Some(Content::Fixed) => format.set_background_color(FIXED),
        Some(Content::Held) => format.set_background_color(HELD),
        Some(Content::Given) => format.set_font_color(FAINT),
        _ => format,
    }
}

/// The form of a number that may have more digits than anyone reads: six after the
/// point where it has more.
pub(super) fn readable(show: Show, value: f64) -> Option<&'static str> {
    let scaled = value * 1e6;
    (show == Show::Plain && (scaled - scaled.round()).abs() > 1e-6).then_some("0.000000")
}

/// The form of numbers.
pub(super) fn digits(show: Show) -> &'static str {
    match show {
        Show::Kilograms => "#,##0.00;-#,##0.00;–",
        Show::Rate => "#,##0.0000;-#,##0.0000;–",
        Show::Whole => "#,##0",
        Show::Probability => "0.00000",
        Show::Bound => "[>=1E+98]\"no end\";[<=-1E+98]\"no end\";General",
        Show::Holds => "\"NO\";\"NO\";\"yes\"",
        Show::State => "[=0]\"as solved\";[=1]\"moved\";\"SOLVE AGAIN\"",
        Show::Short | Show::Words | Show::Long | Show::Plain => "General",
    }
}

fn is_number(show: Show) -> bool {
    !matches!(show, Show::Short | Show::Words | Show::Long)
}

/// Width of a column, in letters.
pub(super) fn width(show: Show) -> f64 {
    match show {
        Show::Long => 46.0,
        Show::Words => 24.0,
        Show::Probability => 10.0,
        Show::Short | Show::Kilograms | Show::Rate | Show::Whole | Show::Plain => 14.0,
        Show::Bound | Show::Holds | Show::State => 14.0,
    }
}
