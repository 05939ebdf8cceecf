//! A closed boundary split by a sheet: two boundaries whose faces are trimmed along it, exact as they were.
//!
//! Blades reach from one z to another at every place of their side, and all faces that do not look to a side are
//! parallel to z. So a sheet crosses such a face in lines along z, and every other face in lines along which x grows.

use std::collections::BTreeMap;

use glam::{DVec2, DVec3};
use thiserror::Error;

use crate::curve::Spline;
use crate::numeric::root::zero;
use crate::shell::{Curve, Edge, EdgeUse, Face, Shell, Surface};
use crate::split::on_face::{HALVINGS, fit_cubics, height, part};
use crate::split::pieces::connected_pieces;
use crate::split::sheet::{SplitSheet, parameter};

/// Points nearer to the sheet than this (mm) lie on it: what exchange files of solids tell apart.
const ON: f64 = 1e-6;
/// Samples of an edge's cubic or arc between which the sheet crosses it at most once.
const SAMPLES: usize = 16;

/// A closed boundary with trimmed faces: strips no longer reach from rail to rail, so that only exact solids can be
/// made of it, no meshes.
#[derive(Clone, Debug)]
pub struct TrimmedShell {
    shell: Shell,
}

/// Why a boundary could not be split.
#[derive(Clone, Debug, Error, PartialEq)]
#[non_exhaustive]
pub enum SplitFault {
    /// A face whose border the sheet does not cross in pairs of places.
    #[error("the sheet does not cross the face `{0}` from border to border")]
    Crossing(String),
    /// Borders that do not close.
    #[error("the parts of the face `{0}` do not close")]
    Open(String),
    /// A face on which no line of the sheet was found.
    #[error("the sheet was not found on the face `{0}`")]
    NotFound(String),
}

impl TrimmedShell {
    /// A whole boundary, not yet split.
    pub fn whole(shell: Shell) -> TrimmedShell {
        TrimmedShell { shell }
    }

    /// The boundary, for an exact solid.
    pub fn boundary(&self) -> &Shell {
        &self.shell
    }

    /// What lies below and above a sheet, each in as many pieces as it falls into; none where nothing is left.
    ///
    /// # Errors
    /// A [`SplitFault`] when the sheet grazes a border instead of crossing it.
    pub fn split(&self, sheet: &SplitSheet) -> Result<[Vec<TrimmedShell>; 2], SplitFault> {
        let mut work = Work::new(&self.shell, sheet);
        work.split_edges();
        work.split_faces()?;
        if work.seams.is_empty() {
            let above = work.sides.contains(&Some(true));
            let whole = vec![self.clone()];
            return Ok(if above { [Vec::new(), whole] } else { [whole, Vec::new()] });
        }
        let walls = work.walls()?;
        let part = |above: bool| {
            let mut faces = work.faces[usize::from(above)].clone();
            faces.extend(walls.iter().map(|w| if above { w.clone() } else { turned(w) }));
            connected_pieces(&work.shell, faces).into_iter().map(|shell| TrimmedShell { shell }).collect()
        };
        Ok([part(false), part(true)])
    }
}

/// A wall seen from its other side.
fn turned(wall: &Face) -> Face {
    let surface = match &wall.surface {
        Surface::Ruled { low, high } => Surface::Ruled { low: high.clone(), high: low.clone() },
        other => other.clone(),
    };
    let loops = wall.loops.iter().map(|one| reversed(one)).collect();
    Face { name: wall.name.clone(), surface, loops }
}

fn reversed(uses: &[EdgeUse]) -> Vec<EdgeUse> {
    uses.iter().rev().map(|u| EdgeUse { edge: u.edge, forward: !u.forward }).collect()
}

