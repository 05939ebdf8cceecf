//! The forging plan as text for a terminal.

use std::fmt::Write;

use design::Unit;

use crate::heat::{BladeHeat, Heat, TEMPERING};
use crate::levelling::{HELD, PARTED};
use crate::plan::Plan;
use crate::stock::{BarStock, Block, Cut};
use crate::tip::TipPreform;
use crate::twisting::{Stretch, Tab, Twisting};

impl Plan {
    /// The plan as text: lengths in the design file's unit, masses in g.
    pub fn text(&self) -> String {
        let mut out = String::new();
        // Writing to a String can't fail.
        let _ = self.write(&mut out);
        out
    }

    /// The whole plan, part by part.
    fn write(&self, out: &mut String) -> std::fmt::Result {
        let lengths = Lengths { inch: self.unit == Unit::Inch.name() };
        self.stack(out, lengths)?;
        self.cuts(out, lengths)?;
        for bar in &self.stock.bars {
            bar_way(out, bar, lengths)?;
        }
        if !self.twisting.is_empty() {
            writeln!(out, "\nTwist: measure the marks from the tang end of the bar as you made it")?;
        }
        for twisting in &self.twisting {
            twist(out, twisting, lengths)?;
        }
        tip(out, &self.tip, lengths)?;
        self.heat(out)?;
        self.hot(out, lengths)?;
        write!(out, "{NOTES}")
    }

    /// The stack's size and what burns off.
    fn stack(&self, out: &mut String, l: Lengths) -> std::fmt::Result {
        let s = &self.stock.stack;
        let unit = if l.inch { "inches" } else { "millimetres" };
        let ([high, wide], [tang, _]) = (s.blade_section_mm, s.tang_section_mm);
        writeln!(out, "{}: forging plan, lengths in {unit}\n", self.name)?;
        writeln!(
            out,
            "Stack: {} × {}, {} long for the blade; {} × {}, {} long for the tang (high × wide).",
            l.fine(high),
            l.fine(wide),
            l.long(s.length_mm[0]),
            l.fine(tang),
            l.fine(wide),
            l.long(s.length_mm[1])
        )?;
        writeln!(out, "{:.1} % of it burns off as scale before the blade is forged.", 100.0 * s.scale_share)
    }

    /// The cut list as a table.
    fn cuts(&self, out: &mut String, l: Lengths) -> std::fmt::Result {
        let (bar, steel) = (
            widest(self.stock.cuts.iter().map(|c| &c.bar)),
            widest(self.stock.cuts.iter().map(|c| &c.steel)),
        );
        writeln!(out, "\nCut")?;
        writeln!(
            out,
            "  {:bar$}  {:steel$}  {:>6}  {:>9}  {:>9}  {:>9}  {:>9}",
            "for", "steel", "pieces", "thick", "wide", "long", "total"
        )?;
        for Cut { bar: name, steel: of, count, size_mm: [thick, wide, long], any_thickness, mass_g } in
            &self.stock.cuts
        {
            // What is only a share of the block is marked.
            let about = if *any_thickness { "*" } else { " " };
            writeln!(
                out,
                "  {name:bar$}  {of:steel$}  {count:>6}  {:>8}{about}  {:>9}  {:>9}  {:>7.0} g",
                l.fine(*thick),
                l.fine(*wide),
                l.long(*long),
                mass_g
            )?;
        }
        if self.stock.cuts.iter().any(|c| c.any_thickness) {
            writeln!(
                out,
                "  * no thickness given in [[layers]]: each layer's share of a block as high as [forging] block"
            )?;
        }
        let masses: Vec<String> =
            self.steel_g.iter().map(|(steel, g)| format!("{g:.0} g of {steel}")).collect();
        writeln!(out, "  Total: {}.", masses.join(", "))
    }

