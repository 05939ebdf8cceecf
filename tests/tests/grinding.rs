//! Grinding made up: planned blades with known surpluses, read as a smith reads them, rebuilt and compared with the truth.

#![allow(clippy::unwrap_used, clippy::panic, reason = "helpers of tests count as tests")]

use std::fmt::Write;
use std::sync::Arc;

use blade::{CrossSection, Loft, Sections, Stage};
use design::{Design, Unit};
use glam::DVec3;
use measured::Bench;

/// Made-up blades.
const CASES: u64 = 200;
/// What a caliper wavers by, as a standard deviation, mm.
const CALIPER: f64 = 0.02;

/// Share of the grinding just before the edge is sharpened, which comes last and which no caliper sees.
const UNSHARPENED: f64 = 0.999;

/// SplitMix64 (Steele, Lea and Flood 2014; from memory).
struct Dice(u64);

impl Dice {
    fn next(&mut self) -> u64 {
        self.0 = self.0.wrapping_add(0x9e37_79b9_7f4a_7c15);
        let z = (self.0 ^ (self.0 >> 30)).wrapping_mul(0xbf58_476d_1ce4_e5b9);
        let z = (z ^ (z >> 27)).wrapping_mul(0x94d0_49bb_1331_11eb);
        z ^ (z >> 31)
    }

    fn between(&mut self, low: f64, high: f64) -> f64 {
        low + (high - low) * (self.next() >> 11) as f64 / (1_u64 << 53) as f64
    }

    /// The sum of twelve even numbers less six: near enough to normal.
    fn normal(&mut self) -> f64 {
        (0..12).map(|_| self.between(0.0, 1.0)).sum::<f64>() - 6.0
    }
}

fn profiles() -> Vec<Design> {
    fixtures::profiles::all().iter().map(|profile| design::read(profile.text.as_bytes()).unwrap()).collect()
}

/// A blade whose every size is known.
struct Truth {
    loft: Arc<Loft>,
    sections: Sections,
    length: f64,
    level: f64,
    tilt: [f64; 2],
    bulge: f64,
    waves: [[f64; 3]; 2],
    broad: [f64; 3],
}

impl Truth {
    /// On some stage or, without fullers and holes (which are cut at one go), somewhere between two. The surplus has waves of
    /// 250 mm and more: shorter ones no caliper every 50 mm can tell from each other.
    fn new(design: &Design, dice: &mut Dice) -> Truth {
        let blade = design.blade();
        let spec = blade.spec();
        let share = if spec.fullers.is_empty() && spec.tang.holes.is_empty() {
            dice.between(0.0, UNSHARPENED)
        } else {
            blade.ground_share(Stage::ALL[(dice.next() % 3) as usize]).min(UNSHARPENED)
        };
        let loft = blade.loft_ground(share);
        let mut wave = || [dice.between(0.0, 0.15), dice.between(250.0, 900.0), dice.between(0.0, 6.3)];
        let waves = [wave(), wave()];
        Truth {
            sections: Sections::of(&loft),
            loft,
            length: blade.length(),
            level: dice.between(-0.1, 0.4),
            tilt: [dice.between(-0.2, 0.2), dice.between(-0.15, 0.15)],
            bulge: dice.between(-0.1, 0.1),
            waves,
            broad: [dice.between(0.0, 1.5), dice.between(0.0, 0.3), dice.between(250.0, 900.0)],
        }
    }

    /// How much thicker it is at station x and share s of the planned breadth, mm.
    fn over(&self, x: f64, s: f64) -> f64 {
        let (along, up) = (2.0 * x / self.length - 1.0, 2.0 * s - 1.0);
        let waves: f64 =
            self.waves.iter().map(|[a, l, p]| a * (std::f64::consts::TAU * x / l + p).sin()).sum();
        self.level + self.tilt[0] * along + self.tilt[1] * up + self.bulge * up * up + waves
    }

    fn broader(&self, x: f64) -> f64 {
        self.broad[0] + self.broad[1] * (std::f64::consts::TAU * x / self.broad[2]).sin()
    }

    /// Half the thickness at height y, as far as both sides are alike.
    fn half(&self, section: &CrossSection, x: f64, y: f64) -> f64 {
        let (low, high) = section.range();
        let (left, right) = section.flanks(y);
        (0.5 * (right - left + self.over(x, ((y - low) / (high - low)).clamp(0.0, 1.0)))).max(0.0)
    }

