"""Gauges of sheet steel by ezdxf, Shapely, PyMuPDF and an XML reader: closed, apart, on their sheets, as designed."""

import math
import xml.etree.ElementTree as xml

import ezdxf
import ezdxf.path
import pymupdf
import shapely
from shapely.geometry import LineString, Polygon

import gauges as printed

# $INSUNITS of millimetres.
MILLIMETRES = 4

# mm: chords of flattened arcs keep this near to them.
FLAT = 2e-4

# mm: the kerfs tried here, and how exactly half of one must be kept. A water jet wants wider
# necks and rounds in some gauges, so these are tried with a laser's kerf, for which they are made without one too.
KERF = 1.0
FINE_KERF = 0.2
WIDENED = ("bevel-angles", "tang-slot")
CLOSE = 0.005

# mm: least web between two gauges, and from a sheet's rim.
WEB = 6.0
RIM = 10.0

# mm: marks stay this far from cuts.
CLEAR = 0.5

# Share by which areas may differ from what is designed.
ALIKE = 1e-3

# °C, and how much longer than at 20 °C carbon steel is there: 2e-5 t - 6.2e-3 (EN 1993-1-2 §3.4.1.1; from memory).
HOT = 900
LONGER = 2e-5 * HOT - 6.2e-3

# degrees: an edge's angle on its gauge; a station's shares the notch of one that differs by less than half a degree.
EXACT = 0.02
SHARED = 0.55

# mm: behind the shoulder, beyond its radius, where the tang is read to tell its size at the shoulder.
BEHIND = (9.0, 12.0)

# mm: slots against a tang meshed within 0.002 mm and read 9 mm behind the shoulder.
SLOT = 0.03

SVG = "{http://www.w3.org/2000/svg}"


class Sheet:
    """What one DXF file says."""

    def __init__(self, path):
        self.document = ezdxf.readfile(str(path))
        space = self.document.modelspace()
        self.cuts = [ring(entity) for entity in space.query('*[layer=="cut"]')]
        self.marks = [line(entity) for entity in space.query('*[layer=="mark"]')]
        self.entities = list(space)

    def parts(self):
        """Each gauge as its outline less its holes."""
        outer = [a for a in self.cuts if not any(b is not a and b.contains(a) for b in self.cuts)]
        return [shapely.difference(a, shapely.union_all([b for b in self.cuts if b is not a and a.contains(b)])) for a in outer]


def points(entity):
    """Points along an entity, chords within `FLAT` of arcs."""
    return [(p.x, p.y) for p in ezdxf.path.make_path(entity).flattening(FLAT)]


def ring(entity):
    """A closed polyline as a polygon."""
    return Polygon(points(entity))


def line(entity):
    """An open polyline."""
    return LineString(points(entity))


def check(tally, built):
    """Every drawing of sheet steel that a build wrote, and the gauges among them that other files show too."""
    entries = [e for e in built.entries if e["name"].startswith("metal/")]
    dxf = {e["name"]: e for e in entries if e["kind"] == "dxf"}
    svg = {e["name"] for e in entries if e["kind"] == "svg"}
    tally.check(len(dxf) > 4 and {n[:-3] for n in dxf} == {n[:-3] for n in svg}, f"{built.stem}: DXF and SVG of each gauge")
    single, nested = [], []
    for name, entry in dxf.items():
        sheet = Sheet(built.folder / name)
        check_sheet(tally, sheet, name)
        check_svg(tally, sheet, built.folder / name.replace(".dxf", ".svg"), name, entry["part"] == "metal-sheet")
        (nested if entry["part"] == "metal-sheet" else single).append((entry, sheet))
    areas = [sorted(part.area for _, sheet in group for part in sheet.parts()) for group in (single, nested)]
    alike = len(areas[0]) == len(areas[1]) and all(abs(a - b) < 1e-3 * a for a, b in zip(*areas))
    tally.check(alike, f"{built.stem}: the sheets hold every gauge once")
    sheets = {entry["part"]: sheet for entry, sheet in single}
    check_sizes(tally, built, sheets)
    check_bevels(tally, built, sheets)
    full = built.design.get("tang", {}).get("form", "hidden") == "full"
    tally.check(full != ("metal-tang-slot" in sheets), f"{built.stem}: a tang-slot gauge where the tang is hidden")
    if not full:
        check_tang(tally, built, sheets["metal-tang-slot"])