    /// The steels' heats as a table, and their sources.
    fn heat(&self, out: &mut String) -> std::fmt::Result {
        let wide = widest(self.heat.iter().map(|h| &h.steel)).max("steel".len());
        writeln!(out, "\nHeat, °C: a guide from nominal compositions; try it on a coupon first")?;
        writeln!(
            out,
            "  {:wide$}  {:>5}  {:>5}  {:>6}  {:>9}  {:>11}  {:>11}",
            "steel", "Ac1", "Ac3", "Ms", "austenite", "normalise", "harden"
        )?;
        for h in &self.heat {
            let ac3 = h.ac3_c.map_or("-".to_owned(), |t| format!("{t:.0}"));
            let ms = format!("{:.0}{}", h.ms_c, if h.ms_extrapolated { "?" } else { "" });
            let band = |heat: &Heat| {
                let mark = if heat.unsure { "?" } else { "" };
                heat.celsius.map_or_else(|| "none".to_owned(), |b| format!("{}{mark}", span(b)))
            };
            writeln!(
                out,
                "  {:wide$}  {:>5.0}  {ac3:>5}  {ms:>6}  {:>7.0} %  {:>11}  {:>11}",
                h.steel,
                h.ac1_c,
                100.0 * h.retained_austenite,
                band(&h.normalising),
                band(&h.hardening)
            )?;
        }
        for h in &self.heat {
            writeln!(
                out,
                "  {}: normalise: {}; harden: {}",
                h.steel, h.normalising.source, h.hardening.source
            )?;
        }
        for h in &self.heat {
            let Some(bands) = h.tempered_hrc else { continue };
            let each =
                TEMPERING.iter().zip(bands).map(|(t, [a, b])| format!("{t:.0} °C {a:.0} to {b:.0} HRC"));
            writeln!(out, "  {} tempered for an hour: {}", h.steel, each.collect::<Vec<_>>().join(", "))?;
        }
        for l in &self.levelling {
            let [low, high] = l.left.map(|s| 100.0 * s);
            let word = if l.left[1] < PARTED { "evens out" } else { "evens out only partly" };
            writeln!(
                out,
                "  {}: after {:.0} min at {:.0} °C carbon {word}; {low:.0} to {high:.0} % of the difference remains",
                l.bar,
                HELD.1 / 60.0,
                HELD.0
            )?;
            for s in &l.steels {
                let ([a, b], [from, to]) = (ordered(s.carbon_percent), ordered(s.ms_c));
                writeln!(
                    out,
                    "    {} then has {a:.2} to {b:.2} % carbon, not {:.2}; Ms {from:.0} to {to:.0}",
                    s.steel, s.bought_percent
                )?;
            }
        }
        blade(out, &self.blade_heat)
    }

    fn hot(&self, out: &mut String, l: Lengths) -> std::fmt::Result {
        writeln!(out, "\nLength of the hot blade, shoulder to point")?;
        let each = self.hot.iter().map(|h| format!("{:.0} °C {}", h.celsius, l.fine(h.length_mm)));
        writeln!(out, "  {}", each.collect::<Vec<_>>().join(", "))
    }
}

/// What the blade is held at as a whole.
fn blade(out: &mut String, h: &BladeHeat) -> std::fmt::Result {
    writeln!(out, "  The whole blade, edge of {}", h.edge_steel)?;
    if !h.also_at_edge.is_empty() {
        writeln!(
            out,
            "    in places the edge is of {}: these figures are not for it",
            h.also_at_edge.join(", ")
        )?;
    }
    match h.normalising_c.map(|heats| heats.map(span)) {
        Some([first, second, third]) => writeln!(
            out,
            "    normalise three times, cooling in still air to black each time: {first}, then {second}, then {third} °C"
        )?,
        None => writeln!(out, "    do not normalise it without the maker's data sheet")?,
    }
    let [least, most] = h.soak_min;
    let Some(band) = h.hardening.celsius else {
        return writeln!(out, "    no hardening heat for {}: {}", h.edge_steel, h.hardening.source);
    };
    writeln!(
        out,
        "    harden from {} °C ({}), {least:.0} to {most:.0} min after its colour is even",
        span(band),
        h.hardening.source
    )?;
    writeln!(out, "    temper at once, {} times {:.0} min", h.tempers, h.temper_min)?;
    h.others.iter().try_for_each(|(steel, what)| writeln!(out, "    {steel} {what}"))
}

