//! The key to the colours on the blade.

use kiss3d::egui::{self, Align2, Label, Painter, Rect, RichText, Sense, Shape, Stroke, Ui, pos2, vec2};

use crate::desk::style::{Ink, SMALL, letters, small, solid};
use crate::figures;
use crate::model::grinding;
use crate::model::legend::Legend;
use crate::model::scale::{Tick, Ticks};

/// Height of a run of colours at most, pixels.
const HEIGHT: f32 = 192.0;

/// Room beside a colour's name in which its words are read, pixels: with less they stand below.
const BESIDE: f32 = 60.0;

/// What the colours stand for.
pub(crate) fn draw(ui: &mut Ui, legend: &Legend, ink: &Ink) {
    ui.vertical(|ui| match legend {
        Legend::Colours(all) => {
            for key in all {
                let detail = RichText::new(&key.detail).size(small(ui) - 1.0).color(ink.faint);
                let detail = Label::new(detail).wrap();
                let below = ui.horizontal(|ui| {
                    swatch(ui, key.srgb, ink);
                    ui.label(RichText::new(&key.name).size(small(ui)));
                    if ui.available_width() < BESIDE {
                        return Some(detail);
                    }
                    ui.add(detail);
                    None
                });
                if let Some(detail) = below.inner.filter(|_| !key.detail.is_empty()) {
                    ui.add(detail);
                }
            }
        }
        Legend::Scale(ticks) => scale(ui, ticks, ink, laminate::run_colour),
        Legend::TakeOff { words, ticks } => take_off(ui, words, ticks, ink),
        Legend::Bare => {
            ui.label(RichText::new("Bare steel, no colours").size(small(ui) - 1.0).color(ink.faint));
        }
    });
}

/// What is left to take off: in words, what is gone, and the run of colours.
fn take_off(ui: &mut Ui, words: &[String], ticks: &Ticks, ink: &Ink) {
    for line in words {
        ui.label(RichText::new(line).size(small(ui) - 1.0));
    }
    for (srgb, words) in [(grinding::GONE, "already gone"), (grinding::UNREAD, "read there first")] {
        ui.horizontal(|ui| {
            swatch(ui, srgb, ink);
            ui.label(RichText::new(words).size(small(ui) - 1.0));
        });
    }
    scale(ui, ticks, ink, grinding::colour);
}

/// A field of a colour.
pub(crate) fn swatch(ui: &mut Ui, srgb: [u8; 3], ink: &Ink) {
    let (response, painter) = ui.allocate_painter(vec2(24.0, 18.0), Sense::hover());
    painter.rect(response.rect, 3.0, solid(srgb), Stroke::new(1.0, ink.line), egui::StrokeKind::Inside);
}

/// A run of colours, upright, the most above; mm to its left, inches to its right.
fn scale(ui: &mut Ui, ticks: &Ticks, ink: &Ink, run: impl Fn(f64) -> [u8; 3]) {
    let height = ui.available_height().min(HEIGHT);
    let (response, painter) = ui.allocate_painter(vec2(190.0, height), Sense::hover());
    let bar = Rect::from_center_size(response.rect.center(), vec2(30.0, response.rect.height() - 22.0));
    painter.add(Shape::mesh(run_mesh(bar, run)));
    let left =
        Side { x: bar.left(), way: -6.0, anchor: Align2::RIGHT_CENTER, unit: design::Unit::Millimetre };
    let right = Side { x: bar.right(), way: 6.0, anchor: Align2::LEFT_CENTER, unit: design::Unit::Inch };
    for (ticks, side) in [(&ticks.millimetres, left), (&ticks.inches, right)] {
        for tick in ticks {
            draw_tick(&painter, tick, &side, height_in(bar, tick.share), ink);
        }
    }
}

/// Where a share of the run lies in it, pixels from the window's top.
fn height_in(bar: Rect, share: f64) -> f32 {
    bar.bottom() - share as f32 * bar.height()
}

/// The run of colours in its place.
fn run_mesh(bar: Rect, run: impl Fn(f64) -> [u8; 3]) -> egui::Mesh {
    // As many bands as the run has colours to tell.
    const BANDS: u32 = 64;
    let mut mesh = egui::Mesh::default();
    for i in 0..=BANDS {
        let share = f64::from(i) / f64::from(BANDS);
        let colour = solid(run(share));
        mesh.colored_vertex(pos2(bar.left(), height_in(bar, share)), colour);
        mesh.colored_vertex(pos2(bar.right(), height_in(bar, share)), colour);
        if i < BANDS {
            mesh.add_triangle(2 * i, 2 * i + 1, 2 * i + 2);
            mesh.add_triangle(2 * i + 1, 2 * i + 3, 2 * i + 2);
        }
    }
    mesh
}

/// A side of the run, with its ticks' unit.
struct Side {
    x: f32,
    /// Pixels from the side to a tick's outer end.
    way: f32,
    anchor: Align2,
    unit: design::Unit,
}

fn draw_tick(painter: &Painter, tick: &Tick, side: &Side, y: f32, ink: &Ink) {
    painter.line_segment([pos2(side.x, y), pos2(side.x + side.way, y)], Stroke::new(1.5, ink.line));
    let words = figures::tick_with_unit(tick.figure, side.unit);
    painter.text(pos2(side.x + 1.6 * side.way, y), side.anchor, words, letters(SMALL), ink.line);
}
