//! Lines across the sides: every row of pixels the mean of what the line meets in it.

use std::ops::Range;

use blade::CrossSection;

use crate::map::flank::{Piece, Rungs, Stacked, pieces};
use crate::map::material::Plane;
use crate::picture::colours::{Colours, Light, add};
use crate::picture::frame::{Frame, View};

/// Light of the paper.
pub(crate) const WHITE: Light = [1.0; 4];

/// One line across a view.
pub(crate) struct Line<'a> {
    pub(crate) frame: &'a Frame,
    pub(crate) colours: &'a Colours<'a>,
    pub(crate) plane: &'a Plane<'a>,
    pub(crate) section: &'a CrossSection,
    pub(crate) bars: &'a [Stacked],
}

/// What is worked out along a line up a flank, kept for the room it takes.
#[derive(Default)]
pub(crate) struct Desk {
    pieces: Vec<Piece>,
    /// Which of the rungs belong to each piece.
    held: Vec<Range<usize>>,
    rungs: Rungs,
    /// At each rung: how many rows lie below it, and the share of its bar's layers.
    rows: Vec<f64>,
    shares: Vec<f64>,
}

impl Line<'_> {
    /// A line up one of the flanks.
    pub(crate) fn flank(&self, desk: &mut Desk, sums: &mut [Light]) {
        pieces(self.plane, self.section, self.bars, self.frame.view == View::Right, &mut desk.pieces);
        // A section without height, as at the very tip, shows nothing.
        let Some(last) = desk.pieces.len().checked_sub(1) else {
            return self.cover(sums, [f64::NEG_INFINITY, f64::INFINITY], WHITE);
        };
        self.read(desk);
        let (low, high) = self.section.range();
        self.cover(sums, [f64::NEG_INFINITY, low], self.beyond(desk, 0, 0));
        for (piece, held) in desk.pieces.iter().zip(&desk.held) {
            let layered = self.colours.of(&self.bars[piece.place]);
            match layered.single() {
                Some(single) => self.cover(sums, piece.between, single),
                None => layered.add_means(&desk.shares[held.clone()], &desk.rows[held.clone()], sums),
            }
        }
        let top = self.beyond(desk, last, desk.shares.len().saturating_sub(1));
        self.cover(sums, [high, f64::INFINITY], top);
    }

    /// Finds the shares of layers at the rungs of every piece.
    fn read(&self, desk: &mut Desk) {
        let Desk { pieces, held, rungs, rows, shares } = desk;
        rungs.heights.clear();
        rows.clear();
        held.clear();
        for piece in pieces.iter() {
            let from = rows.len();
            if self.colours.of(&self.bars[piece.place]).single().is_none() {
                self.rungs(piece, &mut rungs.heights, rows);
            }
            held.push(from..rows.len());
        }
        rungs.read(self.plane, self.section, self.frame.view == View::Right);
        shares.resize(rows.len(), 0.0);
        for (piece, held) in pieces.iter().zip(held) {
            let [up, through] = [&rungs.up, &rungs.through].map(|of| &of[held.clone()]);
            self.bars[piece.place].shares(up, through, &mut shares[held.clone()]);
        }
    }

    /// Adds the rungs of a piece: its ends and the borders of rows between them, or of parts of rows.
    fn rungs(&self, piece: &Piece, heights: &mut Vec<f64>, rows: &mut Vec<f64>) {
        let [low, high] = piece.between;
        let [from, to] = [low, high].map(|y| self.frame.rows(y));
        let is_straight = self.bars[piece.place].turned.is_straight();
        let parts = if is_straight { 1.0 } else { parts(to - from) };
        // Rows are fewer than a picture's pixels.
        let [first, last] = [(from * parts) as u32 + 1, (to * parts).ceil() as u32];
        let start = rows.len();
        rows.push(from);
        let part = 1.0 / parts;
        rows.extend((first..last).map(|k| f64::from(k) * part));
        rows.push(to);
        heights.push(low);
        // Rounding must not lead past the seam into the next bar.
        heights.extend(rows[start + 1..].iter().map(|row| self.frame.height_of(*row).min(high)));
    }

    /// The colour beyond an end of the flank, in this piece at this rung.
    fn beyond(&self, desk: &Desk, piece: usize, rung: usize) -> Light {
        if !self.frame.fineness.bleed {
            return WHITE;
        }
        let layered = self.colours.of(&self.bars[desk.pieces[piece].place]);
        layered.single().unwrap_or_else(|| layered.at(desk.shares[rung]))
    }

    /// Adds one colour to the rows between two heights, mm.
    pub(crate) fn cover(&self, sums: &mut [Light], [low, high]: [f64; 2], colour: Light) {
        let (mut row, last) = (self.frame.rows(low), self.frame.rows(high));
        while row < last {
            let next = (row.floor() + 1.0).min(last);
            add(&mut sums[row as usize], colour, (next - row) as f32);
            row = next;
        }
    }
}

/// Parts of a row in which a bar is read that takes so many rows where it is turned askew: twisted layers turn sharply where
/// the bar had its corners, and the mean is exact only between turns. At least sixteen parts of a bar, but two to eight of a
/// row, keep what is lost there small. Powers of two, so that a part's end is exactly where the next one begins.
fn parts(rows: f64) -> f64 {
    let wanted = 16.0 / rows;
    if wanted <= 2.0 {
        2.0
    } else if wanted <= 4.0 {
        4.0
    } else {
        8.0
    }
}
