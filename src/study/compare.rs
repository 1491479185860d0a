//! Variants of a design side by side.

use super::cell::Cell;
use super::parallel;
use super::time_left::TimeLeft;
use crate::audit::Plan;
use crate::design::Design;
use crate::diagnostic::Diagnostic;
use crate::network;
use crate::solve::Options;
use crate::{Hints, Planned, Refusal, plan};

/// One variant, or the design as it stands.
#[derive(Clone, Debug)]
pub struct Compared {
    /// The variant; none for the design as it stands.
    pub name: Option<String>,
    /// Mass and portfolio, or why there is none.
    pub cell: Cell,
    /// The plan, where there is one.
    pub plan: Option<Box<Plan>>,
    /// What a reader should look at.
    pub warnings: Vec<Diagnostic>,
}

/// Plans the design as it stands and some of its variants, all of them if none are
/// named.
///
/// # Errors
///
/// A name that is none of its variants.
pub fn compare(
    design: &Design,
    names: &[String],
    options: &Options,
) -> Result<Vec<Compared>, Vec<Diagnostic>> {
    let known = design.written.variants.keys().map(|name| name.text.clone());
    let names = match names.is_empty() {
        true => known.collect(),
        false => names.to_vec(),
    };
    let mut designs = vec![(None, Ok(design.clone()))];
    for name in names {
        let is_known = design.written.variants.get(&name).is_some();
        let variant = design.as_variant(&name);
        match (is_known, variant) {
            (false, Err(complaints)) => return Err(complaints),
            // A variant that is wrong in itself is a cell with a reason.
            (_, variant) => designs.push((Some(name), variant)),
        }
    }
    let time = TimeLeft::new(options);
    Ok(parallel::answers(&designs, |(name, design)| {
        let planned = match (design, time.now()) {
            (_, None) => None,
            (Err(complaints), _) => Some(Err(Refusal::Design(complaints.clone()))),
            (Ok(design), Some(options)) => Some(plan(
                design,
                &Hints {
                    reference: false,
                    causes: false,
                    ..options.into()
                },
            )),
        };
        let warnings = design
            .as_ref()
            .ok()
            .and_then(|design| network::check(design).ok());
        Compared {
            name: name.clone(),
            cell: planned.as_ref().map_or(Cell::NotReached, Cell::of),
            plan: match planned {
                Some(Ok(Planned::Plan(plan))) => Some(plan),
                _ => None,
            },
            warnings: warnings.map_or_else(Vec::new, |checked| checked.warnings),
        }
    }))
}
