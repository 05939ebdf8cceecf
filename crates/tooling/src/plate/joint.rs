//! Self-aligning joints between pieces of a plate: a dovetail key on the left piece, its socket in the right one.

use glam::DVec2;

/// A joint across a bar of material: the upright butt line at `x` from `low` to `high`, and the key beyond it.
///
/// The butt faces touch, so that the pieces make up the length; the key has the gap on its flanks and at its head.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(crate) struct Joint {
    pub(crate) x: f64,
    pub(crate) low: f64,
    pub(crate) high: f64,
    pub(crate) gap: f64,
}

/// Least breadth of material across which a joint is cut, mm: leaves 2.5 mm on either side of the widest key there.
pub(crate) const LEAST: f64 = 10.0;
/// The key's length: this share of the breadth, at most [`LONGEST`] mm.
const LENGTH_SHARE: f64 = 0.4;
/// Longest key, mm: with its zone it fits between two ticks an inch or 25 mm apart.
const LONGEST: f64 = 8.0;
/// The key's neck as a share of the breadth, at most [`BROADEST`] mm.
const NECK_SHARE: f64 = 0.35;
/// Broadest neck, mm.
const BROADEST: f64 = 14.0;
/// How much the key widens to each side over its length: about 10 degrees holds and still slides out of the printer's
/// tolerance.
const FLARE: f64 = 0.18;

impl Joint {
    fn length(&self) -> f64 {
        (LENGTH_SHARE * (self.high - self.low)).min(LONGEST)
    }

    fn neck(&self) -> f64 {
        0.5 * (NECK_SHARE * (self.high - self.low)).min(BROADEST)
    }

    /// How far the joint reaches beyond the butt line, gap included, mm.
    pub(crate) fn reach(&self) -> f64 {
        self.length() + self.gap
    }

    /// The key's way from the lower end of the butt line to the upper: corners between the two ends.
    pub(crate) fn key(&self) -> [DVec2; 4] {
        self.way(self.neck(), self.length())
    }

    /// The socket's way, likewise: the key's flanks and head moved out by the gap.
    pub(crate) fn socket(&self) -> [DVec2; 4] {
        let slant = (1.0 + FLARE * FLARE).sqrt();
        self.way(self.neck() + self.gap * slant, self.length() + self.gap)
    }

    fn way(&self, neck: f64, length: f64) -> [DVec2; 4] {
        let middle = 0.5 * (self.low + self.high);
        let head = neck + FLARE * length;
        let at = |x: f64, y: f64| DVec2::new(self.x + x, middle + y);
        [at(0.0, -neck), at(length, -head), at(length, head), at(0.0, neck)]
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_socket_is_the_key_with_the_gap_around_it() {
        let joint = Joint { x: 100.0, low: -20.0, high: 16.0, gap: 0.15 };
        let (key, socket) = (joint.key(), joint.socket());
        let along = (key[1] - key[0]).normalize();
        for corner in &socket[..2] {
            let off = -(*corner - key[0]).perp_dot(along).abs();
            assert!((off.abs() - 0.15).abs() < 1e-12, "{off}");
        }
        assert!((socket[1].x - key[1].x - 0.15).abs() < 1e-12);
        assert!((socket[0].x - 100.0).abs() < 1e-12);
        let middle = 0.5 * (key[0].y + key[3].y);
        assert!((middle + 2.0).abs() < 1e-12);
    }
}
