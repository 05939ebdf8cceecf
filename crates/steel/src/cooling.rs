//! The clock: how long hot steel in still air stays hot enough to work.

use crate::ZERO_CELSIUS;
use crate::enthalpy::specific_heat;

/// Stefan and Boltzmann's constant, W/(m²·K⁴), exact by the SI of 2019 to the figures given.
const RADIATION: f64 = 5.670_374_419e-8;
/// Emissivity of oxidised steel: Incropera, Fundamentals of Heat and Mass Transfer (from memory; 0.7 to 0.9).
const EMISSIVITY: f64 = 0.8;
/// Loss to still air, W/(m²·K): Incropera (from memory; 5 to 25 for free convection).
const CONVECTION: f64 = 10.0;
/// A room's temperature, °C.
const ROOM: f64 = 20.0;
/// Density of steel, kg/m³: EN 1993-1-2, section 3.2.2 (from memory).
const DENSITY: f64 = 7850.0;
/// Strips of the sum over temperature: the integrand is smooth, and a thousand keep it within 1e-6.
const STRIPS: usize = 1000;

/// Steel's area over the perimeter that loses heat, mm: what sets the clock of a section `high` × `wide` (mm, both
/// positive).
pub fn depth(high: f64, wide: f64) -> f64 {
    high * wide / (2.0 * (high + wide))
}

/// Heat flux off the surface at `celsius`, W/m²: εσ(T⁴ − T₀⁴) + h(T − T₀) into a room of 20 °C.
pub fn heat_loss(celsius: f64) -> f64 {
    radiated(celsius) + CONVECTION * (celsius - ROOM)
}

fn radiated(celsius: f64) -> f64 {
    let [t, room] = [celsius, ROOM].map(|c| c + ZERO_CELSIUS);
    EMISSIVITY * RADIATION * (t.powi(4) - room.powi(4))
}

/// Seconds in which steel of this `depth` (area over perimeter, mm, positive) cools in still air from one temperature
/// to a lower one, both 40 to 1200 °C; `None` otherwise. ρ A cp dT/dt = −P q(T), even through the section, with the
/// specific heat of EN 1993-1-2: the sum of ρ (A/P) cp/q over temperature. Below 735 °C steel in truth gives its heat
/// of transformation back some way lower than the standard's peak. An anvil takes more than air.
pub fn cooling_seconds(depth: f64, from: f64, to: f64) -> Option<f64> {
    // Nearer the room the loss goes to nothing and the clock has no end.
    let known =
        (40.0..=1200.0).contains(&to) && (to..=1200.0).contains(&from) && depth > 0.0 && depth.is_finite();
    if !known {
        return None;
    }
    let strip = (from - to) / STRIPS as f64;
    let middles = (0..STRIPS).map(|i| to + (i as f64 + 0.5) * strip);
    let sum: f64 = middles.filter_map(|t| Some(specific_heat(t)? / heat_loss(t))).sum();
    Some(DENSITY * depth * 1e-3 * sum * strip)
}

/// Seconds in which steel of this `depth` (area over perimeter, mm, positive) warms in a kiln at `kiln` from one
/// temperature to a higher one, all 20 to 1200 °C and `to` at least a kelvin under the kiln's; `None` otherwise. The
/// same law the other way round: walls that see all of it, still air as hot as they are.
pub fn warming_seconds(depth: f64, kiln: f64, from: f64, to: f64) -> Option<f64> {
    let known = (ROOM..=1200.0).contains(&from)
        && (from..=1200.0).contains(&to)
        && (to + 1.0..=1200.0).contains(&kiln)
        && depth > 0.0
        && depth.is_finite();
    if !known {
        return None;
    }
    let strip = (to - from) / STRIPS as f64;
    let middles = (0..STRIPS).map(|i| from + (i as f64 + 0.5) * strip);
    let gain = |t: f64| radiated(kiln) - radiated(t) + CONVECTION * (kiln - t);
    let sum: f64 = middles.filter_map(|t| Some(specific_heat(t)? / gain(t))).sum();
    Some(DENSITY * depth * 1e-3 * sum * strip)
}

/// Seconds for the same by radiation alone with an even specific heat (J/(kg·K)): the closed form of Incropera,
/// equation 5.18 (from memory), t = ρ (A/P) cp/(4εσT₀³) [F(T)] with F = ln((T + T₀)/(T − T₀)) + 2 atan(T/T₀).
/// Temperatures over the room's, °C.
pub fn radiating_seconds(depth: f64, specific_heat: f64, from: f64, to: f64) -> f64 {
    let room = ROOM + ZERO_CELSIUS;
    let f = |celsius: f64| {
        let t = celsius + ZERO_CELSIUS;
        ((t + room) / (t - room)).ln() + 2.0 * (t / room).atan()
    };
    let rate = 4.0 * EMISSIVITY * RADIATION * room.powi(3);
    DENSITY * depth * 1e-3 * specific_heat / rate * (f(to) - f(from))
}

