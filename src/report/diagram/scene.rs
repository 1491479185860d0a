//! What a picture shows, in words: nodes and streams of a network, with what a plan says
//! of them. Nothing is placed here.

use crate::answer::Decisions;
use crate::audit::Plan;
use crate::catalogue::Family;
use crate::kinds::{Role, Stock};
use crate::network::{Network, NodeId, StreamId};
use crate::report::number::fixed;

/// Less flow than this is noise of the linear solver, kg/d.
const NOISE_KG_PER_DAY: f64 = 1e-9;

/// Flows of more phases than this are given as their range.
pub(super) const MOST_PHASES: usize = 3;

/// What a node is to a reader.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum Part {
    /// People.
    People,
    /// Units that work.
    Hardware,
    /// A store.
    Store,
    /// Cargo.
    Cargo,
    /// A way out of the loop.
    Outlet,
    /// Anything else.
    Other,
}

/// A node.
#[derive(Clone, Debug)]
pub(super) struct Spot {
    /// Its name.
    pub name: String,
    /// How many units, or what it is; empty if its name says that.
    pub note: String,
    /// What it is.
    pub part: Part,
    /// Whether it is there; without a plan everything is.
    pub is_used: bool,
    /// The family of what it keeps or brings.
    pub family: Option<Family>,
}

/// A stream.
#[derive(Clone, Debug)]
pub(super) struct Run {
    /// Node it leaves.
    pub from: usize,
    /// Node it enters.
    pub to: usize,
    /// What flows.
    pub substance: String,
    /// Its family.
    pub family: Family,
    /// Flow in the phases shown, kg/d; none without a plan.
    pub kg_per_day: Option<Vec<f64>>,
}

/// Nodes and streams, each in file order.
#[derive(Clone, Debug)]
pub(super) struct Scene {
    pub spots: Vec<Spot>,
    pub runs: Vec<Run>,
    /// Names of the phases shown.
    pub phases: Vec<String>,
    /// Whether the design has more than one.
    pub of_several: bool,
}

impl Scene {
    /// Everything of a network, with the flows of one phase or of all of them.
    pub fn of(network: &Network, plan: Option<&Plan>, phase: Option<usize>) -> Scene {
        let shown: Vec<usize> = (0..network.calendar.phases.len())
            .filter(|&one| phase.is_none_or(|phase| phase == one))
            .collect();
        let decisions = plan.map(|plan| &plan.answer().decisions);
        Scene {
            spots: network
                .nodes()
                .map(|node| spot(network, decisions, node))
                .collect(),
            runs: network
                .streams()
                .map(|stream| run(network, decisions, stream, &shown))
                .collect(),
            of_several: network.calendar.phases.len() > 1,
            phases: shown
                .iter()
                .map(|&phase| network.calendar.phases[phase].name.clone())
                .collect(),
        }
    }
}

impl Run {
    /// Whether anything flows in the phases shown; without a plan it may.
    pub fn is_used(&self) -> bool {
        self.kg_per_day
            .as_ref()
            .is_none_or(|flows| flows.iter().any(|flow| *flow > NOISE_KG_PER_DAY))
    }

    /// The largest flow of the phases shown, kg/d.
    pub fn most(&self) -> f64 {
        let flows = self.kg_per_day.iter().flatten();
        flows.copied().fold(0.0, f64::max)
    }

    /// The flow of every phase shown, kg/d: "8.21", "4.10 | 8.21"; of more than three, the
    /// least and the most: "0 to 8.21". None without a plan.
    pub fn amount(&self) -> Option<String> {
        let flows = self.kg_per_day.as_ref()?;
        let least = flows.iter().copied().fold(f64::INFINITY, f64::min);
        let same = flows.iter().all(|flow| rate(*flow) == rate(least));
        match flows.len() {
            0 => None,
            _ if same => Some(rate(least)),
            1..=MOST_PHASES => {
                let words: Vec<String> = flows.iter().map(|flow| rate(*flow)).collect();
                Some(words.join(" | "))
            }
            _ => Some(format!("{} to {}", rate(least), rate(self.most()))),
        }
    }
}

impl Scene {
    /// How the amounts at a stream are to be read: of which phases, where there are several.
    pub fn amounts(&self) -> String {
        match self.phases.len() {
            0 | 1 if !self.of_several => "amounts in kg/d".to_owned(),
            0..=MOST_PHASES => format!("amounts in kg/d: {}", self.phases.join(" | ")),
            phases => format!("amounts in kg/d: least to most of {phases} phases"),
        }
    }

    /// What a reader sees who points at a stream.
    pub fn hover(&self, run: &Run) -> String {
        let ends = [run.from, run.to].map(|spot| self.spots[spot].name.as_str());
        let mut words = format!("{}, {} to {}", run.substance, ends[0], ends[1]);
        if let Some(flows) = &run.kg_per_day {
            for (phase, flow) in self.phases.iter().zip(flows) {
                words.push_str(&format!("; {phase}: {} kg/d", fixed(*flow, 3)));
            }
        }
        words
    }
}