def check_sheet(tally, sheet, name):
    """Audit, unit and layers; cuts that close, once each, and do not meet; marks on the steel."""
    audit = sheet.document.audit()
    tally.check(not audit.errors and not audit.fixes, f"{name}: ezdxf's audit: {audit.errors} {audit.fixes}")
    tally.check(sheet.document.header["$INSUNITS"] == MILLIMETRES, f"{name}: unit millimetre")
    used = {entity.dxf.layer for entity in sheet.entities}
    tally.check({"cut"} <= used <= {"cut", "mark"}, f"{name}: layers {sorted(used)}")
    kinds = {entity.dxftype() for entity in sheet.entities}
    tally.check(kinds == {"LWPOLYLINE"}, f"{name}: polylines alone, found {sorted(kinds)}")
    closed = [entity.closed == (entity.dxf.layer == "cut") for entity in sheet.entities]
    tally.check(all(closed), f"{name}: cuts close and marks do not")
    tally.check(all(cut.is_valid and cut.area > 1.0 for cut in sheet.cuts), f"{name}: no cut crosses itself")
    tree = shapely.STRtree([cut.exterior for cut in sheet.cuts])
    near = tree.query([cut.exterior for cut in sheet.cuts], predicate="dwithin", distance=1.0)
    tally.check(all(a == b for a, b in near.T), f"{name}: cuts stay 1 mm apart, and none is doubled")
    keys = {shapely.to_wkt(shapely.normalize(mark), rounding_precision=3) for mark in sheet.marks}
    tally.check(len(keys) == len(sheet.marks), f"{name}: no mark is doubled")
    steel = shapely.union_all([part.buffer(-CLEAR) for part in sheet.parts()])
    shapely.prepare(steel)
    tally.check(all(steel.covers(mark) for mark in sheet.marks), f"{name}: marks lie on the steel, clear of cuts")


def check_svg(tally, sheet, path, name, nested):
    """The same contours in the SVG; a sheet's page is the sheet, and nothing leaves it."""
    root = xml.parse(path).getroot()
    groups = {group.get("id"): list(group) for group in root.iter(f"{SVG}g")}
    tally.check(len(groups["cut"]) == len(sheet.cuts), f"{name}: cuts in the SVG")
    tally.check(len(groups.get("mark", [])) == len(sheet.marks), f"{name}: marks in the SVG")
    tally.check(all(p.get("d").endswith("Z") for p in groups["cut"]), f"{name}: cuts close in the SVG")
    width, height = (float(root.get(side).removesuffix("mm")) for side in ("width", "height"))
    box = [float(side) for side in root.get("viewBox").split()]
    tally.check(box == [0.0, 0.0, width, height], f"{name}: {box} in mm")
    check_drawn(tally, path, (width, height), name)
    if not nested:
        return
    page = shapely.box(0.0, 0.0, width, height).buffer(1e-6 - RIM)
    tally.check(all(page.covers(cut) for cut in sheet.cuts), f"{name}: all within {width:g} by {height:g} mm, clear of the rim")
    parts = sheet.parts()
    gaps = [a.distance(b) for i, a in enumerate(parts) for b in parts[:i]]
    tally.check(min(gaps, default=WEB) > WEB - 1e-3, f"{name}: gauges at least {min(gaps, default=WEB):.3f} mm apart")


def check_drawn(tally, path, size, name):
    """A program of single precision draws every arc where it belongs: within the page, and no larger than its ends."""
    with pymupdf.open(str(path)) as source, pymupdf.open("pdf", source.convert_to_pdf()) as document:
        page = document[0]
        room = page.rect + (-1.0, -1.0, 1.0, 1.0)
        drawn = [path["rect"] for path in page.get_drawings()]
        tally.check(drawn and all(rect in room for rect in drawn), f"{name}: drawn within {size} mm")


def check_sizes(tally, built, gauges):
    """The profile is the forged blade's silhouette grown by heat; the window keeps its gap around the cold one."""
    outline = built.outlines["forged"]
    profile = Polygon(gauges["metal-profile-forged-hot"].parts()[0].exterior)
    tally.near(profile.area / (outline.area * (1.0 + LONGER) ** 2), 1.0, ALIKE, f"{built.stem}: area of the hot profile")
    wide = [high - low for low, high in zip(profile.bounds[:2], profile.bounds[2:])]
    cold = [high - low for low, high in zip(outline.bounds[:2], outline.bounds[2:])]
    for axis, hot, size in zip("xy", wide, cold):
        tally.near(hot, size * (1.0 + LONGER), 0.02, f"{built.stem}: hot profile along {axis}")
    frame = gauges["metal-window-forged"].parts()[0]
    opening = max((Polygon(hole) for hole in frame.interiors), key=lambda hole: hole.area)
    gap = built.shop.window
    grown = outline.buffer(gap)
    over = opening.area - grown.area
    corners = 0.25 * opening.length
    tally.check(0.0 < over < corners, f"{built.stem}: window {over:.2f} mm² larger than the outline and its gap")


