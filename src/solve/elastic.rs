//! Why nothing balances: every row that may be to blame gets a slack, and the
//! least total slack says what is over or short, and by how much.

use petgraph::Direction;

use super::Fault;
use super::kernel::Kernel;
use super::mixed::{Column, Mixed, Row};
use super::relaxation::{Relaxed, relax};
use crate::diagnostic::Place;
use crate::kinds::Role;
use crate::network::{Network, NodeId};
use crate::program::{self, Family, Form, Program, Sense};
use crate::quantity::{Dimension, shown};

/// Slack below this is rounding, in the unit of its row.
const ROUNDING: f64 = 1e-6;

/// Something that cannot hold in a design without balance.
#[derive(Clone, Debug, PartialEq)]
pub struct Shortfall {
    /// In design words, with the amount.
    pub words: String,
    /// Where in the design.
    pub place: Option<Place>,
    /// How far it is from holding, in the unit that the words give.
    pub amount: f64,
}

/// What is over or short in a network that has no balance.
///
/// Limits and capacities are loosened first, for a design that would balance
/// without them; then balances; then both. Units may be fractions here. The least
/// total slack is one way to name the trouble, not the only one: what is short at
/// one place could be over at another.
///
/// # Errors
///
/// A [`Fault`] where the back-end fails.
pub fn shortfalls(network: &Network) -> Result<Vec<Shortfall>, Fault> {
    for form in [Form::Totals, Form::PerFlight] {
        let program = program::formulate(network, form);
        for loosened in [
            &[Loosened::Limits][..],
            &[Loosened::Balances],
            &[Loosened::Limits, Loosened::Balances],
        ] {
            match least_slack(network, &program, loosened)? {
                // Nothing to loosen: the trouble lies elsewhere.
                Some(slacks) if slacks.is_empty() => break,
                Some(slacks) => return Ok(words(network, &program, &slacks)),
                None => {}
            }
        }
    }
    Ok(vec![Shortfall {
        words: "with fractions of units, containers and spares everything would balance; with \
                whole ones nothing does"
            .to_owned(),
        place: None,
        amount: 0.0,
    }])
}

/// Which rows get a slack.
#[derive(Clone, Copy, PartialEq, Eq)]
enum Loosened {
    Balances,
    Limits,
}

impl Loosened {
    fn of(family: Family) -> Option<Self> {
        match family {
            Family::Balance => Some(Loosened::Balances),
            Family::Capacity
            | Family::Exclusives
            | Family::Removal
            | Family::Limits
            | Family::Payload => Some(Loosened::Limits),
            _ => None,
        }
    }
}

/// A row and its slack: positive where the left side is short of the right.
type Slack = (usize, f64);

/// The rows with slack at the least weighted total; none where even that is
/// infeasible.
fn least_slack(
    network: &Network,
    program: &Program,
    loosened: &[Loosened],
) -> Result<Option<Vec<Slack>>, Fault> {
    let mut mixed = Mixed {
        columns: program
            .columns
            .iter()
            .map(|column| Column {
                lower: column.lower,
                upper: column.upper,
                whole: false,
                kept: false,
                cost: 0.0,
            })
            .collect(),
        rows: program
            .rows
            .iter()
            .map(|row| Row {
                terms: row
                    .terms
                    .iter()
                    .map(|&(id, factor)| (id.0, factor))
                    .collect(),
                sense: row.sense,
                right: row.right,
            })
            .collect(),
        constant: 0.0,
    };
    let mut slacks: Vec<(usize, f64, usize)> = Vec::new();
    for (index, row) in program.rows.iter().enumerate() {
        if !Loosened::of(row.family).is_some_and(|sort| loosened.contains(&sort)) {
            continue;
        }
        for sign in [1.0, -1.0] {
            let useless = match row.sense {
                Sense::Equal => false,
                Sense::AtMost => sign > 0.0,
                Sense::AtLeast => sign < 0.0,
            };
            if useless {
                continue;
            }
            let column = mixed.columns.len();
            mixed.columns.push(Column {
                lower: 0.0,
                upper: f64::INFINITY,
                whole: false,
                kept: false,
                cost: weight(network, row, sign),
            });
            mixed.rows[index].terms.push((column, sign));
            slacks.push((index, sign, column));
        }
    }
    let lower: Vec<f64> = mixed.columns.iter().map(|column| column.lower).collect();
    let upper: Vec<f64> = mixed.columns.iter().map(|column| column.upper).collect();
    let relaxed = match Kernel::new(&mixed).solve(&mixed, &lower, &upper) {
        Ok(relaxed) => relaxed,
        Err(_) => relax(&mixed, &lower, &upper)?,
    };
    let Relaxed::Optimal { values, .. } = relaxed else {
        return Ok(None);
    };
    let used = slacks.into_iter().filter_map(|(row, sign, column)| {
        (values[column] > ROUNDING).then_some((row, sign * values[column]))
    });
    Ok(Some(used.collect()))
}

