//! A gauge of sheet steel: what is cut and what is marked, and the way of the cutter beside it.

use std::f64::consts::{PI, TAU};

use blade::Stage;
use drawing::{Drawing, Layer};
use glam::DVec2;

use crate::metal::cutting::{Cutting, CuttingFault};
use crate::metal::strokes::Stroke;
use crate::slab::contour::{Contour, Motion};

/// A gauge of sheet steel, its least x and y at 0, mm.
#[derive(Clone, Debug, PartialEq)]
pub struct CutGauge {
    /// The stem of its files' names: lower-case ASCII letters, digits and dashes.
    pub name: String,
    /// What it is, in a few words.
    pub title: String,
    /// What it is for and what to mind, in a few sentences.
    pub note: String,
    /// The stage that it belongs to.
    pub stage: Stage,
    /// The temperature of the steel that it is held against, °C; `None` for cold steel.
    pub hot: Option<f64>,
    /// Its outline, counter-clockwise.
    pub outline: Contour,
    /// Holes through it, counter-clockwise, disjoint, inside the outline.
    pub holes: Vec<Contour>,
    /// What is marked on it, inside the outline and clear of the holes.
    pub marks: Vec<Stroke>,
    /// The middle of the cutter's way around the outline, counter-clockwise: half the kerf outside it.
    pub cut: Contour,
    /// The same around each hole: half the kerf inside it.
    pub inner_cuts: Vec<Contour>,
}

/// What a gauge is, without its form.
pub(crate) struct About {
    pub(crate) name: String,
    pub(crate) title: String,
    pub(crate) note: String,
    pub(crate) stage: Stage,
    pub(crate) hot: Option<f64>,
}

/// What is cut and marked of a gauge, mm.
pub(crate) struct Form {
    pub(crate) outline: Contour,
    pub(crate) holes: Vec<Contour>,
    pub(crate) marks: Vec<Stroke>,
}

/// What offsets may be off in area, mm²: a notch of a hundredth of a millimetre by a tenth.
const ROUNDING: f64 = 1e-3;

/// Kerfs under twice this are none, mm.
const LEAST: f64 = 1e-5;

/// Arcs that bulge less than this are straight lines, mm: a tenth of what a cutter resolves, and more than programs that
/// compute in single precision can tell (they turn such arcs over).
const FLAT: f64 = 1e-3;

/// The same for arcs of a radius from this on, mm.
const WIDE: f64 = 2e4;
/// See [`WIDE`].
const WIDE_FLAT: f64 = 5e-3;

impl CutGauge {
    /// A gauge cut with the kerf.
    ///
    /// # Errors
    /// [`CuttingFault::Kerf`] where the jet has no room in a notch or hole.
    pub(crate) fn new(about: About, form: &Form, cutting: &Cutting) -> Result<CutGauge, CuttingFault> {
        let motion = Motion::shift(-form.outline.bounds()[0]);
        let outline = straightened(&form.outline.moved(&motion));
        let holes: Vec<Contour> = form.holes.iter().map(|c| straightened(&c.moved(&motion))).collect();
        let fault = || CuttingFault::Kerf { gauge: about.name.clone(), kerf: cutting.kerf };
        let half = 0.5 * cutting.kerf;
        let cut = beside(&outline, half).ok_or_else(fault)?;
        let inner: Option<Vec<Contour>> = holes.iter().map(|hole| beside(hole, -half)).collect();
        let inner_cuts = inner.ok_or_else(fault)?;
        let marks = form.marks.iter().map(|stroke| stroke.moved(&motion)).collect();
        let About { name, title, note, stage, hot } = about;
        Ok(CutGauge { name, title, note, stage, hot, outline, holes, marks, cut, inner_cuts })
    }

    /// Draws it, turned and shifted: what to cut and what to mark, each on its layer.
    pub(crate) fn draw(&self, drawing: &mut Drawing, motion: &Motion) {
        // Holes first: once the outline is through, the part may move (common practice, no source).
        for contour in self.inner_cuts.iter().chain([&self.cut]) {
            drawing.closed(Layer::Cut, contour.moved(motion).pieces());
        }
        for stroke in &self.marks {
            let points = stroke.moved(motion).0;
            let line = points.windows(2).map(|ends| brep::Piece::Straight(ends[0], ends[1]));
            drawing.open(Layer::Mark, line.collect());
        }
    }

    /// The gauge alone as a drawing.
    pub fn drawing(&self) -> Drawing {
        let mut drawing = Drawing::default();
        self.draw(&mut drawing, &Motion::default());
        drawing
    }

