//! Below the blade: the station along it, the section there, its sizes, and what the colours stand for.

use kiss3d::egui::epaint::{Vertex, WHITE_UV};
use kiss3d::egui::{
    self, Align2, Area, Color32, ColorImage, Context, Frame, Grid, Id, Margin, Order, Painter, Pos2, Rect,
    RichText, Sense, Shape, Slider, Stroke, TextureOptions, Ui, pos2, vec2,
};
use look::Colour;

use crate::desk::controls::note;
use crate::figures;
use crate::desk::frame::{Around, Desk};
use crate::model::grinding;
use crate::model::legend::{self, Legend};
use crate::model::section::{Cut, Slice};
use crate::desk::style::{self, Ink, SMALL, letters, solid};

/// Height of the strip, pixels.
const HEIGHT: f32 = 262.0;
/// Room around the section for its dimensions, pixels.
const AROUND: f32 = 34.0;
/// Height of a row of figures, pixels.
const ROW: f32 = 20.0;
/// Pixels per mm of the section at most: a narrow tang need not fill the place.
const MOST_SCALE: f32 = 22.0;

/// Draws the strip; returns where it begins, pixels from the top.
pub(crate) fn draw(ctx: &Context, desk: &mut Desk, around: Around) -> f32 {
    let window = ctx.viewport_rect();
    let top = window.bottom() - HEIGHT;
    let area = Area::new(Id::new("strip")).order(Order::Middle).fixed_pos(pos2(0.0, top));
    let sheet = Frame::new().fill(desk.ink().sheet).inner_margin(Margin::symmetric(14, 8));
    area.show(ctx, |ui| {
        ui.set_width(window.width());
        sheet.show(ui, |ui| {
            ui.set_min_size(vec2(window.width() - 28.0, HEIGHT - 16.0));
            ui.set_max_width(window.width() - 28.0);
            ui.style_mut().wrap_mode = Some(egui::TextWrapMode::Extend);
            if around == Around::Everything {
                station(ui, desk);
            } else {
                ui.label(station_words(desk));
            }
            ui.add_space(4.0);
            let legend = desk.shown.as_ref().map_or(Legend::Bare, |s| legend::of(s));
            ui.horizontal_top(|ui| {
                let wide = ui.available_width();
                section(ui, desk, (0.38 * wide).max(180.0));
                let share = style::share(ctx.viewport_rect().width());
                ui.spacing_mut().interact_size.y = ROW;
                ui.add_space(16.0 * share);
                sizes(ui, desk);
                ui.add_space(20.0 * share);
                // What is left to take off wants the room that the bars' breadths take.
                if desk.shown.as_ref().is_none_or(|s| s.colour != Colour::TakeOff) {
                    widths(ui, desk);
                }
                // The bars' colours stand beside their breadths.
                if desk.shown.as_ref().is_some_and(|s| s.colour != Colour::Bars) {
                    ui.add_space(20.0 * share);
                    key(ui, &legend, &desk.ink());
                }
            });
        });
    });
    top
}

/// The station in words, for a picture.
fn station_words(desk: &Desk) -> String {
    let at = desk.shown.as_ref().zip(desk.station());
    at.map_or_else(String::new, |(shown, at)| {
        let from = if at < 0.0 { "behind" } else { "from" };
        format!("Section {} {from} the shoulder", figures::length(at.abs(), shown.design.unit()))
    })
}

/// The station as a slider as long as the window.
fn station(ui: &mut Ui, desk: &mut Desk) {
    let Some((shown, mut at)) = desk.shown.as_ref().zip(desk.station()) else { return };
    let (unit, (from, to)) = (shown.design.unit(), shown.facts.sections.range());
    ui.horizontal(|ui| {
        ui.label("Station");
        ui.spacing_mut().slider_width = (ui.available_width() - 130.0).max(60.0);
        let response = ui.add(Slider::new(&mut at, from..=to).show_value(false));
        ui.label(RichText::new(figures::length(at, unit)).strong());
        if note(desk, "station", response).changed() {
            desk.choose(at);
        }
    });
}

