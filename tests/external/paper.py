"""Template pages in PDF by PyMuPDF: sizes, check bars, words, and the outline joined over the pages."""

import pymupdf
import shapely
from shapely.affinity import affine_transform
from shapely.geometry import LineString, box

import shapes

# mm in a point of PDF: 1 in is 72 points.
POINT = 25.4 / 72.0

# mm: lengths of the check bars, and the length of a joining cross's arms from end to end.
BARS = (100.0, 101.6)
CROSS = 6.0

# mm: the printed outline may lie this far from the steel's, under half of what a scriber's line is wide.
NEAR = 0.05

# Points along a cubic curve of a page: a curve of 30 mm is then followed to a micrometre.
STEPS = 32

# mm between the points compared.
APART = 0.5


def check(tally, path, entry, outline, paper):
    """Every demand on one template against the steel's outline, scaled as the template is."""
    name = path.name
    with pymupdf.open(str(path)) as document:
        tally.check(len(document) == entry["pages"], f"{name}: {len(document)} pages, manifest says {entry['pages']}")
        pages = [Page(page) for page in document]
    for number, page in enumerate(pages, start=1):
        check_page(tally, page, f"{name} page {number}", entry["stage"], paper)
    check_outline(tally, pages, outline, name)


def check_page(tally, page, name, stage, paper):
    """Size, words and bars of a page."""
    for found, wanted, what in zip(page.size, paper, ("width", "height")):
        tally.near(found, wanted, 0.01, f"{name}: {what}")
    tally.check(f"{stage} stage" in page.words, f"{name}: tells its stage")
    for bar in BARS:
        best = min(page.level_lines(), key=lambda length: abs(length - bar), default=0.0)
        tally.near(best, bar, 0.01, f"{name}: check bar")


def check_outline(tally, pages, outline, name):
    """The outline on all pages, each moved to its place, is the steel's; crosses meet those of other pages."""
    shifts = [page.shift(outline) for page in pages]
    shown = [shapely.transform(page.shown(), lambda at, s=s: at + s) for page, s in zip(pages, shifts)]
    tally.near(distance(shapely.union_all(shown), outline.exterior), 0.0, NEAR, f"{name}: outline")
    crosses = [(i, (x + s[0], y + s[1])) for i, (page, s) in enumerate(zip(pages, shifts)) for x, y in page.crosses()]
    tally.check(len(pages) == 1 or len(crosses) >= 2 * len(pages) - 2, f"{name}: has joining crosses")
    for i, at in crosses:
        off = min((max(abs(a - b) for a, b in zip(at, other)) for j, other in crosses if j != i), default=1e9)
        tally.near(off, 0.0, 0.01, f"{name} page {i + 1}: cross and its counterpart")


def distance(drawn, wanted):
    """Hausdorff's distance of two lines: how far either strays from the other."""
    stray = lambda a, b: shapely.distance(shapes.points_along(a, APART), b).max()
    return float(max(stray(drawn, wanted), stray(wanted, drawn)))


class Page:
    """One page's content in mm, y up from its lower border."""

    def __init__(self, page):
        self.size = (page.mediabox.width * POINT, page.mediabox.height * POINT)
        self.words = page.get_text()
        drawings = page.get_drawings(extended=True)
        self.windows = [self.box(d["scissor"]) for d in drawings if d["type"] == "clip"]
        self.strokes = [d for d in drawings if d["type"] == "s"]

    def at(self, point):
        """A point of PyMuPDF's, which counts y down in points."""
        return point.x * POINT, self.size[1] - point.y * POINT

    def box(self, rectangle):
        """A rectangle likewise."""
        return box(*self.at(rectangle.bottom_left), *self.at(rectangle.top_right))

    def lines(self):
        """Paths of a single straight line."""
        single = [d["items"][0] for d in self.strokes if len(d["items"]) == 1]
        return [(self.at(item[1]), self.at(item[2])) for item in single if item[0] == "l"]

    def level_lines(self):
        """Lengths of level lines."""
        return [abs(b[0] - a[0]) for a, b in self.lines() if abs(a[1] - b[1]) < 1e-3]

    def crosses(self):
        """Middles of joining crosses: a level and an upright line of one length and with one middle."""
        middle = lambda a, b: ((a[0] + b[0]) / 2, (a[1] + b[1]) / 2)
        arms = [[middle(a, b) for a, b in self.lines() if self.is_arm(a, b, axis)] for axis in (0, 1)]
        return [p for p in arms[0] if any(abs(p[0] - q[0]) + abs(p[1] - q[1]) < 1e-3 for q in arms[1])]

    def is_arm(self, a, b, axis):
        """Whether a line runs along an axis and is as long as a cross's arms."""
        return abs(abs(a[axis] - b[axis]) - CROSS) < 0.01 and abs(a[1 - axis] - b[1 - axis]) < 1e-3

    def outline(self):
        """The blade's outline as far as the file has it, also beyond the page: what is drawn first."""
        return LineString([p for item in self.strokes[0]["items"] for p in self.along(item)])

    def along(self, item):
        """Points along a line or a cubic curve."""
        ends = [self.at(point) for point in item[1:] if isinstance(point, pymupdf.Point)]
        if item[0] == "l":
            return ends
        return [bezier(ends, step / STEPS) for step in range(STEPS + 1)]

    def shown(self):
        """The part of the outline inside the page's window."""
        return shapely.intersection(self.outline(), min(self.windows, key=lambda window: window.area))

    def shift(self, outline):
        """From the page to the blade: lays the tang's end and the lowest point on those of the steel's outline."""
        drawn, wanted = self.outline().bounds, outline.bounds
        return wanted[0] - drawn[0], wanted[1] - drawn[1]


def bezier(corners, share):
    """Point of a cubic Bézier curve."""
    rest = 1.0 - share
    weights = (rest**3, 3 * rest * rest * share, 3 * rest * share * share, share**3)
    return tuple(sum(w * corner[axis] for w, corner in zip(weights, corners)) for axis in (0, 1))


def scaled(outline, scale):
    """An outline made larger about the origin."""
    return affine_transform(outline, [scale, 0, 0, scale, 0, 0])
