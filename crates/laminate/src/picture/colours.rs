//! Colours of layers in linear light, and their means over a way across them: however thin, layers come out as the eye mixes
//! them.

use crate::billet::bar::Bar;
use crate::billet::layers::LayerSet;
use crate::billet::plug::Plug;
use crate::billet::recipe::Billet;
use crate::map::flank::Stacked;
use crate::picture::curve::Curve;
use crate::picture::frame::Colouring;
use crate::picture::palette::{bar_colour, etched_grey, linear, plug_colour, steel_colour};

/// Red, green and blue in linear light, and one more number that nobody reads: processors take four at a time.
pub(crate) type Light = [f32; 4];

/// Colours in linear light of every layer of every bar.
pub(crate) struct Colours<'a> {
    bars: Vec<Layered<'a>>,
    /// Those of every plug of every bar.
    plugs: Vec<Vec<Layered<'a>>>,
    curve: Curve,
}

impl Colours<'_> {
    /// The colours of every layer, in linear light, and the curve back to sRGB.
    pub(crate) fn new<'a>(billet: &'a Billet, colouring: Colouring<'_>) -> Colours<'a> {
        let srgb = |bar: usize, steel: usize| match colouring {
            Colouring::Steels => steel_colour(steel).srgb,
            Colouring::Bars => bar_colour(bar).srgb,
            Colouring::Etched(etched) => etched_grey(etched.brightness(bar, steel)),
        };
        let light = |[r, g, b]: [u8; 3]| [r, g, b, 0].map(|c| linear(f64::from(c) / 255.0) as f32);
        let of = |(i, bar): (usize, &'a Bar)| {
            let colours = bar.layers.layers().iter().map(|l| light(srgb(i, l.steel)));
            Layered::new(&bar.layers, colours.collect(), billet.standing(i).is_sloped())
        };
        let plug = |plug: &'a Plug| {
            let srgb = match colouring {
                Colouring::Steels => steel_colour(plug.steel()).srgb,
                Colouring::Bars => plug_colour().srgb,
                Colouring::Etched(etched) => etched_grey(etched.of_plug(plug.steel())),
            };
            Layered::new(plug.made(), vec![light(srgb)], false)
        };
        let plugs = billet.bars().iter().map(|bar| bar.plugs.iter().map(plug).collect()).collect();
        let bars = billet.bars().iter().enumerate().map(of).collect();
        Colours { bars, plugs, curve: Curve::new() }
    }

    /// The colours of what lies in a place of a plane's stack.
    #[inline]
    pub(crate) fn of(&self, stacked: &Stacked) -> &Layered<'_> {
        match stacked.plug {
            None => &self.bars[stacked.bar],
            Some(plug) => &self.plugs[stacked.bar][plug],
        }
    }

    /// What is stored for a share of so much linear light.
    pub(crate) fn stored(&self, light: Light, share: f32) -> [u8; 3] {
        let [r, g, b, _] = light.map(|c| self.curve.stored(c * share));
        [r, g, b]
    }
}

/// The layers of a bar with their colours.
pub(crate) struct Layered<'a> {
    layers: &'a LayerSet,
    colours: Vec<Light>,
    /// Light of all layers before each one, each by its share of the thickness.
    before: Vec<Light>,
    /// Light of all of them, where they begin anew at every whole share.
    around: Option<Light>,
}

