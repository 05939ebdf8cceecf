//! Published temperatures for forging, normalising and hardening, by the names of standard steels.

use crate::composition::{Composition, Steel};
use crate::nominal::nominal;

/// A band of temperatures.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Band {
    /// Its ends, °C, the lower one first.
    pub celsius: [f64; 2],
    /// Who published it.
    pub source: &'static str,
    /// Whether the source itself was at hand; otherwise it is quoted from memory.
    pub seen: bool,
    /// Whether the source has one temperature, which is widened here by [`EITHER_WAY`].
    pub widened: bool,
}

impl Band {
    /// Who published it, and whether it was widened or is quoted from memory.
    pub fn told(&self) -> String {
        let widened = if self.widened { ", widened" } else { "" };
        let recalled = if self.seen { "" } else { ", not confirmed" };
        format!("{}{widened}{recalled}", self.source)
    }
}

/// What is known of one heat of a steel.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Advice {
    /// A published band.
    Heat(Band),
    /// It must not be heated so, or nothing comes of it; why.
    Never(&'static str),
    /// It need not be heated so, and bears it; why.
    Needless(&'static str),
    /// Nothing published is known here.
    Unknown,
}

/// What is published of a steel's heats.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Published {
    /// Forging, from where it is laid back into the fire up to the hottest start.
    pub forging: Advice,
    /// Cooling in still air from above the transformation.
    pub normalising: Advice,
    /// Quenching.
    pub hardening: Advice,
    /// What it is quenched in, by the same sources.
    pub medium: Medium,
}

/// What a steel is quenched in.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Medium {
    /// In words; nothing for what does not harden.
    pub words: &'static str,
    /// Sections (mm) under which oil will do where the words ask for water; none where no source gives one.
    pub oil_under: Option<f64>,
}

/// How far a source's single temperature is widened either way, K: as kilns and eyes differ by (common practice, no
/// source).
pub const EITHER_WAY: f64 = 15.0;

const fn seen(low: f64, high: f64, source: &'static str) -> Advice {
    Advice::Heat(Band { celsius: [low, high], source, seen: true, widened: false })
}

const fn recalled(low: f64, high: f64, source: &'static str) -> Advice {
    Advice::Heat(Band { celsius: [low, high], source, seen: false, widened: false })
}

/// A source's single temperatures, widened either way.
const fn about(low: f64, high: f64, source: &'static str, seen: bool) -> Advice {
    Advice::Heat(Band { celsius: [low - EITHER_WAY, high + EITHER_WAY], source, seen, widened: true })
}

const fn oil_or_water(words: &'static str) -> Medium {
    Medium { words, oil_under: None }
}

/// Water, or oil for sections under so many mm.
const fn water(words: &'static str, oil_under: f64) -> Medium {
    Medium { words, oil_under: Some(oil_under) }
}

/// Not quenched at all.
const NOTHING: Medium = Medium { words: "", oil_under: None };
/// Sections under which plain steels of 0.45 to 0.85 % carbon harden in oil, mm: Heat Treater's Guide (from memory; for
/// medium-carbon steels seen in an excerpt).
const THIN: f64 = 6.35;
/// The same for 1095, mm: Heat Treater's Guide (from memory).
const THIN_1095: f64 = 4.8;

const SOFT: &str = "too little carbon as bought to harden";
const NICKEL: &str = "nickel neither hardens nor needs a normalising heat: ASTM B160 sells it annealed";
const ASM: &str = "ASM Handbook vol. 4";
const GUIDE: &str = "Heat Treater's Guide";
const SHEETS: &str = "trade figures";
const LUCIFER: &str = "Lucifer Furnaces, guide, W1; carbon taken as 1 %";

