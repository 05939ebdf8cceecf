//! Heats of the steels and of the blade as one piece.

use std::fmt::Write;

use design::Figures;

use crate::blade_heat::BladeHeat;
use crate::heat::{Heat, Quenched, SteelHeat, TEMPERING, TemperHeat, WANTED};
use crate::levelling::{Levelling, PARTED};
use crate::plan::Plan;
use crate::text::bands::{hundredths, span, widest};

impl Plan {
    /// The steels' heats as a table, their sources, and what carbon does between their layers.
    pub(crate) fn heat(&self, out: &mut String, l: Figures) -> std::fmt::Result {
        let wide = widest(self.heat.iter().map(|h| &h.steel)).max("steel".len());
        writeln!(
            out,
            "\nHeat, {}: a guide from nominal compositions; test it on a scrap piece of the same steel first",
            l.temperature.name()
        )?;
        writeln!(
            out,
            "  {:wide$}  {:>5}  {:>5}  {:>11}  {:>11}  {:>11}  {:>10}",
            "steel", "Ac1", "Ac3", "normalise", "harden", "Ms", "austenite"
        )?;
        for h in &self.heat {
            row(out, h, wide, l)?;
        }
        for h in &self.heat {
            let (normalise, harden) = (&h.normalising.source, &h.hardening.source);
            match normalise == harden {
                true => writeln!(out, "  {}: {harden}", h.steel)?,
                false => writeln!(out, "  {}: normalise: {normalise}; harden: {harden}", h.steel)?,
            }
        }
        for h in &self.heat {
            let Some(t) = &h.tempering else { continue };
            writeln!(out, "  {} tempered twice for an hour: {}\n    {}", h.steel, hardness(t, l), t.source)?;
        }
        self.levelling.iter().try_for_each(|levelling| levelled(out, levelling, l))
    }

    /// What the blade is held at as a whole.
    pub(crate) fn the_blade(&self, out: &mut String, l: Figures) -> std::fmt::Result {
        blade(out, &self.blade_heat, self.stock.one_steel().is_some(), l)?;
        let Some([low, high]) = self.blade_heat.growth_mm else { return Ok(()) };
        writeln!(
            out,
            "    hardening makes it {} to {} longer from shoulder to point",
            l.gap(low),
            l.gap(high)
        )
    }
}

/// A steel's row.
fn row(out: &mut String, h: &SteelHeat, wide: usize, l: Figures) -> std::fmt::Result {
    let degrees = |t: Option<f64>| t.map_or("–".to_owned(), |t| l.degrees(t));
    let band = |heat: &Heat| {
        let mark = if heat.unsure { "?" } else { "" };
        heat.celsius.map_or_else(|| "none".to_owned(), |b| format!("{}{mark}", l.degree_band(b)))
    };
    let [ms, left] = h.quenched.map_or([(); 2].map(|()| "–".to_owned()), |q| martensite(q, l));
    writeln!(
        out,
        "  {:wide$}  {:>5}  {:>5}  {:>11}  {:>11}  {ms:>11}  {left:>10}",
        h.steel,
        degrees(h.ac1_c),
        degrees(h.ac3_c),
        band(&h.normalising),
        band(&h.hardening)
    )
}

/// Ms and the austenite left.
fn martensite(q: Quenched, l: Figures) -> [String; 2] {
    [l.degree_band(q.ms_c), format!("{} %", span(q.retained_austenite.map(|share| 100.0 * share)))]
}

/// Hardness for each temperature.
fn hardness(t: &TemperHeat, l: Figures) -> String {
    let each = TEMPERING
        .iter()
        .zip(t.hrc)
        .filter_map(|(c, hrc)| Some(format!("{} {} HRC", l.temperature(*c), span(hrc?))));
    each.collect::<Vec<_>>().join(", ")
}

