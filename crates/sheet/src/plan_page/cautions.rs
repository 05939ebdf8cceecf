//! What can hurt at the forge, the bath and the grinder.

use crate::typesetting::strip::{Strip, heading, list, part};
use crate::typesetting::text::{BODY, Text};

const CAUTIONS: [&str; 8] = [
    "*Forge gas and carbon monoxide:* fresh air and a vent to the outside, with an alarm in the room; leave no flame alone. Check \
     hoses and valves before lighting; never put galvanised steel or a closed tube into the fire.",
    "*Hot oil* flares up: keep a metal lid and the right extinguisher at hand, no water near it, no flame beside it, nothing damp in \
     it; put the whole blade under at once.",
    "*Etchants* burn eyes and skin and give off fumes: goggles, gloves, ventilation; acid into water, never the other way; gather \
     what is spent and have it taken away as its data sheet says.",
    "*Grinding* throws dust and sparks and is loud: breathing protection that fits, also against nickel dust, silica and the fibres \
     of linings; extraction, ear protection; no gloves at the belt, and no loose sleeves.",
    "*Eyes:* safety glasses always; infrared filters (EN 171 code 4, ANSI Z87.1) against the glare of fire and welding heat. Flux \
     and scale fly when a weld \
     is closed; twisting bars can let go.",
    "*The edge* cuts from the first grinding on: clamp the blade, work away from the edge, cover it when you turn away.",
    "Printed plastic and paper are for cold steel only.",
    "Your local rules, the data sheets of your materials and licensed practice come before this sheet; so does the law on blades \
     where you live.",
];

/// What takes the place of the caution for eyes where nothing is welded.
const EYES: &str = "*Eyes:* safety glasses always; infrared filters (EN 171 code 4, ANSI Z87.1) against the glare of the fire. Scale flies \
                    under the hammer.";

/// The cautions, on one page; for a blade that is `welded`, or of one piece.
pub(crate) fn cautions(welded: bool, width: f64) -> Vec<Strip> {
    let mut strips = heading("Cautions", width);
    let words = CAUTIONS.map(|words| if !welded && words.starts_with("*Eyes") { EYES } else { words });
    strips.extend(list(words.map(Text::marked), BODY, width));
    part(true, strips)
}
