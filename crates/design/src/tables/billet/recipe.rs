//! The `[billet]` table, and the recipe that it makes of steels, layer sets and bars.

use blade::Blade;
use laminate::{Asked, Bar, Billet, Limits, Recipe as Made, Serration, Tip};
use steel::Steel;

use crate::file::checker::{Checker, SIZE};
use crate::file::draft::{Field, Length, table, words};
use crate::file::problem::Fault;
use crate::tables::billet::bar::{self, BarDraft, Told};
use crate::tables::billet::layers::{LayersDraft, Sets, Stacking};
use crate::tables::billet::one_steel;
use crate::tables::billet::plugs::AskedPlug;
use crate::tables::billet::shared;
use crate::tables::billet::steel::{Rack, SteelDraft};

/// Widths accepted, mm.
pub(crate) const WIDTHS: std::ops::RangeInclusive<f64> = 2.0..=60.0;
/// Seams nearer to the edge than this are told unless it is given, mm: what sharpening takes over the years (common
/// practice, no source).
const NEAR_EDGE: f64 = 3.0;
/// Distances from the edge accepted, mm.
const NEAR_EDGES: std::ops::RangeInclusive<f64> = 0.0..=100.0;
/// Layers are seen from this thickness on unless it is given, mm: about what the eye parts at reading distance, a minute
/// of arc at 30 cm.
const VISIBLE: f64 = 0.1;
/// Thicknesses accepted, mm.
const VISIBLES: std::ops::RangeInclusive<f64> = 0.0..=5.0;
/// How far from shoulder and point a cut tip begins, mm: nearer there is no tip, or no cut.
const CUT_FROM_ENDS: f64 = 1.0;

words! {
    /// How the billet's point was made.
    BilletTipWord {
        /// Forged to shape: all bars run to the point.
        Forged = "forged",
        /// Cut to shape: bars run straight on and leave through back and edge.
        Cut = "cut",
    }
}

table! {
    /// The billet that the blade is forged from.
    BilletDraft {
        /// Width of all bars, through the thickness of the blade, 2 to 60 mm.
        #[schemars(required)]
        width: Length,
        /// How the point was made: `forged` (default), so that all bars run to it, or `cut`, so that they run straight
        /// on and leave through back and edge.
        tip: BilletTipWord,
        /// Station from which the bars of a cut tip run straight on. Needed there, and only there.
        cut_from: Length,
        /// Seams nearer to the edge than this are reported. Default 3 mm.
        near_edge: Length,
        /// Layers thinner than this on the surface are named as too thin to see. Default 0.1 mm.
        visible: Length,
    }
}

/// The drafts that a recipe is made of.
#[derive(Clone, Copy)]
pub(crate) struct RecipeDrafts<'d> {
    pub(crate) billet: Option<&'d Field<BilletDraft>>,
    pub(crate) bars: Option<&'d Field<Vec<Field<BarDraft>>>>,
    pub(crate) layers: Option<&'d Field<Vec<Field<LayersDraft>>>>,
    pub(crate) steels: Option<&'d Field<Vec<Field<SteelDraft>>>>,
    /// The name of the one steel of a blade without a billet.
    pub(crate) one: Option<&'d Field<String>>,
}

/// The billet, where the file has one, and what is told of it.
#[derive(Clone, Debug)]
pub(crate) struct Recipe {
    pub(crate) billet: Option<Billet>,
    /// What a blade without a billet is made of, where that is told.
    pub(crate) one_steel: Option<Steel>,
    /// Heights at shoulder and point of each bar that runs straight from one to the other, mm; none for the others.
    pub(crate) ends: Vec<Option<[f64; 2]>>,
    /// The teeth of each bar's weld to the next one towards the back; none for the others.
    pub(crate) serrated: Vec<Option<Serration>>,
    /// The plugs through each bar.
    pub(crate) plugs: Vec<Vec<AskedPlug>>,
    /// How each bar's layers are welded; none for a bar of one steel.
    pub(crate) stackings: Vec<Option<Stacking>>,
    /// The twist of each bar that the finished blade should show, from the angle at the shoulder (rad) on; none where
    /// it is counted along the bar.
    pub(crate) asked: Vec<Option<(f64, Vec<Asked>)>>,
    /// What counts as a finding, mm.
    pub(crate) limits: Limits,
}

