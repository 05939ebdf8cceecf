//! Plastic torque of a hot square bar, and the pressure between its tab and a socket.

/// Torque in N·m that twists a square bar of side `side` (mm) when all of it flows at `flow_stress` (MPa, in tension):
/// k·a³/3 with the flow stress in shear k = σ/√3 (von Mises). The heap of sand on a square of side a is a pyramid of
/// slope k, and the torque is twice its volume: Nadai, Theory of Flow and Fracture of Solids (from memory).
pub fn twisting_torque(side: f64, flow_stress: f64) -> f64 {
    flow_stress / 3f64.sqrt() * side.powi(3) / 3.0 / 1000.0
}

/// Greatest pressure in MPa between a square tab of side `tab` (mm) and a square socket of depth `depth` (mm) that
/// turns it with `torque` (N·m). Each face is pressed over half its breadth, rising evenly from nothing at the middle
/// to p at the corner, so that T = 4·∫₀^{t/2} p·x/(t/2)·x·L dx = p·L·t²/3 (derived here).
pub fn bearing_pressure(torque: f64, tab: f64, depth: f64) -> f64 {
    3000.0 * torque / (depth * tab * tab)
}

/// Depth in mm at which a socket bears `torque` (N·m) with `pressure` (MPa) on a tab of side `tab` (mm).
pub fn bearing_depth(torque: f64, tab: f64, pressure: f64) -> f64 {
    3000.0 * torque / (pressure * tab * tab)
}

/// Torque in N·m that a socket of depth `depth` (mm) bears with `pressure` (MPa) on a tab of side `tab` (mm).
pub fn borne_torque(pressure: f64, tab: f64, depth: f64) -> f64 {
    pressure * depth * tab * tab / 3000.0
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_hot_bar_of_16_mm_takes_39_newton_metres() {
        // By hand: 50/1.7320508 = 28.86751; 16³ = 4096; 28.86751 · 4096/3 = 39 413.8 N·mm.
        let torque = twisting_torque(16.0, 50.0);
        assert!((torque - 39.4138).abs() < 1e-4, "{torque}");
        // 3 · 39 413.8/(30 · 14²) = 118 241.3/5 880 = 20.109 MPa.
        let pressure = bearing_pressure(torque, 14.0, 30.0);
        assert!((pressure - 20.109).abs() < 1e-3, "{pressure}");
        assert!((bearing_depth(torque, 14.0, pressure) - 30.0).abs() < 1e-9);
        assert!((borne_torque(pressure, 14.0, 30.0) - torque).abs() < 1e-9);
    }

    #[test]
    fn full_flow_takes_1_6_times_the_torque_of_first_yield() {
        // First yield of a square bar: 0.208·k·a³ (Timoshenko & Goodier, Theory of Elasticity, from memory).
        let (side, flow) = (20.0, 60.0);
        let first = 0.208 * flow / 3f64.sqrt() * f64::powi(side, 3) / 1000.0;
        let ratio = twisting_torque(side, flow) / first;
        assert!((ratio - 1.6026).abs() < 1e-4, "{ratio}");
    }

    #[test]
    fn pressure_adds_up_to_the_torque() {
        // Midpoint sum over the four half faces.
        let (torque, tab, depth) = (55.0, 12.0, 25.0);
        let p = bearing_pressure(torque, tab, depth);
        let strips = 10_000;
        let step = 0.5 * tab / f64::from(strips);
        let strip = |i: i32| {
            let x = (f64::from(i) + 0.5) * step;
            4.0 * p * x / (0.5 * tab) * x * depth * step
        };
        let sum: f64 = (0..strips).map(strip).sum();
        assert!((sum / 1000.0 / torque - 1.0).abs() < 1e-8, "{sum}");
    }
}
