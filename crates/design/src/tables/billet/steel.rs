//! The `[[steel]]` tables, and the steels that a recipe names.

use steel::{Composition, Steel, nominal, nominals};

use crate::file::checker::Checker;
use crate::file::draft::{Field, Number, table};
use crate::file::problem::{Fault, hint};

/// Most own steels: more than any rack holds.
const MOST_STEELS: usize = 30;
/// Carbon accepted, percent: past cast iron's 2 to 4 nothing welds in the forge (common practice, no source).
const CARBON: std::ops::RangeInclusive<f64> = 0.0..=3.0;
/// Any other element accepted, percent: beyond the richest tool steels.
const ELEMENT: std::ops::RangeInclusive<f64> = 0.0..=30.0;
/// Numbers of steels no further apart than this may have been meant for each other: a tenth of a percent of carbon.
const NEAR: u32 = 10;
/// Alloying elements in all stay under this, percent: steel is mostly iron.
const MOST_ALLOY: f64 = 50.0;

table! {
    /// A steel by its composition, in percent by mass.
    SteelDraft {
        /// How bars and layers call it. A standard's name takes that steel's place.
        #[schemars(required)]
        name: String,
        /// Carbon, 0 to 3 %.
        #[schemars(required)]
        carbon: Number,
        /// Silicon; 0 unless given.
        silicon: Number,
        /// Manganese; 0 unless given.
        manganese: Number,
        /// Chromium; 0 unless given.
        chromium: Number,
        /// Molybdenum; 0 unless given.
        molybdenum: Number,
        /// Nickel; 0 unless given.
        nickel: Number,
        /// Vanadium; 0 unless given.
        vanadium: Number,
        /// Tungsten; 0 unless given.
        tungsten: Number,
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
            if let Some(name) = name(field, &rack.own, c) {
                rack.own.push(Steel { name, composition });
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
                    "{}; or give its composition in three lines{}: [[steel]], then name = \"{}\" and carbon = 0.8 (percent)",
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
        c.missing(&path, "give the name by which bars and layers call the steel");
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
    };
    made.c = c.number(draft.carbon.as_ref(), CARBON, " %").unwrap_or(0.0);
    let sum = made.c + made.si + made.mn + made.cr + made.mo + made.ni + made.v + made.w;
    if sum >= MOST_ALLOY {
        c.fault(&field.at, &Fault::AlloySum { sum: format!("{sum:.1}") });
    }
    made
}
