//! Disposal: takes what leaves the loop.

use crate::quantity::Kilograms;
use crate::written::{Named, choice, record};

use super::{Activity, Context, Duties, Kind, Level, Portion, Role, duty, kind};

record! {
    /// Takes what leaves the loop.
    pub struct Disposal {
        /// How it leaves.
        way: Way,
        /// What it takes; left out, it follows from the streams.
        takes: Option<Vec<Named>>,
    }
}

choice! {
    /// How mass leaves the loop.
    pub enum Way {
        /// Vented or dumped, without limit.
        Overboard,
        /// Kept aboard to the end.
        Stowed {
            /// The largest amount over the mission.
            limit: Option<Kilograms>,
        },
        /// Taken away by departing vehicles.
        Removed {
            /// The largest amount between two departures.
            per_flight: Kilograms,
        },
    }
}

kind!(Disposal);

impl Kind for Disposal {
    /// One activity per substance, kg/d leaving.
    fn duties(&self, context: &mut Context<'_>) -> Option<Duties> {
        let takes = match &self.takes {
            Some(names) => context.substances(names)?,
            None => context.inflows.to_vec(),
        };
        let way = match &self.way {
            Way::Overboard => duty::Way::Overboard,
            Way::Stowed { limit } => duty::Way::Stowed {
                limit_kg: limit.map(|limit| limit.0),
            },
            Way::Removed { per_flight } => duty::Way::Removed {
                per_flight_kg: per_flight.0,
            },
        };
        let activities = takes
            .into_iter()
            .map(|substance| Activity {
                label: context.substances.name(substance).to_owned(),
                level: Level::Free,
                level_unit: "kg/d",
                takes: vec![Portion {
                    substance,
                    amount: 1.0,
                }],
                gives: Vec::new(),
                load: 0.0,
                feed_limits: Vec::new(),
                power_w: 0.0,
                heat_w: 0.0,
                role: Role::Leave(way.clone()),
                conserves: true,
            })
            .collect();
        Some(Duties {
            activities,
            ..Duties::default()
        })
    }
}
