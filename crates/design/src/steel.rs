//! `[[steel]]` tables: steels by composition, beside the standards' own that need no table.

use std::ops::RangeInclusive;

use laminate::{Composition, Steel, nominal, nominals};

use crate::checker::Checker;
use crate::draft::{Field, Number, table};
use crate::problem::{Fault, hint};

/// Most own steels: as many as nine bars of eight steels each would take.
const MOST_STEELS: usize = 72;
/// Carbon accepted, percent: beyond is cast iron.
const CARBON: RangeInclusive<f64> = 0.0..=2.5;
/// Other elements accepted, percent: up to stainless and tool steels.
const ALLOY: RangeInclusive<f64> = 0.0..=30.0;

table! {
    /// A steel by its composition in percent; what is not named is 0.
    SteelDraft {
        /// What it is called: where it has the name of a standard's steel, it takes that one's place.
        #[schemars(required)]
        name: String,
        /// Carbon, percent.
        #[schemars(required)]
        carbon: Number,
        /// Silicon, percent.
        silicon: Number,
        /// Manganese, percent.
        manganese: Number,
        /// Chromium, percent.
        chromium: Number,
        /// Molybdenum, percent.
        molybdenum: Number,
        /// Nickel, percent.
        nickel: Number,
        /// Vanadium, percent.
        vanadium: Number,
        /// Tungsten, percent.
        tungsten: Number,
    }
}

/// The steels that can be named, and those that have been.
#[derive(Debug, Default)]
pub(crate) struct Steels {
    own: Vec<Steel>,
    used: Vec<Steel>,
}

impl Steels {
    /// The file's own steels.
    pub(crate) fn check(draft: Option<&Field<Vec<Field<SteelDraft>>>>, c: &mut Checker) -> Steels {
        let mut steels = Steels::default();
        let Some(field) = draft else { return steels };
        c.count(field, MOST_STEELS, "steels");
        for one in &field.value {
            let path = |key: &str| format!("{}.{key}", one.at);
            let d = &one.value;
            if d.name.is_none() {
                c.missing(&path("name"), "give the steel a name");
            }
            if d.carbon.is_none() {
                c.missing(&path("carbon"), "give its carbon in percent");
            }
            let composition = composition(d, c);
            let Some(name) = &d.name else { continue };
            crate::name::own(name, steels.own.iter().map(|s| s.name.as_str()), c);
            steels.own.push(Steel { name: name.value.clone(), composition });
        }
        steels
    }

    /// The number of the steel with this name, which counts as used from now on.
    pub(crate) fn number(&mut self, name: &Field<String>, c: &mut Checker) -> Option<usize> {
        let own = self.own.iter().find(|s| s.name == name.value).cloned();
        let Some(steel) = own.or_else(|| nominal(&name.value)) else {
            let mut known: Vec<&str> = self.own.iter().map(|s| s.name.as_str()).collect();
            nominals().for_each(|name| known.push(name));
            let word: String = name.value.chars().take(60).collect();
            c.fault(&name.at, &Fault::UnknownWord { nearest: hint(&word, &known), word });
            return None;
        };
        let known = self.used.iter().position(|s| s.name == steel.name);
        Some(known.unwrap_or_else(|| {
            self.used.push(steel);
            self.used.len() - 1
        }))
    }

    /// The steels used, by their numbers.
    pub(crate) fn used(self) -> Vec<Steel> {
        self.used
    }
}

fn composition(d: &SteelDraft, c: &mut Checker) -> Composition {
    let mut part = |field: &Option<Field<Number>>, range: RangeInclusive<f64>| {
        c.number(field.as_ref(), range, " %").unwrap_or(0.0)
    };
    Composition {
        c: part(&d.carbon, CARBON),
        si: part(&d.silicon, ALLOY),
        mn: part(&d.manganese, ALLOY),
        cr: part(&d.chromium, ALLOY),
        mo: part(&d.molybdenum, ALLOY),
        ni: part(&d.nickel, ALLOY),
        v: part(&d.vanadium, ALLOY),
        w: part(&d.tungsten, ALLOY),
    }
}
