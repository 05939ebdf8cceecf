//! How the file's tables are read into drafts: what the file says, nothing checked but types and keys.
//!
//! A draft is declared once by `table!` or `words!`; its fields, their names, their documentation in the
//! JSON Schema and their reading all come from that one place.

use std::ops::Range;

use toml::Spanned;
use toml::de::DeValue;

use crate::file::problem::{Fault, Problems, hint, key_hint};
use crate::unit::quantity::{ANGLE, Amount, LENGTH, MASS, Measure, Misread, SHARE, VOLUME, heat};

/// A value the file gives, and where.
#[derive(Clone, Debug)]
pub(crate) struct Field<T> {
    pub(crate) value: T,
    pub(crate) at: String,
    pub(crate) span: Range<usize>,
}

/// A value of the tree on its way to a draft.
pub(crate) struct Place<'v, 't> {
    pub(crate) value: &'v Spanned<DeValue<'t>>,
    pub(crate) at: String,
}

/// What can be read from a value of the tree. `None` when it can't, with the problem added.
pub(crate) trait Read: Sized {
    /// What would be accepted, for the hint.
    const WANTED: &'static str;

    fn read(place: &Place, found: &mut Problems) -> Option<Self>;
}

/// What a list wants.
const LIST: &str = "a list; a list of tables has headers in double brackets, [[...]]";
/// What a field of text wants.
const TEXT: &str = "text in quotes";

impl Place<'_, '_> {
    pub(crate) fn fault(&self, found: &mut Problems, fault: &Fault) {
        found.add(&self.at, self.value.span(), fault);
    }

    /// Reports a value of another kind than is wanted, with what it is.
    pub(crate) fn wrong_kind(&self, found: &mut Problems, wanted: &'static str) {
        let kind = match self.value.get_ref() {
            DeValue::String(_) => "text",
            DeValue::Integer(_) | DeValue::Float(_) => "a number",
            DeValue::Boolean(_) => "true or false",
            DeValue::Datetime(_) => "a date",
            DeValue::Array(_) => "a list",
            DeValue::Table(_) => "a table",
        };
        // A plain word is no TOML at all; what is left is text that looks like something else.
        let header = self.at.rsplit('.').next().unwrap_or_default();
        let remedy = match wanted {
            LIST if kind == "a table" && self.at.contains('[') => {
                format!("put it in square brackets: {header} = [{{ ... }}]")
            }
            LIST if kind == "a table" => format!("write its header in double brackets: [[{}]]", self.at),
            LIST if kind == "a number" => "put it in square brackets, as in [2] or [2, 3]".to_owned(),
            LIST if kind == "text" => format!("put it in square brackets: {}", self.as_list()),
            TEXT if kind != "a list" && kind != "a table" => "put quotes around it".to_owned(),
            _ => format!("give {wanted}"),
        };
        self.fault(found, &Fault::Kind { found: kind, remedy });
    }

    /// A text as a list of what its commas part.
    fn as_list(&self) -> String {
        let text: String = self.value.get_ref().as_str().unwrap_or_default().chars().take(60).collect();
        let entries: Vec<String> = text.split(',').map(|entry| format!("{:?}", entry.trim())).collect();
        format!("[{}]", entries.join(", "))
    }

    /// Reports a value that should be a table with these keys.
    pub(crate) fn no_table(&self, keys: &[&str], found: &mut Problems) {
        let form =
            self.value.get_ref().as_str().filter(|word| word.len() < 20 && !word.contains(['"', '\\']));
        match form.filter(|_| keys.contains(&"form")) {
            Some(form) => {
                let header = self.at.rsplit('.').next().unwrap_or_default();
                let remedy =
                    format!("write {header} = {{ form = \"{form}\" }}, with what else that form needs");
                self.fault(found, &Fault::Kind { found: "text", remedy });
            }
            None => self.wrong_kind(found, "a table"),
        }
    }

