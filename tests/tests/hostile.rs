//! Whatever bytes a file holds, reading them ends in a design or in named problems, never in a panic.

#![allow(clippy::unwrap_used, reason = "helpers of tests count as tests")]

use proptest::prelude::*;
use proptest::test_runner::{FileFailurePersistence, RngSeed};

/// Reads bytes as a design; refused ones must say why, and where within the file.
fn read(bytes: &[u8]) -> Result<(), String> {
    let Err(problems) = design::read(bytes) else { return Ok(()) };
    let whole = |p: &design::Problem| {
        let named = !(p.code.is_empty() || p.message.is_empty() || p.help.is_empty());
        named && p.span.start <= p.span.end && p.span.end <= bytes.len()
    };
    match problems.iter().find(|p| !whole(p)) {
        Some(problem) => Err(format!("{problem:?}")),
        None if problems.is_empty() => Err("refused without a problem".into()),
        None => Ok(()),
    }
}

/// The designs that come with the program.
fn profiles() -> Vec<Vec<u8>> {
    fixtures::profiles::all().into_iter().map(|profile| profile.text.into_bytes()).collect()
}

/// What stands in mutated files in place of a stretch of them.
const PIECES: [&str; 24] = [
    "",
    "nan",
    "inf",
    "-inf",
    "-1",
    "0",
    "1e308",
    "1e-308",
    "-0.0",
    "\"3/0 in\"",
    "\"1 1/2 in\"",
    "[]",
    "{}",
    "[[",
    "]]",
    "\"\"\"",
    "=",
    "\n",
    "\0",
    "é",
    "true",
    "1979-05-27",
    "0xffffffffffffffffffffffffffffffffff",
    "a.b.c.d",
];

fn config(cases: u32) -> ProptestConfig {
    ProptestConfig {
        cases,
        rng_seed: RngSeed::Fixed(3),
        failure_persistence: Some(Box::new(FileFailurePersistence::Direct("tests/cases/bytes.txt"))),
        ..ProptestConfig::default()
    }
}

proptest! {
    #![proptest_config(config(2000))]

    #[test]
    fn arbitrary_bytes_are_refused(bytes in prop::collection::vec(any::<u8>(), 0..400)) {
        read(&bytes).map_err(TestCaseError::fail)?;
    }

    #[test]
    fn arbitrary_text_is_refused(text in "[\\[\\]{}=\"'.,#\n a-f0-9_-]{0,120}") {
        read(text.as_bytes()).map_err(TestCaseError::fail)?;
    }
}

proptest! {
    #![proptest_config(config(1500))]

    #[test]
    fn flipped_bytes_do_no_harm(which in any::<prop::sample::Index>(), flips in prop::collection::vec((any::<prop::sample::Index>(), 0..8u8), 1..6)) {
        let all = profiles();
        let mut bytes = all[which.index(all.len())].clone();
        for (place, bit) in flips {
            let place = place.index(bytes.len());
            bytes[place] ^= 1 << bit;
        }
        read(&bytes).map_err(TestCaseError::fail)?;
    }

    #[test]
    fn other_values_do_no_harm(which in any::<prop::sample::Index>(), line in any::<prop::sample::Index>(), piece in prop::sample::select(&PIECES[..])) {
        let all = profiles();
        let text = String::from_utf8(all[which.index(all.len())].clone()).unwrap();
        let mut lines: Vec<String> = text.lines().map(str::to_owned).collect();
        let line = line.index(lines.len());
        let key = lines[line].split_once('=').map_or(String::new(), |(key, _)| format!("{key}= "));
        lines[line] = key + piece;
        read(lines.join("\n").as_bytes()).map_err(TestCaseError::fail)?;
    }
}

#[test]
fn truncated_designs_do_no_harm() {
    for bytes in profiles() {
        for end in (0..bytes.len()).step_by(7) {
            read(&bytes[..end]).unwrap_or_else(|why| panic!("cut at {end}: {why}"));
        }
    }
}

#[test]
fn deep_nesting_does_no_harm() {
    for depth in [10, 79, 80, 81, 100, 1000, 10_000, 100_000] {
        let texts = [
            format!("a = {}", "[".repeat(depth)),
            format!("a = {}{}", "[".repeat(depth), "]".repeat(depth)),
            format!("a = {}1{}", "{b = ".repeat(depth), "}".repeat(depth)),
            format!("a{} = 1", ".b".repeat(depth)),
            format!("[a{}]", ".b".repeat(depth)),
            format!("[[a{}]]", ".b".repeat(depth)),
            format!("[outline]\nback = {}{}", "[".repeat(depth), "]".repeat(depth)),
            format!("a{} = 1", " . b".repeat(depth)),
            format!("a{} = 1", ".\"b\"".repeat(depth)),
            "[a]\n".to_owned() + &"[[a.b]]\n".repeat(depth),
        ];
        for text in texts {
            read(text.as_bytes()).unwrap_or_else(|why| panic!("{depth}: {why}"));
        }
    }
}

#[test]
fn huge_lists_do_no_harm() {
    let head = "name = \"x\"\n[outline]\nlength = 300\nbreadth = 30\n";
    let points = "[1, 2], ".repeat(100_000);
    let texts = [
        head.to_owned() + &"[[taper]]\nat = 0\nback = 5\n".repeat(30_000),
        head.to_owned() + "[[taper]]\nat = 0\nback = 5\n" + &"[[fuller]]\n".repeat(80_000),
        head.to_owned()
            + "[[taper]]\nat = 0\nback = 5\n"
            + &"[[tang.hole]]\nat = 9\ndiameter = 1\n".repeat(25_000),
        head.to_owned() + "[[taper]]\nat = 0\nback = 5\n" + &"[[fitting]]\n".repeat(80_000),
        format!("name = \"x\"\n[outline]\nform = \"points\"\nback = [{points}]\nedge = [{points}]\n"),
        format!("name = \"{}\"\n", "x".repeat(1_000_000)),
        format!("{} = 1\n", "x".repeat(1_000_000)),
        (0..100_000).map(|i| format!("k{i} = 1\n")).collect::<String>(),
        "#".repeat((1 << 20) + 1),
        "\u{feff}".repeat(1000),
    ];
    for text in texts {
        let shown: String = text.chars().take(80).collect();
        assert!(design::read(text.as_bytes()).is_err(), "{shown}");
        read(text.as_bytes()).unwrap_or_else(|why| panic!("{shown}: {why}"));
    }
}
