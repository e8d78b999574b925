"""What is said of the gauges: what each may be wrong by, and whether its calibration held when it was used."""

from __future__ import annotations

from inspect_app.entries.job import Gauge, Reading, Survey
from inspect_app.job.assess import Assessment
from inspect_app.job.choosing import range_words
from inspect_app.job.findings import Finding
from inspect_app.job.measured import gauge_name, with_scatter
from inspect_app.paper.blocks import Cell, Column, Section, Table, Words
from inspect_app.report.phrases import (
    gauge_kind,
    gauge_numbers,
    gauge_source,
    numbered_sources,
    used_gauges,
)
from inspect_app.tables import Tables
from inspect_app.trade.measuring.quantities import plain_text
from inspect_app.trade.measuring.uncertainty import EXPANDED, LIMIT_OF_ERROR
from inspect_app.trade.measuring.wording import counted, listed

GAUGES = (
    Column("No.", 5),
    Column("Gauge", 22),
    Column("May be wrong by", 56),
    Column("Calibration", 17),
)


MEANING = (
    "U is an expanded uncertainty off a certificate, k = 2. A limit of error is the most a maker or a standard lets "
    "the gauge be wrong by; it counts as evenly spread, so it is divided by 1.732 where U is divided by 2. Scatter is "
    "the standard deviation of single readings about each other. Behind a built-in value stands its source in brackets."
)
STATED = {EXPANDED: "U", LIMIT_OF_ERROR: "limit of error"}


def gauges_section(assessment: Assessment, survey: Survey, tables: Tables, system: str) -> Section:
    """The gauges that were used, what they may be wrong by, and whether they were calibrated when read.

    Args:
        assessment: the assessment, for the numbers of sources.
        survey: the state of the cylinder.
        tables: the tables.
        system: "metric" or "inch".
    """
    gauges, numbers = used_gauges(survey), gauge_numbers(survey)
    if not gauges:
        return Section("Gauges", (Words("No gauge was used."),))
    sources = numbered_sources(assessment, survey, tables)
    rows = []
    for key, gauge in gauges.items():
        source = gauge_source(gauge, tables)
        entered = f" [{sources[source.key][0]}]" if source else "; entered by the shop"
        error = error_words(with_scatter(gauge, tables), gauge_kind(gauge, tables), system)
        reads = range_words(gauge, gauge_kind(gauge, tables), system)
        kind = tables.gauges[gauge.kind].title if gauge.name and gauge.kind in tables.gauges else ""
        named = listed([w for w in (kind, reads) if w])
        rows.append(
            (
                Cell(numbers[key]),
                Cell(gauge_name(gauge, tables.gauges), named),
                Cell(f"{error}{entered}"),
                _calibration(gauge, survey),
            )
        )
    return Section("Gauges", (Words(MEANING, "small"), Table(GAUGES, tuple(rows), dense=True)), 2)


def error_words(gauge: Gauge, kind: str, system: str) -> str:
    """What a gauge may be wrong by, as its table has it.

    Args:
        gauge: the gauge.
        kind: the kind of quantity it measures.
        system: "metric" or "inch".
    """
    rows = [
        (plain_text(up_to, kind, system), plain_text(error, kind, system, 1)) for up_to, error in gauge.errors
    ]
    several = len(rows) > 1
    words = [f"±{error} up to {up_to}" if several else f"±{error}" for up_to, error in rows]
    if gauge.share:
        words.append(f"{(gauge.share * 100).normalize():f} % of the reading")
    more = [("scatter", gauge.repeatability), ("step", gauge.step)]
    said = [f"{what} {plain_text(value, kind, system, 1)}" for what, value in more if value]
    return "; ".join([f"{STATED[gauge.states]} {', '.join(words)}", *said])


def _calibration(gauge: Gauge, survey: Survey) -> Cell:
    """Until when a gauge was calibrated, and what follows for the readings taken with it."""
    if not gauge.calibrated_until:
        return Cell("no date entered")
    late = taken_after_calibration(gauge, survey)
    if not late:
        return Cell(f"until {gauge.calibrated_until}", "in date for every reading")
    count = counted(len(late), "reading", "readings")
    under = f"{count} taken after that, from {min(r.at[:10] for r in late)}"
    return Cell(f"EXPIRED {gauge.calibrated_until}", under, bold=True)


def taken_after_calibration(gauge: Gauge, survey: Survey) -> list[Reading]:
    """The readings taken with a gauge after its calibration had expired, those corrected later too.

    Args:
        gauge: the gauge.
        survey: the state of the cylinder.
    """
    standing = (r for readings in survey.readings.values() for r in readings.values())
    until = gauge.calibrated_until
    return [r for r in (*standing, *survey.replaced) if r.gauge == gauge.id and until and r.at[:10] > until]


def out_since(finding: Finding, survey: Survey) -> list[str]:
    """The days since which the gauges a finding rests on had no calibration when they read it.

    Args:
        finding: the finding.
        survey: the state of the cylinder.
    """
    return sorted({gauge.calibrated_until for gauge in _late_at(finding, survey)})


def overdue_at(finding: Finding, survey: Survey, tables: Tables) -> str:
    """Which of the gauges a finding rests on were past their calibration date when they read it, "" if none.

    Args:
        finding: the finding.
        survey: the state of the cylinder.
        tables: the tables.
    """
    late = _late_at(finding, survey)
    named = listed([f"{gauge_name(g, tables.gauges)} (calibrated until {g.calibrated_until})" for g in late])
    return f"Read with a gauge out of calibration: {named}." if late else ""


def _late_at(finding: Finding, survey: Survey) -> list[Gauge]:
    """The gauges a finding rests on that were past their date when they read it."""
    check = finding.check
    read = [r for name in (check.id, *(check.between or ())) for r in survey.readings.get(name, {}).values()]
    place = finding.place
    here = [r for r in read if r.place == place] or [
        r for r in read if place.station in ("", r.place.station)
    ]
    gauges = {r.gauge: survey.gauges[r.gauge] for r in here if r.gauge in survey.gauges}
    return [g for g in gauges.values() if any(r in taken_after_calibration(g, survey) for r in here)]


def overdue_words(survey: Survey) -> str:
    """How many gauges were used after their calibration had expired, "" if none was.

    Args:
        survey: the state of the cylinder.
    """
    late = sum(1 for gauge in used_gauges(survey).values() if taken_after_calibration(gauge, survey))
    if not late:
        return ""
    count = counted(late, "gauge was", "gauges were")
    return f"{count} used after the calibration had expired; see Gauges."
