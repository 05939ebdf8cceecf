//! Where stretches of twist lie that are given by stations of the finished blade.

use blade::Blade;

use crate::file::checker::Checker;
use crate::file::draft::Field;
use crate::file::problem::Fault;
use crate::tables::billet::pitch::on_blade;
use crate::tables::billet::twist::TwistDraft;

/// Stations at which each stretch begins and ends, mm. One that is left out is that of the neighbour, the shoulder or
/// the point; `None` where any was refused.
pub(crate) fn check(
    list: &[Field<TwistDraft>],
    blade: Option<&Blade>,
    c: &mut Checker,
) -> Option<Vec<[f64; 2]>> {
    let given: Vec<[Option<f64>; 2]> = list
        .iter()
        .map(|f| [&f.value.from, &f.value.to].map(|end| on_blade(end.as_ref(), blade, c)))
        .collect();
    let ends = list.iter().enumerate().map(|(i, field)| ends(i, field, &given, blade, c));
    let ends: Vec<Option<[f64; 2]>> = ends.collect();
    let ends: Vec<[f64; 2]> = ends.into_iter().collect::<Option<_>>()?;
    in_order(list, &ends, c).then_some(ends)
}

/// Ends of one stretch, its own or its neighbours'.
fn ends(
    i: usize,
    field: &Field<TwistDraft>,
    given: &[[Option<f64>; 2]],
    blade: Option<&Blade>,
    c: &mut Checker,
) -> Option<[f64; 2]> {
    let before = i.checked_sub(1).map(|before| given[before][1]);
    let from = given[i][0].or(before.unwrap_or(Some(0.0)));
    let next = given.get(i + 1).map(|next| next[0]);
    let to = given[i][1].or(next.unwrap_or(blade.map(Blade::length)));
    let untold = i > 0 && !c.document.has(&format!("{}.to", before_of(field, i)));
    if from.is_none() && untold {
        let why = "give the station where it begins, or `to` of the stretch before it";
        c.missing(&format!("{}.from", field.at), why);
    }
    Some([from?, to?])
}

/// Path of the stretch before the one at place `i` of the list.
fn before_of(field: &Field<TwistDraft>, i: usize) -> String {
    let list = field.at.rfind('[').map_or("", |end| &field.at[..end]);
    format!("{list}[{}]", i - 1)
}

/// Whether stretches follow each other from the shoulder on; tells the first that does not.
fn in_order(list: &[Field<TwistDraft>], ends: &[[f64; 2]], c: &mut Checker) -> bool {
    let mut reached = 0.0;
    for (i, (field, &[from, to])) in list.iter().zip(ends).enumerate() {
        let (begins, own) = (format!("{}.from", field.at), format!("{}.to", field.at));
        if from < reached {
            let fault = Fault::Overlap { at: c.length_text(from), end: c.length_text(reached) };
            c.fault(&begins, &fault);
            return false;
        }
        if to <= from {
            let fault = Fault::Order { at: c.length_text(to), before: c.length_text(from) };
            // An end that is not its own is told where it stands.
            let next = list.get(i + 1).map(|next| format!("{}.from", next.at));
            let told = if c.document.has(&own) { own } else { next.unwrap_or(begins) };
            c.fault(&told, &fault);
            return false;
        }
        reached = to;
    }
    true
}
