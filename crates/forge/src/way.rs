//! The way of each bar and of the stack, step by step: what is done, and what it should measure afterwards.

use design::Figures;

use crate::forging_range::listed;
use crate::joined::Joined;
use crate::plan::Plan;
use crate::sawn::Sawn;
use crate::serrated::Notches;
use crate::stock::{BarStock, Block};
use crate::taper::BarTaper;
use crate::text::bands::counted;
use crate::twisting::Twisting;

/// What is said above the ways.
pub const WAYS_LEAD: &str = "Lengths follow from volume, less what you crop, scale, grind and saw away. A bar that comes out short has lost \
     more than planned: stop and recalculate.";

/// The steps of a bar, or of the stack.
#[derive(Clone, Debug, PartialEq)]
pub struct Way {
    /// The bar's name, or what the whole is called.
    pub name: String,
    /// One after the other.
    pub steps: Vec<WayStep>,
}

/// A step: what is done, and what it should measure afterwards; nothing to measure where that is empty.
#[derive(Clone, Debug, PartialEq)]
pub struct WayStep {
    /// What is done.
    pub what: String,
    /// What it then measures, lengths in the plan's unit.
    pub planned: String,
    /// Sizes of stop blocks with the length that each gives.
    pub sizes: Vec<[String; 2]>,
}

fn step(what: impl Into<String>, planned: impl Into<String>) -> WayStep {
    WayStep { what: what.into(), planned: planned.into(), sizes: Vec::new() }
}

impl Plan {
    /// What is said below the cut list: the steels' weights, how the sizes lie, and what a star means.
    pub fn cut_words(&self) -> String {
        let totals: Vec<String> =
            self.steel_g.iter().map(|(steel, g)| format!("{} of {steel}", self.figures.weight(*g))).collect();
        let lie = match self.stock.one_steel() {
            Some(_) => "",
            None => " High and wide as the piece lies in billet or stack: a layer's height is its thickness.",
        };
        let mut words = format!("Total: {}.{lie}", totals.join(", "));
        if self.stock.cuts.iter().any(|cut| cut.any_thickness) {
            words += " * [[layers]] gives no thickness: the height of the block (`block` in [forging]) is shared out evenly.";
        }
        words + &self.grip_told().map_or_else(String::new, |grip| format!(" {grip}"))
    }

    /// The way of the stack, or of the one bar, to the forged blade.
    pub(crate) fn stack_way(&self) -> Way {
        let name = if self.stock.is_one_place() { "The blade" } else { "The stack" };
        Way { name: name.to_owned(), steps: stack_steps(self, self.stack_heats, self.figures) }
    }

    /// The side of the square that a bar is forged to before it is twisted, mm; none where it is not twisted.
    pub(crate) fn twisted_square(&self, bar: &BarStock) -> Option<f64> {
        self.twisting.iter().find(|t| t.bar == bar.name).map(|t| t.side_mm)
    }

    /// That twisted bars are cut longer than the list says, for what holds them; none where none is twisted.
    pub(crate) fn grip_told(&self) -> Option<String> {
        let per = self.figures.pitch();
        let longer = |t: &Twisting| {
            let bar = self.stock.bars.iter().find(|bar| bar.name == t.bar)?;
            let more = per * bar.volume_mm3 / (bar.made_length_mm * self.stock.cut_section_mm2(&t.bar)?);
            // Rather too long than too short.
            let step = self.figures.mark_step();
            let more = self.figures.mark((more / step).ceil() * step);
            Some(format!("each piece of {} {more} {} longer", t.bar, self.figures.unit.name()))
        };
        let bars: Vec<String> = self.twisting.iter().filter_map(longer).collect();
        (!bars.is_empty()).then(|| {
            format!(
                "The list leaves nothing extra to grip: for each {} of bar that you hold in vice or wrench while you twist, cut {}.",
                self.figures.size(per),
                listed(&bars)
            )
        })
    }

