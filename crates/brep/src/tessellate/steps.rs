//! How finely rails and strips are divided: along them by what the tolerance allows, across arcs by equal turns.

use glam::DVec3;

use crate::curve::{Spline3, half_angle};
use crate::shell::{Face, Surface};
use crate::strip::Across;

/// Share of the tolerance that arcs across the section may use; the rest is left for the length. Near a half
/// makes the fewest cells: both deviations fall with the square of the divisions.
const ACROSS: f64 = 0.45;
/// Share of the tolerance used at all: what sampling between knots may miss is kept back.
const USED: f64 = 0.92;

/// A strip and its divisions across.
pub(super) struct Strip<'a> {
    pub(super) surface: &'a Surface,
    /// Parameters v of the lines along it, 0 and 1 included.
    pub(super) across: Vec<f64>,
}

impl<'a> Strip<'a> {
    /// The strip of a face; none for a plane or a cylinder.
    pub(super) fn new(face: &'a Face, tolerance: f64) -> Option<Self> {
        let across = match &face.surface {
            Surface::Plane { .. } | Surface::Cylinder { .. } => return None,
            Surface::Ruled { .. } => vec![0.0, 1.0],
            Surface::Round { low, middle, high } => {
                let worst =
                    low.breaks()
                        .iter()
                        .map(|&u| arc_size(low.point(u), middle.point(u).w, high.point(u)))
                        .fold((0.0, 0.0), |m: (f64, f64), a| {
                            if divisions(a, tolerance) > divisions(m, tolerance) { a } else { m }
                        });
                equal_turns(worst.1, divisions(worst, tolerance))
            }
        };
        Some(Strip { surface: &face.surface, across })
    }

    /// Points across at u.
    pub(super) fn row(&self, u: f64) -> Vec<DVec3> {
        let line = Across::at(self.surface, u);
        self.across.iter().map(|&v| line.as_ref().map_or(DVec3::NAN, |l| l.point(v).0)).collect()
    }

    /// Bound on the distance between the strip and its triangles between two stations.
    fn deviation(&self, u0: f64, u1: f64) -> f64 {
        let (a, b) = (self.row(u0), self.row(u1));
        let mut along: f64 = 0.0;
        if let Surface::Round { .. } = self.surface {
            for f in [0.21, 0.5, 0.79] {
                for (i, p) in self.row(u0 + (u1 - u0) * f).iter().enumerate() {
                    along = along.max(from_chord(*p, a[i], b[i]));
                }
            }
        }
        let sag = |u: f64| match self.surface {
            Surface::Round { low, middle, high } => {
                sagitta(arc_size(low.point(u), middle.point(u).w, high.point(u)), self.across.len() - 1)
            }
            _ => 0.0,
        };
        let twist = (1..a.len()).map(|i| twist([a[i - 1], a[i], b[i - 1], b[i]])).fold(0.0, f64::max);
        along + twist + sag(u0).max(sag(u1)).max(sag(0.5 * (u0 + u1)))
    }
}

/// Greatest distance between a bilinear cell and two triangles on its corners: a quarter of its twist vector,
/// as far as that leaves the cell's plane.
fn twist([a, a_next, b, b_next]: [DVec3; 4]) -> f64 {
    let normal = (b_next - a).cross(a_next - b).normalize_or_zero();
    (a - a_next - b + b_next).dot(normal).abs() / 4.0
}

/// Distance of p from the line through a and b.
fn from_chord(p: DVec3, a: DVec3, b: DVec3) -> f64 {
    let chord = (b - a).normalize_or_zero();
    (p - a).reject_from_normalized(chord).length()
}

/// Radius and half angle of the arc with these ends and middle weight.
pub(super) fn arc_size(a: DVec3, weight: f64, b: DVec3) -> (f64, f64) {
    let half = half_angle(weight);
    // Under a millionth of a radian an arc is straight.
    if half < 1e-6 { (0.0, 0.0) } else { (0.5 * a.distance(b) / half.sin(), half) }
}

/// Height of each of n equal parts of an arc over its chord.
fn sagitta((radius, half): (f64, f64), n: usize) -> f64 {
    radius * (1.0 - (half / n as f64).cos())
}

pub(super) fn divisions((radius, half): (f64, f64), tolerance: f64) -> usize {
    if radius <= 0.0 {
        return 1;
    }
    let step = (1.0 - (ACROSS * tolerance / radius).min(1.0)).acos();
    (half / step).ceil().max(1.0) as usize
}

/// Parameters that divide a rational quadratic arc of half angle `half` into n equal turns.
pub(super) fn equal_turns(half: f64, n: usize) -> Vec<f64> {
    (0..=n)
        .map(|i| {
            let turn = half * i as f64 / n as f64;
            let (before, after) = (turn.sin(), (half - turn).sin());
            match i {
                0 => 0.0,
                _ if i == n => 1.0,
                // The point at angle ψ from the start of an arc of angle 2α has v/(1−v) = sin(ψ/2)/sin(α−ψ/2).
                _ if before + after > 0.0 => before / (before + after),
                _ => i as f64 / n as f64,
            }
        })
        .collect()
}

/// Greatest distance of a spline from its chord between two parameters: of three probes (it vanishes at both
/// ends) and a twentieth more.
fn chord_deviation(spline: &Spline3, u0: f64, u1: f64) -> f64 {
    let h = u1 - u0;
    let (a, b) = (spline.point(u0), spline.point(u1));
    [0.21, 0.5, 0.79].iter().map(|&f| from_chord(spline.point(u0 + h * f), a, b)).fold(0.0, f64::max) * 1.05
}

/// Stations along a group: each step as long as the tolerance allows, then evened out. `None` past `most`.
pub(super) fn stations(
    strips: &[&Strip],
    rails: &[&Spline3],
    tolerance: f64,
    most: usize,
) -> Option<Vec<f64>> {
    let (start, end) = rails.first()?.domain();
    let limit = USED * tolerance;
    let fits = |a: f64, b: f64| {
        let rails = rails.iter().map(|r| chord_deviation(r, a, b)).fold(0.0, f64::max);
        rails <= limit
            && strips.iter().all(|s| {
                let whole = s.deviation(a, b);
                let straight = matches!(s.surface, Surface::Ruled { .. });
                whole + if straight { rails } else { 0.0 } <= limit
            })
    };
    let mut all = vec![start];
    let mut u = start;
    let mut step = end - start;
    while u < end {
        let mut reach = (step * 2.0).min(end - u);
        // A step is at least a millionth of the span: the surface there is flat to any tolerance accepted.
        let least = (end - start) * 1e-6;
        let mut good = 0.0;
        if fits(u, u + reach) {
            good = reach;
        } else {
            let mut bad = reach;
            while good == 0.0 && reach > least {
                reach *= 0.5;
                if fits(u, u + reach) { good = reach } else { bad = reach }
            }
            for _ in 0..4 {
                let middle = 0.5 * (good + bad);
                if fits(u, u + middle) { good = middle } else { bad = middle }
            }
            good = good.max(least.min(end - u));
        }
        step = good;
        // A remainder under a thousandth of a step joins the last one's end.
        u = if end - (u + good) < 1e-9 * (end - start) { end } else { u + good };
        all.push(u);
        if all.len() > most {
            return None;
        }
    }
    Some(all)
}
