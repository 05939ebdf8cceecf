//! The shop's page, part by part.

use design::NO_STEEL;
use serde::Serialize;

use crate::customer;
use crate::document::{Block, Fact, Section, Table, Task};
use crate::fault::PageFault;
use crate::given::Given;
use crate::render::{Place, render};
use crate::shop::live::Live;
use crate::shop::{anvil, cuts, heats, numbers, stations, tasks, twists};
use crate::view::View;

/// Pictures and bodies of the page are no larger than this, bytes: several times what a blade of 480 mm takes, and
/// still opened by a phone at once.
const MOST: usize = 6_000_000;

/// What stands on the page.
#[derive(Debug, Serialize)]
struct Index {
    name: String,
    /// What a served page has besides.
    live: Option<Live>,
    units: String,
    view: View,
    sizes: Vec<Fact>,
    numbers: Table,
    /// What to look out for.
    watch: Vec<String>,
    tasks: Vec<Task>,
    plan: Vec<Section>,
    cautions: Vec<[String; 2]>,
}

/// The page as HTML, for the smith: the blade, what to do next, and the plan.
///
/// # Errors
/// [`PageFault`] when a template can't be filled in.
pub fn index(given: &Given<'_>) -> Result<String, PageFault> {
    render("index.html", &gathered(given, None), Place::File)
}

/// The same page as a server shows it at the anvil: with steps to tick, timers, and a pad for what is read. `bench` names
/// what it writes into, so that what a phone keeps is sent to no other.
///
/// # Errors
/// [`PageFault`] when a template can't be filled in.
pub fn bench(given: &Given<'_>, bench: &str) -> Result<String, PageFault> {
    render("index.html", &gathered(given, Some(Live::of(given, bench))), Place::Served)
}

/// All that stands on the page.
fn gathered(given: &Given<'_>, live: Option<Live>) -> Index {
    let figures = given.design.figures();
    Index {
        name: given.design.name().to_owned(),
        live,
        units: format!(
            "Lengths in {}. Stations count from the shoulder towards the point; on the tang they are below 0. Files of solids \
             and meshes are in millimetres.",
            figures.spoken()
        ),
        view: View::of(given, MOST),
        sizes: customer::sizes(given),
        numbers: numbers::table(given),
        watch: watch(given),
        tasks: tasks::tasks(given),
        plan: plan(given),
        cautions: cautions(given),
    }
}

/// What to look out for.
fn watch(given: &Given<'_>) -> Vec<String> {
    let summary = given.summary;
    let found = summary.bars.iter().flat_map(|bars| &bars.findings);
    let missing = format!("No steel is named: for a forging plan with heats and bath, {NO_STEEL}.");
    let missing = summary.is_steel_missing.then_some(&missing);
    found.chain(&summary.warnings).chain(missing).cloned().collect()
}

/// The plan's sections, in the order of the work.
fn plan(given: &Given<'_>) -> Vec<Section> {
    let mut sections = Vec::new();
    let mut add = |id: &'static str, title: &str, blocks: Vec<Block>| {
        if !blocks.is_empty() {
            sections.push(Section { id, title: title.to_owned(), blocks });
        }
    };
    if let Some(plan) = given.plan {
        add("cut-list", "Cut list", cuts::list(plan));
        add("forging", "Forging schedule", cuts::schedule(plan));
        add("twists", "Twist schedule", twists::schedule(plan));
        add("tip", plan.tip.heading(), anvil::tip(plan));
        add("anvil", "At the anvil", anvil::clock(plan));
        add("heats", "Heats", heats::heats(plan));
    }
    add("form", "Bevel, back and tang", vec![Block::List(given.design.form_words())]);
    add("stations", "Stations", stations::stations(given));
    sections
}

/// The cautions, each its subject and the rest.
fn cautions(given: &Given<'_>) -> Vec<[String; 2]> {
    let welded = given.design.one_steel().is_none();
    let told = |line: &str| {
        let (subject, rest) = line.trim_start_matches('*').split_once('*').unwrap_or((line, ""));
        [subject.to_owned(), rest.to_owned()]
    };
    design::cautions(welded).map(told).into()
}
