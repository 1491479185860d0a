//! Cargo: what flights bring.

use crate::diagnostic::codes;
use crate::quantity::{Kilograms, WithLitres};
use crate::written::{Named, Placed, record};

use super::duty::{Packing, Stock};
use super::{Activity, Context, Duties, Kind, Level, Portion, Role, kind};

record! {
    /// What flights bring: drawn from what has been delivered.
    pub struct Cargo {
        /// What it is.
        gives: Named,
        /// Packaging as a fraction of the cargo's own mass.
        packaging: Option<Placed<f64>>,
        /// Whole containers.
        container: Option<Container>,
        /// The store into which it is transferred on arrival.
        into: Option<Named>,
    }
}

record! {
    /// A container flown whole.
    pub struct Container {
        /// Content of one.
        holds: Placed<WithLitres<Kilograms>>,
        /// Empty mass of one.
        tare: Kilograms,
    }
}

kind!(Cargo);

impl Kind for Cargo {
    /// One activity, kg/d drawn; delivered stock.
    fn duties(&self, context: &mut Context<'_>) -> Option<Duties> {
        let substance = context.substance(&self.gives)?;
        let packing = self.packing(context, substance)?;
        Some(Duties {
            activities: vec![Activity {
                label: String::new(),
                level: Level::Free,
                level_unit: "kg/d",
                takes: Vec::new(),
                gives: vec![Portion {
                    substance,
                    amount: 1.0,
                }],
                load: 0.0,
                feed_limits: Vec::new(),
                power_w: 0.0,
                heat_w: 0.0,
                role: Role::Bring,
                conserves: true,
            }],
            stock: Some(Stock::Delivered {
                substance,
                packing,
                into: self.into.clone(),
            }),
            ..Duties::default()
        })
    }
}

impl Cargo {
    fn packing(
        &self,
        context: &mut Context<'_>,
        substance: crate::catalogue::SubstanceId,
    ) -> Option<Packing> {
        match (&self.packaging, &self.container) {
            (None, None) => Some(Packing::Fraction(0.0)),
            (Some(packaging), None) if packaging.value >= 0.0 => {
                Some(Packing::Fraction(packaging.value))
            }
            (Some(packaging), None) => {
                context.error(
                    codes::OUT_OF_RANGE,
                    packaging.place,
                    &format!("a packaging of {}", packaging.value),
                    "packaging is a fraction of the cargo's mass, 0 or more",
                );
                None
            }
            (None, Some(container)) => {
                let holds_kg = context.amount(container.holds.value, substance, container.holds.place)?;
                if holds_kg <= 0.0 {
                    context.error(
                        codes::OUT_OF_RANGE,
                        container.holds.place,
                        "a container that holds nothing",
                        "state what one container holds",
                    );
                    return None;
                }
                Some(Packing::Container {
                    holds_kg,
                    tare_kg: container.tare.0,
                })
            }
            (Some(packaging), Some(_)) => {
                context.error(
                    codes::PACKING,
                    packaging.place,
                    "packaging beside a container",
                    "keep one of them",
                );
                None
            }
        }
    }
}
