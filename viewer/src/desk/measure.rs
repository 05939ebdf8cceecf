//! Beside the blade on the bench: what is read at the station goes into the measured file, and what is left to take off
//! there comes back.

use blade::Stage;
use design::{Design, trimmed};
use kiss3d::egui::{
    Button, Context, Grid, Id, Key, Response, RichText, ScrollArea, TextEdit, TextWrapMode, Ui,
};

use crate::desk::board::Desk;
use crate::desk::field::choose_all;
use crate::desk::side;
use crate::desk::style::{self, small};
use crate::hand::QUANTITIES;

/// Width of a field, pixels.
const FIELD: f32 = 130.0;

/// Draws the panel from `top` down; returns where it begins, pixels from the left.
pub(crate) fn draw(ctx: &Context, desk: &mut Desk, top: f32) -> f32 {
    side::draw(ctx, desk.ink().sheet, top, |ui, share| {
        let size = small(ui);
        let file = desk.noting.file.clone();
        ui.label(RichText::new(format!("Readings for {file}")).size(size).strong());
        stages(ui, desk);
        fields(ui, desk, share);
        answer(ui, desk);
        ui.separator();
        ScrollArea::vertical().auto_shrink(false).show(ui, |ui| {
            left_here(ui, desk);
            ui.add_space(6.0);
            written(ui, desk);
        });
    })
}

/// What the file's last reading is of.
fn last_read(desk: &Desk) -> Option<(&str, Option<Stage>)> {
    desk.shown.as_ref()?.grinding.as_ref()?.last_read()
}

/// The stage of what is typed next.
pub(crate) fn stage_of_next(desk: &Desk) -> Option<Stage> {
    desk.noting.stage_of_next(last_read(desk))
}

/// The stage, which may be left open unless the day's rows above say one.
fn stages(ui: &mut Ui, desk: &mut Desk) {
    let (size, holds) = (small(ui), stage_of_next(desk));
    let carried = desk.noting.carried(last_read(desk));
    ui.horizontal_wrapped(|ui| {
        ui.label(RichText::new("stage").size(size));
        for stage in std::iter::once(None).chain(Stage::ALL.map(Some)) {
            let name = stage.map_or("not said", Stage::name);
            let button = Button::new(RichText::new(name).size(size)).selected(stage == holds).small();
            let response = ui.add_enabled(stage.is_some() || carried.is_none(), button);
            let response = match stage {
                None => response
                    .on_hover_text("thickness or weight tells")
                    .on_disabled_hover_text("readings of this day say a stage already"),
                Some(_) => response,
            };
            if desk.note(&format!("reading stage {name}"), response).clicked() {
                desk.noting.stage = Some(stage);
            }
        }
    });
}

/// The day, the station, and a field for each quantity.
fn fields(ui: &mut Ui, desk: &mut Desk, share: f32) {
    Grid::new("readings").num_columns(2).spacing([8.0, 3.0]).show(ui, |ui| {
        ui.style_mut().wrap_mode = Some(TextWrapMode::Extend);
        day(ui, desk, share);
        station(ui, desk, share);
        for (what, label, _) in QUANTITIES {
            if what == "thickness" {
                let mut height = std::mem::take(&mut desk.noting.height);
                let box_ = row(ui, ("height", "or at this height", "above the edge"), &mut height, share);
                desk.noting.height = height;
                desk.note("reading height", box_);
            }
            quantity(ui, desk, what, label, share);
        }
    });
    let mut sure = desk.noting.sure;
    let response =
        ui.checkbox(&mut sure, "read twice, sure").on_hover_text("it counts whatever its neighbours say");
    desk.noting.sure = sure;
    desk.note("reading sure", response);
    let hint = RichText::new("Enter writes what you typed into the file.").size(small(ui) - 1.0);
    ui.label(hint.color(desk.ink().faint));
}

