"""Says findings in sentences, in the units asked for; the same words on screen, on paper and at the prompt."""

from __future__ import annotations

from decimal import Decimal

from inspect_app.job.assess import (
    Assessment,
    CheckResult,
    Disposition,
    Finding,
    PartResult,
    Whole,
    left_of,
)
from inspect_app.job.job import Place
from inspect_app.job.judge import LimitInForce
from inspect_app.tables.sources import STATUSES
from inspect_app.trade.decision import Decision, Verdict
from inspect_app.trade.quantities import KINDS, show, show_text

OWNERS = {"drawing": "maker's drawing", "shop": "the shop's limit", "shipped": "shipped default"}


def clock_words(clock: str) -> str:
    """A clock position as it is said: 12 o'clock, 1:30.

    Args:
        clock: hours as text, "" for none.
    Source: none

    >>> clock_words("1.5"), clock_words("12"), clock_words("0.5")
    ('1:30', "12 o'clock", '12:30')
    """
    try:
        hours, minutes = divmod(round(Decimal(clock) * 60), 60)
    except (ArithmeticError, ValueError):
        return clock
    return f"{hours or 12}:{minutes:02d}" if minutes else f"{hours or 12} o'clock"


def station_words(station: str, system: str) -> str:
    """A station as it is said: 350 mm, S2, gland end.

    Args:
        station: mm as text, or a word.
        system: "metric" or "inch".
    Source: none

    >>> station_words("350", "metric"), station_words("254", "inch"), station_words("S2", "inch")
    ('350 mm', '10.00 in', 'S2')
    """
    try:
        mm = Decimal(station)
    except ArithmeticError:
        return station
    if not mm.is_finite():
        return station
    return show_text(mm, kind="length", system=system, decimals=0 if system == "metric" else 2)


def place_words(place: Place, system: str) -> str:
    """A place as it is said: 350 mm, 3 o'clock.

    Args:
        place: station and clock.
        system: "metric" or "inch".
    Source: none
    """
    words = [station_words(place.station, system) if place.station else "", clock_words(place.clock)]
    return ", ".join(w for w in words if w)


