"""A look for cracks: by whom, qualified how, by which method; without these it is not finished."""

from __future__ import annotations

import flet as ft

from inspect_app.entries.job import Job, Survey
from inspect_app.entries.looking import LookedOver
from inspect_app.screens.desk import Desk
from inspect_app.screens.mechanic.parts import go_on
from inspect_app.screens.pieces import controls
from inspect_app.screens.pieces.texts import use_texts
from inspect_app.tables.cylinders import Check


@ft.component
def CracksLooked(desk: Desk, job: Job, survey: Survey, check: Check) -> ft.Control:  # noqa: N802
    look = desk.standing.look
    texts, _ = use_texts()

    def keep() -> None:
        said = LookedOver(check, texts["who"], texts["qualified"], texts["method"])
        if desk.enter(job, survey, said):
            go_on(desk, job, survey, check)

    return controls.form(
        [
            controls.text(look, "A look for cracks counts only with who looked, and how.", 17),
            texts.field(look, "who", "Who looked for cracks"),
            texts.field(look, "qualified", "Qualified how", hint="e.g. magnetic particles, level 2"),
            texts.field(look, "method", "By which method", hint="e.g. magnetic particles with a yoke"),
            controls.button(look, "Looked for cracks", desk.guard(lambda _: keep()), strong=True),
        ]
    )
