//! The `[[steel]]` tables, and the steels that a recipe names.

use steel::{Composition, DataSheet, Steel, ac1, is_low_alloy, nominal, nominals};

use crate::file::checker::Checker;
use crate::file::draft::{Degrees, Field, Number, table, words};
use crate::file::problem::{Fault, hint};

/// Most own steels: more than any rack holds.
const MOST_STEELS: usize = 30;
/// Carbon accepted, percent: past cast iron's 2 to 4 nothing welds in the forge (common practice, no source).
const CARBON: std::ops::RangeInclusive<f64> = 0.0..=3.0;
/// Any other element accepted, percent: beyond the richest tool steels.
const ELEMENT: std::ops::RangeInclusive<f64> = 0.0..=30.0;
/// Heats of forging, normalising and hardening accepted, °C: from a tempering's to where steel melts.
const HEATS: std::ops::RangeInclusive<f64> = 500.0..=1350.0;
/// Hottest normalising or hardening of a low alloy steel accepted, °C: makers' sheets end at 925, and from about 1000 on
/// grain grows fast (common practice, no source).
const HOTTEST: f64 = 1000.0;
/// Heats of tempering accepted, °C: from boiling water's to Ac1.
const TEMPERS: std::ops::RangeInclusive<f64> = 80.0..=720.0;
/// Hardnesses accepted, HRC: from where the scale begins to a little over the hardest steel as quenched.
const HARDNESS: std::ops::RangeInclusive<f64> = 20.0..=68.0;
/// Most points of a tempering curve: a card has ten.
const MOST_POINTS: usize = 20;
/// Numbers of steels no further apart than this may have been meant for each other: a tenth of a percent of carbon.
const NEAR: u32 = 10;
/// What may stand before a steel's number.
const MAKERS: [&str; 4] = ["AISI", "SAE", "EN", "DIN"];
/// Alloying elements in all stay under this, percent: steel is mostly iron.
const MOST_ALLOY: f64 = 50.0;

table! {
    /// A point of a steel's tempering curve.
    TemperDraft {
        /// Tempering temperature.
        #[schemars(required)]
        at: Degrees,
        /// Hardness after an hour there, HRC, 20 to 68.
        #[schemars(required)]
        hrc: Number,
    }
}

words! {
    /// How bright a steel comes out of the etch.
    EtchedWord {
        /// Darker than any.
        Black = "black",
        /// As plain carbon steel.
        Dark = "dark",
        /// Between dark and light.
        Grey = "grey",
        /// As mild steel or a steel with nickel.
        Light = "light",
        /// As phosphoric iron or nickel.
        Bright = "bright",
    }
}

impl EtchedWord {
    /// Brightness, 0 dark to 1 bright: as those steels get by their composition, the rest evenly between and beyond.
    fn brightness(self) -> f64 {
        match self {
            EtchedWord::Black => 0.0,
            EtchedWord::Dark => 0.2,
            EtchedWord::Grey => 0.5,
            EtchedWord::Light => 0.75,
            EtchedWord::Bright => 0.95,
        }
    }
}

table! {
    /// A steel by its composition, in percent by mass, and by what its maker's data sheet says of its heats.
    SteelDraft {
        /// The name that bars and layers use for it. With the name of a standard steel it takes that steel's place.
        #[schemars(required)]
        name: String,
        /// Carbon, 0 to 3 %.
        #[schemars(required)]
        carbon: Number,
        /// Silicon. Default 0.
        silicon: Number,
        /// Manganese. Default 0.
        manganese: Number,
        /// Chromium. Default 0.
        chromium: Number,
        /// Molybdenum. Default 0.
        molybdenum: Number,
        /// Nickel. Default 0.
        nickel: Number,
        /// Vanadium. Default 0.
        vanadium: Number,
        /// Tungsten. Default 0.
        tungsten: Number,
        /// Phosphorus. Default 0.
        phosphorus: Number,
        /// Forging range on its data sheet. The data sheet's figures are used in place of published ones.
        forging: [Field<Degrees>; 2],
        /// Normalising range on its data sheet.
        normalising: [Field<Degrees>; 2],
        /// Hardening range on its data sheet.
        hardening: [Field<Degrees>; 2],
        /// Quench on its data sheet: 1 to 100 characters in one line.
        quench: String,
        /// Its data sheet's hardness after tempering: two points or more, from the coldest to the hottest.
        tempering: Vec<Field<TemperDraft>>,
        /// How bright you have seen it come out of the etch, for pictures of the layers. Default: by its composition.
        etched: EtchedWord,
    }
}

