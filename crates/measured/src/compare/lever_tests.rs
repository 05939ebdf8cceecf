//! Statics of weights clamped on and of supports, and guard and pommel for the targets, against hand and book.

use std::sync::LazyLock;

use design::{Compared, Design};

use crate::compare::bench::Bench;
use crate::compare::fittings::{Barrier, Change, HiltWay};
use crate::compare::lever::{Levered, Told};
use crate::file::reading::{Quantity, Reading};
use crate::fixtures::{design, design_with};
use crate::surplus::mass_balance::{MassBalance, MassBand};

/// Hilt and targets for the plain design.
const HILT: &str = "[tang]\nform = \"hidden\"\nlength = 120\nbreadth = 14\n[[fitting]]\nkind = \"guard\"\nat = -4\nlength = 8\n\
                    mass = 40\n[[fitting]]\nkind = \"grip\"\nat = -58\nlength = 100\nmass = 45\n[[fitting]]\nkind = \
                    \"pommel\"\nat = -116\nlength = 16\nmass = 60\n";

fn reading(what: Quantity, station: f64, value: f64) -> Reading {
    Reading { value, written: format!("{value:.3}"), line: 2, ..Reading::at(what, station, 0.0) }
}

/// What a rough guess of the blade and these readings come to.
fn levered(readings: &[Reading]) -> Levered {
    static DESIGN: LazyLock<Design> = LazyLock::new(design);
    let bench =
        MassBalance { steel_g: 500.0, steel_balance_mm: 60.0, fitted_g: 500.0, fitted_balance_mm: 60.0 };
    let band = MassBand { steel_g: 80.0, steel_balance_mm: 20.0 };
    Levered::new(&DESIGN, readings, &bench, &band).unwrap()
}

fn near(a: f64, b: f64, most: f64) {
    assert!((a - b).abs() <= most, "{a} {b}");
}

/// FAA-H-8083-1, Aircraft Weight and Balance Handbook, a nosewheel aeroplane: 340 lb on the nosewheel, 78 in ahead of
/// the main wheels, 2006 lb in all; it balances 13.2 in ahead of the main wheels (as a study guide quotes it). Here the
/// main wheels' scales stand at station 0 and the nosewheel's at −78, in g and mm.
#[test]
fn two_scales_balance_as_the_handbook_has_it() {
    let found = levered(&[reading(Quantity::Support, 0.0, 1666.0), reading(Quantity::Support, -78.0, 340.0)]);
    near(found.steel_g, 2006.0, 1e-6);
    near(found.balance_mm, -13.2, 0.05);
    near(found.balance_mm, -340.0 * 78.0 / 2006.0, 1e-6);
    assert_eq!((found.by, found.contradicted), (vec![Told::Supports], vec![]));
}

/// A blade of mass m that balances at b, with weights on: B = (m·b + Σ w·x)/(m + Σ w).
#[test]
fn levers_are_undone() {
    for (m, b) in [(420.0, 75.0), (950.0, 160.0), (180.0, -10.0)] {
        for weights in [&[(100.0, -90.0)][..], &[(250.0, -40.0), (60.0, 200.0)]] {
            let (w, t): (f64, f64) = weights.iter().fold((0.0, 0.0), |(w, t), (g, x)| (w + g, t + g * x));
            let with = (m * b + t) / (m + w);
            let clamped = weights.iter().map(|(g, x)| reading(Quantity::ClampedWeight, *x, *g));
            let lever: Vec<Reading> = clamped.chain([reading(Quantity::ClampedBalance, 0.0, with)]).collect();
            // With its weight, with its bare balance, and with another lever.
            let weighed = levered(&[lever.clone(), vec![reading(Quantity::Weight, 0.0, m)]].concat());
            near(weighed.balance_mm, b, 1e-6);
            let other = (m * b + 500.0 * -100.0) / (m + 500.0);
            let second = [
                reading(Quantity::ClampedWeight, -100.0, 500.0),
                reading(Quantity::ClampedBalance, 0.0, other),
            ];
            for more in [&[reading(Quantity::Balance, 0.0, b)][..], &second] {
                let found = levered(&[&lever[..], more].concat());
                if !found.by.contains(&Told::Rebuilt) {
                    near(found.steel_g, m, 1e-6 * m);
                    near(found.balance_mm, b, 1e-6);
                    assert!(found.steel_band_g > weighed.steel_band_g && found.contradicted.is_empty());
                }
            }
            // Alone it tells no mass: that is taken from breadth and thickness.
            let alone = levered(&lever);
            assert!(alone.by.contains(&Told::Rebuilt));
            near(alone.steel_g, 500.0, 1e-6);
        }
    }
}

