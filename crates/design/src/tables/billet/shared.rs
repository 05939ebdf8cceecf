//! Bars that share a place in the stack: a bar in a `wrap` of another steel, and bars `beside` it through the
//! thickness.

use laminate::{Bar, Cell, Share, Skins, parted};

use crate::file::checker::Checker;
use crate::file::draft::{Angle, Field, Length, table};
use crate::file::problem::Fault;
use crate::tables::billet::bar::{BarDraft, Keys, SquaringWord};
use crate::tables::billet::height::HeightDraft;
use crate::tables::billet::slanted::DirectionDraft;
use crate::tables::billet::twist::TwistDraft;

/// Most bars beside another one: each is told apart by its layers, and thinner ones are layers.
const MOST_BESIDE: usize = 3;
/// Widths of a bar beside another accepted, mm: from what still can be welded on to the broadest stack.
const WIDTHS: std::ops::RangeInclusive<f64> = 1.0..=60.0;
/// Thicknesses of a wrap accepted, mm: from a strip that lives through a weld (common practice, no source) to a bar.
const SKINS: std::ops::RangeInclusive<f64> = 0.5..=20.0;
/// Least height and width left of what is wrapped, mm, as a bar beside another has.
const LEAST_CORE: f64 = 1.0;
/// Lengths this little under another are rounding, mm.
const ROUNDING: f64 = 1e-9;

table! {
    /// A bar that lies beside another one in the same place of the stack.
    BesideDraft {
        /// What to call it; default the bar's name with "part 2" and so on. Each has its own.
        name: String,
        /// Its width through the thickness of the blade, 1 to 60 mm; those without one share what is
        /// left with the bar that it lies beside.
        width: Length,
        /// The steel of a plain bar, by its name. This or `layers` is needed.
        steel: String,
        /// The layer set of a laminated bar, by its name.
        layers: String,
        /// How the layers stand before any twist: `upright` (default), `flat`, or the degrees by which flat ones lean. Only with
        /// `layers`.
        direction: DirectionDraft,
        /// Degrees between the layers and the length of the bar, 1 to 60 either way. Only with `layers`, not with `twist`.
        slope: Angle,
        /// Stretches of twist from the shoulder on. Only with `layers`.
        twist: Vec<Field<TwistDraft>>,
        /// Degrees by which the bar is turned at the shoulder, right-handed; default 0. Only with `layers`.
        phase: Angle,
        /// How the twisted bar was made square again: `forged` (default) or `ground`. Only with `twist`.
        squaring: SquaringWord,
    }
}

table! {
    /// A strip of another steel that is bent around a bar and welded on: skins on its faces.
    WrapDraft {
        /// What to call it; the bar's name with "wrap" by default. Each has its own.
        name: String,
        /// Its steel, by its name.
        #[schemars(required)]
        steel: String,
        /// Thickness on each of the faces towards the blade's sides, in the stack; 0.5 to 20 mm.
        #[schemars(required)]
        sides: Length,
        /// Thickness on the face towards the edge; 0.5 to 20 mm, or 0 (default) for none.
        edge: Length,
        /// Thickness on the face towards the back; 0.5 to 20 mm, or 0 (default) for none.
        back: Length,
    }
}

/// A bar that has a share of another's place.
pub(crate) struct Part<'d> {
    /// Its keys.
    pub(crate) keys: Keys<'d>,
    /// What to call it.
    pub(crate) name: String,
}

/// The bars that have a share of another's place, for each place those beside from left to right, then the wrap.
pub(crate) fn parts<'d>(list: &'d [Field<BarDraft>], names: &[String]) -> Vec<Part<'d>> {
    let of_bar = |(field, name): (&'d Field<BarDraft>, &String)| {
        let beside = besides(field).iter().enumerate().map({
            let name = name.clone();
            move |(i, one)| {
                let made = one.value.name.as_ref().map(|n| n.value.clone());
                let name = made.unwrap_or_else(|| format!("{name} part {}", i + 2));
                Part { keys: beside_keys(one), name }
            }
        });
        let wrap = field.value.wrap.iter().map({
            let name = name.clone();
            move |wrap| {
                let made = wrap.value.name.as_ref().map(|n| n.value.clone());
                Part { keys: wrap_keys(wrap), name: made.unwrap_or_else(|| format!("{name} wrap")) }
            }
        });
        beside.chain(wrap).collect::<Vec<_>>()
    };
    list.iter().zip(names).flat_map(of_bar).collect()
}

/// The bars beside another one, none more than are accepted.
fn besides(field: &Field<BarDraft>) -> &[Field<BesideDraft>] {
    let list = field.value.beside.as_ref().map_or(&[][..], |list| &list.value);
    &list[..list.len().min(MOST_BESIDE)]
}

/// What a bar beside another one may be given.
fn beside_keys(field: &Field<BesideDraft>) -> Keys<'_> {
    let draft = &field.value;
    Keys {
        at: &field.at,
        given: draft.given(),
        own: &["name", "width"],
        steel: draft.steel.as_ref(),
        layers: draft.layers.as_ref(),
        direction: draft.direction.as_ref(),
        slope: draft.slope.as_ref(),
        twist: draft.twist.as_ref(),
        phase: draft.phase.as_ref(),
        squaring: draft.squaring.as_ref(),
    }
}

