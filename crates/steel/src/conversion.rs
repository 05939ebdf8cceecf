//! What a hardness means: Vickers and strength.

/// Rockwell C, Vickers, tensile strength in MPa where the standard gives one: ASTM A370, by a table after its edition
/// 03a.
const TABLE: &[(f64, f64, Option<f64>)] = &[
    (40.0, 392.0, Some(1250.0)),
    (45.0, 446.0, Some(1480.0)),
    (48.0, 484.0, Some(1640.0)),
    (50.0, 513.0, Some(1760.0)),
    (52.0, 544.0, Some(1880.0)),
    (55.0, 595.0, Some(2070.0)),
    (57.0, 633.0, Some(2240.0)),
    (59.0, 674.0, Some(2420.0)),
    (60.0, 697.0, None),
    (62.0, 746.0, None),
    (64.0, 800.0, None),
    (66.0, 865.0, None),
];

/// Between two points of a table, rising in x; `None` outside.
pub(crate) fn between(points: impl Iterator<Item = (f64, f64)> + Clone, x: f64) -> Option<f64> {
    let after = points.clone().skip(1);
    points
        .zip(after)
        .find(|((a, _), (b, _))| *a <= x && x <= *b)
        .map(|((a, p), (b, q))| p + (q - p) * (x - a) / (b - a))
}

/// Vickers hardness at Rockwell C `hrc`, 40 to 66; `None` outside: ASTM A370, straight between its values.
pub fn vickers(hrc: f64) -> Option<f64> {
    between(TABLE.iter().map(|row| (row.0, row.1)), hrc)
}

/// Rockwell C at Vickers hardness `hv`, 392 to 865; `None` outside: the same table the other way.
pub fn rockwell(hv: f64) -> Option<f64> {
    between(TABLE.iter().map(|row| (row.1, row.0)), hv)
}

/// Tensile strength (MPa) at Rockwell C `hrc`, 40 to 59, beyond which the standard gives none: ASTM A370.
pub fn tensile(hrc: f64) -> Option<f64> {
    between(TABLE.iter().filter_map(|row| Some((row.0, row.2?))), hrc)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn between_values_straight_and_outside_nothing() {
        assert!((vickers(49.0).unwrap() - 498.5).abs() < 1e-9);
        assert!(tensile(60.0).is_none() && vickers(39.0).is_none() && vickers(f64::NAN).is_none());
        for hrc in [40.0, 49.0, 59.3, 66.0] {
            assert!((rockwell(vickers(hrc).unwrap()).unwrap() - hrc).abs() < 1e-9, "{hrc}");
        }
        assert!(rockwell(391.0).is_none() && rockwell(866.0).is_none());
    }
}
