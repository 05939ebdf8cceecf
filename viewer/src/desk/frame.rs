//! One frame of the desk: everything drawn around the blade, and what mouse and keys ask for.

use kiss3d::egui::{Align2, Context, CursorIcon, Id, LayerId, Order, Painter, Pos2, Rect, pos2};
use look::Mark;

use crate::desk::board::{Desk, Overlay};
use crate::desk::style::Ink;
use crate::desk::{
    before_lines, clash, controls, grips, key_list, keys, marks, measure, offer, panel, problem_list, ring,
    strip, style, title,
};
use crate::draw::camera::Camera;

/// Below this height (pixels) the window has no room for the section beside the blade.
const ROOM: f32 = 560.0;
/// Room for the marks' words above the blade, pixels.
const ABOVE: f32 = 30.0;

/// Draws everything that is no steel, and takes what mouse and keys ask for.
pub(crate) fn draw(ctx: &Context, desk: &mut Desk, camera: &mut Camera, overlay: Overlay) {
    style::dress(ctx, desk.settings.dark);
    desk.places.clear();
    desk.look_up_cut();
    let top = draw_above(ctx, desk, overlay);
    let mut right = ctx.viewport_rect().right();
    if overlay == Overlay::Everything && desk.hand.on {
        right = panel::draw(ctx, desk, top);
    } else if overlay == Overlay::Everything && desk.noting.on {
        right = measure::draw(ctx, desk, top);
    }
    let bottom = draw_below(ctx, desk, overlay, right);
    let above = if desk.settings.marks.is_empty() { 0.0 } else { ABOVE };
    desk.free = Rect::from_min_max(pos2(0.0, (top + above).min(bottom)), pos2(right, bottom));
    let painter = ctx.layer_painter(LayerId::new(Order::Background, Id::new("on the blade")));
    let painter = painter.with_clip_rect(Rect::from_min_max(pos2(0.0, top), desk.free.max));
    draw_over_blade(ctx, &painter, desk, camera, overlay);
    if overlay == Overlay::Everything {
        clash::draw(ctx, desk);
        offer::draw(ctx, desk);
        key_list::draw(ctx, desk);
    }
}

/// Draws what stands above the blade; returns where it ends, pixels from the top.
fn draw_above(ctx: &Context, desk: &mut Desk, overlay: Overlay) -> f32 {
    match overlay {
        Overlay::Everything => {
            keys::take(ctx, desk);
            controls::draw(ctx, desk)
        }
        Overlay::Key => title::draw(ctx, desk),
        Overlay::Nothing => 0.0,
    }
}

/// Draws what stands below the blade, as far as `right`; returns where it begins, pixels from the top.
fn draw_below(ctx: &Context, desk: &mut Desk, overlay: Overlay, right: f32) -> f32 {
    let window = ctx.viewport_rect();
    let has_strip = overlay != Overlay::Nothing && window.height() > ROOM && desk.shown.is_some();
    let bottom = if has_strip { strip::draw(ctx, desk, overlay, right) } else { window.bottom() };
    if overlay == Overlay::Everything {
        problem_list::draw(ctx, desk, bottom);
    }
    bottom
}

/// Draws marks and the section's line over the blade, which the mouse may take hold of.
fn draw_over_blade(ctx: &Context, painter: &Painter, desk: &mut Desk, camera: &mut Camera, overlay: Overlay) {
    let (ink, spread) = (desk.ink(), desk.spread());
    if let Some(before) = desk.before.as_ref().filter(|_| overlay == Overlay::Everything) {
        before_lines::draw(painter, before, camera, &spread, &ink);
    }
    let Some(shown) = &desk.shown else {
        if desk.problems.is_empty() {
            draw_waiting(painter, desk.free, &ink);
        }
        return;
    };
    let marks: Vec<Mark> = desk.settings.marks.iter().copied().collect();
    marks::draw(painter, &marks, shown, camera, &spread, &ink);
    let Some(ring) = desk.cut.as_ref().map(|cut| ring::outline(cut, camera, &spread)) else { return };
    if overlay != Overlay::Nothing {
        ring::draw(painter, &ring, desk.held, &ink);
    }
    if overlay == Overlay::Everything && !grips::take(ctx, painter, desk, camera) {
        drag(ctx, desk, camera, &ring);
    }
}

/// Says that there is nothing to show yet.
fn draw_waiting(painter: &Painter, free: Rect, ink: &Ink) {
    let letters = style::letters(style::TEXT);
    painter.text(free.center(), Align2::CENTER_CENTER, "Reading the design", letters, ink.faint);
}

/// Lets the mouse take hold of the section's line and draw it along the blade.
fn drag(ctx: &Context, desk: &mut Desk, camera: &mut Camera, ring: &[Vec<Pos2>]) {
    let (at, pressed, down) =
        ctx.input(|i| (i.pointer.latest_pos(), i.pointer.primary_pressed(), i.pointer.primary_down()));
    let Some(at) = at else { return };
    let over = desk.free.contains(at) && !ctx.egui_is_using_pointer() && ring::reaches(ring, at);
    desk.held = down && (desk.held || (pressed && over));
    camera.hold(desk.held || over);
    if desk.held || over {
        ctx.set_cursor_icon(CursorIcon::ResizeHorizontal);
    }
    if let Some(station) = ring::station(camera, at).filter(|_| desk.held) {
        desk.choose(station);
    }
}
