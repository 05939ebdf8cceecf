//! From the pitch that the finished blade should show back to the turns of the bar in the stack.
//!
//! A full turn in p mm of the blade is dφ/dx = 2π/p. With x as a function of the place s along the bar, dx/ds =
//! A_s/A_f of the material map, the bar asks for dφ/ds = 2π/p(x) · A_s/A_f(x). Angles are summed up over stations,
//! where they are known exactly, and kept as cubics over s.

use std::f64::consts::TAU;

use crate::billet::height::Height;
use crate::billet::pitch::Pitch;
use crate::billet::pitched::{AnglePiece, Pitched};
use crate::billet::twist::{Asked, Hand, Place, Program, Winding};
use crate::map::antiderivative::Antiderivative;
use crate::map::material::MaterialMap;

/// Cubics are halved until they keep within this of the true angle, rad: on the skin of the tallest bar that is a
/// hundred-thousandth of a millimetre.
const OFF: f64 = 1e-7;
/// Pieces are not halved below this, mm of the blade: no layer shows what happens within.
const LEAST: f64 = 0.05;
/// How far inside a piece its rates are read, mm: at a border of sections it is the piece's own side that counts.
const INSIDE: f64 = 1e-6;
/// Stations at which the hardest place is looked for, mm apart: a section hardly changes within.
const STEP: f64 = 1.0;

/// Where a pitch asks most of a bar.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Hardest {
    /// The station, mm.
    pub at: f64,
    /// Turn per length of the bar in the stack, rad/mm.
    pub rate: f64,
}

impl MaterialMap {
    /// The program of a bar that starts at the angle `phase` (rad), with the stretches asked for from the shoulder
    /// on. What no stretch covers is straight. Stretches must not overlap.
    pub fn program(&self, phase: f64, asked: &[Asked]) -> Program {
        let (mut program, mut at) = (Program::starting(phase), 0.0);
        for stretch in asked {
            let (from, to) = self.ends(stretch.place, at);
            if from > at {
                program.turn_on(at, 0.0);
            }
            self.wind(&mut program, &stretch.winding, from, to);
            let Some(to) = to else { return program };
            at = to;
        }
        program.turn_on(at, 0.0);
        program
    }

    /// Where a pitch asks most of a bar of some height between two stations, mm: turn per length times the side of the square
    /// that the bar is twisted as. Beyond the fan's start it asks no more than there.
    pub fn hardest(&self, pitch: &Pitch, [from, to]: [f64; 2], height: &Height) -> Hardest {
        let to = to.min(self.sections().fan_start()).max(from);
        let count = ((to - from) / STEP).ceil().max(1.0);
        let even = (0..=count as usize).map(|i| from + (to - from) * i as f64 / count);
        let marks = self.sections().breaks().into_iter().chain(self.bends());
        let all = even.chain(marks.filter(|x| (from..=to).contains(x)));
        let all = all.map(|at| Hardest { at, rate: self.asks(pitch, at) });
        // The square has as large a section as the bar, and all bars are of one width.
        let side = |x: f64| if height.is_even() { 1.0 } else { height.at(self.along(x)).sqrt() };
        let strain = |place: &Hardest| place.rate * side(place.at);
        all.max_by(|a, b| strain(a).total_cmp(&strain(b))).unwrap_or(Hardest { at: from, rate: 0.0 })
    }

    /// Turn per length of the bar (rad/mm) that a pitch asks for at station `x`.
    fn asks(&self, pitch: &Pitch, x: f64) -> f64 {
        let kept = x.min(self.sections().fan_start());
        TAU / pitch.at(kept) * self.stretch(kept).unwrap_or(0.0)
    }

    /// Where a stretch begins and ends, mm of the stack; the end of the blade's bar is none. The one before ended `at`.
    fn ends(&self, place: Place, at: f64) -> (f64, Option<f64>) {
        match place {
            Place::Length(length) => (at, length.map(|length| at + length)),
            Place::Stations([from, to]) => {
                let end = self.sections().range().1;
                let from = self.along(from);
                // Where stretches meet, rounding must leave none between them.
                let from = if from > at + INSIDE { from } else { at };
                (from, (to < end - INSIDE).then(|| self.along(to)))
            }
        }
    }

