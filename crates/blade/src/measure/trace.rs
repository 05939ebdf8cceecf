//! The blade as plane lines: its silhouette from the side, the lines on its surface, its section at a station.

use glam::{DVec2, DVec3};

use crate::loft::Loft;
use crate::loft::rails::Rail;
use crate::loft::spans::Span;
use crate::section::corners::{Side, Tag};
use crate::spec::{Part, TangForm};
use brep::Spline3;
use brep::numeric::root::zero;
use brep::{Arc, Piece};

/// Blade and tang seen from the right side (x ahead, y up), as two chains from the tang's end to the point. Along each
/// x never decreases; it stands still on the shoulder. Straight lines at both ends close them.
#[derive(Clone, Debug, PartialEq)]
pub struct Silhouette {
    /// The upper chain: tang, shoulder, back line.
    pub back: Vec<Piece>,
    /// The lower chain: tang, shoulder, edge line.
    pub edge: Vec<Piece>,
}

impl Silhouette {
    /// The whole outline, counter-clockwise from the tang's end along the edge to the point and back.
    pub fn closed(&self) -> Vec<Piece> {
        let end = |chain: &[Piece]| chain.last().map_or(DVec2::ZERO, |p| p.at(1.0).0);
        let start = |chain: &[Piece]| chain.first().map_or(DVec2::ZERO, |p| p.at(0.0).0);
        let mut all = self.edge.clone();
        all.extend(joined(end(&self.edge), end(&self.back)));
        all.extend(self.back.iter().rev().map(Piece::reversed));
        all.extend(joined(start(&self.back), start(&self.edge)));
        all
    }
}

/// Which line on the surface a [`Trace`] is.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum TraceLine {
    /// A border of the edge flat, or the apex.
    Edge,
    /// The upper border of the secondary bevel.
    SecondaryBevel,
    /// The grind line.
    Grind,
    /// A border of a fuller.
    Fuller,
    /// The upper border of a flank.
    Flank,
    /// The border between a rounded back's corner and its flat.
    Back,
}

/// A line on the surface along blade or tang.
#[derive(Clone, Debug, PartialEq)]
pub struct Trace {
    /// Which one.
    pub line: TraceLine,
    /// On the right side (+z); lines in the middle plane count as right.
    pub right: bool,
    /// On the tang.
    pub part: Part,
    /// The line in space, mm.
    pub curve: Spline3,
}

/// Parts of a strip's width that a section beyond the fan's start is sampled at: chords of a bevel's arc over an eighth
/// of it stay within 0.01 mm for all radii accepted.
const PARTS: usize = 8;

impl Loft {
    /// The outline from the side at this stage.
    pub fn silhouette(&self) -> Silhouette {
        let lines = &self.form.side(self.stage).lines;
        let [upper, lower] = self.tang_chains();
        let chain = |tang: Vec<Piece>, line: &brep::Path| {
            let root = tang.last().map_or(line.start(), |p| p.at(1.0).0);
            let step = joined(root, line.start());
            tang.into_iter().chain(step).chain(line.pieces().iter().cloned()).collect()
        };
        Silhouette { back: chain(upper, &lines.back), edge: chain(lower, &lines.edge) }
    }

    /// Breadth and thickness of the tang at this stage where it meets the shoulder, without the shoulder radius, mm.
    pub fn tang_root(&self) -> DVec2 {
        let shape = self.form.shape(self.stage);
        match self.form.spec.tang.form {
            TangForm::Hidden { breadth, thickness, .. } => {
                DVec2::new(breadth, thickness + 2.0 * shape.allowance())
            }
            TangForm::Full => {
                let root = shape.measures(0.0, shape.chord(0.0));
                DVec2::new(root.breadth, root.back)
            }
        }
    }

    /// Breadth and thickness of the tang at this stage at its end, mm.
    pub fn tang_end(&self) -> DVec2 {
        let tang = &self.form.spec.tang;
        let shape = self.form.shape(self.stage);
        let [low, high] = shape.tang_end();
        DVec2::new(high - low, tang.end_thickness + 2.0 * shape.allowance())
    }