/// A boundary while it is being split.
struct Work<'a> {
    sheet: &'a SplitSheet,
    /// Vertices and edges grow; the faces are those of before.
    shell: Shell,
    /// The parts of each edge of before, in its direction.
    parts: Vec<Vec<usize>>,
    /// Whether an edge lies above the sheet; none for one on it.
    sides: Vec<Option<bool>>,
    /// The faces below and above.
    faces: [Vec<Face>; 2],
    /// New edges on the sheet, as the upper part's faces use them.
    seams: Vec<EdgeUse>,
}

impl<'a> Work<'a> {
    fn new(shell: &Shell, sheet: &'a SplitSheet) -> Self {
        Work {
            sheet,
            shell: shell.clone(),
            parts: Vec::new(),
            sides: Vec::new(),
            faces: [Vec::new(), Vec::new()],
            seams: Vec::new(),
        }
    }

    fn over(&self, p: DVec3) -> f64 {
        self.sheet.over(p.truncate())
    }

    fn vertex_over(&self, i: usize) -> f64 {
        let over = self.over(self.shell.vertices[i]);
        if over.abs() < ON { 0.0 } else { over }
    }

    /// Parts every edge where it crosses the sheet.
    fn split_edges(&mut self) {
        let edges = std::mem::take(&mut self.shell.edges);
        for edge in &edges {
            let cuts = self.cuts(edge);
            let mut parts = Vec::new();
            let (mut start, mut from) = (edge.start, 0.0);
            for cut in cuts.into_iter().chain([1.0]) {
                let end = if cut < 1.0 {
                    self.shell.vertices.push(self.shell.edge_point(edge, cut));
                    self.shell.vertices.len() - 1
                } else {
                    edge.end
                };
                let curve = part(&self.shell, edge, from, cut);
                let middle = self.over(self.shell.edge_point(edge, 0.5 * (from + cut)));
                self.sides.push((middle.abs() > ON).then_some(middle > 0.0));
                parts.push(self.shell.edges.len());
                self.shell.edges.push(Edge { start, end, curve });
                (start, from) = (end, cut);
            }
            self.parts.push(parts);
        }
    }

    /// Shares (0 to 1, increasing) of an edge at which it crosses the sheet away from its ends.
    fn cuts(&self, edge: &Edge) -> Vec<f64> {
        let spans = match &edge.curve {
            Curve::Spline(s) => s.breaks().len() - 1,
            Curve::Line | Curve::Arc { .. } => 1,
        };
        let count = spans * SAMPLES;
        let share = |i: usize| i as f64 / count as f64;
        let over = |t: f64| self.over(self.shell.edge_point(edge, t));
        let mut at: Vec<f64> = (0..=count).map(|i| over(share(i))).collect();
        (at[0], at[count]) = (self.vertex_over(edge.start), self.vertex_over(edge.end));
        // A sample may lie on the sheet to the last bit, in the middle of a straight edge above all: it is on neither side.
        let beside: Vec<usize> = (0..=count).filter(|&i| at[i].abs() > 0.0).collect();
        let crossed = beside.windows(2).filter(|pair| at[pair[0]] * at[pair[1]] < 0.0);
        let found = crossed.map(|pair| {
            let sign = at[pair[1]].signum();
            zero(share(pair[0]), share(pair[1]), |t| sign * over(t))
        });
        // Where a rail only touches the sheet at its end, rounding may show a crossing beside it.
        let far = |t: f64| {
            let p = self.shell.edge_point(edge, t);
            [edge.start, edge.end].iter().all(|&v| self.shell.vertices[v].distance(p) > 10.0 * ON)
        };
        found.filter(|&t| far(t)).collect()
    }

    fn ends(&self, used: EdgeUse) -> [usize; 2] {
        let edge = &self.shell.edges[used.edge];
        if used.forward { [edge.start, edge.end] } else { [edge.end, edge.start] }
    }