    /// The ways of all bars, then that of the stack.
    pub fn ways(&self) -> Vec<Way> {
        let figures = self.figures;
        let way = |bar: &BarStock| {
            let square = self.twisted_square(bar);
            let steps = match self.stock.one_steel() {
                Some(_) => bought_steps(bar, figures),
                None => bar_steps(bar, (square, self.stock.is_one_bar()), figures),
            };
            Way { name: bar.name.clone(), steps }
        };
        let joined = self
            .stock
            .joined
            .iter()
            .map(|joined| Way { name: joined.name.clone(), steps: joined_steps(joined, figures) });
        self.stock.bars.iter().map(way).chain(joined).chain([self.stack_way()]).collect()
    }
}

/// The way of a bar of one steel that is the whole stock.
fn bought_steps(bar: &BarStock, figures: Figures) -> Vec<WayStep> {
    let mut steps =
        vec![step("Cut it off, file the burrs away", size(bar.section_mm, bar.length_mm, figures))];
    steps.extend(draw_out(bar, figures));
    steps
}

/// The way of a bar from its stock to what is stacked, or forged into the blade where it is `alone`.
fn bar_steps(bar: &BarStock, (square, alone): (Option<f64>, bool), figures: Figures) -> Vec<WayStep> {
    let mut steps = Vec::new();
    for (i, block) in bar.blocks.iter().enumerate() {
        steps.extend(block_steps(block, i == 0, bar.crop_mm(), figures));
    }
    steps.extend(draw_out(bar, figures));
    if let Some(taper) = &bar.taper {
        steps.extend(taper_steps(bar, taper, (square.is_some(), alone), figures));
        steps.extend(notch_steps(bar, figures));
        steps.extend(plug_steps(bar, figures));
        return steps;
    }
    if let Some(side) = square {
        let size = format!("{0} × {0}", figures.side(side));
        steps.push(step("Forge it square, twist it to the twist schedule, then straighten it", size));
    }
    let sawn = bar.sawn.iter().flat_map(|sawn| sawn.steps(bar.made_length_mm, figures));
    steps.extend(sawn.map(|(what, planned)| step(what, planned)));
    let to_size = match (is_sawn_to_size(bar), bar.stands_up()) {
        (true, _) => "File the saw marks away",
        (false, true) => "Stand it on edge, forge it to size",
        (false, false) => "Forge it to size",
    };
    let [high, wide] = bar.made_section_mm;
    steps.push(step(to_size, size([high, wide], bar.made_length_mm, figures)));
    let [high, wide] = bar.ground_mm();
    let last = match (alone, square.is_some() && is_ground_square(bar)) {
        (true, _) => "Crop both ends",
        (false, true) => "From here on grind only, to open the twist: square to size; crop both ends",
        (false, false) => "Grind the faces to be welded; crop both ends",
    };
    steps.push(step(last, size([high, wide], bar.length_mm, figures)));
    steps.extend(notch_steps(bar, figures));
    steps.extend(plug_steps(bar, figures));
    steps
}

/// From bars that share a place in the stack to the one bar that goes into it (common practice, no source).
fn joined_steps(joined: &Joined, figures: Figures) -> Vec<WayStep> {
    let mut steps = Vec::new();
    if joined.beside.len() > 1 {
        let names: Vec<String> = joined.beside.iter().map(|(name, _)| name.clone()).collect();
        let widths: Vec<String> = joined.beside.iter().map(|(_, wide)| figures.side(*wide)).collect();
        let what = format!(
            "Clean {}, lay them side by side, in this order from left to right with the back up and the point away from you, bind them",
            listed(&names)
        );
        steps.push(step(what, format!("{} wide", widths.join(" + "))));
        steps.push(step("Weld them into one bar", size(joined.core_mm, joined.length_mm, figures)));
    }
    if let Some(wrap) = &joined.wrap {
        let thick = || wrap.told(|mm| figures.side(mm));
        steps.extend(wrap.thinner().map(|what| step(what, thick())));
        steps.push(step(format!("Bend {}, hot and tight", wrap.bent()), thick()));
        let weld = format!("Weld it on, {}, so that flux runs out ahead of the weld", wrap.welded());
        steps.push(step(weld, ""));
    }
    let what = "Forge it level, grind the faces to be welded; crop both ends";
    steps.push(step(what, size(joined.section_mm, joined.length_mm, figures)));
    steps
}

