//! What a fit found, to be taken or left.

use kiss3d::egui::{Align2, Context, Grid, RichText, ScrollArea, TextWrapMode, Ui, Window};

use crate::desk::board::Desk;
use crate::desk::style;
use crate::file::news::Fitted;

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
            ScrollArea::vertical().max_height(HEIGHT).show(ui, |ui| words(ui, &fitted.words));
            ui.horizontal(|ui| {
                for &(label, taken) in choices(&fitted) {
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

/// What can be done with it: where nothing changes there is nothing to take.
fn choices(fitted: &Fitted) -> &'static [(&'static str, bool)] {
    if fitted.is_as_it_was() { &[("Close", false)] } else { &[("Take it", true), ("Leave it", false)] }
}

/// What was found, as the command tells it: lines, and tables whose columns stand two blanks apart.
fn words(ui: &mut Ui, words: &str) {
    ui.style_mut().wrap_mode = Some(TextWrapMode::Extend);
    ui.spacing_mut().interact_size.y = style::SMALL + 2.0;
    let lines: Vec<&str> = words.trim_end().lines().collect();
    let parts = lines.chunk_by(|a, b| is_row(a) == is_row(b));
    for (i, part) in parts.enumerate() {
        if !is_row(part[0]) {
            part.iter().for_each(|line| {
                ui.label(RichText::new(*line).size(style::SMALL).strong());
            });
            continue;
        }
        Grid::new(("found", i)).spacing([14.0, 1.0]).show(ui, |ui| {
            for line in part {
                let cells = line.split("  ").map(str::trim).filter(|cell| !cell.is_empty());
                cells.for_each(|cell| {
                    ui.label(RichText::new(cell).size(style::SMALL));
                });
                ui.end_row();
            }
        });
    }
}

/// Whether a line is a row of a table: they are set in.
fn is_row(line: &str) -> bool {
    line.starts_with("  ")
}
