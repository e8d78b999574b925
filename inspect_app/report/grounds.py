"""What a report rests on: the decision rule, the sources of its limits, cautions, and the record."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from typing import Protocol

from inspect_app.entries.job import Job, Survey
from inspect_app.job.assess import Assessment
from inspect_app.job.judge import DRAWING
from inspect_app.job.measured import temperature_words
from inspect_app.job.words import OWNERS
from inspect_app.paper.blocks import Block, Bullets, Fields, Notes, Section, Words
from inspect_app.report.phrases import (
    findings_of,
    numbered_sources,
    when,
    zone_of,
)
from inspect_app.report.recompute import HOW, PROGRAM
from inspect_app.tables import Tables
from inspect_app.tables.cautions import Caution
from inspect_app.tables.cylinders import Cylinder
from inspect_app.tables.sources import STATUSES, Source
from inspect_app.trade.measuring.wording import capital, counted

DECISION_RULE = (
    "Each value is judged by the rule of ISO 14253-1, as its editions to 2013 have it (quoted from memory): the guard "
    "band on each limit is the whole expanded uncertainty of the value, U = 2u (k = 2), about 95 %. Within limit means "
    "proven inside by at least U, outside limit proven outside by more than U, too close to limit neither.",
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
            ),
            small=True,
        )
    ]
    if sources:
        blocks.append(Words(confirm_words(s for _, s in sources.values()), "strong"))
    rules = _rules(assessment, system)
    for status in dict.fromkeys(sorted((_status(s) for _, s in sources.values()), key=_WEAK_FIRST.index)):
        blocks.append(Words(status, "strong"))
        blocks.append(
            Notes(tuple(_note(n, s, rules, system) for n, s in sources.values() if _status(s) == status))
        )
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


def _rules(assessment: Assessment, system: str) -> dict[str, list[str]]:
    """By source the rules that were used of it, each once, whose they are before them."""
    rules: dict[str, dict[str, None]] = {}
    for finding in findings_of(assessment):
        for judgement in finding.judgements:
            limit = judgement.limit
            # a groove's housing stands in its table
            if limit.rule and limit.owner != "drawing" and not finding.check.groove:
                words = limit.rule.words(system)
                rules.setdefault(limit.source.key, {})[f"{OWNERS[limit.owner]} {words}"] = None
    return {key: list(found) for key, found in rules.items()}


def _status(source: Source) -> str:
    """How sure a source is, as a heading over all that are."""
    if source is DRAWING:
        return TYPED_IN
    sure = capital(STATUSES[source.status])
    return sure if source.confirmed else f"{sure}: must be confirmed by the shop"


TYPED_IN = "Typed in for this job: compare it with the drawing"
_WEAK_FIRST = [
    f"{capital(words)}{'' if sure else ': must be confirmed by the shop'}"
    for sure in (False, True)
    for words in reversed(STATUSES.values())
] + [TYPED_IN]


def _note(number: int, source: Source, rules: Mapping[str, list[str]], system: str) -> tuple[str, str, bool]:
    about = ", ".join(w for w in (source.where.words(system), source.kind) if w)
    here = f" Here: {'; '.join(rules[source.key])}." if source.key in rules else ""
    return f"[{number}]", f"{source.title.words(system)} ({about}).{here}", not source.confirmed


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
    """The cautions that were confirmed, and by whom; None without cautions.

    Args:
        job: the job.
        tables: the tables.
    """
    if not tables.cautions:
        return None
    confirmed = [c for c in tables.cautions if c.id in job.cautions]
    if not confirmed:
        return Section("Cautions", (Words("No caution was confirmed in this job.", "small"),), 2)
    blocks: list[Block] = []
    for who in dict.fromkeys(job.cautions[c.id] for c in confirmed):
        said = tuple(_caution(c) for c in confirmed if job.cautions[c.id] == who)
        blocks += [Words(f"Confirmed by {who}:", "small"), Bullets(said, small=True)]
    return Section("Cautions confirmed in this job", tuple(blocks), 2)


def _caution(caution: Caution) -> str:
    return f"{caution.sentence} [{caution.reference}]" if caution.reference else caution.sentence


def record_section(
    job: Job,
    cylinder: Cylinder,
    tables: Tables,
    head: Head,
    devices: Iterable[str],
    version: str,
    named: str,
    carries: bool,
) -> Section:
    """Who, when, by which checklist and limits, and how to verify that nothing was changed.

    Args:
        job: the job.
        cylinder: the checklist.
        tables: the tables.
        head: how far the log reaches.
        devices: the phones and computers that wrote to it.
        version: of this program.
        named: the report's number and issue, for its last line.
        carries: whether its entries go inside the PDF.
    """
    zone = zone_of(job)
    rows = [
        ("Job", f"{job.name} ({job.id})"),
        ("Opened", "" if job.typed_off else f"{when(job.opened_at, zone)}, {job.opened_by}"),
        ("Typed off", _typed_off(job)),
        ("Last reading or finding", "" if job.typed_off else when(last_fact(job), zone)),
        ("Inspected at", job.as_found.text("inspected_at") or "the shop named at the head"),
        ("Results from outside", job.as_found.text("outside_results") or NO_OUTSIDE),
        ("Method", METHOD),
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
    if carries:
        blocks += [Words(HOW, "small"), Words(PROGRAM, "small")]
    blocks.append(Words(f"{ONLY_THIS} End of report {named}.", "strong"))
    return Section("Record", tuple(blocks))


def _typed_off(job: Job) -> str:
    """Which readings file the job is off, and of which date; "" of a job measured in the app."""
    off = job.typed_off
    if not off:
        return ""
    return f"{off['file']}, {off['date'] or 'without a date'}, SHA-256 {grouped(off['sha256'][:16])}"


METHOD = (
    "each check as the checklist below describes it; the gauge and U stand with its readings, the rule of the decision "
    "under Limits and their sources"
)
NO_OUTSIDE = "none noted"
ONLY_THIS = (
    "The results are of this cylinder only, in the state in which it was received or said to be. Copy this report "
    "whole or not at all."
)
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
