//! Which readings are asked for again: those that a slip of writing explains better than the steel does.
//!
//! What the steel may read follows from all the other readings, with a share of dips and humps among it; what a slip
//! would have made of the same steel follows from the value that was meant. The likelier of the two is told (Bayes'
//! rule, with the shares below). Everything else stands, however far from its neighbours it is.

use design::Figures;
use serde::Serialize;

use crate::file::reading::{Quantity, Reading};
use crate::surplus::planned::Planned;
use crate::surplus::posterior::{Observation, Posterior, Votes};
use crate::surplus::prior::{Dip, Prior};
use crate::surplus::repeats;
use crate::surplus::slip::{self, Kind, Slip};

/// Share of readings that lie in a dip or on a hump which the waves don't foretell, and how deep those are, as a
/// standard deviation, mm: a hammer's edge, a belt's corner (common practice, no source).
const LOCAL: f64 = 0.06;
/// See [`LOCAL`].
const DEEP: f64 = 0.3;
/// Shares of readings that are slips of each kind: one in a hundred cells copied by hand, the rarer ones one in three
/// hundred (common practice, no source).
const COMMON: f64 = 0.01;
/// See [`COMMON`].
const RARE: f64 = 0.003;
/// How near two equal values lie that were written once more, mm: half a caliper's step to either side.
const SAME: f64 = 0.02;
/// A reading off by less than this is never asked for again, mm: no slip of it harms.
const LEAST: f64 = 0.15;
/// A slip of a reading that no blade has is told where it brings the reading within so many standard deviations.
const FAR: f64 = 4.0;
/// A reading further than so many standard deviations, and mm, from what the others say is a dip or a hump: there, and
/// nowhere else, the field goes by it.
const OUT: f64 = 2.0;
/// See [`OUT`].
const DIP: f64 = 0.2;
/// A reading further above what the others say than this, mm, and than one standard deviation of that, is one to read again
/// before anything is taken off: half of what a slip that can be told is off by.
const PROUD: f64 = 0.3;
/// Dips so near to each other bear each other out, mm: the width of a hammer's face.
const BESIDE: f64 = 30.0;
/// No more dips than this share of the readings: beyond it, it is the blade that is uneven.
const DIPS: f64 = 0.25;
/// Fewer readings than this tell nothing of how rough a blade is.
const ROUGH_FROM: usize = 8;
/// No blade is rougher than this many times the usual: beyond it, it is the readings that are odd.
const ROUGHEST: f64 = 5.0;

/// A reading that is asked for again, and not counted until then.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct Doubt {
    /// Its line in the file.
    pub line: usize,
    /// What it tells.
    pub what: Quantity,
    /// Where, mm; absent where there is no station.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub station_mm: Option<f64>,
    /// Its value, mm or g.
    pub value: f64,
    /// What the others say it should be, mm or g.
    pub expected: f64,
    /// In words, with the slip of writing that would explain it.
    pub words: String,
}

/// A reading with its place in the field.
#[derive(Clone, Debug)]
pub(crate) struct Expected<'a> {
    pub(crate) reading: &'a Reading,
    pub(crate) known: Observation,
    pub(crate) planned: f64,
    /// Whether it is `sure`, or another reading of the same place says the same.
    pub(crate) confirmed: bool,
}

/// A field through the readings that stand.
#[derive(Clone, Debug)]
pub(crate) struct Judged {
    pub(crate) field: Posterior,
    /// What the field may be otherwise: if readings asked for again stood, and if lone humps were none.
    pub(crate) otherwise: Vec<Posterior>,
    pub(crate) doubts: Vec<Doubt>,
    /// Dips and humps, in words.
    pub(crate) local: Vec<String>,
    /// Whether any reading stands.
    pub(crate) read: bool,
}

/// What judges readings.
pub(crate) struct Judge<'a> {
    pub(crate) figures: Figures,
    pub(crate) stages: &'a [Planned; 3],
}

/// A reading with its slip.
struct Slipped {
    index: usize,
    slip: Slip,
}

/// A slip among the readings of a fit, and how much likelier than the steel it is, as a logarithm.
struct Found {
    slips: Vec<Slipped>,
    gain: f64,
}

