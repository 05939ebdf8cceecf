//! Whole pages of every profile and of hostile designs.

use std::collections::BTreeSet;

use design::{Design, Summary};
use forge::{Etching, Plan};
use tooling::{CutWork, Cutting, Held, Part};

use crate::given::{Given, Side, Thing, Turned, What};
use crate::{bench, index, show};

/// A design with all that its pages are made of.
struct Whole {
    design: Design,
    plan: Option<Plan>,
    summary: Summary,
    etching: Option<Etching>,
    parts: Vec<Part>,
    cut: CutWork,
}

impl Whole {
    /// Of a design file's text, its gauges cut as usual.
    fn of(text: &str) -> Whole {
        let design = design::read(text.as_bytes()).unwrap_or_else(|problems| panic!("{text}\n{problems:#?}"));
        let cutting = Cutting::default();
        let gauges = tooling::cut_gauges(&design, &cutting).unwrap();
        let sheets = tooling::nested(&gauges, &cutting, design.figures()).unwrap();
        Whole {
            plan: Plan::of(&design),
            summary: Summary::from_design(&design),
            etching: Etching::of(&design),
            parts: [tooling::gauges(&design).unwrap(), tooling::jig(&design).unwrap()].concat(),
            cut: CutWork { gauges, sheets, cutting },
            design,
        }
    }

    /// As a build hands it over, with files that are called after what they hold.
    fn given(&self) -> Given<'_> {
        let thing = |what, name: &str, endings: &[&str]| Thing {
            what,
            name: name.to_owned(),
            files: endings.iter().map(|ending| format!("made/{name}.{ending}")).collect(),
        };
        let mut things = vec![thing(What::BenchSheet, "sheet", &["pdf"])];
        things.extend(
            blade::Stage::ALL.map(|stage| thing(What::Template(stage), stage.name(), &["svg", "pdf"])),
        );
        things.extend(self.parts.iter().map(|p| thing(What::Part(p), &p.name, &["step", "stl", "3mf"])));
        things
            .extend(self.cut.sheets.iter().map(|sheet| thing(What::Sheet(sheet), "sheet", &["svg", "dxf"])));
        things.extend(self.cut.gauges.iter().map(|g| thing(What::Gauge(g), &g.name, &["svg", "dxf"])));
        things.push(thing(What::Show, "show", &["html"]));
        Given {
            design: &self.design,
            plan: self.plan.as_ref(),
            summary: &self.summary,
            etching: self.etching.as_ref(),
            turned: vec![Turned { name: "As etched", glb: b"glTF" }],
            sides: vec![Side { name: "Right side", png: b"PNG", size: [40, 30] }],
            things,
            cut: Some(&self.cut),
            held: Held {
                printed: vec!["step", "stl", "3mf"],
                steel: vec!["step", "stl", "3mf"],
                cut: vec!["svg", "dxf"],
            },
        }
    }
}

/// What stands between two marks, everywhere.
fn between<'t>(text: &'t str, open: &str, close: &str) -> Vec<&'t str> {
    text.split(open).skip(1).filter_map(|rest| rest.split_once(close).map(|(inside, _)| inside)).collect()
}

