//! Beside the blade in hand: what it comes to, and every key of the file that can be typed.

use design::{Aim, Compared, Figures};
use edit::{Block, Choice};
use kiss3d::egui::scroll_area::ScrollSource;
use kiss3d::egui::style::ScrollAnimation;
use kiss3d::egui::{Align, Button, Context, Grid, Popup, RichText, ScrollArea, TextWrapMode, Ui, vec2};

use crate::desk::board::Desk;
use crate::desk::field::field;
use crate::desk::name_list;
use crate::desk::side;
use crate::desk::style::small;
use crate::model::shown::Shown;

/// How many times further than the kit says a notch of the wheel goes: to two rows. In the lowest window that is half of what is
/// seen of the fields.
const NOTCH: f32 = 3.0;
/// Height of what is said below the fields, pixels: five lines; but no more than a share of what fields and foot have.
const FOOT: f32 = 126.0;
const FOOT_SHARE: f32 = 0.35;

/// Draws the panel from `top` down; returns where it begins, pixels from the left.
pub(crate) fn draw(ctx: &Context, desk: &mut Desk, top: f32) -> f32 {
    side::draw(ctx, desk.ink().sheet, top, |ui, share| {
        let Some(shown) = &desk.shown else { return };
        let reach = shown.reach.clone();
        numbers(ui, desk, shown);
        ui.separator();
        let blocks = reach.as_ref().map_or(&[][..], |reach| &reach.blocks);
        jumps(ui, desk, blocks);
        // The kit counts a notch of the wheel as ten pixels, which is a third of a row.
        ui.ctx().input_mut(|i| i.smooth_scroll_delta.y *= NOTCH);
        let room = ui.available_height();
        let room = room - FOOT.min(FOOT_SHARE * room);
        // The fields stand still under an open list: none of its names may slip from under the mouse.
        let scrolls = if Popup::is_any_open(ui.ctx()) { ScrollSource::NONE } else { ScrollSource::ALL };
        ScrollArea::vertical().auto_shrink(false).max_height(room).scroll_source(scrolls).show(ui, |ui| {
            for block in blocks {
                draw_block(ui, desk, block, blocks, share);
            }
        });
        name_list::look_after(ui.ctx(), desk);
        // A part that is not there waits only for the blade that the hand is making.
        desk.goes_to = desk.goes_to.filter(|_| !desk.hand.can_pull());
        ui.separator();
        foot(ui, desk);
    })
}

/// The parts of the panel by name: each brings its fields into sight.
fn jumps(ui: &mut Ui, desk: &mut Desk, blocks: &[Block]) {
    let size = small(ui) - 1.0;
    let mut parts: Vec<&str> = blocks.iter().filter(|b| !b.rows.is_empty()).map(|b| b.part).collect();
    parts.dedup();
    ui.horizontal_wrapped(|ui| {
        (ui.spacing_mut().item_spacing, ui.spacing_mut().interact_size.y) = (vec2(4.0, 3.0), size);
        for part in parts {
            let response = ui.add(Button::new(RichText::new(part).size(size)).small());
            if desk.note(&format!("jump {part}"), response).clicked() {
                desk.goes_to = Some(part);
            }
        }
    });
}

/// What the blade comes to, beside what it came to before.
fn numbers(ui: &mut Ui, desk: &Desk, shown: &Shown) {
    let (figures, swing, size) = (shown.design.figures(), &shown.facts.swing, small(ui));
    let balance = format!("balance from the {}", shown.design.measured_from());
    let rows = [
        ("steel", figures.weight(swing.steel_mass), 0),
        ("with fittings", figures.weight(swing.mass), 1),
        (&balance, figures.told(swing.balance), 2),
    ];
    let before = desk.before.as_ref().map(|before| before.figures);
    let was = |i: usize, value: f64| match i {
        2 => figures.told(value),
        _ => figures.weight(value),
    };
    let grid = Grid::new("comes to").num_columns(3).spacing([8.0, 2.0]).min_row_height(size);
    grid.show(ui, |ui| {
        ui.style_mut().wrap_mode = Some(TextWrapMode::Extend);
        for (name, now, i) in rows {
            ui.label(RichText::new(name).size(size));
            ui.label(RichText::new(now).size(size).strong());
            let old = before.map(|before| format!("was {}", was(i, before[i]))).unwrap_or_default();
            ui.label(RichText::new(old).size(size - 2.0).color(desk.ink().faint));
            ui.end_row();
        }
    });
}

/// What is said of the last change, the targets, and what to think about: below the fields, which must not move while they are
/// pointed at.
fn foot(ui: &mut Ui, desk: &Desk) {
    let size = small(ui);
    ScrollArea::vertical().id_salt("said").auto_shrink(false).show(ui, |ui| {
        said(ui, desk, size);
        if let Some(shown) = &desk.shown {
            targets(ui, desk, shown, size);
        }
        for warning in &desk.warnings {
            ui.label(RichText::new(warning).size(size - 1.0).color(desk.ink().alarm));
        }
    });
}

