//! The height of a bar along the stack: even, or forged to a taper.

/// Height of a bar over the place along the stack, mm: straight between the places given, held before the first and beyond
/// the last. An even bar has one place.
#[derive(Clone, Debug, PartialEq)]
pub struct Height {
    /// Places along the stack from the shoulder, mm, increasing, with the heights there, mm.
    places: Vec<(f64, f64)>,
}

impl Height {
    /// The same all along, mm.
    pub fn even(height: f64) -> Height {
        Height { places: vec![(0.0, height)] }
    }

    /// Through places along the stack from the shoulder and heights, mm: at least one pair, places strictly increasing.
    /// Places at which nothing changes are left out.
    pub fn through(places: &[(f64, f64)]) -> Height {
        let same = places.windows(2).all(|pair| pair[0].1.total_cmp(&pair[1].1).is_eq());
        Height { places: if same { vec![places[0]] } else { places.to_vec() } }
    }

    /// Whether it is the same all along.
    pub fn is_even(&self) -> bool {
        self.places.len() == 1
    }

    /// At a place along the stack, mm.
    pub fn at(&self, along: f64) -> f64 {
        let places = &self.places;
        match places.partition_point(|p| p.0 <= along) {
            0 => places[0].1,
            i if i == places.len() => places[i - 1].1,
            i => {
                let ((from, low), (to, high)) = (places[i - 1], places[i]);
                low + (high - low) * (along - from) / (to - from)
            }
        }
    }

    /// The places that it was given at and its heights there, mm, places increasing.
    pub fn places(&self) -> &[(f64, f64)] {
        &self.places
    }

    /// The least and the greatest between two places along the stack, mm.
    pub fn range(&self, [from, to]: [f64; 2]) -> [f64; 2] {
        let inner = self.places.iter().filter(|p| p.0 > from && p.0 < to).map(|p| p.1);
        let all = || inner.clone().chain([self.at(from), self.at(to)]);
        [all().fold(f64::INFINITY, f64::min), all().fold(0.0, f64::max)]
    }

    /// The least anywhere, mm.
    pub fn least(&self) -> f64 {
        self.places.iter().fold(f64::INFINITY, |least, p| least.min(p.1))
    }

    /// The greatest anywhere, mm.
    pub fn greatest(&self) -> f64 {
        self.places.iter().fold(0.0, |most, p| most.max(p.1))
    }

    /// The mean between two places along the stack (mm, the second greater), mm.
    pub fn mean(&self, [from, to]: [f64; 2]) -> f64 {
        if self.is_even() {
            return self.places[0].1;
        }
        (self.summed(to) - self.summed(from)) / (to - from)
    }

    /// Summed up from the shoulder, mm².
    fn summed(&self, along: f64) -> f64 {
        let marks =
            self.places.iter().map(|p| p.0).filter(|s| (*s > 0.0 && *s < along) || (*s < 0.0 && *s > along));
        let mut marks: Vec<f64> = marks.chain([0.0, along]).collect();
        marks.sort_by(f64::total_cmp);
        let whole =
            marks.windows(2).map(|w| 0.5 * (self.at(w[0]) + self.at(w[1])) * (w[1] - w[0])).sum::<f64>();
        whole.copysign(along)
    }

    /// The same with every height given anew by its old one, mm.
    pub fn altered(&self, height: impl Fn(f64) -> f64) -> Height {
        Height { places: self.places.iter().map(|&(s, h)| (s, height(h))).collect() }
    }

    /// Whether every place and height is a number and every height positive.
    pub(crate) fn is_sound(&self) -> bool {
        let finite = self.places.iter().all(|(s, h)| s.is_finite() && h.is_finite() && *h > 0.0);
        finite && !self.places.is_empty() && self.places.windows(2).all(|w| w[0].0 < w[1].0)
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn heights_run_straight_between_their_places_and_are_held_beyond() {
        let height = Height::through(&[(20.0, 16.0), (120.0, 10.0), (200.0, 12.0)]);
        for (s, wanted) in [
            (-50.0, 16.0),
            (0.0, 16.0),
            (20.0, 16.0),
            (70.0, 13.0),
            (120.0, 10.0),
            (160.0, 11.0),
            (400.0, 12.0),
        ] {
            assert!((height.at(s) - wanted).abs() < 1e-12, "{s}");
        }
        let near = |found: [f64; 2], wanted: [f64; 2]| (0..2).all(|i| (found[i] - wanted[i]).abs() < 1e-9);
        assert!(near(height.range([0.0, 160.0]), [10.0, 16.0]));
        assert!(near(height.range([130.0, 160.0]), [10.25, 11.0]));
        // 20 mm of 16 and 100 mm of 13 on the mean.
        assert!((height.mean([0.0, 120.0]) - (320.0 + 1300.0) / 120.0).abs() < 1e-12);
        assert!((height.mean([-40.0, 20.0]) - 16.0).abs() < 1e-12);
        assert!(!height.is_even() && height.is_sound());
    }

    #[test]
    fn two_equal_heights_are_an_even_bar() {
        let height = Height::through(&[(0.0, 9.0), (250.0, 9.0)]);
        assert!(height.is_even());
        assert_eq!(height, Height::even(9.0));
        for found in [height.at(-3.0), height.at(80.0), height.mean([0.0, 7.0])] {
            assert_eq!(found.to_bits(), 9.0_f64.to_bits());
        }
    }

    #[test]
    fn what_is_no_height_is_not_sound() {
        for wrong in
            [vec![(0.0, f64::NAN), (9.0, 1.0)], vec![(0.0, 0.0)], vec![(0.0, 5.0), (f64::INFINITY, 6.0)]]
        {
            assert!(!Height::through(&wrong).is_sound(), "{wrong:?}");
        }
        assert!(!Height { places: vec![(5.0, 4.0), (5.0, 6.0)] }.is_sound());
    }
}
