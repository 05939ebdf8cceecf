//! The sheet's pictures: the blade from the side, its layers, its sections.

use blade::{Sections, Stage};
use design::{Design, Figures};
use export::{ExportFault, Raster};
use laminate::{Colouring, Fineness, MaterialMap, Picture, View, steel_colour};
use serde::Serialize;

use crate::fault::SheetFault;
use crate::typesetting::files::{DOTS, Files, add_drawing, add_picture};
use crate::typesetting::words::breakable;

/// Samples per dot along each side: layers thinner than a dot come out as their mean.
const SAMPLES: u32 = 2;

/// What the pictures are, beside their files.
#[derive(Serialize)]
pub(crate) struct Pictures {
    /// How many times smaller than the steel the side view is.
    reduction: String,
    /// The steels' colours in the picture of the layers; none without a billet.
    layers: Option<Vec<Shade>>,
    sections: Vec<Section>,
}

/// A steel and its colour, sRGB.
#[derive(Serialize)]
struct Shade {
    steel: String,
    srgb: [u8; 3],
}

#[derive(Serialize)]
struct Section {
    file: String,
    at: String,
    breadth: String,
    back: String,
}

/// Draws all pictures into `files`, for a column `width` (mm) wide, with these stations (mm) marked.
///
/// # Errors
/// [`SheetFault::Picture`] when one can't be drawn.
pub(crate) fn pictures(
    design: &Design,
    width: f64,
    stations: &[f64],
    files: &mut Files,
) -> Result<Pictures, SheetFault> {
    let view = tooling::overview(design, Stage::Finished, width, stations);
    add_drawing(files, "side.svg", &view.drawing)?;
    let layers = design.lay().map(|lay| layers(design, lay, width, files)).transpose()?;
    Ok(Pictures { reduction: view.reduction.to_string(), layers, sections: sections(design, files)? })
}

/// The right side of the finished blade.
fn layers(
    design: &Design,
    lay: &MaterialMap,
    width: f64,
    files: &mut Files,
) -> Result<Vec<Shade>, SheetFault> {
    let loft = design.blade().loft(Stage::Finished);
    let (low, high) = loft.bounds();
    let fineness = Fineness { dots: DOTS * width / (high.x - low.x), samples: SAMPLES, bleed: false };
    let picture = Picture::new(lay, &Sections::of(&loft), View::Right, Colouring::Steels, fineness);
    let picture = picture.ok_or(ExportFault::Empty)?;
    add_picture(files, "layers.png", &Raster::new(picture.width, picture.height, &picture.rgb)?)?;
    let steels = lay.billet().steels().iter().enumerate();
    Ok(steels.map(|(i, s)| Shade { steel: breakable(&s.name), srgb: steel_colour(i).srgb }).collect())
}

/// The sections at the gauges' stations.
fn sections(design: &Design, files: &mut Files) -> Result<Vec<Section>, SheetFault> {
    let (loft, figures) = (design.blade().loft(Stage::Finished), Figures { unit: design.unit() });
    let mut sections = Vec::new();
    for (i, (at, drawing)) in tooling::overlays(design, &design.gauges().stations).iter().enumerate() {
        let Some(sizes) = loft.station(*at) else { continue };
        let file = format!("section-{i}.svg");
        add_drawing(files, &file, drawing)?;
        sections.push(Section {
            file,
            at: figures.station(*at),
            breadth: figures.length(sizes.breadth),
            back: figures.thickness(sizes.back),
        });
    }
    Ok(sections)
}
