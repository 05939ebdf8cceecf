//! The list that `licences` prints: all of `Cargo.lock`, every licence one of those allowed, every second version with
//! those who ask for it. `SEAXWRIGHT_BLESS=1` writes it anew, which needs all packages at hand.

#![allow(clippy::expect_used, clippy::panic, reason = "a test whose setting fails is a failed test")]

#[allow(dead_code, reason = "each suite uses a part of the room")]
mod room;

use std::collections::{BTreeMap, BTreeSet};
use std::fmt::Write;
use std::fs;
use std::path::{Path, PathBuf};
use std::process::Command;

use room::{Room, out};
use serde_json::Value;

/// Licences under which others' work may be built in: all let it be passed on with their text, and ask for no more.
const ALLOWED: [&str; 16] = [
    "0BSD",
    "Apache-2.0",
    "Apache-2.0 WITH LLVM-exception",
    "BSD-2-Clause",
    "BSD-3-Clause",
    "BSL-1.0",
    "CC0-1.0",
    "ISC",
    "MIT",
    "MIT-0",
    "NCSA",
    "OFL-1.1",
    "Ubuntu-font-1.0",
    "Unicode-3.0",
    "Unlicense",
    "Zlib",
];

/// The list's parts, by what their packages are for.
const PARTS: [&str; 3] =
    ["In the program", "In the window besides", "In building and testing, or in parts not switched on"];
/// The list's last part.
const SEVERAL: &str = "In several versions, each asked for by";

/// A package's name and version.
type Package = (String, String);

fn root() -> PathBuf {
    Path::new(env!("CARGO_MANIFEST_DIR")).join("../..")
}

fn list() -> PathBuf {
    Path::new(env!("CARGO_MANIFEST_DIR")).join("src/command/licences.txt")
}

/// What `Cargo.lock` says of a package.
struct Locked {
    package: Package,
    /// Whether it is somebody else's.
    foreign: bool,
    /// Names, with the version where there are several.
    asks_for: Vec<String>,
}

/// All packages of `Cargo.lock`.
fn locked() -> Vec<Locked> {
    let text = fs::read_to_string(root().join("Cargo.lock")).expect("the lock file");
    let field = |table: &str, key: &str| {
        let line = table.lines().find_map(|line| line.strip_prefix(&format!("{key} = \"")));
        line.map(|value| value.trim_end_matches('"').to_owned())
    };
    let tables = text.split("[[package]]").skip(1);
    let locked = tables.map(|table| Locked {
        package: (field(table, "name").expect("a name"), field(table, "version").expect("a version")),
        foreign: field(table, "source").is_some(),
        asks_for: table
            .lines()
            .filter_map(|l| Some(l.strip_prefix(" \"")?.trim_end_matches("\",").to_owned()))
            .collect(),
    });
    locked.collect()
}

/// Packages that are there in several versions: for each version those who ask for it.
fn several(locked: &[Locked]) -> BTreeMap<Package, BTreeSet<String>> {
    let mut versions: BTreeMap<&str, usize> = BTreeMap::new();
    locked.iter().for_each(|l| *versions.entry(&l.package.0).or_default() += 1);
    let mut asked = BTreeMap::new();
    for Locked { package, .. } in locked.iter().filter(|l| versions[l.package.0.as_str()] > 1) {
        let wanted = format!("{} {}", package.0, package.1);
        let who = locked.iter().filter(|l| l.asks_for.contains(&wanted)).map(|l| l.package.0.clone());
        asked.insert(package.clone(), who.collect());
    }
    asked
}

/// Whether an expression of licences (SPDX; `/` is an older way to write OR) comes to allowed ones.
fn allowed(expression: &str) -> bool {
    let plain = expression.replace('/', " OR ").replace(['(', ')'], " ");
    let term = |term: &str| ALLOWED.contains(&term.split_whitespace().collect::<Vec<_>>().join(" ").as_str());
    // Brackets only ever stand around alternatives, so all of the parts joined by AND must hold.
    plain.split(" AND ").all(|part| part.split(" OR ").any(term))
}

/// What cargo knows of the packages, of this system's alone or of all systems'.
fn metadata(all: bool) -> Value {
    let mut cargo = Command::new(env!("CARGO"));
    cargo.args(["metadata", "--locked", "--format-version", "1"]).current_dir(root());
    if !all {
        let version = Command::new("rustc").arg("-vV").output().expect("the compiler").stdout;
        let version = String::from_utf8(version).expect("text");
        let host = version.lines().find_map(|line| line.strip_prefix("host: ")).expect("a system");
        cargo.args(["--offline", "--filter-platform", host]);
    }
    let done = cargo.output().expect("cargo runs");
    assert!(done.status.success(), "{}", String::from_utf8_lossy(&done.stderr));
    serde_json::from_slice(&done.stdout).expect("JSON")
}

fn text<'v>(value: &'v Value, key: &str) -> &'v str {
    value[key].as_str().unwrap_or_default()
}

/// Others' packages with the part that they belong to and their licence: of this system's alone or of all systems'.
fn known(all: bool) -> BTreeMap<Package, (usize, String)> {
    let metadata = metadata(all);
    let packages = metadata["packages"].as_array().expect("packages");
    let built = ["seaxwright", "viewer"].map(|program| built_in(program, all));
    let entry = |p: &Value| {
        let package = (text(p, "name").to_owned(), text(p, "version").to_owned());
        let part = built.iter().position(|part| part.contains(&package)).unwrap_or(2);
        (package, (part, text(p, "license").to_owned()))
    };
    packages.iter().filter(|p| !p["source"].is_null()).map(entry).collect()
}

