//! Fits of patterns: to what known changes of a design gave, and to what can't be had.

use std::fmt::Write;
use std::path::Path;

use design::{Compared, Design, PatternTarget};

use crate::edit::{Editor, Figures};
use crate::knob::Knob;
use crate::{Fitted, fit};

/// Targets tried in an ordinary run; `SEAXWRIGHT_PATTERNS` changes the number.
const CASES: u64 = 200;
/// How near a target has to be met, as a share of it.
const NEAR: f64 = 5e-3;

/// Random numbers, the same in every run (splitmix64, Steele et al. 2014, from memory).
struct Dice(u64);

impl Dice {
    fn throw(&mut self) -> f64 {
        self.0 = self.0.wrapping_add(0x9e37_79b9_7f4a_7c15);
        let mut z = self.0;
        z = (z ^ (z >> 30)).wrapping_mul(0xbf58_476d_1ce4_e5b9);
        z = (z ^ (z >> 27)).wrapping_mul(0x94d0_49bb_1331_11eb);
        ((z ^ (z >> 31)) >> 11) as f64 / (1_u64 << 53) as f64
    }

    fn between(&mut self, low: f64, high: f64) -> f64 {
        low + (high - low) * self.throw()
    }

    fn of(&mut self, count: usize) -> usize {
        ((self.throw() * count as f64) as usize).min(count - 1)
    }
}

/// All profiles with several bars, without their own targets; those with plugs left out, which keep bars from getting as thin as
/// the changes here make them.
fn billets() -> Vec<(String, String)> {
    let folder = Path::new(env!("CARGO_MANIFEST_DIR")).join("../../profiles");
    let mut all: Vec<_> = std::fs::read_dir(folder).unwrap().map(|e| e.unwrap().path()).collect();
    all.sort();
    let read = |path: &std::path::PathBuf| {
        let text = std::fs::read_to_string(path).unwrap();
        let own = text.find("[targets]").unwrap_or(text.len());
        (path.file_stem().unwrap().to_string_lossy().into_owned(), text[..own].to_owned())
    };
    // Targets of the pattern are for stacks whose bars have places of their own.
    let alone = |b: &laminate::Billet| b.bars().len() > 1 && b.places() == b.bars().len();
    let several = |text: &str| design(text).billet().is_some_and(|b| alone(b) && !b.is_plugged());
    all.iter().map(read).filter(|(_, text)| several(text)).collect()
}

fn profile(name: &str) -> String {
    billets().into_iter().find(|(own, _)| own == name).unwrap().1
}

fn design(text: &str) -> Design {
    design::read(text.as_bytes()).unwrap_or_else(|p| panic!("{p:#?}\n{text}"))
}

fn fitted(text: &str) -> Fitted {
    fit(text.as_bytes()).unwrap_or_else(|why| panic!("{why:?}\n{text}"))
}

/// Pairs of neighbours twisted against each other at a station, mm.
fn opposed(design: &Design, at: f64) -> Vec<usize> {
    let lay = design.lay().unwrap();
    let s = lay.along(at);
    let rate = |i: usize| lay.billet().bars()[i].twist.rate(s);
    (1..lay.billet().bars().len()).map(|i| i - 1).filter(|i| rate(*i) * rate(i + 1) < 0.0).collect()
}

/// What is asked for, before it is known how much: the keys of `[targets]` with a mark for every value, in the order in which
/// a design tells them.
fn asked(design: &Design, dice: &mut Dice) -> String {
    let bars = design.billet().unwrap().bars();
    let last = design.blade().fan_start();
    let mut out = String::new();
    if dice.throw() < 0.5 {
        out += "edge_bar = @\n";
    }
    let (revealed, count) = (dice.throw() < 0.4, 1 + dice.of(bars.len().min(3)));
    for k in 0..count {
        let (bar, at) = (&bars[dice.of(bars.len())].name, dice.between(0.02, 0.98) * last);
        let reveal = if revealed && k == 0 { "reveal = @\n" } else { "" };
        write!(out, "[[targets.bar]]\nbar = \"{bar}\"\nat = \"{at:.2} mm\"\nbreadth = @\n{reveal}").unwrap();
    }
    let at = dice.between(0.05, 0.95) * last;
    for upper in opposed(design, at).into_iter().filter(|_| dice.throw() < 0.8) {
        let [a, b] = [&bars[upper].name, &bars[upper + 1].name];
        write!(out, "[[targets.chevrons]]\nbars = [\"{a}\", \"{b}\"]\nat = \"{at:.2} mm\"\n").unwrap();
    }
    out
}

