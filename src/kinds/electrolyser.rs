//! Electrolyser: 2 H₂O → 2 H₂ + O₂.

use crate::catalogue::names;
use crate::diagnostic::codes;
use crate::physics::{Reaction, electrolysis};
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

/// Below the reversible voltage at 25 °C no cell splits water, V (from memory;
/// any textbook of electrochemistry).
const LEAST_VOLTAGE_V: f64 = 1.229;

/// Kilograms of hydrogen and oxygen per kilogram of water, by atomic weight:
/// 0.111907 and 0.888093.
fn split() -> Option<[f64; 2]> {
    let reaction = Reaction::parse("2 H2O -> 2 H2 + O2").ok()?;
    match reaction.products.as_slice() {
        [hydrogen, oxygen] => Some([hydrogen.kg_per_kg, oxygen.kg_per_kg]),
        _ => None,
    }
}

impl Kind for Electrolyser {
    /// One activity, kg/d of water; oxygen and hydrogen by atomic weight, power
    /// by the cell voltage, heat by what the voltage exceeds the thermoneutral.
    fn duties(&self, context: &mut Context<'_>) -> Option<Duties> {
        let takes = context.substance(&self.takes);
        if let Some(substance) = takes
            && !context.substances.is_water_alone(substance) {
                context.error(
                    codes::NOT_WATER,
                    self.takes.place,
                    &format!("\"{}\" is not a grade of water", self.takes),
                    "an electrolyser splits water alone: polish the stream first, or declare it as Mixture({\"water\": 1.0})",
                );
                return None;
            }
        let voltage = self.cell_voltage.value.0;
        if voltage < LEAST_VOLTAGE_V {
            context.error(
                codes::OUT_OF_RANGE,
                self.cell_voltage.place,
                &format!("no cell splits water at {voltage} V"),
                "cells work between about 1.4 and 2.2 V",
            );
            return None;
        }
        let [hydrogen, oxygen] = split()?;
        let portion = |name: &str, amount: f64| -> Option<Portion> {
            let substance = context.substances.find(name)?;
            Some(Portion { substance, amount })
        };
        let gives: Option<Vec<Portion>> = [
            portion(names::OXYGEN, oxygen),
            portion(names::HYDROGEN, hydrogen),
        ]
        .into_iter()
        .collect();
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
            power_w: electrolysis::cell_power_w(voltage, 1.0),
            heat_w: electrolysis::cell_heat_w(voltage, 1.0),
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
