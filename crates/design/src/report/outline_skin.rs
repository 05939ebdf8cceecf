//! The skin that lost its carbon, against what the forged outline has for it at edge, back and point.

use blade::Stage;
use serde::Serialize;

use crate::{Design, Figures, Unit};

/// Carbon that is enough left for the skin's end, as a share.
const ENOUGH: f64 = 0.9;

/// How much larger the outline is forged than it will be, and the skin that has to come off it.
#[derive(Clone, Copy, Debug, PartialEq, Serialize)]
pub struct OutlineSkin {
    /// Depth at which nine tenths of the carbon are left where little scales off, mm.
    pub depth_mm: f64,
    /// Forged outside the finished outline at the edge, the back and the point, mm.
    pub outside_mm: [f64; 3],
}

/// Where to look up how the outline is forged larger.
const SEE: &str = ": see `outline` of `forged` under [stages]";

/// What a figure of the file may be off once it was a float, in steps of the last place.
const ROUNDED: f64 = 1e-6;

/// The places of the outline, in the order of [`OutlineSkin::outside_mm`].
const PLACES: [&str; 3] = ["edge", "back", "point"];

impl OutlineSkin {
    /// Of a design.
    pub fn of(design: &Design) -> OutlineSkin {
        let blade = design.blade();
        let by = blade.spec().stages.forged_outline;
        let point = blade.length_at(Stage::Forged) - blade.length();
        OutlineSkin {
            depth_mm: design.forging().skin_depth(ENOUGH, 0.0, 0.0),
            outside_mm: [by.edge, by.back, point],
        }
    }

    /// Where skin stays when the outline is ground to what it will be, and how deep, mm.
    fn left(&self) -> Vec<(&'static str, f64)> {
        let left = PLACES.into_iter().zip(self.outside_mm.map(|o| self.depth_mm - o));
        left.filter(|(_, deep)| *deep > 0.0).collect()
    }

    /// How much larger it is forged, and what becomes of the skin, in words without an end.
    pub fn words(&self, figures: Figures) -> [String; 2] {
        let each = PLACES.into_iter().zip(self.outside_mm).filter(|(_, o)| *o > 0.0);
        let each: Vec<String> = each.map(|(place, o)| format!("{} at the {place}", figures.gap(o))).collect();
        let larger = if each.is_empty() {
            "to its finished size".to_owned()
        } else {
            format!("larger by {}", listed(&each))
        };
        [larger, self.told(figures)]
    }

    /// The same without where to look it up.
    pub fn words_alone(&self, figures: Figures) -> [String; 2] {
        self.words(figures).map(|words| words.replace(SEE, ""))
    }

    /// What to do about skin that is left, in sentences: `None` where none is. At the edge it would not harden; at the back
    /// no use is made of hardness (common practice, no source).
    pub fn remedy(&self, unit: Unit) -> Option<String> {
        let left = self.left();
        let soft: Vec<String> =
            left.iter().map(|(place, _)| (*place).to_owned()).filter(|place| place != "back").collect();
        if left.is_empty() || soft.is_empty() {
            return (!left.is_empty()).then(|| "At the back it does no harm.".to_owned());
        }
        let back = if soft.len() == left.len() { "" } else { " At the back it does no harm." };
        let larger = PLACES.iter().zip(self.outside_mm);
        let larger = larger.map(|(place, o)| format!("{place} = {}", enough(o.max(self.depth_mm), unit)));
        Some(format!(
            "That skin stays soft at {}: grind it off there before you harden, and the blade ends up that much smaller; \
             or forge the outline larger: in the design file, under [stages], write `forged = {{ outline = {{ {} }} }}` (where \
             there is a `forged` already, add the `outline` to it).{back}",
            listed(&soft),
            larger.collect::<Vec<_>>().join(", ")
        ))
    }

    /// The same where welds are not counted: the skin is as deep at least.
    pub(crate) fn words_without_welds(&self, figures: Figures) -> [String; 2] {
        const MORE: &str =
            " (`plan` counts the welds too): to forge it larger see `outline` of `forged` under [stages]";
        self.words(figures).map(|words| words.replace(", up to ", ", over ").replace(SEE, MORE))
    }

