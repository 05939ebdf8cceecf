//! The question where the hand and another program changed the same.

use kiss3d::egui::{Align2, Context, Window};

use crate::desk::board::Desk;

/// Clashes told one by one; the others are counted.
const MOST: usize = 5;

/// Asks whose change shall stand.
pub(crate) fn draw(ctx: &Context, desk: &mut Desk) {
    let Some(merged) = desk.hand.clash.clone() else { return };
    let mut choice = None;
    let title = "Another program changed the same";
    Window::new(title).anchor(Align2::CENTER_CENTER, [0.0, 0.0]).collapsible(false).resizable(false).show(
        ctx,
        |ui| {
            for clash in merged.clashes.iter().take(MOST) {
                let said = |side: &Option<String>| side.clone().unwrap_or_else(|| "nothing".to_owned());
                ui.label(format!(
                    "{}: here {}, in the file {}",
                    clash.path,
                    said(&clash.ours),
                    said(&clash.theirs)
                ));
            }
            if merged.clashes.len() > MOST {
                ui.label(format!("and {} more", merged.clashes.len() - MOST));
            }
            ui.label("Everything else of both stays.");
            ui.horizontal(|ui| {
                for (label, ours) in [("Keep mine", true), ("Take the file's", false)] {
                    let response = ui.button(label);
                    if desk.note(&label.to_lowercase(), response).clicked() {
                        choice = Some(ours);
                    }
                }
            });
        },
    );
    if let Some(ours) = choice {
        desk.hand.choose(ours);
    }
}
