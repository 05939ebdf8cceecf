"""Drives the viewer's window by mouse and keys on a virtual display, and looks at what it shows.

Usage: window.py SEAXWRIGHT [FOLDER FOR SCREENSHOTS]
"""

import shutil
import sys
import tempfile
import time
from pathlib import Path

import numpy
from PIL import Image

from screen import PATIENCE, SIZE, Screen, Viewer
from tally import Tally

PROFILES = Path(__file__).resolve().parents[2] / "profiles"
DESIGN = "landing-seax.toml"

# ms: no frame may wait longer than this for anything but the graphics card. Here that card is the processor itself, which
# may take it from us for a while: one frame in a hundred is let pass.
BLOCKED = 50
PREEMPTED = 0.01

# Steps of 255 by which a colour may be shaded on a side that is turned to the eye: bevels lean by some degrees.
SHADED = 26


class Session:
    """One window, what is checked of it, and where its screenshots go."""

    def __init__(self, screen, command, room, shots):
        self.screen = screen
        self.shots = shots
        self.tally = Tally()
        self.design = Path(room) / DESIGN
        shutil.copy(PROFILES / DESIGN, self.design)
        self.text = self.design.read_text()
        self.viewer = Viewer(screen, command, self.design, "--view", "right")

    def wants(self, what, holds):
        """Checks that the window comes to show something."""
        came = self.viewer.until(holds)
        self.tally.check(came, f"{what}; the window shows {self.viewer.state if not came else ''}")

    def shoot(self, name):
        """The display's pixels, kept as a screenshot where they are wanted."""
        pixels = self.screen.pixels()
        if self.shots:
            Image.fromarray(pixels).save(self.shots / f"{name}.png")
        return pixels

    def bars_are_coloured(self, name):
        """Checks that each bar's side at the station comes to have the colour of its own and of no other."""
        begun = time.monotonic()
        while not all(off[bar] <= SHADED for bar, _, off in self.bars_seen(self.screen.pixels())):
            if time.monotonic() - begun > PATIENCE:
                break
            self.viewer.settle()
        seen = self.bars_seen(self.shoot(name))
        self.tally.check(len(seen) > 1, f"{name}: bars are seen")
        for bar, colour, off in seen:
            self.tally.check(min(off, key=off.get) == bar, f"{name}: bar {bar} shows {colour}, off by {off}")
            self.tally.check(off[bar] <= SHADED, f"{name}: bar {bar} shows {colour}, off by {off[bar]}")

    def bars_seen(self, pixels):
        """Each bar of the state, the colour at its place, and how far that is off each bar's own colour."""
        bars = self.viewer.state["bars"]
        seen = []
        for bar in bars:
            x, y = (round(c) for c in bar["pixel"])
            colour = pixels[y, x].astype(int)
            seen.append((bar["bar"], colour, {other["bar"]: numpy.abs(colour - other["srgb"]).max() for other in bars}))
        return seen

    def share_of(self, pixels, colours, within=8):
        """How much of the place for the blade is of one of these colours."""
        x0, y0, x1, y1 = (round(c) for c in self.viewer.state["free"])
        place = pixels[y0:y1, x0:x1].astype(int)
        hits = [numpy.abs(place - numpy.array(c)).max(axis=2) <= within for c in colours]
        return float(numpy.any(hits, axis=0).mean())


def started(s):
    """The window opens with the blade in its bars."""
    s.wants("the design is shown", lambda t: t["name"] == "Landing seax" and t["bars"])
    s.viewer.focus()
    state = s.viewer.state
    s.tally.check(state["colour"] == "bars" and state["ground"] == "finished", "bars of the finished blade first")
    s.tally.check([line.split(":")[0] for line in state["legend"]] == ["Back", "Upper twist", "Lower twist", "Edge"],
                  f"the legend names the bars: {state['legend']}")
    s.bars_are_coloured("bars")


