//! Whole comparisons on a plain design, each with something to find.

use blade::{Sections, Stage};
use design::Design;
use glam::DVec3;

use crate::compare::bench::Bench;
use crate::compare::standing::By;
use crate::file::reading::{Line, Quantity, Side};
use crate::fixtures::{design, design_with};
use crate::surplus::mass_balance::MassBalance;
use crate::surplus::planned::Planned;

/// Stations of the readings, mm.
const STATIONS: [f64; 6] = [10.0, 60.0, 110.0, 160.0, 200.0, 260.0];

/// Rows that a planned stage would give, thicker by `over` (mm) of station and height, and what else is given.
fn file(design: &Design, stage: Stage, over: impl Fn(f64, f64) -> f64, more: &str) -> String {
    let loft = design.blade().loft(stage);
    let sections = Sections::of(&loft);
    let mut text = "date,stage,station,what,height,measured\n2026-03-14,,,breadth,,\n".to_owned();
    for x in STATIONS {
        let station = loft.station(x).unwrap();
        text += &format!(",,{x},breadth,,{:.4}\n", station.breadth);
        text += &format!(",,{x},back,,{:.4}\n", station.back + over(x, station.breadth));
        let section = sections.at(x).unwrap();
        for share in [0.25, 0.5, 0.75] {
            let height = (share * station.breadth).round();
            let (left, right) = section.flanks(section.range().0 + height);
            text += &format!(",,{x},thickness,{height},{:.4}\n", right - left + over(x, height));
        }
    }
    text + more
}

fn bench(design: &Design, text: &str) -> Bench {
    let sessions = crate::read(text.as_bytes(), design).unwrap_or_else(|p| panic!("{p:#?}"));
    Bench::from_sessions(design, &sessions, None).unwrap().unwrap()
}

fn even(_: f64, _: f64) -> f64 {
    0.4
}

#[test]
fn a_slip_of_the_pen_is_named_and_changes_nothing() {
    let design = design();
    let right = file(&design, Stage::Ground, even, "");
    let sound = bench(&design, &right);
    assert_eq!(sound.last().set_aside, []);
    let line = right.lines().position(|l| l.starts_with(",,110,back")).unwrap();
    let value: f64 = right.lines().nth(line).unwrap().rsplit(',').next().unwrap().parse().unwrap();
    // 64 for 6.4.
    let cell = format!(",,110,back,,{value:.4}");
    let wrong = right.replacen(&cell, &format!(",,110,back,,{:.1}", 10.0 * value), 1);
    let slipped = bench(&design, &wrong);
    let [doubt] = &slipped.last().set_aside[..] else { panic!("{:?}", slipped.last().set_aside) };
    assert_eq!((doubt.line, doubt.what, doubt.station_mm), (line + 1, Quantity::Back, Some(110.0)));
    assert!((doubt.expected - value).abs() < 0.1, "{doubt:?}");
    let words =
        [format!("line {}", line + 1), "decimal point out of place".to_owned(), "if it stands".to_owned()];
    assert!(words.iter().all(|w| doubt.words.contains(w)), "{}", doubt.words);
    let off = slipped.last().bench.steel_g - sound.last().bench.steel_g;
    assert!(off.abs() < 0.5, "{off} g");
}

/// A slip within what steel may be is counted as neither: the band reaches to both, and nothing is taken off there. Said to
/// be sure, or read twice, it is the steel.
#[test]
fn a_doubt_is_settled_by_reading_again() {
    let design = design();
    let right = file(&design, Stage::Ground, even, "");
    let line = right.lines().find(|l| l.starts_with(",,110,thickness")).unwrap();
    let (place, value) = line.rsplit_once(',').unwrap();
    let low = format!("{:.2}", 0.1 * value.parse::<f64>().unwrap());
    let wrong = right.replacen(line, &format!("{place},{low}"), 1);
    let open = bench(&design, &wrong);
    assert_eq!(open.last().set_aside.len(), 1, "{:?}", open.last().set_aside);
    let twice = bench(&design, &format!("{wrong}{place},{low}\n"));
    assert_eq!(twice.last().set_aside, []);
    assert_eq!(twice.last().repeats.len(), 1);
    assert!(twice.text().contains("was read 2 times"), "{}", twice.text());
    let sure: String = wrong
        .lines()
        .map(|l| {
            if l.starts_with("date") {
                format!("{l},sure\n")
            } else if l.ends_with(&low) {
                format!("{l},yes\n")
            } else {
                format!("{l}\n")
            }
        })
        .collect();
    let sure = bench(&design, &sure);
    assert_eq!(sure.last().set_aside, []);
    for bench in [&twice, &sure] {
        let spot =
            bench.last().take_off.iter().find(|t| (t.station_mm - 110.0).abs() < 1e-9).unwrap().spots[0];
        assert!(spot.now_mm < 1.0 && matches!(spot.right, crate::Advice::Gone(_)), "{spot:?}");
    }
}

