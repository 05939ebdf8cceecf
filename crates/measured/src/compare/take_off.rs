//! What to take off at the table's stations and heights, and where steel is already gone.

use serde::Serialize;

use crate::surplus::advice::{Advice, NOTICEABLE, Sure};
use crate::surplus::planned::Planned;
use crate::surplus::surface::{Bands, LocalSurplus, Over, Surface};

/// Shares of the planned breadth at which the table tells what to take off, from the edge up.
const SHARES: [f64; 3] = [0.25, 0.5, 0.75];
/// A thickness read nearer to one of these than so much of the breadth stands for it: halfway to the next.
const ABOUT: f64 = 0.125;

/// What to take off at one height of one station, per side.
#[derive(Clone, Copy, Debug, PartialEq, Serialize)]
pub struct Spot {
    /// Above the edge as it is now, mm.
    pub height_mm: f64,
    /// Thickness now, mm.
    pub now_mm: f64,
    /// It is known to ± this, at 95 %, mm.
    pub band_mm: f64,
    /// Thickness planned, mm.
    pub planned_mm: f64,
    /// How far the right side stands over the plan, mm; below 0 steel is already gone.
    pub right_mm: f64,
    /// How far the left side does, mm.
    pub left_mm: f64,
    /// Either is known to ± this, at 95 %, mm.
    pub side_band_mm: f64,
    /// What to do on the right.
    pub right: Advice,
    /// What to do on the left.
    pub left: Advice,
}

/// What to take off at one station.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct TakeOff {
    /// mm from the shoulder.
    pub station_mm: f64,
    /// Breadth now, mm.
    pub breadth_mm: f64,
    /// How far it is over the plan, counted at the edge, mm; below 0 steel is already gone.
    pub breadth_over_mm: f64,
    /// Either is known to ± this, at 95 %, mm.
    pub breadth_band_mm: f64,
    /// What to do at the edge.
    pub breadth: Advice,
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

impl Short {
    /// How much is missing, as a share of what is planned.
    pub(crate) fn lacks(&self) -> f64 {
        1.0 - self.most_mm / self.planned_mm
    }
}

impl TakeOff {
    /// At station `x` (mm) on the way to the stage `target`, at the heights (mm above the edge) that were `read` there, or at
    /// even ones; `None` off the blade.
    pub(crate) fn at(surface: &Surface, target: &Planned, x: f64, read: &[f64]) -> Option<TakeOff> {
        let (rebuilt, section) = (surface.at(x)?, target.at(x)?);
        let (low, high) = section.range();
        let bottom = rebuilt.range().0;
        let spot = |share: f64| {
            let even = low + share * (high - low);
            let off = |y: &f64| (y - even).abs();
            let marked = read.iter().map(|height| bottom + height).min_by(|a, b| off(a).total_cmp(&off(b)));
            let y = marked.filter(|y| off(y) < ABOUT * (high - low)).unwrap_or(even);
            let over = Over::at(&rebuilt, &section, y);
            let (l, r) = section.flanks(y);
            Spot::new(y - bottom, r - l, over, rebuilt.bands(y))
        };
        let mut spots: Vec<Spot> = SHARES.into_iter().map(spot).collect();
        spots.extend(back(surface, target, x, high - bottom));
        let breadth_mm = rebuilt.range().1 - bottom;
        let (over, band) = (breadth_mm - (high - low), surface.broader(x).band);
        Some(TakeOff {
            station_mm: x,
            breadth_mm,
            breadth_over_mm: over,
            breadth_band_mm: band,
            breadth: Advice::of(Sure { over, band }),
            spots,
        })
    }

    /// What of it can't be reached any more.
    pub(crate) fn short(&self) -> impl Iterator<Item = Short> + '_ {
        let planned_mm = self.breadth_mm - self.breadth_over_mm;
        let breadth =
            Short { station_mm: self.station_mm, height_mm: None, planned_mm, most_mm: self.breadth_mm };
        let spots = self.spots.iter().map(|s| {
            let (planned_mm, most_mm) = (s.planned_mm, s.now_mm);
            (
                Short { station_mm: self.station_mm, height_mm: Some(s.height_mm), planned_mm, most_mm },
                s.band_mm,
            )
        });
        let all = std::iter::once((breadth, self.breadth_band_mm)).chain(spots);
        // Gone is what the band does not reach.
        all.filter(|(s, band)| s.planned_mm - s.most_mm - band > NOTICEABLE).map(|(s, _)| s)
    }
}

impl Spot {
    /// At a height, with its plan, what stands over it, and how well that is known, mm.
    fn new(height_mm: f64, planned_mm: f64, over: Over, bands: Bands) -> Spot {
        let [right, left] = over.advice();
        Spot {
            height_mm,
            now_mm: planned_mm + over.both(),
            band_mm: bands.thickness,
            planned_mm,
            right_mm: over.right,
            left_mm: over.left,
            side_band_mm: over.band,
            right,
            left,
        }
    }
}

/// At the back's corners, where a caliper reads the back whatever its form.
fn back(surface: &Surface, target: &Planned, x: f64, height_mm: f64) -> Option<Spot> {
    let now = surface.planned().station(x)?.back;
    let planned_mm = target.station(x)?.back;
    let LocalSurplus { thickness, lean } = surface.at_back(x);
    let (over, bands) = (0.5 * (now + thickness - planned_mm), surface.back_band(x));
    let over = Over { right: over + lean, left: over - lean, band: bands.side };
    Some(Spot::new(height_mm, planned_mm, over, bands))
}
