"""Changes blades in the viewer's window by mouse and keys, and reads the files that it writes.

Usage: hand.py SEAXWRIGHT [FOLDER FOR SCREENSHOTS]
"""

import csv
import json
import os
import random
import shutil
import subprocess
import sys
import tempfile
import time
import tomllib
from concurrent.futures import ThreadPoolExecutor
from pathlib import Path
from statistics import median

from PIL import Image

from screen import PATIENCE, SIZE, Screen, Viewer
from tally import Tally

PROFILES = Path(__file__).resolve().parents[2] / "profiles"

# Edits that are made and undone again.
EDITS = 60

# Saves of another program while the hand pulls, and pulls at random: variables of the environment raise them.
SAVES = int(os.environ.get("SEAXWRIGHT_SAVES", "40"))
PULLS = int(os.environ.get("SEAXWRIGHT_PULLS", "25"))

# Seconds that a key is held: a display presses it again and again by then (after 0.66 s, then 25 times a second).
HELD = 1.5

# Pixels of a window that has next to nothing to draw, and steps of the hand that are timed in it.
TINY = (64, 64)
NUDGES = 8

# Pixels at the window's foot that what is said below the fields of the panel takes, and the most of them as a share.
SAID = 150
FOOT_SHARE = 0.35

# Times that the mouse tries to take hold of something.
HOLDS = 3

# Pixels of the window in which every profile is pulled: as small as its fields can be read.
SMALL = (640, 480)

# Keys that another program changes, each to one of two values: none that the hand pulls.
OUTSIDE = [('name = "Landing seax"', 'name = "Ferry-house seax"'), ("back = 2.8", "back = 2.9")]


class Hand:
    """A window on a copy of a profile, or on none; what is checked of it."""

    def __init__(self, screen, command, room, shots, profile=None, size=SIZE):
        self.screen, self.command, self.shots = screen, command, shots
        self.room = Path(room)
        self.tally = Tally()
        self.design = None
        if profile:
            self.design = self.room / f"{profile}.toml"
            shutil.copy(PROFILES / f"{profile}.toml", self.design)
            self.text = self.design.read_text()
        options = [self.design, "--view", "right"] if profile else []
        self.viewer = Viewer(screen, command, *options, folder=self.room, size=size)

    def wants(self, what, holds):
        """Checks that the window comes to show something."""
        came = self.viewer.until(holds)
        self.tally.check(came, f"{what}; the window shows {self.shown() if not came else ''}")
        return came

    def shown(self):
        """What the window says of the hand, and then of the rest, as far as a line should go."""
        hand = (self.viewer.state or {}).get("hand", {})
        brief = {key: value for key, value in hand.items() if key != "handles"}
        return f"{json.dumps(brief)[:800]} {json.dumps(self.viewer.state)[:1200]}"

    def file_comes_to(self, what, holds):
        """Checks that the file comes to hold something."""
        begun = time.monotonic()
        while not holds(self.design.read_text()) and time.monotonic() - begun < PATIENCE:
            time.sleep(0.05)
        self.viewer.hear()
        self.tally.check(holds(self.design.read_text()), f"{what}: {self.viewer.state['hand']['refused']}")

    def shoot(self, name):
        """Keeps a screenshot where they are wanted."""
        if self.shots:
            wide, high = self.viewer.size
            Image.fromarray(self.screen.pixels()[:high, :wide]).save(self.shots / f"hand-{name}.png")

    def in_hand(self):
        """Takes the blade in hand by its key."""
        self.wants("a blade is shown", lambda t: t["name"])
        self.viewer.focus()
        self.viewer.key("d")
        self.wants("its handles are there", lambda t: t["hand"]["handles"])

    def handle(self, name):
        """The middle of a handle, pixels."""
        x0, y0, x1, y1 = self.viewer.state["places"][f"handle {name}"]
        return (x0 + x1) / 2, (y0 + y1) / 2

    def held(self, name):
        """Takes hold of a handle with the mouse, and where that is, pixels. What another program wrote is taken in first, and
        meanwhile there is nothing to hold: then once more."""
        for _ in range(HOLDS):
            x, y = self.handle(name)
            self.viewer.point(x, y)
            self.viewer.tool("mousedown", "1")
            self.viewer.point(x, y + 3)
            if self.viewer.until(lambda t: t["hand"]["doing"], patience=5):
                break
            self.viewer.tool("mouseup", "1")
            self.viewer.settle()
        return x, y

    def type_in(self, field, words):
        """Types into a field, and Enter."""
        self.viewer.click(field)
        self.viewer.settle()
        self.viewer.tool("type", "--delay", "60", words)
        self.viewer.settle()
        self.viewer.key("Return")

    def value(self, path):
        """What a handle's key comes to now."""
        for values in self.viewer.state["hand"]["handles"].values():
            if path in values:
                return values[path]
        return None


