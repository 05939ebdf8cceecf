//! The solid: vertices, edges and faces sewn by their indices and proven closed by truck.

use brep::{EdgeUse, Shell};
use glam::DVec3;
use truck_modeling::{self as truck, Point3};
use truck_topology::compress::{CompressedEdgeIndex, CompressedShell};

use crate::curve::{self, back, finite, point};
use crate::fault::SolidFault;
use crate::form::{Edge, Face};
use crate::surface;

/// How far, in mm, a curve may end from its vertex or a corner may lie off its plane or cylinder: the
/// uncertainty that exchange files of solids declare.
const GAP: f64 = 1e-6;

/// A closed, oriented solid. Only [`solid`] makes one.
#[derive(Clone, Debug)]
pub struct Solid {
    vertices: Vec<DVec3>,
    edges: Vec<Edge>,
    faces: Vec<Face>,
}

impl Solid {
    /// The corner points, mm, in the order in which the faces come upon them.
    pub fn vertices(&self) -> &[DVec3] {
        &self.vertices
    }

    /// The edges, in the order in which the faces come upon them.
    pub fn edges(&self) -> &[Edge] {
        &self.edges
    }

    /// The faces, in the shell's order and under the shell's names.
    pub fn faces(&self) -> &[Face] {
        &self.faces
    }
}

/// The solid that `shell` bounds (mm). Whether faces cut each other is not looked at: the checks of the
/// design answer for that.
///
/// # Errors
/// The first [`SolidFault`] found: indices, numbers or ends that do not fit together, or a boundary that
/// truck does not find closed, oriented, connected and manifold.
pub fn solid(shell: &Shell) -> Result<Solid, SolidFault> {
    let vertices = vertices(shell)?;
    let edges = shell
        .edges
        .iter()
        .enumerate()
        .map(|(i, e)| edge(i, e, shell, &vertices))
        .collect::<Result<Vec<_>, _>>()?;
    let faces = shell.faces.iter().map(|f| face(f, shell, &edges)).collect::<Result<truck::Shell, _>>()?;
    let body = truck::Solid::try_new(vec![faces]).map_err(|e| SolidFault::Open { reason: e.to_string() })?;
    let names = shell.faces.iter().map(|f| f.name.as_str());
    body.compress().boundaries.into_iter().next().map_or_else(empty, |shell| plain(shell, names))
}

/// The fault of a solid without a boundary.
fn empty() -> Result<Solid, SolidFault> {
    Err(SolidFault::Open { reason: "there are no faces".to_owned() })
}

/// The kernel's vertices.
fn vertices(shell: &Shell) -> Result<Vec<truck::Vertex>, SolidFault> {
    let each = shell.vertices.iter().enumerate();
    each.map(|(i, &p)| {
        finite(p.to_array(), &format!("vertex {i}"))?;
        Ok(truck::Vertex::new(point(p)))
    })
    .collect()
}

/// The kernel's edge number `index`.
fn edge(
    index: usize,
    edge: &brep::Edge,
    shell: &Shell,
    vertices: &[truck::Vertex],
) -> Result<truck::Edge, SolidFault> {
    let place = format!("edge {index}");
    let (start, from) = vertex(index, edge.start, shell, vertices)?;
    let (end, to) = vertex(index, edge.end, shell, vertices)?;
    let gap = loose(&edge.curve, start, end);
    if gap > GAP {
        return Err(SolidFault::LooseEnd { edge: index, gap });
    }
    let curve = curve::curve(&edge.curve, start, end, &place)?;
    truck::Edge::try_new(from, to, curve).map_err(|e| SolidFault::refused(place, e))
}

/// A vertex of edge `edge`: its point and the kernel's form.
fn vertex<'a>(
    edge: usize,
    vertex: usize,
    shell: &Shell,
    vertices: &'a [truck::Vertex],
) -> Result<(DVec3, &'a truck::Vertex), SolidFault> {
    let both = shell.vertices.get(vertex).zip(vertices.get(vertex));
    both.map(|(&p, v)| (p, v)).ok_or(SolidFault::NoVertex { edge, vertex })
}

/// How far the curve's ends lie from the vertices, mm. Lines and arcs are drawn from the vertices.
fn loose(curve: &brep::Curve, start: DVec3, end: DVec3) -> f64 {
    match curve {
        brep::Curve::Spline(spline) => match spline.points() {
            [first, .., last] => first.distance(start).max(last.distance(end)),
            _ => f64::INFINITY,
        },
        brep::Curve::Line | brep::Curve::Arc { .. } => 0.0,
    }
}

