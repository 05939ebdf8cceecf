//! The colours of what is written: sRGB, red, green and blue in 0 … 1.

/// Ground steel: a light grey with a breath of blue.
pub(crate) const STEEL: [f64; 3] = [0.70, 0.72, 0.75];

/// The same colour in linear light, by the sRGB curve (IEC 61966-2-1).
pub(crate) fn linear(colour: [f64; 3]) -> [f64; 3] {
    colour.map(|c| if c <= 0.04045 { c / 12.92 } else { ((c + 0.055) / 1.055).powf(2.4) })
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_curve_meets_its_ends_and_its_middle_grey() {
        let found = linear([0.0, 1.0, 0.5]);
        assert!(found.iter().zip([0.0, 1.0, 0.214_041]).all(|(a, b)| (a - b).abs() < 1e-6), "{found:?}");
    }
}
