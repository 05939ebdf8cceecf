//! The blade on the bench as a surface: a planned stage and a surplus over it, with its bands.

use blade::CrossSection;

use crate::surplus::advice::{Advice, Sure};
use crate::surplus::places;
use crate::surplus::places::ROOT;
use crate::surplus::planned::Planned;
use crate::surplus::posterior::{Grid, Posterior};

/// Even stations at which the surplus is kept, besides those read; between them it is straight.
const STATIONS: usize = 97;
/// Heights at which the surplus is kept.
const HEIGHTS: usize = 17;
/// Heights at which bands are worked out; between them they are straight.
const BANDS: usize = 9;
/// Beside a station that was read, the surplus is kept at these distances too, mm: there a dip is told or lost.
const BESIDE: [f64; 5] = [-5.0, -2.0, 0.0, 2.0, 5.0];
/// Stations are kept no nearer than this to each other, mm.
const APART: f64 = 1.5;
/// Steps over the breadth by which areas are summed.
const STEPS: usize = 48;
/// Half a band in standard deviations: 98 % of a normal spread lies within, of which bands promise 95. Within two, advice from
/// the band's edge went under the next stage at two spots of some eighty thousand on a thousand made-up benches.
pub(crate) const SURE: f64 = 2.33;

/// The fitted fields of a blade.
#[derive(Clone, Debug)]
pub(crate) struct Fields {
    pub(crate) thickness: Posterior,
    /// What the thickness would be if readings asked for again, or the scales, were right: bands reach there.
    pub(crate) otherwise: Vec<Posterior>,
    pub(crate) breadth: Posterior,
    /// The same of the breadth.
    pub(crate) breadth_otherwise: Vec<Posterior>,
    /// Where no breadth was read, how far it may be off all the same, as a standard deviation, mm; otherwise 0.
    pub(crate) unread: f64,
    /// How much thinner everywhere the blade is if the scales are right and the readings are not, mm; otherwise 0.
    pub(crate) less: f64,
}

/// Surplus at one station: of thickness (mm) and of the middle's lean to the right (mm) from the edge up, and of
/// breadth; and how far each may be off, at 95 %.
#[derive(Clone, Copy, Debug, PartialEq)]
struct Surplus {
    thickness: [f64; HEIGHTS],
    lean: [f64; HEIGHTS],
    broader: f64,
    band: [f64; BANDS],
    lean_band: [f64; BANDS],
    broader_band: f64,
    /// How far below and above where it is taken to lie the whole blade may lie against the next stage, mm: where the outline
    /// was forged larger, nobody tells how much of it is off the back.
    lies: [f64; 2],
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
    /// Stations at which the surplus is kept, mm, ascending.
    stations: Vec<f64>,
    surplus: Vec<Surplus>,
    /// What the tang has more than the shoulder tells, mm³.
    tang: f64,
}

impl Surface {
    /// The stage with the fitted surpluses of thickness and of breadth, without bands: to be weighed.
    pub(crate) fn plain(planned: &Planned, fields: &Fields) -> Surface {
        Surface::new(planned, fields, even(planned))
    }

    /// The same with its bands, finer where it was read.
    pub(crate) fn banded(planned: &Planned, fields: &Fields, read: &[f64]) -> Surface {
        let mut surface = Surface::new(planned, fields, finer(planned, read));
        surface.set_bands(fields);
        surface
    }

    /// With what the fields say at some stations (mm, ascending), and no bands yet.
    fn new(planned: &Planned, fields: &Fields, stations: Vec<f64>) -> Surface {
        let Grid { thickness, lean } = fields.thickness.grid(&stations, &shares::<HEIGHTS>());
        let broader = fields.breadth.grid(&stations, &[0.0]).thickness;
        let at = |i: usize| Surplus {
            thickness: std::array::from_fn(|k| thickness[(i, k)]),
            lean: std::array::from_fn(|k| lean[(i, k)]),
            broader: broader[i],
            band: [0.0; BANDS],
            lean_band: [0.0; BANDS],
            broader_band: 0.0,
            lies: [0.0; 2],
        };
        let surplus = (0..stations.len()).map(at).collect();
        Surface { planned: planned.clone(), stations, surplus, tang: fields.thickness.sum(&places::tang()) }
    }

