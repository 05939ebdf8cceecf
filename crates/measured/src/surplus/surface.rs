//! The blade on the bench as a surface: a planned stage and a smooth surplus over it.

use blade::CrossSection;

use crate::surplus::planned::Planned;
use crate::surplus::posterior::Posterior;

/// Stations and heights at which the surplus is kept; between them it is straight, which over waves of 100 mm is off by
/// less than a thousandth of a millimetre.
const STATIONS: usize = 97;
/// See [`STATIONS`].
const HEIGHTS: usize = 17;
/// Steps over the breadth by which areas are summed.
const STEPS: usize = 48;

/// Surplus at one station: of thickness (mm) and of the middle's lean to the right (mm) from the edge up, and of breadth.
#[derive(Clone, Copy, Debug, PartialEq)]
struct Surplus {
    thickness: [f64; HEIGHTS],
    lean: [f64; HEIGHTS],
    broader: f64,
}

/// Surplus at one place.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(crate) struct LocalSurplus {
    /// Of thickness, mm.
    pub(crate) thickness: f64,
    /// Of the middle to the right, mm.
    pub(crate) lean: f64,
}

/// How far steel reaches to either side of the middle plane at one height: z, mm.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(crate) struct Flanks {
    pub(crate) left: f64,
    pub(crate) right: f64,
}

/// A blade rebuilt from readings. What is too broad counts at the edge: the backs of blade and plan lie on each other.
#[derive(Clone, Debug)]
pub(crate) struct Surface {
    planned: Planned,
    surplus: Vec<Surplus>,
}

impl Surface {
    /// The stage with the fitted surpluses of thickness and of breadth.
    pub(crate) fn new(planned: &Planned, thickness: &Posterior, breadth: &Posterior) -> Surface {
        Surface { planned: planned.clone(), surplus: surplus(thickness, breadth) }
    }

    /// The plan it was rebuilt on.
    pub(crate) fn planned(&self) -> &Planned {
        &self.planned
    }

    /// The section at station `x`, mm; `None` off the blade.
    pub(crate) fn at(&self, x: f64) -> Option<RebuiltSection> {
        Some(self.section(x, self.planned.sections.at(x)?))
    }

    /// How much broader than planned it is at station `x`, mm.
    pub(crate) fn broader(&self, x: f64) -> f64 {
        self.between(x).broader
    }

    /// How much thicker than planned the back is at station `x`, and how far its middle leans to the right, mm.
    pub(crate) fn at_back(&self, x: f64) -> LocalSurplus {
        let surplus = self.between(x);
        LocalSurplus { thickness: surplus.thickness[HEIGHTS - 1], lean: surplus.lean[HEIGHTS - 1] }
    }

    /// The same of the edge.
    pub(crate) fn at_edge(&self, x: f64) -> LocalSurplus {
        let surplus = self.between(x);
        LocalSurplus { thickness: surplus.thickness[0], lean: surplus.lean[0] }
    }

    /// How much thicker than planned it is at the shoulder, mm: the mean over the breadth.
    pub(crate) fn at_shoulder(&self) -> f64 {
        self.between(0.0).thickness.iter().sum::<f64>() / HEIGHTS as f64
    }

    /// Root of the mean square by which two surfaces on one plan differ in thickness, mm.
    pub(crate) fn apart(&self, other: &Surface) -> f64 {
        let squares = self.surplus.iter().zip(&other.surplus).flat_map(|(a, b)| {
            a.thickness.iter().zip(b.thickness).map(|(a, b)| (a - b).powi(2)).collect::<Vec<_>>()
        });
        (squares.sum::<f64>() / (STATIONS * HEIGHTS) as f64).sqrt()
    }

    /// The sections in the middle of the plan's slices.
    pub(crate) fn slices(&self) -> impl Iterator<Item = (f64, RebuiltSection)> + '_ {
        self.planned.slices.iter().map(|(x, section)| (*x, self.section(*x, section.clone())))
    }

    fn section(&self, x: f64, planned: CrossSection) -> RebuiltSection {
        RebuiltSection { planned, surplus: self.between(x) }
    }

    /// The surplus at x, between the stations where it is known.
    fn between(&self, x: f64) -> Surplus {
        let place = (x / self.planned.length).clamp(0.0, 1.0) * (STATIONS - 1) as f64;
        let i = (place as usize).min(STATIONS - 2);
        let (a, b, t) = (&self.surplus[i], &self.surplus[i + 1], place - i as f64);
        let mix = |a: f64, b: f64| a + (b - a) * t;
        Surplus {
            thickness: std::array::from_fn(|k| mix(a.thickness[k], b.thickness[k])),
            lean: std::array::from_fn(|k| mix(a.lean[k], b.lean[k])),
            broader: mix(a.broader, b.broader),
        }
    }
}