/// A millimetre too much is no slip of writing: it stands, as a hump no wider than was read.
#[test]
fn what_no_slip_explains_stands_at_its_own_width() {
    let design = design();
    let right = file(&design, Stage::Ground, even, "");
    let line = right.lines().find(|l| l.starts_with(",,110,back")).unwrap();
    let value: f64 = line.rsplit(',').next().unwrap().parse().unwrap();
    let humped = bench(&design, &right.replacen(line, &format!(",,110,back,,{:.4}", value + 1.0), 1));
    let day = humped.last();
    assert_eq!(day.set_aside, []);
    assert!(day.notes.iter().any(|n| n.contains("counted as a hump")), "{:?}", day.notes);
    let back = |x: f64| {
        let row = day.take_off.iter().find(|t| (t.station_mm - x).abs() < 1e-9).unwrap();
        row.spots.last().unwrap().right_mm
    };
    assert!((back(110.0) - 0.7).abs() < 0.03, "{}", back(110.0));
    assert!([60.0, 160.0].iter().all(|x| (back(*x) - 0.2).abs() < 0.03), "{} {}", back(60.0), back(160.0));
}

#[test]
fn stage_and_way_are_chosen_by_the_readings() {
    let design = design();
    for (stage, over, nearest, next) in [
        (Stage::Forged, 0.1, "forged", "ground"),
        (Stage::Ground, 0.5, "ground", "ground"),
        (Stage::Ground, 0.02, "ground", "finished"),
        (Stage::Finished, 0.02, "finished", "finished"),
    ] {
        let bench = bench(&design, &file(&design, stage, |_, _| over, ""));
        assert_eq!((bench.last().stage, bench.last().next), (nearest, next), "{stage} {over}");
    }
    let given = file(&design, Stage::Ground, even, "").replacen("2026-03-14,,", "2026-03-14,forged,", 1);
    assert_eq!(bench(&design, &given).last().stage, "forged");
    let weighed = "date,station,what,measured\n2026-03-14,,weight,1 lb\n";
    assert_eq!(bench(&design, weighed).last().stage, "forged");
}

/// What the stage is told by is said, and where thickness and weight tell otherwise, both: whether the steel counts as hard
/// may hang on it.
#[test]
fn what_tells_the_stage_is_said() {
    let design = design();
    let ground = MassBalance::planned(&design, &Planned::all(&design)[1]).steel_g;
    let thin = file(&design, Stage::Finished, |_, _| 0.05, "");
    let weight = format!(",,,weight,,{ground:.1} g\n");
    let only = format!("date,station,what,height,measured\n2026-03-14,,weight,,{ground:.1} g\n");
    let given = thin.replacen("2026-03-14,,", "2026-03-14,ground,", 1);
    for (text, by, by_weight, words) in [
        (thin.clone(), By::Thickness, None, "by its thickness nearest to the finished stage:"),
        (
            thin + &weight,
            By::Thickness,
            Some("ground"),
            "to the finished stage, by its weight to the ground:",
        ),
        (given, By::File, None, "at the ground stage by your file:"),
        (only, By::Weight, Some("ground"), "by its weight nearest to the ground stage:"),
    ] {
        let bench = bench(&design, &text);
        let day = bench.last();
        assert_eq!((day.stage_by, day.stage_by_weight), (by, by_weight), "{words}");
        assert!(bench.text().contains(words), "{words} in {}", bench.text());
    }
}

