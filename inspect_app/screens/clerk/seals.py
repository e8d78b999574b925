"""The seal list: what is late, what holds a line back and what settles it, what can be ordered, and why each seal."""

from __future__ import annotations

from collections.abc import Awaitable, Callable

import flet as ft

from inspect_app.bench.sealing import seals_pdf
from inspect_app.entries.job import Job
from inspect_app.entries.seals import WHOLE_CYLINDER, Where
from inspect_app.job.findings import Disposition
from inspect_app.job.seals.line import SealLine
from inspect_app.job.seals.seal_list import SealList
from inspect_app.job.seals.standing import Standing, State
from inspect_app.report import seal_standing, seal_words
from inspect_app.report.seal_lines import same_words
from inspect_app.report.seal_words import Numbered
from inspect_app.screens.clerk import asking
from inspect_app.screens.clerk.forms import Form
from inspect_app.screens.clerk.line import Place
from inspect_app.screens.clerk.places import list_route, place_route
from inspect_app.screens.clerk.section import section_of
from inspect_app.screens.desk import Desk
from inspect_app.screens.mechanic.undoing import undo
from inspect_app.screens.pieces import controls, marks
from inspect_app.screens.pieces.frame import at_a_desk, frame
from inspect_app.screens.pieces.papers import PAPER, open_button
from inspect_app.trade.measuring.decision import Verdict
from inspect_app.trade.measuring.refusal import Refusal, in_words

GROUPS = (
    ("Late", None),
    ("Wrong part came", State.WRONG),
    ("Offered otherwise: the mechanic's word", State.OFFERED),
    ("Cannot be ordered yet", State.DOUBT),
    ("Can be ordered", State.READY),
    ("On the way", State.ORDERED),
    ("Part of it is here", State.PART),
    ("Here", State.RECEIVED),
)
"""The groups of the list, the most urgent first; what is late stands there and nowhere else."""

DO = {
    State.DOUBT: "Ask or settle", State.READY: "Order", State.WRONG: "Order again", State.OFFERED: "Accept or refuse",
    State.ORDERED: "Received, or offered otherwise", State.PART: "The rest came", State.RECEIVED: "Look at it",
}  # fmt: skip
"""What is likely done next with a line."""


@ft.component
def Seals(desk: Desk, job: Job, at: Where | None) -> ft.Control:  # noqa: N802
    """The list, or one place of it; at a desk the place stands beside the list."""
    look, system = desk.standing.look, desk.standing.system
    opened, set_opened = ft.use_state(0)
    made, set_made = ft.use_state((job, "", b""))
    # a form belongs to one stay at its place: at another one, or come here again, nothing is open
    stay = ft.use_memo(object, [at])
    asked, set_asked = ft.use_state((stay, "", ""))
    form = asked[1:] if asked[0] is stay else ("", "")
    listing = _list_of(desk, job)
    if isinstance(listing, Refusal):
        refused: list[ft.Control] = [controls.notice(look, listing.words(system))]
        return frame(desk, "Seal list", refused, under=job.name, back=f"/job/{job.id}")
    takes_back = controls.icon_button(look, ft.Icons.UNDO, "Undo", desk.guard(lambda _: undo(desk, job)))
    place = _place(desk, job, at, form, lambda name, of: set_asked((stay, name, of)))
    if at is not None and not at_a_desk(desk):
        title = _title(desk, listing, at)
        return frame(
            desk,
            title,
            place,
            under=job.name,
            back=list_route(job),
            tools=(takes_back,),
            panel=f"{title} {form}",
        )

    async def make(_: object) -> None:
        tables = desk.bench.tables_of(job)
        drawn = await desk.floor.beside(lambda: seals_pdf(job, listing, tables, system))
        set_made((job, system, drawn))

    # what was made of another state of the job, or in other units, is not this list
    pdf = made[2] if made[:2] == (job, system) else b""
    body = _body(desk, job, listing, opened, lambda n: set_opened(0 if n == opened else n))
    body[1:1] = section_of(desk, job, listing)
    beside = [controls.heading(look, _title(desk, listing, at)), *place] if at is not None else place
    return frame(
        desk,
        "Seal list",
        body,
        under=job.name,
        back=f"/job/{job.id}",
        tools=(takes_back,),
        foot=[_paper(desk, job, pdf, make)],
        beside=beside if at_a_desk(desk) else None,
    )


def _place(
    desk: Desk, job: Job, at: Where | None, form: tuple[str, str], opens: Callable[[str, str], None]
) -> list[ft.Control]:
    if at is None:
        said = "Touch what is to be done with a line; it opens here."
        return [controls.small(desk.standing.look, said)]
    version = desk.standing.version
    return [
        Place(desk=desk, job=job, where=at, version=version, form=form, set_form=opens, key=f"place {at}")
    ]


