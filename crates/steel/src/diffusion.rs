//! Diffusion of carbon in austenite: between layers, and out of a skin.

use std::f64::consts::PI;

use crate::ZERO_CELSIUS;
use crate::enthalpy::root;

/// Mass of an atom of iron over that of carbon: standard atomic weights 55.845 and 12.011.
const IRON_OVER_CARBON: f64 = 55.845 / 12.011;
/// Other sources for the diffusion of carbon (Callister's table; 1.5e-5 m²/s with 135 kJ/mol of SteelMatter) lie within
/// this factor of Ågren's at 0.4 % carbon, 900 to 1200 °C, either way.
pub const SOURCES: f64 = 1.6;
/// Terms of the series after which layers are told as they were stacked: their steps are then finer than a layer of the
/// most that a bar may have.
const MOST_TERMS: usize = 20_000;
/// Terms weaker than this add nothing that carbon is told to.
const LEAST_TERM: f64 = 1e-9;

/// Diffusion coefficient of carbon in austenite of `carbon` (mass percent, 0 to 2) at `celsius` (727 to 1500 °C), m²/s:
/// Ågren 1986, Scripta Metallurgica 20, 1507, as a public diffusion code gives it, in atoms of carbon for each of iron.
pub fn diffusion(celsius: f64, carbon: f64) -> f64 {
    let t = celsius + ZERO_CELSIUS;
    let y = IRON_OVER_CARBON * carbon / (100.0 - carbon);
    4.53e-7 * (1.0 + y * (1.0 - y) * 8339.9 / t) * (-(1.0 / t - 2.221e-4) * (17_767.0 - 26_436.0 * y)).exp()
}

/// A layer through a bar: where it ends, as a share of the thickness, and its carbon, mass percent.
pub type CarbonLayer = (f64, f64);

/// Carbon through a bar of layers whose outer faces lose none, after a time: the series of cosines of any stack of
/// layers (Crank, The Mathematics of Diffusion, 1975, from memory). `layers` in order, the last ending at 1.
#[derive(Clone, Debug, PartialEq)]
pub struct CarbonProfile {
    mean: f64,
    terms: Vec<f64>,
}

impl CarbonProfile {
    /// After so much `spread`, Dt/L² with L the bar's thickness across its layers; 0 or more.
    pub fn of(layers: &[CarbonLayer], spread: f64) -> CarbonProfile {
        let starts = || std::iter::once(0.0).chain(layers.iter().map(|l| l.0));
        let runs: Vec<([f64; 2], f64)> =
            starts().zip(layers).map(|(from, &(to, c))| ([from, to], c)).collect();
        let wanted = (-LEAST_TERM.ln() / (PI * PI * spread)).sqrt().ceil();
        let count = if wanted < MOST_TERMS as f64 { wanted as usize } else { MOST_TERMS };
        let term = |n: usize| {
            let k = n as f64 * PI;
            let sum: f64 = runs.iter().map(|([a, b], c)| c * ((k * b).sin() - (k * a).sin())).sum();
            2.0 / k * sum * (-k * k * spread).exp()
        };
        CarbonProfile {
            mean: runs.iter().map(|([a, b], c)| c * (b - a)).sum(),
            terms: (1..=count).map(term).collect(),
        }
    }

    /// Carbon at share `at` of the thickness, mass percent.
    pub fn at(&self, at: f64) -> f64 {
        let terms = self.terms.iter().zip(1_u32..);
        self.mean + terms.map(|(a, n)| a * (f64::from(n) * PI * at).cos()).sum::<f64>()
    }

    /// Mean carbon between two shares of the thickness, mass percent.
    pub fn mean(&self, [from, to]: [f64; 2]) -> f64 {
        let part = |a: f64, n: f64| a * ((n * PI * to).sin() - (n * PI * from).sin()) / (n * PI);
        let sum: f64 = self.terms.iter().zip(1_u32..).map(|(a, n)| part(*a, f64::from(n))).sum();
        self.mean + sum / (to - from)
    }
}

