//! The measures of a [`crate::Spec`] that a rule can find fault with.

use crate::spec::Stage;

/// One of the two lines of the side view.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum OutlineLine {
    /// The back line.
    Back,
    /// The edge line.
    Edge,
}

/// The measure that breaks a rule. Places in lists count from 0 in the order in which the spec gave them.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Field {
    /// The outline as a whole.
    Outline,
    /// One of its lines.
    OutlineLine(OutlineLine),
    /// A point of one of its lines.
    OutlinePoint(OutlineLine, usize),
    /// Where the edge begins to rise.
    Sweep,
    /// Height of the point over the edge.
    PointHeight,
    /// Station of the back's break.
    BreakAt,
    /// Breadth at the break.
    BreakBreadth,
    /// Station of the greatest breadth.
    BroadestAt,
    /// The greatest breadth.
    Broadest,
    /// How far before the point the back begins to drop.
    Drop,
    /// The form of the point.
    Tip,
    /// The thickness along the blade as a whole.
    Taper,
    /// The station of a thickness.
    TaperAt(usize),
    /// A thickness at the back.
    TaperBack(usize),
    /// A thickness at the grind line.
    TaperGrind(usize),
    /// The section as a whole.
    Section,
    /// The form of the back.
    BackForm,
    /// The height of the grind line.
    GrindLine,
    /// The radius of a hollow or convex bevel.
    BevelRadius,
    /// The ricasso with its plunge.
    Ricasso,
    /// Where a fuller starts.
    FullerStart(usize),
    /// Where a fuller ends.
    FullerEnd(usize),
    /// A fuller's depth.
    FullerDepth(usize),
    /// A fuller's distance from the back.
    FullerFromBack(usize),
    /// The form of the tang.
    TangForm,
    /// The tang's breadth at the shoulder.
    TangBreadth,
    /// The tang's thickness at the shoulder.
    TangThickness,
    /// The radius between tang and shoulder.
    ShoulderRadius,
    /// A hole in the tang.
    Hole(usize),
    /// What the stages still carry, as a whole.
    Stages,
    /// How much larger the outline is forged.
    ForgedOutline,
    /// What one stage still carries.
    Stage(Stage),
}
