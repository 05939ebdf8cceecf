//! The tip before it is forged up, as figures.

use blade::Preform;
use design::{Design, Figures, Unit};
use laminate::MaterialMap;
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
        /// Where the edge's curve sets in, from one length along the edge to another: there any breadth between two will
        /// do. None where the cut line is to be kept throughout.
        forged_between_mm: Option<[f64; 2]>,
        /// The length along the edge where they are widest apart, and the two.
        widest_leeway_mm: Option<[f64; 3]>,
        /// Those of the lengths above that lie there, and the least and the greatest breadth.
        leeway_mm: Vec<[f64; 3]>,
        /// Its area, which is the tip's.
        area_mm2: f64,
    },
    /// The point is cut out of the bar's end, which is forged on at full breadth.
    Cut {
        /// The blade's station from which on.
        from_mm: f64,
    },
    /// No straight piece makes it.
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
        match design.preform() {
            None => {
                TipPreform::Cut { from_mm: design.lay().and_then(MaterialMap::cut_from).unwrap_or_default() }
            }
            Some(Ok(preform)) => TipPreform::Straight {
                start_mm: preform.start(),
                edge_mm: preform.edge_length(),
                breadths_mm: breadths(&preform, pitch),
                forged_between_mm: preform.forged_between(),
                widest_leeway_mm: preform.widest_leeway(),
                leeway_mm: leeway(&preform, pitch),
                area_mm2: preform.areas()[0],
            },
            Some(Err(why)) => TipPreform::Impossible { why_not: why.to_string() },
        }
    }
}

fn breadths(preform: &Preform, pitch: f64) -> Vec<[f64; 2]> {
    places(preform, pitch).filter_map(|s| Some([s, preform.breadth(s)?.0])).collect()
}

fn leeway(preform: &Preform, pitch: f64) -> Vec<[f64; 3]> {
    let told = |s: f64| preform.leeway(s).map(|[least, most]| [s, least, most]);
    places(preform, pitch).filter_map(told).collect()
}

/// Even lengths along the edge, mm.
fn places(preform: &Preform, pitch: f64) -> impl Iterator<Item = f64> {
    let end = preform.edge_length();
    (0..).map(move |i| f64::from(i) * pitch).take_while(move |s| *s < end)
}

impl TipPreform {
    /// What stands above it.
    pub fn heading(&self) -> &'static str {
        if matches!(self, TipPreform::Cut { .. }) {
            "The point: cut it out of the bar's end"
        } else {
            "Tip preform: the point before you forge it up"
        }
    }

    /// What is done where there is no straight piece to cut, in sentences; none where there is one.
    pub fn instead(&self, l: Figures) -> Option<String> {
        match self {
            TipPreform::Straight { .. } => None,
            TipPreform::Cut { from_mm } => Some(format!(
                "Forge the end on at full breadth, as thin as the forged blade. Then cut the point out of it to the template of the forged \
                 blade, from station {} on. Don't forge it up.",
                l.told(*from_mm)
            )),
            TipPreform::Impossible { why_not } => {
                Some(format!("No straight piece can be forged into this point: {why_not}."))
            }
        }
    }

    /// The breadth at `s` mm along the edge in words: two where either will do.
    pub fn told(&self, [s, breadth]: [f64; 2], length: impl Fn(f64) -> String) -> String {
        let leeway = match self {
            TipPreform::Straight { leeway_mm, .. } => leeway_mm.iter().find(|l| l[0].total_cmp(&s).is_eq()),
            TipPreform::Cut { .. } | TipPreform::Impossible { .. } => None,
        };
        leeway.map_or_else(|| length(breadth), |[_, least, most]| [*least, *most].map(&length).join("–"))
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    /// A point that is cut out of the end has no piece that is forged up, and says what to do instead.
    #[test]
    fn a_cut_point_is_not_forged_up() {
        let design = crate::fixtures::design("oar-wrights-knife");
        let tip = TipPreform::of(&design);
        let told = tip.instead(design.figures()).unwrap();
        assert!(matches!(tip, TipPreform::Cut { from_mm } if from_mm > 50.0), "{tip:?}");
        assert!(told.contains("cut the point out of it") && told.contains("Don't forge it up"), "{told}");
        let text = crate::Plan::of(&design).unwrap().text();
        assert!(
            text.contains("The point: cut it out of the bar's end") && !text.contains("straight edge"),
            "{text}"
        );
    }

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
        let swept = of("form = \"straight-back\"\nsweep = 36\npoint_height = 12");
        let TipPreform::Straight { leeway_mm, breadths_mm, forged_between_mm, .. } = &swept else { panic!() };
        let [at, least, most] = leeway_mm[0];
        assert!(forged_between_mm.is_some() && most - least > 0.3);
        let row = *breadths_mm.iter().find(|b| b[0].total_cmp(&at).is_eq()).unwrap();
        let told = swept.told(row, |mm| format!("{mm:.1}"));
        assert_eq!(told, format!("{least:.1}–{most:.1}"));
        let tight = of("form = \"straight-back\"\nsweep = 15\npoint_height = 20");
        assert!(matches!(tight, TipPreform::Impossible { why_not } if why_not.contains("would cross")));
    }
}
