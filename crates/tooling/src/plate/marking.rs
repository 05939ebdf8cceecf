//! Ticks with their stations, and words, on a plate or a window's frame.

use glam::DVec2;

use crate::plate::panel::{Bar, Panel, Piece};
use crate::plate::stamps::{Stamps, probes};
use crate::slab::label::{self, CLEAR};
use crate::slab::writer::Writer;

/// Length of a tick, mm: seen at arm's length.
pub(crate) const TICK: f64 = 3.0;

/// Marks in a box.
type Boxed<M> = (Vec<M>, [DVec2; 2]);

/// A plate's marks in the making.
pub(crate) struct Marking<W: Writer> {
    pub(crate) writer: W,
    pub(crate) stamps: Stamps<W::Mark>,
    bars: Vec<Bar>,
    /// The way from the upper border into the material: inwards on a plate, away from the window on a frame.
    up: f64,
}

impl<W: Writer> Marking<W> {
    /// No marks yet; nothing comes into the `zones`, ranges of x.
    pub(crate) fn new(panel: &Panel, writer: W, zones: Vec<[f64; 2]>) -> Marking<W> {
        let up = if matches!(panel, Panel::Solid(_)) { -1.0 } else { 1.0 };
        let bars = panel.bars();
        Marking { writer, stamps: Stamps::new(bars.clone(), zones), bars, up }
    }

    /// A tick at both borders with its number beside one of them; a tick at one border where there is room for no more,
    /// and none without its number. Says whether there is one.
    pub(crate) fn station(&mut self, x: f64, text: &str) -> bool {
        let [lower, upper] = [self.tick(x, 0), self.tick(x, 1)];
        let [below, above] = [self.number(x, 0, text), self.number(x, 1, text)];
        [
            vec![upper.clone(), lower.clone(), above.clone()],
            vec![upper.clone(), lower.clone(), below.clone()],
            vec![upper, above],
            vec![lower, below],
        ]
        .into_iter()
        .any(|bundle| self.stamps.put_all(bundle))
    }

    /// The tick at a border, lower (0) or upper (1).
    fn tick(&self, x: f64, border: usize) -> Boxed<W::Mark> {
        let sign = self.sign(border);
        let (_, [low, high]) = self.writer.tick(x, [0.0, TICK]);
        let near = self.clear_of(border, [low.x, high.x]);
        let far = near + sign * TICK;
        let (mark, bounds) = self.writer.tick(x, [near.min(far), near.max(far)]);
        (vec![mark], bounds)
    }

    /// A number beside the tick at a border.
    fn number(&self, x: f64, border: usize, text: &str) -> Boxed<W::Mark> {
        let (_, [low, high]) = self.writer.line(text, DVec2::ZERO);
        let (half, sign) = (0.5 * (high.x - low.x), self.sign(border));
        let near = self.clear_of(border, [x - half, x + half]) + sign * (TICK + CLEAR);
        let base = if sign < 0.0 { near - high.y } else { near - low.y };
        self.writer.line(text, DVec2::new(x - half - low.x, base))
    }

    /// Which way into the material it is from a border: up (1) or down (-1).
    fn sign(&self, border: usize) -> f64 {
        if border == 1 { self.up } else { -self.up }
    }

    /// The height in the material nearest to a border of outline or window that is clear of it over a range of x.
    fn clear_of(&self, border: usize, [from, to]: [f64; 2]) -> f64 {
        let sign = self.sign(border);
        let heights = probes(from - CLEAR, to + CLEAR).map(|x| self.borders(x)[border]);
        let furthest = heights.map(|y| sign * y).fold(f64::NEG_INFINITY, f64::max);
        sign * (furthest + CLEAR)
    }

    /// Heights of the outline's (or the window's) lower and upper border at x.
    fn borders(&self, x: f64) -> [f64; 2] {
        match self.bars.as_slice() {
            [bar] => [bar.lower.height(x), bar.upper.height(x)],
            [below, above, ..] => [below.upper.height(x), above.lower.height(x)],
            [] => [0.0, 0.0],
        }
    }

    /// Writes text on the first piece with room for it, on the blade rather than the tang; says whether there was one.
    pub(crate) fn on_any(&mut self, text: &str, pieces: &[Piece]) -> bool {
        pieces.iter().any(|p| self.somewhere(text, p, 0.0))
            || pieces.iter().any(|p| self.somewhere(text, p, f64::NEG_INFINITY))
    }

    /// Writes text at the first place on the piece with room for it, none left of `from`, and keeps the next lines off it.
    pub(crate) fn somewhere(&mut self, text: &str, piece: &Piece, from: f64) -> bool {
        let (_, [low, high]) = self.writer.line(text, DVec2::ZERO);
        // A letter's breadth away from other words.
        let apart = DVec2::new(self.writer.width("0"), 0.0);
        let size = high - low + apart * 2.0;
        let Some(at) = self.stamps.place(size, &piece.bars, piece.from.max(from), piece.to) else {
            return false;
        };
        let (marks, bounds) = self.writer.line(text, at + apart - low);
        let room = DVec2::new(0.0, label::room(&self.writer));
        let put = self.stamps.put(marks, bounds);
        self.stamps.take([bounds[0] - room, bounds[1] + room]);
        put
    }
}
