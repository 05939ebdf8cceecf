//! The layers on the surface at one stage: pictures from four sides, and the blade with them as its texture.

use blade::{Loft, Sections};
use brep::Mesh;
use design::Design;
use export::{Entry, Facts, Measure, Raster, Textured};
use laminate::{Colouring, Fineness, MOST_PIXELS, MaterialMap, Picture, Texture, View};
use std::sync::Arc;

use crate::ask::kinds::{Kind, Sort, StageName};
use crate::make::made::{Made, plain_facts, unmade};
use crate::terminal::error::CliError;

/// Fineness of pictures unless told otherwise, dots a mm and lines in every column of dots: a build's twelve pictures
/// shall not take longer than all the rest.
const USUAL: (f64, u32) = (4.0, 2);
/// Lines in every column of dots where the fineness is asked for.
const LINES: u32 = 4;

/// One stage's layers about to become files.
pub(crate) struct Layers<'a> {
    design: &'a Design,
    lay: &'a MaterialMap,
    stage: StageName,
    loft: Arc<Loft>,
    sections: Sections,
    stem: String,
    colouring: Colouring<'a>,
}

impl Layers<'_> {
    pub(crate) fn new<'a>(
        design: &'a Design,
        lay: &'a MaterialMap,
        stage: StageName,
        colouring: Colouring<'a>,
    ) -> Layers<'a> {
        let loft = design.blade().loft(stage.stage());
        let stem = format!("{}/{}-{}", Sort::Layers.folder(), design.slug(), stage.text());
        Layers { sections: Sections::of(&loft), design, lay, stage, loft, stem, colouring }
    }

    /// All four sides as pictures with so many dots a mm, if that is asked for, and their entries in the manifest.
    ///
    /// # Errors
    /// [`CliError::TooManyDots`] when a picture would be too large.
    pub(crate) fn sides(&self, dots: Option<f64>) -> Result<Vec<(Made, Entry)>, CliError> {
        let (dots, samples) = dots.map_or(USUAL, |dots| (dots, LINES));
        let fineness = Fineness { dots, samples, bleed: false };
        let pictures = Picture::several(self.lay, &self.sections, &View::ALL, self.colouring, fineness);
        let Some(pictures) = pictures else {
            return Err(CliError::TooManyDots { dots, most: MOST_PIXELS });
        };
        View::ALL.into_iter().zip(&pictures).map(|(view, picture)| self.side(view, picture, dots)).collect()
    }

    fn side(&self, view: View, picture: &Picture, dots: f64) -> Result<(Made, Entry), CliError> {
        let name = format!("{}-{}.{}", self.stem, view.name(), Kind::Png.extension());
        let raster = raster(&name, picture.width, picture.height, &picture.rgb)?;
        // A metre holds a thousand times the dots of a mm; the file counts whole ones.
        let bytes = export::picture_png(&raster, (1000.0 * dots).round() as u32);
        self.file(name, Kind::Png, shown(self.colouring), None, bytes)
    }

    /// The blade's mesh with the layers as its texture.
    pub(crate) fn textured(&self) -> Result<(Made, Entry), CliError> {
        let name = format!("{}.{}", self.stem, Kind::Glb.extension());
        let mesh =
            Mesh::of(self.loft.shell(), self.design.shop().tolerance).map_err(|why| unmade(&name, why))?;
        let texture = Texture::new(self.lay, &self.sections, &mesh, self.colouring)
            .ok_or_else(|| unmade(&name, "its texture would be too large"))?;
        let picture = raster(&name, texture.wrap.width, texture.wrap.height, &texture.wrap.rgb)?;
        let title = format!("{} ({})", self.design.name(), self.stage.text());
        let bytes = export::glb_textured(&Textured {
            name: &title,
            positions: &texture.positions,
            uv: &texture.places,
            triangles: &texture.triangles,
            picture: &picture,
        });
        let measure = Measure { bounds: mesh.bounds(), volume: mesh.volume() };
        self.file(
            name,
            Kind::Glb,
            "The blade with its layers, to turn over on a screen.",
            Some(measure),
            bytes,
        )
    }

    /// The file of these bytes with its entry in the manifest.
    fn file(
        &self,
        name: String,
        kind: Kind,
        note: &str,
        measure: Option<Measure>,
        bytes: Result<Vec<u8>, export::ExportFault>,
    ) -> Result<(Made, Entry), CliError> {
        let bytes = bytes.map_err(|why| unmade(&name, why))?;
        let facts = Facts {
            stage: Some(self.stage.text()),
            note: Some(note),
            measure,
            ..plain_facts(&name, kind.exported(), "layers")
        };
        Made::listed(&facts, bytes)
    }
}

/// What a picture with these colours shows.
fn shown(colouring: Colouring<'_>) -> &'static str {
    match colouring {
        Colouring::Etched(_) => {
            "The layers as they etch, from this side: greys show the order only, not how they will look; etch a scrap piece."
        }
        Colouring::Steels => "The steels from this side, each in a colour of its own.",
        Colouring::Bars => "The bars from this side, each in a colour of its own.",
    }
}

/// Pixels for a file of that name.
fn raster<'a>(name: &str, width: usize, height: usize, rgb: &'a [u8]) -> Result<Raster<'a>, CliError> {
    let count = |n: usize| u32::try_from(n).map_err(|why| unmade(name, why));
    Ok(Raster { width: count(width)?, height: count(height)?, rgb })
}
