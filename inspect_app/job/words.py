"""Says findings in sentences, in the units asked for; the same words on screen, on paper and at the prompt."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from decimal import Decimal
from typing import Literal

from inspect_app.entries.job import Place
from inspect_app.job.assess import Assessment, PartResult, Whole
from inspect_app.job.findings import CheckResult, Disposition, Finding
from inspect_app.job.judge import LimitInForce
from inspect_app.job.triage import Triage
from inspect_app.tables.blocks import Named
from inspect_app.tables.sources import STATUSES
from inspect_app.trade.form.grid import Station
from inspect_app.trade.form.grid import clock_words as clock_words
from inspect_app.trade.measuring.decision import Decision, Verdict, guard_sentence
from inspect_app.trade.measuring.quantities import KINDS, decimals_of, plain_text, show, show_text
from inspect_app.trade.measuring.wording import capital, counted, inside

OWNERS = {"drawing": "drawing limit", "shop": "shop limit", "shipped": "built-in limit"}


NOT_SIZED = {"count": "none allowed", "felt": "none allowed that a fingernail feels"}
"""Of a defect, what is no size: that it is there, and that it is felt; in words, where none is allowed."""

Shape = Literal["between", "at most", "at least", "missing", "none"]
"""Which numbers a limit has."""

LIMIT: Mapping[Shape, str] = {
    "between": "{low} to {high}",
    "at most": "at most {high}",
    "at least": "at least {low}",
    "missing": "no limit yet: {missing}",
    "none": "no limit",
}

SHAPES = ("ballooning", "bell_mouth")
"""Shapes a bore has or has not; below nothing it has the other one."""

BECOMES = {
    Disposition.REFER: "stop",
    Disposition.REPLACE: "replace",
    Disposition.REWORK: "rework",
    Disposition.OPEN: "not decided",
    Disposition.UNCHECKED: "not checked",
    Disposition.REUSE: "reuse",
}
"""What each disposition is called."""

WHOLE = {Whole.REPAIR: "repair", Whole.REPLACE: "replace", Whole.OPEN: "not decided"}
"""What is said of the whole cylinder, in a word."""

LEVELS = {"reuse": "Reuse limit", "new": "New limit", "rework": "Rework limit"}
"""What each level of limits is called."""


def station_words(station: str, called: Named, system: str) -> str:
    """A station as it is said: 350 mm, S2, gland end.

    Args:
        station: mm as text, an id, or own words.
        called: what the named stations of its check are called.
        system: "metric" or "inch".

    >>> station_words("350", {}, "metric"), station_words("254", {}, "inch"), station_words("S2", {}, "inch")
    ('350 mm', '10.00 in', 'S2')
    >>> station_words("gland-end", {"gland-end": "gland end"}, "inch")
    'gland end'
    """
    return Station(called.get(station, station)).words(system)


def place_words(place: Place, called: Named, system: str) -> str:
    """A place as it is said: 350 mm, 3 o'clock.

    Args:
        place: station and clock.
        called: what the named stations of its check are called.
        system: "metric" or "inch".
    """
    words = [station_words(place.station, called, system) if place.station else "", clock_words(place.clock)]
    return ", ".join(w for w in words if w)


def outside_supports_words(place: Place, span_mm: Decimal, system: str) -> str:
    """Asks about a station that lies beyond the supports.

    Args:
        place: where.
        span_mm: the distance between the supports.
        system: "metric" or "inch".
    """
    span, station = (station_words(mm, {}, system) for mm in (str(span_mm), place.station))
    return (
        f"{station} lies outside the supports; the support distance is {span}. "
        "Stations of the runout count from the first support; on an overhang the dial shows more than the bend."
    )


def limit_words(limit: LimitInForce, kind: str, system: str) -> str:
    """A limit's numbers: "49.936 to 49.975 mm", "at most 0.650 mm", or what is missing to have them.

    Args:
        limit: the limit in force.
        kind: the quantity's kind.
        system: "metric" or "inch".
    """
    if kind in NOT_SIZED and not limit.missing:
        return NOT_SIZED[kind] if limit.upper == 0 else "it may stay"
    shape, numbers = _limit_parts(limit, kind, system)
    return LIMIT[shape].format_map(numbers)


def _limit_parts(limit: LimitInForce, kind: str, system: str) -> tuple[Shape, Mapping[str, str]]:
    """Which numbers a limit has, and those as text: to as many decimals as they need, both to the same."""
    if limit.missing:
        return "missing", {"missing": limit.missing.words(system)}
    low, high = limit.lower, limit.upper
    decimals = max((decimals_of(x, kind, system) for x in (low, high) if x is not None), default=0)
    told = {
        name: show_text(x, kind=kind, system=system, decimals=decimals)
        for name, x in (("low", low), ("high", high))
        if x is not None
    }
    if low is not None and high is not None:
        return "between", {**told, "low": show(low, kind=kind, system=system, decimals=decimals)[0]}
    return ("at most" if high is not None else "at least" if low is not None else "none"), told


def source_words(limit: LimitInForce) -> str:
    """Whose limit it is, by which rule, from which source and how sure that is.

    Args:
        limit: the limit in force.
    """
    if limit.owner == "drawing":
        return f"{OWNERS['drawing']}: {limit.rule}"
    source = limit.source
    where = f", {source.where}" if source.where else ""
    rule = f"{limit.rule}; " if limit.rule not in ("", "at most", "at least", "within") else ""
    return f"{OWNERS[limit.owner]}: {rule}{source.title}{where} ({source.kind}; {STATUSES[source.status]})"


def value_words(finding: Finding, system: str) -> str:
    """A finding's value with unit, "found" for a defect that was not measured.

    Args:
        finding: the finding.
        system: "metric" or "inch".
    """
    if finding.value is None:
        return "not measured"
    if finding.kind in NOT_SIZED:
        return "found"
    if finding.defect:
        return size_words(finding.typed, finding.value, finding.kind, system)
    text = show_text(finding.value, kind=finding.kind, system=system)
    return f"none ({text})" if finding.characteristic in SHAPES and finding.value < 0 else text


def size_words(typed: str, value: Decimal, kind: str, system: str) -> str:
    """The size of a defect: as it was typed where that is in the reader's unit, else converted without idle digits.

    Args:
        typed: as it was typed, "" where nobody did.
        value: canonical value.
        kind: the quantity's kind.
        system: "metric" or "inch".

    >>> size_words("0.420 mm", Decimal("0.42"), "deviation", "metric"), size_words("2 in", Decimal("50.8"), "length",
    ... "metric")
    ('0.420 mm', '50.8 mm')
    """
    unit = KINDS[kind].shown(system)[0].name
    return typed if unit and typed.endswith(f" {unit}") else plain_text(value, kind, system)


MARKS: Mapping[Disposition, Verdict | Disposition] = {
    Disposition.REUSE: Verdict.WITHIN,
    Disposition.REWORK: Disposition.REWORK,
    Disposition.REPLACE: Disposition.REPLACE,
    Disposition.REFER: Disposition.REFER,
    Disposition.OPEN: Verdict.NOT_MEASURED,
    Disposition.UNCHECKED: Verdict.NOT_MEASURED,
}
"""The sign a disposition carries, on screen and on paper."""


def guard_words(decision: Decision, kind: str, system: str) -> str:
    """The uncertainty, and from where to where a value is proven within its limits.

    Args:
        decision: the decision against the limits.
        kind: the quantity's kind.
        system: "metric" or "inch".
    Source: iso-14253-1
    """
    return guard_sentence(decision, kind).words(system)


JUDGED: Mapping[tuple[Verdict, Shape], str] = {
    (Verdict.WITHIN, "between"): "{subject} is within the reuse limit, {low} to {high}.",
    (Verdict.WITHIN, "at most"): "{subject} is within the reuse limit, at most {high}.",
    (Verdict.WITHIN, "at least"): "{subject} is within the reuse limit, at least {low}.",
    (Verdict.BEYOND, "between"): "{subject} is outside the reuse limit, {low} to {high}.",
    (Verdict.BEYOND, "at most"): "{subject} is outside the reuse limit, at most {high}.",
    (Verdict.BEYOND, "at least"): "{subject} is outside the reuse limit, at least {low}.",
    (Verdict.UNCLEAR, "between"): "{subject} is too close to the reuse limit, {low} to {high}.",
    (Verdict.UNCLEAR, "at most"): "{subject} is too close to the reuse limit, at most {high}.",
    (Verdict.UNCLEAR, "at least"): "{subject} is too close to the reuse limit, at least {low}.",
    (Verdict.NOT_MEASURED, "missing"): "{subject} cannot be judged by the reuse limit: {missing}.",
}
"""A whole sentence for each verdict and shape of limit, so that another language can order its words as it must."""

SUBJECT = ("{title} {value}", "{title} {value} at {place}")
"""What a sentence is about, without and with a place."""

NOT_MEASURED = ("{title} was not measured.", "{title} at {place} was not measured.")
INFORMS = ("{title}: {value} (information).", "{title} at {place}: {value} (information).")
NO_LIMIT = (
    "{title}: {value}; no limit is written for it.",
    "{title} at {place}: {value}; no limit is written for it.",
)
FELT = {
    True: ("{title}: a fingernail feels it; {limit}.", "{title} at {place}: a fingernail feels it; {limit}."),
    False: (
        "{title}: no fingernail feels it; {limit}.",
        "{title} at {place}: no fingernail feels it; {limit}.",
    ),
}
THERE = ("{title}: {limit}.", "{title} at {place}: {limit}.")


def finding_sentence(finding: Finding, system: str) -> str:
    """One finding as a sentence with value, place, verdict and limit.

    Args:
        finding: the finding.
        system: "metric" or "inch".
    """
    where = place_words(finding.place, finding.check.stations.names, system)
    parts = {"title": capital(finding.title), "value": value_words(finding, system), "place": where}

    def say(templates: tuple[str, str], **more: str) -> str:
        return templates[bool(where)].format_map({**parts, **more})

    reuse = finding.judgement("reuse")
    if finding.value is None:
        return " ".join([say(NOT_MEASURED), *(s.words(system) for s in finding.cannot_say)])
    if reuse is None:
        return say(NO_LIMIT if finding.defect else INFORMS)
    if finding.kind == "felt":
        return say(FELT[bool(finding.value)], limit=limit_words(reuse.limit, finding.kind, system))
    if finding.kind == "count":
        return say(THERE, limit=limit_words(reuse.limit, finding.kind, system))
    shape, numbers = _limit_parts(reuse.limit, finding.kind, system)
    return JUDGED[reuse.verdict, shape].format_map({"subject": say(SUBJECT), **numbers})


def reach_sentence(finding: Finding, system: str) -> str:
    """How far rework reaches and whether the finding lies within that; "" where the reach decided nothing.

    Args:
        finding: the finding.
        system: "metric" or "inch".
    """
    reuse, reach = finding.judgement("reuse"), finding.judgement("rework")
    if (
        reach is None
        or reuse is None
        or reuse.verdict is not Verdict.BEYOND
        or reuse.limit.beyond != "rework"
    ):
        return ""
    rule = f" ({reach.limit.rule})" if reach.limit.rule.startswith("so that") else ""
    words = limit_words(reach.limit, finding.kind, system)
    if reach.decision is None:
        return f"The rework limit is not known: {reach.limit.missing.words(system)}."
    return f"Rework limit: {words}{rule}; {reach.verdict.value}."


def what_follows(finding: Finding) -> str:
    """What a finding sends the part to, with the operation if the limit names one.

    Args:
        finding: the finding.
    """
    reuse = finding.judgement("reuse")
    if finding.disposition is Disposition.REWORK and reuse and reuse.limit.cure:
        return reuse.limit.cure.title
    if finding.disposition is Disposition.REFER:
        return "stop until a qualified person decides"
    if finding.disposition is Disposition.OPEN and finding.verdict is Verdict.UNCLEAR:
        return "measure again or with a better gauge, or decide yourself and give the reason"
    if finding.disposition is Disposition.OPEN and finding.verdict is Verdict.BEYOND:
        reach = finding.judgement("rework")
        known = reach is not None and reach.decision is not None and finding.value is not None
        return "too close to the rework limit" if known else "the rework limit is not known yet"
    return BECOMES[finding.disposition]


def missing_words(result: CheckResult, system: str) -> str:
    """What is missing from a check, "" when nothing is.

    Args:
        result: the check's result.
        system: "metric" or "inch".
    """
    title = result.check.title
    if result.skipped:
        return f"{title} was not checked: {result.skipped}."
    if result.complete:
        return ""
    if result.check.look:
        return f"{title}: visual check not finished."
    if result.check.between:
        return f"{title} needs readings of both parts."
    left, skipped = result.left, sum(1 for p in result.places if p.skip and not p.reading)
    if left == result.expected == 1:
        return f"{title}: not measured."
    places = counted(result.expected, "place", "places")
    parts = [f"{left} of {places} not measured{_which(result, system)}"] if left else []
    parts += [f"{skipped} skipped with a reason"] if skipped else []
    return f"{title}: {'; '.join(parts)}."


FEW = 4
"""So many missing places are named one by one."""


def _which(result: CheckResult, system: str) -> str:
    """Which places are missing, by station where whole stations are; "" where all or too many to name are."""
    missing = [p.place for p in result.places if not p.reading and not p.skip]
    if len(missing) == result.expected:
        return ""
    read = {p.place.station for p in result.places if p.reading or p.skip}
    whole = list(dict.fromkeys(p.station for p in missing if p.station not in read))
    called = result.check.stations.names
    named = [station_words(s, called, system) for s in whole if s]
    named += [place_words(p, called, system) for p in missing if p.station not in whole]
    return f" ({'; '.join(named)})" if 0 < len(named) <= FEW else ""


def part_reasons(part: PartResult, system: str) -> list[str]:
    """Why a part comes out as it does: what decides it first, then what else was found, then what is missing.

    Args:
        part: the part's result.
        system: "metric" or "inch".
    """
    order = list(Disposition)
    told = [
        (order.index(finding.disposition), _reason(result, finding, system))
        for result in part.checks
        for finding in result.findings
        if (finding.value is not None or result.complete) and finding.disposition is not Disposition.REUSE
    ]
    found = [reason for _, reason in sorted(told, key=lambda t: t[0])]
    found += [f"Not answered yet: {question.ask}" for question in part.questions]
    return found + [m for result in part.checks if (m := missing_words(result, system))]


def _reason(result: CheckResult, finding: Finding, system: str) -> str:
    about = "" if finding.defect else f"{result.check.title}: "
    follows, reach = what_follows(finding), reach_sentence(finding, system)
    said = f"{about}{finding_sentence(finding, system)} {capital(follows)}."
    return f"{said} {reach}" if reach else said


def disposition_words(part: PartResult) -> str:
    """What becomes of a part, in the few words of a list: "rework", "rework, not finished".

    Args:
        part: the part's result.
    """
    words = BECOMES[part.disposition]
    return f"{words}, not finished" if part.unfinished else words


def whole_sentence(assessment: Assessment) -> str:
    """Repair or replace for the cylinder, and which parts decide it; a stop comes first.

    Args:
        assessment: the whole assessment.
    """
    return " ".join(s for s in (stop_sentence(assessment), outcome_sentence(assessment)) if s)


def stop_sentence(assessment: Assessment) -> str:
    """What stops the cylinder, and on which part; "" where nothing does, or a qualified person has passed it.

    Args:
        assessment: the whole assessment.
    """
    if not assessment.stopped:
        return ""
    return f"STOP: {_stops(assessment.stopped)}. Do not use it until a qualified person decides."


def outcome_sentence(assessment: Assessment) -> str:
    """Repair or replace for the cylinder, and which parts decide it, whatever stops it; "" where only that does.

    Args:
        assessment: the whole assessment.
    """
    sentences = [_outcome(assessment)]
    if assessment.overruled:
        told = "; ".join(_overruled(p) for p in assessment.overruled)
        sentences.append(f"Decided by a person against the calculated result: {told}.")
    if assessment.unchecked and assessment.whole is Whole.REPAIR:
        sentences.append(f"Not checked: {_listed(assessment.unchecked)}.")
    return " ".join(s for s in sentences if s)


def triage_sentence(short: Triage) -> str:
    """Whether the short look stops here or goes on.

    Args:
        short: the short look.
    """
    stopped = [p for p in short.stops if p.computed is Disposition.REFER]
    if stopped:
        return f"STOP: {_stops(stopped)}. A qualified person decides before anything else is measured."
    if short.stops:
        return f"Stop here: {_listed(short.stops)} cannot be repaired. Settle first whether to measure on."
    if short.following:
        return "Go on. This short look can end a job early; it never says that a part is fit."
    return "Go on with the whole inspection: nothing here ends it early, and nothing is proven fit yet."


def _outcome(assessment: Assessment) -> str:
    parts = _listed(assessment.because)
    if assessment.whole is Whole.REPLACE:
        return f"Replace the cylinder: {parts} cannot be repaired."
    if assessment.whole is Whole.OPEN:
        unfinished = [p for p in assessment.because if p.unfinished]
        open_ = [p for p in assessment.because if p.disposition is Disposition.OPEN]
        said = [f"Not decided yet: {_listed(open_)}."] if open_ else []
        said += [f"Rework, not finished: {_listed(unfinished)}."] if unfinished else []
        return " ".join(said)
    if not parts:
        fit = "every other part" if assessment.unchecked or assessment.overruled else "every part"
        return f"Repair by new seals: {fit} is fit for reuse."
    new = [p for p in assessment.because if p.disposition is Disposition.REPLACE]
    rework = [p for p in assessment.because if p.disposition is not Disposition.REPLACE]
    said = [f"New: {_listed(new)}."] if new else []
    said += [f"Rework: {_listed(rework)}."] if rework else []
    return " ".join(["Repair.", *said, "New seals."])


def _stops(parts: Iterable[PartResult]) -> str:
    """Crack on the rod; dent and arc strike on the barrel."""
    told = []
    for part in parts:
        stops = (f for c in part.checks for f in c.findings if f.disposition is Disposition.REFER)
        what = " and ".join(dict.fromkeys(inside(f.seen or f.title) for f in stops))
        told.append(f"{what} on the {inside(part.part.title)}")
    return "; ".join(told)


def _overruled(part: PartResult) -> str:
    assert part.decided is not None  # only a person overrules
    examined = f", examined by {part.decided.examined_by}" if part.decided.examined_by else ""
    title = inside(part.part.title)
    return f"{title} {BECOMES[part.disposition]}, calculated result {BECOMES[part.computed]}{examined}"


def _listed(parts: Iterable[PartResult]) -> str:
    return "; ".join(inside(p.part.title) for p in parts)
