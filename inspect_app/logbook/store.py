"""The append-only log of entries in one SQLite file; knows nothing of cylinders or of what a kind means.

Four rules hold here. When `append` returns, the entry is on the disk (WAL, synchronous FULL). What
stands in the log is never changed or removed: the database itself refuses. Each device chains its
entries of a job by hash, so that an edit or a gap shows. The live file is touched through the one
connection only: opening and closing it by hand would drop the locks SQLite holds on it.
"""

from __future__ import annotations

import os
import sqlite3
import time
from collections.abc import Callable, Collection, Iterable, Iterator, Sequence
from contextlib import AbstractContextManager, contextmanager, nullcontext, suppress
from pathlib import Path
from typing import Any

from inspect_app.entries.entry import SHOP, Entry, body_text, chained, in_time, uuid7
from inspect_app.logbook.chains import Break, Head, Row, ends_of, is_time, require_proper, unproven
from inspect_app.logbook.copying import copied, keep_before_steps
from inspect_app.logbook.durable import make_folders
from inspect_app.logbook.lines import Lines
from inspect_app.logbook.mark import Mark, Reach
from inspect_app.logbook.marking import Marking
from inspect_app.logbook.opening import open_to_read, open_to_write
from inspect_app.logbook.proving import Verified, everything_wrong
from inspect_app.logbook.reading import ENTRY, damaged_text, entry_of, of_kinds, row_of
from inspect_app.logbook.schema import COLUMNS, INSERT, MARKED_SINCE, STEPS
from inspect_app.logbook.taking_over import TakenOver as TakenOver
from inspect_app.logbook.taking_over import by_chain, forked, kept_aside, take_over_chain
from inspect_app.logbook.trouble import GONE as GONE
from inspect_app.logbook.trouble import NotSaved as NotSaved
from inspect_app.logbook.trouble import not_saved as not_saved
from inspect_app.logbook.trouble import trouble
from inspect_app.logbook.walking import Progress, Walk, no_progress
from inspect_app.trade.measuring.refusal import Refusal

BUSY_SECONDS = 2.0
PAGE = 200
"""So many entries are read at once where only some are wanted."""


def no_flush() -> None:
    """On an ordinary disk a commit needs nothing after it."""


