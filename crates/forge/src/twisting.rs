//! The twisting of a bar, stretch by stretch and heat by heat.

use std::f64::consts::{FRAC_1_SQRT_2, TAU};

use design::{Design, Figures};
use laminate::{Bar, Height, MaterialMap, Pitched};
use serde::Serialize;
use steel::{ROUNDS, TWISTED, fibre_stretch, twist_rounds, twisting_flow};

use crate::forging_range::ForgingRange;
use crate::heat::SteelHeat;
use crate::pitch_marks::{self, OnBar, PitchMarks};
use crate::stock::Stock;

/// Length heated and twisted at a time, mm: the couple of inches that two turns are given in (common practice, no
/// source).
pub(crate) const HEATED: f64 = 50.0;
/// Of it, the part that overlaps the heat before, mm, so that no straight stretch is left between (common practice, no
/// source).
const OVERLAP: f64 = 10.0;
/// Chamfer of a corner that the schedule tells of, as a share of the bar's side: enough to take the sharp corner off
/// without a flat that shows (common practice, no source).
const CHAMFER: f64 = 0.1;
/// Each of two hands on a wrench, N: without leaning on it (common practice, no source).
pub(crate) const HAND: f64 = 150.0;

/// How a bar is twisted.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct Twisting {
    /// The bar's name.
    pub bar: String,
    /// Side of the square bar while it is twisted, mm; of a taper the greatest.
    pub side_mm: f64,
    /// The stretches, from the end at the tang on.
    pub stretches: Vec<Stretch>,
    /// From where to where it is twisted, °C: from a yellow to an orange heat, as far as its steels bear it.
    pub heat_c: [f64; 2],
    /// Hot flow stress, MPa, slowly at the first of these heats, and quickly at the second, by the bar's mean carbon: Shida
    /// 1969.
    pub flow_mpa: [f64; 2],
    /// Torque that twists it, N·m, at the least and the greatest hot flow stress.
    pub torque_n_m: [f64; 2],
    /// Length of a wrench, mm from end to end, that two hands turn with 150 N each, for the same.
    pub wrench_mm: [f64; 2],
    /// The end tab by which the jig's insert turns it; none without a `[jig]` table.
    pub tab: Option<Tab>,
}

/// The square forged on a bar's end to go into the jig's insert.
#[derive(Clone, Copy, Debug, PartialEq, Serialize)]
pub struct Tab {
    /// Its side, mm.
    pub side_mm: f64,
    /// Its length, mm: the insert's depth.
    pub length_mm: f64,
    /// Greatest pressure on its sides in the insert, MPa, at the least and the greatest hot flow stress.
    pub pressure_mpa: [f64; 2],
    /// Whether the bar, twisted at a like heat, is stronger than the tab: it must then stay darker than the bar.
    pub weaker: bool,
    /// Torque that twists the tab off while it is black, N·m; and the side that would bear the bar's greatest, mm, where that is more.
    pub holds_n_m: f64,
    /// See `holds_n_m`.
    pub wanted_mm: Option<f64>,
}

/// Yield of a tab that is black, MPa: of normalised steel of 0.5 to 0.8 % carbon the least that handbooks have (from memory).
const BLACK_YIELD: f64 = 400.0;

impl Tab {
    /// A tab of this side and length (mm) on a bar of side `bar` (mm) that is twisted by these torques, N·m.
    fn of([side, length]: [f64; 2], bar: f64, torque: [f64; 2]) -> Tab {
        let holds = steel::twisting_torque(side, BLACK_YIELD);
        Tab {
            side_mm: side,
            length_mm: length,
            pressure_mpa: torque.map(|t| steel::bearing_pressure(t, side, length)),
            weaker: side < bar,
            holds_n_m: holds,
            // The torque grows as the cube of the side.
            wanted_mm: (torque[1] > holds).then(|| side * (torque[1] / holds).cbrt()),
        }
    }
}

/// A stretch that is twisted evenly, or left straight.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct Stretch {
    /// Where it begins and ends, mm from the bar's end at the tang as it is made: punch a mark at each.
    pub marks_mm: [f64; 2],
    /// `right`, `left`, or `straight`.
    pub hand: &'static str,
    /// Turns in all.
    pub turns: f64,
    /// Heats that it takes in all, and turns in each but the last of a round, which takes the round's rest.
    pub heats: usize,
    /// See `heats`.
    pub turns_per_heat: f64,
    /// Rounds that the heats make: each goes over the whole stretch once and brings a like share of the turns.
    pub rounds: usize,
    /// Angle of the layer lines to the bar's length in the middle of a face and on a corner, degrees.
    pub helix_deg: [f64; 2],
    /// How much longer fibres on the corners get, as a share.
    pub corner_stretch: f64,
    /// The same when each corner is chamfered by a tenth of the bar's side before.
    pub chamfered_stretch: f64,
    /// Whether the corners may tear even in these rounds.
    pub may_tear: bool,
    /// Punch marks where the finished blade should show a pitch: then angles and stretch are those of its hardest
    /// place, and `turns_per_heat` is the most in any heat. None where the stretch is twisted evenly.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub pitch: Option<PitchMarks>,
}

