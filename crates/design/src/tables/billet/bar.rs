//! The `[[bar]]` tables: the bars of the billet, from the back to the edge.

use blade::Blade;
use laminate::{Asked, Bar, Height, LayerSet, Program, Serration, Share, Squaring};

use crate::file::checker::Checker;
use crate::file::draft::{Angle, Field, table, words};
use crate::file::problem::{Fault, hint};
use crate::tables::billet::height::{self, HeightDraft, HeightTold};
use crate::tables::billet::layers::{Sets, Stacking};
use crate::tables::billet::plugs::{self, AskedPlug, PlugDraft};
use crate::tables::billet::serrated::{self, SerratedDraft};
use crate::tables::billet::shared::{self, BesideDraft, Part, WrapDraft};
use crate::tables::billet::slanted::{self, DirectionDraft};
use crate::tables::billet::steel::Rack;
use crate::tables::billet::twist::{self, Twist, TwistDraft};

/// Most bars, as [`laminate::Billet`] takes them.
const MOST_BARS: usize = 9;
/// Angles at which bars may start, degrees: a turn either way.
const PHASES: std::ops::RangeInclusive<f64> = -360.0..=360.0;

words! {
    /// How a twisted bar was made square again.
    SquaringWord {
        /// Under the hammer: nothing is lost.
        Forged = "forged",
        /// At the grinder: the twisted bar's corners are lost.
        Ground = "ground",
    }
}

impl From<SquaringWord> for Squaring {
    fn from(word: SquaringWord) -> Squaring {
        match word {
            SquaringWord::Forged => Squaring::Forged,
            SquaringWord::Ground => Squaring::Ground,
        }
    }
}

table! {
    /// A bar of the billet.
    BarDraft {
        /// What to call it. Default: "Bar 1" and so on. Each has its own.
        name: String,
        /// Its height in the stack, between back and edge, 1 to 100 mm; or a taper, `[14, 10]` from shoulder to point, or
        /// by places along the bar.
        #[schemars(required)]
        height: HeightDraft,
        /// The steel of a plain bar, by its name. This or `layers` is needed.
        steel: String,
        /// The layer set of a laminated bar, by its name.
        layers: String,
        /// How the layers stand before any twist: `upright` (default) square to the blade's sides, `flat` parallel
        /// to them, or at an angle in between: the degrees by which flat layers lean, to the right as they go up, to the left
        /// with a minus; the bar is then sawn out of its block at that angle. Only with `layers`.
        direction: DirectionDraft,
        /// Degrees between the layers and the length of the bar, 1 to 60: the bar is welded end to end of slices that are sawn
        /// from the block at that slope. The layers run up towards the point, flat ones to the right, or with a minus the other
        /// way. Only with `layers`, not with `twist`.
        slope: Angle,
        /// Stretches of twist from the shoulder on, in the bar's own length or by what the finished blade should
        /// show. Only with `layers`.
        twist: Vec<Field<TwistDraft>>,
        /// Degrees by which the bar is turned at the shoulder, right-handed. Default 0. Only with `layers`.
        phase: Angle,
        /// How the twisted bar was made square again: `forged` (default) or `ground`. Only with `twist`.
        squaring: SquaringWord,
        /// Whether it runs into the tang. Default true. At least one bar must.
        tang: bool,
        /// Teeth of its weld to the next bar towards the back, by period and depth on the finished blade.
        serrated: SerratedDraft,
        /// Bars that lie beside this one in its place, from left to right, this one leftmost: through the thickness
        /// of the blade, so that its two sides differ, or that one lies inside.
        beside: Vec<Field<BesideDraft>>,
        /// A strip of another steel bent around this bar, and around those beside it, before it goes into the stack.
        /// It counts in `height`.
        wrap: WrapDraft,
        /// Plugs: round rods of another steel through this bar, from side to side, as in
        /// `[{ at = 60, diameter = 6, steel = "75Ni8" }]`. They are driven in and welded before the bar goes into the stack.
        plugs: Vec<Field<PlugDraft>>,
    }
}

/// What a bar is made of and how it is twisted, by the keys of its table.
pub(crate) struct Keys<'d> {
    /// Its table.
    pub(crate) at: &'d str,
    /// The keys that the table gives, with their places.
    pub(crate) given: Vec<(&'static str, &'d str)>,
    /// Keys that it takes whatever it is made of.
    pub(crate) own: &'static [&'static str],
    pub(crate) steel: Option<&'d Field<String>>,
    pub(crate) layers: Option<&'d Field<String>>,
    pub(crate) direction: Option<&'d Field<DirectionDraft>>,
    pub(crate) slope: Option<&'d Field<Angle>>,
    pub(crate) twist: Option<&'d Field<Vec<Field<TwistDraft>>>>,
    pub(crate) phase: Option<&'d Field<Angle>>,
    pub(crate) squaring: Option<&'d Field<SquaringWord>>,
}

