//! The `pitch` of a stretch of twist: length of a full turn on the finished blade, even or by stations.

use blade::Blade;
use laminate::Pitch;
use schemars::JsonSchema;

use crate::file::checker::{Checker, MOST, REACH};
use crate::file::draft::{Field, Length, Place, Read, table};
use crate::file::problem::{Fault, Problems};

/// Most stations of a pitch: one a centimetre on a long blade.
const MOST_STATIONS: usize = 100;
/// Pitches accepted, mm: from finer than an etch shows to a turn on the longest blade.
const PITCHES: std::ops::RangeInclusive<f64> = 1.0..=MOST;

table! {
    /// The pitch at a station.
    PitchAtDraft {
        /// Distance from the shoulder.
        #[schemars(required)]
        at: Length,
        /// Length of a full turn there, on the finished blade, 1 to 3000 mm.
        #[schemars(required)]
        is: Length,
    }
}

/// A pitch as one length, or as a list of stations.
#[derive(Debug, JsonSchema)]
#[schemars(untagged)]
pub(crate) enum PitchDraft {
    /// The same all along, 1 to 3000 mm.
    Even(Field<Length>),
    /// At stations, smooth between them, held before the first and beyond the last.
    Stations(Vec<Field<PitchAtDraft>>),
}

impl Read for PitchDraft {
    const WANTED: &'static str =
        "a length, or a list of stations such as [{ at = 0, is = 60 }, { at = 300, is = 90 }]";

    fn read(place: &Place, found: &mut Problems) -> Option<Self> {
        let value = place.value.get_ref();
        if value.as_array().is_some() {
            return Read::read(place, found).map(PitchDraft::Stations);
        }
        if place.number().is_none() && value.as_str().is_none() {
            place.wrong_kind(found, Self::WANTED);
            return None;
        }
        Place { value: place.value, at: place.at.clone() }.into_field(found).map(PitchDraft::Even)
    }
}

/// Checks a pitch; `None` where refused.
pub(crate) fn check(field: &Field<PitchDraft>, blade: Option<&Blade>, c: &mut Checker) -> Option<Pitch> {
    match &field.value {
        PitchDraft::Even(pitch) => c.length(Some(pitch), PITCHES).map(Pitch::even),
        PitchDraft::Stations(list) => stations(field, list, blade, c),
    }
}

/// Checks a pitch given at stations, at least one, each beyond the one before and on the blade.
fn stations(
    field: &Field<PitchDraft>,
    list: &[Field<PitchAtDraft>],
    blade: Option<&Blade>,
    c: &mut Checker,
) -> Option<Pitch> {
    if !c.document.has(&format!("{}[0]", field.at)) {
        let why = "give a length, or at least one station with at and is".to_owned();
        c.fault(&field.at, &Fault::MissingKey { key: "pitch".to_owned(), why });
    }
    if list.len() > MOST_STATIONS {
        let fault = Fault::TooMany { count: list.len(), most: MOST_STATIONS, what: "stations" };
        c.fault(&field.at, &fault);
    }
    let mut before = None;
    let read: Option<Vec<(f64, f64)>> = list.iter().map(|s| station(s, &mut before, blade, c)).collect();
    read.filter(|list| !list.is_empty()).map(|list| Pitch::through(&list))
}

/// A station that must lie beyond the one `before` it, mm, and its pitch.
fn station(
    field: &Field<PitchAtDraft>,
    before: &mut Option<f64>,
    blade: Option<&Blade>,
    c: &mut Checker,
) -> Option<(f64, f64)> {
    let (draft, path) = (&field.value, |key: &str| format!("{}.{key}", field.at));
    if draft.at.is_none() {
        c.missing(&path("at"), "give the station's distance from the shoulder");
    }
    if draft.is.is_none() {
        c.missing(&path("is"), "give the length of a full turn at the station");
    }
    let at = on_blade(draft.at.as_ref(), blade, c);
    if let Some((at, before)) = at.zip(*before).filter(|(at, before)| at <= before) {
        let fault = Fault::Order { at: c.length_text(at), before: c.length_text(before) };
        c.fault(&path("at"), &fault);
        return None;
    }
    *before = at.or(*before);
    at.zip(c.length(draft.is.as_ref(), PITCHES))
}

/// A station from shoulder to point, mm; `None` where absent or refused.
pub(crate) fn on_blade(field: Option<&Field<Length>>, blade: Option<&Blade>, c: &mut Checker) -> Option<f64> {
    /// What rounding of inches leaves, mm.
    const ROUNDING: f64 = 1e-6;
    let (field, at) = (field?, c.length(field, REACH)?);
    let Some(length) = blade.map(Blade::length).filter(|length| at > length + ROUNDING) else {
        return Some(at);
    };
    let (told, most) = (c.length_text(length), c.upper_limit_text(length));
    c.fault(&field.at, &Fault::PastPoint { at: c.length_text(at), length: told, most });
    None
}
