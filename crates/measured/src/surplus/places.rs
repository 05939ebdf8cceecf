//! Where readings lie in the field of surplus, and how far they waver.

use crate::file::reading::{Quantity, Reading};
use crate::surplus::planned::{Planned, height};
use crate::surplus::prior::Patch;

/// What two readings of one place with a caliper differ by, as a standard deviation, mm: the step of a vernier (common
/// practice, no source).
pub(crate) const CALIPER: f64 = 0.02;
/// The same with a rule or caliper over the breadth, mm (common practice, no source).
const BREADTH: f64 = 0.05;
/// How far a caliper's jaws are from the station and from the height asked for, mm: half a pencil line's breadth
/// (common practice, no source).
const PLACING: f64 = 0.2;
/// Stations over which the tang's thickness is told from the blade's, mm: a hand's breadth, so that a dip at the
/// shoulder does not run down the tang.
pub(crate) const ROOT: [f64; 5] = [0.0, 10.0, 20.0, 30.0, 40.0];
/// Heights at which the scales see the field, in halves of the breadth.
const HEIGHTS: [f64; 5] = [-0.8, -0.4, 0.0, 0.4, 0.8];

/// The patch of the field that a reading tells of.
pub(crate) fn patch(planned: &Planned, reading: &Reading, broader: f64) -> Option<Patch> {
    let (thickness, lean) = match reading.what {
        Quantity::Flank(side) => (0.5, side.sign()),
        _ => (1.0, 0.0),
    };
    let up = match reading.what {
        Quantity::Back => 1.0,
        Quantity::Edge => -1.0,
        Quantity::Breadth => 0.0,
        _ => {
            let section = planned.at(reading.station)?;
            let (low, high) = section.range();
            let y = height(&section, broader, reading.height);
            (2.0 * (y - low) / (high - low) - 1.0).clamp(-1.0, 1.0)
        }
    };
    Some(Patch { thickness, lean, ..Patch::at(reading.station, up) })
}

/// How broad the blade is there over the plan, and how far that may be off, as a standard deviation, mm.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(crate) struct Broader {
    pub(crate) over: f64,
    pub(crate) spread: f64,
}

/// Standard deviation of a reading, mm: its tool's own, and what is read beside the place asked for.
pub(crate) fn noise(planned: &Planned, reading: &Reading, broader: Broader) -> Option<f64> {
    let own = if reading.what == Quantity::Breadth { BREADTH } else { CALIPER };
    let value = |along: f64, up: f64| {
        // Behind the shoulder there is the tang, which no reading of the blade is of.
        let (station, height) = ((reading.station + along).max(0.0), reading.height + up);
        let value = planned.reading(&Reading { station, height, ..reading.clone() }, broader.over);
        value.or_else(|| planned.reading(reading, broader.over))
    };
    let along = 0.5 * (value(PLACING, 0.0)? - value(-PLACING, 0.0)?);
    let slope = 0.5 * (value(0.0, PLACING)? - value(0.0, -PLACING)?) / PLACING;
    // Heights count from the edge, the plan from the back: a breadth that is off shifts them against each other.
    Some(own.hypot(along).hypot(slope * PLACING.hypot(broader.spread)))
}

/// What the scales see, each place of the blade weighed by `of` its station and the tang by `tang`: 1 and 1 is the
/// volume.
pub(crate) fn scales(planned: &Planned, of: impl Fn(f64) -> f64, tang: f64) -> Patch {
    let share = 1.0 / HEIGHTS.len() as f64;
    // Two slices at once: the field's shortest waves are below either.
    let blade = planned.slices.chunks(2).map(|pair| {
        let volume = |(x, section): &(f64, blade::CrossSection)| {
            let (low, high) = section.range();
            planned.step() * (high - low) * of(*x)
        };
        [pair.iter().map(|(x, _)| x).sum::<f64>() / pair.len() as f64, pair.iter().map(volume).sum::<f64>()]
    });
    let root = ROOT.map(|x| [x, tang * planned.tang_side.area / ROOT.len() as f64]);
    Patch {
        along: blade.chain(root).collect(),
        up: HEIGHTS.map(|up| [up, share]).to_vec(),
        thickness: 1.0,
        lean: 0.0,
        tang,
    }
}

/// The tang's excess alone.
pub(crate) fn tang() -> Patch {
    Patch { along: Vec::new(), up: Vec::new(), thickness: 0.0, lean: 0.0, tang: 1.0 }
}

/// What more breadth adds at the edge, by its thickness there: for a field of breadth, this is volume.
pub(crate) fn edge_strip(planned: &Planned) -> Patch {
    let along = planned.edges().map(|(x, thick)| [x, planned.step() * thick]);
    Patch { along: along.collect(), ..Patch::at(0.0, 0.0) }
}
