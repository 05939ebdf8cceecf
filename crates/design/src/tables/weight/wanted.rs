//! What a target asks for, as people say it: a number, "at most 950 g", "between 900 g and 950 g".

use std::borrow::Cow;
use std::marker::PhantomData;

use schemars::{JsonSchema, Schema, SchemaGenerator, json_schema};

use crate::file::draft::{Place, Read};
use crate::file::problem::{Fault, Problems};
use crate::unit::quantity::{Amount, LENGTH, MASS, Measure, SHARE};

/// How near counts as "about", as a share: what a hand does not feel (common practice, no source).
const ABOUT: f64 = 0.02;
/// How near a plain target counts as reached, as a share of it: less than a kitchen scale shows of a blade.
const REACHED: f64 = 1e-3;
/// Shares of a limit that are rounding.
const ROUNDING: f64 = 1e-9;
/// A limit is aimed at from inside by this share, so that a file of rounded figures stays within: half of what counts
/// as reached.
const INSIDE: f64 = 0.5 * REACHED;
/// Longest text shown in a message, letters.
const SHOWN: usize = 60;

/// What a target asks for, in g or mm; "at most" and its like as given, each limit finite.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Wanted {
    /// This, within a thousandth.
    Exactly(f64),
    /// This, within a fiftieth.
    About(f64),
    /// This or less.
    AtMost(f64),
    /// This or more.
    AtLeast(f64),
    /// From the first, the smaller, to the second.
    Between(f64, f64),
}

/// A target and what the blade comes to.
pub trait Compared {
    /// What it should be, in the target's own unit.
    fn wanted(&self) -> Wanted;

    /// What it is, in the same unit; `None` where there is nothing to compare.
    fn found(&self) -> Option<f64>;

    /// The least whole of which a share is taken, in the same unit, above 0.
    fn least(&self) -> f64;

    /// How far off it is, as a share of what is wanted or of the limit that is broken, of [`Compared::least`] at least; 0
    /// within limits.
    fn off(&self) -> Option<f64> {
        self.found().map(|found| self.wanted().off(found, self.least()))
    }

    /// How far each limit is broken, as a share, seen from a little inside it: what a search makes negative. Empty where
    /// one value is wanted, `None` where there is nothing to compare.
    fn beyond(&self) -> Option<Vec<f64>> {
        self.found().map(|found| self.wanted().beyond(found, self.least()))
    }

    /// Whether one value is wanted, of which both more and less count as off.
    fn is_exact(&self) -> bool {
        matches!(self.wanted(), Wanted::Exactly(_))
    }

    /// Whether it is within its limits; where one value is wanted, within a thousandth of it, of [`Compared::least`] at least.
    fn is_reached(&self) -> bool {
        self.found().is_some_and(|found| self.wanted().is_reached(found, self.least()))
    }
}

impl Wanted {
    /// The least and the greatest value that will do, infinite where there is no such limit. `least` is the smallest
    /// whole, positive, of which a share is taken: near 0 a share means nothing.
    pub fn range(self, least: f64) -> (f64, f64) {
        let around = |middle: f64, share: f64| {
            let by = share * middle.abs().max(least);
            (middle - by, middle + by)
        };
        match self {
            Wanted::Exactly(value) => around(value, REACHED),
            Wanted::About(value) => around(value, ABOUT),
            Wanted::AtMost(most) => (f64::NEG_INFINITY, most),
            Wanted::AtLeast(least) => (least, f64::INFINITY),
            Wanted::Between(low, high) => (low, high),
        }
    }

    /// How far a value lies off, as a share of the limit that it breaks, or of what is wanted exactly; of `least` at least.
    /// 0 within limits.
    pub fn off(self, found: f64, least: f64) -> f64 {
        if let Wanted::Exactly(value) = self {
            return (found - value) / value.abs().max(least);
        }
        let (low, high) = self.range(least);
        let over = |limit: f64| (found - limit) / limit.abs().max(least);
        if found > high {
            over(high)
        } else if found < low {
            over(low)
        } else {
            0.0
        }
    }

    /// Whether a value will do.
    pub fn is_reached(self, found: f64, least: f64) -> bool {
        let granted = if matches!(self, Wanted::Exactly(_)) { REACHED } else { ROUNDING };
        self.off(found, least).abs() <= granted
    }

    /// How far a value lies beyond each limit, seen from a little inside it, as shares; negative where it does not. None for
    /// a target without limits.
    pub fn beyond(self, found: f64, least: f64) -> Vec<f64> {
        if matches!(self, Wanted::Exactly(_)) {
            return Vec::new();
        }
        let (low, high) = self.range(least);
        // No further inside than the middle.
        let room = 0.5 * (high - low);
        let inner = |limit: f64| (INSIDE * limit.abs().max(least)).min(room);
        let share = |past: f64, limit: f64| (past + inner(limit)) / limit.abs().max(least);
        let high = high.is_finite().then(|| share(found - high, high));
        let low = low.is_finite().then(|| share(low - found, low));
        high.into_iter().chain(low).collect()
    }

