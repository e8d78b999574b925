"""The seal list on paper, as plain blocks: the cylinder with its numbers, the lines, what holds which of them back.

A usual cylinder fits one page; every step of choosing stands in the list as text.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from decimal import Decimal

from inspect_app.entries.job import Job, Survey
from inspect_app.figures.assembled import assembled, drawn_by
from inspect_app.figures.section import sizes_of
from inspect_app.job.seals.line import Dimension, SealLine
from inspect_app.job.seals.seal_list import SealList
from inspect_app.paper.blocks import Block, Cell, Column, Figure, Outcome, Report, Section, Table, Words
from inspect_app.report import seal_words
from inspect_app.report.grounds import last_fact, people
from inspect_app.report.phrases import day_of, zone_of
from inspect_app.report.seal_holds import Hold, closings, holds, line_numbers
from inspect_app.report.seal_words import Numbered
from inspect_app.tables import Tables
from inspect_app.tables.sources import STATUSES
from inspect_app.trade.measuring.amounts import Amount
from inspect_app.trade.measuring.decision import Verdict
from inspect_app.trade.measuring.quantities import show
from inspect_app.trade.measuring.refusal import in_words
from inspect_app.trade.measuring.wording import capital, counted
from inspect_app.trade.sealing.orings import RingSizes

LINES = (
    Column("", 3.2),
    Column("Position", 18.8),
    Column("What to order; groove as measured", 39),
    Column("Material", 16.5),
    Column("Quantity", 11),
    Column("State", 11.5),
)
HOLDS = (
    Column("", 3.5),
    Column("What holds it back", 59),
    Column("What settles it", 29),
    Column("Lines", 8.5),
)
PLACE = ("position", "quantity")
"""The steps that say why there is a line at all and how many: their source is the list of positions itself."""

READY, NOT_YET = "can be ordered", "not yet"
RULE = "Order only what says so: a wrong seal leaks, or lets go under pressure."
LEGEND = "Ring cut: not yet. Hollow: not measured."
WIDE, TALL, LOW = 508.0, 130.0, 90.0
LOWER, CROWDED = (8, 9), range(12, 15)
"""Size of the section; it is lower where that keeps so many lines, or lines and what holds them back, on one page."""
NAMED = {
    "bore": "bore", "rod": "rod", "stroke": "stroke", "fluid": "fluid", "rated_pressure": "rated",
    "oil_temperature": "hottest", "coldest_start": "coldest start", "rod_speed": "at most",
}  # fmt: skip
"""What stands on the nameplate and a seal goes by, each with a short name."""


def seal_sheet(job: Job, listing: SealList, tables: Tables, system: str) -> Report:
    """The seal list of a job as a document; the same job, list and units say the same.

    Args:
        job: the job.
        listing: its seal list.
        tables: the tables that judge it, for titles and the nameplate's fields.
        system: "metric" or "inch".
    """
    last_day = day_of(last_fact(job), zone_of(job))
    held = holds(listing, system)
    sections = (
        Section("", tuple(_summary(job, listing, held, system))),
        *_holds(held, len(listing.lines)),
        Section("", (Words("\n".join(_notes(listing, system)), "fine"),)),
    )
    return Report(
        title=f"Seal list, {listing.state}",
        name=job.name,
        under=_under(job, tables, system),
        head=f"Seal list, {listing.state}: {job.name}",
        foot=f"Seal list, {listing.state}, of {last_day}; {counted(job.entries, 'entry', 'entries')}",
        tag=f"JOB {job.id}".upper(),
        tag_caption="job",
        made_at=last_fact(job),
        sections=sections,
        compact=True,
    )


def _under(job: Job, tables: Tables, system: str) -> tuple[str, ...]:
    found = job.as_found
    whose = ", ".join(w for w in (found.text("customer"), found.text("machine"), found.text("serial")) if w)
    duty = ", ".join(_duty(found, tables, system))
    by = f"Inspected by {', '.join(people(job))}, last reading {day_of(last_fact(job), zone_of(job))}"
    off = f"typed off {job.typed_off['file']}, {job.typed_off['date']}" if job.typed_off.get("date") else ""
    kind = tables.cylinders[job.cylinder].title
    lines = (whose, f"{kind}: {duty}" if duty else kind, "; ".join(w for w in (by, off) if w))
    return tuple(line for line in lines if line)


def _duty(survey: Survey, tables: Tables, system: str) -> Iterator[str]:
    """What a seal goes by, as it is known, in the reader's units; a text as it was typed."""
    for name, short in NAMED.items():
        known, field = survey.nameplate.get(name), tables.nameplate.get(name)
        if known and field:
            kind = "running speed" if field.kind == "speed" else field.kind
            said = known.typed if known.value is None else Amount(known.value, kind).words(system)
            yield f"{short} {said}"


