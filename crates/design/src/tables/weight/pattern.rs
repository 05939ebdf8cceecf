//! The pattern that `[targets]` asks the finished blade to show: breadths of bars, seams, reveal, layers, chevrons.

use blade::Blade;
use laminate::{Billet, Run};

use crate::file::checker::{Checker, REACH};
use crate::file::draft::{Field, Length, table, words};
use crate::file::problem::{Fault, hint};
use crate::tables::billet::pitch::on_blade;
use crate::tables::weight::pattern_target::{PatternAim, PatternAsked};
use crate::tables::weight::targets::{TargetsDraft, in_order, wanted_length};
use crate::tables::weight::wanted::{BreadthDraft, Counts, Shares, Wanted, WantedDraft};

/// Most targets of a kind: five for each of nine bars.
const MOST_TARGETS: usize = 45;
/// Shares of a side accepted.
const SHARES: std::ops::RangeInclusive<f64> = 0.0..=1.0;
/// Reveals accepted: to the middle of the bar, and on a blade ground from one side on to its far skin.
const REVEALS: std::ops::RangeInclusive<f64> = 0.0..=2.0;
/// Numbers of layers accepted.
const COUNTS: std::ops::RangeInclusive<f64> = 1.0..=5000.0;
/// How far a seam may leave its run unless given, mm: what the eye takes for even (common practice, no source).
const WITHIN: f64 = 0.5;
/// Deviations of seams accepted, mm.
const WITHINS: std::ops::RangeInclusive<f64> = 0.01..=50.0;
words! {
    /// A side of the blade.
    SideWord {
        /// Held edge down with the point away.
        Right = "right",
        /// The other.
        Left = "left",
    }
}

words! {
    /// How a seam should run.
    RunWord {
        /// As a straight line.
        Straight = "straight",
        /// At one distance from the back.
        Back = "along the back",
        /// At one distance from the edge.
        Edge = "along the edge",
    }
}

table! {
    /// What a bar should show on the finished blade at a station: at least one of `breadth`, `reveal` and `layers`.
    BarTargetDraft {
        /// The bar, by its name.
        #[schemars(required)]
        bar: String,
        /// The station, from the shoulder.
        #[schemars(required)]
        at: Length,
        /// Breadth it takes of the side: a length such as "at least 8 mm", or a share of the side's breadth such as "25 %".
        breadth: BreadthDraft,
        /// How deep the finished surface cuts into it, in the middle of its breadth: 0 % at the forged skin, 100 % in the
        /// middle of the bar; a number is in percent.
        reveal: WantedDraft<Shares>,
        /// Layers that a line square to the blade crosses within the bar: a number, or text such as "at least 5".
        layers: WantedDraft<Counts>,
        /// The side where reveal and layers are looked at: `right` (default) or `left`.
        side: SideWord,
    }
}

table! {
    /// How a seam should run on the finished blade.
    SeamTargetDraft {
        /// The bar above the seam, by its name: the seam is on its edge side.
        #[schemars(required)]
        under: String,
        /// `straight`, `along the back` (at one distance from it) or `along the edge`.
        #[schemars(required)]
        run: RunWord,
        /// The station from which it counts. Default: the shoulder.
        from: Length,
        /// The station up to which it counts. Default: one breadth before the point.
        to: Length,
        /// How far the seam may wander from that run. Default 0.5 mm.
        within: Length,
    }
}

table! {
    /// Two bars, twisted against each other, whose layers should meet at their seam at a station.
    ChevronsDraft {
        /// The two bars by their names, the one nearer to the back first.
        #[schemars(required)]
        bars: [Field<String>; 2],
        /// The station, from the shoulder.
        #[schemars(required)]
        at: Length,
    }
}

/// The bars that names stand for, while a file is checked.
struct Bars<'a> {
    billet: Option<&'a Billet>,
    blade: Option<&'a Blade>,
}

