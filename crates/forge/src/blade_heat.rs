//! The blade as one piece: heated for the steel that lies at its edge, carbon evened out.

use blade::Stage;
use design::{Design, Figures};
use laminate::MaterialMap;
use serde::{Serialize, Serializer};
use steel::{Composition, Steel, Tempering, ac3, depth, is_low_alloy, warming_seconds};

use crate::edge::Edge;
use crate::forging_range::{ForgingRange, listed};
use crate::growth::Growth;
use crate::heat::{Heat, LEAST_CARBON, PHOSPHORUS, Quenched, SteelHeat, TEMPER, TEMPERS, TemperHeat, mark};
use crate::levelling::Levelling;
use crate::medium::QuenchMedium;
use crate::normalising::Normalising;
use crate::treated::{MOVED, Treated};

/// How long a blade is held at hardening temperature once its colour is even, in a kiln, min (common practice, no
/// source).
const SOAK: [f64; 2] = [5.0, 10.0];
/// How near a blade is to the kiln's heat when its colour is even, K: what an eye can't tell apart (common practice, no
/// source). Heats that share less suit each other not.
const NEAR: f64 = 10.0;
/// A room's temperature, °C.
const ROOM: f64 = 20.0;

/// How hot the blade is held as a whole: it is one piece of several steels, heated for its edge.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct BladeHeat {
    /// The steel that lies at the edge of the finished blade over most of its length.
    pub edge_steel: String,
    /// Its carbon there once it has evened out, least and greatest, mass percent.
    pub edge_carbon_percent: [f64; 2],
    /// Further steels that come to the edge.
    pub also_at_edge: Vec<String>,
    /// Where all its steels can be forged together.
    pub forging: ForgingRange,
    /// Three normalising heats, or why there are none.
    pub normalising: Normalising,
    /// Hardening of the edge.
    pub hardening: Heat,
    /// The part of that which suits other hardening steels of the blade too; none where all of it does, or none of it.
    pub common: Option<Common>,
    /// What it is quenched in; none where nothing is known.
    pub medium: Option<QuenchMedium>,
    /// What quenching from it makes of the edge.
    pub quenched: Option<Quenched>,
    /// What the blade's other steels do at that heat: name and words.
    pub others: Vec<(String, Behaviour)>,
    /// Steels that harden and have phosphorus, which keeps them partly ferrite and soft, up to their Ac3, °C.
    pub ferrite: Vec<(String, f64)>,
    /// Steels that phosphorus makes brittle when they are cold.
    pub cold_short: Vec<String>,
    /// Metals that are no steel: of them more than half is nickel.
    pub foreign: Vec<String>,
    /// How long its thickest section takes in a kiln at hardening heat until it is that hot, min; none without such a
    /// heat.
    pub warming_min: Option<f64>,
    /// How long it is held at hardening temperature once its colour is even, min.
    pub soak_min: [f64; 2],
    /// How long it is tempered each time, min.
    pub temper_min: f64,
    /// How often it is tempered.
    pub tempers: usize,
    /// Tempering of the edge; none where nothing published speaks for it.
    pub tempering: Option<TemperHeat>,
    /// How much longer than before it may be once hardened; none where the edge does not harden.
    pub growth: Option<Growth>,
}

/// A part of the edge's hardening band that suits other steels too.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct Common {
    /// From where to where, °C.
    pub celsius: [f64; 2],
    /// Whether the edge's band or one of theirs is quoted from memory, or calculated.
    pub unsure: bool,
    /// The steels.
    pub steels: Vec<String>,
}

impl Common {
    /// In words, on the file's scale.
    pub fn told(&self, l: Figures) -> String {
        let (band, sign) = (l.degree_band(self.celsius), l.temperature.name());
        let mark = mark(self.unsure);
        format!("aim for {band}{mark}\u{a0}{sign}: it suits {} as well", listed(&self.steels))
    }
}

/// A steel of the blade that is not its edge's: what it is called, how it is treated with its carbon evened out, and
/// whether it has enough of it to harden.
struct Other {
    steel: String,
    treated: Treated,
    may_harden: bool,
}

