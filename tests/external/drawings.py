"""Template drawings in DXF by ezdxf: audit, unit, layers, and the outline's length, area and arcs."""

import ezdxf
import ezdxf.path
from shapely.geometry import Polygon

# The layers that every template has.
LAYERS = {"outline", "centre", "station", "dimension", "text"}

# $INSUNITS of millimetres.
MILLIMETRES = 4

# mm: chords of flattened curves keep this near to them.
FLAT = 1e-3

# mm: consecutive entities meet this closely.
MEETING = 1e-6

# An outline of true arcs and curves has fewer entities than this; one of short chords has more.
FEW = 200


def check(tally, path, outline):
    """Every demand on one drawing against the steel's outline."""
    name = path.name
    document = ezdxf.readfile(str(path))
    audit = document.audit()
    tally.check(not audit.errors and not audit.fixes, f"{name}: ezdxf's audit: {audit.errors} {audit.fixes}")
    tally.check(document.header["$INSUNITS"] == MILLIMETRES, f"{name}: unit millimetre")
    layers = {layer.dxf.name for layer in document.layers}
    tally.check(LAYERS <= layers, f"{name}: has the layers {sorted(LAYERS - layers)}")
    used = {entity.dxf.layer for entity in document.modelspace()}
    tally.check(used <= layers, f"{name}: declares the layers {sorted(used - layers)}")
    check_outline(tally, document.modelspace().query('*[layer=="outline"]'), outline, name)


def check_outline(tally, entities, outline, name):
    """The first entities close to a loop that is the steel's outline."""
    ring, taken = first_loop(list(entities))
    tally.check(ring is not None, f"{name}: the outline closes")
    if ring is None:
        return
    found = Polygon(ring)
    tally.near(found.length, outline.length, 1e-3 * outline.length, f"{name}: length of the outline")
    tally.near(found.area, outline.area, 1e-3 * outline.area, f"{name}: area of the outline")
    curved = [e for e in taken if e.dxftype() in ("ARC", "SPLINE") or has_bulge(e)]
    tally.check(curved, f"{name}: the outline has true arcs or curves")
    tally.check(len(taken) < FEW, f"{name}: the outline has {len(taken)} entities")


def first_loop(entities):
    """Points of the loop that begins with the first entity, and the entities in it; no points when it stays open."""
    ring = []
    for count, entity in enumerate(entities, start=1):
        points = [(p.x, p.y) for p in ezdxf.path.make_path(entity).flattening(FLAT)]
        if ring and apart(points[0], ring[-1]) > MEETING:
            points.reverse()
        if ring and apart(points[0], ring[-1]) > MEETING:
            return None, entities[: count - 1]
        ring += points[1:] if ring else points
        if apart(ring[0], ring[-1]) <= MEETING:
            return ring, entities[:count]
    return None, entities


def apart(a, b):
    """The greater of two coordinates' differences."""
    return max(abs(a[0] - b[0]), abs(a[1] - b[1]))


def has_bulge(entity):
    """Whether a polyline has arcs."""
    return entity.dxftype() == "LWPOLYLINE" and entity.has_arc
