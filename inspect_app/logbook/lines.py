"""The list of jobs as a table beside the entries: a line a job, written in the very commit of its entries.

A line says nothing that the entries do not say, so it can be made anew at any time, and is when its form is another.
What was judged of a job stands beside its line with the head it was judged at and what judged it, and counts only as
long as both are the same: who reads it is never told what held before the last entry.
"""

from __future__ import annotations

import sqlite3
from collections.abc import Callable, Iterable, Iterator, Sequence
from contextlib import AbstractContextManager
from itertools import groupby
from typing import Any, NamedTuple

from inspect_app.entries.entry import SHOP
from inspect_app.entries.named import NAMING, Named, named
from inspect_app.logbook.chains import Break, Row
from inspect_app.logbook.reading import ENTRY, entry_of, of_kinds

LINE, JUDGED = "line_2", "judged_1"
"""The tables, with the number of their form: raise it when what a line says, or how it is found, is another."""

COLUMNS = ("job", "last", "entries", "head", *Named._fields)
_EVERY = """SELECT told.job, told.last, told.entries, e.hash
    FROM (SELECT job, max(at) AS last, count(*) AS entries, max(seq) AS seq FROM entries
          WHERE job <> ? GROUP BY job) AS told JOIN entries AS e ON e.seq = told.seq"""
_PUT = f"INSERT OR REPLACE INTO {LINE} ({', '.join(COLUMNS)}) VALUES ({', '.join('?' * len(COLUMNS))})"
_NAMING = f"{ENTRY} WHERE job = ?{of_kinds(NAMING)}"

Read = Callable[[str, Sequence[str | int]], list[Any]]
"""The rows of a statement; NotSaved where the file cannot be read."""


class Line(NamedTuple):
    """A job in the list: when it was last touched, how many entries it has, the link of the one that came last,
    what it is found by, and what was judged of it at just this head ("" where that was not done)."""

    job: str
    last: str
    entries: int
    head: str
    name: str
    customer: str
    machine: str
    judged: str


class Judgement(NamedTuple):
    """What was judged of a job, at which head, by what."""

    job: str
    head: str
    basis: str
    says: str


