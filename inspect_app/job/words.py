"""Says findings in sentences, in the units asked for; the same words on screen, on paper and at the prompt."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from decimal import Decimal
from typing import Literal

from inspect_app.entries.job import Place
from inspect_app.job.assess import PartResult
from inspect_app.job.findings import CheckResult, Disposition, Finding
from inspect_app.job.judge import LimitInForce
from inspect_app.tables.blocks import Named
from inspect_app.trade.form.grid import Station
from inspect_app.trade.form.grid import clock_words as clock_words
from inspect_app.trade.measuring.amounts import Shown, Trimmed
from inspect_app.trade.measuring.decision import Decision, Verdict, guard_sentence
from inspect_app.trade.measuring.quantities import KINDS, plain_text
from inspect_app.trade.measuring.refusal import UNSAID, Said, Sentence, in_words, joined
from inspect_app.trade.measuring.wording import capital, counted

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
    Disposition.ABSENT: "not fitted",
}
"""What each disposition is called."""

LEVELS = {"reuse": "Reuse limit", "new": "New limit", "rework": "Rework limit"}
"""What each level of limits is called."""


def station_words(station: str, called: Named, system: str) -> str:
    """A station as it is said: 350 mm, S2, gland end.

    Args:
        station: mm as text, an id, or own words.
        called: what the named stations of its check are called.
        system: "metric" or "inch".

    >>> station_words("350", {}, "metric"), station_words("254", {}, "inch"), station_words("S2", {}, "inch")
    ('350 mm', '10 in', 'S2')
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
    return place_said(place, called).words(system)


def place_said(place: Place, called: Named) -> Sentence:
    """A place as part of a sentence, as `place_words`.

    Args:
        place: station and clock.
        called: what the named stations of its check are called.
    """
    station, clock = called.get(place.station, place.station), clock_words(place.clock)
    return joined([*([Station(station)] if station else []), *([clock] if clock else [])], ", ")


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


def limit_sentence(limit: LimitInForce, kind: str) -> Sentence:
    """A limit's numbers: "49.936 to 49.975 mm", "at most 0.65 mm", or what is missing to have them.

    Args:
        limit: the limit in force.
        kind: the quantity's kind.
    """
    if kind in NOT_SIZED and not limit.missing:
        return Sentence(NOT_SIZED[kind] if limit.upper == 0 else "it may stay")
    shape, numbers = _limit_parts(limit, kind)
    return Sentence(LIMIT[shape], numbers)


def _limit_parts(limit: LimitInForce, kind: str) -> tuple[Shape, Mapping[str, Said]]:
    """Which numbers a limit has, and those: to as many decimals as they need, both to the same."""
    low, high = limit.lower, limit.upper
    if limit.missing:
        return "missing", {"missing": limit.missing}
    if low is not None and high is not None:
        both = {"low": Trimmed(low, kind, beside=high, bare=True), "high": Trimmed(high, kind, beside=low)}
        return "between", both
    if high is not None:
        return "at most", {"high": Trimmed(high, kind)}
    return ("at least", {"low": Trimmed(low, kind)}) if low is not None else ("none", {})


def source_words(limit: LimitInForce, system: str) -> str:
    """Whose limit it is, by which rule, from which source and how sure that is.

    Args:
        limit: the limit in force.
        system: "metric" or "inch".
    """
    if limit.owner == "drawing":
        return f"{OWNERS['drawing']}: {limit.rule.words(system)}"
    said = [limit.rule, limit.source.sentence] if limit.rule else [limit.source.sentence]
    return f"{OWNERS[limit.owner]}: {joined(said, '; ').words(system)}"


def value_words(finding: Finding, system: str) -> str:
    """A finding's value with unit, "found" for a defect that was not measured.

    Args:
        finding: the finding.
        system: "metric" or "inch".
    """
    return in_words(_value(finding), system)


def _value(finding: Finding) -> Said | str:
    if finding.value is None:
        return "not measured"
    if finding.kind in NOT_SIZED:
        return "found"
    if finding.defect:
        return _Size(finding.typed, finding.value, finding.kind)
    shown = Shown(finding.value, finding.kind)
    if finding.characteristic in SHAPES and finding.value < 0:
        return Sentence("none ({shown})", {"shown": shown})
    return shown


@dataclass(frozen=True, slots=True)
class _Size:
    """The size of a defect in a sentence."""

    typed: str
    value: Decimal
    kind: str

    def words(self, system: str) -> str:
        return size_words(self.typed, self.value, self.kind, system)


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
    Disposition.ABSENT: Verdict.NOT_MEASURED,
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


