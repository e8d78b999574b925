"""What is there on this cylinder: asked once, before the checks that hang on it."""

from __future__ import annotations

import flet as ft

from inspect_app.entries.job import Job, Survey
from inspect_app.entries.opening import AnswerGiven
from inspect_app.screens.desk import Desk
from inspect_app.screens.mechanic.routes import parts_of
from inspect_app.screens.mechanic.undoing import undo
from inspect_app.screens.pieces import controls
from inspect_app.screens.pieces.frame import frame
from inspect_app.tables.cylinders import Question
from inspect_app.trade.measuring.wording import capital


@ft.component
def Present(desk: Desk, job: Job, survey: Survey) -> ft.Control:  # noqa: N802
    look = desk.standing.look
    cylinder = desk.bench.tables_of(job).cylinders[survey.cylinder]
    body: list[ft.Control] = []
    for part in cylinder.parts:
        questions = [q for q in cylinder.questions if q.part == part.id]
        if questions:
            body.append(controls.heading(look, part.title))
            body += [_question(desk, job, survey, q) for q in questions]
    left = sum(len(part.questions) for part in desk.bench.assess(job, survey.name).parts)
    back = parts_of(job, survey)
    return frame(
        desk,
        "What is there",
        body,
        under=f"{left} left to answer" if left else "all answered",
        back=back,
        tools=(controls.icon_button(look, ft.Icons.UNDO, "Undo", desk.guard(lambda _: undo(desk, job))),),
        foot=(controls.button(look, "To the parts", lambda _: desk.go(back), strong=not left),),
    )


def _question(desk: Desk, job: Job, survey: Survey, question: Question) -> ft.Control:
    """One question with its answers; another answer may be given at any time, both stay in the log."""
    look = desk.standing.look
    given = survey.answers.get(question.id)

    def answer(text: str) -> None:
        desk.enter(job, survey, AnswerGiven(question.id, text))

    options = [(a, capital(words)) for a, words in question.answers.items()]
    return ft.Column(
        [
            controls.text(look, question.ask, 18, bold=True),
            controls.choices(look, options, given.text if given else "", desk.guard(answer)),
        ],
        spacing=8,
        tight=True,
        key=f"question {question.id}",
    )