fn span([low, high]: [f64; 2]) -> String {
    format!("{low:.0} to {high:.0}")
}

fn ordered([a, b]: [f64; 2]) -> [f64; 2] {
    [a.min(b), a.max(b)]
}

/// The piece that the tip is forged up from.
fn tip(out: &mut String, tip: &TipPreform, l: Lengths) -> std::fmt::Result {
    writeln!(out, "\nTip preform: the point before you forge it up")?;
    match tip {
        TipPreform::Straight { start_mm, edge_mm, breadths_mm, .. } => {
            writeln!(
                out,
                "  from station {} on, with a straight edge {} long; breadth along the edge",
                l.fine(*start_mm),
                l.fine(*edge_mm)
            )?;
            let each = breadths_mm.iter().map(|[s, b]| format!("{} at {}", l.fine(*b), l.long(*s)));
            writeln!(out, "  {}", each.collect::<Vec<_>>().join(", "))?;
            writeln!(out, "  cut it to the template or plate `tip-preform`")
        }
        TipPreform::Impossible { why_not } => {
            writeln!(out, "  no straight piece can be forged into this point: {why_not}")
        }
    }
}

fn widest<'a>(words: impl Iterator<Item = &'a String>) -> usize {
    words.map(|w| w.chars().count()).max().unwrap_or(0).max("steel".len())
}

/// A bar from the cut steel to its place in the stack.
fn bar_way(out: &mut String, bar: &BarStock, l: Lengths) -> std::fmt::Result {
    writeln!(out, "\n{}", bar.name)?;
    for (i, block) in bar.blocks.iter().enumerate() {
        let Block { pieces, piece_thickness_mm, section_mm: [high, wide], length_mm, .. } = block;
        let of = if i == 0 { "layers" } else { "pieces of that block" };
        let thick = piece_thickness_mm.map_or(String::new(), |t| format!(", {} thick each", l.fine(t)));
        writeln!(
            out,
            "  weld {pieces} {of}{thick} into a billet {} × {}, {} long; crop its ends",
            l.fine(*high),
            l.fine(*wide),
            l.long(*length_mm)
        )?;
    }
    let steps: Vec<String> = bar
        .draw_out_mm
        .iter()
        .map(|[size, long]| format!("{} at {}", l.long(*long), l.fine(*size)))
        .collect();
    if !steps.is_empty() {
        writeln!(out, "  draw out square, from stop block to stop block")?;
        writeln!(out, "    it should measure {}", steps.join(", "))?;
    }
    let ([high, wide], [as_high, as_wide]) = (bar.section_mm, bar.made_section_mm);
    writeln!(
        out,
        "  forge it to {} × {}, {} long",
        l.fine(as_high),
        l.fine(as_wide),
        l.long(bar.made_length_mm)
    )?;
    writeln!(
        out,
        "  ground and cropped for the stack: {} × {}, {} long",
        l.fine(high),
        l.fine(wide),
        l.long(bar.length_mm)
    )
}