def finding_sentence(finding: Finding) -> Sentence:
    """One finding as a sentence with value, place, verdict and limit.

    Args:
        finding: the finding.
    """
    where = place_said(finding.place, finding.check.stations.names)
    parts = {"title": capital(finding.title), "value": _value(finding), "place": where}

    def say(templates: tuple[str, str], **more: Said) -> Sentence:
        return Sentence(templates[bool(where)], {**parts, **more})

    reuse = finding.judgement("reuse")
    if finding.value is None:
        return joined([say(NOT_MEASURED), *finding.cannot_say], " ")
    if reuse is None:
        return say(NO_LIMIT if finding.defect else INFORMS)
    if finding.kind == "felt":
        return say(FELT[bool(finding.value)], limit=limit_sentence(reuse.limit, finding.kind))
    if finding.kind == "count":
        return say(THERE, limit=limit_sentence(reuse.limit, finding.kind))
    shape, numbers = _limit_parts(reuse.limit, finding.kind)
    return Sentence(JUDGED[reuse.verdict, shape], {"subject": say(SUBJECT), **numbers})


def reach_sentence(finding: Finding) -> Sentence:
    """How far rework reaches and whether the finding lies within that; nothing where the reach decided nothing.

    Args:
        finding: the finding.
    """
    reuse, reach = finding.judgement("reuse"), finding.judgement("rework")
    if (
        reach is None
        or reuse is None
        or reuse.verdict is not Verdict.BEYOND
        or reuse.limit.beyond != "rework"
    ):
        return UNSAID
    if reach.decision is None:
        return Sentence("The rework limit is not known: {missing}.", {"missing": reach.limit.missing})
    # how deep a mark may be follows from the size afterwards; other reaches stand in the file as they are
    rule = " ({rule})" if finding.defect and reach.limit.rule else ""
    return Sentence(
        f"Rework limit: {{limit}}{rule}; {reach.verdict.value}.",
        {"limit": limit_sentence(reach.limit, finding.kind), "rule": reach.limit.rule},
    )


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


def missing_sentence(result: CheckResult) -> Sentence:
    """What is missing from a check, nothing when all of it is there.

    Args:
        result: the check's result.
    """
    title = result.check.title
    if result.not_fitted:
        return Sentence(
            f"{title}: not fitted." if result.check.optional else f"{title}: not fitted, and must be there."
        )
    if result.skipped:
        return Sentence("{title} was not checked: {why}.", {"title": title, "why": result.skipped})
    if result.complete:
        return UNSAID
    if result.check.look:
        return Sentence(f"{title}: visual check not finished.")
    if result.check.between:
        return Sentence(f"{title} needs readings of both parts.")
    left, skipped = result.left, sum(1 for p in result.places if p.skip and not p.reading)
    if left == result.expected == 1:
        return Sentence(f"{title}: not measured.")
    places = counted(result.expected, "place", "places")
    parts = [f"{left} of {places} not measured{{which}}"] if left else []
    parts += [f"{skipped} skipped with a reason"] if skipped else []
    return Sentence(f"{title}: {'; '.join(parts)}.", {"which": _which(result)})


FEW = 4
"""So many missing places are named one by one."""


def _which(result: CheckResult) -> Sentence:
    """Which places are missing, by station where whole stations are; nothing where all or too many to name are."""
    missing = [p.place for p in result.places if not p.reading and not p.skip]
    if len(missing) == result.expected:
        return UNSAID
    read = {p.place.station for p in result.places if p.reading or p.skip}
    whole = list(dict.fromkeys(p.station for p in missing if p.station not in read))
    called = result.check.stations.names
    named: list[Said] = [Station(called.get(s, s)) for s in whole if s]
    named += [place_said(p, called) for p in missing if p.station not in whole]
    return Sentence(" ({named})", {"named": joined(named, "; ")}) if 0 < len(named) <= FEW else UNSAID


def part_reasons(part: PartResult) -> list[Sentence]:
    """Why a part comes out as it does: what decides it first, then what else was found, then what is missing.

    Args:
        part: the part's result.
    """
    order = list(Disposition)
    told = [
        (order.index(finding.disposition), _reason(result, finding))
        for result in part.checks
        for finding in result.findings
        if (finding.value is not None or result.complete) and finding.disposition is not Disposition.REUSE
    ]
    found = [reason for _, reason in sorted(told, key=lambda t: t[0])]
    found += [Sentence(f"Not answered yet: {question.ask}") for question in part.questions]
    if part.disposition is Disposition.ABSENT:
        return [Sentence("Not on this cylinder.")]
    if part.checks and all(result.not_fitted for result in part.checks):
        return [*found, Sentence(f"{part.part.title}: not fitted, and must be there.")]
    return found + [m for result in part.checks if (m := missing_sentence(result))]


def _reason(result: CheckResult, finding: Finding) -> Sentence:
    reach, said = reach_sentence(finding), finding_sentence(finding)
    if not finding.defect:
        said = joined((result.check.title, said), ": ")
    return joined((said, f"{capital(what_follows(finding))}.", *([reach] if reach else [])), " ")


def disposition_words(part: PartResult) -> str:
    """What becomes of a part, in the few words of a list: "rework", "rework, not finished".

    Args:
        part: the part's result.
    """
    words = BECOMES[part.disposition]
    return f"{words}, not finished" if part.unfinished else words
