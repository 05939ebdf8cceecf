//! What can be taken hold of on the blade: places, and the keys of the file that follow the hand.

use std::sync::Arc;

use blade::{
    Bevel, GrindLine, Loft, OutlineForm, OutlinePoint, Section, Sections, Spec, Stage, Station, TangForm,
};
use design::{Design, Figures, Unit};
use glam::DVec3;

use crate::values::{put_length, put_share, raw};

/// How near two lengths must be to be one, mm: what rounding in a file leaves.
const SAME: f64 = 1e-3;
/// Where along the blade the grind line is held, as a share of what lies between ricasso and fan.
const HELD: f64 = 0.4;

/// A hand goes aside by less than this share of its way (six degrees) without meaning to.
const ASIDE: f64 = 0.1;

/// What a key holds.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Kind {
    /// A length or breadth, mm.
    Length,
    /// A thickness or a depth, mm: a hand moves it in finer steps.
    Thickness,
    /// A share of the breadth, 0 to 1.
    Share,
}

impl Kind {
    /// The step that a hand moves by, and the finer one: half a millimetre and a tenth, or a thirty-second of an inch and
    /// five thousandths; a fifth of that for thicknesses, whose tenth counts; whole per cent and tenths.
    pub fn steps(self, unit: Unit) -> [f64; 2] {
        let inch = Unit::Inch.millimetres();
        match (self, unit) {
            (Kind::Length, Unit::Millimetre) => [0.5, 0.1],
            (Kind::Length, Unit::Inch) => [inch / 32.0, 0.005 * inch],
            (Kind::Thickness, Unit::Millimetre) => [0.1, 0.02],
            (Kind::Thickness, Unit::Inch) => [inch / 128.0, 0.001 * inch],
            (Kind::Share, _) => [0.01, 0.001],
        }
    }

    /// A value on the nearest step.
    pub fn snapped(self, value: f64, unit: Unit, fine: bool) -> f64 {
        let step = self.steps(unit)[usize::from(fine)];
        (value / step).round() * step
    }
}

/// A key that follows the hand.
#[derive(Clone, Debug, PartialEq)]
pub struct Pull {
    /// Its path in the file.
    pub path: String,
    /// What it holds.
    pub kind: Kind,
    /// Its value where the hand takes hold, mm or a share.
    pub value: f64,
    /// The least that it can be, in the same: a hand that pulls further stops there, and what else it holds goes on.
    pub least: f64,
    /// How its value grows as the hand moves: by the product with the way of the hand, mm.
    pub along: DVec3,
}

impl Pull {
    /// Its value after a way of the hand (mm), on the nearest step; just as it was where the hand does not move it.
    pub fn pulled(&self, by: DVec3, unit: Unit, fine: bool) -> f64 {
        let more = self.along.dot(by);
        if more.abs() > 0.0 {
            self.kind.snapped(self.value + more, unit, fine).max(self.least)
        } else {
            self.value
        }
    }

    /// Its value in words, with its unit.
    pub fn told(&self, figures: Figures) -> String {
        match self.kind {
            Kind::Share => format!("{:.0} %", 100.0 * self.value),
            Kind::Length => figures.told(self.value),
            Kind::Thickness => figures.gap(self.value),
        }
    }

    /// The file with a value for it.
    pub fn put(&self, text: &str, value: f64, design: &Design) -> Option<String> {
        match self.kind {
            Kind::Share => put_share(text, &self.path, value),
            Kind::Length | Kind::Thickness => put_length(text, &self.path, value, design.figures()),
        }
    }
}

/// A place on the blade that a hand can take hold of.
#[derive(Clone, Debug, PartialEq)]
pub struct Handle {
    /// What it is, in a few words: "breadth at the shoulder".
    pub name: String,
    /// Where it lies on the finished blade, mm.
    pub at: DVec3,
    /// The keys that follow the hand: never none.
    pub pulls: Vec<Pull>,
}

impl Handle {
    /// The file after a way of the hand (mm): each key on its nearest step. `None` where the file has no room for a key.
    /// A way that goes nearly along one axis is meant along it alone, unless it is a fine one.
    pub fn moved(&self, text: &str, by: DVec3, fine: bool, design: &Design) -> Option<String> {
        let by = if fine { by } else { straightened(by) };
        self.pulls.iter().try_fold(text.to_owned(), |text, pull| {
            let value = pull.pulled(by, design.unit(), fine);
            if (value - pull.value).abs() < 1e-9 { Some(text) } else { pull.put(&text, value, design) }
        })
    }
}

/// A way without what it goes aside by less than [`ASIDE`].
fn straightened(by: DVec3) -> DVec3 {
    let least = ASIDE * by.abs().max_element();
    by * DVec3::from_array(by.abs().to_array().map(|way| f64::from(u8::from(way >= least))))
}

