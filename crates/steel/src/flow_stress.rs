//! How strongly hot carbon steel resists hammer and wrench.

/// Carbon for which Shida measured, mass percent.
const CARBON: [f64; 2] = [0.07, 1.2];
/// Temperatures, °C.
const CELSIUS: [f64; 2] = [700.0, 1200.0];
/// Rates of strain, 1/s.
const RATES: [f64; 2] = [0.1, 100.0];
/// Most strain.
const STRAIN: f64 = 0.7;
/// A kilogram-force over a square millimetre, MPa.
const KGF: f64 = 9.806_65;

/// Flow stress (MPa) of carbon steel of `carbon` (mass percent, 0.07 to 1.2) at `celsius` (700 to 1200 °C) after a true
/// strain of `strain` (over 0 to 0.7) at `rate` (0.1 to 100 1/s); `None` outside. Shida 1969, Journal of the Japan
/// Society for Technology of Plasticity 10 (103), as a rolling group publishes it, with the signs that make it
/// continuous where ferrite begins. Alloyed steels over 0.9 % carbon may be a third softer (Mauk and Gottschling 2000,
/// 100Cr6).
pub fn flow_stress(carbon: f64, celsius: f64, strain: f64, rate: f64) -> Option<f64> {
    let within = |x: f64, [low, high]: [f64; 2]| (low..=high).contains(&x);
    let known = within(carbon, CARBON) && within(celsius, CELSIUS) && within(rate, RATES);
    (known && strain > 0.0 && strain <= STRAIN).then(|| {
        let (base, m) = base(carbon, (celsius + 273.0) / 1000.0);
        let n = 0.41 - 0.07 * carbon;
        let share = strain / 0.2;
        KGF * base * (1.3 * share.powf(n) - 0.3 * share) * (rate / 10.0).powf(m)
    })
}

/// Below this austenite begins to turn to ferrite, K/1000.
fn ferrite_begins(c: f64) -> f64 {
    0.95 * (c + 0.41) / (c + 0.32)
}

/// Stress at a strain of 0.2 and a rate of 10 1/s (kgf/mm²), and the exponent of rate, at `t` (K/1000): one law for
/// austenite, one below the temperature at which ferrite begins.
fn base(c: f64, t: f64) -> (f64, f64) {
    let td = ferrite_begins(c);
    let soft = (-0.01 / (c + 0.05)).exp();
    if t >= td {
        return (0.28 * (5.0 / t).exp() * soft, (-0.019 * c + 0.126) * t + 0.075 * c - 0.05);
    }
    let g = 30.0 * (c + 0.9) * (t - 0.95 * (c + 0.49) / (c + 0.42)).powi(2) + (c + 0.06) / (c + 0.09);
    let m = (0.081 * c - 0.154) * t - 0.019 * c + 0.207 + 0.027 / (c + 0.32);
    (0.28 * g * ((c + 0.32) / (0.19 * (c + 0.41))).exp() * soft, m)
}

/// Work (J) that deforms `volume` (mm³) by a true strain of `strain` at an even `stress` (MPa): stress × strain ×
/// volume.
pub fn work(volume: f64, stress: f64, strain: f64) -> f64 {
    volume * stress * strain * 1e-3
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Shida 1969: 788 °C at 0.45 % carbon, by hand 0.95 · 0.86/0.77 = 1061.0 K less 273; softening exp(−0.01/(C + 0.05)) of
    /// a carbon of 0.07 is 0.9200, so 0.28 e^(5/1.273) times that is 13.085 kgf/mm² at 1000 °C.
    #[test]
    fn the_law_has_shidas_constants() {
        assert!((1000.0 * ferrite_begins(0.45) - 273.0 - 788.0).abs() < 0.2);
        assert!((base(0.07, 1.273).0 - 13.085).abs() < 0.003, "{}", base(0.07, 1.273).0);
    }

    #[test]
    fn laws_meet_where_ferrite_begins() {
        for c in [0.1, 0.45, 0.8, 1.0] {
            let td = ferrite_begins(c);
            let ((above, m_above), (below, m_below)) = (base(c, td + 1e-9), base(c, td - 1e-9));
            // g is 1 there only nearly: 30 (C + 0.9)(td − …)² + (C + 0.06)/(C + 0.09).
            assert!(
                (above / below - 1.0).abs() < 0.05 && (m_above - m_below).abs() < 0.003,
                "{c} {above} {below}"
            );
        }
    }

    #[test]
    fn nothing_is_said_outside() {
        let [c, t, e, r] = [0.5, 1000.0, 0.2, 1.0];
        assert!(flow_stress(c, t, e, r).is_some());
        let ends = [(0.07, 700.0, 0.7, 0.1), (1.2, 1200.0, 0.7, 100.0)];
        assert!(ends.iter().all(|&(c, t, e, r)| flow_stress(c, t, e, r).is_some()));
        let beyond = [
            (0.069, t, e, r),
            (1.21, t, e, r),
            (c, 699.0, e, r),
            (c, 1201.0, e, r),
            (c, t, 0.71, r),
            (c, t, e, 0.099),
        ];
        assert!(
            beyond.iter().all(|&(c, t, e, r)| flow_stress(c, t, e, r).is_none())
                && flow_stress(c, t, e, 101.0).is_none()
        );
        for bad in [f64::NAN, -1.0, 1e9] {
            let all = [flow_stress(bad, t, e, r), flow_stress(c, bad, e, r), flow_stress(c, t, bad, r)];
            assert!(all.iter().all(Option::is_none) && flow_stress(c, t, e, bad).is_none());
        }
    }

    /// 1 cm³ strained by 1 at 100 MPa takes 100 J: a MPa is a J over a cm³.
    #[test]
    fn work_is_stress_times_strain_times_volume() {
        assert!((work(1000.0, 100.0, 1.0) - 100.0).abs() < 1e-12);
    }
}
