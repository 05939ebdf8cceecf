//! What shows on the blade's surface at a stage, as pictures.
//!
//! A surface point of the stage lies at some place in the forged blade; the map of [`crate::MaterialMap`] says which layer is
//! there. So what was forged thin shows stretched, and what was ground away shows cut.

use blade::Sections;

use crate::billet::bar::Bar;
use crate::billet::recipe::Billet;
use crate::map::material::MaterialMap;
use crate::picture::colours::Colours;
use crate::picture::frame::{Colouring, Fineness, Frame, View};
use crate::picture::painter::{Column, painted};

/// Twice the lines where a twisted bar has layers finer than a dot, or one of slices: on their way across the blade they
/// pass a line at once.
/// Textures, which cards smooth themselves, keep theirs.
fn finer(billet: &Billet, fineness: Fineness) -> Fineness {
    let is_fine = |bar: &Bar| {
        let [high, wide] = bar.share.cell().size();
        let layer =
            bar.layers.thinnest().unwrap_or(1.0) * (high * bar.height.least()).min(wide * billet.width());
        // On a slope they lie further apart along the bar than across it, but may do so less than a dot.
        let along = bar.slope.map_or(layer, |slope| layer / slope.tan().abs());
        (bar.twist.is_twisted() || bar.slope.is_some()) && layer.min(along) * fineness.dots < 1.0
    };
    match !fineness.bleed && billet.bars().iter().any(is_fine) {
        true => Fineness { samples: fineness.samples.saturating_mul(2), ..fineness },
        false => fineness,
    }
}

/// Columns that are laid into a picture at a time.
const BLOCK: usize = 32;

/// A picture of one view, sRGB.
#[derive(Clone, Debug, PartialEq)]
pub struct Picture {
    /// Pixels in a row.
    pub width: usize,
    /// Rows.
    pub height: usize,
    /// Red, green and blue, row by row from the top.
    pub rgb: Vec<u8>,
    /// Of the picture's left border, mm in the view's first direction.
    pub left: f64,
    /// Of its upper border, mm in the view's second direction.
    pub top: f64,
}

impl Picture {
    /// The view of the stage whose sections are given, blade and tang. `None` when it would have more than
    /// [`crate::MOST_PIXELS`], or no samples.
    pub fn new(
        lay: &MaterialMap,
        stage: &Sections,
        view: View,
        colouring: Colouring<'_>,
        fineness: Fineness,
    ) -> Option<Picture> {
        Picture::several(lay, stage, &[view], colouring, fineness)?.pop()
    }

    /// As [`Picture::new`] for several views, which share the work.
    pub fn several(
        lay: &MaterialMap,
        stage: &Sections,
        views: &[View],
        colouring: Colouring<'_>,
        fineness: Fineness,
    ) -> Option<Vec<Picture>> {
        let frames = Frame::several(stage, views, finer(lay.billet(), fineness))?;
        let colours = Colours::new(lay.billet(), colouring);
        let columns = painted(lay, stage, &frames, &colours);
        let of = |(k, frame): (usize, &Frame)| {
            Picture::from_columns(frame, columns.iter().map(|column| &column[k]))
        };
        Some(frames.iter().enumerate().map(of).collect())
    }

    /// The picture of a frame, from its columns of pixels.
    fn from_columns<'a>(frame: &Frame, columns: impl Iterator<Item = &'a Column>) -> Picture {
        let mut rgb = vec![0; 3 * frame.width * frame.height];
        let columns: Vec<&Column> = columns.collect();
        // Some columns at a time, row by row: a processor's nearest store holds as many.
        for (block, held) in columns.chunks(BLOCK).enumerate() {
            for j in 0..frame.height {
                // Rows run down; seen from above z runs down too.
                let row = if frame.view == View::Back { j } else { frame.height - 1 - j };
                for (k, column) in held.iter().enumerate() {
                    let i = block * BLOCK + k;
                    let place = if frame.view == View::Left { frame.width - 1 - i } else { i };
                    let at = 3 * (row * frame.width + place);
                    rgb[at..at + 3].copy_from_slice(&column[j]);
                }
            }
        }
        let (right, high) = (frame.end(frame.left, frame.width), frame.end(frame.low, frame.height));
        Picture {
            width: frame.width,
            height: frame.height,
            rgb,
            left: if frame.view == View::Left { -right } else { frame.left },
            top: if frame.view == View::Back { -frame.low } else { high },
        }
    }
}

