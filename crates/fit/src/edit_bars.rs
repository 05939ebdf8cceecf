//! The bars of a design file with other heights, starts and turns, and the stages with another forging allowance.

use blade::{Part, Stage};
use design::{Design, Unit};
use laminate::Bar;
use toml_edit::{DocumentMut, InlineTable, Item, Table, TableLike, Value};

use crate::bars::BarChanges;
use crate::edit::{Pen, nth};

/// Decimals of angles in degrees and of turns: far under what a hand turns.
const ANGLES: i32 = 3;
const TURNS: i32 = 5;
/// A bar may begin at most so far turned, degrees; half a turn less looks the same.
const FURTHEST: f64 = 360.0;
const HALF_TURN: f64 = 180.0;

/// Writes what is changed of the bars.
pub(crate) fn write(document: &mut DocumentMut, changes: &BarChanges, design: &Design, pen: Pen) {
    let Some(billet) = design.billet() else { return };
    for (i, bar) in billet.bars().iter().enumerate() {
        let Some(table) = nth(document, "bar", i) else { continue };
        heights(table, (bar, design.height_ends().get(i).copied().flatten()), (changes, i), pen);
        if changes.starts[i].abs() > 0.0 {
            let degrees = bar.twist.angle(-1.0).to_degrees() + 360.0 * changes.starts[i];
            let back = if degrees.abs() > FURTHEST { HALF_TURN * degrees.signum() } else { 0.0 };
            pen.new_number(table, "phase", degrees - back, ANGLES);
        }
        if (changes.turns[i] - 1.0).abs() > 0.0 {
            turns(table, changes.turns[i], design.unit(), pen);
        }
    }
}

/// The height of a bar, however the file gives it, where it changes.
fn heights(
    table: &mut dyn TableLike,
    (bar, ends): (&Bar, Option<[f64; 2]>),
    (changes, i): (&BarChanges, usize),
    pen: Pen,
) {
    let (new, old) = (changes.heights[i], bar.height.at(0.0));
    let point = ends.zip(changes.points[i]).map(|(ends, new)| (ends[1], new));
    if (new - old).abs() <= 0.0 && point.is_none_or(|(old, new)| (new - old).abs() <= 0.0) {
        return;
    }
    let Some(Value::Array(list)) = table.get_mut("height").and_then(Item::as_value_mut) else {
        return pen.length(table, "height", new);
    };
    if let Some((_, point)) = point {
        let ends = list.iter_mut().zip([new, point]);
        return ends.for_each(|(value, mm)| pen.write(Some(value), mm / pen.unit, pen.places()));
    }
    let tables = list.iter_mut().filter_map(Value::as_inline_table_mut);
    // A bar of like heights everywhere has one place.
    for (k, place) in tables.enumerate() {
        let height = bar.height.places().get(k).map_or(old, |place| place.1);
        pen.length(place, "is", height * new / old);
    }
}

/// Every stretch of a bar's twist with so many times its turns.
fn turns(bar: &mut dyn TableLike, times: f64, unit: Unit, pen: Pen) {
    match bar.get_mut("twist") {
        Some(Item::ArrayOfTables(tables)) => {
            tables.iter_mut().for_each(|table| stretch(table, times, unit, pen));
        }
        Some(Item::Value(Value::Array(array))) => {
            let tables = array.iter_mut().filter_map(Value::as_inline_table_mut);
            tables.for_each(|table| stretch(table, times, unit, pen));
        }
        _ => {}
    }
}

/// One stretch: more turns, or a shorter pitch.
fn stretch(table: &mut dyn TableLike, times: f64, unit: Unit, pen: Pen) {
    if let Some(turns) = table.get("turns").and_then(|item| number(item.as_value()?)) {
        pen.new_number(table, "turns", turns * times, TURNS);
    }
    let Some(pitch) = table.get_mut("pitch").and_then(Item::as_value_mut) else { return };
    if let Value::Array(stations) = pitch {
        for station in stations.iter_mut().filter_map(Value::as_inline_table_mut) {
            shorten(station.get_mut("is"), times, unit, pen);
        }
    } else {
        shorten(Some(pitch), times, unit, pen);
    }
}

/// A length of a full turn that gets shorter as the turns get more.
fn shorten(value: Option<&mut Value>, times: f64, unit: Unit, pen: Pen) {
    let Some(value) = value else { return };
    let mm = match value.as_str() {
        Some(text) => design::length(text, unit).ok(),
        None => number(value).map(|plain| plain * pen.unit),
    };
    if let Some(mm) = mm {
        pen.write(Some(value), mm / times / pen.unit, pen.places());
    }
}

fn number(value: &Value) -> Option<f64> {
    value.as_float().or_else(|| value.as_integer().map(|whole| whole as f64))
}

/// So many times the forging allowance, and the stack as wide as that needs.
pub(crate) fn allowance(design: &Design, document: &mut DocumentMut, times: f64, pen: Pen) {
    let before = design.blade().spec().stages.forged_allowance;
    if let Some(forged) = forged(document) {
        pen.new_length(forged, "allowance", before * times);
    }
    let (Some(billet), Some(table)) = (design.billet(), document.get_mut("billet")) else { return };
    let width = needed(design, before * (times - 1.0));
    if let Some(table) = table.as_table_like_mut().filter(|_| width > billet.width()) {
        pen.length(table, "width", width);
    }
}

/// The table of the forged stage, made where it is absent.
fn forged(document: &mut DocumentMut) -> Option<&mut dyn TableLike> {
    let stages = document.entry("stages").or_insert_with(|| Item::Table(Table::new()));
    let stages = stages.as_table_like_mut()?;
    if stages.get("forged").is_none() {
        stages.insert("forged", toml_edit::value(InlineTable::new()));
    }
    stages.get_mut("forged")?.as_table_like_mut()
}

/// How wide the stack has to be for a blade forged thicker by `more` a side (mm): as the forged blade is thick, and as its
/// greatest section asks of the stack's height. A stack that is too narrow already gets wider by what is added.
fn needed(design: &Design, more: f64) -> f64 {
    let (Some(billet), Some(lay)) = (design.billet(), design.lay()) else { return 0.0 };
    let loft = design.blade().loft(Stage::Forged);
    let length = design.blade().length();
    let stations = (0..=100).map(|i| length * f64::from(i) / 100.0);
    let read = stations.filter_map(|x| Some((loft.station(x)?, lay.stretch(x)?)));
    let wide = read.map(|(station, stretch)| {
        let stack = billet.section(Part::Blade, lay.along(station.at));
        let (section, height) = (stack / stretch + 2.0 * more * station.breadth, stack / billet.width());
        (station.thickness + 2.0 * more).max(section / height)
    });
    let (wide, room) = (wide.fold(0.0, f64::max), billet.width());
    let now = wide - 2.0 * more;
    if now > room { room + 2.0 * more } else { wide.max(room) }
}
