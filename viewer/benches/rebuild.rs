//! From the bytes of a saved design file to the surface of its finished blade, at the window's tolerance.

use look::Colour;

/// Blades of 480, 310 and 900 mm.
const PROFILES: [&str; 4] =
    ["chain-smiths-trial", "landing-seax", "toll-keepers-langseax", "lamp-trimmers-knife"];

fn main() {
    divan::main();
}

#[divan::bench(args = PROFILES)]
fn bare_steel(bencher: divan::Bencher<'_, '_>, profile: &str) {
    rebuild(bencher, profile, Colour::Steel);
}

#[divan::bench(args = PROFILES)]
fn bar_by_bar(bencher: divan::Bencher<'_, '_>, profile: &str) {
    rebuild(bencher, profile, Colour::Bars);
}

fn rebuild(bencher: divan::Bencher<'_, '_>, profile: &str, colour: Colour) {
    let bytes = fixtures::profiles::named(profile).text.into_bytes();
    bencher.bench(|| viewer::Shown::finished(&bytes, colour).map(|shown| shown.triangles()));
}
