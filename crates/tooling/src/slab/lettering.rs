//! Lettering to engrave in printed plates: a line of text as regions that a nozzle can print.

use std::collections::{BTreeMap, BTreeSet};
use std::sync::{Arc, Mutex, OnceLock, PoisonError};

use epaint_default_fonts::HACK_REGULAR;
use glam::DVec2;
use i_overlay::core::fill_rule::FillRule;
use i_overlay::float::simplify::SimplifyShape;
use i_overlay::mesh::float::outline::offset::OutlineOffset;
use i_overlay::mesh::float::style::{LineJoin, OutlineStyle};
use rayon::iter::{IntoParallelIterator, ParallelIterator};
use skrifa::instance::{LocationRef, Size};
use skrifa::outline::{DrawSettings, OutlinePen};
use skrifa::{FontRef, GlyphId, MetadataProvider};

use crate::slab::contour::{Contour, Motion, Region};
use crate::slab::corner::Corner;

/// Height of Hack's capitals in font units: sCapHeight in the font's OS/2 table, and the height of its H.
const CAPITAL: f64 = 1493.0;

/// Advance of each of Hack's characters in font units, from the font's hmtx table.
const ADVANCE: f64 = 1233.0;

/// Least height of capitals, mm: smaller ones are hard to read at arm's length on a bench (common practice, no source).
const LEAST_HEIGHT: f64 = 3.5;

/// Least height of capitals in widths of the nozzle. Hack's thinnest places measure 0.052 capitals (the joints of m), but
/// are 0.074 and more once gaps narrower than a nozzle of 0.08 capitals are filled (measured); the dot of an i stands
/// 0.136 off its stem and so stays free. A nozzle of 0.1 capitals would close the dot and the eye of the e.
const LEAST_NOZZLES: f64 = 12.5;

/// By how much outlines grow, in heights: 0.0027 for the thinnest stroke at the least height (measured), and `FIT` that
/// the fitted arcs may take away again.
const BOLD: f64 = 0.006;

/// How far fitted lines and arcs may lie from the outline, in heights: 0.015 mm on 5 mm, below what printers resolve.
const FIT: f64 = 0.003;

/// Pieces to a quadratic before fitting: a chord then keeps within 0.0025 of the arms of a right-angled one.
const PIECES: u32 = 12;

/// Least distance between corners, mm: finer detail costs faces and never shows in plastic.
const APART: f64 = 0.01;

/// A turn from here on, rad, is a corner of the letter and not a step along its curve (at most 0.17 for `PIECES`).
const SHARP: f64 = 0.45;

/// Step of round joins, rad: a chord then keeps within 0.13 % of the radius, half a nozzle.
const ROUND: f64 = 0.1;

/// Greatest bulge of an arc, 140° of turn: well short of the half turn at which corners lose their sense.
const FULLEST: f64 = 0.7;

/// A share of the tolerance within which an arc counts as straight: nearly straight arcs have absurd radii.
const STRAIGHT: f64 = 0.1;

/// Closed rings of points; outer ones and islands told apart by their sense of turning.
type Rings = Vec<Vec<[f64; 2]>>;

/// Letters made so far or being made, by letter and the bits of height and nozzle.
type Made = BTreeMap<(char, u64, u64), Arc<OnceLock<Vec<Region>>>>;

/// Most letters that are kept: a build uses some dozens of them in a few heights, and each takes a few kilobytes.
const MOST_KEPT: usize = 2048;

/// Letters made so far: they depend on nothing else, so all threads may share them.
static MADE: Mutex<Made> = Mutex::new(BTreeMap::new());

/// Lettering of one line in a monospaced typeface, fit for a nozzle: gaps narrower than the nozzle are filled and
/// strokes made as wide as it. At the least height a few marks do come closer than that, for want of room: the slash
/// of a % to its rings, accents to their capitals.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Lettering {
    height: f64,
    nozzle: f64,
}

impl Lettering {
    /// The least lettering that a nozzle of this width (mm, positive) prints legibly, at least 3.5 mm high.
    pub fn least(nozzle: f64) -> Lettering {
        Lettering { height: LEAST_HEIGHT.max(LEAST_NOZZLES * nozzle), nozzle }
    }

