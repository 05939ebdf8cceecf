//! The point before it is forged up: the tip unbent along the edge, so that layers will follow the edge.
//!
//! In coordinates along the edge (s) and square to it (n) an element of area is (1 − κ·n)·ds·dn, κ being the edge's
//! curvature, positive where it rises to the point. With n′ = n − κ·n²/2 it is ds·dn′: a tip of width w over a curved
//! edge and a piece of width w′ = w − κ·w²/2 over a straight one have the same area, column by column.

use glam::DVec2;
use thiserror::Error;

use brep::numeric::gauss;
use brep::{Path, Piece};

use crate::checked::Blade;
use crate::spec::Tip;

/// How far the edge may lean from the blade's length where unbending begins, rad: a degree, less than a smith sees.
const LEAN: f64 = 0.017_453;
/// Breadths before the point where it begins at the latest: room to hold and to cut along.
const BREADTHS: f64 = 2.0;
/// Breadths that it begins before the edge's rise: enough to lay the template along the bar.
const RUN_IN: f64 = 0.5;
/// Parts that a smooth stretch of the edge is integrated and drawn in: widths are smooth in each, errors far below 1e-6.
const PARTS: usize = 24;
/// Angle between neighbouring pieces that counts as a corner, rad: a tenth of a degree would open 0.1 mm over 60 mm.
const CORNER: f64 = 1.7e-3;
/// How far behind a place its width is measured, mm: a nanometre, widths change by as little.
const HAIR: f64 = 1e-6;
/// Samples of a piece that is searched for a crossing: no piece turns so often.
const SEARCHED: usize = 32;

/// Why a point can't be unbent.
#[derive(Clone, Copy, Debug, PartialEq, Error)]
pub enum Unbendable {
    /// The edge has a corner in its rise.
    #[error("the edge has a corner at station {at:.1} mm: it can't be forged up in one curve")]
    Corner {
        /// Station of the corner, mm.
        at: f64,
    },
    /// The edge curves too tightly for the width of the blade over it.
    #[error(
        "at station {at:.1} mm the edge curves with a radius of {radius:.1} mm and the blade is {width:.1} mm wide: \
         lines square to the edge would cross, so it can't be made from a straight piece without losing steel"
    )]
    TooTight {
        /// Station of the edge, mm.
        at: f64,
        /// Radius of the edge there, mm.
        radius: f64,
        /// Width of the blade square to the edge there, mm.
        width: f64,
    },
    /// Square to the edge there is no back.
    #[error("square to the edge at station {at:.1} mm the blade has no back")]
    NoBack {
        /// Station of the edge, mm.
        at: f64,
    },
}

/// The tip of a blade as a straight piece of the same area. Its own frame: s along the edge from 0, n′ up from it.
#[derive(Clone, Debug, PartialEq)]
pub struct Preform {
    stretches: Vec<Stretch>,
    /// The side facing the edge: the back line and, at a flat point, the flat.
    facing: Vec<Piece>,
    outline: Vec<Piece>,
    tightest: f64,
}

/// A stretch of the edge over which widths are smooth.
#[derive(Clone, Debug, PartialEq)]
struct Stretch {
    piece: Piece,
    /// Length along the edge at its start, mm.
    from: f64,
}

/// A place on the edge.
#[derive(Clone, Copy)]
struct Foot {
    point: DVec2,
    /// Unit vector along the edge to the point.
    ahead: DVec2,
    /// Of the edge, 1/mm, positive where it turns up.
    curvature: f64,
    /// Length along the edge, mm.
    s: f64,
}

impl Foot {
    /// From a point of the blade to (s, n′).
    fn unbent(&self, p: DVec2) -> DVec2 {
        let (a, n) = (self.ahead.dot(p - self.point), self.ahead.perp_dot(p - self.point));
        // Beyond the edge's end (a > 0) columns are as much longer as they are lower, so that their area stays.
        DVec2::new(self.s + a / (1.0 - self.curvature * n), n - 0.5 * self.curvature * n * n)
    }

