//! The text of a design with its settings written into it, comments and all else kept.

use super::Design;
use crate::diagnostic::{Place, SourceId, Sources};
use crate::written::{Setting, Shape, Value};

/// A setting that has no place in the file of the design.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct NotInFile {
    /// The address that is set.
    pub address: String,
    /// The text in which its value stands; none if it stands in none.
    pub text: Option<SourceId>,
}

/// Some bytes of a text, and what takes their place.
type Change = (Place, String);

impl Design {
    /// The text of the design's file with its settings written into it: where the values
    /// stand, or, if a variant was taken, into what that variant sets. Read again, with
    /// the same variant and no settings, it is the same design.
    ///
    /// ```
    /// # use loopwright::design::{self, Edits};
    /// # use loopwright::diagnostic::Sources;
    /// # let mut sources = Sources::new();
    /// # let file = sources.add("x", include_str!("../../designs/classroom.ron"));
    /// let setting = sources.add("--set", "nodes.filter.unit.mass=80 kg");
    /// let edits = Edits { settings: vec![setting], ..Edits::default() };
    /// let design = design::read(&sources, file, &edits).unwrap();
    /// let text = design.rewritten(&sources, file).unwrap();
    /// assert!(text.contains("unit: Unit(mass: \"80 kg\", power: \"140 W\""));
    /// ```
    ///
    /// # Errors
    ///
    /// A setting of something that stands in a catalogue, or nowhere yet.
    pub fn rewritten(&self, sources: &Sources, file: SourceId) -> Result<String, NotInFile> {
        let mut changes: Vec<Change> = Vec::new();
        match &self.variant {
            Some(name) => changes.extend(self.among_variant(name, sources, file)?),
            None => {
                for setting in &self.settings {
                    let change = self.in_place(setting, sources, file)?;
                    // A later setting of the same value takes its place.
                    changes.retain(|(place, _)| *place != change.0);
                    changes.push(change);
                }
            }
        }
        // From the end, so that places before stay what they are.
        changes.sort_by_key(|(place, _)| std::cmp::Reverse(place.start));
        let mut text = sources.text(file).to_owned();
        for (place, new) in changes {
            text.replace_range(place.start..place.end, &new);
        }
        Ok(text)
    }

    /// The value of a setting in the place of the old one.
    fn in_place(
        &self,
        setting: &Setting,
        sources: &Sources,
        file: SourceId,
    ) -> Result<Change, NotInFile> {
        let lost = |text| NotInFile {
            address: setting.address.text.clone(),
            text,
        };
        let old = self.tree.get(&setting.address.text).ok_or(lost(None))?;
        let place = old.place_replaced(&setting.value);
        match place.source == file {
            true => Ok((place, as_value(&setting.value, sources))),
            false => Err(lost(Some(place.source))),
        }
    }

    /// The settings among those of a variant.
    fn among_variant(
        &self,
        name: &str,
        sources: &Sources,
        file: SourceId,
    ) -> Result<Vec<Change>, NotInFile> {
        let variant = self
            .tree
            .field("variants")
            .and_then(|all| match &all.shape {
                Shape::Map(entries) => entries.iter().find(|(key, _)| key.text() == Some(name)),
                _ => None,
            });
        let lost = |text| NotInFile {
            address: format!("variants.{name}"),
            text,
        };
        let (_, variant) = variant.ok_or(lost(None))?;
        if variant.place.source != file {
            return Err(lost(Some(variant.place.source)));
        }
        let empty = Vec::new();
        let known = match variant.field("set").map(|set| &set.shape) {
            Some(Shape::Map(entries)) => entries,
            _ => &empty,
        };
        let mut changes: Vec<Change> = Vec::new();
        let mut added: Vec<(&str, String)> = Vec::new();
        for setting in &self.settings {
            let address = setting.address.text.as_str();
            let new = as_value(&setting.value, sources);
            let old = known.iter().find(|(key, _)| key.text() == Some(address));
            match old {
                Some((_, old)) => {
                    changes.retain(|(place, _)| *place != old.place);
                    changes.push((old.place, new));
                }
                None => {
                    added.retain(|(other, _)| *other != address);
                    added.push((address, new));
                }
            }
        }
        if added.is_empty() {
            return Ok(changes);
        }
        let entries: Vec<String> = added
            .iter()
            .map(|(address, new)| format!("{}: {new}", quoted(address)))
            .collect();
        let entries = entries.join(", ");
        let after = |value: &Value, text: String| {
            let place = Place {
                start: value.place.end,
                ..value.place
            };
            (place, text)
        };
        changes.push(match (known.last(), variant.field("set"), &variant.shape) {
            (Some((_, last)), ..) => after(last, format!(", {entries}")),
            (None, Some(set), _) => (set.place, format!("{{{entries}}}")),
            (None, None, Shape::Record { fields, .. }) if !fields.is_empty() => {
                let last = fields.last().map_or(variant, |(_, value)| value);
                after(last, format!(", set: {{{entries}}}"))
            }
            _ => (variant.place, format!("Variant(set: {{{entries}}})")),
        });
        Ok(changes)
    }
}

