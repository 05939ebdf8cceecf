//! A design file with changed thicknesses, breadths, fittings and bars, everything else as it was.

use blade::{OutlineForm, OutlinePoint};
use design::Design;
use toml_edit::{DocumentMut, Item, TableLike, Value};

use crate::bars::BarChanges;
use crate::edit_bars;
use crate::knob::Knob;

/// Decimals of what is written: thousandths of a millimetre, hundred-thousandths of an inch, hundredths of a gram and
/// hundred-thousandths of an ounce or pound, finer than any caliper or scale of a workshop.
const PLACES: (i32, i32, i32, i32) = (3, 5, 2, 5);

/// A design file that is changed over and over, each time from its original.
pub(crate) struct Editor<'a> {
    pub(crate) design: &'a Design,
    document: DocumentMut,
    /// Whether its lines end with a carriage return, too.
    returns: bool,
}

/// How numbers are written.
#[derive(Clone, Copy, PartialEq, Eq)]
pub(crate) enum Figures {
    /// To every digit, for the search.
    Whole,
    /// As a smith reads them.
    Rounded,
}

impl<'a> Editor<'a> {
    /// `None` when the text, of which `design` was read, is no TOML.
    pub(crate) fn new(text: &str, design: &'a Design) -> Option<Editor<'a>> {
        Some(Editor { design, document: text.parse().ok()?, returns: text.contains("\r\n") })
    }

    /// The file with each knob's share of change.
    pub(crate) fn changed(&self, changes: &[(&Knob, f64)], figures: Figures) -> String {
        let mut document = self.document.clone();
        let share = |wanted: &Knob| changes.iter().find(|(k, _)| *k == wanted).map_or(0.0, |c| c.1);
        let thickness = (share(&Knob::Shoulder), share(&Knob::Point));
        let pen =
            Pen { unit: self.design.unit().millimetres(), mass: self.design.figures().mass.grams(), figures };
        if thickness.0.abs() + thickness.1.abs() > 0.0 {
            self.taper(&mut document, thickness, pen);
        }
        if share(&Knob::Breadth).abs() > 0.0 {
            self.outline(&mut document, 1.0 + share(&Knob::Breadth), pen);
        }
        for (knob, by) in changes.iter().filter(|(_, by)| by.abs() > 0.0) {
            match knob {
                Knob::Fitting(i, _) => self.fitting(&mut document, *i, 1.0 + by, pen),
                Knob::Station(i, _) => self.station(&mut document, *i, 1.0 + by, pen),
                Knob::Allowance => edit_bars::allowance(self.design, &mut document, 1.0 + by, pen),
                _ => {}
            }
        }
        edit_bars::write(&mut document, &BarChanges::new(self.design, changes), self.design, pen);
        self.ended(document.to_string())
    }

    /// The text with the line ends of the original, which the document forgets.
    fn ended(&self, text: String) -> String {
        if self.returns { text.replace('\n', "\r\n") } else { text }
    }

    /// Thickness changes by the first share at the shoulder, by the second at the point, and evenly in between.
    fn taper(&self, document: &mut DocumentMut, (shoulder, point): (f64, f64), pen: Pen) {
        let length = self.design.blade().length();
        for (i, station) in self.design.blade().spec().taper.iter().enumerate() {
            let u = (station.at / length).clamp(0.0, 1.0);
            self.station(document, i, 1.0 + (1.0 - u) * shoulder + u * point, pen);
        }
    }

    /// The thicknesses of a taper station.
    fn station(&self, document: &mut DocumentMut, i: usize, factor: f64, pen: Pen) {
        let station = self.design.blade().spec().taper[i];
        let Some(table) = nth(document, "taper", i) else { return };
        pen.length(table, "back", station.back * factor);
        if let Some(grind) = station.grind {
            pen.length(table, "grind", grind * factor);
        }
    }

    /// Everything measured across the blade grows by one factor.
    fn outline(&self, document: &mut DocumentMut, factor: f64, pen: Pen) {
        let Some(table) = document.get_mut("outline").and_then(Item::as_table_like_mut) else { return };
        for (key, breadth) in breadths(&self.design.blade().spec().outline.form) {
            pen.length(table, key, breadth * factor);
        }
        if let OutlineForm::Points { back, edge } = &self.design.blade().spec().outline.form {
            for (key, points) in [("back", back), ("edge", edge)] {
                pen.points(table, key, points, factor);
            }
        }
    }

    /// A fitting's mass; of one that is weighed by its material, the radius.
    fn fitting(&self, document: &mut DocumentMut, i: usize, factor: f64, pen: Pen) {
        let fitting = &self.design.fittings()[i];
        let Some(table) = nth(document, "fitting", i) else { return };
        let radius = fitting.radius * factor.sqrt();
        if table.contains_key("material") {
            pen.length(table, "radius", radius);
            pen.length(table, "diameter", 2.0 * radius);
        } else {
            pen.mass(table, "mass", fitting.mass * factor);
        }
    }
}

/// The keys of an outline that are measured across the blade, with their values, mm.
fn breadths(form: &OutlineForm) -> Vec<(&'static str, f64)> {
    match *form {
        OutlineForm::Points { .. } => Vec::new(),
        OutlineForm::StraightBack { breadth, point_height, .. }
        | OutlineForm::DroppedPoint { breadth, point_height, .. } => {
            vec![("breadth", breadth), ("point_height", point_height)]
        }
        OutlineForm::BrokenBack { breadth, break_breadth, point_height, .. } => {
            vec![("breadth", breadth), ("break_breadth", break_breadth), ("point_height", point_height)]
        }
        OutlineForm::CurvedBack { breadth, broadest, point_height, .. } => {
            vec![("breadth", breadth), ("broadest", broadest), ("point_height", point_height)]
        }
    }
}

/// A table of a list, however the file writes it.
pub(crate) fn nth<'d>(document: &'d mut DocumentMut, list: &str, i: usize) -> Option<&'d mut dyn TableLike> {
    match document.get_mut(list)? {
        Item::ArrayOfTables(tables) => tables.get_mut(i).map(|t| t as &mut dyn TableLike),
        Item::Value(Value::Array(array)) => {
            array.get_mut(i)?.as_inline_table_mut().map(|t| t as &mut dyn TableLike)
        }
        _ => None,
    }
}

