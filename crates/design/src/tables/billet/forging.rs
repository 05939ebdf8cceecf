//! The `[forging]` table: what the shop loses and leaves on the way from cut steel to the forged blade.

use std::ops::RangeInclusive;

use laminate::{Bar, Share, Squaring};
use steel::decarburised;

use crate::file::checker::Checker;
use crate::file::draft::{Degrees, Field, Length, Number, Whole, table};
use crate::unit::quantity::Unit;

/// Cut off each end of a bar before it goes on, unless given, mm: ends split and open (common practice, no source).
const CROP: f64 = 10.0;
/// Crops accepted, mm.
const CROPS: RangeInclusive<f64> = 0.0..=200.0;
/// Scale that each face loses in a heat unless given, mm: the middle of 0.02 to 0.1 (common practice, no source).
const SCALE: f64 = 0.05;
/// Losses accepted, mm a face and heat: from a gas-tight can to a forgotten bar.
const SCALES: RangeInclusive<f64> = 0.0..=0.5;
/// Ground off each face before it is welded unless given, mm (common practice, no source).
const DRESS: f64 = 0.2;
/// Grinding accepted, mm a face.
const DRESSES: RangeInclusive<f64> = 0.0..=5.0;
/// Lost by a cut unless given, mm: a band saw's (common practice, no source).
const KERF: f64 = 1.5;
/// Cuts accepted, mm.
const KERFS: RangeInclusive<f64> = 0.0..=10.0;
/// Side of the square block in which layers are welded unless given, mm (common practice, no source).
const BLOCK: f64 = 30.0;
/// The same three of an inch shop: 3/8, 1/16 and 1 1/4 in, near the metric ones (common practice, no source).
const INCHES: [f64; 3] = [0.375, 0.0625, 1.25];
/// Sides accepted, mm: from a finger's to what a large press closes.
const BLOCKS: RangeInclusive<f64> = 8.0..=150.0;
/// Heats at scaling temperature of every block and bar, and of the stack of bars with the blade forged from it, unless
/// given (common practice, no source).
const BAR_HEATS: usize = 4;
/// See [`BAR_HEATS`].
const STACK_HEATS: usize = 8;
/// Heats accepted.
const HEATS: RangeInclusive<usize> = 1..=60;

/// Welding heat unless given, °C: the hot end of handbooks' 1050 to 1150 for steels of 0.6 to 1.0 % carbon (from memory).
const WELD_HEAT: f64 = 1150.0;
/// Welding heats accepted, °C: handbooks go from 1050 for tool steel to 1350 for iron (from memory).
const WELD_HEATS: RangeInclusive<f64> = 900.0..=1350.0;
/// How long steel is held at welding heat for each weld unless given, min (common practice, no source).
const WELD_MINUTES: f64 = 10.0;
/// Times accepted, min: from a quick heat to a can left in the kiln for a day.
const TIMES: RangeInclusive<f64> = 0.5..=1440.0;

/// The heat and the time of each heat in which a stack and blade are forged, °C and s (common practice, no source).
pub const SKIN_HEATS: (f64, f64) = (1000.0, 120.0);

/// What the shop loses and leaves on the way to the forged blade.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Forging {
    /// Cut off each end of a block or bar before it goes on, mm, from 0 to 200.
    pub crop: f64,
    /// Scale that each long face loses in a heat, mm, from 0 to 0.5.
    pub scale: f64,
    /// Ground off each face before it is welded, mm, from 0 to 5.
    pub dress: f64,
    /// Lost by a cut, mm, from 0 to 10.
    pub kerf: f64,
    /// Side of the square block in which layers are welded, mm, from 8 to 150.
    pub block: f64,
    /// Heats of every block and of every bar, from 1 to 60.
    pub bar_heats: usize,
    /// Heats of the stack of bars until the blade is forged, from 1 to 60.
    pub stack_heats: usize,
    /// Welding heat, °C, from 900 to 1350.
    pub weld_heat: f64,
    /// How long steel is held at welding heat for each weld, min, from 0.5 to 1440.
    pub weld_minutes: f64,
    /// Share of the edge's thinning under the hammer that makes it longer instead of broader, percent, from 0 to 100,
    /// where it is known.
    pub bevel_share: Option<f64>,
}

impl Forging {
    /// What `heats` heats (at most 60) take off a bar that has this section (mm) after them: the volume before over
    /// the volume after. Scale comes off the long faces; ends are cropped anyway.
    pub fn burnt(&self, heats: usize, [high, wide]: [f64; 2]) -> f64 {
        let one = (1.0 + 2.0 * self.scale / high) * (1.0 + 2.0 * self.scale / wide);
        one.powi(heats as i32)
    }

