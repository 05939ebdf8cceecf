//! A design that holds together, and the way from a file's bytes to it.

use std::sync::OnceLock;

use blade::{Blade, LengthUnit, Preform, Spec, Stage, TangForm, Unbendable};
use brep::{MOST_TRIANGLES, Mesh, MeshFault};
use laminate::{Billet, Limits, MaterialMap};
use steel::Steel;

use crate::checked::billet_warnings;
use crate::checked::ease;
use crate::checked::field_path::field_path;
use crate::checked::laid_bars;
use crate::checked::lay::lay;
use crate::checked::one_bar;
use crate::file::checker::{Checker, MOST};
use crate::file::document::{self, Document};
use crate::file::draft::{Place, Read};
use crate::file::name;
use crate::file::places::Places;
use crate::file::problem::{Fault, Problem, Problems};
use crate::tables::bench::gauges;
use crate::tables::bench::gauges::Gauges;
use crate::tables::bench::jig;
use crate::tables::bench::jig::Jig;
use crate::tables::bench::plate;
use crate::tables::bench::plate::Plate;
use crate::tables::bench::quench::{self, Quench};
use crate::tables::bench::shop;
use crate::tables::bench::shop::Shop;
use crate::tables::billet::forging;
use crate::tables::billet::forging::Forging;
use crate::tables::billet::layers::Stacking;
use crate::tables::billet::recipe;
use crate::tables::billet::recipe::{Recipe, RecipeDrafts};
use crate::tables::blade::fuller;
use crate::tables::blade::outline;
use crate::tables::blade::outline::Measured;
use crate::tables::blade::ricasso;
use crate::tables::blade::section;
use crate::tables::blade::stages;
use crate::tables::blade::tang;
use crate::tables::blade::taper;
use crate::tables::top_level::FileDraft;
use crate::tables::units::Units;
use crate::tables::weight::fitting;
use crate::tables::weight::fitting::Fitting;
use crate::tables::weight::material::KILOGRAM_PER_CUBIC_METRE;
use crate::tables::weight::pattern;
use crate::tables::weight::targets;
use crate::tables::weight::targets::Targets;
use crate::unit::figures::{Figures, trimmed};
use crate::unit::quantity::Unit;
use crate::unit::scales::MassUnit;

/// Density of carbon steel unless given, kg/m³: EN 1993-1-2, section 3.4.1 (from memory).
const STEEL: f64 = 7850.0;
/// Densities accepted, kg/m³: from magnesium's half to beyond every metal, so that models may be cast in anything.
const DENSITIES: std::ops::RangeInclusive<f64> = 1000.0..=25_000.0;
/// A shoulder radius under this is a stress riser, mm (common practice, no source).
const SAFE_RADIUS: f64 = 1.0;

/// A fitting that begins further ahead of the shoulder than this (mm) sits on the blade: guards are set against it.
const ON_BLADE: f64 = 1.0;
/// No fitting is lighter than the smallest coins, g (common practice, no source).
const COIN: f64 = 2.0;
/// What no fitting of a long blade weighs, g: as much as the blade (common practice, no source).
const HEAVY: f64 = 500.0;
/// A hidden tang thinner than this at the shoulder bends in the hand, mm (common practice, no source).
const STIFF: f64 = 1.0;

/// How far beyond point or tang something may lie before it is told, mm: what rounding of inches leaves.
const BEYOND: f64 = 0.1;

/// Tolerances from here on need no trial, mm: a hollow blade of 900 mm takes 0.12 million triangles at half of
/// this, so not even 3 m with eight fullers reach the limit; and trying costs more than the rest of the reading.
const COARSE: f64 = 0.002;

