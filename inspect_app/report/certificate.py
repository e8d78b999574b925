"""The certificate of a cylinder that is let go, one page for the machine's file: what was done and what was not."""

from __future__ import annotations

from collections.abc import Sequence

from inspect_app.entries.job import Job
from inspect_app.entries.steps import Stepped
from inspect_app.job.as_left import PartNow, now_sentence
from inspect_app.job.assembling import joints_of
from inspect_app.job.scope.fulfilled import agreed_lines, last_yes
from inspect_app.job.seals.standing import Standing
from inspect_app.job.steps import steps_of, told_words
from inspect_app.job.testing import limit_sentence, whole_test
from inspect_app.job.words import BECOMES, MARKS
from inspect_app.paper.blocks import (
    Block,
    Bullets,
    Cell,
    Column,
    Figure,
    Outcome,
    Report,
    Section,
    Signatures,
    Table,
    Words,
)
from inspect_app.report.assembled import tool_words, torque_rows
from inspect_app.report.fitted import fitted_lines, gauge_words
from inspect_app.report.grounds import Head, grouped
from inspect_app.report.phrases import when, zone_of
from inspect_app.report.steps import record_rows
from inspect_app.report.tested import settled, trial_rows
from inspect_app.tables import Tables
from inspect_app.tables.steps import RELEASE
from inspect_app.trade.measuring.amounts import Amount
from inspect_app.trade.measuring.wording import counted

PARTS = (
    Column("Part", 30),
    Column("As found", 22),
    Column("As left", 24),
    Column("Checks measured again", 24),
)
ROOMS = ((84.0, False), (60.0, True), (0.0, True))
"""How roomy it may be, the roomiest first: the curve's height, and whether the seals stand in one paragraph."""
NO_DECLARATION = (
    "Results are of this cylinder as it was measured and tested; this is not a declaration of conformity. Local codes "
    "and licensed practice come first."
)


def certificate(
    job: Job,
    tables: Tables,
    now: Sequence[PartNow],
    seals: Sequence[Standing],
    head: Head,
    released: Stepped,
    system: str,
    room: tuple[float, bool] = ROOMS[0],
) -> Report:
    """The certificate of a job that was released.

    Args:
        job: the job.
        tables: the tables that judge it.
        now: every part as found and as left.
        seals: every line of its seal list; none where there is no list.
        head: how far the log reached.
        released: the entry that closed the release.
        system: "metric" or "inch".
        room: of ROOMS.
    """
    curve, tight = room
    sections = (
        Section("", _stands(job, tables, now, released)),
        *_done(job),
        *_fitted(job, tables, seals, system, tight),
        *_recorded(job, tables, system, curve),
        Section("Not done, still open", (_open(job, tables),), 3),
        Section("Let go", _let_go(job, tables, system), 3),
    )
    return Report(
        title="Certificate",
        name=f"Certificate: {job.name}",
        under=_under(job, tables, system),
        head=f"Certificate: {job.name}, {when(released.at, zone_of(job))}",
        foot=f"Fingerprint {grouped(head.hash[:16])}, {counted(head.entries, 'entry', 'entries')}",
        tag=f"JOB {job.id} FINGERPRINT {head.hash}".upper(),
        tag_caption="job and fingerprint",
        made_at=released.at,
        sections=sections,
        compact=True,
    )


def _under(job: Job, tables: Tables, system: str) -> tuple[str, ...]:
    found = job.as_found
    whose = ", ".join(w for w in (found.text("customer"), found.text("machine"), found.text("serial")) if w)
    sizes = [(t, found.length(n)) for n, t in (("bore", "bore"), ("rod", "rod"), ("stroke", "stroke"))]
    told = [f"{title} {Amount(mm, 'length').words(system)}" for title, mm in sizes if mm]
    pressure = found.length("rated_pressure")
    told += [f"rated {Amount(pressure, 'pressure').words(system)}"] if pressure else []
    kind = tables.cylinders[job.cylinder].title
    return tuple(w for w in (whose, f"{kind}: {', '.join(told)}" if told else kind) if w)


