//! The table of what to take off at each station and height.

use design::Figures;
use measured::{NOTICEABLE, Spot, TakeOff};
use serde::Serialize;

/// A station, as figures in the design's unit.
#[derive(Serialize)]
pub(crate) struct Station {
    at: String,
    /// Breadth first, then the thicknesses from the edge up, the back last.
    places: Vec<Place>,
}

/// A breadth or a thickness.
#[derive(Serialize)]
struct Place {
    /// Above the edge; none for a breadth.
    up: Option<String>,
    now: String,
    planned: String,
    /// One where both sides are alike, else the right one first.
    sides: Vec<Over>,
}

/// What to take off, or what is gone.
#[derive(Serialize, PartialEq)]
struct Over {
    /// `R` for right, `L` for left, or nothing for both.
    side: &'static str,
    /// None where there is nothing to take off.
    figure: Option<String>,
    gone: bool,
}

/// The table's rows.
pub(crate) fn stations(table: &[TakeOff], figures: Figures) -> Vec<Station> {
    let station = |row: &TakeOff| {
        let spots = row.spots.iter().map(|spot| thickness(spot, figures));
        Station {
            at: figures.station(row.station_mm),
            places: std::iter::once(breadth(row, figures)).chain(spots).collect(),
        }
    };
    table.iter().map(station).collect()
}

fn breadth(row: &TakeOff, figures: Figures) -> Place {
    let length = |mm| figures.length(mm);
    Place {
        up: None,
        now: length(row.breadth_mm),
        planned: length(row.breadth_mm - row.breadth_over_mm),
        sides: vec![over("", row.breadth_over_mm, length)],
    }
}

fn thickness(spot: &Spot, figures: Figures) -> Place {
    let thickness = |mm| figures.thickness(mm);
    let both = over("", spot.right_mm, thickness);
    let sides = if both == over("", spot.left_mm, thickness) {
        vec![both]
    } else {
        vec![over("R", spot.right_mm, thickness), over("L", spot.left_mm, thickness)]
    };
    Place {
        up: Some(figures.length(spot.height_mm)),
        now: thickness(spot.now_mm),
        planned: thickness(spot.planned_mm),
        sides,
    }
}

/// What a side stands over, mm, in figures as fine as its caliper; nothing where they show a zero.
fn over(side: &'static str, mm: f64, figure: impl Fn(f64) -> String) -> Over {
    let gone = mm < -NOTICEABLE;
    let some = gone || (mm > 0.0 && figure(mm) != figure(0.0));
    Over { side, figure: some.then(|| figure(mm.abs())), gone }
}

#[cfg(test)]
mod tests {
    use design::Unit;

    use super::*;

    #[test]
    fn sides_are_merged_where_alike_and_what_is_gone_is_told() {
        let told = |right_mm, left_mm| {
            let spot = Spot { height_mm: 9.0, now_mm: 5.0, planned_mm: 4.0, right_mm, left_mm };
            let place = thickness(&spot, Figures { unit: Unit::Millimetre });
            place.sides.into_iter().map(|o| (o.side, o.figure, o.gone)).collect::<Vec<_>>()
        };
        let some = |figure: &str| Some(figure.to_owned());
        assert_eq!(told(0.501, 0.499), [("", some("0.50"), false)]);
        assert_eq!(told(0.7, -0.3), [("R", some("0.70"), false), ("L", some("0.30"), true)]);
        assert_eq!(told(-0.04, 0.001), [("", None, false)]);
        assert_eq!(told(-0.06, -0.06), [("", some("0.06"), true)]);
    }
}