    /// A loop with its edges parted.
    fn parted(&self, uses: &[EdgeUse]) -> Vec<EdgeUse> {
        let one = |u: &EdgeUse| {
            let parts = &self.parts[u.edge];
            let each = parts.iter().map(|&edge| EdgeUse { edge, forward: u.forward });
            if u.forward { each.collect::<Vec<_>>() } else { each.rev().collect() }
        };
        uses.iter().flat_map(one).collect()
    }

    /// Sorts the faces by the side on which their edges lie, and splits those with edges on both.
    fn split_faces(&mut self) -> Result<(), SplitFault> {
        for face in std::mem::take(&mut self.shell.faces) {
            let loops: Vec<Vec<EdgeUse>> = face.loops.iter().map(|one| self.parted(one)).collect();
            let sides: Vec<bool> = loops.iter().flatten().filter_map(|u| self.sides[u.edge]).collect();
            let all = |above: bool| sides.iter().all(|s| *s == above);
            if all(true) || all(false) {
                let above = usize::from(all(true) && !sides.is_empty());
                self.faces[above].push(Face { loops, ..face });
            } else {
                self.split_face(&face, &loops)?;
            }
        }
        Ok(())
    }

    /// A face that lies on both sides.
    fn split_face(&mut self, face: &Face, loops: &[Vec<EdgeUse>]) -> Result<(), SplitFault> {
        let mut crossings = Vec::new();
        for one in loops {
            for (a, b) in one.iter().zip(one.iter().cycle().skip(1)) {
                if self.sides[a.edge] != self.sides[b.edge] {
                    // `rises` where the loop comes up through the sheet.
                    crossings.push((self.ends(*a)[1], self.sides[b.edge] == Some(true)));
                }
            }
        }
        let key = |v: usize| self.shell.vertices[v];
        crossings.sort_by(|a, b| {
            let (p, q) = (key(a.0), key(b.0));
            let apart = (p.x - q.x).abs() > ON;
            if apart { p.x.total_cmp(&q.x) } else { p.z.total_cmp(&q.z) }
        });
        let fault = || SplitFault::Crossing(face.name.clone());
        let mut seams = Vec::new();
        for pair in crossings.chunks(2) {
            let [(p, rises), (q, other)] = *pair else { return Err(fault()) };
            if rises == other || p == q {
                return Err(fault());
            }
            let stops = self.stops(face, p, q)?;
            for way in stops.windows(2) {
                let curve = self.seam(face, way[0], way[1])?;
                self.shell.edges.push(Edge { start: way[0], end: way[1], curve });
                self.sides.push(None);
                // The upper part comes down at one end, runs along the seam and rises at the other.
                let used = EdgeUse { edge: self.shell.edges.len() - 1, forward: other };
                seams.push(used);
                self.seams.push(used);
            }
        }
        for above in [false, true] {
            let own = loops.iter().flatten().copied().filter(|u| self.sides[u.edge] == Some(above));
            let along = seams.iter().map(|s| EdgeUse { forward: s.forward == above, ..*s });
            let found = self.linked(own.chain(along).collect(), &face.name)?;
            let faces = self.faces_of(face, found)?;
            self.faces[usize::from(above)].extend(faces);
        }
        Ok(())
    }

    /// Uses joined to closed loops.
    fn linked(&self, uses: Vec<EdgeUse>, name: &str) -> Result<Vec<Vec<EdgeUse>>, SplitFault> {
        let open = || SplitFault::Open(name.to_owned());
        let mut next: BTreeMap<usize, Vec<EdgeUse>> = BTreeMap::new();
        for used in uses {
            next.entry(self.ends(used)[0]).or_default().push(used);
        }
        let mut loops = Vec::new();
        while let Some((&start, _)) = next.iter().find(|(_, list)| !list.is_empty()) {
            let (mut at, mut one) = (start, Vec::new());
            loop {
                let used = next.get_mut(&at).and_then(Vec::pop).ok_or_else(open)?;
                at = self.ends(used)[1];
                one.push(used);
                if at == start {
                    break;
                }
            }
            loops.push(one);
        }
        Ok(loops)
    }

