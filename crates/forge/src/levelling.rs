//! Carbon between layers: how far it evens out in a bar's welds and while it is drawn out.

use design::Design;
use laminate::{Bar, Billet, Direction, Standing};
use serde::Serialize;
use steel::{CarbonProfile, SOURCES, diffusion};

use crate::stock::{BarStock, Stock};

/// More carbon than this share still parted counts as layers that stay of different hardness (common practice, no
/// source).
pub(crate) const PARTED: f64 = 0.5;

/// Steels that differ by less carbon than this are alike in it, mass percent: less than two charges of one steel
/// differ by.
const ALIKE: f64 = 0.02;

/// What evens carbon out: once for every billet welded, at its own layers' thickness, and once more as the bar drawn out
/// of it until the blade is forged (common practice, no source).
#[derive(Clone, Copy, Debug)]
struct Held {
    celsius: f64,
    seconds: f64,
}

impl Held {
    fn of(design: &Design) -> Held {
        Held { celsius: design.forging().weld_heat, seconds: 60.0 * design.forging().weld_minutes }
    }
}

/// The evening out of carbon in a bar, as it is when the blade is forged.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct Levelling {
    /// The bar.
    pub bar: String,
    /// Welding heat, °C.
    pub weld_c: f64,
    /// How long it is held there for each weld, min.
    pub weld_min: f64,
    /// Mean thickness of its layers in the last billet as welded, like neighbours counted once, mm.
    pub welded_layer_mm: f64,
    /// The same in the bar drawn out of it, mm.
    pub layer_mm: f64,
    /// Share left of the first difference between its hardest and its softest steel, least and greatest over the
    /// sources.
    pub left: [f64; 2],
    /// Its steels with the carbon that they have then.
    pub steels: Vec<Levelled>,
    /// Carbon through the bar by the least and the greatest diffusion.
    #[serde(skip)]
    profiles: [Profile; 2],
}

/// A steel after carbon has moved; each value least and greatest over the sources, mass percent.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct Levelled {
    /// The steel.
    pub steel: String,
    /// Its carbon as bought.
    pub bought_percent: f64,
    /// Mean carbon of its layers then.
    pub carbon_percent: [f64; 2],
    /// Carbon in the middle of its layers then, a mean of them all.
    pub centre_percent: [f64; 2],
}

/// A run of layers of one steel through a bar: the steel, and where it begins and ends as shares of the thickness.
type Run = (usize, [f64; 2]);

impl Levelling {
    /// Of every bar of several layers, from the back to the edge.
    pub fn all(design: &Design, stock: &Stock) -> Vec<Levelling> {
        let Some(billet) = design.billet() else { return Vec::new() };
        let bars = stock.bars.iter().enumerate();
        let layered = bars.filter(|(i, _)| runs(&billet.bars()[*i]).len() > 1);
        let held = Held::of(design);
        layered.map(|(i, made)| Levelling::of(i, made, billet, held)).collect()
    }

    /// Whether its steels had nearly the same carbon when they were bought, so that there is nothing to even out.
    pub fn is_alike(&self) -> bool {
        let bought = || self.steels.iter().map(|s| s.bought_percent);
        bought().fold(0.0, f64::max) - bought().fold(f64::INFINITY, f64::min) < ALIKE
    }

    /// Carbon then at a share of the bar's thickness across its layers, least and greatest, mass percent.
    pub(crate) fn at(&self, across: f64) -> [f64; 2] {
        let [slow, fast] = [&self.profiles[0], &self.profiles[1]].map(|p| p.at(across));
        [slow.min(fast), slow.max(fast)]
    }

    /// Of a bar as it is made, by the profiles of least and greatest diffusion.
    fn of(i: usize, made: &BarStock, billet: &Billet, held: Held) -> Levelling {
        let (bar, standing) = (&billet.bars()[i], billet.standing(i));
        let (runs, across) = (runs(bar), across(bar, made));
        let carbon = |steel: usize| billet.steels()[steel].composition.c;
        let layers: Vec<(f64, f64)> = runs.iter().map(|(steel, [_, end])| (*end, carbon(*steel))).collect();
        let mean: f64 = runs.iter().map(|(steel, [a, b])| carbon(*steel) * (b - a)).sum();
        let seconds = held.seconds * times(bar, made, across);
        let spread = diffusion(held.celsius, mean) * 1e6 * seconds / (across * across);
        let around = bar.slope.is_some();
        let profiles = [1.0 / SOURCES, SOURCES].map(|factor| Profile::of(&layers, spread * factor, around));
        let mut present: Vec<usize> = runs.iter().map(|r| r.0).collect();
        present.sort_unstable();
        present.dedup();
        let steels: Vec<Levelled> =
            present.into_iter().map(|steel| levelled(steel, (&runs, standing), &profiles, billet)).collect();
        let welded = made.blocks.last().map_or(across, |b| b.section_mm[0]);
        let count = runs.len() as f64;
        Levelling {
            bar: bar.name.clone(),
            weld_c: held.celsius,
            weld_min: held.seconds / 60.0,
            welded_layer_mm: welded / count,
            layer_mm: across / count,
            left: left(&steels),
            steels,
            profiles,
        }
    }
}

