//! The pitch asked for is the pitch that the finished blade shows: in its picture, and from the punched marks forwards.

#![allow(clippy::unwrap_used, clippy::panic, reason = "helpers of tests count as tests")]

use std::f64::consts::TAU;

use blade::{Part, Sections, Stage};
use design::Design;
use forge::{Stock, Stretch, Twisting};
use laminate::{
    Billet, Colouring, Direction, Fineness, LayerSet, MaterialMap, Picture, Recipe, StackPoint, View,
    steel_colour,
};

/// Profiles with layered bars: flat and hollow ground, in mm and inches, ground square and forged square, a cut tip.
const NAMES: [&str; 5] =
    ["bell-ringers-seax", "chain-smiths-trial", "inch-barge-seax", "landing-seax", "toll-keepers-langseax"];

/// A profile whose layered bars all have this twist.
fn twisted(name: &str, twist: &str) -> Design {
    let text = fixtures::profiles::named(name).text;
    let (mut lines, mut inside, mut bar) = (Vec::new(), false, false);
    for line in text.lines() {
        bar = if line.starts_with('[') { line == "[[bar]]" } else { bar };
        inside |= line.starts_with("twist = [");
        let own =
            inside || (bar && ["direction", "phase", "squaring"].iter().any(|key| line.starts_with(key)));
        inside &= !line.ends_with(']');
        if !own {
            lines.push(line.to_owned());
        }
        if bar && line.starts_with("layers = ") {
            lines.push(format!("twist = [{twist}]"));
        }
    }
    let text = lines.join("\n") + "\n";
    design::read(text.as_bytes()).unwrap_or_else(|p| panic!("{name}: {p:#?}\n{text}"))
}

fn pitched(name: &str, pitch: f64) -> Design {
    twisted(name, &format!("{{ hand = \"left\", pitch = \"{pitch} mm\" }}"))
}

/// The same stack with one thin bright layer in the middle of each twisted bar: it comes to mid-face twice a turn,
/// however deep the face was ground.
fn striped(design: &Design) -> MaterialMap {
    let recipe = design.billet().unwrap().recipe().clone();
    let mut bars = recipe.bars.clone();
    for bar in bars.iter_mut().filter(|bar| bar.twist.is_twisted()) {
        (bar.layers, bar.direction) =
            (LayerSet::stacked(&[(0, 40.0), (1, 1.0), (0, 40.0)], 1).unwrap(), Direction::Upright);
    }
    let billet = Billet::new(Recipe { bars, ..recipe }).unwrap();
    MaterialMap::new(billet, Sections::of(&design.blade().loft(Stage::Forged))).unwrap()
}

/// Middles of the bright stripes along the middle of a bar's face in the picture of the finished blade, mm.
fn stripes(
    lay: &MaterialMap,
    finished: &Sections,
    picture: &Picture,
    bar: usize,
    (dots, pitch): (f64, f64),
) -> Vec<f64> {
    let middle = lay.billet().stacked(Part::Blade, 0.0).into_iter().find(|(b, _)| *b == bar).unwrap().1;
    let up = 0.5 * (middle[0] + middle[1]);
    let [dark, bright] = [0, 1].map(|steel| f64::from(steel_colour(steel).srgb[1]));
    let is_bright = |x: f64| {
        let plane = lay.plane(x)?;
        let (y, _) = plane.blade_point(StackPoint { part: Part::Blade, along: 0.0, up, through: 0.0 });
        let (low, high) = finished.at(x)?.range();
        let (column, row) = ((x - picture.left) * dots, (picture.top - y) * dots);
        let pixel = picture.rgb[3 * (row as usize * picture.width + column as usize) + 1];
        (y > low + 0.3 && y < high - 0.3).then_some((f64::from(pixel) - dark) / (bright - dark) > 0.5)
    };
    let end = finished.fan_start() - 0.1 * pitch;
    let columns = (0..(end * dots) as usize).map(|i| (i as f64 + 0.5) / dots);
    let bright: Vec<f64> = columns.filter(|&x| is_bright(x) == Some(true)).collect();
    // The row of pixels steps along the bar's middle, and a stripe may be cut by a step.
    let groups = bright.chunk_by(|a, b| b - a < 0.1 * pitch);
    groups.map(|g| g.iter().sum::<f64>() / g.len() as f64).filter(|x| *x > 0.1 * pitch).collect()
}

