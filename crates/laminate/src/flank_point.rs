//! From a point seen on a flank back to the bar, the layer and the place in the bar that show there.

use blade::{Part, Sections};
use thiserror::Error;

use crate::billet::recipe::LayerPlace;
use crate::map::material::MaterialMap;

/// How far outside (mm) a point may lie by rounding and still count as on the blade.
const ON: f64 = 1e-6;

/// What shows at a point of a flank, and where it lay in its bar.
#[derive(Clone, Debug, PartialEq)]
pub struct FlankPoint {
    /// Of blade or tang.
    pub part: Part,
    /// The bar, its layer and the steel.
    pub place: LayerPlace,
    /// How far into the layer it lies, a share of its thickness from where the counting of layers begins; in a plug a share of
    /// its length from its left end.
    pub into_layer: f64,
    /// Along the bar from the shoulder, mm of the stack; below 0 in the tang.
    pub along: f64,
    /// Under the bar's face on this side of the blade, mm of the stack.
    pub depth: f64,
    /// Over the bar's face towards the edge, mm of the stack.
    pub up: f64,
    /// How far the bar is turned there, with how it was laid, rad, right-hand positive.
    pub turn: f64,
    /// How far the forged skin stood over the point, through the thickness, mm.
    pub ground: f64,
}

/// Why there is nothing at a point. Lengths in mm.
#[derive(Clone, Debug, Error, PartialEq)]
pub enum OffBlade {
    /// Behind the tang's end or beyond the point.
    #[error("no blade or tang at station {at} mm: they reach from {from} to {to} mm")]
    Station {
        /// The station.
        at: f64,
        /// The tang's end.
        from: f64,
        /// The point.
        to: f64,
    },
    /// Under the edge or over the back.
    #[error("no steel {height} mm up at station {at} mm: it is {breadth} mm broad there")]
    Height {
        /// The station.
        at: f64,
        /// The height asked for.
        height: f64,
        /// The breadth at this stage.
        breadth: f64,
    },
}

impl FlankPoint {
    /// At station `at` of the stage with the sections given, `height` up from its edge there (on the tang from its lower
    /// border), on the right or left flank; mm.
    ///
    /// # Errors
    /// [`OffBlade`] where there is no steel.
    pub fn new(
        lay: &MaterialMap,
        stage: &Sections,
        at: f64,
        height: f64,
        right: bool,
    ) -> Result<FlankPoint, OffBlade> {
        let (from, to) = stage.range();
        let off = OffBlade::Station { at, from, to };
        let (plane, section) = lay.plane(at).zip(stage.at(at)).ok_or(off)?;
        let (low, high) = section.range();
        if !(height >= -ON && height <= high - low + ON) {
            return Err(OffBlade::Height { at, height, breadth: high - low });
        }
        let y = (low + height).clamp(low, high);
        let side = |(l, r): (f64, f64)| if right { r } else { l };
        let z = side(section.flanks(y));
        let ground = (side(plane.flanks(y)) - z).abs();
        let p = plane.stack_point(y, z);
        let billet = lay.billet();
        let ((bar, welded), place) = (billet.bar_point(p), billet.layer(p));
        let made = &billet.bars()[bar];
        let [high, wide] = made.share.cell().size();
        // In the tang there are no teeth. A skin on several faces counts in all of the bar that it wraps.
        let height = match p.part {
            Part::Blade if made.share.cells.len() == 1 => billet.made_height(bar).at(p.along),
            Part::Blade | Part::Tang => high * made.height.at(p.along),
        };
        let turn = made.twist.angle(p.along);
        let before = made.before_twist(welded, turn);
        let width = wide * billet.width();
        let through = if billet.is_parted(bar) { welded.through * width } else { p.through };
        let through = if right { through } else { -through };
        Ok(FlankPoint {
            part: p.part,
            place,
            into_layer: match place.plug {
                None => into(&made.layers, place.layer, billet.across(bar, before, p.along)),
                Some(_) => 0.5 + welded.through,
            },
            along: p.along,
            depth: 0.5 * width - through,
            up: (welded.up + 0.5) * height,
            turn,
            ground,
        })
    }
}

