//! Recipe: a conversion in fixed ratios, such as a crop chamber.

use crate::diagnostic::codes;
use crate::quantity::{Dimension, Kilograms, WithLitres, shown};
use crate::written::{Entries, Named, Placed, record};

use super::unit::{Count, Hardwares, Unit};
use super::{Activity, Context, Duties, Kind, Level, Portion, Role, kind};

record! {
    /// A conversion in fixed ratios; masses in equal masses out.
    pub struct Recipe {
        /// What it takes, in proportion.
        takes: Entries<Named, WithLitres<Kilograms>>,
        /// What it gives, in proportion.
        gives: Entries<Named, WithLitres<Kilograms>>,
        /// The hardware; its capacity counts kilograms of all takes.
        unit: Option<Unit>,
        /// How many units.
        count: Option<Placed<Count>>,
        /// The first phase in which it works.
        from: Option<Named>,
    }
}

kind!(Recipe);

/// Masses in and out that agree to this share are equal.
const EQUAL: f64 = 1e-6;

impl Kind for Recipe {
    /// One activity, kg/d of all takes together.
    fn duties(&self, context: &mut Context<'_>) -> Option<Duties> {
        let takes = context.portions(&self.takes);
        let gives = context.portions(&self.gives);
        let (takes, gives) = (takes?, gives?);
        let taken: f64 = takes.iter().map(|portion| portion.amount).sum::<f64>() + 0.0;
        let given: f64 = gives.iter().map(|portion| portion.amount).sum::<f64>() + 0.0;
        if taken <= 0.0 || (taken - given).abs() > EQUAL * taken {
            context.error(
                codes::RECIPE_MASSES,
                context.node.place,
                &format!(
                    "takes {} and gives {}",
                    shown(taken, Dimension::Mass),
                    shown(given, Dimension::Mass)
                ),
                "masses in must equal masses out, and be above zero",
            );
            return None;
        }
        let per_kg = |portions: Vec<Portion>, total: f64| -> Vec<Portion> {
            portions
                .into_iter()
                .map(|portion| Portion {
                    amount: portion.amount / total,
                    ..portion
                })
                .collect()
        };
        let activity = Activity {
            label: String::new(),
            level: Level::Free,
            level_unit: "kg/d",
            takes: per_kg(takes, taken),
            gives: per_kg(gives, given),
            load: 1.0,
            feed_limits: Vec::new(),
            power_w: 0.0,
            heat_w: 0.0,
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
