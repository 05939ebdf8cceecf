//! What the smith sets, above the blade, and what is wrong with the file, below it.

use blade::Stage;
use kiss3d::egui::{
    self, Align2, Area, Button, Context, Frame, Id, Key, Margin, Modifiers, Order, Response, RichText,
    Slider, Ui,
};
use look::{Colour, From, Mark};

use crate::desk::frame::{Ask, Desk};
use crate::model::settings::{Ground, MOST_TIMES, fits};
use crate::desk::marks;
use crate::desk::style;

/// Problems shown at once; the others are counted.
const MOST_PROBLEMS: usize = 6;
/// Width of a slider, pixels: a percent is a step that a hand can make.
const SLIDER: f32 = 130.0;

/// Draws the controls; returns where they end, pixels from the top.
pub(crate) fn draw(ctx: &Context, desk: &mut Desk) -> f32 {
    keys(ctx, desk);
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
        });
    });
    shown.response.rect.bottom()
}

/// Draws what a picture says of itself; returns where it ends.
pub(crate) fn title(ctx: &Context, desk: &Desk) -> f32 {
    let Some(shown) = &desk.shown else { return 0.0 };
    let words = match shown.colour {
        Colour::Bars => "bars",
        Colour::Layers => "layers",
        Colour::Steel => "bare steel",
        Colour::Taper => "thickness",
        Colour::TakeOff => "left to take off",
    };
    let thicker = if desk.settings.thicker > 1.0 {
        format!(", drawn {} times as thick", crate::figures::tick(desk.settings.thicker))
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

fn first_row(ui: &mut Ui, desk: &mut Desk) {
    let name = desk.shown.as_ref().map_or(desk.file.clone(), |s| s.design.name().to_owned());
    ui.label(RichText::new(name).heading());
    gap(ui);
    for stage in Stage::ALL {
        let chosen = desk.settings.ground == Ground::Stage(stage);
        let response = choice(ui, chosen, &capital(stage.name()));
        if note(desk, &format!("stage {}", stage.name()), response).clicked() {
            desk.settings.ground = Ground::Stage(stage);
        }
    }
    ground(ui, desk);
    gap(ui);
    for (colour, label) in [
        (Colour::Bars, "Bars"),
        (Colour::Layers, "Layers"),
        (Colour::Steel, "Bare steel"),
        (Colour::Taper, "Thickness"),
        (Colour::TakeOff, "Take-off"),
    ] {
        let measured = desk.shown.as_ref().is_some_and(|s| s.grinding.is_some());
        if colour == Colour::TakeOff && !measured {
            continue;
        }
        let (can, chosen) = match &desk.shown {
            Some(s) => (fits(colour, &s.design, measured), s.colour == colour),
            None => (false, false),
        };
        let response = ui.add_enabled_ui(can, |ui| choice(ui, chosen, label)).inner;
        if note(desk, &format!("colour {label}"), response).clicked() {
            desk.settings.colour = Some(colour);
        }
    }
}

/// The slider from the forged skin to the finished surface.
fn ground(ui: &mut Ui, desk: &mut Desk) {
    let share = desk.shown.as_ref().map_or(1.0, |s| desk.settings.ground.share(s.design.blade()));
    let mut percent = 100.0 * share;
    ui.label("ground off");
    let slider = whole(Slider::new(&mut percent, 0.0..=100.0)).suffix(" %");
    if note(desk, "ground", ui.add(slider)).changed() {
        desk.settings.ground = Ground::Share(0.01 * percent);
    }
}

fn second_row(ui: &mut Ui, desk: &mut Desk) {
    ui.label("Look at");
    for (from, label) in [
        (From::Right, "Right side"),
        (From::Left, "Left side"),
        (From::Back, "Back"),
        (From::Edge, "Edge"),
        (From::Turned, "Turned"),
    ] {
        if note(desk, &format!("look {label}"), ui.button(label)).clicked() {
            desk.asked.push(Ask::Face(from));
        }
    }
    gap(ui);
    let mut apart = 100.0 * desk.settings.apart;
    let laminated = desk.shown.as_ref().is_some_and(|s| s.design.billet().is_some());
    ui.label("Bars apart");
    let slider = whole(Slider::new(&mut apart, 0.0..=100.0)).suffix(" %");
    let response = ui.add_enabled(laminated, slider);
    if note(desk, "apart", response).changed() {
        desk.settings.apart = 0.01 * apart;
        desk.asked.push(Ask::Fit);
    }
    ui.label("Thicker");
    let times = Slider::new(&mut desk.settings.thicker, 1.0..=MOST_TIMES)
        .custom_formatter(|n, _| format!("{n:.1}"))
        .prefix("×");
    let response = ui.add(times);
    if note(desk, "thicker", response).changed() {
        desk.asked.push(Ask::Fit);
    }
}

fn third_row(ui: &mut Ui, desk: &mut Desk) {
    ui.label("Mark");
    for mark in Mark::ALL {
        let on = desk.settings.marks.contains(&mark);
        let response = choice(ui, on, marks::name(mark));
        if note(desk, &format!("mark {}", marks::name(mark)), response).clicked() {
            toggle(desk, mark);
        }
    }
    gap(ui);
    if note(desk, "save", ui.button("Save picture")).clicked() {
        desk.asked.push(Ask::Save);
    }
    let light = if desk.settings.dark { "Day" } else { "Night" };
    if note(desk, "light", ui.button(light)).clicked() {
        desk.settings.dark = !desk.settings.dark;
    }
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

fn toggle(desk: &mut Desk, mark: Mark) {
    if !desk.settings.marks.remove(&mark) {
        desk.settings.marks.insert(mark);
    }
}

fn gap(ui: &mut Ui) {
    ui.add_space(10.0);
}

/// Remembers where a control is.
pub(crate) fn note(desk: &mut Desk, name: &str, response: Response) -> Response {
    desk.places.insert(name.to_owned(), response.rect);
    response
}

fn capital(word: &str) -> String {
    let mut letters = word.chars();
    letters.next().map_or_else(String::new, |first| first.to_uppercase().chain(letters).collect())
}

/// What the keys do; nothing while a figure is typed.
fn keys(ctx: &Context, desk: &mut Desk) {
    if ctx.text_edit_focused() {
        return;
    }
    // A slider that was moved by the mouse would keep the arrows for itself.
    if let Some(focused) = ctx.memory(|m| m.focused()).filter(|_| ctx.input(|i| i.pointer.any_released())) {
        ctx.memory_mut(|m| m.surrender_focus(focused));
    }
    for (key, held) in presses(ctx) {
        press(desk, key, held);
    }
}

/// The keys pressed since the last frame. The kit tells what is held with them beside each press only.
fn presses(ctx: &Context) -> Vec<(Key, Modifiers)> {
    let press = |event: &egui::Event| match event {
        egui::Event::Key { key, pressed: true, modifiers, .. } => Some((*key, *modifiers)),
        _ => None,
    };
    ctx.input(|i| i.events.iter().filter_map(press).collect())
}

fn press(desk: &mut Desk, key: Key, held: Modifiers) {
    let step = station_step(desk) * if held.shift { 10.0 } else { 1.0 };
    let (at, end) =
        (desk.station().unwrap_or_default(), desk.shown.as_ref().map_or(0.0, |s| s.facts.sections.range().1));
    match key {
        Key::Q if held.command => desk.asked.push(Ask::Close),
        Key::ArrowLeft => desk.choose(at - step),
        Key::ArrowRight => desk.choose(at + step),
        Key::Home => desk.choose(0.0),
        Key::End => desk.choose(end),
        Key::F => desk.asked.push(Ask::Fit),
        Key::P => desk.asked.push(Ask::Save),
        Key::B => desk.settings.colour = Some(Colour::Bars),
        Key::L => desk.settings.colour = Some(Colour::Layers),
        Key::S => desk.settings.colour = Some(Colour::Steel),
        Key::T => desk.settings.colour = Some(Colour::Taper),
        Key::O => desk.settings.colour = Some(Colour::TakeOff),
        Key::N => desk.settings.dark = !desk.settings.dark,
        _ => {}
    }
}

/// How far a press of an arrow moves the station, mm: a millimetre, or a sixteenth of an inch.
fn station_step(desk: &Desk) -> f64 {
    let inch = desk.shown.as_ref().is_some_and(|s| s.design.unit() == design::Unit::Inch);
    if inch { design::Unit::Inch.millimetres() / 16.0 } else { 1.0 }
}

/// Draws what is wrong with the file, its foot at `bottom`.
pub(crate) fn problems(ctx: &Context, desk: &mut Desk, bottom: f32) {
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
