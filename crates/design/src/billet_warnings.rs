//! What of a recipe is no fault, yet rarely meant.

use std::collections::BTreeSet;

use blade::Blade;
use laminate::{Bar, Lay};

use crate::bar::BarDraft;
use crate::billet::{Recipe, WIDTHS};
use crate::checker::Checker;
use crate::draft::Field;
use crate::file::FileDraft;
use crate::problem::{Fault, Found};
use crate::twist::usual_per;

/// Turns over a length like the bar's side beyond which bars tear (common practice, no source).
const MOST_TURNS: f64 = 1.5;
/// Stations tried for the largest section, besides those where its change has corners: one in 5 mm on a long blade.
const STATIONS: u32 = 200;
/// Ratios of sections this little over 1 are rounding.
const ROUNDING: f64 = 1e-9;

/// The warnings on a recipe.
pub(crate) fn of(file: &FileDraft, recipe: &Recipe, blade: &Blade, c: &Checker) -> Found {
    let mut found = Found::default();
    unused(file, c, &mut found);
    let lay = recipe.billet.as_ref().and_then(|billet| crate::design::lay(billet, blade).ok());
    if let Some(lay) = lay {
        thin_stack(&lay, c, &mut found);
        let drafts = file.bar.iter().flat_map(|list| &list.value);
        for (draft, bar) in drafts.zip(lay.billet().bars()) {
            tight(draft, bar, lay.billet().width(), c, &mut found);
            beyond(draft, bar, &lay, c, &mut found);
        }
    }
    found
}

fn warn(path: &str, fault: &Fault, c: &Checker, found: &mut Found) {
    found.add(path, c.document.span(path), fault);
}

/// Own steels and layer sets that nothing names.
fn unused(file: &FileDraft, c: &Checker, found: &mut Found) {
    let bars = || file.bar.iter().flat_map(|list| &list.value).map(|f| &f.value);
    let sets = || file.layers.iter().flat_map(|list| &list.value).map(|f| &f.value);
    let layered = sets().flat_map(|s| s.steels.iter().flat_map(|l| &l.value));
    let steels: BTreeSet<&str> =
        bars().filter_map(|b| b.steel.as_ref()).chain(layered).map(|f| f.value.as_str()).collect();
    let laid: BTreeSet<&str> = bars().filter_map(|b| b.layers.as_ref()).map(|f| f.value.as_str()).collect();
    let mut tell = |name: &Field<String>, what| {
        warn(&name.at, &Fault::Unused { name: name.value.clone(), what }, c, found);
    };
    let own = file.steel.iter().flat_map(|list| &list.value).filter_map(|f| f.value.name.as_ref());
    own.filter(|n| !steels.contains(n.value.as_str())).for_each(|n| tell(n, "bar and no layer"));
    let named = sets().filter_map(|s| s.name.as_ref());
    named.filter(|n| !laid.contains(n.value.as_str())).for_each(|n| tell(n, "bar"));
}

/// Tells of blade and tang where their stack would have to get shorter to fill them.
fn thin_stack(lay: &Lay, c: &Checker, found: &mut Found) {
    if let Some((at, times)) = largest(lay, false).filter(|l| l.1 > 1.0 + ROUNDING) {
        let least = lay.billet().width() * times;
        let remedy = match WIDTHS.contains(&least) {
            true => format!("give a `width` of at least {}, or higher bars", c.told_least(least)),
            false => "give higher bars".to_owned(),
        };
        warn("billet.width", &Fault::ThinStack { part: "blade", at: c.told(at), times, remedy }, c, found);
    }
    if let Some((at, times)) = largest(lay, true).filter(|l| l.1 > 1.0 + ROUNDING) {
        let remedy = "let more bars run into the tang, or make it smaller".to_owned();
        warn("billet", &Fault::ThinStack { part: "tang", at: c.told(at), times, remedy }, c, found);
    }
}

/// Where blade or tang has the largest section, mm, and that over the section of its stack.
fn largest(lay: &Lay, tang: bool) -> Option<(f64, f64)> {
    let (start, end) = lay.sections().range();
    let even = (0..STATIONS).map(|i| start + (end - start) * f64::from(i) / f64::from(STATIONS));
    let stations = even.chain(lay.sections().breaks()).filter(|&x| (x < 0.0) == tang);
    let ratios = stations.filter_map(|x| Some((x, 1.0 / lay.stretch(x)?)));
    ratios.max_by(|a, b| a.1.total_cmp(&b.1))
}

/// Tells the stretches that are twisted too tightly for the bar's thickness.
fn tight(draft: &Field<BarDraft>, bar: &Bar, width: f64, c: &Checker, found: &mut Found) {
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
            let fault = Fault::TightTwist { turns: over, side: c.told(side), most: MOST_TURNS, per: most };
            warn(&turns.at, &fault, c, found);
        }
    }
}

/// Tells the first stretch that begins past the bar's end.
fn beyond(draft: &Field<BarDraft>, bar: &Bar, lay: &Lay, c: &Checker, found: &mut Found) {
    let end = lay.along(lay.sections().range().1);
    let stretches = draft.value.twist.iter().flat_map(|list| &list.value);
    let late = stretches.zip(bar.twist.starts()).find(|(_, (start, _))| *start >= end);
    if let Some((field, (start, _))) = late {
        warn(&field.at, &Fault::BeyondBar { at: c.told(start), end: c.told(end) }, c, found);
    }
}