    /// Bands: what the readings leave open, and as far as doubts reach.
    fn set_bands(&mut self, fields: &Fields) {
        let up = shares::<BANDS>();
        let Grid { thickness, lean } = fields.thickness.spreads(&self.stations, &up);
        let broader = fields.breadth.spreads(&self.stations, &[0.0]).thickness;
        let doubts = apart(&fields.thickness, &fields.otherwise, &self.stations, &up);
        let broad_doubts = apart(&fields.breadth, &fields.breadth_otherwise, &self.stations, &[0.0]);
        for (i, here) in self.surplus.iter_mut().enumerate() {
            here.band = std::array::from_fn(|k| SURE * thickness[(i, k)] + doubts[(i, k)] + fields.less);
            here.lean_band = std::array::from_fn(|k| SURE * lean[(i, k)]);
            let spread = if fields.unread > 0.0 { fields.unread } else { broader[i] };
            here.broader_band = SURE * spread + broad_doubts[i];
        }
    }

    /// With what is not known of where the back lies: between the finished one and the forged one, and no further out than
    /// the blade is broader.
    pub(crate) fn with_back_between(mut self, [forged, _, finished]: &[Planned; 3]) -> Surface {
        for i in 0..self.stations.len() {
            let x = self.stations[i];
            let ranges = [&self.planned, finished, forged].map(|p| p.at(x).map(|s| s.range()));
            let [Some((low, high)), Some((edge, back)), Some((_, outer))] = ranges else { continue };
            let surplus = &mut self.surplus[i];
            let over = (high - low) + surplus.broader - (back - edge) + surplus.broader_band;
            let taken = high - back;
            surplus.lies = [taken.max(0.0), (over.clamp(0.0, (outer - back).max(0.0)) - taken).max(0.0)];
        }
        self
    }

    /// The plan it was rebuilt on.
    pub(crate) fn planned(&self) -> &Planned {
        &self.planned
    }

    /// The section at station `x`, mm; `None` off the blade.
    pub(crate) fn at(&self, x: f64) -> Option<RebuiltSection> {
        Some(self.section(x, self.planned.at(x)?))
    }

    /// How much broader than planned it is at station `x`, and how far that may be off, mm.
    pub(crate) fn broader(&self, x: f64) -> Sure {
        let here = self.between(x);
        Sure { over: here.broader, band: here.broader_band }
    }

    /// How much thicker than planned the back is at station `x`, and how far its middle leans to the right, mm.
    pub(crate) fn at_back(&self, x: f64) -> LocalSurplus {
        let surplus = self.between(x);
        LocalSurplus { thickness: surplus.thickness[HEIGHTS - 1], lean: surplus.lean[HEIGHTS - 1] }
    }

    /// How far the back's thickness at station `x` and a side of it may be off, mm.
    pub(crate) fn back_band(&self, x: f64) -> Bands {
        let here = self.between(x);
        Bands::new(here.band[BANDS - 1], here.lean_band[BANDS - 1])
    }

    /// The surplus at the edge.
    pub(crate) fn at_edge(&self, x: f64) -> LocalSurplus {
        let surplus = self.between(x);
        LocalSurplus { thickness: surplus.thickness[0], lean: surplus.lean[0] }
    }

    /// How much thicker than planned it is at the shoulder, mm: the mean over the breadth and the stations that tell
    /// of the tang.
    pub(crate) fn at_shoulder(&self) -> f64 {
        let mean = |x: f64| self.between(x).thickness.iter().sum::<f64>() / HEIGHTS as f64;
        ROOT.iter().map(|x| mean(*x)).sum::<f64>() / ROOT.len() as f64
    }

    /// What the tang has more than the shoulder tells, mm³.
    pub(crate) fn tang(&self) -> f64 {
        self.tang
    }

