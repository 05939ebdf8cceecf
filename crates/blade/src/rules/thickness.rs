//! Rules on thickness and bevels along the blade.

use crate::form::Form;
use crate::rules::violations::Violations;
use crate::rules::{Fault, Field, LEAST_WALL};
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
    for stage in Stage::ALL {
        let shape = form.shape(stage);
        let (edge, more) = (shape.edge(), 2.0 * shape.allowance());
        let thin = probes(form).chain([form.length()]).find(|&x| {
            let t = form.taper.back(x).min(form.taper.grind(x)) + more;
            t < edge + 0.1 || t < LEAST_WALL
        });
        if let Some(x) = thin {
            let i = station(x);
            let back = form.taper.back(x);
            let at_grind = form.taper.grind(x) < back && spec.taper[i].grind.is_some();
            let field = if at_grind { Field::TaperGrind(i) } else { Field::TaperBack(i) };
            let fault = Fault::ThinnerThanEdge {
                at: x,
                thickness: form.taper.back(x).min(form.taper.grind(x)) + more,
                edge,
                stage,
            };
            found.add(field, fault);
            return;
        }
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
        let fault = probes(form).find_map(|x| bevel_fault(&shape, x));
        if let Some(fault) = fault {
            let field = if let Fault::EdgeAngle { .. } = fault {
                Field::Stage(Stage::Finished)
            } else {
                Field::BevelRadius
            };
            found.add(field, fault);
            return;
        }
    }
}

/// What is wrong with the primary or the secondary bevel at station x.
fn bevel_fault(shape: &Shape, x: f64) -> Option<Fault> {
    let section = &shape.section();
    let m = shape.measures(x, shape.chord(x));
    let height = m.grind_height;
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
