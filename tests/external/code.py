"""Has a general decoder read the code that `bench --lan` shows, off terminals with dark, light and other grounds.

Usage: code.py SEAXWRIGHT [FOLDER FOR PICTURES]
"""

import codecs
import os
import pty
import re
import select
import subprocess
import sys
import tempfile
import time
import urllib.request
from pathlib import Path

import numpy
import zxingcpp
from PIL import Image

from tally import Tally

PROFILES = Path(__file__).resolve().parents[2] / "profiles"

# Seconds that something may take on a busy machine before it counts as never.
PATIENCE = 60

# Columns that every terminal has.
COLUMNS = 80

# Pixels of a terminal's cell: twice as high as wide.
CELL = (8, 16)

# Terminals: their own letters and ground, then what they make of black and of bright white. Some have neither as they are.
TERMINALS = {
    "dark": ((204, 204, 204), (0, 0, 0), (0, 0, 0), (255, 255, 255)),
    "light": ((0, 0, 0), (255, 255, 255), (0, 0, 0), (255, 255, 255)),
    "blue and cream, dark": ((131, 148, 150), (0, 43, 54), (7, 54, 66), (253, 246, 227)),
    "blue and cream, light": ((101, 123, 131), (253, 246, 227), (7, 54, 66), (253, 246, 227)),
}

# The halves of a cell that letters fill, upper and lower.
FILLED = {" ": (False, False), "▀": (True, False), "▄": (False, True), "█": (True, True)}

# ECMA-48: colours of what follows; the letters' black, the ground's bright white, and all as it was.
COLOUR = re.compile("\x1b\\[([0-9;]*)m")


def rows(text):
    """The lines that draw a code, each as its letters with the colours set for them."""
    found = []
    for line in text.replace("\r", "").split("\n"):
        plain = COLOUR.sub("", line)
        if plain and set(plain) <= set(FILLED):
            found.append(line)
    return found


def picture(lines, terminal):
    """How a terminal shows lines of blocks, as rows of red, green and blue, with a margin of its own ground."""
    own_letters, own_ground, black, white = TERMINALS[terminal]
    wide = max(len(COLOUR.sub("", line)) for line in lines)
    shown = numpy.empty((2 * len(lines) + 4, wide + 4, 3), numpy.uint8)
    shown[:] = own_ground
    for row, line in enumerate(lines):
        letters, ground, column = own_letters, own_ground, 0
        for piece in re.split("(\x1b\\[[0-9;]*m)", line):
            colour = COLOUR.fullmatch(piece)
            if colour:
                codes = colour[1].split(";")
                letters = black if "30" in codes else own_letters
                ground = white if "107" in codes else own_ground
                continue
            for letter in piece:
                for half, filled in enumerate(FILLED[letter]):
                    shown[2 * row + 2 + half, column + 2] = letters if filled else ground
                column += 1
    return numpy.repeat(numpy.repeat(shown, CELL[1] // 2, axis=0), CELL[0], axis=1)


def read(shown, inverted=False):
    """What the decoder reads, with or without trying bright on dark; nothing where it finds no code."""
    found = zxingcpp.read_barcodes(shown, formats=zxingcpp.BarcodeFormat.QRCode, try_invert=inverted, try_downscale=False)
    return [code.text for code in found]


def address(text):
    """The address of the last code shown, as it stands in words below it."""
    return re.findall(r"^(http://\S+/\?key=[0-9a-f]+)\s*$", text.replace("\r", ""), re.MULTILINE)[-1]


class Shown:
    """A bench on this machine's own address with what it says: to a terminal, or to a pipe."""

    def __init__(self, command, room, terminal):
        line = [command, "bench", str(PROFILES / "ferrymans-knife.toml"), "--measured", str(room / "m.csv")]
        ours, theirs = pty.openpty() if terminal else os.pipe()
        self.ours, self.said, self.letters = ours, "", codecs.getincrementaldecoder("utf-8")()
        self.process = subprocess.Popen([*line, "--port", "0", "--lan=127.0.0.1"], stdout=theirs, stderr=subprocess.DEVNULL)
        os.close(theirs)

    def codes(self, count):
        """What was said once so many codes are shown."""
        until = time.monotonic() + PATIENCE
        while len(re.findall(r"/\?key=[0-9a-f]+\r?\n", self.said)) < count:
            ready, _, _ = select.select([self.ours], [], [], max(0.0, until - time.monotonic()))
            if not ready:
                raise RuntimeError(f"no code is shown: {self.said}")
            self.said += self.letters.decode(os.read(self.ours, 65536))
        return self.said

    def close(self):
        """Ends it."""
        self.process.send_signal(2)
        self.process.wait(PATIENCE)
        os.close(self.ours)


def check(tally, text, terminals, what, pictures):
    """The last code of a text is read off each of these terminals, and leads to the address below it."""
    wanted = address(text)
    lines = rows(text.split("For the next phone:")[-1])
    tally.check(len(lines) > 10, f"{what}: a code is drawn")
    tally.check(max(len(COLOUR.sub("", line)) for line in lines) < COLUMNS, f"{what}: it fits {COLUMNS} columns")
    for terminal in terminals:
        shown = picture(lines, terminal)
        if pictures:
            Image.fromarray(shown).save(pictures / f"{what} {terminal}.png".replace(" ", "-").replace(",", ""))
        found = read(shown)
        tally.check(found == [wanted], f"{what} on a terminal that is {terminal}: {found}, wanted {wanted}")


def main(command, pictures):
    """Checks the codes; the exit code is 1 when a check failed or none ran."""
    tally = Tally()
    for terminal, grounds in ((True, list(TERMINALS)), (False, ["dark", "blue and cream, dark"])):
        what = "terminal" if terminal else "pipe"
        with tempfile.TemporaryDirectory() as room:
            bench = Shown(command, Path(room), terminal)
            try:
                first = bench.codes(1)
                check(tally, first, grounds, f"{what} first", pictures)
                # The code that was read lets a phone in, and the next one is another.
                with urllib.request.urlopen(address(first), timeout=PATIENCE) as answer:
                    tally.check(answer.status == 200, f"{what}: the code lets in")
                second = bench.codes(2)
                check(tally, second, grounds, f"{what} second", pictures)
                tally.check(address(first) != address(second), f"{what}: a new code is shown")
                if not terminal:
                    # Bright on dark is what a pipe gets; on a light ground only a decoder that tries both reads it.
                    shown = picture(rows(second.split("For the next phone:")[-1]), "light")
                    tally.check(read(shown) == [] and read(shown, True) == [address(second)], f"{what}: not on a light ground")
            finally:
                bench.close()
    print(tally.closing_line())
    return 1 if tally.failed or not tally.passed else 0


if __name__ == "__main__":
    if len(sys.argv) not in (2, 3):
        sys.exit(__doc__)
    sys.exit(main(sys.argv[1], Path(sys.argv[2]) if len(sys.argv) == 3 else None))
