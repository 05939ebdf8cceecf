//! What of a recipe is no fault, yet rarely meant.

use std::collections::BTreeSet;

use blade::{Blade, Part, Sections, Stage};
use laminate::{Bar, Billet};

use crate::checked::lay::lay;
use crate::file::checker::Checker;
use crate::file::draft::Field;
use crate::file::problem::{Fault, Problems};
use crate::tables::billet::bar::BarDraft;
use crate::tables::billet::recipe::{Recipe, RecipeDrafts, WIDTHS};
use crate::tables::billet::twist::usual_per;

/// Turns over a length like the bar's side beyond which bars tear (common practice, no source).
const MOST_TURNS: f64 = 1.5;
/// Stations tried on blade or tang: a section hardly changes within a hundredth of the length.
const STATIONS: u32 = 100;
/// Ratios this little over 1 are rounding.
const ROUNDING: f64 = 1e-9;
/// How far the bars' length summed up at [`STATIONS`] is trusted: within a twentieth, also where a blade is short and
/// full of steps. Nearer to it the true one is found.
const TRUSTED: f64 = 0.95;

/// The warnings on a recipe.
pub(crate) fn recipe_warnings(file: RecipeDrafts, recipe: &Recipe, blade: &Blade, c: &Checker) -> Problems {
    let mut found = Problems::default();
    unused_steels(file, c, &mut found);
    let Some(billet) = &recipe.billet else {
        let sets = file.layers.into_iter().flat_map(|list| &list.value);
        sets.for_each(|set| warn(&set.at, &Fault::LayersAlone {}, c, &mut found));
        return found;
    };
    unused_layers(file, c, &mut found);
    let forged = ForgedSections::from_blade(blade);
    thin_stack(billet, blade, &forged, c, &mut found);
    let drafts = file.bars.into_iter().flat_map(|list| &list.value);
    for (draft, bar) in drafts.zip(billet.bars()) {
        tight(draft, bar, billet.width(), c, &mut found);
        if last_start(bar) > TRUSTED * forged.volume() / billet.section(Part::Blade) {
            beyond(draft, bar, billet, blade, c, &mut found);
        }
    }
    found
}

/// Sections of the forged blade and tang.
struct ForgedSections {
    /// Middle stations of like stretches (mm) and the sections' areas there, mm².
    blade: Vec<(f64, f64)>,
    tang: Vec<(f64, f64)>,
    length: f64,
}

impl ForgedSections {
    fn from_blade(blade: &Blade) -> ForgedSections {
        let sections = Sections::of(&blade.loft(Stage::Forged));
        let (start, end) = sections.range();
        let areas = |from: f64, to: f64| {
            let at = |i: u32| from + (to - from) * (f64::from(i) + 0.5) / f64::from(STATIONS);
            (0..STATIONS).map(at).map(|x| (x, sections.at(x).map_or(0.0, |s| s.area()))).collect()
        };
        ForgedSections { blade: areas(0.0, end), tang: areas(start, 0.0), length: end }
    }

    /// Of the blade without its tang, mm³, by the midpoint rule.
    fn volume(&self) -> f64 {
        self.blade.iter().map(|s| s.1).sum::<f64>() * self.length / f64::from(STATIONS)
    }

    /// Where blade or tang has its largest section (mm), and that one's area, mm².
    fn largest(&self, part: Part) -> (f64, f64) {
        let sections = match part {
            Part::Blade => &self.blade,
            Part::Tang => &self.tang,
        };
        sections.iter().copied().max_by(|a, b| a.1.total_cmp(&b.1)).unwrap_or_default()
    }
}

fn warn(path: &str, fault: &Fault, c: &Checker, found: &mut Problems) {
    found.add(path, c.document.span(path), fault);
}

/// Own steels that nothing names.
fn unused_steels(file: RecipeDrafts, c: &Checker, found: &mut Problems) {
    let bars = file.bars.into_iter().flat_map(|list| &list.value).filter_map(|f| f.value.steel.as_ref());
    let sets = file.layers.into_iter().flat_map(|list| &list.value);
    let layered = sets.flat_map(|s| s.value.steels.iter().flat_map(|l| &l.value));
    let used: BTreeSet<&str> = bars.chain(layered).map(|f| f.value.as_str()).collect();
    let own = file.steels.into_iter().flat_map(|list| &list.value).filter_map(|f| f.value.name.as_ref());
    own.filter(|n| !used.contains(n.value.as_str())).for_each(|n| unused(n, "bar and no layer", c, found));
}

