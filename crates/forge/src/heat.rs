//! Heats of the steels: published bands first, formulas only where none is known and then marked, nothing beyond their
//! reach.

use serde::Serialize;
use steel::{
    Advice, Composition, MARTENSITE_CARBON, Steel, Tempering, ac1, ac3, dissolved, is_low_alloy, ms_band,
    published, quenched_hardness, retained,
};

/// Above Ac3 to which plain steel is heated for hardening, K, where nothing is published (common practice, no source).
const HARDENING: [f64; 2] = [20.0, 50.0];
/// The same for the first normalising heat (common practice, no source).
const NORMALISING: [f64; 2] = [40.0, 80.0];
/// A room's temperature, °C.
const ROOM: f64 = 20.0;
/// Less carbon than this does not harden usefully, mass percent (common practice, no source).
pub(crate) const LEAST_CARBON: f64 = 0.3;
/// How long a blade is tempered each time, min (common practice, no source).
pub(crate) const TEMPER: f64 = 60.0;
/// How often it is tempered (common practice, no source).
pub(crate) const TEMPERS: usize = 2;
/// How long it is tempered in all, h.
pub(crate) const TEMPERED: f64 = TEMPERS as f64 * TEMPER / 60.0;

/// A heat: its band, or why there is none, and where that comes from.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct Heat {
    /// From where to where, °C; none where the steel must not be heated so or nothing is known.
    pub celsius: Option<[f64; 2]>,
    /// Who published it, how it was calculated, or why there is none.
    pub source: String,
    /// Whether the source is quoted from memory, or the band calculated: then it is to be tried on a coupon.
    pub unsure: bool,
}

impl Heat {
    /// The band that a steel's own data sheet gives; without one what `other` says.
    fn by_sheet(celsius: Option<[f64; 2]>, other: impl FnOnce() -> Heat) -> Heat {
        let own = |band| Heat { celsius: Some(band), source: "its own data sheet".to_owned(), unsure: false };
        celsius.map_or_else(other, own)
    }

    /// The published band; without one that of a formula, where it reaches so far.
    fn of(advice: Advice, calculated: Option<[f64; 2]>) -> Heat {
        match (advice, calculated) {
            (Advice::Heat(band), _) => Heat {
                celsius: Some(band.celsius),
                source: format!("{}{}", band.source, if band.seen { "" } else { ", not confirmed" }),
                unsure: !band.seen,
            },
            (Advice::Never(why), _) => Heat { celsius: None, source: why.to_owned(), unsure: false },
            (Advice::Unknown, Some(celsius)) => {
                Heat { celsius: Some(celsius), source: "calculated from Ac3".to_owned(), unsure: true }
            }
            (Advice::Unknown, None) => {
                Heat { celsius: None, source: "see the maker's data sheet".to_owned(), unsure: true }
            }
        }
    }
}

/// What quenching from the hardening heat makes of a steel: each value least and greatest.
#[derive(Clone, Copy, Debug, PartialEq, Serialize)]
pub struct Quenched {
    /// Carbon in solution at that heat, mass percent; what is more stays as carbides.
    pub dissolved_percent: [f64; 2],
    /// Where martensite begins to form, °C.
    pub ms_c: [f64; 2],
    /// Share of austenite left at 20 °C.
    pub retained_austenite: [f64; 2],
    /// Hardness where it is martensite throughout, HRC.
    pub hardness_hrc: [f64; 2],
}

impl Quenched {
    /// Of a steel from a heat, if it has one.
    pub(crate) fn of(steel: &Steel, heat: &Heat) -> Option<Quenched> {
        let c = &steel.composition;
        let [cool, hot] = heat.celsius.filter(|_| is_low_alloy(c))?;
        let (a, b) = (ms_band(c, cool), ms_band(c, hot));
        let ms = [a[0].min(b[0]), a[1].max(b[1])];
        let carbon = [dissolved(c, cool)[0], dissolved(c, hot)[1]];
        // Beyond the standard's last carbon hardness hardly rises: common practice, no source.
        let [soft, hard] = carbon.map(|c| quenched_hardness(c.min(MARTENSITE_CARBON[1])));
        Some(Quenched {
            dissolved_percent: carbon,
            ms_c: ms,
            retained_austenite: [retained(ms[1], ROOM), retained(ms[0], ROOM)],
            hardness_hrc: [soft?, hard?],
        })
    }
}

