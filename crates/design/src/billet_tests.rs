//! The recipe: what it becomes, and every refusal and warning with its place and code.

use std::fmt::Write;

use blade::{Sections, Stage};
use laminate::{Bar, Direction, Hand, Program, Squaring, Tip, Turn};

use crate::{Design, Problem, read};

fn good(text: &str) -> Design {
    read(text.as_bytes()).unwrap_or_else(|problems| panic!("{text}\n{problems:#?}"))
}

fn problems(text: &str) -> Vec<Problem> {
    read(text.as_bytes()).expect_err(text)
}

/// Field, code and the marked text of each problem are the ones wanted.
fn expect(text: &str, wanted: &[(&str, &str, &str)]) {
    let found = problems(text);
    let found: Vec<_> = found.iter().map(|p| (p.field.as_str(), p.code, &text[p.span.clone()])).collect();
    assert_eq!(found, wanted, "{text}");
}

/// Code, field and the marked text of each warning are the ones wanted.
fn told(text: &str, wanted: &[(&str, &str, &str)]) {
    let design = good(text);
    let found = design.warnings().iter();
    let found: Vec<_> = found.map(|w| (w.field.as_str(), w.code, &text[w.span.clone()])).collect();
    assert_eq!(found, wanted, "{text}");
}

const BLADE: &str = "name = \"Weir\"\n[[taper]]\nat = 0\nback = 6\n[outline]\nlength = 300\nbreadth = 30\n";
const SETS: &str = "[[layers]]\nname = \"fine\"\nsteels = [\"C75S\", \"75Ni8\"]\ncount = 7\n";

/// The blade with this recipe.
fn with(recipe: &str) -> String {
    format!("{BLADE}{recipe}")
}

/// The blade with a billet, the set `fine` and these bars.
fn bars(bars: &str) -> String {
    format!("{BLADE}[billet]\nwidth = 12\n{SETS}{bars}")
}

/// A layered bar of the set `fine` with more lines, over a plain edge.
fn layered(more: &str) -> String {
    bars(&format!(
        "[[bar]]\nheight = 18\nlayers = \"fine\"\n{more}\n[[bar]]\nname = \"Edge\"\nheight = 12\nsteel = \"C105U\"\n"
    ))
}

/// One plain bar of a billet with more lines in `[billet]`.
fn billet(more: &str) -> String {
    with(&format!("[billet]\nwidth = 12\n{more}\n[[bar]]\nheight = 30\nsteel = \"C60\"\n"))
}

/// One plain bar, and the set `fine` in this form.
fn set(lines: &str) -> String {
    with(&format!(
        "[billet]\nwidth = 12\n[[layers]]\nname = \"fine\"\n{lines}\n[[bar]]\nheight = 30\nlayers = \"fine\"\n"
    ))
}

fn close(a: f64, b: f64) -> bool {
    (a - b).abs() <= 1e-9 * b.abs().max(1.0)
}

#[test]
fn without_a_recipe_there_is_no_billet() {
    let plain = good(BLADE);
    assert!(plain.billet().is_none() && plain.lay().is_none() && plain.limits().is_none());
}

#[test]
fn the_whole_recipe_arrives_as_given() {
    let text = with(
        "[billet]\nwidth = 11\ntip = \"cut\"\ncut_from = 250\nnear_edge = 4\nvisible = 0.2\n\
         [[steel]]\nname = \"Weir iron\"\ncarbon = 0.08\nsilicon = 0.1\nmanganese = 0.2\nchromium = 0.3\nmolybdenum = 0.4\n\
         nickel = 0.5\nvanadium = 0.6\ntungsten = 0.7\n\
         [[layers]]\nname = \"fine\"\nsteels = [\"C75S\", \"75Ni8\"]\ncount = 3\nthickness = [2, 3]\nrestack = [3, 2]\n\
         [[bar]]\nname = \"Back\"\nheight = 9\nsteel = \"Weir iron\"\n\
         [[bar]]\nheight = 12\nlayers = \"fine\"\ndirection = \"flat\"\nphase = 30\nsquaring = \"ground\"\ntwist = [\n\
         { hand = \"right\", turns = 1, per = 40, length = 60 },\n{ length = 15 },\n{ hand = \"left\", turns = 0.5 } ]\n\
         [[bar]]\nname = \"Edge\"\nheight = 12\nsteel = \"C105U\"\ntang = false\n",
    );
    let design = good(&text);
    assert_eq!(design.warnings(), []);
    let billet = design.billet().unwrap();
    assert_eq!((billet.recipe().tip, billet.width()), (Tip::Cut { from: 250.0 }, 11.0));
    let names: Vec<&str> = billet.steels().iter().map(|s| s.name.as_str()).collect();
    assert_eq!(names, ["Weir iron", "C75S", "75Ni8", "C105U"], "in the order of the bars");
    let iron = billet.steels()[0].composition;
    let parts = [iron.c, iron.si, iron.mn, iron.cr, iron.mo, iron.ni, iron.v, iron.w];
    assert!(parts.iter().zip([0.08, 0.1, 0.2, 0.3, 0.4, 0.5, 0.6, 0.7]).all(|(a, b)| close(*a, b)));
    let [back, twisted, edge] = billet.bars() else { panic!("three bars") };
    assert_eq!((back.name.as_str(), back.tang, back.layers.layers().len()), ("Back", true, 1));
    assert_eq!((edge.name.as_str(), edge.tang, edge.layers.layers()[0].steel), ("Edge", false, 3));
    the_twisted_bar(twisted);
    let limits = design.limits().unwrap();
    assert!(close(limits.near_edge, 4.0) && close(limits.visible, 0.2));
    assert_eq!(design.lay().unwrap().billet(), billet);
}

