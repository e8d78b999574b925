"""The findings part by part, and what a person decides with open eyes."""

from __future__ import annotations

from collections.abc import Callable

import flet as ft

from inspect_app.entries.deciding import DECISIONS, Decision
from inspect_app.entries.job import AS_LEFT, Job, Survey
from inspect_app.job.as_left import now_sentence
from inspect_app.job.assess import PartResult
from inspect_app.job.findings import Disposition
from inspect_app.job.headline import whole_sentence
from inspect_app.job.words import BECOMES, MARKS, disposition_words, part_reasons
from inspect_app.screens.desk import Desk
from inspect_app.screens.mechanic.parts import parts_to_do
from inspect_app.screens.mechanic.routes import parts_of
from inspect_app.screens.mechanic.undoing import undo
from inspect_app.screens.pieces import controls, marks
from inspect_app.screens.pieces.frame import frame
from inspect_app.screens.pieces.look import Look
from inspect_app.screens.pieces.texts import Texts, use_texts
from inspect_app.trade.measuring.wording import capital, inside

CHOICES = tuple((name, capital(words)) for name, words in DECISIONS.items())


@ft.component
def Findings(desk: Desk, job: Job, survey: Survey) -> ft.Control:  # noqa: N802
    look = desk.standing.look
    assessment = desk.bench.assess(job, survey.name)
    deciding, set_deciding = ft.use_state("")
    as_left = survey.name == AS_LEFT
    sentence = now_sentence(desk.bench.parts_now(job)) if as_left else whole_sentence(assessment)
    body: list[ft.Control] = [controls.text(look, sentence, 22, bold=True)]
    if as_left:
        body.append(controls.small(look, "Parts that were fit and are untouched stand as found."))
    for part in parts_to_do(desk, job, survey):
        body.append(_part(desk, part, lambda _, i=part.part.id: set_deciding(i)))
        if deciding == part.part.id:
            body.append(Decide(desk=desk, job=job, survey=survey, part=part, close=lambda: set_deciding("")))
    return frame(
        desk,
        "Findings",
        body,
        under=job.name,
        back=parts_of(job, survey),
        tools=(controls.icon_button(look, ft.Icons.UNDO, "Undo", desk.guard(lambda _: undo(desk, job))),),
        foot=(controls.button(look, "Report", lambda _: desk.go(f"/job/{job.id}/report"), strong=True),),
    )


def _part(desk: Desk, part: PartResult, decide: controls.Handler) -> ft.Control:
    look, system = desk.standing.look, desk.standing.system
    title = f"{part.part.title}: {disposition_words(part)}"
    inner: list[ft.Control] = [
        ft.Row(
            [
                marks.mark(look, MARKS[part.disposition], 30),
                ft.Semantics(header=True, content=controls.text(look, title, 20, bold=True)),
            ],
            spacing=10,
        )
    ]
    if part.decided:
        decided = f"Decided by {part.decided.by}: {part.decided.reason} (calculated result: {BECOMES[part.computed]})"
        inner.append(controls.text(look, decided, 17))
    reasons = [reason.words(system) for reason in part_reasons(part)]
    inner += [controls.text(look, r, 17) for r in reasons]
    if not reasons:
        inner.append(controls.text(look, "Everything measured is within its reuse limit.", 17))
    inner.append(
        controls.button(
            look, f"Decide for the {inside(part.part.title)}", decide, key=f"decide {part.part.id}"
        )
    )
    return ft.Container(
        ft.Column(inner, spacing=8, tight=True),
        bgcolor=look.raised,
        border=ft.Border.all(look.weight, look.rule),
        border_radius=6,
        padding=14,
    )


def _examination(look: Look, texts: Texts) -> list[ft.Control]:
    """Over a stop: who examined it and by which method."""
    return [
        controls.text(look, "The readings stop this part. Only a qualified person may pass it.", 17),
        texts.field(look, "who", "Examined by, and what qualifies them", lines=2),
        texts.field(look, "how", "How it was examined", lines=2),
    ]


@ft.component
def Decide(desk: Desk, job: Job, survey: Survey, part: PartResult, close: Callable[[], None]) -> ft.Control:  # noqa: N802
    """A person decides otherwise, with open eyes: what, why, and by whom."""
    look = desk.standing.look
    what, set_what = ft.use_state("rework")
    texts, _ = use_texts()
    overrules_stop = part.computed is Disposition.REFER and what != "replace"

    def keep() -> None:
        if desk.enter(job, survey, Decision(part.part.id, what, texts["why"], texts["who"], texts["how"])):
            close()

    return controls.form(
        [
            controls.choices(look, CHOICES, what, set_what, columns=1),
            texts.field(look, "why", "Reason, printed in the report", lines=2),
            *(_examination(look, texts) if overrules_stop else ()),
            controls.button(look, "Save decision", desk.guard(lambda _: keep()), strong=True),
            controls.button(look, "Keep the calculated result", lambda _: close()),
        ]
    )
