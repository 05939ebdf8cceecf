//! The wrench that turns a bar in the twisting jig.

/// The hand's place on the wrench, mm from the middle: a wrench a metre long over both handles (common practice, no
/// source).
pub(crate) const ARM: f64 = 500.0;

/// Force in N of each of two hands, one at each end of a wrench, [`ARM`] from its middle.
pub(crate) fn hand_force(torque: f64) -> f64 {
    torque * 1000.0 / (2.0 * ARM)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn two_hands_share_the_torque_over_a_metre() {
        // 39.4138 N·m over two arms of 0.5 m.
        assert!((hand_force(39.4138) - 39.4138).abs() < 1e-12);
    }
}
