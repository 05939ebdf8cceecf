//! Section gauges: for each station a plate with a notch that takes the blade's edge and copies its flanks.

use blade::{Blade, Loft, Stage};
use design::{Design, Figures, Unit};
use glam::DVec2;

use crate::gauge::relief::Relief;
use crate::gauge::unlaid::Gauge;
use crate::names::in_name;
use crate::slab::contour::Contour;
use crate::slab::corner::Corner;
use crate::slab::extrusion::Slab;
use crate::slab::halves::{Part, below, extent, point, section, stretch};
use crate::slab::label;
use crate::slab::lettering::Lettering;
use drawing::Anchor;

/// Least wall beside the notch, mm: stiff enough not to spread over the blade (common practice, no source).
const WALL: f64 = 8.0;

/// How far the notch goes on straight above the thickest place, mm: guides the blade in (common practice, no source).
const OPENING: f64 = 2.0;

/// Least depth of the whole notch above the edge, mm: holds an unbevelled section upright (common practice, no source).
const DEPTH: f64 = 8.0;

/// The flanks are copied up to where the blade is this near its greatest thickness, mm: far under what a printer holds,
/// and over what a fitted flank meant to be parallel swells.
const NEARLY: f64 = 0.002;

/// Height within which the section's lowest points count as its edge, mm: fitted corners differ by some 1e-5.
const EDGE: f64 = 1e-3;

/// The notch in the section's own coordinates, mm.
#[derive(Clone, Debug, PartialEq)]
pub(crate) struct Negative {
    /// The section it is made from, fullers bridged.
    pub(crate) section: Contour,
    /// Up to where it copies the flanks.
    pub(crate) level: f64,
    pub(crate) relief: Relief,
    /// From the left end of the copied flanks around the relief to the right end.
    pub(crate) chain: Vec<Corner>,
}

/// The gauges of a stage, in order of the stations.
pub(crate) fn section_gauges(design: &Design, stage: Stage) -> Vec<Gauge> {
    let loft = design.blade().loft(stage);
    let stations = &design.gauges().stations;
    let figures = design.figures();
    let gauge = |(i, &at): (usize, &f64)| {
        let negative = negative(design.blade(), &loft, at, design.shop().press)?;
        let name = station_name(at, figures);
        let twin = stations[..i].iter().filter(|s| station_name(**s, figures) == name).count();
        let suffix = if twin > 0 { format!("-{}", twin + 1) } else { String::new() };
        Some(Gauge {
            name: format!("section-{stage}-{name}{suffix}"),
            title: format!("Section gauge at {} from the shoulder ({stage})", figures.size(at)),
            note: NOTE.to_owned(),
            stage: Some(stage),
            slab: slab(design, stage, at, &negative),
        })
    };
    stations.iter().enumerate().filter_map(gauge).collect()
}

const NOTE: &str = "Hold it square to the blade at its station, words towards the hilt, and push the edge in: it fits \
                    when the same narrow gap of light shows along both flanks. The edge itself touches nothing. For \
                    cold steel only: printed plastic softens near hot steel.";

/// A station in a file name: in whole mm, or in inches as a fraction or to a hundredth.
fn station_name(at: f64, figures: Figures) -> String {
    match figures.unit {
        Unit::Millimetre => in_name(at.round(), figures, 0),
        Unit::Inch => in_name(at, Figures { fractions: true, ..figures }, 2),
    }
}

/// The notch for a station with a gap (mm) square to the flanks.
pub(crate) fn negative(blade: &Blade, loft: &Loft, at: f64, gap: f64) -> Option<Negative> {
    let section = bridged(section(blade, loft, at)?);
    let grown = grown(&section, gap)?;
    let low = section.bounds()[0].y;
    let [left, right] = extent(&section, low + EDGE, Part::Below);
    let relief = Relief::under(DVec2::new(0.5 * (left + right), low), right - left);
    // An unbevelled section is as thick as anywhere at its edge already.
    let level = thickest(&section).max(relief.top());
    let chain = relieved(&below(&grown, level), &relief)?;
    Some(Negative { section, level, relief, chain })
}

/// The section a gap (mm) further out.
fn grown(section: &Contour, gap: f64) -> Option<Contour> {
    if gap > 0.0 { section.grown(gap).into_iter().next() } else { Some(section.clone()) }
}

/// Fullers bridged by straight lines, so that the gauge slides on: they are the grooves that do not begin at the edge.
fn bridged(mut section: Contour) -> Contour {
    let low = section.bounds()[0].y;
    let ends: Vec<DVec2> = section.sides().map(|(_, end)| end).collect();
    for (corner, end) in section.corners.iter_mut().zip(ends) {
        if corner.bulge < 0.0 && corner.at.y.min(end.y) > low + EDGE {
            corner.bulge = 0.0;
        }
    }
    section
}

