//! How the loop runs: levels and flows in every phase, and the loads they make.

use std::collections::{BTreeMap, BTreeSet};

use super::Draft;
use super::book::{Content, Entry, Ring, Sheet, Show, Table};
use super::calendar::Days;
use super::deliveries::Brought;
use super::equations::{Equation, Holds, Pieces, Variable, Writer, fixed_levels};
use super::facts::{Fact, StockFact, UnitFact};
use super::formula::{CellId, Formula, Value, difference, negative, product, quotient, sum};
use super::hardware::{Units, over_units, total};
use super::order::{Numbers, order};
use crate::network::NodeId;

/// Levels and flows as cells, or nothing.
pub(super) struct Operation {
    /// Node, activity, phase.
    pub levels: Vec<Vec<Vec<Formula>>>,
    /// Stream, phase, kg/d.
    pub flows: Vec<Vec<Formula>>,
    /// Nodes whose cartridges, and cargo whose containers, decide how the loop runs:
    /// they stay as the plan has them.
    pub held: BTreeSet<Pieces>,
    /// Every limit that equations may reach, for the checks.
    pub limits: Vec<Equation>,
    /// The cells of all variables.
    pub variables: BTreeMap<Variable, Formula>,
}

impl Operation {
    /// The cells that hold some pieces, flight by flight, in all; none where they do
    /// not decide how the loop runs.
    pub fn held_pieces(&self, pieces: Pieces) -> Option<Vec<CellId>> {
        let of_these = |limit: &Equation| match limit.holds {
            Holds::Nothing => None,
            Holds::Pieces(own, cell) => (own == pieces).then_some(cell),
        };
        let cells = self.limits.iter().filter_map(of_these);
        self.held.contains(&pieces).then(|| cells.collect())
    }
}

/// Writes how the loop runs.
pub(super) fn operation(draft: &mut Draft, days: &Days, units: &Units) -> Operation {
    let fixed = fixed_levels(draft);
    let writer = Writer {
        draft,
        days,
        units,
        fixed: &fixed,
    };
    let equations = writer.equations();
    let numbers: Vec<Numbers> = equations
        .iter()
        .map(|equation| Numbers {
            factors: equation
                .terms
                .iter()
                .map(|(variable, factor)| (*variable, draft.number(factor)))
                .collect(),
            given: draft.number(&equation.given),
        })
        .collect();
    let planned = planned(draft);
    let order = order(&equations, &numbers, &planned);
    let mut cells: BTreeMap<Variable, Formula> = BTreeMap::new();
    let mut held = BTreeSet::new();
    for &variable in &order.free {
        cells.insert(variable, draft.book.held(planned[&variable]).into());
    }
    for group in &order.groups {
        for (_, equation) in group {
            held.extend(equations[*equation].holds.pieces());
        }
        match group.as_slice() {
            [(variable, equation)] => {
                let formula = solved(&equations[*equation], *variable, &cells);
                let words = words(draft, *variable);
                let cell = draft.book.planned(&words, formula, planned[variable]);
                cells.insert(*variable, cell.into());
            }
            group => ring(draft, group, &equations, &planned, &mut cells),
        }
    }
    let phases = days.phases.len();
    let cell = |variable: Variable| {
        cells
            .get(&variable)
            .cloned()
            .unwrap_or(Formula::Number(0.0))
    };
    let levels: Vec<Vec<Vec<Formula>>> = fixed
        .into_iter()
        .enumerate()
        .map(|(node, activities)| {
            let activities = activities.into_iter().enumerate();
            activities
                .map(|(activity, levels)| {
                    levels.unwrap_or_else(|| {
                        let phases = 0..phases;
                        phases
                            .map(|phase| cell(Variable::Level(node, activity, phase)))
                            .collect()
                    })
                })
                .collect()
        })
        .collect();
    let flows = (0..draft.network.graph.edge_count())
        .map(|stream| {
            (0..phases)
                .map(|phase| cell(Variable::Flow(stream, phase)))
                .collect()
        })
        .collect();
    let operation = Operation {
        levels,
        flows,
        held,
        limits: equations
            .into_iter()
            .filter(|equation| !equation.always)
            .collect(),
        variables: cells,
    };
    tables(draft, &operation);
    operation
}

