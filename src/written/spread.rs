use super::{Form, Named, Payload, Reading, Shape, Sort, Value, VariantForm, number};
use crate::diagnostic::{Diagnostic, Place, SourceId, codes};
use crate::quantity::{self, Dimension, shown};

/// How sure a number is, in the canonical unit of its dimension. The number
/// itself is the mode of a triangle, the mean of a normal and the median of a
/// lognormal distribution.
#[derive(Clone, Copy, PartialEq, Debug)]
pub enum Spread {
    /// Anywhere between two bounds, equally likely.
    Uniform {
        /// The lower bound.
        low: f64,
        /// The upper bound.
        high: f64,
    },
    /// Between two bounds, most likely the number itself.
    Triangular {
        /// The lower bound.
        low: f64,
        /// The upper bound.
        high: f64,
    },
    /// Normal about the number.
    Normal {
        /// The standard deviation.
        standard_deviation: f64,
    },
    /// Lognormal with the number as its median.
    Lognormal {
        /// The 95th over the 50th percentile, above 1.
        factor: f64,
    },
}

impl Spread {
    /// Reads a spread from a part of a source, such as `Triangular(110 kg, 160 kg)`,
    /// with or without quotes around its quantities; it belongs to a number at
    /// an address.
    ///
    /// # Errors
    ///
    /// Every mistake found, each with its place.
    pub fn from_text(
        part: Place,
        text: &str,
        address: &str,
        dimension: Dimension,
        number: f64,
    ) -> Result<Spread, Vec<Diagnostic>> {
        let mut reading = Reading::new();
        let value = written(part.source, part.start, text);
        let spread = reading.inside(address, |reading| read(&value, dimension, number, reading));
        spread.ok_or(reading.diagnostics)
    }

    /// As a design file writes it, with the unit of a dimension.
    ///
    /// ```
    /// use loopwright::quantity::Dimension;
    /// use loopwright::written::Spread;
    /// let spread = Spread::Triangular { low: 110.0, high: 160.0 };
    /// assert_eq!(spread.words(Dimension::Mass), "Triangular(110 kg, 160 kg)");
    /// assert_eq!(Spread::Lognormal { factor: 2.0 }.words(Dimension::Mass), "Lognormal(2)");
    /// ```
    pub fn words(&self, dimension: Dimension) -> String {
        let one = |value: f64| shown(value, dimension);
        match *self {
            Spread::Uniform { low, high } => format!("Uniform({}, {})", one(low), one(high)),
            Spread::Triangular { low, high } => {
                format!("Triangular({}, {})", one(low), one(high))
            }
            // A deviation is a difference: kelvins, whatever the zero.
            Spread::Normal { standard_deviation } if dimension == Dimension::Temperature => {
                format!("Normal({})", one(standard_deviation).replace("°C", "K"))
            }
            Spread::Normal { standard_deviation } => {
                format!("Normal({})", one(standard_deviation))
            }
            Spread::Lognormal { factor } => {
                format!("Lognormal({})", shown(factor, Dimension::Number))
            }
        }
    }
}

/// A spread of the command line as a value: a name, and parts between commas.
fn written(source: SourceId, start: usize, text: &str) -> Value {
    let place = |from: usize, length: usize| Place {
        source,
        start: start + from,
        end: start + from + length,
    };
    let whole = place(0, text.len());
    let plain = Value {
        place: whole,
        shape: Shape::Text(text.to_owned()),
    };
    let Some((name, rest)) = text.split_once('(') else {
        return plain;
    };
    let Some(inside) = rest.trim_end().strip_suffix(')') else {
        return plain;
    };
    let mut items = Vec::new();
    let mut at = name.len() + 1;
    for part in inside.split(',') {
        let bare = part.trim().trim_matches('"').trim();
        let lead = part.find(bare).unwrap_or(0);
        items.push(Value {
            place: place(at + lead, bare.len()),
            shape: Shape::Number(bare.to_owned()),
        });
        at += part.len() + 1;
    }
    Value {
        place: whole,
        shape: Shape::Tuple {
            name: Some(Named::new(name.trim(), place(0, name.len()))),
            items,
        },
    }
}

