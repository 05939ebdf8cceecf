//! Layers at an angle: the `direction` in which they stand in a bar's section, and their `slope` along it.

use laminate::Direction;
use schemars::JsonSchema;

use crate::file::checker::Checker;
use crate::file::draft::{Angle, Field, Place, Read, word, words};
use crate::file::problem::{Fault, Problems};
use crate::tables::billet::bar::{BarDraft, Keys};
use crate::tables::billet::height::HeightDraft;

/// Angles of layers to the blade's sides accepted, degrees: to square either way.
const ANGLES: std::ops::RangeInclusive<f64> = -90.0..=90.0;
/// Slopes of layers along the bar accepted, degrees. Slices at a steeper one are shorter than they are thick, and can't be
/// held to be welded end to end (common practice, no source).
const SLOPES: std::ops::RangeInclusive<f64> = -60.0..=60.0;
/// The slightest slope, degrees: under it layers run on within what a file takes off a bar.
const SLIGHTEST: f64 = 1.0;
/// The same as it is told.
const SLIGHTEST_TOLD: &str = "1 deg";
/// Angles this little under another are rounding, degrees.
const ROUNDING: f64 = 1e-9;

words! {
    /// How layers stand in a bar that is not twisted.
    DirectionWord {
        /// Parallel to the blade's sides, counted from left to right.
        Flat = "flat",
        /// Square to the blade's sides, counted from the edge up.
        Upright = "upright",
    }
}

/// How layers stand in a bar's section: by a word or an angle.
#[derive(Debug, JsonSchema)]
#[schemars(untagged)]
pub(crate) enum DirectionDraft {
    /// Parallel or square to the blade's sides.
    Word(DirectionWord),
    /// By how many degrees flat layers lean, to the right as they go up; −90 to 90.
    Angle(Field<Angle>),
}

impl Read for DirectionDraft {
    const WANTED: &'static str =
        "\"flat\", \"upright\", or an angle: a number of degrees, or text such as \"30 deg\"";

    fn read(place: &Place, found: &mut Problems) -> Option<Self> {
        let text = place.value.get_ref().as_str();
        if text.is_some_and(|text| !text.contains(|c: char| c.is_ascii_digit())) {
            word(place, &["flat", "upright"], Self::WANTED, found)?;
            return Read::read(place, found).map(DirectionDraft::Word);
        }
        if place.number().is_none() && text.is_none() {
            place.wrong_kind(found, Self::WANTED);
            return None;
        }
        Place { value: place.value, at: place.at.clone() }.into_field(found).map(DirectionDraft::Angle)
    }
}

/// How the layers of a bar stand, and their slope (rad); `None` where that was refused.
pub(crate) fn laid(keys: &Keys<'_>, c: &mut Checker) -> Option<(Direction, Option<f64>)> {
    let direction = direction(keys.direction, c);
    let slope = slope(keys.slope, c);
    let leans = matches!(direction, Some(Direction::Leaning(_)));
    if let Some(field) = keys.slope.filter(|_| leans) {
        c.key_fault(&field.at, &Fault::LeansAndSlopes {});
        return None;
    }
    if leans || keys.slope.is_some() {
        let twist = keys.twist.map(|field| &field.at);
        let phase = keys.phase.map(|field| &field.at);
        for (at, what, remedy) in [(twist, "twisted", UNTWISTED), (phase, "turned by `phase`", UNTURNED)] {
            at.into_iter().for_each(|at| c.key_fault(at, &Fault::Slanted { what, remedy }));
        }
        if twist.or(phase).is_some() {
            return None;
        }
    }
    direction.zip(slope)
}

/// What helps where such a bar is twisted: in a twist scarf welds tear (common practice, no source).
const UNTWISTED: &str = "take `twist` out; or lay the layers \"flat\" or \"upright\" without `slope`: a twist shows them at every angle, and \
                         `phase` says where it begins";
/// What helps where it is turned.
const UNTURNED: &str = "take `phase` out: `direction` says how the layers stand; or lay them \"flat\" or \"upright\" without `slope`, and \
                        `phase` turns the bar under the hammer";
/// What helps where it is forged to a taper.
const UNTAPERED: &str =
    "give one `height`: drawn to a taper, the layers would change their angle along the bar";
/// What helps where it is serrated.
const UNSERRATED: &str = "take `serrated` out of this bar and of the one under it";

/// Says what a bar can't have whose layers lie at an angle: a taper, or teeth in either of its welds.
pub(crate) fn check(list: &[Field<BarDraft>], c: &mut Checker) {
    for (i, field) in list.iter().enumerate().filter(|(_, field)| is_slanted(&field.value)) {
        let taper = field.value.height.as_ref().filter(|h| !matches!(h.value, HeightDraft::Even(_)));
        let next = list.get(i + 1).and_then(|next| next.value.serrated.as_ref());
        let teeth = field.value.serrated.as_ref().or(next);
        let (taper, teeth) = (taper.map(|field| &field.at), teeth.map(|field| &field.at));
        for (at, what, remedy) in [(taper, "tapered", UNTAPERED), (teeth, "serrated", UNSERRATED)] {
            at.into_iter().for_each(|at| c.key_fault(at, &Fault::Slanted { what, remedy }));
        }
    }
}

/// Whether the file lays the layers of a bar at an angle.
fn is_slanted(draft: &BarDraft) -> bool {
    let leans = |field: &Field<DirectionDraft>| match &field.value {
        DirectionDraft::Word(_) => false,
        DirectionDraft::Angle(angle) => {
            matches!(Direction::leaning(angle.value.0.with(1.0_f64.to_radians())), Direction::Leaning(_))
        }
    };
    draft.slope.is_some() || draft.direction.as_ref().is_some_and(leans)
}

/// How layers stand; `None` where refused.
fn direction(field: Option<&Field<DirectionDraft>>, c: &mut Checker) -> Option<Direction> {
    match field.map(|field| &field.value) {
        None | Some(DirectionDraft::Word(DirectionWord::Upright)) => Some(Direction::Upright),
        Some(DirectionDraft::Word(DirectionWord::Flat)) => Some(Direction::Flat),
        Some(DirectionDraft::Angle(angle)) => c.angle(Some(angle), ANGLES).map(Direction::leaning),
    }
}

/// The slope of the layers along the bar, rad, none where it has none; `None` where refused.
fn slope(field: Option<&Field<Angle>>, c: &mut Checker) -> Option<Option<f64>> {
    let Some(field) = field else { return Some(None) };
    let slope = c.angle(Some(field), SLOPES)?;
    if slope.to_degrees().abs() < SLIGHTEST - ROUNDING {
        let told = format!("{:.2} deg", slope.to_degrees());
        c.fault(&field.at, &Fault::SlightSlope { slope: told, least: SLIGHTEST_TOLD });
        return None;
    }
    Some(Some(slope))
}
