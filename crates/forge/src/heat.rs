//! Guidance on heat from the steels' composition: always with where it comes from, how far it reaches, and nothing beyond.

use laminate::Billet;
use serde::Serialize;
use steel::{FITTED, Steel, ac1, ac3, hardness, ms, retained};

/// Above the upper temperature to which steel is heated for hardening and normalising, K (common practice, no source).
const HARDENING: [f64; 2] = [20.0, 50.0];
/// The same for three normalising heats, each a little lower than the one before, so that grains get finer (common
/// practice, no source).
const NORMALISING: [[f64; 2]; 3] = [[40.0, 80.0], [20.0, 60.0], [0.0, 40.0]];
/// How long a blade is held at hardening temperature once its colour is even, in a kiln, min (common practice, no source).
const SOAK: [f64; 2] = [5.0, 10.0];
/// How long it is tempered each time, min, and how often (common practice, no source; hardness is told for an hour).
const TEMPERED_FOR: (f64, usize) = (60.0, 2);
/// A room's temperature, °C.
const ROOM: f64 = 20.0;
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
    pub fn of(steel: &Steel) -> SteelHeat {
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

#[cfg(test)]
mod tests {
    use super::*;
    use steel::nominal;

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
