"""Chromium without a screen, driven over the W3C's WebDriver protocol by its own driver program."""

import base64
import io
import json
import re
import subprocess
import urllib.request

import numpy
from PIL import Image

# Seconds that a command may take: a software renderer on a busy machine is slow.
PATIENCE = 120

# No profile of a user, no sandbox (it refuses to run as root), WebGL by the processor, and nobody to be found on any network but this machine.
ARGUMENTS = [
    "--headless=new",
    "--no-sandbox",
    "--hide-scrollbars",
    "--force-device-scale-factor=1",
    "--host-resolver-rules=MAP * ~NOTFOUND, EXCLUDE 127.0.0.1",
]
WITH_3D = ["--use-angle=swiftshader", "--enable-unsafe-swiftshader"]
WITHOUT_3D = ["--disable-gpu", "--disable-3d-apis"]

# Pixels of the longest picture that a page is kept as: the processor draws no larger ones.
LONGEST = 8000

# The name by which an element goes in the protocol.
ELEMENT = "element-6066-11e4-a52e-4f735466cecf"


class Browser:
    """One browser with one window."""

    def __init__(self, with_3d=True):
        self.driver = subprocess.Popen(["chromedriver", "--port=0"], stdout=subprocess.PIPE, stderr=subprocess.DEVNULL, text=True)
        told = iter(self.driver.stdout.readline, "")
        port = next(found[1] for line in told if (found := re.search(r"successfully on port (\d+)", line)))
        self.root = f"http://127.0.0.1:{port}/session"
        options = {"args": ARGUMENTS + (WITH_3D if with_3d else WITHOUT_3D)}
        wanted = {"browserName": "chrome", "goog:chromeOptions": options, "goog:loggingPrefs": {"browser": "ALL"}}
        session = self.ask("POST", "", {"capabilities": {"alwaysMatch": wanted}})
        self.root += f"/{session['sessionId']}"
        self.version = session["capabilities"]["browserVersion"]

    def __enter__(self):
        return self

    def __exit__(self, *_):
        try:
            self.ask("DELETE", "")
        finally:
            self.driver.terminate()
            self.driver.wait()

    def ask(self, method, path, body=None):
        """What the driver answers."""
        data = None if body is None else json.dumps(body).encode()
        request = urllib.request.Request(self.root + path, data, {"Content-Type": "application/json"}, method=method)
        try:
            with urllib.request.urlopen(request, timeout=PATIENCE) as answer:
                return json.load(answer)["value"]
        except urllib.error.HTTPError as fault:
            raise RuntimeError(json.load(fault)["value"]["message"].splitlines()[0]) from fault

    def protocol(self, command, **parameters):
        """A command of the browser's own protocol."""
        return self.ask("POST", "/goog/cdp/execute", {"cmd": command, "params": parameters})

    def size(self, width, height=900, dark=False):
        """Sets the page's width and height in pixels, by day or by night."""
        self.protocol("Emulation.setDeviceMetricsOverride", width=width, height=height, deviceScaleFactor=1, mobile=False)
        features = [{"name": "prefers-color-scheme", "value": "dark" if dark else "light"}]
        self.protocol("Emulation.setEmulatedMedia", features=features)

    def scripts(self, allowed):
        """Whether pages may run scripts."""
        self.protocol("Emulation.setScriptExecutionDisabled", value=not allowed)

    def open(self, path):
        """Opens a file and waits until it is there."""
        self.visit(path.resolve().as_uri())

    def visit(self, address):
        """Opens an address and waits until it is there."""
        self.ask("POST", "/url", {"url": address})

    def run(self, script, *arguments):
        """What a script returns in the page."""
        return self.ask("POST", "/execute/sync", {"script": script, "args": list(arguments)})

    def wait_for(self, script, *arguments):
        """What a script hands to the function that it is given last."""
        return self.ask("POST", "/execute/async", {"script": script, "args": list(arguments)})

    def find(self, selector):
        """An element."""
        return self.ask("POST", "/element", {"using": "css selector", "value": selector})[ELEMENT]

    def click(self, selector):
        """Clicks on an element."""
        self.ask("POST", f"/element/{self.find(selector)}/click", {})

    def keys(self, selector, text):
        """Types into an element."""
        self.ask("POST", f"/element/{self.find(selector)}/value", {"text": text})

    def drag(self, selector, right, down):
        """Drags from an element's middle with the mouse."""
        origin = {ELEMENT: self.find(selector)}
        moves = [
            {"type": "pointerMove", "origin": origin, "x": 0, "y": 0},
            {"type": "pointerDown", "button": 0},
            {"type": "pointerMove", "origin": origin, "x": right, "y": down, "duration": 200},
            {"type": "pointerUp", "button": 0},
        ]
        self.ask("POST", "/actions", {"actions": [{"type": "pointer", "id": "mouse", "actions": moves}]})

    def pixels(self, selector):
        """An element's picture as rows of red, green and blue, once two frames are drawn."""
        self.wait_for("const done = arguments[0]; requestAnimationFrame(() => requestAnimationFrame(done));")
        return dots(self.ask("GET", f"/element/{self.find(selector)}/screenshot"))

    def glance(self):
        """What the window shows, also where pages may run no script."""
        return dots(self.protocol("Page.captureScreenshot")["data"])

    def shoot(self, path):
        """Keeps the whole page as a picture."""
        wide, high = self.run("const e = document.documentElement; return [e.clientWidth, e.scrollHeight];")
        clip = {"x": 0, "y": 0, "width": wide, "height": min(high, LONGEST), "scale": 1}
        shot = self.protocol("Page.captureScreenshot", captureBeyondViewport=True, clip=clip)
        path.write_bytes(base64.b64decode(shot["data"]))

    def console(self):
        """What the console has been told since it was last asked."""
        return [f"{line['level']}: {line['message']}" for line in self.ask("POST", "/se/log", {"type": "browser"})]


def dots(shot):
    """A screenshot as rows of red, green and blue."""
    return numpy.asarray(Image.open(io.BytesIO(base64.b64decode(shot))).convert("RGB")).astype(int)
