//! Rules on fullers: on the flank, apart from each other, and not through the blade.

use crate::form::{Form, upwards};
use crate::loft::spans;
use crate::rules::violations::Violations;
use crate::rules::{Fault, Field, LEAST_WALL};
use crate::section::corners::{self, Side, Tag};
use crate::section::shape::Shape;
use crate::spec::{Bevel, Fuller, GrindLine, Spec, Stage, TangForm};

/// Borders of fullers keep at least this far (mm) from the back, the grind line and each other.
const MARGIN: f64 = 0.2;

/// Every fuller on its own and against the others.
pub(super) fn fullers(given: &Spec, form: &Form, found: &mut Violations) {
    let spec = &form.spec;
    let places = upwards(&given.fullers);
    for (i, (f, &place)) in spec.fullers.iter().zip(&places).enumerate() {
        let farthest = form.side.fan.start - spans::MERGE;
        if f.end > farthest {
            let most = reach(form, f, farthest).unwrap_or(farthest);
            found.add(Field::FullerEnd(place), Fault::FullerEnd { end: f.end, most });
            continue;
        }
        if least_end(f) > f.end {
            found.add(Field::FullerEnd(place), Fault::FullerRuns { least: least_end(f) });
            continue;
        }
        if f.depth > 0.45 * f.width {
            found.add(Field::FullerDepth(place), Fault::FullerDeep { depth: f.depth, most: 0.45 * f.width });
        }
        if spec.section.grind_line == GrindLine::Full && spec.section.bevel != Bevel::Flat {
            found.add(Field::FullerStart(place), Fault::FullerOnCurve {});
        }
        if matches!(spec.tang.form, TangForm::Full) && f.start <= 0.0 {
            found.add(Field::FullerStart(place), Fault::FullerInFullTang {});
        }
        for (j, other) in spec.fullers[..i].iter().enumerate() {
            if fullers_meet(f, other) {
                found.add(Field::FullerFromBack(place), Fault::FullersMeet { other: places[j] });
            }
        }
        fuller_room(form, i, place, found);
    }
}

/// Where a fuller may end at the soonest, mm: it runs in, and out.
fn least_end(f: &Fuller) -> f64 {
    let run_in = if f.start > 0.0 { f.run_in } else { 0.0 };
    f.start + run_in + f.run_out
}

fn fullers_meet(a: &Fuller, b: &Fuller) -> bool {
    let share_side = Side::BOTH.iter().any(|s| s.within(a.sides) && s.within(b.sides));
    let along = a.start < b.end && b.start < a.end;
    let across = a.from_back < b.from_back + b.width + MARGIN && b.from_back < a.from_back + a.width + MARGIN;
    // One behind the other still needs a common border to be whole.
    let touching = (a.end - b.start).abs() < spans::MERGE || (b.end - a.start).abs() < spans::MERGE;
    share_side && across && (along || touching)
}

/// Room for a fuller on the flank, and steel behind it, at every stage that has it.
fn fuller_room(form: &Form, i: usize, place: usize, found: &mut Violations) {
    let f = &form.spec.fullers[i];
    for stage in [Stage::Ground, Stage::Finished] {
        let shape = form.shape(stage);
        for x in probes(f, f.end) {
            if !flank(form, &shape, f, x).holds(f) {
                found.add(Field::FullerFromBack(place), off_flank(form, f, x));
                return;
            }
            let m = shape.measures(x, shape.chord(x));
            let left = wall_behind(&form.spec.fullers, &shape, &m, i);
            if left < LEAST_WALL {
                found.add(Field::FullerDepth(place), Fault::FullerThrough { at: x, left });
                return;
            }
        }
    }
}

/// Stations at which a fuller is tried, up to `end`.
fn probes(f: &Fuller, end: f64) -> impl Iterator<Item = f64> {
    let start = f.start;
    (0..=48).map(move |k| start + (end - start) * f64::from(k) / 48.0)
}

/// What a fuller may keep from the back at a station, mm.
struct Flank {
    least: f64,
    most: f64,
}

