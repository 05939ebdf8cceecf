//! The fit coupon: sockets with each of the shop's gaps and the peg to try them with.

use design::{Design, Problem, Unit};
use glam::DVec2;

use crate::jig::insert::{notch, socket};
use crate::part::{Part, Stuff};
use crate::plate::bed::too_small;
use crate::slab::contour::{Contour, Motion, Region};
use crate::slab::extrusion::Slab;
use crate::slab::label::{CLEAR, depth, label};
use crate::slab::lettering::Lettering;

/// Side of the peg, mm: a joint of the size most printed parts have (common practice, no source).
const SIDE: f64 = 10.0;
/// Height of the peg, mm: enough to hold it by while it is in the plate.
const HEIGHT: f64 = 20.0;
/// Thickness of the plate, mm: as deep as printed joints bear (common practice, no source).
const THICKNESS: f64 = 6.0;
/// Material around sockets and to the plate's border, mm: five double lines of a common nozzle, so that the plate does
/// not give.
const AROUND: f64 = 4.0;

/// The plate with a socket for each gap.
///
/// # Errors
/// That it does not fit the bed.
pub(crate) fn coupon(design: &Design) -> Result<Part, Problem> {
    let plate = plate(design);
    let [_, size] = plate.outline.bounds();
    // A step that a printer of plastic still makes (common practice, no source).
    let step = match design.unit() {
        Unit::Millimetre => "0.05 mm",
        Unit::Inch => "0.002 in",
    };
    let laid = plate.laid(design.shop());
    let laid = laid.ok_or_else(|| too_small(design, "the fit coupon", size.extend(THICKNESS).to_array()))?;
    Ok(Part {
        name: "fit-coupon".into(),
        title: "Fit coupon: a socket for each gap".into(),
        note: format!(
            "Print it and its peg as all other parts will be printed, and try the peg in each socket: it should need a \
             mallet in PRESS, slide without play in SLIDING and drop into LOOSE. Too tight: add {step} to that gap \
             (`clearance` under [shop] in the design file) and print it again. Too loose: take {step} off."
        ),
        stage: None,
        stuff: Stuff::Plastic,
        shell: laid.shell(),
    })
}

