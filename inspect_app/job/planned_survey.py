"""The cylinder as planned, as a survey of its own, judged by the checks themselves like the cylinder found.

Sizes a plan knows take the place of what was read; what an operation makes good without a size of its own is
measured when it is done, and says nothing before.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from dataclasses import replace
from decimal import Decimal

from inspect_app.entries.job import Field, Gauge, Reading, Survey
from inspect_app.job.afterwards import Outcome
from inspect_app.job.assess import Assessment, assess
from inspect_app.job.checks import Remembering
from inspect_app.job.cures import to_cure
from inspect_app.job.findings import CheckResult, Finding
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
    for check_id, foreseen in PLANNED.items():
        size, result = foreseen(plan), checks.get(check_id)
        if size is None or result is None or not survey.readings.get(check_id):
            continue
        if size == foreseen(_as_found(plan)):
            continue
        errors = ((REACHES_ALL, _exact(size.expanded)),)
        gauge = Gauge(f"planned {check_id}", PLANNED_GAUGE, PLANNED_GAUGE, errors, Decimal(0), Decimal(0), "")
        gauges[gauge.id] = gauge
        readings[check_id] = {
            place: _as_will_be(reading, result, size, gauge)
            for place, reading in survey.readings[check_id].items()
        }
    unfit = {w.finding.defect for w in to_cure(assessment)}
    defects = tuple(d for d in survey.defects if d.id not in unfit or not _cured(plan, d.check, d.kind))
    return replace(
        survey, gauges=gauges, readings=readings, defects=defects, nameplate=_nameplate(survey, plan)
    )


def _as_found(plan: Plan) -> Plan:
    return replace(plan, sizes=plan.found.sizes)


def _nameplate(survey: Survey, plan: Plan) -> Mapping[str, Field]:
    if not plan.does("hone") or plan.sizes.bore is None:
        return survey.nameplate
    # the least it may come out at: a bore counts from there up
    nominal = _exact(plan.sizes.bore.least)
    return {**survey.nameplate, "bore": Field(str(nominal), nominal)}


def _exact(number: float) -> Decimal:
    return Decimal(repr(number)).quantize(STEP)


def _as_will_be(reading: Reading, result: CheckResult, size: Carried, gauge: Gauge) -> Reading:
    """A reading that comes to the planned size, at the temperature it was read at."""
    place = next((p for p in result.places if p.place == reading.place), None)
    value = _exact(size.value)
    if reading.check in KEEPS_ITS_SHAPE:
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
        key = (plan.sizes, tuple(d.id for d in state.defects), state.nameplate.get("bore"))
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
    foreseen = check.id in PLANNED and finding.characteristic in ("size", "least", "tir")
    between = bool({*(check.between or ())} & {*PLANNED}) and not plan.does(
        "new-gland", "sleeve-gland", "renew-bush"
    )
    return not foreseen and not between and _cured(plan, check.id, finding.characteristic)
