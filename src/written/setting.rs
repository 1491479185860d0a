use super::{Named, Shape, Value, parse_part};
use crate::diagnostic::{Diagnostic, Place, SourceId, codes};
use crate::quantity::{Dimension, written};

/// A value for an address: `--set ADDRESS=VALUE`, or an entry of a variant.
///
/// The value is written as the design file would write it, but the quotes
/// around a text may be left out: give the value's place to
/// [`super::Reading::allow_unquoted`] before the tree is read.
#[derive(Clone, PartialEq, Debug)]
pub struct Setting {
    /// Which value.
    pub address: Named,
    /// What it becomes.
    pub value: Value,
}

impl Setting {
    /// Reads `ADDRESS=VALUE`, a source of its own.
    ///
    /// # Errors
    /// No equals sign, nothing on one side of it, or a value that is not
    /// well-formed.
    pub fn from_text(source: SourceId, text: &str) -> Result<Self, Diagnostic> {
        let place = |start: usize, end: usize| Place { source, start, end };
        let whole = place(0, text.len());
        let Some((address, value)) = text.split_once('=') else {
            return Err(
                Diagnostic::error(codes::SYNTAX, format!("{text} is not ADDRESS=VALUE"))
                    .at(whole, "")
                    .help("write it such as \"nodes.urine still.unit.mass=62 kg\""),
            );
        };
        let value_start = text.len() - value.trim_start().len();
        let value = value.trim();
        let address_start = address.len() - address.trim_start().len();
        let address = address.trim();
        if address.is_empty() || value.is_empty() {
            let side = if address.is_empty() {
                "before"
            } else {
                "after"
            };
            return Err(Diagnostic::error(
                codes::SYNTAX,
                format!("nothing stands {side} the equals sign in {text}"),
            )
            .at(whole, "")
            .help("write ADDRESS=VALUE; the value None takes an optional field out"));
        }
        Ok(Self {
            address: Named::new(address, place(address_start, address_start + address.len())),
            value: unquoted(source, value, value_start)?,
        })
    }

    /// A number in the canonical unit of its dimension, as if it stood at a place.
    pub fn from_number(address: &str, place: Place, value: f64, dimension: Dimension) -> Self {
        let text = written(value, dimension);
        let shape = match dimension.is_bare() {
            true => Shape::Number(text),
            false => Shape::Text(text),
        };
        Self {
            address: Named::new(address, place),
            value: Value { place, shape },
        }
    }

    /// Takes the value of a variant's entry: a text holds the value as the
    /// file would write it elsewhere, anything else is the value itself.
    ///
    /// # Errors
    /// A text whose content is not well-formed.
    pub fn from_value(address: Named, value: &Value) -> Result<Self, Diagnostic> {
        let value = match &value.shape {
            Shape::Text(text) => {
                let read = unquoted(value.place.source, text, value.place.start + 1)?;
                // Escapes in the text may have moved what stands behind them.
                if read.place.end < value.place.end {
                    read
                } else {
                    Value {
                        place: value.place,
                        shape: read.shape,
                    }
                }
            }
            _ => value.clone(),
        };
        Ok(Self { address, value })
    }
}

/// Reads a value that may be a text without quotes: what is not well-formed
/// and has neither brackets nor quotes is a text.
fn unquoted(source: SourceId, text: &str, start: usize) -> Result<Value, Diagnostic> {
    parse_part(source, text, start).or_else(|complaint| {
        if text.trim().is_empty() || text.contains(['"', '(', ')', '[', ']', '{', '}']) {
            return Err(complaint);
        }
        Ok(Value {
            place: Place {
                source,
                start,
                end: start + text.len(),
            },
            shape: Shape::Text(text.trim().to_string()),
        })
    })
}