/// Biot's number of steel of this `depth` (mm) at `celsius`: under 0.1 it is even through its section and the clock
/// holds (Incropera, from memory). Conductivity by EN 1993-1-2, section 3.4.1.3: 54 − 0.0333 θ, 27.3 from 800 °C on.
pub fn biot(depth: f64, celsius: f64) -> f64 {
    let conductivity = if celsius < 800.0 { 54.0 - 0.0333 * celsius } else { 27.3 };
    heat_loss(celsius) / (celsius - ROOM) * depth * 1e-3 / conductivity
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Steps in time of the same law, with radiation alone and an even specific heat, against the closed form.
    #[test]
    fn the_closed_form_is_what_steps_in_time_find() {
        let (depth, cp) = (depth(12.0, 12.0), 650.0);
        for (from, to) in [(1100.0, 900.0), (1200.0, 700.0), (900.0, 300.0)] {
            let (mut t, mut seconds, dt) = (from, 0.0, 1e-3);
            while t > to {
                t -= dt * radiated(t) / (DENSITY * depth * 1e-3 * cp);
                seconds += dt;
            }
            let closed = radiating_seconds(depth, cp, from, to);
            assert!((seconds / closed - 1.0).abs() < 0.001, "{from} to {to}: {seconds} {closed}");
        }
    }

    /// Heat led through the thickness of a plate cooling from both faces, in steps of place and time: a 4 mm plate is
    /// as even through as the clock takes it for.
    #[test]
    fn a_plate_in_layers_cools_by_the_same_clock() {
        let (thick, count, dt) = (4e-3, 20_usize, 1e-3);
        let (dx, from, to) = (thick / count as f64, 1150.0, 900.0);
        let (mut t, mut seconds) = (vec![from; count], 0.0);
        while t.iter().sum::<f64>() / count as f64 > to {
            let lead = |a: f64, b: f64| 27.3 * (b - a) / dx;
            let flux: Vec<f64> = (0..count)
                .map(|i| {
                    let left = if i == 0 { -heat_loss(t[0]) } else { lead(t[i], t[i - 1]) };
                    let right = if i + 1 == count { -heat_loss(t[i]) } else { lead(t[i], t[i + 1]) };
                    left + right
                })
                .collect();
            t.iter_mut()
                .zip(&flux)
                .for_each(|(t, q)| *t += dt * q / (DENSITY * dx * specific_heat(*t).unwrap()));
            seconds += dt;
        }
        let clock = cooling_seconds(1e3 * thick / 2.0, from, to).unwrap();
        // The skin runs ahead of the middle and loses a little less than the clock's even section.
        assert!((seconds / clock - 1.0).abs() < 0.01 && seconds > clock, "{seconds} {clock}");
        assert!(biot(2.0, 1150.0) < 0.1 && biot(40.0, 1150.0) > 0.1);
    }

    /// The sum over temperature against steps in time of the whole law.
    #[test]
    fn the_sum_is_what_steps_in_time_find() {
        let d = depth(6.0, 40.0);
        let (mut t, mut seconds, dt) = (1100.0, 0.0, 1e-3);
        while t > 650.0 {
            t -= dt * heat_loss(t) / (DENSITY * d * 1e-3 * specific_heat(t).unwrap());
            seconds += dt;
        }
        let clock = cooling_seconds(d, 1100.0, 650.0).unwrap();
        assert!((seconds / clock - 1.0).abs() < 0.01, "{seconds} {clock}");
    }

    /// Warming by steps in time of the same law.
    #[test]
    fn a_kiln_warms_as_steps_in_time_do() {
        let (depth, kiln) = (depth(6.0, 40.0), 820.0);
        let (mut t, mut seconds, dt) = (20.0, 0.0, 1e-3);
        while t < 810.0 {
            let gain = radiated(kiln) - radiated(t) + CONVECTION * (kiln - t);
            t += dt * gain / (DENSITY * depth * 1e-3 * specific_heat(t).unwrap());
            seconds += dt;
        }
        let told = warming_seconds(depth, kiln, 20.0, 810.0).unwrap();
        assert!((seconds / told - 1.0).abs() < 0.01, "{seconds} {told}");
        for (kiln, from, to) in
            [(820.0, 20.0, 819.5), (820.0, 500.0, 400.0), (820.0, 10.0, 500.0), (1201.0, 20.0, 900.0)]
        {
            assert!(warming_seconds(depth, kiln, from, to).is_none());
        }
        assert!(warming_seconds(f64::NAN, kiln, 20.0, 500.0).is_none());
    }

    #[test]
    fn nothing_is_said_of_what_does_not_cool() {
        for (d, from, to) in
            [(0.0, 1100.0, 900.0), (3.0, 800.0, 900.0), (3.0, 1201.0, 900.0), (3.0, 900.0, 39.0)]
        {
            assert!(cooling_seconds(d, from, to).is_none());
        }
        assert!(cooling_seconds(3.0, 1200.0, 40.5).is_some());
        assert!(cooling_seconds(f64::NAN, 1100.0, 900.0).is_none());
    }
}
