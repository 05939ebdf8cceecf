//! Drawings: lines, arcs, curves, text and dimensions on layers, in mm with y up, free of any file format.

use brep::Piece;
use glam::DVec2;

/// A drawing at full size. Later items lie over earlier ones.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Drawing {
    /// What is drawn.
    pub items: Vec<Item>,
}

/// Something drawn on a layer.
#[derive(Clone, Debug, PartialEq)]
pub struct Item {
    /// What it belongs to.
    pub layer: Layer,
    /// What it is.
    pub mark: Mark,
}

/// The layers, in one fixed order.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum Layer {
    /// Borders of the steel, to cut or hold against.
    Outline,
    /// Lines on the surface: grind line, fullers, the secondary bevel.
    Surface,
    /// Seams between the bars of the billet.
    Seam,
    /// Centre lines and the shoulder plane.
    Centre,
    /// Station ticks.
    Station,
    /// Dimensions.
    Dimension,
    /// Words and numbers.
    Text,
    /// What belongs to the paper: crosses, bars, page map.
    Sheet,
    /// The way of a cutter through sheet metal.
    Cut,
    /// The way of its marking head.
    Mark,
}

/// Ink of a layer that programs tell apart by colour.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Ink {
    /// Red.
    Red,
    /// Blue.
    Blue,
}

/// What is drawn.
#[derive(Clone, Debug, PartialEq)]
pub enum Mark {
    /// Pieces, each beginning where the one before ends; the last ends where the first begins if `closed`.
    Path {
        /// Straight lines, arcs and cubic curves, mm.
        pieces: Vec<Piece>,
        /// Whether they close.
        closed: bool,
        /// Whether the inside is filled with the layer's ink.
        filled: bool,
    },
    /// One line of text.
    Text {
        /// Where it is anchored, on the base line, mm.
        at: DVec2,
        /// Height of its capitals, mm.
        height: f64,
        /// Which point of the line `at` is.
        anchor: Anchor,
        /// Direction in which it runs, rad from +x.
        turn: f64,
        /// The text, without control characters.
        text: String,
    },
    /// A length between two points with a dimension line `offset` mm to the left of the way from one to the other.
    Dimension {
        /// From here ...
        from: DVec2,
        /// ... to here, mm.
        to: DVec2,
        /// Distance of the dimension line, mm; negative to the right.
        offset: f64,
        /// Height of the figures' capitals, mm.
        height: f64,
        /// The figure shown.
        text: String,
    },
}

/// Which point of a line of text is anchored.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Anchor {
    /// Its beginning.
    Start,
    /// Its middle.
    Middle,
    /// Its end.
    End,
}

/// How a layer is drawn.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Pen {
    /// Width of the stroke, mm.
    pub width: f64,
    /// 0 black to 1 white: drawings are to be read in black and white.
    pub grey: f64,
    /// Dash and gap, mm; solid when empty.
    pub dashes: &'static [f64],
}

impl Layer {
    /// All layers, in order.
    pub const ALL: [Layer; 10] = [
        Layer::Outline,
        Layer::Surface,
        Layer::Seam,
        Layer::Centre,
        Layer::Station,
        Layer::Dimension,
        Layer::Text,
        Layer::Sheet,
        Layer::Cut,
        Layer::Mark,
    ];

    /// The layer's name in files.
    pub fn name(self) -> &'static str {
        match self {
            Layer::Outline => "outline",
            Layer::Surface => "surface",
            Layer::Seam => "seam",
            Layer::Centre => "centre",
            Layer::Station => "station",
            Layer::Dimension => "dimension",
            Layer::Text => "text",
            Layer::Sheet => "sheet",
            Layer::Cut => "cut",
            Layer::Mark => "mark",
        }
    }

    /// How it is drawn: widths from the series of ISO 128-2 (0.13, 0.18, 0.25 mm; from memory), the outline widest,
    /// yet narrow enough that its middle can be cut to within 0.1 mm.
    pub fn pen(self) -> Pen {
        let solid = |width, grey| Pen { width, grey, dashes: &[] };
        match self {
            Layer::Outline => solid(0.25, 0.0),
            Layer::Surface => solid(0.18, 0.0),
            Layer::Seam => Pen { width: 0.18, grey: 0.0, dashes: &[4.0, 1.2] },
            Layer::Centre => Pen { width: 0.13, grey: 0.0, dashes: &[6.0, 1.5, 1.0, 1.5] },
            Layer::Station | Layer::Dimension => solid(0.13, 0.0),
            Layer::Text => solid(0.18, 0.0),
            Layer::Sheet => solid(0.13, 0.35),
            Layer::Cut | Layer::Mark => solid(0.13, 0.0),
        }
    }

    /// Its ink where that tells a machine what to do: programs of cutters take red for cuts and blue for marks (common
    /// practice, no source).
    pub fn ink(self) -> Option<Ink> {
        match self {
            Layer::Cut => Some(Ink::Red),
            Layer::Mark => Some(Ink::Blue),
            _ => None,
        }
    }
}
