//! Transformation temperatures: Ac1, Ac3, Acm, Ms, carbon in solution, and the austenite left after quenching.

use crate::composition::Composition;

/// Carbon of the eutectoid, mass percent: up to it Ac3 is told, beyond it no ferrite is left.
pub const EUTECTOID: f64 = 0.77;
/// The eutectoid, °C.
const EUTECTOID_HEAT: f64 = 727.0;
/// Rise of Acm for a percent of carbon, K: the line of the iron–carbon diagram up to 1.5 % (ASM Handbook vol. 3, from
/// memory).
const ACM: f64 = 314.0;
/// Rise of Acm for a percent of chromium, K: from 796 °C by that line to the 850 of Lucefin's card for 100Cr6 of 1.475
/// %.
const ACM_CHROMIUM: f64 = 36.6;
/// Fall of the eutectoid's carbon for a percent of chromium, mass percent: chart of Bain and Paxton (from memory).
const EUTECTOID_CHROMIUM: f64 = 0.1;
/// Carbon up to which the formulas of Andrews were fitted, mass percent (1965, from memory).
pub const FITTED: f64 = 0.6;
/// Rate with which martensite forms below its start, 1/K: Koistinen and Marburger 1959, as a public code gives it.
const MARTENSITE: f64 = 0.011;
/// Rise of Ac3 for a percent of phosphorus, K: Andrews 1965, the long form (from memory).
const AC3_PHOSPHORUS: f64 = 700.0;
/// How far Andrews's Ms lies from measured ones, K (from memory).
const ANDREWS: f64 = 25.0;
/// Alloys in all up to which Andrews's and the other formulas speak for a steel, mass percent: low alloy steels.
const LOW_ALLOY: f64 = 5.0;

/// Whether the formulas speak for a steel of this composition: low alloy steels, up to 5 % in all, not nickel.
pub fn is_low_alloy(c: &Composition) -> bool {
    c.si + c.mn + c.cr + c.mo + c.ni + c.v + c.w + c.p <= LOW_ALLOY
}

/// Ac1, °C: Andrews 1965, Journal of the Iron and Steel Institute 203, 721, by Gorni's handbook.
pub fn ac1(c: &Composition) -> f64 {
    723.0 - 10.7 * c.mn - 16.9 * c.ni + 29.1 * c.si + 16.9 * c.cr + 6.38 * c.w
}

/// Ac3, °C, up to 0.77 % carbon: Andrews 1965, the short form by Gorni's handbook, and its long form's phosphorus.
pub fn ac3(c: &Composition) -> Option<f64> {
    let at = 910.0 - 203.0 * c.c.sqrt() - 15.2 * c.ni + 44.7 * c.si + 104.0 * c.v + 31.5 * c.mo + 13.1 * c.w;
    (c.c <= EUTECTOID).then_some(at + AC3_PHOSPHORUS * c.p)
}

/// Acm, °C, where the last carbide dissolves: 0.77 to 1.5 % carbon, `None` outside. The line of the iron–carbon
/// diagram, ±15 K, raised by chromium.
pub fn acm(c: &Composition) -> Option<f64> {
    let at = EUTECTOID_HEAT + ACM * (c.c - EUTECTOID) + ACM_CHROMIUM * c.cr;
    (EUTECTOID..=1.5).contains(&c.c).then_some(at)
}

/// Carbon in solution at `celsius`, mass percent: least and most. The austenite that forms first has the eutectoid's
/// carbon, which chromium lowers; the most is what Acm lets dissolve there. All of it up to the eutectoid.
pub fn dissolved(c: &Composition, celsius: f64) -> [f64; 2] {
    let first = EUTECTOID - EUTECTOID_CHROMIUM * c.cr;
    let most = EUTECTOID + (celsius - EUTECTOID_HEAT - ACM_CHROMIUM * c.cr) / ACM;
    let most = if c.c <= EUTECTOID { c.c } else { c.c.min(most.max(first)) };
    [most.min(first), most]
}

/// Ms, °C, fitted up to 0.6 % carbon: Andrews 1965, the linear form, by Ingber and Kunert's note.
pub fn ms(c: &Composition) -> f64 {
    539.0 - 423.0 * c.c - 30.4 * c.mn - 17.7 * c.ni - 12.1 * c.cr - 7.5 * c.mo
}

/// Ms, °C, of carbon in solution up to 1.9 %: van Bohemen 2012, Materials Science and Technology 28, 487, by Ingber and
/// Kunert's note.
pub fn ms_van_bohemen(c: &Composition) -> f64 {
    565.0
        - 600.0 * (1.0 - (-0.96 * c.c).exp())
        - 31.0 * c.mn
        - 13.0 * c.si
        - 10.0 * c.cr
        - 18.0 * c.ni
        - 12.0 * c.mo
}

/// Ms, °C, of carbon in solution up to 1.5 %: Ingber and Kunert 2022, Steel Research International 93, 2100576.
pub fn ms_ingber(c: &Composition) -> f64 {
    let curved = 75.0 * (1.0 - (-0.96 * c.c).exp());
    530.2 - 290.3 * c.c - curved - 35.5 * c.mn - 6.8 * c.si - 17.2 * c.ni - 20.8 * c.cr - 10.4 * c.mo
}