/// The gaps by name, mm.
fn gaps(design: &Design) -> [(&'static str, f64); 3] {
    let shop = design.shop();
    [("PRESS", shop.press), ("SLIDING", shop.sliding), ("LOOSE", shop.loose)]
}

/// Sockets in a column, the widest on top of it all; the words and the gaps in two lines beside them.
fn plate(design: &Design) -> Slab {
    let lettering = Lettering::least(design.shop().nozzle);
    let relief = notch(design.shop().nozzle);
    let widest = gaps(design).iter().fold(SIDE, |most, (_, gap)| most.max(SIDE + 2.0 * gap)) + relief;
    let row = widest.max(2.0 * lettering.height() + 2.0 * CLEAR) + AROUND;
    let place = |k: usize| DVec2::new(AROUND + 0.5 * widest, 0.5 * AROUND + row * (k as f64 + 0.5));
    let text = lettering.width("SLIDING");
    let outline = Contour::rectangle(
        DVec2::ZERO,
        DVec2::new(2.0 * AROUND + widest + CLEAR + text + CLEAR, 3.0 * row + AROUND),
    );
    let hole = |(k, (_, gap)): (usize, &(&str, f64))| {
        socket(0.5 * SIDE + gap, relief).moved(&Motion::shift(place(k)))
    };
    let words = |(k, (word, gap)): (usize, &(&str, f64))| {
        let at = place(k) + DVec2::new(0.5 * widest + AROUND, 0.0);
        lines(&lettering, word, &design.figures().thickness(*gap), at)
    };
    let gaps = gaps(design);
    Slab {
        outline,
        holes: gaps.iter().enumerate().map(hole).collect(),
        engraving: gaps.iter().enumerate().flat_map(words).collect(),
        thickness: THICKNESS,
        depth: depth(THICKNESS),
    }
}

/// Two lines of text above and below a place at their left.
fn lines(lettering: &Lettering, upper: &str, lower: &str, at: DVec2) -> Vec<Region> {
    let up = DVec2::new(0.0, CLEAR);
    let (mut all, _) = label(lettering, upper, at + up);
    all.extend(label(lettering, lower, at - up - DVec2::new(0.0, lettering.height())).0);
    all
}

/// The peg, its side engraved in its upper end where there is room.
///
/// # Errors
/// That it does not fit the bed.
pub(crate) fn peg(design: &Design) -> Result<Part, Problem> {
    let figures = design.figures();
    let lettering = Lettering::least(design.shop().nozzle);
    let text = figures.station(SIDE);
    let size = DVec2::new(lettering.width(&text), lettering.height());
    let (engraving, _) = label(&lettering, &text, 0.5 * (DVec2::splat(SIDE) - size));
    let slab = Slab {
        outline: Contour::rectangle(DVec2::ZERO, DVec2::splat(SIDE)),
        holes: Vec::new(),
        engraving: if size.max_element() + 2.0 * CLEAR <= SIDE { engraving } else { Vec::new() },
        thickness: HEIGHT,
        depth: depth(HEIGHT),
    };
    let laid = slab.laid(design.shop());
    let laid = laid.ok_or_else(|| too_small(design, "the coupon's peg", [SIDE, SIDE, HEIGHT]))?;
    Ok(Part {
        name: "fit-peg".into(),
        title: format!("Peg of {} for the fit coupon", figures.metric_size(SIDE)),
        note: "Trim the flared first layer (elephant's foot), and test with the other end of the peg.".into(),
        stage: None,
        stuff: Stuff::Plastic,
        shell: laid.shell(),
    })
}

#[cfg(test)]
mod tests {
    use super::*;
    use brep::{Mesh, Moments, Shell};

    fn design(shop: &str) -> Design {
        let text = format!(
            "name = \"Ferry-house fits\"\n[[taper]]\nat = 0\nback = 6\n[outline]\nlength = 300\nbreadth = 30\n\
             [shop]\n{shop}\n"
        );
        design::read(text.as_bytes()).unwrap_or_else(|problems| panic!("{text}\n{problems:#?}"))
    }

    fn sound(shell: &Shell, wanted: f64) {
        let volume = Moments::of(shell).volume;
        assert!((volume / wanted - 1.0).abs() < 1e-6, "{volume} {wanted}");
        let mesh = Mesh::of(shell, 0.02).unwrap();
        assert!((mesh.volume() - wanted).abs() < 0.02 * mesh.surface());
        assert!(shell.bounds().0.abs().max_element() < 1e-9);
        solid::solid(shell).unwrap();
    }

    #[test]
    fn coupons_have_a_relieved_socket_for_each_gap() {
        for shop in ["", "nozzle = 0.8\nclearance.press = 0", "nozzle = 1.5\nclearance.loose = 1.9"] {
            let design = design(shop);
            let slab = plate(&design);
            let sockets: f64 = gaps(&design)
                .iter()
                .map(|(_, gap)| (SIDE + 2.0 * gap).powi(2) + 3.0 * notch(design.shop().nozzle).powi(2))
                .sum();
            let words: f64 = slab
                .engraving
                .iter()
                .map(|r| r.outer.area() - r.islands.iter().map(Contour::area).sum::<f64>())
                .sum();
            let wanted = slab.outline.area() * 6.0 - sockets * 6.0 - words * 0.6;
            sound(&coupon(&design).unwrap().shell, wanted);
            let [low, high] = slab.outline.bounds();
            for [a, b] in
                slab.engraving.iter().map(|r| r.outer.bounds()).chain(slab.holes.iter().map(Contour::bounds))
            {
                assert!((a - low).min_element() > 0.5 && (high - b).min_element() > 0.5, "{shop}");
            }
        }
    }

    #[test]
    fn the_peg_bears_its_size_where_the_nozzle_is_fine() {
        let part = peg(&design("")).unwrap();
        sound(&part.shell, 2000.0);
        assert_eq!(part.shell.faces.len(), 6);
        let part = peg(&design("nozzle = 0.2")).unwrap();
        assert!(part.shell.faces.len() > 6);
        assert_eq!(part.stuff, Stuff::Plastic);
    }

    #[test]
    fn a_bed_too_small_is_named() {
        let design = design("bed = [30, 30, 20]");
        let problem = coupon(&design).err().unwrap();
        assert_eq!((problem.field.as_str(), problem.code), ("shop.bed", "bed"));
        assert!(peg(&design).is_ok());
    }
}
