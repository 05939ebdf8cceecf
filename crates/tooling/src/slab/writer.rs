//! What writes on a part: letters that a printer engraves, or strokes that a cutter marks.

use glam::DVec2;

use crate::slab::contour::{Contour, Region};
use crate::slab::label;
use crate::slab::lettering::Lettering;

/// Writes lines of text and ticks. All lengths in mm.
pub(crate) trait Writer: Copy {
    /// What is put on the part.
    type Mark: Clone;

    /// Height of the capitals.
    fn height(&self) -> f64;

    /// Width of a line, half the gap to the next letter included at both ends.
    fn width(&self, text: &str) -> f64;

    /// A line that starts at `at` and runs along +x on its base line: its marks, and their least and greatest coordinates
    /// (`at` twice where nothing shows).
    fn line(&self, text: &str, at: DVec2) -> (Vec<Self::Mark>, [DVec2; 2]);

    /// Itself and what writes smaller, the largest first; for words that may be small.
    fn sizes(&self) -> Vec<Self> {
        vec![*self]
    }

    /// An upright tick at `x` between two heights, and its box.
    fn tick(&self, x: f64, heights: [f64; 2]) -> (Self::Mark, [DVec2; 2]);
}

/// Least width of an engraved tick, mm: one line of a common nozzle shows badly.
const TICK: f64 = 0.6;
/// Its width in widths of the nozzle: one line with room for its own spread.
const TICK_NOZZLES: f64 = 1.25;

impl Writer for Lettering {
    type Mark = Region;

    fn height(&self) -> f64 {
        Lettering::height(self)
    }

    fn width(&self, text: &str) -> f64 {
        Lettering::width(self, text)
    }

    fn line(&self, text: &str, at: DVec2) -> (Vec<Region>, [DVec2; 2]) {
        label::label(self, text, at)
    }

    fn tick(&self, x: f64, [low, high]: [f64; 2]) -> (Region, [DVec2; 2]) {
        let half = 0.5 * (TICK_NOZZLES * self.nozzle()).max(TICK);
        let bounds = [DVec2::new(x - half, low), DVec2::new(x + half, high)];
        (Region { outer: Contour::rectangle(bounds[0], bounds[1]), islands: Vec::new() }, bounds)
    }
}