def _summary(job: Job, listing: SealList, held: tuple[Hold, ...], system: str) -> Iterator[Block]:
    """What stands, the cylinder with the numbers on it, and every line."""
    yield Outcome(seal_words.standing_words(listing))
    low = len(listing.lines) in LOWER or len(listing.lines) + len(held) in CROWDED
    height = LOW if low else TALL
    sizes = sizes_of(job.as_found)
    drawing = assembled(listing, sizes, system=system, width=WIDE, height=height)
    legend = (RULE, LEGEND, drawn_by(listing, sizes)) if drawing else (RULE,)
    yield Words(" ".join(words for words in legend if words), "fine")
    if drawing:
        yield Figure(drawing, "")
    positions = [line.position for line in listing.lines]
    rows = tuple(
        # of a position that stands at one place alone, its title says where that is
        _row(n, n.line.place if positions.count(n.line.position) > 1 else "", held, system)
        for n in seal_words.numbered(listing)
    )
    yield Table(LINES, rows, fine=True) if rows else Words("There is no line.")


def _row(numbered: Numbered, place: str, held: tuple[Hold, ...], system: str) -> tuple[Cell, ...]:
    line = numbered.line
    letters = ", ".join(hold.letter for hold in held if numbered.number in hold.numbers)
    state = (
        Cell(READY, sign=Verdict.WITHIN, bold=True)
        if line.orderable
        else Cell(f"{NOT_YET}: {letters}" if letters else NOT_YET, sign=Verdict.UNCLEAR, bold=True)
    )
    return (
        Cell(str(numbered.number), bold=True),
        Cell(line.title, place, bold=True),
        Cell(seal_words.size_words(line, system), _sizes(line, system), bold=line.orderable),
        Cell(seal_words.made_words(line)),
        Cell(seal_words.count_words(line, system) if line.quantity else "not known"),
        state,
    )


def _sizes(line: SealLine, system: str) -> str:
    """The groove as measured, diameter × width; of one made to measure every dimension its maker needs."""
    if line.made_to_measure:
        return capital(", ".join(_to_make(d, system) for d in line.made_to_measure))
    known = {d.name: d.known.value_mm for d in line.measured if d.known}
    groove = tuple(known[name] for name in ("groove diameter", "groove width") if name in known)
    if len(groove) < 2:
        return "Groove not measured far enough"
    on = f", on {RingSizes((known['seals on'],)).words(system)}" if "seals on" in known else ""
    return f"Groove {RingSizes(groove).words(system)}{on}"


def _to_make(dimension: Dimension, system: str) -> str:
    if dimension.known is None:
        return f"{dimension.name} {dimension.words or 'missing'}"
    value, either = (
        show(Decimal(repr(round(mm, 6))), kind="length", system=system)
        for mm in (dimension.known.value_mm, dimension.known.expanded_mm)
    )
    if not dimension.known.expanded_mm:
        return f"{dimension.name} {' '.join(value)}"
    return f"{dimension.name} {value[0]} ± {' '.join(either)}"


def _holds(held: tuple[Hold, ...], lines: int) -> tuple[Section, ...]:
    """What must be settled, each once, with the lines that wait for it."""
    rows = tuple(
        (
            Cell(hold.letter, bold=True),
            Cell(f"{'Stop: ' if hold.stop else ''}{hold.says}"),
            Cell(hold.settles),
            Cell("all" if len(hold.numbers) == lines > 1 else line_numbers(hold.numbers)),
        )
        for hold in held
    )
    return (Section("", (Table(HOLDS, rows, fine=True),)),) if rows else ()


def _notes(listing: SealList, system: str) -> Iterator[str]:
    """What was closed, what is answered to be not there, what nobody said, and the keys of the sources."""
    for closed in closings(listing, system):
        yield f"Closed on {closed}"
    answered: dict[str, dict[str, None]] = {}
    for settled in listing.settled:
        answered.setdefault(in_words(settled.words, system), {})[settled.position.title] = None
    if answered:
        told = "; ".join(f"{words}: {', '.join(titles)}" for words, titles in answered.items())
        yield f"Answered: {told}."
    if listing.unsaid:
        titles = dict.fromkeys(asked.position.title for asked in listing.unsaid)
        yield f"May be there, and nobody has said: {'; '.join(titles)}."
    if keys := _keys(listing):
        yield f"Where it is from: {'. '.join(f'{sure}: {of}' for sure, of in keys.items())}."


def _keys(listing: SealList) -> Mapping[str, str]:
    """The sources of every choice by their keys, the weakest first."""
    chosen = (step for line in listing.lines for step in line.steps if step.name not in PLACE)
    steps = dict.fromkeys((step.status, step.source) for step in chosen)
    found = {of: [source for status, source in steps if status == of and source] for of in reversed(STATUSES)}
    return {STATUSES[status].capitalize(): ", ".join(keys) for status, keys in found.items() if keys}
