//! Takes drafts' values into mm, rad and g, each held to its range.

use std::ops::RangeInclusive;

use crate::file::document::Document;
use crate::file::draft::{Angle, Degrees, Field, Length, Mass, Number, Volume, Whole};
use crate::file::problem::{Fault, Problems};
use crate::tables::units::Units;
use crate::unit::quantity::{Amount, Unit};
use crate::unit::scales::{MassUnit, Temperature};

/// Shortest length that is more than nothing, mm: a micrometre, below which no shop measures.
pub(crate) const LEAST: f64 = 0.001;
/// Longest length, mm: twice the longest blades ever carried.
pub(crate) const MOST: f64 = 3000.0;
/// Any length of something that is there, mm.
pub(crate) const SIZE: RangeInclusive<f64> = LEAST..=MOST;
/// Any length that may be nothing, mm.
pub(crate) const REACH: RangeInclusive<f64> = 0.0..=MOST;
/// Any length to either side, mm.
pub(crate) const SIGNED: RangeInclusive<f64> = -MOST..=MOST;

/// The document while its drafts are checked.
pub(crate) struct Checker<'d> {
    pub(crate) unit: Unit,
    pub(crate) units: Units,
    pub(crate) document: &'d Document<'d>,
    pub(crate) found: Problems,
}