#[cfg(test)]
mod tests {
    use std::f64::consts::{FRAC_PI_2, PI, TAU};

    use super::*;
    use crate::billet::bar::{Bar, Direction, Squaring};
    use crate::billet::layers::LayerSet;
    use crate::billet::recipe::Tip;
    use crate::billet::twist::{Hand, Program, Turn};
    use crate::fixtures::{bar, billet, even, flat_bar, forged, four_bars, spec};
    use crate::picture::frame::BORDER;
    use crate::picture::palette::{bar_colour, linear, steel_colour};
    use blade::{Blade, Part, Stage};

    const FINE: Fineness = Fineness { dots: 30.0, samples: 2, bleed: false };
    /// Side of the square bars in the tests' flat bar of four, mm.
    const SIDE: f64 = 8.0;

    /// How bright a pixel is, −1 for the dark steel to 1 for the bright one.
    fn light(p: &Picture, column: usize, row: usize) -> f64 {
        let of = |c: [u8; 3]| linear(f64::from(c[1]) / 255.0);
        let (dark, bright) = (of(steel_colour(0).srgb), of(steel_colour(1).srgb));
        let g = p.rgb[3 * (row * p.width + column) + 1];
        (2.0 * linear(f64::from(g) / 255.0) - dark - bright) / (bright - dark)
    }

    /// Slopes dy/dx of all layer borders where they cross a row (mm below the picture's top) between two columns (mm
    /// from its left): cubics through the borders' places in the rows up to `reach` mm to either side.
    fn slopes(p: &Picture, dots: f64, middle: f64, reach: f64, [from, to]: [f64; 2]) -> Vec<f64> {
        let (row, rows) = ((middle * dots) as usize, (reach * dots) as usize);
        let borders = |row: usize, from: usize, to: usize| -> Vec<f64> {
            (from..to)
                .filter_map(|i| {
                    let (a, b) = (light(p, i, row), light(p, i + 1, row));
                    (a * b < 0.0).then(|| i as f64 + a / (a - b))
                })
                .collect()
        };
        let starts = borders(row, (from * dots) as usize, (to * dots) as usize);
        starts
            .into_iter()
            .filter_map(|start| {
                let mut points = vec![(0.0, start)];
                for step in [-1_i32, 1] {
                    let mut x = start;
                    for k in 1..=rows as i32 {
                        let near = borders((row as i32 + step * k) as usize, x as usize - 6, x as usize + 6);
                        x = near.into_iter().min_by(|a, b| (a - x).abs().total_cmp(&(b - x).abs()))?;
                        points.push((f64::from(-step * k), x));
                    }
                }
                Some(1.0 / cubic_slope(&points))
            })
            .collect()
    }

    /// Slope at 0 of the cubic with least squares: normal equations by elimination.
    fn cubic_slope(points: &[(f64, f64)]) -> f64 {
        let mut m = [[0.0; 5]; 4];
        for &(t, x) in points {
            let t = t / points.len() as f64;
            for (i, row) in m.iter_mut().enumerate() {
                for (j, cell) in row.iter_mut().enumerate() {
                    *cell += t.powi(i as i32) * if j < 4 { t.powi(j as i32) } else { x };
                }
            }
        }
        for i in 0..4 {
            for j in 0..4 {
                let f = if i == j { 0.0 } else { m[j][i] / m[i][i] };
                let pivot = m[i];
                m[j].iter_mut().zip(pivot).for_each(|(c, p)| *c -= f * p);
            }
        }
        m[1][4] / m[1][1] / points.len() as f64
    }