/// Checks the recipe against the blade, if there is one.
pub(crate) fn check(file: RecipeDrafts, blade: Option<&Blade>, c: &mut Checker) -> Recipe {
    let mut rack = Rack::from_tables(file.steels, c);
    let sets = Sets::from_tables(file.layers, &rack, c);
    let one_steel = one_steel::check(file, &rack, c);
    both_tables(file, c);
    let told = file.bars.and_then(|list| bar::check(list, blade, &sets, &mut rack, c));
    let (mut ends, mut serrated, mut plugs) = (Vec::new(), Vec::new(), Vec::new());
    let (mut stackings, mut asked) = (Vec::new(), Vec::new());
    let bars = told.map(|told| {
        let bar = |told: Told| {
            ends.push(told.ends);
            serrated.push(told.serrated);
            plugs.push(told.plugs);
            stackings.push(told.stacking);
            asked.push(told.asked);
            told.bar
        };
        told.into_iter().map(bar).collect()
    });
    let draft = file.billet.map(|f| &f.value);
    let limits = Limits {
        near_edge: c.length_or(draft.and_then(|d| d.near_edge.as_ref()), NEAR_EDGES, NEAR_EDGE),
        visible: c.length_or(draft.and_then(|d| d.visible.as_ref()), VISIBLES, VISIBLE),
    };
    let billet = draft.and_then(|draft| billet(draft, (file, bars), rack, blade, c));
    Recipe { billet, one_steel, ends, serrated, plugs, stackings, asked, limits }
}

/// Says when one of `[billet]` and `[[bar]]` is there without the other.
fn both_tables(file: RecipeDrafts, c: &mut Checker) {
    let (billet, bar) = (c.document.has("billet"), c.document.has("bar[0]"));
    // What could not be read as a list has its own problem.
    let bar = bar || (file.bars.is_none() && c.document.has("bar"));
    let missing = |key: &str, why: &str| Fault::MissingKey { key: key.to_owned(), why: why.to_owned() };
    if billet && !bar {
        let fault = missing("bar", "add [[bar]] with height and steel or layers, once for each bar");
        c.found.add("bar", c.document.span("billet"), &fault);
    }
    if bar && !billet {
        let fault = missing("billet", "add [billet] with the width of the bars");
        c.found.add("billet", c.document.span("bar[0]"), &fault);
    }
}

/// The stack from its table, with its bars and steels.
fn billet(
    draft: &BilletDraft,
    (file, bars): (RecipeDrafts, Option<Vec<Bar>>),
    rack: Rack,
    blade: Option<&Blade>,
    c: &mut Checker,
) -> Option<Billet> {
    let width = c.length_required(draft.width.as_ref(), "billet.width", WIDTHS);
    let tip = tip(draft, blade, c);
    let list = file.bars.map_or(&[][..], bar::read);
    let bars = bars.zip(width).and_then(|(bars, width)| shared::laid(list, bars, width, c));
    let recipe = Made { width: width?, bars: bars?, steels: rack.taken(), tip: tip? };
    // Faults told already are not told again by the whole.
    if !c.found.is_empty() {
        return None;
    }
    Billet::new(recipe)
        .map_err(|faults| {
            for fault in faults {
                c.fault("billet", &Fault::Stack { what: fault.to_string() });
            }
        })
        .ok()
}

/// How the point was made; `None` where refused.
fn tip(draft: &BilletDraft, blade: Option<&Blade>, c: &mut Checker) -> Option<Tip> {
    let word = draft.tip.as_ref().map_or(BilletTipWord::Forged, |t| t.value);
    match word {
        BilletTipWord::Forged if draft.tip.is_none() && c.document.has("billet.tip") => None,
        BilletTipWord::Forged => {
            c.stray(&draft.given(), &["width", "tip", "near_edge", "visible"], "a forged tip");
            Some(Tip::Forged)
        }
        BilletTipWord::Cut => {
            if draft.cut_from.is_none() {
                c.missing("billet.cut_from", "give the station from which the bars run straight on");
            }
            cut_from(draft.cut_from.as_ref(), blade, c).map(|from| Tip::Cut { from })
        }
    }
}

/// The station of a cut, mm, on the blade.
fn cut_from(field: Option<&Field<Length>>, blade: Option<&Blade>, c: &mut Checker) -> Option<f64> {
    let from = c.length(field, SIZE)?;
    let most = blade.map_or(*SIZE.end(), Blade::length) - CUT_FROM_ENDS;
    if from < CUT_FROM_ENDS || from > most {
        let (low, high) = (c.lower_limit_text(CUT_FROM_ENDS), c.upper_limit_text(most));
        c.fault("billet.cut_from", &Fault::Outside { value: c.length_text(from), low, high });
        return None;
    }
    Some(from)
}