/// Price of a slack: limits by the share by which they are passed, balances by
/// the kilogram per day. Of equals, blame falls where a reader would look first:
/// on what people lack, and on what hardware makes too much of.
fn weight(network: &Network, row: &program::Row, sign: f64) -> f64 {
    if row.family != Family::Balance {
        let factors = row.terms.iter().map(|(_, factor)| factor.abs());
        return 1.0 / factors.fold(row.right.abs(), f64::max).max(ROUNDING);
    }
    let short = sign > 0.0;
    let role = row.about.node.map(|node| role(network, node));
    match (row.about.side, short, role) {
        (Some(Direction::Incoming), true, Some(Some(Role::Use))) => 1.0,
        (Some(Direction::Outgoing), true, Some(Some(Role::Convert))) => 1.0,
        (Some(Direction::Outgoing), true, _) => 1.01,
        (None, _, _) => 1.02,
        _ => 1.05,
    }
}

/// What a node is to the loop, by its first activity.
fn role(network: &Network, node: NodeId) -> Option<Role> {
    let activities = &network.duties(node).activities;
    activities.first().map(|activity| activity.role.clone())
}

/// One statement for every node, substance and side, whatever the phase.
fn words(network: &Network, program: &Program, slacks: &[Slack]) -> Vec<Shortfall> {
    let mut groups: Vec<(String, Vec<Slack>)> = Vec::new();
    for &(row, slack) in slacks {
        let subject = subject(network, &program.rows[row], slack);
        match groups.iter_mut().find(|(known, _)| *known == subject) {
            Some((_, group)) => group.push((row, slack)),
            None => groups.push((subject, vec![(row, slack)])),
        }
    }
    let statement = |(subject, group): (String, Vec<Slack>)| {
        let amounts: Vec<String> = group
            .iter()
            .map(|&(row, slack)| amount(network, &program.rows[row], slack.abs()))
            .collect();
        Shortfall {
            words: format!("{subject}: {}", amounts.join(", ")),
            place: group.first().and_then(|&(row, _)| program.rows[row].place),
            amount: group
                .iter()
                .map(|(_, slack)| slack.abs())
                .fold(0.0, f64::max),
        }
    };
    groups.into_iter().map(statement).collect()
}

/// What is over or short, without the amount.
fn subject(network: &Network, row: &program::Row, slack: f64) -> String {
    let (Family::Balance, Some(node), Some(substance)) =
        (row.family, row.about.node, row.about.substance)
    else {
        return format!("{} is beyond what is allowed", row.label);
    };
    let (node, substance) = (network.name(node), network.substances.name(substance));
    match (row.about.side, slack > 0.0) {
        (Some(Direction::Incoming), true) => {
            format!("\"{node}\" needs more {substance} than can reach it")
        }
        (Some(Direction::Incoming), false) => {
            format!("more {substance} reaches \"{node}\" than it can take")
        }
        (Some(Direction::Outgoing), true) => {
            format!("{substance} from \"{node}\" has nowhere to go")
        }
        (Some(Direction::Outgoing), false) => {
            format!("more {substance} is taken from \"{node}\" than it makes")
        }
        (None, true) => format!("too little {substance} reaches \"{node}\""),
        (None, false) => format!("{substance} that reaches \"{node}\" has nowhere to go"),
    }
}

/// How much, with the phase where the row has one.
fn amount(network: &Network, row: &program::Row, slack: f64) -> String {
    let limits = &network.limits;
    let of = |limit: Option<crate::network::Limit>| {
        limit.is_some() && limit.map(|limit| limit.place) == row.place
    };
    let dimension = match row.family {
        Family::Balance | Family::Capacity | Family::Conversion => Dimension::MassRate,
        Family::Limits if of(limits.crew_time_h_per_day) => Dimension::CrewTime,
        Family::Limits if of(limits.volume_m3) => Dimension::Volume,
        Family::Limits => Dimension::Power,
        Family::Exclusives | Family::Spares => Dimension::Whole,
        _ => Dimension::Mass,
    };
    let shown = shown(slack, dimension);
    match row.about.phase {
        Some(phase) if row.family == Family::Balance => {
            format!(
                "{shown} in phase \"{}\"",
                network.calendar.phases[phase].name
            )
        }
        _ => shown,
    }
}
