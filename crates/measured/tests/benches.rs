//! A thousand made-up benches: planned blades with known surpluses, dips and humps, read as a smith reads them, with slips
//! of writing and with scales, rebuilt and compared with the truth.

#![allow(clippy::unwrap_used, clippy::panic, reason = "helpers of tests count as tests")]

mod made_up;

use design::Design;
use made_up::{Dice, Row, Truth};
use measured::{Bench, Stages};

/// Made-up benches; without the optimiser a few of them.
const CASES: u64 = if cfg!(debug_assertions) { 24 } else { 1000 };

/// A true dip or hump has so much of it in a reading, mm.
const DIP: f64 = 0.1;

/// What all benches come to.
#[derive(Debug, Default)]
struct Tally {
    benches: usize,
    /// Places looked at, those whose band holds the truth, those with advice, and those where advice goes below the next
    /// stage by more than the band.
    places: usize,
    held: usize,
    advised: usize,
    below: usize,
    slips: usize,
    named: usize,
    /// Sound readings, those asked for again, and true dips that were and that no band holds.
    sound: usize,
    asked: usize,
    rejected: usize,
    /// Worst error of the mass, as a share.
    mass: f64,
    /// Times that more readings raised the error beyond its band, and the mean errors with a third, two thirds and all.
    worse: usize,
    errors: [f64; 3],
}

/// Errors and bands of a bench at places over the blade, mm a side.
struct Look {
    error: f64,
    band: f64,
}

/// A design with its stages.
struct Plan {
    design: Design,
    stages: Stages,
}

fn bench(Plan { design, stages }: &Plan, text: &str) -> Bench {
    let sessions = measured::read(text.as_bytes(), design).unwrap_or_else(|p| panic!("{p:#?}\n{text}"));
    Bench::on(design, stages, &sessions, None).unwrap().unwrap()
}

/// Looks at the whole blade; with a tally it is counted.
fn look(design: &Design, truth: &Truth, bench: &Bench, mut tally: Option<&mut Tally>) -> Look {
    let target = blade::Sections::of(&design.blade().loft(bench.next()));
    let (mut squares, mut bands, mut count) = (0.0, 0.0, 0.0);
    for i in 0..45 {
        let x = truth.length * (0.01 + 0.9 * f64::from(i) / 44.0);
        let (here, plan) = (truth.sections.at(x).unwrap(), target.at(x).unwrap());
        let (slice, (low, high)) = (bench.section(x).unwrap(), plan.range());
        for k in 0..8 {
            let y = low + (high - low) * (0.1 + 0.89 * f64::from(k) / 7.0);
            let ((left, right), (l, r)) = (plan.flanks(y), here.flanks(y));
            let (half, middle) = (truth.half(&here, x, y), 0.5 * (l + r));
            for (z, wanted) in [(right + 1e-6, middle + half - right), (left - 1e-6, left - middle + half)] {
                let ([over, band], off) = (slice.over(y, z).unwrap(), slice.take_off(y, z).unwrap());
                squares += (over - wanted).powi(2);
                bands += band * band;
                count += 1.0;
                if let Some(tally) = &mut tally {
                    tally.places += 1;
                    tally.held += usize::from((over - wanted).abs() <= band);
                    tally.advised += usize::from(off > 0.0);
                    tally.below += usize::from(off > 0.0 && off - wanted > band);
                }
            }
        }
    }
    Look { error: f64::sqrt(squares / count), band: f64::sqrt(bands / count) }
}

/// What is told at the table's own places, counted.
fn table(design: &Design, truth: &Truth, bench: &Bench, tally: &mut Tally) {
    let target = blade::Sections::of(&design.blade().loft(bench.next()));
    for row in &bench.last().take_off {
        let x = row.station_mm;
        let (Some(here), Some(plan)) = (truth.sections.at(x), target.at(x)) else { continue };
        let bottom = plan.range().1 - row.breadth_mm;
        for spot in row.spots.iter().take(3) {
            let y = bottom + spot.height_mm;
            let ((left, right), (l, r)) = (plan.flanks(y), here.flanks(y));
            let (half, middle) = (truth.half(&here, x, y), 0.5 * (l + r));
            for (off, wanted) in [(spot.right, middle + half - right), (spot.left, left - middle + half)] {
                let off = off.millimetres();
                tally.below += usize::from(off > 0.0 && off - wanted > spot.side_band_mm);
            }
        }
    }
}

/// The stations of a bench: even, odd, or crowded about one place.
fn stations(truth: &Truth, count: usize, dice: &mut Dice) -> Vec<f64> {
    let kind = dice.below(3);
    let middle = dice.between(0.2, 0.8);
    let place = |i: usize, dice: &mut Dice| match kind {
        0 => 0.9 * i as f64 / count as f64,
        1 => dice.between(0.0, 0.9),
        _ if i.is_multiple_of(2) => (middle + 0.04 * dice.normal()).clamp(0.0, 0.9),
        _ => dice.between(0.0, 0.9),
    };
    let mut all: Vec<f64> = (0..count).map(|i| (truth.length * place(i, dice)).round()).collect();
    all.sort_by(f64::total_cmp);
    all.dedup();
    // Shuffled, so that a part of them is spread over the blade.
    for i in (1..all.len()).rev() {
        all.swap(i, dice.below(i + 1));
    }
    all
}