/// Temperatures of a steel, °C.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct SteelHeat {
    /// The steel.
    pub steel: String,
    /// Where austenite begins to form on slow heating; none for what is no low alloy steel.
    pub ac1_c: Option<f64>,
    /// Where the last ferrite is gone; none above 0.77 % carbon.
    pub ac3_c: Option<f64>,
    /// Forging, from where it goes back into the fire up to the hottest start.
    pub forging: Heat,
    /// The first normalising heat, cooled in still air.
    pub normalising: Heat,
    /// Hardening.
    pub hardening: Heat,
    /// What quenching from it makes; none without a hardening heat.
    pub quenched: Option<Quenched>,
    /// Tempering; none where nothing published speaks for it.
    pub tempering: Option<TemperHeat>,
}

/// Hardness for tempering temperatures, and the other way.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct TemperHeat {
    /// Hardness after two hours in all at the temperatures of [`TEMPERING`]: least and greatest, HRC; none beyond the
    /// curve.
    pub hrc: [Option<[f64; 2]>; 3],
    /// For each hardness of [`WANTED`] the temperature, °C; none beyond the curve.
    pub celsius: [Option<f64>; 3],
    /// How far the hardness may lie off the middle, HRC.
    pub band_hrc: f64,
    /// Who published it.
    pub source: String,
    /// Whether it is quoted from memory or lies between other steels' curves: try it on a coupon.
    pub unsure: bool,
}

/// Temperatures at which [`TemperHeat::hrc`] is told, °C.
pub const TEMPERING: [f64; 3] = [205.0, 230.0, 260.0];
/// Hardnesses for which [`TemperHeat::celsius`] is told, HRC: from a tool's to a long blade's.
pub const WANTED: [f64; 3] = [60.0, 58.0, 56.0];

impl TemperHeat {
    /// By curves for the least and the greatest carbon that the steel may have.
    pub(crate) fn of([low, high]: [&Tempering; 2]) -> TemperHeat {
        let hardness = |t: f64| {
            let (a, b) = (low.hardness(t, TEMPERED)?, high.hardness(t, TEMPERED)?);
            Some([a[0].min(b[0]), a[1].max(b[1])])
        };
        let heat = |hrc: f64| {
            let both = [low.temperature(hrc, TEMPERED), high.temperature(hrc, TEMPERED)];
            let [a, b] = [both[0].or(both[1])?, both[1].or(both[0])?];
            Some(0.5 * (a + b))
        };
        let spreads = TEMPERING.into_iter().filter_map(hardness).map(|[a, b]| 0.5 * (b - a));
        TemperHeat {
            hrc: TEMPERING.map(hardness),
            celsius: WANTED.map(heat),
            band_hrc: spreads.fold(low.band().max(high.band()), f64::max),
            source: low.source(),
            unsure: !(low.seen() && high.seen()),
        }
    }
}

/// Hardening of a steel by its Ac3, °C; none where the formulas do not reach.
pub(crate) fn calculated(c: &Composition) -> Option<[f64; 2]> {
    above(c, HARDENING)
}

/// A band above the end of the transformation, °C.
fn above(c: &Composition, band: [f64; 2]) -> Option<[f64; 2]> {
    let end = ac3(c).filter(|_| is_low_alloy(c))?.max(ac1(c));
    Some(band.map(|k| end + k))
}

