//! What whole files are read as: profiles, problems with their exact places, and bytes of any kind.

use std::fmt::Write;

use blade::Stage;
use fixtures::profiles::Profile;

use crate::{Bore, Design, Paper, Plate, PlateForm, Problem, Summary, Unit, read, schema, starter};

const FORMS: [&str; 4] = ["straight-back", "broken-back", "curved-back", "dropped-point"];

fn good(text: &str) -> Design {
    read(text.as_bytes()).unwrap_or_else(|problems| panic!("{text}\n{problems:#?}"))
}

fn problems(text: &str) -> Vec<Problem> {
    read(text.as_bytes()).expect_err(text)
}

/// Field, code and the marked text of each problem.
fn marked(text: &str) -> Vec<(String, &'static str, String)> {
    let marked = |p: Problem| (p.field, p.code, text[p.span].to_owned());
    problems(text).into_iter().map(marked).collect()
}

fn expect(text: &str, wanted: &[(&str, &str, &str)]) {
    let found = marked(text);
    let found: Vec<_> = found.iter().map(|(f, c, t)| (f.as_str(), *c, t.as_str())).collect();
    assert_eq!(found, wanted, "{text}");
}

/// A good blade; what follows belongs to `[outline]`.
const PLAIN: &str = "name = \"Test\"\n[[taper]]\nat = 0\nback = 6\n[outline]\nlength = 300\nbreadth = 30\n";

fn with(more: &str) -> String {
    format!("{PLAIN}{more}")
}

#[test]
fn profiles_read_clean() {
    let profiles = fixtures::profiles::all();
    for Profile { name, text, .. } in &profiles {
        let design = read(text.as_bytes()).unwrap_or_else(|p| panic!("{name}: {p:#?}"));
        assert_eq!(name, design.slug(), "a profile is named by its slug");
        assert_eq!(design.warnings(), [], "{name}");
    }
    assert!(profiles.len() >= 7, "{}", profiles.len());
}

#[test]
fn starters_read_clean_whatever_the_name() {
    for name in
        ["Landing knife", "", "\"quoted\" \\ name", "{name}", "日本", "a\nb", &"x".repeat(500), " ", "'''"]
    {
        for unit in [Unit::Millimetre, Unit::Inch] {
            let design = good(&starter(name, unit));
            assert_eq!((design.warnings(), design.unit()), (&[][..], unit), "{name}");
        }
    }
    assert_eq!(good(&starter("Landing \"knife\"", Unit::Millimetre)).name(), "Landing \"knife\"");
}

#[test]
fn a_few_lines_make_a_blade_of_any_form_and_length() {
    let backs = [1.8, 3.0, 6.0];
    for form in FORMS {
        for length in [75, 90, 120, 180, 250, 330, 480, 600, 750, 900] {
            for breadth in [14, 25, 38, 50].into_iter().filter(|b| 3 * b < length) {
                for back in backs.into_iter().filter(|b| 4.0 * b < f64::from(breadth)) {
                    let text = format!(
                        "name = \"x\"\n[outline]\nform = \"{form}\"\nlength = {length}\nbreadth = {breadth}\n[[taper]]\nat = 0\nback = {back}\n"
                    );
                    good(&text);
                }
            }
        }
    }
}

#[test]
fn plain_sections_take_the_defaults() {
    for section in [
        "grind_line = \"full\"",
        "grind_line = \"30 %\"",
        "grind_line = 12",
        "sides = \"right\"",
        "sides = \"left\"\ngrind_line = \"full\"",
        "bevel = \"hollow\"\nradius = 120",
        "bevel = \"convex\"\nradius = 300",
        "back = { form = \"rounded\", radius = 1 }",
        "back = { form = \"crowned\", height = 0.6 }",
    ] {
        good(&with(&format!("[section]\n{section}\n")));
    }
    good(&with("[ricasso]\n[tang]\nform = \"full\"\n"));
    good(&with("tip = { form = \"point\" }"));
    good(&with("tip = { form = \"round\", radius = 2 }"));
}

