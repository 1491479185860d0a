use super::{FieldForm, Form, Named, Read, Reading, Shape, Value};
use crate::diagnostic::{Diagnostic, Place, codes, nearest};

/// The fields of one record while it is read: refuses unknown and doubled
/// fields at once, hands out the others, and at the end names what is missing.
pub struct Fields<'a> {
    place: Place,
    word: &'static str,
    forms: &'static [FieldForm],
    given: Vec<(&'static str, &'a Value)>,
    missing: Vec<&'static str>,
    /// Fields that an unknown one was most likely meant to be.
    meant: Vec<&'static str>,
    whole: bool,
}

impl<'a> Fields<'a> {
    /// Looks into a value that should be the record `word(...)`; complains
    /// and gives `None` if it is something else.
    pub fn open(
        value: &'a Value,
        word: &'static str,
        forms: &'static [FieldForm],
        reading: &mut Reading,
    ) -> Option<Self> {
        let mut open = Self {
            place: value.place,
            word,
            forms,
            given: Vec::new(),
            missing: Vec::new(),
            meant: Vec::new(),
            whole: true,
        };
        match &value.shape {
            Shape::Record { name, fields } if open.named_so(name.as_ref()) => {
                if let Some(name) = name {
                    open.place = name.place;
                }
                open.sort(fields, reading);
                Some(open)
            }
            Shape::Tuple { name, items } if items.is_empty() && open.named_so(name.as_ref()) => {
                Some(open)
            }
            Shape::Word(found) if found == word => {
                let complaint = reading
                    .error(
                        codes::PARENTHESES,
                        value.place,
                        &format!("{word} needs its parentheses"),
                    )
                    .help(format!("write {}", Form::record(word, "", forms).example));
                reading.complain(complaint);
                None
            }
            Shape::Tuple {
                name: Some(name), ..
            } if name.text == word => {
                let complaint = reading
                    .error(
                        codes::MISTYPED,
                        value.place,
                        &format!("{word} holds fields, found values without names"),
                    )
                    .help(format!(
                        "write each value with its field: {word}(field: value)"
                    ));
                reading.complain(complaint);
                None
            }
            _ => {
                reading.mistyped(value, &Form::record(word, "", forms));
                None
            }
        }
    }

    fn named_so(&self, name: Option<&Named>) -> bool {
        name.is_none_or(|name| name.text == self.word)
    }

    fn sort(&mut self, fields: &'a [(Named, Value)], reading: &mut Reading) {
        let mut places: Vec<Place> = Vec::new();
        for (name, value) in fields {
            let Some(form) = self.forms.iter().find(|form| form.name == name.text) else {
                let complaint = self.unknown(name, fields, reading);
                reading.complain(complaint);
                self.whole = false;
                continue;
            };
            match self.given.iter().position(|(known, _)| *known == form.name) {
                Some(first) => {
                    let first = places.get(first).copied().unwrap_or(name.place);
                    let complaint = reading
                        .error(
                            codes::DUPLICATE_FIELD,
                            name.place,
                            &format!("the field {} is given twice", name.text),
                        )
                        .at(name.place, "given again here")
                        .also(first, "first given here")
                        .help("keep one of them");
                    reading.complain(complaint);
                    self.whole = false;
                }
                None => {
                    self.given.push((form.name, value));
                    places.push(name.place);
                }
            }
        }
    }

    fn unknown(
        &mut self,
        name: &Named,
        fields: &[(Named, Value)],
        reading: &Reading,
    ) -> Diagnostic {
        let complaint = reading.error(
            codes::UNKNOWN_FIELD,
            name.place,
            &format!("{} has no field {}", self.word, name.text),
        );
        if self.forms.is_empty() {
            return complaint.help(format!("{} has no fields: {}()", self.word, self.word));
        }
        // A field that is given already was hardly meant a second time.
        let open = self
            .forms
            .iter()
            .map(|form| form.name)
            .filter(|form| !fields.iter().any(|(given, _)| given.text == *form));
        let all = self.forms.iter().map(|form| form.name);
        let listed = all.clone().collect::<Vec<_>>().join(", ");
        let listed = format!("fields of {}: {listed}", self.word);
        match nearest(&name.text, open) {
            Some(near) => {
                self.meant.extend(all.filter(|form| *form == near));
                complaint.help(format!("did you mean {near}? {listed}"))
            }
            None => complaint.help(listed),
        }
    }

    /// Reads one field; one that was left out, or is `None` in so many words,
    /// becomes `absent()`, and is missing if there is no such thing.
    pub fn read<T: Read>(
        &mut self,
        name: &'static str,
        absent: impl FnOnce() -> Option<T>,
        reading: &mut Reading,
    ) -> Option<T> {
        match self.given.iter().find(|(given, _)| *given == name) {
            Some((_, value)) => {
                let value = *value;
                if value.word() == Some("None")
                    && let Some(absent) = absent()
                {
                    return Some(absent);
                }
                reading.inside(name, |reading| T::read(value, reading))
            }
            None => {
                let absent = absent();
                if absent.is_none() && !self.meant.contains(&name) {
                    self.missing.push(name);
                }
                absent
            }
        }
    }