    /// The upper and the lower chain of the tang, from its end to the shoulder plane.
    fn tang_chains(&self) -> [Vec<Piece>; 2] {
        let tang = &self.form.spec.tang;
        match tang.form {
            TangForm::Full => {
                let (root, [low, high]) =
                    (&self.form.side(self.stage).lines, self.form.shape(self.stage).tang_end());
                let line = |y, to| vec![Piece::Straight(DVec2::new(-tang.length, y), to)];
                [line(high, root.back.start()), line(low, root.edge.start())]
            }
            TangForm::Hidden { .. } => [Tag::Flank(Side::Right), Tag::Edge(Side::Right)].map(|tag| {
                let rails = self.spans.iter().filter(|s| s.part == Part::Tang).flat_map(|s| &s.rails);
                rails.filter(|r| r.tag == tag).flat_map(|r| side_view(&r.line)).collect()
            }),
        }
    }

    /// Every line on the surface, from the tang to the point and around the section from the edge's right side.
    pub fn traces(&self) -> Vec<Trace> {
        let of = |span: &Span| {
            let part = span.part;
            let trace = move |r: &Rail| {
                let (line, right) = kind(r.tag);
                Trace { line, right, part, curve: r.line.clone() }
            };
            span.rails.iter().map(trace).collect::<Vec<_>>()
        };
        self.spans.iter().flat_map(of).collect()
    }

    /// The closed section square to the blade at station `x`, seen from the hilt with the right side on the right:
    /// first coordinate z, second y, mm, counter-clockwise. Lines and arcs where the loft has them; beyond
    /// [`crate::Blade::fan_start`] chords. `None` outside shoulder and point, and where the point's end is cut.
    pub fn section(&self, x: f64) -> Option<Vec<Piece>> {
        if x < self.form.side(self.stage).fan.start {
            let span = self.spans.iter().find(|s| s.part == Part::Blade && s.from <= x && x < s.to)?;
            return Some(square_section(span, x));
        }
        let points = self.sampled_section(x)?;
        let next = points.iter().cycle().skip(1);
        Some(points.iter().zip(next).map(|(&a, &b)| Piece::Straight(a, b)).collect())
    }

    /// Points around the section where sections fan out.
    fn sampled_section(&self, x: f64) -> Option<Vec<DVec2>> {
        let crosses = |s: &&Span| {
            let ends = |u: f64| s.rails.iter().map(move |r| r.line.point(u).x);
            s.part == Part::Blade && ends(s.from).all(|e| e <= x) && ends(s.to).all(|e| e > x)
        };
        let span = self.spans.iter().find(crosses)?;
        let n = span.rails.len();
        let mut points = Vec::new();
        for (i, rail) in span.rails.iter().enumerate() {
            let next = &span.rails[(i + 1) % n].line;
            for k in 0..PARTS {
                let v = k as f64 / PARTS as f64;
                let at = |u: f64| across(rail, next, u, v);
                let p = at(zero(span.from, span.to, |u| at(u).x - x));
                points.push(DVec2::new(p.z, p.y));
            }
        }
        Some(points)
    }
}

/// The point of the strip from `rail` to `next` at u and share v of its width.
fn across(rail: &Rail, next: &Spline3, u: f64, v: f64) -> DVec3 {
    let (a, b) = (rail.line.point(u), next.point(u));
    match rail.middle.as_ref().map(|m| m.point(u)) {
        Some(m) => Arc { start: a, middle: m.truncate() / m.w, weight: m.w, end: b }.point(v),
        None => a.lerp(b, v),
    }
}

/// The section of a span whose sections stand square to x.
fn square_section(span: &Span, x: f64) -> Vec<Piece> {
    let n = span.rails.len();
    let flat = |p: DVec3| DVec2::new(p.z, p.y);
    (0..n)
        .map(|i| {
            let (rail, next) = (&span.rails[i], &span.rails[(i + 1) % n].line);
            let (a, b) = (flat(rail.line.point(x)), flat(next.point(x)));
            match rail.middle.as_ref().map(|m| m.point(x)) {
                // A weight of nearly 1 is a straight line.
                Some(m) if m.w < 1.0 - 1e-12 => arc(a, flat(m.truncate() / m.w), m.w, b),
                _ => Piece::Straight(a, b),
            }
        })
        .filter(|p| p.at(0.0).0.distance(p.at(1.0).0) > 1e-9)
        .collect()
}

