//! Mistakes that beginners make in a design file: the message names the place, the cause and the remedy, and the remedy,
//! done as it says, works.

#![allow(clippy::unwrap_used, clippy::panic, reason = "helpers of tests count as tests")]

use design::Problem;

/// A sound design with a value of most kinds in it.
const SOUND: &str = r#"
name = "Ferry seax"
[outline]
form = "broken-back"
length = 300
breadth = 30
[section]
grind_line = "60 %"
[[taper]]
at = 0
back = 6
[[taper]]
at = 300
back = 3
[tang]
length = 90
breadth = 14
thickness = 3
[[tang.hole]]
at = 60
diameter = 4
[[fuller]]
start = 30
end = 150
from_back = 5
width = 5
depth = 0.7
[[fitting]]
name = "Guard"
kind = "guard"
at = -3
mass = 80
[targets]
mass = 400
taper = 20
[shop]
paper = "a4"
bed = [220, 220, 250]
[billet]
width = 12
[[layers]]
name = "Sevens"
steels = ["C75S", "75Ni8"]
count = 7
[[bar]]
height = 14
layers = "Sevens"
twist = [{ hand = "right", turns = 1, per = 25 }]
[[bar]]
name = "Edge"
height = 16
steel = "C105U"
tang = false
"#;

/// What is wrong, the sound text and the mistake in its place, the field it is told of, what is said, what is advised, and
/// the text that the advice makes of it.
struct Mistake(
    &'static str,
    &'static str,
    &'static str,
    &'static str,
    &'static str,
    &'static str,
    &'static str,
);