/// A caliper that reads 0.6 mm too thick everywhere beside scales that are right: both stories are told, the second with the
/// thickness that makes up for it, and nothing is told to come off that is not there.
#[test]
fn a_caliper_that_reads_too_thick_takes_no_steel() {
    let design = design();
    for truth in [0.2, 1.0] {
        let mass = bench(&design, &file(&design, Stage::Ground, |_, _| truth, "")).last().bench.steel_g;
        let weight = format!(",,,weight,,{mass:.1} g\n");
        let bench = bench(&design, &file(&design, Stage::Ground, |_, _| truth + 0.6, &weight));
        let day = bench.last();
        let weighed = day.weighed.unwrap();
        assert!(!weighed.agree && (weighed.even_mm + 0.6).abs() < 0.06, "{weighed:?}");
        assert!((weighed.unweighed_band_g - day.bench_band.steel_g).abs() < 0.01, "{weighed:?}");
        assert!(bench.text().contains("leave room for the scales to be right"), "{}", bench.text());
        assert_eq!(day.next, "ground");
        for spot in day.take_off.iter().flat_map(|row| &row.spots) {
            for off in [spot.right, spot.left] {
                assert!(off.millimetres() <= 0.5 * truth + 0.02, "{truth}: {spot:?}");
            }
        }
    }
}

/// What is to come off is told with what of it is counted as tang: where the scales say more than the readings, more of it.
#[test]
fn what_comes_off_is_told_in_its_parts() {
    let design = design();
    let plain = bench(&design, &file(&design, Stage::Ground, even, ""));
    let weight = format!(",,,weight,,{:.1} g\n", plain.last().bench.steel_g + 6.0);
    let heavy = bench(&design, &file(&design, Stage::Ground, even, &weight));
    let tangs = [&plain, &heavy].map(|b| b.last().ways[0].tang_g);
    assert!(tangs[0] > 1.0 && tangs[1] > tangs[0] + 0.5, "{tangs:?}");
    for way in &heavy.last().ways {
        assert!(way.tang_g < 0.5 * way.take_off_g, "{way:?}");
    }
    let text = heavy.text();
    assert!(
        text.contains(" on the blade, ") && text.contains("to match the scales, the blade counts as "),
        "{text}"
    );
}

#[test]
fn what_is_to_take_off_is_what_stands_over() {
    let design = design();
    let bench = bench(&design, &file(&design, Stage::Ground, even, ""));
    assert_eq!(bench.next(), Stage::Ground);
    let target = Sections::of(&design.blade().loft(Stage::Ground));
    for x in [20.0, 90.0, 150.0, 240.0] {
        let section = target.at(x).unwrap();
        let (low, high) = section.range();
        let y = 0.5 * (low + high);
        let (left, right) = section.flanks(y);
        for z in [left, right] {
            let point = DVec3::new(x, y, z);
            let ([over, band], off) = (bench.over(point).unwrap(), bench.take_off(point).unwrap());
            assert!((over - 0.2).abs() < 0.03, "{x} {z}: {over}");
            assert!(off <= (over - band).max(0.0) && band > 0.0, "{x} {z}: {off}");
        }
    }
    assert_eq!(bench.take_off(DVec3::new(-5.0, 0.0, 1.0)), bench.take_off(DVec3::new(900.0, 0.0, 1.0)));
    let day = bench.last();
    let ground = &day.ways[0];
    assert!((ground.take_off_g - (day.bench.steel_g - ground.planned.steel_g)).abs() < 0.5, "{ground:?}");
    assert!(ground.short.is_empty() && day.ways[1].stage == "finished");
}

#[test]
fn what_is_gone_is_listed_with_the_most_that_can_still_be() {
    let design = design();
    let gone = |x: f64, _: f64| if x > 150.0 && x < 210.0 { -0.6 } else { 0.3 };
    let bench = bench(&design, &file(&design, Stage::Finished, gone, ""));
    let day = bench.last();
    let short = &day.ways.last().unwrap().short;
    assert!(short.iter().all(|s| s.station_mm > 150.0 && s.station_mm < 210.0), "{short:#?}");
    let back = short.iter().rfind(|s| (s.station_mm - 160.0).abs() < 1e-9).unwrap();
    assert!((back.planned_mm - back.most_mm - 0.6).abs() < 0.15, "{back:?}");
    let way = day.ways.last().unwrap();
    assert!(way.reached.steel_g < way.planned.steel_g - 1.0, "{way:?}");
    assert!(bench.text().contains("already gone"), "{}", bench.text());
    // What it makes of any design weighs no more than it does.
    let broad = design_with("[tang]\nlength = 160\n");
    for other in [&design, &broad] {
        let made = bench.made_of(other).steel_g;
        assert!(made > 100.0 && made < 1.0005 * day.bench.steel_g, "{made} {}", day.bench.steel_g);
    }
}

