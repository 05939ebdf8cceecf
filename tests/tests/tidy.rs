//! The repository checks itself: the architecture page, first lines, package arrows.

#![allow(clippy::unwrap_used, clippy::panic, reason = "helpers of tests count as tests")]

use std::fs;
use std::path::{Path, PathBuf};

fn root() -> PathBuf {
    Path::new(env!("CARGO_MANIFEST_DIR")).join("..")
}

fn text(path: impl AsRef<Path>) -> String {
    let path = root().join(path);
    fs::read_to_string(&path).unwrap_or_else(|why| panic!("{}: {why}", path.display()))
}

/// Files with this ending below a folder, without what builds and environments leave.
fn files(folder: &Path, ending: &str) -> Vec<PathBuf> {
    let mut found = Vec::new();
    for entry in fs::read_dir(folder).unwrap().map(|e| e.unwrap().path()) {
        let name = entry.file_name().unwrap().to_string_lossy().into_owned();
        if entry.is_dir() && name != "target" && !name.starts_with('.') {
            found.extend(files(&entry, ending));
        } else if name.ends_with(ending) {
            found.push(entry);
        }
    }
    found.sort();
    found
}

#[test]
fn the_architecture_page_is_short_and_names_what_is_there() {
    let page = text("DEVELOPERS.md");
    let (guide, _) = page.split_once("\n## Glossary\n").unwrap();
    assert!(guide.lines().count() <= 200);
    let named: Vec<&str> = page
        .split('`')
        .skip(1)
        .step_by(2)
        .filter(|w| ["crates/", "tests/", "viewer/"].iter().any(|start| w.starts_with(start)))
        .collect();
    assert!(named.len() > 10, "{named:?}");
    // The Python environment is there only once the tests have made it.
    for path in named.into_iter().filter(|p| *p != "tests/.venv") {
        assert!(root().join(path).exists(), "DEVELOPERS.md names {path}, which is not there");
    }
}

#[test]
fn the_readme_builds_a_design_that_is_there() {
    let readme = text("README.md");
    let design = readme.split_whitespace().find(|w| w.starts_with("profiles/")).unwrap();
    assert!(root().join(design).exists(), "{design}");
}

#[test]
fn every_file_says_first_what_it_is() {
    for (ending, begins) in [(".rs", "//! "), (".py", "\"\"\""), (".toml", "# ")] {
        let folder = if ending == ".toml" { root().join("profiles") } else { root() };
        let all = files(&folder, ending);
        assert!(all.len() > 4, "{ending}: {}", all.len());
        for file in all {
            let text = fs::read_to_string(&file).unwrap();
            assert!(text.starts_with(begins), "{} does not begin with {begins}", file.display());
        }
    }
}

#[test]
fn arrows_between_packages_run_one_way() {
    let allowed = [
        ("brep", &[][..]),
        ("steel", &[][..]),
        ("files", &[][..]),
        ("blade", &["brep"][..]),
        ("fixtures", &["blade"][..]),
        ("look", &["blade"][..]),
        ("solid", &["brep"][..]),
        ("drawing", &["brep"][..]),
        ("laminate", &["blade", "brep", "steel"][..]),
        ("design", &["blade", "brep", "laminate", "steel"][..]),
        ("tooling", &["blade", "brep", "design", "drawing", "laminate", "steel"][..]),
        ("export", &["brep", "drawing", "solid"][..]),
        ("forge", &["blade", "design", "laminate", "steel"][..]),
        ("edit", &["blade", "design", "steel"][..]),
        ("fit", &["blade", "design", "laminate"][..]),
        ("measured", &["blade", "brep", "design", "drawing", "laminate", "steel"][..]),
        ("bench", &["design", "files", "measured"][..]),
        ("page", &["blade", "brep", "design", "drawing", "forge", "laminate", "tooling"][..]),
        ("sheet", &["blade", "design", "drawing", "export", "forge", "laminate", "measured", "tooling"][..]),
        (
            "cli",
            &[
                "bench", "blade", "brep", "design", "export", "files", "fit", "forge", "laminate", "look",
                "measured", "page", "sheet", "solid", "steel", "tooling",
            ][..],
        ),
        (
            "viewer",
            &[
                "blade", "brep", "design", "edit", "export", "files", "fit", "forge", "laminate", "look",
                "measured", "steel",
            ][..],
        ),
    ];
    let packages: Vec<&str> = allowed.iter().map(|a| a.0).collect();
    let mut folders: Vec<String> = fs::read_dir(root().join("crates"))
        .unwrap()
        .map(|e| e.unwrap().file_name().to_string_lossy().into_owned())
        .collect();
    folders.sort();
    // The window stands beside the crates.
    let mut known: Vec<&str> = packages.iter().copied().filter(|p| *p != "viewer").collect();
    known.sort_unstable();
    assert_eq!(folders, known, "say here which packages a new one may use");
    for (package, may) in allowed {
        let folder = if package == "viewer" { "viewer".to_owned() } else { format!("crates/{package}") };
        let manifest = text(format!("{folder}/Cargo.toml"));
        let used = manifest.split("[dev-dependencies]").next().unwrap_or_default();
        for other in &packages {
            let uses = used
                .lines()
                .any(|l| l.starts_with(&format!("{other}.")) || l.starts_with(&format!("{other} ")));
            assert!(!uses || may.contains(other), "{package} must not use {other}");
        }
        assert_eq!(used.contains("truck"), package == "solid", "{package} and truck");
        assert_eq!(used.contains("kiss3d"), package == "viewer", "{package} and the window's kit");
    }
}
