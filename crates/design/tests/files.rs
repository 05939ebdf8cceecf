//! Whole files through the public door: units, fittings, truncated, huge and edited designs.

use design::{Design, Problem, Unit, read, starter};
use proptest::prelude::*;

const PLAIN: &str = "name = \"Plain\"\n[outline]\nlength = 200\nbreadth = 30\n[[taper]]\nat = 0\nback = 5\n";

fn good(text: &str) -> Design {
    read(text.as_bytes()).unwrap_or_else(|problems| panic!("{text}\n{problems:#?}"))
}

fn problems(text: &str) -> Vec<Problem> {
    read(text.as_bytes()).err().unwrap_or_else(|| panic!("no problem in\n{text}"))
}

#[test]
fn inches_and_text_mean_the_same() {
    let inches = good(
        "name = \"x\"\nunit = \"in\"\n[outline]\nlength = 8\nbreadth = \"30 mm\"\n[[taper]]\nat = 0\nback = \"1/5 in\"\n",
    );
    let text = good(
        "name = \"x\"\n[outline]\nlength = \"20.32 cm\"\nbreadth = 30\n[[taper]]\nat = 0\nback = 5.08\n",
    );
    assert!((inches.blade().length() - text.blade().length()).abs() < 1e-9);
    assert!((inches.blade().spec().taper[0].back - 5.08).abs() < 1e-12);
}

#[test]
fn a_fitting_takes_its_mass_or_its_material() {
    let with = |more: &str| format!("{PLAIN}[[fitting]]\nat = -5\n{more}\n");
    let brass = good(&with("kind = \"guard\"\nlength = \"1 cm\"\ndiameter = 40\nmaterial = \"brass\""));
    let cylinder = std::f64::consts::PI * 20.0 * 20.0 * 10.0 * 0.0085;
    assert!((brass.fittings()[0].mass - cylinder).abs() < 1e-9);
    assert!((good(&with("mass = \"1 lb\"")).fittings()[0].mass - 453.59237).abs() < 1e-9);
    for (more, field, code) in [
        ("", "fitting[0].mass", "missing-key"),
        ("mass = 3\nmaterial = \"oak\"", "fitting[0].material", "either-or"),
        ("material = \"oak\"", "fitting[0].material", "missing-key"),
        ("mass = 0", "fitting[0].mass", "range"),
        ("mass = -3", "fitting[0].mass", "range"),
        ("mass = \"3 mm\"", "fitting[0].mass", "quantity"),
    ] {
        let found = problems(&with(more));
        assert_eq!((found[0].field.as_str(), found[0].code, found.len()), (field, code, 1), "{more}");
    }
}

#[test]
fn nearest_keys_are_named() {
    for (line, nearest) in
        [("legth", "length"), ("brodth", "breadth"), ("breakat", "break_at"), ("tips", "tip")]
    {
        let found = problems(&PLAIN.replace("[[taper]]", &format!("{line} = 3\n[[taper]]")));
        assert!(found[0].help.contains(&format!("did you mean `{nearest}`?")), "{line}: {}", found[0].help);
    }
    let far = problems(&PLAIN.replace("[[taper]]", "qqq = 1\n[[taper]]"));
    assert!(far[0].help.starts_with("known here: `form`, `length`"), "{}", far[0].help);
}

#[test]
fn the_starters_recipe_reads_when_its_comments_are_opened() {
    for unit in [Unit::Millimetre, Unit::Inch] {
        let design = good(&starter("x", unit));
        assert!(design.billet().is_none() && design.one_steel().is_some() && design.warnings().is_empty());
        let [before, after] = ["# [forging]\n", "\n\n"];
        let text = starter("x", unit);
        let (head, rest) = text.split_once(before).unwrap_or_default();
        let (table, tail) = rest.split_once(after).unwrap_or_default();
        let opened =
            good(&format!("{head}[forging]\n{}{after}{tail}", format!("\n{table}").replace("\n# ", "\n")));
        // What the comments say is what holds without them.
        let near = |a: f64, b: f64| (a - b).abs() < 0.005;
        assert!(near(opened.forging().crop, design.forging().crop), "{opened:?}");
        assert!(
            near(opened.forging().scale, design.forging().scale)
                && near(opened.forging().dress, design.forging().dress)
        );
        assert!(
            near(opened.forging().kerf, design.forging().kerf)
                && near(opened.forging().block, design.forging().block)
        );
        assert_eq!(opened.forging().bar_heats, design.forging().bar_heats);
        assert_eq!(opened.forging().stack_heats, design.forging().stack_heats);
        opened_starter_reads(unit);
    }
}

