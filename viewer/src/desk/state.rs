//! What is shown, as the trace writes it.

use std::collections::BTreeMap;

use design::Compared;
use glam::DVec3;
use kiss3d::egui::Rect;
use serde_json::{Value, json};

use crate::desk::board::Desk;
use crate::desk::measure;
use crate::draw::camera::Camera;
use crate::model::legend::Legend;
use crate::model::section::{Band, Strip};

/// What is shown, for the trace: settings, words, and where things are, in pixels.
pub(crate) fn state(desk: &Desk, camera: &Camera) -> Value {
    let places: BTreeMap<&str, Value> = desk.places.iter().map(|(n, r)| (n.as_str(), corners(r))).collect();
    let shown = desk.shown.as_ref();
    json!({
        "name": shown.map(|s| s.design.name()),
        "ground": shown.map(|s| s.ground.name()),
        "colour": shown.map(|s| lowercase(&s.colour)),
        "length_mm": shown.map(|s| s.design.blade().length()),
        "station_mm": desk.station(),
        "thickness_mm": desk.cut.as_ref().map(|c| c.thickness),
        "widths_mm": desk.cut.as_ref().map(|c| &c.widths),
        "apart": desk.settings.apart,
        "thicker": desk.settings.thicker,
        "marks": desk.settings.marks.iter().map(|m| lowercase(m)).collect::<Vec<_>>(),
        "dark": desk.settings.dark,
        "legend": shown.map(|s| Legend::new(s).lines()),
        "problems": problems(desk),
        "hand": hand(desk),
        "readings": readings(desk),
        "notice": desk.notice,
        "camera": camera.state(),
        "free": corners(&desk.free),
        "places": places,
        "bars": seen_bars(desk, camera),
    })
}

/// The page on which a blade is begun, for the trace.
pub(crate) fn start_state(places: &BTreeMap<String, Rect>) -> Value {
    let places: BTreeMap<&str, Value> = places.iter().map(|(n, r)| (n.as_str(), corners(r))).collect();
    json!({ "start": true, "name": Value::Null, "places": places })
}

/// A choice as it is named in the program, in small letters.
fn lowercase(choice: &dyn std::fmt::Debug) -> String {
    format!("{choice:?}").to_lowercase()
}

/// Least and greatest corner, pixels.
fn corners(r: &Rect) -> Value {
    json!([r.min.x, r.min.y, r.max.x, r.max.y])
}

/// The design in hand: what can be undone, what is not saved, what stopped it, and each handle's values.
fn hand(desk: &Desk) -> Value {
    let reach = desk.shown.as_ref().and_then(|shown| shown.reach.as_ref());
    let handles = reach.iter().flat_map(|reach| &reach.handles);
    let values = |handle: &edit::Handle| handle.pulls.iter().map(|p| (p.path.clone(), p.value)).collect();
    let values: BTreeMap<&str, BTreeMap<String, f64>> =
        handles.map(|h| (h.name.as_str(), values(h))).collect();
    json!({
        "on": desk.hand.on,
        "can_pull": desk.hand.can_pull(),
        "doing": desk.hand.doing(),
        "steps": desk.hand.steps(),
        "unsaved": desk.hand.is_unsaved(),
        "refused": desk.hand.refused,
        "given": desk.given.as_ref().filter(|_| desk.hand.refused.is_some()).map(|(_, given)| given),
        "clash": desk.hand.clash.as_ref().map(|merged| merged.clashes.len()),
        "compares": desk.before.is_some(),
        "keys": desk.tells_keys,
        "handles": values,
        "chosen": desk.chosen.and_then(|i| Some(reach?.handles.get(i)?.name.as_str())),
        "steel_g": desk.shown.as_ref().map(|s| s.facts.swing.steel_mass),
        "targets": reach.map(|r| r.targets.iter().map(Compared::is_reached).collect::<Vec<_>>()),
    })
}

/// The readings that are typed: how many went into the file from here, why the last one did not, and what came of them.
fn readings(desk: &Desk) -> Value {
    let grinding = desk.shown.as_ref().and_then(|shown| shown.grinding.as_ref());
    let near = grinding.zip(desk.station()).and_then(|(grinding, at)| grinding.near(at));
    json!({
        "on": desk.noting.on,
        "file": desk.noting.file,
        "day": desk.noting.day,
        "stage": measure::stage_of_next(desk).map(blade::Stage::name),
        "rows": desk.noting.rows,
        "refused": desk.noting.refused,
        "near": near.map(|near| near.rows),
    })
}

fn problems(desk: &Desk) -> Vec<Value> {
    desk.problems.iter().map(|p| json!({ "line": p.line, "message": p.message })).collect()
}

/// The middle of each bar's side at the station, and its colour.
fn seen_bars(desk: &Desk, camera: &Camera) -> Vec<Value> {
    let each = desk.cut.iter().flat_map(|cut| cut.bands.iter().map(|band| (cut.at, band)));
    each.filter_map(|(at, band)| seen_bar(desk, camera, at, band)).collect()
}

/// A bar's side at the station; `None` for a blade without bars or a bar ground away.
fn seen_bar(desk: &Desk, camera: &Camera, at: f64, band: &Band) -> Option<Value> {
    let strips = &band.strips;
    let middle = 0.5 * (strips.first()?.height + strips.last()?.height);
    let off = |s: &Strip| (s.height - middle).abs();
    let side = strips.iter().min_by(|a, b| off(a).total_cmp(&off(b)))?;
    let bar = band.bar?;
    let pixel = |x: f64| camera.pixel(desk.spread().point(Some(bar), DVec3::new(x, middle, side.right)));
    // A little before the section's line, which is drawn over the steel.
    let (here, line) = (pixel(at - 6.0), pixel(at));
    Some(json!({
        "bar": bar,
        "pixel": [here.x, here.y],
        "line": [line.x, line.y],
        "srgb": laminate::bar_colour(bar).srgb,
    }))
}
