//! Heights found before, by everything that decides them.

use std::sync::{Mutex, MutexGuard};

use super::rows::Rows;
use super::{Block, Label, Spacing, Wire, relax};
use crate::report::diagram::layers::{self, Heights};

/// So many are kept; what was not wanted for longest makes room.
const MOST: usize = 48;

/// Layouts found before, of which so many at most are kept. A picture whose blocks, labels
/// and streams are arranged as in one drawn before is the same with it or without, and
/// drawn sooner.
///
/// ```
/// # use loopwright::{design, network, report};
/// # let mut sources = loopwright::diagnostic::Sources::new();
/// # let file = sources.add("x", include_str!("../../../../designs/classroom.ron"));
/// # let design = design::read(&sources, file, &design::Edits::default()).unwrap();
/// # let network = network::check(&design).unwrap().network;
/// let kept = report::KeptLayouts::default();
/// let [first, again] = [(); 2].map(|()| report::loop_figure(&network, None, None, &kept));
/// assert_eq!(first.drawing, again.drawing);
/// ```
#[derive(Debug, Default)]
pub struct KeptLayouts {
    /// The last wanted last.
    kept: Mutex<Vec<(Arrangement, Heights)>>,
}

/// What decides heights: everything but widths and what it costs to run back.
#[derive(Clone, Debug, PartialEq)]
struct Arrangement {
    blocks: Vec<Block>,
    wires: Vec<Wire>,
    rows: Rows,
    is_lane: Vec<bool>,
    spacing: Spacing,
}

impl Arrangement {
    fn heights(&self) -> Heights {
        let (blocks, wires, rows) = (&self.blocks, &self.wires, &self.rows);
        let mut heights = layers::heights(blocks, wires, rows, &self.is_lane, self.spacing.room);
        relax::relax(blocks, wires, rows, &mut heights, self.spacing);
        heights
    }
}

impl KeptLayouts {
    /// Heights of blocks and streams, straightened.
    pub(super) fn heights(
        &self,
        blocks: &[Block],
        wires: &[Wire],
        rows: &Rows,
        is_lane: &[bool],
        spacing: Spacing,
    ) -> Heights {
        // What is taken out here is out of the key and of what is found alike.
        let block = |block: &Block| Block {
            width: 0.0,
            body: 0.0,
            ..*block
        };
        let wire = |wire: &Wire| Wire {
            return_cost: 0.0,
            label: wire.label.map(|label| Label {
                width: 0.0,
                ..label
            }),
            ..*wire
        };
        let wanted = Arrangement {
            blocks: blocks.iter().map(block).collect(),
            wires: wires.iter().map(wire).collect(),
            rows: rows.clone(),
            is_lane: is_lane.to_vec(),
            spacing,
        };
        let known = self.take(&wanted);
        let heights = known.unwrap_or_else(|| wanted.heights());
        let mut kept = self.kept();
        kept.push((wanted, heights.clone()));
        let over = kept.len().saturating_sub(MOST);
        kept.drain(..over);
        heights
    }

    fn take(&self, wanted: &Arrangement) -> Option<Heights> {
        let mut kept = self.kept();
        let place = kept.iter().position(|(known, _)| known == wanted)?;
        Some(kept.remove(place).1)
    }

    fn kept(&self) -> MutexGuard<'_, Vec<(Arrangement, Heights)>> {
        self.kept
            .lock()
            .unwrap_or_else(|broken| broken.into_inner())
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::report::diagram::layers::Room;

    const SPACING: Spacing = Spacing {
        room: Room {
            blocks: 10.0,
            streams: 5.0,
        },
        bend: 10.0,
        lane: 5.0,
        spread: true,
    };

    /// Two blocks beside each other that feed a third, with labels so wide and high.
    fn heights(kept: &KeptLayouts, width: f64, above: f64, height: f64) -> Heights {
        let block = Block {
            width,
            height,
            head: 0.0,
            body: width,
        };
        let wire = |from| Wire {
            from,
            to: 2,
            thickness: 2.0,
            label: Some(Label {
                width,
                above,
                below: 0.0,
            }),
            return_cost: width,
        };
        let rows = Rows {
            row: vec![0; 3],
            layer: vec![0, 0, 1],
        };
        let wires = [wire(0), wire(1)];
        kept.heights(&[block; 3], &wires, &rows, &[false; 2], SPACING)
    }

    #[test]
    fn what_is_kept_changes_no_height() {
        let kept = KeptLayouts::default();
        for (width, above, height) in [
            (30.0, 10.0, 40.0),
            (90.0, 10.0, 40.0),
            (30.0, 60.0, 40.0),
            (30.0, 10.0, 80.0),
        ] {
            let found = heights(&kept, width, above, height);
            let fresh = heights(&KeptLayouts::default(), width, above, height);
            assert_eq!(found, fresh, "{width} {above} {height}");
        }
        // Widths alone make no other arrangement.
        assert_eq!(kept.kept().len(), 3);
    }

    #[test]
    fn the_oldest_makes_room() {
        let kept = KeptLayouts::default();
        for height in 0..2 * MOST {
            heights(&kept, 30.0, 10.0, 40.0);
            heights(&kept, 30.0, 10.0, 50.0 + height as f64);
        }
        assert_eq!(kept.kept().len(), MOST);
        let heights: Vec<f64> = kept
            .kept()
            .iter()
            .map(|(one, _)| one.blocks[0].height)
            .collect();
        assert!(heights.contains(&40.0), "{heights:?}");
        assert!(!heights.contains(&50.0), "{heights:?}");
    }
}