    /// A value wanted exactly or about, the least and the greatest that will do of all but the former; for other programs.
    pub(crate) fn parts(self, least: f64) -> [Option<f64>; 3] {
        let (low, high) = self.range(least);
        let limit = |value: f64| Some(value).filter(|v| v.is_finite() && !matches!(self, Wanted::Exactly(_)));
        let wanted = match self {
            Wanted::Exactly(value) | Wanted::About(value) => Some(value),
            _ => None,
        };
        [wanted, limit(low), limit(high)]
    }

    /// In words: "at most 950.0 g", each value written by `told`.
    pub fn text(self, told: impl Fn(f64) -> String) -> String {
        match self {
            Wanted::Exactly(value) => told(value),
            Wanted::About(value) => format!("about {}", told(value)),
            Wanted::AtMost(most) => format!("at most {}", told(most)),
            Wanted::AtLeast(least) => format!("at least {}", told(least)),
            Wanted::Between(low, high) => format!("between {} and {}", told(low), told(high)),
        }
    }

    /// Its limits, the smaller first; its only limit or value twice.
    pub(crate) fn named(self) -> [f64; 2] {
        match self {
            Wanted::Exactly(v) | Wanted::About(v) | Wanted::AtMost(v) | Wanted::AtLeast(v) => [v, v],
            Wanted::Between(low, high) => [low, high],
        }
    }
}

/// A kind of quantity that targets are given for.
pub(crate) trait Sort {
    const MEASURE: &'static Measure;
    const WANTED: &'static str;
    /// Texts that would be understood.
    const EXAMPLE: &'static str;
    const TITLE: &'static str;
    /// The pattern of a text's number and unit.
    const PATTERN: &'static str;
}

/// Masses.
#[derive(Clone, Copy, Debug)]
pub(crate) struct Masses;

/// Lengths.
#[derive(Clone, Copy, Debug)]
pub(crate) struct Lengths;

/// Shares of a whole.
#[derive(Clone, Copy, Debug)]
pub(crate) struct Shares;

/// Numbers of layers.
#[derive(Clone, Copy, Debug)]
pub(crate) struct Counts;

/// Numbers of layers, counted.
const COUNT: Measure = Measure {
    units: &[("layers", 1.0), ("layer", 1.0)],
    example: "\"7 layers\"",
    wrong_unit: "names something other than layers",
};

impl Sort for Masses {
    const MEASURE: &'static Measure = &MASS;
    const WANTED: &'static str =
        "a mass: a number in grams (or in units.mass), or text such as \"85 g\" or \"at most 2 lb\"";
    const EXAMPLE: &'static str =
        "\"950 g\", \"at most 950 g\", \"at least 900 g\", \"between 900 g and 950 g\" or \"about 2 lb\"";
    const TITLE: &'static str = "Wanted mass";
    const PATTERN: &'static str = "[0-9./ -]+ *(g|kg|oz|lb|lbs)?";
}

impl Sort for Lengths {
    const MEASURE: &'static Measure = &LENGTH;
    const WANTED: &'static str =
        "a length: a number in the file's unit, or text such as \"80 mm\" or \"at most 3 1/2 in\"";
    const EXAMPLE: &'static str =
        "\"80 mm\", \"at most 80 mm\", \"at least 3 in\", \"between 70 mm and 80 mm\" or \"about 3 1/4 in\"";
    const TITLE: &'static str = "Wanted length";
    const PATTERN: &'static str = r#"[0-9./ -]+ *(mm|cm|m|in|in\.|inch|inches|"|''|″|ft)?"#;
}

impl Sort for Shares {
    const MEASURE: &'static Measure = &SHARE;
    const WANTED: &'static str =
        "a share: a number in percent, or text such as \"25 %\" or \"at least 20 %\"";
    const EXAMPLE: &'static str =
        "\"25 %\", \"at most 30 %\", \"at least 20 %\", \"between 20 % and 30 %\" or \"about 25 %\"";
    const TITLE: &'static str = "Wanted share";
    const PATTERN: &'static str = "[0-9./ -]+ *%?";
}

impl Sort for Counts {
    const MEASURE: &'static Measure = &COUNT;
    const WANTED: &'static str = "a number of layers, or text such as \"at least 5\" or \"between 5 and 9\"";
    const EXAMPLE: &'static str = "\"7 layers\", \"at least 5\", \"at most 9\" or \"between 5 and 9\"";
    const TITLE: &'static str = "Wanted layers";
    const PATTERN: &'static str = "[0-9./ -]+ *(layers|layer)?";
}

