//! The `serrated` weld of a bar to the next one towards the back.

use laminate::{MaterialMap, Serration, Teeth};

use crate::file::checker::Checker;
use crate::file::draft::{Field, Length, table};
use crate::file::problem::Fault;

/// Lengths of a tooth with its gap accepted, mm: from what a file can part to a slow wave.
const PERIODS: std::ops::RangeInclusive<f64> = 4.0..=200.0;
/// Depths accepted, mm: from what an etch shows to what a broad blade has room for.
const DEPTHS: std::ops::RangeInclusive<f64> = 0.2..=40.0;
/// Share of a bar's height that teeth may take from both sides: what is left has to hold them (common practice, no source).
const TAKEN: f64 = 0.9;
/// Halvings to the greatest depth that is told: to a thousandth of those accepted.
const HALVINGS: usize = 16;

table! {
    /// Teeth of a weld, by what the finished blade shows.
    SerratedDraft {
        /// Length of a tooth with its gap along the finished blade, 4 to 200 mm.
        #[schemars(required)]
        period: Length,
        /// From the tips of one bar's teeth to those of the other's, across the finished blade, 0.2 to 40 mm.
        #[schemars(required)]
        depth: Length,
    }
}

/// Checks the table of a bar; `None` where absent or refused. The bar at the back has no weld over it.
pub(crate) fn check(field: Option<&Field<SerratedDraft>>, first: bool, c: &mut Checker) -> Option<Serration> {
    let field = field?;
    if first {
        c.key_fault(&field.at, &Fault::NoWeld {});
        return None;
    }
    let path = |key: &str| format!("{}.{key}", field.at);
    let draft = &field.value;
    let period = c.length_required(draft.period.as_ref(), &path("period"), PERIODS);
    let depth = c.length_required(draft.depth.as_ref(), &path("depth"), DEPTHS);
    Some(Serration { period: period?, depth: depth? })
}

/// The billet with the teeth asked for; `None` where they were refused, as too deep for their bars.
pub(crate) fn laid(lay: &MaterialMap, asked: &[Option<Serration>], c: &mut Checker) -> Option<MaterialMap> {
    let teeth: Vec<Option<Teeth>> =
        asked.iter().enumerate().map(|(i, asked)| asked.and_then(|asked| lay.teeth(i, asked))).collect();
    if let Some((bar, fault)) = too_deep(lay, &teeth, c) {
        c.fault(&format!("bar[{bar}].serrated.depth"), &fault);
        return None;
    }
    lay.with_teeth(teeth).ok()
}

/// The first weld whose teeth take too much of one of its bars, by the bar under it.
fn too_deep(lay: &MaterialMap, teeth: &[Option<Teeth>], c: &Checker) -> Option<(usize, Fault)> {
    let bars = lay.billet().bars();
    let most = |i: usize| teeth.get(i).and_then(Option::as_ref).map_or(0.0, Teeth::most);
    let room = |bar: usize| TAKEN * bars[bar].height.least();
    let taken = |bar: usize| most(bar) + most(bar + 1);
    let bar = (0..teeth.len()).find(|&bar| taken(bar) > 0.0 && taken(bar) > room(bar))?;
    // Of two welds the one with the deeper teeth.
    let weld = if most(bar) >= most(bar + 1) { bar } else { bar + 1 };
    let asked = teeth[weld].as_ref()?.asked();
    // What is left for these teeth in both their bars beside those on the other sides.
    let left = [weld - 1, weld].map(|bar| room(bar) + most(weld) - taken(bar));
    let fits = |depth: f64| {
        let own = lay.teeth(weld, Serration { depth, ..asked }).map_or(0.0, |teeth| teeth.most());
        left.iter().all(|left| own <= *left)
    };
    let (mut least, mut high) = (0.0, asked.depth);
    for _ in 0..HALVINGS {
        let middle = 0.5 * (least + high);
        if fits(middle) { least = middle } else { high = middle }
    }
    let fault = Fault::DeepTeeth {
        depth: c.length_text(asked.depth),
        bar: bars[bar].name.clone(),
        most: c.upper_limit_text(least),
    };
    Some((weld, fault))
}
