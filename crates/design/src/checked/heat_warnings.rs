//! Heats of a design file that are no fault, yet rarely meant: data sheets that leave what is published, and welding
//! heats at which a steel burns or nothing takes.

use laminate::Billet;
use steel::{Advice, HANDBOOKS, burning, solidus, welding};

use crate::file::checker::Checker;
use crate::file::problem::{Fault, Problems};
use crate::tables::billet::forging::Forging;
use crate::tables::billet::recipe::{Recipe, RecipeDrafts};

/// Carbon for which no handbook welds any colder, mass percent.
const COLDEST: f64 = 1.0;
/// Carbon under which quenched steel stays too soft for a cutting edge, mass percent: at 0.4 it comes to some 55 HRC at most
/// (martensite by its carbon, from memory).
const SOFT: f64 = 0.4;
/// Where the welding heat stands in the file.
const WELD_HEAT: &str = "forging.weld_heat";

/// Own steels that the blade is made of and whose data sheet leaves what is published of their name.
pub(crate) fn departures(file: RecipeDrafts, recipe: &Recipe, c: &Checker, found: &mut Problems) {
    let billet = recipe.billet.iter().flat_map(|billet| billet.steels());
    for steel in billet.chain(&recipe.one_steel) {
        let own = file.steels.into_iter().flat_map(|list| &list.value);
        let named = |name: &str| name == steel.name;
        let draft = own.into_iter().find(|f| f.value.name.as_ref().is_some_and(|n| named(&n.value)));
        let Some(draft) = draft else { continue };
        if steel::lacks_alloys(steel) {
            warn(&draft.at, &Fault::LacksAlloys { steel: steel.name.clone() }, c, found);
        }
        for departure in steel::departures(steel) {
            let published = match departure.published {
                Advice::Heat(band) => {
                    let [low, high] = band.celsius.map(|t| c.temperature_text(t));
                    format!("{low} to {high} ({})", band.told())
                }
                Advice::Never(why) => format!("none: {why}"),
                Advice::Needless(_) | Advice::Unknown => continue,
            };
            let (steel, heat) = (steel.name.clone(), departure.heat);
            warn(&format!("{}.{heat}", draft.at), &Fault::Departs { steel, heat, published }, c, found);
        }
    }
}

/// An edge of one steel that does not harden: one with so little carbon that it stays soft. What is wrapped, or lies beside
/// others, shows where it is ground; that is not asked here.
pub(crate) fn edge(billet: &Billet, c: &Checker, found: &mut Problems) {
    let bars = billet.bars();
    if billet.places() < bars.len() {
        return;
    }
    let Some((last, bar)) = bars.iter().enumerate().next_back() else { return };
    let [layer] = bar.layers.layers() else { return };
    let Some(steel) = billet.steels().get(layer.steel).filter(|s| s.composition.c < SOFT) else { return };
    let fault = Fault::SoftEdge { steel: steel.name.clone(), carbon: steel.composition.c };
    warn(&format!("bar[{last}].steel"), &fault, c, found);
}

/// A welding heat of a billet that is welded of bars or layers: handbooks differ by 50 K, beyond that it is told.
pub(crate) fn welds(billet: &Billet, recipe: &Recipe, forging: &Forging, c: &Checker, found: &mut Problems) {
    if billet.bars().len() == 1 && recipe.stackings.iter().all(Option::is_none) {
        return;
    }
    let (heat, least) = (forging.weld_heat, welding(COLDEST)[0]);
    let hardest = billet.steels().iter().max_by(|a, b| a.composition.c.total_cmp(&b.composition.c));
    if let Some(steel) = hardest.filter(|s| heat > burning(s.composition.c)) {
        let [low, high] = welding(steel.composition.c).map(|t| c.temperature_text(t));
        let (heat, band) = (c.temperature_text(heat), format!("{low} to {high}"));
        let (steel, melts) = (steel.name.clone(), c.temperature_text(solidus(steel.composition.c)));
        warn(WELD_HEAT, &Fault::WeldHot { heat, steel, band, melts }, c, found);
    }
    if heat < least - HANDBOOKS {
        let (heat, least) = (c.temperature_text(heat), c.temperature_text(least));
        warn(WELD_HEAT, &Fault::WeldCold { heat, least }, c, found);
    }
}

fn warn(path: &str, fault: &Fault, c: &Checker, found: &mut Problems) {
    found.add(path, c.document.span(path), fault);
}

#[cfg(test)]
mod tests {
    use crate::read;

    fn codes(steel: &str, bars: &str, more: &str) -> Vec<(&'static str, String)> {
        let text = format!(
            "name = 'Oar'\n[outline]\nlength = 250\nbreadth = 30\n[[taper]]\nat = 0\nback = 5\n[billet]\nwidth = 12\n\
             {bars}\n{more}\n{steel}\n"
        );
        let told = |p: &crate::Problem| (p.code, p.message.clone());
        match read(text.as_bytes()) {
            Ok(design) => design.warnings().iter().map(told).collect(),
            Err(problems) => problems.iter().map(told).collect(),
        }
    }

    fn sheet(name: &str, composition: &str, heats: &str) -> Vec<(&'static str, String)> {
        codes(
            &format!("[[steel]]\nname = '{name}'\n{composition}\n{heats}"),
            &format!("[[bar]]\nheight = 40\nsteel = '{name}'"),
            "",
        )
    }