fn the_twisted_bar(bar: &Bar) {
    assert_eq!(
        (bar.name.as_str(), bar.direction, bar.squaring),
        ("Bar 2", Direction::Flat, Squaring::Ground)
    );
    // Three layers of 2, 3 and 2 mm, six times over.
    let layers = bar.layers.layers();
    assert_eq!(layers.iter().map(|l| l.steel).collect::<Vec<_>>(), [1, 2, 1].repeat(6));
    assert!(
        close(layers[0].end, 2.0 / 42.0) && close(layers[1].end, 5.0 / 42.0) && close(layers[17].end, 1.0)
    );
    let turn = |length, twist| Turn { length, twist };
    let twist = Program::new(
        30_f64.to_radians(),
        &[
            turn(Some(60.0), Some((Hand::Right, 1.0 / 40.0))),
            turn(Some(15.0), None),
            turn(None, Some((Hand::Left, 0.5 / 25.0))),
        ],
    );
    for along in [-20.0, 0.0, 40.0, 70.0, 120.0] {
        assert!(close(bar.twist.angle(along), twist.angle(along)), "{along}");
    }
}

#[test]
fn defaults_are_the_usual_ones() {
    let design = good(&layered("twist = [{ hand = \"left\", turns = 1 }]"));
    let billet = design.billet().unwrap();
    let bar = &billet.bars()[0];
    assert_eq!((billet.recipe().tip, bar.name.as_str()), (Tip::Forged, "Bar 1"));
    assert_eq!((bar.direction, bar.squaring, bar.tang), (Direction::Upright, Squaring::Forged, true));
    assert!(close(bar.twist.rate(10.0), -std::f64::consts::TAU / 25.0) && close(bar.twist.angle(0.0), 0.0));
    let limits = design.limits().unwrap();
    assert!(close(limits.near_edge, 3.0) && close(limits.visible, 0.1));
    let ends: Vec<f64> = bar.layers.layers().iter().map(|l| l.end).collect();
    assert!(ends.iter().enumerate().all(|(i, &e)| close(e, (i + 1) as f64 / 7.0)), "{ends:?}");
}

#[test]
fn inch_files_count_turns_by_the_inch() {
    let text = "name = \"Barge\"\nunit = \"in\"\n[[taper]]\nat = 0\nback = 0.25\n[outline]\nlength = 12\nbreadth = 1.25\n\
                [billet]\nwidth = \"1/2 in\"\n[[layers]]\nname = \"fine\"\nsteels = [\"1084\", \"15N20\"]\ncount = 9\n\
                [[bar]]\nheight = 1.5\nlayers = \"fine\"\ntwist = [{ hand = \"right\", turns = 1, length = 4 }]\n";
    let design = good(text);
    let billet = design.billet().unwrap();
    assert!(close(billet.width(), 12.7) && close(billet.bars()[0].height.at(0.0), 38.1));
    assert!(close(billet.bars()[0].twist.rate(10.0), std::f64::consts::TAU / 25.4));
    assert!(close(billet.bars()[0].twist.rate(102.0), 0.0));
    let wide = text.replace("\"1/2 in\"", "3");
    let told = problems(&wide).swap_remove(0);
    assert_eq!((told.code, told.help.as_str()), ("range", "give a value from 0.079 in to 2.36 in"));
}

#[test]
fn own_steels_take_the_place_of_standard_ones() {
    let own = "[[steel]]\nname = \"C60\"\ncarbon = 0.55\n";
    let design = good(&format!("{}{own}", billet("")));
    assert!(close(design.billet().unwrap().steels()[0].composition.c, 0.55));
    assert_eq!(design.warnings(), []);
}

#[test]
fn billet_and_bars_need_each_other() {
    expect(&with("[billet]\nwidth = 12\n"), &[("bar", "missing-key", "[billet]")]);
    let bar = "[[bar]]\nheight = 30\nsteel = \"C60\"\n";
    expect(&with(bar), &[("billet", "missing-key", "[[bar]]")]);
    expect(&with(&format!("[billet]\n{bar}")), &[("billet.width", "missing-key", "[billet]")]);
    let empty = format!("bar = []\n{BLADE}[billet]\nwidth = 12\n");
    expect(&empty, &[("bar", "missing-key", "[billet]")]);
    expect(&format!("bar = 3\n{BLADE}[billet]\nwidth = 12\n"), &[("bar", "type", "3")]);
    expect(&format!("billet = 3\n{BLADE}{bar}"), &[("billet", "type", "3")]);
    let ten = bar.repeat(10);
    let found = problems(&with(&format!("[billet]\nwidth = 60\n{ten}")));
    assert_eq!((found.len(), found[0].field.as_str(), found[0].code), (1, "bar", "too-many"));
}