#[test]
fn values_arrive_in_millimetres_grams_and_radians() {
    let design = good(
        "name = \"Ferry-house no. 2\"\nunit = \"in\"\ndensity = 7800\n[outline]\nform = \"broken-back\"\nlength = 12\n\
         breadth = \"1 1/2 in\"\n[[taper]]\nat = \"0 mm\"\nback = \"1/4 in\"\n[[fitting]]\nkind = \"guard\"\nat = -0.5\n\
         diameter = 1\nlength = \"10 mm\"\nmaterial = \"brass\"\n[[fitting]]\nat = \"-1/2 in\"\nmass = \"2 oz\"\n\
         [shop]\ntolerance = \"0.05 mm\"\nclearance = { press = \"0.2 mm\" }",
    );
    assert_eq!((design.slug(), design.unit()), ("ferry-house-no-2", Unit::Inch));
    assert!((design.blade().length() - 304.8).abs() < 1e-9);
    assert!((design.density() - 7.8e-3).abs() < 1e-15);
    let [guard, weight] = design.fittings() else { panic!("two fittings") };
    let cylinder = std::f64::consts::PI * 12.7 * 12.7 * 10.0 * 8.5e-3;
    assert!((guard.mass - cylinder).abs() < 1e-9 && (guard.at + 12.7).abs() < 1e-12, "{guard:?}");
    assert!((weight.mass - 453.59237 / 8.0).abs() < 1e-12 && weight.length.abs() < 1e-12, "{weight:?}");
    assert!((design.shop().tolerance - 0.05).abs() < 1e-15 && (design.shop().press - 0.2).abs() < 1e-15);
    assert!((design.shop().nozzle - 0.4).abs() < 1e-15);
    let spec = design.blade().spec();
    assert!((spec.taper[0].back - 6.35).abs() < 1e-12);
    assert!(spec.stages.edge_angle.is_some_and(|a| (a - 30f64.to_radians()).abs() < 1e-12));
}

#[test]
fn all_problems_of_a_file_are_told_in_its_order_with_exact_places() {
    let text = "nmae = \"x\"\nunit = \"ft\"\n[outline]\nform = \"broken-back\"\nlength = \"480 furlong\"\nbreadth = -3\n\
                drop = 7\n[[taper]]\nat = nan\nback = true\n[[taper]]\nback = 3\n[tang]\nhoel = []\n\
                [stages]\nfinished = { edge_angle = 100 }\n";
    expect(
        text,
        &[
            ("name", "missing-key", ""),
            ("nmae", "unknown-key", "nmae"),
            ("unit", "unknown-word", "\"ft\""),
            ("outline.length", "quantity", "\"480 furlong\""),
            ("outline.breadth", "range", "-3"),
            ("outline.drop", "key-not-used", "drop"),
            ("taper[0].at", "not-finite", "nan"),
            ("taper[0].back", "type", "true"),
            ("taper[1].at", "missing-key", "[[taper]]"),
            ("tang.hoel", "unknown-key", "hoel"),
            ("stages.finished.edge_angle", "range", "100"),
        ],
    );
    let hints: Vec<String> = problems(text).into_iter().map(|p| p.help).collect();
    assert!(hints[1].contains("did you mean `name`"), "{}", hints[1]);
    assert!(hints[9].contains("did you mean `hole`"), "{}", hints[9]);
    assert!(hints[5].contains("`break_at`"), "{}", hints[5]);
}

#[test]
fn the_blades_own_problems_have_their_places() {
    expect(&with("break_at = 299.9"), &[("outline.break_at", "range", "299.9")]);
    expect(
        &with("[section]\nback = { form = \"crowned\", height = 3 }"),
        &[("section.back", "back-form", "{ form = \"crowned\", height = 3 }")],
    );
    expect(&with("[tang]\nform = \"full\""), &[("tang.form", "full-tang-ricasso", "\"full\"")]);
    expect(
        &with("[stages]\nfinished = { edge_angle = 5 }"),
        &[("stages.finished", "edge-angle", "{ edge_angle = 5 }")],
    );
    expect(
        &with("[[tang.hole]]\nat = 200\ndiameter = 3"),
        &[("tang.hole[0]", "hole-outside", "[[tang.hole]]")],
    );
    expect(
        &with(
            "[[fuller]]\nend = 100\nfrom_back = 3\nwidth = 5\ndepth = 0.5\n[[fuller]]\nend = 100\nfrom_back = 3\nwidth = 4\ndepth = 0.5",
        ),
        &[("fuller[1].from_back", "fullers-meet", "3")],
    );
    let points = "name = \"x\"\n[[taper]]\nat = 0\nback = 6\n[outline]\nform = \"points\"\n";
    expect(
        &format!("{points}back = [[0, 30], [90, 30], [80, 5]]\nedge = [[0, 0], [80, 4]]"),
        &[("outline.back[2]", "order", "[80, 5]")],
    );
    expect(&format!("{points}back = [[0, 30], [80, 5]]"), &[("outline.edge", "missing-key", "[outline]")]);
}

