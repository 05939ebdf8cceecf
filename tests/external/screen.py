"""A virtual display, and the viewer in it: what it shows, said by its own trace, and as pixels."""

import json
import os
import struct
import subprocess
import tempfile
import time
from pathlib import Path

import numpy

# Pixels of the display.
WIDTH, HEIGHT = 1500, 950

# Pixels of the window unless its size matters: a processor draws it, and that takes as long as it has pixels.
SIZE = (1000, 640)

# Pixels of a slider without its figure.
SLIDER = 130

# Seconds after which the window has heard of what was sent to it: it looks every 12 ms, and may have to wait for a processor.
HEARD = 0.15

# Seconds that something may take to be shown: a software renderer on a busy machine draws a few frames a second.
PATIENCE = 40


class Screen:
    """An X server without a screen; its picture is read from the file that it keeps."""

    def __enter__(self):
        self.room = tempfile.TemporaryDirectory()
        reading, writing = os.pipe()
        size = f"{WIDTH}x{HEIGHT}x24"
        arguments = ["Xvfb", "-displayfd", str(writing), "-screen", "0", size, "-fbdir", self.room.name, "-nolisten", "tcp"]
        self.server = subprocess.Popen(arguments, pass_fds=[writing], stderr=subprocess.DEVNULL)
        os.close(writing)
        with os.fdopen(reading) as told:
            number = told.readline().strip()
        self.environment = {**os.environ, "DISPLAY": f":{number}", "XDG_RUNTIME_DIR": self.room.name}
        self.environment.pop("WAYLAND_DISPLAY", None)
        return self

    def __exit__(self, *_):
        self.server.terminate()
        self.server.wait()
        self.room.cleanup()

    def pixels(self):
        """The picture as rows of red, green and blue: the X window dump that the server keeps (X11/XWDFile.h)."""
        dump = (Path(self.room.name) / "Xvfb_screen0").read_bytes()
        header = struct.unpack(">25I", dump[:100])
        size, columns, rows, line, colours = header[0], header[4], header[5], header[12], header[19]
        start = size + 12 * colours
        plain = numpy.frombuffer(dump, numpy.uint8, line * rows, start)
        return plain.reshape(rows, line // 4, 4)[:, :columns, 2::-1].copy()


class Viewer:
    """The program started on a design, and what its trace has said so far."""

    def __init__(self, screen, command, *options, folder=None, size=SIZE):
        self.screen = screen
        self.size = size
        self.trace = Path(screen.room.name) / f"trace-{time.monotonic_ns()}.jsonl"
        arguments = [command, "view", "--size", "{}x{}".format(*size), *map(str, options), "--trace", str(self.trace)]
        self.process = subprocess.Popen(arguments, env=screen.environment, cwd=folder)
        self.read = 0
        self.frames = []
        self.built = []
        self.followed = []
        self.state = None
        self.rests = False
        self.clicked = False

    def hear(self):
        """Reads what the trace says anew."""
        if not self.trace.exists():
            return
        text = self.trace.read_bytes()[self.read :]
        whole = text[: text.rfind(b"\n") + 1]
        self.read += len(whole)
        for line in whole.decode().splitlines():
            told = json.loads(line)
            self.state = told.get("state", self.state)
            self.rests = told.get("rests", self.rests)
            if "frame" in told:
                self.frames.append(told["frame"])
            if "built" in told:
                self.built.append(told["built"])
            if "followed" in told:
                self.followed.append(told["followed"])

    def until(self, holds, patience=PATIENCE):
        """Waits until the state is as wanted and the window rests; whether it came to that within so many seconds."""
        begun = time.monotonic()
        while time.monotonic() - begun < patience and self.alive():
            self.hear()
            if self.state and holds(self.state):
                self.settle()
                return True
            time.sleep(0.05)
        return False

    def settle(self):
        """Waits until the window rests: it has heard of what was sent, and nothing is drawn or built any more."""
        self.clicked = False
        begun = rested = time.monotonic()
        while time.monotonic() - rested < HEARD and time.monotonic() - begun < PATIENCE and self.alive():
            time.sleep(0.02)
            seen = len(self.frames)
            self.hear()
            if not self.rests or len(self.frames) != seen:
                rested = time.monotonic()

    def alive(self):
        """Whether the program still runs."""
        return self.process.poll() is None

    def window(self):
        """The window's number, as the server knows it: the display shows no other of our title."""
        return self.tool("search", "--name", "Seaxwright").split()[-1]

    def focus(self):
        """Gives the window the keys: without a window manager nobody else does."""
        self.tool("windowfocus", "--sync", self.window())
        self.pause()

    def tool(self, *words):
        """Runs xdotool; what it printed."""
        done = subprocess.run(["xdotool", *words], env=self.screen.environment, capture_output=True, text=True)
        return done.stdout

    def click(self, control):
        """Clicks on a control by the name it has in the trace, once the click before has had a frame of its own: of two in one
        frame the controls see the last."""
        if self.clicked:
            self.settle()
        x0, y0, x1, y1 = self.state["places"][control]
        self.point((x0 + x1) / 2, (y0 + y1) / 2)
        self.tool("click", "1")
        self.clicked = True

    def slide(self, control, share):
        """Drags a slider's knob to a share of its way; all the way means beyond its ends."""
        x0, y0, x1, y1 = self.state["places"][control]
        wide = x1 - x0 if control == "station" else SLIDER
        middle, knob = (y0 + y1) / 2, (y1 - y0) / 2.5
        beyond = {0: -20, 1: 20}.get(share, 0)
        self.drag((x0 + wide / 3, middle), (x0 + knob + share * (wide - 2 * knob) + beyond, middle))

    def drag(self, start, end, button="1"):
        """Presses at one point, moves in steps, and lets go at another."""
        self.point(*start)
        self.tool("mousedown", button)
        self.pause()
        for step in range(1, 6):
            self.point(*(a + (b - a) * step / 5 for a, b in zip(start, end)))
        self.tool("mouseup", button)

    def point(self, x, y):
        """Moves the mouse within the window, which has the display's upper left corner."""
        self.tool("mousemove", str(round(x)), str(round(y)))
        self.pause()

    def pause(self):
        """Lets a frame be drawn."""
        seen, begun = len(self.frames), time.monotonic()
        while len(self.frames) == seen and time.monotonic() - begun < 1.5:
            time.sleep(0.03)
            self.hear()

    def key(self, *keys):
        """Presses keys one after the other; a chord is written with a plus."""
        for key in keys:
            self.tool("key", key)
            self.pause()

    def chord(self, held, key):
        """Presses a key while another is held."""
        self.key(f"{held}+{key}")

    def close(self):
        """Closes the window by its key; the exit code."""
        self.chord("ctrl", "q")
        try:
            return self.process.wait(PATIENCE)
        except subprocess.TimeoutExpired:
            self.process.kill()
            return None
