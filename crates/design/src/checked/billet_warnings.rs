//! What of a recipe is no fault, yet rarely meant.

use std::collections::BTreeSet;
use std::f64::consts::{FRAC_1_SQRT_2, TAU};

use blade::{Blade, Part, Sections, Stage};
use laminate::{Bar, Billet, Height, MaterialMap, Pitch};
use steel::{fibre_stretch, most_stretch, rate_for, twist_rounds};

use crate::checked::heat_warnings;
use crate::checked::lay::lay;
use crate::file::checker::Checker;
use crate::file::draft::Field;
use crate::file::problem::{Fault, Problems};
use crate::tables::bench::jig::Jig;
use crate::tables::billet::bar::{self, BarDraft, Keys};
use crate::tables::billet::forging::Forging;
use crate::tables::billet::height::{HeightAtDraft, HeightDraft};
use crate::tables::billet::recipe::{Recipe, RecipeDrafts, WIDTHS};
use crate::tables::billet::twist::usual_per;
use crate::unit::quantity::Unit;

/// A jig's bar that is further than this share from every bar that is twisted is another one: a tenth more in side is
/// a third more in torque.
const OTHER_BAR: f64 = 0.1;
/// Stations tried on blade or tang: a section hardly changes within a hundredth of the length.
const STATIONS: u32 = 100;
/// Ratios this little over 1 are rounding.
const ROUNDING: f64 = 1e-9;
/// How far the bars' length summed up at [`STATIONS`] is trusted: within a twentieth, also where a blade is short and
/// full of steps. Nearer to it the true one is found.
const TRUSTED: f64 = 0.95;

/// The warnings on a recipe.
pub(crate) fn recipe_warnings(
    file: RecipeDrafts,
    (recipe, lay): (&Recipe, Option<&MaterialMap>),
    (blade, forging, jig): (&Blade, &Forging, Option<&Jig>),
    c: &Checker,
) -> Problems {
    let mut found = Problems::default();
    if recipe.one_steel.is_none() {
        unused_steels(file, c, &mut found);
    }
    heat_warnings::departures(file, recipe, c, &mut found);
    let Some(billet) = &recipe.billet else {
        let sets = file.layers.into_iter().flat_map(|list| &list.value);
        sets.for_each(|set| warn(&set.at, &Fault::LayersAlone {}, c, &mut found));
        return found;
    };
    unused_layers(file, c, &mut found);
    heat_warnings::welds(billet, recipe, forging, c, &mut found);
    heat_warnings::edge(billet, c, &mut found);
    let forged = ForgedSections::from_blade(blade);
    thin_stack((billet, lay), blade, &forged, c, &mut found);
    let drafts = file.bars.map_or(&[][..], bar::read);
    let section = billet.mean_section(Part::Blade, forged.volume());
    let longer = longer(section, billet.width(), forging);
    for (i, keys) in Keys::all(drafts).iter().enumerate().take(billet.bars().len()) {
        let bar = (&billet.bars()[i], &billet.made_height(i), billet.made_width(i));
        tight(keys, bar, billet, (forging, longer), c, &mut found);
        if let Some(lay) = lay {
            tight_pitches(keys, bar, lay, (forging, longer), c, &mut found);
        }
        if last_start(bar.0) > TRUSTED * forged.volume() / section {
            beyond(keys, bar.0, billet, blade, c, &mut found);
        }
        if let Some((lay, draft)) = lay.zip(drafts.get(i)) {
            height_beyond(draft, lay, c, &mut found);
        }
    }
    if let Some(lay) = lay.filter(|lay| lay.billet().is_plugged()) {
        plugs(drafts, lay, blade, c, &mut found);
    }
    if let Some(jig) = jig {
        jig_bar(jig, billet, forging, c, &mut found);
    }
    found
}

/// Sections of the forged blade and tang.
pub(crate) struct ForgedSections {
    /// Middle stations of like stretches (mm) and the sections' areas there, mm².
    blade: Vec<(f64, f64)>,
    tang: Vec<(f64, f64)>,
    length: f64,
}

