//! Fits of every profile: to targets known to be reachable, and to others.

use std::path::Path;

use design::Compared;

use crate::edit::{Editor, Figures};
use crate::knob::{Knob, Limit};
use crate::{Ceiling, FitFault, Fitted, fit, within};

fn profiles() -> Vec<(String, String)> {
    let folder = Path::new(env!("CARGO_MANIFEST_DIR")).join("../../profiles");
    let mut all: Vec<_> = std::fs::read_dir(folder).unwrap().map(|e| e.unwrap().path()).collect();
    all.sort();
    all.iter().map(|p| (p.display().to_string(), std::fs::read_to_string(p).unwrap())).collect()
}

fn with(text: &str, targets: &str) -> String {
    // Where a profile has targets of its own, they stand at its end.
    let own = text.find("[targets]").unwrap_or(text.len());
    format!("{}\n[targets]\n{targets}\n", &text[..own])
}

fn design(text: &str) -> design::Design {
    design::read(text.as_bytes()).unwrap_or_else(|p| panic!("{p:#?}"))
}

fn fitted(text: &str) -> Fitted {
    fit(text.as_bytes()).unwrap_or_else(|why| panic!("{why:?}"))
}

/// The shares of change as parts of their limits, squared and added up.
fn size(changes: &[(f64, f64)]) -> f64 {
    changes.iter().map(|(by, limit)| (by / limit).powi(2)).sum()
}

/// What the starter file offers as targets can be met by what it lets `fit` change.
#[test]
fn the_starters_targets_are_reached() {
    for unit in [design::Unit::Millimetre, design::Unit::Inch] {
        let text = design::starter("Oar", unit);
        let (head, rest) = text.split_once("# [targets]").unwrap();
        let (table, tail) = rest.split_once("\n\n").unwrap();
        let result = fitted(&format!("{head}[targets]{}\n\n{tail}", table.replace("\n# ", "\n")));
        assert!(result.reached && !result.changes.iter().all(|c| c.by.abs() < 1e-9), "{result:#?}");
    }
}

#[test]
fn every_profile_reaches_what_a_known_change_gives_by_no_greater_change() {
    let limits = "taper = 20\nbreadth = 5\nfittings = 40";
    let known = [-0.07, 0.05, -0.02, 0.1, -0.1];
    for (name, text) in profiles() {
        let start = with(&text, &format!("mass = \"500 g\"\n{limits}"));
        let before = design(&start);
        let knobs = Limit::all(&before);
        let changes: Vec<(&Knob, f64)> = knobs.iter().map(|l| &l.knob).zip(known).collect();
        let changed = Editor::new(&start, &before).unwrap().changed(&changes, Figures::Whole);
        let there = design(&changed);
        let loft = there.blade().loft(blade::Stage::Finished);
        let swing = there.swing(&loft, &loft.moments());
        for targets in [
            format!("mass = \"{} g\"", swing.mass),
            format!("steel = \"{} g\"\nbalance = \"{} mm\"", swing.steel_mass, swing.balance),
        ] {
            let result = fitted(&with(&text, &format!("{targets}\n{limits}")));
            assert!(result.reached, "{name}: {result:#?}");
            let made: Vec<_> = result.changes.iter().map(|c| (c.by, c.limit)).collect();
            let known: Vec<_> = changes.iter().zip(&knobs).map(|((_, by), l)| (*by, l.most)).collect();
            assert!(size(&made) <= size(&known) * 1.001, "{name}: {made:?}");
            // The new file stands on its own.
            assert!(design(&result.file).against_targets().iter().all(design::Target::is_reached), "{name}");
        }
    }
}

#[test]
fn comments_and_everything_else_stay() {
    let (_, text) = profiles().into_iter().find(|(name, _)| name.contains("chain-smiths")).unwrap();
    let start = with(&text, "steel = 600 # for the ferryman's arm\ntaper = 30 # percent");
    let result = fitted(&start);
    let differing: Vec<_> = start.lines().zip(result.file.lines()).filter(|(a, b)| a != b).collect();
    assert_eq!(start.lines().count(), result.file.lines().count());
    assert!(
        !differing.is_empty()
            && differing.iter().all(|(a, _)| a.starts_with("back = ") || a.starts_with("grind = ")),
        "{differing:#?}"
    );
    assert!(result.file.contains("# for the ferryman's arm"));
    let with_returns = fitted(&start.replace('\n', "\r\n"));
    assert_eq!(with_returns.file, result.file.replace('\n', "\r\n"));
}