/// How a spread is written; its bounds and deviation carry the unit of the number.
pub(super) fn form() -> Form {
    const BOUND: fn() -> Form = || Form::quantity(Dimension::Mass);
    const RATIO: fn() -> Form = || Form::new("a number above 1", "1.4");
    const BOUNDS: Payload = Payload::Items(&[BOUND, BOUND]);
    const SPREADS: &[VariantForm] = &[
        VariantForm {
            name: "Triangular",
            payload: BOUNDS,
            doc: "Between two bounds, most likely the number itself.",
        },
        VariantForm {
            name: "Uniform",
            payload: BOUNDS,
            doc: "Anywhere between two bounds, equally likely.",
        },
        VariantForm {
            name: "Normal",
            payload: Payload::Items(&[BOUND]),
            doc: "Normal about the number, with this standard deviation.",
        },
        VariantForm {
            name: "Lognormal",
            payload: Payload::Items(&[RATIO]),
            doc: "Lognormal about the number as its median: the 95th over the 50th percentile.",
        },
    ];
    let mut form = Form::choice("Spread", "How far a number may be off.", SPREADS);
    form.example = "Triangular(\"110 kg\", \"160 kg\")".to_owned();
    Form::new(form.words.clone(), form.example.clone()).of(Sort::Optional(Box::new(form)))
}

/// Reads the spread of a number and checks that it fits: bounds in order with
/// the number between them, a deviation above zero, a factor above one.
pub(super) fn read(
    value: &Value,
    dimension: Dimension,
    number: f64,
    reading: &mut Reading,
) -> Option<Spread> {
    const KINDS: &str = "there are Uniform(low, high), Triangular(low, high), \
        Normal(standard deviation) and Lognormal(factor)";
    let wrong = |message: String| {
        move |reading: &mut Reading| {
            let complaint = reading
                .error(codes::SPREAD, value.place, &message)
                .help(KINDS);
            reading.complain(complaint);
            None
        }
    };
    let Shape::Tuple {
        name: Some(name),
        items,
    } = &value.shape
    else {
        return wrong(format!("expected a spread, found {}", value.described()))(reading);
    };
    let spread = match (name.text.as_str(), items.as_slice()) {
        ("Uniform" | "Triangular", [low, high]) => {
            let low_read = reading.inside("0", |reading| part(low, dimension, reading));
            let high_read = reading.inside("1", |reading| part(high, dimension, reading));
            let (low, high) = (low_read?, high_read?);
            if low >= high {
                return wrong("the lower bound is not below the upper one".into())(reading);
            }
            if !(low..=high).contains(&number) {
                return wrong("the number is not between its bounds".into())(reading);
            }
            if name.text == "Uniform" {
                Spread::Uniform { low, high }
            } else {
                Spread::Triangular { low, high }
            }
        }
        ("Normal", [deviation]) => {
            let standard_deviation = deviation_of(deviation, dimension, reading)?;
            if standard_deviation <= 0.0 {
                return wrong("the standard deviation is not above zero".into())(reading);
            }
            Spread::Normal { standard_deviation }
        }
        ("Lognormal", [factor]) => {
            let factor = part(factor, Dimension::Number, reading)?;
            if factor <= 1.0 {
                return wrong("the factor of a lognormal spread is not above 1".into())(reading);
            }
            if number <= 0.0 {
                return wrong("a lognormal spread needs a number above zero".into())(reading);
            }
            Spread::Lognormal { factor }
        }
        ("Uniform" | "Triangular", _) => {
            return wrong(format!("{name} takes two bounds, found {}", items.len()))(reading);
        }
        ("Normal" | "Lognormal", _) => {
            return wrong(format!("{name} takes one value, found {}", items.len()))(reading);
        }
        _ => return wrong(format!("{name} is not a spread"))(reading),
    };
    Some(spread)
}

fn part(value: &Value, dimension: Dimension, reading: &mut Reading) -> Option<f64> {
    let form = || Form::quantity(dimension);
    number::plain(
        value,
        form,
        |text| quantity::parse(text, dimension),
        reading,
    )
}

/// A difference: of temperatures, 2 K and 2 °C are the same.
fn deviation_of(value: &Value, dimension: Dimension, reading: &mut Reading) -> Option<f64> {
    let form = || Form::quantity(dimension);
    let parse = |text: &str| quantity::parse_difference(text, dimension);
    number::plain(value, form, parse, reading)
}
