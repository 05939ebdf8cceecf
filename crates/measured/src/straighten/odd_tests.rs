//! Straightening told of odd blades and odd readings: always an answer, never a figure that means nothing.

use design::Design;

use crate::compare::bench::Bench;
use crate::fixtures::{design, design_with};
use crate::straighten::condition::Known;
use crate::straighten::straightening::{Cold, Straightening};

const HEAD: &str = "date,stage,station,what,height,measured\n";
/// A bow of 1.2 mm to the left over most of the blade.
const GAPS: &str = ",,0,gap right back,,0\n,,70,gap right back,,0.9\n,,140,gap right back,,1.2\n,,210,gap right back,,0.9\n\
                    ,,280,gap right back,,0\n";

fn bench(design: &Design, stage: &str, rows: &str, past: Option<f64>) -> Bench {
    let text = format!("{HEAD}2026-03-14,{stage},100,back,,5.5\n{rows}");
    let sessions = crate::read(text.as_bytes(), design).unwrap_or_else(|p| panic!("{p:#?}"));
    Bench::from_sessions(design, &sessions, past).unwrap().unwrap()
}

fn told(bench: &Bench) -> &Straightening {
    bench.last().warp.straightening.as_ref().unwrap()
}

#[test]
fn stage_hardness_and_temper_say_what_the_steel_is() {
    let plain = design();
    for (stage, rows, hardened) in [
        // Out of the quench a blade still measures as forged or ground.
        ("", "", None),
        ("forged", "", None),
        ("ground", "", None),
        ("finished", "", Some(true)),
        ("ground", ",,,hardness,,58\n", Some(true)),
        ("ground", ",,,hardness,,220 HV\n", Some(false)),
        // A hard edge under a soft back is hard, whatever their mean.
        ("ground", ",,,hardness,,160 HV\n,,,hardness,,170 HV\n,,,hardness,,56\n", Some(true)),
        ("ground", ",,,tempered,,200\n", Some(true)),
        ("forged", ",,,tempered,,200\n", Some(true)),
        ("finished", ",,,hardness,,220 HV\n", Some(true)),
    ] {
        let bench = bench(&plain, stage, &format!("{GAPS}{rows}"), None);
        let text = bench.text();
        assert_eq!(told(&bench).condition.hardened, hardened, "{stage} {rows}");
        assert_eq!(text.contains("Not hardened yet"), hardened == Some(false), "{text}");
        assert_eq!(text.contains("don't press it, don't clamp it"), hardened.is_none(), "{text}");
        let (tempered, hard) = (rows.contains("tempered"), hardened == Some(true));
        assert_eq!(text.contains("no hotter than it was tempered"), hard && !tempered, "{text}");
        assert_eq!(text.contains("Tempered at 200 °C: clamp it"), tempered, "{text}");
        // What it can do comes before what may be tried.
        let warned = text.find("bystanders").unwrap_or(0);
        assert!(text.find("may come out").is_none_or(|cold| warned < cold), "{text}");
        assert_eq!(text.contains("bystanders"), hard, "{text}");
        // Only what is known to be soft, or to be tempered, is told to be pressed past straight.
        let safe = tempered || hardened == Some(false);
        assert!(safe || told(&bench).bends.iter().all(|bend| bend.past_mm.is_none()), "{text}");
        assert!(safe || !text.contains("past straight (most"), "{text}");
        assert_eq!(bench.last().warp.shims.is_empty(), hardened.is_none(), "{text}");
        assert_eq!(text.contains("with shims of"), hardened.is_some(), "{text}");
    }
    // Where it is not hardened a bow comes out cold; a soft back over a hard edge tells nothing of the edge.
    let soft = bench(&plain, "ground", &format!("{GAPS},,,hardness,,220 HV\n"), None);
    assert_eq!(told(&soft).bends[0].cold, Cold::Bears);
    let soft_back =
        |rows: &str| bench(&plain, "finished", &format!("{GAPS},,,hardness,,220 HV\n{rows}"), None);
    assert_eq!(told(&soft_back("")).bends[0].cold, Cold::Untempered);
    assert_eq!(told(&soft_back(",,,tempered,,200\n")).bends[0].cold, Cold::Cracks);
}

/// Asked to go past straight, a blade of which nothing tells whether it is hard is told neither shims nor a press, in its
/// words as in its figures.
#[test]
fn a_blade_that_may_be_hard_is_never_told_to_be_bent() {
    for stage in ["", "forged", "ground"] {
        let bench = bench(&design(), stage, GAPS, Some(2.0));
        let (warp, text) = (&bench.last().warp, bench.text());
        assert!(warp.shims.is_empty() && told(&bench).bends.is_empty(), "{warp:?}");
        assert!(told(&bench).condition.cold_set.abs() < 1e-12 && warp.bows.len() == 1, "{warp:?}");
        assert!(!text.contains("past straight") && !text.contains("to clamp it"), "{text}");
    }
}