    /// Depth (mm) under the forged blade's surface at which the share `left` (0 to 1, neither) of the carbon is left: a
    /// surface without carbon in every heat of the stack and in `welded` more seconds, receding by `scale` (mm) in all, by the
    /// error function.
    pub fn skin_depth(&self, left: f64, scale: f64, welded: f64) -> f64 {
        decarburised(left, SKIN_HEATS.0, SKIN_HEATS.1 * self.stack_heats as f64 + welded, scale)
    }

    /// Height and width (mm) of a bar as it is made for a stack `width` mm wide in which it is `high`: with what is ground off its faces
    /// where it is welded to others, and the round of a ground twist. A bar that is `alone` is welded to none.
    pub fn made_section(&self, bar: &Bar, [high, width]: [f64; 2], alone: bool) -> [f64; 2] {
        let dress = if alone { 0.0 } else { self.dress };
        // Where bars share a place they are welded to each other by their sides, too.
        let beside = if bar.share == Share::default() { 0.0 } else { 2.0 * dress };
        let welded = [high + 2.0 * dress, width + beside];
        // A ground square stands in the round that stands in the twisted bar: the bar has twice its section.
        let ground = bar.twist.is_twisted() && bar.squaring == Squaring::Ground;
        if ground { welded.map(|side| side * std::f64::consts::SQRT_2) } else { welded }
    }
}

table! {
    /// What the shop loses and leaves on the way from cut steel to the forged blade.
    ForgingDraft {
        /// Cut off each end of a block or bar before the next step. Default 10 mm, or 3/8 in where `unit` is `in`.
        crop: Length,
        /// Scale that each long face loses in a heat. Default 0.05 mm.
        scale: Length,
        /// Ground off each face before it is welded. Default 0.2 mm.
        dress: Length,
        /// Steel that each cut takes. Default 1.5 mm, or 1/16 in where `unit` is `in`.
        kerf: Length,
        /// Side of the square block in which layers are welded. Default 30 mm, or 1 1/4 in where `unit` is `in`.
        block: Length,
        /// Heats of every block and of every bar. Default 4.
        bar_heats: Whole,
        /// Heats of the stack of bars until the blade is forged. Default 8.
        stack_heats: Whole,
        /// Welding heat. Default 1150 C. With `weld_minutes` it decides how far carbon evens out between layers.
        weld_heat: Degrees,
        /// Minutes at welding heat for each weld. Default 10.
        weld_minutes: Number,
        /// Share of the edge's thinning that goes into length while you forge the bevels, in percent, 0 to 100: from
        /// your last blade, as the plan says.
        bevel_share: Number,
    }
}

/// Checks the table, if any.
pub(crate) fn check(draft: Option<&Field<ForgingDraft>>, c: &mut Checker) -> Forging {
    let draft = draft.map(|f| &f.value);
    let [crop, kerf, block] = match c.unit {
        Unit::Millimetre => [CROP, KERF, BLOCK],
        Unit::Inch => INCHES.map(|inches| inches * Unit::Inch.millimetres()),
    };
    let length = |pick: fn(&ForgingDraft) -> &Option<Field<Length>>, range, usual, c: &mut Checker| {
        c.length_or(draft.and_then(|d| pick(d).as_ref()), range, usual)
    };
    Forging {
        crop: length(|d| &d.crop, CROPS, crop, c),
        scale: length(|d| &d.scale, SCALES, SCALE, c),
        dress: length(|d| &d.dress, DRESSES, DRESS, c),
        kerf: length(|d| &d.kerf, KERFS, kerf, c),
        block: length(|d| &d.block, BLOCKS, block, c),
        bar_heats: c
            .whole_number(draft.and_then(|d| d.bar_heats.as_ref()), HEATS, " heats")
            .unwrap_or(BAR_HEATS),
        stack_heats: c
            .whole_number(draft.and_then(|d| d.stack_heats.as_ref()), HEATS, " heats")
            .unwrap_or(STACK_HEATS),
        weld_heat: c.degrees(draft.and_then(|d| d.weld_heat.as_ref()), WELD_HEATS).unwrap_or(WELD_HEAT),
        weld_minutes: c
            .number(draft.and_then(|d| d.weld_minutes.as_ref()), TIMES, " min")
            .unwrap_or(WELD_MINUTES),
        bevel_share: c.number(draft.and_then(|d| d.bevel_share.as_ref()), 0.0..=100.0, " %"),
    }
}