impl Judge<'_> {
    /// The field through all readings that stand. `None` where a number is not finite.
    pub(crate) fn judge(&self, seen: Vec<Expected<'_>>, prior: Prior) -> Option<Judged> {
        let (absurd, rest): (Vec<_>, Vec<_>) = seen.into_iter().partition(|s| self.absurd(s));
        let all = rough(prior, &rest)?;
        let mut votes = all.votes();
        // What is confirmed is steel, and outvotes nobody around it.
        let mut dips = dips_among(&mut votes, &rest, |i| rest[i].confirmed);
        let slips = self.slips(&mut votes, &rest);
        let without: Vec<usize> = slips.iter().map(|s| s.index).collect();
        let taken: Vec<usize> = dips.iter().map(|d| d.index).chain(without.iter().copied()).collect();
        dips.extend(dips_among(&mut votes, &rest, |i| !taken.contains(&i)));
        let bumps = dips.iter().map(|d| d.dip).collect();
        let prior = Prior { dips: bumps, ..all.prior().clone() };
        let stands = |i: &usize| !without.contains(i);
        let keep = |of: &dyn Fn(&usize) -> bool| {
            repeats::averaged((0..rest.len()).filter(|i| of(i)).map(|i| &rest[i]).collect())
        };
        let field = Posterior::fit(prior.clone(), keep(&stands))?;
        // What stands alone above its neighbours may be a slip that nobody thought of: bands reach to the blade without it.
        let lone = dips.iter().filter(|d| d.is_lone_hump(&rest, &dips)).map(|d| d.index);
        let proud = (0..rest.len()).filter(|i| !dips.iter().any(|d| d.index == *i) && stands(i));
        let alone: Vec<usize> = lone.chain(proud.filter(|i| is_proud(&votes, &rest[*i], *i))).collect();
        let mut otherwise = Vec::new();
        if !slips.is_empty() {
            otherwise.push(Posterior::fit(prior.clone(), keep(&|_| true))?);
        }
        if !alone.is_empty() {
            otherwise.push(Posterior::fit(prior, keep(&|i| stands(i) && !alone.contains(i)))?);
        }
        let mut doubts: Vec<Doubt> = absurd.iter().map(|out| self.absurd_doubt(out, &rest, &field)).collect();
        for Slipped { index, slip, .. } in slips {
            let Expected { reading, known, planned, .. } = &rest[index];
            let expected = planned + field.sum(&known.patch);
            doubts.push(self.doubt(reading, expected, Some(slip), "the readings around it say"));
        }
        doubts.sort_by_key(|d| d.line);
        let local = dips.iter().map(|d| self.local(&rest[d.index], d, &dips)).collect();
        Some(Judged { field, otherwise, doubts, local, read: !rest.is_empty() })
    }

    /// Whether a reading is beyond everything between the forged and the finished blade, and nobody says that it is
    /// sure.
    fn absurd(&self, seen: &Expected<'_>) -> bool {
        let [forged, _, finished] = self.stages;
        let plan = |p: &Planned| p.reading(seen.reading, 0.0).unwrap_or(seen.planned);
        !seen.confirmed && !slip::plausible(seen.reading.value, plan(finished), plan(forged))
    }

    /// A reading that no blade has, with the likeliest slip that explains it.
    fn absurd_doubt(&self, out: &Expected<'_>, rest: &[Expected<'_>], field: &Posterior) -> Doubt {
        let over = field.sum(&out.known.patch);
        let spread = field.spread(&out.known.patch).hypot(out.known.noise);
        let whose = if rest.is_empty() { "the design says" } else { "the readings around it say" };
        let near = |s: &Slip| (s.meant - out.planned - over).abs() / spread;
        let all = slip::within(out.reading, self.figures.unit).into_iter();
        let told = |s: &Slip| share(s.kind).ln() - 0.5 * near(s).powi(2);
        let best = all.filter(|s| near(s) < FAR).max_by(|a, b| told(a).total_cmp(&told(b)));
        self.doubt(out.reading, out.planned + over, best, whose)
    }

    /// Readings that slips explain better than the steel, the surest first; `votes` leave them out from then on.
    fn slips(&self, votes: &mut Votes<'_>, seen: &[Expected<'_>]) -> Vec<Slipped> {
        let mut slips: Vec<Slipped> = Vec::new();
        loop {
            let open: Vec<usize> = (0..seen.len())
                .filter(|i| !seen[*i].confirmed && !slips.iter().any(|s| s.index == *i))
                .collect();
            // Every round takes one at least.
            let Some(found) = self.surest(votes, seen, &open) else { return slips };
            for slipped in found.slips {
                votes.leave_out(slipped.index);
                slips.push(slipped);
            }
        }
    }

    /// The surest slip among some readings; `None` where the steel explains them all better.
    fn surest(&self, votes: &Votes<'_>, seen: &[Expected<'_>], open: &[usize]) -> Option<Found> {
        let single = open.iter().filter_map(|i| self.single(votes, seen, *i));
        let pairs = open.windows(2).filter_map(|p| pair(votes, seen, p[0], p[1]));
        single.chain(pairs).filter(|f| f.gain > 0.0).max_by(|a, b| a.gain.total_cmp(&b.gain))
    }

    /// The likeliest slip of one reading.
    fn single(&self, votes: &Votes<'_>, seen: &[Expected<'_>], i: usize) -> Option<Found> {
        let out = votes.of(i);
        let (reading, expected) = (seen[i].reading, seen[i].planned + out.expected);
        let off = reading.value - expected;
        if off.abs() < LEAST.max(out.spread) {
            return None;
        }
        let stands = steel(off, out.spread);
        let slips = slip::within(reading, self.figures.unit)
            .into_iter()
            .map(|slip| (share(slip.kind).ln() + normal(slip.meant - expected, out.spread), slip));
        let beside = [i.checked_sub(1), Some(i + 1)].into_iter().flatten().filter_map(|j| seen.get(j));
        let again = beside.filter(|o| (o.reading.value - reading.value).abs() < 1e-9).map(|o| {
            let slip = Slip { kind: Kind::Again(o.reading.line), meant: expected };
            (RARE.ln() - SAME.ln() - (1.0 + off.abs() / SAME).ln(), slip)
        });
        let (told, slip) = slips.chain(again).max_by(|a, b| a.0.total_cmp(&b.0))?;
        Some(Found { slips: vec![Slipped { index: i, slip }], gain: told - stands })
    }

    /// A doubt in words.
    pub(crate) fn doubt(&self, reading: &Reading, expected: f64, slip: Option<Slip>, whose: &str) -> Doubt {
        let told = |v: f64| reading.what.format_value(v, self.figures);
        let hint = slip.map_or_else(
            || "; no blade between forged and finished reads so".to_owned(),
            |slip| format!("; {}", slip.words(told)),
        );
        let off = reading.value - expected;
        let means =
            if reading.what == Quantity::Breadth { ["broader", "narrower"] } else { ["thicker", "thinner"] };
        let words = format!(
            "line {}: {}{} reads {}, {whose} about {}{hint}; if it stands, the blade is {} {} there",
            reading.line,
            reading.what.name(),
            self.place(reading),
            told(reading.value),
            told(expected),
            told(off.abs()),
            if off > 0.0 { means[0] } else { means[1] }
        );
        doubt(reading, expected, words)
    }

    fn place(&self, reading: &Reading) -> String {
        if reading.what.has_station() {
            format!(" at station {}", self.figures.told(reading.station))
        } else {
            String::new()
        }
    }

    /// A reading that stands far from its neighbours, in words.
    fn local(&self, seen: &Expected<'_>, own: &Local, all: &[Local]) -> String {
        let Expected { reading, confirmed, .. } = seen;
        let [name, more] = if own.off > 0.0 { ["hump", "more"] } else { ["dip", "less"] };
        let sure = match own.off > 0.0 {
            _ if *confirmed || own.is_borne_out(all) => "",
            true => "; read it again, and beside it, before you take anything off there",
            false => "; read beside it to tell how wide it is",
        };
        format!(
            "line {}: {}{} reads {} {more} than the readings around it: counted as a {name}{sure}",
            reading.line,
            reading.what.name(),
            self.place(reading),
            reading.what.format_value(own.off.abs(), self.figures)
        )
    }
}

