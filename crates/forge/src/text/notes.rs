//! What the plan's figures come from, and what can hurt.

use std::fmt::Write;

use design::{Figures, Unit};

use crate::plan::Plan;

/// Characters in a line, with two for its inset.
pub(crate) const WIDE: usize = 118;

/// What holds for every plan.
const VOLUME: &str = "Volume is kept exactly. Crops, scale, grinding, saw cuts and heats come from [forging]: common practice \
                      unless you give your own. The tip preform has the same area as the point all along it, except where the edge's curve begins abruptly.";
/// What holds where bars are twisted.
const TWIST: &str = "Turns, angles and stretch: geometry of a square bar. Torque: a square bar that flows throughout, by its mean carbon, slowly at the first heat named and quickly at the second, 0.1 to \
                     1 /s: Shida 1969, a tenth either way, a third softer above 0.9 % carbon (Mauk). The wrench is for two hands \
                     of ^150 each. Corners stretched over 150 % in one heat tear: on a bar ~12 square that is more than two turns in ~50. \
                     Up to 525 % a bar is twisted in two rounds, each from mark to mark with fresh heats; beyond that the plan warns \
                     (common practice). Chamfered: a tenth of the side off each corner.";
/// What holds at the anvil, by hammer and clock.
const ANVIL: &str = "Clock: radiation and free convection of oxidised steel (Incropera, not confirmed), heat content by EN \
                     1993-1-2. Hot lengths: EN 1993-1-2 heating up; austenite cooling shrinks by 23 millionths a kelvin (not \
                     confirmed). Skin: a surface without carbon in all heats until the blade is forged, 2 min at @1000 each \
                     (common practice), receding by their scale; diffusion by Ågren 1986.";
/// What holds where bevels are forged.
const BEVELS: &str = "Lift by the bevels: how much thinner the forged section is at each height than at its thickest, cross-sections staying \
                      plane; the share that goes into length is yours: formulas for flat dies do not give it.";
/// What holds where bars are drawn out of a billet of layers.
const BLOWS: &str = "Blows: flow stress by Shida 1969 at 10 to 50 /s; 40 to 80 % of each blow of ^40 deforms the steel (common \
                     practice).";
/// What holds of heats.
const HEAT: &str = "Ac1 within @+11 and Ac3 within @+17: Andrews 1965; no Ac3 is given above 0.77 % carbon. Where a \
                    source gives a single temperature, it is widened by @+15 each way and marked so. Bands to forge, normalise and harden are named \
                    above, those of your own [[steel]] tables first; no source gives a lowest forging heat for iron and mild steel: C45's is used. Where none is \
                    published they are Ac3 + @+20 to @+50 to harden, + @+40 to @+80 to normalise (common practice). Ms: the carbon in solution at the hardening \
                    heat (Acm of the iron-carbon diagram, not confirmed), by Andrews up to 0.6 %, by van Bohemen 2012 and Ingber and Kunert \
                    2022 beyond. Austenite left at @20: Koistinen and Marburger 1959. Hardness: published curves, straight \
                    between their points; time by Hollomon and Jaffe with K = 21.3 − 5.8 × percent carbon. Two data sheets for one steel differ by \
                    up to 3 HRC. That the second and third normalising heats are lower, and the times to soak and temper: common practice; warming in a kiln by the \
                    clock's law. Growth: Lement 1959 (not confirmed), a data sheet of O1 gives only 0.29 of that.";
/// How the marks of a twist are measured: the same words in plan, sheet and page.
pub const TWIST_MARKS: &str = "Mark the bar once it is drawn out for twisting; don't crop it first. Scribe a line near its tang end, where the grip of \
                               vice or wrench stops: every mark counts from that line.";
/// What two rounds of a twist are: the same words in sheet and page.
pub const TWO_ROUNDS: &str = "In two rounds: from mark to mark give it half its turns, then go over it again with fresh heats for the rest.";
/// What is marked, and what is not: the same words in plan, sheet and page.
pub const MARKS: &str = "On heats and hardnesses a ? marks what is calculated, or not confirmed by a published source; Ac1, Ac3, Ms, \
                         austenite and carbon in solution are always calculated.";
/// What holds where something is welded.
const WELDS: &str = "The depth of the skin includes the last weld's, thinned with the stack since then. Welding heats and where steel burns: handbooks \
                     (not confirmed), which differ by @+50; over 1 % carbon they fall as it melts sooner (calculated).";