/// Ms, °C, least and greatest, after quenching from `celsius`, of the carbon in solution there: Andrews ±25 K up to 0.6
/// %, beyond it the span of van Bohemen and of Ingber and Kunert over the carbon in solution.
pub fn ms_band(c: &Composition, celsius: f64) -> [f64; 2] {
    let of = |carbon: f64| {
        let c = Composition { c: carbon, ..*c };
        if carbon <= FITTED {
            [ms(&c) - ANDREWS, ms(&c) + ANDREWS]
        } else {
            [ms_ingber(&c), ms_van_bohemen(&c)]
        }
    };
    let [least, most] = dissolved(c, celsius).map(of);
    let all = [least[0], least[1], most[0], most[1]];
    [all.into_iter().fold(f64::INFINITY, f64::min), all.into_iter().fold(f64::NEG_INFINITY, f64::max)]
}

/// Share, 0 to 1, of austenite left at `celsius` when martensite starts at `ms` (both °C): Koistinen and Marburger
/// 1959, for plain steels of 0.37 to 1.1 % carbon.
pub fn retained(ms: f64, celsius: f64) -> f64 {
    (-MARTENSITE * (ms - celsius)).exp().clamp(0.0, 1.0)
}

/// Carbon for which the hardness of martensite is known, mass percent: the domain of ASTM A255 (from memory).
pub const MARTENSITE_CARBON: [f64; 2] = [0.1, 0.69];

/// Hardness of martensite alone as quenched, HRC, of `carbon` in solution (mass percent, 0.1 to 0.69; `None` outside):
/// ASTM A255 (from memory).
pub fn quenched_hardness(carbon: f64) -> Option<f64> {
    let c = carbon;
    let powers = [35.395, 6.990, 312.33, -821.744, 1015.479, -538.346];
    (MARTENSITE_CARBON[0]..=MARTENSITE_CARBON[1])
        .contains(&c)
        .then(|| powers.iter().rev().fold(0.0, |sum, k| sum * c + k))
}

#[cfg(test)]
mod tests {
    use super::*;

    fn steel(c: f64, si: f64, mn: f64, mo: f64) -> Composition {
        Composition { c, si, mn, mo, ..Composition::default() }
    }

    /// 0.40 C, 0.75 Mn, 0.25 Si: Ac1 722.2, Ms 347.0 by the formulas of Andrews 1965 (from memory).
    #[test]
    fn temperatures_of_a_medium_carbon_steel() {
        let c = steel(0.4, 0.25, 0.75, 0.0);
        assert!((ac1(&c) - 722.25).abs() < 0.01 && (ms(&c) - 347.0).abs() < 0.01);
        // 910 − 203·√0.4 + 44.7·0.25.
        assert!((ac3(&c).unwrap() - 792.787).abs() < 0.01);
        assert!(ac3(&steel(0.95, 0.25, 0.4, 0.0)).is_none());
    }

    /// Koistinen and Marburger: a tenth is left 209 K below Ms, all of it at Ms.
    #[test]
    fn austenite_is_left_as_the_law_says() {
        assert!((retained(229.33, 20.0) - 0.1).abs() < 1e-3);
        assert!((retained(10.0, 20.0) - 1.0).abs() < 1e-12);
    }

    /// What dissolves is all up to the eutectoid, more the hotter beyond it, and never more than there is.
    #[test]
    fn carbon_dissolves_with_heat() {
        let whole = dissolved(&steel(0.6, 0.25, 0.75, 0.0), 800.0);
        assert!(whole.iter().all(|c| (c - 0.6).abs() < 1e-12));
        let hard = steel(1.2, 0.25, 0.3, 0.0);
        // 0.77 + (780 − 727)/314.
        let [least, most] = dissolved(&hard, 780.0);
        assert!((most - 0.938_79).abs() < 1e-4 && (least - 0.77).abs() < 1e-12, "{least} {most}");
        assert!((dissolved(&hard, 1000.0)[1] - 1.2).abs() < 1e-12);
        // On Acm itself all is dissolved.
        assert!((dissolved(&hard, acm(&hard).unwrap())[1] - 1.2).abs() < 1e-9);
        let known = |c: f64| acm(&steel(c, 0.0, 0.0, 0.0)).is_some();
        assert!(!known(0.5) && !known(0.769) && known(0.77) && known(1.5) && !known(1.51));
    }

    #[test]
    fn bands_of_ms_hold_both_formulas_and_what_dissolves() {
        let hard = steel(1.0, 0.25, 0.3, 0.0);
        let ([low, high], [_, hot]) = (ms_band(&hard, 770.0), ms_band(&hard, 850.0));
        assert!(low < high && ms_band(&hard, 850.0)[0] < low && (hot - high).abs() < 1e-9);
        let medium = steel(0.45, 0.25, 0.7, 0.0);
        let told = ms_band(&medium, 840.0);
        // Past what Andrews's line was fitted for, the other two speak.
        let past = steel(0.61, 0.25, 0.7, 0.0);
        let (a, b) = (ms_ingber(&past), ms_van_bohemen(&past));
        let [low, high] = ms_band(&past, 800.0);
        assert!((low - a.min(b)).abs() < 1e-9 && (high - a.max(b)).abs() < 1e-9);
        assert!((told[1] - told[0] - 50.0).abs() < 1e-9 && told[0] < ms_van_bohemen(&medium));
    }

    #[test]
    fn hardness_as_quenched_is_told_where_the_standard_speaks() {
        let told = [0.099, 0.1, 0.69, 0.7].map(|c| quenched_hardness(c).is_some());
        assert_eq!(told, [false, true, true, false]);
    }

    #[test]
    fn nickel_is_no_steel() {
        assert!(is_low_alloy(&steel(1.0, 0.25, 2.0, 0.5)));
        assert!(is_low_alloy(&steel(1.0, 0.0, 5.0, 0.0)) && !is_low_alloy(&steel(1.0, 0.0, 5.1, 0.0)));
        assert!(!is_low_alloy(&Composition { ni: 99.0, ..Composition::default() }));
    }
}
