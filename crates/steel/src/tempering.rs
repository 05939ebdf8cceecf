//! Hardness after tempering: published curves, straight between their points, and time by Hollomon and Jaffe.

use std::borrow::Cow;

use crate::ZERO_CELSIUS;
use crate::composition::{Composition, Steel};
use crate::conversion::between;
use crate::enthalpy::root;
use crate::nominal::nominal;

/// How far a steel's hardness may lie from a published curve either way, HRC: two sheets for one steel differ by up to
/// 3.
const BAND: f64 = 1.5;
/// The same where the curve is quoted from memory, or is that of a like steel, or lies between those of other steels.
const WIDE: f64 = 2.5;
/// Carbon that may move before a steel counts as another, mass percent: what its standard lets it differ by from bar to
/// bar.
const HARDLY: f64 = 0.03;
/// Most carbon that may move before an alloyed steel's curve no longer speaks for it, mass percent.
const MOVED: f64 = 0.15;
/// Hardness for a percent of carbon, HRC: 59.4 at 0.65 % and 61.5 at 1 % after an hour at 200 °C, by the curves below.
const BY_CARBON: f64 = 6.0;
/// Times that the law of time is used for, h: it was found from minutes to days.
const HOURS: [f64; 2] = [0.1, 24.0];

/// A published curve.
#[derive(Clone)]
struct Curve {
    names: &'static [&'static str],
    /// Like steels for which it is taken, without a curve of their own.
    kin: &'static [&'static str],
    /// Mass percent, for the law of time.
    carbon: f64,
    /// For how long, h, all tempers counted.
    hours: f64,
    band: f64,
    seen: bool,
    source: &'static str,
    /// °C and HRC.
    points: Cow<'static, [(f64, f64)]>,
}

/// Plain steels by carbon, mass percent, rising: any plain steel between two of them lies between their curves.
const PLAINS: [usize; 3] = [0, 1, 2];

const CURVES: &[Curve] = &[
    Curve {
        names: &["C45U", "1.1730"],
        kin: &["C45", "1.0503", "1045"],
        carbon: 0.46,
        hours: 1.0,
        band: BAND,
        seen: true,
        source: "Akrostal, sheet C45U",
        points: Cow::Borrowed(&[
            (180.0, 54.0),
            (200.0, 54.0),
            (250.0, 52.0),
            (300.0, 48.0),
            (350.0, 45.0),
            (400.0, 42.0),
        ]),
    },
    Curve {
        names: &["C67S", "1.1231", "1060", "C60", "1.0601"],
        kin: &[],
        carbon: 0.65,
        hours: 1.0,
        band: WIDE,
        seen: false,
        source: "Grange and Baughman 1956",
        points: Cow::Borrowed(&[(204.4, 59.2), (260.0, 56.5), (315.6, 53.5)]),
    },
    Curve {
        names: &["1095", "C105U", "1.1545", "W1", "W2"],
        kin: &[],
        carbon: 1.0,
        hours: 1.0,
        band: WIDE,
        seen: false,
        source: "Heat Treater's Guide, W steels",
        points: Cow::Borrowed(&[
            (150.0, 64.5),
            (175.0, 63.5),
            (200.0, 61.5),
            (225.0, 60.0),
            (250.0, 58.5),
            (275.0, 57.0),
            (300.0, 55.5),
            (350.0, 52.0),
            (400.0, 48.0),
        ]),
    },
    Curve {
        names: &["52100", "100Cr6", "1.3505"],
        kin: &["102Cr6", "1.2067"],
        carbon: 0.99,
        hours: 1.0,
        band: BAND,
        seen: true,
        source: "Lucefin, card 100Cr6, time not told",
        points: Cow::Borrowed(&[
            (100.0, 64.0),
            (150.0, 63.0),
            (200.0, 62.0),
            (250.0, 59.0),
            (300.0, 57.0),
            (350.0, 54.0),
            (400.0, 51.0),
        ]),
    },
    Curve {
        names: &["O1"],
        kin: &["95MnWCr5", "1.2825", "100MnCrW4", "1.2510"],
        carbon: 0.93,
        // Twice two hours.
        hours: 4.0,
        band: BAND,
        seen: true,
        source: "Eastern Tool Steel, O-1",
        points: Cow::Borrowed(&[
            (150.0, 64.0),
            (175.0, 63.0),
            (205.0, 62.0),
            (230.0, 61.0),
            (260.0, 59.0),
            (315.0, 56.0),
            (370.0, 52.0),
            (425.0, 49.0),
        ]),
    },
    Curve {
        names: &["90MnCrV8", "1.2842"],
        kin: &["O2"],
        carbon: 0.9,
        hours: 1.0,
        band: BAND,
        seen: true,
        source: "a steel supplier's sheet, 1.2842",
        // The middles of its bands, a point wide.
        points: Cow::Borrowed(&[
            (100.0, 63.5),
            (150.0, 62.5),
            (200.0, 61.5),
            (250.0, 59.5),
            (300.0, 57.5),
            (400.0, 50.5),
        ]),
    },
    Curve {
        names: &["L6"],
        kin: &[],
        carbon: 0.7,
        hours: 4.0,
        band: BAND,
        seen: true,
        source: "Eastern Tool Steel, L-6",
        points: Cow::Borrowed(&[(150.0, 64.0), (205.0, 61.0), (260.0, 59.0), (315.0, 57.0), (370.0, 54.0)]),
    },
    Curve {
        names: &["75Ni8", "15N20", "1.5634"],
        kin: &[],
        carbon: 0.75,
        hours: 1.0,
        band: WIDE,
        seen: false,
        source: "trade figures",
        points: Cow::Borrowed(&[
            (150.0, 62.0),
            (200.0, 60.0),
            (250.0, 57.0),
            (300.0, 54.0),
            (350.0, 51.0),
            (400.0, 47.0),
        ]),
    },
    Curve {
        names: &["80CrV2", "1.2235"],
        kin: &[],
        carbon: 0.8,
        hours: 1.0,
        band: WIDE,
        seen: false,
        source: "trade figures",
        points: Cow::Borrowed(&[
            (150.0, 63.0),
            (200.0, 61.0),
            (250.0, 58.5),
            (300.0, 56.0),
            (350.0, 53.0),
            (400.0, 49.0),
        ]),
    },
    Curve {
        names: &["5160"],
        kin: &[],
        carbon: 0.6,
        hours: 1.0,
        band: WIDE,
        seen: false,
        source: "Heat Treater's Guide, 5160",
        points: Cow::Borrowed(&[
            (150.0, 61.0),
            (205.0, 59.0),
            (260.0, 57.0),
            (315.0, 54.0),
            (370.0, 51.0),
            (425.0, 47.0),
        ]),
    },
];

