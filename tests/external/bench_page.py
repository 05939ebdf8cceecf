"""Drives the served bench in Chromium and Firefox at once: readings over a line that breaks, a server that is killed, a key, timers.

Usage: bench_page.py SEAXWRIGHT [FOLDER FOR SCREENSHOTS]
"""

import csv
import random
import re
import shutil
import socket
import subprocess
import sys
import tempfile
import threading
import time
import urllib.error
import urllib.request
from pathlib import Path

from browser import Browser
from firefox import Firefox
from pages import AXE, HOSTILE, PROFILES, RULES, SMALL, TARGET, WIDTHS
from screen import Screen
from tally import Tally

# Readings typed, half of them in each browser; cuts of the line; kills of the server.
READINGS = 200
CUTS = 50
KILLS = 10

# Seconds that something may take on a busy machine before it counts as never.
PATIENCE = 60

# Seconds from a saved file to its answer on the page, and how often that is measured.
SHOWN = 0.3
SAVES = 7

# Presses the pad's buttons, one for each sign, then the one that keeps the reading.
TYPE = """
const [what, station, value] = arguments;
const set = (id, value, event) => { const e = document.getElementById(id); e.value = value; e.dispatchEvent(new Event(event)); };
set('what', what, 'change');
set('station', station, 'input');
for (const sign of value) document.querySelector(`[data-key="${sign}"]`).click();
document.getElementById('keep').click();
"""
WAITING = "return Number(document.getElementById('live').dataset.waiting);"
TEXT = "return document.querySelector('#whole pre').textContent;"
CURRENT = "return !!document.getElementById('live').dataset.shown;"
READY = "return document.querySelectorAll('#what option').length > 0 && document.getElementById('line').textContent.startsWith('The laptop listens');"

# Notes when the comparison on the page last changed.
WATCH = """
const note = () => { window.shown = performance.timeOrigin + performance.now(); };
new MutationObserver(note).observe(document.querySelector('#whole pre'), { childList: true, characterData: true, subtree: true });
"""

# Counts the tones that are begun.
LISTEN = """
window.tones = 0;
const Own = window.AudioContext;
window.AudioContext = class extends Own { createOscillator() { window.tones += 1; return super.createOscillator(); } };
"""


class Server:
    """The bench of a design, on a port of its own."""

    def __init__(self, command, design, table, port, *more):
        self.line = [command, "bench", str(design), "--measured", str(table), "--port", str(port), *more]
        self.design, self.table, self.command = design, table, command
        self.at = f"127.0.0.1:{port}"
        self.begin()

    def begin(self):
        """Starts it, and waits until it listens."""
        self.process = subprocess.Popen(self.line, stdout=subprocess.PIPE, stderr=subprocess.PIPE, text=True)
        first = self.process.stdout.readline()
        if self.at not in first:
            raise RuntimeError(f"the bench is not served: {first}{self.process.stderr.read()}")

    def kill(self):
        """Ends it at once, whatever it does."""
        self.process.kill()
        self.process.wait()

    def stop(self):
        """Ctrl+C: the exit code."""
        self.process.send_signal(2)
        return self.process.wait(PATIENCE)

    def key(self):
        """The address with the next key, as the terminal shows it."""
        lines = iter(self.process.stdout.readline, "")
        return next(line.strip() for line in lines if "/?key=" in line)

    def get(self, path):
        """What is answered to a request, and its status."""
        try:
            with urllib.request.urlopen(f"http://{self.at}{path}", timeout=PATIENCE) as answer:
                return answer.status, answer.read()
        except urllib.error.HTTPError as fault:
            return fault.code, fault.read()

    def compared(self):
        """What the command prints of the same file."""
        done = subprocess.run([self.command, "compare", str(self.design), str(self.table)], capture_output=True, check=True)
        return done.stdout


