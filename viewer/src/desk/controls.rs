//! What the smith sets, above the blade.

use blade::Stage;
use kiss3d::egui::{self, Area, Button, Context, Frame, Id, Margin, Order, Response, RichText, Slider, Ui};
use look::{Colour, From, Mark};

use crate::desk::board::{Ask, Desk};
use crate::desk::{grips, marks, style};
use crate::model::settings::{Ground, MOST_TIMES, fits};

/// Width of a slider, pixels: a percent is a step that a hand can make.
const SLIDER: f32 = 130.0;

/// Draws the controls; returns where they end, pixels from the top.
pub(crate) fn draw(ctx: &Context, desk: &mut Desk) -> f32 {
    let window = ctx.viewport_rect();
    let area = Area::new(Id::new("controls")).order(Order::Middle).fixed_pos(window.min);
    let sheet = Frame::new().fill(desk.ink().sheet).inner_margin(Margin::symmetric(14, 8));
    let shown = area.show(ctx, |ui| {
        ui.set_width(window.width());
        sheet.show(ui, |ui| {
            ui.set_width(ui.available_width());
            ui.style_mut().wrap_mode = Some(egui::TextWrapMode::Extend);
            ui.spacing_mut().slider_width = SLIDER * style::share(window.width());
            ui.horizontal_wrapped(|ui| first_row(ui, desk));
            ui.horizontal_wrapped(|ui| second_row(ui, desk));
            ui.horizontal_wrapped(|ui| third_row(ui, desk));
            if desk.hand.on {
                ui.horizontal_wrapped(|ui| fourth_row(ui, desk));
            }
        });
    });
    shown.response.rect.bottom()
}

/// The design's name, how far it is ground, and what the colours tell.
fn first_row(ui: &mut Ui, desk: &mut Desk) {
    let name = desk.shown.as_ref().map_or(desk.file.clone(), |s| s.design.name().to_owned());
    ui.label(RichText::new(name).heading());
    gap(ui);
    for stage in Stage::ALL {
        let chosen = desk.settings.ground == Ground::Stage(stage);
        let response = choice(ui, chosen, &capital(stage.name()));
        if desk.note(&format!("stage {}", stage.name()), response).clicked() {
            desk.settings.ground = Ground::Stage(stage);
        }
    }
    ground(ui, desk);
    gap(ui);
    for colour in Colour::ALL {
        colouring(ui, desk, colour);
    }
}

/// The button of a colouring, which can be pressed where it means anything.
fn colouring(ui: &mut Ui, desk: &mut Desk, colour: Colour) {
    let measured = desk.shown.as_ref().is_some_and(|s| s.grinding.is_some());
    let can = desk.shown.as_ref().is_some_and(|s| fits(colour, &s.design, measured));
    let chosen = desk.shown.as_ref().is_some_and(|s| s.colour == colour);
    let label = match colour {
        Colour::Bars => "Bars",
        Colour::Layers => "Layers",
        Colour::Steels => "Steels",
        Colour::Steel => "Bare steel",
        Colour::Taper => "Thickness",
        Colour::TakeOff => "Take-off",
    };
    let response = ui.add_enabled(can, Button::new(label).selected(chosen));
    if desk.note(&format!("colour {label}"), response).clicked() {
        desk.settings.colour = Some(colour);
    }
}

/// The slider from the forged skin to the finished surface.
fn ground(ui: &mut Ui, desk: &mut Desk) {
    let share = desk.shown.as_ref().map_or(1.0, |s| desk.settings.ground.share(s.design.blade()));
    let mut percent = 100.0 * share;
    slider_label(ui, "ground off");
    let slider = whole(Slider::new(&mut percent, 0.0..=100.0)).suffix(" %");
    if desk.note("ground", ui.add(slider)).changed() {
        desk.settings.ground = Ground::Share(0.01 * percent);
    }
}

/// From where the blade is looked at, and how it is spread out.
fn second_row(ui: &mut Ui, desk: &mut Desk) {
    ui.label("Look at");
    for (from, label) in [
        (From::Right, "Right side"),
        (From::Left, "Left side"),
        (From::Back, "Back"),
        (From::Edge, "Edge"),
        (From::Turned, "Turned"),
    ] {
        if desk.note(&format!("look {label}"), ui.button(label)).clicked() {
            desk.asked.push(Ask::Face(from));
        }
    }
    gap(ui);
    apart(ui, desk);
    thicker(ui, desk);
}

/// The slider that draws the bars apart.
fn apart(ui: &mut Ui, desk: &mut Desk) {
    let mut apart = 100.0 * desk.settings.apart;
    let laminated = desk.shown.as_ref().is_some_and(|s| s.design.billet().is_some());
    slider_label(ui, "Bars apart");
    let slider = whole(Slider::new(&mut apart, 0.0..=100.0)).suffix(" %");
    let response = ui.add_enabled(laminated, slider);
    if desk.note("apart", response).changed() {
        desk.settings.apart = 0.01 * apart;
        desk.asked.push(Ask::Fit);
    }
}