/// Writes numbers in the file's unit over those that are there; keys that are absent stay so.
#[derive(Clone, Copy)]
pub(crate) struct Pen {
    /// The file's unit in mm.
    pub(crate) unit: f64,
    /// The file's unit of masses in g.
    mass: f64,
    figures: Figures,
}

impl Pen {
    pub(crate) fn length(self, table: &mut dyn TableLike, key: &str, mm: f64) {
        self.write(table.get_mut(key).and_then(Item::as_value_mut), mm / self.unit, self.places());
    }

    /// The same where the key may be absent yet.
    pub(crate) fn new_length(self, table: &mut dyn TableLike, key: &str, mm: f64) {
        self.new_number(table, key, mm / self.unit, self.places());
    }

    /// Any number where the key may be absent yet, rounded to so many decimals.
    pub(crate) fn new_number(self, table: &mut dyn TableLike, key: &str, number: f64, places: i32) {
        if table.get(key).is_none() {
            table.insert(key, toml_edit::value(number));
        }
        self.write(table.get_mut(key).and_then(Item::as_value_mut), number, places);
    }

    /// Decimals of lengths.
    pub(crate) fn places(self) -> i32 {
        if (self.unit - 1.0).abs() < 1e-9 { PLACES.0 } else { PLACES.1 }
    }

    fn mass(self, table: &mut dyn TableLike, key: &str, grams: f64) {
        let places = if (self.mass - 1.0).abs() < 1e-9 { PLACES.2 } else { PLACES.3 };
        self.write(table.get_mut(key).and_then(Item::as_value_mut), grams / self.mass, places);
    }

    /// Heights of an outline's own points.
    fn points(self, table: &mut dyn TableLike, key: &str, points: &[OutlinePoint], factor: f64) {
        let places = self.places();
        let Some(array) = table.get_mut(key).and_then(Item::as_array_mut) else { return };
        for (value, point) in array.iter_mut().zip(points) {
            let pair = match value {
                Value::Array(pair) => Some(pair),
                Value::InlineTable(table) => table.get_mut("at").and_then(Value::as_array_mut),
                _ => None,
            };
            self.write(pair.and_then(|p| p.get_mut(1)), point.at.y * factor / self.unit, places);
        }
    }

    /// Puts a number in the place of another, rounded to so many decimals, with the comments around it kept.
    pub(crate) fn write(self, place: Option<&mut Value>, number: f64, places: i32) {
        let Some(value) = place else { return };
        let power = 10_f64.powi(places);
        let number = match self.figures {
            Figures::Whole => number,
            Figures::Rounded => (number * power).round() / power,
        };
        let decor = value.decor().clone();
        *value = Value::from(number);
        *value.decor_mut() = decor;
    }
}
