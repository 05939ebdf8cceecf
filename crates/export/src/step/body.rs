//! A solid's topology and geometry as STEP entities (ISO 10303-42).

use glam::DVec3;
use solid::{Curve, Edge, Face, Patch, Solid, Spline, Surface};

use crate::fault::ExportFault;
use crate::step::part21::{Id, Part21, list, real, reals, string};

/// The solid's boundary as a closed shell.
pub(crate) fn shell(file: &mut Part21, solid: &Solid) -> Result<Id, ExportFault> {
    let points = points(file, solid.vertices(), "vertex")?;
    let vertices: Vec<_> = points.iter().map(|p| file.add(format_args!("VERTEX_POINT('',{p})"))).collect();
    let mut edges = Vec::with_capacity(solid.edges().len());
    for each in solid.edges() {
        let curve = curve(file, each, solid, &points)?;
        let (start, end) = (vertices[each.start], vertices[each.end]);
        edges.push(file.add(format_args!("EDGE_CURVE('',{start},{end},{curve},.T.)")));
    }
    let mut faces = Vec::with_capacity(solid.faces().len());
    for each in solid.faces() {
        faces.push(face(file, each, &edges)?);
    }
    Ok(file.add(format_args!("CLOSED_SHELL('',{})", list(faces))))
}

/// A right-handed frame.
pub(crate) fn placement(
    file: &mut Part21,
    origin: DVec3,
    axis: DVec3,
    along: DVec3,
) -> Result<Id, ExportFault> {
    let origin = point(file, origin, "origin")?;
    let axis = direction(file, axis, "axis")?;
    let along = direction(file, along, "direction")?;
    Ok(file.add(format_args!("AXIS2_PLACEMENT_3D('',{origin},{axis},{along})")))
}

/// A point.
fn point(file: &mut Part21, p: DVec3, place: &str) -> Result<Id, ExportFault> {
    Ok(file.add(format_args!("CARTESIAN_POINT('',{})", reals(&p.to_array(), place)?)))
}

/// Points, in order.
fn points(file: &mut Part21, points: &[DVec3], place: &str) -> Result<Vec<Id>, ExportFault> {
    points.iter().map(|&p| point(file, p, place)).collect()
}

/// A unit direction.
fn direction(file: &mut Part21, d: DVec3, place: &str) -> Result<Id, ExportFault> {
    Ok(file.add(format_args!("DIRECTION('',{})", reals(&d.to_array(), place)?)))
}

/// An edge's curve; `points` are those of the solid's vertices.
fn curve(file: &mut Part21, edge: &Edge, solid: &Solid, points: &[Id]) -> Result<Id, ExportFault> {
    match &edge.curve {
        Curve::Spline(spline) => self::spline(file, spline),
        Curve::Line => {
            let way = (solid.vertices()[edge.end] - solid.vertices()[edge.start]).normalize();
            let way = direction(file, way, "direction of an edge")?;
            let vector = file.add(format_args!("VECTOR('',{way},1.)"));
            Ok(file.add(format_args!("LINE('',{},{vector})", points[edge.start])))
        }
    }
}

/// A B-spline curve, as a complex entity if it is rational.
fn spline(file: &mut Part21, spline: &Spline) -> Result<Id, ExportFault> {
    let points = list(points(file, &spline.points, "control point")?);
    let (counts, knots) = knots(&spline.knots)?;
    let form = format!("{},{points},.UNSPECIFIED.,.F.,.F.", spline.degree);
    Ok(file.add(match &spline.weights {
        None => format!("B_SPLINE_CURVE_WITH_KNOTS('',{form},{counts},{knots},.UNSPECIFIED.)"),
        Some(weights) => format!(
            "( BOUNDED_CURVE() B_SPLINE_CURVE({form}) \
             B_SPLINE_CURVE_WITH_KNOTS({counts},{knots},.UNSPECIFIED.) CURVE() \
             GEOMETRIC_REPRESENTATION_ITEM() RATIONAL_B_SPLINE_CURVE({}) REPRESENTATION_ITEM('') )",
            reals(weights, "weight")?
        ),
    }))
}