def pulled(h):
    """A handle follows the mouse, its key is written, and undo gives the first file back."""
    v = h.viewer
    x, y = h.handle("breadth at the shoulder")
    v.drag((x, y), (x, y + 12))
    h.wants("the breadth follows", lambda t: t["hand"]["steps"][0] == "breadth at the shoulder")
    h.file_comes_to("the breadth is written", lambda text: tomllib.loads(text)["outline"]["breadth"] > 36)
    breadth = tomllib.loads(h.design.read_text())["outline"]["breadth"]
    h.tally.check(h.design.read_text() == h.text.replace("breadth = 36", f"breadth = {breadth}"), "nothing else changed")
    h.tally.check((2 * breadth) % 1 == 0, f"the breadth lies on half millimetres: {breadth}")
    h.shoot("pulled")
    v.chord("ctrl", "z")
    h.file_comes_to("undo gives the first file", lambda text: text == h.text)
    v.chord("ctrl", "y")
    h.file_comes_to("redo does it again", lambda text: text != h.text)
    v.chord("ctrl", "z")
    h.file_comes_to("and undo again", lambda text: text == h.text)


def stopped(h):
    """The hand stops where a rule would break, with its sentence, and the file stays whole."""
    v = h.viewer
    x, y = h.handle("break of the back")
    v.point(x, y)
    v.tool("mousedown", "1")
    v.pause()
    for step in range(1, 5):
        v.point(x - 0.06 * SIZE[0] * step, y)
    h.wants("it says why it stopped", lambda t: t["hand"]["refused"])
    h.shoot("stopped")
    v.key("Escape")
    v.tool("mouseup", "1")
    h.wants("and lets go", lambda t: not t["hand"]["doing"] and not t["hand"]["refused"])
    h.tally.check(h.design.read_text() == h.text, "nothing was written")


def chosen(h):
    """Bevel and back are chosen from their words."""
    v = h.viewer
    v.click("jump Section")
    h.wants("the section is in sight", lambda t: in_sight(v, "section.back rounded", t))
    v.click("section.back rounded")
    h.file_comes_to("the back is rounded", lambda text: tomllib.loads(text)["section"]["back"]["form"] == "rounded")
    h.wants("and shown", lambda t: t["hand"]["steps"][0] == "back: rounded" and not t["hand"]["doing"])
    v.click("section.bevel hollow")
    h.file_comes_to("and the bevel hollow", lambda text: tomllib.loads(text)["section"].get("bevel") == "hollow")
    v.chord("ctrl", "z")
    v.chord("ctrl", "z")
    h.file_comes_to("both are undone", lambda text: text == h.text)


def typed(h):
    """Values are typed, elements put in and taken out, and what is no blade is told."""
    v = h.viewer
    v.click("jump Outline")
    h.wants("the outline is in sight", lambda t: in_sight(v, "field outline.length", t))
    h.type_in("field outline.length", "320")
    h.file_comes_to("a length is typed", lambda text: tomllib.loads(text)["outline"]["length"] == 320)
    v.click("jump Targets")
    h.wants("the panel goes to the targets", lambda t: in_sight(v, "field targets.balance", t))
    v.click("jump Outline")
    h.wants("and back to the outline", lambda t: in_sight(v, "field outline.length", t))
    h.type_in("field outline.length", "3")
    h.wants("a blade of 3 mm is refused", lambda t: t["hand"]["refused"])
    h.tally.check(tomllib.loads(h.design.read_text())["outline"]["length"] == 320, "the file keeps its length")
    scroll_to(h, "add taper 0")
    h.viewer.click("add taper 0")
    h.file_comes_to("a station is put in", lambda text: len(tomllib.loads(text)["taper"]) == 4)
    h.wants("and shown", lambda t: "remove taper 3" in t["places"] or t["hand"]["steps"][0].startswith("another"))
    h.shoot("typed")
    h.viewer.chord("ctrl", "z")
    h.viewer.chord("ctrl", "z")
    h.file_comes_to("all is undone", lambda text: text == h.text)


