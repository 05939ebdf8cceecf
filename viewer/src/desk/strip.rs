//! Below the blade: the station along it, the section there, its sizes, and what the colours stand for.

use kiss3d::egui::{Area, Context, Frame, Id, Margin, Order, RichText, Slider, TextWrapMode, Ui, pos2, vec2};
use look::Colour;

use crate::desk::board::{Desk, Overlay};
use crate::desk::style;
use crate::desk::{colour_key, section_view, sizes};
use crate::figures;
use crate::model::legend::Legend;

/// Height of the strip, pixels.
const HEIGHT: f32 = 262.0;
/// What title and margins leave of the strip's height for the section, pixels.
const SECTION_HEIGHT: f32 = HEIGHT - 62.0;
/// The least width of the section, pixels: beside a sheet in a narrow window it leaves the bars their breadths.
const SECTION_WIDTH: f32 = 130.0;
/// Room for sizes and bars beside the section, pixels.
const BESIDE: f32 = 570.0;
/// More of it for the words beside the colours of the layers, where a sheet to the right takes of the strip's width.
const WORDS: f32 = 120.0;
/// Height of a row of figures, pixels.
const ROW: f32 = 20.0;

/// Draws the strip as far as `right`; returns where it begins, pixels from the top.
pub(crate) fn draw(ctx: &Context, desk: &mut Desk, overlay: Overlay, right: f32) -> f32 {
    let window = ctx.viewport_rect();
    let top = window.bottom() - HEIGHT;
    let area = Area::new(Id::new("strip")).order(Order::Middle).fixed_pos(pos2(0.0, top));
    let sheet = Frame::new().fill(desk.ink().sheet).inner_margin(Margin::symmetric(14, 8));
    area.show(ctx, |ui| {
        ui.set_width(right);
        sheet.show(ui, |ui| {
            ui.set_min_size(vec2(right - 28.0, HEIGHT - 16.0));
            ui.set_max_width(right - 28.0);
            ui.style_mut().wrap_mode = Some(TextWrapMode::Extend);
            if overlay == Overlay::Everything {
                station(ui, desk);
            } else {
                ui.label(station_words(desk));
            }
            ui.add_space(4.0);
            ui.horizontal_top(|ui| columns(ui, desk));
        });
    });
    top
}

/// Section, sizes and the key to the colours, beside each other.
fn columns(ui: &mut Ui, desk: &mut Desk) {
    let legend = desk.shown.as_ref().map_or(Legend::Bare, |s| Legend::new(s));
    let wide = ui.available_width();
    let shows_layers = desk.shown.as_ref().is_some_and(|s| s.colour.shows_layers());
    let beside = if shows_layers && (desk.hand.on || desk.noting.on) { BESIDE + WORDS } else { BESIDE };
    section_view::draw(ui, desk, vec2((wide - beside).min(0.38 * wide).max(SECTION_WIDTH), SECTION_HEIGHT));
    let share = style::share(ui.ctx().viewport_rect().width());
    ui.spacing_mut().interact_size.y = ROW;
    ui.add_space(16.0 * share);
    sizes::draw(ui, desk);
    ui.add_space(20.0 * share);
    // What is left to take off wants the room that the bars' breadths take.
    if desk.shown.as_ref().is_none_or(|s| s.colour != Colour::TakeOff) {
        sizes::draw_bars(ui, desk);
    }
    // The bars' colours stand beside their breadths.
    if desk.shown.as_ref().is_some_and(|s| s.colour != Colour::Bars) {
        ui.add_space(20.0 * share);
        colour_key::draw(ui, &legend, &desk.ink());
    }
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
        if desk.note("station", response).changed() {
            desk.choose(at);
        }
    });
}
