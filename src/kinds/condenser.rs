//! Condenser: vapour in, liquid out, kilogram for kilogram.

use crate::diagnostic::codes;
use crate::physics::moist_air::{self, MoistAir};
use crate::quantity::{Celsius, CubicMetresPerHour, Fraction, Pascals};
use crate::written::{Named, Placed, record};

use super::unit::{Count, Hardwares, Unit};
use super::{Activity, Context, Duties, Kind, Level, Portion, Role, kind};

record! {
    /// A cold surface: vapour in, liquid out, kilogram for kilogram.
    pub struct Condenser {
        /// The vapour.
        takes: Named,
        /// The liquid.
        gives: Named,
        /// Temperature of the cold surface; the latent heat there goes to the heat sum.
        coil: Celsius = Celsius(10.0),
        /// The air that a unit draws, from which its capacity is found.
        air: Option<Air>,
        /// The hardware.
        unit: Option<Unit>,
        /// How many units.
        count: Option<Placed<Count>>,
        /// The first phase in which it works.
        from: Option<Named>,
    }
}

record! {
    /// Cabin air drawn over the cold surface of one unit.
    pub struct Air {
        /// Volume flow at the inlet.
        flow: CubicMetresPerHour,
        /// Temperature of the cabin.
        temperature: Celsius,
        /// Relative humidity of the cabin.
        humidity: Fraction,
        /// Total pressure of the cabin.
        pressure: Pascals = Pascals(101_325.0),
    }
}

kind!(Condenser);

impl Kind for Condenser {
    /// One activity, kg/d of vapour. Heat: latent heat at the coil temperature,
    /// `W per kg/d = latent heat (J/kg) / 86 400 s/d`.
    fn duties(&self, context: &mut Context<'_>) -> Option<Duties> {
        let takes = context.substance(&self.takes);
        let gives = context.substance(&self.gives);
        let capacity = self.capacity(context)?;
        let latent_w = match moist_air::latent_w(1.0, self.coil.0) {
            Ok(latent_w) => latent_w,
            Err(error) => {
                let place = context.node.place;
                let help = "state a coil temperature of liquid water";
                context.error(codes::OUT_OF_RANGE, place, &error.to_string(), help);
                return None;
            }
        };
        let (takes, gives) = (takes?, gives?);
        let activity = Activity {
            label: String::new(),
            level: Level::Free,
            level_unit: "kg/d",
            takes: vec![Portion {
                substance: takes,
                amount: 1.0,
            }],
            gives: vec![Portion {
                substance: gives,
                amount: 1.0,
            }],
            load: 1.0,
            feed_limits: Vec::new(),
            power_w: 0.0,
            heat_w: latent_w,
            role: Role::Convert,
            conserves: true,
        };
        self.hardware().duties(context, vec![activity], capacity)
    }
}

impl Condenser {
    fn hardware(&self) -> Hardwares<'_> {
        Hardwares {
            unit: self.unit.as_ref(),
            count: self.count.as_ref(),
            from: self.from.as_ref(),
        }
    }

    /// Capacity from the air flow, where that is stated; the outer option is a
    /// complaint.
    fn capacity(&self, context: &mut Context<'_>) -> Option<Option<f64>> {
        let Some(air) = &self.air else {
            return Some(None);
        };
        let Some(unit) = &self.unit else {
            context.error(
                codes::CONDENSER_AIR,
                context.node.place,
                "an air flow without a unit",
                "state the unit that draws it, or leave out air",
            );
            return None;
        };
        if let Some(capacity) = &unit.capacity {
            context.error(
                codes::CONDENSER_AIR,
                capacity.place,
                "a capacity beside the air flow from which it follows",
                "keep one of them",
            );
            return None;
        }
        let found = MoistAir::new(air.temperature.0, air.humidity.0, air.pressure.0)
            .and_then(|cabin| moist_air::condensed_kg_per_day(air.flow.0, cabin, self.coil.0));
        match found {
            Ok(rate) if rate > 0.0 => Some(Some(rate)),
            Err(error) => {
                let help = "state air as people breathe it";
                context.error(codes::CONDENSER_AIR, context.node.place, &error.to_string(), help);
                None
            }
            Ok(_) => {
                context.error(
                    codes::CONDENSER_AIR,
                    context.node.place,
                    &format!(
                        "nothing condenses from air at {} and {:.0} % humidity on a coil at {}",
                        air.temperature,
                        air.humidity.0 * 100.0,
                        self.coil
                    ),
                    "make the coil colder than the dew point of the cabin",
                );
                None
            }
        }
    }
}
