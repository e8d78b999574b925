"""What each trial of a pressure test proves: oil caught, a hold, a look, drops; knows nothing of the whole test."""

from __future__ import annotations

from dataclasses import dataclass
from decimal import Decimal
from itertools import pairwise

from inspect_app.entries.job import AS_LEFT, Job
from inspect_app.tables.pressure_test import CLASSES, STEP, PressureTest, Trial
from inspect_app.trade.leakage.leakage import drops_allowed
from inspect_app.trade.leakage.slope import (
    Judged,
    Leak,
    Point,
    Result,
    Volume,
    after_settling,
    judge_leak,
    leak_from_catch,
    leak_from_readings,
)
from inspect_app.trade.measuring.amounts import Amount
from inspect_app.trade.measuring.refusal import Refusal, Sentence
from inspect_app.trade.measuring.uncertainty import expanded, resolution_u
from inspect_app.trade.measuring.units import KINDS
from inspect_app.trade.measuring.wording import counted, listed

_PERCENT, _MILLION, _SECONDS = 100.0, 1e6, 60.0
_COVERAGE = 2.0
_BOTH_ENDS = 2**0.5
"""A volume or time is the difference of two readings."""
_CLOCK_STEP_MIN = 1 / 60
MEASURES = {
    "motion": "It jerks or shudders",
    "cushions-act": "A cushion does not slow it evenly",
    "proof-cap-lasting": "A size changed for good",
    "proof-rod-lasting": "A size changed for good",
}
"""What is said where an answer fails a trial, by its record."""


@dataclass(frozen=True, slots=True)
class TrialStands:
    """One trial: whether anything was recorded, what it proves, its leakage and limit where it has them, and why."""

    trial: Trial
    done: bool = False
    result: Result | None = None
    leak: Leak | None = None
    limit: Decimal | None = None
    says: tuple[Sentence, ...] = ()


@dataclass(frozen=True, slots=True)
class LeakLimit:
    """The greatest leakage allowed, None where none is known, and where it is from or why it is not known."""

    ml_min: Decimal | None
    source: Sentence


def limit_of(job: Job, test: PressureTest) -> LeakLimit:
    """The limit for leakage past the piston that was chosen.

    Args:
        job: the job.
        test: the pressure test of the checklists.
    """
    chosen = job.steps.typed(STEP, "limit")
    if not chosen:
        return LeakLimit(None, Sentence("No limit for leakage is chosen in the set-up."))
    if chosen == "shop":
        own = job.steps.value(STEP, "limit-figure")
        whence = job.steps.typed(STEP, "limit-from") or "the shop's own"
        return LeakLimit(
            own, Sentence("{whence}", {"whence": whence}) if own else Sentence("Its figure is missing.")
        )
    bore = job.survey(AS_LEFT).length("bore")
    of_bore = test.limits.of(bore) if bore else None
    if of_bore is None:
        return LeakLimit(None, Sentence("The table has no limit for this bore; type one."))
    several = chosen == "table-multi"
    times = test.limits.several_parts_times if several else 1
    words = "{title}, seal of several parts" if several else "{title}"
    return LeakLimit(of_bore * times, Sentence(words, {"title": test.limits.title}))


def caught(trial: Trial, job: Job, test: PressureTest) -> TrialStands:
    """Oil caught at the open port over a time, against the limit.

    Args:
        trial: the trial; its records are volume, time and the step of the glass, in that order.
        job: the job.
        test: the pressure test of the checklists.
    """
    volume, time, glass = (job.steps.value(STEP, name) for name in trial.records[:3])
    if volume is None or not time:
        return _open(trial, "Oil caught or its time is missing.")
    if not glass:
        return _open(trial, "The smallest step of the measuring glass is missing.")
    leak = leak_from_catch(
        ml=float(volume),
        minutes=float(time) / _SECONDS,
        ml_uncertainty=_COVERAGE * _BOTH_ENDS * resolution_u(float(glass)),
        minutes_uncertainty=_COVERAGE * _BOTH_ENDS * resolution_u(_CLOCK_STEP_MIN),
    )
    return _against_limit(trial, leak, job, test)


