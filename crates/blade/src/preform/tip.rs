//! The point before it is forged up: the tip unbent along the edge, so that layers will follow the edge.
//!
//! In coordinates along the edge (s) and square to it (n) an element of area is (1 − κ·n)·ds·dn, κ being the edge's
//! curvature, positive where it rises to the point. With n′ = n − κ·n²/2 it is ds·dn′: a tip of width w over a curved
//! edge and a piece of width w′ = w − κ·w²/2 over a straight one have the same area, column by column.

use glam::DVec2;

use brep::Piece;
use brep::numeric::gauss;

use crate::checked::Blade;
use crate::preform::blend::{Blend, STEP};
use crate::preform::edge::{Foot, PARTS, Stretch, crossings, rising, split};
use crate::preform::unbendable::Unbendable;
use crate::spec::Tip;

/// Breadths before the point where it begins at the latest: room to hold and to cut along.
const BREADTHS: f64 = 2.0;
/// Breadths that it begins before the edge's rise: enough to lay the template along the bar.
const RUN_IN: f64 = 0.5;
/// How far behind a place its width is measured, mm: a nanometre, widths change by as little.
const HAIR: f64 = 1e-6;

/// The tip of a blade as a straight piece of the same area. Its own frame: s along the edge from 0, n′ up from it.
#[derive(Clone, Debug, PartialEq)]
pub struct Preform {
    stretches: Vec<Stretch>,
    /// The side facing the edge: the back line and, at a flat point, the flat.
    facing: Vec<Piece>,
    outline: Vec<Piece>,
    tightest: f64,
    /// Where the edge's curve sets in at once.
    blend: Option<Blend>,
}

impl Preform {
    /// The point of a blade unbent. It begins where the edge leaves the blade's length, two breadths before the point at
    /// the latest, and ends with the edge, or where a rounded point's rounding begins: that stays on as it is.
    ///
    /// # Errors
    /// Why the point can't be made from a straight piece.
    pub fn of(blade: &Blade) -> Result<Preform, Unbendable> {
        let lines = blade.forged_lines();
        let (back, edge) = (&lines.back, &lines.edge);
        let rounded = usize::from(matches!(blade.spec().outline.tip, Tip::Round { .. }));
        let station = |i: usize| lines.breadth(lines.length() * i as f64 / PARTS as f64);
        let broad = (0..PARTS).map(station).fold(0.0, f64::max);
        let bent = rising(edge, lines.length() - BREADTHS * broad, RUN_IN * broad, rounded)?;
        let rest = &edge.pieces()[edge.pieces().len() - rounded..];
        // From the back to the end of the bent edge: the back, the flat, and the rounding's own part of the edge.
        let mut facing = back.pieces().to_vec();
        if back.end().distance(edge.end()) > 1e-9 {
            facing.push(Piece::Straight(back.end(), edge.end()));
        }
        facing.extend(rest.iter().rev().map(Piece::reversed));
        let stretches = split(bent, &facing);
        let mut preform = Preform { stretches, facing, outline: Vec::new(), tightest: 0.0, blend: None };
        preform.tightest = preform.tightness()?;
        preform.outline = preform.drawn()?;
        if preform.steps()? { preform.blended(RUN_IN * broad) } else { Ok(preform) }
    }

    /// Whether the cut line steps where one stretch ends and the next begins.
    fn steps(&self) -> Result<bool, Unbendable> {
        for pair in self.stretches.windows(2) {
            let [before, after] = [self.head(&pair[0].foot(1.0))?, self.head(&pair[1].foot(0.0))?];
            if (before.y - after.y).abs() > STEP {
                return Ok(true);
            }
        }
        Ok(false)
    }

    /// The same with a cut line without steps, set in over `reach` mm to either side, and of the tip's area.
    fn blended(mut self, reach: f64) -> Result<Preform, Unbendable> {
        let exact = |s: f64| {
            let foot = self.foot(s)?;
            let n = self.width(&foot)?;
            Some(0.5 * foot.curvature * n * n)
        };
        let Some(blend) = Blend::new(self.edge_length(), reach, exact) else { return Ok(self) };
        let wanted = area(&self.tip());
        let mut drawn = |more: f64| -> Result<f64, Unbendable> {
            self.blend = Some(blend.clone().with(more));
            self.outline = self.drawn()?;
            Ok(area(&self.outline))
        };
        // The area falls in proportion to what is taken off besides.
        let [none, tenth] = [drawn(0.0)?, drawn(0.1)?];
        drawn(0.1 * (none - wanted) / (none - tenth))?;
        Ok(self)
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
        Some((self.head(&foot).ok()?.y, foot.point))
    }