impl Layered<'_> {
    fn new(layers: &LayerSet, colours: Vec<Light>, around: bool) -> Layered<'_> {
        let mut sum = [0.0_f64; 4];
        let mut before = Vec::with_capacity(colours.len());
        for (i, colour) in colours.iter().enumerate() {
            before.push(sum.map(|s| s as f32));
            let share = layers.layers()[i].end - layers.start(i);
            sum.iter_mut().zip(colour).for_each(|(s, c)| *s += share * f64::from(*c));
        }
        let around = around.then(|| sum.map(|s| s as f32));
        Layered { layers, colours, before, around }
    }

    /// The colour of a bar that has only one.
    pub(crate) fn single(&self) -> Option<Light> {
        if let [single] = self.colours[..] { Some(single) } else { None }
    }

    /// The colour at a share of the thickness.
    #[inline]
    pub(crate) fn at(&self, share: f64) -> Light {
        self.colours[self.layers.at(if self.around.is_some() { share - share.floor() } else { share })]
    }

    /// The mean colour from one share of the thickness to another, evenly passed.
    #[inline]
    pub(crate) fn mean(&self, from: f64, to: f64) -> Light {
        if let Some(all) = self.around {
            return self.around(all, from.min(to), from.max(to));
        }
        let (first, last) = (self.layers.at(from), self.layers.at(to));
        if first == last { self.colours[first] } else { self.mixed((first, from), (last, to)) }
    }

    /// Adds to the rows of pixels the mean colours between neighbouring shares of the thickness, each as often as the place
    /// among the rows (as many, increasing) moves on. All of a step lies in one row.
    pub(crate) fn add_means(&self, shares: &[f64], rows: &[f64], sums: &mut [Light]) {
        let (Some(from), Some(to)) = (rows.first(), rows.last()) else { return };
        // Beyond the picture's border places don't move on.
        if from >= to {
            return;
        }
        let steps = shares.windows(2).zip(rows.windows(2));
        if self.around.is_some() {
            let mean = |share: &[f64]| self.mean(share[0], share[1]);
            return steps.for_each(|(share, row)| add(&mut sums[row[0] as usize], mean(share), moved(row)));
        }
        let mut layer = shares.first().map_or(0, |first| self.layers.at(*first));
        // A row's sum is put back once it is whole.
        let (mut place, mut sum) = (*from as usize, sums[*from as usize]);
        for (share, row) in steps {
            let next = self.layers.at(share[1]);
            if row[0] as usize != place {
                sums[place] = sum;
                place = row[0] as usize;
                sum = sums[place];
            }
            // Mostly both ends lie in one layer.
            if next == layer {
                add(&mut sum, self.colours[layer], moved(row));
            } else {
                add(&mut sum, self.mixed((layer, share[0]), (next, share[1])), moved(row));
            }
            layer = next;
        }
        sums[place] = sum;
    }

    /// The mean colour from a lower to a higher share, where the layers, of `all` that light, begin anew at every whole one.
    fn around(&self, all: Light, low: f64, high: f64) -> Light {
        let (start, rounds) = (low.floor(), high.floor() - low.floor());
        let (from, to) = (low - start, high - high.floor());
        let (first, last) = (self.layers.at(from), self.layers.at(to));
        if high <= low || (rounds <= 0.0 && first == last) {
            return self.colours[first];
        }
        let (below, above) = (self.light((first, from)), self.light((last, to)));
        let (rounds, over) = (rounds as f32, 1.0 / (high - low) as f32);
        std::array::from_fn(|k| ((above[k] - below[k] + rounds * all[k]) * over).clamp(0.0, 1.0))
    }

    /// The mean colour between places in two layers.
    #[inline]
    fn mixed(&self, from: (usize, f64), to: (usize, f64)) -> Light {
        let (low, high) = if from.1 < to.1 { (from, to) } else { (to, from) };
        let (below, above) = (self.light(low), self.light(high));
        let over = 1.0 / (high.1.min(1.0) - low.1.max(0.0)) as f32;
        let mut mean = above;
        for (k, m) in mean.iter_mut().enumerate() {
            *m = ((*m - below[k]) * over).clamp(0.0, 1.0);
        }
        mean
    }

    /// Light up to a share of the thickness in this layer.
    #[inline]
    fn light(&self, (layer, share): (usize, f64)) -> Light {
        let part = (share.clamp(0.0, 1.0) - self.layers.start(layer)) as f32;
        let mut light = self.before[layer];
        add(&mut light, self.colours[layer], part);
        light
    }
}

/// By how much the second place among rows lies further than the first.
#[inline]
fn moved(row: &[f64]) -> f32 {
    (row[1] - row[0]) as f32
}

