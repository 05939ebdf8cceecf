//! `build`: what it writes, that it writes all or nothing, and that it never takes what is not its own.

#![allow(clippy::expect_used, reason = "a test whose setting fails is a failed test")]

#[allow(dead_code, reason = "each suite uses a part of the room")]
mod room;

use std::fs;
use std::process::Command;

use room::{Room, code, err, listed, out};

/// Everything that a build of the blade `blade` alone holds.
const WHOLE: &[&str] = &[
    "blade/blade-finished.3mf",
    "blade/blade-finished.glb",
    "blade/blade-finished.step",
    "blade/blade-finished.stl",
    "blade/blade-forged.3mf",
    "blade/blade-forged.glb",
    "blade/blade-forged.step",
    "blade/blade-forged.stl",
    "blade/blade-ground.3mf",
    "blade/blade-ground.glb",
    "blade/blade-ground.step",
    "blade/blade-ground.stl",
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
    let build = room.run(&["build", "blade.toml", "--make", "blade"]);
    assert_eq!((code(&build), err(&build).as_str()), (0, ""));
    assert_eq!(names(&room, "build/blade"), WHOLE);
    assert_whole(&room, "build/blade");
    for name in WHOLE {
        assert!(out(&build).contains(name), "{name} in\n{}", out(&build));
    }
    assert_eq!(names(&room, "build").len(), WHOLE.len(), "nothing beside the folder");
}

#[test]
fn a_whole_build_holds_blade_template_plate_gauges_jig_and_note() {
    let room = Room::with_design();
    let build = room.run(&["build", "blade.toml"]);
    assert_eq!((code(&build), err(&build).as_str()), (0, ""));
    let found = names(&room, "build/blade");
    assert_whole(&room, "build/blade");
    for start in [
        "bench-note.txt",
        "blade/blade-finished.step",
        "template/blade-forged.pdf",
        "template/blade-ground.dxf",
        "sheet/blade.pdf",
        "plate/blade-profile-forged",
        "plate/blade-window-forged",
        "gauge/blade-comb-ground",
        "gauge/blade-section-forged-100.3mf",
        "gauge/blade-tang-slot.3mf",
        "metal/blade-profile-forged-hot.dxf",
        "metal/blade-window-forged.dxf",
        "metal/blade-sheet.dxf",
        "jig/blade-fit-coupon.3mf",
        "jig/blade-stop-25.step",
    ] {
        assert!(found.iter().any(|name| name.starts_with(start)), "{start} in {found:#?}");
    }
}

/// A printer, a cutter, who works steel and who prints paper find one file each; others are made when they are asked for,
/// and change no other.
#[test]
fn each_part_comes_in_the_kind_it_needs_and_in_others_where_they_are_asked_for() {
    let room = Room::with_profile("chain-smiths-trial.toml");
    let build = |more: &[&str], out: &str| {
        let run = room.run(&[&["build", "blade.toml", "--out", out][..], more].concat());
        assert_eq!((code(&run), err(&run).as_str()), (0, ""), "{more:?}");
        room.hashes(out)
    };
    let (usual, more) =
        (build(&[], "usual"), build(&["--also", "step,stl", "--also", "3mf,svg,png"], "more"));
    let (_, slug) = usual.keys().next().and_then(|first| first.split_once('/')).expect("a folder");
    let slug = slug.split("-finished").next().expect("a name").to_owned();
    let kinds = |files: &std::collections::BTreeMap<String, String>, start: &str| {
        let start = start.replace("BLADE", &slug);
        let own = files.keys().filter(|name| name.starts_with(&start));
        let mut kinds: Vec<String> =
            own.map(|name| name.rsplit('.').next().expect("an ending").to_owned()).collect();
        kinds.sort();
        kinds.dedup();
        kinds.join(" ")
    };
    for (start, needed, all) in [
        ("plate/", "3mf", "3mf step stl"),
        ("gauge/", "3mf", "3mf step stl"),
        ("jig/BLADE-fit", "3mf", "3mf step stl"),
        ("jig/BLADE-stop", "step", "3mf step stl"),
        ("jig/BLADE-jig-insert", "step", "3mf step stl"),
        ("metal/", "dxf", "dxf svg"),
        ("template/", "dxf pdf", "dxf pdf png svg"),
        ("blade/", "3mf glb step stl", "3mf glb step stl"),
        ("bars/", "3mf glb step", "3mf glb step"),
        ("layers/", "glb png", "glb png"),
        ("sheet/", "pdf", "pdf"),
    ] {
        assert_eq!((kinds(&usual, start).as_str(), kinds(&more, start).as_str()), (needed, all), "{start}");
    }
    assert!(2 * usual.len() < more.len() + 30, "{} of {} files", usual.len(), more.len());
    let told = ["bench-note.txt", "index.html", "manifest.json"];
    let changed = |name: &String| told.contains(&name.as_str());
    assert!(
        usual.iter().all(|(name, hash)| changed(name) || more[name] == *hash),
        "what is needed is the same"
    );
    for (line, words) in
        [(["--also", "pdf"], "give one of: step, stl, 3mf, svg, png"), (["--also", "dwg"], "give one of")]
    {
        let run = room.run(&[&["build", "blade.toml", "--out", "wrong"][..], &line].concat());
        assert!(code(&run) == 2 && err(&run).contains(words), "{}", err(&run));
    }
    let both = room.run(&["build", "blade.toml", "--only", "3mf", "--also", "stl", "--out", "wrong"]);
    assert!(
        code(&both) == 2 && err(&both).contains("--also") && err(&both).contains("--only"),
        "{}",
        err(&both)
    );
    assert!(!room.path("wrong").exists());
}