/// A bar's twist schedule as a table.
fn twist(out: &mut String, t: &Twisting, l: Lengths) -> std::fmt::Result {
    let ([low, high], wrench) = (t.torque_n_m, t.wrench_mm);
    writeln!(
        out,
        "  {}, {} square: {low:.0} to {high:.0} N·m, with a wrench {} to {} from end to end",
        t.bar,
        l.fine(t.side_mm),
        l.long(wrench[0]),
        l.long(wrench[1])
    )?;
    if let Some(Tab { side_mm, length_mm, pressure_mpa: [low, high], weaker }) = t.tab {
        let dark = if weaker { "; weaker than the bar: keep it cooler" } else { "" };
        writeln!(
            out,
            "    end tab for the jig's insert: {} square, {} long; pressure {low:.0} to {high:.0} MPa{dark}",
            l.fine(side_mm),
            l.long(length_mm)
        )?;
    }
    writeln!(
        out,
        "    {:>8}  {:>8}  {:8}  {:>6}  {:>5}  {:>6}  {:>5}  {:>6}  {:>7}  {:>9}",
        "from", "to", "hand", "turns", "heats", "a heat", "face", "corner", "stretch", "chamfered"
    )?;
    for Stretch {
        marks_mm: [from, to],
        hand,
        turns,
        heats,
        turns_per_heat,
        helix_deg: [face, corner],
        corner_stretch,
        chamfered_stretch,
        may_tear,
    } in &t.stretches
    {
        write!(out, "    {:>8}  {:>8}  {hand:8}", l.long(*from), l.long(*to))?;
        if *heats > 0 {
            let tear = if *may_tear { "  corners may tear" } else { "" };
            write!(
                out,
                "  {turns:>6.2}  {heats:>5}  {turns_per_heat:>6.2}  {face:>4.0}°  {corner:>5.0}°  {:>5.0} %  {:>7.0} %{tear}",
                100.0 * corner_stretch,
                100.0 * chamfered_stretch
            )?;
        }
        writeln!(out)?;
    }
    Ok(())
}

/// Lengths in the design file's unit.
#[derive(Clone, Copy)]
struct Lengths {
    inch: bool,
}

impl Lengths {
    /// A section's side: to 0.1 mm or 0.01 in.
    fn fine(self, mm: f64) -> String {
        if self.inch { format!("{:.2}", mm / Unit::Inch.millimetres()) } else { format!("{mm:.1}") }
    }

    /// A length: to a millimetre or 0.1 in, as hot steel is measured.
    fn long(self, mm: f64) -> String {
        if self.inch { format!("{:.1}", mm / Unit::Inch.millimetres()) } else { format!("{mm:.0}") }
    }
}

/// What the figures rest on, and what can hurt.
const NOTES: &str = "
Sources and assumptions
  Volume is kept exactly. Crops, scale, grinding, saw cuts and heats come from [forging]: common practice unless you
  give your own. Twist is geometry. Torque is that of a fully plastic square bar at 30 to 80 MPa (common practice);
  the wrench is for two hands of 150 N each. Corners that stretch by more than 150 % are marked: that is more than two
  turns in 50 mm do to a 12 mm bar (common practice). The column `chamfered` is the same for corners first chamfered
  by a tenth of the side. The tip preform has the same area as the point, column by column. Ac1, Ac3, Ms: Andrews
  1965. No Ac3 is given above 0.77 % carbon; an Ms marked ? is extrapolated above 0.6 %. Austenite left at 20 °C:
  Koistinen and Marburger 1959, with all carbon dissolved; steels over 0.77 % carbon keep less. Bands to normalise and
  harden are published ones, named above; a ? marks those from memory or calculated (Ac3 + 20 to 50 °C to harden, + 40
  to 80 to normalise, common practice): try them on a coupon. Lower second and third heats, soaking and tempering
  times: common practice. Hardness: Grange and Baughman 1956 with Hollomon and Jaffe's parameter, only for plain
  steels near 0.65 % carbon. Carbon: diffusion data of Callister's table, within a factor of two either way, in layers
  as thick as before the stack is forged. Hot lengths: EN 1993-1-2. Depth of hardening is not given: the standard for
  it (ASTM A255) does not cover most blade steels.

Cautions
  Forge gas makes carbon monoxide: fresh air, a vent to the outside, an alarm. Hot oil catches fire: keep a metal lid
  ready, and no water near it. Flux, scale and etchants hurt eyes and skin: wear glasses and gloves, and ventilate.
  Grinding dust and noise: breathing and ear protection. Twisting and welding throw hot steel. Finished edges cut.
  Follow your local rules, the data sheets of your materials, and licensed practice where they ask for it.
";