const MISTAKES: &[Mistake] = &[
    Mistake(
        "a weight for a mass",
        "mass = 400",
        "weight = 400",
        "targets.weight",
        "`weight` is not known",
        "did you mean `mass`?",
        "mass = 400",
    ),
    Mistake(
        "a thickness in a taper",
        "back = 6",
        "thickness = 6",
        "taper[0].thickness",
        "`thickness` is not known",
        "did you mean `back`?",
        "back = 6",
    ),
    Mistake(
        "a station in a taper",
        "at = 0\nback",
        "station = 0\nback",
        "taper[0].station",
        "`station` is not known",
        "did you mean `at`?",
        "at = 0\nback",
    ),
    Mistake(
        "a bar's thickness",
        "height = 14",
        "thickness = 14",
        "bar[0].thickness",
        "`thickness` is not known",
        "did you mean `height`?",
        "height = 14",
    ),
    Mistake(
        "one taper in single brackets",
        "[[taper]]\nat = 0",
        "[taper]\nat = 0",
        "",
        "given twice",
        "line 9 has it in single brackets: write [[taper]]",
        "[[taper]]\nat = 0",
    ),
    Mistake(
        "a tip by its form alone",
        "breadth = 30\n",
        "breadth = 30\ntip = \"flat\"\n",
        "outline.tip",
        "this is text",
        "write tip = { form = \"flat\" }",
        "breadth = 30\ntip = { form = \"flat\" }\n",
    ),
    Mistake(
        "a number without its first digit",
        "breadth = 30\n",
        "breadth = 30\ntip = { form = \"flat\", breadth = .8 }\n",
        "",
        "a digit is missing",
        "write 0.8 instead of .8",
        "breadth = 30\ntip = { form = \"flat\", breadth = 0.8 }\n",
    ),
    Mistake(
        "steels without quotes",
        "[\"C75S\", \"75Ni8\"]",
        "[C75S, 75Ni8]",
        "",
        "quotes are missing",
        "steels = [\"C75S\", \"75Ni8\"]",
        "[\"C75S\", \"75Ni8\"]",
    ),
    Mistake(
        "a comment with strokes",
        "name = \"Ferry seax\"",
        "// for the ferryman\nname = \"Ferry seax\"",
        "",
        "no = between",
        "a comment begins with #",
        "# for the ferryman\nname = \"Ferry seax\"",
    ),
    Mistake(
        "a heat in Celsius in a file of Fahrenheit",
        "[shop]\n",
        "[[steel]]\nname = \"Own\"\ncarbon = 0.8\nhardening = [790, 820]\n[units]\ntemperature = \"F\"\n[shop]\n",
        "steel[0].hardening[0]",
        "790 °F is out of range",
        "if it is meant in °C, write \"790 °C\"",
        "[[steel]]\nname = \"Own\"\ncarbon = 0.8\nhardening = [\"790 °C\", \"820 °C\"]\n[units]\ntemperature = \"F\"\n[shop]\n",
    ),
    Mistake(
        "a hollow of too small a radius",
        "grind_line = \"60 %\"\n",
        "grind_line = \"60 %\"\nbevel = \"hollow\"\nradius = 25\n",
        "section.radius",
        "",
        "give a radius of",
        "grind_line = \"60 %\"\nbevel = \"hollow\"\nradius = 200\n",
    ),
    Mistake(
        "an outline's allowance as one number",
        "[shop]\n",
        "[stages]\nforged = { outline = 0.8 }\n[shop]\n",
        "stages.forged.outline",
        "a number",
        "give a table",
        "[stages]\nforged = { outline = { edge = 0.8, back = 0.8 } }\n[shop]\n",
    ),
    Mistake(
        "an outline larger by a misspelt side",
        "[shop]\n",
        "[stages]\nforged = { outline = { edges = 0.8 } }\n[shop]\n",
        "stages.forged.outline",
        "`edges` is not known",
        "did you mean `edge`?",
        "[stages]\nforged = { outline = { edge = 0.8 } }\n[shop]\n",
    ),
    Mistake(
        "a larger outline for the wrong stage",
        "[shop]\n",
        "[stages]\nground = { outline = { edge = 0.8 } }\n[shop]\n",
        "stages.ground",
        "`outline` is not known",
        "`allowance`, `edge`",
        "[stages]\nground = { allowance = 0.15 }\n[shop]\n",
    ),
    Mistake(
        "an outline forged an inch too large",
        "[shop]\n",
        "[stages]\nforged = { outline = { edge = 20 } }\n[shop]\n",
        "stages.forged.outline.edge",
        "20 mm is out of range",
        "from 0 mm to 10 mm",
        "[stages]\nforged = { outline = { edge = 2 } }\n[shop]\n",
    ),
    Mistake(
        "a scale of heat spelt out",
        "[shop]\n",
        "[units]\ntemperature = \"Fahrenheit\"\n[shop]\n",
        "units.temperature",
        "not known here",
        "`C`, `F`",
        "[units]\ntemperature = \"F\"\n[shop]\n",
    ),
    Mistake(
        "a unit of mass spelt out",
        "[shop]\n",
        "[units]\nmass = \"grams\"\n[shop]\n",
        "units.mass",
        "not known here",
        "`g`",
        "[units]\nmass = \"g\"\n[shop]\n",
    ),
    Mistake(
        "litres spelt out",
        "[shop]\n",
        "[quench]\noil = \"10 litres\"\nflash_point = 170\n[shop]\n",
        "quench.oil",
        "no unit of volume",
        "15 L",
        "[quench]\noil = \"10 L\"\nflash_point = 170\n[shop]\n",
    ),
    Mistake(
        "scale as a share",
        "[shop]\n",
        "[forging]\nscale = \"5 %\"\n[shop]\n",
        "forging.scale",
        "no unit of length",
        "9.5 mm",
        "[forging]\nscale = \"0.05 mm\"\n[shop]\n",
    ),
    Mistake(
        "text without quotes",
        "\"Ferry seax\"",
        "Ferry seax",
        "",
        "",
        "name = \"Ferry seax\"",
        "\"Ferry seax\"",
    ),
    Mistake("curly quotes", "\"Ferry seax\"", "“Ferry seax”", "", "", "straight quotes", "\"Ferry seax\""),
    Mistake(
        "a number as a name",
        "\"Ferry seax\"",
        "42",
        "name",
        "a number",
        "put quotes around it",
        "\"42\"",
    ),
    Mistake(
        "an empty name",
        "\"Ferry seax\"",
        "\" \"",
        "name",
        "can't be a name",
        "1 to 100 characters",
        "\"A\"",
    ),
    Mistake(
        "no name",
        "name = \"Ferry seax\"\n",
        "",
        "name",
        "missing",
        "add name",
        "name = \"Ferry seax\"\n",
    ),
    Mistake("a decimal comma", "back = 3\n", "back = 3,5\n", "", "", "back = 3.5", "back = 3.5\n"),
    Mistake(
        "a decimal comma in text",
        "back = 3\n",
        "back = \"3,5 mm\"\n",
        "taper[1].back",
        "comma",
        "9.5 mm",
        "back = \"3.5 mm\"\n",
    ),
    Mistake(
        "a unit without quotes",
        "back = 3\n",
        "back = 3 mm\n",
        "",
        "",
        "back = \"3 mm\"",
        "back = \"3 mm\"\n",
    ),
    Mistake(
        "a fraction without quotes",
        "back = 3\n",
        "back = 1/8\n",
        "",
        "",
        "\"1/8 in\"",
        "back = \"1/8 in\"\n",
    ),
    Mistake(
        "a fraction without a unit",
        "back = 3\n",
        "back = \"1/8\"\n",
        "taper[1].back",
        "no unit",
        "3/8 in",
        "back = \"1/8 in\"\n",
    ),
    Mistake(
        "an inch mark without quotes",
        "back = 3\n",
        "back = 1/8\"\n",
        "",
        "",
        "\"1/8 in\"",
        "back = \"1/8 in\"\n",
    ),
    Mistake(
        "an unknown unit",
        "length = 300",
        "length = \"300 mn\"",
        "outline.length",
        "no unit of length",
        "mm",
        "length = \"300 mm\"",
    ),
    Mistake("a colon", "length = 300", "length: 300", "", "", "length = 300", "length = 300"),
    Mistake(
        "nothing after =",
        "breadth = 30\n",
        "breadth =\n",
        "",
        "",
        "give breadth a value",
        "breadth = 30\n",
    ),
    Mistake("an open bracket", "[outline]", "[outline", "", "", "close the brackets", "[outline]"),
    Mistake("an open double bracket", "[[fuller]]", "[[fuller]", "", "", "close the brackets", "[[fuller]]"),
    Mistake(
        "a key twice",
        "breadth = 30\n",
        "breadth = 30\nbreadth = 31\n",
        "",
        "given twice",
        "only once",
        "breadth = 31\n",
    ),
    Mistake(
        "a misspelt key",
        "breadth = 30\n",
        "breadht = 30\n",
        "outline.breadht",
        "not known",
        "`breadth`",
        "breadth = 30\n",
    ),
    Mistake("a misspelt table", "[section]", "[sektion]", "sektion", "not known", "`section`", "[section]"),
    Mistake(
        "a misspelt form",
        "broken-back",
        "brokenback",
        "outline.form",
        "brokenback",
        "`broken-back`",
        "broken-back",
    ),
    Mistake(
        "a key of another form",
        "form = \"broken-back\"",
        "form = \"broken-back\"\ndrop = 40",
        "outline.drop",
        "does not belong",
        "leave it out",
        "form = \"broken-back\"",
    ),
    Mistake(
        "a list's table in single brackets",
        "[[fuller]]",
        "[fuller]",
        "fuller",
        "a table",
        "[[fuller]]",
        "[[fuller]]",
    ),
    Mistake(
        "a table in double brackets",
        "[section]",
        "[[section]]",
        "section",
        "a list",
        "a table",
        "[section]",
    ),
    Mistake(
        "steels as one word",
        "[\"C75S\", \"75Ni8\"]",
        "\"C75S\"",
        "layers[0].steels",
        "text",
        "square brackets",
        "[\"C75S\", \"75Ni8\"]",
    ),
    Mistake(
        "an unknown steel",
        "\"C105U\"",
        "\"1085\"",
        "bar[1].steel",
        "1085",
        "[[steel]], then name = \"1085\"",
        "\"1084\"",
    ),
    Mistake(
        "a layer set as a steel",
        "steel = \"C105U\"",
        "steel = \"Sevens\"",
        "bar[1].steel",
        "Sevens",
        "`layers`",
        "layers = \"Sevens\"",
    ),
    Mistake(
        "an unknown layer set",
        "layers = \"Sevens\"",
        "layers = \"Seven\"",
        "bar[0].layers",
        "Seven",
        "`Sevens`",
        "layers = \"Sevens\"",
    ),
    Mistake(
        "layers of one steel",
        "[\"C75S\", \"75Ni8\"]",
        "[\"C75S\"]",
        "layers[0].steels",
        "is 1",
        "at least 2",
        "[\"C75S\", \"75Ni8\"]",
    ),
    Mistake(
        "no layers",
        "count = 7",
        "count = 0",
        "layers[0].count",
        "out of range",
        "2 layers",
        "count = 2",
    ),
    Mistake(
        "half a layer",
        "count = 7",
        "count = 7.5",
        "layers[0].count",
        "not a whole number",
        "whole number",
        "count = 7",
    ),
    Mistake(
        "degrees for turns",
        "turns = 1,",
        "turns = 360,",
        "bar[0].twist[0].turns",
        "360",
        "360 degrees is 1 turn",
        "turns = 1,",
    ),
    Mistake(
        "a clock's word for a hand",
        "\"right\"",
        "\"clockwise\"",
        "bar[0].twist[0].hand",
        "clockwise",
        "`right`, `left`",
        "\"right\"",
    ),
    Mistake(
        "turns without a hand",
        "hand = \"right\", turns",
        "turns",
        "bar[0].twist[0].hand",
        "missing",
        "right",
        "hand = \"right\", turns",
    ),
    Mistake(
        "a bar without a height",
        "height = 14\n",
        "",
        "bar[0].height",
        "missing",
        "1 mm to",
        "height = 14\n",
    ),
    Mistake(
        "a bar of nothing",
        "steel = \"C105U\"\n",
        "",
        "bar[1].steel",
        "missing",
        "`steel`, or `layers`",
        "steel = \"C105U\"\n",
    ),
    Mistake(
        "a bar of two things",
        "steel = \"C105U\"\n",
        "steel = \"C105U\"\nlayers = \"Sevens\"\n",
        "bar[1]",
        "both",
        "only one",
        "layers = \"Sevens\"\n",
    ),
    Mistake(
        "no bar in the tang",
        "layers = \"Sevens\"\n",
        "layers = \"Sevens\"\ntang = false\n",
        "bar[0].tang",
        "no bar runs into the tang",
        "leave out",
        "layers = \"Sevens\"\n",
    ),
    Mistake("no for false", "tang = false", "tang = no", "", "", "tang = false", "tang = false"),
    Mistake(
        "a billet of no bars",
        "[billet]\n",
        "[billet]\nbars = 4\n",
        "billet.bars",
        "not known",
        "width",
        "[billet]\n",
    ),
    Mistake(
        "a stack as thin as a knife",
        "width = 12",
        "width = 6",
        "billet.width",
        "",
        "`width` of at least",
        "width = 12",
    ),
    Mistake(
        "a negative length",
        "length = 300",
        "length = -300",
        "outline.length",
        "out of range",
        "20 mm to",
        "length = 300",
    ),
    Mistake(
        "no length at all",
        "length = 300",
        "length = 0",
        "outline.length",
        "out of range",
        "20 mm to",
        "length = 300",
    ),
    Mistake(
        "a length past all blades",
        "length = 300",
        "length = 30000",
        "outline.length",
        "out of range",
        "3000 mm",
        "length = 300",
    ),
    Mistake(
        "not a number",
        "length = 300",
        "length = nan",
        "outline.length",
        "not a finite number",
        "ordinary number",
        "length = 300",
    ),
    Mistake(
        "a thickness ten times too large",
        "back = 6\n",
        "back = 60\n",
        "taper[0].back",
        "out of range",
        "50 mm",
        "back = 6\n",
    ),
    Mistake(
        "a blade that swells",
        "back = 3\n",
        "back = 9\n",
        "taper[1].back",
        "grows from 6 mm to 9 mm",
        "check the figure",
        "back = 3\n",
    ),
    Mistake(
        "a station past the point",
        "at = 300\n",
        "at = 400\n",
        "taper[1].at",
        "beyond the point",
        "end the taper at the point",
        "at = 300\n",
    ),
    Mistake(
        "stations out of order",
        "at = 0\n",
        "at = 350\n",
        "taper[1].at",
        "no further from the shoulder",
        "towards the point",
        "at = 0\n",
    ),
    Mistake(
        "inches said, millimetres written",
        "name = ",
        "unit = \"in\"\nname = ",
        "unit",
        "300 inches long",
        "take the line `unit` out",
        "name = ",
    ),
    Mistake(
        "an unknown unit of the file",
        "name = ",
        "unit = \"inch\"\nname = ",
        "unit",
        "inch",
        "`in`",
        "unit = \"mm\"\nname = ",
    ),
    Mistake(
        "millimetres said, inches written",
        "length = 300\nbreadth = 30\n[section]\ngrind_line = \"60 %\"\n[[taper]]\nat = 0\nback = 6\n[[taper]]\nat = 300\nback = 3\n[tang]\nlength = 90\nbreadth = 14\nthickness = 3\n[[tang.hole]]\nat = 60\ndiameter = 4\n[[fuller]]\nstart = 30\nend = 150\nfrom_back = 5\nwidth = 5\ndepth = 0.7\n",
        "length = 12\nbreadth = 1.2\n[section]\ngrind_line = \"60 %\"\n[[taper]]\nat = 0\nback = 0.25\n[[taper]]\nat = 12\nback = 0.125\n",
        "unit",
        "12 mm long",
        "put unit = \"in\" under the name",
        "length = \"12 in\"\nbreadth = \"1.2 in\"\n[section]\ngrind_line = \"60 %\"\n[[taper]]\nat = 0\nback = 6\n[[taper]]\nat = 300\nback = 3\n",
    ),
    Mistake("a grind line over the back", "\"60 %\"", "\"160 %\"", "section.grind_line", "", "", "\"60 %\""),
    Mistake(
        "a tang of half a millimetre",
        "thickness = 3\n",
        "thickness = 0.5\n",
        "tang.thickness",
        "will bend",
        "1 mm",
        "thickness = 1.5\n",
    ),
    Mistake(
        "a tang as broad as the blade",
        "breadth = 14\n",
        "breadth = 40\n",
        "tang",
        "bigger than",
        "narrower",
        "breadth = 14\n",
    ),
    Mistake(
        "a hole past the tang",
        "at = 60\n",
        "at = 200\n",
        "tang.hole[0]",
        "within the tang",
        "",
        "at = 60\n",
    ),
    Mistake(
        "a fuller deeper than round",
        "depth = 0.7",
        "depth = 3",
        "fuller[0].depth",
        "too deep",
        "0.45 of the width",
        "depth = 0.7",
    ),
    Mistake(
        "a fuller into the point",
        "end = 150",
        "end = 299",
        "fuller[0].end",
        "in the point",
        "or sooner",
        "end = 150",
    ),
    Mistake(
        "a guard on the blade",
        "at = -3\n",
        "at = 30\n",
        "fitting[0].at",
        "sits on the blade",
        "minus",
        "at = -3\n",
    ),
    Mistake(
        "a guard of one gram",
        "mass = 80",
        "mass = 1",
        "fitting[0].mass",
        "less than a coin",
        "\"1 kg\"",
        "mass = \"80 g\"",
    ),
    Mistake("targets without a target", "mass = 400\n", "", "targets", "", "mass", "mass = 400\n"),
    Mistake(
        "bars in single brackets",
        "[[bar]]\nname",
        "[bar]\nname",
        "",
        "given twice",
        "single brackets: write [[bar]]",
        "[[bar]]\nname",
    ),
    Mistake(
        "layers in single brackets",
        "[[layers]]",
        "[layers]",
        "layers",
        "a table",
        "[[layers]]",
        "[[layers]]",
    ),
    Mistake(
        "one steel beside a billet",
        "name = \"Ferry seax\"\n",
        "name = \"Ferry seax\"\nsteel = \"1084\"\n",
        "steel",
        "a blade of one steel",
        "take this line out",
        "name = \"Ferry seax\"\n",
    ),
    Mistake(
        "a twist that tears the bar",
        "turns = 1,",
        "turns = 4,",
        "bar[0].twist[0].turns",
        "tear",
        "give at most 2.",
        "turns = 2,",
    ),
    Mistake(
        "a pitch of nothing",
        "turns = 1, per = 25",
        "pitch = 0",
        "bar[0].twist[0].pitch",
        "0 mm is out of range",
        "from 1 mm to 3000 mm",
        "pitch = 90",
    ),
    Mistake(
        "a pitch below nothing",
        "turns = 1, per = 25",
        "pitch = -90",
        "bar[0].twist[0].pitch",
        "-90 mm is out of range",
        "from 1 mm to 3000 mm",
        "pitch = 90",
    ),
    Mistake(
        "a pitch that is no number",
        "turns = 1, per = 25",
        "pitch = nan",
        "bar[0].twist[0].pitch",
        "not a finite number",
        "ordinary number",
        "pitch = 90",
    ),
    Mistake(
        "a pitch in words",
        "turns = 1, per = 25",
        "pitch = \"fine\"",
        "bar[0].twist[0].pitch",
        "fine",
        "write it like",
        "pitch = 90",
    ),
    Mistake(
        "both turns and a pitch",
        "turns = 1, per = 25",
        "turns = 1, pitch = 90",
        "bar[0].twist[0].pitch",
        "both given",
        "only one of `turns` and `pitch`",
        "pitch = 90",
    ),
    Mistake(
        "turns counted over a length beside a pitch",
        "turns = 1, per = 25",
        "pitch = 90, per = 25",
        "bar[0].twist[0].per",
        "does not belong to a stretch with `pitch`",
        "leave it out",
        "pitch = 90",
    ),
    Mistake(
        "a pitch without a hand",
        "hand = \"right\", turns = 1, per = 25",
        "pitch = 90",
        "bar[0].twist[0].hand",
        "missing",
        "for the pitch",
        "hand = \"right\", pitch = 90",
    ),
    Mistake(
        "teeth at the back, where there is no weld",
        "height = 14\n",
        "height = 14\nserrated = { period = 12, depth = 2 }\n",
        "bar[0].serrated",
        "no bar above it to weld to",
        "the one nearer to the edge",
        "height = 14\n",
    ),
    Mistake(
        "teeth deeper than their bar",
        "height = 16\n",
        "height = 16\nserrated = { period = 12, depth = 30 }\n",
        "bar[1].serrated.depth",
        "leave too little of",
        "give a depth of at most",
        "height = 16\nserrated = { period = 12, depth = 8 }\n",
    ),
    Mistake(
        "teeth of no depth",
        "height = 16\n",
        "height = 16\nserrated = { period = 12, depth = 0 }\n",
        "bar[1].serrated.depth",
        "0 mm",
        "from 0.2 mm to 40 mm",
        "height = 16\nserrated = { period = 12, depth = 0.2 }\n",
    ),
    Mistake(
        "teeth without a period",
        "height = 16\n",
        "height = 16\nserrated = { depth = 2 }\n",
        "bar[1].serrated.period",
        "missing",
        "from 4 mm to 200 mm",
        "height = 16\nserrated = { period = 12, depth = 2 }\n",
    ),
    Mistake(
        "teeth of an absurd period",
        "height = 16\n",
        "height = 16\nserrated = { period = 1e7, depth = 2 }\n",
        "bar[1].serrated.period",
        "mm",
        "from 4 mm to 200 mm",
        "height = 16\nserrated = { period = 200, depth = 2 }\n",
    ),
    Mistake(
        "a period that is no number",
        "height = 16\n",
        "height = 16\nserrated = { period = nan, depth = 2 }\n",
        "bar[1].serrated.period",
        "not a finite number",
        "number",
        "height = 16\nserrated = { period = 12, depth = 2 }\n",
    ),
    Mistake(
        "a word that is no direction",
        "twist = [{ hand = \"right\", turns = 1, per = 25 }]\n",
        "direction = \"slanting\"\n",
        "bar[0].direction",
        "slanting",
        "`upright`",
        "direction = 40\n",
    ),
    Mistake(
        "an angle in another unit",
        "twist = [{ hand = \"right\", turns = 1, per = 25 }]\n",
        "direction = \"0.5 rads\"\n",
        "bar[0].direction",
        "0.5 rads",
        "deg",
        "direction = \"30 deg\"\n",
    ),
    Mistake(
        "a list for a direction",
        "twist = [{ hand = \"right\", turns = 1, per = 25 }]\n",
        "direction = [30]\n",
        "bar[0].direction",
        "list",
        "an angle",
        "direction = -30\n",
    ),
    Mistake(
        "an angle beyond square",
        "twist = [{ hand = \"right\", turns = 1, per = 25 }]\n",
        "direction = 120\n",
        "bar[0].direction",
        "120 deg",
        "from -90 deg to 90 deg",
        "direction = 90\n",
    ),
    Mistake(
        "an angle that is no number",
        "twist = [{ hand = \"right\", turns = 1, per = 25 }]\n",
        "direction = nan\n",
        "bar[0].direction",
        "not a finite number",
        "number",
        "direction = 0\n",
    ),
    Mistake(
        "a twist of leaning layers",
        "layers = \"Sevens\"\n",
        "layers = \"Sevens\"\ndirection = 30\n",
        "bar[0].twist",
        "can't be twisted",
        "\"upright\"",
        "layers = \"Sevens\"\ndirection = \"upright\"\n",
    ),
    Mistake(
        "a twist of slices",
        "layers = \"Sevens\"\n",
        "layers = \"Sevens\"\nslope = 30\n",
        "bar[0].twist",
        "can't be twisted",
        "without `slope`",
        "layers = \"Sevens\"\n",
    ),
    Mistake(
        "leaning layers turned by a phase",
        "twist = [{ hand = \"right\", turns = 1, per = 25 }]\n",
        "direction = 30\nphase = 20\n",
        "bar[0].phase",
        "can't be turned by `phase`",
        "take `phase` out",
        "direction = 30\n",
    ),
    Mistake(
        "layers that lean and slope",
        "twist = [{ hand = \"right\", turns = 1, per = 25 }]\n",
        "direction = 30\nslope = 20\n",
        "bar[0].slope",
        "can't lean in its section too",
        "take `slope` out",
        "direction = \"flat\"\nslope = 20\n",
    ),
    Mistake(
        "hardly a slope",
        "twist = [{ hand = \"right\", turns = 1, per = 25 }]\n",
        "slope = 0.5\n",
        "bar[0].slope",
        "0.50 deg",
        "1 deg or more",
        "slope = 1\n",
    ),
    Mistake(
        "no slope at all",
        "twist = [{ hand = \"right\", turns = 1, per = 25 }]\n",
        "slope = 0\n",
        "bar[0].slope",
        "0.00 deg",
        "take `slope` out",
        "",
    ),
    Mistake(
        "a slope too steep for slices",
        "twist = [{ hand = \"right\", turns = 1, per = 25 }]\n",
        "slope = -75\n",
        "bar[0].slope",
        "-75 deg",
        "from -60 deg to 60 deg",
        "slope = -60\n",
    ),
    Mistake(
        "a plug without a place",
        "steel = \"C105U\"\n",
        "steel = \"C105U\"\nplugs = [{ diameter = 5, steel = \"75Ni8\" }]\n",
        "bar[1].plugs[0].at",
        "`at` is missing",
        "`station` on the finished blade",
        "steel = \"C105U\"\nplugs = [{ station = 90, diameter = 5, steel = \"75Ni8\" }]\n",
    ),
    Mistake(
        "a plug at two places",
        "steel = \"C105U\"\n",
        "steel = \"C105U\"\nplugs = [{ at = 60, station = 90, diameter = 5, steel = \"75Ni8\" }]\n",
        "bar[1].plugs[0].station",
        "are both given",
        "only one",
        "steel = \"C105U\"\nplugs = [{ at = 60, diameter = 5, steel = \"75Ni8\" }]\n",
    ),
    Mistake(
        "a plug without a diameter",
        "steel = \"C105U\"\n",
        "steel = \"C105U\"\nplugs = [{ at = 60, steel = \"75Ni8\" }]\n",
        "bar[1].plugs[0].diameter",
        "missing",
        "from 2 mm to 40 mm",
        "steel = \"C105U\"\nplugs = [{ at = 60, diameter = 5, steel = \"75Ni8\" }]\n",
    ),
    Mistake(
        "a plug of no diameter",
        "steel = \"C105U\"\n",
        "steel = \"C105U\"\nplugs = [{ at = 60, diameter = 0, steel = \"75Ni8\" }]\n",
        "bar[1].plugs[0].diameter",
        "out of range",
        "from 2 mm to 40 mm",
        "steel = \"C105U\"\nplugs = [{ at = 60, diameter = 2, steel = \"75Ni8\" }]\n",
    ),
    Mistake(
        "a plug of less than no diameter",
        "steel = \"C105U\"\n",
        "steel = \"C105U\"\nplugs = [{ at = 60, diameter = -5, steel = \"75Ni8\" }]\n",
        "bar[1].plugs[0].diameter",
        "out of range",
        "from 2 mm to 40 mm",
        "steel = \"C105U\"\nplugs = [{ at = 60, diameter = 5, steel = \"75Ni8\" }]\n",
    ),
    Mistake(
        "a plug of a diameter that is no number",
        "steel = \"C105U\"\n",
        "steel = \"C105U\"\nplugs = [{ at = 60, diameter = nan, steel = \"75Ni8\" }]\n",
        "bar[1].plugs[0].diameter",
        "not a finite number",
        "number",
        "steel = \"C105U\"\nplugs = [{ at = 60, diameter = 5, steel = \"75Ni8\" }]\n",
    ),
    Mistake(
        "a plug of an unknown steel",
        "steel = \"C105U\"\n",
        "steel = \"C105U\"\nplugs = [{ at = 60, diameter = 5, steel = \"75Ni9\" }]\n",
        "bar[1].plugs[0].steel",
        "not known here",
        "75Ni8",
        "steel = \"C105U\"\nplugs = [{ at = 60, diameter = 5, steel = \"75Ni8\" }]\n",
    ),
    Mistake(
        "a plug of layers",
        "steel = \"C105U\"\n",
        "steel = \"C105U\"\nplugs = [{ at = 60, diameter = 5, steel = \"Sevens\" }]\n",
        "bar[1].plugs[0].steel",
        "not known here",
        "layer set",
        "steel = \"C105U\"\nplugs = [{ at = 60, diameter = 5, steel = \"75Ni8\" }]\n",
    ),
    Mistake(
        "a plug of no steel",
        "steel = \"C105U\"\n",
        "steel = \"C105U\"\nplugs = [{ at = 60, diameter = 5 }]\n",
        "bar[1].plugs[0].steel",
        "missing",
        "by its name",
        "steel = \"C105U\"\nplugs = [{ at = 60, diameter = 5, steel = \"75Ni8\" }]\n",
    ),
    Mistake(
        "a plug thicker than its bar",
        "steel = \"C105U\"\n",
        "steel = \"C105U\"\nplugs = [{ at = 60, diameter = 17, steel = \"75Ni8\" }]\n",
        "bar[1].plugs[0].diameter",
        "leaves less than 1.5 mm of a bar 16 mm high",
        "at most 13 mm",
        "steel = \"C105U\"\nplugs = [{ at = 60, diameter = 5, steel = \"75Ni8\" }]\n",
    ),
    Mistake(
        "a plug near the face of its bar",
        "steel = \"C105U\"\n",
        "steel = \"C105U\"\nplugs = [{ at = 60, diameter = 5, height = 13, steel = \"75Ni8\" }]\n",
        "bar[1].plugs[0].height",
        "leaves less than 1.5 mm of the bar beside it",
        "from 4 mm to 12 mm",
        "steel = \"C105U\"\nplugs = [{ at = 60, diameter = 5, height = 12, steel = \"75Ni8\" }]\n",
    ),
    Mistake(
        "a plug in the shoulder",
        "steel = \"C105U\"\n",
        "steel = \"C105U\"\nplugs = [{ at = 2, diameter = 5, steel = \"75Ni8\" }]\n",
        "bar[1].plugs[0].at",
        "less than 3 mm",
        "from 5.5 mm",
        "steel = \"C105U\"\nplugs = [{ at = 5.5, diameter = 5, steel = \"75Ni8\" }]\n",
    ),
    Mistake(
        "a plug behind the shoulder",
        "steel = \"C105U\"\n",
        "steel = \"C105U\"\nplugs = [{ at = -20, diameter = 5, steel = \"75Ni8\" }]\n",
        "bar[1].plugs[0].at",
        "out of range",
        "from 0 mm",
        "steel = \"C105U\"\nplugs = [{ at = 60, diameter = 5, steel = \"75Ni8\" }]\n",
    ),
    Mistake(
        "a plug at the point",
        "steel = \"C105U\"\n",
        "steel = \"C105U\"\nplugs = [{ station = 299, diameter = 5, steel = \"75Ni8\" }]\n",
        "bar[1].plugs[0].station",
        "less than 3 mm",
        "give a station from",
        "steel = \"C105U\"\nplugs = [{ station = 200, diameter = 5, steel = \"75Ni8\" }]\n",
    ),
    Mistake(
        "a plug off the blade",
        "steel = \"C105U\"\n",
        "steel = \"C105U\"\nplugs = [{ station = 340, diameter = 5, steel = \"75Ni8\" }]\n",
        "bar[1].plugs[0].station",
        "station 340 mm lies past the point at 300 mm",
        "give stations up to 300 mm",
        "steel = \"C105U\"\nplugs = [{ station = 200, diameter = 5, steel = \"75Ni8\" }]\n",
    ),
    Mistake(
        "a plug off the bar",
        "steel = \"C105U\"\n",
        "steel = \"C105U\"\nplugs = [{ at = 290, diameter = 5, steel = \"75Ni8\" }]\n",
        "bar[1].plugs[0].at",
        "less than 3 mm",
        "give a place along the bar from",
        "steel = \"C105U\"\nplugs = [{ at = 60, diameter = 5, steel = \"75Ni8\" }]\n",
    ),
    Mistake(
        "plugs in each other",
        "steel = \"C105U\"\n",
        "steel = \"C105U\"\nplugs = [{ at = 60, diameter = 5, steel = \"75Ni8\" }, { at = 62, diameter = 5, steel = \"75Ni8\" }]\n",
        "bar[1].plugs[1]",
        "only 0 mm",
        "2 mm or more",
        "steel = \"C105U\"\nplugs = [{ at = 60, diameter = 5, steel = \"75Ni8\" }, { at = 67, diameter = 5, steel = \"75Ni8\" }]\n",
    ),
    Mistake(
        "plugs nearly in each other",
        "steel = \"C105U\"\n",
        "steel = \"C105U\"\nplugs = [{ at = 60, diameter = 5, steel = \"75Ni8\" }, { at = 66, diameter = 5, steel = \"75Ni8\" }]\n",
        "bar[1].plugs[1]",
        "only 1 mm",
        "2 mm or more",
        "steel = \"C105U\"\nplugs = [{ at = 60, diameter = 5, steel = \"75Ni8\" }, { at = 67, diameter = 5, steel = \"75Ni8\" }]\n",
    ),
    Mistake(
        "a plug where the bar is twisted",
        "twist = [{ hand = \"right\", turns = 1, per = 25 }]\n",
        "twist = [{ hand = \"right\", turns = 1, per = 25 }]\nplugs = [{ station = 60, diameter = 5, steel = \"75Ni8\" }]\n",
        "bar[0].plugs[0].station",
        "twisted here",
        "`straight = true`",
        "twist = [{ hand = \"right\", turns = 1, to = 40 }, { straight = true, to = 80 }, { hand = \"right\", turns = 1 }]\nplugs = [{ station = 60, diameter = 5, steel = \"75Ni8\" }]\n",
    ),
    Mistake(
        "a plug in slices",
        "twist = [{ hand = \"right\", turns = 1, per = 25 }]\n",
        "slope = 20\nplugs = [{ at = 60, diameter = 5, steel = \"75Ni8\" }]\n",
        "bar[0].plugs",
        "slices",
        "take `slope` out",
        "plugs = [{ at = 60, diameter = 5, steel = \"75Ni8\" }]\n",
    ),
    Mistake(
        "a plug in a wrapped bar",
        "steel = \"C105U\"\n",
        "steel = \"C105U\"\nwrap = { steel = \"C75S\", sides = 2 }\nplugs = [{ at = 60, diameter = 5, steel = \"75Ni8\" }]\n",
        "bar[1].plugs",
        "`wrap`",
        "bar of one piece",
        "steel = \"C105U\"\nplugs = [{ at = 60, diameter = 5, steel = \"75Ni8\" }]\n",
    ),
    Mistake(
        "a plug beside another bar",
        "steel = \"C105U\"\n",
        "steel = \"C105U\"\nbeside = [{ steel = \"C75S\" }]\nplugs = [{ at = 60, diameter = 5, steel = \"75Ni8\" }]\n",
        "bar[1].plugs",
        "`beside`",
        "bar of one piece",
        "steel = \"C105U\"\nplugs = [{ at = 60, diameter = 5, steel = \"75Ni8\" }]\n",
    ),
    Mistake(
        "a plug under teeth",
        "steel = \"C105U\"\n",
        "steel = \"C105U\"\nserrated = { period = 14, depth = 2 }\nplugs = [{ at = 60, diameter = 5, steel = \"75Ni8\" }]\n",
        "bar[1].plugs",
        "serrated",
        "take `serrated` out",
        "steel = \"C105U\"\nplugs = [{ at = 60, diameter = 5, steel = \"75Ni8\" }]\n",
    ),
    Mistake(
        "a plug over teeth",
        "twist = [{ hand = \"right\", turns = 1, per = 25 }]\n",
        "plugs = [{ at = 60, diameter = 5, steel = \"75Ni8\" }]\n[[bar]]\nheight = 9\nsteel = \"C45\"\nserrated = { period = 14, depth = 2 }\n",
        "bar[0].plugs",
        "serrated",
        "take `serrated` out",
        "plugs = [{ at = 60, diameter = 5, steel = \"75Ni8\" }]\n",
    ),
    Mistake(
        "a twist that is one",
        "twist = [{ hand = \"right\", turns = 1, per = 25 }]\n",
        "twist = { hand = \"right\", turns = 1, per = 25 }\n",
        "bar[0].twist",
        "this is a table",
        "twist = [{ ... }]",
        "twist = [{ hand = \"right\", turns = 1, per = 25 }]\n",
    ),
    Mistake(
        "a number in the place of a list",
        "count = 7\n",
        "count = 7\nrestack = 2\n",
        "layers[0].restack",
        "this is a number",
        "square brackets, as in [2]",
        "count = 7\nrestack = [2]\n",
    ),
    Mistake(
        "an edge that does not harden",
        "\"C105U\"",
        "\"mild steel\"",
        "bar[1].steel",
        "stays soft",
        "0.6 % carbon or more",
        "\"C105U\"",
    ),
    Mistake(
        "grams in a file of ounces",
        "mass = 80\n[targets]\nmass = 400\n",
        "mass = 35\n[units]\nmass = \"oz\"\n[targets]\nmass = 14\n",
        "fitting[0].mass",
        "more than most blades",
        "write \"35 g\"",
        "mass = \"35 g\"\n[units]\nmass = \"oz\"\n[targets]\nmass = 14\n",
    ),
    Mistake(
        "plugs that are one",
        "steel = \"C105U\"\n",
        "steel = \"C105U\"\nplugs = { at = 60, diameter = 5, steel = \"75Ni8\" }\n",
        "bar[1].plugs",
        "this is a table",
        "plugs = [{ ... }]",
        "steel = \"C105U\"\nplugs = [{ at = 60, diameter = 5, steel = \"75Ni8\" }]\n",
    ),
    Mistake(
        "a key that no plug has",
        "steel = \"C105U\"\n",
        "steel = \"C105U\"\nplugs = [{ at = 60, diameter = 5, round = 5, steel = \"75Ni8\" }]\n",
        "bar[1].plugs[0].round",
        "round",
        "diameter",
        "steel = \"C105U\"\nplugs = [{ at = 60, diameter = 5, steel = \"75Ni8\" }]\n",
    ),
    Mistake(
        "a slope that never ends",
        "twist = [{ hand = \"right\", turns = 1, per = 25 }]\n",
        "slope = inf\n",
        "bar[0].slope",
        "not a finite number",
        "number",
        "slope = 45\n",
    ),
    Mistake(
        "a slope of one steel",
        "height = 16\n",
        "height = 16\nslope = 20\n",
        "bar[1].slope",
        "does not belong",
        "`steel`",
        "height = 16\n",
    ),
    Mistake(
        "a tapered bar of slices",
        "height = 14\nlayers = \"Sevens\"\ntwist = [{ hand = \"right\", turns = 1, per = 25 }]\n",
        "height = [14, 10]\nlayers = \"Sevens\"\nslope = 20\n",
        "bar[0].height",
        "can't be tapered",
        "one `height`",
        "height = 14\nlayers = \"Sevens\"\nslope = 20\n",
    ),
    Mistake(
        "a wrap as thick as its bar",
        "height = 16\n",
        "height = 16\nwrap = { steel = \"C45\", edge = 15.5, sides = 2 }\n",
        "bar[1].wrap.edge",
        "takes 15.5 mm of a height of 16 mm",
        "1 mm or more is left",
        "height = 16\nwrap = { steel = \"C45\", edge = 3, sides = 2 }\n",
    ),
    Mistake(
        "skins that fill the width",
        "height = 16\n",
        "height = 16\nwrap = { steel = \"C45\", edge = 3, sides = 6 }\n",
        "bar[1].wrap.sides",
        "takes 12 mm of a width of 12 mm",
        "1 mm or more is left",
        "height = 16\nwrap = { steel = \"C45\", edge = 3, sides = 5.5 }\n",
    ),
    Mistake(
        "a strip on one face only",
        "height = 16\n",
        "height = 16\nwrap = { steel = \"C45\", edge = 3 }\n",
        "bar[1].wrap.sides",
        "missing",
        "from 0.5 mm to 20 mm",
        "height = 16\nwrap = { steel = \"C45\", edge = 3, sides = 2 }\n",
    ),
    Mistake(
        "skins of nothing",
        "height = 16\n",
        "height = 16\nwrap = { steel = \"C45\", sides = 0 }\n",
        "bar[1].wrap.sides",
        "0 mm",
        "from 0.5 mm to 20 mm",
        "height = 16\nwrap = { steel = \"C45\", sides = 0.5 }\n",
    ),
    Mistake(
        "a skin that is no number",
        "height = 16\n",
        "height = 16\nwrap = { steel = \"C45\", sides = nan }\n",
        "bar[1].wrap.sides",
        "not a finite number",
        "number",
        "height = 16\nwrap = { steel = \"C45\", sides = 2 }\n",
    ),
    Mistake(
        "a skin thinner than a weld bears",
        "height = 16\n",
        "height = 16\nwrap = { steel = \"C45\", sides = 2, back = 0.1 }\n",
        "bar[1].wrap.back",
        "0.1 mm",
        "or 0 for none",
        "height = 16\nwrap = { steel = \"C45\", sides = 2, back = 0 }\n",
    ),
    Mistake(
        "a wrap of a steel that is not known",
        "height = 16\n",
        "height = 16\nwrap = { steel = \"C46\", sides = 2 }\n",
        "bar[1].wrap.steel",
        "C46",
        "C45",
        "height = 16\nwrap = { steel = \"C45\", sides = 2 }\n",
    ),
    Mistake(
        "a wrap without a steel",
        "height = 16\n",
        "height = 16\nwrap = { sides = 2 }\n",
        "bar[1].wrap.steel",
        "missing",
        "give the bar's `steel`",
        "height = 16\nwrap = { steel = \"C45\", sides = 2 }\n",
    ),
    Mistake(
        "a wrap that is twisted",
        "height = 16\n",
        "height = 16\nwrap = { steel = \"C45\", sides = 2, twist = [{ hand = \"left\", turns = 1 }] }\n",
        "bar[1].wrap.twist",
        "twist",
        "known here",
        "height = 16\nwrap = { steel = \"C45\", sides = 2 }\n",
    ),
    Mistake(
        "a wrap named as a bar is",
        "height = 16\n",
        "height = 16\nwrap = { name = \"Edge\", steel = \"C45\", sides = 2 }\n",
        "bar[1].wrap.name",
        "used twice",
        "its own name",
        "height = 16\nwrap = { name = \"Saddle\", steel = \"C45\", sides = 2 }\n",
    ),
    Mistake(
        "a bar beside as wide as the stack",
        "height = 16\n",
        "height = 16\nbeside = [{ steel = \"C45\", width = 11.5 }]\n",
        "bar[1].beside",
        "take 11.5 mm of a width of 12 mm",
        "1 mm or more",
        "height = 16\nbeside = [{ steel = \"C45\", width = 11 }]\n",
    ),
    Mistake(
        "a bar beside of no width",
        "height = 16\n",
        "height = 16\nbeside = [{ steel = \"C45\", width = 0 }]\n",
        "bar[1].beside[0].width",
        "0 mm",
        "from 1 mm to 60 mm",
        "height = 16\nbeside = [{ steel = \"C45\", width = 1 }]\n",
    ),
    Mistake(
        "a bar beside of nothing",
        "height = 16\n",
        "height = 16\nbeside = [{ width = 3 }]\n",
        "bar[1].beside[0].steel",
        "missing",
        "or `layers`",
        "height = 16\nbeside = [{ steel = \"C45\", width = 3 }]\n",
    ),
    Mistake(
        "a plain bar beside that is twisted",
        "height = 16\n",
        "height = 16\nbeside = [{ steel = \"C45\", twist = [{ hand = \"left\", turns = 1 }] }]\n",
        "bar[1].beside[0].twist",
        "does not belong to a bar of one steel",
        "leave it out",
        "height = 16\nbeside = [{ steel = \"C45\" }]\n",
    ),
    Mistake(
        "turns that were meant as degrees, beside",
        "height = 16\n",
        "height = 16\nbeside = [{ layers = \"Sevens\", twist = [{ hand = \"left\", turns = 90 }] }]\n",
        "bar[1].beside[0].twist[0].turns",
        "90",
        "turns",
        "height = 16\nbeside = [{ layers = \"Sevens\", twist = [{ hand = \"left\", turns = 0.25 }] }]\n",
    ),
    Mistake(
        "teeth of a wrapped bar",
        "height = 16\n",
        "height = 16\nwrap = { steel = \"C45\", sides = 2 }\nserrated = { period = 12, depth = 2 }\n",
        "bar[1].serrated",
        "can't be serrated",
        "take `serrated` out",
        "height = 16\nwrap = { steel = \"C45\", sides = 2 }\n",
    ),
    Mistake(
        "four bars beside one",
        "height = 16\n",
        "height = 16\nbeside = [{ steel = \"C45\" }, { steel = \"C45\" }, { steel = \"C45\" }, { steel = \"C45\" }]\n",
        "bar[1].beside",
        "4 bars beside this one",
        "at most 3",
        "height = 16\nbeside = [{ steel = \"C45\" }, { steel = \"C45\" }, { steel = \"C45\" }]\n",
    ),
    Mistake(
        "a bar of two that is tapered",
        "height = 14\n",
        "height = [14, 10]\nbeside = [{ steel = \"C45\" }]\n",
        "bar[0].height",
        "can't be tapered",
        "give one height",
        "height = 14\nbeside = [{ steel = \"C45\" }]\n",
    ),
    Mistake(
        "a taper of one height",
        "height = 14\n",
        "height = [14]\n",
        "bar[0].height",
        "this list has 1",
        "two such as [14, 10]",
        "height = [14, 10]\n",
    ),
    Mistake(
        "a taper of three heights",
        "height = 14\n",
        "height = [14, 12, 10]\n",
        "bar[0].height",
        "this list has 3",
        "from shoulder to point",
        "height = [14, 10]\n",
    ),
    Mistake(
        "a taper of nothing",
        "height = 14\n",
        "height = []\n",
        "bar[0].height",
        "this list has 0",
        "give one height",
        "height = 14\n",
    ),
    Mistake(
        "a taper to nothing",
        "height = 14\n",
        "height = [14, 0]\n",
        "bar[0].height[1]",
        "0 mm",
        "from 1 mm to 100 mm",
        "height = [14, 1]\n",
    ),
    Mistake(
        "a taper to what is no number",
        "height = 14\n",
        "height = [nan, 14]\n",
        "bar[0].height[0]",
        "not a finite number",
        "number",
        "height = [12, 14]\n",
    ),
    Mistake(
        "a taper with places and heights mixed",
        "height = 14\n",
        "height = [{ at = 0, is = 14 }, 10]\n",
        "bar[0].height[1]",
        "number",
        "table",
        "height = [{ at = 0, is = 14 }, { at = 90, is = 10 }]\n",
    ),
    Mistake(
        "a height's place without its height",
        "height = 14\n",
        "height = [{ at = 0, is = 14 }, { at = 90 }]\n",
        "bar[0].height[1].is",
        "missing",
        "the height of the bar there",
        "height = [{ at = 0, is = 14 }, { at = 90, is = 10 }]\n",
    ),
    Mistake(
        "heights' places out of order",
        "height = 14\n",
        "height = [{ at = 90, is = 10 }, { at = 90, is = 14 }]\n",
        "bar[0].height[1].at",
        "no further from the shoulder",
        "from the shoulder towards the point",
        "height = [{ at = 20, is = 10 }, { at = 90, is = 14 }]\n",
    ),
    Mistake(
        "a height behind the shoulder",
        "height = 14\n",
        "height = [{ at = -20, is = 10 }, { at = 90, is = 14 }]\n",
        "bar[0].height[0].at",
        "-20 mm",
        "from 0 mm",
        "height = [{ at = 0, is = 10 }, { at = 90, is = 14 }]\n",
    ),
    Mistake(
        "a height that the bar does not reach",
        "height = 14\n",
        "height = [{ at = 0, is = 14 }, { at = 260, is = 10 }]\n",
        "bar[0].height[1].at",
        "but the bar ends at",
        "give places up to",
        "height = [{ at = 0, is = 14 }, { at = 90, is = 10 }]\n",
    ),
    Mistake(
        "an absurd height at a place",
        "height = 14\n",
        "height = [{ at = 0, is = 14 }, { at = 90, is = 1e9 }]\n",
        "bar[0].height[1].is",
        "mm",
        "to 100 mm",
        "height = [{ at = 0, is = 14 }, { at = 90, is = 16 }]\n",
    ),
    Mistake(
        "a pitch without stations",
        "turns = 1, per = 25",
        "pitch = []",
        "bar[0].twist[0].pitch",
        "missing",
        "at least one station",
        "pitch = [{ at = 0, is = 90 }]",
    ),
    Mistake(
        "a pitch's station without its length",
        "turns = 1, per = 25",
        "pitch = [{ at = 0 }]",
        "bar[0].twist[0].pitch[0].is",
        "missing",
        "length of a full turn",
        "pitch = [{ at = 0, is = 90 }]",
    ),
    Mistake(
        "a pitch's stations out of order",
        "turns = 1, per = 25",
        "pitch = [{ at = 200, is = 90 }, { at = 100, is = 80 }]",
        "bar[0].twist[0].pitch[1].at",
        "no further from the shoulder",
        "from the shoulder towards the point",
        "pitch = [{ at = 100, is = 80 }, { at = 200, is = 90 }]",
    ),
    Mistake(
        "a pitch's station past the point",
        "turns = 1, per = 25",
        "pitch = [{ at = 0, is = 80 }, { at = 310, is = 90 }]",
        "bar[0].twist[0].pitch[1].at",
        "past the point at 300 mm",
        "up to 300 mm",
        "pitch = [{ at = 0, is = 80 }, { at = 300, is = 90 }]",
    ),
    Mistake(
        "a pitch tighter than the bar bears",
        "turns = 1, per = 25",
        "pitch = 14",
        "bar[0].twist[0].pitch",
        "over 525 % they tear",
        "give a `pitch` of at least 66.4 mm",
        "pitch = 66.4",
    ),
    Mistake(
        "a stretch that ends past the point",
        "turns = 1, per = 25",
        "pitch = 90, to = 400",
        "bar[0].twist[0].to",
        "past the point at 300 mm",
        "up to 300 mm",
        "pitch = 90, to = 300",
    ),
    Mistake(
        "a stretch that begins before the shoulder",
        "turns = 1, per = 25",
        "pitch = 90, from = -20",
        "bar[0].twist[0].from",
        "-20 mm is out of range",
        "from 0 mm",
        "pitch = 90, from = 0",
    ),
    Mistake(
        "a stretch that ends before it begins",
        "turns = 1, per = 25",
        "pitch = 90, from = 200, to = 100",
        "bar[0].twist[0].to",
        "station 100 mm comes after 200 mm",
        "from the shoulder towards the point",
        "pitch = 90, from = 100, to = 200",
    ),
    Mistake(
        "stretches that overlap",
        "turns = 1, per = 25",
        "pitch = 90, to = 150 }, { from = 120, straight = true",
        "bar[0].twist[1].from",
        "the one before it ends at 150 mm",
        "begin at 150 mm",
        "pitch = 90, to = 150 }, { from = 150, straight = true",
    ),
    Mistake(
        "stretches without a border between them",
        "turns = 1, per = 25",
        "pitch = 90, from = 20 }, { straight = true, to = 150",
        "bar[0].twist[1].from",
        "missing",
        "`to` of the stretch before it",
        "pitch = 90, from = 20, to = 100 }, { straight = true, to = 150",
    ),
    Mistake(
        "lengths of the bar beside stations of the blade",
        "turns = 1, per = 25",
        "pitch = 90, length = 40 }, { from = 120, straight = true",
        "bar[0].twist[0].length",
        "counts along the bar",
        "all stretches of the bar by `from` and `to`",
        "pitch = 90, to = 120 }, { straight = true",
    ),
    Mistake(
        "a straight stretch with a hand",
        "turns = 1, per = 25",
        "straight = true",
        "bar[0].twist[0].hand",
        "does not belong to a straight stretch",
        "leave it out",
        "turns = 1",
    ),
    Mistake(
        "a tab thicker than the bar it is forged on",
        "[billet]\n",
        "[jig]\nsize = 40\ntab = 20\n[billet]\n",
        "jig.tab",
        "is 13.",
        "at most 13.",
        "[jig]\nsize = 40\ntab = 12\n[billet]\n",
    ),
    Mistake(
        "a jig for another bar",
        "[billet]\n",
        "[jig]\nsize = 40\ntab = 12\nbar = 30\n[billet]\n",
        "jig.bar",
        "the jig is for a bar of 30 mm",
        "bar = \"13.1 mm\"",
        "[jig]\nsize = 40\ntab = 12\nbar = \"13.1 mm\"\n[billet]\n",
    ),
    Mistake("paper that is not known", "\"a4\"", "\"a5\"", "shop.paper", "a5", "`letter`", "\"letter\""),
    Mistake(
        "a margin that leaves nothing of the bed",
        "bed = [220, 220, 250]",
        "bed = [60, 220, 250]\nbed_margin = 30",
        "shop.bed_margin",
        "30 mm",
        "from 0 mm to 25 mm",
        "bed = [60, 220, 250]\nbed_margin = 5",
    ),
    Mistake(
        "a bed of two sizes",
        "[220, 220, 250]",
        "[220, 220]",
        "shop.bed",
        "in this list is 2",
        "exactly 3",
        "[220, 220, 250]",
    ),
];

