//! Handles on the blade: drawn, taken hold of by the mouse, and moved by keys.

use design::Figures;
use edit::{Handle, Pull};
use glam::DVec3;
use kiss3d::egui::{Align2, Context, CursorIcon, Key, Painter, Pos2, Rect, Stroke, Vec2, pos2, vec2};

use crate::desk::board::Desk;
use crate::desk::style::{self, Ink};
use crate::draw::camera::Camera;
use crate::draw::spread::Spread;
use crate::model::shown::Shown;

/// How near to a handle the mouse takes hold of it, pixels: a fingertip's half.
const REACH: f32 = 12.0;
/// Size of a handle, pixels.
const SIZE: f32 = 5.5;
/// Pixels a mm below which a way along an axis can't be pointed at: it is seen from its end.
const SEEN: f32 = 0.12;
/// Least sine of the angle at which two ways are told apart on the screen.
const APART: f32 = 0.25;

/// A handle in the mouse's hand.
#[derive(Clone, Debug)]
pub(crate) struct Grip {
    handle: Handle,
    /// Where the mouse took hold.
    from: Pos2,
    /// How far it has pulled, mm.
    by: DVec3,
    fine: bool,
}

/// The handles of what is shown.
fn handles(shown: &Shown) -> &[Handle] {
    shown.reach.as_ref().map_or(&[], |reach| &reach.handles)
}

/// Draws the handles and lets the mouse hold one; whether it has the mouse for itself.
pub(crate) fn take(ctx: &Context, painter: &Painter, desk: &mut Desk, camera: &mut Camera) -> bool {
    if !desk.hand.on || desk.settings.apart > 0.0 {
        return false;
    }
    let Some(shown) = &desk.shown else { return false };
    let (ink, spread) = (desk.ink(), desk.spread());
    let seen: Vec<(usize, Pos2)> = handles(shown)
        .iter()
        .enumerate()
        .filter(|(_, handle)| !ways(handle, camera, &spread).is_empty())
        .map(|(i, handle)| (i, camera.pixel(spread.point(None, handle.at))))
        .collect();
    let fine = desk.fine;
    let (at, pressed, down, twice) = ctx.input(|i| {
        let p = &i.pointer;
        let twice = p.button_double_clicked(kiss3d::egui::PointerButton::Primary);
        (p.latest_pos(), p.primary_pressed(), p.primary_down(), twice)
    });
    let free = at.filter(|at| desk.free.contains(*at) && !ctx.egui_is_using_pointer());
    let under = free.and_then(|at| nearest(&seen, at)).filter(|_| desk.hand.can_pull());
    let names: Vec<(String, Rect)> = seen
        .iter()
        .map(|(i, p)| {
            (format!("handle {}", handles(shown)[*i].name), Rect::from_center_size(*p, Vec2::splat(SIZE)))
        })
        .collect();
    desk.tells_chosen &= !pressed;
    if let Some(i) = under.filter(|_| twice) {
        desk.type_next = handles(shown)[i].pulls.first().map(|pull| pull.path.clone());
    } else if let Some((i, from)) = under.zip(at).filter(|_| pressed && desk.grip.is_none()) {
        let handle = handles(shown)[i].clone();
        desk.remember();
        desk.hand.take(&handle.name);
        desk.chosen = Some(i);
        desk.grip = Some(Grip { handle, from, by: DVec3::ZERO, fine });
    }
    pull(desk, camera, at, down, fine);
    let holds = desk.grip.is_some();
    draw(painter, desk, &seen, under, &ink);
    if holds || under.is_some() {
        camera.hold(true);
        ctx.set_cursor_icon(if holds { CursorIcon::Grabbing } else { CursorIcon::Grab });
    }
    desk.places.extend(names);
    holds || under.is_some()
}