/// Ground off a bar's height for the stack, as a share of it, from where on it is squared at the grinder: dressing a face
/// for a weld takes less.
const SQUARED: f64 = 0.15;

/// Whether a bar is squared at the grinder, not under the hammer.
pub(crate) fn is_ground_square(bar: &BarStock) -> bool {
    bar.made_section_mm[0] > (1.0 + SQUARED) * bar.ground_mm()[0]
}

/// Whether it comes to its size from the saw, not from the hammer.
pub(crate) fn is_sawn_to_size(bar: &BarStock) -> bool {
    matches!(bar.sawn, Some(Sawn::Leaning(_)))
}

fn counted_notches(count: usize) -> String {
    if count == 1 { "1 notch".to_owned() } else { format!("{count} notches") }
}

/// Cutting and fitting the teeth of serrated welds.
fn notch_steps(bar: &BarStock, figures: Figures) -> Vec<WayStep> {
    let cut = |notches: &Notches| {
        let [first, last] = notches.depth_mm.map(|mm| figures.side(mm));
        let what = format!(
            "Cut {} into its face towards the {}, for the teeth of {}: the height above is with its teeth",
            counted_notches(notches.at_mm.len()),
            notches.towards,
            notches.neighbour
        );
        let places: Vec<String> = notches.at_mm.iter().map(|&mm| figures.mark(mm)).collect();
        step(
            what,
            format!(
                "{first} deep at the shoulder, {last} at the last; from the tang end at {}",
                places.join(", ")
            ),
        )
    };
    let fit = step("File tooth to notch until no light shows between the two bars", "");
    let all: Vec<WayStep> = bar.notches.iter().map(cut).collect();
    if all.is_empty() { all } else { all.into_iter().chain([fit]).collect() }
}

/// Drilling for plugs, driving them in and welding them.
fn plug_steps(bar: &BarStock, figures: Figures) -> impl Iterator<Item = WayStep> {
    let steps = bar.plugs.iter().flat_map(move |plugs| plugs.steps(figures));
    steps.map(|(what, planned)| step(what, planned))
}

/// The way of a bar that is forged to a taper, from where it is drawn out.
fn taper_steps(
    bar: &BarStock,
    taper: &BarTaper,
    (twisted, alone): (bool, bool),
    figures: Figures,
) -> Vec<WayStep> {
    let told =
        |rows: Vec<[f64; 2]>| BarTaper::told(rows.into_iter(), |mm| figures.side(mm), |mm| figures.hot(mm));
    let mut steps = Vec::new();
    if twisted {
        let square = told(taper.made_mm.iter().map(|[at, _, side]| [*at, *side]).collect());
        steps.push(step("Forge it square to a taper, marks from the tang end", format!("square {square}")));
        steps.push(step(
            "Twist it to the twist schedule, the thick end hotter, or the thin end turns first; then straighten it",
            "",
        ));
    }
    let to_size =
        if bar.stands_up() { "Stand it on edge, forge it to a taper" } else { "Forge it to a taper" };
    let how = if bar.blocks.is_empty() {
        "; or saw it to the taper from a piece of the full length"
    } else {
        "; don't saw it"
    };
    let size = |[_, wide]: [f64; 2], rows, long| {
        format!("{} wide, high {}; {} long", figures.side(wide), told(rows), figures.hot(long))
    };
    let made = taper.made_mm.iter().map(|[at, high, _]| [*at, *high]).collect();
    let what = format!("{to_size}: a step at each mark from the tang end, then level it between them{how}");
    steps.push(step(what, size(bar.made_section_mm, made, bar.made_length_mm)));
    let last = if alone { "Crop both ends" } else { "Grind the faces to be welded; crop both ends" };
    steps.push(step(last, size(bar.section_mm, taper.stack_mm.clone(), bar.length_mm)));
    steps
}

/// High × wide, and how long.
fn size(section: [f64; 2], long: f64, figures: Figures) -> String {
    format!("{}, {} long", figures.section(section), figures.hot(long))
}