impl Checker<'_> {
    /// Adds a fault of the value at `path`.
    pub(crate) fn fault(&mut self, path: &str, fault: &Fault) {
        self.found.add(path, self.document.span(path), fault);
    }

    /// Adds a fault of the key at `path`.
    pub(crate) fn key_fault(&mut self, path: &str, fault: &Fault) {
        self.found.add(path, self.document.key_span(path), fault);
    }

    /// Adds that `path` is missing, unless it is there and could not be read.
    pub(crate) fn missing(&mut self, path: &str, why: &str) {
        if !self.document.has(path) {
            let key = path.rsplit_once('.').map_or(path, |p| p.1).to_owned();
            self.fault(path, &Fault::MissingKey { key, why: why.to_owned() });
        }
    }

    /// Names the keys in `given` that the form does not take.
    pub(crate) fn stray(&mut self, given: &[(&'static str, &str)], takes: &[&str], form: &str) {
        for (key, at) in given.iter().filter(|(key, _)| !takes.contains(key)) {
            let known = takes.iter().map(|k| format!("`{k}`")).collect::<Vec<_>>().join(", ");
            self.key_fault(at, &Fault::StrayKey { key: (*key).to_owned(), form: form.to_owned(), known });
        }
    }

    /// Says when a list is too long.
    pub(crate) fn count<T>(&mut self, list: &Field<Vec<T>>, most: usize, what: &'static str) {
        let count = list.value.len();
        if count > most {
            self.found.add(&list.at, list.span.clone(), &Fault::TooMany { count, most, what });
        }
    }

    /// Says when a name can't serve as one, or is among the `taken`; whether it can serve.
    pub(crate) fn named(&mut self, path: &str, name: &str, taken: &[&str]) -> bool {
        let fits = crate::file::name::fits(name);
        if !fits {
            self.fault(path, &Fault::Name {});
        } else if taken.contains(&name) {
            self.fault(path, &Fault::Taken { name: name.to_owned() });
        }
        fits
    }

    /// A length in mm, when given and within `range`.
    pub(crate) fn length(
        &mut self,
        field: Option<&Field<Length>>,
        range: RangeInclusive<f64>,
    ) -> Option<f64> {
        let field = field?;
        let (value, scale) = (field.value.0.with(self.unit.millimetres()), self.unit.millimetres());
        let fault = outside(value, &self.lengths(&range), scale, &format!(" {}", self.unit.name()));
        self.sound(field, value, fault)
    }

    /// A range of lengths (mm) in the file's unit, and its ends as they are told.
    fn lengths(&self, range: &RangeInclusive<f64>) -> Range {
        match self.unit {
            Unit::Millimetre => Range::whole(range.clone()),
            Unit::Inch => Range::scaled(range, self.unit.millimetres()),
        }
    }

    /// A length (mm) for a message, in the file's unit.
    pub(crate) fn length_text(&self, length: f64) -> String {
        format!("{} {}", short(near(length / self.unit.millimetres())), self.unit.name())
    }

    /// A greatest length (mm) for a message, in the file's unit: rounded down, so that what is told is accepted.
    pub(crate) fn upper_limit_text(&self, limit: f64) -> String {
        format!("{} {}", short(down(limit / self.unit.millimetres())), self.unit.name())
    }

    /// A least length (mm) for a message, in the file's unit: rounded up, so that what is told is accepted.
    pub(crate) fn lower_limit_text(&self, limit: f64) -> String {
        format!("{} {}", short(up(limit / self.unit.millimetres())), self.unit.name())
    }

    /// A temperature (°C) for a message, to a degree on the file's scale.
    pub(crate) fn temperature_text(&self, celsius: f64) -> String {
        let scale = self.units.temperature;
        format!("{:.0} {}", scale.degrees(celsius), scale.name())
    }

    /// A length in mm, or the default where absent or refused.
    pub(crate) fn length_or(
        &mut self,
        field: Option<&Field<Length>>,
        range: RangeInclusive<f64>,
        default: f64,
    ) -> f64 {
        self.length(field, range).unwrap_or(default)
    }

    /// A length in mm, or the default where absent; `None` where refused or given as 0.
    pub(crate) fn length_or_none(
        &mut self,
        field: Option<&Field<Length>>,
        range: RangeInclusive<f64>,
        default: f64,
    ) -> Option<f64> {
        let Some(field) = field else { return Some(default) };
        let value = field.value.0.with(self.unit.millimetres());
        let (scale, unit) = (self.unit.millimetres(), format!(" {}", self.unit.name()));
        let Some(fault) = outside(value, &self.lengths(&range), scale, &unit) else { return Some(value) };
        let fault = match fault {
            Fault::Outside { .. } if value.abs() < LEAST => return None,
            Fault::Outside { value, low, high } => {
                Fault::Outside { value, low, high: format!("{high}, or 0 for none") }
            }
            fault => fault,
        };
        self.found.add(&field.at, field.span.clone(), &fault);
        None
    }

    /// A length in mm that must be given; the least allowed stands in where absent or refused.
    pub(crate) fn length_needed(
        &mut self,
        field: Option<&Field<Length>>,
        path: &str,
        range: RangeInclusive<f64>,
    ) -> f64 {
        let least = *range.start();
        self.length_required(field, path, range).unwrap_or(least)
    }

    /// A length in mm that must be given; `None` where absent or refused.
    pub(crate) fn length_required(
        &mut self,
        field: Option<&Field<Length>>,
        path: &str,
        range: RangeInclusive<f64>,
    ) -> Option<f64> {
        if field.is_none() {
            let (told, unit) = (self.lengths(&range).told, self.unit.name());
            let why = format!("give a length from {} {unit} to {} {unit}", short(told[0]), short(told[1]));
            self.missing(path, &why);
        }
        self.length(field, range)
    }

    /// An angle in rad, when given and within `range` (degrees).
    pub(crate) fn angle(
        &mut self,
        field: Option<&Field<Angle>>,
        degrees: RangeInclusive<f64>,
    ) -> Option<f64> {
        let field = field?;
        let value = field.value.0.with(1.0_f64.to_radians());
        self.within(field, value, &degrees, 1.0_f64.to_radians(), " deg")
    }

    /// A mass in g, when given and within `range`.
    pub(crate) fn mass(&mut self, field: Option<&Field<Mass>>, range: RangeInclusive<f64>) -> Option<f64> {
        let (field, unit) = (field?, self.units.mass);
        let (value, scale) = (field.value.0.with(unit.grams()), unit.grams());
        let range = match unit {
            MassUnit::Gram => Range::whole(range),
            _ => Range::scaled(&range, scale),
        };
        let fault = outside(value, &range, scale, &format!(" {}", unit.name()));
        self.sound(field, value, fault)
    }

    /// A mass (g) for a message, in the file's unit.
    pub(crate) fn mass_text(&self, grams: f64) -> String {
        format!("{} {}", short(near(grams / self.units.mass.grams())), self.units.mass.name())
    }

    /// A temperature in °C, when given and within `celsius`.
    pub(crate) fn degrees(
        &mut self,
        field: Option<&Field<Degrees>>,
        celsius: RangeInclusive<f64>,
    ) -> Option<f64> {
        let (field, scale) = (field?, self.units.temperature);
        let shown = match field.value.0 {
            Amount::Plain(degrees) => degrees,
            Amount::Fixed(celsius) => scale.degrees(celsius),
        };
        // To whole degrees inwards: what a message names is accepted.
        let range = scale.degrees(*celsius.start()).ceil()..=scale.degrees(*celsius.end()).floor();
        let fault = outside(shown, &Range::whole(range), 1.0, &format!(" {}", scale.name()));
        let plain = matches!(field.value.0, Amount::Plain(_));
        let fault = fault.map(|fault| match (fault, other_scale(shown, scale, &celsius).filter(|_| plain)) {
            (Fault::Outside { value, low, high }, Some(meant)) => Fault::Outside {
                value,
                low,
                high: format!("{high}; if it is meant in {0}, write \"{1} {0}\"", meant.name(), short(shown)),
            },
            (fault, _) => fault,
        });
        self.sound(field, shown, fault).map(|d| scale.celsius(d))
    }

    /// A band of temperatures, °C, the lower one first, when given and within `celsius`.
    pub(crate) fn degree_band(
        &mut self,
        field: Option<&Field<[Field<Degrees>; 2]>>,
        celsius: &RangeInclusive<f64>,
    ) -> Option<[f64; 2]> {
        let field = field?;
        let [low, high] = field.value.each_ref().map(|end| self.degrees(Some(end), celsius.clone()));
        let band = [low?, high?];
        if band[0] > band[1] {
            self.found.add(&field.at, field.span.clone(), &Fault::Downwards {});
            return None;
        }
        Some(band)
    }

    /// A volume in L, when given and within `range`.
    pub(crate) fn volume(
        &mut self,
        field: Option<&Field<Volume>>,
        range: RangeInclusive<f64>,
    ) -> Option<f64> {
        let field = field?;
        self.within(field, field.value.0.with(1.0), &range, 1.0, " L")
    }

    /// A plain number within `range`, when given.
    pub(crate) fn number(
        &mut self,
        field: Option<&Field<Number>>,
        range: RangeInclusive<f64>,
        unit: &str,
    ) -> Option<f64> {
        let field = field?;
        self.within(field, field.value.0, &range, 1.0, unit)
    }

    /// A whole number within `range`, when given.
    pub(crate) fn whole_number(
        &mut self,
        field: Option<&Field<Whole>>,
        range: RangeInclusive<usize>,
        unit: &str,
    ) -> Option<usize> {
        let field = field?;
        let real = *range.start() as f64..=*range.end() as f64;
        let value = self.within(field, field.value.0, &real, 1.0, unit)?;
        if value.fract().abs() > 0.0 {
            self.found.add(&field.at, field.span.clone(), &Fault::Whole {});
            return None;
        }
        Some(value as usize)
    }

    /// `value` when it lies within `range` times `factor`; the message shows it divided by `factor`.
    pub(crate) fn within<T>(
        &mut self,
        field: &Field<T>,
        value: f64,
        range: &RangeInclusive<f64>,
        factor: f64,
        unit: &str,
    ) -> Option<f64> {
        let fault = outside(value, &Range::whole(range.clone()), factor, unit);
        self.sound(field, value, fault)
    }

    /// The value, unless there is a fault with it, which is added.
    fn sound<T>(&mut self, field: &Field<T>, value: f64, fault: Option<Fault>) -> Option<f64> {
        let Some(fault) = fault else { return Some(value) };
        self.found.add(&field.at, field.span.clone(), &fault);
        None
    }
}

/// The other scale, where a plain number that is out of range on this one is within it on that.
fn other_scale(degrees: f64, scale: Temperature, celsius: &RangeInclusive<f64>) -> Option<Temperature> {
    let other = match scale {
        Temperature::Celsius => Temperature::Fahrenheit,
        Temperature::Fahrenheit => Temperature::Celsius,
    };
    celsius.contains(&other.celsius(degrees)).then_some(other)
}

/// What is accepted, and its ends as a message names them.
struct Range {
    range: RangeInclusive<f64>,
    told: [f64; 2],
}

impl Range {
    /// Told as it is.
    fn whole(range: RangeInclusive<f64>) -> Range {
        Range { told: [*range.start(), *range.end()], range }
    }

    /// In a unit of so many of its own; told to two figures from below and three from above, inwards: what is named is
    /// accepted.
    fn scaled(range: &RangeInclusive<f64>, scale: f64) -> Range {
        let [low, high] = [range.start() / scale, range.end() / scale];
        Range { range: low..=high, told: [figures_up(low, 2), figures_down(high, 3)] }
    }
}

/// What is wrong with `value` when it is not within `range` times `factor`.
fn outside(value: f64, Range { range, told }: &Range, factor: f64, unit: &str) -> Option<Fault> {
    let shown = value / factor;
    // A relative 1e-12 takes up the rounding of the unit's factor at the range's ends.
    let slack = 1e-12 * range.end().abs();
    if !value.is_finite() {
        return Some(Fault::NotFinite {});
    }
    if shown >= range.start() - slack && shown <= range.end() + slack {
        return None;
    }
    let say = |v: f64| format!("{}{unit}", short(v));
    Some(Fault::Outside { value: say(shown), low: say(told[0]), high: say(told[1]) })
}

/// The step of a value told in so many figures.
fn step(value: f64, figures: i32) -> f64 {
    // Below 1e-9 nothing is worth telling; this holds off the logarithm of 0 too.
    10_f64.powi(value.abs().log10().floor().max(-9.0) as i32 + 1 - figures)
}

fn figures_up(value: f64, figures: i32) -> f64 {
    let step = step(value, figures);
    (value / step - 1e-9).ceil() * step
}

fn figures_down(value: f64, figures: i32) -> f64 {
    let step = step(value, figures);
    (value / step + 1e-9).floor() * step
}

/// What lengths in messages are rounded to, per unit: tenths of a micrometre or of a thousandth of an inch, and
/// for small ones two significant figures.
fn places(value: f64) -> f64 {
    // Below 1e-9 nothing is worth telling; this holds off the logarithm of 0 too.
    let leading = value.abs().log10().floor().max(-9.0);
    10_f64.powf((1.0 - leading).max(4.0))
}

fn near(value: f64) -> f64 {
    (value * places(value)).round() / places(value)
}

fn down(value: f64) -> f64 {
    // What rounding of the unit's factor left is granted.
    (value * places(value) + 1e-6).floor() / places(value)
}

fn up(value: f64) -> f64 {
    (value * places(value) - 1e-6).ceil() / places(value)
}

/// A number for a message: plain where that is short, otherwise in powers of ten.
fn short(value: f64) -> String {
    // Seven figures are more than any shop measures; what rounding left goes, and a minus before nothing.
    let value = format!("{value:.6e}").parse().unwrap_or(value) + 0.0;
    let plain = value.to_string();
    if plain.len() <= 12 { plain } else { format!("{value:e}") }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn numbers_in_messages_carry_no_trace_of_rounding() {
        let table = [
            (6.0 * 25.4 / 25.4, "6"),
            (2.9999999999999996, "3"),
            (-1e-300 * 1e-300, "0"),
            (0.1 + 0.2, "0.3"),
            (-0.0625, "-0.0625"),
            (123456.7894, "123456.8"),
            (1e300, "1e300"),
            (f64::MAX, "1.797693e308"),
        ];
        for (value, told) in table {
            assert_eq!(short(value), told);
        }
    }
}
