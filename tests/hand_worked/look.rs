//! Looks up in a plan what a hand-worked design expects.

use loopwright::answer::{Answer, Category, EquivalentMass};
use loopwright::audit::Plan;
use loopwright::network::{Network, NodeId};

/// A line `expect WHAT = VALUE`.
#[derive(Debug)]
pub struct Wanted {
    /// As written.
    pub what: String,
    /// The number.
    pub value: f64,
    /// `what` with `_` for each name in quotes and `#` for a flight's number.
    pattern: String,
    /// The names.
    names: Vec<String>,
    flight: usize,
}

impl Wanted {
    /// Reads a line, unless it expects nothing.
    pub fn of(line: &str) -> Option<Self> {
        let (what, value) = line.strip_prefix("expect ")?.rsplit_once(" = ")?;
        let (mut pattern, mut names) = (String::new(), Vec::new());
        for (index, part) in what.split('"').enumerate() {
            match index % 2 {
                0 => pattern += part,
                _ => {
                    pattern += "_";
                    names.push(part.to_owned());
                }
            }
        }
        let digits: String = pattern.chars().filter(char::is_ascii_digit).collect();
        let flight = digits.parse().unwrap_or(0);
        if !digits.is_empty() {
            pattern = pattern.replace(&digits, "#");
        }
        Some(Wanted {
            what: what.to_owned(),
            value: value.parse().unwrap_or_else(|_| panic!("{line}")),
            pattern,
            names,
            flight,
        })
    }

    /// Whether it is the launch mass of the design as written.
    pub fn is_mass(&self) -> bool {
        self.pattern == "mass"
    }

    /// Whether it is the equivalent system mass.
    pub fn is_equivalent_mass(&self) -> bool {
        self.pattern == "equivalent mass"
    }

    /// The variant whose launch mass it is.
    pub fn variant(&self) -> Option<&str> {
        (self.pattern == "mass of _").then(|| self.names[0].as_str())
    }
}

