//! The billet laid on the forged blade: from a point of the blade to its place in the stack and back.
//!
//! Bars that are welded to each other lengthen together, so every bar keeps its share of the section's area. With A_f
//! the area of the forged section at station x, h(x, y) half its thickness at height y and A_s the stack's section of
//! width w and height H:
//!
//! - along the bars, ds/dx = A_f/A_s, with H and so A_s those at s where bars are forged to a taper;
//! - across them, up/H is the share of A_f that lies below y, so that d(up)/dy = (2h/w)·(A_s/A_f);
//! - through them, through = (z − middle)/h · w/2.
//!
//! The product of the three is 1 (to 1e-6 wherever the section holds at least 1 mm²): forging loses no steel. Grinding cuts through this map and moves nothing.
//!
//! Sections are those square to x, up to the point: only with them is the product exactly 1. A cut tip is laid out on
//! the uncut bar: the section at the station where the cut begins runs straight on, as thin as the forged blade gets.

use std::borrow::Cow;
use std::cell::OnceCell;
use std::sync::OnceLock;

use blade::{CrossSection, Part, Sections};
use glam::DVec3;

use crate::billet::plug::Plug;
use crate::billet::recipe::{Billet, BilletFault, StackPoint, Tip};
use crate::billet::twist::Program;
use crate::map::antiderivative::Antiderivative;

/// How far outside a section (mm) a point may lie by rounding and still count as on it.
const ON: f64 = 1e-9;

/// A billet on a forged blade.
#[derive(Clone, Debug)]
pub struct MaterialMap {
    billet: Billet,
    sections: Sections,
    blade: OnceLock<Antiderivative>,
    tang: OnceLock<Antiderivative>,
    cut: Option<Cut>,
}

/// The uncut bar in front of a cut tip.
#[derive(Clone, Debug)]
struct Cut {
    from: f64,
    section: CrossSection,
    /// Thickness there, mm.
    thickness: f64,
    /// How thin the bar is compared with it, summed up from there, mm; made when it is first asked for.
    thinned: OnceLock<Antiderivative>,
}

impl MaterialMap {
    /// Lays the billet on the sections of the forged stage.
    ///
    /// # Errors
    /// [`BilletFault::CutFrom`] when the tip is cut from a station that is not on the blade.
    pub fn new(billet: Billet, forged: Sections) -> Result<MaterialMap, BilletFault> {
        let cut = match billet.recipe().tip {
            Tip::Forged => None,
            Tip::Cut { from } => Some(Cut::new(&forged, from)?),
        };
        Ok(MaterialMap { billet, sections: forged, blade: OnceLock::new(), tang: OnceLock::new(), cut })
    }

    /// The same with other twists of the bars, one for each, from the back to the edge: where steel lies along the
    /// bars does not hang on them.
    pub fn with_twists(self, twists: Vec<Program>) -> MaterialMap {
        MaterialMap { billet: self.billet.with_twists(twists), ..self }
    }

    /// The same blade of another billet with a tip made alike: what is summed up along the blade hangs on it alone.
    pub fn with_billet(&self, billet: Billet) -> MaterialMap {
        MaterialMap { billet, ..self.clone() }
    }

    /// The section's area along the blade, summed up from the shoulder; made when it is first asked for, as borders
    /// between bars don't need it.
    fn blade(&self) -> &Antiderivative {
        let make = || {
            Antiderivative::new(&self.breaks(0.0, self.sections.range().1), self.sections.fan_start(), |x| {
                self.sections.area(x)
            })
        };
        self.blade.get_or_init(make)
    }

    /// The same along the tang, summed up from its end.
    fn tang(&self) -> &Antiderivative {
        // Just behind the shoulder plane: the plane itself belongs to the blade.
        let make = || {
            Antiderivative::new(&self.breaks(self.sections.range().0, 0.0), 0.0, |x| {
                self.sections.area(x.min(-ON))
            })
        };
        self.tang.get_or_init(make)
    }

    fn breaks(&self, low: f64, high: f64) -> Vec<f64> {
        self.sections.breaks().into_iter().filter(|x| (low..=high).contains(x)).collect()
    }

    /// The billet.
    pub fn billet(&self) -> &Billet {
        &self.billet
    }

    /// The forged sections it is laid on.
    pub fn sections(&self) -> &Sections {
        &self.sections
    }

    /// Where the tip is cut from, mm.
    pub fn cut_from(&self) -> Option<f64> {
        self.cut.as_ref().map(|c| c.from)
    }

