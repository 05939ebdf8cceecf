//! Path data in whole tenths of a millimetre, each step told from the place before: short, and as fine as a screen
//! shows.

use std::fmt::Write;

use glam::DVec2;

/// Units of the pictures in a mm.
pub(crate) const UNITS: f64 = 10.0;
/// How far chords may stand off their arc, mm: half a unit.
const SAG: f64 = 0.05;

/// A place in units, y down.
pub(crate) fn place(p: DVec2) -> [i64; 2] {
    [(p.x * UNITS).round() as i64, (-p.y * UNITS).round() as i64]
}

/// Path data through points (mm), closed or open; places that fall on the one before are left out.
pub(crate) fn path(points: impl IntoIterator<Item = DVec2>, closed: bool) -> String {
    let mut places: Vec<[i64; 2]> = points.into_iter().map(place).collect();
    places.dedup();
    if closed && places.len() > 1 && places.first() == places.last() {
        places.pop();
    }
    let mut data = String::new();
    let Some(&[x, y]) = places.first().filter(|_| places.len() > 1) else { return data };
    // Writing to a String can't fail.
    let _ = write!(data, "M{x} {y}l");
    for pair in places.windows(2) {
        let [dx, dy] = [pair[1][0] - pair[0][0], pair[1][1] - pair[0][1]];
        let gap = if data.ends_with('l') || dx < 0 { "" } else { " " };
        let _ = write!(data, "{gap}{dx}{}{dy}", if dy < 0 { "" } else { " " });
    }
    if closed {
        data.push('z');
    }
    data
}

/// How many chords an arc of this radius (mm) and turn (rad) is drawn with.
pub(crate) fn chords(radius: f64, turn: f64) -> u32 {
    // The rise of a chord over an arc of a small turn t is r·t²/8.
    let each = (8.0 * SAG / radius.max(SAG)).sqrt();
    (turn.abs() / each).ceil().clamp(1.0, 2000.0) as u32
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn steps_are_told_from_the_place_before() {
        let points = [[0.0, 0.0], [1.0, 0.0], [1.0, 2.0], [1.01, 2.01], [0.0, 0.0]].map(DVec2::from);
        assert_eq!(path(points, true), "M0 0l10 0 0-20z");
        assert_eq!(path(points, false), "M0 0l10 0 0-20-10 20");
        assert_eq!(path([DVec2::ONE], true), "");
    }

    /// The chord's true rise is r(1 − cos(t/2)).
    #[test]
    fn chords_keep_to_their_arcs() {
        for radius in [0.2, 1.0, 12.0, 900.0] {
            for turn in [0.1, 1.5, -6.0] {
                let each = turn / f64::from(chords(radius, turn));
                assert!(radius * (1.0 - (0.5 * each).cos()) <= SAG + 1e-9, "{radius} {turn}");
            }
        }
    }
}