#[test]
fn each_command_makes_its_own_sort_as_the_whole_build_does() {
    let room = Room::with_design();
    assert_eq!(code(&room.run(&["build", "blade.toml", "--out", "all"])), 0);
    let all = room.hashes("all");
    for (command, folders) in [
        ("template", &["template", "plate"][..]),
        ("gauge", &["gauge"][..]),
        ("metal", &["metal"][..]),
        ("jig", &["jig"][..]),
    ] {
        let made = room.run(&[command, "blade.toml"]);
        assert_eq!((code(&made), err(&made).as_str()), (0, ""), "{command}");
        let folder = format!("build/blade-{command}");
        assert_whole(&room, &folder);
        let own = |name: &String| folders.iter().any(|f| name.starts_with(&format!("{f}/")));
        let wanted: Vec<_> = all.iter().filter(|(name, _)| own(name)).collect();
        let found = room.hashes(&folder);
        assert_eq!(found.iter().filter(|(name, _)| own(name)).collect::<Vec<_>>(), wanted, "{command}");
        assert_eq!(found.len(), wanted.len() + 2, "note and manifest");
    }
}

#[test]
fn paper_and_heat_can_be_chosen() {
    let room = Room::with_design();
    let template = |more: &[&str], out: &str| {
        let mut line = vec!["template", "blade.toml", "--stage", "ground", "--only", "pdf,svg", "--out", out];
        line.extend(more);
        code(&room.run(&line))
    };
    assert_eq!(template(&[], "cold"), 0);
    assert_eq!(template(&["--hot", "700"], "hot"), 0);
    assert_eq!(template(&["--hot", "1292 F"], "warm"), 0);
    assert_eq!(template(&["--paper", "a3"], "large"), 0);
    let (cold, hot, large) = (room.hashes("cold"), room.hashes("hot"), room.hashes("large"));
    let (pdf, svg) = ("template/blade-ground.pdf", "template/blade-ground.svg");
    assert!(cold[svg] != hot[svg] && cold[svg] == large[svg] && cold[pdf] != large[pdf]);
    let told = |out: &str| std::fs::read_to_string(room.path(&format!("{out}/{svg}"))).expect("a drawing");
    assert!(told("hot").contains("for steel at 700 °C") && told("warm").contains("for steel at 700 °C"));
    for wrong in [&["--hot", "1300"][..], &["--hot", "nan"][..], &["--paper", "a2"][..]] {
        assert_eq!(template(wrong, "wrong"), 2, "{wrong:?}");
    }
    assert!(!room.path("wrong").exists());
}

#[test]
fn kerf_sheet_thickness_and_heat_can_be_chosen_and_what_is_absurd_is_refused() {
    let room = Room::with_design();
    let metal =
        |more: &[&str], out: &str| room.run(&[&["metal", "blade.toml", "--out", out][..], more].concat());
    assert_eq!(code(&metal(&[], "plain")), 0);
    let plain = room.hashes("plain");
    assert!(plain.keys().all(|name| !name.starts_with("metal/") || name.ends_with(".dxf")));
    assert_eq!(code(&metal(&["--only", "svg"], "svg")), 0);
    assert!(room.hashes("svg").keys().all(|name| !name.starts_with("metal/") || name.ends_with(".svg")));
    assert_eq!(code(&metal(&["--kerf", "0.2mm", "--only", "dxf"], "kerf")), 0);
    let kerf = room.hashes("kerf");
    assert_ne!(kerf["metal/blade-window-forged.dxf"], plain["metal/blade-window-forged.dxf"]);
    assert!(!kerf.keys().any(|name| name.ends_with(".svg")));
    assert_eq!(code(&metal(&["--hot", "20"], "cold")), 0);
    assert!(room.hashes("cold").contains_key("metal/blade-profile-forged.dxf"));
    assert_eq!(code(&metal(&["--sheet", "48x24 in", "--thickness", "1/8 in"], "inches")), 0);
    for (line, words) in [
        (&["--kerf", "nan"][..], "from 0 to 2.5 mm"),
        (&["--kerf", "-1"], "from 0 to 2.5 mm"),
        (&["--kerf", "3"], "out of range"),
        (&["--sheet", "0x0"], "from 50 to 12000 mm"),
        (&["--sheet", "1000"], "width by height"),
        (&["--sheet", "100x60"], "needs a sheet of"),
        (&["--thickness", "inf"], "from 0.5 to 12 mm"),
        (&["--hot", "1300"], "from 20 to 1200"),
        (&["--only", "stl"], "give one of: svg, dxf"),
    ] {
        let run = metal(line, "wrong");
        assert_eq!(code(&run), 2, "{line:?}");
        assert!(err(&run).contains(words), "{line:?}: {}", err(&run));
    }
    assert!(!room.path("wrong").exists());
}