    /// Faces of the loops found: a hole goes to the face around it, every other loop bounds a face of its own.
    fn faces_of(&self, face: &Face, loops: Vec<Vec<EdgeUse>>) -> Result<Vec<Face>, SplitFault> {
        let whole = face.loops.len() == 1;
        let area = |one: &[EdgeUse]| self.area(face, one);
        let (outer, holes): (Vec<_>, Vec<_>) = loops.into_iter().partition(|one| whole || area(one) > 0.0);
        let made = |one: Vec<EdgeUse>| Face {
            name: face.name.clone(),
            surface: face.surface.clone(),
            loops: vec![one],
        };
        let mut faces: Vec<Face> = outer.into_iter().map(made).collect();
        for hole in holes {
            let at = self.shell.vertices[self.ends(hole[0])[0]].truncate();
            let around = faces.iter_mut().find(|f| inside(&self.outline(&f.loops[0]), at));
            around.ok_or_else(|| SplitFault::Open(face.name.clone()))?.loops.push(hole);
        }
        Ok(faces)
    }

    /// Area of a loop in the (x, y) plane, positive where it runs around its face.
    fn area(&self, face: &Face, one: &[EdgeUse]) -> f64 {
        let up = match face.surface {
            Surface::Plane { normal, .. } => normal.z,
            Surface::Ruled { .. } | Surface::Round { .. } | Surface::Cylinder { .. } => 1.0,
        };
        let points = self.outline(one);
        let next = points.iter().cycle().skip(1);
        up * points.iter().zip(next).map(|(a, b)| a.perp_dot(*b)).sum::<f64>()
    }

    /// Points along a loop, seen from the side.
    fn outline(&self, one: &[EdgeUse]) -> Vec<DVec2> {
        let along = |u: &EdgeUse| {
            let edge = &self.shell.edges[u.edge];
            let shares = (0..SAMPLES).map(|i| i as f64 / SAMPLES as f64);
            let at = |t: f64| self.shell.edge_point(edge, if u.forward { t } else { 1.0 - t }).truncate();
            shares.map(at).collect::<Vec<_>>()
        };
        one.iter().flat_map(along).collect()
    }

    /// The vertices at which the sheet's line on a face begins, turns at a corner of the sheet, and ends.
    fn stops(&mut self, face: &Face, from: usize, to: usize) -> Result<Vec<usize>, SplitFault> {
        let [p, q] = [from, to].map(|v| self.shell.vertices[v].x);
        let between = |x: &f64| *x > p + 10.0 * ON && *x < q - 10.0 * ON;
        let mut stops = vec![from];
        for x in self.sheet.corners().filter(between).collect::<Vec<_>>() {
            let at = DVec2::new(x, self.sheet.y(x));
            let z = height(&face.surface, at).ok_or_else(|| SplitFault::NotFound(face.name.clone()))?;
            self.shell.vertices.push(at.extend(z));
            stops.push(self.shell.vertices.len() - 1);
        }
        stops.push(to);
        Ok(stops)
    }

    /// The line of the sheet on a face between two vertices, x growing or square to it.
    fn seam(&self, face: &Face, from: usize, to: usize) -> Result<Curve, SplitFault> {
        let [p, q] = [from, to].map(|v| self.shell.vertices[v]);
        if (q.x - p.x).abs() <= ON {
            return Ok(Curve::Line);
        }
        let found = || SplitFault::NotFound(face.name.clone());
        let (line, _) = self.sheet.place(0.5 * (p.x + q.x));
        let (start, end) = (parameter(line, p.x), parameter(line, q.x));
        let place = |t: f64| -> Option<DVec3> {
            if t <= start {
                return Some(p);
            }
            if t >= end {
                return Some(q);
            }
            let at = line.point(t);
            Some(at.extend(height(&face.surface, at)?))
        };
        let breaks: Vec<f64> = line.breaks().into_iter().filter(|&t| t > start && t < end).collect();
        let marks: Vec<f64> = std::iter::once(start).chain(breaks).chain([end]).collect();
        let (mut knots, mut curves) = (vec![start], Vec::new());
        for pair in marks.windows(2) {
            fit_cubics(&place, pair[0], pair[1], HALVINGS, &mut knots, &mut curves).ok_or_else(found)?;
        }
        Ok(Curve::Spline(Spline::chain(&knots, &curves)))
    }

