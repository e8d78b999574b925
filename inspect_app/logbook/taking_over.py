"""Entries from elsewhere: what can stand here goes into the log, what cannot is kept aside and told."""

from __future__ import annotations

import json
import sqlite3
from collections.abc import Callable, Iterable, Iterator, Sequence
from dataclasses import dataclass
from typing import Any

from inspect_app.logbook.chains import Break, Row, continuation, named_row
from inspect_app.logbook.schema import INSERT
from inspect_app.trade.measuring.wording import counted

Read = Callable[[str, Sequence[str | int]], list[Any]]
Chain = tuple[str, str]
"""A job, and a device that made entries in it."""


@dataclass(frozen=True, slots=True)
class TakenOver:
    """What came of entries from elsewhere: how many were new, and a sentence for each chain of which some are kept
    aside."""

    new: int
    refused: tuple[str, ...]


def by_chain(rows: Iterable[Row]) -> dict[Chain, list[Row]]:
    """Rows of any jobs and devices, apart by chain."""
    chains: dict[Chain, list[Row]] = {}
    for row in rows:
        chains.setdefault((row.job, row.device), []).append(row)
    return chains


def take_over_chain(
    conn: sqlite3.Connection, read: Read, chain: Chain, came: Iterable[Row]
) -> tuple[tuple[Row, ...], str]:
    """Write what can stand here of one chain, with what waited for it, and keep the rest aside.

    Args:
        conn: the log, in a transaction.
        read: reads it.
        chain: which one.
        came: its rows in any order.
    Returns: the rows that were new, and a sentence on those kept aside, "" for none.
    """
    waiting = [row for row, _ in _aside(read, chain)]
    standing = read("SELECT id, hash, at FROM entries WHERE job = ? AND device = ?", chain)
    came, taken_ids = [*came, *waiting], set[str]()
    while True:
        found = continuation(standing, (row for row in came if row.id not in taken_ids))
        conn.execute("SAVEPOINT chain")
        try:
            conn.executemany(INSERT, found.new)
            break
        except sqlite3.IntegrityError:
            conn.execute("ROLLBACK TO chain")
            taken_ids |= _ids_elsewhere(read, found.new)
        finally:
            conn.execute("RELEASE chain")
    another = [(row, "has the id of another entry") for row in came if row.id in taken_ids]
    aside = tuple(dict.fromkeys((*another, *found.aside)))
    _keep_aside(conn, chain, aside)
    return found.new, _told(chain, aside)


def _ids_elsewhere(read: Read, rows: Iterable[Row]) -> set[str]:
    """The ids of rows that entries of other chains have."""
    return {row.id for row in rows if read("SELECT 1 FROM entries WHERE id = ?", (row.id,))}


def _keep_aside(conn: sqlite3.Connection, chain: Chain, aside: Iterable[tuple[Row, str]]) -> None:
    conn.execute("DELETE FROM aside WHERE job = ? AND device = ?", chain)
    rows = [(*chain, json.dumps(row), reason) for row, reason in aside]
    conn.executemany("INSERT INTO aside (job, device, row, reason) VALUES (?, ?, ?, ?)", rows)


def _aside(read: Read, chain: Chain) -> Iterator[tuple[Row, str]]:
    sql = "SELECT row, reason FROM aside WHERE job = ? AND device = ? ORDER BY rowid"
    for text, reason in read(sql, chain):
        yield Row(*json.loads(text)), reason


def _told(chain: Chain, aside: Sequence[tuple[Row, str]]) -> str:
    if not aside:
        return ""
    row, reason = aside[0]  # what is wrong itself comes before what waits for it
    words = counted(len(aside), "entry of device {} is", "entries of device {} are").format(chain[1])
    return f"{named_row(row)} {reason}. {words} kept aside until it comes as it was written."


def kept_aside(read: Read, job: str = "") -> Iterator[Break]:
    """A sentence for each chain of which entries are kept aside; of a log that is older than that, none.

    Args:
        read: reads the log.
        job: the job, "" for all.
    """
    if not read("SELECT 1 FROM sqlite_master WHERE name = 'aside'", ()):
        return
    sql = "SELECT DISTINCT job, device FROM aside WHERE job = ? OR ? = '' ORDER BY job, device"
    for chain in read(sql, (job, job)):
        aside = tuple(_aside(read, chain))
        yield Break(chain[0], aside[0][0].id, _told(chain, aside))


def forked(read: Read, job: str) -> Iterator[str]:
    """A sentence for each place where two branches of one chain of a job begin.

    Args:
        read: reads the log.
        job: the job.
    """
    sql = "SELECT device, count(*) FROM entries WHERE job = ? GROUP BY device, previous HAVING count(*) > 1"
    for device, _ in read(sql, (job,)):
        yield fork_words(device)


def fork_words(device: str) -> str:
    """What to tell of a fork: nothing is wrong with any of its entries, and a person should know."""
    return (
        f"Two copies of the data folder of device {device} were both written to. Everything entered in either of them "
        "stands here, in the order of its times."
    )