impl Other {
    fn of(own: &SteelHeat, steel: &Steel, levelling: &[Levelling]) -> Other {
        let carbon = evened(steel, levelling);
        let treated = Treated::of(own, steel, carbon);
        let can = is_low_alloy(&steel.composition) || treated.hardening.celsius.is_some();
        Other { steel: own.steel.clone(), treated, may_harden: carbon[1] >= LEAST_CARBON && can }
    }

    fn hardens(&self) -> bool {
        self.may_harden && self.treated.hardening.celsius.is_some()
    }
}

impl BladeHeat {
    /// Of a design with its billet laid, whose steels are held as `heat` says, in the billet's order; `None` where no
    /// steel lies at the edge, which no blade is without.
    pub fn of(
        design: &Design,
        lay: &MaterialMap,
        heat: &[SteelHeat],
        levelling: &[Levelling],
    ) -> Option<BladeHeat> {
        let (steels, at_edge) = (lay.billet().steels(), Edge::of(design, lay, levelling));
        let most = (0..steels.len()).max_by_key(|&i| (at_edge.count(i), std::cmp::Reverse(i)))?;
        let (own, steel, carbon) = (&heat[most], &steels[most], at_edge.carbon(most));
        let edge = Treated::of(own, steel, carbon);
        let also = (0..heat.len()).filter(|&i| i != most && at_edge.count(i) > 0);
        let rest = || (0..heat.len()).filter(|&i| i != most);
        let others: Vec<Other> = rest().map(|i| Other::of(&heat[i], &steels[i], levelling)).collect();
        let quenched = quenched(steel, carbon, &edge.hardening);
        let (common, told) = together(&edge.hardening, &others);
        let uneven = uneven(&others, &told);
        let hot = edge.hardening.celsius;
        Some(BladeHeat {
            edge_steel: own.steel.clone(),
            edge_carbon_percent: carbon,
            also_at_edge: also.map(|i| heat[i].steel.clone()).collect(),
            normalising: Normalising::of(&edge, heat, &compositions(&own.steel, &edge, &others)),
            common,
            others: told,
            cold_short: steels
                .iter()
                .filter(|s| s.composition.p >= PHOSPHORUS)
                .map(|s| s.name.clone())
                .collect(),
            foreign: steels.iter().filter(|s| s.composition.ni > MOSTLY).map(|s| s.name.clone()).collect(),
            ferrite: ferrite(&own.steel, &edge, &others),
            tempering: hot.and_then(|_| tempering(steel, carbon)),
            medium: hot.and_then(|_| QuenchMedium::of(design, &own.steel, &edge, &oil_or_water(&others))),
            forging: ForgingRange::of(heat),
            growth: quenched.map(|q| Growth::of(q, design.blade().length(), soft(&others), uneven)),
            quenched,
            warming_min: hot.and_then(|band| warming(design, band)),
            hardening: edge.hardening,
            soak_min: SOAK,
            temper_min: TEMPER,
            tempers: TEMPERS,
        })
    }
}

impl BladeHeat {
    /// What phosphorus does to its steels, in sentences on the file's scale.
    pub fn phosphorus_told(&self, l: Figures) -> Vec<String> {
        let brittle = (!self.cold_short.is_empty()).then(|| {
            format!("{} is cold-short?: never straighten or hammer it cold", listed(&self.cold_short))
        });
        let kept = self.ferrite.iter().map(|(steel, end)| {
            format!(
                "phosphorus keeps {steel} partly ferrite up to about {}?: it hardens in part only; do not go hotter for it",
                l.temperature((0.1 * end).round() * 10.0)
            )
        });
        brittle.into_iter().chain(kept).chain(self.foreign_told()).collect()
    }

    /// What is said of metals that are no steel.
    fn foreign_told(&self) -> Option<String> {
        (!self.foreign.is_empty()).then(|| {
            format!(
                "{} is no steel: clock, hot length, skin and carbon are given as for steel, and not confirmed for it",
                listed(&self.foreign)
            )
        })
    }
}

