//! Clamped cubic B-splines in three and four dimensions.

use std::ops::{Add, Mul, Sub};

use glam::{DVec3, DVec4};

/// A cubic B-spline in space (mm).
pub type Spline3 = Spline<DVec3>;
/// A cubic B-spline in homogeneous space `(w·x, w·y, w·z, w)`: the middle row of a round strip.
pub type Spline4 = Spline<DVec4>;

/// What a spline's control points must be able to do.
pub trait Vector: Copy + Add<Output = Self> + Sub<Output = Self> + Mul<f64, Output = Self> {}
impl<T: Copy + Add<Output = T> + Sub<Output = T> + Mul<f64, Output = T>> Vector for T {}

/// A clamped cubic B-spline: `knots.len() == points.len() + 4`, the first and last knot fourfold.
#[derive(Clone, Debug, PartialEq)]
pub struct Spline<V> {
    knots: Vec<f64>,
    points: Vec<V>,
}

impl<V: Vector> Spline<V> {
    /// The knot vector, non-decreasing, with its end knots fourfold and inner knots at most threefold.
    pub fn knots(&self) -> &[f64] {
        &self.knots
    }

    /// The control points, one fewer than the knots by four.
    pub fn points(&self) -> &[V] {
        &self.points
    }
}

/// A parameter's place among knots: the span that holds it, and the shares that each round of de Boor's scheme takes
/// there (A Practical Guide to Splines, ch. X; from memory).
#[derive(Clone, Copy, Debug)]
pub struct KnotPlace {
    span: usize,
    first: [f64; 3],
    second: [f64; 2],
    last: f64,
    width: f64,
}

impl KnotPlace {
    /// Of `u` for the cubic between knots k and k + 1.
    #[inline]
    fn new(knots: &[f64], k: usize, u: f64) -> KnotPlace {
        let share = |low: f64, high: f64| (u - low) / (high - low);
        let [a, b, c, d, e, f] =
            [knots[k - 2], knots[k - 1], knots[k], knots[k + 1], knots[k + 2], knots[k + 3]];
        KnotPlace {
            span: k,
            first: [share(a, d), share(b, e), share(c, f)],
            second: [share(b, d), share(c, e)],
            last: share(c, d),
            width: d - c,
        }
    }
}

/// Where `u` lies between knots: the index k with `knots[k] ≤ u < knots[k + 1]`, clamped to the ends.
#[inline]
fn span_of(knots: &[f64], u: f64) -> usize {
    let last = knots.len() - 5;
    knots.partition_point(|&k| k <= u).saturating_sub(1).clamp(3, last)
}

impl<V: Vector> Spline<V> {
    /// The straight way from `a` to `b` at even speed, with the domain 0 to 1.
    pub fn straight(a: V, b: V) -> Self {
        let third = (b - a) * (1.0 / 3.0);
        Spline {
            knots: vec![0.0, 0.0, 0.0, 0.0, 1.0, 1.0, 1.0, 1.0],
            points: vec![a, a + third, b - third, b],
        }
    }

    /// The spline that meets `values` at `at` (increasing, at least two). Between the indices listed in
    /// `joins` (first and last index included) it is twice continuously differentiable; at inner joins
    /// once. `slopes` are the derivatives at the joins. Clamped cubic interpolation: de Boor, A Practical
    /// Guide to Splines, ch. IV (from memory).
    pub fn through(at: &[f64], values: &[V], joins: &[usize], slopes: &[V]) -> Self {
        let mut derivatives = Vec::with_capacity(at.len());
        for (part, ends) in joins.windows(2).zip(slopes.windows(2)) {
            let range = part[0]..=part[1];
            let piece = clamped(&at[range.clone()], &values[range], ends[0], ends[1]);
            derivatives.truncate(part[0]);
            derivatives.extend(piece);
        }
        let knots = knots_of(at, joins);
        let points = (0..knots.len() - 4).map(|j| control(&knots, j, at, values, &derivatives)).collect();
        Spline { knots, points }
    }

    /// The domain: first and last knot.
    pub fn domain(&self) -> (f64, f64) {
        (self.knots[0], self.knots[self.knots.len() - 1])
    }

    /// The distinct knots.
    pub fn breaks(&self) -> Vec<f64> {
        let mut all = self.knots.clone();
        all.dedup_by(|a, b| a.total_cmp(b).is_eq());
        all
    }

    /// Point and first derivative at `u` in the domain.
    pub fn at(&self, u: f64) -> (V, V) {
        self.on_span(span_of(&self.knots, u), u)
    }

