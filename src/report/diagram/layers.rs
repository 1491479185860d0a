//! Heights of blocks and streams in their layers, by the layered layout of the library
//! `dagre`; nothing else knows it.

use dagre::graph::{Edge, Graph, GraphOptions};
use dagre::layout::types::LabelPos;
use dagre::{EdgeLabel, LayoutOptions, NodeLabel, RankDir, layout};

use super::wiring::{Block, Rows, Wire};

/// Least room between blocks, and between streams and their labels, px.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(super) struct Room {
    /// Between blocks of a layer.
    pub blocks: f64,
    /// Between streams, and between a stream and a block.
    pub streams: f64,
}

/// Where a stream passes a column of its row: blocks stand in columns 0, 2, 4 ..., labels in
/// those between.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(super) struct Station {
    /// The column.
    pub column: usize,
    /// Height of its middle, px.
    pub y: f64,
}

/// Heights of everything, px, in every row by itself; the least is not 0.
#[derive(Clone, Debug, PartialEq)]
pub(super) struct Heights {
    /// Of the middles of the blocks.
    pub blocks: Vec<f64>,
    /// Of the streams, between their ends; none for one on a lane.
    pub stations: Vec<Vec<Station>>,
}

/// Finds heights so that few streams cross and nothing lies over anything.
pub(super) fn heights(
    blocks: &[Block],
    wires: &[Wire],
    rows: &Rows,
    is_lane: &[bool],
    room: Room,
) -> Heights {
    let mut heights = Heights {
        blocks: vec![0.0; blocks.len()],
        stations: vec![Vec::new(); wires.len()],
    };
    for row in 0..rows.count() {
        place_row(&mut heights, blocks, wires, rows, is_lane, row, room);
    }
    heights
}

fn place_row(
    heights: &mut Heights,
    blocks: &[Block],
    wires: &[Wire],
    rows: &Rows,
    is_lane: &[bool],
    row: usize,
    room: Room,
) {
    let mut graph: Graph<NodeLabel, EdgeLabel> = Graph::with_options(GraphOptions {
        directed: true,
        multigraph: true,
        compound: false,
    });
    let here: Vec<usize> = (0..blocks.len())
        .filter(|&block| rows.row[block] == row)
        .collect();
    for &block in &here {
        let label = NodeLabel {
            width: 1.0,
            height: blocks[block].height,
            ..NodeLabel::default()
        };
        graph.set_node(block_name(block), Some(label));
    }
    let mut chains = Vec::new();
    for (index, wire) in wires.iter().enumerate() {
        if !is_lane[index] && rows.row[wire.from] == row {
            let chain = add_chain(&mut graph, index, wire, &rows.layer);
            chains.push((index, chain));
        }
    }
    let options = LayoutOptions {
        rankdir: RankDir::LR,
        nodesep: room.blocks,
        edgesep: room.streams,
        ranksep: 2.0,
        ..LayoutOptions::default()
    };
    layout(&mut graph, Some(options));
    let middle = |name: &str| graph.node(name).and_then(|node| node.y).unwrap_or(0.0);
    // Of two like pictures, the one in which blocks below each other stand as in the file.
    let way = match is_upside_down(&here, &rows.layer, |block| middle(&block_name(block))) {
        true => -1.0,
        false => 1.0,
    };
    for &block in &here {
        heights.blocks[block] = way * middle(&block_name(block));
    }
    for (index, chain) in chains {
        let first = 2 * rows.layer[wires[index].from];
        let stations = &mut heights.stations[index];
        for (place, edge) in chain.iter().enumerate() {
            let label = graph.edge_by_obj(edge).and_then(|edge| edge.y);
            stations.push(Station {
                column: first + 2 * place + 1,
                y: way * label.unwrap_or(0.0),
            });
            if place + 1 < chain.len() {
                stations.push(Station {
                    column: first + 2 * place + 2,
                    y: way * middle(&edge.w),
                });
            }
        }
    }
}

/// Whether most pairs of blocks in one layer stand against the order of the file.
fn is_upside_down(here: &[usize], layer: &[usize], middle: impl Fn(usize) -> f64) -> bool {
    let (mut as_written, mut against) = (0, 0);
    for (place, &one) in here.iter().enumerate() {
        for &other in &here[place + 1..] {
            if layer[one] == layer[other] {
                match middle(one) < middle(other) {
                    true => as_written += 1,
                    false => against += 1,
                }
            }
        }
    }
    against > as_written
}

/// Numbers of fixed width: the library sorts by name.
fn block_name(index: usize) -> String {
    format!("b{index:06}")
}

/// A stream as unit steps over blocks of its own, so that in every layer it has its room.
fn add_chain(
    graph: &mut Graph<NodeLabel, EdgeLabel>,
    index: usize,
    wire: &Wire,
    layer: &[usize],
) -> Vec<Edge> {
    let length = layer[wire.to].saturating_sub(layer[wire.from]).max(1);
    let mut chain = Vec::new();
    let mut from = block_name(wire.from);
    for step in 0..length {
        let to = match step + 1 == length {
            true => block_name(wire.to),
            false => format!("w{index:06}-{step:03}"),
        };
        if step + 1 < length {
            let label = NodeLabel {
                width: 1.0,
                height: wire.thickness,
                ..NodeLabel::default()
            };
            graph.set_node(to.clone(), Some(label));
        }
        let (above, below) = wire.reach(step == 0);
        let edge = EdgeLabel {
            width: 1.0,
            height: above + below,
            labelpos: LabelPos::Center,
            // Long streams stay straight.
            weight: if length > 1 { 2 } else { 1 },
            ..EdgeLabel::default()
        };
        let name = format!("w{index:06}");
        graph.set_edge(from.clone(), to.clone(), Some(edge), Some(&name));
        chain.push(Edge::with_name(from, to.clone(), name));
        from = to;
    }
    chain
}
