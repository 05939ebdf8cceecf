//! From a shell to triangles: edges first, so that neighbours share their vertices; then face by face.

use std::collections::BTreeSet;

use glam::{DVec2, DVec3};

use crate::mesh::{MOST_TRIANGLES, MeshFault};
use crate::region;
use crate::shell::{Curve, EdgeUse, Face, Shell, Surface};
use crate::spline::Spline3;
use crate::strip::{Across, arc_at};

/// Share of the tolerance that arcs across the section may use; the rest is left for the length. Near a half
/// makes the fewest cells: both deviations fall with the square of the divisions.
const ACROSS: f64 = 0.45;
/// Share of the tolerance used at all: what sampling between knots may miss is kept back.
const USED: f64 = 0.92;

/// Vertices and triangles of a shell within `tolerance` mm.
pub(crate) fn tessellate(shell: &Shell, tolerance: f64) -> Result<(Vec<DVec3>, Vec<[u32; 3]>), MeshFault> {
    let groups = groups(shell);
    let count = groups.iter().filter(|g| **g != usize::MAX).max().map_or(0, |g| g + 1);
    let strips: Vec<Option<Strip>> = shell.faces.iter().map(|f| Strip::of(f, tolerance)).collect();
    let mut rows = Vec::with_capacity(count);
    let mut cells = 0;
    for group in 0..count {
        let members: Vec<&Strip> = strips
            .iter()
            .zip(&shell.faces)
            .filter(|(_, f)| face_group(shell, &groups, f) == Some(group))
            .filter_map(|(s, _)| s.as_ref())
            .collect();
        let rails: Vec<&Spline3> = shell
            .edges
            .iter()
            .zip(&groups)
            .filter(|(_, g)| **g == group)
            .filter_map(|(e, _)| if let Curve::Spline(s) = &e.curve { Some(s) } else { None })
            .collect();
        let across: usize = members.iter().map(|s| s.across.len()).sum();
        let most = (MOST_TRIANGLES - cells) / (2 * across.max(1));
        let made = stations(&members, &rails, tolerance, most).ok_or(MeshFault::TooFine { tolerance })?;
        cells += 2 * made.len() * across;
        rows.push(made);
    }
    let mut out = Out { vertices: shell.vertices.clone(), triangles: Vec::new() };
    let fine = ledges(shell);
    let lines: Vec<Vec<u32>> = shell
        .edges
        .iter()
        .enumerate()
        .map(|(i, e)| {
            let tolerance = if fine.contains(&i) { tolerance.min(LEDGE) } else { tolerance };
            out.edge(shell, e, rows.get(groups[i]), tolerance)
        })
        .collect();
    for (face, strip) in shell.faces.iter().zip(&strips) {
        match (strip, face_group(shell, &groups, face)) {
            (Some(strip), Some(g)) => out.strip(shell, face, strip, &rows[g], &lines),
            _ => out.flat(face, &lines)?,
        }
    }
    Ok((out.vertices, out.triangles))
}

/// Tolerance (mm) of arcs around a flat face with a loop inside: less than the least ledge between two loops,
/// so that a coarse chord can't cut across the inner one.
const LEDGE: f64 = 0.02;

/// Edges of flat faces with more than one loop.
fn ledges(shell: &Shell) -> BTreeSet<usize> {
    shell
        .faces
        .iter()
        .filter(|f| f.loops.len() > 1)
        .flat_map(|f| f.loops.iter().flatten())
        .map(|u| u.edge)
        .collect()
}

/// For each edge the group of rails that must be divided alike (those joined by strips); `usize::MAX` for
/// edges that are no rails.
fn groups(shell: &Shell) -> Vec<usize> {
    let spline = |e: usize| matches!(shell.edges[e].curve, Curve::Spline(_));
    let mut root: Vec<usize> = (0..shell.edges.len()).collect();
    fn find(root: &mut [usize], mut e: usize) -> usize {
        while root[e] != e {
            root[e] = root[root[e]];
            e = root[e];
        }
        e
    }
    for face in &shell.faces {
        let rails: Vec<usize> = face.loops.iter().flatten().map(|u| u.edge).filter(|&e| spline(e)).collect();
        for pair in rails.windows(2) {
            let (a, b) = (find(&mut root, pair[0]), find(&mut root, pair[1]));
            root[a.max(b)] = a.min(b);
        }
    }
    let mut names = Vec::new();
    (0..shell.edges.len())
        .map(|e| {
            if !spline(e) {
                return usize::MAX;
            }
            let r = find(&mut root, e);
            names.iter().position(|&n| n == r).unwrap_or_else(|| {
                names.push(r);
                names.len() - 1
            })
        })
        .collect()
}