impl Flank {
    /// Whether a fuller lies on it.
    fn holds(&self, f: &Fuller) -> bool {
        (self.least..=self.most).contains(&f.from_back)
    }
}

/// The room on the flank at station x for a fuller of this width on these sides.
fn flank(form: &Form, shape: &Shape, f: &Fuller, x: f64) -> Flank {
    let (m, layout) = (shape.measures(x, shape.chord(x)), spans::layout(shape, 0.5 * (f.start + f.end)));
    let bare = corners::Layout { sharp: layout.sharp, fullers: [Vec::new(), Vec::new()] };
    let corners = corners::corners(&form.spec.section, &bare, &m);
    let ys: Vec<(Tag, f64)> = corners.iter().map(|c| (c.tag, c.at.x)).collect();
    let side = if Side::Right.within(f.sides) { Side::Right } else { Side::Left };
    let high = ys.iter().find(|c| c.0 == Tag::Flank(side)).map_or(0.0, |c| c.1);
    let below = [Tag::Grind(side), Tag::Shoulder(side), Tag::Edge(side), Tag::Apex];
    let low = below.iter().find_map(|t| ys.iter().find(|c| c.0 == *t)).map_or(0.0, |c| c.1);
    Flank { least: m.breadth - high + MARGIN, most: m.breadth - low - MARGIN - f.width }
}

/// A fuller that leaves the flank at station x, with what would hold it: all along as long as it is, or cut short.
fn off_flank(form: &Form, f: &Fuller, x: f64) -> Fault {
    let (mut least, mut most) = (0.0_f64, f64::INFINITY);
    for shape in [Stage::Ground, Stage::Finished].map(|stage| form.shape(stage)) {
        for at in probes(f, f.end) {
            let room = flank(form, &shape, f, at);
            (least, most) = (least.max(room.least), most.min(room.most));
        }
    }
    let reach = reach(form, f, f.end).filter(|end| *end >= least_end(f));
    Fault::FullerOffFlank { at: x, least, most, reach }
}

/// How far towards the point, at most to `end`, a fuller lies on the flank; `None` where it does not even at its start.
fn reach(form: &Form, f: &Fuller, end: f64) -> Option<f64> {
    let shapes = [Stage::Ground, Stage::Finished].map(|stage| form.shape(stage));
    let lies = |x: f64| shapes.iter().all(|shape| flank(form, shape, f, x).holds(f));
    let mut last = None;
    let Some(off) = probes(f, end).find(|x| {
        let holds = lies(*x);
        last = if holds { Some(*x) } else { last };
        !holds
    }) else {
        return Some(end);
    };
    let (mut low, mut high) = (last?, off);
    // Halved down to a hundredth of a millimetre.
    while high - low > 0.01 {
        let middle = 0.5 * (low + high);
        if lies(middle) { low = middle } else { high = middle }
    }
    Some(low)
}

/// Least thickness left behind fuller i, against whatever is cut into the other side.
fn wall_behind(all: &[Fuller], shape: &Shape, m: &corners::Measures, i: usize) -> f64 {
    let f = &all[i];
    let height = m.grind_height;
    let thick = |c: f64| {
        let low =
            if shape.spec.section.grind_line == GrindLine::Full { (0.0, m.edge) } else { (height, m.grind) };
        low.1 + (m.back - low.1) * ((c - low.0) / (m.breadth - low.0)).clamp(0.0, 1.0)
    };
    let (top, bottom) = (m.breadth - f.from_back, m.breadth - f.from_back - f.width);
    let through: f64 = Side::BOTH
        .iter()
        .map(|side| {
            all.iter()
                .zip(&m.fullers)
                .filter(|(g, _)| {
                    side.within(g.sides)
                        && g.from_back < f.from_back + f.width
                        && f.from_back < g.from_back + g.width
                })
                .map(|(_, now)| now[2])
                .fold(0.0, f64::max)
        })
        .sum();
    thick(top).min(thick(bottom)) - through
}
