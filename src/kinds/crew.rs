//! Crew: people, at published or stated daily rates.

use crate::catalogue::{self, DEFAULT_PROFILE};
use crate::diagnostic::{codes, nearest};
use crate::quantity::{Fraction, Kilograms, Watts, WithLitres};
use crate::written::{Entries, Named, record};

use super::{Activity, Context, Duties, Kind, Level, Portion, Role, kind};

record! {
    /// People, who take and give published daily rates or rates of the design's own.
    pub struct Crew {
        /// Published edition of the daily rates: "2022", "2004" or "1994".
        profile: Option<Named>,
        /// What one person takes in a day, instead of a profile.
        takes: Option<Entries<Named, WithLitres<Kilograms>>>,
        /// What one person gives back in a day, instead of a profile.
        gives: Option<Entries<Named, WithLitres<Kilograms>>>,
        /// Share of the crew, where several nodes divide it.
        share: Fraction = Fraction::ONE,
        /// Heat of one person to the coolant.
        heat: Option<Watts>,
    }
}

kind!(Crew);

impl Kind for Crew {
    /// One activity, `people = crew of the phase × share`; takes and gives are
    /// kg per person and day.
    fn duties(&self, context: &mut Context<'_>) -> Option<Duties> {
        let (takes, gives, conserves) = self.rates(context)?;
        let people = context
            .phases
            .iter()
            .map(|phase| phase.crew * self.share.0)
            .collect();
        Some(Duties {
            activities: vec![Activity {
                label: String::new(),
                level: Level::Fixed(people),
                level_unit: "people",
                takes,
                gives,
                load: 0.0,
                feed_limits: Vec::new(),
                power_w: 0.0,
                heat_w: self.heat.map_or(0.0, |heat| heat.0),
                role: Role::Use,
                conserves,
            }],
            is_people: true,
            ..Duties::default()
        })
    }

    fn crew_profile(&self) -> Option<&Named> {
        self.profile.as_ref()
    }

    fn crew_share(&self) -> Option<Fraction> {
        Some(self.share)
    }
}

/// A stated balance that closes to this share of what is taken is taken as closed.
const CLOSES: f64 = 1e-6;

impl Crew {
    fn rates(&self, context: &mut Context<'_>) -> Option<(Vec<Portion>, Vec<Portion>, bool)> {
        let (takes, gives) = match (&self.takes, &self.gives) {
            (None, None) => {
                let (takes, gives) = self.published(context)?;
                return Some((takes, gives, true));
            }
            (Some(takes), Some(gives)) => (takes, gives),
            _ => {
                context.error(
                    codes::CREW_RATES,
                    context.node.place,
                    "takes without gives, or gives without takes",
                    "state both, or neither and name a profile",
                );
                return None;
            }
        };
        if let Some(profile) = &self.profile {
            context.error(
                codes::CREW_RATES,
                profile.place,
                "a profile beside stated rates",
                "keep either the profile or takes and gives",
            );
            return None;
        }
        let takes = context.portions(takes);
        let gives = context.portions(gives);
        let (takes, gives) = (takes?, gives?);
        let taken: f64 = takes.iter().map(|portion| portion.amount).sum();
        let given: f64 = gives.iter().map(|portion| portion.amount).sum();
        let closes = (taken - given).abs() <= CLOSES * taken.max(given).max(1.0);
        if !closes {
            context.warning(
                codes::CREW_CLOSURE,
                context.node.place,
                &format!(
                    "one person takes {taken:.6} kg/d and gives {given:.6} kg/d: the difference of {:.6} kg/d appears or vanishes here",
                    taken - given
                ),
                "state every rate, or name a published profile",
            );
        }
        // Rates of the design's own say nothing about what food is made of.
        Some((takes, gives, false))
    }

    fn published(&self, context: &mut Context<'_>) -> Option<(Vec<Portion>, Vec<Portion>)> {
        let name = self
            .profile
            .as_ref()
            .map_or(DEFAULT_PROFILE, |profile| profile.text.as_str());
        let Some(profile) = catalogue::crew_profile(name) else {
            let names: Vec<&str> = catalogue::crew_profiles()
                .iter()
                .map(|profile| profile.name.as_str())
                .collect();
            let help = match nearest(name, names.iter().copied()) {
                Some(near) => format!("did you mean \"{near}\"? profiles: {}", names.join(", ")),
                None => format!("profiles: {}", names.join(", ")),
            };
            let place = self
                .profile
                .as_ref()
                .map_or(context.node.place, |profile| profile.place);
            let message = format!("no crew profile is called \"{name}\"");
            context.error(codes::UNKNOWN_PROFILE, place, &message, &help);
            return None;
        };
        let portions = |rates: Vec<(&'static str, f64)>| -> Vec<Portion> {
            rates
                .into_iter()
                .filter_map(|(name, amount)| {
                    let substance = context.substances.find(name)?;
                    Some(Portion { substance, amount })
                })
                .collect()
        };
        Some((portions(profile.takes()), portions(profile.gives())))
    }
}
