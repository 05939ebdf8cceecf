//! What the window is set to show; it outlives every reload of the design.

use std::collections::BTreeSet;

use blade::{Blade, Stage};
use design::Design;
use look::{Colour, Look, Mark};

/// How far the blade is ground.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(crate) enum Ground {
    /// As at a stage.
    Stage(Stage),
    /// This share of what stands on the forged skin is off, 0 to 1.
    Share(f64),
}

impl Ground {
    /// The share that is ground off.
    pub(crate) fn share(self, blade: &Blade) -> f64 {
        match self {
            Ground::Stage(stage) => blade.ground_share(stage),
            Ground::Share(share) => share,
        }
    }

    /// In words.
    pub(crate) fn name(self) -> String {
        match self {
            Ground::Stage(stage) => stage.name().to_owned(),
            Ground::Share(share) => format!("{:.0} % ground", 100.0 * share),
        }
    }
}

/// All of it.
#[derive(Clone, Debug, PartialEq)]
pub(crate) struct Settings {
    pub(crate) ground: Ground,
    /// `None` until the smith chooses: bars where there are bars.
    pub(crate) colour: Option<Colour>,
    /// The station whose section is drawn, mm; `None` until the smith chooses.
    pub(crate) station: Option<f64>,
    /// How far apart the bars are drawn, 0 to 1.
    pub(crate) apart: f64,
    /// How many times thicker than it is the blade is drawn, 1 to 10.
    pub(crate) thicker: f64,
    pub(crate) marks: BTreeSet<Mark>,
    pub(crate) dark: bool,
}

/// Thickness may be drawn this many times what it is.
pub(crate) const MOST_TIMES: f64 = 10.0;
/// Where the section is drawn until a station is chosen, as a share of the blade's length: before the point's own
/// shape begins on every outline.
const USUAL_STATION: f64 = 1.0 / 3.0;

impl Settings {
    /// As the command line asked for them. A station there is in the design file's unit.
    pub(crate) fn new(look: &Look, design: Option<&Design>) -> Settings {
        let unit = design.map_or(1.0, |d| d.unit().millimetres());
        Settings {
            ground: look.ground.map_or(Ground::Stage(look.stage.stage()), |p| Ground::Share(0.01 * p)),
            colour: look.colour,
            station: look.station.map(|s| s * unit),
            apart: 0.01 * look.apart,
            thicker: look.thicker,
            marks: look.mark.iter().copied().collect(),
            dark: look.dark,
        }
    }

    /// The station, kept on tang and blade, mm.
    pub(crate) fn station(&self, (from, to): (f64, f64)) -> f64 {
        self.station.unwrap_or(USUAL_STATION * to).clamp(from, to)
    }
}

/// Whether a colouring means anything for a design, with a measured file or without.
pub(crate) fn fits(colour: Colour, design: &Design, measured: bool) -> bool {
    match colour {
        Colour::Bars | Colour::Layers | Colour::Steels => design.billet().is_some(),
        Colour::Steel | Colour::Taper => true,
        Colour::TakeOff => measured,
    }
}

/// The colouring that was chosen, or the usual one for a design that has none such.
pub(crate) fn settled(chosen: Option<Colour>, design: &Design, measured: bool) -> Colour {
    let usual = match design.billet() {
        _ if measured => Colour::TakeOff,
        Some(_) => Colour::Bars,
        None => Colour::Steel,
    };
    chosen.filter(|c| fits(*c, design, measured)).unwrap_or(usual)
}
