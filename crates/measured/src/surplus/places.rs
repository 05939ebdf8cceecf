//! Where readings lie in the field of surplus, and how far they waver.

use crate::file::reading::{Quantity, Reading};
use crate::surplus::planned::{Planned, height};
use crate::surplus::posterior::Place;

/// What two readings of one place with a caliper differ by, as a standard deviation, mm: the step of a vernier (common
/// practice, no source).
const CALIPER: f64 = 0.02;
/// The same with a rule or caliper over the breadth, mm (common practice, no source).
const BREADTH: f64 = 0.05;
/// How far a caliper's jaws are from the station and from the height asked for, mm: half a pencil line's breadth (common
/// practice, no source).
const PLACING: f64 = 0.2;
/// The place in the field of a station on the middle of the breadth.
pub(crate) fn middle(planned: &Planned, x: f64) -> Place {
    Place { along: 2.0 * x / planned.length - 1.0, up: 0.0, thickness: 1.0, lean: 0.0 }
}

/// The place in the field of a reading, with the weights by which it tells of thickness and lean.
pub(crate) fn place(planned: &Planned, reading: &Reading, broader: f64) -> Option<Place> {
    let middle = middle(planned, reading.station);
    let (thickness, lean) = match reading.what {
        Quantity::Flank(side) => (0.5, side.sign()),
        _ => (1.0, 0.0),
    };
    let up = match reading.what {
        Quantity::Back => 1.0,
        Quantity::Edge => -1.0,
        Quantity::Breadth => 0.0,
        _ => {
            let section = planned.sections.at(reading.station)?;
            let (low, high) = section.range();
            let y = height(&section, broader, reading.height);
            (2.0 * (y - low) / (high - low) - 1.0).clamp(-1.0, 1.0)
        }
    };
    Some(Place { up, thickness, lean, ..middle })
}

/// Standard deviation of a reading, mm: its tool's own, and what is read beside the place asked for.
pub(crate) fn noise(planned: &Planned, reading: &Reading, broader: f64) -> Option<f64> {
    let own = if reading.what == Quantity::Breadth { BREADTH } else { CALIPER };
    let value = |along: f64, up: f64| {
        let (station, height) = (reading.station + along, reading.height + up);
        let value = planned.reading(&Reading { station, height, ..reading.clone() }, broader);
        value.or_else(|| planned.reading(reading, broader))
    };
    let along = 0.5 * (value(PLACING, 0.0)? - value(-PLACING, 0.0)?);
    let up = 0.5 * (value(0.0, PLACING)? - value(0.0, -PLACING)?);
    Some(own.hypot(along).hypot(up))
}

/// Blade and tang as a sum over the field, mm² each: thickness over it all is volume.
pub(crate) fn spread(planned: &Planned) -> Vec<Place> {
    // A fifth of the slices, and five heights: the field bends over a third of the blade or more.
    const HEIGHTS: [f64; 5] = [-0.8, -0.4, 0.0, 0.4, 0.8];
    let each = planned.slices.iter().skip(2).step_by(5);
    let parts = each.flat_map(|(x, section)| {
        let (low, high) = section.range();
        let thickness = 5.0 * planned.step() * (high - low) / HEIGHTS.len() as f64;
        HEIGHTS.map(|up| Place { up, thickness, ..middle(planned, *x) })
    });
    let tang = HEIGHTS.map(|up| Place {
        up,
        thickness: planned.tang_side.area / HEIGHTS.len() as f64,
        ..middle(planned, 0.0)
    });
    parts.chain(tang).collect()
}
