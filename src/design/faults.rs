//! What may go wrong, as written.

use crate::quantity::{Days, Fraction, KilogramsPerDay, WithLitres};
use crate::written::{Named, Placed, choice};

use super::NOWHERE;

choice! {
    /// Something that goes wrong. `from` and `to` are days of the mission; left out,
    /// from its beginning, or to its end.
    pub enum Fault {
        /// A flight that comes late.
        Late {
            /// Its number; the departure is 0, the first arrival 1.
            flight: Placed<u32>,
            /// Days late.
            by: Placed<Days>,
        },
        /// A flight that never comes.
        Lost {
            /// Its number; the departure is 0, the first arrival 1.
            flight: Placed<u32>,
        },
        /// A node that does nothing, or that has fewer units.
        Down {
            /// The node.
            node: Named,
            /// Units that are down; left out, all of them.
            units: Option<Placed<u32>>,
            /// First day.
            from: Placed<Days> = Placed { value: Days(0.0), place: NOWHERE },
            /// Day on which it works again.
            to: Option<Placed<Days>>,
        },
        /// A leak at a node, which must be made up for.
        Leak {
            /// The node that loses it.
            node: Named,
            /// What is lost.
            substance: Named,
            /// How much.
            rate: Placed<WithLitres<KilogramsPerDay>>,
            /// First day.
            from: Placed<Days> = Placed { value: Days(0.0), place: NOWHERE },
            /// Day on which it is closed.
            to: Option<Placed<Days>>,
        },
        /// More people aboard than planned.
        MoreCrew {
            /// How many more.
            people: Placed<u32>,
            /// First day.
            from: Placed<Days> = Placed { value: Days(0.0), place: NOWHERE },
            /// Day on which they leave.
            to: Option<Placed<Days>>,
        },
        /// A product that comes out short; the largest other product of the same feed takes
        /// what it loses. A feed without another product keeps its yield.
        LessYield {
            /// The node.
            node: Named,
            /// The product.
            product: Named,
            /// Share of the product that is lost.
            lost: Placed<Fraction>,
            /// First day.
            from: Placed<Days> = Placed { value: Days(0.0), place: NOWHERE },
            /// Day on which it is as planned again.
            to: Option<Placed<Days>>,
        },
    }
}