#[test]
fn the_billet_is_held_to_its_ranges() {
    for (key, value, code) in [
        ("near_edge", "-0.1", "range"),
        ("near_edge", "101", "range"),
        ("near_edge", "inf", "not-finite"),
        ("visible", "5.1", "range"),
        ("visible", "\"thin\"", "quantity"),
        ("tip", "\"broken\"", "unknown-word"),
    ] {
        expect(&billet(&format!("{key} = {value}")), &[(&format!("billet.{key}"), code, value)]);
    }
    for (width, code) in [("1.9", "range"), ("61", "range"), ("nan", "not-finite"), ("-12", "range")] {
        let text = billet("").replace("width = 12", &format!("width = {width}"));
        expect(&text, &[("billet.width", code, width)]);
    }
    expect(&billet("widht = 3"), &[("billet.widht", "unknown-key", "widht")]);
}

#[test]
fn a_cut_lies_on_the_blade() {
    expect(&billet("tip = \"cut\""), &[("billet.cut_from", "missing-key", "[billet]")]);
    expect(&billet("cut_from = 200"), &[("billet.cut_from", "key-not-used", "cut_from")]);
    for (at, code) in
        [("0", "range"), ("0.5", "range"), ("299.5", "range"), ("3001", "range"), ("nan", "not-finite")]
    {
        let text = billet(&format!("tip = \"cut\"\ncut_from = {at}"));
        expect(&text, &[("billet.cut_from", code, at)]);
    }
    let help = problems(&billet("tip = \"cut\"\ncut_from = 300")).swap_remove(0).help;
    let most = help.strip_prefix("give a value from 1 mm to ").unwrap();
    let design = good(&billet(&format!("tip = \"cut\"\ncut_from = \"{most}\"")));
    assert!(design.lay().is_some() && most.starts_with("299"), "{most}");
}

#[test]
fn bars_are_held_to_their_ranges() {
    for (height, code) in [("0.9", "range"), ("101", "range"), ("nan", "not-finite"), ("true", "type")] {
        let text = billet("").replace("height = 30", &format!("height = {height}"));
        expect(&text, &[("bar[0].height", code, height)]);
    }
    for (key, value, code) in [
        ("direction", "\"edgewise\"", "unknown-word"),
        ("phase", "361", "range"),
        ("phase", "nan", "not-finite"),
        ("phase", "\"30 mm\"", "quantity"),
        ("tang", "\"yes\"", "type"),
        ("name", "\"\"", "name"),
        ("name", "7", "type"),
        ("twist", "true", "type"),
    ] {
        expect(&layered(&format!("{key} = {value}")), &[(&format!("bar[0].{key}"), code, value)]);
    }
    let no_height = billet("").replace("height = 30\n", "");
    expect(&no_height, &[("bar[0].height", "missing-key", "[[bar]]")]);
    expect(&layered("colour = 3"), &[("bar[0].colour", "unknown-key", "colour")]);
}

#[test]
fn bars_have_names_of_their_own() {
    expect(&layered("name = \"Edge\""), &[("bar[1].name", "name-taken", "\"Edge\"")]);
    let second = "[[bar]]\nheight = 15\nsteel = \"C60\"\n";
    let text = bars(&format!("[[bar]]\nname = \"Bar 2\"\nheight = 15\nlayers = \"fine\"\n{second}"));
    expect(&text, &[("bar[1].name", "name-taken", "[[bar]]")]);
}

#[test]
fn a_bar_is_of_a_steel_or_of_layers() {
    expect(&layered("steel = \"C60\""), &[("bar[0].layers", "either-or", "layers")]);
    let none = billet("").replace("steel = \"C60\"\n", "");
    expect(&none, &[("bar[0].steel", "missing-key", "[[bar]]")]);
    let plain = |more: &str| format!("{}{more}\n", billet(""));
    for key in ["direction = \"flat\"", "phase = 3", "squaring = \"ground\"", "twist = []"] {
        let name = key.split(' ').next().unwrap();
        expect(&plain(key), &[(&format!("bar[0].{name}"), "key-not-used", name)]);
    }
    expect(&layered("squaring = \"ground\""), &[("bar[0].squaring", "key-not-used", "squaring")]);
    good(&layered("direction = \"flat\"\nphase = \"45 deg\"\ntwist = []"));
}

#[test]
fn some_bar_runs_into_the_tang() {
    let text = format!("{}tang = false\n", billet(""));
    expect(&text, &[("bar[0].tang", "no-tang", "false")]);
    let text = format!("{}tang = false\n", layered("tang = false"));
    expect(&text, &[("bar[0].tang", "no-tang", "false")]);
}

#[test]
fn names_are_looked_up_exactly_and_the_nearest_is_told() {
    for (word, nearest) in [
        ("c60", "did you mean `C60`?"),
        ("c75s", "did you mean `C75S`?"),
        ("15n20", "did you mean `15N20`?"),
        ("80CrV3", "did you mean `80CrV2`?"),
    ] {
        let text = billet("").replace("\"C60\"", &format!("\"{word}\""));
        expect(&text, &[("bar[0].steel", "unknown-word", &format!("\"{word}\""))]);
        assert!(problems(&text)[0].help.contains(nearest), "{}", problems(&text)[0].help);
    }
    let text = layered("").replace("layers = \"fine\"", "layers = \"fien\"");
    expect(&text, &[("bar[0].layers", "unknown-word", "\"fien\"")]);
    assert!(problems(&text)[0].help.contains("did you mean `fine`?"));
    let none = text.replace(SETS, "");
    assert!(problems(&none)[0].help.contains("[[layers]]"), "{:?}", problems(&none));
    let mixed = layered("").replace("layers = \"fine\"", "steel = \"fine\"");
    expect(&mixed, &[("bar[0].steel", "unknown-word", "\"fine\"")]);
    assert!(problems(&mixed)[0].help.contains("`layers`"));
}

