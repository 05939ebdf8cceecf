//! Heat content of carbon steel between a room's temperature and a forging heat.

/// Temperatures for which the standard gives the specific heat, °C.
const RANGE: [f64; 2] = [20.0, 1200.0];
/// Temperatures at which the standard's formulas meet, °C.
const MEETS: [f64; 5] = [20.0, 600.0, 735.0, 900.0, 1200.0];
/// Halvings after which a bracket of 1180 K is narrower than a double can tell.
const HALVINGS: usize = 80;

/// Specific heat of carbon steel, J/(kg·K), at 20 to 1200 °C, `None` outside: EN 1993-1-2, section 3.4.1.2, by Dlubal's
/// knowledge base 1496. The peak at 735 °C is the heat of transformation as steel heats up.
pub fn specific_heat(celsius: f64) -> Option<f64> {
    let t = celsius;
    match t {
        20.0..600.0 => Some(425.0 + 0.773 * t - 1.69e-3 * t * t + 2.22e-6 * t * t * t),
        600.0..735.0 => Some(666.0 + 13_002.0 / (738.0 - t)),
        735.0..900.0 => Some(545.0 + 17_820.0 / (t - 731.0)),
        900.0..=1200.0 => Some(650.0),
        _ => None,
    }
}

/// Heat in J that a kilogram of carbon steel takes up from 20 °C to `celsius`, 20 to 1200 °C, `None` outside: the
/// integral of [`specific_heat`] in closed form.
pub fn enthalpy(celsius: f64) -> Option<f64> {
    (RANGE[0]..=RANGE[1]).contains(&celsius).then(|| {
        (0..4)
            .filter(|i| celsius > MEETS[*i])
            .map(|i| piece(i, celsius.min(MEETS[i + 1])) - piece(i, MEETS[i]))
            .sum()
    })
}

/// The antiderivative of the standard's formula number `i`, J/kg.
fn piece(i: usize, t: f64) -> f64 {
    match i {
        0 => t * (425.0 + t * (0.773 / 2.0 + t * (-1.69e-3 / 3.0 + t * 2.22e-6 / 4.0))),
        1 => 666.0 * t - 13_002.0 * (738.0 - t).ln(),
        2 => 545.0 * t + 17_820.0 * (t - 731.0).ln(),
        _ => 650.0 * t,
    }
}

/// Where between `low` and `high` a rising function turns from negative to positive, by halving.
pub(crate) fn root(mut low: f64, mut high: f64, rising: impl Fn(f64) -> f64) -> f64 {
    for _ in 0..HALVINGS {
        let middle = 0.5 * (low + high);
        if rising(middle) < 0.0 { low = middle } else { high = middle }
    }
    0.5 * (low + high)
}

#[cfg(test)]
mod tests {
    use super::*;

    /// The closed form against a midpoint sum of the specific heat, away from the standard's own jumps.
    #[test]
    fn heat_is_the_area_under_the_specific_heat() {
        for (from, to) in [(20.0, 600.0), (600.0, 735.0), (735.0, 900.0), (20.0, 1200.0)] {
            let steps = 400_000;
            let h = (to - from) / f64::from(steps);
            let sum: f64 =
                (0..steps).map(|i| specific_heat(from + (f64::from(i) + 0.5) * h).unwrap() * h).sum();
            let found = enthalpy(to).unwrap() - enthalpy(from).unwrap();
            assert!((found / sum - 1.0).abs() < 1e-6, "{from} to {to}: {found} {sum}");
        }
    }

    #[test]
    fn nothing_is_said_outside() {
        for t in [19.9, 1200.1, f64::NAN, f64::INFINITY] {
            assert!(specific_heat(t).is_none() && enthalpy(t).is_none());
        }
        assert!(enthalpy(20.0).unwrap().abs() < 1e-12);
    }

    #[test]
    fn a_root_is_found() {
        assert!((root(0.0, 10.0, |x| x * x - 2.0) - 2f64.sqrt()).abs() < 1e-14);
    }
}