/// The handles of a design, from the point to the end of the tang. `text` is the file that it was read from.
pub fn handles(design: &Design, text: &str) -> Vec<Handle> {
    let side = Side::new(design);
    let spec = design.blade().spec();
    let mut all = outline(&side, spec);
    all.extend(taper(&side, spec));
    all.extend(grind_line(&side, &spec.section, spec));
    all.extend(ricasso(&side, spec));
    all.extend(fullers(&side, spec, text, design.unit()));
    all.extend(tang(spec));
    all
}

/// The finished blade as handles are laid on it.
struct Side<'d> {
    design: &'d Design,
    loft: Arc<Loft>,
    sections: Sections,
    /// Height of the edge's base line over the tang's centre line, mm.
    base: f64,
    length: f64,
}

impl Side<'_> {
    /// The finished blade of a design.
    fn new(design: &Design) -> Side<'_> {
        let spec = design.blade().spec();
        let root = match &spec.outline.form {
            OutlineForm::Points { back, edge } => {
                let first = |line: &[OutlinePoint]| line.first().map_or(0.0, |p| p.at.y);
                0.5 * (first(back) + first(edge))
            }
            OutlineForm::StraightBack { breadth, .. }
            | OutlineForm::BrokenBack { breadth, .. }
            | OutlineForm::CurvedBack { breadth, .. }
            | OutlineForm::DroppedPoint { breadth, .. } => 0.5 * breadth,
        };
        let loft = design.blade().loft(Stage::Finished);
        let (base, length) = (-(root + spec.tang.offset), design.blade().length());
        Side { design, sections: Sections::of(&loft), loft, base, length }
    }

    /// A point of the outline, in the blade's frame.
    fn point(&self, x: f64, y: f64) -> DVec3 {
        DVec3::new(x, self.base + y, 0.0)
    }

    fn station(&self, x: f64) -> Option<Station> {
        let last = (self.length - SAME).max(0.0);
        self.loft.station(x.clamp(0.0, last))
    }

    /// Heights of edge and back at a station.
    fn reach(&self, x: f64) -> Option<[f64; 2]> {
        let last = (self.length - SAME).max(0.0);
        let (low, high) = self.sections.at(x.clamp(0.0, last))?.range();
        Some([low, high])
    }
}

fn pull(path: impl Into<String>, kind: Kind, value: f64, along: DVec3) -> Pull {
    Pull { path: path.into(), kind, value, least: 0.0, along }
}

/// A height of an outline of own points, over any base line.
fn level(path: String, value: f64, along: DVec3) -> Pull {
    Pull { least: f64::NEG_INFINITY, ..pull(path, Kind::Length, value, along) }
}

fn handle(name: impl Into<String>, at: DVec3, pulls: Vec<Pull>) -> Handle {
    Handle { name: name.into(), at, pulls }
}

/// A key of the outline's table.
fn key(name: &str, value: f64, along: DVec3) -> Pull {
    pull(format!("outline.{name}"), Kind::Length, value, along)
}

/// The outline's handles. Where the breadth at the shoulder grows, edge and back give way alike: the hand holds the edge.
fn outline(side: &Side, spec: &Spec) -> Vec<Handle> {
    let (x, y) = (DVec3::X, DVec3::Y);
    let OutlineForm::Points { back, edge } = &spec.outline.form else { return named(side, spec) };
    let mut all = Vec::new();
    for (line, name, points) in [("back", "back", back), ("edge", "edge", edge)] {
        let last = points.len().saturating_sub(1);
        for (i, point) in points.iter().enumerate() {
            // The datum is the middle between the first two: each moves it by half.
            let up = if i == 0 { 2.0 * y } else { y };
            let at = |k: usize| format!("outline.{line}[{i}][{k}]");
            let mut pulls = vec![level(at(1), point.at.y, up)];
            if i > 0 {
                pulls.push(pull(at(0), Kind::Length, point.at.x, x));
            }
            if i == last && line == "edge" && back.last().is_some_and(|b| b.at.distance(point.at) < SAME) {
                // Both lines end in one point, which is held once.
                let end = |k: usize| format!("outline.back[{}][{k}]", back.len() - 1);
                pulls.extend([level(end(1), point.at.y, y), pull(end(0), Kind::Length, point.at.x, x)]);
                pulls.extend(last_station(side, spec));
                all.retain(|h: &Handle| h.at.distance(side.point(point.at.x, point.at.y)) > SAME);
            }
            let name = if i == last { "point".to_owned() } else { format!("{name}, point {}", i + 1) };
            all.push(handle(name, side.point(point.at.x, point.at.y), pulls));
        }
    }
    all
}

