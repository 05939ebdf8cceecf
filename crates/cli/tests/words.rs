//! `new`, `check`, `schema`, `completions`, `man`: what is printed where, and the exit codes.

#![allow(clippy::expect_used, reason = "a test whose setting fails is a failed test")]

#[allow(dead_code, reason = "each suite uses a part of the room")]
mod room;

use std::fs;
use std::io::Read;
use std::process::Stdio;

use room::{Room, code, err, json, out};

#[test]
fn a_new_design_is_sound_and_named_after_the_blade() {
    let room = Room::new();
    let new = room.run(&["new", "Ferry knife"]);
    assert_eq!((code(&new), out(&new).trim()), (0, "wrote ferry-knife.toml"));
    assert_eq!(code(&room.run(&["check", "ferry-knife.toml"])), 0);
}

#[test]
fn a_new_design_in_inches_is_told_in_inches() {
    let room = Room::new();
    assert_eq!(code(&room.run(&["new", "Ferry knife", "--unit", "in"])), 0);
    let text = fs::read_to_string(room.path("ferry-knife.toml")).expect("the design");
    assert!(text.contains("unit = \"in\"") && text.contains("breadth = \"1 3/8 in\""), "{text}");
    let check = room.run(&["check", "ferry-knife.toml"]);
    assert_eq!((code(&check), err(&check).as_str()), (0, ""));
    assert!(
        out(&check).contains("13 in from shoulder to point") && !out(&check).contains(" mm"),
        "{}",
        out(&check)
    );
    assert_eq!(code(&room.run(&["new", "Other knife", "--unit", "ell"])), 2);
}

#[test]
fn layers_of_a_blade_of_one_steel_are_sent_back() {
    let layers = Room::with_design().run(&["layers", "blade.toml"]);
    assert_eq!((code(&layers), out(&layers).as_str()), (1, ""));
    assert!(
        err(&layers).contains("has no billet") && err(&layers).contains("add [billet]"),
        "{}",
        err(&layers)
    );
}

/// Welding words have no place in the plan of one steel; without a steel one sentence says what brings the plan.
#[test]
fn a_blade_of_one_steel_is_planned_without_a_word_of_welding() {
    let room = Room::with_design();
    let design = fs::read_to_string(room.path("blade.toml")).expect("the design");
    let bare: String =
        design.lines().filter(|line| !line.starts_with("steel")).map(|line| format!("{line}\n")).collect();
    room.write("bare.toml", &bare);
    let plan = room.run(&["plan", "bare.toml"]);
    assert_eq!((code(&plan), out(&plan).as_str()), (1, ""));
    assert!(err(&plan).contains("such as steel = \"1084\""), "{}", err(&plan));
    assert!(out(&room.run(&["check", "bare.toml"])).contains("No steel is named"));
    room.write("one.toml", format!("steel = \"1084\"\n{bare}"));
    let check = out(&room.run(&["check", "one.toml"]));
    assert!(
        check.contains("forged from 1084, 7850 kg/m³: it takes a bar of at least ")
            && !check.contains("No steel"),
        "{check}"
    );
    let plan = room.run(&["plan", "one.toml"]);
    assert_eq!((code(&plan), err(&plan).as_str()), (0, ""));
    for part in [
        "One bar of 1084",
        "Cut",
        "Clock",
        "Skin",
        "normalise three times",
        "harden:",
        "temper at once",
        "Oil bath",
    ] {
        assert!(out(&plan).contains(part), "no {part} in\n{}", out(&plan));
    }
    for word in ["weld", "stack", "billet", "layer", "twist", "for designs"] {
        assert!(!out(&plan).to_lowercase().contains(word), "{word} in\n{}", out(&plan));
    }
    let told = json(&room.run(&["plan", "--json", "one.toml"]));
    let cut = &told["stock"]["cuts"][0];
    let volume: f64 = (0..3).map(|i| cut["size_mm"][i].as_f64().expect("a size")).product();
    assert!((cut["mass_g"].as_f64().expect("a mass") / (volume * 7.85e-3) - 1.0).abs() < 1e-9);
    // Bearing steel is lighter by a half percent.
    room.write("light.toml", format!("steel = \"52100\"\n{bare}"));
    let mass = |file: &str| {
        json(&room.run(&["check", "--json", file]))["stages"]["forged"]["steel_mass_g"]
            .as_f64()
            .expect("a mass")
    };
    assert!((mass("light.toml") / mass("one.toml") - 7810.0 / 7850.0).abs() < 1e-9);
}

