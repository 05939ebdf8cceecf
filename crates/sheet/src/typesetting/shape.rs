//! What is drawn on a page: points of 1/72 in, x to the right, y down.

use std::rc::Rc;

use glam::DVec2;
use krilla::image::Image;
use usvg::Tree;

use crate::typesetting::face::Run;

/// Points in a millimetre: 72 in an inch of 25.4 mm (PDF 32000-1, 8.3.2.3).
pub(crate) const MM: f64 = 72.0 / 25.4;

/// Grey of the rules between cells, and of less important words: 0 is black, 255 white.
pub(crate) const RULE: Pen = Pen { width: 0.5, grey: 115, dashes: &[] };
/// The pen of bars, boxes and lines to write on.
pub(crate) const INK: Pen = Pen { width: 0.6, grey: 0, dashes: &[] };

/// How a line is drawn: width and dashes in points, grey from 0 (black) to 255.
#[derive(Clone, Copy, Debug)]
pub(crate) struct Pen {
    pub(crate) width: f64,
    pub(crate) grey: u8,
    pub(crate) dashes: &'static [f64],
}

/// Something drawn.
#[derive(Clone, Debug)]
pub(crate) enum Shape {
    /// Words on their base line.
    Words {
        at: DVec2,
        run: Run,
    },
    Line {
        from: DVec2,
        to: DVec2,
        pen: Pen,
    },
    /// A rectangle by its upper left corner.
    Rectangle {
        at: DVec2,
        size: DVec2,
        fill: Option<[u8; 3]>,
        pen: Option<Pen>,
    },
    /// A picture of dots by its upper left corner.
    Dots {
        at: DVec2,
        size: DVec2,
        image: Image,
    },
    /// A drawing by its upper left corner.
    Drawing {
        at: DVec2,
        tree: Rc<Tree>,
    },
}

impl Shape {
    /// The same moved.
    pub(crate) fn moved(mut self, by: DVec2) -> Shape {
        match &mut self {
            Shape::Line { from, to, .. } => {
                *from += by;
                *to += by;
            }
            Shape::Words { at, .. }
            | Shape::Rectangle { at, .. }
            | Shape::Dots { at, .. }
            | Shape::Drawing { at, .. } => *at += by,
        }
        self
    }
}

/// A rectangle filled with white or not at all, drawn with a pen.
pub(crate) fn frame(at: DVec2, size: DVec2, pen: Pen) -> Shape {
    Shape::Rectangle { at, size, fill: None, pen: Some(pen) }
}

/// Lines that slant through a rectangle from its upper left corner `at`, `step` apart along its top, leaning by `lean` from top
/// to bottom: to the right with a positive `lean`.
pub(crate) fn slants(at: DVec2, size: DVec2, step: f64, lean: f64, pen: Pen) -> Vec<Shape> {
    let count = ((size.x + lean.abs()) / step) as i32 + 1;
    let first = if lean > 0.0 { -lean } else { 0.0 };
    let line = |i: i32| {
        let top = first + f64::from(i) * step;
        // Share of the way down at which the line crosses the sides.
        let crossing = |x: f64| ((x - top) / lean).clamp(0.0, 1.0);
        let (a, b) = (crossing(0.0), crossing(size.x));
        let (from, to) = (a.min(b), a.max(b));
        let place = |share: f64| at + DVec2::new(top + share * lean, share * size.y);
        (to > from).then(|| Shape::Line { from: place(from), to: place(to), pen })
    };
    (0..count).filter_map(line).collect()
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn slanting_lines_stay_in_their_rectangle() {
        let (at, size) = (DVec2::new(10.0, 20.0), DVec2::new(50.0, 8.0));
        for lean in [5.0, -5.0, 80.0] {
            let lines = slants(at, size, 6.0, lean, INK);
            assert!(lines.len() >= 8, "{lean}: {}", lines.len());
            for line in lines {
                let Shape::Line { from, to, .. } = line else { panic!("not a line") };
                for p in [from, to] {
                    let inside = p.cmpge(at - 1e-9).all() && p.cmple(at + size + 1e-9).all();
                    assert!(inside, "{lean}: {p}");
                }
                assert!((to.x - from.x).signum() * lean.signum() > 0.0 && to.y > from.y);
            }
        }
    }
}
