"""The pressure test: its trials, its limits, and what its readings rest on: checklists/pressure_test.toml."""

from __future__ import annotations

from collections.abc import Collection, Mapping
from dataclasses import dataclass, field, replace
from decimal import Decimal, InvalidOperation
from typing import Any

from inspect_app.tables.blocks import WordLists, block_from
from inspect_app.tables.faults import Reader, allowed_words
from inspect_app.tables.steps import Step

FILE = "pressure_test.toml"
STEP = "pressure-test"
"""The step of the job that records it."""

NO_PRESSURE, LOW, RATED, PROOF = PRESSURES = ("none", "low", "rated", "proof")
LEAK, HOLD, LOOK, DROPS, ORDER, STANDS = JUDGED = ("leak", "hold", "look", "drops", "order", "none")
MOST_STAGES = 6
CLASSES = ("dry", "wet", "drops", "falling")
"""Classes of a leak by look, the better first; what each is called stands in steps.toml."""


def stage_start(stage: int) -> str:
    """The record of the pressure at which a stage starts.

    Args:
        stage: its number, the largest is 1.
    """
    return f"stage-{stage}-start"


@dataclass(frozen=True, slots=True)
class Figures:
    """What the test is judged by and what its readings rest on, as the head of the file says it."""

    proof_over_rated: Decimal
    relief_over_proof: Decimal
    low_mpa: Decimal
    low_small_bore_mpa: Decimal
    small_bore_mm: Decimal
    settling_minutes: Decimal
    modulus_mpa: Decimal
    modulus_percent: Decimal
    expansion_millionths: Decimal
    expansion_percent: Decimal
    volume_percent: Decimal
    air_percent: Decimal
    rod_at_most: str
    elsewhere_at_most: str
    cycles_per_drop: int
    sources: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class Limits:
    """The greatest leakage past a piston by bore, ml/min, as written; so many times it for seals of several parts."""

    source: str
    title: str
    several_parts_times: int
    bores_mm: tuple[str, ...]
    ml_min: tuple[str, ...]

    def of(self, bore_mm: Decimal) -> Decimal | None:
        """The limit of a bore: that of its row or the next smaller one; None outside the table.

        Args:
            bore_mm: the bore, mm.
        """
        rows = [(Decimal(b), Decimal(q)) for b, q in zip(self.bores_mm, self.ml_min, strict=True)]
        if not rows[0][0] <= bore_mm <= rows[-1][0]:
            return None
        return max((b, q) for b, q in rows if b <= bore_mm)[1]


@dataclass(frozen=True, slots=True)
class Otherwise:
    """What is said of a trial to some kinds of cylinder instead; `without` are records it does not have there."""

    kinds: tuple[str, ...]
    title: str = ""
    does: tuple[str, ...] = ()
    without: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True)
class Trial:
    """One trial of the test: what is done and recorded, at which pressure, how it is judged, on which cylinders.

    `pressure` is of PRESSURES, `judged` of JUDGED; `records` are of the step's. `wrong` are answers that fail it.
    """

    id: str
    title: str
    pressure: str
    does: tuple[str, ...]
    judged: str
    records: tuple[str, ...] = ()
    only_for: tuple[str, ...] = ()
    not_for: tuple[str, ...] = ()
    optional: bool = False
    wrong: WordLists = field(default_factory=dict)
    otherwise: tuple[Otherwise, ...] = ()

    def on(self, kinds: Collection[str]) -> Trial:
        """The trial as it is on some kinds of cylinder."""
        here = next((o for o in self.otherwise if {*o.kinds} & {*kinds}), None)
        if here is None:
            return self
        records = tuple(r for r in self.records if r not in here.without)
        return replace(self, title=here.title or self.title, does=here.does or self.does, records=records)


@dataclass(frozen=True, slots=True)
class PressureTest:
    """Everything pressure_test.toml says."""

    figures: Figures
    limits: Limits
    trials: tuple[Trial, ...]

    def trials_of(self, kinds: Collection[str]) -> tuple[Trial, ...]:
        """The trials of a cylinder.

        Args:
            kinds: the kinds it is, ids of positions.toml.
        """
        here = set(kinds)
        return tuple(
            t.on(here)
            for t in self.trials
            if (not t.only_for or here & {*t.only_for}) and not here & {*t.not_for}
        )