/// The least height at which the section is as thick as anywhere, but for [`NEARLY`].
fn thickest(section: &Contour) -> f64 {
    let [low, high] = section.bounds();
    let wanted = high.x - low.x - NEARLY;
    let wide = |level: f64| {
        let [left, right] = extent(section, level, Part::Below);
        right - left >= wanted
    };
    let (mut under, mut over) = (low.y, high.y);
    // 50 halvings reach the last bit.
    for _ in 0..50 {
        let middle = 0.5 * (under + over);
        if wide(middle) { over = middle } else { under = middle }
    }
    over
}

/// A chain from left to right with its part inside the relief's circle replaced by the circle's lower arc.
fn relieved(chain: &[Corner], relief: &Relief) -> Option<Vec<Corner>> {
    let sides: Vec<(Corner, DVec2)> = chain.windows(2).map(|pair| (pair[0], pair[1].at)).collect();
    let outside = |p: DVec2| p.distance(relief.centre) > relief.radius;
    let first = sides.iter().position(|side| !outside(side.1))?;
    let last = sides.iter().rposition(|side| !outside(side.0.at))?;
    let (left, entry) = stretch(sides[first].0, sides[first].1, [0.0, rim(sides[first], outside)]);
    let (mut right, end) = stretch(sides[last].0, sides[last].1, [rim(sides[last], outside), 1.0]);
    let arc = relief.arc(right.at, entry);
    let mut corners: Vec<Corner> = sides[..first].iter().map(|side| side.0).collect();
    corners.push(left);
    corners.extend(reversed(&arc, entry));
    right.at = arc.first()?.at;
    corners.push(right);
    corners.extend(sides[last + 1..].iter().map(|side| side.0));
    corners.push(Corner::sharp(sides.last().map_or(end, |side| side.1)));
    Some(corners)
}

/// The way back along an open chain that ends at `end`, without its new end.
fn reversed(chain: &[Corner], end: DVec2) -> Vec<Corner> {
    let starts = chain.iter().skip(1).map(|c| c.at).chain([end]);
    let mut back: Vec<Corner> =
        chain.iter().zip(starts).map(|(c, at)| Corner { at, bulge: -c.bulge }).collect();
    back.reverse();
    back
}

/// The share of a side's way at which it crosses a border between its ends.
fn rim((a, b): (Corner, DVec2), outside: impl Fn(DVec2) -> bool) -> f64 {
    let start = outside(a.at);
    let (mut low, mut high) = (0.0, 1.0);
    // 50 halvings reach the last bit.
    for _ in 0..50 {
        let middle = 0.5 * (low + high);
        if outside(point(a, b, middle)) == start { low = middle } else { high = middle }
    }
    0.5 * (low + high)
}

/// The gauge's plate: the section's negative, and its words under it.
fn slab(design: &Design, stage: Stage, at: f64, negative: &Negative) -> Slab {
    let lettering = Lettering::least(design.shop().nozzle);
    let words = words(design, stage, at, negative);
    let (room, line) = (label::room(&lettering), label::line(&lettering));
    let [left, right] = [0, negative.chain.len() - 1].map(|i| negative.chain[i].at.x);
    let wall = WALL.max(negative.relief.radius - 0.5 * (right - left) + WALL);
    let middle = 0.5 * (left + right);
    let half = (0.5 * (right - left) + wall).max(0.5 * label::widest(&lettering, &words) + room);
    let floor = negative.relief.bottom();
    let bottom = floor - room - words.len() as f64 * line;
    let top = (negative.level + OPENING).max(negative.section.bounds()[0].y + DEPTH);
    let place = |i: usize| DVec2::new(middle, floor - (i + 1) as f64 * line);
    let thickness = design.gauges().thickness;
    Slab {
        outline: plate(negative, [DVec2::new(middle - half, bottom), DVec2::new(middle + half, top)]),
        holes: Vec::new(),
        engraving: (0..words.len())
            .flat_map(|i| label::anchored(&lettering, &words[i], place(i), Anchor::Middle))
            .collect(),
        thickness,
        depth: label::depth(thickness),
    }
}

/// Station, stage and breadth.
fn words(design: &Design, stage: Stage, at: f64, negative: &Negative) -> [String; 3] {
    let figures = design.figures();
    let [low, high] = negative.section.bounds();
    [
        format!("AT {}", figures.station(at)),
        stage.name().to_ascii_uppercase(),
        format!("B {}", figures.length(high.y - low.y)),
    ]
}