def named(h):
    """A steel is chosen from a list; one that is not known is refused, and what was typed stays to be mended."""
    v = h.viewer
    edge = len(tomllib.loads(h.text)["bar"]) - 1
    path = f"bar[{edge}].steel"
    scroll_to(h, f"names {path}")
    v.click(f"names {path}")
    h.wants("names are listed", lambda t: f"name {path} C105U" in t["places"])
    h.shoot("names")
    v.key("Escape")
    h.wants("and put away", lambda t: f"name {path} C105U" not in t["places"])
    h.type_in(f"field {path}", "1o84")
    h.wants("a steel that is not known is refused", lambda t: "1o84" in (t["hand"]["refused"] or ""))
    h.wants("what was typed stays", lambda t: t["hand"]["given"] == "1o84")
    h.shoot("refused")
    h.tally.check(h.design.read_text() == h.text, "and is not written")
    v.click(f"names {path}")
    h.wants("names are listed again", lambda t: f"name {path} 1018" in t["places"])
    v.settle()
    listed, field = (v.state["places"][name] for name in (f"name {path} 1018", f"field {path}"))
    v.point(*over_panel(v))
    v.tool("click", "4")
    v.settle()
    now = [v.state["places"].get(name) for name in (f"name {path} 1018", f"field {path}")]
    h.tally.check(now == [listed, field], f"the wheel moves neither list nor panel: {now}")
    v.click(f"name {path} 1018")
    h.file_comes_to("the steel is chosen", lambda text: tomllib.loads(text)["bar"][edge]["steel"] == "1018")
    h.wants("nothing is refused", lambda t: not t["hand"]["refused"])
    h.wants("and what would take it back", lambda t: t["hand"]["steps"][0] == f"bar {edge + 1}: steel 1018")
    h.shoot("named")
    v.chord("ctrl", "z")
    h.file_comes_to("and undone", lambda text: text == h.text)


def many(h):
    """Sixty edits by keys are undone to the first file, byte for byte."""
    v = h.viewer
    for edit in range(EDITS):
        if edit % 6 == 0:
            v.key("Next")
        v.chord("alt", ["Up", "Right", "Down", "Left"][edit % 4])
    v.settle()
    h.file_comes_to("keys move handles", lambda text: text != h.text)
    for _ in range(EDITS + 2):
        v.chord("ctrl", "z")
    h.file_comes_to("all of it is undone", lambda text: text == h.text)
    h.wants("there is nothing left to undo", lambda t: t["hand"]["steps"][0] is None)


def beside(h):
    """Another program saves while the hand pulls: both sides' changes stand, and the window shows the file."""
    v, dice = h.viewer, random.Random(7)
    last = {}
    for save in range(SAVES):
        if save % 10 == 0:
            x, y = h.held("breadth at the shoulder")
            h.tally.check(v.state["hand"]["doing"], f"the hand holds at save {save}; the window shows {h.shown()}")
        v.tool("mousemove", str(round(x)), str(round(y + dice.randint(4, 25))))
        before, after = dice.choice(OUTSIDE)
        text = h.design.read_text()
        old, new = (before, after) if before in text else (after, before)
        h.design.write_text(text.replace(old, new))
        last[before] = new
        time.sleep(dice.uniform(0, 0.12))
        if save % 10 == 9:
            v.tool("mouseup", "1")
            h.wants("all is written", lambda t: not t["hand"]["unsaved"] and not t["hand"]["doing"])
            v.settle()
    text = h.design.read_text()
    for new in last.values():
        h.tally.check(new in text, f"the other program's {new} stands")
    breadth = tomllib.loads(text)["outline"]["breadth"]
    h.tally.check(breadth != 36, f"the hand's breadth stands: {breadth}")
    h.wants("the window shows the file", lambda t: abs(h.value("outline.breadth") - breadth) < 1e-9)
    h.tally.check(v.state["hand"]["clash"] is None, "nothing to ask")


