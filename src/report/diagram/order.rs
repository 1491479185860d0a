//! Which streams run back. A loop has no first node; this picks an order of the nodes in
//! which little runs against it, and the layers in which they stand.

/// A stream as the order sees it.
#[derive(Clone, Copy, Debug)]
pub(super) struct Pull {
    /// Node it leaves.
    pub from: usize,
    /// Node it enters.
    pub to: usize,
    /// What it costs to let it run back; more than nothing.
    pub cost: f64,
}

/// Rounds of moving single nodes; it settles after a few.
const ROUNDS: usize = 40;

/// The nodes in an order in which the streams that run back cost little together: greedy
/// first (P. Eades, X. Lin, W. F. Smyth, Information Processing Letters 47, 1993), then every
/// node is moved to its best place until none wants to move.
pub(super) fn order(nodes: usize, pulls: &[Pull]) -> Vec<usize> {
    let mut order = greedy(nodes, pulls);
    let between = Between::new(nodes, pulls);
    for _ in 0..ROUNDS {
        let mut moved = false;
        for node in 0..nodes {
            moved |= move_to_best(&mut order, node, &between);
        }
        if !moved {
            break;
        }
    }
    order
}

/// Costs of all streams between two nodes, by both.
struct Between {
    nodes: usize,
    costs: Vec<f64>,
}

impl Between {
    fn new(nodes: usize, pulls: &[Pull]) -> Self {
        let mut costs = vec![0.0; nodes * nodes];
        for pull in pulls.iter().filter(|pull| pull.from != pull.to) {
            costs[pull.from * nodes + pull.to] += pull.cost;
        }
        Between { nodes, costs }
    }

    fn cost(&self, from: usize, to: usize) -> f64 {
        self.costs[from * self.nodes + to]
    }
}

fn greedy(nodes: usize, pulls: &[Pull]) -> Vec<usize> {
    let mut left: Vec<usize> = (0..nodes).collect();
    let (mut head, mut tail) = (Vec::new(), Vec::new());
    while !left.is_empty() {
        let mut out = vec![0.0; nodes];
        let mut into = vec![0.0; nodes];
        let is_left = |node: usize| left.contains(&node);
        for pull in pulls {
            if pull.from != pull.to && is_left(pull.from) && is_left(pull.to) {
                out[pull.from] += pull.cost;
                into[pull.to] += pull.cost;
            }
        }
        // A sink goes last, a source first, else the node that gives most over what it takes;
        // the first in file order among equals.
        let next = if let Some(at) = left.iter().position(|&node| out[node] == 0.0) {
            tail.push(left.remove(at));
            continue;
        } else if let Some(at) = left.iter().position(|&node| into[node] == 0.0) {
            at
        } else {
            let surplus = |at: &usize| out[left[*at]] - into[left[*at]];
            let best = (0..left.len())
                .max_by(|one, other| surplus(one).total_cmp(&surplus(other)).then(other.cmp(one)));
            best.unwrap_or(0)
        };
        head.push(left.remove(next));
    }
    tail.reverse();
    head.extend(tail);
    head
}

/// Moves a node to where the streams at it that run back cost least; says whether it moved.
fn move_to_best(order: &mut Vec<usize>, node: usize, between: &Between) -> bool {
    let Some(here) = order.iter().position(|&other| other == node) else {
        return false;
    };
    order.remove(here);
    // At the very front everything into the node runs back.
    let mut cost: f64 = order.iter().map(|&other| between.cost(other, node)).sum();
    let mut costs = vec![cost];
    for &other in order.iter() {
        cost += between.cost(node, other) - between.cost(other, node);
        costs.push(cost);
    }
    let best = (0..costs.len()).fold(here, |best, place| {
        match costs[place] < costs[best] - 1e-9 {
            true => place,
            false => best,
        }
    });
    order.insert(best, node);
    best != here
}

/// The layer of every node, from 0, so that every stream that does not run back goes to a
/// later one and the streams are short together; `weights` say what a layer of length costs.
pub(super) fn layers(order: &[usize], forward: &[Pull], weights: &[f64]) -> Vec<usize> {
    let nodes = order.len();
    let mut layer = vec![0_usize; nodes];
    for &node in order {
        for pull in forward.iter().filter(|pull| pull.from == node) {
            layer[pull.to] = layer[pull.to].max(layer[node] + 1);
        }
    }
    // Nodes slide towards what pulls them more, as far as the others leave room.
    for round in 0..ROUNDS {
        let mut moved = false;
        let mut visit: Vec<usize> = order.to_vec();
        if round % 2 == 0 {
            visit.reverse();
        }
        for node in visit {
            let (mut first, mut last) = (0, usize::MAX);
            let (mut to_left, mut to_right) = (0.0, 0.0);
            for (pull, weight) in forward.iter().zip(weights) {
                if pull.to == node {
                    first = first.max(layer[pull.from] + 1);
                    to_left += weight;
                } else if pull.from == node {
                    last = last.min(layer[pull.to] - 1);
                    to_right += weight;
                }
            }
            let wanted = if to_right > to_left {
                last
            } else if to_left > to_right {
                first
            } else {
                layer[node]
            };
            moved |= wanted != layer[node];
            layer[node] = wanted;
        }
        if !moved {
            break;
        }
    }
    let least = layer.iter().copied().min().unwrap_or(0);
    layer.iter_mut().for_each(|layer| *layer -= least);
    layer
}

#[cfg(test)]
mod tests {
    use super::*;

    fn pulls(streams: &[(usize, usize, f64)]) -> Vec<Pull> {
        let one = |&(from, to, cost): &(usize, usize, f64)| Pull { from, to, cost };
        streams.iter().map(one).collect()
    }

    #[test]
    fn the_cheapest_stream_of_a_ring_runs_back() {
        let ring = pulls(&[(0, 1, 3.0), (1, 2, 1.0), (2, 3, 4.0), (3, 0, 5.0)]);
        assert_eq!(order(4, &ring), [2, 3, 0, 1]);
    }

    #[test]
    fn greed_is_mended() {
        // Two rings through node 0; one stream, 1 to 0, closes both.
        let streams = [
            (0, 2, 4.0),
            (2, 1, 4.0),
            (0, 3, 4.0),
            (3, 1, 4.0),
            (1, 0, 5.0),
        ];
        let order = order(4, &pulls(&streams));
        let place = |node| order.iter().position(|&other| other == node);
        let back: f64 = streams
            .iter()
            .filter(|&&(from, to, _)| place(from) > place(to))
            .map(|&(_, _, cost)| cost)
            .sum();
        assert_eq!(back, 5.0);
    }

    #[test]
    fn sources_stand_beside_what_they_feed() {
        // A chain of four, and a source that feeds its last node.
        let forward = pulls(&[(0, 1, 1.0), (1, 2, 1.0), (2, 3, 1.0), (4, 3, 1.0)]);
        let layer = layers(&[4, 0, 1, 2, 3], &forward, &[1.0; 4]);
        assert_eq!(layer, [0, 1, 2, 3, 2]);
    }
}