/// Checks what the table asks of the pattern, on the billet and the blade as far as they could be read.
pub(crate) fn check(
    draft: Option<&Field<TargetsDraft>>,
    billet: Option<&Billet>,
    blade: Option<&Blade>,
    c: &mut Checker,
) -> Vec<PatternAsked> {
    let Some(d) = draft.map(|field| &field.value) else { return Vec::new() };
    let places = [d.edge_bar.as_ref().map(|f| &f.at), d.bar.as_ref().map(|f| &f.at)];
    let more = [d.seam.as_ref().map(|f| &f.at), d.chevrons.as_ref().map(|f| &f.at)];
    if !(c.document.has("billet") || c.document.has("bar")) {
        places.into_iter().chain(more).flatten().for_each(|at| c.key_fault(at, &Fault::NoBars {}));
        return Vec::new();
    }
    if billet.is_some_and(|billet| billet.places() < billet.bars().len()) {
        places.into_iter().chain(more).flatten().for_each(|at| c.key_fault(at, &Fault::SharedTargets {}));
        return Vec::new();
    }
    let bars = Bars { billet, blade };
    let mut all = Vec::new();
    if let Some(wanted) = wanted_length(d.edge_bar.as_ref(), REACH, c) {
        all.push(PatternAsked { aim: PatternAim::EdgeBar, wanted });
    }
    listed(d.bar.as_ref(), c).iter().for_each(|field| bars.shown(field, &mut all, c));
    listed(d.seam.as_ref(), c).iter().for_each(|field| all.extend(bars.seam(field, c)));
    listed(d.chevrons.as_ref(), c).iter().for_each(|field| all.extend(bars.chevrons(field, c)));
    all
}

/// A list of targets, if any, none longer than is accepted.
fn listed<'l, T>(list: Option<&'l Field<Vec<Field<T>>>>, c: &mut Checker) -> &'l [Field<T>] {
    let Some(list) = list else { return &[] };
    c.count(list, MOST_TARGETS, "targets");
    &list.value[..list.value.len().min(MOST_TARGETS)]
}

