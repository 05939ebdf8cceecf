//! The `[shop]` table: what the printer can do and how fine the meshes shall be.

use crate::checker::Checker;
use crate::draft::{Field, Length, table};

/// The shop's printer, tolerance and fits, mm.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Shop {
    /// Room on the printer's bed: width, depth, height, mm.
    pub bed: [f64; 3],
    /// Most that a mesh may stand off the true surface, mm, from 0.001 to 1.
    pub tolerance: f64,
    /// Width of the printer's nozzle, mm.
    pub nozzle: f64,
    /// Gap a side for parts pressed together, mm.
    pub press: f64,
    /// Gap a side for parts that slide, mm.
    pub sliding: f64,
    /// Gap a side for parts that drop in, mm.
    pub loose: f64,
    /// Thickness of the bar the blade is forged from, mm, where it is known.
    pub bar: Option<f64>,
}

impl Default for Shop {
    /// A common desktop printer; the fits are the middle of common practice (no source).
    fn default() -> Shop {
        Shop {
            bed: [220.0, 220.0, 250.0],
            tolerance: 0.02,
            nozzle: 0.4,
            press: 0.1,
            sliding: 0.25,
            loose: 0.4,
            bar: None,
        }
    }
}

table! {
    /// Gaps a side between printed parts.
    ClearanceDraft {
        /// For parts pressed together; 0.1 mm unless given.
        press: Length,
        /// For parts that slide; 0.25 mm unless given.
        sliding: Length,
        /// For parts that drop in; 0.4 mm unless given.
        loose: Length,
    }
}

table! {
    /// What the printer can do and how fine the meshes shall be.
    ShopDraft {
        /// Room on the printer's bed: width, depth, height; 220, 220, 250 mm unless given.
        bed: [Field<Length>; 3],
        /// Most that a mesh may stand off the true surface; 0.02 mm unless given, from 0.001 to 1 mm.
        tolerance: Length,
        /// Width of the printer's nozzle; 0.4 mm unless given.
        nozzle: Length,
        /// Gaps a side between printed parts.
        clearance: ClearanceDraft,
        /// Thickness of the bar the blade is forged from; where given, no part of the forged blade may be thicker.
        bar: Length,
    }
}

/// Checks the table; without one, every default holds.
pub(crate) fn check(draft: Option<&Field<ShopDraft>>, c: &mut Checker) -> Shop {
    let usual = Shop::default();
    let Some(Field { value: draft, .. }) = draft else { return usual };
    let mut bed = usual.bed;
    for (side, field) in bed.iter_mut().zip(draft.bed.iter().flat_map(|b| &b.value)) {
        *side = c.length_or(Some(field), 20.0..=3000.0, *side);
    }
    let gaps = draft.clearance.as_ref().map(|f| &f.value);
    let mut gap = |field: Option<&Field<Length>>, usual| c.length_or(field, 0.0..=2.0, usual);
    let press = gap(gaps.and_then(|g| g.press.as_ref()), usual.press);
    let sliding = gap(gaps.and_then(|g| g.sliding.as_ref()), usual.sliding);
    let loose = gap(gaps.and_then(|g| g.loose.as_ref()), usual.loose);
    Shop {
        bed,
        tolerance: c.length_or(draft.tolerance.as_ref(), 0.001..=1.0, usual.tolerance),
        nozzle: c.length_or(draft.nozzle.as_ref(), 0.05..=5.0, usual.nozzle),
        press,
        sliding,
        loose,
        bar: draft.bar.as_ref().map(|b| c.length_or(Some(b), 1.0..=100.0, 100.0)),
    }
}