    /// Lettering with capitals of this height (mm) for a nozzle of this width (mm, positive); never below the least.
    pub fn of_height(height: f64, nozzle: f64) -> Lettering {
        let least = Lettering::least(nozzle);
        Lettering { height: least.height.max(height), nozzle }
    }

    /// Height of the capitals, mm; printed ones are 1.2 % taller, for outlines grow by 0.6 % all around.
    pub fn height(&self) -> f64 {
        self.height
    }

    /// Width of the nozzle, mm.
    pub(crate) fn nozzle(&self) -> f64 {
        self.nozzle
    }

    /// Width of a line, mm: all characters take the same room, half the gap to the next included at both ends.
    pub fn width(&self, text: &str) -> f64 {
        self.advance() * text.chars().count() as f64
    }

    /// The line's regions, mm, disjoint, letter by letter: it starts at the origin and runs along +x on the base line.
    /// A character that the typeface lacks shows as its replacement box.
    pub fn regions(&self, text: &str) -> Vec<Region> {
        let letters: BTreeSet<char> = text.chars().collect();
        let missing: Vec<char> = letters.into_iter().filter(|&c| self.kept(c).get().is_none()).collect();
        missing.into_par_iter().for_each(|letter| self.with(letter, |_| ()));
        let placed = |(place, letter): (usize, char)| {
            let motion = Motion::shift(DVec2::new(place as f64 * self.advance(), 0.0));
            self.with(letter, |made| made.iter().map(|r| r.moved(&motion)).collect::<Vec<_>>())
        };
        text.chars().enumerate().flat_map(placed).collect()
    }

    /// What is read of a letter's regions in the first place of a line, made once: plates repeat the same figures
    /// many times.
    fn with<T>(&self, letter: char, read: impl Fn(&[Region]) -> T) -> T {
        read(self.kept(letter).get_or_init(|| self.made(letter)))
    }

    /// Where a letter is kept. It is made outside the lock, so that other threads go on with other letters.
    fn kept(&self, letter: char) -> Arc<OnceLock<Vec<Region>>> {
        let mut kept = MADE.lock().unwrap_or_else(PoisonError::into_inner);
        if kept.len() >= MOST_KEPT {
            kept.clear();
        }
        Arc::clone(kept.entry((letter, self.height.to_bits(), self.nozzle.to_bits())).or_default())
    }

    fn made(&self, letter: char) -> Vec<Region> {
        let Ok(font) = FontRef::new(HACK_REGULAR) else {
            return Vec::new();
        };
        let rings = self.glyph(&font, letter);
        let shapes = if rings.is_empty() { Vec::new() } else { self.printable(&rings) };
        shapes.iter().filter_map(|rings| self.region(rings)).collect()
    }

    /// Millimetres to a font unit.
    fn scale(&self) -> f64 {
        self.height / CAPITAL
    }

    /// Room between the widest letters, so that those filling their advance (W) stay a nozzle apart, mm.
    fn tracking(&self) -> f64 {
        self.nozzle + 2.0 * (BOLD + FIT) * self.height
    }

    /// From one character to the next, mm.
    fn advance(&self) -> f64 {
        ADVANCE * self.scale() + self.tracking()
    }

    /// The typeface's own outlines of a character in the first place, mm: the replacement box's if it has none.
    fn glyph(&self, font: &FontRef<'_>, letter: char) -> Rings {
        let origin = self.tracking() / 2.0;
        let mut pen = Tracer { rings: Vec::new(), scale: self.scale(), origin };
        let glyph = font.charmap().map(letter).unwrap_or(GlyphId::NOTDEF);
        if let Some(outline) = font.outline_glyphs().get(glyph) {
            // Outlines of the built-in font always draw.
            let _drawn =
                outline.draw(DrawSettings::unhinted(Size::unscaled(), LocationRef::default()), &mut pen);
        }
        pen.rings
    }

    /// Unites overlapping outlines, grows them and fills gaps narrower than the nozzle: growing by half a nozzle and
    /// shrinking as much again leaves only gaps in which a disc as wide as the nozzle can move. Should the filling
    /// itself hang on by less than a nozzle (between the slash and the rings of a %), the gaps stay.
    fn printable(&self, rings: &Rings) -> Vec<Rings> {
        let united = rings.simplify_shape(FillRule::NonZero);
        let bold = united.outline(&OutlineStyle::new(BOLD * self.height).line_join(LineJoin::Miter(ROUND)));
        let half = self.nozzle / 2.0 + FIT * self.height;
        let filled = round(&round(&bold, half), -half);
        if counts(&round(&sparse(&filled), -self.nozzle / 2.0)) == counts(&filled) { filled } else { bold }
    }

