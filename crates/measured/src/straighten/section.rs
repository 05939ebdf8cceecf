//! One section of the blade on the bench as it meets a bend: slabs of even width, summed exactly through their depth.

use crate::surplus::surface::RebuiltSection;

/// Slabs of a section: a section of 60 mm is cut every millimetre or so, where a flank is all but straight.
const SLABS: usize = 48;
/// Steps by which the neutral line is sought: Newton's double the digits each time.
const STEPS: usize = 40;
/// The neutral line is found to this share of the section's depth.
const FINE: f64 = 1e-10;

/// A part of a section: steel from one distance to another across the bend, mm, of even width along the neutral line,
/// mm.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(crate) struct Slab {
    pub(crate) from: f64,
    pub(crate) to: f64,
    pub(crate) width: f64,
}

/// How steeply stress goes on rising beyond yield, as a share of Young's modulus. 5160 tempered to 1770 MPa yield
/// breaks at 2000 MPa after some 4 % of even stretch (ASM, from memory), which is 0.03; annealed 4140 with 417 MPa
/// breaks at 655 MPa (eFunda) after some 10 %, which is 0.012. Without it a press in one place would only fold the
/// blade there.
const HARDENING: f64 = 0.02;

/// A section to be bent, of steel that is elastic up to its yield strength and then rises on a flatter line, in pull
/// and push alike.
#[derive(Clone, Debug, PartialEq)]
pub(crate) struct BentSection {
    slabs: Vec<Slab>,
    /// Slope beyond yield, as a share of Young's modulus.
    hardening: f64,
    /// Where the centroid lies, mm.
    centre: f64,
    /// Second moment about the centroid, mm⁴.
    second: f64,
    /// Furthest steel on either side, mm.
    ends: [f64; 2],
}

/// A bend of a section, for steel of any yield strength.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(crate) struct Bend {
    /// Curvature times Young's modulus by yield strength, 1/mm.
    pub(crate) curvature: f64,
    /// Moment by yield strength, mm³.
    pub(crate) moment: f64,
    /// From the neutral line to the furthest steel, mm.
    pub(crate) reach: f64,
}

impl BentSection {
    /// Of slabs, at least one with a depth and a width, and of steel whose stress rises beyond yield by a share (0 to
    /// 1) of Young's modulus; `None` where there is no steel, or a number is not finite.
    pub(crate) fn new(slabs: Vec<Slab>, hardening: f64) -> Option<BentSection> {
        let sum = |of: fn(&Slab) -> f64| slabs.iter().map(of).sum::<f64>();
        let area = sum(|s| s.width * (s.to - s.from));
        let centre = sum(|s| 0.5 * s.width * (s.to * s.to - s.from * s.from)) / area;
        let cube = |z: f64| (z - centre).powi(3);
        let second = slabs.iter().map(|s| s.width * (cube(s.to) - cube(s.from)) / 3.0).sum::<f64>();
        let steel = slabs.iter().filter(|s| s.to > s.from && s.width > 0.0);
        let ends = steel
            .fold([f64::INFINITY, f64::NEG_INFINITY], |[low, high], s| [low.min(s.from), high.max(s.to)]);
        let sound = area.is_finite() && area > 0.0 && second.is_finite() && second > 0.0;
        sound.then_some(BentSection { slabs, hardening, centre, second, ends })
    }

    /// The section bent sideways: to the right or to the left.
    pub(crate) fn sideways(section: &RebuiltSection) -> Option<BentSection> {
        let slab = |y: f64, step: f64| {
            let flanks = section.flanks(y)?;
            Some(Slab { from: flanks.left, to: flanks.right, width: step })
        };
        BentSection::new(strips(section).filter_map(|(y, step)| slab(y, step)).collect(), HARDENING)
    }

    /// The section bent in the blade's plane: towards the back or towards the edge.
    pub(crate) fn in_plane(section: &RebuiltSection) -> Option<BentSection> {
        let slab = |y: f64, step: f64| {
            let flanks = section.flanks(y)?;
            Some(Slab { from: y - 0.5 * step, to: y + 0.5 * step, width: flanks.right - flanks.left })
        };
        BentSection::new(strips(section).filter_map(|(y, step)| slab(y, step)).collect(), HARDENING)
    }

