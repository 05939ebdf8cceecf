//! What may be asked for, as the command line spells it: stages, sorts of things, kinds of file.

use clap::ValueEnum;
use design::{Paper, Unit};

pub(crate) use look::StageName;

/// A sort of thing to make; each has a folder of its own.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, ValueEnum)]
pub(crate) enum Sort {
    /// The blade's solids and meshes
    Blade,
    /// The full-size template on paper
    Template,
    /// The bench sheet on paper
    Sheet,
    /// The profile plate
    Plate,
    /// Gauges for the grinder
    Gauge,
    /// Gauges of sheet steel, as drawings for a cutter
    Metal,
    /// Jig parts and stop blocks
    Jig,
    /// The bars of the billet as bodies of their own
    Bars,
    /// The layers on the surface, as pictures
    Layers,
    /// Pages for screen and phone: for the shop, with what to do next, and for the customer
    Page,
}

impl Sort {
    /// The folder of the output in which it stands; pages stand beside the folders.
    pub(crate) fn folder(self) -> &'static str {
        match self {
            Sort::Blade => "blade",
            Sort::Template => "template",
            Sort::Sheet => "sheet",
            Sort::Plate => "plate",
            Sort::Gauge => "gauge",
            Sort::Metal => "metal",
            Sort::Jig => "jig",
            Sort::Bars => "bars",
            Sort::Layers => "layers",
            Sort::Page => "",
        }
    }

    /// Whether it consists of parts to print or to make of steel.
    pub(crate) fn has_parts(self) -> bool {
        matches!(self, Sort::Plate | Sort::Gauge | Sort::Jig)
    }
}

/// A unit of lengths.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, ValueEnum)]
pub(crate) enum UnitName {
    /// Millimetres
    Mm,
    /// Inches, with the sizes that an inch shop owns
    In,
}

impl UnitName {
    pub(crate) fn unit(self) -> Unit {
        match self {
            UnitName::Mm => Unit::Millimetre,
            UnitName::In => Unit::Inch,
        }
    }
}

/// What the colours of layers tell.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, PartialOrd, Ord, ValueEnum)]
pub(crate) enum ColoursName {
    /// How the steels come out of the etch: greys show the order only, dark to bright, not how they will look
    #[default]
    Etched,
    /// Each steel in a colour of its own
    Steels,
    /// Each bar in a colour of its own
    Bars,
}

/// A side of the blade.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, ValueEnum)]
pub(crate) enum SideName {
    /// The right side: edge down, point away from you
    Right,
    /// The left side
    Left,
}

impl SideName {
    pub(crate) fn text(self) -> &'static str {
        match self {
            SideName::Right => "right",
            SideName::Left => "left",
        }
    }
}

/// A size of paper.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, ValueEnum)]
pub(crate) enum PaperName {
    /// 210 × 297 mm
    A4,
    /// 297 × 420 mm
    A3,
    /// 8.5 × 11 in
    Letter,
}

impl PaperName {
    pub(crate) fn paper(self) -> Paper {
        match self {
            PaperName::A4 => Paper::A4,
            PaperName::A3 => Paper::A3,
            PaperName::Letter => Paper::Letter,
        }
    }
}

/// A kind of file.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, ValueEnum)]
pub(crate) enum Kind {
    /// Exact solid for CAD (STEP AP242)
    Step,
    /// Triangle mesh (binary STL)
    Stl,
    /// Triangle mesh for printing (3MF)
    #[value(name = "3mf")]
    ThreeMf,
    /// Coloured body to look at (binary glTF)
    Glb,
    /// Pages to print at full size (PDF)
    Pdf,
    /// Drawing at full size (SVG)
    Svg,
    /// Drawing at full size for CAD and cutters (DXF)
    Dxf,
    /// Picture of the drawing (PNG)
    Png,
    /// Page for screen and phone (HTML)
    Html,
}

impl Kind {
    /// The ending of its files.
    pub(crate) fn extension(self) -> &'static str {
        match self {
            Kind::Step => "step",
            Kind::Stl => "stl",
            Kind::ThreeMf => "3mf",
            Kind::Glb => "glb",
            Kind::Pdf => "pdf",
            Kind::Svg => "svg",
            Kind::Dxf => "dxf",
            Kind::Png => "png",
            Kind::Html => "html",
        }
    }

    /// The manifest's word for it.
    pub(crate) fn exported(self) -> export::Kind {
        match self {
            Kind::Step => export::Kind::Step,
            Kind::Stl => export::Kind::Stl,
            Kind::ThreeMf => export::Kind::ThreeMf,
            Kind::Glb => export::Kind::Glb,
            Kind::Pdf => export::Kind::Pdf,
            Kind::Svg => export::Kind::Svg,
            Kind::Dxf => export::Kind::Dxf,
            Kind::Png => export::Kind::Png,
            Kind::Html => export::Kind::Html,
        }
    }

    /// Whether some things come without it unless it is asked for: what a printer or a cutter needs is there already.
    pub(crate) fn is_left_out(self) -> bool {
        matches!(self, Kind::Step | Kind::Stl | Kind::ThreeMf | Kind::Svg | Kind::Png)
    }

    /// Whether it holds a body that is printed or made, as parts are.
    pub(crate) fn holds_a_part(self) -> bool {
        matches!(self, Kind::Step | Kind::Stl | Kind::ThreeMf)
    }

    /// Whether a cutter reads it.
    pub(crate) fn guides_a_cutter(self) -> bool {
        matches!(self, Kind::Svg | Kind::Dxf)
    }

    /// Whether it holds a drawing, or a picture of one.
    pub(crate) fn holds_a_drawing(self) -> bool {
        !self.holds_a_body() && self != Kind::Html
    }

    /// Whether it holds a body; otherwise it holds a drawing, a picture or a page.
    pub(crate) fn holds_a_body(self) -> bool {
        self.holds_a_part() || self == Kind::Glb
    }
}
