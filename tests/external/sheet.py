"""The bench sheet by PyMuPDF: paper, margins, type, page numbers, and that it tells what `check` and `plan` tell."""

import math
import re

import numpy
import pymupdf

# mm in a point of PDF: 1 in is 72 points.
POINT = 25.4 / 72.0

# Litres in a US gallon of 231 cubic inches.
GALLON = 231 * 2.54**3 / 1000

# mm from the paper's left, top, right and lower border within which nothing may stand: what the sheet promises, and what
# common printers leave white anyway at the other three.
BORDERS = (18.0, 10.0, 12.0, 6.0)

# mm that letters and lines may reach beyond that: half a line's width, and the overhang of round letters.
OVER = 0.5

# pt: the least type that is read at arm's length.
LEAST = 7.95


def check(tally, path, pages, paper, told):
    """Every demand on one sheet of so many pages on paper standing upright (mm); `told` are words that it must hold."""
    with pymupdf.open(str(path)) as document:
        tally.check(len(document) == pages, f"{path.name}: {len(document)} pages, manifest says {pages}")
        for number, page in enumerate(document, start=1):
            check_page(tally, page, f"{path.name} page {number}", paper, f"page {number} of {pages}", told[0])
        check_fonts(tally, document, path.name)
        words = plain(" ".join(page.get_text() for page in document))
    for word in told:
        tally.check(plain(word) in words, f"{path.name}: tells {word}")


def plain(text):
    """Text without what only breaks lines, its apostrophes as typewriters have them."""
    return re.sub(r"[\s\u200b]+", "", text).replace("’", "'")


def check_page(tally, page, name, paper, number, title):
    """Size, margins and type of a page, its number and the blade's name."""
    for found, wanted, what in zip((page.rect.width, page.rect.height), paper, ("width", "height")):
        tally.near(found * POINT, wanted, 0.01, f"{name}: {what}")
    words = page.get_text()
    tally.check(number in words, f"{name}: says {number}")
    tally.check(plain(title) in plain(words), f"{name}: says {title}")
    boxes = [pymupdf.Rect(word[:4]) for word in page.get_text("words")]
    tally.check(len(boxes) > 20, f"{name}: is not empty")
    left, top, right, bottom = BORDERS
    room = pymupdf.Rect(left - OVER, top - OVER, paper[0] - right + OVER, paper[1] - bottom + OVER) / POINT
    lines = [drawing["rect"] for drawing in page.get_drawings()] + [picture["bbox"] for picture in page.get_image_info()]
    outside = [box for box in [*boxes, *map(pymupdf.Rect, lines)] if not within(room, box)]
    tally.check(not outside, f"{name}: {outside} outside the margins")
    struck = [(boxes[i], boxes[j]) for i, j in overlaps(boxes)]
    tally.check(not struck, f"{name}: {struck} over each other")
    spans = [s for b in page.get_text("dict")["blocks"] for line in b.get("lines", []) for s in line["spans"]]
    small = [s["text"] for s in spans if s["size"] < LEAST and s["text"].strip()]
    tally.check(not small, f"{name}: {small} too small")


def within(room, box):
    """Whether a box lies in the room; lines have boxes without area, which PyMuPDF takes for empty."""
    return room.x0 <= box.x0 and room.y0 <= box.y0 and box.x1 <= room.x1 and box.y1 <= room.y1


def overlaps(boxes):
    """Which words have their letters over each other: boxes hold the face's whole height, letters its middle."""
    x0, y0, x1, y1 = numpy.array([[box.x0, box.y0, box.x1, box.y1] for box in boxes]).T
    inset = 0.25 * numpy.minimum.outer(y1 - y0, y1 - y0)
    level = numpy.less.outer(x0 + 0.5, x1)
    upright = y0[:, None] + inset < y1[None, :] - inset
    return numpy.argwhere(numpy.triu(level & level.T & upright & upright.T, 1))


def check_fonts(tally, document, name):
    """Every face of type is in the file."""
    faces = {face[3]: face[1] for page in document for face in page.get_fonts(full=True)}
    tally.check(faces, f"{name}: has type")
    missing = [face for face, ending in faces.items() if ending == "n/a"]
    tally.check(not missing, f"{name}: {missing} not in the file")


def told(summary, plan, scales):
    """What a sheet must tell of a design's `check --json` and, where its steel is named, `plan --json`, on its scales: its
    name first."""
    words = [summary["name"]]
    for stage, figures in summary["stages"].items():
        words += [f"The {stage} blade", scales.weight(figures["steel_mass_g"]), scales.weight(figures["mass_g"])]
    words += ["carbon monoxide", "Weighing log"]
    return words + (told_of_plan(plan, scales) if plan else [])


def told_of_plan(plan, scales):
    """Bars, steels, pieces to cut, twists and heats."""
    words = ["Cut list", "Forging schedule"]
    for bar in plan["stock"]["bars"]:
        words.append(bar["name"])
    for steel, mass in plan["steel_g"]:
        words += [steel, f"{scales.weight(mass)} of {steel}"]
    for cut in plan["stock"]["cuts"]:
        words.append(scales.weight(cut["mass_g"]))
    for twisting in plan["twisting"]:
        for stretch in twisting["stretches"]:
            words += [stretch["hand"], f"{stretch['turns']:.2f}"] if stretch["heats"] else ["straight"]
    for heat in plan["heat"]:
        if heat["ac1_c"] is not None:
            words.append(scales.plain(heat["ac1_c"]))
        band = heat["hardening"]["celsius"]
        if band is not None:
            words.append(scales.band(band))
    words += [f"{step['seconds']:.0f}" for step in plan["clock"]] + [step["what"] for step in plan["clock"]]
    if plan["bath"] is not None:
        # Not less than is wanted: rounded up to a tenth.
        one, name = (GALLON, "US gal") if plan["unit"] == "in" else (1.0, "L")
        words.append(f"{math.ceil(plan['bath']['least_litres'] / (0.1 * one)) / 10:.1f} {name}")
        words.append(f"{scales.degrees(plan['bath']['least_flash_c'])} or more")
    tempering = plan["blade_heat"]["tempering"]
    if tempering is not None:
        words += [scales.about(t) for t in tempering["celsius"] if t is not None]
    return words