/// Layer sets that no bar names.
fn unused_layers(file: RecipeDrafts, c: &Checker, found: &mut Problems) {
    let bars = file.bars.into_iter().flat_map(|list| &list.value).filter_map(|f| f.value.layers.as_ref());
    let laid: BTreeSet<&str> = bars.map(|f| f.value.as_str()).collect();
    let named = file.layers.into_iter().flat_map(|list| &list.value).filter_map(|f| f.value.name.as_ref());
    named.filter(|n| !laid.contains(n.value.as_str())).for_each(|n| unused(n, "bar", c, found));
}

fn unused(name: &Field<String>, what: &'static str, c: &Checker, found: &mut Problems) {
    warn(&name.at, &Fault::Unused { name: name.value.clone(), what }, c, found);
}

/// Tells of blade and tang where their stack would have to get shorter to fill them, or thicker to reach their sides.
fn thin_stack(billet: &Billet, blade: &Blade, forged: &ForgedSections, c: &Checker, found: &mut Problems) {
    let thickest = thickest(blade);
    let mut is_small = false;
    for (part, name, path) in [(Part::Blade, "blade", "billet.width"), (Part::Tang, "tang", "billet")] {
        let (at, area) = forged.largest(part);
        let times = area / billet.section(part);
        if times > 1.0 + ROUNDING {
            let remedy = remedy(part, (billet.width() * times).max(thickest), c);
            warn(path, &Fault::ThinStack { part: name, at: c.length_text(at), times, remedy }, c, found);
            is_small |= part == Part::Blade;
        }
    }
    if !is_small && billet.width() * (1.0 + ROUNDING) < thickest {
        let (width, thickness) = (c.length_text(billet.width()), c.length_text(thickest));
        warn("billet.width", &Fault::NarrowStack { width, thickness }, c, found);
    }
}

/// The greatest thickness of the forged blade at its taper's stations, mm.
fn thickest(blade: &Blade) -> f64 {
    let (spec, stages) = (blade.spec(), &blade.spec().stages);
    let finished = spec.taper.iter().map(|t| t.back.max(t.grind.unwrap_or(t.back))).fold(0.0, f64::max);
    finished + 2.0 * (stages.forged_allowance + stages.ground_allowance)
}

/// What helps against a thin stack, which would do if it were `least` mm wide.
fn remedy(part: Part, least: f64, c: &Checker) -> String {
    if part == Part::Tang {
        "let more bars run into the tang, or make it smaller".to_owned()
    } else if WIDTHS.contains(&least) {
        format!("give a `width` of at least {}, or make the bars taller", c.lower_limit_text(least))
    } else {
        "make the bars taller".to_owned()
    }
}

/// Tells the stretches that are twisted too tightly for the bar's thickness.
fn tight(draft: &Field<BarDraft>, bar: &Bar, width: f64, c: &Checker, found: &mut Problems) {
    // Taken to be twisted as the square of the same section.
    let side = (bar.height * width).sqrt();
    for field in draft.value.twist.iter().flat_map(|list| &list.value) {
        let Some(turns) = &field.value.turns else { continue };
        let unit = c.unit.millimetres();
        let per = field.value.per.as_ref().map_or(usual_per(c.unit), |p| p.value.0.with(unit));
        let over = turns.value.0 / per * side;
        if over > MOST_TURNS + ROUNDING {
            // Rounded down to what is told, so that it is accepted.
            let most = format!("{}", (MOST_TURNS / side * per * 100.0).floor() / 100.0);
            let fault =
                Fault::TightTwist { turns: over, side: c.length_text(side), most: MOST_TURNS, per: most };
            warn(&turns.at, &fault, c, found);
        }
    }
}

/// Where the last stretch of a bar begins, mm.
fn last_start(bar: &Bar) -> f64 {
    bar.twist.starts().last().map_or(0.0, |s| s.0)
}

/// Tells the first stretch that begins past the bar's end.
fn beyond(
    draft: &Field<BarDraft>,
    bar: &Bar,
    billet: &Billet,
    blade: &Blade,
    c: &Checker,
    found: &mut Problems,
) {
    let Ok(lay) = lay(billet, blade) else { return };
    let end = lay.along(lay.sections().range().1);
    let stretches = draft.value.twist.iter().flat_map(|list| &list.value);
    let late = stretches.zip(bar.twist.starts()).find(|(_, (start, _))| *start >= end);
    if let Some((field, (start, _))) = late {
        warn(&field.at, &Fault::BeyondBar { at: c.length_text(start), end: c.length_text(end) }, c, found);
    }
}
