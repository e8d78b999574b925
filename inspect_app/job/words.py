"""Says findings in sentences, in the units asked for; the same words on screen, on paper and at the prompt."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from decimal import Decimal

from inspect_app.entries.job import Place
from inspect_app.job.assess import Assessment, PartResult, Whole
from inspect_app.job.findings import CheckResult, Disposition, Finding
from inspect_app.job.judge import LimitInForce
from inspect_app.job.triage import Triage
from inspect_app.trade.form.grid import Station
from inspect_app.trade.form.grid import clock_words as clock_words
from inspect_app.trade.measuring.amounts import Shown
from inspect_app.trade.measuring.decision import Decision, Verdict, guard_sentence
from inspect_app.trade.measuring.refusal import UNSAID, Said, Sentence, in_words, joined

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
    return _place(place).words(system)


def _place(place: Place) -> Sentence:
    clock = clock_words(place.clock)
    return joined([*([Station(place.station)] if place.station else []), *([clock] if clock else [])], ", ")


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


def limit_sentence(limit: LimitInForce, kind: str) -> Sentence:
    """A limit's numbers: "49.936 to 49.975 mm", "at most 0.650 mm", or what is missing to have them.

    Args:
        limit: the limit in force.
        kind: the quantity's kind.
    """
    lower, upper = limit.lower, limit.upper
    if limit.missing:
        return Sentence("no limit yet: {missing}", {"missing": limit.missing})
    if kind in NOT_SIZED:
        return Sentence(NOT_SIZED[kind] if upper == 0 else "it may stay")
    if lower is not None and upper is not None:
        return joined((Shown(lower, kind, bare=True), Shown(upper, kind)), " to ")
    if upper is not None:
        return Sentence("at most {upper}", {"upper": Shown(upper, kind)})
    if lower is not None:
        return Sentence("at least {lower}", {"lower": Shown(lower, kind)})
    return Sentence("no limit")


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
    shown = Shown(finding.value, finding.kind)
    if finding.characteristic in SHAPES and finding.value < 0:
        return Sentence("none ({shown})", {"shown": shown})
    return shown


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


def finding_sentence(finding: Finding) -> Sentence:
    """One finding as a sentence with value, place, verdict and limit.

    Args:
        finding: the finding.
    """
    where = _place(finding.place)
    title = finding.title[0].upper() + finding.title[1:]
    named = Sentence("{title} at {where}", {"title": title, "where": where}) if where else Sentence(title)
    if finding.value is None:
        not_measured = Sentence("{named} was not measured.", {"named": named})
        return joined((not_measured, *finding.cannot_say), " ")
    reuse = finding.judgement("reuse")
    if reuse is None:
        without = "; no limit is written for it." if finding.defect else " (information)."
        return Sentence(f"{{named}}: {{value}}{without}", {"named": named, "value": _value(finding)})
    limit = limit_sentence(reuse.limit, finding.kind)
    if finding.kind == "felt":
        felt = "a fingernail feels it" if finding.value else "no fingernail feels it"
        return Sentence(f"{{named}}: {felt}; {{limit}}.", {"named": named, "limit": limit})
    if finding.kind == "count":
        return Sentence("{named}: {limit}.", {"named": named, "limit": limit})
    at = " at {where}" if where else ""
    what = Sentence(f"{{title}} {{value}}{at}", {"title": title, "value": _value(finding), "where": where})
    return Sentence(JUDGED[reuse.verdict], {"what": what, "limit": limit})


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
    return str(finding.disposition.value)


def missing_sentence(result: CheckResult) -> Sentence:
    """What is missing from a check, nothing when all of it is there.

    Args:
        result: the check's result.
    """
    title = result.check.title
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
    parts = [f"{left} of {result.expected} places not measured{{which}}"] if left else []
    parts += [f"{skipped} skipped with a reason"] if skipped else []
    return Sentence(f"{title}: {', '.join(parts)}.", {"which": _which(result)})


FEW = 4
"""So many missing places are named one by one."""


def _which(result: CheckResult) -> Sentence:
    """Which places are missing, by station where whole stations are; nothing where all or too many to name are."""
    missing = [p.place for p in result.places if not p.reading and not p.skip]
    if len(missing) == result.expected:
        return UNSAID
    read = {p.place.station for p in result.places if p.reading or p.skip}
    whole = list(dict.fromkeys(p.station for p in missing if p.station not in read))
    named: list[Said] = [Station(s) for s in whole if s]
    named += [_place(p) for p in missing if p.station not in whole]
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
    return found + [m for result in part.checks if (m := missing_sentence(result))]


def _reason(result: CheckResult, finding: Finding) -> Sentence:
    follows, reach = what_follows(finding), reach_sentence(finding)
    said = finding_sentence(finding)
    if not finding.defect:
        said = joined((result.check.title, said), ": ")
    return joined((said, f"{follows[0].upper()}{follows[1:]}.", *([reach] if reach else [])), " ")


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
        sentences.append(f"STOP: a qualified person decides on {_listed(assessment.stopped)} first.")
    sentences.append(_outcome(assessment))
    if assessment.overruled:
        told = "; ".join(_overruled(p) for p in assessment.overruled)
        sentences.append(f"Decided by a person against the calculated result: {told}.")
    if assessment.unchecked and assessment.whole is Whole.REPAIR:
        sentences.append(f"Not checked: {_listed(assessment.unchecked)}.")
    return " ".join(sentences)


def triage_sentence(short: Triage) -> str:
    """Whether the short look stops here or goes on.

    Args:
        short: the short look.
    """
    stopped = [p for p in short.stops if p.computed is Disposition.REFER]
    if stopped:
        return (
            f"Stop here: a qualified person decides on {_listed(stopped)} before anything else is measured."
        )
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
        return " ".join(said) or "The cylinder is not decided until then."
    if not parts:
        fit = "every other part" if assessment.unchecked or assessment.overruled else "every part"
        return f"Repair by new seals: {fit} is fit for reuse."
    new = [p for p in assessment.because if p.disposition is Disposition.REPLACE]
    rework = [p for p in assessment.because if p.disposition is not Disposition.REPLACE]
    said = [f"New: {_listed(new)}."] if new else []
    said += [f"Rework: {_listed(rework)}."] if rework else []
    return " ".join(["Repair.", *said, "New seals."])


def _overruled(part: PartResult) -> str:
    assert part.decided is not None  # only a person overrules
    examined = f", examined by {part.decided.examined_by}" if part.decided.examined_by else ""
    title = part.part.title.lower()
    return f"{title} {part.decided.disposition}, calculated result {part.computed.value}{examined}"


def _listed(parts: Iterable[PartResult]) -> str:
    return "; ".join(p.part.title.lower() for p in parts)
