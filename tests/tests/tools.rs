//! Random designs in random shops: every template can be drawn, and every plate, gauge and jig part either lies closed
//! within the bed less its margin or is refused with a named
//! problem; and gauges of sheet steel lie on their sheets. `SEAXWRIGHT_CASES` raises the number of designs.

#![allow(clippy::unwrap_used, clippy::print_stdout, reason = "helpers of tests count as tests")]

#[allow(dead_code, reason = "each suite uses a part of it")]
mod wild;

use std::cell::Cell;

use blade::Stage;
use brep::{Mesh, Moments};
use design::{Design, Paper, Problem};
use proptest::prelude::*;
use proptest::test_runner::{Config, FileFailurePersistence, RngSeed, TestRunner};
use tooling::{
    CutGauge, CutWork, Cutting, CuttingFault, Held, Part, bench_note, cut_gauges, gauges, jig, nested,
    plates, template, tiles,
};

/// Designs tried in an ordinary run; in `SEAXWRIGHT_CASES` one of ten goes here, as parts take longer than blades.
const CASES: u32 = 200;
/// Tolerance of the meshes, mm.
const TOLERANCE: f64 = 0.05;

/// A shop as the design file's tables; nozzles are those that are sold.
fn shop() -> impl Strategy<Value = String> {
    let bed = prop_oneof![
        Just([220.0, 220.0, 250.0]),
        [60.0..400.0f64, 60.0..400.0f64, 5.0..300.0f64],
        [20.0..80.0f64, 20.0..80.0f64, 20.0..40.0f64],
    ];
    let nozzle = prop::sample::select(vec![0.25, 0.4, 0.6, 0.8]);
    let plate = (1.0..8.0f64, prop::sample::select(vec![0.0, 4.0, 6.0, 12.0]), 2.0..8.0f64);
    let bore = prop::sample::select(vec!["square", "hexagon", "round"]);
    let insert = (bore, 24.0..90.0f64, 0.2..0.6f64, 10.0..60.0f64);
    let margin = prop::sample::select(vec![0.0, 2.5, 5.0]);
    (bed, (nozzle, margin), [0.0..0.4f64, 0.0..0.6f64, 0.0..0.9f64], plate, insert).prop_map(
        |([x, y, z], (nozzle, margin), [press, sliding, loose], (thick, hole, gauge), (bore, size, tab, depth))| {
            format!(
                "[shop]\nbed = [\"{x} mm\", \"{y} mm\", \"{z} mm\"]\nbed_margin = \"{margin} mm\"\nnozzle = \"{nozzle} mm\"\n\
                 clearance = {{ press = \"{press} mm\", sliding = \"{sliding} mm\", loose = \"{loose} mm\" }}\n\
                 [plate]\nthickness = \"{thick} mm\"\nhole = \"{hole} mm\"\n[gauges]\nthickness = \"{gauge} mm\"\n\
                 [jig]\nbore = \"{bore}\"\nsize = \"{size} mm\"\ntab = \"{} mm\"\ndepth = \"{depth} mm\"\n",
                tab * size
            )
        },
    )
}

/// What is wrong with a part.
fn fault(part: &Part, bed: [f64; 3]) -> Option<String> {
    let mesh = match Mesh::of(&part.shell, TOLERANCE) {
        Ok(mesh) => mesh,
        Err(why) => return Some(format!("{}: {why}", part.name)),
    };
    let (low, high) = part.shell.bounds();
    let outside = low.min_element() < -1e-6 || (0..3).any(|i| high[i] > bed[i] + 1e-6);
    let off = (mesh.volume() - Moments::of(&part.shell).volume).abs();
    let solid = solid::solid(&part.shell).err();
    match (outside, off > TOLERANCE * mesh.surface(), solid) {
        (true, ..) => Some(format!("{}: from {low} to {high} on {bed:?}", part.name)),
        (_, true, _) => Some(format!("{}: volumes differ by {off}", part.name)),
        (.., Some(why)) => Some(format!("{}: {why}", part.name)),
        _ => None,
    }
}

/// Parts, or whether their refusal names a field and says what would do.
fn sound(made: Result<Vec<Part>, Vec<Problem>>, bed: [f64; 3]) -> Result<Vec<Part>, String> {
    match made {
        Ok(parts) => match parts.iter().find_map(|part| fault(part, bed)) {
            Some(why) => Err(why),
            None => Ok(parts),
        },
        Err(problems) => {
            let named = |p: &Problem| !p.field.is_empty() && !p.message.is_empty() && !p.help.is_empty();
            if !problems.is_empty() && problems.iter().all(named) {
                return Ok(Vec::new());
            }
            Err(format!("{problems:?}"))
        }
    }
}

/// Ways to cut sheet steel.
fn cutting() -> impl Strategy<Value = Cutting> {
    let kerf = prop::sample::select(vec![0.0, 0.2, 1.0, 1.6]);
    let sheet = prop::option::of([120.0..2000.0f64, 120.0..2000.0f64]);
    (kerf, sheet, 0.5..12.0f64, prop::sample::select(vec![20.0, 700.0, 900.0, 1200.0]))
        .prop_map(|(kerf, sheet, thickness, hot)| Cutting { kerf, sheet, thickness, hot })
}

/// Gauges of sheet steel and their sheets; none where kerf, sheet or the design's own problems forbid them.
fn cut(design: &Design, cutting: &Cutting) -> Result<Option<CutWork>, String> {
    let work = cut_gauges(design, cutting).and_then(|gauges| {
        let sheets = nested(&gauges, cutting, design.figures())?;
        Ok(CutWork { gauges, sheets, cutting: *cutting })
    });
    match work {
        Ok(work) => cut_fault(&work).map_or(Ok(Some(work)), Err),
        Err(CuttingFault::Kerf { .. }) if cutting.kerf > 0.0 => Ok(None),
        Err(CuttingFault::Sheet { least, .. })
            if cutting.sheet.is_some() && least.iter().all(|s| s.is_finite()) =>
        {
            Ok(None)
        }
        Err(CuttingFault::Design(problems)) if problems.iter().all(|p| !p.help.is_empty()) => Ok(None),
        Err(other) => Err(other.to_string()),
    }
}

