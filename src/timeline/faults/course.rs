//! The course that things take under faults: steady legs, and the levels that
//! follow from them.

use super::conditions::Stretch;
use super::horizon::uses;
use super::lack::Shortfall;
use super::model::Model;
use super::rows::{Columns, taken};
use crate::catalogue::SubstanceId;
use crate::kinds::{Role, Way};
use crate::network::NodeId;
use crate::timeline::levels::{Kept, NOISE, Point, Track};

/// How things go from day 0 to the end.
#[derive(Clone, Debug, PartialEq)]
pub struct Course {
    /// Steady legs, in order of time, without gaps.
    pub legs: Vec<Leg>,
    /// What is kept, over the calendar.
    pub tracks: Vec<Track>,
    /// The first shortfall, if there is one.
    pub first: Option<Shortfall>,
    /// Where all mass goes.
    pub mass: MassBalance,
}

/// Days of steady rates.
#[derive(Clone, Debug, PartialEq)]
pub struct Leg {
    /// First day.
    pub from_day: f64,
    /// Last day.
    pub to_day: f64,
    /// The phase it lies in.
    pub phase: usize,
    /// By stream, kg/d.
    pub flows: Vec<f64>,
    /// By node and activity; leaks that are faults come after a node's own activities.
    pub levels: Vec<Vec<f64>>,
    /// Needs that are not met in full.
    pub unmet: Vec<Unmet>,
    /// Matter without a way out.
    pub held: Vec<HeldUp>,
}

/// A need that goes without something.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Unmet {
    /// Whose.
    pub node: NodeId,
    /// What it goes without.
    pub substance: SubstanceId,
    /// The share of what it would take of it, from 0 to 1.
    pub share: f64,
    /// How much it goes without, kg/d.
    pub kg_per_day: f64,
}

/// Matter that has no way out.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct HeldUp {
    /// Where.
    pub node: NodeId,
    /// What.
    pub substance: SubstanceId,
    /// How much comes to it, kg/d.
    pub kg_per_day: f64,
}

/// Where all mass goes, kg. Whatever is aboard or brought is aboard at the end,
/// or has left; cartridges, expendables and upkeep take no part in it.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub struct MassBalance {
    /// In stores before the departure is unloaded.
    pub at_start_kg: f64,
    /// Cargo that arrives.
    pub brought_kg: f64,
    /// What needs give beyond what they take; nothing where their rates close.
    pub appears_kg: f64,
    /// Lost by leaks.
    pub leaked_kg: f64,
    /// Gone overboard or with flights.
    pub left_kg: f64,
    /// Held up without a way out.
    pub held_kg: f64,
    /// In stores, cargo and stowage at the end.
    pub at_end_kg: f64,
}

impl MassBalance {
    /// What comes in less what is left or gone: nothing but rounding.
    pub fn residual_kg(&self) -> f64 {
        self.at_start_kg + self.brought_kg + self.appears_kg
            - self.leaked_kg
            - self.left_kg
            - self.held_kg
            - self.at_end_kg
    }
}

impl Leg {
    /// Length, d.
    pub fn days(&self) -> f64 {
        self.to_day - self.from_day
    }

    /// Whether anything is missed or held up in it.
    pub fn falls_short(&self) -> bool {
        !self.unmet.is_empty() || !self.held.is_empty()
    }
}

impl Course {
    /// What needs go without over the whole course, kg.
    pub fn unmet_kg(&self) -> f64 {
        let legs = self.legs.iter();
        legs.map(|leg| {
            let unmet: f64 = leg.unmet.iter().map(|unmet| unmet.kg_per_day).sum();
            unmet * leg.days()
        })
        .sum()
    }

    /// What is held up over the whole course, kg.
    pub fn held_kg(&self) -> f64 {
        self.mass.held_kg
    }
}

/// A leg and how fast every stock changes in it.
#[derive(Clone, Debug)]
pub(super) struct Steady {
    pub leg: Leg,
    /// By stock, per day.
    pub change: Vec<f64>,
    appears: f64,
    leaks: f64,
}

