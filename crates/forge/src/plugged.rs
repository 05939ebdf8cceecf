//! Plugs at the bench: the holes to drill through a bar, and the rods to drive into them. How it is done is common practice, no
//! source.

use design::Figures;
use laminate::{Billet, Plug};
use serde::Serialize;

use crate::stock::Stack;

/// A rod is cut so much longer at each end than its bar is wide, mm: that much is hammered down over the hole and ground flush.
const PROUD: f64 = 3.0;

/// The plugs of a bar that are alike in steel and diameter. Lengths in mm.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct Plugged {
    /// Their steel.
    pub steel: String,
    /// Index of it among the billet's.
    #[serde(skip)]
    pub(crate) index: usize,
    /// Diameter of hole and rod.
    pub diameter_mm: f64,
    /// Middles of the holes: from the bar's end at the tang as it goes into the stack, and up from its face towards the edge.
    pub at_mm: Vec<[f64; 2]>,
    /// Length of each rod as it is cut.
    pub rod_mm: f64,
    /// Steel of the bar that is drilled away, mm³: the rods take its place.
    pub drilled_away_mm3: f64,
}

impl Plugged {
    /// Of a bar, in the order of the file; it begins `start` mm behind the shoulder.
    pub(crate) fn all((billet, bar): (&Billet, usize), stack: &Stack, start: f64) -> Vec<Plugged> {
        // The recipe counts along the stack as it is when its scale is off.
        let longer = 1.0 / (1.0 - stack.scale_share);
        let mut all: Vec<Plugged> = Vec::new();
        for plug in &billet.bars()[bar].plugs {
            let place = [start + plug.at * longer, plug.up];
            let away = hole(plug.diameter, billet.width());
            match all.iter_mut().find(|known| known.is_alike(plug)) {
                Some(known) => {
                    known.at_mm.push(place);
                    known.drilled_away_mm3 += away;
                }
                None => all.push(Plugged {
                    steel: billet.steels()[plug.steel()].name.clone(),
                    index: plug.steel(),
                    diameter_mm: plug.diameter,
                    at_mm: vec![place],
                    rod_mm: billet.width() + 2.0 * PROUD,
                    drilled_away_mm3: away,
                }),
            }
        }
        all
    }

    fn is_alike(&self, plug: &Plug) -> bool {
        self.index == plug.steel() && (self.diameter_mm - plug.diameter).abs() < 1e-9
    }

    /// From drilling to the bar that goes into the stack, each with what it then measures, lengths as figures tell them.
    pub fn steps(&self, l: Figures) -> Vec<(String, String)> {
        let each_place =
            |[at, up]: &[f64; 2]| format!("{} from the tang end and {} up", l.mark(*at), l.side(*up));
        let places: Vec<String> = self.at_mm.iter().map(each_place).collect();
        let size = l.size(self.diameter_mm);
        let (holes, hole, rods, each, [ends, out]) = match self.at_mm.len() {
            1 => (
                "a hole".to_owned(),
                "the hole",
                format!("a rod of {}", self.steel),
                "it",
                ["the rod's ends", "the hole"],
            ),
            count => (
                format!("{count} holes"),
                "the holes",
                format!("rods of {}", self.steel),
                "each",
                ["the rods' ends", "the holes"],
            ),
        };
        vec![
            (
                format!(
                    "Let the cropped bar cool slowly from red heat, so that it is soft enough to drill. Once it is cold, clamp it \
                     down, put your safety glasses on and drill {holes} of {size} from side to side, square to its sides: centre \
                     {}, counted from the face towards the edge. File the burrs away",
                    places.join("; ")
                ),
                String::new(),
            ),
            (
                format!(
                    "Clean {hole} and {rods} to bright steel, flux both, drive {each} in tight until it stands out the same on both sides"
                ),
                format!("{size} across, {} long", l.hot(self.rod_mm)),
            ),
            (
                format!(
                    "Heat the bar slowly. Stand clear of both sides: flux spits out of {out}. At welding heat upset {ends} first, so that \
                     they swell tight, then weld with light blows over them. Let it cool, grind both sides flush and dress the welding \
                     faces once more"
                ),
                String::new(),
            ),
        ]
    }
}

