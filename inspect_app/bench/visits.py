"""The other visits of a job's cylinder, found in the folder by its serial or tag."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Protocol

from inspect_app.bench.remembered import Remembered
from inspect_app.entries.job import Job
from inspect_app.job.as_left import PartNow
from inspect_app.job.assess import Assessment
from inspect_app.job.history import Visit, earlier_of, history_of, serial_key
from inspect_app.logbook.store import Logbook
from inspect_app.tables import Tables
from inspect_app.tables.faults import TableError
from inspect_app.trade.measuring.refusal import Sentence


class Folder(Protocol):
    """Whoever has all the jobs: the bench."""

    logbook: Logbook
    remembered: Remembered

    def job(self, job_id: str) -> Job: ...

    def tables_of(self, job: Job) -> Tables: ...

    def assess(self, job: Job) -> Assessment: ...

    def parts_now(self, job: Job) -> Sequence[PartNow]: ...


def history_told(bench: Folder, job: Job) -> tuple[Sentence, ...]:
    """What is said of a cylinder that was here before; nothing of one that was not, or whose serial is not known.

    Args:
        bench: who has its other visits.
        job: the job as it stands.
    Raises:
        TableError: the tables of the job itself cannot be used.
    """
    serial = serial_key(job.as_found.text("serial"))
    named = bench.logbook.lines.of_serial(serial) if serial else ()
    before = earlier_of(job, [bench.job(name) for name in named if name != job.id])
    if not before:
        return ()
    tables = bench.tables_of(job)
    which = " ".join(other.id for other in before)
    return bench.remembered.of(
        job, tables, f"history {which}", lambda: _told(bench, job, tables, before),
        job.surveys, job.steps, *before,
    )  # fmt: skip


def _told(bench: Folder, job: Job, tables: Tables, before: Sequence[Job]) -> tuple[Sentence, ...]:
    visits, damaged = [], []
    for other in before:
        try:
            judged_by = bench.tables_of(other)
            visits.append(Visit(other, bench.assess(other), bench.parts_now(other), judged_by))
        except TableError as fault:  # another job's limits must not hide this one
            damaged.append(Sentence("{name}: {fault}", {"name": other.name, "fault": str(fault)}))
    return (*history_of(job, tables, visits), *damaged)
