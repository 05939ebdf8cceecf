//! The `[outline]` table: the blade seen from the side.

use blade::{Outline, OutlineForm, OutlinePoint, Tip};
use glam::DVec2;
use schemars::JsonSchema;

use crate::file::checker::{Checker, REACH, SIGNED};
use crate::file::draft::{Field, Length, Place, Read, table, words};
use crate::file::problem::{Fault, Problems};
use crate::unit::quantity::Amount;

/// Most points in one line: a hand-drawn outline needs a dozen, a traced one a hundred.
const MOST_POINTS: usize = 200;
/// Blade lengths accepted, mm.
const LENGTHS: std::ops::RangeInclusive<f64> = 20.0..=3000.0;
/// Blade breadths accepted, mm.
const BREADTHS: std::ops::RangeInclusive<f64> = 3.0..=300.0;
/// Breadth of the flat at the point unless given, mm: thin enough to sharpen away, thick enough to harden.
const TIP_FLAT: f64 = 1.0;

words! {
    /// How the outline is given.
    Form {
        /// Straight back; the edge sweeps up to the point.
        StraightBack = "straight-back",
        /// Back straight to an angle, then straight down to the point.
        BrokenBack = "broken-back",
        /// Back in one curve from the shoulder down to the point.
        CurvedBack = "curved-back",
        /// Back straight, then dropping in a curve to the point.
        DroppedPoint = "dropped-point",
        /// Own points for both lines.
        Points = "points",
    }
}

words! {
    /// How the lines end.
    TipForm {
        /// A small flat across the point.
        Flat = "flat",
        /// One exact point.
        Point = "point",
        /// An arc tangent to both lines.
        Round = "round",
    }
}

table! {
    /// How the lines end. Default: a flat of 1 mm.
    TipDraft {
        /// `flat` (default), `point` or `round`.
        form: TipForm,
        /// Breadth of the flat. Default 1 mm. Not with own points, whose ends make the flat.
        breadth: Length,
        /// Radius of the rounding.
        radius: Length,
    }
}

table! {
    /// A point of an outline that may also be a sharp corner.
    PointDraft {
        /// Station and height.
        #[schemars(required)]
        at: [Field<Length>; 2],
        /// Whether the line turns sharply here. Default false.
        corner: bool,
    }
}

/// A point as `[station, height]`, or as a table.
#[derive(Debug, JsonSchema)]
#[schemars(untagged)]
pub(crate) enum Entry {
    /// Station and height.
    Pair([Field<Length>; 2]),
    /// A table with `at` and `corner`.
    Table(PointDraft),
}

impl Read for Entry {
    const WANTED: &'static str = "a point: [station, height], or { at = [station, height], corner = true }";

    fn read(place: &Place, found: &mut Problems) -> Option<Self> {
        let value = place.value.get_ref();
        if value.as_table().is_some() {
            return PointDraft::read(place, found).map(Entry::Table);
        }
        if value.as_array().is_some() {
            return Read::read(place, found).map(Entry::Pair);
        }
        place.wrong_kind(found, Self::WANTED);
        None
    }
}

table! {
    /// The blade seen from the side.
    OutlineDraft {
        /// How the outline is given. Default `broken-back`.
        form: Form,
        /// From the shoulder to the point. Needed by every form but `points`.
        length: Length,
        /// Breadth at the shoulder. Needed by every form but `points`.
        breadth: Length,
        /// Length over which the edge sweeps up to the point. Default 2.5 breadths (at most 0.6 lengths) for
        /// straight-back and dropped-point, 0 for broken-back and curved-back.
        sweep: Length,
        /// Height of the point above the edge's base line. Default: up to the back for straight-back, half the breadth
        /// for dropped-point, 0 otherwise.
        point_height: Length,
        /// broken-back: station of the angle. Default 0.7 lengths.
        break_at: Length,
        /// broken-back: breadth at the angle. Default: as at the shoulder.
        break_breadth: Length,
        /// curved-back: station of the greatest breadth. Default 0.45 lengths.
        broadest_at: Length,
        /// curved-back: the greatest breadth. Default 1.05 breadths.
        broadest: Length,
        /// dropped-point: length over which the back drops to the point. Default 2 breadths (at most half the length).
        drop: Length,
        /// points: the back line from the shoulder (station 0) to the point.
        back: Vec<Field<Entry>>,
        /// points: the edge line from the shoulder (station 0) to the point.
        edge: Vec<Field<Entry>>,
        /// How the lines end.
        tip: TipDraft,
    }
}

