//! How hot steel is welded in the fire, and where it burns.

/// How far handbooks of forge welding differ, K (from memory).
pub const HANDBOOKS: f64 = 50.0;

/// Carbon (mass percent) and the least and greatest welding heat, °C: iron 1300 to 1350, mild steel 1250 to 1300, 0.6 to
/// 1.0 % carbon 1050 to 1150 (handbooks, from memory; they differ by 50 K). The more carbon, the colder, or it burns and
/// flies apart: Googerty, Hand-Forging, 1911, pages 28 and 52.
const WELDED: [(f64, [f64; 2]); 3] =
    [(0.05, [1300.0, 1350.0]), (0.15, [1250.0, 1300.0]), (0.6, [1050.0, 1150.0])];
/// Carbon (mass percent) and where steel begins to melt, °C: ASM Handbook vol. 3 (from memory); 2.11 % is the eutectic's.
const SOLIDUS: [(f64, f64); 6] =
    [(0.0, 1538.0), (0.2, 1490.0), (0.6, 1420.0), (0.8, 1370.0), (1.0, 1330.0), (2.11, 1148.0)];

/// Carbon beyond which no handbook gives a welding heat, mass percent.
pub const WELDED_CARBON: f64 = 1.0;
/// Steps in which the welding heat falls beyond it, K: it is known no nearer.
const STEP: f64 = 10.0;

/// The value at `x` on straight lines between points; the ends' own beyond them.
fn line(points: &[(f64, f64)], x: f64) -> f64 {
    let pair = points.windows(2).find(|w| x <= w[1].0).unwrap_or(&points[points.len() - 2..]);
    let share = ((x - pair[0].0) / (pair[1].0 - pair[0].0)).clamp(0.0, 1.0);
    pair[0].1 + share * (pair[1].1 - pair[0].1)
}

/// Least and greatest welding heat, °C, of a steel of this `carbon` (mass percent, 0 to 3), within [`HANDBOOKS`]. Beyond
/// [`WELDED_CARBON`] it is calculated: it stays as far under the solidus as it does there, the hotter end 180 K or a little
/// more.
pub fn welding(carbon: f64) -> [f64; 2] {
    let sooner = (solidus(WELDED_CARBON) - solidus(carbon)).max(0.0);
    let colder = (sooner / STEP).ceil() * STEP;
    [0, 1].map(|end| line(&WELDED.map(|(c, band)| (c, band[end])), carbon) - colder)
}

/// From where on a steel of this `carbon` (mass percent, 0 to 3) burns, °C: beyond its welding heat by more than handbooks
/// differ, or where it begins to melt.
pub fn burning(carbon: f64) -> f64 {
    (welding(carbon)[1] + HANDBOOKS).min(solidus(carbon))
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
    }

    /// Handbooks' 1050 to 1150 °C (from memory) stands up to 1.0 % carbon. From 1330 there to 1148 at 2.11 % (ASM Handbook
    /// vol. 3, from memory) steel melts straight on: by hand from 1321.8 at 1.05 %, 8.2 K sooner, and 1248.0 at 1.5 %, 82.0 K.
    #[test]
    fn the_more_carbon_the_sooner_it_burns() {
        let off = |carbon: f64, wanted: [f64; 2]| {
            welding(carbon).iter().zip(wanted).map(|(a, b)| (a - b).abs()).fold(0.0, f64::max)
        };
        let told = [(0.6, [1050.0, 1150.0]), (1.0, [1050.0, 1150.0]), (1.05, [1040.0, 1140.0])];
        let beyond = [(1.5, [960.0, 1060.0]), (2.11, [860.0, 960.0]), (3.0, [860.0, 960.0])];
        for (carbon, wanted) in told.into_iter().chain(beyond) {
            assert!(off(carbon, wanted) < 1e-6, "{carbon}: {:?}", welding(carbon));
        }
        for i in 0..30 {
            let [a, b] = [i, i + 1].map(|tenths| 0.1 * f64::from(tenths));
            assert!(welding(b)[1] <= welding(a)[1] && burning(b) <= burning(a), "{b}");
            assert!(burning(b) <= solidus(b) - 100.0 && welding(b)[1] < burning(b), "{b}: {}", burning(b));
        }
    }
}