def listed(h):
    """An open list of names stands still while another program saves the file; where its field moves, it is closed, and told."""
    v = h.viewer
    text = h.design.read_text()
    edge = len(tomllib.loads(text)["bar"]) - 1
    path = f"bar[{edge}].steel"
    scroll_to(h, f"names {path}")
    v.click(f"names {path}")
    h.wants("names are listed", lambda t: f"name {path} 1018" in t["places"])
    v.settle()
    stood = [v.state["places"][place] for place in (f"name {path} 1018", f"field {path}")]
    before, after = next(pair for pair in OUTSIDE if pair[0] in text or pair[1] in text)
    other = text.replace(before, "NAME").replace(after, "NAME").replace("NAME", 'name = "Weir-house seax"')
    h.design.write_text(other)
    h.wants("the file of another program is shown", lambda t: t["name"] == "Weir-house seax")
    stands = [v.state["places"].get(place) for place in (f"name {path} 1018", f"field {path}")]
    h.tally.check(stands == stood, f"the list stands still: {stood}, {stands}")
    last = other[other.index("[[taper]]\nat = 310") : other.index("[[fuller]]")]
    more = other.replace(last, f"[[taper]]\nat = 260\nback = 4.2\n\n{last}")
    h.design.write_text(more)
    h.wants("a list whose field moves is closed", lambda t: f"name {path} 1018" not in t["places"])
    h.wants("and that is told", lambda t: "list of names was closed" in (t["notice"] or ""))
    h.shoot("list-closed")
    h.tally.check(h.design.read_text() == more, "nothing was chosen from it")
    scroll_to(h, f"names {path}")
    v.click(f"names {path}")
    h.wants("it opens again", lambda t: f"name {path} 1018" in t["places"])
    v.click(f"name {path} 1018")
    h.file_comes_to("and a steel is chosen", lambda text: tomllib.loads(text)["bar"][edge]["steel"] == "1018")


def follows(h):
    """The picture follows the hand, whatever the blade: length by the mouse, thickness by keys, a bar's height typed."""
    v = h.viewer
    handles = [name for name in v.state["hand"]["handles"] if f"handle {name}" in v.state["places"]]
    handles.sort(key=lambda name: name not in ("breadth at the shoulder", "point"))
    # Where a rule of this blade stops one handle, another can be pulled.
    h.tally.check(any(followed(h, name) for name in handles), "a handle can be pulled, and the picture follows")
    typed_height(h)
    thick = next(name for name in v.state["hand"]["handles"] if name.startswith("thickness of the back"))
    for _ in v.state["hand"]["handles"]:
        if v.state["hand"]["chosen"] == thick:
            break
        v.key("Next")
        v.settle()
    # A window with next to nothing in it: what is left is our own work.
    v.tool("windowsize", v.window(), *map(str, TINY))
    v.settle()
    [path] = [path for path in v.state["hand"]["handles"][thick] if path.endswith(".back")]
    was, v.followed, v.frames = h.value(path), [], []
    for step in range(NUDGES):
        v.key("alt+Up" if step % 4 < 3 else "alt+Down")
        h.wants(f"step {step} is seen", lambda t: len(v.followed) > step and t["hand"]["can_pull"])
    h.wants(f"{path} follows", lambda t: h.value(path) > was)
    h.wants("all is written", lambda t: not t["hand"]["unsaved"])
    checked = subprocess.run([h.command, "check", h.design], capture_output=True, text=True, check=False)
    h.tally.check(checked.returncode == 0, f"the file is sound: {checked.stdout}{checked.stderr}")


def followed(h, name):
    """Pulls a handle in steps by the mouse; whether the key that it goes by followed, and another blade was shown."""
    v = h.viewer
    was = v.state["hand"]["handles"][name]
    x, y = h.held(name)
    seen = len(v.built)
    # A pixel is up to 2 mm here.
    for step in range(1, 4):
        v.point(x + step, y - step)
    came = v.until(lambda t: t["hand"]["handles"].get(name) != was and len(v.built) > seen, patience=3)
    if not came:
        v.key("Escape")
    v.tool("mouseup", "1")
    h.wants("it is let go", lambda t: t["hand"]["can_pull"])
    return came