def limit_words(limit: LimitInForce, kind: str, system: str) -> str:
    """A limit's numbers: "49.936 to 49.975 mm", "at most 0.650 mm", or what is missing to have them.

    Args:
        limit: the limit in force.
        kind: the quantity's kind.
        system: "metric" or "inch".
    Source: none
    """
    if limit.missing:
        return f"no limit yet: {limit.missing}"
    if kind == "count":
        return "none allowed" if limit.upper == 0 else f"at most {limit.upper}"
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
    Source: none
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
    Source: none
    """
    if finding.value is None:
        return "not measured"
    if finding.kind == "count":
        return "found"
    return show_text(finding.value, kind=finding.kind, system=system)


MARKS = {
    Disposition.REUSE: Verdict.WITHIN,
    Disposition.REWORK: Verdict.BEYOND,
    Disposition.REPLACE: Verdict.BEYOND,
    Disposition.REFER: Verdict.BEYOND,
    Disposition.OPEN: Verdict.NOT_MEASURED,
    Disposition.UNCHECKED: Verdict.NOT_MEASURED,
}
"""The mark a disposition carries, on screen and on paper."""


def guard_words(decision: Decision, kind: str, system: str) -> str:
    """The uncertainty, and from where to where a value is proven within its limits.

    Args:
        decision: the decision against the limits.
        kind: the quantity's kind.
        system: "metric" or "inch".
    Source: iso-14253-1

    >>> from inspect_app.trade.decision import decide
    >>> rod = decide(value=None, lower=Decimal("49.936"), upper=None, expanded_uncertainty=Decimal("0.0051"))
    >>> guard_words(rod, "length", "metric")
    'Uncertainty ±0.0051 mm (k = 2): proven from 49.9411 mm up.'
    """
    fine = KINDS[kind].shown(system)[1] + 1

    def shown(value: Decimal) -> str:
        return show_text(value, kind=kind, system=system, decimals=fine)

    lower, upper = decision.accept_lower, decision.accept_upper
    if not decision.can_be_proven_within:
        proven = "no reading of this gauge can prove it; use a better one"
    elif lower is not None and upper is not None:
        proven = f"proven from {shown(lower)} to {shown(upper)}"
    elif lower is not None:
        proven = f"proven from {shown(lower)} up"
    else:
        assert upper is not None
        proven = f"proven up to {shown(upper)}" if upper >= 0 else "no reading of this gauge can prove it"
    return f"Uncertainty ±{shown(decision.expanded_uncertainty)} (k = 2): {proven}."


CONNECTIVES = {
    Verdict.WITHIN: "is within",
    Verdict.BEYOND: "is beyond",
    Verdict.UNCLEAR: "is too close to call against",
    Verdict.NOT_MEASURED: "cannot be judged against",
}


def finding_sentence(finding: Finding, system: str) -> str:
    """One finding as a sentence with value, place, verdict and limit.

    Args:
        finding: the finding.
        system: "metric" or "inch".
    Source: none
    """
    title = finding.title[0].upper() + finding.title[1:]
    where = place_words(finding.place, system)
    at = f" at {where}" if where else ""
    if finding.value is None:
        return f"{title}{at} was not measured."
    reuse = finding.judgement("reuse")
    if reuse is None:
        text = f"{title}{at}: {value_words(finding, system)}"
        return f"{text}; no limit is written for it." if finding.defect else f"{text} (information)."
    limit = limit_words(reuse.limit, finding.kind, system)
    if finding.kind == "count":
        return f"{title}{at}: {limit}."
    value = value_words(finding, system)
    return f"{title} {value}{at} {CONNECTIVES[reuse.verdict]} the reuse limit, {limit}."


def what_follows(finding: Finding) -> str:
    """What a finding sends the part to, with the operation if the limit names one.

    Args:
        finding: the finding.
    Source: none
    """
    reuse = finding.judgement("reuse")
    if finding.disposition is Disposition.REWORK and reuse and reuse.limit.cure:
        return f"rework: {reuse.limit.cure}"
    if finding.disposition is Disposition.REFER:
        return "stop until a qualified person decides"
    if finding.disposition is Disposition.OPEN and finding.verdict is Verdict.UNCLEAR:
        return "measure again or with a better gauge, or decide with open eyes"
    if finding.disposition is Disposition.OPEN and finding.verdict is Verdict.BEYOND:
        return "too close to the reach of rework to call"
    return str(finding.disposition.value)


def missing_words(result: CheckResult) -> str:
    """What is missing from a check, "" when nothing is.

    Args:
        result: the check's result.
    Source: none
    """
    title = result.check.title
    if result.skipped:
        return f"{title} was not checked: {result.skipped}."
    if result.complete:
        return ""
    if result.check.look:
        return f"{title}: not looked at to the end."
    if result.check.between:
        return f"{title} needs readings of both parts."
    left, skipped = left_of(result), sum(1 for p in result.places if p.skip and not p.reading)
    parts = [f"{left} of {result.expected} places not measured"] if left else []
    parts += [f"{skipped} skipped with a reason"] if skipped else []
    return f"{title}: {', '.join(parts)}."


def part_reasons(part: PartResult, system: str) -> list[str]:
    """Why a part comes out as it does: what decides it first, then what else was found, then what is missing.

    Args:
        part: the part's result.
        system: "metric" or "inch".
    Source: none
    """
    order = list(Disposition)
    told = [
        (order.index(finding.disposition), _reason(result, finding, system))
        for result in part.checks
        for finding in result.findings
        if (finding.value is not None or result.complete) and finding.disposition is not Disposition.REUSE
    ]
    found = [reason for _, reason in sorted(told, key=lambda t: t[0])]
    return found + [m for result in part.checks if (m := missing_words(result))]


def _reason(result: CheckResult, finding: Finding, system: str) -> str:
    about = "" if finding.defect else f"{result.check.title}: "
    follows = what_follows(finding)
    return f"{about}{finding_sentence(finding, system)} {follows[0].upper()}{follows[1:]}."


def whole_sentence(assessment: Assessment) -> str:
    """Repair or replace for the cylinder, and which parts decide it.

    Args:
        assessment: the whole assessment.
    Source: none
    """
    parts = _listed(assessment.because)
    unchecked = f" Not checked: {_listed(assessment.unchecked)}." if assessment.unchecked else ""
    if assessment.whole is Whole.REPLACE:
        return f"Replace the cylinder: {parts} cannot be brought back."
    if assessment.whole is Whole.OPEN:
        return f"Not decided yet: {parts}."
    if not parts:
        fit = "every other part" if unchecked else "every part"
        return f"Repair by resealing: {fit} is fit for reuse.{unchecked}"
    return f"Repair: work on {parts}, and reseal.{unchecked}"


def _listed(parts: tuple[PartResult, ...]) -> str:
    return ", ".join(p.part.title.lower() for p in parts)