class Lines:
    """The lines of one open log.

    Args:
        conn: the file.
        read: reads it.
        writing: one transaction; None where nothing may be written, and the lines are made beside the file.
    """

    def __init__(
        self, conn: sqlite3.Connection, read: Read, writing: Callable[[], AbstractContextManager[None]] | None
    ) -> None:
        self._conn = conn
        self._read = read
        self._writing = writing
        self._there = False

    def take_up(self) -> None:
        """Make the lines if the file has none of this form; raises as the file does."""
        tables = {name for (name,) in self._read("SELECT name FROM sqlite_master WHERE type = 'table'", ())}
        if not {LINE, JUDGED} <= tables:
            self.make_anew()
        self._there = True

    def make_anew(self) -> None:
        """Make every line out of the entries.

        Raises:
            NotSaved: the file cannot be read, or the disk refused.
        """
        if self._writing is None:
            self._fill("TEMP")
            return
        with self._writing():
            self._fill("")

    def _fill(self, where: str) -> None:
        old = "SELECT name FROM sqlite_master WHERE type = 'table' AND (name GLOB ? OR name GLOB ?)"
        for (name,) in self._read(old, ("line_[0-9]*", "judged_[0-9]*")) if not where else ():
            self._conn.execute(f'DROP TABLE "{name}"')
        texts = ", ".join(f"{name} TEXT NOT NULL" for name in COLUMNS if name not in ("job", "entries"))
        self._conn.execute(
            f"CREATE {where} TABLE {LINE} (job TEXT PRIMARY KEY, entries INTEGER NOT NULL, {texts})"
        )
        self._conn.execute(f"CREATE INDEX {'temp.' if where else ''}{LINE}_serial ON {LINE} (serial)")
        self._conn.execute(
            f"CREATE {where} TABLE {JUDGED} "
            "(job TEXT PRIMARY KEY, head TEXT NOT NULL, basis TEXT NOT NULL, says TEXT NOT NULL)"
        )
        self._conn.executemany(_PUT, self._out_of_entries())

    def _out_of_entries(self) -> Iterator[tuple[Any, ...]]:
        for job, *told in self._read(_EVERY, (SHOP,)):
            yield (job, *told, *self._named(job))

    def _named(self, job: str) -> Named:
        return named(job, (entry_of(*row) for row in self._read(_NAMING, (job, *NAMING))))

    def follow(self, rows: Iterable[Row]) -> None:
        """Write down what entries say that are being written, in their own transaction.

        Args:
            rows: in the order in which they were written.
        """
        if not self._there:  # a damaged file: it is told by who reads it
            return
        for job, of in groupby(sorted(rows, key=lambda row: row.job), key=lambda row: row.job):
            if job != SHOP:
                self._follow(job, tuple(of))

    def _follow(self, job: str, rows: Sequence[Row]) -> None:
        last, head = max(row.at for row in rows), rows[-1].hash
        sql = f"UPDATE {LINE} SET last = max(last, ?), entries = entries + ?, head = ? WHERE job = ?"
        known = self._conn.execute(sql, (last, len(rows), head, job)).rowcount
        if not known:
            told = "SELECT max(at), count(*) FROM entries WHERE job = ?"
            ((last, entries),) = self._read(told, (job,))
            self._conn.execute(_PUT, (job, last, entries, head, *self._named(job)))
        elif any(row.kind in NAMING for row in rows):
            what = ", ".join(f"{name} = ?" for name in Named._fields)
            self._conn.execute(f"UPDATE {LINE} SET {what} WHERE job = ?", (*self._named(job), job))

    # -- read -------------------------------------------------------------------------------------

    def found(self, wanted: str, basis: str, most: int) -> tuple[Line, ...]:
        """The lines in which every word that was typed stands, the one touched last first.

        Args:
            wanted: a part of name, customer, machine or serial, or several with blanks between; "" finds all.
            basis: what judges now: what was judged by something else is not told.
            most: so many at most.
        """
        where, words = _meant(wanted)
        sql = f"""SELECT line.job, last, entries, line.head, name, customer, machine, coalesce(says, '')
            FROM {LINE} AS line LEFT JOIN {JUDGED} AS judged
            ON judged.job = line.job AND judged.head = line.head AND judged.basis = ?
            WHERE {where} ORDER BY last DESC, line.job LIMIT ?"""
        return tuple(Line(*row) for row in self._lines(sql, (basis, *words, most)))

    def count(self, wanted: str = "") -> int:
        """How many lines `found` would find."""
        where, words = _meant(wanted)
        ((count,),) = self._lines(f"SELECT count(*) FROM {LINE} WHERE {where}", words)
        return int(count)

    def last(self) -> str:
        """When any job was touched last, "" if none ever was."""
        ((last,),) = self._lines(f"SELECT coalesce(max(last), '') FROM {LINE}", ())
        return str(last)

    def called(self, name: str) -> tuple[str, ...]:
        """The ids of the jobs of a name, or of an id, the one touched last first."""
        sql = f"SELECT job FROM {LINE} WHERE name = ? OR job = ? ORDER BY last DESC, job"
        return tuple(job for (job,) in self._lines(sql, (name, name)))

    def under_way(self) -> tuple[str, ...]:
        """The ids of the jobs whose cylinder was not let go yet, the one touched last first."""
        sql = f"SELECT job FROM {LINE} WHERE let_go = '' ORDER BY last DESC, job"
        return tuple(job for (job,) in self._lines(sql, ()))

    def entries(self, job: str) -> int:
        """How many entries a job has, 0 for none of that id."""
        return sum(count for (count,) in self._lines(f"SELECT entries FROM {LINE} WHERE job = ?", (job,)))

    def of_serial(self, serial: str) -> tuple[str, ...]:
        """The jobs whose nameplate bears a serial or tag.

        Args:
            serial: as `serial_key` gives it.
        """
        return tuple(
            job for (job,) in self._lines(f"SELECT job FROM {LINE} WHERE serial = ? ORDER BY job", (serial,))
        )

    def keep(self, judged: Iterable[Judgement]) -> None:
        """Keep what was judged; raises as the log's `append`."""
        rows = tuple(judged)
        if not rows or self._writing is None:
            return
        with self._writing():
            self._conn.executemany(f"INSERT OR REPLACE INTO {JUDGED} VALUES (?, ?, ?, ?)", rows)

    def wrong(self) -> Iterator[Break]:
        """Each line that says something else than the entries; what was judged is not looked at."""
        self._be_there()
        stand = {row[0]: row for row in self._lines(f"SELECT {', '.join(COLUMNS)} FROM {LINE}", ())}
        for line in self._out_of_entries():
            if stand.pop(line[0], None) != line:
                yield Break(line[0], "", f"Job {line[0]}: {NOT_SO}")
        for job in stand:
            yield Break(job, "", f"Job {job}: {NOT_SO}")

    def _lines(self, sql: str, values: Sequence[str | int]) -> list[Any]:
        self._be_there()
        return self._read(sql, values)

    def _be_there(self) -> None:
        if not self._there:
            self.take_up()


NOT_SO = "the list of jobs says something else of it than its entries; make it anew with inspect-app verify --relist."


def _meant(wanted: str) -> tuple[str, tuple[str, ...]]:
    words = tuple(wanted.casefold().split())
    return " AND ".join(["1", *("instr(said, ?) > 0" for _ in words)]), words
