//! Plane paths as chains of smooth pieces: straight, cubic Bézier, circular arc.

use std::cell::Cell;

use glam::DVec2;

use super::bezier::{cubic_point, cubic_slope};
use crate::numeric::{gauss, newton};

/// A smooth piece of a plane line, mm.
#[derive(Clone, Debug, PartialEq)]
pub enum Piece {
    /// A straight piece between two points.
    Straight(DVec2, DVec2),
    /// A cubic Bézier curve by its control points.
    Cubic([DVec2; 4]),
    /// A circular arc: centre, radius, angle at the start and at the end (rad; it turns left when they increase).
    Arc(DVec2, f64, f64, f64),
}

impl Piece {
    /// Point and derivative at t in [0, 1].
    pub fn at(&self, t: f64) -> (DVec2, DVec2) {
        match self {
            Piece::Straight(a, b) => (a.lerp(*b, t), *b - *a),
            Piece::Cubic([a, b, c, d]) => {
                let point = cubic_point([*a, *b, *c, *d], t);
                (point, cubic_slope([*a, *b, *c, *d], t))
            }
            Piece::Arc(centre, radius, from, to) => {
                let (sin, cos) = (from + (to - from) * t).sin_cos();
                (*centre + DVec2::new(cos, sin) * *radius, DVec2::new(-sin, cos) * (*radius * (to - from)))
            }
        }
    }

    fn end(&self, t: f64) -> DVec2 {
        self.at(t).0
    }

    /// The piece run through the other way.
    pub fn reversed(&self) -> Piece {
        match *self {
            Piece::Straight(a, b) => Piece::Straight(b, a),
            Piece::Cubic([a, b, c, d]) => Piece::Cubic([d, c, b, a]),
            Piece::Arc(centre, radius, from, to) => Piece::Arc(centre, radius, to, from),
        }
    }

    /// The piece moved by `by`.
    pub fn moved(&self, by: DVec2) -> Piece {
        match *self {
            Piece::Straight(a, b) => Piece::Straight(a + by, b + by),
            Piece::Cubic(c) => Piece::Cubic(c.map(|q| q + by)),
            Piece::Arc(c, r, a, b) => Piece::Arc(c + by, r, a, b),
        }
    }

    /// The piece scaled about the origin by a positive factor.
    pub fn scaled(&self, by: f64) -> Piece {
        match *self {
            Piece::Straight(a, b) => Piece::Straight(a * by, b * by),
            Piece::Cubic(c) => Piece::Cubic(c.map(|q| q * by)),
            Piece::Arc(c, r, a, b) => Piece::Arc(c * by, r * by, a, b),
        }
    }

    /// The t in [0, 1] at which a never-decreasing `f` (value, slope) reaches `target`: Newton kept in a bracket.
    fn solve(target: f64, f: impl Fn(f64) -> (f64, f64)) -> f64 {
        let (mut low, mut high) = (0.0, 1.0);
        let (mut t, mut before) = (0.5, f64::INFINITY);
        // 60 halvings reach the last bit; Newton ends it after a few.
        for _ in 0..60 {
            let (value, slope) = f(t);
            let miss = value - target;
            if miss > 0.0 {
                high = t
            } else {
                low = t
            }
            let step = miss / slope;
            let is_within = t - step > low && t - step < high;
            let next = if is_within { t - step } else { 0.5 * (low + high) };
            if (next - t).abs() < 1e-15 || (is_within && newton::is_last(step, before, 1e-16)) {
                return next;
            }
            (t, before) = (next, if is_within { step } else { f64::INFINITY });
        }
        t
    }

    /// The parameter at station `x`, mm; the nearer end outside.
    pub fn at_station(&self, x: f64) -> f64 {
        let (a, b) = (self.end(0.0).x, self.end(1.0).x);
        if x <= a {
            0.0
        } else if x >= b {
            1.0
        } else if let Piece::Straight(..) = self {
            (x - a) / (b - a)
        } else {
            Self::solve(x, |t| {
                let (p, d) = self.at(t);
                (p.x, d.x)
            })
        }
    }

