"""One walk over all entries of a log, in the order they came in: what is wrong with their chains, in flat memory.

What is kept on the way grows with the chains, never with the entries. A hash is computed once for each of them.
"""

from __future__ import annotations

from collections.abc import Callable, Collection, Iterator, Sequence
from dataclasses import dataclass, field
from hashlib import sha256
from typing import Any

from inspect_app.entries.entry import link_over
from inspect_app.logbook.chains import Break, Row, named_row
from inspect_app.logbook.taking_over import Chain

PAGE = 2000
"""So many entries are read at once."""
COLUMNS = ("seq", "previous", "id", "job", "device", "at", "by", "kind", "body", "hash")
_PAGE = f"SELECT {', '.join(COLUMNS)} FROM entries WHERE seq > ? ORDER BY seq LIMIT {PAGE}"

Read = Callable[[str, Sequence[str | int]], list[Any]]
Progress = Callable[[int, int], None]
"""Told how many entries were looked at, and of how many."""


End = tuple[str, str, str]
"""A job, a device, and the link its chain ends with."""


def no_progress(done: int, of: int) -> None:
    """Nobody waits for it."""


@dataclass(slots=True)
class _Stands:
    """A chain on the way: its last link, how many entries led to it, and whether each followed the one before."""

    end: str = ""
    entries: int = 0
    plain: bool = True


@dataclass(slots=True)
class Walk:
    """A walk and what it found.

    read: reads the log.
    ends: the links that documents name, of which it is to be known how many entries lead up to them.
    progress: is told how far it is.
    """

    read: Read
    ends: Collection[str] = ()
    progress: Progress = no_progress
    led_up: dict[End, int] = field(default_factory=dict)
    forks: dict[Chain, None] = field(default_factory=dict)
    entries: int = 0
    _chains: dict[Chain, _Stands] = field(default_factory=dict)

    def breaks(self, passing: Callable[[int, str], None]) -> Iterator[Break]:
        """Each row that was changed, or does not go on from one before it in its chain.

        Args:
            passing: is told the number and link of every row.
        """
        ((of,),) = self.read("SELECT coalesce(max(seq), 0) FROM entries", ())
        last, chains, ends = 0, self._chains, self.ends
        while rows := self.read(_PAGE, (last,)):
            for values in rows:
                own = values[9]
                chain = chains.get(values[3:5])
                if chain is None:
                    chain = chains[values[3:5]] = _Stands()
                if values[1] != chain.end or _link(values) != own:
                    yield from self._wrong(values, chain)
                chain.end = own
                chain.entries += 1
                if own in ends and chain.plain:
                    self.led_up[(*values[3:5], own)] = chain.entries
                passing(values[0], own)
            self.entries += len(rows)
            last = rows[-1][0]
            self.progress(last, of)

    def _wrong(self, values: tuple[Any, ...], chain: _Stands) -> Iterator[Break]:
        number, previous, *_, own = values
        row = Row(*map(str, (*values[2:9], previous, own)))
        if _link(values) != own:
            chain.plain = False
            yield Break(row.job, row.id, f"{named_row(row)} was changed after it was written.")
        if previous == chain.end:
            return
        chain.plain = False
        in_chain = "SELECT 1 FROM entries WHERE job = ? AND device = ? AND {}"
        before = (*values[3:5], previous, number)
        followed = self.read(in_chain.format("previous = ? AND seq < ?"), before)
        here = previous == "" or self.read(in_chain.format("hash = ? AND seq < ?"), before)
        if here and (followed or values[3:5] in self.forks):
            self.forks[values[3:5]] = None
            return
        later = here or self.read(in_chain.format("hash = ?"), before[:3])
        wrong = "stands out of order" if later else "has lost the entry before it"
        yield Break(row.job, row.id, f"{named_row(row)} {wrong}.")


def _link(values: tuple[Any, ...]) -> str:
    try:
        return sha256("\x1f".join(values[1:9]).encode()).hexdigest()
    except (TypeError, UnicodeEncodeError):  # no text: somebody wrote it by hand
        return link_over(*map(str, values[1:9])) if all(map(_can_be_written, values[1:9])) else ""


def _can_be_written(value: object) -> bool:
    try:
        str(value).encode()
    except UnicodeEncodeError:
        return False
    return True
