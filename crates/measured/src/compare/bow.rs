//! How far a blade stands off straight along one line.

use serde::Serialize;

use crate::file::reading::Line;
use crate::surplus::surface::Surface;

/// Fewer readings than this along one line tell no bow.
pub(crate) const FEWEST: usize = 3;

/// How far the blade stands off straight along one line.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct Bow {
    /// `back` or `edge`.
    pub line: Line,
    /// Whether it is bent sideways; otherwise in its own plane, against the planned line.
    pub sideways: bool,
    /// Stations (mm) and how far the middle plane stands off to the right, or the line upwards to the back, mm.
    pub off_mm: Vec<[f64; 2]>,
    /// Where it is furthest off, mm.
    pub at_mm: f64,
    /// How far it is off there, mm: to the right or upwards, else below 0.
    pub most_mm: f64,
}

/// Half the thickness along a line, mm.
pub(crate) fn half(surface: &Surface, line: Line, x: f64) -> f64 {
    let planned = surface.planned().station(x);
    let (thick, over) = match line {
        Line::Back => (planned.map(|s| s.back), surface.at_back(x).thickness),
        Line::Edge => (planned.map(|s| s.edge), surface.at_edge(x).thickness),
    };
    0.5 * (thick.unwrap_or_default() + over).max(0.0)
}

/// What stands off the straight line through the first and the last point; `None` of too few.
pub(crate) fn bow(line: Line, sideways: bool, points: Vec<[f64; 2]>) -> Option<Bow> {
    let off_mm = levelled(points)?;
    let [at_mm, most_mm] = *off_mm.iter().max_by(|a, b| a[1].abs().total_cmp(&b[1].abs()))?;
    Some(Bow { line, sideways, off_mm, at_mm, most_mm })
}

fn levelled(points: Vec<[f64; 2]>) -> Option<Vec<[f64; 2]>> {
    let ([x0, y0], [x1, y1]) = (*points.first()?, *points.last()?);
    let on = |x: f64| y0 + (y1 - y0) * (x - x0) / (x1 - x0);
    (points.len() >= FEWEST).then(|| points.iter().map(|&[x, y]| [x, y - on(x)]).collect())
}