/// Read as planned, and heavier or lighter on the scales: what thickness denies is not told to be ground, and no steel is
/// told to come off a blade that is too light already.
#[test]
fn weight_alone_takes_nothing_off() {
    let design = design();
    let planned = bench(&design, &file(&design, Stage::Finished, |_, _| 0.0, "")).last().bench.steel_g;
    let weighed = |more: f64| {
        let rows = format!(",,,weight,,{:.1} g\n", planned + more);
        bench(&design, &file(&design, Stage::Finished, |_, _| 0.0, &rows))
    };
    let heavy = weighed(12.0);
    let told = heavy.unexplained().unwrap();
    assert!(
        told.starts_with("finished: the weight says ") && told.contains("weigh and measure again"),
        "{told}"
    );
    assert!(heavy.text().contains(&told) && !heavy.text().contains(" to take off, then"), "{}", heavy.text());
    let light = weighed(-12.0);
    assert_eq!(light.unexplained(), None);
    let text = light.text();
    assert!(
        text.contains("finished: nothing to take off; already ") && text.contains(" lighter than planned"),
        "{text}"
    );
}

/// A number from scales that show another unit than the file's is asked for again as what it likely is.
#[test]
fn a_weight_in_another_unit_is_told() {
    for (unit, slip) in [("", "are these ounces?"), ("[units]\nmass = \"oz\"\n", "are these grams?")] {
        let design = design_with(unit);
        let planned = bench(&design, &file(&design, Stage::Finished, |_, _| 0.0, "")).last().bench.steel_g;
        // An ounce avoirdupois: the pound of 1959, 453.59237 g, over 16.
        let number = if unit.is_empty() { planned / 28.349_523 } else { planned };
        let rows = format!(",,,weight,,{number:.1}\n");
        let text = bench(&design, &file(&design, Stage::Finished, |_, _| 0.0, &rows)).text();
        assert!(text.contains(slip), "{text}");
    }
}

#[test]
fn narrow_breadths_count_at_the_edge() {
    let design = design();
    let text = file(&design, Stage::Finished, |_, _| 0.0, "");
    let narrow: String = text
        .lines()
        .map(|l| match l.rsplit_once(',') {
            Some((head, value)) if head.contains("breadth") && !value.is_empty() => {
                format!("{head},{:.4}\n", value.parse::<f64>().unwrap() - 1.5)
            }
            _ => format!("{l}\n"),
        })
        .collect();
    let bench = bench(&design, &narrow);
    let breadths: Vec<_> = bench.last().ways[0].short.iter().filter(|s| s.height_mm.is_none()).collect();
    assert_eq!(breadths.len(), STATIONS.len(), "{:#?}", bench.last().ways[0].short);
    assert!(breadths.iter().all(|s| (s.planned_mm - s.most_mm - 1.5).abs() < 0.1), "{breadths:#?}");
}

#[test]
fn sides_are_told_apart_where_they_were_read() {
    let design = design();
    let loft = design.blade().loft(Stage::Finished);
    let section = Sections::of(&loft).at(110.0).unwrap();
    let (left, right) = section.flanks(section.range().0 + 25.0);
    let more = format!(",,110,right,25,{:.4}\n,,110,left,25,{:.4}\n", right + 0.35, -left - 0.15);
    let bench = bench(&design, &file(&design, Stage::Finished, |_, _| 0.2, &more));
    let at = |z: f64| bench.over(DVec3::new(110.0, section.range().0 + 25.0, z)).unwrap()[0];
    assert!((at(right) - 0.35).abs() < 0.06 && (at(left) + 0.15).abs() < 0.06, "{} {}", at(right), at(left));
    let left = DVec3::new(110.0, section.range().0 + 25.0, left);
    assert!(bench.take_off(left).unwrap() < 0.0, "{:?}", bench.over(left));
    // Two sides, what is gone, and a field for each band: the map of an even blade has one side.
    let even = self::bench(&design, &file(&design, Stage::Finished, |_, _| 0.2, ""));
    assert!(
        !bench.is_even()
            && even.is_even()
            && bench.map(2.0).pictures[1].width == even.map(2.0).pictures[0].width
    );
}

