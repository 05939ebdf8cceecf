//! The rules that a blade's measures must keep together.

use crate::blade::Blade;
use crate::forms::{Lines, last_corner};
use crate::loft;
use crate::problem::{Fault, Problem};
use crate::section::{self, Corner, Join, Side, Tag};
use crate::shape::Shape;
use crate::spec::{Back, Bevel, GrindLine, OutlineForm, Sides, Spec, Stage, TangForm, Tip};

/// All three stages.
const STAGES: [Stage; 3] = Stage::ALL;

/// Steel that must stay between two faces (mm): thinner tears or burns through under the hammer and the
/// wheel (common practice, no source).
const LEAST_WALL: f64 = 0.3;
/// The tang's root keeps at least this far (mm) within the shoulder's section, so that a shoulder is left.
const LEDGE: f64 = 0.05;
/// No blade is thicker than this share of its breadth at the shoulder (common practice, no source).
const THICKEST: f64 = 0.5;
/// Borders of fullers keep at least this far (mm) from the back, the grind line and each other.
const MARGIN: f64 = 0.2;

/// Collects problems.
#[derive(Default)]
struct Found(Vec<Problem>);

impl Found {
    fn add(&mut self, field: impl Into<String>, fault: Fault) {
        self.0.push(Problem { field: field.into(), fault });
    }

    fn done(self) -> Result<(), Vec<Problem>> {
        if self.0.is_empty() { Ok(()) } else { Err(self.0) }
    }
}

/// The rounded point does not fit.
pub(crate) fn rounding() -> Problem {
    Problem { field: "outline.tip".into(), fault: Fault::Rounding {} }
}

/// Rules on plain measures, before any curve is made of them.
pub(crate) fn before(spec: &Spec) -> Result<(), Vec<Problem>> {
    let mut found = Found::default();
    outline_measures(spec, &mut found);
    if spec.taper.is_empty() {
        found.add("taper", Fault::NoTaper {});
    }
    for (i, pair) in spec.taper.windows(2).enumerate() {
        if pair[1].at - pair[0].at < loft::MERGE {
            found.add(format!("taper[{}].at", i + 1), Fault::Order { before: pair[0].at, at: pair[1].at });
        }
    }
    edges(spec, &mut found);
    let thick = spec.taper.first().map_or(0.0, |t| t.back);
    match spec.section.back {
        Back::Crowned { height } if height > 0.4 * thick => {
            found.add("section.back", Fault::Crown { height, most: 0.4 * thick });
        }
        Back::Rounded { radius } if radius > 0.35 * thick => {
            found.add("section.back", Fault::Crown { height: radius, most: 0.35 * thick });
        }
        _ => {}
    }
    found.done()
}

/// From stage to stage the edge gets thinner.
fn edges(spec: &Spec, found: &mut Found) {
    let s = &spec.stages;
    let steps =
        [(Stage::Ground, s.forged_edge, s.ground_edge), (Stage::Finished, s.ground_edge, s.finished_edge)];
    for (stage, before, edge) in steps {
        // A rounding error's worth may come from inches.
        if edge > before + 1e-9 {
            found.add(format!("stages.{stage}"), Fault::EdgeGrows { edge, before, stage });
        }
    }
}

fn outline_measures(spec: &Spec, found: &mut Found) {
    let mut within = |field: &str, value: f64, low: f64, high: f64| {
        if !(value >= low && value <= high) {
            found.add(format!("outline.{field}"), Fault::Range { value, low, high });
        }
    };
    match spec.outline.form {
        OutlineForm::Points { ref back, ref edge } => {
            for (name, line) in [("back", back), ("edge", edge)] {
                if line.len() < 2 {
                    found.add(format!("outline.{name}"), Fault::TooFewPoints {});
                    continue;
                }
                if line[0].at.x.abs() > 1e-9 {
                    found.add(format!("outline.{name}[0]"), Fault::NotAtShoulder { at: line[0].at.x });
                }
                for (i, pair) in line.windows(2).enumerate() {
                    if pair[1].at.x - pair[0].at.x < loft::MERGE {
                        let fault = Fault::Order { before: pair[0].at.x, at: pair[1].at.x };
                        found.add(format!("outline.{name}[{}]", i + 1), fault);
                    }
                }
            }
        }
        OutlineForm::StraightBack { length, breadth, sweep, point_height } => {
            within("sweep", sweep, 0.0, 0.95 * length);
            within("point_height", point_height, 0.0, breadth);
        }
        OutlineForm::BrokenBack { length, breadth, break_at, break_breadth, sweep, point_height } => {
            within("sweep", sweep, 0.0, 0.95 * length);
            within("break_at", break_at, 0.05 * length, 0.98 * length);
            within("break_breadth", break_breadth, 0.5 * breadth, 2.0 * breadth);
            within("point_height", point_height, 0.0, break_breadth);
        }
        OutlineForm::CurvedBack { length, breadth, broadest_at, broadest, sweep, point_height } => {
            within("sweep", sweep, 0.0, 0.95 * length);
            within("broadest_at", broadest_at, 0.05 * length, 0.95 * length);
            within("broadest", broadest, breadth, 2.0 * breadth);
            within("point_height", point_height, 0.0, breadth);
        }
        OutlineForm::DroppedPoint { length, breadth, drop, sweep, point_height } => {
            within("sweep", sweep, 0.0, 0.95 * length);
            within("drop", drop, 0.02 * length, 0.95 * length);
            within("point_height", point_height, 0.0, breadth);
        }
    }
}

