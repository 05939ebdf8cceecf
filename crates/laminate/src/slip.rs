//! How far the pattern drifts where forging and grinding go a little otherwise than planned.
//!
//! Each slip is laid through the material map anew: a blade drawn more at the point has forged sections thinner there, a bar
//! that is thicker a taller place in the stack, turns that were lost a program with fewer of them, and a blade ground more on
//! one side a finished surface nearer to the bars' middle on that side.

use std::f64::consts::{FRAC_PI_2, TAU};

use blade::{CrossSection, Sections};

use crate::billet::bar::{Bar, Direction, SquarePoint};
use crate::billet::recipe::Billet;
use crate::map::material::{MaterialMap, Plane};
use crate::survey::shown;

/// Stations over which a bar's turns are counted.
const COUNTED: usize = 200;
/// Steps of Newton's method to where a stripe has gone: angles run nearly straight along the blade.
const STEPS: usize = 6;
/// Halvings of a quarter turn to where the border of a layer crosses: to a millionth of a turn.
const HALVINGS: usize = 20;
/// Borders of layers nearer to the end of their run than this share are left out: there they end in a round and not a stripe.
const RUN_OUT: f64 = 0.9;
/// A slip is doubled so often until it drives something as far as is granted, to sixteen times what was asked for: nobody slips
/// by more.
const DOUBLINGS: u32 = 5;
/// And then halved towards it so often: to a part in ten thousand.
const HALVED: usize = 14;

/// Something that goes a little otherwise than planned. Bars are counted from the back, 0 first.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Slip {
    /// The blade is drawn out more towards the point, by this share there and evenly less towards the shoulder.
    Draw(f64),
    /// A bar comes out with so many turns too few, evenly along it.
    Turns(usize, f64),
    /// A bar is thicker in the stack by so much, mm.
    Thicker(usize, f64),
    /// So much more is ground off the right side and less off the left one, mm: the blade is as thick as planned.
    Ground(f64),
}

/// A blade after a slip.
#[derive(Clone, Debug)]
pub struct Slipped {
    /// The billet on the forged blade.
    pub lay: MaterialMap,
    /// The stage's sections.
    pub stage: Sections,
}

/// How far things have gone at a station of the right side, mm.
#[derive(Clone, Debug, PartialEq)]
pub struct Drift {
    /// The station.
    pub at: f64,
    /// The seam under each bar but the last, upwards.
    pub seams: Vec<f64>,
    /// The stripes of each twisted bar that shares its place with no other, either way along the blade: of all
    /// borders of layers that of the one that goes furthest.
    pub stripes: Vec<Option<f64>>,
    /// The layers of a bar and the next one, twisted against each other, apart from where they were, either way along the
    /// blade; one fewer than bars.
    pub chevrons: Vec<Option<f64>>,
}

impl Drift {
    /// The furthest of all seams, of all stripes and of all chevrons at some stations.
    pub fn furthest(all: &[Drift]) -> [f64; 3] {
        let most = |values: &mut dyn Iterator<Item = f64>| values.fold(0.0, |m: f64, v| m.max(v.abs()));
        [
            most(&mut all.iter().flat_map(|d| d.seams.iter().copied())),
            most(&mut all.iter().flat_map(|d| d.stripes.iter().flatten().copied())),
            most(&mut all.iter().flat_map(|d| d.chevrons.iter().flatten().copied())),
        ]
    }
}

impl Slip {
    /// Every kind of slip of a billet: drawn `draw` more at the point; each twisted bar with `turns` lost, where it has more;
    /// each bar `thicker`; and `ground` more off one side (mm).
    pub fn all(lay: &MaterialMap, draw: f64, turns: f64, [thicker, ground]: [f64; 2]) -> Vec<Slip> {
        let (bars, places) = (lay.billet().bars().len(), lay.billet().places());
        let twisted = (0..bars).filter(|bar| total(lay, *bar) > turns);
        let mut all = vec![Slip::Draw(draw)];
        all.extend(twisted.map(|bar| Slip::Turns(bar, turns)));
        // A bar alone fills the blade however thick it was.
        all.extend((0..places).filter(|_| places > 1).map(|bar| Slip::Thicker(bar, thicker)));
        all.push(Slip::Ground(ground));
        all
    }