#[test]
fn keys_of_other_forms_are_refused() {
    expect(&with("broadest = 31"), &[("outline.broadest", "key-not-used", "broadest")]);
    expect(
        &with("tip = { form = \"point\", radius = 2 }"),
        &[("outline.tip.radius", "key-not-used", "radius")],
    );
    expect(&with("[section]\nradius = 100"), &[("section.radius", "key-not-used", "radius")]);
    expect(&with("[section]\nbevel = \"hollow\""), &[("section.radius", "missing-key", "[section]")]);
    expect(
        &with("[ricasso]\n[tang]\nform = \"full\"\nbreadth = 12"),
        &[("tang.breadth", "key-not-used", "breadth")],
    );
    expect(
        &with("[stages]\nfinished = { edge_angle = 30, sharp = false }"),
        &[("stages.finished.edge_angle", "key-not-used", "edge_angle")],
    );
    expect(
        &with("[[fitting]]\nat = 1\nmass = 3\nradius = 3\ndiameter = 6"),
        &[("fitting[0].diameter", "either-or", "diameter")],
    );
    expect(&with("[[fitting]]\nat = 1"), &[("fitting[0].mass", "missing-key", "[[fitting]]")]);
}

#[test]
fn a_sharp_shoulder_is_a_warning() {
    let text = with("[tang]\nshoulder_radius = 0.5");
    let design = good(&text);
    let [warning] = design.warnings() else { panic!("{:?}", design.warnings()) };
    assert_eq!((warning.code, &text[warning.span.clone()]), ("stress-riser", "0.5"));
}

#[test]
fn what_is_rarely_meant_is_told_with_its_place() {
    let outline = "name = \"Oar\"\n[outline]\nform = \"straight-back\"\nlength = 300\nbreadth = 30\n";
    let taper =
        "[[taper]]\nat = 0\nback = 5\n[[taper]]\nat = 150\nback = 5.5\n[[taper]]\nat = 320\nback = 3\n";
    let fitting = "[[fitting]]\nname = \"Cap\"\nkind = \"pommel\"\nat = -190\nmass = 40\n";
    let shop = "[shop]\nclearance = { press = 0.3 }\n[jig]\nsize = 40\ntab = 20\nbar = 16\n";
    let text = format!("{outline}{taper}{fitting}{shop}");
    let design = good(&text);
    let told: Vec<_> = design.warnings().iter().map(|w| (w.code, &text[w.span.clone()])).collect();
    assert_eq!(
        told,
        [
            ("swelling", "5.5"),
            ("beyond-point", "320"),
            ("off-tang", "-190"),
            ("gaps", "0.3"),
            ("thick-tab", "20")
        ]
    );
}

#[test]
fn the_summary_tells_the_tang_of_each_stage() {
    let stages = "[stages]\nforged = { allowance = 0.8 }\nground = { allowance = 0.15 }\n";
    let tang = "[tang]\nlength = 110\nbreadth = 12\nthickness = 2\n";
    let text = Summary::from_design(&good(&with(&format!("{stages}{tang}")))).text();
    // Its end is 0.6 as broad and 0.7 as thick; forged it carries 0.95 mm a side, ground 0.15 mm.
    for sizes in [
        "12.0 × 3.90 at the shoulder, 7.2 × 3.30 at its end",
        "12.0 × 2.30 at the shoulder, 7.2 × 1.70 at its end",
        "12.0 × 2.00 at the shoulder, 7.2 × 1.40 at its end",
    ] {
        assert!(text.contains(&format!("hidden, 110 mm long, {sizes}")), "{sizes} in\n{text}");
    }
}

