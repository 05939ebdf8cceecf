//! Colours and sizes of the window: paper and soot by day, soot and linen by night, one copper to point with.

use std::collections::BTreeMap;

use kiss3d::egui::{self, Color32, FontFamily, FontId, Stroke, TextStyle};

/// Letters are read at arm's length: a third larger than a desk's usual.
pub(crate) const TEXT: f32 = 17.0;
/// Small print: ticks and dimensions.
pub(crate) const SMALL: f32 = 14.5;
/// Titles.
const TITLE: f32 = 22.0;

/// The colours of one light.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(crate) struct Ink {
    /// Behind the blade.
    pub(crate) ground: Color32,
    /// Behind words.
    pub(crate) sheet: Color32,
    /// Words and lines.
    pub(crate) line: Color32,
    /// Lines that should not be looked at first.
    pub(crate) faint: Color32,
    /// What is chosen or pointed at.
    pub(crate) point: Color32,
    /// What is wrong.
    pub(crate) alarm: Color32,
    /// Bare steel in the section.
    pub(crate) steel: Color32,
}

/// By day.
const DAY: Ink = Ink {
    ground: Color32::from_rgb(0xe6, 0xe1, 0xd6),
    sheet: Color32::from_rgb(0xf6, 0xf3, 0xec),
    line: Color32::from_rgb(0x24, 0x22, 0x20),
    faint: Color32::from_rgb(0x83, 0x7c, 0x71),
    point: Color32::from_rgb(0xb0, 0x52, 0x16),
    alarm: Color32::from_rgb(0xa3, 0x1d, 0x1d),
    steel: Color32::from_rgb(0xb9, 0xbd, 0xc2),
};
/// By night: the ground stays lighter than the darkest steel that is etched, which would be lost on it.
const NIGHT: Ink = Ink {
    ground: Color32::from_rgb(0x4b, 0x4f, 0x54),
    sheet: Color32::from_rgb(0x1b, 0x1d, 0x20),
    line: Color32::from_rgb(0xec, 0xe7, 0xdb),
    faint: Color32::from_rgb(0xa8, 0xab, 0xaf),
    point: Color32::from_rgb(0xf0, 0x93, 0x4c),
    alarm: Color32::from_rgb(0xff, 0x8a, 0x7a),
    steel: Color32::from_rgb(0x9a, 0xa0, 0xa6),
};

pub(crate) fn ink(dark: bool) -> Ink {
    if dark { NIGHT } else { DAY }
}

/// Letters of a size.
pub(crate) fn letters(size: f32) -> FontId {
    FontId::new(size, FontFamily::Proportional)
}

/// A colour of the palette.
pub(crate) fn solid([r, g, b]: [u8; 3]) -> Color32 {
    Color32::from_rgb(r, g, b)
}

/// Width for which sizes are made, pixels; narrower windows get smaller letters, so that the controls find room.
const WIDTH: f32 = 1180.0;
/// Smallest share of the usual size: smaller letters can't be read.
const LEAST: f32 = 0.6;

/// The share of their usual size that letters and sliders have in a window of this width.
pub(crate) fn share(width: f32) -> f32 {
    (width / WIDTH).clamp(LEAST, 1.0)
}

/// Size of the strip's letters.
pub(crate) fn small(ui: &egui::Ui) -> f32 {
    (SMALL + 1.0) * share(ui.ctx().viewport_rect().width())
}

/// Sets the window's style.
pub(crate) fn dress(ctx: &egui::Context, dark: bool) {
    let (ink, share) = (ink(dark), share(ctx.viewport_rect().width()));
    ctx.set_theme(if dark { egui::Theme::Dark } else { egui::Theme::Light });
    ctx.all_styles_mut(|style| {
        let sizes = [
            (TextStyle::Heading, TITLE),
            (TextStyle::Body, TEXT),
            (TextStyle::Button, TEXT),
            (TextStyle::Monospace, TEXT),
            (TextStyle::Small, SMALL),
        ];
        style.text_styles = BTreeMap::from(sizes.map(|(name, size)| (name, letters(share * size))));
        style.spacing.item_spacing = egui::vec2(8.0, 6.0) * share;
        style.spacing.button_padding = egui::vec2(9.0, 4.0) * share;
        style.spacing.interact_size.y = 28.0 * share;
        style.animation_time = 0.0;
        colour(&mut style.visuals, &ink);
    });
}

/// Sets the colours of words, sheets and controls.
fn colour(visuals: &mut egui::Visuals, ink: &Ink) {
    visuals.override_text_color = Some(ink.line);
    visuals.panel_fill = ink.sheet;
    visuals.window_fill = ink.sheet;
    visuals.extreme_bg_color = ink.ground;
    visuals.selection.bg_fill = ink.point.gamma_multiply(0.35);
    visuals.selection.stroke = Stroke::new(1.5, ink.line);
    visuals.slider_trailing_fill = true;
    // A window that nobody touches shall not draw.
    visuals.text_cursor.blink = false;
}