/// Of a row of `count` from −1 to 1, the one at `i`.
fn share(i: usize, count: usize) -> f64 {
    2.0 * i as f64 / (count - 1) as f64 - 1.0
}

/// The surplus at every station kept.
fn surplus(thickness: &Posterior, breadth: &Posterior) -> Vec<Surplus> {
    let along: Vec<f64> = (0..STATIONS).map(|i| share(i, STATIONS)).collect();
    let up: [f64; HEIGHTS] = std::array::from_fn(|k| share(k, HEIGHTS));
    let [thickness, lean] = thickness.grid(&along, &up);
    let [broader, _] = breadth.grid(&along, &[0.0]);
    let at = |i: usize| Surplus {
        thickness: std::array::from_fn(|k| thickness[(i, k)]),
        lean: std::array::from_fn(|k| lean[(i, k)]),
        broader: broader[i],
    };
    (0..STATIONS).map(at).collect()
}

/// A section of the rebuilt blade.
#[derive(Clone, Debug, PartialEq)]
pub(crate) struct RebuiltSection {
    planned: CrossSection,
    surplus: Surplus,
}

impl RebuiltSection {
    /// The least and the greatest height, mm.
    pub(crate) fn range(&self) -> (f64, f64) {
        let (low, high) = self.planned.range();
        ((low - self.surplus.broader).min(high), high)
    }

    /// How far the steel reaches left and right at height `y`, mm; `None` above and below it. Never left beyond right.
    pub(crate) fn flanks(&self, y: f64) -> Option<Flanks> {
        let (low, high) = self.range();
        if !(low..=high).contains(&y) {
            return None;
        }
        let (left, right) = self.planned.flanks(y);
        let LocalSurplus { thickness, lean } = self.over(y);
        let (left, right) = (left - 0.5 * thickness + lean, right + 0.5 * thickness + lean);
        let middle = 0.5 * (left + right);
        Some(Flanks { left: left.min(middle), right: right.max(middle) })
    }

    /// Surplus of thickness and lean at height `y`.
    fn over(&self, y: f64) -> LocalSurplus {
        let (low, high) = self.planned.range();
        let place = ((y - low) / (high - low)).clamp(0.0, 1.0) * (HEIGHTS - 1) as f64;
        let i = (place as usize).min(HEIGHTS - 2);
        let t = place - i as f64;
        let mix = |row: &[f64; HEIGHTS]| row[i] + (row[i + 1] - row[i]) * t;
        LocalSurplus { thickness: mix(&self.surplus.thickness), lean: mix(&self.surplus.lean) }
    }

    /// How it stands over a planned section: heights in the middle of even steps over both, and the length of a step, mm.
    pub(crate) fn against<'a>(&'a self, target: &'a CrossSection) -> (impl Iterator<Item = Over> + 'a, f64) {
        let (low, high) = self.range();
        let (under, top) = target.range();
        let (from, to) = (low.min(under), high.max(top));
        let step = (to - from) / STEPS as f64;
        let at = move |i: usize| Over::at(self, target, from + (i as f64 + 0.5) * step);
        ((0..STEPS).map(at), step)
    }
}

/// How far the steel stands over the plan at one height of a section, mm: to take off, or below 0 where it is gone.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(crate) struct Over {
    /// To the right.
    pub(crate) right: f64,
    /// To the left.
    pub(crate) left: f64,
}

impl Over {
    /// At height `y` (mm): where one of the two is not there, half of the other stands over on either side.
    pub(crate) fn at(rebuilt: &RebuiltSection, target: &CrossSection, y: f64) -> Over {
        let (low, high) = target.range();
        let planned = (low..=high).contains(&y).then(|| target.flanks(y));
        match (rebuilt.flanks(y), planned) {
            (Some(Flanks { left, right }), Some((l, r))) => Over { right: right - r, left: l - left },
            (Some(Flanks { left, right }), None) => Over::halves(right - left),
            (None, Some((l, r))) => Over::halves(l - r),
            (None, None) => Over::halves(0.0),
        }
    }

    fn halves(thickness: f64) -> Over {
        Over { right: 0.5 * thickness, left: 0.5 * thickness }
    }

    /// Both sides together.
    pub(crate) fn both(self) -> f64 {
        self.right + self.left
    }

    /// What is missing on both sides together, at least 0.
    pub(crate) fn missing(self) -> f64 {
        (-self.right).max(0.0) + (-self.left).max(0.0)
    }
}
