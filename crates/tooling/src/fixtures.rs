//! Designs for tests: the repository's profiles, and plain blades in shops of any kind.

use design::Design;
use fixtures::profiles::Profile;

/// Every profile of the repository, by name.
pub(crate) fn profiles() -> Vec<(String, Design)> {
    let all = fixtures::profiles::all().into_iter();
    all.map(|profile| (profile.name.clone(), read(&profile))).collect()
}

/// The profile with this file name, without its ending.
pub(crate) fn profile(stem: &str) -> Design {
    read(&fixtures::profiles::named(stem))
}

fn read(profile: &Profile) -> Design {
    design::read(profile.text.as_bytes()).unwrap_or_else(|p| panic!("{}: {p:#?}", profile.name))
}

/// A straight blade of this length tapering from one thickness to another (mm), and these lines in its shop.
pub(crate) fn with_shop(shop: &str, length: f64, [first, last]: [f64; 2]) -> Design {
    let text = format!(
        "name = 'Bank pole seax'\n[outline]\nform = 'straight-back'\nlength = {length}\nbreadth = 30\n\
         [[taper]]\nat = 0\nback = {first}\n[[taper]]\nat = {length}\nback = {last}\n[shop]\n{shop}\n"
    );
    design::read(text.as_bytes()).unwrap_or_else(|p| panic!("{p:#?}"))
}
