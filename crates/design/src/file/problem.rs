//! What can be wrong with a design file's values, in one list, and where it stands in the file.

use std::ops::Range;

use thiserror::Error;

/// Most problems reported for one file: nobody reads more, and a file of a million wrong keys stays cheap.
const MOST_PROBLEMS: usize = 100;

/// One fault of a design file and where it stands.
#[derive(Clone, Debug, PartialEq)]
pub struct Problem {
    /// The field as a dotted path: `taper[2].back`. Lists count from 0. Empty for the file as a whole.
    pub field: String,
    /// Byte range in the file of the value, key or table header at fault. Within the file, and empty at its
    /// start when there is no such place.
    pub span: Range<usize>,
    /// A short fixed name of the rule.
    pub code: &'static str,
    /// What is wrong.
    pub message: String,
    /// What would be accepted.
    pub help: String,
}

/// Makes the list of a file's rules, an `enum Fault` with `code` and `help`: what the list is, then for each rule its name,
/// code, message and what would be accepted, side by side. Needs `thiserror::Error` in scope.
#[macro_export]
macro_rules! faults {
    ($about:literal $($(#[$doc:meta])* $name:ident { $($field:ident : $kind:ty),* } $code:literal $message:literal => $help:expr;)*) => {
        #[doc = $about]
        #[derive(Clone, Debug, Error, PartialEq)]
        pub(crate) enum Fault {
            $($(#[$doc])* #[error($message)] $name { $($field: $kind),* },)*
        }

        impl Fault {
            pub(crate) fn code(&self) -> &'static str {
                match self { $(Fault::$name { .. } => $code,)* }
            }

            #[allow(unused_variables, reason = "not every hint uses every field")]
            pub(crate) fn help(&self) -> String {
                match self { $(Fault::$name { $($field),* } => $help.to_string(),)* }
            }
        }
    };
}

faults! {
    "The rules on single values. Rules on how measures fit together are the blade's own."
    /// A file over the limit.
    TooLarge { bytes: usize, most: usize } "too-large"
        "the file holds {bytes} bytes" => format!("a design file holds at most {most} bytes");
    /// Bytes that are no UTF-8.
    NotText {} "not-text"
        "from here on the file is not UTF-8 text" => "save the file as UTF-8 text";
    /// Keys or brackets nested too deep.
    TooDeep {} "too-deep"
        "tables are nested too deep here" => "nest four levels at most, as in tang.hole";
    /// Not TOML.
    Syntax { what: String, remedy: String } "syntax"
        "{what}" => remedy;
    /// A value of another type.
    Kind { found: &'static str, remedy: String } "type"
        "this is {found}" => remedy;
    /// A key that the table does not know.
    UnknownKey { key: String, nearest: String } "unknown-key"
        "the key `{key}` is not known here" => nearest;
    /// A key that must be there.
    MissingKey { key: String, why: String } "missing-key"
        "`{key}` is missing" => why;
    /// A key that the chosen form does not use.
    StrayKey { key: String, form: String, known: String } "key-not-used"
        "`{key}` does not belong to {form}" => format!("leave it out; {form} takes {known}");
    /// Two keys that say the same.
    Either { key: &'static str, other: &'static str } "either-or"
        "`{key}` and `{other}` are both given" => format!("give only one of `{key}` and `{other}`");
    /// One steel for a blade that is welded of bars.
    SteelAndBars { other: &'static str } "steel-and-bars"
        "`steel` is for a blade of one steel, and this one has [{other}] too" => "take this line out and give each bar its own `steel`; or keep it and take out [billet], [[bar]] and [[layers]]";
    /// A word out of a fixed list.
    UnknownWord { word: String, nearest: String } "unknown-word"
        "\"{word}\" is not known here" => nearest;
    /// Text that is no quantity.
    Quantity { text: String, why: &'static str, example: &'static str } "quantity"
        "\"{text}\" {why}" => format!("write it like {example}");
    /// NaN or infinite.
    NotFinite {} "not-finite"
        "this is not a finite number" => "give an ordinary number";
    /// Degrees where turns are counted.
    Degrees { turns: f64, most: f64 } "degrees"
        "{turns} turns are more than any bar can take" => format!("give turns, not degrees: 360 degrees is 1 turn; give at most {most}");
    /// A file of millimetres whose unit says inches.
    Millimetres { length: String } "millimetres"
        "with unit = \"in\" this blade would be {length} inches long" => "these look like millimetres: change the numbers to inches, or take the line `unit` out";
    /// A file of inches whose unit says millimetres, or nothing.
    Inches { length: String } "inches"
        "without unit = \"in\" this blade would be {length} mm long" => "these look like inches: put unit = \"in\" under the name, or change the numbers to millimetres";
    /// Out of the field's range.
    Outside { value: String, low: String, high: String } "range"
        "{value} is out of range" => format!("give a value from {low} to {high}");
    /// Too many of something.
    TooMany { count: usize, most: usize, what: &'static str } "too-many"
        "there are {count} {what} here" => format!("give at most {most}");
    /// Too few numbers in a fixed list.
    Numbers { count: usize, wanted: usize } "count"
        "the number of values in this list is {count}" => format!("give exactly {wanted}");
    /// A target whose ends are the wrong way round.
    Backwards {} "order"
        "the larger of the two comes first" => "put the smaller first, as in \"between 900 g and 950 g\"";
    /// A band of temperatures whose ends are the wrong way round.
    Downwards {} "order"
        "the hotter of the two comes first" => "put the lower temperature first";
    /// A heat at which steel has not begun to turn.
    ColdHeat { heat: &'static str, low: String, begins: String } "cold-heat"
        "{heat} from {low} does nothing: this composition begins to transform at {begins} (Ac1)" => format!("give the data sheet's temperatures, well above {begins}; tempering goes under the key `tempering`");
    /// A heat that spoils steel.
    HotHeat { heat: &'static str, high: String, most: String } "hot-heat"
        "{heat} up to {high} makes coarse grain: no plain or low alloy steel needs more than {most} for {heat}" => format!("give the data sheet's temperatures, at most {most}");
    /// A data sheet that leaves what is published of its steel's name. A warning.
    Departs { steel: String, heat: &'static str, published: String } "not-as-published"
        "this differs from what is published for {heat} {steel}: {published}" => "check that this is your steel's data sheet, and check the unit; or give the steel another name";
    /// An own steel with an alloy steel's name and no alloys. A warning.
    LacksAlloys { steel: String } "lacks-alloys"
        "this table leaves out the alloys of {steel}, so it is heated and quenched as a plain carbon steel" => format!("add its alloys, or take the table out: {steel} is known here by its name");
    /// A welding heat at which a steel of the billet burns. A warning.
    WeldHot { heat: String, steel: String, band: String, melts: String } "hot-weld"
        "at {heat} {steel} burns: handbooks weld it at {band}, and it melts from about {melts} (not confirmed)" => format!("give a `weld_heat` within {band}");
    /// A welding heat at which nothing takes. A warning.
    WeldCold { heat: String, least: String } "cold-weld"
        "at {heat} no weld takes in a fire" => format!("give a `weld_heat` of {least} or more, unless you soak sealed packs for hours");
    /// Points of a tempering curve out of order.
    Curve {} "order"
        "this point is not hotter and softer than the one before it" => "list the points from the coldest to the hottest; steel gets softer as it is tempered hotter";
    /// Stations that do not increase.
    Order { at: String, before: String } "order"
        "station {at} comes after {before} but is no further from the shoulder" => "list the stations from the shoulder towards the point";
    /// Places along a bar that do not increase.
    HeightOrder { at: String, before: String } "order"
        "the height at {at} along the bar comes after the one at {before} but is no further from the shoulder" => "list the places from the shoulder towards the point";
    /// A list of heights that is no taper.
    TwoHeights { count: usize } "two-heights"
        "a taper has two heights, this list has {count}" => "give one height, two such as [14, 10] from shoulder to point, or places such as [{ at = 0, is = 14 }, { at = 150, is = 10 }]";
    /// Teeth where there is no weld.
    NoWeld {} "no-weld"
        "this is the bar at the back: there is no bar above it to weld to" => "give `serrated` to the bar under the weld, the one nearer to the edge";
    /// Teeth that take too much of a bar.
    DeepTeeth { depth: String, bar: String, most: String } "deep-teeth"
        "teeth {depth} deep leave too little of {bar}: teeth on both its sides together may take nine tenths of its height" => format!("give a depth of at most {most}, or make the bar taller");
    /// A taper or teeth where bars share a place in the stack.
    SharedPlace { what: &'static str } "shared-place"
        "a bar with `wrap` or `beside` can't be {what}: its parts keep one height all along, and both its welds are straight" => "give one height, and take `serrated` out of this bar and of the one under it; or take `wrap` and `beside` out";
    /// A twist, a taper or teeth in a bar whose layers lie at an angle.
    Slanted { what: &'static str, remedy: &'static str } "slanted"
        "a bar whose layers lie at an angle or on a slope can't be {what}" => remedy;
    /// Layers at an angle in two ways.
    LeansAndSlopes {} "leans-and-slopes"
        "layers that slope along the bar can't lean in its section too" => "give `direction` as \"flat\" or \"upright\"; or take `slope` out";
    /// A slope too slight to be one.
    SlightSlope { slope: String, least: &'static str } "slight-slope"
        "a slope of {slope} is too slight" => format!("give {least} or more, with a minus where the layers run down towards the point; or take `slope` out");
    /// Plugs in a bar that bears none.
    NoPlugs { what: &'static str, remedy: &'static str } "no-plugs"
        "a bar {what} can't have plugs" => remedy;
    /// A plug too near the bar's ends, or beyond them.
    PlugOff { at: String, least: String, remedy: String } "plug-off"
        "a plug at {at} has less than {least} of the bar between it and the bar's end: shoulder and point are forged hardest, and a hole there opens" => remedy;
    /// A plug where the bar is twisted.
    TwistedPlug { bar: String } "twisted-plug"
        "{bar} is twisted here: a rod in it would be sheared off" => "give a place where the bar stays straight, or leave it so there with `straight = true` in its `twist`";
    /// A plug too thick for its bar.
    ThickPlug { diameter: String, high: String, wall: String, most: String } "thick-plug"
        "a plug of {diameter} leaves less than {wall} of a bar {high} high above and below it: so thin a wall bulges as the rod is driven in" => format!("give a diameter of at most {most}, or make the bar taller");
    /// A plug too near a face of its bar.
    PlugAtFace { height: String, wall: String, low: String, high: String } "plug-at-face"
        "a plug {height} up leaves less than {wall} of the bar beside it: so thin a wall bulges as the rod is driven in, or is ground through" => format!("give a height from {low} to {high}, or a thinner plug");
    /// Plugs that meet or nearly do.
    PlugsMeet { gap: String, least: String } "plugs-meet"
        "only {gap} of the bar is left between this plug and one listed before it: so narrow a bridge tears" => format!("move one of them so that {least} or more is left, or make them thinner");
    /// A plug that does not show. A warning.
    HiddenPlug {} "hidden-plug"
        "no part of this plug is left on the finished blade: it is cut or ground away" => "move it to where the blade is, with `height` and `at` or `station`";
    /// A plug that the cutting edge runs through. A warning.
    PlugAtEdge { from: String, to: String, steel: String, bar: String } "plug-at-edge"
        "from station {from} to {to} the cutting edge runs through this plug of {steel}: its hardness there is not the figure given for {bar}" => "give a greater `height`, a thinner plug or a steel that hardens alike; or let a bar without plugs be the edge";
    /// A wrap that leaves nothing of what it wraps.
    NoCore { taken: String, of: &'static str, all: String, least: String } "no-core"
        "the wrap takes {taken} of a {of} of {all}: too little is left inside it" => format!("make the wrap thinner, so that {least} or more is left, or make the {of} larger");
    /// Bars side by side without room.
    NoRoomBeside { taken: String, room: String, least: String } "no-room"
        "these bars take {taken} of a width of {room}: too little is left for the bars with no `width` of their own" => format!("give smaller widths, so that each has {least} or more, or a wider `width` in [billet]");
    /// A target of the pattern where bars share a place in the stack.
    SharedTargets {} "shared-targets"
        "targets of the pattern can't be met by `fit` in a stack with `wrap` or `beside`" => "take this target out; mass, balance and the others of [targets] may stay";
    /// A height beyond the bar's end. A warning.
    HeightBeyond { at: String, end: String } "beyond-bar"
        "this height is for a place {at} along the bar, but the bar ends at {end}" => format!("give places up to {end}, as on the bar in the stack, before you draw it out into the blade; or two heights, from shoulder to point");
    /// Thicknesses of stop blocks that do not decrease.
    Rising { stop: String, before: String } "order"
        "a stop block of {stop} comes after {before} but is no thinner" => "list the stop blocks from thick to thin";
    /// A gauge where sections fan out towards the point.
    NotSquare { at: String, most: String } "not-square"
        "at station {at}, the sections already turn towards the point, so you can't hold a gauge square there" => format!("give stations up to {most}");
    /// A gauge in front of the point.
    PastPoint { at: String, length: String, most: String } "past-point"
        "station {at} lies past the point at {length}" => format!("give stations up to {most}");
    /// A stretch of twist that begins before the one before it ends.
    Overlap { at: String, end: String } "overlap"
        "this stretch begins at station {at}, but the one before it ends at {end}" => format!("let it begin at {end} or further on; or leave `from` out, and it begins where that one ends");
    /// Stretches of twist on the bar and on the blade.
    TwoScales {} "two-scales"
        "`length` counts along the bar, but this twist also has stretches by stations of the blade" => "give all stretches of the bar by `from` and `to`, or all by `length`";
    /// A tab that leaves the jig's insert too little wall.
    ThinWall { tab: String, size: String, most: String } "thin-wall"
        "a tab of {tab} leaves too thin a wall in a bore of {size}" => format!("give at most {most}, or a larger jig.size");
    /// A tab thicker than the bar that it is forged on. A warning.
    ThickTab { tab: String, bar: String } "thick-tab"
        "a tab of {tab} is thicker than the bar of {bar} that it is forged on" => "you forge the tab down from the bar; check both figures";
    /// A jig sized for another bar than the billet's. A warning.
    OtherBar { given: String, bar: String, side: String } "other-bar"
        "the jig is for a bar of {given}, but {bar} is {side} square when you twist it" => format!("give bar = \"{side}\" in [jig], or leave `bar` out");
    /// Gaps that do not grow from press to loose. A warning.
    Gaps { less: &'static str, small: String, more: &'static str, large: String } "gaps"
        "the gap of a {less} fit, {small}, is wider than that of a {more} fit, {large}" => "gaps grow from press to sliding to loose; check them with the fit coupon";
    /// A number with a fraction where things are counted.
    Whole {} "whole-number"
        "this is not a whole number" => "give a whole number";
    /// A name that is taken.
    Taken { name: String } "name-taken"
        "the name \"{name}\" is used twice" => "give each its own name";
    /// Too few of something.
    TooFew { count: usize, least: usize, what: &'static str, why: &'static str } "too-few"
        "the number of {what} here is {count}" => format!("give at least {least}; {why}");
    /// Layers that no bar can take, for there is none. A warning.
    LayersAlone {} "layers-alone"
        "there is no billet, so the blade is of one steel and no bar has these layers" => "add [billet] with the width of the bars, and [[bar]] with height and layers; or remove the layers";
    /// A target far from the blade. Told by `check`.
    FarTarget { wanted: String, found: String, meant: String } "far-target"
        "the target is {wanted}, but the blade comes to {found}" => format!("{meant}check the figure and its unit: `fit` adjusts a blade, it does not make a different one");
    /// A target for bars, where there are none.
    NoBars {} "no-bars"
        "this asks for a pattern of bars, and the blade has no billet" => "add [billet] and [[bar]], or take this line out";
    /// A target for layers of a bar that has none.
    NoLayers { bar: String } "no-layers"
        "{bar} is of one steel and shows no layers" => "name a bar with `layers`";
    /// A target for the seam under the lowest bar.
    NoSeam { bar: String } "no-seam"
        "no seam lies under {bar}: it is the edge bar" => "name the bar above the seam";
    /// Chevrons of bars that don't touch.
    NotNeighbours { upper: String, lower: String } "not-neighbours"
        "{lower} does not lie right under {upper}" => "name two bars that touch, the one nearer to the back first";
    /// Chevrons of a bar that is not twisted.
    NotTwisted { bar: String } "not-twisted"
        "{bar} is not twisted" => format!("chevrons need two bars twisted against each other: give {bar} a `twist`, or name other bars");
    /// Alloying elements that leave no steel.
    AlloySum { sum: String } "alloy-sum"
        "these elements add up to {sum} %" => "give less than 50 % in total: the rest is iron";
    /// Two neighbouring layers of one steel.
    SameSteel { steel: String } "same-steel"
        "two layers of {steel} lie on top of each other" => "name it once and make it thicker with `thickness`";
    /// A tang of no bar.
    NoTang {} "no-tang"
        "no bar runs into the tang" => "leave out `tang = false` in at least one bar";
    /// What only the billet as a whole can tell.
    Stack { what: String } "stack"
        "{what}" => "check [billet] and every [[bar]] against this";
    /// A stack that would have to be upset. A warning.
    ThinStack { part: &'static str, at: String, times: f64, remedy: String } "thin-stack"
        "at station {at}, the forged {part} has {times:.2} times the section of the stack" => format!("forging draws a stack out, it can't make it thicker: {remedy}");
    /// A twist that tears bars. A warning.
    TightTwist { stretch: f64, side: String, most_stretch: f64, most: f64 } "tight-twist"
        "this twist makes the corners of the bar, {side} square, {stretch:.0} % longer; over {most_stretch:.0} % they tear, even in two rounds of heats" => format!("give at most {most} turns here, or a thinner bar");
    /// A pitch that tears the bar's corners. A warning.
    TightPitch { at: String, turn: String, side: String, stretch: f64, most_stretch: f64, least: String } "tight-twist"
        "at station {at}, this pitch asks for a turn in {turn} of the bar, {side} square: its corners get {stretch:.0} % longer; over {most_stretch:.0} % they tear, even in two rounds of heats" => format!("give a `pitch` of at least {least}; or a thinner bar, or let the stretch end further from the point");
    /// A tab thicker than a bar of the billet. A warning.
    TabOverBar { tab: String, bar: String, side: String, most: String } "thick-tab"
        "a tab of {tab} is thicker than {bar}, which is {side} square when you twist it" => format!("give a tab of at most {most}: you forge it down from the bar");
    /// A stretch of twist past the bar's end. A warning.
    BeyondBar { at: String, end: String } "beyond-bar"
        "this stretch begins {at} along the bar, which ends at {end}" => "give lengths of twist as on the bar in the stack, before you draw it out into the blade";
    /// A table that nothing names. A warning.
    Unused { name: String, what: &'static str } "unused"
        "no {what} uses \"{name}\"" => "remove it, or name it where it belongs";
    /// A name that can't be shown or written as a file name.
    Name {} "name"
        "this can't be a name" => "give 1 to 100 characters in one line, not only spaces";
    /// A sharp inside corner at the shoulder, where blades crack. A warning.
    StressRiser { radius: String, least: String } "stress-riser"
        "a shoulder radius of {radius} invites a crack" => format!("give at least {least} where there is room");
    /// A taper station in front of the point. A warning.
    BeyondPoint { at: String, length: String } "beyond-point"
        "the taper's station {at} lies beyond the point at {length}" => "end the taper at the point: the thickness given beyond it is never reached";
    /// A thickness that grows towards the point. A warning.
    Swelling { thickness: String, before: String } "swelling"
        "the back grows from {before} to {thickness} towards the point" => "blades get thinner towards the point; check the figure";
    /// A fitting with its middle off the tang. A warning.
    OffTang { at: String, length: String } "off-tang"
        "a fitting at {at} lies beyond the end of the tang, {length} behind the shoulder" => "stations on the tang are negative, counted from the shoulder; check the figure";
    /// A fitting in front of the shoulder. A warning.
    OnBlade { at: String } "on-blade"
        "this fitting sits on the blade, {at} ahead of the shoulder" => "stations on the tang are negative; put a minus before the figure if the fitting belongs on the tang";
    /// A fitting as light as nothing. A warning.
    LightFitting { mass: String, unit: &'static str } "light-fitting"
        "this fitting weighs {mass}, less than a coin" => format!("plain numbers are {unit}; write \"1 kg\" or \"1 lb\" for other units");
    /// An edge that does not harden. A warning.
    SoftEdge { steel: String, carbon: f64 } "soft-edge"
        "the cutting edge runs in {steel}, which has {carbon} % carbon: it stays soft" => "put a steel with 0.6 % carbon or more at the edge";
    /// A fitting heavier than most blades. A warning.
    HeavyFitting { mass: String, grams: f64, plain: f64 } "heavy-fitting"
        "this fitting weighs {mass}, more than most blades" => format!("{mass} is {:.1} kg; if you meant grams, write \"{plain} g\"", *grams / 1000.0);
    /// A tang that bends in the hand. A warning.
    ThinTang { thickness: String, least: String } "thin-tang"
        "a tang {thickness} thick at the shoulder will bend" => format!("make it at least {least} thick; or leave the key out, and a thickness is chosen for you");
    /// A stack not as wide as the forged blade is thick. A warning.
    NarrowStack { width: String, thickness: String } "narrow-stack"
        "the stack is {width} wide, the forged blade {thickness} thick" => "bars get thinner under the hammer, not thicker: make the stack wider";
    /// A forged thickness beyond the bar's.
    ThickerThanBar { thickness: String, bar: String, most: String } "thicker-than-bar"
        "the forged blade would be {thickness} thick here, more than the bar of {bar}" => format!("give at most {most}, or a thicker shop.bar");
    /// A tolerance that no mesh can keep.
    TooFine { tolerance: String, usual: String, most: usize } "tolerance"
        "a tolerance of {tolerance} would need more than {most} triangles" => format!("give a larger tolerance; {usual} is usual");
    /// More problems than are shown.
    More { count: usize } "more"
        "and {count} more problems" => "fix these first";
}

/// Collects the problems of one file: the first hundred, and how many more there are.
#[derive(Debug, Default)]
pub(crate) struct Problems {
    problems: Vec<Problem>,
    /// Where the first of those that are not told is, and how many they are.
    more: Option<(Range<usize>, usize)>,
}

impl Problems {
    pub(crate) fn add(&mut self, field: &str, span: Range<usize>, fault: &Fault) {
        self.push(told(field, span, fault));
    }

    /// Adds a problem; of more than can be read only that there are more.
    pub(crate) fn push(&mut self, problem: Problem) {
        match self.problems.len() < MOST_PROBLEMS {
            true => self.problems.push(problem),
            false => self.count(problem.span, 1),
        }
    }

    fn count(&mut self, span: Range<usize>, problems: usize) {
        self.more.get_or_insert((span, 0)).1 += problems;
    }

    /// Whether a problem keeps the blade itself from being judged: one inside the tables that shape it.
    pub(crate) fn spoils_blade(&self) -> bool {
        const SHAPING: [&str; 7] = ["outline", "section", "taper", "ricasso", "fuller", "tang", "stages"];
        let shaping = |p: &Problem| SHAPING.iter().any(|table| p.field.starts_with(table));
        self.more.is_some() || self.problems.iter().any(|p| p.code != "unknown-key" && shaping(p))
    }

    /// The problems in the order of the file, and last how many more there are.
    pub(crate) fn sorted(mut self) -> Vec<Problem> {
        self.problems.sort_by_key(|p| (p.span.start, p.span.end));
        if let Some((span, count)) = self.more {
            self.problems.push(told("", span, &Fault::More { count }));
        }
        self.problems
    }

    /// These problems and `more`.
    pub(crate) fn merged(mut self, more: Problems) -> Problems {
        more.problems.into_iter().for_each(|problem| self.push(problem));
        if let Some((span, count)) = more.more {
            self.count(span, count);
        }
        self
    }

    /// Whether there are problems, and all of these codes.
    pub(crate) fn has_only(&self, codes: &[&str]) -> bool {
        !self.is_empty() && self.problems.iter().all(|p| codes.contains(&p.code))
    }

    pub(crate) fn is_empty(&self) -> bool {
        self.problems.is_empty()
    }
}

/// A fault with its field and place.
fn told(field: &str, span: Range<usize>, fault: &Fault) -> Problem {
    Problem {
        field: field.to_owned(),
        span,
        code: fault.code(),
        message: fault.to_string(),
        help: fault.help(),
    }
}

/// What people call a key: the word, another key of the table that it may be meant in, and the key itself.
const SAME: [(&str, &str, &str); 16] = [
    ("width", "length", "breadth"),
    ("width", "squaring", "height"),
    ("width", "form", "breadth"),
    ("thickness", "grind", "back"),
    ("thickness", "squaring", "height"),
    ("thickness", "run_in", "depth"),
    ("breadth", "run_in", "width"),
    ("breadth", "squaring", "height"),
    ("height", "broadest", "breadth"),
    ("station", "at", "at"),
    ("position", "at", "at"),
    ("station", "run_in", "start"),
    ("weight", "mass", "mass"),
    ("material", "squaring", "steel"),
    ("direction", "turns", "hand"),
    ("layers", "restack", "count"),
];

/// The hint for a key that is not among those `known`: the one that this word is often used for, or the nearest.
pub(crate) fn key_hint(key: &str, known: &[&str]) -> String {
    let meant = |(word, beside, meant): &&(&str, &str, &str)| {
        key.eq_ignore_ascii_case(word) && known.contains(beside) && known.contains(meant)
    };
    match SAME.iter().find(meant) {
        Some((_, _, meant)) => format!("did you mean `{meant}`? Known here: {}", listed(known)),
        None => hint(key, known),
    }
}

/// Words in backquotes, with commas between them.
fn listed(known: &[&str]) -> String {
    known.iter().map(|k| format!("`{k}`")).collect::<Vec<_>>().join(", ")
}

/// The hint for a word or key that is not among `known`: the nearest one, or all of them.
pub fn hint(word: &str, known: &[&str]) -> String {
    // A third of the letters may differ: enough for slips and for plurals, too little for other words.
    const NEAR: f64 = 0.66;
    // Comparing costs the product of both lengths, and no known word is near this long.
    const LONGEST: usize = 64;
    let list = listed(known);
    let like =
        |k: &str| strsim::normalized_damerau_levenshtein(word, k).max(0.95 * strsim::jaro(word, k) - 0.1);
    let nearness = |k: &str| if k.eq_ignore_ascii_case(word) { 1.0 } else { like(k) };
    let near = known.iter().filter(|_| word.len() <= LONGEST).map(|k| (nearness(k), k));
    match near.max_by(|a, b| a.0.total_cmp(&b.0)).filter(|best| best.0 >= NEAR) {
        Some((_, best)) => format!("did you mean `{best}`? Known here: {list}"),
        None => format!("known here: {list}"),
    }
}
