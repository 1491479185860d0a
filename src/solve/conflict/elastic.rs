//! The elastic program: every statement may give way, by a column of its own.

use petgraph::Direction;

use super::statement::What;
use crate::catalogue::SubstanceId;
use crate::kinds::{Activity, Level, Portion, Reserve, Role, Stock};
use crate::network::{Network, NodeId};
use crate::program::{About, Column, ColumnId, Family, Form, Program, Row, Sense, formulate};

/// A program in which statements may give way.
#[derive(Clone, Debug)]
pub(super) struct Elastic<'a> {
    /// The network as the design states it.
    pub network: &'a Network,
    /// The program; slack columns are free up to the most that means anything.
    pub program: Program,
    /// Every statement, each once.
    pub statements: Vec<Stated>,
    /// Every slack column.
    pub slacks: Vec<Slack>,
    /// Whether flights have payloads, so that mass itself is limited.
    pub weighs: bool,
}

/// A statement and how it gives way.
#[derive(Clone, Debug)]
pub(super) struct Stated {
    /// What it says.
    pub what: What,
    /// Its slacks.
    pub slacks: Vec<usize>,
}

/// One way in which a row gives way.
#[derive(Clone, Copy, Debug)]
pub(super) struct Slack {
    /// The column.
    pub column: ColumnId,
    /// The most it can mean.
    pub most: f64,
    /// The size of what it relaxes, in the same unit; what is counted is of
    /// size one.
    pub scale: f64,
    /// The statement.
    pub statement: usize,
    /// Whether it lets a node take more than it needs.
    pub beyond: bool,
}

impl<'a> Elastic<'a> {
    /// Writes the elastic program of a network.
    pub fn new(network: &'a Network, form: Form) -> Self {
        let weighs = form == Form::PerFlight
            && network
                .calendar
                .flights
                .iter()
                .any(|flight| flight.payload_kg.is_some());
        // Counts and groups come back as rows that may give way. Spares cannot
        // conflict with anything but a payload, equivalents with nothing.
        let mut loose = network.clone();
        for node in loose.graph.node_weights_mut() {
            node.duties.count.lower = 0;
        }
        loose.exclusive.clear();
        loose.equivalents = None;
        if !weighs {
            loose.spares = None;
        }
        let mut program = formulate(&loose, form);
        for column in &mut program.columns {
            column.cost = 0.0;
        }
        program.constant_kg = 0.0;
        let mut elastic = Elastic {
            network,
            program,
            statements: Vec::new(),
            slacks: Vec::new(),
            weighs,
        };
        for row in 0..elastic.program.rows.len() {
            elastic.loosen(row);
        }
        elastic.units();
        elastic.exclusives();
        if weighs {
            elastic.reserves();
            elastic.spares();
        }
        elastic
    }

    /// Gives a row the slacks of the statements it makes.
    fn loosen(&mut self, index: usize) {
        let Row {
            family,
            about,
            sense,
            right,
            ..
        } = self.program.rows[index];
        let About {
            node,
            substance,
            phase,
            flight,
            ..
        } = about;
        let at_most = if sense == Sense::AtLeast { 1.0 } else { -1.0 };
        let scale = right.abs();
        match (family, node, substance, phase, flight) {
            (Family::Balance, Some(node), Some(substance), Some(phase), _) => {
                self.balance(index, node, substance, phase);
            }
            (Family::Conversion, Some(node), Some(substance), Some(phase), _) => {
                let what = What::Conversion {
                    node,
                    substance,
                    phase,
                };
                self.slack(index, what, at_most, f64::INFINITY, 1.0);
            }
            (Family::Capacity, Some(node), _, Some(phase), _) => {
                let what = match sense {
                    Sense::AtLeast => What::Turndown { node, phase },
                    _ => What::Capacity { node, phase },
                };
                self.slack(index, what, at_most, f64::INFINITY, 1.0);
            }
            (Family::Limits, None, _, _, _) => {
                if let Some(what) = self.limit(index, phase) {
                    self.slack(index, what, at_most, f64::INFINITY, scale);
                }
            }
            (Family::Removal, Some(node), _, _, flight) => {
                let what = match flight {
                    Some(flight) => What::Removed { node, flight },
                    None => What::Stowed { node },
                };
                self.slack(index, what, at_most, f64::INFINITY, scale);
            }
            (Family::Payload, _, _, _, Some(flight)) => {
                let what = What::Payload { flight };
                self.slack(index, what, at_most, f64::INFINITY, scale);
            }
            (_, Some(node), _, _, _) if self.weighs && sense != Sense::Equal => {
                let what = match (family, sense, flight) {
                    (Family::Deliveries, Sense::AtLeast, Some(flight)) => What::Late { flight },
                    (Family::Deliveries, ..) => What::Containers { node },
                    (Family::Reserves, Sense::AtLeast, _) => What::Reserve { node },
                    (Family::Reserves, ..) => What::Tank { node },
                    (Family::Cartridges, ..) => What::Cartridges { node },
                    (Family::Consumables, ..) => What::Consumables { node },
                    _ => return,
                };
                self.slack(index, what, at_most, f64::INFINITY, 1.0);
            }
            _ => {}
        }
    }

