"""What a report rests on: the decision rule, the sources of its limits, cautions, and the record."""

from __future__ import annotations

from collections.abc import Iterable
from typing import Protocol

from inspect_app.entries.job import Job, Survey
from inspect_app.job.assess import Assessment
from inspect_app.job.judge import DRAWING
from inspect_app.job.measured import temperature_words
from inspect_app.paper.blocks import Block, Bullets, Cell, Column, Fields, Section, Signatures, Table, Words
from inspect_app.report.phrases import (
    findings_of,
    numbered_sources,
    when,
    zone_of,
)
from inspect_app.tables import Tables
from inspect_app.tables.cautions import Caution
from inspect_app.tables.cylinders import Cylinder
from inspect_app.tables.sources import STATUSES, Source
from inspect_app.trade.measuring.wording import capital, counted

SOURCES = (Column("No.", 7), Column("Source", 53), Column("How sure", 40))
DECISION_RULE = (
    "Each value is judged by ISO 14253-1. The guard band on each limit is the expanded uncertainty of the value, "
    "U = 2u (k = 2): within limit means proven inside by at least U, outside limit proven outside by more than U, "
    "too close to limit neither.",
    "What the readings of one gauge share (its setting and calibration, the temperature) cancels in their difference "
    "and adds in their sum; the scatter of single readings, the gauge's step or the last digit typed, whichever is "
    "larger, does not.",
    "Straightness of a rod is judged as the total indicator reading (TIR) of a dial over one turn; the bow shown "
    "beside it is half of that.",
    "Tolerances js lie at half their grade on each side, exactly.",
    "No published standard gives limits for using a worn part again. Every limit for reuse is somebody's policy: "
    "the maker's drawing comes before the shop's limit, the shop's limit before the built-in limit.",
)


class Head(Protocol):
    """How far the log reaches: the number of its entries and the digest over them."""

    @property
    def entries(self) -> int: ...
    @property
    def hash(self) -> str: ...


def sources_section(assessment: Assessment, survey: Survey, tables: Tables, system: str) -> Section:
    """The decision rule, and every source a limit or a gauge here rests on, with how sure it is.

    Args:
        assessment: the assessment.
        survey: the state of the cylinder.
        tables: the tables.
        system: "metric" or "inch".
    """
    sources = numbered_sources(assessment, survey, tables)
    blocks: list[Block] = [
        Bullets(
            (
                *DECISION_RULE,
                f"{temperature_words(survey)} The tables of readings show them as they were read.",
            )
        )
    ]
    if sources:
        blocks += [Words(confirm_words(s for _, s in sources.values()), "strong")]
        rows = tuple((Cell(f"[{n}]"), _about(s, system), _how_sure(s)) for n, s in sources.values())
        blocks.append(Table(SOURCES, rows))
    drawn = sorted(
        {
            str(j.limit.rule)
            for f in findings_of(assessment)
            for j in f.judgements
            if j.limit.owner == "drawing"
        }
    )
    if drawn:
        blocks.append(Words(f"Maker's drawings used: {'; '.join(drawn)}.", "small"))
    return Section("Limits and their sources", tuple(blocks))


def _about(source: Source, system: str) -> Cell:
    about = ", ".join(w for w in (source.where.words(system), source.kind) if w)
    return Cell(source.title.words(system), about)


def _how_sure(source: Source) -> Cell:
    if source is DRAWING:
        return Cell("Typed in for this job", "compare it with the drawing")
    if source.confirmed:
        return Cell(capital(STATUSES[source.status]))
    return Cell(capital(STATUSES[source.status]), "must be confirmed by the shop", bold=True)


def confirm_words(sources: Iterable[Source]) -> str:
    """How many of the sources somebody still has to confirm, and who.

    Args:
        sources: the sources.
    """
    listed = list(sources)
    unsure = sum(not s.confirmed for s in listed)
    if not unsure:
        return "Every source below was read in its published text."
    return (
        f"Of the {len(listed)} sources of the limits used, {unsure} are quoted from memory or are common practice: "
        "whoever is responsible for limits in the shop must confirm them before this report is relied on."
    )


