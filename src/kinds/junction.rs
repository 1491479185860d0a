//! Junction: passes on, joins and divides.

use crate::written::{Named, record};

use super::{Context, Duties, Kind, kind};

record! {
    /// Passes on, joins and divides streams.
    pub struct Junction {
        /// What it passes on; left out, it follows from the streams.
        holds: Option<Vec<Named>>,
    }
}

kind!(Junction);

impl Kind for Junction {
    /// Passes substances and does nothing else.
    fn duties(&self, context: &mut Context<'_>) -> Option<Duties> {
        let passes = match &self.holds {
            Some(names) => context.substances(names)?,
            None => context.through(),
        };
        Some(Duties {
            passes,
            ..Duties::default()
        })
    }
}
