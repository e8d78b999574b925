"""A disk that loses power: what a writer did is recorded, and every state it may leave behind can be laid out.

Two disks are played. The ordered one brings names to the disk in the order they were made, and any sync brings all
earlier ones; the strict one promises no more than POSIX: a name lasts from the sync of its folder on. Of what was
written into a file and not synced, nothing lasts, all, the first of it, or some sectors.

SQLite's own calls are not seen, so they are played by what it documents: with synchronous FULL a commit writes into
the log of commits and syncs it, the first time with its folder; below that nothing is synced.
"""

from __future__ import annotations

import os
import random
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from dataclasses import dataclass, field
from pathlib import Path
from typing import Any

SECTOR = 512
FOLDER_NAME = "shop"
DATABASE = ("logbook.db", "logbook.db-wal")
FOLDER = None


@dataclass
class Event:
    """One thing a writer did: write, create, mkdir, rename, unlink, sync, or said: what it called saved by then."""

    what: str
    name: str = ""
    content: bytes = b""
    to: str = ""
    said: Any = None


@dataclass
class Recorder:
    """Writes down what happens in a folder from now on.

    The folder is looked through at every call that brings something to the disk, and at every commit: what is
    other than before was written in between.
    """

    top: Path
    events: list[Event] = field(default_factory=list)
    known: dict[str, bytes | None] = field(default_factory=dict)

    def say(self, said: Any) -> None:
        self.events.append(Event("said", said=said))

    def look(self) -> None:
        for path in sorted(self.top.rglob("*")):
            name = path.relative_to(self.top).as_posix()
            if name.endswith("-shm"):
                continue
            if path.is_dir():
                if name not in self.known:
                    self.known[name] = FOLDER
                    self.events.append(Event("mkdir", name))
                continue
            content = (
                path.read_bytes() if path.name not in DATABASE or self._still else self.known.get(name, b"")
            )
            if name not in self.known:
                self.events.append(Event("create", name))
                self.known[name] = b""
            if content != self.known[name]:
                self.events.append(Event("write", name, content or b""))
                self.known[name] = content

    _still = False

    def committed(self, conn: Any) -> None:
        """After a commit: nobody else holds the database, so reading its files drops no lock that is needed."""
        self._still = True
        self.look()
        self._still = False
        (synchronous,) = conn.execute("PRAGMA synchronous").fetchone()
        if synchronous >= 2:
            self.events += [Event("sync", f"{FOLDER_NAME}/{name}") for name in DATABASE]
            self.events.append(Event("sync", FOLDER_NAME))

    @contextmanager
    def recording(self) -> Iterator[None]:
        real = {name: getattr(os, name) for name in ("fsync", "fdatasync", "replace", "unlink")}

        def named(path: Any) -> str | None:
            path = Path(os.path.abspath(path))
            return path.relative_to(self.top).as_posix() if path.is_relative_to(self.top) else None

        def synced(name: str) -> Callable[[int], None]:
            def sync(handle: int) -> None:
                self.look()
                real[name](handle)
                if at := named(os.readlink(f"/proc/self/fd/{handle}")):
                    self.events.append(Event("sync", at))

            return sync

        def replace(part: Any, file: Any) -> None:
            self.look()
            real["replace"](part, file)
            old, new = named(part), named(file)
            if old and new:
                self.known[new] = self.known.pop(old)
                self.events.append(Event("rename", old, to=new))

        def unlink(path: Any, **more: Any) -> None:
            self.look()
            real["unlink"](path, **more)
            if (at := named(path)) and self.known.pop(at, None) is not None:
                self.events.append(Event("unlink", at))

        played = {
            "fsync": synced("fsync"),
            "fdatasync": synced("fdatasync"),
            "replace": replace,
            "unlink": unlink,
        }
        for name, play in played.items():
            setattr(os, name, play)
        try:
            yield
        finally:
            for name, call in real.items():
                setattr(os, name, call)


