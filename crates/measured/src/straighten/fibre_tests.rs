//! Bends against closed forms, published examples, and a model of small cells that shares nothing with the slabs.

use blade::{Sections, Stage};
use design::Design;
use steel::YOUNG;

use crate::compare::bench::Bench;
use crate::fixtures::{design, design_with};
use crate::straighten::moment_curve::MomentCurve;
use crate::straighten::section::{Bend, BentSection, Slab};
use crate::straighten::span::Span;
use crate::straighten::straightening::Cold;

fn rectangle(breadth: f64, height: f64) -> BentSection {
    BentSection::new(vec![Slab { from: -0.5 * height, to: 0.5 * height, width: breadth }], 0.0).unwrap()
}

fn bent_by(section: &BentSection, curvature: f64) -> Bend {
    section.bend(curvature, section.centre()).0
}

fn close(a: f64, b: f64, share: f64) {
    assert!((a / b - 1.0).abs() <= share, "{a} {b}");
}

/// Timoshenko, Strength of Materials II (from memory): M = Mp(1 − (κe/κ)²/3), and what is left after letting go is
/// κ(1 − 1.5x + 0.5x³) with x = κe/κ.
#[test]
fn a_rectangle_bends_and_springs_back_by_the_textbook() {
    let (b, h, strength) = (7.0, 5.0, 1700.0);
    let section = rectangle(b, h);
    let first = 2.0 / h;
    for times in [1.0, 1.2, 2.0, 5.0, 20.0] {
        let bend = bent_by(&section, times * first);
        let x = 1.0 / times;
        let full = b * h * h / 4.0;
        close(bend.moment, full * (1.0 - x * x / 3.0), 1e-12);
        let curvature = bend.curvature * strength / YOUNG;
        let left = curvature - strength * bend.moment / (YOUNG * section.second());
        let wanted = curvature * (1.0 - 1.5 * x + 0.5 * x.powi(3));
        assert!((left - wanted).abs() < 1e-12, "{times}: {left} {wanted}");
        // Looked up among the bends that are kept.
        close(MomentCurve::new(&section).under(bend.moment).curvature, bend.curvature, 1e-9);
    }
}

/// Beer and Johnston, Mechanics of Materials, a member of 50 by 120 mm under 36.8 kN·m, yield 240 MPa, E 200 GPa (from
/// memory): it is bent to a radius of 33.3 m, and left with one of 225 m. Here E is 205 GPa: radii go with it.
#[test]
fn a_textbook_s_beam_comes_out_as_printed() {
    let section = rectangle(50.0, 120.0);
    let bend = MomentCurve::new(&section).under(36.8e6 / 240.0);
    let radius = |curvature: f64| 1e-3 / curvature / (240.0 / 200_000.0);
    close(radius(bend.curvature), 33.3, 2e-3);
    close(radius(bend.curvature - bend.moment / section.second()), 225.0, 5e-3);
}

/// The same law by figures: 4 mm of 1800 MPa bent to a radius of 100 mm stays at 260.6 mm (worked by hand).
#[test]
fn a_thin_hard_blade_springs_back_most_of_the_way() {
    let section = rectangle(30.0, 4.0);
    let bend = bent_by(&section, YOUNG / 1800.0 / 100.0);
    let left = 1.0 / 100.0 - 1800.0 / YOUNG * bend.moment / section.second();
    close(1.0 / left, 260.6, 1e-3);
}

/// Shape factors, plastic by first moment: rectangle 1.5, diamond 2, triangle 2.343 (Horne, Plastic Theory of
/// Structures, from memory).
#[test]
fn sections_bear_as_much_as_their_shape_factors_say() {
    let of = |width: &dyn Fn(f64) -> f64| {
        let strip = |i: i32| {
            let [from, to] = [i, i + 1].map(|i| f64::from(i) / 500.0);
            Slab { from, to, width: width(0.5 * (from + to)) }
        };
        let curve = MomentCurve::new(&BentSection::new((0..500).map(strip).collect(), 0.0).unwrap());
        curve.greatest() / curve.first()
    };
    close(of(&|_| 1.0), 1.5, 2e-3);
    close(of(&|y| 0.5 - (y - 0.5).abs()), 2.0, 2e-3);
    close(of(&|y| y), 2.343, 2e-3);
}

