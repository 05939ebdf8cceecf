"""Profile and window plates, put together again in the blade's frame and held against the blade's silhouette."""

import itertools

import shapely
from shapely.affinity import rotate, translate
from shapely.geometry import Polygon

import shapes

# Height of the cut in parts of the thickness: engravings take at most the upper third.
MIDDLE = 0.3

# mm: no plate stands further over the outline.
OUTSIDE = 0.05

# mm: faces nearer than this touch, and gaps are kept this closely.
CLOSE = 0.01

# mm: how closely the window keeps its distance, beside the mesh's tolerance.
WINDOW = 0.02

# mm beyond the butt line from which points belong to the key.
KEY = 0.5

# Pairs of window pieces that touch: two pieces do so twice; of more, every piece touches the next one of its bar.
WINDOW_JOINTS = {1: 0, 2: 1}

# mm between the points compared.
APART = 0.5


class Piece:
    """A plate's piece: the region of its cut in the blade's frame."""

    def __init__(self, mesh, entry):
        laid = shapes.level_cut(mesh, MIDDLE * mesh.bounds[1][2])
        x, y = entry["shifted_mm"]
        self.region = rotate(translate(laid, -x, -y), -entry["turned_deg"], origin=(0, 0))
        self.name = entry["part"]

    def moved(self, x):
        """The same piece further along the blade."""
        other = object.__new__(Piece)
        other.region, other.name = translate(self.region, x, 0.0), self.name
        return other


def check_profile(tally, pieces, outline, shop, name):
    """The profile's pieces make up the outline, and join."""
    filled = [Polygon(shapes.largest(piece.region).exterior) for piece in pieces]
    whole = shapely.union_all(filled)
    tally.near(whole.area, outline.area, 1e-3 * outline.area, f"{name}: area of the profile plate")
    over = whole.difference(outline.buffer(OUTSIDE)).area
    tally.near(over, 0.0, 1e-9, f"{name}: profile plate outside the outline")
    check_joints(tally, pieces, shop, name, len(pieces) - 1)


def check_window(tally, pieces, outline, shop, name):
    """The window keeps its gap all around the outline, and its pieces join."""
    covered = 0.0
    for piece in pieces:
        others = shapely.union_all([other.region for other in pieces if other is not piece])
        lengths, gaps = window_border(piece.region, others, outline, shop)
        covered += float(lengths.sum())
        worst = float(abs(gaps - shop.window).max(initial=0.0))
        tally.near(worst, 0.0, WINDOW, f"{name}: window's gap at {piece.name}")
    wanted = outline.buffer(shop.window).length
    tally.near(covered, wanted, 0.01 * wanted, f"{name}: length of the window's border")
    check_joints(tally, pieces, shop, name, WINDOW_JOINTS.get(len(pieces), len(pieces)))


def window_border(region, others, outline, shop):
    """Lengths of short lines along a piece's border at the window, clear of joints, and the outline's gaps there."""
    edges = shapely.segmentize(shapes.lines_along(region), APART)
    sides = shapely.linestrings([pair for edge in edges for pair in itertools.pairwise(shapely.get_coordinates(edge))])
    middles = shapely.line_interpolate_point(sides, 0.5, normalized=True)
    gaps = shapely.distance(middles, outline)
    at_window = gaps < 4.0 * shop.window
    if not others.is_empty:
        at_window &= shapely.distance(sides, others) > 2.0 * shop.press
    return shapely.length(sides[at_window]), gaps[at_window]


def check_joints(tally, pieces, shop, name, wanted):
    """Butts touch and keys have the press gap all along."""
    joints = [(a, b) for a, b in itertools.combinations(pieces, 2) if a.region.distance(b.region) < CLOSE]
    tally.check(len(joints) == wanted, f"{name}: {len(joints)} pairs of pieces touch, wanted {wanted}")
    for a, b in joints:
        both = f"{name}: {a.name} and {b.name}"
        tally.near(a.region.intersection(b.region).area, 0.0, 0.01, f"{both} overlap")
        gaps = key_gaps(a.region, b.region, shop.press)
        tally.check(len(gaps) > 0, f"{both}: have a key")
        for gap in (min(gaps), max(gaps)) if len(gaps) else ():
            tally.near(float(gap), shop.press, CLOSE, f"{both}: gap of the key")


def key_gaps(left, right, press):
    """Gaps between the left piece's key and the right piece's socket."""
    points = shapes.points_along(shapes.lines_along(left), APART)
    beyond = points[shapely.get_x(points) > right.bounds[0] + KEY]
    gaps = shapely.distance(beyond, right)
    return gaps[gaps < 10.0 * press]
