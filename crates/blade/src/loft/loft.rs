//! Blade and tang lofted at one stage.

use std::sync::OnceLock;

use brep::{Moments, Shell};
use glam::DVec3;

use crate::form::Form;
use crate::loft::shell;
use crate::loft::spans::{self, Span};
use crate::spec::Stage;

/// Blade and tang at one stage: rails, and the closed shell made of them. Mesh, solid and mass all read it.
#[derive(Clone, Debug)]
pub struct Loft {
    pub(crate) form: Form,
    pub(crate) stage: Stage,
    pub(crate) spans: Vec<Span>,
    shell: Shell,
    /// Made when first asked for.
    moments: OnceLock<Moments>,
}

impl Loft {
    /// The loft of a form at a stage.
    pub(crate) fn new(form: Form, stage: Stage) -> Loft {
        let shape = form.shape(stage);
        let spans = spans::spans(&shape);
        let shell = shell::shell(&shape, &spans);
        Loft { form, stage, spans, shell, moments: OnceLock::new() }
    }

    /// The closed boundary.
    pub fn shell(&self) -> &Shell {
        &self.shell
    }

    /// The boundary parted in the shoulder plane: the blade, and the tang. Both are closed.
    pub fn bodies(&self) -> [Shell; 2] {
        shell::bodies(&self.form.shape(self.stage), &self.spans)
    }

    /// The stage it is the loft of.
    pub fn stage(&self) -> Stage {
        self.stage
    }

    /// Shoulder to point, mm.
    pub fn length(&self) -> f64 {
        self.form.side(self.stage).fan.end
    }

    /// Least and greatest coordinates, mm, to 1e-3.
    pub fn bounds(&self) -> (DVec3, DVec3) {
        self.shell.bounds()
    }

    /// Volume, centre and second moments, mm.
    pub fn moments(&self) -> Moments {
        *self.moments.get_or_init(|| Moments::of(&self.shell))
    }
}