/// The leg of a stretch from values of its columns, which are over `days`.
pub(super) fn steady(
    model: &Model,
    stretch: &Stretch,
    columns: &Columns,
    values: &[f64],
    days: f64,
) -> Steady {
    let rate = |column: usize| values[column] / days;
    let levels: Vec<Vec<f64>> = columns
        .level
        .iter()
        .map(|levels| {
            let levels = levels.iter();
            levels.map(|level| level.map_or(0.0, rate)).collect()
        })
        .collect();
    let (mut appears, mut leaks) = (0.0, 0.0);
    let mut change: Vec<f64> = (0..model.stocks.len())
        .map(|stock| {
            let used = uses(model, stretch, columns, stock);
            -used
                .iter()
                .map(|&(column, factor)| factor * rate(column))
                .sum::<f64>()
        })
        .collect();
    for (node, state) in stretch.nodes.iter().enumerate() {
        for (act, level) in state.acts.iter().zip(&levels[node]) {
            let given: f64 = act.activity.gives.iter().map(|give| give.amount).sum();
            match act.activity.role {
                Role::Use => appears += (given - taken(act)) * level,
                Role::Lose => leaks += taken(act) * level,
                Role::Leave(_) => {
                    let waste = model.stock(NodeId::new(node), Kept::Waste);
                    if let Some(waste) = waste {
                        change[waste] += taken(act) * level;
                    }
                }
                _ => {}
            }
        }
    }
    let short = columns.short.iter();
    let unmet = short.filter_map(|&(node, act, substance, column)| {
        let of = &stretch.nodes[node.index()].acts[act];
        let takes = of.activity.takes.iter();
        let takes = takes.filter(|take| take.substance == substance);
        let wanted = takes.map(|take| take.amount).sum::<f64>() * of.need.unwrap_or(0.0);
        let kg_per_day = rate(column);
        let share = kg_per_day / wanted;
        // Less is rounding.
        (share > NOISE && kg_per_day > NOISE).then_some(Unmet {
            node,
            substance,
            share,
            kg_per_day,
        })
    });
    let held = columns
        .held
        .iter()
        .filter_map(|&(node, substance, column)| {
            let kg_per_day = rate(column);
            (kg_per_day > NOISE).then_some(HeldUp {
                node,
                substance,
                kg_per_day,
            })
        });
    let flows = columns.flow.iter().map(|flow| flow.map_or(0.0, rate));
    Steady {
        leg: Leg {
            from_day: stretch.start,
            to_day: stretch.end,
            phase: stretch.phase,
            flows: flows.collect(),
            unmet: unmet.collect(),
            held: held.collect(),
            levels,
        },
        change,
        appears,
        leaks,
    }
}

/// Writes a course down as it goes.
pub(super) struct Recorder<'a> {
    model: &'a Model<'a>,
    /// What is left of every stock.
    pub stocks: Vec<f64>,
    points: Vec<Vec<Point>>,
    legs: Vec<Leg>,
    mass: MassBalance,
}

impl<'a> Recorder<'a> {
    /// Day 0, before anything is unloaded.
    pub fn new(model: &'a Model<'a>) -> Self {
        let stocks: Vec<f64> = model.stocks.iter().map(|stock| stock.start).collect();
        let mass = MassBalance {
            at_start_kg: kept(model, &stocks),
            ..MassBalance::default()
        };
        Recorder {
            model,
            points: vec![Vec::new(); stocks.len()],
            stocks,
            legs: Vec::new(),
            mass,
        }
    }

    /// A day on which a stretch begins: flights bring, and take waste away.
    pub fn arrive(&mut self, day: f64, flights: &[usize]) {
        let before = self.stocks.clone();
        for &flight in flights {
            for (stock, brought) in self.model.brings(flight).enumerate() {
                self.stocks[stock] += brought;
                if self.model.stocks[stock].what == Kept::Cargo {
                    self.mass.brought_kg += brought;
                }
            }
            if flight > 0 {
                self.take_away();
            }
        }
        self.points_at(day, &before);
    }

