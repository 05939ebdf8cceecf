"""Drives the pages of every profile in Chromium, and some in Firefox: links, 3D, widths, console, what a screen reader is told.

Usage: pages.py SEAXWRIGHT [FOLDER FOR SCREENSHOTS]
"""

import contextlib
import io
import json
import re
import subprocess
import sys
import tempfile
from pathlib import Path
from urllib.parse import unquote

import numpy

from browser import Browser
from firefox import Firefox
from screen import Screen
from tally import Tally

PROFILES = Path(__file__).resolve().parents[2] / "profiles"

# Where tests/run installs axe-core: beside the Python that runs this.
AXE = Path(sys.prefix) / "axe" / "node_modules" / "axe-core" / "axe.min.js"

# Pixels across of a phone, a tablet and a laptop.
WIDTHS = [360, 768, 1400]

# Pixels that a finger needs (WCAG 2.2, 2.5.5); half a pixel is rounding.
TARGET = 43.5

# Bytes of the shop's page for a blade of 480 mm, and of the customer's page.
MOST = {"index.html": 1_500_000, "show.html": 3_000_000}

# Share of the picture's dots that change when the blade is turned, at least; and of grey levels that count as a change.
TURNED = 0.005
CHANGED = 24

# Every rule of axe-core, those of the highest level with them: contrast of 7 to 1.
RULES = {"rules": {"color-contrast-enhanced": {"enabled": True}, "target-size": {"enabled": True}}}

# A blade, a bar and a steel that are called by scripts and tags.
HOSTILE = [
    ('name = "Landing seax"', 'name = "<script>document.title = \'struck\'</script>"'),
    ('name = "Upper twist"', 'name = "<img src=x onerror=document.title=\'struck\'>"'),
    ('name = "Landing sevens"', 'name = "</script><svg onload=document.title=\'struck\'>"'),
    ('layers = "Landing sevens"', 'layers = "</script><svg onload=document.title=\'struck\'>"'),
]