    /// Published hardening: W2 760 to 845 °C, 52100 830 to 870, O1 790 to 815; L6 hardens in air.
    #[test]
    fn a_data_sheet_that_leaves_what_is_published_is_told() {
        for (name, composition, heats) in [
            ("W2", "carbon = 1.0", "hardening = [880, 930]"),
            ("O1", "carbon = 0.9\nmanganese = 1.2", "hardening = [880, 920]"),
            ("52100", "carbon = 1.0\nchromium = 1.45", "hardening = [760, 780]"),
            ("L6", "carbon = 0.7\nnickel = 1.5", "normalising = [850, 880]"),
            ("C105U", "carbon = 1.05", "forging = [850, 1200]"),
        ] {
            let found = sheet(name, composition, heats);
            let left: Vec<_> = found.iter().filter(|f| f.0 == "not-as-published").collect();
            assert!(left.len() == 1 && left[0].1.contains(name), "{name}: {found:?}");
        }
        let whole = "carbon = 0.9\nmanganese = 1.2\nchromium = 0.5\ntungsten = 0.5";
        assert!(sheet("O1", whole, "hardening = [785, 825]").is_empty());
        assert!(sheet("Weir", "carbon = 0.9", "hardening = [880, 920]").is_empty());
    }

    /// ASTM A681 (from memory): O1 has 1.2 % manganese and half a percent each of chromium and tungsten; 1095 is plain.
    #[test]
    fn an_alloy_steel_told_by_its_carbon_alone_is_told() {
        let found = |name: &str, composition: &str| {
            sheet(name, composition, "").iter().map(|f| f.0).collect::<Vec<_>>()
        };
        assert_eq!(found("O1", "carbon = 0.95"), ["lacks-alloys"]);
        assert_eq!(found("15N20", "carbon = 0.75\nmanganese = 0.4"), ["lacks-alloys"]);
        assert_eq!(found("O1", "carbon = 0.9\nmanganese = 1.2\nchromium = 0.5"), [""; 0]);
        assert_eq!(found("1095", "carbon = 0.97"), [""; 0]);
    }

    /// A cast iron of 2.5 % carbon begins to melt at the eutectic's 1148 °C: handbooks leave 180 K to 1330 °C at 1.0 %, and
    /// differ by 50.
    #[test]
    fn a_weld_over_where_a_steel_melts_burns_it() {
        let own = "[[steel]]\nname = 'Weir'\ncarbon = 2.5";
        let two = "[[bar]]\nheight = 20\nsteel = 'Weir'\n[[bar]]\nheight = 20\nsteel = 'mild steel'";
        let at = |heat: u32| codes(own, two, &format!("[forging]\nweld_heat = {heat}"));
        assert!(at(1011).iter().any(|f| f.0 == "hot-weld" && f.1.contains("not confirmed")));
        assert!(at(1010).iter().all(|f| f.0 != "hot-weld"));
    }

    /// Andrews: 0.75 % carbon with 2 % nickel begins to turn at 689 °C, 1.5 % chromium at 748. Nothing hardens under that,
    /// nor from 1200.
    #[test]
    fn a_heat_under_ac1_or_far_over_every_sheet_is_refused() {
        let nickel = "carbon = 0.75\nnickel = 2.0";
        for (heats, code) in [
            ("hardening = [600, 650]", "cold-heat"),
            ("normalising = [500, 510]", "cold-heat"),
            ("hardening = [800, 1001]", "hot-heat"),
            ("normalising = [1200, 1300]", "hot-heat"),
        ] {
            let found = sheet("Weir", nickel, heats);
            assert!(found.len() == 1 && found[0].0 == code, "{heats}: {found:?}");
        }
        assert!(sheet("Weir", nickel, "hardening = [690, 1000]").is_empty());
        // The formula speaks for low alloy steels alone: high speed steel is hardened from 1200 °C.
        let fast = "carbon = 0.85\nchromium = 4\ntungsten = 6\nmolybdenum = 5\nvanadium = 2";
        assert!(sheet("Weir", fast, "hardening = [1190, 1230]").is_empty());
    }

    /// Handbooks (from memory) weld 0.6 to 1.0 % carbon at 1050 to 1150 °C, within 50; with 1.05 % it melts 8 K sooner.
    #[test]
    fn a_welding_heat_that_burns_or_takes_nothing_is_told() {
        let two = "[[bar]]\nheight = 20\nsteel = 'C105U'\n[[bar]]\nheight = 20\nsteel = 'mild steel'";
        let at = |heat: u32, bars: &str| {
            let found = codes("", bars, &format!("[forging]\nweld_heat = {heat}"));
            found.iter().map(|f| f.0).filter(|code| *code != "soft-edge").collect::<Vec<_>>()
        };
        assert_eq!(
            (at(1350, two), at(1191, two), at(1190, two)),
            (vec!["hot-weld"], vec!["hot-weld"], vec![])
        );
        assert_eq!((at(999, two), at(1000, two)), (vec!["cold-weld"], vec![]));
        let iron = two.replace("C105U", "iron");
        assert_eq!(at(1350, &iron), [""; 0]);
        let alone = "[[bar]]\nheight = 40\nsteel = 'C105U'";
        assert_eq!(at(1350, alone), [""; 0]);
    }

    #[test]
    fn an_edge_that_stays_soft_is_told() {
        let bars = |back: &str, edge: &str| {
            format!("[[bar]]\nheight = 20\nsteel = '{back}'\n[[bar]]\nheight = 20\nsteel = '{edge}'")
        };
        let told =
            |back: &str, edge: &str| codes("", &bars(back, edge), "").iter().any(|f| f.0 == "soft-edge");
        assert!(told("C105U", "mild steel") && told("1084", "iron"));
        assert!(!told("mild steel", "C105U") && !told("iron", "C45"));
        let wrapped =
            bars("C45", "C105U") + "\nwrap = { name = 'Coat', steel = 'mild steel', edge = 4, sides = 3 }";
        assert!(codes("", &wrapped, "").iter().all(|f| f.0 != "soft-edge"));
    }
}
