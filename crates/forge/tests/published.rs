//! The plan's figures against published tables and worked examples. Values are from memory unless the check says otherwise.
//! More such checks stand beside the code they prove: Bacon's weights and closed forms of moments in `blade`, Thomson's
//! nodes in `blade`, and what is published on steels in `steel`.

#![allow(clippy::unwrap_used, reason = "a test whose setting fails is a failed test")]

use forge::{Cut, HotLength, Plan};

fn near(found: f64, published: f64, within: f64, what: &str) {
    assert!((found - published).abs() <= within, "{what}: {found} for {published}");
}

/// A plain one-steel bar of a plan, made of the trial's recipe with the shop's losses as given.
fn plan(forging: &str) -> Plan {
    let text = format!(
        "name = \"Boathook\"\n[outline]\nlength = 300\nbreadth = 30\n[[taper]]\nat = 0\nback = 6\n\
         [billet]\nwidth = 12\n[[bar]]\nname = \"Back\"\nheight = 15\nsteel = \"C45\"\n[[bar]]\nname = \"Edge\"\nheight = 15\n\
         steel = \"C75S\"\n[forging]\n{forging}\n"
    );
    let design = design::read(text.as_bytes()).unwrap_or_else(|p| panic!("{p:#?}"));
    Plan::of(&design).unwrap()
}

/// Kilograms a metre of the pieces cut, by their own sizes.
fn kg_per_m(cut: &Cut) -> f64 {
    let [thick, wide, long] = cut.size_mm;
    cut.mass_g / (cut.count as f64 * long) / (thick * wide)
}

/// EN 10059 (square bars): 20 mm weighs 3.14 kg/m; EN 10058 (flats): 50 × 10 mm weighs 3.93 kg/m; AISC manual: a bar of
/// 1 × 1 in weighs 3.4 lb/ft. All by a density of 7850 kg/m³.
#[test]
fn pieces_weigh_what_the_tables_of_bars_say() {
    let plan = plan("");
    for cut in &plan.stock.cuts {
        near(10.0 * kg_per_m(cut) * 400.0, 31.4, 0.05, "20 mm square, 10 m");
        near(kg_per_m(cut) * 500.0, 3.93, 0.006, "50 × 10 mm flat");
        near(kg_per_m(cut) * 645.16 * 0.3048 / 0.453_592_37, 3.40, 0.005, "1 in square, lb/ft");
    }
}

/// Volume kept, worked by hand: 20 × 20 × 100 mm drawn to 6 × 40 mm is 166.7 mm long. Each draw-out step of a bar, times its
/// size squared, is the bar's volume while hot: 1.0138³ of the cold one at 1000 °C (EN 1993-1-2, §3.4.1.1).
#[test]
fn drawing_out_keeps_the_volume() {
    near(20.0 * 20.0 * 100.0 / (6.0 * 40.0), 166.7, 0.04, "by hand");
    let plan = plan("crop = 0\nscale = 0\ndress = 0");
    for bar in &plan.stock.bars {
        assert!(!bar.draw_out_mm.is_empty());
        for [size, long] in &bar.draw_out_mm {
            near(size * size * long / bar.volume_mm3, 1.0138_f64.powi(3), 1e-9, &bar.name);
        }
        let [high, wide] = bar.made_section_mm;
        near(high * wide * bar.made_length_mm / bar.volume_mm3, 1.0, 1e-9, &bar.name);
    }
}

/// Makers' sheets: Ms of Cf53, as C45 with 0.535 % carbon, is 320 °C (Lucefin); C45's lies higher, C75S's lower.
#[test]
fn martensite_begins_where_sheets_say() {
    let plan = plan("");
    let of = |name: &str| plan.heat.iter().find(|h| h.steel == name).unwrap().quenched.unwrap().ms_c;
    assert!(of("C45")[0] > 290.0 && of("C45")[1] < 360.0 && of("C75S")[1] < 300.0, "{:?}", of("C45"));
}

/// EN 1993-1-2, section 3.4.1.1: 0.0083984 at 600 °C, 0.0118 at 900 °C.
#[test]
fn hot_steel_is_longer() {
    let of =
        |t: f64| HotLength::all(1.0, 0.0).into_iter().find(|h| (h.celsius - t).abs() < 0.5).unwrap().longer;
    near(of(600.0), 0.008_398_4, 1e-12, "600 °C");
    near(of(900.0), 0.0118, 1e-9, "900 °C");
}
