//! Eases what the file left to us until the blade is accepted: defaults give way, given values never.

use blade::{Blade, Fault, Problem, Spec, TangForm};

use crate::file::document::Document;
use crate::tables::blade::tang::{END_BREADTH_SHARE, END_THICKNESS_SHARE};

/// Most attempts: enough to thin the tang to a fifth and to steepen the edge to its limit.
const MOST_TRIES: usize = 16;
/// How much steeper than the primary bevel the edge becomes: clearly more than the 1.05 that is required.
const STEEPER: f64 = 1.3;
/// Steepest edge ever chosen, degrees: blunter is no edge.
const STEEPEST: f64 = 90.0;
/// How much thinner the tang becomes at each attempt.
const THINNER: f64 = 0.9;
/// How much narrower it becomes at each attempt, from below: the bevel leaves less room there than the flank.
const NARROWER: f64 = 0.93;
/// Thinnest tang ever chosen, mm.
const THINNEST_TANG: f64 = 0.5;
/// Narrowest tang ever chosen, mm.
const NARROWEST_TANG: f64 = 2.0;

/// The blade of `spec`, with the edge angle and the tang's thickness and breadth eased where the file gives none.
///
/// # Errors
/// Every rule that the blade still breaks.
pub(crate) fn blade(mut spec: Spec, document: &Document) -> Result<Blade, Vec<Problem>> {
    for _ in 0..MOST_TRIES {
        match Blade::new(&spec) {
            Err(problems) if ease(&mut spec, &problems, document) => {}
            judged => return judged,
        }
    }
    Blade::new(&spec)
}

/// Changes what may be changed; whether anything was.
fn ease(spec: &mut Spec, problems: &[Problem], document: &Document) -> bool {
    let mut eased = false;
    for problem in problems {
        eased |= match problem.fault {
            Fault::EdgeAngle { bevel, .. } if !document.has("stages.finished.edge_angle") => {
                steepen(spec, bevel)
            }
            Fault::RootOutside { .. } => {
                let narrowed = narrow(spec, document);
                thin(spec, document) || narrowed
            }
            _ => false,
        };
    }
    eased
}

/// Makes the edge steeper than a primary bevel of this included angle, degrees.
fn steepen(spec: &mut Spec, bevel: f64) -> bool {
    let wanted = (STEEPER * bevel).min(STEEPEST).to_radians();
    let steeper = spec.stages.edge_angle.is_some_and(|now| wanted > now);
    if steeper {
        spec.stages.edge_angle = Some(wanted);
    }
    steeper
}

/// Makes the tang narrower at the shoulder, its upper border staying where it is.
fn narrow(spec: &mut Spec, document: &Document) -> bool {
    let TangForm::Hidden { breadth, .. } = &mut spec.tang.form else { return false };
    if document.has("tang.breadth") || document.has("tang.offset") || *breadth * NARROWER < NARROWEST_TANG {
        return false;
    }
    spec.tang.offset += 0.5 * (1.0 - NARROWER) * *breadth;
    *breadth *= NARROWER;
    if !document.has("tang.end_breadth") {
        spec.tang.end_breadth = END_BREADTH_SHARE * *breadth;
    }
    true
}

/// Makes a hidden tang that the file gives no thickness thinner; `false` where there is none, or no thinner one.
fn thin(spec: &mut Spec, document: &Document) -> bool {
    let TangForm::Hidden { thickness, .. } = &mut spec.tang.form else { return false };
    if document.has("tang.thickness") || *thickness * THINNER < THINNEST_TANG {
        return false;
    }
    *thickness *= THINNER;
    if !document.has("tang.end_thickness") {
        spec.tang.end_thickness = END_THICKNESS_SHARE * *thickness;
    }
    true
}
