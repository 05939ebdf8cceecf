//! From rails to the closed shell of blade and tang: strips, caps, the shoulder, holes.

use std::collections::BTreeMap;

use brep::{Curve, Edge, EdgeUse, Face, Shell, Spline3, Surface};
use glam::{DVec2, DVec3};

use crate::loft::names::{rank, strip_name};
use crate::loft::rails::Rail;
use crate::loft::spans::Span;
use crate::section::corners::{Side, Tag};
use crate::section::shape::{Node, Shape};
use crate::spec::{Hole, Part, Stage, TangForm};

/// The nodes at one end of a span, read off its rails.
pub(crate) fn ring(span: &Span, u: f64) -> Vec<Node> {
    let node =
        |r: &Rail| Node { tag: r.tag, at: r.line.point(u), middle: r.middle.as_ref().map(|m| m.point(u)) };
    span.rails.iter().map(node).collect()
}

/// The closed shell of a stage.
pub(crate) fn shell(shape: &Shape, spans: &[Span]) -> Shell {
    let mut build = Build::default();
    let hidden = matches!(shape.spec.tang.form, TangForm::Hidden { .. });
    let first = build.border(&[ring(&spans[0], spans[0].from)]);
    build.cap(&first, DVec3::NEG_X, "tang end", true);
    let last = build.lofted(shape, spans, first, hidden);
    build.tip(shape, &last);
    build.holes(holes(shape));
    build.shell
}

/// The same parted in the shoulder plane: the blade, and the tang.
pub(crate) fn bodies(shape: &Shape, spans: &[Span]) -> [Shell; 2] {
    let (tang, blade) = spans.split_at(spans.iter().take_while(|s| s.part == Part::Tang).count());
    let mut ahead = Build::default();
    let first = ahead.border(&[ring(&blade[0], blade[0].from)]);
    ahead.cap(&first, DVec3::NEG_X, "shoulder", true);
    let last = ahead.lofted(shape, blade, first, false);
    ahead.tip(shape, &last);
    let mut behind = Build::default();
    let first = behind.border(&[ring(&tang[0], tang[0].from)]);
    behind.cap(&first, DVec3::NEG_X, "tang end", true);
    let last = behind.lofted(shape, tang, first, false);
    behind.cap(&last, DVec3::X, "tang root", false);
    behind.holes(holes(shape));
    [ahead.shell, behind.shell]
}

/// The tang's holes; they are drilled after the hammer.
fn holes<'a>(shape: &'a Shape<'_>) -> &'a [Hole] {
    if shape.stage == Stage::Forged { &[] } else { &shape.spec.tang.holes }
}

/// The vertices around the body at one parameter, in loop order, and the edges between them.
#[derive(Clone, Debug)]
struct Border {
    tags: Vec<Tag>,
    vertices: Vec<usize>,
    /// `edges[i]` from vertex i to the next; empty at a pole.
    edges: Vec<usize>,
    nodes: BTreeMap<Tag, DVec3>,
}

impl Border {
    /// Position of a corner, and the edges from one corner to another in loop order.
    fn index(&self, tag: Tag) -> usize {
        self.tags.iter().position(|&t| t == tag).unwrap_or(0)
    }

    fn vertex(&self, tag: Tag) -> usize {
        self.vertices[self.index(tag)]
    }

    fn way(&self, from: Tag, to: Tag) -> Vec<usize> {
        if self.edges.is_empty() {
            return Vec::new();
        }
        let n = self.tags.len();
        let (a, b) = (self.index(from), self.index(to));
        (0..(b + n - a) % n).map(|k| self.edges[(a + k) % n]).collect()
    }
}

fn forward(edges: Vec<usize>) -> impl Iterator<Item = EdgeUse> {
    edges.into_iter().map(|edge| EdgeUse { edge, forward: true })
}

fn backward(edges: Vec<usize>) -> impl Iterator<Item = EdgeUse> {
    edges.into_iter().rev().map(|edge| EdgeUse { edge, forward: false })
}

struct Build {
    shell: Shell,
    /// The two flat sides of the tang: face index, edge-side and normal.
    flats: Vec<(usize, Side)>,
}

impl Default for Build {
    fn default() -> Self {
        Build {
            shell: Shell { vertices: Vec::new(), edges: Vec::new(), faces: Vec::new() },
            flats: Vec::new(),
        }
    }
}

impl Build {
    fn vertex(&mut self, at: DVec3) -> usize {
        self.shell.vertices.push(at);
        self.shell.vertices.len() - 1
    }