impl SteelHeat {
    /// Of a steel with this composition.
    pub fn of(steel: &Steel) -> SteelHeat {
        let c = &steel.composition;
        let known = is_low_alloy(c);
        let (ac1, ac3) = (known.then(|| ac1(c)), ac3(c).filter(|_| known));
        let soft = c.c < LEAST_CARBON;
        let soft = soft.then_some(Advice::Never("too little carbon: it does not harden"));
        let (forging, normalising, hardening) = match published(steel) {
            Some(known) => (known.forging, known.normalising, known.hardening),
            None => (Advice::Unknown, Advice::Unknown, soft.unwrap_or(Advice::Unknown)),
        };
        let hardening = Heat::by_sheet(steel.sheet.hardening, || Heat::of(hardening, calculated(c)));
        let hardens = hardening.celsius.is_some() || hardening.unsure;
        SteelHeat {
            steel: steel.name.clone(),
            ac1_c: ac1,
            ac3_c: ac3,
            forging: Heat::by_sheet(steel.sheet.forging, || Heat::of(forging, None)),
            normalising: Heat::by_sheet(steel.sheet.normalising, || {
                Heat::of(normalising, above(c, NORMALISING))
            }),
            quenched: Quenched::of(steel, &hardening),
            tempering: Tempering::of(steel).filter(|_| hardens).map(|t| TemperHeat::of([&t, &t])),
            hardening,
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use steel::nominal;

    fn of(name: &str) -> SteelHeat {
        SteelHeat::of(&nominal(name).unwrap())
    }

    #[test]
    fn guidance_says_where_it_does_not_reach() {
        assert!(of("C75S").tempering.is_some() && of("C75S").ac3_c.is_some());
        assert!(of("C105U").ac3_c.is_none() && of("C105U").tempering.is_some_and(|t| t.unsure));
        assert!(of("O1").tempering.is_some_and(|t| !t.unsure && t.band_hrc < 2.0));
        assert!(of("80CrV2").tempering.is_some_and(|t| t.band_hrc > 2.0));
        assert!(of("mild steel").tempering.is_none() && of("mild steel").quenched.is_none());
    }

    /// Published bands come before formulas: 1095 from about 800 °C (Heat Treater's Guide, from memory), 100Cr6 by
    /// Lucefin's card; mild steel has none.
    #[test]
    fn published_bands_come_first() {
        assert_eq!(of("1095").hardening.celsius, Some([785.0, 815.0]));
        assert!(of("1095").hardening.unsure && of("1095").hardening.source.ends_with(", not confirmed"));
        assert_eq!(of("100Cr6").hardening.celsius, Some([830.0, 870.0]));
        assert!(of("mild steel").hardening.celsius.is_none() && !of("mild steel").hardening.unsure);
        assert!(of("L6").normalising.celsius.is_none());
    }

    /// ASTM B160 sells nickel annealed: no heat of steel is told for it, nor for iron that does not harden.
    #[test]
    fn nickel_has_no_heat_of_steel() {
        let nickel = of("nickel");
        assert!(nickel.hardening.celsius.is_none() && nickel.normalising.celsius.is_none());
        assert!(nickel.ac1_c.is_none() && nickel.ac3_c.is_none() && nickel.quenched.is_none());
        let own = Composition { c: 0.4, ni: 45.0, ..Composition::default() };
        let own = SteelHeat::of(&Steel::new("Bright", own));
        assert!(own.hardening.celsius.is_none() && own.normalising.celsius.is_none());
    }

    /// Lucefin's card of 102Cr6: Ms 210 °C. By all the carbon of the steel Andrews's line has it near 70.
    #[test]
    fn martensite_begins_by_the_carbon_in_solution() {
        let [low, high] = of("100Cr6").quenched.unwrap().ms_c;
        assert!(low > 140.0 && low < 210.0 && high > 210.0, "{low} {high}");
        let left = of("1095").quenched.unwrap().retained_austenite;
        assert!(left[0] > 0.05 && left[1] < 0.22, "{left:?}");
        let c45 = of("C45").quenched.unwrap();
        assert!(c45.retained_austenite[1] < 0.08 && (c45.dissolved_percent[0] - 0.46).abs() < 1e-12);
    }

    /// Steels of one's own: by Ac3 where the formula reaches, otherwise not at all.
    #[test]
    fn own_steels_are_calculated_where_a_formula_reaches() {
        let own = |c: f64| {
            let composition = Composition { c, si: 0.25, mn: 0.7, ..Composition::default() };
            SteelHeat::of(&Steel::new("Weir", composition))
        };
        let medium = own(0.6);
        assert_eq!(medium.hardening.celsius, medium.ac3_c.map(|t| [t + 20.0, t + 50.0]));
        assert!(medium.hardening.unsure && medium.hardening.source.starts_with("calculated"));
        assert!(own(0.95).hardening.celsius.is_none() && own(0.95).hardening.unsure);
        assert!(own(0.1).hardening.celsius.is_none() && !own(0.1).hardening.unsure);
    }

    /// What the maker's data sheet says comes before all that is published.
    #[test]
    fn a_data_sheet_wins() {
        let told = "name = 'Oar'\n[outline]\nlength = 250\nbreadth = 28\n[[taper]]\nat = 0\nback = 5\n[billet]\n\
                    width = 12\n[[bar]]\nheight = 40\nsteel = 'C75S'\n[[steel]]\nname = 'C75S'\ncarbon = 0.75\n\
                    forging = [860, '1900 F']\nnormalising = [820, 840]\nhardening = ['1490 F', 830]\nquench = 'slow oil'\n\
                    tempering = [{ at = 150, hrc = 63 }, { at = 300, hrc = 55 }]\n";
        let design = design::read(told.as_bytes()).unwrap_or_else(|p| panic!("{p:#?}"));
        let steel = &design.billet().unwrap().steels()[0];
        let heat = SteelHeat::of(steel);
        assert_eq!(heat.hardening.celsius, Some([810.0, 830.0]));
        assert_eq!(heat.normalising.celsius, Some([820.0, 840.0]));
        assert!(
            heat.forging.celsius.is_some_and(|[a, b]| (a - 860.0).abs() < 1e-9 && (b - 1037.8).abs() < 0.05)
        );
        assert!(!heat.hardening.unsure && heat.hardening.source == "its own data sheet");
        // Half way between its points: an hour at 225 °C has 59 HRC.
        let tempering = Tempering::of(steel).unwrap();
        assert!(tempering.hardness(225.0, 1.0).is_some_and(|[a, b]| (0.5 * (a + b) - 59.0).abs() < 1e-9));
        let plan = crate::plan::Plan::of(&design).unwrap();
        assert_eq!(plan.blade_heat.medium.as_deref(), Some("slow oil"));
    }

    /// ASTM A255 (from memory): 0.46 % carbon hardens to about 59 HRC, 0.69 % and more to 65.
    #[test]
    fn quenched_through_a_steel_has_its_carbon_s_hardness() {
        let hrc = |name: &str| of(name).quenched.unwrap().hardness_hrc;
        assert!(hrc("C45")[0] > 58.0 && hrc("C45")[1] < 60.0, "{:?}", hrc("C45"));
        assert!(hrc("1095")[0] > 64.5 && hrc("1095")[1] < 66.0, "{:?}", hrc("1095"));
    }

    /// Temperatures fall with the hardness wanted, and each has it in the middle of its band.
    #[test]
    fn tempering_goes_both_ways() {
        let heat = of("1095").tempering.unwrap();
        let [a, b, c] = heat.celsius.map(Option::unwrap);
        assert!(a < b && b < c && (a..c).contains(&240.0), "{a} {b} {c}");
        let [low, high] = heat.hrc[1].unwrap();
        assert!((high - low - 2.0 * heat.band_hrc).abs() < 1e-9);
    }
}
