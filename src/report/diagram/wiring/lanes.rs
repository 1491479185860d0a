//! Lanes between the rows, above them and below them, for what runs back and for what goes
//! on to another row.

use super::rows::Rows;
use super::{Wire, order_of};
use crate::report::diagram::order::Pull;

/// The lane of a stream.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) struct Lane {
    /// The row below it; the last is that of no row.
    pub channel: usize,
    /// From 0, the uppermost of the channel.
    pub track: usize,
}

/// Lanes of all streams.
#[derive(Clone, Debug)]
pub(super) struct Lanes {
    /// By stream; none for one that goes on within its row.
    pub of: Vec<Option<Lane>>,
    /// How many tracks there are, by channel.
    pub tracks: Vec<usize>,
}

/// One end of a stream on a lane, that goes up or down beside its block.
#[derive(Clone, Copy, Debug)]
pub(super) struct Leg {
    /// Whether its lane lies above its block.
    pub up: bool,
    /// Its place among those beside the same column, from the blocks outwards: first those
    /// whose lanes come back over the blocks, the nearest lane first; then those whose
    /// lanes lead away, the farthest first. So none crosses another of the same block.
    pub place: (bool, usize),
}

impl Lanes {
    /// How a stream leaves its source or comes to its target.
    pub fn leg(&self, index: usize, wire: &Wire, rows: &Rows, leaving: bool) -> Option<Leg> {
        let lane = self.of[index]?;
        let row = rows.row[if leaving { wire.from } else { wire.to }];
        let up = lane.channel <= row;
        let whole = |channels: std::ops::Range<usize>| -> usize {
            channels.map(|channel| self.tracks[channel] + 1).sum()
        };
        let distance = match up {
            true => whole(lane.channel..row + 1) - lane.track,
            false => whole(row + 1..lane.channel) + lane.track,
        };
        let leads_away = rows.layer[wire.to] > rows.layer[wire.from];
        let place = match leads_away {
            true => usize::MAX - distance,
            false => distance,
        };
        Some(Leg {
            up,
            place: (leads_away, place),
        })
    }
}

/// A stream as its channel sees it.
struct Span {
    wire: usize,
    /// Spaces beside columns at which it begins and ends, the left one first.
    left: usize,
    right: usize,
    /// Those of its ends that come from above.
    from_above: Vec<usize>,
    /// Those that come from below.
    from_below: Vec<usize>,
}

impl Span {
    fn meets(&self, other: &Span) -> bool {
        self.left <= other.right && other.left <= self.right
    }

    fn is_crossed_at(&self, end: &usize) -> bool {
        self.left < *end && *end < self.right
    }

    /// Crossings of the two if this one lies above the other.
    fn crossings_above(&self, other: &Span) -> f64 {
        let over = other.from_above.iter();
        let under = self.from_below.iter();
        let crossings = over.filter(|end| self.is_crossed_at(end)).count()
            + under.filter(|end| other.is_crossed_at(end)).count();
        // Rather near to where it comes from.
        let far = f64::from(u8::from(self.from_above.len() < other.from_above.len()));
        crossings as f64 + 0.1 * far
    }
}

/// A lane for every stream that needs one: what runs back within its row on the side to
/// which its ends are nearer, what goes to another row between the two; in an order in
/// which they cross little, and several in one track where they do not meet.
pub(super) fn assign(wires: &[Wire], rows: &Rows, is_lane: &[bool], middles: &[f64]) -> Lanes {
    let mut lanes = Lanes {
        of: vec![None; wires.len()],
        tracks: vec![0; rows.count() + 1],
    };
    let mut channels: Vec<Vec<Span>> = lanes.tracks.iter().map(|_| Vec::new()).collect();
    for (index, wire) in wires.iter().enumerate() {
        if is_lane[index] {
            let channel = channel(wire, rows, middles);
            channels[channel].push(span(index, wire, rows, channel));
        }
    }
    for (channel, spans) in channels.iter().enumerate() {
        let tracks = tracks(spans);
        for (span, &track) in spans.iter().zip(&tracks) {
            lanes.of[span.wire] = Some(Lane { channel, track });
        }
        lanes.tracks[channel] = tracks.iter().max().map_or(0, |last| last + 1);
    }
    lanes
}