/// The kernel's face.
fn face(face: &brep::Face, shell: &Shell, edges: &[truck::Edge]) -> Result<truck::Face, SolidFault> {
    let place = format!("face {}", face.name);
    let surface = surface::surface(&face.surface, &place)?;
    let loops = face.loops.iter().map(|l| wire(l, &face.name, edges)).collect::<Result<Vec<_>, _>>()?;
    let gap = off_surface(face, shell);
    if gap > GAP {
        return Err(SolidFault::OffSurface { face: face.name.clone(), gap });
    }
    truck::Face::try_new(loops, surface).map_err(|e| SolidFault::refused(place, e))
}

/// The kernel's loop.
fn wire(uses: &[EdgeUse], face: &str, edges: &[truck::Edge]) -> Result<truck::Wire, SolidFault> {
    let each = uses.iter().map(|u| match edges.get(u.edge) {
        Some(edge) if u.forward => Ok(edge.clone()),
        Some(edge) => Ok(edge.inverse()),
        None => Err(SolidFault::NoEdge { face: face.to_owned(), edge: u.edge }),
    });
    each.collect()
}

/// How far the face's corners lie off its plane or cylinder, mm; strips are drawn from their rails.
fn off_surface(face: &brep::Face, shell: &Shell) -> f64 {
    let corners =
        face.loops.iter().flatten().filter_map(|u| shell.edges.get(u.edge)).map(|e| shell.vertices[e.start]);
    let off = |p: DVec3| match face.surface {
        brep::Surface::Plane { origin, normal, .. } => (p - origin).dot(normal).abs(),
        brep::Surface::Cylinder { centre, radius, .. } => (p.truncate().distance(centre) - radius).abs(),
        brep::Surface::Ruled { .. } | brep::Surface::Round { .. } => 0.0,
    };
    corners.map(off).fold(0.0, f64::max)
}

/// The plain form of the kernel's shell, its faces named in order.
fn plain<'a>(
    shell: CompressedShell<Point3, truck::Curve, truck::Surface>,
    names: impl Iterator<Item = &'a str>,
) -> Result<Solid, SolidFault> {
    let edges = shell.edges.iter().enumerate().map(|(i, e)| {
        let curve = curve::form(&e.curve, &format!("edge {i}"))?;
        Ok(Edge { start: e.vertices.0, end: e.vertices.1, curve })
    });
    let faces = shell.faces.iter().zip(names).map(|(face, name)| {
        let (surface, outwards) = surface::form(&face.surface);
        let along_normal = outwards == face.orientation;
        let uses = |l: &Vec<_>| l.iter().map(edge_use).collect();
        Face {
            name: name.to_owned(),
            surface,
            along_normal,
            loops: face.boundaries.iter().map(uses).collect(),
        }
    });
    Ok(Solid {
        edges: edges.collect::<Result<_, SolidFault>>()?,
        faces: faces.collect(),
        vertices: shell.vertices.into_iter().map(back).collect(),
    })
}