    fn edge(&mut self, start: usize, end: usize, curve: Curve) -> usize {
        self.shell.edges.push(Edge { start, end, curve });
        self.shell.edges.len() - 1
    }

    /// A border where one or two rings meet: all their corners, each once.
    fn border(&mut self, rings: &[Vec<Node>]) -> Border {
        let mut tags: Vec<Tag> = rings.iter().flatten().map(|n| n.tag).collect();
        tags.sort_by_key(|&t| rank(t));
        tags.dedup();
        let nodes: BTreeMap<Tag, DVec3> = rings.iter().rev().flatten().map(|n| (n.tag, n.at)).collect();
        let vertices: Vec<usize> = tags.iter().map(|t| self.vertex(nodes[t])).collect();
        let n = tags.len();
        let edges = (0..n)
            .map(|i| {
                let curve = curve_between(rings, tags[i], tags[(i + 1) % n]);
                self.edge(vertices[i], vertices[(i + 1) % n], curve)
            })
            .collect();
        Border { tags, vertices, edges, nodes }
    }

    /// All rails end in one vertex.
    fn pole(&mut self, ring: &[Node]) -> Border {
        let mut tags: Vec<Tag> = ring.iter().map(|n| n.tag).collect();
        tags.sort_by_key(|&t| rank(t));
        let vertex = self.vertex(ring[0].at);
        let nodes = ring.iter().map(|n| (n.tag, ring[0].at)).collect();
        Border { vertices: vec![vertex; tags.len()], tags, edges: Vec::new(), nodes }
    }

    /// The strips of consecutive spans from their first border on; returns the border at which they end.
    fn lofted(&mut self, shape: &Shape, spans: &[Span], first: Border, hidden: bool) -> Border {
        let mut start = first;
        for (i, span) in spans.iter().enumerate() {
            let own = ring(span, span.to);
            let (end, next) = match spans.get(i + 1) {
                Some(ahead) => {
                    self.meeting(&[own, ring(ahead, ahead.from)], span.part == Part::Tang && hidden)
                }
                None if span.part == Part::Blade && shape.pointed() => {
                    let pole = self.pole(&own);
                    (pole.clone(), pole)
                }
                None => {
                    let border = self.border(&[own]);
                    (border.clone(), border)
                }
            };
            self.strips(span, &start, &end);
            start = next;
        }
        start
    }

    /// The flat at the point, where there is one.
    fn tip(&mut self, shape: &Shape, last: &Border) {
        if !shape.pointed() {
            let end = shape.chord(shape.fan.end);
            let across = (end.back - end.edge).normalize();
            self.cap(last, DVec3::new(across.y, -across.x, 0.0), "tip flat", false);
        }
    }

    /// The faces of a span, one between each rail and the next, from its start border to its end border.
    fn strips(&mut self, span: &Span, start: &Border, end: &Border) {
        let n = span.rails.len();
        let lines: Vec<Spline3> = span
            .rails
            .iter()
            .map(|r| r.line.clone().with_ends(start.nodes[&r.tag], end.nodes[&r.tag]))
            .collect();
        let edges: Vec<usize> = span
            .rails
            .iter()
            .zip(&lines)
            .map(|(r, line)| self.edge(start.vertex(r.tag), end.vertex(r.tag), Curve::Spline(line.clone())))
            .collect();
        for i in 0..n {
            let j = (i + 1) % n;
            let (from, to) = (span.rails[i].tag, span.rails[j].tag);
            let mut around = vec![EdgeUse { edge: edges[i], forward: true }];
            around.extend(forward(end.way(from, to)));
            around.push(EdgeUse { edge: edges[j], forward: false });
            around.extend(backward(start.way(from, to)));
            let flat = span.part == Part::Tang && flat_side(from, to).is_some();
            let (low, high) = (lines[i].clone(), lines[j].clone());
            let surface = match &span.rails[i].middle {
                _ if flat => plane_of(start, end, from, to),
                None => Surface::Ruled { low, high },
                Some(middle) => {
                    let (first, last) = middle.domain();
                    let ends = (middle.point(first), middle.point(last));
                    let tip = if end.edges.is_empty() {
                        (end.nodes[&from] * ends.1.w).extend(ends.1.w)
                    } else {
                        ends.1
                    };
                    Surface::Round { low, middle: middle.clone().with_ends(ends.0, tip), high }
                }
            };
            if let Some(side) = flat_side(from, to).filter(|_| span.part == Part::Tang) {
                self.flats.push((self.shell.faces.len(), side));
            }
            let name = strip_name(from, to, span.part);
            self.shell.faces.push(Face { name, surface, loops: vec![around] });
        }
    }