    /// A region from its rings, the outer one first; nothing if it is too small to have corners.
    fn region(&self, rings: &Rings) -> Option<Region> {
        let mut contours = rings.iter().filter_map(|ring| self.contour(ring));
        Some(Region { outer: contours.next()?, islands: contours.collect() })
    }

    /// Few lines and arcs along a ring, counter-clockwise; nothing if it is too small to have corners.
    fn contour(&self, ring: &[[f64; 2]]) -> Option<Contour> {
        let mut points = thinned(ring.iter().map(|&at| DVec2::from_array(at)));
        if points.len() < 3 {
            return None;
        }
        if doubled_area(&points) < 0.0 {
            points.reverse();
        }
        from_sharpest(&mut points);
        Some(Contour { corners: fitted(&points, FIT * self.height) })
    }
}

/// Takes outlines in font units and keeps them as rings of points in mm.
struct Tracer {
    rings: Rings,
    scale: f64,
    origin: f64,
}

impl Tracer {
    /// A point of the font in mm.
    fn place(&self, x: f32, y: f32) -> DVec2 {
        DVec2::new(self.origin + self.scale * f64::from(x), self.scale * f64::from(y))
    }

    /// Goes on to a point.
    fn push(&mut self, at: DVec2) {
        if let Some(ring) = self.rings.last_mut() {
            ring.push(at.to_array());
        }
    }

    /// Where the pen stands; the origin before anything is drawn.
    fn last(&self) -> DVec2 {
        let point = self.rings.last().and_then(|ring| ring.last());
        point.map_or(DVec2::ZERO, |&at| DVec2::from_array(at))
    }

    /// Goes along a Bézier curve given by its value at a parameter from 0 to 1.
    fn curve(&mut self, at: impl Fn(f64) -> DVec2) {
        for piece in 1..=PIECES {
            self.push(at(f64::from(piece) / f64::from(PIECES)));
        }
    }
}

impl OutlinePen for Tracer {
    fn move_to(&mut self, x: f32, y: f32) {
        self.rings.push(Vec::new());
        self.push(self.place(x, y));
    }

    fn line_to(&mut self, x: f32, y: f32) {
        self.push(self.place(x, y));
    }

    fn quad_to(&mut self, cx0: f32, cy0: f32, x: f32, y: f32) {
        let (a, b, c) = (self.last(), self.place(cx0, cy0), self.place(x, y));
        self.curve(|t| a.lerp(b, t).lerp(b.lerp(c, t), t));
    }

    fn curve_to(&mut self, cx0: f32, cy0: f32, cx1: f32, cy1: f32, x: f32, y: f32) {
        let (a, b, c, d) = (self.last(), self.place(cx0, cy0), self.place(cx1, cy1), self.place(x, y));
        let quad = |a: DVec2, b: DVec2, c: DVec2, t| a.lerp(b, t).lerp(b.lerp(c, t), t);
        self.curve(|t| quad(a, b, c, t).lerp(quad(b, c, d, t), t));
    }

    fn close(&mut self) {}
}

/// Shapes grown by a distance (mm, negative to shrink) with round joins, without slivers left of rounding.
fn round(shapes: &Vec<Rings>, distance: f64) -> Vec<Rings> {
    let mut grown = shapes.outline(&OutlineStyle::new(distance).line_join(LineJoin::Round(ROUND)));
    grown.iter_mut().for_each(|rings| rings.retain(|ring| !is_sliver(ring)));
    grown.retain(|rings| !rings.is_empty());
    grown
}

/// Shapes without the swarms of points that rounding leaves in their corners: most of the time went into these, and strokes hang
/// on as well without them.
fn sparse(shapes: &[Rings]) -> Vec<Rings> {
    let ring = |ring: &Vec<[f64; 2]>| {
        let kept = thinned(ring.iter().map(|&at| DVec2::from_array(at)));
        kept.iter().map(DVec2::to_array).collect()
    };
    let rings = |rings: &Rings| rings.iter().map(ring).collect();
    shapes.iter().map(rings).collect()
}

