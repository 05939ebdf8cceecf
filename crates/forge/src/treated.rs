//! As which steel one is treated whose carbon has moved: hardened, normalised and quenched alike.

use steel::{Composition, Steel, ac3, plain_by_carbon};

use crate::heat::{Heat, LEAST_CARBON, SteelHeat, calculated, normalised};

/// Carbon that may move before the published heat of the steel as bought no longer speaks for it, mass percent: what a
/// standard lets it differ by.
pub(crate) const MOVED: f64 = 0.05;

/// A steel's heats and medium with the carbon that it has.
#[derive(Clone, Debug)]
pub(crate) struct Treated {
    pub(crate) hardening: Heat,
    pub(crate) normalising: Heat,
    /// What it is quenched in, in words, and sections under which oil will do, mm.
    pub(crate) medium: Option<(String, Option<f64>)>,
    /// Its composition now.
    pub(crate) composition: Composition,
}

impl Treated {
    /// A steel with this carbon (least and greatest, mass percent): as it was bought where that has hardly moved, else as
    /// the plain steel that its carbon has made of it, or by its own heats, never under its Ac3.
    pub(crate) fn of(own: &SteelHeat, steel: &Steel, carbon: [f64; 2]) -> Treated {
        let middle = 0.5 * (carbon[0] + carbon[1]);
        let as_bought = Treated {
            hardening: own.hardening.clone(),
            normalising: own.normalising.clone(),
            medium: own.medium.clone(),
            composition: steel.composition,
        };
        if (middle - steel.composition.c).abs() <= MOVED {
            return as_bought;
        }
        let composition = Composition { c: middle, ..steel.composition };
        match plain_by_carbon(&composition) {
            Some((name, known)) => Treated {
                hardening: Heat::like(known.hardening, name, middle),
                normalising: Heat::like(known.normalising, name, middle),
                medium: Some((known.medium.words.to_owned(), oil_under(own, known.medium.oil_under))),
                composition,
            },
            None => Treated {
                hardening: hardening(&as_bought.hardening, steel, &composition),
                normalising: raised(&as_bought.normalising, normalised(&composition), steel, &composition),
                composition,
                ..as_bought
            },
        }
    }
}

/// Sections under which oil will do, mm, for a steel that its carbon has made like one of which this is published: only
/// where it is for the steel as bought too, whose other elements are still there.
fn oil_under(own: &SteelHeat, known: Option<f64>) -> Option<f64> {
    match &own.medium {
        Some((_, bought)) => known.zip(*bought).map(|(a, b)| a.min(b)),
        None => known,
    }
}

/// Hardening of a steel that is no plain one, with the carbon it has now.
fn hardening(own: &Heat, bought: &Steel, now: &Composition) -> Heat {
    let formula = calculated(now).filter(|_| now.c >= LEAST_CARBON);
    match (own.celsius, formula) {
        (None, Some(band)) => {
            let source = format!("calculated from Ac3 for the {:.2} % carbon that it has now", now.c);
            Heat::guessed(band, source)
        }
        _ => raised(own, formula, bought, now),
    }
}

/// Its own heat, told for the carbon it was bought with; where the least of it is under the Ac3 that it has now, as
/// calculated.
fn raised(own: &Heat, formula: Option<[f64; 2]>, bought: &Steel, now: &Composition) -> Heat {
    let Some([low, high]) = own.celsius else { return own.clone() };
    let under = |c: &Composition| ac3(&Composition { p: 0.0, ..*c }).is_some_and(|end| low < end);
    match formula.filter(|_| under(now)) {
        Some([least, most]) => Heat::guessed(
            [least, most.max(high)],
            format!("calculated from Ac3 for its {:.2} % carbon: {} is under it", now.c, own.source),
        ),
        None => Heat {
            source: format!(
                "{}, for {:.2} % carbon: it has {:.2} % now",
                own.source, bought.composition.c, now.c
            ),
            unsure: true,
            ..own.clone()
        },
    }
}

#[cfg(test)]
mod tests {
    use steel::nominal;

    use super::*;

    fn of(name: &str, carbon: f64) -> Treated {
        let steel = nominal(name).unwrap();
        Treated::of(&SteelHeat::of(&steel), &steel, [carbon; 2])
    }

    /// W2 come down to 0.57 % carbon is a 1060 in all: hardened, normalised and quenched as one.
    #[test]
    fn what_became_plain_steel_is_treated_as_it() {
        let made = |name: &str, c: f64| {
            let t = of(name, c);
            (t.hardening.celsius.unwrap(), t.normalising.celsius.unwrap(), t.medium.unwrap().0)
        };
        let (hardened, normalised, medium) = made("W2", 0.57);
        assert_eq!(
            (hardened, normalised, medium.as_str()),
            ([800.0, 830.0], [830.0, 885.0], "water or brine")
        );
        assert!(
            of("W2", 0.57)
                .normalising
                .source
                .starts_with("by then it has 0.57 % carbon, so it is treated as 1060")
        );
        // Hardly moved, it is what it was.
        assert_eq!(of("W2", 0.96).hardening.celsius, Some([760.0, 845.0]));
        assert_eq!(of("W2", 0.94).hardening.celsius, Some([785.0, 815.0]));
    }

    /// C105U that lost carbon is heated as 1095, but has still no manganese to harden deep: what 1095's sheet says of oil is
    /// not for it.
    #[test]
    fn oil_is_not_borrowed_from_a_steel_with_more_manganese() {
        let (words, oil_under) = of("C105U", 0.97).medium.unwrap();
        assert!(words.contains("water") && oil_under.is_none(), "{words} {oil_under:?}");
        assert!(of("1095", 0.95).medium.unwrap().1.is_some());
    }

    /// EN 10083 lets two charges of one steel differ by about 0.05 % carbon (from memory): up to that W2 is W2.
    #[test]
    fn carbon_that_moves_no_further_than_a_standard_lets_it_changes_nothing() {
        let bought = nominal("W2").unwrap().composition.c;
        let is_w2 = |moved: f64| {
            of("W2", bought - moved).hardening == SteelHeat::of(&nominal("W2").unwrap()).hardening
        };
        assert!(is_w2(0.049) && !is_w2(0.051));
    }

    /// O1 with 0.4 % carbon has Ac3 at 802 °C by Andrews: its own 790 to 815 would leave ferrite. O2's manganese is no
    /// plain steel's either.
    #[test]
    fn nothing_is_hardened_under_its_ac3() {
        for (name, carbon) in [("O1", 0.34), ("O1", 0.4), ("O1", 0.45), ("O2", 0.4), ("80CrV2", 0.35)] {
            let t = of(name, carbon);
            let end = ac3(&t.composition).unwrap();
            for heat in [&t.hardening, &t.normalising] {
                let [low, high] = heat.celsius.unwrap();
                assert!(low > end && high > low && heat.unsure, "{name} {carbon}: {heat:?} {end}");
            }
        }
        let told = of("O1", 0.4);
        let [low, high] = told.hardening.celsius.unwrap();
        let end = ac3(&told.composition).unwrap();
        assert!((low - end - 20.0).abs() < 1e-9 && (high - end - 50.0).abs() < 1e-9, "{low} {high}");
    }
}