    /// Curvature at `t`, 1/mm, positive where the piece turns left; zero where it stands still.
    pub fn curvature(&self, t: f64) -> f64 {
        match self {
            Piece::Straight(..) => 0.0,
            Piece::Arc(_, radius, from, to) => (to - from).signum() / radius,
            Piece::Cubic([a, b, c, d]) => {
                let (slope, s) = (self.at(t).1, 1.0 - t);
                let bend = ((*c - *b * 2.0 + *a) * s + (*d - *c * 2.0 + *b) * t) * 6.0;
                let speed = slope.length();
                if speed > 0.0 { slope.perp_dot(bend) / (speed * speed * speed) } else { 0.0 }
            }
        }
    }

    /// The parameter at a length from t = 0, mm.
    pub fn at_length(&self, length: f64) -> f64 {
        match self {
            Piece::Straight(..) | Piece::Arc(..) => (length / self.length_to(1.0)).clamp(0.0, 1.0),
            Piece::Cubic(c) => {
                // Each look measures on from the one before.
                let known = Cell::new((0.0, 0.0));
                Piece::solve(length, |t| {
                    let (from, before) = known.get();
                    let whole = before + stretch(c, from, t);
                    known.set((t, whole));
                    (whole, speed(c, t))
                })
            }
        }
    }

    /// Length from t = 0 to `t`, mm.
    pub fn length_to(&self, t: f64) -> f64 {
        match self {
            Piece::Straight(a, b) => a.distance(*b) * t,
            Piece::Arc(_, radius, from, to) => radius * (to - from).abs() * t,
            Piece::Cubic(c) => stretch(c, 0.0, t),
        }
    }

    /// The two parts on either side of t in (0, 1).
    pub fn cut(&self, t: f64) -> (Piece, Piece) {
        match *self {
            Piece::Straight(a, b) => (Piece::Straight(a, a.lerp(b, t)), Piece::Straight(a.lerp(b, t), b)),
            Piece::Cubic([a, b, c, d]) => {
                let (ab, bc, cd) = (a.lerp(b, t), b.lerp(c, t), c.lerp(d, t));
                let (abc, bcd) = (ab.lerp(bc, t), bc.lerp(cd, t));
                let m = abc.lerp(bcd, t);
                (Piece::Cubic([a, ab, abc, m]), Piece::Cubic([m, bcd, cd, d]))
            }
            Piece::Arc(c, r, from, to) => {
                let middle = from + (to - from) * t;
                (Piece::Arc(c, r, from, middle), Piece::Arc(c, r, middle, to))
            }
        }
    }

    /// Whether x turns back anywhere along the piece (by more than rounding).
    fn turns_back(&self) -> bool {
        let size = self.at(0.5).1.length().max(1e-9);
        (0..=64).any(|i| self.at(f64::from(i) / 64.0).1.x < -1e-9 * size)
    }
}

/// How fast a cubic's point moves with its parameter, mm.
fn speed(cubic: &[DVec2; 4], t: f64) -> f64 {
    cubic_slope(*cubic, t).length()
}

/// Length of a cubic between two parameters, mm, negative backwards: by eight-point Gauss on halves at most.
fn stretch(cubic: &[DVec2; 4], from: f64, to: f64) -> f64 {
    let (middle, speed) = (0.5 * (from + to), |t: f64| speed(cubic, t));
    match (to - from).abs() > 0.5 {
        true => gauss::integrate(from, middle, speed) + gauss::integrate(middle, to, speed),
        false => gauss::integrate(from, to, speed),
    }
}

