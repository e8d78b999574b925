"""Writes a file so that its name never stands for half of it; knows nothing of what is in it."""

from __future__ import annotations

import os
import tempfile
from contextlib import suppress
from pathlib import Path


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
    handle, part = tempfile.mkstemp(suffix=".part", dir=file.parent)
    try:
        with os.fdopen(handle, "wb") as f:
            f.write(content)
            f.flush()
            os.fsync(f.fileno())
        os.replace(part, file)
    except BaseException:
        with suppress(OSError):
            os.unlink(part)
        raise
    sync_folder(file.parent)


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