/// Lines that a billet is made of.
const BILLET: &str = "[[layers]]\nname = \"Sevens\"\nsteels = [\"C75S\", \"75Ni8\"]\ncount = 7\n";

#[test]
fn layers_without_a_billet_are_told_with_what_is_missing() {
    let (blade, _) = SOUND.split_once("[billet]").unwrap();
    let found = told(&format!("{blade}{BILLET}"));
    assert_eq!(found.iter().map(|p| p.field.as_str()).collect::<Vec<_>>(), ["layers[0]"], "{found:#?}");
    assert!(found[0].message.contains("of one steel") && found[0].help.contains("add [billet]"));
    let mended = format!("{blade}{BILLET}[billet]\nwidth = 12\n[[bar]]\nheight = 30\nlayers = \"Sevens\"\n");
    assert!(told(&mended).is_empty(), "{:#?}", told(&mended));
}

/// A blade of one steel: what is wrong at its line, and what the advice makes of it.
#[test]
fn mistakes_with_one_steel_are_told_and_their_remedies_work() {
    let (blade, _) = SOUND.split_once("[billet]").unwrap();
    let named = |line: &str, end: &str| format!("{line}\n{}{end}", blade.trim_start());
    let own = "[[steel]]\nname = \"1085\"\ncarbon = 0.8\n";
    let cases = [
        ("steel = \"1085\"", "", "1085", "did you mean `1084`?", "steel = \"1084\"", ""),
        (
            "steel = \"1085\"",
            "",
            "1085",
            "[[steel]], then name = \"1085\" and carbon = its percentage",
            "",
            own,
        ),
        ("steel = 1084", "", "a number", "put quotes around it", "steel = \"1084\"", ""),
        ("steel = \"1084\"", own, "given twice", "take one of them out", "", own),
        ("", "[steel]\nname = \"1085\"\ncarbon = 0.8\n", "a table", "[[steel]]", "", own),
        ("steal = \"1084\"", "", "`steal` is not known", "did you mean `steel`?", "steel = \"1084\"", ""),
        ("steel = \"1084\"", BILLET, "of one steel", "remove the layers", "steel = \"1084\"", ""),
    ];
    for (line, end, says, advice, mended, mended_end) in cases {
        let found = told(&named(line, end));
        assert!(
            found.iter().any(|p| p.message.contains(says) && p.help.contains(advice)),
            "{line}: {found:#?}"
        );
        let sound =
            design::read(named(mended, mended_end).as_bytes()).unwrap_or_else(|p| panic!("{line}: {p:#?}"));
        assert!(
            sound.warnings().is_empty() && sound.forged_from().is_some(),
            "{line}: {:#?}",
            sound.warnings()
        );
    }
    assert!(design::read(named("", "").as_bytes()).unwrap().forged_from().is_none());
}