/// A row of the table: its name, what the field holds, and what is told faintly while it holds nothing.
fn row(ui: &mut Ui, (name, label, hint): (&str, &str, &str), text: &mut String, share: f32) -> Response {
    let size = small(ui);
    let label = ui.label(RichText::new(label).size(size));
    let id = Id::new(("reading", name));
    let edit = TextEdit::singleline(text)
        .id(id)
        .desired_width(FIELD * share)
        .font(style::letters(size))
        .hint_text(RichText::new(hint).size(size - 1.0));
    let response = ui.add(edit).labelled_by(label.id);
    if response.gained_focus() {
        choose_all(ui.ctx(), id, text);
    }
    ui.end_row();
    response
}

/// Brings the keys to a field where it shall be typed in next.
fn focus_next(ui: &Ui, desk: &mut Desk, name: &'static str) {
    if desk.noting.type_next == Some(name) {
        ui.memory_mut(|m| m.request_focus(Id::new(("reading", name))));
        desk.noting.type_next = None;
    }
}

/// Whether a field was left by the key that puts it in.
fn is_entered(ui: &Ui, response: &Response) -> bool {
    response.lost_focus() && ui.input(|i| i.key_pressed(Key::Enter))
}

fn day(ui: &mut Ui, desk: &mut Desk, share: f32) {
    focus_next(ui, desk, "day");
    let last = desk.shown.as_ref().and_then(|shown| shown.grinding.as_ref());
    let hint =
        last.map_or_else(|| "year-month-day".to_owned(), |grinding| format!("last: {}", grinding.day()));
    let mut day = std::mem::take(&mut desk.noting.day);
    let response = row(ui, ("day", "day", &hint), &mut day, share);
    desk.noting.day = day;
    desk.note("reading day", response);
}

/// The station under the line; another one typed moves the line there.
fn station(ui: &mut Ui, desk: &mut Desk, share: f32) {
    let Some(design) = desk.shown.as_ref().map(|shown| shown.design.clone()) else { return };
    let here = desk.station().map(|at| written_station(at, &design)).unwrap_or_default();
    let (id, typed) = (Id::new(("reading", "station")), desk.typing.as_ref());
    let typed = typed.filter(|(name, _)| name == "station").map(|(_, typed)| typed.clone());
    let mut text = typed.unwrap_or_else(|| here.clone());
    let response = row(ui, ("station", "station", ""), &mut text, share);
    if ui.memory(|m| m.has_focus(id)) {
        desk.typing = Some(("station".to_owned(), text));
    } else if response.lost_focus() {
        desk.typing = None;
        if text.trim() != here {
            desk.noting.refused = go_to(desk, &text, &design).err();
        }
    }
    desk.note("reading station", response);
}

/// Moves the line to a station that was typed, or says why it can't be: a reading must never go to another one.
fn go_to(desk: &mut Desk, text: &str, design: &Design) -> Result<(), String> {
    let stays = |why: String| format!("the section stays where it is: {why}");
    let at = design::length(text, design.unit())
        .map_err(|bad| stays(format!("\"{}\" {}; write it like {}", text.trim(), bad.why, bad.example)))?;
    let Some((from, to)) = desk.shown.as_ref().map(|shown| shown.facts.sections.range()) else {
        return Ok(());
    };
    if !(from..=to).contains(&at) {
        let figures = design.figures();
        return Err(stays(format!("give a station from {} to {}", figures.told(from), figures.told(to))));
    }
    desk.choose(at);
    Ok(())
}

/// A station as the measured file writes it: to 0.1 mm or a thousandth of an inch.
fn written_station(at: f64, design: &Design) -> String {
    trimmed(&design.figures().length(at))
}

/// The field of a quantity, which goes into the file when it is entered.
fn quantity(ui: &mut Ui, desk: &mut Desk, what: &'static str, label: &str, share: f32) {
    focus_next(ui, desk, what);
    let mut text = desk.noting.typed.remove(what).unwrap_or_default();
    let response = row(ui, (what, label, &shown(desk, what)), &mut text, share);
    desk.noting.typed.insert(what, text);
    if is_entered(ui, &response) {
        send(desk, what);
    }
    desk.note(&format!("reading {what}"), response);
}