    /// Volume of the forged blade without its tang, or of the tang, mm³.
    pub fn volume(&self, part: Part) -> f64 {
        match part {
            Part::Blade => self.blade().total(),
            Part::Tang => self.tang().total(),
        }
    }

    /// Volume of the steel that a part is forged from, mm³: the forged part, and with a cut tip what is cut away of it.
    pub fn stock_volume(&self, part: Part) -> f64 {
        match (part, &self.cut) {
            (Part::Blade, Some(_)) => self.laid_volume(self.sections.range().1),
            _ => self.volume(part),
        }
    }

    /// The map in the plane square to the blade at station `x`, mm; `None` outside blade and tang.
    pub fn plane(&self, x: f64) -> Option<Plane<'_>> {
        self.plane_of(x, Cow::Owned(self.sections.at(x)?))
    }

    /// The same where the forged section is known.
    pub(crate) fn plane_of<'a>(&'a self, x: f64, forged: Cow<'a, CrossSection>) -> Option<Plane<'a>> {
        let part = Part::at(x);
        let (section, thinned) = match self.cut.as_ref().filter(|c| x > c.from) {
            Some(cut) => (Cow::Borrowed(&cut.section), thickness(&forged) / cut.thickness),
            None => (forged, 1.0),
        };
        let (area, stack) = (section.area(), self.billet.stack(part));
        if area <= 0.0 || thinned <= 0.0 {
            return None;
        }
        // Where a stack is cut that is the same all along need not be known.
        let along = if stack.is_level() { OnceCell::new() } else { OnceCell::from(self.along(x)) };
        let seams = stack.seams(along.get().copied().unwrap_or(0.0));
        let (height, width) = (seams[seams.len() - 1], self.billet.width());
        let scale = height / area;
        Some(Plane { lay: self, x, section, thinned, area, height, scale, along, part, seams, width })
    }

    /// Place along the bars of station `x`, mm of the stack from the shoulder.
    pub fn along(&self, x: f64) -> f64 {
        if x < 0.0 {
            return self.billet.along(Part::Tang, self.tang().at(x) - self.tang().total());
        }
        self.billet.along(Part::Blade, self.laid_volume(x))
    }

    /// Volume of the forged blade from the shoulder to station `x` of the blade, with what is cut away of a cut tip, mm³.
    pub fn laid_volume(&self, x: f64) -> f64 {
        match self.cut.as_ref().filter(|c| x > c.from) {
            Some(cut) => self.blade().at(cut.from) + cut.section.area() * cut.thinned(&self.sections).at(x),
            // Rounding must not lead from the shoulder plane into the tang.
            None => self.blade().at(x).max(0.0),
        }
    }

    /// The station of a place along the bars, clamped to the ends of blade and tang, mm.
    pub fn station(&self, along: f64) -> f64 {
        if along < 0.0 {
            return self.tang().station(self.tang().total() + self.billet.volume(Part::Tang, along));
        }
        let volume = self.billet.volume(Part::Blade, along);
        match self.cut.as_ref().map(|c| (c, volume - self.blade().at(c.from))).filter(|c| c.1 > 0.0) {
            Some((cut, beyond)) => cut.thinned(&self.sections).station(beyond / cut.section.area()),
            None => self.blade().station(volume),
        }
    }

    /// How much longer a stretch of the stack is on the blade at station `x`: A_s/A_f; `None` outside.
    pub fn stretch(&self, x: f64) -> Option<f64> {
        self.plane(x).map(|plane| plane.stretch())
    }

    /// Where a point of the forged blade lies in the stack. Its domain is the forged blade, or in front of a cut the
    /// uncut bar: `None` outside. [`MaterialMap::blade_point`] is its inverse, to 1e-9 mm where the section holds at least 1 mm²
    /// and is at least 0.002 mm thick; nearer to a sharp border heights, and nearer to a sharp point stations, get lost
    /// in the rounding.
    pub fn stack_point(&self, p: DVec3) -> Option<StackPoint> {
        let plane = self.plane(p.x)?;
        let (low, high) = plane.section.range();
        let (left, right) = plane.flanks(p.y);
        let inside = p.y >= low - ON && p.y <= high + ON && p.z >= left - ON && p.z <= right + ON;
        inside.then(|| plane.stack_point(p.y, p.z))
    }

    /// Where a point of the stack lies on the blade. Its domain is the stack that became the blade or the tang, with
    /// what was cut from the tip: `None` outside.
    pub fn blade_point(&self, p: StackPoint) -> Option<DVec3> {
        let stack = self.billet.stack(p.part);
        let x = self.station(p.along);
        let inside = (p.part == Part::at(p.along))
            && (self.along(x) - p.along).abs() < ON
            && (-ON..=stack.height(p.along) + ON).contains(&p.up)
            && p.through.abs() <= 0.5 * self.billet.width() + ON;
        let plane = self.plane(x).filter(|_| inside)?;
        let (y, z) = plane.blade_point(p);
        Some(DVec3::new(x, y, z))
    }
}

