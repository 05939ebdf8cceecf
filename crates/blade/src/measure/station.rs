//! What a caliper reads on the loft at a station.

use brep::numeric::root::zero;
use brep::{Spline3, station_on};
use glam::DVec3;

use crate::loft::Loft;
use crate::loft::spans::Span;
use crate::section::corners::{Side, Tag};
use crate::spec::{Part, Sides};

/// Sizes of the plane section square to the blade at one station, mm, read off the rails.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Station {
    /// Distance from the shoulder.
    pub at: f64,
    /// From the edge to the back.
    pub breadth: f64,
    /// The greatest thickness.
    pub thickness: f64,
    /// Thickness at the back's corners.
    pub back: f64,
    /// Thickness at the grind line; `None` where there is none (a bevel up to the back).
    pub grind: Option<f64>,
    /// Height of the grind line above the edge; `None` where there is none.
    pub grind_height: Option<f64>,
    /// Thickness of the edge flat; 0 where the edge is sharp.
    pub edge: f64,
    /// Included angle of the primary bevel, rad, along its chord from the grind line (or the back) to the edge as it is
    /// at this stage; 0 on a ricasso.
    pub bevel_angle: f64,
}

impl Loft {
    /// The sizes at station `x`, from the shoulder (0) up to but not including the point; `None` outside.
    pub fn station(&self, x: f64) -> Option<Station> {
        let side = |tag: fn(Side) -> Tag, s: Side| self.crossing(x, tag(s));
        let top = [Side::Right, Side::Left].map(|s| side(Tag::BackFlat, s).or(side(Tag::Flank, s)));
        let flank = [Side::Right, Side::Left].map(|s| side(Tag::Flank, s));
        let crest = self.crest(x).or(top[0].map(|p| p[0]))?;
        let apex = self.crossing(x, Tag::Apex);
        let low = [Side::Right, Side::Left].map(|s| side(Tag::Edge, s));
        let bottom = apex.or(low[0]).or(low[1])?;
        let across = |pair: [Option<[f64; 2]>; 2]| Some(pair[0]?[1] - pair[1]?[1]);
        let grind_at = [Side::Right, Side::Left].map(|s| side(Tag::Grind, s));
        let grind = match (grind_at[0], grind_at[1]) {
            (Some(r), Some(l)) => Some(r[1] - l[1]),
            // On a one-sided blade the other side is plane: its z is the back's.
            (Some(r), None) => flank[1].map(|l| r[1] - l[1]),
            (None, Some(l)) => flank[0].map(|r| r[1] - l[1]),
            (None, None) => None,
        };
        let edge = match (low[0], low[1], apex) {
            (Some(r), Some(l), _) => r[1] - l[1],
            (Some(p), None, Some(a)) | (None, Some(p), Some(a)) => (p[1] - a[1]).abs(),
            _ => 0.0,
        };
        let back = across(flank)?;
        let grind_height = grind_at[0].or(grind_at[1]).map(|g| g[0] - bottom[0]);
        let (top, rise) = match (grind, grind_height) {
            (Some(t), Some(h)) => (t, h),
            _ => (back, flank[0].or(flank[1]).map_or(crest, |f| f[0]) - bottom[0]),
        };
        let sides = if self.form.spec.section.sides == Sides::Both { 2.0 } else { 1.0 };
        Some(Station {
            at: x,
            bevel_angle: sides * (((top - edge) / sides).max(0.0) / rise).atan(),
            breadth: crest - bottom[0],
            thickness: self.extent(x)?,
            back,
            grind,
            grind_height,
            edge,
        })
    }

    /// The rail's lines that run through x on the blade.
    fn spans_at(&self, x: f64, tag: Tag) -> impl Iterator<Item = &Spline3> {
        let over = move |s: &&Span| s.part == Part::Blade;
        self.spans
            .iter()
            .filter(over)
            .flat_map(move |s| s.rails.iter().filter(move |r| r.tag == tag))
            .map(|r| &r.line)
            .filter(move |line| {
                let (a, b) = line.domain();
                line.point(a).x <= x && x < line.point(b).x
            })
    }

    /// (y, z) of a rail at station x.
    fn crossing(&self, x: f64, tag: Tag) -> Option<[f64; 2]> {
        let p = self.spans_at(x, tag).next().map(|line| point_at(line, x))?;
        Some([p.y, p.z])
    }

    /// Greatest extent through the thickness over all rails at station x.
    fn extent(&self, x: f64) -> Option<f64> {
        let mut range = (f64::INFINITY, f64::NEG_INFINITY);
        for span in self.spans.iter().filter(|s| s.part == Part::Blade) {
            for rail in &span.rails {
                let (a, b) = rail.line.domain();
                if rail.line.point(a).x <= x && x < rail.line.point(b).x {
                    let z = point_at(&rail.line, x).z;
                    range = (range.0.min(z), range.1.max(z));
                }
            }
        }
        (range.1 >= range.0).then_some(range.1 - range.0)
    }

    /// Height of a crowned back's crest at station x: the middle of the arc between the two flanks.
    fn crest(&self, x: f64) -> Option<f64> {
        self.spans.iter().filter(|s| s.part == Part::Blade).find_map(|span| {
            let i = span.rails.iter().position(|r| r.tag == Tag::Flank(Side::Right))?;
            let middle = span.rails[i].middle.as_ref()?;
            let other = span.rails.get(i + 1).filter(|r| r.tag == Tag::Flank(Side::Left))?;
            let point = |u: f64| {
                let (a, m, b) = (span.rails[i].line.point(u), middle.point(u), other.line.point(u));
                (a + b + m.truncate() * 2.0) / (2.0 + 2.0 * m.w)
            };
            let (from, to) = (span.from, span.to);
            if !(point(from).x <= x && x < point(to).x) {
                return None;
            }
            Some(point(zero(from, to, |u| point(u).x - x)).y)
        })
    }
}

/// The point of a rail at station x of its range.
fn point_at(line: &Spline3, x: f64) -> DVec3 {
    let place = |u: f64| {
        let (point, along) = line.at(u);
        (point, along, DVec3::ZERO)
    };
    station_on(place, line.domain(), x, None).1
}
