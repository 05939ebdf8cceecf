//! The section at one station: what a cut through the blade there would show.

use blade::{CrossSection, Sections, Station};
use laminate::{BarsAt, MaterialMap, bar_colour, plug_colour};
use look::Colour;

use crate::model::pieces::Pixels;
use crate::model::shown::Shown;

/// Dots per mm of the layers in the section: the section is drawn about fifteen times its size.
const DOTS: f64 = 12.0;
/// Dots of such a picture at most, so that it is made between two frames.
const MOST_DOTS: f64 = 40_000.0;
/// And while the hand pulls, when every frame has another section.
const MOST_WHILE_PULLED: f64 = 8_000.0;

/// A strip across the section, mm.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(crate) struct Strip {
    /// Over the section's datum.
    pub(crate) height: f64,
    /// Where its left end lies across the blade.
    pub(crate) left: f64,
    /// Where its right end lies across the blade.
    pub(crate) right: f64,
}

/// What one bar, or the whole blade, has of the section.
#[derive(Clone, Debug, PartialEq)]
pub(crate) struct Band {
    /// The bar; `None` without a billet.
    pub(crate) bar: Option<usize>,
    /// Its outline in strips of rising height.
    pub(crate) strips: Vec<Strip>,
}

/// Heights between which a bar lies in the section, mm.
struct BarHeights {
    bar: Option<usize>,
    low: f64,
    high: f64,
}

/// The section at a station.
#[derive(Clone, Debug, PartialEq)]
pub(crate) struct Cut {
    /// The station, mm.
    pub(crate) at: f64,
    /// Least and greatest height, mm.
    pub(crate) range: (f64, f64),
    /// From edge to back.
    pub(crate) bands: Vec<Band>,
    /// The forged section around it, where there is more on it.
    pub(crate) forged: Vec<Strip>,
    /// Sizes; `None` on the tang.
    pub(crate) station: Option<Station>,
    /// Greatest thickness, mm.
    pub(crate) thickness: f64,
    /// Breadth of each bar, from back to edge, mm.
    pub(crate) widths: Vec<f64>,
    /// The layers, where they are shown, or bars that share a place: columns from edge to back, rows from one flank to the other, so that it is as
    /// broad at the edge as at the back.
    pub(crate) layers: Option<Pixels>,
    /// Whether those are as fine as they get.
    pub(crate) is_fine: bool,
}

impl Cut {
    /// At a station (mm), its layers coarser while the hand pulls; `None` where there is no section.
    pub(crate) fn at(shown: &Shown, x: f64, is_pulled: bool) -> Option<Cut> {
        let most = if is_pulled { MOST_WHILE_PULLED } else { MOST_DOTS };
        let section = shown.facts.sections.at(x)?;
        let lay = shown.design.lay();
        let widths = lay.and_then(|lay| BarsAt::new(lay, &shown.facts.sections, x));
        Some(Cut {
            at: x,
            range: section.range(),
            bands: bands(lay, &section, x),
            forged: shown.facts.forged.as_ref().map_or_else(Vec::new, |f| outline(f, x)),
            station: shown.loft.station(x),
            thickness: section.extent().1 - section.extent().0,
            widths: widths.map_or_else(Vec::new, |b| b.widths),
            layers: lay
                .filter(|lay| shown.colour.shows_layers() || (shown.colour == Colour::Bars && is_parted(lay)))
                .and_then(|lay| layers(shown, lay, &section, (x, most))),
            is_fine: !is_pulled,
        })
    }

    /// All its strips, those of the forged section around it last.
    pub(crate) fn all_strips(&self) -> impl Iterator<Item = &Strip> {
        self.bands.iter().flat_map(|b| &b.strips).chain(&self.forged)
    }

    /// Colour of a band, sRGB; `None` for bare steel.
    pub(crate) fn colour(bar: Option<usize>, colour: Colour) -> Option<[u8; 3]> {
        bar.filter(|_| colour == Colour::Bars || colour.shows_layers()).map(|b| bar_colour(b).srgb)
    }
}

/// The section's outline at a station; empty where there is none.
fn outline(sections: &Sections, x: f64) -> Vec<Strip> {
    sections.at(x).map_or_else(Vec::new, |s| strips(&s, s.range().0, s.range().1))
}

/// The section bar by bar, or as a whole without a billet.
fn bands(lay: Option<&MaterialMap>, section: &CrossSection, x: f64) -> Vec<Band> {
    let heights = lay.map_or_else(|| vec![whole(section)], |lay| bars(lay, section, x));
    let band = |h: BarHeights| Band { bar: h.bar, strips: strips(section, h.low, h.high) };
    heights.into_iter().map(band).collect()
}

/// The whole section's heights, of no bar.
fn whole(section: &CrossSection) -> BarHeights {
    let (low, high) = section.range();
    BarHeights { bar: None, low, high }
}

/// Each bar of the section with the heights between which it lies; bars that are ground away have none.
fn bars(lay: &MaterialMap, section: &CrossSection, x: f64) -> Vec<BarHeights> {
    let (low, high) = section.range();
    let Some(plane) = lay.plane(x) else { return vec![whole(section)] };
    let cuts: Vec<f64> =
        [low].into_iter().chain(plane.seams().map(|y| y.clamp(low, high))).chain([high]).collect();
    let stacked = lay.billet().stacked_bars(plane.part()).iter().map(|&bar| Some(bar));
    let between = stacked.zip(cuts.windows(2)).map(|(bar, w)| BarHeights { bar, low: w[0], high: w[1] });
    between.filter(|h| h.high > h.low).collect()
}

