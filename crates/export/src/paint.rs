//! The colour that a body is shown in.

use crate::fault::ExportFault;
use crate::sound::writable;

/// A named colour of a body.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Paint<'a> {
    /// What it stands for, for example a steel.
    pub name: &'a str,
    /// Red, green and blue, sRGB (IEC 61966-2-1), 0 … 1.
    pub srgb: [f64; 3],
}

impl Paint<'_> {
    /// Ground steel, a light grey with a breath of blue: bodies without a paint of their own look so.
    pub const STEEL: Paint<'static> = Paint { name: "steel", srgb: [0.70, 0.72, 0.75] };

    /// Refuses a colour that formats cannot hold.
    ///
    /// # Errors
    /// [`ExportFault::Colour`] for a share outside 0 … 1, [`ExportFault::Name`] for a control character.
    pub(crate) fn sound(self) -> Result<(), ExportFault> {
        writable(self.name)?;
        match self.srgb.iter().all(|share| (0.0..=1.0).contains(share)) {
            true => Ok(()),
            false => Err(ExportFault::Colour { name: self.name.to_owned() }),
        }
    }

    /// The colour in linear light, by the sRGB curve.
    pub(crate) fn linear(self) -> [f64; 3] {
        self.srgb.map(|c| if c <= 0.04045 { c / 12.92 } else { ((c + 0.055) / 1.055).powf(2.4) })
    }

    /// `#RRGGBB`: each share to the nearest of the 256 steps of a byte.
    pub(crate) fn hex(self) -> String {
        let [red, green, blue] = self.srgb.map(|share| (255.0 * share).round() as u8);
        format!("#{red:02X}{green:02X}{blue:02X}")
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn paint(srgb: [f64; 3]) -> Paint<'static> {
        Paint { name: "bog iron", srgb }
    }

    #[test]
    fn the_curve_meets_its_ends_and_its_middle_grey() {
        let found = paint([0.0, 1.0, 0.5]).linear();
        assert!(found.iter().zip([0.0, 1.0, 0.214_041]).all(|(a, b)| (a - b).abs() < 1e-6), "{found:?}");
    }

    #[test]
    fn bytes_are_the_nearest() {
        assert_eq!(paint([0.0, 1.0, 0.5]).hex(), "#00FF80");
        assert_eq!(Paint::STEEL.hex(), "#B3B8BF");
    }

    #[test]
    fn shares_beyond_the_range_and_control_characters_are_refused() {
        for share in [-0.01, 1.01, f64::NAN, f64::INFINITY] {
            let fault = ExportFault::Colour { name: "bog iron".to_owned() };
            assert_eq!(paint([0.5, share, 0.5]).sound(), Err(fault), "{share}");
        }
        let named = Paint { name: "a\u{1}", srgb: [0.5; 3] };
        assert_eq!(named.sound(), Err(ExportFault::Name { name: "a\u{1}".to_owned() }));
        assert_eq!(paint([0.0, 1.0, 0.5]).sound(), Ok(()));
    }
}
