//! The room that marks take up.

use std::f64::consts::FRAC_PI_2;

use brep::Piece;
use glam::DVec2;

use crate::drawing::{Anchor, Drawing, Mark};

/// Lower left and upper right corner, mm.
pub type Extent = [DVec2; 2];

/// Width of a character over the height of capitals: 1233 of 1493 font units in Hack, in which all are alike.
const LETTER: f64 = 0.826;

/// How far letters reach below the base line, over the height of capitals (g, p and brackets of Hack, rounded up).
const DESCENT: f64 = 0.33;

/// How far they reach above the capitals' height (brackets and accents of Hack, rounded up).
const RISE: f64 = 0.12;

/// Width of a line of text with capitals of this height, mm.
pub fn text_width(text: &str, height: f64) -> f64 {
    LETTER * height * text.chars().count() as f64
}

/// Whether two boxes share more than a border.
pub fn overlap(a: &Extent, b: &Extent) -> bool {
    a[0].cmplt(b[1]).all() && b[0].cmplt(a[1]).all()
}

impl Drawing {
    /// Least and greatest coordinates of everything drawn, dimensions drawn out, without the width of strokes, mm.
    /// Curves count with their control points. `None` for an empty drawing.
    pub fn bounds(&self) -> Option<[DVec2; 2]> {
        self.extents().into_iter().reduce(|a, b| [a[0].min(b[0]), a[1].max(b[1])])
    }

    /// The boxes of all pieces and texts, dimensions drawn out.
    pub fn extents(&self) -> Vec<Extent> {
        self.plain().items.iter().flat_map(|item| item.mark.extents()).collect()
    }

    /// The boxes of all texts, dimensions' figures among them.
    pub fn text_extents(&self) -> Vec<Extent> {
        let texts = self.plain().items.into_iter().filter(|i| matches!(i.mark, Mark::Text { .. }));
        texts.flat_map(|item| item.mark.extents()).collect()
    }
}

impl Mark {
    /// The boxes of a path's pieces or of a text; a dimension has none until it is drawn out.
    pub fn extents(&self) -> Vec<Extent> {
        match self {
            Mark::Path { pieces, .. } => pieces.iter().map(of_piece).collect(),
            Mark::Text { at, height, anchor, turn, text } => {
                let width = text_width(text, *height);
                let start = match anchor {
                    Anchor::Start => 0.0,
                    Anchor::Middle => -0.5 * width,
                    Anchor::End => -width,
                };
                let (low, high) = (-DESCENT * height, (1.0 + RISE) * height);
                let corners = [(start, low), (start + width, low), (start + width, high), (start, high)];
                vec![around(&corners.map(|(x, y)| *at + DVec2::from_angle(*turn).rotate(DVec2::new(x, y))))]
            }
            Mark::Dimension { .. } => Vec::new(),
        }
    }
}

/// A box that holds a piece.
fn of_piece(piece: &Piece) -> Extent {
    match *piece {
        Piece::Straight(a, b) => around(&[a, b]),
        Piece::Cubic(points) => around(&points),
        Piece::Arc(centre, radius, from, to) => {
            let turns = arc_turns(from, to);
            around(&turns.map(|turn| centre + DVec2::from_angle(turn) * radius).collect::<Vec<_>>())
        }
    }
}

/// Both ends of an arc, and its quarter turns, where it reaches furthest, rad.
fn arc_turns(from: f64, to: f64) -> impl Iterator<Item = f64> {
    let (first, last) = (from.min(to) / FRAC_PI_2, from.max(to) / FRAC_PI_2);
    let quarters = (first.ceil() as i64..=last.floor() as i64).map(|i| i as f64 * FRAC_PI_2);
    [from, to].into_iter().chain(quarters)
}

/// The box around points.
pub fn around(points: &[DVec2]) -> Extent {
    points.iter().fold([DVec2::INFINITY, DVec2::NEG_INFINITY], |[l, h], p| [l.min(*p), h.max(*p)])
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::drawing::Layer;

    #[test]
    fn texts_take_their_characters_width_whichever_way_they_run() {
        let text =
            |turn, anchor| Mark::Text { at: DVec2::ZERO, height: 2.0, anchor, turn, text: "12.5".into() };
        let [low, high] = text(0.0, Anchor::Middle).extents()[0];
        assert!((low - DVec2::new(-3.304, -0.66)).length() < 1e-9, "{low}");
        assert!((high - DVec2::new(3.304, 2.24)).length() < 1e-9, "{high}");
        let [low, high] = text(FRAC_PI_2, Anchor::End).extents()[0];
        assert!((low - DVec2::new(-2.24, -6.608)).length() < 1e-9, "{low}");
        assert!((high - DVec2::new(0.66, 0.0)).length() < 1e-9, "{high}");
    }

    #[test]
    fn bounds_hold_dimensions_drawn_out() {
        let mut drawing = Drawing::default();
        assert_eq!(drawing.bounds(), None);
        let (from, to) = (DVec2::ZERO, DVec2::new(50.0, 0.0));
        drawing.add(
            Layer::Dimension,
            Mark::Dimension { from, to, offset: -7.0, height: 2.0, text: "50.0".into() },
        );
        let [low, high] = drawing.bounds().unwrap();
        assert!(low.y < -7.0 && low.y > -9.0 && high.y <= 0.0, "{low} {high}");
        assert!(low.x.abs() < 1e-9 && (high.x - 50.0).abs() < 1e-9);
    }

    #[test]
    fn arcs_reach_to_their_quarters() {
        let [low, high] = of_piece(&Piece::Arc(DVec2::ONE, 2.0, 0.5, -2.0));
        assert!((high - DVec2::new(3.0, 1.0 + 2.0 * 0.5_f64.sin())).length() < 1e-12, "{high}");
        assert!((low - DVec2::new(1.0 + 2.0 * 2.0_f64.cos(), -1.0)).length() < 1e-12, "{low}");
    }

    #[test]
    fn boxes_that_only_touch_do_not_overlap() {
        let unit = [DVec2::ZERO, DVec2::ONE];
        assert!(overlap(&unit, &[DVec2::splat(0.5), DVec2::splat(2.0)]));
        assert!(!overlap(&unit, &[DVec2::new(1.0, 0.0), DVec2::new(2.0, 1.0)]));
    }
}
