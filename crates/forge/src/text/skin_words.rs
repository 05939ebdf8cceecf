//! What is said of the skin that lost carbon, and of how bevels lift the point: the same words in plan, sheet and page.

use design::Figures;

use crate::bevel_lift::BevelLift;
use crate::skin::Skin;

impl Skin {
    /// How deep it is, what grinding takes of it, what the outline has for it, and what a soak adds, in sentences.
    pub fn told(&self, l: Figures) -> Vec<String> {
        let [half, nine, most] = [self.depth_mm[0], self.depth_mm[1], self.most_mm].map(|mm| l.gap(mm));
        let ground = if self.is_ground_off {
            "on the flats that takes the skin off"
        } else {
            "that may not be enough: grind deeper"
        };
        let mut sentences = vec![
            format!(
                "Skin that lost carbon (decarb): {half} down, the steel still has half its carbon; {nine} down, nine tenths of it."
            ),
            format!(
                "If your fire scales off less than {}, the skin is deeper: nine tenths of it are reached only {most} down.",
                l.gap(self.scale_mm)
            ),
            format!("You grind {} off each side: {ground}.", l.gap(self.allowance_mm)),
            format!("The outline is forged {}.", self.outline.words_alone(l).join(": ")),
        ];
        sentences.extend(self.outline.remedy(l.unit));
        sentences.extend(self.soak_mm.map(|soak| {
            let word = if self.is_soak_ground_off {
                "which is enough"
            } else {
                "which is too little: keep air from it"
            };
            format!(
                "On the flats a soak at hardening heat without protection makes a new skin {} deep; after it you grind off {}, {word}.",
                l.gap(soak),
                l.gap(self.after_hardening_mm)
            )
        }));
        sentences
    }
}

impl BevelLift {
    /// How far the point rises, and what to do about it, in sentences.
    pub fn told(self, l: Figures) -> Vec<String> {
        const LEAD: &str = "Forging the bevels makes the edge longer and lifts the point towards the back";
        if let Some(mm) = self.lift_mm {
            return vec![format!(
                "{LEAD} by about {} {}: bend the bar as far towards the edge first, or straighten it hot as you go.",
                l.length(mm),
                l.unit.name()
            )];
        }
        vec![
            format!(
                "{LEAD}. How far depends on how much of the thinning goes into length: each 0.1 % that goes there lifts \
                 the point by about {} {}.",
                l.length(0.1 * self.mm_per_percent),
                l.unit.name()
            ),
            format!(
                "Only a forged blade shows how much: lay the forged blade on its template, measure how far its point lies above the drawn one, divide it by {}: the \
                 answer is the percentage to write as `bevel_share` under [forging] for your next one.",
                l.gap(self.mm_per_percent)
            ),
        ]
    }
}
