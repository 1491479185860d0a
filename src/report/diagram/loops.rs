//! The loop diagram: what is connected with what, how many units fly, what flows where.

use super::course;
use super::key::{self, Entry};
use super::layers::Room;
use super::scene::{Part, Run, Scene, Spot};
use super::sheet;
use super::wiring::{self, Block, Course, KeptLayouts, Label, Spacing, Wire};
use super::wrap::wrapped;
use crate::catalogue::Family;
use crate::report::drawing::{Anchor, Bounds, Dash, Drawing, Ink, Mark, Point, text_width};

const NAME: f64 = 12.0;
const NOTE: f64 = 11.0;
const WORDS: f64 = 11.0;
/// Names are broken to stay within this, px.
const NAME_WIDTH: f64 = 86.0;
/// Names of substances likewise.
const WORDS_WIDTH: f64 = 84.0;
/// Height of a line of words as a share of their size.
const LINE: f64 = 1.2;
/// Least distance of two streams at a block, px.
const PORT: f64 = 11.0;
const ARROW: f64 = 7.0;
const STROKE: f64 = 2.0;
const THIN: f64 = 1.2;

const SPACING: Spacing = Spacing {
    room: Room {
        blocks: 18.0,
        streams: 9.0,
    },
    bend: 18.0,
    lane: 9.0,
    spread: true,
};

/// A block as it is drawn: a node, or one of the places where matter goes out.
struct Card {
    spot: usize,
    lines: Vec<String>,
    /// Whether anything comes to it or goes from it; without a plan it may.
    is_used: bool,
}

/// The picture.
pub(super) fn draw(scene: &Scene, kept: &KeptLayouts) -> Drawing {
    let (cards, ends) = cards(scene);
    let labels: Vec<Words> = scene.runs.iter().map(Words::of).collect();
    let wires: Vec<Wire> = scene
        .runs
        .iter()
        .zip(&ends)
        .zip(&labels)
        .map(|((run, &(from, to)), words)| Wire {
            from,
            to,
            thickness: STROKE,
            label: words.size(),
            return_cost: return_cost(scene, run),
        })
        .collect();
    let blocks: Vec<Block> = cards
        .iter()
        .enumerate()
        .map(|(index, card)| block(scene, card, index, &wires))
        .collect();
    let widest = sheet::widest(scene.spots.len());
    let placed = wiring::place(&blocks, &wires, SPACING, widest, kept);
    let entries = entries(scene);
    let (mut drawing, placed) = sheet::sheet(placed, key::least_width(&entries));
    // What is not used lies below what is.
    for used in [false, true] {
        for ((run, course), words) in scene.runs.iter().zip(&placed.courses).zip(&labels) {
            if run.is_used() == used {
                stream(&mut drawing, scene, run, course);
                words.draw(&mut drawing, course.label);
            }
        }
    }
    for (card, bounds) in cards.iter().zip(&placed.blocks) {
        node(&mut drawing, &scene.spots[card.spot], card, bounds);
    }
    sheet::finish(&mut drawing, &placed, &entries);
    drawing
}

/// One card for a node, but for a way out one beside every node that uses it: lines from
/// everywhere to one corner would say nothing. Gives the cards at both ends of every stream.
fn cards(scene: &Scene) -> (Vec<Card>, Vec<(usize, usize)>) {
    let mut cards = Vec::new();
    let mut own = vec![None; scene.spots.len()];
    for (spot, words) in scene.spots.iter().enumerate() {
        if words.part != Part::Outlet {
            own[spot] = Some(cards.len());
            cards.push(Card {
                spot,
                lines: wrapped(&words.name, NAME, true, NAME_WIDTH),
                is_used: words.is_used,
            });
        }
    }
    let mut outlets: Vec<((usize, usize, bool), usize)> = Vec::new();
    let mut ends = Vec::new();
    for run in &scene.runs {
        let mut end = |spot: usize, other: usize, enters: bool| {
            own[spot].unwrap_or_else(|| {
                let key = (spot, other, enters);
                if let Some((_, card)) = outlets.iter().find(|(known, _)| *known == key) {
                    return *card;
                }
                outlets.push((key, cards.len()));
                cards.push(Card {
                    spot,
                    lines: wrapped(&scene.spots[spot].name, WORDS, false, NAME_WIDTH),
                    is_used: false,
                });
                cards.len() - 1
            })
        };
        let both = (end(run.from, run.to, false), end(run.to, run.from, true));
        if run.is_used() {
            cards[both.0].is_used = true;
            cards[both.1].is_used = true;
        }
        ends.push(both);
    }
    for (spot, words) in scene.spots.iter().enumerate() {
        let is_shown = outlets.iter().any(|((outlet, _, _), _)| *outlet == spot);
        if own[spot].is_none() && !is_shown {
            cards.push(Card {
                spot,
                lines: wrapped(&words.name, WORDS, false, NAME_WIDTH),
                is_used: true,
            });
        }
    }
    (cards, ends)
}

