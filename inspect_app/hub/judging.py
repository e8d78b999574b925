"""What is made of each job for the questions over the fleet: judged by the program itself, kept at the hub.

The folder is one that pulls as the fleet: all jobs with the tables they are judged by. A job is judged again only when
its entries or its tables changed. No judgement is made here, and none is kept in a log.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence
from typing import TYPE_CHECKING, Any

from inspect_app.bench.bench import Bench
from inspect_app.bench.visits import same_cylinder, wear_figures
from inspect_app.entries.job import Job
from inspect_app.job.steps import steps_of
from inspect_app.tables.faults import TableError
from inspect_app.trade.measuring.refusal import Refusal

if TYPE_CHECKING:
    from psycopg import Connection

UM_IN_MM = 1000
SITES = """SELECT DISTINCT ON (e.job) e.job, d.site FROM hub.entry e JOIN hub.device d ON d.id = e.device
    WHERE e.kind = 'job' ORDER BY e.job, e.at, e.id"""


def judge_all(bench: Bench, hub: Connection) -> tuple[int, list[str]]:
    """Judge every job that changed, and bring what the questions ask for to the hub.

    Args:
        bench: the open data folder, pulled.
        hub: the hub, connected as a login of the fleet.
    Returns: how many were judged, and a sentence for each that cannot be.
    Raises:
        Refusal: the hub refuses.
    """
    sites: dict[str, str] = dict(hub.execute(SITES).fetchall())
    judged, told = 0, []
    for job in _changed(bench, hub, sites):
        try:
            facts = {table: list(rows) for table, rows in _facts(bench, job)}
        except (Refusal, TableError) as why:
            told.append(f"{job.name}: {why}")
            continue
        with hub.transaction():
            hub.execute("DELETE FROM hub.judged WHERE job = %s", (job.id,))
            of = (*_judged_by(bench, job), sites[job.id], job.as_found.text("machine"))
            hub.execute("INSERT INTO hub.judged VALUES (%s, %s, %s, %s, %s)", of)
            for table, rows in facts.items():
                _insert(hub, table, [(job.id, *row) for row in rows])
        judged += 1
    if judged:
        hub.execute("SELECT hub.refresh()")
    return judged, told


def _changed(bench: Bench, hub: Connection, sites: Iterable[str]) -> list[Job]:
    """The jobs that changed since they were judged, and every other job of their cylinders: wear is told by two."""
    known = {row[0]: row[1] for row in hub.execute("SELECT job, head FROM hub.judged")}
    heads = {job: bench.logbook.head(job).hash for job in sites}
    changed = [bench.job(job) for job, head in heads.items() if head and known.get(job) != head]
    names = {job.id for job in changed}.union(*(same_cylinder(bench, job) for job in changed))
    return [bench.job(name) for name in sorted(names & heads.keys())]


def _judged_by(bench: Bench, job: Job) -> tuple[str, str, str]:
    return job.id, bench.logbook.head(job.id).hash, f"{job.cylinder_hash}-{job.limits_hash}"


def _insert(hub: Connection, table: str, rows: Sequence[tuple[Any, ...]]) -> None:
    if rows:
        places = ", ".join(["%s"] * len(rows[0]))
        hub.cursor().executemany(f"INSERT INTO hub.{table} VALUES ({places})".encode(), rows)


def _facts(bench: Bench, job: Job) -> Iterator[tuple[str, Iterator[tuple[Any, ...]]]]:
    yield "finding", _findings(bench, job)
    yield "wear", _wear(bench, job)
    yield "defect", _defects(bench, job)
    yield "worked", _worked(bench, job)
    yield "delivery", _deliveries(bench, job)


def _findings(bench: Bench, job: Job) -> Iterator[tuple[Any, ...]]:
    """Every value judged against a limit for reuse, and whose limit it is."""
    for part in bench.assess(job).parts:
        for finding in (f for check in part.checks for f in check.findings):
            if reuse := finding.judgement("reuse"):
                limit = reuse.limit
                said = (finding.check.id, finding.seen or finding.characteristic)
                yield *said, limit.owner, str(limit.source.cited), reuse.verdict.value


def _wear(bench: Bench, job: Job) -> Iterator[tuple[Any, ...]]:
    for check, change, elapsed in wear_figures(bench, job):
        took = {elapsed[0]: elapsed[1]} if elapsed else {}
        figures = (abs(change.change) * UM_IN_MM, change.expanded * UM_IN_MM)
        yield check.id, *figures, took.get("hours"), took.get("months")


def _defects(bench: Bench, job: Job) -> Iterator[tuple[Any, ...]]:
    for defect in job.as_found.defects:
        yield defect.check, defect.kind


def _worked(bench: Bench, job: Job) -> Iterator[tuple[Any, ...]]:
    for stands in steps_of(job.steps, bench.tables_of(job).steps):
        if hours := stands.spent.total_seconds() / 3600:
            yield stands.step.id, hours


def _deliveries(bench: Bench, job: Job) -> Iterator[tuple[Any, ...]]:
    """What was promised and when it came; nothing of a cylinder whose seals are not known."""
    try:
        standings = bench.seals(job)
    except Refusal:
        return
    for standing in standings:
        for order in standing.orders:
            if order.promised and not order.off:
                came = max((receipt.at[:10] for receipt in order.receipts), default=None)
                yield standing.line.title, order.promised, None if order.to_come else came
