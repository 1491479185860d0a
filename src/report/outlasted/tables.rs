//! The tables of random failures.

use crate::report::page::{Cell, Table};
use crate::study::failures::{Failures, Lasting};

/// Parts with their spares, and how often these lasted.
pub(super) fn by_part(failures: &Failures) -> Table {
    let mut table = Table::new(&[
        ("part", ""),
        ("units", ""),
        ("failures expected", ""),
        ("spares", ""),
        ("lasted on", "missions"),
        ("share", ""),
        ("from", ""),
        ("to", ""),
        ("model", ""),
        ("off", ""),
    ]);
    for part in &failures.parts {
        let mut row = vec![
            Cell::text(&part.part),
            Cell::Whole(part.units),
            number(part.expected_failures, 3),
            Cell::Whole(part.spares.into()),
        ];
        row.extend(lasting(&part.lasting));
        table.rows.push(row);
    }
    let mut total = vec![
        Cell::text("all together"),
        Cell::Blank,
        Cell::Blank,
        Cell::Blank,
    ];
    total.extend(lasting(&failures.system));
    table.rows.push(total);
    table
}

/// Spares used, and what falls short first.
pub(super) fn short(failures: &Failures) -> Table {
    let mut table = Table::new(&[
        ("part", ""),
        ("spares used, on average", ""),
        ("by the model", ""),
        ("short on", "missions"),
        ("first", "missions"),
        ("down", "unit days"),
    ]);
    for part in &failures.parts {
        table.rows.push(vec![
            Cell::text(&part.part),
            number(part.spares_used, 3),
            number(part.spares_used_model, 3),
            Cell::Whole(part.lasting.missions - part.lasting.lasted),
            Cell::Whole(part.first_shortfalls),
            part.unit_days_down
                .map_or(Cell::Blank, |days| number(days, 1)),
        ]);
    }
    table
}

/// How often all spares lasted up to each day.
pub(super) fn until(failures: &Failures) -> Table {
    let mut table = Table::new(&[
        ("no shortfall before day", ""),
        ("on", "missions"),
        ("share", ""),
        ("from", ""),
        ("to", ""),
        ("model", ""),
        ("off", ""),
    ]);
    for until in &failures.until {
        let mut row = vec![Cell::Plain(until.day)];
        row.extend(lasting(&until.lasting));
        table.rows.push(row);
    }
    table
}

fn lasting(lasting: &Lasting) -> [Cell; 6] {
    let [low, high] = lasting.interval();
    [
        Cell::Whole(lasting.lasted),
        number(lasting.share(), 5),
        number(low, 5),
        number(high, 5),
        number(lasting.model, 5),
        lasting
            .standard_errors_off()
            .map_or(Cell::Blank, |off| number(off, 1)),
    ]
}

fn number(value: f64, decimals: usize) -> Cell {
    Cell::Number { value, decimals }
}
