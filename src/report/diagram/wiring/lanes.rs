//! Lanes above and below everything for what runs back.

use super::Wire;

/// The lane of a stream that runs back.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) struct Lane {
    /// Whether it lies above everything; else below.
    pub above: bool,
    /// From 0, the nearest, outwards.
    pub depth: usize,
}

/// A lane for every stream that runs back: on the side to which its ends are nearer, short
/// ones inside, and several in one lane where they do not meet.
pub(super) fn assign(
    wires: &[Wire],
    layer: &[usize],
    is_back: &[bool],
    middles: &[f64],
) -> Vec<Option<Lane>> {
    let (top, bottom) = middles
        .iter()
        .fold((f64::INFINITY, f64::NEG_INFINITY), |(top, bottom), &y| {
            (top.min(y), bottom.max(y))
        });
    let mut returns: Vec<usize> = (0..wires.len()).filter(|&wire| is_back[wire]).collect();
    let span = |wire: usize| (layer[wires[wire].to], layer[wires[wire].from]);
    returns.sort_by_key(|&wire| {
        let (left, right) = span(wire);
        (right - left.min(right), left, wire)
    });
    let mut lanes = vec![None; wires.len()];
    // What each lane holds already, by side.
    let mut taken: [Vec<Vec<(usize, usize)>>; 2] = [Vec::new(), Vec::new()];
    for wire in returns {
        let ends = middles[wires[wire].from] + middles[wires[wire].to];
        let above = ends < top + bottom;
        let (left, right) = span(wire);
        let side = &mut taken[usize::from(above)];
        let is_free = |lane: &Vec<(usize, usize)>| {
            // Ends in the space beside a column meet those of the next one.
            lane.iter()
                .all(|&(from, to)| right + 1 < from || to + 1 < left)
        };
        // Never nearer than what it spans: that would be crossed at both its ends.
        let inside = side.iter().rposition(|lane| !is_free(lane));
        let depth = inside.map_or(0, |lane| lane + 1);
        if depth == side.len() {
            side.push(Vec::new());
        }
        side[depth].push((left, right));
        lanes[wire] = Some(Lane { above, depth });
    }
    lanes
}
