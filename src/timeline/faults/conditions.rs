//! What holds between two days on which something changes by itself.

use crate::catalogue::SubstanceId;
use crate::kinds::{Activity, Level, Portion, Role};
use crate::network::{Fault, Network, NodeId, Window};

use super::model::Model;

/// The stretches of a mission under faults.
#[derive(Clone, Debug)]
pub(super) struct Conditions {
    /// In order of time, without gaps.
    pub stretches: Vec<Stretch>,
    /// The first day on which a fault matters.
    pub from_day: f64,
}

/// A piece of the mission in which nothing changes by itself.
#[derive(Clone, Debug)]
pub(super) struct Stretch {
    /// First day.
    pub start: f64,
    /// Last day.
    pub end: f64,
    /// The phase it lies in.
    pub phase: usize,
    /// Flights that arrive at its start.
    pub arrivals: Vec<usize>,
    /// What every node can do.
    pub nodes: Vec<NodeState>,
}

/// What a node can do in a stretch.
#[derive(Clone, Debug)]
pub(super) struct NodeState {
    /// Whether it works at all.
    pub works: bool,
    /// Units in action (1 for a node without hardware).
    pub units: f64,
    /// What it does.
    pub acts: Vec<Act>,
}

/// An activity in a stretch.
#[derive(Clone, Debug)]
pub(super) struct Act {
    /// What it takes and gives.
    pub activity: Activity,
    /// Its level by the plan.
    pub planned: f64,
    /// The level that is wanted of it, if it is a need.
    pub need: Option<f64>,
}

impl Stretch {
    /// Length, d.
    pub fn days(&self) -> f64 {
        self.end - self.start
    }
}

/// Two days closer than this are the same day.
const SAME_DAY: f64 = 1e-6;

impl Conditions {
    /// The stretches of a plan under faults.
    pub fn of(model: &Model, faults: &[Fault]) -> Self {
        let network = model.network();
        let calendar = &network.calendar;
        let end = calendar.mission_days();
        let arrivals: Vec<Option<f64>> = (0..calendar.flights.len())
            .map(|flight| arrival(network, flight, faults).filter(|day| *day < end - SAME_DAY))
            .collect();
        let outages = outages(model, faults, &arrivals);
        let mut cuts: Vec<f64> = (0..=calendar.phases.len())
            .map(|phase| calendar.phase_start(phase))
            .collect();
        cuts.extend(arrivals.iter().flatten());
        let windows = faults.iter().filter_map(window);
        let windows = windows.chain(outages.iter().map(|outage| outage.window));
        cuts.extend(windows.flat_map(|window| [window.from, window.to]));
        let from_day = faults.iter().map(|fault| begins(network, fault));
        let from_day = from_day.fold(end, f64::min);
        cuts.push(from_day);
        cuts.retain(|day| (0.0..=end).contains(day));
        cuts.sort_by(f64::total_cmp);
        cuts.dedup_by(|later, earlier| *later - *earlier <= SAME_DAY);
        let stretches = cuts.windows(2).map(|pair| {
            let (start, stop) = (pair[0], pair[1]);
            let middle = 0.5 * (start + stop);
            let phase = (0..calendar.phases.len())
                .rev()
                .find(|&phase| calendar.phase_start(phase) <= middle)
                .unwrap_or(0);
            let comes = arrivals.iter().enumerate().filter_map(|(flight, day)| {
                let day = (*day)?;
                // On or after this cut, but before the next one.
                (day > start - SAME_DAY && day < stop - SAME_DAY).then_some(flight)
            });
            Stretch {
                start,
                end: stop,
                phase,
                arrivals: comes.collect(),
                nodes: network
                    .nodes()
                    .map(|node| state(model, node, phase, middle, faults, &outages))
                    .collect(),
            }
        });
        Conditions {
            stretches: stretches.collect(),
            from_day,
        }
    }
}