fn face_group(shell: &Shell, groups: &[usize], face: &Face) -> Option<usize> {
    if matches!(face.surface, Surface::Plane { .. } | Surface::Cylinder { .. }) {
        return None;
    }
    let rail = face.loops[0].iter().find(|u| matches!(shell.edges[u.edge].curve, Curve::Spline(_)))?;
    Some(groups[rail.edge])
}

/// A strip and its divisions across.
struct Strip<'a> {
    surface: &'a Surface,
    /// Parameters v of the lines along it, 0 and 1 included.
    across: Vec<f64>,
}

impl<'a> Strip<'a> {
    fn of(face: &'a Face, tolerance: f64) -> Option<Self> {
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
    fn row(&self, u: f64) -> Vec<DVec3> {
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
fn arc_size(a: DVec3, weight: f64, b: DVec3) -> (f64, f64) {
    let half = weight.clamp(-1.0, 1.0).acos();
    // Under a millionth of a radian an arc is straight.
    if half < 1e-6 { (0.0, 0.0) } else { (0.5 * a.distance(b) / half.sin(), half) }
}

/// Height of each of n equal parts of an arc over its chord.
fn sagitta((radius, half): (f64, f64), n: usize) -> f64 {
    radius * (1.0 - (half / n as f64).cos())
}

fn divisions((radius, half): (f64, f64), tolerance: f64) -> usize {
    if radius <= 0.0 {
        return 1;
    }
    let step = (1.0 - (ACROSS * tolerance / radius).min(1.0)).acos();
    (half / step).ceil().max(1.0) as usize
}

/// Parameters that divide a rational quadratic arc of half angle `half` into n equal turns.
fn equal_turns(half: f64, n: usize) -> Vec<f64> {
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
fn stations(strips: &[&Strip], rails: &[&Spline3], tolerance: f64, most: usize) -> Option<Vec<f64>> {
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

struct Out {
    vertices: Vec<DVec3>,
    triangles: Vec<[u32; 3]>,
}

impl Out {
    fn add(&mut self, p: DVec3) -> u32 {
        self.vertices.push(p);
        (self.vertices.len() - 1) as u32
    }

    /// Vertices along an edge from its start to its end.
    fn edge(
        &mut self,
        shell: &Shell,
        edge: &crate::shell::Edge,
        rows: Option<&Vec<f64>>,
        tolerance: f64,
    ) -> Vec<u32> {
        let (a, b) = (shell.vertices[edge.start], shell.vertices[edge.end]);
        let mut line = vec![edge.start as u32];
        match &edge.curve {
            Curve::Line => {}
            Curve::Arc { middle, weight } => {
                let size = arc_size(a, *weight, b);
                let n = divisions(size, tolerance);
                for v in &equal_turns(size.1, n)[1..n] {
                    line.push(self.add(arc_at(a, *middle, *weight, b, *v).0));
                }
            }
            Curve::Spline(spline) => {
                if let Some(rows) = rows {
                    for &u in &rows[1..rows.len() - 1] {
                        line.push(self.add(spline.point(u)));
                    }
                }
            }
        }
        line.push(edge.end as u32);
        line
    }

    /// A strip as rows of vertices across, zipped together.
    fn strip(&mut self, shell: &Shell, face: &Face, strip: &Strip, rows: &[f64], lines: &[Vec<u32>]) {
        let sides = Sides::of(shell, &face.loops[0], lines);
        let mut before = sides.start;
        for (i, &u) in rows.iter().enumerate().skip(1) {
            let row = if i + 1 == rows.len() {
                sides.end.clone()
            } else {
                let mut row = vec![sides.low[i]];
                let points = if strip.across.len() > 2 { strip.row(u) } else { Vec::new() };
                for &p in points.iter().take(strip.across.len() - 1).skip(1) {
                    row.push(self.add(p));
                }
                row.push(sides.high[i]);
                row
            };
            self.zip(&before, &row);
            before = row;
        }
    }

    /// Triangles between two rows, the second further along u, both running up v.
    fn zip(&mut self, a: &[u32], b: &[u32]) {
        let (ta, tb) = (self.shares(a), self.shares(b));
        let (mut i, mut j) = (0, 0);
        while i + 1 < a.len() || j + 1 < b.len() {
            let first = if i + 1 == a.len() {
                false
            } else if j + 1 == b.len() {
                true
            } else {
                let gap = ta[i + 1] - tb[j + 1];
                // Like shares make a quadrangle: its shorter diagonal, ties by height, so that mirrored strips match.
                if gap.abs() < 1e-6 { self.first_diagonal(a[i], a[i + 1], b[j], b[j + 1]) } else { gap < 0.0 }
            };
            if first {
                self.triangles.push([a[i], b[j], a[i + 1]]);
                i += 1;
            } else {
                self.triangles.push([a[i], b[j], b[j + 1]]);
                j += 1;
            }
        }
    }

    fn first_diagonal(&self, a: u32, a_next: u32, b: u32, b_next: u32) -> bool {
        let p = |i: u32| self.vertices[i as usize];
        let (one, other) = (p(b).distance(p(a_next)), p(a).distance(p(b_next)));
        if (one - other).abs() > 1e-9 { one < other } else { p(a_next).y > p(a).y }
    }

    /// Share of a row's length at each of its vertices.
    fn shares(&self, row: &[u32]) -> Vec<f64> {
        let mut sums = vec![0.0];
        for pair in row.windows(2) {
            let step = self.vertices[pair[0] as usize].distance(self.vertices[pair[1] as usize]);
            sums.push(sums[sums.len() - 1] + step);
        }
        let whole = sums[sums.len() - 1].max(f64::MIN_POSITIVE);
        sums.into_iter().map(|s| s / whole).collect()
    }

    /// A flat face, or a hole's wall laid flat: constrained Delaunay triangles inside its loops.
    fn flat(&mut self, face: &Face, lines: &[Vec<u32>]) -> Result<(), MeshFault> {
        if let Surface::Cylinder { .. } = face.surface {
            self.wall(&face.loops[0], lines);
            return Ok(());
        }
        let Surface::Plane { origin, normal, along } = face.surface else { return Ok(()) };
        let up = normal.cross(along);
        let borders: Vec<[u32; 2]> = face
            .loops
            .iter()
            .flat_map(|one| {
                let ring = ring(one, lines);
                (0..ring.len()).map(|i| [ring[i], ring[(i + 1) % ring.len()]]).collect::<Vec<_>>()
            })
            .collect();
        let place = |id: u32| {
            let p = self.vertices[id as usize] - origin;
            DVec2::new(p.dot(along), p.dot(up))
        };
        let found = region::triangles(&borders, place).ok_or_else(|| MeshFault::Border(face.name.clone()))?;
        self.triangles.extend(found);
        Ok(())
    }

    /// A hole's wall: its two rims zipped together.
    fn wall(&mut self, used: &[EdgeUse], lines: &[Vec<u32>]) {
        let (top, bottom) = (along(used[0], lines), along(used[2], lines));
        let bottom: Vec<u32> = bottom.into_iter().rev().collect();
        // Loop: top forward, down, bottom back, up: seen from outside the top runs from left to right.
        self.zip(&bottom, &top);
    }
}

/// Vertices along an edge as a loop runs.
fn along(used: EdgeUse, lines: &[Vec<u32>]) -> Vec<u32> {
    let line = &lines[used.edge];
    if used.forward { line.clone() } else { line.iter().rev().copied().collect() }
}

/// Vertices of a loop, each once.
fn ring(used: &[EdgeUse], lines: &[Vec<u32>]) -> Vec<u32> {
    used.iter()
        .flat_map(|&u| {
            let mut line = along(u, lines);
            line.pop();
            line
        })
        .collect()
}

/// The four sides of a strip as vertex rows.
struct Sides {
    low: Vec<u32>,
    high: Vec<u32>,
    start: Vec<u32>,
    end: Vec<u32>,
}

impl Sides {
    /// The loop of a strip begins with its low rail, then the end, the high rail backwards, the start backwards.
    fn of(shell: &Shell, used: &[EdgeUse], lines: &[Vec<u32>]) -> Sides {
        let rail = |u: &EdgeUse| matches!(shell.edges[u.edge].curve, Curve::Spline(_));
        let back = used.iter().skip(1).position(rail).map_or(used.len() - 1, |i| i + 1);
        let low = along(used[0], lines);
        let high: Vec<u32> = along(used[back], lines).into_iter().rev().collect();
        let chain = |part: &[EdgeUse], first: u32| {
            let mut all = vec![first];
            for &u in part {
                all.extend(&along(u, lines)[1..]);
            }
            all
        };
        let end = chain(&used[1..back], low[low.len() - 1]);
        let mut start = chain(&used[back + 1..], high[0]);
        start.reverse();
        Sides { low, high, start, end }
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::blade::Blade;
    use crate::mesh::Mesh;
    use crate::sample::variants;
    use crate::spec::Stage;

    /// Distance from p to a triangle (Ericson, Real-Time Collision Detection, 5.1.5, from memory).
    fn distance(p: DVec3, [a, b, c]: [DVec3; 3]) -> f64 {
        let n = (b - a).cross(c - a);
        let inside = [(a, b), (b, c), (c, a)].iter().all(|(q, r)| (*r - *q).cross(p - *q).dot(n) >= 0.0);
        if inside {
            return (p - a).dot(n.normalize()).abs();
        }
        let side = |q: DVec3, r: DVec3| {
            let t = ((p - q).dot(r - q) / (r - q).length_squared()).clamp(0.0, 1.0);
            p.distance(q.lerp(r, t))
        };
        side(a, b).min(side(b, c)).min(side(c, a))
    }

    fn greatest_distance(shell: &Shell, mesh: &Mesh) -> f64 {
        let triangles: Vec<[DVec3; 3]> = mesh.corners().collect();
        let mut worst: f64 = 0.0;
        for face in &shell.faces {
            let (Surface::Ruled { low, .. } | Surface::Round { low, .. }) = &face.surface else { continue };
            let (from, to) = low.domain();
            for i in 0..=160 {
                let u = from + (to - from) * (f64::from(i) + 0.37) / 161.0;
                for j in 0..=6 {
                    let p = Across::at(&face.surface, u).unwrap().point(f64::from(j) / 6.0).0;
                    // Only triangles whose box is within a millimetre can be nearest.
                    let near = triangles.iter().filter(|t| {
                        let (low, high) = (t[0].min(t[1]).min(t[2]), t[0].max(t[1]).max(t[2]));
                        p.cmpge(low - 1.0).all() && p.cmple(high + 1.0).all()
                    });
                    worst = worst.max(near.map(|t| distance(p, *t)).fold(1.0, f64::min));
                }
            }
        }
        worst
    }

    #[test]
    fn a_tolerance_that_takes_millions_is_refused() {
        let loft = Blade::new(&crate::sample::plain()).unwrap().loft(Stage::Finished);
        let tolerance = 1e-12;
        assert_eq!(Mesh::of(loft.shell(), tolerance), Err(MeshFault::TooFine { tolerance }));
    }

    #[test]
    fn the_loft_lies_within_the_tolerance_of_its_mesh() {
        for (name, spec) in variants() {
            let blade = Blade::new(&spec).unwrap();
            for tolerance in [0.3, 0.1, 0.02] {
                let loft = blade.loft(Stage::Finished);
                let mesh = Mesh::of(loft.shell(), tolerance).unwrap();
                let worst = greatest_distance(loft.shell(), &mesh);
                assert!(worst <= tolerance, "{name}: {worst} at {tolerance}");
            }
        }
    }
}
