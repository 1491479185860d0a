//! The report: findings become one [`Page`], and renderers read only that.
//!
//! Nothing is worked out here but sums of what is listed.

mod against;
mod alternatives;
mod autonomous;
mod csv;
mod derived;
mod diagram;
pub mod drawing;
mod findings;
mod frontier;
mod html;
mod json;
mod manifest;
mod markdown;
mod number;
mod outlasted;
mod page;
mod plot;
mod plots;
mod priced;
mod record;
mod round;
mod solved;
mod swept;
mod text;
mod timed;
mod totals;
mod unsolved;
mod whole;
mod workbook;

pub use against::{against, change_words};
pub use alternatives::alternatives;
pub use autonomous::autonomous;
pub use csv::render_csv;
pub use derived::derived;
pub use diagram::{KeptLayouts, flow_figure, loop_figure, render_dot};
pub use findings::{Findings, Origin, Source, Timing, status_words};
pub use frontier::frontier;
pub use html::{HTML_STYLE, render_html, render_html_fragment};
pub use json::render_json;
pub use manifest::manifest;
pub use markdown::render_markdown;
pub use number::{counted, fixed, share};
pub use outlasted::outlasted;
pub use page::{Block, Cell, Column, Fact, Figure, Page, Table, Tone};
pub use priced::priced;
pub use round::round;
pub use solved::{CAUTION, solved};
pub use swept::{break_even, cadence, compare, sensitivity, sweep, uncertainty};
pub use text::render_text;
pub use timed::timed;
pub use unsolved::{Cause, Statement, no_balance, nothing_found};
pub use whole::{Inputs, Number, Study, Whole, whole};
pub use workbook::render_workbook;
