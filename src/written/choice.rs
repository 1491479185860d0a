use super::{Form, Read, Reading, Shape, Sort, Value, VariantForm};
use crate::diagnostic::{Place, codes};

/// The choice that a value makes, while its parentheses are read.
pub struct Picked<'a> {
    value: &'a Value,
    variant: &'static VariantForm,
}

impl<'a> Picked<'a> {
    /// Which of the choices a value names; complains if it is none of them.
    pub fn open(
        value: &'a Value,
        name: &'static str,
        variants: &'static [VariantForm],
        reading: &mut Reading,
    ) -> Option<Self> {
        let form = Form::choice(name, "", variants);
        if let Some(complaint) = reading.written_some(value) {
            reading.complain(complaint);
            return None;
        }
        let word = match &value.shape {
            Shape::Text(text) if reading.unquoted_allowed(value.place) => Some(text.as_str()),
            Shape::Text(text) => {
                if let Some(variant) = variants.iter().find(|variant| variant.name == text) {
                    let complaint = reading
                        .error(
                            codes::QUOTES,
                            value.place,
                            &format!("{text} is a word here, not a text"),
                        )
                        .help(format!("write it without quotes: {}", variant.example()));
                    reading.complain(complaint);
                    return None;
                }
                None
            }
            _ => value.word(),
        };
        let Some(word) = word.filter(|word| *word != "None") else {
            reading.mistyped(value, &form);
            return None;
        };
        let Some(variant) = variants.iter().find(|variant| variant.name == word) else {
            let complaint = reading
                .error(
                    codes::UNKNOWN_CHOICE,
                    name_place(value),
                    &format!("{word} is not {}", form.words),
                )
                .help(Reading::suggestion(
                    word,
                    variants.iter().map(|variant| variant.name),
                    "there are",
                ));
            reading.complain(complaint);
            return None;
        };
        Some(Self { value, variant })
    }

    /// Its word.
    pub fn name(&self) -> &'static str {
        self.variant.name
    }

    /// It must stand alone, without parentheses.
    pub fn alone(&self, reading: &mut Reading) -> Option<()> {
        let name = self.name();
        let inside = match &self.value.shape {
            Shape::Word(_) | Shape::Text(_) => return Some(()),
            Shape::Tuple { items, .. } => !items.is_empty(),
            Shape::Record { .. } => true,
            _ => false,
        };
        let message = if inside {
            format!("{name} takes no value")
        } else {
            format!("{name} takes no parentheses")
        };
        let complaint = reading
            .error(codes::PARENTHESES, self.value.place, &message)
            .help(format!("write {name}"));
        reading.complain(complaint);
        None
    }

    /// The value in its parentheses, or the whole where the value is a record
    /// with the choice's own word.
    pub fn only<T: Read>(&self, reading: &mut Reading) -> Option<T> {
        if self.is_record::<T>() {
            return T::read(self.value, reading);
        }
        let [item] = self.items(1, reading)? else {
            return None;
        };
        T::read(item, reading)
    }

    fn is_record<T: Read>(&self) -> bool {
        matches!(T::form().sort, Sort::Record { word, .. } if word == self.name())
    }

    /// The values in its parentheses, if there are as many as wanted.
    pub fn items(&self, wanted: usize, reading: &mut Reading) -> Option<&'a [Value]> {
        let example = self.variant.example();
        let name = self.name();
        let (code, message) = match &self.value.shape {
            Shape::Tuple { items, .. } if items.len() == wanted => return Some(items),
            Shape::Tuple { items, .. } => (
                codes::WRONG_ITEM_COUNT,
                format!("{name} takes {}, found {}", values(wanted), items.len()),
            ),
            Shape::Record { .. } => (
                codes::PARENTHESES,
                format!("{name} takes {} without field names", values(wanted)),
            ),
            _ => (
                codes::PARENTHESES,
                format!("{name} needs {} in parentheses", values(wanted)),
            ),
        };
        let complaint = reading
            .error(code, self.value.place, &message)
            .help(format!("write it such as {example}"));
        reading.complain(complaint);
        None
    }

    /// The whole value, for a choice with fields.
    pub fn value(&self) -> &'a Value {
        self.value
    }
}