/// The same with every mark filled in.
fn filled(marks: &str, values: &[String]) -> String {
    let mut values = values.iter();
    marks.split('@').map(str::to_owned).reduce(|all, rest| all + values.next().unwrap() + &rest).unwrap()
}

/// A change of all that a pattern may change, within what is allowed unless the file says more.
fn known(design: &Design, marks: &str, dice: &mut Dice) -> Vec<(Knob, f64)> {
    let bars = design.billet().unwrap().bars();
    let name = |i: usize| (i, bars[i].name.clone());
    let mut all: Vec<(Knob, f64)> = Vec::new();
    for i in 0..bars.len() {
        all.push((Knob::Height(i, name(i).1), dice.between(-0.25, 0.25)));
    }
    // Forging thicker or thinner shifts everything a little: it is changed only where a reveal gives it away.
    if marks.contains("reveal") {
        all.push((Knob::Allowance, dice.between(-0.3, 0.3)));
    }
    all
}

/// What a design comes to, in the words of a file.
fn values(found: &[PatternTarget]) -> Vec<String> {
    let one = |t: &PatternTarget| match t.aim.key() {
        "reveal" => Some(format!("\"{:.6} %\"", 100.0 * t.found?)),
        "chevrons" => None,
        _ => Some(format!("\"{:.6} mm\"", t.found?)),
    };
    found.iter().filter_map(one).collect()
}

/// One case: what a known change of a profile gives is asked of the profile itself.
fn case(seed: u64, billets: &[(String, String)]) -> Result<(), String> {
    let mut dice = Dice(seed);
    let (name, text) = &billets[dice.of(billets.len())];
    let plain = design(text);
    let marks = asked(&plain, &mut dice);
    let dummies = vec!["1".to_owned(); marks.matches('@').count()];
    let start = format!("{text}\n[targets]\n{}", filled(&marks, &dummies));
    let known = known(&plain, &marks, &mut dice);
    let changes: Vec<(&Knob, f64)> = known.iter().map(|(knob, by)| (knob, *by)).collect();
    let base = design(&start);
    let there = design(&Editor::new(&start, &base).unwrap().changed(&changes, Figures::Whole));
    let wanted = values(&there.against_pattern());
    let file = format!("{text}\n[targets]\n{}", filled(&marks, &wanted));
    let result = fitted(&file);
    let near = |t: &PatternTarget| t.off().is_some_and(|off| off.abs() <= NEAR);
    let again = design(&result.file).against_pattern();
    if result.reached && again.iter().all(near) {
        return Ok(());
    }
    Err(format!("{name}, seed {seed}:\n{}\n{}", &file[text.len()..], result.text(&base)))
}

#[test]
fn two_hundred_patterns_that_known_changes_gave_are_reached() {
    let cases = std::env::var("SEAXWRIGHT_PATTERNS").map_or(CASES, |n| n.parse().unwrap());
    let billets = billets();
    assert!(billets.len() >= 5, "{}", billets.len());
    let half = |odd: u64| {
        let seeds = (0..cases).filter(move |seed| seed % 2 == odd);
        seeds.filter_map(|seed| case(seed, &billets).err()).collect::<Vec<String>>()
    };
    let missed = std::thread::scope(|scope| {
        let other = scope.spawn(|| half(1));
        let own = half(0);
        [own, other.join().unwrap()].concat()
    });
    assert!(missed.is_empty(), "{} of {cases} missed:\n{}", missed.len(), missed.join("\n"));
}

/// The profile with these targets.
fn with(name: &str, targets: &str) -> String {
    format!("{}\n[targets]\n{targets}", profile(name))
}

#[test]
fn a_pattern_that_is_met_is_left_alone_and_one_beyond_a_limit_is_brought_within_it() {
    let met = with("landing-seax", "edge_bar = \"at least 6 mm\"\n");
    let result = fitted(&met);
    assert!(
        result.reached && result.file == met && result.text(&design(&met)).contains("nothing is changed")
    );
    let wanted = with("landing-seax", "edge_bar = \"at least 7 mm\" # for sharpening\n");
    let result = fitted(&wanted);
    let found = design(&result.file).against_pattern()[0].found.unwrap();
    assert!(result.reached && (7.0..7.02).contains(&found), "{found}");
    // The bars alone are changed, the stack stays as high as it is, and comments stay.
    let differing: Vec<_> = wanted.lines().zip(result.file.lines()).filter(|(a, b)| a != b).collect();
    assert!(
        differing.len() == 4 && differing.iter().all(|(a, _)| a.starts_with("height = ")),
        "{differing:?}"
    );
    let height =
        |text: &str| design(text).billet().unwrap().bars().iter().map(|b| b.height.at(0.0)).sum::<f64>();
    assert!(
        (height(&wanted) - height(&result.file)).abs() < 3e-3 && result.file.contains("# for sharpening")
    );
}

