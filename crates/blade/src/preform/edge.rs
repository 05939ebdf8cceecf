//! The edge of the tip in smooth stretches, and the places square below points of the blade.

use brep::numeric::root::{TO_THE_LAST_BIT, bracket};
use brep::{Path, Piece};
use glam::DVec2;

use crate::preform::unbendable::Unbendable;

/// Parts that a smooth stretch of the edge is integrated and drawn in: widths are smooth in each, errors far below 1e-6.
pub(super) const PARTS: usize = 24;

/// Samples of a piece that is searched for a crossing: no piece turns so often.
const SEARCHED: usize = 32;
/// How far the edge may lean from the blade's length where unbending begins, rad: a degree, less than a smith sees.
const LEAN: f64 = 0.017_453;
/// Angle between neighbouring pieces that counts as a corner, rad: a tenth of a degree would open 0.1 mm over 60 mm.
const CORNER: f64 = 1.7e-3;

/// A stretch of the edge over which widths are smooth.
#[derive(Clone, Debug, PartialEq)]
pub(super) struct Stretch {
    pub(super) piece: Piece,
    /// Length along the edge at its start, mm.
    pub(super) from: f64,
}

/// A place on the edge.
#[derive(Clone, Copy)]
pub(super) struct Foot {
    pub(super) point: DVec2,
    /// Unit vector along the edge to the point.
    pub(super) ahead: DVec2,
    /// Of the edge, 1/mm, positive where it turns up.
    pub(super) curvature: f64,
    /// Length along the edge, mm.
    pub(super) s: f64,
}

impl Foot {
    /// From a point of the blade to (s, n′).
    pub(super) fn unbent(&self, p: DVec2) -> DVec2 {
        let (a, n) = (self.ahead.dot(p - self.point), self.ahead.perp_dot(p - self.point));
        // Beyond the edge's end (a > 0) columns are as much longer as they are lower, so that their area stays.
        DVec2::new(self.s + a / (1.0 - self.curvature * n), n - 0.5 * self.curvature * n * n)
    }

    /// From `a` mm ahead at n′ to the blade.
    pub(super) fn bent(&self, a: f64, height: f64) -> DVec2 {
        // n of n′ = n − κ·n²/2, in the form that also holds where κ is 0.
        let n = 2.0 * height / (1.0 + (1.0 - 2.0 * self.curvature * height).max(0.0).sqrt());
        self.point + self.ahead * (a * (1.0 - self.curvature * n)) + self.ahead.perp() * n
    }
}

impl Stretch {
    pub(super) fn foot(&self, t: f64) -> Foot {
        let (point, slope) = self.piece.at(t);
        let curvature = self.piece.curvature(t);
        Foot { point, ahead: slope.normalize_or(DVec2::X), curvature, s: self.from + self.piece.length_to(t) }
    }

    pub(super) fn length(&self) -> f64 {
        self.piece.length_to(1.0)
    }

    /// This stretch in parts that end at the parameters `cuts`, which increase.
    pub(super) fn parted(self, cuts: &[f64]) -> Vec<Stretch> {
        let (mut parts, mut rest, mut done) = (Vec::new(), self, 0.0);
        for &t in cuts {
            let (first, second) = rest.piece.cut((t - done) / (1.0 - done));
            let next = Stretch { from: rest.from + first.length_to(1.0), piece: second };
            parts.push(Stretch { piece: first, from: rest.from });
            (rest, done) = (next, t);
        }
        parts.push(rest);
        parts
    }

    /// The parameters at which this stretch is square below `p`.
    pub(super) fn below(&self, p: DVec2) -> Vec<f64> {
        crossings(|t| {
            let foot = self.foot(t);
            foot.ahead.dot(p - foot.point)
        })
    }
}

/// Every t in [0, 1] at which `f` (mm) crosses zero, to a nanometre at the ends.
pub(super) fn crossings(f: impl Fn(f64) -> f64) -> Vec<f64> {
    let at = |i: usize| i as f64 / SEARCHED as f64;
    let values: Vec<f64> = (0..=SEARCHED).map(|i| f(at(i))).collect();
    let ends = [0, SEARCHED].into_iter().filter(|i| values[*i].abs() < 1e-9).map(at);
    let between = (0..SEARCHED).filter(|i| (values[*i] < 0.0) != (values[i + 1] < 0.0));
    ends.chain(between.map(|i| crossing(&f, [at(i), at(i + 1)]))).collect()
}

/// Where `f` crosses zero in a bracket.
fn crossing(f: impl Fn(f64) -> f64, [low, high]: [f64; 2]) -> f64 {
    let rising = f(high) >= 0.0;
    // A bracket of a 32nd comes to the last bit, too.
    let (low, high) = bracket(low, high, TO_THE_LAST_BIT, |t| (f(t) >= 0.0) == rising);
    0.5 * (low + high)
}

/// The pieces of the edge that are bent up, without the `rounded` last ones.
pub(super) fn rising(
    edge: &Path,
    latest: f64,
    run_in: f64,
    rounded: usize,
) -> Result<Vec<Piece>, Unbendable> {
    let pieces = &edge.pieces()[..edge.pieces().len() - rounded];
    let from = (leaving(pieces) - run_in).min(latest).max(edge.start().x);
    let mut bent: Vec<Piece> = Vec::new();
    for piece in pieces.iter().filter(|p| p.at(1.0).0.x > from) {
        let t = piece.at_station(from);
        let piece = if t > 0.0 { piece.cut(t).1 } else { piece.clone() };
        let turn = bent.last().map_or(0.0, |before: &Piece| before.at(1.0).1.angle_to(piece.at(0.0).1));
        if turn.abs() > CORNER {
            return Err(Unbendable::Corner { at: piece.at(0.0).0.x });
        }
        bent.push(piece);
    }
    Ok(bent)
}

/// The last station at which the edge still lies along the blade, mm; infinite where it does so to its end.
pub(super) fn leaving(pieces: &[Piece]) -> f64 {
    let samples = pieces.iter().flat_map(|p| (0..=PARTS).map(|i| p.at(i as f64 / PARTS as f64)));
    let all: Vec<(DVec2, DVec2)> = samples.collect();
    let along = |(_, slope): &&(DVec2, DVec2)| slope.y.atan2(slope.x).abs() < LEAN;
    match all.iter().rposition(|p| along(&p)) {
        Some(i) if i + 1 < all.len() => all[i].0.x,
        Some(_) => f64::INFINITY,
        None => f64::NEG_INFINITY,
    }
}

/// The bent edge in stretches over which widths are smooth: parted where columns meet joints of the facing side.
pub(super) fn split(bent: Vec<Piece>, facing: &[Piece]) -> Vec<Stretch> {
    let mut stretches = Vec::new();
    let mut from = 0.0;
    for piece in bent {
        let whole = Stretch { piece, from };
        let mut cuts: Vec<f64> = facing.iter().flat_map(|f| whole.below(f.at(1.0).0)).collect();
        cuts.retain(|t| *t > 1e-9 && *t < 1.0 - 1e-9);
        cuts.sort_by(f64::total_cmp);
        cuts.dedup_by(|a, b| (*a - *b).abs() < 1e-9);
        from += whole.length();
        stretches.extend(whole.parted(&cuts));
    }
    stretches
}