class Visit:
    """A browser, what is checked in it, and where screenshots go."""

    def __init__(self, browser, command, shots):
        self.browser = browser
        self.command = command
        self.shots = shots
        self.tally = Tally()

    def build(self, design, folder, *more):
        """Builds a design; whether that came off."""
        done = subprocess.run([self.command, "build", str(design), "--out", str(folder), *more], capture_output=True, text=True)
        self.tally.check(done.returncode == 0, f"{design.name}: is built: {done.stderr}")
        return done.returncode == 0

    def told(self, command, design):
        """What a command prints as JSON."""
        done = subprocess.run([self.command, command, "--json", str(design)], capture_output=True, text=True)
        return json.loads(done.stdout) if done.returncode == 0 else None

    def profile(self, design, room):
        """Both pages of one design."""
        folder = room / design.stem
        if not self.build(design, folder):
            return
        for name in MOST:
            page, what = folder / name, f"{design.stem} {name}"
            self.tally.check(page.stat().st_size <= MOST[name], f"{what}: {page.stat().st_size} bytes")
            self.widths(page, what)
            self.heard(what)
            self.turn(what)
            self.fetches(what)
        self.links(folder, design.stem)
        self.figures(design, folder)

    def quiet(self, what):
        """Checks that the console was told nothing."""
        told = self.browser.console()
        self.tally.check(not told, f"{what}: the console says {told}")

    def widths(self, page, what):
        """No sideways scrolling, no error, and targets for fingers, at every width, by day and by night."""
        for width in WIDTHS:
            dark = width == WIDTHS[-1]
            self.browser.size(width, dark=dark)
            self.browser.open(page)
            self.browser.run("document.querySelectorAll('details').forEach(d => { d.open = true; });")
            wide = self.browser.run("return document.documentElement.scrollWidth;")
            self.tally.check(wide <= width, f"{what}: {wide} pixels wide at {width}")
            small = self.browser.run(SMALL, TARGET)
            self.tally.check(not small, f"{what}: too small for a finger at {width}: {small}")
            self.quiet(f"{what} at {width}")
            if self.shots:
                self.browser.shoot(self.shots / f"{what.replace(' ', '-').removesuffix('.html')}-{width}.png")

    def heard(self, what):
        """axe-core finds nothing, by day and by night."""
        axe = AXE.read_text()
        for width, dark in ((WIDTHS[0], False), (WIDTHS[-1], True)):
            self.browser.size(width, dark=dark)
            self.browser.run(axe)
            found = self.browser.wait_for("const done = arguments[1]; axe.run(document, arguments[0]).then(r => done(r));", RULES)
            faults = [f"{v['id']}: {v['nodes'][0]['html'][:120]} ({len(v['nodes'])})" for v in found["violations"]]
            self.tally.check(not faults, f"{what}: {faults}")
            self.tally.check(len(found["passes"]) > 15, f"{what}: axe-core looked at {len(found['passes'])} rules")

    def turn(self, what):
        """The blade is shown in 3D and turns by button, key and mouse; its looks differ."""
        browser, canvas = self.browser, "#turn canvas"
        browser.size(WIDTHS[1])
        seen = browser.pixels(canvas)
        self.tally.check(share(seen, seen[0, 0]) > TURNED, f"{what}: a blade is seen in 3D")
        for way, act in (
            ("a button", lambda: browser.click("[data-hand=right]")),
            ("a key", lambda: browser.keys("[data-hand=right]", "\ue013\ue013")),
            ("the mouse", lambda: browser.drag(canvas, 60, 25)),
            ("coming nearer", lambda: browser.click("[data-hand=near]")),
        ):
            act()
            now = browser.pixels(canvas)
            self.tally.check(share(now, seen) > TURNED, f"{what}: {way} turns it, {share(now, seen):.4f} of its dots")
            seen = now
        looks = browser.run("return document.querySelectorAll('[data-look]').length;")
        if looks > 1:
            browser.click("[data-look='1']")
            now = browser.pixels(canvas)
            self.tally.check(share(now, seen) > TURNED, f"{what}: the bars have colours of their own")
            grey = numpy.ptp(now, axis=2).max()
            self.tally.check(grey > CHANGED, f"{what}: the bars are not grey")
        self.quiet(f"{what}, turned")

    def fetches(self, what):
        """Nothing was loaded from anywhere but the page."""
        loaded = self.browser.run("return performance.getEntriesByType('resource').map(e => e.name);")
        outside = [name for name in loaded if not name.startswith(("data:", "blob:"))]
        self.tally.check(not outside, f"{what}: loads {outside}")

    def links(self, folder, what):
        """Every link of the shop's page leads to a file that has something in it, or to a place on the page."""
        self.browser.open(folder / "index.html")
        links = self.browser.run("return Array.from(document.links, a => [a.getAttribute('href'), a.getAttribute('aria-label') || a.innerText]);")
        self.tally.check(len(links) > 40, f"{what}: has {len(links)} links")
        for to, words in links:
            self.tally.check(words.strip(), f"{what}: {to} is called something")
            if to.startswith("#"):
                there = self.browser.run("return !!document.getElementById(arguments[0]);", unquote(to[1:]))
                self.tally.check(there, f"{what}: {to} is on the page")
            else:
                path = folder / unquote(to)
                self.tally.check(path.is_file() and path.stat().st_size > 0, f"{what}: {to} is there")
        listed = {entry["name"] for entry in json.loads((folder / "manifest.json").read_text())["files"]}
        told = {to for to, _ in links if not to.startswith("#")}
        self.tally.check(told == listed - {"index.html", "bench-note.txt"}, f"{what}: {told ^ listed}")
        gauge = self.browser.run("const a = document.querySelector('td .links a'); if (a) a.click(); return a ? a.getAttribute('href') : '';")
        if gauge:
            shown = self.browser.run("const e = document.getElementById(arguments[0]); return !!e && e.getClientRects().length > 0;", gauge[1:])
            self.tally.check(shown, f"{what}: a station's gauge {gauge} is shown")

    def figures(self, design, folder):
        """What the pages tell is what `check` and `plan` tell, where the design is metric."""
        summary, plan = self.told("check", design), self.told("plan", design)
        self.browser.open(folder / "index.html")
        shop = self.browser.run("return document.body.innerText;")
        self.browser.open(folder / "show.html")
        customer = self.browser.run("return document.body.innerText;")
        if summary["unit"] != "mm":
            return
        finished = summary["stages"]["finished"]
        for mass in (finished["steel_mass_g"], finished["mass_g"]):
            for page, text in (("index", shop), ("show", customer)):
                self.tally.check(f"{mass:.0f} g" in text, f"{design.stem} {page}: weighs {mass:.0f} g")
        balance = f"{abs(finished['balance_from_guard_mm']):.1f} mm"
        self.tally.check(balance in customer, f"{design.stem}: balances at {balance}")
        band = plan and plan["blade_heat"]["hardening"]["celsius"]
        if band:
            heat = re.search(r"Harden\s+(\d+)(?:–(\d+))?", shop)
            found = heat and [float(end) for end in heat.groups() if end]
            self.tally.check(found == [round(end) for end in band], f"{design.stem}: hardens at {found}, plan says {band}")

    def bare(self, room):
        """Without scripts the page shows its pictures and says all that it says with them."""
        page = room / "landing-seax" / "index.html"
        self.browser.size(WIDTHS[1], height=1200)
        self.browser.open(page)
        turned = self.browser.glance()
        self.browser.scripts(False)
        self.browser.open(page)
        still = self.browser.glance()
        self.browser.scripts(True)
        self.tally.check(share(still, turned) > TURNED, "without scripts: the picture stands where the 3D was")
        self.tally.check(share(still, still[-1, 0]) > 10 * TURNED, "without scripts: the page is not empty")

    def notices(self, room):
        """The checks find what is wrong with a page that is spoilt on purpose."""
        page, whole = room / "landing-seax" / "show.html", self.tally
        spoilt = room / "spoilt.html"
        spoilt.write_text(page.read_text().replace("<main>", SPOILT.replace("WIDE", "W" * 200), 1))
        self.tally = Tally()
        self.browser.size(WIDTHS[0])
        self.browser.open(spoilt)
        wide = self.browser.run("return document.documentElement.scrollWidth;")
        small = self.browser.run(SMALL, TARGET)
        with contextlib.redirect_stdout(io.StringIO()):
            self.heard("spoilt")
        told = self.browser.console()
        heard, self.tally = self.tally.failed, whole
        self.tally.check(wide > WIDTHS[0], f"a line too wide is noticed: {wide}")
        self.tally.check(len(small) == 1, f"a box too small is noticed: {small}")
        self.tally.check(heard > 0, "axe-core notices a picture without words")
        self.tally.check(any("Content Security Policy" in line for line in told), f"a strange script is refused: {told}")

    def hostile(self, room):
        """Scripts and tags in names are shown as text and never run."""
        text = (PROFILES / "landing-seax.toml").read_text()
        for plain, bad in HOSTILE:
            self.tally.check(plain in text, f"the design has {plain}")
            text = text.replace(plain, bad)
        design = room / "hostile.toml"
        design.write_text(text)
        if not self.build(design, room / "hostile", "--only", "html,3mf,dxf"):
            return
        for name in MOST:
            self.browser.open(room / "hostile" / name)
            title = self.browser.run("return document.title;")
            self.tally.check(title.startswith("<script>"), f"hostile {name}: the title is {title}")
            shown = self.browser.run("return document.body.innerText;")
            self.tally.check("<img src=x onerror" in shown, f"hostile {name}: the bar's name is shown")
            self.quiet(f"hostile {name}")