impl Form {
    /// The keys beside `form` that the form takes.
    fn takes(self) -> &'static [&'static str] {
        match self {
            Form::StraightBack => &["form", "tip", "length", "breadth", "sweep", "point_height"],
            Form::BrokenBack => {
                &["form", "tip", "length", "breadth", "sweep", "point_height", "break_at", "break_breadth"]
            }
            Form::CurvedBack => {
                &["form", "tip", "length", "breadth", "sweep", "point_height", "broadest_at", "broadest"]
            }
            Form::DroppedPoint => &["form", "tip", "length", "breadth", "sweep", "point_height", "drop"],
            Form::Points => &["form", "tip", "back", "edge"],
        }
    }
}

/// The outline, with its length and its breadth at the shoulder for the defaults of other tables.
pub(crate) struct Measured {
    /// `None` when it could not be read.
    pub(crate) outline: Option<Outline>,
    /// mm.
    pub(crate) length: f64,
    /// mm.
    pub(crate) breadth: f64,
}

impl Measured {
    /// Stands in for an outline that could not be read, while the other tables are checked.
    pub(crate) fn unread() -> Measured {
        Measured { outline: None, length: *LENGTHS.start(), breadth: *BREADTHS.start() }
    }
}

/// Checks the table; without one, its needed keys are missing.
pub(crate) fn check(draft: Option<&Field<OutlineDraft>>, c: &mut Checker) -> Option<Measured> {
    let Some(field) = draft else {
        c.missing("outline", "add [outline] with form, length and breadth");
        return None;
    };
    let draft = &field.value;
    if draft.form.is_none() && c.document.has("outline.form") {
        // The form can't be read: what the other keys should be can't be told.
        return None;
    }
    let form = draft.form.as_ref().map_or(Form::BrokenBack, |f| f.value);
    c.stray(&draft.given(), form.takes(), &format!("form {}", form.text()));
    let tip = tip(draft.tip.as_ref(), form, c);
    match form {
        Form::Points => points(draft, tip, c),
        _ => Some(named(draft, form, tip, c)),
    }
}

/// An outline of a named form from its sizes.
fn named(draft: &OutlineDraft, form: Form, tip: Tip, c: &mut Checker) -> Measured {
    let length = c.length_needed(draft.length.as_ref(), "outline.length", LENGTHS);
    let breadth = c.length_needed(draft.breadth.as_ref(), "outline.breadth", BREADTHS);
    let upswept = matches!(form, Form::StraightBack | Form::DroppedPoint);
    let sweep = if upswept { (2.5 * breadth).min(0.6 * length) } else { 0.0 };
    let sweep = c.length_or(draft.sweep.as_ref(), REACH, sweep);
    let point_height = c.length_or(draft.point_height.as_ref(), REACH, point_height(form, breadth, tip));
    let mut own = |field: &Option<Field<Length>>, default| c.length_or(field.as_ref(), REACH, default);
    let form = match form {
        Form::StraightBack => OutlineForm::StraightBack { length, breadth, sweep, point_height },
        Form::CurvedBack => {
            let broadest_at = own(&draft.broadest_at, 0.45 * length);
            let broadest = own(&draft.broadest, 1.05 * breadth);
            OutlineForm::CurvedBack { length, breadth, broadest_at, broadest, sweep, point_height }
        }
        Form::DroppedPoint => {
            let drop = own(&draft.drop, (2.0 * breadth).min(0.5 * length));
            OutlineForm::DroppedPoint { length, breadth, drop, sweep, point_height }
        }
        Form::BrokenBack | Form::Points => {
            let break_at = own(&draft.break_at, 0.7 * length);
            let break_breadth = own(&draft.break_breadth, breadth);
            OutlineForm::BrokenBack { length, breadth, break_at, break_breadth, sweep, point_height }
        }
    };
    Measured { outline: Some(Outline { form, tip }), length, breadth }
}

/// Height of the point unless given, mm.
fn point_height(form: Form, breadth: f64, tip: Tip) -> f64 {
    let flat = if let Tip::Flat { breadth } = tip { breadth } else { 0.0 };
    match form {
        // The back runs level into the flat's upper end.
        Form::StraightBack => (breadth - flat).max(0.0),
        Form::DroppedPoint => 0.5 * breadth,
        Form::BrokenBack | Form::CurvedBack | Form::Points => 0.0,
    }
}

