//! Streams as written: each substance and the ways it takes.

use crate::diagnostic::Place;
use crate::written::{Form, Named, Read, Reading, Shape, Value};

/// A hop of a way: one node, or several of which each is joined to every one
/// of the next hop.
#[derive(Clone, Debug, PartialEq)]
pub struct Hop {
    /// The nodes.
    pub nodes: Vec<Named>,
    /// Where the hop is written.
    pub place: Place,
}

impl Read for Hop {
    fn read(value: &Value, reading: &mut Reading) -> Option<Self> {
        let nodes = match &value.shape {
            Shape::List(_) => Vec::<Named>::read(value, reading)?,
            _ => vec![Named::read(value, reading)?],
        };
        Some(Hop {
            nodes,
            place: value.place,
        })
    }

    fn form() -> Form {
        Form::new("a node or a list of nodes", "\"cabin\"")
    }
}
