//! The clock: how long the steel of each step stays hot enough to work once it is out of the fire.

use design::{Design, Figures};
use laminate::MaterialMap;
use serde::Serialize;
use steel::{TWISTED, biot, cooling_seconds, depth};

use crate::forging_range::ForgingRange;
use crate::heat::SteelHeat;
use crate::stock::{BarStock, Stock};

/// Where a weld stops to take, °C (common practice, no source).
pub(crate) const WELDS: f64 = 1050.0;
/// The hottest that the clock's law reaches, °C: heat contents by EN 1993-1-2 end there. A hotter weld stays hot longer.
const CLOCKED: f64 = 1200.0;
/// From where to where steel is forged unless it bears less, °C: the forging range of C45 by Saarstahl's sheet.
const FORGED: [f64; 2] = [1100.0, 850.0];
/// Biot's number under which a section is even through (Incropera, from memory).
const EVEN: f64 = 0.1;
/// Under so many seconds there is time for a few blows only once the tongs are at the anvil, s (common practice, no
/// source).
const SHORT: f64 = 20.0;
/// How far up from the edge a forged blade's thin part is looked at, mm.
const UP: f64 = 3.0;

/// Seconds of working heat for one section.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct WorkingHeat {
    /// What is worked.
    pub what: String,
    /// Its section, mm; for a thin edge its thickness alone.
    pub section_mm: Vec<f64>,
    /// From the fire to the lower limit, °C.
    pub celsius: [f64; 2],
    /// How long that lasts in still air, s; an anvil, a vice or a draught take more.
    pub seconds: f64,
    /// Whether that is so short that the work must be ready before the steel leaves the fire.
    pub short: bool,
    /// Whether its middle stays hotter than its skin, which then is colder than the clock says.
    pub uneven: bool,
}

impl WorkingHeat {
    /// Its section in words.
    pub fn section_told(&self, l: Figures) -> String {
        match self.section_mm[..] {
            [high, wide] => l.section([high, wide]),
            _ => self.section_mm.iter().map(|mm| l.side(*mm)).collect::<Vec<_>>().join(" × "),
        }
    }

    /// Of every step of a design that has one, in the order of the work.
    pub fn all(design: &Design, lay: &MaterialMap, stock: &Stock, heat: &[SteelHeat]) -> Vec<WorkingHeat> {
        let weld = design.forging().weld_heat;
        let mut all: Vec<Option<WorkingHeat>> = Vec::new();
        for (made, bar) in stock.bars.iter().zip(lay.billet().bars()) {
            let held = bar.layers.layers().iter().filter_map(|layer| heat.get(layer.steel));
            let name = if stock.one_steel().is_some() { "the bar" } else { &made.name };
            all.extend(of_bar(made, name, bar.twist.is_twisted(), &ForgingRange::of(held), weld));
            if !made.plugs.is_empty() {
                let one = made.plugs.iter().map(|plugs| plugs.at_mm.len()).sum::<usize>() == 1;
                let plugs = if one { "plug" } else { "plugs" };
                all.push(WorkingHeat::welding(
                    format!("Weld the {plugs} into {name}"),
                    made.ground_mm(),
                    weld,
                ));
            }
        }
        for joined in &stock.joined {
            all.push(WorkingHeat::welding(format!("Weld {}", joined.name), joined.section_mm, weld));
        }
        // One bar is welded to no other.
        if !stock.is_one_place() {
            let section = stock.stack.blade_section_mm;
            all.push(WorkingHeat::welding("Weld the stack".to_owned(), section, weld));
        }
        all.extend(of_blade(lay, ForgingRange::of(heat).within(FORGED)));
        all.into_iter().flatten().collect()
    }

    /// From a welding heat (°C) to where a weld stops to take; none where it is no hotter than that.
    fn welding(what: String, section: [f64; 2], heat: f64) -> Option<WorkingHeat> {
        WorkingHeat::of(what, section, [heat.min(CLOCKED), WELDS]).filter(|_| heat > WELDS)
    }

    fn of(what: String, [high, wide]: [f64; 2], celsius: [f64; 2]) -> Option<WorkingHeat> {
        WorkingHeat::by_depth(what, vec![high, wide], depth(high, wide), celsius)
    }

    /// Of a blade's thin edge: it loses heat by both faces, steel behind it brings little in so short a time.
    fn thin(what: &str, thickness: f64, celsius: [f64; 2]) -> Option<WorkingHeat> {
        WorkingHeat::by_depth(what.to_owned(), vec![thickness], 0.5 * thickness, celsius)
    }