class Connection:
    """The database's connection, which tells the recorder of each commit."""

    def __init__(self, conn: Any, recorder: Recorder) -> None:
        self._conn = conn
        self._recorder = recorder

    def __enter__(self) -> Any:
        return self._conn.__enter__()

    def __exit__(self, *trouble: Any) -> Any:
        return self._conn.__exit__(*trouble)

    def __getattr__(self, name: str) -> Any:
        return getattr(self._conn, name)

    def execute(self, sql: str, *values: Any) -> Any:
        done = self._conn.execute(sql, *values)
        if sql == "COMMIT":
            self._recorder.committed(self._conn)
        return done


class Disk:
    """What is on the disk, and what only its cache knows, as the events go by.

    Args:
        ordered: which of the two disks.
    """

    def __init__(self, ordered: bool) -> None:
        self.ordered = ordered
        self.now: dict[str, int | None] = {".": FOLDER}
        self.lasting: dict[str, int | None] = {".": FOLDER}
        self.pending: list[Event] = []
        self.files: list[bytes] = []
        self.unsynced: dict[int, bytes] = {}

    def step(self, event: Event) -> None:
        if event.what in ("create", "mkdir"):
            if event.what == "create":
                self.files.append(b"")
            event.said = len(self.files) - 1 if event.what == "create" else FOLDER
        if event.what == "write" and event.name.endswith(DATABASE[0]):
            self.files[self._file(event.name)] = (
                event.content
            )  # its own journal guards it while it is written
        elif event.what == "write":
            self.unsynced[self._file(event.name)] = event.content
        elif event.what == "sync":
            self._sync(event.name)
        elif event.what != "said":
            _put(self.now, event)
            self.pending.append(event)

    def _file(self, name: str) -> int:
        file = self.now[name]
        assert file is not FOLDER
        return file

    def _sync(self, name: str) -> None:
        file = self.now.get(name)
        if file is not FOLDER and file in self.unsynced:
            self.files[file] = self.unsynced.pop(file)
        lasting = [e for e in self.pending if self.ordered or str(Path(e.to or e.name).parent) == name]
        for event in lasting:
            _put(self.lasting, event)
        self.pending = [e for e in self.pending if not any(e is done for done in lasting)]

    def after_a_cut(self, chance: random.Random) -> dict[str, bytes | None]:
        """One state the disk may be in if the power fails now."""
        names = dict(self.lasting)
        how = chance.choice(("none", "all", "part"))
        first = chance.randrange(len(self.pending) + 1)
        for n, event in enumerate(self.pending):
            kept = n < first if self.ordered else chance.random() < 0.5
            if how == "all" or (how == "part" and kept):
                _put(names, event)
        return {
            name: FOLDER if file is FOLDER else self._content(file, chance)
            for name, file in names.items()
            if all(str(up) in names for up in Path(name).parents)
        }

    def _content(self, file: int, chance: random.Random) -> bytes:
        old, new = self.files[file], self.unsynced.get(file)
        how = chance.choice(("none", "all", "first", "sectors"))
        if new is None or how == "none":
            return old
        if how == "all":
            return new
        if how == "first":
            end = chance.randrange(len(new) + 1)
            return new[:end] + old[end:]
        made = bytearray(old.ljust(len(new), b"\0"))
        for at in range(0, len(new), SECTOR):
            if chance.random() < 0.5:
                made[at : at + SECTOR] = new[at : at + SECTOR]
        return bytes(made)


def _put(names: dict[str, int | None], event: Event) -> None:
    if event.what in ("create", "mkdir"):
        names[event.name] = event.said
    elif event.what == "unlink":
        names.pop(event.name, None)
    elif event.what == "rename" and event.name in names:
        names[event.to] = names.pop(event.name)


def lay_out(state: dict[str, bytes | None], top: Path) -> None:
    """The files of a state, in an empty folder."""
    for name in sorted(state, key=len):
        content = state[name]
        if content is FOLDER:
            (top / name).mkdir(parents=True, exist_ok=True)
        else:
            (top / name).write_bytes(content)