/// Whatever the profile, its lengths in the wrong unit are one sentence, not one for each.
#[test]
fn a_file_in_the_wrong_unit_is_one_sentence() {
    let text = |length: f64, breadth: f64, back: f64, unit: &str| {
        format!(
            "name = \"Oar\"\n{unit}\n[outline]\nlength = {length}\nbreadth = {breadth}\n[[taper]]\nat = 0\nback = {back}\n\
             [[taper]]\nat = {length}\nback = {}\n",
            0.5 * back
        )
    };
    for length in [90.0, 110.0, 300.0, 900.0] {
        let found = told(&text(length, 25.0, 5.0, "unit = \"in\""));
        assert_eq!(found.len(), 1, "{length}: {found:#?}");
        assert!(found[0].code == "millimetres" && found[0].help.contains("take the line `unit` out"));
        assert!(told(&text(length, 25.0, 5.0, "")).is_empty());
    }
    for length in [3.5, 12.0, 30.0] {
        let found = told(&text(length, 1.0, 0.2, ""));
        assert_eq!(found.len(), 1, "{length}: {found:#?}");
        assert!(found[0].code == "inches" && found[0].message.contains("mm long"), "{found:#?}");
        assert!(told(&text(length, 1.0, 0.2, "unit = \"in\"")).is_empty());
    }
    for profile in fixtures::profiles::all().iter().filter(|p| !p.text.contains("unit = \"in\"")) {
        let found = told(&format!("unit = \"in\"\n{}", profile.text.replace("unit = \"mm\"", "")));
        assert_eq!(
            found.iter().map(|p| p.code).collect::<Vec<_>>(),
            ["millimetres"],
            "{}: {found:#?}",
            profile.name
        );
    }
    // One figure that is out of place stays a mistake of its own.
    let found = told(&text(300.0, 25.0, 60.0, ""));
    assert!(found.iter().any(|p| p.field == "taper[0].back" && p.code == "range"), "{found:#?}");
}

