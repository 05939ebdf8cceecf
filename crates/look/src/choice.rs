//! What may be chosen, as the command line spells it.

use blade::Stage;
use clap::ValueEnum;

/// A stage, as it is asked for and as it stands in file names.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, ValueEnum)]
pub enum StageName {
    /// After the hammer and hot straightening
    Forged,
    /// Ground, before hardening
    Ground,
    /// Finished
    Finished,
}

impl StageName {
    /// The stage it names.
    pub fn stage(self) -> Stage {
        match self {
            StageName::Forged => Stage::Forged,
            StageName::Ground => Stage::Ground,
            StageName::Finished => Stage::Finished,
        }
    }

    /// Its name in file names.
    pub fn text(self) -> &'static str {
        self.stage().name()
    }
}

/// What the colours of the surface tell.
#[derive(Clone, Copy, Debug, PartialEq, Eq, ValueEnum)]
pub enum Colour {
    /// Which bar shows where
    Bars,
    /// The layers as they come out of the etch, in greys
    Layers,
    /// The layers, each steel in a colour of its own
    Steels,
    /// Nothing: bare steel
    Steel,
    /// How thick the blade is at each station
    Taper,
    /// How much is left to take off each side, as a measured file tells
    TakeOff,
}

impl Colour {
    /// All of them.
    pub const ALL: [Colour; 6] =
        [Colour::Bars, Colour::Layers, Colour::Steels, Colour::Steel, Colour::Taper, Colour::TakeOff];

    /// Whether it shows layers.
    pub fn shows_layers(self) -> bool {
        matches!(self, Colour::Layers | Colour::Steels)
    }
}

/// From where the blade is looked at.
#[derive(Clone, Copy, Debug, PartialEq, Eq, ValueEnum)]
pub enum From {
    /// The right side, point to the right
    Right,
    /// The left side, point to the left
    Left,
    /// Down on the back
    Back,
    /// Up at the edge
    Edge,
    /// The right side, turned so that back and taper show
    Turned,
}

impl From {
    /// All of them.
    pub const ALL: [From; 5] = [From::Right, From::Left, From::Back, From::Edge, From::Turned];
}

/// A place that can be marked on the blade.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, ValueEnum)]
pub enum Mark {
    /// Centre of mass of the bare steel
    Centre,
    /// Point of balance, with fittings
    Balance,
    /// Front face of the guard, or the shoulder without one
    Guard,
    /// Centre of percussion
    Percussion,
    /// Nodes of the first bending mode
    Nodes,
}

impl Mark {
    /// All of them.
    pub const ALL: [Mark; 5] = [Mark::Centre, Mark::Balance, Mark::Guard, Mark::Percussion, Mark::Nodes];
}