#[test]
fn a_weighing_moves_the_thickness_and_a_wrong_one_does_not() {
    let design = design();
    let few = |more: &str| format!("date,station,what,measured\n2026-03-14,100,back,6.5\n{more}");
    let plain = bench(&design, &few(""));
    let mass = plain.last().bench.steel_g;
    let weighed = bench(&design, &few(&format!(",,weight,{}\n", mass * 1.06)));
    let told = weighed.last().weighed.unwrap();
    assert!((told.unweighed_g - mass).abs() < 1e-6 && told.moved_mm > 0.05, "{told:?}");
    assert!((weighed.last().bench.steel_g / mass - 1.06).abs() < 0.01);
    let text = file(&design, Stage::Ground, even, ",,,weight,,5 kg\n");
    let wrong = bench(&design, &text);
    // No slip makes 5 kg of it: both stories are told, and neither is dropped.
    assert!(!wrong.last().weighed.unwrap().agree && wrong.last().set_aside.is_empty());
    let text = wrong.text();
    assert!(
        ["5000.0 g", "if the readings are right", "if the scales are right"].iter().all(|w| text.contains(w)),
        "{text}"
    );
    // Ten times too much is a slip.
    let mass = bench(&design, &file(&design, Stage::Ground, even, "")).last().bench.steel_g;
    let slip =
        bench(&design, &file(&design, Stage::Ground, even, &format!(",,,weight,,{:.0}\n", 10.0 * mass)));
    assert!(slip.last().weighed.is_none());
    assert_eq!(slip.last().set_aside[0].what, Quantity::Weight);
    assert!(slip.last().set_aside[0].words.contains("decimal point"), "{:?}", slip.last().set_aside);
}

#[test]
fn the_finished_blade_s_balance_is_foretold() {
    let design = design();
    let bench = bench(&design, &file(&design, Stage::Ground, even, ",,,balance,,20\n"));
    let loft = design.blade().loft(Stage::Finished);
    let swing = design.swing(&loft, &loft.moments());
    let reached = bench.last().ways.last().unwrap().reached;
    assert!(
        (reached.steel_g - swing.mass).abs() < 0.1 && (reached.fitted_balance_mm - swing.balance).abs() < 0.1
    );
    // The balance that was read is far off, and it is said.
    assert!(bench.last().notes.iter().any(|n| n.contains("balances")), "{:?}", bench.last().notes);
}

#[test]
fn bows_are_told_apart_from_taper_and_shimmed() {
    let design = design();
    let loft = design.blade().loft(Stage::Ground);
    // Bent 1.2 mm to the left in the middle; the bar rests on both ends.
    let bow = |x: f64| -1.2 * (std::f64::consts::PI * x / 280.0).sin();
    let half = |x: f64| 0.5 * (loft.station(x).unwrap().back + even(x, 0.0));
    let skin = |x: f64| bow(x) + half(x);
    let bar = |x: f64| skin(0.0) + (skin(280.0) - skin(0.0)) * x / 280.0;
    let rows: String = [0.0, 70.0, 140.0, 210.0, 280.0]
        .iter()
        .map(|x| format!(",,{x},gap right back,,{:.4}\n", (bar(*x) - skin(*x)).max(0.0)))
        .collect();
    let text = file(&design, Stage::Ground, even, &format!("{rows},,,hardness,,220 HV\n"));
    let bench = bench(&design, &text);
    let warp = &bench.last().warp;
    let [found] = &warp.bows[..] else { panic!("{warp:?}") };
    assert!(found.sideways && found.line == Line::Back && (found.at_mm - 140.0).abs() < 1e-9);
    assert!((found.most_mm + 1.2).abs() < 0.05, "{found:?}");
    assert_eq!(warp.shims[0].side, Side::Right);
    // Straight, the shims make up for the taper alone.
    let taper = half(0.0) - half(280.0);
    assert!((warp.shims[0].shims_mm[4][1] - taper).abs() < 0.1, "{:?}", warp.shims);
    let sessions = crate::read(text.as_bytes(), &design).unwrap();
    let past = Bench::from_sessions(&design, &sessions, Some(1.5)).unwrap().unwrap();
    let shims = &past.last().warp.shims[0].shims_mm;
    // One and a half times the bow past straight, in the middle against the ends.
    let middle = shims[2][1] - 0.5 * (shims[0][1] + shims[4][1]);
    let straight = &warp.shims[0].shims_mm;
    let plain = straight[2][1] - 0.5 * (straight[0][1] + straight[4][1]);
    assert!((plain - middle - 1.8).abs() < 0.1, "{shims:?}");
    // The ground blade reads soft; the same blade finished is hard.
    assert!(past.text().contains("Not hardened yet") && !past.text().contains("tempered once more"));
    let hard = self::bench(&design, &text.replacen("2026-03-14,,", "2026-03-14,finished,", 1)).text();
    assert!(hard.contains("no hotter than it was tempered") && !hard.contains("Not hardened yet"), "{hard}");
}

