"""The pressure test as it stands: its pressures and energy, each trial's result, and what all of it proves."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace
from decimal import Decimal

from inspect_app.entries.job import AS_LEFT, Job
from inspect_app.job.leaking import (
    MEASURES,
    TrialStands,
    caught,
    classes,
    drops,
    hold,
    hold_points,
    in_order,
    limit_of,
    settled_points,
)
from inspect_app.job.output import held_l, moves_of
from inspect_app.job.stages import STAGES
from inspect_app.tables import Tables
from inspect_app.tables.pressure_test import (
    DROPS,
    HOLD,
    LEAK,
    LOOK,
    MOST_STAGES,
    ORDER,
    STEP,
    Figures,
    PressureTest,
    Trial,
    stage_start,
)
from inspect_app.trade.leakage.slope import Point, Result
from inspect_app.trade.measuring.amounts import Amount
from inspect_app.trade.measuring.refusal import Refusal, Sentence
from inspect_app.trade.measuring.wording import listed
from inspect_app.trade.strength.compressed_oil import gas_energy_j, oil_energy_j, squeezed_gas_l

_PERCENT = Decimal(100)
BROUGHT_BACK_BY_LOAD = ("rod", "stages")
"""Cylinders that no oil brings back, by what the oil presses on."""
_PASCAL = Decimal("0.000001")
"""In MPa, finer than any gauge: 3000 psi half as much again and 4500 psi differ by less, as each was rounded."""


@dataclass(frozen=True, slots=True)
class Pressures:
    """The pressures of a test, MPa: rated and proof as typed or as proposed, low, and the most of the relief valve.

    `proposed` says that nobody typed the proof pressure. None while neither plate nor test says the rating.
    """

    rated: Decimal | None
    proof: Decimal | None
    low: Decimal
    relief: Decimal | None
    proposed: bool

    def of(self, name: str) -> Decimal | None:
        """The pressure of a trial by its name in the table, None for none.

        Args:
            name: of PRESSURES.
        """
        return {"low": self.low, "rated": self.rated, "proof": self.proof}.get(name)


@dataclass(frozen=True, slots=True)
class Energy:
    """What is let go when a part gives way at proof pressure: by the oil, and by air where it was not bled, J."""

    oil_l: float
    oil_j: float
    air_percent: Decimal
    air_j: float


@dataclass(frozen=True, slots=True)
class WholeTest:
    """A pressure test: its trials as they stand and what they prove together.

    `curve` are the readings there are, `hold` those of the hold, `settled` those that are judged.
    """

    pressures: Pressures
    energy: Energy | None
    trials: tuple[TrialStands, ...]
    curve: tuple[Point, ...]
    hold: tuple[Point, ...]
    settled: tuple[Point, ...]
    result: Result
    why: tuple[Sentence, ...]

    @property
    def begun(self) -> bool:
        """Whether anything was recorded."""
        return any(t.done for t in self.trials)


def pressures_of(job: Job, tables: Tables) -> Pressures:
    """The pressures of a job's test.

    Args:
        job: the job.
        tables: its tables.
    """
    figures, survey = tables.pressure_test.figures, job.survey(AS_LEFT)
    rated = job.steps.value(STEP, "rated") or survey.length("rated_pressure")
    typed = job.steps.value(STEP, "proof")
    proof = typed or (rated * figures.proof_over_rated if rated else None)
    bore = survey.length("bore")
    small = bore is not None and bore <= figures.small_bore_mm
    return Pressures(
        rated,
        proof,
        figures.low_small_bore_mpa if small else figures.low_mpa,
        proof * figures.relief_over_proof if proof else None,
        typed is None,
    )


def energy_of(job: Job, tables: Tables) -> Energy | None:
    """What the test stores at proof pressure, None while size or rating is not known.

    Args:
        job: the job.
        tables: its tables.
    """
    figures, proof = tables.pressure_test.figures, pressures_of(job, tables).proof
    volume_l = held_l(tables.cylinders[job.cylinder], job.survey(AS_LEFT))
    if volume_l is None or not proof:
        return None
    try:
        oil_j = oil_energy_j(
            volume_l=volume_l, pressure_mpa=float(proof), bulk_modulus_mpa=float(figures.modulus_mpa)
        )
        free_l = volume_l * float(figures.air_percent / _PERCENT)
        squeezed_l = squeezed_gas_l(free_l=free_l, pressure_mpa=float(proof))
        air_j = gas_energy_j(volume_l=squeezed_l, pressure_mpa=float(proof))
    except Refusal:
        return None  # a pressure that cannot be is said where it was typed
    return Energy(volume_l, oil_j, figures.air_percent, air_j)


def kinds_of(cylinder: str, tables: Tables) -> tuple[str, ...]:
    """The kinds of cylinder a checklist measures, ids of positions.toml.

    Args:
        cylinder: the checklist's id.
        tables: the tables.
    """
    return tuple(k.id for k in tables.positions.kinds.values() if k.checklist == cylinder)


def trials_of(job: Job, tables: Tables) -> tuple[Trial, ...]:
    """The trials of a job's cylinder.

    Args:
        job: the job.
        tables: its tables.
    """
    survey, areas = job.survey(AS_LEFT), tables.cylinders[job.cylinder].areas
    stages = int(survey.answers[STAGES].text) if STAGES in survey.answers else MOST_STAGES
    left_out = {stage_start(n) for n in range(stages + 1, MOST_STAGES + 1)}
    if areas in BROUGHT_BACK_BY_LOAD:
        left_out.add("start-back")
    return tuple(
        replace(trial, records=tuple(r for r in trial.records if r not in left_out))
        for trial in tables.pressure_test.trials_of(kinds_of(job.cylinder, tables))
    )


def whole_test(job: Job, tables: Tables) -> WholeTest:
    """A job's pressure test as it stands.

    Args:
        job: the job.
        tables: its tables.
    """
    pressures = pressures_of(job, tables)
    trials = tuple(_stands(trial, job, tables.pressure_test, pressures) for trial in trials_of(job, tables))
    result, why = _together(trials)
    log = job.tested.log
    curve = [(float(m), float(p), None if c is None else float(c)) for m, p, c in log.points] if log else []
    by_hand = [(float(r.minutes), float(r.pressure.value), None) for r in job.tested.readings]
    points = tuple(Point(*p) for p in curve or by_hand)
    settled = settled_points(job, tables.pressure_test)
    energy, held = energy_of(job, tables), hold_points(job)
    return WholeTest(pressures, energy, trials, points, held, settled, result, tuple(why))


def _stands(trial: Trial, job: Job, test: PressureTest, pressures: Pressures) -> TrialStands:
    """One trial: what its records and readings prove."""
    typed = {name: job.steps.typed(STEP, name) for name in trial.records}
    done = any(typed.values()) or (trial.judged == HOLD and bool(hold_points(job)))
    if not done:
        return TrialStands(trial)
    bad = [name for name, answers in trial.wrong.items() if typed.get(name) in answers]
    if bad:
        return TrialStands(trial, True, Result.FAIL, says=(Sentence("{title}.", {"title": _wrong(bad)}),))
    judges = {LEAK: caught, HOLD: hold, LOOK: classes, DROPS: drops, ORDER: in_order}
    judge = judges.get(trial.judged)
    stands = judge(trial, job, test) if judge else TrialStands(trial, True, Result.PASS)
    return _at_pressure(stands, job, pressures, test.figures)


def _wrong(names: Sequence[str]) -> str:
    return ", ".join(MEASURES.get(name, name) for name in names)


def _at_pressure(stands: TrialStands, job: Job, pressures: Pressures, figures: Figures) -> TrialStands:
    """A proof that did not reach its pressure proves nothing of it."""
    record = next((n for n in stands.trial.records if n.endswith("-reached")), "")
    if not record or stands.result is Result.FAIL:
        return stands
    reached, wanted = job.steps.value(STEP, record), pressures.proof
    if reached is None or wanted is None:
        return TrialStands(
            stands.trial, True, Result.NOT_PROVEN, says=(Sentence("The pressure reached is missing."),)
        )
    if reached.quantize(_PASCAL) < wanted.quantize(_PASCAL):
        words = Sentence(
            "{reached} is below the proof pressure of {wanted}.",
            {"reached": Amount(reached, "pressure"), "wanted": Amount(wanted, "pressure")},
        )
        return TrialStands(stands.trial, True, Result.NOT_PROVEN, says=(words,))
    return stands


def _together(trials: Sequence[TrialStands]) -> tuple[Result, list[Sentence]]:
    """What all trials prove together, and what speaks against a pass."""
    failed = [t for t in trials if t.result is Result.FAIL]
    doubtful = [t for t in trials if t.result is Result.NOT_PROVEN]
    undone = [t.trial.title for t in trials if not t.done and not t.trial.optional]
    why = [
        Sentence("{trial}: {says}", {"trial": t.trial.title, "says": said})
        for t in (*failed, *doubtful)
        for said in t.says
    ]
    if undone:
        why.append(Sentence("Not done: {trials}.", {"trials": listed(undone)}))
    if failed:
        return Result.FAIL, why
    return (Result.NOT_PROVEN, why) if doubtful or undone else (Result.PASS, [])


def friction_words(job: Job, tables: Tables) -> tuple[Sentence, ...]:
    """What the pressures at which it starts say of its friction; nothing while they are not known.

    Args:
        job: the job.
        tables: its tables.
    """
    moves = list(moves_of(tables.cylinders[job.cylinder], job.survey(AS_LEFT)).values())
    starts = [(f"stage {n} out", stage_start(n), m.out_mm2) for n, m in enumerate(moves, 1)]
    if len({(m.out_mm2, m.back_mm2) for m in moves}) == 1:
        # of two unlike rods nobody says which way out is
        starts += [("out", "start-out", moves[0].out_mm2), ("back", "start-back", moves[0].back_mm2)]
    said = []
    for way, record, area_mm2 in starts:
        pressure = job.steps.value(STEP, record)
        if pressure is None or not area_mm2:
            continue
        friction = Amount(float(pressure) * area_mm2, "force")
        words = f"It starts {way} at {{pressure}}: friction {{friction}}."
        said.append(Sentence(words, {"pressure": Amount(pressure, "pressure"), "friction": friction}))
    return tuple(said)


# ---- what is missing


def what_is_missing(job: Job, tables: Tables) -> tuple[Sentence, ...]:
    """What keeps the pressure test from being closed: a fail, what is not proven, what was not done.

    Args:
        job: the job.
        tables: its tables.
    """
    stands = whole_test(job, tables)
    if not stands.begun:
        return (Sentence("The pressure test is not begun."),)
    if stands.result is Result.PASS:
        return ()
    return (Sentence(f"The pressure test: {stands.result.value}."), *stands.why)


def limit_sentence(job: Job, tables: Tables) -> Sentence:
    """The limit for leakage, past the piston where there is one, and where it is from.

    Args:
        job: the job.
        tables: its tables.
    """
    limit = limit_of(job, tables.pressure_test)
    if limit.ml_min is None:
        return limit.source
    past = "" if tables.cylinders[job.cylinder].areas in BROUGHT_BACK_BY_LOAD else " past the piston"
    words = f"Leakage{past} at most {{limit}}: {{source}}."
    return Sentence(words, {"limit": Amount(limit.ml_min, "flow", 1), "source": limit.source})
