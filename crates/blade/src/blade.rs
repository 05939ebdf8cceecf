//! A checked blade: the one constructor, and the loft of each stage.

use glam::DVec2;

use crate::checks;
use crate::forms::{self, Lines};
use crate::loft::{self, Span};
use crate::moments::Moments;
use crate::problem::Problem;
use crate::shape::{Fan, Shape};
use crate::shell::Shell;
use crate::spec::{Spec, Stage};
use crate::taper::Taper;

/// A blade whose measures fit together. Only [`Blade::new`] makes one.
#[derive(Clone, Debug, PartialEq)]
pub struct Blade {
    pub(crate) spec: Spec,
    pub(crate) lines: Lines,
    pub(crate) taper: Taper,
    pub(crate) fan: Fan,
    /// Place in the design of each fuller: here they stand from the edge upwards.
    pub(crate) fuller_places: Vec<usize>,
}

impl Blade {
    /// Checks `spec` as a whole. Every length is taken as finite and within the ranges of the design file.
    ///
    /// # Errors
    /// Every rule that is broken, as far as later rules can still be judged.
    pub fn new(spec: &Spec) -> Result<Blade, Vec<Problem>> {
        checks::before(spec)?;
        let lines = forms::lines(&spec.outline).map_err(|_| vec![checks::rounding()])?;
        checks::lines(spec, &lines)?;
        // The datum: the tang's centre line, `offset` above the middle of the breadth at the shoulder.
        let root = 0.5 * (lines.back.start().y + lines.edge.start().y);
        let lines = lines.moved(DVec2::new(0.0, -(root + spec.tang.offset)));
        let fan = Fan::new(&lines);
        let mut fuller_places: Vec<usize> = (0..spec.fullers.len()).collect();
        fuller_places.sort_by(|&a, &b| spec.fullers[b].from_back.total_cmp(&spec.fullers[a].from_back));
        let fullers = fuller_places.iter().map(|&i| spec.fullers[i]).collect();
        let taper = Taper::new(&spec.taper);
        let blade = Blade { spec: Spec { fullers, ..spec.clone() }, taper, lines, fan, fuller_places };
        checks::whole(&blade)?;
        Ok(blade)
    }

    /// What the blade was asked to be, its fullers from the edge upwards.
    pub fn spec(&self) -> &Spec {
        &self.spec
    }

    /// Shoulder to point, mm.
    pub fn length(&self) -> f64 {
        self.fan.end
    }

    /// The loft of a stage.
    pub fn loft(&self, stage: Stage) -> Loft {
        let shape = self.shape(stage);
        let spans = loft::spans(&shape);
        let shell = loft::shell(&shape, &spans);
        Loft { blade: self.clone(), stage, spans, shell }
    }

    pub(crate) fn shape(&self, stage: Stage) -> Shape<'_> {
        Shape { spec: &self.spec, lines: &self.lines, taper: &self.taper, fan: &self.fan, stage }
    }
}

/// Blade and tang at one stage: rails, and the closed shell made of them. Mesh, solid and mass all read it.
#[derive(Clone, Debug)]
pub struct Loft {
    pub(crate) blade: Blade,
    pub(crate) stage: Stage,
    pub(crate) spans: Vec<Span>,
    shell: Shell,
}

impl Loft {
    /// The closed boundary.
    pub fn shell(&self) -> &Shell {
        &self.shell
    }

    /// The stage it is the loft of.
    pub fn stage(&self) -> Stage {
        self.stage
    }