class Line:
    """A line to the server that can be cut: it hands on what comes, with the server's port in place of its own."""

    def __init__(self, server):
        self.server = server
        self.own = socket.create_server(("127.0.0.1", 0))
        self.at = f"127.0.0.1:{self.own.getsockname()[1]}"
        self.ends = set()
        self.dead = False
        threading.Thread(target=self.listen, daemon=True).start()

    def listen(self):
        """Takes on who comes."""
        while True:
            near, _ = self.own.accept()
            try:
                host, port = self.server.at.split(":")
                far = None if self.dead else socket.create_connection((host, int(port)), timeout=5)
            except OSError:
                far = None
            if far is None:
                near.close()
                continue
            far.settimeout(None)
            self.ends |= {near, far}
            for way in ((near, far, True), (far, near, False)):
                threading.Thread(target=self.carry, args=way, daemon=True).start()

    def carry(self, one, other, rename):
        """Hands on one way until an end is closed."""
        try:
            while data := one.recv(1 << 16):
                other.sendall(data.replace(self.at.encode(), self.server.at.encode()) if rename else data)
        except OSError:
            pass
        for end in (one, other):
            self.ends.discard(end)
            try:
                end.shutdown(socket.SHUT_RDWR)
            except OSError:
                pass
            end.close()

    def cut(self, seconds):
        """Cuts everything, and lets nobody through for a while."""
        self.dead = True
        for end in list(self.ends):
            try:
                end.shutdown(socket.SHUT_RDWR)
            except OSError:
                pass
        time.sleep(seconds)
        self.dead = False


def free_port():
    """A port that nobody listens on."""
    with socket.create_server(("127.0.0.1", 0)) as probe:
        return probe.getsockname()[1]


def errors(browser):
    """What the console was told that is an error: without 3D it is told that there is none."""
    return [line for line in browser.console() if line.startswith("SEVERE")]


def until(true, patience=PATIENCE):
    """Waits until something is so; whether it came to be."""
    begun = time.monotonic()
    while time.monotonic() - begun < patience:
        if true():
            return True
        time.sleep(0.02)
    return False


def heard(browser, tally, width):
    """axe-core finds nothing."""
    browser.run(AXE.read_text())
    found = browser.wait_for("const done = arguments[1]; axe.run(document, arguments[0]).then(r => done(r));", RULES)
    faults = [f"{v['id']}: {v['nodes'][0]['html'][:120]} ({len(v['nodes'])})" for v in found["violations"]]
    tally.check(not faults, f"at {width}: {faults}")
    tally.check(len(found["passes"]) > 20, f"axe-core looked at {len(found['passes'])} rules")


def looks(browser, tally, address, shots):
    """Widths, targets and axe-core, by day and by night; without scripts it is readable too."""
    for width in WIDTHS:
        browser.size(width, dark=width == WIDTHS[-1])
        browser.visit(address)
        tally.check(until(lambda: browser.run(READY)), f"at {width}: the page is in touch")
        until(lambda: browser.run(CURRENT))
        browser.run("document.querySelectorAll('details').forEach(d => { d.open = true; });")
        wide = browser.run("return document.documentElement.scrollWidth;")
        tally.check(wide <= width, f"{wide} pixels wide at {width}")
        small = browser.run(SMALL.replace("input", "input:not([type=checkbox]), .tick"), TARGET)
        tally.check(not small, f"too small for a finger at {width}: {small}")
        if width != WIDTHS[1]:
            heard(browser, tally, width)
        tally.check(not (told := errors(browser)), f"at {width}: the console says {told}")
        if shots:
            browser.shoot(shots / f"bench-{width}.png")
    browser.scripts(False)
    browser.visit(address)
    # Chromium runs the driver's own scripts all the same.
    words = browser.run("return document.body.innerText;")
    browser.scripts(True)
    tally.check("need scripts" in words and "Harden" in words and "Cautions" in words, "without scripts the plan stands there")
    browser.size(WIDTHS[1])
    browser.visit(address)
    tally.check(until(lambda: browser.run(READY)), "with scripts it is in touch again")


