"""Firefox in a test's hand by WebDriver BiDi (W3C): as much of a tab as is asked of it to drive a phone alone.

Without anything between: Firefox itself speaks it when it is started with a port.
"""

from __future__ import annotations

import json
import shutil
import signal
import subprocess
import time
from contextlib import suppress
from pathlib import Path
from typing import Any

from host import answers, free_port
from phone_alone import PhoneAlone
from websockets.exceptions import WebSocketException
from websockets.sync.client import connect

KEYS = {"Control": "\ue009", "Delete": "\ue017", "Tab": "\ue004", "Enter": "\ue007"}
"""As WebDriver numbers them (W3C, Keyboard actions)."""
COMES_UP_S = 120.0


def firefox() -> str:
    """Where Firefox is, "" where there is none."""
    return next((path for name in ("firefox", "firefox-esr") if (path := shutil.which(name))), "")


class Bidi:
    """One session with a Firefox over a profile, and its one tab.

    Args:
        profile: the folder of the profile.
        size: of the tab, CSS pixels.
    """

    def __init__(self, profile: Path, size: tuple[int, int]) -> None:
        profile.mkdir(parents=True, exist_ok=True)
        (profile / "user.js").write_text(PREFERENCES)
        port, self._number = free_port(), 0
        command = [firefox(), "--headless", "--no-remote", "--profile", str(profile)]
        command += ["--remote-debugging-port", str(port)]
        self.process = subprocess.Popen(command, stdout=subprocess.DEVNULL, stderr=subprocess.DEVNULL)
        until = time.monotonic() + COMES_UP_S
        while not answers("127.0.0.1", port):
            assert time.monotonic() < until, "Firefox did not come up"
            assert self.process.poll() is None, "Firefox ended"
            time.sleep(0.1)
        self._line = connect(f"ws://127.0.0.1:{port}/session", max_size=None)
        self.ask("session.new", capabilities={})
        self.tab = self.ask("browsingContext.getTree")["contexts"][0]["context"]
        width, height = size
        self.ask("browsingContext.setViewport", context=self.tab, viewport={"width": width, "height": height})
        self.touchscreen = self.keyboard = self  # as the other driver's tab has them

    def ask(self, method: str, **params: Any) -> Any:
        """Have Firefox do something; what came of it."""
        self._number += 1
        self._line.send(json.dumps({"id": self._number, "method": method, "params": params}))
        while True:
            said = json.loads(self._line.recv(timeout=300))
            if said.get("id") == self._number:
                assert said["type"] == "success", said
                return said["result"]

    @property
    def url(self) -> str:
        """Where the tab is."""
        return str(self.evaluate("location.href"))

    def goto(self, url: str, wait_until: str = "load") -> None:
        """To another page; a page that cannot be had is no fault here."""
        wait = {"load": "complete", "commit": "none"}[wait_until]
        self.ask("browsingContext.navigate", context=self.tab, url=url, wait=wait)
        time.sleep(0.3)

    def evaluate(self, script: str, given: Any = None) -> Any:
        """What a script comes to: an expression, or a function of one thing."""
        asked = f"(() => {{ const f = ({script}\n); return typeof f === 'function' ? f({json.dumps(given)}) : f; }})()"
        whole = f"Promise.resolve({asked}).then(made => JSON.stringify(made ?? null))"
        said = self.ask("script.evaluate", expression=whole, target={"context": self.tab}, awaitPromise=True)
        assert said["type"] == "success", said["exceptionDetails"]["text"]
        return json.loads(said["result"]["value"])

    def wait_for_timeout(self, ms: float) -> None:
        """Let time go by."""
        time.sleep(ms / 1000)

    def wait_for_selector(self, selector: str, *, state: str, timeout: float) -> None:
        """Wait until such an element is attached."""
        until = time.monotonic() + timeout / 1000
        while True:
            with suppress(AssertionError):  # asked while one page goes and the other comes
                if self.evaluate(f"Boolean(document.querySelector({json.dumps(selector)}))"):
                    return
            assert time.monotonic() < until, f"waited for {selector}"
            time.sleep(0.05)

    def tap(self, x: float, y: float) -> None:
        """A finger there."""
        steps = [{"type": "pointerMove", "x": round(x), "y": round(y)}, {"type": "pointerDown", "button": 0}]
        steps += [{"type": "pause", "duration": 30}, {"type": "pointerUp", "button": 0}]
        finger = {"type": "pointer", "id": "finger", "parameters": {"pointerType": "touch"}, "actions": steps}
        self.ask("input.performActions", context=self.tab, actions=[finger])

    def press(self, keys: str) -> None:
        """Keys pressed together, such as Control+A."""
        named = [KEYS.get(key, key.lower()) for key in keys.split("+")]
        steps = [{"type": "keyDown", "value": key} for key in named]
        self._keyed([*steps, *({"type": "keyUp", "value": key} for key in reversed(named))])

    def type(self, text: str, delay: float = 0) -> None:
        """One key after another."""
        self._keyed([{"type": kind, "value": c} for c in text for kind in ("keyDown", "keyUp")])

    def _keyed(self, steps: list[dict[str, str]]) -> None:
        self.ask(
            "input.performActions",
            context=self.tab,
            actions=[{"type": "key", "id": "keys", "actions": steps}],
        )

    def kill(self) -> None:
        """Every process of it at once, as a battery that falls out."""
        self.process.send_signal(signal.SIGKILL)
        self.process.wait()
        with suppress(OSError, WebSocketException):
            self._line.close()


PREFERENCES = "\n".join(
    f'user_pref("{name}", {json.dumps(value)});'
    for name, value in {
        "remote.active-protocols": 1,
        "dom.w3c_touch_events.enabled": 1,
        "browser.shell.checkDefaultBrowser": False,
        "browser.aboutwelcome.enabled": False,
        "datareporting.policy.dataSubmissionEnabled": False,
        "toolkit.telemetry.enabled": False,
        "app.update.enabled": False,
        "extensions.update.enabled": False,
        "network.captive-portal-service.enabled": False,
        "network.connectivity-service.enabled": False,
        "browser.safebrowsing.malware.enabled": False,
        "browser.safebrowsing.phishing.enabled": False,
        "services.settings.server": "data:,none",
        "permissions.default.persistent-storage": 1,
    }.items()
)
"""No traffic of the browser's own, and no question that nobody answers."""


class FirefoxAlone(PhoneAlone):
    """Firefox over a profile of its own, as a phone keeps one.

    Args:
        profile: the folder of the profile; what it holds outlives the browser.
        url: where the app is.
        size: as of a Phone.
    """

    def __init__(self, profile: Path, url: str, size: tuple[int, int] = (390, 844)) -> None:
        self.url, self.profile = url.rstrip("/"), profile
        self.width, self.height = size
        self.tab = Bidi(profile, size)
        self.page = self.tab  # type: ignore[assignment]

    def kill(self) -> None:
        """The battery falls out."""
        self.tab.kill()
