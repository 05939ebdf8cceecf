"""Builds every profile and has other people's programs read what was written.

Usage: readers.py SEAXWRIGHT
"""

import contextlib
import hashlib
import io
import json
import subprocess
import sys
import tempfile
from concurrent.futures import ProcessPoolExecutor
from pathlib import Path

import jsonschema
import tomllib

import bars
import bench
import drawings
import engravings
import gauges
import meshes
import metal
import opencascade
import paper
import plates
import preform
import shapes
import sheet
from scales import Scales
from shop import INCH, PAPERS, Shop, with_tolerance
from tally import Tally

PROFILES = Path(__file__).resolve().parents[2] / "profiles"
KINDS = ["3mf", "glb", "step", "stl"]
STAGES = ["finished", "forged", "ground"]

# Kinds that not everything comes in: a build that is asked for them too has every reader find something to read.
LEFT_OUT = "step,stl,3mf,svg,png"

# What is printed, cut and made of steel comes in these kinds unless others are asked for; everything else in all its kinds.
NEEDED = {"plate": ["3mf"], "gauge": ["3mf"], "jig": ["3mf", "step"], "metal": ["dxf"], "template": ["dxf", "pdf"]}

# The kinds of file that hold a billet's bars.
BARS = ["3mf", "glb", "step"]

# OpenCASCADE takes a second for an engraved part, and parts are alike from profile to profile: these four (largest,
# smallest, in inches, one-sided) have every part read, the others this many of them.
IN_FULL = {"chain-smiths-trial", "ferrymans-knife", "inch-barge-seax", "net-menders-knife"}
SOME = 6

# Which of the ten stations has the whole solid cut: a boolean takes OpenCASCADE seconds.
WHOLE = 7

# mm: the blades that plates, gauges and templates are compared with are meshed this finely.
FINE = 0.002

# °C, and how much longer than at 20 °C carbon steel is there: 1.2e-5 t + 0.4e-8 t² - 2.416e-4 (EN 1993-1-2 §3.4.1.1;
# from memory).
HOT = 700
LONGER = 1.2e-5 * HOT + 0.4e-8 * HOT**2 - 2.416e-4


def main(command):
    """Checks all profiles; the exit code is 1 when a check failed or none ran."""
    tally = Tally()
    schema = json.loads(run(command, "schema"))
    jsonschema.Draft202012Validator.check_schema(schema)
    profiles = sorted(PROFILES.glob("*.toml"))
    tally.check(len(profiles) > 0, f"{PROFILES.name}: has profiles")
    with tempfile.TemporaryDirectory() as room:
        # Plane sections take OpenCASCADE seconds each, so the profiles share the cores.
        with ProcessPoolExecutor() as pool:
            jobs = [pool.submit(one_profile, command, schema, profile, Path(room) / profile.stem) for profile in profiles]
            for job in jobs:
                tally.add(job.result())
        attempt(tally, "long names", check_long_names, tally, command, Path(room))
        check_the_checks(tally, Path(room))
    print(tally.closing_line())
    return 1 if tally.failed or not tally.passed else 0


def run(command, *arguments):
    """What the command prints; a failing command ends the run."""
    return subprocess.run([command, *map(str, arguments)], check=True, capture_output=True, text=True).stdout


def one_profile(command, schema, profile, room):
    """One design's tally, made in a process of its own."""
    tally = Tally()
    check_profile(tally, command, schema, profile, room)
    print(f"{profile.name}: {tally.passed} passed, {tally.failed} failed", flush=True)
    return tally


