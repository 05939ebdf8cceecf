//! The pages of a build: each file linked once, their sizes, and which choices make them.

#![allow(clippy::expect_used, reason = "a test whose setting fails is a failed test")]

#[allow(dead_code, reason = "each suite uses a part of the room")]
mod room;

use std::collections::BTreeMap;
use std::fs;

use room::{Room, code, err, listed};

/// Bytes of the shop's page, of a blade of 480 mm, and of the customer's, at most.
const MOST: [usize; 2] = [1_500_000, 3_000_000];

fn page(room: &Room, path: &str) -> String {
    fs::read_to_string(room.path(path)).expect("a page")
}

/// How often each file is linked from a page.
fn links(page: &str) -> BTreeMap<String, usize> {
    let mut links = BTreeMap::new();
    for tag in page.split("<a ").skip(1) {
        let to = tag.split("href=\"").nth(1).and_then(|rest| rest.split('"').next()).expect("a link");
        if !to.starts_with('#') {
            *links.entry(to.replace("&#x2f;", "/")).or_default() += 1;
        }
    }
    links
}

#[test]
fn the_shops_page_links_every_file_once_and_both_pages_are_small() {
    for (profile, dir) in [("chain-smiths-trial.toml", "long"), ("inch-barge-seax.toml", "inch")] {
        let room = Room::with_profile(profile);
        let build = room.run(&["build", "blade.toml", "--out", dir]);
        assert_eq!((code(&build), err(&build).as_str()), (0, ""));
        let [shop, customer] = ["index", "show"].map(|name| page(&room, &format!("{dir}/{name}.html")));
        let wanted = listed(&room, dir).into_keys();
        let wanted = wanted.filter(|name| name != "index.html" && name != "bench-note.txt");
        assert_eq!(links(&shop), wanted.map(|name| (name, 1)).collect());
        assert_eq!(links(&customer), BTreeMap::new());
        assert!(shop.len() <= MOST[0] && customer.len() <= MOST[1], "{} {}", shop.len(), customer.len());
    }
}

#[test]
fn pages_alone_are_made_without_the_rest() {
    let room = Room::with_profile("landing-seax.toml");
    let build = |line: &[&str], out: &str| {
        let run = room.run(&[&["build", "blade.toml", "--out", out][..], line].concat());
        assert_eq!((code(&run), err(&run).as_str()), (0, ""), "{line:?}");
        room.hashes(out)
    };
    let all = build(&[], "all");
    for (out, line) in [("only", ["--only", "html"]), ("make", ["--make", "page"])] {
        let made = build(&line, out);
        assert_eq!(made.keys().collect::<Vec<_>>(), ["index.html", "manifest.json", "show.html"]);
        assert_eq!(made["show.html"], all["show.html"], "{out}");
        assert_eq!(
            links(&page(&room, &format!("{out}/index.html"))).into_keys().collect::<Vec<_>>(),
            ["show.html"]
        );
    }
    let none = build(&["--make", "blade,gauge,jig"], "none");
    assert!(!none.contains_key("index.html") && !none.contains_key("show.html"));
    let note = |out: &str| fs::read_to_string(room.path(&format!("{out}/bench-note.txt"))).expect("a note");
    assert!(note("all").contains("index.html shows all of this") && !note("none").contains("index.html"));
}

/// Before each part of the note stands its file, or its files, by the whole path.
#[test]
fn the_bench_note_says_where_each_part_is() {
    let room = Room::with_design();
    for (out, more) in [("usual", &[][..]), ("more", &["--also", "stl,step,svg"])] {
        let run = room.run(&[&["build", "blade.toml", "--out", out][..], more].concat());
        assert_eq!((code(&run), err(&run).as_str()), (0, ""), "{more:?}");
        let note = fs::read_to_string(room.path(&format!("{out}/bench-note.txt"))).expect("a note");
        let own = |name: &String| {
            let folder = name.split('/').next().expect("a folder");
            ["plate", "gauge", "jig", "metal"].contains(&folder) && !name.starts_with("metal/blade-sheet.")
        };
        let wanted: Vec<String> = room.hashes(out).into_keys().filter(own).collect();
        assert_eq!(told_files(&note), wanted, "{more:?}");
        assert!(wanted.len() > 30);
    }
}

/// The files before the parts of a note, sorted.
fn told_files(note: &str) -> Vec<String> {
    let starts = ["- plate/", "- gauge/", "- jig/", "- metal/"];
    let lines = note.lines().filter(|line| starts.iter().any(|start| line.starts_with(start)));
    let mut told: Vec<String> = lines
        .flat_map(|line| {
            let files = line.trim_start_matches("- ").split(':').next().expect("files");
            let (stem, kinds) = files.split_once('.').expect("an ending");
            kinds.split(", .").map(|kind| format!("{stem}.{kind}")).collect::<Vec<_>>()
        })
        .collect();
    told.sort();
    told
}

#[test]
fn a_script_in_names_is_told_as_text() {
    let room = Room::with_profile("landing-seax.toml");
    let design = page(&room, "blade.toml")
        .replace("name = \"Landing seax\"", "name = \"<script>alert(1)</script>\"")
        .replace("name = \"Upper twist\"", "name = \"</title><img src=x onerror=alert(2)>\"");
    room.write("blade.toml", design);
    assert_eq!(code(&room.run(&["build", "blade.toml", "--out", "o", "--only", "html,3mf,stl"])), 0);
    for name in ["index", "show"] {
        let text = page(&room, &format!("o/{name}.html"));
        assert!(!text.contains("<script>alert") && !text.contains("<img src=x"), "{name}");
        assert!(text.contains("&lt;script&gt;alert(1)") && text.contains("onerror=alert(2)&gt;"), "{name}");
    }
}
