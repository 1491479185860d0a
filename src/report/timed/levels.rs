//! How full everything is.

use super::table_with_when;
use crate::audit::Plan;
use crate::kinds::Stock;
use crate::network::Network;
use crate::report::page::{Cell, Page, Table};
use crate::timeline::{Kept, Timeline, Track, days_of_cover};

/// Tables of everything that runs out, and of waste.
pub(super) fn levels(page: &mut Page, plan: &Plan, timeline: &Timeline) {
    page.heading("What is aboard");
    page.paragraph(
        "Levels are exact: between two events they are straight lines. Least is the first low of \
         the mission; \"lasts\" is how many days it would last from there at the planned use if \
         nothing more came, blank where it lasts to the end. A store counts its reserve and cargo \
         transferred into it, and lasts as long as it alone can feed what it feeds.",
    );
    let (supplies, waste): (Vec<&Track>, Vec<&Track>) = timeline
        .tracks
        .iter()
        .partition(|track| track.what.runs_out());
    page.table(supply(plan, &supplies));
    page.table(kept_waste(plan.network(), &waste));
}

/// What a track holds, if it is one substance.
pub(super) fn substance<'a>(network: &'a Network, track: &Track) -> Option<&'a str> {
    match &network.duties(track.node).stock {
        Some(Stock::Delivered { substance, .. } | Stock::Kept { substance, .. }) => {
            Some(network.substances.name(*substance))
        }
        None => None,
    }
}

/// What a track is, in a word or two.
pub(super) fn words(network: &Network, track: &Track) -> String {
    let substance = substance(network, track);
    match (track.what, substance) {
        (Kept::Store | Kept::Cargo, Some(substance)) => substance.to_owned(),
        (Kept::Waste, _) => "waste".to_owned(),
        (Kept::Upkeep, _) => "upkeep supplies".to_owned(),
        (what, _) => what.key().to_owned(),
    }
}

fn amount(track: &Track, value: f64) -> Cell {
    Cell::Number {
        value,
        decimals: match track.what {
            Kept::Cartridges => 1,
            _ => 2,
        },
    }
}

fn supply(plan: &Plan, tracks: &[&Track]) -> Table {
    let network = plan.network();
    let calendar = &network.calendar;
    let mut table = table_with_when(
        calendar,
        &[
            ("at", ""),
            ("of", ""),
            ("unit", ""),
            ("at start", ""),
            ("most", ""),
            ("least", ""),
        ],
        &[("lasts", "d"), ("at end", "")],
    );
    for track in tracks {
        let least = track.least();
        let lasts = days_of_cover(calendar, least.day, least.level, &track.use_per_day);
        let mut row = vec![
            Cell::text(network.name(track.node)),
            Cell::text(words(network, track)),
            Cell::text(track.what.unit()),
            amount(track, track.level(0.0).unwrap_or(0.0)),
            amount(track, track.most().level),
            amount(track, least.level),
        ];
        row.extend(super::when(calendar, least.day));
        row.push(match lasts {
            Some(days) if least.day < calendar.mission_days() => Cell::Number {
                value: days,
                decimals: 1,
            },
            _ => Cell::Blank,
        });
        row.push(amount(track, track.at_end()));
        table.rows.push(row);
    }
    table
}

fn kept_waste(network: &Network, tracks: &[&Track]) -> Table {
    let mut table = table_with_when(
        &network.calendar,
        &[("waste kept at", ""), ("most", "kg")],
        &[("room", "kg"), ("at end", "kg")],
    );
    for track in tracks {
        let most = track.most();
        let mut row = vec![
            Cell::text(network.name(track.node)),
            amount(track, most.level),
        ];
        row.extend(super::when(&network.calendar, most.day));
        row.push(track.room.map_or(Cell::Blank, Cell::kg));
        row.push(amount(track, track.at_end()));
        table.rows.push(row);
    }
    table
}