impl ForgedSections {
    pub(crate) fn from_blade(blade: &Blade) -> ForgedSections {
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

    /// Where a stack that is tapered would have to get thickest against what it is (mm), and by what factor.
    fn tightest(&self, lay: &MaterialMap) -> Option<(f64, f64)> {
        let times = self.blade.iter().filter_map(|(x, _)| Some((*x, 1.0 / lay.stretch(*x)?)));
        times.max_by(|a, b| a.1.total_cmp(&b.1))
    }

    /// Where blade or tang has its largest section (mm), and that one's area, mm².
    pub(crate) fn largest(&self, part: Part) -> (f64, f64) {
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
    let bars =
        Keys::all(file.bars.map_or(&[][..], |list| &list.value)).into_iter().filter_map(|keys| keys.steel);
    let sets = file.layers.into_iter().flat_map(|list| &list.value);
    let plugs = file.bars.into_iter().flat_map(|list| &list.value).filter_map(|bar| bar.value.plugs.as_ref());
    let rods = plugs.flat_map(|list| &list.value).filter_map(|plug| plug.value.steel.as_ref());
    let layered = sets.flat_map(|s| s.value.steels.iter().flat_map(|l| &l.value));
    let used: BTreeSet<&str> = bars.chain(layered).chain(rods).map(|f| f.value.as_str()).collect();
    let own = file.steels.into_iter().flat_map(|list| &list.value).filter_map(|f| f.value.name.as_ref());
    own.filter(|n| !used.contains(n.value.as_str())).for_each(|n| unused(n, "bar and no layer", c, found));
}

/// Layer sets that no bar names.
fn unused_layers(file: RecipeDrafts, c: &Checker, found: &mut Problems) {
    let bars =
        Keys::all(file.bars.map_or(&[][..], |list| &list.value)).into_iter().filter_map(|keys| keys.layers);
    let laid: BTreeSet<&str> = bars.map(|f| f.value.as_str()).collect();
    let named = file.layers.into_iter().flat_map(|list| &list.value).filter_map(|f| f.value.name.as_ref());
    named.filter(|n| !laid.contains(n.value.as_str())).for_each(|n| unused(n, "bar", c, found));
}

fn unused(name: &Field<String>, what: &'static str, c: &Checker, found: &mut Problems) {
    warn(&name.at, &Fault::Unused { name: name.value.clone(), what }, c, found);
}

/// Tells of blade and tang where their stack would have to get shorter to fill them, or thicker to reach their sides.
fn thin_stack(
    (billet, lay): (&Billet, Option<&MaterialMap>),
    blade: &Blade,
    forged: &ForgedSections,
    c: &Checker,
    found: &mut Problems,
) {
    let thickest = thickest(blade);
    let mut is_small = false;
    for (part, name, path) in [(Part::Blade, "blade", "billet.width"), (Part::Tang, "tang", "billet")] {
        let (at, area) = forged.largest(part);
        let even = (at, area / billet.section(part, 0.0));
        let tapered =
            lay.filter(|_| part == Part::Blade && billet.bars().iter().any(|b| !b.height.is_even()));
        let (at, times) = tapered.and_then(|lay| forged.tightest(lay)).unwrap_or(even);
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
pub(crate) fn thickest(blade: &Blade) -> f64 {
    let (spec, stages) = (blade.spec(), &blade.spec().stages);
    let finished = spec.taper.iter().map(|t| t.back.max(t.grind.unwrap_or(t.back))).fold(0.0, f64::max);
    finished + 2.0 * (stages.forged_allowance + stages.ground_allowance)
}

/// What helps against a thin stack, which would do if it were `least` mm wide.
fn remedy(part: Part, least: f64, c: &Checker) -> String {
    if part == Part::Tang {
        "let more bars run into the tang, or make the tang smaller".to_owned()
    } else if WIDTHS.contains(&least) {
        format!("give a `width` of at least {}, or make the bars taller", c.lower_limit_text(least))
    } else {
        "make the bars taller".to_owned()
    }
}

/// Tells the stretches whose corners tear even in as many rounds of heats as a bar bears.
fn tight(
    keys: &Keys<'_>,
    (bar, made, wide): Made<'_>,
    billet: &Billet,
    (forging, longer): (&Forging, f64),
    c: &Checker,
    found: &mut Problems,
) {
    // Where it is highest its corners stretch most.
    let side = twisted_side(bar, [made.greatest(), wide], billet, forging);
    for field in keys.stretches() {
        let Some(turns) = &field.value.turns else { continue };
        let unit = c.unit.millimetres();
        let per = field.value.per.as_ref().map_or(usual_per(c.unit), |p| p.value.0.with(unit)) * longer;
        let stretch = fibre_stretch(turns.value.0 / per * TAU, side * FRAC_1_SQRT_2);
        if twist_rounds(stretch).is_none() {
            // Rounded down to what is told, so that it is accepted.
            let most = (rate_for(most_stretch(), side) / TAU * per * 100.0).floor() / 100.0;
            let [stretch, most_stretch] = [stretch, most_stretch()].map(|share| 100.0 * share);
            let fault = Fault::TightTwist { stretch, side: c.length_text(side), most_stretch, most };
            warn(&turns.at, &fault, c, found);
        }
    }
}

/// How much longer a bar is when it is twisted than the stack is once its scale is off, by the stack's mean section (mm²).
fn longer(section: f64, width: f64, forging: &Forging) -> f64 {
    forging.burnt(forging.stack_heats, [section / width, width])
}

/// Tells the pitches whose corners tear even in as many rounds of heats as a bar bears, where they tear first, and the
/// tightest even pitch that the stretch bears.
fn tight_pitches(
    keys: &Keys<'_>,
    (bar, made, wide): Made<'_>,
    lay: &MaterialMap,
    (forging, longer): (&Forging, f64),
    c: &Checker,
    found: &mut Problems,
) {
    let side_at = |at: f64| {
        let high = if made.is_even() { made.at(0.0) } else { made.at(lay.along(at)) };
        twisted_side(bar, [high, wide], lay.billet(), forging)
    };
    let pitches = keys.stretches().filter_map(|field| field.value.pitch.as_ref());
    for (field, run) in pitches.zip(bar.twist.pitched().flatten()) {
        let hardest = lay.hardest(run.pitch(), run.stations(), made);
        let side = side_at(hardest.at);
        let stretch = fibre_stretch(hardest.rate / longer, side * FRAC_1_SQRT_2);
        if twist_rounds(stretch).is_none() {
            // A pitch of 1 mm asks for so much more than one that the bar bears as that one is longer.
            let of_one = lay.hardest(&Pitch::even(1.0), run.stations(), made);
            let least = of_one.rate / (rate_for(most_stretch(), side_at(of_one.at)) * longer);
            let [stretch, most_stretch] = [stretch, most_stretch()].map(|share| 100.0 * share);
            let step = step(c);
            let fault = Fault::TightPitch {
                at: c.length_text(hardest.at),
                turn: c.length_text((TAU / hardest.rate * longer / step).round().max(1.0) * step),
                side: c.length_text(side),
                stretch,
                most_stretch,
                least: c.lower_limit_text((least / step).ceil() * step),
            };
            warn(&field.at, &fault, c, found);
        }
    }
}

/// Step in which lengths on hot steel are told, mm: as a rule beside the anvil is read.
fn step(c: &Checker) -> f64 {
    match c.unit {
        Unit::Millimetre => 0.1,
        Unit::Inch => 0.01 * c.unit.millimetres(),
    }
}

/// A bar with its height along the stack and its width as it is made, mm.
type Made<'a> = (&'a Bar, &'a Height, f64);

/// Side (mm) of the square that a bar is twisted as where it is so high and wide: one of the same section.
fn twisted_side(bar: &Bar, size: [f64; 2], billet: &Billet, forging: &Forging) -> f64 {
    let [high, wide] = forging.made_section(bar, size, billet.bars().len() == 1);
    (high * wide).sqrt()
}

/// Tells of an end tab thicker than the thinnest bar that it is forged on, and of a jig made for another bar.
fn jig_bar(jig: &Jig, billet: &Billet, forging: &Forging, c: &Checker, found: &mut Problems) {
    let twisted = billet.bars().iter().enumerate().filter(|(_, bar)| bar.twist.is_twisted());
    let size = |i: usize| [billet.made_height(i).least(), billet.made_width(i)];
    let side = |(i, bar): (usize, &Bar)| twisted_side(bar, size(i), billet, forging);
    let sides: Vec<(f64, &String)> = twisted.map(|(i, bar)| (side((i, bar)), &bar.name)).collect();
    let Some(&(side, name)) = sides.iter().min_by(|a, b| a.0.total_cmp(&b.0)) else { return };
    if jig.tab > side * (1.0 + ROUNDING) {
        let (tab, most) = (c.length_text(jig.tab), c.upper_limit_text(side));
        warn(
            "jig.tab",
            &Fault::TabOverBar { tab, bar: name.clone(), side: c.length_text(side), most },
            c,
            found,
        );
    }
    let other = |bar: &f64| sides.iter().all(|(side, _)| (bar / side - 1.0).abs() > OTHER_BAR);
    if let Some(bar) = jig.bar.filter(other) {
        let (given, side) = (c.length_text(bar), c.upper_limit_text((10.0 * side).round() / 10.0));
        warn("jig.bar", &Fault::OtherBar { given, bar: name.clone(), side }, c, found);
    }
}

/// Tells of plugs of which nothing is left on the finished blade, and of those that its edge runs through.
fn plugs(drafts: &[Field<BarDraft>], lay: &MaterialMap, blade: &Blade, c: &Checker, found: &mut Problems) {
    let finished = Sections::of(&blade.loft(Stage::Finished));
    for (bar, field) in drafts.iter().enumerate() {
        let made = &lay.billet().bars()[bar];
        for (i, plug) in field.value.plugs.iter().flat_map(|list| &list.value).enumerate() {
            let Some(spot) = lay.spot((bar, i), &finished) else {
                warn(&plug.at, &Fault::HiddenPlug {}, c, found);
                continue;
            };
            let Some([from, to]) = spot.at_edge else { continue };
            let fault = Fault::PlugAtEdge {
                from: c.length_text(from),
                to: c.length_text(to),
                steel: lay.billet().steels()[made.plugs[i].steel()].name.clone(),
                bar: made.name.clone(),
            };
            warn(&plug.at, &fault, c, found);
        }
    }
}

/// Where the last stretch of a bar begins, mm.
fn last_start(bar: &Bar) -> f64 {
    bar.twist.starts().last().map_or(0.0, |s| s.0)
}

/// Tells the first stretch that begins past the bar's end.
fn beyond(keys: &Keys<'_>, bar: &Bar, billet: &Billet, blade: &Blade, c: &Checker, found: &mut Problems) {
    let Ok(lay) = lay(billet, blade) else { return };
    let end = lay.along(lay.sections().range().1);
    let late = keys.stretches().zip(bar.twist.starts()).find(|(_, (start, _))| *start >= end);
    if let Some((field, (start, _))) = late {
        warn(&field.at, &Fault::BeyondBar { at: c.length_text(start), end: c.length_text(end) }, c, found);
    }
}

/// Tells the first height that is given past the bar's end.
fn height_beyond(draft: &Field<BarDraft>, lay: &MaterialMap, c: &Checker, found: &mut Problems) {
    let Some(HeightDraft::Places(list)) = draft.value.height.as_ref().map(|field| &field.value) else {
        return;
    };
    let end = lay.along(lay.sections().range().1);
    let at = |place: &Field<HeightAtDraft>| {
        let field = place.value.at.as_ref()?;
        Some((field.at.clone(), field.value.0.with(c.unit.millimetres())))
    };
    let late = list.iter().filter_map(at).find(|(_, at)| *at > end * (1.0 + ROUNDING));
    if let Some((path, at)) = late {
        let fault = Fault::HeightBeyond { at: c.length_text(at), end: c.upper_limit_text(end) };
        warn(&path, &fault, c, found);
    }
}