/// Whether a ring bounds less than a square as wide as corners must be apart.
fn is_sliver(ring: &[[f64; 2]]) -> bool {
    let points: Vec<DVec2> = ring.iter().map(|&at| DVec2::from_array(at)).collect();
    doubled_area(&points).abs() < 2.0 * APART * APART
}

/// How many rings each shape has, in rising order: what keeps its pieces and islands keeps these.
fn counts(shapes: &[Rings]) -> Vec<usize> {
    let mut counts: Vec<usize> = shapes.iter().map(Vec::len).collect();
    counts.sort_unstable();
    counts
}

/// Points along a ring, none closer than `APART` to the one before; the ring closes over at least as much.
fn thinned(points: impl Iterator<Item = DVec2>) -> Vec<DVec2> {
    let mut kept: Vec<DVec2> = Vec::new();
    for point in points {
        if kept.last().is_none_or(|last| last.distance(point) >= APART) {
            kept.push(point);
        }
    }
    while kept.len() > 1 && kept[0].distance(kept[kept.len() - 1]) < APART {
        kept.pop();
    }
    kept
}

/// Twice the area within a ring of points, mm²; positive if it runs counter-clockwise (Gauss's shoelace formula).
fn doubled_area(points: &[DVec2]) -> f64 {
    let next = points.iter().cycle().skip(1);
    points.iter().zip(next).map(|(a, b)| a.perp_dot(*b)).sum()
}

/// The turn at the middle of three points, rad, positive to the left.
fn turn(a: DVec2, b: DVec2, c: DVec2) -> f64 {
    let (to, from) = (b - a, c - b);
    to.perp_dot(from).atan2(to.dot(from))
}

/// Starts a ring at its sharpest corner, for no line or arc leads past the start.
fn from_sharpest(points: &mut [DVec2]) {
    let count = points.len();
    let sharpness =
        |at: usize| turn(points[(at + count - 1) % count], points[at], points[(at + 1) % count]).abs();
    let sharpest = (0..count).max_by(|&a, &b| sharpness(a).total_cmp(&sharpness(b)).then(b.cmp(&a)));
    points.rotate_left(sharpest.unwrap_or(0));
}

/// Few lines and arcs along a ring, within a tolerance (mm) of it, each as long as can be.
fn fitted(points: &[DVec2], tolerance: f64) -> Vec<Corner> {
    let ring: Vec<DVec2> = points.iter().chain(points.first()).copied().collect();
    let (mut corners, mut start) = (Vec::new(), 0);
    while start + 1 < ring.len() {
        let (end, bulge) = longest(&ring, start, tolerance);
        corners.push(Corner { at: ring[start], bulge });
        start = end;
    }
    corners
}

/// Where the longest line or arc from a point of the ring ends, and its bulge.
fn longest(ring: &[DVec2], start: usize, tolerance: f64) -> (usize, f64) {
    let mut found = (start + 1, 0.0);
    for end in start + 2..ring.len() {
        if turn(ring[end - 2], ring[end - 1], ring[end]).abs() > SHARP {
            break;
        }
        match piece(&ring[start..=end], tolerance) {
            Some(bulge) => found = (end, bulge),
            None => break,
        }
    }
    found
}

/// The bulge of the line or arc from the first to the last of some points that keeps within a tolerance of all.
fn piece(points: &[DVec2], tolerance: f64) -> Option<f64> {
    let (first, last) = (points[0], points[points.len() - 1]);
    if first.distance(last) < APART {
        return None;
    }
    if deviation(points, 0.0) <= STRAIGHT * tolerance {
        return Some(0.0);
    }
    let bulge = (turn(first, halfway(points, last - first), last) / 2.0).tan();
    (bulge.abs() <= FULLEST && deviation(points, bulge) <= tolerance).then_some(bulge)
}

/// The point nearest the middle of the chord, measured along it: an arc through it divides its error evenly.
fn halfway(points: &[DVec2], chord: DVec2) -> DVec2 {
    let middle = (points[0] + points[points.len() - 1]) / 2.0;
    let off = |at: &DVec2| (*at - middle).dot(chord).abs();
    let inner = &points[1..points.len() - 1];
    inner.iter().copied().min_by(|a, b| off(a).total_cmp(&off(b))).unwrap_or(middle)
}

