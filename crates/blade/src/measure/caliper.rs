//! What a caliper reads on the exact sections at a station, without a loft.

use brep::numeric::root::zero;
use glam::DVec3;

use crate::checked::Blade;
use crate::loft::spans::layout;
use crate::section::corners::{Side, Tag};
use crate::section::shape::{Node, Shape};
use crate::spec::Stage;

/// Two sizes of the plane section square to the blade at one station, mm: see [`crate::Station`].
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Caliper {
    /// From the edge to the back.
    pub breadth: f64,
    /// Thickness at the back's corners.
    pub back: f64,
}

impl Blade {
    /// The sizes at station `x`, mm from the shoulder (0) up to but not including the point; `None` outside. They are those of
    /// [`crate::Loft::station`], but for how near a loft keeps to its sections, and take a hundredth of a loft's time.
    pub fn caliper(&self, stage: Stage, x: f64) -> Option<Caliper> {
        let shape = self.shape(stage);
        if !(0.0..shape.fan.end).contains(&x) {
            return None;
        }
        let tagged = |tag: Tag| corner(&shape, x, |nodes| Some(nodes.iter().find(|n| n.tag == tag)?.at));
        let [right, left] = Side::BOTH.map(|side| tagged(Tag::Flank(side)));
        let top = corner(&shape, x, crest).or_else(|| tagged(Tag::BackFlat(Side::Right))).or(right)?;
        let low = [Tag::Apex, Tag::Edge(Side::Right), Tag::Edge(Side::Left)];
        let bottom = low.into_iter().find_map(tagged)?;
        Some(Caliper { breadth: top.y - bottom.y, back: right?.z - left?.z })
    }
}

/// A point of the sections where it lies at station `x`.
fn corner(shape: &Shape, x: f64, pick: impl Fn(&[Node]) -> Option<DVec3>) -> Option<DVec3> {
    let at = |u: f64| pick(&shape.nodes(u, &layout(shape, u)));
    if x < shape.fan.start {
        return at(x);
    }
    // What has no such point has it nowhere: a zero of what lies at x for all u ends at once.
    at(zero(shape.fan.start, shape.fan.end, |u| at(u).map_or(x, |p| p.x) - x))
}

/// The crest of a crowned back: the middle of the arc between the two flanks.
fn crest(nodes: &[Node]) -> Option<DVec3> {
    let pair = nodes.windows(2).find(|pair| pair[0].tag == Tag::Flank(Side::Right))?;
    let (a, m, b) = (pair[0].at, pair[0].middle?, pair[1].at);
    (pair[1].tag == Tag::Flank(Side::Left)).then(|| (a + b + m.truncate() * 2.0) / (2.0 + 2.0 * m.w))
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::specs::{forged_outside, variants};

    #[test]
    fn a_caliper_reads_what_the_loft_tells_at_every_station_of_every_variant() {
        for (name, spec) in variants().into_iter().chain(forged_outside()) {
            let blade = Blade::new(&spec).unwrap_or_else(|p| panic!("{name}: {p:#?}"));
            for stage in Stage::ALL {
                let loft = blade.loft(stage);
                for i in 0..200 {
                    let x = loft.length() * f64::from(i) / 200.0;
                    let (read, told) = (blade.caliper(stage, x).unwrap(), loft.station(x).unwrap());
                    let off = (read.breadth - told.breadth).abs().max((read.back - told.back).abs());
                    // Rails keep within 2e-5 mm of the corners; on the slant of a point's end that counts more.
                    assert!(off < 2e-4, "{name} {stage:?} at {x}: {read:?}, {told:?}");
                }
            }
        }
    }

    #[test]
    fn nothing_is_read_off_the_blade() {
        for (name, spec) in variants() {
            let blade = Blade::new(&spec).unwrap_or_else(|p| panic!("{name}: {p:#?}"));
            for x in [-1e-9, blade.length(), 1e9, f64::NAN, f64::INFINITY] {
                assert_eq!(blade.caliper(Stage::Finished, x), None, "{name} at {x}");
            }
        }
    }
}