# A picture without words, a line wider than any phone, a box too small, and a script that is not ours.
SPOILT = """<main>
<img src="data:,"><pre>WIDE</pre><input type="checkbox"><script>document.title = 'struck';</script>
"""

# Links, buttons and the like that are shown and too small for a finger.
SMALL = """
const least = arguments[0];
const all = document.querySelectorAll('a:not(.skip), button, summary, input, select');
return Array.from(all).filter(e => e.getClientRects().length)
    .filter(e => { const box = e.getBoundingClientRect(); return box.width < least || box.height < least; })
    .map(e => e.outerHTML.slice(0, 80));
"""


def share(pixels, other):
    """How many of the dots differ."""
    return float((numpy.abs(pixels - other).max(axis=2) > CHANGED).mean())


def without_webgl(tally, room):
    """Where WebGL is missing a picture stands in its place, and nothing complains."""
    with Browser(with_3d=False) as browser:
        browser.size(WIDTHS[0])
        browser.open(room / "landing-seax" / "show.html")
        tally.check(browser.run("return document.querySelector('#turn .live').hidden;"), "without WebGL: no empty canvas")
        tally.check(numpy.ptp(browser.pixels("#turn .still img")) > CHANGED, "without WebGL: a picture is shown")
        errors = [line for line in browser.console() if line.startswith("SEVERE")]
        tally.check(not errors, f"without WebGL: the console says {errors}")