#[test]
fn every_profile_has_pages_whose_links_lead_somewhere() {
    for profile in fixtures::profiles::all() {
        let whole = Whole::of(&profile.text);
        let given = whole.given();
        let (shop, customer) = (index(&given).unwrap(), show(&given).unwrap());
        for page in [&shop, &customer] {
            let ids = between(page, " id=\"", "\"");
            let known: BTreeSet<&str> = ids.iter().copied().collect();
            assert_eq!(known.len(), ids.len(), "{}: ids twice", profile.name);
            let named = between(page, "aria-labelledby=\"", "\"");
            assert!(named.iter().all(|id| known.contains(id)), "{}", profile.name);
            let files: BTreeSet<&str> =
                given.things.iter().flat_map(|t| &t.files).map(String::as_str).collect();
            let mut linked: Vec<&str> = Vec::new();
            for link in between(page, "<a", ">").iter().flat_map(|tag| between(tag, "href=\"", "\"")) {
                match link.strip_prefix('#') {
                    Some(place) => assert!(known.contains(place), "{}: {link}", profile.name),
                    None => linked.push(link),
                }
            }
            linked.sort_unstable();
            let wanted: Vec<&str> = if page == &shop { files.into_iter().collect() } else { Vec::new() };
            let plain: Vec<String> = linked.iter().map(|link| link.replace("&#x2f;", "/")).collect();
            assert_eq!(plain, wanted, "{}: each file once", profile.name);
            assert!(!page.contains("http:") && !page.contains("https:"), "{}", profile.name);
        }
        for [subject, _] in design::cautions(whole.design.one_steel().is_none())
            .map(|line| line.trim_start_matches('*').split_once('*').map(|(a, b)| [a, b]).unwrap())
        {
            assert!(shop.contains(subject), "{}: {subject}", profile.name);
        }
        for word in ["clearance", "Harden", "STEP for", "href=\"made", "Cut list", "blows"] {
            assert!(!customer.contains(word), "{}: {word}", profile.name);
        }
    }
}

/// Under one task no two groups of parts are called alike; gauges of sections say for which blade they are, and what is
/// scaled for hot steel says so where it is headed.
#[test]
fn parts_are_told_apart_by_their_headings() {
    for profile in fixtures::profiles::all() {
        let whole = Whole::of(&profile.text);
        let page = index(&whole.given()).unwrap();
        for task in page.split("<section class=\"task\"").skip(1) {
            let heads = between(task, "<h4>", "</h4>");
            let each: BTreeSet<&str> = heads.iter().copied().collect();
            assert_eq!(each.len(), heads.len(), "{}: {heads:?}", profile.name);
        }
        let heads = between(&page, "<h4>", "</h4>");
        for wanted in ["Section gauge for the forged blade", "Section gauge for the ground blade"] {
            let cold = |head: &&str| head.starts_with(&format!("{wanted}, cold"));
            let plastic = |head: &&str| head.starts_with(wanted) && !head.contains("cold");
            assert!(heads.iter().any(cold) && heads.iter().any(plastic), "{}: {heads:?}", profile.name);
        }
        let hot = |head: &&str| head.starts_with("Profile plate for the forged blade, HOT: for steel at ");
        assert_eq!(heads.iter().filter(|head| hot(head)).count(), 1, "{}: {heads:?}", profile.name);
    }
}

/// The bars, layers and fittings of this design, its steels and itself are called by scripts, quotes and tags.
const HOSTILE: &str = r#"
name = "<script>alert(1)</script>\"'&{{ 777 * 777 }}</title>"
[outline]
length = 300
breadth = 30
[[taper]]
at = 0
back = 6
[[steel]]
name = "<img src=x onerror=alert(2)>"
carbon = 0.75
silicon = 0.3
manganese = 0.7
[[steel]]
name = "</script><script>alert(3)"
carbon = 0.7
nickel = 2
[[layers]]
name = "{% raw %}<b>"
steels = ["<img src=x onerror=alert(2)>", "</script><script>alert(3)"]
count = 5
[billet]
width = 10
[[bar]]
name = "\" onmouseover=\"alert(4)"
height = 14
layers = "{% raw %}<b>"
twist = [{ hand = "right", turns = 2 }]
[[bar]]
name = "<svg onload=alert(5)>"
height = 16
steel = "</script><script>alert(3)"
[[fitting]]
name = "<a href='javascript:alert(6)'>"
kind = "pommel"
at = -90
mass = 60
"#;

