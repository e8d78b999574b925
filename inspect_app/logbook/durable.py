"""Writes a file so that its name never stands for half of it; knows nothing of what is in it."""

from __future__ import annotations

import os
import shutil
import tempfile
from collections.abc import Callable
from contextlib import suppress
from datetime import datetime
from pathlib import Path
from typing import IO


def write_file(file: Path, content: bytes) -> None:
    """Write beside, bring to the disk, then give the name; a file that stands there already is left.

    Args:
        file: where it goes; its folder must be there.
        content: what goes in.
    Raises:
        OSError: the disk refused; nothing stands under the name that did not before.
    """
    if file.is_file() and file.read_bytes() == content:
        sync_folder(file.parent)  # whoever wrote it may have been stopped before its name was on the disk
        return
    write_by(file, lambda f: f.write(content))


def write_by(file: Path, fill: Callable[[IO[bytes]], object]) -> None:
    """Write a file as `write_file` does, by what fills it: it need not be in memory.

    Args:
        file: where it goes; what stands there is replaced.
        fill: writes the content.
    Raises:
        OSError: the disk refused; nothing stands under the name that did not before.
    """
    handle, part = tempfile.mkstemp(suffix=".part", dir=file.parent)
    try:
        with os.fdopen(handle, "wb") as f:
            fill(f)
            f.flush()
            os.fsync(f.fileno())
        os.replace(part, file)
    except BaseException:
        with suppress(OSError):
            os.unlink(part)
        raise
    sync_folder(file.parent)


def put_in_place(made: Path, folder: Path, aside: Path) -> None:
    """Give a folder that was made beside it the place of another, which is kept under another name.

    Args:
        made: the new folder.
        folder: where it goes.
        aside: what the one that stands there is called from now on.
    Raises:
        OSError: the disk refused; the old folder stands under one of the two names.
    """
    if folder.exists():
        os.replace(folder, aside)
    os.replace(made, folder)
    sync_folder(folder.parent)


def remove_folder(folder: Path) -> None:
    """Remove a folder that nobody called saved, as far as the disk lets it."""
    shutil.rmtree(folder, ignore_errors=True)


def remove_file(file: Path) -> None:
    """Remove a file, and bring that to the disk; raises OSError where it cannot be."""
    file.unlink(missing_ok=True)
    sync_folder(file.parent)


def mark_time(file: Path, at: datetime) -> None:
    """Note on a file when it was used, where it is still there and the disk lets it; nothing hangs on it."""
    with suppress(OSError):
        os.utime(file, (at.timestamp(), at.timestamp()))


def write_over(file: Path, offset: int, content: bytes) -> None:
    """Write into a file that is there, over what stands there, and bring what was written to the disk.

    Args:
        file: the file.
        offset: from which byte on.
        content: what goes in.
    Raises:
        OSError: the file is not there, or the disk refused; what stood there may be torn.
    """
    with file.open("r+b") as f:
        f.seek(offset)
        f.write(content)
        f.flush()
        # where there is such a thing: when it was written is not waited for
        getattr(os, "fdatasync", os.fsync)(f.fileno())


def write_at_end(file: Path, content: bytes) -> None:
    """Write after all that stands in a file that is there, and bring it to the disk; raises as `write_over`."""
    write_over(file, file.stat().st_size, content)


def make_folder(folder: Path) -> None:
    """Make a folder inside one that is there, and bring its name to the disk; one that is there is left.

    Args:
        folder: the folder.
    Raises:
        OSError: the disk refused, or there is nothing to make it in.
    """
    if not folder.is_dir():
        folder.mkdir(exist_ok=True)
        sync_folder(folder.parent)


def make_folders(folder: Path) -> None:
    """Make a folder and every one above it that is missing; raises as `make_folder`."""
    for missing in reversed([f for f in (folder, *folder.parents) if not f.is_dir()]):
        make_folder(missing)


def sync_folder(folder: Path) -> None:
    """Bring the names in a folder to the disk.

    Args:
        folder: the folder.
    """
    if os.name == "nt":  # where a folder cannot be opened
        return
    handle = os.open(folder, os.O_RDONLY)
    try:
        os.fsync(handle)
    finally:
        os.close(handle)
