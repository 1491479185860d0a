//! The flow diagram: what flows in one phase, as wide as it is much.

use super::course;
use super::key::{self, Entry};
use super::layers::Room;
use super::scene::{Part, Run, Scene, rate};
use super::sheet;
use super::wiring::{self, Block, Course, KeptLayouts, Label, Spacing, Wire};
use super::wrap::wrapped;
use crate::catalogue::Family;
use crate::report::drawing::{Anchor, Bounds, Dash, Drawing, Ink, Mark, Point, text_width};

const NAME: f64 = 12.0;
const WORDS: f64 = 11.0;
const NAME_WIDTH: f64 = 80.0;
/// Words on a band are broken to stay within this, px.
const LABEL_WIDTH: f64 = 76.0;
const LINE: f64 = 1.2;
/// Width of a bar, px.
const BAR: f64 = 12.0;
/// The bar of the node through which most flows, px.
const TALLEST: f64 = 80.0;
/// A flow is drawn at least so wide, px.
const LEAST: f64 = 1.8;
const ARROW: f64 = 7.0;
/// Of bands: those below still show, and families keep apart in grey.
const OPACITY: f64 = 0.8;

const SPACING: Spacing = Spacing {
    room: Room {
        blocks: 14.0,
        streams: 8.0,
    },
    bend: 20.0,
    lane: 8.0,
    spread: false,
};

/// The picture; nodes through which nothing flows are left out.
pub(super) fn draw(scene: &Scene, kept: &KeptLayouts) -> Drawing {
    let runs: Vec<&Run> = scene.runs.iter().filter(|run| run.is_used()).collect();
    let spots: Vec<usize> = (0..scene.spots.len())
        .filter(|&spot| runs.iter().any(|run| run.from == spot || run.to == spot))
        .collect();
    let place_of = |spot: usize| spots.binary_search(&spot).unwrap_or(0);
    let through = |spot: usize| {
        let sum = |end: fn(&Run) -> usize| -> f64 {
            let runs = runs.iter().filter(|run| end(run) == spot);
            runs.map(|run| run.most()).sum()
        };
        sum(|run| run.from).max(sum(|run| run.to))
    };
    let most = spots.iter().map(|&spot| through(spot)).fold(1e-9, f64::max);
    let scale = TALLEST / most;
    let labels: Vec<Vec<String>> = runs.iter().map(|run| words(run)).collect();
    let wires: Vec<Wire> = runs
        .iter()
        .zip(&labels)
        .map(|(run, words)| Wire {
            from: place_of(run.from),
            to: place_of(run.to),
            thickness: thickness(run, scale),
            label: size(words),
            return_cost: return_cost(scene, run, most),
        })
        .collect();
    let heads: Vec<Vec<String>> = spots
        .iter()
        .map(|&spot| {
            let mut lines = wrapped(&scene.spots[spot].name, NAME, true, NAME_WIDTH);
            lines.push(format!("{} kg/d", rate(through(spot))));
            lines
        })
        .collect();
    let blocks: Vec<Block> = (0..spots.len())
        .map(|index| block(index, &heads[index], &wires))
        .collect();
    let widest = sheet::widest(spots.len());
    let placed = wiring::place(&blocks, &wires, SPACING, widest, kept);
    let entries = entries(scene, &runs, scale);
    let (mut drawing, placed) = sheet::sheet(placed, key::least_width(&entries));
    // Thin bands over thick ones.
    let mut order: Vec<usize> = (0..runs.len()).collect();
    order.sort_by(|&one, &other| wires[other].thickness.total_cmp(&wires[one].thickness));
    for index in order {
        band(
            &mut drawing,
            scene,
            runs[index],
            &placed.courses[index],
            scale,
        );
    }
    for (run, course) in runs.iter().zip(&placed.courses) {
        if course.on_lane {
            head(&mut drawing, run, course, scale);
        }
    }
    for (index, &spot) in spots.iter().enumerate() {
        bar(
            &mut drawing,
            scene,
            spot,
            &heads[index],
            &blocks[index],
            &placed.blocks[index],
        );
    }
    for (words, course) in labels.iter().zip(&placed.courses) {
        label(&mut drawing, words, course.label);
    }
    sheet::finish(&mut drawing, &placed, &entries);
    drawing
}

fn thickness(run: &Run, scale: f64) -> f64 {
    (run.most() * scale).max(LEAST)
}

/// Whether a flow is drawn wider than it is, so that it is found at all.
fn is_thin(run: &Run, scale: f64) -> bool {
    run.most() * scale < LEAST
}

/// Streams that run back cost a bend each beside what they carry; into a store they look
/// natural.
fn return_cost(scene: &Scene, run: &Run, most: f64) -> f64 {
    let store =
        scene.spots[run.to].part == Part::Store && scene.spots[run.from].part != Part::Cargo;
    let kind = if store { 0.45 } else { 1.0 };
    (0.35 + run.most() / most) * kind
}