def _stands(job: Job, tables: Tables, now: Sequence[PartNow], released: Stepped) -> tuple[Block, ...]:
    """How the cylinder goes out, part by part; those nobody touched stand as found, in one line."""
    words = f"Released by {released.by}, {when(released.at, zone_of(job))}."
    blocks: list[Block] = [Outcome(words)]
    if released.reason:
        blocks.append(Words(f"Released with something missing: {released.reason}", "strong"))
    blocks.append(Words(now_sentence(now), "strong"))
    if rows := tuple(_part(p) for p in now if not p.as_found_still):
        blocks.append(Table(PARTS, rows, fine=True))
    kept: dict[str, list[str]] = {}
    for part in (p for p in now if p.as_found_still):
        kept.setdefault(BECOMES[part.found.disposition], []).append(part.part.title)
    told = "; ".join(f"{', '.join(titles)}: {becomes}" for becomes, titles in kept.items())
    said = [f"As found: {told}." if told else "", gauge_words(job, tables)]
    return (*blocks, Words(" ".join(w for w in said if w), "small"))


def _part(part: PartNow) -> tuple[Cell, ...]:
    found, left = part.found.disposition, part.now.disposition
    as_left = Cell(BECOMES[left], sign=MARKS[left], bold=True)
    again = str(len(part.done)) if part.done else ""
    return (Cell(part.part.title, bold=True), Cell(BECOMES[found]), as_left, Cell(again))


def _done(job: Job) -> list[Section]:
    agreed = last_yes(job.agreeing)
    if agreed is None:
        return []
    titles = "; ".join(line.title for line in agreed_lines(*agreed))
    return [Section("Agreed to and done", (Words(f"{titles}.", "small"),), 3)]


def _fitted(job: Job, tables: Tables, seals: Sequence[Standing], system: str, tight: bool) -> list[Section]:
    lines = fitted_lines(job, tables, seals, system)
    block = Words(" ".join(lines), "small") if tight else Bullets(lines, small=True)
    return [Section("Seals as fitted", (block,), 3)] if lines else []


def _recorded(job: Job, tables: Tables, system: str, curve: float) -> list[Section]:
    """What was reached and proven at reassembly and test; nothing before either was begun."""
    tools = [tool_words(j) for j in joints_of(job, tables) if j.target]
    lines = [
        f"{joint}: {words}{f' ({tool})' if tool else ''}."
        for (joint, words), tool in zip(torque_rows(job, tables, system), tools, strict=True)
    ]
    test = whole_test(job, tables)
    if not test.begun:
        return [Section("Torques", (Bullets(tuple(lines), small=True),), 3)] if lines else []
    why = " ".join(s.words(system) for s in test.why)
    blocks: list[Block] = [Words(why, "strong")] if why else []
    said = [_in_a_line(trial_rows(job, tables, system))]
    if any(trial.leak for trial in test.trials):
        said.append(limit_sentence(job, tables).words(system))
    blocks.append(Words(" ".join(said), "small"))
    if curve and (drawn := settled(test, system, curve)):
        blocks.append(Figure(drawn, ""))
    blocks += [Bullets(tuple(lines), small=True)] if lines else []
    return [Section(f"Pressure test: {test.result.value}. Torques", tuple(blocks), 3)]


def _open(job: Job, tables: Tables) -> Block:
    agreed = last_yes(job.agreeing)
    said = _changed(job, tables)
    if agreed is None:
        said.append("Nothing was agreed to with the customer in this log.")
    else:
        answer, scope = agreed
        done = agreed_lines(answer, scope)
        said += [
            f"{x.title}: the customer said no. {x.if_not}".rstrip() for x in scope.lines if x not in done
        ]
        said += [f"{x.title}: left out, {x.reason}. {x.if_not}".rstrip() for x in scope.dropped]
    return Bullets(tuple(said), small=True) if said else Words("Nothing.")


def _changed(job: Job, tables: Tables) -> list[str]:
    """What was skipped or closed with something missing; steps of which the same is said in one line."""
    alike: dict[str, list[str]] = {}
    for stands in steps_of(job.steps, tables.steps):
        if words := told_words(stands, job):
            alike.setdefault(words, []).append(stands.step.title)
    return [f"{', '.join(titles)}: {words}." for words, titles in alike.items()]


def _let_go(job: Job, tables: Tables, system: str) -> tuple[Block, ...]:
    rows = record_rows(tables.steps[RELEASE], job, system)
    return (
        Words(f"{_in_a_line(rows)} {NO_DECLARATION}", "small"),
        Signatures(("Let go by", "Taken by")),
    )


def _in_a_line(rows: Sequence[tuple[str, str]]) -> str:
    """Names and values one after the other: the page has no room for a line each."""
    return " ".join(f"{name}: {words.rstrip('.')}." for name, words in rows)
