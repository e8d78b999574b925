"""Tells a copy of a data folder from the folder it was made of: two under one device would contradict each other.

Each time a folder is opened to write, a word of chance is left in it and, with its place, outside of it. A folder whose
word is not the one outside was copied, moved, or put back from a backup.
"""

from __future__ import annotations

import hashlib
import os
import platform
from pathlib import Path

from inspect_app.bench.stamps import Stamps
from inspect_app.entries.entry import SHOP, Entry
from inspect_app.logbook.durable import make_folders, write_file
from inspect_app.logbook.store import Logbook

WORD = "install"
RESTORED = b"restored\n"
"""In the place of the word in a folder that was put back: the one outside is never this."""


def go_on(outside: Path, folder: Path, logbook: Logbook, stamps: Stamps, chance: bytes) -> None:
    """Go on as another device if a folder is a copy, and leave a new word.

    Args:
        outside: where words are kept on this computer, in no data folder.
        folder: the data folder.
        logbook: its log, open to write.
        stamps: its clock.
        chance: the new word.
    Raises:
        NotSaved: the disk or the file refused.
    """
    if is_copy(outside, folder, old := logbook.device):
        entries, link = logbook.last_of(old)
        new, body = stamps.new_id(), {"continues": old, "entries": entries, "link": link}
        logbook.become(new, Entry(stamps.new_id(), SHOP, new, stamps.next_at(), "", "device", body))
    leave_word(outside, folder, logbook.device, chance)


def is_copy(outside: Path, folder: Path, device: str) -> bool:
    """Whether a folder is another one than its device's; where nothing can be told, it is not.

    Args:
        outside: where words are kept on this computer, in no data folder.
        folder: the data folder.
        device: whose it says it is.
    """
    try:
        inside = _read(folder / WORD)
        known = _read(_file(outside, device))
    except OSError:
        return False
    if not inside and not known:
        return False  # it never had one
    return known != _with_place(inside, folder)


def leave_word(outside: Path, folder: Path, device: str, chance: bytes) -> None:
    """Leave a new word in both places; where the disk refuses, the next opening finds a copy, which costs nothing.

    Args:
        outside: as of `is_copy`.
        folder: the data folder.
        device: whose it is from now on.
        chance: the word.
    """
    word = chance.hex().encode()
    try:
        make_folders(outside)
        write_file(_file(outside, device), _with_place(word, folder))
        write_file(folder / WORD, word)
    except OSError:
        return


def _with_place(word: bytes, folder: Path) -> bytes:
    return b"\n".join((word, os.path.realpath(folder).encode(), platform.node().encode()))


def _file(outside: Path, device: str) -> Path:
    return outside / hashlib.sha256(device.encode()).hexdigest()[:32]


def _read(file: Path) -> bytes:
    return file.read_bytes() if file.is_file() else b""