/// How far the blade is off its targets.
fn targets(ui: &mut Ui, desk: &Desk, shown: &Shown, size: f32) {
    for target in shown.reach.iter().flat_map(|reach| &reach.targets) {
        let [wanted, found] = target.words(shown.design.figures());
        let colour = if target.is_reached() { desk.ink().line } else { desk.ink().alarm };
        let met = if target.is_reached() { "met" } else { "not met" };
        let words = format!("{} wanted {wanted}, is {found}: {met}", aim_name(target.aim));
        ui.label(RichText::new(words).size(size).color(colour));
    }
}

/// What a target is of.
fn aim_name(aim: Aim) -> &'static str {
    match aim {
        Aim::Mass => "weight with fittings",
        Aim::Steel => "weight of the steel",
        Aim::Balance => "balance",
        Aim::Percussion => "centre of percussion",
    }
}

/// What there is to say of the last change, and whether it is written.
fn said(ui: &mut Ui, desk: &Desk, size: f32) {
    let (words, colour) = match &desk.hand.refused {
        Some(why) => (format!("Not done: {why}"), desk.ink().alarm),
        None if desk.fitted.as_ref().is_some_and(|found| !found.is_as_it_was()) => {
            ("Proposed: not saved until you take it".to_owned(), desk.ink().faint)
        }
        None if desk.hand.is_unsaved() => ("Not saved yet".to_owned(), desk.ink().faint),
        None => (format!("Saved in {}", desk.file), desk.ink().faint),
    };
    ui.label(RichText::new(words).size(size - 1.0).color(colour));
    if let Some(last) = desk.hand.steps()[0].filter(|_| desk.hand.doing().is_none() && desk.fitted.is_none())
    {
        let words = format!("Last change: {last} (Ctrl+Z takes it back)");
        ui.label(RichText::new(words).size(size - 1.0).color(desk.ink().faint));
    }
}

/// A block of fields; an element of a list with its buttons.
fn draw_block(ui: &mut Ui, desk: &mut Desk, block: &Block, all: &[Block], share: f32) {
    if block.rows.is_empty() {
        return;
    }
    let size = small(ui);
    ui.horizontal(|ui| {
        let title = ui.label(RichText::new(&block.title).size(size).strong());
        if desk.goes_to == Some(block.part) {
            title.scroll_to_me_animation(Some(Align::Min), ScrollAnimation::none());
            desk.goes_to = None;
        }
        if let Some((list, place)) = &block.element {
            buttons(ui, desk, (list, *place), all);
            twist_buttons(ui, desk, (list, *place), block, all);
        }
    });
    for choice in &block.choices {
        choices(ui, desk, choice, size);
    }
    Grid::new(("fields", &block.title)).num_columns(2).spacing([8.0, 2.0]).show(ui, |ui| {
        ui.style_mut().wrap_mode = Some(TextWrapMode::Extend);
        for row in &block.rows {
            let label = ui.label(RichText::new(&row.label).size(size - 1.0));
            field(ui, desk, row, &block.title, share).labelled_by(label.id);
            ui.end_row();
        }
    });
    ui.add_space(4.0);
}

/// The words of a choice, of which one holds.
fn choices(ui: &mut Ui, desk: &mut Desk, choice: &Choice, size: f32) {
    let Some(design) = desk.shown.as_ref().map(|shown| shown.design.clone()) else { return };
    let can = desk.hand.can_pull();
    ui.horizontal_wrapped(|ui| {
        ui.label(RichText::new(choice.label).size(size - 1.0));
        for (i, word) in choice.words.iter().enumerate() {
            let button = Button::new(RichText::new(*word).size(size - 1.0)).selected(i == choice.chosen);
            let response = ui.add_enabled(can, button.small());
            if desk.note(&format!("{} {word}", choice.path), response).clicked() && i != choice.chosen {
                desk.remember();
                let (path, design) = (choice.path, design.clone());
                let put = move |text: &str| edit::choose(text, path, word, &design);
                desk.hand.change(&format!("{}: {word}", choice.label), Box::new(put));
            }
        }
    });
}

