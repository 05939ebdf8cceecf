//! Colours of layers in linear light, and their means over a way across them: however thin, layers come out as the eye mixes
//! them.

use crate::billet::bar::Bar;
use crate::billet::layers::LayerSet;
use crate::billet::recipe::Billet;
use crate::picture::frame::Colouring;
use crate::picture::palette::{bar_colour, etched_grey, linear, steel_colour, stored};

/// Colours in linear light of every layer of every bar.
pub(crate) struct Colours<'a> {
    pub(crate) bars: Vec<Layered<'a>>,
    /// The stored value for a linear one in steps.
    curve: Vec<u8>,
}

/// Steps of the table from linear to stored light: the steepest step of the curve is under half a stored value.
const CURVE: usize = 1 << 14;

impl Colours<'_> {
    /// The colours of every layer, in linear light, and the curve back to sRGB.
    pub(crate) fn new<'a>(billet: &'a Billet, colouring: Colouring<'_>) -> Colours<'a> {
        let srgb = |bar: usize, steel: usize| match colouring {
            Colouring::Steels => steel_colour(steel).srgb,
            Colouring::Bars => bar_colour(bar).srgb,
            Colouring::Etched(etched) => etched_grey(etched.brightness(bar, steel)),
        };
        let light = |srgb: [u8; 3]| srgb.map(|c| linear(f64::from(c) / 255.0) as f32);
        let of = |(i, bar): (usize, &'a Bar)| {
            let colours = bar.layers.layers().iter().map(|l| light(srgb(i, l.steel)));
            Layered::new(&bar.layers, colours.collect())
        };
        let curve = (0..=CURVE).map(|i| (stored(i as f64 / CURVE as f64) * 255.0).round() as u8).collect();
        Colours { bars: billet.bars().iter().enumerate().map(of).collect(), curve }
    }

    /// What is stored for a colour in linear light.
    pub(crate) fn stored(&self, linear: [f32; 3]) -> [u8; 3] {
        linear.map(|c| self.curve[((c * CURVE as f32 + 0.5) as usize).min(CURVE)])
    }
}

/// The layers of a bar with their colours.
pub(crate) struct Layered<'a> {
    layers: &'a LayerSet,
    colours: Vec<[f32; 3]>,
    /// Light of all layers before each one, each by its share of the thickness.
    before: Vec<[f32; 3]>,
}

impl Layered<'_> {
    fn new(layers: &LayerSet, colours: Vec<[f32; 3]>) -> Layered<'_> {
        let mut sum = [0.0_f64; 3];
        let mut before = Vec::with_capacity(colours.len());
        for (i, colour) in colours.iter().enumerate() {
            before.push(sum.map(|s| s as f32));
            let share = layers.layers()[i].end - layers.start(i);
            sum.iter_mut().zip(colour).for_each(|(s, c)| *s += share * f64::from(*c));
        }
        Layered { layers, colours, before }
    }

    /// The colour of a bar that has only one.
    pub(crate) fn single(&self) -> Option<[f32; 3]> {
        if let [single] = self.colours[..] { Some(single) } else { None }
    }

    /// The colour at a share of the thickness.
    #[inline]
    pub(crate) fn at(&self, share: f64) -> [f32; 3] {
        self.colours[self.layers.at(share)]
    }

    /// The mean colour from one share of the thickness to another, evenly passed.
    #[inline]
    pub(crate) fn mean(&self, from: f64, to: f64) -> [f32; 3] {
        let (first, last) = (self.layers.at(from), self.layers.at(to));
        if first == last { self.colours[first] } else { self.mixed((first, from), (last, to)) }
    }

    /// The mean colour between places in two layers.
    fn mixed(&self, from: (usize, f64), to: (usize, f64)) -> [f32; 3] {
        let (low, high) = if from.1 < to.1 { (from, to) } else { (to, from) };
        let (below, above) = (self.light(low), self.light(high));
        let over = 1.0 / (high.1.min(1.0) - low.1.max(0.0)) as f32;
        std::array::from_fn(|k| ((above[k] - below[k]) * over).clamp(0.0, 1.0))
    }

    /// Light up to a share of the thickness in this layer.
    fn light(&self, (layer, share): (usize, f64)) -> [f32; 3] {
        let part = (share.clamp(0.0, 1.0) - self.layers.start(layer)) as f32;
        let (before, colour) = (self.before[layer], self.colours[layer]);
        std::array::from_fn(|k| before[k] + colour[k] * part)
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn mean(set: &LayerSet, from: f64, to: f64) -> f32 {
        let colours = set.layers().iter().map(|l| [l.steel as f32; 3]).collect();
        Layered::new(set, colours).mean(from, to)[0]
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