/// Prager and Hodge, Theory of Perfectly Plastic Solids, 1951 (from memory): a rectangle on two supports, pressed in
/// the middle by m times the force of first yield, sags by 1/m²·(5 − (3 + m)√(3 − 2m)) of the sag of first yield.
#[test]
fn a_beam_on_two_supports_sags_by_the_textbook() {
    let (long, strength) = (300.0, 1500.0);
    let curve = MomentCurve::new(&rectangle(10.0, 6.0));
    let span = Span::new([0.0, 0.5 * long, long], |_| Some(curve.clone())).unwrap();
    let limit = span.elastic(strength);
    // σL²/(6Eh).
    close(limit.sag, strength * long * long / (6.0 * YOUNG * 6.0), 1e-3);
    close(limit.radius, YOUNG * 3.0 / strength, 1e-9);
    for m in [1.05, 1.2, 1.35, 1.45] {
        let sag = limit.sag / (m * m) * (5.0 - (3.0 + m) * f64::sqrt(3.0 - 2.0 * m));
        let press = span.press(sag - m * limit.sag, strength).unwrap();
        close(press.pressed, sag, 3e-3);
        close(press.springs_back, m * limit.sag, 3e-3);
        close(press.force, m * 4.0 * strength * 10.0 * 36.0 / 6.0 / long, 3e-3);
        // At the pressed place the skin is at κ/κe = 1/√(3 − 2m).
        close(press.plastic, strength / YOUNG * (1.0 / f64::sqrt(3.0 - 2.0 * m) - 1.0), 2e-2);
        let stays = span.stays(sag, strength);
        assert!((stays - (sag - m * limit.sag)).abs() < 0.01 * sag, "{stays}");
    }
    assert!(span.stays(0.9 * limit.sag, strength) < 1e-6 && span.press(1e4, strength).is_none());
    for places in [[0.0, 0.0, 9.0], [5.0, 1.0, 9.0], [0.0, f64::NAN, 9.0], [0.0, 9.0, 9.0]] {
        assert!(Span::new(places, |_| Some(curve.clone())).is_none(), "{places:?}");
    }
}

/// Designs with all that shapes a section.
fn designs() -> [Design; 3] {
    [
        design(),
        design_with(
            "[[fuller]]\nstart = 20\nend = 190\nfrom_back = 7\nwidth = 6\ndepth = 0.9\n",
        ),
        design::read(
            b"name = \"Hollow\"\n[outline]\nform = \"straight-back\"\nlength = 300\nbreadth = 40\n[section]\nbevel = \"hollow\"\n\
              radius = 120\ngrind_line = \"70 %\"\n[[taper]]\nat = 0\nback = 7\n[[taper]]\nat = 300\nback = 3\n[[fuller]]\n\
              start = 15\nend = 200\nfrom_back = 4\nwidth = 4\ndepth = 0.7\n",
        )
        .unwrap_or_else(|p| panic!("{p:#?}")),
    ]
}

/// Small cells of a section: their middles (across the bend) and areas.
fn cells(sections: &Sections, x: f64, sideways: bool) -> Vec<[f64; 2]> {
    const FINE: usize = 300;
    let section = sections.at(x).unwrap();
    let (low, high) = section.range();
    let (left, right) = section.extent();
    let (dy, dz) = ((high - low) / FINE as f64, (right - left) / FINE as f64);
    let mut found = Vec::new();
    for i in 0..FINE {
        let y = low + (i as f64 + 0.5) * dy;
        let (l, r) = section.flanks(y);
        for k in 0..FINE {
            let z = left + (k as f64 + 0.5) * dz;
            if z > l && z < r {
                found.push([if sideways { z } else { y }, dy * dz]);
            }
        }
    }
    found
}

/// Moment by yield strength of cells at a curvature, the neutral line by halving.
fn moment(cells: &[[f64; 2]], curvature: f64) -> f64 {
    // Beyond yield it rises by a fiftieth of Young's modulus.
    let stress = |at: f64, neutral: f64| {
        let strain = curvature * (at - neutral);
        if strain.abs() < 1.0 { strain } else { strain.signum() * (1.0 + 0.02 * (strain.abs() - 1.0)) }
    };
    let (mut low, mut high) = (-80.0, 80.0);
    for _ in 0..40 {
        let neutral = 0.5 * (low + high);
        let pull: f64 = cells.iter().map(|[at, area]| area * stress(*at, neutral)).sum();
        if pull > 0.0 { low = neutral } else { high = neutral }
    }
    cells.iter().map(|[at, area]| area * at * stress(*at, low)).sum()
}

/// A bench on which the blade is what the plan says.
fn planned(design: &Design) -> Bench {
    let text = "date,stage,station,what,measured\n2026-03-14,finished,,hardness,58\n";
    let sessions = crate::read(text.as_bytes(), design).unwrap_or_else(|p| panic!("{p:#?}"));
    Bench::from_sessions(design, &sessions, None).unwrap().unwrap()
}

