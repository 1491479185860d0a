use super::{Kilograms, KilogramsPerDay, Quantity};

/// A mass, or a mass flow, that may have been written in litres. Only who
/// knows the substance can tell whether that was right: see
/// [`WithLitres::known`].
#[derive(Clone, Copy, PartialEq, Debug)]
pub struct WithLitres<Q> {
    quantity: Q,
    litres: bool,
}

/// A quantity that may be written in litres where it is water.
pub trait Amount: Quantity {}

impl Amount for Kilograms {}
impl Amount for KilogramsPerDay {}

impl<Q: Amount> WithLitres<Q> {
    /// A quantity that was written as a mass (`litres` false) or as that many
    /// litres (`litres` true).
    pub fn new(quantity: Q, litres: bool) -> Self {
        Self { quantity, litres }
    }

    /// The mass: a litre is a kilogram for a grade of water. For anything
    /// else litres give `None`, which is to be reported as
    /// [`crate::diagnostic::codes::LITRES`].
    pub fn known(self, grade_of_water: bool) -> Option<Q> {
        (grade_of_water || !self.litres).then_some(self.quantity)
    }

    /// Whether it was written in litres.
    pub fn litres(self) -> bool {
        self.litres
    }
}
