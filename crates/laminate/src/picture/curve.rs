//! The sRGB curve as tables, for whole pictures.

use crate::picture::palette::{linear, stored};

/// The sRGB curve (IEC 61966-2-1) both ways, between stored values of a byte and linear light, 0 to 1.
#[derive(Clone, Debug)]
pub struct Curve {
    linear: [f32; 256],
    /// The stored value for a linear one in steps.
    stored: Vec<u8>,
}

/// Steps of the table from linear to stored light: the steepest step of the curve is under half a stored value.
const STEPS: usize = 1 << 14;

impl Curve {
    /// Both tables.
    pub fn new() -> Curve {
        let value = |i: usize| (stored(i as f64 / STEPS as f64) * 255.0).round() as u8;
        Curve {
            linear: std::array::from_fn(|i| linear(i as f64 / 255.0) as f32),
            stored: (0..=STEPS).map(value).collect(),
        }
    }

    /// The linear light of a stored value, 0 to 1.
    #[inline]
    pub fn linear(&self, value: u8) -> f32 {
        self.linear[usize::from(value)]
    }

    /// The nearest stored value to so much linear light; less than 0 or more than 1 is taken as these.
    #[inline]
    pub fn stored(&self, light: f32) -> u8 {
        // Of 32 bits, so that processors round four at a time.
        let step = (light * STEPS as f32 + 0.5) as i32;
        self.stored[step.clamp(0, STEPS as i32) as usize]
    }
}

impl Default for Curve {
    fn default() -> Curve {
        Curve::new()
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn every_stored_value_comes_back_and_nothing_leaves_the_table() {
        let curve = Curve::new();
        for value in 0..=255 {
            assert_eq!(curve.stored(curve.linear(value)), value);
        }
        // Half the light is a grey of 188, by the curve of IEC 61966-2-1.
        assert_eq!([-1.0, 0.5, 2.0, f32::NAN, f32::INFINITY].map(|c| curve.stored(c)), [0, 188, 255, 0, 255]);
    }
}