/// Every variable as the plan has it.
fn planned(draft: &Draft) -> BTreeMap<Variable, f64> {
    let network = draft.network;
    let decisions = &draft.answer.decisions;
    let mut all = BTreeMap::new();
    let phases = network.calendar.phases.len();
    for node in network.nodes() {
        for (activity, levels) in decisions.levels[node.index()].iter().enumerate() {
            if network.duties(node).activities[activity].level != crate::kinds::Level::Free {
                continue;
            }
            for phase in (0..phases).filter(|&phase| network.works(node, phase)) {
                all.insert(
                    Variable::Level(node.index(), activity, phase),
                    levels[phase],
                );
            }
        }
    }
    for stream in network.streams() {
        for phase in (0..phases).filter(|&phase| network.carries(stream, phase)) {
            let flow = decisions.flows[stream.index()][phase];
            all.insert(Variable::Flow(stream.index(), phase), flow);
        }
    }
    all
}

/// Words for a variable.
fn words(draft: &Draft, variable: Variable) -> String {
    let network = draft.network;
    let phase = |phase: usize| &network.calendar.phases[phase].name;
    match variable {
        Variable::Level(node, activity, at) => {
            let node = NodeId::new(node);
            let activity = &network.duties(node).activities[activity];
            format!(
                "level of {}, {}",
                network.activity_words(node, activity),
                phase(at)
            )
        }
        Variable::Flow(stream, at) => format!("{}, {}", stream_words(draft, stream), phase(at)),
    }
}

fn stream_words(draft: &Draft, stream: usize) -> String {
    let network = draft.network;
    let stream = petgraph::graph::EdgeIndex::new(stream);
    let (from, to) = network.ends(stream);
    let substance = network.substances.name(network.graph[stream].substance);
    format!("{substance}: {} → {}", network.name(from), network.name(to))
}

/// What is given less what the other variables take, and the variable's own factor.
fn parts(equation: &Equation, own: &[Variable], cells: &BTreeMap<Variable, Formula>) -> Formula {
    let others = equation
        .terms
        .iter()
        .filter(|(variable, _)| !own.contains(variable));
    let others = others.filter_map(|(variable, factor)| {
        Some(negative(product([
            factor.clone(),
            cells.get(variable)?.clone(),
        ])))
    });
    sum([equation.given.clone()].into_iter().chain(others))
}

fn factor(equation: &Equation, own: Variable) -> Formula {
    let mut terms = equation.terms.iter();
    let found = terms.find(|(variable, _)| *variable == own);
    found.map_or(Formula::Number(0.0), |(_, factor)| factor.clone())
}

/// The variable of an equation, everything else known.
fn solved(equation: &Equation, own: Variable, cells: &BTreeMap<Variable, Formula>) -> Formula {
    let right = parts(equation, &[own], cells);
    match factor(equation, own) {
        Formula::Number(number) if number < 0.0 => quotient(negative(right), (-number).into()),
        Formula::Negative(inner) => quotient(negative(right), *inner),
        factor => quotient(right, factor),
    }
}