    /// How much it is: a share, turns or mm.
    pub fn size(self) -> f64 {
        match self {
            Slip::Draw(size) | Slip::Turns(_, size) | Slip::Thicker(_, size) | Slip::Ground(size) => size,
        }
    }

    /// The same of another size.
    pub fn of_size(self, size: f64) -> Slip {
        match self {
            Slip::Draw(_) => Slip::Draw(size),
            Slip::Turns(bar, _) => Slip::Turns(bar, size),
            Slip::Thicker(bar, _) => Slip::Thicker(bar, size),
            Slip::Ground(_) => Slip::Ground(size),
        }
    }

    /// What becomes of a billet on its blade, and of a stage of it. `None` for a slip so large that there is no such billet.
    pub fn on(self, lay: &MaterialMap, stage: &Sections) -> Option<Slipped> {
        let (mut stage, mut forged) = (stage.clone(), lay.sections().clone());
        let mut recipe = lay.billet().recipe().clone();
        match self {
            Slip::Draw(share) => forged = forged.astray(share / (1.0 + share), 0.0),
            Slip::Ground(more) => stage = stage.astray(0.0, -more),
            Slip::Thicker(bar, more) => {
                let height = recipe.bars.get(bar)?.height.altered(|height| height + more);
                for shared in lay.billet().sharing(bar) {
                    recipe.bars[shared].height = height.clone();
                }
            }
            Slip::Turns(bar, lost) => {
                let made = recipe.bars.get_mut(bar)?;
                made.twist = made.twist.altered(0.0, 1.0 - lost / total(lay, bar).max(f64::MIN_POSITIVE));
            }
        }
        let billet = Billet::new(recipe).ok()?;
        let lay = match self {
            Slip::Draw(_) => MaterialMap::new(billet, forged).ok()?,
            _ => lay.with_billet(billet),
        };
        Some(Slipped { lay, stage })
    }

    /// How far it drives the pattern at stations of a stage that lie on the blade.
    pub fn drift(self, lay: &MaterialMap, stage: &Sections, stations: &[f64]) -> Vec<Drift> {
        let Some(slipped) = self.on(lay, stage) else { return Vec::new() };
        let at = |x: &f64| {
            let [was, is] = [Sight::new(lay, stage, *x)?, Sight::new(&slipped.lay, &slipped.stage, *x)?];
            Some(drift(*x, &was, &is))
        };
        stations.iter().filter_map(at).collect()
    }

    /// How large it may be so that nothing of a kind goes further than `most` (mm): `kind` picks one figure of
    /// [`Drift::furthest`]. `None` where it does not drive that as far even at sixteen times its size.
    pub fn granted(
        self,
        (lay, stage): (&MaterialMap, &Sections),
        stations: &[f64],
        most: f64,
        kind: impl Fn([f64; 3]) -> f64,
    ) -> Option<f64> {
        let far = |size: f64| kind(Drift::furthest(&self.of_size(size).drift(lay, stage, stations)));
        let doubled = (0..DOUBLINGS).map(|i| self.size() * f64::from(1_u32 << i));
        let mut high = doubled.into_iter().find(|size| far(*size) > most)?;
        let mut low = 0.0;
        for _ in 0..HALVED {
            let middle = 0.5 * (low + high);
            if far(middle) > most { high = middle } else { low = middle }
        }
        Some(low)
    }
}

/// Turns of a bar on the whole blade, either way.
fn total(lay: &MaterialMap, bar: usize) -> f64 {
    let twist = &lay.billet().bars()[bar].twist;
    let end = lay.along(lay.sections().range().1);
    let angle = |i: usize| twist.angle(end * i as f64 / COUNTED as f64);
    (0..COUNTED).map(|i| (angle(i + 1) - angle(i)).abs()).sum::<f64>() / TAU
}