def typed(browser, readings, other_end):
    """Types readings, one after the other, while the line and the server come and go."""
    for what, station, value in readings:
        browser.run(TYPE, what, station, value)
        time.sleep(0.08)
    other_end.append(browser)


def storm(server, line, chromium, firefox, tally):
    """Half of the readings in each browser; the line is cut and the server killed at random; each counts once."""
    dice = random.Random(20)
    stations = dice.sample(range(1, 285), READINGS)
    readings = [("back", str(station), f"{dice.uniform(5.4, 6.2):.2f}") for station in stations]
    shares = [(chromium, readings[::2]), (firefox, readings[1::2])]
    done = []
    threads = [threading.Thread(target=typed, args=(*share, done)) for share in shares]
    begun = time.monotonic()
    for thread in threads:
        thread.start()
    blows = ["cut"] * CUTS + ["kill"] * KILLS
    dice.shuffle(blows)
    for blow in blows:
        time.sleep(dice.uniform(0.02, 0.12))
        if blow == "cut":
            line.cut(dice.uniform(0.0, 0.15))
        else:
            server.kill()
            server.begin()
    for thread in threads:
        thread.join()
    for browser in (chromium, firefox):
        sent = until(lambda b=browser: b.run(WAITING) == 0)
        tally.check(sent, f"all that waits is sent: {browser.run(WAITING)} left")
    print(f"{READINGS} readings, {CUTS} cuts, {KILLS} kills: {time.monotonic() - begun:.1f} s")
    rows = list(csv.DictReader(server.table.read_text().splitlines()))
    held = sorted((row["what"], row["station"], row["measured"]) for row in rows if row["measured"])
    tally.check(len(done) == 2 and held == sorted(readings), f"each reading once: {len(held)} rows, {len(set(held))} of them different")
    return readings


def same_answer(server, browsers, tally):
    """The command's text, byte for byte, is what the bench answers and what both pages show."""
    wanted = server.compared()
    status, answer = server.get("/compare.txt")
    tally.check(status == 200 and answer == wanted, f"the answer is the command's: {status}, {len(answer)} bytes of {len(wanted)}")
    for browser in browsers:
        shown = until(lambda b=browser: b.run(TEXT).encode() == wanted)
        tally.check(shown, "the page shows the command's text")


def both_see(server, chromium, firefox, tally):
    """What one phone does the other shows: a reading taken back, a step ticked."""
    back = "return Array.from(document.querySelectorAll('#taken button')).filter(b => b.textContent === 'Take back').length;"
    before = chromium.run(back)
    firefox.run("document.querySelector('#taken button').click();")
    undone = "return document.querySelectorAll('#taken .undone').length;"
    tally.check(until(lambda: chromium.run(undone) == 1 and firefox.run(undone) == 1), "a reading taken back is shown so on both")
    tally.check(before > 0 and server.table.read_text().count(",back,") >= READINGS - 1, "the others stay")
    rows = [row for row in csv.DictReader(server.table.read_text().splitlines()) if row["measured"]]
    tally.check(len(rows) == READINGS - 1, f"one row less: {len(rows)}")
    same_answer(server, (chromium, firefox), tally)
    steps = "return document.querySelectorAll('label.tick input').length;"
    tally.check(chromium.run(steps) > 15, f"{chromium.run(steps)} steps can be ticked")
    chromium.click("#forging ~ ol .tick input")
    ticked = "return document.querySelector('#forging ~ ol .tick input').checked;"
    tally.check(until(lambda: firefox.run(ticked)), "a step ticked is ticked on both")
    chromium.visit(chromium.run("return location.href;"))
    tally.check(until(lambda: chromium.run(ticked)), "it stays ticked when the page is loaded again")


