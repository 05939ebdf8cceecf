//! Lines across the back and the edge.

use blade::CrossSection;

use crate::map::flank::beside;
use crate::map::material::Walk;
use crate::picture::colours::{Light, add};
use crate::picture::frame::View;
use crate::picture::line::{Line, WHITE};

/// Parts of a row in which a line across the back or the edge is read.
const RIDGE: f64 = 2.0;

impl Line<'_> {
    /// A line across the back or the edge.
    pub(crate) fn ridge(&self, reach: &Reach, sums: &mut [Light]) {
        let (from, to) = self.section.extent();
        let (frame, bleed) = (self.frame, self.frame.fineness.bleed);
        let (mut walk, mut reached) = (Walk::default(), 0);
        let mut at = |z: f64| self.across(reach, &mut walk, &mut reached, z.clamp(from, to));
        if !bleed {
            self.cover(sums, [f64::NEG_INFINITY, from], WHITE);
            self.cover(sums, [to, f64::INFINITY], WHITE);
        }
        let ends = if bleed { [0.0, frame.height as f64] } else { [from, to].map(|z| frame.rows(z)) };
        let ([mut row, last], mut below) = (ends, at(frame.height_of(ends[0])));
        while row < last {
            // Edges of bevels and corners of bars pass within a row.
            let next = (((row * RIDGE).floor() + 1.0) / RIDGE).min(last);
            let above = at(frame.height_of(next));
            add(&mut sums[row as usize], self.between(below, above), (next - row) as f32);
            (row, below) = (next, above);
        }
    }

    /// Which of the stacked bars back or edge show at z, and the share of its layers' thickness there; any where they are all
    /// of one colour.
    fn across(&self, reach: &Reach, walk: &mut Walk, reached: &mut usize, z: f64) -> Option<(usize, f64)> {
        let y = reach.outermost(self.section, z, self.frame.view == View::Back, reached)?;
        let (up, through) = self.plane.walk(walk, y, z);
        let place = self.bars[1..].iter().take_while(|b| b.from <= up).count();
        let place = beside(self.bars, place, through);
        let bar = &self.bars[place];
        let is_single = self.colours.of(bar).single().is_some();
        Some((place, if is_single { 0.0 } else { bar.turned.share(bar.point(up, through)) }))
    }

    /// The mean colour between two places of one bar; half of each bar's where they lie in two.
    fn between(&self, from: Option<(usize, f64)>, to: Option<(usize, f64)>) -> Light {
        let Some((a, b)) = from.or(to).zip(to.or(from)) else { return WHITE };
        let [first, last] = [a, b].map(|(place, _)| self.colours.of(&self.bars[place]));
        if a.0 == b.0 {
            return first.mean(a.1, b.1);
        }
        let (first, last) = (first.at(a.1), last.at(b.1));
        std::array::from_fn(|k| 0.5 * (first[k] + last[k]))
    }
}

/// How far the heights of a section with these indices reach left and right, each with all before it, mm.
fn widening(section: &CrossSection, indices: impl Iterator<Item = usize>) -> Vec<(f64, f64)> {
    let mut widest = (f64::INFINITY, f64::NEG_INFINITY);
    let wider = |i: usize| {
        let (left, right) = section.flanks_at(i);
        widest = (widest.0.min(left), widest.1.max(right));
        widest
    };
    indices.map(wider).collect()
}

/// How far the heights of a section reach left and right, least and greatest z (mm): each with all below it from the
/// lowest up, and each with all above it from the highest down.
pub(crate) struct Reach {
    up: Vec<(f64, f64)>,
    down: Vec<(f64, f64)>,
}

impl Reach {
    /// How far the section reaches.
    pub(crate) fn of(section: &CrossSection) -> Reach {
        let all = 0..section.heights().len();
        Reach { up: widening(section, all.clone()), down: widening(section, all.rev()) }
    }

    /// The highest (or lowest) y at which the section reaches `z`: from the outside in, its first height if that holds
    /// z, or the place where a flank crosses it on the way to the first one that does.
    /// `reached` tells where the last search began: that of the next z begins nearby.
    fn outermost(&self, section: &CrossSection, z: f64, highest: bool, reached: &mut usize) -> Option<f64> {
        let heights = section.heights();
        let last = heights.len() - 1;
        let place = |i: usize| if highest { last - i } else { i };
        let holds = |(l, r): (f64, f64)| (l..=r).contains(&z);
        let widest = if highest { &self.down } else { &self.up };
        // What all heights up to one together don't reach, none of them holds.
        while *reached > 0 && holds(widest[*reached - 1]) {
            *reached -= 1;
        }
        while *reached <= last && !holds(widest[*reached]) {
            *reached += 1;
        }
        let found = (*reached..=last).find(|&i| holds(section.flanks_at(place(i))))?;
        if found == 0 {
            return Some(heights[place(0)]);
        }
        let (out, inner) = (place(found - 1), place(found));
        let (a, b) = (section.flanks_at(out), section.flanks_at(inner));
        let share = |from: f64, to: f64| (z - from) / (to - from);
        let t = if z > a.1 { share(a.1, b.1) } else { share(a.0, b.0) };
        Some(heights[out] + (heights[inner] - heights[out]) * t)
    }
}
