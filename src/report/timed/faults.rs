//! What bad days do: replayed, and with the best reaction.

use super::levels::words as track_words;
use super::picture::{blocks_under, calendar, name_of, points, strip};
use super::{table_with_when, when};
use crate::audit::Plan;
use crate::kinds::Role;
use crate::network::{Network, NodeId};
use crate::quantity::shown_number;
use crate::report::number::{counted, fixed};
use crate::report::page::{Cell, Page, Table};
use crate::report::plots::Level;
use crate::timeline::{Course, Kept, Lack, Lacking, Outcome, Shortfall, Timeline, Track};

/// What the two courses are called.
pub(super) const NOBODY: &str = "nobody reacts";
pub(super) const BEST: &str = "best reaction";
/// What is planned is called.
const PLAN: &str = "plan";

/// Both courses of bad days.
pub(in crate::report) fn outcome(
    page: &mut Page,
    plan: &Plan,
    timeline: &Timeline,
    outcome: &Outcome,
) {
    let network = plan.network();
    let from = day_words(network, outcome.from_day);
    page.paragraph(format!(
        "From {from} on. If nobody reacts, needs take what they can get, everything else stays as \
         near to the plan as it can, and nobody looks ahead; what is missing comes out of stores, \
         then out of cargo opened ahead of plan. The best reaction knows how long it lasts, may run \
         any unit within its capacity, ration any need and open any cargo: latest first shortfall, \
         then the least."
    ));
    page.points(vec![
        course_words(network, NOBODY, &outcome.replay),
        course_words(network, BEST, &outcome.reaction),
        match (outcome.people_until, &outcome.reaction.first) {
            (_, None) => "People are served to the end.".to_owned(),
            (None, _) => "People can be served to the end, if all else is rationed.".to_owned(),
            (Some(day), _) => format!(
                "If all else is rationed from the beginning, people can be served until {}, {} \
                 days after the fault.",
                day_words(network, day),
                fixed(day - outcome.from_day, 1)
            ),
        },
        match outcome.cover.is_empty() {
            true => "Nothing more was needed aboard.".to_owned(),
            false => format!(
                "Would have covered it: {}.",
                cover_words(network, &outcome.cover, TOLD)
            ),
        },
    ]);
    shortfalls(page, network, &outcome.replay, "Short if nobody reacts:");
    shortfalls(
        page,
        network,
        &outcome.reaction,
        "Short with the best reaction:",
    );
    let mut measures = measures(plan, outcome);
    let more = measures.rows.len().saturating_sub(LISTED);
    measures.rows.truncate(LISTED);
    page.table(measures);
    page.points(cut(more));
    compared(page, plan, timeline, outcome);
}

fn day_words(network: &Network, day: f64) -> String {
    let number = shown_number((day * 1e3).round() / 1e3);
    match network.calendar.date(day) {
        Some(date) => format!("day {number} ({date})"),
        None => format!("day {number}"),
    }
}

fn course_words(network: &Network, name: &str, course: &Course) -> String {
    let mut name: String = name.to_owned();
    if let Some(first) = name.get_mut(0..1) {
        first.make_ascii_uppercase();
    }
    match &course.first {
        None => format!("{name}: nothing falls short to the end of the mission."),
        Some(first) => format!(
            "{name}: {} days after the fault, on {}, {}. To the end needs go without {} kg, and \
             {} kg are held up.",
            fixed(first.after_days, 1),
            day_words(network, first.day),
            short_words(network, first),
            fixed(course.unmet_kg(), 1),
            fixed(course.held_kg(), 1),
        ),
    }
}

/// "crew goes short of oxygen", "carbon dioxide has no way out of cabin".
pub(in crate::report) fn short_words(network: &Network, short: &Shortfall) -> String {
    match short.lacks.first() {
        Some(lack) => lack_words(network, lack),
        None => "something falls short".to_owned(),
    }
}

fn lack_words(network: &Network, lack: &Lack) -> String {
    let node = network.name(lack.node);
    match lack.what {
        Lacking::Missing(substance) => {
            format!(
                "{node} goes short of {}",
                network.substances.name(substance)
            )
        }
        Lacking::HeldUp(substance) => {
            format!(
                "{} has no way out of {node}",
                network.substances.name(substance)
            )
        }
        Lacking::Supplies(what) => format!("{node} goes short of {}", what.key()),
    }
}

/// Of what would have covered a shortfall, so many things are told.
const TOLD: usize = 5;

