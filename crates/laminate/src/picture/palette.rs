//! The one palette: colours of bars and steels on screen, on paper and in files.
//!
//! Ten colours that stay apart for eyes without red, green or blue cones, and in grey between dark and bright
//! neighbours. Bars and steels take them in the order in which they are listed.

/// A colour with its name: sRGB, red, green and blue in 0 … 255.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Colour {
    /// What it is called.
    pub name: &'static str,
    /// Red, green and blue.
    pub srgb: [u8; 3],
}

impl Colour {
    /// Red, green and blue in 0 … 1, sRGB.
    pub fn unit(&self) -> [f64; 3] {
        self.srgb.map(|c| f64::from(c) / 255.0)
    }

    /// Red, green and blue in linear light, 0 … 1: the sRGB curve (IEC 61966-2-1).
    pub fn linear(&self) -> [f64; 3] {
        self.unit().map(linear)
    }
}

/// The sRGB curve (IEC 61966-2-1): from 0 … 1 as stored to 0 … 1 in linear light.
pub fn linear(c: f64) -> f64 {
    if c <= 0.04045 { c / 12.92 } else { ((c + 0.055) / 1.055).powf(2.4) }
}

/// The way back, from 0 … 1 in linear light to 0 … 1 as stored.
pub(crate) fn stored(c: f64) -> f64 {
    if c <= 0.003_130_8 { 12.92 * c } else { 1.055 * c.powf(1.0 / 2.4) - 0.055 }
}

const fn colour(name: &'static str, srgb: [u8; 3]) -> Colour {
    Colour { name, srgb }
}

const SOOT: Colour = colour("soot", [0x21, 0x21, 0x26]);
const LINEN: Colour = colour("linen", [0xed, 0xe8, 0xd9]);
const OXBLOOD: Colour = colour("oxblood", [0x8d, 0x5b, 0x58]);
const ICE: Colour = colour("ice", [0x9f, 0xc2, 0xf2]);
const PEAT: Colour = colour("peat", [0x5d, 0x3c, 0x0d]);
const BARLEY: Colour = colour("barley", [0xf2, 0xb6, 0x60]);
const WOAD: Colour = colour("woad", [0x23, 0x41, 0x81]);
const COPPER: Colour = colour("copper", [0xd4, 0x7b, 0x3f]);
const KINGFISHER: Colour = colour("kingfisher", [0x3a, 0x6b, 0xb5]);
const SLATE: Colour = colour("slate", [0x89, 0x92, 0xa8]);

/// For bars, from the back to the edge: neighbours differ in brightness too.
const BARS: [Colour; 9] = [WOAD, BARLEY, OXBLOOD, ICE, PEAT, COPPER, KINGFISHER, LINEN, SLATE];
/// For steels: the first two are the darkest and the brightest, as an etch shows two steels.
const STEELS: [Colour; 10] = [SOOT, LINEN, COPPER, WOAD, ICE, PEAT, BARLEY, OXBLOOD, KINGFISHER, SLATE];

/// A run from dark to bright, sRGB: brightness rises evenly all the way, so that it reads in grey and for every eye. The
/// window's thickness has the same.
const RUN: [[u8; 3]; 5] =
    [[0x1d, 0x2c, 0x4f], [0x2a, 0x5f, 0x7d], [0x3f, 0x91, 0x7b], [0x9f, 0xbb, 0x5c], [0xf6, 0xdd, 0x8c]];

/// The colour at a share of the run from dark (0) to bright (1), sRGB.
pub fn run_colour(share: f64) -> [u8; 3] {
    let place = share.clamp(0.0, 1.0) * (RUN.len() - 1) as f64;
    let i = (place as usize).min(RUN.len() - 2);
    let t = place - i as f64;
    std::array::from_fn(|k| (f64::from(RUN[i][k]) * (1.0 - t) + f64::from(RUN[i + 1][k]) * t).round() as u8)
}

/// Lightness L* (CIE 1976) of the darkest and the brightest grey of an etched blade: short of ink's black and the paper's
/// white, so that the blade stands out from both.
const GREYS: [f64; 2] = [12.0, 95.0];

/// The grey of steel that is so bright, 0 dark to 1 bright, sRGB: equal steps of brightness look equal.
pub fn etched_grey(brightness: f64) -> [u8; 3] {
    let lightness = GREYS[0] + brightness.clamp(0.0, 1.0) * (GREYS[1] - GREYS[0]);
    // CIE 1976: L* = 116 Y^(1/3) − 16, for L* over 8.
    let light = ((lightness + 16.0) / 116.0).powi(3);
    [(stored(light) * 255.0).round() as u8; 3]
}

/// The colour of bar `i`, counted from the back.
pub fn bar_colour(i: usize) -> Colour {
    BARS[i % BARS.len()]
}

/// The colour of plugs where bars have theirs: the one that no bar has.
pub fn plug_colour() -> Colour {
    SOOT
}