def typed_height(h):
    """Types another height of a bar that has one height, where there is a billet of such."""
    bars = tomllib.loads(h.design.read_text()).get("bar", [])
    plain = [place for place, bar in enumerate(bars) if isinstance(bar.get("height"), (int, float))]
    if not plain:
        return
    path, height = f"bar[{plain[-1]}].height", bars[plain[-1]]["height"] + 0.5
    v = h.viewer
    v.click("jump Billet")
    v.settle()
    scroll_to(h, f"field {path}")
    h.type_in(f"field {path}", str(height))
    written = lambda: tomllib.loads(h.design.read_text())["bar"][plain[-1]]["height"] == height
    h.wants(f"{path} is {height}, or it is said why not", lambda t: t["hand"]["refused"] or written())
    v.key("Escape")


def fitted(h):
    """A fit is looked at, left, and taken."""
    v = h.viewer
    before = h.design.read_text()
    v.click("fit")
    h.wants("a fit is offered", lambda t: "take it" in t["places"])
    h.shoot("fitted")
    v.click("leave it")
    h.wants("it is left", lambda t: "take it" not in t["places"])
    h.tally.check(h.design.read_text() == before, "nothing was written")
    v.click("fit")
    h.wants("it is offered again", lambda t: "take it" in t["places"])
    v.click("take it")
    h.wants("the targets are met", lambda t: t["hand"]["targets"] and all(t["hand"]["targets"]))
    h.file_comes_to("and written", lambda text: text != before)
    h.wants("the hand is free", lambda t: t["hand"]["can_pull"])
    v.click("fit")
    h.wants("nothing more is to be taken", lambda t: "close" in t["places"] and "take it" not in t["places"])
    v.click("close")
    h.wants("and it goes away", lambda t: "close" not in t["places"])


def from_nothing(h):
    """From nothing to a saved seax of four bars with weight and balance on target, by mouse and keys alone."""
    v = h.viewer
    h.wants("the first page", lambda t: t.get("start") and "make it" in t["places"])
    v.focus()
    h.shoot("start")
    for field, words in [("name", "Weir seax"), ("length", "300"), ("breadth at the shoulder", "32")]:
        v.click(field)
        v.settle()
        v.tool("type", "--delay", "60", words)
        v.settle()
    h.shoot("begun")
    v.click("make it")
    h.wants("the new blade is in hand", lambda t: t.get("hand") and t["hand"]["handles"])
    h.design = h.room / "weir-seax.toml"
    h.text = h.design.read_text()
    v.focus()
    v.click("weld")
    h.file_comes_to("it is welded of bars", lambda text: len(tomllib.loads(text).get("bar", [])) == 4)
    h.wants("bars are shown", lambda t: t["bars"])
    h.wants("the panel goes to the billet", lambda t: in_sight(v, "field billet.width", t))
    h.shoot("welded")
    told = json.loads(subprocess.run([h.command, "check", h.design, "--json"], capture_output=True, check=True).stdout)
    mass = told["stages"]["finished"]["mass_g"]
    for field, words in [("mass", f"{0.95 * mass:.0f}"), ("taper", "30"), ("breadth", "10"), ("fittings", "50")]:
        scroll_to(h, f"field targets.{field}")
        h.type_in(f"field targets.{field}", words)
        h.file_comes_to(f"{field} is written", lambda text, field=field: field in tomllib.loads(text).get("targets", {}))
        v.settle()
    h.shoot("targets")
    v.click("fit")
    h.wants("a fit is offered", lambda t: "take it" in t["places"])
    v.click("take it")
    h.wants("the weight is met", lambda t: t["hand"]["targets"] and all(t["hand"]["targets"]))
    v.settle()
    h.shoot("on-target")
    checked = subprocess.run([h.command, "check", h.design], capture_output=True, text=True, check=False)
    h.tally.check(checked.returncode == 0, f"check reads it: {checked.stdout}{checked.stderr}")
    h.tally.check("# A design for seaxwright" in h.design.read_text(), "its comments stand")


def in_sight(viewer, field, state=None):
    """Whether a field of the panel stands below its jumps and above what is said under it."""
    places = (state or viewer.state)["places"]
    top, place = places["jump Targets"][3], places.get(field)
    return place is not None and top + 4 <= place[1] and place[3] <= foot(viewer)


