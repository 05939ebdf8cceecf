//! How bright the steels of a billet come out of the etch, bar by bar, after carbon has evened out between layers.

use design::Design;
use laminate::{Bar, Billet, Etched, etched_grey};
use steel::etched_brightness;

use crate::levelling::{Levelled, Levelling};
use crate::stock::Stock;

/// Steels of one bar closer than this in brightness, 0 to 1, will hardly show as layers: less than a rank of the order, where
/// neighbours may change places (common practice, no source).
const ALIKE: f64 = 0.07;

/// Greys of one steel closer than this, of 255, stand in the legend once: no eye tells them apart in two places.
const LIKE_GREYS: u8 = 8;

/// What the greys of an etched picture are, and what they are not.
pub const ETCHED_GREYS: &str = "Greys show in which order the steels etch, from dark to bright, hardened and etched in ferric chloride; \
                                they do not say how dark. The order is not confirmed: etch a scrap piece of your own steels, and add what \
                                you see to the end of the design file, four lines for each steel: `[[steel]]`, \
                                `name` (its name in quotes), `carbon` (in percent) and `etched = \"dark\"` (or black, grey, light, \
                                bright).";

/// How the layers of a billet come out of the etch.
#[derive(Clone, Debug, PartialEq)]
pub struct Etching {
    /// How bright every steel is in every bar.
    pub brightness: Etched,
    /// For every steel of the billet that shows, from dark to bright.
    pub legend: Vec<EtchedSteel>,
    /// Names of the bars whose steels etch nearly alike, so that their layers will hardly show.
    pub faint: Vec<String>,
}

/// A steel and the greys that it has in the picture: more than one where carbon has changed it in one bar and not in
/// another.
#[derive(Clone, Debug, PartialEq)]
pub struct EtchedSteel {
    /// Its name.
    pub name: String,
    /// Its greys from dark to bright, sRGB.
    pub greys: Vec<[u8; 3]>,
}

impl Etching {
    /// Of a design with a billet; `None` without one.
    pub fn of(design: &Design) -> Option<Etching> {
        let billet = design.billet()?;
        let levelling = Stock::of(design).map_or_else(Vec::new, |stock| Levelling::all(design, &stock));
        // Between a plug and its bar carbon evens out at the rim only: inside it is as it was bought.
        let bought = || billet.steels().iter().map(|s| etched_brightness(s, s.composition.c)).collect();
        let bars = billet.bars().iter().map(|bar| in_bar(bar, billet, &levelling));
        let brightness = Etched(bars.chain(billet.is_plugged().then(bought)).collect());
        let legend = legend(billet, &brightness);
        let faint = billet.bars().iter().enumerate().filter(|(i, bar)| is_faint(bar, &brightness.0[*i]));
        Some(Etching { faint: faint.map(|(_, bar)| bar.name.clone()).collect(), brightness, legend })
    }
}

/// How bright every steel of the billet is in one bar: with the mean carbon that it has there then, or as bought.
fn in_bar(bar: &Bar, billet: &Billet, levelling: &[Levelling]) -> Vec<f64> {
    let levelled = levelling.iter().find(|l| l.bar == bar.name);
    let carbon = |name: &str, bought: f64| {
        let own: Option<&Levelled> = levelled.and_then(|l| l.steels.iter().find(|s| s.steel == name));
        own.map_or(bought, |s| 0.5 * (s.carbon_percent[0] + s.carbon_percent[1]))
    };
    let bright = |s: &steel::Steel| etched_brightness(s, carbon(&s.name, s.composition.c));
    billet.steels().iter().map(bright).collect()
}

/// The steels of a bar, each once.
fn steels(bar: &Bar) -> Vec<usize> {
    let mut all: Vec<usize> = bar.layers.layers().iter().map(|l| l.steel).collect();
    all.sort_unstable();
    all.dedup();
    all
}

