//! Every rule a blade can break, in one list.

use thiserror::Error;

use crate::rules::field::Field;
use crate::rules::told::LengthUnit;
use crate::rules::{LEAST_WALL, THINNER};
use crate::spec::Stage;

/// One broken rule and the field that breaks it.
#[derive(Clone, Debug, PartialEq)]
pub struct Problem {
    /// The measure that breaks it.
    pub field: Field,
    /// What is wrong.
    pub fault: Fault,
}

/// Makes the list of rules: name, code, message and what would be accepted, side by side; `$l` writes lengths in them.
macro_rules! faults {
    ($l:ident; $($(#[$doc:meta])* $name:ident { $($(#[$field_doc:meta])* $field:ident : $kind:ty),* } $code:literal $message:expr => $help:expr;)*) => {
        /// The rules. [`Fault::message`] says what is wrong, [`Fault::help`] what would be accepted. Lengths in mm, angles in
        /// degrees; shown alone, messages are in mm.
        #[derive(Clone, Debug, Error, PartialEq)]
        #[non_exhaustive]
        #[error("{}", self.message(&LengthUnit::MILLIMETRES))]
        #[allow(missing_docs, reason = "the fields are named in the messages beside them")]
        pub enum Fault {
            $($(#[$doc])* $name { $($(#[$field_doc])* $field: $kind),* },)*
        }

        #[allow(unused_variables, reason = "not every message uses every field")]
        impl Fault {
            /// A short fixed name of the rule.
            pub fn code(&self) -> &'static str {
                match self { $(Fault::$name { .. } => $code,)* }
            }

            /// What is wrong, with lengths in this unit.
            pub fn message(&self, $l: &LengthUnit) -> String {
                match self { $(Fault::$name { $($field),* } => $message.to_string(),)* }
            }

            /// What would be accepted instead: given as said, it is accepted, for limits are rounded to the safe side.
            pub fn help(&self, $l: &LengthUnit) -> String {
                match self { $(Fault::$name { $($field),* } => $help.to_string(),)* }
            }
        }
    };
}

faults! { l;
    /// A length outside what fits the rest of the blade.
    Range { value: f64, low: f64, high: f64 } "range"
        format!("{} does not fit here", l.size(*value)) => format!("give a length from {} to {}", l.least(*low), l.most(*high));
    /// A line with fewer than two points.
    TooFewPoints {} "too-few-points"
        "a line needs at least two points" => "give its first point at the shoulder and its last at the point";
    /// A line that does not begin at the shoulder.
    NotAtShoulder { at: f64 } "not-at-shoulder"
        format!("the line begins at station {}", l.size(*at)) => "begin both lines at the shoulder, at 0";
    /// Stations that do not increase.
    Order { before: f64, at: f64 } "order"
        format!("station {} comes after {} but is no further from the shoulder", l.size(*at), l.size(*before))
            => "list the stations from the shoulder towards the point, each further than the last";
    /// A spline that runs backwards between its points.
    TurnsBack {} "turns-back"
        "the line turns back towards the shoulder between its points" => "space the points more evenly, or mark a corner";
    /// Lines that meet or cross before the point.
    Crossing { at: f64 } "lines-cross"
        format!("the back line and the edge line meet or cross at station {}", l.size(*at))
            => format!("keep the back above the edge (at least {} at the shoulder) all the way to the point", l.size(1.0));
    /// Lines that do not end together.
    TipOpen { apart: f64 } "tip-open"
        format!("the two lines end {} apart, which makes no point", l.size(*apart))
            => "end both lines in one point, or one above the other no further apart than half the breadth with tip.form = \"flat\"";
    /// A corner so near the point that no sections fit beyond it.
    CornerAtPoint { at: f64 } "corner-at-point"
        format!("the corner at station {} leaves no room for the point", l.size(*at))
            => format!("keep the last corner back from the point by at least {} plus the breadth of the tip flat", l.size(0.5));
    /// A rounding that does not fit between the lines.
    Rounding {} "rounding"
        "the rounded point does not fit between the two lines beyond their last corner" => "give a smaller radius, or another form of tip";
    /// A line that turns tighter than it is forged outside.
    ForgedTight { allowance: f64, at_back: bool } "forged-tight"
        format!(
            "the {} line turns in too tightly for {} to be forged outside it",
            if *at_back { "back" } else { "edge" }, l.size(*allowance)
        ) => "give a smaller allowance there, or ease the hollow of the line";
    /// A forged point further ahead than its lines reach.
    ForgedPointFar { most: f64 } "forged-point-far"
        format!("with this much at edge and back the forged lines meet {} ahead of the point", l.size(*most))
            => format!("give at most {} at the point, or more at edge and back", l.most(*most));
    /// A finished outline that is not within the forged one.
    ForgedInside { at: f64 } "forged-inside"
        format!("at station {}, the finished outline does not lie within the forged one", l.size(*at))
            => "give more at the point, or the same at edge, back and point";
    /// No thickness given.
    NoTaper {} "no-taper"
        "no thickness is given" => "give at least one [[taper]] with `at` and `back`";
    /// A crown or rounding too high for the thickness.
    Crown { height: f64, most: f64 } "back-form"
        format!("{} is too much for this thickness at the back", l.size(*height)) => format!("give at most {}", l.most(*most));
    /// A ricasso that reaches into the point.
    RicassoTooLong { reaches: f64, most: f64 } "ricasso-too-long"
        format!("the ricasso and its plunge reach station {}, into the point", l.size(*reaches))
            => format!("shorten length or plunge, so that both end before station {}", l.most(*most));
    /// A thickness at or under the edge's.
    ThinnerThanEdge { at: f64, thickness: f64, edge: f64, stage: Stage } "edge-thicker-than-back"
        format!("at station {}, the {stage} blade is {} thick, too thin for its edge of {}", l.size(*at), l.size(*thickness), l.size(*edge))
            => match edge + THINNER >= LEAST_WALL {
                true => format!("make the blade {} thicker there, or the edge thinner by as much", l.least(edge + THINNER - thickness)),
                false => format!("make the blade {} thicker there: no blade is thinner than {}", l.least(LEAST_WALL - thickness), l.size(LEAST_WALL)),
            };
    /// A thickness out of proportion.
    TooThick { at: f64, thickness: f64, breadth: f64, most: f64 } "too-thick"
        format!("at station {}, the blade would be {} thick, on a blade {} broad at the shoulder", l.size(*at), l.size(*thickness), l.size(*breadth))
            => format!("give at most {} there; is a decimal point out of place?", l.most(*most));
    /// An edge that grows from stage to stage.
    EdgeGrows { edge: f64, before: f64, stage: Stage } "edge-grows"
        format!("the {stage} edge of {} is thicker than the {} of the stage before", l.size(*edge), l.size(*before))
            => format!("give at most {}: grinding only takes steel away", l.most(*before));
    /// A section much thicker at the grind line than at the back.
    GrindThicker { grind: f64, most: f64 } "grind-thicker"
        format!("{} at the grind line is much thicker than the back", l.size(*grind))
            => format!("give at most {}, a fifth more than at the back", l.most(*most));
    /// A grind line too near the back.
    GrindLine { height: f64, most: f64 } "grind-line"
        format!("a grind line {} above the edge leaves no flank", l.size(*height)) => format!("give at most {}, or \"full\"", l.most(*most));
    /// A bevel radius that can't reach.
    BevelRadius { radius: f64, chord: f64, at: f64, least: Option<f64> } "bevel-radius"
        format!("a radius of {} can't reach across the {} of bevel at station {}", l.size(*radius), l.size(*chord), l.size(*at))
            => greater_radius(*least, l);
    /// A convex bevel standing proud of the flank.
    BevelProud { radius: f64, at: f64, least: Option<f64> } "bevel-proud"
        format!("a convex bevel of radius {} bulges beyond the flat at station {}", l.size(*radius), l.size(*at))
            => greater_radius(*least, l);
    /// A hollow that grinds through.
    BevelThrough { radius: f64, left: f64, at: f64, least: Option<f64> } "bevel-through"
        match *left > 0.0 {
            true => format!("a hollow of radius {} leaves only {} of steel at station {}", l.size(*radius), l.size(*left), l.size(*at)),
            false => format!("a hollow of radius {} grinds through the blade at station {}", l.size(*radius), l.size(*at)),
        } => format!("{}; or lower the grind line, or make the edge thicker", greater_radius(*least, l));
    /// A secondary bevel no steeper than the primary one.
    EdgeAngle { angle: f64, bevel: f64, at: f64 } "edge-angle"
        format!("the edge angle of {angle:.1} degrees is too near the bevel's own {bevel:.1} degrees at station {}", l.size(*at))
            => format!("give {:.1} degrees or more (5 % more than the bevel's)", ((10.5 * bevel).floor() + 1.0) / 10.0);
    /// A full tang without a ricasso.
    FullTangNeedsRicasso {} "full-tang-ricasso"
        "a full tang continues the unbevelled section of a ricasso, but there is no ricasso" => "add [ricasso] with length and plunge, or give a hidden tang";
    /// A tang root out of the shoulder's section.
    RootOutside { y: f64, out: f64, stage: Stage } "tang-root"
        format!(
            "the tang is bigger than the {stage} blade at the shoulder: it sticks out by {}, {} {} its centre line",
            l.size(*out), l.size(y.abs()), if *y < 0.0 { "below" } else { "above" }
        ) => format!(
            "make the tang {} thinner or narrower, or its shoulder radius smaller; or use `offset` to move the tang to where the blade is thicker",
            l.least(2.0 * out)
        );
    /// A hole out of the tang.
    HoleOutside { low: f64, high: f64, near: f64, far: f64 } "hole-outside"
        "the hole does not lie within the tang" => if low < high && near < far {
            format!(
                "for this diameter give `at` from {} to {} and `offset` from {} to {}",
                l.least(*near), l.most(*far), l.least(*low), l.most(*high)
            )
        } else {
            "give a smaller diameter: no place on the tang is broad enough".to_owned()
        };
    /// Two holes that meet.
    HolesMeet { other: usize } "holes-meet"
        format!("the hole meets hole number {}", other + 1) => format!("leave at least {} of steel between them", l.least(0.3));
    /// A fuller that runs into the point.
    FullerEnd { end: f64, most: f64 } "fuller-end"
        format!("the fuller ends at station {}, in the point", l.size(*end)) => format!("end it at {} or sooner", l.most(*most));
    /// A fuller shorter than its run-outs.
    FullerRuns { least: f64 } "fuller-runs"
        "the fuller is shorter than its run-in and run-out together" => format!("end it at {} or further on, or shorten run-in and run-out", l.least(*least));
    /// A fuller deeper than round.
    FullerDeep { depth: f64, most: f64 } "fuller-deep"
        format!("{} is too deep for the fuller's width", l.size(*depth)) => format!("give at most {} (0.45 of the width)", l.most(*most));
    /// A fuller in a curved bevel.
    FullerOnCurve {} "fuller-on-curve"
        "a fuller needs a flat flank, and a curved bevel reaches up to the back" => "give a grind line below the fuller, or a flat bevel";
    /// A fuller that would run into a full tang.
    FullerInFullTang {} "fuller-in-full-tang"
        "the fuller runs out through the shoulder into a full tang" => "start it beyond the shoulder, or give a hidden tang";
    /// Two fullers that meet.
    FullersMeet { other: usize } "fullers-meet"
        format!("the fuller meets fuller number {}", other + 1)
            => format!("keep {} of flank between them, or keep them apart along the blade", l.least(0.2));
    /// A fuller that leaves the flank.
    FullerOffFlank { at: f64, least: f64, most: f64, reach: Option<f64> } "fuller-off-flank"
        format!("at station {}, the fuller does not lie on the flank", l.size(*at)) => match (least < most, reach) {
            (true, Some(end)) => format!(
                "give `from_back` from {} to {} for this width and end; or end the fuller at {} or sooner",
                l.least(*least), l.most(*most), l.most(*end)
            ),
            (true, None) => format!("give `from_back` from {} to {} for this width", l.least(*least), l.most(*most)),
            (false, Some(end)) => format!("end it at {} or sooner; or make it narrower, or lower the grind line", l.most(*end)),
            (false, None) => {
                "make it narrower, or lower the grind line: the flank is too narrow for it".to_owned()
            }
        };
    /// A fuller that breaks through.
    FullerThrough { at: f64, left: f64 } "fuller-through"
        match *left > 0.0 {
            true => format!("at station {}, only {} of steel is left between the fullers", l.size(*at), l.size(*left)),
            false => format!("at station {}, the fullers break through the blade", l.size(*at)),
        } => format!(
            "leave at least {}: take {} off the depth of both sides together, or make the blade thicker by as much",
            l.size(0.3), l.least(0.3 - left)
        );
    /// A section that folds over itself.
    SectionFolds { at: f64, stage: Stage } "section-folds"
        format!("at station {}, the {stage} blade's section folds over itself", l.size(*at))
            => "lower the grind line, thin the back's form, or broaden the blade there";
}

/// The radius that would do.
fn greater_radius(least: Option<f64>, l: &LengthUnit) -> String {
    match least {
        Some(least) => format!("give a radius of {} or more", l.least(least)),
        None => "no radius fits this blade: give `bevel` as \"flat\"".to_owned(),
    }
}
