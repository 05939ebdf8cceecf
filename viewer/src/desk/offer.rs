//! What a fit found, to be taken or left.

use kiss3d::egui::{Align2, Context, RichText, ScrollArea, Window};

use crate::desk::board::Desk;
use crate::desk::style;

/// The most of the window's height that its words take, pixels.
const HEIGHT: f32 = 300.0;

/// Draws what was found, above the blade's foot.
pub(crate) fn draw(ctx: &Context, desk: &mut Desk) {
    let Some(fitted) = desk.fitted.clone() else { return };
    let mut choice = None;
    let at = [16.0, -16.0];
    Window::new("Fitted").anchor(Align2::LEFT_BOTTOM, at).collapsible(false).resizable(false).show(
        ctx,
        |ui| {
            ScrollArea::vertical().max_height(HEIGHT).show(ui, |ui| {
                ui.label(RichText::new(fitted.words.trim_end()).size(style::SMALL));
            });
            ui.horizontal(|ui| {
                for (label, taken) in [("Take it", true), ("Leave it", false)] {
                    let response = ui.button(label);
                    if desk.note(&label.to_lowercase(), response).clicked() {
                        choice = Some(taken);
                    }
                }
            });
        },
    );
    if let Some(taken) = choice {
        desk.settle_fit(taken);
    }
}