def hold_points(job: Job) -> tuple[Point, ...]:
    """The readings of the hold: out of the logger's file where one was taken, else by hand.

    Args:
        job: the job.
    """
    log = job.tested.log
    if log is None:
        return tuple(
            Point(
                float(r.minutes),
                float(r.pressure.value),
                None if r.temperature is None else float(r.temperature.value),
            )
            for r in job.tested.readings
        )
    start, end = log.hold_from or Decimal(0), log.hold_to
    return tuple(
        Point(float(m), float(p), None if c is None else float(c))
        for m, p, c in log.points
        if m >= start and (end is None or m <= end)
    )


def settled_points(job: Job, test: PressureTest) -> tuple[Point, ...]:
    """The readings of the hold once it settled; none where their times cannot be.

    Args:
        job: the job.
        test: the pressure test of the checklists.
    """
    try:
        return after_settling(hold_points(job), settling_minutes=float(test.figures.settling_minutes))
    except Refusal:
        return ()


def hold(trial: Trial, job: Job, test: PressureTest) -> TrialStands:
    """Leakage out of the readings of the hold once it settled, the temperature counted, against the limit.

    Args:
        trial: the trial.
        job: the job.
        test: the pressure test of the checklists.
    """
    figures = test.figures
    oil, gauge = job.steps.value(STEP, "closed-oil"), job.steps.value(STEP, "gauge-step")
    thermometer = job.steps.value(STEP, "thermometer-step")
    if not oil:
        return _open(trial, "The oil shut in is missing in the set-up.")
    if not gauge or not thermometer:
        return _open(trial, "The smallest step of pressure gauge or thermometer is missing in the set-up.")
    volume = Volume(
        float(oil),
        float(figures.modulus_mpa),
        float(figures.expansion_millionths) / _MILLION,
        float(figures.volume_percent) / _PERCENT,
        float(figures.modulus_percent) / _PERCENT,
        float(figures.expansion_percent) / _PERCENT,
    )
    try:
        leak = leak_from_readings(
            after_settling(hold_points(job), settling_minutes=float(figures.settling_minutes)),
            volume=volume,
            pressure_uncertainty_mpa=_COVERAGE * resolution_u(float(gauge)),
            temperature_uncertainty_c=_COVERAGE * resolution_u(float(thermometer)),
        )
    except Refusal as refusal:
        return TrialStands(trial, True, Result.NOT_PROVEN, says=(refusal.sentence,))
    return _against_limit(trial, leak, job, test)


def classes(trial: Trial, job: Job, test: PressureTest) -> TrialStands:
    """The worst leak seen at the rod and elsewhere, against what passes.

    Args:
        trial: the trial; its records of a look end in -rod and -elsewhere.
        job: the job.
        test: the pressure test of the checklists.
    """
    figures, said = test.figures, []
    looks = [name for name in trial.records if name.endswith(("-rod", "-elsewhere"))]
    for name in looks:
        seen = job.steps.typed(STEP, name)
        at_rod = name.endswith("-rod")
        if not seen:
            return _open(trial, "Look at the rod and everywhere else.")
        most = figures.rod_at_most if at_rod else figures.elsewhere_at_most
        if CLASSES.index(seen) > CLASSES.index(most):
            where = "at the rod" if at_rod else "beside the rod"
            said.append(Sentence("Leak {where}: {seen}.", {"where": where, "seen": _called(seen)}))
    return TrialStands(trial, True, Result.FAIL if said else Result.PASS, says=tuple(said))


