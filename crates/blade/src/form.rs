//! The form of a blade: its measures with the lines and curves made of them. The rules judge it; only what passes them
//! becomes a blade.

use glam::DVec2;

use crate::outline::forms::Lines;
use crate::outline::grown;
use crate::rules::Fault;
use crate::section::shape::{Fan, Shape};
use crate::section::taper::Taper;
use crate::spec::{Fuller, OutlineAllowance, Spec, Stage, Stages};

/// A blade's measures and the curves made of them, not checked.
#[derive(Clone, Debug, PartialEq)]
pub(crate) struct Form {
    /// The measures, fullers from the edge upwards.
    pub(crate) spec: Spec,
    pub(crate) taper: Taper,
    /// The side view of the ground and the finished blade.
    pub(crate) side: SideView,
    /// The side view of the forged blade.
    pub(crate) forged: SideView,
}

/// The blade seen from the side at a stage.
#[derive(Clone, Debug, PartialEq)]
pub(crate) struct SideView {
    pub(crate) lines: Lines,
    pub(crate) fan: Fan,
    /// How far its edge and its back lie outside the finished ones, mm.
    pub(crate) beyond: [f64; 2],
}

impl Form {
    /// The form of these measures with the lines of their outline.
    ///
    /// # Errors
    /// Why the forged outline can't be drawn.
    pub(crate) fn new(spec: &Spec, outline: &Lines) -> Result<Form, Fault> {
        // The datum: the tang's centre line, `offset` above the middle of the breadth at the shoulder.
        let fullers = upwards(&spec.fullers).into_iter().map(|i| spec.fullers[i]).collect();
        let spec = Spec { fullers, ..spec.clone() };
        let lines = outline.moved(datum(&spec, outline));
        let side = SideView { fan: Fan::new(&lines, 0.0), lines, beyond: [0.0; 2] };
        let forged = forged_side(&spec, outline, &side, &spec.stages.forged_outline)?;
        Ok(Form { taper: Taper::new(&spec.taper), forged, side, spec })
    }

    /// The same form with other allowances and edges, its outline carrying as much as is given at every stage.
    pub(crate) fn with_stages(&self, stages: Stages, outline: &OutlineAllowance) -> Form {
        let drawn = crate::outline::forms::lines(&self.spec.outline).map_err(|_| Fault::Rounding {});
        // The whole allowance fits, so a share of it does; where rounding says no, the finished outline stands.
        let side = drawn
            .and_then(|lines| forged_side(&self.spec, &lines, &self.side, outline))
            .unwrap_or_else(|_| self.side.clone());
        Form {
            spec: Spec { stages, ..self.spec.clone() },
            forged: side.clone(),
            side,
            taper: self.taper.clone(),
        }
    }

    /// Shoulder to point, mm.
    pub(crate) fn length(&self) -> f64 {
        self.side.fan.end
    }

    /// The side view at a stage.
    pub(crate) fn side(&self, stage: Stage) -> &SideView {
        if stage == Stage::Forged { &self.forged } else { &self.side }
    }

    /// The form at a stage.
    pub(crate) fn shape(&self, stage: Stage) -> Shape<'_> {
        let SideView { lines, fan, beyond } = self.side(stage);
        Shape { spec: &self.spec, lines, taper: &self.taper, fan, beyond: *beyond, stage }
    }
}

/// From the frame of the outline to the blade's.
fn datum(spec: &Spec, outline: &Lines) -> DVec2 {
    let root = 0.5 * (outline.back.start().y + outline.edge.start().y);
    DVec2::new(0.0, -(root + spec.tang.offset))
}

/// The side view outside the finished one by an allowance. Its sections begin to fan out no sooner, so that stations that
/// stand square on the finished blade do on every stage.
fn forged_side(
    spec: &Spec,
    outline: &Lines,
    finished: &SideView,
    by: &OutlineAllowance,
) -> Result<SideView, Fault> {
    if by.is_none() {
        return Ok(finished.clone());
    }
    let lines = grown::grown(&spec.outline, outline, by)?.moved(datum(spec, outline));
    let fan = Fan::new(&lines, finished.fan.start);
    Ok(SideView { lines, fan, beyond: [by.edge, by.back] })
}

/// The places of fullers in their list, from the edge upwards.
pub(crate) fn upwards(fullers: &[Fuller]) -> Vec<usize> {
    let mut places: Vec<usize> = (0..fullers.len()).collect();
    places.sort_by(|&a, &b| fullers[b].from_back.total_cmp(&fullers[a].from_back));
    places
}
