//! Where steel of a hardness yields, and how far it may be set cold before it is likely to crack.

use crate::conversion::{between, rockwell, tensile};

/// Young's modulus of carbon steel at room temperature, MPa: between 210 GPa (Lucefin, card 100Cr6) and 190 GPa
/// (Uddeholm Arne at 62 HRC).
pub const YOUNG: f64 = 205_000.0;
/// Hardness (HV) from which steel counts as hardened: 40 HRC, where ASTM A370's table of this package begins and where
/// a new file begins to skate (common practice, no source).
pub const HARDENED: f64 = 392.0;
/// Yield and tensile strength of steels, MPa, as factor of HV and constant: Pavlina and Van Tyne, J. Mater. Eng.
/// Perform. 17 (2008) 888, over 150 steels that are not austenitic, of 300 to 1700 MPa yield and 450 to 2350 MPa
/// tensile strength (abstract seen, coefficients from memory).
const YIELD: [f64; 2] = [2.876, -90.7];
/// See [`YIELD`].
const TENSILE: [f64; 2] = [3.734, -99.8];
/// Standard error of that law of the yield strength, MPa (from memory).
const ERROR: f64 = 102.0;
/// Most that the yield strength of tempered martensite is of its tensile strength: 0.926 of 4140 tempered at 205 °C
/// (eFunda's table of AISI 4140).
const MOST: f64 = 0.93;
/// Hardnesses that the band is given for, HV.
const DOMAIN: std::ops::RangeInclusive<f64> = 100.0..=865.0;

/// Plastic strain that the skin may be set by at once, cold, by Rockwell C. A tenth to a quarter of what a polished
/// test bar of 5160 stretches before it breaks: 10 % at 48 HRC, 9 % at 55 and 4 % at 58.5 (ASM Metals Reference Book,
/// from memory), for nicks, belt lines and hard spots break a blade long before that. Over 59 HRC no elongation is
/// published: 0.2 % at 60 is the set by which yield itself is defined, and from 62 on nothing is trusted.
const COLD: &[(f64, f64)] =
    &[(40.0, 0.02), (48.0, 0.02), (55.0, 0.01), (58.0, 0.005), (60.0, 0.002), (62.0, 0.0)];
/// The same of steel that is not hardened: a quarter of the 20 % that annealed carbon steels stretch (common practice,
/// no source).
const SOFT: f64 = 0.05;

/// Least, middle and greatest yield strength (MPa) of carbon and low alloy steel of Vickers hardness `hv`, 100 to 865;
/// `None` outside. Hardened, from 392 HV: the least by Pavlina and Van Tyne less a standard error, the greatest 0.93 of
/// the tensile strength by ASTM A370 (over 59 HRC by Pavlina and Van Tyne), and the middle halfway, which lies within
/// 9 % of O1's sheet in compression. Softer: their law, and two standard errors either way.
pub fn yield_strength(hv: f64) -> Option<[f64; 3]> {
    if !DOMAIN.contains(&hv) {
        return None;
    }
    let law = |[factor, constant]: [f64; 2]| factor * hv + constant;
    let middle = law(YIELD);
    if hv < HARDENED {
        return Some([(middle - 2.0 * ERROR).max(0.3 * middle), middle, middle + 2.0 * ERROR]);
    }
    let pulled = rockwell(hv).and_then(tensile).unwrap_or(law(TENSILE));
    let (least, most) = (middle - ERROR, MOST * pulled);
    Some([least, 0.5 * (least + most), most])
}

/// Plastic strain of the skin that steel of Vickers hardness `hv` may be set by cold, as a share; 0 where it should not
/// be set at all, and for hardnesses that no steel has. An estimate, told beside the constant above.
pub fn cold_set(hv: f64) -> f64 {
    match rockwell(hv) {
        _ if hv < HARDENED => SOFT,
        Some(hrc) => between(COLD.iter().copied(), hrc).unwrap_or(0.0),
        None => 0.0,
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::conversion::vickers;

    /// O1 in compression, a maker's sheet: 50 HRC 1350, 55 1800, 60 2150, 62 2200 MPa. 5160
    /// tempered at 425 and 315 °C: 461 and 555 HB, about 48.5 and 55 HRC, 1460 and 1770 MPa (ASM, from memory).
    #[test]
    fn published_yields_lie_in_the_band() {
        for (hrc, mpa) in
            [(50.0, 1350.0), (55.0, 1800.0), (60.0, 2150.0), (62.0, 2200.0), (48.5, 1460.0), (55.0, 1770.0)]
        {
            let [low, middle, high] = yield_strength(vickers(hrc).unwrap()).unwrap();
            assert!(low < mpa && mpa < high, "{hrc} HRC: {low} {mpa} {high}");
            assert!((middle / mpa - 1.0).abs() < 0.09, "{hrc} HRC: {middle} {mpa}");
        }
    }

    /// eFunda's tables of oil-quenched 4140 and 1340: tensile and yield strength, MPa; the hardness is that at which
    /// ASTM A370 has the tensile strength.
    #[test]
    fn tempered_steels_of_a_table_lie_in_the_band() {
        for (pulled, mpa) in
            [(1772.0, 1641.0), (1551.0, 1434.0), (1806.0, 1593.0), (1586.0, 1420.0), (1262.0, 1151.0)]
        {
            let mut hrc = 40.0;
            while tensile(hrc).unwrap() < pulled {
                hrc += 0.01;
            }
            let [low, _, high] = yield_strength(vickers(hrc).unwrap()).unwrap();
            assert!(low < mpa && mpa < high, "{pulled}: {low} {mpa} {high}");
        }
    }

    /// eFunda: 4140 annealed 655 MPa tensile, 417 yield; 1340 normalised 836 and 558. Hardness by the tensile law.
    #[test]
    fn soft_steels_lie_in_the_band() {
        for (pulled, mpa) in [(655.0, 417.1), (836.3, 558.5), (703.3, 436.4)] {
            let hv = (pulled - TENSILE[1]) / TENSILE[0];
            let [low, middle, high] = yield_strength(hv).unwrap();
            assert!(low < mpa && mpa < high && low > 0.0 && middle > low, "{pulled}: {low} {mpa} {high}");
        }
        assert!(yield_strength(99.0).is_none() && yield_strength(866.0).is_none());
        assert!(yield_strength(f64::NAN).is_none());
    }

    #[test]
    fn harder_steel_is_set_less() {
        let at = |hrc: f64| cold_set(vickers(hrc).unwrap());
        assert!((cold_set(200.0) - 0.05).abs() < 1e-12 && (at(45.0) - 0.02).abs() < 1e-12);
        assert!((at(55.0) - 0.01).abs() < 1e-9 && (at(60.0) - 0.002).abs() < 1e-9);
        for hrc in [62.0, 63.0, 66.0] {
            assert!(at(hrc).abs() < 1e-9, "{hrc}");
        }
        let falling: Vec<f64> = (0..26).map(|i| at(40.0 + f64::from(i))).collect();
        assert!(falling.windows(2).all(|w| w[0] >= w[1]), "{falling:?}");
        assert!(cold_set(2000.0).abs() < 1e-12 && cold_set(f64::NAN).abs() < 1e-12);
    }
}
