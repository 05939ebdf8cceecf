//! The section's line around the blade: drawn, and taken hold of by the mouse.

use glam::DVec3;
use kiss3d::egui::{Color32, Painter, Pos2, Shape, Stroke};

use crate::desk::style::Ink;
use crate::draw::camera::Camera;
use crate::draw::spread::Spread;
use crate::model::section::{Cut, Strip};

/// How near to the section's line the mouse takes hold of it, pixels: a fingertip's width.
const REACH: f32 = 14.0;

/// The section's line around the blade as it is seen; one line for each bar where they are drawn apart.
pub(crate) fn outline(cut: &Cut, camera: &Camera, spread: &Spread) -> Vec<Vec<Pos2>> {
    let around = |bar: Option<usize>, strips: &[Strip]| {
        let right = strips.iter().map(|s| [s.height, s.right]);
        let left = strips.iter().rev().map(|s| [s.height, s.left]);
        let seen = |[y, z]: [f64; 2]| camera.pixel(spread.point(bar, DVec3::new(cut.at, y, z)));
        right.chain(left).map(seen).collect()
    };
    if spread.gap > 0.0 {
        return cut.bands.iter().map(|b| around(b.bar, &b.strips)).collect();
    }
    let whole: Vec<Strip> = cut.bands.iter().flat_map(|b| &b.strips).copied().collect();
    vec![around(None, &whole)]
}

/// Draws the section's line.
pub(crate) fn draw(painter: &Painter, ring: &[Vec<Pos2>], held: bool, ink: &Ink) {
    let width = if held { 3.5 } else { 2.0 };
    for line in ring {
        painter
            .add(Shape::closed_line(line.clone(), Stroke::new(width + 2.0, Color32::from_white_alpha(150))));
        painter.add(Shape::closed_line(line.clone(), Stroke::new(width, ink.point)));
    }
}

/// Whether a point of the window is near enough to the line to take hold of it.
pub(crate) fn reaches(ring: &[Vec<Pos2>], at: Pos2) -> bool {
    let near = |a: Pos2, b: Pos2| {
        let way = b - a;
        let share =
            if way.length_sq() > 0.0 { ((at - a).dot(way) / way.length_sq()).clamp(0.0, 1.0) } else { 0.0 };
        (a + way * share).distance(at) < REACH
    };
    ring.iter().any(|line| line.windows(2).any(|w| near(w[0], w[1])))
}

/// The station under a point of the window, mm; `None` when the blade is seen from its end.
pub(crate) fn station(camera: &Camera, at: Pos2) -> Option<f64> {
    let (start, unit) = (camera.pixel(DVec3::ZERO), camera.pixel(DVec3::X * 100.0));
    let way = unit - start;
    // Under a tenth of a pixel per mm a mouse can't point at a station.
    (way.length() > 10.0).then(|| f64::from((at - start).dot(way) / way.length_sq()) * 100.0)
}