/// Carbon through a bar's layers.
#[derive(Clone, Debug, PartialEq)]
struct Profile {
    carbon: CarbonProfile,
    /// Where in it the layers begin, and what share of it they take.
    from: f64,
    share: f64,
}

impl Profile {
    /// Of layers with nothing beyond them, or of slices end to end, where the same layers follow on both sides: three
    /// rounds of them, of which the middle one is read.
    fn of(layers: &[(f64, f64)], spread: f64, around: bool) -> Profile {
        if !around {
            return Profile { carbon: CarbonProfile::of(layers, spread), from: 0.0, share: 1.0 };
        }
        let round = |k: usize| layers.iter().map(move |(end, carbon)| ((k as f64 + end) / 3.0, *carbon));
        let rounds: Vec<(f64, f64)> = (0..3).flat_map(round).collect();
        Profile { carbon: CarbonProfile::of(&rounds, spread / 9.0), from: 1.0 / 3.0, share: 1.0 / 3.0 }
    }

    fn at(&self, across: f64) -> f64 {
        self.carbon.at(self.from + self.share * across)
    }

    fn mean(&self, run: [f64; 2]) -> f64 {
        self.carbon.mean(run.map(|across| self.from + self.share * across))
    }
}

/// Runs of one steel: like layers that meet are one.
fn runs(bar: &Bar) -> Vec<Run> {
    let mut runs: Vec<Run> = Vec::new();
    for (i, layer) in bar.layers.layers().iter().enumerate() {
        match runs.last_mut() {
            Some(last) if last.0 == layer.steel => last.1[1] = layer.end,
            _ => runs.push((layer.steel, [bar.layers.start(i), layer.end])),
        }
    }
    runs
}

/// The bar's size across its layers as it is drawn out, mm: the side of its square where it is twisted, of layers at an
/// angle that of what it is sawn from.
fn across(bar: &Bar, made: &BarStock) -> f64 {
    let [high, wide] = made.made_section_mm;
    match (bar.direction, &made.sawn) {
        (_, Some(sawn)) => sawn.section_mm()[0],
        _ if bar.twist.is_twisted() => (high * wide).sqrt(),
        (Direction::Flat, None) => wide,
        (Direction::Upright | Direction::Leaning(_), None) => high,
    }
}

/// How many times the welds' time at the bar's own layers do what all its welds did to theirs, and as much again drawn
/// out: time counts by one over the square of a layer's thickness.
fn times(bar: &Bar, made: &BarStock, across: f64) -> f64 {
    let all = bar.layers.layers().len() as f64;
    let mut count = 1.0;
    let welds = made.blocks.iter().map(|block| {
        count *= block.pieces as f64;
        let layer = block.section_mm[0] / count;
        (across / all / layer).powi(2)
    });
    // Slices are welded end to end at a heat of their own.
    let scarfs = if bar.slope.is_some() { 1.0 } else { 0.0 };
    1.0 + scarfs + welds.sum::<f64>()
}

/// A steel's layers by the profiles of least and of greatest diffusion, each counted by its part of the bar's section.
fn levelled(
    steel: usize,
    (runs, standing): (&[Run], &Standing),
    profiles: &[Profile; 2],
    billet: &Billet,
) -> Levelled {
    let own: Vec<[f64; 2]> = runs.iter().filter(|r| r.0 == steel).map(|r| r.1).collect();
    let part = |[a, b]: [f64; 2]| standing.held(b) - standing.held(a);
    let share: f64 = own.iter().map(|&run| part(run)).sum();
    let over = |of: &dyn Fn(&Profile, [f64; 2]) -> f64, profile: &Profile| {
        own.iter().map(|&run| part(run) * of(profile, run)).sum::<f64>() / share
    };
    let both = |of: &dyn Fn(&Profile, [f64; 2]) -> f64| {
        let [slow, fast] = [over(of, &profiles[0]), over(of, &profiles[1])];
        [slow.min(fast), slow.max(fast)]
    };
    let found = &billet.steels()[steel];
    Levelled {
        steel: found.name.clone(),
        bought_percent: found.composition.c,
        carbon_percent: both(&|p, run| p.mean(run)),
        centre_percent: both(&|p, [a, b]| p.at(0.5 * (a + b))),
    }
}

