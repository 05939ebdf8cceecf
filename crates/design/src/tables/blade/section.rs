//! The `[section]` table: the blade cut square to its length.

use blade::{Back, Bevel, GrindLine, Section, Sides};
use schemars::JsonSchema;

use crate::file::checker::{Checker, SIZE};
use crate::file::draft::{Field, Length, Place, Reach, Read, table, words};
use crate::file::problem::Problems;

/// The grind line unless given, as a share of the breadth: leaves two fifths for the flank.
const GRIND_LINE: f64 = 0.6;
/// Radii of bevels accepted, mm: from a rotary tool's wheel to what can't be told from flat.
const RADII: std::ops::RangeInclusive<f64> = 1.0..=100_000.0;
/// Shares of the breadth accepted for the grind line, percent.
const SHARES: std::ops::RangeInclusive<f64> = 5.0..=95.0;

words! {
    /// The face between grind line and edge.
    BevelWord {
        /// Plane.
        Flat = "flat",
        /// Hollow ground to a wheel of `radius`.
        Hollow = "hollow",
        /// Bulging outwards with `radius`.
        Convex = "convex",
    }
}

words! {
    /// Sides of the blade. Held with the edge down and the point away from you.
    SidesWord {
        /// Both alike.
        Both = "both",
        /// Only the right one.
        Right = "right",
        /// Only the left one.
        Left = "left",
    }
}

words! {
    /// The back's form across the thickness.
    BackWord {
        /// Square and flat.
        Flat = "flat",
        /// Flat with both corners rounded to `radius`.
        Rounded = "rounded",
        /// One arc across the whole back, `height` high.
        Crowned = "crowned",
    }
}

table! {
    /// The back's form with its measure.
    BackDraft {
        /// `flat`, `rounded` or `crowned`.
        #[schemars(required)]
        form: BackWord,
        /// rounded: radius of the corners.
        radius: Length,
        /// crowned: height of the crown over the back's corners.
        height: Length,
    }
}

/// The back as a word, or as a table with a measure.
#[derive(Debug, JsonSchema)]
#[schemars(untagged)]
pub(crate) enum BackEntry {
    /// Only `flat` needs no measure.
    Word(BackWord),
    /// A table with `form` and its measure.
    Table(BackDraft),
}

impl Read for BackEntry {
    const WANTED: &'static str =
        "\"flat\", { form = \"rounded\", radius = 1 } or { form = \"crowned\", height = 0.6 }";

    fn read(place: &Place, found: &mut Problems) -> Option<Self> {
        let value = place.value.get_ref();
        if value.as_table().is_some() {
            return BackDraft::read(place, found).map(BackEntry::Table);
        }
        if value.as_str().is_some() {
            return BackWord::read(place, found).map(BackEntry::Word);
        }
        place.wrong_kind(found, Self::WANTED);
        None
    }
}

table! {
    /// The blade cut square to its length.
    SectionDraft {
        /// The face between grind line and edge. Default `flat`.
        bevel: BevelWord,
        /// hollow and convex: the wheel's or bulge's radius.
        radius: Length,
        /// Which sides are bevelled. Default `both`.
        sides: SidesWord,
        /// Where the bevel begins: its distance from the edge, a share of the breadth, or `full` for the back itself.
        /// Default `60 %`.
        grind_line: Reach,
        /// The back's form across the thickness. Default `flat`.
        back: BackEntry,
    }
}

impl From<SidesWord> for Sides {
    fn from(word: SidesWord) -> Sides {
        match word {
            SidesWord::Both => Sides::Both,
            SidesWord::Right => Sides::Right,
            SidesWord::Left => Sides::Left,
        }
    }
}

/// Checks the table; without one, every default holds.
pub(crate) fn check(draft: Option<&Field<SectionDraft>>, c: &mut Checker) -> Section {
    let draft = draft.map(|f| &f.value);
    Section {
        bevel: draft.map_or(Bevel::Flat, |d| bevel(d, c)),
        sides: draft.and_then(|d| d.sides.as_ref()).map_or(Sides::Both, |s| s.value.into()),
        grind_line: draft.and_then(|d| grind_line(d, c)).unwrap_or(GrindLine::Share(GRIND_LINE)),
        back: draft.and_then(|d| d.back.as_ref()).map_or(Back::Flat, |b| back(b, c)),
    }
}

fn bevel(draft: &SectionDraft, c: &mut Checker) -> Bevel {
    let word = draft.bevel.as_ref().map_or(BevelWord::Flat, |b| b.value);
    if word == BevelWord::Flat {
        let takes = ["bevel", "sides", "grind_line", "back"];
        c.stray(&draft.given(), &takes, "a flat bevel");
        return Bevel::Flat;
    }
    let radius = c.length_needed(draft.radius.as_ref(), "section.radius", RADII);
    if word == BevelWord::Hollow { Bevel::Hollow { radius } } else { Bevel::Convex { radius } }
}

fn grind_line(draft: &SectionDraft, c: &mut Checker) -> Option<GrindLine> {
    let field = draft.grind_line.as_ref()?;
    match field.value {
        Reach::Full => Some(GrindLine::Full),
        Reach::Share(share) => c.within(field, share, &SHARES, 0.01, " %").map(GrindLine::Share),
        Reach::Length(Length(amount)) => {
            c.within(field, amount.with(c.unit.millimetres()), &SIZE, 1.0, " mm").map(GrindLine::Height)
        }
    }
}

/// The back from its word or its table.
fn back(field: &Field<BackEntry>, c: &mut Checker) -> Back {
    let none = BackDraft { form: None, radius: None, height: None };
    let (word, draft) = match &field.value {
        BackEntry::Word(word) => (Some(*word), &none),
        BackEntry::Table(draft) => (draft.form.as_ref().map(|f| f.value), draft),
    };
    if word.is_none() {
        c.missing(&format!("{}.form", field.at), "give \"flat\", \"rounded\" or \"crowned\"");
    }
    let word = word.unwrap_or(BackWord::Flat);
    let takes: &[&str] = match word {
        BackWord::Flat => &["form"],
        BackWord::Rounded => &["form", "radius"],
        BackWord::Crowned => &["form", "height"],
    };
    c.stray(&draft.given(), takes, &format!("a {} back", word.text()));
    let path = |key: &str| format!("{}.{key}", field.at);
    match word {
        BackWord::Flat => Back::Flat,
        BackWord::Rounded => {
            Back::Rounded { radius: c.length_needed(draft.radius.as_ref(), &path("radius"), 0.05..=50.0) }
        }
        BackWord::Crowned => {
            Back::Crowned { height: c.length_needed(draft.height.as_ref(), &path("height"), 0.05..=50.0) }
        }
    }
}