/// The section, lying on its left side: edge to the left, back to the right.
fn section(ui: &mut Ui, desk: &mut Desk, width: f32) {
    let (response, painter) =
        ui.allocate_painter(vec2(width, ui.available_height().min(HEIGHT - 62.0)), Sense::hover());
    let place = response.rect;
    desk.places.insert("section".to_owned(), place);
    let ink = desk.ink();
    painter.rect_filled(place, 4.0, ink.ground);
    let Some(cut) = desk.cut.clone() else { return };
    let colour = desk.shown.as_ref().map_or(Colour::Steel, |s| s.colour);
    let sheet = Sheet::new(&cut, place);
    let colour = |bar: Option<usize>, desk: &Desk| match colour {
        Colour::Taper => desk.shown.as_ref().map(|s| laminate::run_colour(s.facts.taper.share(cut.at))),
        _ => Cut::colour(bar, colour),
    };
    let picture = layers(ui.ctx(), desk, &cut).cloned();
    for (bar, slices) in &cut.bands {
        let plain = Fill::Colour(colour(*bar, desk).map_or(ink.steel, solid));
        sheet.fill(&painter, slices, picture.as_ref().map_or(plain, Fill::Picture), cut.range);
    }
    sheet.outlines(&painter, &cut, &ink);
    let Some(shown) = &desk.shown else { return };
    sheet.dimensions(&painter, &cut, shown.design.unit(), &ink);
}

/// The section's layers as a texture, made once for each section.
fn layers<'a>(ctx: &Context, desk: &'a mut Desk, cut: &Cut) -> Option<&'a egui::TextureHandle> {
    let picture = cut.layers.as_ref()?;
    if desk.layers.is_none() {
        let dot = |p: &[u8]| Color32::from_rgb(p[0], p[1], p[2]);
        let dots = picture.rgb.chunks_exact(3).map(dot).collect();
        let image = ColorImage::new([picture.width, picture.height], dots);
        desk.layers = Some(ctx.load_texture("layers of the section", image, TextureOptions::LINEAR));
    }
    desk.layers.as_ref()
}

/// What a part of the section shows.
#[derive(Clone, Copy)]
enum Fill<'a> {
    Colour(Color32),
    Picture(&'a egui::TextureHandle),
}

/// Where the section's millimetres lie on the screen: heights to the right, the right side up.
struct Sheet {
    scale: f32,
    origin: Pos2,
}

impl Sheet {
    fn new(cut: &Cut, place: Rect) -> Sheet {
        let all = || cut.bands.iter().flat_map(|b| &b.1).chain(&cut.forged);
        let (mut low, mut high) = (cut.range, (f64::INFINITY, f64::NEG_INFINITY));
        for [y, left, right] in all() {
            low = (low.0.min(*y), low.1.max(*y));
            high = (high.0.min(*left), high.1.max(*right));
        }
        let extent = vec2((low.1 - low.0) as f32, (high.1 - high.0) as f32);
        let room = place.shrink2(vec2(AROUND, AROUND));
        let scale = (room.width() / extent.x).min(room.height() / extent.y).min(MOST_SCALE);
        let middle = vec2(0.5 * (low.0 + low.1) as f32, -0.5 * (high.0 + high.1) as f32);
        Sheet { scale, origin: room.center() - middle * scale }
    }

    fn at(&self, y: f64, z: f64) -> Pos2 {
        self.origin + vec2(y as f32, -z as f32) * self.scale
    }

    /// Fills a part of the section with a colour, or with the picture that reaches from edge to back and from the right
    /// flank to the left.
    fn fill(&self, painter: &Painter, slices: &[Slice], fill: Fill<'_>, (low, high): (f64, f64)) {
        let (texture, colour) = match fill {
            Fill::Colour(colour) => (egui::TextureId::default(), colour),
            Fill::Picture(picture) => (picture.id(), Color32::WHITE),
        };
        let mut mesh = egui::Mesh::with_texture(texture);
        for &[y, left, right] in slices {
            for (z, across) in [(left, 1.0), (right, 0.0)] {
                let uv = match fill {
                    Fill::Colour(_) => WHITE_UV,
                    Fill::Picture(_) => pos2(((y - low) / (high - low)) as f32, across),
                };
                mesh.vertices.push(Vertex { pos: self.at(y, z), uv, color: colour });
            }
        }
        for i in (0..2 * (slices.len() as u32).saturating_sub(1)).step_by(2) {
            mesh.add_triangle(i, i + 1, i + 2);
            mesh.add_triangle(i + 1, i + 3, i + 2);
        }
        painter.add(Shape::mesh(mesh));
    }