def foot(viewer):
    """Where the fields of the panel surely end, pixels from above."""
    top, high = viewer.state["places"]["jump Targets"][3], viewer.size[1]
    return high - min(SAID, FOOT_SHARE * (high - top) + 24)


def over_panel(viewer):
    """A place on the panel, pixels."""
    wide, high = viewer.size
    return 0.9 * wide, 0.7 * high


def scroll_to(h, field):
    """Turns the wheel over the panel until a field is in sight."""
    v = h.viewer
    v.point(*over_panel(v))
    for _ in range(60):
        if in_sight(v, field):
            # The wheel runs out: a place counts once it stands still.
            v.settle()
            if in_sight(v, field):
                return
        place = v.state["places"].get(field)
        v.tool("click", "5" if not place or place[3] > foot(v) else "4")
        v.pause()


def helped(h):
    """The list of keys comes and goes, and a key that is held acts once."""
    h.viewer.key("F1")
    h.wants("the keys are told", lambda t: t["hand"]["keys"])
    h.viewer.settle()
    h.shoot("keys")
    h.viewer.key("F1")
    h.wants("and put away", lambda t: not t["hand"]["keys"])
    v = h.viewer
    v.tool("keydown", "d")
    time.sleep(HELD)
    v.tool("keyup", "d")
    h.wants("a key held long lays the blade down once", lambda t: not t["hand"]["on"])
    v.key("d")
    h.wants("and takes it up again", lambda t: t["hand"]["handles"])


def random_pulls(h):
    """Handles pulled anywhere at random: the window lives, answers, and leaves a sound file."""
    v, dice = h.viewer, random.Random(11)
    for pull in range(PULLS):
        names = [name for name in v.state["hand"]["handles"] if f"handle {name}" in v.state["places"]]
        x, y = h.handle(dice.choice(names))
        v.drag((x, y), (x + dice.gauss(0, 60), y + dice.gauss(0, 25)))
        if dice.random() < 0.3:
            v.chord("ctrl", dice.choice("zy"))
        h.wants(f"it goes on after pull {pull}", lambda t: not t["hand"]["doing"] and not t["hand"]["unsaved"])
        checked = subprocess.run([h.command, "check", h.design], capture_output=True, text=True, check=False)
        h.tally.check(checked.returncode == 0, f"the file is sound after pull {pull}: {checked.stderr}")


def measured(h):
    """Readings are typed at the station, written into the measured file, answered, and taken back."""
    v, table = h.viewer, h.room / "landing-seax-measured.csv"
    v.key("m")
    h.wants("the panel is there", lambda t: t["readings"]["file"] == table.name and "reading back" in t["places"])
    h.type_in("reading back", "6.9")
    h.wants("without a day nothing is written", lambda t: "day" in (t["readings"]["refused"] or ""))
    h.tally.check(not table.exists(), "there is no file yet")
    h.type_in("reading day", "2026-05-02")
    for station, back in [(40, 6.9), (100, 6.7), (160, 6.4), (220, 6.1)]:
        rows = len(v.state["readings"]["rows"])
        h.type_in("reading station", str(station))
        h.wants("the line goes there", lambda t, station=station: abs(t["station_mm"] - station) < 1e-9)
        h.type_in("reading back", str(back))
        h.wants("the reading is written", lambda t, rows=rows: len(t["readings"]["rows"]) == rows + 1)
    h.wants("it says what to take off", lambda t: t["colour"] == "takeoff" and t["readings"]["near"])
    h.shoot("readings")
    told = subprocess.run([h.command, "compare", h.design, table], capture_output=True, text=True, check=False)
    h.tally.check("4 readings of 2026-05-02" in told.stdout, f"compare reads them: {told.stdout}{told.stderr}")
    near = v.state["readings"]["near"][-1][1]
    h.tally.check(f" {near} at " in told.stdout, f"and says the same: {near}")
    staged(h, table)
    with table.open("a", encoding="utf-8") as file:
        file.write("2026-05-02,,250,back,,,,,5.8,,by hand\n")
    v.click("take back")
    h.wants("the last one is taken back", lambda t: len(t["readings"]["rows"]) == 3)
    rows = list(csv.reader(table.read_text().splitlines()))
    kept = [(row[2], row[8]) for row in rows if row[0] == "2026-05-02"]
    h.tally.check(kept == [("40", "6.9"), ("100", "6.7"), ("160", "6.4"), ("250", "5.8")], f"all others stand: {kept}")
    for nowhere in ("900", "here"):
        h.type_in("reading station", nowhere)
        h.wants(f"{nowhere} is no station, and is told", lambda t: "section stays" in (t["readings"]["refused"] or ""))
    h.tally.check(v.state["station_mm"] == 240, "the line stays where it was")
    h.type_in("reading breadth", "three")
    h.wants("what is no length is refused", lambda t: "three" in (t["readings"]["refused"] or ""))
    h.tally.check("three" not in table.read_text(), "and not written")


