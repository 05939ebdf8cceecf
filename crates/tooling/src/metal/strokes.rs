//! Lettering of single strokes, as a cutter's head marks sheet steel: each line is run once.

use glam::DVec2;

use crate::slab::contour::Motion;
use crate::slab::writer::Writer;

/// A stroke: a way through two points or more that does not close, mm.
#[derive(Clone, Debug, PartialEq)]
pub struct Stroke(pub Vec<DVec2>);

impl Stroke {
    /// Turned and shifted.
    pub(crate) fn moved(&self, motion: &Motion) -> Stroke {
        Stroke(self.0.iter().map(|p| motion.of(*p)).collect())
    }
}

/// Single-stroke lettering with capitals of this height, mm.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(crate) struct Strokes(pub(crate) f64);

/// Heights of capitals tried one after the other, mm: from the series of ISO 3098 (from memory). The least is read at a
/// hand's breadth.
pub(crate) const HEIGHTS: [f64; 3] = [5.0, 3.5, 2.5];

/// Units to a height; letters are [`BROAD`] units broad.
const UNITS: f64 = 6.0;
/// Units to a letter's breadth.
const BROAD: f64 = 4.0;
/// Units between letters: ISO 3098 has 2/10 of the height at least.
const APART: f64 = 1.5;

/// The strokes of letters on a grid 4 broad and 6 high: two digits a point, a semicolon between strokes. No stroke runs
/// over another.
const LETTERS: [(char, &str); 51] = [
    ('A', "00 04 26 44 40;02 42"),
    ('B', "33 03 00 30 41 42 33 44 45 36 06 03"),
    ('C', "45 36 16 05 01 10 30 41"),
    ('D', "00 06 26 44 42 20 00"),
    // In three strokes: one around three sides is drawn as a box by some viewers.
    ('E', "06 46;06 00 40;03 33"),
    ('F', "46 06 00;03 33"),
    ('G', "45 36 16 05 01 10 30 41 43 23"),
    ('H', "00 06;40 46;03 43"),
    ('I', "10 30;16 36;20 26"),
    ('J', "01 10 30 41 46"),
    ('K', "00 06;46 03 40"),
    ('L', "06 00 40"),
    ('M', "00 06 23 46 40"),
    ('N', "00 06 40 46"),
    ('O', "10 30 41 45 36 16 05 01 10"),
    ('P', "00 06 36 45 44 33 03"),
    ('Q', "10 30 41 45 36 16 05 01 10;22 40"),
    ('R', "00 06 36 45 44 33 03;23 40"),
    ('S', "45 36 16 05 04 13 33 42 41 30 10 01"),
    ('T', "06 46;26 20"),
    ('U', "06 01 10 30 41 46"),
    ('V', "06 20 46"),
    ('W', "06 10 23 30 46"),
    ('X', "00 46;06 40"),
    ('Y', "06 23 46;23 20"),
    ('Z', "06 46 00 40"),
    ('0', "10 30 41 45 36 16 05 01 10;12 34"),
    ('1', "15 26 20;10 30"),
    ('2', "05 16 36 45 44 00 40"),
    ('3', "05 16 36 45 44 33 42 41 30 10 01;33 13"),
    ('4', "30 36 02 42"),
    ('5', "46 06 04 34 43 41 30 10 01"),
    ('6', "45 36 16 05 01 10 30 41 42 33 03"),
    ('7', "06 46 10"),
    ('8', "13 04 05 16 36 45 44 33 13 02 01 10 30 41 42 33"),
    ('9', "01 10 30 41 45 36 16 05 04 13 43"),
    ('.', "20 21"),
    (',', "21 10"),
    (':', "21 22;24 25"),
    ('\'', "25 26"),
    ('-', "13 33"),
    ('+', "13 33;22 24"),
    ('/', "00 46"),
    ('°', "24 35 26 15 24"),
    ('×', "11 33;13 31"),
    ('=', "12 32;14 34"),
    ('(', "36 25 21 30"),
    (')', "16 25 21 10"),
    ('%', "00 46;06 16;30 40"),
    ('"', "15 16;35 36"),
    (' ', ""),
];

/// What stands for a letter that is not among them: a box.
const MISSING: &str = "00 40 46 06 00";

impl Strokes {
    /// Millimetres to a unit.
    fn unit(self) -> f64 {
        self.0 / UNITS
    }

