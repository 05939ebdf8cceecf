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
        let blade = Blade { spec: spec.clone(), taper: Taper::new(&spec.taper), lines, fan };
        checks::whole(&blade)?;
        Ok(blade)
    }

    /// What the blade was asked to be.
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