/// Real sections, hollow and fullered, both ways, against cells: within 1 % from elastic to all but fully plastic.
#[test]
fn real_sections_agree_with_small_cells() {
    for design in designs() {
        let bench = planned(&design);
        let sections = Sections::of(&design.blade().loft(Stage::Finished));
        for x in [40.0, 120.0, 230.0] {
            let rebuilt = bench.rebuilt_at(x).unwrap();
            for sideways in [true, false] {
                let of = if sideways { BentSection::sideways } else { BentSection::in_plane };
                let (bent, cells) = (of(&rebuilt).unwrap(), cells(&sections, x, sideways));
                let curve = MomentCurve::new(&bent);
                for times in [0.5, 1.1, 2.0, 6.0, 20.0] {
                    let curvature = times / bent.reach();
                    let wanted = moment(&cells, curvature);
                    close(bent_by(&bent, curvature).moment, wanted, 0.01);
                    // And the way back.
                    close(curve.under(bent_by(&bent, curvature).moment).curvature, curvature, 0.005);
                }
            }
        }
    }
}

/// The whole way of a straightening, a real blade tapered and hollow, against small steps along it and small cells:
/// pressed so far and let go, the bow is gone within 1 % of the press.
#[test]
fn a_real_blade_comes_straight_by_small_steps() {
    let [_, _, design] = designs();
    let rows = [0.0, 60.0, 140.0, 220.0, 270.0]
        .map(|x: f64| (x, 1.5 * (1.0 - ((x - 140.0) / 140.0).powi(2)).max(0.0)));
    let rows: String =
        rows.iter().map(|(x, g)| format!(",,{x},gap back,{g}\n,,{x},gap right back,{g}\n")).collect();
    let text = format!(
        "date,stage,station,what,measured\n2026-03-14,finished,,hardness,50\n,,,tempered,400\n{rows}"
    );
    let sessions = crate::read(text.as_bytes(), &design).unwrap_or_else(|p| panic!("{p:#?}"));
    let bench = Bench::from_sessions(&design, &sessions, None).unwrap().unwrap();
    let straightening = bench.last().warp.straightening.as_ref().unwrap();
    let bend = straightening.bends.iter().find(|b| b.sideways).unwrap();
    let strength = straightening.condition.yield_mpa[1];
    let [from, to] = bend.supports_mm;
    let arm = (bend.pressed_mm - from) * (to - bend.pressed_mm) / (to - from);
    let sections = Sections::of(&design.blade().loft(Stage::Finished));
    let steps = 36;
    let step = (to - from) / f64::from(steps);
    let along: Vec<(f64, Vec<[f64; 2]>)> = (0..steps)
        .map(|i| {
            // Sheets across the bend: cells at one distance from its plane bend alike.
            let x = from + (f64::from(i) + 0.5) * step;
            let share = if x < bend.pressed_mm {
                (x - from) / (bend.pressed_mm - from)
            } else {
                (to - x) / (to - bend.pressed_mm)
            };
            (share, sheets(&cells(&sections, x, true)))
        })
        .collect();
    let after = |pressed: f64| stepped(&along, pressed, step * arm).map(|v| v * strength / YOUNG);
    let (mut low, mut high) = (0.0, 2000.0);
    for _ in 0..14 {
        let middle = 0.5 * (low + high);
        let [bent, sprung] = after(middle);
        if bent - sprung < bend.bow_mm { low = middle } else { high = middle }
    }
    close(after(low)[1], bend.past_mm.unwrap()[1], 0.01);
    assert_eq!(bend.cold, Cold::Bears, "{bend:?}");
}

/// How far the pressed place goes and how much of that springs back under a moment by yield strength, mm by yield strain:
/// summed over places along the blade, each with its share of the moment and its cells.
fn stepped(along: &[(f64, Vec<[f64; 2]>)], pressed: f64, weight: f64) -> [f64; 2] {
    let (mut bent, mut sprung) = (0.0, 0.0);
    for (share, cells) in along {
        let elastic = share * pressed / second(cells);
        let (mut low, mut high) = (0.5 * elastic, 40.0 * elastic);
        for _ in 0..26 {
            let middle = 0.5 * (low + high);
            if moment(cells, middle) < share * pressed { low = middle } else { high = middle }
        }
        bent += low * share * weight;
        sprung += elastic * share * weight;
    }
    [bent, sprung]
}

/// Cells gathered into thin sheets across the bend.
fn sheets(cells: &[[f64; 2]]) -> Vec<[f64; 2]> {
    let mut all = cells.to_vec();
    all.sort_by(|a, b| a[0].total_cmp(&b[0]));
    let mut sheets: Vec<[f64; 2]> = Vec::new();
    for [at, area] in all {
        match sheets.last_mut() {
            Some(last) if (last[0] - at).abs() < 1e-9 => last[1] += area,
            _ => sheets.push([at, area]),
        }
    }
    sheets
}

fn second(cells: &[[f64; 2]]) -> f64 {
    let area: f64 = cells.iter().map(|c| c[1]).sum();
    let centre = cells.iter().map(|c| c[0] * c[1]).sum::<f64>() / area;
    cells.iter().map(|c| c[1] * (c[0] - centre).powi(2)).sum()
}