/// Hardness of a steel for each tempering temperature, by its own published curve or, for a plain steel, between those
/// of its neighbours in carbon.
pub struct Tempering {
    /// One curve, or two with the share of the second.
    curves: [Curve; 2],
    share: f64,
    carbon: f64,
    band: f64,
    /// Whether the curve is that of a like steel.
    kin: bool,
}

impl Tempering {
    /// By a steel's own data sheet; of a standard's steel as it was bought; of any plain steel of 0.46 to 1.05 % carbon.
    /// `None` where nothing published speaks for it.
    pub fn of(steel: &Steel) -> Option<Tempering> {
        if let Some(curve) = told(steel) {
            return Some(Tempering::by(curve));
        }
        let standard = nominal(&steel.name).filter(|s| s.composition == steel.composition);
        let has = |names: &[&str], s: &Steel| names.iter().any(|n| n.eq_ignore_ascii_case(&s.name));
        let own = |s: &Steel| CURVES.iter().find(|c| has(c.names, s)).map(|c| (c, false));
        let like = |s: &Steel| CURVES.iter().find(|c| has(c.kin, s)).map(|c| (c, true));
        match standard.and_then(|s| own(&s).or_else(|| like(&s))) {
            Some((curve, false)) => Some(Tempering::by(curve.clone())),
            Some((curve, true)) => Some(Tempering { kin: true, band: WIDE, ..Tempering::by(curve.clone()) }),
            None => Tempering::plain(&steel.composition),
        }
    }

    /// By one curve alone.
    fn by(curve: Curve) -> Tempering {
        Tempering {
            share: 0.0,
            carbon: curve.carbon,
            band: curve.band,
            kin: false,
            curves: [curve.clone(), curve],
        }
    }

    /// Of a plain steel of this composition, such as an edge whose carbon has evened out: between two curves, in a
    /// wider band. `None` for one with alloys, or outside 0.46 to 1.05 % carbon.
    pub fn plain(c: &Composition) -> Option<Tempering> {
        // The handbook's curve is for about 1 %: its own steels reach 1.05.
        let carbon = if (1.0..=1.05).contains(&c.c) { 1.0 } else { c.c };
        let pair =
            PLAINS.windows(2).find(|w| (CURVES[w[0]].carbon..=CURVES[w[1]].carbon).contains(&carbon))?;
        let curves = [CURVES[pair[0]].clone(), CURVES[pair[1]].clone()];
        let share = (carbon - curves[0].carbon) / (curves[1].carbon - curves[0].carbon);
        c.is_plain().then_some(Tempering { curves, share, carbon: c.c, band: WIDE, kin: false })
    }

