//! The page of a code: why it is refused, a wrong and a right example, and
//! what to do next. One file each in `pages/`, joined to its code in
//! [`codes`](super::codes).

use serde::Deserialize;

/// What is said about a code beyond its meaning.
#[derive(Clone, PartialEq, Eq, Debug, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Page {
    /// Why it is refused, or warned of.
    pub why: String,
    /// Small examples that get this code together; none where no design can.
    pub wrong: Vec<Example>,
    /// The same put right.
    pub right: Vec<Example>,
    /// What to do next.
    pub next: String,
}

/// A piece of a design, or a command.
#[derive(Clone, PartialEq, Eq, Debug, Deserialize)]
pub enum Example {
    /// Entries that stand in a field of the design (`nodes`), or in the design
    /// itself (`Design`).
    In(String, String),
    /// A command.
    Run(String),
}

impl Page {
    /// Reads the text of a page; a line break counts as a space.
    pub(super) fn read(text: &str) -> Result<Page, String> {
        let mut page: Page = ron::from_str(text).map_err(|error| error.to_string())?;
        for words in [&mut page.why, &mut page.next] {
            *words = words.split_whitespace().collect::<Vec<_>>().join(" ");
        }
        for example in page.wrong.iter_mut().chain(&mut page.right) {
            let (Example::In(_, lines) | Example::Run(lines)) = example;
            *lines = lines.trim_matches('\n').to_owned();
        }
        Ok(page)
    }
}
