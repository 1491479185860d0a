//! Quantities, fractions and bare numbers, plain or as `Figure(...)`.

use super::{
    FieldForm, Fields, FigureNote, Form, IfAbsent, Read, Reading, Shape, Sort, Spread, Value,
    spread,
};
use crate::diagnostic::codes;
use crate::quantity::{
    self, Amount, Celsius, CubicMetres, CubicMetresPerHour, Days, Dimension, Fraction, Hours,
    HoursPerDay, HoursPerKilogram, Kilograms, KilogramsPerCubicMetre, KilogramsPerDay,
    KilogramsPerHour, KilogramsPerKilogram, KilogramsPerKilowatt, KilowattHours,
    KilowattHoursPerKilogram, Metres, Pascals, PerDay, Quantity, QuantityError, Volts, Watts,
    WithLitres, written,
};

/// A number read, in the canonical unit of its dimension.
#[derive(Clone, Copy, Debug)]
pub struct Measured {
    pub(super) value: f64,
    pub(super) dimension: Dimension,
    pub(super) litres: bool,
}

/// How a number is read from its text, and what it is called in complaints.
#[derive(Clone, Copy)]
pub(super) struct Reader {
    form: fn() -> Form,
    parse: fn(&str) -> Result<Measured, QuantityError>,
}

/// Reads a quantity or a bare number of one dimension.
pub(super) fn plainly<Q: Quantity>(text: &str) -> Result<Measured, QuantityError> {
    quantity::parse(text, Q::DIMENSION).map(|value| Measured {
        value,
        dimension: Q::DIMENSION,
        litres: false,
    })
}

/// Reads a mass that may be in litres.
pub(super) fn with_litres<Q: Quantity>(text: &str) -> Result<Measured, QuantityError> {
    quantity::maybe_litres(text, Q::DIMENSION).map(|(value, litres)| Measured {
        value,
        dimension: Q::DIMENSION,
        litres,
    })
}

/// Reads a number that may be `Figure(...)`, and notes it.
pub(super) fn measured<T: Read>(
    value: &Value,
    parse: fn(&str) -> Result<Measured, QuantityError>,
    reading: &mut Reading,
) -> Option<Measured> {
    let reader = Reader {
        form: T::form,
        parse,
    };
    if value.word() == Some("Figure") {
        return figure(value, reader, reading);
    }
    let read = plain(value, reader.form, reader.parse, reading)?;
    reading.note_number(value.place, read.dimension, read.value);
    Some(read)
}

/// Reads a number that is not `Figure(...)`.
pub(super) fn plain<T>(
    value: &Value,
    form: impl Fn() -> Form,
    parse: impl Fn(&str) -> Result<T, QuantityError>,
    reading: &mut Reading,
) -> Option<T> {
    let form = form();
    let text = match &value.shape {
        Shape::Number(text) | Shape::Text(text) => text,
        Shape::Word(text) if not_finite(text) => text,
        _ => {
            reading.mistyped(value, &form);
            return None;
        }
    };
    let bare = matches!(form.required().sort, Sort::Number(dimension) if dimension.is_bare());
    let in_quotes = bare && matches!(value.shape, Shape::Text(_));
    let complaint = match parse(text) {
        Ok(read) if !in_quotes => return Some(read),
        Ok(_) => reading
            .error(
                codes::QUOTES,
                value.place,
                &format!("expected {}, found a number in quotes", form.words),
            )
            .help(format!("write it without quotes: {text}")),
        Err(error) => reading
            .error(error.code(), value.place, &error.to_string())
            .help(error.help()),
    };
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

/// How a figure with a source and a spread is written.
pub fn figure_form() -> Form {
    const DOC: &str = "A quantity or fraction that says where it comes from and how sure it is; \
        it may stand wherever a plain one does.";
    Form::record("Figure", DOC, FIGURE)
}

fn figure(value: &Value, reader: Reader, reading: &mut Reading) -> Option<Measured> {
    let mut fields = Fields::open(value, "Figure", FIGURE, reading)?;
    let inner = fields.read::<AsItStands>("value", || None, reading);
    let source = fields.read::<Option<String>>("source", || Some(None), reading);
    let spread = fields.read::<Option<AsItStands>>("spread", || Some(None), reading);
    let number = inner.and_then(|AsItStands(inner)| {
        let read = reading.inside("value", |reading| {
            plain(&inner, reader.form, reader.parse, reading)
        })?;
        reading.note_number(inner.place, read.dimension, read.value);
        Some(read)
    });
    let spread: Option<Option<Spread>> = match (spread, number) {
        (Some(Some(AsItStands(spread))), Some(number)) => reading.inside("spread", |reading| {
            spread::read(&spread, number.dimension, number.value, reading).map(Some)
        }),
        (Some(None), _) => Some(None),
        // Without its number, a spread cannot be judged.
        _ => None,
    };
    fields.close(reading)?;
    let (source, spread, number) = (source?, spread?, number?);
    reading.figures.push(FigureNote {
        address: reading.address().to_string(),
        place: value.place,
        source,
        spread,
    });
    Some(number)
}

/// Any value, as it stands.
struct AsItStands(Value);

impl Read for AsItStands {
    fn read(value: &Value, _: &mut Reading) -> Option<Self> {
        Some(AsItStands(value.clone()))
    }

    fn form() -> Form {
        Form::new("a value", "")
    }
}

macro_rules! read_quantities {
    ($($name:ident)*) => {$(
        impl Read for $name {
            fn read(value: &Value, reading: &mut Reading) -> Option<Self> {
                measured::<Self>(value, plainly::<Self>, reading)
                    .map(|read| Self::from_canonical(read.value))
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
        measured::<Q>(value, with_litres::<Q>, reading)
            .map(|read| WithLitres::new(Q::from_canonical(read.value), read.litres))
    }

    fn form() -> Form {
        Q::form()
    }
}

impl Read for f64 {
    fn read(value: &Value, reading: &mut Reading) -> Option<Self> {
        let parse = |text: &str| {
            quantity::number(text).map(|value| Measured {
                value,
                dimension: Dimension::Number,
                litres: false,
            })
        };
        measured::<Self>(value, parse, reading).map(|read| read.value)
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
        let parse = |text: &str| quantity::parse(text, Dimension::Whole);
        let read = plain(value, Self::form, parse, reading)?;
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
