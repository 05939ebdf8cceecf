//! The stack of bars, to be drawn: sizes in mm for the drawing, figures for reading.

use design::Design;
use design::Figures;
use forge::{Plan, Twisting};
use laminate::{Bar, Billet, Direction};
use serde::Serialize;

use crate::typesetting::words::{breakable, counted};

/// The stack as the bars are laid up, from the back to the edge.
#[derive(Serialize)]
pub(crate) struct Stack {
    blade: String,
    tang: String,
    length_mm: f64,
    tang_mm: f64,
    width_mm: f64,
    bars: Vec<Laid>,
}

#[derive(Serialize)]
struct Laid {
    name: String,
    height_mm: f64,
    /// Where it begins, mm from the stack's end at the tang.
    start_mm: f64,
    length_mm: f64,
    height: String,
    /// `one`, or how its layers stand: `upright` or `flat`.
    kind: &'static str,
    layers: usize,
    /// What it is made of.
    made_of: String,
    /// How it is twisted, in words.
    twist: String,
    /// Twisted stretches: from, to (mm from the stack's end at the tang), `right` or `left`.
    stretches: Vec<(f64, f64, &'static str)>,
    /// Whether it runs into the tang.
    in_tang: bool,
}

/// The stack of a plan; `None` without a billet.
pub(crate) fn stack(design: &Design, plan: &Plan, figures: Figures) -> Option<Stack> {
    let (billet, s) = (design.billet()?, &plan.stock.stack);
    let size = |[high, wide]: [f64; 2], long: f64| {
        format!("{} × {} × {}", figures.side(high), figures.side(wide), figures.hot(long))
    };
    let crop = design.forging().crop;
    Some(Stack {
        blade: size(s.blade_section_mm, s.length_mm[0]),
        tang: size(s.tang_section_mm, s.length_mm[1]),
        length_mm: s.length_mm[0] + s.length_mm[1],
        tang_mm: s.length_mm[1],
        width_mm: s.blade_section_mm[1],
        bars: billet.bars().iter().map(|bar| laid(bar, billet, plan, crop, figures)).collect(),
    })
}

fn laid(bar: &Bar, billet: &Billet, plan: &Plan, crop: f64, figures: Figures) -> Laid {
    let [blade, tang] = plan.stock.stack.length_mm;
    let start = if bar.tang { 0.0 } else { tang };
    let twisting = plan.twisting.iter().find(|t| t.bar == bar.name);
    let twisted = |t: &Twisting| {
        let turned = t.stretches.iter().filter(|s| s.turns > 0.0);
        // Marks count from the bar's end before it is cropped.
        turned.map(|s| (start + s.marks_mm[0] - crop, start + s.marks_mm[1] - crop, s.hand)).collect()
    };
    Laid {
        name: breakable(&bar.name),
        height_mm: bar.height,
        start_mm: start,
        length_mm: blade + tang - start,
        height: figures.side(bar.height),
        kind: kind(bar),
        layers: bar.layers.layers().len(),
        made_of: made_of(bar, billet),
        twist: twisting.map_or_else(String::new, hands),
        stretches: twisting.map_or_else(Vec::new, twisted),
        in_tang: bar.tang,
    }
}

fn kind(bar: &Bar) -> &'static str {
    match bar.direction {
        _ if bar.layers.layers().len() < 2 => "one",
        Direction::Upright => "upright",
        Direction::Flat => "flat",
    }
}

fn made_of(bar: &Bar, billet: &Billet) -> String {
    let mut names: Vec<&str> = Vec::new();
    for layer in bar.layers.layers() {
        let name = billet.steels().get(layer.steel).map_or("", |s| s.name.as_str());
        if !names.contains(&name) {
            names.push(name);
        }
    }
    let names = breakable(&names.join(" / "));
    match bar.layers.layers().len() {
        1 => names,
        count => format!("{} of {names}", counted(count, "layer")),
    }
}

/// The hands of a bar in the order of its stretches, each told once.
fn hands(t: &Twisting) -> String {
    let mut hands: Vec<&str> = t.stretches.iter().filter(|s| s.turns > 0.0).map(|s| s.hand).collect();
    hands.dedup();
    hands.join(", then ")
}