    fn plane(&mut self, name: &str, origin: DVec3, normal: DVec3, loops: Vec<Vec<EdgeUse>>) {
        let along = normal.cross(DVec3::Z).normalize();
        let surface = Surface::Plane { origin, normal, along };
        self.shell.faces.push(Face { name: name.into(), surface, loops });
    }

    /// An end face: the tang's end looks back (loop order kept), the tip looks ahead (reversed).
    fn cap(&mut self, border: &Border, normal: DVec3, name: &str, start: bool) {
        let around = if start {
            forward(border.edges.clone()).collect()
        } else {
            backward(border.edges.clone()).collect()
        };
        self.plane(name, border.nodes[&border.tags[0]], normal, vec![around]);
    }

    fn shoulder(&mut self, tang: &Border, blade: &Border) {
        let loops = vec![forward(blade.edges.clone()).collect(), backward(tang.edges.clone()).collect()];
        self.plane("shoulder", blade.nodes[&blade.tags[0]], DVec3::NEG_X, loops);
    }

    /// The border between two spans, as the first one ends and as the second one begins, with the faces
    /// that stand between the two where they differ.
    fn meeting(&mut self, rings: &[Vec<Node>; 2], hidden: bool) -> (Border, Border) {
        if hidden {
            let (tang, blade) = (self.border(&rings[..1]), self.border(&rings[1..]));
            self.shoulder(&tang, &blade);
            return (tang, blade);
        }
        let end = self.border(rings);
        let mut start = end.clone();
        for side in Side::BOTH {
            let steps = [Tag::Edge(side), Tag::Shoulder(side)].iter().all(|t| end.tags.contains(t));
            if steps {
                start = self.step(&start, side);
            }
        }
        (end, start)
    }

    /// The small step, looking ahead, where the sharpened edge begins in front of the ricasso; returns the
    /// border as the sharpened side has it.
    fn step(&mut self, border: &Border, side: Side) -> Border {
        let (edge, shoulder) = (Tag::Edge(side), Tag::Shoulder(side));
        let (from, to) = if side == Side::Right { (Tag::Apex, shoulder) } else { (shoulder, Tag::Apex) };
        let line = self.edge(border.vertex(from), border.vertex(to), Curve::Line);
        let around =
            std::iter::once(EdgeUse { edge: line, forward: true }).chain(backward(border.way(from, to)));
        self.plane(
            &format!("edge step {}", side.name()),
            border.nodes[&Tag::Apex],
            DVec3::X,
            vec![around.collect()],
        );
        let mut opened = border.clone();
        let start = opened.index(from);
        opened.edges[start] = line;
        let gone = opened.index(edge);
        opened.tags.remove(gone);
        opened.vertices.remove(gone);
        opened.edges.remove(gone);
        opened
    }

    /// Round holes through the tang's flat sides: rims of four quarter arcs, walls of four faces.
    fn holes(&mut self, holes: &[Hole]) {
        let flats = std::mem::take(&mut self.flats);
        for hole in holes {
            let centre = DVec2::new(-hole.at, hole.offset);
            let radius = 0.5 * hole.diameter;
            let mut rims: [[(usize, usize); 4]; 2] = [[(0, 0); 4]; 2];
            for &(face, side) in &flats {
                rims[usize::from(side == Side::Left)] = self.rim(face, side, centre, radius);
            }
            self.wall(&rims, centre, radius);
        }
    }

    /// The rim of a hole in a flat side: (vertex, arc to the next) of each quarter, counter-clockwise seen
    /// from +z.
    fn rim(&mut self, face: usize, side: Side, centre: DVec2, radius: f64) -> [(usize, usize); 4] {
        let Surface::Plane { origin, normal, .. } = self.shell.faces[face].surface else {
            return [(0, 0); 4];
        };
        let lift = |p: DVec2| {
            let rest = DVec3::new(p.x - origin.x, p.y - origin.y, 0.0);
            p.extend(origin.z - normal.dot(rest) / normal.z)
        };
        let corner = |i: usize, reach: f64, turn: f64| {
            lift(centre + DVec2::from_angle((i as f64 + turn) * std::f64::consts::FRAC_PI_2) * reach)
        };
        let vertices: [usize; 4] = std::array::from_fn(|i| self.vertex(corner(i, radius, 0.0)));
        let rim: [(usize, usize); 4] = std::array::from_fn(|i| {
            let middle = corner(i, radius * std::f64::consts::SQRT_2, 0.5);
            let curve = Curve::Arc { middle, weight: std::f64::consts::FRAC_1_SQRT_2 };
            (vertices[i], self.edge(vertices[i], vertices[(i + 1) % 4], curve))
        });
        let arcs: Vec<usize> = rim.iter().map(|r| r.1).collect();
        let around = if side == Side::Right { backward(arcs).collect() } else { forward(arcs).collect() };
        self.shell.faces[face].loops.push(around);
        rim
    }

