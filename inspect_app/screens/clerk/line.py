"""One place of the seal list: how it stands, its doubts each with the way out, and everything that can be entered."""

from __future__ import annotations

from collections.abc import Callable

import flet as ft

from inspect_app.bench.seals_file import photo_of
from inspect_app.entries.job import Job
from inspect_app.entries.seals import WHOLE_CYLINDER, Where
from inspect_app.job.seals.line import Doubt, SealLine
from inspect_app.job.seals.standing import OrderStands, Standing, State
from inspect_app.report import seal_standing, seal_words
from inspect_app.report.seal_lines import same_words
from inspect_app.screens.clerk import asking
from inspect_app.screens.clerk.forms import Asks, Form, Looks
from inspect_app.screens.desk import Desk
from inspect_app.screens.mechanic.photographs import Photos
from inspect_app.screens.pieces import controls, marks
from inspect_app.trade.measuring.decision import Verdict
from inspect_app.trade.sealing.sheet_figures import FIGURES

Open = Callable[[str, str], None]
"""Opens a form by its name, about something by its id."""


@ft.component
def Place(  # noqa: N802
    desk: Desk, job: Job, where: Where, version: int, form: tuple[str, str], set_form: Open
) -> ft.Control:
    look = desk.standing.look

    def leave() -> None:
        set_form("", "")

    every = desk.bench.seals(job)
    standing = next((s for s in every if s.line.where == where), None)
    if form[0] == "old":
        titles = [(state.id, state.title) for state in desk.bench.tables_of(job).old_seals.values()]
        return Looks(desk=desk, job=job, looks=titles, make=asking.seen(where), leave=leave, key="old")
    if form[0]:
        asks = _asks(desk, job, where, form, standing)
        return Form(desk=desk, job=job, asks=asks, leave=leave, key=f"form {form}")

    def opens(name: str, of: str = "") -> None:
        set_form(name, of)

    if where == WHOLE_CYLINDER:
        shared = {d.objection: d for s in every for d in s.open_doubts if d.shared}
        rows = _doubts(desk, job, tuple(shared.values()), opens)
        return controls.form(rows or [controls.text(look, "Nothing is asked of the whole cylinder.", 18)])
    if standing is None:
        said = controls.text(look, "Nobody has said what is there, or it was answered.", 18)
        there = controls.button(look, "Say what is there", lambda _: opens(THERE), strong=True)
        return controls.form([said, there])
    return controls.form(_line(desk, job, standing, opens, version))


def _asks(desk: Desk, job: Job, where: Where, form: tuple[str, str], standing: Standing | None) -> Asks:
    if form[0] != THERE:
        return asking.FORMS[form[0]](where, form[1], standing)
    pressed = desk.bench.tables_of(job).positions.positions[where[0]].pressed
    seal = standing.line.seal if standing else ""
    return asking.there(where, seal, pressed == "both sides", job.as_found.seals.there.get(where))


def _line(desk: Desk, job: Job, standing: Standing, opens: Open, version: int) -> list[ft.Control]:
    look, system, line = desk.standing.look, desk.standing.system, standing.line
    rows: list[ft.Control] = [
        _state(desk, standing),
        controls.text(look, seal_words.size_words(line, system), 20, bold=True),
        controls.text(look, seal_words.made_words(line), 17),
        controls.text(look, seal_words.count_words(line, system), 17),
        *_questions(desk, standing, opens),
        *_doubts(desk, job, tuple(d for d in standing.open_doubts if not d.shared), opens),
    ]
    rows += [controls.small(look, w) for w in (seal_words.waits_for(line), same_words(line)) if w]
    rows += [
        controls.text(look, said, 17)
        for d in (*line.doubts, *standing.doubts)
        if d.closed and not d.open and (said := seal_words.closed_words(d, system))
    ]
    if standing.state in (State.READY, State.WRONG):
        order = controls.button(look, f"Order {standing.missing}", lambda _: opens("order", ""), strong=True)
        rows.append(order)
    for stands in standing.orders:
        rows += _order(desk, job, stands, opens)
    rows += _ways_to_enter(desk, job, standing, opens)
    return rows + (_old(desk, job, line, version) if line.old else [])


def _old(desk: Desk, job: Job, line: SealLine, version: int) -> list[ft.Control]:
    """The old seal: what it points to, what was measured of it, its photographs."""
    look, system = desk.standing.look, desk.standing.system
    rows: list[ft.Control] = [controls.heading(look, "The old seal")]
    rows += [controls.text(look, said, 17) for said in seal_standing.old_words(line, system)]
    if measured := seal_standing.old_measured_words(job.as_found.seals.old.get(line.where)):
        rows.append(controls.text(look, measured, 17))
    rows.append(controls.small(look, "Evidence, never a verdict, and never the size to order."))
    of = photo_of(line.where)
    rows.append(Photos(desk=desk, job=job, of=of, what="the old seal", version=version, key=of))
    return rows


