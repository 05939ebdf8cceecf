//! Changes of the bars as figures, and the billet on its blade with them.

use std::f64::consts::TAU;

use design::Design;
use laminate::{Bar, Billet, MaterialMap};

use crate::knob::Knob;

/// What the bars' knobs come to, one figure a bar from the back to the edge; of a design without a billet none.
#[derive(Clone, Debug, PartialEq)]
pub(crate) struct BarChanges {
    /// Heights at the shoulder, mm; there the stack is as high as before.
    pub(crate) heights: Vec<f64>,
    /// Heights at the point of those bars that run straight to it, mm.
    pub(crate) points: Vec<Option<f64>>,
    /// By how much each begins further, turns.
    pub(crate) starts: Vec<f64>,
    /// How many times as many turns each has.
    pub(crate) turns: Vec<f64>,
}

impl BarChanges {
    /// Of the original design with these changes.
    pub(crate) fn new(design: &Design, changes: &[(&Knob, f64)]) -> BarChanges {
        let bars = design.billet().map_or(&[][..], Billet::bars);
        let before: Vec<f64> = bars.iter().map(|bar| bar.height.at(0.0)).collect();
        let points =
            (0..bars.len()).map(|i| design.height_ends().get(i).copied().flatten().map(|ends| ends[1]));
        let mut all = BarChanges {
            heights: before.clone(),
            points: points.collect(),
            starts: vec![0.0; bars.len()],
            turns: vec![1.0; bars.len()],
        };
        for (knob, by) in changes {
            match knob {
                Knob::Height(i, _) => {
                    all.heights[*i] *= 1.0 + by;
                    all.points[*i].iter_mut().for_each(|point| *point *= 1.0 + by);
                }
                Knob::PointHeight(i, _) => all.points[*i].iter_mut().for_each(|point| *point *= 1.0 + by),
                Knob::Start(i, _) => all.starts[*i] += by,
                Knob::Turns(i, _) => all.turns[*i] *= 1.0 + by,
                _ => {}
            }
        }
        let [old, new] = [&before, &all.heights].map(|list| list.iter().sum::<f64>());
        if new > 0.0 && (new - old).abs() > 0.0 {
            all.heights.iter_mut().for_each(|height| *height *= old / new);
            all.points.iter_mut().flatten().for_each(|height| *height *= old / new);
        }
        all
    }

    /// A billet that has the changes `from`, on its blade, with these instead; `None` where that is no billet.
    pub(crate) fn laid(&self, lay: &MaterialMap, from: &BarChanges) -> Option<MaterialMap> {
        let mut recipe = lay.billet().recipe().clone();
        recipe.bars.iter_mut().enumerate().for_each(|(i, bar)| self.change(bar, i, from));
        let laid = Billet::new(recipe).ok().map(|billet| lay.with_billet(billet))?;
        if self.points.iter().all(Option::is_none) {
            return Some(laid);
        }
        let ends =
            self.heights.iter().zip(&self.points).map(|(shoulder, point)| Some([*shoulder, (*point)?]));
        laid.with_ends(&ends.collect::<Vec<_>>())
    }

    fn change(&self, bar: &mut Bar, i: usize, from: &BarChanges) {
        let times = self.heights[i] / from.heights[i];
        bar.height = bar.height.altered(|height| height * times);
        let (by, times) = (TAU * (self.starts[i] - from.starts[i]), self.turns[i] / from.turns[i]);
        if by.abs() > 0.0 || (times - 1.0).abs() > 0.0 {
            bar.twist = bar.twist.altered(by, times);
        }
    }
}
