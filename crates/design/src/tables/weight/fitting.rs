//! The `[[fitting]]` tables: guard, grip, pommel and whatever else is mounted.

use std::f64::consts::PI;

use crate::file::checker::{Checker, REACH, SIGNED};
use crate::file::draft::{Field, Length, Mass, table, words};
use crate::file::problem::Fault;
use crate::tables::weight::material::Material;

/// Most fittings: a hilt built of many washers.
const MOST_FITTINGS: usize = 32;
/// Masses accepted, g.
const MASSES: std::ops::RangeInclusive<f64> = 0.001..=50_000.0;
/// Radii accepted, mm.
const RADII: std::ops::RangeInclusive<f64> = 0.0..=500.0;

/// A mass mounted on blade or tang: a point, or a solid cylinder along the blade.
#[derive(Clone, Debug, PartialEq)]
pub struct Fitting {
    /// What the file calls it.
    pub name: String,
    /// What it is.
    pub kind: FittingKind,
    /// Station of its centre, mm from the shoulder; negative on the tang.
    pub at: f64,
    /// Length along the blade, mm; 0 for a point mass.
    pub length: f64,
    /// Radius, mm; 0 for a point or a thin rod.
    pub radius: f64,
    /// Mass, g; positive.
    pub mass: f64,
}

/// What a fitting is.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum FittingKind {
    /// Between blade and grip: balance is measured from its front face.
    Guard,
    /// Held in the hand.
    Grip,
    /// At the grip's end.
    Pommel,
    /// Anything else.
    Other,
}

words! {
    /// What a fitting is.
    KindWord {
        /// Between blade and grip: balance is measured from its front face.
        Guard = "guard",
        /// Held in the hand.
        Grip = "grip",
        /// At the grip's end.
        Pommel = "pommel",
        /// Anything else.
        Other = "other",
    }
}

table! {
    /// A mass mounted on blade or tang.
    FittingDraft {
        /// What to call it. Default: as its kind.
        name: String,
        /// What it is. Default `other`.
        kind: KindWord,
        /// Station of its centre; negative on the tang.
        #[schemars(required)]
        at: Length,
        /// Its length along the blade. Default 0 (a point mass).
        length: Length,
        /// Its radius. Default 0.
        radius: Length,
        /// Its diameter, instead of the radius.
        diameter: Length,
        /// Its mass. This or `material` is needed.
        mass: Mass,
        /// What it is made of: gives the mass of a solid cylinder of this length and radius.
        material: Material,
    }
}

impl From<KindWord> for FittingKind {
    fn from(word: KindWord) -> FittingKind {
        match word {
            KindWord::Guard => FittingKind::Guard,
            KindWord::Grip => FittingKind::Grip,
            KindWord::Pommel => FittingKind::Pommel,
            KindWord::Other => FittingKind::Other,
        }
    }
}

/// Checks the fittings, if any.
pub(crate) fn check(draft: Option<&Field<Vec<Field<FittingDraft>>>>, c: &mut Checker) -> Vec<Fitting> {
    let Some(field) = draft else { return Vec::new() };
    c.count(field, MOST_FITTINGS, "fittings");
    field.value.iter().map(|f| fitting(f, c)).collect()
}

fn fitting(field: &Field<FittingDraft>, c: &mut Checker) -> Fitting {
    let draft = &field.value;
    let kind = draft.kind.as_ref().map_or(KindWord::Other, |k| k.value);
    let at = c.length_needed(draft.at.as_ref(), &format!("{}.at", field.at), SIGNED);
    let length = c.length_or(draft.length.as_ref(), REACH, 0.0);
    let radius = radius(field, c);
    let mass = mass(field, length, radius, c);
    Fitting { name: name(draft, kind, c), kind: kind.into(), at, length, radius, mass }
}

fn name(draft: &FittingDraft, kind: KindWord, c: &mut Checker) -> String {
    let Some(field) = &draft.name else { return kind.text().to_owned() };
    if !crate::file::name::fits(&field.value) {
        c.fault(&field.at, &Fault::Name {});
    }
    field.value.clone()
}

fn radius(field: &Field<FittingDraft>, c: &mut Checker) -> f64 {
    let draft = &field.value;
    if draft.radius.is_some()
        && let Some(diameter) = &draft.diameter
    {
        c.key_fault(&diameter.at, &Fault::Either { key: "radius", other: "diameter" });
    }
    let half = c.length(draft.diameter.as_ref(), 0.0..=1000.0).map(|d| 0.5 * d);
    c.length(draft.radius.as_ref(), RADII).or(half).unwrap_or(0.0)
}

/// The mass given, or that of a solid cylinder of the material, g.
fn mass(field: &Field<FittingDraft>, length: f64, radius: f64, c: &mut Checker) -> f64 {
    let draft = &field.value;
    let path = format!("{}.mass", field.at);
    let given = c.mass(draft.mass.as_ref(), MASSES);
    let Some(material) = &draft.material else {
        if draft.mass.is_none() && !c.document.has(&format!("{}.material", field.at)) {
            c.missing(&path, "give `mass`, or `material` with length and radius");
        }
        return given.unwrap_or(*MASSES.start());
    };
    if draft.mass.is_some() {
        c.key_fault(&material.at, &Fault::Either { key: "mass", other: "material" });
        return given.unwrap_or(*MASSES.start());
    }
    let volume = PI * radius * radius * length;
    if volume <= 0.0 {
        let why = "a material gives a mass only with `length` and `radius` (or `diameter`); or give `mass`";
        c.fault(
            &material.at,
            &Fault::MissingKey { key: "length and radius".to_owned(), why: why.to_owned() },
        );
    }
    volume * material.value.density()
}