/// "120.4 kg of oxygen, a way out for 12.0 kg of urine, 5.5 kg of cartridges of still",
/// summed by substance; of more than `told` the first.
pub(in crate::report) fn cover_words(network: &Network, cover: &[Lack], told: usize) -> String {
    let mut sums: Vec<(Lack, f64)> = Vec::new();
    for lack in cover {
        let same = sums.iter_mut().find(|(known, _)| {
            let at_a_node = matches!(lack.what, Lacking::Supplies(_));
            known.what == lack.what && (known.node == lack.node || !at_a_node)
        });
        match same {
            Some((_, kg)) => *kg += lack.kg,
            None => sums.push((*lack, lack.kg)),
        }
    }
    let more = sums.len().saturating_sub(told);
    let words = sums.into_iter().take(told).map(|(lack, kg)| {
        let kg = match kg < 0.1 {
            true => shown_number(kg),
            false => fixed(kg, 1),
        };
        match lack.what {
            Lacking::Missing(substance) => {
                format!("{kg} kg of {}", network.substances.name(substance))
            }
            Lacking::HeldUp(substance) => {
                format!(
                    "a way out for {kg} kg of {}",
                    network.substances.name(substance)
                )
            }
            Lacking::Supplies(what) => {
                format!("{kg} kg of {} for {}", what.key(), network.name(lack.node))
            }
        }
    });
    let mut words = words.collect::<Vec<_>>().join(", ");
    if more > 0 {
        words += &format!(" and {more} more");
    }
    words
}

/// Legs of a course with one shortage after the other, joined where they go on.
fn shortfalls(page: &mut Page, network: &Network, course: &Course, caption: &str) {
    /// Who is short of what, from when to when, the share and the kilograms.
    struct Spell {
        words: String,
        from: f64,
        to: f64,
        share: Option<f64>,
        kg_per_day: f64,
    }
    let mut spells: Vec<Spell> = Vec::new();
    for leg in &course.legs {
        let needs = leg.unmet.iter().map(|unmet| {
            let words = format!(
                "{}: {}",
                network.name(unmet.node),
                network.substances.name(unmet.substance)
            );
            (words, Some(unmet.share), unmet.kg_per_day)
        });
        let held = leg.held.iter().map(|held| {
            let words = format!(
                "{} at {}, held up",
                network.substances.name(held.substance),
                network.name(held.node)
            );
            (words, None, held.kg_per_day)
        });
        for (words, share, kg_per_day) in needs.chain(held) {
            let goes_on = spells.iter_mut().rev().find(|spell| {
                spell.words == words
                    && spell.to == leg.from_day
                    && (spell.kg_per_day - kg_per_day).abs() < 1e-6
            });
            match goes_on {
                Some(spell) => spell.to = leg.to_day,
                None => spells.push(Spell {
                    words,
                    from: leg.from_day,
                    to: leg.to_day,
                    share,
                    kg_per_day,
                }),
            }
        }
    }
    // A moment is the rounding of a day on which something was split.
    spells.retain(|spell| spell.to - spell.from > 1e-5);
    let mut table = table_with_when(
        &network.calendar,
        &[("what", "")],
        &[
            ("until day", ""),
            ("not served", ""),
            ("goes without or is held up", "kg/d"),
            ("in all", "kg"),
        ],
    )
    .captioned(caption);
    let more = spells.len().saturating_sub(LISTED);
    for spell in spells.into_iter().take(LISTED) {
        let mut row = vec![Cell::text(spell.words)];
        row.extend(when(&network.calendar, spell.from));
        row.extend([
            Cell::Plain(spell.to),
            spell.share.map_or(Cell::Blank, Cell::Share),
            Cell::rate(spell.kg_per_day),
            Cell::kg(spell.kg_per_day * (spell.to - spell.from)),
        ]);
        table.rows.push(row);
    }
    page.table(table);
    page.points(cut(more));
}

/// Rows of a table that are shown; data have all of them.
const LISTED: usize = 15;

/// That a table has been cut.
fn cut(more: usize) -> Vec<String> {
    match more {
        0 => Vec::new(),
        _ => vec![format!("{more} more; as JSON, the legs have all of them")],
    }
}

/// Differences from the plan that are worth a line, kg/d.
const WORTH_SAYING: f64 = 0.005;

