//! The builder that row families write into, and the handles by which columns
//! are found again.

use crate::diagnostic::Place;
use crate::network::{Network, NodeId, StreamId};

use super::{About, Column, ColumnId, Family, Form, Part, Program, Row, Sense};

/// Where to find columns; indices as in the network, none where a thing cannot be.
#[derive(Clone, Debug, Default)]
pub struct Handles {
    /// Flow of a stream in a phase, kg/d.
    pub flow: Vec<Vec<Option<ColumnId>>>,
    /// Level of a free activity: node, activity, phase.
    pub level: Vec<Vec<Vec<Option<ColumnId>>>>,
    /// Units of a node with hardware.
    pub count: Vec<Option<ColumnId>>,
    /// Units running: node, phase; only with a turndown.
    pub running: Vec<Vec<Option<ColumnId>>>,
    /// Cargo by node and flight, kg; empty in the totals form.
    pub cargo: Vec<Vec<ColumnId>>,
    /// Stock of cargo at the end of every interval: node, interval; empty in the totals form.
    pub stock: Vec<Vec<ColumnId>>,
    /// Containers by node and flight; one entry, the sum, in the totals form.
    pub containers: Vec<Vec<ColumnId>>,
    /// Cartridges by node and flight; one entry, the sum, in the totals form.
    pub cartridges: Vec<Vec<ColumnId>>,
    /// Expendables and upkeep by node and flight, kg; empty in the totals form.
    pub expendables: Vec<Vec<ColumnId>>,
    /// See `expendables`.
    pub upkeep: Vec<Vec<ColumnId>>,
    /// Reserve of a store, kg.
    pub reserve: Vec<Option<ColumnId>>,
    /// What a store's tank must hold, kg.
    pub holds: Vec<Option<ColumnId>>,
    /// Whole tanks of a store.
    pub tanks: Vec<Option<ColumnId>>,
    /// Running totals of whole pieces: the total, and the pieces it sums.
    pub running_totals: Vec<(ColumnId, Vec<ColumnId>)>,
    /// Equivalent mass of a peak load: "power", "cooling".
    pub equivalents: Vec<(&'static str, ColumnId)>,
}

/// Mass that a column puts on a flight.
#[derive(Clone, Copy, Debug)]
pub(super) struct Charge {
    /// The column; none for mass that is there whatever is chosen.
    pub column: Option<ColumnId>,
    /// kg per unit of the column.
    pub kg: f64,
    /// The flight; none in the totals form, where it is not yet known.
    pub flight: Option<usize>,
}

/// Collects columns, rows and charges.
pub(super) struct Builder<'a> {
    /// The network being written.
    pub network: &'a Network,
    /// How deliveries are written.
    pub form: Form,
    /// Where columns are found.
    pub handles: Handles,
    /// Mass put on flights so far.
    pub charges: Vec<Charge>,
    /// Parts that may fail.
    pub parts: Vec<Part>,
    /// Confidence of the whole system.
    pub system_confidence: Option<f64>,
    /// Count column and 0/1 column of every node of every exclusive group.
    pub exclusive: Vec<Vec<(ColumnId, ColumnId)>>,
    columns: Vec<Column>,
    rows: Vec<Row>,
    constant_kg: f64,
}

/// A level or flow that is a column or already a number.
#[derive(Clone, Copy, Debug)]
pub(super) enum Amount {
    /// Chosen.
    Column(ColumnId),
    /// Given.
    Given(f64),
}

/// A sum of columns and a number, on its way into a row.
#[derive(Clone, Debug, Default)]
pub(super) struct Sum {
    terms: Vec<(ColumnId, f64)>,
    constant: f64,
}

impl Sum {
    /// Adds a column with a factor.
    pub fn add(&mut self, column: ColumnId, factor: f64) {
        if factor != 0.0 {
            self.terms.push((column, factor));
        }
    }

    /// Adds an amount with a factor.
    pub fn add_amount(&mut self, amount: Amount, factor: f64) {
        match amount {
            Amount::Column(column) => self.add(column, factor),
            Amount::Given(value) => self.constant += value * factor,
        }
    }

    /// Adds another sum with a factor.
    pub fn add_sum(&mut self, other: &Sum, factor: f64) {
        for &(column, value) in &other.terms {
            self.add(column, value * factor);
        }
        self.constant += other.constant * factor;
    }

