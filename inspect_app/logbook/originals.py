"""Photographs as the camera made them, byte for byte, beside the small ones; named by the hash of what is in them.

What the camera wrote into such a file (place, owner, serial number) is in it still: it stays in the data folder and
its backups, and goes into no report and no job's file.
"""

from __future__ import annotations

import hashlib
import re
from collections.abc import Iterable, Iterator
from pathlib import Path

from inspect_app.logbook.durable import make_folder, write_file
from inspect_app.logbook.store import not_saved
from inspect_app.trade.measuring.refusal import Refusal


def original(sha256: str, folder: Path) -> Path:
    """Where an original stands.

    Raises:
        Refusal: `sha256` is not one.
    """
    if not re.fullmatch("[0-9a-f]{64}", sha256):
        raise Refusal(f"{sha256[:80]!r} is not the name of a photograph.")
    return folder / sha256[:2] / f"{sha256}.original"


def keep_original(data: bytes, sha256: str, folder: Path) -> None:
    """Store a photograph as it came.

    Args:
        data: the file as it came from the camera.
        sha256: its hash.
        folder: the folder of all photographs.
    Raises:
        NotSaved: the disk refused; nothing stands under its name.
    """
    file = original(sha256, folder)
    try:
        make_folder(folder)
        make_folder(file.parent)
        write_file(file, data)
    except OSError as e:
        raise not_saved("The photograph was", e) from e


def verify_originals(folder: Path, expected: Iterable[str]) -> Iterator[str]:
    """What is wrong with the originals, in sentences.

    Args:
        folder: the folder of all photographs.
        expected: the names of those that were kept here.
    """
    for name in sorted(set(expected)):
        file = original(name, folder)
        if not file.is_file():
            yield f"The original of a photograph, {name[:12]}, is missing; restore {file.name} from a backup."
            continue
        with file.open("rb") as f:
            if hashlib.file_digest(f, "sha256").hexdigest() != name:
                yield f"The original of a photograph, {name[:12]}, is damaged; restore {file.name} from a backup."