/// How far into a layer a share of all their thickness lies, 0 to 1.
fn into(layers: &crate::billet::layers::LayerSet, layer: usize, across: f64) -> f64 {
    let (start, end) = (layers.start(layer), layers.layers()[layer].end);
    ((across - start) / (end - start)).clamp(0.0, 1.0)
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::billet::recipe::Billet;
    use crate::billet::recipe::Tip;
    use crate::fixtures::{forged, four_bars, slanted_bars, spec, specs};
    use crate::picture::frame::{Colouring, Fineness, View};
    use crate::picture::palette::steel_colour;
    use crate::picture::raster::Picture;
    use blade::{Blade, Stage};

    /// At every dot that is of one steel all over, the picture shows the steel that is told for its middle.
    #[test]
    fn the_picture_shows_what_is_told() {
        let billets = [four_bars(Tip::Forged), slanted_bars(Tip::Forged)];
        let each =
            |billet: &Billet| specs().into_iter().map(|(name, spec)| (name, spec, billet.clone())).collect();
        for (name, spec, billet) in billets.iter().flat_map(|billet| -> Vec<_> { each(billet) }) {
            let lay = MaterialMap::new(billet, forged(&spec)).unwrap();
            let stage = Sections::of(&Blade::new(&spec).unwrap().loft(Stage::Ground));
            for (view, sign) in [(View::Right, 1.0), (View::Left, -1.0)] {
                let fineness = Fineness { dots: 20.0, samples: 1, bleed: false };
                let picture = Picture::new(&lay, &stage, view, Colouring::Steels, fineness).unwrap();
                let (mut seen, mut told) = (0, 0);
                for k in 0..4000 {
                    let (column, row) = ((k * 37) % picture.width, (k * 101) % picture.height);
                    let x = sign * (picture.left + (column as f64 + 0.5) / 20.0);
                    let Some(section) = stage.at(x) else { continue };
                    let height = picture.top - (row as f64 + 0.5) / 20.0 - section.range().0;
                    let Ok(point) = FlankPoint::new(&lay, &stage, x, height, view == View::Right) else {
                        continue;
                    };
                    let at = 3 * (row * picture.width + column);
                    let steel = (0..3).find(|&s| steel_colour(s).srgb == picture.rgb[at..at + 3]);
                    told += 1;
                    seen += i32::from(steel == Some(point.place.steel));
                    assert!(steel.is_none_or(|s| s == point.place.steel), "{name} {view:?} {x} {height}");
                }
                assert!(
                    told > 1000 && f64::from(seen) > 0.9 * f64::from(told),
                    "{name} {view:?}: {seen} of {told}"
                );
            }
        }
    }

    #[test]
    fn off_the_blade_there_is_an_error() {
        let lay = MaterialMap::new(four_bars(Tip::Forged), forged(&spec())).unwrap();
        let at = |x: f64, height: f64| FlankPoint::new(&lay, lay.sections(), x, height, true);
        assert!(matches!(at(500.0, 1.0), Err(OffBlade::Station { .. })));
        assert!(matches!(at(f64::NAN, 1.0), Err(OffBlade::Station { .. })));
        for height in [-1.0, 60.0, f64::NAN] {
            assert!(matches!(at(100.0, height), Err(OffBlade::Height { .. })), "{height}");
        }
        let (edge, skin) = (at(100.0, 0.0).unwrap(), at(100.0, 20.0).unwrap());
        assert_eq!((edge.place.bar, edge.part), (3, Part::Blade));
        assert!(edge.up.abs() < 1e-9 && skin.depth.abs() < 1e-9 && skin.ground.abs() < 1e-9);
        assert_eq!(at(-50.0, 3.0).unwrap().part, Part::Tang);
    }

    /// Ground to a share of the forged thickness, a point lies as deep in the bar as its share tells.
    #[test]
    fn depth_is_told_in_the_bar() {
        let lay = MaterialMap::new(four_bars(Tip::Forged), forged(&spec())).unwrap();
        let stage = Sections::of(&Blade::new(&spec()).unwrap().loft(Stage::Finished));
        let point = FlankPoint::new(&lay, &stage, 150.0, 20.0, true).unwrap();
        let y = stage.at(150.0).unwrap().range().0 + 20.0;
        let (skin, flank) = (lay.plane(150.0).unwrap().flanks(y).1, stage.at(150.0).unwrap().flanks(y).1);
        assert!((point.ground - (skin - flank)).abs() < 1e-9 && point.ground > 0.1);
        assert!((point.depth - 5.5 * (1.0 - flank / skin)).abs() < 1e-9, "{point:?}");
        let left = FlankPoint::new(&lay, &stage, 150.0, 20.0, false).unwrap();
        assert!((left.depth - point.depth).abs() < 1e-9);
    }
}
