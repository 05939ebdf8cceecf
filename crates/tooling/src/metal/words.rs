//! What is written on gauges of sheet steel, and in their notes.

use design::{Design, Figures, Temperature};
use steel::elongation;

use crate::gauge::preform_plate::forged_up;
use crate::gauge::{bevel_gauge, tang_gauge};
use crate::metal::cutting::{Cutting, ROOM};
use crate::slab::label;

/// How long a gauge is held over hot steel, s: long enough to see light between them.
const HELD: f64 = 5.0;

/// What every gauge's note ends with.
pub(crate) const EDGES: &str =
    " Cut edges are sharp: wear gloves, and file the edges blunt before you use it.";

/// Of what sheet steel gauges are cut: heated, zinc gives off fumes (OSHA's page and AWS fact sheet 25).
pub const BARE: &str = "bare, never zinc-plated (galvanised): over hot steel its fumes make you ill";

/// The heat as it stands on a gauge.
pub(crate) fn heat(figures: Figures, hot: Option<f64>) -> String {
    hot.map_or_else(|| "COLD".to_owned(), |celsius| format!("HOT {}", figures.about(celsius)))
}

/// The heat as a title tells it, after the stage.
pub(crate) fn told_heat(figures: Figures, hot: Option<f64>) -> String {
    hot.map_or_else(
        || ", cold".to_owned(),
        |celsius| format!(", HOT: for steel at {}", figures.about(celsius)),
    )
}

/// Which words found no room: of heat, name of the gauge, name of the blade.
pub(crate) fn missing(left: &[bool; 3]) -> String {
    let what = ["the temperature", "the gauge's own name", "the blade's name"];
    let said = what.iter().zip(left).filter(|(_, left)| **left).map(|(what, _)| *what);
    label::no_room(&said.collect::<Vec<_>>())
}

/// What the profile gauge for hot steel is for.
pub(crate) fn hot_profile(figures: Figures, cutting: &Cutting, celsius: f64, scale: f64) -> String {
    format!(
        "Hold it over the blade at the end of a heat: the outline {}. {}",
        scaled(figures, celsius, scale),
        held(figures, cutting)
    )
}

/// How large a gauge for hot steel is, and what that rests on.
pub(crate) fn scaled(figures: Figures, celsius: f64, scale: f64) -> String {
    format!(
        "{:.1} % oversize, for steel at {} (calculated: EN 1993-1-2); the figures on it are the cold blade's. Steel {} hotter or colder: about 0.1 % off",
        100.0 * (scale - 1.0),
        figures.about(celsius),
        kelvin(figures, 50.0)
    )
}

/// How a gauge is held over hot steel, and why it stays cold enough.
pub(crate) fn held(figures: Figures, cutting: &Cutting) -> String {
    let warmer = cutting.warms(HELD);
    let grows = 100.0 * elongation(ROOM + warmer).unwrap_or(f64::NAN);
    let grows = if grows < 0.05 { "hardly grows".to_owned() } else { format!("grows by {grows:.1} %") };
    let warms = kelvin(figures, (warmer / 10.0).ceil() * 10.0);
    format!(
        "Hold it with tongs, just clear of the steel, for no more than {HELD:.0} seconds: it then warms by at most about \
         {warms} and {grows} (calculated). Left on the blade it grows with it, and the blade looks too \
         short: let it cool between looks. Treat it as hot until you have checked it without touching it."
    )
}

/// A difference of temperature.
fn kelvin(figures: Figures, kelvin: f64) -> String {
    let step = if figures.temperature == Temperature::Fahrenheit { 5.0 } else { 1.0 };
    let degrees = figures.temperature.degrees(kelvin) - figures.temperature.degrees(0.0);
    format!("{:.0} {}", (degrees / step).round() * step, figures.temperature.name())
}

/// What the window is for, and how its corners are.
pub(crate) fn window(figures: Figures, gap: f64, relief: Option<f64>) -> String {
    let mut note =
        format!("Lay it around the cold blade: the outline with a gap of {} all around.", figures.gap(gap));
    if let Some(radius) = relief {
        note += &format!(
            " Where the blade has a corner the window's is relieved ({} radius), so that the blade does not bind.",
            figures.gap(radius)
        );
    }
    note
}

/// What a comb is for.
pub(crate) fn comb(figures: Figures, gap: f64, relief: f64) -> String {
    let gap = figures.gap(gap);
    format!(
        "Push it over the back at each station, measured from the shoulder: the blade is down to size when its back enters \
         the GO slot to the bottom, and too thin when it enters the NO GO slot. GO is {gap} wider, NO GO {gap} narrower than \
         the figure. Check both with feeler gauges before use: a cut can be out by that much. The slots' corners are relieved \
         ({} radius). For cold steel.",
        figures.gap(relief)
    )
}

