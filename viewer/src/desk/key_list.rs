//! The list of keys.

use kiss3d::egui::{Align2, Context, Grid, RichText, TextWrapMode, Ui, Window};

use crate::desk::board::Desk;
use crate::desk::style::small;

/// Keys and what they do.
const KEYS: [(&str, &str); 26] = [
    ("Left button, dragged", "turn the blade; on a handle, pull it"),
    ("Right button, dragged", "move the blade across the window"),
    ("Wheel", "nearer and further"),
    ("Double click on a handle", "type its value"),
    ("D", "change the blade: handles and fields"),
    ("Page Down, Page Up", "next handle, the one before"),
    ("Alt + arrows", "move the handle a step; with Shift a finer one"),
    ("Enter", "type its value; Enter again puts it in, Esc leaves it"),
    ("Shift while pulling", "finer steps"),
    ("Esc", "let go, as it was"),
    ("Ctrl + Z, Ctrl + Y", "undo, redo"),
    ("Ctrl + S", "save the design"),
    ("M", "take readings at the section; Enter types the same one again"),
    ("G", "keep this blade to compare with, or let it go"),
    ("Left, Right", "move the section; with Shift ten times as far"),
    ("Home, End", "section to the shoulder, to the point"),
    ("F", "fit the blade into the window"),
    ("B", "colour by bars"),
    ("L, Shift + L", "layers as etched, by steel"),
    ("S", "bare steel"),
    ("T", "thickness"),
    ("O", "what is left to take off"),
    ("N", "day or night"),
    ("P", "save a picture"),
    ("F1", "this list"),
    ("Ctrl + Q", "close the window"),
];

/// Draws the list while it is wanted.
pub(crate) fn draw(ctx: &Context, desk: &mut Desk) {
    if !desk.tells_keys {
        return;
    }
    let mut open = true;
    Window::new("Keys").open(&mut open).anchor(Align2::CENTER_CENTER, [0.0, 0.0]).collapsible(false).show(
        ctx,
        |ui| {
            // Beside each other: one below the other they would hide the blade.
            let (first, last) = KEYS.split_at(KEYS.len().div_ceil(2));
            ui.horizontal_top(|ui| {
                keys(ui, "first keys", first);
                ui.add_space(16.0);
                keys(ui, "last keys", last);
            });
        },
    );
    desk.tells_keys = open;
}

/// Some of the keys, one below the other.
fn keys(ui: &mut Ui, name: &str, keys: &[(&str, &str)]) {
    let size = small(ui) - 1.0;
    ui.spacing_mut().interact_size.y = size;
    Grid::new(name).num_columns(2).spacing([12.0, 3.0]).show(ui, |ui| {
        ui.style_mut().wrap_mode = Some(TextWrapMode::Extend);
        for (key, does) in keys {
            ui.label(RichText::new(*key).size(size).strong());
            ui.label(RichText::new(*does).size(size));
            ui.end_row();
        }
    });
}