/// What is recovered and goes back into a store runs back, rather than what a store gives.
fn return_cost(scene: &Scene, run: &Run) -> f64 {
    let most = scene.runs.iter().map(Run::most).fold(1e-9, f64::max);
    let store =
        scene.spots[run.to].part == Part::Store && scene.spots[run.from].part != Part::Cargo;
    let used = if run.is_used() { 1.0 } else { 0.3 };
    let kind = if store { 0.45 } else { 1.0 };
    (used + run.most() / most) * kind
}

fn block(scene: &Scene, card: &Card, index: usize, wires: &[Wire]) -> Block {
    let spot = &scene.spots[card.spot];
    let (size, bold) = lettering(spot);
    let widths = card.lines.iter().map(|line| text_width(line, size, bold));
    let width = widths.fold(text_width(&spot.note, NOTE, false), f64::max);
    let notes = if spot.note.is_empty() {
        0.0
    } else {
        NOTE * LINE
    };
    let height = card.lines.len() as f64 * size * LINE + notes;
    let ends = |end: fn(&Wire) -> usize| wires.iter().filter(|wire| end(wire) == index).count();
    let most = ends(|wire| wire.from).max(ends(|wire| wire.to));
    let padding = if spot.part == Part::Outlet { 4.0 } else { 8.0 };
    let width = width + 2.0 * padding + 4.0;
    Block {
        width,
        height: (height + 2.0 * padding).max((most + 1) as f64 * PORT),
        head: 0.0,
        body: width,
    }
}

fn lettering(spot: &Spot) -> (f64, bool) {
    match spot.part {
        Part::Outlet => (WORDS, false),
        _ => (NAME, true),
    }
}

/// The words at a stream: its substance above the line, its amount below; nothing where
/// nothing flows.
#[derive(Default)]
struct Words {
    above: Vec<String>,
    below: Option<String>,
}

impl Words {
    fn of(run: &Run) -> Words {
        match run.is_used() {
            true => Words {
                above: wrapped(&run.substance, WORDS, false, WORDS_WIDTH),
                below: run.amount(),
            },
            false => Words::default(),
        }
    }

    fn size(&self) -> Option<Label> {
        if self.above.is_empty() && self.below.is_none() {
            return None;
        }
        let all = self.above.iter().chain(&self.below);
        let width = all
            .map(|line| text_width(line, WORDS, false))
            .fold(0.0, f64::max);
        Some(Label {
            width: width + 4.0,
            above: self.height_above(),
            below: self.below.as_ref().map_or(0.0, |_| WORDS * LINE + 3.0),
        })
    }

    fn height_above(&self) -> f64 {
        self.above.len() as f64 * WORDS * LINE + 3.0
    }

    fn draw(&self, drawing: &mut Drawing, label: Option<Bounds>) {
        let Some(label) = label else { return };
        let [x, line] = [
            (label.left + label.right) / 2.0,
            label.top + self.height_above(),
        ];
        let mut add = |y: f64, words: &str| {
            let text = Mark::text(Point::new(x, y), words, WORDS);
            drawing.add(text.anchored(Anchor::Middle).haloed());
        };
        for (place, words) in self.above.iter().rev().enumerate() {
            add(line - 5.0 - place as f64 * WORDS * LINE, words);
        }
        if let Some(words) = &self.below {
            add(line + 4.0 + 0.8 * WORDS, words);
        }
    }
}