/// The handles of an outline that has a name.
fn named(side: &Side, spec: &Spec) -> Vec<Handle> {
    let (x, y) = (DVec3::X, DVec3::Y);
    let (length, breadth, sweep, height, mut all) = match spec.outline.form {
        OutlineForm::Points { .. } => return Vec::new(),
        OutlineForm::StraightBack { length, breadth, sweep, point_height } => {
            (length, breadth, sweep, point_height, Vec::new())
        }
        OutlineForm::BrokenBack { length, breadth, break_at, break_breadth, sweep, point_height } => {
            let pulls = vec![key("break_at", break_at, x), key("break_breadth", break_breadth, y)];
            let corner = handle("break of the back", side.point(break_at, break_breadth), pulls);
            (length, breadth, sweep, point_height, vec![corner])
        }
        OutlineForm::CurvedBack { length, breadth, broadest_at, broadest, sweep, point_height } => {
            let pulls = vec![key("broadest_at", broadest_at, x), key("broadest", broadest, y)];
            let belly = handle("broadest place", side.point(broadest_at, broadest), pulls);
            (length, breadth, sweep, point_height, vec![belly])
        }
        OutlineForm::DroppedPoint { length, breadth, drop, sweep, point_height } => {
            let falls = side.point(length - drop, breadth);
            let falls = handle("where the back drops", falls, vec![key("drop", drop, -x)]);
            (length, breadth, sweep, point_height, vec![falls])
        }
    };
    let mut pulls = vec![key("length", length, x), key("point_height", height, y)];
    pulls.extend(last_station(side, spec));
    all.push(handle("point", side.point(length, height), pulls));
    all.push(handle(
        "breadth at the shoulder",
        side.point(0.0, 0.0),
        vec![key("breadth", breadth, -2.0 * y)],
    ));
    if sweep > SAME {
        let sweeps = side.point(length - sweep, 0.0);
        all.push(handle("where the edge sweeps up", sweeps, vec![key("sweep", sweep, -x)]));
    }
    all
}

/// The taper's last station, where it lies at the point and so goes with it.
fn last_station(side: &Side, spec: &Spec) -> Option<Pull> {
    let last = spec.taper.len().checked_sub(1).filter(|last| *last > 0)?;
    let at = spec.taper[last].at;
    ((at - side.length).abs() < 1.0).then(|| pull(format!("taper[{last}].at"), Kind::Length, at, DVec3::X))
}

/// The stations of the taper, held at the back's right corner, and at the grind line where a thickness is given there: as far
/// out as the taper says, though the blade itself thins away near its point.
fn taper(side: &Side, spec: &Spec) -> Vec<Handle> {
    let (mut all, last) = (Vec::new(), last_station(side, spec));
    for (i, station) in spec.taper.iter().enumerate() {
        let (Some([edge, back]), Some(read)) = (side.reach(station.at), side.station(station.at)) else {
            continue;
        };
        let x = station.at.min(side.length);
        let mut pulls = vec![pull(format!("taper[{i}].back"), Kind::Thickness, station.back, 2.0 * DVec3::Z)];
        // The last one goes with the point, where it lies there.
        let goes_with_point = last.is_some() && i + 1 == spec.taper.len();
        if i > 0 && !goes_with_point {
            pulls.push(pull(format!("taper[{i}].at"), Kind::Length, station.at, DVec3::X));
        }
        let place = format!("thickness of the back at {}", told(side, station.at));
        all.push(handle(place, DVec3::new(x, back, 0.5 * station.back), pulls));
        if let (Some(grind), Some(up)) = (station.grind, read.grind_height) {
            let pulls = vec![pull(format!("taper[{i}].grind"), Kind::Thickness, grind, 2.0 * DVec3::Z)];
            let name = format!("thickness at the grind line at {}", told(side, station.at));
            all.push(handle(name, DVec3::new(x, edge + up, 0.5 * grind), pulls));
        }
    }
    all
}

fn told(side: &Side, x: f64) -> String {
    side.design.figures().told(x)
}

/// Where the bevel begins, unless that is the back itself.
fn grind_line(side: &Side, section: &Section, spec: &Spec) -> Option<Handle> {
    let from = spec.ricasso.map_or(0.0, |r| r.length + r.plunge);
    let x = from + HELD * (side.design.blade().fan_start() - from).max(0.0);
    let (station, [edge, _]) = (side.station(x)?, side.reach(x)?);
    let name = match section.bevel {
        Bevel::Flat => "grind line",
        Bevel::Hollow { .. } => "grind line of the hollow",
        Bevel::Convex { .. } => "grind line of the convex bevel",
    };
    let at = DVec3::new(x, edge + station.grind_height?, 0.5 * station.grind?);
    let held = match section.grind_line {
        GrindLine::Full => return None,
        GrindLine::Height(height) => pull("section.grind_line", Kind::Length, height, DVec3::Y),
        GrindLine::Share(share) => pull("section.grind_line", Kind::Share, share, DVec3::Y / station.breadth),
    };
    Some(handle(name, at, vec![held]))
}