#[test]
fn what_a_design_says_is_text_never_markup() {
    let whole = Whole::of(HOSTILE);
    let plain = Whole::of(
        &HOSTILE.replace(['<', '>'], "").replace("\\\"", "").replace("{% raw %}", "").replace('\'', ""),
    );
    let pages = |whole: &Whole| [index(&whole.given()).unwrap(), show(&whole.given()).unwrap()];
    for (page, tame) in pages(&whole).iter().zip(pages(&plain)) {
        for sign in
            ["<script>alert", "<img src=x", "<svg onload", "<a href='", "\" onmouseover=\"", "<b>", "603729"]
        {
            assert!(!page.contains(sign), "{sign}");
        }
        // Nothing that they are called opens or closes a tag.
        assert_eq!(page.matches('<').count(), tame.matches('<').count());
        assert!(
            page.contains("&lt;script&gt;alert(1)")
                || page.contains("&lt;script&gt;alert(1)&lt;&#x2f;script&gt;")
        );
        assert!(page.contains("&lt;img src=x onerror=alert(2)&gt;"), "steels are told");
    }
}

#[test]
fn pages_are_the_same_each_time_and_say_what_they_may_run() {
    let whole = Whole::of(&fixtures::profiles::all()[0].text);
    let page = index(&whole.given()).unwrap();
    assert_eq!(page, index(&whole.given()).unwrap());
    let policies = between(&page, "Content-Security-Policy\" content=\"", "\"");
    let [policy] = policies[..] else { panic!("one policy") };
    assert!(policy.starts_with("default-src &#x27;none&#x27;; script-src &#x27;sha256-"), "{policy}");
    assert!(!policy.contains("unsafe"), "{policy}");
    // Only style and script of our own; the policy would let no attribute act.
    assert!(!page.contains(" style=") && !page.contains(" onclick="));
    assert_eq!((page.matches("<style>").count(), page.matches("<script>").count()), (1, 1));
}

/// The served page is the file with its live part: every line of the file but the policy stands in it, in its order.
#[test]
fn the_served_page_is_the_file_with_a_live_part() {
    for profile in fixtures::profiles::all() {
        let whole = Whole::of(&profile.text);
        let given = whole.given();
        let (file, served) = (index(&given).unwrap(), bench(&given, "a \"b\" <c>.csv").unwrap());
        let mut rest = served.lines();
        for line in file.lines().filter(|line| !line.contains("Content-Security-Policy")) {
            assert!(rest.any(|other| other == line), "{}: {line}", profile.name);
        }
        let ids = between(&served, " id=\"", "\"");
        let known: BTreeSet<&str> = ids.iter().copied().collect();
        assert_eq!(known.len(), ids.len(), "{}: ids twice", profile.name);
        let named = between(&served, "aria-labelledby=\"", "\"");
        assert!(named.iter().all(|id| known.contains(id)), "{}", profile.name);
        assert!(served.contains("data-bench=\"a &quot;b&quot; &lt;c&gt;.csv\""), "{}", profile.name);
        assert!(!file.contains("at-the-bench") && !file.contains("connect-src"), "{}", profile.name);
        let hardens = whole.plan.as_ref().is_some_and(|plan| plan.blade_heat.hardening.celsius.is_some());
        assert_eq!(served.contains("data-timer=\"soak\""), hardens, "{}", profile.name);
        assert_eq!(served.contains("data-timer=\"temper\""), whole.plan.is_some(), "{}", profile.name);
        let [policy] = between(&served, "Content-Security-Policy\" content=\"", "\"")[..] else {
            panic!("one policy")
        };
        assert!(policy.contains("connect-src &#x27;self&#x27;") && !policy.contains("unsafe"), "{policy}");
        assert_eq!(policy.matches("sha256-").count(), 4, "two scripts and two styles");
        assert_eq!((served.matches("<style>").count(), served.matches("<script>").count()), (2, 2));
        assert!(!served.contains(" style=") && !served.contains(" onclick="));
    }
}

/// Relative luminance and contrast as WCAG 2.2 defines them.
fn contrast(a: &str, b: &str) -> f64 {
    let light = |colour: &str| {
        let digits: String = match colour.len() {
            4 => colour[1..].chars().flat_map(|c| [c, c]).collect(),
            _ => colour[1..].to_owned(),
        };
        let part = |i: usize| {
            laminate::linear(f64::from(u8::from_str_radix(&digits[2 * i..2 * i + 2], 16).unwrap()) / 255.0)
        };
        0.2126 * part(0) + 0.7152 * part(1) + 0.0722 * part(2)
    };
    let (a, b) = (light(a), light(b));
    (a.max(b) + 0.05) / (a.min(b) + 0.05)
}

