//! The `[tang]` table: the part inside the grip.

use blade::{Hole, Tang, TangForm};

use crate::file::checker::{Checker, SIGNED, SIZE};
use crate::file::draft::{Field, Length, table, words};
use crate::tables::blade::outline::Measured;

/// Most holes: full tangs are riveted and lightened by a few.
const MOST_HOLES: usize = 32;
/// Lengths of tangs accepted, mm.
const LENGTHS: std::ops::RangeInclusive<f64> = 5.0..=1000.0;
/// A tang's length unless given, as a share of the blade's, and within these bounds, mm: from two fingers'
/// hold to a hand and a half (common practice, no source).
const LENGTH_SHARE: f64 = 0.25;
/// See [`LENGTH_SHARE`].
const LENGTH_BOUNDS: [f64; 2] = [40.0, 180.0];
/// Breadth at the shoulder unless given, as a share of the blade's: leaves a ledge for the guard on both sides.
const BREADTH_SHARE: f64 = 0.45;
/// Thickness at the shoulder unless given, as a share of the back's: the flank is thinner further down.
const THICKNESS_SHARE: f64 = 0.5;
/// Breadth at the end of a hidden tang unless given, as a share of its breadth at the shoulder.
pub(crate) const END_BREADTH_SHARE: f64 = 0.6;
/// Thickness at the end of a hidden tang unless given, as a share of its thickness at the shoulder.
pub(crate) const END_THICKNESS_SHARE: f64 = 0.7;
/// Breadth at the end of a full tang unless given, as a share of the blade's: grips narrow to the hand's heel.
const FULL_END_SHARE: f64 = 0.7;
/// A hidden tang's rise unless given, as a share of the blade's breadth: up from the bevel into the flank.
const OFFSET_SHARE: f64 = 0.15;
/// Shoulder radius unless given, mm, and the most of the blade's breadth that it takes: what a round file leaves.
const SHOULDER_RADIUS: f64 = 2.0;
/// See [`SHOULDER_RADIUS`].
const SHOULDER_SHARE: f64 = 0.05;

words! {
    /// Hidden or full.
    TangWord {
        /// Narrower and thinner than the blade, tapering into the grip.
        Hidden = "hidden",
        /// As broad and thick as the ricasso that it continues.
        Full = "full",
    }
}

table! {
    /// A round hole through the tang.
    HoleDraft {
        /// Distance of its centre from the shoulder, along the tang.
        #[schemars(required)]
        at: Length,
        /// Height of its centre above the tang's centre line. Default 0.
        offset: Length,
        /// Its diameter.
        #[schemars(required)]
        diameter: Length,
    }
}

table! {
    /// The part inside the grip.
    TangDraft {
        /// `hidden` (default) or `full`.
        form: TangWord,
        /// From the shoulder to its end. Default: a quarter of the blade's, from 40 to 180 mm.
        length: Length,
        /// hidden: breadth at the shoulder. Default 0.45 of the blade's.
        breadth: Length,
        /// hidden: thickness at the shoulder. Default: half the back's, or as much as the section has room for.
        thickness: Length,
        /// Breadth at its end. Default 0.6 of its own at the shoulder if hidden, 0.7 of the blade's if full.
        end_breadth: Length,
        /// Thickness at its end. Default 0.7 of its own at the shoulder if hidden, the back's if full.
        end_thickness: Length,
        /// How far its centre line lies above the middle of the blade's breadth at the shoulder. Default 0.15 of the
        /// breadth if hidden, 0 if full.
        offset: Length,
        /// hidden: radius of the inside corner at the shoulder. Default 2 mm, at most 0.05 of the breadth.
        shoulder_radius: Length,
        /// Round holes through it.
        hole: Vec<Field<HoleDraft>>,
    }
}

/// Checks the table on a blade of these sizes, `thick` mm thick at the shoulder's back; without one, every
/// default holds.
pub(crate) fn check(draft: Option<&Field<TangDraft>>, blade: &Measured, thick: f64, c: &mut Checker) -> Tang {
    let draft = draft.map(|f| &f.value);
    let word = draft.and_then(|d| d.form.as_ref()).map_or(TangWord::Hidden, |f| f.value);
    let own = |key: fn(&TangDraft) -> &Option<Field<Length>>| draft.and_then(|d| key(d).as_ref());
    let [short, long] = LENGTH_BOUNDS;
    let length = c.length_or(own(|d| &d.length), LENGTHS, (LENGTH_SHARE * blade.length).max(short).min(long));
    let (form, end) = match word {
        TangWord::Hidden => hidden(draft, blade.breadth, thick, c),
        TangWord::Full => {
            let takes = ["form", "length", "end_breadth", "end_thickness", "offset", "hole"];
            c.stray(&draft.map(TangDraft::given).unwrap_or_default(), &takes, "a full tang");
            (TangForm::Full, [FULL_END_SHARE * blade.breadth, thick])
        }
    };
    let offset = if word == TangWord::Hidden { OFFSET_SHARE * blade.breadth } else { 0.0 };
    Tang {
        form,
        length,
        end_breadth: c.length_or(own(|d| &d.end_breadth), SIZE, end[0]),
        end_thickness: c.length_or(own(|d| &d.end_thickness), SIZE, end[1]),
        offset: c.length_or(own(|d| &d.offset), SIGNED, offset),
        holes: holes(draft, c),
    }
}

/// A hidden tang, with the breadth and thickness at its end unless given, mm.
fn hidden(draft: Option<&TangDraft>, breadth: f64, thick: f64, c: &mut Checker) -> (TangForm, [f64; 2]) {
    let own = |key: fn(&TangDraft) -> &Option<Field<Length>>| draft.and_then(|d| key(d).as_ref());
    let radius = SHOULDER_RADIUS.min(SHOULDER_SHARE * breadth);
    let shoulder_radius = c.length_or(own(|d| &d.shoulder_radius), 0.0..=100.0, radius);
    let breadth = c.length_or(own(|d| &d.breadth), SIZE, BREADTH_SHARE * breadth);
    let thickness = c.length_or(own(|d| &d.thickness), SIZE, THICKNESS_SHARE * thick);
    let end = [END_BREADTH_SHARE * breadth, END_THICKNESS_SHARE * thickness];
    (TangForm::Hidden { breadth, thickness, shoulder_radius }, end)
}

fn holes(draft: Option<&TangDraft>, c: &mut Checker) -> Vec<Hole> {
    let Some(field) = draft.and_then(|d| d.hole.as_ref()) else { return Vec::new() };
    c.count(field, MOST_HOLES, "holes");
    field.value.iter().map(|f| hole(f, c)).collect()
}

fn hole(field: &Field<HoleDraft>, c: &mut Checker) -> Hole {
    let (draft, path) = (&field.value, |key: &str| format!("{}.{key}", field.at));
    Hole {
        at: c.length_needed(draft.at.as_ref(), &path("at"), SIZE),
        offset: c.length_or(draft.offset.as_ref(), SIGNED, 0.0),
        diameter: c.length_needed(draft.diameter.as_ref(), &path("diameter"), 0.2..=100.0),
    }
}
