"""Every limit of a check with its source, and the maker's drawing to type one in from."""

from __future__ import annotations

from collections.abc import Callable

import flet as ft

from inspect_app.job.findings import CheckResult
from inspect_app.job.job import Job
from inspect_app.job.judge import limits_for
from inspect_app.job.words import limit_words, source_words
from inspect_app.screens import pieces
from inspect_app.screens.desk import Desk
from inspect_app.tables.cylinders import Check
from inspect_app.trade.characteristics import CHARACTERISTICS

LEVELS = {"reuse": "Reuse", "new": "As new", "rework": "Reach of rework"}


def limit_panel(
    *, desk: Desk, job: Job, check: Check, result: CheckResult, close: Callable[[], None]
) -> list[ft.Control]:
    """Every limit of this check with its source, and the maker's drawing to type one in from."""
    look, system = desk.standing.look, desk.standing.system
    body: list[ft.Control] = [pieces.text(look, check.why, 17)]
    tables = desk.bench.tables_of(job)
    for name in check.characteristics:
        title = CHARACTERISTICS[name].title
        body.append(pieces.heading(look, title[0].upper() + title[1:]))
        kind = CHARACTERISTICS[name].kind_from(check.kind)
        limits = limits_for(check, name, job, tables)
        if not limits:
            body.append(pieces.small(look, "Information only: no limit is written for it."))
        for level, limit in limits.items():
            body.append(
                pieces.text(look, f"{LEVELS[level]}: {limit_words(limit, kind, system)}", 17, bold=True)
            )
            body.append(pieces.small(look, source_words(limit)))
    body.append(pieces.heading(look, "Limit off the maker's drawing"))
    body.append(DrawingLimitForm(desk=desk, job=job, check=check, close=close))
    body.append(pieces.button(look, "Back to measuring", lambda _: close()))
    return body


@ft.component
def DrawingLimitForm(  # noqa: N802
    desk: Desk, job: Job, check: Check, close: Callable[[], None]
) -> ft.Control:
    look = desk.standing.look
    lower, set_lower = ft.use_state("")
    upper, set_upper = ft.use_state("")
    drawing, set_drawing = ft.use_state("")
    name, set_name = ft.use_state(check.characteristics[0])

    def keep() -> None:
        outcome = desk.bench.set_limit(
            job, check, name, (lower, upper), drawing, desk.standing.initials, desk.standing.system
        )
        if desk.outcome(outcome):
            close()

    options = [(c, CHARACTERISTICS[c].title) for c in check.characteristics]
    return pieces.form(
        [
            pieces.choices(look, options, name, set_name, columns=1),
            pieces.field(look, "Lower limit", lower, set_lower, on_change=set_lower),
            pieces.field(look, "Upper limit", upper, set_upper, on_change=set_upper),
            pieces.field(look, "Drawing number and edition", drawing, set_drawing, on_change=set_drawing),
            pieces.button(look, "Judge by this limit", desk.guard(lambda _: keep())),
        ]
    )
