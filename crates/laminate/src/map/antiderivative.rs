//! A function along the blade and its integral, as polynomials between breaks.

use std::f64::consts::PI;

use rayon::iter::{IntoParallelRefIterator, ParallelIterator};

/// Coefficients of a piece: exact to degree 11, and sections between the rails' knots are of degree 6.
const TERMS: usize = 10;
/// A piece is halved while its last two coefficients would change the whole integral by more than about this share: a
/// short piece may be as many times less exact as it is shorter.
const SMALL: f64 = 1e-11;
/// Breaks are taken several at a time up to this share of the whole: those of neighbouring rails lie in bunches where
/// sections are tilted, and what changes at them is the third derivative.
const BUNCH: f64 = 1.0 / 256.0;
/// Halvings at most, one in another: a corner that no break tells of is shut in a thousandth of its piece.
const HALVINGS: usize = 10;
/// Halvings of one bunch in all: a corner takes ten, a smooth stretch a few. What wants more is the rounding of sections that
/// are cut where their lines bend sharply, and no piece gets better than that.
const MOST_HALVINGS: usize = 24;

/// Between two stations: the function and its integral in Chebyshev polynomials of a parameter t from −1 to 1, in which
/// x is linear, or beyond the fan's start runs with the square of what is left.
#[derive(Clone, Debug)]
struct Piece {
    /// Parameters at the ends.
    from: f64,
    to: f64,
    /// The integral up to the piece's start.
    before: f64,
    value: [f64; TERMS],
    integral: [f64; TERMS + 1],
}

/// How stations and parameters hang together.
#[derive(Clone, Copy, Debug)]
struct Way {
    /// Where parameters stop being stations.
    bend: f64,
    /// Where the blade ends.
    end: f64,
}

impl Way {
    /// Station and its change at a parameter: from the bend on `end − rest·(1 − w)²` with w growing from 0 to 1 twice as
    /// slowly as the station would, so that the change is continuous.
    fn station(&self, t: f64) -> (f64, f64) {
        let rest = self.end - self.bend;
        if t <= self.bend || rest <= 0.0 {
            return (t, 1.0);
        }
        let left = 1.0 - (t - self.bend) / (2.0 * rest);
        (self.end - rest * left * left, left)
    }

    fn parameter(&self, x: f64) -> f64 {
        let rest = self.end - self.bend;
        if x <= self.bend || rest <= 0.0 {
            return x;
        }
        self.bend + 2.0 * rest * (1.0 - ((self.end - x).max(0.0) / rest).sqrt())
    }
}

/// The integral of a positive function over stations.
#[derive(Clone, Debug)]
pub(crate) struct Antiderivative {
    way: Way,
    pieces: Vec<Piece>,
}

impl Antiderivative {
    /// Of `f` from the first to the last of `breaks` (increasing stations, mm, at least two), between which it is
    /// smooth; beyond `bend` it may shrink with the root of the distance to the last.
    pub(crate) fn new(breaks: &[f64], bend: f64, f: impl Fn(f64) -> f64 + Sync) -> Self {
        let (from, end) = (breaks[0], breaks[breaks.len() - 1]);
        let way = Way { bend: bend.clamp(from, end), end };
        let mut marks: Vec<f64> = breaks.iter().chain([&way.bend]).map(|&x| way.parameter(x)).collect();
        marks.sort_by(f64::total_cmp);
        marks.dedup_by(|a, b| (*a - *b).abs() < 1e-6);
        let g = |t: f64| {
            let (x, dx) = way.station(t);
            f(x) * dx
        };
        let whole = marks[marks.len() - 1] - marks[0];
        // Sections cost most of it, and stretches don't depend on each other.
        let stretches: Vec<Vec<Piece>> = bunches(&marks, BUNCH * whole)
            .par_iter()
            .map(|marks| {
                let mut left = MOST_HALVINGS;
                pieces(marks, SMALL * whole, &mut left, &g)
            })
            .collect();
        let mut run = Antiderivative { way, pieces: Vec::new() };
        for piece in stretches.into_iter().flatten() {
            let before = run.total();
            run.pieces.push(Piece { before, ..piece });
        }
        run
    }

