//! Bad days: what happens to a plan when something goes wrong.
//!
//! The mission is cut into stretches between which nothing changes by itself:
//! phases, actual arrivals, beginnings and ends of faults. In every stretch the
//! same rows hold as in a plan: balances, capacities of the units that are in
//! action, conversion limits, cartridges and expendables that must be there.
//! What a need cannot get is *unmet*: what it gives back then shrinks with the mass
//! that it gets, so that mass is conserved. What has no way out is *held up* where it
//! is, for good. Either is a shortfall. Not looked at are turndown, crew time, upkeep
//! supplies and spares; stowage may be overfull.
//!
//! - [`replay`]: nobody reacts. At every moment needs take what they can get, and
//!   everything else stays as near to the plan as it can: no unit is run harder than
//!   planned or started, nothing is rationed, nobody looks ahead. What is missing
//!   comes out of the store it flows through, then out of cargo opened ahead of
//!   plan; no store is filled up again, unless something has no other way. Between the moments at which something runs out the rates are steady.
//! - [`react`]: the best that can be done from the fault on by those who know how
//!   long it lasts. Latest possible first shortfall, then the least of them: leaks
//!   come before people, people before what they do, and all of them before matter
//!   that is held up.

mod autonomy;
mod conditions;
mod course;
mod horizon;
mod lack;
mod model;
mod reaction;
mod replay;
mod rows;

pub use autonomy::{Autonomy, OutOfAction, Row, autonomy};
pub use course::{Course, HeldUp, Leg, MassBalance, Unmet};
pub use lack::{Lack, Lacking, Shortfall};
pub use reaction::react;
pub use replay::replay;

use crate::audit::Plan;
use crate::network::BadDays;
use crate::solve::{Backend, Fault};

/// What comes of bad days.
#[derive(Clone, Debug, PartialEq)]
pub struct Outcome {
    /// What they are called.
    pub name: String,
    /// The day on which the first of them begins to matter.
    pub from_day: f64,
    /// If nobody reacts.
    pub replay: Course,
    /// With the best reaction.
    pub reaction: Course,
    /// The latest day until which people can be served, if not to the end: everything
    /// else is rationed from the beginning, and nothing is held up.
    pub people_until: Option<f64>,
    /// The least that, had it been aboard or taken away, would have left no
    /// shortfall under the best reaction.
    pub cover: Vec<Lack>,
}

/// Replays a plan under bad days, and reacts to them.
///
/// # Errors
///
/// A fault of the linear solver.
pub fn outcome(plan: &Plan, days: &BadDays, backend: Backend) -> Result<Outcome, Fault> {
    let model = model::Model::of(plan);
    let conditions = conditions::Conditions::of(&model, &days.faults);
    let replayed = replay::run(&model, &conditions, backend)?;
    let reacted = reaction::run(&model, &conditions, &replayed, backend)?;
    Ok(Outcome {
        name: days.name.clone(),
        from_day: conditions.from_day,
        replay: replayed.course,
        reaction: reacted.course,
        people_until: reacted.people_until,
        cover: reacted.cover,
    })
}