/// A breadth as a length, or as a share of the side's.
#[derive(Clone, Copy, Debug)]
pub(crate) enum BreadthDraft {
    /// A length.
    Length(WantedDraft<Lengths>),
    /// A share of the side's breadth.
    Share(WantedDraft<Shares>),
}

impl Read for BreadthDraft {
    const WANTED: &'static str = "a breadth: a length such as \"at least 8 mm\", or a share such as \"25 %\"";

    fn read(place: &Place, found: &mut Problems) -> Option<Self> {
        let text = place.value.get_ref().as_str();
        match text {
            Some(text) if text.contains('%') => WantedDraft::read(place, found).map(BreadthDraft::Share),
            None if place.number().is_none() => {
                place.wrong_kind(found, Self::WANTED);
                None
            }
            _ => WantedDraft::read(place, found).map(BreadthDraft::Length),
        }
    }
}

impl JsonSchema for BreadthDraft {
    fn schema_name() -> Cow<'static, str> {
        "Wanted breadth".into()
    }

    fn json_schema(generator: &mut SchemaGenerator) -> Schema {
        let either = [
            generator.subschema_for::<WantedDraft<Lengths>>(),
            generator.subschema_for::<WantedDraft<Shares>>(),
        ];
        json_schema!({ "title": "Wanted breadth", "anyOf": either })
    }
}

/// What a target asks for, as the file gives it.
#[derive(Clone, Copy, Debug)]
pub(crate) struct WantedDraft<S> {
    /// What is asked for, with the limits as they stand.
    pub(crate) said: Said,
    sort: PhantomData<S>,
}

/// The same with amounts that may have no unit yet.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(crate) enum Said {
    Exactly(Amount),
    About(Amount),
    AtMost(Amount),
    AtLeast(Amount),
    Between(Amount, Amount),
}

impl Said {
    /// The limits or value given, with plain numbers taken in a unit of this size.
    pub(crate) fn with(self, unit: f64) -> Wanted {
        match self {
            Said::Exactly(value) => Wanted::Exactly(value.with(unit)),
            Said::About(value) => Wanted::About(value.with(unit)),
            Said::AtMost(value) => Wanted::AtMost(value.with(unit)),
            Said::AtLeast(value) => Wanted::AtLeast(value.with(unit)),
            Said::Between(low, high) => Wanted::Between(low.with(unit), high.with(unit)),
        }
    }
}

impl<S: Sort> Read for WantedDraft<S> {
    const WANTED: &'static str = S::WANTED;

    fn read(place: &Place, found: &mut Problems) -> Option<Self> {
        let sort = PhantomData;
        if let Some(number) = place.number() {
            return Some(WantedDraft { said: Said::Exactly(Amount::Plain(number)), sort });
        }
        let Some(text) = place.value.get_ref().as_str() else {
            place.wrong_kind(found, S::WANTED);
            return None;
        };
        match said(text, S::MEASURE) {
            Ok(said) => Some(WantedDraft { said, sort }),
            Err(why) => {
                let text = text.chars().take(SHOWN).collect();
                place.fault(found, &Fault::Quantity { text, why, example: S::EXAMPLE });
                None
            }
        }
    }
}

/// What a text asks for.
fn said(text: &str, measure: &Measure) -> Result<Said, &'static str> {
    let words = text.split_whitespace().collect::<Vec<_>>().join(" ");
    let after = |start: &str| {
        let head = words.get(..start.len()).filter(|head| head.eq_ignore_ascii_case(start))?;
        words[head.len()..].strip_prefix(' ')
    };
    let one = |rest: &str| amount(rest, measure);
    if let Some(rest) = after("at most") {
        one(rest).map(Said::AtMost)
    } else if let Some(rest) = after("at least") {
        one(rest).map(Said::AtLeast)
    } else if let Some(rest) = after("about") {
        one(rest).map(Said::About)
    } else if let Some(rest) = after("between") {
        between(rest, measure)
    } else {
        measure.parse(&words).map(|value| Said::Exactly(Amount::Fixed(value)))
    }
}

/// The two ends of "900 g and 950 g", or of "900 and 950 g": a number without a unit has the other's.
fn between(rest: &str, measure: &Measure) -> Result<Said, &'static str> {
    let (low, high) = rest.split_once(" and ").ok_or("names only one end")?;
    let high_amount = amount(high, measure)?;
    let low_amount = match (amount(low, measure)?, high_amount) {
        (Amount::Plain(_), Amount::Fixed(_)) => {
            let unit = high.trim_start_matches(|c: char| c.is_ascii_digit() || " ./-".contains(c));
            amount(&format!("{low} {unit}"), measure)?
        }
        (low, _) => low,
    };
    Ok(Said::Between(low_amount, high_amount))
}