    /// A vehicle takes away what it may.
    fn take_away(&mut self) {
        let network = self.model.network();
        for (stock, of) in self.model.stocks.iter().enumerate() {
            if of.what != Kept::Waste {
                continue;
            }
            let mut acts = network.duties(of.node).activities.iter();
            let most = acts.find_map(|act| match act.role {
                Role::Leave(Way::Removed { per_flight_kg }) => Some(per_flight_kg),
                _ => None,
            });
            let taken = self.stocks[stock].min(most.unwrap_or(0.0));
            self.stocks[stock] -= taken;
            self.mass.left_kg += taken;
        }
    }

    fn points_at(&mut self, day: f64, before: &[f64]) {
        let levels = before.iter().zip(&self.stocks);
        for (points, (&before, &after)) in self.points.iter_mut().zip(levels) {
            match points.last_mut() {
                // What ends one stretch begins the next.
                Some(last) if last.day == day => last.after = after,
                _ => points.push(Point { day, before, after }),
            }
        }
    }

    /// Steady days.
    pub fn run(&mut self, steady: &Steady) {
        let days = steady.leg.days();
        let rooms = self.model.stocks.iter().map(|of| of.room);
        let each = self.stocks.iter_mut().zip(&steady.change).zip(rooms);
        for ((stock, change), room) in each {
            let next = *stock + change * days;
            // Rounding, on either side of nothing and of full.
            *stock = match (next.abs() <= NOISE, room - next <= NOISE) {
                (true, _) => 0.0,
                (false, true) => room,
                (false, false) => next,
            };
        }
        self.mass.appears_kg += steady.appears * days;
        self.mass.leaked_kg += steady.leaks * days;
        let held: f64 = steady.leg.held.iter().map(|held| held.kg_per_day).sum();
        self.mass.held_kg += held * days;
        self.legs.push(steady.leg.clone());
        let now = self.stocks.clone();
        self.points_at(steady.leg.to_day, &now);
    }

    /// The end of the mission, when a last vehicle takes waste away.
    pub fn finish(mut self, first: Option<Shortfall>) -> Course {
        let before = self.stocks.clone();
        let end = self.model.network().calendar.mission_days();
        self.take_away();
        self.points_at(end, &before);
        self.mass.at_end_kg = kept(self.model, &self.stocks);
        for (stock, of) in self.model.stocks.iter().enumerate() {
            if of.what == Kept::Waste && goes_overboard(self.model, of.node) {
                self.mass.left_kg += self.stocks[stock];
            }
        }
        Course {
            tracks: self.tracks(),
            legs: self.legs,
            first,
            mass: self.mass,
        }
    }

    /// As the tracks of a plan: stores count what is transferred into them, and
    /// what goes overboard is not kept.
    fn tracks(&self) -> Vec<Track> {
        let network = self.model.network();
        let mut tracks = Vec::new();
        for (stock, of) in self.model.stocks.iter().enumerate() {
            if of.what == Kept::Waste && goes_overboard(self.model, of.node) {
                continue;
            }
            let mut points = self.points[stock].clone();
            if of.what == Kept::Store {
                for cargo in network.transferred_into(of.node) {
                    let Some(cargo) = self.model.stock(cargo, Kept::Cargo) else {
                        continue;
                    };
                    for (point, more) in points.iter_mut().zip(&self.points[cargo]) {
                        point.before += more.before;
                        point.after += more.after;
                    }
                }
            }
            tracks.push(Track {
                node: of.node,
                what: of.what,
                points,
                room: None,
                use_per_day: Vec::new(),
            });
        }
        tracks.retain(|track| track.what == Kept::Store || track.most().level > NOISE);
        tracks
    }
}

fn goes_overboard(model: &Model, node: NodeId) -> bool {
    let mut acts = model.network().duties(node).activities.iter();
    acts.any(|act| act.role == Role::Leave(Way::Overboard))
}

/// What is aboard of stores, cargo and waste, kg; what went overboard is not.
fn kept(model: &Model, stocks: &[f64]) -> f64 {
    let stocks = model.stocks.iter().zip(stocks);
    let aboard = stocks.filter(|(of, _)| match of.what {
        Kept::Store | Kept::Cargo => true,
        Kept::Waste => !goes_overboard(model, of.node),
        _ => false,
    });
    aboard.map(|(_, kg)| kg).sum()
}
