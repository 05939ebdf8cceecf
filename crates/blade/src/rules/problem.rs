//! Every rule a blade can break, in one list.

use thiserror::Error;

use crate::rules::field::Field;
use crate::spec::Stage;

/// One broken rule and the field that breaks it.
#[derive(Clone, Debug, PartialEq)]
pub struct Problem {
    /// The measure that breaks it.
    pub field: Field,
    /// What is wrong.
    pub fault: Fault,
}

/// Makes the list of rules: name, code, message and what would be accepted, side by side.
macro_rules! faults {
    ($($(#[$doc:meta])* $name:ident { $($(#[$field_doc:meta])* $field:ident : $kind:ty),* } $code:literal $message:literal => $help:expr;)*) => {
        /// The rules. Each message says what is wrong; [`Fault::help`] says what would be accepted. Lengths in
        /// mm, angles in degrees.
        #[derive(Clone, Debug, Error, PartialEq)]
        #[non_exhaustive]
        #[allow(missing_docs, reason = "the fields are named in the messages beside them")]
        pub enum Fault {
            $($(#[$doc])* #[error($message)] $name { $($(#[$field_doc])* $field: $kind),* },)*
        }

        impl Fault {
            /// A short fixed name of the rule.
            pub fn code(&self) -> &'static str {
                match self { $(Fault::$name { .. } => $code,)* }
            }

            /// What would be accepted instead.
            #[allow(unused_variables, reason = "not every hint uses every field")]
            pub fn help(&self) -> String {
                match self { $(Fault::$name { $($field),* } => $help.to_string(),)* }
            }
        }
    };
}

faults! {
    /// A length outside what fits the rest of the blade.
    Range { value: f64, low: f64, high: f64 } "range"
        "{value:.3} mm does not fit here" => format!("give a length from {low:.3} mm to {high:.3} mm");
    /// A line with fewer than two points.
    TooFewPoints {} "too-few-points"
        "a line needs at least two points" => "give its first point at the shoulder and its last at the point";
    /// A line that does not begin at the shoulder.
    NotAtShoulder { at: f64 } "not-at-shoulder"
        "the line begins at station {at:.3} mm" => "begin both lines at the shoulder, at 0";
    /// Stations that do not increase.
    Order { before: f64, at: f64 } "order"
        "station {at:.3} mm comes after {before:.3} mm but is no further from the shoulder" => "list the stations from the shoulder towards the point, each more than 0.001 mm further than the last";
    /// A spline that runs backwards between its points.
    TurnsBack {} "turns-back"
        "the line turns back towards the shoulder between its points" => "space the points more evenly, or mark a corner";
    /// Lines that meet or cross before the point.
    Crossing { at: f64 } "lines-cross"
        "the back line and the edge line meet or cross at station {at:.1} mm" => "keep the back above the edge (at least 1 mm at the shoulder) all the way to the point";
    /// Lines that do not end together.
    TipOpen { apart: f64 } "tip-open"
        "the two lines end {apart:.3} mm apart, which makes no point" => "end both lines in one point, or one above the other no further apart than half the breadth with tip.form = \"flat\"";
    /// A corner so near the point that no sections fit beyond it.
    CornerAtPoint { at: f64 } "corner-at-point"
        "the corner at station {at:.3} mm leaves no room for the point" => "keep the last corner at least 0.5 mm, and the tip flat's breadth, before the point";
    /// A rounding that does not fit between the lines.
    Rounding {} "rounding"
        "the rounded point does not fit between the two lines beyond their last corner" => "give a smaller radius, or another form of tip";
    /// No thickness given.
    NoTaper {} "no-taper"
        "no thickness is given" => "give at least one [[taper]] with `at` and `back`";
    /// A crown or rounding too high for the thickness.
    Crown { height: f64, most: f64 } "back-form"
        "{height:.3} mm is too much for this thickness at the back" => format!("give at most {most:.3} mm");
    /// A ricasso that reaches into the point.
    RicassoTooLong { reaches: f64, most: f64 } "ricasso-too-long"
        "the ricasso and its plunge reach station {reaches:.3} mm, into the point" => format!("let length and plunge together end before {most:.1} mm");
    /// A thickness at or under the edge's.
    ThinnerThanEdge { at: f64, thickness: f64, edge: f64, stage: Stage } "edge-thicker-than-back"
        "at station {at:.1} mm the {stage} blade would be {thickness:.3} mm thick, no thicker than its edge of {edge:.3} mm" => format!("make the blade at least {:.3} mm thick there, or the edge thinner", edge + 0.1);
    /// A thickness out of proportion.
    TooThick { at: f64, thickness: f64, breadth: f64, most: f64 } "too-thick"
        "at station {at:.1} mm the blade would be {thickness:.2} mm thick, on a blade {breadth:.2} mm broad at the shoulder" => format!("give at most {most:.2} mm there; is a decimal point out of place?");
    /// An edge that grows from stage to stage.
    EdgeGrows { edge: f64, before: f64, stage: Stage } "edge-grows"
        "the {stage} edge of {edge:.3} mm is thicker than the {before:.3} mm of the stage before" => format!("give at most {before:.3} mm: grinding only takes steel away");
    /// A section much thicker at the grind line than at the back.
    GrindThicker { grind: f64, most: f64 } "grind-thicker"
        "{grind:.3} mm at the grind line is much thicker than the back" => format!("give at most {most:.3} mm, a fifth more than at the back");
    /// A grind line too near the back.
    GrindLine { height: f64, most: f64 } "grind-line"
        "a grind line {height:.3} mm above the edge leaves no flank" => format!("give at most {most:.3} mm, or \"full\"");
    /// A bevel radius that can't reach.
    BevelRadius { radius: f64, chord: f64, at: f64 } "bevel-radius"
        "a radius of {radius:.3} mm can't reach across the {chord:.3} mm of bevel at station {at:.1} mm" => format!("give at least {:.3} mm", chord / 1.6);
    /// A convex bevel standing proud of the flank.
    BevelProud { radius: f64, least: f64, at: f64 } "bevel-proud"
        "a convex bevel of radius {radius:.3} mm bulges beyond the flat at station {at:.1} mm" => format!("give at least {least:.1} mm");
    /// A hollow that grinds through.
    BevelThrough { radius: f64, left: f64, at: f64 } "bevel-through"
        "a hollow of radius {radius:.3} mm leaves {left:.3} mm of steel at station {at:.1} mm" => "give a larger radius, a lower grind line or a thicker edge";
    /// A secondary bevel no steeper than the primary one.
    EdgeAngle { angle: f64, bevel: f64, at: f64 } "edge-angle"
        "the edge angle of {angle:.1} degrees is no steeper than the bevel's own {bevel:.1} degrees at station {at:.1} mm" => format!("give more than {:.1} degrees, or a higher grind line", 1.05 * bevel);
    /// A full tang without a ricasso.
    FullTangNeedsRicasso {} "full-tang-ricasso"
        "a full tang continues the unbevelled section of a ricasso, and there is none" => "add [ricasso] with length and plunge, or give a hidden tang";
    /// A tang root out of the shoulder's section.
    RootOutside { y: f64, out: f64, stage: Stage } "tang-root"
        "the tang is bigger than the {stage} blade at the shoulder: {y:.1} mm above the tang's centre line it is {out:.2} mm too thick or too broad" => "make the tang thinner or narrower, its shoulder radius smaller, or move it to where the blade is thicker with `offset`";
    /// A hole out of the tang.
    HoleOutside { low: f64, high: f64, near: f64, far: f64 } "hole-outside"
        "the hole does not lie within the tang" => if low < high && near < far {
            format!("for this diameter give `at` from {near:.2} to {far:.2} mm and `offset` from {low:.2} to {high:.2} mm")
        } else {
            "give a smaller diameter: no place on the tang is broad enough".to_owned()
        };
    /// Two holes that meet.
    HolesMeet { other: usize } "holes-meet"
        "the hole meets hole {other} (counted from 0)" => "leave at least 0.3 mm of steel between them";
    /// A fuller that runs into the point.
    FullerEnd { end: f64, most: f64 } "fuller-end"
        "the fuller ends at station {end:.3} mm, in the point" => format!("end it before {most:.1} mm");
    /// A fuller shorter than its run-outs.
    FullerRuns { least: f64 } "fuller-runs"
        "the fuller is shorter than its run-in and run-out together" => format!("end it at {least:.1} mm or beyond, or shorten them");
    /// A fuller deeper than round.
    FullerDeep { depth: f64, most: f64 } "fuller-deep"
        "{depth:.3} mm is too deep for the fuller's width" => format!("give at most {most:.3} mm (0.45 of the width)");
    /// A fuller in a curved bevel.
    FullerOnCurve {} "fuller-on-curve"
        "a fuller needs a flat flank, and a curved bevel reaches up to the back" => "give a grind line below the fuller, or a flat bevel";
    /// A fuller that would run into a full tang.
    FullerInFullTang {} "fuller-in-full-tang"
        "the fuller runs out through the shoulder into a full tang" => "start it beyond the shoulder, or give a hidden tang";
    /// Two fullers that meet.
    FullersMeet { other: usize } "fullers-meet"
        "the fuller meets fuller {other} (counted from 0)" => "keep 0.2 mm of flank between them, or keep them apart along the blade";
    /// A fuller that leaves the flank.
    FullerOffFlank { at: f64, least: f64, most: f64 } "fuller-off-flank"
        "at station {at:.1} mm the fuller does not lie on the flank" => if least < most {
            format!("there `from_back` can be {least:.2} to {most:.2} mm for this width; or end the fuller sooner")
        } else {
            "make it narrower, end it sooner, or lower the grind line: there the flank is too narrow for it".to_owned()
        };
    /// A fuller that breaks through.
    FullerThrough { at: f64, left: f64 } "fuller-through"
        "at station {at:.1} mm the fuller leaves {left:.3} mm of steel" => "leave at least 0.3 mm";
    /// A section that folds over itself.
    SectionFolds { at: f64, stage: Stage } "section-folds"
        "at station {at:.1} mm the {stage} blade's section folds over itself" => "lower the grind line, thin the back's form, or broaden the blade there";
}