#[test]
fn stretches_say_hand_turns_and_length() {
    let twist = |stretches: &str| layered(&format!("twist = [{stretches}]"));
    let one = |key: &str, code, mark: &str, stretch: &str| {
        expect(&twist(stretch), &[(&format!("bar[0].twist[0].{key}"), code, mark)]);
    };
    one("turns", "missing-key", "{ hand = \"left\" }", "{ hand = \"left\" }");
    one("hand", "missing-key", "{ turns = 1 }", "{ turns = 1 }");
    one("per", "key-not-used", "per", "{ per = 30 }");
    one("hand", "unknown-word", "\"both\"", "{ hand = \"both\", turns = 1 }");
    for (key, value, code) in [
        ("turns", "0.009", "range"),
        ("turns", "10.1", "range"),
        ("turns", "-1", "range"),
        ("turns", "nan", "not-finite"),
        ("turns", "\"one\"", "type"),
    ] {
        one(key, code, value, &format!("{{ hand = \"left\", turns = {value} }}"));
    }
    for (key, value, code) in [
        ("per", "4.9", "range"),
        ("per", "201", "range"),
        ("per", "inf", "not-finite"),
        ("length", "0.9", "range"),
        ("length", "3001", "range"),
        ("pitch", "3", "either-or"),
        ("spacing", "3", "unknown-key"),
    ] {
        let mark = if ["unknown-key", "either-or"].contains(&code) { key } else { value };
        one(key, code, mark, &format!("{{ hand = \"left\", turns = 1, {key} = {value} }}"));
    }
    let early = "{ hand = \"left\", turns = 1 }";
    expect(
        &twist(&format!("{early}, {{ length = 10 }}")),
        &[("bar[0].twist[0].length", "missing-key", early)],
    );
    let many = format!("[{}]", "{ length = 1 }, ".repeat(51));
    expect(&layered(&format!("twist = {many}")), &[("bar[0].twist", "too-many", &many)]);
    good(&twist("{ length = 40 }, {}"));
}

#[test]
fn layer_sets_are_whole() {
    let steels = "steels = [\"C75S\", \"75Ni8\"]";
    expect(&set("count = 7"), &[("layers[0].steels", "missing-key", "[[layers]]")]);
    expect(&set(steels), &[("layers[0].count", "missing-key", "[[layers]]")]);
    let unnamed = set(&format!("{steels}\ncount = 7")).replace("name = \"fine\"\n", "");
    let found: Vec<_> = problems(&unnamed).into_iter().map(|p| (p.field, p.code)).collect();
    assert_eq!(found[0], ("layers[0].name".to_owned(), "missing-key"));
    for (key, value, code) in [
        ("count", "1", "range"),
        ("count", "501", "range"),
        ("count", "7.5", "whole-number"),
        ("count", "nan", "not-finite"),
        ("count", "\"7\"", "type"),
    ] {
        expect(&set(&format!("{steels}\n{key} = {value}")), &[(&format!("layers[0].{key}"), code, value)]);
    }
    let more = |line: &str| set(&format!("{steels}\ncount = 7\n{line}"));
    expect(&more("thickness = [2]"), &[("layers[0].thickness", "count", "[2]")]);
    expect(&more("thickness = [2, 0]"), &[("layers[0].thickness[1]", "range", "0")]);
    expect(&more("thickness = [2, nan]"), &[("layers[0].thickness[1]", "not-finite", "nan")]);
    expect(&more("restack = [1]"), &[("layers[0].restack[0]", "range", "1")]);
    expect(&more("restack = [2.5]"), &[("layers[0].restack[0]", "whole-number", "2.5")]);
    expect(&more("restack = [5, 11, 13]"), &[("layers[0].restack", "too-many", "[5, 11, 13]")]);
    let deep = format!("[{}]", "2, ".repeat(13));
    expect(&more(&format!("restack = {deep}")), &[("layers[0].restack", "too-many", &deep)]);
    expect(&more("folds = 3"), &[("layers[0].folds", "unknown-key", "folds")]);
    assert_eq!(good(&more("restack = [7, 100]")).billet().unwrap().bars()[0].layers.layers().len(), 4900);
}

#[test]
fn layers_alternate_known_steels() {
    let steels = |list: &str| set(&format!("steels = {list}\ncount = 7"));
    expect(&steels("[\"C75S\"]"), &[("layers[0].steels", "too-few", "[\"C75S\"]")]);
    expect(&steels("[\"C75S\", \"C75\"]"), &[("layers[0].steels[1]", "unknown-word", "\"C75\"")]);
    expect(&steels("[\"C75S\", 3]"), &[("layers[0].steels[1]", "type", "3")]);
    expect(&steels("[\"C75S\", \"C75S\"]"), &[("layers[0].steels[1]", "same-steel", "\"C75S\"")]);
    let nine = format!("[{}]", "\"C75S\", \"C60\", ".repeat(5));
    expect(&steels(&nine), &[("layers[0].steels", "too-many", &nine)]);
    // Nobody lists a steel that no layer is of.
    let few = set("steels = [\"C75S\", \"C60\", \"C45\"]\ncount = 2");
    expect(&few, &[("layers[0].count", "range", "2")]);
    let twice = format!("{}{SETS}", layered(""));
    expect(&twice, &[("layers[1].name", "name-taken", "\"fine\"")]);
    let many: String = (0..19).fold(String::new(), |mut text, i| {
        let _ = write!(text, "[[layers]]\nname = \"set {i}\"\nsteels = [\"C60\", \"C45\"]\ncount = 2\n");
        text
    });
    let found = problems(&format!("{BLADE}{many}"));
    assert_eq!((found.len(), found[0].field.as_str(), found[0].code), (1, "layers", "too-many"));
}