/// An amount after a word: with its unit, or a plain number.
fn amount(text: &str, measure: &Measure) -> Result<Amount, &'static str> {
    const WORDS: [&str; 4] = ["at ", "about", "between", "and"];
    let lower = text.to_ascii_lowercase();
    if WORDS.iter().any(|word| lower.contains(word)) {
        return Err("asks for two things at once");
    }
    match text.parse::<f64>() {
        Ok(number) if text.bytes().all(|b| b.is_ascii_digit() || b == b'.' || b == b'-') => {
            Ok(Amount::Plain(number))
        }
        _ => measure.parse(text).map(Amount::Fixed),
    }
}

impl<S: Sort> JsonSchema for WantedDraft<S> {
    fn schema_name() -> Cow<'static, str> {
        S::TITLE.into()
    }

    fn json_schema(_: &mut SchemaGenerator) -> Schema {
        let one = S::PATTERN;
        let text = format!(
            r"^\s*(([Aa]t most|[Aa]t least|[Aa]bout)? *({one}\s*)+|[Bb]etween +({one} *)+ and +({one}\s*)+)$"
        );
        json_schema!({
            "title": S::TITLE,
            "description": format!("A number, or text: {}.", S::EXAMPLE),
            "anyOf": [{ "type": "number" }, { "type": "string", "pattern": text }]
        })
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn grams(text: &str) -> Result<Wanted, &'static str> {
        said(text, &MASS).map(|said| said.with(1.0))
    }

    #[test]
    fn targets_are_read_as_people_say_them() {
        for (text, wanted) in [
            ("at most 950 g", Wanted::AtMost(950.0)),
            ("At  most 950", Wanted::AtMost(950.0)),
            ("at least 0.9 kg", Wanted::AtLeast(900.0)),
            ("about 900 g", Wanted::About(900.0)),
            ("between 900 g and 950 g", Wanted::Between(900.0, 950.0)),
            ("between 900 and 950 g", Wanted::Between(900.0, 950.0)),
            ("between 900 and 950", Wanted::Between(900.0, 950.0)),
            ("between 0.9 and 1 kg", Wanted::Between(900.0, 1000.0)),
            ("950 g", Wanted::Exactly(950.0)),
        ] {
            assert_eq!(grams(text), Ok(wanted), "{text}");
        }
        let pounds = grams("at most 2 lb 2 oz").unwrap().named()[0];
        assert!((pounds - 2.125 * 453.592_37).abs() < 1e-9);
        let inches = said("about 3 1/4 in", &LENGTH).unwrap().with(25.4).named()[0];
        assert!((inches - 82.55).abs() < 1e-9);
        assert_eq!(said("at most -5", &LENGTH).unwrap().with(25.4), Wanted::AtMost(-127.0));
    }

    #[test]
    fn what_says_nothing_or_two_things_is_refused() {
        for text in [
            "at most at least 3 g",
            "at most",
            "at most g",
            "at mostly 3 g",
            "between 9 g",
            "between 3 g and about 9 g",
            "between 3 g and",
            "between and 9 g",
            "between 3 g and 5 g and 9 g",
            "about 9 stone",
            "at most nan",
            "at most inf",
            "at most 1e3",
            "more than 3 g",
            "at most 3,5 g",
            "",
        ] {
            assert!(grams(text).is_err(), "{text}: {:?}", grams(text));
        }
    }

    /// Within is 0 off, beyond a limit is a share of it, and what is aimed at lies inside.
    #[test]
    fn off_is_a_share_of_the_limit_that_is_broken() {
        let (most, band) = (Wanted::AtMost(200.0), Wanted::Between(100.0, 200.0));
        assert!(most.is_reached(200.0, 1.0) && most.is_reached(-3.0, 1.0) && !most.is_reached(200.01, 1.0));
        assert!((most.off(210.0, 1.0) - 0.05).abs() < 1e-12 && (band.off(90.0, 1.0) + 0.1).abs() < 1e-12);
        assert!((Wanted::AtLeast(5.0).off(4.0, 10.0) + 0.1).abs() < 1e-12);
        assert!(Wanted::About(500.0).is_reached(509.9, 1.0) && !Wanted::About(500.0).is_reached(510.1, 1.0));
        assert!(
            Wanted::Exactly(500.0).is_reached(500.4, 1.0) && !Wanted::Exactly(500.0).is_reached(500.6, 1.0)
        );
        let beyond = band.beyond(150.0, 1.0);
        assert!(beyond.len() == 2 && beyond.iter().all(|share| *share < -0.2), "{beyond:?}");
        assert!(
            (most.beyond(200.0, 1.0)[0] - 5e-4).abs() < 1e-12
                && Wanted::Exactly(2.0).beyond(3.0, 1.0).is_empty()
        );
        let narrow = Wanted::Between(100.0, 100.01).beyond(100.005, 1.0);
        assert!(narrow.iter().all(|share| share.abs() < 1e-9), "{narrow:?}");
    }
}
