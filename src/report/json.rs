//! A page as a program reads it.

use super::page::Page;

/// The data of the page as indented JSON with a final line break.
pub fn render_json(page: &Page) -> String {
    // The alternate form of a JSON value is its indented text; it cannot fail.
    format!("{:#}\n", page.data)
}