/// The error function, for 0 and more: its series by Abramowitz and Stegun 7.1.6 (from memory); 1 from 6 on, where it
/// is less than a rounding away.
pub fn erf(z: f64) -> f64 {
    if z >= 6.0 {
        return 1.0;
    }
    let (mut term, mut sum, mut n) = (z, z, 0.0);
    while term > 1e-17 * sum {
        n += 1.0;
        term *= 2.0 * z * z / (2.0 * n + 1.0);
        sum += term;
    }
    2.0 / PI.sqrt() * (-z * z).exp() * sum
}

/// The complementary error function, for any number.
fn erfc(z: f64) -> f64 {
    if z < 0.0 { 1.0 + erf(-z) } else { 1.0 - erf(z) }
}

/// Share of the carbon left at depth `z` under a surface without carbon that recedes at `v` into steel of diffusion `d`
/// for `t`, any one unit: C/C₀ = 1 − ½[erfc((z + vt)/2√Dt) + exp(−vz/D) erfc((z − vt)/2√Dt)], Ogata and Banks 1961
/// (from memory) with the flow towards the surface; erf(z/2√Dt) where it stays.
fn skin_left(z: f64, v: f64, d: f64, t: f64) -> f64 {
    let reach = 2.0 * (d * t).sqrt();
    1.0 - 0.5 * (erfc((z + v * t) / reach) + (-v * z / d).exp() * erfc((z - v * t) / reach))
}

/// Depth (mm) under the surface as it then is at which steel still has `share` (over 0, under 1) of its carbon, after
/// `seconds` at `celsius` with no carbon at the surface, of which `scale` (mm, 0 or more) has evenly become scale; with
/// D at 0.4 % carbon.
pub fn decarburised(share: f64, celsius: f64, seconds: f64, scale: f64) -> f64 {
    let d = 1e6 * diffusion(celsius, 0.4);
    let deepest = 12.0 * (d * seconds).sqrt();
    root(0.0, deepest, |z| skin_left(z, scale / seconds, d, seconds) - share)
}

