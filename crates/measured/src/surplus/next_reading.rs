//! Where the next reading helps most: there its band, and that of all places that go with it, shrinks most.

use nalgebra::DMatrix;
use serde::Serialize;

use crate::file::reading::Quantity;
use crate::surplus::places::CALIPER;
use crate::surplus::planned::Planned;
use crate::surplus::posterior::Posterior;
use crate::surplus::prior::Patch;
use crate::surplus::surface::SURE;

/// Stations asked about.
const STATIONS: usize = 23;
/// Share of the blade before which they lie: beyond it a caliper finds no two flanks alike.
const LAST: f64 = 0.92;
/// Heights asked about, as shares of the breadth from the edge; the back besides.
const SHARES: [f64; 3] = [0.25, 0.5, 0.75];
/// So many readings are told.
const COUNT: usize = 4;
/// A reading that takes less than this share off the blade's bands is not worth telling.
const WORTH: f64 = 0.02;

/// A reading worth taking.
#[derive(Clone, Copy, Debug, PartialEq, Serialize)]
pub struct NextReading {
    /// mm from the shoulder.
    pub station_mm: f64,
    /// `back` or `thickness`.
    pub what: Quantity,
    /// mm above the edge as planned; absent for the back.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub height_mm: Option<f64>,
    /// The thickness there is known to ± this now, mm.
    pub band_mm: f64,
    /// Share of the blade's bands, as mean squares, that it takes off, together with those before it.
    pub gain: f64,
}

/// A place asked about.
struct Candidate {
    reading: NextReading,
    patch: Patch,
}

impl NextReading {
    /// The best readings, the best first, each after the ones before it, at places of a rule divided into `grain`
    /// (mm).
    pub(crate) fn best(planned: &Planned, field: &Posterior, grain: f64) -> Vec<NextReading> {
        let all = candidates(planned, grain);
        let patches: Vec<Patch> = all.iter().map(|c| c.patch.clone()).collect();
        let mut left = field.joint(&patches);
        let before = left.trace();
        let mut best = Vec::new();
        for _ in 0..COUNT {
            let worth = |i: &usize| left.column(*i).norm_squared() / (left[(*i, *i)] + CALIPER * CALIPER);
            let Some(i) = (0..all.len()).max_by(|a, b| worth(a).total_cmp(&worth(b))) else { break };
            if worth(&i) < WORTH * before {
                break;
            }
            let band_mm = SURE * left[(i, i)].max(0.0).sqrt();
            left = read(left, i, CALIPER);
            best.push(NextReading { band_mm, gain: 1.0 - left.trace() / before, ..all[i].reading });
        }
        best
    }
}

/// What is left of a covariance once the place `i` was read.
fn read(left: DMatrix<f64>, i: usize, noise: f64) -> DMatrix<f64> {
    let column = left.column(i).into_owned();
    let own = left[(i, i)] + noise * noise;
    left - &column * column.transpose() / own
}

/// Places that could be read next, as far apart as the grain.
fn candidates(planned: &Planned, grain: f64) -> Vec<Candidate> {
    let round = |mm: f64| (mm / grain).round() * grain;
    let station = |i: usize| round(LAST * planned.length * i as f64 / (STATIONS - 1) as f64);
    let places = |x: f64| {
        let breadth = planned.station(x).map_or(0.0, |s| s.breadth);
        let flank =
            SHARES.map(|share| candidate(x, Some(round(share * breadth).max(grain)), 2.0 * share - 1.0));
        flank.into_iter().chain([candidate(x, None, 1.0)])
    };
    (0..STATIONS).flat_map(|i| places(station(i))).collect()
}

/// A place `up` the breadth (−1 at the edge, 1 at the back), at a height in mm; without one it is the back.
fn candidate(station_mm: f64, height_mm: Option<f64>, up: f64) -> Candidate {
    let what = if height_mm.is_some() { Quantity::Thickness } else { Quantity::Back };
    let reading = NextReading { station_mm, what, height_mm, band_mm: 0.0, gain: 0.0 };
    Candidate { reading, patch: Patch::at(station_mm, up) }
}
