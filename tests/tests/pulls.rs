//! Sound designs pulled about by a hand that does not know what it does: every pull is a file that is a blade or is refused in
//! named problems, comments stay through all of it, and all of it is undone. `SEAXWRIGHT_CASES` raises the number of pulls.

#![allow(clippy::unwrap_used, clippy::print_stdout, reason = "helpers of tests count as tests")]

use design::Design;
use edit::{Handle, History, handles};
use fixtures::mutation::Dice;
use fixtures::profiles;
use glam::DVec3;

/// Pulls in an ordinary run: a hundred of each profile.
const CASES: u64 = 1000;
/// The first seed.
const SEED: u64 = 19_000_000;
/// Pulls of one blade after another before it is begun anew.
const RUN: u64 = 50;
/// Keys that are typed, and keys that are taken out.
const PUT: [&str; 3] = ["ricasso.length", "tang.length", "section.grind_line"];
const UNSET: [&str; 3] = ["tang.breadth", "outline.point_height", "taper[0].grind"];
/// The furthest that a hand pulls at once, mm, by parts: most pulls are small, some leave the window.
const REACH: [f64; 5] = [0.3, 2.0, 15.0, 200.0, 1e6];

/// The comments in a file, on lines of their own and behind values, sorted: tables change places with theirs.
fn comments(text: &str) -> Vec<String> {
    let comment = |line: &str| line.split_once('#').map(|(_, words)| words.trim().to_owned());
    let mut all: Vec<String> = text.lines().filter_map(comment).collect();
    all.sort();
    all
}

fn read(text: &str) -> Option<Design> {
    match design::read(text.as_bytes()) {
        Ok(design) => Some(design),
        Err(problems) => {
            assert!(problems.iter().all(|p| !p.message.is_empty() && !p.help.is_empty()), "{problems:?}");
            None
        }
    }
}

/// A way of the hand, mm.
fn way(dice: &mut Dice) -> DVec3 {
    let reach = *dice.of(&REACH);
    let mut part = || reach * (dice.below(2001) as f64 / 1000.0 - 1.0);
    DVec3::new(part(), part(), part())
}

/// A change of a file by hand: mostly a pull, now and then a station, a fuller or a bar put in, taken out or moved.
fn changed(text: &str, design: &Design, dice: &mut Dice) -> Option<String> {
    let list = *dice.of(&["taper", "fuller", "bar", "tang.hole"]);
    let place = dice.below(4);
    match dice.below(10) {
        0 => edit::remove(text, list, place),
        1 => edit::swap(text, list, place),
        2 => edit::insert(text, "taper", place, &[("at", "100"), ("back", "4")]),
        3 => edit::put(text, PUT[dice.below(PUT.len())], "20"),
        4 => edit::unset(text, UNSET[dice.below(UNSET.len())]),
        _ => {
            let all: Vec<Handle> = handles(design, text);
            let (handle, fine) = (dice.of(&all).clone(), dice.below(2) == 0);
            handle.moved(text, way(dice), fine, design)
        }
    }
}

#[test]
fn a_hand_that_pulls_at_random_makes_blades_or_is_refused_and_all_is_undone() {
    let cases = std::env::var("SEAXWRIGHT_CASES").map_or(CASES, |n| n.parse().unwrap());
    let profiles = profiles::all();
    let (mut sound, mut refused, mut unmoved) = (0, 0, 0);
    for run in 0..cases.div_ceil(RUN) {
        let first = &profiles[run as usize % profiles.len()].text;
        // Every other run has the line ends of another system.
        let first = if run % 2 == 0 { first.clone() } else { first.replace('\n', "\r\n") };
        let (mut history, mut dice) = (History::new(first.clone()), Dice::new(SEED + run));
        let mut design = read(&first).unwrap();
        for _ in 0..RUN {
            let Some(text) = changed(history.text(), &design, &mut dice) else {
                unmoved += 1;
                continue;
            };
            assert_eq!(comments(&text), comments(&first), "run {run}");
            assert_eq!(
                text.matches('\n').count(),
                text.matches(if run % 2 == 0 { "\n" } else { "\r\n" }).count()
            );
            // The hand stops where a rule would break: the file stays as it was.
            match read(&text) {
                Some(new) => (design, sound) = (new, sound + 1),
                None => {
                    refused += 1;
                    continue;
                }
            }
            history.change(text, "pull");
        }
        while history.undo() {}
        assert_eq!(history.text(), first, "run {run}");
    }
    println!("{sound} made a blade, {refused} were refused, {unmoved} had no place");
    assert!(sound > cases / 4 && refused > cases / 20);
}

#[test]
fn comments_of_every_profile_stay_through_every_kind_of_change() {
    for profile in profiles::all() {
        let design = read(&profile.text).unwrap();
        let marked =
            profile.text.lines().map(|line| match line.contains(['#', '"', '\'']) || line.is_empty() {
                true => line.to_owned(),
                false => format!("{line} # {}", line.len()),
            });
        let text = marked.collect::<Vec<_>>().join("\n");
        let text = if read(&text).is_some() { text } else { profile.text.clone() };
        let kept = |change: Option<String>, what: &str| {
            let Some(changed) = change else { return };
            assert_eq!(comments(&changed), comments(&text), "{}: {what}", profile.name);
        };
        for handle in handles(&design, &text) {
            for pull in &handle.pulls {
                kept(pull.put(&text, pull.value + 0.25, &design), &pull.path);
                kept(edit::unset(&text, &pull.path), &pull.path);
            }
        }
        for list in ["taper", "fuller", "bar", "layers", "fitting", "tang.hole"] {
            for place in 0..4 {
                kept(edit::remove(&text, list, place), list);
                kept(edit::swap(&text, list, place), list);
                kept(edit::insert(&text, list, place, &[("at", "1")]), list);
            }
        }
    }
}