    /// From `a` mm ahead at n′ to the blade.
    fn bent(&self, a: f64, height: f64) -> DVec2 {
        // n of n′ = n − κ·n²/2, in the form that also holds where κ is 0.
        let n = 2.0 * height / (1.0 + (1.0 - 2.0 * self.curvature * height).max(0.0).sqrt());
        self.point + self.ahead * (a * (1.0 - self.curvature * n)) + self.ahead.perp() * n
    }
}

impl Stretch {
    fn foot(&self, t: f64) -> Foot {
        let (point, slope) = self.piece.at(t);
        let curvature = self.piece.curvature(t);
        Foot { point, ahead: slope.normalize_or(DVec2::X), curvature, s: self.from + self.piece.length_to(t) }
    }

    fn length(&self) -> f64 {
        self.piece.length_to(1.0)
    }

    /// This stretch in parts that end at the parameters `cuts`, which increase.
    fn parted(self, cuts: &[f64]) -> Vec<Stretch> {
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
    fn below(&self, p: DVec2) -> Vec<f64> {
        crossings(|t| {
            let foot = self.foot(t);
            foot.ahead.dot(p - foot.point)
        })
    }
}

/// Every t in [0, 1] at which `f` (mm) crosses zero, to a nanometre at the ends.
fn crossings(f: impl Fn(f64) -> f64) -> Vec<f64> {
    let at = |i: usize| i as f64 / SEARCHED as f64;
    let values: Vec<f64> = (0..=SEARCHED).map(|i| f(at(i))).collect();
    let ends = [0, SEARCHED].into_iter().filter(|i| values[*i].abs() < 1e-9).map(at);
    let between = (0..SEARCHED).filter(|i| (values[*i] < 0.0) != (values[i + 1] < 0.0));
    ends.chain(between.map(|i| bisect(&f, [at(i), at(i + 1)]))).collect()
}

/// Where `f` crosses zero in a bracket.
fn bisect(f: impl Fn(f64) -> f64, [mut low, mut high]: [f64; 2]) -> f64 {
    let rising = f(high) >= 0.0;
    // 60 halvings of a 32nd reach the last bit.
    for _ in 0..60 {
        let middle = 0.5 * (low + high);
        if (f(middle) >= 0.0) == rising { high = middle } else { low = middle }
    }
    0.5 * (low + high)
}

impl Preform {
    /// The point of a blade unbent. It begins where the edge leaves the blade's length, two breadths before the point at
    /// the latest, and ends with the edge, or where a rounded point's rounding begins: that stays on as it is.
    ///
    /// # Errors
    /// Why the point can't be made from a straight piece.
    pub fn of(blade: &Blade) -> Result<Preform, Unbendable> {
        let (back, edge) = (&blade.lines().back, &blade.lines().edge);
        let rounded = usize::from(matches!(blade.spec().outline.tip, Tip::Round { .. }));
        let station = |i: usize| blade.lines().breadth(blade.length() * i as f64 / PARTS as f64);
        let broad = (0..PARTS).map(station).fold(0.0, f64::max);
        let bent = rising(edge, blade.length() - BREADTHS * broad, RUN_IN * broad, rounded)?;
        let rest = &edge.pieces()[edge.pieces().len() - rounded..];
        // From the back to the end of the bent edge: the back, the flat, and the rounding's own part of the edge.
        let mut facing = back.pieces().to_vec();
        if back.end().distance(edge.end()) > 1e-9 {
            facing.push(Piece::Straight(back.end(), edge.end()));
        }
        facing.extend(rest.iter().rev().map(Piece::reversed));
        let mut preform =
            Preform { stretches: split(bent, &facing), facing, outline: Vec::new(), tightest: 0.0 };
        preform.tightest = preform.tightness()?;
        preform.outline = preform.drawn()?;
        Ok(preform)
    }

