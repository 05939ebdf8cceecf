//! The section drawn in its place below the blade.

use kiss3d::egui::epaint::{Vertex, WHITE_UV};
use kiss3d::egui::{
    self, Align2, Color32, ColorImage, Context, Painter, Pos2, Rect, Sense, Shape, Stroke, TextureOptions,
    Ui, Vec2, pos2, vec2,
};
use look::Colour;

use crate::desk::board::Desk;
use crate::desk::style::{Ink, SMALL, letters, solid};
use crate::figures;
use crate::model::section::{Cut, Strip};

/// Room around the section for its dimensions, pixels.
const AROUND: f32 = 34.0;
/// Pixels per mm of the section at most: a narrow tang need not fill the place.
const MOST_SCALE: f32 = 22.0;

/// The section, lying on its left side: edge to the left, back to the right. It has `room` at most.
pub(crate) fn draw(ui: &mut Ui, desk: &mut Desk, room: Vec2) {
    let (response, painter) =
        ui.allocate_painter(vec2(room.x, ui.available_height().min(room.y)), Sense::hover());
    let place = response.rect;
    desk.places.insert("section".to_owned(), place);
    let ink = desk.ink();
    painter.rect_filled(place, 4.0, ink.ground);
    let Some(cut) = desk.cut.clone() else { return };
    let sheet = SectionSheet::new(&cut, place);
    let picture = layers(ui.ctx(), desk, &cut).cloned();
    for band in &cut.bands {
        let plain = Fill::Colour(band_colour(desk, &cut, band.bar).map_or(ink.steel, solid));
        sheet.fill(&painter, &band.strips, picture.as_ref().map_or(plain, Fill::Picture), cut.range);
    }
    sheet.outlines(&painter, &cut, &ink);
    let Some(shown) = &desk.shown else { return };
    sheet.dimensions(&painter, &cut, shown.design.unit(), &ink);
}

/// The colour of a band, sRGB; `None` for bare steel.
fn band_colour(desk: &Desk, cut: &Cut, bar: Option<usize>) -> Option<[u8; 3]> {
    let shown = desk.shown.as_ref()?;
    match shown.colour {
        Colour::Taper => Some(laminate::run_colour(shown.facts.taper.share(cut.at))),
        colour => Cut::colour(bar, colour),
    }
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
struct SectionSheet {
    scale: f32,
    origin: Pos2,
}

impl SectionSheet {
    /// Fits the section, and the forged one around it, into a place on the screen.
    fn new(cut: &Cut, place: Rect) -> SectionSheet {
        let (mut heights, mut across) = (cut.range, (f64::INFINITY, f64::NEG_INFINITY));
        for strip in cut.all_strips() {
            heights = (heights.0.min(strip.height), heights.1.max(strip.height));
            across = (across.0.min(strip.left), across.1.max(strip.right));
        }
        let extent = vec2((heights.1 - heights.0) as f32, (across.1 - across.0) as f32);
        let room = place.shrink2(vec2(AROUND, AROUND));
        let scale = (room.width() / extent.x).min(room.height() / extent.y).min(MOST_SCALE);
        let middle = vec2(0.5 * (heights.0 + heights.1) as f32, -0.5 * (across.0 + across.1) as f32);
        SectionSheet { scale, origin: room.center() - middle * scale }
    }

    fn at(&self, y: f64, z: f64) -> Pos2 {
        self.origin + vec2(y as f32, -z as f32) * self.scale
    }

    /// Fills a part of the section with a colour, or with the picture that reaches from edge to back and from the right
    /// flank to the left.
    fn fill(&self, painter: &Painter, strips: &[Strip], fill: Fill<'_>, (low, high): (f64, f64)) {
        let (texture, colour) = match fill {
            Fill::Colour(colour) => (egui::TextureId::default(), colour),
            Fill::Picture(picture) => (picture.id(), Color32::WHITE),
        };
        let mut mesh = egui::Mesh::with_texture(texture);
        for strip in strips {
            for (z, across) in [(strip.left, 1.0), (strip.right, 0.0)] {
                let uv = match fill {
                    Fill::Colour(_) => WHITE_UV,
                    Fill::Picture(_) => pos2(((strip.height - low) / (high - low)) as f32, across),
                };
                mesh.vertices.push(Vertex { pos: self.at(strip.height, z), uv, color: colour });
            }
        }
        for i in (0..2 * (strips.len() as u32).saturating_sub(1)).step_by(2) {
            mesh.add_triangle(i, i + 1, i + 2);
            mesh.add_triangle(i + 1, i + 3, i + 2);
        }
        painter.add(Shape::mesh(mesh));
    }

    fn outlines(&self, painter: &Painter, cut: &Cut, ink: &Ink) {
        for band in &cut.bands {
            painter.add(Shape::closed_line(self.around(&band.strips), Stroke::new(1.5, ink.line)));
        }
        if cut.forged.len() > 1 {
            let mut forged = self.around(&cut.forged);
            forged.extend(forged.first().copied());
            painter.extend(Shape::dashed_line(&forged, Stroke::new(1.2, ink.faint), 6.0, 4.0));
        }
    }

    fn around(&self, strips: &[Strip]) -> Vec<Pos2> {
        let right = strips.iter().map(|s| self.at(s.height, s.right));
        right.chain(strips.iter().rev().map(|s| self.at(s.height, s.left))).collect()
    }

    /// The section's breadth below it, and which end is which.
    fn dimensions(&self, painter: &Painter, cut: &Cut, unit: design::Unit, ink: &Ink) {
        let (low, high) = cut.range;
        let deepest = cut.all_strips().map(|s| s.left).fold(f64::INFINITY, f64::min);
        let foot = self.at(0.0, deepest).y + 10.0;
        let ends = [pos2(self.at(low, 0.0).x, foot), pos2(self.at(high, 0.0).x, foot)];
        let stroke = Stroke::new(1.0, ink.faint);
        painter.line_segment(ends, stroke);
        for end in ends {
            painter.vline(end.x, foot - 5.0..=foot + 5.0, stroke);
        }
        let words = figures::length(high - low, unit);
        let middle = ends[0].lerp(ends[1], 0.5) + vec2(0.0, 3.0);
        painter.text(middle, Align2::CENTER_TOP, words, letters(SMALL), ink.line);
        // Where both would touch, the outline tells them apart.
        if ends[1].x - ends[0].x > 100.0 {
            self.label(painter, low, "edge", Align2::LEFT_TOP, ink);
            self.label(painter, high, "back", Align2::RIGHT_TOP, ink);
        }
    }

    /// A word above the section, at a height in it.
    fn label(&self, painter: &Painter, height: f64, text: &str, anchor: Align2, ink: &Ink) {
        let place = pos2(self.at(height, 0.0).x, painter.clip_rect().top() + 6.0);
        painter.text(place, anchor, text, letters(SMALL), ink.faint);
    }
}