/// Where the ricasso and where its plunge ends.
fn ricasso(side: &Side, spec: &Spec) -> Vec<Handle> {
    let Some(ricasso) = spec.ricasso else { return Vec::new() };
    [
        ("ricasso", "length", ricasso.length, ricasso.length),
        ("plunge", "plunge", ricasso.length + ricasso.plunge, ricasso.plunge),
    ]
    .into_iter()
    .filter_map(|(name, key, x, value)| {
        let [edge, _] = side.reach(x)?;
        let pulls = vec![pull(format!("ricasso.{key}"), Kind::Length, value, DVec3::X)];
        Some(handle(format!("end of the {name}"), DVec3::new(x, edge, 0.0), pulls))
    })
    .collect()
}

/// Fullers: their ends, and their upper and lower borders in the middle.
fn fullers(side: &Side, spec: &Spec, text: &str, unit: Unit) -> Vec<Handle> {
    let mut all = Vec::new();
    let count = spec.fullers.len();
    for (fuller, place) in spec.fullers.iter().zip(places(text, count, unit)) {
        let key =
            |name: &str, kind, value, along| pull(format!("fuller[{place}].{name}"), kind, value, along);
        let name = |what: &str| {
            if count == 1 {
                format!("{what} of the fuller")
            } else {
                format!("{what} of fuller {}", place + 1)
            }
        };
        let right = if fuller.sides == blade::Sides::Left { -1.0 } else { 1.0 };
        let at = |x: f64, below: f64| {
            let thick = side.station(x)?.back;
            Some(DVec3::new(x, side.reach(x)?[1] - fuller.from_back - below, 0.5 * right * thick))
        };
        let middle = 0.5 * (fuller.start + fuller.end);
        let half = 0.5 * fuller.width;
        let mut hold = |what: &str, at: Option<DVec3>, pull: Pull| {
            all.extend(at.map(|at| handle(name(what), at, vec![pull])))
        };
        if fuller.start > SAME {
            hold("beginning", at(fuller.start, half), key("start", Kind::Length, fuller.start, DVec3::X));
        }
        hold("end", at(fuller.end, half), key("end", Kind::Length, fuller.end, DVec3::X));
        hold("upper border", at(middle, 0.0), key("from_back", Kind::Length, fuller.from_back, -DVec3::Y));
        hold("lower border", at(middle, fuller.width), key("width", Kind::Length, fuller.width, -DVec3::Y));
    }
    all
}

/// Where fullers, which a blade keeps from the edge upwards, stand in the file.
fn places(text: &str, count: usize, unit: Unit) -> Vec<usize> {
    let from_back = |i: usize| {
        let told = raw(text, &format!("fuller[{i}].from_back")).unwrap_or_default();
        design::length(&told, unit).unwrap_or(0.0)
    };
    let mut places: Vec<usize> = (0..count).collect();
    places.sort_by(|&a, &b| from_back(b).total_cmp(&from_back(a)));
    places
}

/// The tang's end, and a hidden one's breadth and thickness at both ends.
fn tang(spec: &Spec) -> Vec<Handle> {
    let tang = &spec.tang;
    let (x, y, z) = (DVec3::X, DVec3::Y, DVec3::Z);
    let key = |name: &str, kind, value, along| vec![pull(format!("tang.{name}"), kind, value, along)];
    let mut all = vec![
        handle("end of the tang", -tang.length * x, key("length", Kind::Length, tang.length, -x)),
        handle(
            "breadth of the tang's end",
            -tang.length * x + 0.5 * tang.end_breadth * y,
            key("end_breadth", Kind::Length, tang.end_breadth, 2.0 * y),
        ),
        handle(
            "thickness of the tang's end",
            -tang.length * x + 0.5 * tang.end_thickness * z,
            key("end_thickness", Kind::Thickness, tang.end_thickness, 2.0 * z),
        ),
    ];
    if let TangForm::Hidden { breadth, thickness, shoulder_radius } = tang.form {
        let root = -(shoulder_radius + SAME) * x;
        let [up, out] = [0.5 * breadth * y, 0.5 * thickness * z];
        all.push(handle("breadth of the tang", root + up, key("breadth", Kind::Length, breadth, 2.0 * y)));
        all.push(handle(
            "thickness of the tang",
            root + out,
            key("thickness", Kind::Thickness, thickness, 2.0 * z),
        ));
    }
    all
}

#[cfg(test)]
#[path = "handles_tests.rs"]
mod tests;
