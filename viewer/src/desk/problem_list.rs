//! What is wrong with the file, below the blade.

use kiss3d::egui::{self, Align2, Area, Context, Frame, Id, Margin, Order, RichText, Ui};

use crate::desk::board::Desk;
use crate::desk::style;

/// Problems shown at once; the others are counted.
const MOST_PROBLEMS: usize = 6;
/// Draws what is wrong with the file, its foot at `bottom`.
pub(crate) fn draw(ctx: &Context, desk: &mut Desk, bottom: f32) {
    let ink = desk.ink();
    if desk.problems.is_empty() && desk.notice.is_none() {
        return;
    }
    let area = Area::new(Id::new("problems")).order(Order::Middle).pivot(Align2::LEFT_BOTTOM);
    let sheet = Frame::new()
        .fill(ink.sheet)
        .stroke(egui::Stroke::new(2.0, if desk.problems.is_empty() { ink.faint } else { ink.alarm }));
    let sheet = sheet.inner_margin(Margin::symmetric(14, 10)).corner_radius(4.0);
    let width = (ctx.viewport_rect().width() - 32.0).max(100.0);
    let shown = area.fixed_pos(egui::pos2(16.0, bottom - 12.0)).show(ctx, |ui| {
        ui.set_max_width(width);
        sheet.show(ui, |ui| lines(ui, desk, ink.alarm)).response
    });
    desk.places.insert("problems".to_owned(), shown.inner.rect);
}

/// The notice, and the first problems in words.
fn lines(ui: &mut Ui, desk: &Desk, alarm: egui::Color32) {
    if let Some(notice) = &desk.notice {
        ui.label(notice);
    }
    if desk.problems.is_empty() {
        return;
    }
    let kept = if desk.shown.is_some() { "; the blade shown is the last good one" } else { "" };
    let count = match desk.problems.len() {
        1 => "1 problem".to_owned(),
        n => format!("{n} problems"),
    };
    ui.label(RichText::new(format!("{count} in {}{kept}", desk.file)).color(alarm).strong());
    for problem in desk.problems.iter().take(MOST_PROBLEMS) {
        ui.label(format!("line {}: {}", problem.line, problem.message));
        ui.label(
            RichText::new(format!("        {}", problem.help)).size(style::SMALL).color(desk.ink().faint),
        );
    }
    if desk.problems.len() > MOST_PROBLEMS {
        ui.label(format!("and {} more", desk.problems.len() - MOST_PROBLEMS));
    }
}
