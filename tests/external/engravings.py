"""Engravings in flat parts: inside the outline, and wide enough for the printer's nozzle."""

import shapely

import shapes

# mm: greatest depth of an engraving, and the greatest share of the thickness that it takes.
DEPTH = 0.6
SHARE = 1.0 / 3.0

# mm²: smaller differences of two cuts are rounding of single precision.
SPECK = 1e-3

# mm: how much narrower than the nozzle an engraving's widest place may be.
NARROWER = 0.02


def check(tally, mesh, shop, name, wanted):
    """An engraved part cut inside the engraving and below it."""
    strokes, below = strokes_of(mesh, shop.tolerance)
    tally.check(not wanted or strokes, f"{name}: is engraved")
    border = shapely.boundary(below)
    clear = min((stroke.distance(border) for stroke in strokes), default=shop.nozzle)
    tally.check(clear >= shop.nozzle - shop.tolerance, f"{name}: engraving {clear:.3f} mm from the border")
    thin = [stroke for stroke in strokes if stroke.buffer(0.5 * NARROWER - 0.5 * shop.nozzle).is_empty]
    tally.check(not thin, f"{name}: {len(thin)} of {len(strokes)} engraved strokes are narrower than the nozzle")


def strokes_of(mesh, tolerance):
    """What is cut out of the upper face only, and the cut below it."""
    thickness = mesh.bounds[1][2]
    below = shapes.level_cut(mesh, 0.3 * thickness)
    inside = shapes.level_cut(mesh, thickness - 0.5 * min(DEPTH, SHARE * thickness))
    # Curved walls are cut through other facets at another height, so they differ by the mesh's tolerance.
    core = below.buffer(-3.0 * tolerance)
    return [part for part in shapely.get_parts(core.difference(inside)) if part.area > SPECK], below
