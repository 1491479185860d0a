//! Reactor: a written, balanced reaction, run as far as its conversion allows.

use crate::diagnostic::{Place, codes};
use crate::physics::{Reaction, Species};
use crate::quantity::Fraction;
use crate::written::{Entries, Named, Placed, record};

use super::unit::{Count, Hardwares, Unit};
use super::{Activity, Context, Duties, FeedLimit, Kind, Level, Portion, Role, kind};

record! {
    /// A written, balanced reaction; what is left over leaves with the products.
    pub struct Reactor {
        /// The reaction, such as "CO2 + 4 H2 -> CH4 + 2 H2O".
        reaction: Named,
        /// The largest share of each reactant that reacts.
        conversion: Fraction = Fraction::ONE,
        /// Substances for formulas, where they are not the built-in ones.
        names: Entries<Named, Named> = Entries::default(),
        /// The hardware; its capacity counts everything fed, left over or not.
        unit: Option<Unit>,
        /// How many units.
        count: Option<Placed<Count>>,
        /// The first phase in which it works.
        from: Option<Named>,
    }
}

kind!(Reactor);

impl Kind for Reactor {
    /// One activity for what reacts, kg/d of all reactants, at most `conversion`
    /// of each reactant fed; and one for each reactant's left-over.
    fn duties(&self, context: &mut Context<'_>) -> Option<Duties> {
        let reaction = self.balanced(context)?;
        self.check_names(&reaction, context);
        let reactants = self.portions(&reaction.reactants, context);
        let products = self.portions(&reaction.products, context);
        let (reactants, products) = (reactants?, products?);
        let limits = reactants
            .iter()
            .filter(|_| self.conversion.0 < 1.0)
            .map(|portion| FeedLimit {
                substance: portion.substance,
                share: self.conversion.0,
            })
            .collect();
        let mut activities = vec![Activity {
            label: "reaction".to_owned(),
            level: Level::Free,
            level_unit: "kg/d",
            takes: reactants.clone(),
            gives: products,
            load: 1.0,
            feed_limits: limits,
            power_w: 0.0,
            heat_w: 0.0,
            role: Role::Convert,
            conserves: true,
        }];
        for portion in reactants {
            let name = context.substances.name(portion.substance).to_owned();
            let leaves = context.outflows.contains(&portion.substance);
            if !leaves && self.conversion.0 < 1.0 {
                let message = format!(
                    "at a conversion of {} some \"{name}\" is left over and has nowhere to go",
                    self.conversion.0
                );
                let help = format!(
                    "give it a way out under streams: \"{name}\": [[\"{}\", ...]]",
                    context.node
                );
                context.error(codes::NOWHERE_TO_GO, context.node.place, &message, &help);
                return None;
            }
            if !leaves {
                continue;
            }
            let whole = vec![Portion {
                substance: portion.substance,
                amount: 1.0,
            }];
            activities.push(Activity {
                label: format!("left-over {name}"),
                level: Level::Free,
                level_unit: "kg/d",
                takes: whole.clone(),
                gives: whole,
                load: 1.0,
                feed_limits: Vec::new(),
                power_w: 0.0,
                heat_w: 0.0,
                role: Role::Convert,
                conserves: true,
            });
        }
        let hardware = Hardwares {
            unit: self.unit.as_ref(),
            count: self.count.as_ref(),
            from: self.from.as_ref(),
        };
        hardware.duties(context, activities, None)
    }
}

impl Reactor {
    fn balanced(&self, context: &mut Context<'_>) -> Option<Reaction> {
        let place = self.reaction.place;
        let reaction = match Reaction::parse(&self.reaction.text) {
            Ok(reaction) => reaction,
            Err(error) => {
                let message = format!("the reaction cannot be read: {}", error.message);
                let help = "write it as \"CO2 + 4 H2 -> CH4 + 2 H2O\"";
                context.error(codes::REACTION, inside(place, error.at.clone()), &message, help);
                return None;
            }
        };
        let open: Vec<String> = reaction
            .imbalance()
            .into_iter()
            .map(|(element, left, right)| format!("{element}: {left} on the left, {right} on the right"))
            .collect();
        if open.is_empty() {
            return Some(reaction);
        }
        let message = format!("the reaction does not balance: {}", open.join("; "));
        let help = "set the numbers before the formulas so that both sides agree";
        context.error(codes::REACTION, place, &message, help);
        None
    }

    fn check_names(&self, reaction: &Reaction, context: &mut Context<'_>) {
        for (formula, _) in &self.names {
            let known = reaction
                .reactants
                .iter()
                .chain(&reaction.products)
                .any(|species| species.formula.to_string() == formula.text);
            if !known {
                let message = format!("\"{formula}\" does not take part in the reaction");
                let help = "name only formulas that the reaction writes";
                context.error(codes::REACTION, formula.place, &message, help);
            }
        }
    }

    fn portions(&self, species: &[Species], context: &mut Context<'_>) -> Option<Vec<Portion>> {
        let mut portions = Vec::with_capacity(species.len());
        let mut whole = true;
        for species in species {
            match self.substance(species, context) {
                Some(substance) => portions.push(Portion {
                    substance,
                    amount: species.kg_per_kg,
                }),
                None => whole = false,
            }
        }
        whole.then_some(portions)
    }

    fn substance(
        &self,
        species: &Species,
        context: &mut Context<'_>,
    ) -> Option<crate::catalogue::SubstanceId> {
        let formula = species.formula.to_string();
        if let Some(name) = self.names.get(&formula) {
            return context.substance(name);
        }
        let found = context.substances.of_formula(&species.formula);
        if found.is_none() {
            let message = format!("no substance has the formula {formula}");
            let help = format!(
                "declare one, \"...\": Pure(\"{formula}\"), or name one: names: {{\"{formula}\": \"...\"}}"
            );
            context.error(codes::UNKNOWN_SUBSTANCE, self.reaction.place, &message, &help);
        }
        found
    }
}

/// The place of a part of a text in quotes, where the text has no escapes.
fn inside(place: Place, part: std::ops::Range<usize>) -> Place {
    let start = place.start + 1 + part.start;
    let end = place.start + 1 + part.end.max(part.start + 1);
    if end < place.end {
        Place { start, end, ..place }
    } else {
        place
    }
}