    /// A balance holds unless a need goes unmet or is exceeded, a product is not
    /// given, or the substance leaves by no stream.
    fn balance(&mut self, index: usize, node: NodeId, substance: SubstanceId, phase: usize) {
        let duties = self.network.duties(node);
        let portion = |portions: &[Portion]| -> f64 {
            portions
                .iter()
                .filter(|portion| portion.substance == substance)
                .map(|portion| portion.amount)
                .sum()
        };
        let fixed = |portions: fn(&Activity) -> &[Portion]| -> f64 {
            duties
                .activities
                .iter()
                .map(|activity| match &activity.level {
                    Level::Fixed(levels) => levels[phase] * portion(portions(activity)),
                    Level::Free => 0.0,
                })
                .sum()
        };
        let need = fixed(|activity| &activity.takes);
        let product = fixed(|activity| &activity.gives);
        let freely = |role: fn(&Role) -> bool| {
            duties
                .activities
                .iter()
                .any(|activity| activity.level == Level::Free && role(&activity.role))
        };
        let side = self.program.rows[index].about.side;
        if need > 0.0 && side != Some(Direction::Outgoing) {
            let what = What::Need {
                node,
                substance,
                phase,
            };
            self.slack(index, what, 1.0, need, need);
            if side.is_some() {
                let slack = self.slack(index, what, -1.0, f64::INFINITY, need);
                self.slacks[slack].beyond = true;
            }
        }
        let leaves = if side == Some(Direction::Outgoing) {
            1.0
        } else {
            -1.0
        };
        if product > 0.0 && side != Some(Direction::Incoming) {
            let what = What::Product {
                node,
                substance,
                phase,
            };
            self.slack(index, what, leaves, product, product);
        }
        let is_outlet = match side {
            None => true,
            Some(Direction::Incoming) => {
                need == 0.0 && !freely(|role| matches!(role, Role::Leave(_)))
            }
            Some(Direction::Outgoing) => {
                product == 0.0 && !freely(|role| matches!(role, Role::Bring))
            }
        };
        if is_outlet {
            let what = What::Outlet {
                node,
                substance,
                phase,
                made: side == Some(Direction::Outgoing),
            };
            self.slack(index, what, leaves, f64::INFINITY, 1.0);
        }
    }

    /// Which limit of the design a row is.
    fn limit(&self, index: usize, phase: Option<usize>) -> Option<What> {
        let place = self.program.rows[index].place?;
        let limits = &self.network.limits;
        let is =
            |limit: Option<crate::network::Limit>| limit.is_some_and(|limit| limit.place == place);
        match phase {
            Some(phase) if is(limits.power_w) => Some(What::Power { phase }),
            Some(phase) if is(limits.heat_w) => Some(What::Heat { phase }),
            Some(phase) if is(limits.crew_time_h_per_day) => Some(What::CrewTime { phase }),
            None if is(limits.volume_m3) => Some(What::Volume),
            None if is(limits.stowage_kg) => Some(What::Stowage),
            _ => None,
        }
    }

    /// At least so many units of every node that must fly.
    fn units(&mut self) {
        for node in self.network.nodes() {
            let least = f64::from(self.network.duties(node).count.lower);
            let Some(count) = self.program.handles.count[node.index()] else {
                continue;
            };
            if least == 0.0 {
                continue;
            }
            let label = format!("least number of units of {}", self.network.name(node));
            let row = self.row(label, vec![(count, 1.0)], Sense::AtLeast, least);
            self.slack(row, What::Units { node }, 1.0, least, 1.0);
        }
    }

    /// `u ≤ upper · on` for every node of a group, and `Σ on ≤ 1`.
    fn exclusives(&mut self) {
        for (group, exclusive) in self.network.exclusive.iter().enumerate() {
            let mut chosen = Vec::new();
            for &node in &exclusive.nodes {
                let Some(count) = self.program.handles.count[node.index()] else {
                    continue;
                };
                let name = self.network.name(node);
                let on = self.column(format!("{name} is chosen"), 1.0, true);
                let most = f64::from(self.network.duties(node).count.upper);
                let label = format!("units of {name} only where it is chosen");
                self.row(label, vec![(count, 1.0), (on, -most)], Sense::AtMost, 0.0);
                chosen.push((on, 1.0));
            }
            let most = chosen.len() as f64;
            let row = self.row(
                format!("exclusive group {group}"),
                chosen,
                Sense::AtMost,
                1.0,
            );
            self.slack(row, What::Exclusive { group }, -1.0, most, 1.0);
        }
    }

