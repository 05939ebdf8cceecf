//! Sound designs and measured files bent in every way: each is judged within two seconds and half a gibibyte, in named
//! problems or whole words, never in a panic. `SEAXWRIGHT_CASES` raises the number of files of each kind, and
//! `SEAXWRIGHT_SKIP` passes over as many, so that a long run may be done in pieces.

#![allow(clippy::unwrap_used, clippy::print_stdout, reason = "helpers of tests count as tests")]

use std::fs;
use std::panic::{AssertUnwindSafe, catch_unwind};
use std::path::Path;
use std::time::{Duration, Instant};

use design::{Design, Problem, Summary};
use fixtures::mutation::mutated;
use fixtures::profiles;
use measured::{Bench, Stages};

/// Files of each kind in an ordinary run.
const CASES: u64 = 9500;
/// The first number of each kind: seeds.
const SEEDS: [u64; 2] = [21_000_000, 42_000_000];
/// The longest that a file is judged.
const PATIENCE: Duration = Duration::from_secs(2);
/// How often a file that took longer is judged again: on a machine at other work most take long once.
const AGAIN: usize = 4;
/// The most memory that the whole run takes, KiB.
const MEMORY: u64 = 512 * 1024;
/// Where failing files are kept, and tried again by every run.
const KEPT: &str = "tests/cases/mutations";

/// What stops a file from being judged as it should, if anything does.
fn tried(judge: impl Fn(&[u8]) -> Result<bool, String>, bytes: &[u8]) -> Result<bool, String> {
    let timed = || {
        let begin = Instant::now();
        let verdict =
            catch_unwind(AssertUnwindSafe(|| judge(bytes))).unwrap_or_else(|_| Err("a panic".into()));
        (verdict, begin.elapsed())
    };
    let (verdict, mut time) = timed();
    // Other work may have held it up: what takes long takes long each time.
    for _ in 0..AGAIN {
        time = if time > PATIENCE { timed().1.min(time) } else { time };
    }
    if time > PATIENCE { Err(format!("{time:?}")) } else { verdict }
}

/// Judges all numbered files of a kind; those that fail are kept as `KIND-NUMBER.ENDING`.
fn sweep(
    kind: &str,
    ending: &str,
    first: u64,
    sound: &[Vec<u8>],
    judge: impl Fn(&[u8], u64) -> Result<bool, String>,
) {
    let asked = |name: &str, otherwise: u64| std::env::var(name).map_or(otherwise, |n| n.parse().unwrap());
    let (cases, first) = (asked("SEAXWRIGHT_CASES", CASES), first + asked("SEAXWRIGHT_SKIP", 0));
    let (begin, mut accepted, mut failed, mut slowest) = (Instant::now(), 0, Vec::new(), Duration::ZERO);
    for number in first..first + cases {
        let bytes = mutated(sound, number);
        let case = Instant::now();
        match tried(|bytes| judge(bytes, number), &bytes) {
            Ok(sound) => accepted += u64::from(sound),
            Err(why) => {
                fs::create_dir_all(KEPT).unwrap();
                fs::write(format!("{KEPT}/{kind}-{number}.{ending}"), &bytes).unwrap();
                failed.push(format!("{kind} {number}: {why}"));
            }
        }
        slowest = slowest.max(case.elapsed());
    }
    let peak = peak_memory();
    let time = begin.elapsed();
    println!(
        "{cases} {kind}s from {first}: {accepted} sound, slowest {slowest:?}, {time:.1?}, peak {peak:?} KiB"
    );
    assert!(failed.is_empty(), "{} failed: {}", failed.len(), failed[..failed.len().min(20)].join("\n"));
    assert!(accepted > cases / 50 && accepted < cases, "{accepted} of {cases} are sound");
    assert!(peak.is_none_or(|peak| peak < MEMORY), "{peak:?} KiB");
}

/// The most memory that this process has had, KiB, where the system tells.
fn peak_memory() -> Option<u64> {
    let status = fs::read_to_string("/proc/self/status").ok()?;
    let line = status.lines().find(|line| line.starts_with("VmHWM:"))?;
    line.split_whitespace().nth(1)?.parse().ok()
}

/// What is wrong with problems: each names its rule, says what is wrong and what would do, and lies within the file.
fn told(bytes: &[u8], problems: &[Problem]) -> Result<bool, String> {
    let whole = |p: &Problem| {
        let named = !(p.code.is_empty() || p.message.is_empty() || p.help.is_empty());
        named && p.span.start <= p.span.end && p.span.end <= bytes.len()
    };
    match problems.iter().find(|p| !whole(p)) {
        Some(problem) => Err(format!("{problem:?}")),
        None if problems.is_empty() || problems.len() > 101 => Err(format!("{} problems", problems.len())),
        None => Ok(false),
    }
}