/// A blade with all that belongs to it. Only [`read`] makes one.
#[derive(Clone, Debug)]
pub struct Design {
    name: String,
    slug: String,
    figures: Figures,
    blade: Blade,
    fittings: Vec<Fitting>,
    shop: Shop,
    plate: Plate,
    gauges: Gauges,
    jig: Option<Jig>,
    forging: Forging,
    quench: Option<Quench>,
    targets: Option<Targets>,
    recipe: Recipe,
    /// The bar that a blade of one steel is forged from, as a billet of one bar.
    bar: OnceLock<Option<Billet>>,
    density: f64,
    lay: OnceLock<Option<MaterialMap>>,
    laid_bar: OnceLock<Option<MaterialMap>>,
    warnings: Vec<Problem>,
    places: Places,
}

impl Design {
    /// What the file calls the blade: 1 to 100 characters in one line.
    pub fn name(&self) -> &str {
        &self.name
    }

    /// The stem of its files' names: lower-case ASCII letters, digits and dashes; never empty.
    pub fn slug(&self) -> &str {
        &self.slug
    }

    /// The unit of the file's plain numbers. Everything here is in mm whatever it is.
    pub fn unit(&self) -> Unit {
        self.figures.unit
    }

    /// How lengths are written in the file's unit, and heat, weight and torque on its scales.
    pub fn figures(&self) -> Figures {
        self.figures
    }

    /// The checked blade, mm.
    pub fn blade(&self) -> &Blade {
        &self.blade
    }

    /// What is mounted on it, in the order of the file.
    pub fn fittings(&self) -> &[Fitting] {
        &self.fittings
    }

    /// The shop's printer, tolerance, fits, paper and stop blocks, mm.
    pub fn shop(&self) -> &Shop {
        &self.shop
    }

    /// The profile plate, mm.
    pub fn plate(&self) -> &Plate {
        &self.plate
    }

    /// The section gauges, mm; their stations lie where sections stand square to the blade.
    pub fn gauges(&self) -> &Gauges {
        &self.gauges
    }

    /// The twisting jig, mm and MPa; `None` when the file has no table of it.
    pub fn jig(&self) -> Option<&Jig> {
        self.jig.as_ref()
    }

    /// What the shop loses and leaves on the way to the forged blade, mm.
    pub fn forging(&self) -> &Forging {
        &self.forging
    }

    /// The shop's own bath of oil, where the file tells of one.
    pub fn quench(&self) -> Option<&Quench> {
        self.quench.as_ref()
    }

    /// What the finished blade should come to; `None` when the file has no table of it.
    pub fn targets(&self) -> Option<&Targets> {
        self.targets.as_ref()
    }

    /// How the layers of each bar are welded, from the back to the edge; `None` for a bar of one steel. Empty without a
    /// billet.
    pub fn stackings(&self) -> &[Option<Stacking>] {
        if self.recipe.billet.is_some() { &self.recipe.stackings } else { &[] }
    }

    /// The piece that the point is forged up from, or why no straight piece makes it; `None` where the point is cut out of the
    /// bar's end instead.
    pub fn preform(&self) -> Option<Result<Preform, Unbendable>> {
        let is_cut = self.lay().is_some_and(|lay| lay.cut_from().is_some());
        (!is_cut).then(|| Preform::of(self.blade()))
    }

    /// The billet that the blade is forged from; `None` for a blade of one steel.
    pub fn billet(&self) -> Option<&Billet> {
        self.recipe.billet.as_ref()
    }

    /// Heights at the shoulder and at the point of each bar that runs straight from one to the other, from the back to the edge,
    /// mm; `None` for the others. Empty without a billet.
    pub fn height_ends(&self) -> &[Option<[f64; 2]>] {
        if self.recipe.billet.is_some() { &self.recipe.ends } else { &[] }
    }

    /// The billet laid on the forged blade, computed when first asked for; `None` without a billet.
    pub fn lay(&self) -> Option<&MaterialMap> {
        // Only a cut that is not on the blade could fail, and that was checked.
        self.lay.get_or_init(|| lay(self.billet()?, &self.blade).ok()).as_ref()
    }

    /// What the blade is forged from: its billet, or the bar of its one steel as a billet of one bar, chosen when
    /// first asked for; `None` where the file tells neither.
    pub fn forged_from(&self) -> Option<&Billet> {
        let bar = || {
            let steel = self.one_steel()?;
            one_bar::bar(steel, &self.blade, &self.forging, &self.shop, self.unit())
        };
        self.billet().or_else(|| self.bar.get_or_init(bar).as_ref())
    }