    /// The closed outline of the piece to cut, counter-clockwise from s = 0, n′ = 0 along the edge.
    pub fn outline(&self) -> &[Piece] {
        &self.outline
    }

    /// The station on the blade's edge at which it begins, mm.
    pub fn start(&self) -> f64 {
        self.stretches[0].foot(0.0).point.x
    }

    /// Length of its straight edge, mm.
    pub fn edge_length(&self) -> f64 {
        let last = &self.stretches[self.stretches.len() - 1];
        last.from + last.length()
    }

    /// The greatest product of the edge's curvature and the width over it; below 1.
    pub fn tightest(&self) -> f64 {
        self.tightest
    }

    /// Its area, and that of the tip that it becomes, mm².
    pub fn areas(&self) -> [f64; 2] {
        let tip = self.tip();
        [&self.outline, &tip].map(|pieces| area(pieces))
    }

    /// The breadth to cut at `s` mm along the edge, mm, and the point of the blade's edge that this place becomes; `None`
    /// outside the edge.
    pub fn breadth(&self, s: f64) -> Option<(f64, DVec2)> {
        let foot = self.foot(s)?;
        let n = self.width(&foot)?;
        Some((n - 0.5 * foot.curvature * n * n, foot.point))
    }

    /// Where a point of the blade's side view lies in the piece, (s, n′) in mm; `None` before the piece begins.
    pub fn unbend(&self, p: DVec2) -> Option<DVec2> {
        let ahead = |f: &Foot| f.ahead.dot(p - f.point);
        let high = |f: &Foot| f.ahead.perp_dot(p - f.point);
        let feet = self.stretches.iter().flat_map(|s| s.below(p).into_iter().map(|t| s.foot(t)));
        let sound = feet.filter(|f| f.curvature * high(f) < 1.0);
        let [start, end] = [self.stretches[0].foot(0.0), self.end()];
        let outside = [end, start].into_iter().find(|f| {
            // Widths are measured a hair behind, which is before the start.
            ahead(f) >= 0.0 && f.s > 0.0 || ahead(f).abs() <= 2.0 * HAIR
        });
        sound.min_by(|a, b| high(a).abs().total_cmp(&high(b).abs())).or(outside).map(|foot| foot.unbent(p))
    }

    /// Where a point (s, n′) of the piece comes to lie on the blade, mm; `None` before the piece begins.
    pub fn bend(&self, p: DVec2) -> Option<DVec2> {
        let foot = if p.x > self.edge_length() { self.end() } else { self.foot(p.x)? };
        Some(foot.bent(p.x - foot.s, p.y))
    }

    fn end(&self) -> Foot {
        self.stretches[self.stretches.len() - 1].foot(1.0)
    }

    fn foot(&self, s: f64) -> Option<Foot> {
        let stretch = self.stretches.iter().rfind(|stretch| stretch.from <= s.max(0.0))?;
        let rest = s - stretch.from;
        if rest > stretch.length() + HAIR || rest < -2.0 * HAIR {
            return None;
        }
        Some(stretch.foot(stretch.piece.at_length(rest)))
    }

    /// From the edge square up to the facing side, mm, measured a hair behind the foot: at the edge's end the facing side
    /// comes down to the edge itself.
    fn width(&self, foot: &Foot) -> Option<f64> {
        let ahead = |p: DVec2| foot.ahead.dot(p - foot.point) + HAIR;
        let over = |piece: &Piece| {
            let hits = crossings(|t| ahead(piece.at(t).0));
            hits.into_iter().map(|t| foot.ahead.perp_dot(piece.at(t).0 - foot.point)).collect::<Vec<_>>()
        };
        self.facing.iter().flat_map(over).filter(|n| *n >= 0.0).min_by(f64::total_cmp)
    }

