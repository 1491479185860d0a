//! Names over several lines.

use crate::report::drawing::{clipped, text_width};

/// More lines than this are cut.
const LINES: usize = 3;

/// Words in lines of at most a width, px; a word that is longer by itself is cut, and so is
/// what would go beyond the third line.
pub(super) fn wrapped(words: &str, size: f64, bold: bool, width: f64) -> Vec<String> {
    let mut lines: Vec<String> = Vec::new();
    for word in words.split_whitespace() {
        let joined = lines.last().map(|line| format!("{line} {word}"));
        match (joined, lines.last_mut()) {
            (Some(joined), Some(last)) if text_width(&joined, size, bold) <= width => {
                *last = joined;
            }
            _ => lines.push(word.to_owned()),
        }
    }
    if lines.len() > LINES {
        let rest = lines.split_off(LINES - 1).join(" ");
        lines.push(rest);
    }
    lines
        .iter()
        .map(|line| clipped(line, size, bold, width * 1.3))
        .collect()
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn names_are_broken_between_words() {
        assert_eq!(wrapped("drum still", 12.0, true, 92.0), ["drum still"]);
        assert_eq!(
            wrapped("captured carbon dioxide", 11.0, false, 84.0),
            ["captured", "carbon dioxide"]
        );
        let lines = wrapped(&"long names ".repeat(9), 11.0, false, 84.0);
        assert!(lines.len() == 3 && lines[2].ends_with('…'));
        assert_eq!(wrapped("", 11.0, false, 84.0), Vec::<String>::new());
    }
}
