//! A new design: the starter with a form and sizes of its own.

use design::{Figures, Unit};

use crate::values::{put, put_length, unset};

/// The forms that a blade can begin with, as files spell them.
pub const FORMS: [&str; 4] = ["straight-back", "broken-back", "curved-back", "dropped-point"];

/// Where the back breaks, and the taper's middle station, as a share of the length; and how much broader a broken back is
/// there than at the shoulder. As on the starter.
const BREAK: f64 = 0.7;
const BROADER: f64 = 1.08;
/// Sizes that follow from others are rounded to these parts of the unit: half a millimetre, a sixteenth of an inch.
const PARTS: [f64; 2] = [2.0, 16.0];

/// The starter of a name in a unit, with a form of [`FORMS`], a length and a breadth at the shoulder, mm. Whether that is a
/// blade, [`design::read`] tells.
pub fn begin(name: &str, unit: Unit, form: &str, length: f64, breadth: f64) -> String {
    let figures = Figures::of(unit);
    let step = unit.millimetres() / PARTS[usize::from(unit == Unit::Inch)];
    let near = |mm: f64| (mm / step).round() * step;
    let lengths = [
        ("outline.length", length),
        ("outline.breadth", breadth),
        ("outline.break_at", near(BREAK * length)),
        ("outline.break_breadth", near(BROADER * breadth)),
        ("taper[1].at", near(BREAK * length)),
        ("taper[2].at", length),
    ];
    // The starter has a place for each of these: where it had none, it would stand as it was.
    let text = design::starter(name, unit);
    let text = put(&text, "outline.form", form).unwrap_or(text);
    let text = lengths
        .into_iter()
        .fold(text, |text, (path, mm)| put_length(&text, path, mm, figures).unwrap_or(text));
    let broken = ["outline.break_at", "outline.break_breadth"];
    let spare = broken.into_iter().filter(|_| form != "broken-back");
    spare.fold(text, |text, path| unset(&text, path).unwrap_or(text))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn every_form_and_size_begins_as_a_blade() {
        for unit in [Unit::Millimetre, Unit::Inch] {
            for form in FORMS {
                for (length, breadth) in
                    [(120.0, 22.0), (330.0, 34.0), (9.25 * 25.4, 1.375 * 25.4), (760.0, 45.0)]
                {
                    let text = begin("Ferry seax", unit, form, length, breadth);
                    let design =
                        design::read(text.as_bytes()).unwrap_or_else(|p| panic!("{form} {length}: {p:?}"));
                    assert!((design.blade().length() - length).abs() < 0.01, "{form} {length}");
                    assert_eq!(design.unit(), unit);
                    assert!(design.warnings().is_empty(), "{form} {length}: {:?}", design.warnings());
                }
            }
        }
    }
}