/// How far carbon evens out in a bar.
fn levelled(out: &mut String, l: &Levelling, figures: Figures) -> std::fmt::Result {
    if l.is_alike() {
        let carbon: Vec<String> =
            l.steels.iter().map(|s| format!("{} {:.2} %", s.steel, s.bought_percent)).collect();
        return writeln!(out, "  {}: its steels have nearly the same carbon: {}", l.bar, carbon.join(", "));
    }
    let word = if l.left[1] < PARTED { "evens out" } else { "evens out only partly" };
    writeln!(
        out,
        "  {}: after {:.0} min at {} for each weld and as long again drawn out,\n    carbon {word}; {} % of the difference remains",
        l.bar,
        l.weld_min,
        figures.temperature(l.weld_c),
        span(l.left.map(|s| 100.0 * s))
    )?;
    for s in &l.steels {
        writeln!(
            out,
            "    {}: bought with {:.2} % carbon, then has {} %, and {} % in the middle of a layer",
            s.steel,
            s.bought_percent,
            hundredths(s.carbon_percent),
            hundredths(s.centre_percent)
        )?;
    }
    Ok(())
}

/// What the blade is held at as a whole.
fn blade(out: &mut String, h: &BladeHeat, one_steel: bool, l: Figures) -> std::fmt::Result {
    let carbon = hundredths(h.edge_carbon_percent);
    match one_steel {
        true => writeln!(out, "  The blade, of {} with {carbon} % carbon", h.edge_steel)?,
        false => writeln!(
            out,
            "  The blade is one piece, heated for its edge: {}, {carbon} % carbon",
            h.edge_steel
        )?,
    }
    if !h.also_at_edge.is_empty() {
        writeln!(
            out,
            "    in places the edge is of {}: for that these figures do not hold",
            h.also_at_edge.join(", ")
        )?;
    }
    writeln!(out, "    forging: {}", h.forging.told(l))?;
    normalise(out, h, l)?;
    let [least, most] = h.soak_min;
    let Some(band) = h.hardening.celsius else {
        return writeln!(out, "    no hardening heat for {}: {}", h.edge_steel, h.hardening.source);
    };
    let mark = if h.hardening.unsure { "?" } else { "" };
    writeln!(
        out,
        "    harden: heat to {}{mark} {}; in an open fire quench as soon as its colour is even;",
        l.degree_band(band),
        l.temperature.name()
    )?;
    let warming =
        h.warming_min.map_or_else(String::new, |min| format!("{:.0} min to that heat, then ", min.max(1.0)));
    writeln!(out, "      in a kiln about {warming}{least:.0} to {most:.0} min more before you quench")?;
    writeln!(out, "      {}", h.hardening.source)?;
    if let Some(medium) = h.medium_told(l.unit) {
        writeln!(out, "    quench in {medium}")?;
    }
    if let Some([ms, left]) = h.quenched.map(|q| martensite(q, l)) {
        writeln!(
            out,
            "    martensite begins at {ms} {}; {left} austenite is left at {}",
            l.temperature.name(),
            l.temperature(20.0)
        )?;
    }
    if let Some(q) = h.quenched {
        writeln!(
            out,
            "    hardened through, a file slides off it: about {} HRC before it is tempered",
            span(q.hardness_hrc)
        )?;
    }
    temper(out, h, l)?;
    h.others.iter().try_for_each(|(steel, what)| writeln!(out, "    {steel} {what}"))
}

/// The three normalising heats.
fn normalise(out: &mut String, h: &BladeHeat, l: Figures) -> std::fmt::Result {
    match h.normalising_c.map(|heats| heats.map(|band| l.degree_band(band))) {
        Some([first, second, third]) => writeln!(
            out,
            "    normalise three times, cooling in still air to black each time: {first}, then {second}, then {third} {}",
            l.temperature.name()
        ),
        None => writeln!(out, "    do not normalise it without the maker's data sheet"),
    }
}

/// How the edge is tempered.
fn temper(out: &mut String, h: &BladeHeat, l: Figures) -> std::fmt::Result {
    writeln!(
        out,
        "    temper at once, {} times for {:.0} min each; straighten it no hotter than you tempered it",
        h.tempers, h.temper_min
    )?;
    let Some(t) = &h.tempering else {
        return writeln!(
            out,
            "      no tempering is published for it: temper a scrap piece and test it with a file"
        );
    };
    let each = WANTED
        .iter()
        .zip(t.celsius)
        .filter_map(|(hrc, c)| Some(format!("{hrc:.0} HRC {}", l.temperature(c?))));
    writeln!(
        out,
        "      for {}, within {:.1} HRC either way",
        each.collect::<Vec<_>>().join(", "),
        t.band_hrc
    )?;
    writeln!(out, "      at {}{}", hardness(t, l), if t.unsure { "?" } else { "" })?;
    writeln!(out, "      {}", t.source)
}