/// The packages that a program is built of with its own features, its tests' and build scripts' left out.
fn built_in(program: &str, all: bool) -> BTreeSet<Package> {
    let mut cargo = Command::new(env!("CARGO"));
    cargo.args(["tree", "--locked", "-p", program, "-e", "normal", "--prefix", "none", "-f", "{p}"]);
    // Without a network only what this system is built of is at hand.
    cargo.args(if all { ["--target", "all"].as_slice() } else { &["--offline"] }).current_dir(root());
    let done = cargo.output().expect("cargo runs");
    assert!(done.status.success(), "{}", String::from_utf8_lossy(&done.stderr));
    let text = String::from_utf8(done.stdout).expect("text");
    let row = |line: &str| {
        let (name, version) = line.split_once(" v")?;
        Some((name.to_owned(), version.split(' ').next()?.to_owned()))
    };
    text.lines().filter_map(row).collect()
}

/// The list as it is printed.
fn written(
    known: &BTreeMap<Package, (usize, String)>,
    several: &BTreeMap<Package, BTreeSet<String>>,
) -> String {
    let mut text =
        "Seaxwright is under the MIT licence. What it is built of, with version and licence (SPDX):\n"
            .to_owned();
    for (part, title) in PARTS.iter().enumerate() {
        let _ = writeln!(text, "\n{title}");
        for ((name, version), (_, licence)) in known.iter().filter(|(_, (p, _))| *p == part) {
            let _ = writeln!(text, "  {name} {version}: {licence}");
        }
    }
    let _ = writeln!(text, "\n{SEVERAL}");
    for ((name, version), who) in several {
        let who: Vec<&str> = who.iter().map(String::as_str).collect();
        let _ = writeln!(text, "  {name} {version}: {}", who.join(", "));
    }
    text
}

/// The rows of a part of the list.
fn rows(list: &str, part: &str) -> BTreeMap<Package, String> {
    let rows = list.lines().skip_while(|line| *line != part).skip(1).take_while(|line| !line.is_empty());
    let row = |line: &str| {
        let (package, rest) = line.trim().split_once(": ").expect("a row");
        let (name, version) = package.split_once(' ').expect("a version");
        ((name.to_owned(), version.to_owned()), rest.to_owned())
    };
    rows.map(row).collect()
}

#[test]
fn every_package_is_listed_under_an_allowed_licence() {
    let locked = locked();
    let several = several(&locked);
    if std::env::var_os("SEAXWRIGHT_BLESS").is_some() {
        fs::write(list(), written(&known(true), &several)).expect("the list");
    }
    let list = fs::read_to_string(list()).expect("the list");
    let parts = PARTS.map(|part| rows(&list, part));
    let listed: BTreeSet<&Package> = parts.iter().flat_map(BTreeMap::keys).collect();
    let foreign: BTreeSet<&Package> = locked.iter().filter(|l| l.foreign).map(|l| &l.package).collect();
    let (missing, old): (Vec<_>, Vec<_>) =
        (foreign.difference(&listed).collect(), listed.difference(&foreign).collect());
    assert!(
        missing.is_empty() && old.is_empty(),
        "write the list anew (SEAXWRIGHT_BLESS=1 cargo test -p seaxwright --test licences): missing {missing:?}, no longer used {old:?}"
    );
    for (package, licence) in parts.iter().flatten() {
        assert!(allowed(licence), "{package:?}: `{licence}` is not on the list of allowed licences");
    }
    let told: BTreeMap<Package, String> = several
        .iter()
        .map(|(package, who)| {
            (package.clone(), who.iter().map(String::as_str).collect::<Vec<_>>().join(", "))
        })
        .collect();
    assert_eq!(rows(&list, SEVERAL), told);
    assert!(told.values().all(|who| !who.is_empty()), "{told:?}");
}

/// Whatever of the packages this machine has says of itself what the list says of it.
#[test]
fn the_list_says_what_the_packages_say() {
    let list = fs::read_to_string(list()).expect("the list");
    let parts = PARTS.map(|part| rows(&list, part));
    let known = known(false);
    assert!(known.len() > 300, "{}", known.len());
    for (package, (part, licence)) in known {
        let listed = parts.iter().position(|rows| rows.contains_key(&package));
        let listed = listed.unwrap_or_else(|| panic!("{package:?} is not listed"));
        assert_eq!(parts[listed][&package], licence, "{package:?}");
        // Another system may build it into more than this one does.
        assert!(listed <= part, "{package:?} is listed under `{}`", PARTS[listed.min(2)]);
    }
}

#[test]
fn unknown_licences_are_denied() {
    for fine in [
        "MIT",
        "MIT/Apache-2.0",
        "GPL-2.0-only OR MIT",
        "(MIT OR Apache-2.0) AND Unicode-3.0",
        "Apache-2.0 / MIT",
    ] {
        assert!(allowed(fine), "{fine}");
    }
    for denied in
        ["", "GPL-3.0-or-later", "MIT AND GPL-2.0-only", "(MIT OR Apache-2.0) AND LGPL-2.1", "Proprietary"]
    {
        assert!(!allowed(denied), "{denied}");
    }
}

#[test]
fn the_program_prints_the_list() {
    let printed = out(&Room::new().run(&["licences"]));
    assert_eq!(printed, fs::read_to_string(list()).expect("the list"));
    assert!(printed.contains("  miette ") && printed.contains("  kiss3d "), "{printed}");
}
