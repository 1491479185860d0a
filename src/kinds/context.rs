//! What a kind may know about the rest of the design, and how it complains.

use crate::catalogue::{SubstanceId, Substances};
use crate::diagnostic::{Code, Diagnostic, Place, codes, nearest};
use crate::quantity::{Amount, WithLitres, shown_number};
use crate::written::{Entries, Named};

use super::duty::Portion;

/// A stretch of the mission with a steady crew and steady flows.
#[derive(Clone, Debug, PartialEq)]
pub struct Phase {
    /// Its name.
    pub name: String,
    /// Where it is written.
    pub place: Place,
    /// Length, d.
    pub days: f64,
    /// People aboard.
    pub crew: f64,
    /// Occasions of the whole crew by name, times per day.
    pub occasions: Vec<(String, f64)>,
}

/// The surroundings of a node while its duties are worked out.
#[derive(Debug)]
pub struct Context<'a> {
    /// The node's name.
    pub node: &'a Named,
    /// Every substance of the design.
    pub substances: &'a Substances,
    /// Phases in order of time.
    pub phases: &'a [Phase],
    /// Substances that streams bring to the node, by id.
    pub inflows: &'a [SubstanceId],
    /// Substances that streams take from the node, by id.
    pub outflows: &'a [SubstanceId],
    /// Complaints so far.
    pub diagnostics: &'a mut Vec<Diagnostic>,
}

impl Context<'_> {
    /// Adds an error about this node.
    pub fn error(&mut self, code: Code, place: Place, message: &str, help: &str) {
        let headline = format!("nodes.{}: {message}", self.node);
        self.diagnostics
            .push(Diagnostic::error(code, headline).at(place, "").help(help));
    }

    /// Adds a warning about this node.
    pub fn warning(&mut self, code: Code, place: Place, message: &str, help: &str) {
        let headline = format!("nodes.{}: {message}", self.node);
        self.diagnostics
            .push(Diagnostic::warning(code, headline).at(place, "").help(help));
    }

    /// The substance of a name, or a complaint with the nearest known name.
    pub fn substance(&mut self, name: &Named) -> Option<SubstanceId> {
        let found = self.substances.find(&name.text);
        if found.is_none() {
            let help = match nearest(&name.text, self.substances.names()) {
                Some(near) => format!("did you mean \"{near}\"? else declare it under substances"),
                None => "declare it under substances: Pure(\"...\"), Mixture({...}) or Opaque"
                    .to_owned(),
            };
            let message = format!("no substance is called \"{name}\"");
            self.error(codes::UNKNOWN_SUBSTANCE, name.place, &message, &help);
        }
        found
    }

    /// A mass of a substance, or a complaint about litres of something that is
    /// not a grade of water.
    pub fn amount<Q: Amount>(
        &mut self,
        written: WithLitres<Q>,
        substance: SubstanceId,
        place: Place,
    ) -> Option<f64> {
        let water = self.substances.is_water_alone(substance);
        let known = written.known(water).map(|quantity| quantity.canonical());
        if known.is_none() {
            let name = self.substances.name(substance);
            let message = format!("litres of \"{name}\", which is not a grade of water");
            self.error(codes::LITRES, place, &message, "state its mass in kg");
        }
        known
    }

    /// Amounts by substance; every mistake is complained about.
    pub fn portions<Q: Amount>(
        &mut self,
        written: &Entries<Named, WithLitres<Q>>,
    ) -> Option<Vec<Portion>> {
        let mut portions = Vec::with_capacity(written.len());
        let mut whole = true;
        for (name, amount) in written {
            let portion = self.substance(name).and_then(|substance| {
                let amount = self.amount(*amount, substance, name.place)?;
                Some(Portion { substance, amount })
            });
            match portion {
                Some(portion) => portions.push(portion),
                None => whole = false,
            }
        }
        whole.then_some(portions)
    }

    /// Substances by name; every mistake is complained about.
    pub fn substances(&mut self, written: &[Named]) -> Option<Vec<SubstanceId>> {
        let found: Vec<SubstanceId> = written
            .iter()
            .filter_map(|name| self.substance(name))
            .collect();
        (found.len() == written.len()).then_some(found)
    }

    /// Everything that streams bring to or take from the node, by id.
    pub fn through(&self) -> Vec<SubstanceId> {
        let mut through: Vec<SubstanceId> =
            self.inflows.iter().chain(self.outflows).copied().collect();
        through.sort();
        through.dedup();
        through
    }

    /// The first phase in which a node works: by name, or the first of all.
    pub fn start(&mut self, from: Option<&Named>) -> Option<usize> {
        let Some(name) = from else { return Some(0) };
        let found = self.phases.iter().position(|phase| phase.name == name.text);
        if found.is_none() {
            let names: Vec<&str> = self
                .phases
                .iter()
                .map(|phase| phase.name.as_str())
                .collect();
            let help = match nearest(&name.text, names.iter().copied()) {
                Some(near) => format!("did you mean \"{near}\"?"),
                None => format!("phases: {}", names.join(", ")),
            };
            let message = format!("no phase is called \"{name}\"");
            self.error(codes::UNKNOWN_PHASE, name.place, &message, &help);
        }
        found
    }

    /// Times per day of an occasion in every phase, 0 where a phase does not
    /// name it; an occasion that no phase names is a mistake.
    pub fn occasion(&mut self, name: &Named) -> Option<Vec<f64>> {
        let rates: Vec<Option<f64>> = self
            .phases
            .iter()
            .map(|phase| {
                phase
                    .occasions
                    .iter()
                    .find(|(known, _)| *known == name.text)
                    .map(|&(_, rate)| rate)
            })
            .collect();
        if rates.iter().all(Option::is_none) {
            let known: Vec<&str> = self
                .phases
                .iter()
                .flat_map(|phase| phase.occasions.iter().map(|(name, _)| name.as_str()))
                .collect();
            let help = match nearest(&name.text, known.iter().copied()) {
                Some(near) => format!("did you mean \"{near}\"?"),
                None => format!("add it to a phase: occasions: {{\"{name}\": \"2 /wk\"}}"),
            };
            let message = format!("no phase has an occasion called \"{name}\"");
            self.error(codes::UNKNOWN_OCCASION, name.place, &message, &help);
            return None;
        }
        Some(rates.into_iter().map(Option::unwrap_or_default).collect())
    }

    /// A share of what is taken: fractions that sum to 1 within 1e-6 and are
    /// then rescaled, times `total`.
    pub fn shares(
        &mut self,
        written: &Entries<Named, crate::quantity::Fraction>,
        total: f64,
        place: Place,
        what: &str,
    ) -> Option<Vec<Portion>> {
        let sum: f64 = written.values().map(|fraction| fraction.0).sum();
        if (sum - 1.0).abs() > 1e-6 {
            let message = format!("{what} sum to {}, not to 1", shown_number(sum));
            let help = if sum < 1.0 {
                format!("say where the other {} goes", shown_number(1.0 - sum))
            } else {
                format!(
                    "take {} away: no more can come out than went in",
                    shown_number(sum - 1.0)
                )
            };
            self.error(codes::YIELDS_SUM, place, &message, &help);
            return None;
        }
        let mut portions = Vec::with_capacity(written.len());
        for (name, fraction) in written {
            let substance = self.substance(name);
            portions.push(substance.map(|substance| Portion {
                substance,
                amount: total * fraction.0 / sum,
            }));
        }
        portions.into_iter().collect()
    }
}
