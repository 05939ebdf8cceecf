//! Guidance on heat: published bands first, formulas only where none is known and then marked, nothing beyond their reach.

use blade::{Part, Stage};
use design::Design;
use laminate::MaterialMap;
use serde::Serialize;
use steel::{Advice, FITTED, Steel, ac1, ac3, hardness, ms, published, retained};

/// Above Ac3 to which plain steel is heated for hardening, K, where nothing is published (common practice, no source).
const HARDENING: [f64; 2] = [20.0, 50.0];
/// The same for the first normalising heat (common practice, no source).
const NORMALISING: [f64; 2] = [40.0, 80.0];
/// How much lower each of three normalising heats is than the one before, so that grains get finer, K (common practice,
/// no source).
const FALLING: f64 = 20.0;
/// How long a blade is held at hardening temperature once its colour is even, in a kiln, min (common practice, no source).
const SOAK: [f64; 2] = [5.0, 10.0];
/// How long it is tempered each time, min (common practice, no source; hardness is told for an hour).
const TEMPER: f64 = 60.0;
/// How often it is tempered (common practice, no source).
const TEMPERS: usize = 2;
/// A room's temperature, °C.
const ROOM: f64 = 20.0;
/// Less carbon than this does not harden usefully, mass percent (common practice, no source).
const LEAST_CARBON: f64 = 0.3;
/// Carbon for which the measurements of [`hardness`] are taken to speak, mass percent.
const TEMPERED_CARBON: [f64; 2] = [0.55, 0.75];
/// How far a blade's hardness may lie from them, HRC.
const HARDNESS_BAND: f64 = 1.5;
/// Stations along the finished blade at which its edge is looked at.
const LOOKS: usize = 50;

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
    /// The published band; without one that of a formula, where it reaches so far.
    fn of(advice: Advice, calculated: Option<[f64; 2]>) -> Heat {
        match (advice, calculated) {
            (Advice::Heat(band), _) => Heat {
                celsius: Some(band.celsius),
                source: format!("{}{}", band.source, if band.seen { "" } else { ", from memory" }),
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
    /// The first normalising heat, cooled in still air.
    pub normalising: Heat,
    /// Hardening.
    pub hardening: Heat,
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
        let above = |band: [f64; 2]| ac3.map(|t| band.map(|k| t.max(ac1) + k));
        let soft = c.c < LEAST_CARBON;
        let (normalising, hardening) = match published(steel) {
            Some(known) => (known.normalising, known.hardening),
            None if soft => (Advice::Unknown, Advice::Never("too little carbon: it does not harden")),
            None => (Advice::Unknown, Advice::Unknown),
        };
        let speaks =
            (TEMPERED_CARBON[0]..=TEMPERED_CARBON[1]).contains(&c.c) && c.cr + c.mo + c.v + c.w < 0.1;
        SteelHeat {
            steel: steel.name.clone(),
            ac1_c: ac1,
            ac3_c: ac3,
            ms_c: ms,
            ms_extrapolated: c.c > FITTED,
            retained_austenite: retained(ms, ROOM),
            normalising: Heat::of(normalising, above(NORMALISING)),
            hardening: Heat::of(hardening, above(HARDENING)),
            tempered_hrc: if speaks { tempered() } else { None },
        }
    }
}

/// How hot the blade is held as a whole: it is one piece of several steels, heated for its edge.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct BladeHeat {
    /// The steel that lies at the edge of the finished blade over most of its length.
    pub edge_steel: String,
    /// Further steels that come to the edge.
    pub also_at_edge: Vec<String>,
    /// Three normalising heats, °C, each lower than the one before; none where the edge's steel has none.
    pub normalising_c: Option<[[f64; 2]; 3]>,
    /// Hardening of the edge's steel.
    pub hardening: Heat,
    /// What the blade's other steels do at that heat: name and words.
    pub others: Vec<(String, &'static str)>,
    /// How long it is held at hardening temperature once its colour is even, min.
    pub soak_min: [f64; 2],
    /// How long it is tempered each time, min.
    pub temper_min: f64,
    /// How often it is tempered.
    pub tempers: usize,
}

impl BladeHeat {
    /// Of a design with its billet laid, whose steels are held as `heat` says, in the billet's order; `None` where no
    /// steel lies at the edge, which no blade is without.
    pub fn of(design: &Design, lay: &MaterialMap, heat: &[SteelHeat]) -> Option<BladeHeat> {
        let at_edge = steels_at_edge(design, lay, heat.len());
        let most = (0..heat.len()).max_by_key(|&i| (at_edge[i], std::cmp::Reverse(i)))?;
        let edge = &heat[most];
        let also = (0..heat.len()).filter(|&i| i != most && at_edge[i] > 0);
        let others = heat.iter().enumerate().filter(|(i, _)| *i != most);
        Some(BladeHeat {
            edge_steel: edge.steel.clone(),
            also_at_edge: also.map(|i| heat[i].steel.clone()).collect(),
            normalising_c: edge
                .normalising
                .celsius
                .map(|band| [0.0, 1.0, 2.0].map(|step| band.map(|t| t - step * FALLING))),
            others: others
                .filter_map(|(_, other)| Some((other.steel.clone(), behaviour(other, &edge.hardening)?)))
                .collect(),
            hardening: edge.hardening.clone(),
            soak_min: SOAK,
            temper_min: TEMPER,
            tempers: TEMPERS,
        })
    }
}

/// At how many stations of the finished blade each of `count` steels lies at the very edge.
fn steels_at_edge(design: &Design, lay: &MaterialMap, count: usize) -> Vec<usize> {
    let mut seen = vec![0; count];
    let finished = blade::Sections::of(&design.blade().loft(Stage::Finished));
    let (_, end) = finished.range();
    let stations = (0..LOOKS).map(|i| end * (i as f64 + 0.5) / LOOKS as f64);
    for x in stations {
        let Some((plane, section)) = lay.plane(x).zip(finished.at(x)) else { continue };
        debug_assert_eq!(plane.part(), Part::Blade);
        let (low, _) = section.range();
        let (left, right) = section.flanks(low);
        let place = lay.billet().layer(plane.stack_point(low, 0.5 * (left + right)));
        seen[place.steel] += 1;
    }
    seen
}

/// What a steel does at the edge's hardening heat, where that is not its own.
fn behaviour(other: &SteelHeat, edge: &Heat) -> Option<&'static str> {
    let [low, high] = edge.celsius?;
    match other.hardening.celsius {
        None if other.hardening.unsure => Some("see its data sheet"),
        None => Some("stays soft"),
        Some([_, most]) if most < low => {
            Some("is held hotter than it should be: coarser grain, keep the soak short")
        }
        Some([least, _]) if least > high => Some("is not hot enough to harden fully"),
        Some(_) => None,
    }
}

