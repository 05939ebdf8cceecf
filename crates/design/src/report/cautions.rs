//! What can hurt at forge, bath and grinder: one list, so that every output says the same.

/// Cautions in the order of the work, each with its subject between stars, for a blade that is `welded` or of one piece.
/// Common practice, no source, but for the filters (EN 171, ANSI Z87.1).
pub fn cautions(welded: bool) -> [&'static str; 8] {
    [GAS, OIL, ACID, GRINDING, if welded { WELDING_EYES } else { EYES }, EDGE, PRINTS, LAW]
}

const GAS: &str = "*A burning forge gives off carbon monoxide:* fresh air, a vent to the outside, an alarm in the room; leave no \
                   flame alone. Check hoses and valves before you light it. Never put galvanised steel (zinc fumes make you ill) or a \
                   closed tube into the fire.";
const OIL: &str = "*Hot oil catches fire:* a metal lid and the right extinguisher beside the tank; no water near it, no flame or \
                   furnace beside it, nothing damp in it, a floor under it that can't burn. Hold the blade with long tongs and lower \
                   it quickly, until no hot steel is above the oil.";
const ACID: &str = "*Flux, scale and acids hurt eyes and skin:* goggles, gloves, fresh air. Acid into water, never water into acid. \
                    Collect what is spent and dispose of it as its data sheet says.";
const GRINDING: &str = "*Grinding throws dust and sparks and is loud:* a respirator that fits, extraction, ear protection; no gloves \
                        and no loose sleeves at the belt. Nickel dust, silica and the fibres of linings harm the lungs.";
const EYES: &str = "*Eyes:* safety glasses always; to look into the fire, infrared filters (EN 171 code 4, ANSI Z87.1), not merely \
                    dark glasses. Scale flies under the hammer.";
const WELDING_EYES: &str = "*Eyes:* safety glasses always; to look into the fire, infrared filters (EN 171 code 4, ANSI Z87.1), not \
                            merely dark glasses. Flux and scale fly when a weld is closed; a bar that is twisted can let go.";
const EDGE: &str = "*Ground and finished blades are sharp,* burrs and corners too: clamp the blade, keep your hands out of the path \
                    of edge and point, cover the edge when you turn away.";
const PRINTS: &str =
    "*Printed plastic and paper are for cold steel only:* near hot steel plastic softens, and both burn.";
const LAW: &str = "*What binds you comes before all this:* your local codes, the data sheets of your materials, licensed practice \
                   where it is asked for, and the law on blades where you live.";

#[cfg(test)]
mod tests {
    use super::*;

    /// The subjects that the trade's handbooks warn of are all there, and each has its subject set off.
    #[test]
    fn nothing_that_hurts_is_left_out() {
        for welded in [true, false] {
            let all = cautions(welded);
            assert!(all.iter().all(|line| line.starts_with('*') && line.matches('*').count() == 2));
            let text = all.join(" ");
            for word in [
                "carbon monoxide",
                "galvanised",
                "zinc",
                "closed tube",
                "oil",
                "extinguisher",
                "acid",
                "respirator",
                "Nickel",
                "silica",
                "fibres",
                "ear protection",
                "EN 171",
                "ANSI Z87.1",
                "sharp",
                "plastic",
                "local codes",
                "licensed",
            ] {
                assert!(text.contains(word), "{word}");
            }
            assert_eq!(text.contains("weld"), welded);
        }
    }
}