    /// The greatest curvature times width.
    fn tightness(&self) -> Result<f64, Unbendable> {
        let mut most = 0.0_f64;
        for foot in self.stretches.iter().flat_map(|s| (0..=PARTS).map(|i| s.foot(i as f64 / PARTS as f64))) {
            let width = self.width(&foot).ok_or(Unbendable::NoBack { at: foot.point.x })?;
            let tight = foot.curvature * width;
            if tight >= 1.0 {
                return Err(Unbendable::TooTight { at: foot.point.x, radius: 1.0 / foot.curvature, width });
            }
            most = most.max(tight);
        }
        Ok(most)
    }

    /// The outline in the piece's own frame.
    fn drawn(&self) -> Result<Vec<Piece>, Unbendable> {
        let mut cut: Vec<Piece> = Vec::new();
        for stretch in &self.stretches {
            append(&mut cut, |t| self.head(&stretch.foot(t)))?;
        }
        for piece in self.beyond() {
            append(&mut cut, |t| Ok(self.end().unbent(piece.at(t).0)))?;
        }
        let [first, last] = [cut[0].at(0.0).0, cut[cut.len() - 1].at(1.0).0];
        let mut outline = vec![Piece::Straight(DVec2::ZERO, DVec2::new(self.edge_length(), 0.0))];
        join(&mut outline, last);
        outline.extend(cut.iter().rev().map(Piece::reversed));
        join(&mut outline, first);
        outline.push(Piece::Straight(first, DVec2::ZERO));
        Ok(outline)
    }

    /// The upper end of the column over a foot.
    fn head(&self, foot: &Foot) -> Result<DVec2, Unbendable> {
        let n = self.width(foot).ok_or(Unbendable::NoBack { at: foot.point.x })?;
        Ok(DVec2::new(foot.s, n - 0.5 * foot.curvature * n * n))
    }

    /// The facing side ahead of the last column.
    fn beyond(&self) -> Vec<Piece> {
        let end = self.end();
        after(
            &self.facing,
            |p| end.ahead.dot(p - end.point),
            self.width(&end).map(|n| end.point + end.ahead.perp() * n),
        )
    }