/// The tip from its table, with what the form has where it is silent.
fn tip(field: Option<&Field<TipDraft>>, form: Form, c: &mut Checker) -> Tip {
    // With own points, a flat of no breadth stands for whatever the lines' ends make.
    let flat = if form == Form::Points { 0.0 } else { TIP_FLAT };
    let Some(Field { value: draft, at, .. }) = field else { return Tip::Flat { breadth: flat } };
    let kind = draft.form.as_ref().map_or(TipForm::Flat, |f| f.value);
    let takes: &[&str] = match kind {
        TipForm::Flat if form != Form::Points => &["form", "breadth"],
        TipForm::Round => &["form", "radius"],
        TipForm::Flat | TipForm::Point => &["form"],
    };
    let named = if form == Form::Points { " with own points" } else { "" };
    c.stray(&draft.given(), takes, &format!("a {} tip{named}", kind.text()));
    match kind {
        TipForm::Point => Tip::Point,
        TipForm::Flat => Tip::Flat { breadth: c.length_or(draft.breadth.as_ref(), 0.05..=50.0, flat) },
        TipForm::Round => Tip::Round {
            radius: c.length_needed(draft.radius.as_ref(), &format!("{at}.radius"), 0.1..=500.0),
        },
    }
}

impl OutlineDraft {
    /// Its length, or the station of its back line's last point, where that is a number without a unit.
    pub(crate) fn plain_length(&self) -> Option<f64> {
        let last = || match &self.back.as_ref()?.value.last()?.value {
            Entry::Pair(at) => Some(&at[0]),
            Entry::Table(draft) => Some(&draft.at.as_ref()?.value[0]),
        };
        match self.length.as_ref().or_else(last)?.value.0 {
            Amount::Plain(length) => Some(length),
            Amount::Fixed(_) => None,
        }
    }
}

fn points(draft: &OutlineDraft, tip: Tip, c: &mut Checker) -> Option<Measured> {
    let back = line(draft.back.as_ref(), "outline.back", c);
    let edge = line(draft.edge.as_ref(), "outline.edge", c);
    let (back, edge) = (back?, edge?);
    let ends = [back.last()?.at.x, edge.last()?.at.x];
    let breadth = back.first()?.at.y - edge.first()?.at.y;
    let length = ends[0].max(ends[1]);
    let form = OutlineForm::Points { back, edge };
    Some(Measured { outline: Some(Outline { form, tip }), length, breadth })
}

/// The points of an outline of one's own, from the shoulder to the point.
fn line(field: Option<&Field<Vec<Field<Entry>>>>, path: &str, c: &mut Checker) -> Option<Vec<OutlinePoint>> {
    let Some(field) = field else {
        let example =
            if path.ends_with("back") { "[[0, 30], [200, 32], ...]" } else { "[[0, 0], [200, 0], ...]" };
        let help = format!("give the line's points from the shoulder to the point, as {example}");
        c.missing(path, &help);
        return None;
    };
    c.count(field, MOST_POINTS, "points");
    let mut points: Vec<OutlinePoint> = Vec::new();
    for entry in &field.value {
        let Some(point) = point(entry, c) else { continue };
        if let Some(before) = points.last().map(|p| p.at.x).filter(|&before| point.at.x <= before) {
            let fault = Fault::Order { at: c.length_text(point.at.x), before: c.length_text(before) };
            c.found.add(&entry.at, entry.span.clone(), &fault);
        }
        points.push(point);
    }
    Some(points)
}

/// A point from its pair of numbers or its table.
fn point(entry: &Field<Entry>, c: &mut Checker) -> Option<OutlinePoint> {
    let (at, corner) = match &entry.value {
        Entry::Pair(at) => (at, false),
        Entry::Table(draft) => {
            let path = format!("{}.at", entry.at);
            if draft.at.is_none() {
                c.missing(&path, "give the point's [station, height]");
            }
            (&draft.at.as_ref()?.value, draft.corner.as_ref().is_some_and(|f| f.value))
        }
    };
    let (x, y) = (c.length(Some(&at[0]), REACH), c.length(Some(&at[1]), SIGNED));
    Some(OutlinePoint { at: DVec2::new(x?, y?), corner })
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn forms_take_only_known_keys() {
        for form in [Form::StraightBack, Form::BrokenBack, Form::CurvedBack, Form::DroppedPoint, Form::Points]
        {
            assert!(form.takes().iter().all(|key| OutlineDraft::KEYS.contains(key)), "{form:?}");
        }
    }
}