    fn right_view(lay: &MaterialMap, stage: &Sections) -> Picture {
        Picture::new(lay, stage, View::Right, Colouring::Steels, FINE).unwrap()
    }

    /// A stack of four square bars of one kind that became a flat bar without changing its section.
    fn four_alike(program: &Program, squaring: Squaring) -> MaterialMap {
        let bars = (0..4).map(|_| bar(SIDE, program.clone(), squaring)).collect();
        MaterialMap::new(billet(bars, SIDE, Tip::Forged), forged(&flat_bar())).unwrap()
    }

    /// Law of the helix: tan ψ = θ′·r with r = a/2 in the middle of a face. A bar forged square has grown from a round of
    /// its own perimeter 4a on average, where every turn runs around 4a: r = 4a/2π.
    #[test]
    fn layer_lines_on_the_skin_follow_the_helix() {
        let turns = 0.02;
        for (squaring, radius) in [(Squaring::Ground, 0.5 * SIDE), (Squaring::Forged, 4.0 * SIDE / TAU)] {
            for (hand, sign) in [(Hand::Right, -1.0), (Hand::Left, 1.0)] {
                let lay = four_alike(&even(hand, turns), squaring);
                let picture = right_view(&lay, lay.sections());
                // The middle of the bar at the back.
                let middle = BORDER as f64 / FINE.dots + 0.5 * SIDE;
                let found = slopes(&picture, FINE.dots, middle, 1.0, [125.0, 245.0]);
                assert!(found.len() > 8, "{squaring:?} {hand:?}: {}", found.len());
                let mean = found.iter().sum::<f64>() / found.len() as f64;
                let helix = sign * turns * TAU * radius;
                assert!((mean / helix - 1.0).abs() < 1e-3, "{squaring:?} {hand:?}: {mean} for {helix}");
            }
        }
    }

    #[test]
    fn a_right_hand_twist_stays_right_hand_from_every_side_and_every_way_about() {
        let turn = |length, twist| Turn { length: Some(length), twist };
        let right = Some((Hand::Right, 0.03));
        for phase in [0.0, FRAC_PI_2, PI] {
            // The same bar laid end for end too.
            for program in [
                Program::new(phase, &[turn(130.0, right), turn(10.0, None), turn(90.0, right)]),
                Program::new(-phase, &[turn(90.0, right), turn(10.0, None), turn(130.0, right)]),
            ] {
                let lay = four_alike(&program, Squaring::Forged);
                let coarse = Fineness { dots: 10.0, samples: 2, bleed: false };
                for view in View::ALL {
                    let picture =
                        Picture::new(&lay, lay.sections(), view, Colouring::Steels, coarse).unwrap();
                    let middle = BORDER as f64 / coarse.dots + 0.5 * SIDE;
                    let found = slopes(&picture, 10.0, middle, 0.5, [125.0, 190.0]);
                    assert!(!found.is_empty(), "{view:?}");
                    assert!(found.iter().all(|s| *s < 0.0), "{view:?} {phase}: {found:?}");
                }
            }
        }
    }

    #[test]
    fn the_middle_plane_repeats_every_half_turn() {
        for squaring in [Squaring::Forged, Squaring::Ground] {
            let lay = four_alike(&even(Hand::Right, 0.02), squaring);
            let steel = |s: f64, up: f64| {
                let p = crate::billet::recipe::StackPoint { part: Part::Blade, along: s, up, through: 0.0 };
                lay.billet().layer(p).steel
            };
            let mut changes = 0;
            for i in 0..2000 {
                let (s, up) = (0.05 * f64::from(i), 0.017 + f64::from(i % 97) * 0.3);
                assert_eq!(steel(s, up), steel(s + 25.0, up), "{squaring:?} {s} {up}");
                changes += usize::from(steel(s, up) != steel(s + 12.5, up));
            }
            assert!(changes > 100, "{changes}");
        }
    }