    /// Of a standard's steel whose carbon has become `carbon` (mass percent): as bought where it has hardly moved, a
    /// plain steel between the curves, an alloyed one by its own curve in a band wider by what carbon makes of
    /// hardness. `None` where nothing published speaks for it.
    pub fn at_carbon(steel: &Steel, carbon: f64) -> Option<Tempering> {
        let moved = (carbon - steel.composition.c).abs();
        let whole = Tempering::of(steel);
        let evened = || Tempering::plain(&Composition { c: carbon, ..steel.composition });
        match whole {
            Some(t) if moved < HARDLY => Some(t),
            whole => evened().or_else(|| {
                let near = whole.filter(|_| moved <= MOVED)?;
                Some(Tempering { band: near.band + BY_CARBON * moved, ..near })
            }),
        }
    }

    /// Least and greatest hardness, HRC, after `hours` in all (0.1 to 24) at `celsius`; `None` beyond the curve's ends.
    pub fn hardness(&self, celsius: f64, hours: f64) -> Option<[f64; 2]> {
        self.middle(celsius, hours).map(|h| [h - self.band, h + self.band])
    }

    /// The temperature (°C) that `hours` in all (0.1 to 24) temper to `hrc` in the middle of the band; `None` beyond
    /// the curve's ends.
    pub fn temperature(&self, hrc: f64, hours: f64) -> Option<f64> {
        let ends = self.range(hours)?;
        let [soft, hard] = [self.middle(ends[1], hours)?, self.middle(ends[0], hours)?];
        let inside = (soft..=hard).contains(&hrc);
        inside.then(|| root(ends[0], ends[1], |t| hrc - self.middle(t, hours).unwrap_or(soft)))
    }

    /// Temperatures (°C) for which `hours` in all (0.1 to 24) are known.
    pub fn range(&self, hours: f64) -> Option<[f64; 2]> {
        let ends = |c: &Curve| {
            let reach = [c.points.first()?.0, c.points.last()?.0];
            // A hair inside, so that rounding on the way back stays on the curve.
            Some([
                later(reach[0], c.hours, hours, self.carbon) + 1e-9,
                later(reach[1], c.hours, hours, self.carbon) - 1e-9,
            ])
        };
        let [a, b] = [ends(&self.curves[0])?, ends(&self.curves[1])?];
        (HOURS[0]..=HOURS[1]).contains(&hours).then_some([a[0].max(b[0]), a[1].min(b[1])])
    }

    /// How far the hardness may lie either way, HRC.
    pub fn band(&self) -> f64 {
        self.band
    }

    /// Where the curve comes from.
    pub fn source(&self) -> String {
        let like = if self.kin { ", of a similar steel" } else { "" };
        let word = |c: &Curve| format!("{}{like}{}", c.source, if c.seen { "" } else { ", not confirmed" });
        let [a, b] = &self.curves;
        match (a.source == b.source, a.seen || b.seen) {
            (true, _) => word(a),
            (false, true) => format!("between {} and {}", word(a), word(b)),
            (false, false) => format!("between {} and {}, not confirmed", a.source, b.source),
        }
    }

    /// Whether every curve was seen in its source, and is this steel's own.
    pub fn seen(&self) -> bool {
        !self.kin && self.curves.iter().all(|c| c.seen)
    }

    fn middle(&self, celsius: f64, hours: f64) -> Option<f64> {
        let of = |c: &Curve| between(c.points.iter().copied(), later(celsius, hours, c.hours, self.carbon));
        let known = (HOURS[0]..=HOURS[1]).contains(&hours);
        let [a, b] = [of(&self.curves[0]).filter(|_| known)?, of(&self.curves[1])?];
        Some(a + self.share * (b - a))
    }
}

/// The curve of a steel's own data sheet, if it gives one.
fn told(steel: &Steel) -> Option<Curve> {
    let points = &steel.sheet.tempering;
    (points.len() > 1).then(|| Curve {
        names: &[],
        kin: &[],
        carbon: steel.composition.c,
        hours: 1.0,
        band: BAND,
        seen: true,
        source: "its own data sheet",
        points: Cow::Owned(points.clone()),
    })
}

