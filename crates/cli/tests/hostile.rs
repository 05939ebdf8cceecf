//! Bent, broken and hostile input to the program itself: no panic, no wait, one clear error.

#![cfg(unix)]
#![allow(
    clippy::expect_used,
    clippy::panic,
    clippy::print_stderr,
    reason = "a test whose setting fails is a failed test"
)]

#[allow(dead_code, reason = "each suite uses a part of the room")]
mod room;

use std::ffi::OsString;
use std::fs;
use std::os::unix::ffi::{OsStrExt, OsStringExt};
use std::process::{Command, Output, Stdio};
use std::time::{Duration, Instant};

use fixtures::mutation::{Dice, PIECES, WORDS};
use room::{Room, code, err, json};

/// The longest that any command may take on a file that it refuses.
const PATIENCE: Duration = Duration::from_secs(2);
/// The most memory that the system gives it, KiB.
const MEMORY: usize = 512 * 1024;
/// The longest word and the longest line that this system hands on to a program, bytes: 128 KiB and 2 MiB, less some room.
const LONGEST_WORD: usize = 120_000;
const LONGEST_LINE: usize = 1_500_000;
/// Command lines bent in an ordinary run; `SEAXWRIGHT_CASES` raises it, and `SEAXWRIGHT_SKIP` passes over as many, so that a
/// long run may be done in pieces.
const CASES: u64 = 1000;
/// How often a run that took longer is tried again: on a machine at other work most take long once.
const AGAIN: usize = 4;
/// The first of their numbers: a seed.
const SEED: u64 = 63_000_000;

/// Runs the command; it must end by itself within [`PATIENCE`], with 0, 1 or 2.
fn run(room: &Room, arguments: &[&str]) -> Output {
    let arguments: Vec<OsString> = arguments.iter().map(OsString::from).collect();
    within(room, "", &arguments).unwrap_or_else(|why| panic!("{arguments:?}: {why}"))
}

/// Runs the command after a line of shell, with [`MEMORY`] at most, and says what is wrong with how it ended.
fn within(room: &Room, setting: &str, arguments: &[OsString]) -> Result<Output, String> {
    let (mut output, mut time) = ended(room, setting, arguments)?;
    for _ in 0..AGAIN {
        if time > PATIENCE {
            (output, time) = ended(room, setting, arguments)?;
        }
    }
    let told = String::from_utf8_lossy(&output.stderr).into_owned();
    match output.status.code() {
        _ if time > PATIENCE => Err(format!("{time:?}")),
        Some(0) if told.is_empty() => Ok(output),
        Some(0..=2) if !told.contains("panicked") && told.len() < 1 << 20 => Ok(output),
        code => Err(format!("{code:?}: {}", told.chars().take(2000).collect::<String>())),
    }
}

/// Runs it once, and how long that took; a run that does not end is no good end.
fn ended(room: &Room, setting: &str, arguments: &[OsString]) -> Result<(Output, Duration), String> {
    let begin = Instant::now();
    let line = format!("ulimit -v {MEMORY}; ulimit -t 10; {setting}\nexec \"$0\" \"$@\"");
    // The smaller shell begins sooner; some settings are written for the other.
    let mut command = Command::new(if setting.is_empty() { "sh" } else { "bash" });
    command.args(["-c", &line, env!("CARGO_BIN_EXE_seaxwright")]).args(arguments).current_dir(room.path("."));
    for variable in ["NO_COLOR", "CLICOLOR", "CLICOLOR_FORCE", "FORCE_COLOR"] {
        command.env_remove(variable);
    }
    let output = command.stdin(Stdio::null()).output().map_err(|why| why.to_string())?;
    Ok((output, begin.elapsed()))
}

/// Found by mutation: a form feed in a line of 400,000 characters, which was drawn with more columns than a width has
/// bits.
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
        err(&compare).contains("and 50 more problems")
            && err(&compare).contains("more than 100 problems in late.csv"),
        "{}",
        err(&compare)
    );
}

/// Command lines that are sound, or all but the design: those that build get a bad one, lest they take their time.
const LINES: [&[&str]; 21] = [
    &["check", "good.toml"],
    &["check", "good.toml", "--json"],
    &["plan", "good.toml", "--json"],
    &["new", "Ferry knife"],
    &["new", "Knife", "--unit", "in", "--out", "k.toml"],
    &["new", "--measured", "good.toml", "--out", "m.csv", "--semicolons"],
    &["compare", "good.toml", "t.csv"],
    &["compare", "good.toml", "t.csv", "--past", "1.5", "--json"],
    &["fit", "good.toml", "--out", "f.toml"],
    &["layers", "good.toml", "--at", "120,14", "--side", "left", "--json"],
    &["metal", "good.toml", "--kerf", "0.2", "--sheet", "1000x500", "--thickness", "3", "--hot", "700C"],
    &["build", "bad.toml", "--out", "o", "--make", "blade", "--stage", "forged", "--only", "stl"],
    &["template", "bad.toml", "--paper", "a4", "--hot", "700"],
    &["layers", "bad.toml", "--dots", "10", "--colours", "steels"],
    &["sheet", "bad.toml", "--paper", "letter"],
    &["gauge", "bad.toml", "--only", "step,stl"],
    &["schema"],
    &["completions", "bash"],
    &["man"],
    &["licences"],
    &["help", "build"],
];