    /// The whole integral.
    pub(crate) fn total(&self) -> f64 {
        self.pieces.last().map_or(0.0, |p| p.before + clenshaw(&p.integral, 1.0))
    }

    /// The integral up to station `x`; the whole beyond the ends.
    pub(crate) fn at(&self, x: f64) -> f64 {
        self.integral(self.way.parameter(x))
    }

    fn integral(&self, t: f64) -> f64 {
        let i = self.pieces.partition_point(|p| p.from <= t).saturating_sub(1);
        let piece = &self.pieces[i];
        piece.before + clenshaw(&piece.integral, piece.local(t))
    }

    /// The station up to which the integral is `sum`, clamped to the ends.
    pub(crate) fn station(&self, sum: f64) -> f64 {
        let i = self.pieces.partition_point(|p| p.before <= sum).saturating_sub(1);
        let piece = &self.pieces[i];
        let (mut low, mut high) = (piece.from, piece.to);
        let mut t = 0.5 * (low + high);
        // Newton's way with halving to fall back on.
        for _ in 0..60 {
            let off = piece.before + clenshaw(&piece.integral, piece.local(t)) - sum;
            if off > 0.0 {
                high = t
            } else {
                low = t
            }
            let step = off / clenshaw(&piece.value, piece.local(t));
            // Once the step is lost in the rounding the bracket may have shut on t.
            if step.abs() < 1e-14 * (1.0 + t.abs()) {
                break;
            }
            t = if t - step > low && t - step < high { t - step } else { 0.5 * (low + high) };
        }
        self.way.station(t).0
    }
}

/// Increasing marks in runs of two or more, each shorter than `length` but for a single long step; a run begins with the
/// last mark of the one before.
fn bunches(marks: &[f64], length: f64) -> Vec<&[f64]> {
    let mut runs = Vec::new();
    let mut first = 0;
    while first + 1 < marks.len() {
        let within = marks[first + 2..].partition_point(|&m| m - marks[first] < length);
        runs.push(&marks[first..=first + 1 + within]);
        first += 1 + within;
    }
    runs
}

/// The pieces of a run between breaks, parted at a break near its middle and in the end halved until each has its
/// integral within `allowed` times its greatest value, or no halvings are `left`; what lies before them is not counted yet.
fn pieces(marks: &[f64], allowed: f64, left: &mut usize, g: &impl Fn(f64) -> f64) -> Vec<Piece> {
    let (from, to) = (marks[0], marks[marks.len() - 1]);
    if marks.len() == 2 {
        return halved([from, to], allowed, (HALVINGS, left), g);
    }
    let whole = Piece::through(from, to, g);
    if whole.is_within(allowed) {
        return vec![whole];
    }
    let parting = marks.partition_point(|&m| m < 0.5 * (from + to)).clamp(1, marks.len() - 2);
    let mut both = pieces(&marks[..=parting], allowed, left, g);
    both.extend(pieces(&marks[parting..], allowed, left, g));
    both
}

/// The pieces of a smooth stretch, halved `deep` times one in another at most, and as often as there are halvings `left`.
fn halved(
    [from, to]: [f64; 2],
    allowed: f64,
    (deep, left): (usize, &mut usize),
    g: &impl Fn(f64) -> f64,
) -> Vec<Piece> {
    let whole = Piece::through(from, to, g);
    if whole.is_within(allowed) || deep == 0 || *left == 0 {
        return vec![whole];
    }
    *left -= 1;
    let middle = 0.5 * (from + to);
    let mut both = halved([from, middle], allowed, (deep - 1, left), g);
    both.extend(halved([middle, to], allowed, (deep - 1, left), g));
    both
}

impl Piece {
    /// Between two parameters, through the function's values at the Chebyshev points.
    fn through(from: f64, to: f64, g: &impl Fn(f64) -> f64) -> Piece {
        let value = coefficients(from, to, g);
        Piece { from, to, before: 0.0, value, integral: integrated(&value, 0.5 * (to - from)) }
    }