def station(s):
    """The station follows the mouse, the slider and the keys."""
    v, before = s.viewer, s.viewer.state["station_mm"]
    x, y = v.state["bars"][0]["line"]
    pixel = 2 * v.state["camera"][5] / SIZE[1]
    v.drag((x, y), (x + 150, y))
    s.wants("the line is dragged along the blade", lambda t: abs(t["station_mm"] - before - 150 * pixel) < 3 * pixel)
    s.tally.near(v.state["camera"][0], 1.5708, 1e-3, "the blade did not turn")
    s.shoot("station")
    half, seen = v.state["camera"][5], v.state["bars"][0]["line"]
    v.point(*seen)
    v.tool("click", "4")
    s.wants("the wheel draws nearer", lambda t: t["camera"][5] < 0.95 * half)
    off = max(abs(a - b) for a, b in zip(seen, v.state["bars"][0]["line"]))
    s.tally.check(off < 2, f"what is under the mouse stays there: {off} pixels off")
    v.tool("click", "5")
    s.wants("and away again", lambda t: abs(t["camera"][5] - half) < 0.01 * half)
    v.slide("station", 0.5)
    low, high = -110, 310
    s.wants("the slider moves it", lambda t: low + 40 < t["station_mm"] < high - 40)
    at = v.state["station_mm"]
    v.key("Right", "Right", "Right")
    s.wants("arrows step by a millimetre", lambda t: abs(t["station_mm"] - at - 3) < 1e-6)
    v.chord("shift", "Left")
    s.wants("with shift by ten", lambda t: abs(t["station_mm"] - at + 7) < 1e-6)
    v.key("Home")
    s.wants("Home goes to the shoulder", lambda t: t["station_mm"] == 0)
    s.shoot("shoulder")
    v.key("End")
    s.wants("End goes to the point", lambda t: abs(t["station_mm"] - t["length_mm"]) < 1e-6)
    s.shoot("point")
    v.slide("station", 0.5)
    s.wants("and back", lambda t: t["station_mm"] < t["length_mm"] - 40)


def stages(s):
    """Stages and grinding change the blade's thickness."""
    v, finished = s.viewer, s.viewer.state["thickness_mm"]
    v.click("stage forged")
    s.wants("the forged stage", lambda t: t["ground"] == "forged" and t["thickness_mm"] > finished + 0.5)
    forged = v.state["thickness_mm"]
    v.click("stage ground")
    s.wants("the ground stage", lambda t: t["ground"] == "ground" and finished < t["thickness_mm"] < forged)
    v.click("colour Layers")
    s.wants("layers", lambda t: t["colour"] == "layers" and "C45" in [w.split(":")[0] for w in t["legend"]] and "etches darkest" in t["legend"][0])
    s.shoot("layers-as-etched")
    v.click("colour Steels")
    s.wants("layers by steel", lambda t: t["colour"] == "steels" and t["legend"][0].startswith("C45"))
    before = s.shoot("layers")
    v.slide("ground", 0.4)
    s.wants("partly ground", lambda t: t["ground"].endswith("% ground") and finished < t["thickness_mm"] < forged)
    after = s.shoot("partly-ground")
    x0, y0, x1, y1 = (round(c) for c in v.state["free"])
    changed = (numpy.abs(before.astype(int) - after)[y0:y1, x0:x1].max(axis=2) > 60).mean()
    s.tally.check(0.001 < changed < 0.2, f"grinding shows other layers: {changed} of the place changed")
    s.tally.check(s.share_of(after, [(0xD4, 0x7B, 0x3F)], 40) > 0.005, "the copper of 75Ni8 is on the blade")
    v.click("stage finished")
    s.wants("finished again", lambda t: t["ground"] == "finished" and abs(t["thickness_mm"] - finished) < 1e-9)