#[test]
fn inch_files_are_told_inches_that_are_accepted() {
    let file = |station: &str| {
        format!(
            "name = \"Oar\"\nunit = \"in\"\n[outline]\nform = \"straight-back\"\nlength = 4.25\nbreadth = 1.125\n\
             [[taper]]\nat = 0\nback = 0.16\n[gauges]\nstations = [{station}]\n"
        )
    };
    let refused = |station: &str| read(file(station).as_bytes()).unwrap_err().remove(0);
    let past = refused("10");
    assert_eq!(
        (past.code, past.message.as_str()),
        ("past-point", "station 10 in lies past the point at 4.25 in")
    );
    let near = refused("4");
    let most = near.help.strip_prefix("give stations up to ").and_then(|m| m.strip_suffix(" in")).unwrap();
    assert_eq!(near.code, "not-square");
    assert!(read(file(most).as_bytes()).is_ok(), "{most}");
    let range = refused("1000");
    assert_eq!((range.code, range.message.as_str()), ("range", "1000 in is out of range"));
}

#[test]
fn no_forged_blade_is_thicker_than_its_bar() {
    // 6 mm and allowances of 0.8 and 0.15 mm a side make 7.9 mm.
    expect(&with("[shop]\nbar = 7.5\n"), &[("taper[0].back", "thicker-than-bar", "6")]);
    assert!(good(&with("[shop]\nbar = 8\n")).shop().bar.is_some_and(|bar| bar > 7.9));
}

#[test]
fn tolerances_are_held_to_their_range() {
    let design = good(&with("[shop]\ntolerance = 0.001"));
    assert!((design.shop().tolerance - 0.001).abs() < 1e-15);
    expect(&with("[shop]\ntolerance = 0.0009"), &[("shop.tolerance", "range", "0.0009")]);
    expect(&with("[shop]\ntolerance = 2"), &[("shop.tolerance", "range", "2")]);
}

#[test]
fn small_ranges_stay_whole_in_inches() {
    let file = |tolerance: &str| {
        format!(
            "name = \"Oar\"\nunit = \"in\"\n[outline]\nform = \"straight-back\"\nlength = 4.25\nbreadth = 1.125\n\
             [[taper]]\nat = 0\nback = 0.16\n[shop]\ntolerance = \"{tolerance} mm\"\n"
        )
    };
    assert!(read(file("0.002").as_bytes()).is_ok());
    let refused = read(file("0.0005").as_bytes()).unwrap_err().remove(0);
    assert_eq!((refused.code, refused.help.as_str()), ("range", "give a value from 0.00004 in to 0.0393 in"));
}

#[test]
fn tooling_has_defaults_in_the_files_unit() {
    let metric = good(PLAIN);
    assert_eq!((metric.shop().paper, metric.shop().stops.len()), (Paper::A4, 9));
    let plate = Plate { thickness: 3.0, hole: Some(6.0), stage: Stage::Forged, form: PlateForm::Both };
    assert_eq!(metric.plate(), &plate);
    assert_eq!(metric.gauges().stations, [0.0, 50.0, 100.0, 150.0, 200.0, 250.0]);
    assert!((metric.gauges().thickness - 4.0).abs() < 1e-12 && metric.jig().is_none());
    let inches = good(
        &format!("unit = \"in\"\n{}", with("").replace("300", "12").replace("30\n", "1.25\n"))
            .replace("back = 6", "back = 0.25"),
    );
    assert_eq!(inches.shop().paper, Paper::Letter);
    assert!(inches.shop().stops.iter().zip([38.1, 31.75, 25.4]).all(|(a, b)| (a - b).abs() < 1e-12));
    assert!((inches.shop().stops[8] - 6.35).abs() < 1e-12);
    assert!((inches.gauges().stations[1] - 50.8).abs() < 1e-12);
    let sizes = [Paper::A4, Paper::A3, Paper::Letter].map(Paper::size);
    assert_eq!(sizes, [[210.0, 297.0], [297.0, 420.0], [215.9, 279.4]]);
}

