//! What a picture says of itself, above the blade.

use kiss3d::egui::{self, Area, Context, Id, Order, RichText};
use look::Colour;

use crate::desk::board::Desk;
use crate::figures;

/// Draws what a picture says of itself; returns where it ends.
pub(crate) fn draw(ctx: &Context, desk: &Desk) -> f32 {
    let Some(shown) = &desk.shown else { return 0.0 };
    let words = match shown.colour {
        Colour::Bars => "bars",
        Colour::Layers => "layers as etched",
        Colour::Steels => "layers by their steels",
        Colour::Steel => "bare steel",
        Colour::Taper => "thickness",
        Colour::TakeOff => "left to take off",
    };
    let thicker = if desk.settings.thicker > 1.0 {
        format!(", drawn {} times as thick", figures::tick(desk.settings.thicker))
    } else {
        String::new()
    };
    let text = format!("{}, {}: {words}{thicker}", shown.design.name(), shown.ground.name());
    let area = Area::new(Id::new("title")).order(Order::Middle).fixed_pos(egui::pos2(18.0, 12.0));
    area.show(ctx, |ui| ui.add(egui::Label::new(RichText::new(text).heading()).extend()))
        .response
        .rect
        .bottom()
}
