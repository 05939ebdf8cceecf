//! Rules on thickness and bevels along the blade.

use crate::form::Form;
use crate::rules::violations::Violations;
use crate::rules::{Fault, Field, LEAST_WALL, THINNER};
use crate::section::corners;
use crate::section::shape::Shape;
use crate::spec::{Back, Bevel, GrindLine, Sides, Stage};

/// No blade is thicker than this share of its breadth at the shoulder (common practice, no source).
const THICKEST: f64 = 0.5;
/// Stations at which rules along the blade are tried: 64 up to the fan.
fn probes(form: &Form) -> impl Iterator<Item = f64> {
    let end = form.side.fan.start;
    (0..=64).map(move |i| end * f64::from(i) / 64.0)
}

/// Thickness within what breadth and edge allow, at every station and stage.
pub(super) fn thickness(form: &Form, found: &mut Violations) {
    let spec = &form.spec;
    let station = |x: f64| spec.taper.iter().rposition(|t| t.at <= x).unwrap_or(0);
    let breadth = form.side.lines.breadth(0.0);
    let most = THICKEST * breadth;
    if let Some(at) = probes(form).find(|&x| form.taper.back(x) > most) {
        let thickness = form.taper.back(at);
        // The station at fault is the thicker one of the two beside.
        let i = station(at);
        let next = spec.taper.get(i + 1).filter(|t| t.back > spec.taper[i].back);
        let i = if next.is_some() { i + 1 } else { i };
        found.add(Field::TaperBack(i), Fault::TooThick { at, thickness, breadth, most });
        return;
    }
    if let Some((missing, x, stage)) = thinnest(form).filter(|(missing, ..)| *missing > 0.0) {
        let edge = form.shape(stage).edge();
        let i = station(x);
        let at_grind = form.taper.grind(x) < form.taper.back(x) && spec.taper[i].grind.is_some();
        let field = if at_grind { Field::TaperGrind(i) } else { Field::TaperBack(i) };
        let thickness = (edge + THINNER).max(LEAST_WALL) - missing;
        found.add(field, Fault::ThinnerThanEdge { at: x, thickness, edge, stage });
        return;
    }
    for stage in Stage::ALL {
        let edge = form.shape(stage).edge();
        if edge < 0.0 || (edge < 0.05 && stage != Stage::Finished) {
            found.add(Field::Stages, Fault::Range { value: edge, low: 0.05, high: 10.0 });
        }
    }
    for (i, t) in spec.taper.iter().enumerate() {
        if let Some(grind) = t.grind
            && grind > 1.2 * t.back
        {
            found.add(Field::TaperGrind(i), Fault::GrindThicker { grind, most: 1.2 * t.back });
        }
    }
}

/// Where most is missing to the least thickness, so that what mends it there mends it everywhere: how much, mm, the station and
/// the stage.
fn thinnest(form: &Form) -> Option<(f64, f64, Stage)> {
    let at = |stage: Stage| {
        let shape = form.shape(stage);
        let (least, more) = ((shape.edge() + THINNER).max(LEAST_WALL), 2.0 * shape.allowance());
        let missing = move |x: f64| least - form.taper.back(x).min(form.taper.grind(x)) - more;
        probes(form).chain([form.length()]).map(move |x| (missing(x), x, stage))
    };
    Stage::ALL.into_iter().flat_map(at).max_by(|a, b| a.0.total_cmp(&b.0))
}

/// Grind line and bevel that fit the section, at every station and stage.
pub(super) fn bevel(form: &Form, found: &mut Violations) {
    let section = &form.spec.section;
    let root = form.side.lines.breadth(0.0);
    if let GrindLine::Height(h) = section.grind_line
        && h > corners::GRIND_SHARE.0 * root
    {
        found.add(Field::GrindLine, Fault::GrindLine { height: h, most: corners::GRIND_SHARE.0 * root });
        return;
    }
    if let Back::Crowned { .. } | Back::Rounded { .. } = section.back
        && let GrindLine::Share(f) = section.grind_line
        && f > 0.8
    {
        found.add(Field::GrindLine, Fault::GrindLine { height: f * root, most: 0.8 * root });
        return;
    }
    for stage in Stage::ALL {
        let shape = form.shape(stage);
        let least = || least_radius(form);
        if let Some(fault) = probes(form).find_map(|x| radius_fault(&shape, section.bevel, x, &least)) {
            found.add(Field::BevelRadius, fault);
            return;
        }
        if let Some(fault) = probes(form).find_map(|x| angle_fault(&shape, x)) {
            found.add(Field::Stage(Stage::Finished), fault);
            return;
        }
    }
}