#[test]
fn tooling_takes_what_is_given() {
    let design = good(&with(
        "[shop]\npaper = \"a3\"\nstops = [30, \"1 cm\", 2]\n[plate]\nthickness = 5\nhole = 0\nstage = \"finished\"\n\
         form = \"negative\"\n[gauges]\nthickness = 2\nstations = [10, \"4 in\"]\n[jig]\nbore = \"hexagon\"\nsize = 40\n\
         tab = 20\nscrew = 0\nbar = 18\nflow_stress = 80\n",
    ));
    assert_eq!((design.shop().paper, &design.shop().stops[..]), (Paper::A3, &[30.0, 10.0, 2.0][..]));
    let plate = Plate { thickness: 5.0, hole: None, stage: Stage::Finished, form: PlateForm::Negative };
    assert_eq!(design.plate(), &plate);
    assert_eq!(design.gauges().stations, [10.0, 101.6]);
    let jig = design.jig().unwrap();
    assert_eq!((jig.bore, jig.screw, jig.bar), (Bore::Hexagon, None, Some(18.0)));
    let sizes = [jig.size, jig.tab, jig.depth, jig.flange, jig.flange_thickness];
    assert!(sizes.iter().zip([40.0, 20.0, 30.0, 8.0, 5.0]).all(|(a, b)| (a - b).abs() < 1e-12), "{jig:?}");
    assert!((jig.flow_stress - 80.0).abs() < 1e-12);
    let usual = good(&with("[jig]\nsize = 40\ntab = 32"));
    assert_eq!(usual.jig().map(|j| (j.bore, j.screw)), Some((Bore::Square, Some(5.0))));
}

#[test]
fn tooling_is_held_to_its_ranges() {
    for (table, key, value, code) in [
        ("shop", "paper", "\"a2\"", "unknown-word"),
        ("shop", "nozzle", "0.09", "range"),
        ("shop", "nozzle", "2.1", "range"),
        ("shop", "stops", "true", "type"),
        ("plate", "thickness", "0.9", "range"),
        ("plate", "hole", "0.5", "range"),
        ("plate", "hole", "31", "range"),
        ("plate", "hole", "-1", "range"),
        ("plate", "hole", "nan", "not-finite"),
        ("plate", "stage", "\"rough\"", "unknown-word"),
        ("plate", "form", "\"full\"", "unknown-word"),
        ("gauges", "thickness", "1.9", "range"),
        ("jig", "bore", "\"oval\"", "unknown-word"),
        ("jig", "depth", "9", "range"),
        ("jig", "flange", "41", "range"),
        ("jig", "flange_thickness", "2", "range"),
        ("jig", "screw", "1", "range"),
        ("jig", "bar", "3", "range"),
        ("jig", "flow_stress", "301", "range"),
    ] {
        let needed = if table == "jig" { "size = 40\ntab = 12\n" } else { "" };
        let text = with(&format!("[{table}]\n{needed}{key} = {value}\n"));
        expect(&text, &[(&format!("{table}.{key}"), code, value)]);
    }
    let none = &problems(&with("[plate]\nhole = 0.5"))[0];
    assert_eq!(none.help, "give a value from 1 mm to 30 mm, or 0 for none");
}

#[test]
fn stops_and_stations_keep_their_order() {
    expect(
        &with("[shop]\nstops = [30, 30, 12, 201]"),
        &[("shop.stops[1]", "order", "30"), ("shop.stops[3]", "range", "201")],
    );
    let many: Vec<String> = (0..13).map(|i| (30 - i).to_string()).collect();
    let many = format!("[{}]", many.join(", "));
    expect(&with(&format!("[shop]\nstops = {many}")), &[("shop.stops", "too-many", &many)]);
    expect(
        &with("[gauges]\nstations = [-1, 50, 20, 299]"),
        &[
            ("gauges.stations[0]", "range", "-1"),
            ("gauges.stations[2]", "order", "20"),
            ("gauges.stations[3]", "not-square", "299"),
        ],
    );
    let many: Vec<String> = (0..41).map(|i| i.to_string()).collect();
    let many = format!("[{}]", many.join(", "));
    expect(&with(&format!("[gauges]\nstations = {many}")), &[("gauges.stations", "too-many", &many)]);
}

#[test]
fn the_station_told_as_the_last_is_accepted() {
    let help = problems(&with("[gauges]\nstations = [299]")).swap_remove(0).help;
    let told = help.strip_prefix("give stations up to ").unwrap();
    let design = good(&with(&format!("[gauges]\nstations = [\"{told}\"]")));
    assert!(design.blade().fan_start() - design.gauges().stations[0] < 0.001_001);
}