/// What a round hole of this diameter takes of a bar so wide, mm³.
fn hole(diameter: f64, wide: f64) -> f64 {
    std::f64::consts::FRAC_PI_4 * diameter * diameter * wide
}

#[cfg(test)]
mod tests {
    use crate::{Plan, Stock};

    fn design(plugs: &str) -> design::Design {
        let text = format!(
            "name = 'Oar'\n[outline]\nlength = 250\nbreadth = 28\n[[taper]]\nat = 0\nback = 5\n[billet]\nwidth = 12\n\
             [[layers]]\nname = 'Core'\nsteels = ['C45', '75Ni8']\ncount = 7\n\
             [[bar]]\nname = 'Back'\nheight = 16\nlayers = 'Core'\n{plugs}\n[[bar]]\nname = 'Edge'\nheight = 16\nsteel = 'C105U'\n"
        );
        design::read(text.as_bytes()).unwrap_or_else(|p| panic!("{p:#?}"))
    }

    /// Holes stand where the finished blade shows the plugs, rods fill them, and what stands out of them is all that is lost; the
    /// bar itself is cut as it is without plugs.
    #[test]
    fn rods_fill_their_holes() {
        let plain = Stock::of(&design("")).unwrap();
        let plugged = design(
            "plugs = [{ station = 60, diameter = 6, steel = 'mild steel' }, { at = 42, diameter = 6, steel = 'mild steel', height = 9 }, \
             { station = 150, diameter = 4, steel = '75Ni8' }]",
        );
        let (stock, lay) = (Stock::of(&plugged).unwrap(), plugged.lay().unwrap());
        let [thick, thin] = &stock.bars[0].plugs[..] else { panic!("{:?}", stock.bars[0].plugs) };
        let start = stock.bars[0].length_mm - stock.stack.length_mm[0];
        let station = |at: f64| lay.station((at - start) * (1.0 - stock.stack.scale_share));
        assert!(
            (station(thick.at_mm[0][0]) - 60.0).abs() < 1e-6
                && (station(thin.at_mm[0][0]) - 150.0).abs() < 1e-6
        );
        assert!((thick.at_mm[0][1] - 8.0).abs() < 1e-9 && (thick.at_mm[1][1] - 9.0).abs() < 1e-9);
        assert_eq!(plain.cuts, stock.cuts.iter().filter(|cut| !cut.round).cloned().collect::<Vec<_>>());
        let rods: Vec<_> = stock.cuts.iter().filter(|cut| cut.round).collect();
        assert_eq!(
            rods.iter().map(|cut| (cut.count, cut.steel.as_str())).collect::<Vec<_>>(),
            [(2, "mild steel"), (1, "75Ni8")]
        );
        for (cut, plugs) in rods.iter().zip([thick, thin]) {
            // A cylinder; 3 mm of it stand out at each end of a bar 12 mm wide.
            let volume = std::f64::consts::PI * (0.5 * plugs.diameter_mm).powi(2) * 18.0 * cut.count as f64;
            assert!((cut.mass_g / (volume * plugged.density()) - 1.0).abs() < 1e-12);
            assert!((plugs.drilled_away_mm3 / volume - 12.0 / 18.0).abs() < 1e-12);
        }
        // The steels' total is all cuts; the list names each once.
        let all: f64 = stock.masses().iter().map(|mass| mass.1).sum();
        assert!((all - stock.cuts.iter().map(|cut| cut.mass_g).sum::<f64>()).abs() < 1e-9);
    }

    #[test]
    fn the_plan_says_what_is_drilled_and_driven_in() {
        let text =
            Plan::of(&design("plugs = [{ at = 60, diameter = 6, steel = 'mild steel' }]")).unwrap().text();
        // Wherever its lines end.
        let told = text.split_whitespace().collect::<Vec<_>>().join(" ");
        for says in [
            "drill a hole of 6 mm from side to side",
            "clean the hole and a rod of mild steel to bright steel",
            "6 mm across, 18 long",
            "Weld the plug into Back",
            "flux spits out of the hole",
            "round",
        ] {
            assert!(told.contains(says), "{says} in\n{text}");
        }
        assert!(text.lines().all(|line| line.chars().count() <= 130));
    }
}
