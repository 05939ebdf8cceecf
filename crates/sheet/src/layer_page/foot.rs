//! What stands under the sides: the scale bar, the legend, and what to know.

use design::{Unit, trimmed};
use drawing::{Anchor, Drawing, Layer, text_width};
use forge::Etching;
use glam::DVec2;
use laminate::{Billet, bar_colour, plug_colour, steel_colour};

use crate::layer_page::view::Dots;

/// Lengths of the scale bar, mm, and in.
const METRIC: [f64; 4] = [200.0, 100.0, 50.0, 20.0];
/// See [`METRIC`].
const INCH: [f64; 4] = [8.0, 4.0, 2.0, 1.0];
/// The scale bar is at most so long on paper, mm: a fifth of the smallest sheet.
const LONGEST: f64 = 60.0;
/// Heights of capitals, mm: ISO 3098 (from memory), the notes a little less.
pub(crate) const WORDS: f64 = 2.5;
pub(crate) const NOTES: f64 = 2.0;
/// From one line to the next, in heights of capitals.
pub(crate) const LEADING: f64 = 1.8;
/// A field of the legend, mm, and from it to its words, and from those to the next field.
const FIELD: DVec2 = DVec2::new(8.0, 4.0);
const BESIDE: f64 = 1.8;
const APART: f64 = 7.0;

/// What the colours of the layers tell on the sheet.
#[derive(Clone, Copy, Debug)]
pub enum LayerColours<'a> {
    /// How the layers come out of the etch.
    Etched(&'a Etching),
    /// Each steel in a colour of its own.
    Steels,
    /// Each bar in a colour of its own.
    Bars,
}

/// An entry of the legend: its words and its colours.
pub(crate) struct Entry {
    words: String,
    colours: Vec<[u8; 3]>,
}

impl LayerColours<'_> {
    /// The legend's entries.
    pub(crate) fn legend(&self, billet: &Billet) -> Vec<Entry> {
        let single = |words: &str, srgb| Entry { words: words.to_owned(), colours: vec![srgb] };
        match self {
            LayerColours::Etched(etching) => {
                let of = |s: &forge::EtchedSteel| Entry { words: s.name.clone(), colours: s.greys.clone() };
                etching.legend.iter().map(of).collect()
            }
            LayerColours::Steels => {
                let steels = billet.steels().iter().enumerate();
                steels.map(|(i, s)| single(&s.name, steel_colour(i).srgb)).collect()
            }
            LayerColours::Bars => {
                let bars = billet.bars().iter().enumerate();
                let plugs = billet.is_plugged().then(|| single("Plugs", plug_colour().srgb));
                bars.map(|(i, b)| single(&b.name, bar_colour(i).srgb)).chain(plugs).collect()
            }
        }
    }

    /// What the colours are, for the line under the title.
    pub(crate) fn words(&self) -> &'static str {
        match self {
            LayerColours::Etched(_) => "as it will be etched",
            LayerColours::Steels => "each steel in a colour of its own",
            LayerColours::Bars => "each bar in a colour of its own",
        }
    }

    /// What to know of the colours.
    pub(crate) fn note(&self) -> String {
        let LayerColours::Etched(etching) = self else {
            return "Colours tell what lies where, not how it looks when etched.".to_owned();
        };
        let twice = etching.legend.iter().any(|s| s.greys.len() > 1);
        let twice =
            if twice { " A steel of several greys has not the same carbon in all its bars." } else { "" };
        format!(
            "Greys show only in which order the steels etch, from dark to bright, not their true shades, and the order is not confirmed.{twice}"
        )
    }
}

/// Rows of the legend in a width, by the entries in each.
pub(crate) fn rows(entries: &[Entry], width: f64) -> Vec<Vec<&Entry>> {
    let mut rows: Vec<Vec<&Entry>> = Vec::new();
    let mut left = 0.0;
    for entry in entries {
        let wide = entry.width();
        match rows.last_mut().filter(|_| wide <= left) {
            Some(row) => row.push(entry),
            None => {
                rows.push(vec![entry]);
                left = width;
            }
        }
        left -= wide + APART;
    }
    rows
}

/// Height of a row of the legend, mm.
pub(crate) const ROW: f64 = FIELD.y + 2.0;

impl Entry {
    fn width(&self) -> f64 {
        FIELD.x * self.colours.len() as f64 + BESIDE + text_width(&self.words, WORDS)
    }
}

/// Draws rows of the legend, the first with its fields' lower border at `at`.
pub(crate) fn legend(
    drawing: &mut Drawing,
    pictures: &mut Vec<Dots>,
    rows: &[Vec<&Entry>],
    at: DVec2,
    dots: f64,
) {
    for (i, row) in rows.iter().enumerate() {
        let mut low = at - DVec2::new(0.0, ROW * i as f64);
        for entry in row {
            for colour in &entry.colours {
                pictures.push(field(low, *colour, dots));
                drawing.rectangle(Layer::Sheet, [low, low + FIELD], false);
                low.x += FIELD.x;
            }
            let words = low + DVec2::new(BESIDE, 0.5 * (FIELD.y - WORDS));
            drawing.text(words, WORDS, Anchor::Start, entry.words.as_str());
            low.x += BESIDE + text_width(&entry.words, WORDS) + APART;
        }
    }
}

/// A field of one colour over its lower left corner.
fn field(low: DVec2, colour: [u8; 3], dots: f64) -> Dots {
    let [width, height] = [FIELD.x, FIELD.y].map(|mm| (mm * dots).round() as usize);
    Dots { width, height, rgb: colour.repeat(width * height), at: low + DVec2::new(0.0, FIELD.y) }
}

/// Draws the scale bar with its right end at `at` on its line, and returns its length on paper, mm.
pub(crate) fn scale_bar(drawing: &mut Drawing, at: DVec2, unit: Unit, scale: f64) -> f64 {
    let lengths = if unit == Unit::Inch { INCH } else { METRIC };
    let on_paper = |length: f64| length * unit.millimetres() * scale;
    let fits = |length: &f64| on_paper(*length) <= LONGEST;
    let length = lengths.into_iter().find(fits).unwrap_or(lengths[lengths.len() - 1]);
    let paper = on_paper(length);
    let left = at - DVec2::new(paper, 0.0);
    // The darker half of a ruler: a bar half filled is read at a glance.
    let half = DVec2::new(0.5 * paper, 1.2);
    drawing.rectangle(Layer::Station, [left, left + half], true);
    drawing.rectangle(Layer::Station, [left, left + DVec2::new(paper, 1.2)], false);
    for (share, name) in [(0.0, ""), (0.5, ""), (1.0, unit.name())] {
        let figure = trimmed(&format!("{:.1}", length * share));
        let place = left + DVec2::new(share * paper, -WORDS - 1.0);
        drawing.text(place, WORDS, Anchor::Middle, format!("{figure} {name}").trim().to_owned());
    }
    paper
}

/// Words broken into lines of at most this width, mm.
pub(crate) fn broken(words: &str, width: f64, height: f64) -> Vec<String> {
    let mut lines: Vec<String> = Vec::new();
    for word in words.split(' ') {
        let longer = |line: &String| text_width(line, height) + text_width(word, height) + height <= width;
        match lines.last_mut().filter(|line| longer(line)) {
            Some(line) => *line = format!("{line} {word}"),
            None => lines.push(word.to_owned()),
        }
    }
    lines
}
