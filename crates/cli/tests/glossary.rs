//! The words of the glossary's last column stand nowhere in what is printed.

#![allow(clippy::expect_used, reason = "a test whose setting fails is a failed test")]

#[allow(dead_code, reason = "each suite uses a part of the room")]
mod room;

use std::fs;
use std::path::{Path, PathBuf};

use room::{Room, code, err, out};

const GLOSSARY: &str = include_str!("../../../DEVELOPERS.md");

/// The last column's words, in lower case.
fn never_said() -> Vec<String> {
    let (_, table) = GLOSSARY.split_once("\n## Glossary\n").expect("a glossary");
    let rows = table.lines().filter(|line| line.starts_with("| ") && !line.starts_with("| term"));
    let last = rows.filter_map(|row| row.trim_end_matches('|').rsplit('|').next());
    last.flat_map(|cell| cell.split(';')).map(|words| words.trim().to_lowercase()).collect()
}

/// Words of the glossary in a text, whatever its line breaks and capitals.
fn found<'w>(text: &str, words: &'w [String]) -> Vec<&'w str> {
    let text = text.to_lowercase().split_whitespace().collect::<Vec<_>>().join(" ");
    words.iter().map(String::as_str).filter(|word| text.contains(word)).collect()
}

#[test]
fn the_table_is_read_and_a_word_of_it_is_found() {
    let words = never_said();
    assert!(words.len() > 25 && words.iter().all(|word| word.len() > 3), "{words:?}");
    for word in &words {
        assert_eq!(found(&format!("So we\n  {word} it."), std::slice::from_ref(word)), [word.as_str()]);
    }
}

#[test]
fn no_command_prints_them() {
    let (room, words) = (Room::new(), never_said());
    let quiet = |arguments: &[&str]| {
        let run = room.run(arguments);
        let printed = out(&run) + &err(&run);
        assert_eq!(found(&printed, &words), [""; 0], "{arguments:?}\n{printed}");
        code(&run)
    };
    for command in [
        "new", "check", "build", "template", "sheet", "gauge", "metal", "jig", "layers", "plan", "compare",
        "fit", "view", "picture", "sure", "bench",
    ] {
        quiet(&[command, "--help"]);
    }
    for arguments in [["--help"].as_slice(), &["man"], &["schema"], &["check", "nowhere.toml"]] {
        quiet(arguments);
    }
    for profile in fixtures::profiles::all() {
        let design = format!("{}.toml", profile.name);
        room.write(&design, &profile.text);
        assert_eq!(quiet(&["check", &design]), 0);
        quiet(&["plan", &design]);
        quiet(&["fit", &design]);
        quiet(&["sure", &design]);
        assert_eq!(
            quiet(&[
                "build",
                &design,
                "--make",
                "page,gauge,metal",
                "--only",
                "html,3mf,dxf",
                "--out",
                "pages"
            ]),
            0
        );
        for page in ["index.html", "show.html", "bench-note.txt"] {
            let text = fs::read_to_string(room.path(&format!("pages/{page}"))).expect("a page");
            assert_eq!(found(&text, &words), [""; 0], "{design}: {page}");
        }
        assert_eq!(quiet(&["new", "--measured", &design]), 0);
        let table =
            fs::read_to_string(room.path(&format!("{}-measured.csv", profile.name))).expect("a table");
        assert_eq!(found(&table, &words), [""; 0], "{design}");
        let filled = format!("{}-filled.csv", profile.name);
        room.write(&filled, filled_in(&table));
        assert_eq!(quiet(&["compare", &design, &filled]), 0);
    }
    for unit in ["mm", "in"] {
        assert_eq!(quiet(&["new", "Oar", "--unit", unit, "--out", unit]), 0);
        let text = fs::read_to_string(room.path(unit)).expect("a starter");
        assert_eq!(found(&text, &words), [""; 0], "{unit}");
        quiet(&["check", unit]);
        quiet(&["plan", unit]);
    }
}

/// The measured file of a blade as it should be once it is ground, with a gap under the straightedge.
fn filled_in(table: &str) -> String {
    let row = |(i, line): (usize, &str)| {
        let mut cells: Vec<&str> = line.split(',').collect();
        if i == 1 {
            cells[0] = "2026-05-01";
        }
        if i > 0 {
            cells[8] = if cells[3].starts_with("gap") { "0.01" } else { cells[6] };
        }
        cells.join(",")
    };
    table.lines().enumerate().map(row).collect::<Vec<_>>().join("\n")
}

/// Text between quotes of program code, without its tests: what might be printed. Texts that go on over several lines
/// are one.
fn quoted(code: &str) -> String {
    let (code, _) = code.split_once("#[cfg(test)]\nmod tests {").unwrap_or((code, ""));
    let plain: Vec<&str> = code.lines().filter(|line| !line.trim_start().starts_with("//")).collect();
    let plain = plain.join("\n");
    let (mut rest, mut found) = (plain.as_str(), String::new());
    while let Some((before, after)) = rest.split_once('"') {
        let bare = before.trim_end_matches('#');
        let hashes = "#".repeat(before.len() - bare.len());
        // A quote alone between apostrophes is a letter.
        let letter = after.starts_with('\'') && (before.ends_with('\'') || before.ends_with("'\\"));
        let end = match bare.ends_with('r') && !letter {
            true => after.find(&format!("\"{hashes}")),
            false => unescaped(after),
        };
        let Some(end) = end.filter(|_| !letter) else {
            rest = after;
            continue;
        };
        found += &after[..end].replace("\\\n", " ");
        found.push('\n');
        rest = &after[end + 1..];
    }
    found
}

/// Where the first quote stands that is not escaped.
fn unescaped(text: &str) -> Option<usize> {
    let mut escaped = false;
    text.bytes().position(|byte| {
        let ends = byte == b'"' && !escaped;
        escaped = byte == b'\\' && !escaped;
        ends
    })
}

#[test]
fn texts_are_read_over_several_lines_and_whatever_they_hold() {
    let code = "say(\"one \\\n     two\"); x('\"'); y(r#\"three \"four\"\"#);\n// \"five\nz(\"six \\\"seven\\\"\", \"\");";
    let words = quoted(code).split_whitespace().collect::<Vec<_>>().join(" ");
    assert_eq!(words, "one two three \"four\" six \\\"seven\\\"");
}

#[test]
fn none_stands_ready_to_be_printed() {
    let root = Path::new(env!("CARGO_MANIFEST_DIR")).join("../..");
    let words = never_said();
    let mut seen = 0;
    let mut look = |path: &Path, text: &str| {
        seen += 1;
        assert_eq!(found(text, &words), [""; 0], "{}", path.display());
    };
    let mut folders = vec![root.join("crates"), root.join("viewer/src"), root.join("profiles")];
    while let Some(folder) = folders.pop() {
        for path in fs::read_dir(&folder).expect("a folder").map(|entry| entry.expect("an entry").path()) {
            let name = path.file_name().unwrap_or_default().to_string_lossy().into_owned();
            let text = || fs::read_to_string(&path).expect("text");
            match path.extension().and_then(|ending| ending.to_str()) {
                _ if path.is_dir() && name != "tests" => folders.push(path),
                Some("rs") if !name.ends_with("tests.rs") => look(&path, &quoted(&text())),
                Some("typ" | "toml" | "html" | "js") => look(&path, &text()),
                _ => {}
            }
        }
    }
    look(&PathBuf::from("README.md"), &fs::read_to_string(root.join("README.md")).expect("a readme"));
    assert!(seen > 200, "{seen}");
}
