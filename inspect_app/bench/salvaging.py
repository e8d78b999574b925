"""Brings what can still be read of a damaged data folder into a new one, and says what is missing."""

from __future__ import annotations

import json
from collections.abc import Iterator
from pathlib import Path

from inspect_app.bench.bench import Bench
from inspect_app.bench.holding import WORD
from inspect_app.bench.installed import WORD as INSTALL
from inspect_app.bench.proving import proven
from inspect_app.bench.sessions import FOLDER
from inspect_app.logbook.durable import make_folder, make_folders, write_file
from inspect_app.logbook.mark import Mark
from inspect_app.logbook.pages import Found, rows_in
from inspect_app.logbook.store import not_saved
from inspect_app.trade.measuring.refusal import Refusal
from inspect_app.trade.measuring.wording import counted

SET_ASIDE = "damaged-entries.jsonl"
PASSING = (WORD, INSTALL, "uploads", FOLDER)
"""What a running program keeps in its folder; it belongs to no other."""


def salvaged(old: Path, new: Path) -> Iterator[str]:
    """Make the new folder, a sentence for each thing that was done and for each that is missing.

    Args:
        old: the damaged folder.
        new: the folder to make; it must not be there, or be empty.
    Raises:
        Refusal: the old folder is none, or the new one holds something.
        NotSaved: the disk refused.
    """
    if not old.is_dir():
        raise Refusal(f"{old} is not there; give the damaged data folder.")
    if new.exists() and (not new.is_dir() or any(new.iterdir())):
        raise Refusal(f"{new} holds something already; give a folder that is not there yet.")
    found = list(rows_in(_bytes_of(old / "logbook.db"), _bytes_of(old / "logbook.db-wal")))
    sound = {f.row.id: f for f in found if f.sound}
    if not sound:
        raise Refusal(f"No entry can be read in {old}; nothing was made.")
    aside = {f.row.id: f for f in found if f.row.id not in sound}
    try:
        make_folders(new)
        lost = list(_copied(old, new))
        if aside:
            write_file(new / SET_ASIDE, _lines(aside))
    except OSError as e:
        raise not_saved("The new folder was", e) from e
    bench = Bench(new)
    try:
        # numbers are the order they were written in, so that each follows the one before it in its chain
        bench.logbook.put_back(f.row for f in sorted(sound.values(), key=lambda f: f.number))
        yield f"{new}: {counted(len(sound), 'entry', 'entries')} brought over, each as it was written."
        yield from _missing(old, sound, aside)
        yield from lost
        yield from proven(bench).wrong
    finally:
        bench.close()


def _missing(old: Path, sound: dict[str, Found], aside: dict[str, Found]) -> Iterator[str]:
    numbers = {f.number for f in sound.values()} | {f.number for f in aside.values()}
    marked = Mark(old / "logbook.mark").read()
    last = max(max(numbers), marked.entries if marked else 0)
    missing = sorted(set(range(1, last + 1)) - numbers)
    if missing:
        yield f"Missing: {counted(len(missing), 'entry', 'entries')} of {last}, {_ranges(missing)}."
    if marked is None:
        yield "Whether entries are missing after the last one is not known: the old folder has no mark."
    if aside:
        yield f"Damaged, not brought over but kept in {SET_ASIDE}: {counted(len(aside), 'entry', 'entries')}."


def _ranges(numbers: list[int]) -> str:
    """Numbers in a row as from - to."""
    runs: list[list[int]] = []
    for n in numbers:
        if runs and n == runs[-1][-1] + 1:
            runs[-1] = [runs[-1][0], n]
        else:
            runs.append([n, n])
    said = [str(a) if a == b else f"{a} to {b}" for a, b in runs]
    return ("number " if len(numbers) == 1 else "numbers ") + ", ".join(said)


def _copied(old: Path, new: Path) -> Iterator[str]:
    """Everything beside the log, file by file; a sentence for each that cannot be read."""
    for file in sorted(old.rglob("*")):
        inside = file.relative_to(old)
        passing = inside.parts[0] in PASSING or file.suffix == ".part"
        if passing or (len(inside.parts) == 1 and file.name.startswith("logbook.")):
            continue
        if file.is_dir():
            make_folder(new / inside)
            continue
        try:
            content = file.read_bytes()
        except OSError as e:
            yield f"{inside} cannot be read ({e.strerror})."
            continue
        write_file(new / inside, content)


def _bytes_of(file: Path) -> bytes:
    """A file as far as it can be read; a place the disk refuses is nothing but zeros."""
    if not file.is_file():
        return b""
    size, content = file.stat().st_size, bytearray()
    with file.open("rb", buffering=0) as f:
        while len(content) < size:
            f.seek(len(content))
            try:
                content += f.read(min(1 << 16, size - len(content))) or bytes(size - len(content))
            except OSError:
                content += bytes(min(4096, size - len(content)))
    return bytes(content)


def _lines(aside: dict[str, Found]) -> bytes:
    return "".join(json.dumps(f.row._asdict(), ensure_ascii=False) + "\n" for f in aside.values()).encode()