def _ways_to_enter(desk: Desk, job: Job, standing: Standing, opens: Open) -> list[ft.Control]:
    """What can be said of the place, whatever stands there."""
    look = desk.standing.look
    old = "" if standing.line.where in job.as_found.seals.old else ": not looked at yet"
    ways = (
        ("ask", "Ask the mechanic"),
        ("sheet", "A figure off its sheet"),
        (THERE, "What is there, how many"),
        ("old", f"The old seal{old}"),
    )
    return [
        controls.heading(look, "Enter"),
        *(controls.button(look, label, lambda _, n=name: opens(n, "")) for name, label in ways),
    ]


def _state(desk: Desk, standing: Standing) -> ft.Control:
    """How it stands, with its sign: what is late or in doubt never looks like what is here."""
    look = desk.standing.look
    sign = {State.DOUBT: Verdict.UNCLEAR, State.OFFERED: Verdict.UNCLEAR, State.WRONG: Verdict.BEYOND}
    what = Verdict.BEYOND if standing.late else sign.get(standing.state)
    if standing.fit_to_go_in:
        what = Verdict.WITHIN
    words = seal_standing.state_words(standing, desk.standing.system)
    said = controls.text(look, words[:1].upper() + words[1:], 20, bold=True, expand=True)
    return ft.Row([*([marks.mark(look, what, 26)] if what else []), said], spacing=10)


def _questions(desk: Desk, standing: Standing, opens: Open) -> list[ft.Control]:
    look = desk.standing.look
    rows: list[ft.Control] = []
    for question in standing.questions:
        if question.answer:
            said = f"{question.by} asked: {question.asks} {question.answered_by}: {question.answer}"
            rows.append(controls.text(look, said, 17))
            continue
        answer = controls.button(
            look, "Answer", lambda _, i=question.id: opens("answer", i), strong=True, key=f"answer {question.id}"
        )  # fmt: skip
        rows.append(controls.notice(look, f"{question.by} asks: {question.asks}", "accent", (answer,)))
    return rows


def _doubts(desk: Desk, job: Job, doubts: tuple[Doubt, ...], opens: Open) -> list[ft.Control]:
    """Each open doubt with the one way out; a stop has none but another seal."""
    look, system = desk.standing.look, desk.standing.system
    rows: list[ft.Control] = []
    for n, doubt in enumerate(doubts, 1):
        sentence, settles = seal_words.doubt_words(doubt, system)
        rule = doubt.objection.rule
        ways: list[ft.Control] = [controls.text(look, settles, 17, bold=True)]
        first = next((d for d in doubts if d.objection.rule == rule), doubt)
        if rule == "sheet":
            ways.append(_way(desk, "Give the sheet's figure", opens, "sheet", FIGURES_FIRST))
        if rule in SAID_AT_THE_PLACE:
            ways.append(_way(desk, SAID_AT_THE_PLACE[rule], opens, THERE, ""))
        if doubt.objection.waits:
            ways.append(controls.button(look, "Repair or replace", lambda _: desk.go(f"/job/{job.id}/paths")))
        if doubt.objection.closable and first is doubt:
            ways.append(_way(desk, f"Close doubt {n}: {rule.replace('-', ' ')}", opens, "close", rule))
        role = "beyond" if doubt.objection.stop else "unclear"
        rows.append(controls.notice(look, sentence, role, ways))
    return rows


THERE = "there"
"""The form that says what is at a place."""
SAID_AT_THE_PLACE = {
    "number": "Say how many", "lone-lip": "Say how the lips face", "lips": "Say how the lips face",
    "energiser": "Give the supplier's word",
}  # fmt: skip
"""The doubts that are settled by it, and what the button says that opens it."""

FIGURES_FIRST = next(iter(FIGURES))
"""The figure a sheet is asked for first: the gap."""


def _way(desk: Desk, label: str, opens: Open, name: str, of: str) -> ft.Control:
    return controls.button(desk.standing.look, label, lambda _: opens(name, of))


def _order(desk: Desk, job: Job, stands: OrderStands, opens: Open) -> list[ft.Control]:
    look, system = desk.standing.look, desk.standing.system
    order, offer = stands.order, stands.offer
    rows: list[ft.Control] = [controls.heading(look, f"Order at {order.supplier}")]
    rows += [controls.text(look, said, 17) for said in seal_standing.order_words(stands, system)]
    if offer and offer.accepted is None:
        rows.append(_way(desk, "Accept or refuse what is offered", opens, "decide", offer.id))
    elif stands.to_come:
        received = controls.button(look, "Received", lambda _: opens("received", order.id), strong=True)
        rows += [received, _way(desk, "Offered otherwise", opens, "offer", order.id)]

    def take_back() -> None:
        named = next(e for e in desk.bench.logbook.entries(job.id) if e.id == order.id)
        desk.bench.take_back(job, named, desk.standing.initials)
        desk.refresh()

    if not stands.receipts:
        rows.append(
            controls.button(look, "Take the order back", desk.guard(lambda _: take_back()), key=f"off {order.id}")
        )  # fmt: skip
    return rows