/// What is off by a band's worth stays within it: a thousand blades, each read with its errors.
#[test]
fn bands_hold_what_was_read_off() {
    let mut dice = 11_u64;
    let mut normal = || -> f64 {
        // The sum of twelve even draws is all but normal.
        (0..12)
            .map(|_| {
                dice = dice.wrapping_mul(6_364_136_223_846_793_005).wrapping_add(1_442_695_040_888_963_407);
                (dice >> 11) as f64 / (1_u64 << 53) as f64
            })
            .sum::<f64>()
            - 6.0
    };
    let (m, b, w, x) = (640.0, 95.0, 300.0, -80.0);
    let mut inside = [0; 4];
    for _ in 0..1000 {
        let with = (m * b + w * (x + 0.5 * normal())) / (m + w) + 1.5 * normal();
        let lever = [
            reading(Quantity::ClampedWeight, x, w),
            reading(Quantity::ClampedBalance, 0.0, with),
            reading(Quantity::Weight, 0.0, m),
        ];
        let (ends, scale) = ([-60.0, 240.0], 0.05);
        let right = m * (b - ends[0]) / (ends[1] - ends[0]);
        let placed = |i: usize, dice: f64| ends[i] + 0.5 * dice;
        let supports = [
            reading(Quantity::Support, placed(0, normal()), m - right + scale * normal()),
            reading(Quantity::Support, placed(1, normal()), right + scale * normal()),
        ];
        for (i, found) in [levered(&lever), levered(&supports)].into_iter().enumerate() {
            inside[2 * i] += usize::from((found.steel_g - m).abs() <= found.steel_band_g + 0.01);
            inside[2 * i + 1] += usize::from((found.balance_mm - b).abs() <= found.balance_band_mm);
        }
    }
    assert!(inside.iter().all(|n| *n > 930) && inside[1] < 985 && inside[3] < 985, "{inside:?}");
}

#[test]
fn contradictions_and_absurd_masses_are_told() {
    let supports = [reading(Quantity::Support, 0.0, 300.0), reading(Quantity::Support, 200.0, 300.0)];
    let fine = levered(&[&supports[..], &[reading(Quantity::Weight, 0.0, 600.1)]].concat());
    assert!(fine.contradicted.is_empty() && !fine.absurd);
    let off = levered(&[&supports[..], &[reading(Quantity::Weight, 0.0, 660.0)]].concat());
    assert!(off.contradicted.contains(&Told::Weight), "{off:?}");
    let off = levered(&[&supports[..], &[reading(Quantity::Balance, 0.0, 70.0)]].concat());
    assert!(off.contradicted.contains(&Told::Balance), "{off:?}");
    // The balance moves away from the weight: less than no mass.
    let absurd = levered(&[
        reading(Quantity::ClampedWeight, -100.0, 200.0),
        reading(Quantity::ClampedBalance, 0.0, 150.0),
        reading(Quantity::Balance, 0.0, 80.0),
    ]);
    assert!(absurd.absurd && absurd.known.is_none(), "{absurd:?}");
}

fn bench(design: &Design, rows: &str) -> Bench {
    let text = format!("date,stage,station,what,measured\n2026-03-14,finished,,,\n{rows}");
    let sessions = crate::read(text.as_bytes(), design).unwrap_or_else(|p| panic!("{p:#?}"));
    Bench::from_sessions(design, &sessions, None).unwrap().unwrap()
}

/// Supports under a blade of this mass and balance (from the guard's front, here the shoulder).
fn supports(mass: f64, balance: f64) -> String {
    let right = mass * (balance + 60.0) / 260.0;
    format!(",,-60,support,{:.4}\n,,200,support,{right:.4}\n", mass - right)
}

/// Masses and stations of the hilt's parts, and what blade and hilt come to.
fn mounted(mass: f64, balance: f64, way: &HiltWay) -> [f64; 2] {
    let guard = way.guard.unwrap();
    let parts =
        [(mass, balance), (guard.mass_g, guard.at_mm), (45.0, -58.0), (way.pommel.mass_g, way.pommel.at_mm)];
    let whole: f64 = parts.iter().map(|p| p.0).sum();
    [whole, parts.iter().map(|p| p.0 * p.1).sum::<f64>() / whole]
}

#[test]
fn guard_and_pommel_bring_the_weighed_blade_to_its_targets() {
    let design = design_with(&format!("{HILT}[targets]\nmass = 540\nbalance = 30\n"));
    let bench = bench(&design, &supports(330.0, 100.0));
    let hilt = bench.last().hilt.as_ref().unwrap();
    // Nothing is read of its thickness, so it is as planned, finished: nothing is left to take off.
    near(hilt.finished_steel_g, 330.0, 0.5);
    near(hilt.mass_g, 475.0, 0.5);
    assert!(!hilt.targets.iter().all(design::Target::is_reached) && !hilt.stand_in);
    let mut reached = 0;
    for way in &hilt.ways {
        let [mass, balance] = mounted(hilt.finished_steel_g, 100.0, way);
        near(balance, 30.0, 0.2);
        if way.barrier.is_none() {
            near(mass, 540.0, 0.6);
            reached += 1;
        }
    }
    assert!(reached > 0, "{:#?}", hilt.ways);
    let text = bench.text();
    assert!(text.contains("would reach it") && text.contains("scales under the supports"), "{text}");
}