/// The least radius, mm, that no rule forbids at any station and stage; `None` where the flattest one is forbidden too.
fn least_radius(form: &Form) -> Option<f64> {
    // Flatter than this a bevel is flat to the eye and the calliper, mm.
    const FLATTEST: f64 = 1e5;
    let bevel = form.spec.section.bevel;
    let sound = |radius: f64| {
        let bevel = match bevel {
            Bevel::Hollow { .. } => Bevel::Hollow { radius },
            Bevel::Convex { .. } => Bevel::Convex { radius },
            other => other,
        };
        let at = |stage| probes(form).all(|x| radius_fault(&form.shape(stage), bevel, x, &|| None).is_none());
        Stage::ALL.into_iter().all(at)
    };
    if !sound(FLATTEST) {
        return None;
    }
    let (mut low, mut high) = (0.0, FLATTEST);
    // Halved down to a micrometre.
    while high - low > 1e-3 {
        let middle = 0.5 * (low + high);
        if sound(middle) { high = middle } else { low = middle }
    }
    Some(high)
}

/// Height, mm, rise, mm, and share ground of the primary bevel at a station, and its edge's thickness, mm.
struct Ground {
    height: f64,
    rise: f64,
    bevelled: f64,
    edge: f64,
}

impl Ground {
    fn at(shape: &Shape, x: f64) -> Ground {
        let m = shape.measures(x, shape.chord(x));
        let share = if shape.section().sides == Sides::Both { 0.5 } else { 1.0 };
        Ground {
            height: m.grind_height,
            rise: share * (m.grind - m.edge),
            bevelled: m.bevelled,
            edge: m.edge,
        }
    }
}

/// What is wrong with the radius of the primary bevel at station x; `least` finds the radius that would do.
fn radius_fault(shape: &Shape, bevel: Bevel, x: f64, least: &dyn Fn() -> Option<f64>) -> Option<Fault> {
    let (Bevel::Hollow { radius } | Bevel::Convex { radius }) = bevel else { return None };
    let Ground { height, rise, bevelled, edge } = Ground::at(shape, x);
    let chord = height.hypot(rise);
    if bevelled > 0.0 && chord * bevelled > 1.6 * radius {
        return Some(Fault::BevelRadius { radius, chord, at: x, least: least() });
    }
    let half = (0.5 * chord * bevelled / radius).asin();
    let slope = (rise / height).atan();
    if matches!(bevel, Bevel::Convex { .. }) && half > slope + 1e-9 && bevelled >= 1.0 {
        return Some(Fault::BevelProud { radius, at: x, least: least() });
    }
    if matches!(bevel, Bevel::Hollow { .. }) && half > slope {
        // The lowest point of the hollow lies between edge and grind line: what is left there?
        let dip = radius / bevelled * (1.0 - (half - slope).cos());
        let sides = if shape.section().sides == Sides::Both { 2.0 } else { 1.0 };
        let left = edge - sides * dip;
        if left < LEAST_WALL.min(0.5 * edge) {
            return Some(Fault::BevelThrough { radius, left, at: x, least: least() });
        }
    }
    None
}

/// What is wrong with the angle of the secondary bevel at station x.
fn angle_fault(shape: &Shape, x: f64) -> Option<Fault> {
    // Nearer to the point the secondary bevel levels off and grows steeper of itself.
    shape.sharp_from().filter(|&from| x >= from && x <= 0.5 * shape.fan.end)?;
    let angle = shape.spec.stages.edge_angle?;
    let Ground { height, rise, .. } = Ground::at(shape, x);
    let sides = if shape.section().sides == Sides::Both { 2.0 } else { 1.0 };
    let full = sides * (rise / height).atan();
    (angle <= full * 1.05).then_some(Fault::EdgeAngle {
        angle: angle.to_degrees(),
        bevel: full.to_degrees(),
        at: x,
    })
}
