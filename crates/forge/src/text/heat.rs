//! Heats of the steels and of the blade as one piece.

use std::fmt::Write;

use design::Figures;
use steel::EUTECTOID;

use crate::blade_heat::{Behaviour, BladeHeat};
use crate::forging_range::listed;
use crate::heat::{Heat, Quenched, SteelHeat, TEMPERING, TemperHeat, mark};
use crate::levelling::{Levelling, PARTED};
use crate::plan::Plan;
use crate::text::bands::{hundredths, span, widest};
use crate::text::notes::{MARKS, WIDE, wrapped};

impl Plan {
    /// The steels' heats as a table, their sources, and what carbon does between their layers.
    pub(crate) fn heat(&self, out: &mut String, l: Figures) -> std::fmt::Result {
        let wide = widest(self.heat.iter().map(|h| &h.steel)).max("steel".len());
        writeln!(
            out,
            "\nHeat, {}: a guide from nominal compositions; test it on a scrap piece of the same steel first",
            l.temperature.name()
        )?;
        wrapped(MARKS, WIDE - 2).iter().try_for_each(|line| writeln!(out, "  {line}"))?;
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
                false => writeln!(out, "  {}: normalise: {normalise};\n    harden: {harden}", h.steel)?,
            }
        }
        self.heat.iter().try_for_each(|h| departed(out, h, l))?;
        for h in &self.heat {
            let Some(t) = &h.tempering else { continue };
            writeln!(out, "  {} tempered twice for an hour: {}\n    {}", h.steel, hardness(t, l), t.source)?;
        }
        self.levelling.iter().try_for_each(|levelling| levelled(out, levelling, l))
    }

    /// What the blade is held at as a whole.
    pub(crate) fn the_blade(&self, out: &mut String, l: Figures) -> std::fmt::Result {
        blade(out, self, l)?;
        let Some(growth) = &self.blade_heat.growth else { return Ok(()) };
        hanging(out, "", &growth.told(l))
    }
}

/// Where a steel's data sheet leaves what is published of its name.
fn departed(out: &mut String, h: &SteelHeat, l: Figures) -> std::fmt::Result {
    h.departures.iter().try_for_each(|d| writeln!(out, "  {}: {}", h.steel, d.told(l)))
}

