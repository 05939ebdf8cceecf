//! What the smith should know of the laid billet before the first weld.

use blade::{CrossSection, Part, Sections};
use rayon::iter::{IntoParallelIterator, ParallelIterator};

use crate::billet::bar::Bar;
use crate::map::flank::seen;
use crate::map::material::{MaterialMap, Plane};

/// The stations looked at, mm apart: what changes within less can't be acted on at the anvil.
const STEP: f64 = 1.0;
/// Chevrons that are further apart than this share of a full turn no longer meet: common practice, no source.
const DRIFT: f64 = 1.0 / 16.0;
/// A bar narrower than this (mm) at a station has ended: finer than an etch shows.
const GONE: f64 = 0.01;

/// The bars in the plane square to the blade at one station of a stage.
#[derive(Clone, Debug, PartialEq)]
pub struct BarsAt {
    /// The station, mm.
    pub at: f64,
    /// Breadth that each bar takes of the side, from the back to the edge, mm; 0 where it has ended or does not run.
    /// Of bars that share a place in the stack it is that on the right or on the left side, whichever is more.
    pub widths: Vec<f64>,
    /// Breadth that each place of the stack takes, likewise, whatever fills it.
    pub places: Vec<f64>,
    /// Length of the blade that a full turn of each bar takes there, mm; `None` where the bar is straight.
    pub pitches: Vec<Option<f64>>,
}

impl BarsAt {
    /// At station `x` (mm) of the stage with the sections given; `None` off the blade.
    pub fn new(lay: &MaterialMap, stage: &Sections, x: f64) -> Option<BarsAt> {
        Sight::new(lay, stage, x).map(|sight| sight.bars)
    }

    /// Of the bars as they lie between the borders of a section.
    fn between(plane: &Plane<'_>, section: &CrossSection, x: f64) -> BarsAt {
        let billet = plane.billet();
        let mut widths = vec![0.0; billet.bars().len()];
        let mut places = vec![0.0; billet.places()];
        for (bar, [from, to]) in shown(plane, section) {
            places[bar] = to - from;
        }
        widths[..places.len()].copy_from_slice(&places);
        if plane.is_parted() {
            let sides = [true, false].map(|right| widths_of(&seen(plane, section, right), widths.len()));
            let parted = (0..widths.len()).filter(|&bar| billet.is_parted(bar));
            parted.for_each(|bar| widths[bar] = sides[0][bar].max(sides[1][bar]));
        }
        let turn =
            |rate: f64| (rate.abs() > 0.0).then(|| std::f64::consts::TAU / rate.abs() * plane.stretch());
        // Where a straight bar is along the stack need not be known.
        let twisted = |bar: &Bar| bar.twist.is_twisted().then(|| bar.twist.rate(plane.along()));
        let pitches = billet.bars().iter().map(|bar| twisted(bar).and_then(turn)).collect();
        BarsAt { at: x, widths, places, pitches }
    }
}

/// Breadth of each of so many bars on a side, mm.
fn widths_of(seen: &[(usize, [f64; 2])], count: usize) -> Vec<f64> {
    let mut widths = vec![0.0; count];
    seen.iter().for_each(|(bar, [from, to])| widths[*bar] += to - from);
    widths
}

/// The stacked bars from the edge up, each with the heights (mm) between which it takes the side of a section; both alike
/// where it has ended.
pub(crate) fn shown(plane: &Plane<'_>, section: &CrossSection) -> Vec<(usize, [f64; 2])> {
    let (low, high) = section.range();
    let seams = plane.seams().map(|y| y.clamp(low, high));
    let cuts: Vec<f64> = [low].into_iter().chain(seams).chain([high]).collect();
    let bars = plane.billet().stacked_bars(plane.part()).iter().copied();
    bars.zip(cuts.windows(2).map(|pair| [pair[0], pair[1]])).collect()
}

/// What is seen at one station: the bars, and the plane and the section that they were read from.
struct Sight<'a> {
    bars: BarsAt,
    plane: Plane<'a>,
    section: CrossSection,
}