/// Rules on the two lines.
pub(crate) fn lines(spec: &Spec, lines: &Lines) -> Result<(), Vec<Problem>> {
    let mut found = Found::default();
    for (name, line) in [("back", &lines.back), ("edge", &lines.edge)] {
        if line.turns_back() {
            found.add(field_of(spec, name), Fault::TurnsBack {});
        }
    }
    let end = lines.back.end().x.min(lines.edge.end().x);
    let root = lines.breadth(0.0);
    if root < 1.0 {
        found.add(field_of(spec, "back"), Fault::Crossing { at: 0.0 });
        return found.done();
    }
    let crossing = (1..400).map(|i| end * f64::from(i) / 400.0).find(|&x| lines.breadth(x) <= 0.0);
    if let Some(at) = crossing {
        found.add(field_of(spec, "back"), Fault::Crossing { at });
    }
    let gap = lines.back.end() - lines.edge.end();
    let apart = gap.length();
    let open = apart > 1e-9;
    let slanted = gap.y <= gap.x.abs() || spec.outline.tip == Tip::Point;
    if apart > 0.5 * root || (open && slanted) {
        found.add("outline.tip", Fault::TipOpen { apart });
    } else if open && apart < 0.05 {
        // A flat under a twentieth of a millimetre can't be told from a point, nor printed.
        found.add("outline.tip", Fault::Range { value: apart, low: 0.05, high: 0.5 * root });
    }
    let corner = last_corner(&lines.back).max(last_corner(&lines.edge));
    if corner > lines.length() - (0.5f64).max(apart) {
        found.add(field_of(spec, "back"), Fault::CornerAtPoint { at: corner });
    }
    found.done()
}

fn field_of(spec: &Spec, line: &str) -> String {
    match spec.outline.form {
        OutlineForm::Points { .. } => format!("outline.{line}"),
        _ => "outline".into(),
    }
}

/// Rules that need the whole blade.
pub(crate) fn whole(blade: &Blade) -> Result<(), Vec<Problem>> {
    let mut found = Found::default();
    ricasso(blade, &mut found);
    thickness(blade, &mut found);
    bevel(blade, &mut found);
    tang(blade, &mut found);
    fullers(blade, &mut found);
    if found.0.is_empty() {
        sections(blade, &mut found);
    }
    found.done()
}

fn ricasso(blade: &Blade, found: &mut Found) {
    let Some(r) = blade.spec.ricasso else { return };
    let most = blade.fan.start - loft::MERGE;
    if r.length + r.plunge > most {
        found.add("ricasso", Fault::RicassoTooLong { reaches: r.length + r.plunge, most });
    }
}

/// Stations at which rules along the blade are tried: 64 up to the fan.
fn probes(blade: &Blade) -> impl Iterator<Item = f64> {
    let end = blade.fan.start;
    (0..=64).map(move |i| end * f64::from(i) / 64.0)
}