fn opened_starter_reads(unit: Unit) {
    let design = good(&recipe(unit));
    assert_eq!((design.warnings().len(), design.billet().map(|b| b.bars().len())), (0, Some(3)));
    let twisted = design.billet().is_some_and(|b| b.bars().iter().any(|b| b.twist.is_twisted()));
    assert!(twisted);
}

#[test]
fn the_recipe_in_the_readme_reads_clean() {
    let page = include_str!("../../../README.md");
    let recipe = page.split("```").find_map(|block| block.strip_prefix("toml\n[billet]")).unwrap_or_default();
    let design = good(&format!("{PLAIN}[billet]{recipe}").replace("length = 200", "length = 330"));
    assert_eq!((design.warnings(), design.billet().map(|b| b.bars().len())), (&[][..], Some(2)));
}

#[test]
fn a_truncated_file_is_read_or_refused() {
    let text = recipe(Unit::Millimetre);
    for end in (0..text.len()).step_by(7) {
        judge(&text.as_bytes()[..end]);
    }
}

#[test]
fn huge_lists_are_told_in_few_problems() {
    let keys: String = (0..60_000).map(|i| format!("k{i} = 1\n")).collect();
    assert_eq!(problems(&keys).len(), 101);
    for list in ["[[bar]]\nheight = 3\n", "[[steel]]\nname = \"x\"\n", "[[layers]]\nname = \"x\"\n"] {
        assert!(problems(&list.repeat(25_000)).len() <= 101);
    }
    let names = format!("steels = [{}]\n", "\"C6\",".repeat(100_000));
    assert!(problems(&format!("{PLAIN}[[layers]]\nname = \"x\"\ncount = 2\n{names}")).len() <= 101);
    let long = format!("{PLAIN}[[steel]]\nname = \"{}\"\ncarbon = 1\n", "x".repeat(900_000));
    assert!(problems(&long).iter().any(|p| p.code == "name"));
    let points = format!("[outline]\nform = \"points\"\nback = [{}]\n", "[1, 1],".repeat(100_000));
    assert!(problems(&points).len() <= 101);
    let tables = "[[fitting]]\nat = 1\nmass = 1\n".repeat(30_000);
    assert!(problems(&tables).iter().any(|p| p.code == "too-many"));
    assert_eq!(problems(&format!("{}a = 1", "\"\"\"a\"\"\".".repeat(90_000)))[0].code, "too-deep");
    let digits = format!("density = {}\n{PLAIN}", "9".repeat(100_000));
    assert!(!problems(&digits).is_empty());
}

/// Problems lie on whole characters of the file, in its order, and say something.
fn judge(bytes: &[u8]) {
    let Err(problems) = read(bytes) else { return };
    assert!(!problems.is_empty());
    assert!(problems.windows(2).all(|p| p[0].span.start <= p[1].span.start));
    for p in problems {
        assert!(p.span.start <= p.span.end && p.span.end <= bytes.len(), "{p:?}");
        assert!(!p.message.is_empty() && !p.help.is_empty() && !p.code.is_empty(), "{p:?}");
        if let Ok(text) = std::str::from_utf8(bytes) {
            assert!(text.get(p.span.clone()).is_some(), "{p:?}");
        }
    }
}

/// The starter with its recipe taken in.
fn recipe(unit: Unit) -> String {
    let text = starter("x", unit);
    let (head, tail) = text.split_once("\nsteel = ").unwrap_or_default();
    let text = format!("{head}\n{}", tail.split_once('\n').unwrap_or_default().1);
    let (before, rest) = text.split_once("# [billet]").unwrap_or_default();
    let (recipe, after) = rest.split_once("\n\n").unwrap_or_default();
    format!("{before}[billet]{}\n\n{after}", recipe.replace("\n# ", "\n"))
}

