//! The water round, checked: its names are nodes and streams, its numbers in the range
//! in which the physics holds.

mod names;
mod resolve;

pub(super) use resolve::resolve;

use super::{NodeId, StreamId};
use crate::catalogue::SubstanceId;
use crate::physics::moist_air::MoistAir;
use crate::physics::transfer::Line;

/// What is to be worked out beside the plan.
#[derive(Clone, Debug, PartialEq)]
pub struct WaterRound {
    /// The air of the cabin.
    pub air: MoistAir,
    /// Condensers.
    pub coils: Vec<Coil>,
    /// Lines between nodes.
    pub lines: Vec<WaterLine>,
    /// Tanks pushed empty by gas.
    pub tanks: Vec<PressedTank>,
    /// Dispensers fed from containers.
    pub dispensers: Vec<Dispenser>,
    /// Heated drinks.
    pub drinks: Vec<Drink>,
    /// Electrolysers.
    pub cells: Vec<Cells>,
    /// Parts left out, because the variant takes their nodes out.
    pub left_out: Vec<String>,
}

/// The coil of a condenser.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Coil {
    /// The condenser.
    pub node: NodeId,
    /// What is known of it.
    pub known: CoilKnown,
}

/// What is known of a coil; the other follows.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum CoilKnown {
    /// Cabin air that one unit draws, m³/h.
    AirFlow(f64),
    /// Its temperature, °C.
    Temperature(f64),
}

/// A line between two nodes.
#[derive(Clone, Debug, PartialEq)]
pub struct WaterLine {
    /// Its name.
    pub name: String,
    /// Where it begins.
    pub from: NodeId,
    /// Where it ends.
    pub to: NodeId,
    /// The streams that it carries.
    pub streams: Vec<StreamId>,
    /// Its measures.
    pub pipe: Line,
    /// Temperature of the water, °C.
    pub temperature_c: f64,
    /// Share of the time in which it is pumped, above 0.
    pub pumped: f64,
    /// Pressure that the pump works against beside the line's, Pa.
    pub against_pa: f64,
    /// Of the pump, if there is one.
    pub efficiency: Option<f64>,
}

/// Tanks of a cargo that gas pushes empty.
#[derive(Clone, Debug, PartialEq)]
pub struct PressedTank {
    /// The cargo.
    pub node: NodeId,
    /// Content of one tank, m³.
    pub holds_m3: f64,
    /// Absolute pressure of the gas, Pa, above the cabin's.
    pub pressure_pa: f64,
    /// The gas.
    pub gas: SubstanceId,
    /// Its molar mass, g/mol.
    pub gas_g_per_mol: f64,
    /// The line to the store.
    pub pipe: Line,
    /// Temperature of the water, °C.
    pub temperature_c: f64,
    /// Crew time for one tank beside the flow's, h.
    pub set_up_h: f64,
    /// Share of the flow's time in which someone stands by.
    pub attended: f64,
}

/// A dispenser fed from containers.
#[derive(Clone, Debug, PartialEq)]
pub struct Dispenser {
    /// Its name.
    pub name: String,
    /// The nodes that drink from it.
    pub feeds: Vec<NodeId>,
    /// The streams of its water into them.
    pub streams: Vec<StreamId>,
    /// Content of one container, kg.
    pub container_kg: f64,
    /// Crew time to change one, h.
    pub change_h: f64,
}

/// A heated drink.
#[derive(Clone, Debug, PartialEq)]
pub struct Drink {
    /// Its name.
    pub name: String,
    /// What one run gives, m³.
    pub run_m3: f64,
    /// Runs of one serving.
    pub runs: u32,
    /// How long one run takes, d.
    pub run_days: f64,
    /// Servings per person and day.
    pub servings_per_day: f64,
    /// Temperature before, °C.
    pub from_c: f64,
    /// Temperature after, °C.
    pub to_c: f64,
    /// Electric power of the heater, W.
    pub heater_w: f64,
    /// Heat in the water over electric energy.
    pub efficiency: f64,
    /// The node whose unit heats.
    pub at: Option<NodeId>,
}

/// Voltages of an electrolyser.
#[derive(Clone, Debug, PartialEq)]
pub struct Cells {
    /// The electrolyser.
    pub node: NodeId,
    /// Cell voltages, V.
    pub voltages: Vec<f64>,
}