/// A dip or hump among the readings of a fit, and how far it is off, mm.
struct Local {
    index: usize,
    off: f64,
    dip: Dip,
}

/// Whether a reading that nobody confirms stands above what the others say by more than they leave open.
fn is_proud(votes: &Votes<'_>, seen: &Expected<'_>, i: usize) -> bool {
    let out = votes.of(i);
    !seen.confirmed && seen.known.value - out.expected > PROUD.max(out.spread)
}

impl Local {
    /// Whether another one beside it says the same.
    fn is_borne_out(&self, all: &[Local]) -> bool {
        let near = |o: &Local| (o.dip.station - self.dip.station).abs() < BESIDE;
        all.iter().any(|o| o.index != self.index && o.off * self.off > 0.0 && near(o))
    }

    /// Whether it is a hump, and neither confirmed nor borne out.
    fn is_lone_hump(&self, seen: &[Expected<'_>], all: &[Local]) -> bool {
        self.off > 0.0 && !seen[self.index].confirmed && !self.is_borne_out(all)
    }
}

/// Dips and humps among those open, the clearest first: each after those before it are left out, so that a dip makes
/// no humps of its neighbours.
fn dips_among(votes: &mut Votes<'_>, seen: &[Expected<'_>], open: impl Fn(usize) -> bool) -> Vec<Local> {
    let mut found: Vec<Local> = Vec::new();
    let most = ((DIPS * seen.len() as f64).ceil() as usize).min(MOST_DIPS);
    while found.len() < most {
        let one = |i: usize| {
            let out = votes.of(i);
            let off = seen[i].known.value - out.expected;
            (off.abs() / out.spread, i, off)
        };
        let left = (0..seen.len()).filter(|i| open(*i) && !found.iter().any(|f| f.index == *i));
        let worst = left.map(one).max_by(|a, b| a.0.total_cmp(&b.0));
        let Some((_, index, off)) = worst.filter(|(far, _, off)| *far > OUT && off.abs() > DIP) else {
            break;
        };
        votes.leave_out(index);
        let patch = &seen[index].known.patch;
        let dip = Dip { station: patch.along[0][0], up: patch.up[0][0], deep: off.abs().max(DEEP) };
        found.push(Local { index, off, dip });
    }
    found
}

