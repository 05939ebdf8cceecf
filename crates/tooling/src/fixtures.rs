//! Designs for tests: the repository's profiles, and plain blades in shops of any kind.

use design::Design;
use fixtures::profiles::Profile;
use glam::DVec2;

use crate::slab::contour::Contour;
use crate::slab::corner::{Corner, arc_of};

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

/// Distance of a point from a contour's border, mm.
pub(crate) fn from_border(p: DVec2, contour: &Contour) -> f64 {
    contour.sides().map(|side| from_side(p, side)).fold(f64::INFINITY, f64::min)
}

/// Distance of a point from a side, mm.
pub(crate) fn from_side(p: DVec2, (a, b): (Corner, DVec2)) -> f64 {
    let ends = p.distance(a.at).min(p.distance(b));
    if a.bulge.abs() < 1e-9 {
        let along = ((p - a.at).dot(b - a.at) / (b - a.at).length_squared()).clamp(0.0, 1.0);
        return p.distance(a.at.lerp(b, along));
    }
    let (centre, radius, from, to) = arc_of(a.at, a.bulge, b);
    let turn = ((p - centre).to_angle() - from) * (to - from).signum();
    let within = turn.rem_euclid(std::f64::consts::TAU) <= (to - from).abs();
    if within { (p.distance(centre) - radius).abs() } else { ends }
}
