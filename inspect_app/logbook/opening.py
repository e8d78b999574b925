"""Opens the file of a log, to write or only to read; knows nothing of what is in it."""

from __future__ import annotations

import os
import shutil
import sqlite3
import sys
import tempfile
from collections.abc import Callable
from pathlib import Path


def open_to_write(path: Path, busy_seconds: float) -> sqlite3.Connection:
    """The file, made if missing, where a commit is on the disk when it returns.

    Args:
        path: the file; its folder must be there.
        busy_seconds: how long to wait for another program.
    Raises:
        sqlite3.Error: it cannot be opened.
    """
    conn = sqlite3.connect(path, timeout=busy_seconds, isolation_level=None, check_same_thread=False)
    try:
        if (
            sys.platform == "emscripten"
        ):  # in a browser no memory is shared, which WAL needs for a second owner
            conn.execute("PRAGMA locking_mode = EXCLUSIVE")
        (mode,) = conn.execute("PRAGMA journal_mode = WAL").fetchone()
        # where WAL cannot be had, a rollback journal needs its folder synced too
        conn.execute(f"PRAGMA synchronous = {'FULL' if mode == 'wal' else 'EXTRA'}")
        # without this one Apple's disks answer before they have written
        conn.execute("PRAGMA fullfsync = ON")
    except sqlite3.Error:
        conn.close()
        raise
    return conn


def open_to_read(path: Path, busy_seconds: float) -> tuple[sqlite3.Connection, Callable[[], None]]:
    """The file as it stands, beside a program that writes, or on a medium that cannot be written to.

    The file and its log of commits stay as they are, a damaged one too: what a later opening would throw away
    may still be wanted.

    Args:
        path: the file; it must be there.
        busy_seconds: how long to wait for another program.
    Returns: the connection, and what to call after it is closed.
    Raises:
        sqlite3.Error: it cannot be opened.
        OSError: it cannot be copied, which is needed where its log of commits may not be read in place.
    """
    try:
        return _connected(path, "mode=ro", busy_seconds), _nothing
    except sqlite3.OperationalError as e:
        if e.sqlite_errorcode & 0xFF not in (sqlite3.SQLITE_CANTOPEN, sqlite3.SQLITE_READONLY):
            raise
    commits = Path(f"{path}-wal")
    if not commits.is_file() or not commits.stat().st_size:
        return _connected(path, "immutable=1", busy_seconds), _nothing
    copy = Path(tempfile.mkdtemp(prefix="inspect-reading-"))
    try:
        for file in (path, commits):
            shutil.copyfile(file, copy / file.name)
        return _connected(copy / path.name, "mode=rw", busy_seconds), lambda: shutil.rmtree(copy)
    except BaseException:
        shutil.rmtree(copy)
        raise


def _connected(path: Path, how: str, busy_seconds: float) -> sqlite3.Connection:
    address = f"{Path(os.path.abspath(path)).as_uri()}?{how}"
    conn = sqlite3.connect(
        address, uri=True, timeout=busy_seconds, isolation_level=None, check_same_thread=False
    )
    try:
        conn.execute("PRAGMA user_version").fetchone()
    except sqlite3.Error:
        conn.close()
        raise
    return conn


def _nothing() -> None:
    """Nothing is left behind."""