    fn outlines(&self, painter: &Painter, cut: &Cut, ink: &Ink) {
        for (_, slices) in &cut.bands {
            painter.add(Shape::closed_line(self.around(slices), Stroke::new(1.5, ink.line)));
        }
        if cut.forged.len() > 1 {
            let mut forged = self.around(&cut.forged);
            forged.extend(forged.first().copied());
            painter.extend(Shape::dashed_line(&forged, Stroke::new(1.2, ink.faint), 6.0, 4.0));
        }
    }

    fn around(&self, slices: &[Slice]) -> Vec<Pos2> {
        let right = slices.iter().map(|s| self.at(s[0], s[2]));
        right.chain(slices.iter().rev().map(|s| self.at(s[0], s[1]))).collect()
    }

    fn dimensions(&self, painter: &Painter, cut: &Cut, unit: design::Unit, ink: &Ink) {
        let (low, high) = cut.range;
        let deepest = cut
            .bands
            .iter()
            .flat_map(|b| &b.1)
            .chain(&cut.forged)
            .map(|s| s[1])
            .fold(f64::INFINITY, f64::min);
        let foot = self.at(0.0, deepest).y + 10.0;
        let ends = [pos2(self.at(low, 0.0).x, foot), pos2(self.at(high, 0.0).x, foot)];
        let stroke = Stroke::new(1.0, ink.faint);
        painter.line_segment(ends, stroke);
        for end in ends {
            painter.vline(end.x, foot - 5.0..=foot + 5.0, stroke);
        }
        let words = figures::length(high - low, unit);
        painter.text(
            ends[0].lerp(ends[1], 0.5) + vec2(0.0, 3.0),
            Align2::CENTER_TOP,
            words,
            letters(SMALL),
            ink.line,
        );
        let label = |x: f64, text: &str, anchor: Align2| {
            painter.text(
                pos2(self.at(x, 0.0).x, painter.clip_rect().top() + 6.0),
                anchor,
                text,
                letters(SMALL),
                ink.faint,
            );
        };
        // Where both would touch, the outline tells them apart.
        if ends[1].x - ends[0].x > 100.0 {
            label(low, "edge", Align2::LEFT_TOP);
            label(high, "back", Align2::RIGHT_TOP);
        }
    }
}

/// Sizes at the station.
fn sizes(ui: &mut Ui, desk: &Desk) {
    let Some((shown, cut)) = desk.shown.as_ref().zip(desk.cut.as_ref()) else { return };
    let unit = shown.design.unit();
    let mut rows = vec![
        ("Breadth".to_owned(), figures::length(cut.range.1 - cut.range.0, unit)),
        ("Thickness".to_owned(), figures::thickness(cut.thickness, unit)),
    ];
    if let Some(s) = &cut.station {
        rows.push(("at the back".to_owned(), figures::thickness(s.back, unit)));
        if let (Some(grind), Some(height)) = (s.grind, s.grind_height) {
            let place = format!("{}, {} up", figures::thickness(grind, unit), figures::length(height, unit));
            rows.push(("at the grind line".to_owned(), place));
        }
        let edge = if s.edge > 0.0 { figures::thickness(s.edge, unit) } else { "sharp".to_owned() };
        rows.push(("at the edge".to_owned(), edge));
        if s.bevel_angle > 0.0 {
            let both = shown.design.blade().spec().section.sides == blade::Sides::Both;
            let sides = if both { "both sides" } else { "one side" };
            rows.push(("Bevel".to_owned(), format!("{:.1}°, {sides}", s.bevel_angle.to_degrees())));
        }
    }
    rows.push(("Whole blade".to_owned(), format!("{:.0} g", shown.facts.swing.steel_mass)));
    table(ui, "sizes", &rows);
}

/// Each bar's colour, name and breadth on the side at the station.
fn widths(ui: &mut Ui, desk: &Desk) {
    let Some((shown, cut)) = desk.shown.as_ref().zip(desk.cut.as_ref()) else { return };
    let Some(billet) = shown.design.billet().filter(|_| !cut.widths.is_empty()) else { return };
    let (unit, ink, long) = (shown.design.unit(), desk.ink(), shown.colour == Colour::Bars);
    Grid::new("widths").num_columns(3).spacing([8.0, 3.0]).show(ui, |ui| {
        for (i, (bar, width)) in billet.bars().iter().zip(&cut.widths).enumerate() {
            if long {
                swatch(ui, laminate::bar_colour(i).srgb, &ink);
            }
            let here = if *width > 0.0 { figures::length(*width, unit) } else { "not here".to_owned() };
            ui.vertical(|ui| {
                ui.label(RichText::new(&bar.name).size(small(ui)));
                if long {
                    ui.label(RichText::new(legend::make(bar)).size(small(ui) - 2.0).color(ink.faint));
                }
            });
            ui.label(RichText::new(here).size(small(ui)).strong());
            ui.end_row();
        }
    });
}

