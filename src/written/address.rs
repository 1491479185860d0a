//! Addresses such as `nodes.urine still.unit.mass`: finding a value of the
//! tree by its address, and putting another in its place.

use super::{Named, Setting, Shape, Value};
use crate::diagnostic::{Diagnostic, Place, codes, nearest};
use crate::quantity::Dimension;
use std::fmt;

/// An address that leads to nothing.
#[derive(Clone, PartialEq, Eq, Debug)]
pub struct AddressError {
    /// The whole address.
    pub address: String,
    /// The part that leads somewhere; empty if none does.
    pub found: String,
    /// The rest, which does not.
    pub missing: String,
    /// What there is at the part that leads somewhere.
    pub among: Vec<String>,
    /// The whole address that was most likely meant.
    pub nearest: Option<String>,
}

impl fmt::Display for AddressError {
    fn fmt(&self, formatter: &mut fmt::Formatter<'_>) -> fmt::Result {
        let Self {
            address,
            found,
            missing,
            ..
        } = self;
        match (found.as_str(), self.among.is_empty()) {
            ("", _) => write!(formatter, "no address {address} in the design"),
            (_, true) => write!(
                formatter,
                "no address {address}: {found} has nothing inside it"
            ),
            (_, false) => write!(formatter, "no address {address}: no {missing} in {found}"),
        }
    }
}

impl std::error::Error for AddressError {}

impl AddressError {
    /// As a complaint about the place where the address is written.
    pub fn diagnostic(&self, place: Place) -> Diagnostic {
        let complaint = Diagnostic::error(codes::UNKNOWN_ADDRESS, self.to_string()).at(place, "");
        match &self.nearest {
            Some(near) => complaint.help(format!("did you mean {near}?")),
            None if self.among.is_empty() => {
                complaint.help("end the address at what holds the value")
            }
            None => complaint.help(format!("there are: {}", self.among.join(", "))),
        }
    }
}

/// One step down: which child of a value.
type Step = usize;

/// Where an address stops leading anywhere.
struct Stopped<'a> {
    at: &'a Value,
    rest: &'a str,
}

impl Value {
    /// The value at an address. Where one name begins another, the longest
    /// match wins, so names may hold dots. Items of a list go by their `name`
    /// field or by index from 0, items in parentheses by index; a single item
    /// in parentheses shares the address of what holds it.
    ///
    /// # Errors
    /// The part of the address that leads somewhere, and the likely address.
    ///
    /// ```
    /// use loopwright::diagnostic::SourceId;
    /// use loopwright::written::parse;
    /// let text = r#"Design(nodes: {"still no. 2": Still(unit: Unit(mass: "62 kg"))})"#;
    /// let mut design = parse(SourceId(0), text).unwrap();
    /// let mass = design.at("nodes.still no. 2.unit.mass").unwrap();
    /// assert_eq!(mass.text(), Some("62 kg"));
    /// let wrong = design.at("nodes.still no 2.unit.mass").unwrap_err();
    /// assert_eq!(wrong.nearest.as_deref(), Some("nodes.still no. 2.unit.mass"));
    /// ```
    pub fn at(&mut self, address: &str) -> Result<&mut Value, AddressError> {
        let steps = self.steps(address)?;
        let mut value = self;
        for step in steps {
            // The steps were found in this very tree, so no child is missing.
            value = value.child_mut(step).ok_or_else(|| AddressError {
                address: address.to_string(),
                found: String::new(),
                missing: address.to_string(),
                among: Vec::new(),
                nearest: None,
            })?;
        }
        Ok(value)
    }

    /// The value at an address, to look at.
    pub fn get(&self, address: &str) -> Option<&Value> {
        let mut steps = self.steps(address).ok()?.into_iter();
        steps.try_fold(self, |value, step| value.child(step))
    }

    /// Addresses of the other entries of the map in which the value at an address
    /// is an entry; none if it is none.
    ///
    /// ```
    /// use loopwright::diagnostic::SourceId;
    /// use loopwright::written::parse;
    /// let text = r#"Still(turns: {"urine": {"distillate": 0.84, "brine": 0.16}})"#;
    /// let still = parse(SourceId(0), text).unwrap();
    /// let others = still.beside("turns.urine.brine").unwrap();
    /// assert_eq!(others, ["turns.urine.distillate"]);
    /// assert!(still.beside("turns").is_none());
    /// ```
    pub fn beside(&self, address: &str) -> Option<Vec<String>> {
        let steps = self.steps(address).ok()?;
        let (last, above) = steps.split_last()?;
        let holder = above
            .iter()
            .try_fold(self, |value, &step| value.child(step))?;
        let Shape::Map(entries) = &holder.shape else {
            return None;
        };
        let own = entries.get(*last)?.0.text()?;
        let above = address.strip_suffix(own)?;
        let others = entries.iter().enumerate().filter(|(step, _)| step != last);
        others
            .map(|(_, (key, _))| Some(format!("{above}{}", key.text()?)))
            .collect()
    }

