//! A checked blade: the one constructor, and the loft of each stage.

use std::sync::{Arc, OnceLock};

use crate::form::Form;
use crate::loft::Loft;
use crate::outline::forms::Lines;
use crate::rules::{self, Problem};
use crate::section::shape::Shape;
use crate::spec::{Spec, Stage, Stages};

/// A blade whose measures fit together. Only [`Blade::new`] makes one. Its lofts are made when first asked for and kept;
/// clones share them.
#[derive(Clone, Debug)]
pub struct Blade {
    form: Form,
    lofts: Arc<[OnceLock<Arc<Loft>>; Stage::ALL.len()]>,
}

impl PartialEq for Blade {
    /// Blades of one form are one blade, whichever lofts have been asked for.
    fn eq(&self, other: &Blade) -> bool {
        self.form == other.form
    }
}

impl Blade {
    /// Checks `spec` as a whole. Every length is taken as finite and within the ranges of the design file.
    ///
    /// # Errors
    /// Every rule that is broken, as far as later rules can still be judged.
    pub fn new(spec: &Spec) -> Result<Blade, Vec<Problem>> {
        rules::check(spec).map(|form| Blade { form, lofts: Arc::default() })
    }

    /// What the blade was asked to be, its fullers from the edge upwards.
    pub fn spec(&self) -> &Spec {
        &self.form.spec
    }

    /// The back line and the edge line of the forged blade.
    pub(crate) fn forged_lines(&self) -> &Lines {
        &self.form.forged.lines
    }

    /// Shoulder to point, mm: of the ground and the finished blade.
    pub fn length(&self) -> f64 {
        self.form.length()
    }

    /// Shoulder to point of a stage, mm: the forged blade may be longer.
    pub fn length_at(&self, stage: Stage) -> f64 {
        self.form.side(stage).fan.end
    }

    /// Station from which sections fan out towards the point, mm: up to here they stand square to the blade at every
    /// stage.
    pub fn fan_start(&self) -> f64 {
        self.form.side.fan.start
    }

