//! How bright a steel comes out of the etch, beside others: an order, for no source measures it.

use crate::composition::{Composition, Steel};

/// Most nickel that counts, percent: nickel itself is as bright as anything gets.
const MOST_NICKEL: f64 = 5.0;
/// Chromium up to this takes no part, percent: every plain steel may hold as much.
const PLAIN_CHROMIUM: f64 = 0.4;
/// Under this much carbon ferrite begins to show white, percent: as it is at half of a eutectoid steel's pearlite (ASM
/// Handbook vol. 9: nital leaves ferrite light, from memory).
const FERRITE: f64 = 0.4;

/// Darkness as [`darkness`] counts it, and the brightness told for it: the ranks of the order, the dark ones closer than
/// the bright ones, with the widest gap between what hardens plain and what carries nickel.
const BRIGHTNESS: [(f64, f64); 9] = [
    (-5.0, 1.0),
    (-2.5, 0.9),
    (-2.2, 0.83),
    (-0.94, 0.78),
    (-0.65, 0.7),
    (0.55, 0.39),
    (0.8, 0.3),
    (1.08, 0.1),
    (1.3, 0.0),
];

/// How much darker a steel of this composition etches than others, without a unit; hardened, tempered low, in ferric
/// chloride or nital.
///
/// The factors are ours: by them the common blade steels fall into the order that smiths give, from dark to bright
/// 90MnCrV8, O1; 1095; 1075 … 1084; 80CrV2, 5160; 52100; L6, 75Ni8; mild steel, wrought iron; phosphoric iron; nickel
/// (from memory, no paper measures it). Carbon and manganese darken, phosphorus, nickel and much chromium brighten
/// (phosphorus and nickel: Stewart, Charles and Wallach 2000), and so does ferrite where there is little carbon.
fn darkness(of: &Composition) -> f64 {
    let ferrite = (1.0 - of.c / FERRITE).max(0.0);
    let chromium = (of.cr - PLAIN_CHROMIUM).max(0.0);
    of.c + 0.2 * of.mn - 0.5 * chromium - 0.75 * of.ni.min(MOST_NICKEL) - 2.0 * of.p - 2.0 * ferrite
}

/// How bright a steel comes out of the etch with this much carbon (percent), 0 the darkest to 1 the brightest: an order, no
/// measure. What the smith has seen of the steel goes before its composition.
pub fn etched_brightness(steel: &Steel, carbon: f64) -> f64 {
    steel.etched.unwrap_or_else(|| brightness(darkness(&Composition { c: carbon, ..steel.composition })))
}

/// Between the ranks it runs straight.
fn brightness(darkness: f64) -> f64 {
    let [first, .., last] = BRIGHTNESS;
    let found = BRIGHTNESS.windows(2).find(|pair| darkness < pair[1].0);
    match found {
        _ if darkness <= first.0 => first.1,
        Some(pair) => {
            let share = (darkness - pair[0].0) / (pair[1].0 - pair[0].0);
            pair[0].1 + share * (pair[1].1 - pair[0].1)
        }
        None => last.1,
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::nominal::nominal;

    /// The order from dark to bright (from memory, see [`darkness`]); steels of one rank may change places.
    const ORDER: [&[&str]; 9] = [
        &["90MnCrV8", "O2", "O1"],
        &["1095", "C105U", "W1"],
        &["1084", "1080", "1075", "C75S", "1070"],
        &["80CrV2", "5160"],
        &["52100"],
        &["L6", "75Ni8"],
        &["mild steel", "1018", "wrought iron"],
        &["phosphoric iron"],
        &["Nickel 201"],
    ];

    fn bought(name: &str) -> f64 {
        let steel = nominal(name).unwrap();
        etched_brightness(&steel, steel.composition.c)
    }

    #[test]
    fn steels_fall_into_the_order_that_smiths_give() {
        let all = |rank: &[&str]| rank.iter().map(|name| bought(name)).collect::<Vec<f64>>();
        for pair in ORDER.windows(2) {
            let darker = all(pair[0]).into_iter().fold(0.0, f64::max);
            let brighter = all(pair[1]).into_iter().fold(1.0, f64::min);
            assert!(darker < brighter, "{:?} {darker}, {:?} {brighter}", pair[0], pair[1]);
        }
        // Two ranks apart will show.
        for pair in ORDER.windows(3) {
            let apart = bought(pair[2][0]) - bought(pair[0][0]);
            assert!(apart > 0.14, "{:?} {apart}", pair[1]);
        }
    }

    /// The greys with which the pictures were looked at: ours, in the order from memory, no source measures them. By hand for
    /// 1084: darkness 0.865 + 0.2 · 0.75 = 1.015, between 0.8 (0.3) and 1.08 (0.1), so 0.1464.
    #[test]
    fn greys_are_those_of_the_pictures() {
        for (name, grey) in [
            ("90MnCrV8", 0.0),
            ("O1", 0.0841),
            ("C105U", 0.0909),
            ("1095", 0.125),
            ("1084", 0.1464),
            ("1075", 0.2571),
            ("80CrV2", 0.2964),
            ("5160", 0.381),
            ("52100", 0.3971),
            ("L6", 0.6987),
            ("75Ni8", 0.7041),
            ("mild steel", 0.78),
            ("wrought iron", 0.8333),
            ("phosphoric iron", 0.8953),
            ("Nickel 201", 1.0),
        ] {
            assert!((bought(name) - grey).abs() < 1e-4, "{name}: {}", bought(name));
        }
        // 0.8 − 0.75 · 5: nickel counts up to 5 %. 0.3 + 0.16 − 2 (1 − 0.3/0.4): ferrite begins to show.
        let rich = Composition { c: 0.8, ni: 6.0, ..Composition::default() };
        let soft = Composition { c: 0.3, mn: 0.8, ..Composition::default() };
        assert!((brightness(darkness(&rich)) - 0.918).abs() < 1e-4, "{}", brightness(darkness(&rich)));
        assert!((brightness(darkness(&soft)) - 0.5424).abs() < 1e-4, "{}", brightness(darkness(&soft)));
    }

    /// Iron with its neighbour's carbon is iron no more: only phosphorus or nickel keep it bright.
    #[test]
    fn carbon_that_has_evened_out_takes_the_contrast_but_nickel_keeps_it() {
        let with = |name: &str, c: f64| etched_brightness(&nominal(name).unwrap(), c);
        let apart = |a: &str, b: &str, c: f64| with(a, c) - with(b, c);
        assert!(bought("mild steel") - bought("1095") > 0.5);
        assert!(apart("mild steel", "1095", 0.55).abs() < 0.05);
        assert!(apart("phosphoric iron", "1095", 0.5) > 0.1);
        assert!(apart("75Ni8", "C75S", 0.75) > 0.35);
    }

    #[test]
    fn what_the_smith_has_seen_goes_first() {
        let seen = Steel { etched: Some(0.25), ..nominal("1095").unwrap() };
        assert!((etched_brightness(&seen, 0.1) - 0.25).abs() < 1e-12);
    }

    #[test]
    fn brightness_falls_all_the_way_and_stays_within_its_ends() {
        let all: Vec<f64> = (-700..=200).map(|k| brightness(0.01 * f64::from(k))).collect();
        assert!(all.windows(2).all(|w| w[1] <= w[0]) && all.iter().all(|b| (0.0..=1.0).contains(b)));
        assert!((all[0] - 1.0).abs() < 1e-12 && all[all.len() - 1].abs() < 1e-12);
    }
}