impl Bars<'_> {
    /// The bar of a name; `None` where it is missing, wrong, or the billet could not be read.
    fn named(&self, field: Option<&Field<String>>, path: &str, c: &mut Checker) -> Option<usize> {
        let Some(field) = field else {
            c.missing(path, "give the name of a bar");
            return None;
        };
        let names: Vec<&str> = self.billet?.bars().iter().map(|b| b.name.as_str()).collect();
        let found = names.iter().position(|name| *name == field.value);
        if found.is_none() {
            let word: String = field.value.chars().take(60).collect();
            let nearest = hint(&word, &names);
            c.fault(&field.at, &Fault::UnknownWord { word, nearest });
        }
        found
    }

    fn at(&self, field: Option<&Field<Length>>, path: &str, c: &mut Checker) -> Option<f64> {
        if field.is_none() {
            c.missing(path, "give the station's distance from the shoulder");
        }
        on_blade(field, self.blade, c)
    }

    /// What a bar should show at a station.
    fn shown(&self, field: &Field<BarTargetDraft>, all: &mut Vec<PatternAsked>, c: &mut Checker) {
        let d = &field.value;
        let path = |key: &str| format!("{}.{key}", field.at);
        let bar = self.named(d.bar.as_ref(), &path("bar"), c);
        let at = self.at(d.at.as_ref(), &path("at"), c);
        let right = d.side.as_ref().is_none_or(|side| side.value == SideWord::Right);
        let share = matches!(d.breadth.as_ref().map(|f| &f.value), Some(BreadthDraft::Share(_)));
        let breadth = wanted_breadth(d.breadth.as_ref(), c);
        let reveal = d.reveal.as_ref().and_then(|f| wanted(f, &f.value, 0.01, REVEALS, c));
        let layers = d.layers.as_ref().and_then(|f| wanted(f, &f.value, 1.0, COUNTS, c));
        if !["breadth", "reveal", "layers"].iter().any(|key| c.document.has(&path(key))) {
            c.missing(&path("breadth"), "give at least one of breadth, reveal and layers");
        }
        let Some((bar, at)) = bar.zip(at) else { return };
        let plain = self.billet.and_then(|b| b.bars().get(bar)).filter(|b| b.layers.layers().len() < 2);
        if let Some((f, plain)) = d.layers.as_ref().zip(plain) {
            c.key_fault(&f.at, &Fault::NoLayers { bar: plain.name.clone() });
        }
        let aims = [
            (PatternAim::Breadth { bar, at, share }, breadth),
            (PatternAim::Reveal { bar, at, right }, reveal),
            (PatternAim::Layers { bar, at, right }, layers),
        ];
        let asked = |(aim, wanted): (PatternAim, Option<Wanted>)| Some(PatternAsked { aim, wanted: wanted? });
        all.extend(aims.into_iter().filter_map(asked));
    }

    /// How a seam should run.
    fn seam(&self, field: &Field<SeamTargetDraft>, c: &mut Checker) -> Option<PatternAsked> {
        let d = &field.value;
        let path = |key: &str| format!("{}.{key}", field.at);
        let under = self.named(d.under.as_ref(), &path("under"), c);
        if d.run.is_none() {
            c.missing(&path("run"), "give \"straight\", \"along the back\" or \"along the edge\"");
        }
        let within = c.length_or(d.within.as_ref(), WITHINS, WITHIN);
        let from = on_blade(d.from.as_ref(), self.blade, c).unwrap_or(0.0);
        let fan = self.blade.map(Blade::fan_start);
        let to = on_blade(d.to.as_ref(), self.blade, c).or(fan)?;
        if to <= from {
            let at = if d.to.is_some() { "to" } else { "from" };
            let fault = Fault::Order { at: c.length_text(to), before: c.length_text(from) };
            c.fault(&path(at), &fault);
            return None;
        }
        let (under, run) = (under?, d.run.as_ref()?.value);
        let bars = self.billet?.bars();
        if under + 1 == bars.len() {
            c.fault(&path("under"), &Fault::NoSeam { bar: bars[under].name.clone() });
            return None;
        }
        let run = match run {
            RunWord::Straight => Run::Straight,
            RunWord::Back => Run::AlongBack,
            RunWord::Edge => Run::AlongEdge,
        };
        let aim = PatternAim::Seam { under, run, between: [from, to] };
        Some(PatternAsked { aim, wanted: Wanted::AtMost(within) })
    }

    /// Where chevrons should meet.
    fn chevrons(&self, field: &Field<ChevronsDraft>, c: &mut Checker) -> Option<PatternAsked> {
        let d = &field.value;
        let path = |key: &str| format!("{}.{key}", field.at);
        if d.bars.is_none() {
            c.missing(&path("bars"), "give the names of two bars, the one nearer to the back first");
        }
        let at = self.at(d.at.as_ref(), &path("at"), c);
        let pair = d.bars.as_ref()?;
        let [upper, lower] = pair.value.each_ref().map(|name| self.named(Some(name), &name.at, c));
        let ((upper, lower), bars) = (upper.zip(lower)?, self.billet?.bars());
        if lower != upper + 1 {
            let [upper, lower] = [upper, lower].map(|bar| bars[bar].name.clone());
            c.fault(&pair.at, &Fault::NotNeighbours { upper, lower });
            return None;
        }
        for (name, bar) in pair.value.iter().zip([upper, lower]) {
            if !c.document.has(&format!("bar[{bar}].twist")) {
                c.fault(&name.at, &Fault::NotTwisted { bar: name.value.clone() });
                return None;
            }
        }
        Some(PatternAsked { aim: PatternAim::Chevrons { upper, at: at? }, wanted: Wanted::Exactly(0.0) })
    }
}

/// A breadth wanted, as a length (mm) or as a share.
fn wanted_breadth(field: Option<&Field<BreadthDraft>>, c: &mut Checker) -> Option<Wanted> {
    let field = field?;
    match &field.value {
        BreadthDraft::Share(share) => wanted(field, share, 0.01, SHARES, c),
        BreadthDraft::Length(length) => {
            let same = Field { value: *length, at: field.at.clone(), span: field.span.clone() };
            wanted_length(Some(&same), REACH, c)
        }
    }
}

