"""Judges one value of one check: which limit holds on this cylinder, and the ISO 14253-1 decision against it.

A limit typed off the maker's drawing beats the shop's, which beats the shipped one. The guard band is
the expanded uncertainty (k = 2) of the value.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace
from decimal import Decimal

from inspect_app.entries.job import Survey
from inspect_app.job.groove import limits_of_groove
from inspect_app.job.measured import sizes_of
from inspect_app.job.present import Presence, presence
from inspect_app.job.rules import kind_of, rule_sentence
from inspect_app.tables import Tables
from inspect_app.tables.cylinders import Check
from inspect_app.tables.limits import (
    LEVELS,
    AtLeast,
    AtMost,
    BySize,
    Fit,
    GradeShare,
    HousingTolerance,
    Limit,
    PerLength,
    Rule,
    ShareOfNominal,
    SizeAfter,
    Within,
)
from inspect_app.tables.operations import Operation
from inspect_app.tables.sources import Source
from inspect_app.trade.form.fits import limits_of_size, tolerance_grade_um
from inspect_app.trade.measuring.amounts import Amount
from inspect_app.trade.measuring.decision import Decision, Verdict, decide
from inspect_app.trade.measuring.refusal import UNSAID, Refusal, Sentence
from inspect_app.trade.measuring.uncertainty import expanded, u_of
from inspect_app.trade.measuring.wording import inside, listed

DRAWING = Source("drawing", Sentence("Maker's drawing, typed in for this job"), UNSAID, "read", "standard")
MM_PER_UM = Decimal("0.001")
MM_PER_M = Decimal(1000)


@dataclass(frozen=True, slots=True)
class LimitInForce:
    """A limit as it holds on this cylinder: numbers in the check's canonical unit, and where they come from.

    `rule` is the rule in words ("f8 of 63 mm"), nothing where the numbers say it all; `owner` is drawing, shop or
    shipped; `missing` says what is not known yet when there are no numbers. `u` is the standard uncertainty of a
    limit that follows from another measured size.
    """

    level: str
    lower: Decimal | None
    upper: Decimal | None
    rule: Sentence
    owner: str
    source: Source
    beyond: str
    cure: Operation | None
    missing: Sentence = UNSAID
    u: float = 0.0


@dataclass(frozen=True, slots=True)
class Mark:
    """What a limit may be narrowed to: a kind of defect, its zone, and whether a fingernail feels it."""

    defect: str = ""
    zone: str = ""
    counts_as_felt: bool = True


ANYWHERE = Mark()
"""What is judged is no defect."""


@dataclass(frozen=True, slots=True)
class Judgement:
    """A limit and the decision of ISO 14253-1 against it, None while the limit has no numbers."""

    limit: LimitInForce
    decision: Decision | None

    @property
    def verdict(self) -> Verdict:
        """The verdict; not measured while the limit has no numbers."""
        return self.decision.verdict if self.decision else Verdict.NOT_MEASURED


def nominal_of(check: Check, survey: Survey) -> Decimal | None:
    """The check's nominal size in mm, or None while it is not known.

    Args:
        check: the check.
        survey: the state of the cylinder, for the nameplate and nominals typed at a check.
    """
    if check.nominal == "ask":
        nominal = survey.nominals.get(check.id)
        return nominal.value if nominal else None
    return survey.length(check.nominal)


def _chosen(limits: Sequence[Limit], survey: Survey, mark: Mark) -> tuple[Limit, Presence] | None:
    """The limit that holds: the shop's before ours, and of each one for this zone before one for any.

    One that hangs on answers holds when they were given; while they are missing it is known that some limit
    holds and not which, so it stands without numbers.
    """
    matching = [x for x in limits if mark.counts_as_felt or not x.only_felt]
    for owner in ("shop", "shipped"):
        for wanted in dict.fromkeys((mark.zone, "")):
            for limit in matching:
                if (limit.owner, limit.zone) != (owner, wanted):
                    continue
                there = presence(limit.when, survey)
                if there is not Presence.ABSENT:
                    return limit, there
    return None


def _numbers(
    limit: Limit, check: Check, survey: Survey, tables: Tables
) -> tuple[Decimal | None, Decimal | None, Sentence]:
    """Lower and upper limit and the rule in words; none where the numbers say it all.

    Raises:
        Refusal: a sentence of what is missing or not covered.
    """
    rule, nominal = limit.rule, nominal_of(check, survey)
    if isinstance(rule, AtMost):
        return None, rule.value, UNSAID
    if isinstance(rule, AtLeast):
        return rule.value, None, UNSAID
    if isinstance(rule, Within) and not rule.from_nominal:
        return rule.low, rule.high, UNSAID
    if isinstance(rule, HousingTolerance):
        low, high, housing = limits_of_groove(check, rule, survey, tables)
        return low, high, rule_sentence(rule, check.kind, tables, housing=housing)
    words = rule_sentence(rule, kind_of(limit, check), tables, nominal)
    if isinstance(rule, PerLength):
        length = survey.length(rule.of)
        if length is None:
            raise Refusal(f"the {inside(tables.nameplate[rule.of].title)} is not known yet")
        return None, rule.at_most * length / MM_PER_M, words
    if nominal is None:
        raise Refusal("the nominal size is not known yet")
    return (*_from_nominal(rule, nominal, tables), words)


def _from_nominal(rule: Rule, nominal: Decimal, tables: Tables) -> tuple[Decimal | None, Decimal | None]:
    """Lower and upper limit of a rule on the nominal size.

    Raises:
        Refusal: a size that its table does not cover.
    """
    if isinstance(rule, Within):
        return nominal + rule.low, nominal + rule.high
    if isinstance(rule, Fit):
        size = limits_of_size(nominal_mm=nominal, fit_class=rule.fit_class, tables=tables.iso286)
        lower = size.lower_mm if rule.lower is None else nominal + rule.lower
        upper = size.upper_mm if rule.upper is None else nominal + rule.upper
        return (lower if rule.side != "upper" else None, upper if rule.side != "lower" else None)
    if isinstance(rule, GradeShare):
        grade = tolerance_grade_um(nominal_mm=nominal, grade=rule.grade, tables=tables.iso286)
        return None, grade * rule.share * MM_PER_UM
    if isinstance(rule, ShareOfNominal):
        return rule.low, min(max(rule.share * nominal, rule.least), rule.most)
    assert isinstance(rule, BySize)
    for up_to, value in rule.rows:
        if nominal <= up_to:
            return (nominal + rule.low, nominal + value) if rule.from_nominal else (None, value)
    raise Refusal(
        "the table ends at {end} and the nominal is {nominal}",
        end=Amount(rule.rows[-1][0], "length"),
        nominal=Amount(nominal, "length"),
    )


def in_force(limit: Limit, check: Check, survey: Survey, tables: Tables) -> LimitInForce:
    """A limit with its numbers for this cylinder, or with what is missing to have them.

    Args:
        limit: the limit as the file has it.
        check: the check it judges.
        survey: the state of the cylinder.
        tables: for the ISO 286 classes.
    """
    lower: Decimal | None = None
    upper: Decimal | None = None
    words, missing, u = UNSAID, UNSAID, 0.0
    try:
        if isinstance(limit.rule, SizeAfter):
            upper, u, words = _deepest(limit.rule, survey, tables)
        else:
            lower, upper, words = _numbers(limit, check, survey, tables)
    except Refusal as refusal:
        missing = refusal.sentence
    if limit.characteristic == "clearance" and lower is None and not missing:
        lower = Decimal(0)  # a shaft larger than its hole was measured wrong, or does not go in
    return LimitInForce(
        limit.level, lower, upper, words, limit.owner, limit.source, limit.beyond, limit.cure, missing, u
    )


def _deepest(rule: SizeAfter, survey: Survey, tables: Tables) -> tuple[Decimal, float, Sentence]:
    """How deep a mark may be for the size after taking it out to stay within that size's own reach.

    Taking it out moves the size on diameter by twice the depth, from the place where least is left.

    Raises:
        Refusal: a sentence of what is missing.
    """
    check = tables.cylinders[survey.cylinder].check(rule.check)
    assert check is not None  # the reader of limits refuses a check that is not there
    reach = limit_for(check, "size", "rework", survey, tables)
    limit = None
    if reach:
        limit = reach.upper if rule.side == "upper" else reach.lower
    if limit is None:
        why = reach.missing if reach else "no rework limit is written for it"
        raise Refusal("how far {what} may go is not known: {why}", what=inside(check.title), why=why)
    sizes = sizes_of(check, survey, tables)
    if not sizes:
        raise Refusal(f"{inside(check.title)} is not measured yet")
    pick = max if rule.side == "upper" else min
    worst = pick(sizes, key=lambda s: s.value)
    room = abs(limit - worst.value) if (limit > worst.value) == (rule.side == "upper") else Decimal(0)
    deepest = max(Decimal(0), (room - rule.clean_up) / 2)
    return deepest, u_of(worst.terms) / 2, rule_sentence(rule, check.kind, tables)


def limits_for(
    check: Check, characteristic: str, survey: Survey, tables: Tables, mark: Mark = ANYWHERE
) -> dict[str, LimitInForce]:
    """The limit in force on each level, by level; levels nobody wrote a limit for are absent.

    Args:
        check: the check.
        characteristic: the characteristic judged.
        survey: the state of the cylinder.
        tables: the tables.
        mark: for a defect, what it is and where.
    """
    found = ((level, limit_for(check, characteristic, level, survey, tables, mark)) for level in LEVELS)
    return {level: limit for level, limit in found if limit}


def limit_for(
    check: Check, characteristic: str, level: str, survey: Survey, tables: Tables, mark: Mark = ANYWHERE
) -> LimitInForce | None:
    """The limit in force on one level, None where nobody wrote one.

    Args:
        check: the check.
        characteristic: the characteristic judged.
        level: one of LEVELS.
        survey: the state of the cylinder.
        tables: the tables.
        mark: for a defect, what it is and where.
    """
    written = _written(check, characteristic, level, survey, tables, mark)
    if level != "reuse" or mark.defect:
        return written
    drawn = next(
        (d for d in survey.limits if (d.check, d.characteristic) == (check.id, characteristic)), None
    )
    if drawn is None:
        return written
    return LimitInForce(
        level=level,
        lower=drawn.lower,
        upper=drawn.upper,
        rule=Sentence(drawn.source),
        owner="drawing",
        source=DRAWING,
        beyond=written.beyond if written else "replace",
        cure=written.cure if written else None,
    )


def _written(
    check: Check, characteristic: str, level: str, survey: Survey, tables: Tables, mark: Mark
) -> LimitInForce | None:
    """The shop's or the shipped limit that holds."""
    limits = tables.limits_at.get((check.id, characteristic, level, mark.defect), ())
    chosen = _chosen(limits, survey, mark)
    if chosen is None:
        return None
    limit, there = chosen
    found = in_force(limit, check, survey, tables)
    if there is Presence.UNANSWERED:
        return replace(found, lower=None, upper=None, missing=_unanswered(limit, survey, tables))
    return found


def _unanswered(limit: Limit, survey: Survey, tables: Tables) -> Sentence:
    cylinder = tables.cylinders[survey.cylinder]
    asked = [q.title for name in limit.when if (q := cylinder.question(name)) and name not in survey.answers]
    return Sentence(f"first answer under What is there: {listed(asked)}")


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
    both = expanded(u, limit.u)
    decision = decide(value=value, lower=limit.lower, upper=limit.upper, expanded_uncertainty=both)
    return Judgement(limit, decision)