    #[test]
    fn opposite_neighbours_mirror_at_the_seam() {
        let bars = [Hand::Right, Hand::Left, Hand::Right, Hand::Left];
        let bars = bars.map(|h| bar(SIDE, even(h, 0.02), Squaring::Forged)).to_vec();
        let lay = MaterialMap::new(billet(bars, SIDE, Tip::Forged), forged(&flat_bar())).unwrap();
        for i in 0..3000 {
            let (s, off, q) = (0.03 * f64::from(i), f64::from(i % 83) * 0.09, f64::from(i % 61 - 30) * 0.13);
            for seam in [SIDE, 2.0 * SIDE, 3.0 * SIDE] {
                let steel = |up: f64| {
                    let p = crate::billet::recipe::StackPoint { part: Part::Blade, along: s, up, through: q };
                    lay.billet().layer(p).steel
                };
                assert_eq!(steel(seam - off - 1e-6), steel(seam + off + 1e-6), "{s} {off} {q}");
            }
        }
    }

    /// A bar of even layers parallel to its sides, forged flat and ground to a wedge: the layers come out t/sin β apart
    /// along the bevel.
    #[test]
    fn a_ground_wedge_cuts_layers_apart_by_the_sine() {
        const COUNT: usize = 33;
        let spec = blade::Spec { ricasso: None, ..flat_bar() };
        let layers: Vec<_> = (0..COUNT).map(|i| (i % 2, 1.0)).collect();
        let plain = bar(32.0, Program::default(), Squaring::Forged);
        let flat =
            Bar { layers: LayerSet::stacked(&layers, 1).unwrap(), direction: Direction::Flat, ..plain };
        let lay = MaterialMap::new(billet(vec![flat], SIDE, Tip::Forged), forged(&flat_bar())).unwrap();
        let ground = Blade::new(&spec).unwrap().loft(Stage::Ground);
        let sections = Sections::of(&ground);
        let picture = right_view(&lay, &sections);
        let x = 60.0;
        let station = ground.station(x).unwrap();
        let half = 0.5 * station.bevel_angle;
        let spacing = SIDE / COUNT as f64 / half.sin();
        let (station_low, grind) = (sections.at(x).unwrap().range().0, station.grind_height.unwrap());
        // Borders along the column, from the top; those on the bevel.
        let column = ((x - picture.left) * FINE.dots) as usize;
        let borders: Vec<f64> = (0..picture.height - 1)
            .filter_map(|row| {
                let (a, b) = (light(&picture, column, row), light(&picture, column, row + 1));
                let height = picture.top - row as f64 / FINE.dots - station_low;
                (a * b < 0.0 && height > 0.5 && height < grind - 0.2).then(|| row as f64 + a / (a - b))
            })
            .collect();
        let gaps: Vec<f64> = borders.windows(2).map(|w| (w[1] - w[0]) / half.cos()).collect();
        assert!(gaps.len() > 5, "{borders:?}");
        for gap in gaps {
            assert!((gap - spacing * FINE.dots).abs() < 1.0, "{gap} for {}", spacing * FINE.dots);
        }
    }