/// Judges a design as `check` does, and every eighth as `plan` does.
fn design(bytes: &[u8], number: u64) -> Result<bool, String> {
    let design = match design::read(bytes) {
        Ok(design) => design,
        Err(problems) => return told(bytes, &problems),
    };
    let mut words = Summary::from_design(&design).text();
    if number.is_multiple_of(8) {
        words += &forge::Plan::of(&design).map_or_else(String::new, |plan| plan.text());
    }
    // Bent names may spell anything.
    let is_figure =
        |word: &str| words.contains(word) && !bytes.windows(3).any(|w| w == &word.as_bytes()[..3]);
    if is_figure("NaN") || is_figure("inf ") { Err(words) } else { Ok(true) }
}

/// A design with its stages, as the bench has them.
struct Measured {
    design: Design,
    stages: Stages,
}

impl Measured {
    fn of(profile: &str) -> Measured {
        let design = design::read(profiles::named(profile).text.as_bytes()).unwrap();
        let stages = Stages::of(&design);
        Measured { design, stages }
    }

    /// Judges a measured file as `compare` does.
    fn judge(&self, bytes: &[u8]) -> Result<bool, String> {
        let read = measured::read(bytes, &self.design);
        match read.and_then(|sessions| Bench::on(&self.design, &self.stages, &sessions, None)) {
            Ok(bench) => match bench.map_or_else(String::new, |bench| bench.text()) {
                words if words.contains("NaN") => Err(words),
                _ => Ok(true),
            },
            Err(problems) => told(bytes, &problems),
        }
    }
}

/// A measured file with a row of everything that is read, and two smaller ones.
fn tables() -> Vec<Vec<u8>> {
    let all = "date,stage,station,what,height,measured,sure,note\n\
               2026-03-01,forged,0,back,,8.1 mm,,cold\n,,60 mm,thickness,12 mm,6.3 mm,,\n,,120 mm,breadth,,33 mm,,\n\
               ,,60 mm,right,12 mm,3.2 mm,,\n,,60 mm,left,12 mm,3.1 mm,yes,\n,,100 mm,gap right back,,0.4 mm,,\n\
               ,,150 mm,gap left edge,,0.2 mm,,\n,,100 mm,gap back,,0 mm,,\n,,200 mm,twist,,1.5,,\n,,,weight,,612 g,,\n\
               2026-03-02,,30 mm,back,,7.4 mm,,\n,,,balance,,90 mm,,\n,,-50 mm,clamped weight,,200 g,,\n\
               ,,,balance with weights,,70 mm,,\n,,-50 mm,support,,200 g,,\n,,140 mm,support,,410 g,,\n\
               ,,,hardness,,58,,\n,,,tempered,,200 C,,\n";
    let few = "date;station;what;measured\r\n2026-03-01;50;back;6,4\r\n;100;back;6,1\r\n;150;edge;1,2\r\n";
    let odd = "\u{feff}note,measured,what,date,station\n\"a, b\",\"1/4 in\",back,2026-03-01,\"2 1/2 in\"\n,0.22 in,back,,4 in\n";
    [all, few, odd].map(|text| text.as_bytes().to_vec()).to_vec()
}

#[test]
fn bent_designs_are_judged() {
    let sound: Vec<Vec<u8>> = profiles::all().into_iter().map(|profile| profile.text.into_bytes()).collect();
    sweep("design", "toml", SEEDS[0], &sound, design);
}

#[test]
fn bent_tables_are_judged() {
    let blades = ["landing-seax", "inch-barge-seax"].map(Measured::of);
    let judge = |bytes: &[u8], number: u64| blades[(number % 2) as usize].judge(bytes);
    sweep("table", "csv", SEEDS[1], &tables(), judge);
}

/// Every file that ever failed.
#[test]
fn kept_files_are_judged() {
    let Ok(entries) = fs::read_dir(KEPT) else { return };
    let blades = ["landing-seax", "inch-barge-seax"].map(Measured::of);
    for path in entries.map(|e| e.unwrap().path()) {
        let bytes = fs::read(&path).unwrap();
        let is = |ending: &str| path.extension() == Some(Path::new(ending).as_os_str());
        let verdict = if is("toml") {
            tried(|bytes| design(bytes, 0), &bytes)
        } else {
            blades.iter().try_fold(false, |_, blade| tried(|bytes| blade.judge(bytes), &bytes))
        };
        verdict.unwrap_or_else(|why| panic!("{}: {why}", path.display()));
    }
}