    /// Width and height of what is cut, mm, and its least corner.
    pub(crate) fn reach(&self) -> [DVec2; 2] {
        let [low, high] = self.cut.bounds();
        [low, high - low]
    }
}

/// The contour so far outside (inside if negative) another; `None` where it vanishes, parts, or can't follow: then its
/// area is not what it must be.
fn beside(contour: &Contour, by: f64) -> Option<Contour> {
    if by.abs() < LEAST {
        return Some(contour.clone());
    }
    let [whole] = <[Contour; 1]>::try_from(contour.grown(by)).ok()?;
    let left = (whole.area() - area_beside(contour, by)).abs();
    (left <= ROUNDING).then_some(whole)
}

/// Area, mm², of a contour so far outside (inside if negative) one that it can follow everywhere: Steiner's formula, with
/// arcs around the corners that it passes outside and mitres in those that it passes inside.
fn area_beside(contour: &Contour, by: f64) -> f64 {
    let sides: Vec<[f64; 2]> = contour
        .sides()
        .map(|(a, b)| {
            // Half the arc's turn lies on either side of its chord.
            let (chord, half) = ((b - a.at).to_angle(), 2.0 * a.bulge.atan());
            [chord - half, chord + half]
        })
        .collect();
    let arcs: f64 = sides.iter().map(|[start, end]| 0.5 * (end - start)).sum();
    let corner = |i: usize| {
        let turn = sides[(i + 1) % sides.len()][0] - sides[i][1];
        let turn = (turn + PI).rem_euclid(TAU) - PI;
        if turn * by > 0.0 { 0.5 * turn } else { (0.5 * turn).tan() }
    };
    let turned = arcs + (0..sides.len()).map(corner).sum::<f64>();
    contour.area() + by * contour.length() + by * by * turned
}

/// A contour whose flattest arcs are straight lines.
fn straightened(contour: &Contour) -> Contour {
    let mut corners = contour.corners.clone();
    for (corner, (a, b)) in corners.iter_mut().zip(contour.sides()) {
        let (chord, rise) = (a.at.distance(b), 0.5 * a.bulge.abs() * a.at.distance(b));
        // For a flat arc the radius is chord² / 8 rise.
        if rise < FLAT || (rise < WIDE_FLAT && chord * chord > 8.0 * rise * WIDE) {
            corner.bulge = 0.0;
        }
    }
    Contour { corners }
}

#[cfg(test)]
mod tests {
    use super::*;

    /// A comb of square teeth, corners both ways: its own offset has the area that the formula says, out and in.
    #[test]
    fn the_area_beside_a_contour_is_steiners() {
        let mut corners = vec![DVec2::ZERO, DVec2::new(50.0, 0.0), DVec2::new(50.0, 20.0)];
        for tooth in 0..4 {
            let x = 45.0 - 10.0 * f64::from(tooth);
            corners.extend([[x, 20.0], [x, 12.0], [x - 5.0, 12.0], [x - 5.0, 20.0]].map(DVec2::from));
        }
        corners.push(DVec2::new(0.0, 20.0));
        let comb = Contour::polygon(&corners);
        let circle = Contour::circle(DVec2::new(3.0, 4.0), 6.0);
        for by in [0.1, 0.5, 1.0, -0.1, -0.5, -1.0] {
            for contour in [&comb, &circle] {
                let [whole] = <[Contour; 1]>::try_from(contour.grown(by)).unwrap();
                let told = area_beside(contour, by);
                assert!((whole.area() - told).abs() < 1e-6, "{by}: {} {told}", whole.area());
            }
        }
        assert!((area_beside(&circle, 1.0) - PI * 49.0).abs() < 1e-9);
    }

    /// A notch narrower than the kerf closes: the cutter can't follow, and that is refused.
    #[test]
    fn a_jet_wider_than_a_notch_is_refused() {
        let notched = |wide: f64| {
            let points = [[0.0, 0.0], [20.0, 0.0], [20.0, 10.0], [10.0 + wide, 10.0], [10.0 + wide, 5.0]];
            let rest = [[10.0, 5.0], [10.0, 10.0], [0.0, 10.0]];
            Contour::polygon(&points.into_iter().chain(rest).map(DVec2::from).collect::<Vec<_>>())
        };
        assert!(beside(&notched(0.5), 0.1).is_some() && beside(&notched(0.15), 0.1).is_none());
        assert!(beside(&Contour::circle(DVec2::ZERO, 0.05), -0.1).is_none());
    }
}