#[test]
fn new_takes_another_file_and_never_overwrites() {
    let room = Room::new();
    room.write("mine.toml", "mine");
    let new = room.run(&["new", "blade", "--out", "mine.toml"]);
    assert_eq!(code(&new), 2);
    assert!(err(&new).contains("exists already"), "{}", err(&new));
    assert_eq!(fs::read(room.path("mine.toml")).expect("still there"), b"mine");
    assert_eq!(code(&room.run(&["new", "blade", "--out", "other.toml"])), 0);
    assert_eq!(room.hashes(".").len(), 2);
    assert_eq!(code(&room.run(&["new", "blade", "--out", "nowhere/other.toml"])), 2);
}

#[test]
fn check_prints_a_summary_and_json() {
    let room = Room::with_design();
    let text = room.run(&["check", "blade.toml"]);
    assert_eq!((code(&text), err(&text).as_str()), (0, ""));
    assert!(out(&text).contains("blade"));
    let stages = &json(&room.run(&["check", "--json", "blade.toml"]))["stages"];
    for stage in ["forged", "ground", "finished"] {
        assert!(stages[stage]["volume_mm3"].as_f64().expect("a number") > 0.0);
        assert_eq!(stages[stage]["stations"].as_array().expect("stations").len(), 10);
    }
}

#[test]
fn every_problem_is_shown_with_its_place() {
    let room = Room::new();
    room.write("bad.toml", "nam = \"x\"\nunitt = \"mm\"\n");
    let check = room.run(&["check", "bad.toml"]);
    assert_eq!((code(&check), out(&check).as_str()), (1, ""));
    for word in ["bad.toml:1:", "bad.toml:2:", "nam", "unitt", "help:", "problems in bad.toml"] {
        assert!(err(&check).contains(word), "no {word} in\n{}", err(&check));
    }
}

/// The second bar by its name, its first twist by its number: lists count from 1.
#[test]
fn places_are_said_by_name_and_slips_in_plain_words() {
    let room = Room::with_profile("landing-seax.toml");
    let design = fs::read_to_string(room.path("blade.toml")).expect("the design");
    for (slip, mistake, says) in [
        ("per = 22 }]", "per = 0 }]", "bar 2 (Upper twist), twist 1, per: 0 mm is out of range"),
        ("name = \"Landing seax\"", "name = Landing seax", "text without quotes"),
        ("length = 310", "length 310", "there is no = between key and value"),
    ] {
        room.write("bad.toml", design.replacen(slip, mistake, 1));
        let check = room.run(&["check", "bad.toml"]);
        assert_eq!(code(&check), 1, "{mistake}");
        assert!(err(&check).contains(says), "{mistake}: {}", err(&check));
    }
    for (line, says) in [
        (&["chek"][..], "there is no command `chek`"),
        (&["plan", "a", "b"], "`b` is one word too many"),
        (&["build", "a", "--stage", "forgd"], "give one of: forged, ground, finished"),
    ] {
        let run = room.run(line);
        assert_eq!((code(&run), out(&run).as_str()), (2, ""));
        assert!(err(&run).contains(says), "{line:?}: {}", err(&run));
    }
}

/// Limits are told in round figures of the file's unit, and what they name is accepted.
#[test]
fn limits_are_told_in_round_inches() {
    let room = Room::with_profile("inch-barge-seax.toml");
    let design = fs::read_to_string(room.path("blade.toml")).expect("the design");
    let with = |back: &str| {
        room.write("bad.toml", design.replacen("back = \"7/32 in\"", &format!("back = {back}"), 1));
        err(&room.run(&["check", "bad.toml"]))
    };
    assert!(with("9").contains("give a value from 0.0079 in to 1.96 in"), "{}", with("9"));
    assert!(!with("1.96").contains("out of range") && !with("\"50 mm\"").contains("out of range"));
}

#[test]
fn problems_come_as_json_too() {
    let room = Room::new();
    room.write("bad.toml", "nam = \"x\"\nunitt = \"mm\"\n");
    let check = room.run(&["check", "--json", "bad.toml"]);
    assert_eq!((code(&check), err(&check).as_str()), (1, ""));
    let problems = json(&check)["problems"].as_array().expect("a list").clone();
    assert!(problems.iter().any(|problem| problem["line"] == 2 && problem["column"] == 1));
}