#[test]
fn words_stand_out_seven_to_one_by_day_by_night_and_on_paper() {
    let style = include_str!("assets/page.css");
    let sets: Vec<&str> = between(style, "--ground:", "}");
    assert_eq!(sets.len(), 3);
    for set in sets {
        let all = format!("--ground:{set}");
        let colour = |name: &str| {
            let (_, rest) = all.split_once(&format!("--{name}:")).unwrap();
            rest.split(';').next().unwrap().trim().to_owned()
        };
        for ground in ["ground", "card"] {
            for ink in ["ink", "soft", "link", "warm"] {
                let found = contrast(&colour(ink), &colour(ground));
                assert!(found >= 7.0, "{ink} on {ground}: {found:.2} in {set}");
            }
        }
    }
    // Black on white, from the definition.
    assert!((contrast("#000", "#ffffff") - 21.0).abs() < 1e-9);
}

/// The words of the shop's page for a stack of two bars, without tags and with plain spaces.
fn heats(back: &str, edge: &str, more: &str) -> String {
    let whole = Whole::of(&format!(
        "name = 'Oar'\n[outline]\nlength = 250\nbreadth = 28\n[[taper]]\nat = 0\nback = 5\n[billet]\nwidth = 12\n\
         [[bar]]\nheight = 18\nsteel = '{back}'\n[[bar]]\nheight = 16\nsteel = '{edge}'\n{more}"
    ));
    let page = index(&Given { things: Vec::new(), turned: Vec::new(), ..whole.given() }).unwrap();
    let words: String =
        page.split('<').filter_map(|tag| tag.split_once('>')).map(|(_, words)| format!("{words} ")).collect();
    words.replace('\u{a0}', " ").replace("&#x27;", "'").split_whitespace().collect::<Vec<_>>().join(" ")
}

/// What the plan warns of stands on the page too.
#[test]
fn the_page_drops_no_warning() {
    let soft = heats("mild steel", "C105U", "[quench]\noil = 5\nflash_point = 120\n");
    for words in [
        "In an open fire quench as soon as its colour is even",
        "64–66 HRC? before it is tempered",
        "mild steel does not: expect it to warp",
        "1150 °C",
        "C105U welds at",
        "That does not fully refine mild steel",
        "Oil bath for a trial quench",
        "Your bath",
        "29 CFR 1910.126",
    ] {
        assert!(soft.contains(words), "{words}: {soft}");
    }
    assert!(heats("L6", "1084", "").contains("Do not normalise it, for its L6: it hardens in air"));
    assert!(heats("phosphoric iron", "1084", "").contains("cold-short"));
    assert!(
        heats("C75S", "C105U", "")
            .contains("Not water: it may crack the C75S (C105U on its own asks for water)")
    );
    let nickel = heats("1084", "nickel", "");
    assert!(
        nickel.contains("no hardening heat") && nickel.contains("oxide of nickel: keep air out"),
        "{nickel}"
    );
    let burnt = heats("C75S", "C105U", "[forging]\nweld_heat = 1300\n");
    assert!(burnt.contains("Too hot: C105U burns"), "{burnt}");
}

/// Corners that may tear, rounds and punch marks are told where the twist has them.
#[test]
fn the_twist_schedule_says_what_may_tear() {
    for profile in fixtures::profiles::all() {
        let whole = Whole::of(&profile.text);
        let Some(plan) = &whole.plan else { continue };
        let page = index(&Given { things: Vec::new(), turned: Vec::new(), ..whole.given() }).unwrap();
        let stretches = || plan.twisting.iter().flat_map(|t| &t.stretches);
        assert_eq!(page.contains("corners may tear"), stretches().any(|s| s.may_tear), "{}", profile.name);
        assert_eq!(page.contains("In two rounds"), stretches().any(|s| s.rounds > 1), "{}", profile.name);
        assert_eq!(page.contains("punch at: "), stretches().any(|s| s.pitch.is_some()));
    }
}