    /// From one letter to the next, mm.
    fn advance(self) -> f64 {
        (BROAD + APART) * self.unit()
    }

    /// The strokes of a letter whose room begins at `at`.
    fn letter(self, letter: char, at: DVec2) -> Vec<Stroke> {
        let drawn = LETTERS.iter().find(|l| l.0 == letter).map_or(MISSING, |l| l.1);
        let origin = at + DVec2::new(0.5 * APART * self.unit(), 0.0);
        let strokes = drawn.split(';').filter(|stroke| !stroke.is_empty());
        let place = |digit: u8| f64::from(digit - b'0');
        let point = |pair: &str| {
            let pair = pair.as_bytes();
            origin + DVec2::new(place(pair[0]), place(pair[1])) * self.unit()
        };
        strokes.map(|stroke| Stroke(stroke.split(' ').map(point).collect())).collect()
    }
}

impl Writer for Strokes {
    type Mark = Stroke;

    fn height(&self) -> f64 {
        self.0
    }

    fn width(&self, text: &str) -> f64 {
        self.advance() * text.chars().count() as f64
    }

    fn line(&self, text: &str, at: DVec2) -> (Vec<Stroke>, [DVec2; 2]) {
        let placed = text.to_uppercase();
        let letters = placed.chars().enumerate();
        let start = |place: usize| at + DVec2::new(place as f64 * self.advance(), 0.0);
        let strokes: Vec<Stroke> = letters.flat_map(|(i, c)| self.letter(c, start(i))).collect();
        let points = strokes.iter().flat_map(|stroke| stroke.0.iter().map(|p| [*p, *p]));
        let bounds = points.reduce(|a, b| [a[0].min(b[0]), a[1].max(b[1])]);
        (strokes, bounds.unwrap_or([at, at]))
    }

    fn sizes(&self) -> Vec<Strokes> {
        HEIGHTS.iter().filter(|height| **height <= self.0).map(|height| Strokes(*height)).collect()
    }

    fn tick(&self, x: f64, [low, high]: [f64; 2]) -> (Stroke, [DVec2; 2]) {
        let ends = [DVec2::new(x, low), DVec2::new(x, high)];
        (Stroke(ends.to_vec()), ends)
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use std::collections::BTreeSet;

    fn strokes(text: &str) -> Vec<Stroke> {
        Strokes(6.0).line(text, DVec2::ZERO).0
    }

    #[test]
    fn no_stroke_runs_over_another() {
        for (letter, _) in LETTERS {
            let mut seen = BTreeSet::new();
            for Stroke(points) in strokes(&letter.to_string()) {
                assert!(points.len() > 1, "{letter}");
                for pair in points.windows(2) {
                    // In the smallest steps of the grid, so that parts of lines are found too.
                    let way = pair[1] - pair[0];
                    let (x, y) = (way.x.round() as i64, way.y.round() as i64);
                    let (mut a, mut b) = (x.abs(), y.abs());
                    while b > 0 {
                        (a, b) = (b, a % b);
                    }
                    for i in 0..a {
                        let at = |k: i64| {
                            let p = pair[0] + way * (k as f64 / a as f64);
                            ((p.x * 100.0).round() as i64, (p.y * 100.0).round() as i64)
                        };
                        let ends = [at(i).min(at(i + 1)), at(i).max(at(i + 1))];
                        assert!(seen.insert(ends), "{letter}: {ends:?}");
                    }
                }
            }
        }
    }

    #[test]
    fn letters_differ_and_stay_in_their_room() {
        let writer = Strokes(5.0);
        let mut seen = BTreeSet::new();
        for (letter, drawn) in LETTERS {
            assert!(seen.insert(drawn), "{letter}");
            let (_, [low, high]) = writer.line(&letter.to_string(), DVec2::new(7.0, 3.0));
            assert!(low.x >= 7.0 && high.x <= 7.0 + writer.width("0"), "{letter}");
            assert!(low.y >= 3.0 && high.y <= 8.0 + 1e-12, "{letter}");
        }
        assert_eq!(strokes("漢").len(), 1);
        assert_eq!(strokes("a b").len(), strokes("AB").len());
        assert!((writer.width("HOT") - 3.0 * 5.0 * 5.5 / 6.0).abs() < 1e-12);
    }
}
