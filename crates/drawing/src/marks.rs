//! Short ways to put marks on a drawing.

use brep::Piece;
use glam::DVec2;

use crate::drawing::{Anchor, Drawing, Item, Layer, Mark};

impl Drawing {
    /// Adds a mark.
    pub fn add(&mut self, layer: Layer, mark: Mark) {
        self.items.push(Item { layer, mark });
    }

    /// Adds a straight line.
    pub fn line(&mut self, layer: Layer, from: DVec2, to: DVec2) {
        self.open(layer, vec![Piece::Straight(from, to)]);
    }

    /// Adds straight lines from each point to the next; nothing where there are fewer than two.
    pub fn polyline(&mut self, layer: Layer, points: &[DVec2]) {
        self.open(layer, points.windows(2).map(|p| Piece::Straight(p[0], p[1])).collect());
    }

    /// Adds pieces that do not close; nothing where there are none.
    pub fn open(&mut self, layer: Layer, pieces: Vec<Piece>) {
        if !pieces.is_empty() {
            self.add(layer, Mark::Path { pieces, closed: false, filled: false });
        }
    }

    /// Adds pieces that close.
    pub fn closed(&mut self, layer: Layer, pieces: Vec<Piece>) {
        self.add(layer, Mark::Path { pieces, closed: true, filled: false });
    }

    /// Adds the rectangle between two corners.
    pub fn rectangle(&mut self, layer: Layer, [low, high]: [DVec2; 2], filled: bool) {
        let corners = [low, DVec2::new(high.x, low.y), high, DVec2::new(low.x, high.y)];
        let pieces = (0..4).map(|i| Piece::Straight(corners[i], corners[(i + 1) % 4])).collect();
        self.add(layer, Mark::Path { pieces, closed: true, filled });
    }

    /// Adds a level line of text with capitals of this height, mm.
    pub fn text(&mut self, at: DVec2, height: f64, anchor: Anchor, text: impl Into<String>) {
        self.add(Layer::Text, Mark::Text { at, height, anchor, turn: 0.0, text: text.into() });
    }
}