/// What holds where layers are welded.
const LAYERS: &str = "Carbon between layers: Ågren 1986, other sources within a factor of 1.6; welds and times common practice.";
/// What holds of oil.
const BATH: &str = "Bath: oil of 0.87 kg/L and 1.97 kJ/kgK (MacKenzie; Gear Solutions), heat content by EN 1993-1-2; \
                    temperatures of the oil common practice, its data sheet comes first; flash point by 29 CFR 1910.126(a)(2).";
/// What is not told.
const DEPTH: &str =
    "Depth of hardening is not given: the standard for it (ASTM A255) does not cover most blade steels.";

impl Plan {
    /// Sources, assumptions and cautions, as far as this plan has use for them.
    pub(crate) fn notes(&self, out: &mut String) -> std::fmt::Result {
        let welded = self.stock.one_steel().is_none();
        let sources = [
            Some(VOLUME),
            (!self.twisting.is_empty()).then_some(TWIST),
            Some(ANVIL),
            self.bevel_lift.is_some().then_some(BEVELS),
            (!self.drawing_out.is_empty()).then_some(BLOWS),
            Some(HEAT),
            welded.then_some(WELDS),
            (!self.levelling.is_empty()).then_some(LAYERS),
            self.bath.is_some().then_some(BATH),
            Some(DEPTH),
        ];
        section(out, "Sources and assumptions", &sources, self.figures)?;
        writeln!(out, "\nCautions")?;
        design::cautions(welded).iter().try_for_each(|line| {
            let lines = wrapped(&line.replace('*', ""), WIDE - 2);
            lines
                .iter()
                .enumerate()
                .try_for_each(|(i, line)| writeln!(out, "  {} {line}", if i == 0 { "-" } else { " " }))
        })
    }
}

/// A sentence on the file's scales: `@1100` is a temperature and `@+50` a difference, °C, `~12` a length in a like
/// unit, `^150` a force, N, and `^40` work, J.
fn told(part: &str, figures: Figures) -> String {
    let inch = figures.unit == Unit::Inch;
    let lengths =
        [("~50", if inch { "2 in" } else { "50 mm" }), ("~12", if inch { "1/2 in" } else { "12 mm" })];
    let part = lengths.iter().fold(part.to_owned(), |part, (sign, words)| part.replace(sign, words));
    let part = part.replace("^150", &figures.force(150.0)).replace("^40", &figures.work(40.0));
    let scaled = |c: f64| if c > 100.0 { figures.about(c) } else { figures.temperature(c) };
    let part = [1100.0, 1000.0, 900.0, 20.0]
        .iter()
        .fold(part, |part, celsius| part.replace(&format!("@{celsius}"), &scaled(*celsius)));
    [20.0, 50.0, 40.0, 80.0, 11.0, 17.0, 15.0]
        .iter()
        .fold(part, |part, kelvin| part.replace(&format!("@+{kelvin}"), &figures.temperature_step(*kelvin)))
}

/// A heading and its sentences in one paragraph.
fn section(out: &mut String, heading: &str, parts: &[Option<&str>], figures: Figures) -> std::fmt::Result {
    writeln!(out, "\n{heading}")?;
    let told: Vec<String> = parts.iter().flatten().map(|part| told(part, figures)).collect();
    wrapped(&told.join(" "), WIDE).iter().try_for_each(|line| writeln!(out, "  {line}"))
}

/// A step, what runs over set in further.
pub(crate) fn hung(out: &mut String, words: &str) -> std::fmt::Result {
    let lines = wrapped(words, WIDE - 4);
    let inset = |first: bool| if first { "  " } else { "    " };
    lines.iter().enumerate().try_for_each(|(i, line)| writeln!(out, "{}{line}", inset(i == 0)))
}

/// Words in lines of at most `wide` characters; a figure stays beside its sign.
pub(crate) fn wrapped(text: &str, wide: usize) -> Vec<String> {
    let kept = text.replace(" %", "\u{a0}%").replace(" °", "\u{a0}°");
    let mut lines = vec![String::new()];
    for word in kept.split(' ').filter(|word| !word.is_empty()) {
        match lines.last_mut() {
            Some(line) if line.is_empty() => line.push_str(word),
            Some(line) if line.chars().count() + 1 + word.chars().count() <= wide => {
                line.push(' ');
                line.push_str(word);
            }
            _ => lines.push(word.to_owned()),
        }
    }
    lines.into_iter().map(|line| line.replace('\u{a0}', " ")).collect()
}
