//! The page: title, sides and foot, with places for all of them, as PDF and PNG.

use std::rc::Rc;

use blade::{Sections, Stage};
use design::Design;
use drawing::{Anchor, Drawing, Layer, text_width};
use export::ExportFault;
use glam::DVec2;
use krilla::image::Image;
use laminate::{Billet, Colouring, Fineness, MaterialMap, Picture, View};
use tooling::REDUCTIONS;

use crate::fault::SheetFault;
use crate::layer_page::foot::{
    Entry, LEADING, LayerColours, NOTES, ROW, WORDS, broken, legend, rows, scale_bar,
};
use crate::layer_page::view::{Dots, Side, is_drawn};
use crate::typesetting::face::FACE;
use crate::typesetting::press;
use crate::typesetting::shape::{MM, Shape};

/// From the paper's border to the frame, mm: what common printers leave white.
const FRAME: f64 = 10.0;
/// From the frame to what stands in it, mm.
const INSIDE: f64 = 7.0;
/// Height of the title's capitals, mm; smaller where a long name wants it.
const TITLE: f64 = 6.0;
/// Under the title, and over the notes, mm.
const UNDER: f64 = 2.0;
const OVER: f64 = 3.0;
/// Dots to the mm of paper: about 300 to the inch.
const DOTS: f64 = 12.0;
/// Lines in every column of dots: what a customer gets shall not shimmer.
const LINES: u32 = 4;
/// Paper around a drawing that the writers add, mm, with half the frame's line.
const AROUND: f64 = 5.0;
/// Over each side for its title, and most room between them, mm.
const HEAD: f64 = WORDS + 2.0;
const ROOM: f64 = 12.0;

/// The sheet of layers for a customer.
pub struct LayerSheet {
    /// Width and height of the paper, mm.
    size: DVec2,
    title: String,
    drawing: Drawing,
    pictures: Vec<Dots>,
}

/// The sheet of a stage of a design with a billet, on the shop's paper lying on its side. A grip hides the tang as it will;
/// fittings without a size are left out.
///
/// # Errors
/// [`SheetFault::Picture`] when a side can't be drawn.
pub fn layer_sheet(
    design: &Design,
    lay: &MaterialMap,
    stage: Stage,
    colours: &LayerColours<'_>,
) -> Result<LayerSheet, SheetFault> {
    let sections = Sections::of(&design.blade().loft(stage));
    let sides = View::ALL.map(|view| Side::new(view, &sections, design.fittings()));
    let (under, notes) = (subtitle(design, stage, colours), notes(design, colours));
    let page = Page::new(design, (lay.billet(), colours), [&under, &notes], &sides);
    let pictures = page.pictures(lay, &sections, colours)?;
    let rows = sides.iter().zip(pictures);
    let rows = rows.map(|(side, picture)| Row { title: side.title().to_owned(), side, picture }).collect();
    Ok(page.filled(&format!("{}: layers", design.name()), design.name(), &sides, rows))
}

/// A side with its title and its layers.
pub(crate) struct Row<'a> {
    pub(crate) title: String,
    pub(crate) side: &'a Side,
    pub(crate) picture: Picture,
}

/// What stands where.
pub(crate) struct Page {
    size: DVec2,
    /// mm of paper for one of the steel.
    scale: f64,
    subtitle: Vec<String>,
    legend: Vec<Entry>,
    notes: Vec<String>,
    unit: design::Unit,
}

