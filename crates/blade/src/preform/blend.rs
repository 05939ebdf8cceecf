//! The cut line where the edge's curve sets in at once.
//!
//! Column by column of like area the cut line would step there, and nobody cuts or forges a step: a notch in the back
//! closes under the hammer as a cold shut. So what the curve takes off the breadths sets in over about one breadth.
//! Steel moves that far along the blade as the edge is forged up; the whole area stays.

/// Places at which what is taken off is kept, along the edge: on a tip of 100 mm every 0.2 mm.
const KEPT: usize = 512;
/// A smaller step in the cut line is none, mm: half of what a scribed line is wide (common practice, no source).
pub(super) const STEP: f64 = 0.05;
/// The cut may lie anywhere between the exact line and the blended one where they are further apart, mm: what a saw takes
/// away beside its line (common practice, no source).
const LEEWAY: f64 = 0.3;

/// What is taken off the breadths along the edge, mm.
#[derive(Clone, Debug, PartialEq)]
pub(super) struct Blend {
    /// From one kept place to the next, mm.
    step: f64,
    /// Column by column.
    exact: Vec<f64>,
    /// Set in over a breadth.
    blended: Vec<f64>,
    /// What the blended one takes off besides, so that the area stays, as a share of it in the middle of the edge.
    more: f64,
}

impl Blend {
    /// Of an edge `length` mm long over which columns lose `exact` mm of their breadth, set in over `reach` mm to
    /// either side. Before its start the edge runs on as it starts; towards its end the reach is less, and the end stays
    /// as it is.
    pub(super) fn new(length: f64, reach: f64, exact: impl Fn(f64) -> Option<f64>) -> Option<Blend> {
        let step = length / KEPT as f64;
        let exact: Vec<f64> = (0..=KEPT).map(|i| exact(step * i as f64)).collect::<Option<_>>()?;
        let blended = (0..=KEPT).map(|i| {
            let room = (reach / step).min((KEPT - i) as f64);
            mean(&exact, i, room)
        });
        Some(Blend { step, blended: blended.collect(), exact, more: 0.0 })
    }

    /// The same with `more` taken off.
    pub(super) fn with(self, more: f64) -> Blend {
        Blend { more, ..self }
    }

    /// What is taken off at `s` mm along the edge, mm.
    pub(super) fn taken(&self, s: f64) -> f64 {
        let share = (s / (self.step * KEPT as f64)).clamp(0.0, 1.0);
        between(&self.blended, s / self.step) * (1.0 + self.more * 4.0 * share * (1.0 - share))
    }

    /// The least and the greatest that may be taken off at `s` mm along the edge, mm, where that is not one figure.
    pub(super) fn leeway(&self, s: f64) -> Option<[f64; 2]> {
        let (exact, taken) = (between(&self.exact, s / self.step), self.taken(s));
        ((exact - taken).abs() > LEEWAY).then(|| [exact.min(taken), exact.max(taken)])
    }

    /// Lengths along the edge between which the cut has leeway, mm.
    pub(super) fn reach(&self) -> Option<[f64; 2]> {
        let places = || self.places().filter(|s| self.leeway(*s).is_some());
        Some([places().next()?, places().next_back()?])
    }

    /// The length along the edge at which it has most, mm.
    pub(super) fn widest(&self) -> Option<f64> {
        let wide = self.places().filter_map(|s| self.leeway(s).map(|[least, most]| (s, most - least)));
        wide.max_by(|a, b| a.1.total_cmp(&b.1)).map(|(s, _)| s)
    }

    fn places(&self) -> impl DoubleEndedIterator<Item = f64> + '_ {
        (0..=KEPT).map(|i| self.step * i as f64)
    }
}

/// Mean about place `i`, over `room` places to either side, weighed by (1 − t²)²: smooth where it begins and ends.
fn mean(values: &[f64], i: usize, room: f64) -> f64 {
    let reach = room.ceil() as isize;
    let weight = |by: isize| {
        let t = by as f64 / room.max(1.0);
        (1.0 - t * t).max(0.0).powi(2)
    };
    let value = |by: isize| values[(i as isize + by).clamp(0, values.len() as isize - 1) as usize];
    let sums = (-reach..=reach).map(|by| [weight(by), weight(by) * value(by)]);
    let [all, sum] = sums.fold([0.0, 0.0], |[a, b], [c, d]| [a + c, b + d]);
    sum / all
}

/// A value between kept places: the cubic of Catmull and Rom, 1974, through the four around it.
fn between(values: &[f64], place: f64) -> f64 {
    let place = place.clamp(0.0, (values.len() - 1) as f64);
    let i = (place as usize).min(values.len() - 2);
    let t = place - i as f64;
    let (b, c) = (values[i], values[i + 1]);
    // Beyond the ends the line runs straight on.
    let a = if i > 0 { values[i - 1] } else { 2.0 * b - c };
    let d = values.get(i + 2).map_or(2.0 * c - b, |d| *d);
    b + 0.5 * t * (c - a + t * (2.0 * a - 5.0 * b + 4.0 * c - d + t * (3.0 * (b - c) + d - a)))
}

#[cfg(test)]
mod tests {
    use super::*;

    /// A step of 6 mm becomes a slope: nowhere steeper than the kernel's greatest value over the reach, 15/16 of it.
    #[test]
    fn a_step_becomes_a_slope() {
        let blend = Blend::new(100.0, 15.0, |s| Some(if s < 40.0 { 0.0 } else { 6.0 })).unwrap();
        let all: Vec<f64> = (0..=1000).map(|i| blend.taken(0.1 * f64::from(i))).collect();
        let steepest = all.windows(2).map(|p| (p[1] - p[0]) / 0.1).fold(0.0, f64::max);
        assert!(steepest < 6.0 * 15.0 / 16.0 / 15.0 * 1.02 && steepest > 0.3, "{steepest}");
        assert!(all[240].abs() < 1e-3 && (all[560] - 6.0).abs() < 1e-3 && (all[400] - 3.0).abs() < 0.05);
        let [from, to] = blend.reach().unwrap();
        assert!((28.0..36.0).contains(&from) && (44.0..52.0).contains(&to), "{from} {to}");
        let [least, most] = blend.leeway(41.0).unwrap();
        assert!(
            (most - 6.0).abs() < 1e-6
                && (least - blend.taken(41.0)).abs() < 1e-9
                && blend.leeway(10.0).is_none()
        );
    }

    #[test]
    fn an_even_line_stays_as_it_is() {
        let blend = Blend::new(80.0, 20.0, |s| Some(2.0 + 0.01 * s)).unwrap();
        for s in [20.0, 33.0, 41.3, 79.9, 80.0] {
            assert!((blend.taken(s) - 2.0 - 0.01 * s).abs() < 1e-9, "{s}");
        }
        assert!(blend.reach().is_none());
    }
}
