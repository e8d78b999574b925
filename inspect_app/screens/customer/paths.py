"""Repair or replace: what is recommended in words, the ways offered with price and days, and why the others are not."""

from __future__ import annotations

from collections.abc import Callable

import flet as ft

from inspect_app.bench.planning import Proposal, propose
from inspect_app.entries.agreeing import PathChosen, WorkAnsweredFor
from inspect_app.entries.job import Job
from inspect_app.job.paths import RepairPath, Standing
from inspect_app.job.pricing import Priced, rounding_words
from inspect_app.report.path_list import MOST, careful_words
from inspect_app.screens.customer.agreed import scope_route
from inspect_app.screens.desk import Desk
from inspect_app.screens.pieces import controls, marks
from inspect_app.screens.pieces.frame import frame
from inspect_app.screens.pieces.texts import use_texts
from inspect_app.tables import Tables
from inspect_app.tables.faults import TableError
from inspect_app.tables.operations import Operation
from inspect_app.trade.measuring.decision import Verdict
from inspect_app.trade.measuring.refusal import Refusal, in_words
from inspect_app.trade.measuring.wording import capital
from inspect_app.trade.money.price import amount_text

SIGNS = {Standing.UNPROVEN: Verdict.UNCLEAR, Standing.REFUSED: Verdict.BEYOND}
TITLES = {Standing.UNPROVEN: "Not proven", Standing.REFUSED: "Refused"}


@ft.component
def RepairPaths(desk: Desk, job: Job) -> ft.Control:  # noqa: N802
    look = desk.standing.look
    whole, set_whole = ft.use_state(False)
    found = ft.use_memo(lambda: _proposal(desk, job), [job])
    if isinstance(found, str):
        body: list[ft.Control] = [controls.notice(look, found)]
    else:
        tables = desk.bench.tables_of(job)
        body = _recommended(desk, found)
        for n, priced in enumerate(found.offered, 1):
            body.append(_offered(desk, job, n, priced, found, tables))
        for standing in SIGNS:
            body += _others(desk, found, standing, tables, None if whole else MOST, lambda: set_whole(True))
        body += _to_answer_for(desk, job, found, tables)
        body += _without_cure(desk, found, tables)
    return frame(desk, "Repair or replace", body, under=job.name, back=f"/job/{job.id}")


def _proposal(desk: Desk, job: Job) -> Proposal | str:
    """The ways of the job as it stands, or a sentence why there are none to show."""
    try:
        return propose(desk.bench, job, desk.bench.folder)
    except Refusal as refused:
        return refused.words(desk.standing.system)
    except TableError as fault:
        return str(fault)


def _recommended(desk: Desk, found: Proposal) -> list[ft.Control]:
    look, system = desk.standing.look, desk.standing.system
    advice = found.recommendation
    body: list[ft.Control] = [controls.text(look, in_words(advice.words, system), 22, bold=True)]
    body += [controls.text(look, in_words(fact, system), 17) for fact in advice.facts]
    if found.rates.notice and (found.offered or found.unproven):
        body.append(controls.notice(look, found.rates.notice))
        body.append(controls.small(look, rounding_words(found.rates)))
    return body


def _card(desk: Desk, inner: list[ft.Control], key: str) -> ft.Control:
    look = desk.standing.look
    return ft.Container(
        ft.Column(inner, spacing=8, tight=True, horizontal_alignment=ft.CrossAxisAlignment.STRETCH),
        bgcolor=look.raised,
        border=ft.Border.all(look.weight, look.rule),
        border_radius=6,
        padding=14,
        key=key,
    )


def _headed(desk: Desk, title: str, sign: Verdict) -> ft.Control:
    look = desk.standing.look
    words = ft.Semantics(header=True, content=controls.text(look, title, 20, bold=True))
    return ft.Row(
        [marks.mark(look, sign, 28), ft.Container(words, expand=True)],
        spacing=10,
        vertical_alignment=ft.CrossAxisAlignment.START,
    )


def _works(path: RepairPath, tables: Tables) -> list[str]:
    return [capital(tables.operations.by_id[o].title) for o in path.operations]


def _offered(desk: Desk, job: Job, n: int, priced: Priced, found: Proposal, tables: Tables) -> ft.Control:
    """A way that is offered: its lines with prices, total and days, what was reckoned, who may do it."""
    look, system, coin = desk.standing.look, desk.standing.system, found.rates.coin
    inner: list[ft.Control] = [_headed(desk, f"Way {n}, offered", Verdict.WITHIN)]
    for line in priced.lines:
        amount = "no price yet" if line.amount is None else amount_text(line.amount, coin)
        inner.append(_priced(desk, line.title, amount))
        if line.amount is None:
            inner.append(controls.small(look, f"{capital(in_words(line.missing, system))}."))
    if priced.total:
        inner.append(_priced(desk, "Total before tax", amount_text(priced.total.net, coin)))
        inner.append(_priced(desk, "Tax", amount_text(priced.total.tax, coin)))
        inner.append(_priced(desk, "Together", amount_text(priced.total.gross, coin), bold=True))
        if found.rates.notice:
            inner.append(controls.small(look, found.rates.notice))
    inner.append(controls.text(look, f"Takes {priced.lead.days:g} days.", 18, bold=True))
    inner += [controls.text(look, in_words(o.sentence, system), 17) for o in priced.path.outcomes]
    inner += [controls.text(look, f"Careful: {words}", 17) for words in careful_words(priced.path, tables)]
    inner.append(_propose(desk, job, n, priced.path))
    return _card(desk, inner, f"offered {n}")