/// A flow with three digits or so: 0.0123, 1.23, 12.3, 123.
pub(super) fn rate(kg_per_day: f64) -> String {
    let size = kg_per_day.abs();
    if size <= NOISE_KG_PER_DAY {
        return "0".to_owned();
    }
    if size < 0.0005 {
        return "<0.001".to_owned();
    }
    let decimals = match size {
        size if size >= 99.95 => 0,
        size if size >= 9.995 => 1,
        size if size >= 0.9995 => 2,
        _ => 3,
    };
    fixed(kg_per_day, decimals)
}

fn spot(network: &Network, decisions: Option<&Decisions>, node: NodeId) -> Spot {
    let duties = network.duties(node);
    let units = decisions.map(|decisions| decisions.counts[node.index()]);
    let leaves = duties
        .activities
        .iter()
        .any(|activity| matches!(activity.role, Role::Leave(_)));
    let part = match &duties.stock {
        Some(Stock::Delivered { .. }) => Part::Cargo,
        Some(Stock::Kept { .. }) => Part::Store,
        None if duties.hardware.is_some() => Part::Hardware,
        None if duties.is_people => Part::People,
        None if leaves => Part::Outlet,
        None => Part::Other,
    };
    let name = network.name(node).to_owned();
    let kind = network.graph[node].kind.to_lowercase();
    let note = match (&duties.hardware, units) {
        (Some(_), Some(0)) => "not used".to_owned(),
        (Some(_), Some(1)) => "1 unit".to_owned(),
        (Some(_), Some(units)) => format!("{units} units"),
        (Some(_), None) => match duties.count.lower == 1 && duties.count.upper == 1 {
            true => "1 unit".to_owned(),
            false => format!("{} units", duties.count),
        },
        (None, _) if part == Part::Other || part == Part::Outlet || name.contains(&kind) => {
            String::new()
        }
        (None, _) => kind,
    };
    let family = match &duties.stock {
        Some(Stock::Delivered { substance, .. } | Stock::Kept { substance, .. }) => {
            Some(network.substances.family(*substance))
        }
        None => None,
    };
    Spot {
        is_used: duties.hardware.is_none() || units != Some(0),
        name,
        note,
        part,
        family,
    }
}

fn run(network: &Network, decisions: Option<&Decisions>, stream: StreamId, shown: &[usize]) -> Run {
    let (from, to) = network.ends(stream);
    let substance = network.graph[stream].substance;
    Run {
        from: from.index(),
        to: to.index(),
        substance: network.substances.name(substance).to_owned(),
        family: network.substances.family(substance),
        kg_per_day: decisions.map(|decisions| {
            let flows = &decisions.flows[stream.index()];
            shown.iter().map(|&phase| flows[phase].max(0.0)).collect()
        }),
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn rates_have_the_digits_that_matter() {
        let words = [
            0.0, 1e-12, 0.0001, 0.0123, 0.9996, 9.996, 12.34, 99.96, 1234.5,
        ]
        .map(rate);
        assert_eq!(
            words,
            [
                "0", "0", "<0.001", "0.012", "1.00", "10.0", "12.3", "100", "1,234"
            ]
        );
    }

    #[test]
    fn amounts_name_every_phase_until_there_are_too_many() {
        let run = |flows: &[f64]| Run {
            from: 0,
            to: 1,
            substance: "water".into(),
            family: Family::Water,
            kg_per_day: Some(flows.to_vec()),
        };
        let words = |flows: &[f64]| run(flows).amount();
        assert_eq!(words(&[2.0]), Some("2.00".into()));
        assert_eq!(words(&[2.0, 2.0]), Some("2.00".into()));
        assert_eq!(words(&[0.0, 2.0]), Some("0 | 2.00".into()));
        assert_eq!(words(&[0.0, 2.0, 1.0, 4.0]), Some("0 to 4.00".into()));
        assert!(!run(&[0.0, 1e-12]).is_used() && run(&[0.0, 0.1]).is_used());
    }

    #[test]
    fn amounts_say_of_which_phases_they_are() {
        let words = |phases: &[&str], of_several| {
            let scene = Scene {
                spots: Vec::new(),
                runs: Vec::new(),
                phases: phases.iter().map(|&name| name.to_owned()).collect(),
                of_several,
            };
            scene.amounts()
        };
        assert_eq!(words(&["stay"], false), "amounts in kg/d");
        assert_eq!(words(&["stay"], true), "amounts in kg/d: stay");
        assert_eq!(words(&["a", "b"], true), "amounts in kg/d: a | b");
        let four = words(&["a", "b", "c", "d"], true);
        assert_eq!(four, "amounts in kg/d: least to most of 4 phases");
    }
}
