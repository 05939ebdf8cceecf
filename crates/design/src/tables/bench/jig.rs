//! The `[jig]` table: the twisting jig's bore and the bar's end tab that an insert joins.

use std::f64::consts::SQRT_2;
use std::ops::RangeInclusive;

use crate::file::checker::Checker;
use crate::file::draft::{Field, Length, Number, table, words};
use crate::file::problem::Fault;
use crate::unit::quantity::Unit;

/// Sizes of bores accepted, mm: from a tap wrench to a heavy press's spindle.
const SIZES: RangeInclusive<f64> = 10.0..=150.0;
/// Sides of tabs accepted, mm: from a thin rod's to the most that a large bore takes.
const TABS: RangeInclusive<f64> = 4.0..=100.0;
/// Length of the insert inside the bore unless given, mm (common practice, no source).
const DEPTH: f64 = 30.0;
/// Lengths accepted, mm: shorter ones tilt, longer ones stick.
const DEPTHS: RangeInclusive<f64> = 10.0..=150.0;
/// How far the flange stands out unless given, mm: bears on the jig's face (common practice, no source).
const FLANGE: f64 = 8.0;
/// Flanges accepted, mm.
const FLANGES: RangeInclusive<f64> = 6.0..=40.0;
/// Thickness of the flange unless given, mm (common practice, no source).
const FLANGE_THICKNESS: f64 = 5.0;
/// Thicknesses of flanges accepted, mm.
const FLANGE_THICKNESSES: RangeInclusive<f64> = 3.0..=20.0;
/// Diameter of the set screw's hole unless given, mm: taps M6 (common practice, no source).
const SCREW: f64 = 5.0;
/// The same four of an inch shop: 1 1/4, 5/16 and 3/16 in, and 0.201 in, the drill that taps 1/4-20 (from memory).
const INCHES: [f64; 4] = [1.25, 0.3125, 0.1875, 0.201];
/// Diameters accepted, mm: smaller screws hold nothing against a twist.
const SCREWS: RangeInclusive<f64> = 2.0..=16.0;
/// Sides of twisted bars accepted, mm.
const BARS: RangeInclusive<f64> = 4.0..=60.0;
/// Hot flow stress unless given, MPa: the middle of 30 to 80 at forging heat (common practice, no source).
const FLOW_STRESS: f64 = 50.0;
/// Flow stresses accepted, MPa: from welding heat to a dull red.
const FLOW_STRESSES: RangeInclusive<f64> = 5.0..=300.0;
/// Least wall between a tab's flat and the bore, on both sides together, mm: 4 mm a side carry the tab's
/// pressure in a cast or printed insert (common practice, no source).
const FLAT_WALLS: f64 = 8.0;
/// Least wall between a tab's corners and the bore, on both sides together, mm: 3 mm a side, less than at the
/// flats because only the corner comes so near (common practice, no source).
const CORNER_WALLS: f64 = 6.0;

/// The twisting jig's bore, the insert in it and the bar it turns.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Jig {
    /// The bore's form.
    pub bore: Bore,
    /// The bore across its flats, or its diameter, mm, from 10 to 150.
    pub size: f64,
    /// Side of the square tab forged on the bar's end, mm, from 4 to 100, within the wall that `size` leaves.
    pub tab: f64,
    /// Length of the insert inside the bore, mm, from 10 to 150.
    pub depth: f64,
    /// How far the flange stands out all around the bore, mm, from 6 to 40.
    pub flange: f64,
    /// Thickness of the flange, mm, from 3 to 20.
    pub flange_thickness: f64,
    /// Diameter of the cross hole for a set screw, mm, from 2 to 16; `None` without one.
    pub screw: Option<f64>,
    /// Side of the square bar being twisted, mm, from 4 to 60, where it is known.
    pub bar: Option<f64>,
    /// Flow stress of the hot steel, MPa, from 5 to 300.
    pub flow_stress: f64,
}

/// Form of a bore.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Bore {
    /// Four flats.
    Square,
    /// Six flats.
    Hexagon,
    /// A cylinder.
    Round,
}

words! {
    /// Form of a bore.
    BoreWord {
        /// Four flats.
        Square = "square",
        /// Six flats.
        Hexagon = "hexagon",
        /// A cylinder.
        Round = "round",
    }
}

impl From<BoreWord> for Bore {
    fn from(word: BoreWord) -> Bore {
        match word {
            BoreWord::Square => Bore::Square,
            BoreWord::Hexagon => Bore::Hexagon,
            BoreWord::Round => Bore::Round,
        }
    }
}

