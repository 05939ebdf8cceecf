//! Arcs cut short, as the formats that name an arc by its ends need them.

use std::f64::consts::PI;

use brep::Piece;

/// No part sweeps further, rad: well under the half turn at which two ends no longer tell which way an arc goes.
const LONGEST: f64 = 0.75 * PI;

/// The pieces that `piece` is made of: itself, but an arc in equal parts none of which is half a turn or more.
pub(crate) fn short(piece: &Piece) -> Vec<Piece> {
    let Piece::Arc(centre, radius, from, to) = *piece else {
        return vec![piece.clone()];
    };
    let parts = ((to - from).abs() / LONGEST).ceil().max(1.0);
    let angle = |i: f64| from + (to - from) * (i / parts);
    let starts = std::iter::successors(Some(0.0), |i| Some(i + 1.0)).take_while(|i| *i < parts);
    starts.map(|i| Piece::Arc(centre, radius, angle(i), angle(i + 1.0))).collect()
}

#[cfg(test)]
mod tests {
    use glam::DVec2;

    use super::*;

    #[test]
    fn a_full_turn_becomes_three_parts_end_to_end() {
        let parts = short(&Piece::Arc(DVec2::ONE, 5.0, 0.5, 0.5 - 2.0 * PI));
        assert_eq!(parts.len(), 3);
        for pair in parts.windows(2) {
            assert_eq!(pair[0].at(1.0).0, pair[1].at(0.0).0);
        }
        assert!(parts[0].at(0.0).0.distance(parts[2].at(1.0).0) < 1e-12);
    }

    #[test]
    fn short_arcs_and_straight_lines_stay_whole() {
        let arc = Piece::Arc(DVec2::ZERO, 5.0, 0.0, 2.0);
        let line = Piece::Straight(DVec2::ZERO, DVec2::ONE);
        assert_eq!((short(&arc), short(&line)), (vec![arc], vec![line]));
    }
}