#[test]
fn one_target_asks_for_less_and_none_for_nothing() {
    let balance = design_with(&format!("{HILT}[targets]\nbalance = \"at most 25 mm\"\n"));
    let bench = bench(&balance, &supports(330.0, 100.0));
    let hilt = bench.last().hilt.as_ref().unwrap();
    let changes: Vec<Change> = hilt.ways.iter().map(|w| w.change).collect();
    for change in [Change::PommelMass, Change::GuardMass, Change::PommelPlace] {
        assert!(changes.contains(&change), "{changes:?}");
    }
    let pommel = hilt.ways.iter().find(|w| w.change == Change::PommelMass).unwrap();
    near(mounted(hilt.finished_steel_g, 100.0, pommel)[1], 25.0, 0.2);
    assert!(pommel.barrier.is_none() && pommel.pommel.mass_band_g > 0.0);
    // A guard so near the balance would have to be a sledge.
    let guard = hilt.ways.iter().find(|w| w.change == Change::GuardMass).unwrap();
    assert!(matches!(guard.barrier, Some(Barrier::TooHeavy(_))), "{guard:?}");
    let place = hilt.ways.iter().find(|w| w.change == Change::PommelPlace).unwrap();
    assert!(matches!(place.barrier, Some(Barrier::BeyondTang(_))), "{place:?}");
    let none = self::bench(&design_with(HILT), &supports(330.0, 100.0));
    let hilt = none.last().hilt.as_ref().unwrap();
    assert!(hilt.targets.is_empty() && hilt.ways.is_empty() && none.text().contains("[targets]"));
}

#[test]
fn what_no_hilt_reaches_is_said() {
    let design = design_with(&format!("{HILT}[targets]\nmass = 350\nbalance = 140\n"));
    let bench = bench(&design, &supports(330.0, 100.0));
    let hilt = bench.last().hilt.as_ref().unwrap();
    assert!(!hilt.ways.is_empty() && hilt.ways.iter().all(|w| w.barrier.is_some()), "{hilt:#?}");
    let text = bench.text();
    assert!(text.contains("neither other masses nor another place"), "{text}");
    assert!(!text.contains("NaN") && !text.contains("inf"), "{text}");
    // Reached, there is nothing to change.
    let met =
        design_with(&format!("{HILT}[targets]\nmass = \"at most 600 g\"\nbalance = \"at most 90 mm\"\n"));
    let met = self::bench(&met, &supports(330.0, 100.0));
    assert!(met.last().hilt.as_ref().unwrap().ways.is_empty());
    // Without fittings a pommel stands in at the tang's end.
    let bare =
        design_with("[tang]\nform = \"hidden\"\nlength = 120\nbreadth = 14\n[targets]\nbalance = 60\n");
    let bare = self::bench(&bare, &supports(330.0, 100.0));
    let hilt = bare.last().hilt.as_ref().unwrap();
    assert!(hilt.stand_in && hilt.ways.len() == 1, "{hilt:#?}");
    near(hilt.ways[0].pommel.mass_g, 330.0 * 40.0 / 180.0, 0.2);
    assert!(bare.text().contains("a pommel at the tang's end"), "{}", bare.text());
}

/// A blade that still has steel to lose is told by what it comes to when finished.
#[test]
fn what_is_still_to_take_off_is_taken_off_first() {
    let design = design_with(HILT);
    let text = "date,stage,station,what,measured\n2026-03-14,ground,,,\n";
    let plan = bench(&design, ",,,weight,360\n");
    assert!(plan.last().hilt.is_none() && plan.last().levered.is_none());
    let sessions = crate::read(format!("{text}{}", supports(360.0, 100.0)).as_bytes(), &design).unwrap();
    let bench = Bench::from_sessions(&design, &sessions, None).unwrap().unwrap();
    let (hilt, day) = (bench.last().hilt.as_ref().unwrap(), bench.last());
    let off = day.ways.last().unwrap().take_off_g;
    assert!(off > 1.0, "{off}");
    near(hilt.finished_steel_g, 360.0 - off, 1e-6);
}

/// A pommel that may as well weigh nothing is not asked for, whether it comes out a little over it or a little under; one
/// that must weigh something, or that would have to pull up, is told as before.
#[test]
fn a_pommel_within_its_band_of_nothing_is_not_needed() {
    let of = |target: f64| {
        let design = design_with(&format!(
            "[tang]\nform = \"hidden\"\nlength = 120\nbreadth = 14\n[targets]\nbalance = {target}\n"
        ));
        let bench = bench(&design, &supports(330.0, 100.0));
        let way = bench.last().hilt.as_ref().unwrap().ways[0].clone();
        (way, bench.text())
    };
    for target in [99.6, 100.4] {
        let (way, text) = of(target);
        assert!(way.pommel.mass_g.abs() < way.pommel.mass_band_g && way.barrier.is_none(), "{way:?}");
        assert!(text.contains("a pommel at the tang's end is not needed (anything up to"), "{text}");
    }
    let (heavy, text) = of(60.0);
    assert!(
        heavy.pommel.mass_g > heavy.pommel.mass_band_g && !text.contains("not needed"),
        "{heavy:?} {text}"
    );
    let (lifting, text) = of(110.0);
    assert!(matches!(lifting.barrier, Some(Barrier::TooLight(g)) if g < 0.0), "{lifting:?}");
    assert!(!text.contains("not needed"), "{text}");
}
