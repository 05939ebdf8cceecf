//! The starter design that `new` writes.

use crate::file::name;

/// What stands for a name that can't serve as one.
const NAMELESS: &str = "Nameless blade";

/// A commented starter design of this name, ready to be read. A name that can't serve as one (empty, over 100
/// characters, or with control characters) is replaced.
pub fn starter(name: &str) -> String {
    let name = if name::fits(name) { name } else { NAMELESS };
    // Without control characters, only these two need escaping in the file's quoted text.
    let quoted = name.replace('\\', "\\\\").replace('"', "\\\"");
    BODY.replace("{name}", &quoted)
}

/// The starter file. Lines that begin with `#` and a key show other keys with their defaults or examples.
const BODY: &str = r##"# A design for seaxwright. Lengths are in `unit`, or text with their own: "9.5 mm", "3/8 in", "1 1/2 in".
# `seaxwright check` reports every problem, then sizes, mass and balance; `seaxwright build` writes the files.

name = "{name}"
unit = "mm"                     # or "in"
# density = 7850                # of the steel, kg/m³

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

# Thickness along the blade, one table for each station; `grind` gives it at the grind line, if other.
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

# What each stage of the work still carries.
[stages]
forged = { allowance = 0.8, edge = 2.5 }
ground = { allowance = 0.15, edge = 1.0 }
finished = { edge = 0.7, edge_angle = 30, sharp = true }

# The billet it is forged from: bars of one width from the back to the edge. Without it the blade is of one steel.
# [billet]
# width = 12                    # of all bars, through the thickness of the blade
# tip = "forged"                # or "cut", which needs cut_from
# near_edge = 3                 # seams nearer to the edge are told
# visible = 0.1                 # layers thinner than this are told
#
# [[steel]]                     # an own steel in percent; standard ones (C45, 1084, 15N20 ...) need no table
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
# phase = 0                     # degrees by which it is turned at the shoulder
# squaring = "forged"           # or "ground"
#
# [[bar]]
# name = "Edge"
# height = 16
# steel = "C105U"
# tang = false                  # it ends at the shoulder

# What is mounted on it; stations behind the shoulder are negative. Give `mass`, or `material` and a size.
[[fitting]]
name = "guard"
kind = "guard"                  # or "grip", "pommel", "other"
at = -3
length = 6
diameter = 30
mass = 35

# What the finished blade should weigh and where it should balance; `fit` changes thickness, breadth and fittings to meet it.
# [targets]
# mass = "at most 450 g"        # or "at least", "about", "between 400 g and 450 g", or a number; `steel` for the bare steel
# balance = 80                  # from the guard's front, in the same words; or `percussion`
# taper = 20                    # percent by which thickness may change either way
# breadth = 5                   # and breadth
# fittings = 30                 # and the mass of guard and pommel

# Printer, paper and stop blocks, and how fine the meshes are.
[shop]
bed = [220, 220, 250]
tolerance = 0.02
nozzle = 0.4
clearance = { press = 0.1, sliding = 0.25, loose = 0.4 }
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
