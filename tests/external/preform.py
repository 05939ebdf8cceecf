"""The tip's cut line, by ezdxf, Shapely, PyMuPDF and trimesh: it has the area of the tip that it becomes."""

import ezdxf
import pymupdf
from shapely.affinity import translate
from shapely.geometry import Polygon, box

import drawings
import paper
import shapes

# Share by which areas of flattened drawings may differ: chords 1 µm off a line 100 mm long around 500 mm² and more.
ALIKE = 3e-4

# mm: the drawn tip lies this near to the blade's own silhouette.
NEAR = 0.05

# mm: the line square to the edge at which the tip begins leans a degree at most, over breadths of 50 mm and less.
LEAN = 1.0


def check_drawing(tally, path, outline):
    """Both outlines of the drawing: the cut line's area is the tip's, and the tip is the blade's own end."""
    document = ezdxf.readfile(str(path))
    audit = document.audit()
    tally.check(not audit.errors and not audit.fixes, f"{path.name}: ezdxf's audit: {audit.errors} {audit.fixes}")
    entities = list(document.modelspace().query('*[layer=="outline"]'))
    cut, taken = drawings.first_loop(entities)
    tip, _ = drawings.first_loop(entities[len(taken) :])
    tally.check(cut is not None and tip is not None, f"{path.name}: cut line and tip close")
    cut, tip = Polygon(cut), Polygon(tip)
    tally.near(cut.area / tip.area, 1.0, ALIKE, f"{path.name}: area of the cut line, in tips")
    straight = box(0.0, -1e-6, cut.bounds[2] - LEAN, 1e-6).intersection(cut.exterior)
    tally.check(straight.length > 0.5 * cut.bounds[2], f"{path.name}: the edge's side is straight")
    tip = placed(tip, outline)
    tally.near(tip.difference(outline.buffer(NEAR)).area, 0.0, 1e-6, f"{path.name}: tip outside the blade")
    end = outline.intersection(box(tip.bounds[0] + LEAN, *outline.bounds[1:]))
    tally.near(end.difference(tip.buffer(NEAR)).area, 0.0, 1e-6, f"{path.name}: end of the blade outside the tip")
    return cut


def placed(tip, outline):
    """The tip moved to the blade's point."""
    tip = translate(tip, outline.bounds[2] - tip.bounds[2], 0.0)
    end = outline.intersection(box(tip.bounds[0], *outline.bounds[1:]))
    return translate(tip, 0.0, end.bounds[1] - tip.bounds[1])


def check_page(tally, path, entry, size):
    """Sizes, words and check bars of the pages."""
    with pymupdf.open(str(path)) as document:
        tally.check(len(document) == entry["pages"], f"{path.name}: {len(document)} pages")
        for number, page in enumerate(document, start=1):
            paper.check_page(tally, paper.Page(page), f"{path.name} page {number}", "forged", size)
            tally.check("Cut line of the tip" in page.get_text(), f"{path.name} page {number}: says what it is")


def check_plate(tally, mesh, cut, name):
    """The printed plate has the cut line's area."""
    laid = shapes.level_cut(mesh, 0.3 * mesh.bounds[1][2])
    tally.near(laid.area / cut.area, 1.0, ALIKE, f"{name}: area of the plate, in cut lines")
