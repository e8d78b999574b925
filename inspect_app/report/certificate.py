"""The certificate of a cylinder that is let go, one page for the machine's file: what was done and what was not."""

from __future__ import annotations

from collections.abc import Sequence

from inspect_app.entries.job import Job
from inspect_app.entries.steps import Stepped
from inspect_app.job.as_left import PartNow, now_sentence
from inspect_app.job.scope.fulfilled import agreed_lines, last_yes
from inspect_app.job.testing import limit_sentence, whole_test
from inspect_app.job.words import BECOMES, MARKS
from inspect_app.paper.blocks import (
    Block,
    Bullets,
    Cell,
    Column,
    Fields,
    Outcome,
    Report,
    Section,
    Signatures,
    Table,
    Words,
)
from inspect_app.report.assembled import torque_rows
from inspect_app.report.grounds import Head, grouped
from inspect_app.report.phrases import when, zone_of
from inspect_app.report.steps import changed_steps, record_rows
from inspect_app.report.tested import trial_rows
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
NO_DECLARATION = (
    "Results are of this cylinder as it was measured and tested; this is not a declaration of conformity. Local codes "
    "and licensed practice come first."
)


def certificate(
    job: Job, tables: Tables, now: Sequence[PartNow], head: Head, released: Stepped, system: str
) -> Report:
    """The certificate of a job that was released.

    Args:
        job: the job.
        tables: the tables that judge it.
        now: every part as found and as left.
        head: how far the log reached.
        released: the entry that closed the release.
        system: "metric" or "inch".
    """
    sections = (
        Section("", _stands(job, now, released)),
        Section("Agreed to and done", _done(job), 2),
        *_recorded(job, tables, system),
        Section("Not done, still open", (_open(job, tables),), 2),
        Section("Let go", _let_go(job, tables, system), 2),
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


def _stands(job: Job, now: Sequence[PartNow], released: Stepped) -> tuple[Block, ...]:
    """How the cylinder goes out, part by part; what nobody touched stands as found."""
    words = f"Released by {released.by}, {when(released.at, zone_of(job))}."
    blocks: list[Block] = [Outcome(words)]
    if released.reason:
        blocks.append(Words(f"Released with something missing: {released.reason}", "strong"))
    blocks.append(Words(now_sentence(now), "strong"))
    rows = tuple(_part(p) for p in now)
    return (*blocks, Table(PARTS, rows, fine=True))


def _part(part: PartNow) -> tuple[Cell, ...]:
    found, left = part.found.disposition, part.now.disposition
    as_left = Cell("as found") if part.as_found_still else Cell(BECOMES[left], sign=MARKS[left], bold=True)
    again = str(len(part.done)) if part.done else ""
    return (Cell(part.part.title, bold=True), Cell(BECOMES[found]), as_left, Cell(again))


def _done(job: Job) -> tuple[Block, ...]:
    agreed = last_yes(job.agreeing)
    if agreed is None:
        return (Words("Nothing was agreed to with the customer in this log."),)
    titles = tuple(line.title for line in agreed_lines(*agreed))
    return (Bullets(titles, small=True),)


def _recorded(job: Job, tables: Tables, system: str) -> list[Section]:
    """What was reached and proven at reassembly and test; nothing before either was begun."""
    lines = [f"{joint}: {words}." for joint, words in torque_rows(job, tables, system)]
    test = whole_test(job, tables)
    if not test.begun:
        return [Section("Torques", (Bullets(tuple(lines), small=True),), 2)] if lines else []
    why = " ".join(s.words(system) for s in test.why)
    blocks: list[Block] = [Words(f"Pressure test: {test.result.value}. {why}".rstrip(), "strong")]
    blocks.append(Fields(trial_rows(job, tables, system)))
    lines.append(limit_sentence(job, tables).words(system))
    blocks.append(Bullets(tuple(lines), small=True))
    return [Section("Pressure test and torques", tuple(blocks), 2)]


def _open(job: Job, tables: Tables) -> Block:
    agreed = last_yes(job.agreeing)
    said = list(changed_steps(job, tables))
    if agreed:
        answer, scope = agreed
        done = agreed_lines(answer, scope)
        said += [
            f"{x.title}: the customer said no. {x.if_not}".rstrip() for x in scope.lines if x not in done
        ]
        said += [f"{x.title}: left out, {x.reason}. {x.if_not}".rstrip() for x in scope.dropped]
    return Bullets(tuple(said), small=True) if said else Words("Nothing.")


def _let_go(job: Job, tables: Tables, system: str) -> tuple[Block, ...]:
    rows = record_rows(tables.steps[RELEASE], job, system)
    return (Fields(rows), Words(NO_DECLARATION, "small"), Signatures(("Let go by", "Taken by")))
