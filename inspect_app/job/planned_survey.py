"""The cylinder as planned, as a survey of its own, judged by the checks themselves like the cylinder found.

Sizes a plan knows take the place of what was read; what an operation makes good without a size of its own is
measured when it is done, and says nothing before.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from dataclasses import replace
from decimal import Decimal

from inspect_app.entries.job import Field, Gauge, Reading, Survey
from inspect_app.job.assess import Assessment, assess
from inspect_app.job.checks import Remembering
from inspect_app.job.cures import to_cure
from inspect_app.job.findings import CheckResult, Finding
from inspect_app.job.outcome import Outcome
from inspect_app.job.planned import Plan
from inspect_app.job.words import finding_sentence
from inspect_app.tables import Tables
from inspect_app.trade.measuring.carried import Carried
from inspect_app.trade.measuring.decision import Verdict
from inspect_app.trade.measuring.refusal import Sentence

STEP = Decimal("0.0001")
REACHES_ALL = Decimal(100_000)
PLANNED_GAUGE = "planned"
"""The kind of gauge a foreseen size is read with: nothing was read."""

PLANNED: Mapping[str, Callable[[Plan], Carried | None]] = {
    "bore-diameter": lambda plan: plan.sizes.bore,
    "rod-diameter": lambda plan: plan.sizes.rod,
    "rod-chrome": lambda plan: plan.sizes.chrome,
    "rod-runout": lambda plan: plan.sizes.runout,
    "piston-diameter": lambda plan: plan.sizes.land,
}
"""Checks whose readings a plan foresees, and what it foresees for them."""

KEEPS_ITS_SHAPE = ("rod-runout",)
"""Checks of which the greatest reading is foreseen: a rod pressed straighter keeps the shape of its bow."""


def as_planned(survey: Survey, assessment: Assessment, plan: Plan) -> Survey:
    """The state of the cylinder when the plan is done, as far as it is foreseen.

    A honed bore has its own size for nominal: what fits it is made for that.

    Args:
        survey: the state as found.
        assessment: how that was judged, for what its readings come to.
        plan: the plan.
    """
    checks = {c.check.id: c for p in assessment.parts for c in p.checks}
    gauges, readings = dict(survey.gauges), dict(survey.readings)
    for check_id, size in foreseen_by(plan).items():
        result = checks.get(check_id)
        if result is None or not survey.readings.get(check_id):
            continue
        errors = ((REACHES_ALL, _exact(size.expanded)),)
        gauge = Gauge(f"planned {check_id}", PLANNED_GAUGE, PLANNED_GAUGE, errors, Decimal(0), Decimal(0), "")
        gauges[gauge.id] = gauge
        swing = check_id in {p.found.check(role) for p in plan.whole for role in KEEPS_ITS_SHAPE}
        readings[check_id] = {
            place: _as_will_be(reading, result, size, gauge, keeps_shape=swing)
            for place, reading in survey.readings[check_id].items()
        }
    unfit = {w.finding.defect for w in to_cure(assessment)}
    defects = tuple(d for d in survey.defects if d.id not in unfit or not _cured(plan, d.check, d.kind))
    return replace(
        survey, gauges=gauges, readings=readings, defects=defects, nameplate=_nameplate(survey, plan)
    )


def foreseen_by(plan: Plan) -> dict[str, Carried]:
    """The sizes a plan changes and foresees, by the check that measures them.

    Args:
        plan: the plan.
    """
    return {
        one.found.check(role): size
        for one in plan.whole
        for role, foreseen in PLANNED.items()
        if (size := foreseen(one)) and size != foreseen(replace(one, sizes=one.found.sizes))
    }


def _nameplate(survey: Survey, plan: Plan) -> Mapping[str, Field]:
    honed = [one for one in plan.whole if one.does("hone") and one.sizes.bore]
    # the least it may come out at: a bore counts from there up
    nominal = {one.found.bore_field: _exact(one.sizes.bore.least) for one in honed if one.sizes.bore}
    return {**survey.nameplate, **{name: Field(str(mm), mm) for name, mm in nominal.items()}}


def _exact(number: float) -> Decimal:
    return Decimal(repr(number)).quantize(STEP)


def _as_will_be(
    reading: Reading, result: CheckResult, size: Carried, gauge: Gauge, *, keeps_shape: bool
) -> Reading:
    """A reading that comes to the planned size, at the temperature it was read at."""
    place = next((p for p in result.places if p.place == reading.place), None)
    value = _exact(size.value)
    if keeps_shape:
        most = max(p.sized.value for p in result.places if p.sized)
        value = (reading.value * value / most).quantize(STEP)
        return reading._replace(value=value, gauge=gauge.id, step=Decimal(0))
    if place and place.sized and place.sized.corrected and place.sized.value:
        value = (value * reading.value / place.sized.value).quantize(STEP)
    return reading._replace(value=value, gauge=gauge.id, step=Decimal(0))


def _cured(plan: Plan, check: str, name: str) -> bool:
    return any(plan.rules.by_id[o].does_cure(check, name) for o in plan.operations)


def judged(survey: Survey, assessment: Assessment, tables: Tables) -> Callable[[Plan], Sequence[Outcome]]:
    """Judges a plan by the checks themselves: what they would find beyond a limit, or can no longer prove.

    Args:
        survey: the state as found.
        assessment: how that was judged.
        tables: the tables that judge.
    """
    before = {_key(f): f.verdict for f in _findings(assessment)}
    # many ways differ only in work that leaves every size alone: each state is judged once
    known: dict[tuple[object, ...], Assessment] = {}
    check_by_check = Remembering()

    def judge(plan: Plan) -> Sequence[Outcome]:
        state = as_planned(survey, assessment, plan)
        sizes = tuple((at, one.sizes) for at, one in plan.each.items())
        bores = tuple(state.nameplate.get(one.found.bore_field) for one in plan.whole)
        key = (plan.sizes, sizes, tuple(d.id for d in state.defects), bores)
        if key not in known:
            known[key] = assess(state, tables, check_by_check)
        after = known[key]
        return [
            Outcome("check", _afterwards(f), f.verdict)
            for f in _findings(after)
            if f.verdict in (Verdict.BEYOND, Verdict.UNCLEAR)
            and not _made_good(plan, f)
            and (f.verdict is Verdict.BEYOND or before.get(_key(f)) is Verdict.WITHIN)
        ]

    return judge


def _afterwards(finding: Finding) -> Sentence:
    return Sentence(
        "{check}: {found} After the work", {"check": finding.check.title, "found": finding_sentence(finding)}
    )


def _key(finding: Finding) -> tuple[str, str, str]:
    return finding.check.id, finding.characteristic, finding.defect


def _findings(assessment: Assessment) -> list[Finding]:
    return [f for p in assessment.parts for c in p.checks for f in c.findings]


def _made_good(plan: Plan, finding: Finding) -> bool:
    """Whether an operation makes it good and is measured by itself afterwards, or a new piece takes its place."""
    check = finding.check
    renewed = {part for o in plan.operations for part in plan.rules.by_id[o].renews}
    if check.part in renewed and not check.between:
        return True
    planned = {one.found.check(role): one for one in plan.whole for role in PLANNED}
    foreseen = check.id in planned and finding.characteristic in ("size", "least", "tir")
    between = any(
        not planned[mate].does("new-gland", "sleeve-gland", "renew-bush")
        for mate in check.between or ()
        if mate in planned
    )
    return not foreseen and not between and _cured(plan, check.id, finding.characteristic)
