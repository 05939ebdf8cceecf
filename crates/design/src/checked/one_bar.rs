//! The bar that a blade of one steel is forged from.

use blade::{Blade, Part};
use laminate::{Bar, Billet, Direction, Height, LayerSet, Program, Recipe, Share, Squaring, Tip};
use steel::Steel;

use crate::checked::billet_warnings::{ForgedSections, thickest};
use crate::tables::bench::shop::Shop;
use crate::tables::billet::forging::Forging;
use crate::unit::quantity::Unit;

/// Sizes of bars are told to a whole millimetre, or a sixteenth of an inch: so they are sold (common practice, no
/// source).
const SIXTEENTHS: f64 = 16.0;
/// Sizes this little over a whole one are rounding, mm.
const ROUNDING: f64 = 1e-6;

/// The smallest bar of this steel from which the forged blade and its tang can be drawn out, as a billet of one bar: as
/// thick as the blade is at its thickest, or as `[shop] bar` says, and so high that its section is nowhere smaller than
/// the blade's or the tang's, with the scale of all heats on it. `None` where a size is not finite.
pub(crate) fn bar(
    steel: &Steel,
    blade: &Blade,
    forging: &Forging,
    shop: &Shop,
    unit: Unit,
) -> Option<Billet> {
    let forged = ForgedSections::from_blade(blade);
    let area = Part::ALL.into_iter().map(|part| forged.largest(part).1).fold(0.0, f64::max);
    let (thick, burnt) = (thickest(blade), 2.0 * forging.scale * forging.stack_heats as f64);
    let width = shop.bar.unwrap_or_else(|| sold(thick + burnt, unit));
    // A bar of the shop that is hardly thicker than the blade keeps the blade's thickness.
    let height = sold(area / (width - burnt).max(thick) + burnt, unit);
    let bar = Bar {
        name: "Bar".to_owned(),
        height: Height::even(height),
        layers: LayerSet::plain(0),
        direction: Direction::Flat,
        slope: None,
        twist: Program::default(),
        squaring: Squaring::Forged,
        tang: true,
        teeth: None,
        share: Share::default(),
        plugs: Vec::new(),
    };
    Billet::new(Recipe { width, bars: vec![bar], steels: vec![steel.clone()], tip: Tip::Forged }).ok()
}

/// The next size (mm) that is sold.
fn sold(size: f64, unit: Unit) -> f64 {
    let step = match unit {
        Unit::Millimetre => 1.0,
        Unit::Inch => Unit::Inch.millimetres() / SIXTEENTHS,
    };
    ((size - ROUNDING) / step).ceil() * step
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::read;

    const BLADE: &str =
        "[outline]\nlength = 250\nbreadth = 30\n[[taper]]\nat = 0\nback = 5\n[[taper]]\nat = 250\nback = 3\n";

    fn of(head: &str, tail: &str) -> Billet {
        let text = format!("name = 'Oar'\n{head}\n{BLADE}{tail}");
        read(text.as_bytes()).unwrap_or_else(|p| panic!("{p:#?}")).forged_from().unwrap().clone()
    }

    /// 5 mm and 0.95 mm a side are 6.9 mm; eight heats of 0.05 mm a face take 0.8 mm: 7.7, sold as 8.
    #[test]
    fn the_bar_holds_the_blade_with_its_scale() {
        let bar = of("steel = '1084'", "");
        assert!((bar.width() - 8.0).abs() < 1e-12, "{}", bar.width());
        let design = read(format!("name = 'Oar'\nsteel = '1084'\n{BLADE}").as_bytes()).unwrap();
        let area = ForgedSections::from_blade(design.blade()).largest(Part::Blade).1;
        let high = bar.bars()[0].height.at(0.0);
        let left = |burnt: f64| (high - burnt) * (8.0 - burnt);
        assert!(left(0.8) >= area && left(0.8) - 2.0 * 8.0 < area, "{high} {area}");
        assert!((high - high.round()).abs() < 1e-12);
    }

    /// 0.2 in and 0.0374 in a side are 0.2748 in, 0.3063 with the scale: sold as 5/16.
    #[test]
    fn an_inch_shop_buys_sixteenths() {
        let text = "name = 'Oar'\nunit = 'in'\nsteel = '1084'\n[outline]\nlength = 10\nbreadth = 1.2\n\
                    [[taper]]\nat = 0\nback = 0.2\n";
        let bar = read(text.as_bytes()).unwrap_or_else(|p| panic!("{p:#?}")).forged_from().unwrap().clone();
        assert!((bar.width() - 25.4 * 5.0 / 16.0).abs() < 1e-9, "{}", bar.width());
        let sixteenths = bar.bars()[0].height.at(0.0) / 25.4 * 16.0;
        assert!((sixteenths - sixteenths.round()).abs() < 1e-9, "{sixteenths}");
    }

    #[test]
    fn the_shops_bar_comes_first() {
        let bar = of("steel = '1084'", "[shop]\nbar = 10\n");
        assert!(
            (bar.width() - 10.0).abs() < 1e-12
                && bar.bars()[0].height.at(0.0) < of("steel = '1084'", "").bars()[0].height.at(0.0)
        );
    }
}
