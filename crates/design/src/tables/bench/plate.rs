//! The `[plate]` table: the profile plate that the blade's outline is held against.

use blade::Stage;

use crate::file::checker::Checker;
use crate::file::draft::{Field, Length, table, words};

/// Thickness unless given, mm: stiff as a printed or sawn plate (common practice, no source).
const THICKNESS: f64 = 3.0;
/// Thicknesses accepted, mm: from sheet metal to board.
const THICKNESSES: std::ops::RangeInclusive<f64> = 1.0..=20.0;
/// Diameter of the hanging hole unless given, mm: goes over a large nail (common practice, no source).
const HOLE: f64 = 6.0;
/// Diameters accepted, mm: a hole under 1 mm hangs on nothing, and 30 mm is a rail's.
const HOLES: std::ops::RangeInclusive<f64> = 1.0..=30.0;

/// The profile plate.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Plate {
    /// Its thickness, mm, from 1 to 20.
    pub thickness: f64,
    /// Diameter of its hanging hole, mm, from 1 to 30; `None` without one.
    pub hole: Option<f64>,
    /// The stage whose outline it shows.
    pub stage: Stage,
    /// Which of its forms are wanted.
    pub form: PlateForm,
}

/// Which forms of the profile plate are wanted.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum PlateForm {
    /// A plate of the blade's outline.
    Positive,
    /// A plate with the blade's outline cut out.
    Negative,
    /// One of each.
    Both,
}

words! {
    /// A stage of the work.
    StageWord {
        /// After the hammer and hot straightening.
        Forged = "forged",
        /// Ground, before hardening.
        Ground = "ground",
        /// Finished.
        Finished = "finished",
    }
}

words! {
    /// Which forms of the profile plate are wanted.
    PlateFormWord {
        /// A plate of the blade's outline.
        Positive = "positive",
        /// A plate with the blade's outline cut out.
        Negative = "negative",
        /// One of each.
        Both = "both",
    }
}

table! {
    /// The profile plate that the blade's outline is held against.
    PlateDraft {
        /// Its thickness. Default 3 mm.
        thickness: Length,
        /// Diameter of the hole it hangs by. Default 6 mm; 0 for none.
        hole: Length,
        /// The stage whose outline it shows. Default `forged`.
        stage: StageWord,
        /// `positive`, `negative` or `both` (default).
        form: PlateFormWord,
    }
}

impl From<StageWord> for Stage {
    fn from(word: StageWord) -> Stage {
        match word {
            StageWord::Forged => Stage::Forged,
            StageWord::Ground => Stage::Ground,
            StageWord::Finished => Stage::Finished,
        }
    }
}

impl From<PlateFormWord> for PlateForm {
    fn from(word: PlateFormWord) -> PlateForm {
        match word {
            PlateFormWord::Positive => PlateForm::Positive,
            PlateFormWord::Negative => PlateForm::Negative,
            PlateFormWord::Both => PlateForm::Both,
        }
    }
}

/// Checks the table; without one, every default holds.
pub(crate) fn check(draft: Option<&Field<PlateDraft>>, c: &mut Checker) -> Plate {
    let draft = draft.map(|f| &f.value);
    Plate {
        thickness: c.length_or(draft.and_then(|d| d.thickness.as_ref()), THICKNESSES, THICKNESS),
        hole: c.length_or_none(draft.and_then(|d| d.hole.as_ref()), HOLES, HOLE),
        stage: draft.and_then(|d| d.stage.as_ref()).map_or(Stage::Forged, |s| s.value.into()),
        form: draft.and_then(|d| d.form.as_ref()).map_or(PlateForm::Both, |f| f.value.into()),
    }
}