    /// Its exact sections at a stage.
    pub(crate) fn shape(&self, stage: Stage) -> Shape<'_> {
        self.form.shape(stage)
    }

    /// The loft of a stage.
    pub fn loft(&self, stage: Stage) -> Arc<Loft> {
        let kept = &self.lofts[stage as usize];
        Arc::clone(kept.get_or_init(|| Arc::new(Loft::new(self.form.clone(), stage))))
    }

    /// The loft on the way from the forged skin to the finished surface: `share` of what stands off each side is
    /// ground away, 0 (or less) giving the forged stage and 1 (or more, or no number) the finished one. In between the
    /// edge gets thinner alike, the outline is as ground once the sides are, fullers are as deep in the surface as they
    /// will be, and nothing is sharpened yet.
    pub fn loft_ground(&self, share: f64) -> Arc<Loft> {
        self.loft_between(share, self.outline_left(share))
    }

    /// The share of the outline's own allowance that is left where it is ground alike with the sides (see
    /// [`Blade::loft_ground`]): 1 on the forged blade, 0 from the ground one on.
    pub fn outline_left(&self, share: f64) -> f64 {
        let ground = self.ground_share(Stage::Ground);
        if share < ground { (1.0 - share / ground).min(1.0) } else { 0.0 }
    }

    /// The same with a share of the outline's own allowance left: 1 is the forged outline, 0 the finished one.
    pub fn loft_between(&self, share: f64, outline_left: f64) -> Arc<Loft> {
        let forged = self.form.spec.stages;
        let (left, outline) = (1.0 - share, forged.forged_outline.scaled(outline_left.clamp(0.0, 1.0)));
        match share {
            _ if share <= 0.0 && (outline_left >= 1.0 || forged.forged_outline.is_none()) => {
                self.loft(Stage::Forged)
            }
            _ if share <= 0.0 => Arc::new(Loft::new(self.form.with_stages(forged, &outline), Stage::Forged)),
            _ if share < 1.0 => {
                let stages = Stages {
                    ground_allowance: left * (forged.forged_allowance + forged.ground_allowance),
                    ground_edge: left * forged.forged_edge + share * forged.finished_edge,
                    ..forged
                };
                Arc::new(Loft::new(self.form.with_stages(stages, &outline), Stage::Ground))
            }
            _ => self.loft(Stage::Finished),
        }
    }

    /// The share of grinding (see [`Blade::loft_ground`]) at which the thickness of the back is that of a stage.
    pub fn ground_share(&self, stage: Stage) -> f64 {
        let stages = &self.form.spec.stages;
        let all = stages.forged_allowance + stages.ground_allowance;
        match stage {
            Stage::Forged => 0.0,
            Stage::Ground if all > 0.0 => stages.forged_allowance / all,
            Stage::Ground | Stage::Finished => 1.0,
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::spec::{Bevel, Section, Spec};
    use crate::specs::{forged_outside, variants};
    use brep::{Mesh, Moments};
    use glam::DVec3;

    #[test]
    fn every_variant_is_closed_and_its_mesh_and_loft_agree() {
        for (name, spec) in variants().into_iter().chain(forged_outside()) {
            let blade = Blade::new(&spec).unwrap_or_else(|p| panic!("{name}: {p:#?}"));
            for stage in Stage::ALL {
                let loft = blade.loft(stage);
                let volume = loft.moments().volume;
                for tolerance in [0.3, 0.02] {
                    let mesh =
                        Mesh::of(loft.shell(), tolerance).unwrap_or_else(|f| panic!("{name} {stage}: {f}"));
                    let off = (mesh.volume() - volume).abs();
                    assert!(off < tolerance * mesh.surface(), "{name} {stage}: {off} mm³ at {tolerance}");
                }
            }
        }
    }

    #[test]
    fn blade_and_tang_are_two_bodies() {
        for (name, spec) in variants().into_iter().chain(forged_outside()) {
            let blade = Blade::new(&spec).unwrap();
            for stage in Stage::ALL {
                let loft = blade.loft(stage);
                let both = loft.bodies();
                let sum: f64 = both.iter().map(|s| Moments::of(s).volume).sum();
                assert!((sum / loft.moments().volume - 1.0).abs() < 1e-12, "{name} {stage}");
                for body in &both {
                    Mesh::of(body, 0.05).unwrap_or_else(|f| panic!("{name} {stage}: {f}"));
                }
            }
        }
    }

    /// Hollows are ground: the forged blade is the one with flat bevels, the ground one is not.
    #[test]
    fn hollow_blades_are_forged_with_flat_bevels() {
        let hollow = variants().into_iter().filter(|(_, s)| matches!(s.section.bevel, Bevel::Hollow { .. }));
        let mut count = 0;
        for (name, spec) in hollow {
            let flat = Spec { section: Section { bevel: Bevel::Flat, ..spec.section }, ..spec.clone() };
            let [hollow, flat] = [&spec, &flat].map(|s| Blade::new(s).unwrap());
            let volume = |blade: &Blade, stage| blade.loft(stage).moments().volume;
            let off = volume(&hollow, Stage::Forged) / volume(&flat, Stage::Forged) - 1.0;
            assert!(off.abs() < 1e-12, "{name}: {off}");
            assert!(volume(&hollow, Stage::Ground) < 0.999 * volume(&flat, Stage::Ground), "{name}");
            count += 1;
        }
        assert!(count > 0);
    }

    #[test]
    fn two_sided_blades_are_exactly_symmetric() {
        for (name, spec) in
            variants().into_iter().filter(|(_, s)| s.section.sides == crate::spec::Sides::Both)
        {
            let blade = Blade::new(&spec).unwrap();
            let loft = blade.loft(Stage::Finished);
            let bits = |v: &DVec3, sign: f64| [v.x, v.y, sign * v.z + 0.0].map(f64::to_bits);
            let mut right: Vec<_> = loft.shell().vertices.iter().map(|v| bits(v, 1.0)).collect();
            let mut left: Vec<_> = loft.shell().vertices.iter().map(|v| bits(v, -1.0)).collect();
            right.sort_unstable();
            left.sort_unstable();
            assert_eq!(right, left, "{name}");
            assert!(loft.moments().centre().z.abs() < 1e-12, "{name}");
        }
    }

    #[test]
    fn grinding_goes_from_the_forged_to_the_finished_blade() {
        for (name, spec) in variants().into_iter().chain(forged_outside()) {
            let blade = Blade::new(&spec).unwrap();
            assert_eq!(blade.loft_ground(-0.5).stage(), Stage::Forged);
            assert_eq!(blade.loft_ground(f64::NAN).stage(), Stage::Finished);
            let mut before = f64::INFINITY;
            for share in [0.0, 0.1, 0.35, 0.6, 0.85, 1.0] {
                let loft = blade.loft_ground(share);
                let mesh = Mesh::of(loft.shell(), 0.1).unwrap_or_else(|f| panic!("{name} {share}: {f}"));
                // Cutting fullers in takes more away than grinding does; both only take away.
                assert!(mesh.volume() <= before + 1e-6, "{name} {share}");
                before = loft.moments().volume;
            }
            let thick = |loft: &Loft| loft.station(0.3 * blade.length()).map(|s| s.back);
            let share = blade.ground_share(Stage::Ground);
            let (part, ground) = (thick(&blade.loft_ground(share)), thick(&blade.loft(Stage::Ground)));
            assert!((part.unwrap() - ground.unwrap()).abs() < 1e-9, "{name}");
        }
    }

    /// A line that is cut or led on at the shoulder begins there to the last bit, whatever is left of the outline.
    #[test]
    fn every_outline_begins_at_the_shoulder() {
        let base = crate::specs::plain();
        for i in 0..200 {
            let lean = 0.01 * f64::from(i);
            let at = |x, y| crate::spec::OutlinePoint { at: glam::DVec2::new(x, y), corner: false };
            let mut spec = base.clone();
            spec.outline.form = crate::spec::OutlineForm::Points {
                back: vec![at(0.0, 38.0), at(90.0, 38.0 + lean), at(300.0, 34.0), at(480.0, 12.0)],
                edge: vec![at(0.0, 0.0), at(90.0, -lean), at(300.0, 0.4), at(480.0, 11.0)],
            };
            spec.stages.forged_outline = crate::spec::OutlineAllowance { edge: 1.0, back: 0.6, point: None };
            let blade = Blade::new(&spec).unwrap();
            for left in [1.0, 0.93, 0.4] {
                let loft = blade.loft_between(0.0, left);
                assert!(loft.station(0.0).is_some(), "{lean} {left}");
            }
        }
    }

    #[test]
    fn stations_read_the_design() {
        let blade = Blade::new(&crate::specs::plain()).unwrap();
        let finished = blade.loft(Stage::Finished);
        let s = finished.station(165.0).unwrap();
        // Half way to the break: breadth between 38 and 42, and the sharpened edge has no flat.
        assert!((s.breadth - 40.0).abs() < 1e-4, "{s:?}");
        assert!(s.edge.abs() < 1e-12 && s.back > 5.0 && s.back < 6.5, "{s:?}");
        let ground = blade.loft(Stage::Ground).station(300.0).unwrap();
        assert!((ground.back - 5.3).abs() < 1e-4 && (ground.edge - 1.0).abs() < 1e-4, "{ground:?}");
        assert!(finished.station(480.5).is_none() && finished.station(-1.0).is_none());
    }
}