/// Greatest distance of points and of the middles between them from the arc between the first and the last, mm.
fn deviation(points: &[DVec2], bulge: f64) -> f64 {
    let arc = Bow::new(points[0], points[points.len() - 1], bulge);
    let middles = points.windows(2).map(|pair| (pair[0] + pair[1]) / 2.0);
    points.iter().copied().chain(middles).map(|at| arc.distance(at)).fold(0.0, f64::max)
}

/// An arc of less than half a turn over its chord, mm.
struct Bow {
    from: DVec2,
    chord: DVec2,
    length: f64,
    sine: f64,
    cosine: f64,
}

impl Bow {
    /// The arc between two different points, a line for bulge 0.
    fn new(from: DVec2, to: DVec2, bulge: f64) -> Bow {
        let (sine, cosine) = (2.0 * bulge.atan()).sin_cos();
        Bow { from, chord: to - from, length: from.distance(to), sine, cosine }
    }

    /// Distance of a point from the arc square to the chord, at least the true one, mm; for points that do not lie
    /// over the chord the distance from its nearer end.
    fn distance(&self, at: DVec2) -> f64 {
        let along = ((at - self.from).dot(self.chord) / self.length.powi(2)).clamp(0.0, 1.0);
        let foot = self.from + along * self.chord;
        at.distance(foot - self.rise(2.0 * along - 1.0) * self.chord.perp())
    }

