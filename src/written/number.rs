//! Quantities, fractions and bare numbers, plain or as `Figure(...)`.

use super::{
    FieldForm, Fields, FigureNote, Form, IfAbsent, Read, Reading, Shape, Spread, Value, spread,
};
use crate::diagnostic::codes;
use crate::quantity::{
    self, Amount, Celsius, CubicMetres, CubicMetresPerHour, Days, Dimension, Fraction, Hours,
    HoursPerDay, HoursPerKilogram, Kilograms, KilogramsPerCubicMetre, KilogramsPerDay,
    KilogramsPerHour, KilogramsPerKilogram, KilogramsPerKilowatt, KilowattHours,
    KilowattHoursPerKilogram, Metres, Pascals, PerDay, Quantity, QuantityError, Volts, Watts,
    WithLitres, written,
};

/// Reads text or number into the canonical unit; the second part is whether
/// it was in litres.
type Parse = fn(&str, Dimension) -> Result<(f64, bool), QuantityError>;

fn plainly(text: &str, dimension: Dimension) -> Result<(f64, bool), QuantityError> {
    quantity::parse(text, dimension).map(|value| (value, false))
}

/// Reads a number that may be `Figure(...)`, and notes it.
fn measured(
    value: &Value,
    dimension: Dimension,
    parse: Parse,
    reading: &mut Reading,
) -> Option<(f64, bool)> {
    if value.word() == Some("Figure") {
        return figure(value, dimension, parse, reading);
    }
    let read = plain(value, dimension, parse, reading)?;
    reading.note_number(value.place, dimension, read.0);
    Some(read)
}

/// Reads a number that is not `Figure(...)`.
pub(super) fn plain(
    value: &Value,
    dimension: Dimension,
    parse: Parse,
    reading: &mut Reading,
) -> Option<(f64, bool)> {
    let bare = dimension.is_bare();
    let error = match &value.shape {
        Shape::Number(text) => match parse(text, dimension) {
            Ok(read) => return Some(read),
            Err(error) => error,
        },
        Shape::Word(text) if not_finite(text) => match parse(text, dimension) {
            Ok(read) => return Some(read),
            Err(error) => error,
        },
        Shape::Text(text) => match parse(text, dimension) {
            Ok(read) if !bare => return Some(read),
            Ok(_) => {
                let complaint = reading
                    .error(
                        codes::QUOTES,
                        value.place,
                        &format!("expected {dimension}, found a number in quotes"),
                    )
                    .help(format!("write it without quotes: {text}"));
                reading.complain(complaint);
                return None;
            }
            Err(error) => error,
        },
        _ => {
            reading.mistyped(value, &Form::quantity(dimension));
            return None;
        }
    };
    let complaint = reading
        .error(error.code(), value.place, &error.to_string())
        .help(error.help());
    reading.complain(complaint);
    None
}

fn not_finite(word: &str) -> bool {
    ["inf", "NaN"].contains(&word)
}

/// The fields of `Figure(...)`, whatever it is a figure of.
const FIGURE: &[FieldForm] = &[
    FieldForm {
        name: "value",
        form: || Form::new("a quantity", "\"128 kg\""),
        default: || IfAbsent::Required,
        doc: "The number.",
    },
    FieldForm {
        name: "source",
        form: <Option<String> as Read>::form,
        default: || IfAbsent::Nothing,
        doc: "Where it comes from.",
    },
    FieldForm {
        name: "spread",
        form: spread::form,
        default: || IfAbsent::Nothing,
        doc: "How sure it is.",
    },
];

fn figure(
    value: &Value,
    dimension: Dimension,
    parse: Parse,
    reading: &mut Reading,
) -> Option<(f64, bool)> {
    let mut fields = Fields::open(value, "Figure", FIGURE, reading)?;
    let inner = fields.read::<Whole>("value", || None, reading);
    let source = fields.read::<Option<String>>("source", || Some(None), reading);
    let spread = fields.read::<Option<Whole>>("spread", || Some(None), reading);
    let number = inner.and_then(|inner| {
        let read = reading.inside("value", |reading| {
            plain(&inner.0, dimension, parse, reading)
        })?;
        reading.note_number(inner.0.place, dimension, read.0);
        Some(read)
    });
    let spread: Option<Option<Spread>> = match spread {
        Some(Some(spread)) => reading.inside("spread", |reading| {
            spread::read(
                &spread.0,
                dimension,
                number.map(|(number, _)| number),
                reading,
            )
            .map(Some)
        }),
        Some(None) => Some(None),
        None => None,
    };
    fields.close(reading)?;
    reading.figures.push(FigureNote {
        address: reading.address().to_string(),
        place: value.place,
        source: source?,
        spread: spread?,
    });
    number
}

/// Any value, as it stands.
struct Whole(Value);

impl Read for Whole {
    fn read(value: &Value, _: &mut Reading) -> Option<Self> {
        Some(Whole(value.clone()))
    }

    fn form() -> Form {
        Form::new("a value", "")
    }
}

macro_rules! read_quantities {
    ($($name:ident)*) => {$(
        impl Read for $name {
            fn read(value: &Value, reading: &mut Reading) -> Option<Self> {
                measured(value, Self::DIMENSION, plainly, reading)
                    .map(|(value, _)| Self::from_canonical(value))
            }

            fn form() -> Form {
                Form::quantity(Self::DIMENSION)
            }

            fn written(&self) -> Option<String> {
                let text = written(self.canonical(), Self::DIMENSION);
                Some(if Self::DIMENSION.is_bare() { text } else { format!("\"{text}\"") })
            }
        }
    )*};
}

read_quantities! {
    Kilograms Days Hours KilogramsPerDay Watts KilowattHours
    KilowattHoursPerKilogram CubicMetres HoursPerDay Celsius Pascals Volts
    PerDay KilogramsPerKilogram HoursPerKilogram CubicMetresPerHour Metres
    KilogramsPerKilowatt KilogramsPerCubicMetre KilogramsPerHour Fraction
}

impl<Q: Amount + Read> Read for WithLitres<Q> {
    fn read(value: &Value, reading: &mut Reading) -> Option<Self> {
        measured(value, Q::DIMENSION, quantity::maybe_litres, reading)
            .map(|(value, litres)| WithLitres::new(Q::from_canonical(value), litres))
    }

    fn form() -> Form {
        Q::form()
    }
}

impl Read for f64 {
    fn read(value: &Value, reading: &mut Reading) -> Option<Self> {
        measured(value, Dimension::Number, plainly, reading).map(|(value, _)| value)
    }

    fn form() -> Form {
        Form::quantity(Dimension::Number)
    }

    fn written(&self) -> Option<String> {
        Some(written(*self, Dimension::Number))
    }
}

impl Read for u32 {
    fn read(value: &Value, reading: &mut Reading) -> Option<Self> {
        let (read, _) = plain(value, Dimension::Whole, plainly, reading)?;
        reading.note_number(value.place, Dimension::Whole, read);
        // The parser refused anything that is not a whole number in range.
        Some(read as u32)
    }

    fn form() -> Form {
        Form::quantity(Dimension::Whole)
    }

    fn written(&self) -> Option<String> {
        Some(self.to_string())
    }
}
