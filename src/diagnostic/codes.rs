//! All codes in one table, each with its meaning in one line; a page of its
//! own in `pages/` says why, what is wrong and right, and what to do.
//!
//! Numbers go by subject: 01xx text and fields, 02xx quantities, 03xx nodes,
//! 04xx streams and the graph, 05xx mission, flights, variants and addresses,
//! 06xx not yet supported, 07xx no balance, 08xx files and commands,
//! 09xx internal. A number is never used again for something else.

use super::{Code, Page};

macro_rules! codes {
    ($($name:ident = $code:literal, $meaning:literal;)*) => {
        $(#[doc = $meaning] pub const $name: Code = Code($code);)*

        /// Every code with its meaning, in the order of the table.
        pub const ALL: &[(Code, &str)] = &[$(($name, $meaning)),*];

        /// The text of the page of every code; one without does not compile.
        const PAGES: &[(Code, &str)] =
            &[$(($name, include_str!(concat!("pages/", $code, ".ron")))),*];
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

    // 03xx: nodes
    UNKNOWN_KIND = "LW0301", "A kind of node that does not exist.";
    UNKNOWN_SUBSTANCE = "LW0302", "A substance that is neither built in nor declared.";
    YIELDS_SUM = "LW0303", "Fractions of what is taken that do not sum to 1.";
    CAPACITY_WANTED = "LW0304", "A unit without a capacity whose number is open or that has a turndown.";
    COUNT_WITHOUT_UNIT = "LW0305", "A count of units where no unit is stated.";
    COUNT_RANGE = "LW0306", "A range of counts that leaves nothing, or more units than a node may have.";
    CREW_RATES = "LW0307", "Crew rates that are half stated, or stated beside a profile.";
    CREW_CLOSURE = "LW0308", "Stated crew rates that take more than they give, or less.";
    UNKNOWN_PROFILE = "LW0309", "A crew profile that is not published here.";
    CONDENSER_AIR = "LW0310", "An air flow from which no capacity of a condenser follows.";
    NOTHING_TURNED = "LW0311", "A processor without a feed.";
    NOT_WATER = "LW0312", "Something other than a grade of water where water is split.";
    REACTION = "LW0313", "A reaction that cannot be read or does not balance.";
    RECIPE_MASSES = "LW0314", "A recipe whose masses in and out differ.";
    TANK = "LW0315", "A tank that is neither a tare fraction nor whole tanks.";
    PACKING = "LW0316", "Cargo with packaging and containers at once.";
    ELEMENTS = "LW0317", "A conversion that makes or loses a chemical element.";
    PROFILES_DIFFER = "LW0318", "Two crew nodes that name different published profiles.";
    SHARES_SUM = "LW0319", "Crew shares that do not add up to the whole crew.";
    SHARED_PART = "LW0320", "Nodes that share a part but not its mass or error factor.";

    TRANSFER = "LW0322", "A transfer that says too little, or has no store to go into.";
    SUBSTANCE = "LW0321", "A substance whose declaration does not hold together, or disagrees with a built-in one.";

    // 04xx: streams and the graph
    UNKNOWN_NODE = "LW0401", "A node that is not declared.";
    NOT_TAKEN = "LW0402", "A stream to a node that does not take its substance.";
    NOT_GIVEN = "LW0403", "A stream from a node that does not give its substance.";
    NOWHERE_TO_GO = "LW0404", "Something made that has no stream to leave by.";
    NOBODY_GIVES = "LW0405", "Something needed that no stream brings.";
    SHORT_WAY = "LW0406", "A way through the graph with fewer than two hops.";
    REPEATED_STREAM = "LW0407", "A stream that is written twice.";
    TO_ITSELF = "LW0408", "A stream from a node to itself.";
    INTO_STORE = "LW0409", "Cargo transferred into something that is not a store of it, or without a stream to it.";
    NEVER_DRAWN = "LW0410", "A store from which nothing is drawn.";
    UNREACHED = "LW0411", "A node that no stream reaches, or that one reaches only on one side.";

    // 05xx: mission, flights, variants and addresses
    UNKNOWN_ADDRESS = "LW0501", "An address that leads to nothing in the design.";
    UNKNOWN_PHASE = "LW0502", "A phase that the mission does not have.";
    UNKNOWN_OCCASION = "LW0503", "An occasion that no phase names.";
    FORMAT_VERSION = "LW0504", "A format version that this tool does not know.";
    NO_PHASES = "LW0505", "A mission without phases, or a phase without length.";
    REPEATED_PHASE = "LW0506", "Two phases of the same name.";
    FLIGHTS = "LW0507", "Flights that are out of order, outside the mission, or stated beside a resupply.";
    UNKNOWN_VARIANT = "LW0508", "A variant that the design does not have.";
    EXCLUSIVE = "LW0510", "An exclusive group that cannot be: too small, without units, or with two that must fly.";
    USE = "LW0512", "A use of a catalogue unit that no catalogue has, or that is not clear.";
    UNKNOWN_SETTING = "LW0513", "A published setting of equivalency factors that does not exist.";
    DEPARTURE = "LW0514", "A date of departure that is no date.";
    FAULT = "LW0515", "A fault that cannot be: no such flight, no such days, nothing that fails.";
    CONFIDENCE = "LW0511", "A confidence that is not between 0 and 1.";
    WATER_ROUND = "LW0520", "A part of the water round that the design's nodes and streams do not have, or that is not clear.";

    // 07xx: no balance
    SURPLUS = "LW0701", "More of a substance comes to a place than everything that takes it can use, and there is no other way out.";
    SHORTAGE = "LW0702", "A need that is larger than what can reach it.";
    LIMIT_EXCEEDED = "LW0703", "A limit on power, heat, crew time or volume that is lower than what the design asks for.";
    WASTE = "LW0704", "More waste than may be kept aboard or is taken away by departing vehicles.";
    PAYLOAD_EXCEEDED = "LW0705", "Flights that cannot carry what must be aboard.";
    EXCLUSIVE_EXCEEDED = "LW0706", "A group of which only one node may have units, though more are needed.";
    TURNDOWN = "LW0707", "A unit that must treat more than reaches it whenever it runs.";
    CAUSE_UNTOLD = "LW0708", "No balance, and the search for the cause was not brought to its end.";

    // 08xx: files and commands
    UNREADABLE_FILE = "LW0801", "A file that cannot be read.";
    UNWRITABLE_FILE = "LW0802", "An output file that cannot be written.";
    VALUES = "LW0805", "A list or range of values for a study that cannot be read.";
    KEPT_CELLS = "LW0804", "A file of a study's cells that is of another study, is damaged or lacks some.";
    CANNOT_LISTEN = "LW0806", "An address or port that the live page cannot listen on.";
    PICTURE = "LW0807", "A picture in a form that is not written.";
    UNKNOWN_NAME = "LW0803", "A name on the command line that nothing here has.";

    // 09xx: internal
    INTERNAL_FAULT = "LW0901", "A mistake of this tool, not of the design.";
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

/// The page of a code.
///
/// # Errors
///
/// In words, for a code of no table or a page that cannot be read, which would
/// be a fault of this tool.
pub fn page(code: Code) -> Result<Page, String> {
    let (_, text) = PAGES
        .iter()
        .find(|(known, _)| *known == code)
        .ok_or_else(|| format!("{code} has no page"))?;
    Page::read(text).map_err(|error| format!("page of {code}: {error}"))
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
