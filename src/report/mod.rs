//! The report: findings become one [`Page`], and renderers read only that.
//!
//! Nothing is worked out here but sums of what is listed.

mod json;
mod number;
mod page;
mod text;

pub use json::render_json;
pub use number::{fixed, share};
pub use page::{Block, Cell, Column, Fact, Page, Table, Tone};
pub use text::render_text;