    /// What becomes of the skin when the outline is ground to what it will be.
    fn told(&self, figures: Figures) -> String {
        let left = self.left();
        let Some(deepest) = left.iter().map(|(_, deep)| *deep).reduce(f64::max) else {
            return "enough to grind the skin off there".to_owned();
        };
        let places: Vec<String> = left.iter().map(|(place, _)| (*place).to_owned()).collect();
        format!(
            "skin that lost carbon is left at {}, up to {} deep{SEE}",
            listed(&places),
            figures.gap(deepest)
        )
    }
}

/// A length of a design file that is no less, in its unit: rounded up to 0.1 mm or 0.01 in, which a smith can still tell
/// apart.
fn enough(mm: f64, unit: Unit) -> String {
    let (places, steps) = if unit == Unit::Inch { (2, 100.0) } else { (1, 10.0) };
    format!("{:.places$}", (mm / unit.millimetres() * steps - ROUNDED).ceil() / steps)
}

/// Some things in one breath.
fn listed(things: &[String]) -> String {
    match things {
        [] => String::new(),
        [one] => one.clone(),
        [first @ .., last] => format!("{} and {last}", first.join(", ")),
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn skin(stages: &str) -> (OutlineSkin, [String; 2]) {
        let text = format!(
            "name = 'Oar'\n[outline]\nlength = 250\nbreadth = 28\n[[taper]]\nat = 0\nback = 5\n[forging]\nscale = 0\n\
             stack_heats = 5\n[stages]\n{stages}\n"
        );
        let design = crate::read(text.as_bytes()).unwrap_or_else(|p| panic!("{p:#?}"));
        let skin = OutlineSkin::of(&design);
        (skin, skin.words(design.figures()))
    }

    /// Ågren's diffusion at 0.4 % carbon and 1000 °C, 3.01e-11 m²/s: ten minutes lose a tenth of the carbon to 0.31 mm.
    #[test]
    fn an_outline_forged_as_it_will_be_keeps_its_skin_and_says_so() {
        let (none, words) = skin("");
        assert!(
            (none.depth_mm - 0.313).abs() < 0.006 && none.outside_mm.iter().all(|o| *o < 1e-12),
            "{none:?}"
        );
        let told = "skin that lost carbon is left at edge, back and point, up to 0.31 mm deep: see `outline` of `forged` under [stages]";
        assert_eq!(words, ["to its finished size", told]);
    }

    /// What is advised is written into the file, and the skin is off.
    #[test]
    fn the_advice_takes_the_skin_off() {
        let part = ["edge = 0.4", "back = 1"].map(|own| format!("forged = {{ outline = {{ {own} }} }}"));
        for (stages, depth_mm) in [("", 0.313), (&part[0], 0.58), (&part[1], 0.58)] {
            let advice = OutlineSkin { depth_mm, ..skin(stages).0 }.remedy(Unit::Millimetre).unwrap();
            let line = advice.split('`').find(|words| words.starts_with("forged")).unwrap();
            let now = OutlineSkin { depth_mm, ..skin(line).0 };
            assert_eq!(now.remedy(Unit::Millimetre), None, "{advice}: {now:?}");
        }
        let back = OutlineSkin { depth_mm: 0.3, outside_mm: [1.0, 0.1, 1.0] };
        assert_eq!(back.remedy(Unit::Inch).unwrap(), "At the back it does no harm.");
        let inch = OutlineSkin { depth_mm: 0.3, outside_mm: [0.0; 3] }.remedy(Unit::Inch).unwrap();
        assert!(inch.contains("edge = 0.02, back = 0.02, point = 0.02"), "{inch}");
    }

    #[test]
    fn what_is_forged_larger_is_told_and_what_is_left_too() {
        let (part, words) = skin("forged = { outline = { edge = 1, back = 0.1 } }");
        assert!(part.outside_mm.iter().zip([1.0, 0.1, 1.0]).all(|(o, w)| (o - w).abs() < 1e-6), "{part:?}");
        assert_eq!(words[0], "larger by 1.00 mm at the edge, 0.10 mm at the back and 1.00 mm at the point");
        assert!(words[1].contains("is left at back, up to 0.21 mm deep"), "{words:?}");
        let (_, all) = skin("forged = { outline = { edge = 1, back = 0.8, point = 2 } }");
        assert!(
            all[0].ends_with("2.00 mm at the point") && all[1] == "enough to grind the skin off there",
            "{all:?}"
        );
    }
}
