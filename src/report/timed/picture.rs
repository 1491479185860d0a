//! A small picture of levels: a row of blocks for every level.

use super::levels::words;
use crate::audit::Plan;
use crate::network::{Calendar, Network};
use crate::report::number::{counted, fixed};
use crate::report::page::Page;
use crate::report::plots::{Axis, Level, Levels, Strip};
use crate::timeline::{Timeline, Track};

/// Blocks in a row.
const BLOCKS: usize = 60;
/// From nothing to full.
const HEIGHTS: [char; 9] = [' ', '▁', '▂', '▃', '▄', '▅', '▆', '▇', '█'];

/// A row of blocks for every level, under the days on which flights arrive.
pub(super) fn pictures(page: &mut Page, plan: &Plan, timeline: &Timeline) {
    let network = plan.network();
    let names: Vec<String> = timeline
        .tracks
        .iter()
        .map(|track| name_of(network, track, &words(network, track)))
        .collect();
    let width = names.iter().map(|name| name.chars().count()).max();
    let Some(width) = width else {
        return;
    };
    page.heading("Levels");
    let mut lines = vec![format!(
        "{:width$}  {}",
        "arrivals",
        marks(&network.calendar)
    )];
    for (track, name) in timeline.tracks.iter().zip(&names) {
        let most = fixed(track.most().level, 1);
        let row = blocks(track, timeline.days);
        lines.push(format!(
            "{name:width$}  {row}  {most} {}",
            track.what.unit()
        ));
    }
    let legend = format!(
        "Each block stands for {} days, its height for the level in their middle, as a share of \
         the highest, which stands on the right.",
        fixed(timeline.days / BLOCKS as f64, 1)
    );
    let strips = timeline.tracks.iter().zip(&names).map(|(track, name)| {
        let level = Level {
            name: String::new(),
            points: points(track),
        };
        strip(name, track, track.most().level, vec![level])
    });
    page.plot(
        "Levels over the calendar, each from nothing to its highest; uprights are arrivals.",
        format!(
            "Strips of the levels of {} over {} days; the table above has their highs and lows.",
            counted(names.len(), "store and stock"),
            crate::quantity::shown_number(timeline.days)
        ),
        calendar(&network.calendar, strips.collect(), Vec::new()).draw(),
        Some(format!(
            "{}\n\n{}",
            lines.join("\n"),
            textwrap::fill(&legend, 92)
        )),
    );
}

/// Strips over the calendar with its arrivals.
pub(super) fn calendar(
    calendar: &Calendar,
    strips: Vec<Strip>,
    faults: Vec<(f64, String)>,
) -> Levels {
    let flights = calendar.flights.iter().enumerate().skip(1);
    Levels {
        days: Axis::within("day of the mission", 0.0, calendar.mission_days(), 8),
        arrivals: flights
            .map(|(number, flight)| (flight.day, format!("flight {number}")))
            .collect(),
        faults,
        strips,
    }
}

/// A strip from nothing to a level.
pub(super) fn strip(name: &str, track: &Track, most: f64, levels: Vec<Level>) -> Strip {
    let unit = match track.what.unit() {
        "kg" => " kg",
        _ => "",
    };
    Strip {
        name: name.to_owned(),
        ends: [format!("{}{unit}", fixed(most, 1)), "0".to_owned()],
        most,
        levels,
    }
}

/// Days and levels of a track, jumps as two points of one day.
pub(super) fn points(track: &Track) -> Vec<(f64, f64)> {
    let points = track.points.iter();
    points
        .flat_map(|point| [(point.day, point.before), (point.day, point.after)])
        .collect()
}

/// An arrow in every block in which flights arrive.
fn marks(calendar: &Calendar) -> String {
    let days = calendar.mission_days();
    let arrives = |block: usize| {
        calendar.flights.iter().any(|flight| {
            let place = flight.day / days * BLOCKS as f64;
            place.floor() as usize == block
        })
    };
    (0..BLOCKS)
        .map(|block| if arrives(block) { '↓' } else { ' ' })
        .collect()
}

/// Whose level it is, and of what.
pub(super) fn name_of(network: &Network, track: &Track, words: &str) -> String {
    format!("{}, {words}", network.name(track.node))
}

/// The level in the middle of every block, as a share of its own highest.
fn blocks(track: &Track, days: f64) -> String {
    blocks_under(track, days, track.most().level)
}

/// The level in the middle of every block, as a share of a level.
pub(super) fn blocks_under(track: &Track, days: f64, most: f64) -> String {
    (0..BLOCKS)
        .map(|block| {
            let middle = (block as f64 + 0.5) * days / BLOCKS as f64;
            height(track.level(middle).unwrap_or(0.0), most)
        })
        .collect()
}

/// The block for a share; what is more than nothing is seen.
fn height(level: f64, most: f64) -> char {
    if most <= 0.0 || level <= most * 1e-9 {
        return HEIGHTS[0];
    }
    let eighths = (level / most * 8.0).round().clamp(1.0, 8.0);
    HEIGHTS[eighths as usize]
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_block_is_as_high_as_its_share() {
        assert_eq!(height(0.0, 10.0), ' ');
        assert_eq!(height(0.01, 10.0), '▁');
        assert_eq!(height(5.0, 10.0), '▄');
        assert_eq!(height(10.0, 10.0), '█');
        assert_eq!(height(0.0, 0.0), ' ');
    }
}