table! {
    /// The twisting jig's bore and the bar's end tab that an insert joins.
    JigDraft {
        /// The bore's form: `square` (default), `hexagon` or `round`.
        bore: BoreWord,
        /// The bore across its flats, or its diameter.
        #[schemars(required)]
        size: Length,
        /// Side of the square tab forged on the bar's end; at least 8 mm less than `size`, and its diagonal at
        /// least 6 mm less than a hexagonal or round bore.
        #[schemars(required)]
        tab: Length,
        /// Length of the insert inside the bore. Default 30 mm, or 1 1/4 in where `unit` is `in`.
        depth: Length,
        /// How far the insert's flange stands out all around. Default 8 mm, or 5/16 in.
        flange: Length,
        /// Thickness of the flange. Default 5 mm, or 3/16 in.
        flange_thickness: Length,
        /// Diameter of the cross hole for a set screw. Default 5 mm, or 0.201 in; 0 for none.
        screw: Length,
        /// Side of the square bar being twisted.
        bar: Length,
        /// Flow stress of the hot steel in MPa. Default 50.
        flow_stress: Number,
    }
}

/// Checks the table, if any.
pub(crate) fn check(draft: Option<&Field<JigDraft>>, c: &mut Checker) -> Option<Jig> {
    let draft = &draft?.value;
    let bore = draft.bore.as_ref().map_or(Bore::Square, |b| b.value.into());
    let size = c.length_required(draft.size.as_ref(), "jig.size", SIZES);
    let tab = c.length_required(draft.tab.as_ref(), "jig.tab", TABS);
    if let (Some(size), Some(tab)) = (size, tab) {
        walled(bore, size, tab, c);
    }
    let usual = match c.unit {
        Unit::Millimetre => [DEPTH, FLANGE, FLANGE_THICKNESS, SCREW],
        Unit::Inch => INCHES.map(|inches| inches * Unit::Inch.millimetres()),
    };
    let depth = c.length_or(draft.depth.as_ref(), DEPTHS, usual[0]);
    let flange = c.length_or(draft.flange.as_ref(), FLANGES, usual[1]);
    let flange_thickness = c.length_or(draft.flange_thickness.as_ref(), FLANGE_THICKNESSES, usual[2]);
    let screw = c.length_or_none(draft.screw.as_ref(), SCREWS, usual[3]);
    let bar = c.length(draft.bar.as_ref(), BARS);
    let flow_stress = c.number(draft.flow_stress.as_ref(), FLOW_STRESSES, " MPa").unwrap_or(FLOW_STRESS);
    Some(Jig { bore, size: size?, tab: tab?, depth, flange, flange_thickness, screw, bar, flow_stress })
}

/// Says when a tab (mm) leaves the insert too little wall.
fn walled(bore: Bore, size: f64, tab: f64, c: &mut Checker) {
    let most = most_tab(bore, size);
    if tab > most {
        let (tab, size, most) = (c.length_text(tab), c.length_text(size), c.upper_limit_text(most));
        c.fault("jig.tab", &Fault::ThinWall { tab, size, most });
    }
}

/// The largest tab in a bore of this size, mm. Flats of the tab face flats of a square bore, so the wall is
/// thinnest there. A round bore curves away to the tab's corners, and a hexagon has a flat before some of them,
/// so in both the tab's corners must lie well inside the inscribed circle of diameter `size` too.
fn most_tab(bore: Bore, size: f64) -> f64 {
    let flats = size - FLAT_WALLS;
    match bore {
        Bore::Square => flats,
        Bore::Hexagon | Bore::Round => flats.min((size - CORNER_WALLS) / SQRT_2),
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn walls_stay_at_flats_and_corners() {
        for tenths in 120..=1500 {
            let size = f64::from(tenths) / 10.0;
            for bore in [Bore::Square, Bore::Hexagon, Bore::Round] {
                let tab = most_tab(bore, size);
                assert!(size - tab >= 8.0 - 1e-9, "{bore:?} {size}");
                let corner = 0.5 * size - SQRT_2 * 0.5 * tab;
                assert!(bore == Bore::Square || corner >= 3.0 - 1e-9, "{bore:?} {size}");
            }
        }
        assert!((most_tab(Bore::Square, 40.0) - 32.0).abs() < 1e-12);
        assert!((most_tab(Bore::Round, 40.0) - 34.0 / SQRT_2).abs() < 1e-12);
    }
}