impl<'d> Keys<'d> {
    /// Of a bar with a place of its own.
    pub(crate) fn of(field: &'d Field<BarDraft>) -> Keys<'d> {
        let draft = &field.value;
        Keys {
            at: &field.at,
            given: draft.given(),
            own: &["name", "height", "tang", "serrated", "beside", "wrap", "plugs"],
            steel: draft.steel.as_ref(),
            layers: draft.layers.as_ref(),
            direction: draft.direction.as_ref(),
            slope: draft.slope.as_ref(),
            twist: draft.twist.as_ref(),
            phase: draft.phase.as_ref(),
            squaring: draft.squaring.as_ref(),
        }
    }

    /// Of all bars as the billet lists them: those with a place of their own, then those with a share of one.
    pub(crate) fn all(list: &'d [Field<BarDraft>]) -> Vec<Keys<'d>> {
        let names = vec![String::new(); list.len()];
        let parts = shared::parts(list, &names).into_iter().map(|part| part.keys);
        list.iter().map(Keys::of).chain(parts).collect()
    }

    /// Its stretches of twist.
    pub(crate) fn stretches(&self) -> impl Iterator<Item = &'d Field<TwistDraft>> {
        self.twist.into_iter().flat_map(|list| &list.value)
    }

    fn has(&self, key: &str, c: &Checker) -> bool {
        c.document.has(&format!("{}.{key}", self.at))
    }

    /// Says which of the keys given are neither its own nor among these.
    fn stray(&self, takes: &[&'static str], form: &str, c: &mut Checker) {
        let all = [self.own, takes].concat();
        c.stray(&self.given, &all, form);
    }
}

/// A bar as the file tells it.
pub(crate) struct Told {
    /// The bar; straight where its twist is asked for by the blade.
    pub(crate) bar: Bar,
    /// The heights at shoulder and point of a bar that runs straight from one to the other, mm.
    pub(crate) ends: Option<[f64; 2]>,
    /// The teeth of its weld to the next bar towards the back.
    pub(crate) serrated: Option<Serration>,
    /// How its layers are welded; none for a bar of one steel.
    pub(crate) stacking: Option<Stacking>,
    /// The twist that the blade should show, from the angle at the shoulder (rad) on.
    pub(crate) asked: Option<(f64, Vec<Asked>)>,
    /// The plugs through it.
    pub(crate) plugs: Vec<AskedPlug>,
}

/// Checks the bars, those with a place of their own first, then those with a share of one; `None` where any was
/// refused.
pub(crate) fn check(
    list: &Field<Vec<Field<BarDraft>>>,
    blade: Option<&Blade>,
    sets: &Sets,
    rack: &mut Rack,
    c: &mut Checker,
) -> Option<Vec<Told>> {
    c.count(list, MOST_BARS, "bars");
    let drafts = read(list);
    let (names, parts) = names(drafts, c);
    let bars = drafts.iter().zip(names).enumerate();
    let bars = bars.map(|(i, (field, name))| bar((field, name, i == 0), blade, sets, rack, c));
    let mut read: Vec<Option<Told>> = bars.collect();
    shared::check(drafts, c);
    slanted::check(drafts, c);
    plugs::check(drafts, c);
    read.extend(parts.into_iter().map(|part| part_of(part, blade, sets, rack, c)));
    if read.len() > MOST_BARS && drafts.len() <= MOST_BARS {
        let fault = Fault::TooMany {
            count: read.len(),
            most: MOST_BARS,
            what: "bars, counting those in `beside` and `wrap`,",
        };
        c.found.add(&list.at, list.span.clone(), &fault);
    }
    if let Some(first) = drafts.first().filter(|_| !drafts.iter().any(|f| tang(&f.value))) {
        c.fault(&format!("{}.tang", first.at), &Fault::NoTang {});
    }
    read.into_iter().collect()
}

/// The tables that are read: none more than are accepted.
pub(crate) fn read(list: &Field<Vec<Field<BarDraft>>>) -> &[Field<BarDraft>] {
    &list.value[..list.value.len().min(MOST_BARS)]
}

/// The bars' names, given or made; and those that have a share of a bar's place.
fn names<'d>(list: &'d [Field<BarDraft>], c: &mut Checker) -> (Vec<String>, Vec<Part<'d>>) {
    let given = |(i, field): (usize, &Field<BarDraft>)| {
        field.value.name.as_ref().map_or_else(|| format!("Bar {}", i + 1), |n| n.value.clone())
    };
    let names: Vec<String> = list.iter().enumerate().map(given).collect();
    let parts = shared::parts(list, &names);
    let own = list.iter().map(|field| field.at.as_str()).zip(&names);
    let all: Vec<(&str, &String)> = own.chain(parts.iter().map(|part| (part.keys.at, &part.name))).collect();
    let mut taken: Vec<&str> = Vec::new();
    for (at, name) in all {
        c.named(&format!("{at}.name"), name, &taken);
        taken.push(name);
    }
    (names, parts)
}

/// A bar from its table.
fn bar(
    (field, name, first): (&Field<BarDraft>, String, bool),
    blade: Option<&Blade>,
    sets: &Sets,
    rack: &mut Rack,
    c: &mut Checker,
) -> Option<Told> {
    let draft = &field.value;
    let height = height::check(draft.height.as_ref(), &format!("{}.height", field.at), c);
    let serrated = serrated::check(draft.serrated.as_ref(), first, c);
    let told = made(&Keys::of(field), name, blade, sets, rack, c);
    let plugs = plugs::read(draft.plugs.as_ref(), blade, sets, rack, c);
    let (told, HeightTold { height, ends }) = (told?, height?);
    Some(Told { bar: Bar { height, tang: tang(draft), ..told.bar }, ends, serrated, plugs, ..told })
}

/// A bar with a share of another's place, which it gets once the stack's width is known.
fn part_of(
    part: Part<'_>,
    blade: Option<&Blade>,
    sets: &Sets,
    rack: &mut Rack,
    c: &mut Checker,
) -> Option<Told> {
    made(&part.keys, part.name, blade, sets, rack, c)
}

/// A bar of what its keys tell, with a height that stands for one that is told elsewhere.
fn made(
    keys: &Keys<'_>,
    name: String,
    blade: Option<&Blade>,
    sets: &Sets,
    rack: &mut Rack,
    c: &mut Checker,
) -> Option<Told> {
    let made = made_of(keys, sets, rack, c);
    let laid = slanted::laid(keys, c);
    let phase = c.angle(keys.phase, PHASES).unwrap_or(0.0);
    let (twist, asked) = match twist::check(keys.twist, phase, blade, c) {
        Twist::Counted(program) => (program, None),
        Twist::Asked(phase, asked) => (Program::new(phase, &[]), Some((phase, asked))),
    };
    let (layers, stacking) = made?;
    let (direction, slope) = laid?;
    let bar = Bar {
        name,
        height: Height::even(1.0),
        layers,
        direction,
        slope,
        twist,
        squaring: keys.squaring.map_or(Squaring::Forged, |s| s.value.into()),
        tang: true,
        teeth: None,
        share: Share::default(),
        plugs: Vec::new(),
    };
    Some(Told { bar, ends: None, serrated: None, stacking, asked, plugs: Vec::new() })
}

fn tang(draft: &BarDraft) -> bool {
    draft.tang.as_ref().is_none_or(|t| t.value)
}

/// The one steel, or the layers of the set; `None` where refused.
fn made_of(
    keys: &Keys<'_>,
    sets: &Sets,
    rack: &mut Rack,
    c: &mut Checker,
) -> Option<(LayerSet, Option<Stacking>)> {
    match (keys.has("steel", c), keys.has("layers", c)) {
        (true, true) => {
            let fault = Fault::Either { key: "steel", other: "layers" };
            c.key_fault(&format!("{}.layers", keys.at), &fault);
            None
        }
        (true, false) => plain(keys, sets, rack, c).map(|layers| (layers, None)),
        (false, true) => laminated(keys, sets, rack, c).map(|(layers, stacking)| (layers, Some(stacking))),
        (false, false) => {
            c.missing(&format!("{}.steel", keys.at), "give the bar's `steel`, or `layers` by a set's name");
            None
        }
    }
}

fn plain(keys: &Keys<'_>, sets: &Sets, rack: &mut Rack, c: &mut Checker) -> Option<LayerSet> {
    keys.stray(&["steel"], "a bar of one steel", c);
    let name = keys.steel?;
    if !rack.has(name, &sets.names(), c) {
        return None;
    }
    rack.take(&name.value).map(LayerSet::plain)
}

/// The layers of a bar that names them, and how they are stacked.
fn laminated(keys: &Keys<'_>, sets: &Sets, rack: &mut Rack, c: &mut Checker) -> Option<(LayerSet, Stacking)> {
    if !keys.has("twist", c) {
        keys.stray(&["layers", "direction", "slope", "phase"], "a bar without twist", c);
    }
    let name = keys.layers?;
    if !sets.names().contains(&name.value.as_str()) {
        no_such_set(name, sets, c);
    }
    sets.laid(&name.value, rack)
}

fn no_such_set(name: &Field<String>, sets: &Sets, c: &mut Checker) {
    let word: String = name.value.chars().take(60).collect();
    let nearest = match &sets.names()[..] {
        [] => "add a [[layers]] table of this name, or give the bar's `steel`".to_owned(),
        known => hint(&word, known),
    };
    c.fault(&name.at, &Fault::UnknownWord { word, nearest });
}
