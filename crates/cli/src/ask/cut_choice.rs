//! How sheet steel shall be cut, as text in the design's unit, and what that is in mm.

use std::ops::RangeInclusive;

use design::{Figures, Unit};
use tooling::Cutting;

use crate::ask::arguments::Metal;
use crate::ask::heat::AskedHeat;
use crate::terminal::error::CliError;

/// Kerfs accepted, mm: from a cutter that compensates for it to heavy plasma (common practice, no source).
const KERFS: RangeInclusive<f64> = 0.0..=2.5;
/// Thicknesses accepted, mm: thinner sheet bends in the tongs, thicker is plate (common practice, no source).
const THICKNESSES: RangeInclusive<f64> = 0.5..=12.0;
/// Sides of sheets accepted, mm: from an offcut to what a lorry carries (common practice, no source).
const SIDES: RangeInclusive<f64> = 50.0..=12_000.0;

/// What was asked for; what was not is as usual.
#[derive(Clone, Debug, Default, PartialEq)]
pub(crate) struct CutChoice {
    kerf: Option<String>,
    sheet: Option<String>,
    thickness: Option<String>,
    hot: Option<AskedHeat>,
}

impl CutChoice {
    pub(crate) fn of(metal: &Metal) -> CutChoice {
        let Metal { kerf, sheet, thickness, hot, .. } = metal;
        CutChoice { kerf: kerf.clone(), sheet: sheet.clone(), thickness: thickness.clone(), hot: *hot }
    }

    /// In mm, plain numbers taken in the design's unit.
    ///
    /// # Errors
    /// The first argument that is no length or out of its range.
    pub(crate) fn cutting(&self, figures: Figures) -> Result<Cutting, CliError> {
        let unit = figures.unit;
        let usual = Cutting::default();
        let or = |text: &Option<String>, argument, range: &RangeInclusive<f64>, otherwise| match text {
            Some(text) => length(argument, text, text, range, unit),
            None => Ok(otherwise),
        };
        Ok(Cutting {
            kerf: or(&self.kerf, "--kerf", &KERFS, usual.kerf)?,
            sheet: self.sheet.as_ref().map(|text| sheet(text, unit)).transpose()?,
            thickness: or(&self.thickness, "--thickness", &THICKNESSES, usual.thickness)?,
            hot: self
                .hot
                .map_or(Ok(usual.hot), |hot| hot.celsius(figures.temperature).map_err(CliError::Hot))?,
        })
    }
}

/// A sheet's width and height, mm: a unit at the end is that of both.
fn sheet(text: &str, unit: Unit) -> Result<[f64; 2], CliError> {
    let sides: Vec<&str> = text.split(['x', 'X', '×']).map(str::trim).collect();
    let [width, height] = sides[..] else {
        return Err(refused("--sheet", text, "is not width by height", &SIDES, unit));
    };
    let named = |c: char| c.is_alphabetic() || c == '"' || c == '″' || c == '\'';
    let suffix = height.find(named).map_or("", |at| &height[at..]);
    let width = if width.contains(named) { width.to_owned() } else { format!("{width} {suffix}") };
    Ok([length("--sheet", text, &width, &SIDES, unit)?, length("--sheet", text, height, &SIDES, unit)?])
}

/// A length in mm within its range; `given` is the whole argument, for messages.
pub(crate) fn length(
    argument: &'static str,
    given: &str,
    text: &str,
    range: &RangeInclusive<f64>,
    unit: Unit,
) -> Result<f64, CliError> {
    let mm = design::length(text, unit).map_err(|fault| refused(argument, given, fault.why, range, unit))?;
    // A sign before nothing is none.
    let mm = mm + 0.0;
    if range.contains(&mm) { Ok(mm) } else { Err(refused(argument, given, "is out of range", range, unit)) }
}

/// What is said of an argument.
fn refused(
    argument: &'static str,
    given: &str,
    why: &str,
    range: &RangeInclusive<f64>,
    unit: Unit,
) -> CliError {
    let [least, most] = [*range.start(), *range.end()].map(|mm| limit(mm, unit));
    let (name, each) = (unit.name(), if argument == "--sheet" { " each way, such as 1000x500" } else { "" });
    CliError::Argument {
        argument,
        given: given.to_owned(),
        why: why.to_owned(),
        accepted: format!("from {least} to {most} {name}{each}"),
    }
}

/// A limit (mm) as told: in inches to three figures' worth of decimals, inside the range.
fn limit(mm: f64, unit: Unit) -> String {
    let value = mm / unit.millimetres();
    let told = match unit {
        Unit::Millimetre => format!("{value}"),
        Unit::Inch => format!("{value:.2}"),
    };
    design::trimmed(&told)
}

#[cfg(test)]
mod tests {
    use super::*;

    fn cutting(kerf: &str, sheet: &str, thickness: &str, unit: Unit) -> Result<Cutting, CliError> {
        let some = |text: &str| (!text.is_empty()).then(|| text.to_owned());
        CutChoice { kerf: some(kerf), sheet: some(sheet), thickness: some(thickness), hot: None }
            .cutting(Figures::of(unit))
    }

    #[test]
    fn lengths_are_in_the_designs_unit_unless_they_name_one() {
        let mm = cutting("0.2", "1000x500", "3", Unit::Millimetre).unwrap();
        assert_eq!((mm.kerf, mm.sheet, mm.thickness), (0.2, Some([1000.0, 500.0]), 3.0));
        let inch = cutting("0.2 mm", "48 x 24", "1/8", Unit::Inch).unwrap();
        assert_eq!((inch.kerf, inch.sheet), (0.2, Some([48.0 * 25.4, 24.0 * 25.4])));
        assert!((inch.thickness - 3.175).abs() < 1e-12);
        let named = cutting("", "48x24 in", "", Unit::Millimetre).unwrap();
        assert_eq!(named.sheet, Some([48.0 * 25.4, 24.0 * 25.4]));
        let mixed = cutting("", "1 m × 24 in", "", Unit::Millimetre).unwrap();
        assert_eq!(mixed.sheet, Some([1000.0, 24.0 * 25.4]));
        assert_eq!(cutting("", "", "", Unit::Inch).unwrap(), Cutting::default());
    }

    #[test]
    fn what_is_no_length_or_absurd_is_refused_with_what_is_accepted() {
        for (kerf, sheet, thickness) in [
            ("nan", "", ""),
            ("inf", "", ""),
            ("-0.1", "", ""),
            ("3", "", ""),
            ("0,2", "", ""),
            ("", "1000", ""),
            ("", "1000x", ""),
            ("", "0x500", ""),
            ("", "1000x500x2", ""),
            ("", "infxinf", ""),
            ("", "1e9x500", ""),
            ("", "", "0"),
            ("", "", "40"),
            ("", "", "NaN"),
        ] {
            for unit in [Unit::Millimetre, Unit::Inch] {
                let said = cutting(kerf, sheet, thickness, unit).unwrap_err().to_string();
                assert!(
                    said.starts_with("--") && said.contains("from "),
                    "{kerf} {sheet} {thickness}: {said}"
                );
                assert!(said.contains(unit.name()), "{said}");
            }
        }
    }
}
