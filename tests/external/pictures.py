"""Has every profile drawn without a display, and compares the pictures with those that were looked at.

Usage: pictures.py SEAXWRIGHT [--bless]
"""

import csv
import os
import subprocess
import sys
import tempfile
from pathlib import Path

import numpy
from PIL import Image

from tally import Tally

HERE = Path(__file__).resolve().parent
PROFILES = HERE.parents[1] / "profiles"
SEEN = HERE / "pictures"

# What is drawn of each profile: a name, and how it is asked for.
LOOKS = {
    "bars": ["--view", "turned", "--mark", "balance,nodes"],
    "layers": ["--view", "right", "--colour", "layers", "--ground", "60"],
    "thickness": ["--view", "back", "--colour", "taper", "--thicker", "6", "--dark", "--bare"],
    "take-off": ["--view", "right", "--measured", "MEASURED"],
}

# Thickness on the bench in parts of the ground blade's: too thick at the shoulder, too thin at the last station.
THICK, THIN = 1.08, 0.97

# Pixels: enough for every line of the section.
SIZE = "960x600"

# Of 255: renderers round differently, and soften borders differently by a pixel.
ROUNDING = 3
BORDERS = 0.004


def measure(command, profile, path):
    """Writes the sheet of a profile, filled in with a blade that is ground unevenly."""
    subprocess.run([command, "new", "--measured", profile, "--out", path], check=True, capture_output=True)
    rows = list(csv.DictReader(path.open(encoding="utf-8-sig")))
    last = max(float(row["station"]) for row in rows if row["station"])
    for row in rows:
        row["date"] = "2026-05-01"
        if row["what"] in ("back", "thickness"):
            share = THICK + (THIN - THICK) * float(row["station"]) / last
            row["measured"] = f"{float(row['planned ground']) * share:.4f}"
    with path.open("w", newline="", encoding="utf-8") as out:
        sheet = csv.DictWriter(out, rows[0].keys())
        sheet.writeheader()
        sheet.writerows(rows)


def compare(tally, name, path, seen):
    """Checks a picture against the one that was looked at."""
    with Image.open(path) as new, Image.open(seen) as old:
        found, wanted = (numpy.asarray(p.convert("RGB")).astype(int) for p in (new, old))
    tally.check(found.shape == wanted.shape, f"{name}: {found.shape} for {wanted.shape}")
    if found.shape == wanted.shape:
        off = (numpy.abs(found - wanted).max(axis=2) > ROUNDING).mean()
        tally.check(off <= BORDERS, f"{name}: {off:.2%} of the pixels differ")
    # An empty picture would be like itself.
    tally.check(len(numpy.unique(found.reshape(-1, 3), axis=0)) > 40, f"{name}: there is something on it")


def main(command, bless):
    """Draws and compares; the exit code is 1 when a check failed."""
    tally, known = Tally(), {path.stem for path in SEEN.glob("*.png")}
    environment = {k: v for k, v in os.environ.items() if k not in ("DISPLAY", "WAYLAND_DISPLAY")}
    with tempfile.TemporaryDirectory() as room:
        for profile in sorted(PROFILES.glob("*.toml")):
            measured = Path(room) / f"{profile.stem}.csv"
            measure(command, profile, measured)
            for look, words in LOOKS.items():
                words = [measured if word == "MEASURED" else word for word in words]
                name = f"{profile.stem}-{look}"
                path = SEEN / f"{name}.png" if bless else Path(room) / f"{name}.png"
                arguments = [command, "picture", profile, "--size", SIZE, "--out", path, *words]
                done = subprocess.run(arguments, env=environment, capture_output=True, text=True)
                tally.check(done.returncode == 0, f"{name}: {done.stderr}")
                tally.check(name in known or bless, f"{name}: was looked at")
                if done.returncode == 0 and (name in known or bless):
                    compare(tally, name, path, SEEN / f"{name}.png")
                    known.discard(name)
        profile = PROFILES / "landing-seax.toml"
        again = [Path(room) / f"{i}.png" for i in range(2)]
        for path in again:
            subprocess.run([command, "picture", profile, "--size", "400x300", "--out", path], env=environment, check=True)
        tally.check(again[0].read_bytes() == again[1].read_bytes(), "same input, same bytes")
    tally.check(not known, f"pictures that nothing draws: {known}")
    print(tally.closing_line())
    return 1 if tally.failed or not tally.passed else 0


if __name__ == "__main__":
    sys.exit(main(sys.argv[1], "--bless" in sys.argv[2:]))
