"""A browser by the W3C WebDriver protocol (www.w3.org/TR/webdriver2), with Chromium's own driver."""

import base64
import json
import socket
import subprocess
import time
import urllib.error
import urllib.request

ELEMENT = "element-6066-11e4-a52e-4f735466cecf"  # the protocol's name for a reference to an element
TAB, ENTER, ESCAPE, RIGHT, DOWN, SPACE = "\ue004", "\ue007", "\ue00c", "\ue014", "\ue015", "\ue00d"


def free_port():
    with socket.socket() as door:
        door.bind(("127.0.0.1", 0))
        return door.getsockname()[1]


class Driver:
    """The driver's process; ends with its browsers."""

    def __init__(self):
        self.port = free_port()
        self.sessions = []
        self.process = subprocess.Popen(
            ["chromedriver", f"--port={self.port}"], stdout=subprocess.DEVNULL, stderr=subprocess.DEVNULL
        )
        for _ in range(100):
            try:
                self.call("GET", "/status")
                return
            except OSError:
                time.sleep(0.1)
        raise RuntimeError("chromedriver does not answer")

    def call(self, method, path, body=None):
        data = None if body is None else json.dumps(body).encode()
        request = urllib.request.Request(f"http://127.0.0.1:{self.port}{path}", data, method=method)
        request.add_header("content-type", "application/json")
        try:
            with urllib.request.urlopen(request, timeout=240) as answer:
                return json.load(answer)["value"]
        except urllib.error.HTTPError as error:
            raise RuntimeError(error.read().decode()[:800]) from error

    def close(self):
        # A driver that is told to end leaves the browsers that are still open running.
        for session in self.sessions:
            try:
                self.call("DELETE", f"/session/{session}")
            except (RuntimeError, OSError):
                pass  # closed before
        self.process.terminate()
        self.process.wait()


class Browser:
    """One browser window with a profile of its own."""

    def __init__(self, driver, wide=1280, high=900, dark=False, scripts=True, own_certificate=False):
        self.driver = driver
        arguments = ["--headless=new", "--no-sandbox", "--disable-dev-shm-usage", f"--window-size={wide},{high}"]
        options = {"args": arguments, "binary": "/usr/bin/chromium"}
        wishes = {"alwaysMatch": {"browserName": "chrome", "goog:chromeOptions": options}}
        # A certificate that the shop made itself is trusted as a person would who was told its print.
        wishes["alwaysMatch"]["acceptInsecureCerts"] = own_certificate
        self.session = driver.call("POST", "/session", {"capabilities": wishes})["sessionId"]
        driver.sessions.append(self.session)
        # Looking at every rule on a long page takes a while on a busy machine.
        self.ask("POST", "/timeouts", {"script": 180000})
        size = {"width": wide, "height": high, "deviceScaleFactor": 1, "mobile": wide < 600}
        self.cdp("Emulation.setDeviceMetricsOverride", **size)
        scheme = "dark" if dark else "light"
        self.cdp("Emulation.setEmulatedMedia", features=[{"name": "prefers-color-scheme", "value": scheme}])
        if not scripts:
            self.cdp("Emulation.setScriptExecutionDisabled", value=True)

    def ask(self, method, path, body=None):
        return self.driver.call(method, f"/session/{self.session}{path}", body)

    def cdp(self, command, **values):
        return self.ask("POST", "/goog/cdp/execute", {"cmd": command, "params": values})

    def go(self, address):
        self.ask("POST", "/url", {"url": address})

    def address(self):
        return self.ask("GET", "/url")

    def run(self, script, *values):
        return self.ask("POST", "/execute/sync", {"script": script, "args": list(values)})

    def later(self, script, *values):
        return self.ask("POST", "/execute/async", {"script": script, "args": list(values)})

    def find(self, what):
        return self.ask("POST", "/element", {"using": "css selector", "value": what})[ELEMENT]

    def click(self, what):
        self.run("document.querySelector(arguments[0]).scrollIntoView({block: 'center'})", what)
        self.ask("POST", f"/element/{self.find(what)}/click", {})

    def type(self, what, text):
        self.ask("POST", f"/element/{self.find(what)}/value", {"text": text})

    def keys(self, text):
        """Strokes keys one after the other, wherever the focus is."""
        strokes = []
        for key in text:
            strokes += [{"type": "keyDown", "value": key}, {"type": "keyUp", "value": key}]
        self.ask("POST", "/actions", {"actions": [{"type": "key", "id": "keys", "actions": strokes}]})

    def drag(self, x, y, by_x, by_y):
        """Takes what lies at a point of the window and lets it go elsewhere, in ten moves."""
        moves = [{"type": "pointerMove", "x": int(x), "y": int(y), "duration": 0}, {"type": "pointerDown", "button": 0}]
        for step in range(1, 11):
            to = {"x": int(x + by_x * step / 10), "y": int(y + by_y * step / 10)}
            moves.append({"type": "pointerMove", "duration": 30, **to})
        moves.append({"type": "pointerUp", "button": 0})
        pointer = {"type": "pointer", "id": "hand", "parameters": {"pointerType": "mouse"}, "actions": moves}
        self.ask("POST", "/actions", {"actions": [pointer]})

    def text(self):
        return self.run("return document.body.innerText")

    def until(self, script, seconds=120, *values):
        """Waits until a script answers with something true."""
        end = time.monotonic() + seconds
        while time.monotonic() < end:
            try:
                found = self.run(script, *values)
            except RuntimeError:
                found = None  # a page is being loaded
            if found:
                return found
            time.sleep(0.15)
        raise AssertionError(f"waited {seconds} s in vain for: {script}\nat {self.address()}\n{self.text()[:1500]}")

    def picture(self, path):
        wide, high = self.run("return [innerWidth, document.documentElement.scrollHeight]")
        clip = {"x": 0, "y": 0, "width": wide, "height": min(high, 7000), "scale": 1}
        made = self.cdp("Page.captureScreenshot", captureBeyondViewport=True, format="png", clip=clip)
        path.write_bytes(base64.b64decode(made["data"]))

    def close(self):
        try:
            self.ask("DELETE", "")
        except RuntimeError:
            pass