/// A chain of pieces along which x never decreases. Joints between pieces are smooth unless listed as corners.
#[derive(Clone, Debug, PartialEq)]
pub struct Path {
    pieces: Vec<Piece>,
    /// `corners[i]`: the joint after piece i is a corner.
    corners: Vec<bool>,
    /// Length up to the start of each piece, and the whole length last.
    lengths: Vec<f64>,
}

impl Path {
    /// The path of `pieces`, each beginning where the one before ends; `corners[i]` tells whether the joint after
    /// piece i is a corner.
    pub fn new(pieces: Vec<Piece>, corners: Vec<bool>) -> Self {
        let mut lengths = vec![0.0];
        for piece in &pieces {
            lengths.push(lengths[lengths.len() - 1] + piece.length_to(1.0));
        }
        Path { pieces, corners, lengths }
    }

    /// Through points: between two corners (the ends count) two points make a straight span, more a twice
    /// continuously differentiable cubic spline over chord length with free ends.
    pub fn through(points: &[(DVec2, bool)]) -> Self {
        let (mut pieces, mut corners) = (Vec::new(), Vec::new());
        let mut start = 0;
        for end in 1..points.len() {
            if points[end].1 || end == points.len() - 1 {
                let run: Vec<DVec2> = points[start..=end].iter().map(|p| p.0).collect();
                let made = spline_pieces(&run);
                corners.extend(std::iter::repeat_n(false, made.len() - 1).chain([true]));
                pieces.extend(made);
                start = end;
            }
        }
        Path::new(pieces, corners)
    }

    /// The pieces in order.
    pub fn pieces(&self) -> &[Piece] {
        &self.pieces
    }

    /// For each piece whether the joint after it is a corner.
    pub(super) fn corners(&self) -> &[bool] {
        &self.corners
    }

    /// Where it starts, mm.
    pub fn start(&self) -> DVec2 {
        self.pieces[0].end(0.0)
    }

    /// Where it ends, mm.
    pub fn end(&self) -> DVec2 {
        self.pieces[self.pieces.len() - 1].end(1.0)
    }

    /// Whether x decreases anywhere along the path, by more than rounding.
    pub fn turns_back(&self) -> bool {
        self.pieces.iter().any(Piece::turns_back)
    }

    /// The piece at station x, and the parameter on it; the nearer end outside.
    pub(super) fn piece_at(&self, x: f64) -> (usize, f64) {
        let last = self.pieces.len() - 1;
        let i = self.pieces.iter().position(|p| p.end(1.0).x > x).unwrap_or(last);
        (i, self.pieces[i].at_station(x))
    }

    /// Point at station x, mm.
    pub fn at_station(&self, x: f64) -> DVec2 {
        self.point_at(x, self.piece_at(x))
    }

    /// Point at station x, mm, and the line's direction there, of length 1.
    pub fn at_station_along(&self, x: f64) -> (DVec2, DVec2) {
        let place = self.piece_at(x);
        (self.point_at(x, place), self.direction_at(place))
    }

    fn point_at(&self, x: f64, (i, t): (usize, f64)) -> DVec2 {
        let p = self.pieces[i].end(t);
        if x > self.pieces[0].end(0.0).x && x < self.end().x { DVec2::new(x, p.y) } else { p }
    }

    fn direction_at(&self, (i, t): (usize, f64)) -> DVec2 {
        self.pieces[i].at(t).1.normalize_or(DVec2::X)
    }

    /// Length from the start to station x, mm.
    pub fn length_at(&self, x: f64) -> f64 {
        let (i, t) = self.piece_at(x);
        self.lengths[i] + self.pieces[i].length_to(t)
    }

    /// Slope of length over station at x: 1/cos of the line's angle.
    pub fn length_slope(&self, x: f64) -> f64 {
        let (i, t) = self.piece_at(x);
        let d = self.pieces[i].at(t).1;
        d.length() / d.x
    }

    /// Its whole length, mm.
    pub fn length(&self) -> f64 {
        self.lengths[self.pieces.len()]
    }

