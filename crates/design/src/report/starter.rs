//! The starter design that `new` writes.

use crate::file::name;
use crate::unit::quantity::Unit;

/// What stands for a name that can't serve as one.
const NAMELESS: &str = "Nameless blade";

/// A commented starter design of this name, ready to be read, its lengths in this unit. A name that can't serve as one
/// (empty, over 100 characters, or with control characters) is replaced.
pub fn starter(name: &str, unit: Unit) -> String {
    let name = if name::fits(name) { name } else { NAMELESS };
    // Without control characters, only these two need escaping in the file's quoted text.
    let quoted = name.replace('\\', "\\\\").replace('"', "\\\"");
    let body = match unit {
        Unit::Millimetre => BODY.to_owned(),
        Unit::Inch => in_inches(),
    };
    body.replace("{name}", &quoted)
}

/// The starter file with the sizes that an inch shop owns, each in the place of the metric one.
fn in_inches() -> String {
    INCHES.iter().fold(BODY.to_owned(), |body, (metric, inches)| body.replacen(metric, inches, 1))
}

/// The starter file. Lines that begin with `#` and a key show other keys with their defaults or examples.
const BODY: &str = r##"# A design for seaxwright. Lengths are in `unit`, or text with their own: "9.5 mm", "3/8 in", "1 1/2 in".
# `seaxwright check` lists every mistake or, where there is none, sizes, weight and balance; `plan` says what to cut and
# how to forge and heat it; `build` writes the files.

name = "{name}"
unit = "mm"                     # or "in"
steel = "C75S"                  # of the whole blade; delete this line if you use [billet] below
# density = 7850                # of the steel, kg/m³

# Units of everything but lengths.
# [units]
# temperature = "C"             # or "F"
# mass = "g"                    # or "oz" or "lb": of plain numbers, too
# torque = "N m"                # or "ft lb"

# The blade seen from the side, from the shoulder (0) to the point.
[outline]
form = "broken-back"            # straight-back, broken-back, curved-back, dropped-point, or points
length = 330
breadth = 34
break_at = 230                  # where the back turns down to the point
break_breadth = 37
tip = { form = "flat", breadth = 1 }    # or { form = "point" }, or { form = "round", radius = 4 }

# The blade cut square to its length.
[section]
bevel = "flat"                  # or "hollow" or "convex", both with radius
sides = "both"                  # or "right" or "left"
grind_line = "60 %"             # of the breadth above the edge; or a length, or "full"
back = "flat"                   # or { form = "rounded", radius = 1 }, or { form = "crowned", height = 0.6 }

# Thickness along the blade, one table for each station; `grind` gives it at the grind line, if different.
[[taper]]
at = 0
back = 6

[[taper]]
at = 230
back = 5

[[taper]]
at = 330
back = 3

# An unbevelled stretch next to the shoulder.
# [ricasso]
# length = 20
# plunge = 10

# Grooves along the flanks, one table for each.
# [[fuller]]
# start = 25
# end = 200
# from_back = 4
# width = 5
# depth = 0.8

# The part inside the grip.
[tang]
form = "hidden"                 # or "full", which needs a ricasso
length = 100
shoulder_radius = 1.7           # of the inside corner: a sharp one cracks

# [[tang.hole]]
# at = 80
# diameter = 4

# What each stage of the work leaves for the next: `allowance` is steel on each side, `edge` the thickness of the edge.
[stages]
forged = { allowance = 0.8, edge = 2.5 }
ground = { allowance = 0.15, edge = 1.0 }
finished = { edge = 0.7, edge_angle = 30, sharp = true }
# To forge the outline larger than finished, for scale and for skin that lost carbon, write `forged` like this:
# forged = { allowance = 1, edge = 3, outline = { edge = 0.8, back = 0.8, point = 1.5 } }

# The billet it is forged from: bars of one width from the back to the edge. If you use it, delete the line `steel` at the top.
# [billet]
# width = 12                    # of all bars, through the thickness of the blade
# tip = "forged"                # or "cut", which needs cut_from
# near_edge = 3                 # a seam nearer to the edge than this is reported
# visible = 0.1                 # layers thinner than this are reported
#
# [[steel]]                     # a steel of your own, in percent; standard ones (C45, 1084, 15N20 ...) need no table
# name = "Weir iron"
# carbon = 0.08
# manganese = 0.2
#
# [[layers]]
# name = "sevens"
# steels = ["C75S", "75Ni8"]    # that alternate
# count = 7
# thickness = [2, 2]            # of each steel's layers
# restack = [2]                 # cut in two and stacked again
#
# [[bar]]
# name = "Back"
# height = 10
# steel = "Weir iron"           # or layers = ...
#
# [[bar]]
# name = "Twist"
# height = 12
# layers = "sevens"
# direction = "upright"         # or "flat"
# twist = [{ hand = "right", turns = 1, per = 25, length = 50 }, { length = 15 }, { hand = "left", turns = 1 }]
#                               # these count on the bar in the stack; or ask for what the finished blade should show, a
#                               # full turn every 90 mm, interrupted between two stations:
#                               # twist = [{ hand = "right", pitch = 90 }, { from = 100, to = 130, straight = true },
#                               # { hand = "right", pitch = 90 }]
# phase = 0                     # degrees by which it is turned at the shoulder
# squaring = "forged"           # or "ground"
#
# [[bar]]
# name = "Edge"
# height = 16
# steel = "C105U"
# tang = false                  # it ends at the shoulder

