"""A phone that runs the app by itself, in a test's hand: a browser over a profile that stays, and the web space it came
from, which can be stopped for good."""

from __future__ import annotations

import functools
import os
import signal
import subprocess
import threading
import time
from collections.abc import Callable
from contextlib import suppress
from http.server import SimpleHTTPRequestHandler, ThreadingHTTPServer
from pathlib import Path

import pytest
from phone import ANDROID, PATIENCE_S, QUIET, Phone, chromium
from playwright.sync_api import ConsoleMessage, Page, Playwright

from inspect_app.serve.network import certificate

READY_S = 180.0


class _Quiet(SimpleHTTPRequestHandler):
    def log_message(self, *_: object) -> None:
        """Says nothing."""


class WebSpace:
    """A web space that serves a folder, as any does; the folder may be another one later.

    Args:
        folder: what it serves.
        below: the path it serves it under.
        papers: a folder with a certificate and its key, to serve by https with.
    """

    def __init__(self, folder: Path, below: str = "/", papers: Path | None = None) -> None:
        self.folder, self.below, self.papers, self.port = folder, below, papers, 0

    def __enter__(self) -> WebSpace:
        self.start()
        return self

    def __exit__(self, *_: object) -> None:
        self.stop()

    @property
    def url(self) -> str:
        """Where the app is."""
        return f"{'https' if self.papers else 'http'}://127.0.0.1:{self.port}{self.below}"

    def start(self) -> None:
        """Serve, at the same port as before."""
        space = self

        class Handler(_Quiet):
            def translate_path(self, path: str) -> str:
                inside = path.partition("?")[0].removeprefix(space.below)
                return str(space.folder / inside) if path.startswith(space.below) else "/nowhere"

        self._server = ThreadingHTTPServer(("127.0.0.1", self.port), functools.partial(Handler))
        self.port = self._server.server_port
        if self.papers:
            shown = certificate(self.papers / "cert.pem", self.papers / "key.pem")
            assert shown
            self._server.socket = shown.wrap_socket(self._server.socket, server_side=True)
        self._running: threading.Thread | None = threading.Thread(
            target=self._server.serve_forever, daemon=True
        )
        self._running.start()

    def stop(self) -> None:
        """Be gone: nobody answers any more."""
        if self._running:
            self._server.shutdown()
            self._server.server_close()
            self._running = None


def self_signed(folder: Path) -> Path:
    """A folder with a certificate for this machine that nobody trusts, and its key.

    Args:
        folder: to be made.
    """
    folder.mkdir()
    made = "openssl req -x509 -newkey rsa:2048 -nodes -keyout key.pem -out cert.pem -days 2 -subj /CN=bench"
    command = [*made.split(), "-addext", "subjectAltName=IP:127.0.0.1"]
    try:
        subprocess.run(command, cwd=folder, check=True, capture_output=True)
    except FileNotFoundError:
        pytest.skip("this machine has no openssl to make a certificate with")
    return folder


class PhoneAlone(Phone):
    """Chromium over a profile of its own, as a phone keeps one.

    Args:
        playwright: the driver.
        profile: the folder of the profile; what it holds outlives the browser.
        url: where the app is.
        size: as of a Phone.
    """

    def __init__(
        self, playwright: Playwright, profile: Path, url: str, size: tuple[int, int] = (390, 844)
    ) -> None:
        self.url, self.profile = url.rstrip("/"), profile
        self.width, self.height = size
        self.faults, self.asked, self.withheld, self.said = [], [], [], []
        for lock in profile.glob("Singleton*"):  # of a browser that was killed
            lock.unlink()
        self.context = playwright.chromium.launch_persistent_context(
            str(profile),
            executable_path=chromium(playwright),
            args=[*QUIET, "--ignore-certificate-errors"],  # a test's own, which nobody trusts
            accept_downloads=True,
            viewport={"width": size[0], "height": size[1]},
            has_touch=True,
            is_mobile=True,
            user_agent=ANDROID,
        )
        self.page = self.context.pages[0] if self.context.pages else self.context.new_page()
        self._watch(self.page)

    def _watch(self, page: Page) -> None:
        page.on("pageerror", lambda error: self.faults.append(str(error)))
        page.on("console", self._hear)
        page.on("request", lambda request: self.asked.append(request.url))
        page.on("requestfailed", self._failed)

    def _hear(self, message: ConsoleMessage) -> None:
        self.said.append(f"{message.type}: {message.text}")

    def open(self) -> None:
        """The app from its first address, until its first screen stands."""
        self.page.goto(f"{self.url}/", wait_until="commit")
        self.wake()

    def wake(self) -> None:
        """And until Python has begun: before that the client says that it is working."""
        super().wake()
        self.wait_until_gone("Working...", READY_S)

    def ready(self) -> None:
        """Wait until it says that it needs no network any more."""
        self.wait_for("Ready without network.", READY_S)

    def until(self, holds: Callable[[], bool], what: str, seconds: float = PATIENCE_S) -> None:
        """As any phone, and what the page says where the screens cannot."""
        try:
            super().until(holds, what, seconds)
        except AssertionError as e:
            raise AssertionError(f"{e}\nthe page says {self.sheet()!r}, steps {self._steps()}") from e

    def _steps(self) -> object:
        try:
            begun = self.page.evaluate("`begun ${tries} times`")
            marks = "performance.getEntriesByType('mark').map(m => `${m.name} ${(m.startTime / 1000).toFixed(1)}`)"
            return begun, [worker.evaluate(marks) for worker in self.page.workers]
        except Exception as e:  # the other browser's tab, or one that is gone
            return e

    def go(self, route: str) -> None:
        """To a route as by a link."""
        self.page.evaluate("route => { location.hash = route; }", route)

    def route(self) -> str:
        """Where it is."""
        return self.page.url.partition("#")[2] or "/"

    def another_tab(self) -> PhoneAlone:
        """The same browser, another tab, opened and not waited for."""
        tab = object.__new__(PhoneAlone)
        tab.__dict__ |= self.__dict__
        tab.page = self.context.new_page()
        tab.page.goto(f"{self.url}/", wait_until="commit")
        return tab

    def sheet(self) -> str:
        """What stands in place of the screens."""
        return str(self.page.evaluate("document.getElementById('trouble')?.innerText ?? ''"))

    def kill(self) -> None:
        """The battery falls out: every process of this browser at once."""
        while mine := self.processes():
            for process in mine:
                with suppress(ProcessLookupError):
                    os.kill(process, signal.SIGKILL)
            time.sleep(0.02)
        with suppress(Exception):
            self.context.close()

    def computed(self) -> float:
        """How long this browser's processes have computed until now, s."""
        ticks = 0
        for process in self.processes():
            with suppress(OSError):
                told = Path(f"/proc/{process}/stat").read_text().rpartition(")")[2].split()
                ticks += int(told[11]) + int(told[12])  # proc(5): utime, stime
        return ticks / os.sysconf("SC_CLK_TCK")

    def processes(self) -> list[int]:
        """This browser's, by their ids."""
        rows = subprocess.run(
            ["ps", "-eo", "pid,stat,args"], capture_output=True, text=True
        ).stdout.splitlines()
        told = [row.split(None, 2) for row in rows if f"--user-data-dir={self.profile}" in row]
        return [int(pid) for pid, state, _ in told if not state.startswith("Z")]
