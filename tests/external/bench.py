"""The sheet for the bench against sections of the mesh, and what comes back from a filled one.

Python's csv module reads and writes the sheets, trimesh cuts the blade, Pillow reads the picture, PyMuPDF the page.
"""

import csv
import json
import subprocess

import numpy
import sheet
import trimesh
from PIL import Image
from scales import Scales
from shop import PAPERS

# mm in an inch.
INCH = 25.4

# mm: planned figures are rounded to 0.01 mm or 0.001 in, heights to what the sheet says, and the mesh is within 0.002 mm.
WITHIN = 0.02

# Share: a blade filled in as it is planned weighs what is planned, with edge, point and tang taken from the plan.
WEIGHT = 0.01

# Dots a mm of the map, and mm of paper around the drawing on either side.
DOTS, PAPER = 5, 5


def check(tally, command, profile, room, blade, summary):
    """One design's sheet, empty and filled; `blade` is its ground stage, finely meshed."""
    unit = INCH if summary["unit"] == "in" else 1.0
    table = room / "sheet.csv"
    subprocess.run([command, "new", "--measured", profile, "--out", table], check=True, capture_output=True)
    with table.open(newline="", encoding="utf-8") as file:
        rows = list(csv.DictReader(file))
    tally.check(len(rows) > 20, f"{profile.stem}: the table has rows")
    planned(tally, profile.stem, rows, blade, unit)
    filled(tally, command, profile, room, rows, summary)


def planned(tally, name, rows, blade, unit):
    """The ground stage's breadths and thicknesses, cut out of its mesh."""
    cut = {}
    for row in (row for row in rows if row["what"] in ("breadth", "thickness")):
        at = float(row["station"]) * unit
        # In the shoulder plane itself there are shoulder and tang too.
        section = cut.setdefault(at, lines(blade, max(at, 0.01)))
        low, high = section[:, :, 1].min(), section[:, :, 1].max()
        found = high - low if row["what"] == "breadth" else across(section, low + float(row["height"]) * unit)
        wanted = float(row["planned ground"]) * unit
        tally.near(found, wanted, WITHIN, f"{name}: {row['what']} at {row['station']} {row['height']}")


def lines(blade, at):
    """The blade's mesh cut square at a station: straight lines between two points each."""
    return trimesh.intersections.mesh_plane(blade, plane_normal=[1, 0, 0], plane_origin=[at, 0, 0])


def across(section, height):
    """Thickness of a section at a height."""
    (y0, y1), (z0, z1) = section[:, :, 1].T, section[:, :, 2].T
    crossing = (numpy.minimum(y0, y1) <= height) & (numpy.maximum(y0, y1) > height)
    share = (height - y0[crossing]) / (y1[crossing] - y0[crossing])
    z = z0[crossing] + share * (z1[crossing] - z0[crossing])
    return z.max() - z.min()


def filled(tally, command, profile, room, rows, summary):
    """The sheet filled with the ground stage's figures by another program is the ground blade."""
    path = room / "filled.csv"
    with path.open("w", newline="", encoding="utf-8-sig") as file:
        # A spreadsheet of a country with decimal commas.
        writer = csv.DictWriter(file, rows[0].keys(), delimiter=";", quoting=csv.QUOTE_ALL)
        writer.writeheader()
        for row in rows:
            measured = row["planned ground"] if row["what"] in ("breadth", "back", "thickness") else ""
            figures = {key: value.replace(".", ",") for key, value in row.items() if key in ("station", "height")}
            writer.writerow({**row, **figures, "date": "2026-05-01", "measured": measured.replace(".", ",")})
    out = room / "bench"
    run = [command, "compare", profile, path, "--json", "--out", out]
    told = json.loads(subprocess.run(run, check=True, capture_output=True, text=True).stdout)["days"][0]
    name = profile.stem
    tally.check((told["stage"], told["next"]) == ("ground", "finished"), f"{name}: told as ground")
    tally.check(not told["set_aside"], f"{name}: every reading is believed: {told['set_aside']}")
    mass = summary["stages"]["ground"]["steel_mass_g"]
    tally.near(told["bench"]["steel_g"], mass, WEIGHT * mass, f"{name}: mass from the filled sheet")
    with Image.open(out / "take-off.png") as picture:
        tally.check(picture.width >= DOTS * (summary["length_mm"] + 2 * PAPER), f"{name}: the map is at full size")
        tally.check(len(picture.convert("RGB").getcolors(1 << 24)) > 3, f"{name}: the map has its colours")
    page(tally, out, summary, told, Scales(profile))


def page(tally, out, summary, day, scales):
    """The page for the grinder tells the day's weights, and what to take off at every station and height."""
    entries = {entry["name"]: entry for entry in json.loads((out / "manifest.json").read_text())["files"]}
    unit, places = (INCH, (3, 3)) if summary["unit"] == "in" else (1.0, (1, 2))
    words = [summary["name"], day["date"], f"the {day['next']} stage", scales.weight(day["bench"]["steel_g"]), "Cautions"]
    words += [scales.weight(max(way["take_off_g"], 0.0)) for way in day["ways"]]
    for row in day["take_off"]:
        for spot in row["spots"]:
            now, planned = (f"{spot[key] / unit:.{places[1]}f}" for key in ("now_mm", "planned_mm"))
            words += [f"{spot['height_mm'] / unit:.{places[0]}f} up", f"{now} → {planned}"]
    paper = sorted(PAPERS["letter" if summary["unit"] == "in" else "a4"])
    sheet.check(tally, out / "bench-page.pdf", entries["bench-page.pdf"]["pages"], paper, words)