#[test]
fn twist_comes_from_sticks_or_from_unlike_bows() {
    let design = design();
    let rows = ",,0,twist,,0\n,,280,twist,,-2.5 deg\n,,0,gap right back,,0\n,,140,gap right back,,1\n\
                ,,280,gap right back,,0\n,,0,gap left edge,,0\n,,140,gap left edge,,1\n,,280,gap left edge,,0\n";
    let bench = bench(&design, &file(&design, Stage::Ground, even, rows));
    let twists = &bench.last().warp.twists;
    assert!(twists[0].read && (twists[0].turn_deg[1][1] + 2.5).abs() < 1e-9);
    // The back stands a millimetre to the left, the edge one to the right: against the sun.
    assert!(!twists[1].read && twists[1].turn_deg[1][1] < -2.0, "{twists:?}");
    let plane = ",,0,gap edge,,0\n,,60,gap edge,,0.8\n,,120,gap edge,,0\n";
    let bench = self::bench(&design, &file(&design, Stage::Ground, even, plane));
    let [bow] = &bench.last().warp.bows[..] else { panic!("{:?}", bench.last().warp) };
    assert!(!bow.sideways && bow.line == Line::Edge && (bow.most_mm - 0.8).abs() < 0.1, "{bow:?}");
}

const CORE: &str = "[billet]\nwidth = 10\n[[layers]]\nname = \"Core\"\nsteels = [\"S235JR\", \"C105U\"]\ncount = 3\n\
                    thickness = [0.8, 2]\n[[bar]]\nheight = 30\nlayers = \"Core\"\ndirection = \"flat\"\n[[bar]]\n\
                    name = \"Rim\"\nheight = 6\nsteel = \"C105U\"\n";

#[test]
fn a_core_about_to_show_and_an_edge_bar_about_to_go_are_warned_of() {
    let design = design_with(CORE);
    let plan = bench(&design, &file(&design, Stage::Finished, even, ""));
    let deep = |x: f64, h: f64| if x > 150.0 && h > 24.0 { -1.5 } else { 0.3 };
    let cut = bench(&design, &file(&design, Stage::Finished, deep, ""));
    let (planned, cut) = (plan.last().bars.clone().unwrap(), cut.last().bars.clone().unwrap());
    let through = |b: &crate::BarsNow| b.warnings.iter().filter(|w| w.contains("ground through")).count();
    assert!(through(&cut) > through(&planned), "{:?} {:?}", planned.warnings, cut.warnings);
    assert!((planned.at[0].now_mm[1] - planned.at[0].planned_mm[1]).abs() < 0.2);
    let narrow = "date,station,what,measured\n2026-03-14,100,breadth,30\n,200,breadth,31\n,100,back,5.5\n";
    let bars = bench(&design, narrow).last().bars.clone().unwrap();
    assert!(bars.warnings.iter().any(|w| w.contains("edge bar (Rim)")), "{:?}", bars.warnings);
    assert!(bars.at.iter().all(|b| b.now_mm.iter().all(|w| *w >= 0.0)));
}

#[test]
fn a_history_makes_progress() {
    let design = design();
    let first = file(&design, Stage::Forged, |_, _| 0.1, "");
    let second = file(&design, Stage::Ground, even, "").replace("2026-03-14", "2026-03-20");
    let rows: String = second.lines().skip(1).map(|l| format!("{l}\n")).collect();
    let bench = bench(&design, &(first + &rows));
    let days = &bench.history().days;
    assert_eq!(days.iter().map(|d| d.date.as_str()).collect::<Vec<_>>(), ["2026-03-14", "2026-03-20"]);
    assert!(
        days[0].left_mm > days[1].left_mm && days[1].left_mm > 0.2,
        "{} {}",
        days[0].left_mm,
        days[1].left_mm
    );
    assert!(bench.text().contains("progress") && !bench.progress().unwrap().items.is_empty());
}

#[test]
fn the_same_file_gives_the_same_words_and_pictures() {
    let design = design();
    let text = file(&design, Stage::Ground, even, ",,,weight,,400\n");
    let (one, two) = (bench(&design, &text), bench(&design, &text));
    assert_eq!((one.text(), one.map(2.0)), (two.text(), two.map(2.0)));
}