    /// Whether a field was given.
    pub fn has(&self, name: &str) -> bool {
        self.given.iter().any(|(given, _)| *given == name)
    }

    /// Names what is missing; `None` if the record has a mistake of its own.
    pub fn close(self, reading: &mut Reading) -> Option<()> {
        if let Some(first) = self.missing.first() {
            let fields = match self.missing.as_slice() {
                [_] => format!("the field {first} is missing"),
                [before @ .., last] => {
                    format!("the fields {} and {last} are missing", before.join(", "))
                }
                [] => String::new(),
            };
            let examples: Vec<String> = self
                .missing
                .iter()
                .filter_map(|name| self.forms.iter().find(|form| form.name == *name))
                .map(|form| format!("{}: {}", form.name, (form.form)().example))
                .collect();
            let complaint = reading
                .error(
                    codes::MISSING_FIELD,
                    self.place,
                    &format!("{fields} in {}", self.word),
                )
                .help(format!("add {}", examples.join(", ")));
            reading.complain(complaint);
            return None;
        }
        self.whole.then_some(())
    }
}

/// Makes a struct that is read from `Name(field: value, ...)`, and the list of
/// its fields for the reference. Each item needs a doc comment; a field may
/// have a default after `=`. `as "Word"` gives the word before the
/// parentheses where it is not the struct's name.
///
/// ```ignore
/// record! {
///     /// One unit of hardware.
///     pub struct Unit {
///         /// Mass of one unit.
///         mass: Kilograms,
///         /// The share of time in which it runs.
///         availability: Fraction = Fraction::ONE,
///         /// What it draws while it runs.
///         power: Option<Watts>,
///     }
/// }
/// ```
macro_rules! record {
    (
        $(#[doc = $doc:literal])*
        $vis:vis struct $name:ident $(as $word:literal)? {
            $(
                $(#[doc = $field_doc:literal])*
                $field:ident: $type:ty $(= $default:expr)?
            ),* $(,)?
        }
    ) => {
        $(#[doc = $doc])*
        #[derive(Clone, PartialEq, Debug)]
        $vis struct $name {
            $(
                $(#[doc = $field_doc])*
                pub $field: $type,
            )*
        }

        impl $name {
            /// The word before its parentheses.
            pub const WORD: &'static str = $crate::written::record!(@word $name $($word)?);

            /// What it is, for the reference.
            #[allow(dead_code)]
            pub const DOC: &'static str = concat!($($doc, "\n"),*);

            /// Its fields, for the reference.
            pub const fn fields() -> &'static [$crate::written::FieldForm] {
                const FIELDS: &[$crate::written::FieldForm] = $crate::written::record!(
                    @forms $($(#[doc = $field_doc])* $field: $type $(= $default)?,)*
                );
                FIELDS
            }
        }

        impl $crate::written::Read for $name {
            #[allow(unused_mut, unused_variables)]
            fn read(
                value: &$crate::written::Value,
                reading: &mut $crate::written::Reading,
            ) -> Option<Self> {
                let mut fields =
                    $crate::written::Fields::open(value, Self::WORD, Self::fields(), reading)?;
                $(
                    let $field = fields.read::<$type>(
                        stringify!($field),
                        || $crate::written::record!(@absent $type $(, $default)?),
                        reading,
                    );
                )*
                fields.close(reading)?;
                Some(Self { $($field: $field?,)* })
            }

            fn form() -> $crate::written::Form {
                $crate::written::Form::record(
                    Self::WORD,
                    concat!($($doc, "\n"),*),
                    Self::fields(),
                )
            }
        }
    };
    (@word $name:ident) => { stringify!($name) };
    (@word $name:ident $word:literal) => { $word };
    (@absent $type:ty) => { <$type as $crate::written::Read>::absent() };
    (@absent $type:ty, $default:expr) => { Some($default) };
    (@if_absent $type:ty) => {
        if <$type as $crate::written::Read>::absent().is_some() {
            $crate::written::IfAbsent::Nothing
        } else {
            $crate::written::IfAbsent::Required
        }
    };
    (@if_absent $type:ty, $default:expr) => {
        $crate::written::IfAbsent::Is({
            let default: $type = $default;
            $crate::written::Read::written(&default).unwrap_or_default()
        })
    };
    (@forms $($(#[doc = $doc:literal])* $field:ident: $type:ty $(= $default:expr)?,)*) => {
        &[$(
            $crate::written::FieldForm {
                name: stringify!($field),
                form: <$type as $crate::written::Read>::form,
                default: || $crate::written::record!(@if_absent $type $(, $default)?),
                doc: concat!($($doc, "\n"),*),
            },
        )*]
    };
}

pub(crate) use record;