/// What is read at one station.
struct Sight<'a> {
    lay: &'a MaterialMap,
    plane: Plane<'a>,
    section: CrossSection,
}

impl<'a> Sight<'a> {
    fn new(lay: &'a MaterialMap, stage: &Sections, x: f64) -> Option<Sight<'a>> {
        let (plane, section) = lay.plane(x).zip(stage.at(x))?;
        Some(Sight { lay, plane, section })
    }

    fn bar(&self, bar: usize) -> &Bar {
        &self.lay.billet().bars()[bar]
    }

    /// Between which heights each place of the stack shows; from the back.
    fn faces(&self) -> Vec<[f64; 2]> {
        let mut all = vec![[0.0; 2]; self.lay.billet().places()];
        shown(&self.plane, &self.section).into_iter().for_each(|(bar, faces)| all[bar] = faces);
        all
    }

    /// How far through a bar the right side lies in the middle of its breadth, as a share of its width from its middle.
    fn through(&self, [from, to]: [f64; 2]) -> f64 {
        let y = 0.5 * (from + to);
        let (left, right) = self.plane.flanks(y);
        let share = (self.section.flanks(y).1 - left) / (right - left) - 0.5;
        share.clamp(-0.5, 0.5)
    }

    /// Angle of a bar there (rad), and its change along the blade (rad/mm).
    fn turn(&self, bar: usize) -> [f64; 2] {
        let (twist, s) = (&self.bar(bar).twist, self.plane.along());
        [twist.angle(s), twist.rate(s) / self.plane.stretch()]
    }
}

/// How far things have gone between two sights at a station.
fn drift(at: f64, was: &Sight<'_>, is: &Sight<'_>) -> Drift {
    let (before, after) = (was.faces(), is.faces());
    let (count, all) = (before.len(), was.lay.billet().bars().len());
    // Where it shows of a place that bars share hangs on the surface: their stripes are not told.
    let whole = |bar: usize| !was.lay.billet().is_parted(bar);
    let shows = |bar: usize| whole(bar) && before[bar][1] > before[bar][0] && after[bar][1] > after[bar][0];
    let gone: Vec<Option<f64>> = (0..count).map(|bar| gone(at, bar, was, is)).collect();
    let stripe = |bar: usize| {
        let depths = [was.through(before[bar]), is.through(after[bar])];
        let [_, rate] = was.turn(bar);
        Some(gone[bar]?.abs() + spread(was.bar(bar), depths) / rate.abs())
    };
    let chevron = |upper: usize| {
        let [a, b] = [was.turn(upper)[1], was.turn(upper + 1)[1]];
        let apart = gone[upper]? - gone[upper + 1]?;
        (a * b < 0.0 && shows(upper) && shows(upper + 1)).then_some(apart.abs())
    };
    Drift {
        at,
        seams: (0..count - 1).map(|bar| after[bar][0] - before[bar][0]).collect(),
        stripes: (0..all).map(|bar| if shows(bar) { stripe(bar) } else { None }).collect(),
        chevrons: (0..count - 1).map(chevron).collect(),
    }
}

/// How far along the blade the angle that a bar had at a station has gone, mm; `None` where it is not twisted there.
fn gone(at: f64, bar: usize, was: &Sight<'_>, is: &Sight<'_>) -> Option<f64> {
    let [wanted, rate] = was.turn(bar);
    if !(was.bar(bar).twist.is_twisted() && rate.abs() > 0.0) {
        return None;
    }
    let [there, rate] = is.turn(bar);
    let first = (wanted - there) / rate;
    let mut x = at + first;
    let (low, high) = (0.0, is.lay.sections().fan_start());
    for _ in 0..STEPS {
        // Off the blade the way is gone on as it runs at the station.
        let Some(plane) = is.lay.plane(x).filter(|_| (low..=high).contains(&x)) else { return Some(first) };
        let (twist, s) = (&is.bar(bar).twist, plane.along());
        let rate = twist.rate(s) / plane.stretch();
        if rate.abs() <= 0.0 {
            return Some(first);
        }
        x += (wanted - twist.angle(s)) / rate;
    }
    Some(x - at)
}

/// How far (rad) the borders of a bar's layers go at most where the surface lies elsewhere through it: of those that cross in
/// both. Shares of the width from the middle.
fn spread(bar: &Bar, depths: [f64; 2]) -> f64 {
    let most = depths.map(|t| across(bar, t, FRAC_PI_2).abs()).into_iter().fold(f64::INFINITY, f64::min);
    let borders = bar.layers.layers().iter().map(|layer| layer.end - 0.5);
    let seen = borders.filter(|c| c.abs() < RUN_OUT * most);
    seen.map(|c| (crossing(bar, depths[1], c) - crossing(bar, depths[0], c)).abs()).fold(0.0, f64::max)
}

/// Place across the layers, from their middle, of the middle of a bar's breadth at share `t` through it, turned by `angle`
/// from where the border in the middle crosses.
fn across(bar: &Bar, t: f64, angle: f64) -> f64 {
    let start = if bar.direction == Direction::Flat { FRAC_PI_2 } else { 0.0 };
    let p = bar.before_twist(SquarePoint { up: 0.0, through: t }, start + angle);
    if bar.direction == Direction::Flat { p.through } else { p.up }
}

/// The angle within a quarter turn either way at which a border crosses, rad.
fn crossing(bar: &Bar, t: f64, border: f64) -> f64 {
    let [mut low, mut high] = [-FRAC_PI_2, FRAC_PI_2];
    let rising = across(bar, t, high) > across(bar, t, low);
    for _ in 0..HALVINGS {
        let middle = 0.5 * (low + high);
        if (across(bar, t, middle) < border) == rising { low = middle } else { high = middle }
    }
    0.5 * (low + high)
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::billet::bar::Squaring;
    use crate::billet::recipe::Tip;
    use crate::billet::twist::{Hand, Program};
    use crate::fixtures::{bar, billet, even, flat_bar, forged, spec};
    use blade::{Blade, Spec, Stage};

    fn finished(spec: &Spec) -> Sections {
        Sections::of(&Blade::new(spec).unwrap().loft(Stage::Finished))
    }

    fn opposed(spec: &Spec) -> (MaterialMap, Sections) {
        let twisted = |hand| bar(18.0, even(hand, 0.04), Squaring::Ground);
        let bars = vec![twisted(Hand::Right), twisted(Hand::Left)];
        (MaterialMap::new(billet(bars, 11.0, Tip::Forged), forged(spec)).unwrap(), finished(spec))
    }

    /// On the flat stretch of a bar drawn more by e at the point of a blade L long, ds/dx falls by e·x/L to first order: at x
    /// the bar is e·x²/2L of the blade behind, and its stripes as much ahead.
    #[test]
    fn more_draw_drives_stripes_with_the_square_of_the_station() {
        let (lay, stage) = opposed(&flat_bar());
        let length = lay.sections().range().1;
        for drift in Slip::Draw(0.02).drift(&lay, &stage, &[50.0, 100.0, 140.0]) {
            let wanted = 0.5 * 0.02 / 1.02 * drift.at * drift.at / length;
            let found = drift.stripes[0].unwrap();
            // A thinner blade is cut a little less deep: the borders of layers spread by that, too.
            assert!(found > wanted && found < wanted + 0.15, "{drift:?} {wanted}");
            // Both bars go alike: they still meet, and no seam moves.
            assert!(drift.chevrons[0].unwrap() < 1e-6 && drift.seams[0].abs() < 1e-6, "{drift:?}");
        }
    }

    /// Half a turn lost of n on a blade: at share u of the bar u/2 turns are missing, u/2 of the pitch there.
    #[test]
    fn lost_turns_part_chevrons() {
        let (lay, stage) = opposed(&flat_bar());
        let turns = total(&lay, 1);
        assert!((turns - 0.04 * lay.along(lay.sections().range().1)).abs() < 1e-6);
        let drift = &Slip::Turns(1, 0.5).drift(&lay, &stage, &[100.0])[0];
        let lost = 0.5 * lay.along(100.0) / lay.along(lay.sections().range().1);
        let pitch = 25.0 * lay.stretch(100.0).unwrap();
        let wanted = lost * pitch / (1.0 - 0.5 / turns);
        assert!((drift.stripes[1].unwrap() - wanted).abs() < 1e-3 * wanted, "{drift:?} {wanted}");
        assert!((drift.chevrons[0].unwrap() - wanted).abs() < 1e-3 * wanted && drift.stripes[0] == Some(0.0));
    }

    /// Two like bars, one 0.3 mm thicker: the seam goes to 18/36.3 of the breadth of a flat bar. The stack is thicker by
    /// 0.3/36, so that the bar lags by as much.
    #[test]
    fn a_thicker_bar_moves_the_seam() {
        let (lay, stage) = opposed(&flat_bar());
        let drift = &Slip::Thicker(0, 0.3).drift(&lay, &stage, &[70.0])[0];
        let breadth = stage.at(70.0).unwrap().range();
        let wanted = (18.0 / 36.3 - 0.5) * (breadth.1 - breadth.0);
        assert!((drift.seams[0] - wanted).abs() < 1e-3, "{drift:?} {wanted}");
        assert!((drift.stripes[0].unwrap() - 70.0 * 0.3 / 36.0).abs() < 0.02, "{drift:?}");
    }

    /// Ground deeper, borders off the middle go apart: in a bar ground square after its twist a border at c crosses where
    /// sin θ = c/(√2·t), t the share through the bar.
    #[test]
    fn grinding_deeper_drives_borders_off_the_middle() {
        let (lay, stage) = opposed(&flat_bar());
        let drift = &Slip::Ground(0.3).drift(&lay, &stage, &[70.0])[0];
        let forged = 8.0;
        let [t, deeper] = [3.05 / forged, 2.75 / forged];
        let most = std::f64::consts::SQRT_2.recip();
        let borders = (1..7).map(|i| f64::from(i) / 7.0 - 0.5).filter(|c| c.abs() < RUN_OUT * most * deeper);
        let apart = borders.map(|c| ((c / most / deeper).asin() - (c / most / t).asin()).abs());
        let pitch = 25.0 * lay.stretch(70.0).unwrap();
        let wanted = apart.fold(0.0, f64::max) / TAU * pitch;
        assert!(
            wanted > 0.1 && (drift.stripes[0].unwrap() - wanted).abs() < 0.02 * wanted,
            "{drift:?} {wanted}"
        );
        assert!(drift.seams[0].abs() < 1e-9 && drift.chevrons[0].unwrap() < 1e-9);
    }

    /// A slip of the size that is granted drives as far as was asked for.
    #[test]
    fn what_is_granted_is_what_is_got() {
        let (lay, stage) = opposed(&spec());
        let stations = [0.0, 100.0, 200.0, 300.0];
        for slip in Slip::all(&lay, 0.02, 0.5, [0.3, 0.3]) {
            for kind in 0..3 {
                let granted = slip.granted((&lay, &stage), &stations, 2.0, |far| far[kind]);
                let Some(size) = granted else { continue };
                let far = Drift::furthest(&slip.of_size(size).drift(&lay, &stage, &stations))[kind];
                assert!(far <= 2.0 && far > 1.9, "{slip:?} {kind} {size} {far}");
            }
        }
        let turns = Slip::Turns(0, 0.5).granted((&lay, &stage), &stations, 2.0, |far| far[2]);
        assert!(turns.is_some_and(|t| t > 0.02 && t < 0.5), "{turns:?}");
        assert!(Slip::Draw(0.02).granted((&lay, &stage), &stations, 2.0, |far| far[2]).is_none());
        assert_eq!(Slip::all(&lay, 0.02, 0.5, [0.3, 0.3]).len(), 6);
        let plain = vec![bar(36.0, Program::default(), Squaring::Forged)];
        let plain = MaterialMap::new(billet(plain, 11.0, Tip::Forged), forged(&spec())).unwrap();
        assert_eq!(Slip::all(&plain, 0.02, 0.5, [0.3, 0.3]).len(), 2);
    }
}