def _title(desk: Desk, listing: SealList, at: Where) -> str:
    if at == WHOLE_CYLINDER:
        return "Asked once, for the whole cylinder"
    named = next((n.title for n in seal_words.numbered(listing) if n.line.where == at), "")
    position = desk.bench.tables.positions.positions.get(at[0])
    return named or f"{position.title if position else at[0]}, {at[1]}"


def _paper(desk: Desk, job: Job, pdf: bytes, make: Callable[[object], Awaitable[None]]) -> ft.Control:
    """The way to the list on paper: made first, since only a touch may open a document."""
    if pdf:
        return open_button(desk, f"seal-list-{job.id[:8]}.pdf", pdf)
    return controls.button(desk.standing.look, "Make the PDF", desk.guard(make), icon=PAPER)


def _list_of(desk: Desk, job: Job) -> SealList | Refusal:
    try:
        return desk.bench.seal_list(job)
    except Refusal as refused:
        return refused


def _body(desk: Desk, job: Job, listing: SealList, opened: int, toggle: controls.Handler) -> list[ft.Control]:
    look, system = desk.standing.look, desk.standing.system
    every = desk.bench.seals(job)
    counts = seal_standing.count_words(every) or seal_words.standing_words(listing)
    body: list[ft.Control] = [controls.text(look, counts, 22, bold=True)]
    if holding := seal_standing.holding_words(every, system):
        body.append(controls.notice(look, holding, "beyond" if any(s.late for s in every) else "accent"))
    if looks := seal_standing.looks_words(every, job.as_found.seals.old):
        body.append(controls.text(look, looks, 17))
    body.append(Reassembly(desk=desk, job=job, key="reassembly"))
    if shared := seal_words.asked_once(listing, system):
        body.append(controls.heading(look, "Asked once, for the whole cylinder"))
        body += [_doubt(desk, *words, stops=False) for words in shared]
        settle = place_route(job, WHOLE_CYLINDER)
        body.append(controls.button(look, "Settle what is asked once", lambda _: desk.go(settle)))
    lines = [*zip(seal_words.numbered(listing), every, strict=True)]
    for title, state in GROUPS:
        here = [(n, s) for n, s in lines if (s.late if state is None else s.state is state and not s.late)]
        if here:
            body.append(controls.heading(look, title))
            body += [_line(desk, job, n, s, n.number == opened, toggle) for n, s in here]
    if listing.settled:
        body.append(controls.heading(look, "Answered: there is none, or something else"))
        body += [controls.text(look, words, 17) for words in seal_words.none_words(listing, system)]
    if listing.unsaid:
        body.append(controls.heading(look, "May be there, and nobody has said"))
        body += [
            controls.row(look, words, on_click=lambda _, w=asked.where: desk.go(place_route(job, w)))
            for words, asked in zip(seal_words.unsaid_words(listing), listing.unsaid, strict=True)
        ]
    return body


@ft.component
def Reassembly(desk: Desk, job: Job) -> ft.Control:  # noqa: N802
    """The day the cylinder goes together, by which a promise is late or not."""
    opened, set_opened = ft.use_state(False)
    day = job.ordering.reassembly
    if opened:
        asks = asking.reassembly(day)
        return Form(desk=desk, job=job, asks=asks, leave=lambda: set_opened(False), key="form")
    words = f"Reassembly on {day}" if day else "Reassembly not planned"
    return controls.row(
        desk.standing.look, words, "Late is what is promised after it", on_click=lambda _: set_opened(True)
    )


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


def _line(
    desk: Desk, job: Job, numbered: Numbered, standing: Standing, is_open: bool, toggle: controls.Handler
) -> ft.Control:
    look, system, line = desk.standing.look, desk.standing.system, numbered.line
    inner = [_head(desk, numbered, is_open, lambda _: toggle(numbered.number))]
    told: list[ft.Control] = []
    if standing.orders or standing.late:
        told.append(controls.text(look, seal_standing.state_words(standing, system), 17, bold=True))
    told += [controls.text(look, f"Asked: {q.asks}", 17, bold=True) for q in standing.asked]
    told += [
        _doubt(desk, *seal_words.doubt_words(d, system), d.objection.stop)
        for d in standing.open_doubts
        if not d.shared
    ]
    told += [controls.small(look, w) for w in (seal_words.waits_for(line), same_words(line)) if w]
    if is_open:
        told += _why(desk, line)
    does = DO[standing.state]
    told.append(
        controls.button(
            look,
            does,
            lambda _: desk.go(place_route(job, line.where)),
            strong=standing.state in (State.READY, State.WRONG),
            key=f"do {numbered.number}",
            said=f"{does}: {numbered.title}",
        )
    )
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
    told += [
        controls.text(look, seal_words.closed_words(doubt, system), 17)
        for doubt in line.doubts
        if doubt.closed and not doubt.open
    ]
    told += [controls.text(look, words, 17) for words in seal_standing.old_words(line, system)]
    return told