/// The colour of steel `i` of a billet. Beyond ten they begin again.
pub fn steel_colour(i: usize) -> Colour {
    STEELS[i % STEELS.len()]
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Oklab coordinates of linear light (Ottosson 2020, from memory).
    fn oklab([r, g, b]: [f64; 3]) -> [f64; 3] {
        let l = (0.412_221_47 * r + 0.536_332_54 * g + 0.051_445_99 * b).cbrt();
        let m = (0.211_903_5 * r + 0.680_699_55 * g + 0.107_396_96 * b).cbrt();
        let s = (0.088_302_46 * r + 0.281_718_84 * g + 0.629_978_7 * b).cbrt();
        [
            0.210_454_26 * l + 0.793_617_79 * m - 0.004_072_05 * s,
            1.977_998_5 * l - 2.428_592_21 * m + 0.450_593_71 * s,
            0.025_904_04 * l + 0.782_771_77 * m - 0.808_675_77 * s,
        ]
    }

    /// What is seen without one kind of cones: all, no red, no green, no blue. Machado, Oliveira and Fernandes 2009,
    /// severity 1 (from memory).
    const EYES: [[[f64; 3]; 3]; 4] = [
        [[1.0, 0.0, 0.0], [0.0, 1.0, 0.0], [0.0, 0.0, 1.0]],
        [
            [0.152_286, 1.052_583, -0.204_868],
            [0.114_503, 0.786_281, 0.099_216],
            [-0.003_882, -0.048_116, 1.051_998],
        ],
        [
            [0.367_322, 0.860_646, -0.227_968],
            [0.280_085, 0.672_501, 0.047_413],
            [-0.011_820, 0.042_940, 0.968_881],
        ],
        [
            [1.255_528, -0.076_749, -0.178_779],
            [-0.078_411, 0.930_809, 0.147_602],
            [0.004_733, 0.691_367, 0.303_900],
        ],
    ];

    #[test]
    fn all_colours_stay_apart_for_every_eye() {
        for (i, a) in STEELS.iter().enumerate() {
            for b in &STEELS[i + 1..] {
                for eye in EYES {
                    let seen = |c: &Colour| {
                        let light = c.linear();
                        oklab(eye.map(|row| {
                            row.iter().zip(light).map(|(m, l)| m * l).sum::<f64>().clamp(0.0, 1.0)
                        }))
                    };
                    let apart =
                        seen(a).iter().zip(seen(b)).map(|(p, q)| (p - q) * (p - q)).sum::<f64>().sqrt();
                    // A just visible difference in Oklab is about 0.02.
                    assert!(apart > 0.13, "{} and {}: {apart}", a.name, b.name);
                }
            }
        }
    }

    #[test]
    fn the_run_rises_for_every_eye() {
        let light = |share: f64, eye: [[f64; 3]; 3]| {
            let seen = run_colour(share).map(|c| linear(f64::from(c) / 255.0));
            oklab(eye.map(|row| row.iter().zip(seen).map(|(m, l)| m * l).sum::<f64>().clamp(0.0, 1.0)))[0]
        };
        for eye in EYES {
            let all: Vec<f64> = (0..=6).map(|i| light(f64::from(i) / 6.0, eye)).collect();
            assert!(all.windows(2).all(|w| w[1] - w[0] > 0.06), "{all:?}");
        }
    }

    /// Greys of neighbours in the order in which steels etch, from dark to bright (from memory, see `steel`), differ by
    /// several times what the eye tells apart on paper side by side (a lightness L* of 1 to 2, common practice, no source).
    #[test]
    fn etched_greys_stay_apart_in_print() {
        let order = [
            "90MnCrV8",
            "1095",
            "C75S",
            "80CrV2",
            "52100",
            "75Ni8",
            "mild steel",
            "phosphoric iron",
            "Nickel 201",
        ];
        let lightness = |name: &str| {
            let steel = steel::nominal(name).unwrap();
            let [grey, ..] = etched_grey(steel::etched_brightness(&steel, steel.composition.c));
            116.0 * linear(f64::from(grey) / 255.0).cbrt() - 16.0
        };
        let all: Vec<f64> = order.into_iter().map(lightness).collect();
        assert!(all.windows(2).all(|w| w[1] - w[0] > 5.5), "{all:?}");
        // Clear of the paper, and nickel clear of what hardens plain.
        assert!(all[8] < 96.0 && all[0] > 11.0 && all[5] - all[4] > 15.0, "{all:?}");
    }

    #[test]
    fn bars_use_the_same_colours_each_once() {
        for (i, a) in BARS.iter().enumerate() {
            assert!(STEELS.contains(a) && !BARS[i + 1..].contains(a));
        }
    }

    #[test]
    fn the_curve_and_its_inverse_agree() {
        for c in [0.0, 0.02, 0.04045, 0.2, 0.5, 1.0] {
            assert!((stored(linear(c)) - c).abs() < 1e-7);
        }
        assert!((linear(0.5) - 0.214_041).abs() < 1e-6);
    }

    #[test]
    fn the_run_gets_brighter_all_the_way() {
        // Relative luminance, ITU-R BT.709 (from memory).
        let bright = |s: f64| {
            let [r, g, b] = run_colour(s).map(|c| (f64::from(c) / 255.0).powf(2.2));
            0.2126 * r + 0.7152 * g + 0.0722 * b
        };
        assert!((0..100).all(|i| bright(0.01 * f64::from(i)) < bright(0.01 * f64::from(i + 1))));
    }
}
