//! `build`: what it writes, that it writes all or nothing, and that it never takes what is not its own.

#![allow(clippy::expect_used, reason = "a test whose setting fails is a failed test")]

#[allow(dead_code, reason = "each suite uses a part of the room")]
mod room;

use std::fs;
use std::process::{Command, Stdio};
use std::time::Duration;

use room::{Room, code, err, listed, out};

/// Everything that a whole build of `blade` holds.
const WHOLE: &[&str] = &[
    "blade-finished.3mf",
    "blade-finished.step",
    "blade-finished.stl",
    "blade-forged.3mf",
    "blade-forged.step",
    "blade-forged.stl",
    "blade-ground.3mf",
    "blade-ground.step",
    "blade-ground.stl",
    "manifest.json",
];

fn names(room: &Room, folder: &str) -> Vec<String> {
    room.hashes(folder).into_keys().collect()
}

/// Asserts that a folder holds exactly what its manifest says.
fn assert_whole(room: &Room, folder: &str) {
    let mut found = room.hashes(folder);
    assert!(found.remove("manifest.json").is_some());
    assert_eq!(found, listed(room, folder));
}

#[test]
fn a_build_writes_every_stage_and_kind_and_says_so() {
    let room = Room::with_design();
    let build = room.run(&["build", "blade.toml"]);
    assert_eq!((code(&build), err(&build).as_str()), (0, ""));
    assert_eq!(names(&room, "build/blade"), WHOLE);
    assert_whole(&room, "build/blade");
    for name in WHOLE {
        assert!(out(&build).contains(name), "{name} in\n{}", out(&build));
    }
    assert_eq!(names(&room, "build").len(), WHOLE.len(), "nothing beside the folder");
}

#[test]
fn stages_and_kinds_can_be_chosen() {
    let room = Room::with_design();
    let choice = [
        "build",
        "blade.toml",
        "--out",
        "o",
        "--stage",
        "ground",
        "--stage",
        "finished",
        "--only",
        "step,3mf",
    ];
    assert_eq!(code(&room.run(&choice)), 0);
    let wanted = [
        "blade-finished.3mf",
        "blade-finished.step",
        "blade-ground.3mf",
        "blade-ground.step",
        "manifest.json",
    ];
    assert_eq!(names(&room, "o"), wanted);
    assert_whole(&room, "o");
    assert_eq!(
        code(&room.run(&["build", "blade.toml", "--out", "o", "--only", "stl", "--stage", "forged"])),
        0
    );
    assert_eq!(
        names(&room, "o"),
        ["blade-forged.stl", "manifest.json"],
        "a build replaces the folder as a whole"
    );
    assert_eq!(code(&room.run(&["build", "blade.toml", "--only", "dwg"])), 2);
}

#[test]
fn the_same_design_gives_the_same_bytes() {
    let room = Room::with_design();
    for folder in ["one", "two"] {
        assert_eq!(code(&room.run(&["build", "blade.toml", "--out", folder])), 0);
    }
    assert_eq!(room.hashes("one"), room.hashes("two"));
}

#[test]
fn a_chosen_file_has_the_bytes_of_the_whole_build() {
    let room = Room::with_design();
    assert_eq!(code(&room.run(&["build", "blade.toml", "--out", "all"])), 0);
    assert_eq!(
        code(&room.run(&["build", "blade.toml", "--out", "one", "--stage", "ground", "--only", "stl"])),
        0
    );
    assert_eq!(room.hashes("one")["blade-ground.stl"], room.hashes("all")["blade-ground.stl"]);
}

#[test]
fn problems_write_nothing_and_keep_the_previous_output() {
    let room = Room::with_design();
    room.write("bad.toml", "nam = \"x\"\n");
    let build = room.run(&["build", "bad.toml", "--out", "o"]);
    assert_eq!((code(&build), out(&build).as_str()), (1, ""));
    assert!(!room.path("o").exists() && !room.path("build").exists());
    assert_eq!(code(&room.run(&["build", "blade.toml", "--out", "o"])), 0);
    let before = room.hashes(".");
    assert_eq!(code(&room.run(&["build", "bad.toml", "--out", "o"])), 1);
    assert_eq!(room.hashes("."), before);
}

