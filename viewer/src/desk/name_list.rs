//! A list of names beside a field: it stands where it was opened, or it is closed.

use edit::Row;
use kiss3d::egui::{Button, Context, Id, Popup, Pos2, Response, RichText, ScrollArea, Ui};

use crate::desk::board::Desk;
use crate::desk::style::small;

/// The most of the window's height that a list of names takes, pixels: about ten names.
const NAMES: f32 = 240.0;
/// How far a field may come to lie beside its place and still be there, pixels.
const STILL: f32 = 0.5;

/// A list that is open.
pub(crate) struct Listed {
    path: String,
    /// Where its button was when it was opened, and what it offered.
    at: Pos2,
    offers: Vec<String>,
    /// Whether its field was drawn in this frame.
    is_drawn: bool,
}

/// Draws the button of a field's list, and the list while it is open; the name that is chosen.
pub(crate) fn draw(ui: &mut Ui, desk: &mut Desk, row: &Row) -> Option<String> {
    let (size, id) = (small(ui), id(&row.path));
    let button = Button::new(RichText::new("list").size(size - 1.0));
    let response = ui.add_enabled(desk.hand.can_pull(), button).on_hover_text("names to choose from");
    let response = desk.note(&format!("names {}", row.path), response);
    if Popup::is_id_open(ui.ctx(), id) && !stands(desk, row, &response) {
        put_away(ui.ctx(), desk);
    }
    let mut chosen = None;
    let list = Popup::menu(&response).id(id).show(|ui| {
        ScrollArea::vertical().max_height(NAMES).show(ui, |ui| {
            for name in &row.offers {
                let response = ui.selectable_label(*name == row.says, RichText::new(name).size(size));
                if desk.note(&format!("name {} {name}", row.path), response).clicked() {
                    chosen = Some(name.clone());
                    ui.close();
                }
            }
        });
    });
    if list.is_some() && desk.listed.is_none() {
        let (path, offers) = (row.path.clone(), row.offers.clone());
        desk.listed = Some(Listed { path, at: response.rect.min, offers, is_drawn: true });
    }
    chosen
}

/// After all fields were drawn: a list that was closed is forgotten, and one whose field is gone is put away.
pub(crate) fn look_after(ctx: &Context, desk: &mut Desk) {
    let Some(listed) = &mut desk.listed else { return };
    let is_gone = !std::mem::take(&mut listed.is_drawn);
    if !Popup::is_id_open(ctx, id(&listed.path)) {
        desk.listed = None;
    } else if is_gone {
        put_away(ctx, desk);
    }
}

/// The list of a field.
fn id(path: &str) -> Id {
    Id::new(("names", path))
}

/// Whether the open list of a field lies where it was opened and offers what it did then. Another program may save the file, or
/// the window may change its size: a name must not slip from under the mouse.
fn stands(desk: &mut Desk, row: &Row, button: &Response) -> bool {
    let Some(listed) = desk.listed.as_mut().filter(|listed| listed.path == row.path) else { return true };
    listed.is_drawn = true;
    listed.at.distance(button.rect.min) < STILL && listed.offers == row.offers
}

/// Closes the list and says so.
fn put_away(ctx: &Context, desk: &mut Desk) {
    let Some(listed) = desk.listed.take() else { return };
    Popup::close_id(ctx, id(&listed.path));
    desk.notice =
        Some("The list of names was closed: the file or the window changed, and its field moved".to_owned());
}