# What your shop loses on the way from cut steel to the forged blade; `plan` allows for it.
# [forging]
# crop = 10                     # off each end of a bar or billet
# scale = 0.05                  # that each face loses in a heat
# dress = 0.2                   # ground off each face before it is welded
# kerf = 1.5                    # of the saw
# block = 30                    # side of the square billet in which layers are welded
# bar_heats = 4                 # of each billet and each bar
# stack_heats = 8               # from the stack, or the one bar, to the forged blade

# What is mounted on it; stations behind the shoulder are negative. Give `mass`, or `material` and a size.
[[fitting]]
name = "guard"
kind = "guard"                  # or "grip", "pommel", "other"
at = -3
length = 6
diameter = 30
mass = 35

# What the finished blade should weigh and where it should balance; `fit` finds the smallest change that meets it.
# [targets]
# mass = "at most 400 g"        # or "at least", "about", "between 350 g and 400 g", or a number; `steel` for the bare steel
# balance = 105                 # from the guard's front, in the same words; or `percussion`
# taper = 20                    # percent by which thickness may change either way
# breadth = 5                   # and breadth
# fittings = 30                 # and the mass of guard and pommel

# Printer, paper and stop blocks, and how fine the meshes are.
[shop]
bed = [220, 220, 250]
tolerance = 0.02
nozzle = 0.4
clearance = { press = 0.1, sliding = 0.25, loose = 0.4 }
# bed_margin = 5                # free along each side of the bed, for brim and skirt
# paper = "a4"                  # of the templates; or "a3" or "letter"
# stops = [40, 30, 25, 20, 16, 12, 10, 8, 6]    # blocks under the hammer

# Profile plate, section gauges and, where bars are twisted, the jig's insert.
# [plate]
# stage = "forged"              # or "ground" or "finished"
# [gauges]
# stations = [0, 100, 200]
# [jig]
# bore = "square"               # or "hexagon" or "round"
# size = 30                     # across flats, or the diameter
# tab = 14                      # side of the square tab on the bar's end
"##;