impl Stretch {
    /// Turns in the last heat of a round.
    pub fn last_heat(&self) -> f64 {
        let done = self.done();
        let mut back = done.iter().rev().copied();
        let last = back.next().unwrap_or_default();
        last - back.next().unwrap_or_default()
    }

    /// Turns done after each heat, counted from the first: the last heat of a round takes the round's rest.
    pub fn done(&self) -> Vec<f64> {
        if let Some(marks) = &self.pitch {
            return in_rounds(&marks.done, self.rounds, self.turns);
        }
        let each = self.heats / self.rounds.max(1);
        let share = self.turns / self.rounds.max(1) as f64;
        let after = |k: usize| if k == each { share } else { k as f64 * self.turns_per_heat };
        (0..self.rounds).flat_map(|round| (1..=each).map(move |k| round as f64 * share + after(k))).collect()
    }

    /// The same, round by round.
    pub fn rounds_done(&self) -> Vec<Vec<f64>> {
        let each = (self.heats / self.rounds.max(1)).max(1);
        self.done().chunks(each).map(<[f64]>::to_vec).collect()
    }
}

impl Twisting {
    /// An end of a stretch (mm from the bar's end) as it is told: as fine as marks are punched where any stretch has
    /// them.
    pub fn mark(&self, mm: f64, figures: Figures) -> String {
        let punched = self.stretches.iter().any(|s| s.pitch.is_some());
        if punched { figures.mark(mm) } else { figures.hot(mm) }
    }

    /// Of every twisted bar, from the back to the edge; none without a billet.
    pub fn all(design: &Design, stock: &Stock) -> Vec<Twisting> {
        let Some((billet, lay)) = design.billet().zip(design.lay()) else { return Vec::new() };
        let heat: Vec<SteelHeat> = billet.steels().iter().map(SteelHeat::of).collect();
        let bars = billet.bars().iter().enumerate().filter(|(_, bar)| bar.twist.is_twisted());
        bars.filter_map(|(i, bar)| {
            let height = billet.made_height(i);
            let alone = billet.bars().len() == 1;
            let square = |high: f64| {
                let [high, wide] = design.forging().made_section(bar, [high, billet.made_width(i)], alone);
                (high * wide).sqrt()
            };
            let side = square(height.greatest());
            let tang = if bar.tang { stock.stack.length_mm[1] } else { 0.0 };
            let ends = (design.forging().crop + tang, stock.stack.length_mm[0]);
            let held = bar.layers.layers().iter().filter_map(|layer| heat.get(layer.steel));
            let heat_c = ForgingRange::of(held).within(TWISTED);
            let flow = twisting_flow(billet.carbon(i), heat_c)?;
            let torque = flow.map(|flow| steel::twisting_torque(side, flow));
            Some(Twisting {
                bar: bar.name.clone(),
                side_mm: side,
                stretches: stretches((bar, &height, lay), &square, ends, design.figures().mark_step()),
                heat_c,
                flow_mpa: flow,
                torque_n_m: torque,
                // Two hands, half the wrench away each.
                wrench_mm: torque.map(|t| 1000.0 * t / HAND),
                tab: design.jig().map(|jig| Tab::of([jig.tab, jig.depth], side, torque)),
            })
        })
        .collect()
    }
}

/// Turns done after each heat of several rounds, from those after the heats of one.
fn in_rounds(done: &[f64], rounds: usize, turns: f64) -> Vec<f64> {
    let share = 1.0 / rounds.max(1) as f64;
    let round = |k: usize| done.iter().map(move |after| share * (after + k as f64 * turns));
    (0..rounds).flat_map(round).collect()
}

/// The stretches on the part that becomes the blade, which begins at `start` (mm from the bar's end) and is `length`
/// long. Punch marks are rounded to `step`, mm; `square` is the side of the bar's square where it is made so high.
fn stretches(
    (bar, height, lay): (&Bar, &Height, &MaterialMap),
    square: &dyn Fn(f64) -> f64,
    (start, length): (f64, f64),
    step: f64,
) -> Vec<Stretch> {
    // The recipe counts along the stack as it was before the scale of its heats: the same steel is a little longer
    // here.
    let end = lay.along(lay.sections().range().1).max(f64::MIN_POSITIVE);
    let longer = length / end;
    let starts: Vec<(f64, f64)> = bar.twist.starts().map(|(at, rate)| (at * longer, rate / longer)).collect();
    let ends = starts.iter().skip(1).map(|s| s.0).chain([f64::INFINITY]);
    let all = starts.iter().zip(ends).zip(bar.twist.pitched());
    let within = all.filter(|(((from, _), to), _)| *from < length && to > from);
    within
        .map(|((&(from, rate), to), run)| {
            let ends = [from, to.min(length)];
            let along = ends.map(|s| s / longer);
            // Evenly twisted, a taper's corners stretch most where it is highest.
            let even = stretch(start + ends[0], start + ends[1], rate, square(height.range(along)[1]));
            let bar_at = OnBar { along, shoulder: start, longer, height, square };
            match run {
                Some(run) => pitched(even, bar, (run, bar_at), lay, step),
                None => even,
            }
        })
        .collect()
}

