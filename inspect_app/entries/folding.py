"""Folds a log's entries to a Job; never fails on what a log holds.

A job is what stands: a reading taken again replaces the one before at its place (both stay in the
log and the older is kept in `replaced`), an entry taken back by `undo` has no part in it, an entry of
an unknown kind is counted and left alone.
"""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import replace
from typing import Any

from inspect_app.entries import picturing
from inspect_app.entries.entry import Entry
from inspect_app.entries.job import Job
from inspect_app.entries.kinds import KINDS


def write_up(job: Job, entry: Entry) -> Job:
    """The job after one more entry (not `undo`, which needs the whole log: see `fold`).

    Args:
        job: the job so far.
        entry: the next entry by (at, id).
    """
    kind = KINDS.get(entry.kind)
    counted = replace(job, entries=job.entries + 1, last_at=max(job.last_at, entry.at))
    if kind is None or kind.step is None:
        return replace(counted, unknown=job.unknown + 1)
    try:
        return kind.step(counted, entry)
    except (AttributeError, KeyError, TypeError, ValueError, ArithmeticError):
        # a body only a newer version understands: kept in the log, counted here, never a crash
        return replace(counted, unknown=job.unknown + 1)


def fold(job_id: str, entries: Iterable[Entry]) -> Job:
    """The job that a log's entries tell, whatever order they come in.

    Args:
        job_id: the job.
        entries: its entries, of any number of devices.
    """
    ordered = sorted(entries, key=lambda e: (e.at, e.id))
    taken_back: set[Any] = set()
    for entry in reversed(ordered):
        if entry.kind == "undo" and entry.id not in taken_back:
            taken_back.add(entry.body.get("of"))
    job = Job(job_id)
    for entry in ordered:
        if entry.kind == "undo" or entry.id in taken_back:
            # no other photograph gets the number of one taken back: it may stand in an issued report
            used = picturing.number_of(entry, job) if entry.kind == "photo" else job.photographed
            job = replace(job, entries=job.entries + 1, last_at=max(job.last_at, entry.at), photographed=used)
        else:
            job = write_up(job, entry)
    return job
