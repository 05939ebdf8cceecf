//! The `[shop]` table: the printer, the paper, the stop blocks, and how fine the meshes are.

use crate::file::checker::Checker;
use crate::file::draft::{Field, Length, table};
use crate::file::problem::Fault;
use crate::tables::bench::paper::{Paper, PaperWord};
use crate::unit::quantity::Unit;

/// Most stop blocks: more than ever lie beside one hammer.
const MOST_STOPS: usize = 12;
/// Thicknesses of stop blocks accepted, mm: from the thinnest blade to the largest billet.
const STOPS: std::ops::RangeInclusive<f64> = 2.0..=200.0;
/// What stays free along each side of the bed unless given, mm: a slicer's brim and skirt go there (common practice, no
/// source).
const MARGIN: f64 = 5.0;
/// Margins accepted, mm: more is not the printer's.
const MARGINS: std::ops::RangeInclusive<f64> = 0.0..=50.0;
/// The least that margins leave of a bed, mm: half the least bed accepted.
const LEAST_ROOM: f64 = 10.0;
/// Nozzles accepted, mm: from the finest sold to the coarsest for large prints (common practice, no source).
const NOZZLES: std::ops::RangeInclusive<f64> = 0.1..=2.0;

/// The shop's printer, tolerance, fits, paper and stop blocks, mm.
#[derive(Clone, Debug, PartialEq)]
pub struct Shop {
    /// Room on the printer's bed: width, depth, height, mm.
    pub bed: [f64; 3],
    /// What stays free along each side of the bed for brim and skirt, mm, from 0 to 50; at least 10 mm of the bed are left.
    pub bed_margin: f64,
    /// Most that a mesh may stand off the true surface, mm, from 0.001 to 1.
    pub tolerance: f64,
    /// Width of the printer's nozzle, mm, from 0.1 to 2.
    pub nozzle: f64,
    /// Gap a side for parts pressed together, mm.
    pub press: f64,
    /// Gap a side for parts that slide, mm.
    pub sliding: f64,
    /// Gap a side for parts that drop in, mm.
    pub loose: f64,
    /// Thickness of the bar the blade is forged from, mm, where it is known.
    pub bar: Option<f64>,
    /// The sheet that templates are printed on.
    pub paper: Paper,
    /// Thicknesses of the stop blocks under the hammer, mm, from 2 to 200, decreasing; at most 12. May be empty.
    pub stops: Vec<f64>,
}

impl Shop {
    /// What the margins leave of the bed: width, depth, height, mm.
    pub fn room(&self) -> [f64; 3] {
        let [width, depth, height] = self.bed;
        [width - 2.0 * self.bed_margin, depth - 2.0 * self.bed_margin, height]
    }

    /// A common desktop printer; the fits are the middle of common practice (no source). Paper and stop blocks
    /// are those sold and sawn in the file's unit.
    fn usual(unit: Unit) -> Shop {
        Shop {
            bed: [220.0, 220.0, 250.0],
            bed_margin: MARGIN,
            tolerance: 0.02,
            nozzle: 0.4,
            press: 0.1,
            sliding: 0.25,
            loose: 0.4,
            bar: None,
            paper: Paper::usual(unit),
            stops: usual_stops(unit),
        }
    }
}

/// Steps from a billet down to a blade, mm (common practice, no source).
fn usual_stops(unit: Unit) -> Vec<f64> {
    match unit {
        Unit::Millimetre => vec![40.0, 30.0, 25.0, 20.0, 16.0, 12.0, 10.0, 8.0, 6.0],
        Unit::Inch => {
            let inches = [1.5, 1.25, 1.0, 0.75, 0.625, 0.5, 0.375, 0.3125, 0.25];
            inches.map(|stop| stop * unit.millimetres()).to_vec()
        }
    }
}