    /// Root of the mean square by which two surfaces on one plan differ in thickness, mm.
    pub(crate) fn apart(&self, other: &Surface) -> f64 {
        const EACH: usize = 40;
        let each = (0..EACH).flat_map(|i| {
            let x = self.planned.length * i as f64 / EACH as f64;
            let (a, b) = (self.between(x).thickness, other.between(x).thickness);
            a.into_iter().zip(b).map(|(a, b)| (a - b).powi(2)).collect::<Vec<_>>()
        });
        (each.sum::<f64>() / (EACH * HEIGHTS) as f64).sqrt()
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
        let i = self.stations.partition_point(|s| *s <= x).clamp(1, self.stations.len() - 1) - 1;
        let (from, to) = (self.stations[i], self.stations[i + 1]);
        let (a, b, t) = (&self.surplus[i], &self.surplus[i + 1], ((x - from) / (to - from)).clamp(0.0, 1.0));
        let mix = |a: f64, b: f64| a + (b - a) * t;
        Surplus {
            thickness: std::array::from_fn(|k| mix(a.thickness[k], b.thickness[k])),
            lean: std::array::from_fn(|k| mix(a.lean[k], b.lean[k])),
            broader: mix(a.broader, b.broader),
            band: std::array::from_fn(|k| mix(a.band[k], b.band[k])),
            lean_band: std::array::from_fn(|k| mix(a.lean_band[k], b.lean_band[k])),
            broader_band: mix(a.broader_band, b.broader_band),
            lies: std::array::from_fn(|k| mix(a.lies[k], b.lies[k])),
        }
    }
}

/// How far a thickness, and one side of it, may be off, at 95 %, mm.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(crate) struct Bands {
    pub(crate) thickness: f64,
    pub(crate) side: f64,
}

impl Bands {
    fn new(thickness: f64, lean: f64) -> Bands {
        Bands { thickness, side: lean.hypot(0.5 * thickness) }
    }
}

/// Even steps from −1 to 1.
fn shares<const N: usize>() -> [f64; N] {
    std::array::from_fn(|i| 2.0 * i as f64 / (N - 1) as f64 - 1.0)
}

/// Even stations, mm.
fn even(planned: &Planned) -> Vec<f64> {
    (0..STATIONS).map(|i| planned.length * i as f64 / (STATIONS - 1) as f64).collect()
}

/// Even stations and those about the ones that were read, mm: where two are too near, the read one stays.
fn finer(planned: &Planned, read: &[f64]) -> Vec<f64> {
    let mut all: Vec<f64> = Vec::new();
    let mut take = |x: f64, apart: f64| {
        if (0.0..=planned.length).contains(&x) && !all.iter().any(|o: &f64| (o - x).abs() < apart) {
            all.push(x);
        }
    };
    read.iter().for_each(|x| take(*x, 1e-6));
    let beside = read.iter().flat_map(|x| BESIDE.map(|by| x + by));
    beside.for_each(|x| take(x, APART));
    [0.0, planned.length].into_iter().for_each(|x| take(x, 1e-6));
    even(planned).into_iter().for_each(|x| take(x, APART));
    all.sort_by(f64::total_cmp);
    all
}

