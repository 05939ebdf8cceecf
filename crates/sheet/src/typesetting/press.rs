//! The PDF of pages.

use glam::DVec2;
use krilla::Document;
use krilla::color::{luma, rgb};
use krilla::geom::{PathBuilder, Point, Rect, Size, Transform};
use krilla::metadata::Metadata;
use krilla::page::PageSettings;
use krilla::paint::{Fill, Stroke, StrokeDash};
use krilla::surface::Surface;
use krilla_svg::{SurfaceExt, SvgSettings};

use crate::fault::SheetFault;
use crate::typesetting::face::{Run, font};
use crate::typesetting::shape::{Pen, Shape};

/// Name of the program, as author and creator.
const PROGRAM: &str = "Seaxwright";

/// The file of pages of one size (points). It bears no date.
///
/// # Errors
/// [`SheetFault::Pages`] for paper without a size, and where the writer fails.
pub(crate) fn pdf(title: &str, size: DVec2, pages: &[Vec<Shape>]) -> Result<Vec<u8>, SheetFault> {
    let mut document = Document::new();
    let about =
        Metadata::new().title(title.to_owned()).creator(PROGRAM.to_owned()).language("en-GB".to_owned());
    document.set_metadata(about.authors(vec![PROGRAM.to_owned()]));
    let paper = rectangle(size).ok_or_else(|| fault("the paper has no size"))?;
    for shapes in pages {
        let mut page = document.start_page_with(PageSettings::new(paper));
        let mut surface = page.surface();
        let drawn: Option<Vec<()>> = shapes.iter().map(|shape| draw(&mut surface, shape)).collect();
        surface.finish();
        page.finish();
        drawn.ok_or_else(|| fault("something on a page could not be drawn"))?;
    }
    document.finish().map_err(|why| fault(format!("{why:?}")))
}

fn fault(reason: impl Into<String>) -> SheetFault {
    SheetFault::Pages { reason: reason.into() }
}

fn rectangle(size: DVec2) -> Option<Size> {
    Size::from_wh(size.x as f32, size.y as f32)
}

fn point(p: DVec2) -> Point {
    Point::from_xy(p.x as f32, p.y as f32)
}

/// Draws a shape; `None` where its numbers are none.
fn draw(surface: &mut Surface<'_>, shape: &Shape) -> Option<()> {
    match shape {
        Shape::Words { at, run } => words(surface, *at, run),
        Shape::Line { from, to, pen } => {
            let (from, to) = (point(*from), point(*to));
            let mut path = PathBuilder::new();
            path.move_to(from.x, from.y);
            path.line_to(to.x, to.y);
            paint(surface, None, Some(*pen));
            surface.draw_path(&path.finish()?);
            Some(())
        }
        Shape::Rectangle { at, size, fill, pen } => {
            let mut path = PathBuilder::new();
            path.push_rect(Rect::from_xywh(at.x as f32, at.y as f32, size.x as f32, size.y as f32)?);
            paint(surface, *fill, *pen);
            surface.draw_path(&path.finish()?);
            Some(())
        }
        Shape::Dots { at, size, image } => {
            let size = rectangle(*size)?;
            moved(surface, *at, |surface| {
                surface.draw_image(image.clone(), size);
                Some(())
            })
        }
        Shape::Drawing { at, tree } => {
            let size = Size::from_wh(tree.size().width(), tree.size().height())?;
            moved(surface, *at, |surface| surface.draw_svg(tree, size, SvgSettings::default()))
        }
    }
}

fn moved(
    surface: &mut Surface<'_>,
    by: DVec2,
    draw: impl FnOnce(&mut Surface<'_>) -> Option<()>,
) -> Option<()> {
    surface.push_transform(&Transform::from_translate(by.x as f32, by.y as f32));
    let drawn = draw(surface);
    surface.pop();
    drawn
}

fn words(surface: &mut Surface<'_>, at: DVec2, run: &Run) -> Option<()> {
    if run.glyphs.is_empty() {
        return Some(());
    }
    let grey = run.style.grey;
    paint(surface, Some([grey; 3]), None);
    surface.draw_glyphs(point(at), &run.glyphs, font(run.style)?, &run.text, run.style.size as f32, false);
    Some(())
}

/// Sets what the next shape is filled and drawn with; greys as greys, so that a printer takes its black for them.
fn paint(surface: &mut Surface<'_>, fill: Option<[u8; 3]>, pen: Option<Pen>) {
    let colour = |[r, g, b]: [u8; 3]| {
        if r == g && g == b { luma::Color::new(r).into() } else { rgb::Color::new(r, g, b).into() }
    };
    surface.set_fill(fill.map(|fill| Fill { paint: colour(fill), ..Fill::default() }));
    let stroke = |pen: Pen| Stroke {
        paint: luma::Color::new(pen.grey).into(),
        width: pen.width as f32,
        dash: (!pen.dashes.is_empty())
            .then(|| StrokeDash { array: pen.dashes.iter().map(|dash| *dash as f32).collect(), offset: 0.0 }),
        ..Stroke::default()
    };
    surface.set_stroke(pen.map(stroke));
}