/// Metal (mm a face) lost as scale in `seconds` at `celsius` (700 to 1250) in air: the parabolic law of Païdassi by
/// Chen and Yuen 2003 (from memory, a factor of two either way), scale 1.7 times as thick as its iron. A fire with
/// little free air takes less.
pub fn scaled(celsius: f64, seconds: f64) -> f64 {
    let k = 6.1 * (-169_452.0 / (8.314_462_618 * (celsius + ZERO_CELSIUS))).exp();
    10.0 * (k * seconds).sqrt() / 1.7
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Alternating layers of like thickness, mass percent.
    fn stack(count: usize, carbon: [f64; 2]) -> Vec<CarbonLayer> {
        (0..count).map(|i| ((i + 1) as f64 / count as f64, carbon[i % 2])).collect()
    }

    /// Steps of place and time on the same stack, with no flow through its ends.
    fn stepped(layers: &[CarbonLayer], cells: usize, spread: f64) -> Vec<f64> {
        let place = |i: usize| (i as f64 + 0.5) / cells as f64;
        let carbon = |i: usize| layers.iter().find(|l| place(i) < l.0).unwrap().1;
        let mut c: Vec<f64> = (0..cells).map(carbon).collect();
        let steps = (spread * (cells * cells) as f64 / 0.25).ceil() as usize;
        let r = spread * (cells * cells) as f64 / steps as f64;
        for _ in 0..steps {
            let old = c.clone();
            let at = |i: usize, d: isize| old[i.saturating_add_signed(d).min(cells - 1)];
            c.iter_mut().enumerate().for_each(|(i, c)| *c += r * (at(i, 1) - 2.0 * old[i] + at(i, -1)));
        }
        c
    }

    /// Finite differences agree with the series within 1 % of the carbon, in layers alike and unlike.
    #[test]
    fn steps_in_place_and_time_find_the_same_carbon() {
        let unlike = vec![(0.3, 0.1), (0.5, 0.9), (0.8, 0.2), (1.0, 0.8)];
        for layers in [stack(4, [0.1, 1.0]), unlike] {
            for spread in [2e-3, 1e-2, 4e-2] {
                let (profile, cells) = (CarbonProfile::of(&layers, spread), 200);
                for (i, c) in stepped(&layers, cells, spread).into_iter().enumerate() {
                    let told = profile.at((i as f64 + 0.5) / cells as f64);
                    assert!((told / c - 1.0).abs() < 0.01, "{spread} {i}: {told} {c}");
                }
            }
        }
    }

    #[test]
    fn carbon_is_kept_and_layers_are_first_as_stacked() {
        let layers = stack(6, [0.1, 0.9]);
        let all = |p: &CarbonProfile| p.mean([0.0, 1.0]);
        for spread in [0.0, 1e-6, 1e-3, 1.0] {
            assert!((all(&CarbonProfile::of(&layers, spread)) - 0.5).abs() < 1e-9, "{spread}");
        }
        let first = CarbonProfile::of(&layers, 0.0);
        assert!((first.mean([0.0, 1.0 / 6.0]) - 0.1).abs() < 1e-3);
        let late = CarbonProfile::of(&layers, 1.0);
        assert!((late.at(0.08) - 0.5).abs() < 1e-4);
    }

    /// Crank: Σ 8/(n²π²) exp(−n²π²Dt/l²) over odd n is left of the first difference between means of alternating
    /// layers.
    #[test]
    fn alternating_layers_follow_the_square_waves_series() {
        let (count, spread) = (20_usize, 1e-4);
        let profile = CarbonProfile::of(&stack(count, [0.0, 1.0]), spread);
        let one = PI * PI * spread * (count * count) as f64;
        let odd = (0..200).map(|k| f64::from(2 * k + 1).powi(2));
        let left: f64 = 8.0 / (PI * PI) * odd.map(|n2| (-n2 * one).exp() / n2).sum::<f64>();
        let between = |i: f64| profile.mean([i / 20.0, (i + 1.0) / 20.0]);
        assert!((between(11.0) - between(10.0) - left).abs() < 1e-6, "{left}");
    }

    /// Carbon under a surface that has none and recedes by a cell each `every` steps, in steps of place and time: from
    /// the surface down, in cells.
    fn stepped_skin(cells: usize, steps: usize, every: usize, r: f64) -> Vec<f64> {
        let mut c = vec![1.0; cells];
        for step in 1..=steps {
            let old = c.clone();
            for i in 0..c.len() - 1 {
                let left = if i == 0 { -old[0] } else { old[i - 1] };
                c[i] += r * (left - 2.0 * old[i] + old[i + 1]);
            }
            if step % every == 0 {
                c.remove(0);
                c.push(1.0);
            }
        }
        c
    }

    /// Finite differences agree with the closed form within 1 % of the carbon, for a surface that stays and one that
    /// recedes.
    #[test]
    fn a_skin_loses_carbon_as_steps_find() {
        let (r, steps) = (0.25, 8000_usize);
        for every in [usize::MAX, 400, 200] {
            // Between two jumps of the surface it lies where on average it is.
            let (v, half) = if every == usize::MAX { (0.0, 0) } else { (1.0 / every as f64, every / 2) };
            let (d, t) = (r, (steps + half) as f64);
            for (i, c) in stepped_skin(500, steps + half, every, r).into_iter().enumerate().take(300) {
                let told = skin_left(i as f64 + 0.5, v, d, t);
                assert!((told - c).abs() < 0.01, "{every} {i}: {told} {c}");
            }
        }
    }

    /// Abramowitz and Stegun, table 7.1 (from memory): erf 0.5 = 0.5204999, erf 1 = 0.8427008, erf 2 = 0.9953223.
    #[test]
    fn the_error_function_is_the_tables() {
        for (z, wanted) in
            [(0.0, 0.0), (0.5, 0.520_499_9), (1.0, 0.842_700_8), (2.0, 0.995_322_3), (9.0, 1.0)]
        {
            assert!((erf(z) - wanted).abs() < 1e-7, "{z}: {}", erf(z));
        }
    }
}