    /// Where the centroid lies, mm.
    pub(crate) fn centre(&self) -> f64 {
        self.centre
    }

    /// Second moment about the centroid, mm⁴.
    pub(crate) fn second(&self) -> f64 {
        self.second
    }

    /// From the centroid to the furthest steel, mm.
    pub(crate) fn reach(&self) -> f64 {
        self.reach_from(self.centre)
    }

    /// Depth across the bend, mm.
    pub(crate) fn depth(&self) -> f64 {
        self.ends[1] - self.ends[0]
    }

    fn reach_from(&self, neutral: f64) -> f64 {
        (self.ends[1] - neutral).max(neutral - self.ends[0])
    }

    /// The bend of a curvature times Young's modulus by yield strength, `curvature` > 0, 1/mm, and its neutral line,
    /// mm, of which a first guess is given. Plane sections stay plane, and pull and push are alike (Timoshenko,
    /// Strength of Materials II, from memory): the neutral line lies where they cancel, at the centroid while all is
    /// elastic and towards the line of equal areas as the steel flows.
    pub(crate) fn bend(&self, curvature: f64, guess: f64) -> (Bend, f64) {
        let neutral = self.neutral(curvature, guess);
        let whole = |s: &Slab| {
            let [a, b] = [s.from, s.to].map(|z| curvature * (z - neutral));
            s.width * (self.turned(b) - self.turned(a))
        };
        let moment = self.slabs.iter().map(whole).sum::<f64>() / (curvature * curvature);
        (Bend { curvature, moment, reach: self.reach_from(neutral) }, neutral)
    }

    /// Where pull and push cancel, mm: Newton's steps, halved where they leave the section.
    fn neutral(&self, curvature: f64, guess: f64) -> f64 {
        let [mut low, mut high] = self.ends;
        let mut at = guess;
        for _ in 0..STEPS {
            let (force, slope) = self.force(curvature, at);
            if force > 0.0 {
                low = at
            } else {
                high = at
            }
            let next = at + force / slope;
            let next = if next > low && next < high { next } else { 0.5 * (low + high) };
            let moved = (next - at).abs();
            at = next;
            if moved < FINE * self.depth() {
                break;
            }
        }
        at
    }

    /// Pull less push by yield strength with the neutral line at a height, mm², and how fast it falls with that height,
    /// mm.
    fn force(&self, curvature: f64, neutral: f64) -> (f64, f64) {
        let (mut force, mut slope) = (0.0, 0.0);
        for s in &self.slabs {
            let [a, b] = [s.from, s.to].map(|z| curvature * (z - neutral));
            force += s.width * (self.summed(b) - self.summed(a)) / curvature;
            slope += s.width * (self.stress(b) - self.stress(a));
        }
        (force, slope)
    }

    /// Stress by yield strength, at a strain by yield strain.
    fn stress(&self, strain: f64) -> f64 {
        (1.0 - self.hardening) * strain.clamp(-1.0, 1.0) + self.hardening * strain
    }

    /// Its integral from 0.
    fn summed(&self, strain: f64) -> f64 {
        let elastic = 0.5 * strain * strain;
        let flat = if strain.abs() <= 1.0 { elastic } else { strain.abs() - 0.5 };
        (1.0 - self.hardening) * flat + self.hardening * elastic
    }

    /// The integral from 0 of strain times stress.
    fn turned(&self, strain: f64) -> f64 {
        let size = strain.abs();
        let elastic = size.powi(3) / 3.0;
        let flat = if size <= 1.0 { elastic } else { 0.5 * size * size - 1.0 / 6.0 };
        ((1.0 - self.hardening) * flat + self.hardening * elastic).copysign(strain)
    }
}

/// Heights in the middle of even steps over a section, and their length, mm.
fn strips(section: &RebuiltSection) -> impl Iterator<Item = (f64, f64)> {
    let (low, high) = section.range();
    let step = (high - low) / SLABS as f64;
    (0..SLABS).map(move |i| (low + (i as f64 + 0.5) * step, step))
}