/// The handle under a point of the window.
fn nearest(seen: &[(usize, Pos2)], at: Pos2) -> Option<usize> {
    let near = seen.iter().map(|(i, p)| (*i, p.distance(at))).filter(|(_, off)| *off < REACH);
    near.min_by(|a, b| a.1.total_cmp(&b.1)).map(|(i, _)| i)
}

/// Follows the mouse with what it holds, and lets go when it does.
fn pull(desk: &mut Desk, camera: &Camera, at: Option<Pos2>, down: bool, fine: bool) {
    let spread = desk.spread();
    let Some((grip, shown)) = desk.grip.as_mut().zip(desk.shown.as_ref()) else { return };
    if !down {
        desk.grip = None;
        desk.hand.let_go();
        return;
    }
    let Some(by) = at.map(|at| way_of(&grip.handle, camera, &spread, at - grip.from)) else { return };
    if by != grip.by || fine != grip.fine {
        (grip.by, grip.fine) = (by, fine);
        let (handle, design) = (grip.handle.clone(), shown.design.clone());
        desk.hand.pull(Box::new(move |text| handle.moved(text, by, fine, &design)));
    }
}

/// The ways that a handle can go, and how far a mm along each is seen to go, pixels: at most two that are told apart, the one
/// that is seen best first.
fn ways(handle: &Handle, camera: &Camera, spread: &Spread) -> Vec<(DVec3, Vec2)> {
    let seen = |way: DVec3| {
        let [from, to] = [handle.at, handle.at + 10.0 * way].map(|p| camera.pixel(spread.point(None, p)));
        (way, 0.1 * (to - from))
    };
    let mut all: Vec<(DVec3, Vec2)> = Vec::new();
    for pull in &handle.pulls {
        let way = pull.along.normalize().abs();
        if !all.iter().any(|(other, _)| other.dot(way) > 0.99) {
            all.push(seen(way));
        }
    }
    all.retain(|(_, pixels)| pixels.length() > SEEN);
    all.sort_by(|a, b| b.1.length().total_cmp(&a.1.length()));
    all.dedup_by(|next, kept| sine(kept.1, next.1) < APART);
    all.truncate(2);
    all
}

/// The sine of the angle between two ways on the screen.
fn sine(a: Vec2, b: Vec2) -> f32 {
    ((a.x * b.y - a.y * b.x) / (a.length() * b.length())).abs()
}

/// The way of the hand, mm, for a way of the mouse, pixels.
fn way_of(handle: &Handle, camera: &Camera, spread: &Spread, mouse: Vec2) -> DVec3 {
    match ways(handle, camera, spread)[..] {
        [] => DVec3::ZERO,
        [(way, seen)] => way * f64::from(mouse.dot(seen) / seen.length_sq()),
        [(first, a), (second, b), ..] => {
            let area = a.x * b.y - a.y * b.x;
            let [s, t] = [(mouse.x * b.y - mouse.y * b.x) / area, (a.x * mouse.y - a.y * mouse.x) / area];
            first * f64::from(s) + second * f64::from(t)
        }
    }
}

/// Draws the handles, and what the one that is held or pointed at is and comes to.
fn draw(painter: &Painter, desk: &Desk, seen: &[(usize, Pos2)], under: Option<usize>, ink: &Ink) {
    let Some(shown) = &desk.shown else { return };
    let held = desk.chosen.filter(|_| desk.grip.is_some());
    let told = held.or(under).or(desk.chosen.filter(|_| desk.tells_chosen));
    for (i, at) in seen {
        let fill = if told.or(desk.chosen) == Some(*i) { ink.point } else { ink.sheet };
        painter.circle(*at, SIZE + 1.5, ink.sheet, Stroke::NONE);
        painter.circle(*at, SIZE, fill, Stroke::new(1.8, ink.point));
    }
    let Some((i, at)) = seen.iter().find(|(i, _)| told == Some(*i)) else { return };
    let handle = &handles(shown)[*i];
    let pulls: Vec<String> = handle.pulls.iter().map(|pull| named(pull, shown.design.figures())).collect();
    label(painter, *at, &format!("{}: {}", handle.name, pulls.join(", ")), ink.line, ink);
    if let Some(why) = desk.hand.refused.as_ref().filter(|_| desk.hand.doing().is_some()) {
        label(painter, *at + vec2(0.0, 26.0), &format!("stopped here: {why}"), ink.alarm, ink);
    }
}

