//! Gauss–Legendre quadrature.

/// Nodes and weights of the eight-point rule on [−1, 1], positive half: exact to degree 15.
/// Abramowitz & Stegun, Handbook of Mathematical Functions, table 25.4 (from memory).
const EIGHT: [(f64, f64); 4] = [
    (0.183_434_642_495_649_8, 0.362_683_783_378_362),
    (0.525_532_409_916_329, 0.313_706_645_877_887_3),
    (0.796_666_477_413_626_7, 0.222_381_034_453_374_48),
    (0.960_289_856_497_536_3, 0.101_228_536_290_376_26),
];

/// The three-point rule on [0, 1]: exact to degree 5; its nodes lie √(3/5) of the half about the middle.
pub fn three() -> [(f64, f64); 3] {
    let off = 0.5 * 0.6_f64.sqrt();
    [(0.5 - off, 5.0 / 18.0), (0.5, 8.0 / 18.0), (0.5 + off, 5.0 / 18.0)]
}

/// Nodes and weights of the eight-point rule on [a, b].
pub fn eight(a: f64, b: f64) -> [(f64, f64); 8] {
    let (middle, half) = (0.5 * (a + b), 0.5 * (b - a));
    std::array::from_fn(|i| {
        let (x, w) = EIGHT[i / 2];
        (middle + half * if i % 2 == 0 { x } else { -x }, half * w)
    })
}

/// The integral of `f` over [a, b] by the eight-point rule.
pub fn integrate(a: f64, b: f64, f: impl Fn(f64) -> f64) -> f64 {
    eight(a, b).iter().map(|&(x, w)| w * f(x)).sum()
}
