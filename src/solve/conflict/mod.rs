//! A design with no balance says why: the smallest sets of its statements that
//! cannot all hold, each in words, with its place and by how much it would have
//! to give way.
//!
//! An elastic program lets every statement give way; what gives way, weighed so
//! that the most natural does, seeds the search for sets that conflict. For a
//! bottleneck of flow such a smallest set *is* a minimum cut: the need and the
//! capacities that hold it back.

mod amounts;
mod bounds;
mod causes;
mod elastic;
mod ground;
mod headlines;
mod loosen;
mod oracle;
mod seeds;
mod shrink;
mod statement;
mod words;

use std::time::Duration;

use super::{Clock, Options};
use crate::diagnostic::{Diagnostic, Place};
use crate::network::Network;
use crate::program::{Form, Program};
use elastic::Elastic;
use oracle::Oracle;

pub use statement::What;

/// Why a design has no balance.
#[derive(Clone, Debug, PartialEq)]
pub struct NoBalance {
    /// The form of the program that was proved to have no answer.
    pub form: Form,
    /// Every cause that was found, each by itself enough; empty only where none
    /// was looked for.
    pub causes: Vec<Conflict>,
}

impl NoBalance {
    /// Without looking for the causes.
    pub fn unexplained(form: Form) -> Self {
        NoBalance {
            form,
            causes: Vec::new(),
        }
    }
}

/// Statements that cannot all hold, though any all but one can.
#[derive(Clone, Debug, PartialEq)]
pub struct Conflict {
    /// The cause in words, with its places and the next act.
    pub diagnostic: Diagnostic,
    /// The statements, the one most naturally asked to give way first.
    pub statements: Vec<Statement>,
}

/// Something that a design says.
#[derive(Clone, Debug, PartialEq)]
pub struct Statement {
    /// By handle.
    pub what: What,
    /// In design words.
    pub words: String,
    /// Where it is written.
    pub place: Option<Place>,
    /// How far it would have to give way for the others of its conflict to hold.
    pub slack: f64,
    /// The unit of the slack; empty where units are counted.
    pub unit: &'static str,
}

/// Longest time spent on whole numbers that conflict, unless less is allowed.
const BUDGET: Duration = Duration::from_secs(20);

/// Says why a network has no balance, in the form that was proved to have none.
///
/// The explanation never fails: where the solver or the time does, the one
/// cause given says so.
pub fn explain(network: &Network, form: Form, options: &Options) -> NoBalance {
    let elastic = Elastic::new(network, form);
    let options = Options {
        time_limit: Some(options.time_limit.map_or(BUDGET, |limit| limit.min(BUDGET))),
        ..options.clone()
    };
    let clock = Clock::start(&options);
    let (sets, all) = match Oracle::new(&elastic, &options, &clock) {
        Some(mut oracle) => shrink::sets(&elastic, &mut oracle),
        None => (Vec::new(), false),
    };
    NoBalance {
        form,
        causes: causes::causes(&elastic, &sets, all),
    }
}

/// The program of a network in which only the statements of a conflict hold, or
/// all but one of them, beside the conservation of mass along streams: what a
/// conflict claims can be tested with any solver.
pub fn program_of(
    network: &Network,
    form: Form,
    conflict: &Conflict,
    without: Option<What>,
) -> Program {
    let elastic = Elastic::new(network, form);
    let rooms = elastic.rooms(|index| {
        let what = elastic.statements[index].what;
        let mut statements = conflict.statements.iter();
        let is_said = statements.any(|statement| statement.what == what);
        let is_ground = matches!(what, What::Outlet { .. });
        Some(what) != without && (is_said || is_ground)
    });
    elastic.program_within(&rooms)
}