/// How often each knot stands, and the distinct knots.
fn knots(knots: &[f64]) -> Result<(String, String), ExportFault> {
    let runs: Vec<_> = knots.chunk_by(|a, b| a.total_cmp(b).is_eq()).collect();
    let distinct: Vec<_> = runs.iter().map(|run| run[0]).collect();
    Ok((list(runs.iter().map(|run| run.len())), reals(&distinct, "knot")?))
}

/// A face with its bounds, the first one the outer.
fn face(file: &mut Part21, face: &Face, edges: &[Id]) -> Result<Id, ExportFault> {
    let surface = surface(file, &face.surface)?;
    let mut bounds = Vec::with_capacity(face.loops.len());
    for (i, uses) in face.loops.iter().enumerate() {
        let uses: Vec<_> = uses
            .iter()
            .map(|u| file.add(format_args!("ORIENTED_EDGE('',*,*,{},{})", edges[u.edge], logical(u.forward))))
            .collect();
        let ring = file.add(format_args!("EDGE_LOOP('',{})", list(uses)));
        let kind = if i == 0 { "FACE_OUTER_BOUND" } else { "FACE_BOUND" };
        bounds.push(file.add(format_args!("{kind}('',{ring},.T.)")));
    }
    let (name, bounds, sense) = (string(&face.name), list(bounds), logical(face.along_normal));
    Ok(file.add(format_args!("ADVANCED_FACE({name},{bounds},{surface},{sense})")))
}

/// True or false in Part 21.
fn logical(yes: bool) -> &'static str {
    if yes { ".T." } else { ".F." }
}

/// A face's surface.
fn surface(file: &mut Part21, surface: &Surface) -> Result<Id, ExportFault> {
    match surface {
        Surface::Plane { origin, normal, along } => {
            let frame = placement(file, *origin, *normal, *along)?;
            Ok(file.add(format_args!("PLANE('',{frame})")))
        }
        Surface::Cylinder { origin, axis, along, radius } => {
            let frame = placement(file, *origin, *axis, *along)?;
            Ok(file.add(format_args!("CYLINDRICAL_SURFACE('',{frame},{})", real(*radius, "radius")?)))
        }
        Surface::Patch(patch) => self::patch(file, patch),
    }
}

/// A B-spline surface, as a complex entity if it is rational.
fn patch(file: &mut Part21, patch: &Patch) -> Result<Id, ExportFault> {
    let rows = patch.points.iter().map(|row| Ok(list(points(file, row, "control point")?)));
    let rows = list(rows.collect::<Result<Vec<_>, ExportFault>>()?);
    let [(counts_u, knots_u), (counts_v, knots_v)] = [knots(&patch.knots[0])?, knots(&patch.knots[1])?];
    let [u, v] = patch.degrees;
    let form = format!("{u},{v},{rows},.UNSPECIFIED.,.F.,.F.,.F.");
    let knots = format!("{counts_u},{counts_v},{knots_u},{knots_v},.UNSPECIFIED.");
    let Some(weights) = &patch.weights else {
        return Ok(file.add(format_args!("B_SPLINE_SURFACE_WITH_KNOTS('',{form},{knots})")));
    };
    let weights = weights.iter().map(|row| reals(row, "weight")).collect::<Result<Vec<_>, _>>()?;
    Ok(file.add(format_args!(
        "( BOUNDED_SURFACE() B_SPLINE_SURFACE({form}) B_SPLINE_SURFACE_WITH_KNOTS({knots}) \
         GEOMETRIC_REPRESENTATION_ITEM() RATIONAL_B_SPLINE_SURFACE({}) REPRESENTATION_ITEM('') SURFACE() )",
        list(weights)
    )))
}