def check_profile(tally, command, schema, profile, room):
    """One design through every reader."""
    faults = list(jsonschema.Draft202012Validator(schema).iter_errors(tomllib.loads(profile.read_text())))
    tally.check(not faults, f"{profile.name}: the schema accepts it: {[fault.message for fault in faults]}")
    try:
        summary = json.loads(run(command, "check", "--json", profile))
        built = build(command, profile, room)
    except subprocess.CalledProcessError as fault:
        tally.check(False, f"{profile.name}: {fault}\n{fault.stderr}")
        return
    check_manifest(tally, built.folder, built.entries, summary["slug"])
    check_usual(tally, built, json.loads((room / "usual" / "manifest.json").read_text())["files"])
    for entry in built.entries:
        check = check_billet if entry["part"] in ("bars", "layers") else check_body
        attempt(tally, entry["name"], check, tally, built, entry, summary)
    check_sides(tally, built)
    check_tooling(tally, built)
    attempt(tally, f"{profile.stem} metal", metal.check, tally, built)
    attempt(tally, f"{profile.stem} kerf", check_kerf, tally, command, profile, room, built)
    attempt(tally, f"{profile.stem} sheet", check_sheets, tally, command, profile, room, built, summary)
    attempt(tally, f"{profile.stem} hot", check_hot, tally, command, profile, room, built)
    ground = built.blades["ground"]
    attempt(tally, f"{profile.stem} bench", bench.check, tally, command, profile, room, ground, summary)


def attempt(tally, name, task, *arguments):
    """A reader that can't go on is a failed check, and the others go on."""
    try:
        task(*arguments)
    except Exception as fault:
        tally.check(False, f"{name}: {type(fault).__name__}: {fault}")


class Built:
    """What one design was built into, and the finely meshed blades to compare with."""

    def __init__(self, folder, design, fine):
        self.folder = folder
        self.entries = json.loads((folder / "manifest.json").read_text())["files"]
        self.design = design
        self.shop = Shop(design)
        self.stem = folder.parent.name
        self.blades = {stage: meshes.read_stl(next((fine / "blade").glob(f"*-{stage}.stl"))) for stage in STAGES}
        self.outlines = {stage: shapes.silhouette(blade) for stage, blade in self.blades.items()}
        self.read = steps_to_read(self.entries, self.stem)

    def of_kind(self, kind):
        """The manifest's entries of a kind."""
        return [entry for entry in self.entries if entry["kind"] == kind]

    def papers(self, part, kind="pdf"):
        """The manifest's entries of templates or sheets."""
        return [entry for entry in self.of_kind(kind) if entry["part"] == part]

    def parts(self, prefix):
        """Meshes and entries of the printed parts with such a name, in the order of their numbers."""
        found = [e for e in self.of_kind("stl") if e["part"].startswith(prefix)]
        found.sort(key=lambda entry: numbers(entry["part"]))
        return [(meshes.read_stl(self.folder / entry["name"]), entry) for entry in found]


def numbers(name):
    """The numbers between a name's hyphens; a length in inches at its end (`4in`, `1-5-8in`, `0p58in`) in mm, rounded."""
    words = name.split("-")
    last = words[-1].removesuffix("in").replace("p", ".")
    if not words[-1].endswith("in") or not last.replace(".", "").isdigit():
        return [int(word) for word in words if word.isdigit()]
    figures = [*(float(word) for word in words[:-1] if word.isdigit()), float(last)]
    whole = figures[0] if len(figures) != 2 else 0.0
    part = figures[-2] / figures[-1] if len(figures) > 1 else 0.0
    return [round((whole + part) * INCH)]


def build(command, profile, room):
    """Builds a design in all kinds and as usual, and its blades finely."""
    room.mkdir()
    run(command, "build", profile, "--also", LEFT_OUT, "--out", room / "built")
    run(command, "build", profile, "--out", room / "usual")
    fine = room / profile.name
    fine.write_text(with_tolerance(profile.read_text(), FINE))
    run(command, "build", fine, "--only", "stl", "--out", room / "fine")
    return Built(room / "built", tomllib.loads(profile.read_text()), room / "fine")


