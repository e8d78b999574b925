"""Cautions to read and confirm, one by one; before trapped pressure and pressure tests they come first."""

from __future__ import annotations

from collections.abc import Callable, Iterable

import flet as ft

from inspect_app.entries.deciding import CautionConfirmed
from inspect_app.entries.job import Job
from inspect_app.job.steps import unconfirmed
from inspect_app.screens.desk import Desk
from inspect_app.screens.pieces import controls
from inspect_app.tables.cautions import Caution
from inspect_app.tables.steps import Step
from inspect_app.trade.measuring.wording import counted


def caution_words(desk: Desk, caution: Caution) -> list[ft.Control]:
    """A caution as it is read, and where the rule stands.

    Args:
        desk: the session.
        caution: which.
    """
    look = desk.standing.look
    rule = [controls.small(look, caution.reference)] if caution.reference else []
    return [controls.text(look, caution.sentence, 18), *rule]


def to_confirm(desk: Desk, job: Job, cautions: Iterable[Caution]) -> list[ft.Control]:
    """Cautions, each with what confirms it under it.

    Args:
        desk: the session.
        job: the job.
        cautions: which.
    """

    def confirm(caution: str) -> None:
        if caution not in job.cautions:
            desk.enter(job, job.as_found, CautionConfirmed(caution))

    rows: list[ft.Control] = []
    for caution in cautions:
        by = job.cautions.get(caution.id)
        said = f"Confirmed by {by}" if by else "Read and understood"
        confirmed = desk.guard(lambda _, c=caution.id: confirm(c))
        mark = controls.choice(desk.standing.look, said, bool(by), confirmed, key=f"caution {caution.id}")
        rows += [*caution_words(desk, caution), mark]
    return rows


def of_step(desk: Desk, job: Job, step: Step) -> list[ft.Control]:
    """The cautions of a step under their heading; nothing where it has none.

    Args:
        desk: the session.
        job: the job.
        step: the step.
    """
    every = [c for c in desk.bench.tables_of(job).cautions if c.id in step.cautions]
    if not every:
        return []
    return [controls.heading(desk.standing.look, "Cautions"), *to_confirm(desk, job, every)]


def cautions_first(desk: Desk, job: Job, step: Step, pass_over: Callable[[object], None]) -> list[ft.Control]:
    """What stands instead of a dangerous step's work until its cautions are confirmed; nothing once they are.

    Args:
        desk: the session.
        job: the job.
        step: the step.
        pass_over: opens the work all the same; that they are not confirmed goes on being said.
    """
    still = unconfirmed(step, job)
    if not (step.cautions_first and still):
        return []
    words = f"The cautions come first: {counted(len(still), 'is', 'are')} not confirmed."
    return [
        controls.notice(desk.standing.look, words, "beyond"),
        *of_step(desk, job, step),
        controls.button(desk.standing.look, "Go on without them", pass_over),
    ]
