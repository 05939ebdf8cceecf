//! The template's sections at the gauges' stations, each near its own.

use blade::Station;
use brep::Piece;
use glam::DVec2;

use crate::paper::layout::{APART, FIGURE, GAP, LINE, Layout, WORDS, figures};
use drawing::{Anchor, Drawing, Layer};
use drawing::{around, text_width};

/// A section about to be placed.
struct Cut {
    sizes: Station,
    /// Closed, scaled, in its own frame.
    pieces: Vec<Piece>,
    low: DVec2,
    high: DVec2,
    /// The lines of figures to its right.
    lines: Vec<String>,
}

/// What the row shows.
const CAPTION: [&str; 2] = ["Sections seen", "from the hilt"];

/// Draws the sections in a row with its upper end at `ceiling`, the edges down on one level.
pub(crate) fn draw(plan: &Layout, drawing: &mut Drawing, ceiling: f64) {
    let cuts: Vec<Cut> = plan.design.gauges().stations.iter().filter_map(|&at| cut(plan, at)).collect();
    if cuts.is_empty() {
        return;
    }
    for (i, line) in CAPTION.iter().enumerate() {
        let foot = DVec2::new(plan.left(), ceiling - WORDS * (1.0 + 1.5 * i as f64));
        drawing.text(foot, WORDS, Anchor::Start, *line);
    }
    let floor = ceiling - cuts.iter().map(Cut::height).fold(0.0, f64::max);
    for (cut, x) in cuts.iter().zip(places(plan, &cuts)) {
        place(drawing, cut, DVec2::new(x, floor));
    }
}

fn cut(plan: &Layout, at: f64) -> Option<Cut> {
    let sizes = plan.loft.station(at)?;
    let pieces: Vec<Piece> = plan.loft.section(at)?.iter().map(|p| p.scaled(plan.scale)).collect();
    let points: Vec<DVec2> = pieces.iter().flat_map(|p| [0.0, 0.25, 0.5, 0.75].map(|t| p.at(t).0)).collect();
    let [low, high] = around(&points);
    Some(Cut { lines: lines(plan, &sizes), sizes, pieces, low, high })
}

/// What the letters of the sections' figures mean besides b and t, of those that stand there.
pub(crate) fn legend(plan: &Layout) -> String {
    let cuts = plan.design.gauges().stations.iter().filter_map(|&at| plan.loft.station(at));
    let all: Vec<String> = cuts.flat_map(|sizes| lines(plan, &sizes)).collect();
    let meanings = [
        ("g ", "height of the grind line over the edge"),
        ("e ", "thickness of the edge"),
        ("a ", "included angle of the bevel"),
    ];
    let there = meanings.into_iter().filter(|(letter, _)| all.iter().any(|line| line.starts_with(letter)));
    there.map(|(letter, meaning)| format!(", {}: {meaning}", letter.trim_end())).collect()
}

/// A section's figures, line by line.
fn lines(plan: &Layout, s: &Station) -> Vec<String> {
    let f = plan.figures;
    let sizes = [f.station(s.at), format!("b {}", f.length(s.breadth)), format!("t {}", f.thickness(s.back))];
    // A ricasso has no bevel.
    let bevel = (s.bevel_angle > 1e-6).then(|| {
        let grind = s.grind_height.map(|height| format!("g {}", f.length(height)));
        let edge = (s.edge > 0.0).then(|| format!("e {}", f.thickness(s.edge)));
        [grind, edge, Some(format!("a {:.1}°", s.bevel_angle.to_degrees()))].into_iter().flatten()
    });
    sizes.into_iter().chain(bevel.into_iter().flatten()).collect()
}

impl Cut {
    fn height(&self) -> f64 {
        (self.high.y - self.low.y).max(LINE * self.lines.len() as f64)
    }

    /// From its left border to its figures, mm.
    fn beside(&self) -> f64 {
        self.high.x - self.low.x + 2.0 * GAP
    }

    /// From its left border to the end of its figures, mm.
    fn width(&self) -> f64 {
        self.beside() + self.lines.iter().map(|l| text_width(l, FIGURE)).fold(0.0, f64::max)
    }
}

/// Where each section's left border lies: at its station, moved on from its neighbour where it must be, and back again
/// where the row would reach beyond the point. A row longer than the blade runs on to the right.
fn places(plan: &Layout, cuts: &[Cut]) -> Vec<f64> {
    let least = plan.left() + text_width(CAPTION[0], WORDS) + APART;
    let mut free = least;
    let mut places = Vec::new();
    for cut in cuts {
        let x = (plan.scale * cut.sizes.at + cut.low.x).max(free);
        places.push(x);
        free = x + cut.width() + APART;
    }
    let all: f64 = cuts.iter().map(|c| c.width() + APART).sum();
    let mut end = plan.high.x.max(least + all - APART);
    for (x, cut) in places.iter_mut().zip(cuts).rev() {
        *x = x.min(end - cut.width());
        end = *x - APART;
    }
    places
}

/// The section with its lower left corner at `at`, and its figures.
fn place(drawing: &mut Drawing, cut: &Cut, at: DVec2) {
    let shift = at - cut.low;
    drawing.closed(Layer::Outline, cut.pieces.iter().map(|p| p.moved(shift)).collect());
    let foot = at + DVec2::new(cut.beside(), LINE * (cut.lines.len() - 1) as f64 + GAP);
    figures(drawing, foot, Anchor::Start, &cut.lines);
}
