//! A manifest in words that can be read aloud.

use crate::quantity::shown_number;
use crate::report::number::fixed;
use crate::timeline::{Item, Load, Loading};

/// "Flight 2, day 365.25".
pub(super) fn heading(loading: &Loading) -> String {
    match loading.flight {
        0 => "Departure, day 0".to_owned(),
        flight => format!("Flight {flight}, day {}", shown_number(loading.day)),
    }
}

/// What it carries of what it may, and how long that must last.
pub(super) fn opening(loading: &Loading, is_last: bool) -> String {
    let kg = fixed(loading.kg, 2);
    let mut words = match (loading.items.is_empty(), loading.leaving.is_empty()) {
        (true, true) => "Carries nothing, so it need not fly.".to_owned(),
        (true, false) => "Comes empty, and takes waste away.".to_owned(),
        (false, _) => format!("Carries {kg} kg."),
    };
    words += &match (loading.payload_kg, loading.spare_payload_kg()) {
        (Some(payload), Some(left)) => format!(
            " It may carry {} kg, so {} kg of payload remain.",
            fixed(payload, 2),
            fixed(left, 2)
        ),
        _ => " No payload limit is stated.".to_owned(),
    };
    if loading.gear_ratio != 1.0 {
        words += &format!(
            " At a gear ratio of {} that is {} kg at launch.",
            shown_number(loading.gear_ratio),
            fixed(loading.launch_mass_kg(), 2),
        );
    }
    let days = shown_number(loading.days_to_next());
    let until = shown_number(loading.until_day);
    words += &match is_last {
        true => format!(" No flight follows: the mission ends {days} days later, on day {until}."),
        false => format!(" The next flight comes {days} days later, on day {until}."),
    };
    words
}

/// What is loaded, read after the number of pieces: "units", "containers of
/// potable water, full: 27 + 2.6 kg".
pub(super) fn load(item: &Item) -> String {
    let several = item.pieces.is_some_and(|pieces| pieces.number != 1);
    let plural = |word: &str| match several {
        true => format!("{word}s"),
        false => word.to_owned(),
    };
    match &item.load {
        Load::Unit => plural("unit"),
        Load::ReplacementUnit => plural("replacement unit"),
        Load::SparePart { shared_by } if shared_by.is_empty() => plural("spare part"),
        Load::SparePart { shared_by } => {
            format!("{} of {}", plural("spare part"), shared_by.join(", "))
        }
        Load::Cartridge => plural("cartridge"),
        Load::Expendables => "expendables".to_owned(),
        Load::Upkeep => "upkeep supplies".to_owned(),
        Load::Container {
            substance,
            content_kg,
            tare_kg,
            full,
        } => {
            let containers = plural("container");
            let tare = shown_number(*tare_kg);
            match (*content_kg > 0.0, full) {
                (false, _) => format!("empty {containers} for {substance}"),
                (true, true) => format!(
                    "{containers} of {substance}, full: {} + {tare} kg",
                    shown_number(*content_kg)
                ),
                (true, false) => format!(
                    "{containers} of {substance}, part full: {} + {tare} kg",
                    fixed(*content_kg, 2)
                ),
            }
        }
        Load::Packed {
            substance,
            packaging_kg: 0.0,
            ..
        } => substance.clone(),
        Load::Packed {
            substance,
            content_kg,
            packaging_kg,
        } => format!(
            "{substance}: {} + {} kg",
            fixed(*content_kg, 2),
            fixed(*packaging_kg, 2)
        ),
        Load::TransferGas { substance } => format!("{substance} to push the cargo"),
        Load::Reserve { substance } => format!("{substance} as reserve"),
        Load::Tank => format!("empty {}", plural("tank")),
    }
}