    /// Point at length s from the start, mm.
    pub fn at_length(&self, s: f64) -> DVec2 {
        let i = self.lengths[1..self.pieces.len()].partition_point(|&l| l <= s);
        let piece = &self.pieces[i];
        let rest = s - self.lengths[i];
        if rest <= 0.0 {
            return piece.end(0.0);
        }
        if s >= self.lengths[i + 1] {
            return piece.end(1.0);
        }
        piece.end(piece.at_length(rest))
    }

    /// Stations of the joints between pieces, with whether each is a corner.
    pub fn joints(&self) -> Vec<(f64, bool)> {
        self.pieces[1..].iter().zip(&self.corners).map(|(p, &c)| (p.end(0.0).x, c)).collect()
    }

    /// Lengths of the joints beyond length `from`.
    pub fn joint_lengths(&self, from: f64) -> Vec<f64> {
        self.lengths[1..self.pieces.len()].iter().copied().filter(|&l| l > from).collect()
    }

    /// Unit direction of travel at station x.
    pub fn direction(&self, x: f64) -> DVec2 {
        self.direction_at(self.piece_at(x))
    }

    /// The line up to station x, followed by `arc`.
    pub fn ended_with(&self, x: f64, arc: Piece) -> Path {
        let (i, t) = self.piece_at(x);
        let mut pieces = self.pieces[..i].to_vec();
        let mut corners = self.corners[..i].to_vec();
        // A sliver shorter than a nanometre of parameter is left out.
        if t > 1e-9 {
            pieces.push(self.pieces[i].cut(t).0);
            corners.push(false);
        }
        pieces.push(arc);
        corners.push(true);
        Path::new(pieces, corners)
    }

    /// The line moved by `by`.
    pub fn moved(&self, by: DVec2) -> Path {
        Path { pieces: self.pieces.iter().map(|p| p.moved(by)).collect(), ..self.clone() }
    }
}

/// The cubic spline through `points` over chord length, as Bézier pieces; natural ends (zero second derivative).
fn spline_pieces(points: &[DVec2]) -> Vec<Piece> {
    let n = points.len() - 1;
    if n == 1 {
        return vec![Piece::Straight(points[0], points[1])];
    }
    let h: Vec<f64> = points.windows(2).map(|p| p[0].distance(p[1]).max(1e-9)).collect();
    let secant = |i: usize| (points[i + 1] - points[i]) / h[i];
    let (mut diagonal, mut d) = (vec![0.0; n + 1], vec![DVec2::ZERO; n + 1]);
    // Rows: 2 d₀ + d₁ = 3 s₀ ; (1/h₋) d₋ + 2(1/h₋+1/h₊) d + (1/h₊) d₊ = 3(s₋/h₋ + s₊/h₊) ; d₋ + 2 d = 3 s.
    diagonal[0] = 2.0;
    d[0] = secant(0) * 3.0;
    let lower = |i: usize| if i == n { 1.0 } else { 1.0 / h[i - 1] };
    let upper = |i: usize| if i == 0 { 1.0 } else { 1.0 / h[i] };
    for i in 1..=n {
        let (full, right) = if i == n {
            (2.0, secant(n - 1) * 3.0)
        } else {
            (2.0 / h[i - 1] + 2.0 / h[i], (secant(i - 1) / h[i - 1] + secant(i) / h[i]) * 3.0)
        };
        let factor = lower(i) / diagonal[i - 1];
        diagonal[i] = full - factor * upper(i - 1);
        d[i] = right - d[i - 1] * factor;
    }
    d[n] /= diagonal[n];
    for i in (0..n).rev() {
        d[i] = (d[i] - d[i + 1] * upper(i)) / diagonal[i];
    }
    (0..n)
        .map(|i| {
            let (a, b) = (points[i], points[i + 1]);
            Piece::Cubic([a, a + d[i] * (h[i] / 3.0), b - d[i + 1] * (h[i] / 3.0), b])
        })
        .collect()
}