/// The starter, its comments opened, with the values of a few lines replaced.
fn edited() -> impl Strategy<Value = String> {
    let value = prop_oneof![
        any::<f64>().prop_map(|v| format!("{v:?}")),
        (0.0..600.0).prop_map(|v: f64| format!("{v}")),
        (0.0..6.0).prop_map(|v: f64| format!("{v}")),
        Just("[]".to_owned()),
        Just("{}".to_owned()),
        prop_oneof![
            Just("\"full\""),
            Just("\"points\""),
            Just("\"round\""),
            Just("\"left\""),
            Just("\"cut\"")
        ]
        .prop_map(str::to_owned),
        "\"[0-9 /.é]{1,5} ?(mm|in|cm|%|deg|g)\"",
    ];
    proptest::collection::vec((0..200_usize, value), 1..4).prop_map(|edits| {
        let mut lines: Vec<String> = recipe(Unit::Millimetre).lines().map(str::to_owned).collect();
        for (line, value) in edits {
            let i = line % lines.len();
            if let Some((key, _)) = lines[i].split_once('=') {
                lines[i] = format!("{} = {value}", key.trim_start_matches("# ").trim());
            }
        }
        lines.join("\n")
    })
}

/// Pieces of the starter, numbers and brackets in any order.
fn pieces() -> impl Strategy<Value = String> {
    let words: Vec<String> =
        recipe(Unit::Millimetre).split_inclusive(['\n', ' ', '=']).map(str::to_owned).collect();
    let piece = prop_oneof![
        8 => proptest::sample::select(words),
        1 => any::<f64>().prop_map(|v| format!("{v:?}")),
        1 => "[\\[\\]{}\"'.,=#\n0-9a-zé -]{0,6}",
    ];
    proptest::collection::vec(piece, 0..120).prop_map(|p| p.concat())
}

proptest! {
    #![proptest_config(ProptestConfig { cases: 300, failure_persistence: None, ..ProptestConfig::default() })]

    #[test]
    fn any_edit_is_read_or_refused(text in edited()) {
        judge(text.as_bytes());
    }

    #[test]
    fn any_pieces_are_read_or_refused(text in pieces()) {
        judge(text.as_bytes());
    }
}

#[test]
fn the_profiles_together_use_everything() {
    use blade::{Back, Bevel, GrindLine, OutlineForm, Sides, TangForm, Tip};
    let profiles = fixtures::profiles::all();
    let designs: Vec<Design> = profiles.iter().filter_map(|p| read(p.text.as_bytes()).ok()).collect();
    let specs: Vec<_> = designs.iter().map(|d| d.blade().spec()).collect();
    type Uses = (&'static str, &'static dyn Fn(&blade::Spec) -> bool);
    let uses: [Uses; 23] = [
        ("straight back", &|s| matches!(s.outline.form, OutlineForm::StraightBack { .. })),
        ("broken back", &|s| matches!(s.outline.form, OutlineForm::BrokenBack { .. })),
        ("curved back", &|s| matches!(s.outline.form, OutlineForm::CurvedBack { .. })),
        ("dropped point", &|s| matches!(s.outline.form, OutlineForm::DroppedPoint { .. })),
        (
            "points and a corner",
            &|s| matches!(&s.outline.form, OutlineForm::Points { back, .. } if back.iter().any(|p| p.corner)),
        ),
        ("flat tip", &|s| matches!(s.outline.tip, Tip::Flat { .. })),
        ("exact point", &|s| s.outline.tip == Tip::Point),
        ("round tip", &|s| matches!(s.outline.tip, Tip::Round { .. })),
        ("flat bevel", &|s| s.section.bevel == Bevel::Flat),
        ("hollow bevel", &|s| matches!(s.section.bevel, Bevel::Hollow { .. })),
        ("convex bevel", &|s| matches!(s.section.bevel, Bevel::Convex { .. })),
        ("right side", &|s| s.section.sides == Sides::Right),
        ("left side", &|s| s.section.sides == Sides::Left),
        ("full grind", &|s| s.section.grind_line == GrindLine::Full),
        ("grind height", &|s| matches!(s.section.grind_line, GrindLine::Height(_))),
        ("rounded back", &|s| matches!(s.section.back, Back::Rounded { .. })),
        ("crowned back", &|s| matches!(s.section.back, Back::Crowned { .. })),
        ("full tang with holes", &|s| s.tang.form == TangForm::Full && !s.tang.holes.is_empty()),
        ("hidden tang", &|s| matches!(s.tang.form, TangForm::Hidden { .. })),
        ("a fuller pair", &|s| s.fullers.len() == 2),
        ("a fuller through the shoulder", &|s| s.fullers.iter().any(|f| f.start <= 0.0)),
        ("a ricasso with plunge", &|s| s.ricasso.is_some()),
        ("an edge left flat", &|s| s.stages.edge_angle.is_none()),
    ];
    let missing: Vec<&str> =
        uses.iter().filter(|(_, used)| !specs.iter().any(|s| used(s))).map(|u| u.0).collect();
    assert!(missing.is_empty(), "no profile uses {missing:?}");
    assert!(designs.iter().any(|d| d.unit() == design::Unit::Inch));
    for bore in [design::Bore::Round, design::Bore::Hexagon] {
        assert!(
            designs.iter().any(|d| d.jig().is_some_and(|j| j.bore == bore)),
            "no profile has a {bore:?} bore"
        );
    }
    assert!(designs.iter().any(|d| d.gauges().stations.contains(&420.0)), "no profile gives stations");
    recipes_use_everything(&designs);
    for (length, fittings) in [(75.0, 0), (480.0, 3), (900.0, 0)] {
        let made = |d: &Design| (d.blade().length() - length).abs() < 1e-6 && d.fittings().len() >= fittings;
        assert!(designs.iter().any(made), "no profile is {length} mm long with {fittings} fittings");
    }
}

