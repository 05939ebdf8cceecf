//! The two faces of type, and words shaped in them.

use std::fmt;
use std::sync::LazyLock;

use export::Typeface;
use krilla::text::{Font, GlyphId, KrillaGlyph};
use rustybuzz::ttf_parser::Tag;
use rustybuzz::{Direction, Feature, ShapePlan, UnicodeBuffer, script};

/// Fira Sans (SIL Open Font License, `fonts/OFL.txt`): figures told apart at arm's length.
const FILES: [&[u8]; 2] =
    [include_bytes!("../../fonts/FiraSans-Regular.ttf"), include_bytes!("../../fonts/FiraSans-SemiBold.ttf")];

/// The regular one for words in drawings.
pub(crate) const FACE: Typeface = Typeface { family: "Fira Sans", file: FILES[0] };

/// Height of capitals and figures over the base line, in sizes of type: 0.689 and 0.692 in the faces' own tables (OS/2, sCapHeight).
pub(crate) const CAPITALS: f64 = 0.69;

/// An invisible place where a line may break.
pub(crate) const BREAK: char = '\u{200b}';

/// Size in points, weight, and grey from 0 (black) to 255.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(crate) struct Style {
    pub(crate) size: f64,
    pub(crate) bold: bool,
    pub(crate) grey: u8,
}

/// Words of one style with their glyphs.
#[derive(Clone)]
pub(crate) struct Run {
    pub(crate) text: String,
    pub(crate) style: Style,
    pub(crate) glyphs: Vec<KrillaGlyph>,
}

impl fmt::Debug for Run {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(f, "{:?}", self.text)
    }
}

struct Face {
    shaper: rustybuzz::Face<'static>,
    plan: ShapePlan,
    font: Font,
}

/// Regular and semibold.
static FACES: LazyLock<[Option<Face>; 2]> = LazyLock::new(|| FILES.map(Face::load));

impl Face {
    fn load(file: &'static [u8]) -> Option<Face> {
        let shaper = rustybuzz::Face::from_slice(file, 0)?;
        // Figures of one width, so that columns of them can be compared.
        let features = [Feature::new(Tag::from_bytes(b"tnum"), 1, ..)];
        let plan = ShapePlan::new(&shaper, Direction::LeftToRight, Some(script::LATIN), None, &features);
        Some(Face { shaper, plan, font: Font::new(file.into(), 0)? })
    }

    /// The glyphs of a line of words.
    fn shape(&self, text: &str) -> Vec<KrillaGlyph> {
        let mut buffer = UnicodeBuffer::new();
        buffer.push_str(text);
        buffer.set_direction(Direction::LeftToRight);
        buffer.set_script(script::LATIN);
        let shaped = rustybuzz::shape_with_plan(&self.shaper, &self.plan, buffer);
        let em = f32::from(self.shaper.units_per_em() as u16);
        let clusters: Vec<usize> = shaped.glyph_infos().iter().map(|i| i.cluster as usize).collect();
        let end = |i: usize| clusters[i..].iter().find(|c| **c > clusters[i]).copied().unwrap_or(text.len());
        let glyphs = shaped.glyph_infos().iter().zip(shaped.glyph_positions()).enumerate();
        glyphs
            .map(|(i, (info, place))| {
                KrillaGlyph::new(
                    GlyphId::new(info.glyph_id),
                    place.x_advance as f32 / em,
                    place.x_offset as f32 / em,
                    place.y_offset as f32 / em,
                    place.y_advance as f32 / em,
                    clusters[i]..end(i),
                    None,
                )
            })
            .collect()
    }
}

fn face(style: Style) -> Option<&'static Face> {
    FACES[usize::from(style.bold)].as_ref()
}

/// The face of a style, as the PDF carries it; `None` only where the files built in are no fonts.
pub(crate) fn font(style: Style) -> Option<Font> {
    face(style).map(|face| face.font.clone())
}

impl Run {
    /// Shapes words, without the breaks that can't be seen in them.
    pub(crate) fn new(words: &str, style: Style) -> Run {
        let text = words.replace(BREAK, "");
        let glyphs = face(style).map_or_else(Vec::new, |face| face.shape(&text));
        Run { text, style, glyphs }
    }

    /// How far the words reach, in points.
    pub(crate) fn width(&self) -> f64 {
        self.glyphs.iter().map(|g| f64::from(g.x_advance)).sum::<f64>() * self.style.size
    }

    /// Adds words of the same style behind.
    pub(crate) fn append(&mut self, other: Run) {
        let from = self.text.len();
        self.text += &other.text;
        self.glyphs.extend(other.glyphs.into_iter().map(|mut g| {
            g.text_range = g.text_range.start + from..g.text_range.end + from;
            g
        }));
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    const PLAIN: Style = Style { size: 10.0, bold: false, grey: 0 };

    /// The face's own tables, read by another crate's parser.
    #[test]
    fn widths_and_capitals_are_the_faces_own() {
        for (file, bold) in FILES.into_iter().zip([false, true]) {
            let parsed = rustybuzz::ttf_parser::Face::parse(file, 0).unwrap();
            let em = f64::from(parsed.units_per_em());
            assert!((f64::from(parsed.capital_height().unwrap()) / em - CAPITALS).abs() < 0.0021);
            let style = Style { bold, ..PLAIN };
            let h = parsed.glyph_hor_advance(parsed.glyph_index('H').unwrap()).unwrap();
            assert!((Run::new("HH", style).width() - 20.0 * f64::from(h) / em).abs() < 1e-6);
            let widths = ["0", "1", "7", "8"].map(|figure| Run::new(figure, style).width());
            assert!(widths.iter().all(|w| (w - widths[0]).abs() < 1e-9), "{widths:?}");
        }
    }

    #[test]
    fn runs_join_and_hide_their_breaks() {
        let mut run = Run::new("bar\u{200b}s ", PLAIN);
        let other = Run::new("é 1", PLAIN);
        let width = run.width() + other.width();
        run.append(other);
        assert_eq!(run.text, "bars é 1");
        assert!((run.width() - width).abs() < 1e-9);
        assert_eq!(run.glyphs.last().unwrap().text_range, 8..9);
    }
}
