//! What to do next: every part of the build once, under what is done with it.

use tooling::{BARE, Held, Stuff};

use crate::document::{Family, Task};
use crate::given::{Given, Thing, What};
use crate::shop::things::{Told, piece_of, station_of, told};

/// Whether a task takes a thing.
type Wanted = fn(&What<'_>) -> bool;
/// What a task means, by the kinds of file that the build has.
type Lead = fn(&Held) -> String;

/// The tasks: place, title, what it means, and what it takes.
const TASKS: [(&str, &str, Lead, Wanted); 5] = [
    ("print-first", "Print this first", |held| format!("{PRINT} {}", held.for_printer()), is_first),
    ("hold", "Hold this to the steel", hold, is_held),
    (
        "metal",
        "Cut these in metal",
        |held| format!("{METAL} {} The steel must be {BARE}. {EDGES}", held.for_cutter()),
        is_metal,
    ),
    ("cad", "Open this in CAD", |held| format!("{CAD} {}", held.for_cad()), is_cad),
    ("look", "Look at it, and show it", |_| LOOK.to_owned(), is_looked_at),
];

/// The tasks in the order of the work, without those that have nothing.
pub(crate) fn tasks(given: &Given<'_>) -> Vec<Task> {
    let task = |(id, title, lead, wanted): &(&'static str, &'static str, Lead, Wanted)| {
        let things = given.things.iter().filter(|thing| wanted(&thing.what) && !thing.files.is_empty());
        let families = families(things, given);
        (!families.is_empty()).then(|| Task { id, title, lead: lead(&given.held), families })
    };
    TASKS.iter().filter_map(task).collect()
}

const PRINT: &str = "The bench sheet on paper, for forge and grinder. The fit coupon and its peg in plastic: print and try them \
                     before anything else; what fits goes into the design file, under [shop], clearance.";
const HOLD: &str = "Full-size paper: print at 100 %, without fitting to the page, and measure the check bars. Printed plastic and \
                    paper are for cold steel only.";
const METAL: &str = "Metal gauges, for hot work and for hard wear; each says whether it is for hot or for cold steel. Sheet steel: cut \
                     the layer \"cut\" (red), mark the layer \"mark\" (blue).";
const EDGES: &str = "Edges of cut steel are sharp: file them blunt.";
const CAD: &str = "Exact solids, in millimetres.";
const LOOK: &str = "Pictures and coloured 3D models, and a page of its own for the customer.";

/// What is held to the steel, and which file a printer needs.
fn hold(held: &Held) -> String {
    format!("{HOLD} {}", held.for_printer())
}

/// Whether a thing is made before all others.
fn is_first(what: &What<'_>) -> bool {
    match what {
        What::BenchSheet => true,
        What::Part(part) => part.stuff == Stuff::Plastic && part.name.starts_with("fit-"),
        _ => false,
    }
}

fn is_held(what: &What<'_>) -> bool {
    match what {
        What::Template(_) | What::TipTemplate => true,
        What::Part(part) => part.stuff == Stuff::Plastic && !is_first(what),
        _ => false,
    }
}

fn is_metal(what: &What<'_>) -> bool {
    match what {
        What::Sheet(_) | What::Gauge(_) => true,
        What::Part(part) => part.stuff == Stuff::Steel,
        _ => false,
    }
}

fn is_cad(what: &What<'_>) -> bool {
    matches!(what, What::Blade(_) | What::Bars(_))
}

fn is_looked_at(what: &What<'_>) -> bool {
    matches!(what, What::Layers(_) | What::Show)
}

/// Things that are called and used alike stand together.
fn families<'t, 'a: 't>(things: impl Iterator<Item = &'t Thing<'a>>, given: &Given<'_>) -> Vec<Family> {
    let mut families: Vec<Family> = Vec::new();
    for Told { family: title, note, material, lay, card } in things.map(|thing| told(thing, given)) {
        match families.iter_mut().find(|f| f.title == title && f.note == note && f.material == material) {
            Some(family) => family.cards.push(card),
            None => families.push(Family { title, note, material, lay, cards: vec![card] }),
        }
    }
    told_apart(families)
}

/// Families that are called alike, with the stations or pieces of each: they differ in what their notes say.
fn told_apart(mut families: Vec<Family>) -> Vec<Family> {
    let titles: Vec<String> = families.iter().map(|family| family.title.clone()).collect();
    for family in &mut families {
        let alike = titles.iter().filter(|title| **title == family.title).count();
        let stations: Vec<&str> = family.cards.iter().filter_map(|card| station_of(&card.title)).collect();
        let pieces: Vec<(&str, &str)> =
            family.cards.iter().filter_map(|card| piece_of(&card.title)).collect();
        if alike > 1 && !stations.is_empty() {
            family.title = format!("{}, at {}", family.title, stations.join(", "));
        } else if let (true, [(_, all), ..]) = (alike > 1, &pieces[..]) {
            let numbers: Vec<&str> = pieces.iter().map(|piece| piece.0).collect();
            let said = if numbers.len() > 1 { "pieces" } else { "piece" };
            family.title = format!("{}, {said} {} of {all}", family.title, numbers.join(", "));
        }
    }
    families
}
