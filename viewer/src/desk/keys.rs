//! What the keys do.

use design::Unit;
use kiss3d::egui::{self, Context, Key, Modifiers};
use look::Colour;

use crate::desk::board::{Ask, Desk};
use crate::desk::grips;

/// What the keys do; nothing while a figure is typed.
pub(crate) fn take(ctx: &Context, desk: &mut Desk) {
    leave_no_letters(ctx);
    if presses(ctx).iter().any(|(key, _)| *key == Key::F1) {
        desk.tells_keys = !desk.tells_keys;
    }
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

/// Takes the letters out of a frame in which a key was pressed with control: the kit hands them on as if they were typed.
pub(crate) fn leave_no_letters(ctx: &Context) {
    if presses(ctx).iter().any(|(_, held)| held.command) {
        ctx.input_mut(|i| i.events.retain(|event| !matches!(event, egui::Event::Text(_))));
    }
}

/// The keys pressed since the last frame, with what is held beside each press.
///
/// A key that stays down is pressed again and again, and the kit tells of a key twice that is down while the window gets the
/// keys: what turns something on and off would be off again. Only what moves on with each press heeds that.
fn presses(ctx: &Context) -> Vec<(Key, Modifiers)> {
    let press = |event: &egui::Event| match event {
        egui::Event::Key { key, pressed: true, repeat, modifiers, .. } if !repeat || moves_on(*key) => {
            Some((*key, *modifiers))
        }
        _ => None,
    };
    ctx.input(|i| i.events.iter().filter_map(press).collect())
}

/// Whether a key that stays down moves something on and on.
fn moves_on(key: Key) -> bool {
    use Key::{ArrowDown, ArrowLeft, ArrowRight, ArrowUp, PageDown, PageUp};
    matches!(key, ArrowLeft | ArrowRight | ArrowUp | ArrowDown | PageDown | PageUp)
}

/// Does what a key asks for.
fn press(desk: &mut Desk, key: Key, held: Modifiers) {
    match key {
        Key::Z if held.command => desk.hand.step(!held.shift),
        Key::Y if held.command => desk.hand.step(false),
        Key::S if held.command => desk.hand.save(),
        Key::Escape if desk.tells_keys => desk.tells_keys = false,
        Key::Escape => {
            (desk.grip, desk.fitted) = (None, None);
            desk.hand.drop_it();
        }
        Key::D => desk.take_in_hand(!desk.hand.on),
        Key::G => grips::keep_before(desk),
        Key::PageDown | Key::PageUp => grips::choose_next(desk, key == Key::PageUp),
        Key::M if desk.shown.is_some() => desk.measure(!desk.noting.on),
        Key::Enter if desk.noting.on => desk.noting.type_next = Some(desk.noting.last.unwrap_or("back")),
        Key::Enter => grips::type_chosen(desk),
        Key::ArrowLeft | Key::ArrowRight | Key::ArrowUp | Key::ArrowDown if held.alt => {
            grips::nudge(desk, key, held.shift);
        }
        Key::Q if held.command => desk.asked.push(Ask::Close),
        Key::F => desk.asked.push(Ask::Fit),
        Key::P => desk.asked.push(Ask::Save),
        Key::B => desk.settings.colour = Some(Colour::Bars),
        Key::L if held.shift => desk.settings.colour = Some(Colour::Steels),
        Key::L => desk.settings.colour = Some(Colour::Layers),
        Key::S => desk.settings.colour = Some(Colour::Steel),
        Key::T => desk.settings.colour = Some(Colour::Taper),
        Key::O => desk.settings.colour = Some(Colour::TakeOff),
        Key::N => desk.settings.dark = !desk.settings.dark,
        _ => move_station(desk, key, held),
    }
}

/// Moves the station along the blade, where there is one and the key asks for that.
fn move_station(desk: &mut Desk, key: Key, held: Modifiers) {
    let Some((shown, at)) = desk.shown.as_ref().zip(desk.station()) else { return };
    let step = station_step(shown.design.unit()) * if held.shift { 10.0 } else { 1.0 };
    let station = match key {
        Key::ArrowLeft => at - step,
        Key::ArrowRight => at + step,
        Key::Home => 0.0,
        Key::End => shown.facts.sections.range().1,
        _ => return,
    };
    desk.choose(station);
}

/// How far a press of an arrow moves the station, mm: a millimetre, or a sixteenth of an inch.
fn station_step(unit: Unit) -> f64 {
    match unit {
        Unit::Millimetre => 1.0,
        Unit::Inch => Unit::Inch.millimetres() / 16.0,
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    /// A key pressed and pressed again before it is let go: the kit's way to tell that it stays down.
    fn held_down(key: Key) -> usize {
        let pressed = egui::Event::Key {
            key,
            physical_key: None,
            pressed: true,
            repeat: false,
            modifiers: Modifiers::NONE,
        };
        let ctx = Context::default();
        let mut told = 0;
        for _ in 0..2 {
            let input = egui::RawInput { events: vec![pressed.clone()], ..Default::default() };
            let _ = ctx.run_ui(input, |ui| told += presses(ui.ctx()).len());
        }
        told
    }

    #[test]
    fn a_key_that_stays_down_acts_once_unless_it_moves_something_on() {
        for key in [Key::D, Key::G, Key::F1, Key::N, Key::Enter, Key::Escape, Key::Q, Key::Z] {
            assert_eq!(held_down(key), 1, "{key:?}");
        }
        for key in [Key::ArrowLeft, Key::ArrowDown, Key::PageUp] {
            assert_eq!(held_down(key), 2, "{key:?}");
        }
    }
}
