"""Everything that can be wrong in the file of a log, found by reading all of it; changes nothing."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Mapping, Sequence
from dataclasses import dataclass

from inspect_app.logbook.chains import Break
from inspect_app.logbook.lines import Lines
from inspect_app.logbook.mark import NO_MARK, Mark, Reaching, fell_short
from inspect_app.logbook.schema import GUARDS, MARKED_SINCE
from inspect_app.logbook.taking_over import Chain, kept_aside
from inspect_app.logbook.trouble import NotSaved
from inspect_app.logbook.walking import End, Read, Walk


@dataclass(frozen=True, slots=True)
class Verified:
    """What a look at all of a log came to: what is wrong, how many entries lead up to the links that were asked for
    (of plain, unbroken chains alone), the chains that are forked, and how many entries there are."""

    breaks: tuple[Break, ...]
    led_up: Mapping[End, int]
    forks: tuple[Chain, ...]
    entries: int


def everything_wrong(walk: Walk, lines: Lines, mark: Mark | None) -> list[Break]:
    """What SQLite finds, missing guards, each break in a chain, ends that are lost, and lines that are not so.

    Args:
        walk: over the log.
        lines: its list of jobs.
        mark: the mark beside it, None for a file that has none.
    """
    breaks, read = [], walk.read
    looks: tuple[Callable[[], Iterator[Break]], ...] = (
        lambda: _damage(read),
        lambda: _guards_gone(read),
        lambda: _broken(walk, mark),
        lambda: kept_aside(read),
        lines.wrong,
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
        found = read("PRAGMA integrity_check", ())
    except NotSaved:  # of some damage it finds only that it cannot go on
        found = read("PRAGMA quick_check", ())
    for (text,) in found:
        if text != "ok":
            yield Break("", "", f"SQLite finds the file damaged: {text}.")


def _guards_gone(read: Read) -> Iterator[Break]:
    guards = {name for (name,) in read("SELECT name FROM sqlite_master WHERE type = 'trigger'", ())}
    for name in sorted(GUARDS.keys() - guards):
        yield Break("", "", f"The guard {name} is gone: entries could be changed since.")


def _broken(walk: Walk, mark: Mark | None) -> Iterator[Break]:
    marked = mark.read() if mark else None  # before the entries: another program may add some meanwhile
    reached, most = Reaching(), marked.entries if marked else 0

    def passing(links: Sequence[tuple[int, str]]) -> None:
        if links[0][0] <= most:
            reached.go_on(links if links[-1][0] <= most else [link for link in links if link[0] <= most])

    yield from walk.breaks(passing)
    if mark is None:
        return
    yield from (Break("", "", sentence) for sentence in mark.told())
    ((schema,),) = walk.read("PRAGMA user_version", ())
    if marked is None:
        if schema >= MARKED_SINCE:
            yield Break("", "", NO_MARK)
        return
    if (found := reached.reach()) != marked:
        yield Break("", "", fell_short(marked, found))
