//! The elastic program: every statement may give way, by a column of its own.

use super::statement::What;
use crate::network::Network;
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

    pub(super) fn column(&mut self, label: String, upper: f64, whole: bool) -> ColumnId {
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

    pub(super) fn row(
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
    pub(super) fn slack(
        &mut self,
        row: usize,
        what: What,
        factor: f64,
        most: f64,
        scale: f64,
    ) -> usize {
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
