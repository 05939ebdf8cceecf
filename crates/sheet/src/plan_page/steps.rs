//! The forging schedule: for each bar, then for the stack, what is done one after the other and what it should measure.

use design::Figures;
use forge::{BarStock, Block, Cut, Plan};
use serde::Serialize;

use crate::typesetting::words::{breakable, counted, grams};

/// The cut list, as figures.
#[derive(Serialize)]
pub(crate) struct Cuts {
    rows: Vec<CutRow>,
    /// Steel and mass, g, of all its pieces.
    steels: Vec<[String; 2]>,
    /// Whether any thickness is only a share of the block.
    any_thickness: bool,
}

#[derive(Serialize)]
struct CutRow {
    bar: String,
    steel: String,
    count: usize,
    thick: String,
    wide: String,
    long: String,
    any_thickness: bool,
    mass: String,
}

/// The way of a bar, or of the stack.
#[derive(Serialize)]
pub(crate) struct Way {
    name: String,
    steps: Vec<Step>,
}

/// A step: what is done, and what it should measure afterwards; nothing to measure where that is empty.
#[derive(Serialize)]
struct Step {
    what: String,
    planned: String,
    /// Sizes of stop blocks with the length that each gives.
    sizes: Vec<[String; 2]>,
}

fn step(what: impl Into<String>, planned: impl Into<String>) -> Step {
    Step { what: what.into(), planned: planned.into(), sizes: Vec::new() }
}

/// What to cut.
pub(crate) fn cuts(plan: &Plan, figures: Figures) -> Cuts {
    Cuts {
        rows: plan.stock.cuts.iter().map(|cut| cut_row(cut, figures)).collect(),
        steels: plan.steel_g.iter().map(|(steel, g)| [breakable(steel), grams(*g)]).collect(),
        any_thickness: plan.stock.cuts.iter().any(|c| c.any_thickness),
    }
}

fn cut_row(cut: &Cut, figures: Figures) -> CutRow {
    let [thick, wide, long] = cut.size_mm;
    CutRow {
        bar: breakable(&cut.bar),
        steel: breakable(&cut.steel),
        count: cut.count,
        thick: figures.side(thick),
        wide: figures.side(wide),
        long: figures.hot(long),
        any_thickness: cut.any_thickness,
        mass: grams(cut.mass_g),
    }
}

/// The ways of all bars, then that of the stack; `crop` is cut off each end, mm.
pub(crate) fn ways(plan: &Plan, crop: f64, heats: usize, figures: Figures) -> Vec<Way> {
    let bars = plan.stock.bars.iter().map(|bar| Way {
        name: breakable(&bar.name),
        steps: bar_steps(bar, plan.twisting.iter().any(|t| t.bar == bar.name), crop, figures),
    });
    bars.chain([stack(plan, heats, figures)]).collect()
}

fn bar_steps(bar: &BarStock, twisted: bool, crop: f64, figures: Figures) -> Vec<Step> {
    let mut steps = Vec::new();
    for (i, block) in bar.blocks.iter().enumerate() {
        steps.extend(block_steps(block, i == 0, crop, figures));
    }
    steps.extend(draw_out(bar, figures));
    if twisted {
        steps.push(step("Forge it square, twist it to the twist schedule, then straighten it", ""));
    }
    let [high, wide] = bar.made_section_mm;
    steps.push(step("Forge it to size", size([high, wide], bar.made_length_mm, figures)));
    let [high, wide] = bar.section_mm;
    steps.push(step(
        "Grind the faces to be welded; crop both ends",
        size([high, wide], bar.length_mm, figures),
    ));
    steps
}

/// High × wide, and how long.
fn size([high, wide]: [f64; 2], long: f64, figures: Figures) -> String {
    format!("{} × {}, {} long", figures.side(high), figures.side(wide), figures.hot(long))
}

/// A block's stacking, welding and cropping; restacked ones are cut from the block before.
fn block_steps(block: &Block, first: bool, crop: f64, figures: Figures) -> Vec<Step> {
    let [high, wide] = block.section_mm;
    let thick = block.piece_thickness_mm.map(|t| figures.side(t));
    let mut steps = Vec::new();
    if first {
        let each = thick.map_or(String::new(), |t| format!("{t} thick each"));
        steps.push(step(format!("Clean and stack {}", counted(block.pieces, "layer")), each));
    } else {
        let flat = thick.map_or(String::new(), |t| format!("{t} × {}", figures.side(wide)));
        steps.push(step("Draw the block out flat", flat));
        let pieces = format!("{} long each", figures.hot(block.length_mm));
        steps.push(step(
            format!("Cut {}, grind their faces, stack them", counted(block.pieces, "piece")),
            pieces,
        ));
    }
    steps.push(step("Weld into a billet", size([high, wide], block.length_mm, figures)));
    if crop > 0.0 {
        steps.push(step(format!("Crop {} off each end", figures.hot(crop)), ""));
    }
    steps
}

/// Drawing out by the stop blocks that are smaller than what is drawn; a bar of one steel only needs it where thicker stock
/// is at hand.
fn draw_out(bar: &BarStock, figures: Figures) -> Vec<Step> {
    let figure = |&[size, long]: &[f64; 2]| [figures.side(size), figures.hot(long)];
    let Some(block) = bar.blocks.last() else {
        let sizes: Vec<_> = bar.draw_out_mm.iter().map(figure).collect();
        let what = "If the stock is thicker: draw it out square, from stop block to stop block".to_owned();
        let from = |sizes| Step { what, planned: String::new(), sizes };
        return if sizes.is_empty() { Vec::new() } else { vec![from(sizes)] };
    };
    let side = (block.section_mm[0] * block.section_mm[1]).sqrt();
    let draw = |[size, long]: [String; 2]| {
        step(format!("Draw it out square to the {size} stop block"), format!("{long} long"))
    };
    bar.draw_out_mm.iter().filter(|s| s[0] < side).map(figure).map(draw).collect()
}

/// From the bars to the forged blade.
fn stack(plan: &Plan, heats: usize, figures: Figures) -> Way {
    let s = &plan.stock.stack;
    let tang = size(s.tang_section_mm, s.length_mm[1], figures);
    let steps = vec![
        step("Clean the bars, stack them from back to edge as drawn, bind them", ""),
        step(
            "Weld the stack: the part that becomes the blade",
            size(s.blade_section_mm, s.length_mm[0], figures),
        ),
        step("The part that runs on into the tang", tang),
        step(
            format!(
                "Forge the blade and its tang in {}: {:.1} % of the stack burns off as scale",
                counted(heats, "heat"),
                100.0 * s.scale_share
            ),
            "stations, forged",
        ),
        step("Straighten it hot, keeping the edge off cold steel; let it cool slowly", ""),
        step("Weigh it, find its balance, write both in the log", ""),
    ];
    Way { name: "The stack".to_owned(), steps }
}