#[test]
fn own_steels_are_held_to_their_ranges() {
    let own =
        |lines: &str| format!("{}[[steel]]\nname = \"Weir\"\n{lines}\n", billet("").replace("C60", "Weir"));
    expect(&own(""), &[("steel[0].carbon", "missing-key", "[[steel]]")]);
    for (value, code) in [("-0.1", "range"), ("3.1", "range"), ("nan", "not-finite"), ("\"0.8 %\"", "type")] {
        expect(&own(&format!("carbon = {value}")), &[("steel[0].carbon", code, value)]);
    }
    for key in ["silicon", "manganese", "chromium", "molybdenum", "nickel", "vanadium", "tungsten"] {
        for value in ["-0.1", "30.1"] {
            let text = own(&format!("carbon = 0.5\n{key} = {value}"));
            expect(&text, &[(&format!("steel[0].{key}"), "range", value)]);
        }
    }
    expect(&own("carbon = 1\nnickel = 25\nchromium = 24"), &[("steel[0]", "alloy-sum", "[[steel]]")]);
    expect(&own("carbon = 1\nsulphur = 0.1"), &[("steel[0].sulphur", "unknown-key", "sulphur")]);
    good(&own("carbon = 0\nnickel = 30"));
    let unnamed = format!("{}[[steel]]\ncarbon = 1\n", billet(""));
    expect(&unnamed, &[("steel[0].name", "missing-key", "[[steel]]")]);
    let twice = own("carbon = 1\n[[steel]]\nname = \"Weir\"\ncarbon = 0.5");
    expect(&twice, &[("steel[1].name", "name-taken", "\"Weir\"")]);
    let found = problems(&format!("{BLADE}{}", "[[steel]]\nname = \"x\"\ncarbon = 1\n".repeat(31)));
    assert!(found.iter().any(|p| p.field == "steel" && p.code == "too-many"));
}

#[test]
fn all_problems_of_a_recipe_are_told_at_once() {
    let text = with(
        "[billet]\nwidth = 0\ntip = \"cut\"\ncut_from = 400\n[[steel]]\nname = \"Weir\"\ncarbon = 9\n\
         [[layers]]\nname = \"fine\"\nsteels = [\"Weir\", \"wier\"]\ncount = 1\n\
         [[bar]]\nheight = 0\nlayers = \"fine\"\ntwist = [{ hand = \"up\", turns = 0 }]\n\
         [[bar]]\nsteel = \"C6O\"\nphase = 3\n",
    );
    expect(
        &text,
        &[
            ("billet.width", "range", "0"),
            ("billet.cut_from", "range", "400"),
            ("steel[0].carbon", "range", "9"),
            ("layers[0].steels[1]", "unknown-word", "\"wier\""),
            ("layers[0].count", "range", "1"),
            ("bar[0].height", "range", "0"),
            ("bar[0].twist[0].hand", "unknown-word", "\"up\""),
            ("bar[0].twist[0].turns", "range", "0"),
            ("bar[1].height", "missing-key", "[[bar]]"),
            ("bar[1].steel", "unknown-word", "\"C6O\""),
            ("bar[1].phase", "key-not-used", "phase"),
        ],
    );
}

#[test]
fn steels_and_layers_that_nothing_is_made_of_are_told() {
    let steel = "[[steel]]\nname = \"Weir\"\ncarbon = 0.1\n";
    // Without a billet the blade is of the only one; of two it can't be told.
    told(&format!("{BLADE}{steel}"), &[]);
    let two = format!("{BLADE}{steel}{}", steel.replace("Weir", "Lock"));
    told(&two, &[("steel[0].name", "unused", "\"Weir\""), ("steel[1].name", "unused", "\"Lock\"")]);
    assert!(good(&two).forged_from().is_none());
    let text = format!("{}{steel}{SETS}", billet(""));
    told(&text, &[("steel[0].name", "unused", "\"Weir\""), ("layers[0].name", "unused", "\"fine\"")]);
    // A set that nothing is made of brings no steel into the billet.
    assert_eq!(good(&text).billet().unwrap().steels().len(), 1);
    told(&layered(""), &[]);
}

