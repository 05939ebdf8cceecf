//! All gauges of sheet steel.

use blade::Stage;
use design::Design;

use crate::gauge::tang_gauge::is_slid_over;
use crate::metal::cut_angles::{cut_bevels, cut_tang};
use crate::metal::cut_gauge::CutGauge;
use crate::metal::cut_plate::cut_plates;
use crate::metal::cut_sections::{cut_comb, cut_sections, cut_tip};
use crate::metal::cutting::{Cutting, CuttingFault};

/// The stages that combs and sections gauge: the finished blade is the ground one, polished and sharpened.
const STAGES: [Stage; 2] = [Stage::Forged, Stage::Ground];

/// Every gauge of a design as whole parts of sheet steel: the profile, as large as the forged blade under the hammer, and
/// the window; the tip's cut line, hot too; thickness combs and section gauges for the cold blade, forged and ground;
/// bevel angles and a hidden tang's slot.
///
/// # Errors
/// A temperature out of range, a kerf too wide, or the design's own problems.
pub fn cut_gauges(design: &Design, cutting: &Cutting) -> Result<Vec<CutGauge>, CuttingFault> {
    let mut gauges = cut_plates(design, cutting)?;
    gauges.extend(cut_tip(design, cutting)?);
    for stage in STAGES {
        gauges.extend(cut_comb(design, stage, cutting)?);
    }
    for stage in STAGES {
        gauges.extend(cut_sections(design, stage, cutting)?);
    }
    gauges.extend(cut_bevels(design, cutting)?);
    if is_slid_over(design) {
        gauges.push(cut_tang(design, cutting)?);
    }
    Ok(gauges)
}

#[cfg(test)]
mod tests {
    use std::collections::BTreeSet;

    use glam::DVec2;

    use super::*;
    use crate::fixtures::{from_border, profile, profiles, with_shop};
    use crate::plate::plates::window_gap;
    use crate::slab::contour::Contour;
    use crate::slab::halves::point;
    use crate::{CutSheet, nested};

    const SOME: [&str; 4] = ["landing-seax", "toll-keepers-langseax", "net-menders-knife", "inch-barge-seax"];

    /// Points along a contour's sides.
    fn points(contour: &Contour) -> Vec<DVec2> {
        let along = |(a, b)| (0..5).map(move |i| point(a, b, 0.2 * f64::from(i)));
        contour.sides().flat_map(along).collect()
    }

    /// Contours close by themselves; holes lie inside, apart from each other, and marks clear of all of them.
    fn sound(gauge: &CutGauge, name: &str) {
        let name = format!("{name} {}", gauge.name);
        assert!(gauge.outline.bounds()[0].length() < 1e-9 && gauge.outline.area() > 100.0, "{name}");
        for (i, hole) in gauge.holes.iter().enumerate() {
            assert!(hole.area() > 0.0, "{name}");
            for p in points(hole) {
                assert!(gauge.outline.contains(p) && from_border(p, &gauge.outline) > 1.0, "{name}: {p}");
                let others = gauge.holes[i + 1..].iter();
                assert!(others.into_iter().all(|o| !o.contains(p) && from_border(p, o) > 1.0), "{name}: {p}");
            }
        }
        for p in gauge.marks.iter().flat_map(|stroke| &stroke.0) {
            assert!(gauge.outline.contains(*p) && from_border(*p, &gauge.outline) > 0.5, "{name}: {p}");
            let clear = |hole: &Contour| !hole.contains(*p) && from_border(*p, hole) > 0.5;
            assert!(gauge.holes.iter().all(clear), "{name}: {p}");
        }
    }

    /// All gauges lie on the sheets, each once, clear of the rim and of each other.
    fn apart(gauges: &[CutGauge], sheets: &[CutSheet], web: f64) {
        let mut seen = BTreeSet::new();
        for sheet in sheets {
            let boxes: Vec<[DVec2; 2]> =
                sheet.placed.iter().map(|(i, motion)| gauges[*i].cut.moved(motion).bounds()).collect();
            for (k, [low, high]) in boxes.iter().enumerate() {
                assert!(seen.insert(sheet.placed[k].0));
                assert!(low.min_element() > 10.0 - 1e-6 && (sheet.size - *high).min_element() > 10.0 - 1e-6);
                for [l, h] in &boxes[..k] {
                    assert!(
                        (*l - *high).max_element() > web - 1e-6 || (*low - *h).max_element() > web - 1e-6
                    );
                }
            }
        }
        assert_eq!(seen.len(), gauges.len());
    }

    #[test]
    fn every_profile_has_its_gauges_as_designed() {
        let cutting = Cutting::default();
        let growth = 1.0118f64.powi(2);
        for (name, design) in profiles() {
            let gauges = cut_gauges(&design, &cutting).unwrap_or_else(|fault| panic!("{name}: {fault:?}"));
            let tip = usize::from(matches!(design.preform(), Some(Ok(_))));
            let tang = usize::from(is_slid_over(&design));
            assert_eq!(gauges.len(), 2 + 1 + 2 + 2 * design.gauges().stations.len() + tip + tang, "{name}");
            let names: BTreeSet<_> = gauges.iter().map(|g| &g.name).collect();
            assert_eq!(names.len(), gauges.len(), "{name}");
            gauges.iter().for_each(|gauge| sound(gauge, &name));
            let area = |name: &str| gauges.iter().find(|g| g.name == name).unwrap().outline.area();
            let pieces = design.blade().loft(Stage::Forged).silhouette().closed();
            let profile = Contour::of_pieces(&pieces).area() * growth;
            assert!((area("profile-forged-hot") / profile - 1.0).abs() < 1e-4, "{name}");
            if let Some(Ok(preform)) = design.preform() {
                let tip = preform.areas()[0] * growth;
                assert!((area("tip-preform-hot") / tip - 1.0).abs() < 1e-3, "{name}");
            }
            assert!(gauges.iter().all(|g| g.hot.is_some() == g.name.ends_with("-hot")), "{name}");
            apart(&gauges, &nested(&gauges, &cutting, design.figures()).unwrap(), 6.0);
        }
    }