def by_hand(server, chromium, tally):
    """Real clicks and keys: numbers on the pad, a value typed, one that is refused, rows that belong beside each other."""
    rows = lambda: [r for r in csv.DictReader(server.table.read_text().splitlines()) if r["measured"]]
    count = len(rows())
    chromium.run("const w = document.getElementById('what'); w.value = 'breadth'; w.dispatchEvent(new Event('change'));")
    chromium.run("const s = document.getElementById('station'); s.value = '100'; s.dispatchEvent(new Event('input'));")
    for sign in ("3", "7", ".", "4", "5", "back"):
        chromium.click(f"[data-key='{sign}']")
    chromium.click("#keep")
    tally.check(until(lambda: len(rows()) == count + 1), "a reading by the pad is in the file")
    tally.check(rows()[-1]["measured"] == "37.4" and rows()[-1]["station"] == "100", f"as it was typed: {rows()[-1]}")
    here = "return document.getElementById('here').innerText;"
    tally.check(until(lambda: re.search(r"(?m)^100$", chromium.run(here))), f"its station's take-off is shown: {chromium.run(here)!r}")
    whole = chromium.run("return document.querySelector('#whole pre').textContent;")
    table = whole[whole.index("to take off each side") :]
    rows_told = [row.split()[0] for row in table.split("\n\n")[0].splitlines() if "±" in row and row.split()[0].replace(".", "").isdigit()]
    for words, mm in [("147.5", 147.5), ("147,5", 147.5), ("5/8 in", 15.875), ('6-7/8"', 174.625), ("8 3/4 in", 222.25), ("40 mm", 40)]:
        chromium.run("const s = document.getElementById('station'); s.value = arguments[0]; s.dispatchEvent(new Event('input'));", words)
        nearest = min(rows_told, key=lambda row: abs(float(row) - mm))
        tally.check(re.search(rf"(?m)^{re.escape(nearest)}$", chromium.run(here)), f"{words} is {mm} mm: {chromium.run(here)!r}, wanted {nearest}")
    chromium.run("const w = document.getElementById('what'); w.value = 'weight'; w.dispatchEvent(new Event('change'));")
    chromium.keys("#value", "350\ue007")
    tally.check(until(lambda: len(rows()) == count + 2), "a weight typed and sent by Enter is in the file")
    chromium.keys("#value", "half\ue007")
    refused = "return document.getElementById('refused').innerText;"
    tally.check(until(lambda: '"half"' in chromium.run(refused)), f"what is no number is refused in words: {chromium.run(refused)!r}")
    chromium.click("#refused button")
    for station, value in (("-50", "150"), ("200", "200")):
        chromium.run("const w = document.getElementById('what'); w.value = 'support'; w.dispatchEvent(new Event('change'));")
        chromium.run("const s = document.getElementById('station'); s.value = arguments[0]; s.dispatchEvent(new Event('input'));", station)
        chromium.keys("#value", f"{value}\ue007")
    tally.check(len(rows()) == count + 2, "two supports wait for each other")
    chromium.click("#keep-all")
    tally.check(until(lambda: len(rows()) == count + 4), f"both supports are in the file: {len(rows())}")


def timers(chromium, tally):
    """A timer counts down, goes on over a reload, sounds and is stopped."""
    chromium.run(LISTEN)
    first = "document.querySelector('.timer')"
    names = chromium.run("return Array.from(document.querySelectorAll('.timer h3'), h => h.textContent);")
    tally.check({"Soak before the quench", "Temper", "Your own timer"} <= set(names), f"timers: {names}")
    chromium.click(".timer [data-do=start]")
    left = f"return {first}.querySelector('.left').textContent;"
    tally.check(until(lambda: re.fullmatch(r"\d+:\d\d", chromium.run(left))), f"it counts: {chromium.run(left)}")
    tally.check(chromium.run("return window.tones;") == 1, "a tone is laid out for its end")
    chromium.visit(chromium.run("return location.href;"))
    tally.check(until(lambda: re.fullmatch(r"\d+:\d\d", chromium.run(left))), f"it goes on when the page is loaded again: {chromium.run(left)}")
    chromium.run("for (const k of Object.keys(localStorage)) if (k.startsWith('bench-timer')) localStorage.setItem(k, String(Date.now() + 300));")
    tally.check(until(lambda: chromium.run(left) == "Time is up"), f"it ends: {chromium.run(left)}")
    tally.check(chromium.run(f"return {first}.querySelector('.left').getAttribute('role');") == "alert", "its end is told to who does not see it")
    chromium.click(".timer [data-do=stop]")
    tally.check(until(lambda: chromium.run(left) == "–"), "it is stopped")