    /// A bar of leaning layers, forged flat and ground to a wedge: by plain trigonometry they come out t/sin(β ∓ θ) apart
    /// along the bevels, half the bevels' angle β one way and the other of the angle θ by which they lean; t is the thickness
    /// of the block over their count, h·sin θ + w·cos θ.
    #[test]
    fn leaning_layers_come_out_apart_by_both_angles() {
        const COUNT: usize = 61;
        let spec = blade::Spec { ricasso: None, ..flat_bar() };
        let layers: Vec<_> = (0..COUNT).map(|i| (i % 2, 1.0)).collect();
        for degrees in [35.0, -20.0, 70.0_f64] {
            let angle = degrees.to_radians();
            let plain = bar(32.0, Program::default(), Squaring::Forged);
            let direction = Direction::Leaning(angle);
            let leaning = Bar { layers: LayerSet::stacked(&layers, 1).unwrap(), direction, ..plain };
            let lay =
                MaterialMap::new(billet(vec![leaning], SIDE, Tip::Forged), forged(&flat_bar())).unwrap();
            let ground = Blade::new(&spec).unwrap().loft(Stage::Ground);
            let sections = Sections::of(&ground);
            let x = 60.0;
            let station = ground.station(x).unwrap();
            let (half, grind) = (0.5 * station.bevel_angle, station.grind_height.unwrap());
            let thick = (32.0 * angle.sin().abs() + SIDE * angle.cos()) / COUNT as f64;
            for (view, side) in [(View::Right, -1.0), (View::Left, 1.0)] {
                let picture = Picture::new(&lay, &sections, view, Colouring::Steels, FINE).unwrap();
                let column = ((-side * x - picture.left) * FINE.dots) as usize;
                let low = sections.at(x).unwrap().range().0;
                let borders: Vec<f64> = (0..picture.height - 1)
                    .filter_map(|row| {
                        let (a, b) = (light(&picture, column, row), light(&picture, column, row + 1));
                        let height = picture.top - row as f64 / FINE.dots - low;
                        (a * b < 0.0 && height > 0.5 && height < grind - 0.2)
                            .then(|| row as f64 + a / (a - b))
                    })
                    .collect();
                let apart =
                    (borders[borders.len() - 1] - borders[0]) / (borders.len() - 1) as f64 / half.cos();
                let wanted = thick / (half + side * angle).sin().abs() * FINE.dots;
                assert!(borders.len() > 8, "{degrees} {view:?} {borders:?}");
                assert!((apart / wanted - 1.0).abs() < 5e-3, "{degrees} {view:?}: {apart} for {wanted}");
            }
        }
    }

    /// Layers on a slope in a bar that keeps its section: their lines rise by its tangent on both sides towards the point, and
    /// come again where the next slice begins.
    #[test]
    fn sloping_layers_rise_by_their_slope() {
        for degrees in [25.0, -40.0_f64] {
            let slope = degrees.to_radians();
            let sloped = Bar { slope: Some(slope), ..bar(SIDE, Program::default(), Squaring::Forged) };
            let plain = bar(SIDE, Program::default(), Squaring::Forged);
            let bars = vec![sloped, plain.clone(), plain.clone(), plain];
            let lay = MaterialMap::new(billet(bars, SIDE, Tip::Forged), forged(&flat_bar())).unwrap();
            for (view, toward) in [(View::Right, 1.0), (View::Left, -1.0)] {
                let picture = Picture::new(&lay, lay.sections(), view, Colouring::Steels, FINE).unwrap();
                let middle = BORDER as f64 / FINE.dots + 0.5 * SIDE;
                let [from, to] = [20.0, 130.0].map(|x| toward * x - picture.left);
                let found = slopes(&picture, FINE.dots, middle, 0.5, [from.min(to), from.max(to)]);
                assert!(found.len() > 20, "{degrees} {view:?}: {}", found.len());
                for line in found {
                    assert!((toward * line / slope.tan() - 1.0).abs() < 0.02, "{degrees} {view:?}: {line}");
                }
            }
            let layer = |x: f64| {
                let plane = lay.plane(x).unwrap();
                lay.billet().layer(plane.stack_point(28.0, 1.0)).layer
            };
            let slice = SIDE / slope.tan().abs();
            for i in 0..300 {
                let x = 5.0 + 0.4 * f64::from(i);
                assert_eq!(layer(x), layer(x + slice), "{degrees} {x}");
            }
        }
    }

