"""Builds every profile and has other people's programs read what was written.

Usage: readers.py SEAXWRIGHT
"""

import hashlib
import json
import subprocess
import sys
import tempfile
from concurrent.futures import ProcessPoolExecutor
from pathlib import Path

import jsonschema
import tomllib

import meshes
import opencascade
from tally import Tally

PROFILES = Path(__file__).resolve().parents[2] / "profiles"
KINDS = ["3mf", "step", "stl"]
STAGES = ["finished", "forged", "ground"]


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
        check_the_checks(tally, Path(room))
    print(tally.closing_line())
    return 1 if tally.failed or not tally.passed else 0


def run(command, *arguments):
    """What the command prints; a failing command ends the run."""
    return subprocess.run([command, *map(str, arguments)], check=True, capture_output=True, text=True).stdout


def one_profile(command, schema, profile, folder):
    """One design's tally, made in a process of its own."""
    tally = Tally()
    check_profile(tally, command, schema, profile, folder)
    print(f"{profile.name}: {tally.passed} passed, {tally.failed} failed", flush=True)
    return tally


def check_profile(tally, command, schema, profile, folder):
    """One design through every reader."""
    faults = list(jsonschema.Draft202012Validator(schema).iter_errors(tomllib.loads(profile.read_text())))
    tally.check(not faults, f"{profile.name}: the schema accepts it: {[fault.message for fault in faults]}")
    try:
        summary = json.loads(run(command, "check", "--json", profile))
        run(command, "build", profile, "--out", folder)
    except subprocess.CalledProcessError as fault:
        tally.check(False, f"{profile.name}: {fault}\n{fault.stderr}")
        return
    entries = json.loads((folder / "manifest.json").read_text())["files"]
    check_manifest(tally, folder, entries, summary["slug"])
    for entry in entries:
        check_file(tally, folder / entry["name"], entry, summary["stages"][entry["stage"]])


def check_manifest(tally, folder, entries, slug):
    """The manifest lists every file, each with its hash."""
    listed = sorted(entry["name"] for entry in entries)
    found = sorted(path.name for path in folder.iterdir() if path.name != "manifest.json")
    tally.check(listed == found, f"{folder.name}: manifest lists {listed}, folder holds {found}")
    wanted = sorted(f"{slug}-{stage}.{kind}" for stage in STAGES for kind in KINDS)
    tally.check(found == wanted, f"{folder.name}: holds {found}, wanted {wanted}")
    for entry in entries:
        digest = hashlib.sha256((folder / entry["name"]).read_bytes()).hexdigest()
        tally.check(digest == entry["sha256"], f"{entry['name']}: SHA-256")


def check_file(tally, path, entry, wanted):
    """One file by its kind."""
    try:
        if path.suffix == ".step":
            check_step(tally, path, entry, wanted)
        elif path.suffix == ".stl":
            meshes.check(tally, meshes.read_stl(path), entry, path.name)
        else:
            check_3mf(tally, path, entry)
    except Exception as fault:  # a reader that can't go on is a failed check, and the others go on
        tally.check(False, f"{path.name}: {type(fault).__name__}: {fault}")


def check_3mf(tally, path, entry):
    """A 3MF by lib3mf's strict reading."""
    found, warnings, millimetres = meshes.read_3mf(path)
    tally.check(not warnings, f"{path.name}: lib3mf warns {warnings}")
    tally.check(millimetres, f"{path.name}: unit millimetre")
    tally.check(len(found) == 1, f"{path.name}: one object, found {len(found)}")
    for mesh in found:
        meshes.check(tally, mesh, entry, path.name)


def check_step(tally, path, entry, wanted):
    """A STEP file by OpenCASCADE, against `check --json`."""
    shape, messages = opencascade.read_step(path)
    tally.check(not messages, f"{path.name}: OpenCASCADE says {messages}")
    solids = opencascade.solids(shape) if shape is not None else []
    tally.check(len(solids) == 1, f"{path.name}: one solid, found {len(solids)}")
    for solid in solids:
        meshes.check_box(tally, opencascade.box(solid), entry["box_mm"], 2e-3, path.name)
        check_solid(tally, solid, wanted, path.name)


def check_solid(tally, solid, wanted, name):
    """Validity, mass and plane sections of a solid."""
    tally.check(opencascade.valid(solid), f"{name}: BRepCheck valid")
    volume, centre = opencascade.mass(solid)
    tally.near(volume, wanted["volume_mm3"], 1e-6 * wanted["volume_mm3"], f"{name}: volume")
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


def check_the_checks(tally, room):
    """Readers that never complain would prove nothing: a broken copy of a good file must be noticed."""
    for step in sorted(room.glob("*/*.step"))[:1]:
        broken = room / "broken.step"
        broken.write_text(step.read_text().replace("EDGE_CURVE('',#", "EDGE_CURVE('',#9", 1))
        tally.check(opencascade.read_step(broken)[1], "a broken STEP file is noticed")
    for stl in sorted(room.glob("*/*.stl"))[:1]:
        mesh = meshes.read_stl(stl)
        mesh.update_faces([number > 0 for number in range(len(mesh.faces))])
        tally.check(not mesh.is_watertight, "a missing facet is noticed by trimesh")
        tally.check(meshes.manifold_status(mesh) != "NoError", "a missing facet is noticed by Manifold")


if __name__ == "__main__":
    if len(sys.argv) != 2:
        sys.exit(__doc__)
    sys.exit(main(sys.argv[1]))
