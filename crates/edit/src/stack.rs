//! A blade of one steel made one of welded bars.

use blade::Stage;
use design::{Design, Unit};

use crate::tables::insert;
use crate::values::{put_length, unset};

/// Width of the bars as a share of the greatest forged thickness: what is drawn out to less than half keeps its layers fine
/// (common practice, no source).
const WIDTH: f64 = 1.6;
/// Heights of the bars from the back to the edge, as shares of the breadth of the forged blade: an edge broad enough to
/// harden and to be sharpened for years (common practice, no source).
const SHARES: [f64; 4] = [0.22, 0.22, 0.22, 0.34];
/// Sizes are rounded up to this part of the unit: a millimetre, or an eighth of an inch.
const PARTS: [f64; 2] = [1.0, 8.0];

/// A twist of one turn to the `right` or `left` in the usual length, all along a bar, as a file in this unit says it.
pub fn twisted(hand: &str, unit: Unit) -> String {
    let per = design::usual_per(unit) / unit.millimetres();
    format!("[{{ hand = \"{hand}\", turns = 1, per = {per} }}]")
}

/// The text with a billet of four bars in the place of the one steel: a back, two bars of seven layers twisted against each
/// other, and an edge of the steel that it was. `None` where the design has a billet, or the file no room.
pub fn weld(text: &str, design: &Design) -> Option<String> {
    if design.billet().is_some() {
        return None;
    }
    let figures = design.figures();
    let step = figures.unit.millimetres() / PARTS[usize::from(figures.unit == Unit::Inch)];
    let up = |mm: f64| (mm / step).ceil() * step;
    let (low, high) = design.blade().loft(Stage::Forged).bounds();
    let edge = design.one_steel().map_or("C75S", |steel| steel.name.as_str());
    let text = unset(text, "steel").unwrap_or_else(|| text.to_owned());
    let text = put_length(&text, "billet.width", up(WIDTH * (high.z - low.z)), figures)?;
    let layers = [("name", "Sevens"), ("steels", "[\"C75S\", \"75Ni8\"]"), ("count", "7")];
    let text = insert(&text, "layers", 0, &layers)?;
    let [right, left] = ["right", "left"].map(|hand| twisted(hand, figures.unit));
    let bars: [&[(&str, &str)]; 4] = [
        &[("name", "Back"), ("steel", "C45")],
        &[("name", "Upper twist"), ("layers", "Sevens"), ("twist", &right)],
        &[("name", "Lower twist"), ("layers", "Sevens"), ("twist", &left)],
        &[("name", "Edge"), ("steel", edge)],
    ];
    let each = bars.iter().zip(SHARES).enumerate();
    each.into_iter().try_fold(text, |text, (i, (bar, share))| {
        let text = insert(&text, "bar", i, bar)?;
        put_length(&text, &format!("bar[{i}].height"), up(share * (high.y - low.y)), figures)
    })
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn every_starter_becomes_a_blade_of_four_bars() {
        for unit in [Unit::Millimetre, Unit::Inch] {
            for form in ["straight-back", "broken-back", "curved-back", "dropped-point"] {
                let starter = design::starter("Ferry seax", unit);
                let own = ["outline.break_at", "outline.break_breadth"];
                let plain = own.iter().fold(starter, |text, path| match form {
                    "broken-back" => text,
                    _ => unset(&text, path).unwrap(),
                });
                let text = crate::put(&plain, "outline.form", form).unwrap();
                let design = design::read(text.as_bytes()).unwrap_or_else(|p| panic!("{form}: {p:?}"));
                let welded = weld(&text, &design).unwrap();
                let design =
                    design::read(welded.as_bytes()).unwrap_or_else(|p| panic!("{form}: {p:?}\n{welded}"));
                assert_eq!(design.billet().unwrap().bars().len(), 4);
                assert!(weld(&welded, &design).is_none());
                let thin = design.warnings().iter().find(|w| w.code.contains("stack"));
                assert!(thin.is_none(), "{form}: {thin:?}");
            }
        }
    }
}
