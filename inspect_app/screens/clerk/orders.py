"""To order today, over all jobs: the same thing summed with for whom, what is late, and what is held back."""

from __future__ import annotations

from collections.abc import Callable

import flet as ft

from inspect_app.entries.job import Job
from inspect_app.entries.ordering import Ordered
from inspect_app.job.progress import orders_seals
from inspect_app.job.seals.across import Sum, to_order_today
from inspect_app.job.seals.standing import Standing, State
from inspect_app.report import seal_standing, seal_words
from inspect_app.screens.clerk.asking import ORDER_FIELDS
from inspect_app.screens.clerk.places import list_route, place_route
from inspect_app.screens.desk import Desk
from inspect_app.screens.pieces import controls
from inspect_app.screens.pieces.frame import at_a_desk, frame
from inspect_app.screens.pieces.texts import use_texts
from inspect_app.tables.faults import TableError
from inspect_app.trade.measuring.refusal import Refusal
from inspect_app.trade.measuring.wording import counted

HELD = (State.DOUBT, State.OFFERED)


@ft.component
def Orders(desk: Desk, version: int) -> ft.Control:  # noqa: N802
    look = desk.standing.look
    opened, set_opened = ft.use_state(-1)
    jobs = [(job, lines) for job in desk.bench.jobs(under_way=True) if (lines := _lines(desk, job))]
    sums = to_order_today((job.id, job.name, lines) for job, lines in jobs)
    whose = len({each.job for found in sums for each in found.whose})
    if 0 <= opened < len(sums) and not at_a_desk(desk):
        # on a phone an order has the screen for itself: below the others nobody would see it
        form = OrderSum(desk=desk, found=sums[opened], leave=lambda: set_opened(-1), key=f"form {opened}")
        body = [_sum(desk, sums[opened], form, lambda _: None)]
        return frame(desk, "To order today", body, back="/", panel=f"order {opened}")
    body = _late(desk, jobs)
    if not sums:
        body.append(controls.text(look, "Nothing can be ordered now.", 20, bold=True))
    body += [_sum(desk, found, None, lambda _, i=n: set_opened(i)) for n, found in enumerate(sums)]
    body += _held_back(desk, jobs)
    beside: list[ft.Control] = [controls.small(look, "Touch what is ordered; its order opens here.")]
    if 0 <= opened < len(sums):
        beside = [
            OrderSum(desk=desk, found=sums[opened], leave=lambda: set_opened(-1), key=f"form beside {opened}")
        ]
    counts = f"{desk.bench.today()} · {len(sums)} to order for {counted(whose, 'job', 'jobs')}"
    return frame(
        desk, "To order today", body, under=counts, back="/", beside=beside if at_a_desk(desk) else None
    )


def _lines(desk: Desk, job: Job) -> tuple[Standing, ...]:
    """How the lines of a job stand, none where it has no list or takes no part."""
    if not orders_seals(job):
        return ()
    try:
        return desk.bench.seals(job)
    except (Refusal, TableError):
        return ()


def _late(desk: Desk, jobs: list[tuple[Job, tuple[Standing, ...]]]) -> list[ft.Control]:
    look, system = desk.standing.look, desk.standing.system
    rows = [
        controls.row(
            look,
            f"{job.name}: {seal_standing.standing_title(line)}",
            f"{line.late.words(system)}; it holds the reassembly",
            on_click=lambda _, j=job, w=line.line.where: desk.go(place_route(j, w)),
            key=f"late {job.id} {line.line.where}",
        )
        for job, lines in jobs
        for line in lines
        if line.late
    ]
    return [controls.heading(look, f"Late: {len(rows)}"), *rows] if rows else []


def _held_back(desk: Desk, jobs: list[tuple[Job, tuple[Standing, ...]]]) -> list[ft.Control]:
    look = desk.standing.look
    rows: list[ft.Control] = []
    for job, lines in jobs:
        held = [line for line in lines if line.state in HELD]
        if held:
            count = "1 line" if len(held) == 1 else f"{len(held)} lines"
            offered = sum(line.state is State.OFFERED for line in held)
            words = f"{count} held back" + (f", {offered} wait for the mechanic's word" if offered else "")
            rows.append(controls.row(look, job.name, words, on_click=lambda _, j=job: desk.go(list_route(j))))
    return [controls.heading(look, "Held back"), *rows] if rows else []


def _sum(desk: Desk, found: Sum, form: ft.Control | None, on_click: controls.Handler) -> ft.Control:
    """One thing to order: how many large, what, and for whom below."""
    look, system, line = desk.standing.look, desk.standing.system, found.line
    loss = desk.bench.tables.allowances["strip-cut-loss"]
    words = [
        controls.text(look, seal_words.size_words(line, system), 18, bold=True),
        controls.text(look, seal_words.made_words(line), 17),
    ]
    if length := seal_standing.length_words(found, loss, system):
        words.append(controls.text(look, length, 17))
    words.append(controls.text(look, f"For {seal_standing.whose_words(found)}", 17))
    words += [controls.small(look, remark) for remark in line.remarks]
    several = "s" if found.count > 1 else ""
    head = ft.Row(
        [
            ft.Column(
                [
                    controls.text(look, str(found.count), 40, bold=True, align=ft.TextAlign.RIGHT),
                    controls.small(look, f"{line.unit}{several}"),
                ],
                width=look.size(72),
                spacing=0,
                tight=True,
                horizontal_alignment=ft.CrossAxisAlignment.END,
            ),
            ft.Column(words, spacing=3, expand=True, tight=True),
        ],
        spacing=14,
        vertical_alignment=ft.CrossAxisAlignment.START,
    )
    said = f"{found.count} {seal_words.size_words(line, system)}, {seal_words.made_words(line)}"
    under = form or controls.button(
        look, "Order", on_click, strong=True, key=f"order {said}", said=f"Order {said}"
    )
    return ft.Container(
        ft.Column([head, under], spacing=12, tight=True, horizontal_alignment=ft.CrossAxisAlignment.STRETCH),
        padding=ft.Padding(0, 12, 0, 12),
        border=ft.Border(bottom=ft.BorderSide(look.weight, look.rule)),
    )


@ft.component
def OrderSum(desk: Desk, found: Sum, leave: Callable[[], None]) -> ft.Control:  # noqa: N802
    """One order for several jobs: an entry in each, with how many of it are theirs."""
    look = desk.standing.look
    texts, _ = use_texts()

    def keep() -> None:
        for each in found.whose:
            job = desk.bench.job(each.job)
            ordered = Ordered(
                each.line.where,
                texts["supplier"],
                str(each.quantity),
                texts["reference"],
                texts["price"],
                texts["promised"],
            )
            if not desk.enter(job, job.as_found, ordered):
                return
        leave()

    rows: list[ft.Control] = [
        controls.heading(look, f"Order {found.count} for {seal_standing.whose_words(found)}")
    ]
    rows += [texts.field(look, name, label, hint=hint) for name, label, hint in ORDER_FIELDS]
    rows += [
        controls.button(look, "It is ordered", desk.guard(lambda _: keep()), strong=True),
        controls.button(look, "Leave it", lambda _: leave()),
    ]
    return controls.form(rows)
