"""A phone in a test's hand: reads the screen by its accessibility tree, taps by name; knows no job and no route.

What a screen reader would say is all that is asked for here, so a test that can find a button proves
that a person who cannot see it can. Flutter paints on one canvas and puts that tree beside it once a
hidden element was clicked.
"""

from __future__ import annotations

import copy
import os
import re
import urllib.request
from collections.abc import Callable
from dataclasses import dataclass
from pathlib import Path

from playwright.sync_api import Browser, Page, Playwright, Request

GET_CHROMIUM = "there is no Chromium here"
ANDROID = (
    "Mozilla/5.0 (Linux; Android 15; Pixel 8) AppleWebKit/537.36 (KHTML, like Gecko) "
    "Chrome/140.0.0.0 Mobile Safari/537.36"
)
QUIET = (
    "--no-sandbox",
    "--no-first-run",
    "--disable-background-networking",
    "--disable-component-update",
    "--disable-domain-reliability",
    "--disable-sync",
    "--disable-quic",
    "--disable-gpu",
    "--disable-software-rasterizer",
    "--in-process-gpu",
    "--host-resolver-rules=MAP * ~NOTFOUND , EXCLUDE 127.0.0.1",
)
"""No sandbox, since a container's root has none; no traffic of the browser's own; no other host to be found. What is
shown is drawn without imitating a graphics card, which costs a third more where there is none."""

FRAME_MS = 100
STILL_MS = FRAME_MS + 20
SELDOM = f"""window.requestAnimationFrame = drawn => setTimeout(() => drawn(performance.now()), {FRAME_MS});
window.cancelAnimationFrame = clearTimeout;"""
"""Ten pictures a second, not sixty: without a graphics card each costs the processor more than the test does. What is
the same this much later lies still."""

PATIENCE_S = 60.0
START_S = 180.0
"""Nobody is timed by these: a busy machine may take so long."""

TREE = """() => {
  const host = document.querySelector('flt-semantics-host');
  const nodes = [];
  for (const e of host ? host.querySelectorAll('*') : []) {
    const words = [...e.childNodes].filter(n => n.nodeType === 3).map(n => n.data.trim()).join(' ').trim();
    const name = e.getAttribute('aria-label') ?? words;
    const typed = e.tagName === 'INPUT' || e.tagName === 'TEXTAREA';
    const role = typed ? 'textbox' : /^H[1-6]$/.test(e.tagName) ? 'heading'
      : e.getAttribute('role') ?? (e.hasAttribute('flt-tappable') ? 'button' : '');
    if (!name && !role) continue;
    const r = (typed ? e.closest('flt-semantics') ?? e : e).getBoundingClientRect();
    const scrolled = e.parentElement.closest('[role=group]')?.getBoundingClientRect();
    const [from, to] = scrolled ? [scrolled.top, scrolled.bottom] : [0, innerHeight];
    nodes.push([name, role, typed ? e.value : '', r.left, r.top, r.width, r.height, from, to]);
  }
  return nodes;
}"""

# a phone's browser is believed only at the very centre of the element
WAKE_TREE = """() => {
  const e = document.querySelector('flt-semantics-placeholder');
  if (!e) return;
  const r = e.getBoundingClientRect();
  const at = {clientX: r.left + r.width / 2, clientY: r.top + r.height / 2};
  e.dispatchEvent(new MouseEvent('click', {bubbles: true, cancelable: true, ...at}));
}"""

GO = "route => { history.pushState({}, '', route); dispatchEvent(new PopStateEvent('popstate')); }"

TAPPED = ("button", "textbox", "checkbox", "radio", "switch", "link", "tab", "menuitem")


