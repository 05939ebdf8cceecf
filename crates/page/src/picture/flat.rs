//! A flat part as it lies on the bed, by its upper faces: what is engraved or cut through shows through them.

use brep::{Curve, EdgeUse, Face, Shell, Surface};
use glam::{DVec2, DVec3};

use crate::picture::drawn::framed;
use crate::picture::path::{chords, path};

/// Room around a part, mm.
const AROUND: f64 = 1.0;
/// Faces so little below the highest one are upper ones, mm.
const LEVEL: f64 = 1e-6;

/// The part seen from above, of at most `finest` characters: without what is engraved where that would be longer, and
/// as its box where nothing of it is flat.
pub(crate) fn svg(shell: &Shell, finest: usize) -> String {
    let (low, high) = shell.bounds();
    let frame = [low.truncate() - DVec2::splat(AROUND), high.truncate() + DVec2::splat(AROUND)];
    let drawn = |up: f64, level: f64| -> String {
        let faces = shell.faces.iter().filter(|face| faces_at(face, up, level));
        faces.flat_map(|face| &face.loops).map(|edges| path(around(shell, edges), true)).collect()
    };
    let above = drawn(1.0, high.z);
    let data = if above.is_empty() || above.len() > finest { drawn(-1.0, low.z) } else { above };
    let data = if data.is_empty() { path(rectangle(low, high), true) } else { data };
    framed(frame, "", &format!(r#"<path class="part" d="{data}"/>"#))
}

/// Whether a face is plane, looks up (1) or down (−1), and lies at a height, mm.
fn faces_at(face: &Face, up: f64, level: f64) -> bool {
    matches!(&face.surface, Surface::Plane { origin, normal, .. }
        if normal.z * up > 1.0 - LEVEL && (origin.z - level).abs() < LEVEL)
}

/// The corners of a box seen from above.
fn rectangle(low: DVec3, high: DVec3) -> [DVec2; 4] {
    [[low.x, low.y], [high.x, low.y], [high.x, high.y], [low.x, high.y]].map(DVec2::from)
}

/// Points along a loop, seen from above.
fn around<'a>(shell: &'a Shell, edges: &'a [EdgeUse]) -> impl Iterator<Item = DVec2> + 'a {
    edges.iter().flat_map(move |used| {
        let edge = &shell.edges[used.edge];
        let count = match &edge.curve {
            Curve::Line => 1,
            Curve::Arc { weight, .. } => {
                // Half the arc's angle has the weight for its cosine, and half the chord is the radius times its sine.
                let half = weight.clamp(-1.0, 1.0).acos();
                let chord = shell.vertices[edge.start].distance(shell.vertices[edge.end]);
                chords(0.5 * chord / half.sin().max(1e-9), 2.0 * half)
            }
            Curve::Spline(_) => 16,
        };
        (0..count).map(move |i| {
            let share = f64::from(i) / f64::from(count);
            shell.edge_point(edge, if used.forward { share } else { 1.0 - share }).truncate()
        })
    })
}

#[cfg(test)]
mod tests {
    use tooling::{Contour, Slab};

    use super::*;

    #[test]
    fn a_plate_shows_its_hole() {
        let slab = Slab {
            outline: Contour::rectangle(DVec2::ZERO, DVec2::new(40.0, 20.0)),
            holes: vec![Contour::rectangle(DVec2::splat(5.0), DVec2::splat(9.0))],
            engraving: Vec::new(),
            thickness: 3.0,
            depth: 0.5,
        };
        let svg = svg(&slab.shell(), 4000);
        assert!(svg.starts_with(r#"<svg viewBox="-10 -210 420 220" aria-hidden="true">"#), "{svg}");
        assert_eq!((svg.matches('M').count(), svg.matches('z').count()), (2, 2), "{svg}");
        assert!(svg.contains("400 0") && svg.contains("40 0"), "{svg}");
    }
}