    /// What the blade is forged from laid on the forged blade, computed when first asked for; `None` where the file
    /// does not tell it.
    pub fn laid(&self) -> Option<&MaterialMap> {
        let laid = || lay(self.forged_from()?, &self.blade).ok();
        if self.billet().is_some() { self.lay() } else { self.laid_bar.get_or_init(laid).as_ref() }
    }

    /// The one steel of a blade without a billet, where the file tells it.
    pub fn one_steel(&self) -> Option<&Steel> {
        self.recipe.one_steel.as_ref()
    }

    /// What counts as a finding of the billet, mm: `near_edge` from 0 to 100, `visible` from 0 to 5; `None` without a
    /// billet.
    pub fn limits(&self) -> Option<Limits> {
        self.billet().map(|_| self.recipe.limits)
    }

    /// Density of the steel, g/mm³.
    pub fn density(&self) -> f64 {
        self.density
    }

    /// What the smith should think about, though it is no fault; in the order of the file.
    pub fn warnings(&self) -> &[Problem] {
        &self.warnings
    }

    /// A problem that only making something of the design can find, with its place in the file: the value at
    /// `field`, a dotted path such as `shop.bed[2]`; or the nearest table or list around it that the file has,
    /// or an empty place at the file's start.
    pub fn problem(&self, field: &str, code: &'static str, message: String, help: String) -> Problem {
        Problem { field: field.to_owned(), span: self.places.span(field), code, message, help }
    }
}

/// Reads a design file, in UTF-8 and at most 1 MiB. Never panics, whatever the bytes.
///
/// # Errors
/// Every problem of the file in its order, never none: what is no TOML first and alone, otherwise all wrong
/// keys and values, and the rules that the blade as a whole breaks when its own values could be read.
pub fn read(bytes: &[u8]) -> Result<Design, Vec<Problem>> {
    read_with(bytes, Notes::Written)
}

/// As [`read`], with no warnings: for those who try many designs and show one.
///
/// # Errors
/// As [`read`].
pub fn read_candidate(bytes: &[u8]) -> Result<Design, Vec<Problem>> {
    read_with(bytes, Notes::Left)
}

/// Whether warnings are looked for: they take as long as the rest of the reading.
#[derive(Clone, Copy, PartialEq, Eq)]
enum Notes {
    Written,
    Left,
}

/// Reads a design file, with its warnings or without.
fn read_with(bytes: &[u8], notes: Notes) -> Result<Design, Vec<Problem>> {
    let document = Document::parse(document::text(bytes)?)?;
    let mut found = Problems::default();
    let root = Place { value: document.root(), at: String::new() };
    match FileDraft::read(&root, &mut found) {
        Some(draft) => {
            let (unit, units) = (unit(&draft), Units::from_table(draft.units.as_ref()));
            check(&draft, Checker { unit, units, document: &document, found }, notes)
        }
        None => Err(found.sorted()),
    }
}

fn unit(draft: &FileDraft) -> Unit {
    draft.unit.as_ref().map_or(Unit::Millimetre, |u| u.value.into())
}

/// How the file's figures are told: as fractions in an inch file that writes some.
fn figures(c: &Checker) -> Figures {
    let Units { temperature, mass, torque } = c.units;
    let fractions = c.unit == Unit::Inch && c.document.has_fractions();
    Figures { unit: c.unit, fractions, temperature, mass, torque }
}

