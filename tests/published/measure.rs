//! Looks a value up in an answer.

use loopwright::answer::{Answer, Decisions};
use loopwright::audit::Plan;
use loopwright::kinds::Role;
use loopwright::network::{Network, NodeId};
use loopwright::study::water_round::{Station, water_round};

use crate::check::Of;

/// The plan of a design; none if it has no balance.
pub struct Found<'a>(pub Option<&'a Plan>);

impl Found<'_> {
    /// The value, or why there is none.
    pub fn value(&self, of: &Of) -> Result<f64, String> {
        match (of, &self.0) {
            (Of::Possible, found) => Ok(f64::from(u8::from(found.is_some()))),
            (Of::Const(number), _) => Ok(*number),
            (Of::Sum(parts), _) => parts.iter().map(|part| self.value(part)).sum(),
            (Of::Less(first, second), _) => Ok(self.value(first)? - self.value(second)?),
            (Of::Ratio(first, second), _) => Ok(self.value(first)? / self.value(second)?),
            (_, None) => Err("the design has no answer".to_owned()),
            (Of::Round(station, figure, case), Some(plan)) => round(plan, station, figure, *case),
            (of, Some(plan)) => look(of, plan.network(), plan.answer()),
        }
    }
}

fn look(of: &Of, network: &Network, answer: &Answer) -> Result<f64, String> {
    let decisions = &answer.decisions;
    let wanted = |value: Option<f64>, what: &str| value.ok_or_else(|| format!("no {what}"));
    match of {
        Of::LaunchMass => Ok(answer.launch_mass_kg),
        Of::EquivalentMass => {
            let equivalents = answer.equivalents.as_ref();
            wanted(
                equivalents.map(|mass| mass.equivalent_system_mass_kg),
                "equivalent system mass",
            )
        }
        Of::WaterRecovery => wanted(answer.recovery.water_recovery, "water recovery"),
        Of::OxygenClosure => wanted(answer.recovery.oxygen_closure, "oxygen closure"),
        Of::Draw(name) | Of::Level(name) => level(network, decisions, name),
        Of::Flow(substance, from, to) => flow(network, decisions, substance, from, to),
        Of::Count(name) => {
            let index = node(network, name)?.index();
            wanted(
                decisions.counts.get(index).map(|&units| f64::from(units)),
                "count",
            )
        }
        Of::Containers(name) => {
            let id = node(network, name)?;
            let plan = decisions.cargo.iter().find(|plan| plan.node == id);
            let containers = plan.and_then(|plan| plan.containers.as_ref());
            wanted(
                containers.map(|flights| flights.iter().map(|&y| f64::from(y)).sum()),
                "containers",
            )
        }
        Of::Reserve(name) => {
            let id = node(network, name)?;
            let plan = decisions.stores.iter().find(|plan| plan.node == id);
            wanted(plan.map(|plan| plan.reserve_kg), "reserve")
        }
        Of::Tanks(name) => {
            let id = node(network, name)?;
            let plan = decisions.stores.iter().find(|plan| plan.node == id);
            wanted(plan.and_then(|plan| plan.tanks).map(f64::from), "tanks")
        }
        Of::Spares(part) => {
            let plan = decisions.spares.iter().find(|plan| plan.part == *part);
            wanted(plan.map(|plan| f64::from(plan.spares)), "spares")
        }
        Of::SparesConfidence(part) => {
            let plan = decisions.spares.iter().find(|plan| plan.part == *part);
            wanted(plan.map(|plan| plan.confidence), "spares")
        }
        Of::Round(..) | Of::Possible | Of::Const(_) | Of::Sum(_) | Of::Less(..) | Of::Ratio(..) => {
            Err("not a value of an answer".to_owned())
        }
    }
}

fn round(plan: &Plan, station: &str, figure: &str, case: usize) -> Result<f64, String> {
    let round = water_round(plan).ok_or("no water round")?;
    let named =
        |one: &&Station| station == format!("{}: {}", one.sort, one.name) || station == one.sort;
    let found = round.stations.iter().find(named);
    let found = found.ok_or_else(|| format!("no station \"{station}\""))?;
    let mut figures = found.sheets.iter().flat_map(|sheet| &sheet.figures);
    let figure = figures.find(|one| one.name == figure);
    let value = figure.and_then(|figure| figure.values.get(case)?.number());
    value.ok_or_else(|| format!("no such figure of \"{station}\""))
}

fn node(network: &Network, name: &str) -> Result<NodeId, String> {
    network
        .nodes()
        .find(|&id| network.name(id) == name)
        .ok_or_else(|| format!("no node \"{name}\""))
}

/// Mean over the mission of something steady within each phase.
fn mean(network: &Network, by_phase: &[f64]) -> f64 {
    let calendar = &network.calendar;
    let total: f64 = calendar
        .phases
        .iter()
        .zip(by_phase)
        .map(|(phase, rate)| phase.days * rate)
        .sum();
    total / calendar.mission_days()
}

/// Kilograms a day that a node converts or brings, over all its activities.
fn level(network: &Network, decisions: &Decisions, name: &str) -> Result<f64, String> {
    let id = node(network, name)?;
    let levels = &decisions.levels[id.index()];
    let activities = &network.duties(id).activities;
    Ok(activities
        .iter()
        .zip(levels)
        .filter(|(activity, _)| matches!(activity.role, Role::Convert | Role::Bring))
        .map(|(_, by_phase)| mean(network, by_phase))
        .sum())
}

fn flow(
    network: &Network,
    decisions: &Decisions,
    substance: &str,
    from: &str,
    to: &str,
) -> Result<f64, String> {
    let ends = (node(network, from)?, node(network, to)?);
    let id = network
        .substances
        .find(substance)
        .ok_or_else(|| format!("no substance \"{substance}\""))?;
    let stream = network
        .streams()
        .find(|&stream| network.ends(stream) == ends && network.graph[stream].substance == id)
        .ok_or_else(|| format!("no stream of {substance} from {from} to {to}"))?;
    Ok(mean(network, &decisions.flows[stream.index()]))
}
