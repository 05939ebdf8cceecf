//! Guidance on heat from the steels' composition: always with where it comes from, how far it reaches, and nothing beyond.

use laminate::{Billet, Composition};
use serde::Serialize;

/// Carbon up to which Ac3 is told, mass percent: beyond it the formula has no meaning, as no ferrite is left.
const EUTECTOID: f64 = 0.77;
/// Carbon up to which the formulas were fitted, mass percent (Andrews 1965, from memory).
const FITTED: f64 = 0.6;
/// Above the upper temperature to which steel is heated for hardening and normalising, K (common practice, no source).
const HARDENING: [f64; 2] = [20.0, 50.0];
/// The same for three normalising heats, each a little lower than the one before, so that grains get finer (common
/// practice, no source).
const NORMALISING: [[f64; 2]; 3] = [[40.0, 80.0], [20.0, 60.0], [0.0, 40.0]];
/// How long a blade is held at hardening temperature once its colour is even, in a kiln, min (common practice, no source).
const SOAK: [f64; 2] = [5.0, 10.0];
/// How long it is tempered each time, min, and how often (common practice, no source; hardness is told for an hour).
const TEMPERED_FOR: (f64, usize) = (60.0, 2);
/// 0 °C in kelvin.
const ZERO: f64 = 273.15;
/// A room's temperature, °C.
const ROOM: f64 = 20.0;
/// Rate with which martensite forms below its start, 1/K: Koistinen and Marburger 1959 (from memory).
const MARTENSITE: f64 = 0.011;
/// Diffusion of carbon in austenite, m²/s and J/mol: Callister, Materials Science and Engineering, table of diffusion
/// data (from memory).
const DIFFUSION: (f64, f64) = (2.3e-5, 148e3);
/// Gas constant, J/(mol·K), exact by the SI of 2019.
const GAS: f64 = 8.314_462_618;
/// Other sources for the diffusion of carbon differ by up to this factor either way.
const SOURCES: f64 = 2.0;
/// Hollomon and Jaffe's constant for blade steels, time in hours (1945, from memory).
const TEMPER: f64 = 15.0;
/// A 0.65 % carbon steel tempered for an hour, °C and HRC: Grange and Baughman 1956 (from memory).
const TEMPERED: [(f64, f64); 3] = [(204.4, 59.2), (260.0, 56.5), (315.6, 53.5)];
/// Carbon for which those measurements are taken to speak, mass percent.
const TEMPERED_CARBON: [f64; 2] = [0.55, 0.75];
/// How far a blade's hardness may lie from them, HRC.
const HARDNESS_BAND: f64 = 1.5;

/// Temperatures of a steel, °C.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct SteelHeat {
    /// The steel.
    pub steel: String,
    /// Where austenite begins to form on slow heating.
    pub ac1_c: f64,
    /// Where the last ferrite is gone; none above 0.77 % carbon.
    pub ac3_c: Option<f64>,
    /// Where martensite begins to form.
    pub ms_c: f64,
    /// Whether that lies beyond what the formula was fitted for.
    pub ms_extrapolated: bool,
    /// Share of austenite left at 20 °C after quenching from a fully austenitic state.
    pub retained_austenite: f64,
    /// From where to where it is heated for each of three normalising heats, cooled in still air after each.
    pub normalising_c: [[f64; 2]; 3],
    /// The same for hardening.
    pub hardening_c: [f64; 2],
    /// Hardness after an hour at the temperatures of [`TEMPERING`]: least and greatest, HRC; none where no measurements speak for it.
    pub tempered_hrc: Option<[[f64; 2]; 3]>,
}

/// Temperatures at which [`SteelHeat::tempered_hrc`] is told, °C.
pub const TEMPERING: [f64; 3] = [205.0, 230.0, 260.0];