    /// Adds a number.
    pub fn add_constant(&mut self, value: f64) {
        self.constant += value;
    }

    /// Whether it is nothing at all.
    pub fn is_zero(&self) -> bool {
        self.terms.is_empty() && self.constant == 0.0
    }

    /// Terms with each column once, in column order.
    fn merged(mut self) -> (Vec<(ColumnId, f64)>, f64) {
        self.terms.sort_by_key(|&(column, _)| column);
        let mut merged: Vec<(ColumnId, f64)> = Vec::with_capacity(self.terms.len());
        for (column, factor) in self.terms {
            match merged.last_mut() {
                Some(last) if last.0 == column => last.1 += factor,
                _ => merged.push((column, factor)),
            }
        }
        merged.retain(|&(_, factor)| factor != 0.0);
        (merged, self.constant)
    }
}

impl<'a> Builder<'a> {
    /// An empty program of a network.
    pub fn new(network: &'a Network, form: Form) -> Self {
        let nodes = network.graph.node_count();
        let handles = Handles {
            count: vec![None; nodes],
            running: vec![Vec::new(); nodes],
            cargo: vec![Vec::new(); nodes],
            stock: vec![Vec::new(); nodes],
            containers: vec![Vec::new(); nodes],
            cartridges: vec![Vec::new(); nodes],
            expendables: vec![Vec::new(); nodes],
            upkeep: vec![Vec::new(); nodes],
            reserve: vec![None; nodes],
            holds: vec![None; nodes],
            tanks: vec![None; nodes],
            ..Handles::default()
        };
        Builder {
            network,
            form,
            handles,
            charges: Vec::new(),
            parts: Vec::new(),
            system_confidence: None,
            exclusive: Vec::new(),
            columns: Vec::new(),
            rows: Vec::new(),
            constant_kg: 0.0,
        }
    }

    /// Declares something chosen, at least zero.
    pub fn column(&mut self, label: String, place: Option<Place>, whole: bool) -> ColumnId {
        self.columns.push(Column {
            label,
            place,
            lower: 0.0,
            upper: f64::INFINITY,
            whole,
            cost: 0.0,
            circulation: 0.0,
            earliness: 0.0,
            decided_early: false,
        });
        ColumnId(self.columns.len() - 1)
    }

    /// Bounds a column.
    pub fn bound(&mut self, column: ColumnId, lower: f64, upper: f64) {
        let column = &mut self.columns[column.0];
        column.lower = lower;
        column.upper = upper;
    }

    /// Declares whole pieces by flight through their running totals: the totals
    /// are the whole columns, `total_k = total_{k−1} + pieces_k`, and the pieces
    /// follow. What is needed by a flight binds a running total, so deciding the
    /// totals decides the pieces; the pieces one by one could be swapped between
    /// flights without end.
    pub fn pieces_by_flight(
        &mut self,
        family: Family,
        what: &str,
        place: Option<Place>,
        kg: f64,
    ) -> Vec<ColumnId> {
        let flights = self.network.calendar.flights.len();
        let mut pieces = Vec::with_capacity(flights);
        let mut before: Option<ColumnId> = None;
        for flight in 0..flights {
            let column = self.column(format!("{what} on flight {flight}"), place, false);
            self.charge(column, kg, Some(flight));
            let total = self.column(format!("{what} up to flight {flight}"), place, true);
            self.columns[total.0].decided_early = flight + 1 == flights;
            let mut sum = Sum::default();
            sum.add(total, 1.0);
            sum.add(column, -1.0);
            if let Some(before) = before {
                sum.add(before, -1.0);
            }
            let label = format!("running total of {what}, flight {flight}");
            self.row(family, label, place, sum, Sense::Equal);
            before = Some(total);
            pieces.push(column);
            self.handles.running_totals.push((total, pieces.clone()));
        }
        pieces
    }

    /// States that a sum compares with zero; what it is about may be added to
    /// the row handed back.
    pub fn row(
        &mut self,
        family: Family,
        label: String,
        place: Option<Place>,
        sum: Sum,
        sense: Sense,
    ) -> &mut Row {
        let (terms, constant) = sum.merged();
        let index = self.rows.len();
        self.rows.push(Row {
            label,
            place,
            family,
            terms,
            sense,
            right: if constant == 0.0 { 0.0 } else { -constant },
            about: About::default(),
        });
        &mut self.rows[index]
    }

