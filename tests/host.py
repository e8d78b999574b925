"""The shop's machine in a test's hand: the program in a process of its own over one folder, started and killed."""

from __future__ import annotations

import os
import signal
import socket
import subprocess
import sys
import time
from pathlib import Path
from types import TracebackType

ROOT = Path(__file__).parent.parent
ANSWERS_WITHIN_S = 120.0
"""Nobody is timed by this: a busy machine may take so long."""


def free_port() -> int:
    """A port of this machine alone that nobody listens on."""
    with socket.socket() as probe:
        probe.bind(("127.0.0.1", 0))
        return int(probe.getsockname()[1])


def answers(address: str, port: int) -> bool:
    """Whether somebody listens there."""
    with socket.socket() as probe:
        probe.settimeout(1)
        return probe.connect_ex((address, port)) == 0


class Host:
    """`inspect-app` over one data folder, on one loopback port for as long as the test lasts.

    Args:
        folder: the data folder.
        command: what to run: nothing to serve the folder, "demo" to fill and serve it.
    """

    def __init__(self, folder: Path, *command: str) -> None:
        self.folder = folder
        self.command = command
        self.port = free_port()
        self.url = f"http://127.0.0.1:{self.port}"
        self.log = folder.with_name(f"{folder.name}.log")

    def __enter__(self) -> Host:
        self.start()
        return self

    def __exit__(
        self, kind: type[BaseException] | None, error: BaseException | None, trace: TracebackType | None
    ) -> None:
        self.kill()

    def start(self) -> None:
        """Start it and wait until it answers."""
        run = [sys.executable, "-m", "inspect_app", *self.command]
        run += ["--data", str(self.folder), "--port", str(self.port), "--no-browser"]
        with self.log.open("ab") as log:
            self._process = subprocess.Popen(
                run, cwd=ROOT, stdout=log, stderr=log, env={**os.environ, "PYTHONUNBUFFERED": "1"}
            )
        for _ in range(int(ANSWERS_WITHIN_S * 50)):
            if answers("127.0.0.1", self.port):
                return
            if self._process.poll() is not None:
                break
            time.sleep(0.02)
        raise AssertionError(f"the program did not come up; it said\n{self.told()}")

    def kill(self) -> None:
        """End it at once, as a flat battery would; nothing gets a chance to be saved."""
        self._process.send_signal(signal.SIGKILL)
        self._process.wait()

    def runs(self) -> bool:
        """Whether it was started and not killed since."""
        return self._process.poll() is None

    def told(self) -> str:
        """All it said on its terminal."""
        return self.log.read_text(encoding="utf-8")