impl<'a> Sight<'a> {
    fn new(lay: &'a MaterialMap, stage: &Sections, x: f64) -> Option<Sight<'a>> {
        let (plane, section) = lay.plane(x).zip(stage.at(x))?;
        Some(Sight { bars: BarsAt::between(&plane, &section, x), plane, section })
    }
}

/// Something the smith can act on. Bars are counted from the back, 0 first; stations and lengths in mm.
#[derive(Clone, Debug, PartialEq)]
pub enum Finding {
    /// The border of the edge bar comes nearer to the edge than was asked for.
    NearEdge {
        /// The bar above the border.
        bar: usize,
        /// Where it is nearest.
        at: f64,
        /// How near, measured along the side.
        distance: f64,
    },
    /// A bar ends before the point: it was cut or ground away.
    Ends {
        /// The bar.
        bar: usize,
        /// The last station at which it is seen.
        at: f64,
        /// Whether it leaves through the edge; otherwise through the back.
        through_edge: bool,
    },
    /// The layers of two twisted neighbours no longer meet at their seam.
    Drift {
        /// The bar above the seam; the other is the next one.
        bar: usize,
        /// From which station on.
        from: f64,
        /// How far they are apart at the worst, in turns.
        turns: f64,
    },
    /// Layers come out thinner than can be seen.
    Thin {
        /// The bar.
        bar: usize,
        /// Where they are thinnest.
        at: f64,
        /// How thick they are there in the forged blade.
        thickness: f64,
    },
    /// A skin on the sides of a bar is ground through, so that what it wraps shows.
    GroundThrough {
        /// The skin.
        bar: usize,
        /// Between which stations, the first and the last.
        between: [f64; 2],
        /// Where most of it is gone.
        at: f64,
        /// How broad it is gone there on one side.
        breadth: f64,
        /// The bar that shows most there.
        shows: usize,
    },
}

/// Bars and findings along a blade.
#[derive(Clone, Debug, PartialEq)]
pub struct Survey {
    /// The bars at the stations asked for that lie on the blade.
    pub bars: Vec<BarsAt>,
    /// What the smith can act on, by bar.
    pub findings: Vec<Finding>,
}

/// What counts as a finding.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Limits {
    /// A border nearer to the edge than this is told, mm.
    pub near_edge: f64,
    /// Layers thinner than this are told, mm.
    pub visible: f64,
}

impl Survey {
    /// Looks at the blade of a stage, and at the bars at `stations` (mm).
    pub fn new(lay: &MaterialMap, stage: &Sections, stations: &[f64], limits: Limits) -> Survey {
        let bars = stations.iter().filter_map(|&x| BarsAt::new(lay, stage, x)).collect();
        let (_, end) = stage.range();
        let count = (end / STEP).ceil();
        let along: Vec<Sight<'_>> = (0..count as usize)
            .into_par_iter()
            .filter_map(|i| Sight::new(lay, stage, (i as f64 + 0.5) * end / count))
            .collect();
        let (all, places) = (0..lay.billet().bars().len(), 0..lay.billet().places());
        let findings = near_edge(lay, stage, &along, limits.near_edge)
            .into_iter()
            .chain(places.clone().filter_map(|bar| ends(lay, stage, &along, bar)))
            .chain(places.skip(1).filter_map(|below| drift(lay, &along, below - 1)))
            .chain(all.clone().filter_map(|bar| thin(lay, &along, bar, limits.visible)))
            .chain(all.filter_map(|bar| ground_through(lay, stage, &along, bar)))
            .collect();
        Survey { bars, findings }
    }
}