/// What a handle holds, with the word that the file has for it.
fn named(pull: &Pull, figures: Figures) -> String {
    let key = pull.path.rsplit('.').next().unwrap_or_default().replace('_', " ");
    format!("{key} {}", pull.told(figures))
}

/// Words below and beside a handle, on a sheet of their own, within what can be seen.
fn label(painter: &Painter, at: Pos2, words: &str, colour: kiss3d::egui::Color32, ink: &Ink) {
    let room = painter.clip_rect();
    let galley = painter.layout(
        words.to_owned(),
        style::letters(style::SMALL),
        colour,
        (room.width() - 20.0).max(80.0),
    );
    let size = galley.size() + vec2(10.0, 4.0);
    let left = (at.x + 14.0).min(room.right() - size.x - 4.0).max(room.left() + 4.0);
    let top = (at.y + 10.0).min(room.bottom() - size.y - 4.0).max(room.top() + 4.0);
    let sheet = Align2::LEFT_TOP.anchor_size(pos2(left, top), size);
    painter.rect(sheet, 3.0, ink.sheet, Stroke::new(1.0, ink.faint), kiss3d::egui::StrokeKind::Inside);
    painter.galley(sheet.min + vec2(5.0, 2.0), galley, colour);
}

/// Goes to the next handle, or back.
pub(crate) fn choose_next(desk: &mut Desk, back: bool) {
    let count = desk.shown.as_ref().map_or(0, |shown| handles(shown).len());
    if !desk.hand.on || count == 0 {
        return;
    }
    desk.tells_chosen = true;
    desk.chosen = Some(match (desk.chosen, back) {
        (None, false) => 0,
        (None, true) => count - 1,
        (Some(i), false) => (i + 1) % count,
        (Some(i), true) => (i + count - 1) % count,
    });
}

/// Opens the field of the handle chosen.
pub(crate) fn type_chosen(desk: &mut Desk) {
    let chosen = desk.shown.as_ref().zip(desk.chosen).and_then(|(shown, i)| handles(shown).get(i));
    desk.type_next = chosen.and_then(|handle| handle.pulls.first()).map(|pull| pull.path.clone());
}

/// Moves the handle chosen by a step: left and right along the blade, up and down across it or through its thickness.
pub(crate) fn nudge(desk: &mut Desk, key: Key, fine: bool) {
    let Some((shown, i)) = desk.shown.as_ref().zip(desk.chosen) else { return };
    let Some(handle) = handles(shown).get(i).cloned() else { return };
    let along = matches!(key, Key::ArrowLeft | Key::ArrowRight);
    let Some(pull) = handle.pulls.iter().find(|pull| (pull.along.x.abs() > 0.0) == along) else { return };
    let sign = if matches!(key, Key::ArrowRight | Key::ArrowUp) { 1.0 } else { -1.0 };
    let step = pull.kind.steps(shown.design.unit())[usize::from(fine)];
    let by = sign * pull.along.normalize().abs() * step / pull.along.length();
    let (name, design) = (handle.name.clone(), shown.design.clone());
    desk.tells_chosen = true;
    desk.remember();
    desk.hand.change(&name, Box::new(move |text| handle.moved(text, by, fine, &design)));
}

/// Keeps the blade shown to compare others with, or lets it go.
pub(crate) fn keep_before(desk: &mut Desk) {
    let keeps = desk.keeps_before;
    (desk.before, desk.keeps_before) = (None, false);
    if !keeps {
        desk.remember();
        desk.keeps_before = true;
    }
}
