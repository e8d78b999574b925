"""One program at a time writes into a data folder; another one is told which, where and since when."""

from __future__ import annotations

import errno
import os
import platform
import sys
from collections.abc import Callable, Iterator
from contextlib import contextmanager, suppress
from dataclasses import dataclass
from datetime import datetime
from pathlib import Path
from typing import IO

from inspect_app.logbook.durable import make_folders
from inspect_app.logbook.store import NotSaved

WORD = "serving"
"""The file that is locked, with a word on who locked it; it is gone when nobody has it."""
LOCKED_BYTE = 1 << 20
"""Beyond all that is in the file: on Windows nobody else can read what is locked."""


class Held(NotSaved):
    """Another program writes into the folder."""


@dataclass
class Hold:
    """A folder held by this program, by how many of its benches, until all of them let go.

    file: locked as long as it is open.
    """

    path: Path
    file: IO[str]
    who: str
    benches: int = 1

    def say(self, url: str) -> None:
        """Leave word where this program can be reached."""
        self.file.seek(0)
        self.file.truncate()
        self.file.write(f"{self.who}\n{url}\n")
        self.file.flush()

    def let_go(self) -> None:
        """Give the folder free, if no other bench of this program is in it."""
        self.benches -= 1
        if self.benches == 0:
            del HELD[_key(self.path.parent)]
            with suppress(OSError):  # Windows keeps a file that somebody has open
                self.path.unlink()
            self.file.close()


HELD: dict[str, Hold] = {}
"""What this program holds: a second bench of it in the same folder is no other program."""


def hold(folder: Path, now: Callable[[], datetime]) -> Hold | None:
    """Take a folder to write into; None where that cannot be told to others, and nothing else is lost.

    Args:
        folder: the data folder; made if missing.
        now: the clock.
    Raises:
        Held: another program has it.
    """
    if held := HELD.get(_key(folder)):
        held.benches += 1
        return held
    path = folder / WORD
    try:
        make_folders(folder)
        file = path.open("a+", encoding="utf-8")
    except OSError:
        return None  # who opens the log in it says why
    if not _lock(file):
        file.seek(0)
        who, url, *_ = [*file.read().splitlines(), "", ""]
        file.close()
        raise Held(_told(folder, who, url))
    if not _is(path, file):  # the one before took the file away in between
        file.close()
        return hold(folder, now)
    since = now().astimezone().strftime("%Y-%m-%d %H:%M")
    held = HELD[_key(folder)] = Hold(path, file, f"process {os.getpid()} on {platform.node()} since {since}")
    held.say("")
    return held


@contextmanager
def unless_it_fails(held: Hold | None) -> Iterator[None]:
    """Keep a folder only if what is done now comes to a good end."""
    try:
        yield
    except BaseException:
        if held:
            held.let_go()
        raise


def _told(folder: Path, who: str, url: str) -> str:
    how = "to start it anew, stop that one first with Ctrl-C"
    if url:
        return f"The program is already running over {folder}: open {url} ({who}; {how})."
    return f"The program is already running over {folder}: {who or 'another process'} ({how})."


def _key(folder: Path) -> str:
    return os.path.realpath(folder)


def _is(path: Path, file: IO[str]) -> bool:
    try:
        return os.path.samestat(path.stat(), os.fstat(file.fileno()))
    except OSError:
        return False


def _lock(file: IO[str]) -> bool:
    """Lock a file until it is closed or the program ends, however it ends; False if another one has it."""
    try:
        if sys.platform == "win32":
            import msvcrt

            file.seek(LOCKED_BYTE)
            msvcrt.locking(file.fileno(), msvcrt.LK_NBLCK, 1)
        else:
            import fcntl

            fcntl.flock(file, fcntl.LOCK_EX | fcntl.LOCK_NB)
    except ImportError:  # in a browser there is no other program
        return True
    except OSError as refused:
        # where a disk of the network knows no locks, a second start is not seen, and nothing else is lost
        return refused.errno not in (errno.EACCES, errno.EAGAIN, errno.EDEADLK)
    return True
