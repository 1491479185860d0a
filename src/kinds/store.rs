//! Store: a tank in the steady flow, with a reserve for bad days.

use crate::diagnostic::codes;
use crate::quantity::{Days, Dimension, Kilograms, WithLitres, shown};
use crate::written::{Either, Named, Placed, record};

use super::duty::{self, Stock};
use super::{Context, Duties, Kind, LEAST_PIECE_KG, MOST_TARE, kind};

record! {
    /// Keeps a reserve, in tanks or not; on average as much goes out as comes in.
    pub struct Store {
        /// What it holds.
        holds: Named,
        /// What it keeps back: a mass, or days of what it feeds.
        reserve: Option<Placed<Reserve>>,
        /// What the content is kept in; left out, it weighs nothing.
        tank: Option<Tank>,
    }
}

record! {
    /// A tank by tare fraction, or whole tanks of a stated size and mass.
    pub struct Tank {
        /// Empty mass as a fraction of the content.
        tare: Option<Placed<f64>>,
        /// Empty mass of one tank.
        mass: Option<Kilograms>,
        /// Content of one tank.
        holds: Option<Placed<WithLitres<Kilograms>>>,
    }
}

/// A reserve as it is written: a mass or a time.
type Reserve = Either<WithLitres<Kilograms>, Days>;

kind!(Store);

impl Kind for Store {
    /// Passes its substance and keeps a stock.
    fn duties(&self, context: &mut Context<'_>) -> Option<Duties> {
        let substance = context.substance(&self.holds)?;
        let reserve = match &self.reserve {
            None => None,
            Some(Placed { value, place }) => Some(match *value {
                Either::Second(days) => duty::Reserve::Days(days.0),
                Either::First(mass) => {
                    duty::Reserve::Kilograms(context.amount(mass, substance, *place)?)
                }
            }),
        };
        let tank = match &self.tank {
            None => None,
            Some(tank) => Some(tank.duty(context, substance)?),
        };
        Some(Duties {
            passes: vec![substance],
            stock: Some(Stock::Kept {
                substance,
                reserve,
                tank,
            }),
            ..Duties::default()
        })
    }
}

impl Tank {
    fn duty(
        &self,
        context: &mut Context<'_>,
        substance: crate::catalogue::SubstanceId,
    ) -> Option<duty::Tank> {
        match (&self.tare, self.mass, &self.holds) {
            (Some(tare), None, None) => {
                if !(0.0..=MOST_TARE).contains(&tare.value) {
                    let message = format!("a tare of {}", tare.value);
                    context.error(codes::OUT_OF_RANGE, tare.place, &message, "a tare is 0 or more and at most 1000");
                    return None;
                }
                Some(duty::Tank::Tare(tare.value))
            }
            (None, Some(mass), Some(holds)) => {
                let holds_kg = context.amount(holds.value, substance, holds.place)?;
                if holds_kg < LEAST_PIECE_KG {
                    let message = format!("a tank that holds {}", shown(holds_kg, Dimension::Mass));
                    context.error(
                        codes::OUT_OF_RANGE,
                        holds.place,
                        &message,
                        "state what one tank holds: a gram or more",
                    );
                    return None;
                }
                Some(duty::Tank::Whole {
                    mass_kg: mass.0,
                    holds_kg,
                })
            }
            _ => {
                context.error(
                    codes::TANK,
                    context.node.place,
                    "a tank is either a tare fraction or whole tanks",
                    "write Tank(tare: 0.2), or Tank(mass: \"21 kg\", holds: \"160 kg\")",
                );
                None
            }
        }
    }
}