    /// Whether what is left out of its integral is within `allowed` times its greatest value.
    fn is_within(&self, allowed: f64) -> bool {
        let size = self.value.iter().fold(0.0_f64, |m, c| m.max(c.abs()));
        let tail = self.value[TERMS - 2].abs().max(self.value[TERMS - 1].abs());
        tail * (self.to - self.from) <= allowed * size
    }

    fn local(&self, t: f64) -> f64 {
        ((2.0 * t - self.from - self.to) / (self.to - self.from)).clamp(-1.0, 1.0)
    }
}

/// Chebyshev coefficients of the polynomial through g at the Chebyshev points of an interval.
fn coefficients(from: f64, to: f64, g: &impl Fn(f64) -> f64) -> [f64; TERMS] {
    let n = TERMS as f64;
    let angle = |j: usize| PI * (j as f64 + 0.5) / n;
    let samples: [f64; TERMS] =
        std::array::from_fn(|j| g(0.5 * (from + to) + 0.5 * (to - from) * angle(j).cos()));
    std::array::from_fn(|k| {
        let sum: f64 = (0..TERMS).map(|j| samples[j] * (k as f64 * angle(j)).cos()).sum();
        sum * if k == 0 { 1.0 } else { 2.0 } / n
    })
}

/// Coefficients of the integral from −1 on, times `half`: b_k = (a_{k−1} − a_{k+1}) / 2k.
fn integrated(a: &[f64; TERMS], half: f64) -> [f64; TERMS + 1] {
    let a = |k: usize| a.get(k).copied().unwrap_or(0.0);
    let mut b = [0.0; TERMS + 1];
    b[1] = half * (a(0) - 0.5 * a(2));
    for (k, b) in b.iter_mut().enumerate().skip(2) {
        *b = half * (a(k - 1) - a(k + 1)) / (2.0 * k as f64);
    }
    b[0] = -clenshaw(&b, -1.0);
    b
}

/// The value of a sum of Chebyshev polynomials (Clenshaw 1955).
fn clenshaw(a: &[f64], t: f64) -> f64 {
    let (mut one, mut two) = (0.0, 0.0);
    for &c in a.iter().skip(1).rev() {
        (one, two) = (c + 2.0 * t * one - two, one);
    }
    a[0] + t * one - two
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn integrals_of_roots_and_polynomials_are_found() {
        // An ellipse's quarter: its height falls with the root of what is left.
        let run = Antiderivative::new(&[0.0, 10.0], 4.0, |x| (100.0 - x * x).sqrt());
        assert!((run.total() - 25.0 * PI).abs() < 1e-9, "{}", run.total() - 25.0 * PI);
        let quarter = |x: f64| 0.5 * (x * (100.0 - x * x).sqrt() + 100.0 * (x / 10.0).asin());
        for x in [0.0, 1.0, 3.99, 4.0, 4.01, 7.0, 9.9, 9.999, 10.0] {
            assert!((run.at(x) - quarter(x)).abs() < 1e-9, "{x}");
            assert!((run.station(quarter(x)) - x).abs() < 1e-9, "{x}");
        }
        assert!(run.at(-1.0).abs() < 1e-12 && (run.at(11.0) - run.total()).abs() < 1e-12);
    }

    #[test]
    fn corners_at_breaks_and_unknown_ones_are_taken() {
        let corner = |x: f64| 2.0 + (x - 3.0).abs();
        let exact =
            |x: f64| 2.0 * x + if x < 3.0 { 3.0 * x - 0.5 * x * x } else { 4.5 + 0.5 * (x - 3.0).powi(2) };
        let told = Antiderivative::new(&[0.0, 3.0, 8.0], 8.0, corner);
        assert!((told.at(5.5) - exact(5.5)).abs() < 1e-12);
        let untold = Antiderivative::new(&[0.0, 8.0], 8.0, corner);
        assert!((untold.at(5.5) - exact(5.5)).abs() < 1e-5);
    }
}