/// Adds a colour so many times.
#[inline]
pub(crate) fn add(sum: &mut Light, colour: Light, times: f32) {
    for (s, c) in sum.iter_mut().zip(colour) {
        *s += c * times;
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn mean(set: &LayerSet, from: f64, to: f64) -> f32 {
        let colours = set.layers().iter().map(|l| [l.steel as f32; 4]).collect();
        Layered::new(set, colours, false).mean(from, to)[0]
    }

    /// Slices end to end: a way over their welds sees the layers of both, by the sum over fine steps of it.
    #[test]
    fn means_go_on_from_slice_to_slice() {
        let uneven = LayerSet::stacked(&[(0, 1.0), (1, 3.0), (0, 2.0)], 1).unwrap();
        let colours: Vec<Light> = uneven.layers().iter().map(|l| [l.steel as f32; 4]).collect();
        let slices = Layered::new(&uneven, colours, true);
        for (from, to) in
            [(0.1, 0.9), (0.9, 1.1), (-0.4, 0.1), (2.3, -1.6), (1.0, 4.0), (-2.05, -2.01), (0.4, 0.4)]
        {
            const N: usize = 20_000;
            let steps = (0..N).map(|i| from + (to - from) * (i as f64 + 0.5) / N as f64);
            let mean: f32 = steps.map(|share| slices.at(share)[0]).sum::<f32>() / N as f32;
            assert!((slices.mean(from, to)[0] - mean).abs() < 1e-3, "{from} {to}: {mean}");
        }
    }

    #[test]
    fn means_are_shares_of_the_layers_passed() {
        let even = LayerSet::stacked(&[(0, 1.0), (1, 1.0)], 2).unwrap();
        let uneven = LayerSet::stacked(&[(0, 1.0), (1, 3.0)], 1).unwrap();
        for (set, from, to, wanted) in [
            (&even, 0.0, 1.0, 0.5),
            (&even, 1.0, 0.0, 0.5),
            (&even, 0.2, 0.3, 0.5),
            (&even, 0.1, 0.2, 0.0),
            (&even, 0.1, 0.6, 0.5),
            (&even, -0.3, 0.5, 0.5),
            (&even, 0.75, 1.4, 1.0),
            (&uneven, 0.0, 0.5, 0.5),
            (&uneven, 0.15, 0.35, 0.5),
            (&uneven, 0.3, 0.3, 1.0),
        ] {
            assert!((mean(set, from, to) - wanted).abs() < 1e-6, "{from} {to}: {}", mean(set, from, to));
        }
    }

    /// Two and a half rows, the middle one in two steps, from the middle of the first one on; and beyond the border nothing.
    #[test]
    fn rows_gather_the_means_of_their_steps() {
        let set = LayerSet::stacked(&[(0, 1.0), (1, 1.0)], 2).unwrap();
        let colours: Vec<Light> = set.layers().iter().map(|l| [l.steel as f32; 4]).collect();
        for around in [false, true] {
            let layered = Layered::new(&set, colours.clone(), around);
            let mut sums = vec![[0.0; 4]; 3];
            layered.add_means(&[0.1, 0.4, 0.6, 0.5, 0.9], &[0.5, 1.0, 1.5, 2.0, 3.0], &mut sums);
            for (sum, wanted) in sums.iter().zip([0.5 * 0.5, 0.5 * 0.5, 0.15 / 0.4]) {
                assert!((sum[0] - wanted).abs() < 1e-6, "{around} {sum:?} {wanted}");
            }
            let before = sums.clone();
            layered.add_means(&[0.1, 0.4], &[3.0, 3.0], &mut sums);
            assert_eq!(sums, before);
        }
    }

    /// As many layers as there may be: single precision still tells their means.
    #[test]
    fn five_thousand_layers_come_out_as_their_mean() {
        let layers: Vec<_> = (0..5000).map(|i| (i % 2, 1.0)).collect();
        let set = LayerSet::stacked(&layers, 1).unwrap();
        for i in 0..900 {
            let from = 0.001 * f64::from(i);
            assert!((mean(&set, from, from + 0.02) - 0.5).abs() < 0.005, "{from}");
        }
    }
}