/// What the best reaction runs and opens otherwise than planned.
fn measures(plan: &Plan, outcome: &Outcome) -> Table {
    let network = plan.network();
    let mut table = table_with_when(
        &network.calendar,
        &[("what the best reaction changes", "")],
        &[("until day", ""), ("planned", "kg/d"), ("then", "kg/d")],
    );
    let levels = &plan.answer().decisions.levels;
    for node in network.nodes() {
        let roles: Vec<&Role> = network
            .duties(node)
            .activities
            .iter()
            .map(|activity| &activity.role)
            .collect();
        let words = match roles.first() {
            Some(Role::Bring) => format!("{}: opened", network.name(node)),
            Some(Role::Convert) => format!("{}: feed", network.name(node)),
            _ => continue,
        };
        let mut spells: Vec<(f64, f64, f64, f64)> = Vec::new();
        let legs = outcome.reaction.legs.iter();
        for leg in legs.filter(|leg| leg.from_day >= outcome.from_day) {
            let planned = levels[node.index()].iter().map(|level| level[leg.phase]);
            let planned = worth(network, node, planned);
            let then = worth(network, node, leg.levels[node.index()].iter().copied());
            match spells.last_mut() {
                Some((_, to, before, was))
                    if *to == leg.from_day
                        && (*before - planned).abs() < WORTH_SAYING
                        && (*was - then).abs() < WORTH_SAYING =>
                {
                    *to = leg.to_day;
                }
                _ => spells.push((leg.from_day, leg.to_day, planned, then)),
            }
        }
        for (from, to, planned, then) in spells {
            if (planned - then).abs() < WORTH_SAYING.max(0.01 * planned) || to - from < 1e-5 {
                continue;
            }
            let mut row = vec![Cell::text(words.as_str())];
            row.extend(when(&network.calendar, from));
            row.extend([Cell::Plain(to), Cell::rate(planned), Cell::rate(then)]);
            table.rows.push(row);
        }
    }
    table
}

/// Feed of a node that turns, or what a cargo gives, kg/d.
fn worth(network: &Network, node: NodeId, levels: impl Iterator<Item = f64>) -> f64 {
    let activities = network.duties(node).activities.iter();
    let sum = activities.zip(levels).map(|(activity, level)| {
        let factor = match activity.role {
            Role::Bring => 1.0,
            _ => activity.load,
        };
        factor * level
    });
    sum.sum()
}

/// The pictures of levels that are not as planned, one course under the other.
fn compared(page: &mut Page, plan: &Plan, timeline: &Timeline, outcome: &Outcome) {
    let network = plan.network();
    let mut lines = Vec::new();
    let mut strips = Vec::new();
    let courses = [(NOBODY, &outcome.replay), (BEST, &outcome.reaction)];
    let width = [NOBODY, BEST].iter().map(|name| name.len()).max();
    let width = width.unwrap_or(0) + 2;
    let tracks = timeline.tracks.iter();
    let shown =
        tracks.filter(|track| matches!(track.what, Kept::Store | Kept::Cargo | Kept::Waste));
    for planned in shown {
        let of = |course: &'_ Course| -> Option<Track> {
            let mut tracks = course.tracks.iter();
            tracks
                .find(|track| track.node == planned.node && track.what == planned.what)
                .cloned()
        };
        let tracks: Vec<(&str, Track)> = courses
            .iter()
            .filter_map(|(name, course)| Some((*name, of(course)?)))
            .collect();
        let tracks_most = tracks.iter().map(|(_, track)| track.most().level);
        let most = tracks_most.fold(planned.most().level, f64::max);
        if !tracks
            .iter()
            .any(|(_, track)| differ(planned, track, timeline.days, most))
        {
            continue;
        }
        lines.push(format!(
            "{} (full: {} {})",
            name_of(network, planned, &track_words(network, planned)),
            fixed(most, 1),
            planned.what.unit(),
        ));
        let levels = [(PLAN, planned)].into_iter();
        let levels = levels.chain(tracks.iter().map(|(name, track)| (*name, track)));
        let levels = levels.map(|(name, track)| Level {
            name: name.to_owned(),
            points: points(track),
        });
        let name = name_of(network, planned, &track_words(network, planned));
        strips.push(strip(&name, planned, most, levels.collect()));
        let planned = (PLAN, planned.clone());
        for (name, track) in [planned].iter().chain(&tracks) {
            let row = blocks_under(track, timeline.days, most);
            lines.push(format!("  {name:width$}{row}"));
        }
    }
    if lines.is_empty() {
        return;
    }
    let fault = (outcome.from_day, "fault".to_owned());
    page.plot(
        "Levels that are not as planned: as planned, if nobody reacts, and with the best reaction.",
        format!(
            "Strips of {} from the fault on, each as planned and under both courses; the tables \
             above say what falls short and when.",
            counted(strips.len(), "level")
        ),
        calendar(&network.calendar, strips, vec![fault]).draw(),
        Some(lines.join("\n")),
    );
}

/// Whether two levels differ enough to be seen.
fn differ(one: &Track, other: &Track, days: f64, most: f64) -> bool {
    let points = one.points.iter().chain(&other.points);
    let mut middles = points.map(|point| point.day * (1.0 - 1e-9));
    middles.any(|day| {
        let levels = one.level(day.min(days)).zip(other.level(day.min(days)));
        levels.is_some_and(|(one, other)| (one - other).abs() > 0.005 * most)
    })
}