/// The circular arc of a rational quadratic with weights 1, `weight`, 1.
fn arc(a: DVec2, middle: DVec2, weight: f64, b: DVec2) -> Piece {
    let half = weight.acos();
    let radius = 0.5 * a.distance(b) / half.sin();
    let chord = 0.5 * (a + b);
    let centre = chord + (chord - middle).normalize() * (radius * weight);
    let turn = 2.0 * half * (middle - a).perp_dot(b - middle).signum();
    let from = (a - centre).to_angle();
    Piece::Arc(centre, radius, from, from + turn)
}

/// Which line a rail draws on the side view, and whether it lies on the right.
fn kind(tag: Tag) -> (TraceLine, bool) {
    let right = |side| side == Side::Right;
    match tag {
        Tag::Apex => (TraceLine::Edge, true),
        Tag::Edge(s) => (TraceLine::Edge, right(s)),
        Tag::Shoulder(s) => (TraceLine::SecondaryBevel, right(s)),
        Tag::Grind(s) => (TraceLine::Grind, right(s)),
        Tag::FullerLow(_, s) | Tag::FullerHigh(_, s) => (TraceLine::Fuller, right(s)),
        Tag::Flank(s) => (TraceLine::Flank, right(s)),
        Tag::BackFlat(s) => (TraceLine::Back, right(s)),
    }
}

/// A straight piece, unless both ends are one point (within a nanometre).
fn joined(a: DVec2, b: DVec2) -> Option<Piece> {
    (a.distance(b) > 1e-6).then_some(Piece::Straight(a, b))
}

/// A line in space seen from the side, straight stretches as such.
pub(crate) fn side_view(curve: &Spline3) -> Vec<Piece> {
    curve.beziers().into_iter().map(|b| plane(b.map(|p| p.truncate()))).collect()
}

impl Trace {
    /// The line seen from the right side: (x, y).
    pub fn from_side(&self) -> Vec<Piece> {
        side_view(&self.curve)
    }

    /// The line seen from above, the back on top: (x, −z), so that the right side lies below.
    pub fn from_above(&self) -> Vec<Piece> {
        self.curve.beziers().into_iter().map(|b| plane(b.map(|p| DVec2::new(p.x, -p.z)))).collect()
    }
}