def steps_to_read(entries, stem):
    """Names of the STEP files that OpenCASCADE reads: all blades, and all or some parts spread over the list."""
    steps = [entry for entry in entries if entry["kind"] == "step"]
    parts = [entry["name"] for entry in steps if entry["part"] not in ("blade", "bars")]
    if stem not in IN_FULL:
        parts = parts[:: -(-len(parts) // SOME)]
    return {entry["name"] for entry in steps if entry["part"] == "blade"} | set(parts)


def check_manifest(tally, folder, entries, slug):
    """The manifest lists every file, each with its size and hash; the blades are there."""
    listed = sorted(entry["name"] for entry in entries)
    files = [path.relative_to(folder).as_posix() for path in folder.rglob("*") if path.is_file()]
    found = sorted(name for name in files if name != "manifest.json")
    tally.check(listed == found, f"{folder}: manifest and folder differ in {set(listed) ^ set(found)}")
    wanted = sorted(f"blade/{slug}-{stage}.{kind}" for stage in STAGES for kind in KINDS)
    blades = [name for name in found if name.startswith("blade/")]
    tally.check(blades == wanted, f"{folder}: holds {blades}, wanted {wanted}")
    for entry in entries:
        content = (folder / entry["name"]).read_bytes()
        tally.check(len(content) == entry["bytes"], f"{entry['name']}: size")
        tally.check(hashlib.sha256(content).hexdigest() == entry["sha256"], f"{entry['name']}: SHA-256")


def check_usual(tally, built, entries):
    """What a build holds unless more is asked for: each thing in the kinds it needs, of the same bytes as among all kinds."""
    all_kinds = {entry["name"]: entry for entry in built.entries}
    things = lambda files: {(entry["part"], entry.get("stage")) for entry in files}
    tally.check(things(entries) == things(built.entries), f"{built.stem}: the usual build leaves out {things(built.entries) ^ things(entries)}")
    for entry in entries:
        name = entry["name"]
        needed = NEEDED.get(name.split("/")[0])
        tally.check(needed is None or entry["kind"] in needed, f"{built.stem}: {name} is not needed")
        same = entry["sha256"] == all_kinds.get(name, {}).get("sha256")
        tally.check(same or name in ("index.html", "bench-note.txt"), f"{built.stem}: {name} is the same among all kinds")
    more = [name for name in all_kinds if name not in {entry["name"] for entry in entries}]
    tally.check(all(NEEDED.get(name.split("/")[0]) for name in more), f"{built.stem}: more kinds of {more}")
    both = [stem for stem, kinds in kinds_of(entries, "jig").items() if len(kinds) != 1]
    tally.check(not both, f"{built.stem}: {both} in more kinds than one")


def kinds_of(entries, folder):
    """The kinds of each thing in a folder, by its path without the ending."""
    found = {}
    for entry in entries:
        stem, _, ending = entry["name"].rpartition(".")
        if stem.startswith(f"{folder}/"):
            found.setdefault(stem, []).append(ending)
    return found


def check_body(tally, built, entry, summary):
    """One file with a body: blades against `check --json`, parts against the manifest."""
    path = built.folder / entry["name"]
    if entry["kind"] == "step" and entry["name"] in built.read:
        check_step(tally, path, entry, summary["stages"][entry["stage"]] if entry["part"] == "blade" else None)
    elif entry["kind"] == "stl":
        check_mesh(tally, meshes.read_stl(path), built, entry)
    elif entry["kind"] == "3mf":
        check_3mf(tally, path, built, entry)
    elif entry["kind"] == "glb":
        bars.check_glb(tally, path, ["blade"])


def check_billet(tally, built, entry, summary):
    """One file of the bars or of the layers that show on the blade."""
    path = built.folder / entry["name"]
    stage = entry["stage"]
    if entry["part"] == "layers" and entry["kind"] == "png":
        size = [high - low for low, high in zip(*summary["stages"][stage]["size_mm"])]
        across = size[1] if path.stem.endswith(("right", "left")) else size[2]
        bars.check_picture(tally, path, (size[0], across), len(built.design["bar"]))
    elif entry["kind"] == "3mf":
        blade = next(built.folder.glob(f"blade/*-{stage}.stl"))
        bars.check_3mf(tally, path, built.design, meshes.read_stl(blade))
    elif entry["kind"] == "step":
        bars.check_step(tally, path, built.design, summary["stages"][stage]["volume_mm3"])
    else:
        bars.check_glb(tally, path, None, built.design if entry["part"] == "bars" else None)


def check_sides(tally, built):
    """A design with a billet has its bars and four sides of every stage; one without has none."""
    found = [(e["part"], e["kind"], e["stage"]) for e in built.entries if e["part"] in ("bars", "layers")]
    stages = STAGES if "billet" in built.design else []
    wanted = [("bars", kind, stage) for kind in BARS for stage in stages]
    wanted += [("layers", kind, stage) for kind in ("glb", "png", "png", "png", "png") for stage in stages]
    tally.check(sorted(found) == sorted(wanted), f"{built.stem}: bars and layers {sorted(found)}")


def check_3mf(tally, path, built, entry):
    """A 3MF by lib3mf's strict reading."""
    found, warnings, millimetres = meshes.read_3mf(path)
    tally.check(not warnings, f"{path.name}: lib3mf warns {warnings}")
    tally.check(millimetres, f"{path.name}: unit millimetre")
    tally.check(len(found) == 1, f"{path.name}: one object, found {len(found)}")
    for mesh in found:
        check_mesh(tally, mesh, built, entry)


def check_mesh(tally, mesh, built, entry):
    """A mesh by itself, and its volume beside the exact one's."""
    name = Path(entry["name"]).name
    meshes.check(tally, mesh, entry, name)
    exact = next(e for e in built.of_kind("step") if (e["part"], e.get("stage")) == (entry["part"], entry.get("stage")))
    tally.near(mesh.volume, exact["volume_mm3"], built.shop.tolerance * mesh.area, f"{name}: volume")
    if entry["part"] != "blade":
        size = [high - low for low, high in zip(*entry["box_mm"])]
        wide, deep, high = built.shop.bed
        room = (wide - 2 * built.shop.margin, deep - 2 * built.shop.margin, high)
        tally.check(all(s <= most + 1e-6 for s, most in zip(size, room)), f"{name}: {size} fits the bed less its margin")


def check_step(tally, path, entry, wanted):
    """A STEP file by OpenCASCADE: a blade against `check --json`, anything else against the manifest."""
    shape, messages = opencascade.read_step(path)
    tally.check(not messages, f"{path.name}: OpenCASCADE says {messages}")
    solids = opencascade.solids(shape) if shape is not None else []
    tally.check(len(solids) == 1, f"{path.name}: one solid, found {len(solids)}")
    for solid in solids:
        meshes.check_box(tally, opencascade.box(solid), entry["box_mm"], 2e-3, path.name)
        tally.check(opencascade.valid(solid), f"{path.name}: BRepCheck valid")
        volume, centre = opencascade.mass(solid)
        tally.near(volume, entry["volume_mm3"], 1e-6 * entry["volume_mm3"], f"{path.name}: volume in the manifest")
        if wanted is not None:
            tally.near(volume, wanted["volume_mm3"], 1e-6 * wanted["volume_mm3"], f"{path.name}: volume")
            check_stations(tally, solid, centre, wanted, path.name)


def check_stations(tally, solid, centre, wanted, name):
    """Centre of mass and plane sections of a blade."""
    for axis, found, want in zip("xyz", centre, wanted["centre_of_mass_mm"]):
        tally.near(found, want, 1e-3, f"{name}: centre of mass {axis}")
    tally.check(len(wanted["stations"]) == 10, f"{name}: ten stations")
    for station in wanted["stations"]:
        at = station["at_mm"]
        borders = opencascade.section(solid, at)
        sizes = [
            ("breadth", opencascade.extent(borders, 0), "breadth_mm"),
            ("thickness", opencascade.extent(borders, 1), "thickness_mm"),
            ("back", opencascade.back_thickness(borders), "back_mm"),
        ]
        for what, found, key in sizes:
            tally.near(found, station[key], 1e-3, f"{name}: {what} at {at} mm")
    check_boolean(tally, solid, wanted["stations"][WHOLE]["at_mm"], name)


def check_boolean(tally, solid, at, name):
    """A boolean cut of the whole solid reaches as far as its faces cut one by one; where two faces meet in the plane, each of
    them has the border that is one here."""
    whole, single = opencascade.boolean_section(solid, at), opencascade.section(solid, at)
    tally.check(0 < len(whole) <= len(single), f"{name}: {len(whole)} borders at {at} mm, and {len(single)} of faces")
    for axis in (0, 1):
        tally.near(opencascade.extent(whole, axis), opencascade.extent(single, axis), 1e-5, f"{name}: cut at {at} mm")


def check_tooling(tally, built):
    """Templates, plates, gauges and engravings."""
    check_templates(tally, built)
    attempt(tally, f"{built.stem} tip preform", check_preform, tally, built)
    attempt(tally, f"{built.stem} plates", check_plates, tally, built)
    for stage in ("forged", "ground"):
        attempt(tally, f"{built.stem} {stage} combs", check_combs, tally, built, stage)
        attempt(tally, f"{built.stem} {stage} section gauges", check_sections, tally, built, stage)
    for prefix in ("profile", "window", "comb", "section", "bevel", "tang"):
        for mesh, entry in built.parts(prefix):
            name = f"{built.stem} {entry['part']}"
            attempt(tally, name, engravings.check, tally, mesh, built.shop, name, prefix in ("comb", "section"))


def check_templates(tally, built):
    """Every template on paper and as a drawing; all three stages have one of each."""
    for kind in ("pdf", "dxf"):
        stages = sorted(entry["stage"] for entry in built.papers("template", kind))
        tally.check(stages == STAGES, f"{built.stem}: templates of {stages} in {kind}")
    for entry in built.papers("template"):
        outline = built.outlines[entry["stage"]]
        path = built.folder / entry["name"]
        attempt(tally, entry["name"], paper.check, tally, path, entry, outline, built.shop.paper)
    for entry in built.papers("template", "dxf"):
        outline = built.outlines[entry["stage"]]
        attempt(tally, entry["name"], drawings.check, tally, built.folder / entry["name"], outline)


def check_preform(tally, built):
    """The tip's cut line as a drawing, on paper and as a plate; none of them where the point is cut out of the end."""
    if built.design.get("billet", {}).get("tip") == "cut":
        tally.check(not built.papers("tip-preform", "dxf") + built.papers("tip-preform"), f"{built.stem}: no paper of the tip")
        tally.check(not built.parts("tip-preform"), f"{built.stem}: no gauge of the tip")
        return
    entry, page = (built.papers("tip-preform", kind)[0] for kind in ("dxf", "pdf"))
    cut = preform.check_drawing(tally, built.folder / entry["name"], built.outlines["forged"])
    preform.check_page(tally, built.folder / page["name"], page, built.shop.paper)
    [(mesh, plate)] = built.parts("tip-preform")
    preform.check_plate(tally, mesh, cut, f"{built.stem} {plate['part']}")
    engravings.check(tally, mesh, built.shop, f"{built.stem} {plate['part']}", False)


def check_kerf(tally, command, profile, room, built):
    """Sheet steel cut with a kerf: every contour lies half of it beside the same one without."""
    def widened(name):
        return name.endswith(metal.WIDENED)

    for kerf, of in ((metal.KERF, lambda name: not widened(name)), (metal.FINE_KERF, widened)):
        folder = room / f"kerf-{kerf}"
        run(command, "metal", profile, "--kerf", f"{kerf} mm", "--only", "dxf", "--out", folder)
        metal.check_kerf(tally, built.folder, folder, of, kerf)


def check_sheets(tally, command, profile, room, built, summary):
    """The bench sheet of the build, and on other papers by its own command."""
    plan = json.loads(run(command, "plan", "--json", profile)) if "billet" in built.design or "steel" in built.design else None
    told = sheet.told(summary, plan, Scales(profile))
    entries = built.papers("sheet")
    tally.check(len(entries) == 1, f"{built.stem}: one bench sheet, found {len(entries)}")
    for entry in entries:
        sheet.check(tally, built.folder / entry["name"], entry["pages"], upright(built.shop.paper), told)
    for paper, size in PAPERS.items():
        folder = room / f"sheet-{paper}"
        run(command, "sheet", profile, "--paper", paper, "--out", folder)
        entry = json.loads((folder / "manifest.json").read_text())["files"][0]
        sheet.check(tally, folder / entry["name"], entry["pages"], upright(size), told)


def check_long_names(tally, command, room):
    """The bench sheet of a design with names as long as they may be, of the widest letters and of what markup is made of."""
    text = (PROFILES / "landing-seax.toml").read_text()
    names = {"Landing seax": "A name that goes on and on " + "W" * 73, "Upper twist": '#$x$*_`<@"\\ ' + "W" * 80, "Edge": "m" * 100}
    for name, long in names.items():
        tally.check(f'"{name}"' in text, f"landing-seax.toml names {name}")
        text = text.replace(f'"{name}"', f"'{long}'")
    design = room / "long.toml"
    design.write_text(text)
    run(command, "sheet", design, "--out", room / "long")
    entry = json.loads((room / "long" / "manifest.json").read_text())["files"][0]
    sheet.check(tally, room / "long" / entry["name"], entry["pages"], upright(PAPERS["a4"]), list(names.values()))


def upright(paper):
    """A sheet standing on its short side."""
    return min(paper), max(paper)


def check_hot(tally, command, profile, room, built):
    """The finished template for hot steel is longer and broader by the steel's elongation."""
    folder = room / "hot"
    run(command, "template", profile, "--hot", f"{HOT} C", "--stage", "finished", "--only", "pdf", "--out", folder)
    entry = json.loads((folder / "manifest.json").read_text())["files"]
    entry = next(e for e in entry if e["kind"] == "pdf")
    outline = paper.scaled(built.outlines["finished"], 1.0 + LONGER)
    paper.check(tally, folder / entry["name"], entry, outline, built.shop.paper)


def check_plates(tally, built):
    """Profile and window plates against the silhouette of their stage."""
    for form, check in (("profile", plates.check_profile), ("window", plates.check_window)):
        pieces, outline = pieces_of(built, form)
        tally.check(pieces, f"{built.stem}: has a {form} plate")
        if pieces:
            check(tally, pieces, outline, built.shop, built.stem)


def pieces_of(built, form):
    """The pieces of a plate and the silhouette of its stage."""
    found = built.parts(form)
    pieces = [plates.Piece(mesh, entry) for mesh, entry in found]
    return pieces, built.outlines[found[0][1]["stage"]] if found else None


def check_combs(tally, built, stage):
    """The combs of a stage against its blade."""
    combs = [mesh for mesh, _ in built.parts(f"comb-{stage}")]
    gauges.check_comb(tally, combs, built.blades[stage], stations_of(built, stage), built.shop, f"{built.stem} {stage} comb")


def check_sections(tally, built, stage):
    """The section gauges of a stage against its blade; a ground blade's flanks are copied."""
    found = built.parts(f"section-{stage}-")
    stations = stations_of(built, stage)
    tally.check(len(stations) > 0, f"{built.stem}: has gauges of the {stage} stage")
    copied = 0
    for station, (mesh, entry) in zip(stations, found, strict=True):
        name = f"{built.stem} {entry['part']}"
        copied += gauges.check_section(tally, mesh, built.blades[stage], station, built.shop, name)
    # A section of the ricasso has no bevel to copy.
    tally.check(copied >= len(found) // 2 or stage == "forged", f"{built.stem}: {copied} gauges copy ground flanks")


def stations_of(built, stage):
    """The gauges' stations: the file's, or every 50 mm or 2 in, as many as there are section gauges."""
    names = [numbers(entry["part"])[0] for _, entry in built.parts(f"section-{stage}-")]
    stations = built.shop.stations or [i * built.shop.pitch for i in range(len(names))]
    if [round(at) for at in stations] != names:
        raise ValueError(f"stations {stations} and gauges {names} differ")
    return stations


def check_the_checks(tally, room):
    """Readers that never complain would prove nothing: a broken copy of a good file must be noticed."""
    for step in sorted(room.glob("*/built/blade/*.step"))[:1]:
        broken = room / "broken.step"
        broken.write_text(step.read_text().replace("EDGE_CURVE('',#", "EDGE_CURVE('',#9", 1))
        tally.check(opencascade.read_step(broken)[1], "a broken STEP file is noticed")
    for stl in sorted(room.glob("*/built/blade/*.stl"))[:1]:
        mesh = meshes.read_stl(stl)
        mesh.update_faces([number > 0 for number in range(len(mesh.faces))])
        tally.check(not mesh.is_watertight, "a missing facet is noticed by trimesh")
        tally.check(meshes.manifold_status(mesh) != "NoError", "a missing facet is noticed by Manifold")
    check_tooling_checks(tally, room / "landing-seax")


def check_tooling_checks(tally, room):
    """Plates out of place, gauges of another stage and templates of another size must be noticed."""
    profile = PROFILES / f"{room.name}.toml"
    built = Built(room / "built", tomllib.loads(profile.read_text()), room / "fine")
    shop, forged, ground = built.shop, built.blades["forged"], built.blades["ground"]
    for form, check in (("profile", plates.check_profile), ("window", plates.check_window)):
        pieces, outline = pieces_of(built, form)
        shifted = [pieces[0], *(piece.moved(1.0) for piece in pieces[1:])]
        tally.check(notices(check, shifted, outline, shop, form), f"a shifted {form} plate is noticed")
    stations = stations_of(built, "forged")
    combs = [mesh for mesh, _ in built.parts("comb-forged")]
    wrong = notices(gauges.check_comb, combs, ground, stations, shop, "comb")
    tally.check(wrong, "a comb of another stage is noticed")
    gauge, _ = built.parts("section-ground-")[1]
    wrong = notices(gauges.check_section, gauge, forged, stations[1], shop, "gauge")
    tally.check(wrong, "a section gauge of another stage is noticed")
    entry = built.papers("template")[0]
    larger = paper.scaled(built.outlines[entry["stage"]], 1.001)
    path = built.folder / entry["name"]
    tally.check(notices(paper.check, path, entry, larger, shop.paper), "a template scaled by 0.1 % is noticed")
    entry = built.papers("sheet")[0]
    path, size = built.folder / entry["name"], upright(shop.paper)
    for what, *given in (
        ("a page too few", entry["pages"] + 1, size, ["Landing seax"]),
        ("other paper", entry["pages"], (size[0], size[1] - 5.0), ["Landing seax"]),
        ("another name", entry["pages"], size, ["Landing sax"]),
        ("a bar left out", entry["pages"], size, ["Landing seax", "Middle twist"]),
    ):
        tally.check(notices(sheet.check, path, *given), f"{what} in a bench sheet is noticed")


def notices(check, *given):
    """Whether a check fails on what it is given; what it prints is dropped."""
    tally = Tally()
    with contextlib.redirect_stdout(io.StringIO()):
        check(tally, *given)
    return tally.failed > 0


if __name__ == "__main__":
    if len(sys.argv) != 2:
        sys.exit(__doc__)
    sys.exit(main(sys.argv[1]))
