//! Lengths, angles and masses: a number in the file's unit, or text that names its own.

use std::f64::consts::PI;

use crate::unit::scales::{MassUnit, POUND, Temperature};

/// The unit of lengths given as plain numbers.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub enum Unit {
    /// Millimetres.
    #[default]
    Millimetre,
    /// International inches, 25.4 mm.
    Inch,
}

/// Millimetres in an inch, exact by the international yard and pound agreement of 1959.
const INCH: f64 = 25.4;

impl Unit {
    /// Its short name, as files spell it.
    pub fn name(self) -> &'static str {
        match self {
            Unit::Millimetre => "mm",
            Unit::Inch => "in",
        }
    }

    /// Millimetres in the unit.
    pub fn millimetres(self) -> f64 {
        match self {
            Unit::Millimetre => 1.0,
            Unit::Inch => INCH,
        }
    }
}

/// A kind of quantity: its units, and an example for the hint.
#[derive(Debug, PartialEq)]
pub(crate) struct Measure {
    pub(crate) units: &'static [(&'static str, f64)],
    pub(crate) example: &'static str,
    pub(crate) wrong_unit: &'static str,
}

/// Lengths, in mm.
pub(crate) const LENGTH: Measure = Measure {
    units: &[
        ("mm", 1.0),
        ("cm", 10.0),
        ("m", 1000.0),
        ("in", INCH),
        ("in.", INCH),
        ("inch", INCH),
        ("inches", INCH),
        ("\"", INCH),
        ("''", INCH),
        ("″", INCH),
        ("ft", 12.0 * INCH),
    ],
    example: "\"9.5 mm\", \"2 cm\", \"3/8 in\" or \"1 1/2 in\"",
    wrong_unit: "names no unit of length (mm, cm, m or in)",
};
/// Angles, in rad.
pub(crate) const ANGLE: Measure = Measure {
    units: &[("deg", PI / 180.0), ("°", PI / 180.0)],
    example: "30 or \"30 deg\"",
    wrong_unit: "names no unit of angle (deg)",
};
/// Masses, in g.
pub(crate) const MASS: Measure = Measure {
    units: &[("g", 1.0), ("kg", 1000.0), ("oz", POUND / 16.0), ("lb", POUND), ("lbs", POUND)],
    example: "85, \"85 g\", \"0.3 kg\", \"3 oz\" or \"1 lb\"",
    wrong_unit: "names no unit of mass (g, kg, oz or lb)",
};
/// Temperatures on the scale of Celsius.
const CELSIUS: Measure = Measure {
    units: &[("C", 1.0), ("°C", 1.0)],
    example: "815, \"815 C\" or \"1500 F\"",
    wrong_unit: "names no scale of temperature (C or F)",
};
/// Temperatures on the scale of Fahrenheit.
const FAHRENHEIT: Measure = Measure { units: &[("F", 1.0), ("°F", 1.0)], ..CELSIUS };
/// Litres in a US gallon of 231 in³.
pub(crate) const GALLON: f64 = 231.0 * INCH * INCH * INCH * 1e-6;
/// Volumes, in L.
pub(crate) const VOLUME: Measure = Measure {
    units: &[("l", 1.0), ("L", 1.0), ("gal", GALLON)],
    example: "15, \"15 L\" or \"4 gal\"",
    wrong_unit: "names no unit of volume (L or gal)",
};
/// Shares of a whole, as parts of 1.
pub(crate) const SHARE: Measure =
    Measure { units: &[("%", 0.01)], example: "\"60 %\"", wrong_unit: "names no share (%)" };

impl Measure {
    /// The value of text such as "1 1/2 in", in mm, rad, g or parts of 1; else what is wrong with it. The
    /// result may be infinite for very long numbers.
    pub(crate) fn parse(&self, text: &str) -> Result<f64, &'static str> {
        let trimmed = text.trim();
        let (sign, rest) = match trimmed.strip_prefix('-') {
            Some(rest) => (-1.0, rest),
            None => (1.0, trimmed),
        };
        if rest.contains(',') {
            return Err("holds a comma; write a decimal point");
        }
        // Larger units come first, as in 1 lb 4 oz.
        let (mut sum, mut before, mut rest) = (0.0, f64::INFINITY, rest);
        loop {
            let (value, factor, beyond) = self.part(rest)?;
            if factor >= before {
                return Err("holds more than one number");
            }
            sum += value * factor;
            (before, rest) = (factor, beyond);
            if rest.is_empty() {
                return Ok(sign * sum);
            }
        }
    }

    /// A number and its unit's size at the start of text, and what comes after them.
    fn part<'t>(&self, text: &'t str) -> Result<(f64, f64, &'t str), &'static str> {
        let counts = |c: char| c.is_ascii_digit() || matches!(c, '.' | '/' | ' ' | '-');
        let (number, named) = text.split_at(text.find(|c| !counts(c)).unwrap_or(text.len()));
        let value = mixed(number.trim())?;
        let end = named.find(|c: char| c.is_ascii_digit()).unwrap_or(named.len());
        let (unit, beyond) = named.split_at(end);
        let factor = self.units.iter().find(|u| u.0 == unit.trim()).ok_or(self.wrong_unit)?.1;
        Ok((value, factor, beyond))
    }
}

