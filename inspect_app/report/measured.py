"""Every reading as it was typed and as it was understood, judged; what was corrected, what was not measured."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from datetime import tzinfo

from inspect_app.entries.job import Reading, Survey
from inspect_app.job.assess import Assessment
from inspect_app.job.findings import CheckResult, Finding, PlaceResult, check_verdict
from inspect_app.job.judge import Judgement
from inspect_app.job.words import LEVELS, limit_sentence, place_words, value_words
from inspect_app.paper.blocks import Block, Cell, Column, Section, Table, Words
from inspect_app.report.gauges import overdue_at
from inspect_app.report.phrases import (
    gauge_numbers,
    numbered_sources,
    uncertainty_words,
    when,
    whose_words,
)
from inspect_app.tables import Tables
from inspect_app.tables.cylinders import Check, Cylinder
from inspect_app.tables.sources import Source
from inspect_app.trade.measuring.quantities import show_text
from inspect_app.trade.measuring.uncertainty import u_of
from inspect_app.trade.measuring.wording import capital

JUDGED = (
    Column("What", 22),
    Column("Value", 15, right=True),
    Column("Limit and whose", 42),
    Column("Verdict", 21),
)
READ = (
    Column("Place", 24),
    Column("As typed", 15),
    Column("Understood", 16.5, right=True),
    Column("U (k = 2)", 14, right=True),
    Column("Gauge", 9.5),
    Column("By", 6),
    Column("Verdict", 22),
)
CORRECTED = (
    Column("Check", 24),
    Column("Place", 20),
    Column("First typed", 16),
    Column("By, when", 24),
    Column("Stands now", 16),
)
MISSING = (Column("Check", 26), Column("Places", 40), Column("Why", 34))


@dataclass(frozen=True, slots=True)
class Setting:
    """What every table of readings needs: the survey, its tables, and the numbers of gauges and sources."""

    survey: Survey
    tables: Tables
    system: str
    gauges: Mapping[str, str]
    sources: Mapping[str, tuple[int, Source]]


def readings_sections(assessment: Assessment, survey: Survey, tables: Tables, system: str) -> list[Section]:
    """Every check that has readings: what was made of them against every limit, then each reading.

    Args:
        assessment: the assessment.
        survey: the state of the cylinder.
        tables: the tables that judged it.
        system: "metric" or "inch".
    """
    setting = Setting(
        survey, tables, system, gauge_numbers(survey), numbered_sources(assessment, survey, tables)
    )
    intro = Words(
        "As typed is what stood on the gauge; understood is the same in the units of this report. U is the "
        "expanded uncertainty of the gauge there. A verdict in a row is that reading's alone, for reuse; "
        "numbers in square brackets name the source of a limit, G1, G2 … the gauge.",
        "small",
    )
    checks = [c for part in assessment.parts for c in part.checks if _shown(c)]
    if not checks:
        return [Section("Every reading", (Words("Nothing has been measured yet."),))]
    return [Section("Every reading", (intro,)), *(_check_section(c, setting) for c in checks)]


def _shown(check: CheckResult) -> bool:
    return not check.check.look and any(f.value is not None for f in check.findings)


def _check_section(check: CheckResult, setting: Setting) -> Section:
    judged = [row for f in check.findings if f.value is not None for row in _judged(f, check.check, setting)]
    blocks: list[Block] = [Words(check.check.how, "small")] if check.check.between else []
    blocks.append(Table(JUDGED, tuple(judged)))
    read = tuple(_read(p, check, setting) for p in check.places if p.reading)
    if read:
        blocks.append(Table(READ, read))
    informs = check.complete and not any(f.verdict for f in check.findings)
    return Section(check.check.title, tuple(blocks), 3, None if informs else check_verdict(check))


def _judged(finding: Finding, check: Check, setting: Setting) -> list[tuple[Cell, ...]]:
    """A characteristic against each level of its limit, one row a level."""
    where = place_words(finding.place, check.stations.names, setting.system)
    u = f"± {uncertainty_words(finding.u, finding.kind, setting.system)}" if finding.u else ""
    u = " · ".join(w for w in (u, overdue_at(finding, setting.survey, setting.tables)) if w)
    value = (Cell(capital(finding.title), where), Cell(value_words(finding, setting.system), u, bold=True))
    if not finding.judgements:
        return [(*value, Cell("information, no limit"), Cell(""))]
    rows = [_level(j, finding, setting) for j in finding.judgements]
    return [(*value, *rows[0]), *((Cell(""), Cell(""), *row) for row in rows[1:])]


def _level(judgement: Judgement, finding: Finding, setting: Setting) -> tuple[Cell, Cell]:
    limit = judgement.limit
    words = f"{LEVELS[limit.level]}: {limit_sentence(limit, finding.kind).words(setting.system)}"
    return Cell(words, whose_words(limit, setting.sources, setting.system)), _verdict(judgement)


def _verdict(judgement: Judgement) -> Cell:
    """The verdict; its mark only where it decides about reuse, so that nobody takes worn for rejected."""
    if judgement.decision is None:
        return Cell("no limit yet")
    decides = judgement.limit.level == "reuse"
    return Cell(judgement.verdict.value, sign=judgement.verdict if decides else None)


def _read(place: PlaceResult, check: CheckResult, setting: Setting) -> tuple[Cell, ...]:
    """One reading."""
    reading = place.reading
    assert reading is not None
    kind, system = check.check.kind, setting.system
    return (
        Cell(place_words(reading.place, check.check.stations.names, system) or "the part"),
        Cell(reading.typed),
        Cell(show_text(reading.value, kind=kind, system=system), bold=True),
        Cell(uncertainty_words(u_of(place.sized.terms), kind, system) if place.sized else "gauge unknown"),
        Cell(setting.gauges.get(reading.gauge, "?"), place.sized.remark if place.sized else ""),
        Cell(reading.by),
        _verdict(place.judgement) if place.judgement else Cell("information"),
    )


def corrected_section(survey: Survey, cylinder: Cylinder, system: str, zone: tzinfo) -> Section | None:
    """The readings that were taken again, with what stands in their place; None when there are none.

    Args:
        survey: the state of the cylinder.
        cylinder: the checklist.
        system: "metric" or "inch".
        zone: where times are shown.
    """
    if not survey.replaced:
        return None
    rows = tuple(_corrected(r, survey, cylinder, system, zone) for r in survey.replaced)
    note = Words("Both stay in the log; only the later one is judged.", "small")
    return Section("Readings taken again", (note, Table(CORRECTED, rows)))


def _corrected(
    old: Reading, survey: Survey, cylinder: Cylinder, system: str, zone: tzinfo
) -> tuple[Cell, ...]:
    check = cylinder.check(old.check)
    now = survey.readings.get(old.check, {}).get(old.place)
    return (
        Cell(check.title if check else old.check),
        Cell(place_words(old.place, check.stations.names if check else {}, system) or "the part"),
        Cell(old.typed),
        Cell(f"{old.by}, {when(old.at, zone)}"),
        Cell(now.typed if now else "nothing"),
    )


def missing_section(assessment: Assessment, system: str) -> Section | None:
    """What was not measured and why, None when everything was.

    Args:
        assessment: the assessment.
        system: "metric" or "inch".
    """
    rows = [row for part in assessment.parts for check in part.checks for row in _missing(check, system)]
    if not rows:
        return None
    note = Words("What was not measured is never counted as good.", "small")
    return Section("Not measured, and why", (note, Table(MISSING, tuple(rows))))


def _missing(check: CheckResult, system: str) -> list[tuple[Cell, ...]]:
    title = Cell(check.check.title)
    if check.skipped:
        return [(title, Cell("all of it"), Cell(check.skipped))]
    if check.complete:
        return []
    if check.check.look:
        return [(title, Cell("the look was not finished"), Cell("no reason given"))]
    if check.check.between:
        return [(title, Cell("calculated"), Cell("readings of one of the two parts are missing"))]
    reasons: dict[str, list[str]] = {}
    for place in check.places:
        if not place.reading:
            reason = f"{place.why} ({place.skip.by})" if place.skip else "no reason given"
            where = place_words(place.place, check.check.stations.names, system)
            reasons.setdefault(reason, []).append(where or "the part")
    rows: list[tuple[Cell, ...]] = []
    for reason, places in reasons.items():
        every = len(places) == check.expected and len(places) > 1
        rows.append(
            (title, Cell(f"all {check.expected} places" if every else "; ".join(places)), Cell(reason))
        )
    return rows


def measured_count(assessment: Assessment) -> tuple[int, int, int]:
    """How many places and looks are done, of how many, and how many were left without a reason.

    Args:
        assessment: the assessment.
    """
    checks = [c for part in assessment.parts for c in part.checks if not c.check.between]
    return sum(c.measured for c in checks), sum(c.expected for c in checks), sum(c.left for c in checks)