/// Checks table by table; a design only where nothing was found wrong.
fn check(draft: &FileDraft, mut c: Checker, notes: Notes) -> Result<Design, Vec<Problem>> {
    let name = name(draft, &mut c);
    let density = c.number(draft.density.as_ref(), DENSITIES, " kg/m³");
    let spec = spec(draft, &mut c);
    let fittings = fitting::check(draft.fitting.as_ref(), &mut c);
    let shop = shop::check(draft.shop.as_ref(), &mut c);
    let plate = plate::check(draft.plate.as_ref(), &mut c);
    let jig = jig::check(draft.jig.as_ref(), &mut c);
    let forging = forging::check(draft.forging.as_ref(), &mut c);
    let quench = quench::check(draft.quench.as_ref(), &mut c);
    let targets = targets::check(draft.targets.as_ref(), &mut c);
    if let (Some(spec), Some(bar)) = (&spec, shop.bar) {
        within_bar(spec, bar, &mut c);
    }
    let blade = spec.and_then(|spec| accepted_blade(spec, &mut c));
    let gauges = gauges::check(draft.gauges.as_ref(), blade.as_ref(), &mut c);
    let drafts = recipe_drafts(draft);
    let mut recipe = recipe::check(drafts, blade.as_ref(), &mut c);
    let asked = pattern::check(draft.targets.as_ref(), recipe.billet.as_ref(), blade.as_ref(), &mut c);
    let targets = targets.map(|targets| targets.with_pattern(asked));
    if let Some(blade) = blade.as_ref().filter(|_| c.found.is_empty()) {
        triangles(blade, shop.tolerance, &mut c);
    }
    let sound = blade.as_ref().filter(|_| c.found.is_empty());
    let lay = sound.and_then(|blade| laid_bars::laid(&mut recipe, blade, &mut c));
    let known = recipe.one_steel.as_ref().and_then(steel::density);
    match blade {
        Some(blade) if c.found.is_empty() => Ok(Design {
            bar: OnceLock::new(),
            slug: name::slug(&name),
            name,
            figures: figures(&c),
            warnings: match notes {
                Notes::Left => Vec::new(),
                Notes::Written => warnings(&blade, &fittings, &shop, jig.as_ref(), &c)
                    .merged(billet_warnings::recipe_warnings(
                        drafts,
                        (&recipe, lay.as_ref()),
                        (&blade, &forging, jig.as_ref()),
                        &c,
                    ))
                    .sorted(),
            },
            blade,
            fittings,
            shop,
            plate,
            gauges,
            jig,
            forging,
            quench,
            targets,
            recipe,
            places: Places::from_document(c.document),
            density: density.or(known).unwrap_or(STEEL) * KILOGRAM_PER_CUBIC_METRE,
            lay: lay.map_or_else(OnceLock::new, |lay| OnceLock::from(Some(lay))),
            laid_bar: OnceLock::new(),
        }),
        _ => Err(other_unit(draft, &c).unwrap_or_else(|| c.found.sorted())),
    }
}

/// The one problem of a file whose plain lengths are in the other unit; `None` for any other file.
fn other_unit(draft: &FileDraft, c: &Checker) -> Option<Vec<Problem>> {
    let length = draft.outline.as_ref()?.value.plain_length()?;
    let told = trimmed(&format!("{length:.3}"));
    let fault = match c.unit {
        Unit::Inch if length * Unit::Inch.millimetres() > MOST || would_do(Unit::Millimetre, draft, c) => {
            Fault::Millimetres { length: told }
        }
        Unit::Millimetre if would_do(Unit::Inch, draft, c) => Fault::Inches { length: told },
        _ => return None,
    };
    let mut found = Problems::default();
    found.add("unit", c.document.span("unit"), &fault);
    Some(found.sorted())
}

/// Whether a file that has problems with the shape of its blade would have none, were its lengths in this unit.
fn would_do(unit: Unit, draft: &FileDraft, c: &Checker) -> bool {
    // What can't be read, or is not known, is no better in another unit.
    let mut other = Checker { unit, units: c.units, document: c.document, found: Problems::default() };
    let spoiled = |found: &Problems| found.has_only(&["range", "too-thick"]);
    spoiled(&c.found)
        && spec(draft, &mut other).and_then(|spec| accepted_blade(spec, &mut other)).is_some()
        && other.found.is_empty()
}

