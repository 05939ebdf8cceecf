//! The `[gauges]` table: section gauges and the stations they are for.

use blade::Blade;

use crate::file::checker::{Checker, REACH};
use crate::file::draft::{Field, Length, table};
use crate::file::problem::Fault;
use crate::unit::quantity::Unit;

/// Thickness unless given, mm: stands on its own edge (common practice, no source).
const THICKNESS: f64 = 4.0;
/// Thicknesses accepted, mm: thinner ones bend, thicker ones hide the section behind them.
const THICKNESSES: std::ops::RangeInclusive<f64> = 2.0..=20.0;
/// Most stations: more gauges than this are never found again on the bench.
const MOST_STATIONS: usize = 40;

/// Section gauges.
#[derive(Clone, Debug, PartialEq)]
pub struct Gauges {
    /// Thickness of each, mm, from 2 to 20.
    pub thickness: f64,
    /// Their stations, mm from the shoulder, increasing: at most 40, none beyond [`Blade::fan_start`]. May be
    /// empty.
    pub stations: Vec<f64>,
}

table! {
    /// Section gauges and the stations they are for.
    GaugesDraft {
        /// Thickness of each. Default 4 mm.
        thickness: Length,
        /// Their distances from the shoulder in increasing order, at most 40. Default: every 50 mm (2 in where `unit`
        /// is `in`) as far as sections stand square to the blade.
        stations: Vec<Field<Length>>,
    }
}

/// Checks the table against the blade, if there is one; without a table, every default holds.
pub(crate) fn check(draft: Option<&Field<GaugesDraft>>, blade: Option<&Blade>, c: &mut Checker) -> Gauges {
    let draft = draft.map(|f| &f.value);
    let square = blade.map_or(*REACH.end(), Blade::fan_start);
    Gauges {
        thickness: c.length_or(draft.and_then(|d| d.thickness.as_ref()), THICKNESSES, THICKNESS),
        stations: match draft.and_then(|d| d.stations.as_ref()) {
            Some(list) => given(list, square, blade.map(Blade::length), c),
            None => spread(square, c.unit),
        },
    }
}

/// The stations given, mm, none beyond `square` on a blade of this length.
fn given(list: &Field<Vec<Field<Length>>>, square: f64, length: Option<f64>, c: &mut Checker) -> Vec<f64> {
    c.count(list, MOST_STATIONS, "stations");
    let mut stations: Vec<f64> = Vec::new();
    for field in &list.value {
        let Some(at) = c.length(Some(field), REACH) else { continue };
        if let Some(&before) = stations.last().filter(|&&before| at <= before) {
            let fault = Fault::Order { at: c.length_text(at), before: c.length_text(before) };
            c.fault(&field.at, &fault);
        } else if at > square {
            let (said, most) = (c.length_text(at), c.upper_limit_text(square));
            let fault = match length.filter(|&length| at >= length) {
                Some(length) => Fault::PastPoint { at: said, length: c.length_text(length), most },
                None => Fault::NotSquare { at: said, most },
            };
            c.fault(&field.at, &fault);
        }
        stations.push(at);
    }
    stations
}

/// Stations every 50 mm or 2 in up to `square` mm; at a multiple of that where these would be too many.
fn spread(square: f64, unit: Unit) -> Vec<f64> {
    let every = match unit {
        Unit::Millimetre => 50.0,
        Unit::Inch => 2.0 * unit.millimetres(),
    };
    let step = every * (square / (every * MOST_STATIONS as f64)).ceil();
    (0..MOST_STATIONS).map(|i| step * i as f64).take_while(|&at| at <= square).collect()
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn default_stations_reach_to_the_fan_and_stay_few() {
        assert_eq!(spread(120.0, Unit::Millimetre), [0.0, 50.0, 100.0]);
        assert_eq!(spread(101.6, Unit::Inch), [0.0, 50.8, 101.6]);
        for square in [10.0, 1999.0, 2000.0, 2001.0, 2960.0] {
            let stations = spread(square, Unit::Millimetre);
            let last = stations.last().copied().unwrap_or(f64::NAN);
            assert!(stations.len() <= MOST_STATIONS && last <= square, "{square}: {stations:?}");
            assert!(square - last <= 100.0, "{square}: {stations:?}");
        }
    }
}
