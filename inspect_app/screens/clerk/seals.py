"""The seal list on the phone: what stands, what holds a line back and what settles it, and why each seal was chosen."""

from __future__ import annotations

from collections.abc import Callable

import flet as ft

from inspect_app.bench.sealing import seals_of, seals_pdf
from inspect_app.entries.job import Job
from inspect_app.job.findings import Disposition
from inspect_app.job.seals.line import SealLine
from inspect_app.job.seals.seal_list import SealList
from inspect_app.report import seal_words
from inspect_app.report.seal_words import Numbered
from inspect_app.screens.clerk.section import section_of
from inspect_app.screens.desk import Desk
from inspect_app.screens.pieces import controls, marks
from inspect_app.screens.pieces.frame import frame
from inspect_app.screens.pieces.papers import PAPER, open_button
from inspect_app.trade.measuring.decision import Verdict
from inspect_app.trade.measuring.refusal import Refusal, in_words


@ft.component
def Seals(desk: Desk, job: Job) -> ft.Control:  # noqa: N802
    look, system = desk.standing.look, desk.standing.system
    opened, set_opened = ft.use_state(0)
    made, set_made = ft.use_state((job, "", b""))
    listing = _list_of(desk, job)
    if isinstance(listing, Refusal):
        refused: list[ft.Control] = [controls.notice(look, listing.words(system))]
        return frame(desk, "Seal list", refused, under=job.name, back=f"/job/{job.id}")

    def make() -> None:
        set_made((job, system, seals_pdf(job, listing, desk.bench.tables_of(job), system)))

    # what was made of another state of the job, or in other units, is not this list
    pdf = made[2] if made[:2] == (job, system) else b""
    body = _body(desk, listing, opened, lambda n: set_opened(0 if n == opened else n))
    body[1:1] = section_of(desk, job, listing)
    return frame(
        desk, "Seal list", body, under=job.name, back=f"/job/{job.id}", foot=[_paper(desk, job, pdf, make)]
    )


def _paper(desk: Desk, job: Job, pdf: bytes, make: Callable[[], None]) -> ft.Control:
    """The way to the list on paper: made first, since only a touch may open a document."""
    if pdf:
        return open_button(desk, f"seal-list-{job.id[:8]}.pdf", pdf)
    return controls.button(desk.standing.look, "Make the PDF", desk.guard(lambda _: make()), icon=PAPER)


def _list_of(desk: Desk, job: Job) -> SealList | Refusal:
    try:
        return seals_of(desk.bench, job)
    except Refusal as refused:
        return refused


def _body(desk: Desk, listing: SealList, opened: int, toggle: controls.Handler) -> list[ft.Control]:
    look, system = desk.standing.look, desk.standing.system
    body: list[ft.Control] = [controls.text(look, seal_words.standing_words(listing), 22, bold=True)]
    if shared := seal_words.asked_once(listing, system):
        body.append(controls.heading(look, "Asked once, for the whole cylinder"))
        body += [_doubt(desk, *words, stops=False) for words in shared]
    groups = (
        ("Cannot be ordered yet", seal_words.held_back(listing)),
        ("Can be ordered", seal_words.ready(listing)),
    )
    for title, lines in groups:
        if lines:
            body.append(controls.heading(look, title))
            body += [_line(desk, n, n.number == opened, toggle) for n in lines]
    endings = (
        ("Answered: there is none, or something else", seal_words.none_words(listing, system)),
        ("May be there, and nobody has said", seal_words.unsaid_words(listing)),
    )
    for title, sentences in endings:
        if sentences:
            body.append(controls.heading(look, title))
            body += [controls.text(look, words, 17) for words in sentences]
    return body


