"""The findings part by part, what a person decides with open eyes, and the report."""

from __future__ import annotations

from collections.abc import Callable

import flet as ft

from inspect_app.issuing import issue_report
from inspect_app.job.assess import Disposition, PartResult, Whole
from inspect_app.job.job import Job
from inspect_app.job.words import part_reasons, whole_sentence
from inspect_app.screens import pieces
from inspect_app.screens.desk import Desk
from inspect_app.screens.frame import frame
from inspect_app.trade.decision import Verdict

MARKS = {
    Disposition.REUSE: Verdict.WITHIN,
    Disposition.REWORK: Verdict.BEYOND,
    Disposition.REPLACE: Verdict.BEYOND,
    Disposition.REFER: Verdict.BEYOND,
    Disposition.OPEN: Verdict.NOT_MEASURED,
    Disposition.UNCHECKED: Verdict.NOT_MEASURED,
}
CHOICES = (("reuse", "Reuse"), ("rework", "Rework"), ("replace", "Replace"))


@ft.component
def Findings(desk: Desk, job: Job) -> ft.Control:  # noqa: N802
    look = desk.standing.look
    assessment = desk.bench.assess(job)
    deciding, set_deciding = ft.use_state("")
    body: list[ft.Control] = [pieces.text(look, whole_sentence(assessment), 22, bold=True)]
    for part in assessment.parts:
        body.append(_part(desk, part, lambda _, i=part.part.id: set_deciding(i)))
        if deciding == part.part.id:
            body.append(Decide(desk=desk, job=job, part=part, close=lambda: set_deciding("")))
    return frame(
        desk,
        "Findings",
        body,
        under=job.name,
        back=f"/job/{job.id}",
        tools=(pieces.icon_button(look, ft.Icons.UNDO, "Undo", desk.guard(lambda _: desk.undo(job))),),
        foot=(pieces.button(look, "Report", lambda _: desk.go(f"/job/{job.id}/report"), strong=True),),
    )


def _part(desk: Desk, part: PartResult, decide: pieces.Handler) -> ft.Control:
    look, system = desk.standing.look, desk.standing.system
    title = f"{part.part.title}: {part.disposition.value}"
    inner: list[ft.Control] = [
        ft.Row(
            [
                pieces.mark(look, MARKS[part.disposition], 30),
                ft.Semantics(header=True, content=pieces.text(look, title, 20, bold=True)),
            ],
            spacing=10,
        )
    ]
    if part.decided:
        decided = f"Decided by {part.decided.by}: {part.decided.reason} (computed: {part.computed.value})"
        inner.append(pieces.text(look, decided, 17))
    reasons = part_reasons(part, system)
    inner += [pieces.text(look, r, 17) for r in reasons]
    if not reasons:
        inner.append(pieces.text(look, "Everything measured is within its reuse limit.", 17))
    inner.append(
        pieces.button(look, f"Decide for the {part.part.title.lower()}", decide, key=f"decide {part.part.id}")
    )
    return ft.Container(
        ft.Column(inner, spacing=8, tight=True),
        bgcolor=look.raised,
        border=ft.Border.all(look.weight, look.rule),
        border_radius=6,
        padding=14,
    )


@ft.component
def Decide(desk: Desk, job: Job, part: PartResult, close: Callable[[], None]) -> ft.Control:  # noqa: N802
    """A person decides otherwise, with open eyes: what, why, and by whom."""
    look = desk.standing.look
    what, set_what = ft.use_state("rework")
    why, set_why = ft.use_state("")

    def keep() -> None:
        outcome = desk.bench.decide(job, part.part.id, what, why, desk.standing.initials)
        if desk.outcome(outcome):
            close()

    return ft.Column(
        [
            pieces.choices(look, CHOICES, what, set_what, columns=1),
            pieces.field(look, "Reason, printed in the report", why, set_why, on_change=set_why, lines=2),
            pieces.button(look, "Decide so", desk.guard(lambda _: keep()), strong=True),
            pieces.button(look, "Leave it as computed", lambda _: close()),
        ],
        spacing=12,
        horizontal_alignment=ft.CrossAxisAlignment.STRETCH,
    )


@ft.component
def ReportScreen(desk: Desk, job: Job) -> ft.Control:  # noqa: N802
    look, system = desk.standing.look, desk.standing.system
    assessment = desk.bench.assess(job)
    issued, set_issued = ft.use_state("")
    left = assessment.left

    def issue() -> None:
        report = issue_report(desk.bench, job, desk.standing.initials, system)
        set_issued(report.sha256)
        desk.refresh()

    body: list[ft.Control] = [pieces.text(look, whole_sentence(assessment), 22, bold=True)]
    if issued:
        body.append(pieces.notice(look, "The report is made and kept with the job.", "within"))
    if left:
        body.append(
            pieces.notice(
                look,
                f"{left} places are neither measured nor skipped with a reason. The report says so in plain words.",
            )
        )
    if assessment.whole is Whole.OPEN:
        body.append(pieces.small(look, "A report can be made at any time; this one decides nothing yet."))
    for part in assessment.parts:
        body.append(
            pieces.row(
                look,
                part.part.title,
                part.disposition.value,
                leading=pieces.mark(look, MARKS[part.disposition]),
                trailing=f"{part.left} left" if part.left else "",
            )
        )
    if desk.bench.outdated(job):
        body.append(
            pieces.notice(
                look,
                "The shop's limits have changed since this job was opened. It is judged by the ones it was "
                "opened with.",
                "accent",
                (
                    pieces.button(
                        look,
                        "Judge by today's limits",
                        desk.guard(
                            lambda _: (desk.bench.adopt_tables(job, desk.standing.initials), desk.refresh())
                        ),
                    ),
                ),
            )
        )
    foot: list[ft.Control] = [
        pieces.button(look, "Make the report", desk.guard(lambda _: issue()), strong=not issued)
    ]
    if issued:
        link = desk.sign(issued)
        foot.insert(
            0,
            pieces.button(
                look,
                "Open the PDF",
                strong=True,
                icon=ft.Icons.PICTURE_AS_PDF_OUTLINED,
                action=ft.OpenUrl(link),
                key="Open the PDF",
            ),
        )
    return frame(desk, "Report", body, under=job.name, back=f"/job/{job.id}", foot=foot)
