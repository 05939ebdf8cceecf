//! Every profile written in the other unit is the same blade.

#![allow(clippy::unwrap_used, clippy::panic, reason = "helpers of tests count as tests")]

use blade::Stage;
use design::{Design, Unit};
use serde_json::Value as Json;
use toml::{Table, Value};

/// How far twins may differ, as a share: a length converted and read again is off by rounding, some 1e-16, and a volume
/// adds up many.
const SAME: f64 = 1e-9;

/// What the schema calls kinds of value that may be lengths.
const LENGTHS: [&str; 3] = ["Length", "Reach", "Wanted length"];

/// Whether the schema gives a key this kind of value: by its name, or where it is required, in full.
fn is(property: &Json, kind: &str, schema: &Json) -> bool {
    let named = property["$ref"].as_str().and_then(|named| named.strip_prefix("#/$defs/"));
    let ways = &schema["$defs"][kind]["anyOf"];
    named == Some(kind) || ways.is_array() && &property["anyOf"] == ways
}

/// What the schema says of the entries of a table or list.
fn inside<'s>(property: &'s Json, schema: &'s Json) -> &'s Json {
    match property["$ref"].as_str().and_then(|r| r.strip_prefix("#/$defs/")) {
        Some(named) => &schema["$defs"][named],
        None => property,
    }
}

/// One document on its way to the other unit.
struct Twin<'s> {
    schema: &'s Json,
    from: Unit,
    to: Unit,
    converted: usize,
}

impl Twin<'_> {
    /// Converts every length of a value as the schema knows them.
    fn convert(&mut self, value: &mut Value, property: &Json) {
        let schema = self.schema;
        let about = inside(property, schema);
        // What may stand here in several ways is known by the one that has keys, or entries.
        let listed = about["anyOf"].as_array().map_or_else(Vec::new, Clone::clone);
        let ways: Vec<&Json> = listed.iter().map(|way| inside(way, schema)).chain([about]).collect();
        let is_length = |property: &Json| LENGTHS.iter().any(|kind| is(property, kind, schema));
        match value {
            Value::Table(table) => {
                let keys = ways.iter().find_map(|way| way.get("properties")).unwrap();
                table.iter_mut().for_each(|(key, value)| self.convert(value, &keys[key.as_str()]));
            }
            Value::Array(list) => {
                // Of several kinds of lists it is the one whose entries have keys where these have.
                let keyed = |entry: &&Json| inside(entry, schema).get("properties").is_some();
                let tables = list.first().is_some_and(Value::is_table);
                let entries: Vec<&Json> = ways.iter().filter_map(|way| way.get("items")).collect();
                let entry = *entries.iter().find(|entry| keyed(entry) == tables).unwrap_or(&entries[0]);
                list.iter_mut().for_each(|value| self.convert(value, entry));
            }
            number if is_length(property) || listed.iter().any(is_length) => self.length(number),
            _ => {}
        }
    }

    /// A number in the one unit, or text that names its own, as a number in the other; words stay.
    fn length(&mut self, value: &mut Value) {
        let text = match value {
            Value::String(text) => text.clone(),
            ref number => number.to_string(),
        };
        if let Ok(mm) = design::length(&text, self.from) {
            *value = Value::Float(mm / self.to.millimetres());
            self.converted += 1;
        }
    }
}

fn other(unit: Unit) -> Unit {
    match unit {
        Unit::Millimetre => Unit::Inch,
        Unit::Inch => Unit::Millimetre,
    }
}

/// A design file in the other unit, and how many lengths of it were converted.
fn twin(text: &str, from: Unit) -> (String, usize) {
    let schema = design::schema();
    let to = other(from);
    let mut twin = Twin { schema: &schema, from, to, converted: 0 };
    let mut file: Value = Value::Table(text.parse::<Table>().unwrap());
    twin.convert(&mut file, &schema);
    let table = file.as_table_mut().unwrap();
    table.insert("unit".to_owned(), Value::String(to.name().to_owned()));
    (toml::to_string(table).unwrap(), twin.converted)
}

fn read(text: &str) -> Design {
    design::read(text.as_bytes()).unwrap_or_else(|problems| panic!("{text}\n{problems:#?}"))
}

fn same(what: &str, a: f64, b: f64) {
    assert!((a - b).abs() <= SAME * b.abs().max(1.0), "{what}: {a} {b}");
}

/// The numbers of two designs, stage by stage.
fn compare(name: &str, a: &Design, b: &Design) {
    for stage in Stage::ALL {
        let [(loft, one), (_, two)] = [a, b].map(|design| {
            let loft = design.blade().loft(stage);
            let moments = loft.moments();
            (loft, moments)
        });
        same(&format!("{name}, {stage}: volume"), one.volume, two.volume);
        let (swing, twin) = (a.swing(&loft, &one), b.swing(&b.blade().loft(stage), &two));
        same(&format!("{name}, {stage}: mass"), swing.mass, twin.mass);
        same(&format!("{name}, {stage}: balance"), swing.balance, twin.balance);
    }
    let heights =
        |d: &Design| d.billet().map(|b| b.bars().iter().map(|bar| bar.height.at(0.0)).collect::<Vec<_>>());
    let (one, two) = (heights(a).unwrap_or_default(), heights(b).unwrap_or_default());
    assert_eq!(one.len(), two.len(), "{name}");
    one.iter().zip(&two).for_each(|(a, b)| same(name, *a, *b));
}

#[test]
fn every_profile_is_the_same_blade_in_the_other_unit() {
    for profile in fixtures::profiles::all() {
        let first = read(&profile.text);
        let (text, converted) = twin(&profile.text, first.unit());
        assert!(converted >= 8, "{}: {converted}", profile.name);
        let second = read(&text);
        assert_ne!(first.unit(), second.unit());
        compare(&profile.name, &first, &second);
        // And back again.
        let (text, again) = twin(&text, second.unit());
        assert_eq!(again, converted, "{}", profile.name);
        compare(&profile.name, &first, &read(&text));
    }
}

#[test]
fn starter_files_are_the_same_blade_in_the_other_unit() {
    for unit in [Unit::Millimetre, Unit::Inch] {
        let first = read(&design::starter("Ferry twin", unit));
        assert_eq!(first.unit(), unit);
        let (text, _) = twin(&design::starter("Ferry twin", unit), unit);
        compare("starter", &first, &read(&text));
    }
}

/// A length that was not converted is another blade, and that is seen.
#[test]
fn one_length_left_as_it_was_is_seen() {
    let text = "name = \"Oar\"\nunit = \"in\"\n[outline]\nlength = 10\nbreadth = 1.25\n[[taper]]\nat = 0\nback = 0.25\n";
    let (twin, converted) = twin(text, Unit::Inch);
    assert_eq!(converted, 4, "{twin}");
    let wrong = read(&twin.replace("6.35", "6.36"));
    let volume = |d: &Design| d.blade().loft(Stage::Finished).moments().volume;
    assert!((volume(&wrong) / volume(&read(text)) - 1.0).abs() > 100.0 * SAME);
}
