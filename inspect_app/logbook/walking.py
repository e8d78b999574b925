"""One walk over all entries of a log, in the order they came in: what is wrong with their chains, in flat memory.

What is kept on the way grows with the chains, never with the entries. A hash is computed once for each of them.
"""

from __future__ import annotations

from collections.abc import Callable, Collection, Iterator, Sequence
from dataclasses import dataclass, field
from hashlib import sha256
from typing import Any

from inspect_app.logbook.chains import Break, named_row
from inspect_app.logbook.reading import row_of
from inspect_app.logbook.taking_over import Chain

PAGE = 2000
"""So many entries are read at once."""
FIELDS = ("previous", "id", "job", "device", "at", "by", "kind", "body")
"""What a link is made over, in this order."""
# SQLite puts the fields together, and gives their bytes as they stand: a damaged text is no other trouble
_TEXT = " || char(31) || ".join(FIELDS)
_PAGE = f"""SELECT seq, job || char(31) || device, previous, hash, CAST({_TEXT} AS BLOB) FROM entries
    WHERE seq > ? ORDER BY seq LIMIT {PAGE}"""
_ROW = "SELECT id, job, device, at, by, kind, body, previous, hash FROM entries WHERE seq = ?"

Read = Callable[[str, Sequence[str | int]], list[Any]]
Progress = Callable[[int, int], None]
"""Told how many entries were looked at, and of how many."""


End = tuple[Chain, str]
"""A chain, and the link it ends with."""


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
    _chains: dict[str, _Stands] = field(default_factory=dict)

    def breaks(self, passing: Callable[[Sequence[tuple[int, str]]], None]) -> Iterator[Break]:
        """Each row that was changed, or does not go on from one before it in its chain.

        Args:
            passing: is told the number and link of every row, some thousand at once.
        """
        ((of,),) = self.read("SELECT coalesce(max(seq), 0) FROM entries", ())
        last, chains, ends = 0, self._chains, self.ends
        while rows := self.read(_PAGE, (last,)):
            for number, name, previous, own, text in rows:
                chain = chains.get(name)
                if chain is None:
                    chain = chains[name] = _Stands()
                # nothing can be put together with what is no text and no number
                changed = text is None or sha256(text).hexdigest() != own
                if changed or previous != chain.end:
                    yield from self._wrong(number, changed, chain)
                chain.end = own
                chain.entries += 1
                if own in ends and chain.plain:
                    self.led_up[_chain_of(name), own] = chain.entries
            passing([(row[0], str(row[3])) for row in rows])
            self.entries += len(rows)
            last = rows[-1][0]
            self.progress(last, of)

    def _wrong(self, number: int, changed: bool, chain: _Stands) -> Iterator[Break]:
        ((*values, previous, own),) = self.read(_ROW, (number,))
        row, of = row_of(*values, previous, own), (values[1], values[2])
        if changed:
            chain.plain = False
            yield Break(row.job, row.id, f"{named_row(row)} was changed after it was written.")
        if previous == chain.end:
            return
        chain.plain = False
        in_chain = "SELECT 1 FROM entries WHERE job = ? AND device = ? AND {}"
        before = (*of, previous, number)
        followed = self.read(in_chain.format("previous = ? AND seq < ?"), before)
        here = previous == "" or self.read(in_chain.format("hash = ? AND seq < ?"), before)
        if here and (followed or of in self.forks):
            self.forks[of] = None
            return
        later = here or self.read(in_chain.format("hash = ?"), before[:3])
        wrong = "stands out of order" if later else "has lost the entry before it"
        yield Break(row.job, row.id, f"{named_row(row)} {wrong}.")


def _chain_of(name: str) -> Chain:
    job, _, device = name.partition("\x1f")
    return job, device
