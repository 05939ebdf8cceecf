//! Bars forged to a taper: what they measure where.

use design::Design;
use laminate::Bar;
use serde::Serialize;

use crate::stock::Stack;

/// Places nearer to each other than this, mm, are one.
const ROUNDING: f64 = 1e-6;

/// What a tapered bar measures, straight between the places given; mm.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct BarTaper {
    /// As it is ground for the stack, before any teeth are cut into it: places from its end at the tang, and its heights there.
    pub stack_mm: Vec<[f64; 2]>,
    /// As it is made, with what is cropped and ground off: places from its end at the tang before that, its heights there, and
    /// the sides of squares as large as its sections.
    pub made_mm: Vec<[f64; 3]>,
    /// Mean heights in the stack, with and without what is cropped.
    #[serde(skip)]
    means: [f64; 2],
}

impl BarTaper {
    /// Of a bar that reaches between two `ends` of the stack before its heats (mm from the shoulder) and is cropped by `crop` at
    /// each, and made so much `more` high for its teeth; `None` where it is even. What is cropped is as high as the bar is beside it.
    pub(crate) fn of(
        (bar, more): (&Bar, f64),
        (stack, ends): (&Stack, [f64; 2]),
        (design, crop): (&Design, f64),
        alone: bool,
    ) -> Option<BarTaper> {
        if bar.height.is_even() {
            return None;
        }
        let (forging, width) = (design.forging(), stack.blade_section_mm[1]);
        // The recipe counts along the stack as it is when its scale is off.
        let longer = 1.0 / (1.0 - stack.scale_share);
        let high = |s: f64| bar.height.at(s / longer);
        // A place at the shoulder or in the point is that end itself.
        let within = ends[0].max(0.0) + ROUNDING..ends[1] - ROUNDING;
        let inner = bar.height.places().iter().map(|p| p.0 * longer).filter(|s| within.contains(s));
        // Behind the shoulder it keeps its height, so that the taper begins there at the earliest.
        let shoulder = (ends[0] < 0.0).then_some(0.0);
        let mut places: Vec<f64> = std::iter::once(ends[0]).chain(shoulder).chain(inner).collect();
        places.push(ends[1]);
        let length = ends[1] - ends[0];
        let mean = bar.height.mean(ends.map(|s| s / longer));
        let cropped = crop * ends.map(high).iter().sum::<f64>();
        let made = |s: f64, from_end: f64| {
            let [high, wide] = forging.made_section(bar, [high(s) + more, width], alone);
            [from_end, high, (high * wide).sqrt()]
        };
        let along = places.iter().map(|&s| made(s, s - ends[0] + crop));
        let first = (crop > 0.0).then(|| made(ends[0], 0.0));
        let last = (crop > 0.0).then(|| made(ends[1], length + 2.0 * crop));
        Some(BarTaper {
            stack_mm: without_level(places.iter().map(|&s| [s - ends[0], high(s) + more]).collect()),
            made_mm: without_level(first.into_iter().chain(along).chain(last).collect()),
            means: [mean, (mean * length + cropped) / (length + 2.0 * crop)],
        })
    }

    /// Mean height in the stack (mm) of the bar as it lies there, and of the bar with what is cropped off it.
    pub(crate) fn means(&self) -> [f64; 2] {
        self.means
    }

    /// Heights with the places where they are, told by `length` and `place`.
    pub fn told(
        rows: impl Iterator<Item = [f64; 2]>,
        length: impl Fn(f64) -> String,
        place: impl Fn(f64) -> String,
    ) -> String {
        rows.map(|[at, high]| format!("{} at {}", length(high), place(at))).collect::<Vec<_>>().join(", ")
    }
}

/// The rows without those at which the height is that of both neighbours.
fn without_level<const N: usize>(rows: Vec<[f64; N]>) -> Vec<[f64; N]> {
    let level = |i: usize| rows[i - 1..=i + 1].windows(2).all(|w| w[0][1].total_cmp(&w[1][1]).is_eq());
    let last = rows.len() - 1;
    (0..rows.len()).filter(|&i| i == 0 || i == last || !level(i)).map(|i| rows[i]).collect()
}