/// The slider that draws the blade thicker.
fn thicker(ui: &mut Ui, desk: &mut Desk) {
    slider_label(ui, "Thicker");
    let times = Slider::new(&mut desk.settings.thicker, 1.0..=MOST_TIMES)
        .custom_formatter(|n, _| format!("{n:.1}"))
        .prefix("×");
    let response = ui.add(times);
    if desk.note("thicker", response).changed() {
        desk.asked.push(Ask::Fit);
    }
}

/// Marks, saving, and day or night.
fn third_row(ui: &mut Ui, desk: &mut Desk) {
    ui.label("Mark");
    for mark in Mark::ALL {
        let on = desk.settings.marks.contains(&mark);
        let response = choice(ui, on, marks::name(mark));
        if desk.note(&format!("mark {}", marks::name(mark)), response).clicked() {
            toggle(desk, mark);
        }
    }
    gap(ui);
    if desk.note("save", ui.button("Save picture")).clicked() {
        desk.asked.push(Ask::Save);
    }
    let light = if desk.settings.dark { "Day" } else { "Night" };
    if desk.note("light", ui.button(light)).clicked() {
        desk.settings.dark = !desk.settings.dark;
    }
    gap(ui);
    let on = desk.hand.on;
    if desk.note("hand", choice(ui, on, "Change the blade")).clicked() {
        desk.take_in_hand(!on);
    }
    let (measures, can) = (desk.noting.on, desk.shown.is_some());
    let response = ui.add_enabled(can, Button::new("Take readings").selected(measures));
    if desk.note("measure", response).clicked() {
        desk.measure(!measures);
    }
    let tells = desk.tells_keys;
    if desk.note("keys", choice(ui, tells, "Keys")).clicked() {
        desk.tells_keys = !tells;
    }
}

/// What was done taken back or done again, when it is written, and what it is compared with.
fn fourth_row(ui: &mut Ui, desk: &mut Desk) {
    let [last, next] = desk.hand.steps().map(|step| step.map(str::to_owned));
    for (back, step, label, key) in [(true, last, "Undo", "Ctrl+Z"), (false, next, "Redo", "Ctrl+Y")] {
        let response = ui.add_enabled(step.is_some(), Button::new(label));
        let told = step.map_or_else(|| key.to_owned(), |step| format!("{step} ({key})"));
        if desk.note(&label.to_lowercase(), response.on_hover_text(told)).clicked() {
            desk.hand.step(back);
        }
    }
    let mut at_once = !desk.hand.waits;
    let response = ui.checkbox(&mut at_once, "save at once");
    if desk.note("at once", response).changed() {
        desk.hand.waits = !at_once;
    }
    let unsaved = desk.hand.is_unsaved();
    if desk.note("write", ui.add_enabled(unsaved, Button::new("Save"))).clicked() {
        desk.hand.save();
    }
    gap(ui);
    let keeps = desk.keeps_before;
    let response =
        choice(ui, keeps, "Compare with this").on_hover_text("keeps this blade as a dashed line (G)");
    if desk.note("compare", response).clicked() {
        grips::keep_before(desk);
    }
    let can = desk.hand.can_pull() && !desk.fitting && desk.fitted.is_none();
    let has_targets = desk.shown.as_ref().is_some_and(|s| s.design.targets().is_some());
    let label = if desk.fitting { "Fitting …" } else { "Fit to targets" };
    let response = ui.add_enabled(can && has_targets, Button::new(label));
    if desk.note("fit", response.on_disabled_hover_text("give targets first, on the right")).clicked() {
        desk.fit();
    }
    let is_plain = desk.shown.as_ref().is_some_and(|s| s.design.billet().is_none());
    if is_plain && desk.note("weld", ui.add_enabled(can, Button::new("Make it from bars"))).clicked() {
        weld(desk);
    }
}

/// Makes a blade of one steel one of four bars.
fn weld(desk: &mut Desk) {
    let Some(design) = desk.shown.as_ref().map(|s| s.design.clone()) else { return };
    desk.remember();
    desk.goes_to = Some(edit::BILLET);
    desk.hand.change("welded of bars", Box::new(move |text| edit::weld(text, &design)));
}

/// A slider that shows whole numbers and keeps what lies between them: told to round, it would take its rounding for the
/// smith's own change.
fn whole(slider: Slider<'_>) -> Slider<'_> {
    slider.custom_formatter(|n, _| format!("{n:.0}"))
}

/// A button that stays down while it is chosen.
fn choice(ui: &mut Ui, chosen: bool, label: &str) -> Response {
    ui.add(Button::new(label).selected(chosen))
}

/// What a slider sets, in the next row where there is no room left for both: a slider does not wrap by itself.
fn slider_label(ui: &mut Ui, label: &str) {
    // Letters of the label, and the slider's figure in its field.
    let words = 0.6 * style::TEXT * label.len() as f32 + 60.0;
    if ui.available_size_before_wrap().x < words + ui.spacing().slider_width {
        ui.end_row();
    }
    ui.label(label);
}

fn toggle(desk: &mut Desk, mark: Mark) {
    if !desk.settings.marks.remove(&mark) {
        desk.settings.marks.insert(mark);
    }
}

fn gap(ui: &mut Ui) {
    ui.add_space(10.0);
}

fn capital(word: &str) -> String {
    let mut letters = word.chars();
    letters.next().map_or_else(String::new, |first| first.to_uppercase().chain(letters).collect())
}