fn thickness(blade: &Blade, found: &mut Found) {
    let spec = &blade.spec;
    let station = |x: f64| spec.taper.iter().rposition(|t| t.at <= x).unwrap_or(0);
    let breadth = blade.lines.breadth(0.0);
    let most = THICKEST * breadth;
    if let Some(at) = probes(blade).find(|&x| blade.taper.back(x) > most) {
        let thickness = blade.taper.back(at);
        // The station at fault is the thicker one of the two beside.
        let i = station(at);
        let next = spec.taper.get(i + 1).filter(|t| t.back > spec.taper[i].back);
        let i = if next.is_some() { i + 1 } else { i };
        found.add(format!("taper[{i}].back"), Fault::TooThick { at, thickness, breadth, most });
        return;
    }
    for stage in STAGES {
        let shape = blade.shape(stage);
        let (edge, more) = (shape.edge(), 2.0 * shape.allowance());
        let thin = probes(blade).chain([blade.length()]).find(|&x| {
            let t = blade.taper.back(x).min(blade.taper.grind(x)) + more;
            t < edge + 0.1 || t < LEAST_WALL
        });
        if let Some(x) = thin {
            let i = station(x);
            let back = blade.taper.back(x);
            let field = if blade.taper.grind(x) < back { "grind" } else { "back" };
            let field = if spec.taper[i].grind.is_none() { "back" } else { field };
            let fault = Fault::ThinnerThanEdge {
                at: x,
                thickness: blade.taper.back(x).min(blade.taper.grind(x)) + more,
                edge,
                stage,
            };
            found.add(format!("taper[{i}].{field}"), fault);
            return;
        }
        if edge < 0.0 || (edge < 0.05 && stage != Stage::Finished) {
            found.add("stages", Fault::Range { value: edge, low: 0.05, high: 10.0 });
        }
    }
    for (i, t) in spec.taper.iter().enumerate() {
        if let Some(grind) = t.grind
            && grind > 1.2 * t.back
        {
            found.add(format!("taper[{i}].grind"), Fault::GrindThicker { grind, most: 1.2 * t.back });
        }
    }
}

fn bevel(blade: &Blade, found: &mut Found) {
    let form = &blade.spec.section;
    let root = blade.lines.breadth(0.0);
    if let GrindLine::Height(h) = form.grind_line
        && h > section::GRIND_SHARE.0 * root
    {
        found.add("section.grind_line", Fault::GrindLine { height: h, most: section::GRIND_SHARE.0 * root });
        return;
    }
    if let Back::Crowned { .. } | Back::Rounded { .. } = form.back
        && let GrindLine::Share(f) = form.grind_line
        && f > 0.8
    {
        found.add("section.grind_line", Fault::GrindLine { height: f * root, most: 0.8 * root });
        return;
    }
    for stage in STAGES {
        let shape = blade.shape(stage);
        let fault = probes(blade).find_map(|x| bevel_fault(&shape, x));
        if let Some(fault) = fault {
            let field =
                if let Fault::EdgeAngle { .. } = fault { "stages.finished" } else { "section.radius" };
            found.add(field, fault);
            return;
        }
    }
}

/// What is wrong with the primary or the secondary bevel at station x.
fn bevel_fault(shape: &Shape, x: f64) -> Option<Fault> {
    let section = &shape.spec.section;
    let m = shape.measures(x, shape.chord(x));
    let height = section::grind_height(section.grind_line, m.breadth);
    let one_sided = section.sides != Sides::Both;
    let rise = if one_sided { m.grind - m.edge } else { 0.5 * (m.grind - m.edge) };
    let chord = height.hypot(rise);
    if let Bevel::Hollow { radius } | Bevel::Convex { radius } = section.bevel {
        if m.bevelled > 0.0 && chord * m.bevelled > 1.6 * radius {
            return Some(Fault::BevelRadius { radius, chord, at: x });
        }
        let half = (0.5 * chord * m.bevelled / radius).asin();
        let slope = (rise / height).atan();
        if matches!(section.bevel, Bevel::Convex { .. }) && half > slope + 1e-9 && m.bevelled >= 1.0 {
            return Some(Fault::BevelProud { radius, least: 0.5 * chord / slope.sin(), at: x });
        }
        if matches!(section.bevel, Bevel::Hollow { .. }) && half > slope {
            // The lowest point of the hollow lies between edge and grind line: what is left there?
            let dip = radius / m.bevelled * (1.0 - (half - slope).cos());
            let left = if one_sided { m.edge - dip } else { m.edge - 2.0 * dip };
            if left < LEAST_WALL.min(0.5 * m.edge) {
                return Some(Fault::BevelThrough { radius, left, at: x });
            }
        }
    }
    // Nearer to the point the secondary bevel levels off and grows steeper of itself.
    shape.sharp_from().filter(|&from| x >= from && x <= 0.5 * shape.fan.end)?;
    let angle = shape.spec.stages.edge_angle?;
    let slope = rise / height;
    let full = if one_sided { slope.atan() } else { 2.0 * slope.atan() };
    (angle <= full * 1.05).then_some(Fault::EdgeAngle {
        angle: angle.to_degrees(),
        bevel: full.to_degrees(),
        at: x,
    })
}