/// What the blade shown has there.
fn shown(desk: &Desk, what: &str) -> String {
    let Some((shown, cut)) = desk.shown.as_ref().zip(desk.cut.as_ref()) else { return String::new() };
    let figures = shown.design.figures();
    match (what, &cut.station) {
        ("back", Some(station)) => format!("shown {}", figures.gap(station.back)),
        ("breadth", Some(_)) => format!("shown {}", figures.told(cut.range.1 - cut.range.0)),
        ("weight", _) => format!("shown {}", figures.weight(shown.facts.swing.steel_mass)),
        _ => String::new(),
    }
}

/// Sends what stands in a field into the file.
fn send(desk: &mut Desk, what: &'static str) {
    let Some(design) = desk.shown.as_ref().map(|shown| shown.design.clone()) else { return };
    let is_of_station = QUANTITIES.iter().any(|(name, _, of_station)| *name == what && *of_station);
    let station = desk.station().filter(|_| is_of_station);
    let stage = stage_of_next(desk);
    desk.noting.note(what, stage, &station.map(|at| written_station(at, &design)).unwrap_or_default());
}

/// What came of the last reading.
fn answer(ui: &mut Ui, desk: &mut Desk) {
    let size = small(ui) - 1.0;
    if let Some(why) = &desk.noting.refused {
        ui.label(RichText::new(format!("Not done: {why}")).size(size).color(desk.ink().alarm));
    }
    let can = !desk.noting.rows.is_empty();
    let response = ui.add_enabled(can, Button::new("Take the last one back"));
    if desk.note("take back", response).clicked() {
        desk.noting.take_back();
    }
}

/// What is left to take off at the nearest station of the table.
fn left_here(ui: &mut Ui, desk: &Desk) {
    let (size, ink) = (small(ui) - 1.0, desk.ink());
    let here = desk.shown.as_ref().and_then(|s| s.grinding.as_ref()).zip(desk.station());
    let Some((grinding, near)) = here.and_then(|(grinding, at)| Some((grinding, grinding.near(at)?))) else {
        ui.label(
            RichText::new("Nothing to compare yet: measure a thickness first.").size(size).color(ink.faint),
        );
        return;
    };
    let unit = desk.shown.as_ref().map_or("", |shown| shown.design.figures().spoken());
    let head = format!(
        "To take off each side at {} (the nearest station that you read), down to the {} stage, in {unit}",
        near.station,
        grinding.next()
    );
    ui.label(RichText::new(head).size(size).strong());
    ui.label(RichText::new(format!("The blade is {}.", grinding.standing())).size(size).color(ink.faint));
    let first =
        "First what surely has to come off; after `of`, all that stands over, ± how well that is known.";
    ui.label(RichText::new(spoken(first)).size(size).color(ink.faint));
    Grid::new("left here").num_columns(2).spacing([10.0, 2.0]).show(ui, |ui| {
        ui.style_mut().wrap_mode = Some(TextWrapMode::Extend);
        for [place, told] in &near.rows {
            ui.label(RichText::new(place).size(size));
            ui.label(RichText::new(told).size(size).strong());
            ui.end_row();
        }
    });
    if let Some(check) = near.check {
        ui.label(RichText::new(spoken(check)).size(size).color(ink.faint));
    }
    for doubt in grinding.doubts() {
        ui.label(RichText::new(format!("Read again: {doubt}")).size(size).color(ink.alarm));
    }
    ui.label(RichText::new("Grind to just short of it, then measure again.").size(size).color(ink.faint));
}

/// Words with marks of speech in the place of a terminal's.
fn spoken(words: &str) -> String {
    words.replace('`', "\"")
}

/// The rows put in from here, the last one first, their empty cells left out.
fn written(ui: &mut Ui, desk: &Desk) {
    for row in desk.noting.rows.iter().rev() {
        let cut = if row.contains(';') { ';' } else { ',' };
        let cells: Vec<&str> = row.split(cut).map(str::trim).filter(|cell| !cell.is_empty()).collect();
        let words = format!("Written: {}", cells.join("  "));
        ui.label(RichText::new(words).size(small(ui) - 1.0).color(desk.ink().faint));
    }
}
