//! All codes in one table, each with its meaning in one line.
//!
//! Numbers go by subject: 01xx text and fields, 02xx quantities, 03xx nodes,
//! 04xx streams and the graph, 05xx mission, flights, variants and addresses,
//! 06xx not yet supported, 07xx no balance, 08xx files and commands,
//! 09xx internal. A number is never used again for something else.

use super::Code;

macro_rules! codes {
    ($($name:ident = $code:literal, $meaning:literal;)*) => {
        $(#[doc = $meaning] pub const $name: Code = Code($code);)*

        /// Every code with its meaning, in the order of the table.
        pub const ALL: &[(Code, &str)] = &[$(($name, $meaning)),*];
    };
}

codes! {
    // 01xx: text and fields
    SYNTAX = "LW0101", "The text is not well-formed: a bracket, comma, colon or quote is missing or misplaced.";
    TOO_DEEP = "LW0102", "Brackets are nested deeper than any design needs.";
    UNKNOWN_FIELD = "LW0103", "A field that this record does not have.";
    MISSING_FIELD = "LW0104", "A field that must be stated was left out.";
    DUPLICATE_FIELD = "LW0105", "A field is given twice in one record.";
    DUPLICATE_KEY = "LW0106", "A name is given twice in one map.";
    MISTYPED = "LW0107", "A value of one sort stands where another is wanted.";
    UNKNOWN_CHOICE = "LW0108", "A word that is none of the choices here.";
    WRONG_ITEM_COUNT = "LW0109", "Too few or too many values in a pair of parentheses.";
    PARENTHESES = "LW0110", "Parentheses are missing after a word that needs them, or stand after one that takes none.";
    WRITTEN_SOME = "LW0111", "Some(...) is written out; optional values are written plainly.";
    QUOTES = "LW0112", "A text or a name needs quotes, or a word has quotes that it must not have.";

    // 02xx: quantities
    BARE_NUMBER = "LW0201", "A number without a unit where a quantity is wanted.";
    UNKNOWN_UNIT = "LW0202", "A unit that is not known.";
    WRONG_DIMENSION = "LW0203", "A unit that measures something else than the field wants.";
    NOT_A_NUMBER = "LW0204", "A quantity or number that cannot be read.";
    NOT_FINITE = "LW0205", "A number that is not finite.";
    PERCENT = "LW0206", "A percentage or a division where a fraction between 0 and 1 is wanted.";
    OUT_OF_RANGE = "LW0207", "A number outside the range that makes sense here.";
    LITRES = "LW0208", "Litres where a mass is wanted, for something that is not a grade of water.";
    NOT_WHOLE = "LW0209", "A whole number is wanted.";
    SPREAD = "LW0210", "A spread that does not fit its value.";

    // 05xx: mission, flights, variants and addresses
    UNKNOWN_ADDRESS = "LW0501", "An address that leads to nothing in the design.";
}

/// The meaning of a code, by its number; upper and lower case alike.
///
/// ```
/// use loopwright::diagnostic::codes;
/// assert!(codes::meaning("lw0103").is_some_and(|(_, meaning)| meaning.contains("field")));
/// assert!(codes::meaning("LW9999").is_none());
/// ```
pub fn meaning(code: &str) -> Option<(Code, &'static str)> {
    ALL.iter()
        .copied()
        .find(|(known, _)| known.0.eq_ignore_ascii_case(code.trim()))
}

#[cfg(test)]
mod tests {
    use super::ALL;
    use std::collections::BTreeSet;

    #[test]
    fn every_code_is_unique_and_well_formed() {
        let mut seen = BTreeSet::new();
        for (code, meaning) in ALL {
            assert!(seen.insert(code.0), "{code} is declared twice");
            let digits = code.0.strip_prefix("LW").unwrap_or("");
            assert!(
                digits.len() == 4 && digits.chars().all(|c| c.is_ascii_digit()),
                "{code} is not LW and four digits"
            );
            assert!(meaning.ends_with('.'), "{code}: a meaning is a sentence");
        }
    }
}
