//! What can hurt at forge, bath and grinder: one list, so that every output says the same.

/// Cautions in the order of the work, each with its subject between stars, for a blade that is `welded`, whose layers are then
/// etched, or of one piece. Common practice, no source, but for zinc: fume fever by OSHA's page and AWS fact sheet 25; for
/// the filters: from memory EN 171 has them marked 4- and a shade number, ANSI Z87.1 an R and a shade number; and for ferric
/// chloride: hazards H290, H302, H315 and H318 (from memory).
pub fn cautions(welded: bool) -> [&'static str; 8] {
    let (acid, eyes) = if welded { (ETCHING_ACID, WELDING_EYES) } else { (ACID, EYES) };
    [GAS, OIL, acid, GRINDING, eyes, EDGE, PRINTS, LAW]
}

const GAS: &str = "*A burning forge gives off carbon monoxide:* fresh air, a vent to the outside, a carbon monoxide alarm in the room; never leave it \
                   lit and unattended. Check hoses and valves before you light it. Never put zinc-plated (galvanised) steel into the fire or on \
                   hot steel: its fumes make you ill. Never heat a closed tube: it can burst.";
const OIL: &str = "*Hot oil catches fire:* keep a metal lid beside the tank. If it burns, the lid goes on first; then an extinguisher meant for burning oil \
                   (class B: foam, carbon dioxide, or dry powder, in the USA called dry chemical; ask your fire service, follow \
                   your local codes), never water. Keep water and open flames away from the tank. Stand it on a floor that can't burn, where the oil \
                   can't splash into fire or furnace. Put nothing damp into it. Hold the blade with long tongs and \
                   lower it quickly, until no hot steel is above the oil.";
const ACID: &str = "*Flux, scale and acids hurt eyes and skin:* goggles, gloves, fresh air. Acid into water, never water into acid. \
                    Keep spent acid in a marked container and dispose of it as its data sheet says.";
const ETCHING_ACID: &str = "*Flux, scale and acids hurt eyes and skin:* goggles, gloves, fresh air. Acid into water, never water into \
                            acid. Ferric chloride burns skin, can blind, and eats steel, copper and zinc: keep it in plastic or glass, \
                            with no zinc and no copper in it. Rinse splashes at once with plenty of water, eyes for 15 minutes, then see a \
                            doctor. Spent, it goes into a marked container, never down the drain: your local rules say where.";
const GRINDING: &str = "*Grinding throws dust and sparks and is loud:* a respirator that fits, extraction, ear protection; no gloves \
                        and no loose sleeves at the grinder. Nickel dust, silica and lining fibres harm the lungs.";
const EYES: &str = "*Eyes:* safety glasses always; to look into the fire, infrared filters (marked 4- and a shade number by EN 171, or R \
                    and a shade number by ANSI Z87.1), not merely dark glasses. Scale flies under the hammer.";
const WELDING_EYES: &str = "*Eyes:* safety glasses always; to look into the fire, infrared filters (marked 4- and a shade number by EN 171, \
                            or R and a shade number by ANSI Z87.1), not merely dark glasses. Flux and scale fly at the first blows on a weld; a bar \
                            can break loose while you twist it.";
const EDGE: &str = "*Ground and finished blades are sharp,* burrs and corners too: clamp the blade, keep your hands out of the path \
                    of edge and point, cover the edge when you put it down.";
const PRINTS: &str =
    "*Printed plastic and paper are for cold steel only:* near hot steel plastic softens, and both burn.";
const LAW: &str = "*The law comes first,* before all of this: your local codes, your materials' data sheets, licensed practice where a job \
                   needs it, and the law on blades where you live.";

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
                "zinc-plated (galvanised)",
                "closed tube",
                "oil",
                "lid",
                "burning oil",
                "never water",
                "fire service",
                "acid",
                "respirator",
                "Nickel",
                "silica",
                "fibres",
                "ear protection",
                "4- and a shade number by EN 171",
                "R and a shade number by ANSI Z87.1",
                "sharp",
                "plastic",
                "local codes",
                "licensed",
            ] {
                assert!(text.contains(word), "{word}");
            }
            assert_eq!(text.contains("weld"), welded);
            for word in [
                "Ferric chloride",
                "blind",
                "skin",
                "steel, copper and zinc",
                "down the drain",
                "local rules",
            ] {
                assert_eq!(text.contains(word), welded || word == "skin", "{word}");
            }
        }
    }
}