/// When a flight arrives, if ever.
fn arrival(network: &Network, flight: usize, faults: &[Fault]) -> Option<f64> {
    let planned = network.calendar.flights[flight].day;
    faults.iter().try_fold(planned, |day, fault| match fault {
        Fault::Lost { flight: lost } if *lost == flight => None,
        Fault::Late { flight: late, days } if *late == flight => Some(day.max(planned + days)),
        _ => Some(day),
    })
}

fn window(fault: &Fault) -> Option<Window> {
    match fault {
        Fault::Down { window, .. }
        | Fault::Leak { window, .. }
        | Fault::MoreCrew { window, .. }
        | Fault::LessYield { window, .. } => Some(*window),
        Fault::Late { .. } | Fault::Lost { .. } => None,
    }
}

/// The day from which a fault matters.
fn begins(network: &Network, fault: &Fault) -> f64 {
    match fault {
        Fault::Late { flight, .. } | Fault::Lost { flight } => {
            network.calendar.flights[*flight].day
        }
        other => window(other).map_or(0.0, |window| window.from),
    }
}

/// A node's units that are not there, or not working.
struct Outage {
    node: NodeId,
    /// None means all of them.
    units: Option<u32>,
    window: Window,
}

/// Nodes that are down, and nodes whose units wait for a flight: their first
/// ones, or those that replace worn-out ones.
fn outages(model: &Model, faults: &[Fault], arrivals: &[Option<f64>]) -> Vec<Outage> {
    let network = model.network();
    let calendar = &network.calendar;
    let end = calendar.mission_days();
    let mut outages = Vec::new();
    for fault in faults {
        match fault {
            Fault::Down {
                node,
                units,
                window,
            } => outages.push(Outage {
                node: *node,
                units: *units,
                window: *window,
            }),
            Fault::Late { flight, .. } | Fault::Lost { flight } => {
                let comes = arrivals[*flight].unwrap_or(end);
                for node in network.nodes() {
                    let waits = waiting(network, node, *flight, comes);
                    outages.extend(waits.map(|window| Outage {
                        node,
                        units: None,
                        window,
                    }));
                }
            }
            _ => {}
        }
    }
    outages
}

/// When a node waits for units that a flight carries: from the day on which they
/// are due to the flight's arrival, or to the next replacement after it.
fn waiting(network: &Network, node: NodeId, flight: usize, comes: f64) -> Option<Window> {
    let hardware = network.duties(node).hardware.as_ref()?;
    let calendar = &network.calendar;
    let start = network.start_day(node);
    let first = network.hardware_flight(node) == flight && !network.duties(node).count.installed;
    let due = match (first, hardware.life_days) {
        (true, _) => start,
        (false, Some(life)) => {
            let by_flight = network.replacements_by_flight(node);
            let before: f64 = by_flight.iter().take(flight).sum();
            if by_flight[flight] < 0.5 {
                return None;
            }
            start + (before + 1.0) * life
        }
        (false, None) => return None,
    };
    let next = hardware.life_days.and_then(|life| {
        let by_flight = network.replacements_by_flight(node);
        let through: f64 = by_flight.iter().take(flight + 1).sum();
        let later: f64 = by_flight.iter().skip(flight + 1).sum();
        (later > 0.5).then_some(start + (through + 1.0) * life)
    });
    let to = comes
        .min(next.unwrap_or(f64::INFINITY))
        .min(calendar.mission_days());
    (to > due).then_some(Window { from: due, to })
}

