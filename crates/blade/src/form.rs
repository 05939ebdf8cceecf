//! The form of a blade: its measures with the lines and curves made of them. The rules judge it; only what passes them
//! becomes a blade.

use glam::DVec2;

use crate::outline::forms::Lines;
use crate::section::shape::{Fan, Shape};
use crate::section::taper::Taper;
use crate::spec::{Fuller, Spec, Stage, Stages};

/// A blade's measures and the curves made of them, not checked.
#[derive(Clone, Debug, PartialEq)]
pub(crate) struct Form {
    /// The measures, fullers from the edge upwards.
    pub(crate) spec: Spec,
    pub(crate) lines: Lines,
    pub(crate) taper: Taper,
    pub(crate) fan: Fan,
}

impl Form {
    /// The form of these measures with the lines of their outline.
    pub(crate) fn new(spec: &Spec, outline: &Lines) -> Form {
        // The datum: the tang's centre line, `offset` above the middle of the breadth at the shoulder.
        let root = 0.5 * (outline.back.start().y + outline.edge.start().y);
        let lines = outline.moved(DVec2::new(0.0, -(root + spec.tang.offset)));
        let fullers = upwards(&spec.fullers).into_iter().map(|i| spec.fullers[i]).collect();
        let spec = Spec { fullers, ..spec.clone() };
        Form { taper: Taper::new(&spec.taper), fan: Fan::new(&lines), lines, spec }
    }

    /// The same form with other allowances and edges.
    pub(crate) fn with_stages(&self, stages: Stages) -> Form {
        Form { spec: Spec { stages, ..self.spec.clone() }, ..self.clone() }
    }

    /// Shoulder to point, mm.
    pub(crate) fn length(&self) -> f64 {
        self.fan.end
    }

    /// The form at a stage.
    pub(crate) fn shape(&self, stage: Stage) -> Shape<'_> {
        Shape { spec: &self.spec, lines: &self.lines, taper: &self.taper, fan: &self.fan, stage }
    }
}

/// The places of fullers in their list, from the edge upwards.
pub(crate) fn upwards(fullers: &[Fuller]) -> Vec<usize> {
    let mut places: Vec<usize> = (0..fullers.len()).collect();
    places.sort_by(|&a, &b| fullers[b].from_back.total_cmp(&fullers[a].from_back));
    places
}