#[test]
fn unreadable_is_2_and_unfit_bytes_are_1() {
    let room = Room::new();
    assert_eq!(code(&room.run(&["check", "absent.toml"])), 2);
    assert_eq!(code(&room.run(&["check", "."])), 2);
    for (name, bytes) in
        [("bytes.toml", vec![0xff, 0xfe, 0]), ("open.toml", b"[[[".to_vec()), ("void.toml", vec![])]
    {
        room.write(name, bytes);
        assert_eq!(code(&room.run(&["check", name])), 1, "{name}");
    }
}

#[test]
fn files_over_a_mebibyte_are_refused_unread() {
    let room = Room::with_design();
    let design = fs::read(room.path("blade.toml")).expect("the design");
    let padded = |length: usize| [design.as_slice(), "#".repeat(length - design.len()).as_bytes()].concat();
    room.write("full.toml", padded(1 << 20));
    assert_eq!(code(&room.run(&["check", "full.toml"])), 0);
    room.write("over.toml", padded((1 << 20) + 1));
    assert_eq!(code(&room.run(&["check", "over.toml"])), 1);
    if cfg!(target_os = "linux") {
        assert_eq!(code(&room.run(&["check", "/dev/zero"])), 1);
    }
}

#[test]
fn without_a_terminal_all_is_plain() {
    let room = Room::new();
    room.write("bad.toml", "nam = \"x\"\n");
    for (variable, value) in [("NO_COLOR", "1"), ("TERM", "xterm-256color"), ("CLICOLOR_FORCE", "1")] {
        let check = room.command(&["check", "bad.toml"]).env(variable, value).output().expect("runs");
        assert!(check.stderr.is_ascii() && !check.stderr.contains(&0x1b), "{variable}: {}", err(&check));
    }
}

#[test]
fn colours_on_a_terminal_unless_no_color() {
    // `script` gives the command a terminal; its line ends are that terminal's.
    let room = Room::new();
    room.write("bad.toml", "nam = \"x\"\n");
    let line = format!("'{}' check bad.toml", env!("CARGO_BIN_EXE_seaxwright"));
    let on_terminal = |no_colour: Option<&str>| {
        let mut script = std::process::Command::new("script");
        script.args(["-qefc", &line, "/dev/null"]).current_dir(room.path(".")).stdin(Stdio::null());
        script.env_remove("NO_COLOR").envs(no_colour.map(|value| ("NO_COLOR", value)));
        out(&script.output().expect("script runs"))
    };
    assert!(on_terminal(None).contains('\u{1b}'));
    assert!(on_terminal(Some("")).contains('\u{1b}'));
    let plain = on_terminal(Some("1"));
    assert!(!plain.contains('\u{1b}') && plain.contains("bad.toml:1:1"), "{plain}");
}

#[test]
fn the_schema_is_an_object_schema() {
    let schema = Room::new().run(&["schema"]);
    assert_eq!((code(&schema), json(&schema)["type"].as_str()), (0, Some("object")));
}

#[test]
fn completions_and_manual_know_every_command() {
    let room = Room::new();
    let man = out(&room.run(&["man"]));
    for command in ["new", "check", "build", "compare", "schema", "completions", "man"] {
        assert!(man.contains(&format!("seaxwright\\-{command}")), "{command}");
        for shell in ["bash", "zsh", "fish", "elvish", "powershell"] {
            assert!(out(&room.run(&["completions", shell])).contains(command), "{shell}: {command}");
        }
    }
}

#[test]
fn a_reader_that_leaves_is_no_failure() {
    let room = Room::with_design();
    for arguments in [&["schema"][..], &["man"], &["completions", "zsh"], &["check", "--json", "blade.toml"]]
    {
        let mut child =
            room.command(arguments).stdout(Stdio::piped()).stderr(Stdio::piped()).spawn().expect("runs");
        drop(child.stdout.take());
        let mut complaint = String::new();
        child.stderr.take().expect("piped").read_to_string(&mut complaint).expect("UTF-8");
        assert_eq!((child.wait().expect("ends").code(), complaint.as_str()), (Some(0), ""), "{arguments:?}");
    }
}

#[cfg(target_os = "linux")]
#[test]
fn output_that_can_not_be_written_is_2() {
    let full = fs::OpenOptions::new().write(true).open("/dev/full").expect("a full device");
    let schema = Room::new().command(&["schema"]).stdout(full).output().expect("runs");
    assert_eq!(code(&schema), 2);
    assert!(err(&schema).contains("could not print"), "{}", err(&schema));
}