    /// Adds a stretch between two places along the bar, mm of the stack.
    fn wind(&self, program: &mut Program, winding: &Winding, from: f64, to: Option<f64>) {
        match winding {
            Winding::Straight => program.turn_on(from, 0.0),
            Winding::Turns(hand, turns) => program.turn_on(from, hand.sign() * turns * TAU),
            Winding::Pitch(hand, pitch) => self.pitch(program, (*hand, pitch), from, to),
        }
    }

    /// The same by a pitch: kept to up to the fan's start, and the turns per length of the bar that it has there from
    /// then on.
    fn pitch(&self, program: &mut Program, (hand, pitch): (Hand, &Pitch), from: f64, to: Option<f64>) {
        let (fan, end) = (self.sections().fan_start(), self.sections().range().1);
        let (first, last) = (self.station(from), to.map_or(end, |to| self.station(to)).min(fan));
        if last - first <= LEAST {
            return program.turn_on(from, hand.sign() * self.asks(pitch, first));
        }
        let turning = Turning::new(self, hand, pitch, [first, last], program.reached(from));
        program.turn_by(from, Pitched::new(pitch.clone(), [first, last], turning.pieces()));
    }
}

/// A stretch that turns by a pitch between two stations.
struct Turning<'a> {
    lay: &'a MaterialMap,
    sign: f64,
    pitch: &'a Pitch,
    /// The stations, mm, and the angle at the first, rad.
    ends: [f64; 2],
    start: f64,
    /// Radians over the stations, without their sign.
    turned: Antiderivative,
}

impl<'a> Turning<'a> {
    fn new(lay: &'a MaterialMap, hand: Hand, pitch: &'a Pitch, ends: [f64; 2], start: f64) -> Turning<'a> {
        let inner = pitch.stations().iter().copied().filter(|x| *x > ends[0] + LEAST && *x < ends[1] - LEAST);
        let breaks: Vec<f64> = [ends[0]].into_iter().chain(inner).chain([ends[1]]).collect();
        let turned = Antiderivative::new(&breaks, ends[1], |x| TAU / pitch.at(x));
        Turning { lay, sign: hand.sign(), pitch, ends, start, turned }
    }

    /// The cubics, from the first station to the last.
    fn pieces(&self) -> Vec<AnglePiece> {
        let [from, to] = self.ends;
        let mut marks = self.lay.sections().breaks();
        marks.extend(self.pitch.stations());
        marks.extend(self.lay.cut_from());
        marks.extend(self.lay.bends());
        marks.retain(|&x| x > from + LEAST && x < to - LEAST);
        marks.extend(self.ends);
        marks.sort_by(f64::total_cmp);
        marks.dedup_by(|a, b| (*a - *b).abs() < INSIDE);
        let mut pieces = Vec::new();
        marks.windows(2).for_each(|pair| self.add(&mut pieces, [pair[0], pair[1]]));
        pieces
    }

    /// Adds cubics between two stations, halved as often as they need.
    fn add(&self, pieces: &mut Vec<AnglePiece>, [from, to]: [f64; 2]) {
        let piece = self.piece([from, to]);
        let off = |share: f64| {
            let x = from + (to - from) * share;
            (piece.at(self.lay.along(x)) - self.angle(x)).abs()
        };
        if to - from > 2.0 * LEAST && [0.25, 0.5, 0.75].into_iter().any(|share| off(share) > OFF) {
            let middle = 0.5 * (from + to);
            self.add(pieces, [from, middle]);
            self.add(pieces, [middle, to]);
        } else {
            pieces.push(piece);
        }
    }

    fn piece(&self, ends: [f64; 2]) -> AnglePiece {
        let inside = [ends[0] + INSIDE, ends[1] - INSIDE];
        AnglePiece {
            along: ends.map(|x| self.lay.along(x)),
            angle: ends.map(|x| self.angle(x)),
            rate: inside.map(|x| self.sign * self.lay.asks(self.pitch, x)),
        }
    }

    /// The angle at station `x`, rad.
    fn angle(&self, x: f64) -> f64 {
        self.start + self.sign * self.turned.at(x)
    }
}

#[cfg(test)]
mod tests {
    use blade::{Part, Sections};
    use glam::DVec3;

    use super::*;
    use crate::billet::bar::Squaring;
    use crate::billet::recipe::Tip;
    use crate::fixtures::{bar, billet, forged, spec, specs};