/// Nickel from which a metal is no steel, mass percent.
const MOSTLY: f64 = 50.0;

/// The steels that harden, and what each asks to be quenched in.
fn oil_or_water(others: &[Other]) -> Vec<(String, Option<String>)> {
    let words = |o: &Other| (o.steel.clone(), o.treated.medium.as_ref().map(|m| m.0.clone()));
    others.iter().filter(|o| o.hardens()).map(words).collect()
}

/// The steels that stay soft.
fn soft(others: &[Other]) -> Vec<String> {
    others.iter().filter(|o| !o.may_harden).map(|o| o.steel.clone()).collect()
}

/// The steels that harden but share too little of the edge's heat, which is `told` of them.
fn uneven(others: &[Other], told: &[Told]) -> Vec<String> {
    let apart = |o: &&Other| o.may_harden && told.iter().any(|(steel, _)| *steel == o.steel);
    others.iter().filter(apart).map(|o| o.steel.clone()).collect()
}

/// All steels of the blade with what they consist of now, the edge's first.
fn compositions(edge: &str, treated: &Treated, others: &[Other]) -> Vec<(String, Composition)> {
    let others = others.iter().map(|o| (o.steel.clone(), o.treated.composition));
    std::iter::once((edge.to_owned(), treated.composition)).chain(others).collect()
}

/// Steels with phosphorus that have enough carbon to harden, and where their ferrite would be gone, °C.
fn ferrite(edge: &str, treated: &Treated, others: &[Other]) -> Vec<(String, f64)> {
    let others = others.iter().filter(|o| o.may_harden).map(|o| (o.steel.as_str(), &o.treated));
    let all = std::iter::once((edge, treated)).chain(others);
    let kept = |(name, treated): (&str, &Treated)| {
        let c = &treated.composition;
        let rich = c.p >= PHOSPHORUS && c.c >= LEAST_CARBON;
        Some((name.to_owned(), ac3(c).filter(|_| rich)?))
    };
    all.filter_map(kept).collect()
}

/// Minutes in which the ground blade is within [`NEAR`] of a kiln in the middle of its hardening band (°C), at the shoulder,
/// where it is thickest.
fn warming(design: &Design, [low, high]: [f64; 2]) -> Option<f64> {
    let ground = blade::Sections::of(&design.blade().loft(Stage::Ground));
    let section = ground.at(0.0)?;
    let (bottom, top) = section.range();
    let kiln = 0.5 * (low + high);
    let around = depth(top - bottom, section.area() / (top - bottom));
    Some(warming_seconds(around, kiln, ROOM, kiln - NEAR)? / 60.0)
}

/// The steel with another carbon.
fn with_carbon(steel: &Steel, c: f64) -> Steel {
    Steel { composition: Composition { c, ..steel.composition }, ..steel.clone() }
}

/// What quenching makes of the edge with the least and with the greatest carbon it may have: with nearly what it was
/// bought with, it is as hard as is published of it.
fn quenched(steel: &Steel, carbon: [f64; 2], heat: &Heat) -> Option<Quenched> {
    let [a, b] = carbon.map(|c| Quenched::of(&with_carbon(steel, c), heat));
    let (a, b) = (a?, b?);
    let join = |a: [f64; 2], b: [f64; 2]| [a[0].min(b[0]), a[1].max(b[1])];
    let near = (0.5 * (carbon[0] + carbon[1]) - steel.composition.c).abs() <= MOVED;
    let bought = Quenched::of(steel, heat).filter(|_| near);
    Some(Quenched {
        hardness_hrc: bought.map_or(join(a.hardness_hrc, b.hardness_hrc), |q| q.hardness_hrc),
        hardness_source: bought.map_or(b.hardness_source, |q| q.hardness_source),
        hardness_unsure: bought.is_none_or(|q| q.hardness_unsure),
        dissolved_percent: join(a.dissolved_percent, b.dissolved_percent),
        ms_c: join(a.ms_c, b.ms_c),
        retained_austenite: join(a.retained_austenite, b.retained_austenite),
    })
}