/// What a section gauge is for.
pub(crate) fn section(figures: Figures, gap: f64, relief: f64) -> String {
    format!(
        "Hold it square to the blade at its station, words towards the hilt, and push the edge in: it fits when the same gap \
         of light, {}, shows along both flanks. The root of the notch is rounded out ({} radius), so that the edge touches nothing. For cold steel.",
        figures.gap(gap),
        figures.gap(relief)
    )
}

/// What the bevel-angle gauge is for; `all` whether every angle has its notch.
pub(crate) fn bevels(design: &Design, cutting: &Cutting, all: bool) -> String {
    let left = if all {
        ""
    } else {
        " A notch for EDGE is left out: the cut is wider than the flank that shows it."
    };
    format!(
        "{}{left} {} ({} radius or more). For cold steel.",
        bevel_gauge::used(design),
        bevel_gauge::SHARED.trim_end_matches('.'),
        design.figures().gap(cutting.relief())
    )
}

/// What the tang-slot gauge is for.
pub(crate) fn tang(design: &Design) -> String {
    let gap = format!("a gap of {} all around", design.figures().gap(design.shop().sliding));
    format!("{} The slots' corners are relieved. For cold steel.", tang_gauge::used(design, &gap))
}

/// What the tip's gauge is for; `hot` how hot the steel is, °C, and how many times as large the gauge; `straight` whether the
/// cut is straight from end to end.
pub(crate) fn tip(design: &Design, cutting: &Cutting, hot: Option<(f64, f64)>, straight: bool) -> String {
    let (figures, then) = (design.figures(), forged_up(design));
    match hot {
        Some((celsius, scale)) => format!(
            "The gauge is {}. {} {} {then}",
            scaled(figures, celsius, scale),
            held(figures, cutting),
            marked_hot(straight)
        ),
        None => format!(
            "Lay its straight side on the cutting-edge side of the cold bar, at the point end, scribe along its other side and \
             cut just outside the line. {then} For cold steel."
        ),
    }
}

/// How the cut is marked on hot steel: by its ends only where it is straight.
fn marked_hot(straight: bool) -> &'static str {
    if straight {
        "Clamp the bar well back from the cut, so that both hands are free. Hold the gauge with its straight side just off the bar's \
         cutting-edge side, mark both ends of the cut with a quick touch of the chisel, and put the gauge down; then cut from mark to mark."
    } else {
        "The cut is curved: mark the whole curve, not only its ends. Better mark it cold, from the paper or a cold gauge, and cut \
         outside the marks. Hot: clamp the bar well back from the cut, so that both hands are free; hold the gauge with its straight \
         side just off the bar's cutting-edge side and mark along the curve with quick touches of the chisel, a few at each look; put the gauge down and cut outside the marks."
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::fixtures::profile;

    /// A straight cut over a curve would take the point.
    #[test]
    fn only_a_straight_cut_is_cut_from_mark_to_mark() {
        for (name, hot) in [("landing-seax", true), ("inch-barge-seax", false), ("left-bank-seax", false)] {
            let gauges = crate::cut_gauges(&profile(name), &Cutting::default()).unwrap();
            let tip = gauges.iter().find(|gauge| gauge.name == "tip-preform-hot").unwrap();
            assert_eq!(tip.note.contains("from mark to mark"), hot, "{name}: {}", tip.note);
            assert_eq!(tip.note.contains("mark the whole curve"), !hot, "{name}: {}", tip.note);
            assert!(tip.note.contains("1.2 % oversize"), "{name}: {}", tip.note);
        }
    }

    /// A blunt blade has no sharpened edge, a blade of one steel no layers, a blade without a guard no guard's slot, and nothing
    /// is slid over a full tang.
    #[test]
    fn notes_speak_of_what_the_blade_has() {
        let notes = |name: &str| {
            let design = profile(name);
            let mut notes: Vec<(String, String)> =
                crate::gauges(&design).unwrap().into_iter().map(|p| (p.name, p.note)).collect();
            notes.extend(
                crate::cut_gauges(&design, &Cutting::default())
                    .unwrap()
                    .into_iter()
                    .map(|g| (g.name, g.note)),
            );
            notes
        };
        let about = |name: &str, gauge: &str| {
            let of = notes(name).into_iter().filter(|(own, _)| own.starts_with(gauge));
            of.map(|(_, note)| note).collect::<Vec<_>>()
        };
        for (name, gauge, word, there) in [
            ("reed-cutters-seax", "bevel", "EDGE", false),
            ("landing-seax", "bevel", "EDGE on the sharpened one", true),
            ("reed-cutters-seax", "tip", "layers", false),
            ("landing-seax", "tip", "layers", true),
            ("landing-seax", "tang", "guard", false),
            ("landing-seax", "tang", "cut the grip's hole", true),
            ("chain-smiths-trial", "tang", "cut the guard's slot", true),
        ] {
            let notes = about(name, gauge);
            assert_eq!(notes.len(), 2, "{name} {gauge}");
            assert!(notes.iter().all(|note| note.contains(word) == there), "{name} {gauge}: {notes:?}");
        }
        assert!(about("inch-barge-seax", "tang").is_empty());
    }
}
