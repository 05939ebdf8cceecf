//! The `[[fuller]]` tables: grooves along the flanks.

use blade::{Fuller, Sides};

use crate::file::checker::{Checker, REACH, SIZE};
use crate::file::draft::{Field, Length, table};
use crate::tables::blade::section::SidesWord;

/// Most fullers: three a side is already rare, and each side may have its own.
const MOST_FULLERS: usize = 8;
/// Run-ins and run-outs accepted, mm: shorter is a step, not a run-out.
const RUNS: std::ops::RangeInclusive<f64> = 0.5..=3000.0;
/// Run-in unless given, mm: about the radius of a small wheel.
const RUN_IN: f64 = 20.0;
/// Run-out unless given, mm: fullers fade longer towards the point.
const RUN_OUT: f64 = 30.0;

table! {
    /// A groove along the flank.
    FullerDraft {
        /// Station where it begins; 0 (default) runs it out through the shoulder.
        start: Length,
        /// Station where it ends.
        #[schemars(required)]
        end: Length,
        /// Length over which its depth grows at the start. Default 20 mm. Unused when it starts at 0.
        run_in: Length,
        /// Length over which its depth fades at the end. Default 30 mm.
        run_out: Length,
        /// Distance of its upper border from the back.
        #[schemars(required)]
        from_back: Length,
        /// Its width.
        #[schemars(required)]
        width: Length,
        /// Its depth below the flank.
        #[schemars(required)]
        depth: Length,
        /// Sides it lies on. Default `both`.
        sides: SidesWord,
    }
}

/// Checks the fullers, if any.
pub(crate) fn check(draft: Option<&Field<Vec<Field<FullerDraft>>>>, c: &mut Checker) -> Vec<Fuller> {
    let Some(field) = draft else { return Vec::new() };
    c.count(field, MOST_FULLERS, "fullers");
    field.value.iter().map(|f| fuller(f, c)).collect()
}

/// A fuller from its table.
fn fuller(field: &Field<FullerDraft>, c: &mut Checker) -> Fuller {
    let (draft, path) = (&field.value, |key: &str| format!("{}.{key}", field.at));
    Fuller {
        start: c.length_or(draft.start.as_ref(), REACH, 0.0),
        end: c.length_needed(draft.end.as_ref(), &path("end"), SIZE),
        run_in: c.length_or(draft.run_in.as_ref(), RUNS, RUN_IN),
        run_out: c.length_or(draft.run_out.as_ref(), RUNS, RUN_OUT),
        from_back: c.length_needed(draft.from_back.as_ref(), &path("from_back"), REACH),
        width: c.length_needed(draft.width.as_ref(), &path("width"), 0.1..=200.0),
        depth: c.length_needed(draft.depth.as_ref(), &path("depth"), 0.01..=50.0),
        sides: draft.sides.as_ref().map_or(Sides::Both, |s| s.value.into()),
    }
}