/// The plain form of a use of an edge.
fn edge_use(index: &CompressedEdgeIndex) -> EdgeUse {
    EdgeUse { edge: index.index, forward: index.orientation }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::form::{Curve, Surface};
    use crate::sample;

    #[test]
    fn a_box_with_a_hole_closes_and_keeps_its_names() {
        let body = solid(&sample::holed_box()).unwrap();
        assert_eq!((body.vertices().len(), body.edges().len(), body.faces().len()), (16, 24, 10));
        let names: Vec<_> = body.faces().iter().map(|f| f.name.as_str()).collect();
        assert_eq!(names[0], "bottom");
        assert_eq!(names[9], "hole 3");
        assert_eq!(body.faces()[0].loops.len(), 2);
    }

    #[test]
    fn a_holes_wall_is_a_cylinder_whose_normal_points_into_the_steel() {
        let body = solid(&sample::holed_box()).unwrap();
        let wall = &body.faces()[6];
        assert!(!wall.along_normal);
        let Surface::Cylinder { origin, axis, along, radius } = wall.surface else { panic!("no cylinder") };
        assert!((radius - 2.0).abs() < 1e-12);
        assert!(origin.distance(DVec3::new(10.0, 5.0, -1.0)) < 1e-12);
        assert!(axis.distance(DVec3::Z) < 1e-15 && along.distance(DVec3::X) < 1e-15);
    }

    #[test]
    fn an_arc_is_a_quarter_circle() {
        let body = solid(&sample::holed_box()).unwrap();
        let arcs = body.edges().iter().filter_map(|e| match &e.curve {
            Curve::Spline(s) => Some((e, s)),
            Curve::Line => None,
        });
        for (edge, arc) in arcs {
            let weights = arc.weights.as_ref().unwrap();
            let (p, q) = (arc.points[0] + arc.points[2], arc.points[1] * 2.0 * weights[1]);
            let centre = DVec3::new(10.0, 5.0, arc.points[0].z);
            let half = (p + q) / (2.0 + 2.0 * weights[1]);
            assert!((half.distance(centre) - 2.0).abs() < 1e-12);
            assert_eq!(arc.points[0], body.vertices()[edge.start]);
            assert_eq!(arc.points[2], body.vertices()[edge.end]);
        }
    }

    #[test]
    fn strips_that_end_in_the_point_close_without_an_edge_there() {
        let shell = sample::pointed_blade();
        let body = solid(&shell).unwrap();
        assert_eq!(body.vertices().len() + body.faces().len(), body.edges().len() + rims(&body));
        let names = |faces: &[Face]| faces.iter().map(|f| f.name.clone()).collect::<Vec<_>>();
        assert_eq!(names(body.faces()), shell.faces.iter().map(|f| f.name.clone()).collect::<Vec<_>>());
        let point = body.vertices().iter().position(|v| v.x > 299.0).unwrap();
        let meet = |e: &&Edge| e.start == point || e.end == point;
        assert!(body.edges().iter().filter(meet).count() > 3);
    }

    /// What a body with one hole adds to Euler's formula: 2 for the body, −2 for the hole, 1 for each rim.
    fn rims(body: &Solid) -> usize {
        body.faces().iter().map(|f| f.loops.len() - 1).sum()
    }

    #[test]
    fn strips_keep_their_degrees_rails_and_weights() {
        let body = solid(&sample::pointed_blade()).unwrap();
        let patches = body.faces().iter().filter_map(|f| match &f.surface {
            Surface::Patch(patch) => Some(patch),
            _ => None,
        });
        let (round, ruled): (Vec<_>, Vec<_>) = patches.partition(|p| p.weights.is_some());
        assert!(!round.is_empty() && !ruled.is_empty());
        assert!(ruled.iter().all(|p| p.degrees == [3, 1] && p.points[0].len() == 2));
        assert!(round.iter().all(|p| p.degrees == [3, 2] && p.points[0].len() == 3));
        for patch in round.iter().chain(&ruled) {
            assert_eq!(patch.knots[0].len(), patch.points.len() + 4);
        }
    }

    #[test]
    fn rails_with_different_knots_and_loose_ends_are_refused() {
        let mut shell = sample::pointed_blade();
        let rails: Vec<_> = shell
            .edges
            .iter()
            .filter_map(|e| match &e.curve {
                brep::Curve::Spline(s) => Some(s.clone()),
                _ => None,
            })
            .collect();
        let short = rails.iter().min_by_key(|s| s.knots().len()).unwrap().clone();
        let at = shell
            .faces
            .iter()
            .position(
                |f| matches!(&f.surface, brep::Surface::Ruled { low, .. } if low.knots() != short.knots()),
            )
            .unwrap();
        let brep::Surface::Ruled { high, .. } = &mut shell.faces[at].surface else { panic!("no strip") };
        *high = short;
        assert!(matches!(solid(&shell), Err(SolidFault::Rails { .. })));
        let mut shell = sample::pointed_blade();
        let at = shell.edges.iter().position(|e| matches!(e.curve, brep::Curve::Spline(_))).unwrap();
        let edge = &mut shell.edges[at];
        std::mem::swap(&mut edge.start, &mut edge.end);
        assert!(matches!(solid(&shell), Err(SolidFault::LooseEnd { edge, .. }) if edge == at));
    }

    #[test]
    fn an_open_box_is_refused() {
        let mut shell = sample::holed_box();
        shell.faces.pop();
        assert!(matches!(solid(&shell), Err(SolidFault::Open { .. })));
    }

    #[test]
    fn a_face_turned_inside_out_is_refused() {
        let mut shell = sample::holed_box();
        for one in &mut shell.faces[2].loops {
            one.reverse();
            one.iter_mut().for_each(|u| u.forward = !u.forward);
        }
        assert!(matches!(solid(&shell), Err(SolidFault::Open { .. })));
    }

    #[test]
    fn numbers_indices_and_corners_are_looked_at() {
        let mut shell = sample::holed_box();
        shell.vertices[3].z = f64::NAN;
        assert_eq!(solid(&shell).unwrap_err(), SolidFault::NotFinite { place: "vertex 3".to_owned() });
        let mut shell = sample::holed_box();
        shell.edges[5].end = 99;
        assert_eq!(solid(&shell).unwrap_err(), SolidFault::NoVertex { edge: 5, vertex: 99 });
        let mut shell = sample::holed_box();
        shell.faces[0].loops[0][0].edge = 99;
        assert_eq!(solid(&shell).unwrap_err(), SolidFault::NoEdge { face: "bottom".to_owned(), edge: 99 });
        let mut shell = sample::holed_box();
        shell.vertices[0].z -= 0.5;
        assert!(
            matches!(solid(&shell), Err(SolidFault::OffSurface { gap, .. }) if (gap - 0.5).abs() < 1e-12)
        );
        assert!(matches!(
            solid(&Shell { vertices: vec![], edges: vec![], faces: vec![] }),
            Err(SolidFault::Open { .. })
        ));
    }
}
