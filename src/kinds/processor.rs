//! Processor: each feed becomes products by mass yields.

use crate::diagnostic::codes;
use crate::quantity::Fraction;
use crate::written::{Entries, Named, Placed, record};

use super::unit::{Count, Hardwares, Unit};
use super::{Activity, Context, Duties, Kind, Level, Portion, Role, kind};

record! {
    /// Turns each feed into products, by mass yields that sum to 1.
    pub struct Processor {
        /// For every feed, its products and the fraction of the feed each gets.
        turns: Entries<Named, Entries<Named, Fraction>>,
        /// The hardware; its capacity is shared by all feeds.
        unit: Option<Unit>,
        /// How many units.
        count: Option<Placed<Count>>,
        /// The first phase in which it works.
        from: Option<Named>,
    }
}

kind!(Processor);

impl Kind for Processor {
    /// One activity per feed, kg/d of that feed.
    fn duties(&self, context: &mut Context<'_>) -> Option<Duties> {
        if self.turns.is_empty() {
            context.error(
                codes::NOTHING_TURNED,
                context.node.place,
                "a processor without a feed",
                "state turns: {\"feed\": {\"product\": 1.0}}",
            );
        }
        let activities: Vec<Option<Activity>> = self
            .turns
            .iter()
            .map(|(feed, products)| turned(context, feed, products))
            .collect();
        let hardware = Hardwares {
            unit: self.unit.as_ref(),
            count: self.count.as_ref(),
            from: self.from.as_ref(),
        };
        let known: Vec<Activity> = activities.iter().flatten().cloned().collect();
        let duties = hardware.duties(context, known, None)?;
        (duties.activities.len() == self.turns.len() && !self.turns.is_empty()).then_some(duties)
    }
}

/// What becomes of one feed.
fn turned(
    context: &mut Context<'_>,
    feed: &Named,
    products: &Entries<Named, Fraction>,
) -> Option<Activity> {
    let substance = context.substance(feed);
    let what = format!("the yields of \"{feed}\"");
    let gives = context.shares(products, 1.0, feed.place, &what);
    Some(Activity {
        label: feed.text.clone(),
        level: Level::Free,
        level_unit: "kg/d",
        takes: vec![Portion {
            substance: substance?,
            amount: 1.0,
        }],
        gives: gives?,
        load: 1.0,
        feed_limits: Vec::new(),
        power_w: 0.0,
        heat_w: 0.0,
        role: Role::Convert,
        conserves: true,
    })
}
