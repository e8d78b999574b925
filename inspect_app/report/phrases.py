"""The short phrases of a report: times, uncertainties, places, marks, numbered sources; no layout."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from datetime import UTC, datetime, timedelta, tzinfo
from decimal import Decimal

from inspect_app.entries.job import Gauge, Job, Survey
from inspect_app.job.assess import Assessment
from inspect_app.job.findings import Disposition, Finding
from inspect_app.job.hours import HoursBeside
from inspect_app.job.judge import LimitInForce
from inspect_app.job.words import OWNERS
from inspect_app.tables import Tables
from inspect_app.tables.sources import Source
from inspect_app.trade.measuring.quantities import KINDS, plain_text
from inspect_app.trade.measuring.readable import is_of, sensible, unit_typed
from inspect_app.trade.measuring.rounding import WithU, uncertainty_text
from inspect_app.trade.measuring.uncertainty import expanded


def when(at: str, zone: tzinfo) -> str:
    """A time of the log as it is shown: the local one with its offset.

    Args:
        at: UTC, ISO 8601.
        zone: where it is shown, or of a report where its job was opened.

    >>> from datetime import timedelta, timezone
    >>> when("2026-03-02T08:00:12.345Z", timezone(timedelta(hours=1))), when("2026-03-02T08:00:12.345Z", UTC)
    ('2026-03-02 09:00 +01:00', '2026-03-02 08:00 +00:00')
    """
    try:
        local = datetime.fromisoformat(at).astimezone(zone).isoformat(" ", "minutes")
    except ValueError:
        return at
    minutes = len("2026-03-02 09:00")
    return f"{local[:minutes]} {local[minutes:]}"


def hours_words(spent: timedelta) -> str:
    """Time worked, in hours and minutes.

    Args:
        spent: the time.

    >>> hours_words(timedelta(minutes=95)), hours_words(timedelta(minutes=5))
    ('1 h 35 min', '5 min')
    """
    minutes = round(spent / timedelta(minutes=1))
    return f"{minutes // 60} h {minutes % 60} min" if minutes >= 60 else f"{minutes} min"


def beside_words(beside: HoursBeside) -> str:
    """Hours worked beside hours estimated, in a sentence.

    Args:
        beside: the hours of some lines of the scope.
    """
    steps, lines = ", ".join(beside.steps), ", ".join(beside.lines)
    estimated = hours_words(timedelta(hours=float(beside.estimated_h)))
    return f"{steps}: {hours_words(beside.spent)} worked, {estimated} estimated ({lines})."


def day_of(at: str, zone: tzinfo) -> str:
    """The local date of a time of the log.

    Args:
        at: UTC, ISO 8601.
        zone: as `when` takes it.

    >>> from datetime import timedelta, timezone
    >>> day_of("2026-03-02T23:30:00.000Z", timezone(timedelta(hours=1)))
    '2026-03-03'
    """
    return when(at, zone)[:10]


def zone_of(job: Job) -> tzinfo:
    """The offset its report shows times with: that of the device that opened the job, so that the log alone says it.

    Args:
        job: the job.

    >>> zone_of(Job("J", offset="-03:30")), zone_of(Job("J"))
    (datetime.timezone(datetime.timedelta(days=-1, seconds=73800)), datetime.timezone.utc)
    """
    try:
        return datetime.fromisoformat(f"2000-01-01T00:00{job.offset}").tzinfo or UTC
    except ValueError:
        return UTC


def when_said(job: Job, at: str) -> str:
    """When something was said of a job: of one typed off a paper sheet the sheet and its day, as it tells no hour.

    Args:
        job: the job.
        at: UTC, ISO 8601.

    >>> when_said(Job("J"), "2026-03-02T08:00:12.345Z")
    '2026-03-02 08:00 +00:00'
    >>> when_said(Job("J", typed_off={"file": "a.toml", "date": "2026-03-02"}), "2026-03-02T12:00:00.000Z")
    'on a paper sheet of 2026-03-02'
    """
    if job.typed_off:
        return f"on a paper sheet of {job.typed_off.get('date') or 'no date'}"
    return when(at, zone_of(job))


def uncertainty_words(u: float, kind: str, system: str) -> str:
    """The expanded uncertainty (k = 2) as it is printed: two digits at most, no finer than the value beside it.

    Args:
        u: standard uncertainty, canonical unit.
        kind: the quantity's kind.
        system: "metric" or "inch".
    Source: gum

    >>> uncertainty_words(0.0025, "length", "metric")
    '0.005 mm'
    """
    return uncertainty_text(expanded(u), kind, system) if u else "none given"


def value_with_u(value: Decimal, u: float, kind: str, system: str) -> str:
    """A value with its expanded uncertainty (k = 2), both to the same place.

    Args:
        value: canonical value.
        u: standard uncertainty, canonical unit; 0 where none is known.
        kind: the quantity's kind.
        system: "metric" or "inch".
    Source: gum

    >>> value_with_u(Decimal("89.957"), 0.0029, "length", "metric")
    '89.957 ± 0.006 mm'
    """
    return WithU(value, expanded(u) if u else Decimal(0), kind).words(system)


def as_typed(typed: str, value: Decimal, kind: str, system: str) -> str:
    """A quantity as it was typed, and as it was understood where its unit is not one the reader has.

    A number typed without a unit has the one it was understood in.

    Args:
        typed: as it was typed.
        value: canonical value.
        kind: the quantity's kind.
        system: "metric" or "inch".

    >>> as_typed("2 in", Decimal("50.8"), "length", "metric"), as_typed("2 in", Decimal("50.8"), "length", "inch")
    ('2 in (50.8 mm)', '2 in')
    >>> as_typed("60 l", Decimal(60000), "volume", "metric"), as_typed("100", Decimal(100), "length", "metric")
    ('60 l', '100 mm')
    """
    understood = plain_text(value, kind, system)
    unit = unit_typed(typed, kind)
    if unit:
        return typed if is_of(unit, kind, system) else f"{typed} ({sensible(value, kind, system)})"
    number = understood.partition(" ")[0].removesuffix("°")
    return understood if typed.strip().lstrip("+") == number else f"{typed} ({understood})"


def gauge_kind(gauge: Gauge, tables: Tables) -> str:
    """The kind of quantity a gauge measures.

    Args:
        gauge: the gauge.
        tables: the tables that name its kind.
    """
    known = tables.gauges.get(gauge.kind)
    return known.measures if known and known.measures in KINDS else "number"


def gauge_source(gauge: Gauge, tables: Tables) -> Source | None:
    """Where a gauge's errors come from, None where the shop entered them.

    Args:
        gauge: the gauge.
        tables: the tables.
    """
    known = tables.gauges.get(gauge.kind)
    return known.source if known and gauge.id == f"default {gauge.kind}" else None


def findings_of(assessment: Assessment) -> list[Finding]:
    """Every finding with a value, in the checklist's order.

    Args:
        assessment: the assessment.
    """
    return [
        f for part in assessment.parts for check in part.checks for f in check.findings if f.value is not None
    ]


def numbered_sources(assessment: Assessment, survey: Survey, tables: Tables) -> dict[str, tuple[int, Source]]:
    """The sources this report rests on, numbered from 1 in the order they are first needed.

    Args:
        assessment: the assessment.
        survey: the state of the cylinder, for its gauges.
        tables: the tables.
    """
    limits = [j.limit for f in findings_of(assessment) for j in f.judgements]
    gauges = [gauge_source(g, tables) for g in used_gauges(survey).values()]
    found: dict[str, tuple[int, Source]] = {}
    for source in (*(x.source for x in limits), *(s for s in gauges if s)):
        found.setdefault(source.key, (len(found) + 1, source))
    return found


def used_gauges(survey: Survey) -> dict[str, Gauge]:
    """The gauges that took the readings that stand or were corrected, in the order they came into use.

    Args:
        survey: the state of the cylinder.
    """
    standing = (r for readings in survey.readings.values() for r in readings.values())
    used = {r.gauge for r in (*standing, *survey.replaced)}
    return {key: gauge for key, gauge in survey.gauges.items() if key in used}


def gauge_numbers(survey: Survey) -> Mapping[str, str]:
    """What each gauge is called in the tables: G1, G2 …

    Args:
        survey: the state of the cylinder.
    """
    return {key: f"G{n}" for n, key in enumerate(used_gauges(survey), 1)}


def whose_words(limit: LimitInForce, sources: Mapping[str, tuple[int, Source]], system: str) -> str:
    """Whose limit it is, by which rule, and the number of its source.

    Args:
        limit: the limit.
        sources: the numbered sources.
        system: "metric" or "inch".
    """
    number = sources.get(limit.source.key)
    words = [OWNERS[limit.owner]]
    if limit.rule:
        words.append(limit.rule.words(system))
    return ", ".join(words) + (f" [{number[0]}]" if number else "")


def worst_first(findings: Iterable[Finding]) -> list[Finding]:
    """Findings in the order in which they decide: stop, replace, rework, not decided, reuse.

    Args:
        findings: the findings.
    """
    return sorted(findings, key=lambda f: list(Disposition).index(f.disposition))
