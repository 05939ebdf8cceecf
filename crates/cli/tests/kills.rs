//! Runs killed at any moment, and two at once: the output is whole, old or new, and the next run clears away what is
//! left. `SEAXWRIGHT_KILLS` raises the number of kills.

#![allow(clippy::expect_used, clippy::print_stderr, reason = "a test whose setting fails is a failed test")]

#[allow(dead_code, reason = "each suite uses a part of the room")]
mod room;

use std::collections::BTreeSet;
use std::fs;
use std::process::{Child, Stdio};
use std::time::{Duration, Instant};

use room::{Room, code, err, listed};

/// Kills in an ordinary run, half of each command.
const KILLS: usize = 200;
/// Of these so many in ten come in the last part of a run, where it writes.
const LATE: u64 = 7;

/// Every file of a folder is as its manifest says, and there is none besides.
fn assert_whole(room: &Room, folder: &str) {
    let mut found = room.hashes(folder);
    found.remove("manifest.json").expect("a manifest");
    assert!(found == listed(room, folder) && !found.is_empty(), "{folder} is not whole");
}

/// What stands beside the outputs that is temporary.
fn temporary(room: &Room) -> Vec<String> {
    let names = fs::read_dir(room.path(".")).expect("a folder").map(|e| e.expect("an entry").file_name());
    names.map(|n| n.to_string_lossy().into_owned()).filter(|n| n.ends_with(".tmp")).collect()
}

fn kills() -> usize {
    std::env::var("SEAXWRIGHT_KILLS").ok().and_then(|n| n.parse().ok()).unwrap_or(KILLS)
}

fn spawn(room: &Room, line: &[&str]) -> Child {
    room.command(line).stdout(Stdio::null()).stderr(Stdio::piped()).spawn().expect("runs")
}

/// How many times as long as at first a run may take on a machine at other work.
const PATIENCE: f64 = 6.0;

/// Shares of a run's time at which it is killed: one after the other, spread by the golden ratio, most of them late.
fn moment(n: usize) -> f64 {
    let spread = (n as f64 * 0.618_033_988_749_895).fract();
    if n as u64 % 10 < LATE { 0.5 + 0.5 * spread } else { spread }
}

/// Kills a run of each of two command lines in turn, at every moment of its time, and looks at the output each time.
fn kill(room: &Room, folder: &str, lines: [&[&str]; 2], kills: usize) {
    let times = lines.map(|line| {
        let begin = Instant::now();
        assert_eq!(code(&room.run(line)), 0, "{line:?}");
        begin.elapsed()
    });
    let (mut tries, mut killed, mut left, mut outputs) = (0, 0, 0, BTreeSet::new());
    // A run that was done before its moment came is none that was killed. Where other work came up meanwhile, none is done in
    // time: then the last ones get more of it, until both lines have had their turn.
    while killed < kills || (outputs.len() < 2 && tries < 2 * kills) {
        let mut run = spawn(room, lines[tries % 2]);
        let patience = if killed < kills { moment(tries) } else { PATIENCE };
        std::thread::sleep(times[tries % 2].mul_f64(patience).min(Duration::from_secs(60)));
        killed += usize::from(run.try_wait().expect("a run").is_none());
        tries += 1;
        run.kill().expect("killed");
        run.wait().expect("ended");
        assert_whole(room, folder);
        outputs.insert(fs::read(room.path(folder).join("manifest.json")).expect("a manifest"));
        left += usize::from(!temporary(room).is_empty());
        // What one killed run leaves the next one takes away, so it never is more than that.
        assert!(temporary(room).len() <= 1, "{:?}", temporary(room));
        assert!(tries < 10 * kills, "{killed} of {tries} runs were killed before they were done");
    }
    eprintln!("{folder}: {killed} of {tries} runs killed, {left} left something for the next; all whole");
    assert_eq!(outputs.len(), 2);
    assert_eq!(code(&room.run(lines[0])), 0);
    assert_whole(room, folder);
    assert_eq!(temporary(room), Vec::<String>::new());
}

#[test]
fn killed_builds_leave_a_whole_folder() {
    let room = Room::with_design();
    let line = |only| ["build", "blade.toml", "--out", "o", "--make", "blade", "--only", only];
    kill(&room, "o", [&line("stl"), &line("glb,3mf")], kills().div_ceil(2));
}

#[test]
fn killed_comparisons_leave_a_whole_folder() {
    let room = Room::with_design();
    let head = "date,station,what,height,measured\n";
    room.write("one.csv", format!("{head}2026-03-01,0,back,,6.4\n,150,back,,5.5\n"));
    room.write("two.csv", format!("{head}2026-03-01,0,back,,6.6\n2026-03-02,0,back,,6.2\n"));
    let line = |table| ["compare", "blade.toml", table, "--out", "c"];
    kill(&room, "c", [&line("one.csv"), &line("two.csv")], kills() / 2);
}

/// Two builds of different things into one folder: whichever is done first wins whole, and the other says so.
#[test]
fn of_two_builds_at_once_one_wins_whole_and_the_other_says_so() {
    let room = Room::with_design();
    let line = |only| ["build", "blade.toml", "--out", "o", "--make", "blade", "--only", only];
    let mut said = 0;
    for round in 0..6 {
        let runs = ["stl", "3mf"].map(|only| spawn(&room, &line(only)));
        let done = runs.map(|run| run.wait_with_output().expect("ended"));
        assert_whole(&room, "o");
        let codes: Vec<i32> = done.iter().map(code).collect();
        assert!(codes.contains(&0), "{round}: {codes:?}");
        for run in done.iter().filter(|run| code(run) != 0) {
            assert!(code(run) == 2 && err(run).contains("written by another run meanwhile"), "{}", err(run));
            said += 1;
        }
        assert_eq!(temporary(&room), Vec::<String>::new());
    }
    // They take about as long as each other: more than once both are at work at the same time.
    assert!(said > 0, "no run met another");
}
