//! Prices as tables.

use crate::network::Network;
use crate::report::page::{Cell, Page, Table};
use crate::study::prices::{Change, Effect, Price, What};

/// Slopes with the units held.
pub(super) fn held(page: &mut Page, network: &Network, prices: &[&Price]) {
    let mut table = Table::new(&[
        ("", ""),
        ("phase", ""),
        ("now", ""),
        ("unit", ""),
        ("one more", "kg"),
        ("one less", "kg"),
        ("one more, per kg", "kg"),
    ])
    .captioned("At this hardware, per unit:");
    for price in prices {
        let Some([more, less]) = &price.at_this_hardware else {
            continue;
        };
        table.rows.push(vec![
            Cell::text(price.what.words(network)),
            phase(network, &price.what),
            Cell::Plain(price.now),
            unit(&price.what),
            per_unit(more),
            per_unit(less),
            by_the_kilogram(network, &price.what, more),
        ]);
    }
    page.table(table.without_blank_columns());
}

/// Whole steps with everything chosen anew.
pub(super) fn free(page: &mut Page, network: &Network, prices: &[&Price]) {
    let mut table = Table::new(&[
        ("", ""),
        ("phase", ""),
        ("step", ""),
        ("unit", ""),
        ("changes by", "kg"),
        ("units that change", ""),
    ])
    .captioned("With hardware free, for the whole step:");
    for price in prices {
        for change in price.hardware_free.iter().flatten() {
            let step = match change.effect {
                Effect::NothingThere => continue,
                _ => signed(change.step),
            };
            table.rows.push(vec![
                Cell::text(price.what.words(network)),
                phase(network, &price.what),
                Cell::text(step),
                unit(&price.what),
                changed(change),
                units(network, change),
            ]);
        }
    }
    page.table(table.without_blank_columns());
}

fn phase(network: &Network, what: &What) -> Cell {
    match what.phases().as_slice() {
        [] => Cell::Blank,
        [one] => Cell::text(&network.calendar.phases[*one].name),
        _ => Cell::text("all"),
    }
}

fn unit(what: &What) -> Cell {
    match what.unit() {
        "" => Cell::Blank,
        unit => Cell::text(unit),
    }
}

fn signed(step: f64) -> String {
    let size = crate::quantity::shown_number(step.abs());
    match step < 0.0 {
        true => format!("-{size}"),
        false => format!("+{size}"),
    }
}

fn per_unit(change: &Change) -> Cell {
    match change.per_unit() {
        Some(kg) => Cell::Number {
            value: kg,
            decimals: 3,
        },
        None => Cell::text(words(&change.effect)),
    }
}

fn by_the_kilogram(network: &Network, what: &What, change: &Change) -> Cell {
    let days: f64 = what
        .phases()
        .iter()
        .map(|&phase| network.calendar.phases[phase].days)
        .sum();
    match (what, change.per_unit()) {
        (What::Demand { .. } | What::Use { .. }, Some(kg)) if days > 0.0 => Cell::Number {
            value: kg / days,
            decimals: 4,
        },
        _ => Cell::Blank,
    }
}

fn changed(change: &Change) -> Cell {
    match &change.effect {
        Effect::Mass { kg, .. } => Cell::kg(*kg),
        other => Cell::text(words(other)),
    }
}

fn units(network: &Network, change: &Change) -> Cell {
    let mut points = Vec::new();
    if let Effect::Mass { proved, units, .. } = &change.effect {
        for (node, before, after) in units {
            points.push(format!("{} {before} → {after}", network.name(*node)));
        }
        if !proved {
            points.push("not proved".to_owned());
        }
    }
    match points.is_empty() {
        true => Cell::Blank,
        false => Cell::text(points.join(", ")),
    }
}

/// What came of a step without a mass.
pub(super) fn words(effect: &Effect) -> String {
    match effect {
        Effect::Mass { .. } => "another mass".to_owned(),
        Effect::NoBalance => "no balance".to_owned(),
        Effect::NotAllowed(why) => format!("not allowed: {why}"),
        Effect::NothingThere => "nothing there".to_owned(),
        Effect::Unknown => "not known".to_owned(),
    }
}
