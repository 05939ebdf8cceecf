//! The pages as files: for the shop, and for the customer.

use std::sync::Arc;

use export::{Entry, Facts};
use page::{Given, Side, Thing, Turned, What};

use crate::ask::kinds::{Kind, Sort, StageName};
use crate::make::bars::Bars;
use crate::make::layers::Layers;
use crate::make::made::{Made, plain_facts, unmade};
use crate::make::pipeline::Plan;
use crate::make::side_by_side::side_by_side;
use crate::terminal::error::CliError;

/// The shop's page.
pub(crate) const INDEX: &str = "index.html";
/// The customer's.
const SHOW: &str = "show.html";

/// The stage that is turned over: what the blade becomes.
const SHOWN: StageName = StageName::Finished;

/// Sides as files name them, and as the pages call them.
const SIDES: [(&str, &str); 4] =
    [("right", "Right side"), ("left", "Left side"), ("back", "Back"), ("edge", "Edge")];

/// Both pages with their entries in the manifest; `made` is what else stands in the build.
pub(crate) fn pages(plan: &Plan<'_>, made: &[Made]) -> Result<Vec<(Made, Entry)>, CliError> {
    let own = Own::new(plan, made)?;
    let given = own.given(plan, made)?;
    let each = side_by_side(&[INDEX, SHOW], |name| {
        let (text, note) = match *name {
            INDEX => (shop(plan, &given), "For the shop: the blade in 3D, what to do next, and the plan."),
            _ => (page::show(&given), "For the customer: the blade in 3D, its sides, sizes and steels."),
        };
        let bytes = text.map_err(|why| unmade(name, why))?.into_bytes();
        let facts = Facts { note: Some(note), ..plain_facts(name, export::Kind::Html, "page") };
        Made::listed(&facts, bytes)
    });
    each.into_iter().collect()
}

/// The shop's page: as a file, or served.
fn shop(plan: &Plan<'_>, given: &Given<'_>) -> Result<String, page::PageFault> {
    match &plan.bench {
        Some(bench) => page::bench(given, bench),
        None => page::index(given),
    }
}

/// What the pages hold of the blade: files of this build where it makes them, or made for the pages alone.
struct Own {
    turned: Vec<(&'static str, Arc<[u8]>)>,
    sides: Vec<(&'static str, Arc<[u8]>)>,
}

impl Own {
    /// Of the finished blade: with layers as they etch, or of bare steel.
    fn new(plan: &Plan<'_>, made: &[Made]) -> Result<Own, CliError> {
        let Some(lay) = plan.lay else {
            let glb = existing(plan, made, Sort::Blade, ".glb")
                .map_or_else(|| first(plan.blade_as(SHOWN, &[Kind::Glb])?), Ok)?;
            return Ok(Own { turned: vec![("Steel", glb)], sides: Vec::new() });
        };
        let layers = || Layers::new(plan.design, lay, SHOWN, plan.colouring());
        let etched = match existing(plan, made, Sort::Layers, ".glb") {
            Some(glb) => glb,
            None => layers().textured()?.0.bytes,
        };
        let mut turned = vec![("As etched", etched)];
        if lay.billet().bars().len() > 1 {
            let bars = match existing(plan, made, Sort::Bars, ".glb") {
                Some(glb) => glb,
                None => Bars::new(plan.design, lay, SHOWN, false)?.file(Kind::Glb)?.0.bytes,
            };
            turned.push(("Bars", bars));
        }
        let there = SIDES.map(|(side, _)| existing(plan, made, Sort::Layers, &format!("-{side}.png")));
        let sides = match there.into_iter().collect::<Option<Vec<_>>>() {
            Some(sides) => sides,
            None => layers().sides(None)?.into_iter().map(|(file, _)| file.bytes).collect(),
        };
        Ok(Own { turned, sides: SIDES.iter().map(|(_, told)| *told).zip(sides).collect() })
    }

    /// All that the pages are made of.
    fn given<'a>(&'a self, plan: &'a Plan<'_>, made: &[Made]) -> Result<Given<'a>, CliError> {
        let told = plan.told();
        let side = |(name, png): &'a (&'static str, Arc<[u8]>)| {
            let size = png_size(png).ok_or_else(|| unmade(name, "its picture has no size"))?;
            Ok(Side { name, png, size })
        };
        Ok(Given {
            design: plan.design,
            plan: told.plan.as_ref(),
            summary: &told.summary,
            etching: plan.etching.as_ref(),
            turned: self.turned.iter().map(|(name, glb)| Turned { name, glb }).collect(),
            sides: self.sides.iter().map(side).collect::<Result<_, CliError>>()?,
            things: things(plan, made),
            cut: plan.cut.as_ref(),
            held: plan.held(),
        })
    }
}

