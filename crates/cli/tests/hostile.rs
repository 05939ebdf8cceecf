//! Bent, broken and hostile input to the program itself: no panic, no wait, one clear error.

#![allow(clippy::expect_used, reason = "a test whose setting fails is a failed test")]

#[allow(dead_code, reason = "each suite uses a part of the room")]
mod room;

use std::time::{Duration, Instant};

use room::{Room, code, err, json};

/// The longest that any command may take on a file that it refuses.
const PATIENCE: Duration = Duration::from_secs(2);

/// Runs the command; it must end by itself within [`PATIENCE`], with 0, 1 or 2.
fn run(room: &Room, arguments: &[&str]) -> std::process::Output {
    let begin = Instant::now();
    let done = room.run(arguments);
    let told = err(&done);
    assert!(begin.elapsed() < PATIENCE, "{arguments:?} took {:?}", begin.elapsed());
    assert!((0..=2).contains(&code(&done)) && !told.contains("panicked"), "{arguments:?}: {told}");
    done
}

/// Found by mutation: a form feed in a line of 400,000 characters, which was drawn with more columns than a width has bits.
#[test]
fn long_line_is_told_around_its_fault() {
    let room = Room::new();
    let (before, after) = ("350,".repeat(46_820), "350,".repeat(53_172));
    room.write(
        "long-line.toml",
        format!("name=\"A12 ricasso\"\n[outline]\nform=\"dropped-point\"\nlength=[{before}35\u{c}0,{after}350]\nbreadth=38\n"),
    );
    let check = run(&room, &["check", "long-line.toml"]);
    assert_eq!(code(&check), 1);
    let told = err(&check);
    assert!(told.contains("[long-line.toml:4:187289]") && told.contains("350,35\\u{c}0,350"), "{told}");
    assert!(told.len() < 1000, "{told}");
    let check = run(&room, &["check", "--json", "long-line.toml"]);
    assert_eq!((code(&check), json(&check)["problems"][0]["column"].as_u64()), (1, Some(187_289)));
}

/// Found by mutation: 400,000 bytes of rows of another kind of file took eight seconds, and a fault far down thirteen.
#[test]
fn slow_177_is_judged_in_the_time_of_its_size() {
    let room = Room::with_design();
    room.write("slow-177.csv", "[[bar]]\n".repeat(50_000));
    let compare = run(&room, &["compare", "blade.toml", "slow-177.csv"]);
    assert_eq!(code(&compare), 1);
    assert!(
        err(&compare).contains("[slow-177.csv:10001:1]") && err(&compare).contains("10000 rows"),
        "{}",
        err(&compare)
    );
    let head = "date,station,what,measured,note\n";
    let empty = ",,,,a row of notes as long as it is with nothing in it to read\n";
    let wrong = "2026-03-01,0,bxck,6.4\n".repeat(150);
    room.write("late.csv", format!("{head}{}{wrong}", empty.repeat(9000)));
    let compare = run(&room, &["compare", "blade.toml", "late.csv"]);
    assert!(
        err(&compare).contains("and 50 more problems") && err(&compare).contains("101 problems"),
        "{}",
        err(&compare)
    );
}
