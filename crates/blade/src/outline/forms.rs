//! From the named forms and own points to the back line and the edge line.

use glam::DVec2;

use crate::spec::{Outline, OutlineForm, Tip};
use brep::numeric::root::zero;
use brep::{Path, Piece};

/// Both lines, from the shoulder (x = 0) to where they end at the point.
#[derive(Clone, Debug, PartialEq)]
pub(crate) struct Lines {
    pub(crate) back: Path,
    pub(crate) edge: Path,
}

impl Lines {
    pub(crate) fn moved(&self, by: DVec2) -> Lines {
        Lines { back: self.back.moved(by), edge: self.edge.moved(by) }
    }

    /// Breadth square to the blade at station x, mm.
    pub(crate) fn breadth(&self, x: f64) -> f64 {
        self.back.at_station(x).y - self.edge.at_station(x).y
    }

    /// Station of the point, mm.
    pub(crate) fn length(&self) -> f64 {
        self.back.end().x.max(self.edge.end().x)
    }
}

/// The lines of an outline, or why its point can't be rounded.
pub(crate) fn lines(outline: &Outline) -> Result<Lines, RoundingFault> {
    match outline.tip {
        Tip::Round { radius } => Ok(shortened(&outline.form, radius)?.1),
        Tip::Point | Tip::Flat { .. } => Ok(unrounded(outline)),
    }
}

/// The lines of an outline before its point is rounded.
pub(crate) fn unrounded(outline: &Outline) -> Lines {
    match outline.tip {
        Tip::Flat { breadth } => sharp(&outline.form, breadth),
        Tip::Point => sharp(&outline.form, 0.0),
        Tip::Round { radius } => shortened(&outline.form, radius)
            .map_or_else(|_| sharp(&outline.form, 0.0), |(form, _)| sharp(&form, 0.0)),
    }
}

/// The form whose point, rounded, lies where `form` asks for it, and its rounded lines.
fn shortened(form: &OutlineForm, radius: f64) -> Result<(OutlineForm, Lines), RoundingFault> {
    let mut form = form.clone();
    let mut result = rounded(&sharp(&form, 0.0), radius)?;
    if let OutlineForm::Points { .. } = form {
        return Ok((form, result));
    }
    // Rounding shortens the blade; a few secant-free corrections give the length asked for.
    let wanted = length_of(&form);
    for _ in 0..40 {
        let missing = wanted - result.length();
        if missing.abs() < 1e-11 {
            break;
        }
        lengthen(&mut form, missing);
        result = rounded(&sharp(&form, 0.0), radius)?;
    }
    Ok((form, result))
}

/// The rounding does not fit between the lines.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(crate) struct RoundingFault;

fn length_of(form: &OutlineForm) -> f64 {
    match form {
        OutlineForm::Points { back, edge } => back.iter().chain(edge).map(|p| p.at.x).fold(0.0, f64::max),
        OutlineForm::StraightBack { length, .. }
        | OutlineForm::BrokenBack { length, .. }
        | OutlineForm::CurvedBack { length, .. }
        | OutlineForm::DroppedPoint { length, .. } => *length,
    }
}

fn lengthen(form: &mut OutlineForm, by: f64) {
    match form {
        OutlineForm::Points { .. } => {}
        OutlineForm::StraightBack { length, .. }
        | OutlineForm::BrokenBack { length, .. }
        | OutlineForm::CurvedBack { length, .. }
        | OutlineForm::DroppedPoint { length, .. } => *length += by,
    }
}

/// The lines with an exact point (`flat` = 0) or a flat of that breadth above the point's height.
fn sharp(form: &OutlineForm, flat: f64) -> Lines {
    match *form {
        OutlineForm::Points { ref back, ref edge } => {
            let line = |points: &[crate::spec::OutlinePoint]| {
                Path::through(&points.iter().map(|p| (p.at, p.corner)).collect::<Vec<_>>())
            };
            Lines { back: line(back), edge: line(edge) }
        }
        OutlineForm::StraightBack { length, breadth, sweep, point_height } => Lines {
            back: polyline(&[(0.0, breadth), (length, point_height + flat)]),
            edge: swept(length, sweep, point_height),
        },
        OutlineForm::BrokenBack { length, breadth, break_at, break_breadth, sweep, point_height } => Lines {
            back: polyline(&[(0.0, breadth), (break_at, break_breadth), (length, point_height + flat)]),
            edge: swept(length, sweep, point_height),
        },
        OutlineForm::CurvedBack { length, breadth, broadest_at, broadest, sweep, point_height } => Lines {
            back: bowed([0.0, breadth], [broadest_at, broadest], [length, point_height + flat]),
            edge: swept(length, sweep, point_height),
        },
        OutlineForm::DroppedPoint { length, breadth, drop, sweep, point_height } => Lines {
            back: bent([0.0, breadth], length - drop, [length, point_height + flat]),
            edge: swept(length, sweep, point_height),
        },
    }
}

fn polyline(points: &[(f64, f64)]) -> Path {
    Path::through(&points.iter().map(|&(x, y)| (DVec2::new(x, y), true)).collect::<Vec<_>>())
}

/// The edge: along the base line, then up to the point over `sweep`.
fn swept(length: f64, sweep: f64, point_height: f64) -> Path {
    if sweep <= 0.0 || point_height == 0.0 {
        return polyline(&[(0.0, 0.0), (length, point_height)]);
    }
    bent([0.0, 0.0], length - sweep, [length, point_height])
}