/// The temperature (°C) that in `then` hours does what `celsius` does in `hours`, for `carbon` (mass percent): like
/// T(K + log t), Hollomon and Jaffe 1945 with K = 21.3 − 5.8 C, by code after a paper on carburised gears.
pub fn later(celsius: f64, hours: f64, then: f64, carbon: f64) -> f64 {
    let k = 21.3 - 5.8 * carbon;
    (celsius + ZERO_CELSIUS) * (k + hours.log10()) / (k + then.log10()) - ZERO_CELSIUS
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::nominal::nominals;

    fn of(name: &str) -> Tempering {
        Tempering::of(&nominal(name).unwrap()).unwrap_or_else(|| panic!("{name}"))
    }

    #[test]
    fn curves_are_those_of_known_steels_and_fall() {
        for curve in CURVES {
            let all = curve.names.iter().chain(curve.kin);
            assert!(all.clone().all(|name| nominals().any(|n| n == *name)), "{:?}", curve.names);
            assert!(
                curve.points.windows(2).all(|w| w[0].0 < w[1].0 && w[0].1 >= w[1].1),
                "{:?}",
                curve.names
            );
        }
    }

    /// Both ways: the temperature for a hardness has that hardness in its middle.
    #[test]
    fn temperature_and_hardness_agree() {
        for name in ["1095", "O1", "L6", "52100", "80CrV2", "1084", "C67S", "5160"] {
            let tempering = of(name);
            for hours in [1.0, 2.0, 4.0] {
                for hrc in [55.0, 57.0, 58.5] {
                    let t =
                        tempering.temperature(hrc, hours).unwrap_or_else(|| panic!("{name} {hrc} {hours}"));
                    let [low, high] = tempering.hardness(t, hours).unwrap();
                    assert!((0.5 * (low + high) - hrc).abs() < 1e-6, "{name} {hrc} {hours}: {low} {high}");
                }
                assert!(
                    tempering.temperature(75.0, hours).is_none()
                        && tempering.temperature(20.0, hours).is_none()
                );
            }
            assert!(tempering.hardness(900.0, 1.0).is_none() && tempering.hardness(200.0, 0.0).is_none());
            assert!(
                tempering.hardness(f64::NAN, 1.0).is_none() && tempering.hardness(200.0, f64::NAN).is_none()
            );
        }
    }

    /// C45U's sheet speaks for C45 too, but is not C45's own: it is marked.
    #[test]
    fn a_like_steels_curve_is_marked() {
        for (own, like) in [("C45U", "C45"), ("100Cr6", "102Cr6"), ("O1", "95MnWCr5"), ("90MnCrV8", "O2")] {
            assert!(of(own).seen() && !of(like).seen() && of(like).band() > of(own).band(), "{own} {like}");
            assert!(
                of(like).source().contains("of a similar steel") && !of(own).source().contains("similar")
            );
        }
        // The 0.65 % curve is the one for 1060, not one half-way to C45U's.
        assert_eq!(of("1060").source(), of("C67S").source());
    }

    #[test]
    fn plain_steels_lie_between_their_neighbours_in_a_wider_band() {
        let middle = |t: &Tempering| t.hardness(230.0, 1.0).map(|[a, b]| 0.5 * (a + b)).unwrap();
        let (soft, between, hard) = (of("C67S"), of("1084"), of("1095"));
        assert!(middle(&soft) < middle(&between) && middle(&between) < middle(&hard));
        assert!(
            between.band() > of("O1").band() && !between.seen() && between.source().starts_with("between")
        );
        assert!(Tempering::of(&nominal("mild steel").unwrap()).is_none());
        // Where times end and where a steel is no longer plain.
        let at = |hours: f64| hard.hardness(230.0, hours);
        assert!(at(0.1).is_some() && at(24.0).is_some() && at(0.099).is_none() && at(24.1).is_none());
        let residue = |cr: f64| Tempering::plain(&Composition { c: 0.8, cr, ..Composition::default() });
        assert!(residue(0.3).is_some() && residue(0.31).is_none());
        let own = Composition { c: 0.8, cr: 5.0, ..Composition::default() };
        // What carbon evens out to: a plain steel goes by its carbon, an alloyed one by its own curve, wider.
        let evened = |name: &str, c: f64| Tempering::at_carbon(&nominal(name).unwrap(), c);
        assert!((evened("1095", 0.65).map(|t| middle(&t)).unwrap() - middle(&soft)).abs() < 1e-6);
        assert_eq!(evened("1095", 0.96).map(|t| t.source()), Some(hard.source()));
        assert!(
            (evened("O1", 0.825).unwrap().band() - BAND - 0.6).abs() < 1e-9 && evened("O1", 0.6).is_none()
        );
        assert!(Tempering::plain(&own).is_none());
    }
}