#[test]
fn a_stack_thinner_than_the_blade_is_told_with_a_width_that_does() {
    let thin = billet("").replace("width = 12", "width = 5");
    told(&thin, &[("billet.width", "thin-stack", "5")]);
    let help = good(&thin).warnings()[0].help.clone();
    let width = help.split("at least ").nth(1).and_then(|h| h.split(',').next()).unwrap();
    let enough = thin.replace("width = 5", &format!("width = \"{width}\""));
    told(&enough, &[]);
    let design = good(&enough);
    let forged = Sections::of(&design.blade().loft(Stage::Forged)).at(0.0).unwrap().area();
    // The blade of one taper is largest at the shoulder; but the stack must be as wide as the blade is thick there.
    let billet = design.billet().unwrap();
    let stack = billet.section(blade::Part::Blade, 0.0);
    let thickness = design.blade().loft(Stage::Forged).station(0.0).unwrap().back;
    let least = forged.max(thickness * stack / billet.width());
    assert!(stack > least - 1e-9 && stack < least * 1.001, "{stack} {least}");
    told(&thin.replace("width = 5", "width = 7.5"), &[("billet.width", "narrow-stack", "7.5")]);
    let low = thin.replace("width = 5", "width = 60").replace("height = 30", "height = 1");
    assert!(good(&low).warnings().iter().any(|w| w.help.ends_with("make the bars taller")));
}

#[test]
fn a_tang_thicker_than_its_bars_is_told() {
    let bars = |height: f64| {
        format!(
            "[[bar]]\nheight = {height}\nsteel = \"C60\"\n[[bar]]\nheight = 30\nsteel = \"C75S\"\ntang = false\n"
        )
    };
    let text = |height: f64| with(&format!("[billet]\nwidth = 12\n{}", bars(height)));
    told(&text(2.0), &[("billet", "thin-stack", "[billet]")]);
    told(&text(20.0), &[]);
}

#[test]
fn a_twist_that_tears_is_told_with_turns_that_do() {
    // A bar of 12.4 by 12 mm as it is made, 12.2 mm square: corners 6.25 times as long turn by √(6.25² − 1)·√2/12.2
    // rad/mm, 2.85 turns in 25 mm; with the scale of eight heats on it the bar is 1.09 times as long as the stack that
    // is counted on.
    let text = |turns: &str| {
        let more = format!("twist = [{{ length = 5 }}, {{ hand = \"left\", turns = {turns} }}]");
        layered(&more)
            .replace("height = 18", "height = 12")
            .replace("height = 12\nsteel", "height = 20\nsteel")
    };
    told(&text("3.12"), &[("bar[0].twist[1].turns", "tight-twist", "3.12")]);
    let help = good(&text("4")).warnings()[0].help.clone();
    assert!(help.starts_with("give at most 3.11 turns here"), "{help}");
    told(&text("3.11"), &[]);
}

#[test]
fn a_stretch_beyond_the_bars_end_is_told() {
    let text =
        |first: f64| layered(&format!("twist = [{{ length = {first} }}, {{ hand = \"left\", turns = 1 }}]"));
    let end = {
        let design = good(&text(10.0));
        let lay = design.lay().unwrap();
        lay.along(lay.sections().range().1)
    };
    told(&text(end - 1.0), &[]);
    let late = "{ hand = \"left\", turns = 1 }";
    told(&text(end + 1.0), &[("bar[0].twist[1]", "beyond-bar", late)]);
}

/// Turns between two stations of the first bar.
fn turned(design: &Design, from: f64, to: f64) -> f64 {
    let (lay, twist) = (design.lay().unwrap(), &design.billet().unwrap().bars()[0].twist);
    (twist.angle(lay.along(to)) - twist.angle(lay.along(from))) / std::f64::consts::TAU
}

#[test]
fn a_pitch_and_stations_are_those_of_the_finished_blade() {
    let design = good(&layered(
        "phase = 90\ntwist = [{ hand = \"right\", pitch = 60, to = 90 }, { to = 120, straight = true }, \
         { hand = \"left\", pitch = [{ at = 120, is = 60 }, { at = 180, is = \"90 mm\" }], to = 200 }]",
    ));
    assert!(close(turned(&design, 0.0, 90.0), 1.5) && close(turned(&design, 0.0, 60.0), 1.0));
    assert!(close(turned(&design, 90.0, 120.0), 0.0) && close(turned(&design, 200.0, 290.0), 0.0));
    // 60 to 90 mm over 60 mm, straight between two stations, is ln 1.5 times 2 turns.
    assert!(close(turned(&design, 120.0, 180.0), -2.0 * 1.5_f64.ln()));
    assert!(close(turned(&design, 180.0, 200.0), -20.0 / 90.0));
    let bar = &design.billet().unwrap().bars()[0];
    assert!(close(bar.twist.angle(0.0), std::f64::consts::FRAC_PI_2));
    assert_eq!(design.lay().unwrap().billet(), design.billet().unwrap());
    // What is left out is the neighbour's, and a gap is straight.
    let other = good(&layered(
        "phase = 90\ntwist = [{ hand = \"right\", pitch = 60 }, { from = 90, to = 100, straight = true }, \
         { hand = \"left\", pitch = [{ at = 120, is = 60 }, { at = 180, is = 90 }], from = 120, to = 200 }]",
    ));
    for (from, to) in [(0.0, 90.0), (90.0, 120.0), (120.0, 180.0), (180.0, 290.0)] {
        assert!(close(turned(&other, from, to), turned(&design, from, to)), "{from} {to}");
    }
    // Turns of the bar between stations, and a pitch after a length of the bar.
    let mixed = good(&layered("twist = [{ hand = \"left\", turns = 1, from = 50, to = 100 }]"));
    let lay = mixed.lay().unwrap();
    assert!(close(turned(&mixed, 50.0, 100.0), -(lay.along(100.0) - lay.along(50.0)) / 25.0));
    let mixed = good(&layered("twist = [{ length = 30 }, { hand = \"right\", pitch = 80 }]"));
    let from = mixed.lay().unwrap().station(30.0);
    assert!(close(turned(&mixed, from, from + 80.0), 1.0) && close(turned(&mixed, 0.0, from), 0.0));
}