fn table(ui: &mut Ui, name: &str, rows: &[(String, String)]) {
    ui.vertical(|ui| {
        Grid::new(name).num_columns(2).spacing([10.0, 3.0]).show(ui, |ui| {
            for (what, figure) in rows {
                ui.label(RichText::new(what).size(small(ui)));
                ui.label(RichText::new(figure).size(small(ui)).strong());
                ui.end_row();
            }
        });
    });
}

/// Size of the strip's letters.
fn small(ui: &Ui) -> f32 {
    (SMALL + 1.0) * style::share(ui.ctx().viewport_rect().width())
}

/// What the colours stand for.
fn key(ui: &mut Ui, legend: &Legend, ink: &Ink) {
    ui.vertical(|ui| match legend {
        Legend::Colours(all) => {
            for (srgb, name, more) in all {
                ui.horizontal(|ui| {
                    swatch(ui, *srgb, ink);
                    ui.label(RichText::new(name).size(small(ui)));
                    ui.label(RichText::new(more).size(small(ui) - 1.0).color(ink.faint));
                });
            }
        }
        Legend::Scale { millimetres, inches } => scale(ui, millimetres, inches, ink, laminate::run_colour),
        Legend::TakeOff { words, millimetres, inches } => {
            for line in words {
                ui.label(RichText::new(line).size(small(ui) - 1.0));
            }
            ui.horizontal(|ui| {
                swatch(ui, grinding::GONE, ink);
                ui.label(RichText::new("already gone").size(small(ui) - 1.0));
            });
            scale(ui, millimetres, inches, ink, grinding::colour);
        }
        Legend::Bare => {
            ui.label(RichText::new("Bare steel, no colours").size(small(ui) - 1.0).color(ink.faint));
        }
    });
}

fn swatch(ui: &mut Ui, srgb: [u8; 3], ink: &Ink) {
    let (response, painter) = ui.allocate_painter(vec2(24.0, 18.0), Sense::hover());
    painter.rect(response.rect, 3.0, solid(srgb), Stroke::new(1.0, ink.line), egui::StrokeKind::Inside);
}

/// A run of colours, upright, the most above; mm to its left, inches to its right.
fn scale(
    ui: &mut Ui,
    millimetres: &[(f64, f64)],
    inches: &[(f64, f64)],
    ink: &Ink,
    run: impl Fn(f64) -> [u8; 3],
) {
    let height = ui.available_height().min(HEIGHT - 70.0);
    let (response, painter) = ui.allocate_painter(vec2(190.0, height), Sense::hover());
    let bar = Rect::from_center_size(response.rect.center(), vec2(30.0, response.rect.height() - 22.0));
    let height = |share: f64| bar.bottom() - share as f32 * bar.height();
    let mut mesh = egui::Mesh::default();
    // As many bands as the run has colours to tell.
    const BANDS: u32 = 64;
    for i in 0..=BANDS {
        let share = f64::from(i) / f64::from(BANDS);
        let colour = solid(run(share));
        mesh.colored_vertex(pos2(bar.left(), height(share)), colour);
        mesh.colored_vertex(pos2(bar.right(), height(share)), colour);
        if i < BANDS {
            mesh.add_triangle(2 * i, 2 * i + 1, 2 * i + 2);
            mesh.add_triangle(2 * i + 1, 2 * i + 3, 2 * i + 2);
        }
    }
    painter.add(Shape::mesh(mesh));
    for (ticks, unit, side, anchor, way) in [
        (millimetres, "mm", bar.left(), Align2::RIGHT_CENTER, -6.0),
        (inches, "in", bar.right(), Align2::LEFT_CENTER, 6.0),
    ] {
        for (share, figure) in ticks {
            let y = height(*share);
            painter.line_segment([pos2(side, y), pos2(side + way, y)], Stroke::new(1.5, ink.line));
            let words = format!("{} {unit}", figures::tick(*figure));
            painter.text(pos2(side + 1.6 * way, y), anchor, words, letters(SMALL), ink.line);
        }
    }
}
