//! Rules on the back line and the edge line.

use crate::outline::forms::{Lines, last_corner};
use crate::rules::violations::Violations;
use crate::rules::{Fault, Field, OutlineLine, Problem};
use crate::spec::{OutlineForm, Spec, Tip};

/// The rounded point does not fit.
pub(super) fn rounding() -> Problem {
    Problem { field: Field::Tip, fault: Fault::Rounding {} }
}

/// Rules on the two lines.
pub(super) fn lines(spec: &Spec, lines: &Lines) -> Result<(), Vec<Problem>> {
    let mut found = Violations::default();
    for (name, line) in [(OutlineLine::Back, &lines.back), (OutlineLine::Edge, &lines.edge)] {
        if line.turns_back() {
            found.add(field_of(spec, name), Fault::TurnsBack {});
        }
    }
    let end = lines.back.end().x.min(lines.edge.end().x);
    let root = lines.breadth(0.0);
    if root < 1.0 {
        found.add(field_of(spec, OutlineLine::Back), Fault::Crossing { at: 0.0 });
        return found.into_result();
    }
    let crossing = (1..400).map(|i| end * f64::from(i) / 400.0).find(|&x| lines.breadth(x) <= 0.0);
    if let Some(at) = crossing {
        found.add(field_of(spec, OutlineLine::Back), Fault::Crossing { at });
    }
    let gap = lines.back.end() - lines.edge.end();
    let apart = gap.length();
    let open = apart > 1e-9;
    let slanted = gap.y <= gap.x.abs() || spec.outline.tip == Tip::Point;
    if apart > 0.5 * root || (open && slanted) {
        found.add(Field::Tip, Fault::TipOpen { apart });
    } else if open && apart < 0.05 {
        // A flat under a twentieth of a millimetre can't be told from a point, nor printed.
        found.add(Field::Tip, Fault::Range { value: apart, low: 0.05, high: 0.5 * root });
    }
    let corner = last_corner(&lines.back).max(last_corner(&lines.edge));
    if corner > lines.length() - (0.5f64).max(apart) {
        found.add(field_of(spec, OutlineLine::Back), Fault::CornerAtPoint { at: corner });
    }
    found.into_result()
}

/// A line of points by itself; the lines of a named form are the outline as a whole.
fn field_of(spec: &Spec, line: OutlineLine) -> Field {
    match spec.outline.form {
        OutlineForm::Points { .. } => Field::OutlineLine(line),
        _ => Field::Outline,
    }
}