/// A cubic, or the straight line that it is (within a nanometre).
fn plane([a, b, c, d]: [DVec2; 4]) -> Piece {
    let along = (d - a).normalize_or_zero();
    let off = |p: DVec2| (p - a).perp_dot(along).abs();
    if off(b) < 1e-6 && off(c) < 1e-6 { Piece::Straight(a, d) } else { Piece::Cubic([a, b, c, d]) }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::specs::{forged_outside, variants};
    use crate::{Blade, Stage};
    use brep::Mesh;

    /// Twice the area inside closed pieces, by points along them.
    fn area(pieces: &[Piece]) -> f64 {
        let points: Vec<DVec2> =
            pieces.iter().flat_map(|p| (0..64).map(|i| p.at(f64::from(i) / 64.0).0)).collect();
        let next = points.iter().cycle().skip(1);
        0.5 * points.iter().zip(next).map(|(a, b)| a.perp_dot(*b)).sum::<f64>()
    }

    #[test]
    fn silhouettes_are_chains_as_long_and_high_as_the_mesh() {
        for (name, spec) in variants().into_iter().chain(forged_outside()) {
            let blade = Blade::new(&spec).unwrap();
            for stage in [Stage::Forged, Stage::Finished] {
                let loft = blade.loft(stage);
                let silhouette = loft.silhouette();
                let outline = silhouette.closed();
                for (a, b) in outline.iter().zip(outline.iter().cycle().skip(1)) {
                    assert!(a.at(1.0).0.distance(b.at(0.0).0) < 1e-6, "{name}: {a:?} {b:?}");
                }
                assert!(area(&outline) > 0.0, "{name}");
                for chain in [&silhouette.back, &silhouette.edge] {
                    let xs: Vec<f64> =
                        chain.iter().flat_map(|p| (0..=32).map(|i| p.at(f64::from(i) / 32.0).0.x)).collect();
                    assert!(xs.windows(2).all(|p| p[1] >= p[0] - 1e-9), "{name}");
                }
                let mesh = Mesh::of(loft.shell(), 0.01).unwrap();
                let (low, high) = mesh.bounds();
                let all: Vec<DVec2> =
                    outline.iter().flat_map(|p| (0..=256).map(|i| p.at(f64::from(i) / 256.0).0)).collect();
                let least = all.iter().copied().reduce(DVec2::min).unwrap();
                let most = all.iter().copied().reduce(DVec2::max).unwrap();
                assert!((least - low.truncate()).length() < 0.02, "{name}: {least} {low}");
                assert!((most - high.truncate()).length() < 0.02, "{name}: {most} {high}");
            }
        }
    }

    #[test]
    fn sections_are_closed_and_as_large_as_stations_say() {
        for (name, spec) in variants().into_iter().chain(forged_outside()) {
            let blade = Blade::new(&spec).unwrap();
            for stage in Stage::ALL {
                let loft = blade.loft(stage);
                for share in [0.0, 0.11, 0.5, 0.93] {
                    let x = share * blade.length();
                    let Some(section) = loft.section(x) else {
                        assert!(x >= blade.fan_start(), "{name} {stage} {x}");
                        continue;
                    };
                    let points: Vec<DVec2> =
                        section.iter().flat_map(|p| (0..32).map(|i| p.at(f64::from(i) / 32.0).0)).collect();
                    let low = points.iter().copied().reduce(DVec2::min).unwrap();
                    let high = points.iter().copied().reduce(DVec2::max).unwrap();
                    let station = loft.station(x).unwrap();
                    assert!(area(&section) > 0.0, "{name} {stage} {x}");
                    assert!((high.y - low.y - station.breadth).abs() < 2e-3, "{name} {stage} {x}");
                    assert!((high.x - low.x - station.thickness).abs() < 2e-3, "{name} {stage} {x}");
                }
            }
        }
    }

    #[test]
    fn the_tang_is_as_thick_as_its_solid_at_every_stage() {
        for (name, spec) in variants().into_iter().chain(forged_outside()) {
            let blade = Blade::new(&spec).unwrap();
            for stage in Stage::ALL {
                let loft = blade.loft(stage);
                let behind: Vec<_> = loft.shell().vertices.iter().filter(|v| v.x < -1.0).collect();
                let end = behind.iter().map(|v| v.x).fold(0.0, f64::min);
                let last: Vec<_> = behind.iter().filter(|v| v.x < end + 1e-6).collect();
                let thick = last.iter().map(|v| v.z).fold(f64::NEG_INFINITY, f64::max)
                    - last.iter().map(|v| v.z).fold(f64::INFINITY, f64::min);
                assert!((loft.tang_end().y - thick).abs() < 1e-6, "{name} {stage}: {thick}");
            }
        }
    }

    #[test]
    fn the_grind_line_is_drawn_where_a_caliper_finds_it() {
        let blade = Blade::new(&crate::specs::plain()).unwrap();
        let loft = blade.loft(Stage::Ground);
        let traces = loft.traces();
        let grind = traces.iter().filter(|t| t.line == TraceLine::Grind && t.right && t.part == Part::Blade);
        let pieces: Vec<Piece> = grind.flat_map(Trace::from_side).collect();
        let p = pieces.iter().find(|p| p.at(0.0).0.x <= 100.0 && p.at(1.0).0.x > 100.0).unwrap();
        let y = p.at((100.0 - p.at(0.0).0.x) / (p.at(1.0).0.x - p.at(0.0).0.x)).0.y;
        let station = loft.station(100.0).unwrap();
        let edge = loft.silhouette().edge;
        let low = edge.iter().find(|p| p.at(0.0).0.x <= 100.0 && p.at(1.0).0.x > 100.0).unwrap();
        let base = low.at((100.0 - low.at(0.0).0.x) / (low.at(1.0).0.x - low.at(0.0).0.x)).0.y;
        assert!((y - base - station.grind_height.unwrap()).abs() < 0.01, "{y} {base} {station:?}");
    }
}