/// The steels at hand, and those that bars have taken.
#[derive(Debug, Default)]
pub(crate) struct Rack {
    own: Vec<Steel>,
    taken: Vec<Steel>,
}

impl Rack {
    /// Checks the tables, if any.
    pub(crate) fn from_tables(draft: Option<&Field<Vec<Field<SteelDraft>>>>, c: &mut Checker) -> Rack {
        let mut rack = Rack::default();
        let Some(list) = draft else { return rack };
        c.count(list, MOST_STEELS, "steels");
        for field in list.value.iter().take(MOST_STEELS) {
            let composition = composition(field, c);
            let sheet = sheet(&field.value, &composition, c);
            if let Some(name) = name(field, &rack.own, c) {
                let etched = field.value.etched.as_ref().map(|word| word.value.brightness());
                rack.own.push(Steel { name, composition, sheet, etched });
            }
        }
        rack
    }

    /// Whether there is a steel of the name in `field`; a problem where there is none. `sets` are names that may have
    /// been mistaken for a steel's.
    pub(crate) fn has(&self, field: &Field<String>, sets: &[&str], c: &mut Checker) -> bool {
        let found = self.find(&field.value).is_some();
        if !found {
            let word: String = field.value.chars().take(60).collect();
            let nearest = match sets.contains(&word.as_str()) {
                true => "this is the name of a layer set: a bar takes it as `layers`".to_owned(),
                false => format!(
                    "{}; or give its composition in three lines{}: [[steel]], then name = \"{}\" and carbon = its percentage, from its data sheet",
                    self.nearest(&word),
                    if field.at == "steel" { " at the file's end, in this line's place" } else { "" },
                    word.replace(['"', '\\'], "")
                ),
            };
            c.fault(&field.at, &Fault::UnknownWord { word, nearest });
        }
        found
    }

    /// Index of the steel of this name among those taken; `None` where there is no such steel.
    pub(crate) fn take(&mut self, name: &str) -> Option<usize> {
        if let Some(i) = self.taken.iter().position(|s| s.name == name) {
            return Some(i);
        }
        let steel = self.find(name)?;
        self.taken.push(steel);
        Some(self.taken.len() - 1)
    }

    /// The only own steel; `None` where there is none or more than one.
    pub(crate) fn only(&self) -> Option<Steel> {
        if let [only] = &self.own[..] { Some(only.clone()) } else { None }
    }

    /// The steels that were taken, in that order.
    pub(crate) fn taken(self) -> Vec<Steel> {
        self.taken
    }

    /// An own steel, or a standard's, by its exact name.
    pub(crate) fn find(&self, name: &str) -> Option<Steel> {
        let own = self.own.iter().find(|s| s.name == name).cloned();
        own.or_else(|| nominal(name).filter(|s| s.name == name))
    }

    /// The nearest name: of a number the nearest number, as they are told apart by their carbon.
    fn nearest(&self, word: &str) -> String {
        let word = MAKERS.iter().find_map(|maker| word.strip_prefix(maker)).unwrap_or(word).trim();
        let number = |name: &str| name.parse::<u32>().ok().filter(|_| name.len() == 4);
        let known = self.known();
        let off = |name: &&str| Some(number(name)?.abs_diff(number(word)?));
        let near = known.iter().filter_map(|name| Some((off(name)?, *name))).min();
        let near = near.filter(|(off, _)| *off <= NEAR).map_or(word, |(_, name)| name);
        hint(near, &known)
    }

    fn known(&self) -> Vec<&str> {
        let mut known: Vec<&str> = self.own.iter().map(|s| s.name.as_str()).collect();
        nominals().for_each(|name| known.push(name));
        known
    }
}

fn name(field: &Field<SteelDraft>, before: &[Steel], c: &mut Checker) -> Option<String> {
    let path = format!("{}.name", field.at);
    let Some(name) = &field.value.name else {
        c.missing(&path, "give the name that bars and layers use for this steel");
        return None;
    };
    let taken: Vec<&str> = before.iter().map(|s| s.name.as_str()).collect();
    c.named(&path, &name.value, &taken).then(|| name.value.clone())
}

