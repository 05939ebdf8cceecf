//! How forging the bevels bends a blade: the thinned edge gets longer than the back and lifts the point.

use design::Design;
use laminate::MaterialMap;
use serde::Serialize;

/// Heights of a section at which its thickness is read.
const HEIGHTS: usize = 60;
/// Stations of the sum along the blade.
const STATIONS: usize = 200;

/// How far the point of a blade rises towards the back while its bevels are forged.
#[derive(Clone, Copy, Debug, PartialEq, Serialize)]
pub struct BevelLift {
    /// Rise of the point for each percent of the thinning that makes the edge longer instead of broader, mm.
    pub mm_per_percent: f64,
    /// That share as the file gives it, percent.
    pub share_percent: Option<f64>,
    /// The rise with it, mm.
    pub lift_mm: Option<f64>,
}

impl BevelLift {
    /// Of a design's forged blade, out of a bar as thick everywhere as each section is at its thickest; `None` where
    /// there is no bevel to forge.
    pub fn of(design: &Design, lay: &MaterialMap) -> Option<BevelLift> {
        let end = lay.sections().range().1;
        let step = end / STATIONS as f64;
        let stations = (0..STATIONS).map(|i| step * (i as f64 + 0.5));
        let lift: f64 = stations.map(|x| curvature(&thicknesses(lay, x)) * (end - x) * step).sum();
        let mm_per_percent = 0.01 * lift;
        let share_percent = design.forging().bevel_share;
        // A hundredth of a millimetre for all of the thinning: no bevel.
        (lift > 0.01).then_some(BevelLift {
            mm_per_percent,
            share_percent,
            lift_mm: share_percent.map(|share| share * mm_per_percent),
        })
    }
}

/// Heights and thicknesses of the forged section at a station, mm.
fn thicknesses(lay: &MaterialMap, x: f64) -> Vec<[f64; 2]> {
    let Some(section) = lay.sections().at(x) else { return Vec::new() };
    let (low, high) = section.range();
    let heights = (0..HEIGHTS).map(|i| low + (high - low) * (i as f64 + 0.5) / HEIGHTS as f64);
    heights
        .map(|y| {
            let (left, right) = section.flanks(y);
            [y, right - left]
        })
        .filter(|[_, thick]| *thick > 0.0)
        .collect()
}

/// Curvature, 1/mm, of a section whose fibres would each get longer by all of their thinning ln(t₀/t), held plane: the
/// straight line through those strains by least squares, each weighed by its thickness. Positive where the edge gets
/// longer than the back.
fn curvature(section: &[[f64; 2]]) -> f64 {
    let thickest = section.iter().map(|[_, t]| *t).fold(0.0, f64::max);
    let area: f64 = section.iter().map(|[_, t]| t).sum();
    let middle = section.iter().map(|[y, t]| y * t).sum::<f64>() / area;
    let (mut moment, mut inertia) = (0.0, 0.0);
    for [y, t] in section {
        moment += (thickest / t).ln() * (middle - y) * t;
        inertia += (y - middle).powi(2) * t;
    }
    if inertia > 0.0 { moment / inertia } else { 0.0 }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::fixtures::design;

    /// Strains that grow evenly from back to edge in a bar of even thickness would be that line itself; a wedge from 6
    /// to 2 mm over 40 mm bends by about ln 3 over its breadth.
    #[test]
    fn a_wedge_bends_towards_its_back() {
        let wedge = |turned: bool| -> Vec<[f64; 2]> {
            (0..400)
                .map(|i| {
                    let y = (f64::from(i) + 0.5) / 10.0;
                    [if turned { 40.0 - y } else { y }, 2.0 + y / 10.0]
                })
                .collect()
        };
        let bent = curvature(&wedge(false));
        assert!((bent * 40.0 / 3.0_f64.ln() - 1.0).abs() < 0.1, "{bent}");
        assert!((curvature(&wedge(true)) + bent).abs() < 1e-12);
        let flat: Vec<[f64; 2]> = wedge(false).iter().map(|[y, _]| [*y, 5.0]).collect();
        assert!(curvature(&flat).abs() < 1e-15 && curvature(&[]).abs() < 1e-15);
    }

    #[test]
    fn every_bevelled_profile_is_lifted_and_the_share_tells_how_far() {
        for name in ["chain-smiths-trial", "landing-seax", "toll-keepers-langseax"] {
            let design = design(name);
            let lift = BevelLift::of(&design, design.lay().unwrap()).unwrap();
            // A wedge of a like thinning all along bends by ln 2 to ln 6 over its breadth.
            let lay = design.lay().unwrap();
            let (low, high) = lay.sections().at(0.0).unwrap().range();
            let even = design.blade().length().powi(2) / (2.0 * (high - low));
            let thinning = 100.0 * lift.mm_per_percent / even;
            assert!((0.5..2.0).contains(&thinning) && lift.lift_mm.is_none(), "{name}: {thinning}");
        }
    }
}