    #[test]
    fn cuts_lie_half_the_kerf_beside_the_steel() {
        for (name, kerf) in SOME.iter().flat_map(|name| [0.2, 1.0].map(|kerf| (name, kerf))) {
            let (design, cutting) = (profile(name), Cutting { kerf, ..Cutting::default() });
            for gauge in cut_gauges(&design, &cutting).unwrap() {
                let outer = std::iter::once((&gauge.outline, &gauge.cut, false));
                let inner = gauge.holes.iter().zip(&gauge.inner_cuts).map(|(a, b)| (a, b, true));
                for (steel, cut, within) in outer.chain(inner) {
                    for p in points(cut) {
                        let off = from_border(p, steel);
                        assert!((off - 0.5 * kerf).abs() < 0.005, "{name} {} {kerf}: {p} {off}", gauge.name);
                        assert_eq!(steel.contains(p), within, "{name} {} {kerf}: {p}", gauge.name);
                    }
                }
            }
        }
    }

    #[test]
    fn a_kerf_too_wide_and_a_sheet_too_small_are_named() {
        let design = profile("net-menders-knife");
        let wide = cut_gauges(&design, &Cutting { kerf: 2.5, ..Cutting::default() });
        assert!(matches!(wide, Err(CuttingFault::Kerf { .. })), "{wide:?}");
        let small = Cutting { sheet: Some([100.0, 90.0]), ..Cutting::default() };
        let gauges = cut_gauges(&design, &small).unwrap();
        let Err(CuttingFault::Sheet { gauge, least, .. }) = nested(&gauges, &small, design.figures()) else {
            panic!("fits")
        };
        assert!(gauge == "window-forged" && least[0] > 150.0, "{gauge} {least:?}");
        // What the fault asks for will do, and so does the same sheet on end.
        for sheet in [least, [least[1], least[0]]] {
            let cutting = Cutting { sheet: Some(sheet), ..small };
            apart(&gauges, &nested(&gauges, &cutting, design.figures()).unwrap(), 6.0);
        }
        let hot = cut_gauges(&design, &Cutting { hot: 1300.0, ..small });
        assert!(matches!(hot, Err(CuttingFault::Hot(_))));
    }

    #[test]
    fn cold_gauges_are_as_large_as_the_blade_and_say_so() {
        let design = profile("landing-seax");
        let gauges = cut_gauges(&design, &Cutting { hot: 20.0, ..Cutting::default() }).unwrap();
        assert!(gauges.iter().all(|g| g.hot.is_none() && !g.name.contains("hot")));
        let [_, high] = gauges[0].outline.bounds();
        let [low, top] =
            Contour::of_pieces(&design.blade().loft(Stage::Forged).silhouette().closed()).bounds();
        assert!((high - (top - low)).length() < 0.005);
    }

    #[test]
    fn the_shortest_and_the_longest_blades_have_whole_gauges() {
        for (length, thick) in [(75.0, [3.0, 2.0]), (2900.0, [9.0, 5.0])] {
            let design = with_shop("bed = [220, 220, 250]", length, thick);
            let gauges = cut_gauges(&design, &Cutting::default()).unwrap();
            gauges.iter().for_each(|gauge| sound(gauge, "blade"));
            assert_eq!(gauges.iter().filter(|g| g.name.starts_with("profile")).count(), 1);
            let sheets = nested(&gauges, &Cutting::default(), design.figures()).unwrap();
            apart(&gauges, &sheets, 6.0);
            let thick = Cutting { thickness: 8.0, ..Cutting::default() };
            let gauges = cut_gauges(&design, &thick).unwrap();
            let [low, high] = gauges[1].holes[1].bounds();
            assert!(
                (high - low - DVec2::splat(8.0)).length() < 1e-9,
                "no hole smaller than the sheet is thick"
            );
            apart(&gauges, &nested(&gauges, &thick, design.figures()).unwrap(), 8.0);
        }
    }

    #[test]
    fn the_blade_lies_in_the_window_and_its_corners_touch_nothing() {
        for name in SOME {
            let design = profile(name);
            let gauges = cut_gauges(&design, &Cutting::default()).unwrap();
            let opening = &gauges.iter().find(|g| g.name.starts_with("window")).unwrap().holes[0];
            let blade = Contour::of_pieces(&design.blade().loft(Stage::Forged).silhouette().closed());
            let gap = window_gap(&design);
            let plain = blade.grown(gap).remove(0);
            // Rounds only add to the window.
            assert!(opening.area() > plain.area() + 1.0, "{name}");
            let corners = crate::metal::corners::sharp_corners(&blade, 1.0);
            assert!(corners.len() >= 2, "{name}: {corners:?}");
        }
    }
}
