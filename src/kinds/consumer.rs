//! Consumer: a demand that gives back what it does not keep.

use crate::diagnostic::codes;
use crate::quantity::{Fraction, Kilograms, WithLitres};
use crate::written::{Entries, Named, choice, record};

use super::{Activity, Context, Duties, Kind, Level, Role, kind};

record! {
    /// A demand per person, per day or per occasion, and what comes back of it.
    pub struct Consumer {
        /// What it takes, each time.
        takes: Entries<Named, WithLitres<Kilograms>>,
        /// What the demand goes by.
        per: Per = Per::Person,
        /// What it gives back, as fractions of the sum of its takes.
        gives: Entries<Named, Fraction>,
        /// Share of the demand, where several nodes divide it.
        share: Fraction = Fraction::ONE,
    }
}

choice! {
    /// What a demand goes by.
    pub enum Per {
        /// So much for every person every day.
        Person,
        /// So much every day.
        Day,
        /// So much every time, for the whole crew.
        Occasion(Named),
    }
}

kind!(Consumer);

impl Kind for Consumer {
    /// One activity at `share` × people, 1, or the occasion's rate per day.
    fn duties(&self, context: &mut Context<'_>) -> Option<Duties> {
        let takes = context.portions(&self.takes);
        let (level, level_unit) = match &self.per {
            Per::Person => (
                Some(context.phases.iter().map(|phase| phase.crew).collect()),
                "people",
            ),
            Per::Day => (Some(vec![1.0; context.phases.len()]), "times/d"),
            Per::Occasion(name) => (context.occasion(name), "times/d"),
        };
        let takes = takes?;
        let total: f64 = takes.iter().map(|portion| portion.amount).sum();
        if total <= 0.0 {
            context.error(
                codes::OUT_OF_RANGE,
                context.node.place,
                "a consumer that takes nothing",
                "state what it takes, or take the node out",
            );
            return None;
        }
        let place = context.node.place;
        let gives = context.shares(&self.gives, total, place, "the fractions given back")?;
        let level: Vec<f64> = level?;
        Some(Duties {
            activities: vec![Activity {
                label: String::new(),
                level: Level::Fixed(level.into_iter().map(|rate| rate * self.share.0).collect()),
                level_unit,
                takes,
                gives,
                load: 0.0,
                feed_limits: Vec::new(),
                power_w: 0.0,
                heat_w: 0.0,
                role: Role::Use,
                conserves: true,
            }],
            ..Duties::default()
        })
    }
}