/// Dips looked for at most: each costs as many looks as there are readings.
const MOST_DIPS: usize = 12;

/// A doubt about a reading.
pub(crate) fn doubt(reading: &Reading, expected: f64, words: String) -> Doubt {
    let station_mm = reading.what.has_station().then_some(reading.station);
    Doubt { line: reading.line, what: reading.what, station_mm, value: reading.value, expected, words }
}

/// Two neighbouring rows written into each other's place.
fn pair(votes: &Votes<'_>, seen: &[Expected<'_>], i: usize, j: usize) -> Option<Found> {
    let [a, b] = [&seen[i], &seen[j]];
    if (a.reading.value - b.reading.value).abs() < LEAST {
        return None;
    }
    let [first, second] = votes.of_two(i, j)?;
    let [at_a, at_b] = [a.planned + first.expected, b.planned + second.expected];
    let (of_a, of_b) = (a.reading.value, b.reading.value);
    let stands = steel(of_a - at_a, first.spread) + steel(of_b - at_b, second.spread);
    let changed = normal(of_b - at_a, first.spread) + normal(of_a - at_b, second.spread);
    let row = |index: usize, other: &Reading| {
        let slip = Slip { kind: Kind::Row(other.line), meant: other.value };
        Slipped { index, slip }
    };
    let slips = vec![row(i, b.reading), row(j, a.reading)];
    Some(Found { slips, gain: RARE.ln() + changed - stands })
}

/// How often a slip is made.
fn share(kind: Kind) -> f64 {
    if kind == Kind::Digits { RARE } else { COMMON }
}

/// Logarithm of the likelihood that the steel reads so far off: waves, or a dip or hump among them.
fn steel(off: f64, spread: f64) -> f64 {
    let (waves, local) =
        ((1.0 - LOCAL).ln() + normal(off, spread), LOCAL.ln() + normal(off, spread.hypot(DEEP)));
    let most = waves.max(local);
    most + ((waves - most).exp() + (local - most).exp()).ln()
}

/// Logarithm of the normal density.
fn normal(off: f64, spread: f64) -> f64 {
    -0.5 * (off / spread).powi(2) - spread.ln() - 0.5 * std::f64::consts::TAU.ln()
}

/// The fit of all readings, as rough as they show the blade to be: half of what is left out lies within 0.6745
/// standard deviations, whatever a few slips say.
fn rough(prior: Prior, seen: &[Expected<'_>]) -> Option<Posterior> {
    let known = || seen.iter().map(|s| s.known.clone()).collect();
    let first = Posterior::fit(prior.clone(), known())?;
    if seen.len() < ROUGH_FROM {
        return Some(first);
    }
    let votes = first.votes();
    let off = seen.iter().enumerate().map(|(i, s)| {
        let out = votes.of(i);
        (s.known.value - out.expected).abs() / out.spread
    });
    let times = (median(off) / 0.6745).clamp(1.0, ROUGHEST);
    if times > 1.0 { Posterior::fit(prior.rougher(times), known()) } else { Some(first) }
}

/// The median; 0 of nothing.
pub(crate) fn median(values: impl Iterator<Item = f64>) -> f64 {
    let mut values: Vec<f64> = values.collect();
    values.sort_by(f64::total_cmp);
    match values.len() {
        0 => 0.0,
        n if n % 2 == 1 => values[n / 2],
        n => 0.5 * (values[n / 2 - 1] + values[n / 2]),
    }
}
