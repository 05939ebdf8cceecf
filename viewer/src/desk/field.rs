//! Fields that are typed in.

use kiss3d::egui::text::{CCursor, CCursorRange};
use kiss3d::egui::text_edit::TextEditState;
use kiss3d::egui::{Context, Id};

/// Chooses all that stands in a field, so that what is typed takes its place.
pub(crate) fn choose_all(ctx: &Context, id: Id, text: &str) {
    if let Some(mut state) = TextEditState::load(ctx, id) {
        let all = CCursorRange::two(CCursor::new(0), CCursor::new(text.chars().count()));
        state.cursor.set_char_range(Some(all));
        state.store(ctx, id);
    }
}