/// A command line bent in one way or two: the same for the same number.
fn bent(number: u64) -> Vec<OsString> {
    let mut dice = Dice::new(number);
    let mut line: Vec<OsString> = dice.of(&LINES[..]).iter().map(OsString::from).collect();
    for _ in 0..=dice.below(4) / 2 {
        let at = dice.below(line.len() + 1);
        let word = word(&mut dice);
        match dice.below(6) {
            0 => line.insert(at, word),
            1 => drop(line.get(at).is_some().then(|| line.remove(at))),
            2 => {
                let word = vec![word; dice.below(200)];
                line.splice(at..at, word);
            }
            3 if at + 1 < line.len() => line.swap(at, at + 1),
            4 => line.get_mut(at).into_iter().for_each(|old| old.push(&word)),
            _ => line.get_mut(at).into_iter().for_each(|old| old.clone_from(&word)),
        }
    }
    let long = |line: &[OsString]| line.iter().map(|word| word.len()).sum::<usize>() > LONGEST_LINE;
    while long(&line) {
        line.pop();
    }
    line
}

/// An argument: a piece, a word, a part of another line, bytes that are no text, or something very long.
fn word(dice: &mut Dice) -> OsString {
    let word = match dice.below(6) {
        0 => {
            let line = *dice.of(&LINES[..]);
            (*dice.of(line)).to_owned()
        }
        1 => (*dice.of(&WORDS)).to_owned(),
        2 => [
            "--out",
            "--",
            "-",
            "-h",
            "--json=x",
            "--only=",
            "--version",
            "-1",
            ".",
            "/",
            "/dev/null",
            "/dev/zero",
        ][dice.below(12)]
        .to_owned(),
        3 => dice.of(&PIECES).repeat(dice.below(5000)),
        _ => (*dice.of(&PIECES)).to_owned(),
    };
    // No system hands on a NUL, and sound designs are for the lines that have them.
    let word = word.replace('\0', "").replace("good.toml", "bad.toml");
    let word: String = word.char_indices().take_while(|(at, _)| *at < LONGEST_WORD).map(|(_, c)| c).collect();
    if dice.below(10) == 0 {
        OsString::from_vec([word.as_bytes(), b"\xff\xfe"].concat())
    } else {
        word.into()
    }
}

/// A room with a sound design, a bad one, and a measured file.
fn furnished() -> Room {
    let room = Room::new();
    assert_eq!(code(&room.run(&["new", "Good", "--out", "good.toml"])), 0);
    room.write("bad.toml", "name = \"Bad\"\n[outline]\nlength = \u{1b}[2J\n");
    room.write("t.csv", "date,station,what,height,measured\n2026-03-01,0,back,,6.4\n,100,back,,5.9\n");
    room
}

#[test]
fn bent_command_lines_end_in_a_sentence() {
    let asked =
        |name: &str, otherwise| std::env::var(name).map_or(otherwise, |n| n.parse().expect("a number"));
    let (cases, first) = (asked("SEAXWRIGHT_CASES", CASES), SEED + asked("SEAXWRIGHT_SKIP", 0));
    let (mut room, mut failed, mut codes) = (furnished(), Vec::new(), [0; 3]);
    for number in first..first + cases {
        // What lines write is in nobody's way for long.
        if number.is_multiple_of(50) {
            room = furnished();
        }
        let (line, setting) = (bent(number), surroundings(number));
        match within(&room, setting, &line) {
            Ok(done) if has_word(setting, &line, &done) => codes[code(&done) as usize] += 1,
            Ok(_) => failed.push(format!("{number}: {setting}: {line:?} ends without a word")),
            Err(why) => failed.push(format!("{number}: {setting}: {line:?}: {why}")),
        }
    }
    eprintln!("{cases} command lines from {first}: {codes:?} ended with 0, 1, 2");
    assert!(failed.is_empty(), "{} failed: {}", failed.len(), failed[..failed.len().min(10)].join("\n"));
    assert!(codes.iter().all(|n| *n as u64 > cases / 50), "{codes:?}");
}

