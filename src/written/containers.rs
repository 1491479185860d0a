use super::{Form, Reading, Shape, Sort, Value};
use super::{Named, Read};
use crate::diagnostic::{Place, codes};
use std::collections::BTreeMap;

/// A map in file order; a key given twice was refused.
#[derive(Clone, PartialEq, Debug)]
pub struct Entries<K, V>(pub Vec<(K, V)>);

impl<K, V> Default for Entries<K, V> {
    fn default() -> Self {
        Self(Vec::new())
    }
}

impl<K, V> Entries<K, V> {
    /// The entries in file order.
    pub fn iter(&self) -> std::slice::Iter<'_, (K, V)> {
        self.0.iter()
    }

    /// How many there are.
    pub fn len(&self) -> usize {
        self.0.len()
    }

    /// Whether there are none.
    pub fn is_empty(&self) -> bool {
        self.0.is_empty()
    }

    /// The keys in file order.
    pub fn keys(&self) -> impl Iterator<Item = &K> {
        self.0.iter().map(|(key, _)| key)
    }

    /// The values in file order.
    pub fn values(&self) -> impl Iterator<Item = &V> {
        self.0.iter().map(|(_, value)| value)
    }
}

impl<K: AsRef<str>, V> Entries<K, V> {
    /// The value of a key.
    pub fn get(&self, key: &str) -> Option<&V> {
        self.0
            .iter()
            .find(|(name, _)| name.as_ref() == key)
            .map(|(_, value)| value)
    }
}

impl<K, V> IntoIterator for Entries<K, V> {
    type Item = (K, V);
    type IntoIter = std::vec::IntoIter<(K, V)>;
    fn into_iter(self) -> Self::IntoIter {
        self.0.into_iter()
    }
}

impl<'a, K, V> IntoIterator for &'a Entries<K, V> {
    type Item = &'a (K, V);
    type IntoIter = std::slice::Iter<'a, (K, V)>;
    fn into_iter(self) -> Self::IntoIter {
        self.0.iter()
    }
}

impl<K, V> FromIterator<(K, V)> for Entries<K, V> {
    fn from_iter<I: IntoIterator<Item = (K, V)>>(entries: I) -> Self {
        Self(entries.into_iter().collect())
    }
}

impl<K: Read + AsRef<str>, V: Read> Read for Entries<K, V> {
    fn read(value: &Value, reading: &mut Reading) -> Option<Self> {
        let Shape::Map(entries) = &value.shape else {
            reading.mistyped(value, &Self::form());
            return None;
        };
        let mut seen: BTreeMap<String, Place> = BTreeMap::new();
        let mut read = Vec::with_capacity(entries.len());
        let mut whole = true;
        for (key, entry) in entries {
            let Some(name) = K::read(key, reading) else {
                whole = false;
                // The value may hold mistakes of its own.
                let step = key.word().unwrap_or("?").to_string();
                let _ = reading.inside(&step, |reading| V::read(entry, reading));
                continue;
            };
            let step = name.as_ref().to_string();
            if let Some(first) = seen.get(&step) {
                let complaint = reading
                    .error(
                        codes::DUPLICATE_KEY,
                        key.place,
                        &format!("\"{step}\" is given twice"),
                    )
                    .at(key.place, "given again here")
                    .also(*first, "first given here")
                    .help("rename one or take it out");
                reading.complain(complaint);
                whole = false;
            } else {
                seen.insert(step.clone(), key.place);
            }
            match reading.inside(&step, |reading| V::read(entry, reading)) {
                Some(entry) => read.push((name, entry)),
                None => whole = false,
            }
        }
        whole.then_some(Entries(read))
    }

    fn form() -> Form {
        let (key, value) = (K::form(), V::form());
        Form::new(
            "a map in braces",
            format!("{{{}: {}}}", key.example, value.example),
        )
        .of(Sort::Map(Box::new(key), Box::new(value)))
    }

    fn written(&self) -> Option<String> {
        self.is_empty().then(|| "{}".into())
    }
}

impl<T: Read> Read for Vec<T> {
    fn read(value: &Value, reading: &mut Reading) -> Option<Self> {
        let Shape::List(items) = &value.shape else {
            reading.mistyped(value, &Self::form());
            return None;
        };
        // One pair of brackets is missing, not one for every item.
        let flat = !items.is_empty()
            && matches!(T::form().required().sort, Sort::List(_))
            && items.iter().all(|item| item.text().is_some());
        if flat {
            let complaint = reading
                .error(
                    codes::MISTYPED,
                    value.place,
                    "expected a list of lists, found a list of texts",
                )
                .help("write one more pair of square brackets: [[\"...\", \"...\"]]");
            reading.complain(complaint);
            return None;
        }
        let mut read = Vec::with_capacity(items.len());
        for (index, item) in items.iter().enumerate() {
            let step = item.step_in_list(index);
            if let Some(item) = reading.inside(&step, |reading| T::read(item, reading)) {
                read.push(item);
            }
        }
        (read.len() == items.len()).then_some(read)
    }

    fn form() -> Form {
        let item = T::form();
        Form::new("a list", format!("[{}]", item.example)).of(Sort::List(Box::new(item)))
    }

    fn written(&self) -> Option<String> {
        self.is_empty().then(|| "[]".into())
    }
}

impl Value {
    /// How an address calls this item of a list: by its `name` field if it
    /// has one, else by its index from 0.
    pub(super) fn step_in_list(&self, index: usize) -> String {
        self.field("name")
            .and_then(Value::text)
            .map_or_else(|| index.to_string(), str::to_string)
    }
}

/// A value with the place where it was written.
#[derive(Clone, Copy, Debug)]
pub struct Placed<T> {
    /// The value.
    pub value: T,
    /// Its place.
    pub place: Place,
}

impl<T: PartialEq> PartialEq for Placed<T> {
    fn eq(&self, other: &Self) -> bool {
        self.value == other.value
    }
}

impl<T: Read> Read for Placed<T> {
    fn read(value: &Value, reading: &mut Reading) -> Option<Self> {
        T::read(value, reading).map(|read| Placed {
            value: read,
            place: value.place,
        })
    }

    fn form() -> Form {
        T::form()
    }

    fn written(&self) -> Option<String> {
        self.value.written()
    }
}

impl AsRef<str> for Placed<Named> {
    fn as_ref(&self) -> &str {
        &self.value.text
    }
}
