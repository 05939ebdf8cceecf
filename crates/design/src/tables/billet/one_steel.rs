//! The key `steel`: the name of the one steel that a blade is made of, or tables of own steels.

use std::borrow::Cow;

use schemars::{JsonSchema, Schema, SchemaGenerator, json_schema};
use steel::Steel;
use toml::de::DeValue;

use crate::file::checker::Checker;
use crate::file::draft::{Field, Place, Read};
use crate::file::problem::{Fault, Problems};
use crate::tables::billet::recipe::RecipeDrafts;
use crate::tables::billet::steel::{Rack, SteelDraft};

/// What the key `steel` holds: one of both.
#[derive(Debug)]
pub(crate) struct SteelDrafts {
    /// The name of the one steel of the whole blade.
    pub(crate) one: Option<Field<String>>,
    /// Own steels by their compositions.
    pub(crate) tables: Option<Field<Vec<Field<SteelDraft>>>>,
}

impl Read for SteelDrafts {
    const WANTED: &'static str = "the steel's name in quotes, or [[steel]] tables";

    fn read(place: &Place, found: &mut Problems) -> Option<Self> {
        let again = || Place { value: place.value, at: place.at.clone() };
        match place.value.get_ref() {
            // A number is most likely a name without its quotes.
            DeValue::String(_) | DeValue::Integer(_) | DeValue::Float(_) => {
                Some(SteelDrafts { one: Some(again().into_field(found)?), tables: None })
            }
            _ => Some(SteelDrafts { one: None, tables: Some(again().into_field(found)?) }),
        }
    }
}

impl JsonSchema for SteelDrafts {
    fn schema_name() -> Cow<'static, str> {
        "Steel".into()
    }

    fn json_schema(generator: &mut SchemaGenerator) -> Schema {
        let tables = generator.subschema_for::<Vec<Field<SteelDraft>>>();
        json_schema!({ "anyOf": [{ "type": "string" }, tables] })
    }
}

/// The one steel of a blade without a billet: the one named, or the only table of its own; `None` where none is told.
pub(crate) fn check(file: RecipeDrafts, rack: &Rack, c: &mut Checker) -> Option<Steel> {
    let billet = ["billet", "bar"].into_iter().find(|key| c.document.has(key));
    match (file.one, billet) {
        (Some(name), Some(other)) => {
            c.key_fault(&name.at, &Fault::SteelAndBars { other });
            None
        }
        (Some(name), None) => rack.has(name, &[], c).then(|| rack.find(&name.value)).flatten(),
        (None, Some(_)) => None,
        (None, None) => rack.only(),
    }
}