    /// Point and first derivative at `u` of the cubic between knots k and k + 1.
    fn on_span(&self, k: usize, u: f64) -> (V, V) {
        self.at_place(&KnotPlace::new(&self.knots, k, u))
    }

    /// The four control points that shape the cubic at `u`, and between which it lies.
    pub fn controls_at(&self, u: f64) -> &[V] {
        let k = span_of(&self.knots, u);
        &self.points[k - 3..=k]
    }

    /// Where `u` of the domain lies among the knots: to evaluate several splines over the same knots there.
    pub fn place(&self, u: f64) -> KnotPlace {
        KnotPlace::new(&self.knots, span_of(&self.knots, u), u)
    }

    /// The same where `u` lies near another place, whose span is tried first.
    pub fn place_near(&self, u: f64, near: &KnotPlace) -> KnotPlace {
        let k = near.span;
        let same = self.knots[k] <= u && u < self.knots[k + 1];
        if same { KnotPlace::new(&self.knots, k, u) } else { self.place(u) }
    }

    /// Point and first derivative at a place among the knots, which must be this spline's.
    pub fn at_place(&self, place: &KnotPlace) -> (V, V) {
        let mix = |a: V, b: V, share: f64| a * (1.0 - share) + b * share;
        let p = &self.points[place.span - 3..=place.span];
        let [f, g, h] = place.first;
        let [a, b, c] = [mix(p[0], p[1], f), mix(p[1], p[2], g), mix(p[2], p[3], h)];
        let [a, b] = [mix(a, b, place.second[0]), mix(b, c, place.second[1])];
        (mix(a, b, place.last), (b - a) * (3.0 / place.width))
    }

    /// Point at `u` in the domain.
    pub fn point(&self, u: f64) -> V {
        self.at(u).0
    }

    /// The spline as cubic Bézier curves, one between every two distinct knots: a cubic is given by its ends and the
    /// slopes there.
    pub fn beziers(&self) -> Vec<[V; 4]> {
        let breaks = self.breaks();
        let curve = |pair: &[f64]| {
            let third = (pair[1] - pair[0]) / 3.0;
            let (a, slope) = self.at(pair[0]);
            let (b, last) = self.before(pair[1]);
            [a, a + slope * third, b - last * third, b]
        };
        breaks.windows(2).map(curve).collect()
    }

    /// Cubic Bézier curves between `breaks` (increasing, one more than curves), each beginning where the one before ends.
    pub fn chain(breaks: &[f64], curves: &[[V; 4]]) -> Self {
        let last = curves.len();
        let times = |i: usize| if i == 0 || i == last { 4 } else { 3 };
        let knots = breaks.iter().enumerate().flat_map(|(i, &u)| std::iter::repeat_n(u, times(i))).collect();
        let first = curves.iter().take(1).map(|c| c[0]);
        let points = first.chain(curves.iter().flat_map(|c| c[1..].iter().copied())).collect();
        Spline { knots, points }
    }

    /// The part between two parameters of the domain, `from` below `to`, exactly.
    pub fn part(&self, from: f64, to: f64) -> Self {
        let inner = self.breaks().into_iter().filter(|&u| u > from && u < to);
        let breaks: Vec<f64> = std::iter::once(from).chain(inner).chain([to]).collect();
        let curve = |pair: &[f64]| {
            let third = (pair[1] - pair[0]) / 3.0;
            // Both ends belong to the cubic that holds the middle.
            let span = span_of(&self.knots, 0.5 * (pair[0] + pair[1]));
            let ((a, slope), (b, last)) = (self.on_span(span, pair[0]), self.on_span(span, pair[1]));
            [a, a + slope * third, b - last * third, b]
        };
        Spline::chain(&breaks, &breaks.windows(2).map(curve).collect::<Vec<_>>())
    }

    /// Point and first derivative at a knot or the end, from the left.
    fn before(&self, u: f64) -> (V, V) {
        let k = self.knots.partition_point(|&k| k < u).saturating_sub(1).clamp(3, self.knots.len() - 5);
        self.on_span(k, u)
    }

    /// The spline with every control point mapped by the affine (or, for homogeneous points, linear) `f`.
    pub fn map<W: Vector>(&self, f: impl Fn(V) -> W) -> Spline<W> {
        Spline { knots: self.knots.clone(), points: self.points.iter().map(|&p| f(p)).collect() }
    }