    /// How far the arc stands to the right of its chord, in chords, at a share of half the chord from its middle:
    /// with half the arc's angle h, a radius of 1/(2·sin h) chords gives (√(1 − s²·sin²h) − cos h)/(2·sin h).
    fn rise(&self, share: f64) -> f64 {
        if self.sine.abs() < 1e-9 {
            return 0.0;
        }
        ((1.0 - (share * self.sine).powi(2)).sqrt() - self.cosine) / (2.0 * self.sine)
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    const LETTERS: &str = "ABCDEFGHIJKLMNOPQRSTUVWXYZabcdefghijklmnopqrstuvwxyz0123456789.,-/#°%'";
    const NOZZLES: [f64; 4] = [0.25, 0.4, 0.6, 0.8];

    /// Points along a contour, arcs in 16 pieces each.
    fn polygon(contour: &Contour) -> Vec<[f64; 2]> {
        let ends = contour.corners.iter().cycle().skip(1);
        contour.corners.iter().zip(ends).flat_map(|(from, to)| along(*from, to.at)).collect()
    }

    fn along(from: Corner, to: DVec2) -> Vec<[f64; 2]> {
        if from.bulge.abs() < 1e-12 {
            return vec![from.at.to_array()];
        }
        let chord = to - from.at;
        let turn = 4.0 * from.bulge.atan();
        let centre =
            (from.at + to) / 2.0 + chord.perp() * (1.0 - from.bulge * from.bulge) / (4.0 * from.bulge);
        let spoke = from.at - centre;
        let step = |k: u32| centre + DVec2::from_angle(turn * f64::from(k) / 16.0).rotate(spoke);
        (0..16).map(|k| step(k).to_array()).collect()
    }

    /// A region as i_overlay has it: the outer ring counter-clockwise, islands clockwise.
    fn rings(region: &Region) -> Rings {
        let islands = region.islands.iter().map(|island| polygon(island).into_iter().rev().collect());
        std::iter::once(polygon(&region.outer)).chain(islands).collect()
    }

    fn area(contour: &Contour) -> f64 {
        let points: Vec<DVec2> = polygon(contour).into_iter().map(DVec2::from_array).collect();
        doubled_area(&points) / 2.0
    }

    fn span(regions: &[Region], axis: usize) -> (f64, f64) {
        let points = regions.iter().flat_map(|region| polygon(&region.outer));
        let values: Vec<f64> = points.map(|at| at[axis]).collect();
        (values.iter().copied().fold(f64::MAX, f64::min), values.iter().copied().fold(f64::MIN, f64::max))
    }

    fn corners(regions: &[Region]) -> usize {
        let contours =
            regions.iter().flat_map(|region| std::iter::once(&region.outer).chain(&region.islands));
        contours.map(|contour| contour.corners.len()).sum()
    }

    /// How many islands each shape has, in rising order.
    fn islands(shapes: &[Rings]) -> Vec<usize> {
        counts(shapes).into_iter().map(|count| count - 1).collect()
    }

    fn all(regions: &[Region]) -> Vec<Rings> {
        regions.iter().map(rings).collect()
    }

    /// Every letter's strokes hang on as well whether they are looked at sparsely or with every point.
    #[test]
    fn sparse_letters_wear_as_dense_ones() {
        for letter in LETTERS.chars() {
            let regions = all(&Lettering::least(0.4).regions(&letter.to_string()));
            let filled = round(&round(&regions, 0.2), -0.2);
            let (dense, seen) = (round(&filled, -0.2), round(&sparse(&filled), -0.2));
            assert_eq!(counts(&seen), counts(&dense), "{letter}");
        }
    }

    #[test]
    fn strokes_are_as_wide_as_the_nozzle() {
        for nozzle in NOZZLES {
            for height in [0.0, 9.0, 14.0] {
                for letter in LETTERS.chars() {
                    let regions = Lettering::of_height(height, nozzle).regions(&letter.to_string());
                    let worn = round(&all(&regions), 1e-3 - nozzle / 2.0);
                    assert_eq!(islands(&worn), islands(&all(&regions)), "{letter} {nozzle} {height}");
                }
            }
        }
    }

    #[test]
    fn gaps_are_as_wide_as_the_nozzle() {
        for nozzle in NOZZLES {
            for letter in LETTERS.chars().filter(|&letter| letter != '%') {
                let regions = Lettering::least(nozzle).regions(&letter.to_string());
                let grown = round(&all(&regions), nozzle / 2.0 - 1e-3);
                assert_eq!(islands(&grown), islands(&all(&regions)), "{letter} {nozzle}");
            }
        }
    }

    #[test]
    fn contours_are_simple_and_counter_clockwise() {
        let every: String = ('!'..='~').chain('\u{a1}'..='ÿ').chain("Łŵ─█€".chars()).collect();
        for letter in every.chars() {
            for region in Lettering::least(0.4).regions(&letter.to_string()) {
                for contour in std::iter::once(&region.outer).chain(&region.islands) {
                    let mine = area(contour);
                    let united = vec![polygon(contour)].simplify_shape(FillRule::EvenOdd);
                    assert!(mine > 0.0, "{letter}");
                    assert_eq!(islands(&united), [0], "{letter}");
                    let points: Vec<DVec2> = united[0][0].iter().map(|&at| DVec2::from_array(at)).collect();
                    assert!((doubled_area(&points) / 2.0 - mine).abs() < 1e-4 * mine, "{letter}");
                }
            }
        }
    }

    #[test]
    fn corners_are_few_and_apart() {
        let lettering = Lettering::least(0.4);
        for letter in LETTERS.chars() {
            let regions = lettering.regions(&letter.to_string());
            let limit = if "#%".contains(letter) { 60 } else { 40 };
            assert!(corners(&regions) <= limit, "{letter}: {}", corners(&regions));
            for region in &regions {
                for contour in std::iter::once(&region.outer).chain(&region.islands) {
                    let next = contour.corners.iter().cycle().skip(1);
                    for (from, to) in contour.corners.iter().zip(next) {
                        assert!(
                            from.at.distance(to.at) >= APART - 1e-9 && from.bulge.abs() <= FULLEST,
                            "{letter}"
                        );
                    }
                }
            }
        }
    }

    #[test]
    fn heights_follow_the_nozzle_and_the_wish() {
        let heights = NOZZLES.map(|nozzle| Lettering::least(nozzle).height());
        for (height, due) in heights.into_iter().zip([3.5, 5.0, 7.5, 10.0]) {
            assert!((height - due).abs() < 1e-12);
        }
        assert!((Lettering::of_height(1.0, 0.4).height() - 5.0).abs() < 1e-12);
        assert!((Lettering::of_height(6.0, 0.4).height() - 6.0).abs() < 1e-12);
    }

    #[test]
    fn capitals_are_as_high_as_asked() {
        let lettering = Lettering::of_height(6.0, 0.4);
        let (low, high) = span(&lettering.regions("H"), 1);
        assert!((low + BOLD * 6.0).abs() < FIT * 6.0, "{low}");
        assert!((high - 6.0 - BOLD * 6.0).abs() < FIT * 6.0, "{high}");
    }

    #[test]
    fn letters_stay_within_the_width() {
        let lettering = Lettering::least(0.4);
        let due = 5.0 * 1233.0 / 1493.0 + 0.4 + 2.0 * 0.009 * 5.0;
        assert!((lettering.width("W") - due).abs() < 1e-12);
        assert!((lettering.width("Furt W") - 6.0 * due).abs() < 1e-12);
        let (left, right) = span(&lettering.regions("WWW"), 0);
        assert!(left > 0.2 && right < lettering.width("WWW") - 0.2, "{left} {right}");
        assert_eq!(lettering.regions("WWW").len(), 3);
    }

    #[test]
    fn letters_fall_into_their_pieces() {
        let lettering = Lettering::least(0.4);
        let pieces = |text: &str| all(&lettering.regions(text));
        assert_eq!(islands(&pieces("i;:")), [0; 6]);
        assert_eq!(islands(&pieces("ü")), [0; 3]);
        assert_eq!(islands(&pieces("o8")), [1, 2]);
        assert!(pieces("  ").is_empty() && pieces("").is_empty());
    }

    #[test]
    fn a_missing_letter_shows_as_a_box() {
        let lettering = Lettering::least(0.4);
        assert_eq!(lettering.regions("\u{4e00}"), lettering.regions("\u{4e01}"));
        assert!(!lettering.regions("\u{4e00}").is_empty());
    }

    /// Adds up areas (Green's theorem, exact for quadratics) and lengths of outlines in font units.
    #[derive(Default)]
    struct Green {
        start: DVec2,
        at: DVec2,
        area: f64,
        length: f64,
    }

    impl OutlinePen for Green {
        fn move_to(&mut self, x: f32, y: f32) {
            self.start = DVec2::new(f64::from(x), f64::from(y));
            self.at = self.start;
        }

        fn line_to(&mut self, x: f32, y: f32) {
            let to = DVec2::new(f64::from(x), f64::from(y));
            self.area += self.at.perp_dot(to) / 2.0;
            self.length += self.at.distance(to);
            self.at = to;
        }

        // Twice a parabola's segment over its chord is 2/3 of the parallelogram of its arms.
        fn quad_to(&mut self, cx0: f32, cy0: f32, x: f32, y: f32) {
            let (arm, to) =
                (DVec2::new(f64::from(cx0), f64::from(cy0)), DVec2::new(f64::from(x), f64::from(y)));
            self.area += self.at.perp_dot(to) / 2.0 + (arm - self.at).perp_dot(to - self.at) / 3.0;
            self.length += (2.0 * self.at.distance(to) + self.at.distance(arm) + arm.distance(to)) / 3.0;
            self.at = to;
        }

        fn curve_to(&mut self, _: f32, _: f32, _: f32, _: f32, _: f32, _: f32) {
            unreachable!("TrueType outlines have no cubics");
        }

        fn close(&mut self) {
            self.area += self.at.perp_dot(self.start) / 2.0;
            self.length += self.at.distance(self.start);
        }
    }

    /// Area growing by d along a length L adds L·d; the round corners' share of outer ring and island cancels.
    #[test]
    fn the_area_of_o_is_the_outline_grown() {
        let font = FontRef::new(HACK_REGULAR).unwrap();
        let glyph = font.outline_glyphs().get(font.charmap().map('O').unwrap()).unwrap();
        let mut green = Green::default();
        glyph.draw(DrawSettings::unhinted(Size::unscaled(), LocationRef::default()), &mut green).unwrap();
        for height in [5.0, 8.0, 20.0] {
            let lettering = Lettering::of_height(height, 0.4);
            let regions = lettering.regions("O");
            let mine = area(&regions[0].outer) - area(&regions[0].islands[0]);
            let scale = lettering.scale();
            let due = green.area.abs() * scale * scale + green.length * scale * BOLD * height;
            assert!((mine / due - 1.0).abs() < 0.01, "{mine} {due}");
            assert!(
                (mine / (green.area.abs() * scale * scale) - 1.0 - 2.0 * BOLD / 0.136).abs() < 0.02,
                "{mine}"
            );
        }
    }

    #[test]
    fn the_same_text_gives_the_same_regions() {
        let lettering = Lettering::least(0.6);
        assert_eq!(lettering.regions("Bevel 16.3°"), lettering.regions("Bevel 16.3°"));
    }
}
