//! Dimensions drawn out as lines, arrow heads and figures, in the manner of ISO 129-1 (from memory).

use std::f64::consts::{FRAC_PI_2, PI};

use brep::Piece;
use glam::DVec2;

use crate::drawing::{Anchor, Drawing, Item, Layer, Mark};
use crate::extent::text_width;

/// Length of an arrow head over the height of its figure, so that both keep in proportion.
const ARROW: f64 = 0.8;

/// Breadth of an arrow head over its length: about 1 to 3.
const SLENDER: f64 = 1.0 / 3.0;

/// Gap between figure and dimension line over the figure's height: half a height reads as belonging to it.
const LIFT: f64 = 0.5;

/// Extension lines start this many line widths off the part and end as many beyond the dimension line.
const WIDTHS: f64 = 8.0;

impl Drawing {
    /// The drawing with each dimension replaced by its extension lines, dimension line, two filled arrow heads and
    /// figure, all on the dimension's own layer.
    ///
    /// The figure stands above the dimension line, to be read from below or from the right. Where arrows and figure
    /// do not fit between the extension lines the arrows go outside, and so does a figure that is itself too long.
    pub fn plain(&self) -> Drawing {
        Drawing { items: self.items.iter().flat_map(plain).collect() }
    }
}

/// What stands in for an item.
fn plain(item: &Item) -> Vec<Item> {
    let Mark::Dimension { from, to, offset, height, text } = &item.mark else {
        return vec![item.clone()];
    };
    let marks = Measure::new([*from, *to], *offset, *height, text).marks(item.layer);
    marks.into_iter().map(|mark| Item { layer: item.layer, mark }).collect()
}

/// A dimension about to be drawn, mm.
struct Measure<'a> {
    /// The two points measured, in the order in which the figure is read.
    ends: [DVec2; 2],
    /// Unit vector along the dimension line, in which the figure is read.
    along: DVec2,
    /// From the points to the dimension line.
    aside: DVec2,
    /// Length measured.
    length: f64,
    /// Height of the figure.
    height: f64,
    /// The figure.
    text: &'a str,
}

impl<'a> Measure<'a> {
    fn new([from, to]: [DVec2; 2], offset: f64, height: f64, text: &'a str) -> Self {
        let way = (to - from).normalize_or(DVec2::X);
        let aside = way.perp() * offset;
        let turn = way.to_angle();
        let upside_down = turn > FRAC_PI_2 || turn <= -FRAC_PI_2;
        let (ends, along) = if upside_down { ([to, from], -way) } else { ([from, to], way) };
        Measure { ends, along, aside, length: from.distance(to), height, text }
    }

    fn marks(&self, layer: Layer) -> Vec<Mark> {
        let overhang = WIDTHS * layer.pen().width;
        let mut marks = self.extensions(overhang);
        marks.push(self.line());
        marks.extend(self.arrows());
        marks.push(self.figure());
        marks
    }

    /// Length of an arrow head.
    fn arrow(&self) -> f64 {
        ARROW * self.height
    }

    /// Room the figure takes, estimated.
    fn room(&self) -> f64 {
        text_width(self.text, self.height)
    }

    /// Whether arrows and figure do not fit between the extension lines.
    fn tight(&self) -> bool {
        self.length < 2.0 * self.arrow() + self.room()
    }

    /// Whether the figure alone does not fit.
    fn crowded(&self) -> bool {
        self.length < self.room()
    }

    /// The ends of what is measured on the dimension line.
    fn tips(&self) -> [DVec2; 2] {
        self.ends.map(|end| end + self.aside)
    }

    /// None where the dimension line lies closer than the gap.
    fn extensions(&self, overhang: f64) -> Vec<Mark> {
        if self.aside.length() <= overhang {
            return Vec::new();
        }
        let beyond = self.aside.normalize() * overhang;
        self.ends.map(|end| straight(end + beyond, end + self.aside + beyond)).to_vec()
    }

    /// The dimension line: past arrows that stand outside by another arrow's length, and under an outside figure.
    fn line(&self) -> Mark {
        let [a, b] = self.tips();
        let tail = if self.tight() { 2.0 * self.arrow() } else { 0.0 };
        let shelf = if self.crowded() { self.room() } else { 0.0 };
        straight(a - self.along * tail, b + self.along * (tail + shelf))
    }

    fn arrows(&self) -> [Mark; 2] {
        let [a, b] = self.tips();
        let back = self.along * if self.tight() { -self.arrow() } else { self.arrow() };
        [head(a, back), head(b, -back)]
    }