/// The border above the edge bar where it is nearest to the edge.
fn near_edge(lay: &MaterialMap, stage: &Sections, along: &[Sight<'_>], limit: f64) -> Option<Finding> {
    let last = lay.billet().places() - 1;
    let bar = last.checked_sub(1)?;
    // At the point all bars come together: told is what comes near before the fan, or where the tip is cut.
    let fan = stage.fan_start();
    let seen = along.iter().filter(|sight| sight.bars.at < fan && sight.bars.places[last] > GONE);
    let nearest = seen.min_by(|a, b| a.bars.places[last].total_cmp(&b.bars.places[last]))?;
    let distance = nearest.bars.places[last];
    (distance < limit).then_some(Finding::NearEdge { bar, at: nearest.bars.at, distance })
}

/// Where a bar is lost before the point.
fn ends(lay: &MaterialMap, stage: &Sections, along: &[Sight<'_>], bar: usize) -> Option<Finding> {
    let last = along.iter().rposition(|sight| sight.bars.places[bar] > GONE)?;
    let gone = along.get(last + 1)?;
    let at = along[last].bars.at;
    // A bar of a forged tip gets as narrow as the point itself; only the last millimetres are left out.
    if at > stage.range().1 - 3.0 * STEP {
        return None;
    }
    let (low, high) = gone.section.range();
    let place = lay.billet().stacked_bars(Part::Blade).iter().position(|&b| b == bar)?;
    let upper = gone.plane.seams().nth(place).unwrap_or(high);
    Some(Finding::Ends { bar, at, through_edge: upper <= low + GONE })
}

/// Whether two twisted neighbours stop mirroring each other at their seam.
fn drift(lay: &MaterialMap, along: &[Sight<'_>], bar: usize) -> Option<Finding> {
    let (upper, lower) = (&lay.billet().bars()[bar], &lay.billet().bars()[bar + 1]);
    let parted = [bar, bar + 1].iter().any(|&bar| lay.billet().is_parted(bar));
    if parted || !(upper.twist.is_twisted() && lower.twist.is_twisted()) {
        return None;
    }
    let opposed = |s: f64| upper.twist.rate(s) * lower.twist.rate(s) < 0.0;
    let (mut from, mut worst) = (None, 0.0_f64);
    let both = |sight: &&Sight<'_>| sight.bars.places[bar] > GONE && sight.bars.places[bar + 1] > GONE;
    for sight in along.iter().filter(both) {
        let s = sight.plane.along();
        // Mirrored at the seam, their angles add up to none; layer sets look alike again after half a turn.
        let sum = (upper.twist.angle(s) + lower.twist.angle(s)) / std::f64::consts::TAU;
        let apart = (sum - (2.0 * sum).round() / 2.0).abs();
        if opposed(s) && apart > DRIFT {
            from.get_or_insert(sight.bars.at);
            worst = worst.max(apart);
        }
    }
    from.map(|from| Finding::Drift { bar, from, turns: worst })
}

/// Where a bar's layers are thinnest in the forged blade.
fn thin(lay: &MaterialMap, along: &[Sight<'_>], bar: usize, visible: f64) -> Option<Finding> {
    let made = &lay.billet().bars()[bar];
    let share = made.layers.thinnest()?;
    let (held, [tall, wide]) = (lay.billet().place_of(bar), made.share.cell().size());
    let place = lay.billet().stacked_bars(Part::Blade).iter().position(|&b| b == held)?;
    let thickness = |sight: &Sight<'_>| {
        let plane = &sight.plane;
        let (low, high) = plane.range();
        let cuts: Vec<f64> = [low].into_iter().chain(plane.seams()).chain([high]).collect();
        let (from, to) = (cuts[place], cuts[place + 1]);
        let (left, right) = plane.flanks(0.5 * (from + to));
        let (through, up) = (wide * (right - left), tall * (to - from));
        let across = match made.twist.is_twisted() {
            true => through.min(up),
            false => lay.billet().standing(bar).thickness([up, through], plane.stretch()),
        };
        (sight.bars.at, share * across)
    };
    let fan = lay.sections().fan_start();
    // Towards the point everything gets thinner: told is the blade before it.
    let seen = along.iter().filter(|s| s.bars.at < fan && s.bars.places[held] > GONE).map(thickness);
    let (at, thickness) = seen.min_by(|a, b| a.1.total_cmp(&b.1))?;
    (thickness < visible).then_some(Finding::Thin { bar, at, thickness })
}

/// Where a skin on the sides of a bar is ground through before the last breadth of the blade, beyond which everything
/// is thin.
fn ground_through(lay: &MaterialMap, stage: &Sections, along: &[Sight<'_>], bar: usize) -> Option<Finding> {
    let skin = lay.billet().bars().get(bar).filter(|made| made.share.cells.len() > 1)?;
    let of = skin.share.of?;
    // Sides reach as high as what they wrap; a skin on edge and back alone has none.
    let side = skin.share.cells.iter().find(|cell| cell.size()[1] < 1.0)?;
    let others: Vec<usize> = lay.billet().sharing(of).into_iter().filter(|&other| other != bar).collect();
    let place = lay.billet().stacked_bars(Part::Blade).iter().position(|&b| b == of)?;
    let gone = |sight: &Sight<'_>| {
        let (plane, section) = (&sight.plane, &sight.section);
        let borders = plane.cell_borders(place);
        let row =
            lay.billet().stack(Part::Blade).cells(place).iter().position(|row| row.from >= side.up[0])?;
        let within = [borders[row], borders[row + 1]];
        let count = lay.billet().bars().len();
        let sides = [true, false].map(|right| {
            let kept = seen(plane, section, right).into_iter().filter_map(|(bar, [from, to])| {
                let (from, to) = (from.max(within[0]), to.min(within[1]));
                (to > from).then_some((bar, [from, to]))
            });
            widths_of(&kept.collect::<Vec<_>>(), count)
        });
        let breadth = |side: &Vec<f64>| others.iter().map(|&other| side[other]).sum::<f64>();
        let worst = if breadth(&sides[0]) >= breadth(&sides[1]) { &sides[0] } else { &sides[1] };
        let shows = others.iter().copied().max_by(|a, b| worst[*a].total_cmp(&worst[*b]))?;
        (breadth(worst) > GONE).then(|| (sight.bars.at, breadth(worst), shows))
    };
    let fan = stage.fan_start();
    let all: Vec<(f64, f64, usize)> =
        along.iter().filter(|sight| sight.bars.at < fan).filter_map(gone).collect();
    let &(at, breadth, shows) = all.iter().max_by(|a, b| a.1.total_cmp(&b.1))?;
    Some(Finding::GroundThrough { bar, between: [all[0].0, all[all.len() - 1].0], at, breadth, shows })
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::billet::bar::{Bar, Direction, Squaring};
    use crate::billet::layers::LayerSet;
    use crate::billet::recipe::Tip;
    use crate::billet::twist::{Hand, Program, Turn};
    use crate::fixtures::{bar, billet, even, forged, four_bars, spec};
    use blade::{Blade, Stage};

    const LIMITS: Limits = Limits { near_edge: 3.0, visible: 0.1 };

    fn survey(bars: Vec<Bar>, tip: Tip) -> Survey {
        look(&MaterialMap::new(billet(bars, 11.0, tip), forged(&spec())).unwrap())
    }

    fn look(lay: &MaterialMap) -> Survey {
        let stage = Sections::of(&Blade::new(&spec()).unwrap().loft(Stage::Finished));
        Survey::new(lay, &stage, &[0.0, 100.0, 300.0, 500.0], LIMITS)
    }

    #[test]
    fn widths_fill_the_breadth_and_pitches_stretch() {
        let lay = MaterialMap::new(four_bars(Tip::Forged), forged(&spec())).unwrap();
        let seen = look(&lay);
        assert_eq!(seen.bars.iter().map(|b| b.at).collect::<Vec<_>>(), [0.0, 100.0, 300.0]);
        let stage = Blade::new(&spec()).unwrap().loft(Stage::Finished);
        for b in &seen.bars {
            let breadth = stage.station(b.at).unwrap().breadth;
            assert!((b.widths.iter().sum::<f64>() - breadth).abs() < 1e-4, "{b:?} {breadth}");
            assert!(b.pitches[0].is_none() && b.pitches[3].is_none());
            // 0.04 turns per mm of the stack.
            let stretched = 25.0 * lay.stretch(b.at).unwrap();
            assert!((b.pitches[1].unwrap() - stretched).abs() < 1e-9);
        }
        assert_eq!(seen.findings, []);
    }

    #[test]
    fn a_thin_edge_bar_is_told_where_it_is_thinnest() {
        let plain = |height, steel| Bar {
            layers: LayerSet::plain(steel),
            ..bar(height, Program::default(), Squaring::Forged)
        };
        let seen = survey(vec![plain(35.0, 2), plain(2.0, 0)], Tip::Forged);
        let [Finding::NearEdge { bar: 0, at, distance }] = seen.findings[..] else { panic!("{seen:?}") };
        assert!(distance < 3.0 && (0.0..430.0).contains(&at));
    }

    #[test]
    fn a_cut_tip_loses_its_edge_bars_through_the_edge_and_its_back_bars_through_the_back() {
        let seen = look(&MaterialMap::new(four_bars(Tip::Cut { from: 250.0 }), forged(&spec())).unwrap());
        let ends: Vec<_> = seen
            .findings
            .iter()
            .filter_map(|f| match f {
                Finding::Ends { bar, at, through_edge } => Some((*bar, *at, *through_edge)),
                _ => None,
            })
            .collect();
        // The broken back falls to the edge: the bars leave through the back one after the other.
        assert_eq!(ends.iter().map(|e| (e.0, e.2)).collect::<Vec<_>>(), [(0, false), (1, false), (2, false)]);
        assert!(ends.windows(2).all(|w| w[0].1 < w[1].1) && ends[0].1 > 300.0, "{ends:?}");
    }

    /// The station of a place along two bars of 18 mm.
    fn lay_station(along: f64) -> f64 {
        let bars = vec![
            bar(18.0, Program::default(), Squaring::Forged),
            bar(18.0, Program::default(), Squaring::Forged),
        ];
        MaterialMap::new(billet(bars, 11.0, Tip::Forged), forged(&spec())).unwrap().station(along)
    }

    #[test]
    fn unequal_turns_drift_apart() {
        let opposed = |turns| {
            let bars = vec![
                bar(18.0, even(Hand::Right, 0.04), Squaring::Forged),
                bar(18.0, even(Hand::Left, turns), Squaring::Forged),
            ];
            survey(bars, Tip::Forged)
        };
        assert_eq!(opposed(0.04).findings, []);
        let seen = opposed(0.0405);
        let [Finding::Drift { bar: 0, from, turns }] = seen.findings[..] else { panic!("{seen:?}") };
        // 0.0005 turns per mm of the bars: a sixteenth is reached 125 mm along them.
        let lay_at = lay_station(125.0);
        assert!((from - lay_at).abs() < 1.0 && turns > 1.0 / 16.0, "{from} {lay_at} {turns}");
    }

    #[test]
    fn chevrons_of_one_phase_apart_are_told_at_once() {
        let turn = |hand| [Turn { length: None, twist: Some((hand, 0.04)) }];
        let bars = vec![
            bar(18.0, Program::new(0.0, &turn(Hand::Right)), Squaring::Forged),
            bar(18.0, Program::new(std::f64::consts::FRAC_PI_2, &turn(Hand::Left)), Squaring::Forged),
        ];
        let seen = survey(bars, Tip::Forged);
        let [Finding::Drift { from, turns, .. }] = seen.findings[..] else { panic!("{seen:?}") };
        assert!(from < 2.0 && (turns - 0.25).abs() < 1e-9);
    }

    #[test]
    fn layers_too_thin_to_see_are_told() {
        let layers: Vec<_> = (0..200).map(|i| (i % 2, 1.0)).collect();
        let fine = Bar {
            layers: LayerSet::stacked(&layers, 1).unwrap(),
            direction: Direction::Flat,
            ..bar(36.0, Program::default(), Squaring::Forged)
        };
        let seen = survey(vec![fine], Tip::Forged);
        let [Finding::Thin { bar: 0, thickness, .. }] = seen.findings[..] else { panic!("{seen:?}") };
        assert!((0.01..0.04).contains(&thickness), "{thickness}");
    }
}