def in_firefox(tally, room):
    """Another maker's browser shows and turns the blade too; with layers and without. Its window is no narrower than 500."""
    with Screen() as screen, Firefox(screen) as browser:
        print(f"Firefox {browser.version}")
        for design in ("landing-seax", "net-menders-knife"):
            for name in MOST:
                page, what = room / design / name, f"{design} {name} in Firefox"
                for width in (500, *WIDTHS[1:]):
                    browser.size(width)
                    browser.open(page)
                    wide, window = browser.run("return [document.documentElement.scrollWidth, innerWidth];")
                    tally.check(wide <= window, f"{what}: {wide} pixels wide at {window}")
                seen = browser.pixels("#turn canvas")
                tally.check(share(seen, seen[0, 0]) > TURNED, f"{what}: a blade is seen in 3D")
                for act in (lambda: browser.click("[data-hand=up]"), lambda: browser.keys("[data-hand=up]", "\ue012\ue012")):
                    act()
                    now = browser.pixels("#turn canvas")
                    tally.check(share(now, seen) > TURNED, f"{what}: it turns, {share(now, seen):.4f} of its dots")
                    seen = now
                tally.check(not browser.console(page), f"{what}: the console says {browser.console(page)}")


def main(command, shots):
    """Checks all pages; the exit code is 1 when a check failed or none ran."""
    designs = sorted(PROFILES.glob("*.toml"))
    with tempfile.TemporaryDirectory() as room, Browser() as browser:
        print(f"Chromium {browser.version}")
        visit = Visit(browser, command, shots)
        visit.tally.check(len(designs) > 0, f"{PROFILES.name}: has profiles")
        for design in designs:
            visit.profile(design, Path(room))
            print(f"{design.name}: {visit.tally.passed} passed, {visit.tally.failed} failed so far", flush=True)
        visit.bare(Path(room))
        visit.notices(Path(room))
        visit.hostile(Path(room))
        without_webgl(visit.tally, Path(room))
        in_firefox(visit.tally, Path(room))
    print(visit.tally.closing_line())
    return 1 if visit.tally.failed or not visit.tally.passed else 0


if __name__ == "__main__":
    if len(sys.argv) not in (2, 3):
        sys.exit(__doc__)
    sys.exit(main(sys.argv[1], Path(sys.argv[2]) if len(sys.argv) == 3 else None))
