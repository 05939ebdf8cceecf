//! From the bytes of a saved design file to the surface of its finished blade, at the window's tolerance.

use std::path::Path;

fn main() {
    divan::main();
}

#[divan::bench(args = ["chain-smiths-trial.toml", "landing-seax.toml", "toll-keepers-langseax.toml"])]
fn rebuild(bencher: divan::Bencher<'_, '_>, profile: &str) {
    let path = Path::new(env!("CARGO_MANIFEST_DIR")).join("../profiles").join(profile);
    let bytes = std::fs::read(path).unwrap_or_default();
    bencher.bench(|| viewer::Shown::finished(&bytes).map(|shown| shown.triangles()));
}