/// Whether a bar has more than one steel and all of them are nearly as bright as each other.
fn is_faint(bar: &Bar, brightness: &[f64]) -> bool {
    let own = steels(bar);
    let (least, most) = own
        .iter()
        .map(|&s| brightness[s])
        .fold((f64::INFINITY, f64::NEG_INFINITY), |(l, m), b| (l.min(b), m.max(b)));
    own.len() > 1 && most - least < ALIKE
}

/// Every steel that some bar or plug holds, with its greys; from the darkest to the brightest by its darkest grey.
fn legend(billet: &Billet, brightness: &Etched) -> Vec<EtchedSteel> {
    let one = |(steel, named): (usize, &steel::Steel)| {
        let bars = billet.bars().iter().enumerate().filter(|(_, bar)| steels(bar).contains(&steel));
        let bars = bars.map(|(bar, _)| etched_grey(brightness.brightness(bar, steel)));
        let mut plugs = billet.bars().iter().flat_map(|bar| &bar.plugs);
        let plug = plugs.any(|plug| plug.steel() == steel).then(|| etched_grey(brightness.of_plug(steel)));
        let mut greys: Vec<[u8; 3]> = bars.chain(plug).collect();
        greys.sort_unstable();
        greys.dedup_by(|next, kept| next[0] - kept[0] < LIKE_GREYS);
        EtchedSteel { name: named.name.clone(), greys }
    };
    let mut all: Vec<EtchedSteel> = billet.steels().iter().enumerate().map(one).collect();
    all.sort_by(|a, b| a.greys.cmp(&b.greys));
    all
}

#[cfg(test)]
mod tests {
    use super::*;

    fn of(text: &str) -> Etching {
        let head = "name = 'Oar'\n[outline]\nlength = 250\nbreadth = 28\n[[taper]]\nat = 0\nback = 5\n[billet]\nwidth = 12\n";
        let design = design::read(format!("{head}{text}").as_bytes()).unwrap_or_else(|p| panic!("{p:#?}"));
        Etching::of(&design).unwrap()
    }

    fn pair(steels: &str, count: usize) -> Etching {
        of(&format!(
            "[[layers]]\nname = 'Core'\nsteels = {steels}\ncount = {count}\n[[bar]]\nheight = 16\nlayers = 'Core'\n\
             [[bar]]\nname = 'Edge'\nheight = 16\nsteel = '1095'\n"
        ))
    }

    /// Thin layers of mild steel have their neighbours' carbon and etch like them; thick ones keep some of their own.
    #[test]
    fn carbon_that_evens_out_takes_the_contrast() {
        let (thin, thick) = (pair("['mild steel', '1095']", 101), pair("['mild steel', '1095']", 3));
        let apart = |e: &Etching| (e.brightness.0[0][0] - e.brightness.0[0][1]).abs();
        assert!(apart(&thin) < 0.07 && apart(&thick) > 0.3, "{thin:?} {thick:?}");
        assert_eq!((thin.faint, thick.faint), (vec!["Bar 1".to_owned()], vec![]));
    }

    /// Nickel stays where it is: however thin, the layers show. In the edge the steel is as it was bought.
    #[test]
    fn nickel_keeps_the_contrast() {
        let etching = pair("['1095', '75Ni8']", 101);
        assert!(etching.faint.is_empty());
        let bright = &etching.brightness.0[0];
        assert!(bright[1] - bright[0] > 0.3, "{etching:?}");
        let names: Vec<&str> = etching.legend.iter().map(|s| s.name.as_str()).collect();
        assert_eq!(names, ["1095", "75Ni8"]);
        assert_eq!(etching.legend[0].greys.len(), 2, "with its neighbour's carbon, and without");
    }

    #[test]
    fn a_smith_s_own_brightness_goes_first() {
        let own = of(
            "[[layers]]\nname = 'Core'\nsteels = ['Weir', '1095']\ncount = 9\n[[bar]]\nheight = 30\nlayers = 'Core'\n\
             [[steel]]\nname = 'Weir'\ncarbon = 0.9\netched = 'bright'\n",
        );
        assert!((own.brightness.0[0][0] - 0.95).abs() < 1e-12);
    }
}
