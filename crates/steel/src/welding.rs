//! How hot steel is welded in the fire, and where it burns.

/// How far handbooks of forge welding differ, K (from memory).
pub const HANDBOOKS: f64 = 50.0;

/// Carbon (mass percent) and the least and greatest welding heat, °C: iron 1300 to 1350, mild steel 1250 to 1300, 0.6 to
/// 1.0 % carbon 1050 to 1150 (handbooks, from memory; they differ by 50 K).
const WELDED: [(f64, [f64; 2]); 4] =
    [(0.05, [1300.0, 1350.0]), (0.15, [1250.0, 1300.0]), (0.6, [1050.0, 1150.0]), (1.0, [1050.0, 1150.0])];
/// Carbon (mass percent) and where steel begins to melt, °C: ASM Handbook vol. 3 (from memory); 2.11 % is the eutectic's.
const SOLIDUS: [(f64, f64); 6] =
    [(0.0, 1538.0), (0.2, 1490.0), (0.6, 1420.0), (0.8, 1370.0), (1.0, 1330.0), (2.11, 1148.0)];

/// The value at `x` on straight lines between points; the ends' own beyond them.
fn line(points: &[(f64, f64)], x: f64) -> f64 {
    let pair = points.windows(2).find(|w| x <= w[1].0).unwrap_or(&points[points.len() - 2..]);
    let share = ((x - pair[0].0) / (pair[1].0 - pair[0].0)).clamp(0.0, 1.0);
    pair[0].1 + share * (pair[1].1 - pair[0].1)
}

/// Least and greatest welding heat, °C, of a steel of this `carbon` (mass percent, 0 to 3), within [`HANDBOOKS`].
pub fn welding(carbon: f64) -> [f64; 2] {
    [0, 1].map(|end| line(&WELDED.map(|(c, band)| (c, band[end])), carbon))
}

/// Where a plain steel of this `carbon` (mass percent, 0 to 3) begins to melt, °C: near it steel burns.
pub fn solidus(carbon: f64) -> f64 {
    line(&SOLIDUS, carbon)
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Handbooks, and ASM Handbook vol. 3 (from memory).
    #[test]
    fn heats_fall_with_carbon() {
        let near = |found: f64, wanted: f64| assert!((found - wanted).abs() < 1.0, "{found} {wanted}");
        for (carbon, low, high) in [(0.02, 1300.0, 1350.0), (0.15, 1250.0, 1300.0), (0.8, 1050.0, 1150.0)] {
            near(welding(carbon)[0], low);
            near(welding(carbon)[1], high);
        }
        for (carbon, melts) in [(0.2, 1490.0), (0.6, 1420.0), (0.8, 1370.0), (1.0, 1330.0), (2.5, 1148.0)] {
            near(solidus(carbon), melts);
        }
        near(solidus(0.0), 1538.0);
        // Half way from iron to mild steel.
        assert!((welding(0.1)[0] - 1275.0).abs() < 0.3 && (HANDBOOKS - 50.0).abs() < 1e-9);
        assert!(solidus(1.05) < 1330.0);
        near(welding(1.3)[1], welding(1.0)[1]);
    }
}
