"""Everything that can be wrong in the file of a log, found by reading all of it; changes nothing."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from typing import Any

from inspect_app.logbook.chains import Break, Row, chain_breaks
from inspect_app.logbook.mark import NO_MARK, Mark, Reach, fell_short
from inspect_app.logbook.schema import COLUMNS, GUARDS, MARKED_SINCE
from inspect_app.logbook.trouble import NotSaved

Read = Callable[[str], list[Any]]
"""The rows of a statement; NotSaved where the file cannot be read."""


def everything_wrong(read: Read, mark: Mark | None) -> list[Break]:
    """What SQLite finds, missing guards, each break in a chain, and ends that are lost.

    Args:
        read: reads the file.
        mark: the mark beside it, None for a file that has none.
    """
    breaks = []
    looks: tuple[Callable[[], Iterator[Break]], ...] = (
        lambda: _damage(read),
        lambda: _guards_gone(read),
        lambda: _broken(read, mark),
    )
    for look in looks:  # what keeps one from looking does not hide what the others find
        try:
            breaks += list(look())
        except NotSaved as e:
            breaks.append(Break("", "", str(e)))
        except OSError as e:
            breaks.append(Break("", "", f"The mark beside the logbook could not be read: {e.strerror}."))
    return breaks


def _damage(read: Read) -> Iterator[Break]:
    try:
        found = read("PRAGMA integrity_check")
    except NotSaved:  # of some damage it finds only that it cannot go on
        found = read("PRAGMA quick_check")
    for (text,) in found:
        if text != "ok":
            yield Break("", "", f"SQLite finds the file damaged: {text}.")


def _guards_gone(read: Read) -> Iterator[Break]:
    guards = {name for (name,) in read("SELECT name FROM sqlite_master WHERE type = 'trigger'")}
    for name in sorted(GUARDS.keys() - guards):
        yield Break("", "", f"The guard {name} is gone: entries could be changed since.")


def _broken(read: Read, mark: Mark | None) -> Iterator[Break]:
    marked = mark.read() if mark else None  # before the entries: another program may add some meanwhile
    rows = read(f"SELECT seq, {', '.join(COLUMNS)} FROM entries ORDER BY seq")
    yield from chain_breaks([Row(*map(str, values)) for _, *values in rows])
    if mark is None:
        return
    yield from (Break("", "", sentence) for sentence in mark.told())
    ((schema,),) = read("PRAGMA user_version")
    if marked is None:
        if schema >= MARKED_SINCE:
            yield Break("", "", NO_MARK)
        return
    reached = Reach().on((number, str(link)) for number, *_, link in rows if number <= marked.entries)
    if reached != marked:
        yield Break("", "", fell_short(marked, reached))