def _doubt(desk: Desk, sentence: str, settles: str, stops: bool) -> ft.Control:
    """An open doubt with its sign, and the one way out of it."""
    look = desk.standing.look
    return ft.Row(
        [
            marks.mark(look, Disposition.REFER if stops else Verdict.UNCLEAR, 24),
            ft.Column(
                [controls.text(look, sentence, 17), controls.text(look, settles, 17, bold=True)],
                spacing=2,
                expand=True,
                tight=True,
            ),
        ],
        spacing=10,
        vertical_alignment=ft.CrossAxisAlignment.START,
    )


def _line(desk: Desk, numbered: Numbered, is_open: bool, toggle: controls.Handler) -> ft.Control:
    look, system, line = desk.standing.look, desk.standing.system, numbered.line
    inner = [_head(desk, numbered, is_open, lambda _: toggle(numbered.number))]
    told: list[ft.Control] = [
        _doubt(desk, *seal_words.doubt_words(d, system), d.objection.stop)
        for d in seal_words.own_doubts(line)
    ]
    if waits := seal_words.waits_for(line):
        told.append(controls.small(look, waits))
    if is_open:
        told += _why(desk, line)
    if told:
        inner.append(
            ft.Container(
                ft.Column(told, spacing=10, tight=True, horizontal_alignment=ft.CrossAxisAlignment.STRETCH),
                padding=ft.Padding(14, 0, 14, 14),
            )
        )
    return ft.Container(
        ft.Column(inner, spacing=0, tight=True, horizontal_alignment=ft.CrossAxisAlignment.STRETCH),
        bgcolor=look.raised,
        border=ft.Border.all(look.weight, look.rule),
        border_radius=6,
        key=f"line {numbered.number}",
    )


def _head(desk: Desk, numbered: Numbered, is_open: bool, on_click: controls.Handler) -> ft.Control:
    """Position and place, and what to order; touched it opens why."""
    look, line = desk.standing.look, numbered.line
    words = (
        seal_words.size_words(line, desk.standing.system),
        seal_words.made_words(line),
        seal_words.count_words(line, desk.standing.system),
        seal_words.basis_words(line, desk.standing.system),
    )
    icon = ft.Icons.EXPAND_LESS if is_open else ft.Icons.EXPAND_MORE
    rows: list[ft.Control] = [controls.text(look, numbered.title, 20, bold=True)]
    rows.append(controls.text(look, words[0], 18, bold=True))
    rows += [controls.text(look, w, 17) for w in words[1:3]]
    rows.append(controls.small(look, words[3]))
    return ft.Semantics(
        label=controls.printable(". ".join((numbered.title, *(w.rstrip(".") for w in words)))),
        button=True,
        expanded=is_open,
        container=True,
        exclude_semantics=True,
        identifier=f"seal {numbered.number}",
        on_tap=on_click,
        key=f"seal {numbered.number}",
        content=ft.Container(
            ft.Row(
                [
                    ft.Column(rows, spacing=3, expand=True, tight=True),
                    ft.Icon(icon, color=look.accent, size=30),
                ],
                spacing=10,
                vertical_alignment=ft.CrossAxisAlignment.START,
            ),
            padding=14,
            on_click=on_click,
            ink=True,
        ),
    )


def _why(desk: Desk, line: SealLine) -> list[ft.Control]:
    """What was measured, and each step of the choice with where it is from."""
    look, system = desk.standing.look, desk.standing.system
    sources = desk.bench.tables.sources
    told: list[ft.Control] = [controls.text(look, "What was measured", 18, bold=True)]
    measured = seal_words.measured_words(line, system) or ("Nothing was measured.",)
    told += [controls.text(look, words, 17) for words in measured]
    told += [controls.text(look, in_words(remark, system), 17) for remark in line.remarks]
    told.append(controls.text(look, "Why this one", 18, bold=True))
    for step in line.steps:
        told.append(controls.text(look, seal_words.step_words(step, system), 17))
        if source := seal_words.source_words(step.source, step.status, sources, system):
            told.append(controls.small(look, source))
    for doubt in line.doubts:
        if doubt.closed and not doubt.open:
            told.append(controls.text(look, seal_words.closed_words(doubt, system), 17))
    return told
