//! The `[[taper]]` tables: thickness along the blade.

use blade::TaperStation;

use crate::file::checker::{Checker, REACH};
use crate::file::draft::{Field, Length, table};
use crate::file::problem::Fault;

/// Most stations: one a centimetre on a long blade.
const MOST_STATIONS: usize = 100;
/// Thicknesses accepted, mm: thicker is a bar, thinner is foil.
const THICKNESS: std::ops::RangeInclusive<f64> = 0.2..=50.0;

table! {
    /// Thickness at a station, as finished.
    TaperDraft {
        /// Distance from the shoulder.
        #[schemars(required)]
        at: Length,
        /// Thickness at the back.
        #[schemars(required)]
        back: Length,
        /// Thickness at the grind line. Default: as at the back.
        grind: Length,
    }
}

/// Checks the stations; at least one must be given.
pub(crate) fn check(draft: Option<&Field<Vec<Field<TaperDraft>>>>, c: &mut Checker) -> Vec<TaperStation> {
    let list = draft.map(|f| f.value.as_slice()).unwrap_or_default();
    match draft {
        Some(field) if !c.document.has("taper[0]") => {
            let why = "give at least one station with at and back".to_owned();
            c.fault(&field.at, &Fault::MissingKey { key: "taper".to_owned(), why });
        }
        Some(field) => c.count(field, MOST_STATIONS, "stations"),
        None => c.missing("taper", "add [[taper]] with at and back, once for each station"),
    }
    let mut before = None;
    list.iter().map(|field| station(field, &mut before, c)).collect()
}

/// Checks a station that must lie beyond the one `before` it, mm; that one is not known where it was refused.
fn station(field: &Field<TaperDraft>, before: &mut Option<f64>, c: &mut Checker) -> TaperStation {
    let (draft, path) = (&field.value, |key: &str| format!("{}.{key}", field.at));
    if draft.at.is_none() {
        c.missing(&path("at"), "give the station's distance from the shoulder");
    }
    let at = c.length(draft.at.as_ref(), REACH);
    if let (Some(at), Some(before)) = (at, *before)
        && at <= before
    {
        let fault = Fault::Order { at: c.length_text(at), before: c.length_text(before) };
        c.fault(&path("at"), &fault);
    }
    *before = at.or(*before);
    TaperStation {
        at: at.unwrap_or(0.0),
        back: c.length_needed(draft.back.as_ref(), &path("back"), THICKNESS),
        grind: c.length(draft.grind.as_ref(), THICKNESS),
    }
}
