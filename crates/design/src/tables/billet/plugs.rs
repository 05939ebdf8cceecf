//! The `plugs` of a bar: round rods of another steel, let through it from side to side before it goes into the stack.

use blade::Blade;
use laminate::{MaterialMap, Plug};

use crate::file::checker::{Checker, REACH};
use crate::file::draft::{Field, Length, table};
use crate::file::problem::Fault;
use crate::tables::billet::bar::BarDraft;
use crate::tables::billet::layers::Sets;
use crate::tables::billet::pitch::on_blade;
use crate::tables::billet::steel::Rack;

/// Most plugs of a bar: a row of them as close as they may be on a long blade.
const MOST_PLUGS: usize = 40;
/// Diameters accepted, mm: a thinner rod bends as it is driven in, a thicker one is a bar (common practice, no source).
const DIAMETERS: std::ops::RangeInclusive<f64> = 2.0..=40.0;
/// Heights accepted over the bar's lower face, mm: up to the tallest bar.
const HEIGHTS: std::ops::RangeInclusive<f64> = 0.0..=100.0;
/// Least steel of the bar between a plug and its faces towards back and edge, mm: a thinner wall bulges as the rod is driven in,
/// and is ground through when the faces are dressed for the stack (common practice, no source).
const WALL: f64 = 1.5;
/// Least steel between two plugs, mm: a narrower bridge tears when the bar is drawn out (common practice, no source).
const BRIDGE: f64 = 2.0;
/// Least length of bar between a plug and shoulder or point, mm: the shoulder is set down and the point drawn out over that much,
/// and a hole there opens (common practice, no source).
const ENDS: f64 = 3.0;
/// Lengths this little under another are rounding, mm.
const ROUNDING: f64 = 1e-9;

table! {
    /// A round rod of another steel, driven through a hole in the bar from side to side and welded with the stack. On the blade's
    /// sides it shows as a spot, drawn out to an oval.
    PlugDraft {
        /// Its middle along the bar in the stack, from the shoulder, before the bar is drawn out. This or `station` is needed.
        at: Length,
        /// Instead of `at`: the station of the finished blade where its middle should be.
        station: Length,
        /// Its middle up from the bar's face towards the edge, in the stack. Default: the middle of the bar.
        height: Length,
        /// Its diameter in the stack, 2 to 40 mm; at least 1.5 mm of the bar must be left above and below.
        #[schemars(required)]
        diameter: Length,
        /// Its steel, by its name.
        #[schemars(required)]
        steel: String,
    }
}

/// A plug as the file asks for it, whose place hangs on the blade. Lengths in mm.
#[derive(Clone, Debug)]
pub(crate) struct AskedPlug {
    /// Its table.
    path: String,
    place: Place,
    height: Option<f64>,
    diameter: f64,
    steel: usize,
}

/// Where the middle of a plug should be, mm from the shoulder.
#[derive(Clone, Copy, Debug)]
enum Place {
    /// Along the bar in the stack.
    Along(f64),
    /// At a station of the finished blade.
    Station(f64),
}

/// The plugs of a bar, each for itself; of one that was refused nothing.
pub(crate) fn read(
    list: Option<&Field<Vec<Field<PlugDraft>>>>,
    blade: Option<&Blade>,
    sets: &Sets,
    rack: &mut Rack,
    c: &mut Checker,
) -> Vec<AskedPlug> {
    let Some(list) = list else { return Vec::new() };
    c.count(list, MOST_PLUGS, "plugs");
    list.value.iter().take(MOST_PLUGS).filter_map(|field| plug(field, blade, sets, rack, c)).collect()
}

fn plug(
    field: &Field<PlugDraft>,
    blade: Option<&Blade>,
    sets: &Sets,
    rack: &mut Rack,
    c: &mut Checker,
) -> Option<AskedPlug> {
    let (draft, path) = (&field.value, |key: &str| format!("{}.{key}", field.at));
    let place = place(field, blade, c);
    let height = c.length(draft.height.as_ref(), HEIGHTS);
    let diameter = c.length_required(draft.diameter.as_ref(), &path("diameter"), DIAMETERS);
    if draft.steel.is_none() {
        c.missing(&path("steel"), "give the plug's `steel` by its name");
    }
    let steel = draft.steel.as_ref().filter(|name| rack.has(name, &sets.names(), c));
    let steel = steel.and_then(|name| rack.take(&name.value));
    let refused = height.is_none() && draft.height.is_some();
    let asked =
        AskedPlug { path: field.at.clone(), place: place?, height, diameter: diameter?, steel: steel? };
    (!refused).then_some(asked)
}

fn place(field: &Field<PlugDraft>, blade: Option<&Blade>, c: &mut Checker) -> Option<Place> {
    let draft = &field.value;
    let given = ["at", "station"].map(|key| c.document.has(&format!("{}.{key}", field.at)));
    match given {
        [true, true] => {
            c.key_fault(&format!("{}.station", field.at), &Fault::Either { key: "at", other: "station" });
            None
        }
        [false, false] => {
            let why = "give the place along the bar in the stack, or instead of it the `station` on the finished blade";
            c.missing(&format!("{}.at", field.at), why);
            None
        }
        [true, false] => c.length(draft.at.as_ref(), REACH).map(Place::Along),
        [false, true] => on_blade(draft.station.as_ref(), blade, c).map(Place::Station),
    }
}

/// What helps where a bar shares its place.
const WHOLE: &str = "give the plugs to a bar of one piece; or take `wrap` and `beside` out";
/// What helps where it is welded of slices: a hole across a scarf weld opens it (common practice, no source).
const UNSLOPED: &str =
    "give the plugs to another bar; or take `slope` out: a rod driven in would open the scarf welds";