    fn by_depth(what: String, section_mm: Vec<f64>, depth: f64, celsius: [f64; 2]) -> Option<WorkingHeat> {
        let seconds = cooling_seconds(depth, celsius[0], celsius[1])?;
        let uneven = biot(depth, celsius[0]) > EVEN;
        Some(WorkingHeat { what, section_mm, celsius, seconds, short: seconds < SHORT, uneven })
    }
}

/// Welding a bar's last billet, and forging or twisting the bar.
fn of_bar(
    bar: &BarStock,
    name: &str,
    twisted: bool,
    range: &ForgingRange,
    weld: f64,
) -> Vec<Option<WorkingHeat>> {
    let weld =
        bar.blocks.last().map(|block| WorkingHeat::welding(format!("Weld {name}"), block.section_mm, weld));
    let (word, celsius) = if twisted { ("Twist", TWISTED) } else { ("Forge", FORGED) };
    let section = if twisted { [bar.square_mm(); 2] } else { bar.drawn_mm() };
    weld.into_iter()
        .chain([WorkingHeat::of(format!("{word} {name}"), section, range.within(celsius))])
        .collect()
}

/// The forged blade in the middle of its length: the whole section, and its edge.
fn of_blade(lay: &MaterialMap, celsius: [f64; 2]) -> Vec<Option<WorkingHeat>> {
    let Some(section) = lay.sections().at(0.5 * lay.sections().range().1) else { return Vec::new() };
    let (low, high) = section.range();
    let thick = |y: f64| {
        let (left, right) = section.flanks(y);
        right - left
    };
    let mean = section.area() / (high - low);
    vec![
        WorkingHeat::of("Forge the blade".to_owned(), [high - low, mean], celsius),
        WorkingHeat::thin("The blade's edge", thick((low + UP).min(high)), celsius),
    ]
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::fixtures::plan;

    /// 12 mm square from 1100 to 900 °C: 24.2 s, worked from Incropera's law and the specific heat of EN 1993-1-2.
    #[test]
    fn a_bar_cools_by_the_clock() {
        let told = WorkingHeat::of("Bar".to_owned(), [12.0, 12.0], TWISTED).unwrap();
        assert!((told.seconds - 24.2).abs() < 0.25 && !told.short && !told.uneven, "{told:?}");
        assert!(WorkingHeat::of("Block".to_owned(), [120.0, 120.0], FORGED).unwrap().uneven);
        assert!(WorkingHeat::thin("Edge", 2.5, FORGED).unwrap().short);
    }

    /// Incropera (from memory) calls a section even through up to a tenth of Biot's number: the bar from which on the clock
    /// tells that it is not has just that.
    #[test]
    fn sections_are_even_up_to_a_tenth_of_biot() {
        let is_uneven = |side: f64| WorkingHeat::of("Bar".to_owned(), [side; 2], FORGED).unwrap().uneven;
        let mut ends = [5.0, 200.0];
        while ends[1] - ends[0] > 1e-6 {
            let middle = 0.5 * (ends[0] + ends[1]);
            ends[usize::from(is_uneven(middle))] = middle;
        }
        let number = biot(depth(ends[0], ends[0]), FORGED[0]);
        assert!((number - 0.1).abs() < 1e-5, "{} mm: {number}", ends[0]);
    }

    /// A weld at 1300 °C has at least the time from 1200; at 1050 and under nothing takes and nothing is told.
    #[test]
    fn welds_have_a_clock_where_they_take() {
        let at = |heat: f64| WorkingHeat::welding("Weld".to_owned(), [40.0, 11.0], heat);
        let (hot, usual) = (at(1300.0).unwrap(), at(1150.0).unwrap());
        assert!(hot.seconds > usual.seconds && (hot.celsius[0] - 1200.0).abs() < 1e-9);
        assert!(at(900.0).is_none() && at(1050.0).is_none() && at(1060.0).is_some());
    }

    #[test]
    fn every_step_has_its_clock_and_thin_edges_are_told() {
        let clock = plan("chain-smiths-trial").clock;
        let of = |what: &str| {
            clock.iter().find(|c| c.what == what).unwrap_or_else(|| panic!("{what}: {clock:#?}"))
        };
        assert!(of("Twist Upper chain").seconds > 15.0 && of("Weld the stack").seconds > 5.0);
        // 90MnCrV8 at the edge is forged from 1050 °C: a stockholder's sheet.
        assert!((of("Forge Edge").celsius[0] - 1050.0).abs() < 1e-9);
        assert!(
            of("The blade's edge").seconds < of("Forge the blade").seconds && of("The blade's edge").short
        );
    }
}
