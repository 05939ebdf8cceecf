//! The pitch of a twist as the finished blade shows it.

use brep::Monotone;

/// Length of a full turn on the finished blade along its stations, mm: smooth and monotone between those given, and
/// held before the first and beyond the last.
#[derive(Clone, Debug, PartialEq)]
pub struct Pitch {
    curve: Monotone,
}

impl Pitch {
    /// The same all along, mm, positive.
    pub fn even(pitch: f64) -> Pitch {
        Pitch::through(&[(0.0, pitch)])
    }

    /// Through stations and pitches, mm: at least one pair, stations strictly increasing, pitches positive.
    pub fn through(stations: &[(f64, f64)]) -> Pitch {
        let (at, pitch) = stations.iter().copied().unzip();
        Pitch { curve: Monotone::new(at, pitch) }
    }

    /// At station `x`, mm.
    pub fn at(&self, x: f64) -> f64 {
        let at = self.curve.stations();
        self.curve.at(x.clamp(at[0], at[at.len() - 1]))
    }

    /// The stations that it was given at and its length there, mm, stations increasing.
    pub fn given(&self) -> impl Iterator<Item = (f64, f64)> + Clone + '_ {
        self.stations().iter().map(|&x| (x, self.at(x)))
    }

    /// The same stations alone.
    pub(crate) fn stations(&self) -> &[f64] {
        self.curve.stations()
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn pitches_are_those_given_smooth_between_and_held_beyond() {
        let pitch = Pitch::through(&[(50.0, 60.0), (150.0, 90.0), (250.0, 80.0)]);
        for (x, wanted) in [(0.0, 60.0), (50.0, 60.0), (150.0, 90.0), (250.0, 80.0), (400.0, 80.0)] {
            assert!((pitch.at(x) - wanted).abs() < 1e-12, "{x}");
        }
        let all: Vec<f64> = (50..=150).map(|x| pitch.at(f64::from(x))).collect();
        assert!(all.windows(2).all(|w| w[1] > w[0]) && (50..400).all(|x| pitch.at(f64::from(x)) <= 90.0));
        assert!((Pitch::even(70.0).at(9.0) - 70.0).abs() < 1e-12);
        assert_eq!(pitch.given().count(), 3);
    }
}
