"""The seal list of a job, for the prompt and for files: brings the job, the handbook and the words together."""

from __future__ import annotations

from collections.abc import Collection, Iterator, Mapping, Sequence
from dataclasses import dataclass
from typing import Any

from inspect_app.entries.job import AS_LEFT, Job, Survey
from inspect_app.entries.seals import WHOLE_CYLINDER, Where
from inspect_app.entries.typed import Listed
from inspect_app.job.assess import Assessment
from inspect_app.job.planned import Plan
from inspect_app.job.seals.after import state_after, states_after
from inspect_app.job.seals.inputs import CylinderState
from inspect_app.job.seals.line import SealLine
from inspect_app.job.seals.of_survey import remeasured, sections_of, state_of
from inspect_app.job.seals.seal_list import SealList, seal_list, while_open
from inspect_app.job.seals.standing import Standing, standing_of
from inspect_app.report.seal_lines import (
    backup_words,
    dimension_words,
    material_words,
    seal_csv,
    seal_data,
    seal_lines,
    unit_words,
)
from inspect_app.report.seal_standing import standing_data, standing_lines
from inspect_app.tables import Tables
from inspect_app.tables.standards.handbook import Handbook
from inspect_app.trade.measuring.refusal import Refusal


@dataclass(frozen=True, slots=True)
class ListOf:
    """The seal list of a job, and the cylinder it is the list of."""

    listing: SealList
    state: CylinderState


def as_left(job: Job) -> Survey:
    """What was said of the cylinder as left, alone.

    Args:
        job: the job.
    """
    return job.surveys.get(AS_LEFT, Survey())


def seals_of(
    job: Job,
    assessment: Assessment,
    plans: Mapping[str, Plan],
    tables: Tables,
    handbook: Handbook,
    chosen: Collection[str] = (),
) -> ListOf:
    """The seal list of a job as it stands, with what was measured again as left.

    While the way to repair is open, whatever differs after one of the ways waits.

    Args:
        job: the job.
        assessment: how the cylinder as found was judged.
        plans: the ways to repair it that may still be taken, by their operations.
        tables: the tables that judge it.
        handbook: what is looked up for it.
        chosen: the operations of the way that was chosen: then the list is the one after it; none while it is open.
    """
    found, left = job.as_found, as_left(job)
    plan = next((p for p in plans.values() if frozenset(p.operations) == frozenset(chosen)), None)
    if plan is not None:
        state = state_after(found, assessment, plan, tables, handbook, left)
        return ListOf(seal_list(state, handbook), state)
    state = state_of(remeasured(found, left), tables, handbook)
    after = states_after(found, assessment, plans.values(), tables, handbook, left)
    ways = [seal_list(each, handbook) for each in after]
    return ListOf(while_open(seal_list(state, handbook), state, ways), state)


def standings(job: Job, of: ListOf, tables: Tables, handbook: Handbook, today: str) -> tuple[Standing, ...]:
    """How every line of a job's list stands today with its orders.

    Args:
        job: the job.
        of: its seal list.
        tables: the tables that judge it, for the caliper.
        handbook: what is looked up for it.
        today: the date, year-month-day.
    """
    listing, state = of.listing, of.state
    sections = sections_of(job.ordering.receipts, job.as_found, tables)
    return tuple(
        standing_of(line, what_words(line), job.ordering, state, handbook, today, sections)
        for line in listing.lines
    )


def what_words(line: SealLine) -> str:
    """What to order for a line, as it goes into the log: kind and size, material, back-up rings, metric; "" unknown.

    Args:
        line: the line.
    """
    if not line.ring or not line.made:
        return ""
    cut = unit_words(line, "metric") if line.cut_mm else ""
    sizes = ", ".join(dimension_words(d, "metric") for d in line.made_to_measure)
    size = f"{line.seal} {line.ring.words('metric')} {cut}".strip()
    return "; ".join(word for word in (size, sizes, material_words(line), backup_words(line)) if word)


def listed(every: Sequence[Standing], where: Where) -> Listed:
    """What the list says of a place, for whoever enters something about it.

    Args:
        every: how the lines stand.
        where: position and place; WHOLE_CYLINDER for the doubts about all of it.
    """
    if where == WHOLE_CYLINDER:
        shared = (d.objection for s in every for d in s.open_doubts if d.shared)
        return Listed("", None, (), tuple(dict.fromkeys(shared)))
    stands = next((s for s in every if s.line.where == where), None)
    if stands is None:
        return Listed("", None, (), ())
    against, doubts = ([d.objection for d in some] for some in (stands.line.open_doubts, stands.open_doubts))
    return Listed(what_words(stands.line), stands.missing, tuple(against), tuple(doubts))


def seals_as_lines(job: Job, listing: SealList, every: Sequence[Standing], system: str) -> Iterator[str]:
    """The seal list as plain lines, and what was asked and ordered.

    Args:
        job: the job.
        listing: its seal list.
        every: how its lines stand.
        system: "metric" or "inch".
    """
    yield from seal_lines(job.name, listing, system)
    yield from standing_lines(every, system)


def seals_as_data(job: Job, listing: SealList, every: Sequence[Standing]) -> dict[str, Any]:
    """The seal list as data, with how each line stands and what was asked and ordered.

    Args:
        job: the job.
        listing: its seal list.
        every: how its lines stand.
    """
    data = seal_data(job.name, listing)
    for line, standing in zip(data["lines"], every, strict=True):
        line["standing"] = standing_data(standing)
    return data


def seals_pdf(job: Job, listing: SealList, tables: Tables, system: str, page_size: str = "A4") -> bytes:
    """The seal list of a job as PDF.

    Args:
        job: the job.
        listing: its seal list.
        tables: the tables that judge it.
        system: "metric" or "inch".
        page_size: "A4" or "letter".
    """
    from inspect_app.paper.pdf import pdf
    from inspect_app.report.seal_sheet import seal_sheet

    return pdf(seal_sheet(job, listing, tables, system), _no_photographs, page_size=page_size)


def _no_photographs(sha256: str) -> bytes:
    raise ValueError(f"A seal list has no photographs, and {sha256} was asked for.")


def seals_as_file(
    job: Job,
    listing: SealList,
    every: Sequence[Standing],
    tables: Tables,
    suffix: str,
    system: str,
    decimal_comma: bool,
) -> bytes:
    """The seal list as a file.

    Args:
        job: the job.
        listing: its seal list.
        every: how its lines stand.
        tables: the tables that judge it.
        suffix: ".csv" for a spreadsheet, ".txt" for a message, ".pdf" for paper.
        system: "metric" or "inch".
        decimal_comma: for a spreadsheet, numbers with a comma.
    Raises:
        Refusal: another suffix.
    """
    if suffix == ".csv":
        return seal_csv(job.name, listing, system=system, decimal_comma=decimal_comma).encode("utf-8")
    if suffix == ".txt":
        return ("\n".join(seals_as_lines(job, listing, every, system)) + "\n").encode("utf-8")
    if suffix == ".pdf":
        return seals_pdf(job, listing, tables, system)
    given = suffix or "a name without an ending"
    raise Refusal(f"A seal list is written as .csv, .txt or .pdf, not as {given}.")
