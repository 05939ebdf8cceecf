//! Which readings are believed: those that their neighbours bear out.

use design::Figures;
use serde::Serialize;

use crate::file::reading::{Quantity, Reading};
use crate::surplus::planned::Planned;
use crate::surplus::posterior::{Observation, Posterior, Prior};
use crate::surplus::slip;

/// Level and tilt of the surplus before anything was read, mm: what grinding takes off in all.
const LEVEL: f64 = 2.0;
const TILT: f64 = 1.0;
/// Waves about them, mm: from a straightened blade's to a rough one's; the readings' own scatter chooses between.
const WAVES: std::ops::RangeInclusive<f64> = 0.1..=1.0;
/// Lean of the middle to one side, mm: a hand's unevenness between the sides (common practice, no source).
const LEAN: f64 = 0.3;
/// Over which waves along the blade forget their height, mm: hammer blows and belts leave none shorter than a hand's
/// breadth that a caliper every 50 mm could follow.
const REACH: f64 = 100.0;
/// Over which waves across the blade do, in halves of the breadth: two or three readings tell a straight or once bent
/// flank.
const ACROSS: f64 = 1.4;
/// A reading further from what its neighbours say than so many standard deviations is set aside, if it is off by this
/// much at least, mm, thickness or breadth: one in a million by chance.
pub(crate) const FAR: f64 = 5.0;
const LEAST: f64 = 0.3;
/// Fewer readings than this can't outvote one of them.
const VOTES: usize = 4;
/// Largest share and number of readings that their neighbours set aside: beyond that it is not the readings that are wrong.
const MOST_OUTLIERS_SHARE: f64 = 0.25;
/// See [`MOST_OUTLIERS_SHARE`].
const MOST_OUTLIERS: usize = 8;

/// A reading that is not believed.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct Outlier {
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
    /// In words, with the slip of the pen that would explain it.
    pub words: String,
}

/// A reading with its place in the field.
pub(crate) struct Expected<'a> {
    pub(crate) reading: &'a Reading,
    pub(crate) known: Observation,
    pub(crate) planned: f64,
}

/// How far a reading is from what the others say.
struct Deviation {
    index: usize,
    /// In standard deviations.
    spreads: f64,
    /// mm.
    off: f64,
    expected: f64,
}

/// Judges readings and keeps those that it sets aside.
pub(crate) struct OutlierFilter<'a> {
    pub(crate) figures: Figures,
    pub(crate) stages: &'a [Planned; 3],
    pub(crate) found: Vec<Outlier>,
}

impl OutlierFilter<'_> {
    /// The field through those readings that are believed, and whether there are any.
    pub(crate) fn fit_without_outliers(
        &mut self,
        mut seen: Vec<Expected<'_>>,
        length: f64,
    ) -> Option<(Posterior, bool)> {
        let (absurd, rest): (Vec<_>, Vec<_>) = seen.into_iter().partition(|s| self.absurd(s));
        seen = rest;
        let mut spare = ((MOST_OUTLIERS_SHARE * seen.len() as f64) as usize).min(MOST_OUTLIERS);
        loop {
            let known: Vec<Observation> = seen.iter().map(|s| s.known.clone()).collect();
            let field = Posterior::fit(prior(&known, length), known)?;
            let worst = field.left_out().iter().zip(&seen).enumerate().map(|(i, (out, s))| {
                let off = (s.known.value - out.expected).abs();
                Deviation { index: i, spreads: off / out.spread, off, expected: out.expected }
            });
            let worst = worst.max_by(|a, b| a.spreads.total_cmp(&b.spreads));
            match worst.filter(|w| w.spreads > FAR && w.off > LEAST && seen.len() > VOTES && spare > 0) {
                Some(Deviation { index, expected, .. }) => {
                    spare -= 1;
                    let out = seen.remove(index);
                    self.set_aside(out.reading, out.planned + expected, "its neighbours say");
                }
                None => {
                    let whose = if seen.is_empty() { "the design says" } else { "its neighbours say" };
                    for out in &absurd {
                        self.set_aside(out.reading, out.planned + field.sum(&out.known.places), whose);
                    }
                    return Some((field, !seen.is_empty()));
                }
            }
        }
    }

    /// Whether a reading is beyond everything between the forged and the finished blade.
    fn absurd(&self, seen: &Expected<'_>) -> bool {
        let [forged, _, finished] = self.stages;
        let plan = |p: &Planned| p.reading(seen.reading, 0.0).unwrap_or(seen.planned);
        !slip::plausible(seen.reading.value, plan(finished), plan(forged))
    }

    /// Sets a reading aside, with what was expected, by whom, and the slip that would explain it.
    pub(crate) fn set_aside(&mut self, reading: &Reading, expected: f64, whose: &str) {
        let told = |v: f64| reading.what.format_value(v, self.figures);
        let otherwise = if reading.what == Quantity::Weight { "; is the tang as planned?" } else { "" };
        let hint = slip::explain(reading.value, expected, told)
            .map_or_else(|| otherwise.to_owned(), |slip| format!("; {slip}"));
        let place = if reading.what.has_station() {
            format!(" at station {}", self.figures.told(reading.station))
        } else {
            String::new()
        };
        let words = format!(
            "line {}: {}{place} reads {}, {whose} about {}{hint}",
            reading.line,
            reading.what.name(),
            told(reading.value),
            told(expected)
        );
        let station_mm = reading.what.has_station().then_some(reading.station);
        let (line, what, value) = (reading.line, reading.what, reading.value);
        self.found.push(Outlier { line, what, station_mm, value, expected, words });
    }
}

/// How much the surplus is trusted to vary, from the scatter of the readings about their median: half of it lies within
/// 0.6745 standard deviations, whatever one or two of them say.
fn prior(known: &[Observation], length: f64) -> Prior {
    let middle = median(known.iter().map(|k| k.value));
    let scatter = median(known.iter().map(|k| (k.value - middle).abs())) / 0.6745;
    Prior {
        level: LEVEL,
        tilt: TILT,
        wave: scatter.clamp(*WAVES.start(), *WAVES.end()),
        lean: LEAN,
        reach: [2.0 * REACH / length, ACROSS],
    }
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