fn tang(blade: &Blade, found: &mut Found) {
    let spec = &blade.spec;
    let tang = &spec.tang;
    match tang.form {
        TangForm::Full => {
            if spec.ricasso.is_none() {
                found.add("tang.form", Fault::FullTangNeedsRicasso {});
            }
        }
        TangForm::Hidden { breadth, shoulder_radius, .. } => {
            if shoulder_radius > 0.0 && shoulder_radius < 0.1 {
                found.add(
                    "tang.shoulder_radius",
                    Fault::Range { value: shoulder_radius, low: 0.1, high: 50.0 },
                );
            }
            if shoulder_radius > 0.8 * tang.length {
                let high = 0.8 * tang.length;
                found.add("tang.shoulder_radius", Fault::Range { value: shoulder_radius, low: 0.0, high });
            }
            for stage in STAGES {
                let shape = blade.shape(stage);
                if let Some((y, _, out)) = root_outside(&shape) {
                    let field = if breadth + 2.0 * shoulder_radius > 0.98 * blade.lines.breadth(0.0) {
                        "breadth"
                    } else {
                        "thickness"
                    };
                    found.add(format!("tang.{field}"), Fault::RootOutside { y, out, stage });
                    break;
                }
            }
        }
    }
    holes(blade, found);
}

/// The tang root's corner that lies furthest out of the shoulder's section: where, and by how much beyond the ledge.
fn root_outside(shape: &Shape) -> Option<(f64, f64, f64)> {
    let layout = loft::layout(shape, 1e-6);
    let low = shape.chord(0.0).edge.y;
    let corners = shape.corners(0.0, &layout);
    shape
        .tang_nodes(0.0)
        .iter()
        .map(|n| (n.at.y, n.at.z, LEDGE - inner_distance(&corners, n.at.y - low, n.at.z)))
        .chain(edges_outside(shape, &corners, low))
        .max_by(|a, b| a.2.total_cmp(&b.2))
        .filter(|worst| worst.2 > 0.0)
}

/// Points along the root's two flat sides: fullers and hollows may cut in between its corners.
fn edges_outside(shape: &Shape, corners: &[Corner], low: f64) -> Vec<(f64, f64, f64)> {
    let nodes = shape.tang_nodes(0.0);
    (1..32)
        .flat_map(|i| {
            let f = f64::from(i) / 32.0;
            [(0, 1), (2, 3)].map(|(a, b)| {
                let p = nodes[a].at.lerp(nodes[b].at, f);
                (p.y, p.z, LEDGE - inner_distance(corners, p.y - low, p.z))
            })
        })
        .collect()
}

/// Distance from (c, z) to the section's border, negative outside.
fn inner_distance(corners: &[Corner], c: f64, z: f64) -> f64 {
    let p = glam::DVec2::new(c, z);
    let ring = outline_of(corners);
    let mut inside = false;
    let mut nearest = f64::INFINITY;
    for (i, &a) in ring.iter().enumerate() {
        let b = ring[(i + 1) % ring.len()];
        if (a.y > z) != (b.y > z) && c < a.x + (z - a.y) / (b.y - a.y) * (b.x - a.x) {
            inside = !inside;
        }
        let t = ((p - a).dot(b - a) / (b - a).length_squared().max(f64::MIN_POSITIVE)).clamp(0.0, 1.0);
        nearest = nearest.min(p.distance(a.lerp(b, t)));
    }
    if inside { nearest } else { -nearest }
}

/// The section's border as a polygon, arcs in 24 chords.
fn outline_of(corners: &[Corner]) -> Vec<glam::DVec2> {
    let mut ring = Vec::new();
    for (i, corner) in corners.iter().enumerate() {
        ring.push(corner.at);
        if let Join::Round(m, w) = corner.join {
            let end = corners[(i + 1) % corners.len()].at;
            for k in 1..24 {
                let t = f64::from(k) / 24.0;
                let s = 1.0 - t;
                ring.push(
                    (corner.at * (s * s) + m * (2.0 * w * s * t) + end * (t * t))
                        / (s * s + 2.0 * w * s * t + t * t),
                );
            }
        }
    }
    ring
}