def filled(table):
    """A blank table with a day's readings in it, as planned for the ground blade."""
    rows = list(csv.reader(table.splitlines()))
    for number, row in enumerate(rows[1:]):
        row[0] = "2026-05-01" if number == 0 else ""
        row[8] = row[6]
    return "".join(",".join(row[:10]) + ",\n" for row in rows)


def saves(command, room, chromium, tally, shots):
    """From a file saved by an editor to its answer on the page; what the editor wrote stays."""
    server = Server(command, room / "blade.toml", room / "day.csv", free_port())
    try:
        table = server.table
        text = filled(table.read_text())
        table.write_text(text)
        chromium.visit(f"http://{server.at}/")
        tally.check(until(lambda: chromium.run(READY) and chromium.run(CURRENT)), "the day's page is in touch")
        chromium.run(WATCH)
        took = []
        for n in range(SAVES):
            text += f"2026-05-01,,{20 + n},back,,,,,6.2,,by an editor\n"
            count = re.search(r"(\d+) readings", chromium.run(TEXT))[1]
            begun = time.time()
            table.write_text(text)
            shown = until(lambda: (found := re.search(r"(\d+) readings", chromium.run(TEXT))) and int(found[1]) == int(count) + 1)
            took.append(chromium.run("return window.shown;") / 1000 - begun)
            tally.check(shown, f"the editor's row {n} is shown")
        took.sort()
        print(f"from save to shown: {1000 * took[0]:.0f} to {1000 * took[-1]:.0f} ms, half within {1000 * took[SAVES // 2]:.0f} ms")
        tally.check(took[0] < SHOWN, f"from save to shown at best {took[0]:.3f} s")
        if shots:
            for width in WIDTHS[:2]:
                chromium.size(width)
                chromium.shoot(shots / f"bench-day-{width}.png")
        table.write_text("date,nonsense\n")
        how = "return document.getElementById('how').textContent;"
        tally.check(until(lambda: "nonsense" in chromium.run(how)), f"a spoilt file is told: {chromium.run(how)!r}")
        chromium.run(TYPE, "back", "33", "5.5")
        time.sleep(0.5)
        tally.check(chromium.run(WAITING) == 1, "a reading waits until the file is mended")
        table.write_text(text)
        tally.check(until(lambda: chromium.run(WAITING) == 0 and ",33,back,,,,,5.5," in table.read_text()), "then it is written")
        tally.check(text in table.read_text(), "and what the editor wrote stays")
        same_answer(server, (chromium,), tally)
    finally:
        server.kill()


