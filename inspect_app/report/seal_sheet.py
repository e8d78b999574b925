"""The seal list on paper, as plain blocks: what can be ordered, line by line, what must be settled first, and why."""

from __future__ import annotations

from collections.abc import Iterable, Mapping

from inspect_app.entries.job import Job
from inspect_app.job.seals.seal_list import SealList
from inspect_app.paper.blocks import Block, Bullets, Cell, Column, Outcome, Report, Section, Table, Words
from inspect_app.report import seal_words
from inspect_app.report.grounds import last_fact, people
from inspect_app.report.phrases import day_of, zone_of
from inspect_app.report.seal_words import Numbered
from inspect_app.tables import Tables
from inspect_app.tables.sources import Source
from inspect_app.trade.measuring.decision import Verdict
from inspect_app.trade.measuring.wording import counted

LINES = (
    Column("No.", 6),
    Column("Seal", 23),
    Column("What to order", 37),
    Column("Quantity", 12),
    Column("State", 22),
)
MEASURED = (Column("No.", 6), Column("Seal", 23), Column("Sizes", 71))
READY, NOT_YET = "can be ordered", "not yet"
RULE = (
    "Order only what says so. A line with an open doubt waits until somebody settles it: a wrong seal leaks, or "
    "lets go under pressure."
)


def seal_sheet(job: Job, listing: SealList, tables: Tables, system: str) -> Report:
    """The seal list of a job as a document; the same job, list and units say the same.

    Args:
        job: the job.
        listing: its seal list.
        tables: the tables that judge it, for titles and sources.
        system: "metric" or "inch".
    """
    last_day = day_of(last_fact(job), zone_of(job))
    sections = (
        _summary(listing, system),
        *_doubts(listing, system),
        *_listed("Answered: there is none, or something else", seal_words.none_words(listing, system)),
        *_listed("May be there, and nobody has said", seal_words.unsaid_words(listing)),
        _measured(listing, system),
        *_provenance(listing, tables.sources, system),
    )
    return Report(
        title=f"Seal list, {listing.state}",
        name=job.name,
        under=_under(job, tables),
        head=f"Seal list: {job.name}",
        foot=f"Seal list, {listing.state}, of {last_day}; {counted(job.entries, 'entry', 'entries')}",
        tag=f"JOB {job.id}".upper(),
        tag_caption="job",
        made_at=last_fact(job),
        sections=sections,
    )


def _under(job: Job, tables: Tables) -> tuple[str, ...]:
    found = job.as_found
    whose = ", ".join(w for w in (found.text("customer"), found.text("machine"), found.text("serial")) if w)
    by = f"Inspected by {', '.join(people(job))}, last reading {day_of(last_fact(job), zone_of(job))}"
    off = f"Typed off {job.typed_off['file']}, {job.typed_off['date']}" if job.typed_off.get("date") else ""
    return tuple(w for w in (whose, tables.cylinders[job.cylinder].title, by, off) if w)


def _summary(listing: SealList, system: str) -> Section:
    """What stands, and every line in one table: held back first, as the screen has them."""
    lines = (*seal_words.held_back(listing), *seal_words.ready(listing))
    blocks: list[Block] = [Outcome(seal_words.standing_words(listing)), Words(RULE)]
    if lines:
        blocks.append(Table(LINES, tuple(_row(n, system) for n in lines)))
    return Section("", tuple(blocks))


def _row(numbered: Numbered, system: str) -> tuple[Cell, ...]:
    line = numbered.line
    sure = [
        seal_words.basis_words(line, system),
        *([seal_words.CONFIRM] if seal_words.from_memory(line) else []),
    ]
    state = (
        Cell(READY, sign=Verdict.WITHIN, bold=True)
        if line.orderable
        else Cell(NOT_YET, _count_of(line.open_doubts), sign=Verdict.UNCLEAR, bold=True)
    )
    return (
        Cell(str(numbered.number)),
        Cell(line.title, line.place, bold=True),
        Cell(seal_words.size_words(line, system), "\n".join((seal_words.made_words(line), *sure))),
        Cell(seal_words.count_words(line, system)),
        state,
    )


def _count_of(doubts: tuple[object, ...]) -> str:
    return counted(len(doubts), "open doubt", "open doubts") if doubts else ""


def _doubts(listing: SealList, system: str) -> tuple[Section, ...]:
    """What must be settled, once for the cylinder, then line by line; and what somebody closed."""
    sections = []
    if shared := seal_words.asked_once(listing, system):
        asked = Bullets(tuple(" ".join(words) for words in shared))
        sections.append(Section("Asked once, for the whole cylinder", (asked,), 3, Verdict.UNCLEAR))
    for numbered in seal_words.numbered(listing):
        line = numbered.line
        if own := seal_words.own_doubts(line):
            told = Bullets(tuple(" ".join(seal_words.doubt_words(d, system)) for d in own))
            sections.append(Section(numbered.title, (told,), 3, Verdict.UNCLEAR))
        closed = tuple(seal_words.closed_words(d, system) for d in line.doubts if not d.open)
        if closed:
            sections.append(Section(f"{numbered.title}: closed", (Bullets(closed),), 3))
    return (Section("To be settled before ordering", ()), *sections) if sections else ()


def _listed(title: str, sentences: tuple[str, ...]) -> tuple[Section, ...]:
    return (Section(title, (Bullets(sentences),), 2),) if sentences else ()


def _measured(listing: SealList, system: str) -> Section:
    """Every dimension with what it may be off: what the maker of a seal asks for first."""
    rows = tuple(
        (
            Cell(str(n.number)),
            Cell(n.line.title, n.line.place, bold=True),
            Cell("\n".join(seal_words.measured_words(n.line, system)) or "not measured"),
        )
        for n in seal_words.numbered(listing)
    )
    return Section("As measured", (Table(MEASURED, rows) if rows else Words("There is no line."),))


def _provenance(listing: SealList, sources: Mapping[str, Source], system: str) -> tuple[Section, ...]:
    """Where housings, sizes and materials are from, each source once, with how sure it is."""
    steps = (step for line in listing.lines for step in line.steps)
    told = _once(seal_words.source_words(step.source, step.status, sources, system) for step in steps)
    return (Section("Where it is from", (Bullets(told, small=True),)),) if told else ()


def _once(sentences: Iterable[str]) -> tuple[str, ...]:
    return tuple(dict.fromkeys(s for s in sentences if s))
