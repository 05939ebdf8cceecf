//! What the steel of a bent blade bears, and what to do about it, in words.

use blade::Stage;
use design::{Figures, MassUnit};

use crate::report::text::Words;
use crate::straighten::condition::{Condition, Known};
use crate::straighten::straightening::{Cold, ColdBend, Pads, Straightening};

/// Said of blades that are not hardened.
const SOFT: &str = "Not hardened yet, by the hardness you wrote. If it has been through the quench since, or is soft at the back \
                    alone, it counts as hard: don't bend it cold; write what the edge is, or a row `tempered`, and compare \
                    again. Soft, now is the time: straighten it hot, at a dull red, over wood or brass, or cold, a little at a \
                    time; let it cool slowly, and normalise it once more before you harden it, so that no strain is left to \
                    pull it crooked.";
/// Said where nothing tells whether a blade is hard.
const UNKNOWN: &str = "Nothing tells whether it is hard, so there are no figures for bending it. Quenched and not tempered it can \
                       snap without a warning and throw pieces: don't press it, don't clamp it; temper it first, then write \
                       the heat in a row `tempered`. Never quenched, it is best straightened hot, at a dull red, over wood or \
                       brass; for figures write its hardness, measured at the edge, in a row `hardness` (`220 HV` is soft).";
/// Said of hardened ones, with the heat that is not to be passed.
const HARD: &str = "Shield eyes and hands, and keep bystanders away: a hard blade can break without a warning and throw \
                    pieces. No blow of a hammer, no press on the bare edge. Look for cracks before and after; a blade with \
                    one is scrap. It is work for someone who has done it, by the rules of your shop.";
/// Said where the edgewise bow of a hardened blade is told.
const EDGEWISE: &str = "Edgewise a hardened blade sooner buckles sideways or cracks at the edge than it sets: grind the line \
                        true where there is steel, or anneal it, straighten it soft and harden it again";
/// Newtons in the weight of a kilogram: standard gravity.
const GRAVITY: f64 = 9.806_65;

impl Words {
    /// All of it: the steel, what must be known before a hard blade is bent, each bend.
    pub(crate) fn straightening(&self, straightening: &Straightening, stage: &str) -> Vec<String> {
        let Straightening { condition, bends } = straightening;
        let mut lines = vec![self.steel(condition, stage)];
        for bend in bends {
            lines.push(self.springs_back(bend));
            lines.extend(self.cold(bend, condition));
            lines.extend(self.asked(bend, condition));
        }
        // What must be known comes before any figure.
        let first = match condition.hardened {
            Some(true) => vec![HARD.to_owned(), self.in_the_temper(condition)],
            Some(false) => vec![SOFT.to_owned()],
            None => vec![UNKNOWN.to_owned()],
        };
        lines.splice(1..1, first);
        lines
    }

    /// What the steel is taken as.
    fn steel(&self, condition: &Condition, stage: &str) -> String {
        let Some(hardened) = condition.hardened else {
            return format!("bending it: not known whether the steel is hard or soft ({stage} stage)");
        };
        let state = if hardened { "hardened steel" } else { "steel not hardened yet" };
        let hardness = condition.hardness();
        let known = match &condition.known {
            Known::Read => format!("{hardness} as read"),
            Known::Tempered { steel, source } => {
                let heat = condition.tempered_c.map_or_else(String::new, |c| self.figures.temperature(c));
                format!("{hardness} by its temper at {heat} ({steel}: {source})")
            }
            Known::Taken => {
                format!("taken as {hardness} because nothing tells (write a row `hardness` or `tempered`)")
            }
        };
        let [low, _, high] = condition.yield_mpa;
        let stage = if hardened && stage != Stage::Finished.name() { "" } else { stage };
        let stage = if stage.is_empty() { String::new() } else { format!(" ({stage} stage)") };
        let through = if hardened { ". A softer back or bar yields sooner than told here" } else { "" };
        format!(
            "bending it: {state}{stage}, {known}; yields at {}{through}",
            self.figures.pressure_band([low, high])
        )
    }

    /// How far it goes and springs back wholly.
    fn springs_back(&self, bend: &ColdBend) -> String {
        let f = self.figures;
        let [from, to] = bend.supports_mm.map(|x| f.station(x));
        let way = if bend.sideways { "sideways" } else { "edgewise" };
        format!(
            "{way}, on supports at {from} and {to} and pressed at {}: up to {} of sag springs back wholly; it yields first at \
             {}, where that is a radius of {}",
            f.told(bend.pressed_mm),
            sag(f, bend.springs_back_mm),
            f.told(bend.yields_at_mm),
            far(f, bend.radius_mm)
        )
    }

    /// How to take it out cold, or why not to.
    fn cold(&self, bend: &ColdBend, condition: &Condition) -> Vec<String> {
        let mut lines = match bend.cold {
            Cold::Straight => return Vec::new(),
            Cold::TooShort => vec![
                "  the gaps were read over too short a length to bend it there: read them over more of the blade".to_owned(),
            ],
            Cold::Folds => vec![format!(
                "  {} can't be taken out with one press there: it would fold at one place. Press it little by little along its \
                 length, or hot",
                self.figures.gap(bend.bow_mm)
            )],
            Cold::Untempered => vec![format!(
                "  don't try to take {} out cold: nothing tells that it was tempered (write the heat in a row `tempered`)",
                self.figures.gap(bend.bow_mm)
            )],
            Cold::Cracks => vec![self.cracks(bend, condition)],
            Cold::Bears => self.bears(bend, condition),
        };
        if !bend.sideways && condition.hardened == Some(true) {
            lines.push(format!("  {EDGEWISE}"));
        }
        lines
    }

