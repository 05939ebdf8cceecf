//! The tip before it is forged up, as figures.

use blade::Preform;
use design::{Design, Unit};
use serde::Serialize;

/// The piece that the tip is forged up from; lengths in mm, areas in mm².
#[derive(Clone, Debug, PartialEq, Serialize)]
#[serde(untagged)]
pub enum TipPreform {
    /// It can be cut from a straight piece.
    Straight {
        /// The blade's station at which it begins.
        start_mm: f64,
        /// Length of its straight edge.
        edge_mm: f64,
        /// Lengths along the edge and the breadths to cut there.
        breadths_mm: Vec<[f64; 2]>,
        /// Its area, which is the tip's.
        area_mm2: f64,
    },
    /// It can't.
    Impossible {
        /// Why.
        why_not: String,
    },
}

impl TipPreform {
    /// Of a design, with breadths every 25 mm or every inch.
    pub fn of(design: &Design) -> TipPreform {
        let pitch = match design.unit() {
            Unit::Millimetre => 25.0,
            Unit::Inch => Unit::Inch.millimetres(),
        };
        match Preform::of(design.blade()) {
            Ok(preform) => TipPreform::Straight {
                start_mm: preform.start(),
                edge_mm: preform.edge_length(),
                breadths_mm: breadths(&preform, pitch),
                area_mm2: preform.areas()[0],
            },
            Err(why) => TipPreform::Impossible { why_not: why.to_string() },
        }
    }
}

fn breadths(preform: &Preform, pitch: f64) -> Vec<[f64; 2]> {
    let places = (0..).map(|i| f64::from(i) * pitch).take_while(|s| *s < preform.edge_length());
    places.filter_map(|s| Some([s, preform.breadth(s)?.0])).collect()
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_straight_edge_keeps_its_breadths_and_a_tight_one_says_why_not() {
        let of = |sweep: &str| {
            let text = format!(
                "name = \"Boathook\"\n[outline]\nlength = 300\nbreadth = 30\n{sweep}\n[[taper]]\nat = 0\nback = 6\n"
            );
            TipPreform::of(&design::read(text.as_bytes()).unwrap())
        };
        let TipPreform::Straight { start_mm, breadths_mm, area_mm2, .. } = of("") else { panic!() };
        assert!(start_mm < 300.0 && breadths_mm[0][1] > breadths_mm[1][1] && area_mm2 > 100.0);
        let tight = of("form = \"straight-back\"\nsweep = 15\npoint_height = 20");
        assert!(matches!(tight, TipPreform::Impossible { why_not } if why_not.contains("would cross")));
    }
}