def _propose(desk: Desk, job: Job, n: int, path: RepairPath) -> ft.Control:
    """Chooses a way, and leads to the scope made of it."""

    def propose_it() -> None:
        if desk.enter(job, job.as_found, PathChosen(path.operations)):
            desk.go(scope_route(job))

    stands = job.agreeing.path
    chosen = stands is not None and frozenset(stands.operations) == frozenset(path.operations)
    label = f"Way {n} is proposed: to the scope" if chosen else f"Propose way {n} to the customer"
    return controls.button(
        desk.standing.look, label, desk.guard(lambda _: propose_it()), strong=n == 1, key=f"propose {n}"
    )


def _priced(desk: Desk, title: str, amount: str, bold: bool = False) -> ft.Control:
    """A line of a price: the work, and the amount on the right."""
    look = desk.standing.look
    return ft.Row(
        [
            controls.text(look, capital(title), 17, bold=bold, expand=True),
            controls.text(look, amount, 17, bold=bold, align=ft.TextAlign.RIGHT),
        ],
        spacing=10,
        vertical_alignment=ft.CrossAxisAlignment.START,
    )


def _others(
    desk: Desk,
    found: Proposal,
    standing: Standing,
    tables: Tables,
    most: int | None,
    show_all: Callable[[], None],
) -> list[ft.Control]:
    """The ways of one standing that are not offered, each with the figure and the limit that keep it back."""
    look, system = desk.standing.look, desk.standing.system
    paths = found.paths.standing(standing)
    body: list[ft.Control] = []
    for n, path in enumerate(paths[:most], 1):
        inner = [_headed(desk, f"{TITLES[standing]} {n} of {len(paths)}", SIGNS[standing])]
        inner += [controls.text(look, work, 18, bold=True) for work in _works(path, tables)]
        inner += [controls.text(look, in_words(reason, system), 17) for reason in path.reasons]
        body.append(_card(desk, inner, f"{standing.value} {n}"))
    if most is not None and len(paths) > most:
        label = f"Show all {len(paths)} {standing.value}"
        body.append(controls.button(look, label, desk.guard(lambda _: show_all())))
    return body


def _to_answer_for(desk: Desk, job: Job, found: Proposal, tables: Tables) -> list[ft.Control]:
    """What somebody qualified has to say before a way can be proven, each with its form."""
    asked = dict.fromkeys(o for path in found.paths.standing(Standing.UNPROVEN) for o in path.operations)
    open_still = [o for o in asked if tables.operations.by_id[o].confirm and o not in job.agreeing.confirmed]
    rows: list[ft.Control] = [
        AnswerFor(desk=desk, job=job, operation=tables.operations.by_id[o], key=f"answer for {o}")
        for o in open_still
    ]
    return [controls.heading(desk.standing.look, "To be answered for"), *rows] if rows else []


@ft.component
def AnswerFor(desk: Desk, job: Job, operation: Operation) -> ft.Control:  # noqa: N802
    """Somebody qualified answers for an operation, in words."""
    look = desk.standing.look
    texts, _ = use_texts()

    def keep() -> None:
        desk.enter(job, job.as_found, WorkAnsweredFor(operation.id, texts["words"]))

    inner = [
        controls.text(look, capital(operation.title), 18, bold=True),
        controls.text(look, operation.confirm, 17),
        texts.field(
            look, "words", "Who looked at it, and what makes it sure", lines=2, key=f"words {operation.id}"
        ),
        controls.button(look, "I answer for it", desk.guard(lambda _: keep()), key=f"keep {operation.id}"),
    ]
    return _card(desk, inner, f"confirm {operation.id}")


def _without_cure(desk: Desk, found: Proposal, tables: Tables) -> list[ft.Control]:
    """Operations that do not reach so far, and what nothing in reach cures."""
    look, system = desk.standing.look, desk.standing.system
    body: list[ft.Control] = []
    bars = dict.fromkeys(
        (tables.operations.by_id[b.operation].title, in_words(b.sentence, system)) for b in found.paths.barred
    )
    for title, sentence in bars:
        inner: list[ft.Control] = [_headed(desk, f"Out of reach: {title}", Verdict.BEYOND)]
        body.append(_card(desk, [*inner, controls.text(look, sentence, 17)], f"barred {title} {sentence}"))
    if found.paths.uncured:
        body.append(controls.heading(look, "Nothing in reach cures it"))
        body += [controls.text(look, in_words(sentence, system), 17) for sentence in found.paths.uncured]
    return body
