//! Folding: layers that are too many for the width of a screen stand in rows below each
//! other and are read like the lines of a page.

use super::Wire;
use crate::report::diagram::order::{self, Pull};

/// Rounds of moving single blocks to a neighbouring row; it settles after a few.
const ROUNDS: usize = 10;
/// What a stream that runs back pulls at a block, against one that goes on: it has a lane
/// either way.
const BACK_SHARE: f64 = 0.3;
/// A stream so thick costs as much again when it has to pass from row to row, px.
const THICK: f64 = 15.0;
/// What a row pays for the square of the layers it has more or less than the others.
const UNEVEN: f64 = 0.2;

/// Where every block stands.
#[derive(Clone, Debug, PartialEq)]
pub(in crate::report::diagram) struct Rows {
    /// Its row, from the top.
    pub row: Vec<usize>,
    /// Its layer within the row, from the left.
    pub layer: Vec<usize>,
}

impl Rows {
    /// How many rows there are.
    pub fn count(&self) -> usize {
        self.row.iter().max().map_or(0, |last| last + 1)
    }

    /// How many layers the longest row has.
    pub fn longest(&self) -> usize {
        self.layer.iter().max().map_or(0, |last| last + 1)
    }
}

/// Rows of at most so many layers between which little passes; `order` is one in which
/// every stream of `forward` goes on.
pub(super) fn folded(
    order: &[usize],
    forward: &[Pull],
    wires: &[Wire],
    is_back: &[bool],
    most: usize,
) -> Rows {
    let unfolded = layers(order, forward, &vec![0; order.len()]);
    let weights: Vec<f64> = wires
        .iter()
        .zip(is_back)
        .map(|(wire, is_back)| {
            (1.0 + wire.thickness / THICK) * if *is_back { BACK_SHARE } else { 1.0 }
        })
        .collect();
    let starts = starts(&unfolded, wires, &weights, most.max(1));
    let row_of = |layer: usize| starts.iter().filter(|&&start| start <= layer).count() - 1;
    let mut row: Vec<usize> = unfolded.iter().map(|&layer| row_of(layer)).collect();
    for _ in 0..ROUNDS {
        let mut moved = false;
        for &block in order {
            let here = row[block];
            for there in [here.wrapping_sub(1), here + 1] {
                if there < starts.len() && is_nearer(block, there, &row, wires, &weights) {
                    let mut tried = row.clone();
                    tried[block] = there;
                    let layer = layers(order, forward, &tried);
                    let most = most.saturating_add(usize::from(hangs_on_one(block, wires)));
                    if layer.iter().all(|&layer| layer < most) {
                        row = tried;
                        moved = true;
                        break;
                    }
                }
            }
        }
        if !moved {
            break;
        }
    }
    // A row from which everything went is none.
    let mut left = row.clone();
    left.sort_unstable();
    left.dedup();
    row.iter_mut()
        .for_each(|row| *row = left.binary_search(row).unwrap_or(*row));
    Rows {
        layer: layers(order, forward, &row),
        row,
    }
}

/// Whether all streams at a block are with one other: it may stand beyond the end of a row.
fn hangs_on_one(block: usize, wires: &[Wire]) -> bool {
    let mut others = wires.iter().filter_map(|wire| match wire {
        wire if wire.from == block => Some(wire.to),
        wire if wire.to == block => Some(wire.from),
        _ => None,
    });
    let first = others.next();
    others.all(|other| Some(other) == first)
}

/// Whether the streams at a block would have less way between rows if it stood in another.
fn is_nearer(block: usize, there: usize, row: &[usize], wires: &[Wire], weights: &[f64]) -> bool {
    let way = |at: usize| -> f64 {
        let streams = wires.iter().zip(weights);
        streams
            .map(
                |(wire, weight)| match (wire.from == block, wire.to == block) {
                    (true, false) => weight * at.abs_diff(row[wire.to]) as f64,
                    (false, true) => weight * at.abs_diff(row[wire.from]) as f64,
                    _ => 0.0,
                },
            )
            .sum()
    };
    way(there) < way(row[block]) - 1e-9
}

/// The layer of every block within its row; streams between rows do not count.
fn layers(order: &[usize], forward: &[Pull], row: &[usize]) -> Vec<usize> {
    let within: Vec<Pull> = forward
        .iter()
        .filter(|pull| row[pull.from] == row[pull.to])
        .copied()
        .collect();
    let weights: Vec<f64> = within.iter().map(|pull| pull.cost).collect();
    let mut layer = order::layers(order, &within, &weights);
    for one in 0..row.iter().max().map_or(0, |last| last + 1) {
        let here = || (0..row.len()).filter(|&block| row[block] == one);
        let first = here().map(|block| layer[block]).min().unwrap_or(0);
        for block in here() {
            layer[block] -= first;
        }
    }
    layer
}

