"""Looking at a surface: what to look for, each defect with kind, place, size and photographs."""

from __future__ import annotations

from collections.abc import Callable

import flet as ft

from inspect_app.entries.job import WHOLE_CHECK, Defect, Job, Survey
from inspect_app.entries.looking import FELT, LookedOver
from inspect_app.entries.measuring import LeftOut
from inspect_app.figures.of_check import defects_drawing
from inspect_app.job.findings import CheckResult
from inspect_app.job.words import finding_sentence, place_words, what_follows
from inspect_app.report.parts import examined_words
from inspect_app.screens.desk import Desk
from inspect_app.screens.mechanic.defect import DefectForm, drawing_size
from inspect_app.screens.mechanic.examining import CracksLooked
from inspect_app.screens.mechanic.parts import go_on
from inspect_app.screens.mechanic.photographs import Photos
from inspect_app.screens.mechanic.routes import parts_of
from inspect_app.screens.mechanic.skipping import not_fitted, reasons_of
from inspect_app.screens.mechanic.undoing import undo
from inspect_app.screens.pieces import controls, marks
from inspect_app.screens.pieces.frame import frame
from inspect_app.tables.cylinders import Check, Cylinder


@ft.component
def LookAt(desk: Desk, job: Job, survey: Survey, check: Check) -> ft.Control:  # noqa: N802
    look = desk.standing.look
    result = desk.bench.result(job, survey.name, check)
    adding, set_adding = ft.use_state("")
    mending, set_mending = ft.use_state("")
    wrong = next((d for d in result.defects if d.id == mending), None)
    skipping, set_skipping = ft.use_state(False)

    asking, set_asking = ft.use_state(False)

    def looked() -> None:
        if check.qualified:
            set_asking(True)
        elif desk.enter(job, survey, LookedOver(check)):
            go_on(desk, job, survey, check)

    def close() -> None:
        set_adding("")
        set_mending("")

    if adding or wrong:
        kind = wrong.kind if wrong else adding
        of = dict(desk=desk, job=job, survey=survey, result=result)
        return DefectForm(**of, kind=kind, instead_of=wrong, close=close, key=f"form {kind} {mending}")
    if asking:
        body: list[ft.Control] = [CracksLooked(desk=desk, job=job, survey=survey, check=check, key="cracks")]
        foot: list[ft.Control] = [controls.button(look, "Back to looking", lambda _: set_asking(False))]
    elif skipping:
        body = _left_out(desk, job, survey, check, lambda: set_skipping(False))
        foot = [controls.button(look, "Back to looking", lambda _: set_skipping(False))]
    else:
        body = _overview(desk, job, survey, result, set_adding, set_mending)
        done = "Nothing more to find" if result.defects else "Looked: nothing found"
        foot = [
            controls.button(look, done, desk.guard(lambda _: looked()), strong=True, key="Looked"),
            controls.button(look, "Skip", lambda _: set_skipping(True)),
        ]
    return frame(
        desk,
        check.title,
        body,
        under="looked at" if result.complete else "eye, nail, light along the surface",
        back=parts_of(job, survey),
        tools=(controls.icon_button(look, ft.Icons.UNDO, "Undo", desk.guard(lambda _: undo(desk, job))),),
        foot=foot,
        panel=f"{skipping} {asking}",
    )


def _left_out(
    desk: Desk, job: Job, survey: Survey, check: Check, close: Callable[[], None]
) -> list[ft.Control]:
    """Not looked at, and why."""
    look, cylinder = desk.standing.look, desk.bench.tables_of(job).cylinders[survey.cylinder]

    def leave_out(reason: str) -> None:
        if desk.enter(job, survey, LeftOut(check, WHOLE_CHECK, reason)):
            close()

    return [
        controls.text(look, "Not looked at, because", 20, bold=True),
        *not_fitted(desk, job, survey, check),
        controls.heading(look, "The whole check"),
        *(
            controls.button(look, words, desk.guard(lambda _, r=r: leave_out(r)), key=f"check {words}")
            for r, words in reasons_of(cylinder).items()
        ),
    ]


def _overview(
    desk: Desk,
    job: Job,
    survey: Survey,
    result: CheckResult,
    add: Callable[[str], None],
    mend: Callable[[str], None],
) -> list[ft.Control]:
    look, check, cylinder = desk.standing.look, result.check, _cylinder(desk, job, survey)
    body: list[ft.Control] = [controls.text(look, check.why, 17), controls.small(look, check.how)]
    if by := survey.examined.get(check.id):
        body.append(controls.text(look, examined_words(check.title, by), 17, bold=True))
    if result.skipped:
        body.append(controls.notice(look, f"Left out: {result.skipped}.", "unmeasured"))
    if result.defects:
        body.append(_drawing(desk, job, survey, result))
    for defect in result.defects:
        body.append(_found(desk, job, cylinder, result, defect, lambda _, i=defect.id: mend(i)))
    body.append(controls.heading(look, "Found something? Tap what it is"))
    for kind_id in check.look:
        kind = cylinder.defect(kind_id)
        if kind:
            body.append(
                controls.row(
                    look,
                    kind.title,
                    kind.plain,
                    on_click=lambda _, i=kind_id: add(i),
                    key=f"defect {kind_id}",
                )
            )
    return body


def _cylinder(desk: Desk, job: Job, survey: Survey) -> Cylinder:
    return desk.bench.tables_of(job).cylinders[survey.cylinder]


def _drawing(desk: Desk, job: Job, survey: Survey, result: CheckResult) -> ft.Control:
    """The part with the defects found on it, as large as there is room."""
    part = next(p for p in _cylinder(desk, job, survey).parts if p.id == result.check.part)
    figure = defects_drawing(result, part.figure, survey, desk.standing.system, *drawing_size(desk))
    return ft.Container(marks.drawing(desk.standing.look, figure), alignment=ft.Alignment.CENTER)


def _found(
    desk: Desk, job: Job, cylinder: Cylinder, result: CheckResult, defect: Defect, mend: controls.Handler
) -> ft.Control:
    """A defect as it stands; touched, it can be mended."""
    look, system = desk.standing.look, desk.standing.system
    kind = cylinder.defect(defect.kind)
    title = kind.title if kind else defect.kind
    zone = cylinder.zones.get(defect.zone, defect.zone)
    where = ", ".join(w for w in (place_words(defect.place, {}, system), zone) if w)
    measures = {m.id: m.title for m in cylinder.measures}
    sized = [f"{measures.get(name, name)} {size.typed}" for name, size in defect.sizes.items()]
    sizes = ", ".join([*sized, *([FELT[defect.felt]] if defect.felt in FELT else [])])
    under = " · ".join(w for w in (where, sizes, defect.note) if w)
    parts: list[ft.Control] = [
        controls.row(
            look, title, under, on_click=mend, key=f"mend {defect.id}", said=f"{title}. Change it. {under}"
        )
    ]
    for finding in result.findings:
        if finding.defect == defect.id:
            if finding.verdict is not None:
                parts.append(marks.verdict_line(look, finding.verdict, what_follows(finding)))
            parts.append(controls.small(look, finding_sentence(finding).words(system)))
    parts.append(
        Photos(desk=desk, job=job, of=defect.id, what=title, version=desk.standing.version, asked=True)
    )
    return ft.Container(
        ft.Column(parts, spacing=8, tight=True),
        bgcolor=look.raised,
        border=ft.Border.all(look.weight, look.rule),
        border_radius=6,
        padding=14,
        key=f"found {defect.id}",
    )
