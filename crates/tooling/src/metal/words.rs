//! What is written on gauges of sheet steel, and in their notes.

use design::Figures;
use steel::elongation;

use crate::metal::cutting::{Cutting, ROOM};
use crate::slab::label;

/// How long a gauge is held over hot steel, s: long enough to see light between them.
const HELD: f64 = 5.0;

/// What every gauge's note ends with.
pub(crate) const EDGES: &str =
    " Edges of cut steel are sharp: break them with a file before you take it in hand.";

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
        "{scale:.4} times as large as cold, for steel at {} (calculated: EN 1993-1-2); figures are the cold blade's. \
         A steel that is {} off makes it wrong by about 0.1 %",
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
    let degrees = figures.temperature.degrees(kelvin) - figures.temperature.degrees(0.0);
    format!("{degrees:.0} {}", figures.temperature.name())
}

/// What the window is for, and how its corners are.
pub(crate) fn window(figures: Figures, gap: f64, relief: Option<f64>) -> String {
    let mut note =
        format!("Lay it around the cold blade: the outline with a gap of {} all around.", figures.gap(gap));
    if let Some(radius) = relief {
        note += &format!(
            " Where the blade has a corner the window has a round of radius {}: a cutter leaves its own round in every \
             inside corner, and the blade would bind on it.",
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
         the figure: try them with feeler gauges before use, for a cut wanders by as much. Rounds of radius {} free the \
         slots' corners, so that the back sits on their floor. For cold steel.",
        figures.gap(relief)
    )
}

/// What a section gauge is for.
pub(crate) fn section(figures: Figures, gap: f64, relief: f64) -> String {
    format!(
        "Hold it square to the blade at its station, words towards the hilt, and push the edge in: it fits when the same gap \
         of light, {}, shows along both flanks. The edge itself touches nothing: under it is a round of radius {}. For cold \
         steel.",
        figures.gap(gap),
        figures.gap(relief)
    )
}

/// What the bevel-angle gauge is for; `all` whether every angle has its notch.
pub(crate) fn bevels(figures: Figures, cutting: &Cutting, all: bool) -> String {
    let left = if all {
        ""
    } else {
        " A notch for EDGE is left out: the cut is wider than the flank that shows it."
    };
    format!(
        "Set it square across the edge at the station named: the angle is right when both flanks lie on the notch. Use the \
         numbered notches on the ground blade, EDGE on the sharpened one.{left} Angles that differ by less than half a degree \
         share a notch. The edge itself touches nothing: under it is a round of radius {} or more. For cold steel.",
        figures.gap(cutting.relief())
    )
}

/// What the tang-slot gauge is for.
pub(crate) fn tang(figures: Figures, gap: f64) -> String {
    format!(
        "The slot marked TANG passes over the finished tang's root with a gap of {} all around; file the tang until it does, \
         then cut the guard's slot to match. The slot marked +R leaves room for the shoulder's radii: with it the guard can sit \
         against the shoulder. Rounds free the slots' corners. For cold steel.",
        figures.gap(gap)
    )
}

/// What the tip's gauge is for.
pub(crate) fn tip(figures: Figures, cutting: &Cutting, hot: Option<(f64, f64)>) -> String {
    let then = "Cut there, then forge the edge up to its curve: layers then follow the edge to the point.";
    match hot {
        Some((celsius, scale)) => format!(
            "Hold its straight side to the edge of the bar's end just long enough to mark both ends of the cut with a hot chisel; take it away, \
             then cut from mark to mark. It is {}. {then} {}",
            scaled(figures, celsius, scale),
            held(figures, cutting)
        ),
        None => format!(
            "Lay its straight side along the edge of the cold bar's end and scribe along the other. {then} For cold steel."
        ),
    }
}