/// A value as a file writes it: text in quotes, anything else as it was given.
fn as_value(value: &Value, sources: &Sources) -> String {
    match &value.shape {
        Shape::Text(text) => quoted(text),
        _ => sources.quote(value.place).to_owned(),
    }
}

fn quoted(text: &str) -> String {
    format!("\"{}\"", text.replace('\\', "\\\\").replace('"', "\\\""))
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::design::{self, Edits};

    const OUTPOST: &str = include_str!("../../designs/ridge-outpost.ron");

    /// The text written anew, and whether it reads as the same numbers.
    fn rewritten(text: &str, variant: Option<&str>, settings: &[&str]) -> String {
        let mut sources = Sources::new();
        let file = sources.add("x", text);
        let settings = settings.iter().map(|&one| sources.add("--set", one));
        let edits = Edits {
            variant: variant.map(str::to_owned),
            settings: settings.collect(),
            ..Edits::default()
        };
        let design = design::read(&sources, file, &edits).unwrap();
        let text = design.rewritten(&sources, file).unwrap();
        let again = sources.add("again", text.as_str());
        let plain = Edits {
            settings: Vec::new(),
            ..edits
        };
        let read = design::read(&sources, again, &plain).unwrap();
        let numbers = |design: &Design| -> Vec<(String, f64)> {
            let own = |address: &str| !address.starts_with("variants.");
            let numbers = design.numbers.iter().filter(|one| own(&one.address));
            numbers
                .map(|one| (one.address.clone(), one.value))
                .collect()
        };
        assert_eq!(numbers(&design), numbers(&read));
        text
    }

    #[test]
    fn values_are_replaced_where_they_stand() {
        let settings = [
            "mission.phases.operations.crew=5",
            "nodes.cell stack.unit.mass=140 kg",
            "nodes.drum still.turns.urine.distillate=0.9",
            "nodes.drum still.turns.urine.still brine=0.1",
            "nodes.drum still.count=3",
            "nodes.polisher.unit.mass=130 kg",
            "nodes.polisher.unit.mass=131 kg",
        ];
        let text = rewritten(OUTPOST, None, &settings);
        assert!(text.contains("length: \"685 d\", crew: 5,"));
        assert!(text.contains("unit: Unit(mass: \"140 kg\", volume: \"0.28 m³\""));
        assert!(text.contains("count: UpTo(3)),\n        \"membrane still\""));
        assert!(text.contains("mass: \"131 kg\"") && !text.contains("\"130 kg\""));
        assert!(text.contains("// polished water gets its minerals back"));
        assert_eq!(text.lines().count(), OUTPOST.lines().count());
    }

    #[test]
    fn a_variant_takes_the_settings_in() {
        for (variant, expected) in [
            ("dusty ridge", "\"6 /wk\", \"limits.power\": \"5 kW\"})"),
            (
                "water loop only",
                "\"pyrolyser\"], set: {\"limits.power\": \"5 kW\"})",
            ),
        ] {
            let text = rewritten(OUTPOST, Some(variant), &["limits.power=5 kW"]);
            assert!(text.contains(expected), "{text}");
        }
        let again = ["mission.phases.operations.occasions.outing=4 /wk"];
        let text = rewritten(OUTPOST, Some("dusty ridge"), &again);
        assert!(text.contains("occasions.outing\": \"4 /wk\"})"), "{text}");
    }
}