@dataclass(frozen=True, slots=True)
class Node:
    """Something on the screen as a screen reader has it; the box is in CSS pixels, which are dp.

    `shown_from` and `shown_to` are the edges of what scrolls it, or of the screen.
    """

    name: str
    role: str
    value: str
    left: float
    top: float
    width: float
    height: float
    shown_from: float
    shown_to: float

    @property
    def right(self) -> float:
        return self.left + self.width

    @property
    def bottom(self) -> float:
        return self.top + self.height

    @property
    def tapped(self) -> bool:
        """Whether a thumb is meant to land on it."""
        return self.role in TAPPED

    @property
    def middle(self) -> float:
        return self.top + self.height / 2

    @property
    def whole(self) -> bool:
        """Whether no part of it is scrolled out of sight; the box ends where the sight does."""
        return self.shown_from + 0.5 < self.top and self.bottom < self.shown_to - 0.5

    def answers_to(self, name: str) -> bool:
        """A row is called by its title, with how it stands after a full stop or on a line of its own."""
        return self.name == name or self.name.startswith((f"{name}. ", f"{name}\n"))


class Phone:
    """One browser tab of a phone's size, open on the app.

    Args:
        browser: Chromium.
        url: where the app is served, without a path.
        size: width and height of the screen, CSS pixels.
        route: the first screen.
        sharpness: device pixels to a CSS pixel.
    """

    def __init__(
        self,
        browser: Browser,
        url: str,
        size: tuple[int, int] = (390, 844),
        route: str = "/",
        sharpness: float = 1,
    ) -> None:
        self.url = url
        self.width, self.height = size
        self.faults: list[str] = []
        self.asked: list[str] = []
        self.withheld: list[str] = []
        self.context = browser.new_context(
            viewport={"width": self.width, "height": self.height},
            device_scale_factor=sharpness,
            has_touch=True,
            is_mobile=True,
            user_agent=ANDROID,
        )
        self.context.add_init_script(SELDOM)
        self.page: Page = self.context.new_page()
        self.page.on("pageerror", lambda error: self.faults.append(str(error)))
        self.page.on("request", lambda request: self.asked.append(request.url))
        self.page.on("requestfailed", self._failed)
        self.page.goto(url + route, wait_until="commit")
        self.wake()

    def _failed(self, request: Request) -> None:
        if request.failure == "csp":  # the page's own policy kept it from leaving the browser
            self.withheld.append(request.url)

    def close(self) -> None:
        """Close the tab and forget everything the browser kept for it."""
        self.context.close()

    def wake(self) -> None:
        """Wait for the first picture and have the accessibility tree put beside it."""
        either = "flt-semantics-placeholder, flt-semantics-host flt-semantics"
        self.page.wait_for_selector(either, state="attached", timeout=START_S * 1000)
        self.page.evaluate(WAKE_TREE)
        self.page.wait_for_selector(
            "flt-semantics-host flt-semantics", state="attached", timeout=START_S * 1000
        )
        self.until(lambda: any(n.name for n in self.nodes()), "the first screen", START_S)

    # -- what it says ----------------------------------------------------------------------------

    def nodes(self) -> list[Node]:
        """Everything on the screen that has a name or a role."""
        return [Node(*node) for node in self.page.evaluate(TREE)]

    def says(self) -> str:
        """All that a screen reader would read, a node to a line."""
        return "\n".join(n.name for n in self.nodes() if n.name)

    def route(self) -> str:
        """Where it is."""
        return self.page.url.removeprefix(self.url)

    def finds(self, name: str) -> Node | None:
        """The node of this name, what can be tapped before what can only be read."""
        called = [n for n in self.nodes() if n.answers_to(name)]
        return min(called, key=lambda n: not n.tapped, default=None)

    def _to_tap(self, name: str) -> Node | None:
        """What can be tapped by this name: a sentence of the screen before may begin with the same words."""
        node = self.finds(name)
        return node if node and node.tapped else None

    def lit(self) -> str:
        """The place that is lit on a measuring screen, "" on any other."""
        return next(
            (n.name.removeprefix("Place: ") for n in self.nodes() if n.name.startswith("Place: ")), ""
        )

    def wait_for(self, words: str, seconds: float = PATIENCE_S) -> str:
        """Wait until the screen says these words; all that it says then."""
        self.until(lambda: words in self.says(), repr(words), seconds)
        return self.says()

    def wait_for_match(self, pattern: str, seconds: float = PATIENCE_S) -> re.Match[str]:
        """Wait until something on the screen matches."""
        self.until(lambda: re.search(pattern, self.says()) is not None, f"/{pattern}/", seconds)
        match = re.search(pattern, self.says())
        assert match
        return match

    def wait_until_gone(self, words: str, seconds: float = PATIENCE_S) -> None:
        """Wait until the screen no longer says these words."""
        self.until(lambda: words not in self.says(), f"{words!r} gone", seconds)

    def wait_for_route(self, pattern: str, seconds: float = PATIENCE_S) -> str:
        """Wait until it is at a route that matches; the route."""
        self.until(lambda: re.fullmatch(pattern, self.route()) is not None, f"route {pattern}", seconds)
        return self.route()

    def until(self, holds: Callable[[], bool], what: str, seconds: float = PATIENCE_S) -> None:
        """Wait until something holds."""
        for _ in range(int(seconds * 20)):
            if holds():
                return
            self.page.wait_for_timeout(50)
        raise AssertionError(
            f"waited {seconds:g} s for {what} at {self.route()}; the screen says\n{self.says()}"
        )

    # -- what a thumb does -----------------------------------------------------------------------

    def tap(self, name: str) -> None:
        """Tap what is called so, after scrolling to it."""
        node = self._in_reach(name)
        self.page.touchscreen.tap(node.left + node.width / 2, node.middle)
        self.page.wait_for_timeout(60)

    def touch(self, name: str, x: float, y: float) -> None:
        """Touch a drawing of this name at a point, dp from its upper left."""
        node = self._drawn(name)
        self.page.touchscreen.tap(node.left + x, node.top + y)
        self.page.wait_for_timeout(60)

    def drag(self, name: str, start: tuple[float, float], end: tuple[float, float]) -> None:
        """Move a finger over a drawing of this name, dp from its upper left."""
        node, steps = self._drawn(name), 6
        finger = self.context.new_cdp_session(self.page)
        (x1, y1), (x2, y2) = start, end
        for n in range(steps + 1):
            at = {
                "x": node.left + x1 + (x2 - x1) * n / steps,
                "y": node.top + y1 + (y2 - y1) * n / steps,
            }
            kind = "touchMove" if n else "touchStart"
            finger.send("Input.dispatchTouchEvent", {"type": kind, "touchPoints": [at]})
            self.page.wait_for_timeout(50)
        finger.send("Input.dispatchTouchEvent", {"type": "touchEnd", "touchPoints": []})
        finger.detach()

    def _drawn(self, name: str) -> Node:
        """A drawing once it lies still."""
        self.settle()
        self.until(lambda: self.finds(name) is not None, repr(name))
        node = self.finds(name)
        assert node
        return node

    def type(self, label: str, text: str) -> None:
        """Type into a field in place of what stands in it, and leave it."""
        self.tap(label)
        self.page.wait_for_timeout(250)  # the phone's keyboard comes up
        self.page.keyboard.press("Control+A")
        self.page.keyboard.press("Delete")
        self.page.keyboard.type(text, delay=10)
        self.page.keyboard.press("Tab")
        self.page.wait_for_timeout(120)

    def key(self, text: str) -> None:
        """Tap the keys of the app's own keypad where they lie, looking again only where a number was entered."""
        names = {".": "point", "±": "plus or minus", " ": "space", "/": "slash", "⌫": "delete", "⏎": "enter"}
        keys: dict[str, Node] = {}
        for character in text:
            if not keys:
                self._in_reach("enter")  # the keypad lies still, and does as long as its keys are touched
                keys = {node.name: node for node in self.nodes()}
            key = keys[names.get(character, character)]
            self.page.touchscreen.tap(key.left + key.width / 2, key.middle)
            self.page.wait_for_timeout(60)
            if character == "⏎":
                keys = {}

    def photograph(self, button: str, *files: Path) -> None:
        """Tap what asks for photographs and give these."""
        with self.page.expect_file_chooser() as chooser:
            self.tap(button)
        chooser.value.set_files(list(files))

    def fetch(self, button: str) -> bytes:
        """Tap what opens a document, and fetch it as whatever the phone opens documents with would."""
        opened: list[str] = []
        self.context.on("request", lambda request: opened.append(request.url))
        self.tap(button)
        self.until(
            lambda: any("/document/" in url for url in opened), f"a link behind {button!r}", PATIENCE_S
        )
        link = next(url for url in opened if "/document/" in url)
        with urllib.request.urlopen(link) as answer:
            return bytes(answer.read())

    def another_tab(self) -> Phone:
        """The same phone, the app opened anew from its first address."""
        tab = copy.copy(self)
        tab.page = self.context.new_page()
        tab.page.goto(self.url, wait_until="commit")
        tab.wake()
        return tab

    def resize(self, size: tuple[int, int]) -> None:
        """Be turned, or be another phone."""
        self.width, self.height = size
        self.page.set_viewport_size({"width": self.width, "height": self.height})

    def settle(self) -> list[Node]:
        """Wait until the screen no longer changes; everything on it then."""
        before: list[Node] = []
        for _ in range(100):
            self.page.wait_for_timeout(STILL_MS)
            nodes = self.nodes()
            if nodes and nodes == before:
                return nodes
            before = nodes
        raise AssertionError(f"the screen at {self.route()} keeps changing")

    def go(self, route: str) -> None:
        """Be taken to a route as by a link, without loading the app anew."""
        self.page.evaluate(GO, route)

    def reload(self) -> None:
        """What the browser's reload button does."""
        self.page.reload(wait_until="commit")
        self.wake()

    def shoot(self, file: Path) -> None:
        """A picture of the screen; the paint lags behind the tree."""
        self.page.wait_for_timeout(900)
        self.page.screenshot(path=file)

    def _in_reach(self, name: str) -> Node:
        """The node once it lies still where a thumb can land on it; a screen drawn anew loses a tap."""
        self.until(lambda: self._to_tap(name) is not None, repr(name), PATIENCE_S)
        before = None
        for _ in range(60):
            node = self._to_tap(name)
            if node is not None and not node.shown_from + 8 < node.middle < node.shown_to - 8:
                self._scroll(240 if node.middle > node.shown_from + 8 else -240, node.left + node.width / 2)
            elif node is not None and node == before:
                return node
            before = node
            self.page.wait_for_timeout(STILL_MS)
        raise AssertionError(f"{name!r} cannot be reached at {self.route()}; the screen says\n{self.says()}")

    def _scroll(self, by: int, x: float) -> None:
        """Scroll the column that lies at `x`."""
        self.page.mouse.move(x, self.height / 2)
        self.page.mouse.wheel(0, by)
        self.page.wait_for_timeout(120)


def chromium(playwright: Playwright) -> Path | None:
    """The browser to use: the one named in CHROMIUM, the system's, Playwright's own, or none."""
    named = os.environ.get("CHROMIUM", "")
    known = [named] if named else ["/usr/bin/chromium", playwright.chromium.executable_path]
    return next((Path(path) for path in known if Path(path).is_file()), None)


def start(playwright: Playwright) -> Browser:
    """Chromium without a window, able to reach this machine alone.

    Raises:
        FileNotFoundError: there is no Chromium.
    """
    path = chromium(playwright)
    if path is None:
        raise FileNotFoundError(GET_CHROMIUM)
    return playwright.chromium.launch(executable_path=path, args=QUIET)