    /// First and last control point set exactly, so that curves that share a vertex end in it.
    pub fn with_ends(mut self, start: V, end: V) -> Self {
        let last = self.points.len() - 1;
        self.points[0] = start;
        self.points[last] = end;
        self
    }
}

/// Derivatives at `at` of the twice continuously differentiable cubic spline with end slopes given.
fn clamped<V: Vector>(at: &[f64], values: &[V], first: V, last: V) -> Vec<V> {
    let n = at.len() - 1;
    let mut d = vec![first; n + 1];
    d[n] = last;
    // Thomas elimination on rows (1/h₋, 2(1/h₋ + 1/h₊), 1/h₊).
    let mut ratio = vec![0.0; n + 1];
    for i in 1..n {
        let (a, b) = (1.0 / (at[i] - at[i - 1]), 1.0 / (at[i + 1] - at[i]));
        let right = (values[i] - values[i - 1]) * (3.0 * a * a) + (values[i + 1] - values[i]) * (3.0 * b * b);
        let right = if i == n - 1 { right - last * b } else { right };
        let pivot = 2.0 * (a + b) - a * ratio[i - 1];
        ratio[i] = b / pivot;
        d[i] = (right - d[i - 1] * a) * (1.0 / pivot);
    }
    for i in (1..n.saturating_sub(1)).rev() {
        d[i] = d[i] - d[i + 1] * ratio[i];
    }
    d
}

/// Fourfold ends, single knots inside, double ones at the inner joins.
fn knots_of(at: &[f64], joins: &[usize]) -> Vec<f64> {
    let (first, last) = (at[0], at[at.len() - 1]);
    let mut knots = vec![first; 4];
    for (i, &u) in at.iter().enumerate().take(at.len() - 1).skip(1) {
        knots.extend(std::iter::repeat_n(u, if joins.contains(&i) { 2 } else { 1 }));
    }
    knots.extend([last; 4]);
    knots
}

/// Control point j as the blossom at its three inner knots of the cubic on the interval beside the middle one.
fn control<V: Vector>(knots: &[f64], j: usize, at: &[f64], values: &[V], slopes: &[V]) -> V {
    let i = at.partition_point(|&u| u <= knots[j + 2]).saturating_sub(1).min(at.len() - 2);
    let h = at[i + 1] - at[i];
    let mut b = [
        values[i],
        values[i] + slopes[i] * (h / 3.0),
        values[i + 1] - slopes[i + 1] * (h / 3.0),
        values[i + 1],
    ];
    for (level, &knot) in knots[j + 1..j + 4].iter().enumerate() {
        let f = (knot - at[i]) / h;
        for k in 0..3 - level {
            b[k] = b[k] * (1.0 - f) + b[k + 1] * f;
        }
    }
    b[0]
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_straight_way_runs_evenly_and_ends_exactly() {
        let (a, b) = (DVec3::new(1.0, -2.0, 0.1), DVec3::new(4.0, 2.5, 0.7));
        let line = Spline::straight(a, b);
        assert!((line.domain().0, line.points()[0], line.points()[3]) == (0.0, a, b));
        for i in 0..=10 {
            let u = f64::from(i) / 10.0;
            let (p, d) = line.at(u);
            assert!((p - a.lerp(b, u)).length() < 1e-15 && (d - (b - a)).length() < 1e-14);
        }
    }

    #[test]
    fn a_cubic_is_met_exactly_with_and_without_an_inner_join() {
        let f = |u: f64| DVec3::new(u, u * u * u - 2.0 * u, 1.0 - u * u);
        let slope = |u: f64| DVec3::new(1.0, 3.0 * u * u - 2.0, -2.0 * u);
        let at = [0.0, 0.3, 1.0, 1.7, 2.0, 3.5];
        let values: Vec<_> = at.iter().map(|&u| f(u)).collect();
        for joins in [vec![0, 5], vec![0, 2, 5], vec![0, 1, 2, 3, 4, 5]] {
            let slopes: Vec<_> = joins.iter().map(|&i| slope(at[i])).collect();
            let spline = Spline::through(&at, &values, &joins, &slopes);
            for [a, b, c, d] in spline.beziers() {
                let middle = (a + (b + c) * 3.0 + d) / 8.0;
                assert!((middle - f(middle.x)).length() < 1e-12, "{middle}");
            }
            for i in 0..=70 {
                let u = f64::from(i) * 0.05;
                let (p, d) = spline.at(u);
                assert!((p - f(u)).length() < 1e-12, "{joins:?} at {u}: {p} {}", f(u));
                assert!((d - slope(u)).length() < 1e-11);
            }
        }
    }
}