/// Problems, or the warnings of a design that is sound.
fn told(text: &str) -> Vec<Problem> {
    match design::read(text.as_bytes()) {
        Ok(design) => design.warnings().to_vec(),
        Err(problems) => problems,
    }
}

#[test]
fn the_design_itself_is_sound() {
    let found = told(SOUND);
    assert!(found.is_empty(), "{found:#?}");
    assert!(MISTAKES.len() >= 90, "{}", MISTAKES.len());
}

#[test]
fn every_mistake_is_told_with_place_cause_and_remedy() {
    let mut wrong = Vec::new();
    for Mistake(what, sound, mistake, field, says, advice, _) in MISTAKES {
        let bad = SOUND.replacen(sound, mistake, 1);
        assert_ne!(bad, SOUND, "{what}");
        let found = told(&bad);
        let fits = |p: &Problem| {
            p.field.starts_with(field)
                && p.message.contains(says)
                && p.help.contains(advice)
                && p.span.end <= bad.len()
        };
        if !found.iter().any(fits) {
            wrong.push(format!("{what}: {found:#?}"));
        }
    }
    assert!(wrong.is_empty(), "{}", wrong.join("\n"));
}

#[test]
fn the_remedy_works() {
    for Mistake(what, sound, _, field, .., mended) in MISTAKES {
        let text = SOUND.replacen(sound, mended, 1);
        let design = design::read(text.as_bytes()).unwrap_or_else(|p| panic!("{what}: {p:#?}"));
        assert!(!design.warnings().iter().any(|w| w.field.starts_with(field) && !field.is_empty()), "{what}");
    }
}