/// The drafts that a recipe is made of.
fn recipe_drafts(draft: &FileDraft) -> RecipeDrafts<'_> {
    RecipeDrafts {
        billet: draft.billet.as_ref(),
        bars: draft.bar.as_ref(),
        layers: draft.layers.as_ref(),
        steels: draft.steel.as_ref().and_then(|f| f.value.tables.as_ref()),
        one: draft.steel.as_ref().and_then(|f| f.value.one.as_ref()),
    }
}

fn name(draft: &FileDraft, c: &mut Checker) -> String {
    let Some(field) = &draft.name else {
        c.missing("name", "add name = \"...\" at the top of the file");
        return String::new();
    };
    if !name::fits(&field.value) {
        c.fault("name", &Fault::Name {});
    }
    field.value.clone()
}

/// Every table that shapes the blade; `None` when its outline can't be read.
fn spec(draft: &FileDraft, c: &mut Checker) -> Option<Spec> {
    let outline = outline::check(draft.outline.as_ref(), c);
    let section = section::check(draft.section.as_ref(), c);
    let taper = taper::check(draft.taper.as_ref(), c);
    let measured = outline.unwrap_or_else(Measured::unread);
    let thick = taper.first().map_or(0.0, |t| t.back);
    let thinnest = taper.iter().map(|t| t.back.min(t.grind.unwrap_or(t.back))).reduce(f64::min);
    let ricasso = ricasso::check(draft.ricasso.as_ref(), measured.breadth, c);
    let fullers = fuller::check(draft.fuller.as_ref(), c);
    let tang = tang::check(draft.tang.as_ref(), &measured, thick, c);
    let stages = stages::check(draft.stages.as_ref(), thinnest.unwrap_or(0.0), c);
    let outline = measured.outline?;
    Some(Spec { outline, section, taper, ricasso, fullers, tang, stages })
}

/// Stations at which the forged blade would be thicker than the bar (mm) it is forged from.
fn within_bar(spec: &Spec, bar: f64, c: &mut Checker) {
    let more = 2.0 * (spec.stages.forged_allowance + spec.stages.ground_allowance);
    for (i, station) in spec.taper.iter().enumerate() {
        let thick = [("back", Some(station.back)), ("grind", station.grind)];
        for (key, value) in
            thick.iter().filter_map(|(k, v)| v.map(|v| (k, v))).filter(|(_, v)| v + more > bar)
        {
            let (thickness, most) = (c.length_text(value + more), c.upper_limit_text(bar - more));
            let fault = Fault::ThickerThanBar { thickness, bar: c.length_text(bar), most };
            c.fault(&format!("taper[{i}].{key}"), &fault);
        }
    }
}

/// The blade, when its measures could be read and fit together.
fn accepted_blade(spec: Spec, c: &mut Checker) -> Option<Blade> {
    if c.found.spoils_blade() {
        return None;
    }
    match ease::blade(spec, c.document) {
        Ok(blade) => Some(blade),
        Err(problems) => {
            for problem in problems {
                let lengths = rule_lengths(c.unit);
                c.found.push(placed(&problem, c.document, lengths));
            }
            None
        }
    }
}

/// Tries whether a fine tolerance (mm) asks for more triangles than a mesh may have.
fn triangles(blade: &Blade, tolerance: f64, c: &mut Checker) {
    let fine =
        |stage| matches!(Mesh::of(blade.loft(stage).shell(), tolerance), Err(MeshFault::TooFine { .. }));
    if tolerance < COARSE && Stage::ALL.into_iter().any(fine) {
        let (tolerance, usual) = (c.length_text(tolerance), c.length_text(0.02));
        c.fault("shop.tolerance", &Fault::TooFine { tolerance, usual, most: MOST_TRIANGLES });
    }
}

/// How broken rules tell lengths of a file in this unit.
fn rule_lengths(unit: Unit) -> &'static LengthUnit {
    match unit {
        Unit::Millimetre => &LengthUnit::MILLIMETRES,
        Unit::Inch => &LengthUnit::INCHES,
    }
}