/// Share left of the difference between the hardest and the softest steel as bought; nothing where they are alike.
fn left(steels: &[Levelled]) -> [f64; 2] {
    let by = |a: &&Levelled, b: &&Levelled| a.bought_percent.total_cmp(&b.bought_percent);
    let Some((soft, hard)) = steels.iter().min_by(by).zip(steels.iter().max_by(by)) else { return [0.0; 2] };
    let bought = hard.bought_percent - soft.bought_percent;
    if bought < 1e-3 {
        return [0.0; 2];
    }
    let between = |h: f64, s: f64| ((h - s) / bought).clamp(0.0, 1.0);
    let ([h0, h1], [s0, s1]) = (hard.carbon_percent, soft.carbon_percent);
    [between(h0, s1), between(h1, s0)]
}

#[cfg(test)]
mod tests {
    use super::*;

    fn all(text: &str) -> Vec<Levelling> {
        let design = design::read(text.as_bytes()).unwrap_or_else(|p| panic!("{p:#?}"));
        Levelling::all(&design, &Stock::of(&design).unwrap())
    }

    fn bar(count: usize, more: &str, bar: &str) -> Levelling {
        let text = format!(
            "name = 'Oar'\n[outline]\nlength = 250\nbreadth = 28\n[[taper]]\nat = 0\nback = 5\n[billet]\nwidth = 12\n\
             [[layers]]\nname = 'Core'\nsteels = ['mild steel', 'C105U']\ncount = {count}\n{more}\n\
             [[bar]]\nheight = 16\nlayers = 'Core'\n{bar}\n[[bar]]\nheight = 16\nsteel = 'C105U'\n\
             [forging]\nblock = 30\ndress = 0\n"
        );
        all(&text).remove(0)
    }

    /// Half the time at heat is half the spread; a cooler weld evens out less.
    #[test]
    fn the_shop_s_welds_decide() {
        let with = |forging: &str| bar(40, "", &format!("direction = 'flat'\n#{forging}")).left[1];
        let told = |forging: &str| {
            let text = "name = 'Oar'\n[outline]\nlength = 250\nbreadth = 28\n[[taper]]\nat = 0\nback = 5\n[billet]\n\
                        width = 12\n[[layers]]\nname = 'Core'\nsteels = ['mild steel', 'C105U']\ncount = 40\n[[bar]]\n\
                        height = 40\nlayers = 'Core'\n[forging]\n";
            all(&format!("{text}{forging}\n")).remove(0)
        };
        let usual = told("");
        assert!(
            told("weld_minutes = 2").left[0] > usual.left[0]
                && told("weld_heat = 1050").left[0] > usual.left[0]
        );
        assert!(told("weld_minutes = 60").left[1] < usual.left[1]);
        assert!((told("weld_heat = '2100 F'").weld_c - 1148.9).abs() < 0.05 && with("").is_finite());
    }

    #[test]
    fn carbon_is_kept_while_it_evens_out() {
        let path =
            std::path::Path::new(env!("CARGO_MANIFEST_DIR")).join("../../profiles/chain-smiths-trial.toml");
        let all = all(&std::fs::read_to_string(path).unwrap());
        assert_eq!(all.len(), 2);
        let plain = bar(2, "", "direction = 'flat'");
        // Half of each: the middles of the two bands are as far over and under the mean of what was bought.
        let mean = |of: &dyn Fn(&Levelled) -> f64| 0.5 * (of(&plain.steels[0]) + of(&plain.steels[1]));
        let now = mean(&|s| 0.5 * (s.carbon_percent[0] + s.carbon_percent[1]));
        assert!((now - mean(&|s| s.bought_percent)).abs() < 1e-9, "{plain:?}");
        assert!(plain.left[0] < plain.left[1] && plain.left[1] < 1.0);
    }

