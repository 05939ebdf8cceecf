//! Steel to cut, the bars and the tip made of it.

use std::fmt::Write;

use design::{Figures, Unit, edge_curve};

use crate::joined::Joined;
use crate::plan::Plan;
use crate::stock::{BarStock, Block, Cut};
use crate::taper::BarTaper;
use crate::text::bands::widest;
use crate::text::notes::{WIDE, hung, wrapped};
use crate::tip::TipPreform;
use crate::way::{Way, is_ground_square, is_sawn_to_size};

impl Plan {
    /// The stack's size and what burns off.
    pub(crate) fn stack(&self, out: &mut String, l: Figures) -> std::fmt::Result {
        let s = &self.stock.stack;
        let unit = if l.unit == Unit::Inch { "inches" } else { "millimetres" };
        let ([high, wide], [tang, _]) = (s.blade_section_mm, s.tang_section_mm);
        writeln!(out, "{}: forging plan, lengths in {unit}\n", self.name)?;
        let [for_blade, for_tang] = s.length_mm.map(|mm| l.hot(mm));
        if self.stock.is_one_place() {
            writeln!(
                out,
                "One bar{}: {} (high × wide), {for_blade} long for the blade and {for_tang} for the tang.",
                self.stock.one_steel().map_or(String::new(), |steel| format!(" of {steel}")),
                l.section([high, wide])
            )?;
        } else {
            let blade = s.blade_heights_mm.map_or_else(
                || l.section([high, wide]),
                |[shoulder, point]| {
                    let [shoulder, point, wide] = [shoulder, point, wide].map(|mm| l.side(mm));
                    format!("{wide} wide and {shoulder} high at the shoulder, {point} at the point,")
                },
            );
            let told = format!(
                "The stack is one piece (high × wide): {blade} for the blade, {for_blade} long; then {} for the tang, {for_tang} long.",
                l.section([tang, wide])
            );
            wrapped(&told, WIDE).iter().try_for_each(|line| writeln!(out, "{line}"))?;
        }
        writeln!(
            out,
            "{:.1} % of it burns off as scale by the time the blade is forged.",
            100.0 * s.scale_share
        )?;
        let Some(tip) = s.cut_tip else { return Ok(()) };
        writeln!(
            out,
            "The bars run on at full breadth from {}: {:.0} % of the forged steel is cut away to make the point.",
            l.told(tip.from_mm),
            100.0 * s.cut_share()
        )
    }

    /// The cut list as a table.
    pub(crate) fn cuts(&self, out: &mut String, l: Figures) -> std::fmt::Result {
        let (bar, steel) = (
            widest(self.stock.cuts.iter().map(|c| &c.bar)),
            widest(self.stock.cuts.iter().map(|c| &c.steel)),
        );
        let lie = match self.stock.one_steel() {
            Some(_) => "",
            None => ", high and wide as the piece lies in billet or stack: a layer's height is its thickness",
        };
        writeln!(out, "\nCut{lie}")?;
        writeln!(
            out,
            "  {:bar$}  {:steel$}  {:>6}  {:>9}  {:>9}  {:>9}  {:>9}",
            "for", "steel", "pieces", "high", "wide", "long", "total"
        )?;
        for Cut { bar: name, steel: of, count, size_mm: [high, wide, long], round, any_thickness, mass_g } in
            &self.stock.cuts
        {
            // What is only a share of the block is marked.
            let about = if *any_thickness { "*" } else { " " };
            let (high, wide) = match round {
                true => (l.plain_size(*high), "round".to_owned()),
                false => (l.side(*high), l.side(*wide)),
            };
            writeln!(
                out,
                "  {name:bar$}  {of:steel$}  {count:>6}  {:>8}{about}  {:>9}  {:>9}  {:>9}",
                high,
                wide,
                l.hot(*long),
                l.weight(*mass_g)
            )?;
        }
        if self.stock.cuts.iter().any(|c| c.any_thickness) {
            writeln!(
                out,
                "  * no thickness given in [[layers]]: the height of the block (`block` in [forging]) is shared out evenly"
            )?;
        }
        let masses: Vec<String> =
            self.steel_g.iter().map(|(steel, g)| format!("{} of {steel}", l.weight(*g))).collect();
        writeln!(out, "  Total: {}.", masses.join(", "))?;
        let grip = self.grip_told().map_or_else(Vec::new, |words| wrapped(&words, WIDE - 2));
        grip.iter().try_for_each(|line| writeln!(out, "  {line}"))
    }
}

