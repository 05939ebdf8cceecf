//! What to take off at the table's stations and heights, and where steel is already gone.

use serde::Serialize;

use crate::surplus::planned::Planned;
use crate::surplus::surface::{LocalSurplus, Over, Surface};

/// Shares of the planned breadth at which the table tells what to take off, from the edge up.
const SHARES: [f64; 3] = [0.25, 0.5, 0.75];
/// Steel gone by less than this is not told, mm: two or three times what a caliper wavers.
pub const NOTICEABLE: f64 = 0.05;

/// What to take off at one height of one station, per side.
#[derive(Clone, Copy, Debug, PartialEq, Serialize)]
pub struct Spot {
    /// Above the edge as it is now, mm.
    pub height_mm: f64,
    /// Thickness now, mm.
    pub now_mm: f64,
    /// Thickness planned, mm.
    pub planned_mm: f64,
    /// To take off the right side, mm; below 0 steel is already gone.
    pub right_mm: f64,
    /// To take off the left side, mm.
    pub left_mm: f64,
}

/// What to take off at one station.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct TakeOff {
    /// mm from the shoulder.
    pub station_mm: f64,
    /// Breadth now, mm.
    pub breadth_mm: f64,
    /// To take off the breadth, counted at the edge, mm; below 0 steel is already gone.
    pub breadth_over_mm: f64,
    /// From the edge up, the back last.
    pub spots: Vec<Spot>,
}

/// A size that can't be reached any more: steel does not come back.
#[derive(Clone, Copy, Debug, PartialEq, Serialize)]
pub struct Short {
    /// mm from the shoulder.
    pub station_mm: f64,
    /// Above the edge as it is now, mm; absent for a breadth.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub height_mm: Option<f64>,
    /// Thickness planned there, or breadth, mm.
    pub planned_mm: f64,
    /// The largest that is still possible, mm: what is there now.
    pub most_mm: f64,
}

impl TakeOff {
    /// At station `x` (mm) on the way to the stage `target`; `None` off the blade.
    pub(crate) fn at(surface: &Surface, target: &Planned, x: f64) -> Option<TakeOff> {
        let (rebuilt, section) = (surface.at(x)?, target.sections.at(x)?);
        let (low, high) = section.range();
        let bottom = rebuilt.range().0;
        let spot = |share: f64| {
            let y = low + share * (high - low);
            let Over { right, left } = Over::at(&rebuilt, &section, y);
            let (l, r) = section.flanks(y);
            let planned_mm = r - l;
            Spot {
                height_mm: y - bottom,
                now_mm: planned_mm + right + left,
                planned_mm,
                right_mm: right,
                left_mm: left,
            }
        };
        let mut spots: Vec<Spot> = SHARES.into_iter().map(spot).collect();
        spots.extend(back(surface, target, x, high - bottom));
        let breadth_mm = rebuilt.range().1 - bottom;
        Some(TakeOff { station_mm: x, breadth_mm, breadth_over_mm: breadth_mm - (high - low), spots })
    }

    /// What of it can't be reached any more.
    pub(crate) fn short(&self) -> impl Iterator<Item = Short> + '_ {
        let planned_mm = self.breadth_mm - self.breadth_over_mm;
        let breadth =
            Short { station_mm: self.station_mm, height_mm: None, planned_mm, most_mm: self.breadth_mm };
        let spots = self.spots.iter().map(|s| Short {
            station_mm: self.station_mm,
            height_mm: Some(s.height_mm),
            planned_mm: s.planned_mm,
            most_mm: s.now_mm,
        });
        std::iter::once(breadth).chain(spots).filter(|s| s.planned_mm - s.most_mm > NOTICEABLE)
    }
}

/// At the back's corners, where a caliper reads the back whatever its form.
fn back(surface: &Surface, target: &Planned, x: f64, height_mm: f64) -> Option<Spot> {
    let now = surface.planned().loft.station(x)?.back;
    let planned_mm = target.loft.station(x)?.back;
    let LocalSurplus { thickness, lean } = surface.at_back(x);
    let over = 0.5 * (now + thickness - planned_mm);
    Some(Spot { height_mm, now_mm: now + thickness, planned_mm, right_mm: over + lean, left_mm: over - lean })
}