#[test]
fn a_jig_needs_its_sizes_and_a_wall() {
    expect(&with("[jig]"), &[("jig.size", "missing-key", "[jig]"), ("jig.tab", "missing-key", "[jig]")]);
    expect(&with("[jig]\nsize = 40\ntab = 32.1"), &[("jig.tab", "thin-wall", "32.1")]);
    expect(&with("[jig]\nbore = \"round\"\nsize = 40\ntab = 24.1"), &[("jig.tab", "thin-wall", "24.1")]);
    expect(&with("[jig]\nbore = \"hexagon\"\nsize = 13\ntab = 5"), &[("jig.tab", "thin-wall", "5")]);
    expect(&with("[jig]\nsize = 9\ntab = 30"), &[("jig.size", "range", "9")]);
    let told = |size: f64| {
        let jig = |tab: &str| with(&format!("[jig]\nbore = \"round\"\nsize = {size}\ntab = {tab}"));
        let help = problems(&jig("100")).swap_remove(0).help;
        let most = help.strip_prefix("give at most ").and_then(|h| h.split(',').next()).unwrap();
        good(&jig(&format!("\"{most}\""))).jig().unwrap().tab
    };
    assert!([14.0, 33.3, 40.0, 77.7].iter().all(|&size| told(size) < size - 8.0 + 1e-9));
}

#[test]
fn problems_found_later_have_their_places() {
    let text = with("[shop]\nbed = [100, 100, 90]\n");
    let design = good(&text);
    let problem = |field: &str| design.problem(field, "bed", "too small".to_owned(), "larger".to_owned());
    assert_eq!((&text[problem("shop.bed[2]").span], &text[problem("shop.nozzle").span]), ("90", "[shop]"));
    assert_eq!((problem("jig.tab").span, problem("jig.tab").field.as_str()), (0..0, "jig.tab"));
}

#[test]
fn byte_order_marks_and_carriage_returns_keep_places_exact() {
    let text = format!("\u{feff}{}", with("foo = 1\n").replace('\n', "\r\n"));
    expect(&text, &[("outline.foo", "unknown-key", "foo")]);
}

#[test]
fn counts_are_bounded() {
    let mut text = with("");
    for i in 0..101 {
        let _ = write!(text, "[[taper]]\nat = {}\nback = 5\n", i + 1);
    }
    assert!(problems(&text).iter().any(|p| p.code == "too-many" && p.field == "taper"));
}

#[test]
fn files_that_are_no_design_are_refused() {
    let code = |bytes: &[u8]| read(bytes).expect_err("no design")[0].code;
    assert_eq!(code(&vec![b' '; (1 << 20) + 1]), "too-large");
    assert_eq!(code(b"name = \"\xff\""), "not-text");
    assert_eq!(read(b"name = \"\xff\"").unwrap_err()[0].span, 8..9);
    assert_eq!(code(b""), "missing-key");
    let [problem] = &problems("name = \"x\"\nunit = = 3\n")[..] else { panic!("one problem") };
    assert_eq!((problem.code, problem.span.start), ("syntax", 18));
}

#[test]
fn deep_nesting_is_refused() {
    for text in [
        "[".repeat(100_000),
        format!("a = {}", "[".repeat(100_000)),
        format!("a = {}", "{a=".repeat(100_000)),
        format!("{}a = 1", "a.".repeat(100_000)),
        format!("[{}a]", "a.".repeat(100_000)),
        format!("[{}a]", "\"a\".".repeat(100_000)),
        format!("a = {}{}", "[".repeat(100_000), "]".repeat(100_000)),
        (0..20_000).fold(String::new(), |text, i| text + &format!("k{i} = {i}\n")),
    ] {
        assert!(!problems(&text).is_empty());
    }
}

#[test]
fn the_schema_names_every_key() {
    let schema = schema();
    let text = schema.to_string();
    assert_eq!(schema["$schema"], "https://json-schema.org/draft/2020-12/schema");
    assert_eq!(schema["additionalProperties"], false);
    assert!(!text.contains("\"null\""), "{schema:#}");
    assert_eq!(schema["required"], serde_json::json!(["name", "outline", "taper"]));
    tables(&schema, &mut |table| {
        assert_eq!(table["additionalProperties"], false, "{table:#}");
        let keys = table["properties"].as_object().unwrap();
        assert!(keys.values().all(|k| k["title"].is_string() && k["description"].is_string()), "{table:#}");
    });
    for key in
        ["point_height", "grind_line", "shoulder_radius", "run_out", "edge_angle", "clearance", "diameter"]
            .into_iter()
            .chain([
                "paper",
                "stops",
                "plate",
                "gauges",
                "stations",
                "jig",
                "flange_thickness",
                "flow_stress",
                "billet",
                "cut_from",
                "near_edge",
                "steels",
                "restack",
                "squaring",
                "carbon",
            ])
    {
        assert!(text.contains(&format!("\"{key}\":")), "{key}");
    }
}