def colours(s):
    """Thickness and bare steel as colours."""
    v = s.viewer
    v.click("colour Thickness")
    s.wants("thickness", lambda t: t["colour"] == "taper" and any(w.endswith(" mm") for w in t["legend"])
            and any(w.endswith(" in") for w in t["legend"]))
    s.shoot("thickness")
    v.click("colour Bare steel")
    s.wants("bare steel", lambda t: t["colour"] == "steel")
    s.shoot("steel")
    v.key("b")
    s.wants("bars by their key", lambda t: t["colour"] == "bars")


def apart(s):
    """Bars apart, drawn thicker, from other sides, marked, by night."""
    v = s.viewer
    rows = [bar["pixel"][1] for bar in v.state["bars"]]
    v.slide("apart", 0.7)
    s.wants("bars apart", lambda t: t["apart"] > 0.4 and t["bars"])
    spread = [bar["pixel"][1] for bar in v.state["bars"]]
    s.tally.check(max(spread) - min(spread) > 1.3 * (max(rows) - min(rows)), f"bars stand apart: {rows} {spread}")
    s.bars_are_coloured("apart")
    v.slide("apart", 0.0)
    s.wants("and together", lambda t: t["apart"] == 0)
    v.click("look Back")
    s.wants("from the back", lambda t: abs(t["camera"][1]) < 0.02)
    v.slide("thicker", 1.0)
    s.wants("drawn thicker", lambda t: t["thicker"] > 9)
    s.shoot("thicker")
    v.slide("thicker", 0.0)
    v.click("look Turned")
    for mark in ["Centre of mass", "Balance", "Guard", "Percussion", "Nodes"]:
        v.click(f"mark {mark}")
    s.wants("marks", lambda t: t["marks"] == ["centre", "balance", "guard", "percussion", "nodes"] and t["thicker"] == 1)
    s.shoot("marks")
    v.click("light")
    s.wants("night", lambda t: t["dark"])
    s.tally.check(s.shoot("night")[5, 5].max() < 60, "the window is dark")
    v.click("light")
    for mark in ["Centre of mass", "Balance", "Guard", "Percussion", "Nodes"]:
        v.click(f"mark {mark}")
    s.wants("day, without marks", lambda t: not t["dark"] and t["marks"] == [])
    turned = v.state["camera"][0]
    x, y = (round(c) for c in v.state["free"][:2])
    v.drag((x + 300, y + 40), (x + 420, y + 70))
    s.wants("turned by the mouse", lambda t: abs(t["camera"][0] - turned) > 0.1)
    v.click("look Right side")
    s.wants("the right side", lambda t: abs(t["camera"][0] - 1.5708) < 1e-3)


def saved(s):
    """A picture is saved beside the design, and never over another."""
    for number in [1, 2]:
        path = s.design.parent / f"landing-seax-view-{number}.png"
        s.viewer.click("save")
        s.wants(f"picture {number} is told", lambda t: t["notice"] and t["notice"].endswith(path.name))
        with Image.open(path) as picture:
            s.tally.check(picture.size == SIZE, f"{path.name}: {picture.size}")
            if s.shots:
                picture.save(s.shots / path.name)


def reloaded(s):
    """A saved file is shown at once; settings and eye stay."""
    v = s.viewer
    v.key("l")
    s.wants("layers by their key", lambda t: t["colour"] == "layers")
    kept = (v.state["camera"], v.state["station_mm"], v.state["colour"])
    s.design.write_text(s.text.replace("Landing seax", "Ferry-house seax"))
    s.wants("the new name", lambda t: t["name"] == "Ferry-house seax")
    s.tally.check((v.state["camera"], v.state["station_mm"], v.state["colour"]) == kept, "eye and settings stay")
    s.tally.check(v.built[-1]["read"], "it was read anew")
    broken = s.text.replace('name = "Landing seax"', "name = 7")
    s.design.write_text(broken)
    line = 1 + broken[: broken.index("name = 7")].count("\n")
    s.wants("problems with their line", lambda t: [p["line"] for p in t["problems"]] == [line])
    s.tally.check(v.state["name"] == "Ferry-house seax", "the last good blade stays")
    x0, y0, x1, y1 = (round(c) for c in v.state["places"]["problems"])
    panel = s.shoot("problems")[y0:y1, x0:x1].astype(int)
    red = (panel[:, :, 0] > 130) & (panel[:, :, 1] < 80) & (panel[:, :, 2] < 80)
    s.tally.check(red.sum() > 200, f"the problems stand out: {red.sum()} pixels")
    v.click("stage forged")
    s.wants("the last good blade can still be turned over", lambda t: t["ground"] == "forged")
    v.click("stage finished")
    s.design.write_text(s.text)
    s.wants("mended", lambda t: t["problems"] == [] and t["name"] == "Landing seax" and t["ground"] == "finished")