/// A steel's row.
fn row(out: &mut String, h: &SteelHeat, wide: usize, l: Figures) -> std::fmt::Result {
    let degrees = |t: Option<f64>| t.map_or("–".to_owned(), |t| l.degrees(t));
    let band = |heat: &Heat| {
        let mark = mark(heat.unsure);
        heat.celsius.map_or_else(|| "none".to_owned(), |b| format!("{}{mark}", l.degree_band(b)))
    };
    let [ms, left] = h.quenched.map_or([(); 2].map(|()| "–".to_owned()), |q| martensite(q, l));
    writeln!(
        out,
        "  {:wide$}  {:>5}  {:>5}  {:>11}  {:>11}  {ms:>11}  {left:>10}",
        h.steel,
        degrees(h.ac1_c),
        degrees(h.ac3_c) + mark(h.ac3_unsure),
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
        .filter_map(|(c, hrc)| Some(format!("{} {} HRC{}", l.about(*c), span(hrc?), t.mark())));
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
        "  {}: after {:.0} min at {} for each weld and as long again after drawing out,\n    carbon {word}; {} % of the difference remains",
        l.bar,
        l.weld_min,
        figures.about(l.weld_c),
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
fn blade(out: &mut String, plan: &Plan, l: Figures) -> std::fmt::Result {
    let (h, one_steel) = (&plan.blade_heat, plan.stock.one_steel().is_some());
    let carbon = hundredths(h.edge_carbon_percent);
    match one_steel {
        true => writeln!(out, "  The blade, of {} with {carbon} % carbon", h.edge_steel)?,
        false => writeln!(
            out,
            "  The blade is one piece: its heats are set for the edge, {} with {carbon} % carbon",
            h.edge_steel
        )?,
    }
    if !h.also_at_edge.is_empty() {
        writeln!(
            out,
            "    in places the edge is of {}: its hardness there is not the figure given",
            h.also_at_edge.join(", ")
        )?;
    }
    writeln!(out, "    forging: {}", h.forging.told(l))?;
    if let Some(welding) = &plan.welding {
        hanging(out, "weld: ", &welding.told(l))?;
    }
    normalise(out, h, l)?;
    let [least, most] = h.soak_min;
    let Some(band) = h.hardening.celsius else {
        writeln!(out, "    no hardening heat for {}: {}", h.edge_steel, h.hardening.source)?;
        return h.phosphorus_told(l).iter().try_for_each(|words| hanging(out, "", words));
    };
    let mark = mark(h.hardening.unsure);
    writeln!(
        out,
        "    harden: heat to {}{mark} {}; in an open fire quench as soon as its colour is even;",
        l.degree_band(band),
        l.temperature.name()
    )?;
    let warming = h
        .warming_min
        .map_or_else(String::new, |min| format!("about {:.0} min to warm through, then ", min.max(1.0)));
    writeln!(
        out,
        "      in a kiln already at that heat {warming}{least:.0} to {most:.0} min more before you quench"
    )?;
    h.common.iter().try_for_each(|common| writeln!(out, "      {}", common.told(l)))?;
    plan.hardened_as.told(l).iter().try_for_each(|sentence| under(out, sentence))?;
    under(out, &h.hardening.source)?;
    if let Some(medium) = &h.medium {
        hanging(out, "quench: ", &medium.told(l))?;
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
        let dissolved = q.dissolved_told(h.edge_carbon_percent);
        dissolved.iter().try_for_each(|words| hanging(out, "", words))?;
        hanging(out, "", &q.hardness_told())?;
    }
    temper(out, h, l)?;
    h.others_told().iter().try_for_each(|words| hanging(out, "", words))?;
    h.phosphorus_told(l).iter().try_for_each(|words| hanging(out, "", words))
}

impl Quenched {
    /// How much of its carbon (least and greatest, mass percent) goes into solution at the hardening heat; none where all of
    /// it does, up to the eutectoid.
    pub fn dissolved_told(&self, carbon: [f64; 2]) -> Option<String> {
        (carbon[1] > EUTECTOID).then(|| {
            format!(
                "of its {} % carbon, {} % goes into solution at that heat, the rest stays as carbides: hotter leaves more austenite",
                hundredths(carbon).replace(" to ", "–"),
                hundredths(self.dissolved_percent).replace(" to ", "–")
            )
        })
    }

    /// How hard it is before it is tempered, and how that is felt.
    pub fn hardness_told(&self) -> String {
        let mark = mark(self.hardness_unsure);
        format!(
            "hardened right through, it has {} HRC{mark} before it is tempered, and a file skates over it ({})",
            span(self.hardness_hrc).replace(" to ", "–"),
            self.hardness_source
        )
    }
}

/// Words under a heat, set in as far as its second line.
fn under(out: &mut String, words: &str) -> std::fmt::Result {
    wrapped(words, WIDE - 6).iter().try_for_each(|line| writeln!(out, "      {line}"))
}

/// Each sentence on a line of its own, or several; those after the first set in.
fn hanging(out: &mut String, what: &str, words: &str) -> std::fmt::Result {
    let told = format!("{what}{words}");
    let lines = told.split_inclusive(". ").flat_map(|sentence| wrapped(sentence, WIDE - 6));
    let inset = |first: bool| if first { "    " } else { "      " };
    lines.enumerate().try_for_each(|(i, line)| writeln!(out, "{}{line}", inset(i == 0)))
}

/// The three normalising heats.
fn normalise(out: &mut String, h: &BladeHeat, l: Figures) -> std::fmt::Result {
    let n = &h.normalising;
    let Some([first, second, third]) = n.told(l) else {
        return writeln!(out, "    {}", n.why_not());
    };
    writeln!(
        out,
        "    normalise three times, cooling in still air to black each time: {first}, then {second}, then {third} {}",
        l.temperature.name()
    )?;
    if n.source != h.hardening.source {
        under(out, &n.source)?;
    }
    n.coarse_told(l).iter().try_for_each(|words| under(out, words))
}

impl BladeHeat {
    /// What its other steels do at its hardening heat: those that do the same together.
    pub fn others_told(&self) -> Vec<String> {
        let told = |alike: &[(String, Behaviour)]| {
            let names: Vec<String> = alike.iter().map(|(steel, _)| steel.clone()).collect();
            let what = if names.len() > 1 { alike[0].1.of_several() } else { alike[0].1.of_one() };
            format!("{} {what}", listed(&names))
        };
        self.others.chunk_by(|a, b| a.1 == b.1).map(told).collect()
    }

    /// How often and how long it is tempered.
    pub fn tempers_told(&self) -> String {
        let often = match self.tempers {
            1 => "once".to_owned(),
            2 => "twice".to_owned(),
            n => format!("{n} times"),
        };
        format!("{often} for {:.0} min each", self.temper_min)
    }
}

/// How the edge is tempered.
fn temper(out: &mut String, h: &BladeHeat, l: Figures) -> std::fmt::Result {
    writeln!(out, "    temper at once, {}; straighten it no hotter than you tempered it", h.tempers_told())?;
    let Some(t) = &h.tempering else {
        return writeln!(
            out,
            "      no tempering is published for it: temper a scrap piece and test it with a file"
        );
    };
    let each = t.sound().into_iter().map(|(hrc, c)| format!("{hrc:.0} HRC {}{}", l.about(c), t.mark()));
    let each = each.collect::<Vec<_>>().join(", ");
    let wanted = if each.is_empty() { each } else { format!("for {each}, ") };
    writeln!(out, "      {wanted}within {:.1} HRC either way", t.band_hrc)?;
    let brittle = t.brittle_told(l).map_or_else(Vec::new, |words| wrapped(&words, WIDE - 6));
    brittle.iter().try_for_each(|words| writeln!(out, "      {words}"))?;
    writeln!(out, "      at {}", hardness(t, l))?;
    writeln!(out, "      {}", t.source)
}

#[cfg(test)]
mod tests {
    use crate::plan::Plan;

    fn told(steel: &str) -> String {
        let text = format!(
            "name = 'Oar'\nsteel = '{steel}'\n[outline]\nlength = 250\nbreadth = 28\n[[taper]]\nat = 0\nback = 5\n"
        );
        Plan::of(&design::read(text.as_bytes()).unwrap()).unwrap().text()
    }

    /// C45's curve ends under 56 HRC: no empty list of hardnesses is told.
    #[test]
    fn a_curve_without_the_hardnesses_wanted_has_no_empty_list() {
        for (steel, band) in [("C45", 2.5), ("C45U", 1.5), ("1045", 2.5)] {
            let (text, told) = (told(steel), format!("      within {band:.1} HRC either way"));
            assert!(!text.contains("for ,") && text.contains(&told), "{steel}: {text}");
        }
        assert!(told("1095").contains("      for 60 HRC "));
    }

    /// An edge that does not harden keeps what is said of its phosphorus, and of a metal that is no steel.
    #[test]
    fn what_breaks_cold_is_told_of_a_soft_edge_too() {
        for steel in ["wrought iron", "phosphoric iron"] {
            assert!(
                told(steel).contains(&format!("{steel} is cold-short?: never straighten or hammer it cold"))
            );
        }
        assert!(told("nickel").contains("nickel is no steel"));
    }

    /// What dissolves at the hardening heat is told past the eutectoid: of W2's 1.00 % carbon 0.77 at the least, all of it from
    /// 799 °C on (ASM Handbook vol. 3, from memory).
    #[test]
    fn carbon_in_solution_is_told_of_an_edge_with_carbides() {
        let text = told("W2").split_whitespace().collect::<Vec<_>>().join(" ");
        assert!(text.contains("of its 1.00 % carbon, 0.77–1.00 % goes into solution at that heat"), "{text}");
        assert!(
            !told("1060").contains("goes into solution") && !told("nickel").contains("goes into solution")
        );
    }

    /// What is quoted from memory keeps its mark in the instruction, and the published figures are named.
    #[test]
    fn marks_stand_in_the_instructions() {
        let text = told("1095");
        assert!(text.contains("830–870?, then 810–850?, then 790–830? °C"), "{text}");
        assert!(text.contains("65–67 HRC? before it is tempered"), "{text}");
        assert!(told("wrought iron").contains("1009?"));
        let trial = |steel: &str| told(steel).contains("Oil bath for a trial quench");
        assert!(trial("C105U") && !trial("O1") && told("O1").contains("Oil bath"));
    }
}