/// The piece that the tip is forged up from.
pub(crate) fn tip(out: &mut String, tip: &TipPreform, l: Figures) -> std::fmt::Result {
    writeln!(out, "\n{}", tip.heading())?;
    match tip {
        TipPreform::Straight {
            start_mm, edge_mm, breadths_mm, forged_between_mm, widest_leeway_mm, ..
        } => {
            let words = format!(
                "from station {} on; cut it at the back, leave its edge side straight, {} long; breadths along the edge side, \
                 towards the point:",
                l.side(*start_mm),
                l.side(*edge_mm)
            );
            hung(out, &words)?;
            let each = breadths_mm
                .iter()
                .map(|row| format!("{} at {}", tip.told(*row, |mm| l.side(mm)), l.hot(row[0])));
            writeln!(out, "  {}", each.collect::<Vec<_>>().join(", "))?;
            if let (Some(between), Some(widest)) = (forged_between_mm, widest_leeway_mm) {
                let lines = wrapped(&edge_curve(*between, *widest, l), WIDE - 2);
                lines.iter().try_for_each(|line| writeln!(out, "  {line}"))?;
            }
            writeln!(out, "  cut it to the template page or the gauge `tip-preform`")
        }
        TipPreform::Cut { .. } | TipPreform::Impossible { .. } => {
            let lines = tip.instead(l).map_or_else(Vec::new, |words| wrapped(&words, WIDE - 2));
            lines.iter().try_for_each(|line| writeln!(out, "  {line}"))
        }
    }
}

/// Bars that are welded to one before they go into the stack.
pub(crate) fn joined(out: &mut String, joined: &Joined, l: Figures) -> std::fmt::Result {
    writeln!(out, "\n{}", joined.name)?;
    if joined.beside.len() > 1 {
        let each: Vec<String> =
            joined.beside.iter().map(|(name, wide)| format!("{name} ({} wide)", l.side(*wide))).collect();
        let [high, wide] = joined.core_mm.map(|mm| l.side(mm));
        writeln!(
            out,
            "  side by side, from left to right with the back up and the point away from you: {}",
            each.join(", ")
        )?;
        writeln!(out, "  weld them to one bar, {high} × {wide}")?;
    }
    if let Some(wrap) = &joined.wrap {
        if let Some(thinner) = wrap.thinner() {
            hung(out, &(thinner[..1].to_lowercase() + &thinner[1..]))?;
        }
        let thick = wrap.told(|mm| l.side(mm));
        hung(out, &format!("bend {}, hot and tight; how thick on each face: {thick}", wrap.bent()))?;
        hung(out, &format!("weld it on, {}, so that flux runs out ahead of the weld", wrap.welded()))?;
    }
    let section = l.section(joined.section_mm);
    writeln!(out, "  forged level, ground and cropped: {section}, {} long", l.hot(joined.length_mm))
}

/// A way step by step, each with what it then measures.
pub(crate) fn way(out: &mut String, way: &Way) -> std::fmt::Result {
    writeln!(out, "\n{}", way.name)?;
    way.steps.iter().try_for_each(|step| {
        let planned = if step.planned.is_empty() { String::new() } else { format!(": {}", step.planned) };
        hung(out, &format!("{}{planned}", step.what))
    })
}

/// A bar from the cut steel to its place in the stack, or to the blade where it is `alone`.
pub(crate) fn bar_way(
    out: &mut String,
    bar: &BarStock,
    (square, alone): (Option<f64>, bool),
    l: Figures,
) -> std::fmt::Result {
    writeln!(out, "\n{}", bar.name)?;
    let crop = bar.crop_mm();
    let cropped = if crop > 0.0 { format!("; crop {} off each end", l.side(crop)) } else { String::new() };
    for (i, block) in bar.blocks.iter().enumerate() {
        let Block { pieces, section_mm, length_mm, .. } = block;
        let of = if i == 0 { "layers" } else { "pieces of that block" };
        let thick = block.each_told(l).map_or(String::new(), |each| format!(", {each},"));
        let words = format!(
            "weld {pieces} {of}{thick} into a billet {}, {} long{cropped}",
            l.section(*section_mm),
            l.hot(*length_mm)
        );
        hung(out, &words)?;
    }
    let square_long = |i: usize| if i == 0 { [" square", " long"] } else { ["", ""] };
    let told = |(i, [size, long]): (usize, &[f64; 2])| {
        let [square, said] = square_long(i);
        format!("at {}{square}, {}{said}", l.stop(*size), l.hot(*long))
    };
    let steps: Vec<String> = bar.draw_out_mm.iter().enumerate().map(told).collect();
    if !steps.is_empty() {
        let thicker = if bar.blocks.is_empty() { "if your stock is thicker than the cut list: " } else { "" };
        writeln!(out, "  {thicker}draw it out square, from stop block to stop block")?;
        writeln!(out, "    while hot it should be: {}", steps.join("; "))?;
        if alone && bar.blocks.is_empty() {
            writeln!(out, "    then draw it out flat to {}", l.section(bar.section_mm))?;
        }
    }
    if let Some(taper) = &bar.taper {
        tapered(out, bar, taper, square.is_some(), l)?;
        teeth(out, bar, l)?;
        return plugs(out, bar, l);
    }
    if let Some(side) = square {
        let side = l.side(side);
        writeln!(out, "  forge it {side} square, twist it to the schedule below, then straighten it")?;
    }
    sawn(out, bar, l)?;
    let turn = if bar.stands_up() { "stand it on edge, then " } else { "" };
    if alone && bar.blocks.is_empty() {
        return writeln!(out, "  forge blade and tang from it in one piece");
    }
    writeln!(
        out,
        "  {turn}{} {}, {} long",
        if is_sawn_to_size(bar) { "it comes out" } else { "forge it to" },
        l.section(bar.made_section_mm),
        l.hot(bar.made_length_mm)
    )?;
    writeln!(
        out,
        "  {}: {}, {} long",
        match (alone, square.is_some() && is_ground_square(bar)) {
            (true, _) => "ends cropped",
            (false, true) =>
                "from here on grind only, to open the twist; ground square and cropped for the stack",
            (false, false) => "ground and cropped for the stack",
        },
        l.section(bar.ground_mm()),
        l.hot(bar.length_mm)
    )?;
    teeth(out, bar, l)?;
    plugs(out, bar, l)
}

