//! The section at one station: what a cut through the blade there would show.

use blade::{CrossSection, Sections, Station};
use laminate::{BarsAt, Lay, bar_colour, steel_colour};
use look::Colour;

use crate::model::pieces::Pixels;
use crate::model::shown::Shown;

/// Dots per mm of the layers in the section: the section is drawn about fifteen times its size.
const DOTS: f64 = 12.0;
/// Dots of such a picture at most, so that it is made between two frames.
const MOST_DOTS: f64 = 40_000.0;

/// A strip across the section: its height over the section's datum and where its left and right ends lie, mm.
pub(crate) type Slice = [f64; 3];

/// The section at a station.
#[derive(Clone, Debug, PartialEq)]
pub(crate) struct Cut {
    /// The station, mm.
    pub(crate) at: f64,
    /// Least and greatest height, mm.
    pub(crate) range: (f64, f64),
    /// From edge to back: the bar (`None` without a billet), and its outline in slices of rising height.
    pub(crate) bands: Vec<(Option<usize>, Vec<Slice>)>,
    /// The forged section around it, where there is more on it.
    pub(crate) forged: Vec<Slice>,
    /// Sizes; `None` on the tang.
    pub(crate) station: Option<Station>,
    /// Greatest thickness, mm.
    pub(crate) thickness: f64,
    /// Breadth of each bar, from back to edge, mm.
    pub(crate) widths: Vec<f64>,
    /// The layers, where they are shown: columns from edge to back, rows from one flank to the other, so that it is as
    /// broad at the edge as at the back.
    pub(crate) layers: Option<Pixels>,
}

impl Cut {
    /// At a station (mm); `None` where there is no section.
    pub(crate) fn of(shown: &Shown, x: f64) -> Option<Cut> {
        let section = shown.facts.sections.at(x)?;
        let lay = shown.design.lay();
        let seams: Vec<(Option<usize>, [f64; 2])> = match lay {
            Some(lay) => bars(lay, &section, x),
            None => vec![(None, section.range().into())],
        };
        let bands = seams.into_iter().map(|(bar, [low, high])| (bar, slices(&section, low, high))).collect();
        Some(Cut {
            at: x,
            range: section.range(),
            bands,
            forged: shown.facts.forged.as_ref().map_or_else(Vec::new, |f| whole(f, x)),
            station: shown.loft.station(x),
            thickness: section.extent().1 - section.extent().0,
            widths: lay
                .and_then(|lay| BarsAt::new(lay, &shown.facts.sections, x))
                .map_or_else(Vec::new, |b| b.widths),
            layers: lay.filter(|_| shown.colour == Colour::Layers).and_then(|lay| layers(lay, &section, x)),
        })
    }

    /// Colour of a band, sRGB; `None` for bare steel.
    pub(crate) fn colour(bar: Option<usize>, colour: Colour) -> Option<[u8; 3]> {
        bar.filter(|_| matches!(colour, Colour::Bars | Colour::Layers)).map(|b| bar_colour(b).srgb)
    }
}

fn whole(sections: &Sections, x: f64) -> Vec<Slice> {
    sections.at(x).map_or_else(Vec::new, |s| slices(&s, s.range().0, s.range().1))
}

/// Each bar of the section with the heights between which it lies; bars that are ground away have none.
fn bars(lay: &Lay, section: &CrossSection, x: f64) -> Vec<(Option<usize>, [f64; 2])> {
    let (low, high) = section.range();
    let Some(plane) = lay.plane(x) else { return vec![(None, [low, high])] };
    let cuts: Vec<f64> =
        [low].into_iter().chain(plane.seams().map(|y| y.clamp(low, high))).chain([high]).collect();
    let stacked = lay.billet().stacked(plane.is_tang()).map(|(bar, _)| Some(bar));
    stacked.zip(cuts.windows(2).map(|w| [w[0], w[1]])).filter(|(_, [a, b])| b > a).collect()
}