    /// The field `key` of this table; `None` when absent or wrong.
    pub(crate) fn field<T: Read>(&self, key: &str, found: &mut Problems) -> Option<Field<T>> {
        let value = self.value.get_ref().as_table()?.get(key)?;
        let at = if self.at.is_empty() { key.to_owned() } else { format!("{}.{key}", self.at) };
        Place { value, at }.into_field(found)
    }

    /// Names every key of this table that is not `known`.
    pub(crate) fn unknown_keys(&self, known: &[&str], found: &mut Problems) {
        let Some(table) = self.value.get_ref().as_table() else { return };
        for key in table.keys().filter(|key| !known.contains(&key.get_ref().as_ref())) {
            let name: String = key.get_ref().chars().take(60).collect();
            let at = if self.at.is_empty() { name.clone() } else { format!("{}.{name}", self.at) };
            found.add(&at, key.span(), &Fault::UnknownKey { nearest: key_hint(&name, known), key: name });
        }
    }

    pub(crate) fn into_field<T: Read>(self, found: &mut Problems) -> Option<Field<T>> {
        let value = T::read(&self, found)?;
        Some(Field { value, span: self.value.span(), at: self.at })
    }

    /// The value as a number, where it is written as one.
    pub(crate) fn number(&self) -> Option<f64> {
        match self.value.get_ref() {
            DeValue::Integer(i) => i128::from_str_radix(i.as_str(), i.radix()).ok().map_or_else(
                // An integer beyond 128 bits is out of every range; its size no longer matters.
                || Some(f64::MAX),
                |i| Some(i as f64),
            ),
            DeValue::Float(f) => f.as_str().parse().ok(),
            _ => None,
        }
    }

    /// The value as an amount: a plain number, or text with a unit.
    fn amount(&self, measure: &Measure, wanted: &'static str, found: &mut Problems) -> Option<Amount> {
        let parse = |text: &str| measure.parse(text).map_err(|why| Misread { why, example: measure.example });
        self.amount_by(parse, wanted, found)
    }

    /// The value as an amount: a plain number, or text that `parse` understands.
    fn amount_by(
        &self,
        parse: impl Fn(&str) -> Result<f64, Misread>,
        wanted: &'static str,
        found: &mut Problems,
    ) -> Option<Amount> {
        if let Some(number) = self.number() {
            return Some(Amount::Plain(number));
        }
        let Some(text) = self.value.get_ref().as_str() else {
            self.wrong_kind(found, wanted);
            return None;
        };
        match parse(text) {
            Ok(value) => Some(Amount::Fixed(value)),
            Err(Misread { why, example }) => {
                let text = text.chars().take(60).collect();
                self.fault(found, &Fault::Quantity { text, why, example });
                None
            }
        }
    }
}

