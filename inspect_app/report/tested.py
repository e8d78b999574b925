"""How the cylinder was tested: the section of the report with the result, each trial and the curve."""

from __future__ import annotations

from inspect_app.entries.job import Job
from inspect_app.figures.pressure_curve import pressure_curve, settled_curve
from inspect_app.figures.shapes import Drawing
from inspect_app.job.leaking import TrialStands, leak_figures
from inspect_app.job.testing import Pressures, WholeTest, friction_words, limit_sentence, whole_test
from inspect_app.paper.blocks import Block, Bullets, Cell, Column, Fields, Figure, Outcome, Section, Table
from inspect_app.tables import Tables
from inspect_app.tables.pressure_test import STEP
from inspect_app.trade.leakage.slope import Result
from inspect_app.trade.measuring.amounts import Amount
from inspect_app.trade.measuring.decision import Verdict

TRIALS = (Column("Trial", 28), Column("At", 14), Column("Found", 36), Column("Result", 22))
SIGNS: dict[Result, Verdict] = {
    Result.PASS: Verdict.WITHIN,
    Result.NOT_PROVEN: Verdict.UNCLEAR,
    Result.FAIL: Verdict.BEYOND,
}
"""A result has the sign of the verdict it comes from; its word stands beside it."""
SET_UP = ("fluid", "fluid-class", "gauge", "relief")
WIDEST, _HEIGHT, _LETTERS = 480.0, 150.0, 9.0


def pressure_test_section(job: Job, tables: Tables, system: str, wide: float) -> Section | None:
    """The result of the pressure test, its trials and its curve; None before it was begun.

    Args:
        job: the job.
        tables: its tables.
        system: "metric" or "inch".
        wide: the room between the margins.
    """
    test, drawn_wide = whole_test(job, tables), min(wide, WIDEST)
    if not test.begun:
        return None
    blocks: list[Block] = [Outcome(f"Pressure test: {test.result.value}.")]
    if test.why:
        blocks.append(Bullets(tuple(s.words(system) for s in test.why)))
    blocks.append(Fields(tuple(_fields(job, tables, test.pressures, system))))
    blocks.append(Table(TRIALS, tuple(_row(t, test.pressures, system) for t in test.trials), dense=True))
    notes = [s.words(system) for s in (*friction_words(job, tables), limit_sentence(job, tables))]
    if log := job.tested.log:
        notes.append(f"Logged in {log.name}, {len(log.points)} readings, SHA-256 {log.sha256[:16]}.")
    blocks.append(Bullets(tuple(notes), small=True))
    if len(test.curve) > 1:
        blocks.append(Figure(curve(test, system, drawn_wide), "Pressure over time; the hold is marked."))
    if drawn := settled(test, system, _HEIGHT * 0.8, drawn_wide):
        blocks.append(Figure(drawn, ""))
    return Section("Pressure test", tuple(blocks))


def trial_rows(job: Job, tables: Tables, system: str) -> tuple[tuple[str, str], ...]:
    """The test in few lines: its pressures, fluid and gauge, and each trial that measured or did not pass.

    Args:
        job: the job.
        tables: its tables.
        system: "metric" or "inch".
    """
    test = whole_test(job, tables)
    rows = _fields(job, tables, test.pressures, system)
    for stands in (t for t in test.trials if t.done and t.result):
        found, result = found_words(stands, system), stands.result.value if stands.result else ""
        if found:
            rows.append((stands.trial.title, f"{found.rstrip('.')}: {result}"))
    passed = [t.trial.title for t in test.trials if t.result is Result.PASS and not found_words(t, system)]
    return (*rows, *((("Passed by look", "; ".join(passed)),) if passed else ()))


def found_words(stands: TrialStands, system: str) -> str:
    """What a trial found in a few words: leakage with its uncertainty, or what speaks against it.

    Args:
        stands: the trial.
        system: "metric" or "inch".
    """
    if not stands.done:
        return "not done"
    said = [s.words(system) for s in stands.says]
    if stands.leak:
        figure, off, unit = leak_figures(stands.leak, system)
        said.insert(0, f"{figure} ± {off} {unit}")
    return "; ".join(said)


def curve(test: WholeTest, system: str, width: float = WIDEST) -> Drawing:
    """The curve of all that was read, for paper.

    Args:
        test: the test.
        system: "metric" or "inch".
        width: of the drawing, points.
    """
    named = {n: float(p) for n, p in (("rated", test.pressures.rated), ("proof", test.pressures.proof)) if p}
    return pressure_curve(
        test.curve, test.hold, named, system=system, width=width, height=_HEIGHT, size=_LETTERS
    )


def settled(test: WholeTest, system: str, height: float, width: float = WIDEST) -> Drawing | None:
    """The settled hold on a scale of its own, for paper; None while it has too few readings.

    Args:
        test: the test.
        system: "metric" or "inch".
        height: of the drawing, points.
        width: of the drawing, points.
    """
    if len(test.settled) < 2:
        return None
    begun = test.hold[0].minutes
    return settled_curve(
        test.settled, begun_minutes=begun, system=system, width=width, height=height, size=_LETTERS
    )


def _fields(job: Job, tables: Tables, pressures: Pressures, system: str) -> list[tuple[str, str]]:
    step = tables.steps[STEP]
    rows = [
        (title, Amount(mpa, "pressure").words(system))
        for title, mpa in (("Rated pressure", pressures.rated), ("Proof pressure", pressures.proof))
        if mpa
    ]
    for name in SET_UP:
        record, typed = step.record(name), job.steps.typed(STEP, name)
        if record and typed:
            rows.append((record.title, typed))
    return rows


def _row(stands: TrialStands, pressures: Pressures, system: str) -> tuple[Cell, ...]:
    mpa = pressures.of(stands.trial.pressure)
    at = Amount(mpa, "pressure").words(system) if mpa else ""
    result = stands.result
    last = Cell(result.value, sign=SIGNS[result]) if result else Cell("")
    return Cell(stands.trial.title), Cell(at), Cell(found_words(stands, system)), last
