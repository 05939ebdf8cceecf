//! Mass and balance by statics, and guard and pommel for them, in words.

use design::Figures;

use crate::compare::day::Day;
use crate::compare::fittings::{Barrier, Change, HiltWay, Mount};
use crate::compare::hilt::Hilt;
use crate::compare::lever::{Levered, Told};
use crate::report::text::Words;

impl Words {
    /// What weights clamped on and supports tell of the blade, and what to mount.
    pub(crate) fn hilt(&self, day: &Day) -> Vec<String> {
        let Some(levered) = &day.levered else { return Vec::new() };
        let mut lines = self.levered(levered, day);
        if let Some(hilt) = &day.hilt {
            lines.extend(self.mounted(hilt));
        }
        lines
    }

    /// Mass and balance, and what does not agree.
    fn levered(&self, l: &Levered, day: &Day) -> Vec<String> {
        let f = self.figures;
        if l.absurd {
            return vec![format!(
                "by weights and supports it would weigh {}, which no blade does: a station, its sign or a mass is wrong. \
                 Stations on the tang are below 0",
                f.mass(l.steel_g)
            )];
        }
        let mut lines = vec![format!(
            "by {}: {} ±{} of bare steel, {}",
            listed(l.by.iter().map(|t| told(*t))),
            f.mass(l.steel_g),
            f.mass(l.steel_band_g),
            self.balance_within(l.balance_mm, l.balance_band_mm)
        )];
        if !l.contradicted.is_empty() {
            let what = listed(l.contradicted.iter().map(|t| told(*t)));
            lines.push(format!(
                "  these can't all be right ({what}): weigh and read them again. The figures lie between them"
            ));
        }
        lines.extend(self.taken(l));
        lines.extend(self.apart(l, day));
        lines
    }

    /// What was taken from elsewhere, or could be.
    fn taken(&self, l: &Levered) -> Option<String> {
        let has = |t: Told| l.by.contains(&t);
        if has(Told::Rebuilt) {
            return Some(
                "  the mass is taken from breadth and thickness, for one balance with weights tells no mass: weigh it, or read \
                 its bare `balance` too"
                    .to_owned(),
            );
        }
        (has(Told::Supports) && !has(Told::Weight)).then(|| {
            format!(
                "  write {} as `weight` too, and it counts in the thickness",
                self.figures.mass(l.steel_g)
            )
        })
    }

    /// Where breadth and thickness say otherwise.
    fn apart(&self, l: &Levered, day: &Day) -> Option<String> {
        let off = l.steel_g - day.bench.steel_g;
        let moved = l.balance_mm - day.bench.steel_balance_mm;
        let apart = off.abs() > l.steel_band_g.hypot(day.bench_band.steel_g)
            || moved.abs() > l.balance_band_mm.hypot(day.bench_band.steel_balance_mm);
        apart.then(|| {
            format!(
                "  breadth and thickness say {} ±{}, {}: the tang is not as planned, or one of them was misread",
                self.figures.mass(day.bench.steel_g),
                self.figures.mass(day.bench_band.steel_g),
                self.balance_within(day.bench.steel_balance_mm, day.bench_band.steel_balance_mm)
            )
        })
    }

    /// The finished blade with its fittings, and what brings it to the targets.
    fn mounted(&self, hilt: &Hilt) -> Vec<String> {
        let f = self.figures;
        let mut lines = vec![format!(
            "finished, with the design's fittings on {} of steel: {} ±{}, {}",
            f.mass(hilt.finished_steel_g),
            f.mass(hilt.mass_g),
            f.mass(hilt.mass_band_g),
            self.balance_within(hilt.balance_mm, hilt.balance_band_mm)
        )];
        lines.extend(hilt.targets.iter().map(|t| format!("  {}", t.text(f))));
        if hilt.targets.is_empty() {
            lines.push(
                "  the design has no target of mass or balance: write them under [targets] to be told guard and pommel"
                    .to_owned(),
            );
        }
        let can = hilt.ways.iter().filter(|w| w.barrier.is_none());
        let (can, cant): (Vec<_>, Vec<_>) =
            (can.collect(), hilt.ways.iter().filter(|w| w.barrier.is_some()).collect());
        if !hilt.ways.is_empty() && can.is_empty() {
            lines.push(
                "  neither other masses nor another place of guard and pommel reach this: change the targets, or the steel \
                 (`fit` tells by how much)"
                    .to_owned(),
            );
        }
        lines.extend(can.into_iter().map(|w| format!("  would reach it: {}", self.change(w, hilt))));
        lines.extend(
            cant.into_iter().filter_map(|w| Some(format!("  would not: {}", self.barrier(w, hilt)?))),
        );
        lines
    }

