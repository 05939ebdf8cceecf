//! The sheet's pictures: the blade from the side, its layers, its sections.

use blade::{Sections, Stage};
use design::Design;
use drawing::Drawing;
use export::{ExportFault, Raster};
use forge::{ETCHED_GREYS, Etching};
use glam::DVec2;
use laminate::{Colouring, Fineness, MaterialMap, Picture, View};

use crate::fault::SheetFault;
use crate::typesetting::face::Style;
use crate::typesetting::paragraph::{Align, line};
use crate::typesetting::picture::{DOTS, Size, dots, drawn};
use crate::typesetting::shape::MM;
use crate::typesetting::strip::{Strip, aligned, note, paragraph, part, spaced, subheading};
use crate::typesetting::text::{Mark, NOTE, Text, capitals, space, swatch};

/// Lines in every column of dots: layers thinner than a dot come out as their mean.
const SAMPLES: u32 = 2;

/// The finished blade from the right at a reduced scale, with these stations (mm) marked, in a column `width` (points) wide.
///
/// # Errors
/// [`SheetFault::Picture`] when it can't be drawn.
pub(crate) fn side(
    design: &Design,
    seams: bool,
    stations: &[f64],
    width: f64,
) -> Result<Vec<Strip>, SheetFault> {
    let view = tooling::overview(design, Stage::Finished, width / MM, stations);
    let mut strips = subheading("The finished blade from the right", width);
    let picture = Text::mark(drawn(&view.drawing, "side view")?);
    strips.extend(aligned(&picture, width, Align::Centre, 0.0));
    let seams = if seams { " Broken lines: seams between the bars." } else { "" };
    strips.extend(note(
        format!(
            "Scale 1 : {}. For measuring use the full-size template. Numbers: stations from the shoulder.{seams}",
            view.reduction
        ),
        width,
    ));
    Ok(part(true, strips))
}

/// The right side of the finished blade as it etches.
///
/// # Errors
/// [`SheetFault::Picture`] when it can't be drawn.
pub(crate) fn layers(design: &Design, lay: &MaterialMap, width: f64) -> Result<Vec<Strip>, SheetFault> {
    let loft = design.blade().loft(Stage::Finished);
    let (low, high) = loft.bounds();
    let fineness = Fineness { dots: DOTS * width / MM / (high.x - low.x), samples: SAMPLES, bleed: false };
    let etching = Etching::of(design).ok_or(ExportFault::Empty)?;
    let colouring = Colouring::Etched(&etching.brightness);
    let picture = Picture::new(lay, &Sections::of(&loft), View::Right, colouring, fineness);
    let picture = picture.ok_or(ExportFault::Empty)?;
    let raster = Raster::new(picture.width, picture.height, &picture.rgb)?;
    let mut strips = subheading("The layers as they etch on the right side, finished", width);
    strips.extend(paragraph(&Text::mark(dots(&raster, Size::Width(width), None)?), width));
    let legend = etching.legend.iter().map(|steel| {
        let greys = Text::all(steel.greys.iter().map(|grey| swatch(*grey)));
        let named = greys.then(space(2.0 * MM)).then(Text::note(steel.name.as_str()));
        named.then(space(6.0 * MM))
    });
    strips.extend(paragraph(&Text::all(legend), width));
    strips.extend(note(format!("{ETCHED_GREYS}{}", faint(&etching.faint)), width));
    Ok(part(true, strips))
}

/// What to know of bars whose layers will hardly show.
fn faint(bars: &[String]) -> String {
    let told =
        |bar: &String| format!(" {bar}: its steels etch nearly alike, so that its layers will hardly show.");
    bars.iter().map(told).collect()
}

/// The sections at the gauges' stations, finished over forged; none without stations.
///
/// # Errors
/// [`SheetFault::Picture`] when one can't be drawn.
pub(crate) fn sections(design: &Design, width: f64) -> Result<Vec<Strip>, SheetFault> {
    let loft = design.blade().loft(Stage::Finished);
    let figures = design.figures();
    let mut row = Text::default();
    for (at, drawing) in &tooling::overlays(design, &design.gauges().stations) {
        let Some(sizes) = loft.station(*at) else { continue };
        let lines = [
            figures.station(*at),
            format!("b {}", figures.length(sizes.breadth)),
            format!("t {}", figures.thickness(sizes.back)),
        ];
        row = row.then(Text::mark(section(drawing, &lines)?));
    }
    if row.0.is_empty() {
        return Ok(Vec::new());
    }
    let mut strips = subheading("Sections at full size, seen from the hilt", width);
    // Any line of them may end a page.
    let mut lines = aligned(&row, width, Align::Left, 4.0 * MM);
    lines.iter_mut().for_each(|strip| strip.keep = false);
    strips.extend(lines);
    let words = "Black: finished. Grey: forged. Station, b breadth, t thickness at the back, finished.";
    strips.extend(spaced(note(words, width), 3.0 * MM, 0.0));
    Ok(part(false, strips))
}

/// A section with its figures beside its foot, the station's bold.
fn section(drawing: &Drawing, lines: &[String; 3]) -> Result<Mark, ExportFault> {
    let mut mark = drawn(drawing, "section")?;
    let left = mark.width + 1.5 * MM;
    let (mut widest, pitch) = (0.0_f64, 1.15 * NOTE.size);
    for (i, words) in lines.iter().enumerate() {
        let style = Style { bold: i == 0, ..NOTE };
        let line = line(&Text::styled(words.as_str(), style));
        widest = widest.max(line.width);
        let base = -pitch * (lines.len() - 1 - i) as f64;
        mark.shapes.extend(line.shapes.into_iter().map(|shape| shape.moved(DVec2::new(left, base))));
    }
    mark.width = left + widest + 4.5 * MM;
    mark.rise = mark.rise.max(pitch * 2.0 + capitals(NOTE));
    Ok(mark)
}
