//! Straightening: everything slides, within its column and in its order, to where its
//! streams run level.

use super::ports::ports;
use super::rows::Rows;
use super::{Block, Spacing, Wire};
use crate::report::diagram::layers::Heights;

/// Rounds over all columns in which everything goes to the middle of its neighbours; later
/// ones change little.
const ROUNDS: usize = 26;
/// Rounds after these, from left to right, in which streams stay level as long as they can,
/// so that they bend once and not in every column.
const LEVEL_ROUNDS: usize = 6;

/// What stands in a column.
#[derive(Clone, Copy, Debug)]
enum Item {
    Block(usize),
    /// Stream, and which of its stations.
    Station(usize, usize),
}

/// Slides blocks and stations; nothing comes nearer to its neighbours than it has room.
pub(super) fn relax(
    blocks: &[Block],
    wires: &[Wire],
    rows: &Rows,
    heights: &mut Heights,
    spacing: Spacing,
) {
    let columns = columns(wires, rows, heights);
    for round in 0..ROUNDS + LEVEL_ROUNDS {
        let level = round >= ROUNDS;
        let ends = ports(blocks, wires, heights, |_, _| None, spacing);
        let sweep: Vec<usize> = match level || round % 2 == 0 {
            true => (0..columns.len()).collect(),
            false => (0..columns.len()).rev().collect(),
        };
        // Ends at blocks keep their distance from the middle of the block within a round.
        let before = heights.blocks.clone();
        for column in sweep {
            let items = &columns[column];
            let wanted: Vec<(f64, f64)> = items
                .iter()
                .map(|&item| match item {
                    Item::Block(block) => {
                        let moved = heights.blocks[block] - before[block];
                        let mut pull = Pull::default();
                        for (index, wire) in wires.iter().enumerate() {
                            let stations = &heights.stations[index];
                            if let (true, Some(next)) = (wire.from == block, stations.first()) {
                                pull.to(next.y - ends.out[index] - moved, wire.thickness);
                            }
                            if let (true, Some(next)) = (wire.to == block, stations.last()) {
                                pull.to(next.y - ends.into[index] - moved, wire.thickness);
                            }
                        }
                        pull.from(heights.blocks[block])
                    }
                    Item::Station(index, place) => {
                        let wire = &wires[index];
                        let stations = &heights.stations[index];
                        let y = stations[place].y;
                        let before_it = match place.checked_sub(1) {
                            Some(place) => stations[place].y,
                            None => ends.out[index] + heights.blocks[wire.from] - before[wire.from],
                        };
                        let after_it = match stations.get(place + 1) {
                            Some(station) => station.y,
                            None => ends.into[index] + heights.blocks[wire.to] - before[wire.to],
                        };
                        let mut pull = Pull::default();
                        pull.to(before_it - y, wire.thickness);
                        if !level {
                            pull.to(after_it - y, wire.thickness);
                        }
                        pull.from(y)
                    }
                })
                .collect();
            let places = settled(&wanted, &rooms(items, blocks, wires, spacing));
            for (item, y) in items.iter().zip(places) {
                match *item {
                    Item::Block(block) => heights.blocks[block] = y,
                    Item::Station(wire, place) => heights.stations[wire][place].y = y,
                }
            }
        }
    }
}

/// Where something wants to be, and how much.
#[derive(Default)]
struct Pull {
    sum: f64,
    weight: f64,
}

impl Pull {
    fn to(&mut self, way: f64, thickness: f64) {
        let weight = 1.0 + thickness;
        self.sum += way * weight;
        self.weight += weight;
    }

    /// The place, seen from where it is, and the weight.
    fn from(&self, here: f64) -> (f64, f64) {
        match self.weight > 0.0 {
            true => (here + self.sum / self.weight, self.weight),
            false => (here, 0.1),
        }
    }
}

/// Columns with what stands in them, from the top; those of one row after those of another.
fn columns(wires: &[Wire], rows: &Rows, heights: &Heights) -> Vec<Vec<Item>> {
    let width = 2 * rows.longest();
    let mut items: Vec<(usize, f64, Item)> = Vec::new();
    for (block, (row, layer)) in rows.row.iter().zip(&rows.layer).enumerate() {
        let column = row * width + 2 * layer;
        items.push((column, heights.blocks[block], Item::Block(block)));
    }
    for (wire, stations) in heights.stations.iter().enumerate() {
        let row = rows.row[wires[wire].from];
        for (place, station) in stations.iter().enumerate() {
            let column = row * width + station.column;
            items.push((column, station.y, Item::Station(wire, place)));
        }
    }
    items.sort_by(|one, other| one.0.cmp(&other.0).then(one.1.total_cmp(&other.1)));
    let mut columns = Vec::new();
    for (column, _, item) in items {
        if columns.len() <= column {
            columns.resize(column + 1, Vec::new());
        }
        columns[column].push(item);
    }
    columns
}

/// The least distances between the middles of neighbours.
fn rooms(items: &[Item], blocks: &[Block], wires: &[Wire], spacing: Spacing) -> Vec<f64> {
    let size = |item: Item| match item {
        Item::Block(block) => {
            let half = blocks[block].height / 2.0;
            ((half, half), spacing.room.blocks)
        }
        Item::Station(wire, place) => (wires[wire].reach(place == 0), spacing.room.streams),
    };
    items
        .windows(2)
        .map(|pair| {
            let [(one, room), (other, other_room)] = [size(pair[0]), size(pair[1])];
            one.1 + other.0 + (room + other_room) / 2.0
        })
        .collect()
}

/// Places in their order and with their room, nearest to the wanted ones by weighted least
/// squares: neighbours that want through each other become one group (pool adjacent
/// violators; R. E. Barlow and others, Statistical Inference under Order Restrictions, 1972).
fn settled(wanted: &[(f64, f64)], rooms: &[f64]) -> Vec<f64> {
    // With the rooms taken off, places must only not fall.
    let mut offsets = vec![0.0];
    for room in rooms {
        offsets.push(offsets.last().copied().unwrap_or(0.0) + room);
    }
    let mut groups: Vec<(f64, f64, usize)> = Vec::new();
    for ((want, weight), offset) in wanted.iter().zip(&offsets) {
        groups.push((want - offset, *weight, 1));
        while let [.., one, other] = groups.as_slice() {
            if one.0 <= other.0 {
                break;
            }
            let weight = one.1 + other.1;
            let mean = (one.0 * one.1 + other.0 * other.1) / weight;
            let joined = (mean, weight, one.2 + other.2);
            groups.truncate(groups.len() - 2);
            groups.push(joined);
        }
    }
    let places = groups
        .iter()
        .flat_map(|&(place, _, many)| std::iter::repeat_n(place, many));
    places
        .zip(&offsets)
        .map(|(place, offset)| place + offset)
        .collect()
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn neighbours_keep_their_room_and_share_what_they_give_way() {
        let wanted = [(0.0, 1.0), (10.0, 1.0), (12.0, 1.0), (100.0, 1.0)];
        let places = settled(&wanted, &[5.0, 6.0, 6.0]);
        assert_eq!(places, [0.0, 8.0, 14.0, 100.0]);
        // The heavier one gives way less.
        let places = settled(&[(10.0, 3.0), (10.0, 1.0)], &[8.0]);
        assert_eq!(places, [8.0, 16.0]);
    }
}