    /// A reserve of stated mass is a bound; here it is a row that may give way.
    fn reserves(&mut self) {
        for node in self.network.nodes() {
            let Some(Stock::Kept {
                reserve: Some(Reserve::Kilograms(kg)),
                ..
            }) = self.network.duties(node).stock
            else {
                continue;
            };
            let Some(column) = self.program.handles.reserve[node.index()] else {
                continue;
            };
            let data = &mut self.program.columns[column.0];
            (data.lower, data.upper) = (0.0, f64::INFINITY);
            let label = format!("reserve of {}", self.network.name(node));
            let row = self.row(label, vec![(column, 1.0)], Sense::AtLeast, kg);
            self.slack(row, What::Reserve { node }, 1.0, kg, kg);
        }
    }

    /// Spares give way by weighing nothing: in the relaxation, every payload is
    /// credited with at most what its spares weigh.
    fn spares(&mut self) {
        let parts = self.program.parts.iter();
        let options: Vec<ColumnId> = parts
            .flat_map(|part| part.options.iter().map(|option| option.column))
            .collect();
        for index in 0..self.program.rows.len() {
            let row = &self.program.rows[index];
            if row.family != Family::Payload {
                continue;
            }
            let carried: Vec<(ColumnId, f64)> = row
                .terms
                .iter()
                .filter(|(column, _)| options.contains(column))
                .map(|&(column, kg)| (column, -kg))
                .collect();
            if carried.is_empty() {
                continue;
            }
            let slack = self.slack(index, What::Spares, -1.0, f64::INFINITY, 1.0);
            let credit = self.slacks[slack].column;
            let mut terms = carried;
            terms.push((credit, 1.0));
            self.row("what spares weigh".to_owned(), terms, Sense::AtMost, 0.0);
        }
    }

    fn column(&mut self, label: String, upper: f64, whole: bool) -> ColumnId {
        self.program.columns.push(Column {
            label,
            place: None,
            lower: 0.0,
            upper,
            whole,
            cost: 0.0,
            circulation: 0.0,
            earliness: 0.0,
            decided_early: false,
        });
        ColumnId(self.program.columns.len() - 1)
    }

    fn row(
        &mut self,
        label: String,
        mut terms: Vec<(ColumnId, f64)>,
        sense: Sense,
        right: f64,
    ) -> usize {
        terms.sort_by_key(|&(column, _)| column);
        self.program.rows.push(Row {
            label,
            place: None,
            family: Family::Limits,
            terms,
            sense,
            right,
            about: About::default(),
        });
        self.program.rows.len() - 1
    }

    /// Adds a slack to a row; hands back its index.
    fn slack(&mut self, row: usize, what: What, factor: f64, most: f64, scale: f64) -> usize {
        let label = format!("slack of {}", self.program.rows[row].label);
        let column = self.column(label, most, false);
        self.program.rows[row].terms.push((column, factor));
        let known = self.statements.iter().position(|known| known.what == what);
        let statement = known.unwrap_or_else(|| {
            let slacks = Vec::new();
            self.statements.push(Stated { what, slacks });
            self.statements.len() - 1
        });
        self.statements[statement].slacks.push(self.slacks.len());
        self.slacks.push(Slack {
            column,
            most,
            scale: scale.max(1e-9),
            statement,
            beyond: false,
        });
        self.slacks.len() - 1
    }

    /// How far every slack may go if these statements hold and all others do not.
    pub fn rooms(&self, holds: impl Fn(usize) -> bool) -> Vec<f64> {
        self.slacks
            .iter()
            .map(|slack| {
                if holds(slack.statement) {
                    0.0
                } else {
                    slack.most
                }
            })
            .collect()
    }

    /// The program with the slacks free up to their rooms and no further. Where
    /// spares may give way, it has none: the search chooses spares apart from the
    /// rows, so that a credit for them would not be seen.
    pub fn program_within(&self, rooms: &[f64]) -> Program {
        let mut program = self.program.clone();
        let mut spares_hold = true;
        for (slack, &room) in self.slacks.iter().zip(rooms) {
            program.columns[slack.column.0].upper = room;
            spares_hold &= room == 0.0 || !self.frees_spares(slack);
        }
        if !spares_hold {
            for part in std::mem::take(&mut program.parts) {
                for option in part.options {
                    program.columns[option.column.0].upper = 0.0;
                }
            }
            program.system_confidence = None;
            program.rows.retain(|row| row.family != Family::Spares);
        }
        program
    }

    /// Whether a slack credits a payload with what its spares weigh.
    pub fn frees_spares(&self, slack: &Slack) -> bool {
        self.statements[slack.statement].what == What::Spares
    }
}
