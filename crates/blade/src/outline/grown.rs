//! The outline as it is forged: outside the finished one by as much as is ground off edge, back and point.

use brep::Path;
use brep::numeric::root::bracket;

use crate::outline::forms::{self, Lines, last_corner};
use crate::rules::Fault;
use crate::spec::{Outline, OutlineAllowance, Tip};

/// The narrowest end of a forged blade that is not its point, mm: as narrow as a tip flat may be.
const NARROW: f64 = 0.05;
/// A forged blade is refused that would be shorter than asked for by more, mm: under what a caliper reads.
const SHORT: f64 = 0.005;
/// Stations at which the finished outline is looked for inside.
const PROBES: i32 = 400;
/// Halvings that shut a bracket of stations, whatever lies in it.
const SHUT: usize = 80;

/// The forged lines about `finished` ones, in their frame.
///
/// # Errors
/// Why the lines can't be drawn so far outside.
pub(crate) fn grown(outline: &Outline, finished: &Lines, by: &OutlineAllowance) -> Result<Lines, Fault> {
    let sharp = forms::unrounded(outline);
    let moved = |line: &Path, by: f64| line.beside(by).map(|p| p.started_at(0.0));
    let back = moved(&sharp.back, by.back).ok_or(Fault::ForgedTight { allowance: by.back, at_back: true })?;
    let edge =
        moved(&sharp.edge, -by.edge).ok_or(Fault::ForgedTight { allowance: by.edge, at_back: false })?;
    let end = finished.length();
    let lines = led_on(Lines { back, edge }, end + by.point.unwrap_or_default());
    let most = meeting(&lines).map(|x| x - end);
    let point = by.point.unwrap_or(by.edge.max(by.back).min(most.unwrap_or(f64::INFINITY)));
    match most {
        Some(most) if point > most + SHORT => return Err(Fault::ForgedPointFar { most: most.max(0.0) }),
        _ => {}
    }
    let lines = match outline.tip {
        Tip::Round { radius } => rounded(&lines, most.map(|m| end + m), end + point, radius)?,
        Tip::Point | Tip::Flat { .. } => ended(&lines, most.map(|m| end + m), end + point),
    };
    encloses(&lines, finished)?;
    Ok(lines)
}

/// Both lines run straight on, to beyond where they meet or station `reach`.
fn led_on(lines: Lines, reach: f64) -> Lines {
    let ends = [&lines.back, &lines.edge].map(|l| (l.end(), l.direction(l.end().x)));
    let [(a, along_a), (b, along_b)] = ends;
    // a + t·along_a lies on the other line where its distance from it vanishes.
    let closing = along_a.perp_dot(along_b);
    let t = if closing > 1e-6 { (b - a).perp_dot(along_b) / closing } else { 0.0 };
    let to = reach.max(a.x + along_a.x * t.max(0.0)) + 1.0;
    let on = |line: Path, along: f64| {
        let room = to - line.end().x;
        if along > 1e-3 { line.led_on(room / along) } else { line }
    };
    Lines { back: on(lines.back, along_a.x), edge: on(lines.edge, along_b.x) }
}

/// The first station at which the lines meet, beyond their last corner.
fn meeting(lines: &Lines) -> Option<f64> {
    let from = last_corner(&lines.back).max(last_corner(&lines.edge));
    let to = lines.back.end().x.min(lines.edge.end().x);
    let station = |i: i32| from + (to - from) * f64::from(i) / f64::from(PROBES);
    let i = (1..=PROBES).find(|i| lines.breadth(station(*i)) <= 0.0)?;
    let (x, _) = bracket(station(i - 1), station(i), SHUT, |x| lines.breadth(x) <= 0.0);
    Some(x)
}

/// The lines ended at station `end`, or in the point where they meet when little breadth is left there.
fn ended(lines: &Lines, meeting: Option<f64>, end: f64) -> Lines {
    let is_point = meeting.is_some_and(|x| x <= end) || lines.breadth(end) < NARROW;
    match meeting.filter(|_| is_point) {
        Some(x) => pointed(lines, x),
        None => Lines { back: lines.back.until(end), edge: lines.edge.until(end) },
    }
}

