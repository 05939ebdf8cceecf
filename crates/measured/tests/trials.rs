//! Benches on which a comparison once told a smith to grind a good blade, or called a reading wrong that was right.

#![allow(clippy::unwrap_used, clippy::panic, reason = "helpers of tests count as tests")]

use design::Design;
use measured::{Advice, Bench, Spot};

const DESIGN: &str = include_str!("cases/ferryman-seax.toml");
const ONE_LOW: &str = include_str!("cases/one-low.csv");
const DIP_ALONE: &str = include_str!("cases/dip-alone.csv");
const DIP_CONFIRMED: &str = include_str!("cases/dip-confirmed.csv");
const INCH: f64 = 25.4;
fn design() -> Design {
    design::read(DESIGN.as_bytes()).unwrap_or_else(|p| panic!("{p:#?}"))
}

fn bench(text: &str) -> Bench {
    let design = design();
    let sessions = measured::read(text.as_bytes(), &design).unwrap_or_else(|p| panic!("{p:#?}"));
    Bench::from_sessions(&design, &sessions, None).unwrap().unwrap()
}

/// The table's middle spot at a station, in.
fn middle(bench: &Bench, station: f64) -> Spot {
    let row = bench.last().take_off.iter().find(|t| (t.station_mm / INCH - station).abs() < 1e-6).unwrap();
    row.spots[1]
}

/// How much thicker it is there than planned, in.
fn over(spot: &Spot) -> f64 {
    (spot.now_mm - spot.planned_mm) / INCH
}

/// Nothing is taken off anywhere by more than the least that stands over, and nothing at all within the dip.
fn never_into_the_dip(bench: &Bench, dip: &[f64]) {
    for row in &bench.last().take_off {
        for spot in &row.spots {
            for (advice, over) in [(spot.right, spot.right_mm), (spot.left, spot.left_mm)] {
                let most = (over - spot.side_band_mm).max(0.0);
                assert!(advice.millimetres() <= most + 1e-12, "{spot:?}");
            }
        }
    }
    for station in dip {
        let spot = middle(bench, *station);
        assert!(!matches!(spot.right, Advice::Off(_)), "{station}: {spot:?}");
    }
}

#[test]
fn five_good_readings_and_one_low_one_with_the_weight_on_the_scales() {
    let bench = bench(ONE_LOW);
    let day = bench.last();
    assert_eq!(day.set_aside, []);
    let weighed = day.weighed.unwrap();
    assert!(weighed.agree && (day.bench.steel_g - 760.0).abs() < 1.0, "{weighed:?} {:?}", day.bench);
    assert!((weighed.unweighed_g - 760.0).abs() < weighed.unweighed_band_g, "{weighed:?}");
    // The good 0.286 in at the shoulder stays.
    assert!((middle(&bench, 0.0).now_mm / INCH - 0.286).abs() < 0.001, "{:?}", middle(&bench, 0.0));
    // The low one stands, 0.029 in under the finished 0.219, and no further than a dip goes.
    assert!((over(&middle(&bench, 8.0)) + 0.029).abs() < 0.006, "{:?}", middle(&bench, 8.0));
    let way = day.ways.last().unwrap();
    assert!(way.planned.steel_g - way.reached.steel_g < 5.0, "{way:?}");
    never_into_the_dip(&bench, &[8.0]);
    assert!(
        day.notes.iter().any(|n| n.contains("line 5") && n.contains("counted as a dip")),
        "{:?}",
        day.notes
    );
    assert!(!day.read_next.is_empty());
}

#[test]
fn reading_the_low_one_again_confirms_it() {
    let again = bench(&format!("{ONE_LOW}2026-03-21,ground,8,thickness,0.8,0.191\n"));
    let day = again.last();
    assert_eq!((day.set_aside.len(), day.repeats.len()), (0, 1));
    let repeat = &day.repeats[0];
    assert_eq!(repeat.lines, [5, 8]);
    assert!((repeat.mean / INCH - 0.1905).abs() < 1e-9 && (repeat.scatter / INCH - 0.001).abs() < 1e-9);
    assert!(middle(&again, 8.0).band_mm <= middle(&bench(ONE_LOW), 8.0).band_mm + 1e-9);
    never_into_the_dip(&again, &[8.0]);
}

#[test]
fn a_real_dip_confirmed_by_three_neighbours() {
    for (text, dip) in [(DIP_ALONE, &[8.0][..]), (DIP_CONFIRMED, &[7.5, 8.0, 8.5])] {
        let bench = bench(text);
        let day = bench.last();
        assert_eq!(day.set_aside, []);
        for station in dip {
            let spot = middle(&bench, *station);
            assert!(over(&spot) < -0.015 && matches!(spot.right, Advice::Gone(_)), "{station}: {spot:?}");
        }
        // It is no wider than it was read: 2 in away the blade is ground as planned, 0.012 in over.
        for station in [4.0, 6.0, 10.0, 12.0] {
            assert!((over(&middle(&bench, station)) - 0.012).abs() < 0.002, "{:?}", middle(&bench, station));
        }
        never_into_the_dip(&bench, dip);
        assert!((day.bench.steel_g - 758.0).abs() < 1.0, "{:?}", day.bench);
    }
}

/// A file that is not one of readings at all is refused, however long it is.
#[test]
fn fifty_thousand_lines_of_something_else_are_refused() {
    let design = design();
    for text in
        ["[[bar]]\n".repeat(50_000), format!("date,station,what,measured\n{}", "x,y,z,w\n".repeat(50_000))]
    {
        assert!(measured::read(text.as_bytes(), &design).is_err());
    }
}