/// What helps where it is serrated.
const UNSERRATED: &str =
    "give the plugs to another bar; or take `serrated` out of this bar and of the one under it";

/// Says which bars bear no plugs wherever these are.
pub(crate) fn check(list: &[Field<BarDraft>], c: &mut Checker) {
    for (i, field) in list.iter().enumerate() {
        let Some(plugs) = &field.value.plugs else { continue };
        let draft = &field.value;
        let next = list.get(i + 1).and_then(|next| next.value.serrated.as_ref());
        let shared = draft.wrap.is_some() || draft.beside.is_some();
        let toothed = draft.serrated.is_some() || next.is_some();
        for (is, what, remedy) in [
            (shared, "with `wrap` or `beside`", WHOLE),
            (draft.slope.is_some(), "welded of slices on a slope", UNSLOPED),
            (toothed, "with a serrated weld", UNSERRATED),
        ] {
            if is {
                c.key_fault(&plugs.at, &Fault::NoPlugs { what, remedy });
            }
        }
    }
}

/// The billet with the plugs asked for, bar by bar; `None` where any was refused.
pub(crate) fn laid(lay: &MaterialMap, asked: &[Vec<AskedPlug>], c: &mut Checker) -> Option<MaterialMap> {
    let mut plugs = Vec::with_capacity(asked.len());
    let mut sound = true;
    for (bar, asked) in asked.iter().enumerate() {
        let own: Vec<Option<Plug>> = asked.iter().map(|one| placed((lay, bar), one, c)).collect();
        sound &= own.iter().all(Option::is_some) & apart(asked, &own, c);
        plugs.push(own.into_iter().flatten().collect());
    }
    if sound { lay.with_plugs(plugs).ok() } else { None }
}

/// A plug in its bar; `None` where it was refused.
fn placed((lay, bar): (&MaterialMap, usize), asked: &AskedPlug, c: &mut Checker) -> Option<Plug> {
    let made = lay.billet().bars().get(bar)?;
    let radius = 0.5 * asked.diameter;
    let (key, at) = match asked.place {
        Place::Along(at) => ("at", at),
        Place::Station(x) => ("station", lay.along(x)),
    };
    let path = |key: &str| format!("{}.{key}", asked.path);
    let end = lay.along(lay.sections().range().1);
    let room = [ENDS + radius, end - ENDS - radius];
    if at < room[0] - ROUNDING || at > room[1] + ROUNDING {
        c.fault(&path(key), &off_bar((lay, asked), at, room, c));
        return None;
    }
    let stretch = [at - radius, at + radius];
    if made.twist.turns_between(stretch) {
        c.fault(&path(key), &Fault::TwistedPlug { bar: made.name.clone() });
        return None;
    }
    let high = made.height.range(stretch)[0];
    if asked.diameter > high - 2.0 * WALL + ROUNDING {
        let (wall, most) = (c.lower_limit_text(WALL), c.upper_limit_text(high - 2.0 * WALL));
        let (diameter, high) = (c.length_text(asked.diameter), c.length_text(high));
        c.fault(&path("diameter"), &Fault::ThickPlug { diameter, high, wall, most });
        return None;
    }
    let up = asked.height.unwrap_or(0.5 * high);
    let (low, most) = (WALL + radius, high - WALL - radius);
    if up < low - ROUNDING || up > most + ROUNDING {
        let (height, wall) = (c.length_text(up), c.lower_limit_text(WALL));
        let (low, high) = (c.lower_limit_text(low), c.upper_limit_text(most));
        c.fault(&path("height"), &Fault::PlugAtFace { height, wall, low, high });
        return None;
    }
    Some(Plug::new(at, up, asked.diameter, asked.steel))
}

/// What is said of a plug with its middle outside its room along the bar, by places as the file gives it.
fn off_bar((lay, asked): (&MaterialMap, &AskedPlug), at: f64, [from, to]: [f64; 2], c: &Checker) -> Fault {
    let (at, from, to, along) = match asked.place {
        Place::Along(_) => (at, from, to, true),
        Place::Station(x) => (x, lay.station(from), lay.station(to), false),
    };
    let least = c.lower_limit_text(ENDS);
    let remedy = match (from < to, along) {
        (false, _) => "give a thinner plug: this bar is too short for it".to_owned(),
        (true, true) => {
            let (low, high) = (c.lower_limit_text(from), c.upper_limit_text(to));
            format!("give a place along the bar from {low} to {high}, as in the stack before you draw it out")
        }
        (true, false) => {
            format!("give a station from {} to {}", c.lower_limit_text(from), c.upper_limit_text(to))
        }
    };
    Fault::PlugOff { at: c.length_text(at), least, remedy }
}

/// Whether all plugs of a bar keep apart; says which don't.
fn apart(asked: &[AskedPlug], plugs: &[Option<Plug>], c: &mut Checker) -> bool {
    let mut sound = true;
    for (i, plug) in plugs.iter().enumerate() {
        let Some(plug) = plug else { continue };
        let before = plugs[..i].iter().flatten().map(|other| plug.apart(other));
        let gap = before.fold(f64::INFINITY, f64::min);
        if gap < BRIDGE - ROUNDING {
            let (gap, least) = (c.length_text(gap.max(0.0)), c.lower_limit_text(BRIDGE));
            c.fault(&asked[i].path, &Fault::PlugsMeet { gap, least });
            sound = false;
        }
    }
    sound
}