#[test]
fn inch_files_take_pitches_in_inches() {
    let text = "name = \"Barge\"\nunit = \"in\"\n[[taper]]\nat = 0\nback = 0.25\n[outline]\nlength = 12\nbreadth = 1.25\n\
                [billet]\nwidth = \"1/2 in\"\n[[layers]]\nname = \"fine\"\nsteels = [\"1084\", \"15N20\"]\ncount = 9\n\
                [[bar]]\nheight = 1.5\nlayers = \"fine\"\ntwist = [{ hand = \"right\", pitch = \"9 1/2\", from = 1, to = 10.5 }]\n";
    let text = text.replace("\"9 1/2\"", "\"9 1/2 in\"");
    assert!(close(turned(&good(&text), 25.4, 266.7), 1.0));
    // The bar is 25 mm square: it bears less. What is told is in inches, and is accepted.
    let tight = good(&text.replace("\"9 1/2 in\"", "1"));
    let help = tight.warnings()[0].help.clone();
    let least = help.split_whitespace().nth(6).unwrap().to_owned();
    assert!(help.contains(" in; ") && (1.0..9.0).contains(&least.parse::<f64>().unwrap()), "{help}");
    told(&text.replace("\"9 1/2 in\"", &least), &[]);
}

/// The depth told as the greatest is accepted, on even and on tapered bars, and beside teeth on the other side.
#[test]
fn teeth_are_held_to_what_their_bars_bear() {
    let bars = |high: &str, over: &str, depth: &str| {
        with(&format!(
            "[billet]\nwidth = 12\n[[bar]]\nheight = 12\nsteel = \"C60\"\n[[bar]]\nheight = {high}\nsteel = \"C75S\"\n{over}\
             [[bar]]\nheight = 20\nsteel = \"C105U\"\ntang = false\nserrated = {{ period = 14, depth = {depth} }}\n"
        ))
    };
    for (high, over) in [
        ("9", ""),
        ("[9, 6]", ""),
        ("12", "serrated = { period = 30, depth = 1.5 }\n"),
        ("[{ at = 9, is = 7 }, { at = 99, is = 8 }]", ""),
    ] {
        expect(&bars(high, over, "39"), &[("bar[2].serrated.depth", "deep-teeth", "39")]);
        let help = problems(&bars(high, over, "39")).swap_remove(0).help;
        let most = help.strip_prefix("give a depth of at most ").and_then(|h| h.split(',').next()).unwrap();
        let design = good(&bars(high, over, &format!("\"{most}\"")));
        let lay = design.lay().unwrap();
        assert!(lay.billet().made_height(1).at(0.0) > lay.billet().bars()[1].height.at(0.0) + 1.0, "{most}");
    }
    assert!(good(&bars("9", "", "2")).warnings().is_empty());
}

/// A saddle of 3 mm and 2 mm around a core of 13 × 8 in a bar of 16 × 12; two bars of 5 and 7 mm side by side over it.
#[test]
fn wraps_and_bars_side_by_side_share_a_place() {
    let design = good(&bars(
        "[[bar]]\nname = \"Left\"\nheight = 14\nlayers = \"fine\"\nbeside = [{ steel = \"C60\", width = 7 }]\n\
         [[bar]]\nname = \"Core\"\nheight = 16\nlayers = \"fine\"\ntang = false\n\
         wrap = { name = \"Saddle\", steel = \"C105U\", edge = 3, sides = 2 }\n",
    ));
    let billet = design.billet().unwrap();
    let names: Vec<&str> = billet.bars().iter().map(|b| b.name.as_str()).collect();
    assert_eq!(names, ["Left", "Core", "Left part 2", "Saddle"]);
    assert_eq!((billet.places(), billet.sharing(0), billet.sharing(1)), (2, vec![0, 2], vec![1, 3]));
    let size = |i: usize| [billet.made_height(i).at(0.0), billet.made_width(i)];
    for (i, wanted) in
        [[14.0, 5.0], [13.0, 8.0], [14.0, 7.0], [3.0, (3.0 * 12.0 + 4.0 * 13.0) / 3.0]].iter().enumerate()
    {
        assert!(size(i).iter().zip(wanted).all(|(a, b)| close(*a, *b)), "{i} {:?}", size(i));
    }
    assert!(billet.bars()[2].tang && !billet.bars()[3].tang);
    // Bars without a width share what is left of the core inside a wrap.
    let even = good(&bars(
        "[[bar]]\nheight = 30\nlayers = \"fine\"\nbeside = [{ steel = \"C60\" }, { steel = \"C45\" }]\n\
         wrap = { steel = \"C105U\", edge = 3, back = 2, sides = 1.5 }\n",
    ));
    let billet = even.billet().unwrap();
    assert!((0..3).all(|i| close(billet.made_width(i), 3.0) && close(billet.made_height(i).at(0.0), 25.0)));
    assert_eq!(billet.bars()[3].name, "Bar 1 wrap");
}

