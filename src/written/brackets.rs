//! Which brackets are open at a point of a text; used only to explain a text
//! that is not well-formed.

/// The brackets that are open at the end of a text, outermost first, each with
/// its byte. Texts in quotes and comments are passed over; a closing bracket
/// closes the innermost one of its sort and all inside it.
pub(super) fn open_at_end(text: &str) -> Vec<(char, usize)> {
    let mut open: Vec<(char, usize)> = Vec::new();
    let mut at = 0;
    while let Some(rest) = text.get(at..)
        && let Some(letter) = rest.chars().next()
    {
        at += match letter {
            '"' => super::parse::quoted(rest, '"'),
            '/' if rest.starts_with("//") => rest.find('\n').unwrap_or(rest.len()),
            '/' if rest.starts_with("/*") => rest.len() - super::parse::after_space(rest).len(),
            '(' | '[' | '{' => {
                open.push((letter, at));
                1
            }
            ')' | ']' | '}' => {
                let opener = partner(letter);
                if let Some(index) = open.iter().rposition(|(open, _)| *open == opener) {
                    open.truncate(index);
                }
                1
            }
            _ => letter.len_utf8(),
        };
    }
    open
}

/// The bracket at the other end.
pub(super) fn partner(bracket: char) -> char {
    match bracket {
        '(' => ')',
        '[' => ']',
        '{' => '}',
        ')' => '(',
        ']' => '[',
        '}' => '{',
        other => other,
    }
}

#[cfg(test)]
mod tests {
    use super::open_at_end;

    #[test]
    fn texts_and_comments_are_passed_over() {
        assert_eq!(
            open_at_end("a(\")\" // )\n [ /* ] */ {}"),
            [('(', 1), ('[', 12)]
        );
        assert_eq!(open_at_end(r#"a("\")" ["#), [('(', 1), ('[', 8)]);
        assert!(open_at_end("a(b[c)").is_empty());
    }

    #[test]
    fn broken_texts_end() {
        assert_eq!(open_at_end("(\"open"), [('(', 0)]);
        assert_eq!(open_at_end("(/* open"), [('(', 0)]);
        assert_eq!(open_at_end("(/ )³"), []);
    }
}
