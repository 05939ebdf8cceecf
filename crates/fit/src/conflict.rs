//! What targets of a pattern that can't all be reached cost each other.

use design::{Compared, Design, Figures, PatternTarget};

use crate::edit::Editor;
use crate::knob::Limit;
use crate::search::Search;
use crate::wanted::{Reached, Wanted};

/// Most targets that are told of: each takes a search of its own.
const MOST: usize = 4;
/// Steps of such a search, which begins at the best compromise: two or three lead to where a target goes first.
const STEPS: usize = 4;

/// For each target of the pattern that the best turns miss, `missed` by them: what is left of the other missed ones where it
/// goes before them, or that it can't be had even so.
pub(crate) fn conflicts(
    search: &Search<'_>,
    before: &Design,
    (turns, missed): (&[f64], &[PatternTarget]),
) -> Vec<String> {
    let all: Vec<usize> = (0..missed.len()).filter(|i| !missed[*i].is_reached()).collect();
    let (limits, editor, two_sided) = (search.limits, search.editor, search.two_sided);
    let own = |i: usize| conflict((limits, editor, two_sided), before, turns, (i, &all));
    // They don't depend on each other: one thread each.
    std::thread::scope(|scope| {
        let running: Vec<_> = all.iter().take(MOST).map(|&i| scope.spawn(move || own(i))).collect();
        let joined = running.into_iter().map(|one| one.join());
        joined.filter_map(|one| one.unwrap_or_else(|panic| std::panic::resume_unwind(panic))).collect()
    })
}

/// What is left of the `missed` targets where one of them goes before the others, in words; `None` where it is the only one.
fn conflict(
    (limits, editor, two_sided): (&[Limit], &Editor<'_>, usize),
    before: &Design,
    turns: &[f64],
    (own, missed): (usize, &[usize]),
) -> Option<String> {
    let yielding: Vec<usize> = missed.iter().copied().filter(|i| *i != own).collect();
    if yielding.is_empty() {
        return None;
    }
    let wanted = Wanted { yielding: yielding.clone() };
    let goal = |d: &Design| wanted.misses(d);
    let mut again =
        Search { limits, editor, goal: &goal, bars: Some(&wanted), two_sided, steps: STEPS, obstacle: None };
    let best = again.run_from(turns.to_vec());
    let (_, after, _) = again.made(before, &best);
    let reached = Reached::by(&after).pattern;
    let left: Vec<&PatternTarget> =
        yielding.iter().map(|&i| &reached[i]).filter(|t| !t.is_reached()).collect();
    Some(sentence(&reached[own], &left, before.figures()))
}

/// One target and what it leaves of the others.
fn sentence(own: &PatternTarget, left: &[&PatternTarget], figures: Figures) -> String {
    let [wanted, found] = own.words(figures);
    let about = own.about(figures);
    if !own.is_reached() {
        return format!("{about}: {wanted} can't be had within the limits, even before the others: {found}");
    }
    let one = |t: &&PatternTarget| {
        let [wanted, found] = t.words(figures);
        format!("{found} for {} ({wanted} asked)", t.about(figures))
    };
    let left: Vec<String> = left.iter().map(one).collect();
    format!("{about}: {wanted} leaves {}", left.join(", and "))
}
