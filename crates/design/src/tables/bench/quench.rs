//! The `[quench]` table: the shop's own bath of oil.

use std::ops::RangeInclusive;

use crate::file::checker::Checker;
use crate::file::draft::{Degrees, Field, Length, Volume, table};

/// Volumes accepted, L: from a jar to a tanker's load.
const LITRES: RangeInclusive<f64> = 0.1..=10_000.0;
/// Temperatures of the oil accepted, °C: from a cold shop to oils for hot quenching.
const STARTS: RangeInclusive<f64> = 20.0..=250.0;
/// Flash points accepted, °C: from the least flammable liquid's to the highest of quench oils.
const FLASHES: RangeInclusive<f64> = 60.0..=400.0;
/// How warm the oil is before, unless given, °C: thin enough to wet the blade at once (common practice, no source).
const START: f64 = 50.0;
/// How warm it may become before it must cool, unless given, °C (common practice, no source; the oil's data sheet comes
/// first).
const WARMEST: f64 = 80.0;
/// How much warmer than before it may become where it begins hotter than that, unless given, K: as from 50 to 80 °C.
const WARMS: f64 = 30.0;
/// The warmest accepted, °C: over every start accepted.
const WARMESTS: f64 = 300.0;
/// Depths of oil accepted, mm.
const DEPTHS: RangeInclusive<f64> = 20.0..=5000.0;

/// The shop's own bath of oil.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Quench {
    /// How much oil, L, from 0.1 to 10 000.
    pub litres: f64,
    /// Its flash point by its data sheet, °C, from 60 to 400.
    pub flash_point: f64,
    /// How warm it is before, °C, from 20 to 250.
    pub start: f64,
    /// How warm it may become before it must cool, °C, over `start`, up to 300.
    pub warmest: f64,
    /// How deep the oil stands, mm, where it is known.
    pub depth: Option<f64>,
}

table! {
    /// The shop's own bath of oil: the plan says how warm the blade makes it.
    QuenchDraft {
        /// How much oil is in it.
        #[schemars(required)]
        oil: Volume,
        /// The oil's flash point, by its data sheet.
        #[schemars(required)]
        flash_point: Degrees,
        /// How warm the oil is before the quench. Default 50 C.
        start: Degrees,
        /// How warm the oil may get before you let it cool. Default 80 C.
        warmest: Degrees,
        /// How deep the oil stands in the tank.
        depth: Length,
    }
}

/// Checks the table, if any.
pub(crate) fn check(draft: Option<&Field<QuenchDraft>>, c: &mut Checker) -> Option<Quench> {
    let Field { value: draft, at, .. } = draft?;
    if draft.oil.is_none() {
        c.missing(&format!("{at}.oil"), "give how much oil is in the tank");
    }
    if draft.flash_point.is_none() {
        c.missing(&format!("{at}.flash_point"), "give the oil's flash point from its data sheet");
    }
    let start = c.degrees(draft.start.as_ref(), STARTS).unwrap_or(START);
    // Oil that may not get warmer than it is takes no blade.
    let warmest =
        c.degrees(draft.warmest.as_ref(), start + 1.0..=WARMESTS).unwrap_or(WARMEST.max(start + WARMS));
    let depth = draft.depth.as_ref().and_then(|d| c.length(Some(d), DEPTHS));
    let (litres, flash_point) =
        (c.volume(draft.oil.as_ref(), LITRES), c.degrees(draft.flash_point.as_ref(), FLASHES));
    Some(Quench { litres: litres?, flash_point: flash_point?, start, warmest, depth })
}