/// The profiles' recipes use every key, stretches of either hand and straight ones; some profiles have no recipe.
fn recipes_use_everything(designs: &[Design]) {
    use laminate::{Bar, Direction, Hand, Squaring, Tip};
    let billets: Vec<_> = designs.iter().filter_map(Design::billet).collect();
    assert!(billets.len() >= 5 && designs.len() >= billets.len() + 2, "{}", billets.len());
    assert!(billets.iter().any(|b| matches!(b.recipe().tip, Tip::Cut { .. })), "no profile has a cut tip");
    assert!(
        designs.iter().any(|d| d.billet().is_some() && d.unit() == design::Unit::Inch),
        "no billet in inches"
    );
    fn rates(b: &Bar) -> Vec<f64> {
        b.twist.starts().map(|s| s.1).collect()
    }
    let hand = |b: &Bar, hand| rates(b).iter().any(|&r| if hand == Hand::Right { r > 0.0 } else { r < 0.0 });
    let opposed = |pair: &[Bar]| {
        let alike = pair[0].layers == pair[1].layers
            && (pair[0].height.at(0.0) - pair[1].height.at(0.0)).abs() < 1e-9;
        alike && hand(&pair[0], Hand::Right) && hand(&pair[1], Hand::Left)
    };
    assert!(billets.iter().any(|b| b.bars().windows(2).any(opposed)), "no profile has opposed twists");
    type Uses = (&'static str, &'static dyn Fn(&Bar) -> bool);
    let uses: [Uses; 16] = [
        ("a bar of one steel", &|b| b.layers.layers().len() == 1),
        ("flat layers", &|b| b.direction == Direction::Flat && b.layers.layers().len() > 1),
        ("restacked layers", &|b| b.layers.layers().len() > 15),
        ("an interrupted twist", &|b| rates(b).windows(3).any(|r| r[1].abs() <= 0.0 && r[0] * r[2] > 0.0)),
        ("a pitch on the blade, interrupted", &|b| b.twist.pitched().flatten().count() > 1),
        ("a ground bar", &|b| b.squaring == Squaring::Ground),
        ("a phase", &|b| b.twist.angle(-1.0).abs() > 0.0),
        ("a bar that ends at the shoulder", &|b| !b.tang),
        ("a taper from shoulder to point", &|b| {
            b.height.places().first().is_some_and(|p| !b.height.is_even() && p.0 <= 0.0)
        }),
        ("a taper by places", &|b| b.height.places().len() > 1),
        ("a serrated weld", &|b| b.teeth.is_some()),
        ("leaning layers", &|b| matches!(b.direction, Direction::Leaning(_))),
        ("layers on a slope", &|b| b.slope.is_some()),
        ("plugs", &|b| !b.plugs.is_empty()),
        ("a wrap", &|b| b.share.cells.len() > 1),
        ("a bar beside another", &|b| b.share.of.is_some() && b.share.cells.len() == 1),
    ];
    let missing: Vec<&str> = uses
        .iter()
        .filter(|(_, used)| !billets.iter().any(|b| b.bars().iter().any(used)))
        .map(|u| u.0)
        .collect();
    assert!(missing.is_empty(), "no profile uses {missing:?}");
    for design in designs.iter().filter(|d| d.billet().is_some()) {
        let drawn = design.lay().and_then(|lay| lay.stretch(0.0)).unwrap_or_default();
        assert!(
            (1.3..=3.0).contains(&drawn),
            "{}: drawn out {drawn:.2} times at the shoulder",
            design.name()
        );
    }
}