def load_pressure_test(
    reader: Reader, sources: Collection[str], kinds: Collection[str], steps: Mapping[str, Step]
) -> PressureTest | None:
    """The pressure test; None, with a fault noted, where the file cannot be used.

    Args:
        reader: the checklists folder being read; faults are noted in it.
        sources: keys of the known sources.
        kinds: ids of the kinds of cylinders.
        steps: the steps of a job, for what the test records.
    """
    content = reader.toml(FILE)
    if not content:
        return None
    reader.known_keys(FILE, content, "figures", "limits", "trial")
    figures = block_from(reader, FILE, "figures", content.get("figures", {}), Figures)
    limits = _limits(reader, content.get("limits", {}), sources)
    step = steps.get(STEP)
    if step is None:
        reader.fault(FILE, "step", f"steps.toml has no step {STEP} that would record the test; add it.")
    trials: dict[str, Trial] = {}
    for n, block in enumerate(reader.blocks(FILE, content, "trial"), 1):
        where = f"trial {block.get('id') or n}"
        plain = {key: value for key, value in block.items() if key != "otherwise"}
        trial = block_from(reader, FILE, where, plain, Trial)
        if trial is None:
            continue
        inner = reader.blocks(FILE, block, "otherwise")
        said = [block_from(reader, FILE, f"{where}, otherwise", one, Otherwise) for one in inner]
        trial = replace(trial, otherwise=tuple(o for o in said if o))
        if trial.id in trials:
            reader.fault(FILE, where, "stands twice; rename one.")
        if step:
            _check(reader, where, trial, kinds, step)
        trials[trial.id] = trial
    if figures is None:
        return None
    for key in figures.sources:
        if key not in sources:
            reader.fault(FILE, "figures.sources", allowed_words(key, sources))
    for name in (figures.rod_at_most, figures.elsewhere_at_most):
        if name not in CLASSES:
            reader.fault(FILE, "figures", allowed_words(name, CLASSES))
    return PressureTest(figures, limits, tuple(trials.values())) if limits else None


def _limits(reader: Reader, block: Mapping[str, Any], sources: Collection[str]) -> Limits | None:
    limits = block_from(reader, FILE, "limits", block, Limits)
    if limits is None:
        return None
    if limits.source not in sources:
        reader.fault(FILE, "limits.source", allowed_words(limits.source, sources))
    try:
        bores = [Decimal(b) for b in limits.bores_mm]
        leaks = [Decimal(q) for q in limits.ml_min]
    except InvalidOperation:
        reader.fault(FILE, "limits", "has something that is no number; write them like 0.20, in quotes.")
        return None
    if not bores or len(bores) != len(leaks) or bores != sorted(set(bores)) or leaks != sorted(leaks):
        reader.fault(FILE, "limits", "needs as many leaks as bores, both rising.")
        return None
    return limits


def _check(reader: Reader, where: str, trial: Trial, kinds: Collection[str], step: Step) -> None:
    """What one trial names that is not there."""
    options = {r.id: tuple(r.options) for r in step.records}
    named = (
        ("pressure", (trial.pressure,), PRESSURES),
        ("judged", (trial.judged,), JUDGED),
        ("only_for", trial.only_for, kinds),
        ("not_for", trial.not_for, kinds),
        ("records", trial.records, options),
        ("wrong", tuple(trial.wrong), trial.records),
        ("otherwise.kinds", tuple(k for o in trial.otherwise for k in o.kinds), kinds),
        ("otherwise.without", tuple(r for o in trial.otherwise for r in o.without), trial.records),
    )
    for key, names, allowed in named:
        for name in names:
            if name not in allowed:
                reader.fault(FILE, f"{where}.{key}", allowed_words(name, allowed))
    for record, answers in trial.wrong.items():
        for answer in answers:
            if answer not in options.get(record, ()):
                reader.fault(FILE, f"{where}.wrong", allowed_words(answer, options.get(record, ())))