#[test]
fn what_is_not_ours_is_left_alone() {
    let room = Room::with_design();
    fs::create_dir_all(room.path("theirs")).expect("a folder");
    room.write("theirs/letter.txt", "dear");
    assert_eq!(code(&room.run(&["build", "blade.toml", "--out", "ours"])), 0);
    room.write("ours/notes.txt", "mine");
    room.write("file", "no folder");
    let before = room.hashes(".");
    for (folder, word) in
        [("theirs", "letter.txt"), ("ours", "notes.txt"), (".", "standing"), ("file", "not a folder")]
    {
        let build = room.run(&["build", "blade.toml", "--out", folder]);
        assert_eq!(code(&build), 2, "{folder}");
        assert!(err(&build).contains(word), "{folder}: {}", err(&build));
    }
    assert_eq!(code(&room.run(&["build", "blade.toml", "--out", "file/below"])), 2);
    assert_eq!(code(&room.run(&["build", "blade.toml", "--out", ""])), 2);
    assert_eq!(room.hashes("."), before);
}

#[test]
fn an_empty_folder_is_taken() {
    let room = Room::with_design();
    fs::create_dir(room.path("o")).expect("a folder");
    assert_eq!(code(&room.run(&["build", "blade.toml", "--out", "o"])), 0);
    assert_whole(&room, "o");
}

#[cfg(unix)]
#[test]
fn a_linked_folder_stays_a_link_and_files_stay_readable_for_others() {
    use std::os::unix::fs::{MetadataExt, symlink};
    let room = Room::with_design();
    fs::create_dir(room.path("real")).expect("a folder");
    symlink("real", room.path("link")).expect("a link");
    assert_eq!(code(&room.run(&["build", "blade.toml", "--out", "link"])), 0);
    assert!(fs::symlink_metadata(room.path("link")).expect("there").is_symlink());
    assert_whole(&room, "real");
    room.write("ordinary", "");
    fs::create_dir(room.path("ordinary.d")).expect("a folder");
    let mode = |name: &str| fs::metadata(room.path(name)).expect("there").mode();
    assert_eq!(mode("real"), mode("ordinary.d"));
    assert_eq!(mode("real/manifest.json"), mode("ordinary"));
    assert_eq!(mode("blade.toml"), mode("ordinary"));
}

#[cfg(target_os = "linux")]
#[test]
fn a_build_that_can_not_write_keeps_the_previous_output() {
    let room = Room::with_design();
    assert_eq!(code(&room.run(&["build", "blade.toml", "--out", "o", "--stage", "ground"])), 0);
    let before = room.hashes(".");
    // No file may grow over a kibibyte; with the signal for that ignored, writing more is an error.
    let line = "trap '' XFSZ; ulimit -f 1; exec \"$0\" build blade.toml --out o";
    let mut command = Command::new("bash");
    command.args(["-c", line, env!("CARGO_BIN_EXE_seaxwright")]).current_dir(room.path("."));
    let build = command.output().expect("bash runs");
    assert_eq!(code(&build), 2);
    assert!(err(&build).contains("could not be written"), "{}", err(&build));
    assert_eq!(room.hashes("."), before);
}

#[test]
fn a_killed_build_leaves_a_whole_folder() {
    let room = Room::with_design();
    assert_eq!(code(&room.run(&["build", "blade.toml", "--out", "o", "--only", "stl"])), 0);
    for moment in 0..24 {
        let only = ["stl", "step"][moment % 2];
        let mut build = room.command(&["build", "blade.toml", "--out", "o", "--only", only]);
        let mut build = build.stdout(Stdio::null()).stderr(Stdio::null()).spawn().expect("runs");
        std::thread::sleep(Duration::from_millis(moment as u64 * 2));
        build.kill().expect("killed");
        build.wait().expect("ended");
        assert_whole(&room, "o");
    }
}
