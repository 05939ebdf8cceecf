//! The blade as one piece: heated for the steel that lies at its edge, carbon evened out.

use blade::{Part, Stage};
use design::{Design, Unit};
use laminate::{Billet, Direction, MaterialMap, StackPoint};
use serde::Serialize;
use steel::{
    Composition, Steel, Tempering, depth, hardening_by_carbon, hardening_growth, is_low_alloy, published,
    warming_seconds,
};

use crate::forging_range::ForgingRange;
use crate::heat::{Heat, LEAST_CARBON, Quenched, SteelHeat, TEMPER, TEMPERS, TemperHeat, calculated};
use crate::levelling::Levelling;

/// How much lower each of three normalising heats is than the one before, so that grains get finer, K (common practice,
/// no source).
const FALLING: f64 = 20.0;
/// How long a blade is held at hardening temperature once its colour is even, in a kiln, min (common practice, no
/// source).
const SOAK: [f64; 2] = [5.0, 10.0];
/// How near a blade is to the kiln's heat when its colour is even, K: what an eye can't tell apart (common practice, no
/// source).
const NEAR: f64 = 10.0;
/// A room's temperature, °C.
const ROOM: f64 = 20.0;
/// Stations along the finished blade at which its edge is looked at.
const LOOKS: usize = 50;
/// Carbon that may move before the published heat of the steel as bought no longer speaks for it, mass percent: what a
/// standard lets it differ by.
const MOVED: f64 = 0.05;
/// Least share of the growth by hardening that a blade shows: a maker's sheet of O1 has half of what the formula gives,
/// as austenite that is left takes some back.
const GROWN: f64 = 0.5;

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
    /// Three normalising heats, °C, each lower than the one before; none where the edge's steel has none.
    pub normalising_c: Option<[[f64; 2]; 3]>,
    /// Hardening of the edge.
    pub hardening: Heat,
    /// What the edge's steel is quenched in, by who published its hardening; none where nothing is.
    pub medium: Option<String>,
    /// What quenching from it makes of the edge.
    pub quenched: Option<Quenched>,
    /// What the blade's other steels do at that heat: name and words.
    pub others: Vec<(String, &'static str)>,
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
    /// How much longer than before it may be once hardened, mm, shoulder to point; none where the edge does not harden.
    pub growth_mm: Option<[f64; 2]>,
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
        let (steels, at_edge) = (lay.billet().steels(), at_edge(design, lay, levelling));
        let most = (0..steels.len()).max_by_key(|&i| (count(&at_edge, i), std::cmp::Reverse(i)))?;
        let (edge, carbon) = (&heat[most], edge_carbon(&at_edge, most));
        let also = (0..heat.len()).filter(|&i| i != most && count(&at_edge, i) > 0);
        let others = heat.iter().enumerate().filter(|(i, _)| *i != most);
        let hardening = hardening(edge, &steels[most], carbon);
        let quenched = quenched(&steels[most], carbon, &hardening);
        Some(BladeHeat {
            edge_steel: edge.steel.clone(),
            edge_carbon_percent: carbon,
            also_at_edge: also.map(|i| heat[i].steel.clone()).collect(),
            normalising_c: edge
                .normalising
                .celsius
                .map(|band| [0.0, 1.0, 2.0].map(|step| band.map(|t| t - step * FALLING))),
            others: others
                .filter_map(|(i, other)| {
                    let carbon = evened(&steels[i], levelling);
                    let own = self::hardening(other, &steels[i], carbon);
                    let may_harden = carbon[1] >= LEAST_CARBON && is_low_alloy(&steels[i].composition);
                    Some((other.steel.clone(), behaviour(&own, &hardening, may_harden)?))
                })
                .collect(),
            tempering: hardening.celsius.and_then(|_| tempering(&steels[most], carbon)),
            medium: medium(&steels[most]),
            forging: ForgingRange::of(heat),
            growth_mm: quenched.map(|q| grown(q, design.blade().length())),
            quenched,
            warming_min: hardening.celsius.and_then(|band| warming(design, band)),
            hardening,
            soak_min: SOAK,
            temper_min: TEMPER,
            tempers: TEMPERS,
        })
    }
}