impl Page {
    /// The largest of the usual scales at which all sides fit, with words under the title and notes.
    pub(crate) fn new(
        design: &Design,
        (billet, colours): (&Billet, &LayerColours<'_>),
        [subtitle, notes]: [&str; 2],
        sides: &[Side],
    ) -> Page {
        let [short, long] = design.shop().paper.size();
        let mut page = Page {
            size: DVec2::new(long, short),
            scale: 1.0,
            subtitle: Vec::new(),
            legend: colours.legend(billet),
            notes: Vec::new(),
            unit: design.figures().unit,
        };
        page.notes = broken(notes, page.width(), NOTES);
        page.subtitle = broken(subtitle, page.width(), WORDS);
        let fits = |reduction: &&f64| page.fits(sides, 1.0 / **reduction);
        let reduction = REDUCTIONS.iter().find(fits).copied().unwrap_or(REDUCTIONS[REDUCTIONS.len() - 1]);
        page.scale = 1.0 / reduction;
        page.subtitle.push(format!("Scale 1 : {reduction} where it is printed at 100 %."));
        page
    }

    /// Width of what stands in the frame, mm.
    fn width(&self) -> f64 {
        self.size.x - 2.0 * (FRAME + INSIDE)
    }

    /// Heights of title and foot, mm.
    fn head(&self) -> f64 {
        // The line with the scale is there before the scale is known.
        let lines = self.subtitle.iter().filter(|l| !l.starts_with("Scale")).count() + 1;
        TITLE + UNDER + LEADING * WORDS * lines as f64
    }

    fn foot_height(&self) -> f64 {
        let rows = rows(&self.legend, self.legend_width()).len() as f64;
        (ROW * rows).max(WORDS + 4.0) + OVER + LEADING * NOTES * self.notes.len() as f64
    }

    /// The legend stands beside the scale bar.
    fn legend_width(&self) -> f64 {
        self.width() - 80.0
    }

    /// Room between the sides at this scale, mm; below 0 where they don't fit.
    fn room(&self, sides: &[Side], scale: f64) -> f64 {
        let tall: f64 = sides.iter().map(|s| (s.high.y - s.low.y) * scale + HEAD).sum();
        let between = self.size.y - 2.0 * (FRAME + INSIDE) - self.head() - self.foot_height();
        (between - tall) / (sides.len() + 1) as f64
    }

    fn fits(&self, sides: &[Side], scale: f64) -> bool {
        let wide = sides.iter().map(|s| s.high.x - s.low.x).fold(0.0, f64::max);
        wide * scale <= self.width() && self.room(sides, scale) >= 2.0
    }

    /// Dots to the mm of the steel.
    fn dots(&self) -> f64 {
        DOTS * self.scale
    }

    /// Where the shoulder plane's centre comes on each side, mm of the page from its lower left corner.
    fn places(&self, sides: &[Side]) -> Vec<DVec2> {
        let room = self.room(sides, self.scale);
        let gap = room.min(ROOM);
        let mut top = self.size.y - FRAME - INSIDE - self.head() - gap;
        // What is left over stands over and under them.
        top -= 0.5 * (room - gap) * (sides.len() + 1) as f64;
        let place = |side: &Side| {
            let wide = (side.high.x - side.low.x) * self.scale;
            let left = 0.5 * (self.size.x - wide);
            let at = DVec2::new(left, top - HEAD) - DVec2::new(side.low.x, side.high.y) * self.scale;
            top -= HEAD + (side.high.y - side.low.y) * self.scale + gap;
            at
        };
        sides.iter().map(place).collect()
    }

    /// The sheet with all rows in their places; `title` is the file's, `name` stands at the top.
    pub(crate) fn filled(&self, title: &str, name: &str, sides: &[Side], rows: Vec<Row<'_>>) -> LayerSheet {
        let mut sheet = self.begun(title, name);
        for (Row { title, side, picture }, at) in rows.into_iter().zip(self.places(sides)) {
            let words = at + DVec2::new(side.low.x * self.scale, side.high.y * self.scale + 2.0);
            sheet.drawing.text(words, WORDS, Anchor::Start, title);
            let picture = side.behind_fittings(picture, self.dots());
            let corner = at + DVec2::new(picture.left, picture.top) * self.scale;
            let Picture { width, height, rgb, .. } = picture;
            sheet.pictures.push(Dots { width, height, rgb, at: corner });
            side.draw(&mut sheet.drawing, self.scale, at);
        }
        self.foot(&mut sheet);
        sheet
    }

    /// The frame and the title.
    fn begun(&self, title: &str, name: &str) -> LayerSheet {
        let mut drawing = Drawing::default();
        drawing.rectangle(Layer::Sheet, [DVec2::splat(FRAME), self.size - FRAME], false);
        let height = TITLE.min(self.width() / text_width(name, 1.0));
        let at = DVec2::new(FRAME + INSIDE, self.size.y - FRAME - INSIDE - TITLE);
        drawing.text(at, height, Anchor::Start, name);
        for (i, line) in (1..).zip(&self.subtitle) {
            let down = DVec2::new(0.0, UNDER + LEADING * WORDS * f64::from(i));
            drawing.text(at - down, WORDS, Anchor::Start, line.as_str());
        }
        LayerSheet { size: self.size, title: title.to_owned(), drawing, pictures: Vec::new() }
    }

    /// All four sides' layers.
    fn pictures(
        &self,
        lay: &MaterialMap,
        sections: &Sections,
        colours: &LayerColours<'_>,
    ) -> Result<Vec<Picture>, SheetFault> {
        let pictures = Picture::several(lay, sections, &View::ALL, colouring(colours), self.fineness());
        pictures.ok_or_else(|| ExportFault::Empty.into())
    }

    /// One side's layers.
    pub(crate) fn picture(
        &self,
        (lay, sections): (&MaterialMap, &Sections),
        view: View,
        colours: &LayerColours<'_>,
    ) -> Result<Picture, SheetFault> {
        let picture = Picture::new(lay, sections, view, colouring(colours), self.fineness());
        picture.ok_or_else(|| ExportFault::Empty.into())
    }

    fn fineness(&self) -> Fineness {
        Fineness { dots: self.dots(), samples: LINES, bleed: false }
    }

    /// Scale bar, legend and notes.
    fn foot(&self, sheet: &mut LayerSheet) {
        let left = FRAME + INSIDE;
        let low = left + OVER + LEADING * NOTES * (self.notes.len() - 1) as f64 + NOTES;
        let rows = rows(&self.legend, self.legend_width());
        let first = low + ROW * rows.len().saturating_sub(1) as f64;
        legend(&mut sheet.drawing, &mut sheet.pictures, &rows, DVec2::new(left, first), DOTS);
        let bar = DVec2::new(self.size.x - left - 6.0, low + WORDS + 1.0);
        scale_bar(&mut sheet.drawing, bar, self.unit, self.scale);
        for (i, line) in (1..).zip(self.notes.iter().rev()) {
            let at = DVec2::new(left, left + LEADING * NOTES * f64::from(i - 1));
            sheet.drawing.text(at, NOTES, Anchor::Start, line.as_str());
        }
    }
}

/// The colours as pictures take them.
fn colouring<'a>(colours: &'a LayerColours<'_>) -> Colouring<'a> {
    match colours {
        LayerColours::Etched(etching) => Colouring::Etched(&etching.brightness),
        LayerColours::Steels => Colouring::Steels,
        LayerColours::Bars => Colouring::Bars,
    }
}

/// What is shown, and the blade's sizes.
fn subtitle(design: &Design, stage: Stage, colours: &LayerColours<'_>) -> String {
    let figures = design.figures();
    let (low, high) = design.blade().loft(stage).bounds();
    let blade = match stage {
        Stage::Forged => "The blade as forged",
        Stage::Ground => "The blade as ground",
        Stage::Finished => "The finished blade",
    };
    format!(
        "{blade}, {}. Blade {} long, with the tang {}.",
        colours.words(),
        figures.told(high.x),
        figures.told(high.x - low.x)
    )
}

/// What to know.
fn notes(design: &Design, colours: &LayerColours<'_>) -> String {
    let drawn = design.fittings().iter().any(is_drawn);
    let fittings = if drawn { " Fittings are drawn as the cylinders that they are counted as." } else { "" };
    format!("{}{fittings} Forged by hand, every blade differs a little from its drawing.", colours.note())
}

impl LayerSheet {
    /// As a PDF of one page.
    ///
    /// # Errors
    /// [`SheetFault`] where something can't be drawn or written.
    pub fn pdf(&self) -> Result<Vec<u8>, SheetFault> {
        let mut shapes = Vec::new();
        for dots in &self.pictures {
            let (raster, _) = dots.raster()?;
            let image = Image::from_rgba8(raster.rgba()?, raster.width, raster.height);
            let size = DVec2::new(dots.width as f64, dots.height as f64) / DOTS * MM;
            shapes.push(Shape::Dots { at: self.page_point(dots.at), size, image });
        }
        let tree = export::vector_picture(&self.drawing, &self.title, MM, FACE)?;
        let around = AROUND + 0.5 * Layer::Sheet.pen().width;
        let corner = DVec2::new(FRAME - around, self.size.y - FRAME + around);
        shapes.push(Shape::Drawing { at: self.page_point(corner), tree: Rc::new(tree) });
        press::pdf(&self.title, self.size * MM, &[shapes])
    }

    /// As a PNG of 12 dots to the mm of paper, with half the paper's border.
    ///
    /// # Errors
    /// [`SheetFault::Picture`] where something can't be drawn or written.
    pub fn png(&self) -> Result<Vec<u8>, SheetFault> {
        let pictures: Vec<_> = self.pictures.iter().map(Dots::raster).collect::<Result<_, ExportFault>>()?;
        Ok(export::png_over(&self.drawing, DOTS, &pictures)?)
    }

    /// Points from the page's upper left corner of a place in mm from its lower left one.
    fn page_point(&self, at: DVec2) -> DVec2 {
        DVec2::new(at.x, self.size.y - at.y) * MM
    }
}
