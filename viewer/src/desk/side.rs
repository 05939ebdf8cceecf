//! The sheet to the right of the blade.

use kiss3d::egui::{Area, Color32, Context, Frame, Id, Margin, Order, TextWrapMode, Ui, pos2, vec2};

use crate::desk::style;

/// Its width, pixels.
const WIDTH: f32 = 400.0;

/// Draws it from `top` down with what it holds, which learns the share of their usual size that things have; returns where it
/// begins, pixels from the left.
pub(crate) fn draw(ctx: &Context, fill: Color32, top: f32, hold: impl FnOnce(&mut Ui, f32)) -> f32 {
    let share = style::share(ctx.viewport_rect().width());
    let left = ctx.viewport_rect().right() - WIDTH * share;
    let height = (ctx.viewport_rect().bottom() - top).max(0.0);
    let area = Area::new(Id::new("side")).order(Order::Middle).fixed_pos(pos2(left, top));
    let sheet = Frame::new().fill(fill).inner_margin(Margin::symmetric(10, 6));
    area.show(ctx, |ui| {
        ui.set_min_size(vec2(WIDTH * share, height));
        ui.set_max_size(vec2(WIDTH * share, height));
        sheet.show(ui, |ui| {
            let room = vec2(WIDTH * share - 20.0, height - 12.0);
            ui.set_min_size(room);
            ui.set_max_size(room);
            ui.style_mut().wrap_mode = Some(TextWrapMode::Wrap);
            hold(ui, share);
        });
    });
    left
}
