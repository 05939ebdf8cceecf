//! The text of a Part 21 exchange structure (ISO 10303-21): numbered entities, strings, reals.

use std::fmt::Write;

use crate::fault::ExportFault;

/// An exchange structure in the making: header and entities so far.
pub(crate) struct Part21 {
    text: String,
    last: u64,
}

/// A reference to an entity.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(crate) struct Id(u64);

impl std::fmt::Display for Id {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        write!(f, "#{}", self.0)
    }
}

impl Part21 {
    /// Begins with `header`, the entities of the header section, one a line.
    pub(crate) fn new(header: &str) -> Self {
        Part21 { text: format!("ISO-10303-21;\nHEADER;\n{header}ENDSEC;\nDATA;\n"), last: 0 }
    }

    /// Adds an entity, `record` being its keyword and arguments, and returns its reference.
    pub(crate) fn add(&mut self, record: impl std::fmt::Display) -> Id {
        self.last += 1;
        // Writing into a String cannot fail.
        let _ = writeln!(self.text, "#{}={record};", self.last);
        Id(self.last)
    }

    /// The whole file.
    pub(crate) fn finish(mut self) -> Vec<u8> {
        self.text.push_str("ENDSEC;\nEND-ISO-10303-21;\n");
        self.text.into_bytes()
    }
}

/// A real as Part 21 wants it: shortest digits that read back as the same number, always with a point, the
/// exponent behind `E`. Fails on NaN and infinities; `place` names the number then.
pub(crate) fn real(x: f64, place: &str) -> Result<String, ExportFault> {
    let mut text = String::new();
    push_real(&mut text, x, place)?;
    Ok(text)
}

/// Adds a real as [`real`] has it: files hold half a million of them, so none is a text of its own.
fn push_real(text: &mut String, x: f64, place: &str) -> Result<(), ExportFault> {
    if !x.is_finite() {
        return Err(ExportFault::NotFinite { place: place.to_owned() });
    }
    let start = text.len();
    // Adding zero makes a negative zero positive. Writing into a String cannot fail.
    let _ = write!(text, "{:?}", x + 0.0);
    if text.ends_with(".0") {
        text.pop();
    } else if let Some(e) = text[start..].find('e') {
        let exponent = text.split_off(start + e);
        let point = if text[start..].contains('.') { "" } else { "." };
        let _ = write!(text, "{point}E{}", &exponent[1..]);
    }
    Ok(())
}

/// Reals in parentheses.
pub(crate) fn reals(numbers: &[f64], place: &str) -> Result<String, ExportFault> {
    // Most digits of a real, with its sign, point and comma.
    let mut text = String::with_capacity(2 + 20 * numbers.len());
    text.push('(');
    for (i, &x) in numbers.iter().enumerate() {
        if i > 0 {
            text.push(',');
        }
        push_real(&mut text, x, place)?;
    }
    text.push(')');
    Ok(text)
}

/// Anything in parentheses, with commas between.
pub(crate) fn list(items: impl IntoIterator<Item = impl std::fmt::Display>) -> String {
    let mut text = String::from("(");
    for (i, item) in items.into_iter().enumerate() {
        // Writing into a String cannot fail.
        let _ = write!(text, "{}{item}", if i > 0 { "," } else { "" });
    }
    text.push(')');
    text
}

/// A string in its quotes: apostrophe and reverse solidus doubled, everything beyond printable ASCII as
/// UTF-16 within `\X2\` … `\X0\`, or as UTF-32 within `\X4\` … `\X0\` outside the basic plane.
pub(crate) fn string(text: &str) -> String {
    let mut out = String::from("'");
    for c in text.chars() {
        match c {
            '\'' => out.push_str("''"),
            '\\' => out.push_str("\\\\"),
            ' '..='~' => out.push(c),
            '\0'..='\u{ffff}' => out.push_str(&format!("\\X2\\{:04X}\\X0\\", u32::from(c))),
            _ => out.push_str(&format!("\\X4\\{:08X}\\X0\\", u32::from(c))),
        }
    }
    out.push('\'');
    out
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn strings_are_escaped() {
        let cases = [
            ("", "''"),
            ("flank right", "'flank right'"),
            ("smith's", "'smith''s'"),
            ("a\\b", "'a\\\\b'"),
            ("é", "'\\X2\\00E9\\X0\\'"),
            ("ᛋ", "'\\X2\\16CB\\X0\\'"),
            ("\n", "'\\X2\\000A\\X0\\'"),
            ("🗡", "'\\X4\\0001F5E1\\X0\\'"),
        ];
        cases.into_iter().for_each(|(text, want)| assert_eq!(string(text), want));
    }

    #[test]
    fn reals_have_a_point_and_read_back() {
        let cases =
            [(0.0, "0."), (-0.0, "0."), (1.0, "1."), (-2.5, "-2.5"), (1e16, "1.E16"), (1.5e-7, "1.5E-7")];
        cases.into_iter().for_each(|(x, want)| assert_eq!(real(x, "").unwrap(), want));
        for x in [0.1, 1.0 / 3.0, f64::MAX, f64::MIN_POSITIVE, 5e-324, 123_456_789.123_456_78, 1e15, 1e17] {
            let text = real(x, "").unwrap();
            assert!(text.contains('.'), "{text}");
            assert_eq!(text.parse::<f64>().unwrap().to_bits(), x.to_bits());
        }
    }

    #[test]
    fn what_is_not_finite_is_refused() {
        for x in [f64::NAN, f64::INFINITY, f64::NEG_INFINITY] {
            assert_eq!(real(x, "knot"), Err(ExportFault::NotFinite { place: "knot".to_owned() }));
        }
    }
}