class Logbook:
    """The log of one data folder, through one connection.

    Args:
        path: the SQLite file; it and its folder are made if missing.
        device: the id this folder's device takes when the folder is new; None makes one up.
        flush: called after every commit, for places where a commit must still be carried to the disk.
        throw_away: the file is gone before anybody could miss it; nothing waits for the disk.
        reading: nothing is written, and nothing in its folder changed; the file must be there.
    Raises:
        NotSaved: the file cannot be opened, is no logbook, or was written by a newer version.
        Refusal: the folder already belongs to another device than `device`.
    """

    def __init__(
        self,
        path: Path,
        device: str | None = None,
        *,
        flush: Callable[[], None] = no_flush,
        throw_away: bool = False,
        reading: bool = False,
    ) -> None:
        from sqlite_utils import Database  # 0.1 s to import: only those who open a log wait for it

        self.path = path
        self.flush = flush
        self._lock = _lock()
        self._paths = (str(path), f"{path}-wal")
        self._files: tuple[tuple[int, int], ...] = ()  # what the paths stood for when they were opened
        self._links: dict[tuple[str, str], tuple[str, str]] = {}  # (job, device) -> last (hash, at)
        self._version = 0
        self._mark = Mark(path.with_suffix(".mark"))
        self._marks = not throw_away
        self._done: Callable[[], None] = no_flush
        try:
            if reading:
                self._conn, self._done = open_to_read(path, BUSY_SECONDS)
            else:
                make_folders(path.parent)
                self._conn = open_to_write(path, BUSY_SECONDS)
        except (sqlite3.Error, OSError) as e:
            raise trouble("The logbook could not be opened", path, e) from e
        try:
            self._db = Database(self._conn, execute_plugins=False)
            self._marking = Marking(self._mark, self._conn.execute)
            self.lines = Lines(self._conn, self._rows, None if reading else self._writing)
            if reading:
                self._refuse_unknown(self._schema())
            else:
                self._take_up(device, throw_away)
                with suppress(NotSaved):  # damaged: who reads it is told
                    self.lines.take_up()
            self.device = self._device_id(device)
            self._files = self._files_now()
        except BaseException as e:
            self.close()
            if isinstance(e, sqlite3.Error | OSError):
                raise trouble("The logbook could not be opened", path, e) from e
            raise

    def _take_up(self, device: str | None, throw_away: bool) -> None:
        """Bring the file to this version's tables, and see that it reaches as far as it did."""
        if throw_away:
            self._settle(device)
            self._conn.execute("PRAGMA synchronous = OFF")
            return
        with suppress(sqlite3.DatabaseError):  # a damaged file is opened all the same: who reads it is told
            schema = self._schema()
            if schema == 0:
                self._marking.begin()
            else:
                self._marking.take_up(must_be_there=schema >= MARKED_SINCE)
        # after the mark: a log of this version that has none has lost it
        self._settle(device)
        with suppress(sqlite3.DatabaseError):
            self._marking.take_up(must_be_there=True)

    def append(self, entry: Entry) -> str:
        """Write one entry; when this returns it is on the disk.

        Args:
            entry: the entry, `at` not before its device's previous entry in the same job.
        Returns: the entry's link in its device's chain.
        Raises:
            Refusal: the entry is not a proper one, comes too early, or is in the log already.
            NotSaved: the disk or the file refused; nothing was written.
        """
        require_proper(entry)
        with self._writing():
            row = self._linked(entry)
            self._write(row)
        return row.hash

    def append_all(self, entries: Iterable[Entry]) -> tuple[str, ...]:
        """Write several entries, all or none.

        Args:
            entries: in the order in which each device made them.
        Returns: the link of each.
        Raises:
            Refusal: one of them may not be appended; none was.
            NotSaved: the disk or the file refused; nothing was written.
        """
        entries = tuple(entries)
        for entry in entries:
            require_proper(entry)
        with self._writing():
            rows = [self._linked(entry) for entry in entries]
            self._write(*rows)
        return tuple(row.hash for row in rows)

    def become(self, device: str, word: Entry) -> None:
        """Go on as another device from here on, with its first entry, which says so.

        Args:
            device: the new one.
            word: an entry of it.
        Raises:
            NotSaved: the disk or the file refused; nothing was written.
        """
        with self._writing():
            self._conn.execute("INSERT INTO device (id) VALUES (?)", (device,))
            self._write(self._linked(word))
        self.device = device

    def take_over(self, rows: Iterable[Row]) -> TakenOver:
        """Write entries that came from elsewhere, each with the links it has; what stands here already is left.

        They may be older than what is here, in any order, of kinds not known here, and of this device too. One that
        was changed is kept aside with those that follow it, and so is one whose forerunner is not here yet: what
        stands in the log is unbroken. They come in with the entry they wait for. Two branches of one chain both stand.

        Args:
            rows: of any jobs and devices.
        Raises:
            NotSaved: the disk or the file refused; nothing was written.
        """
        new, refused = 0, []
        with self._writing():
            for chain, came in by_chain(rows).items():
                taken, told = take_over_chain(self._conn, self._rows, chain, came)
                self._links.pop(chain, None)
                self.lines.follow(taken)
                new += len(taken)
                refused += [told] * bool(told)
        return TakenOver(new, tuple(refused))

    def put_back(self, rows: Iterable[Row]) -> None:
        """Write entries that were read out of a damaged log, as they stand, gaps and all; `verify` tells the gaps.

        Args:
            rows: of any jobs and devices, in their order, each as it was written.
        Raises:
            NotSaved: the disk or the file refused; nothing was written.
        """
        with self._writing():
            self._write(*rows)

    def copy_to(self, to: Path) -> Reach:
        """The log as it stands now as a file of its own; as `copying.copied`."""
        with self._lock:
            return copied(self._conn, to)

    def rows(self, job: str) -> tuple[Row, ...]:
        """The entries of a job as they stand here, with their links: what another log takes over."""
        sql = f"SELECT {', '.join(COLUMNS)} FROM entries WHERE job = ? ORDER BY seq"
        return tuple(row_of(*values) for values in self._rows(sql, (job,)))

    def entries(self, job: str, *kinds: str) -> tuple[Entry, ...]:
        """The entries of a job from all devices, sorted by time and id; also of kinds not known here.

        Args:
            job: the job.
            kinds: only those of these kinds, none of them a reading; all without any.
        """
        rows = self._rows(f"{ENTRY} WHERE job = ?{of_kinds(kinds)}", (job, *kinds))
        return tuple(sorted((entry_of(*row) for row in rows), key=in_time))

    def latest(self, job: str) -> Iterator[Entry]:
        """The entries this device made in a job, the last one first; only as many are read as are asked for."""
        sql = f"{ENTRY} WHERE job = ? AND device = ? ORDER BY at DESC, id DESC LIMIT {PAGE} OFFSET ?"
        read = 0
        while rows := self._rows(sql, (job, self.device, read)):
            yield from (entry_of(*row) for row in rows)
            read += len(rows)

    def of_kind(self, kind: str) -> Iterator[Entry]:
        """The entries of one kind, no reading, in all jobs, job by job in the order they came."""
        sql = f"{ENTRY.replace('id,', 'seq, id,', 1)} WHERE kind <> 'reading' AND kind = ? AND (job, seq) > (?, ?)"
        place: tuple[str, int] = ("", 0)
        while rows := self._rows(f"{sql} ORDER BY job, seq LIMIT {PAGE}", (kind, *place)):
            yield from (entry_of(*row[1:]) for row in rows)
            place = (rows[-1][2], rows[-1][0])

    def reaches(self) -> int:
        """The number of the entry that came in last, 0 if there is none."""
        ((reaches,),) = self._rows("SELECT coalesce(max(seq), 0) FROM entries")
        return int(reaches)

    def since(self, number: int, most: int) -> tuple[tuple[int, Row], ...]:
        """The entries that came in after a number, each with its own, in the order in which they came.

        Args:
            number: how far they are known, 0 for from the beginning.
            most: at most so many of them.
        """
        sql = f"SELECT seq, {', '.join(COLUMNS)} FROM entries WHERE seq > ? ORDER BY seq LIMIT ?"
        return tuple((seq, row_of(*values)) for seq, *values in self._rows(sql, (number, most)))

    def jobs(self) -> tuple[str, ...]:
        """The ids of all jobs, the one with the latest entry first."""
        sql = "SELECT job FROM entries WHERE job <> ? GROUP BY job ORDER BY max(at) DESC, job"
        return tuple(job for (job,) in self._rows(sql, (SHOP,)))

    def last_at(self, device: str) -> str:
        """When a device made its latest entry in any job, "" if it made none."""
        ((at,),) = self._rows("SELECT coalesce(max(at), '') FROM entries WHERE device = ?", (device,))
        if not at or is_time(str(at)):
            return str(at)
        times = self._rows("SELECT at FROM entries WHERE device = ?", (device,))
        return max((at for (at,) in times if is_time(str(at))), default="")

    def last_of(self, device: str) -> tuple[int, str]:
        """How many entries of a device stand here in any job, and the link of the one that came last, "" if none."""
        sql = "SELECT count(*), coalesce(max(seq), 0) FROM entries WHERE device = ?"
        ((count, last),) = self._rows(sql, (device,))
        links = self._rows("SELECT hash FROM entries WHERE seq = ?", (last,))
        return int(count), str(links[0][0]) if links else ""

    def head(self, job: str) -> Head:
        """How far a job's log reaches; equal in two logs exactly when they hold the same entries."""
        # SQLite promises that `hash` beside max(seq) comes from the row that has it
        sql = """SELECT device, hash, count(*), count(DISTINCT previous), max(seq) FROM entries WHERE job = ?
            GROUP BY device"""
        ends, entries = {}, 0
        for device, link, count, followed, _ in self._rows(sql, (job,)):
            entries += count
            ends[device] = link
            if followed < count:  # two go on from one
                links = "SELECT previous, hash FROM entries WHERE job = ? AND device = ?"
                ends[device] = ends_of(self._rows(links, (job, device)))
        return Head(ends, entries)

    def unproven(self, job: str, head: Head) -> tuple[str, ...]:
        """What keeps a head that a document of a job names from being proven, as ends of a sentence.

        Each end it names must stand here, with every entry up to it as it was written. What came since, and when,
        makes no difference.
        """
        return tuple(unproven(head, self.rows(job)))

    def remarks(self, job: str) -> list[str]:
        """What a person should know of how a job's entries came here: kept aside, or of two branches."""
        return [*(told.sentence for told in kept_aside(self._rows, job)), *forked(self._rows, job)]

    def verify(self) -> list[Break]:
        """Everything wrong in the file, as `look_through` finds it."""
        return list(self.look_through().breaks)

    def look_through(self, ends: Collection[str] = (), progress: Progress = no_progress) -> Verified:
        """What SQLite finds, missing guards, each break in a chain, lost ends, entries kept aside, and lines of the
        list of jobs that say something else.

        Args:
            ends: the links that documents name, of which it is to be known how many entries lead up to them.
            progress: is told how far it is.
        """
        walk = Walk(self._rows, ends, progress)
        breaks = everything_wrong(walk, self.lines, self._mark if self._marks else None)
        return Verified(tuple(breaks), walk.led_up, tuple(walk.forks), walk.entries)

    def told(self) -> list[str]:
        """What was told of this log for good: that once it was found to reach less far than before."""
        return self._mark.told()

    def bookmark(self, client: str) -> str | None:
        """Where a phone was when it was last heard of, None if never; not part of the log."""
        rows = self._rows("SELECT route FROM bookmark WHERE client = ?", (client,))
        return str(rows[0][0]) if rows else None

    def set_bookmark(self, client: str, route: str) -> None:
        """Remember where a phone is.

        Raises:
            NotSaved: the disk or the file refused.
        """
        with self._writing():
            self._db.table("bookmark").upsert({"client": client, "route": route}, pk="client")

    def close(self) -> None:
        """Let go of the file."""
        self._conn.close()
        self._done()
        self._done = no_flush

    @contextmanager
    def _writing(self) -> Iterator[None]:
        """One transaction: all of it is on the disk afterwards, or none and the reason is raised."""
        with self._lock:
            try:
                self._conn.execute("BEGIN IMMEDIATE")
                self._forget_links_if_others_wrote()
                yield
                self._refuse_if_gone()
                reached = self._marking.ahead()
                self._conn.execute("COMMIT")
            except BaseException as e:
                self._links.clear()
                with suppress(sqlite3.Error):
                    self._conn.execute("ROLLBACK")
                if getattr(e, "sqlite_errorcode", 0) == sqlite3.SQLITE_CONSTRAINT_TRIGGER:
                    raise Refusal(str(e)) from e
                if isinstance(e, sqlite3.Error):
                    raise trouble("NOT saved in the logbook", self.path, e) from e
                raise
            self._marking.write_down(reached)
        self.flush()

    def _files_now(self) -> tuple[tuple[int, int], ...]:
        """What the paths of the database and of its log of commits stand for now."""
        return tuple(
            (found.st_dev, found.st_ino) for file in self._paths if (found := _stat(file)) is not None
        )

    def _refuse_if_gone(self) -> None:
        # SQLite goes on writing into a file that nobody will find under its name again
        if self._files and self._files_now() != self._files:
            raise NotSaved(f"NOT saved in the logbook ({self.path.name}): {GONE}")

    def _forget_links_if_others_wrote(self) -> None:
        (version,) = self._conn.execute("PRAGMA data_version").fetchone()
        if version != self._version:
            self._links.clear()
            self._version = version

    def _rows(self, sql: str, values: Sequence[str | int] = ()) -> list[Any]:
        with self._lock:
            try:
                return self._db.execute(sql, values).fetchall()
            except sqlite3.Error as e:
                if "decode" not in str(e) or self._conn.text_factory is damaged_text:
                    raise trouble("The logbook could not be read", self.path, e) from e
                # a flipped bit in one text must not hide the rest; slower, so only from here on
                self._conn.text_factory = damaged_text
                return self._rows(sql, values)

    def _write(self, *rows: Row) -> None:
        self._conn.executemany(INSERT, rows)
        self.lines.follow(rows)

    def _linked(self, entry: Entry) -> Row:
        """The row of an entry, linked to its device's entry before it."""
        chain = (entry.job, entry.device)
        previous, at = self._links.get(chain) or self._last_link(chain)
        if entry.at < at:
            raise Refusal(f"the entry's time {entry.at} is before its device's previous one, {at}.")
        body = body_text(entry.body)
        try:
            link = chained(previous, entry, body)
        except UnicodeEncodeError as e:
            raise Refusal("the text holds half a character that cannot be kept; type it again.") from e
        self._links[chain] = (link, entry.at)
        return Row(entry.id, entry.job, entry.device, entry.at, entry.by, entry.kind, body, previous, link)

    def _last_link(self, chain: tuple[str, str]) -> tuple[str, str]:
        sql = "SELECT hash, at FROM entries WHERE job = ? AND device = ? ORDER BY {} DESC LIMIT 1"
        rows = self._rows(sql.format("at DESC, seq"), chain)
        if not rows or is_time(str(rows[0][1])):
            return rows[0] if rows else ("", "")
        ((link, at),) = self._rows(sql.format("seq"), chain)  # a time is damaged, so times give no order
        return (link, at if is_time(str(at)) else "")

    def _settle(self, device: str | None) -> None:
        """Bring the file to this version's tables; a new file gets its device."""
        if self._schema() == len(STEPS):
            return
        if 0 < self._schema() < len(STEPS):
            keep_before_steps(self._conn, self.path, self._schema())
        with self._writing():
            version = self._schema()  # again: another program may have been faster
            self._refuse_unknown(version)
            for step in STEPS[version:]:
                step(self._db)
            if version == 0:
                made_up = uuid7(time.time_ns() // 1_000_000, os.urandom(10))
                self._conn.execute("INSERT INTO device (id) VALUES (?)", (device or made_up,))
            self._conn.execute(f"PRAGMA user_version = {len(STEPS)}")

    def _refuse_unknown(self, version: int) -> None:
        if version > len(STEPS):
            raise NotSaved(
                f"The logbook ({self.path.name}) is of a newer version of this program (its schema is "
                f"{version}, known here is {len(STEPS)}). Nothing was changed in it; update the program."
            )

    def _schema(self) -> int:
        return int(self._conn.execute("PRAGMA user_version").fetchone()[0])

    def _device_id(self, wanted: str | None) -> str:
        ((device,),) = self._rows("SELECT id FROM device ORDER BY rowid DESC LIMIT 1")
        if wanted not in (None, device):
            raise Refusal(f"this folder belongs to device {device}, not {wanted}; give each device its own.")
        return str(device)


def _lock() -> AbstractContextManager[object]:
    """A server may read from another thread, though none is started here; in a browser there is no other."""
    try:
        from threading import RLock
    except ImportError:
        return nullcontext()
    return RLock()


def _stat(file: str) -> os.stat_result | None:
    try:
        return os.stat(file)
    except OSError:
        return None
