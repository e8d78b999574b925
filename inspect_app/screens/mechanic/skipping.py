"""Leaving a place or a whole check out, with a reason; saying once of a groove or a part that it is not there."""

from __future__ import annotations

from collections.abc import Callable

import flet as ft

from inspect_app.entries.job import WHOLE_CHECK, Job, Place, Survey
from inspect_app.entries.measuring import NOT_FITTED, LeftOut, NotFitted
from inspect_app.entries.opening import AnswerGiven
from inspect_app.entries.typed import Typed
from inspect_app.job.findings import CheckResult
from inspect_app.job.present import answers_without, checks_beside
from inspect_app.job.words import place_words
from inspect_app.screens.desk import Desk
from inspect_app.screens.mechanic.parts import go_on
from inspect_app.screens.pieces import controls
from inspect_app.tables.blocks import Named
from inspect_app.tables.cylinders import Check, Cylinder
from inspect_app.trade.measuring.wording import inside


def not_fitted(desk: Desk, job: Job, survey: Survey, check: Check) -> list[ft.Control]:
    """What says in one touch that a check, its groove or its part is not there; then the next check is in hand.

    Where a question of the checklist asks it, the answer says so.
    """
    look, cylinder = desk.standing.look, desk.bench.tables_of(job).cylinders[survey.cylinder]
    ways: list[tuple[str, Typed]] = [
        (f"{question.title}: {question.answers[answer]}", AnswerGiven(question.id, answer))
        for question, answer in answers_without(check, cylinder)
    ]
    if not ways:
        beside = checks_beside(check, cylinder)
        what = f"{check.groove} groove, {len(beside)} checks" if len(beside) > 1 else "this check"
        ways.append((f"Not fitted: {what}", NotFitted(beside)))
    part = next(p for p in cylinder.parts if p.id == check.part)
    of_part = (check, *(c for c in cylinder.checks_of(part.id) if c != check))
    ways.append((f"Not fitted: {inside(part.title)}, {len(of_part)} checks", NotFitted(of_part)))

    def say(typed: Typed) -> None:
        if desk.enter(job, survey, typed):
            go_on(desk, job, survey, check)

    return [
        controls.heading(look, "It is not there"),
        controls.small(look, "What must be there stays missing."),
        *(controls.button(look, words, desk.guard(lambda _, t=typed: say(t))) for words, typed in ways),
    ]


def reasons_of(cylinder: Cylinder) -> Named:
    """Why something that is there is not measured; what is not there has a way of its own."""
    return {r: words for r, words in cylinder.reasons.items() if r != NOT_FITTED}


def skip_panel(
    *,
    desk: Desk,
    job: Job,
    survey: Survey,
    check: Check,
    result: CheckResult,
    place: Place | None,
    close: Callable[[], None],
) -> list[ft.Control]:
    """Leave a place or the whole check out, with a reason."""
    look, system = desk.standing.look, desk.standing.system
    reasons = reasons_of(desk.bench.tables_of(job).cylinders[survey.cylinder])

    def skip(where: Place, reason: str) -> None:
        if desk.enter(job, survey, LeftOut(check, where, reason)):
            close()

    body: list[ft.Control] = [
        controls.text(look, "Not measured, because", 20, bold=True),
        controls.small(look, "An unmeasured place is never a pass; the report prints the reason."),
    ]
    body += not_fitted(desk, job, survey, check)
    if place is not None and result.expected > 1:
        body.append(
            controls.heading(look, f"Only this place: {place_words(place, check.stations.names, system)}")
        )
        body += [
            controls.button(look, words, desk.guard(lambda _, r=r: skip(place, r)), key=f"place {words}")
            for r, words in reasons.items()
        ]
    body.append(controls.heading(look, "The whole check"))
    body += [
        controls.button(look, words, desk.guard(lambda _, r=r: skip(WHOLE_CHECK, r)), key=f"check {words}")
        for r, words in reasons.items()
    ]
    body.append(
        controls.field(
            look,
            "Another reason, for the whole check",
            "",
            desk.guard(lambda r: skip(WHOLE_CHECK, r) if r.strip() else None),
        )
    )
    body.append(controls.button(look, "Back to measuring", lambda _: close()))
    return body