/// A composition from its table: given by name, by figures, or by both.
fn composition(field: &Field<SteelDraft>, c: &mut Checker) -> Composition {
    let draft = &field.value;
    if draft.carbon.is_none() {
        c.missing(&format!("{}.carbon", field.at), "give its carbon in percent, 0 for none");
    }
    let mut percent = |f: &Option<Field<Number>>| c.number(f.as_ref(), ELEMENT, " %").unwrap_or(0.0);
    let mut made = Composition {
        c: 0.0,
        si: percent(&draft.silicon),
        mn: percent(&draft.manganese),
        cr: percent(&draft.chromium),
        mo: percent(&draft.molybdenum),
        ni: percent(&draft.nickel),
        v: percent(&draft.vanadium),
        w: percent(&draft.tungsten),
        p: percent(&draft.phosphorus),
    };
    made.c = c.number(draft.carbon.as_ref(), CARBON, " %").unwrap_or(0.0);
    let sum = made.c + made.si + made.mn + made.cr + made.mo + made.ni + made.v + made.w + made.p;
    if sum >= MOST_ALLOY {
        c.fault(&field.at, &Fault::AlloySum { sum: format!("{sum:.1}") });
    }
    made
}

/// What a data sheet says of the steel's heats.
fn sheet(draft: &SteelDraft, composition: &Composition, c: &mut Checker) -> DataSheet {
    let quench = draft.quench.as_ref().filter(|word| c.named(&word.at, &word.value, &[]));
    DataSheet {
        forging: c.degree_band(draft.forging.as_ref(), &HEATS),
        normalising: turning("normalising", draft.normalising.as_ref(), composition, c),
        hardening: turning("hardening", draft.hardening.as_ref(), composition, c),
        medium: quench.map(|word| word.value.clone()),
        tempering: draft.tempering.as_ref().map_or_else(Vec::new, |list| curve(list, c)),
    }
}

/// A heat that must turn the steel into austenite and leave its grain fine: over Ac1, and no hotter than any sheet's. The
/// formula for Ac1 speaks for low alloy steels alone.
fn turning(
    heat: &'static str,
    field: Option<&Field<[Field<Degrees>; 2]>>,
    composition: &Composition,
    c: &mut Checker,
) -> Option<[f64; 2]> {
    let [low, high] = c.degree_band(field, &HEATS)?;
    let (at, begins) = (&field?.at, ac1(composition));
    if is_low_alloy(composition) && low < begins {
        let (low, begins) = (c.temperature_text(low), c.temperature_text(begins));
        c.fault(at, &Fault::ColdHeat { heat, low, begins });
    }
    if is_low_alloy(composition) && high > HOTTEST {
        let (high, most) = (c.temperature_text(high), c.temperature_text(HOTTEST));
        c.fault(at, &Fault::HotHeat { heat, high, most });
    }
    Some([low, high])
}

/// A tempering curve: each point hotter than the one before it, and no harder.
fn curve(list: &Field<Vec<Field<TemperDraft>>>, c: &mut Checker) -> Vec<(f64, f64)> {
    c.count(list, MOST_POINTS, "points");
    if list.value.len() < 2 {
        let why = "a curve goes from one point to the next";
        c.fault(&list.at, &Fault::TooFew { count: list.value.len(), least: 2, what: "points", why });
    }
    let mut points: Vec<(f64, f64)> = Vec::new();
    for field in list.value.iter().take(MOST_POINTS) {
        let draft = &field.value;
        if draft.at.is_none() {
            c.missing(&format!("{}.at", field.at), "give the tempering temperature");
        }
        if draft.hrc.is_none() {
            c.missing(&format!("{}.hrc", field.at), "give the hardness after an hour there, in HRC");
        }
        let (at, hrc) =
            (c.degrees(draft.at.as_ref(), TEMPERS), c.number(draft.hrc.as_ref(), HARDNESS, " HRC"));
        let Some(point) = at.zip(hrc) else { continue };
        if points.last().is_some_and(|last| point.0 <= last.0 || point.1 > last.1) {
            c.fault(&field.at, &Fault::Curve {});
        }
        points.push(point);
    }
    points
}