/// A fit of weight and balance leaves all that bars say as it is, comments too.
#[test]
fn what_bars_say_stays() {
    let text = fixtures::commented::COMMENTED;
    let (mass, balance) = mass_and_balance(text);
    let limits = "taper = 20\nbreadth = 8";
    let start = format!("{text}[targets]\nmass = \"{} g\" # lighter\n{limits}\n", 0.97 * mass);
    let result = fitted(&start);
    assert!(result.reached && balance > 0.0, "{result:#?}");
    let differing: Vec<_> = start.lines().zip(result.file.lines()).filter(|(a, b)| a != b).collect();
    assert_eq!(start.lines().count(), result.file.lines().count());
    let changed = |line: &str| ["back = ", "breadth = "].iter().any(|key| line.starts_with(key));
    assert!(!differing.is_empty() && differing.iter().all(|(a, _)| changed(a)), "{differing:#?}");
    let (was, is) = (design(text), design(&result.file));
    let bars = |design: &design::Design| {
        let bars = design.billet().unwrap().bars().to_vec();
        bars.into_iter()
            .map(|bar| (bar.name, bar.direction, bar.slope, bar.share, bar.plugs))
            .collect::<Vec<_>>()
    };
    assert_eq!(bars(&was), bars(&is));
}

#[test]
fn lists_may_be_written_in_line_and_outlines_as_points() {
    let text = "name = \"Punt seax\"\ntaper = [{ at = 0, back = 6, grind = 5.5 }, { at = 290, back = 3 }] # thin\n\
                fitting = [{ kind = \"pommel\", at = -110, length = 12, diameter = 24, material = \"brass\" }]\n\
                [outline]\nform = \"points\"\nback = [[0, 33], { at = [200, 36], corner = true }, [300, 8]]\n\
                edge = [[0, 0], [200, 0], [300, 7]]\n";
    let result = fitted(&with(text, "steel = 300\nbalance = 65\ntaper = 40\nbreadth = 20\nfittings = 80"));
    assert!(result.reached, "{result:#?}");
    for kept in ["# thin", "at = 290", "corner = true", "material = \"brass\""] {
        assert!(result.file.contains(kept), "{kept} in\n{}", result.file);
    }
    for gone in ["back = 6,", "[0, 33]", "diameter = 24"] {
        assert!(!result.file.contains(gone), "{gone} in\n{}", result.file);
    }
}

/// What the finished blade of a design with these targets weighs, g, and where it balances, mm.
fn mass_and_balance(text: &str) -> (f64, f64) {
    let design = design(text);
    let loft = design.blade().loft(blade::Stage::Finished);
    let swing = design.swing(&loft, &loft.moments());
    (swing.mass, swing.balance)
}

#[test]
fn a_blade_within_its_limits_is_left_alone_to_the_byte() {
    for (name, text) in profiles().into_iter().filter(|(name, _)| name.contains("knife")) {
        let (mass, balance) = mass_and_balance(&text);
        let (least, most) = (mass - 5.0, mass + 5.0);
        for targets in [
            format!("mass = \"at most {} g\"", mass.ceil()),
            format!("mass = \"at least {} g\"\nbalance = \"about {balance:.3} mm\"", mass.floor()),
            format!("mass = \"between {least:.1} g and {most:.1} g\"\ntaper = 0"),
            format!("mass = \"about {mass:.0} g\""),
        ] {
            let start = with(&text, &targets);
            let result = fitted(&start);
            assert!(result.reached && result.stopped_by.is_empty(), "{name}: {result:#?}");
            assert!(result.changes.iter().all(|c| c.by.abs() <= 0.0) && result.warnings.is_empty(), "{name}");
            assert_eq!(result.file, start, "{name}");
            assert!(result.text(&design(&start)).contains("nothing is changed"), "{name}");
        }
    }
}

#[test]
fn a_blade_beyond_a_limit_is_brought_just_within_it() {
    for (name, text) in profiles().into_iter().filter(|(name, _)| name.contains("knife")).take(1) {
        let (mass, _) = mass_and_balance(&text);
        let (less, more) = (0.96 * mass, 1.04 * mass);
        for (targets, low, high) in [
            (format!("mass = \"at most {less} g\""), 0.998 * less, less),
            (format!("mass = \"at least {more} g\""), more, 1.002 * more),
            (format!("mass = \"between {} and {less} g\"", 0.9 * mass), 0.998 * less, less),
            (format!("mass = \"about {less} g\""), 1.018 * less, 1.02 * less),
        ] {
            let result = fitted(&with(&text, &format!("{targets}\ntaper = 40\nbreadth = 10\nfittings = 50")));
            let (after, _) = mass_and_balance(&result.file);
            assert!(result.reached && after >= low && after <= high, "{name}: {targets}: {after} g");
        }
    }
}