/// The place of the word, or of the whole.
fn name_place(value: &Value) -> Place {
    match &value.shape {
        Shape::Record {
            name: Some(name), ..
        }
        | Shape::Tuple {
            name: Some(name), ..
        } => name.place,
        _ => value.place,
    }
}

fn values(count: usize) -> String {
    match count {
        1 => "one value".into(),
        2 => "two values".into(),
        3 => "three values".into(),
        more => format!("{more} values"),
    }
}

/// `Between(1, 2)`, from its items as written; `None` if one is not short.
pub(crate) fn written_items(name: &str, items: &[Option<String>]) -> Option<String> {
    let items: Option<Vec<&str>> = items.iter().map(Option::as_deref).collect();
    Some(format!("{name}({})", items?.join(", ")))
}

/// Makes an enum that is read from one of several words, each alone, with up
/// to three values in parentheses, or with named fields as in `record!`.
/// `as "words"` says what messages call it where the name's own words will not
/// do.
///
/// ```ignore
/// choice! {
///     /// How many units.
///     pub enum Count {
///         /// Exactly so many.
///         Exactly(u32),
///         /// From so many to so many.
///         Between(u32, u32),
///         /// As many as you like.
///         Any,
///         /// So many a flight.
///         Flown {
///             /// On each flight.
///             each: u32,
///         },
///     }
/// }
/// ```
macro_rules! choice {
    (
        $(#[doc = $doc:literal])*
        $vis:vis enum $name:ident $(as $word:literal)? {
            $(
                $(#[doc = $variant_doc:literal])*
                $variant:ident
                    $(($($item:ty),+ $(,)?))?
                    $({ $($(#[doc = $field_doc:literal])* $field:ident: $type:ty $(= $default:expr)?),+ $(,)? })?
            ),+ $(,)?
        }
    ) => {
        $(#[doc = $doc])*
        #[derive(Clone, PartialEq, Debug)]
        $vis enum $name {
            $(
                $(#[doc = $variant_doc])*
                $variant
                    $(($($item),+))?
                    $({ $($(#[doc = $field_doc])* $field: $type),+ })?
            ),+
        }

        impl $name {
            /// The choices, for the reference.
            pub const fn variants() -> &'static [$crate::written::VariantForm] {
                const VARIANTS: &[$crate::written::VariantForm] = &[$(
                    $crate::written::VariantForm {
                        name: stringify!($variant),
                        payload: $crate::written::choice!(
                            @payload
                            $(($($item),+))?
                            $({ $($(#[doc = $field_doc])* $field: $type $(= $default)?),+ })?
                        ),
                        doc: concat!($($variant_doc, "\n"),*),
                    },
                )+];
                VARIANTS
            }
        }

        impl $crate::written::Read for $name {
            fn read(
                value: &$crate::written::Value,
                reading: &mut $crate::written::Reading,
            ) -> Option<Self> {
                let picked = $crate::written::Picked::open(
                    value,
                    $crate::written::record!(@word $name $($word)?),
                    Self::variants(),
                    reading,
                )?;
                $(
                    if picked.name() == stringify!($variant) {
                        return $crate::written::choice!(
                            @read $name $variant picked reading
                            $(($($item),+))?
                            $({ $($(#[doc = $field_doc])* $field: $type $(= $default)?),+ })?
                        );
                    }
                )+
                None
            }

            fn form() -> $crate::written::Form {
                $crate::written::Form::choice(
                    $crate::written::record!(@word $name $($word)?),
                    concat!($($doc, "\n"),*),
                    Self::variants(),
                )
            }

            fn written(&self) -> Option<String> {
                #[allow(unreachable_patterns)]
                match self {
                    $(
                        $crate::written::choice!(@pattern $name $variant first second third
                            $(($($item),+))?
                            $({ $($field),+ })?) =>
                            $crate::written::choice!(@written $variant first second third
                                $(($($item),+))?
                                $({ $($field),+ })?),
                    )+
                }
            }
        }
    };

    (@payload) => { $crate::written::Payload::Nothing };
    (@payload ($($item:ty),+)) => {
        $crate::written::Payload::Items(&[$(<$item as $crate::written::Read>::form),+])
    };
    (@payload { $($(#[doc = $doc:literal])* $field:ident: $type:ty $(= $default:expr)?),+ }) => {
        $crate::written::Payload::Fields($crate::written::record!(
            @forms $($(#[doc = $doc])* $field: $type $(= $default)?,)+
        ))
    };

    (@read $name:ident $variant:ident $picked:ident $reading:ident) => {
        $picked.alone($reading).map(|()| $name::$variant)
    };
    (@read $name:ident $variant:ident $picked:ident $reading:ident ($only:ty)) => {
        $picked.only::<$only>($reading).map($name::$variant)
    };
    (@read $name:ident $variant:ident $picked:ident $reading:ident ($first:ty, $second:ty)) => {{
        let [first, second] = $picked.items(2, $reading)? else { return None };
        let first = $reading.inside("0", |reading| <$first as $crate::written::Read>::read(first, reading));
        let second = $reading.inside("1", |reading| <$second as $crate::written::Read>::read(second, reading));
        Some($name::$variant(first?, second?))
    }};
    (@read $name:ident $variant:ident $picked:ident $reading:ident ($first:ty, $second:ty, $third:ty)) => {{
        let [first, second, third] = $picked.items(3, $reading)? else { return None };
        let first = $reading.inside("0", |reading| <$first as $crate::written::Read>::read(first, reading));
        let second = $reading.inside("1", |reading| <$second as $crate::written::Read>::read(second, reading));
        let third = $reading.inside("2", |reading| <$third as $crate::written::Read>::read(third, reading));
        Some($name::$variant(first?, second?, third?))
    }};
    (@read $name:ident $variant:ident $picked:ident $reading:ident
        { $($(#[doc = $doc:literal])* $field:ident: $type:ty $(= $default:expr)?),+ }
    ) => {{
        const FIELDS: &[$crate::written::FieldForm] = $crate::written::record!(
            @forms $($(#[doc = $doc])* $field: $type $(= $default)?,)+
        );
        let mut fields = $crate::written::Fields::open(
            $picked.value(), stringify!($variant), FIELDS, $reading,
        )?;
        $(
            let $field = fields.read::<$type>(
                stringify!($field),
                || $crate::written::record!(@absent $type $(, $default)?),
                $reading,
            );
        )+
        fields.close($reading)?;
        Some($name::$variant { $($field: $field?),+ })
    }};

    (@pattern $name:ident $variant:ident $a:ident $b:ident $c:ident) => { $name::$variant };
    (@pattern $name:ident $variant:ident $a:ident $b:ident $c:ident ($t:ty)) => {
        $name::$variant($a)
    };
    (@pattern $name:ident $variant:ident $a:ident $b:ident $c:ident ($t:ty, $u:ty)) => {
        $name::$variant($a, $b)
    };
    (@pattern $name:ident $variant:ident $a:ident $b:ident $c:ident ($t:ty, $u:ty, $v:ty)) => {
        $name::$variant($a, $b, $c)
    };
    (@pattern $name:ident $variant:ident $a:ident $b:ident $c:ident { $($field:ident),+ }) => {
        $name::$variant { .. }
    };

    (@written $variant:ident $a:ident $b:ident $c:ident) => {
        Some(stringify!($variant).to_string())
    };
    (@written $variant:ident $a:ident $b:ident $c:ident ($t:ty)) => {
        $crate::written::written_items(stringify!($variant), &[
            $crate::written::Read::written($a),
        ])
    };
    (@written $variant:ident $a:ident $b:ident $c:ident ($t:ty, $u:ty)) => {
        $crate::written::written_items(stringify!($variant), &[
            $crate::written::Read::written($a),
            $crate::written::Read::written($b),
        ])
    };
    (@written $variant:ident $a:ident $b:ident $c:ident ($t:ty, $u:ty, $v:ty)) => {
        $crate::written::written_items(stringify!($variant), &[
            $crate::written::Read::written($a),
            $crate::written::Read::written($b),
            $crate::written::Read::written($c),
        ])
    };
    (@written $variant:ident $a:ident $b:ident $c:ident { $($field:ident),+ }) => { None };
}

pub(crate) use choice;