def staged(h, table):
    """A reading of a stage that is chosen: it stands in the file, is compared as such, and the next one goes on with it."""
    v = h.viewer
    h.tally.check(v.state["readings"]["stage"] is None, "no stage is said before one is chosen")
    v.click("reading stage ground")
    h.wants("a stage is chosen", lambda t: t["readings"]["stage"] == "ground")
    h.type_in("reading station", "240")
    h.type_in("reading back", "4.6")
    h.wants("the reading is written with it", lambda t: "2026-05-02,ground,240,back," in t["readings"]["rows"][-1])
    h.wants("take-off is down to the finished blade", lambda t: t["legend"][0].startswith("to take off a side for finished"))
    h.shoot("stage")
    told = subprocess.run([h.command, "compare", h.design, table], capture_output=True, text=True, check=False)
    h.tally.check("at the ground stage by your file" in told.stdout, f"compare goes by it: {told.stdout}{told.stderr}")
    v.click("reading stage not said")
    v.settle()
    h.tally.check(v.state["readings"]["stage"] == "ground", "a day that says its stage goes on with it")
    v.click("take back")
    h.wants("it is taken back", lambda t: len(t["readings"]["rows"]) == 4)


def session(command, shots, profile, parts, size=SIZE):
    """Runs through parts in one window on a display of its own; what was checked."""
    with Screen() as screen, tempfile.TemporaryDirectory() as room:
        h = Hand(screen, command, room, shots, profile, size)
        if profile:
            h.in_hand()
        for part in parts:
            if not h.viewer.alive():
                h.tally.check(False, f"the window is gone before {part.__name__}")
                break
            part(h)
        told(h.viewer, f"{profile or 'no design'}: {', '.join(part.__name__ for part in parts)}")
        h.tally.check(h.viewer.close() == 0, "the window closes in peace")
        return h.tally


def told(viewer, what):
    """Says how long the hand waited for its picture, and each frame for our own work."""
    viewer.hear()
    if not viewer.followed:
        return
    work = [frame["work_ms"] for frame in viewer.frames]
    # What the card's drawing took is the processor's here.
    whole = [seen["whole_ms"] - seen["drawn_ms"] for seen in viewer.followed]
    built = [seen["built_ms"] for seen in viewer.followed]
    print(f"{what}: {len(whole)} pictures of the hand's blade {median(whole):.1f} ms after it moved in the middle, "
          f"{max(whole):.1f} ms at most, of that its making {median(built):.1f} ms; "
          f"{len(work)} frames: our work {median(work):.1f} ms in the middle, {max(work):.1f} ms at most", flush=True)


def main(command, shots):
    """Runs all sessions, two at a time; the exit code is 1 when a check failed."""
    whole = Tally()
    sessions = [
        ("landing-seax", [pulled, stopped, chosen, typed, named, many, fitted, helped]),
        ("landing-seax", [random_pulls, measured]),
        (None, [from_nothing]),
        ("landing-seax", [beside, listed]),
    ]
    follow = [(profile.stem, [follows], SMALL) for profile in sorted(PROFILES.glob("*.toml"))]
    with ThreadPoolExecutor(max_workers=2) as pool:
        for tally in pool.map(lambda one: session(command, shots, *one), sessions + follow):
            whole.add(tally)
    print(whole.closing_line())
    return 1 if whole.failed or not whole.passed else 0


if __name__ == "__main__":
    folder = Path(sys.argv[2]).resolve() if len(sys.argv) > 2 else None
    if folder:
        folder.mkdir(parents=True, exist_ok=True)
    sys.exit(main(str(Path(sys.argv[1]).resolve()), folder))