/// A blade's problem with its place in the file, lengths in the file's unit.
fn placed(problem: &blade::Problem, document: &Document, lengths: &LengthUnit) -> Problem {
    let field = field_path(problem.field);
    Problem {
        span: document.span(&field),
        field,
        code: problem.fault.code(),
        message: problem.fault.message(lengths),
        help: problem.fault.help(lengths),
    }
}

/// What is no fault, yet rarely meant.
fn warnings(blade: &Blade, fittings: &[Fitting], shop: &Shop, jig: Option<&Jig>, c: &Checker) -> Problems {
    let mut found = Problems::default();
    let mut warn = |path: &str, fault: Fault| found.add(path, c.document.span(path), &fault);
    let spec = blade.spec();
    if let TangForm::Hidden { shoulder_radius, .. } = spec.tang.form
        && shoulder_radius < SAFE_RADIUS
    {
        warn(
            "tang.shoulder_radius",
            Fault::StressRiser {
                radius: c.length_text(shoulder_radius),
                least: c.lower_limit_text(SAFE_RADIUS),
            },
        );
    }
    let length = blade.length();
    for (i, station) in spec.taper.iter().enumerate().filter(|(_, s)| s.at > length + BEYOND) {
        let (at, length) = (c.length_text(station.at), c.length_text(length));
        warn(&format!("taper[{i}].at"), Fault::BeyondPoint { at, length });
    }
    for (i, pair) in spec.taper.windows(2).enumerate().filter(|(_, p)| p[1].back > p[0].back) {
        let (before, thickness) = (c.length_text(pair[0].back), c.length_text(pair[1].back));
        warn(&format!("taper[{}].back", i + 1), Fault::Swelling { thickness, before });
    }
    let tang = spec.tang.length;
    for (i, fitting) in fittings.iter().enumerate().filter(|(_, f)| f.at + 0.5 * f.length < -tang - BEYOND) {
        let (at, length) = (c.length_text(fitting.at), c.length_text(tang));
        warn(&format!("fitting[{i}].at"), Fault::OffTang { at, length });
    }
    for (i, fitting) in fittings.iter().enumerate().filter(|(_, f)| f.at - 0.5 * f.length > ON_BLADE) {
        warn(&format!("fitting[{i}].at"), Fault::OnBlade { at: c.length_text(fitting.at) });
    }
    for (i, fitting) in fittings.iter().enumerate().filter(|(_, f)| f.mass < COIN) {
        warn(
            &format!("fitting[{i}].mass"),
            Fault::LightFitting { mass: c.mass_text(fitting.mass), unit: c.units.mass.name() },
        );
    }
    let is_metric = c.units.mass == MassUnit::Gram;
    for (i, fitting) in fittings.iter().enumerate().filter(|(_, f)| f.mass > HEAVY && !is_metric) {
        let plain = (fitting.mass / c.units.mass.grams() * 1e3).round() / 1e3;
        let (mass, grams) = (c.mass_text(fitting.mass), fitting.mass);
        warn(&format!("fitting[{i}].mass"), Fault::HeavyFitting { mass, grams, plain });
    }
    if let TangForm::Hidden { thickness, .. } = spec.tang.form
        && thickness < STIFF
    {
        let (thickness, least) = (c.length_text(thickness), c.length_text(STIFF));
        warn("tang.thickness", Fault::ThinTang { thickness, least });
    }
    let gaps = [("press", shop.press), ("sliding", shop.sliding), ("loose", shop.loose)];
    for pair in gaps.windows(2).filter(|p| p[0].1 > p[1].1) {
        let [(less, small), (more, large)] = [pair[0], pair[1]];
        let fault = Fault::Gaps { less, small: c.length_text(small), more, large: c.length_text(large) };
        warn(&format!("shop.clearance.{less}"), fault);
    }
    if let Some((tab, bar)) = jig.and_then(|j| Some((j.tab, j.bar?))).filter(|(tab, bar)| tab > bar) {
        warn("jig.tab", Fault::ThickTab { tab: c.length_text(tab), bar: c.length_text(bar) });
    }
    found
}