/// Of several plugs all that is wrong is told at once, bar by bar.
#[test]
fn all_that_is_wrong_with_plugs_is_told_at_once() {
    let plugs = "steel = \"C105U\"\nplugs = [{ at = 2, diameter = 5, steel = \"75Ni8\" }, \
                 { at = 60, diameter = 15, steel = \"75Ni8\" }, { at = 80, diameter = 5, height = 1, steel = \"75Ni8\" }, \
                 { at = 100, diameter = 5, steel = \"75Ni8\" }, { at = 103, diameter = 5, steel = \"75Ni8\" }]\n";
    let text = SOUND.replacen("steel = \"C105U\"\n", plugs, 1);
    let twisted = "layers = \"Sevens\"\nplugs = [{ at = 40, diameter = 5, steel = \"C45\" }]\n";
    let text = text.replacen("layers = \"Sevens\"\n", twisted, 1);
    let mut fields: Vec<String> = told(&text).into_iter().map(|p| p.field).collect();
    fields.sort();
    let wanted = [
        "bar[0].plugs[0].at",
        "bar[1].plugs[0].at",
        "bar[1].plugs[1].diameter",
        "bar[1].plugs[2].height",
        "bar[1].plugs[4]",
    ];
    assert_eq!(fields, wanted);
    let many = vec!["{ at = 60, diameter = 5, steel = \"75Ni8\" }"; 41].join(", ");
    let found =
        told(&SOUND.replacen("steel = \"C105U\"\n", &format!("steel = \"C105U\"\nplugs = [{many}]\n"), 1));
    assert!(found.iter().any(|p| p.field == "bar[1].plugs" && p.message.contains("41 plugs")), "{found:#?}");
}