/// One bench, looked at with a third, two thirds and all of its readings.
fn one(plan: &Plan, seed: u64, tally: &mut Tally) {
    let design = &plan.design;
    let mut dice = Dice(seed);
    let truth = Truth::new(design, &mut dice);
    let wanted = 4 + dice.below(117);
    let each = if wanted < 8 { 4 } else { 5 };
    let mut rows: Vec<Row> = Vec::new();
    for x in stations(&truth, wanted.div_ceil(each), &mut dice) {
        rows.extend(made_up::station(&truth, design, x, each, &mut dice));
    }
    rows.truncate(wanted.max(4));
    // A slip in eight readings and more is no slip any more.
    let slips = dice.below(4).min(rows.len() / 8);
    (0..slips).for_each(|_| made_up::slip(&mut rows, design, &mut dice));
    if dice.below(5) == 0 {
        made_up::again(&mut rows, design, &mut dice);
    }
    let mass = truth.mass(design);
    let mut before: Option<Look> = None;
    for (part, error) in [3, 2, 1].into_iter().zip(0..) {
        let taken = rows.len().div_ceil(part).max(4).min(rows.len());
        let bench = bench(plan, &made_up::file(&rows[..taken], design, mass));
        let looked = look(design, &truth, &bench, (part == 1).then_some(&mut *tally));
        tally.errors[error] += looked.error;
        let worse = before.as_ref().is_some_and(|b| looked.error > b.error.max(looked.band));
        tally.worse += usize::from(worse);
        before = Some(looked);
        if part == 1 {
            table(design, &truth, &bench, tally);
            judge(&rows, &bench, tally);
            tally.mass = tally.mass.max((bench.last().bench.steel_g / mass - 1.0).abs());
        }
    }
    tally.benches += 1;
}

/// Counts who was asked for again.
fn judge(rows: &[Row], bench: &Bench, tally: &mut Tally) {
    let asked: Vec<usize> = bench.last().set_aside.iter().map(|d| d.line).collect();
    for (i, row) in rows.iter().enumerate() {
        let named = asked.contains(&(i + 2));
        if row.slip {
            tally.slips += 1;
            tally.named += usize::from(named);
        } else {
            tally.sound += 1;
            tally.asked += usize::from(named);
            tally.rejected += usize::from(named && row.dip.abs() > DIP);
        }
    }
}

impl Tally {
    /// Both together.
    fn and(self, other: Tally) -> Tally {
        Tally {
            benches: self.benches + other.benches,
            places: self.places + other.places,
            held: self.held + other.held,
            advised: self.advised + other.advised,
            below: self.below + other.below,
            slips: self.slips + other.slips,
            named: self.named + other.named,
            sound: self.sound + other.sound,
            asked: self.asked + other.asked,
            rejected: self.rejected + other.rejected,
            mass: self.mass.max(other.mass),
            worse: self.worse + other.worse,
            errors: std::array::from_fn(|i| self.errors[i] + other.errors[i]),
        }
    }
}

#[test]
fn a_thousand_benches_are_told_no_more_than_is_known() {
    let plan = |p: &fixtures::profiles::Profile| {
        let design = design::read(p.text.as_bytes()).unwrap();
        Plan { stages: Stages::of(&design), design }
    };
    let plans: Vec<Plan> = fixtures::profiles::all().iter().map(plan).collect();
    let part = |from: u64| {
        let mut tally = Tally::default();
        for case in (from..CASES).step_by(2) {
            one(&plans[case as usize % plans.len()], 1000 + case, &mut tally);
        }
        tally
    };
    let tally = std::thread::scope(|scope| {
        let odd = scope.spawn(|| part(1));
        part(0).and(odd.join().unwrap())
    });
    let share = |some: usize, all: usize| some as f64 / all as f64;
    assert_eq!(tally.below, 0, "advice below the next stage");
    assert!(share(tally.held, tally.places) >= 0.95, "bands");
    assert!(share(tally.named, tally.slips) >= 0.97, "slips");
    assert_eq!(tally.rejected, 0, "true dips rejected");
    assert!(share(tally.asked, tally.sound) < 0.005, "sound readings asked for again");
    assert!(tally.mass < 0.005, "mass");
    // Bands that say nothing hold everything: a third of all places has advice.
    assert!(share(tally.advised, tally.places) > 0.33, "advice");
    assert_eq!(tally.worse, 0, "more readings made it worse");
    assert!(tally.errors.is_sorted_by(|a, b| a > b), "more readings made it worse on the whole");
}
