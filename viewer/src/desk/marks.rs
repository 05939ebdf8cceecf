//! Places marked on the blade.

use glam::DVec3;
use kiss3d::egui::{Align2, Painter, Pos2, Rect, Stroke, pos2, vec2};
use look::Mark;

use crate::desk::style::{self, Ink};
use crate::draw::camera::Camera;
use crate::draw::spread::Spread;
use crate::figures;
use crate::model::shown::Shown;

/// From the back, above a mark's place, to its words, pixels.
const LEADER: f32 = 16.0;

/// A mark's name in the window.
pub(crate) fn name(mark: Mark) -> &'static str {
    match mark {
        Mark::Centre => "Centre of mass",
        Mark::Balance => "Balance",
        Mark::Guard => "Guard",
        Mark::Percussion => "Percussion",
        Mark::Nodes => "Nodes",
    }
}

/// Where a mark lies, mm: none for what a blade lacks, two for the nodes.
pub(crate) fn places(mark: Mark, shown: &Shown) -> Vec<DVec3> {
    let (swing, guard) = (&shown.facts.swing, shown.design.guard_front());
    // What is told along the blade is drawn at the height of the balance.
    let along = |x: f64| DVec3::new(x, swing.centre.y, 0.0);
    match mark {
        Mark::Centre => vec![shown.facts.centre],
        Mark::Balance => vec![swing.centre],
        Mark::Guard => vec![along(guard)],
        Mark::Percussion => swing.percussion.map(|p| along(guard + p)).into_iter().collect(),
        Mark::Nodes => swing.nodes.into_iter().flatten().map(along).collect(),
    }
}

/// What stands beside a mark.
fn words(mark: Mark, place: DVec3, shown: &Shown) -> String {
    let unit = shown.design.unit();
    let (from, length) = (shown.design.measured_from(), |mm: f64| figures::length(mm, unit));
    let off = |x: f64| format!("{} from the {from}", length((x - shown.design.guard_front()).abs()));
    match mark {
        Mark::Centre => format!("centre of mass, {}", length(place.x)),
        Mark::Balance => format!("balance, {}", off(place.x)),
        Mark::Guard if from == "guard" => "guard's front".to_owned(),
        Mark::Guard => "shoulder".to_owned(),
        Mark::Percussion => format!("percussion, {}", off(place.x)),
        Mark::Nodes => format!("node, {}", length(place.x)),
    }
}

/// A mark as it is seen: pixels in the window, and its words.
struct SeenMark {
    at: Pos2,
    /// The highest that steel reaches there.
    top: f32,
    words: String,
}

impl SeenMark {
    /// A mark at its place on the blade, mm.
    fn new(mark: Mark, place: DVec3, shown: &Shown, camera: &Camera, spread: &Spread) -> SeenMark {
        let back = shown.facts.sections.at(place.x).map_or(place.y, |s| s.range().1);
        let seen =
            |y: f64, bar: Option<usize>| camera.pixel(spread.point(bar, DVec3::new(place.x, y, place.z)));
        // Bars drawn apart reach further up and down than the blade.
        let tops = [seen(back, Some(0)), seen(back, None), seen(place.y, None)].map(|p| p.y);
        SeenMark {
            at: seen(place.y, None),
            top: tops.into_iter().fold(f32::INFINITY, f32::min),
            words: words(mark, place, shown),
        }
    }
}

/// Draws the marks chosen, words above the blade.
pub(crate) fn draw(
    painter: &Painter,
    marks: &[Mark],
    shown: &Shown,
    camera: &Camera,
    spread: &Spread,
    ink: &Ink,
) {
    let places = marks.iter().flat_map(|&mark| places(mark, shown).into_iter().map(move |p| (mark, p)));
    let mut all: Vec<SeenMark> =
        places.map(|(mark, p)| SeenMark::new(mark, p, shown, camera, spread)).collect();
    all.sort_by(|a, b| a.at.x.total_cmp(&b.at.x));
    let mut taken: Vec<Rect> = Vec::new();
    for mark in all {
        taken.push(draw_mark(painter, mark, &taken, ink));
    }
}

/// Draws a mark, its words as high up as they touch none of those `taken`; returns where they stand.
fn draw_mark(painter: &Painter, mark: SeenMark, taken: &[Rect], ink: &Ink) -> Rect {
    let galley = painter.layout_no_wrap(mark.words, style::letters(style::SMALL), ink.line);
    let step = galley.size().y + 4.0;
    let mut foot = pos2(mark.at.x, mark.top - LEADER);
    let area = |foot: Pos2| Align2::CENTER_BOTTOM.anchor_size(foot, galley.size() + vec2(10.0, 4.0));
    while taken.iter().any(|t| t.intersects(area(foot))) {
        foot.y -= step;
    }
    let sheet = area(foot);
    painter.line_segment([mark.at, foot], Stroke::new(1.5, ink.line));
    painter.rect_filled(sheet, 3.0, ink.sheet);
    painter.galley(sheet.min + vec2(5.0, 2.0), galley, ink.line);
    painter.circle(mark.at, 6.0, ink.sheet, Stroke::new(2.0, ink.line));
    painter.circle_filled(mark.at, 2.5, ink.point);
    sheet
}
