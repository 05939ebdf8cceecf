//! The blade as it was, as lines behind the one that is.

use kiss3d::egui::{Painter, Shape, Stroke};

use crate::desk::style::Ink;
use crate::draw::camera::Camera;
use crate::draw::spread::Spread;
use crate::hand::before::Before;

/// Dashes and the gaps between them, pixels: told from every solid line.
const DASH: [f32; 2] = [7.0, 5.0];

/// Draws the outermost lines of the blade before.
pub(crate) fn draw(painter: &Painter, before: &Before, camera: &Camera, spread: &Spread, ink: &Ink) {
    for line in &before.lines {
        let points: Vec<_> = line.iter().map(|p| camera.pixel(spread.point(None, *p))).collect();
        painter.extend(Shape::dashed_line(&points, Stroke::new(1.5, ink.line), DASH[0], DASH[1]));
    }
}