/// What a wrap may be given: one steel, no layers.
fn wrap_keys(field: &Field<WrapDraft>) -> Keys<'_> {
    let draft = &field.value;
    Keys {
        at: &field.at,
        given: draft.given(),
        own: &["name", "sides", "edge", "back"],
        steel: draft.steel.as_ref(),
        layers: None,
        direction: None,
        slope: None,
        twist: None,
        phase: None,
        squaring: None,
    }
}

/// Whether others share the place of a bar, or the file says so.
fn is_shared(field: &Field<BarDraft>) -> bool {
    field.value.wrap.is_some() || !besides(field).is_empty()
}

/// Says what a bar that shares its place can't have: a taper, or teeth in either of its welds.
pub(crate) fn check(list: &[Field<BarDraft>], c: &mut Checker) {
    for (i, field) in list.iter().enumerate() {
        if let Some(beside) = &field.value.beside {
            c.count(beside, MOST_BESIDE, "bars beside this one");
        }
        if !is_shared(field) {
            continue;
        }
        let taper = field.value.height.as_ref().filter(|h| !matches!(h.value, HeightDraft::Even(_)));
        let next = list.get(i + 1).and_then(|next| next.value.serrated.as_ref());
        let teeth = field.value.serrated.as_ref().or(next);
        let (taper, teeth) = (taper.map(|field| &field.at), teeth.map(|field| &field.at));
        for (at, what) in [(taper, "tapered"), (teeth, "serrated")] {
            at.into_iter().for_each(|at| c.key_fault(at, &Fault::SharedPlace { what }));
        }
    }
}

/// Gives each bar its share of a stack `width` mm wide; `None` where a place has no room for what should lie in it.
pub(crate) fn laid(
    list: &[Field<BarDraft>],
    mut bars: Vec<Bar>,
    width: f64,
    c: &mut Checker,
) -> Option<Vec<Bar>> {
    let mut next = list.len();
    for (of, field) in list.iter().enumerate().filter(|(_, field)| is_shared(field)) {
        let height = bars.get(of)?.height.clone();
        let skins = skins(field, [height.at(0.0), width], c);
        let widths = skins.and_then(|skins| widths(field, width - 2.0 * skins.sides, c));
        let (beside, skin) = parted([height.at(0.0), width], &widths?, skins?)?;
        let mut shares = beside.into_iter().map(|cell| vec![cell]).collect::<Vec<Vec<Cell>>>();
        shares.extend((!skin.is_empty()).then_some(skin));
        let tang = bars[of].tang;
        let mut shares = shares.into_iter();
        bars[of].share = Share { of: None, cells: shares.next()? };
        for cells in shares {
            let part = bars.get_mut(next)?;
            (part.height, part.tang, part.share) = (height.clone(), tang, Share { of: Some(of), cells });
            next += 1;
        }
    }
    Some(bars)
}

/// The thicknesses of a bar's wrap, mm, none where it has none; `None` where refused.
fn skins(field: &Field<BarDraft>, [high, wide]: [f64; 2], c: &mut Checker) -> Option<Skins> {
    let Some(wrap) = &field.value.wrap else { return Some(Skins::default()) };
    let draft = &wrap.value;
    let sides = c.length_required(draft.sides.as_ref(), &format!("{}.sides", wrap.at), SKINS);
    let [edge, back] =
        [&draft.edge, &draft.back].map(|field| c.length_or_none(field.as_ref(), SKINS, 0.0).unwrap_or(0.0));
    let skins = Skins { edge, back, sides: sides? };
    for (key, of, all, taken) in [
        ("sides", "width", wide, 2.0 * skins.sides),
        (if edge >= back { "edge" } else { "back" }, "height", high, edge + back),
    ] {
        if taken > all - LEAST_CORE + ROUNDING {
            let (taken, all) = (c.length_text(taken), c.length_text(all));
            let least = c.lower_limit_text(LEAST_CORE);
            c.fault(&format!("{}.{key}", wrap.at), &Fault::NoCore { taken, of, all, least });
            return None;
        }
    }
    Some(skins)
}

/// Widths of a bar and of those beside it, mm, within so much room; `None` where refused.
fn widths(field: &Field<BarDraft>, room: f64, c: &mut Checker) -> Option<Vec<f64>> {
    let beside = besides(field);
    let mut given: Vec<Option<f64>> = vec![None];
    for one in beside {
        let width = c.length(one.value.width.as_ref(), WIDTHS);
        if width.is_none() && one.value.width.is_some() {
            return None;
        }
        given.push(width);
    }
    let taken: f64 = given.iter().flatten().sum();
    let rest = given.iter().filter(|width| width.is_none()).count() as f64;
    let each = (room - taken) / rest;
    if each < *WIDTHS.start() - ROUNDING {
        let (taken, room) = (c.length_text(taken), c.length_text(room));
        let least = c.lower_limit_text(*WIDTHS.start());
        c.fault(&format!("{}.beside", field.at), &Fault::NoRoomBeside { taken, room, least });
        return None;
    }
    Some(given.into_iter().map(|width| width.unwrap_or(each)).collect())
}
