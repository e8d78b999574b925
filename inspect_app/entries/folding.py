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
from inspect_app.entries.entry import Entry, in_time
from inspect_app.entries.job import AS_FOUND, Job, Survey
from inspect_app.entries.kinds import KINDS
from inspect_app.entries.measuring import Gathering

CANNOT_BE_READ = (AttributeError, KeyError, TypeError, ValueError, ArithmeticError)
"""What a step raises for a body it cannot read."""


def write_up(job: Job, entry: Entry) -> Job:
    """The job after one more entry (not `undo`, which needs the whole log: see `fold`).

    Args:
        job: the job so far.
        entry: the next entry by (at, id).
    """
    return replace(
        _with_what_it_says(job, entry), entries=job.entries + 1, last_at=max(job.last_at, entry.at)
    )


def _with_what_it_says(job: Job, entry: Entry) -> Job:
    kind = KINDS.get(entry.kind)
    if kind is None or kind.step is None:
        return replace(job, unknown=job.unknown + 1)
    try:
        return kind.step(job, entry)
    except CANNOT_BE_READ:
        # a body only a newer version understands: kept in the log, counted here, never a crash
        return replace(job, unknown=job.unknown + 1)


def fold(job_id: str, entries: Iterable[Entry]) -> Job:
    """The job that a log's entries tell, whatever order they come in.

    Args:
        job_id: the job.
        entries: its entries, of any number of devices.
    """
    ordered = sorted(entries, key=in_time)
    taken_back: set[Any] = set()
    for entry in reversed(ordered):
        if entry.kind == "undo" and entry.id not in taken_back:
            taken_back.add(entry.body.get("of"))
    gathered = _Gathered(Job(job_id))
    for entry in ordered:
        if entry.kind != "undo" and entry.id not in taken_back:
            gathered.take(entry)
        elif entry.kind == "photo":
            gathered.leave_number(entry)
    job = gathered.whole()
    return replace(job, entries=len(ordered), last_at=ordered[-1].at if ordered else "")


class _Gathered:
    """A job on its way: readings, nearly all there is, are gathered, and each survey is made of them once."""

    def __init__(self, job: Job) -> None:
        self._job = job
        self._surveys: dict[str, Gathering] = {}
        self._unknown = 0

    def take(self, entry: Entry) -> None:
        if entry.kind != "reading":
            self._step(entry)
            return
        name = str(entry.body.get("survey", AS_FOUND))
        known = self._surveys.get(name)
        into = known or Gathering(self._job.surveys.get(name) or Survey(name))
        try:
            into.take(entry, entry.body)
        except CANNOT_BE_READ:
            self._unknown += 1
            return
        if known is None:
            self._surveys[name] = into
            self._stand(name, into.standing())

    def leave_number(self, entry: Entry) -> None:
        """No other photograph gets the number of one taken back: it may stand in an issued report."""
        self._job = replace(self._job, photographed=picturing.number_of(entry, self._job))

    def _step(self, entry: Entry) -> None:
        """Any other kind sees what stands, in the very dicts that go on being filled: nobody else has them."""
        before = dict(self._job.surveys)
        self._job = _with_what_it_says(self._job, entry)  # all are counted in the end
        for name, gathering in self._surveys.items():
            if (stands := self._job.surveys[name]) is not before[name]:
                gathering.go_on(stands)
                self._stand(name, gathering.standing())

    def _stand(self, name: str, survey: Survey) -> None:
        self._job = replace(self._job, surveys={**self._job.surveys, name: survey})

    def whole(self) -> Job:
        surveys = {name: gathering.whole() for name, gathering in self._surveys.items()}
        return replace(
            self._job, surveys={**self._job.surveys, **surveys}, unknown=self._job.unknown + self._unknown
        )