    /// Puts another value at an address. A field that was left out is added to
    /// its record; whether the record has such a field is seen when it is
    /// read. A plain value put where `UpTo(2)` stands replaces the 2.
    ///
    /// # Errors
    /// As for [`Value::at`].
    pub fn set(&mut self, setting: &Setting) -> Result<(), AddressError> {
        match self.at(&setting.address.text) {
            Ok(old) => {
                old.replace(setting.value.clone());
                Ok(())
            }
            Err(error) => self.add(setting, error),
        }
    }

    /// Puts a number, given in the canonical unit, at an address.
    ///
    /// # Errors
    /// As for [`Value::at`].
    pub fn set_number(
        &mut self,
        address: &str,
        value: f64,
        dimension: Dimension,
    ) -> Result<(), AddressError> {
        let place = self.at(address)?.place;
        self.set(&Setting::from_number(address, place, value, dimension))
    }

    /// The place of what another value put here would replace; see [`Value::set`].
    pub fn place_replaced(&self, new: &Value) -> Place {
        let plain = matches!(new.shape, Shape::Number(_) | Shape::Text(_));
        match &self.shape {
            Shape::Tuple {
                name: Some(_),
                items,
            } if plain => match items.as_slice() {
                [only] => only.place_replaced(new),
                _ => self.place,
            },
            _ => self.place,
        }
    }

    /// `2` replaces the 2 in `UpTo(2)`; anything else replaces the whole.
    fn replace(&mut self, new: Value) {
        let plain = matches!(new.shape, Shape::Number(_) | Shape::Text(_));
        match &mut self.shape {
            Shape::Tuple {
                name: Some(_),
                items,
            } if plain => match items.as_mut_slice() {
                [only] => only.replace(new),
                _ => *self = new,
            },
            _ => *self = new,
        }
    }

    /// Adds a field to the record that an address leads to but for its last
    /// step.
    fn add(&mut self, setting: &Setting, error: AddressError) -> Result<(), AddressError> {
        let field = error.missing.as_str();
        let one_word = !field.is_empty()
            && field
                .chars()
                .all(|letter| letter.is_alphanumeric() || letter == '_');
        let record = self.at(&error.found)?;
        if !one_word {
            return Err(error);
        }
        let new = (
            Named::new(field, setting.address.place),
            setting.value.clone(),
        );
        match &mut record.shape {
            Shape::Record { fields, .. } => fields.push(new),
            Shape::Tuple {
                name: Some(name),
                items,
            } if items.is_empty() => {
                record.shape = Shape::Record {
                    name: Some(name.clone()),
                    fields: vec![new],
                };
            }
            _ => return Err(error),
        }
        Ok(())
    }

    /// The way to an address.
    fn steps(&self, address: &str) -> Result<Vec<Step>, AddressError> {
        let mut steps = Vec::new();
        self.walk(address, &mut steps)
            .map(|()| steps)
            .map_err(|Stopped { at, rest }| at.nothing_here(rest, address))
    }

    /// Goes down an address and keeps the steps; the error is where the
    /// longest matches end.
    fn walk<'a>(&'a self, rest: &'a str, steps: &mut Vec<Step>) -> Result<(), Stopped<'a>> {
        if rest.is_empty() {
            return Ok(());
        }
        if let Some(only) = self.only_item() {
            steps.push(0);
            return only.walk(rest, steps);
        }
        let mut matching: Vec<(usize, Step, &str)> = self
            .children()
            .into_iter()
            .filter_map(|(name, step)| Some((name.len(), step, after_step(rest, &name)?)))
            .collect();
        matching.sort_by_key(|(length, ..)| std::cmp::Reverse(*length));
        let depth = steps.len();
        let mut stopped = None;
        for (_, step, after) in matching {
            let Some(child) = self.child(step) else {
                continue;
            };
            steps.push(step);
            match child.walk(after, steps) {
                Ok(()) => return Ok(()),
                Err(deeper) => {
                    stopped.get_or_insert(deeper);
                    steps.truncate(depth);
                }
            }
        }
        Err(stopped.unwrap_or(Stopped { at: self, rest }))
    }

