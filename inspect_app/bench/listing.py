"""The list of jobs: fifty lines out of the log's own list, and how each job stands where that is known at once.

Nothing is folded for the list. What was judged of a job is taken from memory, or from beside its line, and counts only
at the very head it was judged at, under what judges now. For the others `judged` is called beside the screens.
"""

from __future__ import annotations

import hashlib
import json
import sys
from collections.abc import Mapping
from dataclasses import asdict, dataclass
from typing import Any

from inspect_app import __version__
from inspect_app.bench.bench import Bench
from inspect_app.bench.issuing import entered_since
from inspect_app.bench.scoping import standing
from inspect_app.entries.folding import fold
from inspect_app.entries.job import Job
from inspect_app.job.findings import Disposition
from inspect_app.job.nameplate import main_sizes
from inspect_app.job.progress import Progress
from inspect_app.job.scope.covering import Stand
from inspect_app.job.seals.standing import late_orders
from inspect_app.job.steps import in_hand, steps_of
from inspect_app.logbook.lines import Judgement, Line
from inspect_app.tables.faults import TableError
from inspect_app.trade.measuring.decision import Verdict
from inspect_app.trade.measuring.refusal import Refusal

SMALL = 500
"""A job of no more entries is opened while the screens wait."""
AT_ONCE = 50
"""So many jobs are shown before more are asked for: those worked on last."""


@dataclass(frozen=True, slots=True)
class AtTheCustomer:
    """How a job stands with its customer: its `Stand`, whether something is asked, when what waits was shown ("" for
    answered); or in `fault` why that cannot be told."""

    stand: Stand
    asked: bool = False
    shown_at: str = ""
    fault: str = ""


@dataclass(frozen=True, slots=True)
class Stands:
    """How a job stands, for its row: the sizes of the cylinder by field ("" for one that is missing), what becomes of
    it so far or in `refused` why that cannot be told, the step in hand ("" for all over) and whether it was let go, how
    many orders are late, how many entries came since the last report (None without one), the customer (None before
    anything was shown)."""

    sizes: Mapping[str, str]
    progress: Progress | None
    refused: str
    step: str
    released: bool
    late: int
    since: int | None
    customer: AtTheCustomer | None


@dataclass(frozen=True, slots=True)
class Row:
    """A line and how the job stands; None where that is to be found out first."""

    line: Line
    stands: Stands | None


@dataclass(frozen=True, slots=True)
class Listed:
    """The rows that were asked for, and how many there are of that kind."""

    rows: tuple[Row, ...]
    count: int


def basis_of(bench: Bench) -> str:
    """What judges a job beside its own tables: this version, the day, and the shop's files as they are now.

    Args:
        bench: the open data folder.
    """
    said = "\n".join(
        (__version__, bench.today(), bench.kept_tables.today.limits_hash, bench.kept_tables.rates_now())
    )
    # the very same text each time: what is kept in memory is compared by identity
    return sys.intern(hashlib.sha256(said.encode()).hexdigest())


def listed(bench: Bench, wanted: str, most: int) -> Listed:
    """The rows of the list, the job touched last first.

    Args:
        bench: the open data folder.
        wanted: what was typed into the search.
        most: so many rows at most.
    """
    basis, lines = basis_of(bench), bench.logbook.lines
    rows = tuple(Row(line, _known(bench, line, basis)) for line in lines.found(wanted, basis, most))
    return Listed(rows, len(rows) if len(rows) < most else lines.count(wanted))


def _known(bench: Bench, line: Line, basis: str) -> Stands | None:
    if bench.has(line.job):
        job = bench.job(line.job)
        if job.entries == line.entries:
            return _stands(bench, job, basis)
    return _read(line.judged) if line.judged else None


def judged(bench: Bench, line: Line, basis: str) -> Judgement | None:
    """How a job stands, to be kept beside its line; takes long, and touches nothing that others use meanwhile.

    Args:
        bench: the open data folder.
        line: the job's line.
        basis: as `basis_of` said.
    Returns: None where entries came in since the line was read: the next drawing asks again.
    """
    beside = bench.beside()
    job = beside.job(line.job)
    if job.entries != line.entries:
        return None
    return Judgement(line.job, line.head, basis, _written(_stands(beside, job, basis)))


