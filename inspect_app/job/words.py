"""Says findings in sentences, in the units asked for; the same words on screen, on paper and at the prompt."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from decimal import Decimal

from inspect_app.entries.job import Place
from inspect_app.job.assess import Assessment, PartResult, Whole
from inspect_app.job.findings import CheckResult, Disposition, Finding
from inspect_app.job.judge import LimitInForce
from inspect_app.job.triage import Triage
from inspect_app.tables.sources import STATUSES
from inspect_app.trade.form.grid import Station
from inspect_app.trade.form.grid import clock_words as clock_words
from inspect_app.trade.measuring.decision import Decision, Verdict, guard_sentence
from inspect_app.trade.measuring.quantities import show, show_text
from inspect_app.trade.measuring.refusal import joined

OWNERS = {"drawing": "drawing limit", "shop": "shop limit", "shipped": "built-in limit"}


NOT_SIZED = {"count": "none allowed", "felt": "none allowed that a fingernail feels"}
"""Of a defect, what is no size: that it is there, and that it is felt; in words, where none is allowed."""


SHAPES = ("ballooning", "bell_mouth")
"""Shapes a bore has or has not; below nothing it has the other one."""

LEVELS = {"reuse": "Reuse limit", "new": "New limit", "rework": "Rework limit"}
"""What each level of limits is called."""


def station_words(station: str, system: str) -> str:
    """A station as it is said: 350 mm, S2, gland end.

    Args:
        station: mm as text, or a word.
        system: "metric" or "inch".

    >>> station_words("350", "metric"), station_words("254", "inch"), station_words("S2", "inch")
    ('350 mm', '10.00 in', 'S2')
    """
    return Station(station).words(system)


def place_words(place: Place, system: str) -> str:
    """A place as it is said: 350 mm, 3 o'clock.

    Args:
        place: station and clock.
        system: "metric" or "inch".
    """
    words = [station_words(place.station, system) if place.station else "", clock_words(place.clock)]
    return ", ".join(w for w in words if w)


def outside_supports_words(place: Place, span_mm: Decimal, system: str) -> str:
    """Asks about a station that lies beyond the supports.

    Args:
        place: where.
        span_mm: the distance between the supports.
        system: "metric" or "inch".
    """
    span = station_words(str(span_mm), system)
    return (
        f"{station_words(place.station, system)} lies outside the supports; the support distance is {span}. "
        "Stations of the runout count from the first support; on an overhang the dial shows more than the bend."
    )


def limit_words(limit: LimitInForce, kind: str, system: str) -> str:
    """A limit's numbers: "49.936 to 49.975 mm", "at most 0.650 mm", or what is missing to have them.

    Args:
        limit: the limit in force.
        kind: the quantity's kind.
        system: "metric" or "inch".
    """
    if limit.missing:
        return f"no limit yet: {limit.missing.words(system)}"
    if kind in NOT_SIZED:
        return NOT_SIZED[kind] if limit.upper == 0 else "it may stay"
    if limit.lower is not None and limit.upper is not None:
        low, _ = show(limit.lower, kind=kind, system=system)
        return f"{low} to {show_text(limit.upper, kind=kind, system=system)}"
    if limit.upper is not None:
        return f"at most {show_text(limit.upper, kind=kind, system=system)}"
    if limit.lower is not None:
        return f"at least {show_text(limit.lower, kind=kind, system=system)}"
    return "no limit"


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
    text = show_text(finding.value, kind=finding.kind, system=system)
    return f"none ({text})" if finding.characteristic in SHAPES and finding.value < 0 else text


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


JUDGED = {
    Verdict.WITHIN: "{what} is within the reuse limit, {limit}.",
    Verdict.BEYOND: "{what} is outside the reuse limit, {limit}.",
    Verdict.UNCLEAR: "{what} is too close to the reuse limit, {limit}.",
    Verdict.NOT_MEASURED: "{what} cannot be judged by the reuse limit, {limit}.",
}
"""A whole sentence for each verdict, so that another language can order its words as it must."""


def finding_sentence(finding: Finding, system: str) -> str:
    """One finding as a sentence with value, place, verdict and limit.

    Args:
        finding: the finding.
        system: "metric" or "inch".
    """
    title = finding.title[0].upper() + finding.title[1:]
    where = place_words(finding.place, system)
    at = f" at {where}" if where else ""
    if finding.value is None:
        cannot = f" {joined(finding.cannot_say, ' ').words(system)}" if finding.cannot_say else ""
        return f"{title}{at} was not measured.{cannot}"
    reuse = finding.judgement("reuse")
    if reuse is None:
        text = f"{title}{at}: {value_words(finding, system)}"
        return f"{text}; no limit is written for it." if finding.defect else f"{text} (information)."
    limit = limit_words(reuse.limit, finding.kind, system)
    if finding.kind == "felt":
        felt = "a fingernail feels it" if finding.value else "no fingernail feels it"
        return f"{title}{at}: {felt}; {limit}."
    if finding.kind == "count":
        return f"{title}{at}: {limit}."
    what = f"{title} {value_words(finding, system)}{at}"
    return JUDGED[reuse.verdict].format(what=what, limit=limit)


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
    return str(finding.disposition.value)


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
    parts = [f"{left} of {result.expected} places not measured{_which(result, system)}"] if left else []
    parts += [f"{skipped} skipped with a reason"] if skipped else []
    return f"{title}: {', '.join(parts)}."


FEW = 4
"""So many missing places are named one by one."""


def _which(result: CheckResult, system: str) -> str:
    """Which places are missing, by station where whole stations are; "" where all or too many to name are."""
    missing = [p.place for p in result.places if not p.reading and not p.skip]
    if len(missing) == result.expected:
        return ""
    read = {p.place.station for p in result.places if p.reading or p.skip}
    whole = list(dict.fromkeys(p.station for p in missing if p.station not in read))
    named = [station_words(s, system) for s in whole if s]
    named += [place_words(p, system) for p in missing if p.station not in whole]
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
    said = f"{about}{finding_sentence(finding, system)} {follows[0].upper()}{follows[1:]}."
    return f"{said} {reach}" if reach else said


def disposition_words(part: PartResult) -> str:
    """What becomes of a part, in the few words of a list: "rework", "rework, not finished".

    Args:
        part: the part's result.
    """
    return f"{part.disposition.value}, not finished" if part.unfinished else str(part.disposition.value)


def whole_sentence(assessment: Assessment) -> str:
    """Repair or replace for the cylinder, and which parts decide it; a stop comes first.

    Args:
        assessment: the whole assessment.
    """
    sentences = []
    if assessment.stopped:
        sentences.append(f"STOP: a qualified person decides on {listed(assessment.stopped)} first.")
    sentences.append(_outcome(assessment))
    if assessment.overruled:
        told = "; ".join(overruled_words(p) for p in assessment.overruled)
        sentences.append(f"Decided by a person against the calculated result: {told}.")
    if assessment.unchecked and assessment.whole is Whole.REPAIR:
        sentences.append(f"Not checked: {listed(assessment.unchecked)}.")
    return " ".join(sentences)


def triage_sentence(short: Triage) -> str:
    """Whether the short look stops here or goes on.

    Args:
        short: the short look.
    """
    stopped = [p for p in short.stops if p.computed is Disposition.REFER]
    if stopped:
        return f"Stop here: a qualified person decides on {listed(stopped)} before anything else is measured."
    if short.stops:
        return f"Stop here: {listed(short.stops)} cannot be repaired. Settle first whether to measure on."
    if short.following:
        return "Go on. This short look can end a job early; it never says that a part is fit."
    return "Go on with the whole inspection: nothing here ends it early, and nothing is proven fit yet."


def _outcome(assessment: Assessment) -> str:
    parts = listed(assessment.because)
    if assessment.whole is Whole.REPLACE:
        return f"Replace the cylinder: {parts} cannot be repaired."
    if assessment.whole is Whole.OPEN:
        unfinished = [p for p in assessment.because if p.unfinished]
        open_ = [p for p in assessment.because if p.disposition is Disposition.OPEN]
        said = [f"Not decided yet: {listed(open_)}."] if open_ else []
        said += [f"Rework, not finished: {listed(unfinished)}."] if unfinished else []
        return " ".join(said) or "The cylinder is not decided until then."
    if not parts:
        fit = "every other part" if assessment.unchecked or assessment.overruled else "every part"
        return f"Repair by new seals: {fit} is fit for reuse."
    new = [p for p in assessment.because if p.disposition is Disposition.REPLACE]
    rework = [p for p in assessment.because if p.disposition is not Disposition.REPLACE]
    said = [f"New: {listed(new)}."] if new else []
    said += [f"Rework: {listed(rework)}."] if rework else []
    return " ".join(["Repair.", *said, "New seals."])


def overruled_words(part: PartResult) -> str:
    """What a person decided for less than the readings say.

    Args:
        part: the part's result, overruled.
    """
    assert part.decided is not None  # only a person overrules
    examined = f", examined by {part.decided.examined_by}" if part.decided.examined_by else ""
    title = part.part.title.lower()
    return f"{title} {part.decided.disposition}, calculated result {part.computed.value}{examined}"


def listed(parts: Iterable[PartResult]) -> str:
    """Parts by their titles, inside a sentence.

    Args:
        parts: the parts.
    """
    return "; ".join(p.part.title.lower() for p in parts)