/// What a bar whose layers lie at an angle is sawn from, and how.
fn sawn(out: &mut String, bar: &BarStock, l: Figures) -> std::fmt::Result {
    steps(out, bar.sawn.iter().flat_map(|sawn| sawn.steps(bar.made_length_mm, l)))
}

/// The holes of a bar with plugs, and the rods in them.
fn plugs(out: &mut String, bar: &BarStock, l: Figures) -> std::fmt::Result {
    steps(out, bar.plugs.iter().flat_map(|plugs| plugs.steps(l)))
}

/// Steps, each with what it then measures.
fn steps(out: &mut String, steps: impl Iterator<Item = (String, String)>) -> std::fmt::Result {
    for (what, planned) in steps {
        let words = if planned.is_empty() { what } else { format!("{what}: {planned}") };
        hung(out, &(words[..1].to_lowercase() + &words[1..]))?;
    }
    Ok(())
}

/// The notches of a bar whose welds are serrated.
fn teeth(out: &mut String, bar: &BarStock, l: Figures) -> std::fmt::Result {
    /// Characters in a line of places.
    const WIDE: usize = 112;
    if bar.notches.is_empty() {
        return Ok(());
    }
    writeln!(out, "  that height is with its teeth, which are cut out of it now")?;
    for notches in &bar.notches {
        let [first, last] = notches.depth_mm.map(|mm| l.side(mm));
        writeln!(
            out,
            "  cut {} into its face towards the {}, for the teeth of {}: {first} deep at the shoulder, {last} at the last",
            match notches.at_mm.len() {
                1 => "1 notch".to_owned(),
                count => format!("{count} notches"),
            },
            notches.towards,
            notches.neighbour
        )?;
        writeln!(out, "    their middles from the tang end at:")?;
        let mut line = String::from("   ");
        for place in notches.at_mm.iter().map(|&mm| l.mark(mm)) {
            if line.chars().count() + 2 + place.chars().count() > WIDE {
                writeln!(out, "{line}")?;
                line = String::from("   ");
            }
            write!(line, "  {place}")?;
        }
        writeln!(out, "{line}")?;
    }
    writeln!(out, "  {FITTED}")
}

/// How teeth are cut and fitted (common practice, no source).
const FITTED: &str = "scribe the wave on both bars laid together, saw and file the notches, and fit tooth to notch until no light shows between";

/// The way of a bar that is forged to a taper, from where it is drawn out to its place in the stack.
fn tapered(
    out: &mut String,
    bar: &BarStock,
    taper: &BarTaper,
    twisted: bool,
    l: Figures,
) -> std::fmt::Result {
    let told = |rows: Vec<[f64; 2]>| BarTaper::told(rows.into_iter(), |mm| l.side(mm), |mm| l.hot(mm));
    let square = told(taper.made_mm.iter().map(|[at, _, side]| [*at, *side]).collect());
    let made = told(taper.made_mm.iter().map(|[at, high, _]| [*at, *high]).collect());
    let stacked = told(taper.stack_mm.clone());
    if twisted {
        writeln!(out, "  forge it to a taper, square; its side at each mark, counted from the tang end:")?;
        writeln!(out, "    {square}; {} long", l.hot(bar.made_length_mm))?;
        writeln!(out, "  {TWISTED}")?;
    }
    let ([_, wide], [_, as_wide]) = (bar.section_mm, bar.made_section_mm);
    let turn = if bar.stands_up() { "stand it on edge, then " } else { "" };
    writeln!(
        out,
        "  {turn}forge it {} wide and to a taper; how high it is at each mark, counted from the tang end:",
        l.side(as_wide)
    )?;
    writeln!(out, "    {made}; {} long", l.hot(bar.made_length_mm))?;
    writeln!(out, "  {}", if bar.blocks.is_empty() { SAWN } else { LAYERED })?;
    writeln!(
        out,
        "  ground and cropped for the stack: {} wide, high {stacked}; {} long",
        l.side(wide),
        l.hot(bar.length_mm)
    )
}

/// How a taper of one steel is made (common practice, no source).
const SAWN: &str = "at each mark forge a step to its height first, then level it between them;\n    or saw it to the taper: then cut its piece to the full length above";
/// The same of layers.
const LAYERED: &str = "at each mark forge a step to its height first, then level it between them; don't saw it: layers would run out at the cut";
/// How a taper is twisted (common practice, no source).
const TWISTED: &str = "twist it to the schedule below: the thin end turns first, so let the thick end be hotter; then straighten it";
