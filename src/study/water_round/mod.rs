//! The water round of a plan: what lines, coils, tanks, containers and heaters do with
//! its steady flows, by published physics.
//!
//! Each station states its figures with their equations, and for each figure whether
//! the mass budget has it already, could have it, or whether it is only information.

mod air;
mod cells;
mod coils;
mod dispensers;
mod drinks;
mod flows;
mod lines;
mod tanks;

use crate::audit::Plan;

/// The water round of a plan, station by station.
#[derive(Clone, Debug, PartialEq)]
pub struct Round {
    /// In the order of the round.
    pub stations: Vec<Station>,
    /// Parts of the design's water round left out, because a variant takes their nodes out.
    pub left_out: Vec<String>,
}

/// One station: what goes in, what comes out, what to beware of.
#[derive(Clone, Debug, PartialEq)]
pub struct Station {
    /// What it is: "condenser", "line".
    pub sort: &'static str,
    /// Its name in the design; empty for the cabin's air.
    pub name: String,
    /// What is given.
    pub inputs: Vec<Input>,
    /// What follows.
    pub sheets: Vec<Sheet>,
    /// What a reader should know.
    pub remarks: Vec<String>,
    /// What a reader must beware of.
    pub cautions: Vec<String>,
}

/// Something given.
#[derive(Clone, Debug, PartialEq)]
pub struct Input {
    /// What it is.
    pub name: &'static str,
    /// Its value.
    pub value: Given,
    /// Where it comes from.
    pub from: Source,
}

/// The value of something given.
#[derive(Clone, Debug, PartialEq)]
pub enum Given {
    /// A number and its unit.
    Number(f64, &'static str),
    /// Words.
    Words(String),
}

/// Where something given comes from.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Source {
    /// The water round of the design.
    Design,
    /// The plan.
    Plan,
}

/// Figures that are read together, each for the same cases.
#[derive(Clone, Debug, PartialEq)]
pub struct Sheet {
    /// Phases, flights or voltages; one empty name where there is but one case.
    pub cases: Vec<String>,
    /// The figures.
    pub figures: Vec<Figure>,
}

/// A figure, its equation, and what becomes of it.
#[derive(Clone, Debug, PartialEq)]
pub struct Figure {
    /// What it is.
    pub name: &'static str,
    /// Its unit.
    pub unit: &'static str,
    /// The equation, with the meaning of its letters; empty for what the plan gives.
    pub equation: &'static str,
    /// One value for each case.
    pub values: Vec<Value>,
    /// Whether it counts in the mass budget.
    pub budget: Budget,
}

/// The value of a figure.
#[derive(Clone, Debug, PartialEq)]
pub enum Value {
    /// A number in the figure's unit.
    Number(f64),
    /// None, and why.
    No(String),
}

/// What the mass budget makes of a figure.
#[derive(Clone, Debug, PartialEq)]
pub enum Budget {
    /// The plan counts it; where and how much.
    Counted(String),
    /// The plan does not count it; what to write so that it does.
    NotCounted(String),
    /// It is not a thing that a mass budget counts.
    Information,
}

/// Works out the water round of a plan; none where the design does not ask for one.
pub fn water_round(plan: &Plan) -> Option<Round> {
    let round = plan.network().water_round.as_ref()?;
    let mut stations = vec![air::station(round.air)];
    stations.extend(
        round
            .coils
            .iter()
            .map(|coil| coils::station(plan, round.air, coil)),
    );
    stations.extend(round.lines.iter().map(|line| lines::station(plan, line)));
    stations.extend(
        round
            .tanks
            .iter()
            .map(|tank| tanks::station(plan, round.air, tank)),
    );
    let dispensers = round.dispensers.iter();
    stations.extend(dispensers.map(|dispenser| dispensers::station(plan, dispenser)));
    stations.extend(
        round
            .drinks
            .iter()
            .map(|drink| drinks::station(plan, drink)),
    );
    stations.extend(round.cells.iter().map(|cells| cells::station(plan, cells)));
    Some(Round {
        stations,
        left_out: round.left_out.clone(),
    })
}

impl Value {
    /// The number, if there is one.
    pub fn number(&self) -> Option<f64> {
        match self {
            Value::Number(number) => Some(*number),
            Value::No(_) => None,
        }
    }
}

impl From<f64> for Value {
    fn from(number: f64) -> Self {
        Value::Number(number)
    }
}

impl Figure {
    /// A figure for one case, for information.
    fn one(name: &'static str, unit: &'static str, equation: &'static str, value: f64) -> Self {
        Figure::each(name, unit, equation, vec![value])
    }

    /// A figure for several cases, for information.
    fn each(
        name: &'static str,
        unit: &'static str,
        equation: &'static str,
        values: Vec<f64>,
    ) -> Self {
        Figure {
            name,
            unit,
            equation,
            values: values.into_iter().map(Value::from).collect(),
            budget: Budget::Information,
        }
    }

    /// The same with what the mass budget makes of it.
    fn in_budget(self, budget: Budget) -> Self {
        Figure { budget, ..self }
    }
}

impl Sheet {
    /// Figures that hold throughout.
    fn throughout(figures: Vec<Figure>) -> Self {
        Sheet {
            cases: vec![String::new()],
            figures,
        }
    }

    /// Figures phase by phase.
    fn by_phase(plan: &Plan, figures: Vec<Figure>) -> Self {
        let phases = plan.network().calendar.phases.iter();
        Sheet {
            cases: phases.map(|phase| phase.name.clone()).collect(),
            figures,
        }
    }
}

/// Something that the design gives.
fn given(name: &'static str, value: f64, unit: &'static str) -> Input {
    Input {
        name,
        value: Given::Number(value, unit),
        from: Source::Design,
    }
}

/// Something that the plan gives.
fn planned(name: &'static str, value: f64, unit: &'static str) -> Input {
    Input {
        from: Source::Plan,
        ..given(name, value, unit)
    }
}

/// Words that the design gives.
fn named(name: &'static str, words: impl Into<String>) -> Input {
    Input {
        name,
        value: Given::Words(words.into()),
        from: Source::Design,
    }
}
