"""Judges one value of one check: which limit holds on this cylinder, and the ISO 14253-1 decision against it.

A limit typed off the maker's drawing beats the shop's, which beats the shipped one. The guard band is
the expanded uncertainty (k = 2) of the value.
"""

from __future__ import annotations

from dataclasses import dataclass
from decimal import Decimal

from inspect_app.job.groove import limits_of_groove
from inspect_app.job.job import Gauge, Job, Reading
from inspect_app.tables import Tables
from inspect_app.tables.cylinders import Check
from inspect_app.tables.limits import (
    AtLeast,
    AtMost,
    Fit,
    GradeShare,
    HousingTolerance,
    Limit,
    PerLength,
    ShareOfNominal,
    SizeAfter,
    Within,
)
from inspect_app.tables.sources import Source
from inspect_app.trade.decision import Decision, Verdict, decide
from inspect_app.trade.fits import SizeLimits, limits_of_size, tolerance_grade_um
from inspect_app.trade.refusal import Refusal
from inspect_app.trade.uncertainty import GaugeError, expanded, standard_uncertainty

DRAWING = Source("drawing", "Maker's drawing, typed in for this job", "", "read", "standard")
MM_PER_UM = Decimal("0.001")
MM_PER_M = Decimal(1000)


@dataclass(frozen=True, slots=True)
class LimitInForce:
    """A limit as it holds on this cylinder: numbers in the check's canonical unit, and where they come from.

    `rule` is the rule in words ("f8, lower limit only"); `owner` is drawing, shop or shipped; `missing`
    says what the nameplate lacks when there are no numbers yet.
    """

    level: str
    lower: Decimal | None
    upper: Decimal | None
    rule: str
    owner: str
    source: Source
    beyond: str
    cure: str
    missing: str = ""


@dataclass(frozen=True, slots=True)
class Judgement:
    """A limit and the decision of ISO 14253-1 against it, None while the limit has no numbers."""

    limit: LimitInForce
    decision: Decision | None

    @property
    def verdict(self) -> Verdict:
        """The verdict; not measured while the limit has no numbers."""
        return self.decision.verdict if self.decision else Verdict.NOT_MEASURED


NOMINALS = {
    "bore": "the bore",
    "rod": "the rod diameter",
    "stroke": "the stroke",
    "outside_diameter": "the barrel's outside diameter",
    "pin": "the pin diameter",
    "support_span": "the distance between the supports",
}


def nominal_of(check: Check, job: Job) -> Decimal | None:
    """The check's nominal size in mm, or None while it is not known.

    Args:
        check: the check.
        job: the job, for the nameplate and nominals typed at a check.
    Source: none
    """
    if check.nominal == "ask":
        nominal = job.nominals.get(check.id)
        return nominal.value if nominal else None
    return job.length(check.nominal)


def _chosen(
    limits: tuple[Limit, ...], characteristic: str, level: str, defect: str, zone: str
) -> Limit | None:
    """The limit that holds: the shop's before ours, and of each one for this zone before one for any."""
    matching = [x for x in limits if (x.characteristic, x.level, x.defect) == (characteristic, level, defect)]
    for owner in ("shop", "shipped"):
        for wanted in (zone, ""):
            for limit in matching:
                if (limit.owner, limit.zone) == (owner, wanted):
                    return limit
    return None


def _side(lower: Decimal, upper: Decimal, side: str) -> tuple[Decimal | None, Decimal | None]:
    return (lower if side != "upper" else None, upper if side != "lower" else None)


def _from_nominal(rule: Fit, nominal: Decimal, size: SizeLimits) -> tuple[Decimal, Decimal, str]:
    """A class of which one limit or both are counted from the nominal instead."""
    lower = size.lower_mm if rule.lower is None else nominal + rule.lower
    upper = size.upper_mm if rule.upper is None else nominal + rule.upper
    ends = (("down to", rule.lower), ("up to", rule.upper))
    return (
        lower,
        upper,
        f"{nominal} {rule.fit_class}, but " + ", ".join(f"{w} {x:+} mm" for w, x in ends if x is not None),
    )