    #[test]
    fn pictures_show_the_bars_where_the_seams_say() {
        let lay = MaterialMap::new(four_bars(Tip::Forged), forged(&spec())).unwrap();
        let stage = Sections::of(&Blade::new(&spec()).unwrap().loft(Stage::Finished));
        let fineness = Fineness { dots: 5.0, samples: 1, bleed: false };
        for view in [View::Right, View::Left] {
            let picture = Picture::new(&lay, &stage, view, Colouring::Bars, fineness).unwrap();
            let sign = if view == View::Left { -1.0 } else { 1.0 };
            for x in [30.0, 200.0, 350.0] {
                let plane = lay.plane(x).unwrap();
                let (low, high) = stage.at(x).unwrap().range();
                let cuts: Vec<f64> = [low].into_iter().chain(plane.seams()).chain([high]).collect();
                for (bar, pair) in [3, 2, 1, 0].into_iter().zip(cuts.windows(2)) {
                    let column = ((sign * x - picture.left) * 5.0) as usize;
                    let row = ((picture.top - 0.5 * (pair[0] + pair[1])) * 5.0) as usize;
                    let at = 3 * (row * picture.width + column);
                    assert_eq!(picture.rgb[at..at + 3], bar_colour(bar).srgb, "{view:?} {x} bar {bar}");
                }
            }
            let corner = picture.rgb[..3].to_vec();
            assert_eq!(corner, [255, 255, 255]);
        }
    }

    /// Root mean square of the difference in linear light between two pictures: 1 is from the dark steel to the bright one.
    fn apart(a: &Picture, b: &Picture) -> f64 {
        let off = |k: usize| {
            let (column, row) = (k % a.width, k / a.width);
            0.5 * (light(a, column, row) - light(b, column, row))
        };
        let steel = |p: &Picture, k: usize| p.rgb[3 * k..3 * k + 3] != [255; 3];
        let inside = (0..a.width * a.height).filter(|&k| steel(a, k) && steel(b, k));
        let all: Vec<f64> = inside.map(|k| off(k).powi(2)).collect();
        (all.iter().sum::<f64>() / all.len() as f64).sqrt()
    }

    /// Three hundred layers through a bar are finer than a dot. Read at points, four to each, such pictures were off by 0.09 to
    /// 0.3 where layers run along the blade and by 0.15 to 0.2 where they are twisted.
    #[test]
    fn three_hundred_layers_do_not_shimmer() {
        let layers: Vec<_> = (0..300).map(|i| (i % 2, 1.0)).collect();
        let layers = LayerSet::stacked(&layers, 1).unwrap();
        let ground = Sections::of(&Blade::new(&spec()).unwrap().loft(Stage::Ground));
        for (name, program) in [("straight", Program::default()), ("twisted", even(Hand::Right, 0.03))] {
            for direction in [Direction::Flat, Direction::Upright] {
                let plain = bar(32.0, program.clone(), Squaring::Forged);
                let made = Bar { layers: layers.clone(), direction, ..plain };
                let lay = MaterialMap::new(billet(vec![made], SIDE, Tip::Forged), forged(&spec())).unwrap();
                for view in [View::Right, View::Back] {
                    let picture = |samples| {
                        let fineness = Fineness { dots: 4.0, samples, bleed: false };
                        Picture::new(&lay, &ground, view, Colouring::Steels, fineness).unwrap()
                    };
                    let truth = picture(32);
                    let limits = if program.is_twisted() { [0.05, 0.01] } else { [0.01, 0.005] };
                    for (lines, limit) in [2, 4].into_iter().zip(limits) {
                        let off = apart(&picture(lines), &truth);
                        assert!(off < limit, "{name} {direction:?} {view:?} {lines}: {off}");
                    }
                }
            }
        }
    }

    #[test]
    fn too_fine_a_picture_is_refused() {
        let lay = MaterialMap::new(four_bars(Tip::Forged), forged(&spec())).unwrap();
        for (dots, samples) in [(f64::NAN, 1), (0.0, 1), (1e4, 1), (f64::INFINITY, 1), (10.0, 0)] {
            let fineness = Fineness { dots, samples, bleed: false };
            assert!(Picture::new(&lay, lay.sections(), View::Right, Colouring::Bars, fineness).is_none());
        }
    }
}
