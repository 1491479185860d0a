//! Catalogue files: units and substances that several designs use.

use crate::diagnostic::{Diagnostic, Place, SourceId, Sources, codes, nearest};
use crate::kinds::Unit;
use crate::written::{Entries, Named, Read, Reading, Shape, Value, parse, record};

use super::record::Declared;

record! {
    /// Units and substances that designs may use.
    pub struct Catalogue {
        /// Units by name; a node writes unit: Use("name").
        units: Entries<Named, Unit> = Entries::default(),
        /// Substances by name, as a design declares them.
        substances: Entries<Named, Declared> = Entries::default(),
    }
}

/// The catalogue files that a design names, with the places of their names; a
/// text that cannot be read yet names none.
pub fn uses(sources: &Sources, source: SourceId) -> Vec<Named> {
    if !sources.text(source).contains("uses") {
        return Vec::new();
    }
    let Ok(tree) = parse(source, sources.text(source)) else {
        return Vec::new();
    };
    let Some(Value {
        shape: Shape::List(items),
        ..
    }) = tree.field("uses")
    else {
        return Vec::new();
    };
    items
        .iter()
        .filter_map(|item| Some(Named::new(item.text()?, item.place)))
        .collect()
}

/// What the catalogues of a design offer, as trees.
#[derive(Clone, Debug, Default)]
pub(super) struct Offers {
    units: Vec<(String, Value)>,
    substances: Vec<(Value, Value)>,
}

impl Offers {
    /// Reads catalogue files, with every mistake in them.
    pub fn read(sources: &Sources, files: &[SourceId]) -> Result<Self, Vec<Diagnostic>> {
        let mut offers = Offers::default();
        let mut complaints = Vec::new();
        for &file in files {
            let tree = match parse(file, sources.text(file)) {
                Ok(tree) => tree,
                Err(complaint) => {
                    complaints.push(complaint);
                    continue;
                }
            };
            let mut reading = Reading::new();
            Catalogue::read(&tree, &mut reading);
            complaints.extend(reading.diagnostics);
            for (key, value) in entries(&tree, "units") {
                let Some(name) = key.text() else { continue };
                if let Some((_, first)) = offers.units.iter().find(|(known, _)| known == name) {
                    complaints.push(twice("unit", name, key.place, first.place));
                }
                offers.units.push((name.to_owned(), value.clone()));
            }
            for (key, value) in entries(&tree, "substances") {
                let known = offers
                    .substances
                    .iter()
                    .any(|(known, _)| known.text() == key.text());
                if !known {
                    offers.substances.push((key.clone(), value.clone()));
                }
            }
        }
        if complaints.iter().any(Diagnostic::is_error) {
            return Err(complaints);
        }
        Ok(offers)
    }

    /// Puts catalogue units where nodes use them, and adds the substances that
    /// the design does not declare itself.
    pub fn merge(&self, tree: &mut Value) -> Vec<Diagnostic> {
        let mut complaints = Vec::new();
        let Shape::Record { fields, .. } = &mut tree.shape else {
            return complaints;
        };
        if let Some((_, nodes)) = fields.iter_mut().find(|(name, _)| name.text == "nodes")
            && let Shape::Map(nodes) = &mut nodes.shape
        {
            for (_, node) in nodes {
                self.fill(node, &mut complaints);
            }
        }
        if self.substances.is_empty() {
            return complaints;
        }
        let declared = fields
            .iter_mut()
            .find(|(name, _)| name.text == "substances");
        match declared {
            Some((
                _,
                Value {
                    shape: Shape::Map(declared),
                    ..
                },
            )) => {
                for (key, value) in &self.substances {
                    if !declared.iter().any(|(known, _)| known.text() == key.text()) {
                        declared.push((key.clone(), value.clone()));
                    }
                }
            }
            Some(_) => {}
            None => {
                let place = self.substances[0].0.place;
                fields.push((
                    Named::new("substances", place),
                    Value {
                        place,
                        shape: Shape::Map(self.substances.clone()),
                    },
                ));
            }
        }
        complaints
    }

    /// Replaces `unit: Use("name")` of a node.
    fn fill(&self, node: &mut Value, complaints: &mut Vec<Diagnostic>) {
        let Shape::Record { fields, .. } = &mut node.shape else {
            return;
        };
        for (field, value) in fields {
            if field.text != "unit" || value.word() != Some("Use") {
                continue;
            }
            let name = match &value.shape {
                Shape::Tuple { items, .. } => match items.as_slice() {
                    [only] => only.text().map(str::to_owned),
                    _ => None,
                },
                _ => None,
            };
            let Some(name) = name else {
                complaints.push(
                    Diagnostic::error(codes::USE, "Use names one unit of a catalogue")
                        .at(value.place, "")
                        .help("write Use(\"name of the unit\")"),
                );
                *value = stand_in(value.place);
                continue;
            };
            match self.units.iter().find(|(known, _)| *known == name) {
                Some((_, unit)) => *value = unit.clone(),
                None => {
                    complaints.push(self.unknown(&name, value.place));
                    *value = stand_in(value.place);
                }
            }
        }
    }

    fn unknown(&self, name: &str, place: Place) -> Diagnostic {
        let known = self.units.iter().map(|(known, _)| known.as_str());
        let help = match nearest(name, known.clone()) {
            Some(near) => format!("did you mean \"{near}\"?"),
            None if self.units.is_empty() => {
                "name the catalogue file under uses: [\"...\"], or write the unit out".to_owned()
            }
            None => format!("units there: {}", known.collect::<Vec<_>>().join(", ")),
        };
        Diagnostic::error(
            codes::USE,
            format!("no catalogue has a unit called \"{name}\""),
        )
        .at(place, "")
        .help(help)
    }
}

/// A unit in the place of one that was complained about, so that nothing later
/// complains about it again.
fn stand_in(place: Place) -> Value {
    let field = |name: &str, text: &str| {
        let shape = Shape::Text(text.to_owned());
        (Named::new(name, place), Value { place, shape })
    };
    Value {
        place,
        shape: Shape::Record {
            name: Some(Named::new("Unit", place)),
            fields: vec![field("mass", "1 kg"), field("capacity", "1 kg/d")],
        },
    }
}

fn twice(what: &str, name: &str, again: Place, first: Place) -> Diagnostic {
    Diagnostic::error(
        codes::USE,
        format!("two catalogues have a {what} called \"{name}\""),
    )
    .at(again, "given again here")
    .also(first, "first given here")
    .help("rename one of them")
}

fn entries<'a>(tree: &'a Value, field: &str) -> &'a [(Value, Value)] {
    match tree.field(field).map(|value| &value.shape) {
        Some(Shape::Map(entries)) => entries,
        _ => &[],
    }
}