    fn volume(&self) -> f64 {
        const X: usize = 400;
        const Y: usize = 200;
        let mut sum = self.loft.moments().volume;
        for i in 0..X {
            let x = self.length * (i as f64 + 0.5) / X as f64;
            let Some(section) = self.sections.at(x) else { continue };
            let (low, high) = section.range();
            let bottom = (low - self.broader(x)).min(high);
            let step = (high - bottom) / Y as f64;
            let area: f64 =
                (0..Y).map(|k| 2.0 * self.half(&section, x, bottom + (k as f64 + 0.5) * step) * step).sum();
            sum += (area - section.area()) * self.length / X as f64;
        }
        // The tang carries on with the mean surplus of the shoulder.
        let at_shoulder = (0..50).map(|k| self.over(0.0, (f64::from(k) + 0.5) / 50.0)).sum::<f64>() / 50.0;
        let end = self.sections.range().0;
        for i in 0..X {
            let x = end * (i as f64 + 0.5) / X as f64;
            let (low, high) = self.sections.at(x).unwrap().range();
            sum += at_shoulder * (high - low) * -end / X as f64;
        }
        sum
    }

    /// What a smith writes down: every 50 mm the breadth, the back and three heights.
    fn file(&self, design: &Design, dice: &mut Dice) -> String {
        let mut text = String::from("date;station;what;height;measured\n");
        let unit = design.unit().millimetres();
        let mut row = |x: f64, what: &str, height: f64, value: f64| {
            let height = if height > 0.0 { format!("{}", height / unit) } else { String::new() };
            let cell = format!("{:.3}", value / unit).replace('.', ",");
            writeln!(text, "2026-05-04;{};{what};{height};{cell}", x / unit).unwrap();
        };
        let mut x = 10.0_f64.min(0.1 * self.length);
        let step = 50.0_f64.min(0.2 * self.length);
        while x < 0.94 * self.length {
            let section = self.sections.at(x).unwrap();
            let (low, high) = section.range();
            let breadth = high - low + self.broader(x);
            row(x, "breadth", 0.0, breadth + 2.0 * CALIPER * dice.normal());
            let back = self.loft.station(x).unwrap().back + self.over(x, 1.0);
            row(x, "back", 0.0, back + CALIPER * dice.normal());
            for share in [0.2, 0.45, 0.7] {
                let height = (share * breadth).round();
                let y = high - breadth + height;
                row(x, "thickness", height, 2.0 * self.half(&section, x, y) + CALIPER * dice.normal());
            }
            x += step;
        }
        text
    }
}

/// Worst and root-mean-square error of a made-up case, mm per side, the error of its mass as a share, and the share within which
/// it is told to lie.
fn errors(design: &Design, seed: u64) -> [f64; 4] {
    let mut dice = Dice(seed);
    let truth = Truth::new(design, &mut dice);
    let text = truth.file(design, &mut dice);
    let sessions = measured::read(text.as_bytes(), design).unwrap_or_else(|p| panic!("{p:#?}"));
    let bench = Bench::from_sessions(design, &sessions, None).unwrap().unwrap();
    let day = &bench.history().days[0];
    assert_eq!(day.set_aside, [], "{} {seed}", design.name());
    let target = Sections::of(&design.blade().loft(bench.next()));
    let (mut worst, mut squares, mut count) = (0.0_f64, 0.0, 0);
    for i in 0..60 {
        let x = truth.length * (0.03 + 0.87 * f64::from(i) / 59.0);
        let (here, plan) = (truth.sections.at(x).unwrap(), target.at(x).unwrap());
        let (low, high) = plan.range();
        for k in 0..15 {
            let y = low + (high - low) * (0.1 + 0.85 * f64::from(k) / 14.0);
            let (left, right) = plan.flanks(y);
            let (l, r) = here.flanks(y);
            let half = truth.half(&here, x, y);
            let middle = 0.5 * (l + r);
            for (z, wanted) in [(right + 1e-6, middle + half - right), (left - 1e-6, left - middle + half)] {
                let point = DVec3::new(x, y, z);
                let [told, band] = bench.over(point).unwrap();
                let off = bench.take_off(point).unwrap();
                assert!(off <= (told - band).max(0.0), "{x} {y}: {off} of {told} ±{band}");
                worst = worst.max((told - wanted).abs());
                squares += (told - wanted).powi(2);
                count += 1;
            }
        }
    }
    let mass = truth.volume() * design.density();
    let told = [day.bench.steel_g / mass - 1.0, day.bench_band.steel_g / mass];
    [worst, (squares / f64::from(count)).sqrt(), told[0], told[1]]
}

