//! Benches on which a comparison once told a smith to grind a good blade, or called a reading wrong that was right.

#![allow(clippy::unwrap_used, clippy::panic, reason = "helpers of tests count as tests")]

use design::Design;
use measured::Bench;

const DESIGN: &str = include_str!("cases/ferryman-seax.toml");

fn design() -> Design {
    design::read(DESIGN.as_bytes()).unwrap_or_else(|p| panic!("{p:#?}"))
}

fn bench(design: &Design, text: &str) -> Bench {
    let sessions = measured::read(text.as_bytes(), design).unwrap_or_else(|p| panic!("{p:#?}"));
    Bench::from_sessions(design, &sessions, None).unwrap().unwrap()
}

#[test]
fn show() {
    for text in [
        include_str!("cases/one-low.csv"),
        include_str!("cases/dip-alone.csv"),
        include_str!("cases/dip-confirmed.csv"),
    ] {
        for _ in 0..6 {
            let design = design();
            let begun = std::time::Instant::now();
            let bench = bench(&design, text);
            println!("loft {:?}", begun.elapsed());
            let begun = std::time::Instant::now();
            let _ = self::bench(&design, text);
            println!("again {:?}", begun.elapsed());
            let begun = std::time::Instant::now();
            let _ = self::bench(&design, "date,station,what,measured\n2026-03-21,0,back,0.33\n");
            println!("one {:?}", begun.elapsed());
            let _ = bench;
        }
    }
}
