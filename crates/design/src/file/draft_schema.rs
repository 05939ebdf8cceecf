//! The JSON Schema of the kinds of value that drafts are made of.

use std::borrow::Cow;

use schemars::{JsonSchema, Schema, SchemaGenerator, json_schema};

use crate::file::draft::{Angle, Degrees, Field, Length, Mass, Number, Reach, Volume, Whole};

impl<T: JsonSchema> JsonSchema for Field<T> {
    fn inline_schema() -> bool {
        T::inline_schema()
    }

    fn schema_name() -> Cow<'static, str> {
        T::schema_name()
    }

    fn schema_id() -> Cow<'static, str> {
        T::schema_id()
    }

    fn json_schema(generator: &mut SchemaGenerator) -> Schema {
        T::json_schema(generator)
    }
}

/// Gives a quantity its place in the schema: a number, or text of this pattern.
macro_rules! quantity_schema {
    ($name:ident, $title:literal, $description:literal, $text:literal) => {
        impl JsonSchema for $name {
            fn schema_name() -> Cow<'static, str> {
                $title.into()
            }

            fn json_schema(_: &mut SchemaGenerator) -> Schema {
                json_schema!({
                    "title": $title,
                    "description": $description,
                    "anyOf": [{ "type": "number" }, { "type": "string", "pattern": $text }]
                })
            }
        }
    };
}

quantity_schema!(
    Length,
    "Length",
    "A number in the file's unit, or text with a unit: \"9.5 mm\", \"2 cm\", \"3/8 in\", \"1 1/2 in\", \"1-1/2 in\".",
    r#"^\s*-?([0-9./ -]+ *(mm|cm|m|in|in\.|inch|inches|"|''|″|ft)\s*)+$"#
);
quantity_schema!(Angle, "Angle", "Degrees, or text such as \"30 deg\".", r"^\s*-?[0-9./ ]+(deg|°)\s*$");
quantity_schema!(
    Mass,
    "Mass",
    "A number of grams, or of the unit in [units] mass; or text with a unit: \"85 g\", \"0.3 kg\", \"3 oz\", \"1 lb\", \"1 lb 4 oz\".",
    r"^\s*([0-9./ -]+ *(g|kg|oz|lb|lbs)\s*)+$"
);
quantity_schema!(
    Degrees,
    "Temperature",
    "Degrees Celsius, or of the scale in [units] temperature; or text with its scale: \"815 C\", \"1500 F\".",
    r"^\s*[0-9./ ]+(°?[CF])\s*$"
);
quantity_schema!(
    Volume,
    "Volume",
    "A number of litres, or text with a unit: \"15 L\", \"4 gal\" (US gallons).",
    r"^\s*([0-9./ -]+ *(l|L|gal)\s*)+$"
);
quantity_schema!(
    Reach,
    "Reach",
    "A length from the edge, a share of the breadth such as \"60 %\", or \"full\".",
    r#"^\s*(full|[0-9./ ]+%|([0-9./ -]+ *(mm|cm|m|in|in\.|inch|inches|"|''|″|ft)\s*)+)\s*$"#
);

impl JsonSchema for Number {
    fn inline_schema() -> bool {
        true
    }

    fn schema_name() -> Cow<'static, str> {
        "Number".into()
    }

    fn json_schema(_: &mut SchemaGenerator) -> Schema {
        json_schema!({ "type": "number" })
    }
}

impl JsonSchema for Whole {
    fn inline_schema() -> bool {
        true
    }

    fn schema_name() -> Cow<'static, str> {
        "Whole".into()
    }

    fn json_schema(_: &mut SchemaGenerator) -> Schema {
        json_schema!({ "type": "integer" })
    }
}