/// Variables that depend on each other: their equations as a matrix.
fn ring(
    draft: &mut Draft,
    group: &[(Variable, usize)],
    equations: &[Equation],
    planned: &BTreeMap<Variable, f64>,
    cells: &mut BTreeMap<Variable, Formula>,
) {
    let own: Vec<Variable> = group.iter().map(|(variable, _)| *variable).collect();
    let number = draft.book.rings.len();
    let mut table = Table::new(
        Sheet::Loops,
        &format!("Loop {}", number + 1),
        &[("equation", Show::Long)],
    )
    .noted("What circulates depends on itself: factors × unknowns = right side, solved for all unknowns at once.");
    for variable in &own {
        table.column(words(draft, *variable), Show::Plain);
    }
    table.column("right side, kg/d", Show::Rate);
    table.column("unknown", Show::Long);
    table.column("solved, kg/d", Show::Rate);
    let mut ring = Ring {
        matrix: Vec::new(),
        right: Vec::new(),
        unknowns: Vec::new(),
    };
    for (variable, equation) in group {
        let equation = &equations[*equation];
        let mut row: Vec<Entry> = vec![equation.words.as_str().into()];
        let mut factors = Vec::new();
        for other in &own {
            let cell = draft.book.formula(factor(equation, *other));
            factors.push(cell);
            row.push(cell.into());
        }
        let right = parts(equation, &own, cells);
        let right = draft.book.formula(right);
        row.push(right.into());
        row.push(words(draft, *variable).into());
        ring.matrix.push(factors);
        ring.right.push(right);
        table.rows.push(row);
    }
    for (position, variable) in own.iter().enumerate() {
        let content = Content::Solution {
            ring: number,
            position,
        };
        let cell = draft
            .book
            .add(content, Value::Number(planned[variable]), None);
        ring.unknowns.push(cell);
        table.rows[position].push(cell.into());
        cells.insert(*variable, cell.into());
    }
    draft.book.ring(ring);
    draft.book.table(table);
}

fn tables(draft: &mut Draft, operation: &Operation) {
    let network = draft.network;
    let names = draft.phase_names();
    let mut levels = Table::new(
        Sheet::Operation,
        "Levels",
        &[("node and activity", Show::Long), ("unit", Show::Short)],
    )
    .noted("How hard each node works: people, times a day, or kilograms fed a day.");
    let mut flows = Table::new(
        Sheet::Operation,
        "Flows, kg/d",
        &[("substance", Show::Words), ("from", Show::Words), ("to", Show::Words)],
    )
    .noted("Each follows from a balance (in = out at every node), or from a limit that the plan reaches.");
    for name in &names {
        levels.column(name.as_str(), Show::Rate);
        flows.column(name.as_str(), Show::Rate);
    }
    let entry = |formula: &Formula| match formula {
        Formula::Cell(cell) => Entry::Cell(*cell),
        _ => Entry::Blank,
    };
    let is_blank = |entries: &[Entry]| entries.iter().all(|entry| *entry == Entry::Blank);
    for node in network.nodes() {
        for (activity, data) in network.duties(node).activities.iter().enumerate() {
            let shown: Vec<Entry> = operation.levels[node.index()][activity]
                .iter()
                .map(entry)
                .collect();
            if !is_blank(&shown) {
                let mut row: Vec<Entry> = vec![
                    network.activity_words(node, data).into(),
                    data.level_unit.into(),
                ];
                row.extend(shown);
                levels.rows.push(row);
            }
        }
    }
    for stream in network.streams() {
        let shown: Vec<Entry> = operation.flows[stream.index()].iter().map(entry).collect();
        if !is_blank(&shown) {
            let (from, to) = network.ends(stream);
            let substance = network.graph[stream].substance;
            let mut row: Vec<Entry> = vec![
                network.substances.name(substance).into(),
                network.name(from).into(),
                network.name(to).into(),
            ];
            row.extend(shown);
            flows.rows.push(row);
        }
    }
    draft.book.table(levels);
    draft.book.table(flows);
}

/// `Σ factor · level` over a node's activities in a phase.
pub(super) fn at_node(
    draft: &mut Draft,
    operation: &Operation,
    node: NodeId,
    phase: usize,
    factor: impl Fn(&mut Draft, usize) -> Formula,
) -> Formula {
    let activities = draft.network.duties(node).activities.len();
    let terms: Vec<Formula> = (0..activities)
        .map(|activity| {
            let factor = factor(draft, activity);
            let level = operation.levels[node.index()][activity][phase].clone();
            product([level, factor])
        })
        .collect();
    sum(terms)
}