/// Level from `start` to station `x`, then a parabola that leaves it smoothly and ends in `end`.
fn bent(start: [f64; 2], x: f64, end: [f64; 2]) -> Path {
    let (a, b, d) = (DVec2::from(start), DVec2::new(x, start[1]), DVec2::from(end));
    let third = (d.x - b.x) / 3.0;
    // A parabola y ∝ x² as a cubic Bézier curve: the inner points rise by 0 and 1/3.
    let curve = Piece::Cubic([
        b,
        DVec2::new(b.x + third, b.y),
        DVec2::new(b.x + 2.0 * third, b.y + (d.y - b.y) / 3.0),
        d,
    ]);
    if x <= start[0] {
        return Path::new(vec![curve], vec![true]);
    }
    Path::new(vec![Piece::Straight(a, b), curve], vec![false, true])
}

/// A convex line, level at `top`, twice continuously differentiable: a parabola before it and the cubic
/// with the same curvature there after it.
fn bowed(start: [f64; 2], top: [f64; 2], end: [f64; 2]) -> Path {
    let (a, m, d) = (DVec2::from(start), DVec2::from(top), DVec2::from(end));
    let (before, after) = ((m.x - a.x) / 3.0, (d.x - m.x) / 3.0);
    let rise = Piece::Cubic([
        a,
        DVec2::new(a.x + before, m.y - (m.y - a.y) / 3.0),
        DVec2::new(m.x - before, m.y),
        m,
    ]);
    // y'' = −2(m − a)/(3·before)² at the top; the Bézier curve's y'' there is 6(P0 − 2P1 + P2)/(3·after)².
    let sag = -2.0 * (m.y - a.y) * (after / before).powi(2) / 6.0;
    let fall = Piece::Cubic([m, DVec2::new(m.x + after, m.y), DVec2::new(m.x + 2.0 * after, m.y + sag), d]);
    Path::new(vec![rise, fall], vec![false, true])
}

/// The lines with their point rounded by an arc of `radius` tangent to both; each line ends at the arc's
/// foremost point.
pub(crate) fn rounded(lines: &Lines, radius: f64) -> Result<Lines, RoundingFault> {
    let end = lines.length();
    // The rounding must end within the last corner of either line.
    let corner = last_corner(&lines.back).max(last_corner(&lines.edge));
    let centre = |x: f64| {
        let (at, d) = lines.back.at_station_along(x);
        at + DVec2::new(d.y, -d.x) * radius
    };
    let edge = Search::new(&lines.edge, corner, end);
    let gap = |x: f64| edge.nearest(centre(x)).1 - radius;
    if gap(corner) <= 0.0 {
        return Err(RoundingFault);
    }
    let (mut low, mut high) = (corner, end);
    // From the point inwards: the first station at which the circle clears the edge.
    for i in 1..=256 {
        let x = end + (corner - end) * f64::from(i) / 256.0;
        if gap(x) > 0.0 {
            low = x;
            break;
        }
        high = x;
    }
    let low = zero(low, high, |x| -gap(x));
    let c = centre(low);
    let (x_edge, _) = edge.nearest(c);
    let angle = |p: DVec2| (p.y - c.y).atan2(p.x - c.x);
    let (top, bottom) = (angle(lines.back.at_station(low)), angle(lines.edge.at_station(x_edge)));
    if !(top > 1e-6 && bottom < -1e-6) {
        return Err(RoundingFault);
    }
    Ok(Lines {
        back: lines.back.ended_with(low, Piece::Arc(c, radius, top, 0.0)),
        edge: lines.edge.ended_with(x_edge, Piece::Arc(c, radius, bottom, 0.0)),
    })
}

pub(crate) fn last_corner(line: &Path) -> f64 {
    line.joints().iter().filter(|j| j.1).map(|j| j.0).fold(0.0, f64::max)
}

/// Stretches of a line that are tried first for its nearest point.
const STRETCHES: usize = 64;

/// A search on a line between two stations, for its points nearest to others.
struct Search<'a> {
    line: &'a Path,
    /// The ends of like stretches: station and point.
    tries: Vec<(f64, DVec2)>,
}

impl<'a> Search<'a> {
    fn new(line: &'a Path, from: f64, to: f64) -> Search<'a> {
        let station = |i: usize| from + (to - from) * i as f64 / STRETCHES as f64;
        let tries = (0..=STRETCHES).map(station).map(|x| (x, line.at_station(x))).collect();
        Search { line, tries }
    }

    /// Station of the line's point nearest to `p`, and its distance.
    fn nearest(&self, p: DVec2) -> (f64, f64) {
        let distance = |i: &usize| self.tries[*i].1.distance(p);
        let best = (0..=STRETCHES).min_by(|a, b| distance(a).total_cmp(&distance(b))).unwrap_or(0);
        let (low, high) = (self.tries[best.saturating_sub(1)].0, self.tries[(best + 1).min(STRETCHES)].0);
        // The sign of (line − p)·direction brackets the foot of the perpendicular.
        let x = zero(low, high, |x| {
            let (at, direction) = self.line.at_station_along(x);
            (at - p).dot(direction)
        });
        (x, self.line.at_station(x).distance(p))
    }
}