#[test]
fn stripes_on_the_finished_skin_stand_half_a_pitch_apart_to_half_a_percent() {
    const DOTS: f64 = 20.0;
    for (name, pitch) in NAMES.into_iter().zip([80.0, 72.0, 65.0, 90.0, 120.0]) {
        let design = pitched(name, pitch);
        let lay = striped(&design);
        let finished = Sections::of(&design.blade().loft(Stage::Finished));
        let fine = Fineness { dots: DOTS, samples: 2, bleed: false };
        let picture = Picture::new(&lay, &finished, View::Right, Colouring::Steels, fine).unwrap();
        let bars = lay.billet().bars().iter().enumerate().filter(|(_, b)| b.twist.is_twisted());
        for (bar, _) in bars {
            let found = stripes(&lay, &finished, &picture, bar, (DOTS, pitch));
            let last = finished.fan_start() - 0.65 * pitch;
            assert!(found.len() > 3 && found.iter().any(|x| *x > last), "{name} {bar}: {found:?}");
            for x in &found {
                let off = x / (0.5 * pitch) - (x / (0.5 * pitch)).round();
                // Of half a pitch, so that two neighbours are half a percent of a pitch apart at most.
                assert!(off.abs() < 0.005, "{name} bar {bar}: a stripe at {x}, off by {off}");
            }
            let gaps = found.windows(2).map(|w| (w[1] - w[0]) / (0.5 * pitch));
            gaps.for_each(|gap| assert!((gap - 1.0).abs() < 0.005, "{name} bar {bar}: {gap}"));
        }
    }
}

/// Stations of punch marks and turns done at them, for a stretch on a bar whose shoulder and length are known.
fn forwards(design: &Design, stock: &Stock, twisting: &Twisting, stretch: &Stretch) -> Vec<(f64, f64)> {
    let (lay, billet) = (design.lay().unwrap(), design.billet().unwrap());
    let tang = billet.bars().iter().find(|b| b.name == twisting.bar).unwrap().tang;
    let shoulder = design.forging().crop + if tang { stock.stack.length_mm[1] } else { 0.0 };
    let longer = stock.stack.length_mm[0] / lay.along(lay.sections().range().1);
    let marks = stretch.pitch.as_ref().unwrap();
    let last = marks.punch_mm.len() - 1;
    let turns = |k: usize| {
        marks.turns_each * k as f64 + if k == last { marks.turns_last - marks.turns_each } else { 0.0 }
    };
    let station = |mark: f64| lay.station((mark - shoulder).max(0.0) / longer);
    marks.punch_mm.iter().enumerate().map(|(k, &mark)| (station(mark), turns(k))).collect()
}

/// From the rounded marks on, twisted by hand between them and drawn out, every turn comes out within 2 % of its pitch.
#[test]
fn turns_between_the_punched_marks_come_out_within_two_percent() {
    for name in NAMES {
        // Half as long again as what the bar bears in one round of heats.
        let first = Twisting::all(&pitched(name, 200.0), &Stock::of(&pitched(name, 200.0)).unwrap());
        let bears = first.iter().flat_map(|t| &t.stretches).filter_map(|s| s.pitch.as_ref());
        let pitch = (1.5 * bears.map(|p| p.tightest_mm[0]).fold(0.0, f64::max)).round();
        let design = pitched(name, pitch);
        let stock = Stock::of(&design).unwrap();
        for twisting in Twisting::all(&design, &stock) {
            for stretch in &twisting.stretches {
                let seen = forwards(&design, &stock, &twisting, stretch);
                let fan = design.lay().unwrap().sections().fan_start();
                let marks = stretch.pitch.as_ref().unwrap();
                assert!((seen.last().unwrap().1 - stretch.turns).abs() < 1e-9, "{name}");
                assert_eq!(stretch.rounds, 1);
                let whole = (1.0 / marks.turns_each).round().max(1.0) as usize;
                let pairs = seen.iter().zip(seen.iter().skip(whole)).filter(|(_, ahead)| ahead.0 < fan);
                for (back, ahead) in pairs {
                    let got = (ahead.0 - back.0) / (ahead.1 - back.1);
                    assert!(
                        (got / pitch - 1.0).abs() < 0.02,
                        "{name} {}: {got} for {pitch} at {}",
                        twisting.bar,
                        back.0
                    );
                }
                for (x, turns) in seen.iter().filter(|s| s.0 < fan) {
                    assert!((x / pitch - turns).abs() < 0.02, "{name}: {turns} turns at {x} of {pitch}");
                }
            }
        }
    }
}