    /// Why it should not be tried cold.
    fn cracks(&self, bend: &ColdBend, condition: &Condition) -> String {
        let needed = percent(bend.plastic.unwrap_or_default());
        let most = condition.cold_set;
        let bears = if most > 0.0 {
            format!("such steel is trusted with {}", percent(most))
        } else {
            "steel that may be so hard is trusted with none".to_owned()
        };
        let instead = match (condition.hardened == Some(true), bend.sideways) {
            (false, _) => "do it hot, or in several goes with a heat between them",
            (true, true) => "clamp it past straight in the temper instead, or temper it softer first",
            (true, false) => "not cold, and not in the temper either",
        };
        format!(
            "  don't try it cold: taking {} out would stretch the skin {needed} beyond yield, and {bears} (an estimate: a nick \
             or a belt line starts the crack); {instead}",
            self.figures.gap(bend.bow_mm)
        )
    }

    /// How far past straight, with what force, over which pads.
    fn bears(&self, bend: &ColdBend, condition: &Condition) -> Vec<String> {
        let f = self.figures;
        let (Some([low, middle, high]), Some(force)) = (bend.past_mm, bend.force_n) else {
            return Vec::new();
        };
        let force = force.map(|n| load(f, n));
        let stretched = percent(bend.plastic.unwrap_or_default());
        let mut lines = vec![format!(
            "  cold, {} may come out: press it {} to {} past straight (most likely {}), estimated force {} to {}. Begin at the \
             least, let go, look, and go on by a tenth of it each time. The skin is stretched {stretched} beyond yield; {} is \
             trusted",
            f.gap(bend.bow_mm),
            sag(f, low),
            sag(f, high),
            sag(f, middle),
            force[0],
            force[1],
            percent(condition.cold_set)
        )];
        if let Some([least, most]) = bend.pads {
            lines.push(self.pads(bend, least, most));
        }
        if bend.guide_only {
            lines.push(
                "  so far it no longer bends by these figures: take them as a guide, and go by what stays"
                    .to_owned(),
            );
        }
        lines
    }

    /// What to lay under it.
    fn pads(&self, bend: &ColdBend, least: Pads, most: Pads) -> String {
        let f = self.figures;
        let pads = |p: Pads| {
            let [a, b] = p.supports_mm.map(|mm| f.gap(mm));
            let stop =
                if p.stop_mm > 0.0 { format!(" with a stop of {}", f.gap(p.stop_mm)) } else { String::new() };
            format!("{a} and {b}{stop}")
        };
        format!(
            "  heights of the pads on a straight bar, on the hollow side, under stations {} and {}: {} to begin with; never \
             higher than {}. Press at {} till it touches the bar or its stop",
            f.station(bend.supports_mm[0]),
            f.station(bend.supports_mm[1]),
            pads(least),
            pads(most),
            f.told(bend.pressed_mm)
        )
    }

    /// What stays, cold, of the bend that the smith asked for.
    fn asked(&self, bend: &ColdBend, condition: &Condition) -> Option<String> {
        let [least, most] = bend.asked_stays_mm.filter(|_| bend.sideways)?;
        let f = self.figures;
        let bowed = |mm: f64| -mm > 0.05 * bend.bow_mm;
        let words = match (bowed(least), bowed(most)) {
            (true, true) if -most > 0.95 * bend.bow_mm => "it springs back wholly".to_owned(),
            (true, true) => format!("{} to {} of the bow are left", f.gap(-most), f.gap(-least)),
            (true, false) => {
                format!("from {} of the bow left to {} too far", f.gap(-least), f.gap(most.max(0.0)))
            }
            _ => format!("it goes {} to {} too far", f.gap(least.max(0.0)), f.gap(most.max(0.0))),
        };
        let heat = if condition.hardened == Some(true) {
            "; clamped so in the temper, the heat makes it stay"
        } else {
            ""
        };
        Some(format!("  as far past straight as you asked, cold and let go: {words}{heat}"))
    }

    /// How to straighten in the temper.
    fn in_the_temper(&self, condition: &Condition) -> String {
        let clamp = "clamp it over shims, slowly, a little past straight, and temper it again clamped so";
        let rest = "let it cool in the clamp, and look. That is the way for hard steel; what stands below of cold pressing is \
                    what it bears, not advice";
        match condition.tempered_c {
            Some(c) => {
                let heat = self.figures.temperature(c);
                format!("Tempered at {heat}: {clamp}, at no more than {heat}; {rest}.")
            }
            None => format!(
                "Hardened: temper it before anything else, never straighten it as quenched. Then {clamp}, no hotter than it was \
                 tempered (write it in a row `tempered`); {rest}."
            ),
        }
    }
}

/// How far something is pressed, or a radius.
fn sag(figures: Figures, mm: f64) -> String {
    format!("{} {}", figures.side(mm), figures.unit.name())
}

/// A radius.
fn far(figures: Figures, mm: f64) -> String {
    format!("{} {}", figures.hot(mm), figures.unit.name())
}

/// A force (N), in kilonewtons or in pounds.
fn load(figures: Figures, newtons: f64) -> String {
    match figures.mass {
        MassUnit::Gram if newtons < 1000.0 => format!("{:.0} N", newtons.max(1.0)),
        MassUnit::Gram => format!("{:.1} kN", newtons / 1000.0),
        MassUnit::Ounce | MassUnit::Pound => {
            format!("{:.0} lbf", (1000.0 * newtons / GRAVITY / MassUnit::Pound.grams()).max(1.0))
        }
    }
}

/// A share in percent, as fine as it is worth.
fn percent(share: f64) -> String {
    format!("{:.1} %", 100.0 * share)
}