    /// Why the rest of an address leads to nothing from this value.
    fn nothing_here(&self, rest: &str, whole: &str) -> AddressError {
        let found = whole
            .strip_suffix(rest)
            .unwrap_or("")
            .trim_end_matches('.')
            .to_string();
        let children = self.children();
        // Items of a list come twice, by name and by index: the name will do.
        let distinct = children.iter().map(|(_, step)| step + 1).max().unwrap_or(0);
        let names = || children.iter().map(|(name, _)| name.as_str());
        let longest = names().map(str::len).max().unwrap_or(0);
        let likely = |end: usize| {
            let (typo, after) = rest.split_at(end);
            let near = nearest(typo, names())?;
            let (_, step) = children.iter().find(|(name, _)| name == near)?;
            let head = joined(&found, near);
            let tail = after.trim_start_matches('.');
            let leads = self.child(*step)?.walk(tail, &mut Vec::new()).is_ok();
            Some(if leads { joined(&head, tail) } else { head })
        };
        // A name may hold dots, so every beginning of the rest may be the typo.
        let ends = rest.match_indices('.').map(|(end, _)| end);
        let nearest = ends
            .chain([rest.len()])
            .take_while(|end| *end <= 2 * longest)
            .filter_map(likely)
            .max_by_key(String::len);
        AddressError {
            address: whole.to_string(),
            missing: rest.to_string(),
            among: names().take(distinct).map(str::to_string).collect(),
            found,
            nearest,
        }
    }

    /// The single item of `UpTo(2)`, which shares the address of the whole.
    fn only_item(&self) -> Option<&Value> {
        match &self.shape {
            Shape::Tuple { items, .. } => match items.as_slice() {
                [only] => Some(only),
                _ => None,
            },
            _ => None,
        }
    }

    /// The names of the children, each with the step to it; an item of a list
    /// that has a name goes by its index too.
    fn children(&self) -> Vec<(String, Step)> {
        match &self.shape {
            Shape::Record { fields, .. } => fields
                .iter()
                .enumerate()
                .map(|(step, (name, _))| (name.text.clone(), step))
                .collect(),
            Shape::Map(entries) => entries
                .iter()
                .enumerate()
                .filter_map(|(step, (key, _))| match &key.shape {
                    Shape::Text(key) | Shape::Word(key) | Shape::Number(key) => {
                        Some((key.clone(), step))
                    }
                    _ => None,
                })
                .collect(),
            Shape::List(items) => {
                let by_name = items
                    .iter()
                    .enumerate()
                    .map(|(step, item)| (item.step_in_list(step), step));
                let by_index = (0..items.len()).map(|step| (step.to_string(), step));
                by_name.chain(by_index).collect()
            }
            Shape::Tuple { items, .. } => (0..items.len())
                .map(|step| (step.to_string(), step))
                .collect(),
            Shape::Text(_) | Shape::Number(_) | Shape::Word(_) => Vec::new(),
        }
    }

    fn child(&self, step: Step) -> Option<&Value> {
        match &self.shape {
            Shape::Record { fields, .. } => fields.get(step).map(|(_, value)| value),
            Shape::Map(entries) => entries.get(step).map(|(_, value)| value),
            Shape::List(items) | Shape::Tuple { items, .. } => items.get(step),
            Shape::Text(_) | Shape::Number(_) | Shape::Word(_) => None,
        }
    }

    fn child_mut(&mut self, step: Step) -> Option<&mut Value> {
        match &mut self.shape {
            Shape::Record { fields, .. } => fields.get_mut(step).map(|(_, value)| value),
            Shape::Map(entries) => entries.get_mut(step).map(|(_, value)| value),
            Shape::List(items) | Shape::Tuple { items, .. } => items.get_mut(step),
            Shape::Text(_) | Shape::Number(_) | Shape::Word(_) => None,
        }
    }
}

/// What is left of an address after a step of this name, if it begins so.
fn after_step<'a>(address: &'a str, name: &str) -> Option<&'a str> {
    if name.is_empty() {
        return None;
    }
    match address.strip_prefix(name)? {
        "" => Some(""),
        rest => rest.strip_prefix('.').filter(|rest| !rest.is_empty()),
    }
}

fn joined(head: &str, tail: &str) -> String {
    match (head, tail) {
        ("", tail) => tail.to_string(),
        (head, "") => head.to_string(),
        (head, tail) => format!("{head}.{tail}"),
    }
}
