//! The borders between bars as lines on the blade's side.

use std::cell::RefCell;
use std::collections::BTreeMap;

use blade::Part;
use brep::SplitSheet;

use crate::map::material::{MaterialMap, Plane};

/// Stations nearer to each other than this (mm) are not divided further on the blade: towards a round point borders bend
/// without end, and all of them together.
const LEAST_STEP: f64 = 0.5;
/// In so many parts a tooth of a serrated weld may be divided: then a wave of a depth like its period keeps within a hundredth
/// of that depth.
const PER_TOOTH: f64 = 32.0;
/// The same on the tang: in the shoulder's radius borders bend too, but stay apart.
const LEAST_TANG_STEP: f64 = 0.1;

/// The borders between the bars of blade or tang: heights at common stations, straight between them.
#[derive(Clone, Debug, PartialEq)]
pub struct Seams {
    /// Stations, mm, increasing.
    pub stations: Vec<f64>,
    /// Heights of each border at the stations, mm, from the edge up; one border fewer than bars.
    pub heights: Vec<Vec<f64>>,
}

impl MaterialMap {
    /// The borders between the bars of the blade, or of the tang, within `tolerance` (mm, positive). In front of a cut
    /// they are those of the uncut bar and may lie outside the blade.
    pub fn seams(&self, part: Part, tolerance: f64) -> Seams {
        let count = self.billet().stacked_bars(part).len() - 1;
        self.lines((part, tolerance), (count, &|plane: &Plane<'_>| plane.seams_up()))
    }

    /// The borders between the rows of cells of the bar at a place among the stack's, likewise.
    pub(crate) fn cell_seams(&self, part: Part, k: usize, tolerance: f64) -> Seams {
        let count = self.billet().stack(part).cells(k).len() - 1;
        let inner = |plane: &Plane<'_>| {
            let borders = plane.cell_borders(k);
            borders[1..borders.len() - 1].to_vec()
        };
        self.lines((part, tolerance), (count, &inner))
    }

    /// So many lines of the blade or the tang that are read in planes, from the edge up, within `tolerance` (mm,
    /// positive).
    fn lines(&self, (part, tolerance): (Part, f64), (count, read): (usize, Read<'_>)) -> Seams {
        let (start, end) = self.sections().range();
        let (from, to) = part_range(part, (start, end));
        let mut marks: Vec<f64> = self.sections().corners();
        marks.extend(self.cut_from());
        marks.extend(self.bends());
        marks.extend(self.tooth_marks(part));
        marks.retain(|&x| x > from && x < to);
        marks.extend([from, to]);
        marks.sort_by(f64::total_cmp);
        let least = self.least_step(part);
        marks.dedup_by(|a, b| (*a - *b).abs() < least.min(LEAST_STEP));
        // The ends stay where they are, whatever came near them.
        if let Some(last) = marks.last_mut() {
            *last = to;
        }
        let lines = Lines { lay: self, part, range: (from, to), tolerance, count, read };
        let mut rows = vec![(from, lines.row(from))];
        for pair in marks.windows(2) {
            lines.add(&mut rows, pair[1], lines.row(pair[1]));
        }
        let heights = (0..count).map(|k| rows.iter().map(|row| row.1[k]).collect()).collect();
        Seams { stations: rows.into_iter().map(|row| row.0).collect(), heights }
    }
}

impl MaterialMap {
    /// Stations nearer to each other than this are not divided further, mm.
    fn least_step(&self, part: Part) -> f64 {
        let periods = self.billet().stack(part).teeth().iter().map(|(_, teeth)| teeth.asked().period);
        match part {
            Part::Blade => periods.map(|period| period / PER_TOOTH).fold(LEAST_STEP, f64::min),
            Part::Tang => LEAST_TANG_STEP,
        }
    }

    /// Stations of the blade at which waves of serrated welds cross their middles, mm: between two of them a wave is seen by its
    /// middle, and none is missed.
    fn tooth_marks(&self, part: Part) -> Vec<f64> {
        let teeth = self.billet().stack(part).teeth();
        // Where the blade ends along the bars takes long to find.
        if teeth.is_empty() {
            return Vec::new();
        }
        let end = self.along(self.sections().range().1);
        let halves = teeth.iter().flat_map(|(_, teeth)| teeth.quarters(end).into_iter().skip(1).step_by(2));
        halves.map(|along| self.station(along)).collect()
    }

    /// The borders as sheets for exact solids, from the edge up, within `tolerance` (mm, positive).
    pub fn sheets(&self, part: Part, tolerance: f64) -> Vec<SplitSheet> {
        let (start, end) = self.sections().range();
        let range = part_range(part, (start, end));
        let mut corners = self.sections().corners();
        corners.extend(self.cut_from());
        corners.extend(self.bends());
        corners.extend(self.tooth_marks(part));
        corners.retain(|&x| x >= range.0 && x <= range.1);
        corners.sort_by(f64::total_cmp);
        corners.dedup_by(|a, b| (*a - *b).abs() < LEAST_STEP);
        let count = self.billet().stacked_bars(part).len() - 1;
        let lines =
            Lines { lay: self, part, range, tolerance, count, read: &|plane: &Plane<'_>| plane.seams_up() };
        // All borders are read at one station together, and most stations are those of the border before.
        let rows = RefCell::new(BTreeMap::new());
        let y = |k: usize, x: f64| {
            let mut rows = rows.borrow_mut();
            rows.entry(x.to_bits()).or_insert_with(|| lines.row(x)).get(k).copied().unwrap_or(0.0)
        };
        (0..count).map(|k| SplitSheet::through(&corners, tolerance, |x| y(k, x))).collect()
    }
}

/// What lines are read from in a plane: their heights from the edge up, mm.
type Read<'a> = &'a dyn Fn(&Plane<'_>) -> Vec<f64>;

#[derive(Clone, Copy)]
struct Lines<'a> {
    lay: &'a MaterialMap,
    part: Part,
    range: (f64, f64),
    tolerance: f64,
    /// How many lines.
    count: usize,
    read: Read<'a>,
}

impl Lines<'_> {
    /// Heights of all borders at a station; ends are read a nanometre inside. In an exact point they come together with
    /// the root of what is left of the blade, as its own lines may.
    fn row(&self, x: f64) -> Vec<f64> {
        const INSIDE: f64 = 1e-6;
        let inside = x.clamp(self.range.0 + INSIDE, self.range.1 - INSIDE);
        let Some(plane) = self.lay.plane(inside) else { return vec![0.0; self.count] };
        let heights = (self.read)(&plane);
        let pointed = self.part == Part::Blade && self.lay.cut_from().is_none();
        match self.lay.sections().point().filter(|_| pointed && x > inside) {
            Some(point) => {
                let share = ((self.range.1 - x).max(0.0) / INSIDE).sqrt();
                heights.into_iter().map(|y| point + (y - point) * share).collect()
            }
            None => heights,
        }
    }

    /// Adds stations up to `to` so that every border keeps to its straight pieces.
    fn add(&self, rows: &mut Vec<(f64, Vec<f64>)>, to: f64, end: Vec<f64>) {
        let Some((from, start)) = rows.last().cloned() else { return };
        let off = |share: f64| {
            let there = self.row(from + (to - from) * share);
            let chord = start.iter().zip(&end).map(|(a, b)| a + (b - a) * share);
            there.iter().zip(chord).map(|(y, c)| (y - c).abs()).fold(0.0, f64::max)
        };
        let least = self.lay.least_step(self.part);
        let bent = to - from > 2.0 * least && [0.5, 0.25, 0.75].iter().any(|&s| off(s) > self.tolerance);
        if bent {
            let middle = 0.5 * (from + to);
            self.add(rows, middle, self.row(middle));
            self.add(rows, to, end);
        } else {
            rows.push((to, end));
        }
    }
}

/// The stations of a part of the steel, which reaches from `start` (negative) to `end`, mm.
fn part_range(part: Part, (start, end): (f64, f64)) -> (f64, f64) {
    match part {
        Part::Blade => (0.0, end),
        Part::Tang => (start, 0.0),
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::billet::recipe::Tip;
    use crate::fixtures::{forged, four_bars, specs};

    #[test]
    fn borders_keep_within_the_tolerance() {
        for (name, spec) in specs() {
            for tip in [Tip::Forged, Tip::Cut { from: 320.0 }] {
                let lay = MaterialMap::new(four_bars(tip), forged(&spec)).unwrap();
                for part in Part::ALL {
                    let seams = lay.seams(part, 0.01);
                    assert_eq!(seams.heights.len(), if part == Part::Tang { 2 } else { 3 });
                    assert!(seams.stations.windows(2).all(|w| w[1] > w[0]));
                    assert!(seams.stations.len() < 200, "{name} {}", seams.stations.len());
                    let last = seams.stations.len() - 1;
                    for i in 0..last {
                        let (a, b) = (seams.stations[i], seams.stations[i + 1]);
                        // The last step may end in a round point.
                        if i + 3 > last && part == Part::Blade {
                            continue;
                        }
                        for share in [0.1, 0.4, 0.6, 0.9] {
                            let plane = lay.plane(a + (b - a) * share).unwrap();
                            for (k, y) in plane.seams().enumerate() {
                                let (p, q) = (seams.heights[k][i], seams.heights[k][i + 1]);
                                let off = (p + (q - p) * share - y).abs();
                                // The shoulder's radius bends as steeply as a round point.
                                let most = if part == Part::Tang { 0.1 } else { 0.02 };
                                assert!(off < most, "{name} {tip:?} {a} {off}");
                            }
                        }
                    }
                }
            }
        }
    }
}
