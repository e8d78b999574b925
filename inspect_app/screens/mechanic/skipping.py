"""Leaving a place or a whole check out, with a reason."""

from __future__ import annotations

from collections.abc import Callable

import flet as ft

from inspect_app.entries.job import WHOLE_CHECK, Job, Place, Survey
from inspect_app.entries.measuring import LeftOut
from inspect_app.job.findings import CheckResult
from inspect_app.job.words import place_words
from inspect_app.screens.desk import Desk
from inspect_app.screens.pieces import controls
from inspect_app.tables.cylinders import Check


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
    reasons = desk.bench.tables_of(job).cylinders[survey.cylinder].reasons

    def skip(where: Place, reason: str) -> None:
        if desk.enter(job, survey, LeftOut(check, where, reason)):
            close()

    body: list[ft.Control] = [
        controls.text(look, "Not measured, because", 20, bold=True),
        controls.small(look, "An unmeasured place is never a pass; the report prints the reason."),
    ]
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