def keys(command, room, chromium, firefox, tally):
    """In a network: a key for each phone, once; no script sees the cookie; who has none is refused."""
    server = Server(command, room / "blade.toml", room / "lan.csv", free_port(), "--lan=127.0.0.1")
    try:
        first = server.key()
        chromium.visit(f"http://{server.at}/")
        tally.check("not let in" in chromium.run("return document.body.innerText;"), "without a key nobody is let in")
        chromium.visit(first)
        tally.check(until(lambda: chromium.run("return location.search === '' && !!document.getElementById('live');")), "the key leads to the page")
        tally.check(chromium.run("return document.cookie;") == "", "no script sees the cookie")
        tally.check(until(lambda: chromium.run(READY)), "the phone is in touch")
        firefox.visit(first)
        tally.check("was used already" in firefox.run("return document.body.innerText;"), "a key fits once")
        firefox.visit(server.key())
        tally.check(until(lambda: firefox.run("return !!document.getElementById('live');")), "the next key lets a second phone in")
        server.kill()
        server.begin()
        chromium.run(TYPE, "back", "44", "5.5")
        stopped = "return document.getElementById('line').textContent;"
        tally.check(until(lambda: "Scan the code" in chromium.run(stopped)), f"after a new start the phone says what to do: {chromium.run(stopped)}")
        chromium.visit(server.key())
        tally.check(until(lambda: chromium.run("return !!document.getElementById('live');") and chromium.run(WAITING) == 0), "what waited is sent after the new key")
        tally.check(server.table.read_text().count(",44,back,") == 1, "once")
        tally.check(server.stop() == 0, "Ctrl+C ends it cleanly")
    finally:
        server.kill()


def hostile(command, room, chromium, tally):
    """Scripts in names are shown as text and never run on the served page either."""
    text = (PROFILES / "landing-seax.toml").read_text()
    for plain, bad in HOSTILE:
        text = text.replace(plain, bad)
    design, table = room / "hostile.toml", room / "<svg onload=document.title='struck'>.csv"
    design.write_text(text)
    server = Server(command, design, table, free_port())
    try:
        chromium.visit(f"http://{server.at}/")
        tally.check(until(lambda: chromium.run(READY)), "the hostile page is in touch")
        chromium.run(TYPE, "back", "50", "5.8")
        tally.check(until(lambda: chromium.run(TEXT) != ""), "it compares")
        tally.check(chromium.run("return document.title;").startswith("<script>"), "its title is text")
        tally.check("<img src=x onerror" in chromium.run("return document.body.innerText;"), "the bar's name is shown")
        tally.check(not (told := errors(chromium)), f"hostile: the console says {told}")
        tally.check(server.stop() == 0, "it ends cleanly with a page open")
    finally:
        server.kill()


def main(command, shots):
    """Checks the served bench; the exit code is 1 when a check failed or none ran."""
    tally, begun = Tally(), time.monotonic()
    with tempfile.TemporaryDirectory() as name, Browser(with_3d=False) as chromium, Screen() as screen, Firefox(screen) as firefox:
        print(f"Chromium {chromium.version}, Firefox {firefox.version}")
        room = Path(name)
        shutil.copy(PROFILES / "landing-seax.toml", room / "blade.toml")
        server = Server(command, room / "blade.toml", room / "m.csv", free_port())
        line = Line(server)
        try:
            chromium.size(WIDTHS[1])
            for browser in (chromium, firefox):
                browser.visit(f"http://{line.at}/")
                tally.check(until(lambda b=browser: b.run(READY)), "the page is in touch")
            storm(server, line, chromium, firefox, tally)
            same_answer(server, (chromium, firefox), tally)
            both_see(server, chromium, firefox, tally)
            address = f"http://{server.at}/"
            chromium.console()
            looks(chromium, tally, address, shots)
            by_hand(server, chromium, tally)
            timers(chromium, tally)
            tally.check(server.stop() == 0, "Ctrl+C ends it cleanly")
        finally:
            server.kill()
        saves(command, room, chromium, tally, shots)
        keys(command, room, chromium, firefox, tally)
        chromium.visit("about:blank")
        chromium.console()
        hostile(command, room, chromium, tally)
    print(f"{time.monotonic() - begun:.0f} s in all")
    print(tally.closing_line())
    return 1 if tally.failed or not tally.passed else 0


if __name__ == "__main__":
    if len(sys.argv) not in (2, 3):
        sys.exit(__doc__)
    sys.exit(main(sys.argv[1], Path(sys.argv[2]) if len(sys.argv) == 3 else None))
