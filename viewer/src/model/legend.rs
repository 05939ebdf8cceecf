//! What the colours stand for.

use laminate::{Bar, bar_colour, steel_colour};
use look::Colour;

use crate::model::shown::Shown;

/// The key to the colours on the blade.
#[derive(Clone, Debug, PartialEq)]
pub(crate) enum Legend {
    /// A colour each: sRGB, its name, and more about it.
    Colours(Vec<([u8; 3], String, String)>),
    /// A run from thin to thick, with round figures in mm and in inches: where each lies, 0 to 1.
    Scale { millimetres: Vec<(f64, f64)>, inches: Vec<(f64, f64)> },
    /// A run from nothing to the most that is left to take off, as before, and what it is in words.
    TakeOff { words: [String; 2], millimetres: Vec<(f64, f64)>, inches: Vec<(f64, f64)> },
    /// One colour, and nothing to tell.
    Bare,
}

/// The legend of what is shown; with the bars apart their faces in the seams show bars' colours.
pub(crate) fn of(shown: &Shown) -> Legend {
    if let Some(grinding) = shown.grinding.as_ref().filter(|_| shown.colour == Colour::TakeOff) {
        return Legend::TakeOff {
            words: grinding.words(),
            millimetres: grinding.scale.ticks(design::Unit::Millimetre),
            inches: grinding.scale.ticks(design::Unit::Inch),
        };
    }
    let Some(billet) = shown.design.billet() else { return bare(shown) };
    match shown.colour {
        Colour::Bars => {
            let entry = |(i, bar): (usize, &Bar)| (bar_colour(i).srgb, bar.name.clone(), make(bar));
            Legend::Colours(billet.bars().iter().enumerate().map(entry).collect())
        }
        Colour::Layers => {
            let entry = |(i, steel): (usize, &laminate::Steel)| {
                (steel_colour(i).srgb, steel.name.clone(), format!("{} % C", steel.composition.c))
            };
            Legend::Colours(billet.steels().iter().enumerate().map(entry).collect())
        }
        Colour::Steel | Colour::Taper | Colour::TakeOff => bare(shown),
    }
}

fn bare(shown: &Shown) -> Legend {
    match shown.colour {
        Colour::Taper => Legend::Scale {
            millimetres: shown.facts.taper.scale.ticks(design::Unit::Millimetre),
            inches: shown.facts.taper.scale.ticks(design::Unit::Inch),
        },
        _ => Legend::Bare,
    }
}

/// How a bar is made, in a few words.
pub(crate) fn make(bar: &Bar) -> String {
    let layers = match bar.layers.layers().len() {
        1 => "one steel".to_owned(),
        n => format!("{n} layers"),
    };
    if bar.twist.is_twisted() { format!("{layers}, twisted") } else { layers }
}

/// The figures of a scale's ticks.
fn ticks(millimetres: &[(f64, f64)], inches: &[(f64, f64)]) -> Vec<String> {
    let of = |all: &[(f64, f64)], unit: &str| {
        all.iter().map(|(_, t)| format!("{} {unit}", crate::figures::tick(*t))).collect::<Vec<_>>()
    };
    [of(millimetres, "mm"), of(inches, "in")].concat()
}

impl Legend {
    /// Its words, one entry a line.
    pub(crate) fn words(&self) -> Vec<String> {
        match self {
            Legend::Colours(all) => all.iter().map(|(_, name, more)| format!("{name}: {more}")).collect(),
            Legend::Scale { millimetres, inches } => ticks(millimetres, inches),
            Legend::TakeOff { words, millimetres, inches } => {
                let mut all = vec![words.join(" "), "already gone".to_owned()];
                all.extend(ticks(millimetres, inches));
                all
            }
            Legend::Bare => vec!["bare steel".to_owned()],
        }
    }
}
