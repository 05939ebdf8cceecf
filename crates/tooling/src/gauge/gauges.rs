//! All gauges that the grinder holds against the cold blade.

use blade::Stage;
use design::{Design, Problem};

use crate::gauge::bevel_gauge::bevel_gauges;
use crate::gauge::comb::combs;
use crate::gauge::preform_plate::preform_plate;
use crate::gauge::section_gauge::section_gauges;
use crate::gauge::tang_gauge::tang_gauge;
use crate::gauge::unlaid::Gauge;
use crate::part::{Part, Stuff};
use crate::plate::bed::too_small;

/// The stages that are gauged: the finished blade is the ground one, polished and sharpened.
const STAGES: [Stage; 2] = [Stage::Forged, Stage::Ground];

/// Every printed gauge of a design: thickness combs and section gauges for the forged and the ground blade at the
/// gauges' stations, the bevel angles, a hidden tang's slot, and the tip's cut line where it has one. Each lies on the bed, mm.
///
/// # Errors
/// One problem for each kind of gauge that does not fit the bed, or whose slots are too narrow to print.
pub fn gauges(design: &Design) -> Result<Vec<Part>, Vec<Problem>> {
    let (mut parts, mut problems) = (Vec::new(), Vec::new());
    for family in families(design) {
        match family.and_then(|gauges| laid(design, &gauges)) {
            Ok(family) => parts.extend(family),
            Err(problem) => problems.push(problem),
        }
    }
    if problems.is_empty() { Ok(parts) } else { Err(problems) }
}

/// The gauges, one kind after the other.
fn families(design: &Design) -> Vec<Result<Vec<Gauge>, Problem>> {
    let mut families: Vec<_> = STAGES.iter().map(|&stage| combs(design, stage)).collect();
    families.extend(STAGES.iter().map(|&stage| Ok(section_gauges(design, stage))));
    families.push(bevel_gauges(design));
    families.push(Ok(tang_gauge(design).into_iter().collect()));
    families.push(Ok(preform_plate(design).into_iter().collect()));
    families
}

/// The gauges of one kind as parts, or what is said of the largest that does not fit.
fn laid(design: &Design, gauges: &[Gauge]) -> Result<Vec<Part>, Problem> {
    let part = |gauge: &Gauge| {
        let laid = gauge.slab.laid(design.shop())?;
        Some(Part {
            name: gauge.name.clone(),
            title: gauge.title.clone(),
            note: gauge.note.clone(),
            stage: gauge.stage,
            stuff: Stuff::Plastic,
            shell: laid.shell(),
        })
    };
    let parts: Vec<Option<Part>> = gauges.iter().map(part).collect();
    let misfits = gauges.iter().zip(&parts).filter(|(_, part)| part.is_none()).map(|(gauge, _)| gauge);
    match misfits.max_by(|a, b| size(a)[1].total_cmp(&size(b)[1])) {
        Some(gauge) => Err(too_small(design, &format!("the gauge `{}`", gauge.name), size(gauge))),
        None => Ok(parts.into_iter().flatten().collect()),
    }
}