fn stream(drawing: &mut Drawing, scene: &Scene, run: &Run, course: &Course) {
    let (ink, dash, width) = match run.is_used() {
        true => (Ink::Family(run.family), Dash::of_family(run.family), STROKE),
        false => (Ink::Faint, Dash::Dots, THIN),
    };
    let steps = course::steps(course, width, ARROW - 1.0);
    let line = Mark::path(steps, ink).wide(width).dashed(dash);
    drawing.add(line.titled(scene.hover(run)));
    let Some(&end) = course.points.last() else {
        return;
    };
    drawing.add(Mark::area(sheet::arrow(end, ARROW, 1.0), ink));
    if course.on_lane {
        drawing.add(Mark::area(sheet::arrow_on_lane(course, ARROW), ink));
    }
}

fn node(drawing: &mut Drawing, spot: &Spot, card: &Card, bounds: &Bounds) {
    let [width, height] = [bounds.right - bounds.left, bounds.bottom - bounds.top];
    let fill = match (card.is_used, spot.family) {
        (true, Some(family)) => Ink::Pale(family),
        _ => Ink::Paper,
    };
    let ground = Mark::rect(bounds.left, bounds.top, width, height, fill);
    let ground = match spot.part {
        Part::Outlet => ground
            .rounded(height.min(22.0) / 2.0)
            .outlined(if card.is_used { Ink::Quiet } else { Ink::Faint }, 1.0),
        Part::People => ground.rounded(12.0).outlined(Ink::Text, 2.4),
        _ if !card.is_used => ground
            .rounded(4.0)
            .outlined(Ink::Faint, 1.2)
            .dashed(Dash::Short),
        Part::Hardware => ground.rounded(4.0).outlined(Ink::Text, 1.4),
        _ => ground.rounded(4.0).outlined(Ink::Quiet, 1.2),
    };
    drawing.add(ground);
    if let Some(family) = spot.family.filter(|_| card.is_used) {
        let bar = match spot.part {
            // Cargo comes from outside, on the left; a store has a floor.
            Part::Cargo => Mark::rect(bounds.left, bounds.top, 4.0, height, Ink::Family(family)),
            _ => Mark::rect(
                bounds.left,
                bounds.bottom - 4.0,
                width,
                4.0,
                Ink::Family(family),
            ),
        };
        drawing.add(bar);
    }
    let (size, bold) = lettering(spot);
    let notes = usize::from(!spot.note.is_empty());
    let whole = card.lines.len() as f64 * size * LINE + notes as f64 * NOTE * LINE;
    let middle = (bounds.left + bounds.right) / 2.0;
    let mut y = (bounds.top + bounds.bottom - whole) / 2.0 + size * 0.95;
    let ink = if card.is_used { Ink::Text } else { Ink::Quiet };
    for line in &card.lines {
        let text = Mark::text(Point::new(middle, y), line.as_str(), size);
        let text = text.anchored(Anchor::Middle).filled(ink);
        drawing.add(if bold { text.bold() } else { text });
        y += size * LINE;
    }
    if notes > 0 {
        let text = Mark::text(Point::new(middle, y), spot.note.as_str(), NOTE);
        drawing.add(text.anchored(Anchor::Middle).filled(Ink::Quiet));
    }
}

fn entries(scene: &Scene) -> Vec<Entry> {
    let has = |family: Family| {
        let mut runs = scene.runs.iter();
        runs.any(|run| run.family == family && run.is_used())
    };
    let families = Family::ALL.into_iter().filter(|family| has(*family));
    let mut entries: Vec<Entry> = families
        .map(|family| Entry::family(family, Dash::of_family(family), STROKE))
        .collect();
    if scene.runs.iter().any(|run| !run.is_used()) {
        entries.push(Entry::line(
            "possible, not used: named when pointed at",
            Ink::Faint,
            Dash::Dots,
            THIN,
        ));
    }
    if scene.runs.iter().any(|run| run.kg_per_day.is_some()) {
        entries.push(Entry::remark(scene.amounts()));
    }
    entries
}