def cautions_section(job: Job, tables: Tables) -> Section | None:
    """The cautions that were confirmed, by whom, and those that were not; None without cautions.

    Args:
        job: the job.
        tables: the tables.
    """
    if not tables.cautions:
        return None
    confirmed = [c for c in tables.cautions if c.id in job.cautions]
    left = [c for c in tables.cautions if c.id not in job.cautions]
    blocks: list[Block] = []
    if confirmed:
        blocks += [
            Words("Confirmed in this job:", "strong"),
            Bullets(
                tuple(f"{_caution(c)} Confirmed by {job.cautions[c.id]}." for c in confirmed), small=True
            ),
        ]
    for time in dict.fromkeys(c.when for c in left):
        blocks.append(Words(f"Not confirmed in this job, {time}:", "strong"))
        blocks.append(Bullets(tuple(_caution(c) for c in left if c.when == time), small=True))
    return Section("Cautions", tuple(blocks))


def _caution(caution: Caution) -> str:
    return f"{caution.sentence} [{caution.reference}]" if caution.reference else caution.sentence


def record_section(
    job: Job, cylinder: Cylinder, tables: Tables, head: Head, devices: Iterable[str], version: str
) -> Section:
    """Who, when, by which checklist and limits, and how to verify that nothing was changed.

    Args:
        job: the job.
        cylinder: the checklist.
        tables: the tables.
        head: how far the log reaches.
        devices: the phones and computers that wrote to it.
        version: of this program.
    """
    zone = zone_of(job)
    rows = [
        ("Job", f"{job.name} ({job.id})"),
        ("Opened", f"{when(job.opened_at, zone)}, {job.opened_by}"),
        ("Typed off", _typed_off(job)),
        ("Last reading or finding", when(last_fact(job), zone)),
        ("People", ", ".join(people(job))),
        ("Devices", ", ".join(sorted(devices))),
        ("Checklist", f"{cylinder.title} ({job.cylinder}), {grouped(job.cylinder_hash)}"),
        ("Limits", grouped(job.limits_hash)),
        ("Program", version),
        ("Entries in the log", str(head.entries)),
        ("Fingerprint", grouped(head.hash)),
    ]
    if job.unknown:
        rows.append(
            (
                "Not understood",
                f"{counted(job.unknown, 'entry was', 'entries were')} written by a newer version; not shown",
            )
        )
    blocks: list[Block] = [Fields(tuple((n, v) for n, v in rows if v), 1), Words(VERIFY, "small")]
    blocks.append(Signatures(("Inspected by, date", "Approved by, date")))
    return Section("Record", tuple(blocks))


def _typed_off(job: Job) -> str:
    """Which readings file the job is off, and of which date; "" of a job measured in the app."""
    off = job.typed_off
    if not off:
        return ""
    return f"{off['file']}, {off['date'] or 'without a date'}, SHA-256 {grouped(off['sha256'][:16])}"


VERIFY = (
    "To verify: in the shop's logbook run inspect-app verify --fingerprint with the fingerprint above, or "
    "inspect-app verify --report with this file. It says whether the log still holds these entries, unchanged."
)


def grouped(digest: str) -> str:
    """A digest in groups of eight, so that it can be read aloud.

    Args:
        digest: hexadecimal digits.

    >>> grouped("00112233445566778899aabb")
    '00112233 44556677 8899aabb'
    """
    return " ".join(digest[n : n + 8] for n in range(0, len(digest), 8))


def last_fact(job: Job) -> str:
    """When the last reading, defect or decision was entered; issuing a report does not move it.

    Args:
        job: the job.
    """
    facts = [job.opened_at]
    for survey in job.surveys.values():
        facts += [r.at for readings in survey.readings.values() for r in readings.values()]
        facts += [d.at for d in survey.defects]
        facts += [d.at for d in survey.decided.values()]
    return max(facts)


def people(job: Job) -> list[str]:
    """The initials of everyone who entered something that stands.

    Args:
        job: the job.
    """
    named = {job.opened_by, *job.cautions.values()}
    for survey in job.surveys.values():
        named |= {r.by for readings in survey.readings.values() for r in readings.values()}
        named |= {r.by for r in survey.replaced} | {s.by for s in survey.skips.values()}
        named |= {d.by for d in survey.defects} | {d.by for d in survey.decided.values()}
    return sorted(named - {""})
