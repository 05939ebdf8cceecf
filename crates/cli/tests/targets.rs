//! `fit`: what it tells, what it writes, and when it writes nothing.

#![allow(clippy::expect_used, reason = "a test whose setting fails is a failed test")]

#[allow(dead_code, reason = "each suite uses a part of the room")]
mod room;

use std::fs;

use room::{Room, code, err, out};

fn room(targets: &str) -> Room {
    let room = Room::with_design();
    let path = room.path("blade.toml");
    let text = fs::read_to_string(&path).expect("the design") + "\n[targets]\n" + targets;
    fs::write(path, text).expect("the design");
    room
}

#[test]
fn a_fit_writes_a_design_that_check_calls_fitted() {
    let room = room("steel = 300 # light\ntaper = 30\n");
    let told = room.run(&["fit", "blade.toml"]);
    assert_eq!((code(&told), err(&told).as_str()), (0, ""));
    assert!(out(&told).contains("Nothing was written"), "{}", out(&told));
    let fit = room.run(&["fit", "blade.toml", "--out", "fitted.toml"]);
    assert!(code(&fit) == 0 && out(&fit).ends_with("wrote fitted.toml\n"), "{}{}", out(&fit), err(&fit));
    let check = room.run(&["check", "fitted.toml"]);
    assert!(out(&check).contains("steel        wanted 300.0 g, now 300.0 g: met"), "{}", out(&check));
    assert!(fs::read_to_string(room.path("fitted.toml")).expect("it").contains("# light"));
    let met = out(&room.run(&["fit", "fitted.toml"]));
    assert!(met.contains("so nothing is changed") && !met.contains("--out"), "{met}");
    let again = room.run(&["fit", "blade.toml", "--out", "fitted.toml"]);
    assert!(code(&again) == 2 && err(&again).contains("exists already"), "{}", err(&again));
    let json = room.run(&["fit", "blade.toml", "--json"]);
    assert!(out(&json).contains("\"reached\": true"), "{}", out(&json));
}

#[test]
fn targets_out_of_reach_are_told_and_nothing_is_written() {
    let room = room("steel = 20\n");
    let fit = room.run(&["fit", "blade.toml", "--out", "fitted.toml"]);
    assert_eq!(code(&fit), 1, "{}", err(&fit));
    assert!(out(&fit).contains("limits hit") && err(&fit).contains("nothing was written"));
    assert!(!room.path("fitted.toml").exists());
}

#[test]
fn a_design_without_targets_is_sent_back() {
    let fit = Room::with_design().run(&["fit", "blade.toml"]);
    assert!(code(&fit) == 1 && err(&fit).contains("has no [targets]"), "{}", err(&fit));
}
