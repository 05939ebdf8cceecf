"""Firefox on a virtual display, driven over its own Marionette protocol: messages of JSON, each after its length."""

import base64
import json
import socket
import subprocess
import tempfile
import time
from pathlib import Path

from browser import ELEMENT, dots

# Seconds until the program listens, and that a command may take, on a busy machine.
PATIENCE = 120

# A free port, no questions at the first start, and WebGL by the processor.
PREFERENCES = """
user_pref("marionette.port", 0);
user_pref("browser.shell.checkDefaultBrowser", false);
user_pref("datareporting.policy.dataSubmissionEnabled", false);
user_pref("webgl.force-enabled", true);
"""

# What the console holds of pages of our own.
CONSOLE = "return Services.console.getMessageArray().map(m => String(m.message || m)).filter(m => m.includes(arguments[0]));"


class Firefox:
    """One browser with one window."""

    def __init__(self, screen):
        self.room = tempfile.TemporaryDirectory()
        (Path(self.room.name) / "user.js").write_text(PREFERENCES)
        arguments = ["firefox-esr", "--marionette", "--remote-allow-system-access", "--no-remote", "--profile", self.room.name]
        environment = {**screen.environment, "LIBGL_ALWAYS_SOFTWARE": "1", "HOME": self.room.name}
        self.process = subprocess.Popen(arguments, env=environment, stdout=subprocess.DEVNULL, stderr=subprocess.DEVNULL)
        self.wire = socket.create_connection(("127.0.0.1", self.port()), timeout=PATIENCE)
        self.heard = b""
        self.asked = 0
        self.receive()
        self.version = self.ask("WebDriver:NewSession")["capabilities"]["browserVersion"]

    def port(self):
        """The port that the program says it listens on."""
        told, begun = Path(self.room.name) / "MarionetteActivePort", time.monotonic()
        while not (told.exists() and told.read_text().strip()):
            if time.monotonic() - begun > PATIENCE or self.process.poll() is not None:
                raise RuntimeError("Firefox does not listen")
            time.sleep(0.1)
        return int(told.read_text())

    def __enter__(self):
        return self

    def __exit__(self, *_):
        self.wire.close()
        self.process.terminate()
        self.process.wait()
        self.room.cleanup()

    def receive(self):
        """The next message."""
        while b":" not in self.heard:
            self.heard += self.more()
        length, _, rest = self.heard.partition(b":")
        while len(rest) < int(length):
            rest += self.more()
        self.heard = rest[int(length) :]
        return json.loads(rest[: int(length)])

    def more(self):
        """What has come over the wire."""
        found = self.wire.recv(1 << 16)
        if not found:
            raise RuntimeError("Firefox has gone")
        return found

    def ask(self, command, **parameters):
        """What the browser answers."""
        self.asked += 1
        message = json.dumps([0, self.asked, command, parameters]).encode()
        self.wire.sendall(b"%d:%s" % (len(message), message))
        _, _, fault, value = self.receive()
        if fault:
            raise RuntimeError(fault["message"])
        return value

    def size(self, width, height=900):
        """Sets the window's width and height in pixels."""
        self.ask("WebDriver:SetWindowRect", width=width, height=height)

    def open(self, path):
        """Opens a file and waits until it is there."""
        self.visit(path.resolve().as_uri())

    def visit(self, address):
        """Opens an address and waits until it is there."""
        self.ask("WebDriver:Navigate", url=address)

    def run(self, script, *arguments):
        """What a script returns in the page."""
        return self.ask("WebDriver:ExecuteScript", script=script, args=list(arguments))["value"]

    def find(self, selector):
        """An element."""
        return self.ask("WebDriver:FindElement", using="css selector", value=selector)["value"][ELEMENT]

    def click(self, selector):
        """Clicks on an element."""
        self.ask("WebDriver:ElementClick", id=self.find(selector))

    def keys(self, selector, text):
        """Types into an element."""
        self.ask("WebDriver:ElementSendKeys", id=self.find(selector), text=text)

    def pixels(self, selector):
        """An element's picture as rows of red, green and blue, once two frames are drawn."""
        waiting = "const done = arguments[0]; requestAnimationFrame(() => requestAnimationFrame(done));"
        self.ask("WebDriver:ExecuteAsyncScript", script=waiting, args=[])
        return dots(self.ask("WebDriver:TakeScreenshot", id=self.find(selector), full=False)["value"])

    def console(self, page):
        """What the console holds of a page."""
        self.ask("Marionette:SetContext", value="chrome")
        told = self.ask("WebDriver:ExecuteScript", script=CONSOLE, args=[page.name], sandbox="system")["value"]
        self.ask("Marionette:SetContext", value="content")
        return told