#[test]
fn the_sheet_is_that_of_the_whole_build_or_on_other_paper() {
    let room = Room::with_design();
    let sheet = |line: &[&str], out: &str| {
        assert_eq!(code(&room.run(&[line, &["--out", out]].concat())), 0, "{line:?}");
        let mut hashes = room.hashes(out);
        assert_eq!(hashes.len(), 2, "sheet and manifest: {hashes:?}");
        hashes.remove("sheet/blade.pdf").unwrap()
    };
    let own = sheet(&["sheet", "blade.toml"], "own");
    assert_eq!(own, sheet(&["build", "blade.toml", "--make", "sheet"], "made"));
    assert_eq!(own, sheet(&["sheet", "blade.toml", "--paper", "a4"], "a4"));
    assert_ne!(own, sheet(&["sheet", "blade.toml", "--paper", "letter"], "letter"));
}

#[test]
fn choices_that_leave_nothing_to_make_are_told_and_write_nothing() {
    let room = Room::with_design();
    for line in [
        &["build", "blade.toml", "--make", "template", "--only", "stl"][..],
        &["build", "blade.toml", "--make", "plate", "--stage", "ground"][..],
    ] {
        let made = room.run(line);
        assert_eq!(code(&made), 2, "{line:?}");
        assert!(err(&made).contains("nothing") && err(&made).contains("--only"), "{}", err(&made));
    }
    for command in ["gauge", "jig"] {
        let made = room.run(&[command, "blade.toml", "--only", "pdf"]);
        assert_eq!(code(&made), 2, "{command}");
        assert!(err(&made).contains("give one of: step, stl, 3mf\n"), "{}", err(&made));
    }
    assert!(!room.path("build").exists());
}

#[test]
fn a_bed_too_small_for_the_parts_is_a_problem_at_its_line() {
    let room = Room::new();
    let outline = "[outline]\nform = \"straight-back\"\nlength = 300\nbreadth = 30\n";
    let taper = "[[taper]]\nat = 0\nback = 5\n";
    room.write("small.toml", format!("name = \"oar\"\n{outline}{taper}[shop]\nbed = [40, 40, 40]\n"));
    let build = room.run(&["build", "small.toml", "--out", "o"]);
    assert_eq!((code(&build), out(&build).as_str()), (1, ""));
    let said = err(&build);
    assert!(said.contains("bed = [40, 40, 40]") && said.contains("profile plate"), "{said}");
    assert!(said.contains("other parts") && said.contains("--make"), "all at once: {said}");
    assert!(!room.path("o").exists());
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
        "--make",
        "blade",
    ];
    assert_eq!(code(&room.run(&choice)), 0);
    let wanted = [
        "blade/blade-finished.3mf",
        "blade/blade-finished.step",
        "blade/blade-ground.3mf",
        "blade/blade-ground.step",
        "manifest.json",
    ];
    assert_eq!(names(&room, "o"), wanted);
    assert_whole(&room, "o");
    let other =
        ["build", "blade.toml", "--out", "o", "--only", "stl", "--stage", "forged", "--make", "blade"];
    assert_eq!(code(&room.run(&other)), 0);
    assert_eq!(
        names(&room, "o"),
        ["blade/blade-forged.stl", "manifest.json"],
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
    assert_eq!(room.hashes("one")["blade/blade-ground.stl"], room.hashes("all")["blade/blade-ground.stl"]);
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
    assert_eq!(code(&room.run(&["gauge", "blade.toml", "--out", "deep"])), 0);
    room.write("deep/gauge/letter.txt", "mine");
    assert_eq!(code(&room.run(&["jig", "blade.toml", "--out", "stray"])), 0);
    fs::create_dir(room.path("stray/mine")).expect("a folder");
    room.write("file", "no folder");
    let before = room.hashes(".");
    let cases = [
        ("theirs", "letter.txt"),
        ("ours", "notes.txt"),
        ("deep", "gauge/letter.txt"),
        ("stray", "mine"),
        (".", "standing"),
        ("file", "not a folder"),
    ];
    for (folder, word) in cases {
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
    assert!(err(&build).contains("can't be written"), "{}", err(&build));
    assert_eq!(room.hashes("."), before);
}