    fn lay_on(forged: Sections, tip: Tip) -> MaterialMap {
        let bars = [Squaring::Forged, Squaring::Ground].map(|s| bar(18.0, Program::default(), s));
        MaterialMap::new(billet(bars.to_vec(), 11.0, tip), forged).unwrap()
    }

    fn asked(place: Place, winding: Winding) -> Asked {
        Asked { place, winding }
    }

    /// Stations at which a program has done so many turns, by halving.
    fn station_of(lay: &MaterialMap, program: &Program, turns: f64, [mut low, mut high]: [f64; 2]) -> f64 {
        for _ in 0..60 {
            let middle = 0.5 * (low + high);
            if program.angle(lay.along(middle)).abs() < turns * TAU { low = middle } else { high = middle }
        }
        low
    }

    #[test]
    fn the_pitch_asked_for_is_the_pitch_got() {
        let uneven = Pitch::through(&[(0.0, 40.0), (150.0, 70.0), (300.0, 50.0)]);
        for (name, spec) in specs() {
            for tip in [Tip::Forged, Tip::Cut { from: 320.0 }] {
                let lay = lay_on(forged(&spec), tip);
                let fan = lay.sections().fan_start();
                for (hand, pitch, is_even) in
                    [(Hand::Right, &Pitch::even(45.0), true), (Hand::Left, &uneven, false)]
                {
                    let whole = asked(Place::Length(None), Winding::Pitch(hand, pitch.clone()));
                    let program = lay.program(0.0, &[whole]);
                    let turned: f64 =
                        Antiderivative::new(&[0.0, 150.0, 300.0, fan], fan, |x| 1.0 / pitch.at(x)).total();
                    let got = program.angle(lay.along(fan)) / TAU * hand.sign();
                    assert!((got - turned).abs() < 1e-7, "{name} {got} {turned}");
                    for x in (1..fan as u32).map(f64::from) {
                        let here = TAU / program.rate(lay.along(x)).abs() * lay.stretch(x).unwrap();
                        assert!((here / pitch.at(x) - 1.0).abs() < 1e-3, "{name} {tip:?} {x} {here}");
                    }
                    if is_even {
                        let places = (1..=turned as u32).map(|n| {
                            station_of(&lay, &program, f64::from(n), [0.0, fan]) - 45.0 * f64::from(n)
                        });
                        places.for_each(|off| assert!(off.abs() < 1e-6, "{name} {tip:?} {off}"));
                    }
                    // From one breadth before the point on the bar keeps its turns per length.
                    let [kept, late] = [fan, fan + 20.0].map(|x| program.rate(lay.along(x)));
                    assert!((late / kept - 1.0).abs() < 1e-6, "{name} {kept} {late}");
                }
            }
        }
    }

    #[test]
    fn stretches_stand_at_their_stations_and_angles_go_on() {
        let lay = lay_on(forged(&spec()), Tip::Forged);
        let pitch = || Pitch::even(50.0);
        let at = |from, to, winding| asked(Place::Stations([from, to]), winding);
        let program = lay.program(
            0.3,
            &[
                at(0.0, 100.0, Winding::Pitch(Hand::Right, pitch())),
                at(100.0, 160.0, Winding::Straight),
                at(180.0, 230.0, Winding::Turns(Hand::Left, 0.02)),
                at(230.0, 430.0, Winding::Pitch(Hand::Left, pitch())),
            ],
        );
        let angle = |x: f64| (program.angle(lay.along(x)) - 0.3) / TAU;
        assert!((program.angle(-5.0) - 0.3).abs() < 1e-15 && angle(0.0).abs() < 1e-9);
        assert!((angle(100.0) - 2.0).abs() < 1e-7 && (angle(50.0) - 1.0).abs() < 1e-7);
        assert!([130.0, 160.0, 170.0, 180.0].iter().all(|&x| (angle(x) - 2.0).abs() < 1e-7));
        let turns = 0.02 * (lay.along(230.0) - lay.along(180.0));
        assert!(
            (angle(230.0) - 2.0 + turns).abs() < 1e-7 && (angle(280.0) - angle(230.0) + 1.0).abs() < 1e-7
        );
        assert_eq!(
            program.pitched().map(|p| p.is_some()).collect::<Vec<_>>(),
            [true, false, false, false, true]
        );
        assert_eq!(program.starts().count(), 5);
        // By lengths of the bar: the pitch begins where the straight stretch ends.
        let length = |l, winding| asked(Place::Length(l), winding);
        let program = lay.program(
            0.0,
            &[
                length(Some(40.0), Winding::Straight),
                length(Some(30.0), Winding::Pitch(Hand::Left, pitch())),
                length(None, Winding::Straight),
            ],
        );
        let [from, to] = [40.0, 70.0].map(|s| lay.station(s));
        assert!((program.angle(90.0) + (to - from) / 50.0 * TAU).abs() < 1e-6 && program.is_twisted());
        assert!(program.angle(39.0).abs() < 1e-15);
        // All beyond the fan's start.
        let late = lay.program(0.0, &[at(425.0, 430.0, Winding::Pitch(Hand::Right, pitch()))]);
        let hardest = lay.hardest(&pitch(), [425.0, 430.0], &Height::even(18.0));
        assert!(
            late.is_twisted() && (late.rate(lay.along(429.0)) - hardest.rate).abs() < 0.05 * hardest.rate
        );
    }