/// Calls `seen` with every schema of a table.
fn tables(value: &serde_json::Value, seen: &mut impl FnMut(&serde_json::Value)) {
    if value["properties"].is_object() && value["type"] == "object" {
        seen(value);
    }
    match value {
        serde_json::Value::Object(map) => map.values().for_each(|v| tables(v, seen)),
        serde_json::Value::Array(list) => list.iter().for_each(|v| tables(v, seen)),
        _ => {}
    }
}

#[test]
fn heat_weight_and_torque_follow_the_units_table() {
    let blade = "name = \"Weir\"\nunit = \"in\"\n[outline]\nlength = 12\nbreadth = 1.25\n[[taper]]\nat = 0\nback = 0.25\n";
    let fitting = "[[fitting]]\nkind = \"pommel\"\nat = -4\nmass = 3\n[targets]\nmass = \"at most 2\"\n";
    let metric = good(&format!("{blade}{fitting}"));
    assert_eq!(metric.figures(), crate::Figures::of(Unit::Inch));
    assert!((metric.fittings()[0].mass - 3.0).abs() < 1e-12);
    let units = "[units]\ntemperature = \"F\"\nmass = \"lb\"\ntorque = \"ft lb\"\n";
    let design = good(&format!("{blade}{fitting}{units}"));
    let figures = design.figures();
    assert_eq!([figures.temperature(800.0), figures.torque(100.0)], ["1472 °F", "74 ft·lb"]);
    assert!((design.fittings()[0].mass - 3.0 * 453.592_37).abs() < 1e-9);
    let text = Summary::from_design(&design).text();
    assert!(
        text.contains(" lb steel, ")
            && text.contains("wanted at most 2.000 lb, now ")
            && !text.contains(" g "),
        "{text}"
    );
    let wrong =
        read(format!("{blade}[units]\nmass = \"stone\"\n[[fitting]]\nat = -1\nmass = 500\n").as_bytes())
            .unwrap_err();
    assert_eq!(wrong.iter().map(|p| p.field.as_str()).collect::<Vec<_>>(), ["units.mass"]);
    let heavy = read(format!("{blade}[units]\nmass = \"lb\"\n[[fitting]]\nat = -1\nmass = 500\n").as_bytes())
        .unwrap_err();
    assert!(
        heavy[0].message.starts_with("500 lb is out of range") && heavy[0].help.ends_with(" to 110 lb"),
        "{heavy:#?}"
    );
}

/// Fractions are told where the file writes some; the sizes of an inch shop stand where none are given.
#[test]
fn inch_files_have_an_inch_shops_sizes_and_fractions() {
    let blade = |breadth: &str| {
        good(&format!(
            "name = \"Weir\"\nunit = \"in\"\n[outline]\nlength = 12\nbreadth = {breadth}\n[[taper]]\nat = 0\nback = 0.25\n\
             [jig]\nsize = 1.5\ntab = 0.5\n"
        ))
    };
    let (decimal, fraction) = (blade("1.25"), blade("\"1 1/4 in\""));
    assert!(!decimal.figures().fractions && fraction.figures().fractions);
    // What a decimal of three places does not tell is a fraction that was typed as a number.
    assert!(blade("1.21875").figures().fractions && !blade("1.2187").figures().fractions);
    assert_eq!([decimal.figures().side(15.875), fraction.figures().side(15.875)], ["0.625", "5/8"]);
    let (forging, jig) = (decimal.forging(), decimal.jig().unwrap());
    let told = [forging.block, forging.crop, forging.kerf, jig.depth, jig.flange, jig.flange_thickness];
    assert_eq!(
        told.map(|mm| fraction.figures().size(mm)),
        ["1 1/4 in", "3/8 in", "1/16 in", "1 1/4 in", "5/16 in", "3/16 in"]
    );
}
