//! The `[[bar]]` tables: the bars of the billet, from the back to the edge.

use blade::Blade;
use laminate::{Asked, Bar, Direction, LayerSet, Program, Serration, Squaring};

use crate::file::checker::Checker;
use crate::file::draft::{Angle, Field, table, words};
use crate::file::problem::{Fault, hint};
use crate::tables::billet::height::{self, HeightDraft, HeightTold};
use crate::tables::billet::layers::{Sets, Stacking};
use crate::tables::billet::serrated::{self, SerratedDraft};
use crate::tables::billet::steel::Rack;
use crate::tables::billet::twist::{self, Twist, TwistDraft};

/// Most bars, as [`laminate::Billet`] takes them.
const MOST_BARS: usize = 9;
/// Angles at which bars may start, degrees: a turn either way.
const PHASES: std::ops::RangeInclusive<f64> = -360.0..=360.0;

words! {
    /// How layers stand in a bar that is not twisted.
    DirectionWord {
        /// Parallel to the blade's sides, counted from left to right.
        Flat = "flat",
        /// Square to the blade's sides, counted from the edge up.
        Upright = "upright",
    }
}

impl From<DirectionWord> for Direction {
    fn from(word: DirectionWord) -> Direction {
        match word {
            DirectionWord::Flat => Direction::Flat,
            DirectionWord::Upright => Direction::Upright,
        }
    }
}

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
        /// How the layers stand before any twist: `upright` (default) square to the blade's sides, or `flat` parallel
        /// to them. Only with `layers`.
        direction: DirectionWord,
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
}

/// Checks the bars; `None` where any was refused.
pub(crate) fn check(
    list: &Field<Vec<Field<BarDraft>>>,
    blade: Option<&Blade>,
    sets: &Sets,
    rack: &mut Rack,
    c: &mut Checker,
) -> Option<Vec<Told>> {
    c.count(list, MOST_BARS, "bars");
    let list = &list.value[..list.value.len().min(MOST_BARS)];
    let names = names(list, c);
    let bars = list.iter().zip(names).enumerate();
    let bars = bars.map(|(i, (field, name))| bar((field, name, i == 0), blade, sets, rack, c));
    let read: Vec<Option<Told>> = bars.collect();
    if let Some(first) = list.first().filter(|_| !list.iter().any(|f| tang(&f.value))) {
        c.fault(&format!("{}.tang", first.at), &Fault::NoTang {});
    }
    read.into_iter().collect()
}

/// The bars' names, given or made.
fn names(list: &[Field<BarDraft>], c: &mut Checker) -> Vec<String> {
    let mut names: Vec<String> = Vec::new();
    for (i, field) in list.iter().enumerate() {
        let given = field.value.name.as_ref().map(|n| n.value.clone());
        let name = given.unwrap_or_else(|| format!("Bar {}", i + 1));
        let taken: Vec<&str> = names.iter().map(String::as_str).collect();
        c.named(&format!("{}.name", field.at), &name, &taken);
        names.push(name);
    }
    names
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
    let made = made_of(field, sets, rack, c);
    let serrated = serrated::check(draft.serrated.as_ref(), first, c);
    let phase = c.angle(draft.phase.as_ref(), PHASES).unwrap_or(0.0);
    let (twist, asked) = match twist::check(draft.twist.as_ref(), phase, blade, c) {
        Twist::Counted(program) => (program, None),
        Twist::Asked(phase, asked) => (Program::new(phase, &[]), Some((phase, asked))),
    };
    let (layers, stacking) = made?;
    let HeightTold { height, ends } = height?;
    let bar = Bar {
        name,
        height,
        layers,
        direction: draft.direction.as_ref().map_or(Direction::Upright, |d| d.value.into()),
        twist,
        squaring: draft.squaring.as_ref().map_or(Squaring::Forged, |s| s.value.into()),
        tang: tang(draft),
        teeth: None,
    };
    Some(Told { bar, ends, serrated, stacking, asked })
}

fn tang(draft: &BarDraft) -> bool {
    draft.tang.as_ref().is_none_or(|t| t.value)
}

/// The one steel, or the layers of the set; `None` where refused.
fn made_of(
    field: &Field<BarDraft>,
    sets: &Sets,
    rack: &mut Rack,
    c: &mut Checker,
) -> Option<(LayerSet, Option<Stacking>)> {
    let given = |key: &str, c: &Checker| c.document.has(&format!("{}.{key}", field.at));
    match (given("steel", c), given("layers", c)) {
        (true, true) => {
            let fault = Fault::Either { key: "steel", other: "layers" };
            c.key_fault(&format!("{}.layers", field.at), &fault);
            None
        }
        (true, false) => plain(field, sets, rack, c).map(|layers| (layers, None)),
        (false, true) => laminated(field, sets, rack, c).map(|(layers, stacking)| (layers, Some(stacking))),
        (false, false) => {
            c.missing(&format!("{}.steel", field.at), "give the bar's `steel`, or `layers` by a set's name");
            None
        }
    }
}

fn plain(field: &Field<BarDraft>, sets: &Sets, rack: &mut Rack, c: &mut Checker) -> Option<LayerSet> {
    c.stray(&field.value.given(), &["name", "height", "steel", "tang", "serrated"], "a bar of one steel");
    let name = field.value.steel.as_ref()?;
    if !rack.has(name, &sets.names(), c) {
        return None;
    }
    rack.take(&name.value).map(LayerSet::plain)
}

/// The layers of a bar that names them, and how they are stacked.
fn laminated(
    field: &Field<BarDraft>,
    sets: &Sets,
    rack: &mut Rack,
    c: &mut Checker,
) -> Option<(LayerSet, Stacking)> {
    if !c.document.has(&format!("{}.twist", field.at)) {
        let takes = ["name", "height", "layers", "direction", "phase", "tang", "serrated"];
        c.stray(&field.value.given(), &takes, "a bar without twist");
    }
    let name = field.value.layers.as_ref()?;
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