/// Tempering of the edge over the carbon that it may have.
fn tempering(steel: &Steel, carbon: [f64; 2]) -> Option<TemperHeat> {
    let [low, high] = carbon.map(|c| Tempering::at_carbon(steel, c));
    Some(TemperHeat::of([&low?, &high?]))
}

/// Mean carbon of a steel over its bars of layers, least and greatest; as bought where it is in none.
fn evened(steel: &Steel, levelling: &[Levelling]) -> [f64; 2] {
    let own = levelling.iter().flat_map(|l| &l.steels).filter(|s| s.steel == steel.name);
    let band = own.map(|s| s.carbon_percent).reduce(|a, b| [a[0].min(b[0]), a[1].max(b[1])]);
    band.unwrap_or([steel.composition.c; 2])
}

/// A steel of the blade, and what it does at the edge's hardening heat.
type Told = (String, Behaviour);

/// The part of the edge's hardening band that suits other hardening steels too, where that is less than all of it, and
/// what those do which it does not suit.
fn together(edge: &Heat, others: &[Other]) -> (Option<Common>, Vec<Told>) {
    let Some(whole) = edge.celsius else { return (None, Vec::new()) };
    let mut common = Common { celsius: whole, unsure: edge.unsure, steels: Vec::new() };
    let mut told = Vec::new();
    for other in others {
        let own = other.treated.hardening.celsius.filter(|_| other.may_harden);
        let shared = own.map(|[low, high]| [low.max(common.celsius[0]), high.min(common.celsius[1])]);
        match shared.filter(|[low, high]| high - low >= NEAR) {
            Some(shared) => {
                common.celsius = shared;
                common.unsure |= other.treated.hardening.unsure;
                common.steels.push(other.steel.clone());
            }
            None => told.extend(behaviour(other, whole).map(|words| (other.steel.clone(), words))),
        }
    }
    let width = |[low, high]: [f64; 2]| high - low;
    let narrower = width(common.celsius) < width(whole);
    (narrower.then_some(common), told)
}

/// What a steel does at the hardening heat of an edge of another one.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Behaviour {
    /// It may harden by the carbon that it has taken up.
    MayHarden,
    /// Its own data sheet says.
    BySheet,
    /// It does not harden.
    Soft,
    /// It is held hotter than for itself.
    TooHot,
    /// It is held colder than for itself.
    InPart,
}

impl Serialize for Behaviour {
    fn serialize<S: Serializer>(&self, serializer: S) -> Result<S::Ok, S::Error> {
        serializer.serialize_str(self.of_one())
    }
}

/// What a steel does at the edge's hardening heat (°C), which it shares too little of with its own.
fn behaviour(other: &Other, edge: [f64; 2]) -> Option<Behaviour> {
    let middle = |[low, high]: [f64; 2]| 0.5 * (low + high);
    Some(match other.treated.hardening.celsius.filter(|_| other.may_harden) {
        None if other.may_harden => Behaviour::MayHarden,
        None if other.treated.hardening.unsure => Behaviour::BySheet,
        None => Behaviour::Soft,
        Some(own) if middle(own) < middle(edge) => Behaviour::TooHot,
        Some(_) => Behaviour::InPart,
    })
}