/// The plan tells where a bar tears first and what it bears by the same law as `check` does.
#[test]
fn the_tightest_pitch_is_borne_and_a_tighter_one_is_told() {
    for name in ["landing-seax", "bell-ringers-seax"] {
        let marks = |pitch: f64| {
            let design = pitched(name, pitch);
            let all = Twisting::all(&design, &Stock::of(&design).unwrap());
            let warned = design.warnings().iter().filter(|w| w.code == "tight-twist").count();
            (all[0].stretches[0].clone(), warned)
        };
        let least = marks(200.0).0.pitch.unwrap().tightest_mm;
        let [one, two] = least;
        for (pitch, rounds, tears) in [
            (one * 1.001, 1, false),
            (one * 0.999, 2, false),
            (two * 1.001, 2, false),
            (two * 0.999, 2, true),
        ] {
            let (stretch, warned) = marks(pitch);
            assert_eq!(
                (stretch.rounds, stretch.may_tear, warned > 0),
                (rounds, tears, tears),
                "{name} {pitch}"
            );
            let told = stretch.pitch.as_ref().unwrap();
            assert!((told.tightest_mm[1] / two - 1.0).abs() < 1e-9);
            assert!(stretch.done().windows(2).all(|w| w[1] > w[0]) && stretch.done().len() == stretch.heats);
            assert!((stretch.done().last().unwrap() - stretch.turns).abs() < 1e-9);
        }
    }
}

#[test]
fn marks_are_on_the_grid_and_stretches_end_where_the_next_begins() {
    let design = twisted(
        "landing-seax",
        "{ hand = \"right\", pitch = 80 }, { from = 100, to = 160, straight = true }, { hand = \"right\", pitch = 80 }",
    );
    for twisting in Twisting::all(&design, &Stock::of(&design).unwrap()) {
        let hands: Vec<&str> = twisting.stretches.iter().map(|s| s.hand).collect();
        assert_eq!(hands, ["right", "straight", "right"]);
        assert!(twisting.stretches.windows(2).all(|w| (w[0].marks_mm[1] - w[1].marks_mm[0]).abs() < 1e-9));
        let bar = design.billet().unwrap().bars().iter().find(|b| b.name == twisting.bar).unwrap();
        let lay = design.lay().unwrap();
        let turns = (bar.twist.angle(lay.along(100.0)) / TAU, twisting.stretches[0].turns);
        assert!((turns.0 - 1.25).abs() < 1e-7 && (turns.1 - 1.25).abs() < 1e-7, "{turns:?}");
        for stretch in [&twisting.stretches[0], &twisting.stretches[2]] {
            let marks = stretch.pitch.as_ref().unwrap();
            assert!(marks.punch_mm.iter().all(|m| (2.0 * m - (2.0 * m).round()).abs() < 1e-9));
            assert!(marks.punch_mm.windows(2).all(|w| w[1] > w[0]));
            for (mark, end) in [
                (marks.punch_mm[0], stretch.marks_mm[0]),
                (*marks.punch_mm.last().unwrap(), stretch.marks_mm[1]),
            ] {
                assert!((mark - end).abs() <= 0.25 + 1e-9, "{mark} {end}");
            }
        }
    }
}
