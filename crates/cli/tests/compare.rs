//! `compare` and `new --measured`: what is printed and written, and that nothing is written where something is wrong.

#![allow(clippy::expect_used, reason = "a test whose setting fails is a failed test")]

#[allow(dead_code, reason = "each suite uses a part of the room")]
mod room;

use std::fs;

use room::{Room, code, err, json, out};

/// A room with a design and its sheet, filled with the ground stage's own sizes; `mend` may change each measured cell.
fn filled(mend: impl Fn(usize, &str) -> String) -> Room {
    let room = Room::with_design();
    assert_eq!(code(&room.run(&["new", "--measured", "blade.toml", "--semicolons"])), 0);
    let sheet = fs::read_to_string(room.path("blade-measured.csv")).expect("the sheet");
    let row = |(i, line): (usize, &str)| {
        let mut cells: Vec<String> = line.split(';').map(str::to_owned).collect();
        if i > 0 {
            cells[8] = mend(i + 1, &cells[6]);
        }
        if i == 1 {
            cells[0] = "2026-05-01".to_owned();
        }
        cells.join(";") + "\r\n"
    };
    let text: String = sheet.lines().enumerate().map(row).collect();
    room.write("bench.csv", format!("\u{feff}{text}"));
    room
}

#[test]
fn a_sheet_goes_out_comes_back_filled_and_is_compared() {
    let room = filled(|_, planned| planned.to_owned());
    let words = room.run(&["compare", "blade.toml", "bench.csv"]);
    assert_eq!((code(&words), err(&words).as_str()), (0, ""));
    for word in ["to take off", "ground", "finished", "weighed"] {
        assert!(out(&words).contains(word), "no {word} in\n{}", out(&words));
    }
    let told = json(&room.run(&["compare", "--json", "blade.toml", "bench.csv"]));
    let day = &told["days"][0];
    assert_eq!((day["date"].as_str(), day["next"].as_str()), (Some("2026-05-01"), Some("finished")));
    assert_eq!(day["set_aside"].as_array().map(Vec::len), Some(0));
    assert!(day["ways"][0]["take_off_g"].as_f64().expect("a mass") > 1.0);
    assert!(!room.path("build").exists());
}

#[test]
fn the_sheet_never_overwrites() {
    let room = Room::with_design();
    let new = room.run(&["new", "--measured", "blade.toml"]);
    assert_eq!((code(&new), out(&new).trim()), (0, "wrote blade-measured.csv"));
    let before = room.hashes(".");
    assert_eq!(code(&room.run(&["new", "--measured", "blade.toml"])), 2);
    assert_eq!(code(&room.run(&["new", "--measured", "blade.toml", "name"])), 2);
    assert_eq!(code(&room.run(&["new"])), 2);
    assert_eq!(room.hashes("."), before);
}

#[test]
fn a_wrong_reading_is_named_and_the_rest_goes_on() {
    // The second station's back: 64 for 6.4 and the like.
    let slip = |planned: &str| planned.replace(',', "").chars().take(2).collect::<String>();
    let room = filled(|line, planned| if line == 8 { slip(planned) } else { planned.to_owned() });
    let words = room.run(&["compare", "blade.toml", "bench.csv"]);
    assert_eq!(code(&words), 0);
    assert!(out(&words).contains("line 8: back"), "{}", out(&words));
    assert!(out(&words).contains("is the decimal point out of place?"), "{}", out(&words));
}

#[test]
fn problems_are_told_at_once_with_their_lines_and_nothing_is_written() {
    let room = Room::with_design();
    let cases = [
        ("date,what,measured\n2026-01-01,back,6\n", &["station` is missing", ":1:"][..]),
        (
            "date,station,what,measured\n2026-01-01,9999,back,6\n,0,back,1/4 in\n,10,back,6\n,20,back,6\n,30,bak,6\n,40,back,NaN\n",
            &[
                "line 2, station",
                "not on the blade",
                "line 3, measured",
                "the unit differs from line 4",
                "line 6, what",
                "did you mean `back`",
                "line 7, measured",
                "4 problems in bench.csv",
            ],
        ),
    ];
    for (text, words) in cases {
        room.write("bench.csv", text);
        let before = room.hashes(".");
        let compare = room.run(&["compare", "blade.toml", "bench.csv", "--out", "out"]);
        assert_eq!((code(&compare), out(&compare).as_str()), (1, ""));
        for word in words {
            assert!(err(&compare).contains(word), "no {word} in\n{}", err(&compare));
        }
        assert_eq!(room.hashes("."), before);
        let problems = json(&room.run(&["compare", "--json", "blade.toml", "bench.csv"]));
        assert!(problems["problems"][0]["line"].as_u64().is_some_and(|line| line > 0));
        assert_eq!(problems["problems"][0]["file"].as_str(), Some("bench.csv"));
    }
}