    /// Thickness follows the bar: flat layers share its width, layers on edge its height, a twisted bar its square's
    /// side.
    #[test]
    fn layers_are_as_thick_as_the_bar_makes_them() {
        let flat = bar(10, "", "direction = 'flat'");
        let upright = bar(10, "", "direction = 'upright'");
        let twisted = bar(10, "", "direction = 'upright'\ntwist = [{ hand = 'right', turns = 1, per = 30 }]");
        let near = |found: f64, wanted: f64| assert!((found - wanted).abs() < 1e-9, "{found} {wanted}");
        near(flat.layer_mm, 1.2);
        near(upright.layer_mm, 1.6);
        near(twisted.layer_mm, (16.0_f64 * 12.0).sqrt() / 10.0);
        near(flat.welded_layer_mm, 3.0);
    }

    /// Layers at an angle are as thick as what they are sawn from makes them: of a bar corner to corner its diagonal, of
    /// slices the bar's height by the cosine of their slope.
    #[test]
    fn slanted_layers_are_as_thick_as_what_they_are_sawn_from() {
        let leaning = bar(10, "", "direction = 30");
        let sloped = bar(10, "", "slope = 30");
        let near = |found: f64, wanted: f64| assert!((found / wanted - 1.0).abs() < 0.01, "{found} {wanted}");
        near(leaning.layer_mm, (16.0 * 0.5 + 12.0 * 0.75_f64.sqrt()) / 10.0);
        near(sloped.layer_mm, 16.0 * 0.75_f64.sqrt() / 10.0);
        // Slices are welded once more, and their outer layers give carbon to those of the next slice.
        let flat = bar(10, "", "direction = 'upright'");
        assert!(sloped.left[1] < flat.left[1], "{:?} {:?}", sloped.left, flat.left);
        let near_weld = |levelling: &Levelling| levelling.at(1e-9)[0] - levelling.at(0.1 - 1e-9)[0];
        assert!(near_weld(&sloped).abs() < 0.02 && near_weld(&flat) < -0.05);
    }

    /// Slices end to end: steps of place and time on a ring find the same carbon.
    #[test]
    fn carbon_goes_on_from_slice_to_slice() {
        const CELLS: usize = 300;
        let (layers, spread) = ([(0.3, 0.1), (0.7, 0.9), (1.0, 0.4)], 4e-3);
        let carbon = |i: usize| layers.iter().find(|l| (i as f64 + 0.5) / (CELLS as f64) < l.0).unwrap().1;
        let mut ring: Vec<f64> = (0..CELLS).map(carbon).collect();
        let steps = (spread * (CELLS * CELLS) as f64 / 0.2).ceil() as usize;
        let r = spread * (CELLS * CELLS) as f64 / steps as f64;
        for _ in 0..steps {
            let old = ring.clone();
            ring.iter_mut().enumerate().for_each(|(i, c)| {
                *c += r * (old[(i + 1) % CELLS] - 2.0 * old[i] + old[(i + CELLS - 1) % CELLS]);
            });
        }
        let profile = Profile::of(&layers, spread, true);
        for (i, c) in ring.into_iter().enumerate() {
            let told = profile.at((i as f64 + 0.5) / CELLS as f64);
            assert!((told - c).abs() < 5e-3, "{i}: {told} {c}");
        }
    }

    /// More and thinner layers even out further; the middle of a layer keeps more than its mean.
    #[test]
    fn thin_layers_even_out_and_middles_lag() {
        let (few, many) = (bar(4, "", "direction = 'flat'"), bar(100, "", "direction = 'flat'"));
        assert!(many.left[1] < 0.05 && few.left[0] > 0.5, "{:?} {:?}", many.left, few.left);
        let hard = few.steels.iter().find(|s| s.steel == "C105U").unwrap();
        assert!(
            hard.centre_percent[0] > hard.carbon_percent[0] && hard.carbon_percent[1] < hard.bought_percent
        );
    }

    /// Like neighbours are one: three layers stacked over and over meet their own kind at every seam.
    #[test]
    fn restacked_like_layers_count_once() {
        let text = |steels: &str, count: usize| {
            format!(
                "name = 'Oar'\n[outline]\nlength = 250\nbreadth = 28\n[[taper]]\nat = 0\nback = 5\n[billet]\nwidth = 12\n\
                 [[layers]]\nname = 'Core'\nsteels = {steels}\ncount = {count}\nrestack = [2]\n\
                 [[bar]]\nheight = 32\nlayers = 'Core'\ndirection = 'flat'\n[forging]\nblock = 30\ndress = 0\n"
            )
        };
        let met = all(&text("['mild steel', 'C105U']", 3)).remove(0);
        // Soft, hard, soft and soft, hard, soft: five runs.
        assert!((met.layer_mm - 12.0 / 5.0).abs() < 1e-9, "{}", met.layer_mm);
    }
}
