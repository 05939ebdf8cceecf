//! What a blade is asked to be: plain measures in millimetres and radians, not yet checked together.

use glam::DVec2;

/// Everything that shapes one blade. The design file fills it in; `Blade::new` checks it as a whole.
#[derive(Clone, Debug, PartialEq)]
pub struct Spec {
    /// The two lines seen from the side, and the point.
    pub outline: Outline,
    /// The section square to the blade.
    pub section: Section,
    /// Thickness along the blade, at least one station, in increasing `at`.
    pub taper: Vec<TaperStation>,
    /// An unbevelled stretch next to the shoulder.
    pub ricasso: Option<Ricasso>,
    /// Grooves along the flanks.
    pub fullers: Vec<Fuller>,
    /// The part inside the grip.
    pub tang: Tang,
    /// What each stage of the work still carries.
    pub stages: Stages,
}

/// The blade seen from the side.
#[derive(Clone, Debug, PartialEq)]
pub struct Outline {
    /// How the two lines are given.
    pub form: OutlineForm,
    /// How they end.
    pub tip: Tip,
}

/// The two lines: by own points, or by a named form from a few dimensions.
#[derive(Clone, Debug, PartialEq)]
pub enum OutlineForm {
    /// Own points. x from the shoulder (the first point of each line has x = 0), y from any straight base
    /// line, up towards the back. Both lines end at the point.
    Points {
        /// The back line, from the shoulder to the point.
        back: Vec<OutlinePoint>,
        /// The edge line, from the shoulder to the point.
        edge: Vec<OutlinePoint>,
    },
    /// Straight back; straight edge that sweeps up to the point over `sweep`.
    StraightBack {
        /// Shoulder to point, mm.
        length: f64,
        /// Breadth at the shoulder, mm.
        breadth: f64,
        /// Length over which the edge sweeps up to the point, mm.
        sweep: f64,
        /// Height of the point above the edge's base line, mm.
        point_height: f64,
    },
    /// Back straight to an angle (the break), then straight down to the point; edge straight, sweeping up
    /// over `sweep` when that is not zero.
    BrokenBack {
        /// Shoulder to point, mm.
        length: f64,
        /// Breadth at the shoulder, mm.
        breadth: f64,
        /// Station of the break, mm.
        break_at: f64,
        /// Breadth at the break, mm.
        break_breadth: f64,
        /// Length over which the edge sweeps up to the point, mm; zero for a straight edge.
        sweep: f64,
        /// Height of the point above the edge's base line, mm.
        point_height: f64,
    },
    /// Back in one curve from the shoulder down to the point, broadest at `broadest_at`.
    CurvedBack {
        /// Shoulder to point, mm.
        length: f64,
        /// Breadth at the shoulder, mm.
        breadth: f64,
        /// Station of the greatest breadth, mm.
        broadest_at: f64,
        /// The greatest breadth, mm.
        broadest: f64,
        /// Length over which the edge sweeps up to the point, mm; zero for a straight edge.
        sweep: f64,
        /// Height of the point above the edge's base line, mm.
        point_height: f64,
    },
    /// Back straight, then dropping in a curve over `drop` to the point; edge sweeping up over `sweep`.
    DroppedPoint {
        /// Shoulder to point, mm.
        length: f64,
        /// Breadth at the shoulder, mm.
        breadth: f64,
        /// Length over which the back drops to the point, mm.
        drop: f64,
        /// Length over which the edge sweeps up to the point, mm.
        sweep: f64,
        /// Height of the point above the edge's base line, mm.
        point_height: f64,
    },
}

/// A point of an outline.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct OutlinePoint {
    /// Where, mm.
    pub at: DVec2,
    /// Whether the line turns sharply here; otherwise it runs through smoothly.
    pub corner: bool,
}

/// How the lines end.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Tip {
    /// A small flat of this breadth (mm) across the point, as a real blade has before sharpening.
    Flat {
        /// Breadth of the flat, mm.
        breadth: f64,
    },
    /// The lines meet in one exact point.
    Point,
    /// A rounded point: an arc of this radius (mm) tangent to both lines.
    Round {
        /// Radius of the rounding, mm.
        radius: f64,
    },
}

/// The section at a station.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Section {
    /// The face between grind line and edge.
    pub bevel: Bevel,
    /// Which sides are bevelled.
    pub sides: Sides,
    /// Where the bevel begins.
    pub grind_line: GrindLine,
    /// The back's form across the thickness.
    pub back: Back,
}

/// The face between grind line and edge.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Bevel {
    /// Plane.
    Flat,
    /// Hollow ground to a wheel of this radius, mm.
    Hollow {
        /// Wheel radius, mm.
        radius: f64,
    },
    /// Bulging outwards with this radius, mm.
    Convex {
        /// Radius across the bevel, mm.
        radius: f64,
    },
}

/// Sides of the blade. Held with the edge down and the point away, right is +z and left is −z.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Sides {
    /// Both alike.
    Both,
    /// Only +z.
    Right,
    /// Only −z.
    Left,
}

/// Where the bevel begins.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum GrindLine {
    /// At the back: no flank is left.
    Full,
    /// This far from the edge, mm, square to the blade; less where the blade narrows to the point.
    Height(f64),
    /// This share of the breadth from the edge, between 0 and 1.
    Share(f64),
}

/// The back's form across the thickness.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Back {
    /// Square and flat.
    Flat,
    /// Flat with both corners rounded to this radius, mm.
    Rounded {
        /// Corner radius, mm.
        radius: f64,
    },
    /// One arc across the whole back, this high in the middle, mm.
    Crowned {
        /// Height of the crown over the back's corners, mm.
        height: f64,
    },
}