/// What is wrong with gauges of sheet steel.
fn cut_fault(work: &CutWork) -> Option<String> {
    let gauge = |gauge: &CutGauge| {
        let inside =
            |p: &glam::DVec2| gauge.outline.contains(*p) && !gauge.holes.iter().any(|h| h.contains(*p));
        let marked = gauge.marks.iter().flat_map(|stroke| &stroke.0).all(inside);
        let steel = gauge.outline.area() - gauge.holes.iter().map(tooling::Contour::area).sum::<f64>();
        let cut = gauge.cut.area() - gauge.inner_cuts.iter().map(tooling::Contour::area).sum::<f64>();
        let wider = cut >= steel - 1e-6 && (work.cutting.kerf > 0.0 || (cut - steel).abs() < 1e-9);
        (!(marked && wider && steel > 0.0)).then(|| format!("{}: {marked} {steel} {cut}", gauge.name))
    };
    let sheet = |sheet: &tooling::CutSheet| {
        let boxes: Vec<_> = sheet.placed.iter().map(|(i, m)| work.gauges[*i].cut.moved(m).bounds()).collect();
        let on = |[low, high]: &[glam::DVec2; 2]| {
            low.min_element() > 9.9 && (sheet.size - *high).min_element() > 9.9
        };
        let apart =
            |a: &[glam::DVec2; 2], b: &[glam::DVec2; 2]| (a[0] - b[1]).max(b[0] - a[1]).max_element() > 5.9;
        let clear = (0..boxes.len()).all(|i| on(&boxes[i]) && boxes[..i].iter().all(|b| apart(&boxes[i], b)));
        (!clear).then(|| format!("gauges on a sheet of {} overlap or leave it", sheet.size))
    };
    let placed: usize = work.sheets.iter().map(|sheet| sheet.placed.len()).sum();
    let lost = (placed != work.gauges.len()).then(|| format!("{placed} of {} are placed", work.gauges.len()));
    work.gauges.iter().find_map(gauge).or_else(|| work.sheets.iter().find_map(sheet)).or(lost)
}

/// Makes everything of a design; how many parts that is.
fn make(design: &Design, stage: Stage, cutting: &Cutting) -> Result<usize, String> {
    let bed = design.shop().room();
    let pieces = plates(design).map(|all| all.into_iter().map(|piece| piece.part).collect());
    let mut parts = sound(pieces, bed)?;
    parts.extend(sound(gauges(design), bed)?);
    parts.extend(sound(jig(design), bed)?);
    let template = template(design, stage, None).map_err(|why| why.to_string())?;
    export::svg(&template.drawing, design.name()).map_err(|why| format!("SVG: {why}"))?;
    export::dxf(&template.drawing).map_err(|why| format!("DXF: {why}"))?;
    for paper in [Paper::A4, Paper::A3, Paper::Letter] {
        if tiles(&template, paper).is_empty() {
            return Err(format!("no page on {paper:?}"));
        }
    }
    let cut = cut(design, cutting)?;
    if let Some(work) = &cut {
        let drawing = work.sheets.first().map(|sheet| sheet.drawing(&work.gauges)).unwrap_or_default();
        export::dxf(&drawing).map_err(|why| format!("sheet in DXF: {why}"))?;
    }
    let listed: Vec<(&str, &Part)> = parts.iter().map(|part| ("tools", part)).collect();
    let held = Held { printed: vec!["3mf"], steel: vec!["step"], cut: vec!["dxf"] };
    let note = bench_note(design, &listed, cut.as_ref(), &held, None);
    let cut_names = cut.iter().flat_map(|work| work.gauges.iter().map(|gauge| &gauge.name));
    let missing = parts.iter().map(|part| &part.name).chain(cut_names).find(|name| !note.contains(*name));
    missing.map_or(Ok(parts.len()), |name| Err(format!("the note leaves out {name}")))
}

#[test]
fn parts_of_random_designs_fit_the_bed_or_are_refused_with_named_problems() {
    let cases = std::env::var("SEAXWRIGHT_CASES").map_or(CASES, |n| n.parse::<u32>().unwrap() / 10);
    let kept = FileFailurePersistence::Direct("tests/cases/seeds.txt");
    let mut runner = TestRunner::new(Config {
        cases,
        rng_seed: RngSeed::Fixed(3),
        failure_persistence: Some(Box::new(kept)),
        max_shrink_iters: 200,
        ..Config::default()
    });
    let (designs, parts) = (Cell::new(0), Cell::new(0));
    let strategy = (wild::spec(), wild::hand(), shop(), 0..3usize, cutting());
    let result = runner.run(&strategy, |(spec, hand, shop, stage, cutting)| {
        let file = format!("{}\n{shop}", wild::file(&spec, hand));
        let Ok(design) = design::read(file.as_bytes()) else { return Ok(()) };
        designs.set(designs.get() + 1);
        let count = make(&design, Stage::ALL[stage], &cutting);
        parts.set(parts.get() + count.clone().map_err(|why| TestCaseError::fail(format!("{why}\n{file}")))?);
        Ok(())
    });
    if let Err(failure) = result {
        panic!("{failure}");
    }
    println!("{} parts of {} designs", parts.get(), designs.get());
    assert!(designs.get() > cases / 8 && parts.get() > 2 * cases as usize, "too few to prove anything");
}
