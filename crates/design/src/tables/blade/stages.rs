//! The `[stages]` table: what each stage of the work still carries.

use blade::{OutlineAllowance, Stages};

use crate::file::checker::Checker;
use crate::file::draft::{Angle, Field, Length, table};
use crate::file::problem::Fault;

/// Grinding allowance a side after the hammer unless given, mm (common practice, no source).
const FORGED_ALLOWANCE: f64 = 0.8;
/// Edge after the hammer unless given, mm (common practice, no source), and the most of the thinnest forged
/// back that it takes.
const FORGED_EDGE: f64 = 2.5;
/// See [`FORGED_EDGE`].
const FORGED_EDGE_SHARE: f64 = 0.6;
/// Allowance a side before hardening unless given, mm (common practice, no source).
const GROUND_ALLOWANCE: f64 = 0.15;
/// Edge flat before hardening unless given, mm: 0.8 to 1.5 is usual (practice), thinner ones warp and burn. And the most
/// of the thinnest back that it takes.
const GROUND_EDGE: f64 = 1.0;
/// See [`GROUND_EDGE`].
const GROUND_EDGE_SHARE: f64 = 0.5;
/// The finished edge is never taken thinner than this by default, mm.
const LEAST_FINISHED: f64 = 0.1;
/// Included angle of the secondary bevel unless given, degrees (common practice, no source).
const EDGE_ANGLE: f64 = 30.0;
/// Allowances accepted, mm a side.
const ALLOWANCES: std::ops::RangeInclusive<f64> = 0.0..=10.0;
/// Edge thicknesses accepted, mm.
const EDGES: std::ops::RangeInclusive<f64> = 0.05..=20.0;
/// Included edge angles accepted, degrees: from a razor to a cold chisel.
const ANGLES: std::ops::RangeInclusive<f64> = 5.0..=90.0;

table! {
    /// Steel on the outline beyond the finished blade, for scale and for skin that lost carbon. A hidden tang gets
    /// none.
    OutlineDraft {
        /// Square to the edge. Default 0.
        edge: Length,
        /// Square to the back. Default 0.
        back: Length,
        /// Ahead of the point. Default: the greater of the two, as far as the lines reach.
        point: Length,
    }
}

table! {
    /// After the hammer and hot straightening.
    ForgedDraft {
        /// Steel left on each side beyond the ground blade. Default 0.8 mm.
        allowance: Length,
        /// Thickness of the edge. Default 2.5 mm, at most 0.6 of the thinnest forged thickness.
        edge: Length,
        /// How much larger the outline is forged than it will be. Default: no larger.
        outline: OutlineDraft,
    }
}

table! {
    /// Ground, before hardening.
    GroundDraft {
        /// Steel left on each side beyond the finished blade. Default 0.15 mm.
        allowance: Length,
        /// Thickness of the edge flat. Default 1 mm, at most half of the thinnest thickness.
        edge: Length,
    }
}

table! {
    /// Finished.
    FinishedDraft {
        /// Thickness of the primary bevel at the edge, before the secondary bevel. Default: the ground edge less the
        /// allowance on both sides.
        edge: Length,
        /// Included angle of the secondary bevel. Default 30 degrees, or 1.3 times the primary bevel's angle if that is
        /// more.
        edge_angle: Angle,
        /// Whether the edge is sharpened. Default true. False leaves it flat.
        sharp: bool,
    }
}

table! {
    /// How much steel each stage of the work still leaves on.
    StagesDraft {
        /// After the hammer and hot straightening.
        forged: ForgedDraft,
        /// Ground, before hardening.
        ground: GroundDraft,
        /// Finished.
        finished: FinishedDraft,
    }
}

/// Checks the table on a blade `thinnest` mm thick where it is thinnest; without one, every default holds.
pub(crate) fn check(draft: Option<&Field<StagesDraft>>, thinnest: f64, c: &mut Checker) -> Stages {
    let draft = draft.map(|f| &f.value);
    let forged = draft.and_then(|d| d.forged.as_ref()).map(|f| &f.value);
    let ground = draft.and_then(|d| d.ground.as_ref()).map(|f| &f.value);
    let finished = draft.and_then(|d| d.finished.as_ref()).map(|f| &f.value);
    let ground_allowance =
        c.length_or(ground.and_then(|g| g.allowance.as_ref()), ALLOWANCES, GROUND_ALLOWANCE);
    let usual = GROUND_EDGE.min(GROUND_EDGE_SHARE * thinnest);
    let ground_edge = c.length_or(ground.and_then(|g| g.edge.as_ref()), EDGES, usual);
    let allowance = forged.and_then(|f| f.allowance.as_ref());
    let forged_allowance = c.length_or(allowance, ALLOWANCES, FORGED_ALLOWANCE);
    let forged_back = thinnest + 2.0 * (forged_allowance + ground_allowance);
    let forged_edge = FORGED_EDGE.min(FORGED_EDGE_SHARE * forged_back);
    let finished_edge = (ground_edge - 2.0 * ground_allowance).max(LEAST_FINISHED);
    Stages {
        forged_allowance,
        forged_edge: c.length_or(forged.and_then(|f| f.edge.as_ref()), EDGES, forged_edge),
        forged_outline: outline(forged.and_then(|f| f.outline.as_ref()), c),
        ground_allowance,
        ground_edge,
        finished_edge: c.length_or(finished.and_then(|f| f.edge.as_ref()), EDGES, finished_edge),
        edge_angle: edge_angle(finished, c),
    }
}

/// How much larger the outline is forged.
fn outline(draft: Option<&Field<OutlineDraft>>, c: &mut Checker) -> OutlineAllowance {
    let draft = draft.map(|f| &f.value);
    let mut length = |pick: fn(&OutlineDraft) -> &Option<Field<Length>>| {
        c.length(draft.and_then(|d| pick(d).as_ref()), ALLOWANCES)
    };
    OutlineAllowance {
        edge: length(|d| &d.edge).unwrap_or(0.0),
        back: length(|d| &d.back).unwrap_or(0.0),
        point: length(|d| &d.point),
    }
}

/// The secondary bevel's included angle, rad; `None` when the edge stays flat.
fn edge_angle(draft: Option<&FinishedDraft>, c: &mut Checker) -> Option<f64> {
    let angle = c.angle(draft.and_then(|f| f.edge_angle.as_ref()), ANGLES);
    let sharp = draft.and_then(|f| f.sharp.as_ref()).is_none_or(|s| s.value);
    if let (false, Some(field)) = (sharp, draft.and_then(|f| f.edge_angle.as_ref())) {
        let known = "`edge` and `sharp`".to_owned();
        let fault =
            Fault::StrayKey { key: "edge_angle".to_owned(), form: "an edge left flat".to_owned(), known };
        c.key_fault(&field.at, &fault);
    }
    sharp.then(|| angle.unwrap_or(EDGE_ANGLE.to_radians()))
}