def unharmed(s):
    """Files that vanish, turn into folders or change a hundred times; windows of every size."""
    v = s.viewer
    s.design.unlink()
    s.wants("a deleted file is told", lambda t: t["notice"] and "can't be read" in t["notice"])
    s.shoot("deleted")
    s.design.mkdir()
    s.wants("a folder in its place is told", lambda t: t["notice"] and "directory" in t["notice"].lower())
    s.design.rmdir()
    s.design.write_bytes(bytes(range(256)) * 20)
    s.wants("bytes that are no text are told", lambda t: len(t["problems"]) == 1)
    for number in range(100):
        s.design.write_text(s.text.replace("Landing seax", f"Seax {number}") if number % 7 else "name = \n")
        time.sleep(0.002)
    s.wants("the last of a hundred saves", lambda t: t["name"] == "Seax 99" and t["problems"] == [])
    window = v.window()
    for width, height in [(640, 480), (300, 1200), (1, 1), (2000, 90), SIZE]:
        v.tool("windowsize", window, str(width), str(height))
        time.sleep(0.8)
        s.tally.check(v.alive(), f"alive at {width}x{height}")
        if (width, height) == (640, 480):
            v.settle()
            s.shoot("small")
    v.tool("windowunmap", window)
    time.sleep(1)
    s.design.write_text(s.text)
    time.sleep(1)
    v.tool("windowmap", window)
    s.wants("back from being folded away", lambda t: t["name"] == "Landing seax")
    v.focus()
    s.wants("and drawn", lambda t: t["free"][2] == SIZE[0])
    s.shoot("back-again")


def quick(s):
    """No frame waited for our own work."""
    s.viewer.hear()
    work = [frame["work_ms"] for frame in s.viewer.frames]
    s.tally.check(len(work) > 100, f"{len(work)} frames")
    late = [ms for ms in work if ms > BLOCKED]
    s.tally.check(len(late) <= PREEMPTED * len(work), f"frames waited {late} ms")
    reads = [built["took_ms"] for built in s.viewer.built if built["read"]]
    whole = [frame["whole_ms"] for frame in s.viewer.frames]
    print(f"{len(work)} frames: our work {numpy.median(work):.2f} ms in the middle, {max(work):.2f} ms at most; "
          f"with the renderer {numpy.median(whole):.0f} ms in the middle")
    print(f"{len(reads)} files read: {numpy.median(reads):.1f} ms in the middle, {max(reads):.1f} ms at most")


def main(command, shots):
    """Runs through a session; the exit code is 1 when a check failed."""
    with Screen() as screen, tempfile.TemporaryDirectory() as room:
        s = Session(screen, command, room, shots)
        for part in [started, station, stages, colours, apart, saved, reloaded, unharmed, quick]:
            if not s.viewer.alive():
                s.tally.check(False, f"the window is gone before {part.__name__}")
                break
            part(s)
        s.tally.check(s.viewer.close() == 0, "the window closes in peace")
    print(s.tally.closing_line())
    return 1 if s.tally.failed or not s.tally.passed else 0


if __name__ == "__main__":
    folder = Path(sys.argv[2]) if len(sys.argv) > 2 else None
    if folder:
        folder.mkdir(parents=True, exist_ok=True)
    sys.exit(main(sys.argv[1], folder))
