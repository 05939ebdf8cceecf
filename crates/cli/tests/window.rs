//! Finding the window program: none, one of another build, one of the same build.

#![cfg(unix)]
#![allow(clippy::expect_used, reason = "a test whose setting fails is a failed test")]

#[allow(dead_code, reason = "each suite uses a part of the room")]
mod room;

use std::fs;
use std::os::unix::fs::PermissionsExt;
use std::process::{Command, Output};
use std::sync::{Mutex, PoisonError};

use room::{Room, code, err};

/// One test after the other: a program that is copied can't be started while a process that another test begins still holds
/// its file open for writing.
static ONE: Mutex<()> = Mutex::new(());

/// Runs `view` by a copy of the program that stands alone in a folder, or beside a window program that answers
/// `--version` with these words and all else with a line of shell.
fn view(version: Option<&str>, end: &str) -> Output {
    let _one = ONE.lock().unwrap_or_else(PoisonError::into_inner);
    let room = Room::with_design();
    let program = room.path("seaxwright");
    fs::copy(env!("CARGO_BIN_EXE_seaxwright"), &program).expect("a copy");
    if let Some(version) = version {
        let script = format!("#!/bin/sh\n[ \"$1\" = --version ] && echo '{version}' && exit 0\n{end}\n");
        room.write("seaxwright-view", script);
        let may_run = fs::Permissions::from_mode(0o755);
        fs::set_permissions(room.path("seaxwright-view"), may_run).expect("a program");
    }
    let mut command = Command::new(program);
    command.args(["view", "blade.toml"]).current_dir(room.path(".")).env("PATH", "/usr/bin:/bin");
    command.output().expect("the command runs")
}

#[test]
fn without_a_window_program_it_says_how_to_get_one() {
    let done = view(None, "");
    assert_eq!(code(&done), 2);
    assert!(err(&done).contains("it is not installed") && err(&done).contains("--build"), "{}", err(&done));
}

#[test]
fn a_window_program_of_another_build_is_refused() {
    for version in ["seaxwright-view 0.1.0", "seaxwright-view 9.9.9 of sources 0123456789abcdef", ""] {
        let done = view(Some(version), "");
        assert_eq!(code(&done), 2);
        assert!(err(&done).contains("not from the same build"), "{version}: {}", err(&done));
        assert!(err(&done).contains("--build"), "{}", err(&done));
    }
}

#[test]
fn one_of_the_same_build_is_started_and_its_code_handed_on() {
    let ours = format!("seaxwright-view {}", look::BUILD);
    assert_eq!(code(&view(Some(&ours), "exit 7")), 7);
    let killed = view(Some(&ours), "kill -9 $$");
    assert_eq!(code(&killed), 2);
    assert!(err(&killed).contains("was stopped before its end"), "{}", err(&killed));
}