/// A block's stacking, welding and cropping; restacked ones are cut from the block before.
fn block_steps(block: &Block, first: bool, crop: f64, figures: Figures) -> Vec<WayStep> {
    let [high, wide] = block.section_mm;
    let mut steps = Vec::new();
    if first {
        let each = block.each_told(figures).unwrap_or_default();
        steps.push(step(format!("Clean and stack {}", counted(block.pieces, "layer")), each));
    } else {
        let flat = block.piece_thickness_mm.map_or(String::new(), |t| figures.section([t, wide]));
        steps.push(step("Draw the block out flat", flat));
        let pieces = format!("{} long each", figures.hot(block.length_mm));
        steps.push(step(
            format!("Cut {}, grind their faces, stack them", counted(block.pieces, "piece")),
            pieces,
        ));
    }
    steps.push(step("Weld into a billet", size([high, wide], block.length_mm, figures)));
    if crop > 0.0 {
        steps.push(step(format!("Crop {} off each end", figures.side(crop)), ""));
    }
    steps
}

/// Drawing out from stop block to stop block; a bar of one steel only needs it where thicker stock
/// is at hand.
fn draw_out(bar: &BarStock, figures: Figures) -> Vec<WayStep> {
    let figure = |&[size, long]: &[f64; 2]| [figures.stop(size), figures.hot(long)];
    if bar.blocks.is_empty() {
        let sizes: Vec<_> = bar.draw_out_mm.iter().map(figure).collect();
        let what = "If your stock is thicker: draw it out square, from stop block to stop block, then flat; lengths while hot"
            .to_owned();
        let from = |sizes| WayStep { what, planned: String::new(), sizes };
        return if sizes.is_empty() { Vec::new() } else { vec![from(sizes)] };
    }
    let draw = |[size, long]: [String; 2]| {
        step(
            format!("Draw it out square to the {size} {} stop block", figures.unit.name()),
            format!("{long} long, hot"),
        )
    };
    bar.draw_out_mm.iter().map(figure).map(draw).collect()
}

/// From the bars to the forged blade.
fn stack_steps(plan: &Plan, heats: usize, figures: Figures) -> Vec<WayStep> {
    let (s, alone) = (&plan.stock.stack, plan.stock.is_one_place());
    let tang = size(s.tang_section_mm, s.length_mm[1], figures);
    let mean = if s.blade_heights_mm.is_some() { ", at its mean height" } else { "" };
    let blade = size(s.blade_section_mm, s.length_mm[0], figures) + mean;
    let mut steps = if alone {
        vec![
            step("Mark the shoulder; leave the bar whole. Its part for the blade", blade),
            step("Its part for the tang", tang),
        ]
    } else {
        vec![
            step("Clean the bars, stack them from back to edge as drawn, bind them", ""),
            step("Weld the stack and leave it whole. Its part for the blade", blade),
            step("Its part for the tang", tang),
        ]
    };
    let forge = format!(
        "Forge the blade and its tang in {} ({:.1} % of the {} burns off as scale)",
        counted(heats, "heat"),
        100.0 * s.scale_share,
        if alone { "bar" } else { "stack" }
    );
    steps.push(step(forge, "to the forged sizes in the table of stations"));
    steps.extend(s.cut_tip.map(|tip| {
        let words = format!(
            "Cut the point out of the end that was forged on at full breadth, from station {} on",
            figures.told(tip.from_mm)
        );
        step(words, format!("{:.0} % of the steel comes off", 100.0 * s.cut_share()))
    }));
    steps.extend([
        step(
            "Straighten it hot; keep the thin edge off the cold anvil, which chills it; let it cool slowly",
            "",
        ),
        step("Weigh it, find its balance, write both in the log", ""),
    ]);
    steps
}

#[cfg(test)]
mod tests {
    use crate::fixtures::plan;

    /// By hand: 25 mm of a bar 10.6 square hold as much steel as 3.1 mm of its layers, 30 × 30 together; scale comes on top,
    /// and it is told to the next half millimetre.
    #[test]
    fn grip_is_counted_on_the_bar_and_cut_from_its_layers() {
        let told = plan("landing-seax").grip_told().unwrap();
        assert!(
            told.contains("for each 25 mm") && told.contains("cut each piece of Upper twist 3.5 mm longer"),
            "{told}"
        );
        assert_eq!(plan("net-menders-knife").grip_told(), None);
    }
}