    /// The least and the greatest breadth at `s` mm along the edge, mm, where either will do: the hammer moves what lies
    /// between them along the blade. `None` where the cut line is to be kept.
    pub fn leeway(&self, s: f64) -> Option<[f64; 2]> {
        let n = self.width(&self.foot(s)?)?;
        let [least, most] = self.blend.as_ref()?.leeway(s)?;
        Some([n - most, n - least])
    }

    /// Lengths along the edge between which there is leeway, mm; `None` where the cut line is to be kept throughout.
    pub fn forged_between(&self) -> Option<[f64; 2]> {
        self.blend.as_ref()?.reach()
    }

    /// The length along the edge with the widest leeway, and the least and the greatest breadth there, mm.
    pub fn widest_leeway(&self) -> Option<[f64; 3]> {
        let s = self.blend.as_ref()?.widest()?;
        let [least, most] = self.leeway(s)?;
        Some([s, least, most])
    }

    /// The line square to the blade's edge that the breadth at `s` mm becomes: its ends on the edge and on the facing
    /// side, mm.
    pub fn column(&self, s: f64) -> Option<[DVec2; 2]> {
        let foot = self.foot(s)?;
        Some([foot.point, foot.point + foot.ahead.perp() * self.width(&foot)?])
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
        let taken = self.blend.as_ref().map_or(0.5 * foot.curvature * n * n, |blend| blend.taken(foot.s));
        Ok(DVec2::new(foot.s, n - taken))
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
            // Column by column: steps, where the edge's curvature sets in at once, are closed by bending.
            let preform = Preform { blend: None, ..preform };
            let exact = preform.drawn().unwrap();
            let step = |p: &&Piece| (p.at(0.0).0.x - p.at(1.0).0.x).abs() < 1e-9;
            for piece in exact.iter().filter(|p| !step(p)) {
                let p = preform.bend(piece.at(0.4).0.max(DVec2::ZERO)).unwrap();
                let gap = distance(&outline, p);
                assert!(gap < 2e-3, "{tip:?}: {p} stands {gap} off, from {:?}", piece.at(0.4).0);
            }
        }
    }

    /// Where the edge's curve sets in at once nothing steps: the cut line falls no faster there than over a breadth, its area
    /// stays, and the leeway told lies about it.
    #[test]
    fn the_cut_line_has_no_step() {
        let mut told = 0;
        for sweep in [60.0, 90.0, 140.0] {
            let preform = Preform::of(&swept(sweep, Tip::Flat { breadth: 1.5 })).unwrap();
            close(&preform, &format!("{sweep}"));
            let end = preform.edge_length();
            let at = |i: usize| preform.breadth((end - 0.01) * i as f64 / 4000.0).unwrap().0;
            let steepest = (0..4000).map(|i| (at(i) - at(i + 1)) / (end / 4000.0)).fold(0.0, f64::max);
            assert!(steepest < 1.2, "{sweep}: {steepest}");
            // Square pieces are the two ends alone.
            let upright = |p: &&Piece| (p.at(0.0).0.x - p.at(1.0).0.x).abs() < 1e-9;
            assert!(preform.outline().iter().filter(upright).count() <= 2, "{sweep}");
            let [from, to] = preform.forged_between().unwrap();
            let [at, least, most] = preform.widest_leeway().unwrap();
            assert!(from <= at && at <= to && most - least > 0.5, "{sweep}: {at} {least} {most}");
            assert!(to - from > 5.0 && to - from < 60.0, "{sweep}: {from} {to}");
            for i in 0..=20 {
                let s = from + (to - from) * f64::from(i) / 20.0;
                let Some([least, most]) = preform.leeway(s) else { continue };
                let cut = preform.breadth(s).unwrap().0;
                assert!(least - 1e-9 <= cut && cut <= most + 1e-9 && most - least > 0.3, "{sweep} {s}");
                told += 1;
            }
        }
        assert!(told > 20, "{told}");
        let straight = Preform::of(&Blade::new(&plain()).unwrap()).unwrap();
        assert!(straight.forged_between().is_none() && straight.leeway(10.0).is_none());
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