impl SteelHeat {
    /// Of a steel with this composition.
    pub fn of(steel: &laminate::Steel) -> SteelHeat {
        let c = &steel.composition;
        let (ac1, ac3, ms) = (ac1(c), ac3(c), ms(c));
        // Above the eutectoid a little carbide stays: hardening goes by Ac1, and so does normalising in default of a law.
        let upper = ac3.unwrap_or(ac1).max(ac1);
        let speaks =
            (TEMPERED_CARBON[0]..=TEMPERED_CARBON[1]).contains(&c.c) && c.cr + c.mo + c.v + c.w < 0.1;
        SteelHeat {
            steel: steel.name.clone(),
            ac1_c: ac1,
            ac3_c: ac3,
            ms_c: ms,
            ms_extrapolated: c.c > FITTED,
            retained_austenite: retained(ms, ROOM),
            normalising_c: NORMALISING.map(|band| band.map(|k| upper + k)),
            hardening_c: HARDENING.map(|k| upper + k),
            tempered_hrc: if speaks { tempered() } else { None },
        }
    }
}

/// How hot the blade is held as a whole: it is one piece of several steels. Temperatures in °C.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct BladeHeat {
    /// The steel of the edge bar's outermost layer, which hardness is wanted of.
    pub edge_steel: String,
    /// Three normalising heats, each in the band of every steel; of the edge's alone where no temperature suits all.
    pub normalising_c: [[f64; 2]; 3],
    /// The same for hardening.
    pub hardening_c: [f64; 2],
    /// Whether no hardening temperature suits all its steels.
    pub only_edge: bool,
    /// How long it is held at hardening temperature once its colour is even, min.
    pub soak_min: [f64; 2],
    /// How long it is tempered each time, min.
    pub temper_min: f64,
    /// How often it is tempered.
    pub tempers: usize,
}

impl BladeHeat {
    /// Of a billet whose steels are held as `heat` says, in the billet's order.
    pub fn of(billet: &Billet, heat: &[SteelHeat]) -> BladeHeat {
        // A billet has bars and bars have layers.
        let at =
            billet.bars().last().and_then(|bar| bar.layers.layers().first()).map_or(0, |layer| layer.steel);
        let edge = &heat[at];
        let shared = shared(heat.iter().map(|h| h.hardening_c));
        let normalising =
            [0, 1, 2].map(|i| shared_or(heat.iter().map(|h| h.normalising_c[i]), edge.normalising_c[i]));
        BladeHeat {
            edge_steel: edge.steel.clone(),
            normalising_c: normalising,
            hardening_c: shared.unwrap_or(edge.hardening_c),
            only_edge: shared.is_none(),
            soak_min: SOAK,
            temper_min: TEMPERED_FOR.0,
            tempers: TEMPERED_FOR.1,
        }
    }
}

/// The band in all bands.
fn shared(bands: impl Iterator<Item = [f64; 2]>) -> Option<[f64; 2]> {
    let all = bands.reduce(|a, b| [a[0].max(b[0]), a[1].min(b[1])])?;
    (all[0] <= all[1]).then_some(all)
}

fn shared_or(bands: impl Iterator<Item = [f64; 2]>, edge: [f64; 2]) -> [f64; 2] {
    shared(bands).unwrap_or(edge)
}

/// Least and greatest hardness, HRC, after an hour at each of [`TEMPERING`].
fn tempered() -> Option<[[f64; 2]; 3]> {
    let [a, b, c] = TEMPERING.map(|t| hardness(t, 1.0));
    Some([a?, b?, c?].map(|h| [h - HARDNESS_BAND, h + HARDNESS_BAND]))
}

/// Ac1, °C: Andrews 1965 (from memory).
pub fn ac1(c: &Composition) -> f64 {
    723.0 - 10.7 * c.mn - 16.9 * c.ni + 29.1 * c.si + 16.9 * c.cr + 6.38 * c.w
}

/// Ac3, °C, up to 0.77 % carbon: Andrews 1965 (from memory).
pub fn ac3(c: &Composition) -> Option<f64> {
    let at = 910.0 - 203.0 * c.c.sqrt() - 15.2 * c.ni + 44.7 * c.si + 104.0 * c.v + 31.5 * c.mo + 13.1 * c.w;
    (c.c <= EUTECTOID).then_some(at)
}

/// Ms, °C, fitted up to 0.6 % carbon: Andrews 1965, the linear form (from memory).
pub fn ms(c: &Composition) -> f64 {
    539.0 - 423.0 * c.c - 30.4 * c.mn - 17.7 * c.ni - 12.1 * c.cr - 7.5 * c.mo
}