/// Bounds. A reading wavers by 0.02 mm in thickness, which is 0.01 mm a side, and by a fifth of the 0.04 mm by which the
/// breadth wavers where a bevel slopes. The waves made up here, 0.15 mm high and 250 mm long, leave a straight line
/// between readings 50 mm apart by 0.15 mm · (50 mm · τ / 250 mm)² / 8 = 0.03 mm, two of them by 0.06 mm, and half of that a
/// side; a smooth curve follows all but a fraction. Together: 0.02 mm a side in the root mean square. At the worst of the
/// 1800 places of a blade, up to 5 % of its length beyond the last reading, four times that, and five times on one blade in a
/// hundred. Mass is a mean over some
/// thirty readings, each good for 0.02 mm of 3 to 6 mm, with tang, edge strip and point guessed: within its own band in 95 of a
/// hundred, and 3 % at the most, for on the shortest knife the tang, which nobody reads, is almost half of it.
#[test]
fn two_hundred_blades_are_rebuilt_from_their_readings() {
    let profiles = profiles();
    let (mut all, mut held) = (Vec::new(), 0);
    for case in 0..CASES {
        let design = &profiles[case as usize % profiles.len()];
        let [worst, mean, mass, band] = errors(design, 77 + case);
        println!("{case} {} {worst:.3} {mean:.4} {:.3} ±{:.3} %", design.slug(), 100.0 * mass, 100.0 * band);
        held += usize::from(mass.abs() <= band);
        all.push((case, design.slug().to_owned(), worst, mean, mass));
    }
    let far = all.iter().filter(|(_, _, worst, ..)| *worst > 0.08).count();
    assert!(far as u64 <= CASES / 100, "{far} of {CASES} blades are more than 0.08 mm off somewhere");
    for (case, name, worst, mean, mass) in all {
        assert!(worst < 0.1, "{case} {name}: {worst} mm at the worst");
        // A little over what the caliper is good for: thirty readings are few where a field has a hump between them.
        assert!(mean < 0.025, "{case} {name}: {mean} mm");
        assert!(mass.abs() < 0.03, "{case} {name}: mass off by {mass}");
    }
    assert!(held as f64 >= 0.95 * CASES as f64, "{held} of {CASES} masses within their bands");
    assert!(profiles.iter().any(|d| d.unit() == Unit::Inch));
}

/// A tenfold thickness is asked for again, and nothing else is; one that reads a millimetre too much stands, as a hump, but
/// where a slip of its digits explains it.
#[test]
fn a_wrong_reading_among_many_is_named() {
    let profiles = profiles();
    let mut explained = 0;
    for case in 0..45 {
        let design = &profiles[case as usize % profiles.len()];
        let mut dice = Dice(1000 + case);
        let truth = Truth::new(design, &mut dice);
        let text = truth.file(design, &mut dice);
        let thick: Vec<usize> =
            text.lines().enumerate().filter(|(_, l)| l.contains(";back;")).map(|(i, _)| i).collect();
        let line = thick[dice.next() as usize % thick.len()];
        let unit = design.unit().millimetres();
        let wrong: String = text
            .lines()
            .enumerate()
            .map(|(i, l)| {
                let (head, value) = l.rsplit_once(';').unwrap();
                let value = value.replace(',', ".").parse::<f64>();
                match value.ok().filter(|_| i == line) {
                    Some(v) if case % 2 == 0 => format!("{head};{:.2}\n", 10.0 * v),
                    Some(v) => format!("{head};{:.3}\n", v + 1.0 / unit),
                    None => format!("{l}\n"),
                }
            })
            .collect();
        let sessions = measured::read(wrong.as_bytes(), design).unwrap_or_else(|p| panic!("{p:#?}"));
        let bench = Bench::from_sessions(design, &sessions, None).unwrap().unwrap();
        let (day, place) = (bench.last(), format!("line {}:", line + 1));
        let named: Vec<usize> = day.set_aside.iter().map(|a| a.line).collect();
        if case % 2 == 0 {
            assert_eq!(named, [line + 1], "{case} {}: {:#?}", design.slug(), day.set_aside);
            assert!(day.set_aside[0].words.contains("decimal point"), "{:?}", day.set_aside);
        } else if named == [line + 1] {
            // By chance two digits changed round explain it as well.
            assert!(day.set_aside[0].words.contains("would fit"), "{:?}", day.set_aside);
            explained += 1;
        } else {
            assert_eq!(named, [0; 0], "{case} {}: {:#?}", design.slug(), day.set_aside);
            let hump = |n: &String| n.starts_with(&place) && n.contains("counted as a hump");
            assert!(day.notes.iter().any(hump), "{case} {}: {:#?}", design.slug(), day.notes);
        }
    }
    // Of 22 humps: one in ten by chance, where the digit before the point is one more than the one behind it and both changed
    // round come 0.9 mm lower. Seven or more would hardly be chance (one in two hundred).
    assert!(explained < 7, "{explained} humps taken for slips");
}