/// The layers with which rows begin: the fewest rows, then little that passes between them
/// and rows of like length.
fn starts(layer: &[usize], wires: &[Wire], weights: &[f64], most: usize) -> Vec<usize> {
    let many = layer.iter().max().map_or(1, |last| last + 1);
    let rows = many.div_ceil(most);
    let even = many as f64 / rows as f64;
    let cut = |at: usize| -> f64 {
        let passes = |wire: &Wire| (layer[wire.from] < at) != (layer[wire.to] < at);
        let streams = wires.iter().zip(weights);
        streams
            .filter(|(wire, _)| passes(wire))
            .map(|(_, weight)| weight)
            .sum()
    };
    let cuts: Vec<f64> = (0..many).map(cut).collect();
    // By rows made so far, and the layer with which the next begins: cost, and the starts.
    let mut best: Vec<Option<(f64, Vec<usize>)>> = vec![None; many + 1];
    best[0] = Some((0.0, Vec::new()));
    for _ in 0..rows {
        let mut next: Vec<Option<(f64, Vec<usize>)>> = vec![None; many + 1];
        for (start, known) in best.iter().enumerate() {
            let Some((cost, starts)) = known else {
                continue;
            };
            let last = many.min(start.saturating_add(most));
            for (end, reached) in next.iter_mut().enumerate().take(last + 1).skip(start + 1) {
                let uneven = (end - start) as f64 - even;
                let cut = if start > 0 { cuts[start] } else { 0.0 };
                let cost = cost + cut + UNEVEN * uneven * uneven;
                if reached.as_ref().is_none_or(|known| cost < known.0) {
                    let starts = starts.iter().copied().chain([start]).collect();
                    *reached = Some((cost, starts));
                }
            }
        }
        best = next;
    }
    match best.pop().flatten() {
        Some((_, starts)) => starts,
        None => vec![0],
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn folded_at(blocks: usize, ends: &[(usize, usize)], most: usize) -> Rows {
        let order: Vec<usize> = (0..blocks).collect();
        let wires: Vec<Wire> = ends
            .iter()
            .map(|&(from, to)| Wire::plain(from, to))
            .collect();
        let forward: Vec<Pull> = ends
            .iter()
            .filter(|(from, to)| from < to)
            .map(|&(from, to)| Pull {
                from,
                to,
                cost: 1.0,
            })
            .collect();
        let is_back: Vec<bool> = ends.iter().map(|(from, to)| from >= to).collect();
        folded(&order, &forward, &wires, &is_back, most)
    }

    #[test]
    fn a_chain_is_broken_into_lines() {
        let chain = [(0, 1), (1, 2), (2, 3), (3, 4), (4, 5)];
        let rows = folded_at(6, &chain, 3);
        assert_eq!(rows.row, [0, 0, 0, 1, 1, 1]);
        assert_eq!(rows.layer, [0, 1, 2, 0, 1, 2]);
        assert_eq!(folded_at(6, &chain, 6).count(), 1);
        assert_eq!(folded_at(6, &chain, 2).count(), 3);
    }

    #[test]
    fn rows_break_where_least_passes() {
        // Two streams between 2 and 3, one between 1 and 2.
        let chain = [(0, 1), (1, 2), (2, 3), (2, 3), (3, 4)];
        assert_eq!(folded_at(5, &chain, 3).row, [0, 0, 1, 1, 1]);
    }

    #[test]
    fn a_source_stands_in_the_row_that_it_feeds() {
        // 0 to 5 are a chain, 6 feeds 3 alone: it goes before it.
        let order = [0, 1, 2, 6, 3, 4, 5];
        let ends = [(0, 1), (1, 2), (2, 3), (3, 4), (4, 5), (6, 3)];
        let wires: Vec<Wire> = ends
            .iter()
            .map(|&(from, to)| Wire::plain(from, to))
            .collect();
        let forward: Vec<Pull> = ends
            .iter()
            .map(|&(from, to)| Pull {
                from,
                to,
                cost: 1.0,
            })
            .collect();
        let rows = folded(&order, &forward, &wires, &[false; 6], 4);
        assert_eq!(rows.row[6], rows.row[3]);
        assert!(rows.longest() <= 4, "{rows:?}");
    }
}