/// Least and greatest hardness, HRC, after an hour at each of [`TEMPERING`].
fn tempered() -> Option<[[f64; 2]; 3]> {
    let [a, b, c] = TEMPERING.map(|t| hardness(t, 1.0));
    Some([a?, b?, c?].map(|h| [h - HARDNESS_BAND, h + HARDNESS_BAND]))
}

#[cfg(test)]
mod tests {
    use super::*;
    use steel::{Composition, nominal};

    fn of(name: &str) -> SteelHeat {
        SteelHeat::of(&nominal(name).unwrap())
    }

    #[test]
    fn guidance_says_where_it_does_not_reach() {
        assert!(
            of("C75S").tempered_hrc.is_some() && of("C75S").ac3_c.is_some() && of("C75S").ms_extrapolated
        );
        assert!(of("C105U").ac3_c.is_none() && of("C105U").tempered_hrc.is_none());
        assert!(of("80CrV2").tempered_hrc.is_none());
        let c45 = of("C45");
        assert!(!c45.ms_extrapolated && c45.retained_austenite < 0.1);
        for t in TEMPERING {
            assert!(hardness(t, 1.0).is_some(), "{t}");
        }
    }

    /// Published bands come before formulas: 1095 from about 800 °C (Heat Treater's Guide, from memory), 100Cr6 by
    /// Lucefin's card; mild steel has none.
    #[test]
    fn published_bands_come_first() {
        assert_eq!(of("1095").hardening.celsius, Some([785.0, 815.0]));
        assert!(of("1095").hardening.unsure && of("1095").hardening.source.ends_with(", from memory"));
        assert_eq!(of("100Cr6").hardening.celsius, Some([830.0, 870.0]));
        assert!(of("mild steel").hardening.celsius.is_none() && !of("mild steel").hardening.unsure);
        assert!(of("L6").normalising.celsius.is_none());
    }

    /// Steels of one's own: by Ac3 where the formula reaches, otherwise not at all.
    #[test]
    fn own_steels_are_calculated_where_a_formula_reaches() {
        let own = |c: f64| {
            let composition = Composition { c, si: 0.25, mn: 0.7, ..Composition::default() };
            SteelHeat::of(&Steel { name: "Weir".to_owned(), composition })
        };
        let medium = own(0.6);
        assert_eq!(medium.hardening.celsius, medium.ac3_c.map(|t| [t + 20.0, t + 50.0]));
        assert!(medium.hardening.unsure && medium.hardening.source.starts_with("calculated"));
        assert!(own(0.95).hardening.celsius.is_none() && own(0.95).hardening.unsure);
        assert!(own(0.1).hardening.celsius.is_none() && !own(0.1).hardening.unsure);
    }

    /// A hard core between soft sides is hardened as what it is.
    #[test]
    fn the_edge_is_what_lies_at_the_edge() {
        let text = "name = 'Oar'\n[outline]\nlength = 250\nbreadth = 28\n[[taper]]\nat = 0\nback = 5\n[billet]\nwidth = 12\n\
                    [[layers]]\nname = 'Core'\nsteels = ['mild steel', 'C105U', 'mild steel']\ncount = 3\n\
                    [[bar]]\nheight = 34\nlayers = 'Core'\ndirection = 'flat'\n";
        let design = design::read(text.as_bytes()).unwrap_or_else(|p| panic!("{p:#?}"));
        let heat: Vec<SteelHeat> = design.billet().unwrap().steels().iter().map(SteelHeat::of).collect();
        let blade = BladeHeat::of(&design, design.lay().unwrap(), &heat).unwrap();
        assert_eq!((blade.edge_steel.as_str(), blade.hardening.celsius), ("C105U", Some([770.0, 790.0])));
        assert_eq!(blade.others, [("mild steel".to_owned(), "stays soft")]);
    }
}