#[test]
fn an_empty_sheet_and_absent_files_say_so() {
    let room = Room::with_design();
    assert_eq!(code(&room.run(&["new", "--measured", "blade.toml"])), 0);
    let empty = room.run(&["compare", "blade.toml", "blade-measured.csv"]);
    assert_eq!(code(&empty), 1);
    assert!(err(&empty).contains("no measured value"), "{}", err(&empty));
    assert_eq!(code(&room.run(&["compare", "blade.toml", "absent.csv"])), 2);
    assert_eq!(code(&room.run(&["compare", "blade.toml", "blade-measured.csv", "--past", "-1"])), 2);
}

#[test]
fn the_folder_is_replaced_as_a_whole_and_the_same_twice() {
    let room = filled(|_, planned| planned.to_owned());
    let run = || code(&room.run(&["compare", "blade.toml", "bench.csv", "--out", "out"]));
    assert_eq!(run(), 0);
    let first = room.hashes("out");
    let names: Vec<&str> = first.keys().map(String::as_str).collect();
    // A single day has no progress to plot.
    assert_eq!(names, ["bench-page.pdf", "comparison.txt", "manifest.json", "take-off.png"]);
    let manifest: serde_json::Value =
        serde_json::from_slice(&fs::read(room.path("out/manifest.json")).expect("a manifest")).expect("JSON");
    let page = manifest["files"].as_array().expect("files").iter().find(|f| f["name"] == "bench-page.pdf");
    assert_eq!(page.expect("the page")["pages"].as_u64(), Some(1));
    assert_eq!((run(), room.hashes("out")), (0, first));
    room.write("out/mine.txt", "mine");
    assert_eq!(run(), 2);
    assert_eq!(fs::read(room.path("out/mine.txt")).expect("still there"), b"mine");
}

#[test]
fn where_steel_is_gone_the_nearest_blade_is_told_and_written() {
    // Every thickness came out a tenth thinner than ground, which is thinner than finished.
    let thin = |_: usize, planned: &str| {
        // Gaps, weights and tempers are not planned, and not read here.
        let Ok(value) = planned.replace(',', ".").parse::<f64>() else { return String::new() };
        if value < 8.0 { format!("{:.2}", 0.9 * value).replace('.', ",") } else { planned.to_owned() }
    };
    let room = filled(thin);
    let words = room.run(&["compare", "blade.toml", "bench.csv", "--out", "bench"]);
    assert_eq!((code(&words), err(&words).as_str()), (0, ""));
    assert!(out(&words).contains("the nearest finished blade you can still make"), "{}", out(&words));
    let check = room.run(&["check", "bench/nearest.toml"]);
    assert_eq!(code(&check), 0, "{}", err(&check));
    let told = json(&room.run(&["compare", "--json", "blade.toml", "bench.csv"]));
    // No more steel than there is.
    let there = told["days"][0]["bench"]["steel_g"].as_f64().expect("a mass");
    let made = told["nearest"]["steel_g"].as_f64().expect("a mass");
    assert!(made > 100.0 && made <= there, "{made} of {there}");
}

/// From rows to words and JSON: supports, a bow, hardness; and a row that can't be, with its line.
#[test]
fn supports_and_hardness_are_told_in_words_and_json() {
    let room = Room::with_design();
    let rows = "date,stage,station,what,measured\n2026-05-01,finished,0,gap right back,0\n,,60,gap right back,0.8\n,,120,gap \
                right back,0\n,,,hardness,48\n,,-20,support,150\n,,100,support,250\n";
    room.write("bench.csv", rows);
    let run = room.run(&["compare", "blade.toml", "bench.csv"]);
    assert_eq!((code(&run), err(&run).as_str()), (0, ""));
    for words in ["by the scales under the supports: 400.0 g", "springs back wholly", "hardened steel"] {
        assert!(out(&run).contains(words), "no {words} in\n{}", out(&run));
    }
    let told = json(&room.run(&["compare", "--json", "blade.toml", "bench.csv"]));
    let day = &told["days"][0];
    assert!((day["levered"]["steel_g"].as_f64().expect("a mass") - 400.0).abs() < 1e-6);
    assert!(day["hilt"]["mass_g"].as_f64().is_some());
    assert_eq!(day["warp"]["straightening"]["condition"]["hardened"], true);
    assert!(day["warp"]["straightening"]["bends"][0]["springs_back_mm"].as_f64().expect("a sag") > 0.0);
    room.write("bench.csv", rows.replace(",,100,support,250\n", ""));
    let alone = room.run(&["compare", "blade.toml", "bench.csv"]);
    assert_eq!(code(&alone), 1);
    assert!(err(&alone).contains("line 6") && err(&alone).contains("one support"), "{}", err(&alone));
}