/// Size of a gauge, mm.
fn size(gauge: &Gauge) -> [f64; 3] {
    let [low, high] = gauge.slab.outline.bounds();
    (high - low).extend(gauge.slab.thickness).to_array()
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::fixtures::{profiles, with_shop};
    use crate::slab::extrusion::Slab;
    use crate::slab::label::CLEAR;
    use brep::{Mesh, Moments};
    use proptest::prelude::*;
    use std::collections::BTreeSet;

    fn all(design: &Design) -> Vec<Gauge> {
        families(design).into_iter().flat_map(Result::unwrap).collect()
    }

    fn inside(slab: &Slab) {
        let border = slab.outline.grown(-CLEAR);
        let holes: Vec<_> = slab.holes.iter().flat_map(|h| h.grown(CLEAR)).collect();
        for region in &slab.engraving {
            for piece in region.outer.pieces() {
                let clear = |p| border.iter().any(|b| b.contains(p)) && !holes.iter().any(|h| h.contains(p));
                assert!((0..4).all(|i| clear(piece.at(f64::from(i) / 4.0).0)), "{piece:?}");
            }
        }
        for (i, a) in slab.engraving.iter().enumerate() {
            let apart = |b: &crate::Region| {
                let ([p, q], [r, s]) = (a.outer.bounds(), b.outer.bounds());
                let nested = (r.cmpgt(p) & s.cmplt(q)).all() || (p.cmpgt(r) & q.cmplt(s)).all();
                nested || p.x > s.x || r.x > q.x || p.y > s.y || r.y > q.y
            };
            // The dot of a zero lies within its ring.
            assert!(slab.engraving[i + 1..].iter().all(apart), "{:?}", a.outer.bounds());
        }
    }

    fn volume(slab: &Slab) -> f64 {
        let engraved = |r: &crate::Region| r.outer.area() - r.islands.iter().map(|c| c.area()).sum::<f64>();
        let holes: f64 = slab.holes.iter().map(|c| c.area()).sum();
        let cut: f64 = slab.engraving.iter().map(engraved).sum();
        (slab.outline.area() - holes) * slab.thickness - cut * slab.depth
    }

    #[test]
    fn every_profile_has_its_gauges_and_they_are_sound() {
        for (name, design) in profiles() {
            let parts = gauges(&design).unwrap_or_else(|p| panic!("{name}: {p:#?}"));
            let slabs = all(&design);
            assert_eq!(parts.len(), slabs.len(), "{name}");
            assert!(parts.len() >= 3 + 2 * design.gauges().stations.len(), "{name}: {}", parts.len());
            let names: BTreeSet<_> = parts.iter().map(|p| &p.name).collect();
            assert_eq!(names.len(), parts.len(), "{name}: {names:?}");
            let bed = glam::DVec3::from_array(design.shop().room());
            for (part, gauge) in parts.iter().zip(&slabs) {
                inside(&gauge.slab);
                let mesh =
                    Mesh::of(&part.shell, 0.02).unwrap_or_else(|f| panic!("{name} {}: {f}", part.name));
                let wanted = volume(&gauge.slab);
                let moments = Moments::of(&part.shell);
                assert!((moments.volume / wanted - 1.0).abs() < 1e-9, "{name} {}", part.name);
                assert!((mesh.volume() - wanted).abs() < 0.02 * mesh.surface(), "{name} {}", part.name);
                let (low, high) = part.shell.bounds();
                assert!(low.min_element() > -1e-6 && (bed - high).min_element() > -1e-6, "{name} {high}");
            }
        }
    }

    #[test]
    fn a_bed_too_small_is_said_once_for_each_kind() {
        let design = with_shop("bed = [25, 25, 25]", 300.0, [6.0, 4.0]);
        let problems = gauges(&design).unwrap_err();
        assert_eq!(problems.len(), 7, "{problems:#?}");
        assert!(problems.iter().all(|p| p.field == "shop.bed" && p.code == "bed"));
    }

    #[test]
    fn stations_of_one_millimetre_have_gauges_of_their_own() {
        let design = with_shop("[gauges]\nstations = [99.8, 100, 100.3, 140]", 300.0, [6.0, 4.0]);
        let parts = gauges(&design).unwrap();
        let names: BTreeSet<_> = parts.iter().map(|p| p.name.as_str()).collect();
        assert!(names.contains("section-ground-100-3") && names.len() == parts.len(), "{names:?}");
    }

    proptest! {
        #![proptest_config(ProptestConfig::with_cases(24))]
        #[test]
        fn any_shop_gets_parts_that_fit_or_a_problem(
            bed in [20.0..400.0f64, 20.0..400.0, 20.0..300.0],
            gaps in [0.0..2.0f64, 0.0..2.0],
            nozzle in 0.1..2.0f64,
            (length, first, last) in (80.0..700.0f64, 2.5..9.0f64, 0.5..1.0f64),
        ) {
            let [press, sliding] = gaps;
            let shop = format!(
                "bed = [{}, {}, {}]\nnozzle = {nozzle}\nclearance = {{ press = {press}, sliding = {sliding} }}",
                bed[0], bed[1], bed[2]
            );
            let design = with_shop(&shop, length, [first, first * last]);
            match gauges(&design) {
                Ok(parts) => for part in parts {
                    prop_assert!(Mesh::of(&part.shell, 0.05).is_ok(), "{}", part.name);
                    let (low, high) = part.shell.bounds();
                    prop_assert!(low.min_element() > -1e-6);
                    prop_assert!((glam::DVec3::from_array(bed) - high).min_element() > -1e-6);
                },
                Err(problems) => prop_assert!(
                    !problems.is_empty() && problems.iter().all(|p| p.field.starts_with("shop."))
                ),
            }
            for gauge in families(&design).into_iter().flatten().flatten() {
                inside(&gauge.slab);
            }
        }
    }
}