/// The lines ended in the point where they meet, at station `x`.
fn pointed(lines: &Lines, x: f64) -> Lines {
    Lines { back: lines.back.until(x), edge: lines.edge.until(x) }
}

/// The lines rounded so that they end at station `end`: by the radius of the finished point and as much as they lie
/// further out at the least, searched by secants.
fn rounded(lines: &Lines, meeting: Option<f64>, end: f64, radius: f64) -> Result<Lines, Fault> {
    let sharp = pointed(lines, meeting.ok_or(Fault::Rounding {})?);
    let round = |r: f64| forms::rounded(&sharp, r).map_err(|_| Fault::Rounding {});
    let (mut before, mut r) = ((0.0, sharp.length() - end), radius);
    let mut found = round(r)?;
    // A rounding shortens the point in proportion to its radius between straight lines: few steps in any case.
    for _ in 0..30 {
        let missing = found.length() - end;
        if missing.abs() < 1e-10 {
            break;
        }
        let next = r - missing * (r - before.0) / (missing - before.1);
        before = (r, missing);
        r = if next > 0.0 { next } else { 0.5 * r };
        found = round(r)?;
    }
    Ok(found)
}

/// Whether the finished outline lies within the forged one, and its point has room.
fn encloses(forged: &Lines, finished: &Lines) -> Result<(), Fault> {
    let end = finished.length();
    let pokes = |x: f64| {
        let above = forged.back.at_station(x).y - finished.back.at_station(x).y;
        let below = finished.edge.at_station(x).y - forged.edge.at_station(x).y;
        above.min(below) < -1e-6
    };
    let station = |i: i32| end * f64::from(i) / f64::from(PROBES);
    if let Some(at) = (0..PROBES).map(station).find(|x| pokes(*x)) {
        return Err(Fault::ForgedInside { at });
    }
    let corner = last_corner(&forged.back).max(last_corner(&forged.edge));
    let apart = forged.back.end().distance(forged.edge.end());
    if corner > forged.length() - apart.max(0.5) { Err(Fault::CornerAtPoint { at: corner }) } else { Ok(()) }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::specs::{forged_outside, plain};
    use crate::{Blade, Spec, Stage};
    use glam::DVec2;

    fn points(line: &Path) -> Vec<DVec2> {
        line.pieces().iter().flat_map(|p| (0..=2000).map(|i| p.at(f64::from(i) / 2000.0).0)).collect()
    }

    fn nearest(p: DVec2, points: &[DVec2]) -> f64 {
        points.iter().map(|q| q.distance(p)).fold(f64::INFINITY, f64::min)
    }

    /// From the shoulder to one breadth before the point the forged lines lie outside the finished ones by what was asked
    /// for, measured square; beyond it they end as far ahead as asked for.
    #[test]
    fn the_forged_outline_lies_outside_by_the_allowance() {
        let mut count = 0;
        for (name, spec) in forged_outside() {
            let form = crate::rules::check(&spec).unwrap_or_else(|p| panic!("{name}: {p:#?}"));
            let by = spec.stages.forged_outline;
            let (forged, finished) = (&form.forged.lines, &form.side.lines);
            for (line, own, by) in
                [(&forged.back, &finished.back, by.back), (&forged.edge, &finished.edge, by.edge)]
            {
                let own = points(own);
                for p in
                    points(line).into_iter().step_by(97).filter(|p| p.x > 5.0 && p.x < form.side.fan.start)
                {
                    // A corner's mitre is further out: 1/cos of half its turn, here under 8 degrees.
                    let off = nearest(p, &own) / by;
                    assert!((0.999..1.01).contains(&off), "{name} {p}: {off}");
                }
            }
            let ahead = forged.length() - finished.length();
            assert!((ahead - by.point.unwrap_or(by.edge.max(by.back))).abs() < 1e-6, "{name}: {ahead}");
            assert!(forged.back.start().x.abs() < 1e-12 && forged.edge.start().x.abs() < 1e-12, "{name}");
            count += 1;
        }
        assert_eq!(count, 4);
    }

    /// Between straight lines a rounding as much larger is the offset of a rounding.
    #[test]
    fn an_even_allowance_on_a_round_point_is_a_larger_rounding() {
        let mut spec = plain();
        spec.outline.tip = Tip::Round { radius: 5.0 };
        spec.stages.forged_outline = OutlineAllowance { edge: 1.0, back: 1.0, point: None };
        let form = crate::rules::check(&spec).unwrap();
        let own: Vec<DVec2> =
            [&form.side.lines.back, &form.side.lines.edge].into_iter().flat_map(points).collect();
        for line in [&form.forged.lines.back, &form.forged.lines.edge] {
            for p in points(line).into_iter().step_by(53).filter(|p| p.x > 340.0) {
                assert!((nearest(p, &own) - 1.0).abs() < 1e-3, "{p}");
            }
        }
    }

    /// Wherever the blade is ground, steel stands over: no point of the ground section lies nearer to the forged one's
    /// border than the least allowance, less what the slope of the bevel takes.
    #[test]
    fn the_ground_blade_lies_deep_in_the_forged_one() {
        for (name, spec) in forged_outside() {
            let blade = Blade::new(&spec).unwrap();
            let [forged, ground] = [Stage::Forged, Stage::Ground].map(|s| blade.loft(s));
            for share in [0.05, 0.4, 0.7, 0.9] {
                let x = share * blade.length();
                let border = |loft: &crate::Loft| -> Vec<DVec2> {
                    let section = loft.section(x).unwrap();
                    section.iter().flat_map(|p| (0..200).map(|i| p.at(f64::from(i) / 200.0).0)).collect()
                };
                let [outer, inner] = [border(&forged), border(&ground)];
                let least = inner.iter().map(|p| nearest(*p, &outer)).fold(f64::INFINITY, f64::min);
                assert!(least > 0.7 && inside(&inner, &outer), "{name} {x}: {least}");
                let [f, g] = [&forged, &ground].map(|l| l.station(x).unwrap().breadth);
                assert!((f - g - 2.0).abs() < 0.1, "{name} {x}: {f} {g}");
            }
        }
    }

    /// Whether every point lies within a closed polygon, by crossings of a ray.
    fn inside(points: &[DVec2], ring: &[DVec2]) -> bool {
        points.iter().all(|p| {
            let next = ring.iter().cycle().skip(1);
            let crossed = |(a, b): (&DVec2, &DVec2)| {
                (a.y > p.y) != (b.y > p.y) && p.x < a.x + (p.y - a.y) / (b.y - a.y) * (b.x - a.x)
            };
            ring.iter().zip(next).filter(|pair| crossed((pair.0, pair.1))).count() % 2 == 1
        })
    }

    #[test]
    fn what_cannot_be_forged_is_named() {
        let code = |change: &dyn Fn(&mut Spec)| {
            let mut spec = plain();
            change(&mut spec);
            Blade::new(&spec).err().map(|p| (p[0].field, p[0].fault.code()))
        };
        let by = |edge, back, point| OutlineAllowance { edge, back, point };
        let field = crate::Field::ForgedOutline;
        let far = |s: &mut Spec| s.stages.forged_outline = by(0.5, 0.5, Some(30.0));
        assert_eq!(code(&far), Some((field, "forged-point-far")));
        let low = |s: &mut Spec| {
            s.outline.tip = Tip::Round { radius: 5.0 };
            s.stages.forged_outline = by(3.0, 0.0, Some(0.0));
        };
        assert_eq!(code(&low), Some((field, "forged-inside")));
        // What is told as the most is accepted.
        let most = |s: &mut Spec| s.stages.forged_outline = by(0.5, 0.5, Some(7.0));
        assert_eq!(code(&most), None);
        assert_eq!(code(&|s: &mut Spec| s.stages.forged_outline = by(1.0, 1.0, None)), None);
    }
}
