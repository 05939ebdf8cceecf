//! Designs for tests: the repository's profiles, and plain blades in shops of any kind.

use std::path::PathBuf;

use design::Design;

/// Every profile of the repository with its path, by name.
pub(crate) fn profiles() -> Vec<(String, Design)> {
    let folder = concat!(env!("CARGO_MANIFEST_DIR"), "/../../profiles");
    let mut paths: Vec<_> = std::fs::read_dir(folder).unwrap().map(|entry| entry.unwrap().path()).collect();
    paths.sort();
    let read = |path: PathBuf| {
        let design = design::read(&std::fs::read(&path).unwrap());
        (path.display().to_string(), design.unwrap_or_else(|p| panic!("{}: {p:#?}", path.display())))
    };
    paths.into_iter().map(read).collect()
}

/// The profile with this file name, without its ending.
pub(crate) fn profile(stem: &str) -> Design {
    profiles().into_iter().find(|(name, _)| name.ends_with(&format!("/{stem}.toml"))).unwrap().1
}

/// A straight blade of this length tapering from one thickness to another (mm), and these lines in its shop.
pub(crate) fn with_shop(shop: &str, length: f64, [first, last]: [f64; 2]) -> Design {
    let text = format!(
        "name = 'Bank pole seax'\n[outline]\nform = 'straight-back'\nlength = {length}\nbreadth = 30\n\
         [[taper]]\nat = 0\nback = {first}\n[[taper]]\nat = {length}\nback = {last}\n[shop]\n{shop}\n"
    );
    design::read(text.as_bytes()).unwrap_or_else(|p| panic!("{p:#?}"))
}