def opens_at_once(bench: Bench, job_id: str) -> bool:
    """Whether a job is in memory, or so small that nobody waits for it.

    Args:
        bench: the open data folder.
        job_id: the job.
    """
    return bench.has(job_id) or bench.logbook.lines.entries(job_id) <= SMALL


def units_of(bench: Bench, job_id: str) -> str:
    """The system a bare number of a job is in, "" where that is not known; a large job is not folded for it.

    Args:
        bench: the open data folder.
        job_id: the job.
    """
    if bench.has(job_id):
        return bench.job(job_id).units
    return fold(job_id, bench.logbook.entries(job_id, "job")).units


def opened_beside(bench: Bench, job_id: str) -> Bench:
    """A large job folded and judged; takes long, and touches nothing that others use meanwhile.

    Args:
        bench: the open data folder.
        job_id: the job.
    Returns: the memory that has it, for `take_from`.
    Raises:
        Refusal: there is no such job, or its tables cannot be read.
    """
    beside = bench.beside()
    beside.assess(beside.job(job_id))
    return beside


def take_from(bench: Bench, beside: Bench, job_id: str) -> None:
    """Take a job over that was opened beside, unless entries came in since: then it is opened here.

    Args:
        bench: the open data folder.
        beside: as `opened_beside` gave it.
        job_id: the job.
    """
    job = beside.job(job_id)
    if not bench.has(job_id) and bench.logbook.lines.entries(job_id) == job.entries:
        bench.take_over(beside, job)


def _stands(bench: Bench, job: Job, basis: str) -> Stands:
    sizes: dict[str, str] = {}
    if cylinder := bench.tables.cylinders.get(job.cylinder):
        known = ((f.id, job.as_found.length(f.id)) for f in main_sizes(cylinder, job.as_found))
        sizes = {name: str(mm) if mm else "" for name, mm in known}
    since = entered_since(bench, job)
    told = since[-1] if since else None
    try:
        tables = bench.tables_of(job)
        progress, customer = bench.remembered.of(
            job, tables, "listed", lambda: (bench.progress(job), _customer(bench, job)), job, basis
        )
    except (TableError, Refusal) as damaged:  # this job's limits; the other jobs are listed all the same
        return Stands(sizes, None, str(damaged), "", False, 0, told, None)
    hand = in_hand(steps_of(job.steps, tables.steps))
    late = late_orders(job.ordering, bench.today())
    step, released = hand.step.title if hand else "", job.steps.let_go is not None
    return Stands(sizes, progress, "", step, released, late, told, customer)


def _customer(bench: Bench, job: Job) -> AtTheCustomer | None:
    if not job.agreeing.versions:
        return None
    try:
        stands = standing(bench, job, job.units or "metric")
    except TableError as fault:
        return AtTheCustomer(Stand.OPEN, fault=str(fault))
    shown_at = stands.version.at if stands.version and not stands.answer else ""
    return AtTheCustomer(stands.stand, bool(job.agreeing.asked), shown_at)


def _written(stands: Stands) -> str:
    said = asdict(stands)
    if stands.progress:
        said["progress"]["sign"] = [isinstance(stands.progress.sign, Verdict), stands.progress.sign.value]
    if stands.customer:
        said["customer"]["stand"] = stands.customer.stand.value
    return json.dumps(said, ensure_ascii=False)


def _read(text: str) -> Stands | None:
    """What `_written` wrote; None for what another version wrote."""
    try:
        said: dict[str, Any] = json.loads(text)
        if progress := said["progress"]:
            of_verdict, value = progress["sign"]
            said["progress"] = Progress(
                **{**progress, "sign": (Verdict if of_verdict else Disposition)(value)}
            )
        if customer := said["customer"]:
            said["customer"] = AtTheCustomer(**{**customer, "stand": Stand(customer["stand"])})
        return Stands(**said)
    except (KeyError, TypeError, ValueError):
        return None