fn holes(blade: &Blade, found: &mut Found) {
    let tang = &blade.spec.tang;
    let shape = blade.shape(Stage::Finished);
    let flare = match tang.form {
        TangForm::Hidden { shoulder_radius, .. } => shoulder_radius,
        TangForm::Full => 0.0,
    };
    for (i, hole) in tang.holes.iter().enumerate() {
        let r = 0.5 * hole.diameter;
        let flat = [hole.at - r, hole.at, hole.at + r].map(|at| flat_of(&shape, at));
        let low = flat.iter().map(|f| f.0).fold(f64::NEG_INFINITY, f64::max);
        let high = flat.iter().map(|f| f.1).fold(f64::INFINITY, f64::min);
        let room = r + LEAST_WALL;
        let (near, far) = (flare + room, tang.length - room);
        let (low, high) = (low + room, high - room);
        let inside = (near..=far).contains(&hole.at) && (low..=high).contains(&hole.offset);
        if !inside {
            found.add(format!("tang.hole[{i}]"), Fault::HoleOutside { low, high, near, far });
        }
        for (j, other) in tang.holes[..i].iter().enumerate() {
            let apart = (hole.at - other.at).hypot(hole.offset - other.offset) - r - 0.5 * other.diameter;
            if apart < LEAST_WALL {
                found.add(format!("tang.hole[{i}]"), Fault::HolesMeet { other: j });
            }
        }
    }
}

/// Heights between which the tang's sides are flat at a distance behind the shoulder.
fn flat_of(shape: &Shape, at: f64) -> (f64, f64) {
    let u = match shape.spec.tang.form {
        // Beyond the shoulder radius the parameter is the station less the quarter circle's extra length.
        TangForm::Hidden { .. } => shape.tang_start() + shape.spec.tang.length - at,
        TangForm::Full => -at,
    };
    let nodes = shape.tang_nodes(u.min(0.0));
    let side = |tag: Tag| nodes.iter().find(|n| n.tag == tag).map(|n| n.at.y);
    let low = side(Tag::Edge(Side::Right)).or(side(Tag::Apex)).unwrap_or(0.0);
    (low, side(Tag::Flank(Side::Right)).unwrap_or(0.0))
}

fn fullers(blade: &Blade, found: &mut Found) {
    let spec = &blade.spec;
    for (i, f) in spec.fullers.iter().enumerate() {
        let place = blade.fuller_places[i];
        let at = |name: &str| format!("fuller[{place}].{name}");
        if f.end > blade.fan.start - loft::MERGE {
            found.add(at("end"), Fault::FullerEnd { end: f.end, most: blade.fan.start - loft::MERGE });
            continue;
        }
        let run_in = if f.start > 0.0 { f.run_in } else { 0.0 };
        if f.start + run_in + f.run_out > f.end {
            found.add(at("end"), Fault::FullerRuns { least: f.start + run_in + f.run_out });
            continue;
        }
        if f.depth > 0.45 * f.width {
            found.add(at("depth"), Fault::FullerDeep { depth: f.depth, most: 0.45 * f.width });
        }
        if spec.section.grind_line == GrindLine::Full && spec.section.bevel != Bevel::Flat {
            found.add(at("start"), Fault::FullerOnCurve {});
        }
        if matches!(spec.tang.form, TangForm::Full) && f.start <= 0.0 {
            found.add(at("start"), Fault::FullerInFullTang {});
        }
        for (j, other) in spec.fullers[..i].iter().enumerate() {
            if fullers_meet(f, other) {
                found.add(at("from_back"), Fault::FullersMeet { other: blade.fuller_places[j] });
            }
        }
        fuller_room(blade, i, found);
    }
}

fn fullers_meet(a: &crate::spec::Fuller, b: &crate::spec::Fuller) -> bool {
    let share_side = Side::BOTH.iter().any(|s| s.within(a.sides) && s.within(b.sides));
    let along = a.start < b.end && b.start < a.end;
    let across = a.from_back < b.from_back + b.width + MARGIN && b.from_back < a.from_back + a.width + MARGIN;
    // One behind the other still needs a common border to be whole.
    let touching = (a.end - b.start).abs() < loft::MERGE || (b.end - a.start).abs() < loft::MERGE;
    share_side && across && (along || touching)
}

