//! Progress over the days as a drawing: what is left to take off, and how thick it still stands.

use brep::Piece;
use drawing::{Anchor, Drawing, Item, Layer, Mark};
use glam::DVec2;

use crate::compare::bench::Bench;
use crate::compare::day::Day;
use crate::file::date::Date;

/// Size of a panel, mm: two of them and their words fit across a sheet.
const PANEL: DVec2 = DVec2::new(150.0, 60.0);
/// From one panel to the next, mm.
const APART: f64 = 95.0;
/// Height of words, mm.
const WORDS: f64 = 3.0;
/// Half the size of a point's mark, mm.
const POINT: f64 = 0.9;
/// Ticks of a scale at most.
const TICKS: f64 = 6.0;
/// Dates closer than this on paper share one label, mm: the width of one.
const LABEL: f64 = 24.0;

impl Bench {
    /// The days' progress towards the finished blade: grams left to take off, and mm a side on average over the table.
    /// `None` for a single day: one dot is no progress.
    pub fn progress(&self) -> Option<Drawing> {
        let days = &self.history().days;
        if days.len() < 2 {
            return None;
        }
        let grams = days.iter().map(|d| d.ways.last().map_or(0.0, |way| way.take_off_g)).collect();
        let unit = self.figures().unit;
        let sides = days.iter().map(|d| d.left_mm / unit.millimetres()).collect();
        let mut plot = Plot { drawing: Drawing::default(), dates: dates(days) };
        let title = format!("{}: progress towards the finished blade", self.history().name);
        plot.words(DVec2::new(0.0, PANEL.y + 4.0 * WORDS), &title, Anchor::Start);
        plot.panel(0.0, "g left to take off", grams, days);
        plot.panel(
            -APART,
            &format!("{} left to take off a side, on average", self.figures().spoken()),
            sides,
            days,
        );
        Some(plot.drawing)
    }
}

/// Days since the first one.
fn dates(days: &[Day]) -> Vec<f64> {
    let all: Vec<Date> = days.iter().filter_map(Day::day).collect();
    all.iter().map(|day| day.days_since(all[0]) as f64).collect()
}

struct Plot {
    drawing: Drawing,
    dates: Vec<f64>,
}

impl Plot {
    /// One quantity over the days, its lower border at `y`.
    fn panel(&mut self, y: f64, title: &str, values: Vec<f64>, days: &[Day]) {
        let most = values.iter().copied().fold(0.0, f64::max);
        let least = values.iter().copied().fold(0.0, f64::min);
        let step = round_step((most - least) / TICKS);
        let (from, to) = ((least / step).floor() * step, ((most / step).ceil() * step).max(step));
        let span = self.dates.last().copied().unwrap_or(0.0).max(1.0);
        let place = |date: f64, value: f64| {
            DVec2::new(PANEL.x * date / span, y + PANEL.y * (value - from) / (to - from))
        };
        self.words(DVec2::new(0.0, y + PANEL.y + WORDS), title, Anchor::Start);
        let ticks = ((to - from) / step).round() as usize;
        for value in (0..=ticks).map(|i| from + i as f64 * step) {
            let at = place(0.0, value);
            self.line(at - DVec2::X, DVec2::new(PANEL.x, at.y));
            self.words(at - DVec2::new(2.0, 0.4 * WORDS), &tick(value, step), Anchor::End);
        }
        let points: Vec<DVec2> = self.dates.iter().zip(&values).map(|(d, v)| place(*d, *v)).collect();
        self.labels(&points, y, days);
        let pieces = points.windows(2).map(|p| Piece::Straight(p[0], p[1])).collect::<Vec<_>>();
        if !pieces.is_empty() {
            self.put(Layer::Outline, Mark::Path { pieces, closed: false, filled: false });
        }
        points.iter().for_each(|p| self.point(*p));
    }

    /// Days below the panel, those that are too near to the last label left out.
    fn labels(&mut self, points: &[DVec2], y: f64, days: &[Day]) {
        let mut last = f64::NEG_INFINITY;
        for (point, day) in points.iter().zip(days).filter(|(p, _)| p.x.is_finite()) {
            if point.x - last >= LABEL {
                self.words(DVec2::new(point.x, y - 2.0 * WORDS), &day.date, Anchor::Middle);
                last = point.x;
            }
        }
    }

    fn point(&mut self, at: DVec2) {
        let corners = [DVec2::X, DVec2::Y, -DVec2::X, -DVec2::Y].map(|d| at + d * POINT);
        let sides = corners.iter().zip(corners.iter().cycle().skip(1));
        let pieces = sides.map(|(a, b)| Piece::Straight(*a, *b)).collect();
        self.put(Layer::Outline, Mark::Path { pieces, closed: true, filled: true });
    }

    fn line(&mut self, from: DVec2, to: DVec2) {
        let pieces = vec![Piece::Straight(from, to)];
        self.put(Layer::Station, Mark::Path { pieces, closed: false, filled: false });
    }

    fn words(&mut self, at: DVec2, text: &str, anchor: Anchor) {
        let mark = Mark::Text { at, height: WORDS, anchor, turn: 0.0, text: text.to_owned() };
        self.put(Layer::Text, mark);
    }

    fn put(&mut self, layer: Layer, mark: Mark) {
        self.drawing.items.push(Item { layer, mark });
    }
}

/// The least of 1, 2 and 5 times a power of ten that is no less than `least` (positive and finite; else 1).
fn round_step(least: f64) -> f64 {
    if !(least > 0.0 && least.is_finite()) {
        return 1.0;
    }
    let power = 10_f64.powf(least.log10().floor());
    [1.0, 2.0, 5.0].map(|m| m * power).into_iter().find(|s| *s >= least).unwrap_or(10.0 * power)
}

/// A figure as fine as its scale's step.
fn tick(value: f64, step: f64) -> String {
    let places = (-step.log10().floor()).max(0.0) as usize;
    let text = format!("{value:.places$}");
    if text.trim_start_matches('-').bytes().all(|b| matches!(b, b'0' | b'.')) { "0".to_owned() } else { text }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn scales_have_round_steps() {
        for (least, step) in [(3.0, 5.0), (0.07, 0.1), (0.0, 1.0), (11.0, 20.0)] {
            assert!((round_step(least) / step - 1.0_f64).abs() < 1e-12, "{least}");
        }
        assert_eq!([tick(0.30000000000000004, 0.1), tick(-1e-17, 0.1), tick(40.0, 20.0)], ["0.3", "0", "40"]);
    }
}
