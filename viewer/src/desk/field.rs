//! Fields that are typed in, or chosen for from a list of names.

use edit::Row;
use kiss3d::egui::text::{CCursor, CCursorRange};
use kiss3d::egui::text_edit::TextEditState;
use kiss3d::egui::{Context, Id, Key, Response, RichText, TextEdit, Ui};

use crate::desk::board::Desk;
use crate::desk::name_list;
use crate::desk::style::{self, small};

/// Width of a field, pixels.
const FIELD: f32 = 150.0;

/// A field: what the file says, or faintly what holds where it says nothing; what was refused stays, to be mended.
pub(crate) fn field(ui: &mut Ui, desk: &mut Desk, row: &Row, title: &str, share: f32) -> Response {
    if row.offers.is_empty() {
        return typed_field(ui, desk, row, title, FIELD * share);
    }
    let names = ui.horizontal(|ui| {
        let response = typed_field(ui, desk, row, title, FIELD * share);
        if let Some(name) = name_list::draw(ui, desk, row) {
            give(desk, row, title, name);
        }
        response
    });
    names.inner
}

/// The field itself.
fn typed_field(ui: &mut Ui, desk: &mut Desk, row: &Row, title: &str, width: f32) -> Response {
    let id = Id::new(("field", &row.path));
    if desk.type_next.as_ref() == Some(&row.path) {
        ui.memory_mut(|m| m.request_focus(id));
        desk.type_next = None;
    }
    let of_this = |typed: &Option<(String, String)>| {
        typed.as_ref().filter(|(path, _)| *path == row.path).map(|(_, typed)| typed.clone())
    };
    let refused = if desk.hand.refused.is_some() { of_this(&desk.given) } else { None };
    let mut text = of_this(&desk.typing).or_else(|| refused.clone()).unwrap_or_else(|| row.says.clone());
    let size = small(ui);
    let colour = refused.map(|_| desk.ink().alarm);
    let edit = TextEdit::singleline(&mut text)
        .id(id)
        .desired_width(width)
        .font(style::letters(size))
        .text_color_opt(colour)
        .hint_text(RichText::new(&row.usual).size(size));
    let response = ui.add(edit);
    if response.gained_focus() {
        response.scroll_to_me(None);
        choose_all(ui.ctx(), id, &text);
    }
    let given_up = ui.input(|i| i.key_pressed(Key::Escape));
    if response.lost_focus() {
        desk.typing = None;
        if !given_up && text.trim() != row.says {
            give(desk, row, title, text);
        }
    } else if response.has_focus() {
        desk.typing = Some((row.path.clone(), text));
    }
    desk.note(&format!("field {}", row.path), response)
}

/// Puts what was given into the file; nothing takes the key out of it.
fn give(desk: &mut Desk, row: &Row, title: &str, given: String) {
    let (path, what) =
        (row.path.clone(), format!("{}: {} {}", title.to_lowercase(), row.label, given.trim()));
    desk.remember();
    desk.given = Some((path.clone(), given.clone()));
    desk.hand.change(
        what.trim_end(),
        Box::new(move |text| match given.trim() {
            "" => edit::unset(text, &path),
            given => edit::put(text, &path, given),
        }),
    );
}

/// Chooses all that stands in a field, so that what is typed takes its place.
pub(crate) fn choose_all(ctx: &Context, id: Id, text: &str) {
    if let Some(mut state) = TextEditState::load(ctx, id) {
        let all = CCursorRange::two(CCursor::new(0), CCursor::new(text.chars().count()));
        state.cursor.set_char_range(Some(all));
        state.store(ctx, id);
    }
}