/// Declares a table of the file: every field may be absent in the draft.
macro_rules! table {
    ($(#[$doc:meta])* $name:ident { $($(#[$field_doc:meta])* $field:ident : $kind:ty),* $(,)? }) => {
        #[derive(Debug, schemars::JsonSchema)]
        $(#[$doc])*
        #[schemars(deny_unknown_fields)]
        pub(crate) struct $name { $($(#[$field_doc])* pub(crate) $field: Option<$crate::file::draft::Field<$kind>>),* }

        impl $name {
            /// The table's keys.
            pub(crate) const KEYS: &'static [&'static str] = &[$(stringify!($field)),*];

            /// The keys that the file gives, as far as they could be read, with their places.
            #[allow(dead_code, reason = "only tables with forms ask for it")]
            pub(crate) fn given(&self) -> Vec<(&'static str, &str)> {
                let all = [$((stringify!($field), self.$field.as_ref().map(|f| f.at.as_str()))),*];
                all.into_iter().filter_map(|(key, at)| Some((key, at?))).collect()
            }
        }

        impl $crate::file::draft::Read for $name {
            const WANTED: &'static str = "a table";

            fn read(place: &$crate::file::draft::Place, found: &mut $crate::file::problem::Problems) -> Option<Self> {
                if place.value.get_ref().as_table().is_none() {
                    place.no_table(Self::KEYS, found);
                    return None;
                }
                place.unknown_keys(Self::KEYS, found);
                Some($name { $($field: place.field(stringify!($field), found)),* })
            }
        }
    };
}

/// Declares a fixed list of words.
macro_rules! words {
    ($(#[$doc:meta])* $name:ident { $($(#[$word_doc:meta])* $word:ident = $text:literal),* $(,)? }) => {
        #[derive(Clone, Copy, Debug, PartialEq, Eq, schemars::JsonSchema)]
        $(#[$doc])*
        pub(crate) enum $name { $($(#[$word_doc])* #[schemars(rename = $text)] $word),* }

        impl $name {
            /// The word as the file spells it.
            #[allow(dead_code, reason = "only forms are named in messages")]
            pub(crate) fn text(self) -> &'static str {
                match self { $($name::$word => $text),* }
            }
        }

        impl $crate::file::draft::Read for $name {
            const WANTED: &'static str = concat!("one of", $(" \"", $text, "\""),*);

            fn read(place: &$crate::file::draft::Place, found: &mut $crate::file::problem::Problems) -> Option<Self> {
                match $crate::file::draft::word(place, &[$($text),*], Self::WANTED, found)?.as_str() {
                    $($text => Some($name::$word),)*
                    _ => None,
                }
            }
        }
    };
}

pub(crate) use {table, words};

/// One of `known`, or a problem with the nearest.
pub(crate) fn word(
    place: &Place,
    known: &[&str],
    wanted: &'static str,
    found: &mut Problems,
) -> Option<String> {
    let Some(text) = place.value.get_ref().as_str() else {
        place.wrong_kind(found, wanted);
        return None;
    };
    if known.contains(&text) {
        return Some(text.to_owned());
    }
    let word: String = text.chars().take(60).collect();
    place.fault(found, &Fault::UnknownWord { nearest: hint(&word, known), word });
    None
}

/// A length: plain numbers are in the file's unit.
#[derive(Clone, Copy, Debug)]
pub(crate) struct Length(pub(crate) Amount);

/// An angle: plain numbers are degrees.
#[derive(Clone, Copy, Debug)]
pub(crate) struct Angle(pub(crate) Amount);

/// A mass: plain numbers are in the file's unit of masses.
#[derive(Clone, Copy, Debug)]
pub(crate) struct Mass(pub(crate) Amount);

/// A temperature: plain numbers are on the file's scale.
#[derive(Clone, Copy, Debug)]
pub(crate) struct Degrees(pub(crate) Amount);

/// A volume: plain numbers are litres.
#[derive(Clone, Copy, Debug)]
pub(crate) struct Volume(pub(crate) Amount);

/// A plain number.
#[derive(Clone, Copy, Debug)]
pub(crate) struct Number(pub(crate) f64);

/// A number that is whole, once it is checked.
#[derive(Clone, Copy, Debug)]
pub(crate) struct Whole(pub(crate) f64);

/// A length, a share of the breadth, or all of it.
#[derive(Clone, Copy, Debug)]
pub(crate) enum Reach {
    Full,
    Length(Length),
    Share(f64),
}

impl Read for Length {
    const WANTED: &'static str =
        "a length: a number in the file's unit, or text such as \"9.5 mm\" or \"3/8 in\"";

    fn read(place: &Place, found: &mut Problems) -> Option<Self> {
        place.amount(&LENGTH, Self::WANTED, found).map(Length)
    }
}

impl Read for Angle {
    const WANTED: &'static str = "an angle: a number of degrees, or text such as \"30 deg\"";

    fn read(place: &Place, found: &mut Problems) -> Option<Self> {
        place.amount(&ANGLE, Self::WANTED, found).map(Angle)
    }
}

impl Read for Mass {
    const WANTED: &'static str =
        "a mass: a number in grams (or in units.mass), or text such as \"85 g\" or \"3 oz\"";

    fn read(place: &Place, found: &mut Problems) -> Option<Self> {
        place.amount(&MASS, Self::WANTED, found).map(Mass)
    }
}

impl Read for Degrees {
    const WANTED: &'static str = "a temperature: a number of degrees Celsius (or of units.temperature), or text such as \"815 C\" or \"1500 F\"";

    fn read(place: &Place, found: &mut Problems) -> Option<Self> {
        place.amount_by(heat, Self::WANTED, found).map(Degrees)
    }
}

impl Read for Volume {
    const WANTED: &'static str = "a volume: a number of litres, or text such as \"15 L\" or \"4 gal\"";

    fn read(place: &Place, found: &mut Problems) -> Option<Self> {
        place.amount(&VOLUME, Self::WANTED, found).map(Volume)
    }
}

impl Read for Number {
    const WANTED: &'static str = "a number";

    fn read(place: &Place, found: &mut Problems) -> Option<Self> {
        let number = place.number();
        if number.is_none() {
            place.wrong_kind(found, Self::WANTED);
        }
        number.map(Number)
    }
}

impl Read for Whole {
    const WANTED: &'static str = "a whole number";

    fn read(place: &Place, found: &mut Problems) -> Option<Self> {
        let number = place.number();
        if number.is_none() {
            place.wrong_kind(found, Self::WANTED);
        }
        number.map(Whole)
    }
}

impl Read for Reach {
    const WANTED: &'static str = "a length, a share such as \"60 %\", or \"full\"";

    fn read(place: &Place, found: &mut Problems) -> Option<Self> {
        let text = place.value.get_ref().as_str().map(str::trim).unwrap_or_default();
        if text == "full" {
            return Some(Reach::Full);
        }
        let measure = if text.ends_with('%') { &SHARE } else { &REACH };
        match place.amount(measure, Self::WANTED, found)? {
            Amount::Fixed(share) if text.ends_with('%') => Some(Reach::Share(share)),
            length => Some(Reach::Length(Length(length))),
        }
    }
}

/// Lengths, where a share or "full" would do as well.
const REACH: Measure = Measure {
    units: LENGTH.units,
    example: "\"60 %\", \"25 mm\" or \"full\"",
    wrong_unit: "is neither a length nor a share",
};

impl Read for bool {
    const WANTED: &'static str = "true or false";

    fn read(place: &Place, found: &mut Problems) -> Option<Self> {
        let value = place.value.get_ref().as_bool();
        if value.is_none() {
            place.wrong_kind(found, Self::WANTED);
        }
        value
    }
}

impl Read for String {
    const WANTED: &'static str = TEXT;

    fn read(place: &Place, found: &mut Problems) -> Option<Self> {
        let value = place.value.get_ref().as_str().map(str::to_owned);
        if value.is_none() {
            place.wrong_kind(found, Self::WANTED);
        }
        value
    }
}

/// Entries that can't be read are left out of the list; their problems are added.
impl<T: Read> Read for Vec<Field<T>> {
    const WANTED: &'static str = LIST;

    fn read(place: &Place, found: &mut Problems) -> Option<Self> {
        let Some(array) = place.value.get_ref().as_array() else {
            place.wrong_kind(found, Self::WANTED);
            return None;
        };
        let entries = array.iter().enumerate();
        Some(
            entries
                .filter_map(|(i, value)| Place { value, at: format!("{}[{i}]", place.at) }.into_field(found))
                .collect(),
        )
    }
}

/// A list of exactly N values.
impl<T: Read, const N: usize> Read for [Field<T>; N] {
    const WANTED: &'static str = "a list of numbers";

    fn read(place: &Place, found: &mut Problems) -> Option<Self> {
        let list = Vec::<Field<T>>::read(place, found)?;
        let count = place.value.get_ref().as_array().map_or(0, |a| a.len());
        if count != N {
            place.fault(found, &Fault::Numbers { count, wanted: N });
        }
        list.try_into().ok()
    }
}