/// Room for a fuller on the flank, and steel behind it, at every stage that has it.
fn fuller_room(blade: &Blade, i: usize, found: &mut Found) {
    let f = blade.spec.fullers[i];
    for stage in [Stage::Ground, Stage::Finished] {
        let shape = blade.shape(stage);
        for k in 0..=48 {
            let x = f.start + (f.end - f.start) * f64::from(k) / 48.0;
            let (m, layout) =
                (shape.measures(x, shape.chord(x)), loft::layout(&shape, 0.5 * (f.start + f.end)));
            let bare = section::Layout { sharp: layout.sharp, fullers: [Vec::new(), Vec::new()] };
            let corners = section::corners(&blade.spec.section, &bare, &m);
            let ys: Vec<(Tag, f64)> = corners.iter().map(|c| (c.tag, c.at.x)).collect();
            let side = if Side::Right.within(f.sides) { Side::Right } else { Side::Left };
            let high = ys.iter().find(|c| c.0 == Tag::Flank(side)).map_or(0.0, |c| c.1);
            let below = [Tag::Grind(side), Tag::Shoulder(side), Tag::Edge(side), Tag::Apex];
            let low = below.iter().find_map(|t| ys.iter().find(|c| c.0 == *t)).map_or(0.0, |c| c.1);
            let (top, bottom) = (m.breadth - f.from_back, m.breadth - f.from_back - f.width);
            if top > high - MARGIN || bottom < low + MARGIN {
                let (least, most) = (m.breadth - high + MARGIN, m.breadth - low - MARGIN - f.width);
                found.add(
                    format!("fuller[{}].from_back", blade.fuller_places[i]),
                    Fault::FullerOffFlank { at: x, least, most },
                );
                return;
            }
            let left = wall_behind(&blade.spec.fullers, &shape, &m, i);
            if left < LEAST_WALL {
                found.add(
                    format!("fuller[{}].depth", blade.fuller_places[i]),
                    Fault::FullerThrough { at: x, left },
                );
                return;
            }
        }
    }
}