/// Readings that no blade has, but that the door lets in.
#[test]
fn wild_readings_give_a_comparison_all_the_same() {
    let design = design();
    let head = "date,station,what,height,measured\n2026-03-14,,,,\n";
    let mut dice = 7_u64;
    let mut next = move |most: u64| {
        dice = dice.wrapping_mul(6_364_136_223_846_793_005).wrapping_add(1_442_695_040_888_963_407);
        (dice >> 33) % most
    };
    let mut fitted = 0;
    for _ in 0..60 {
        let rows: String = (0..next(40))
            .map(|i| {
                let x = next(309);
                let tenth = 0.1 * (1 + next(1499)) as f64;
                match next(7) {
                    0 => format!(",{x},breadth,,{tenth}\n"),
                    1 => format!(",{x},back,,{tenth}\n"),
                    2 => format!(",{x},edge,,{tenth}\n"),
                    3 => format!(",{x},right,{}.{i:02},{tenth}\n", 1 + next(8)),
                    4 => format!(",{x},gap left edge,,{}\n", 0.5 * tenth),
                    _ => format!(",{x},thickness,{}.{i:02},{tenth}\n", 1 + next(8)),
                }
            })
            .collect();
        let Ok(sessions) = crate::read(format!("{head}{rows}").as_bytes(), &design) else { continue };
        let Some(bench) = Bench::from_sessions(&design, &sessions, Some(2.0)).unwrap() else { continue };
        let day = bench.last();
        assert!(day.bench.steel_g.is_finite() && day.ways.iter().all(|w| w.reached.steel_g >= 0.0), "{rows}");
        assert!(!bench.text().contains("NaN") && !bench.map(1.0).pictures.is_empty());
        fitted += 1;
    }
    assert!(fitted > 20, "{fitted}");
}

#[test]
fn as_many_readings_as_are_let_in_are_fitted() {
    let design = design();
    let rows: String = (0..300)
        .map(|i| {
            let slip = if i % 40 == 0 { 10.0 } else { 1.0 };
            let back = design.blade().loft(Stage::Ground).station(f64::from(i)).unwrap().back;
            format!(",{i},back,{}\n", slip * (back + 0.4))
        })
        .collect();
    let bench = bench(&design, &format!("date,station,what,measured\n2026-03-14,,,\n{rows}"));
    assert_eq!(bench.last().set_aside.len(), 8);
}

/// A blade forged 1.2 mm outside its edge, 0.8 mm outside its back and 2 mm ahead of its point.
fn forged_outside() -> Design {
    design_with("[stages]\nforged = { outline = { edge = 1.2, back = 0.8, point = 2 } }\n")
}

/// Read as forged, a blade that is forged larger weighs what the forged stage does; what is to take off is, place by
/// place, what lies between the forged and the ground surface, and of the breadth as much as edge and back carry.
#[test]
fn an_outline_forged_larger_is_taken_off_at_edge_and_back() {
    let design = forged_outside();
    let bench = bench(&design, &file(&design, Stage::Forged, |_, _| 0.0, ""));
    let day = bench.last();
    assert_eq!((day.stage, day.next, day.set_aside.len()), ("forged", "ground", 0));
    let [forged, ground] = [Stage::Forged, Stage::Ground].map(|s| design.blade().loft(s));
    let planned = forged.moments().volume * design.density();
    assert!((day.bench.steel_g / planned - 1.0).abs() < 0.003, "{} {planned}", day.bench.steel_g);
    let off = planned - ground.moments().volume * design.density();
    assert!((day.ways[0].take_off_g - off).abs() < 0.03 * off, "{} {off}", day.ways[0].take_off_g);
    assert!(day.ways[0].short.is_empty(), "{:?}", day.ways[0].short);
    for row in day.take_off.iter().filter(|t| t.station_mm < 250.0) {
        let broader =
            forged.station(row.station_mm).unwrap().breadth - ground.station(row.station_mm).unwrap().breadth;
        assert!(broader > 1.95 && (row.breadth_over_mm - broader).abs() < 0.1, "{row:?} {broader}");
    }
    let [outer, inner] = [&forged, &ground].map(|l| Sections::of(l));
    for x in [20.0, 90.0, 150.0] {
        let (outer, inner) = (outer.at(x).unwrap(), inner.at(x).unwrap());
        for share in [0.1, 0.5, 0.9] {
            let (low, high) = inner.range();
            let y = low + share * (high - low);
            let [(_, far), (_, near)] = [outer.flanks(y), inner.flanks(y)];
            let over = bench.over(DVec3::new(x, y, near)).unwrap()[0];
            assert!((over - (far - near)).abs() < 0.04, "{x} {share}: {over} {}", far - near);
        }
    }
    assert!(
        day.notes.iter().any(|n| n.contains("1.20 mm at the edge and 0.80 mm at the back")),
        "{:?}",
        day.notes
    );
}