fn channel(wire: &Wire, rows: &Rows, middles: &[f64]) -> usize {
    let [from, to] = [rows.row[wire.from], rows.row[wire.to]];
    if from != to {
        return match from < to {
            true => from + 1,
            false => from,
        };
    }
    let (mut top, mut bottom) = (f64::INFINITY, f64::NEG_INFINITY);
    for (row, &y) in rows.row.iter().zip(middles) {
        if *row == from {
            (top, bottom) = (top.min(y), bottom.max(y));
        }
    }
    let is_above = middles[wire.from] + middles[wire.to] < top + bottom;
    if is_above { from } else { from + 1 }
}

fn span(index: usize, wire: &Wire, rows: &Rows, channel: usize) -> Span {
    // Space 2n lies on the left of the blocks of layer n, space 2n + 1 on their right.
    let leaves = 2 * rows.layer[wire.from] + 1;
    let enters = 2 * rows.layer[wire.to];
    let ends = [(wire.from, leaves), (wire.to, enters)];
    let on_side = |above: bool| {
        let ends = ends.iter();
        ends.filter(|(block, _)| (rows.row[*block] < channel) == above)
            .map(|&(_, end)| end)
            .collect()
    };
    Span {
        wire: index,
        left: leaves.min(enters),
        right: leaves.max(enters),
        from_above: on_side(true),
        from_below: on_side(false),
    }
}

/// Tracks of streams of one channel.
fn tracks(spans: &[Span]) -> Vec<usize> {
    let mut pulls = Vec::new();
    for (one, span) in spans.iter().enumerate() {
        for (other, below) in spans.iter().enumerate() {
            let cost = below.crossings_above(span);
            if one != other && span.meets(below) && cost > 0.0 {
                pulls.push(Pull {
                    from: one,
                    to: other,
                    cost,
                });
            }
        }
    }
    let order = order_of(spans.len(), &pulls);
    let mut tracks = vec![0; spans.len()];
    for (place, &one) in order.iter().enumerate() {
        let met = order[..place]
            .iter()
            .filter(|&&other| spans[one].meets(&spans[other]));
        tracks[one] = met.map(|&other| tracks[other] + 1).max().unwrap_or(0);
    }
    // What comes from below alone lies as far down as it may.
    let last = tracks.iter().copied().max().unwrap_or(0);
    for (place, &one) in order.iter().enumerate().rev() {
        if spans[one].from_above.is_empty() {
            let met = order[place + 1..]
                .iter()
                .filter(|&&other| spans[one].meets(&spans[other]));
            tracks[one] = met.map(|&other| tracks[other] - 1).min().unwrap_or(last);
        }
    }
    tracks
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn what_runs_back_lies_around_what_it_spans() {
        let rows = Rows {
            row: vec![0; 4],
            layer: vec![0, 1, 2, 3],
        };
        // The whole row, a piece of it, and another piece beside that one.
        let wires = [Wire::plain(3, 0), Wire::plain(1, 0), Wire::plain(3, 2)];
        let above = assign(&wires, &rows, &[true; 3], &[0.0, 0.0, 9.0, 0.0]);
        let lane = |channel, track| Some(Lane { channel, track });
        assert_eq!(above.of[0], lane(0, 0));
        assert_eq!(above.of[1], lane(0, 1));
        let below = assign(&wires, &rows, &[true; 3], &[9.0; 4]);
        assert_eq!(below.of, [lane(1, 1), lane(1, 0), lane(1, 0)]);
    }

    #[test]
    fn what_goes_to_another_row_lies_between_them() {
        let rows = Rows {
            row: vec![0, 0, 1, 1],
            layer: vec![0, 1, 0, 1],
        };
        let wires = [Wire::plain(1, 2), Wire::plain(3, 0), Wire::plain(0, 1)];
        let lanes = assign(&wires, &rows, &[true, true, false], &[0.0; 4]);
        let channels: Vec<Option<usize>> = lanes
            .of
            .iter()
            .map(|lane| lane.map(|lane| lane.channel))
            .collect();
        assert_eq!(channels, [Some(1), Some(1), None]);
        assert_eq!(lanes.tracks, [0, 2, 0]);
        let leg = |leaving| lanes.leg(0, &wires[0], &rows, leaving);
        assert!(leg(true).is_some_and(|leg| !leg.up));
        assert!(leg(false).is_some_and(|leg| leg.up));
    }
}