/// Loads of the whole design.
pub(super) struct Loads {
    /// Electric power by phase, W.
    pub power_w: Vec<CellId>,
    /// Heat by phase, W.
    pub heat_w: Vec<CellId>,
    /// Crew time by phase, h/d.
    pub crew_time: Vec<CellId>,
    /// Volume of all units, m³.
    pub volume_m3: CellId,
}

/// Writes the loads.
pub(super) fn loads(
    draft: &mut Draft,
    days: &Days,
    units: &Units,
    operation: &Operation,
    brought: &Brought,
) -> Loads {
    let network = draft.network;
    let answer = draft.answer;
    let nodes: Vec<NodeId> = network.nodes().collect();
    let mut table = Table::new(
        Sheet::Operation,
        "Loads",
        &[("load", Show::Words), ("unit", Show::Short)],
    )
    .noted("Of units in service and of what they treat; crew time with transfers.");
    for name in draft.phase_names() {
        table.column(name, Show::Plain);
    }
    let of_level = |draft: &mut Draft, phase: usize, fact: fn(usize, usize) -> Fact| {
        let mut terms = Vec::new();
        for &node in nodes.iter().filter(|&&node| network.works(node, phase)) {
            let index = node.index();
            terms.push(at_node(draft, operation, node, phase, |draft, activity| {
                draft.fact(fact(index, activity))
            }));
        }
        terms
    };
    let (mut power, mut heat, mut crew) = (Vec::new(), Vec::new(), Vec::new());
    for phase in 0..days.phases.len() {
        let works = |node: NodeId| network.works(node, phase);
        let mut terms = over_units(draft, units, works, UnitFact::Power);
        terms.extend(of_level(draft, phase, Fact::Power));
        power.push(
            draft
                .book
                .planned("power", sum(terms), answer.power_w[phase]),
        );
        let mut terms = over_units(draft, units, works, UnitFact::Heat);
        terms.extend(of_level(draft, phase, Fact::Heat));
        heat.push(draft.book.planned("heat", sum(terms), answer.heat_w[phase]));
        let mut terms = over_units(draft, units, works, UnitFact::CrewTime);
        for cargo in &brought.cargo {
            let fact = Fact::Stock(cargo.node.index(), StockFact::HoursPerKg);
            if !draft.has(fact) {
                continue;
            }
            let here = (0..days.flights.len())
                .filter(|&flight| network.calendar.phase_of_arrival(flight) == phase)
                .map(|flight| cargo.kg[flight].into());
            let kg = total(draft, here.collect());
            let each = draft.fact(fact);
            terms.push(quotient(product([kg, each]), days.phases[phase].into()));
        }
        crew.push(
            draft
                .book
                .planned("crew time", sum(terms), answer.crew_time_h_per_day[phase]),
        );
    }
    let terms = over_units(draft, units, |_| true, UnitFact::Volume);
    let volume = draft.book.planned("volume", sum(terms), answer.volume_m3);
    let mut row = |words: &str, unit: &str, cells: &[CellId]| {
        let mut row: Vec<Entry> = vec![words.into(), unit.into()];
        row.extend(cells.iter().map(|&cell| Entry::Cell(cell)));
        table.rows.push(row);
    };
    row("power", "W", &power);
    row("heat", "W", &heat);
    row("crew time", "h/d", &crew);
    row("volume of all units", "m³", &[volume]);
    draft.book.table(table);
    Loads {
        power_w: power,
        heat_w: heat,
        crew_time: crew,
        volume_m3: volume,
    }
}

/// What a limit leaves: right side less left.
pub(super) fn room(equation: &Equation, operation: &Operation) -> Formula {
    let used = equation.terms.iter().filter_map(|(variable, factor)| {
        Some(product([
            factor.clone(),
            operation.variables.get(variable)?.clone(),
        ]))
    });
    difference(equation.given.clone(), sum(used))
}