/// A stretch that shows a pitch on the finished blade: marks, heats, and strain where it is greatest.
fn pitched(
    even: Stretch,
    bar: &Bar,
    (run, at): (&Pitched, OnBar<'_>),
    lay: &MaterialMap,
    step: f64,
) -> Stretch {
    let marks = PitchMarks::new(&bar.twist, run, at, lay, step);
    let (side, rate) = pitch_marks::hardest(run, at, lay);
    let [from, to] = even.marks_mm;
    // Signed as the stretch turns, so that its hand is told alike.
    let hardest = stretch(from, to, rate.copysign(bar.twist.rate(at.along[0])), side);
    let most = marks.done.iter().zip([0.0].iter().chain(&marks.done)).map(|(after, before)| after - before);
    Stretch {
        turns: pitch_marks::turned(&bar.twist, at.along),
        heats: marks.done.len() * hardest.rounds,
        turns_per_heat: most.fold(0.0, f64::max) / hardest.rounds as f64,
        pitch: Some(marks),
        ..hardest
    }
}

/// A stretch of a bar twisted at an even rate (rad a mm): heats, turns and strain at its corners.
fn stretch(from: f64, to: f64, rate: f64, side: f64) -> Stretch {
    let length = to - from;
    let straight = rate.abs() <= 0.0;
    let each = if straight { 0 } else { heats(length) };
    // Each heat but the last goes on by its length less the overlap.
    let step = if each == 1 { length } else { HEATED - OVERLAP };
    let corner = fibre_stretch(rate, side * FRAC_1_SQRT_2);
    let rounds = twist_rounds(corner).unwrap_or(ROUNDS);
    Stretch {
        marks_mm: [from, to],
        hand: if straight {
            "straight"
        } else if rate > 0.0 {
            "right"
        } else {
            "left"
        },
        turns: rate.abs() * length / TAU,
        heats: each * rounds,
        turns_per_heat: rate.abs() * step / TAU / rounds as f64,
        rounds,
        helix_deg: [0.5 * side, side * FRAC_1_SQRT_2].map(|r| helix(rate, r).to_degrees()),
        corner_stretch: corner,
        // A corner chamfered by c at each face lies at √((a/2)² + (a/2 − c)²) in a bar of side a.
        chamfered_stretch: fibre_stretch(rate, side * 0.5_f64.hypot(0.5 - CHAMFER)),
        may_tear: twist_rounds(corner).is_none(),
        pitch: None,
    }
}

/// Heats for a stretch (mm): each reaches 40 mm further than the one before, the first 50 mm.
pub(crate) fn heats(length: f64) -> usize {
    1 + ((length - HEATED).max(0.0) / (HEATED - OVERLAP)).ceil() as usize
}

/// Angle (rad) between the bar's length and a fibre at radius `r` (mm) when it turns by `rate` rad/mm: tan ψ = θ′·r,
/// the helix unrolled.
fn helix(rate: f64, r: f64) -> f64 {
    (rate.abs() * r).atan()
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::fixtures::design;

    /// k·a³/3 of 12.7 mm at 400 MPa is 157.7 N·m: a tab of half an inch does not bear 324 N·m, one of 16.1 mm does.
    #[test]
    fn a_tab_too_weak_for_the_bar_says_how_large_it_should_be() {
        let tab = Tab::of([12.7, 30.0], 22.0, [94.0, 324.0]);
        assert!((tab.holds_n_m - 157.68).abs() < 0.05, "{tab:?}");
        let wanted = tab.wanted_mm.unwrap();
        assert!(
            (wanted - 16.146).abs() < 0.01
                && Tab::of([wanted, 30.0], 22.0, [94.0, 323.9]).wanted_mm.is_none()
        );
        let told = tab.told(Figures::of(design::Unit::Millimetre));
        assert!(told.contains("even black it may twist off at 158 N·m. Make it 16.5 mm square"), "{told}");
        assert!(
            !Tab::of([11.0, 30.0], 12.0, [16.0, 47.0])
                .told(Figures::of(design::Unit::Millimetre))
                .contains("off")
        );
    }

    #[test]
    fn a_helix_unrolled() {
        // One turn in 2π mm at radius 1 mm rises at 45°; its fibre is √2 times as long.
        assert!((helix(1.0, 1.0).to_degrees() - 45.0).abs() < 1e-12);
        let s = stretch(0.0, 40.0, 1.0, std::f64::consts::SQRT_2);
        assert!((s.corner_stretch - (2.0_f64.sqrt() - 1.0)).abs() < 1e-12 && !s.may_tear);
        // Two turns in 50 mm on 12 mm: √(1 + (0.08·π·12/√2)²) − 1 = 1.356; three in 50 mm take two rounds, six tear.
        let usual = stretch(0.0, 50.0, 2.0 * TAU / 50.0, 12.0);
        assert!((usual.corner_stretch - 1.356).abs() < 1e-3 && usual.rounds == 1, "{}", usual.corner_stretch);
        let tight = stretch(0.0, 90.0, 3.0 * TAU / 50.0, 12.0);
        assert_eq!((tight.rounds, tight.heats, tight.may_tear), (2, 4, false));
        assert!((tight.turns_per_heat - 3.0 * 40.0 / 50.0 / 2.0).abs() < 1e-12);
        assert!(stretch(0.0, 50.0, 6.0 * TAU / 50.0, 12.0).may_tear);
        assert!((s.helix_deg[1] - 45.0).abs() < 1e-9 && s.helix_deg[0] < s.helix_deg[1]);
        assert!((s.turns - 40.0 / TAU).abs() < 1e-12);
        // A corner chamfered by a tenth of the side √2 lies at √2·√(0.5² + 0.4²) = 0.905539: √(1 + 0.82) − 1.
        assert!((s.chamfered_stretch - (1.82_f64.sqrt() - 1.0)).abs() < 1e-12);
        let none = stretch(0.0, 40.0, 0.0, 10.0);
        assert_eq!((none.hand, none.heats, none.turns, none.corner_stretch), ("straight", 0, 0.0, 0.0));
    }

    #[test]
    fn turns_add_up_heat_by_heat() {
        let near = |found: Vec<f64>, wanted: &[f64]| {
            assert_eq!(found.len(), wanted.len(), "{found:?}");
            assert!(found.iter().zip(wanted).all(|(a, b)| (a - b).abs() < 1e-9), "{found:?} {wanted:?}");
        };
        near(stretch(0.0, 100.0, TAU / 50.0, 12.0).done(), &[0.8, 1.6, 2.0]);
        // 5.4 turns in two rounds of two heats: 1.2 a heat, 2.7 a round.
        near(stretch(0.0, 90.0, 3.0 * TAU / 50.0, 12.0).done(), &[1.2, 2.7, 3.9, 5.4]);
        near(stretch(0.0, 90.0, 0.0, 12.0).done(), &[]);
    }

    #[test]
    fn heats_reach_to_the_end() {
        for (length, count) in [(5.0, 1), (50.0, 1), (50.1, 2), (90.0, 2), (90.1, 3), (450.0, 11)] {
            assert_eq!(heats(length), count, "{length}");
        }
    }

    #[test]
    fn marks_follow_each_other_and_end_with_the_blade() {
        let design = design("chain-smiths-trial");
        let stock = Stock::of(&design).unwrap();
        let all = Twisting::all(&design, &stock);
        assert_eq!(all.iter().map(|t| t.bar.as_str()).collect::<Vec<_>>(), ["Upper chain", "Lower chain"]);
        for (twisting, hand) in all.iter().zip(["right", "left"]) {
            let made = stock.bars.iter().find(|b| b.name == twisting.bar).unwrap();
            let marks: Vec<[f64; 2]> = twisting.stretches.iter().map(|s| s.marks_mm).collect();
            assert!(marks.windows(2).all(|w| (w[0][1] - w[1][0]).abs() < 1e-9));
            let crop = design.forging().crop;
            assert!((marks.last().unwrap()[1] - (made.made_length_mm - crop)).abs() < 1e-9);
            let hands: Vec<&str> = twisting.stretches.iter().map(|s| s.hand).collect();
            assert_eq!(hands, [hand, "straight", hand, "straight", hand]);
            // 48 mm at a turn in 24 mm.
            assert!((twisting.stretches[0].turns - 2.0).abs() < 1e-9);
            assert!(twisting.torque_n_m[0] < twisting.torque_n_m[1]);
        }
    }

    /// Nadai's heap of sand (from memory): a 10 mm bar at 60 MPa takes 60/√3 · 10³/3 N·mm.
    #[test]
    fn torque_is_that_of_a_plastic_square() {
        assert!((steel::twisting_torque(10.0, 60.0) - 11.547_005).abs() < 1e-5);
    }
}
