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
use crate::slab::writer::Writer;
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

/// Steps by which a relief's radius grows for a wide cut, mm, and how many at most: 6 mm more bears every cutter's kerf.
const GROWTH: f64 = 0.25;
const MOST_GROWN: u32 = 24;

/// How far below the back a grown relief ends at least, mm: some flank is left to be seen.
const BELOW_BACK: f64 = 2.0;

/// How near to the relief's rim a corner lies that is on it, mm: what halving to the last bit leaves.
const RIM: f64 = 1e-6;

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

/// The printed gauges of a stage, in order of the stations.
pub(crate) fn section_gauges(design: &Design, stage: Stage) -> Vec<Gauge> {
    let loft = design.blade().loft(stage);
    let stations = &design.gauges().stations;
    let figures = design.figures();
    let gauge = |(&at, name): (&f64, String)| {
        let negative = negative(design.blade(), &loft, at, design.shop().press)?;
        Some(Gauge {
            name: format!("section-{stage}-{name}"),
            title: format!("Section gauge at {} from the shoulder ({stage})", figures.size(at)),
            note: NOTE.to_owned(),
            stage: Some(stage),
            slab: slab(design, stage, at, &negative),
        })
    };
    stations.iter().zip(station_names(stations, figures)).filter_map(gauge).collect()
}

/// A name for each station, numbered where several would have the same.
pub fn station_names(stations: &[f64], figures: Figures) -> Vec<String> {
    let name = |(i, &at): (usize, &f64)| {
        let name = station_name(at, figures);
        let twin = stations[..i].iter().filter(|s| station_name(**s, figures) == name).count();
        let suffix = if twin > 0 { format!("-{}", twin + 1) } else { String::new() };
        format!("{name}{suffix}")
    };
    stations.iter().enumerate().map(name).collect()
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
    let relief = Relief::under(edge(&section)[0], edge(&section)[1].x);
    Negative::of(section, gap, relief)
}

/// The same with its relief grown until the way into it is at least `neck` mm wide, or `None` where no relief of sense
/// does that.
pub(crate) fn negative_with_neck(
    blade: &Blade,
    loft: &Loft,
    at: f64,
    gap: f64,
    neck: f64,
) -> Option<Negative> {
    let section = bridged(section(blade, loft, at)?);
    let [middle, size] = edge(&section);
    let reliefs = (0..=MOST_GROWN).map(|i| Relief::under(middle, size.x).wider(GROWTH * f64::from(i)));
    // The relief stays below the back.
    let most = section.bounds()[1].y - BELOW_BACK;
    let made = |relief: Relief| Negative::of(section.clone(), gap, relief).filter(|_| relief.top() < most);
    reliefs.filter_map(made).find(|negative| negative.neck() >= neck)
}

/// The middle of a section's edge, and the edge's thickness (as x), mm.
fn edge(section: &Contour) -> [DVec2; 2] {
    let low = section.bounds()[0].y;
    let [left, right] = extent(section, low + EDGE, Part::Below);
    [DVec2::new(0.5 * (left + right), low), DVec2::new(right - left, 0.0)]
}

impl Negative {
    /// The notch around a section (fullers bridged) with a gap (mm) and a relief.
    fn of(section: Contour, gap: f64, relief: Relief) -> Option<Negative> {
        let grown = grown(&section, gap)?;
        // An unbevelled section is as thick as anywhere at its edge already.
        let level = thickest(&section).max(relief.top());
        let chain = relieved(&below(&grown, level), &relief)?;
        Some(Negative { section, level, relief, chain })
    }

    /// Width of the notch where it opens into the relief, mm.
    fn neck(&self) -> f64 {
        let on_rim = |c: &&Corner| (c.at.distance(self.relief.centre) - self.relief.radius).abs() < RIM;
        let ends = [self.chain.iter().find(on_rim), self.chain.iter().rev().find(on_rim)];
        let [Some(left), Some(right)] = ends else { return 0.0 };
        right.at.x - left.at.x
    }
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

/// The printed gauge.
fn slab(design: &Design, stage: Stage, at: f64, negative: &Negative) -> Slab {
    let writer = Lettering::least(design.shop().nozzle);
    let words = words(design, stage, at, negative);
    let (outline, engraving) = plate(&writer, design.slug(), words, negative);
    let thickness = design.gauges().thickness;
    Slab { outline, holes: Vec::new(), engraving, thickness, depth: label::depth(thickness) }
}

/// The gauge's plate: the section's negative, its words under it, and under them as much of the name as has room.
pub(crate) fn plate<W: Writer>(
    writer: &W,
    slug: &str,
    words: [String; 3],
    negative: &Negative,
) -> (Contour, Vec<W::Mark>) {
    let (room, line) = (label::room(writer), label::line(writer));
    let [left, right] = [0, negative.chain.len() - 1].map(|i| negative.chain[i].at.x);
    let wall = WALL.max(negative.relief.radius - 0.5 * (right - left) + WALL);
    let middle = 0.5 * (left + right);
    let text = label::widest(writer, &words).max(label::least_name(writer, slug));
    let half = (0.5 * (right - left) + wall).max(0.5 * text + room);
    let (small, name) = label::fitting(writer, slug, 2.0 * (half - room));
    let floor = negative.relief.bottom();
    let bottom = floor - room - (words.len() + 1) as f64 * line;
    let top = (negative.level + OPENING).max(negative.section.bounds()[0].y + DEPTH);
    let place = |i: usize| DVec2::new(middle, floor - (i + 1) as f64 * line);
    let outline = notched(negative, [DVec2::new(middle - half, bottom), DVec2::new(middle + half, top)]);
    let marks = (0..words.len()).flat_map(|i| label::anchored(writer, &words[i], place(i), Anchor::Middle));
    let name = label::anchored(&small, &name, place(words.len()), Anchor::Middle);
    (outline, marks.chain(name).collect())
}

/// Station, stage and breadth.
pub(crate) fn words(design: &Design, stage: Stage, at: f64, negative: &Negative) -> [String; 3] {
    let figures = design.figures();
    let [low, high] = negative.section.bounds();
    [
        format!("AT {}", figures.station(at)),
        stage.name().to_ascii_uppercase(),
        format!("B {}", figures.length(high.y - low.y)),
    ]
}

/// The plate between two corners with the notch in its upper edge.
fn notched(negative: &Negative, [low, high]: [DVec2; 2]) -> Contour {
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
    use crate::fixtures::{from_side, profiles};

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