/// Names, forging, normalising, hardening, medium. Single temperatures are those of ASM Handbook vol. 4, 1991, and Chandler,
/// Heat Treater's Guide, 2nd ed. No source has iron's lower end of forging: it is C45's.
const BANDS: &[(&[&str], Advice, Advice, Advice, Medium)] = &[
    (
        &["iron", "pure iron", "1018", "S235JR", "1.0038", "mild steel"],
        recalled(850.0, 1250.0, SHEETS),
        recalled(900.0, 930.0, ASM),
        Advice::Never(SOFT),
        NOTHING,
    ),
    (
        &["wrought iron"],
        recalled(850.0, 1250.0, SHEETS),
        recalled(900.0, 930.0, "ASM Handbook vol. 4, for iron without phosphorus"),
        Advice::Never(SOFT),
        NOTHING,
    ),
    (
        &["phosphoric iron"],
        recalled(850.0, 1250.0, SHEETS),
        Advice::Needless("phosphorus keeps it ferrite at heat, not confirmed"),
        Advice::Never(SOFT),
        NOTHING,
    ),
    (
        &["Nickel 201", "nickel"],
        recalled(650.0, 1230.0, SHEETS),
        Advice::Needless(NICKEL),
        Advice::Never(NICKEL),
        NOTHING,
    ),
    (
        &["1045"],
        recalled(870.0, 1245.0, GUIDE),
        recalled(860.0, 900.0, ASM),
        about(845.0, 845.0, GUIDE, false),
        water("water or brine", THIN),
    ),
    (
        &["C45", "1.0503"],
        seen(850.0, 1100.0, "Saarstahl, sheet C45"),
        seen(840.0, 880.0, "Saarstahl, sheet C45"),
        seen(820.0, 860.0, "Saarstahl, sheet C45"),
        oil_or_water("water or oil"),
    ),
    (
        &["C45U", "1.1730"],
        seen(850.0, 1100.0, "Akrostal, sheet C45U"),
        Advice::Unknown,
        seen(800.0, 830.0, "Meusburger, sheet 1.1730"),
        oil_or_water("water"),
    ),
    (
        &["1060", "C60", "1.0601"],
        recalled(815.0, 1205.0, GUIDE),
        recalled(830.0, 885.0, ASM),
        about(815.0, 815.0, GUIDE, false),
        water("water or brine", THIN),
    ),
    (
        &["C67S", "1.1231"],
        seen(800.0, 1100.0, "Saarstahl, sheet C67S"),
        seen(800.0, 840.0, "Saarstahl and Akrostal, sheets C67S"),
        seen(815.0, 845.0, "Saarstahl and Akrostal, sheets C67S"),
        oil_or_water("oil or water"),
    ),
    (
        &["1070"],
        recalled(800.0, 1100.0, "Saarstahl, sheet C67S, a like steel"),
        recalled(800.0, 840.0, "Saarstahl and Akrostal, sheets C67S, a like steel"),
        recalled(815.0, 845.0, "Saarstahl and Akrostal, sheets C67S, a like steel"),
        oil_or_water("oil or water"),
    ),
    (
        &["1075", "C75S", "1.1248"],
        recalled(850.0, 1050.0, SHEETS),
        recalled(800.0, 830.0, SHEETS),
        // A trader's page on C75S has 780 to 820, trade figures from memory 810 to 840.
        recalled(780.0, 840.0, "a steel dealer's page, C75S; trade figures are hotter"),
        oil_or_water("fast oil; water may crack it"),
    ),
    (
        &["1080", "1084"],
        recalled(815.0, 1175.0, GUIDE),
        about(830.0, 830.0, ASM, false),
        about(815.0, 815.0, GUIDE, false),
        water("water", THIN),
    ),
    (
        &["1095"],
        recalled(815.0, 1150.0, GUIDE),
        about(845.0, 855.0, "ASM Handbook vol. 4 and Heat Treater's Guide", false),
        about(800.0, 800.0, GUIDE, false),
        water("brine or water", THIN_1095),
    ),
    (
        &["C80U", "1.1525"],
        recalled(850.0, 1050.0, SHEETS),
        recalled(790.0, 830.0, SHEETS),
        recalled(780.0, 800.0, SHEETS),
        oil_or_water("water"),
    ),
    (
        &["C105U", "1.1545"],
        recalled(850.0, 1050.0, SHEETS),
        recalled(800.0, 840.0, SHEETS),
        recalled(770.0, 790.0, SHEETS),
        oil_or_water("water"),
    ),
    (
        &["W1"],
        recalled(815.0, 1040.0, GUIDE),
        seen(790.0, 870.0, LUCIFER),
        seen(760.0, 845.0, LUCIFER),
        oil_or_water("brine or water; thin sections in oil"),
    ),
    (
        &["W2"],
        recalled(815.0, 1040.0, GUIDE),
        recalled(790.0, 870.0, LUCIFER),
        recalled(760.0, 845.0, LUCIFER),
        oil_or_water("brine or water; thin sections in oil"),
    ),
    (
        &["52100", "100Cr6", "1.3505"],
        seen(900.0, 1050.0, "Lucefin, card 100Cr6"),
        seen(900.0, 925.0, "Steelforge, 52100"),
        seen(830.0, 870.0, "Lucefin, card 100Cr6"),
        oil_or_water("oil"),
    ),
    (
        &["O1"],
        seen(845.0, 1065.0, "Kmac, O1"),
        about(870.0, 870.0, "Diamond Metals says do not; Kmac, O1, and Lucifer Furnaces, guide", true),
        seen(790.0, 815.0, "Eastern Tool Steel, O-1"),
        oil_or_water("oil"),
    ),
    (
        &["95MnWCr5", "1.2825", "100MnCrW4", "1.2510"],
        recalled(845.0, 1065.0, "Kmac, O1, a like steel"),
        about(870.0, 870.0, "Diamond Metals says do not of O1, a like steel; Kmac, O1", false),
        recalled(790.0, 815.0, "Eastern Tool Steel, O-1, a like steel"),
        oil_or_water("oil"),
    ),
    (
        &["90MnCrV8", "1.2842"],
        seen(850.0, 1050.0, "a steel supplier's sheet, 1.2842"),
        about(845.0, 845.0, "Heat Treater's Guide, O2, a like steel", false),
        seen(790.0, 820.0, "a steel supplier's sheet, 1.2842"),
        oil_or_water("oil"),
    ),
    (
        &["O2"],
        recalled(850.0, 1050.0, SHEETS),
        about(845.0, 845.0, GUIDE, false),
        recalled(760.0, 800.0, GUIDE),
        oil_or_water("oil"),
    ),
    (
        &["5160"],
        recalled(870.0, 1205.0, GUIDE),
        about(870.0, 870.0, ASM, false),
        about(830.0, 830.0, GUIDE, false),
        oil_or_water("oil"),
    ),
    (
        &["75Ni8", "15N20", "1.5634"],
        recalled(850.0, 1100.0, SHEETS),
        recalled(800.0, 830.0, SHEETS),
        recalled(790.0, 820.0, SHEETS),
        oil_or_water("oil"),
    ),
    (
        &["80CrV2", "1.2235"],
        recalled(850.0, 1050.0, SHEETS),
        recalled(840.0, 870.0, SHEETS),
        recalled(820.0, 850.0, SHEETS),
        oil_or_water("oil"),
    ),
    (
        &["L6"],
        seen(925.0, 1190.0, "Diamond Metals, L6"),
        Advice::Never("it hardens in air: Diamond Metals, L6"),
        seen(815.0, 845.0, "Eastern Tool Steel, L-6; Diamond Metals, L6"),
        oil_or_water("oil"),
    ),
];