/// A share or a count wanted, plain numbers in so many parts of 1, each of its limits in range.
fn wanted<S, T>(
    field: &Field<T>,
    draft: &WantedDraft<S>,
    plain: f64,
    range: std::ops::RangeInclusive<f64>,
    c: &mut Checker,
) -> Option<Wanted> {
    let wanted = draft.said.with(plain);
    let unit = if plain < 1.0 { " %" } else { " layers" };
    let told = range.start() / plain..=range.end() / plain;
    for value in wanted.named() {
        c.within(field, value, &told, plain, unit)?;
    }
    in_order(field, wanted, c)
}

#[cfg(test)]
mod tests {
    use crate::{Compared, Design, Problem};

    const BLADE: &str =
        "name = \"Sluice seax\"\n[outline]\nlength = 300\nbreadth = 34\n[[taper]]\nat = 0\nback = 6\n";
    const BARS: &str = "[billet]\nwidth = 12\n[[layers]]\nname = \"fine\"\nsteels = [\"C75S\", \"75Ni8\"]\ncount = 7\n\
        [[bar]]\nname = \"Back\"\nheight = 8\nsteel = \"C45\"\n\
        [[bar]]\nname = \"Upper\"\nheight = 9\nlayers = \"fine\"\ntwist = [{ hand = \"right\", turns = 1 }]\n\
        [[bar]]\nname = \"Lower\"\nheight = 9\nlayers = \"fine\"\ntwist = [{ hand = \"left\", turns = 1 }]\nphase = 20\n\
        [[bar]]\nname = \"Edge\"\nheight = 15\nsteel = \"C105U\"\n";

    fn read(targets: &str) -> Result<Design, Vec<Problem>> {
        crate::read(format!("{BLADE}{BARS}[targets]\n{targets}\n").as_bytes())
    }

    #[test]
    fn what_is_asked_of_the_pattern_is_read_and_held_against_the_blade() {
        let design = read(
            "edge_bar = \"at least 10 mm\"\n\
             bar = [{ bar = \"Upper\", at = 100, breadth = \"20 %\", reveal = \"about 20 %\" },\n\
                    { bar = \"Lower\", at = 150, layers = \"at least 3\", side = \"left\" }]\n\
             seam = [{ under = \"Back\", run = \"along the back\", to = 200 }]\n\
             chevrons = [{ bars = [\"Upper\", \"Lower\"], at = 120 }]",
        )
        .unwrap();
        let found = design.against_pattern();
        let keys: Vec<_> = found.iter().map(|t| t.aim.key()).collect();
        assert_eq!(keys, ["edge_bar", "breadth", "reveal", "layers", "seam", "chevrons"]);
        assert!(found.iter().all(|t| t.found.is_some()), "{found:#?}");
        assert!(design.against_targets().is_empty());
        // The lower bar begins 20° on: a twentieth of a turn and a bit.
        assert!((found[5].found.unwrap().abs() - 20.0 / 360.0).abs() < 1e-6 && !found[5].is_reached());
        let text = crate::Summary::from_design(&design).text();
        for says in [
            "edge bar (Edge), narrowest at station ",
            ": wanted at least 10.00 mm, now ",
            "Upper, breadth at station 100 mm: wanted 20.0 %, now ",
            "Upper, reveal at station 100 mm, right side: wanted about 20.0 %",
            "Lower, layers at station 150 mm, left side: wanted at least 3, now ",
            "seam under Back, along the back from station 0 mm to 200 mm: wanders ",
            "chevrons of Upper and Lower, at station 120 mm: wanted to meet, now ",
        ] {
            assert!(text.contains(says), "{says} in\n{text}");
        }
        let json = serde_json::to_value(&found).unwrap();
        assert!(json[1]["wanted"] == 0.2 && json[1]["unit"] == "share" && json[1]["at_mm"] == 100.0);
        assert!(json[0]["at_least"] == 10.0 && json[0].get("at_most").is_none());
    }

