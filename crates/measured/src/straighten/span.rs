//! A blade on two supports, pressed between them: how far it goes, what springs back and what stays.

use steel::YOUNG;

use crate::straighten::moment_curve::MomentCurve;

/// Pieces of each of the two arms over which bends are summed: yielding begins within a few of them.
const PIECES: usize = 60;
/// Even parts of each arm at whose ends sections are looked up: taper and fullers change slowly.
const SECTIONS: usize = 8;
/// Halvings by which the moment is found that leaves a set: to a millionth.
const HALVINGS: usize = 24;

/// Sections along a span, the first and the last over the supports; each pressed-on moment falls straight to nothing
/// there.
#[derive(Clone, Debug)]
pub(crate) struct Span {
    /// Stations, mm, ascending, and what is there.
    curves: Vec<(f64, MomentCurve)>,
    /// Where it is pressed, mm: one of the inner stations.
    pressed: f64,
}

/// The most that springs back wholly.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(crate) struct ElasticLimit {
    /// How far the pressed place goes from where it was, mm.
    pub(crate) sag: f64,
    /// Where the skin yields first, mm.
    pub(crate) at: f64,
    /// Radius of the bend there, mm.
    pub(crate) radius: f64,
}

/// A press that leaves a set.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(crate) struct Press {
    /// How far the pressed place goes from where it was, mm.
    pub(crate) pressed: f64,
    /// How much of that springs back, mm.
    pub(crate) springs_back: f64,
    /// Force at the pressed place, N.
    pub(crate) force: f64,
    /// The most that the skin is stretched or squeezed beyond yield, as a share.
    pub(crate) plastic: f64,
}

impl Span {
    /// Of what is at some stations: supports at the first and the last (mm), pressed at a place between them. `None`
    /// where that is not between them, or where there is no steel.
    pub(crate) fn new(
        [from, pressed, to]: [f64; 3],
        at: impl Fn(f64) -> Option<MomentCurve>,
    ) -> Option<Span> {
        if !(from < pressed && pressed < to) {
            return None;
        }
        let along = |a: f64, b: f64, i: usize| a + (b - a) * i as f64 / SECTIONS as f64;
        let behind = (0..SECTIONS).map(|i| along(from, pressed, i));
        let ahead = (0..=SECTIONS).map(|i| along(pressed, to, i));
        let curves: Option<Vec<(f64, MomentCurve)>> =
            behind.chain(ahead).map(|x| Some((x, at(x)?))).collect();
        Some(Span { curves: curves?, pressed })
    }

    /// From the first to the last support, mm.
    pub(crate) fn length(&self) -> f64 {
        self.to() - self.from()
    }

    /// The greatest depth across the bend, mm.
    pub(crate) fn depth(&self) -> f64 {
        self.curves.iter().map(|(_, c)| c.depth()).fold(0.0, f64::max)
    }

    fn from(&self) -> f64 {
        self.curves[0].0
    }

    fn to(&self) -> f64 {
        self.curves[self.curves.len() - 1].0
    }

    /// The most that springs back wholly, for a yield strength in MPa; small sags, by virtual work.
    pub(crate) fn elastic(&self, strength: f64) -> ElasticLimit {
        let [at, moment] = self.least(MomentCurve::first);
        let radius = YOUNG / strength * self.mixed(at, MomentCurve::reach);
        ElasticLimit { sag: self.sprung(moment, strength), at, radius }
    }

    /// The press that leaves the pressed place `set` (mm, positive) further than it was, for a yield strength in MPa.
    /// `None` where no moment does that the sections bear.
    pub(crate) fn press(&self, set: f64, strength: f64) -> Option<Press> {
        let stays = |moment: f64| self.bent(moment, strength) - self.sprung(moment, strength);
        let [mut low, mut high] = [0.0, self.greatest()];
        if stays(high) < set {
            return None;
        }
        for _ in 0..HALVINGS {
            let middle = 0.5 * (low + high);
            if stays(middle) < set { low = middle } else { high = middle }
        }
        let springs_back = self.sprung(high, strength);
        Some(Press {
            pressed: springs_back + set,
            springs_back,
            force: high * strength / self.arm(),
            plastic: self.plastic(high, strength),
        })
    }