/// What is published of a standard's steel; `None` for a steel of another name, or of that name with a composition of
/// its own.
pub fn published(steel: &Steel) -> Option<Published> {
    published_of_name(&nominal(&steel.name).filter(|s| s.composition == steel.composition)?.name)
}

/// What is published of the standard's steel of this name, whatever a file says of its composition; `None` for a name
/// that is no standard's, or one of which nothing is known.
pub fn published_of_name(name: &str) -> Option<Published> {
    let of = |names: &[&str]| names.iter().any(|known| known.eq_ignore_ascii_case(name));
    let (_, forging, normalising, hardening, medium) = BANDS.iter().find(|(names, ..)| of(names))?;
    Some(Published { forging: *forging, normalising: *normalising, hardening: *hardening, medium: *medium })
}

/// A heat of a steel's data sheet that leaves what is published of its name by more than [`EITHER_WAY`].
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Departure {
    /// Which heat: `forging`, `normalising` or `hardening`.
    pub heat: &'static str,
    /// What is published.
    pub published: Advice,
}

/// Where a steel's own data sheet leaves what is published of its name: too cold or too hot, or where it must not be
/// heated so at all. A forging range may begin anywhere: its hotter end counts.
pub fn departures(steel: &Steel) -> Vec<Departure> {
    let Some(known) = published_of_name(&steel.name) else { return Vec::new() };
    let sheet = &steel.sheet;
    let hottest = |band: [f64; 2]| [f64::INFINITY, band[1]];
    let heats = [
        ("forging", sheet.forging.map(hottest), known.forging),
        ("normalising", sheet.normalising, known.normalising),
        ("hardening", sheet.hardening, known.hardening),
    ];
    let leaves = |own: [f64; 2], published: Advice| match published {
        Advice::Heat(Band { celsius: [low, high], .. }) => {
            own[0] < low - EITHER_WAY || own[1] > high + EITHER_WAY
        }
        Advice::Never(_) => true,
        Advice::Needless(_) | Advice::Unknown => false,
    };
    let found =
        heats.into_iter().filter(|(_, own, published)| own.is_some_and(|own| leaves(own, *published)));
    found.map(|(heat, _, published)| Departure { heat, published }).collect()
}

