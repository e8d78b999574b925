"""The report: what it will say in short, made at any time, opened as PDF."""

from __future__ import annotations

import flet as ft

from inspect_app.bench.issuing import (
    NARROW,
    draft_report,
    entered_since,
    issue_drawn,
    report_file,
    reports_listed,
)
from inspect_app.entries.job import Job
from inspect_app.job.as_left import PartNow, now_sentence
from inspect_app.job.assess import Assessment, Whole
from inspect_app.job.headline import whole_sentence
from inspect_app.job.words import BECOMES, MARKS
from inspect_app.screens.desk import Desk
from inspect_app.screens.pieces import controls, marks
from inspect_app.screens.pieces.frame import frame
from inspect_app.screens.pieces.papers import hand_over_button, open_button
from inspect_app.trade.measuring.wording import counted


@ft.component
def ReportScreen(desk: Desk, job: Job) -> ft.Control:  # noqa: N802
    look = desk.standing.look
    assessment = desk.bench.assess(job)
    making, set_making = ft.use_state(False)
    reports = [r for r in job.reports if r.page != NARROW], [r for r in job.reports if r.page == NARROW]
    paper, narrow = (its[-1] if its else None for its in reports)
    sha256, narrow_sha256 = (its.sha256 if its else "" for its in (paper, narrow))
    pdf = ft.use_memo(lambda: _made(desk, sha256), [sha256])
    narrow_pdf = ft.use_memo(lambda: _made(desk, narrow_sha256), [narrow_sha256])

    async def issue(page: str) -> None:
        set_making(True)
        try:
            now, system = desk.bench.job(job.id), desk.standing.system
            draft = draft_report(desk.bench, now, system, page, issuing=True)
            made = await desk.floor.beside(draft.drawn)
            # others may have entered something meanwhile: that it does not cover
            now = desk.bench.job(job.id)
            issue_drawn(desk.bench, now, desk.standing.initials, draft.head, made, page)
        finally:
            set_making(False)
        desk.refresh()

    async def to_print(_: object) -> None:
        await issue("A4")

    async def to_read(_: object) -> None:
        await issue(NARROW)

    whole, parts = whole_sentence(assessment), desk.bench.parts_now(job)
    body: list[ft.Control] = [controls.text(look, whole, 22, bold=True)]
    if any(p.touched for p in parts):
        body = [
            controls.text(look, now_sentence(parts), 22, bold=True),
            controls.text(look, f"As found, before the work: {whole}", 17),
        ]
    foot: list[ft.Control] = []
    since = entered_since(desk.bench, job)
    current = [made for made, later in zip(job.reports, since, strict=True) if not later]
    for made, sentence in reversed(list(reports_listed(desk.bench, job))):
        body.append(controls.notice(look, sentence, "within" if made in current else "unclear"))
    if pdf:
        name = f"inspection-{sha256[:8]}.pdf"
        foot += [open_button(desk, name, pdf, strong=paper in current), *hand_over_button(desk, name, pdf)]
    if narrow_pdf:
        name = f"inspection-narrow-{narrow_sha256[:8]}.pdf"
        foot += [open_button(desk, name, narrow_pdf, strong=False, label="Open it for a phone")]
    if making:
        foot.append(controls.text(look, "The report is being made.", 20))
    else:
        strong = paper not in current
        foot.append(controls.button(look, "Make the report", desk.guard(to_print), strong=strong))
        if narrow not in current:
            foot.append(controls.button(look, "Make it for a phone", desk.guard(to_read)))
    body += _what_to_know(desk, job, assessment)
    body += [_part_row(desk, part) for part in parts]
    return frame(desk, "Report", body, under=job.name, back=f"/job/{job.id}", foot=foot)


def _part_row(desk: Desk, part: PartNow) -> ft.Control:
    """How a part stands: as found, or where it was measured again both."""
    look, now = desk.standing.look, part.left if part.touched else part.found
    words = BECOMES[part.found.disposition]
    if part.touched:
        words = f"as found {words}, as left {BECOMES[now.disposition]}"
    return controls.row(
        look,
        part.part.title,
        words,
        leading=marks.mark(look, MARKS[now.disposition]),
        trailing=f"{now.left} left" if now.left else "",
    )


def _made(desk: Desk, sha256: str) -> bytes:
    """The report that was issued last, nothing if its file is not here."""
    file = report_file(desk.bench, sha256)
    return file.read_bytes() if file else b""


def _what_to_know(desk: Desk, job: Job, assessment: Assessment) -> list[ft.Control]:
    """What the report will not be able to say, and whether the limits changed meanwhile."""
    look = desk.standing.look
    known: list[ft.Control] = []
    if assessment.left:
        known.append(
            controls.notice(
                look,
                f"{counted(assessment.left, 'place is', 'places are')} neither measured nor skipped with a reason. "
                "The report says so in plain words.",
            )
        )
    if assessment.whole is Whole.OPEN:
        known.append(controls.small(look, "A report can be made at any time; this one decides nothing yet."))
    if desk.bench.outdated(job):

        def adopt() -> None:
            desk.bench.adopt_tables(job, desk.standing.initials)
            desk.refresh()

        known.append(
            controls.notice(
                look,
                "The shop's limits have changed since this job was opened. It is judged by the ones it was "
                "opened with.",
                "accent",
                (controls.button(look, "Judge by today's limits", desk.guard(lambda _: adopt())),),
            )
        )
    return known
