"""One trial of a pressure test: what is done, at which pressure, what is recorded, and what it proves."""

from __future__ import annotations

from decimal import Decimal

import flet as ft

from inspect_app.entries.job import Job
from inspect_app.entries.tested import HoldReading
from inspect_app.entries.testing import HoldRead
from inspect_app.figures.limit_scale import limit_scale
from inspect_app.job.leaking import TrialStands, leak_figures
from inspect_app.job.testing import WholeTest, limit_sentence, whole_test
from inspect_app.screens.desk import Desk
from inspect_app.screens.mechanic.confirming import cautions_first
from inspect_app.screens.mechanic.logs import LogPicker
from inspect_app.screens.mechanic.measure import units_tool
from inspect_app.screens.mechanic.nameplate import label_of
from inspect_app.screens.mechanic.recording import record_rows
from inspect_app.screens.mechanic.routes import job_route
from inspect_app.screens.mechanic.testing import before_it, curve_of, passed_over_notice, results, stored
from inspect_app.screens.mechanic.undoing import undo
from inspect_app.screens.pieces import controls, marks
from inspect_app.screens.pieces.frame import column_width, frame
from inspect_app.screens.pieces.texts import Texts, use_texts
from inspect_app.tables.pressure_test import HOLD, STEP, Trial
from inspect_app.trade.measuring.amounts import Amount
from inspect_app.trade.measuring.decision import decide
from inspect_app.trade.measuring.quantities import show_text

_SCALE = 76


@ft.component
def TrialScreen(desk: Desk, job: Job, trial: Trial) -> ft.Control:  # noqa: N802
    look, system, tables = desk.standing.look, desk.standing.system, desk.bench.tables_of(job)
    test = whole_test(job, tables)
    stands = next(t for t in test.trials if t.trial.id == trial.id)
    passed_over, set_passed_over = ft.use_state(False)
    body: list[ft.Control] = []
    if mpa := test.pressures.of(trial.pressure):
        figure, unit = Amount(mpa, "pressure").figure(system)
        body.append(marks.number(look, figure, unit, 64))
        other = "inch" if system == "metric" else "metric"
        body.append(
            controls.small(look, f"{trial.pressure} pressure · {Amount(mpa, 'pressure').words(other)}")
        )
    step = tables.steps[STEP]
    first = [] if passed_over else cautions_first(desk, job, step, lambda _: set_passed_over(True))
    if not stands.done and mpa:
        at_proof = trial.pressure == "proof" and not first  # the cautions stand above what is set
        body += before_it(desk, job, test) if at_proof else stored(desk, test)
    body += first or [*passed_over_notice(desk, job, step), *_work(desk, job, stands, test)]
    home = f"{job_route(job)}/test"
    at = [t.trial.id for t in test.trials].index(trial.id) + 1
    after = next((t.trial for t in test.trials[at:]), None)
    title, route = (f"Next: {after.title}", f"{home}/{after.id}") if after else ("To the result", home)
    return frame(
        desk,
        trial.title,
        body,
        under=f"{at} of {len(test.trials)} · {job.name}",
        back=home,
        tools=(
            units_tool(desk),
            controls.icon_button(look, ft.Icons.UNDO, "Undo", desk.guard(lambda _: undo(desk, job))),
        ),
        foot=() if first else [
            controls.button(look, title, lambda _: desk.go(route), strong=stands.done, key="next")
        ],
    )  # fmt: skip


def _work(desk: Desk, job: Job, stands: TrialStands, test: WholeTest) -> list[ft.Control]:
    """What is done in a trial, what it proves so far, and what is recorded of it."""
    look, step = desk.standing.look, desk.bench.tables_of(job).steps[STEP]
    body: list[ft.Control] = [controls.text(look, sentence, 18) for sentence in stands.trial.does]
    body += _proves(desk, job, stands)
    for name in stands.trial.records:
        if record := step.record(name):
            body += record_rows(desk, job, step, record)
    return [*body, *(_hold(desk, job, test) if stands.trial.judged == HOLD else [])]


def _proves(desk: Desk, job: Job, stands: TrialStands) -> list[ft.Control]:
    """The result of a trial; leakage as value and error against its limit."""
    look, system = desk.standing.look, desk.standing.system
    shown: list[ft.Control] = []
    if stands.leak:
        figure, off, unit = leak_figures(stands.leak, system)
        shown.append(marks.number(look, f"{figure} ± {off}", unit, 44))
        limit = limit_sentence(job, desk.bench.tables_of(job)).words(system)
        shown.append(controls.text(look, limit, 17))
    if stands.leak and stands.limit is not None:
        decision = decide(
            value=Decimal(f"{stands.leak.ml_min:.6f}"),
            lower=None,
            upper=stands.limit,
            expanded_uncertainty=Decimal(f"{stands.leak.expanded_uncertainty_ml_min:.6f}"),
        )
        shown.append(
            marks.drawing(look, limit_scale(decision, "flow", system, column_width(desk) - 32, _SCALE))
        )
    if stands.result:
        shown.append(results(look, stands.result))
    return [*shown, *(controls.text(look, s.words(system), 17) for s in stands.says)]


def _hold(desk: Desk, job: Job, test: WholeTest) -> list[ft.Control]:
    """The readings of the hold, by hand or out of a logger's file."""
    look = desk.standing.look
    shown: list[ft.Control] = []
    if len(test.curve) > 1:
        shown.append(curve_of(desk, test))
    log = job.tested.log
    if log:
        words = f"{log.name}: {len(log.points)} readings, taken by {log.by}. It holds instead of readings by hand."
        shown.append(controls.text(look, words, 17))
    shown += [
        controls.row(
            look,
            f"{r.minutes.normalize():f} min",
            _oil(r, desk.standing.system),
            trailing=show_text(r.pressure.value, kind="pressure", system=desk.standing.system),
        )
        for r in job.tested.readings
    ]
    return [
        *shown,
        controls.heading(look, "A logger's file"),
        LogPicker(desk=desk, job=job, key="log"),
        controls.heading(look, "Or by hand"),
        ByHand(desk=desk, job=job, key="by hand"),
    ]


def _oil(reading: HoldReading, system: str) -> str:
    oil = reading.temperature
    return f"oil {Amount(oil.value, 'temperature').words(system)}" if oil else "no temperature"


@ft.component
def ByHand(desk: Desk, job: Job) -> ft.Control:  # noqa: N802
    """One reading of the hold; the next one after it."""
    look, system = desk.standing.look, desk.standing.system
    texts, write = use_texts(Texts)

    def keep() -> None:
        read = HoldRead(texts["minutes"], texts["pressure"], texts["temperature"])
        if desk.enter(job, job.as_found, read):
            for name in ("minutes", "pressure", "temperature"):
                write(name, "")

    return controls.form(
        [
            texts.field(look, "minutes", "Time from the start, min", hint="2:30 or 2.5"),
            texts.field(look, "pressure", label_of("Pressure", "pressure", system)),
            texts.field(look, "temperature", label_of("Oil temperature", "temperature", system)),
            controls.button(look, "Enter the reading", desk.guard(lambda _: keep())),
        ]
    )