/// A file of the stage shown that the build has made.
fn existing(plan: &Plan<'_>, made: &[Made], sort: Sort, end: &str) -> Option<Arc<[u8]>> {
    let name = format!("{}/{}-{}{end}", sort.folder(), plan.design.slug(), SHOWN.text());
    made.iter().find(|file| file.name == name).map(|file| Arc::clone(&file.bytes))
}

/// The first file's bytes.
fn first(files: Vec<(Made, Entry)>) -> Result<Arc<[u8]>, CliError> {
    let first = files.into_iter().next().map(|(file, _)| file.bytes);
    first.ok_or_else(|| unmade(INDEX, "its 3D is missing"))
}

/// Width and height of a PNG: the first words of its header (PNG specification §11.2.2).
fn png_size(png: &[u8]) -> Option<[u32; 2]> {
    let word = |at: usize| Some(u32::from_be_bytes(png.get(at..at + 4)?.try_into().ok()?));
    Some([word(16)?, word(20)?])
}

/// What stands in the build, with its files.
fn things<'a>(plan: &'a Plan<'_>, made: &[Made]) -> Vec<Thing<'a>> {
    let slug = plan.design.slug();
    let thing = |sort: Sort, name: String, what: What<'a>| {
        let stem = match what {
            What::BenchSheet => format!("{}/{slug}", sort.folder()),
            _ => format!("{}/{slug}-{name}", sort.folder()),
        };
        let own = |file: &&Made| match file.name.strip_prefix(&stem) {
            Some(rest) => rest.starts_with('.') || (sort == Sort::Layers && rest.starts_with('-')),
            None => false,
        };
        Thing { what, name, files: made.iter().filter(own).map(|file| file.name.clone()).collect() }
    };
    let stages = || [StageName::Forged, StageName::Ground, StageName::Finished];
    let mut things = vec![thing(Sort::Sheet, "sheet".to_owned(), What::BenchSheet)];
    let staged = |sort: Sort, what: fn(blade::Stage) -> What<'a>| {
        stages().map(|stage| thing(sort, stage.text().to_owned(), what(stage.stage())))
    };
    things.extend(staged(Sort::Template, What::Template));
    things.push(thing(Sort::Template, "tip-preform".to_owned(), What::TipTemplate));
    if let Some(cut) = &plan.cut {
        let count = cut.sheets.len();
        let name =
            |i: usize| if count == 1 { "sheet".to_owned() } else { format!("sheet-{}-of-{count}", i + 1) };
        things.extend(
            cut.sheets.iter().enumerate().map(|(i, sheet)| thing(Sort::Metal, name(i), What::Sheet(sheet))),
        );
        let gauges = cut.gauges.iter();
        things.extend(gauges.map(|gauge| thing(Sort::Metal, gauge.name.clone(), What::Gauge(gauge))));
    }
    things.extend(plan.parts.iter().map(|(sort, part, _)| thing(*sort, part.name.clone(), What::Part(part))));
    things.extend(staged(Sort::Blade, What::Blade));
    things.extend(staged(Sort::Bars, What::Bars));
    things.extend(staged(Sort::Layers, What::Layers));
    things.push(Thing { what: What::Show, name: "show".to_owned(), files: vec![SHOW.to_owned()] });
    things
}