    /// What stays of a press by so much, mm, for a yield strength in MPa; as far as moments go that the sections bear.
    pub(crate) fn stays(&self, pressed: f64, strength: f64) -> f64 {
        let [mut low, mut high] = [0.0, self.greatest()];
        for _ in 0..HALVINGS {
            let middle = 0.5 * (low + high);
            if self.bent(middle, strength) < pressed { low = middle } else { high = middle }
        }
        (self.bent(low, strength) - self.sprung(low, strength)).max(0.0)
    }

    /// The greatest moment (by yield strength, at the pressed place) that every section bears, mm³.
    fn greatest(&self) -> f64 {
        self.least(MomentCurve::greatest)[1]
    }

    /// The station (mm) whose moment comes first as the press grows, and the moment at the pressed place then, mm³.
    fn least(&self, of: impl Fn(&MomentCurve) -> f64) -> [f64; 2] {
        let inner = &self.curves[1..self.curves.len() - 1];
        let each = inner.iter().map(|(x, curve)| [*x, of(curve) / self.share(*x)]);
        each.fold([self.pressed, f64::INFINITY], |a, b| if b[1] < a[1] { b } else { a })
    }

    /// Moment at `x` as a share of that at the pressed place: it falls straight to nothing at the supports.
    fn share(&self, x: f64) -> f64 {
        let arm = if x < self.pressed { x - self.from() } else { self.to() - x };
        let whole = if x < self.pressed { self.pressed - self.from() } else { self.to() - self.pressed };
        (arm / whole).clamp(0.0, 1.0)
    }

    /// Moment at the pressed place under a force of 1 there, mm.
    fn arm(&self) -> f64 {
        (self.pressed - self.from()) * (self.to() - self.pressed) / self.length()
    }

    /// How far the pressed place goes under a moment by yield strength (mm³): the bends summed with the moments of a
    /// force of 1 (virtual work), mm.
    fn bent(&self, moment: f64, strength: f64) -> f64 {
        strength / YOUNG * self.summed(|x| self.curvature(x, moment * self.share(x)))
    }

    /// How far it springs back when it is let go, elastic all along, mm.
    fn sprung(&self, moment: f64, strength: f64) -> f64 {
        strength / YOUNG * self.summed(|x| self.mixed(x, |c| moment * self.share(x) / c.second()))
    }

    /// The most that the skin goes beyond yield, as a share.
    fn plastic(&self, moment: f64, strength: f64) -> f64 {
        let strain = |(x, curve): &(f64, MomentCurve)| {
            let bend = curve.under(moment * self.share(*x));
            bend.curvature * bend.reach - 1.0
        };
        self.curves.iter().map(strain).fold(0.0, f64::max) * strength / YOUNG
    }

    /// The sum over the span of a curvature times the moment of a force of 1, by midpoints finer towards the pressed
    /// place, where it yields.
    fn summed(&self, curvature: impl Fn(f64) -> f64) -> f64 {
        let arms = [self.from(), self.to()].map(|end| {
            let long = end - self.pressed;
            let piece = |i: usize| {
                // Pieces grow with the square of their number.
                let [a, b] = [i, i + 1].map(|i| (i as f64 / PIECES as f64).powi(2));
                let x = self.pressed + long * 0.5 * (a + b);
                curvature(x) * self.share(x) * (long * (b - a)).abs()
            };
            (0..PIECES).map(piece).sum::<f64>()
        });
        self.arm() * arms.iter().sum::<f64>()
    }

    /// Curvature under a moment, both as of [`MomentCurve::under`], between the sections beside `x`.
    fn curvature(&self, x: f64, moment: f64) -> f64 {
        self.mixed(x, |c| c.under(moment).curvature)
    }

    /// Something of the sections beside `x`, straight between them.
    fn mixed(&self, x: f64, of: impl Fn(&MomentCurve) -> f64) -> f64 {
        let i = self.curves.partition_point(|c| c.0 <= x).clamp(1, self.curves.len() - 1);
        let ((from, a), (to, b)) = (&self.curves[i - 1], &self.curves[i]);
        let t = ((x - from) / (to - from)).clamp(0.0, 1.0);
        let (a, b) = (of(a), of(b));
        a + (b - a) * t
    }
}