impl Cut {
    fn new(forged: &Sections, from: f64) -> Result<Cut, BilletFault> {
        let (_, length) = forged.range();
        let fault = BilletFault::CutFrom { at: from, length };
        if !(from > 0.0 && from < length) {
            return Err(fault);
        }
        let section = forged.at(from).ok_or(fault)?;
        Ok(Cut { from, thickness: thickness(&section), section, thinned: OnceLock::new() })
    }

    /// The bar's thinning, summed up over the forged blade's sections.
    fn thinned(&self, forged: &Sections) -> &Antiderivative {
        self.thinned.get_or_init(|| {
            let beyond = forged.breaks().into_iter().filter(|&x| x > self.from + 1e-6);
            let breaks: Vec<f64> = std::iter::once(self.from).chain(beyond).collect();
            Antiderivative::new(&breaks, forged.fan_start(), |x| {
                forged.at(x).map_or(0.0, |s| thickness(&s)) / self.thickness
            })
        })
    }
}

/// The greatest thickness of a section, mm.
fn thickness(section: &CrossSection) -> f64 {
    let at = |i: usize| {
        let (left, right) = section.flanks_at(i);
        right - left
    };
    (0..section.heights().len()).map(at).fold(0.0, f64::max)
}

/// The interval of a section at which a search for a height ended.
#[derive(Clone, Copy, Debug, Default)]
pub(crate) struct Walk(usize);

/// The map in one plane square to the blade.
#[derive(Clone, Debug)]
pub struct Plane<'a> {
    lay: &'a MaterialMap,
    x: f64,
    section: Cow<'a, CrossSection>,
    thinned: f64,
    area: f64,
    /// Height of the stack here, mm, and that over the section's area, 1/mm.
    height: f64,
    scale: f64,
    along: OnceCell<f64>,
    part: Part,
    /// Heights in the stack of its faces and of the borders between bars, mm.
    seams: Cow<'a, [f64]>,
    width: f64,
}