/// A limit beside a single value: the value is met, the limit kept.
#[test]
fn limits_and_single_values_are_met_together() {
    let (_, text) = profiles().into_iter().find(|(name, _)| name.contains("landing-seax")).unwrap();
    let (mass, balance) = mass_and_balance(&text);
    let targets = format!("mass = {}\nbalance = \"at most {} mm\"", 0.97 * mass, balance - 4.0);
    let result = fitted(&with(&text, &format!("{targets}\ntaper = 40\nbreadth = 10\nfittings = 90")));
    let (after, there) = mass_and_balance(&result.file);
    assert!(result.reached, "{result:#?}");
    assert!((after / mass - 0.97).abs() < 1e-3 && there <= balance - 4.0, "{after} {there}");
}

#[test]
fn what_stops_it_is_named() {
    let (_, text) = profiles().into_iter().find(|(name, _)| name.contains("landing-seax")).unwrap();
    let light = fitted(&with(&text, "mass = 20\ntaper = 10\nbreadth = 2"));
    assert!(!light.reached);
    let all = light.stopped_by.join("\n");
    for word in ["thickness at the shoulder may change by −10 %", "breadth may change by −2 %"] {
        assert!(all.contains(word), "{word} in {all}");
    }
    // A rule of the blade stands in the way before the limit does.
    let thick = fitted(&with(&text, "mass = 2000\ntaper = 50").replace("[shop]", "[shop]\nbar = 8"));
    assert!(!thick.reached, "{thick:#?}");
    assert!(thick.stopped_by.iter().any(|s| s.contains("taper")), "{:?}", thick.stopped_by);
    let torn = fitted(&with(&text, "mass = 500\nsteel = 490\ntaper = 10"));
    assert!(!torn.reached && !torn.stopped_by.is_empty());
}

#[test]
fn what_cannot_be_fitted_is_told() {
    let text = "name = \"Oar\"\n[outline]\nlength = 200\nbreadth = 25\n[[taper]]\nat = 0\nback = 5\n";
    assert!(matches!(fit(text.as_bytes()), Err(FitFault::NoTargets)));
    assert!(matches!(fit(with(text, "mass = 90\ntaper = 0").as_bytes()), Err(FitFault::NothingMayChange)));
    assert!(matches!(fit(b"name = 3"), Err(FitFault::Problems(p)) if !p.is_empty()));
    let heavy = format!("{text}[[fitting]]\nkind = \"pommel\"\nat = -90\nmass = 900\n");
    assert!(matches!(fit(with(&heavy, "percussion = 100").as_bytes()), Err(FitFault::NoPercussion)));
}

#[test]
fn a_fit_gives_the_same_bytes_again() {
    let (_, text) = profiles().into_iter().next().unwrap();
    let start = with(&text, "mass = 700\nbalance = 80\ntaper = 30\nfittings = 50");
    assert_eq!(fitted(&start).file, fitted(&start).file);
}

#[test]
fn the_nearest_blade_lies_under_every_ceiling_and_keeps_what_it_can() {
    for (name, text) in profiles() {
        let before = design(&text);
        let (length, loft) = (before.blade().length(), before.blade().loft(blade::Stage::Finished));
        let at = 0.4 * length;
        let station = loft.station(at).unwrap();
        let ceiling = Ceiling { at, back: Some(0.95 * station.back), breadth: Some(0.99 * station.breadth) };
        let nearest = within(text.as_bytes(), &design(&text), &[ceiling]).unwrap();
        assert!(nearest.possible && nearest.stopped_by.is_none(), "{name}: {nearest:?}");
        let after = design(&nearest.file);
        let found = after.blade().loft(blade::Stage::Finished).station(at).unwrap();
        assert!(found.back < 0.951 * station.back && found.back > 0.945 * station.back, "{name}");
        assert!(found.breadth < 0.991 * station.breadth && found.breadth > 0.985 * station.breadth, "{name}");
        let none =
            within(text.as_bytes(), &design(&text), &[Ceiling { at, back: Some(50.0), breadth: None }])
                .unwrap();
        assert!(none.possible && none.changes.iter().all(|c| c.by.abs() < 1e-6), "{name}: {none:?}");
    }
    let (_, text) = profiles().into_iter().next().unwrap();
    let gone =
        within(text.as_bytes(), &design(&text), &[Ceiling { at: 100.0, back: Some(0.5), breadth: None }])
            .unwrap();
    assert!(!gone.possible && gone.stopped_by.is_some());
}