    /// Each is one mistake, told at its place, with what would do.
    #[test]
    fn what_cannot_be_asked_is_one_mistake_each() {
        for (bad, field, says, helps) in [
            ("edge_bar = \"at least 9 kg\"", "edge_bar", "no unit of length", "at most 80 mm"),
            ("edge_bar = -1", "edge_bar", "out of range", "0 mm to"),
            (
                "bar = [{ bar = \"Uper\", at = 9, breadth = 5 }]",
                "bar[0].bar",
                "not known",
                "did you mean `Upper`",
            ),
            (
                "bar = [{ bar = \"Upper\", at = 9 }]",
                "bar[0].breadth",
                "is missing",
                "breadth, reveal and layers",
            ),
            ("bar = [{ bar = \"Upper\", breadth = 5 }]", "bar[0].at", "is missing", "station"),
            ("bar = [{ at = 5, breadth = 5 }]", "bar[0].bar", "is missing", "name of a bar"),
            (
                "bar = [{ bar = \"Upper\", at = 999, breadth = 5 }]",
                "bar[0].at",
                "past the point",
                "up to 300 mm",
            ),
            (
                "bar = [{ bar = \"Upper\", at = 9, breadth = \"120 %\" }]",
                "bar[0].breadth",
                "out of range",
                "100 %",
            ),
            ("bar = [{ bar = \"Upper\", at = 9, breadth = [1] }]", "bar[0].breadth", "a list", "25 %"),
            ("bar = [{ bar = \"Upper\", at = 9, reveal = \"deep\" }]", "bar[0].reveal", "deep", "25 %"),
            (
                "bar = [{ bar = \"Upper\", at = 9, reveal = \"between 9 % and 3 %\" }]",
                "bar[0].reveal",
                "larger",
                "smaller first",
            ),
            (
                "bar = [{ bar = \"Back\", at = 9, layers = 5 }]",
                "bar[0].layers",
                "of one steel",
                "with `layers`",
            ),
            (
                "bar = [{ bar = \"Upper\", at = 9, layers = 0 }]",
                "bar[0].layers",
                "out of range",
                "1 layers to",
            ),
            ("bar = [{ bar = \"Upper\", at = 9, layers = nan }]", "bar[0].layers", "finite", "ordinary"),
            (
                "seam = [{ under = \"Edge\", run = \"straight\" }]",
                "seam[0].under",
                "edge bar",
                "above the seam",
            ),
            ("seam = [{ under = \"Back\", run = \"wavy\" }]", "seam[0].run", "not known", "straight"),
            ("seam = [{ under = \"Back\" }]", "seam[0].run", "is missing", "along the edge"),
            (
                "seam = [{ under = \"Back\", run = \"straight\", from = 90, to = 20 }]",
                "seam[0].to",
                "no further",
                "towards",
            ),
            (
                "chevrons = [{ bars = [\"Upper\", \"Edge\"], at = 9 }]",
                "chevrons[0].bars",
                "right under",
                "touch",
            ),
            (
                "chevrons = [{ bars = [\"Lower\", \"Upper\"], at = 9 }]",
                "chevrons[0].bars",
                "right under",
                "touch",
            ),
            (
                "chevrons = [{ bars = [\"Back\", \"Upper\"], at = 9 }]",
                "chevrons[0].bars[0]",
                "not twisted",
                "two bars",
            ),
            (
                "chevrons = [{ bars = [\"Upper\"], at = 9 }]",
                "chevrons[0].bars",
                "in this list is 1",
                "exactly 2",
            ),
            ("chevrons = [{ bars = [\"Upper\", \"Lower\"] }]", "chevrons[0].at", "is missing", "station"),
            ("edge_bar = 9\nheights = 200", "heights", "out of range", "90 %"),
        ] {
            let problems = read(bad).unwrap_err();
            let (p, at) = (&problems[0], format!("targets.{field}"));
            assert_eq!((problems.len(), p.field.as_str()), (1, at.as_str()), "{bad}: {problems:#?}");
            assert!(p.message.contains(says) && p.help.contains(helps), "{bad}: {p:#?}");
        }
        let none = crate::read(format!("{BLADE}[targets]\nedge_bar = 9\n").as_bytes()).unwrap_err();
        assert!(
            none.len() == 1 && none[0].code == "no-bars" && none[0].field == "targets.edge_bar",
            "{none:#?}"
        );
    }
}
