//! Tests of what a hand can take hold of.

use super::*;
use fixtures::profiles;

fn read(text: &str) -> Result<Design, String> {
    design::read(text.as_bytes()).map_err(|problems| problems[0].message.clone())
}

/// Ways of a hand that every handle follows, mm: more than its step, less than breaks a rule.
const WAYS: [f64; 2] = [-1.0, 1.0];

#[test]
fn a_handle_of_every_profile_follows_the_hand_and_its_keys_are_in_the_file() {
    for profile in profiles::all() {
        let design = read(&profile.text).unwrap();
        let all = handles(&design, &profile.text);
        assert!(all.len() > 6, "{}", profile.name);
        for handle in &all {
            assert!(!handle.pulls.is_empty() && handle.at.is_finite(), "{}: {}", profile.name, handle.name);
            for by in WAYS {
                moves(&profile.name, &profile.text, &design, handle, by);
            }
        }
    }
}

/// A way of the hand along a handle's first key: the key changes by as much, and where that makes a blade the handle lies
/// where the hand is.
fn moves(profile: &str, text: &str, design: &Design, handle: &Handle, by: f64) {
    let pull = &handle.pulls[0];
    let way = by * pull.along.normalize();
    let moved = handle.moved(text, way, true, design).unwrap_or_else(|| panic!("{profile}: {}", handle.name));
    let Ok(new) = read(&moved) else { return };
    // Two lines whose ends come together there are held by one handle.
    let again =
        handles(&new, &moved).into_iter().find(|h| h.pulls.iter().any(|p| p.path == pull.path)).unwrap();
    let value = again.pulls.iter().find(|p| p.path == pull.path).unwrap().value;
    let step = pull.kind.steps(design.unit())[1];
    let grown = value - pull.value - pull.along.dot(way);
    assert!(grown.abs() <= 0.5 * step + 1e-3, "{profile}: {} {by}: off by {grown}", handle.name);
    // A tang's usual rise is a share of the breadth, 0.15 of it: so far the blade moves under a hand that changes that, and
    // twice as far counted along what grows on both sides.
    let off = (again.at - handle.at - way).dot(pull.along.normalize()).abs();
    assert!(off < 0.31, "{profile}: {} {by}: {off} from the hand", handle.name);
}

#[test]
fn values_come_on_the_steps_of_the_unit() {
    let inch = Unit::Inch.millimetres();
    for (kind, unit, fine, value, snapped) in [
        (Kind::Length, Unit::Millimetre, false, 36.3, 36.5),
        (Kind::Length, Unit::Millimetre, true, 36.34, 36.3),
        (Kind::Thickness, Unit::Millimetre, false, 5.26, 5.3),
        (Kind::Length, Unit::Inch, false, 1.38 * inch, 1.375 * inch),
        (Kind::Share, Unit::Inch, false, 0.506, 0.51),
    ] {
        assert!((kind.snapped(value, unit, fine) - snapped).abs() < 1e-9, "{kind:?} {value}");
    }
}

#[test]
fn the_last_station_of_the_taper_goes_with_the_point() {
    let profile = profiles::named("landing-seax");
    let design = read(&profile.text).unwrap();
    let point = handles(&design, &profile.text).into_iter().find(|h| h.name == "point").unwrap();
    let longer = point.moved(&profile.text, DVec3::new(12.3, 0.0, 0.0), false, &design).unwrap();
    assert_eq!(
        longer,
        profile.text.replace("length = 310", "length = 322.5").replace("at = 310", "at = 322.5")
    );
}

#[test]
fn fullers_are_found_in_the_files_order() {
    let profile = profiles::named("landing-seax");
    let design = read(&profile.text).unwrap();
    for handle in handles(&design, &profile.text).iter().filter(|h| h.name.contains("upper border")) {
        let pull = &handle.pulls[0];
        assert_eq!(raw(&profile.text, &pull.path).unwrap(), pull.value.to_string(), "{}", pull.path);
    }
}