    #[test]
    fn a_bar_is_asked_most_where_it_is_drawn_out_most() {
        let lay = lay_on(forged(&spec()), Tip::Forged);
        let fan = lay.sections().fan_start();
        let hardest = lay.hardest(&Pitch::even(50.0), [0.0, 430.0], &Height::even(18.0));
        assert!((hardest.at - fan).abs() < 1e-9, "{hardest:?} {fan}");
        assert!((hardest.rate - TAU / 50.0 * lay.stretch(fan).unwrap()).abs() < 1e-9);
        let early =
            lay.hardest(&Pitch::through(&[(0.0, 10.0), (200.0, 80.0)]), [0.0, 430.0], &Height::even(18.0));
        assert!(early.at < 5.0, "{early:?}");
    }

    /// From the blade to the square before the twist, volumes and the way back are kept, as they are for even turns.
    #[test]
    fn a_pitch_keeps_every_volume_and_the_way_back() {
        let lay = lay_on(forged(&spec()), Tip::Forged);
        let program =
            lay.program(0.2, &[asked(Place::Length(None), Winding::Pitch(Hand::Right, Pitch::even(60.0)))]);
        let lay = lay.with_twists(vec![program.clone(), program]);
        let bars = lay.billet().bars();
        let square = |p: DVec3| {
            let stack = lay.stack_point(p).unwrap();
            let (bar, welded) = lay.billet().bar_point(stack);
            let before = bars[bar].before_twist(welded, bars[bar].twist.angle(stack.along));
            (bar, DVec3::new(stack.along, 18.0 * before.up, 11.0 * before.through))
        };
        let (mut seen, mut kept, h) = ([0; 2], [0; 2], 1e-4);
        for i in 0..400 {
            let x = 5.0 + f64::from(i) * 0.87;
            let (low, high) = lay.plane(x).unwrap().range();
            let p = DVec3::new(x, low + (high - low) * f64::from(i % 31) / 31.0, f64::from(i % 7 - 3) * 0.4);
            let slope = |axis: DVec3| {
                let [a, b, c, d] = [-2.0, -1.0, 1.0, 2.0].map(|k| square(p + axis * h * k).1);
                (a - b * 8.0 + c * 8.0 - d) / (12.0 * h)
            };
            if lay.stack_point(p + DVec3::splat(0.01)).is_none()
                || lay.stack_point(p - DVec3::splat(0.01)).is_none()
            {
                continue;
            }
            let (bar, before) = square(p);
            let stack = lay.stack_point(p).unwrap();
            let local = crate::billet::bar::SquarePoint { up: before.y / 18.0, through: before.z / 11.0 };
            let now = bars[bar].after_twist(local, bars[bar].twist.angle(stack.along));
            let back =
                lay.billet().stack_point(bar, now, stack.along, Part::Blade).and_then(|s| lay.blade_point(s));
            assert!(back.unwrap().distance(p) < 1e-7, "{p} {back:?}");
            let d = slope(DVec3::X).dot(slope(DVec3::Y).cross(slope(DVec3::Z)));
            // The square before a twist that was ground off has twice the area. A kink of the rings falls on few
            // points.
            let wanted = if bar == 1 { 0.5 } else { 1.0 };
            seen[bar] += 1;
            kept[bar] += usize::from((d / wanted - 1.0).abs() < 1e-6);
        }
        assert!(seen.iter().zip(kept).all(|(&n, kept)| n > 100 && kept + 3 > n), "{seen:?} {kept:?}");
    }
}