/// Thickness at a station, as finished.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct TaperStation {
    /// Distance from the shoulder, mm.
    pub at: f64,
    /// Thickness at the back, mm.
    pub back: f64,
    /// Thickness at the grind line, mm; as at the back when absent.
    pub grind: Option<f64>,
}

/// An unbevelled stretch next to the shoulder.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Ricasso {
    /// Length from the shoulder, mm.
    pub length: f64,
    /// Length over which the bevel then plunges to its full depth, mm.
    pub plunge: f64,
}

/// A groove along the flank.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Fuller {
    /// Station where it begins, mm; 0 runs it out through the shoulder.
    pub start: f64,
    /// Station where it ends, mm.
    pub end: f64,
    /// Length over which its depth grows from nothing at the start, mm; ignored when it starts at 0.
    pub run_in: f64,
    /// Length over which its depth fades at the end, mm.
    pub run_out: f64,
    /// Distance of its upper border from the back line, mm.
    pub from_back: f64,
    /// Width, mm.
    pub width: f64,
    /// Depth below the flank, mm.
    pub depth: f64,
    /// Sides it lies on.
    pub sides: Sides,
}

/// The part inside the grip.
#[derive(Clone, Debug, PartialEq)]
pub struct Tang {
    /// Hidden or full.
    pub form: TangForm,
    /// From the shoulder to its end, mm.
    pub length: f64,
    /// Breadth at its end, mm.
    pub end_breadth: f64,
    /// Thickness at its end, mm.
    pub end_thickness: f64,
    /// How far its centre line lies above the middle of the blade's breadth at the shoulder, mm.
    pub offset: f64,
    /// Round holes through it.
    pub holes: Vec<Hole>,
}

/// Hidden or full.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum TangForm {
    /// Narrower and thinner than the blade, tapering into the grip.
    Hidden {
        /// Breadth at the shoulder, beyond the shoulder radius, mm.
        breadth: f64,
        /// Thickness at the shoulder, mm.
        thickness: f64,
        /// Radius of the inside corner between tang and shoulder, seen from the side, mm.
        shoulder_radius: f64,
    },
    /// As broad and thick as the ricasso it continues.
    Full,
}

/// A round hole through the tang.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Hole {
    /// Distance of its centre from the shoulder, along the tang, mm (positive).
    pub at: f64,
    /// Height of its centre above the tang's centre line, mm.
    pub offset: f64,
    /// Diameter, mm.
    pub diameter: f64,
}

/// What each stage of the work still carries beyond the finished blade.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Stages {
    /// Steel left on each side after the hammer, beyond the ground blade, mm.
    pub forged_allowance: f64,
    /// Thickness of the edge after the hammer, mm.
    pub forged_edge: f64,
    /// How much larger the outline is forged than it will be.
    pub forged_outline: OutlineAllowance,
    /// Steel left on each side before hardening, beyond the finished blade, mm.
    pub ground_allowance: f64,
    /// Thickness of the edge flat before hardening, mm.
    pub ground_edge: f64,
    /// Thickness of the primary bevel at the edge as finished, before the secondary bevel, mm.
    pub finished_edge: f64,
    /// Included angle of the secondary bevel, rad; without it the finished edge stays flat.
    pub edge_angle: Option<f64>,
}

/// Steel that the forged blade's outline carries beyond the finished one; grinding takes it off before hardening. A hidden
/// tang carries none.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub struct OutlineAllowance {
    /// Square to the edge line, mm.
    pub edge: f64,
    /// Square to the back line, mm.
    pub back: f64,
    /// Ahead of the point, mm; without it the greater of the two, as far as the lines reach.
    pub point: Option<f64>,
}

impl OutlineAllowance {
    /// Whether the forged outline is the finished one.
    pub fn is_none(&self) -> bool {
        self.edge <= 0.0 && self.back <= 0.0 && self.point.is_none_or(|p| p <= 0.0)
    }

    /// This share of the allowance.
    pub(crate) fn scaled(self, by: f64) -> OutlineAllowance {
        OutlineAllowance { edge: by * self.edge, back: by * self.back, point: self.point.map(|p| by * p) }
    }
}

/// The three solids of one design.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum Stage {
    /// After the hammer and hot straightening.
    Forged,
    /// Ground, before hardening.
    Ground,
    /// Finished.
    Finished,
}

/// The two parts of the steel: they meet in the shoulder plane.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum Part {
    /// From the shoulder to the point.
    Blade,
    /// Behind the shoulder.
    Tang,
}

impl Part {
    /// Both, in the order in which the laid billet is told.
    pub const ALL: [Part; 2] = [Part::Blade, Part::Tang];

    /// The part that station `x` (mm from the shoulder, the point ahead) lies on; the shoulder plane is the blade's.
    pub fn at(x: f64) -> Part {
        if x < 0.0 { Part::Tang } else { Part::Blade }
    }
}

impl std::fmt::Display for Stage {
    fn fmt(&self, f: &mut std::fmt::Formatter) -> std::fmt::Result {
        f.write_str(self.name())
    }
}

impl Stage {
    /// All stages, in the order of the work.
    pub const ALL: [Stage; 3] = [Stage::Forged, Stage::Ground, Stage::Finished];

    /// The stage's name in files and on the command line.
    pub fn name(self) -> &'static str {
        match self {
            Stage::Forged => "forged",
            Stage::Ground => "ground",
            Stage::Finished => "finished",
        }
    }
}
