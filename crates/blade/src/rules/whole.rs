//! All rules in their order: each group is tried once what it rests on holds.

use crate::form::Form;
use crate::loft::spans;
use crate::outline::forms;
use crate::rules::violations::Violations;
use crate::rules::{Fault, Field, Problem, border, fullers, lines, measures, tang, thickness};
use crate::spec::Spec;

/// The form of a blade that keeps every rule.
///
/// # Errors
/// Every rule that is broken, as far as later rules can still be judged.
pub(crate) fn check(spec: &Spec) -> Result<Form, Vec<Problem>> {
    measures::measures(spec)?;
    let outline = forms::lines(&spec.outline).map_err(|_| vec![lines::rounding()])?;
    lines::lines(spec, &outline)?;
    let unforgeable = |fault| vec![Problem { field: Field::ForgedOutline, fault }];
    let form = Form::new(spec, &outline).map_err(unforgeable)?;
    whole(spec, &form)?;
    Ok(form)
}

/// Rules that need the whole form.
fn whole(given: &Spec, form: &Form) -> Result<(), Vec<Problem>> {
    let mut found = Violations::default();
    ricasso(form, &mut found);
    thickness::thickness(form, &mut found);
    thickness::bevel(form, &mut found);
    tang::tang(form, &mut found);
    fullers::fullers(given, form, &mut found);
    if found.is_empty() {
        border::sections(form, &mut found);
    }
    found.into_result()
}

/// The ricasso ends before the sections fan out.
fn ricasso(form: &Form, found: &mut Violations) {
    let Some(r) = form.spec.ricasso else { return };
    let most = form.side.fan.start - spans::MERGE;
    if r.length + r.plunge > most {
        found.add(Field::Ricasso, Fault::RicassoTooLong { reaches: r.length + r.plunge, most });
    }
}