/// What stands on a band: its substance and its amount.
fn words(run: &Run) -> Vec<String> {
    wrapped(
        &format!("{} {}", run.substance, rate(run.most())),
        WORDS,
        false,
        LABEL_WIDTH,
    )
}

fn size(words: &[String]) -> Option<Label> {
    let widths = words.iter().map(|line| text_width(line, WORDS, false));
    Some(Label {
        width: widths.fold(0.0, f64::max) + 6.0,
        above: words.len() as f64 * WORDS * LINE / 2.0 + 2.0,
        below: words.len() as f64 * WORDS * LINE / 2.0 + 2.0,
    })
}

fn block(index: usize, lines: &[String], wires: &[Wire]) -> Block {
    let sum = |end: fn(&Wire) -> usize| -> f64 {
        let wires = wires.iter().filter(|wire| end(wire) == index);
        wires.map(|wire| wire.thickness).sum()
    };
    let bar = sum(|wire| wire.from).max(sum(|wire| wire.to)).max(LEAST);
    let widths = lines.iter().map(|line| text_width(line, NAME, true));
    let head = lines.len() as f64 * NAME * LINE + 4.0;
    Block {
        width: widths.fold(BAR, f64::max) + 4.0,
        height: head + bar,
        head,
        body: BAR,
    }
}

fn band(drawing: &mut Drawing, scene: &Scene, run: &Run, course: &Course, scale: f64) {
    let width = thickness(run, scale);
    let ink = Ink::Family(run.family);
    let thin = is_thin(run, scale);
    let short = if thin { ARROW - 1.0 } else { 0.0 };
    let mark = Mark::path(course::steps(course, width, short), ink).wide(width);
    let mark = match thin {
        true => mark.dashed(Dash::Dots),
        false => mark.opaque_by(OPACITY),
    };
    drawing.add(mark.titled(scene.hover(run)));
    if let (true, Some(&end)) = (thin, course.points.last()) {
        drawing.add(Mark::area(sheet::arrow(end, ARROW, 1.0), ink));
    }
}

/// A head on a lane, over everything that crosses it.
fn head(drawing: &mut Drawing, run: &Run, course: &Course, scale: f64) {
    let width = thickness(run, scale);
    // On a wide band it would not be seen in the ink of the band.
    let ink = match width > ARROW {
        true => Ink::Paper,
        false => Ink::Family(run.family),
    };
    let size = width.clamp(ARROW, 14.0);
    drawing.add(Mark::area(sheet::arrow_on_lane(course, size), ink));
}

fn bar(
    drawing: &mut Drawing,
    scene: &Scene,
    spot: usize,
    lines: &[String],
    block: &Block,
    bounds: &Bounds,
) {
    let middle = (bounds.left + bounds.right) / 2.0;
    let top = bounds.top + block.head;
    let ink = match scene.spots[spot].part {
        Part::Outlet | Part::Cargo => Ink::Quiet,
        _ => Ink::Text,
    };
    let mark = Mark::rect(middle - BAR / 2.0, top, BAR, bounds.bottom - top, ink);
    drawing.add(mark.titled(lines.join(" ")));
    for (place, line) in lines.iter().enumerate() {
        let y = bounds.top + NAME * (0.95 + LINE * place as f64);
        let is_name = place + 1 < lines.len();
        let size = if is_name { NAME } else { WORDS };
        let text = Mark::text(Point::new(middle, y), line.as_str(), size);
        let text = text.anchored(Anchor::Middle).haloed();
        drawing.add(match is_name {
            true => text.bold(),
            false => text.filled(Ink::Quiet),
        });
    }
}

fn label(drawing: &mut Drawing, words: &[String], label: Option<Bounds>) {
    let Some(label) = label else { return };
    let x = (label.left + label.right) / 2.0;
    for (place, line) in words.iter().enumerate() {
        let y = label.top + 2.0 + WORDS * (0.95 + LINE * place as f64);
        let text = Mark::text(Point::new(x, y), line.as_str(), WORDS);
        drawing.add(text.anchored(Anchor::Middle).haloed());
    }
}

fn entries(scene: &Scene, runs: &[&Run], scale: f64) -> Vec<Entry> {
    let has = |family: &Family| runs.iter().any(|run| run.family == *family);
    let mut entries: Vec<Entry> = Family::ALL
        .into_iter()
        .filter(has)
        .map(|family| Entry::family(family, Dash::Solid, 8.0).opaque_by(OPACITY))
        .collect();
    if runs.iter().any(|run| is_thin(run, scale)) {
        let words = format!(
            "less than {} kg/d, drawn wider than it is",
            rate(LEAST / scale)
        );
        entries.push(Entry::line(words, Ink::Quiet, Dash::Dots, LEAST));
    }
    entries.push(Entry::remark(scene.amounts()));
    entries
}
