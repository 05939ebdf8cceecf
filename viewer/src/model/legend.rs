//! What the colours stand for.

use forge::Etching;
use laminate::{Bar, Billet, bar_colour, plug_colour, steel_colour};
use look::Colour;
use steel::Steel;

use crate::model::scale::Ticks;
use crate::model::shown::Shown;

/// A colour and what it stands for.
#[derive(Clone, Debug, PartialEq)]
pub(crate) struct ColourKey {
    pub(crate) srgb: [u8; 3],
    pub(crate) name: String,
    /// More about it.
    pub(crate) detail: String,
}

/// The key to the colours on the blade.
#[derive(Clone, Debug, PartialEq)]
pub(crate) enum Legend {
    /// A colour each.
    Colours(Vec<ColourKey>),
    /// A run from thin to thick.
    Scale(Ticks),
    /// A run from nothing to the most that is left to take off, and what it is in words.
    TakeOff { words: [String; 2], ticks: Ticks },
    /// One colour, and nothing to tell.
    Bare,
}

impl Legend {
    /// The legend of what is shown; with the bars apart their faces in the seams show bars' colours.
    pub(crate) fn new(shown: &Shown) -> Legend {
        let (billet, grinding) = (shown.design.billet(), shown.grinding.as_ref());
        match shown.colour {
            Colour::Bars => billet.map_or(Legend::Bare, bars),
            Colour::Layers => shown.etching.as_ref().map_or(Legend::Bare, etched),
            Colour::Steels => billet.map_or(Legend::Bare, steels),
            Colour::Steel => Legend::Bare,
            Colour::Taper => Legend::Scale(shown.facts.taper.scale.ticks()),
            Colour::TakeOff => grinding
                .map_or(Legend::Bare, |g| Legend::TakeOff { words: g.words(), ticks: g.scale.ticks() }),
        }
    }

    /// In words, one entry a line.
    pub(crate) fn lines(&self) -> Vec<String> {
        match self {
            Legend::Colours(all) => all.iter().map(|key| format!("{}: {}", key.name, key.detail)).collect(),
            Legend::Scale(ticks) => ticks.lines(),
            Legend::TakeOff { words, ticks } => {
                let mut all = vec![words.join(" "), "already gone".to_owned(), "read there first".to_owned()];
                all.extend(ticks.lines());
                all
            }
            Legend::Bare => vec!["bare steel".to_owned()],
        }
    }
}

fn bars(billet: &Billet) -> Legend {
    let key = |(i, bar): (usize, &Bar)| ColourKey {
        srgb: bar_colour(i).srgb,
        name: bar.name.clone(),
        detail: make(bar),
    };
    Legend::Colours(billet.bars().iter().enumerate().map(key).chain(plugs(billet)).collect())
}

/// The one colour of plugs; none where no bar has any.
pub(crate) fn plugs(billet: &Billet) -> Option<ColourKey> {
    let count: usize = billet.bars().iter().map(|bar| bar.plugs.len()).sum();
    let detail = match count {
        1 => "1 rod through a bar".to_owned(),
        count => format!("{count} rods through bars"),
    };
    (count > 0).then(|| ColourKey { srgb: plug_colour().srgb, name: "Plugs".to_owned(), detail })
}

fn steels(billet: &Billet) -> Legend {
    let key = |(i, steel): (usize, &Steel)| ColourKey {
        srgb: steel_colour(i).srgb,
        name: steel.name.clone(),
        detail: format!("{} % C", steel.composition.c),
    };
    Legend::Colours(billet.steels().iter().enumerate().map(key).collect())
}

/// Steels from dark to bright, each in its greys: one that etches otherwise in another bar stands twice.
fn etched(etching: &Etching) -> Legend {
    let all: Vec<_> =
        etching.legend.iter().flat_map(|s| s.greys.iter().map(|&grey| (&s.name, grey))).collect();
    let detail = |i: usize| match i {
        0 => "etches darkest; the order is not confirmed",
        _ if i + 1 == all.len() => "etches brightest",
        _ => "",
    };
    let key = |(i, (name, srgb)): (usize, &(&String, [u8; 3]))| ColourKey {
        srgb: *srgb,
        name: (*name).clone(),
        detail: detail(i).to_owned(),
    };
    Legend::Colours(all.iter().enumerate().map(key).collect())
}

/// How a bar is made, in a few words.
pub(crate) fn make(bar: &Bar) -> String {
    let layers = match bar.layers.layers().len() {
        1 => "one steel".to_owned(),
        n => format!("{n} layers"),
    };
    match bar.twist.is_twisted() {
        true => format!("{layers}, twisted"),
        false if bar.is_slanted() => format!("{layers}, at an angle"),
        false => layers,
    }
}