def _numbers(
    limit: Limit, check: Check, job: Job, tables: Tables
) -> tuple[Decimal | None, Decimal | None, str]:
    """Lower and upper limit and the rule in words.

    Raises:
        Refusal: a sentence of what is missing or not covered.
    """
    rule, nominal = limit.rule, nominal_of(check, job)
    if isinstance(rule, AtMost):
        return None, rule.value, "at most"
    if isinstance(rule, AtLeast):
        return rule.value, None, "at least"
    if isinstance(rule, Within) and not rule.from_nominal:
        return rule.low, rule.high, "within"
    if isinstance(rule, PerLength):
        length = job.length(rule.of)
        if length is None:
            raise Refusal(f"{NOMINALS.get(rule.of, rule.of)} is not known yet")
        return None, rule.at_most * length / MM_PER_M, f"{rule.at_most} mm per metre of {NOMINALS[rule.of]}"
    if isinstance(rule, HousingTolerance):
        return limits_of_groove(check, rule, job, tables)
    if nominal is None:
        raise Refusal("the nominal size is not known yet")
    if isinstance(rule, Within):
        return nominal + rule.low, nominal + rule.high, f"nominal {rule.low:+} to {rule.high:+} mm"
    if isinstance(rule, Fit):
        size = limits_of_size(nominal_mm=nominal, fit_class=rule.fit_class, tables=tables.iso286)
        if rule.lower is not None or rule.upper is not None:
            return _from_nominal(rule, nominal, size)
        words = rule.fit_class if rule.side == "both" else f"{rule.fit_class}, {rule.side} limit only"
        return (*_side(size.lower_mm, size.upper_mm, rule.side), f"{nominal} {words}")
    if isinstance(rule, GradeShare):
        grade = tolerance_grade_um(nominal_mm=nominal, grade=rule.grade, tables=tables.iso286)
        share = "" if rule.share == 1 else f"{rule.share} of "
        return None, grade * rule.share * MM_PER_UM, f"{share}IT{rule.grade} of {nominal} mm"
    if isinstance(rule, ShareOfNominal):
        most = min(max(rule.share * nominal, rule.least), rule.most)
        return rule.low, most, f"{rule.share * 100:f} % of {nominal} mm"
    if isinstance(rule, SizeAfter):
        raise Refusal("the size after the work is not computed yet")
    for up_to, value in rule.rows:
        if nominal <= up_to:
            low, high = (nominal + rule.low, nominal + value) if rule.from_nominal else (None, value)
            return low, high, f"up to Ø{up_to} mm"
    raise Refusal(f"the table ends at {rule.rows[-1][0]} mm and the nominal is {nominal} mm")


def in_force(limit: Limit, check: Check, job: Job, tables: Tables) -> LimitInForce:
    """A limit with its numbers for this cylinder, or with what is missing to have them.

    Args:
        limit: the limit as the file has it.
        check: the check it judges.
        job: the job.
        tables: for the ISO 286 classes.
    Source: none
    """
    lower: Decimal | None = None
    upper: Decimal | None = None
    words, missing = "", ""
    try:
        lower, upper, words = _numbers(limit, check, job, tables)
    except Refusal as refusal:
        missing = str(refusal)
    return LimitInForce(
        limit.level, lower, upper, words, limit.owner, limit.source, limit.beyond, limit.cure, missing
    )


def limits_for(
    check: Check, characteristic: str, job: Job, tables: Tables, defect: str = "", zone: str = ""
) -> dict[str, LimitInForce]:
    """The limit in force on each level, by level; levels nobody wrote a limit for are absent.

    Args:
        check: the check.
        characteristic: the characteristic judged.
        job: the job.
        tables: the tables.
        defect: the kind of defect, "" for a measured characteristic.
        zone: where the defect sits, "" if that does not matter.
    Source: none
    """
    found = {}
    for level in ("reuse", "new", "rework"):
        limit = _chosen(tables.limits_of.get(check.id, ()), characteristic, level, defect, zone)
        if limit:
            found[level] = in_force(limit, check, job, tables)
    drawn = next((d for d in job.limits if (d.check, d.characteristic) == (check.id, characteristic)), None)
    if drawn and not defect:
        before = found.get("reuse")
        found["reuse"] = LimitInForce(
            level="reuse",
            lower=drawn.lower,
            upper=drawn.upper,
            rule=drawn.source,
            owner="drawing",
            source=DRAWING,
            beyond=before.beyond if before else "replace",
            cure=before.cure if before else "",
        )
    return found


def gauge_error(gauge: Gauge, value: Decimal) -> GaugeError:
    """What a gauge may be wrong by at this reading: the first row of its table that reaches so far.

    Args:
        gauge: the gauge as it was when read.
        value: the reading, canonical unit.
    Source: none
    """
    fixed = next((e for up_to, e in gauge.errors if abs(value) <= up_to), gauge.errors[-1][1])
    return GaugeError(fixed=fixed, share=gauge.share, step=gauge.step)


def reading_u(reading: Reading, job: Job) -> float:
    """The standard uncertainty of one reading, canonical unit.

    Args:
        reading: the reading.
        job: the job, for the gauge that took it.
    Source: gum
    """
    gauge = job.gauges.get(reading.gauge)
    return standard_uncertainty(reading.value, gauge_error(gauge, reading.value)) if gauge else 0.0


def judge(value: Decimal | None, u: float, limit: LimitInForce) -> Judgement:
    """One value against one limit.

    Args:
        value: the value, None if it was not measured.
        u: its standard uncertainty.
        limit: the limit in force.
    Source: iso-14253-1
    """
    if limit.missing:
        return Judgement(limit, None)
    decision = decide(value=value, lower=limit.lower, upper=limit.upper, expanded_uncertainty=expanded(u))
    return Judgement(limit, decision)