/// Least thickness left behind fuller i, against whatever is cut into the other side.
fn wall_behind(all: &[crate::spec::Fuller], shape: &Shape, m: &section::Measures, i: usize) -> f64 {
    let f = &all[i];
    let height = section::grind_height(shape.spec.section.grind_line, m.breadth);
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

/// The last word: at every stage and everywhere along the blade the section is one simple region.
fn sections(blade: &Blade, found: &mut Found) {
    for stage in STAGES {
        let shape = blade.shape(stage);
        let end = blade.length();
        let bad = (0..=240).map(|i| end * f64::from(i) / 240.0 * (1.0 - 1e-6)).find(|&u| {
            let corners = shape.corners(u, &loft::layout(&shape, u));
            !simple(&corners)
        });
        if let Some(at) = bad {
            found.add("section", Fault::SectionFolds { at, stage });
            return;
        }
    }
}

/// Whether a section's border, arcs as chords, runs once round without touching itself.
fn simple(corners: &[Corner]) -> bool {
    let ring = outline_of(corners);
    let n = ring.len();
    if ring.iter().any(|p| !p.is_finite()) {
        return false;
    }
    // Right side above left side at every height: both sides as functions of c.
    let right: Vec<_> = corners.iter().filter(|c| is_side(c.tag, Side::Right)).collect();
    let left: Vec<_> = corners.iter().filter(|c| is_side(c.tag, Side::Left)).collect();
    let rising = right.windows(2).all(|p| p[1].at.x > p[0].at.x);
    let falling = left.windows(2).all(|p| p[1].at.x < p[0].at.x);
    let area: f64 = (0..n).map(|i| ring[i].perp_dot(ring[(i + 1) % n])).sum();
    let apart = (1..40).all(|k| {
        let c = ring.iter().map(|p| p.x).fold(0.0, f64::max) * f64::from(k) / 40.0;
        crossings(&ring, c) == 2
    });
    rising && falling && area < 0.0 && apart
}

fn is_side(tag: Tag, side: Side) -> bool {
    match tag {
        Tag::Apex => false,
        Tag::Edge(s)
        | Tag::Shoulder(s)
        | Tag::Grind(s)
        | Tag::Flank(s)
        | Tag::FullerLow(_, s)
        | Tag::FullerHigh(_, s)
        | Tag::BackFlat(s) => s == side,
    }
}

/// How often the border crosses height c, with the upper crossing further right.
fn crossings(ring: &[glam::DVec2], c: f64) -> usize {
    let n = ring.len();
    (0..n).filter(|&i| (ring[i].x > c) != (ring[(i + 1) % n].x > c)).count()
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::sample::plain;
    use crate::spec::{Fuller, GrindLine, Hole, Outline, OutlinePoint, Ricasso, TaperStation};
    use glam::DVec2;

    /// The (field, code) pairs of a changed plain blade.
    fn found(change: impl FnOnce(&mut Spec)) -> Vec<(String, &'static str)> {
        let mut spec = plain();
        change(&mut spec);
        match Blade::new(&spec) {
            Ok(_) => Vec::new(),
            Err(problems) => {
                assert!(
                    problems.iter().all(|p| !p.fault.to_string().is_empty() && !p.fault.help().is_empty())
                );
                problems.into_iter().map(|p| (p.field, p.fault.code())).collect()
            }
        }
    }

    fn one(change: impl FnOnce(&mut Spec), field: &str, code: &str) {
        let all = found(change);
        assert!(all.iter().any(|(f, c)| f == field && *c == code), "want {field} {code}, found {all:?}");
    }

    fn fuller() -> Fuller {
        let (start, end, run_in, run_out) = (30.0, 300.0, 20.0, 40.0);
        Fuller { start, end, run_in, run_out, from_back: 4.0, width: 5.0, depth: 1.0, sides: Sides::Both }
    }

    fn points(back: &[(f64, f64)], edge: &[(f64, f64)]) -> Outline {
        let line = |p: &[(f64, f64)]| {
            p.iter().map(|&(x, y)| OutlinePoint { at: DVec2::new(x, y), corner: true }).collect()
        };
        Outline {
            form: OutlineForm::Points { back: line(back), edge: line(edge) },
            tip: Tip::Flat { breadth: 0.0 },
        }
    }

    #[test]
    fn the_plain_blade_has_no_fault() {
        assert!(found(|_| {}).is_empty());
    }

    #[test]
    fn faults_of_the_outline_are_named() {
        one(
            |s| s.outline = points(&[(0.0, 30.0)], &[(0.0, 0.0), (100.0, 0.0)]),
            "outline.back",
            "too-few-points",
        );
        one(
            |s| s.outline = points(&[(5.0, 30.0), (400.0, 1.0)], &[(0.0, 0.0), (400.0, 0.0)]),
            "outline.back[0]",
            "not-at-shoulder",
        );
        one(
            |s| s.outline = points(&[(0.0, 30.0), (90.0, 30.0), (80.0, 1.0)], &[(0.0, 0.0), (80.0, 0.0)]),
            "outline.back[2]",
            "order",
        );
        one(
            |s| s.outline = points(&[(0.0, 30.0), (200.0, -5.0), (400.0, 1.0)], &[(0.0, 0.0), (400.0, 0.0)]),
            "outline.back",
            "lines-cross",
        );
        one(
            |s| s.outline = points(&[(0.0, 30.0), (400.0, 25.0)], &[(0.0, 0.0), (400.0, 0.0)]),
            "outline.tip",
            "tip-open",
        );
        one(
            |s| s.outline = points(&[(0.0, 30.0), (399.9, 3.0), (400.0, 1.0)], &[(0.0, 0.0), (400.0, 0.0)]),
            "outline.back",
            "corner-at-point",
        );
        one(|s| s.outline.tip = Tip::Round { radius: 60.0 }, "outline.tip", "rounding");
        let wild = |s: &mut Spec| {
            let p = |x: f64, y: f64| OutlinePoint { at: DVec2::new(x, y), corner: false };
            let back = vec![p(0.0, 30.0), p(200.0, 30.0), p(200.1, 20.0), p(400.0, 1.0)];
            let edge = vec![p(0.0, 0.0), p(400.0, 0.0)];
            s.outline = Outline { form: OutlineForm::Points { back, edge }, tip: Tip::Flat { breadth: 0.0 } };
        };
        one(wild, "outline.back", "turns-back");
    }

    #[test]
    fn a_slip_of_the_decimal_point_is_named_where_it_is() {
        one(|s| s.taper[0].back = 65.0, "taper[0].back", "too-thick");
        one(|s| s.taper[2].back = 25.0, "taper[2].back", "too-thick");
        one(|s| s.stages.finished_edge = 2.0, "stages.finished", "edge-grows");
        one(|s| s.stages.ground_edge = 2.6, "stages.ground", "edge-grows");
    }

    #[test]
    fn faults_of_thickness_and_bevel_are_named() {
        one(|s| s.taper.clear(), "taper", "no-taper");
        one(|s| s.taper[1].at = 0.0, "taper[1].at", "order");
        one(|s| s.taper[2].back = 0.5, "taper[2].back", "edge-thicker-than-back");
        one(
            |s| (s.stages.forged_edge, s.stages.ground_edge) = (6.0, 4.9),
            "taper[1].back",
            "edge-thicker-than-back",
        );
        one(|s| s.taper[1].grind = Some(9.0), "taper[1].grind", "grind-thicker");
        one(|s| s.section.grind_line = GrindLine::Height(36.0), "section.grind_line", "grind-line");
        one(|s| s.section.bevel = Bevel::Hollow { radius: 8.0 }, "section.radius", "bevel-radius");
        one(|s| s.section.bevel = Bevel::Hollow { radius: 40.0 }, "section.radius", "bevel-through");
        one(|s| s.section.bevel = Bevel::Convex { radius: 60.0 }, "section.radius", "bevel-proud");
        one(|s| s.stages.edge_angle = Some(0.1), "stages.finished", "edge-angle");
        one(|s| s.section.back = Back::Crowned { height: 3.0 }, "section.back", "back-form");
        one(|s| s.ricasso = Some(Ricasso { length: 440.0, plunge: 20.0 }), "ricasso", "ricasso-too-long");
    }

    #[test]
    fn the_tang_must_lie_within_the_shoulder_in_every_direction() {
        let hidden = |breadth, thickness| TangForm::Hidden { breadth, thickness, shoulder_radius: 2.0 };
        one(|s| s.tang.form = hidden(40.0, 2.0), "tang.breadth", "tang-root");
        one(|s| s.tang.form = hidden(10.0, 8.0), "tang.thickness", "tang-root");
        one(|s| s.tang.offset = 19.0, "tang.thickness", "tang-root");
        one(|s| s.tang.offset = -16.0, "tang.thickness", "tang-root");
        one(
            |s| s.fullers = vec![Fuller { start: 0.0, from_back: 8.0, depth: 2.2, ..fuller() }],
            "tang.thickness",
            "tang-root",
        );
        one(|s| s.tang.form = TangForm::Full, "tang.form", "full-tang-ricasso");
    }

    #[test]
    fn faults_of_holes_are_named() {
        let hole = |at, offset, diameter| Hole { at, offset, diameter };
        one(|s| s.tang.holes = vec![hole(130.0, 0.0, 3.0)], "tang.hole[0]", "hole-outside");
        one(|s| s.tang.holes = vec![hole(60.0, 0.0, 12.0)], "tang.hole[0]", "hole-outside");
        one(|s| s.tang.holes = vec![hole(1.0, 0.0, 3.0)], "tang.hole[0]", "hole-outside");
        one(
            |s| s.tang.holes = vec![hole(60.0, 0.0, 3.0), hole(62.0, 0.0, 3.0)],
            "tang.hole[1]",
            "holes-meet",
        );
    }

    #[test]
    fn faults_of_fullers_are_named() {
        let with = |f: Fuller| move |s: &mut Spec| s.fullers = vec![f];
        one(with(Fuller { end: 479.0, ..fuller() }), "fuller[0].end", "fuller-end");
        one(with(Fuller { end: 80.0, ..fuller() }), "fuller[0].end", "fuller-runs");
        one(with(Fuller { depth: 3.0, ..fuller() }), "fuller[0].depth", "fuller-deep");
        one(with(Fuller { from_back: 30.0, ..fuller() }), "fuller[0].from_back", "fuller-off-flank");
        one(with(Fuller { from_back: 0.1, ..fuller() }), "fuller[0].from_back", "fuller-off-flank");
        one(with(Fuller { width: 8.0, depth: 3.2, ..fuller() }), "fuller[0].depth", "fuller-through");
        one(
            |s| s.fullers = vec![fuller(), Fuller { from_back: 8.0, ..fuller() }],
            "fuller[0].from_back",
            "fullers-meet",
        );
        // Named by its place in the design, though the blade keeps fullers in another order.
        one(
            |s| s.fullers = vec![fuller(), Fuller { from_back: 30.0, ..fuller() }],
            "fuller[1].from_back",
            "fuller-off-flank",
        );
    }

    #[test]
    fn several_faults_are_told_at_once() {
        let all = found(|s| {
            s.taper[1].grind = Some(9.0);
            s.tang.holes[0].at = 500.0;
            s.fullers = vec![Fuller { depth: 3.0, ..fuller() }];
            s.section.bevel = Bevel::Hollow { radius: 8.0 };
        });
        assert!(all.len() >= 4, "{all:?}");
    }

    #[test]
    fn a_lone_taper_station_is_a_blade_of_one_thickness() {
        let all = found(|s| s.taper = vec![TaperStation { at: 0.0, back: 5.0, grind: None }]);
        assert!(all.is_empty(), "{all:?}");
    }
}