    /// What a change makes of guard and pommel.
    fn change(&self, way: &HiltWay, hilt: &Hilt) -> String {
        let f = self.figures;
        let mass = |m: &Mount| format!("{} ±{}", f.mass(m.mass_g), f.mass(m.mass_band_g));
        let place = |m: &Mount| format!("its middle {} ±{}", behind(m.at_mm, f), f.told(m.at_band_mm));
        // What may as well weigh nothing is not needed.
        let of = |name: &str, m: &Mount| match m.mass_g <= m.mass_band_g {
            true => format!(
                "{name} is not needed (anything up to {} is within the band)",
                f.mass(m.mass_g + m.mass_band_g)
            ),
            false => format!("{name} of {}", mass(m)),
        };
        let guard = way.guard.as_ref().map_or_else(String::new, |m| of("the guard", m));
        let (pommel, weighs) = (of(pommel(hilt), &way.pommel), mass(&way.pommel));
        match way.change {
            Change::PommelMass => format!("{pommel}, all else as designed"),
            Change::GuardMass => format!("{guard}, all else as designed"),
            Change::PommelPlace => format!("the pommel as heavy as designed, {}", place(&way.pommel)),
            Change::BothMasses => format!("{guard} and {pommel}"),
            Change::PommelMassAndPlace => format!("a pommel of {weighs}, {}", place(&way.pommel)),
        }
    }

    /// What a change would ask for, and why it can't be.
    fn barrier(&self, way: &HiltWay, hilt: &Hilt) -> Option<String> {
        let f = self.figures;
        let pommel = pommel(hilt);
        let what = match way.change {
            Change::PommelMass => format!("another mass of {pommel}"),
            Change::GuardMass => "another mass of the guard".to_owned(),
            Change::PommelPlace => "another place of the pommel".to_owned(),
            Change::BothMasses => format!("other masses of the guard and {pommel}"),
            Change::PommelMassAndPlace => "a pommel of another mass at another place".to_owned(),
        };
        let why = match way.barrier? {
            Barrier::TooLight(g) if g < 0.0 => "it would have to weigh less than nothing".to_owned(),
            Barrier::TooLight(g) => format!("no fitting is as light as {}", f.mass(g)),
            Barrier::TooHeavy(g) => format!("{} is more than the bare blade weighs", f.mass(g)),
            Barrier::BeyondTang(at) => {
                format!("its middle would be {}, beyond the tang's end", behind(at, f))
            }
            Barrier::InGrip(at) => {
                format!("its middle would be {}, in the grip or ahead of it", behind(at, f))
            }
            Barrier::NoLever => "it does not move the balance so".to_owned(),
            Barrier::MassMissed(g) => {
                let change = self.change(way, hilt);
                return Some(format!(
                    "{change}: the balance comes right, but all together weighs {}",
                    f.mass(g)
                ));
            }
        };
        Some(format!("{what}: {why}"))
    }
}

/// What a pommel is called.
fn pommel(hilt: &Hilt) -> &'static str {
    if hilt.stand_in { "a pommel at the tang's end" } else { "the pommel" }
}

/// A station of the hilt.
fn behind(mm: f64, figures: Figures) -> String {
    let side = if mm > 0.0 { "ahead of" } else { "behind" };
    format!("{} {side} the shoulder", figures.told(mm.abs()))
}

/// What a figure is from.
fn told(told: Told) -> &'static str {
    match told {
        Told::Weight => "the scales",
        Told::Balance => "the bare balance",
        Told::Weights => "the balance with weights",
        Told::Supports => "the scales under the supports",
        Told::Rebuilt => "the mass by caliper",
    }
}

/// Words with commas, and an `and` before the last.
fn listed<'w>(words: impl Iterator<Item = &'w str>) -> String {
    let words: Vec<&str> = words.collect();
    match words.split_last() {
        Some((last, rest)) if !rest.is_empty() => format!("{} and {last}", rest.join(", ")),
        _ => words.concat(),
    }
}