/// Share, 0 to 1, of austenite left at `celsius` when martensite starts at `ms` (both °C): Koistinen and Marburger 1959 (from
/// memory).
pub fn retained(ms: f64, celsius: f64) -> f64 {
    (-MARTENSITE * (ms - celsius)).exp().min(1.0)
}

/// Hardness (HRC) of a plain steel of about 0.65 % carbon after `hours` (positive) at `celsius`, by the parameter of Hollomon and
/// Jaffe between measured points; `None` where it would lie beyond them.
pub fn hardness(celsius: f64, hours: f64) -> Option<f64> {
    let parameter = |t: f64, h: f64| (t + ZERO) * (TEMPER + h.log10());
    let p = parameter(celsius, hours);
    let points = TEMPERED.map(|(t, hrc)| (parameter(t, 1.0), hrc));
    points.windows(2).find(|w| w[0].0 <= p && p <= w[1].0).map(|w| {
        let share = (p - w[0].0) / (w[1].0 - w[0].0);
        w[0].1 + share * (w[1].1 - w[0].1)
    })
}

/// Diffusion coefficient of carbon in austenite at `celsius`, m²/s; meant for 800 to 1300 °C, where there is austenite:
/// D0 exp(−Q/RT) with the data of Callister's table (from memory).
pub fn diffusion(celsius: f64) -> f64 {
    DIFFUSION.0 * (-DIFFUSION.1 / (GAS * (celsius + ZERO))).exp()
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
    use laminate::nominal;

    fn steel(c: f64, si: f64, mn: f64, mo: f64) -> Composition {
        Composition { c, si, mn, mo, ..Composition::default() }
    }

    /// 0.40 C, 0.75 Mn, 0.25 Si: Ac1 722.2, Ms 347.0 by the formulas of Andrews 1965 (from memory).
    #[test]
    fn temperatures_of_a_medium_carbon_steel() {
        let c = steel(0.4, 0.25, 0.75, 0.0);
        assert!((ac1(&c) - 722.25).abs() < 0.01 && (ms(&c) - 347.0).abs() < 0.01);
        // 910 − 203·√0.4 + 44.7·0.25.
        assert!((ac3(&c).unwrap() - 792.787).abs() < 0.01);
        assert!(ac3(&steel(0.95, 0.25, 0.4, 0.0)).is_none());
    }

    /// Koistinen and Marburger: a tenth is left 209 K below Ms, all of it at Ms.
    #[test]
    fn austenite_is_left_as_the_law_says() {
        assert!((retained(229.33, 20.0) - 0.1).abs() < 1e-3);
        assert!((retained(10.0, 20.0) - 1.0).abs() < 1e-12);
    }

    /// Grange and Baughman's points themselves, an hour each; two hours do as some degrees more; nothing beyond.
    #[test]
    fn hardness_goes_through_the_measured_points() {
        for (t, hrc) in TEMPERED {
            assert!((hardness(t, 1.0).unwrap() - hrc).abs() < 1e-9);
        }
        assert!(hardness(230.0, 2.0).unwrap() < hardness(230.0, 1.0).unwrap());
        assert!(hardness(150.0, 1.0).is_none() && hardness(400.0, 1.0).is_none());
    }

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

    #[test]
    fn guidance_says_where_it_does_not_reach() {
        let of = |name: &str| SteelHeat::of(&nominal(name).unwrap());
        assert!(
            of("C75S").tempered_hrc.is_some() && of("C75S").ac3_c.is_some() && of("C75S").ms_extrapolated
        );
        assert!(of("C105U").ac3_c.is_none() && of("C105U").tempered_hrc.is_none());
        assert!(of("80CrV2").tempered_hrc.is_none());
        let c45 = of("C45");
        assert!(!c45.ms_extrapolated && c45.retained_austenite < 0.1 && c45.hardening_c[0] > c45.ac1_c);
        for t in TEMPERING {
            assert!(hardness(t, 1.0).is_some(), "{t}");
        }
    }
}
