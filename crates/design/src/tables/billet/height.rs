//! The `height` of a bar in the stack: even, or forged to a taper.

use laminate::Height;
use schemars::JsonSchema;

use crate::file::checker::{Checker, REACH};
use crate::file::draft::{Field, Length, Place, Read, table};
use crate::file::problem::{Fault, Problems};

/// Heights of bars accepted, mm.
const HEIGHTS: std::ops::RangeInclusive<f64> = 1.0..=100.0;
/// Most places of a height: nobody forges a bar to more marks.
const MOST_PLACES: usize = 20;

table! {
    /// The height of a bar at a place along it.
    HeightAtDraft {
        /// Distance from the shoulder along the bar in the stack, before it is drawn out.
        #[schemars(required)]
        at: Length,
        /// Its height there, 1 to 100 mm.
        #[schemars(required)]
        is: Length,
    }
}

/// A height as one length, as two from the shoulder to the point, or as a list of places.
#[derive(Debug, JsonSchema)]
#[schemars(untagged)]
pub(crate) enum HeightDraft {
    /// The same all along, 1 to 100 mm.
    Even(Field<Length>),
    /// A straight taper: the height at the shoulder and that at the point, 1 to 100 mm. `fit` may change both.
    Ends(Vec<Field<Length>>),
    /// At places along the bar, straight between them, held before the first and beyond the last.
    Places(Vec<Field<HeightAtDraft>>),
}

impl Read for HeightDraft {
    const WANTED: &'static str = "a length, two such as [14, 10] from shoulder to point, or places such as [{ at = 0, is = 14 }, { at = 150, is = 10 }]";

    fn read(place: &Place, found: &mut Problems) -> Option<Self> {
        let value = place.value.get_ref();
        if let Some(list) = value.as_array() {
            return match list.iter().next() {
                Some(first) if first.get_ref().as_table().is_some() => {
                    Read::read(place, found).map(HeightDraft::Places)
                }
                _ => Read::read(place, found).map(HeightDraft::Ends),
            };
        }
        if place.number().is_none() && value.as_str().is_none() {
            place.wrong_kind(found, Self::WANTED);
            return None;
        }
        Place { value: place.value, at: place.at.clone() }.into_field(found).map(HeightDraft::Even)
    }
}

/// A height as the file tells it.
#[derive(Clone, Debug, PartialEq)]
pub(crate) struct HeightTold {
    /// The height along the stack; of a taper from shoulder to point its mean, until the blade tells how long the stack is.
    pub(crate) height: Height,
    /// The heights at shoulder and point of such a taper, mm.
    pub(crate) ends: Option<[f64; 2]>,
}

/// Checks the height of a bar, which must be given; `None` where absent or refused.
pub(crate) fn check(field: Option<&Field<HeightDraft>>, path: &str, c: &mut Checker) -> Option<HeightTold> {
    let even = |mm: f64| HeightTold { height: Height::even(mm), ends: None };
    match field.map(|field| (field, &field.value)) {
        None => c.length_required(None, path, HEIGHTS).map(even),
        Some((_, HeightDraft::Even(length))) => c.length_required(Some(length), path, HEIGHTS).map(even),
        Some((field, HeightDraft::Ends(list))) => ends(field, list, c),
        Some((field, HeightDraft::Places(list))) => {
            places(field, list, c).map(|height| HeightTold { height, ends: None })
        }
    }
}

/// A straight taper from shoulder to point.
fn ends(field: &Field<HeightDraft>, list: &[Field<Length>], c: &mut Checker) -> Option<HeightTold> {
    let count = field_count(&field.at, c);
    if count != 2 {
        c.fault(&field.at, &Fault::TwoHeights { count });
        return None;
    }
    let heights: Vec<Option<f64>> = list.iter().map(|length| c.length(Some(length), HEIGHTS)).collect();
    match heights[..] {
        [Some(shoulder), Some(point)] => {
            let height = Height::even(0.5 * (shoulder + point));
            Some(HeightTold { height, ends: Some([shoulder, point]) })
        }
        _ => None,
    }
}

/// How many entries a list has in the file, read or not, up to a few.
fn field_count(at: &str, c: &Checker) -> usize {
    (0..MOST_PLACES).take_while(|i| c.document.has(&format!("{at}[{i}]"))).count()
}

/// A height given at places, at least one, each beyond the one before.
fn places(field: &Field<HeightDraft>, list: &[Field<HeightAtDraft>], c: &mut Checker) -> Option<Height> {
    if list.len() > MOST_PLACES {
        let fault = Fault::TooMany { count: list.len(), most: MOST_PLACES, what: "places" };
        c.fault(&field.at, &fault);
        return None;
    }
    let mut before = None;
    let read: Vec<Option<(f64, f64)>> = list.iter().map(|place| at_place(place, &mut before, c)).collect();
    let read: Option<Vec<(f64, f64)>> = read.into_iter().collect();
    read.filter(|list| !list.is_empty()).map(|list| Height::through(&list))
}

/// A place that must lie beyond the one `before` it, mm, and the height there.
fn at_place(field: &Field<HeightAtDraft>, before: &mut Option<f64>, c: &mut Checker) -> Option<(f64, f64)> {
    let (draft, path) = (&field.value, |key: &str| format!("{}.{key}", field.at));
    if draft.at.is_none() {
        c.missing(&path("at"), "give the distance from the shoulder along the bar");
    }
    if draft.is.is_none() {
        c.missing(&path("is"), "give the height of the bar there");
    }
    let at = c.length(draft.at.as_ref(), REACH);
    if let Some((at, before)) = at.zip(*before).filter(|(at, before)| at <= before) {
        let fault = Fault::HeightOrder { at: c.length_text(at), before: c.length_text(before) };
        c.fault(&path("at"), &fault);
        return None;
    }
    *before = at.or(*before);
    at.zip(c.length(draft.is.as_ref(), HEIGHTS))
}
