//! The JSON Schema of the design file, from the same declarations that the reader uses.

use schemars::generate::SchemaSettings;
use serde_json::{Map, Value};

use crate::tables::top_level::FileDraft;

/// The JSON Schema (draft 2020-12) of the design file, with a title and a description for each key, so that
/// editors complete and explain it. Unknown keys are refused.
pub fn schema() -> Value {
    let generator = SchemaSettings::draft2020_12().into_generator();
    let mut schema = generator.into_root_schema_for::<FileDraft>().to_value();
    tidy(&mut schema);
    if let Some(root) = schema.as_object_mut() {
        root.insert("title".to_owned(), "Seaxwright design".into());
    }
    schema
}

/// Takes out `null`, which TOML doesn't know, and titles every key; descriptions become one line.
fn tidy(value: &mut Value) {
    match value {
        Value::Object(object) => {
            without_null(object);
            if let Some(Value::String(text)) = object.get_mut("description") {
                *text = text.replace('\n', " ");
            }
            titled(object);
            object.values_mut().for_each(tidy);
        }
        Value::Array(array) => array.iter_mut().for_each(tidy),
        _ => {}
    }
}

/// Takes `null` out of a schema's types: a key is left out, not emptied.
fn without_null(object: &mut Map<String, Value>) {
    if let Some(Value::Array(types)) = object.get_mut("type") {
        types.retain(|t| t != "null");
        if let [only] = &types[..] {
            let only = only.clone();
            object.insert("type".to_owned(), only);
        }
    }
    let Some(Value::Array(choices)) = object.get_mut("anyOf") else { return };
    choices.retain(|choice| choice.get("type").is_none_or(|t| t != "null"));
    if let [Value::Object(only)] = &choices[..] {
        let only = only.clone();
        object.remove("anyOf");
        for (key, value) in only {
            object.entry(key).or_insert(value);
        }
    }
}

/// Gives each property a title made of its key.
fn titled(object: &mut Map<String, Value>) {
    let Some(Value::Object(properties)) = object.get_mut("properties") else { return };
    for (key, property) in properties {
        if let Some(property) = property.as_object_mut() {
            property.insert("title".to_owned(), title(key).into());
        }
    }
}

/// "point_height" as "Point height".
fn title(key: &str) -> String {
    let spaced = key.replace('_', " ");
    let mut letters = spaced.chars();
    letters.next().map(|first| first.to_uppercase().chain(letters).collect()).unwrap_or_default()
}