/// The temper tells the hardness where the edge's steel is published: C105U after two hours at 200 °C, about 61 HRC.
#[test]
fn a_temper_tells_the_hardness_of_a_known_edge() {
    let billet = design_with(
        "[billet]\nwidth = 10\n[[bar]]\nheight = 20\nsteel = \"C45\"\n[[bar]]\nheight = 20\nsteel = \"C105U\"\n",
    );
    let known = bench(&billet, "finished", &format!("{GAPS},,,tempered,,200\n,,,tempered,,180\n"), None);
    let condition = &told(&known).condition;
    assert!(matches!(&condition.known, Known::Tempered { steel, .. } if steel == "C105U"), "{condition:?}");
    assert_eq!(condition.tempered_c, Some(200.0));
    let [low, high] = condition.hardness_hv.map(|hv| steel::rockwell(hv).unwrap());
    assert!(low > 58.0 && low < 61.0 && high > 61.0 && high < 64.0, "{low} {high}");
    assert!(known.text().contains("200 °C"), "{}", known.text());
    // Beyond its curve, and of a design without steels, the hardness is taken.
    let hot = bench(&billet, "finished", &format!("{GAPS},,,tempered,,700\n"), None);
    assert_eq!(told(&hot).condition.known, Known::Taken);
    let none = bench(&design(), "finished", &format!("{GAPS},,,tempered,,200\n"), None);
    assert_eq!(told(&none).condition.known, Known::Taken);
}

#[test]
fn harder_steel_is_pressed_further_and_sooner_left_alone() {
    let plain = design();
    let at = |hrc: u32| {
        let bench = bench(&plain, "finished", &format!("{GAPS},,,tempered,,200\n,,,hardness,,{hrc}\n"), None);
        let bend = told(&bench).bends[0].clone();
        (bend.past_mm.unwrap(), bend.cold, bend.springs_back_mm)
    };
    let (soft, hard) = (at(45), at(62));
    assert!(soft.0[1] < hard.0[1] && soft.2 < hard.2, "{soft:?} {hard:?}");
    assert_eq!((soft.1, hard.1), (Cold::Bears, Cold::Cracks));
    assert!(soft.0.windows(2).all(|w| w[0] < w[1]));
    // Within what springs back wholly nothing stays, and more is left the less it is pressed.
    let asked = |past: f64| {
        let bench =
            bench(&plain, "finished", &format!("{GAPS},,,tempered,,200\n,,,hardness,,55\n"), Some(past));
        told(&bench).bends[0].asked_stays_mm.unwrap()
    };
    let bow = told(&bench(&plain, "finished", GAPS, None)).bends[0].bow_mm;
    assert!(asked(1.0).iter().all(|left| (left + bow).abs() < 1e-6));
    assert!(asked(30.0)[0] > asked(10.0)[0]);
}

/// Pads and stop: with the stop reached, the middle lies as far past straight as asked.
#[test]
fn pads_leave_the_blade_as_far_past_straight_as_told() {
    let bench = bench(&design(), "ground", &format!("{GAPS},,,hardness,,220 HV\n"), None);
    let bend = &told(&bench).bends[0];
    let loft = design().blade().loft(blade::Stage::Ground);
    let taper = |x: f64| 0.5 * loft.station(x).unwrap().back;
    for (pads, past) in bend.pads.unwrap().iter().zip([bend.past_mm.unwrap()[0], bend.past_mm.unwrap()[2]]) {
        // Heights of the middle plane over the bar at the supports, and the straight line between them.
        let [a, b] = [0, 1].map(|i| pads.supports_mm[i] + taper(bend.supports_mm[i]));
        let middle = pads.stop_mm + taper(bend.pressed_mm);
        let [from, to] = bend.supports_mm;
        let line = a + (b - a) * (bend.pressed_mm - from) / (to - from);
        // The blade was read 0.1 mm or so thinner at one place.
        assert!((line - middle - past).abs() < 0.15, "{line} {middle} {past}");
    }
}

#[test]
fn few_short_and_wild_gaps_are_answered() {
    let plain = design();
    let none = bench(&plain, "finished", "", None);
    assert!(none.last().warp.straightening.is_none() && !none.text().contains("bending it"));
    let one = bench(&plain, "finished", ",,70,gap right back,,0.9\n", None);
    assert!(one.last().warp.straightening.is_none());
    // No gaps, but the steel is told: the blade's whole span.
    let spring = bench(&plain, "finished", ",,,hardness,,50\n", None);
    let bend = &told(&spring).bends[0];
    assert_eq!((bend.cold, bend.line, bend.past_mm), (Cold::Straight, None, None));
    assert!(bend.springs_back_mm > 5.0 && spring.text().contains("springs back wholly"));
    let short = ",,100,gap right back,,0\n,,103,gap right back,,0.9\n,,106,gap right back,,0\n";
    assert_eq!(told(&bench(&plain, "finished", short, None)).bends[0].cold, Cold::TooShort);
    let straight = ",,0,gap right back,,0\n,,100,gap right back,,0\n,,200,gap right back,,0\n";
    let text = bench(&plain, "finished", straight, Some(1.0)).text();
    assert!(!text.contains("NaN") && text.contains("bow along"), "{text}");
    // As far off as the door lets in, both ways, at every stage.
    let wild = ",,0,gap edge,,0\n,,9,gap edge,,100\n,,300,gap edge,,0\n,,0,gap left edge,,100\n,,5,gap left edge,,0\n\
                ,,309,gap left edge,,100\n";
    for stage in ["forged", "ground", "finished"] {
        for more in ["", ",,,hardness,,100 HV\n", ",,,hardness,,66\n", ",,,tempered,,100\n"] {
            let bench = bench(&plain, stage, &format!("{wild}{more}"), Some(10.0));
            let text = bench.text();
            assert!(!text.contains("NaN") && !text.contains("inf "), "{text}");
            for bend in &told(&bench).bends {
                let all = [bend.springs_back_mm, bend.radius_mm, bend.bow_mm, bend.plastic.unwrap_or(0.0)];
                assert!(all.iter().all(|v| v.is_finite() && *v >= 0.0), "{bend:?}");
            }
        }
    }
}