/// A reveal is reached by forging thicker; what that costs is told, and the stack is as wide as it must be.
#[test]
fn a_reveal_is_told_with_its_cost() {
    let start = with("landing-seax", "bar = [{ bar = \"Upper twist\", at = 120, reveal = \"30 %\" }]\n");
    let result = fitted(&start.replace("width = 12", "width = 7.9"));
    let (cost, after) = (result.cost.unwrap(), design(&result.file));
    assert!(result.reached && cost.steel_g[1] > cost.steel_g[0] + 10.0, "{cost:?}");
    let [steel, ground] = [cost.steel_g, cost.ground_g].map(|[was, is]| is - was);
    assert!((steel - ground).abs() < 1e-6, "the finished blade is the same: {cost:?}");
    let thickest = after.blade().loft(blade::Stage::Forged).bounds().1.z * 2.0;
    assert!((after.billet().unwrap().width() - thickest).abs() < 0.1 && cost.width_mm[1] > 7.9, "{cost:?}");
    let text = result.text(&after);
    for says in ["what the reveal costs", "steel of the forged blade", "to grind away", "width of the stack"]
    {
        assert!(text.contains(says), "{says} in\n{text}");
    }
}

#[test]
fn chevrons_meet_at_one_station_by_a_start_and_at_two_by_turns() {
    let chevrons =
        |at: &str| format!("[[targets.chevrons]]\nbars = [\"Upper twist\", \"Lower twist\"]\nat = {at}\n");
    let bent =
        |text: String| text.replacen("hand = \"left\", turns = 1,", "hand = \"left\", turns = 1.03,", 1);
    let one = fitted(&bent(with("landing-seax", &chevrons("120"))));
    let starts: Vec<_> = one.changes.iter().filter(|c| c.by.abs() > 1e-4).collect();
    assert!(one.reached && starts.iter().all(|c| c.unit == "turns"), "{starts:?}");
    assert!(one.file.contains("phase = "), "{}", one.file);
    let two = fitted(&bent(with("landing-seax", &format!("{}{}", chevrons("60"), chevrons("200")))));
    assert!(two.reached && two.changes.iter().any(|c| c.what.starts_with("turns of") && c.by.abs() > 1e-3));
    let none = with("landing-seax", &format!("turns = 0\n{}{}", chevrons("60"), chevrons("200")));
    let none = fitted(&bent(none));
    assert!(!none.reached && none.stopped_by.iter().any(|s| s.contains("[targets] turns")), "{none:#?}");
}

#[test]
fn layers_are_counted_to_what_is_asked_for() {
    let start = with("oar-wrights-knife", "bar = [{ bar = \"Grain\", at = 40, layers = \"at least 1\" }]\n");
    let now = design(&start).against_pattern()[0].found.unwrap();
    let more = start.replace("at least 1", &format!("at least {}", now + 2.0));
    let result = fitted(&more);
    let found = design(&result.file).against_pattern()[0].found.unwrap();
    assert!(result.reached && found >= now + 2.0 && found <= now + 6.0, "{now} {found}");
    assert!(result.changes.iter().any(|c| c.what.starts_with("layers of ")), "{:?}", result.changes);
    let kept = more.replace("[targets]\n", "[targets]\ncount = 0\n");
    assert!(matches!(fit(kept.as_bytes()), Err(crate::FitFault::NothingMayChange)));
}

/// What can't be had together is told with its limits, and what each target leaves of the others.
#[test]
fn what_targets_cost_each_other_is_told() {
    let start = with(
        "landing-seax",
        "edge_bar = \"at least 8.5 mm\"\n[[targets.bar]]\nbar = \"Upper twist\"\nat = 100\nbreadth = \"at least 9 mm\"\n",
    );
    let result = fitted(&start);
    let text = result.text(&design(&start));
    assert!(!result.reached && result.conflicts.len() == 2, "{text}");
    assert!(
        result.stopped_by.iter().any(|s| s.contains("height of Edge may change by +40 % at most")),
        "{text}"
    );
    let [edge, upper] = &result.conflicts[..] else { panic!("{text}") };
    assert!(edge.starts_with("edge bar (Edge)") && edge.contains("at least 8.50 mm leaves "), "{edge}");
    assert!(edge.contains(" for Upper twist, breadth at station 100 mm (at least 9.00 mm asked)"), "{edge}");
    assert!(upper.contains(" mm for edge bar (Edge)") && text.contains("what the targets cost each other"));
    let hidden =
        with("landing-seax", "[[targets.chevrons]]\nbars = [\"Upper twist\", \"Lower twist\"]\nat = 120\n");
    let alike = hidden.replace("hand = \"left\"", "hand = \"right\"");
    assert!(matches!(fit(alike.as_bytes()), Err(crate::FitFault::NotShown(_))));
}

