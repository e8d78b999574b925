"""What is asked beside a reading: the nominal size before the first one, and about a number that was typed."""

from __future__ import annotations

from collections.abc import Callable

import flet as ft

from inspect_app.entries.job import Job, Survey
from inspect_app.job.proposing import nominals_proposed
from inspect_app.screens.desk import Desk
from inspect_app.screens.mechanic.entering import Answer, Question
from inspect_app.screens.mechanic.standing import unit_of
from inspect_app.screens.pieces import controls, marks
from inspect_app.screens.pieces.frame import is_tall
from inspect_app.screens.pieces.look import GAP
from inspect_app.tables.cylinders import Check

SIZES_IN_A_ROW = 3


def nominal_panel(
    *,
    desk: Desk,
    job: Job,
    survey: Survey,
    check: Check,
    leave: Callable[[], None],
    confirm: Callable[[str], None],
    open_panel: Callable[[str], None],
) -> list[ft.Control]:
    """Asks for the size a check is judged from, with what it may be, and lets it be unknown; it looks like a
    question, not a place."""
    look, system = desk.standing.look, desk.standing.system
    unit = unit_of(check, desk.entering.system)
    asked = controls.notice(
        look,
        "Before measuring: which nominal size has it? Touch or type what the drawing or the housing "
        f"standard says ({unit}).",
        "accent",
    )
    sizes: list[ft.Control] = []
    for proposed in nominals_proposed(check, survey, desk.bench.tables_of(job), system):
        sizes.append(controls.small(look, f"{proposed.why.words(system)}:"))
        touched = [
            controls.button(
                look,
                size.removesuffix(f" {unit}"),
                lambda _, s=size: confirm(s),
                key=f"nominal {size}",
                expand=True,
                said=size,
            )
            for size in proposed.sizes
        ]
        for n in range(0, len(touched), SIZES_IN_A_ROW):
            sizes.append(ft.Row(touched[n : n + SIZES_IN_A_ROW], spacing=GAP))
    # what is touched is in sight on a short screen too: there the number line alone says what is asked
    body = [asked, *sizes] if is_tall(desk) else [*sizes, asked]
    return [
        *body,
        controls.button(look, "Not known: measure without", desk.guard(lambda _: leave()), key="Not known"),
        controls.button(look, "Skip", lambda _: open_panel("skip")),
        controls.text(look, check.how, 17),
    ]


def question_panel(
    desk: Desk, check: Check, question: Question, answer: Callable[[Answer], None]
) -> list[ft.Control]:
    """A number that was not recorded yet: the question, and the ways out, none of them before the others."""
    look = desk.standing.look
    answers = [controls.button(look, a.label, lambda _, a=a: answer(a), key=a.key) for a in question.answers]
    number = marks.number(look, question.text, unit_of(check, desk.entering.system))
    return [
        ft.Row([number], alignment=ft.MainAxisAlignment.END),
        controls.notice(look, question.sentence, "unclear", answers),
    ]