def check_bevels(tally, built, sheets):
    """The notches' flanks include the edge's angle, and the ground bevel's where its flanks are flat."""
    [outline] = sheets["metal-bevel-angles"].parts()
    angles = included(outline)
    tally.check(len(angles) > 0, f"{built.stem}: bevel gauge has notches")
    keen = built.design.get("stages", {}).get("finished", {}).get("edge_angle")
    if isinstance(keen, int | float):
        off = min(abs(angle - keen) for angle in angles)
        tally.check(off < EXACT, f"{built.stem}: no notch of {keen} degrees among {angles}")
    form = built.design.get("section", {})
    if form.get("bevel", "flat") != "flat" or form.get("sides", "both") != "both":
        return
    # Half way along, well behind the point and beyond any ricasso.
    blade = built.blades["ground"]
    cut = printed.section(blade, 0.5 * blade.bounds[1][0])
    wide = [across(cut, cut.bounds[1] + height) for height in (2.0, 5.0)]
    angle = 2.0 * math.degrees(math.atan(0.5 * (wide[1] - wide[0]) / 3.0))
    tally.check(min(angles) - SHARED < angle < max(angles) + SHARED, f"{built.stem}: bevel of {angle:.2f} among {angles}")


def across(cut, y):
    """Width of a section at a height."""
    low, _, high, _ = cut.bounds
    return LineString([(low - 1.0, y), (high + 1.0, y)]).intersection(cut).length


def included(outline):
    """Angles in degrees between the straight flanks of each notch in the upper edge, from left to right."""
    top = outline.bounds[3]
    ring = list(outline.exterior.coords)
    sides = zip(ring, ring[1:])
    # A flank leaves the upper edge steeply; the rounds below it are short chords, the plate's own ends run down to 0.
    lean = []
    for low, high in (sorted(side, key=lambda p: p[1]) for side in sides):
        if high[1] > top - 1e-6 and 5.0 < low[1] < top - 1.0 and abs(high[0] - low[0]) > 1e-6:
            lean.append((high[0], math.atan2(abs(high[0] - low[0]), high[1] - low[1])))
    lean.sort()
    return [math.degrees(a[1] + b[1]) for a, b in zip(lean[::2], lean[1::2])]


def check_tang(tally, built, sheet):
    """The lowest slot passes over the tang's root with the sliding gap; its corners are cut free, and so are the other's."""
    [gauge] = sheet.parts()
    holes = sorted((Polygon(hole) for hole in gauge.interiors), key=lambda hole: hole.bounds[1])
    near, far = (printed.section(built.blades["finished"], -at).bounds for at in BEHIND)
    share = BEHIND[0] / (BEHIND[1] - BEHIND[0])
    # Sections lie with the thickness along x; slots with the breadth.
    for what, low, axis in (("breadth", 1, 0), ("thickness", 0, 1)):
        sizes = [box[low + 2] - box[low] for box in (near, far)]
        root = sizes[0] + share * (sizes[0] - sizes[1])
        middle = holes[0].centroid.coords[0]
        ends = [[c + by * (i == axis) for i, c in enumerate(middle)] for by in (-100.0, 100.0)]
        found = LineString(ends).intersection(holes[0]).length
        tally.near(found, root + 2.0 * built.shop.sliding, SLOT, f"{built.stem}: {what} of the tang's slot")
    for hole in holes:
        freed = shapely.get_coordinates(hole.exterior)
        tally.check(len(freed) > 12 and hole.is_valid, f"{built.stem}: the slot's corners are cut free")


def check_kerf(tally, plain, cut, of, kerf):
    """Every cut with a kerf, of the gauges that `of` accepts by name, lies half of it beside the same one without."""
    names = sorted(path.name for path in (cut / "metal").glob("*.dxf") if "sheet" not in path.stem and of(path.stem))
    tally.check(len(names) > 0, f"{cut}: {len(names)} gauges cut with a kerf")
    for name in names:
        steel, way = Sheet(plain / "metal" / name), Sheet(cut / "metal" / name)
        tally.check(len(steel.cuts) == len(way.cuts), f"{name}: as many cuts with a kerf")
        for a, b in zip(steel.cuts, way.cuts):
            check_beside(tally, a, b, f"{name}: kerf", kerf)


def check_beside(tally, steel, way, name, kerf):
    """A way of the cutter and a border: the least distance is half the kerf everywhere, whatever the corners."""
    # Each file's gauge begins at its own origin.
    low, other = steel.bounds, way.bounds
    outer = other[2] - other[0] > low[2] - low[0]
    along = shapely.points(shapely.get_coordinates(way.exterior))
    off = shapely.distance(along, steel.exterior)
    sign = 1.0 if outer else -1.0
    grown = (other[2] - other[0]) - (low[2] - low[0])
    tally.near(grown, sign * kerf, 2 * CLOSE, f"{name}: wider by the kerf")
    tally.near(float(off.min()), 0.5 * kerf, CLOSE, f"{name}: least distance")
    tally.near(float(off.max()), 0.5 * kerf, CLOSE, f"{name}: greatest distance")