    /// Puts mass of a column on a flight.
    pub fn charge(&mut self, column: ColumnId, kg: f64, flight: Option<usize>) {
        if kg != 0.0 {
            self.charges.push(Charge {
                column: Some(column),
                kg,
                flight,
            });
        }
    }

    /// Puts a given mass on a flight.
    pub fn charge_given(&mut self, kg: f64, flight: Option<usize>) {
        if kg != 0.0 {
            self.charges.push(Charge {
                column: None,
                kg,
                flight,
            });
        }
    }

    /// Puts the mass of an amount on a flight.
    pub fn charge_amount(&mut self, amount: Amount, kg: f64, flight: Option<usize>) {
        match amount {
            Amount::Column(column) => self.charge(column, kg, flight),
            Amount::Given(value) => self.charge_given(value * kg, flight),
        }
    }

    /// Adds to the objective what is not launched but counted beside it, at the
    /// departure's gear ratio and outside every payload.
    pub fn weigh(&mut self, sum: &Sum) {
        let gear = self.network.calendar.flights[0].gear_ratio;
        for &(column, kg) in &sum.terms {
            self.columns[column.0].cost += kg * gear;
        }
        self.constant_kg += sum.constant * gear;
    }

    /// Level of an activity in a phase.
    pub fn level(&self, node: NodeId, activity: usize, phase: usize) -> Amount {
        use crate::kinds::Level;
        match &self.network.duties(node).activities[activity].level {
            Level::Fixed(values) => Amount::Given(values[phase]),
            Level::Free => match self.handles.level[node.index()][activity][phase] {
                Some(column) => Amount::Column(column),
                None => Amount::Given(0.0),
            },
        }
    }

    /// Sum of the flows of some streams in a phase.
    pub fn flows(&self, streams: &[StreamId], phase: usize) -> Sum {
        let mut sum = Sum::default();
        for stream in streams {
            if let Some(column) = self.handles.flow[stream.index()][phase] {
                sum.add(column, 1.0);
            }
        }
        sum
    }

    /// Feed of a node's hardware in a phase: Σ load × level, kg/d.
    pub fn feed(&self, node: NodeId, phase: usize) -> Sum {
        let mut sum = Sum::default();
        for (index, activity) in self.network.duties(node).activities.iter().enumerate() {
            if activity.load > 0.0 {
                sum.add_amount(self.level(node, index, phase), activity.load);
            }
        }
        sum
    }

    /// Name of a phase.
    pub fn phase_name(&self, phase: usize) -> &str {
        &self.network.calendar.phases[phase].name
    }

    /// The flight a charge is booked on, or none in the totals form.
    pub fn booked(&self, flight: usize) -> Option<usize> {
        match self.form {
            Form::Totals => None,
            Form::PerFlight => Some(flight),
        }
    }

    /// Turns charges into costs and hands the program over.
    pub fn finish(mut self) -> Program {
        let flights = &self.network.calendar.flights;
        let least_gear = flights
            .iter()
            .map(|flight| flight.gear_ratio)
            .fold(f64::INFINITY, f64::min);
        let end = self.network.calendar.mission_days();
        let mut constant_kg = self.constant_kg;
        for charge in &self.charges {
            let gear = charge
                .flight
                .map_or(least_gear, |flight| flights[flight].gear_ratio);
            match charge.column {
                Some(column) => {
                    let column = &mut self.columns[column.0];
                    column.cost += charge.kg * gear;
                    if let Some(flight) = charge.flight {
                        column.earliness += charge.kg * (end - flights[flight].day);
                    }
                }
                None => constant_kg += charge.kg * gear,
            }
        }
        for (rank, by_phase) in self.handles.flow.iter().enumerate() {
            for (phase, column) in by_phase.iter().enumerate() {
                if let Some(column) = column {
                    let days = self.network.calendar.phases[phase].days;
                    self.columns[column.0].circulation = days * (1.0 + 1e-6 * rank as f64);
                }
            }
        }
        Program {
            form: self.form,
            columns: self.columns,
            rows: self.rows,
            constant_kg,
            handles: self.handles,
            parts: self.parts,
            system_confidence: self.system_confidence,
            exclusive: self.exclusive,
        }
    }
}