    /// A hole's wall through the tang: four faces between its two rims.
    fn wall(&mut self, rims: &[[(usize, usize); 4]; 2], centre: DVec2, radius: f64) {
        let lines: [usize; 4] = std::array::from_fn(|i| self.edge(rims[0][i].0, rims[1][i].0, Curve::Line));
        let z = |i: usize| self.shell.vertices[rims[0][i].0].z;
        let high = (0..4).map(z).fold(0.0, f64::max);
        for i in 0..4 {
            let around = vec![
                EdgeUse { edge: rims[0][i].1, forward: true },
                EdgeUse { edge: lines[(i + 1) % 4], forward: true },
                EdgeUse { edge: rims[1][i].1, forward: false },
                EdgeUse { edge: lines[i], forward: false },
            ];
            let surface =
                Surface::Cylinder { centre, radius, low: -high, high, seam: DVec2::X, convex: false };
            self.shell.faces.push(Face { name: "tang hole".into(), surface, loops: vec![around] });
        }
    }
}

/// The side a tang strip lies on when it is one of the tang's two flat sides.
fn flat_side(from: Tag, to: Tag) -> Option<Side> {
    match (from, to) {
        (Tag::Edge(Side::Right) | Tag::Apex, Tag::Flank(Side::Right)) => Some(Side::Right),
        (Tag::Flank(Side::Left), Tag::Edge(Side::Left) | Tag::Apex) => Some(Side::Left),
        _ => None,
    }
}

/// The plane of a flat side of the tang: z depends on x alone.
fn plane_of(start: &Border, end: &Border, from: Tag, to: Tag) -> Surface {
    let (a, b) = (start.nodes[&from], end.nodes[&from]);
    let across = end.nodes[&to] - end.nodes[&from];
    let along = DVec3::new(b.x - a.x, 0.0, b.z - a.z).normalize();
    let normal = along.cross(DVec3::new(0.0, across.y.signum(), 0.0)).normalize();
    Surface::Plane { origin: a, normal, along }
}

/// The curve between two neighbouring corners of a border.
fn curve_between(rings: &[Vec<Node>], from: Tag, to: Tag) -> Curve {
    let direct = rings.iter().find_map(|ring| {
        let i = ring.iter().position(|n| n.tag == from)?;
        (ring[(i + 1) % ring.len()].tag == to).then(|| ring[i].middle)
    });
    match direct {
        Some(Some(m)) if m.w < 1.0 => Curve::Arc { middle: m.truncate() / m.w, weight: m.w },
        Some(_) => Curve::Line,
        None => part_of_arc(rings, from, to),
    }
}

/// A piece of the bevel's arc between the edge flat's corner and the beginning of the secondary bevel: the arc
/// from the flat's corner with the whole arc's tangent there.
fn part_of_arc(rings: &[Vec<Node>], from: Tag, to: Tag) -> Curve {
    let (edge, shoulder) = match (from, to) {
        (Tag::Edge(_), Tag::Shoulder(_)) => (from, to),
        (Tag::Shoulder(_), Tag::Edge(_)) => (to, from),
        _ => return Curve::Line,
    };
    let whole = rings.iter().find_map(|ring| {
        let i = ring.iter().position(|n| n.tag == edge)?;
        let joined = if edge == from { i } else { (i + ring.len() - 1) % ring.len() };
        Some((ring[i].at, ring[joined].middle?))
    });
    let end = rings.iter().flatten().find(|n| n.tag == shoulder);
    let (Some((p, m)), Some(q)) = (whole, end) else { return Curve::Line };
    let chord = q.at - p;
    let tangent = (m.truncate() / m.w - p).normalize();
    let cos = tangent.dot(chord.normalize());
    if cos >= 1.0 {
        return Curve::Line;
    }
    Curve::Arc { middle: p + tangent * (0.5 * chord.length() / cos), weight: cos }
}