def drops(trial: Trial, job: Job, test: PressureTest) -> TrialStands:
    """Drops that fell at the rod, against what moving seals may lose over the cycles run; none counted judges nothing.

    Args:
        trial: the trial.
        job: the job.
        test: the pressure test of the checklists.
    """
    fell, cycles, packings = (job.steps.value(STEP, name) for name in ("drops", "cycles", "packings"))
    if fell is None:
        return TrialStands(trial, True, Result.PASS)
    if cycles is None or packings is None:
        return _open(trial, "Drops were counted; the cycles and the moving seals are missing.")
    allowed = drops_allowed(
        packings=int(packings), cycles=int(cycles), cycles_per_drop=test.figures.cycles_per_drop
    )
    words = Sentence(
        "{fell} in {cycles}; {allowed} allowed.",
        {
            "fell": counted(int(fell), "drop", "drops"),
            "cycles": counted(int(cycles), "cycle", "cycles"),
            "allowed": counted(allowed, "is", "are"),
        },
    )
    return TrialStands(trial, True, Result.PASS if fell <= allowed else Result.FAIL, says=(words,))


def in_order(trial: Trial, job: Job, test: PressureTest) -> TrialStands:
    """The pressures at which the stages start: the largest needs least, so that none may start before a larger one.

    Args:
        trial: the trial; its records begin with those of the stages there are, the largest first.
        job: the job.
        test: the pressure test of the checklists.
    Source: telescopic-areas
    """
    starts = [job.steps.value(STEP, name) for name in trial.records if name.startswith("stage-")]
    unread = [f"stage {n}" for n, mpa in enumerate(starts, 1) if mpa is None]
    if unread:
        return TrialStands(
            trial,
            True,
            Result.NOT_PROVEN,
            says=(
                Sentence("The pressure at which it starts is missing: {stages}.", {"stages": listed(unread)}),
            ),
        )
    read = [mpa for mpa in starts if mpa is not None]
    said = [
        Sentence(
            "Stage {smaller} starts at {less}, stage {larger} only at {more}: the larger stage sticks, or they are "
            "not in order. Let it in, and look at the gland of stage {larger}.",
            {
                "smaller": str(n + 1),
                "larger": str(n),
                "less": Amount(after, "pressure"),
                "more": Amount(before, "pressure"),
            },
        )
        for n, (before, after) in enumerate(pairwise(read), 1)
        if after < before
    ]
    return TrialStands(trial, True, Result.NOT_PROVEN if said else Result.PASS, says=tuple(said))


def leak_figures(leak: Leak, system: str) -> tuple[str, str, str]:
    """Leakage and its uncertainty to the same decimals, the uncertainty to two figures, rounded up; and their unit.

    Args:
        leak: the leakage.
        system: "metric" or "inch".

    >>> leak_figures(Leak(0.0846, 0.01602, 0.0, 20, 8), "metric")
    ('0.085', '0.017', 'ml/min')
    """
    unit, usual = KINDS["flow"].shown(system)
    off = expanded(float(unit.number(Decimal(repr(leak.expanded_uncertainty_ml_min)))), coverage=1)
    decimals = max(0, -int(off.as_tuple().exponent)) if off else usual
    value = unit.number(Decimal(repr(leak.ml_min)))
    return f"{value:.{decimals}f}", f"{off:.{decimals}f}", unit.name


def _against_limit(trial: Trial, leak: Leak, job: Job, test: PressureTest) -> TrialStands:
    limit = limit_of(job, test)
    if limit.ml_min is None:
        return TrialStands(trial, True, Result.NOT_PROVEN, leak, says=(limit.source,))
    judged: Judged = judge_leak(leak, limit_ml_min=limit.ml_min)
    said = [judged.why] if judged.why else []
    if judged.result is Result.FAIL:
        said.append(
            Sentence(
                "{leak} is more than {limit}.",
                {"leak": Amount(leak.ml_min, "flow", 1), "limit": Amount(limit.ml_min, "flow", 1)},
            )
        )
    return TrialStands(trial, True, judged.result, leak, limit.ml_min, tuple(said))


def _open(trial: Trial, words: str) -> TrialStands:
    return TrialStands(trial, True, Result.NOT_PROVEN, says=(Sentence(words),))


def _called(name: str) -> str:
    return {"wet": "wet, class I", "drops": "drops form, class II", "falling": "drops fall, class III"}.get(
        name, name
    )