/// The section between two heights.
fn slices(section: &CrossSection, low: f64, high: f64) -> Vec<Slice> {
    let inner = section.heights().iter().copied().filter(|y| *y > low && *y < high);
    let heights = [low].into_iter().chain(inner).chain([high]);
    heights
        .map(|y| {
            let (left, right) = section.flanks(y);
            [y, left, right]
        })
        .collect()
}

fn layers(lay: &Lay, section: &CrossSection, x: f64) -> Option<Pixels> {
    let plane = lay.plane(x)?;
    let ((low, high), (left, right)) = (section.range(), section.extent());
    let dots = DOTS.min((MOST_DOTS / ((high - low) * (right - left)).max(f64::MIN_POSITIVE)).sqrt());
    let count = |mm: f64| ((mm * dots).ceil() as usize).max(1);
    let (width, height) = (count(high - low), count(right - left));
    let middle = |i: usize, count: usize| (i as f64 + 0.5) / count as f64;
    let steel = |row: usize, column: usize| {
        let y = low + middle(column, width) * (high - low);
        let (from, to) = section.flanks(y);
        let z = to + middle(row, height) * (from - to);
        steel_colour(lay.billet().layer(plane.stack_point(y, z)).2).srgb
    };
    let rgb = (0..height).flat_map(|row| (0..width).flat_map(move |column| steel(row, column)));
    Some(Pixels { width, height, rgb: rgb.collect() })
}

#[cfg(test)]
mod tests {
    use std::path::Path;
    use std::sync::Arc;

    use super::*;
    use crate::model::settings::Ground;
    use crate::model::shown::Wish;

    fn shown(profile: &str, colour: Colour, share: f64) -> Shown {
        let path = Path::new(env!("CARGO_MANIFEST_DIR")).join("../profiles").join(profile);
        let design = Arc::new(design::read(&std::fs::read(path).unwrap()).unwrap());
        Shown::new(&design, None, Wish { ground: Ground::Share(share), colour: Some(colour), parted: false })
            .unwrap()
    }

    fn area(slices: &[Slice]) -> f64 {
        let strip = |w: &[Slice]| 0.5 * (w[1][0] - w[0][0]) * (w[1][2] - w[1][1] + w[0][2] - w[0][1]);
        slices.windows(2).map(strip).sum()
    }

    #[test]
    fn bands_are_the_whole_section() {
        for share in [0.0, 0.5, 1.0] {
            let shown = shown("landing-seax.toml", Colour::Bars, share);
            for x in [-60.0, 0.0, 40.0, 150.0, 280.0, 305.0] {
                let cut = Cut::of(&shown, x).unwrap();
                let all: f64 = cut.bands.iter().map(|b| area(&b.1)).sum();
                let section = shown.facts.sections.at(x).unwrap();
                assert!((all / section.area() - 1.0).abs() < 1e-9, "{share} {x}: {all} {}", section.area());
                assert!(cut.station.is_some() == (x >= 0.0));
                if share > 0.0 {
                    assert!(area(&cut.forged) > all, "{share} {x}");
                }
                let breadth: f64 = cut.widths.iter().sum();
                assert!((breadth - (cut.range.1 - cut.range.0)).abs() < 1e-6, "{x}");
            }
            assert!(Cut::of(&shown, 1e4).is_none());
        }
    }

    #[test]
    fn layers_are_of_the_palette() {
        let shown = shown("landing-seax.toml", Colour::Layers, 1.0);
        let cut = Cut::of(&shown, 120.0).unwrap();
        let picture = cut.layers.unwrap();
        let steels = shown.design.billet().unwrap().steels().len();
        let known = |p: &[u8]| (0..steels).any(|i| steel_colour(i).srgb == p);
        assert!(picture.rgb.chunks(3).all(known));
        assert!(picture.width > 100 && picture.rgb.len() == 3 * picture.width * picture.height);
    }
}