/// How far other fields are from one, at the most, mm.
fn apart(field: &Posterior, others: &[Posterior], along: &[f64], up: &[f64]) -> nalgebra::DMatrix<f64> {
    let own = field.grid(along, up).thickness;
    others.iter().fold(own.map(|_| 0.0), |most, other| {
        most.zip_map(&(other.grid(along, up).thickness - &own), |a: f64, b: f64| a.max(b.abs()))
    })
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
        let share = self.share(y);
        LocalSurplus { thickness: row(&self.surplus.thickness, share), lean: row(&self.surplus.lean, share) }
    }

    /// How far the steel at height `y` may be off, mm: a height that is off by what the breadth is makes it so too.
    pub(crate) fn bands(&self, y: f64) -> Bands {
        let share = self.share(y);
        let thickness = |y: f64| {
            let (left, right) = self.planned.flanks(y);
            right - left
        };
        let (low, high) = self.planned.range();
        let (under, above) = ((y - NEAR).max(low), (y + NEAR).min(high));
        let slope = if above > under { (thickness(above) - thickness(under)) / (above - under) } else { 0.0 };
        let shifted = slope * self.surplus.broader_band;
        let thick = row(&self.surplus.band, share).hypot(shifted) + self.lying(y, thickness);
        Bands::new(thick, row(&self.surplus.lean_band, share))
    }

    /// How far the thickness at height `y` may be off because the whole blade may lie lower or higher, mm.
    fn lying(&self, y: f64, thickness: impl Fn(f64) -> f64) -> f64 {
        let ([below, above], (low, high)) = (self.surplus.lies, self.planned.range());
        if below + above <= 0.0 {
            return 0.0;
        }
        // A blade that lies higher has at this height what it was taken to have lower down.
        let places = (0..=LIES).map(|i| y - above + (above + below) * i as f64 / LIES as f64);
        let here = thickness(y.clamp(low, high));
        places.map(|y| (thickness(y.clamp(low, high)) - here).abs()).fold(0.0, f64::max)
    }

    /// Height `y` as a share of the planned breadth.
    fn share(&self, y: f64) -> f64 {
        let (low, high) = self.planned.range();
        ((y - low) / (high - low)).clamp(0.0, 1.0)
    }

    /// How it stands over a planned section: heights in the middle of even steps over both, and the length of a step,
    /// mm. With bands where they are asked for.
    pub(crate) fn against<'a>(
        &'a self,
        target: &'a CrossSection,
        banded: bool,
    ) -> (impl Iterator<Item = Over> + 'a, f64) {
        let (low, high) = self.range();
        let (under, top) = target.range();
        let (from, to) = (low.min(under), high.max(top));
        let step = (to - from) / STEPS as f64;
        let of = if banded { Over::at } else { Over::plain };
        let at = move |i: usize| of(self, target, from + (i as f64 + 0.5) * step);
        ((0..STEPS).map(at), step)
    }
}

/// Steps over where a blade may lie: between two of a quarter of a millimetre a bevel thins by hundredths.
const LIES: usize = 6;

/// Between heights whose thicknesses tell a flank's slope, mm.
const NEAR: f64 = 0.5;

/// A row of even values at a share of its length.
fn row<const N: usize>(row: &[f64; N], share: f64) -> f64 {
    let place = share * (N - 1) as f64;
    let i = (place as usize).min(N - 2);
    row[i] + (row[i + 1] - row[i]) * (place - i as f64)
}

/// How far the steel stands over the plan at one height of a section, mm: to take off, or below 0 where it is gone.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(crate) struct Over {
    /// To the right.
    pub(crate) right: f64,
    /// To the left.
    pub(crate) left: f64,
    /// How far either may be off, at 95 %.
    pub(crate) band: f64,
}

impl Over {
    /// At height `y` (mm): where one of the two is not there, half of the other stands over on either side.
    pub(crate) fn at(rebuilt: &RebuiltSection, target: &CrossSection, y: f64) -> Over {
        Over { band: rebuilt.bands(y).side, ..Over::plain(rebuilt, target, y) }
    }

    /// The same without its band.
    fn plain(rebuilt: &RebuiltSection, target: &CrossSection, y: f64) -> Over {
        let (low, high) = target.range();
        let planned = (low..=high).contains(&y).then(|| target.flanks(y));
        let band = 0.0;
        let halves = |thickness: f64| Over { right: 0.5 * thickness, left: 0.5 * thickness, band };
        match (rebuilt.flanks(y), planned) {
            (Some(Flanks { left, right }), Some((l, r))) => Over { right: right - r, left: l - left, band },
            (Some(Flanks { left, right }), None) => halves(right - left),
            (None, Some((l, r))) => halves(l - r),
            (None, None) => halves(0.0),
        }
    }

    /// What to do on the right and on the left.
    pub(crate) fn advice(self) -> [Advice; 2] {
        [self.right, self.left].map(|over| Advice::of(Sure { over, band: self.band }))
    }

    /// Both sides together.
    pub(crate) fn both(self) -> f64 {
        self.right + self.left
    }

    /// What is missing on both sides together beyond the band, at least 0.
    pub(crate) fn missing(self) -> f64 {
        (-self.right - self.band).max(0.0) + (-self.left - self.band).max(0.0)
    }
}
