//! Electrolyser: 2 H₂O → 2 H₂ + O₂.

use crate::catalogue::names;
use crate::diagnostic::codes;
use crate::physics::electrolysis;
use crate::quantity::Volts;
use crate::written::{Named, Placed, record};

use super::unit::{Count, Hardwares, Unit};
use super::{Activity, Context, Duties, Kind, Level, Portion, Role, kind};

record! {
    /// Splits water into oxygen and hydrogen: 2 H2O -> 2 H2 + O2.
    pub struct Electrolyser {
        /// The grade of water it splits.
        takes: Named,
        /// Voltage of a cell; it sets the energy per kilogram of water.
        cell_voltage: Placed<Volts>,
        /// The hardware; its capacity counts kilograms of water.
        unit: Option<Unit>,
        /// How many units.
        count: Option<Placed<Count>>,
        /// The first phase in which it works.
        from: Option<Named>,
    }
}

kind!(Electrolyser);

impl Kind for Electrolyser {
    /// One activity, kg/d of water; oxygen and hydrogen by atomic weight, power
    /// by the cell voltage, heat by what the voltage exceeds the thermoneutral.
    fn duties(&self, context: &mut Context<'_>) -> Option<Duties> {
        let takes = context.substance(&self.takes);
        if let Some(substance) = takes {
            if !context.substances.is_water_alone(substance) {
                context.error(
                    codes::NOT_WATER,
                    self.takes.place,
                    &format!("\"{}\" is not a grade of water", self.takes),
                    "an electrolyser splits water alone: polish the stream first, or declare it as Mixture({\"water\": 1.0})",
                );
                return None;
            }
        }
        let voltage = self.cell_voltage.value.0;
        if voltage < electrolysis::REVERSIBLE_VOLTAGE_V {
            context.error(
                codes::OUT_OF_RANGE,
                self.cell_voltage.place,
                &format!("no cell splits water at {voltage} V"),
                "cells work between about 1.4 and 2.2 V",
            );
            return None;
        }
        let portion = |name: &str, amount: f64| -> Option<Portion> {
            let substance = context.substances.find(name)?;
            Some(Portion { substance, amount })
        };
        let gives: Option<Vec<Portion>> = [
            portion(names::OXYGEN, electrolysis::oxygen_kg_per_kg_water()),
            portion(names::HYDROGEN, electrolysis::hydrogen_kg_per_kg_water()),
        ]
        .into_iter()
        .collect();
        let per_kg_per_day = 1000.0 / 24.0;
        let activity = Activity {
            label: String::new(),
            level: Level::Free,
            level_unit: "kg/d",
            takes: vec![Portion {
                substance: takes?,
                amount: 1.0,
            }],
            gives: gives?,
            load: 1.0,
            feed_limits: Vec::new(),
            power_w: electrolysis::energy_kwh_per_kg_water(voltage) * per_kg_per_day,
            heat_w: electrolysis::heat_kwh_per_kg_water(voltage) * per_kg_per_day,
            role: Role::Convert,
            conserves: true,
        };
        let hardware = Hardwares {
            unit: self.unit.as_ref(),
            count: self.count.as_ref(),
            from: self.from.as_ref(),
        };
        hardware.duties(context, vec![activity], None)
    }
}