impl Behaviour {
    /// In words after the steel's name.
    pub fn of_one(self) -> &'static str {
        match self {
            Behaviour::MayHarden => {
                "has taken up carbon and may harden in part: test a scrap piece with a file"
            }
            Behaviour::BySheet => "goes by its own data sheet",
            Behaviour::Soft => "stays soft",
            Behaviour::TooHot => "is held hotter than it should be: coarser grain, keep the soak short",
            Behaviour::InPart => "hardens only in part at this heat: do not go hotter for it",
        }
    }

    /// The same after several steels' names.
    pub fn of_several(self) -> &'static str {
        match self {
            Behaviour::MayHarden => {
                "have taken up carbon and may harden in part: test scrap pieces with a file"
            }
            Behaviour::BySheet => "go by their own data sheets",
            Behaviour::Soft => "stay soft",
            Behaviour::TooHot => "are held hotter than they should be: coarser grain, keep the soak short",
            Behaviour::InPart => "harden only in part at this heat: do not go hotter for them",
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::stock::Stock;

    fn of(layers: &str, forging: &str) -> BladeHeat {
        let text = format!(
            "name = 'Oar'\n[outline]\nlength = 250\nbreadth = 28\n[[taper]]\nat = 0\nback = 5\n[billet]\nwidth = 12\n\
             [[layers]]\nname = 'Core'\n{layers}\n[[bar]]\nheight = 34\nlayers = 'Core'\ndirection = 'flat'\n{forging}\n"
        );
        let design = design::read(text.as_bytes()).unwrap_or_else(|p| panic!("{p:#?}"));
        let heat: Vec<SteelHeat> = design.billet().unwrap().steels().iter().map(SteelHeat::of).collect();
        let levelling = Levelling::all(&design, &Stock::of(&design).unwrap());
        BladeHeat::of(&design, design.lay().unwrap(), &heat, &levelling).unwrap()
    }

    /// A hard core between soft sides is hardened as what it is.
    #[test]
    fn the_edge_is_what_lies_at_the_edge() {
        let blade = of("steels = ['mild steel', 'C105U', 'mild steel']\ncount = 3", "");
        assert_eq!((blade.edge_steel.as_str(), blade.hardening.celsius), ("C105U", Some([770.0, 790.0])));
        assert_eq!(blade.others, [("mild steel".to_owned(), Behaviour::Soft)]);
        let [low, high] = blade.edge_carbon_percent;
        assert!(low > 1.03 && high < 1.051, "{low} {high}");
        assert!(
            blade.tempering.is_some()
                && blade.growth.is_some_and(|g| g.soft == ["mild steel"] && g.mm[1] < 1.6)
        );
    }

    /// Thin layers of hard and soft even out: the edge is hardened and tempered for what it has become.
    #[test]
    fn an_edge_that_evened_out_is_hardened_for_its_carbon() {
        let blade = of("steels = ['mild steel', 'C105U']\ncount = 101", "");
        // A layer of mild steel lies at the edge: by now it hardens like its neighbours.
        assert_eq!((blade.edge_steel.as_str(), blade.others.len()), ("mild steel", 0));
        let [low, high] = blade.edge_carbon_percent;
        assert!(high - low < 0.1 && (0.5..0.7).contains(&low), "{low} {high}");
        assert!(
            blade.hardening.unsure && blade.hardening.source.contains("% carbon, so it is treated as 1060")
        );
        let [soft, hard] = blade.tempering.unwrap().hrc[1].unwrap();
        assert!(soft > 50.0 && hard < 62.0, "{soft} {hard}");
    }

    /// With 0.30 % carbon and more a steel hardens in part: it is not told to stay soft, whatever it was bought as.
    #[test]
    fn steel_that_took_up_carbon_is_not_called_soft() {
        let mut seen = 0;
        for count in [3, 5, 7, 9, 11, 13, 15, 17, 21, 25, 31, 41, 61] {
            let layers = format!("steels = ['C105U', 'mild steel']\ncount = {count}");
            let text = format!(
                "name = 'Oar'\n[outline]\nlength = 250\nbreadth = 28\n[[taper]]\nat = 0\nback = 5\n[billet]\nwidth = 12\n\
                 [[layers]]\nname = 'Core'\n{layers}\n[[bar]]\nheight = 34\nlayers = 'Core'\ndirection = 'flat'\n"
            );
            let design = design::read(text.as_bytes()).unwrap();
            let levelling = Levelling::all(&design, &Stock::of(&design).unwrap());
            let soft = levelling[0].steels.iter().find(|s| s.steel == "mild steel").unwrap();
            let blade = of(&layers, "");
            let told = blade.others.iter().find(|other| other.0 == "mild steel").map(|other| other.1);
            if soft.carbon_percent[1] >= 0.3 {
                assert_ne!(told, Some(Behaviour::Soft), "{count}: {soft:?}");
                seen += usize::from(told.is_some());
            }
        }
        assert!(seen > 0);
    }

    /// C105U is hardened at 770 to 790 °C and 75Ni8 at 790 to 820: bands that only touch suit nobody. 1084 at 800 to 830 and
    /// 15N20 at 790 to 820 share 800 to 820.
    #[test]
    fn bands_suit_each_other_where_they_share_a_band() {
        let apart = of("steels = ['75Ni8', 'C105U', '75Ni8']\ncount = 3", "");
        assert_eq!((apart.edge_steel.as_str(), apart.common), ("C105U", None));
        assert_eq!(apart.others, [("75Ni8".to_owned(), Behaviour::InPart)]);
        let near = of("steels = ['15N20', '1084', '15N20']\ncount = 3", "");
        let common = near.common.unwrap();
        assert!(near.others.is_empty() && common.steels == ["15N20"]);
        assert!((common.celsius[0] - 800.0).abs() < 1e-9 && (common.celsius[1] - 820.0).abs() < 1e-9);
    }

    /// The edge's own water is not told for a blade that holds oil steels.
    #[test]
    fn oil_steels_in_the_blade_are_named_beside_water() {
        let blade = of("steels = ['C75S', 'C105U', '75Ni8']\ncount = 3", "");
        let told = blade.medium.unwrap().told(Figures::of(design::Unit::Millimetre));
        let says =
            ["fast oil", "Not water: it may crack the C75S and 75Ni8 (C105U on its own asks for water)"];
        assert!(told.starts_with(says[0]) && told.contains(says[1]), "{told}");
        let soft = of("steels = ['mild steel', 'C105U', 'mild steel']\ncount = 3", "");
        assert!(soft.medium.unwrap().oil_steels.is_empty());
    }

    /// Levelled with iron that holds 0.175 % of phosphorus, no heat turns all of it; and iron alone is cold-short.
    #[test]
    fn phosphorus_is_told_where_it_keeps_steel_soft() {
        let blade = of("steels = ['wrought iron', '1095']\ncount = 61", "");
        assert!(blade.ferrite.iter().any(|f| f.0 == "wrought iron" && f.1 > 880.0), "{blade:?}");
        assert_eq!(blade.cold_short, ["wrought iron"]);
        assert!(blade.quenched.is_some_and(|q| q.hardness_hrc[0] > 50.0), "{:?}", blade.quenched);
        // With the carbon it has by now it is all austenite from about 900 °C, not from the 1009 of iron.
        assert!(blade.normalising.coarse.iter().all(|c| c.1 < 920.0), "{:?}", blade.normalising);
        assert!(blade.hardening.celsius.is_some_and(|[_, high]| high < 870.0), "{:?}", blade.hardening);
        assert!(of("steels = ['mild steel', '1095']\ncount = 61", "").cold_short.is_empty());
    }

    /// A mean over stations is the carbon that was bought, to the last digit: 1060 stays where Andrews's Ms speaks.
    #[test]
    fn an_edge_of_one_steel_is_what_was_bought() {
        for name in ["1060", "O1", "C105U", "C45"] {
            let text = format!(
                "name = 'Oar'\nsteel = '{name}'\n[outline]\nlength = 250\nbreadth = 28\n[[taper]]\nat = 0\nback = 5\n"
            );
            let plan = crate::plan::Plan::of(&design::read(text.as_bytes()).unwrap()).unwrap();
            let (own, blade) = (plan.heat[0].quenched.unwrap(), plan.blade_heat.quenched.unwrap());
            let off = own.ms_c.iter().zip(blade.ms_c).map(|(a, b)| (a - b).abs()).fold(0.0, f64::max);
            assert!(off < 0.01, "{name}: {own:?} {blade:?}");
        }
    }

    #[test]
    fn an_edge_that_does_not_harden_is_told_no_heat() {
        let blade = of("steels = ['mild steel', 'nickel']\ncount = 3", "");
        assert_eq!(blade.edge_steel, "nickel");
        assert!(blade.hardening.celsius.is_none() && blade.quenched.is_none() && blade.tempering.is_none());
        assert!(blade.normalising.celsius.is_none() && blade.growth.is_none() && blade.others.is_empty());
    }
}