/// At a cut point the edge runs out through the bars: a plug that it runs through is warned of with stations and steel, and one
/// that is cut off with the rest of the bar.
#[test]
fn a_plug_in_the_way_of_a_cut_point_is_warned_of() {
    let cut = SOUND.replacen("width = 12\n", "width = 12\ntip = \"cut\"\ncut_from = 240\n", 1);
    let cut = cut.replacen("breadth = 30\n", "breadth = 30\nsweep = 80\npoint_height = 24\n", 1);
    let with = |plug: &str| {
        let plug = format!("steel = \"C105U\"\nplugs = [{{ {plug}, steel = \"75Ni8\" }}]\n");
        told(&cut.replacen("steel = \"C105U\"\n", &plug, 1))
    };
    let of = |found: &[Problem]| {
        found
            .iter()
            .filter(|p| p.field == "bar[1].plugs[0]")
            .map(|p| (p.code, p.message.clone()))
            .collect::<Vec<_>>()
    };
    let through = of(&with("station = 270, diameter = 6, height = 9"));
    let [("plug-at-edge", words)] = &through[..] else { panic!("{through:?}") };
    assert!(words.contains("runs through this plug of 75Ni8") && words.contains("given for Edge"), "{words}");
    let gone = of(&with("station = 272, diameter = 2, height = 2.5"));
    assert!(matches!(&gone[..], [("hidden-plug", _)]), "{gone:?}");
    assert!(of(&with("station = 100, diameter = 6")).is_empty());
}
