//! The billet's recipe: `[billet]` with the steels, layer sets and bars that belong to it.

use std::ops::RangeInclusive;

use blade::{Blade, Sections, Stage};
use laminate::{Billet, Lay, Limits, Recipe, Tip};

use crate::checker::{Checker, REACH};
use crate::draft::{Field, Length, table, words};
use crate::file::FileDraft;
use crate::problem::Fault;
use crate::steel::Steels;
use crate::{bar, layers};

/// Widths of stacks accepted, mm.
const WIDTHS: RangeInclusive<f64> = 1.0..=100.0;
/// How near to the edge a seam may come before it is told unless given, mm: what honing takes off in the blade's life
/// (common practice, no source).
const NEAR_EDGE: f64 = 3.0;
/// Layers thinner than this are told unless given, mm: an etched line as thin can still be seen at arm's length (common
/// practice, no source).
const VISIBLE: f64 = 0.1;

words! {
    /// How the point was made.
    TipWord {
        /// Forged to shape: the bars follow the outline.
        Forged = "forged",
        /// Cut to shape: the bars run straight on.
        Cut = "cut",
    }
}

table! {
    /// The billet that the blade is forged from.
    BilletDraft {
        /// Width that all bars share, through the thickness of the blade.
        #[schemars(required)]
        width: Length,
        /// How the point was made: `forged` (unless given), the bars follow the outline to the point; or `cut`, they run
        /// straight on and leave through back and edge.
        tip: TipWord,
        /// Distance from the shoulder at which the bars of a cut tip begin to run straight on.
        cut_from: Length,
        /// Where a seam comes nearer to the edge than this, `check` tells it; 3 mm unless given.
        near_edge: Length,
        /// Where layers come out thinner than this, `check` tells it; 0.1 mm unless given.
        visible: Length,
    }
}

/// The billet and what is told of it.
#[derive(Clone, Debug)]
pub(crate) struct Stack {
    /// The checked recipe.
    pub(crate) billet: Billet,
    /// What counts as a finding, mm.
    pub(crate) limits: Limits,
}

/// Checks the recipe, if there is any of it.
pub(crate) fn check(draft: &FileDraft, blade: Option<&Blade>, c: &mut Checker) -> Option<Stack> {
    let mut steels = Steels::check(draft.steel.as_ref(), c);
    let sets = layers::check(draft.layers.as_ref(), &mut steels, c);
    let bars = draft.bar.as_ref().and_then(|field| bar::check(field, &sets, &mut steels, c));
    if draft.billet.is_none() && draft.bar.is_none() {
        return None;
    }
    if draft.bar.as_ref().is_none_or(|list| list.value.is_empty()) {
        c.missing("bar", "give the bars as [[bar]] tables, from the back to the edge");
    }
    let Some(field) = &draft.billet else {
        c.missing("billet", "give the stack's width in a [billet] table");
        return None;
    };
    let d = &field.value;
    let width = c.length_required(d.width.as_ref(), "billet.width", WIDTHS);
    let tip = tip(d, blade.map(Blade::length), c);
    let limits = Limits {
        near_edge: c.length_or(d.near_edge.as_ref(), REACH, NEAR_EDGE),
        visible: c.length_or(d.visible.as_ref(), REACH, VISIBLE),
    };
    let recipe = Recipe { width: width?, bars: bars?, steels: steels.used(), tip: tip? };
    // Whatever the tables above let through is a billet; faults of single values have been told.
    Billet::new(recipe).ok().map(|billet| Stack { billet, limits })
}

fn tip(d: &BilletDraft, length: Option<f64>, c: &mut Checker) -> Option<Tip> {
    let cut = d.tip.as_ref().is_some_and(|t| t.value == TipWord::Cut);
    match (cut, &d.cut_from) {
        (false, None) => Some(Tip::Forged),
        (false, Some(stray)) => {
            let known = "`width`, `near_edge`, `visible`".to_owned();
            let fault =
                Fault::StrayKey { key: "cut_from".to_owned(), form: "a forged tip".to_owned(), known };
            c.key_fault(&stray.at, &fault);
            None
        }
        (true, None) => {
            c.missing("billet.cut_from", "give the station from which the bars run straight on");
            None
        }
        (true, Some(field)) => cut_from(field, length, c).map(|from| Tip::Cut { from }),
    }
}

/// Where a cut tip begins; at least a millimetre of blade lies on both sides.
fn cut_from(field: &Field<Length>, length: Option<f64>, c: &mut Checker) -> Option<f64> {
    let from = c.length(Some(field), 1.0..=*REACH.end())?;
    let Some(length) = length else { return Some(from) };
    if from > length - 1.0 {
        let (at, most) = (c.told(from), c.told_most(length - 1.0));
        c.fault(&field.at, &Fault::PastPoint { at, length: c.told(length), most });
        return None;
    }
    Some(from)
}

/// The largest forged section of blade (mm²), where it is larger than the stack's.
pub(crate) fn too_thin(stack: &Stack, blade: &Blade) -> Option<f64> {
    /// Stations looked at: a section does not change within a hundredth of the length.
    const PROBES: usize = 100;
    let forged = Sections::of(&blade.loft(Stage::Forged));
    let at =
        |i: usize| forged.at(blade.length() * (i as f64 + 0.5) / PROBES as f64).map_or(0.0, |s| s.area());
    let most = (0..PROBES).map(at).fold(0.0, f64::max);
    (most > stack.billet.section(false)).then_some(most)
}

/// The billet laid on the blade's forged stage.
pub(crate) fn lay(stack: &Stack, blade: &Blade) -> Option<Lay> {
    // Only a cut that is not on the blade could fail, and that has been checked.
    Lay::new(stack.billet.clone(), Sections::of(&blade.loft(Stage::Forged))).ok()
}
