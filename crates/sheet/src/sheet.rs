//! Paper, margins, header and footer of every page.

use design::{Figures, Paper, Unit};
use glam::DVec2;

use crate::fault::SheetFault;
use crate::typesetting::face::Style;
use crate::typesetting::flow::Flow;
use crate::typesetting::paragraph::{Align, LEADING, height, line, lines};
use crate::typesetting::press::pdf;
use crate::typesetting::shape::{INK, MM, Shape};
use crate::typesetting::strip::{Strip, aligned, spaced, together};
use crate::typesetting::text::{BODY, Text};

/// Room left of the text for holes to file the sheet by, right of it, over it and under it, mm (common practice, no source).
const BORDERS: [f64; 4] = [18.0, 12.0, 23.0, 18.0];
/// From the paper's upper border to the line under the header, and from there up to its words, mm.
const HEADER: [f64; 2] = [19.0, 1.6];
/// From the paper's lower border to the footer's words, mm.
const FOOTER: f64 = 10.7;

/// A bench sheet, or a bench page.
#[derive(Clone, Debug, PartialEq)]
pub struct Sheet {
    /// The PDF.
    pub bytes: Vec<u8>,
    /// How many pages it has.
    pub pages: usize,
}

/// What is the same on all pages of a sheet.
pub(crate) struct Look<'a> {
    /// The blade's name.
    pub(crate) name: &'a str,
    /// `Bench sheet` or `Bench page`.
    pub(crate) kind: &'static str,
    pub(crate) figures: Figures,
    /// Standing upright.
    pub(crate) paper: Paper,
}

impl Look<'_> {
    /// The paper's size, points.
    fn paper(&self) -> DVec2 {
        DVec2::from(self.paper.size()) * MM
    }

    /// Width of the column, points.
    pub(crate) fn width(&self) -> f64 {
        self.paper().x - (BORDERS[0] + BORDERS[1]) * MM
    }

    /// Empty pages.
    pub(crate) fn flow(&self) -> Flow {
        Flow::new(self.paper().y - (BORDERS[2] + BORDERS[3]) * MM - self.lower())
    }

    /// How much lower header and column begin under a name of more than two lines, points.
    fn lower(&self) -> f64 {
        let lines = lines(&Text::bold(self.name), self.width());
        let more = lines.len().saturating_sub(2);
        lines.iter().take(more).map(|line| line.height() + LEADING * BODY.size).sum()
    }

    /// The blade's name as the first page's title.
    pub(crate) fn title(&self) -> Vec<Strip> {
        let style = Style { size: 20.0, bold: true, ..BODY };
        let text = Text::styled(self.name, style);
        let mut strips =
            spaced(aligned(&text, self.width(), Align::Left, LEADING * style.size), 0.0, 4.0 * MM);
        together(&mut strips);
        strips
    }

    /// The unit of every length, in words.
    pub(crate) fn unit_words(&self) -> &'static str {
        match self.figures.unit {
            Unit::Inch => "inches",
            Unit::Millimetre => "millimetres",
        }
    }

    /// The filled pages with header and footer, as a PDF.
    ///
    /// # Errors
    /// [`SheetFault::Pages`] where the writer fails.
    pub(crate) fn set(&self, flow: Flow) -> Result<Sheet, SheetFault> {
        let column = DVec2::new(BORDERS[0], BORDERS[2]) * MM + DVec2::new(0.0, self.lower());
        let filled = flow.pages();
        let count = filled.len();
        let page = |(i, shapes): (usize, Vec<Shape>)| {
            let mut all: Vec<Shape> = shapes.into_iter().map(|shape| shape.moved(column)).collect();
            all.extend(self.header(i == 0));
            all.extend(self.footer(i + 1, count));
            all
        };
        let pages: Vec<_> = filled.into_iter().enumerate().map(page).collect();
        let title = format!("{}: {}", self.name, self.kind.to_lowercase());
        Ok(Sheet { bytes: pdf(&title, self.paper(), &pages)?, pages: count })
    }

    /// The blade's name over a line; the first page has it as its title, and says here what it is.
    fn header(&self, first: bool) -> Vec<Shape> {
        let [line, over] = [HEADER[0] * MM + self.lower(), HEADER[1] * MM];
        let (left, width) = (BORDERS[0] * MM, self.width());
        let text = if first { Text::from(self.kind) } else { Text::bold(self.name) };
        let words = lines(&text, width);
        let leading = LEADING * BODY.size;
        let mut y = line - over - height(&words, leading);
        let mut shapes = Vec::new();
        for line in words {
            let down = line.height() + leading;
            shapes.extend(line.placed(DVec2::new(left, y), width, Align::Left));
            y += down;
        }
        let (from, to) = (DVec2::new(left, line), DVec2::new(left + width, line));
        shapes.push(Shape::Line { from, to, pen: INK });
        shapes
    }

    /// What to mind, and the page's number.
    fn footer(&self, number: usize, count: usize) -> Vec<Shape> {
        let (left, width) = (BORDERS[0] * MM, self.width());
        let base = self.paper().y - FOOTER * MM;
        let words = format!(
            "Lengths in {}. Check every figure against the steel in your hand before you cut.",
            self.unit_words()
        );
        let number = format!("page {number} of {count}");
        let set = |text: Text, align: Align| {
            let line = line(&text);
            let at = DVec2::new(left, base - line.rise);
            line.placed(at, width, align)
        };
        set(Text::note(words), Align::Left).chain(set(Text::from(number), Align::Right)).collect()
    }
}