fn state(
    model: &Model,
    node: NodeId,
    phase: usize,
    day: f64,
    faults: &[Fault],
    outages: &[Outage],
) -> NodeState {
    let network = model.network();
    let decisions = &model.plan.answer().decisions;
    let duties = network.duties(node);
    let mut units = f64::from(decisions.counts[node.index()]);
    let mut is_down = false;
    let here = outages
        .iter()
        .filter(|outage| outage.node == node && outage.window.holds(day));
    for outage in here {
        match outage.units {
            Some(down) => units = (units - f64::from(down)).max(0.0),
            None => is_down = true,
        }
    }
    let gone = duties.hardware.is_some() && units <= 0.0;
    let works = network.works(node, phase) && !is_down && !gone;
    let levels = &decisions.levels[node.index()];
    let mut acts: Vec<Act> = duties
        .activities
        .iter()
        .zip(levels)
        .map(|(activity, levels)| {
            let mut activity = activity.clone();
            let need = match &activity.level {
                Level::Fixed(values) => {
                    let more = more_of(network, &activity, phase, day, faults);
                    Some(if works { values[phase] + more } else { 0.0 })
                }
                Level::Free => None,
            };
            for fault in faults {
                lessen(&mut activity, node, day, fault);
            }
            Act {
                activity,
                planned: levels[phase],
                need,
            }
        })
        .collect();
    if works {
        acts.extend(faults.iter().filter_map(|fault| leak(node, day, fault)));
    }
    NodeState { works, units, acts }
}

/// By how much more people raise the level of a need.
fn more_of(
    network: &Network,
    activity: &Activity,
    phase: usize,
    day: f64,
    faults: &[Fault],
) -> f64 {
    let (Level::Fixed(levels), "people") = (&activity.level, activity.level_unit) else {
        return 0.0;
    };
    let phases = network.calendar.phases.iter().zip(levels);
    let in_phase = network.calendar.phases.get(phase).zip(levels.get(phase));
    let share = |people: f64, level: f64| (people > 0.0).then_some(level / people);
    let of_phase = in_phase.and_then(|(phase, level)| share(phase.crew, *level));
    // In a phase without people, as in the phase that has some.
    let shares = phases.filter_map(|(phase, level)| share(phase.crew, *level));
    let share = of_phase.unwrap_or_else(|| shares.fold(0.0, f64::max));
    let more: f64 = faults
        .iter()
        .map(|fault| match fault {
            Fault::MoreCrew { people, window } if window.holds(day) => *people,
            _ => 0.0,
        })
        .sum();
    more * share
}

/// Takes from a product what a fault takes, and gives it to the largest other
/// product of the same feed.
fn lessen(activity: &mut Activity, node: NodeId, day: f64, fault: &Fault) {
    let Fault::LessYield {
        node: at,
        product,
        lost,
        window,
    } = fault
    else {
        return;
    };
    if *at != node || !window.holds(day) || activity.role != Role::Convert {
        return;
    }
    let Some(short) = place_of(&activity.gives, *product) else {
        return;
    };
    let others = (0..activity.gives.len()).filter(|&index| index != short);
    let largest = others.max_by(|&one, &other| {
        let amount = |index: usize| activity.gives[index].amount;
        // Of equals the first.
        amount(one).total_cmp(&amount(other)).then(other.cmp(&one))
    });
    if let Some(largest) = largest {
        let loss = activity.gives[short].amount * lost;
        activity.gives[short].amount -= loss;
        activity.gives[largest].amount += loss;
    }
}

fn place_of(portions: &[Portion], substance: SubstanceId) -> Option<usize> {
    let mut portions = portions.iter();
    portions.position(|portion| portion.substance == substance)
}

fn leak(node: NodeId, day: f64, fault: &Fault) -> Option<Act> {
    match fault {
        Fault::Leak {
            node: at,
            substance,
            kg_per_day,
            window,
        } if *at == node && window.holds(day) => Some(Act {
            activity: Activity {
                label: "leak".to_owned(),
                level: Level::Fixed(Vec::new()),
                level_unit: "kg/d",
                takes: vec![Portion {
                    substance: *substance,
                    amount: 1.0,
                }],
                gives: Vec::new(),
                load: 0.0,
                feed_limits: Vec::new(),
                power_w: 0.0,
                heat_w: 0.0,
                role: Role::Lose,
                conserves: true,
            },
            planned: 0.0,
            need: Some(*kg_per_day),
        }),
        _ => None,
    }
}
