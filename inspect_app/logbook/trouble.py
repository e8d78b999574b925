"""What is told when the disk or the file refuses; knows the reasons, and nothing of what is in the file."""

from __future__ import annotations

import sqlite3
from pathlib import Path

REASONS = {
    sqlite3.SQLITE_FULL: "the disk is full. Free some space, then do it again",
    sqlite3.SQLITE_IOERR: "the disk refused. Free some space or change the disk, then do it again",
    sqlite3.SQLITE_BUSY: "another program holds the logbook. Close it, then do it again",
    sqlite3.SQLITE_READONLY: "it may not be written to. Give this user write access to its folder",
    sqlite3.SQLITE_CANTOPEN: "it cannot be opened. Check that its folder is there and may be written to",
    sqlite3.SQLITE_CORRUPT: (
        "the file is damaged. Stop entering, copy the whole folder, restore a backup, or bring what can still "
        "be read into a new folder with inspect-app salvage"
    ),
    sqlite3.SQLITE_NOTADB: "the file is not a logbook. Choose another folder or restore a backup",
}

GONE = (
    "the data folder was removed or exchanged while the program runs. Stop the program, put the folder in its "
    "place, start again, then do it again."
)


class NotSaved(Exception):
    """The disk or the file refused; the message is a sentence: what was not done, why, and what to do."""


def not_saved(what: str, e: OSError) -> NotSaved:
    """What to tell when the disk refused a file.

    Args:
        what: what was not saved, with its verb: "The report was".
        e: how the disk refused.
    """
    if isinstance(e, FileNotFoundError):
        return NotSaved(f"{what} NOT saved: {GONE}")
    return NotSaved(f"{what} NOT saved: the disk refused ({e.strerror}). Free some space, then do it again.")


def trouble(what: str, path: Path, e: Exception) -> NotSaved:
    """What to tell when a logbook refused.

    Args:
        what: what was not done.
        path: the logbook.
        e: how SQLite or the disk refused.
    """
    code = getattr(e, "sqlite_errorcode", 0) & 0xFF  # the primary code is the low byte
    return NotSaved(f"{what} ({path.name}): {REASONS.get(code, e)}.")