    /// The walls that close the upper part, looking down.
    fn walls(&mut self) -> Result<Vec<Face>, SplitFault> {
        let corners: Vec<f64> = self.sheet.corners().collect();
        let piece = |x: f64| corners.partition_point(|&c| c < x);
        let count = corners.len() + 1;
        let mut uses: Vec<Vec<EdgeUse>> = vec![Vec::new(); count];
        for used in &self.seams {
            let edge = &self.shell.edges[used.edge];
            let x = self.shell.edge_point(edge, 0.5).x;
            uses[piece(x)].push(EdgeUse { forward: !used.forward, ..*used });
        }
        let mut known: BTreeMap<(usize, usize), usize> = BTreeMap::new();
        let mut faces = Vec::new();
        for (i, mut own) in uses.into_iter().enumerate() {
            if own.is_empty() {
                continue;
            }
            self.uprights(&mut own, &mut known);
            let name = "seam";
            for one in self.linked(own, name)? {
                faces.push(Face { name: name.into(), surface: self.wall(i), loops: vec![one] });
            }
        }
        Ok(faces)
    }

    /// Adds the lines along z that close a piece of a wall at the sheet's corners.
    fn uprights(&mut self, own: &mut Vec<EdgeUse>, known: &mut BTreeMap<(usize, usize), usize>) {
        let mut balance: BTreeMap<usize, i32> = BTreeMap::new();
        for used in own.iter() {
            let [from, to] = self.ends(*used);
            *balance.entry(from).or_default() -= 1;
            *balance.entry(to).or_default() += 1;
        }
        // Where more ways end than begin a line begins.
        let list = |wanted: i32| -> Vec<usize> {
            balance.iter().filter(|(_, n)| **n == wanted).map(|(v, _)| *v).collect()
        };
        let (begins, ends) = (list(1), list(-1));
        for from in begins {
            let x = self.shell.vertices[from].x;
            let near = |v: &&usize| (self.shell.vertices[**v].x - x).abs() < 10.0 * ON;
            let Some(&to) = ends.iter().find(near) else { continue };
            let key = (from.min(to), from.max(to));
            let edge = *known.entry(key).or_insert_with(|| {
                self.shell.edges.push(Edge { start: key.0, end: key.1, curve: Curve::Line });
                self.sides.push(None);
                self.shell.edges.len() - 1
            });
            own.push(EdgeUse { edge, forward: from == key.0 });
        }
    }

    /// The surface of a piece of the wall, looking down: far enough through all z.
    fn wall(&self, piece: usize) -> Surface {
        let reach = 1.0 + self.shell.vertices.iter().map(|v| v.z.abs()).fold(0.0, f64::max);
        let line = &self.sheet.pieces()[piece];
        let at = |z: f64| line.clone().map(|p| p.extend(z));
        Surface::Ruled { low: at(-reach), high: at(reach) }
    }
}

/// Whether a point lies inside a closed outline.
fn inside(outline: &[DVec2], p: DVec2) -> bool {
    let next = outline.iter().cycle().skip(1);
    let crosses = |(a, b): (&DVec2, &DVec2)| {
        (a.y > p.y) != (b.y > p.y) && p.x < a.x + (p.y - a.y) / (b.y - a.y) * (b.x - a.x)
    };
    outline.iter().zip(next).filter(|pair| crosses(*pair)).count() % 2 == 1
}