    /// The dimension's figure: over its line, or beyond it where there is no room.
    fn figure(&self) -> Mark {
        let [a, b] = self.tips();
        let lift = self.along.perp() * (LIFT * self.height);
        let (foot, anchor) = if self.crowded() {
            (b + self.along * (2.0 * self.arrow()), Anchor::Start)
        } else {
            (a.midpoint(b), Anchor::Middle)
        };
        let turn = self.along.to_angle();
        // Straight up is the same direction whether it is written as +90° or, by rounding, just beyond it.
        let turn = if turn <= -FRAC_PI_2 { turn + PI } else { turn };
        Mark::Text { at: foot + lift, height: self.height, anchor, turn, text: self.text.to_owned() }
    }
}

/// A line between two points.
fn straight(from: DVec2, to: DVec2) -> Mark {
    Mark::Path { pieces: vec![Piece::Straight(from, to)], closed: false, filled: false }
}

/// A filled arrow head: its tip, and the way from there to the middle of its back.
fn head(tip: DVec2, back: DVec2) -> Mark {
    let side = back.perp() * (0.5 * SLENDER);
    let corners = [tip, tip + back + side, tip + back - side];
    let pieces = (0..3).map(|i| Piece::Straight(corners[i], corners[(i + 1) % 3])).collect();
    Mark::Path { pieces, closed: true, filled: true }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn dimension(from: DVec2, to: DVec2, offset: f64) -> Vec<Mark> {
        let mark = Mark::Dimension { from, to, offset, height: 2.5, text: "100.0".to_owned() };
        let drawing = Drawing { items: vec![Item { layer: Layer::Dimension, mark }] };
        let items = drawing.plain().items;
        assert!(items.iter().all(|item| item.layer == Layer::Dimension));
        items.into_iter().map(|item| item.mark).collect()
    }

    fn ends(mark: &Mark) -> [DVec2; 2] {
        let Mark::Path { pieces, .. } = mark else { panic!("{mark:?}") };
        [pieces[0].at(0.0).0, pieces[0].at(1.0).0]
    }

    fn text(mark: &Mark) -> (DVec2, Anchor, f64) {
        let Mark::Text { at, anchor, turn, .. } = mark else { panic!("{mark:?}") };
        (*at, *anchor, *turn)
    }

    #[test]
    fn a_long_dimension_has_arrows_inside_and_its_figure_in_the_middle() {
        let marks = dimension(DVec2::ZERO, DVec2::new(100.0, 0.0), 10.0);
        assert_eq!(marks.len(), 6);
        assert_eq!(ends(&marks[0]), [DVec2::new(0.0, 1.04), DVec2::new(0.0, 11.04)]);
        assert_eq!(ends(&marks[2]), [DVec2::new(0.0, 10.0), DVec2::new(100.0, 10.0)]);
        let [tip, back] = ends(&marks[3]);
        assert!(tip.distance(DVec2::new(0.0, 10.0)) < 1e-12);
        assert!(back.distance(DVec2::new(2.0, 10.0 + 1.0 / 3.0)) < 1e-12, "{back}");
        assert_eq!(text(&marks[5]), (DVec2::new(50.0, 11.25), Anchor::Middle, 0.0));
    }

    #[test]
    fn a_short_one_has_its_arrows_outside() {
        let marks = dimension(DVec2::ZERO, DVec2::new(12.0, 0.0), 10.0);
        assert_eq!(ends(&marks[2]), [DVec2::new(-4.0, 10.0), DVec2::new(16.0, 10.0)]);
        assert!(ends(&marks[3])[1].x < 0.0 && ends(&marks[4])[1].x > 12.0);
        assert_eq!(text(&marks[5]).1, Anchor::Middle);
    }

    #[test]
    fn a_very_short_one_has_its_figure_outside_over_the_longer_line() {
        let marks = dimension(DVec2::ZERO, DVec2::new(5.0, 0.0), -10.0);
        let (at, anchor, _) = text(&marks[5]);
        assert_eq!((at, anchor), (DVec2::new(9.0, -8.75), Anchor::Start));
        assert!(ends(&marks[2])[1].x > at.x + 10.0);
    }

    #[test]
    fn figures_are_read_from_below_or_from_the_right() {
        let upward = dimension(DVec2::ZERO, DVec2::new(0.0, 50.0), 5.0);
        let (at, _, turn) = text(&upward[5]);
        assert!((turn - FRAC_PI_2).abs() < 1e-12 && at.x < -5.0);
        let downward = dimension(DVec2::new(0.0, 50.0), DVec2::ZERO, -5.0);
        assert!((text(&downward[5]).2 - FRAC_PI_2).abs() < 1e-12);
        let backward = dimension(DVec2::new(50.0, 0.0), DVec2::ZERO, 5.0);
        let (at, _, turn) = text(&backward[5]);
        assert!(turn.abs() < 1e-12 && (at.y + 3.75).abs() < 1e-12, "{at} {turn}");
    }

    #[test]
    fn points_that_coincide_and_no_offset_stay_finite() {
        let marks = dimension(DVec2::ONE, DVec2::ONE, 0.0);
        assert_eq!(marks.len(), 4);
        assert!(text(&marks[3]).0.is_finite());
    }
}
