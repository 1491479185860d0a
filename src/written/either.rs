use super::number::{Measured, measured, plainly, with_litres};
use super::{Form, Read, Reading, Sort, Value};
use crate::quantity::{Amount, Dimension, Quantity, QuantityError, WithLitres};

/// A quantity that its unit can tell from another.
pub trait Measure: Read {
    /// What it measures.
    const DIMENSION: Dimension;
    #[doc(hidden)]
    fn measure(text: &str) -> Result<Measured, QuantityError>;
    #[doc(hidden)]
    fn take(read: Measured) -> Self;
}

impl<Q: Quantity + Read> Measure for Q {
    const DIMENSION: Dimension = Q::DIMENSION;
    fn measure(text: &str) -> Result<Measured, QuantityError> {
        plainly::<Q>(text)
    }
    fn take(read: Measured) -> Self {
        Q::from_canonical(read.value)
    }
}

impl<Q: Amount + Read> Measure for WithLitres<Q> {
    const DIMENSION: Dimension = Q::DIMENSION;
    fn measure(text: &str) -> Result<Measured, QuantityError> {
        with_litres::<Q>(text)
    }
    fn take(read: Measured) -> Self {
        WithLitres::new(Q::from_canonical(read.value), read.litres)
    }
}

/// One of two quantities that their units tell apart: `"30 d"` or `"400 kg"`.
#[derive(Clone, Copy, PartialEq, Debug)]
pub enum Either<A, B> {
    /// The first.
    First(A),
    /// The second.
    Second(B),
}

impl<A: Measure, B: Measure> Read for Either<A, B> {
    fn read(value: &Value, reading: &mut Reading) -> Option<Self> {
        let read = measured::<Self>(value, one_of::<A, B>, reading)?;
        Some(if read.dimension == A::DIMENSION {
            Either::First(A::take(read))
        } else {
            Either::Second(B::take(read))
        })
    }

    fn form() -> Form {
        let (first, second) = (A::form(), B::form());
        Form::new(
            format!("{first} or {}", second.words),
            second.example.clone(),
        )
        .of(Sort::Either(Box::new(first), Box::new(second)))
    }

    fn written(&self) -> Option<String> {
        match self {
            Either::First(first) => first.written(),
            Either::Second(second) => second.written(),
        }
    }
}

/// Reads the quantity that the unit tells; a mistake is told of the one that
/// came nearer.
fn one_of<A: Measure, B: Measure>(text: &str) -> Result<Measured, QuantityError> {
    A::measure(text).or_else(|first| {
        B::measure(text)
            .map_err(|second| QuantityError::either(first, second, [A::DIMENSION, B::DIMENSION]))
    })
}