/// The section between two heights.
fn strips(section: &CrossSection, low: f64, high: f64) -> Vec<Strip> {
    let inner = section.heights().iter().copied().filter(|y| *y > low && *y < high);
    let heights = [low].into_iter().chain(inner).chain([high]);
    heights
        .map(|height| {
            let (left, right) = section.flanks(height);
            Strip { height, left, right }
        })
        .collect()
}

/// Whether bars share a place of the stack or have plugs, so that heights alone don't part the section.
fn is_parted(lay: &MaterialMap) -> bool {
    lay.billet().places() < lay.billet().bars().len() || lay.billet().is_plugged()
}

/// The layers of the section at a station as a picture of so many dots at most, or its bars; `None` where the billet does not reach.
fn layers(shown: &Shown, lay: &MaterialMap, section: &CrossSection, (x, most): (f64, f64)) -> Option<Pixels> {
    let plane = lay.plane(x)?;
    let ((low, high), (left, right)) = (section.range(), section.extent());
    let dots = DOTS.min((most / ((high - low) * (right - left)).max(f64::MIN_POSITIVE)).sqrt());
    let count = |mm: f64| ((mm * dots).ceil() as usize).max(1);
    let (width, height) = (count(high - low), count(right - left));
    let middle = |i: usize, count: usize| (i as f64 + 0.5) / count as f64;
    let column = |column: usize| {
        let y = low + middle(column, width) * (high - low);
        (y, section.flanks(y))
    };
    let columns: Vec<(f64, (f64, f64))> = (0..width).map(column).collect();
    let steel = |row: usize, (y, (from, to)): (f64, (f64, f64))| {
        let z = to + middle(row, height) * (from - to);
        let found = lay.billet().layer(plane.stack_point(y, z));
        match shown.colour {
            Colour::Bars if found.plug.is_some() => plug_colour().srgb,
            Colour::Bars => bar_colour(found.bar).srgb,
            _ => shown.layer_colour(&found),
        }
    };
    let rgb = (0..height).flat_map(|row| columns.iter().flat_map(move |column| steel(row, *column)));
    Some(Pixels { width, height, rgb: rgb.collect() })
}

#[cfg(test)]
mod tests {
    use std::sync::Arc;

    use super::*;
    use crate::model::legend::Legend;
    use crate::model::settings::Ground;
    use crate::model::shown::Wish;

    fn shown(profile: &str, colour: Colour, share: f64) -> Shown {
        let design = Arc::new(design::read(fixtures::profiles::named(profile).text.as_bytes()).unwrap());
        Shown::new(
            &design,
            None,
            Wish { ground: Ground::Share(share), colour: Some(colour), parted: false, hand: false },
        )
        .unwrap()
    }

    fn area(strips: &[Strip]) -> f64 {
        let between = |w: &[Strip]| {
            0.5 * (w[1].height - w[0].height) * (w[1].right - w[1].left + w[0].right - w[0].left)
        };
        strips.windows(2).map(between).sum()
    }

    #[test]
    fn bands_are_the_whole_section() {
        for share in [0.0, 0.5, 1.0] {
            let shown = shown("landing-seax", Colour::Bars, share);
            for x in [-60.0, 0.0, 40.0, 150.0, 280.0, 305.0] {
                let cut = Cut::at(&shown, x, false).unwrap();
                let all: f64 = cut.bands.iter().map(|b| area(&b.strips)).sum();
                let section = shown.facts.sections.at(x).unwrap();
                assert!((all / section.area() - 1.0).abs() < 1e-9, "{share} {x}: {all} {}", section.area());
                assert!(cut.station.is_some() == (x >= 0.0));
                if share > 0.0 {
                    assert!(area(&cut.forged) > all, "{share} {x}");
                }
                let breadth: f64 = cut.widths.iter().sum();
                assert!((breadth - (cut.range.1 - cut.range.0)).abs() < 1e-6, "{x}");
            }
            assert!(Cut::at(&shown, 1e4, false).is_none());
        }
    }

    #[test]
    fn layers_have_the_colours_of_their_legend() {
        for colour in [Colour::Layers, Colour::Steels] {
            let shown = shown("landing-seax", colour, 1.0);
            let picture = Cut::at(&shown, 120.0, false).unwrap().layers.unwrap();
            let Legend::Colours(keys) = Legend::new(&shown) else { panic!("no colours") };
            // Greys that no eye tells apart stand in the legend once.
            let near = |a: &[u8], b: &[u8]| a.iter().zip(b).all(|(a, b)| a.abs_diff(*b) < 8);
            assert!(picture.rgb.chunks(3).all(|p| keys.iter().any(|key| near(&key.srgb, p))), "{colour:?}");
            assert!(picture.width > 100 && picture.rgb.len() == 3 * picture.width * picture.height);
            let is_grey = |p: &[u8]| p[0] == p[1] && p[1] == p[2];
            assert_eq!(picture.rgb.chunks(3).all(is_grey), colour == Colour::Layers);
        }
    }

    /// A core in its wrap is parted across the section, not by heights: the wrap has the edge in its own colour.
    #[test]
    fn bars_that_share_a_place_have_their_own_colours() {
        let shown = shown("caulkers-knife", Colour::Bars, 1.0);
        let cut = Cut::at(&shown, 40.0, false).unwrap();
        let picture = cut.layers.unwrap();
        let bars = shown.design.billet().unwrap().bars();
        let wrap = bars.iter().position(|bar| bar.name == "Saddle").unwrap();
        assert_eq!(picture.rgb[..3], bar_colour(wrap).srgb);
        let seen: std::collections::BTreeSet<&[u8]> = picture.rgb.chunks(3).collect();
        assert_eq!(seen.len(), bars.len());
        assert!(
            Cut::at(&self::shown("landing-seax", Colour::Bars, 1.0), 40.0, false).unwrap().layers.is_none()
        );
    }
}
