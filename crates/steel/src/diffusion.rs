//! Diffusion of carbon in austenite, and how it levels between alternating layers.

use crate::ZERO_CELSIUS;

/// Diffusion of carbon in austenite, m²/s and J/mol: Callister, Materials Science and Engineering, table of diffusion
/// data (from memory).
const DIFFUSION: (f64, f64) = (2.3e-5, 148e3);
/// Gas constant, J/(mol·K), exact by the SI of 2019.
const GAS: f64 = 8.314_462_618;
/// Other sources for the diffusion of carbon differ by up to this factor either way.
const SOURCES: f64 = 2.0;

/// Diffusion coefficient of carbon in austenite at `celsius`, m²/s; meant for 800 to 1300 °C, where there is austenite:
/// D0 exp(−Q/RT) with the data of Callister's table (from memory).
pub fn diffusion(celsius: f64) -> f64 {
    DIFFUSION.0 * (-DIFFUSION.1 / (GAS * (celsius + ZERO_CELSIUS))).exp()
}

/// What is left of the difference of carbon between alternating layers, each `layer` mm thick (positive), after `seconds` (0 or more) at
/// `celsius`: least and greatest share over the sources. The mean over a layer of the periodic solution, a Fourier series
/// of the square wave: (8/π²) Σ exp(−n²π²Dt/l²)/n² over odd n (Crank 1975, from memory).
pub fn contrast(layer: f64, celsius: f64, seconds: f64) -> [f64; 2] {
    let decay = |factor: f64| {
        let l = layer * 1e-3;
        let one = std::f64::consts::PI.powi(2) * factor * diffusion(celsius) * seconds / (l * l);
        // Odd n up to 999: the rest of the series is under a thousandth.
        let sum: f64 = (0..500).map(|k| f64::from(2 * k + 1).powi(2)).map(|n2| (-n2 * one).exp() / n2).sum();
        8.0 / std::f64::consts::PI.powi(2) * sum
    };
    [decay(SOURCES), decay(1.0 / SOURCES)]
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Callister's example for carbon in γ iron at 900 °C from the same data: about 5.9e-12 m²/s.
    #[test]
    fn carbon_wanders_as_the_table_says() {
        assert!((diffusion(900.0) / 5.9e-12 - 1.0).abs() < 0.02, "{}", diffusion(900.0));
    }

    #[test]
    fn thin_layers_level_and_thick_ones_do_not() {
        let [least, most] = contrast(0.1, 1150.0, 600.0);
        assert!(least <= most && most < 0.05, "{least} {most}");
        let [least, most] = contrast(5.0, 1150.0, 600.0);
        assert!(least > 0.7 && most < 1.0, "{least} {most}");
        // At once nothing has moved: Σ 1/n² over odd n is π²/8.
        assert!((contrast(1.0, 1150.0, 0.0)[0] - 1.0).abs() < 1e-3);
    }
}
