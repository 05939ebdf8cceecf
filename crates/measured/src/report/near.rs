//! What is left to take off near one station, for those who look at one station at a time.

use crate::compare::bench::Bench;
use crate::compare::take_off::TakeOff;
use crate::report::text::CHECK;

/// What to do at the station of the table that lies nearest.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Near {
    /// That station, with its unit.
    pub station: String,
    /// Where on it and what to do there each side, the breadth first, then from the edge up.
    pub rows: Vec<[String; 2]>,
    /// What the word `check` asks for, where a row has it.
    pub check: Option<&'static str>,
}

impl Bench {
    /// What is left to take off at the station of the last day's table that is nearest to `x` (mm from the shoulder); `None`
    /// where nothing was read.
    pub fn near(&self, x: f64) -> Option<Near> {
        let off = |row: &TakeOff| (row.station_mm - x).abs();
        let row = self.last().take_off.iter().min_by(|a, b| off(a).total_cmp(&off(b)))?;
        let words = self.words();
        let breadth = ["off the breadth".to_owned(), words.off_breadth(row)];
        let spots = row.spots.iter().enumerate().map(|(i, spot)| {
            let place = match i + 1 == row.spots.len() {
                true => "at the back".to_owned(),
                false => format!("{} up", words.figures.told(spot.height_mm)),
            };
            [place, words.off_sides(spot)]
        });
        let rows: Vec<[String; 2]> = std::iter::once(breadth).chain(spots).collect();
        let check = rows.iter().any(|[_, told]| told.contains("check")).then_some(CHECK);
        Some(Near { station: words.figures.told(row.station_mm), rows, check })
    }
}

#[cfg(test)]
mod tests {
    use crate::{Bench, fixtures, read};

    #[test]
    fn the_nearest_station_says_what_the_table_says() {
        let design = fixtures::design();
        let file = b"date,station,what,measured\n2026-05-01,50,back,7\n,150,back,6.5\n";
        let bench = Bench::from_sessions(&design, &read(file, &design).unwrap(), None).unwrap().unwrap();
        let text = bench.text();
        for x in [-40.0, 61.0, 149.0, 900.0] {
            let near = bench.near(x).unwrap();
            let number = near.station.split(' ').next().unwrap();
            let line =
                text.lines().find(|line| line.trim_start().starts_with(&format!("{number} "))).unwrap();
            assert_eq!(near.rows.len(), 5, "{near:?}");
            assert_eq!(near.check.is_some(), near.rows.iter().any(|row| row[1].contains("check")));
            assert!(near.check.is_none_or(|check| text.contains(check)), "{text}");
            for [_, told] in &near.rows {
                assert!(line.contains(told.split(" mm").next().unwrap()), "{told}: {line}");
            }
        }
    }
}