#[test]
fn what_shares_a_place_is_refused_where_it_does_not_fit() {
    let edge = "[[bar]]\nname = \"Edge\"\nheight = 12\nsteel = \"C105U\"\n";
    let over = |more: &str, under: &str| {
        bars(&format!("[[bar]]\nheight = 18\nsteel = \"C60\"\n{more}\n{edge}{under}\n"))
    };
    let wrap = "wrap = { steel = \"C45\", sides = 2 }";
    expect(
        &over(wrap, "serrated = { period = 12, depth = 2 }"),
        &[("bar[1].serrated", "shared-place", "serrated")],
    );
    // The target may not stand where any bar shares its place.
    expect(
        &format!("{}[targets]\nedge_bar = 8\n", over(wrap, "")),
        &[("targets.edge_bar", "shared-targets", "edge_bar")],
    );
    let five = format!("{}[[bar]]\nname = \"Last\"\nheight = 9\nsteel = \"C60\"\n", over("", "")).repeat(1);
    assert!(read(five.as_bytes()).is_ok());
    let three = "beside = [{ steel = \"C45\" }, { steel = \"C45\" }, { steel = \"C45\" }]\n";
    let many = bars(&format!("[[bar]]\nheight = 9\nsteel = \"C60\"\n{three}").repeat(3));
    let found = problems(&many);
    assert!(found.iter().any(|p| p.code == "too-many" && p.message.contains("12 bars")), "{found:#?}");
}

/// A skin that the bevel goes through is told with what lies bare; one that is left whole is not.
#[test]
fn a_skin_ground_through_is_told() {
    let finding = |sides: &str| {
        let text = bars(&format!(
            "[[bar]]\nheight = 30\nsteel = \"C60\"\nwrap = {{ name = \"Skin\", steel = \"C45\", edge = 3, sides = {sides} }}\n"
        ));
        let told = crate::BarsSummary::from_design(&good(&text), &[]).unwrap();
        told.findings
    };
    let thin = finding("2");
    let told = thin.iter().find(|f| f.contains("ground through")).unwrap();
    assert!(
        told.starts_with("Skin is ground through on the side") && told.contains("Bar 1 shows there"),
        "{told}"
    );
    assert!(!finding("5.4").iter().any(|f| f.contains("ground through")), "{:?}", finding("5.4"));
}

/// An angle is read as one, straight and square ones as the words for them; a bar beside another has its own.
#[test]
fn layers_may_lie_at_an_angle() {
    use laminate::Direction;
    let direction =
        |text: &str| good(&layered(&format!("direction = {text}"))).billet().unwrap().bars()[0].direction;
    for (text, degrees) in [("30", 30.0), ("\"-12.5 deg\"", -12.5), ("1e-3", 1e-3), ("89.9", 89.9_f64)] {
        let Direction::Leaning(angle) = direction(text) else { panic!("{text}") };
        assert!(close(angle, degrees.to_radians()), "{text}");
    }
    for (text, wanted) in [
        ("0", Direction::Flat),
        ("\"flat\"", Direction::Flat),
        ("90", Direction::Upright),
        ("-90", Direction::Upright),
        ("\"upright\"", Direction::Upright),
    ] {
        assert_eq!(direction(text), wanted, "{text}");
    }
    let design = good(&layered(
        "slope = -20\nbeside = [{ layers = \"fine\", direction = \"flat\", slope = 8 }, { layers = \"fine\", direction = 45 }]",
    ));
    let bars = design.billet().unwrap().bars();
    assert!(close(bars[0].slope.unwrap(), -20.0_f64.to_radians()) && bars[0].direction == Direction::Upright);
    assert!(close(bars[2].slope.unwrap(), 8.0_f64.to_radians()) && bars[2].direction == Direction::Flat);
    assert!(matches!(bars[3].direction, Direction::Leaning(_)) && bars[1].slope.is_none());
}

/// What is asked of a slanted bar beside what it can't have is told with all its mistakes at once.
#[test]
fn slanted_layers_are_not_bent() {
    expect(
        &layered("slope = 20\ntwist = [{ hand = \"left\", turns = 2 }]\nphase = 30"),
        &[("bar[0].twist", "slanted", "twist"), ("bar[0].phase", "slanted", "phase")],
    );
    let toothed = layered("direction = 20")
        .replace("height = 12\n", "height = 12\nserrated = { period = 12, depth = 2 }\n");
    expect(&toothed, &[("bar[1].serrated", "slanted", "serrated")]);
    expect(
        &bars(
            "[[bar]]\nheight = 9\nsteel = \"C45\"\n[[bar]]\nheight = [20, 15]\nlayers = \"fine\"\nslope = 5\nserrated = { period = 12, depth = 2 }\n",
        ),
        &[("bar[1].height", "slanted", "height"), ("bar[1].serrated", "slanted", "serrated")],
    );
    // Laid flat by an angle of nothing it may have all of it.
    good(&layered("direction = 0\ntwist = [{ hand = \"left\", turns = 2 }]\nphase = 30"));
}

/// Where scarf welds of slices come to lie is told: a slice goes as far as the bar is high over the tangent of its slope.
#[test]
fn scarf_welds_are_told() {
    let design = good(&layered("slope = 45"));
    let text = crate::Summary::from_design(&design).text();
    let lay = design.lay().unwrap();
    let first = format!("{:.1} mm apart at the shoulder", 18.0 * lay.stretch(0.0).unwrap());
    assert!(text.contains(&first) && text.contains("Bar 1 is welded up from slices"), "{first} in {text}");
}
