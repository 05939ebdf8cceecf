//! What mouse and keys sent, told to the controls in the frame that is about to be drawn.
//!
//! The kit tells the controls while it draws, so that they learn of it one frame later. What they were told here is taken out of
//! what the kit tells then.

use kiss3d::egui::{self, Context, Event, PointerButton, Pos2, RawInput};
use kiss3d::event::{Action, Key, Modifiers, MouseButton, WindowEvent};
use kiss3d::window::Window;

/// What the controls are told early.
#[derive(Default)]
pub(crate) struct Early {
    /// What they shall be told in the next frame.
    fresh: Vec<Event>,
    /// What they were told in the last one: the kit tells it once more.
    told: Vec<Event>,
    /// Where the mouse was last.
    mouse: Option<Pos2>,
}

impl Early {
    /// Takes what the window was sent since it was last asked; whether that was anything.
    pub(crate) fn hear(&mut self, window: &Window) -> bool {
        let mut any = false;
        let scale = window.scale_factor() as f32;
        for event in window.events().iter() {
            any = true;
            let event = self.event_of(&event.value, scale);
            self.fresh.extend(event);
        }
        any
    }

    /// An event as the kit will tell it, too; `None` for one that only the kit tells. Where and with what a button is pressed is
    /// taken from the events before: the kit knows it only as it is when it tells them.
    fn event_of(&mut self, event: &WindowEvent, scale: f32) -> Option<Event> {
        Some(match *event {
            WindowEvent::CursorPos(x, y, _) => {
                let at = egui::pos2(x as f32 / scale, y as f32 / scale);
                self.mouse = Some(at);
                Event::PointerMoved(at)
            }
            WindowEvent::MouseButton(button, action, with) => Event::PointerButton {
                pos: self.mouse?,
                button: button_named(button)?,
                pressed: action == Action::Press,
                modifiers: held(with),
            },
            WindowEvent::Scroll(x, y, with) => Event::MouseWheel {
                unit: egui::MouseWheelUnit::Point,
                delta: egui::vec2(x as f32, y as f32),
                phase: egui::TouchPhase::Move,
                modifiers: held(with),
            },
            WindowEvent::Char(letter) if !letter.is_control() => Event::Text(letter.to_string()),
            WindowEvent::Key(key, action, with) => Event::Key {
                key: key_named(key)?,
                physical_key: None,
                pressed: action == Action::Press,
                repeat: false,
                modifiers: held(with),
            },
            _ => return None,
        })
    }
}

impl egui::Plugin for Early {
    fn debug_name(&self) -> &'static str {
        "early"
    }

    fn input_hook(&mut self, _: &Context, input: &mut RawInput) {
        for told in self.told.drain(..) {
            if let Some(again) = input.events.iter().position(|event| is_same(event, &told)) {
                input.events.remove(again);
            }
        }
        input.events.extend(self.fresh.iter().cloned());
        self.told = std::mem::take(&mut self.fresh);
    }
}

/// A button of the mouse as the controls name it.
fn button_named(button: MouseButton) -> Option<PointerButton> {
    match button {
        MouseButton::Button1 => Some(PointerButton::Primary),
        MouseButton::Button2 => Some(PointerButton::Secondary),
        MouseButton::Button3 => Some(PointerButton::Middle),
        _ => None,
    }
}

/// A key as the controls name it; `None` for one that they have no use for.
fn key_named(key: Key) -> Option<egui::Key> {
    use egui::Key as Named;
    Some(match key {
        Key::Back => Named::Backspace,
        Key::Return => Named::Enter,
        Key::Left => Named::ArrowLeft,
        Key::Up => Named::ArrowUp,
        Key::Right => Named::ArrowRight,
        Key::Down => Named::ArrowDown,
        Key::Escape | Key::Tab | Key::Space | Key::Insert | Key::Delete | Key::F1 => same_name(key)?,
        Key::Home | Key::End | Key::PageUp | Key::PageDown => same_name(key)?,
        _ if (Key::A..=Key::Z).contains(&key) => same_name(key)?,
        _ => return None,
    })
}

/// A key that both name alike.
fn same_name(key: Key) -> Option<egui::Key> {
    egui::Key::from_name(&format!("{key:?}"))
}

/// What is held with a key or button as it is pressed. The kit tells the controls what is held by the time that it tells them:
/// a chord struck while a frame was drawn would be its last key alone.
fn held(with: Modifiers) -> egui::Modifiers {
    let (ctrl, mac_cmd) = (with.contains(Modifiers::Control), with.contains(Modifiers::Super));
    let mac_cmd = cfg!(target_os = "macos") && mac_cmd;
    egui::Modifiers {
        alt: with.contains(Modifiers::Alt),
        ctrl,
        shift: with.contains(Modifiers::Shift),
        mac_cmd,
        command: if cfg!(target_os = "macos") { mac_cmd } else { ctrl },
    }
}

/// Whether the kit tells what was told early: it says otherwise where the mouse was and what was held.
fn is_same(event: &Event, told: &Event) -> bool {
    match (event, told) {
        (Event::Key { key, pressed, .. }, Event::Key { key: early, pressed: down, .. }) => {
            (key, pressed) == (early, down)
        }
        (
            Event::PointerButton { button, pressed, .. },
            Event::PointerButton { button: early, pressed: down, .. },
        ) => (button, pressed) == (early, down),
        (Event::MouseWheel { delta, .. }, Event::MouseWheel { delta: early, .. }) => delta == early,
        _ => event == told,
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    /// What the controls hear in a frame, where the kit tells these events itself.
    fn heard(early: &mut Early, kits: &[Event]) -> Vec<Event> {
        let mut input = RawInput { events: kits.to_vec(), ..RawInput::default() };
        egui::Plugin::input_hook(early, &Context::default(), &mut input);
        input.events
    }

    #[test]
    fn what_was_told_early_is_told_once_as_it_was_when_it_came() {
        let mut early = Early::default();
        let none = Modifiers::empty();
        let sent = [
            WindowEvent::CursorPos(10.0, 20.0, none),
            WindowEvent::MouseButton(MouseButton::Button1, Action::Press, none),
            WindowEvent::CursorPos(30.0, 20.0, none),
            WindowEvent::Key(Key::Z, Action::Press, Modifiers::Control),
        ];
        for event in &sent {
            let event = early.event_of(event, 1.0);
            early.fresh.extend(event);
        }
        let first = heard(&mut early, &[]);
        let pressed = |pos| Event::PointerButton {
            pos,
            button: PointerButton::Primary,
            pressed: true,
            modifiers: egui::Modifiers::NONE,
        };
        let key = |modifiers| Event::Key {
            key: egui::Key::Z,
            physical_key: None,
            pressed: true,
            repeat: false,
            modifiers,
        };
        let (here, there) = (egui::pos2(10.0, 20.0), egui::pos2(30.0, 20.0));
        let chord = egui::Modifiers { ctrl: true, command: true, ..egui::Modifiers::NONE };
        let early_told = [Event::PointerMoved(here), pressed(here), Event::PointerMoved(there), key(chord)];
        assert_eq!(first, early_told);
        // The kit tells the same with the mouse and the keys as they are by then, and beside it what only it knows.
        let kits = [
            Event::PointerMoved(here),
            pressed(there),
            Event::PointerMoved(there),
            key(egui::Modifiers::NONE),
            Event::PointerGone,
        ];
        assert_eq!(heard(&mut early, &kits), [Event::PointerGone]);
        assert_eq!(heard(&mut early, &[pressed(there)]), [pressed(there)]);
    }
}
