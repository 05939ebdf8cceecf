//! Rows that are worth measuring, as the page offers them: those of the blank table.

use csv::{ReaderBuilder, StringRecord};
use design::Design;
use measured::Quantity;
use serde::Serialize;
use serde_json::Value;

/// A row to fill in.
#[derive(Debug, Serialize)]
struct Place<'r> {
    what: &'r str,
    station: &'r str,
    height: &'r str,
    /// What the stages should read: forged, ground, finished.
    planned: [&'r str; 3],
    note: &'r str,
}

/// The rows of a design's blank table, in its order.
pub(crate) fn places(design: &Design) -> Value {
    let table = measured::blank(design, false);
    let mut reader = ReaderBuilder::new().flexible(true).from_reader(table.as_bytes());
    let head = reader.headers().cloned().unwrap_or_default();
    let rows: Vec<StringRecord> = reader.records().filter_map(Result::ok).collect();
    let place = |row: &StringRecord| serde_json::to_value(place(&head, row)).unwrap_or_default();
    let figures = design.figures();
    serde_json::json!({
        "unit": figures.spoken(),
        "mass": figures.mass.name(),
        "quantities": Quantity::ALL.map(Quantity::name),
        "places": rows.iter().map(place).collect::<Vec<Value>>(),
    })
}

/// A row of the blank table as a place to measure at.
fn place<'r>(head: &StringRecord, row: &'r StringRecord) -> Place<'r> {
    let cell = |name: &str| {
        let at =
            head.iter().position(|column| column == name || (name == "note" && column.starts_with(name)));
        at.and_then(|at| row.get(at)).unwrap_or_default()
    };
    let planned = ["planned forged", "planned ground", "planned finished"].map(cell);
    Place {
        what: cell("what"),
        station: cell("station"),
        height: cell("height"),
        planned,
        note: cell("note"),
    }
}