/// The plate between two corners with the notch in its upper edge.
fn plate(negative: &Negative, [low, high]: [DVec2; 2]) -> Contour {
    let chain = &negative.chain;
    let (body, end) = chain.split_at(chain.len() - 1);
    let right = end[0].at;
    let sharp = |x: f64, y: f64| Corner::sharp(DVec2::new(x, y));
    let mut corners =
        vec![sharp(low.x, low.y), sharp(high.x, low.y), sharp(high.x, high.y), sharp(right.x, high.y)];
    corners.extend(reversed(body, right));
    corners.extend([sharp(chain[0].at.x, chain[0].at.y), sharp(chain[0].at.x, high.y), sharp(low.x, high.y)]);
    Contour { corners }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::fixtures::profiles;
    use crate::slab::corner::arc_of;

    /// Distance of a point from a side.
    fn from_side(p: DVec2, (a, b): (Corner, DVec2)) -> f64 {
        let ends = p.distance(a.at).min(p.distance(b));
        if a.bulge.abs() < 1e-9 {
            let along = ((p - a.at).dot(b - a.at) / (b - a.at).length_squared()).clamp(0.0, 1.0);
            return p.distance(a.at.lerp(b, along));
        }
        let (centre, radius, from, to) = arc_of(a.at, a.bulge, b);
        let turn = ((p - centre).to_angle() - from) * (to - from).signum();
        let within = turn.rem_euclid(std::f64::consts::TAU) <= (to - from).abs();
        if within { (p.distance(centre) - radius).abs() } else { ends }
    }

    #[test]
    fn the_notch_keeps_the_gap_from_the_section() {
        for (name, design) in profiles() {
            let gap = design.shop().press;
            for stage in [Stage::Forged, Stage::Ground] {
                let loft = design.blade().loft(stage);
                for &at in &design.gauges().stations {
                    let n = negative(design.blade(), &loft, at, gap).unwrap();
                    let mut copied = 0;
                    for pair in n.chain.windows(2) {
                        for i in 0..=20 {
                            let p = point(pair[0], pair[1].at, f64::from(i) / 20.0);
                            let rim = p.distance(n.relief.centre) - n.relief.radius;
                            let off =
                                n.section.sides().map(|s| from_side(p, s)).fold(f64::INFINITY, f64::min);
                            assert!(rim > -1e-6, "{name} {stage} {at}: {p}");
                            if rim > 1e-6 {
                                assert!((off - gap).abs() < 0.005, "{name} {stage} {at}: {p} {off}");
                                copied += 1;
                            } else {
                                assert!(off > gap - 0.005, "{name} {stage} {at}: {p} {off}");
                            }
                        }
                    }
                    assert!(copied > 20, "{name} {stage} {at}: {copied}");
                }
            }
        }
    }

    #[test]
    fn the_blade_slides_in_and_its_edge_stays_clear() {
        for (name, design) in profiles() {
            let loft = design.blade().loft(Stage::Ground);
            for &at in &design.gauges().stations {
                let n = negative(design.blade(), &loft, at, design.shop().press).unwrap();
                let [low, high] = n.section.bounds();
                let [left, right] = [n.chain[0].at.x, n.chain[n.chain.len() - 1].at.x];
                assert!(left < low.x && right > high.x, "{name} {at}");
                let edge = extent(&n.section, low.y + EDGE, Part::Below);
                for x in edge {
                    let clear = n.relief.radius - DVec2::new(x, low.y).distance(n.relief.centre);
                    assert!(clear > 0.5, "{name} {at}: {clear}");
                }
            }
        }
    }

    #[test]
    fn a_blade_without_fullers_is_copied_as_it_is() {
        for (name, design) in profiles().into_iter().filter(|(_, d)| d.blade().spec().fullers.is_empty()) {
            for stage in [Stage::Forged, Stage::Ground] {
                let loft = design.blade().loft(stage);
                for &at in &design.gauges().stations {
                    let section = section(design.blade(), &loft, at).unwrap();
                    assert_eq!(bridged(section.clone()), section, "{name} {stage} {at}");
                    let edge = loft.station(at.min(design.blade().fan_start() - 1e-6)).unwrap().edge;
                    let [low, _] = section.bounds();
                    let [left, right] = extent(&section, low.y + EDGE, Part::Below);
                    assert!((right - left - edge).abs() < 0.01, "{name} {stage} {at}: {left} {right} {edge}");
                }
            }
        }
    }
}