/// Whether a steel has the name of a standard's alloy steel, but by its composition is a plain one: its alloys were left
/// out.
pub fn lacks_alloys(steel: &Steel) -> bool {
    let standard = nominal(&steel.name).filter(|s| !s.composition.is_plain());
    standard.is_some() && steel.composition.is_plain()
}

/// Plain steels whose hardening is published, by which one of another carbon is judged.
const PLAINS: [&str; 7] = ["1045", "1060", "C67S", "1075", "1084", "1095", "C105U"];
/// How far the carbon of a plain steel may lie from the nearest of them, mass percent: what lies between two.
const BETWEEN: f64 = 0.1;

/// The plain standard steel nearest in carbon to a plain steel of this composition, and what is published of it; `None`
/// for a steel with alloys, or with a carbon that none is near to. Phosphorus, which only iron has, counts for nothing
/// here.
pub fn plain_by_carbon(c: &Composition) -> Option<(&'static str, Published)> {
    let off = |name: &str| nominal(name).map_or(f64::INFINITY, |s| (s.composition.c - c.c).abs());
    let near = PLAINS.into_iter().filter(|_| c.is_plain()).min_by(|a, b| off(a).total_cmp(&off(b)))?;
    Some((near, published_of_name(near).filter(|_| off(near) <= BETWEEN)?))
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::nominal::nominals;

    fn of(name: &str) -> Published {
        published(&nominal(name).unwrap()).unwrap_or_else(|| panic!("{name}"))
    }

    #[test]
    fn bands_are_bands_of_known_steels() {
        for (names, forging, normalising, hardening, medium) in BANDS {
            assert_eq!(medium.words.is_empty(), matches!(hardening, Advice::Never(_)), "{names:?}");
            for name in *names {
                assert!(nominals().any(|n| n == *name), "{name}");
            }
            let Advice::Heat(forged) = forging else { panic!("{names:?} is not forged") };
            assert!(
                forged.celsius[1] - forged.celsius[0] >= 150.0 && forged.celsius[1] <= 1250.0,
                "{names:?}"
            );
            for advice in [normalising, hardening] {
                if let Advice::Heat(band) = advice {
                    let [low, high] = band.celsius;
                    assert!(low < high && (700.0..1000.0).contains(&low) && high < 1000.0, "{names:?}");
                }
            }
        }
    }

    /// Every name but 102Cr6's, for which no band was found.
    #[test]
    fn all_steels_but_one_have_advice() {
        let without: Vec<&str> = nominals().filter(|n| published(&nominal(n).unwrap()).is_none()).collect();
        assert_eq!(without, ["102Cr6", "1.2067"]);
    }

    /// Makers' sheets: C67S is hardened from 815–845 °C, 100Cr6 from 830–870, O1 from 790–815, 1.2842 from 790–820, L6
    /// from 815–845 and never normalised, as it hardens in air; mild steel is not hardened.
    #[test]
    fn heats_are_those_of_the_sheets() {
        for (name, band) in [
            ("C67S", [815.0, 845.0]),
            ("100Cr6", [830.0, 870.0]),
            ("O1", [790.0, 815.0]),
            ("90MnCrV8", [790.0, 820.0]),
            ("L6", [815.0, 845.0]),
        ] {
            let Advice::Heat(told) = of(name).hardening else { panic!("{name} has no hardening heat") };
            let off = std::array::from_fn::<f64, 2, _>(|i| (told.celsius[i] - band[i]).abs());
            assert!(told.seen && off.iter().all(|d| *d < 1e-9), "{name}: {:?}", told.celsius);
        }
        assert!(matches!(of("L6").normalising, Advice::Never(_)));
        assert!(matches!(of("mild steel").hardening, Advice::Never(_)));
    }

    #[test]
    fn a_plain_steel_goes_by_its_carbon() {
        let near = |c: f64, cr: f64| plain_by_carbon(&Composition { c, cr, ..Composition::default() });
        assert_eq!(near(0.59, 0.0).map(|n| n.0), Some("1060"));
        assert_eq!(near(0.95, 0.1).map(|n| n.0), Some("1095"));
        assert!(near(0.2, 0.0).is_none() && near(0.9, 1.0).is_none() && near(1.4, 0.0).is_none());
        // O2's manganese is no plain steel's, nor is a spring's silicon.
        let rich =
            |mn: f64, si: f64| plain_by_carbon(&Composition { c: 0.6, mn, si, ..Composition::default() });
        assert!(rich(1.04, 0.25).is_none() && rich(0.8, 0.52).is_none() && rich(1.0, 0.5).is_some());
        assert!(rich(0.9, 0.4).is_some() && rich(1.6, 0.25).is_none() && rich(0.8, 1.8).is_none());
        // Every carbon from 0.4 to 1.1 has a neighbour.
        assert!((40..=110).all(|c| near(f64::from(c) / 100.0, 0.0).is_some()));
    }

    /// Published: W2 760 to 845 °C, 52100 830 to 870, L6 never normalised, C105U forged to 1050.
    #[test]
    fn a_data_sheet_that_leaves_what_is_published_is_told() {
        let told = |name: &str, forging, normalising, hardening| {
            let mut own = nominal(name).unwrap();
            own.composition.c += 0.01;
            own.sheet.forging = forging;
            own.sheet.normalising = normalising;
            own.sheet.hardening = hardening;
            departures(&own).iter().map(|d| d.heat).collect::<Vec<_>>()
        };
        assert_eq!(told("W2", None, None, Some([880.0, 930.0])), ["hardening"]);
        assert_eq!(told("52100", None, None, Some([740.0, 760.0])), ["hardening"]);
        assert_eq!(told("L6", None, Some([860.0, 880.0]), Some([815.0, 845.0])), ["normalising"]);
        assert_eq!(told("C105U", Some([700.0, 1200.0]), None, None), ["forging"]);
        // Within 15 K it is the same.
        assert_eq!(told("W2", None, None, Some([746.0, 859.0])), [""; 0]);
        assert_eq!(told("W2", None, None, Some([744.0, 845.0])), ["hardening"]);
        assert_eq!(told("W2", None, None, Some([760.0, 861.0])), ["hardening"]);
        let mut unknown = nominal("W2").unwrap();
        unknown.name = "Weir steel".to_owned();
        unknown.sheet.hardening = Some([1000.0, 1100.0]);
        assert!(departures(&unknown).is_empty());
    }

    #[test]
    fn a_composition_of_ones_own_is_not_the_standards() {
        let mut own = nominal("1084").unwrap();
        own.composition.c = 0.5;
        assert!(published(&own).is_none());
    }
}