/// What surrounds a numbered command line: nothing odd around every other one.
fn surroundings(number: u64) -> &'static str {
    if number.is_multiple_of(2) { "" } else { SETTINGS[(number / 2) as usize % SETTINGS.len()] }
}

/// Whether a failure is told, where there is somebody to tell it to; problems as JSON stand on the standard output, and a
/// closed one swallows them.
fn has_word(setting: &str, line: &[OsString], done: &Output) -> bool {
    let is_shut =
        setting.contains("2>") || (setting == "exec >&-" && line.iter().any(|word| word == "--json"));
    is_shut || code(done) == 0 || !(done.stderr.is_empty() && done.stdout.is_empty())
}

/// What surrounds a command, as a line of shell before it.
const SETTINGS: [&str; 30] = [
    "unset HOME",
    "export HOME=/nowhere",
    "export COLUMNS=0 LINES=0",
    "export COLUMNS=1",
    "export COLUMNS=65536",
    "export COLUMNS=-1",
    "export COLUMNS=wide",
    "unset TERM",
    "export TERM=dumb",
    "export LC_ALL=C",
    "export LC_ALL=xx_XX.nothing",
    "export LANG=$'\\xff'",
    "export TMPDIR=/nowhere",
    "export PATH=",
    "export RUST_BACKTRACE=full",
    "export NO_COLOR=1",
    "export CLICOLOR_FORCE=1 FORCE_COLOR=3",
    "export RAYON_NUM_THREADS=0",
    "export RAYON_NUM_THREADS=many",
    "ulimit -n 24",
    "trap '' XFSZ; ulimit -f 1",
    "umask 0",
    "umask 777",
    "exec >&-",
    "exec 2>&-",
    "exec <&-",
    "exec >&- 2>&- <&-",
    "exec >/dev/full",
    "exec 2>/dev/full",
    "mkdir gone; cd gone; rmdir ../gone",
];

#[test]
fn odd_surroundings_end_in_a_sentence() {
    let lines: [&[&str]; 8] = [
        &["--version"],
        &["help", "build"],
        &["check", "good.toml"],
        &["check", "bad.toml"],
        &["new", "Other"],
        &["compare", "good.toml", "t.csv", "--out", "c"],
        &["build", "good.toml", "--make", "blade", "--stage", "forged", "--only", "stl", "--out", "o"],
        &["view"],
    ];
    for setting in SETTINGS {
        let room = furnished();
        for line in lines {
            let line: Vec<OsString> = line.iter().map(OsString::from).collect();
            let done =
                within(&room, setting, &line).unwrap_or_else(|why| panic!("{setting}: {line:?}: {why}"));
            assert!(
                has_word(setting, &line, &done),
                "{setting}: {line:?} ended with {} without a word",
                code(&done)
            );
            // What can't be printed is a failure; what can't be complained of can't be said.
            let full = setting == "exec >/dev/full" && line[0] != "view";
            assert!(!full || code(&done) != 0, "{setting}: {line:?}");
        }
        for folder in ["o", "c"].iter().filter(|folder| room.path(folder).exists() && setting != "umask 777")
        {
            assert!(room.path(folder).join("manifest.json").exists(), "{setting}: {folder}");
        }
        let left = fs::read_dir(room.path(".")).expect("a folder").map(|e| e.expect("an entry").file_name());
        let left: Vec<_> = left.filter(|name| name.as_bytes().ends_with(b".tmp")).collect();
        assert!(left.is_empty(), "{setting}: {left:?}");
    }
}

/// On a terminal as narrow and as wide as one can be told to be.
#[cfg(target_os = "linux")]
#[test]
fn terminals_of_no_width_and_of_any_are_written_to() {
    let room = furnished();
    room.write("long.toml", format!("name = \"{}\u{1b}[2J", "刃".repeat(50_000)));
    for columns in ["0", "1", "65535", "65536"] {
        for line in
            ["check long.toml", "check bad.toml", "check good.toml", "build good.toml --out o --make jig"]
        {
            let shell = format!(
                "stty cols {columns} rows {columns}; \"{}\" {line}",
                env!("CARGO_BIN_EXE_seaxwright")
            );
            let mut script = Command::new("script");
            script.args(["-qec", &shell, "/dev/null"]).current_dir(room.path(".")).stdin(Stdio::null());
            let done = script.output().expect("a terminal");
            let told = String::from_utf8_lossy(&done.stdout).into_owned();
            assert!(done.status.code().is_some_and(|code| code <= 2), "{columns}: {line}: {told}");
            assert!(!told.contains("panicked") && !told.contains("\u{1b}[2J"), "{columns}: {line}: {told}");
        }
    }
}