/// Weight and pattern are met together.
#[test]
fn weight_and_pattern_are_met_together() {
    let start =
        with("landing-seax", "mass = 350\nbalance = 85\ntaper = 25\nbreadth = 4\nedge_bar = \"7 mm\"\n");
    let result = fitted(&start);
    assert!(result.reached, "{}", result.text(&design(&start)));
    assert!((design(&result.file).against_pattern()[0].found.unwrap() - 7.0).abs() < 7e-3);
}

/// The landing seax with bars that may be tapered.
fn tapering(targets: &str) -> String {
    let text = with("landing-seax", targets);
    let text = text
        .replace("height = 8\n", "height = [8, 8]\n")
        .replace("height = 15\n", "height = [15, 15] # the edge\n");
    text.replace("height = 9\n", "height = [9, 9]\n")
}

/// Where the blade broadens, a seam along its edge or its back wants bars that taper; even ones can't follow.
#[test]
fn a_seam_that_even_bars_cannot_follow_is_met_by_tapered_ones() {
    for (under, run) in
        [("Lower twist", "along the edge"), ("Upper twist", "along the edge"), ("Back", "along the back")]
    {
        let seam = format!(
            "heights = 30\n[[targets.seam]]\nunder = \"{under}\"\nrun = \"{run}\"\nto = 190\nwithin = 0.1\n"
        );
        let even = fitted(&with("landing-seax", &seam));
        let tapered = fitted(&tapering(&seam));
        let text = tapered.text(&design(&tapering(&seam)));
        assert!(!even.reached && tapered.reached, "{under} {run}\n{text}");
        assert!(
            tapered.changes.iter().any(|c| c.what.ends_with("at the point") && c.by.abs() > 1e-3),
            "{text}"
        );
        let found = design(&tapered.file).against_pattern()[0].found.unwrap();
        assert!(found <= 0.1001 && tapered.file.contains("] # the edge"), "{found}\n{}", tapered.file);
    }
}

/// Breadths that a known taper gives are reached from even bars.
#[test]
fn breadths_of_known_tapers_are_reached() {
    for seed in 0..24 {
        let mut dice = Dice(7_000 + seed);
        let base = tapering("heights = 60\n");
        let mut known = base.clone();
        for (from, at) in [("[8, 8]", [8.0, 8.0]), ("[15, 15]", [15.0, 15.0])] {
            let ends: [f64; 2] = at.map(|h| h * dice.between(0.85, 1.15));
            known = known.replace(from, &format!("[{:.3}, {:.3}]", ends[0], ends[1]));
        }
        let bar = |bar: &str, at: f64, broad: &str| {
            format!("[[targets.bar]]\nbar = \"{bar}\"\nat = {at}\nbreadth = {broad}\n")
        };
        let asked: Vec<(&str, f64)> =
            [10.0, 190.0].iter().flat_map(|&x| [("Back", x), ("Edge", x)]).collect();
        let marks = |text: &str, values: &[String]| {
            let all = asked.iter().zip(values).map(|((name, x), v)| bar(name, *x, v)).collect::<String>();
            format!("{text}{all}")
        };
        let there = design(&marks(&known, &vec!["1".to_owned(); 4]));
        let values: Vec<String> =
            there.against_pattern().iter().map(|t| format!("\"{:.6} mm\"", t.found.unwrap())).collect();
        let wanted = marks(&base, &values);
        let result = fitted(&wanted);
        assert!(
            result.reached,
            "{seed}\n{}\n{}",
            &wanted[wanted.len() - 500..],
            result.text(&design(&wanted))
        );
    }
}

/// A taper by places keeps its places; all its heights change alike.
#[test]
fn heights_at_places_change_alike() {
    let start = with("landing-seax", "edge_bar = \"at least 7 mm\"\n")
        .replace("height = 15\n", "height = [{ at = 0, is = 15 }, { at = 100, is = 12 }]\n");
    let result = fitted(&start);
    let height = |text: &str| design(text).billet().unwrap().bars()[3].height.clone();
    let (old, new) = (height(&start), height(&result.file));
    assert!(result.reached && new.at(0.0) > 15.1, "{}", result.text(&design(&start)));
    let times = [0.0, 50.0, 100.0].map(|s| new.at(s) / old.at(s));
    assert!(times.iter().all(|t| (t / times[0] - 1.0).abs() < 1e-3), "{times:?}");
    let even = start.replace("is = 12", "is = 15");
    assert!(height(&fitted(&even).file).is_even());
}
