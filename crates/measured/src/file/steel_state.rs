//! Hardness and tempers as cells give them.

use design::{Misread, Temperature};
use steel::{rockwell, vickers};

/// A hardness, HV: a number in HRC, 40 to 66, or text that names HRC or HV. Softer steel has no HRC worth reading.
///
/// # Errors
/// A [`Misread`] for any other text.
pub(crate) fn hardness(text: &str) -> Result<f64, Misread> {
    let misread = |why| Misread { why, example: "58, \"58 HRC\" or \"230 HV\"" };
    let (number, unit) = parts(text).ok_or(misread("does not begin with a number"))?;
    match unit.to_uppercase().as_str() {
        "HV" => Ok(number),
        "" | "HRC" => vickers(number).ok_or(misread("is not from 40 to 66 HRC; give softer steel in HV")),
        _ => Err(misread("names no unit of hardness (HRC or HV)")),
    }
}

/// A heat, °C: a number on `scale`, or text that names C or F.
///
/// # Errors
/// A [`Misread`] for any other text.
pub(crate) fn heat(text: &str, scale: Temperature) -> Result<f64, Misread> {
    let misread = |why| Misread { why, example: "200, \"200 C\" or \"400 F\"" };
    let (number, unit) = parts(text).ok_or(misread("does not begin with a number"))?;
    let scale = match unit.trim_start_matches('°').to_uppercase().as_str() {
        "" => scale,
        "C" => Temperature::Celsius,
        "F" => Temperature::Fahrenheit,
        _ => return Err(misread("names no scale of temperature (C or F)")),
    };
    // Of the two scales, one is straight over the other.
    let [zero, hundred] = [0.0, 100.0].map(|c| scale.degrees(c));
    Ok(100.0 * (number - zero) / (hundred - zero))
}

/// A finite number at the start of text, and what comes after it.
fn parts(text: &str) -> Option<(f64, &str)> {
    let text = text.trim();
    let counts = |c: char| c.is_ascii_digit() || matches!(c, '.' | '-');
    let (number, unit) = text.split_at(text.find(|c| !counts(c)).unwrap_or(text.len()));
    let number: f64 = number.parse().ok()?;
    number.is_finite().then_some((number, unit.trim()))
}

/// A hardness (HV) in words: in HRC where there is one.
pub(crate) fn hardness_words(hv: f64) -> String {
    rockwell(hv).map_or_else(|| format!("{hv:.0} HV"), |hrc| format!("{hrc:.1} HRC"))
}

#[cfg(test)]
mod tests {
    use super::*;

    /// ASTM A370: 60 HRC is 697 HV.
    #[test]
    fn hardness_is_read_in_either_unit() {
        for text in ["60", " 60 HRC", "60hrc", "697 HV", "697.0 hv"] {
            assert!((hardness(text).unwrap() - 697.0).abs() < 1e-9, "{text}");
        }
        for text in ["", "HRC 60", "20", "70 HRC", "60 HB", "NaN", "-60", "1e99", "5 8"] {
            assert!(hardness(text).is_err(), "{text}");
        }
        assert_eq!([hardness_words(697.0), hardness_words(210.4)], ["60.0 HRC", "210 HV"]);
    }

    #[test]
    fn heats_are_read_on_either_scale() {
        let close = |text: &str, scale, wanted: f64| {
            assert!((heat(text, scale).unwrap() - wanted).abs() < 1e-9, "{text}");
        };
        close("200", Temperature::Celsius, 200.0);
        close("392", Temperature::Fahrenheit, 200.0);
        close("392 °F", Temperature::Celsius, 200.0);
        close("200c", Temperature::Fahrenheit, 200.0);
        for text in ["", "hot", "200 K", "200 g", "inf", "--3"] {
            assert!(heat(text, Temperature::Celsius).is_err(), "{text}");
        }
    }
}
