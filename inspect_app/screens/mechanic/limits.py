"""Every limit of a check with its source, and the maker's drawing to type one in from."""

from __future__ import annotations

from collections.abc import Callable

import flet as ft

from inspect_app.entries.job import Job, Survey
from inspect_app.entries.measuring import OffDrawing
from inspect_app.job.findings import CheckResult
from inspect_app.job.judge import limits_for
from inspect_app.job.words import LEVELS, limit_sentence, source_words
from inspect_app.screens.desk import Desk
from inspect_app.screens.mechanic.standing import unit_of
from inspect_app.screens.pieces import controls
from inspect_app.screens.pieces.texts import Texts, use_texts
from inspect_app.tables.cylinders import Check
from inspect_app.trade.form.characteristics import CHARACTERISTICS
from inspect_app.trade.measuring.wording import capital


def limit_panel(
    *, desk: Desk, job: Job, survey: Survey, check: Check, result: CheckResult, close: Callable[[], None]
) -> list[ft.Control]:
    """Every limit of this check with its source, and the maker's drawing to type one in from."""
    look, system = desk.standing.look, desk.standing.system
    body: list[ft.Control] = [
        controls.button(look, "Back to measuring", lambda _: close()),
        controls.heading(look, "How it is measured"),
        controls.text(look, check.how, 18),
        controls.text(look, check.why, 17),
    ]
    tables = desk.bench.tables_of(job)
    for name in check.characteristics:
        title = CHARACTERISTICS[name].title
        body.append(controls.heading(look, capital(title)))
        kind = CHARACTERISTICS[name].kind_from(check.kind)
        limits = limits_for(check, name, survey, tables)
        if not limits:
            body.append(controls.small(look, "Information only: no limit is written for it."))
        for level, limit in limits.items():
            body.append(
                controls.text(
                    look, f"{LEVELS[level]}: {limit_sentence(limit, kind).words(system)}", 17, bold=True
                )
            )
            body.append(controls.small(look, source_words(limit, system)))
    body.append(controls.heading(look, "Limit off the maker's drawing"))
    # other units empty it: a number typed in its boxes would be read in them
    of = dict(desk=desk, job=job, survey=survey, check=check)
    body.append(DrawingLimitForm(**of, close=close, key=f"drawing {system}"))
    return body


@ft.component
def DrawingLimitForm(  # noqa: N802
    desk: Desk, job: Job, survey: Survey, check: Check, close: Callable[[], None]
) -> ft.Control:
    look = desk.standing.look
    system = desk.standing.system
    texts, write = use_texts(lambda: Texts(name=check.characteristics[0]))

    def keep() -> None:
        limit = OffDrawing(check, texts["name"], texts["lower"], texts["upper"], texts["drawing"])
        if desk.enter(job, survey, limit):
            close()

    options = [(c, CHARACTERISTICS[c].title) for c in check.characteristics]
    unit = unit_of(check, system)
    return controls.form(
        [
            controls.choices(look, options, texts["name"], lambda n: write("name", n), columns=1),
            texts.field(look, "lower", f"Lower limit, {unit}", key="Lower limit"),
            texts.field(look, "upper", f"Upper limit, {unit}", key="Upper limit"),
            texts.field(look, "drawing", "Drawing number and revision"),
            controls.button(look, "Judge by this limit", desk.guard(lambda _: keep())),
        ]
    )