table! {
    /// Gaps a side between printed parts.
    ClearanceDraft {
        /// For parts pressed together. Default 0.1 mm.
        press: Length,
        /// For parts that slide. Default 0.25 mm.
        sliding: Length,
        /// For parts that drop in. Default 0.4 mm.
        loose: Length,
    }
}

table! {
    /// The shop's printer, paper and stop blocks, and how fine the meshes are.
    ShopDraft {
        /// Room on the printer's bed: width, depth, height. Default 220, 220, 250 mm.
        bed: [Field<Length>; 3],
        /// What stays free along each side of the bed for brim and skirt. Default 5 mm; 0 for none.
        bed_margin: Length,
        /// Most that a mesh may stand off the true surface. Default 0.02 mm; from 0.001 to 1 mm.
        tolerance: Length,
        /// Width of the printer's nozzle. Default 0.4 mm.
        nozzle: Length,
        /// Gaps a side between printed parts.
        clearance: ClearanceDraft,
        /// Thickness of the bar the blade is forged from; where given, no part of the forged blade may be thicker.
        bar: Length,
        /// The sheet that templates are printed on: `a4` (default), `a3` or `letter` (default where `unit` is `in`).
        paper: PaperWord,
        /// Thicknesses of the stop blocks under the hammer in decreasing order, at most 12. Default 40, 30, 25, 20, 16,
        /// 12, 10, 8 and 6 mm; where `unit` is `in`, 1.5, 1.25, 1, 3/4, 5/8, 1/2, 3/8, 5/16 and 1/4 in.
        stops: Vec<Field<Length>>,
    }
}

/// Checks the table; without one, every default holds.
pub(crate) fn check(draft: Option<&Field<ShopDraft>>, c: &mut Checker) -> Shop {
    let usual = Shop::usual(c.unit);
    let Some(Field { value: draft, .. }) = draft else { return usual };
    let mut bed = usual.bed;
    for (side, field) in bed.iter_mut().zip(draft.bed.iter().flat_map(|b| &b.value)) {
        *side = c.length_or(Some(field), 20.0..=3000.0, *side);
    }
    let most = MARGINS.end().min(0.5 * (bed[0].min(bed[1]) - LEAST_ROOM));
    let gaps = draft.clearance.as_ref().map(|f| &f.value);
    let mut gap = |field: Option<&Field<Length>>, usual| c.length_or(field, 0.0..=2.0, usual);
    let press = gap(gaps.and_then(|g| g.press.as_ref()), usual.press);
    let sliding = gap(gaps.and_then(|g| g.sliding.as_ref()), usual.sliding);
    let loose = gap(gaps.and_then(|g| g.loose.as_ref()), usual.loose);
    Shop {
        bed,
        bed_margin: c.length_or(draft.bed_margin.as_ref(), *MARGINS.start()..=most, usual.bed_margin),
        tolerance: c.length_or(draft.tolerance.as_ref(), 0.001..=1.0, usual.tolerance),
        nozzle: c.length_or(draft.nozzle.as_ref(), NOZZLES, usual.nozzle),
        press,
        sliding,
        loose,
        bar: draft.bar.as_ref().map(|b| c.length_or(Some(b), 1.0..=100.0, 100.0)),
        paper: draft.paper.as_ref().map_or(usual.paper, |p| p.value.into()),
        stops: draft.stops.as_ref().map_or(usual.stops, |list| stops(list, c)),
    }
}

/// The stop blocks given, mm, each thinner than the one before it.
fn stops(list: &Field<Vec<Field<Length>>>, c: &mut Checker) -> Vec<f64> {
    c.count(list, MOST_STOPS, "stop blocks");
    let mut stops: Vec<f64> = Vec::new();
    for field in &list.value {
        let Some(stop) = c.length(Some(field), STOPS) else { continue };
        if let Some(&before) = stops.last().filter(|&&before| stop >= before) {
            let fault = Fault::Rising { stop: c.length_text(stop), before: c.length_text(before) };
            c.fault(&field.at, &fault);
        }
        stops.push(stop);
    }
    stops
}
