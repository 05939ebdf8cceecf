"""Combs and section gauges against sections of the blade that other programs cut."""

import numpy
import shapely
from shapely.affinity import rotate, translate
from shapely.geometry import LineString, Point, box

import shapes

# mm: a comb's slot reaches this far over the back, at most this share of the breadth.
REACH = 8.0
REACH_SHARE = 0.4

# mm from the edge at which a slot is measured: its sides are parallel.
INSIDE = 1.0

# mm: how closely gaps are kept, beside the mesh's tolerance.
CLOSE = 0.01

# mm: the relief under the edge is round; its least diameter, how much wider than the edge it is, and how far its
# middle lies below the edge in radii.
RELIEF = 3.0
WIDER = 2.0
DROP = 0.25

# mm: flanks are copied up to where the section is this near its greatest thickness.
NEARLY = 0.002

# mm: sections are cut this far beyond their station, for at the shoulder the tang ends and the blade begins.
BEYOND = 1e-3

# mm: points nearer to the relief or to the copied flanks' upper end are left out.
ASIDE = 0.1

# mm between the points compared.
APART = 0.2


def section(blade, station):
    """The blade's section (z, y) at a station."""
    return shapes.largest(shapes.station_cut(blade, station + BEYOND))


def back_thickness(blade, station):
    """The greatest thickness of a section within a slot's depth from the back."""
    cut = section(blade, station)
    low, high = cut.bounds[1], cut.bounds[3]
    depth = min(REACH, REACH_SHARE * (high - low))
    return shapes.width_of(cut.intersection(box(-1e3, high - depth, 1e3, high + 1.0)), 0)


def check_comb(tally, combs, blade, stations, shop, name):
    """Slots in the upper edge are the press gap wider than the blade's back, those in the lower one narrower."""
    cuts = [shapes.level_cut(mesh, 0.3 * mesh.bounds[1][2]) for mesh in combs]
    for edge, sign, what in (("upper", 1.0, "go"), ("lower", -1.0, "no-go")):
        widths = [width for cut in cuts for width in slots(cut, edge)]
        tally.check(len(widths) == len(stations), f"{name}: {len(widths)} {what} slots, wanted {len(stations)}")
        for station, width in zip(stations, widths):
            wanted = back_thickness(blade, station) + sign * shop.press
            tally.near(width, wanted, CLOSE, f"{name}: {what} slot at {station:g} mm")


def slots(cut, edge):
    """Widths of the slots in a long edge, in order of x."""
    comb = upright(cut)
    x, low, far, high = comb.bounds
    y = high - INSIDE if edge == "upper" else low + INSIDE
    open_parts = LineString([(x, y), (far, y)]).difference(comb)
    # A comb turned back leaves crumbs at its ends.
    parts = [part for part in shapely.get_parts(open_parts) if part.length > CLOSE]
    return [part.length for part in sorted(parts, key=lambda part: part.bounds[0])]


def upright(cut):
    """A comb lying along x: parts are turned by less than half a turn to fit the bed, so this one is turned back."""
    ring = shapely.get_coordinates(cut.minimum_rotated_rectangle)
    along = max(numpy.diff(ring, axis=0), key=numpy.linalg.norm)
    turn = numpy.degrees(numpy.arctan2(along[1], along[0])) % 180.0
    # Rounding may leave a turn just under the half turn that is none.
    return rotate(cut, -turn if turn < 179.9 else 180.0 - turn, origin=(0, 0))


def check_section(tally, mesh, blade, station, shop, name):
    """A section gauge's notch keeps the press gap along the copied flanks, and is nowhere narrower."""
    cut = bridged(section(blade, station))
    plate = shapes.level_cut(mesh, 0.3 * mesh.bounds[1][2])
    relief, level = relief_under(cut), full_level(cut)
    border = placed(notch_border(plate), cut, relief, level)
    points = shapes.points_along(border, APART)
    gaps, heights = shapely.distance(points, cut), shapely.get_y(points)
    clear = CLOSE + shop.tolerance
    tally.check(gaps.min() >= shop.press - clear, f"{name}: narrowest gap {gaps.min():.4f}, wanted {shop.press}")
    copied = (shapely.distance(points, relief) > ASIDE) & (heights < level - ASIDE)
    if copied.any():
        for gap in (gaps[copied].min(), gaps[copied].max()):
            tally.near(float(gap), shop.press, clear, f"{name}: gap along the flanks")
    return bool(copied.any())


def bridged(cut):
    """A section with its fullers bridged: its hollows that don't reach the edge are filled."""
    low = cut.bounds[1]
    hollows = shapely.get_parts(cut.convex_hull.difference(cut))
    return shapely.union_all([cut, *(hollow for hollow in hollows if hollow.bounds[1] > low + 1e-3)], grid_size=1e-6)


def relief_under(cut):
    """The round relief under the edge of a section."""
    low = cut.bounds[1]
    edge = cut.intersection(box(-1e3, low - 1.0, 1e3, low + 1e-4))
    middle, thickness = (edge.bounds[0] + edge.bounds[2]) / 2, shapes.width_of(edge, 0)
    radius = 0.5 * max(RELIEF, thickness + WIDER)
    return Point(middle, low - DROP * radius).buffer(radius, quad_segs=256)


def full_level(cut):
    """The least height up to which a section is as thick as anywhere."""
    low, high = cut.bounds[1], cut.bounds[3]
    wanted = shapes.width_of(cut, 0) - NEARLY
    under, over = low, high
    for _ in range(40):
        middle = (under + over) / 2
        part = cut.intersection(box(-1e3, low - 1.0, 1e3, middle))
        under, over = (under, middle) if not part.is_empty and shapes.width_of(part, 0) >= wanted else (middle, over)
    return over


def notch_border(plate):
    """The border of a plate's notch: its outline but the sides of the plate's box."""
    hull = box(*plate.bounds)
    return shapes.largest(hull.difference(plate)).exterior.difference(hull.exterior.buffer(1e-4))


def placed(border, cut, relief, level):
    """A notch's border around the section: over the relief, its mouth over the section's thickest place."""
    mouth = border.intersection(box(-1e3, border.bounds[3] - INSIDE, 1e3, border.bounds[3]))
    x = (mouth.bounds[0] + mouth.bounds[2]) / 2 - middle_of_flanks(cut, level, relief)
    y = border.bounds[1] - relief.bounds[1]
    return translate(border, -x, -y)


def middle_of_flanks(cut, level, relief):
    """Middle between the flanks at the upper end of the notch's copied part."""
    part = cut.intersection(box(-1e3, cut.bounds[1] - 1.0, 1e3, max(level, relief.bounds[3])))
    return (part.bounds[0] + part.bounds[2]) / 2