/// Another element after this one, this one a place up, and this one taken out.
fn buttons(ui: &mut Ui, desk: &mut Desk, (list, place): (&str, usize), all: &[Block]) {
    let entries = desk.shown.as_ref().and_then(|shown| another(list, place, all, shown.design.figures()));
    let mut button = |desk: &mut Desk, what: &str, label: &str, hint: &str, on: bool| {
        is_pressed(ui, desk, &format!("{what} {list} {place}"), (label, hint), on)
    };
    let owned = list.to_owned();
    if matches!(list, "taper" | "fuller" | "bar" | "fitting")
        && button(desk, "add", "+", "another one after this", entries.is_some())
    {
        let entries = entries.unwrap_or_default();
        desk.remember();
        let put = move |text: &str| {
            let pairs: Vec<(&str, &str)> = entries.iter().map(|(k, v)| (k.as_str(), v.as_str())).collect();
            edit::insert(text, &owned, place + 1, &pairs)
        };
        desk.hand.change(&format!("another {}", spoken(list)), Box::new(put));
    }
    if matches!(list, "bar") && button(desk, "up", "up", "towards the back", place > 0) {
        desk.remember();
        desk.hand.change("bars in another order", Box::new(move |text| edit::swap(text, "bar", place - 1)));
    }
    if list != "layers" && button(desk, "remove", "–", "take it out", true) {
        desk.remember();
        let (owned, only) = (list.to_owned(), list.ends_with(".twist") && element(list, 1, all).is_none());
        let take = move |text: &str| match only {
            true => edit::unset(text, &owned),
            false => edit::remove(text, &owned, place),
        };
        desk.hand.change(&format!("a {} taken out", spoken(list)), Box::new(take));
    }
}

/// Whether a small button was pressed; one that can't be now is faint.
fn is_pressed(ui: &mut Ui, desk: &mut Desk, name: &str, (label, hint): (&str, &str), on: bool) -> bool {
    let can = on && desk.hand.can_pull();
    let response = ui.add_enabled(can, Button::new(label).small()).on_hover_text(hint);
    desk.note(name, response).clicked()
}

/// A layered bar is twisted, and a stretch of twist stays straight in its middle.
fn twist_buttons(ui: &mut Ui, desk: &mut Desk, (list, place): (&str, usize), block: &Block, all: &[Block]) {
    let twists = format!("bar[{place}].twist");
    let is_layered = list == "bar" && block.rows.iter().any(|row| row.path.ends_with(".layers"));
    if is_layered && element(&twists, 0, all).is_none() {
        let hint = "turned to the right all along the bar; then change it";
        if is_pressed(ui, desk, &format!("twist bar {place}"), ("twist", hint), true) {
            desk.remember();
            let unit = desk.shown.as_ref().map(|shown| shown.design.unit()).unwrap_or_default();
            let put = move |text: &str| edit::put(text, &twists, &edit::twisted("right", unit));
            desk.hand.change("a bar twisted", Box::new(put));
        }
    }
    let bar = list.strip_prefix("bar[").and_then(|rest| rest.strip_suffix("].twist")?.parse::<usize>().ok());
    let Some((bar, design)) = bar.zip(desk.shown.as_ref().map(|shown| shown.design.clone())) else { return };
    let is_straight = block.rows.iter().any(|row| row.path.ends_with(".straight"));
    let hint = "keep a stretch in its middle straight; then set its stations";
    if is_pressed(ui, desk, &format!("straight {list} {place}"), ("straight", hint), !is_straight) {
        desk.remember();
        let put = move |text: &str| edit::interrupt(text, bar, place, &design);
        desk.hand.change("a straight stretch", Box::new(put));
    }
}

/// The block of an element of a list.
fn element<'b>(list: &str, place: usize, all: &'b [Block]) -> Option<&'b Block> {
    all.iter().find(|block| block.element.as_ref().is_some_and(|(l, p)| l == list && *p == place))
}

/// A list's elements as they are spoken of.
fn spoken(list: &str) -> &'static str {
    match list {
        "taper" => "station of the taper",
        "fuller" => "fuller",
        "bar" => "bar",
        "fitting" => "fitting",
        "layers" => "set of layers",
        _ => "stretch of twist",
    }
}

/// What a new element after this one says: a station halfway to the next, a bar of the same steel; `None` where none can be.
fn another(list: &str, place: usize, all: &[Block], figures: Figures) -> Option<Vec<(String, String)>> {
    let here = element(list, place, all)?;
    let says = |block: &Block, key: &str| {
        let row = block.rows.iter().find(|row| row.path.ends_with(&format!(".{key}")))?;
        (!row.says.is_empty()).then(|| row.says.clone())
    };
    let entry = |key: &str, says: String| (key.to_owned(), says);
    match list {
        "taper" => {
            let next = element(list, place + 1, all)?;
            let half = |key: &str| {
                let length = |block: &Block| design::length(&says(block, key)?, figures.unit).ok();
                Some(figures.size(0.5 * (length(here)? + length(next)?)))
            };
            Some(vec![entry("at", half("at")?), entry("back", half("back")?)])
        }
        "bar" => {
            let made = ["height", "layers", "steel"];
            Some(made.iter().filter_map(|key| Some(entry(key, says(here, key)?))).collect())
        }
        _ => None,
    }
}