/// Text such as "815 C" or "1500 F", °C; else what is wrong with it, and how it could be written.
pub(crate) fn heat(text: &str) -> Result<f64, Misread> {
    let scale = if text.trim_end().ends_with('F') { Temperature::Fahrenheit } else { Temperature::Celsius };
    let measure = if scale == Temperature::Fahrenheit { FAHRENHEIT } else { CELSIUS };
    let degrees = measure.parse(text).map_err(|why| Misread { why, example: measure.example })?;
    Ok(scale.celsius(degrees))
}

/// Why text is no quantity, and how it could be written.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Misread {
    /// Goes on after the text itself: "does not begin with a number".
    pub why: &'static str,
    /// Text that would be understood.
    pub example: &'static str,
}

/// A length as a cell of a table gives it, mm: a number or fraction in `unit`, or text that names its own unit. Finite.
///
/// # Errors
/// A [`Misread`] for any other text.
pub fn length(text: &str, unit: Unit) -> Result<f64, Misread> {
    LENGTH.cell(text, unit.millimetres())
}

/// A mass in the same way, g: plain numbers are in `unit`.
///
/// # Errors
/// A [`Misread`] for any other text.
pub fn mass(text: &str, unit: MassUnit) -> Result<f64, Misread> {
    MASS.cell(text, unit.grams())
}

/// An angle in the same way, rad: plain numbers are degrees.
///
/// # Errors
/// A [`Misread`] for any other text.
pub fn angle(text: &str) -> Result<f64, Misread> {
    ANGLE.cell(text, PI / 180.0)
}

impl Measure {
    /// An amount as a cell of a table has it: a bare number in `plain` units, or text with a unit.
    fn cell(&self, text: &str, plain: f64) -> Result<f64, Misread> {
        let trimmed = text.trim();
        let (sign, number) = trimmed.strip_prefix('-').map_or((1.0, trimmed), |rest| (-1.0, rest));
        let named = trimmed.bytes().any(|b| !(b.is_ascii_digit() || b" .,/-".contains(&b)));
        let value = if named || trimmed.contains(',') {
            self.parse(trimmed)
        } else {
            mixed(number).map(|value| sign * value * plain)
        };
        let finite = value.and_then(|v| if v.is_finite() { Ok(v) } else { Err("is too large a number") });
        finite.map_err(|why| Misread { why, example: self.example })
    }
}

/// "9.5", "3/8", "1 1/2" or "1-1/2".
fn mixed(text: &str) -> Result<f64, &'static str> {
    if text.starts_with('-') {
        return Err("does not begin with a number");
    }
    // A dash joins a whole number and its fraction.
    let joined = text.split_once('-').filter(|(whole, part)| digits(whole).is_ok() && !part.contains('-'));
    let text = joined.map_or_else(|| text.to_owned(), |(whole, part)| format!("{whole} {part}"));
    let parts: Vec<&str> = text.split_ascii_whitespace().collect();
    match parts[..] {
        [one] if one.contains('/') => fraction(one),
        [one] => decimal(one),
        [whole, part] if part.contains('/') => Ok(digits(whole)? + fraction(part)?),
        [] => Err("does not begin with a number"),
        _ => Err("holds more than one number"),
    }
}

fn fraction(text: &str) -> Result<f64, &'static str> {
    let (above, below) = text.split_once('/').ok_or("is not a fraction")?;
    let (above, below) = (digits(above)?, digits(below)?);
    if below == 0.0 { Err("divides by zero") } else { Ok(above / below) }
}

fn digits(text: &str) -> Result<f64, &'static str> {
    let plain = !text.is_empty() && text.bytes().all(|b| b.is_ascii_digit());
    if plain { decimal(text) } else { Err("is not a fraction of whole numbers") }
}

fn decimal(text: &str) -> Result<f64, &'static str> {
    text.parse().map_err(|_| "does not begin with a number")
}

