//! Cabin: passes on what it holds, and may leak.

use crate::diagnostic::codes;
use crate::quantity::{KilogramsPerDay, WithLitres};
use crate::written::{Entries, Named, record};

use super::{Activity, Context, Duties, Kind, Level, Role, kind};

record! {
    /// Passes on what streams bring, and may lose a stated leak.
    pub struct Cabin {
        /// What it passes on; left out, it follows from the streams.
        holds: Option<Vec<Named>>,
        /// What leaks out, every day.
        leak: Entries<Named, WithLitres<KilogramsPerDay>> = Entries::default(),
    }
}

kind!(Cabin);

impl Kind for Cabin {
    /// Passes substances; one activity per leak, at level 1 every day.
    fn duties(&self, context: &mut Context<'_>) -> Option<Duties> {
        let passes = match &self.holds {
            Some(names) => context.substances(names)?,
            None => context.through(),
        };
        let leaks = context.portions(&self.leak)?;
        for (portion, name) in leaks.iter().zip(self.leak.keys()) {
            if !passes.contains(&portion.substance) {
                let message = format!("\"{name}\" leaks, but nothing brings it here");
                let help = format!("add a stream of it that ends in or passes \"{}\"", context.node);
                context.error(codes::NOBODY_GIVES, name.place, &message, &help);
                return None;
            }
        }
        let activities = leaks
            .into_iter()
            .map(|portion| Activity {
                label: format!("leak of {}", context.substances.name(portion.substance)),
                level: Level::Fixed(vec![1.0; context.phases.len()]),
                level_unit: "times/d",
                takes: vec![portion],
                gives: Vec::new(),
                load: 0.0,
                feed_limits: Vec::new(),
                power_w: 0.0,
                heat_w: 0.0,
                role: Role::Lose,
                conserves: true,
            })
            .collect();
        Some(Duties {
            activities,
            passes,
            ..Duties::default()
        })
    }
}