/// Lines of [`BODY`] that hold lengths, and what an inch shop writes in their place; each stands once in it.
const INCHES: [(&str, &str); 50] = [
    ("unit = \"mm\"                     # or \"in\"", "unit = \"in\"                     # or \"mm\""),
    ("length = 330\nbreadth = 34\n", "length = 13\nbreadth = \"1 3/8 in\"\n"),
    ("break_at = 230     ", "break_at = 9       "),
    ("break_breadth = 37\n", "break_breadth = \"1 1/2 in\"\n"),
    (
        "breadth = 1 }    # or { form = \"point\" }, or { form = \"round\", radius = 4 }",
        "breadth = \"1/32 in\" }    # or { form = \"point\" }, or { form = \"round\", radius = \"1/8 in\" }",
    ),
    (
        "radius = 1 }, or { form = \"crowned\", height = 0.6 }",
        "radius = \"3/64 in\" }, or { form = \"crowned\", height = 0.025 }",
    ),
    ("at = 0\nback = 6\n", "at = 0\nback = \"1/4 in\"\n"),
    ("at = 230\nback = 5\n", "at = 9\nback = \"3/16 in\"\n"),
    ("at = 330\nback = 3\n", "at = 13\nback = \"1/8 in\"\n"),
    ("# length = 20\n# plunge = 10\n", "# length = \"3/4 in\"\n# plunge = \"3/8 in\"\n"),
    ("# start = 25\n# end = 200\n", "# start = 1\n# end = 8\n"),
    (
        "# from_back = 4\n# width = 5\n# depth = 0.8\n",
        "# from_back = \"5/32 in\"\n# width = \"3/16 in\"\n# depth = \"1/32 in\"\n",
    ),
    ("length = 100\nshoulder_radius = 1.7           #", "length = 4\nshoulder_radius = \"1/16 in\"     #"),
    ("# at = 80\n# diameter = 4\n", "# at = \"3 1/4 in\"\n# diameter = \"5/32 in\"\n"),
    (
        "allowance = 1, edge = 3, outline = { edge = 0.8, back = 0.8, point = 1.5 }",
        "allowance = 0.04, edge = \"1/8 in\", outline = { edge = \"1/32 in\", back = \"1/32 in\", point = \"1/16 in\" }",
    ),
    ("allowance = 0.8, edge = 2.5", "allowance = \"1/32 in\", edge = \"3/32 in\""),
    ("allowance = 0.15, edge = 1.0", "allowance = 0.006, edge = 0.04"),
    ("finished = { edge = 0.7,", "finished = { edge = 0.028,"),
    ("# width = 12                    #", "# width = \"1/2 in\"              #"),
    ("# near_edge = 3                 #", "# near_edge = \"1/8 in\"          #"),
    ("# visible = 0.1                 #", "# visible = 0.004               #"),
    ("\"C75S\", \"75Ni8\"]    # that", "\"1084\", \"15N20\"]    # that"),
    ("# thickness = [2, 2]            #", "# thickness = [0.08, 0.08]      #"),
    ("# height = 10\n", "# height = \"3/8 in\"\n"),
    ("# height = 12\n", "# height = \"1/2 in\"\n"),
    ("per = 25, length = 50 }, { length = 15 }", "per = 1, length = 2 }, { length = \"5/8 in\" }"),
    (
        "full turn every 90 mm, interrupted between two stations:\n#                               # twist = [{ hand = \"right\", pitch = 90 }, { from = 100, to = 130, straight",
        "full turn every 3 1/2 in, interrupted between two stations:\n#                               # twist = [{ hand = \"right\", pitch = 3.5 }, { from = 4, to = 5, straight",
    ),
    ("# { hand = \"right\", pitch = 90 }]", "# { hand = \"right\", pitch = 3.5 }]"),
    ("# height = 16\n", "# height = \"5/8 in\"\n"),
    ("steel = \"C105U\"", "steel = \"1095\""),
    ("at = -3\nlength = 6\n", "at = \"-1/8 in\"\nlength = \"1/4 in\"\n"),
    (
        "# [units]\n# temperature = \"C\"             # or \"F\"\n# mass = \"g\"                    # or \"oz\"",
        "[units]\ntemperature = \"F\"               # or \"C\"\nmass = \"oz\"                     # or \"g\"",
    ),
    ("# torque = \"N m\"                # or \"ft lb\"", "torque = \"ft lb\"                # or \"N m\""),
    ("diameter = 30\nmass = 35\n", "diameter = \"1 1/4 in\"\nmass = \"1 1/4 oz\"\n"),
    ("# crop = 10                     #", "# crop = \"3/8 in\"               #"),
    ("# scale = 0.05                  #", "# scale = 0.002                 #"),
    ("# dress = 0.2                   #", "# dress = 0.008                 #"),
    ("# kerf = 1.5                    #", "# kerf = \"1/16 in\"              #"),
    ("# block = 30                    #", "# block = \"1 1/4 in\"            #"),
    ("steel = \"C75S\"                  # of the whole", "steel = \"1084\"                  # of the whole"),
    ("\"at most 400 g\"        #", "\"at most 1 lb\"         #"),
    ("\"between 350 g and 400 g\"", "\"between 12 oz and 14 oz\""),
    ("# balance = 105  ", "# balance = 4    "),
    (
        "bed = [220, 220, 250]\ntolerance = 0.02\nnozzle = 0.4\n",
        "bed = [\"8 5/8 in\", \"8 5/8 in\", \"9 3/4 in\"]\ntolerance = \"0.02 mm\"\nnozzle = \"0.4 mm\"\n",
    ),
    (
        "press = 0.1, sliding = 0.25, loose = 0.4",
        "press = \"0.1 mm\", sliding = \"0.25 mm\", loose = \"0.4 mm\"",
    ),
    ("# bed_margin = 5                #", "# bed_margin = \"5 mm\"         #"),
    (
        "# paper = \"a4\"                  # of the templates; or \"a3\" or \"letter\"",
        "# paper = \"letter\"              # of the templates; or \"a4\" or \"a3\"",
    ),
    (
        "# stops = [40, 30, 25, 20, 16, 12, 10, 8, 6]   ",
        "# stops = [\"1 1/2 in\", \"1 1/4 in\", 1, \"3/4 in\", \"5/8 in\", \"1/2 in\", \"3/8 in\", \"5/16 in\", \"1/4 in\"] ",
    ),
    ("# stations = [0, 100, 200]\n", "# stations = [0, 4, 8]\n"),
    (
        "# size = 30                     # across flats, or the diameter\n# tab = 14                      #",
        "# size = \"1 1/4 in\"             # across flats, or the diameter\n# tab = \"9/16 in\"               #",
    ),
];

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn each_metric_line_is_replaced_once() {
        let mut body = BODY.to_owned();
        for (metric, inches) in INCHES {
            assert_eq!(body.matches(metric).count(), 1, "{metric}");
            body = body.replacen(metric, inches, 1);
        }
        assert_eq!(in_inches(), body);
    }
}