    /// Volume, centre and second moments, mm.
    pub fn moments(&self) -> Moments {
        Moments::of(&self.shell)
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::mesh::Mesh;
    use crate::spec::*;

    pub(crate) fn plain() -> Spec {
        Spec {
            outline: Outline {
                form: OutlineForm::BrokenBack {
                    length: 480.0,
                    breadth: 38.0,
                    break_at: 330.0,
                    break_breadth: 42.0,
                    sweep: 0.0,
                    point_height: 0.0,
                },
                tip: Tip::Flat { breadth: 1.0 },
            },
            section: Section {
                bevel: Bevel::Flat,
                sides: Sides::Both,
                grind_line: GrindLine::Share(0.6),
                back: Back::Flat,
            },
            taper: vec![
                TaperStation { at: 0.0, back: 6.5, grind: Some(6.2) },
                TaperStation { at: 300.0, back: 5.0, grind: None },
                TaperStation { at: 480.0, back: 2.5, grind: None },
            ],
            ricasso: None,
            fullers: vec![],
            tang: Tang {
                form: TangForm::Hidden { breadth: 10.0, thickness: 2.0, shoulder_radius: 2.0 },
                length: 120.0,
                end_breadth: 8.0,
                end_thickness: 1.8,
                offset: 9.0,
                holes: vec![Hole { at: 60.0, offset: 0.0, diameter: 3.0 }],
            },
            stages: Stages {
                forged_allowance: 0.8,
                forged_edge: 2.5,
                ground_allowance: 0.15,
                ground_edge: 1.0,
                finished_edge: 0.7,
                edge_angle: Some(0.5),
            },
        }
    }

    fn variants() -> Vec<(&'static str, Spec)> {
        let mut all = vec![("plain", plain())];
        let mut add = |name, change: fn(&mut Spec)| {
            let mut spec = plain();
            change(&mut spec);
            all.push((name, spec));
        };
        add("point", |s| s.outline.tip = Tip::Point);
        add("round", |s| s.outline.tip = Tip::Round { radius: 5.0 });
        add("hollow", |s| s.section.bevel = Bevel::Hollow { radius: 150.0 });
        add("convex", |s| s.section.bevel = Bevel::Convex { radius: 250.0 });
        add("right", |s| s.section.sides = Sides::Right);
        add("left", |s| {
            s.section.sides = Sides::Left;
            s.ricasso = Some(Ricasso { length: 20.0, plunge: 12.0 });
        });
        add("full", |s| s.section.grind_line = GrindLine::Full);
        add("height", |s| s.section.grind_line = GrindLine::Height(20.0));
        add("rounded", |s| s.section.back = Back::Rounded { radius: 1.0 });
        add("crowned", |s| s.section.back = Back::Crowned { height: 0.6 });
        add("ricasso", |s| s.ricasso = Some(Ricasso { length: 20.0, plunge: 12.0 }));
        add("ricasso hollow", |s| {
            s.ricasso = Some(Ricasso { length: 20.0, plunge: 12.0 });
            s.section.bevel = Bevel::Hollow { radius: 150.0 };
        });
        add("full tang", |s| {
            s.ricasso = Some(Ricasso { length: 20.0, plunge: 12.0 });
            s.tang.form = TangForm::Full;
            s.tang.end_breadth = 30.0;
            s.section.back = Back::Rounded { radius: 1.0 };
            s.section.bevel = Bevel::Hollow { radius: 150.0 };
        });
        add("full tang crowned", |s| {
            s.ricasso = Some(Ricasso { length: 20.0, plunge: 12.0 });
            s.tang.form = TangForm::Full;
            s.tang.end_breadth = 30.0;
            s.section.back = Back::Crowned { height: 0.6 };
            s.section.sides = Sides::Right;
        });
        add("fullers", |s| {
            let f = Fuller {
                start: 30.0,
                end: 300.0,
                run_in: 20.0,
                run_out: 40.0,
                from_back: 4.0,
                width: 5.0,
                depth: 1.0,
                sides: Sides::Both,
            };
            s.fullers = vec![f, Fuller { start: 0.0, from_back: 10.0, width: 3.0, depth: 0.6, ..f }];
        });
        add("dropped round", |s| {
            s.outline.form = OutlineForm::DroppedPoint {
                length: 300.0,
                breadth: 35.0,
                drop: 80.0,
                sweep: 90.0,
                point_height: 18.0,
            };
            s.outline.tip = Tip::Round { radius: 4.0 };
            s.taper = vec![
                TaperStation { at: 0.0, back: 5.0, grind: None },
                TaperStation { at: 300.0, back: 2.0, grind: None },
            ];
        });
        add("curved point", |s| {
            s.outline.form = OutlineForm::CurvedBack {
                length: 300.0,
                breadth: 35.0,
                broadest_at: 120.0,
                broadest: 38.0,
                sweep: 0.0,
                point_height: 0.0,
            };
            s.outline.tip = Tip::Point;
            s.section.bevel = Bevel::Convex { radius: 400.0 };
        });
        all
    }

    #[test]
    fn every_variant_is_closed_and_its_mesh_and_loft_agree() {
        for (name, spec) in variants() {
            let blade = Blade::new(&spec).unwrap_or_else(|p| panic!("{name}: {p:#?}"));
            for stage in Stage::ALL {
                let clock = std::time::Instant::now();
                let loft = blade.loft(stage);
                let lofted = clock.elapsed();
                let moments = loft.moments();
                let massed = clock.elapsed();
                for tolerance in [0.3, 0.02] {
                    let mesh =
                        Mesh::of(loft.shell(), tolerance).unwrap_or_else(|f| panic!("{name} {stage}: {f}"));
                    let off = (mesh.volume() - moments.volume).abs();
                    println!(
                        "{name:18} {stage:9} {tolerance} {:7} triangles, loft {} mesh {} off {off:.4}; {lofted:?} {massed:?} {:?}",
                        mesh.triangles().len(),
                        moments.volume,
                        mesh.volume(),
                        clock.elapsed()
                    );
                    assert!(off < 2.0 * tolerance * mesh.surface(), "{name} {stage}");
                }
            }
        }
    }
}
