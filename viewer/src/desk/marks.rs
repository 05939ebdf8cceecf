//! Places marked on the blade, and the line of the section that is drawn.

use glam::DVec3;
use kiss3d::egui::{Align2, Color32, Painter, Pos2, Rect, Shape, Stroke, pos2, vec2};
use look::Mark;

use crate::draw::camera::Camera;
use crate::figures;
use crate::draw::scene::Spread;
use crate::model::section::{Cut, Slice};
use crate::model::shown::Shown;
use crate::desk::style::{self, Ink};

/// How near to the section's line the mouse takes hold of it, pixels: a fingertip's width.
const REACH: f32 = 14.0;
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

/// Draws the marks chosen, words above the blade.
pub(crate) fn draw(
    painter: &Painter,
    marks: &[Mark],
    shown: &Shown,
    camera: &Camera,
    spread: &Spread,
    ink: &Ink,
) {
    let mut all: Vec<(Pos2, f32, String)> = marks
        .iter()
        .flat_map(|&mark| places(mark, shown).into_iter().map(move |p| (mark, p)))
        .map(|(mark, p)| {
            let back = shown.facts.sections.at(p.x).map_or(p.y, |s| s.range().1);
            let seen = |y: f64, bar: Option<usize>| camera.pixel(spread.point(bar, DVec3::new(p.x, y, p.z)));
            // Bars drawn apart reach further up and down than the blade.
            let top = [seen(back, Some(0)), seen(back, None), seen(p.y, None)].map(|p| p.y);
            (seen(p.y, None), top.into_iter().fold(f32::INFINITY, f32::min), words(mark, p, shown))
        })
        .collect();
    all.sort_by(|a, b| a.0.x.total_cmp(&b.0.x));
    let mut taken: Vec<Rect> = Vec::new();
    for (at, top, text) in all {
        let galley = painter.layout_no_wrap(text, style::letters(style::SMALL), ink.line);
        let step = galley.size().y + 4.0;
        // Up until the words touch no others.
        let mut foot = pos2(at.x, top - LEADER);
        let area = |foot: Pos2| Align2::CENTER_BOTTOM.anchor_size(foot, galley.size() + vec2(10.0, 4.0));
        while taken.iter().any(|t| t.intersects(area(foot))) {
            foot.y -= step;
        }
        let sheet = area(foot);
        taken.push(sheet);
        painter.line_segment([at, foot], Stroke::new(1.5, ink.line));
        painter.rect_filled(sheet, 3.0, ink.sheet);
        painter.galley(sheet.min + vec2(5.0, 2.0), galley, ink.line);
        painter.circle(at, 6.0, ink.sheet, Stroke::new(2.0, ink.line));
        painter.circle_filled(at, 2.5, ink.point);
    }
}

/// The section's line around the blade as it is seen; one line for each bar where they are drawn apart.
pub(crate) fn ring(cut: &Cut, camera: &Camera, spread: &Spread) -> Vec<Vec<Pos2>> {
    let around = |bar: Option<usize>, slices: &[Slice]| {
        let right = slices.iter().map(|s| [s[0], s[2]]);
        let left = slices.iter().rev().map(|s| [s[0], s[1]]);
        let seen = |[y, z]: [f64; 2]| camera.pixel(spread.point(bar, DVec3::new(cut.at, y, z)));
        right.chain(left).map(seen).collect()
    };
    if spread.gap > 0.0 {
        return cut.bands.iter().map(|(bar, slices)| around(*bar, slices)).collect();
    }
    let whole: Vec<Slice> = cut.bands.iter().flat_map(|b| &b.1).copied().collect();
    vec![around(None, &whole)]
}

/// Draws the section's line.
pub(crate) fn draw_ring(painter: &Painter, ring: &[Vec<Pos2>], held: bool, ink: &Ink) {
    let width = if held { 3.5 } else { 2.0 };
    for line in ring {
        painter
            .add(Shape::closed_line(line.clone(), Stroke::new(width + 2.0, Color32::from_white_alpha(150))));
        painter.add(Shape::closed_line(line.clone(), Stroke::new(width, ink.point)));
    }
}

/// Whether a point of the window is near enough to the line to take hold of it.
pub(crate) fn reaches(ring: &[Vec<Pos2>], at: Pos2) -> bool {
    let near = |a: Pos2, b: Pos2| {
        let way = b - a;
        let share =
            if way.length_sq() > 0.0 { ((at - a).dot(way) / way.length_sq()).clamp(0.0, 1.0) } else { 0.0 };
        (a + way * share).distance(at) < REACH
    };
    ring.iter().any(|line| line.windows(2).any(|w| near(w[0], w[1])))
}

/// The station under a point of the window, mm; `None` when the blade is seen from its end.
pub(crate) fn station(camera: &Camera, at: Pos2) -> Option<f64> {
    let (start, unit) = (camera.pixel(DVec3::ZERO), camera.pixel(DVec3::X * 100.0));
    let way = unit - start;
    // Under a tenth of a pixel per mm a mouse can't point at a station.
    (way.length() > 10.0).then(|| f64::from((at - start).dot(way) / way.length_sq()) * 100.0)
}
