"""The other visits of a job's cylinder, found in the folder by its serial or tag."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Protocol

from inspect_app.bench.remembered import Remembered
from inspect_app.entries.job import Job
from inspect_app.job.as_left import PartNow
from inspect_app.job.assess import Assessment
from inspect_app.job.history import Visit, earlier_of, history_of, serial_key, worn_since
from inspect_app.logbook.store import Logbook
from inspect_app.tables import Tables
from inspect_app.tables.cylinders import Check
from inspect_app.tables.faults import TableError
from inspect_app.trade.measuring.refusal import Sentence
from inspect_app.trade.measuring.wear import Change


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
    before = _before(bench, job)
    if not before:
        return ()
    tables = bench.tables_of(job)
    which = " ".join(other.id for other in before)
    return bench.remembered.of(
        job, tables, f"history {which}", lambda: _told(bench, job, tables, before),
        job.surveys, job.steps, *before,
    )  # fmt: skip


def wear_figures(bench: Folder, job: Job) -> tuple[tuple[Check, Change, tuple[str, float] | None], ...]:
    """What wore since the cylinder was here last, as `history.worn_since` gives it; nothing of one that was not.

    Args:
        bench: who has its other visits.
        job: the job as it stands.
    Raises:
        TableError: tables of either job cannot be used.
    """
    before = _before(bench, job)
    return tuple(worn_since(job, bench.tables_of(job), _visit(bench, before[0]))) if before else ()


def _before(bench: Folder, job: Job) -> tuple[Job, ...]:
    """The cylinder's earlier jobs, the last of them first."""
    return earlier_of(job, [bench.job(name) for name in same_cylinder(bench, job) if name != job.id])


def same_cylinder(bench: Folder, job: Job) -> tuple[str, ...]:
    """The jobs whose nameplate ever bore the serial or tag of this one's, this one too; none while it has none."""
    serial = serial_key(job.as_found.text("serial"))
    return bench.logbook.lines.of_serial(serial) if serial else ()


def _visit(bench: Folder, job: Job) -> Visit:
    tables = bench.tables_of(job)
    return Visit(job, bench.assess(job), bench.parts_now(job), tables)


def _told(bench: Folder, job: Job, tables: Tables, before: Sequence[Job]) -> tuple[Sentence, ...]:
    visits, damaged = [], []
    for other in before:
        try:
            visits.append(_visit(bench, other))
        except TableError as fault:  # another job's limits must not hide this one
            damaged.append(Sentence("{name}: {fault}", {"name": other.name, "fault": str(fault)}))
    return (*history_of(job, tables, visits), *damaged)
