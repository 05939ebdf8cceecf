//! A stage of the design as it is planned, or a point of grinding between two, ready to be compared with.

use std::collections::BTreeMap;
use std::sync::{Arc, Mutex, PoisonError};

use blade::{CrossSection, Loft, Sections, Stage, Station};
use design::Design;

use crate::file::reading::{Quantity, Reading, Side};

/// Slices of the blade over which volumes are summed: a difference of two surfaces that bends over 100 mm is summed
/// to a ten-thousandth of itself.
const SLICES: usize = 120;

/// Slices of the tang: its outline is all but straight.
const TANG_SLICES: usize = 40;

/// The tang seen from the side.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(crate) struct TangSide {
    /// mm².
    pub(crate) area: f64,
    /// Of the area along x, mm³.
    pub(crate) first_moment: f64,
}

/// What was looked up of a planned blade, by the bits of the station: readings, tables and bands ask for the same
/// ones.
#[derive(Debug, Default)]
struct Seen {
    sections: BTreeMap<u64, Option<CrossSection>>,
    stations: BTreeMap<u64, Option<Station>>,
}

/// One planned blade: its loft, its sections, its mass.
#[derive(Clone, Debug)]
pub(crate) struct Planned {
    pub(crate) loft: Arc<Loft>,
    pub(crate) sections: Sections,
    /// Volume, mm³, and its first moment along x, mm⁴.
    pub(crate) volume_along: [f64; 2],
    /// Sections in the middle of even slices from the shoulder to the point, where there are any.
    pub(crate) slices: Vec<(f64, CrossSection)>,
    pub(crate) tang_side: TangSide,
    pub(crate) length: f64,
    seen: Arc<Mutex<Seen>>,
}

impl Planned {
    /// Of a loft.
    pub(crate) fn new(loft: Arc<Loft>) -> Planned {
        let sections = Sections::of(&loft);
        let length = loft.length();
        let middle = |i: usize| length * (i as f64 + 0.5) / SLICES as f64;
        let slices = (0..SLICES).filter_map(|i| Some((middle(i), sections.at(middle(i))?))).collect();
        let tang_side = tang_side(&sections);
        Planned {
            volume_along: loft.shell().volume_along(),
            loft,
            sections,
            slices,
            tang_side,
            length,
            seen: Arc::default(),
        }
    }

    /// All three stages, in the order of the work.
    pub(crate) fn all(design: &Design) -> [Planned; 3] {
        // The stages don't depend on each other: one thread each.
        std::thread::scope(|scope| {
            let running =
                Stage::ALL.map(|stage| scope.spawn(move || Planned::new(design.blade().loft(stage))));
            running.map(|stage| stage.join().unwrap_or_else(|panic| std::panic::resume_unwind(panic)))
        })
    }

    /// The section at station `x`, mm; `None` off the blade.
    pub(crate) fn at(&self, x: f64) -> Option<CrossSection> {
        // A thread that panicked leaves no half of a section here.
        let mut seen = self.seen.lock().unwrap_or_else(PoisonError::into_inner);
        seen.sections.entry(x.to_bits()).or_insert_with(|| self.sections.at(x)).clone()
    }

    /// The sizes at station `x`, mm; `None` off the blade.
    pub(crate) fn station(&self, x: f64) -> Option<Station> {
        let mut seen = self.seen.lock().unwrap_or_else(PoisonError::into_inner);
        *seen.stations.entry(x.to_bits()).or_insert_with(|| self.loft.station(x))
    }

    /// Length of a slice, mm.
    pub(crate) fn step(&self) -> f64 {
        self.length / SLICES as f64
    }

    /// Volume of the tang, mm³.
    pub(crate) fn tang_volume(&self) -> f64 {
        let blade = self.slices.iter().map(|(_, s)| s.area() * self.step()).sum::<f64>();
        (self.volume_along[0] - blade).max(0.0)
    }

    /// Volume and first moment along x of the tang, mm³ and mm⁴: what the blade has not.
    pub(crate) fn tang_along(&self) -> [f64; 2] {
        let along = |(x, section): &(f64, CrossSection)| x * section.area() * self.step();
        [self.tang_volume(), self.volume_along[1] - self.slices.iter().map(along).sum::<f64>()]
    }

    /// Area of the blade seen from the side, without the tang, mm².
    pub(crate) fn side_area(&self) -> f64 {
        let breadth = |(_, section): &(f64, CrossSection)| section.range().1 - section.range().0;
        self.step() * self.slices.iter().map(breadth).sum::<f64>()
    }

    /// Stations of the slices, and the thickness there at which the edge would carry on if the blade were broader, mm.
    pub(crate) fn edges(&self) -> impl Iterator<Item = (f64, f64)> + '_ {
        self.slices.iter().map(|(x, section)| {
            let (left, right) = section.flanks(section.range().0);
            (*x, right - left)
        })
    }

    /// What the reading would be on this stage, its breadth `broader` (mm) than planned at the edge. `None` for what
    /// is not planned (gaps, twist) or not told of one place.
    pub(crate) fn reading(&self, reading: &Reading, broader: f64) -> Option<f64> {
        let station = || self.station(reading.station);
        let flanks = || {
            let section = self.at(reading.station)?;
            Some(section.flanks(height(&section, broader, reading.height)))
        };
        match reading.what {
            Quantity::Breadth => Some(station()?.breadth),
            Quantity::Back => Some(station()?.back),
            Quantity::Edge => Some(station()?.edge),
            Quantity::Thickness => flanks().map(|(left, right)| right - left),
            Quantity::Flank(Side::Right) => flanks().map(|(_, right)| right),
            Quantity::Flank(Side::Left) => flanks().map(|(left, _)| -left),
            Quantity::SideGap(..)
            | Quantity::PlaneGap(_)
            | Quantity::Twist
            | Quantity::Weight
            | Quantity::Balance
            | Quantity::ClampedWeight
            | Quantity::ClampedBalance
            | Quantity::Support
            | Quantity::Hardness
            | Quantity::Tempered => None,
        }
    }
}

/// Area of the tang seen from the side and its first moment.
fn tang_side(sections: &Sections) -> TangSide {
    let step = -sections.range().0 / TANG_SLICES as f64;
    let mut sums = TangSide { area: 0.0, first_moment: 0.0 };
    for x in (0..TANG_SLICES).map(|i| -step * (i as f64 + 0.5)) {
        let Some((low, high)) = sections.at(x).map(|s| s.range()) else { continue };
        sums.area += (high - low) * step;
        sums.first_moment += x * (high - low) * step;
    }
    sums
}

/// y of a height above the edge of a blade `broader` than this section at its edge: the backs lie on each other.
pub(crate) fn height(section: &CrossSection, broader: f64, above: f64) -> f64 {
    section.range().0 - broader + above
}