/// The value of an expectation in a plan.
pub fn found(plan: &Plan, wanted: &Wanted) -> f64 {
    let (network, answer) = (plan.network(), plan.answer());
    let decisions = &answer.decisions;
    let flight = wanted.flight;
    let node = |place: usize| node(network, &wanted.names[place]);
    let index = || node(0).index();
    let phase = |place: usize| phase(network, &wanted.names[place]);
    match wanted.pattern.as_str() {
        "mass" => answer.launch_mass_kg,
        "equivalent mass" => equivalents(answer).equivalent_system_mass_kg,
        "equivalent mass of _" => {
            one_of(&equivalents(answer).lines, |line| {
                line.item == wanted.names[0]
            })
            .kg
        }
        "reference mass" => plan.reference().unwrap().launch_mass_kg().unwrap(),
        "saving" => plan.saving_kg().unwrap(),
        "cost" => plan.launch_cost().unwrap(),
        "saving in money" => plan.saving_cost().unwrap(),
        "saving in flights" => plan.saving_flights().unwrap() as f64,
        "units of _" => decisions.counts[index()].into(),
        "running units of _ in _" => decisions.running[index()].as_ref().unwrap()[phase(1)].into(),
        "feed of _ in _" => answer.throughput[index()][phase(1)],
        "level of _ in _" => level(network, answer, &wanted.names[0], phase(1)),
        "draw of _ in _" => {
            one_of(&answer.draws, |draws| draws.node == node(0)).kg_per_day[phase(1)]
        }
        "flow of _ from _ to _ in _" => flow(network, answer, &wanted.names),
        "cargo of _ on flight #" => {
            one_of(&decisions.cargo, |plan| plan.node == node(0)).kg[flight]
        }
        "containers of _ on flight #" => {
            let plan = one_of(&decisions.cargo, |plan| plan.node == node(0));
            plan.containers.as_ref().unwrap()[flight].into()
        }
        "cartridges of _ on flight #" => {
            one_of(&decisions.cartridges, |plan| plan.node == node(0)).by_flight[flight].into()
        }
        "expendables of _ on flight #" => {
            one_of(&decisions.consumables, |plan| plan.node == node(0)).expendables_kg[flight]
        }
        "upkeep of _ on flight #" => {
            one_of(&decisions.consumables, |plan| plan.node == node(0)).upkeep_kg[flight]
        }
        "spares of _" => one_of(&decisions.spares, |plan| plan.part == wanted.names[0])
            .spares
            .into(),
        "confidence of _" => {
            one_of(&decisions.spares, |plan| plan.part == wanted.names[0]).confidence
        }
        "confidence of the system" => decisions
            .spares
            .iter()
            .map(|plan| plan.confidence)
            .product(),
        "reserve of _" => one_of(&decisions.stores, |plan| plan.node == node(0)).reserve_kg,
        "tank content of _" => one_of(&decisions.stores, |plan| plan.node == node(0)).holds_kg,
        "tanks of _" => one_of(&decisions.stores, |plan| plan.node == node(0))
            .tanks
            .unwrap()
            .into(),
        "waste of _" => one_of(&answer.waste, |waste| waste.node == node(0)).kg,
        "power in _" => answer.power_w[phase(0)],
        "heat in _" => answer.heat_w[phase(0)],
        "crew time in _" => answer.crew_time_h_per_day[phase(0)],
        "volume" => answer.volume_m3,
        "flight # carries" => {
            assert!(flight < network.calendar.flights.len(), "{}", wanted.what);
            let lines = answer.ledger.iter().filter(|line| line.flight == flight);
            lines.map(|line| line.kg).sum()
        }
        pattern => {
            let category = Category::ALL
                .into_iter()
                .find(|category| pattern == format!("{} mass", category.words()));
            let category = category.unwrap_or_else(|| panic!("what is {pattern}?"));
            let lines = answer
                .ledger
                .iter()
                .filter(|line| line.category == category);
            lines.map(|line| line.kg).sum()
        }
    }
}

fn equivalents(answer: &Answer) -> &EquivalentMass {
    answer
        .equivalents
        .as_ref()
        .expect("equivalents are asked for")
}

fn one_of<T>(all: &[T], is: impl Fn(&T) -> bool) -> &T {
    all.iter().find(|one| is(one)).expect("a plan of that name")
}

fn node(network: &Network, name: &str) -> NodeId {
    let found = network.nodes().find(|&node| network.name(node) == name);
    found.unwrap_or_else(|| panic!("no node {name}"))
}

fn phase(network: &Network, name: &str) -> usize {
    let found = network
        .calendar
        .phases
        .iter()
        .position(|phase| phase.name == name);
    found.unwrap_or_else(|| panic!("no phase {name}"))
}

/// The level of an activity by its words: "reactor: reaction".
fn level(network: &Network, answer: &Answer, words: &str, phase: usize) -> f64 {
    let levels = network.nodes().flat_map(|node| {
        let activities = network.duties(node).activities.iter();
        activities
            .zip(&answer.decisions.levels[node.index()])
            .map(move |(activity, levels)| (network.activity_words(node, activity), levels[phase]))
    });
    let mut levels = levels.filter(|(known, _)| known == words);
    levels
        .next()
        .unwrap_or_else(|| panic!("no level of {words}"))
        .1
}

fn flow(network: &Network, answer: &Answer, names: &[String]) -> f64 {
    let ends = (node(network, &names[1]), node(network, &names[2]));
    let mut streams = network.streams().filter(|&stream| {
        network.ends(stream) == ends
            && network.substances.name(network.graph[stream].substance) == names[0]
    });
    let stream = streams
        .next()
        .unwrap_or_else(|| panic!("no stream {names:?}"));
    answer.decisions.flows[stream.index()][phase(network, &names[3])]
}