/// Outputs that are files, links and others' folders, and places where nothing can be written.
#[test]
fn odd_places_to_write_to_are_refused_and_left_as_they_were() {
    let room = furnished();
    room.write("file", "mine");
    fs::create_dir(room.path("theirs")).expect("a folder");
    room.write("theirs/letter.txt", "dear");
    for (to, link) in
        [("file", "to-file"), ("nowhere", "dangling"), ("loop", "loop"), ("theirs", "to-theirs")]
    {
        std::os::unix::fs::symlink(to, room.path(link)).expect("a link");
    }
    let places = [
        "file",
        "file/below",
        "to-file",
        "loop",
        "theirs",
        "to-theirs",
        "/",
        "/proc",
        "/proc/o",
        "/dev/null",
        "nul",
    ];
    for place in places.into_iter().chain(["con", "o.", "theirs/letter.txt", "", ".", ".."]) {
        for line in [
            &["build", "good.toml", "--make", "blade", "--only", "stl", "--stage", "forged", "--out", place]
                [..],
            &["compare", "good.toml", "t.csv", "--out", place],
        ] {
            let done = run(&room, line);
            assert_eq!(code(&done), 2, "{line:?}: {}", err(&done));
            assert!(err(&done).starts_with("error: "), "{line:?}: {}", err(&done));
        }
        let new = run(&room, &["new", "Other", "--out", place]);
        assert_eq!(code(&new), 2, "{place}: {}", err(&new));
    }
    assert_eq!(fs::read(room.path("file")).expect("it"), b"mine");
    assert_eq!(fs::read_dir(room.path("theirs")).expect("it").count(), 1);
    assert!(!room.path("nul").exists() && !room.path("con").exists());
}

/// A disk that is full, and one that takes nothing, where this system lets a test have them.
#[cfg(target_os = "linux")]
#[test]
fn full_and_locked_disks_keep_what_was_there() {
    let room = furnished();
    let mounted = |options: &str, line: &str| {
        let program = env!("CARGO_BIN_EXE_seaxwright");
        let shell = format!(
            "mkdir -p disk && mount -t tmpfs -o size=256k none disk && {line}",
            line = line.replace("SEAX", program)
        );
        let shell = shell.replace("LOCK", &format!("mount -o remount,{options} disk"));
        let mut unshare = Command::new("unshare");
        unshare.args(["-rm", "bash", "-c", &shell]).current_dir(room.path("."));
        unshare.output().expect("unshare runs")
    };
    if !mounted("rw", "true").status.success() {
        eprintln!("no disks for tests on this system");
        return;
    }
    let small = "SEAX compare good.toml t.csv --out disk/c >/dev/null || SEAX check good.toml >/dev/null";
    assert!(mounted("rw", small).status.success());
    let first = "SEAX build good.toml --make jig --only 3mf --out disk/o >/dev/null 2>&1; find disk -type f | sort | xargs sha256sum > before; ";
    let then = "SEAX build good.toml --make blade,jig --out disk/o; said=$?; find disk -type f | sort | xargs sha256sum > after; ls -A disk >&2; cmp before after && exit $said";
    for (options, sentence) in [("size=256k", "can't be written"), ("ro", "can't be written")] {
        let done = mounted(options, &format!("{first}LOCK; {then}"));
        let told = err(&done);
        assert_eq!(code(&done), 2, "{options}: {told}");
        assert!(
            told.contains(sentence)
                && !told.contains("panicked")
                && !told.lines().any(|line| line.starts_with(".seaxwright-")),
            "{options}: {told}"
        );
    }
}

/// Names of devices and of nothing make files that every system can have.
#[test]
fn names_that_some_systems_keep_are_mended() {
    let room = Room::new();
    for (name, file) in
        [("Con", "con-blade"), ("NUL.", "nul-blade"), ("com1", "com1-blade"), ("a: b?*. ", "a-b")]
    {
        assert_eq!(code(&run(&room, &["new", name])), 0, "{name}");
        assert!(room.path(&format!("{file}.toml")).exists(), "{name}");
    }
    let build = ["build", "con-blade.toml", "--make", "blade", "--stage", "forged", "--only", "stl"];
    assert_eq!(code(&run(&room, &build)), 0);
    let names = room.hashes("build");
    assert!(names.keys().any(|name| name == "con-blade/blade/con-blade-forged.stl"), "{names:?}");
    for name in names.keys().flat_map(|name| name.split('/')) {
        assert_eq!(files::unfit(name), None, "{name}");
    }
    let refused = run(&room, &["new", "Other", "--out", "aux.toml"]);
    assert!(
        code(&refused) == 2 && err(&refused).contains("keeps this name for a device"),
        "{}",
        err(&refused)
    );
}