impl BladeHeat {
    /// What the edge's steel is quenched in, with thicknesses in this unit: those of the sources are whole millimetres.
    pub fn medium_told(&self, unit: Unit) -> Option<String> {
        let inches = [("6 mm", "1/4 in"), ("5 mm", "3/16 in")];
        let medium = self.medium.clone()?;
        match unit {
            Unit::Millimetre => Some(medium),
            Unit::Inch => Some(inches.iter().fold(medium, |words, (mm, inch)| words.replace(mm, inch))),
        }
    }
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

/// What a steel is quenched in, by its data sheet or by who published its hardening.
fn medium(steel: &Steel) -> Option<String> {
    let known = || published(steel).map(|p| p.medium.to_owned()).filter(|medium| !medium.is_empty());
    steel.sheet.medium.clone().or_else(known)
}

/// How much longer a blade of this length (mm) is once hardened, mm, least and greatest.
fn grown(q: Quenched, length: f64) -> [f64; 2] {
    let [least, most] = q.dissolved_percent.map(|c| hardening_growth(c) * length);
    [GROWN * least, most]
}

/// What lies at the very edge at a station: the steel, and its carbon there, least and greatest, mass percent.
type AtEdge = (usize, [f64; 2]);

/// The very edge of the finished blade, station by station.
fn at_edge(design: &Design, lay: &MaterialMap, levelling: &[Levelling]) -> Vec<AtEdge> {
    let finished = blade::Sections::of(&design.blade().loft(Stage::Finished));
    let (_, end) = finished.range();
    let stations = (0..LOOKS).map(|i| end * (i as f64 + 0.5) / LOOKS as f64);
    let place = |x: f64| {
        let (plane, section) = lay.plane(x).zip(finished.at(x))?;
        debug_assert_eq!(plane.part(), Part::Blade);
        let (low, _) = section.range();
        let (left, right) = section.flanks(low);
        Some(carbon_at(lay.billet(), plane.stack_point(low, 0.5 * (left + right)), levelling))
    };
    stations.filter_map(place).collect()
}

/// The steel at a point of the stack and its carbon there: evened out in a bar of layers, as bought in a bar of one
/// steel.
fn carbon_at(billet: &Billet, p: StackPoint, levelling: &[Levelling]) -> AtEdge {
    let (place, (bar, welded)) = (billet.layer(p), billet.bar_point(p));
    let made = &billet.bars()[bar];
    let square = made.before_twist(welded, made.twist.angle(p.along));
    let across = match made.direction {
        Direction::Flat => square.through,
        Direction::Upright => square.up,
    };
    let levelled = levelling.iter().find(|l| l.bar == made.name);
    let bought = billet.steels()[place.steel].composition.c;
    (place.steel, levelled.map_or([bought; 2], |l| l.at((across + 0.5).clamp(0.0, 1.0))))
}

fn count(at_edge: &[AtEdge], steel: usize) -> usize {
    at_edge.iter().filter(|place| place.0 == steel).count()
}

/// Carbon of a steel where it lies at the edge, a mean over the blade's length, least and greatest over the sources.
fn edge_carbon(at_edge: &[AtEdge], steel: usize) -> [f64; 2] {
    let of = |i: usize| {
        let own = at_edge.iter().filter(|place| place.0 == steel);
        own.map(|place| place.1[i]).sum::<f64>() / count(at_edge, steel).max(1) as f64
    };
    [of(0), of(1)]
}

/// The steel with another carbon.
fn with_carbon(steel: &Steel, c: f64) -> Steel {
    Steel { composition: Composition { c, ..steel.composition }, ..steel.clone() }
}

/// A steel's hardening heat with this carbon: its own, or that of the plain steel that its carbon has made of it.
fn hardening(edge: &SteelHeat, steel: &Steel, carbon: [f64; 2]) -> Heat {
    let middle = 0.5 * (carbon[0] + carbon[1]);
    let bought = steel.composition.c;
    if (middle - bought).abs() <= MOVED {
        return edge.hardening.clone();
    }
    match hardening_by_carbon(&with_carbon(steel, middle).composition) {
        Some((name, band)) => Heat {
            celsius: Some(band.celsius),
            source: {
                let recalled = if band.seen { "" } else { ", not confirmed" };
                format!("as {name} by its carbon of {middle:.2} % ({}{recalled})", band.source)
            },
            unsure: true,
        },
        None if edge.hardening.celsius.is_none() => {
            let now = with_carbon(steel, middle);
            calculated(&now.composition).filter(|_| middle >= LEAST_CARBON).map_or_else(
                || edge.hardening.clone(),
                |celsius| Heat {
                    celsius: Some(celsius),
                    source: format!("calculated from Ac3 for the {middle:.2} % carbon that it has now"),
                    unsure: true,
                },
            )
        }
        None => Heat {
            source: format!("{}, for {bought:.2} % carbon: it has {middle:.2} % now", edge.hardening.source),
            unsure: true,
            ..edge.hardening
        },
    }
}

/// What quenching makes of the edge with the least and with the greatest carbon it may have.
fn quenched(steel: &Steel, carbon: [f64; 2], heat: &Heat) -> Option<Quenched> {
    let [a, b] = carbon.map(|c| Quenched::of(&with_carbon(steel, c), heat));
    let (a, b) = (a?, b?);
    let join = |a: [f64; 2], b: [f64; 2]| [a[0].min(b[0]), a[1].max(b[1])];
    Some(Quenched {
        hardness_hrc: join(a.hardness_hrc, b.hardness_hrc),
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

/// What a steel with this hardening heat does at the edge's, where that is not its own; it `may_harden` where it has
/// taken up enough carbon for that.
fn behaviour(other: &Heat, edge: &Heat, may_harden: bool) -> Option<&'static str> {
    let [low, high] = edge.celsius?;
    match other.celsius {
        None if may_harden => {
            Some("has taken up carbon and may harden in part: test a scrap piece with a file")
        }
        None if other.unsure => Some("see its data sheet"),
        None => Some("stays soft"),
        Some([_, most]) if most < low => {
            Some("is held hotter than it should be: coarser grain, keep the soak short")
        }
        Some([least, _]) if least > high => Some("needs more heat to harden fully"),
        Some(_) => None,
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
        assert_eq!(blade.others, [("mild steel".to_owned(), "stays soft")]);
        let [low, high] = blade.edge_carbon_percent;
        assert!(low > 1.03 && high < 1.051, "{low} {high}");
        assert!(
            blade.tempering.is_some() && blade.growth_mm.is_some_and(|[a, b]| 0.2 < a && a < b && b < 1.6)
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
        assert!(blade.hardening.unsure && blade.hardening.source.starts_with("as 1060 by its carbon of 0."));
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
                assert_ne!(told, Some("stays soft"), "{count}: {soft:?}");
                seen += usize::from(told.is_some());
            }
        }
        assert!(seen > 0);
    }

    #[test]
    fn an_edge_that_does_not_harden_is_told_no_heat() {
        let blade = of("steels = ['mild steel', 'nickel']\ncount = 3", "");
        assert_eq!(blade.edge_steel, "nickel");
        assert!(blade.hardening.celsius.is_none() && blade.quenched.is_none() && blade.tempering.is_none());
        assert!(blade.normalising_c.is_none() && blade.growth_mm.is_none() && blade.others.is_empty());
    }
}