impl Plane<'_> {
    /// Place along the bars, mm of the stack.
    pub fn along(&self) -> f64 {
        *self.along.get_or_init(|| self.lay.along(self.x))
    }

    /// The billet that was laid.
    pub(crate) fn billet(&self) -> &Billet {
        &self.lay.billet
    }

    /// How much longer a stretch of the stack is on the blade here: A_s/A_f.
    pub fn stretch(&self) -> f64 {
        self.width * self.height / (self.area * self.thinned)
    }

    /// The part that it cuts.
    pub fn part(&self) -> Part {
        self.part
    }

    /// The heights between which the forged section (or the uncut bar) reaches, mm.
    pub fn range(&self) -> (f64, f64) {
        self.section.range()
    }

    /// Heights on the blade of the borders between bars, from the edge up, mm: one fewer than bars.
    pub fn seams(&self) -> impl Iterator<Item = f64> + '_ {
        let inner = &self.seams[1..self.seams.len() - 1];
        inner.iter().map(|up| self.section.height(up / self.height * self.area))
    }

    /// The same in a row.
    pub(crate) fn seams_up(&self) -> Vec<f64> {
        self.seams().collect()
    }

    /// Heights in the stack of its faces and of the borders between bars, mm, from the edge up.
    pub(crate) fn stacked_seams(&self) -> &[f64] {
        &self.seams
    }

    /// Whether bars lie side by side anywhere in it, or are wrapped.
    pub(crate) fn is_parted(&self) -> bool {
        self.lay.billet.stack(self.part).is_parted()
    }

    /// Heights on the blade at which rows of cells begin within a bar, from the edge up, mm.
    pub(crate) fn rows(&self) -> Vec<f64> {
        let inner = |k: usize| {
            let borders = self.cell_borders(k);
            borders[1..borders.len() - 1].to_vec()
        };
        (0..self.lay.billet.stack(self.part).bars.len()).flat_map(inner).collect()
    }

    /// Heights on the blade of the lower face of the bar at a place among the stack's, of the borders between its
    /// rows of cells, and of its upper face, mm.
    pub(crate) fn cell_borders(&self, k: usize) -> Vec<f64> {
        let [low, high] = [self.seams[k], self.seams[k + 1]];
        let rows = self.lay.billet.stack(self.part).cells(k).iter().skip(1);
        let inner = rows.map(|row| low + row.from * (high - low));
        let ups = [low].into_iter().chain(inner).chain([high]);
        ups.map(|up| self.section.height(up / self.height * self.area)).collect()
    }

    /// Height on the blade of a height in the stack, mm.
    pub(crate) fn height_of(&self, up: f64) -> f64 {
        self.section.height(up / self.height * self.area)
    }

    /// The plugs that it cuts of the bar at a place among the stack's, by their places in the bar's list, each between two heights
    /// in the stack, mm; from the edge up.
    pub(crate) fn chords(&self, k: usize) -> Vec<(usize, [f64; 2])> {
        let (billet, low) = (&self.lay.billet, self.seams[k]);
        let plugs = &billet.bars()[billet.stack(self.part).bars[k]].plugs;
        if self.part == Part::Tang || plugs.is_empty() {
            return Vec::new();
        }
        let chord = |(i, plug): (usize, &Plug)| Some((i, plug.chord(self.along())?.map(|up| low + up)));
        let mut found: Vec<(usize, [f64; 2])> = plugs.iter().enumerate().filter_map(chord).collect();
        found.sort_by(|a, b| a.1[0].total_cmp(&b.1[0]));
        found
    }

    /// Heights on the blade between which it cuts plugs, from the edge up, mm; none where it cuts none.
    pub(crate) fn chords_up(&self) -> Vec<f64> {
        if !self.lay.billet.stack(self.part).is_plugged() {
            return Vec::new();
        }
        let all = (0..self.lay.billet.stack(self.part).bars.len()).flat_map(|k| self.chords(k));
        all.flat_map(|(_, ups)| ups).map(|up| self.height_of(up)).collect()
    }

    /// Area of the section up to height `y` on the blade as a height in the stack, mm.
    pub(crate) fn up(&self, y: f64) -> f64 {
        self.section.below(y) * self.scale
    }

    /// The lower and upper face of each bar in the stack, mm, from the edge up: those of toothed neighbours overlap.
    pub(crate) fn faces(&self) -> Vec<[f64; 2]> {
        let stack = self.lay.billet.stack(self.part);
        match stack.teeth().is_empty() {
            true => self.seams.windows(2).map(|pair| [pair[0], pair[1]]).collect(),
            false => stack.faces(self.along()),
        }
    }

    /// How far the forged blade (or the uncut bar) reaches left and right at height `y`, mm.
    pub fn flanks(&self, y: f64) -> (f64, f64) {
        let (left, right) = self.section.flanks(y);
        (left * self.thinned, right * self.thinned)
    }

    /// The place in the stack of the point at (y, z); points outside count as the nearest on its border.
    pub fn stack_point(&self, y: f64, z: f64) -> StackPoint {
        let (up, through) = self.across(y, z);
        StackPoint { part: self.part, along: self.along(), up, through }
    }

    /// The place across the stack of the point at (y, z), mm from its lowest face and from its middle to the right.
    pub(crate) fn across(&self, y: f64, z: f64) -> (f64, f64) {
        let (up, through) = self.place(self.section.interval(y), y, z);
        (up, through * self.width)
    }

    /// Height in the stack (mm) and share of its width (−1/2 to 1/2) of the point at (y, z), for points whose heights
    /// mostly grow: the search goes on where it ended.
    #[inline]
    pub(crate) fn walk(&self, walk: &mut Walk, y: f64, z: f64) -> (f64, f64) {
        let heights = self.section.heights();
        if heights[walk.0] > y {
            walk.0 = self.section.interval(y);
        }
        while walk.0 + 2 < heights.len() && heights[walk.0 + 1] <= y {
            walk.0 += 1;
        }
        self.place(walk.0, y, z)
    }

    #[inline]
    fn place(&self, i: usize, y: f64, z: f64) -> (f64, f64) {
        self.placed(self.section.read(i, y), z, 0.0)
    }

    /// Whether a section is the very one that it lies in, so that all its flanks are forged ones.
    pub(crate) fn is_of(&self, section: &CrossSection) -> bool {
        std::ptr::eq(&*self.section, section)
    }

    /// The same for many heights of a flank (mm, increasing), in rows of one length: z in `through` (mm) becomes the share,
    /// which is `thin` where the forged flanks meet.
    pub(crate) fn places(&self, heights: &[f64], through: &mut [f64], thin: f64, up: &mut Vec<f64>) {
        up.resize(heights.len(), 0.0);
        let (mut ups, mut shares) = (&mut up[..], through);
        for (part, within) in self.section.trapeziums(heights) {
            let (up, beyond) = ups.split_at_mut(within.len());
            let (through, after) = shares.split_at_mut(within.len());
            for ((y, up), z) in within.iter().zip(up).zip(through) {
                (*up, *z) = self.placed(part.read(*y), *z, thin);
            }
            (ups, shares) = (beyond, after);
        }
    }

    /// Of a point at z where the forged flanks and the area below are read.
    #[inline]
    fn placed(&self, ((left, right), below): ((f64, f64), f64), z: f64, thin: f64) -> (f64, f64) {
        let (left, right) = (left * self.thinned, right * self.thinned);
        let share = ((z - left) / (right - left)).clamp(0.0, 1.0) - 0.5;
        let share = if right > left { share } else { thin };
        (below * self.scale, share)
    }

    /// The heights between which both forged flanks are straight, mm, increasing.
    pub(crate) fn heights(&self) -> &[f64] {
        self.section.heights()
    }

    /// The way back: (y, z) of a point of the stack in this plane.
    pub fn blade_point(&self, p: StackPoint) -> (f64, f64) {
        let y = self.section.height(p.up / self.height * self.area);
        let (left, right) = self.flanks(y);
        (y, 0.5 * (left + right) + p.through / self.width * (right - left))
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::fixtures::{forged, four_bars, point_where, spec, specs};
    use proptest::prelude::*;

    /// Points of the forged blade and tang by three shares; within the uncut bar's domain.
    fn inside(lay: &MaterialMap, shares: [f64; 3]) -> Option<DVec3> {
        point_where(lay, shares, |plane, wide| wide > 2e-3 && plane.area >= 1.0)
    }

    fn lays() -> Vec<(String, MaterialMap)> {
        let tips = [Tip::Forged, Tip::Cut { from: 330.0 }];
        let each = specs().into_iter().flat_map(|(name, spec)| tips.map(|tip| (name, spec.clone(), tip)));
        each.map(|(name, spec, tip)| {
            (format!("{name} {tip:?}"), MaterialMap::new(four_bars(tip), forged(&spec)).unwrap())
        })
        .collect()
    }

    /// Determinant of the map by central differences; `None` where a border or corner of the section is near.
    fn determinant(lay: &MaterialMap, p: DVec3) -> Option<f64> {
        let h = 1e-4;
        let at = |d: DVec3| lay.stack_point(p + d).map(|s| DVec3::new(s.along, s.up, s.through));
        let slope = |axis: DVec3| {
            // Fourth order, so that the step can be large enough for the rounding.
            let [a, b, c, d] = [-2.0, -1.0, 1.0, 2.0].map(|k| at(axis * h * k));
            Some((a? - b? * 8.0 + c? * 8.0 - d?) / (12.0 * h))
        };
        let plane = lay.plane(p.x)?;
        let near = |y: f64| plane.section.interval(y);
        if near(p.y - 4.0 * h) != near(p.y + 4.0 * h) {
            return None;
        }
        Some(slope(DVec3::X)?.dot(slope(DVec3::Y)?.cross(slope(DVec3::Z)?)))
    }

    proptest! {
        #![proptest_config(ProptestConfig { cases: 24, ..ProptestConfig::default() })]
        #[test]
        fn forging_keeps_every_volume(shares in proptest::collection::vec([0.001..0.999, 0.02..0.98, 0.02..0.98f64], 60)) {
            thread_local!(static LAYS: Vec<(String, MaterialMap)> = lays());
            LAYS.with(|lays| {
                for (name, lay) in lays {
                    for p in shares.iter().filter_map(|&s| inside(lay, s)) {
                        if let Some(d) = determinant(lay, p) {
                            prop_assert!((d - 1.0).abs() < 1e-6, "{name} {p}: {d}");
                        }
                    }
                }
                Ok(())
            })?;
        }

        #[test]
        fn there_and_back_again(shares in proptest::collection::vec([0.0..1.0, 0.0..1.0, 0.0..1.0f64], 100)) {
            thread_local!(static LAYS: Vec<(String, MaterialMap)> = lays());
            LAYS.with(|lays| {
                for (name, lay) in lays {
                    for p in shares.iter().filter_map(|&s| inside(lay, s)) {
                        let stack = lay.stack_point(p).unwrap();
                        let back = lay.blade_point(stack).unwrap();
                        prop_assert!(back.distance(p) < 1e-9, "{name} {p} {}", back - p);
                    }
                }
                Ok(())
            })?;
        }
    }

    #[test]
    fn bars_keep_their_shares_of_the_volume() {
        for (name, spec) in specs() {
            let lay = MaterialMap::new(four_bars(Tip::Forged), forged(&spec)).unwrap();
            let whole = blade::Blade::new(&spec).unwrap().loft(blade::Stage::Forged).moments().volume;
            let sum = lay.volume(Part::Blade) + lay.volume(Part::Tang);
            assert!((sum / whole - 1.0).abs() < 1e-7, "{name}");
            // The volume between two seams, by the midpoint rule over the blade.
            let steps = 4000;
            let mut volumes = [0.0; 4];
            let (_, end) = lay.sections().range();
            for i in 0..steps {
                let plane = lay.plane(end * (f64::from(i) + 0.5) / f64::from(steps)).unwrap();
                let (low, high) = plane.range();
                let cuts: Vec<f64> = [low].into_iter().chain(plane.seams()).chain([high]).collect();
                for (v, pair) in volumes.iter_mut().zip(cuts.windows(2)) {
                    *v += (plane.section.below(pair[1]) - plane.section.below(pair[0])) * end
                        / f64::from(steps);
                }
            }
            let all: f64 = volumes.iter().sum();
            for (v, height) in volumes.iter().zip([12.0, 9.0, 9.0, 7.0]) {
                assert!((v / all - height / 37.0).abs() < 1e-9, "{name} {volumes:?}");
            }
            assert!(
                (all / lay.volume(Part::Blade) - 1.0).abs() < 1e-6,
                "{name}: {}",
                all / lay.volume(Part::Blade) - 1.0
            );
        }
    }

    #[test]
    fn pitch_grows_where_the_blade_is_thin() {
        let lay = MaterialMap::new(four_bars(Tip::Forged), forged(&spec())).unwrap();
        let (thick, thin) = (lay.stretch(50.0).unwrap(), lay.stretch(400.0).unwrap());
        assert!(thin > 1.5 * thick);
        let h = 1e-3;
        let slope = (lay.along(200.0 + h) - lay.along(200.0 - h)) / (2.0 * h);
        assert!((slope * lay.stretch(200.0).unwrap() - 1.0).abs() < 1e-9);
    }

    #[test]
    fn a_cut_tip_runs_straight_on() {
        let lay = MaterialMap::new(four_bars(Tip::Cut { from: 330.0 }), forged(&spec())).unwrap();
        let seams = |x: f64| lay.plane(x).unwrap().seams().collect::<Vec<_>>();
        assert_eq!(seams(331.0), seams(425.0));
        assert!((lay.along(330.0 + 1e-9) - lay.along(330.0)).abs() < 1e-8);
        for wrong in [-1.0, 0.0, 430.0, f64::NAN] {
            let cut = four_bars(Tip::Cut { from: wrong });
            assert!(matches!(MaterialMap::new(cut, forged(&spec())), Err(BilletFault::CutFrom { .. })));
        }
    }

    #[test]
    fn outside_there_is_nothing() {
        let lay = MaterialMap::new(four_bars(Tip::Forged), forged(&spec())).unwrap();
        for p in [[500.0, 0.0, 0.0], [-111.0, 0.0, 0.0], [200.0, 0.0, 9.0], [200.0, 80.0, 0.0]] {
            assert!(lay.stack_point(DVec3::from_array(p)).is_none());
        }
        let inside = StackPoint { part: Part::Blade, along: 100.0, up: 20.0, through: 0.0 };
        assert!(lay.blade_point(inside).is_some());
        for p in [
            StackPoint { up: 37.1, ..inside },
            StackPoint { through: 5.6, ..inside },
            StackPoint { along: 900.0, ..inside },
            StackPoint { part: Part::Tang, ..inside },
        ] {
            assert!(lay.blade_point(p).is_none(), "{p:?}");
        }
    }
}
