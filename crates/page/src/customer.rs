//! The page for a customer: the blade to turn over, its sides, its sizes and its steels; nothing of the shop.

use blade::Stage;
use serde::Serialize;

use crate::document::Fact;
use crate::fault::PageFault;
use crate::given::Given;
use crate::render::{Place, render};
use crate::view::{View, balance, long};

/// Pictures and bodies of the page are no larger than this, bytes: with its words it then stays under 3 MB, which a
/// mail takes without complaint.
const MOST: usize = 2_900_000;

/// What stands on the page.
#[derive(Debug, Serialize)]
struct Show {
    name: String,
    view: View,
    sizes: Vec<Fact>,
    weights: Vec<Fact>,
    steels: Vec<String>,
    fittings: Vec<String>,
}

/// The page as HTML, for somebody who will own the blade.
///
/// # Errors
/// [`PageFault`] when a template can't be filled in.
pub fn show(given: &Given<'_>) -> Result<String, PageFault> {
    let figures = given.design.figures();
    let fitting = |f: &design::Fitting| format!("{}, {}", f.name, figures.weight(f.mass));
    let page = Show {
        name: given.design.name().to_owned(),
        view: View::of(given, MOST),
        sizes: sizes(given),
        weights: weights(given),
        steels: steels(given),
        fittings: given.design.fittings().iter().map(fitting).collect(),
    };
    render("show.html", &page, Place::File)
}

fn fact(name: &str, figure: String) -> Fact {
    Fact { name: name.to_owned(), figure, words: Vec::new() }
}

/// The finished blade's sizes.
pub(crate) fn sizes(given: &Given<'_>) -> Vec<Fact> {
    let (figures, tang) = (given.design.figures(), given.design.blade().spec().tang.length);
    let length = |mm: f64| long(figures, mm);
    let mut facts = vec![
        fact("Length overall", length(tang + given.summary.length_mm)),
        fact("Blade, shoulder to point", length(given.summary.length_mm)),
        fact("Tang", length(tang)),
    ];
    let stations = given.summary.stages.get(Stage::Finished.name()).map_or(&[][..], |s| &s.stations);
    if let Some(shoulder) = stations.first() {
        facts.push(fact("Breadth at the shoulder", length(shoulder.breadth_mm)));
        facts.push(fact("Thickness at the shoulder", figures.gap(shoulder.thickness_mm)));
    }
    if let Some(middle) = stations.get(stations.len() / 2) {
        facts.push(fact("Breadth half way", length(middle.breadth_mm)));
        facts.push(fact("Thickness half way", figures.gap(middle.thickness_mm)));
    }
    facts
}

/// What the finished blade weighs and where it balances.
fn weights(given: &Given<'_>) -> Vec<Fact> {
    let figures = given.design.figures();
    let Some(finished) = given.summary.stages.get(Stage::Finished.name()) else { return Vec::new() };
    let mounted = !given.design.fittings().is_empty();
    let mut facts = vec![fact("Blade and tang, unmounted", figures.weight(finished.steel_mass_g))];
    if mounted {
        facts.push(fact("With its fittings", figures.weight(finished.mass_g)));
    }
    let balances = if mounted { "Point of balance, with fittings" } else { "Point of balance" };
    facts.push(fact(balances, balance(given, finished.balance_from_guard_mm)));
    facts
}

/// The steels, each once, as its own bars name them.
fn steels(given: &Given<'_>) -> Vec<String> {
    let design = given.design;
    let Some(billet) = design.billet() else {
        return design
            .one_steel()
            .iter()
            .map(|steel| format!("One steel throughout: {}", steel.name))
            .collect();
    };
    let told = |bar: &laminate::Bar| {
        let mut layers: Vec<usize> = bar.layers.layers().iter().map(|layer| layer.steel).collect();
        let count = layers.len();
        layers.sort_unstable();
        layers.dedup();
        let names: Vec<&str> = layers.iter().map(|&i| billet.steels()[i].name.as_str()).collect();
        let plugs =
            design::plug_words(bar, billet).map_or_else(String::new, |words| format!(", with {words}"));
        match count {
            1 => format!("{}: {}{plugs}", bar.name, names.join(", ")),
            _ => format!("{}: {count} layers of {}{plugs}", bar.name, names.join(" and ")),
        }
    };
    billet.bars().iter().map(told).collect()
}
