//! A stage of the design as it is planned, or a point of grinding between two, ready to be compared with.

use blade::{CrossSection, Loft, Moments, Sections, Stage};
use design::Design;

use crate::file::reading::{Reading, Side, What};

/// Slices of the blade over which volumes are summed: a difference of two surfaces that bends over 100 mm is summed to a
/// ten-thousandth of itself.
const SLICES: usize = 120;

/// Slices of the tang: its outline is all but straight.
const TANG_SLICES: usize = 40;

/// One planned blade: its loft, its sections, its mass.
#[derive(Clone, Debug)]
pub(crate) struct Planned {
    pub(crate) loft: Loft,
    pub(crate) sections: Sections,
    pub(crate) moments: Moments,
    /// Sections in the middle of even slices from the shoulder to the point, where there are any.
    pub(crate) slices: Vec<(f64, CrossSection)>,
    /// Area of the tang seen from the side, mm², and its first moment along x, mm³.
    pub(crate) tang_side: [f64; 2],
    pub(crate) length: f64,
}

impl Planned {
    /// Of a loft of the design.
    pub(crate) fn of(design: &Design, loft: Loft) -> Planned {
        let sections = Sections::of(&loft);
        let length = design.blade().length();
        let middle = |i: usize| length * (i as f64 + 0.5) / SLICES as f64;
        let slices = (0..SLICES).filter_map(|i| Some((middle(i), sections.at(middle(i))?))).collect();
        let tang_side = tang_side(&sections);
        Planned { moments: loft.moments(), loft, sections, slices, tang_side, length }
    }

    /// All three stages, in the order of the work.
    pub(crate) fn all(design: &Design) -> [Planned; 3] {
        // The stages don't depend on each other: one thread each.
        std::thread::scope(|scope| {
            let running =
                Stage::ALL.map(|stage| scope.spawn(move || Planned::of(design, design.blade().loft(stage))));
            running.map(|stage| stage.join().unwrap_or_else(|panic| std::panic::resume_unwind(panic)))
        })
    }

    /// Length of a slice, mm.
    pub(crate) fn step(&self) -> f64 {
        self.length / SLICES as f64
    }

    /// What the reading would be on this stage, its breadth `broader` (mm) than planned at the edge. `None` for what is
    /// not planned (gaps, twist) or not told of one place.
    pub(crate) fn reading(&self, reading: &Reading, broader: f64) -> Option<f64> {
        let station = || self.loft.station(reading.station);
        let flanks = || {
            let section = self.sections.at(reading.station)?;
            Some(section.flanks(height(&section, broader, reading.height)))
        };
        match reading.what {
            What::Breadth => Some(station()?.breadth),
            What::Back => Some(station()?.back),
            What::Edge => Some(station()?.edge),
            What::Thickness => flanks().map(|(left, right)| right - left),
            What::Flank(Side::Right) => flanks().map(|(_, right)| right),
            What::Flank(Side::Left) => flanks().map(|(left, _)| -left),
            What::SideGap(..) | What::PlaneGap(_) | What::Twist | What::Weight | What::Balance => None,
        }
    }
}

/// Area of the tang seen from the side and its first moment.
fn tang_side(sections: &Sections) -> [f64; 2] {
    let step = -sections.range().0 / TANG_SLICES as f64;
    let mut sums = [0.0; 2];
    for x in (0..TANG_SLICES).map(|i| -step * (i as f64 + 0.5)) {
        let Some((low, high)) = sections.at(x).map(|s| s.range()) else { continue };
        sums[0] += (high - low) * step;
        sums[1] += x * (high - low) * step;
    }
    sums
}

/// y of a height above the edge of a blade `broader` than this section at its edge: the backs lie on each other.
pub(crate) fn height(section: &CrossSection, broader: f64, above: f64) -> f64 {
    section.range().0 - broader + above
}