/// A quantity as the file gives it.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(crate) enum Amount {
    /// A number without a unit.
    Plain(f64),
    /// In mm, rad, g or parts of 1.
    Fixed(f64),
}

impl Amount {
    /// The value with plain numbers taken in a unit of this size.
    pub(crate) fn with(self, unit: f64) -> f64 {
        match self {
            Amount::Plain(value) => value * unit,
            Amount::Fixed(value) => value,
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn close(a: f64, b: f64) -> bool {
        (a - b).abs() <= 1e-12 * b.abs().max(1.0)
    }

    #[test]
    fn lengths_are_read_in_their_units() {
        let table = [
            ("9.5 mm", 9.5),
            ("9.5mm", 9.5),
            (" 2 cm ", 20.0),
            ("0.48 m", 480.0),
            ("3/8 in", 9.525),
            ("1 1/2 in", 38.1),
            ("1/4\"", 6.35),
            ("18 3/4 in", 476.25),
            ("0 mm", 0.0),
            ("-3/8 in", -9.525),
            ("-1 1/2 in", -38.1),
            ("1-5/8 in", 41.275),
            ("5/8\"", 15.875),
            ("19''", 482.6),
            ("12 inches", 304.8),
            ("1 ft 6 in", 457.2),
            ("0.5 in", 12.7),
            (".5 in", 12.7),
        ];
        for (text, wanted) in table {
            assert!(LENGTH.parse(text).is_ok_and(|v| close(v, wanted)), "{text}: {:?}", LENGTH.parse(text));
        }
    }

    #[test]
    fn masses_and_angles_are_read_in_their_units() {
        let table = [
            ("85 g", 85.0),
            ("0.3 kg", 300.0),
            ("1 lb", 453.59237),
            ("2 lbs", 907.18474),
            ("1 lb 4 oz", 566.9904625),
            ("16 oz", 453.59237),
            ("1/2 lb", 226.796185),
        ];
        for (text, wanted) in table {
            assert!(MASS.parse(text).is_ok_and(|v| close(v, wanted)), "{text}");
        }
        assert!(ANGLE.parse("30 deg").is_ok_and(|v| close(v, PI / 6.0)));
        assert!(ANGLE.parse("22 1/2°").is_ok_and(|v| close(v, PI / 8.0)));
        assert!(SHARE.parse("60 %").is_ok_and(|v| close(v, 0.6)));
    }

    #[test]
    fn cells_are_numbers_in_the_unit_or_name_their_own() {
        let table = [("6.4", 6.4), (" 1/4 in", 6.35), ("6.4 mm", 6.4), ("-0.5", -0.5), ("1 1/2", 1.5)];
        for (text, wanted) in table {
            assert!(length(text, Unit::Millimetre).is_ok_and(|v| close(v, wanted)), "{text}");
        }
        assert!(length("1/4", Unit::Inch).is_ok_and(|v| close(v, 6.35)));
        assert!(
            mass("1 lb", MassUnit::Gram).is_ok_and(|v| close(v, 453.59237))
                && mass("612", MassUnit::Gram).is_ok_and(|v| close(v, 612.0))
                && mass("2", MassUnit::Pound).is_ok_and(|v| close(v, 907.18474))
        );
        assert!(angle("90").is_ok_and(|v| close(v, 0.5 * PI)));
        for text in ["", "6,4", "six", "6.4 g", "NaN", "inf", "1e400", "9".repeat(400).as_str(), "6.4 mm 3"] {
            assert!(length(text, Unit::Millimetre).is_err(), "{text}");
        }
    }

    #[test]
    fn wrong_quantities_are_refused() {
        let table = [
            "",
            " ",
            "mm",
            "9.5",
            "9,5 mm",
            "1/0 in",
            "1//2 in",
            "1/2/3 in",
            "1.5/2 in",
            "1 2 in",
            "1 1/2 1/2 in",
            "nan mm",
            "inf mm",
            "1e3 mm",
            "--3 mm",
            "3 furlong",
            "3 mm mm",
            "3 in 1 ft",
            "3 mm 3 mm",
            "3 - 4 mm",
            "1--5/8 in",
            "1-5/8-1/8 in",
            "/2 in",
            "1/ in",
            "½ in",
            "1.2.3 mm",
            "٣ mm",
            "-",
            ".",
            ". mm",
        ];
        for text in table {
            assert!(LENGTH.parse(text).is_err(), "{text}: {:?}", LENGTH.parse(text));
        }
        assert_eq!(LENGTH.parse("1 0/0 in"), Err("divides by zero"));
    }
}