/// The ground blade has its outline: nothing of the allowance is told any more, and the same readings mean the same as on
/// a blade forged as it will be.
#[test]
fn a_ground_outline_carries_nothing_more() {
    let designs = [forged_outside(), design()];
    let days = designs.map(|d| {
        let bench = bench(&d, &file(&d, Stage::Ground, even, ""));
        let day = bench.last();
        (day.bench.steel_g, day.take_off[2].breadth_over_mm, day.notes.len())
    });
    assert!((days[0].0 - days[1].0).abs() < 0.3 && (days[0].1 - days[1].1).abs() < 0.02, "{days:?}");
    assert_eq!(days[0].2, days[1].2);
}

/// Half of the breadth gone while the sides stand as forged: what is left of the outline is told, and by its own.
#[test]
fn an_outline_ground_before_the_sides_is_told_by_its_breadth() {
    let design = forged_outside();
    let loft = design.blade().loft_between(0.0, 0.5);
    let mut text = "date,stage,station,what,height,measured\n2026-03-14,,,breadth,,\n".to_owned();
    for x in STATIONS {
        let station = loft.station(x).unwrap();
        text += &format!(",,{x},breadth,,{:.4}\n,,{x},back,,{:.4}\n", station.breadth, station.back);
    }
    let bench = bench(&design, &text);
    let steel = loft.moments().volume * design.density();
    assert!(
        (bench.last().bench.steel_g / steel - 1.0).abs() < 0.005,
        "{} {steel}",
        bench.last().bench.steel_g
    );
    assert!((bench.last().take_off[2].breadth_over_mm - 1.0).abs() < 0.1, "{:?}", bench.last().take_off[2]);
}

/// Nobody tells from breadths whether edge or back still carries what was forged larger. Wherever the blade may lie for all
/// that is read, with its back as forged or ground to its line already, the bands hold what stands over the next stage.
#[test]
fn bands_hold_wherever_the_back_may_lie() {
    let design = design_with("[stages]\nforged = { outline = { edge = 1, back = 2.5 } }\n");
    let bench = bench(&design, &file(&design, Stage::Forged, |_, _| 0.0, ""));
    let [forged, ground] = [Stage::Forged, Stage::Ground].map(|s| Sections::of(&design.blade().loft(s)));
    let (mut advised, mut places) = (0, 0);
    for (x, lower) in
        [40.0, 110.0, 180.0, 240.0].iter().flat_map(|x| [0.0, 1.0, 2.5].map(|lower| (*x, lower)))
    {
        let (outer, inner, slice) = (forged.at(x).unwrap(), ground.at(x).unwrap(), bench.section(x).unwrap());
        let (low, high) = inner.range();
        for k in 0..10 {
            let y = low + (high - low) * (0.05 + 0.09 * f64::from(k));
            let (far, near) = (outer.flanks(y + lower).1, inner.flanks(y).1);
            let ([over, band], off) =
                (slice.over(y, near + 1e-6).unwrap(), slice.take_off(y, near + 1e-6).unwrap());
            assert!(
                (over - (far - near)).abs() <= band,
                "{x} {lower} {k}: {over} for {} ±{band}",
                far - near
            );
            advised += usize::from(off > 0.0);
            places += 1;
        }
    }
    assert!(2 * advised > places, "{advised} of {places}");
}

#[test]
fn rounding_at_the_border_takes_no_steel_away() {
    let design = design::read(::fixtures::profiles::named("landing-seax").text.as_bytes()).unwrap();
    let file = "date,station,what,height,measured\n2026-05-02,40,back,,6.9\n2026-05-02,100,back,,6.7\n\
                2026-05-02,160,back,,6.4\n2026-05-02,220,back,,6.1\n2026-05-02,220,thickness,12,4\n";
    let sessions = crate::read(file.as_bytes(), &design).unwrap();
    let bench = Bench::from_sessions(&design, &sessions, None).unwrap().unwrap();
    for x in (0..620).map(|i| 0.5 * f64::from(i)) {
        let Some(slice) = bench.section(x) else { continue };
        let ((low, high), (a, b)) = (slice.planned(), slice.range());
        for y in [low, high, a, b] {
            let advice = slice.advice_at(y, 1.0);
            assert!(!matches!(advice, None | Some(crate::Advice::Gone(_))), "{x} {y} {advice:?}");
        }
    }
}
