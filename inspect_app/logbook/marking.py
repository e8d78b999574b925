"""Keeps the mark of a log that is being written: taken up when it is opened, written after each commit."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from contextlib import suppress
from typing import Any

from inspect_app.logbook.mark import NO_MARK, Mark, Reach, fell_short

Read = Callable[[str, tuple[int, ...]], Any]
"""Runs a statement within the transaction that is open."""


class Marking:
    """The mark of one open log.

    Args:
        mark: the mark.
        read: reads the log.
    """

    def __init__(self, mark: Mark, read: Read) -> None:
        self._mark = mark
        self._read = read
        self._reached: Reach | None = None  # while it is not known, nothing is marked

    def begin(self) -> None:
        """Mark a log that has no tables yet; a mark that is there already tells of one that was lost.

        Raises:
            OSError: the disk refused.
        """
        if self._mark.read() is None:
            self._mark.begin(Reach())

    def take_up(self, must_be_there: bool) -> None:
        """See how far the log reaches; where it should reach farther, that is told for good.

        Args:
            must_be_there: a log that has no mark lost it.
        Raises:
            OSError: the disk refused.
        """
        marked = self._mark.read()
        if marked and self._stands(marked):
            self._reached = marked
            self.write_down(self.ahead())
            return
        reached = Reach().on(self._links_after(0))
        told = fell_short(marked, reached) if marked else NO_MARK
        if marked or must_be_there:
            self._mark.begin(reached, *self._mark.told(), told)
        else:
            self._mark.begin(reached)
        self._reached = reached

    def ahead(self) -> Reach | None:
        """How far the log reaches with what was written since the mark, to be asked before it is committed."""
        return self._reached and self._reached.on(self._links_after(self._reached.entries))

    def write_down(self, reached: Reach | None) -> None:
        """Write down how far a log reaches that was committed.

        Args:
            reached: as `ahead` said.
        """
        if reached and reached != self._reached:
            # what was committed is on the disk whatever becomes of its mark; the next one covers it as well
            with suppress(OSError):
                self._mark.write(reached)
            self._reached = reached

    def _links_after(self, entries: int) -> Iterator[tuple[int, str]]:
        sql = "SELECT seq, hash FROM entries WHERE seq > ? ORDER BY seq"
        return ((seq, str(link)) for seq, link in self._read(sql, (entries,)))

    def _stands(self, marked: Reach) -> bool:
        found = self._read("SELECT hash FROM entries WHERE seq = ?", (marked.entries,)).fetchone()
        return marked.entries == 0 or found == (marked.last,)