    /// The outline of the tip on the blade that it becomes, mm, closed and counter-clockwise.
    pub fn tip(&self) -> Vec<Piece> {
        let start = self.stretches[0].foot(0.0);
        let head = self.width(&start).map(|n| start.point + start.ahead.perp() * n);
        let top = after(&self.facing, |p| start.ahead.dot(p - start.point), head);
        let mut tip: Vec<Piece> = self.stretches.iter().map(|s| s.piece.clone()).collect();
        tip.extend(top.iter().rev().map(Piece::reversed));
        tip.extend(head.map(|head| Piece::Straight(head, start.point)));
        tip
    }
}

/// The part of a chain from `head` on, which lies where `ahead` turns from negative to positive.
fn after(chain: &[Piece], ahead: impl Fn(DVec2) -> f64, head: Option<DVec2>) -> Vec<Piece> {
    let Some(head) = head else { return Vec::new() };
    for (i, piece) in chain.iter().enumerate() {
        let crossed = crossings(|t| ahead(piece.at(t).0));
        // The chain may come back: the place of the head is meant. A micrometre tells them apart.
        let Some(t) = crossed.into_iter().find(|t| piece.at(*t).0.distance(head) < 1e-3) else { continue };
        let rest = if t >= 1.0 - HAIR {
            None
        } else if t <= HAIR {
            Some(piece.clone())
        } else {
            Some(piece.cut(t).1)
        };
        return rest.into_iter().chain(chain[i + 1..].iter().cloned()).collect();
    }
    Vec::new()
}

/// The pieces of the edge that are bent up, without the `rounded` last ones.
fn rising(edge: &Path, latest: f64, run_in: f64, rounded: usize) -> Result<Vec<Piece>, Unbendable> {
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
fn leaving(pieces: &[Piece]) -> f64 {
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
fn split(bent: Vec<Piece>, facing: &[Piece]) -> Vec<Stretch> {
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

/// Adds the smooth line `at(t)`, t in [0, 1], to a line, with a step to its beginning: cubics through its points with its
/// slopes there.
fn append(line: &mut Vec<Piece>, at: impl Fn(f64) -> Result<DVec2, Unbendable>) -> Result<(), Unbendable> {
    let step = 1.0 / PARTS as f64;
    let nodes: Result<Vec<_>, _> = (0..=PARTS).map(|i| node(&at, i as f64 * step)).collect();
    let nodes = nodes?;
    join(line, nodes[0].0);
    line.extend(nodes.windows(2).map(|pair| {
        let ([(a, from), (b, to)], third) = ([pair[0], pair[1]], step / 3.0);
        Piece::Cubic([a, a + from * third, b - to * third, b])
    }));
    Ok(())
}

/// Point and slope of a line by differences of second order, one-sided at its ends. A ten-thousandth keeps both the
/// differences' own error and the rounding's below 1e-7 of the slope.
fn node(at: &impl Fn(f64) -> Result<DVec2, Unbendable>, t: f64) -> Result<(DVec2, DVec2), Unbendable> {
    const D: f64 = 1e-4;
    let slope = if t < D {
        at(D)? * 4.0 - at(0.0)? * 3.0 - at(2.0 * D)?
    } else if t > 1.0 - D {
        at(1.0)? * 3.0 - at(1.0 - D)? * 4.0 + at(1.0 - 2.0 * D)?
    } else {
        at(t + D)? - at(t - D)?
    };
    Ok((at(t)?, slope / (2.0 * D)))
}

/// Leads a line straight on to a point that it doesn't end at, to a nanometre.
fn join(line: &mut Vec<Piece>, to: DVec2) {
    let Some(end) = line.last().map(|p| p.at(1.0).0) else { return };
    if end.distance(to) > 1e-6 {
        line.push(Piece::Straight(end, to));
    }
}

/// Area inside a closed counter-clockwise chain, mm²: Green's theorem by Gauss quadrature, exact for cubics.
fn area(pieces: &[Piece]) -> f64 {
    let one = |p: &Piece| {
        gauss::integrate(0.0, 1.0, |t| {
            let (q, d) = p.at(t);
            0.5 * q.perp_dot(d)
        })
    };
    pieces.iter().map(one).sum()
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::spec::OutlineForm;
    use crate::specs::{plain, variants};

    fn swept(sweep: f64, tip: Tip) -> Blade {
        let mut spec = plain();
        spec.outline.form = OutlineForm::BrokenBack {
            length: 480.0,
            breadth: 38.0,
            break_at: 330.0,
            break_breadth: 42.0,
            sweep,
            point_height: 16.0,
        };
        spec.outline.tip = tip;
        Blade::new(&spec).unwrap()
    }

    fn close(preform: &Preform, what: &str) {
        let [cut, tip] = preform.areas();
        assert!(tip > 10.0 && (cut / tip - 1.0).abs() < 1e-6, "{what}: {cut} for {tip}");
    }

    /// A ring's sector of angle a between the radii r and R has the area a·(R² − r²)/2 (school geometry): as wide as
    /// w = R − r, it is unbent to a·R by w − w²/(2R).
    #[test]
    fn a_sector_of_a_ring_becomes_a_rectangle() {
        let (radius, width) = (100.0, 40.0);
        let foot = Foot { point: DVec2::ZERO, ahead: DVec2::X, curvature: 1.0 / radius, s: 0.0 };
        let height = foot.unbent(DVec2::new(0.0, width)).y;
        let sector = 0.5 * (radius * radius - (radius - width) * (radius - width));
        assert!((height * radius - sector).abs() < 1e-9);
    }

    #[test]
    fn areas_agree_for_every_blade_that_can_be_unbent() {
        let mut made = 0;
        for (name, spec) in variants() {
            match Preform::of(&Blade::new(&spec).unwrap()) {
                Ok(preform) => {
                    close(&preform, name);
                    made += 1;
                }
                Err(why) => assert!(!why.to_string().is_empty(), "{name}"),
            }
        }
        assert!(made > 10, "{made}");
        for sweep in [90.0, 140.0, 200.0] {
            for tip in [Tip::Point, Tip::Flat { breadth: 1.5 }, Tip::Round { radius: 3.0 }] {
                let preform = Preform::of(&swept(sweep, tip)).unwrap();
                close(&preform, &format!("{sweep} {tip:?}"));
                assert!(preform.tightest() > 0.01 && preform.tightest() < 1.0);
            }
        }
    }

    #[test]
    fn bending_the_cut_piece_gives_the_outline_back() {
        for tip in [Tip::Point, Tip::Flat { breadth: 1.5 }, Tip::Round { radius: 3.0 }] {
            let blade = swept(120.0, tip);
            let preform = Preform::of(&blade).unwrap();
            let outline = blade.loft(crate::Stage::Finished).silhouette().closed();
            let tip_outline = preform.tip();
            for piece in &tip_outline[..tip_outline.len() - 1] {
                for i in 0..=10 {
                    let p = piece.at(f64::from(i) / 10.0).0;
                    let there = preform.unbend(p).unwrap();
                    assert!(preform.bend(there).unwrap().distance(p) < 1e-8, "{tip:?}: {p} {there}");
                }
            }
            // Steps, where the edge's curvature sets in at once, are closed by bending.
            let step = |p: &&Piece| (p.at(0.0).0.x - p.at(1.0).0.x).abs() < 1e-9;
            for piece in preform.outline().iter().filter(|p| !step(p)) {
                let p = preform.bend(piece.at(0.4).0.max(DVec2::ZERO)).unwrap();
                let gap = distance(&outline, p);
                assert!(gap < 2e-3, "{tip:?}: {p} stands {gap} off, from {:?}", piece.at(0.4).0);
            }
        }
    }

    fn distance(outline: &[Piece], p: DVec2) -> f64 {
        let chords =
            outline.iter().flat_map(|c| (0..2000).map(|i| [i, i + 1].map(|k| c.at(f64::from(k) / 2000.0).0)));
        let to = |[a, b]: [DVec2; 2]| {
            let along = ((p - a).dot(b - a) / (b - a).length_squared().max(1e-30)).clamp(0.0, 1.0);
            p.distance(a.lerp(b, along))
        };
        chords.map(to).fold(f64::INFINITY, f64::min)
    }

    #[test]
    fn a_straight_edge_is_cut_as_it_is() {
        let preform = Preform::of(&Blade::new(&plain()).unwrap()).unwrap();
        assert!(preform.tightest() < 1e-12 && preform.start() < 480.0 - 40.0);
        let (breadth, on) = preform.breadth(10.0).unwrap();
        assert!((on.x - preform.start() - 10.0).abs() < 1e-9 && breadth > 20.0);
        assert!(preform.breadth(preform.edge_length() + 1.0).is_none());
    }

    #[test]
    fn it_says_why_not() {
        let tight = Preform::of(&swept(18.0, Tip::Point)).unwrap_err();
        assert!(matches!(tight, Unbendable::TooTight { .. }), "{tight}");
        assert!(tight.to_string().contains("lines square to the edge would cross"));
        let mut spec = plain();
        let at = |x, y, corner| crate::spec::OutlinePoint { at: DVec2::new(x, y), corner };
        spec.outline.form = OutlineForm::Points {
            back: vec![at(0.0, 38.0, true), at(480.0, 20.0, true)],
            edge: vec![at(0.0, 0.0, true), at(420.0, 0.0, true), at(480.0, 18.0, true)],
        };
        let corner = Preform::of(&Blade::new(&spec).unwrap()).unwrap_err();
        assert_eq!(corner, Unbendable::Corner { at: 420.0 });
    }
}
